//! The cut list: which bars, which pieces from each, what is left, what to buy.

use serde::{Deserialize, Serialize};

use super::fill::{fill, parts};
use super::pattern::{least, solve, used};
use super::relax::{Pattern, Stock};
use crate::diag::{Checked, Diagnostic};
use crate::quantity::{Length, Unit};
use crate::shop::{Bar, Saw};

/// Pieces that are wanted.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Want {
    /// What they are for: a part number.
    pub name: String,
    /// Their finished length.
    pub length: Length,
    /// How many.
    pub count: u32,
}

/// A cut list for one kind of bar.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct CutList {
    /// What the bar is called on the rack.
    pub bar: String,
    /// The saw that it is made for.
    pub saw: Saw,
    /// The bars in the order of cutting: rests first, then new bars.
    pub bars: Vec<BarCut>,
    /// New bars to have at hand: their length, and how many.
    pub buy: Vec<(Length, u32)>,
    /// Pieces altogether.
    pub pieces: u32,
    /// Length of all new bars.
    pub bought: Length,
    /// No way of cutting takes less of new bars.
    pub bound: Length,
    /// Length of the rests that are used up.
    pub rests: Length,
    /// Length of the finished pieces.
    pub finished: Length,
    /// Length of the rests that go back to the rack.
    pub kept: Length,
}

/// Bars that are cut alike.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct BarCut {
    /// Number of the first of them, from one.
    pub first: u32,
    /// How many are cut alike.
    pub bars: u32,
    /// Length of the bar.
    pub stock: Length,
    /// Whether it is a rest from the rack.
    pub rest: bool,
    /// Cut off its end first; nothing for a rest.
    pub trim: Length,
    /// Its pieces in the order of cutting, the longest first, so that the stop is set seldom.
    pub cuts: Vec<Cut>,
    /// What is left of it.
    pub left: Length,
    /// Whether what is left goes back to the rack.
    pub keep: bool,
}

/// Equal pieces from one bar.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Cut {
    /// What they are for.
    pub name: String,
    /// As they come from the saw: with the allowance for facing both ends.
    pub length: Length,
    /// How many.
    pub count: u32,
    /// Used of the bar once they are off: trim, pieces and kerfs.
    pub up_to: Length,
}

impl CutList {
    /// What becomes chips and scrap: kerfs, trims, facing and rests that are too short to keep.
    pub fn waste(&self) -> Length {
        self.bought + self.rests - self.finished - self.kept
    }

    /// The share of what is used up that becomes chips and scrap, 0..=1: what goes back to the rack is not
    /// used up.
    pub fn waste_share(&self) -> f64 {
        let all = self.bought + self.rests - self.kept;
        if all > Length::ZERO { self.waste() / all } else { 0.0 }
    }

    /// How many bars are cut.
    pub fn bar_count(&self) -> u32 {
        self.bars.iter().map(|bar| bar.bars).sum()
    }
}

/// Cuts wanted pieces from one kind of bar: rests of the rack first, then new bars, so that as
/// little as can be found is bought. Lengths are said in `unit` where something is refused.
///
/// # Errors
/// As findings: nothing wanted, or a piece that no bar gives, with the longest that one does.
pub fn cut_list(wants: &[Want], bar: &Bar, saw: &Saw, unit: Unit) -> Checked<CutList> {
    let wants: Vec<&Want> = wants.iter().filter(|want| want.count > 0).collect();
    let total: u64 = wants.iter().map(|want| u64::from(want.count)).sum();
    if total == 0 || total > u64::from(u32::MAX) {
        return Checked::refuse(Diagnostic::refused("batch/no-pieces", "No pieces are wanted from the bar."));
    }
    let mut findings = Vec::new();
    let lengths = stocks(bar, saw);
    let rests = rests(bar, saw);
    let longest_new = lengths.iter().map(|(_, stock)| stock.room).max().unwrap_or(0);
    let longest = rests.iter().map(|(_, room)| *room).max().unwrap_or(0).max(longest_new);
    for want in &wants {
        let width = nano(want.length + saw.facing * 2.0 + saw.kerf);
        if want.length <= Length::ZERO || width > longest {
            findings.push(too_long(want, bar, saw, longest, unit));
        }
    }
    if !findings.is_empty() {
        return Checked { value: None, findings };
    }
    // Pieces of one length are one kind, whatever they are for; names are given back at the end.
    let mut kinds: Vec<(i64, u32)> = Vec::new();
    for want in &wants {
        let width = nano(want.length + saw.facing * 2.0 + saw.kerf);
        match kinds.iter_mut().find(|(known, _)| *known == width) {
            Some((_, count)) => *count += want.count,
            None => kinds.push((width, want.count)),
        }
    }
    kinds.sort_unstable_by(|a, b| b.cmp(a));
    let widths: Vec<i64> = kinds.iter().map(|(width, _)| *width).collect();
    let demand: Vec<u32> = kinds.iter().map(|(_, count)| *count).collect();
    let mut left = demand.clone();
    let mut used_rests: Vec<(Length, Vec<u32>)> = Vec::new();
    for (length, room) in &rests {
        let values: Vec<f64> = widths.iter().map(|width| parts(*width)).collect();
        let counts = fill(*room, &widths, &values, &left).counts;
        if counts.iter().any(|count| *count > 0) {
            for (left, count) in left.iter_mut().zip(&counts) {
                *left -= count;
            }
            used_rests.push((*length, counts));
        }
    }
    if let Some(kind) = (0..widths.len()).find(|kind| left[*kind] > 0 && widths[*kind] > longest_new) {
        let width = Length::mm(parts(widths[kind]) / 1e6);
        let wanted = wants.iter().find(|want| nano(want.length + saw.facing * 2.0 + saw.kerf) == widths[kind]);
        let name = wanted.map_or_else(|| unit.say(width), |want| want.name.clone());
        let headline =
            format!("{} of {name} are left over when the offcuts are used up, and no new bar gives one.", left[kind]);
        return Checked::refuse(
            Diagnostic::refused("batch/stock-short", headline).help("Add a longer length to the rack."),
        );
    }
    let stocks: Vec<Stock> = lengths.iter().map(|(_, stock)| *stock).collect();
    let solved = solve(&widths, &left, &stocks);
    let bound = if used_rests.is_empty() {
        solved.bound
    } else {
        least(&widths, &demand, &stocks, rests.iter().map(|(_, room)| *room).sum()).min(solved.cost)
    };
    let mut writer = Writer { wants: wants.iter().map(|want| ((*want).clone(), want.count)).collect(), saw, number: 1 };
    let mut bars = Vec::new();
    for (length, counts) in used_rests {
        bars.extend(writer.bars(length, true, &widths, &counts, 1));
    }
    let mut buy: Vec<(Length, u32)> = Vec::new();
    for (Pattern { stock, counts }, often) in &solved.bars {
        let length = lengths.get(*stock).map_or(Length::ZERO, |(length, _)| *length);
        bars.extend(writer.bars(length, false, &widths, counts, *often));
        match buy.iter_mut().find(|(known, _)| *known == length) {
            Some((_, count)) => *count += often,
            None => buy.push((length, *often)),
        }
    }
    buy.sort_by(|(a, _), (b, _)| b.order(*a));
    let sum = |rest: bool| bars.iter().filter(|bar| bar.rest == rest).map(|bar| bar.stock * f64::from(bar.bars)).sum();
    let list = CutList {
        bar: bar.name.clone(),
        saw: *saw,
        pieces: u32::try_from(total).unwrap_or(u32::MAX),
        bought: sum(false),
        rests: sum(true),
        bound: Length::mm(parts(bound) / 1e6),
        finished: wants.iter().map(|want| want.length * f64::from(want.count)).sum(),
        kept: bars.iter().filter(|bar| bar.keep).map(|bar| bar.left * f64::from(bar.bars)).sum(),
        bars,
        buy,
    };
    Checked::clean(list)
}

/// The new bars that can be had, longest first, with the room on each.
///
/// Every piece takes its length and a kerf. What the saw's vise holds cannot be cut; where it
/// holds nothing, the last kerf may run off the end.
fn stocks(bar: &Bar, saw: &Saw) -> Vec<(Length, Stock)> {
    let mut lengths = bar.lengths.clone();
    lengths.sort_by(|a, b| b.order(*a));
    lengths.dedup();
    lengths
        .into_iter()
        .map(|length| (length, Stock { room: room(length - saw.trim, saw), cost: nano(length) }))
        .filter(|(_, stock)| stock.room > 0)
        .collect()
}

/// The rests, shortest first, so that the longer ones stay for longer pieces.
fn rests(bar: &Bar, saw: &Saw) -> Vec<(Length, i64)> {
    let mut rests = bar.rests.clone();
    rests.sort_by(|a, b| a.order(*b));
    rests.into_iter().map(|length| (length, room(length, saw))).collect()
}

fn room(length: Length, saw: &Saw) -> i64 {
    let free = if saw.grip > Length::ZERO { -saw.grip } else { saw.kerf };
    nano(length + free)
}

/// Whole nanometres: a sixty-fourth of an inch and a hundredth of a millimetre are whole numbers
/// of them.
#[expect(clippy::cast_possible_truncation, reason = "a bar is far shorter than 2^63 nanometres")]
fn nano(length: Length) -> i64 {
    (length.as_mm().clamp(-1e9, 1e9) * 1e6).round() as i64
}

fn too_long(want: &Want, bar: &Bar, saw: &Saw, longest: i64, unit: Unit) -> Diagnostic {
    let around = saw.facing * 2.0 + saw.kerf;
    let most = (Length::mm(parts(longest) / 1e6) - around).down_to(Length::mm(0.1));
    let need = want.length + around + saw.trim + if saw.grip > Length::ZERO { saw.grip } else { -saw.kerf };
    let listed: Vec<String> = bar.lengths.iter().chain(&bar.rests).map(|length| unit.say(*length)).collect();
    let finding = Diagnostic::refused(
        "batch/stock-short",
        format!("{}: no bar of {} gives a piece {} long.", want.name, bar.name, unit.say(want.length)),
    )
    .note(format!("On the rack: {}.", if listed.is_empty() { "nothing".to_owned() } else { listed.join(", ") }))
    .note(format!(
        "A piece takes {} more for facing and the cut, a new bar loses {} at its end and {} in the saw's vise.",
        unit.say(around),
        unit.say(saw.trim),
        unit.say(saw.grip)
    ));
    let finding = finding.help(format!("A bar of {} or more would do.", unit.say(need.up_to(Length::mm(1.0)))));
    if most > Length::ZERO {
        finding.help(format!("The longest piece from this rack is {}.", unit.say(most)))
    } else {
        finding
    }
}

struct Writer<'s> {
    /// What is still to be given its pieces.
    wants: Vec<(Want, u32)>,
    saw: &'s Saw,
    number: u32,
}

impl Writer<'_> {
    /// Bars cut alike; more than one row where pieces of one length are for different parts and
    /// the bars are not alike any more.
    fn bars(&mut self, stock: Length, rest: bool, widths: &[i64], counts: &[u32], often: u32) -> Vec<BarCut> {
        let mut rows: Vec<BarCut> = Vec::new();
        for _ in 0..often {
            let bar = self.bar(stock, rest, widths, counts);
            self.number += 1;
            match rows.last_mut() {
                Some(last) if last.cuts == bar.cuts => last.bars += 1,
                _ => rows.push(bar),
            }
        }
        rows
    }

    fn bar(&mut self, stock: Length, rest: bool, widths: &[i64], counts: &[u32]) -> BarCut {
        let trim = if rest { Length::ZERO } else { self.saw.trim };
        let mut cuts = Vec::new();
        let mut up_to = trim;
        for (width, count) in widths.iter().zip(counts) {
            let mut open = *count;
            for (want, wanted) in &mut self.wants {
                let length = want.length + self.saw.facing * 2.0;
                if open == 0 || *wanted == 0 || nano(length + self.saw.kerf) != *width {
                    continue;
                }
                let count = open.min(*wanted);
                open -= count;
                *wanted -= count;
                up_to += (length + self.saw.kerf) * f64::from(count);
                cuts.push(Cut { name: want.name.clone(), length, count, up_to: tidy(up_to) });
            }
        }
        // The last kerf may run off the end.
        let left = tidy(Length::mm(parts(nano(stock - trim) - used(widths, counts)) / 1e6).max(Length::ZERO));
        BarCut { first: self.number, bars: 1, stock, rest, trim, cuts, left, keep: left >= self.saw.keep }
    }
}

/// Without the dust of binary arithmetic.
fn tidy(length: Length) -> Length {
    length.to_nearest(Length::mm(1e-6))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn bar(lengths: &[f64], rests: &[f64]) -> Bar {
        Bar {
            name: "brass 12 x 10".to_owned(),
            material: "brass-c36000".to_owned(),
            width: Length::mm(12.0),
            height: Length::mm(10.0),
            tolerance: Length::mm(0.05),
            lengths: lengths.iter().map(|length| Length::mm(*length)).collect(),
            rests: rests.iter().map(|length| Length::mm(*length)).collect(),
        }
    }

    /// The saw of the worked example: 3 mm off the end, nothing lost in its vise.
    fn saw(grip: f64) -> Saw {
        Saw { trim: Length::mm(3.0), grip: Length::mm(grip), ..Saw::USUAL }
    }

    fn keys(count: u32) -> Vec<Want> {
        vec![Want { name: "JK".to_owned(), length: Length::mm(50.0), count }]
    }

    /// n = ⌊(S − T + k) / (l + k)⌋ of bars of 3 ft, 1 m, 6 ft and 3 m for pieces of 50 mm: worked
    /// by hand.
    #[test]
    fn as_many_as_the_formula_says() {
        for (length, many) in [(914.4, 17), (1000.0, 19), (1828.8, 35), (3000.0, 57)] {
            let list = cut_list(&keys(many), &bar(&[length], &[]), &saw(0.0), Unit::Mm).value.expect("a list");
            assert_eq!(list.bar_count(), 1, "{many} from one bar of {length}");
            let list = cut_list(&keys(many + 1), &bar(&[length], &[]), &saw(0.0), Unit::Mm).value.expect("a list");
            assert_eq!(list.bar_count(), 2, "{} from two bars of {length}", many + 1);
        }
        // (914.4 - 3 - 30) / 51.8 = 17.01: the grip costs nothing here, and a piece of a metre bar.
        let list = cut_list(&keys(19), &bar(&[1000.0], &[]), &saw(30.0), Unit::Mm).value.expect("a list");
        assert_eq!(list.bar_count(), 2, "the saw's vise holds what would be the last piece");
    }

    /// 52 blanks: four bars of 3 ft, or two of 6 ft, or one of 3 m.
    #[test]
    fn fifty_two_blanks() {
        for (length, bars) in [(914.4, 4), (1828.8, 2), (3000.0, 1)] {
            let list = cut_list(&keys(52), &bar(&[length], &[]), &saw(0.0), Unit::Mm).value.expect("a list");
            assert_eq!(list.buy, [(Length::mm(length), bars)], "to buy");
            assert_eq!(list.bought, list.bound, "and that is the least");
        }
        let list = cut_list(&keys(20), &bar(&[1000.0, 3000.0], &[]), &saw(30.0), Unit::Mm).value.expect("a list");
        assert_eq!(list.buy, [(Length::mm(1000.0), 2)], "two short bars, not a long one: {list:?}");
    }

    #[test]
    fn rests_are_used_up_first_and_the_sums_agree() {
        let wants = [
            Want { name: "A".to_owned(), length: Length::mm(60.0), count: 30 },
            Want { name: "B".to_owned(), length: Length::mm(85.5), count: 12 },
            Want { name: "C".to_owned(), length: Length::mm(60.0), count: 5 },
        ];
        let rack = bar(&[1000.0, 3000.0], &[412.0, 268.0, 40.0]);
        let list = cut_list(&wants, &rack, &saw(30.0), Unit::Mm).value.expect("a list");
        assert!(list.bars[0].rest && list.bars[0].stock == Length::mm(268.0), "the shorter rest first");
        assert!(list.bars.iter().all(|bar| bar.stock > Length::mm(40.0)), "40 mm gives no piece");
        for want in &wants {
            let made: u32 = list
                .bars
                .iter()
                .flat_map(|bar| bar.cuts.iter().map(move |cut| (bar.bars, cut)))
                .filter(|(_, cut)| cut.name == want.name)
                .map(|(bars, cut)| bars * cut.count)
                .sum();
            assert_eq!(made, want.count, "all of {}", want.name);
        }
        for bar in &list.bars {
            let end = bar.cuts.last().expect("no bar for nothing").up_to;
            assert!((end + bar.left - bar.stock).abs() < Length::mm(1e-6), "{bar:?}");
            assert!(bar.left >= Length::mm(30.0), "the saw's vise holds what is left: {bar:?}");
            assert_eq!(bar.trim, if bar.rest { Length::ZERO } else { Length::mm(3.0) }, "a rest has a clean end");
        }
        let numbers: Vec<u32> = list.bars.iter().map(|bar| bar.first).collect();
        let mut next = 1;
        for (bar, number) in list.bars.iter().zip(numbers) {
            assert_eq!(number, next, "bars are numbered through");
            next += bar.bars;
        }
        assert!(list.waste() > Length::ZERO && list.waste_share() < 0.2, "{}", list.waste_share());
        let used = list.finished + list.waste();
        assert!((list.waste_share() - list.waste() / used).abs() < 1e-9, "pieces and waste are what is used up");
        assert!(list.bound <= list.bought, "the bound is below");
    }

    #[test]
    fn what_no_bar_gives_is_refused_with_what_would_do() {
        let long = [Want { name: "JK-long".to_owned(), length: Length::mm(980.0), count: 2 }];
        let checked = cut_list(&long, &bar(&[1000.0], &[]), &saw(30.0), Unit::Mm);
        let finding = checked.findings.first().expect("refused");
        let told = format!("{} {:?} {:?}", finding.headline, finding.notes, finding.helps);
        // 980 + 0.6 + 1.2 + 3 + 30 = 1014.8; 1000 - 33 - 1.8 = 965.2.
        for word in ["JK-long", "980 mm", "1000 mm", "1015 mm", "965.2 mm"] {
            assert!(told.contains(word), "`{word}`: {told}");
        }
        assert!(checked.value.is_none(), "no list");
        let none = cut_list(&keys(0), &bar(&[1000.0], &[]), &saw(30.0), Unit::Mm);
        assert_eq!(none.findings[0].code, "batch/no-pieces", "nothing wanted");
        let empty = cut_list(&keys(1), &bar(&[], &[]), &saw(30.0), Unit::Mm);
        assert!(empty.findings[0].notes[0].contains("nothing"), "nothing on the rack");
        let rest_only = cut_list(&keys(9), &bar(&[], &[400.0]), &saw(30.0), Unit::Mm);
        assert_eq!(rest_only.findings[0].code, "batch/stock-short", "the rest gives seven");
    }
}

//! How many pieces stand on the table at a time.
//!
//! A change of tools is shared by all pieces of a load, so that the time of a batch is that of
//! getting ready, of so many loads with their changes, and of so many pieces with their cutting.

use serde::{Deserialize, Serialize};

use super::offer::{Offer, offers, travels};
use super::time::{SetupTime, say_time};
use crate::diag::{Checked, Diagnostic};
use crate::part::Part;
use crate::plan::SetupPlan;
use crate::quantity::Time;
use crate::shop::{LengthOffset, Shop, Stand, Zeros};

/// The way that pieces are held.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Way {
    /// One piece in the vise, against the stop.
    One,
    /// Pieces in a row along the jaws, each against its own stop.
    Row,
    /// The places of a plate.
    Plate(String),
}

/// How a batch is loaded in one setup.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Load {
    /// How the pieces are held.
    pub way: Way,
    /// In words: `row of 3 in the vise`.
    pub title: String,
    /// Places along X.
    pub columns: u32,
    /// Places along Y.
    pub rows: u32,
    /// The places of a full load: row by row to the back, each from the stop on.
    pub places: Vec<Stand>,
    /// Pieces of a full load.
    pub pieces: u32,
    /// Loads, the last one among them.
    pub loads: u32,
    /// Pieces of the last load.
    pub last: u32,
    /// Once, before the first load.
    pub ready: Time,
    /// One full load: changes, cutting, in and out.
    pub each: Time,
    /// All loads, with getting ready.
    pub total: Time,
    /// Why this way.
    pub reason: String,
    /// The other ways, each with what stands against it.
    pub others: Vec<String>,
    /// What the person at the bench should know of this holding and of the work in it.
    pub notes: Vec<String>,
}

impl Load {
    /// The last load, where it is not full.
    pub fn partial(&self) -> Option<Time> {
        (self.last < self.pieces).then(|| self.total - self.ready - self.each * f64::from(self.loads - 1))
    }

    /// How many pieces the loads have that want a program of their own: a full load of several, and
    /// the last where it is smaller.
    pub fn sizes(&self) -> Vec<u32> {
        if self.pieces < 2 {
            return Vec::new();
        }
        let full = (self.loads > 1 || self.last == self.pieces).then_some(self.pieces);
        full.into_iter().chain((self.last < self.pieces).then_some(self.last)).collect()
    }

    /// The places that so many pieces stand in: the first ones.
    pub fn filled(&self, pieces: u32) -> Vec<Stand> {
        let count = usize::try_from(pieces).unwrap_or(0).min(self.places.len());
        let mut filled: Vec<Stand> = self.places.iter().take(count).cloned().collect();
        if let (Way::Row, Some(end), Some(last)) = (&self.way, self.places.last(), filled.last_mut()) {
            // The jaws go on past the last piece to where they end.
            let to = end.x + end.setup.jaw_middle + end.setup.jaw_reach - last.x;
            let from = last.setup.jaw_middle - last.setup.jaw_reach;
            (last.setup.jaw_middle, last.setup.jaw_reach) = ((from + to) / 2.0, (to - from) / 2.0);
        }
        filled
    }
}

/// Said where each place was to have its own zero and cannot.
pub(super) const ONE_ZERO: &str = "The shop's file asks for a zero at each place (`zeros: each`), but this control has no table of lengths: a tool is set on the piece in place 1, and all places count from its zero.";

/// A way with its reckoning.
struct Reckoned {
    offer: Offer,
    pieces: u32,
    loads: u32,
    last: u32,
    each: Time,
    total: Time,
}

/// Chooses how so many pieces are loaded in one setup: the way with the least time altogether;
/// among equals the simplest. `asked` is how many shall stand on the table at a time, where that is
/// not left to the reckoning; ends of bars are milled one by one all the same.
///
/// # Errors
/// As findings: no way of the shop holds even one piece, or so many as are asked for; with the
/// numbers, and what works.
pub fn load(
    part: &Part,
    setup: &SetupPlan,
    time: &SetupTime,
    shop: &Shop,
    pieces: u32,
    asked: Option<u32>,
) -> Checked<Load> {
    let asked = asked.filter(|_| !setup.pose.mills_an_end());
    let mut good: Vec<Reckoned> = Vec::new();
    let mut bad: Vec<(u32, String)> = Vec::new();
    let most = asked.map_or(pieces, |asked| asked.max(1)).max(1);
    for offer in offers(part, setup, shop, most) {
        let against = offer.against.clone().or_else(|| travels(part, setup, shop, &offer));
        let holds = offer.holds();
        match against {
            Some(against) => bad.push((holds, format!("{}: {against}", offer.title))),
            None => good.push(reckon(offer, time, shop, pieces.max(1), most)),
        }
    }
    if let Some(asked) = asked {
        if good.iter().all(|one| one.pieces != asked.min(pieces)) {
            return Checked::refuse(no_such_load(asked, &good, &bad));
        }
        good.retain(|one| one.pieces == asked.min(pieces));
    }
    // The first of equals: offers come with the simplest first.
    let best = good.iter().enumerate().min_by(|(_, a), (_, b)| a.total.order(b.total)).map(|(index, _)| index);
    let Some(best) = best else {
        let finding = Diagnostic::refused("batch/load", "No way of the shop takes even one piece.");
        let finding = bad.iter().fold(finding, |finding, (_, against)| finding.note(against.clone()));
        return Checked::refuse(finding.help("A wider vise, a machine with more travel or a plate for it would do."));
    };
    let best = good.remove(best);
    let reason = if asked.is_some() {
        format!("As asked: {}", reason(&best, &good, time, pieces))
    } else {
        reason(&best, &good, time, pieces)
    };
    // Of several rows the best tells enough.
    let mut others: Vec<String> = Vec::new();
    let mut rows: Option<&Reckoned> = None;
    for other in good.iter().filter(|other| other.offer.way == Way::Row && best.offer.way != Way::Row) {
        if rows.is_none_or(|row| other.total < row.total) {
            rows = Some(other);
        }
    }
    let told = |other: &&Reckoned| other.offer.way != Way::Row || rows.is_some_and(|row| row.pieces == other.pieces);
    for other in good.iter().filter(told) {
        let more = other.total - best.total;
        let than = if more < Time::second(0.5) { "no less".to_owned() } else { format!("{} more", say_time(more)) };
        others.push(format!("{}: {} altogether, {than}", other.offer.title, say_time(other.total)));
    }
    others.extend(bad.into_iter().map(|(_, against)| against));
    let Reckoned { offer, pieces, loads, last, each, total } = best;
    let Offer { way, title, columns, rows, ready, stands, notes, .. } = offer;
    let ready = ready + time.stays;
    let places = stands.into_iter().take(usize::try_from(pieces).unwrap_or(1)).collect();
    let mut load =
        Load { way, title, columns, rows, places, pieces, loads, last, ready, each, total, reason, others, notes };
    load.places = load.filled(pieces);
    // Asked for and not given: said, not swallowed.
    let each = shop.batch.loading.zeros == Zeros::Each && shop.control.length_offset == LengthOffset::TouchOff;
    let shared = (each && load.pieces > 1).then(|| Diagnostic::caution("batch/zeros", ONE_ZERO));
    Checked::unless_refused(load, shared.into_iter().collect())
}

/// A load of a size that nothing takes.
fn no_such_load(asked: u32, good: &[Reckoned], bad: &[(u32, String)]) -> Diagnostic {
    let finding = Diagnostic::refused("batch/load", format!("Nothing takes {asked} pieces at a time."));
    // What takes fewer says nothing about why so many do not go in.
    let wide = bad.iter().filter(|(holds, _)| *holds > 1);
    let finding = wide.fold(finding, |finding, (_, against)| finding.note(against.clone()));
    let finding = good
        .iter()
        .filter(|one| one.offer.way != Way::One && one.offer.holds() < asked)
        .fold(finding, |finding, one| finding.note(format!("{}: {} at most", one.offer.title, one.offer.holds())));
    let near = good.iter().map(|one| one.pieces).min_by_key(|pieces| (pieces.abs_diff(asked), *pieces));
    match near {
        Some(near) => finding.help(format!("load={near} would do.")),
        None => finding.help("A wider vise or a plate for it would do."),
    }
}

fn reckon(offer: Offer, setup: &SetupTime, shop: &Shop, wanted: u32, most: u32) -> Reckoned {
    let loading = &shop.batch.loading;
    let pieces = offer.holds().clamp(1, wanted.min(most));
    let loads = wanted.div_ceil(pieces);
    let last = wanted - (loads - 1) * pieces;
    let per_load = setup.shared() + loading.load;
    let per_piece = setup.cut() + loading.piece;
    let each = per_load + per_piece * f64::from(pieces);
    let total = offer.ready + setup.stays + per_load * f64::from(loads) + per_piece * f64::from(wanted);
    Reckoned { offer, pieces, loads, last, each, total }
}

fn reason(best: &Reckoned, others: &[Reckoned], setup: &SetupTime, wanted: u32) -> String {
    let changes = say_time(setup.shared());
    let loads = if best.loads == 1 { "1 load".to_owned() } else { format!("{} loads", best.loads) };
    let pieces = if wanted == 1 { "1 piece".to_owned() } else { format!("{wanted} pieces") };
    let ready = if best.offer.ready > Time::ZERO {
        format!(", {} to bolt it down among them", say_time(best.offer.ready))
    } else {
        String::new()
    };
    let (take, them) = if wanted == 1 { ("takes", "it") } else { ("take", "them") };
    let head = format!("{pieces} in {loads} {take} {}{ready}", say_time(best.total));
    let one = others.iter().find(|other| other.offer.way == Way::One);
    match one {
        Some(one) if best.pieces > 1 => format!(
            "{head}; one by one {}. The {changes} of changes are shared by {} pieces.",
            say_time(one.total),
            best.pieces
        ),
        _ if others.is_empty() => format!("{head}; no other way takes {them}."),
        _ => format!("{head}; no other way is quicker."),
    }
}

#[cfg(test)]
mod tests {
    use super::super::time::tests::key_example;
    use super::*;
    use crate::part::Pose;
    use crate::plan::tests::{m5_key as key, planned};
    use crate::quantity::Length;
    use crate::shop::{Loading, demo_shop};

    /// The worked example: 60 s to load a piece, nothing for a load, six places without a wait.
    fn shop(plates: bool) -> Shop {
        let mut shop = demo_shop("canned");
        let (piece, gap) = (Time::second(60.0), Length::mm(2.0));
        shop.batch.loading = Loading { piece, load: Time::ZERO, gap, zeros: Zeros::One };
        for plate in &mut shop.batch.plates {
            plate.ready = Time::ZERO;
        }
        if !plates {
            shop.batch.plates.clear();
        }
        shop
    }

    /// The key's plan with the times of the worked example.
    fn loaded(shop: &Shop, pieces: u32) -> Checked<Load> {
        let part = key();
        let plan = planned(&part, shop);
        load(&part, &plan.setups[0], &key_example(), shop, pieces, None)
    }

    /// 299 + 216 + 60 = 575 s a piece one by one: 50 take 28 750 s, 8.0 h. Six a load: nine loads of
    /// 216 s and 50 pieces of 359 s, 19 894 s, 5.5 h.
    #[test]
    fn the_worked_example() {
        let one = loaded(&shop(false), 50).value.expect("a load");
        assert_eq!((one.way.clone(), one.loads, one.last), (Way::One, 50, 1), "no room for a row");
        assert_eq!(one.total, Time::second(28_750.0), "8.0 h");
        assert_eq!(one.each, Time::second(575.0), "a piece");
        assert!(one.sizes().is_empty(), "the program of one piece is there");
        let six = loaded(&shop(true), 50).value.expect("a load");
        assert_eq!((six.pieces, six.loads, six.last), (6, 9, 2), "eight full loads and two pieces");
        assert_eq!(six.sizes(), [6, 2], "two programs");
        assert_eq!(six.total, Time::second(19_894.0), "5.5 h");
        assert_eq!(six.each, Time::second(216.0 + 6.0 * 359.0), "a full load");
        assert_eq!(six.partial(), Some(Time::second(216.0 + 2.0 * 359.0)), "two pieces");
        assert!(six.reason.contains("one by one 7 h 59 min"), "{}", six.reason);
        assert_eq!(six.places.len(), 6, "a datum each");
        let at = |place: usize| (six.places[place].x, six.places[place].y);
        assert_eq!(at(0), (Length::ZERO, Length::ZERO), "the first is the program's zero");
        assert_eq!(at(4), (Length::mm(75.0), Length::mm(45.0)), "second row, second column");
    }

    #[test]
    fn getting_ready_must_pay() {
        let mut shop = shop(true);
        shop.batch.plates[0].ready = Time::second(1500.0);
        let few = loaded(&shop, 4).value.expect("a load");
        assert_eq!(few.way, Way::One, "4 pieces save 648 s of changes, the plate takes 1500 s: {}", few.reason);
        let many = loaded(&shop, 50).value.expect("a load");
        assert!(matches!(many.way, Way::Plate(_)), "50 pieces save 8856 s");
        assert!(many.others.iter().any(|other| other.contains("one piece in the vise") && other.contains("more")));
    }

    /// Keys of 60 mm with a mill of 10 mm that runs past their ends: the row has a stop and the
    /// mill's way between two, and its ends stand out of the jaws by a third of a piece at most.
    #[test]
    fn a_row_where_the_jaws_are_wide() {
        let mut shop = shop(false);
        shop.vise.jaw_width = Length::mm(160.0);
        let row = loaded(&shop, 7).value.expect("a load");
        assert_eq!((row.way.clone(), row.columns), (Way::Row, 2), "{row:?}");
        let pitch = row.places[1].x;
        assert!(pitch >= Length::mm(60.0 + 10.0) && pitch < Length::mm(80.0), "{pitch:?} from one to the next");
        assert!(row.others.iter().any(|other| other.contains("the jaws of 160 mm take 200 mm")), "{:?}", row.others);
        assert_eq!(row.loads * row.pieces - row.pieces + row.last, 7, "the last load is partial");
        // Together the places have the whole of the jaws, and the last load too.
        for pieces in [2, 1] {
            let filled = row.filled(pieces);
            let jaws = |at: usize| {
                let stand = &filled[at];
                let middle = stand.x + stand.setup.jaw_middle;
                (middle - stand.setup.jaw_reach, middle + stand.setup.jaw_reach)
            };
            let (from, to) = (jaws(0).0, jaws(filled.len() - 1).1);
            assert!((to - from - Length::mm(160.0)).abs() < Length::mm(1e-9), "{pieces}: {from:?} to {to:?}");
            assert!(((from + to) / 2.0 - pitch / 2.0).abs() < Length::mm(1e-9), "{pieces}: the row in their middle");
        }
    }

    #[test]
    fn a_zero_for_each_place_that_cannot_be_is_told() {
        for (control, told) in [("written-out", true), ("canned", false)] {
            let mut shop = demo_shop(control);
            assert_eq!(shop.control.length_offset == LengthOffset::TouchOff, told, "{control}");
            shop.batch.loading.zeros = Zeros::Each;
            let checked = loaded(&shop, 50);
            let cautioned = checked.findings.iter().any(|finding| finding.code == "batch/zeros");
            let load = checked.value.expect("a load");
            assert!(load.pieces > 1, "{control}: {}", load.title);
            assert_eq!((cautioned, load.notes.iter().any(|note| note == ONE_ZERO)), (told, told), "{control}");
            shop.batch.loading.zeros = Zeros::One;
            assert!(loaded(&shop, 50).findings.is_empty(), "{control}: not asked for");
        }
    }

    #[test]
    fn one_piece_is_one_piece() {
        let one = loaded(&shop(false), 1).value.expect("a load");
        assert!(one.reason.starts_with("1 piece in 1 load takes "), "{}", one.reason);
        assert!(one.reason.ends_with("; no other way takes it."), "{}", one.reason);
    }

    #[test]
    fn milled_ends_are_one_by_one() {
        let (part, shop) = (key(), shop(true));
        let mut setup = planned(&part, &shop).setups[0].clone();
        setup.pose = Pose::FirstEnd;
        let load = load(&part, &setup, &key_example(), &shop, 50, Some(6)).value.expect("a load");
        assert_eq!((load.way, load.others.len()), (Way::One, 0), "nothing else is offered");
    }

    #[test]
    fn what_holds_nothing_is_refused_with_numbers() {
        let (part, mut narrow) = (key(), shop(true));
        let setup = planned(&part, &narrow).setups[0].clone();
        narrow.vise.opening = Length::mm(5.0);
        narrow.machine.x.from = Length::mm(-150.0);
        let checked = load(&part, &setup, &key_example(), &narrow, 5, None);
        let finding = checked.findings.first().expect("refused");
        let told = finding.notes.join(" ");
        assert!(told.contains("the vise opens 5 mm") && told.contains("the machine travels 150 mm"), "{told}");
    }
}

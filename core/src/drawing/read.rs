//! The part rebuilt from the words of its sheets alone, and held against the part.
//!
//! What is read here is what the file of a sheet gives to who copies its text: the texts in their
//! order with their heights, and not one line (`tests/pdf.rs` holds that the file has just these).
//! From a hole table every place comes back; figures at a view give the rows and columns of a face.

use super::drawn::sheets;
use super::style::{FIGURE, NOTE};
use super::{Shape, Sheet};
use crate::part::{Basis, Depth, Face, Feature, Head, Holes, Kind, Make, Part, Size, Slot};
use crate::quantity::{Length, Unit};
use crate::standards::thread::Hand;

/// A size as its words give it, in the unit of the sheet.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
struct Figure {
    nominal: Option<f64>,
    /// Least and most.
    limits: Option<(f64, f64)>,
    stock: bool,
}

fn number(text: &str) -> Option<f64> {
    text.trim().trim_start_matches('+').parse().ok()
}

impl Figure {
    /// Reads a size of one line: `60`, `10 e9 (-0.025/-0.061)`, `10 +3.8/0`, `9.9 - 10.1`, `4.0 ±0.1`.
    fn line(text: &str) -> Option<Self> {
        let text = text.trim();
        if let Some((low, high)) = text.split_once(" - ") {
            return Some(Self { limits: Some((number(low)?, number(high)?)), ..Self::default() });
        }
        let mut words = text.split(' ');
        let nominal = number(words.next()?)?;
        let mut figure = Self { nominal: Some(nominal), ..Self::default() };
        for word in words {
            if word == "STOCK" {
                figure.stock = true;
            } else if let Some(within) = word.strip_prefix('±').and_then(number) {
                figure.limits = Some((nominal - within, nominal + within));
            } else if let Some((upper, lower)) = word.trim_matches(|sign| "()".contains(sign)).split_once('/') {
                figure.limits = Some((nominal + number(lower)?, nominal + number(upper)?));
            }
        }
        Some(figure)
    }

    /// Whether these words are said of a size.
    fn tells(&self, size: &Size, unit: Unit) -> bool {
        let near = if unit == Unit::Mm { 1.1e-3 } else { 1.1e-4 };
        let close = |a: f64, b: Length| (a - unit.of(b)).abs() < near;
        let bare = size.upper.abs().max(size.lower.abs()) < Length::mm(5e-7);
        let nominal = self.nominal.is_none_or(|nominal| close(nominal, size.nominal));
        let limits = match self.limits {
            Some((least, most)) => close(least, size.least()) && close(most, size.most()),
            // Without limits of its own the general tolerance holds, or the stock's.
            None => {
                self.stock == (size.basis == Basis::Stock)
                    && (bare || matches!(size.basis, Basis::General | Basis::Stock))
            }
        };
        nominal && limits && (self.nominal.is_some() || self.limits.is_some())
    }
}

/// What is made, as the words have it.
#[derive(Clone, Debug, PartialEq)]
enum Made {
    Thread(String),
    Round(Figure),
    Slot(Figure),
    Groove(Figure),
    Corner(Figure),
}

/// How far the drill of a thread goes, where the callout tells it.
#[derive(Clone, Debug)]
enum Drilled {
    Through,
    To(Figure),
}

/// A callout, read.
#[derive(Clone, Debug)]
struct Told {
    count: usize,
    made: Made,
    /// None where it goes through.
    depth: Option<Figure>,
    bore: Option<(Figure, Figure)>,
    /// Diameter and angle.
    sink: Option<(Figure, f64)>,
    drill: Option<f64>,
    drilled: Option<Drilled>,
    long: Option<Figure>,
    places: Option<f64>,
    each_end: bool,
}

/// The first line of a callout, where this is one.
fn begins(line: &str) -> Option<Told> {
    let (count, rest) = match line.split_once("X ") {
        Some((count, rest)) if count.bytes().all(|byte| byte.is_ascii_digit()) => (count.parse().ok()?, rest),
        _ => (1, line),
    };
    let (what, depth) = match rest.split_once(" ↧ ") {
        Some((what, depth)) => (what, Some(Figure::line(depth)?)),
        None => (rest.strip_suffix(" THRU").unwrap_or(rest), None),
    };
    let wide = |name: &str| Figure::line(what.strip_prefix(name)?.strip_suffix(" WIDE")?);
    let made = if let Some(size) = what.strip_prefix('⌀') {
        Made::Round(Figure::line(size)?)
    } else if let Some(figure) = wide("SLOT ") {
        Made::Slot(figure)
    } else if let Some(figure) = wide("GROOVE ") {
        Made::Groove(figure)
    } else if let Some(radius) = what.strip_prefix('R').and_then(Figure::line) {
        Made::Corner(radius)
    } else if what.starts_with('M') || what.contains("UN") {
        Made::Thread(what.to_owned())
    } else {
        return None;
    };
    let none = (None, None, None);
    let (bore, sink, drill) = none;
    Some(Told { count, made, depth, bore, sink, drill, drilled: None, long: None, places: None, each_end: false })
}

impl Told {
    /// Takes in a line that goes on; says whether it is one.
    fn more(&mut self, line: &str) -> bool {
        let read = || -> Option<Self> {
            let mut told = self.clone();
            if let Some(rest) = line.strip_prefix("⌴ ⌀") {
                let (diameter, depth) = rest.split_once(" ↧ ")?;
                told.bore = Some((Figure::line(diameter)?, Figure::line(depth)?));
            } else if let Some(rest) = line.strip_prefix("⌵ ⌀") {
                let (diameter, angle) = rest.split_once(" X ")?;
                told.sink = Some((Figure::line(diameter)?, number(angle.trim_end_matches('°'))?));
            } else if let Some(rest) = line.strip_prefix("(TAP DRILL ") {
                told.drill = Some(number(rest.trim_end_matches(')').rsplit('⌀').next()?)?);
            } else if let Some(rest) = line.strip_prefix("DRILL ↧ ") {
                told.drilled = Some(Drilled::To(Figure::line(rest)?));
            } else if line == "DRILL THRU" {
                told.drilled = Some(Drilled::Through);
            } else if let Some(rest) = line.strip_prefix("PLACES ±") {
                told.places = Some(number(rest)?);
            } else if let Some(rest) = line.strip_prefix("↧ ") {
                told.depth = Some(Figure::line(rest)?);
            } else if let Some(rest) = line.strip_suffix(" LONG OVER ENDS") {
                told.long = Some(Figure::line(rest)?);
            } else if let Some(each) = line.strip_suffix(" IN EACH END") {
                let each: usize = if each == "ONE" { 1 } else { each.parse().ok()? };
                told.each_end = true;
                if each * 2 != told.count {
                    return None;
                }
                told.count = each;
            } else if line != "THRU" {
                return None;
            }
            Some(told)
        };
        read().map(|told| *self = told).is_some()
    }

    fn is_holes(&self, holes: &Holes, unit: Unit) -> bool {
        let near = if unit == Unit::Mm { 1.1e-3 } else { 1.1e-4 };
        let same = |figure: Option<&Figure>, size: Option<&Size>| match (figure, size) {
            (Some(figure), Some(size)) => figure.tells(size, unit),
            (None, None) => true,
            _ => false,
        };
        let blind = holes.depth.blind();
        let make = match (&self.made, &holes.make) {
            (Made::Thread(text), Make::Tapped { thread, hand, drill, full }) => {
                let left = if *hand == Hand::Left { "-LH" } else { "" };
                let drilled = match (full, &self.drilled) {
                    (Some(_), Some(Drilled::To(depth))) => same(Some(depth), blind),
                    (Some(_), Some(Drilled::Through)) => blind.is_none(),
                    (None, None) => true,
                    _ => false,
                };
                *text == format!("{}-{}{left}", thread.designation, thread.internal.class)
                    && self.drill.is_some_and(|told| (told - unit.of(drill.diameter)).abs() < near)
                    && same(self.depth.as_ref(), full.as_ref().or(blind))
                    && drilled
            }
            (Made::Round(figure), Make::Plain { diameter } | Make::Reamed { diameter }) => {
                figure.tells(diameter, unit) && same(self.depth.as_ref(), blind)
            }
            _ => false,
        };
        let chamfer = |figure: &Figure, diameter: Length| {
            figure.nominal.is_some_and(|told| (told - unit.of(diameter)).abs() < near)
        };
        let head = match (&holes.head, holes.chamfer, &self.bore, &self.sink) {
            (Some(Head::Counterbore { diameter, depth }), _, Some(bore), None) => {
                bore.0.tells(diameter, unit) && bore.1.tells(depth, unit)
            }
            (Some(Head::Countersink { diameter, angle }), _, None, Some(sink)) => {
                sink.0.tells(diameter, unit) && (sink.1 - angle.as_degree()).abs() < 0.06
            }
            (None, Some(diameter), None, Some(sink)) => chamfer(&sink.0, diameter) && (sink.1 - 90.0).abs() < 1e-9,
            (None, None, None, None) => true,
            _ => false,
        };
        let places = self.places.is_none_or(|told| (told - unit.of(holes.place_tolerance)).abs() < near);
        self.count == holes.places.len() && make && head && places
    }

    fn is_slot(&self, slot: &Slot, unit: Unit) -> bool {
        let depth = match (&slot.depth, &self.depth) {
            (Depth::Blind(size), Some(figure)) => figure.tells(size, unit),
            (Depth::Through, None) => true,
            _ => false,
        };
        let form = match (&self.made, &slot.length, &self.long) {
            (Made::Slot(wide), Some(length), Some(long)) => wide.tells(&slot.width, unit) && long.tells(length, unit),
            (Made::Groove(wide), None, None) => wide.tells(&slot.width, unit),
            _ => false,
        };
        depth && form
    }

    fn is(&self, feature: &Feature, unit: Unit) -> bool {
        match &feature.kind {
            Kind::Holes(holes) => self.is_holes(holes, unit),
            Kind::Slot(slot) => self.is_slot(slot, unit),
            Kind::Tongue(_) => false,
        }
    }
}

/// The texts of a sheet that tell of the part, each with its height, in the order of the file.
fn words(sheet: &Sheet) -> Vec<(f64, &str)> {
    let texts = sheet.items.iter().filter_map(|item| match &item.shape {
        Shape::Text { text, height, .. } => Some((*height, text.as_str())),
        _ => None,
    });
    texts.take_while(|(_, text)| !text.starts_with("CHECK BAR")).collect()
}

/// The labels at the head of a sheet: figures, and those smaller ones that belong to them.
fn labels(words: &[(f64, &str)]) -> Vec<Figure> {
    let mut all = Vec::new();
    let mut rest = words;
    while let Some(((height, text), after)) = rest.split_first() {
        rest = after;
        if (*height - NOTE).abs() < 1e-6 {
            // Limits alone, the upper first.
            let Some(((_, lower), after)) = after.split_first() else { break };
            let Some(limits) = number(lower).zip(number(text)) else { break };
            all.push(Figure { limits: Some(limits), ..Figure::default() });
            rest = after;
            continue;
        }
        let Some(mut figure) = Figure::line(text).filter(|_| (*height - FIGURE).abs() < 1e-6) else { break };
        let bracketed = rest.first().is_some_and(|(_, text)| *text == "(");
        let small = &rest[usize::from(bracketed)..];
        if let ([(height, upper), (_, lower), ..], Some(nominal)) = (small, figure.nominal) {
            let small = *height < NOTE - 1e-6;
            if let Some((upper, lower)) = number(upper).zip(number(lower)).filter(|_| small) {
                figure.limits = Some((nominal + lower, nominal + upper));
                rest = &rest[if bracketed { 4 } else { 2 }..];
            }
        }
        all.push(figure);
    }
    all
}

/// What the coordinates of a part read, in their order; `ends` are the ends that are shown.
fn coordinates(part: &Part, ends: &[Face]) -> Vec<f64> {
    let mut all = Vec::new();
    for face in [Face::Top, Face::Bottom].iter().chain(ends) {
        let mut places: [Vec<f64>; 2] = [Vec::new(), Vec::new()];
        for feature in part.features.iter().filter(|feature| feature.face == *face) {
            let here: Vec<(Option<Length>, Length)> = match &feature.kind {
                Kind::Holes(holes) => holes.places.iter().map(|place| (Some(place.x), place.y)).collect(),
                Kind::Slot(slot) => vec![(slot.length.as_ref().map(|_| slot.place.x), slot.place.y)],
                Kind::Tongue(_) => Vec::new(),
            };
            for (x, y) in here {
                places[0].extend(x.map(|x| part.unit.of(x)));
                places[1].push(part.unit.of(y));
            }
        }
        for (turn, mut list) in places.into_iter().enumerate() {
            // What lies on the middle line of the face needs no figure; along the bar it has one.
            let middle = list.iter().all(|at| at.abs() < 1e-7);
            if list.is_empty() || (middle && (turn == 1 || matches!(face, Face::Left | Face::Right))) {
                continue;
            }
            // From below and from the left end a face is seen the other way round.
            let turned = (*face == Face::Bottom && turn == 1) || (*face == Face::Left && turn == 0);
            list.push(0.0);
            list.sort_by(f64::total_cmp);
            list.dedup_by(|a, b| (*a - *b).abs() < 1e-7);
            if turned {
                list.reverse();
            }
            all.extend(list);
        }
    }
    all
}

/// Reads a sheet without a table; what does not agree comes out.
fn judge(part: &Part, sheet: &Sheet) -> Result<(), String> {
    let words = words(sheet);
    let unit = part.unit;
    let figures = words.iter().position(|(_, text)| Figure::line(text).is_some()).ok_or("no figure at all")?;
    let labels = labels(&words[figures..]);
    let mut list = labels.iter();
    let mut next = |what: &str| list.next().copied().ok_or_else(|| format!("no {what}"));
    let hold = |what: &str, figure: Figure, size: &Size| {
        if figure.tells(size, unit) { Ok(()) } else { Err(format!("{what}: {figure:?} is not {size:?}")) }
    };
    hold("length", next("length")?, &part.length)?;
    let tongue = part.tongues().next().map(|(_, tongue)| tongue);
    if let Some(tongue) = tongue {
        hold("tongue width", next("tongue width")?, &tongue.width)?;
    }
    hold("width", next("width")?, &part.width)?;
    let heights = [next("height")?, if tongue.is_some() { next("tongue height")? } else { Figure::default() }];
    match tongue {
        None => hold("height", heights[0], &part.height)?,
        Some(tongue) => {
            let turn = usize::from(hold("height", heights[0], &part.height).is_err());
            hold("height", heights[turn], &part.height)?;
            hold("tongue height", heights[1 - turn], &tongue.height)?;
        }
    }
    let read: Vec<f64> = list.filter_map(|figure| figure.nominal).collect();
    // Callouts, until the picture.
    let mut told: Vec<Told> = Vec::new();
    for (_, text) in &words[figures + 1..] {
        match begins(text) {
            Some(one) => told.push(one),
            None => {
                if let Some(last) = told.last_mut() {
                    let _ = last.more(text);
                }
            }
        }
    }
    let twice: Vec<Told> = told.iter().filter(|one| one.each_end).cloned().collect();
    let both = !twice.is_empty();
    told.extend(twice);
    let order = [Face::Left, Face::Right];
    let wanted = [&order[..], &[Face::Right, Face::Left], &[Face::Left], &[Face::Right], &[]];
    let near = if unit == Unit::Mm { 1.1e-3 } else { 1.1e-4 };
    let alike =
        |wanted: &[f64]| wanted.len() == read.len() && wanted.iter().zip(&read).all(|(a, b)| (a - b).abs() < near);
    let fits = wanted.iter().filter(|ends| !both || ends.len() == 1).any(|ends| alike(&coordinates(part, ends)));
    if !fits {
        return Err(format!("coordinates {read:?} are not {:?}", coordinates(part, &order)));
    }
    for feature in &part.features {
        if matches!(&feature.kind, Kind::Tongue(_)) {
            continue;
        }
        let at = told.iter().position(|one| one.is(feature, unit));
        let at = at.ok_or_else(|| format!("{} is not told: {told:?}", feature.id))?;
        told.remove(at);
    }
    if let Some(radius) = &part.ends.corner {
        let at = told.iter().position(|one| matches!(&one.made, Made::Corner(figure) if figure.tells(radius, unit)));
        told.remove(at.ok_or("no corner")?);
    }
    if told.is_empty() { Ok(()) } else { Err(format!("too much is told: {told:?}")) }
}

/// Reads the hole table of sheets: every hole at its place.
fn judge_table(part: &Part, sheet: &Sheet) -> Result<(), String> {
    let unit = part.unit;
    let near = if unit == Unit::Mm { 1.1e-3 } else { 1.1e-4 };
    let all: Vec<&str> = std::iter::once(sheet).chain(&sheet.following).flat_map(words).map(|(_, text)| text).collect();
    let start = all.iter().position(|text| *text == "HOLE").ok_or("no table")?;
    let mut groups: Vec<(Told, Vec<(f64, f64)>)> = Vec::new();
    let mut rest = &all[start..];
    while let Some((text, after)) = rest.split_first() {
        rest = after;
        if let Some((_, words)) = text.split_once(": ").filter(|(letter, _)| letter.len() < 3) {
            let words = words.split(", ").next().unwrap_or(words);
            groups.push((begins(words).ok_or_else(|| format!("{words} says nothing"))?, Vec::new()));
            continue;
        }
        let Some((told, places)) = groups.last_mut() else { continue };
        let tag = text.len() >= 2 && text.starts_with(|sign: char| sign.is_ascii_uppercase());
        if tag
            && text.ends_with(|sign: char| sign.is_ascii_digit())
            && let [x, y, after @ ..] = rest
            && let Some(place) = number(x).zip(number(y))
        {
            places.push(place);
            rest = after;
            continue;
        }
        let _ = told.more(text);
    }
    let wanted: Vec<(&Feature, &Holes)> = part.holes().filter(|(_, holes)| !holes.places.is_empty()).collect();
    if groups.len() != wanted.len() {
        return Err(format!("{} groups of {}", groups.len(), wanted.len()));
    }
    for ((told, mut read), (feature, holes)) in groups.into_iter().zip(wanted) {
        if !told.is_holes(holes, unit) {
            return Err(format!("{}: {told:?}", feature.id));
        }
        for place in &holes.places {
            let (x, y) = (unit.of(place.x), unit.of(place.y));
            let at = read.iter().position(|(a, b)| (a - x).abs() < near && (b - y).abs() < near);
            read.remove(at.ok_or_else(|| format!("{}: no hole at {x}, {y}", feature.id))?);
        }
        if !read.is_empty() {
            return Err(format!("{}: too many holes: {read:?}", feature.id));
        }
    }
    Ok(())
}

#[test]
fn the_words_alone_make_the_part_again() {
    let mut bad = Vec::new();
    let mut counts = [0_usize; 2];
    for (part, format, sheet) in sheets() {
        let tabled = std::iter::once(sheet)
            .chain(&sheet.following)
            .any(|one| words(one).iter().any(|(_, text)| *text == "HOLE"));
        counts[usize::from(tabled)] += 1;
        let judged = if tabled { judge_table(part, sheet) } else { judge(part, sheet) };
        if let Err(why) = judged {
            bad.push(format!("{} {format:?}: {why}", part.number));
        }
    }
    assert!(counts[0] > 100 && counts[1] > 0, "both kinds of sheets: {counts:?}");
    assert!(
        bad.is_empty(),
        "{} of {counts:?} are not what they say:\n{}",
        bad.len(),
        bad[..bad.len().min(12)].join("\n")
    );
}

/// The reader is no yes-man.
#[test]
fn a_wrong_word_is_found_out() {
    let (part, _, sheet) = sheets().next().expect("a sheet");
    judge(part, sheet).expect("as it is");
    let texts: Vec<usize> = (0..sheet.items.len())
        .filter(|at| matches!(&sheet.items[*at].shape, Shape::Text { text, .. } if !text.starts_with("PICTURE")))
        .take(words(sheet).len() - 1)
        .collect();
    for at in texts {
        let mut other = sheet.clone();
        let Shape::Text { text, .. } = &mut other.items[at].shape else { continue };
        let Some(figure) = text.find(|sign: char| sign.is_ascii_digit() && sign != '0') else { continue };
        let wrong = if text.as_bytes()[figure] == b'9' { "1" } else { "9" };
        text.replace_range(figure..=figure, wrong);
        let text = text.clone();
        assert!(judge(part, &other).is_err(), "{text} is taken for good");
    }
}

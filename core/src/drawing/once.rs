//! Whether every size and every place stands on a sheet exactly once, judged by the sheet alone.
//!
//! Along each axis the planes and middles of a part are unknowns and every shown dimension is a
//! row; the sheet is complete where the rank is one less than the unknowns, and says nothing twice
//! where there are just as many rows (Dimensioning analysis, CACM 1992).

use std::collections::BTreeMap;

use super::drawn::sheets;
use super::style::FIGURE;
use super::{Item, Role, Shape, Sheet, lay_out, sample};
use crate::part::{Face, Head, Kind, Make, Part, Size};

/// A row of whole factors, one for each unknown.
type Row = Vec<i128>;

/// The rank, by elimination in whole numbers: nothing is rounded.
fn rank(mut rows: Vec<Row>) -> usize {
    let width = rows.first().map_or(0, Vec::len);
    let mut rank = 0;
    for column in 0..width {
        let Some(pivot) = (rank..rows.len()).find(|row| rows[*row][column] != 0) else { continue };
        rows.swap(rank, pivot);
        let lead = rows[rank].clone();
        for row in rows.iter_mut().skip(rank + 1).filter(|row| row[column] != 0) {
            let (a, b) = (lead[column], row[column]);
            for (mine, theirs) in row.iter_mut().zip(&lead) {
                *mine = *mine * a - *theirs * b;
            }
            // Divided by what all have in common, so that the factors stay small.
            let common = row.iter().fold(0, |common, value| divisor(common, value.abs()));
            if common > 1 {
                for value in row.iter_mut() {
                    *value /= common;
                }
            }
        }
        rank += 1;
    }
    rank
}

const fn divisor(mut a: i128, mut b: i128) -> i128 {
    while b != 0 {
        (a, b) = (b, a % b);
    }
    a
}

/// The unknowns of one axis and the rows that a sheet has for them.
#[derive(Default)]
struct Axis {
    unknowns: BTreeMap<String, usize>,
    rows: Vec<Vec<(String, i128)>>,
}

impl Axis {
    fn of(unknowns: impl IntoIterator<Item = String>) -> Self {
        let unknowns = unknowns.into_iter().enumerate().map(|(index, name)| (name, index)).collect();
        Self { unknowns, rows: Vec::new() }
    }

    fn row(&mut self, factors: &[(&str, i128)]) {
        self.rows.push(factors.iter().map(|(name, factor)| ((*name).to_owned(), *factor)).collect());
    }

    /// How many are missing, and how many too many.
    fn judged(&self) -> (usize, usize) {
        let rows: Vec<Row> = self
            .rows
            .iter()
            .map(|row| {
                let mut whole = vec![0; self.unknowns.len()];
                for (name, factor) in row {
                    whole[self.unknowns[name]] += factor;
                }
                whole
            })
            .collect();
        let (count, rank) = (rows.len(), rank(rows));
        (self.unknowns.len() - 1 - rank, count - rank)
    }
}

/// How often the sheet shows each value: labels of several pieces count once.
fn shown(sheet: &Sheet) -> BTreeMap<String, usize> {
    let mut count: BTreeMap<String, usize> = BTreeMap::new();
    let mut put = |item: &Item| {
        for name in item.shows.iter().flat_map(|shows| &shows.names) {
            *count.entry(name.clone()).or_default() += 1;
        }
    };
    // The pieces of a label: one line, or two smaller ones without it.
    let mut pairs: BTreeMap<Vec<String>, Vec<&Item>> = BTreeMap::new();
    for item in sheet.items.iter().chain(sheet.following.iter().flat_map(|sheet| &sheet.items)) {
        let Some(shows) = &item.shows else { continue };
        match &item.shape {
            Shape::Dashes(_) if item.role == Role::Centre => put(item),
            // What stands in brackets is told for help and is no size: ISO 129-1, ASME Y14.5.
            Shape::Text { text, .. } if text.starts_with('(') || text == ")" => {}
            Shape::Text { height, .. } if *height >= FIGURE - 1e-9 => put(item),
            Shape::Text { .. } => pairs.entry(shows.names.clone()).or_default().push(item),
            _ => {}
        }
    }
    for (names, pieces) in pairs {
        // A single small line is a note about a tolerance.
        let lines = pieces.len() / 2;
        for name in names.iter().filter(|_| lines > 0) {
            let main = count.entry(name.clone()).or_default();
            *main = (*main).max(lines);
        }
    }
    count
}

/// Lines between two arrows that show this value.
fn lines(sheet: &Sheet, name: &str) -> usize {
    let mine =
        |item: &&Item| item.role == Role::Arrow && item.shows.as_ref().is_some_and(|shows| shows.names == [name]);
    sheet.items.iter().filter(mine).count() / 2
}

/// Missing and surplus along, across and up: middles of holes and slots, with their faces' own
/// middles, and the planes of bar and tongues.
fn judged(part: &Part, sheet: &Sheet) -> [(usize, usize); 3] {
    let count = shown(sheet);
    let times = |name: &str| count.get(name).copied().unwrap_or(0);
    let mut all = [(); 3].map(|()| Axis::of(["low", "high", "middle"].map(str::to_owned)));
    for (one, size) in all.iter_mut().zip([&part.length, &part.width, &part.height]) {
        one.row(&[("middle", 2), ("low", -1), ("high", -1)]);
        (0..lines(sheet, &size.name)).for_each(|_| one.row(&[("low", -1), ("high", 1)]));
    }
    for feature in &part.features {
        let (names, along): (Vec<String>, bool) = match &feature.kind {
            Kind::Holes(holes) => ((1..=holes.places.len()).map(|n| format!("{}.{n}", feature.id)).collect(), true),
            Kind::Slot(slot) => (vec![feature.id.clone()], slot.length.is_some()),
            Kind::Tongue(_) => continue,
        };
        let axes = match feature.face {
            Face::Top | Face::Bottom => [0, 1],
            Face::Left | Face::Right => [1, 2],
        };
        for ((axis, letter), told) in axes.into_iter().zip(["x", "y"]).zip([along, true]) {
            for name in names.iter().filter(|_| told) {
                let one = &mut all[axis];
                let index = one.unknowns.len();
                one.unknowns.insert(name.clone(), index);
                (0..times(&format!("{name}.{letter}"))).for_each(|_| one.row(&[("middle", -1), (name, 1)]));
            }
        }
    }
    let [along, mut across, mut up] = all;
    for (feature, tongue) in part.tongues() {
        let [left, right, shoulder] = ["left", "right", "shoulder"].map(|side| format!("{}.{side}", feature.id));
        for name in [&left, &right] {
            let index = across.unknowns.len();
            across.unknowns.insert(name.clone(), index);
        }
        let index = up.unknowns.len();
        up.unknowns.insert(shoulder.clone(), index);
        (0..lines(sheet, &tongue.width.name)).for_each(|_| across.row(&[(&left, -1), (&right, 1)]));
        let middle = times(&format!("{}.offset", feature.id));
        (0..middle).for_each(|_| across.row(&[("middle", 2), (&left, -1), (&right, -1)]));
        (0..lines(sheet, &tongue.height.name)).for_each(|_| up.row(&[("high", 1), (&shoulder, -1)]));
    }
    [along.judged(), across.judged(), up.judged()]
}

/// The names of all sizes that a part has, each with how many features have it as theirs (two that
/// are cut from different faces may share one): asked of the part itself, not of what is drawn.
fn sizes(part: &Part) -> BTreeMap<String, usize> {
    let mut names: Vec<String> = [&part.length, &part.width, &part.height].map(|size| size.name.clone()).to_vec();
    names.extend(part.ends.corner.as_ref().map(|radius| radius.name.clone()));
    for feature in &part.features {
        let id = &feature.id;
        let mut put = |size: &Size| {
            names.push(size.name.clone());
        };
        match &feature.kind {
            Kind::Tongue(tongue) => {
                [&tongue.width, &tongue.height].into_iter().for_each(put);
                names.push(format!("{id}.offset"));
            }
            Kind::Slot(slot) => {
                slot.length.iter().chain([&slot.width]).chain(slot.depth.blind()).for_each(put);
                names.push(format!("{id}.y"));
                names.extend(slot.length.as_ref().map(|_| format!("{id}.x")));
            }
            Kind::Holes(holes) => {
                holes.depth.blind().into_iter().for_each(&mut put);
                match &holes.head {
                    Some(Head::Counterbore { diameter, depth }) => [diameter, depth].into_iter().for_each(&mut put),
                    Some(Head::Countersink { diameter, .. }) => put(diameter),
                    None => {}
                }
                let mut each = vec!["x", "y"];
                match &holes.make {
                    Make::Plain { diameter } | Make::Reamed { diameter } => put(diameter),
                    Make::Tapped { full, .. } => {
                        full.iter().for_each(put);
                        each.extend(["minor", "pitch_diameter"]);
                    }
                }
                for number in 1..=holes.places.len() {
                    names.extend(each.iter().map(|what| format!("{id}.{number}.{what}")));
                }
                names.extend(holes.chamfer.filter(|_| holes.head.is_none()).map(|_| format!("{id}.chamfer")));
            }
        }
    }
    let mut counts = BTreeMap::new();
    for name in names {
        *counts.entry(name).or_default() += 1;
    }
    counts
}

/// Sizes that do not stand on the sheet exactly once, each with how often it does.
fn uneven(part: &Part, sheet: &Sheet) -> Vec<(String, usize)> {
    let count = shown(sheet);
    let names = sizes(part);
    let often = |name: &String| count.get(name).copied().unwrap_or(0);
    // Tolerances that a note or callout says are no sizes of their own; the mass follows from them.
    let told = |name: &str| name == "mass" || name.ends_with("_tolerance") || name.ends_with(".centring");
    let foreign = |name: &&String| !names.contains_key(*name) && !told(name);
    let more = count.keys().filter(foreign).map(|name| (name.clone(), often(name)));
    let uneven = names.iter().filter(|(name, wanted)| often(name) != **wanted);
    uneven.map(|(name, _)| (name.clone(), often(name))).chain(more).collect()
}

#[test]
fn every_place_is_told_once() {
    for (part, format, sheet) in sheets() {
        assert_eq!(judged(part, sheet), [(0, 0); 3], "{} {format:?}: missing and surplus on x, y, z", part.number);
        assert_eq!(uneven(part, sheet), [], "{} {format:?}: sizes told not once", part.number);
    }
}

#[test]
fn a_doctored_sheet_is_found_out() {
    let part = sample::key();
    let good = lay_out(&part, &sample::format(&part), &sample::stamp()).value.expect("it fits");
    let named = |item: &Item, end: &str| {
        item.shows
            .as_ref()
            .is_some_and(|shows| shows.names.iter().any(|name| name == end || name.ends_with(&format!(".{end}"))))
    };
    let without = |end: &str| {
        let mut sheet = good.clone();
        sheet.items.retain(|item| !named(item, end));
        sheet
    };
    let twice = |end: &str| {
        let mut sheet = good.clone();
        sheet.items.extend(good.items.iter().filter(|item| named(item, end)).cloned());
        sheet
    };
    assert_eq!(judged(&part, &without("1.x"))[0], (1, 0), "a hole forgotten");
    assert_eq!(judged(&part, &twice("1.x"))[0], (0, 1), "a hole told twice");
    assert_eq!(judged(&part, &without(&part.length.name))[0], (1, 0), "no length");
    assert_eq!(judged(&part, &twice(&part.height.name))[2].1, 1, "height on two views");
    assert_eq!(judged(&part, &without("offset"))[1], (1, 0), "nothing says that the tongue is on the middle");
    assert!(!uneven(&part, &without("chamfer")).is_empty(), "no chamfer");
    assert!(!uneven(&part, &twice("pitch_diameter")).is_empty(), "the thread told twice");
    assert!(uneven(&part, &good).is_empty(), "the sheet as it is");
}

#[test]
fn rank_is_exact() {
    let span = |from: usize, to: usize| (0..4).map(|at| i128::from(at == to) - i128::from(at == from)).collect::<Row>();
    assert_eq!(rank(vec![span(0, 1), span(1, 2), span(2, 3)]), 3, "a chain");
    assert_eq!(rank(vec![span(0, 1), span(1, 2), span(0, 2)]), 2, "a closed chain says one thing twice");
    assert_eq!(rank(Vec::new()), 0, "nothing said");
}

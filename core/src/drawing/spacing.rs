//! White and order on a finished sheet: extension lines, nested dimensions, views beside each other,
//! lines on lines, how the sheet is filled, and that a slightly longer part looks the same.

use std::collections::BTreeSet;

use super::checks::{Line, line, lines, off, words};
use super::drawn::sheets;
use super::tests::interrupted;
use super::variants::House;
use super::{Convention, Format, Item, Paper, Role, Shape, Sheet, lay_out, sample};
use crate::geom::{Point, Rect};
use crate::quantity::Unit;

/// A straight line that is level or upright: whether level, where across, and from where to where.
fn squared((a, b): Line) -> Option<(bool, f64, f64, f64)> {
    if (a.y - b.y).abs() < 1e-9 {
        Some((true, a.y, a.x.min(b.x), a.x.max(b.x)))
    } else if (a.x - b.x).abs() < 1e-9 {
        Some((false, a.x, a.y.min(b.y), a.y.max(b.y)))
    } else {
        None
    }
}

/// The edges that are seen, as straight lines and corners.
fn edges(sheet: &Sheet) -> Vec<Line> {
    let mut all = Vec::new();
    for item in sheet.items.iter().filter(|item| item.role == Role::Outline) {
        match &item.shape {
            Shape::Line(a, b) => all.push((*a, *b)),
            Shape::Polyline { points, closed, .. } => {
                all.extend(points.windows(2).map(|pair| (pair[0], pair[1])));
                if *closed {
                    all.extend(points.last().zip(points.first()).map(|(a, b)| (*a, *b)));
                }
            }
            _ => {}
        }
    }
    all
}

/// The dimensions of a sheet: the line with its own extension lines.
fn dimensions(sheet: &Sheet) -> Vec<(Line, &Item)> {
    let arrows: Vec<(&Item, Point)> = sheet
        .items
        .iter()
        .filter(|item| item.role == Role::Arrow && item.shows.is_some())
        .filter_map(|item| match &item.shape {
            Shape::Polyline { points, .. } => Some((item, *points.first()?)),
            _ => None,
        })
        .collect();
    let dimensioned = lines(sheet, Role::Dimension);
    let mut all = Vec::new();
    for (at, (item, tip)) in arrows.iter().enumerate() {
        let other = arrows[at + 1..].iter().find(|(other, _)| other.shows == item.shows);
        if let Some((_, end)) = other.filter(|_| dimensioned.iter().any(|(line, _)| line.shows == item.shows)) {
            all.push(((*tip, *end), *item));
        }
    }
    all
}

/// From the edge 1 to 2 mm of white, past the dimension line 2 to 3.5 mm; the first line 8 mm from the
/// edge at least (`FIRST` is 10).
#[test]
fn extension_lines_begin_and_end_by_the_standard() {
    let mut seen = 0;
    for (part, format, sheet) in sheets() {
        let name = format!("{} {format:?}", part.number);
        let (extensions, edges) = (lines(sheet, Role::Extension), edges(sheet));
        for ((a, b), item) in dimensions(sheet) {
            for tip in [a, b] {
                let Some((_, ext)) = extensions.iter().find(|(_, ext)| off(*ext, tip) < 0.02) else {
                    panic!("{name}: no extension line at {tip:?} of {:?}", item.shows);
                };
                let (near, far) = if edges.iter().map(|edge| off(*edge, ext.0)).fold(f64::INFINITY, f64::min)
                    < edges.iter().map(|edge| off(*edge, ext.1)).fold(f64::INFINITY, f64::min)
                {
                    (ext.0, ext.1)
                } else {
                    (ext.1, ext.0)
                };
                // An extension line that serves two rows goes on to the outer one.
                let past = tip.distance(far);
                assert!(past > 1.99, "{name}: {past} past the dimension line at {tip:?}");
                // Rounded corners and pieces left out have no corner where the edge would end.
                if !interrupted(sheet) && part.ends.corner.is_none() {
                    let white = edges.iter().map(|edge| off(*edge, near)).fold(f64::INFINITY, f64::min);
                    assert!((0.99..2.01).contains(&white), "{name}: {white} of white at {near:?}, {:?}", item.shows);
                    let out = near.distance(tip) + white;
                    assert!(out > 7.99, "{name}: the first line is {out} from the edge");
                }
                seen += 1;
            }
        }
    }
    assert!(seen > 1000, "many were seen: {seen}");
}

/// Of two dimensions on the same side, of which one spans the other, the shorter is nearer to the part.
#[test]
fn shorter_dimensions_are_nearer() {
    let mut pairs = 0;
    for (part, format, sheet) in sheets() {
        let extensions = lines(sheet, Role::Extension);
        // How far along its extension line a dimension lies, from where that starts.
        let all: Vec<_> = dimensions(sheet)
            .into_iter()
            .filter_map(|(dimension, item)| {
                let (level, at, from, to) = squared(dimension)?;
                let (_, ext) = extensions.iter().find(|(_, ext)| off(*ext, dimension.0) < 0.02)?;
                let out = if level { ext.1.y - ext.0.y } else { ext.1.x - ext.0.x };
                Some((level, at, from, to, out.signum(), item))
            })
            .collect();
        for one in &all {
            for other in &all {
                let same = one.0 == other.0 && (one.4 - other.4).abs() < 0.1;
                let spans =
                    other.2 > one.2 - 1e-6 && other.3 < one.3 + 1e-6 && other.3 - other.2 < one.3 - one.2 - 1e-6;
                // Of one view: rows of one rail stand within a few centimetres.
                if same && spans && (one.1 - other.1).abs() < 25.0 {
                    pairs += 1;
                    let nearer = (other.1 - one.1) * one.4 < 1e-6;
                    assert!(nearer, "{} {format:?}: {:?} outside {:?}", part.number, other.5.shows, one.5.shows);
                }
            }
        }
    }
    assert!(pairs > 20, "nested ones were seen: {pairs}");
}

/// The boxes of the views: closed outlines that lie in no other.
fn views(sheet: &Sheet) -> Vec<Rect> {
    let boxes: Vec<Rect> = sheet
        .items
        .iter()
        .filter(|item| item.role == Role::Outline)
        .filter_map(|item| match &item.shape {
            Shape::Polyline { points, closed: true, .. } => {
                let first = *points.first()?;
                Some(points.iter().fold(Rect::new(first, first), |all, at| all.with(Rect::new(*at, *at))))
            }
            _ => None,
        })
        .collect();
    let inside = |one: &Rect| {
        let outer =
            |other: &&Rect| *other != one && other.grown(1e-6).holds(one.low) && other.grown(1e-6).holds(one.high);
        boxes.iter().any(|other| outer(&other))
    };
    boxes.iter().filter(|one| !inside(one)).copied().collect()
}

/// White between two views: 10 mm at least.
#[test]
fn views_stand_apart() {
    for (part, format, sheet) in sheets() {
        let views = views(sheet);
        for (at, one) in views.iter().enumerate() {
            for other in &views[at + 1..] {
                assert!(!one.grown(9.99).overlaps(*other), "{} {format:?}: {one:?}, {other:?}", part.number);
            }
        }
    }
}

/// No straight line is drawn twice, and visible edges beside each other leave white between.
#[test]
fn no_line_lies_on_another() {
    for (part, format, sheet) in sheets() {
        let name = format!("{} {format:?}", part.number);
        for role in [Role::Outline, Role::Extension, Role::Dimension, Role::Centre, Role::Hidden, Role::Frame] {
            let own: Vec<_> =
                sheet.items.iter().filter(|item| item.role == role).filter_map(|item| squared(line(item)?)).collect();
            for (at, one) in own.iter().enumerate() {
                for other in &own[at + 1..] {
                    let along = one.0 == other.0 && one.2 < other.3 - 0.05 && other.2 < one.3 - 0.05;
                    // Two places a ten-thousandth of an inch apart are two places.
                    let apart = (one.1 - other.1).abs();
                    assert!(!along || apart > 1e-4, "{name}: {role:?} {one:?} on {other:?}");
                }
            }
        }
    }
}

/// Centre lines go 2 to 5 mm past what they are the middle of: the whole part's past its outline.
#[test]
fn middle_lines_go_past_the_outline() {
    for (part, format, sheet) in sheets().filter(|(_, _, sheet)| !interrupted(sheet)) {
        let wanted = part.length.nominal.as_mm() * sheet.scale;
        let long = lines(sheet, Role::Centre).into_iter().filter_map(|(_, one)| squared(one)).filter(|one| one.0);
        let past: Vec<f64> =
            long.map(|one| (one.3 - one.2 - wanted) / 2.0).filter(|past| *past > 1e-6 && *past < 20.0).collect();
        assert!(past.iter().any(|past| (2.0..=5.0).contains(past)), "{} {format:?}: {past:?}", part.number);
    }
}

/// Words that the sheet says by itself; those of people stand in notes and title block.
const KNOWN: [&str; 26] = [
    "STOCK", "THRU", "TAP", "DRILL", "PLACES", "SECTION", "DETAIL", "SCALE", "PICTURE", "NOT", "TO", "IN", "EACH",
    "END", "ONE", "FROM", "BELOW", "LEFT", "RIGHT", "SLOT", "WIDE", "LONG", "OVER", "ENDS", "HOLE", "DEEP",
];

/// Around the views stand known words and signs, and nothing that two people read differently.
#[test]
fn words_around_the_views_are_known() {
    let mut unknown = BTreeSet::new();
    for (_, _, sheet) in sheets() {
        for text in words(sheet) {
            for word in text.split(|sign: char| !sign.is_alphabetic()).filter(|word| word.len() > 2) {
                let series = matches!(word, "UNC" | "UNF" | "UNEF");
                let count = ["TWO", "THREE", "FOUR", "GROOVE", "TIMES", "REAM", "AND"].contains(&word);
                if !KNOWN.contains(&word) && !series && !count {
                    unknown.insert(word.to_owned());
                }
            }
        }
    }
    assert!(unknown.is_empty(), "{unknown:?}");
}

/// What is drawn lies in the middle of what the frame leaves free, and fills it; printed so that a
/// change for the worse is seen, and held where it would hurt.
#[test]
#[expect(clippy::print_stderr, reason = "the figures are what the one who runs a long test asks for")]
fn sheets_are_filled_and_balanced() {
    let (mut fills, mut tilts, mut leaders, mut clear) = (Vec::new(), Vec::new(), Vec::new(), f64::INFINITY);
    for (_, _, sheet) in sheets() {
        // Frame and title block come first among the words: what stands before is of the views.
        let tabled = sheet.items.iter().any(|item| matches!(&item.shape, Shape::Text { text, .. } if text == "HOLE"));
        let own = |item: &&Item| !matches!(item.role, Role::Frame | Role::Text | Role::Picture);
        let ends = sheet.items.iter().filter(own).filter_map(line).flat_map(|(a, b)| [a, b]);
        let whole = ends.map(|at| Rect::new(at, at)).reduce(Rect::with).expect("something is drawn");
        let pictured =
            sheet.items.iter().filter(|item| item.role == Role::Picture).filter_map(|item| match &item.shape {
                Shape::Polyline { points, .. } => points.first().map(|at| Rect::new(*at, *at)),
                _ => None,
            });
        // The sign of the projection stands in the title block.
        let block = sheet.frame.low.y + 44.0;
        let whole = pictured.filter(|at| at.low.y > block).fold(whole, Rect::with);
        let (wide, high) = (sheet.frame.width(), sheet.frame.height() - 52.0);
        fills.push((whole.width() / wide).max(whole.height() / high));
        if !tabled {
            tilts.push((whole.middle().x - sheet.frame.middle().x).abs() / wide);
        }
        for (item, (a, b)) in lines(sheet, Role::Leader) {
            if item.shows.is_some() && (a.y - b.y).abs() > 1e-9 {
                leaders.push(a.distance(b));
            }
        }
        let texts: Vec<Rect> = sheet
            .items
            .iter()
            .filter_map(|item| match &item.shape {
                Shape::Text { ink, .. } if item.shows.is_none() => Some(*ink),
                _ => None,
            })
            .collect();
        for (at, one) in texts.iter().enumerate() {
            for other in &texts[at + 1..] {
                let gap = |low: f64, high: f64| (low - high).max(0.0);
                let right = gap(one.low.x, other.high.x).max(gap(other.low.x, one.high.x));
                let up = gap(one.low.y, other.high.y).max(gap(other.low.y, one.high.y));
                clear = clear.min((right * right + up * up).sqrt());
            }
        }
    }
    let share = |list: &mut Vec<f64>, part: usize| {
        list.sort_by(f64::total_cmp);
        list[list.len() * part / 100]
    };
    eprintln!(
        "filled, of width or height: least {:.2}, one in ten below {:.2}, median {:.2}; middle off by a tenth at most in {:.0} %, at worst {:.2}; leaders: median {:.0} mm, nineteen of twenty below {:.0} mm, longest {:.0} mm; least white between words {clear:.2} mm",
        share(&mut fills, 0),
        share(&mut fills, 10),
        share(&mut fills, 50),
        100.0 * tilts.iter().filter(|tilt| **tilt < 0.1).count() as f64 / tilts.len() as f64,
        share(&mut tilts, 99),
        share(&mut leaders, 50),
        share(&mut leaders, 95),
        leaders.last().copied().unwrap_or(0.0),
    );
    assert!(share(&mut fills, 10) > 0.5, "nine of ten sheets are filled by half");
    assert!(share(&mut tilts, 90) < 0.1, "nine of ten sheets lie in the middle");
    // 45 mm is what the eye follows with ease; where holes crowd each other some must be longer.
    assert!(share(&mut leaders, 95) <= 50.0, "hardly a leader leads far");
}

/// A part that is a little longer keeps the order of its views and the side of its places.
#[test]
fn a_longer_part_looks_the_same() {
    let house = House::new();
    for (family, name) in [(1, "length_per_rail"), (2, "length"), (3, "length")] {
        let family = &house.families[family];
        for (convention, paper) in [(Convention::Iso, Paper::A4), (Convention::Asme, Paper::Letter)] {
            let mut looks = BTreeSet::new();
            for step in 0..24 {
                let length = format!("{} mm", 40.0 + 3.5 * f64::from(step));
                let Some(part) = house.part(family, None, &[(name, &length)], Some(Unit::Mm)) else { continue };
                let format = Format { convention, paper, embed_font: false };
                let sheet = lay_out(&part, &format, &sample::stamp()).value.expect("it finds room");
                let mut views = views(&sheet);
                views.sort_by(|a, b| b.middle().y.total_cmp(&a.middle().y));
                let zero = sheet.items.iter().find_map(|item| match &item.shape {
                    Shape::Text { text, ink, .. } if text == "0" => Some(ink.middle()),
                    _ => None,
                });
                let high = |one: &Rect| (one.height() / sheet.scale * 1e3).round();
                let length = part.length.nominal.as_mm() * sheet.scale;
                let long: Vec<&Rect> = views.iter().filter(|one| (one.width() - length).abs() < 1e-6).collect();
                let flat = long.first().zip(long.last()).map(|(a, b)| high(a) < high(b));
                let below = zero.zip(long.last()).map(|(zero, last)| zero.y < last.middle().y);
                let right = views
                    .iter()
                    .find(|one| (one.width() - length).abs() > 1e-6)
                    .map(|end| long.first().is_some_and(|front| end.middle().x > front.middle().x));
                if interrupted(&sheet) || part.ends.corner.is_some() {
                    continue;
                }
                looks.insert(format!("{flat:?} {below:?} {right:?}"));
            }
            assert!(looks.len() <= 1, "{name} {convention:?}: {looks:?}");
        }
    }
}

//! What a checker looks for on a finished sheet, one by one: arrows, rows, marks, threads, order of
//! views, spelling of numbers, ink.

use std::collections::BTreeSet;

use super::drawn::sheets;
use super::tests::interrupted;
use super::{Convention, Item, Role, Shape, Sheet, svg};
use crate::geom::{Point, Rect, Vector};
use crate::quantity::Unit;

pub(super) type Line = (Point, Point);

/// The whole of a straight item; a broken line as one.
pub(super) fn line(item: &Item) -> Option<Line> {
    match &item.shape {
        Shape::Line(a, b) => Some((*a, *b)),
        Shape::Dashes(dashes) => Some((dashes.first()?.0, dashes.last()?.1)),
        _ => None,
    }
}

pub(super) fn lines(sheet: &Sheet, role: Role) -> Vec<(&Item, Line)> {
    sheet.items.iter().filter(|item| item.role == role).filter_map(|item| Some((item, line(item)?))).collect()
}

pub(super) fn off((a, b): Line, place: Point) -> f64 {
    let way = b - a;
    let along = ((place - a).dot(way) / way.dot(way)).clamp(0.0, 1.0);
    place.distance(a + way * along)
}

fn meet(a: Line, b: Line) -> bool {
    let turn = |p: Point, q: Point, r: Point| (q - p).cross(r - p);
    turn(a.0, a.1, b.0) * turn(a.0, a.1, b.1) < -1e-9 && turn(b.0, b.1, a.0) * turn(b.0, b.1, a.1) < -1e-9
}

pub(super) fn words(sheet: &Sheet) -> impl Iterator<Item = &str> {
    let texts = sheet.items.iter().filter_map(|item| match &item.shape {
        Shape::Text { text, .. } => Some(text.as_str()),
        _ => None,
    });
    texts.take_while(|text| !text.starts_with("CHECK BAR"))
}

/// Tips lie on the extension lines of their dimension, and no other runs through a head.
#[test]
fn arrows_end_on_their_lines() {
    for (part, format, sheet) in sheets() {
        let extensions = lines(sheet, Role::Extension);
        let dimensions = lines(sheet, Role::Dimension);
        for arrow in sheet.items.iter().filter(|item| item.role == Role::Arrow) {
            let Shape::Polyline { points, .. } = &arrow.shape else { panic!("a head has three corners") };
            let (tip, back) = (points[0], points[1].middle(points[2]));
            if arrow.shows.is_none() || !dimensions.iter().any(|(item, _)| item.shows == arrow.shows) {
                continue;
            }
            let near = extensions.iter().map(|(_, line)| off(*line, tip)).fold(f64::INFINITY, f64::min);
            assert!(near < 0.02, "{} {format:?}: an arrow {near} off its line at {tip:?}", part.number);
            let head = (tip + (back - tip) * 0.2, back);
            let cut = extensions.iter().find(|(_, line)| meet(*line, head));
            assert!(cut.is_none(), "{} {format:?}: a head is cut at {tip:?}", part.number);
        }
    }
}

/// Dimension lines beside each other are 6 mm apart at least.
#[test]
fn rows_stand_apart() {
    for (part, format, sheet) in sheets() {
        let dimensions = lines(sheet, Role::Dimension);
        let turned = |place: Point, level: bool| if level { (place.x, place.y) } else { (place.y, place.x) };
        for level in [true, false] {
            let rows: Vec<(f64, f64, f64)> = dimensions
                .iter()
                .map(|(_, (a, b))| (turned(*a, level), turned(*b, level)))
                .filter(|(a, b)| (a.1 - b.1).abs() < 1e-9)
                .map(|(a, b)| (a.0.min(b.0), a.0.max(b.0), a.1))
                .collect();
            for (at, one) in rows.iter().enumerate() {
                for other in &rows[at + 1..] {
                    let beside = one.0 < other.1 - 0.1 && other.0 < one.1 - 0.1;
                    let apart = (one.2 - other.2).abs();
                    assert!(!beside || apart > 5.99, "{} {format:?}: rows {apart} apart", part.number);
                }
            }
        }
    }
}

/// Nothing of the views lies on the title block, and all ink is clear of the edge that printers leave.
#[test]
fn the_title_block_is_free() {
    for (part, format, sheet) in sheets() {
        let frame = sheet.frame;
        let block =
            Rect::new(Point::new(frame.high.x - 180.0, frame.low.y), Point::new(frame.high.x, frame.low.y + 44.0));
        for item in sheet.items.iter().filter(|item| !matches!(item.role, Role::Frame | Role::Picture | Role::Text)) {
            let ends = line(item).map_or_else(Vec::new, |(a, b)| vec![a, b, a.middle(b)]);
            assert!(!ends.into_iter().any(|end| block.holds(end)), "{} {format:?}: {item:?} lies there", part.number);
        }
        let paper = Rect::new(Point::default(), Point::new(sheet.width, sheet.height));
        assert!(paper.grown(-6.35).holds(frame.low) && paper.grown(-6.35).holds(frame.high), "{}", part.number);
    }
}

/// Every round hole has its cross.
#[test]
fn holes_have_centre_marks() {
    for (part, format, sheet) in sheets() {
        let axes = lines(sheet, Role::Centre);
        for item in sheet.items.iter().filter(|item| item.role == Role::Outline) {
            let Shape::Circle { centre, .. } = &item.shape else { continue };
            let through = |level: bool| {
                axes.iter().any(|(_, (a, b))| {
                    let way = *b - *a;
                    let along = if level { way.y } else { way.x };
                    along.abs() < 1e-6 && off((*a, *b), *centre) < 1e-3
                })
            };
            assert!(through(true) && through(false), "{} {format:?}: no cross at {centre:?}", part.number);
        }
    }
}

/// Three quarters of a thin circle about a thick one, open at the upper right, 0.7 mm apart at least.
#[test]
fn threads_are_drawn_by_the_standard() {
    for (part, format, sheet) in sheets().filter(|(_, format, _)| format.convention == Convention::Iso) {
        let circles: Vec<(Point, f64)> = sheet
            .items
            .iter()
            .filter(|item| item.role == Role::Outline)
            .filter_map(|item| match &item.shape {
                Shape::Circle { centre, radius } => Some((*centre, *radius)),
                _ => None,
            })
            .collect();
        let mut threads = 0;
        for item in sheet.items.iter().filter(|item| item.role == Role::Outline) {
            let Shape::Arc { centre, radius, start, sweep } = &item.shape else { continue };
            if (sweep.as_degree() - 270.0).abs() > 1e-6 {
                continue;
            }
            threads += 1;
            let open = |degree: f64| {
                let from = start.as_degree() + sweep.as_degree() - 360.0;
                degree > from && degree < start.as_degree()
            };
            assert!(open(45.0) && !open(0.0) && !open(135.0), "{}: open at the upper right", part.number);
            let inner = circles.iter().filter(|(middle, _)| middle.distance(*centre) < 1e-6).map(|(_, radius)| *radius);
            let inner = inner.filter(|inner| inner < radius).fold(0.0, f64::max);
            assert!(inner > 0.0 && radius - inner > 0.69, "{} {format:?}: {inner} in {radius}", part.number);
        }
        let tapped =
            part.holes().any(|(feature, holes)| holes.thread().is_some() && feature.face == crate::part::Face::Top);
        assert!(!tapped || threads > 0, "{} {format:?}: no thread is drawn", part.number);
    }
}

/// Front and top view stand over each other, in the order of the symbol.
#[test]
fn views_are_in_line() {
    for (part, format, sheet) in sheets() {
        if interrupted(sheet) || part.ends.corner.is_some() {
            continue;
        }
        let sized = |high: f64| -> Vec<Point> {
            let wanted = Vector::new(part.length.nominal.as_mm(), high) * sheet.scale;
            let boxes =
                sheet.items.iter().filter(|item| item.role == Role::Outline).filter_map(|item| match &item.shape {
                    Shape::Polyline { points, closed: true, .. } => {
                        let first = Rect::new(points[0], points[0]);
                        Some(points.iter().fold(first, |all, at| all.with(Rect::new(*at, *at))))
                    }
                    _ => None,
                });
            let good =
                |place: &Rect| (place.width() - wanted.x).abs() < 1e-6 && (place.height() - wanted.y).abs() < 1e-6;
            boxes.filter(good).map(Rect::middle).collect()
        };
        let (fronts, tops) = (sized(part.height.nominal.as_mm()), sized(part.width.nominal.as_mm()));
        let ordered = fronts.iter().any(|front| {
            tops.iter().any(|top| {
                let over = if format.convention == Convention::Iso { front.y - top.y } else { top.y - front.y };
                (front.x - top.x).abs() < 1e-6 && over > 1.0
            })
        });
        assert!(ordered, "{} {format:?}: {fronts:?}, {tops:?}", part.number);
    }
}

/// A zero before the point for millimetres and none for inches; capitals; no abbreviation that each
/// reads as he likes; units, general tolerance, scale and sheet stand there.
#[test]
fn words_are_spelt_by_the_standard() {
    for (part, format, sheet) in sheets() {
        let name = format!("{} {format:?}", part.number);
        for text in words(sheet) {
            let signs: Vec<char> = text.chars().collect();
            for (at, pair) in signs.windows(2).enumerate() {
                let before = at.checked_sub(1).and_then(|at| signs.get(at)).copied().unwrap_or(' ');
                // `M5x0.8` is what a metric thread is called, in whatever unit the sheet is.
                let zero = pair == ['0', '.'] && !before.is_ascii_digit() && !matches!(before, '.' | 'x');
                let bare = pair[0] == '.' && pair[1].is_ascii_digit() && at == 0;
                match part.unit {
                    Unit::Inch => assert!(!zero, "{name}: '{text}' has a zero before the point"),
                    Unit::Mm => assert!(!bare, "{name}: '{text}' has no zero before the point"),
                }
            }
            for word in text.split(|sign: char| !sign.is_alphabetic()).filter(|word| word.len() > 2) {
                assert!(word.chars().all(char::is_uppercase), "{name}: '{word}' in '{text}'");
                assert!(!matches!(word, "TYP" | "TYPICAL"), "{name}: '{text}'");
            }
        }
        let all: BTreeSet<&str> = sheet
            .items
            .iter()
            .filter_map(|item| match &item.shape {
                Shape::Text { text, .. } => Some(text.as_str()),
                _ => None,
            })
            .collect();
        let has = |start: &str| all.iter().any(|text| text.starts_with(start));
        let captions = [
            "MATERIAL", "FINISH", "STOCK", "EDGES", "MASS", "OWNER", "TITLE", "SCALE", "SHEET", "NUMBER", "REVISION",
            "DIGEST",
        ];
        for wanted in captions.into_iter().chain(["1. DIMENSIONS IN "]) {
            assert!(has(wanted), "{name}: no {wanted}");
        }
        assert!(has(&format!("1/{}", 1 + sheet.following.len())), "{name}: the number of the sheet");
        assert!(part.general.name.is_empty() || has("GENERAL TOLERANCES"), "{name}: general tolerances");
    }
}

/// Black on white, and nothing told by colour.
#[test]
fn ink_is_black() {
    for (part, _, sheet) in sheets().step_by(7) {
        let text = svg::write(&Sheet { embed_font: false, ..sheet.clone() });
        for what in ["fill=\"", "stroke=\""] {
            for value in text.split(what).skip(1).filter_map(|rest| rest.split('"').next()) {
                assert!(matches!(value, "#000" | "#fff" | "none"), "{}: {what}{value}", part.number);
            }
        }
    }
}

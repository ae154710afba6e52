//! Sheets judged as a checker would: by what stands on the paper, not by how it came there.

#![allow(
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "small numbers of a test"
)]

use std::collections::BTreeMap;

use super::drawn::{All, all, laid_out, sheets};
use super::{Format, Item, Role, Shape, Sheet, lay_out, sample, svg};
use crate::geom::{Point, Rect};
use crate::part::{Measure, Part, characteristics};
use crate::quantity::{Length, Unit};

/// Whether pieces of the bar are left out: lines of breaks, and not only circles of details.
pub(super) fn interrupted(sheet: &Sheet) -> bool {
    sheet.items.iter().any(|item| item.role == Role::Break && matches!(item.shape, Shape::Polyline { .. }))
}

struct Lettered<'s> {
    ink: Rect,
    height: f64,
    text: &'s str,
    item: &'s Item,
}

fn texts(sheet: &Sheet) -> Vec<Lettered<'_>> {
    sheet
        .items
        .iter()
        .filter_map(|item| match &item.shape {
            Shape::Text { ink, height, text, .. } => Some(Lettered { ink: *ink, height: *height, text, item }),
            _ => None,
        })
        .collect()
}

/// The lines of an item as they are drawn; circles as many short ones.
fn strokes(item: &Item) -> Vec<(Point, Point)> {
    match &item.shape {
        Shape::Line(a, b) => vec![(*a, *b)],
        Shape::Dashes(dashes) => dashes.clone(),
        Shape::Polyline { points, closed, .. } => {
            let mut all: Vec<_> = points.windows(2).map(|pair| (pair[0], pair[1])).collect();
            if *closed {
                all.push((points[points.len() - 1], points[0]));
            }
            all
        }
        Shape::Circle { centre, radius } | Shape::Arc { centre, radius, .. } => {
            let at = |n: i32| {
                let way = crate::geom::Vector::toward(crate::quantity::Angle::degree(f64::from(n) * 15.0));
                *centre + way * *radius
            };
            (0..24).map(|n| (at(n), at(n + 1))).collect()
        }
        Shape::Text { .. } => Vec::new(),
    }
}

/// How near a line comes to a box, by points along it.
fn enters((a, b): (Point, Point), place: Rect) -> bool {
    if !Rect::new(a, b).grown(0.01).overlaps(place) {
        return false;
    }
    let steps = (a.distance(b) / 0.1).ceil().max(1.0);
    (0..=steps as u32).any(|n| {
        let place_on = a + (b - a) * (f64::from(n) / steps);
        place_on.x > place.low.x && place_on.x < place.high.x && place_on.y > place.low.y && place_on.y < place.high.y
    })
}

fn meet(a: (Point, Point), b: (Point, Point)) -> bool {
    let turn = |p: Point, q: Point, r: Point| (q - p).cross(r - p);
    let apart = |x: f64, y: f64| (x > 1e-6 && y < -1e-6) || (x < -1e-6 && y > 1e-6);
    apart(turn(a.0, a.1, b.0), turn(a.0, a.1, b.1)) && apart(turn(b.0, b.1, a.0), turn(b.0, b.1, a.1))
}

/// Of the variants that the rules allow, fewer than one in a hundred finds no room on its paper or
/// the next larger, and the refusal says what would do.
#[test]
#[expect(clippy::print_stderr, reason = "the counts are what the one who runs a long test asks for")]
fn hardly_any_variant_is_refused() {
    let All { sheets, asked, larger, refused } = all();
    let count = |test: &dyn Fn(&Sheet) -> bool| sheets.iter().filter(|(_, _, sheet)| test(sheet)).count();
    let words =
        |start: &'static str| count(&|sheet: &Sheet| texts(sheet).iter().any(|text| text.text.starts_with(start)));
    eprintln!(
        "{asked} variants: {larger} on larger paper, {} refused; of {} sheets {} are interrupted, {} have a detail, {} a section, {} following sheets, {} both ends in one",
        refused.len(),
        sheets.len(),
        count(&interrupted),
        words("DETAIL "),
        words("SECTION "),
        count(&|sheet: &Sheet| !sheet.following.is_empty()),
        count(&|sheet: &Sheet| texts(sheet).iter().any(|text| text.text.ends_with(" IN EACH END"))),
    );
    for why in refused.iter().take(20) {
        eprintln!("  {why}");
    }
    assert!(refused.len() * 100 <= *asked, "{} of {asked} refused: {:?}", refused.len(), refused.first());
}

#[test]
fn nothing_touches_a_text() {
    for (part, format, sheet) in sheets() {
        let name = format!("{} {format:?}", part.number);
        let texts = texts(sheet);
        for (index, one) in texts.iter().enumerate() {
            for other in &texts[index + 1..] {
                let label = one.item.shows.is_some() && one.item.shows == other.item.shows;
                let white = if label { -0.02 } else { 0.2 };
                assert!(!one.ink.grown(white).overlaps(other.ink), "{name}: '{}' touches '{}'", one.text, other.text);
            }
            for item in &sheet.items {
                for line in strokes(item) {
                    assert!(!enters(line, one.ink.grown(0.25)), "{name}: '{}' is crossed by {:?}", one.text, item);
                }
            }
        }
    }
}

#[test]
fn everything_is_inside_and_large_enough() {
    for (part, _, sheet) in sheets() {
        let frame = sheet.frame.grown(1e-6);
        for item in &sheet.items {
            for (a, b) in strokes(item) {
                assert!(frame.holds(a) && frame.holds(b), "{}: {item:?} leaves the frame", part.number);
            }
        }
        for text in texts(sheet) {
            assert!(
                frame.holds(text.ink.low) && frame.holds(text.ink.high),
                "{}: '{}' leaves the frame",
                part.number,
                text.text
            );
            assert!(text.height >= 2.5, "{}: '{}' is only {} high", part.number, text.text, text.height);
        }
    }
}

#[test]
fn dimension_lines_are_never_cut() {
    for (part, format, sheet) in sheets() {
        let of = |roles: &'static [Role]| {
            sheet
                .items
                .iter()
                .filter(move |item| roles.contains(&item.role))
                .flat_map(|item| strokes(item).into_iter().map(move |line| (item, line)))
        };
        for (item, line) in of(&[Role::Dimension]) {
            for (other, theirs) in of(&[Role::Dimension, Role::Leader, Role::Extension, Role::Outline, Role::Centre]) {
                let own = item.shows == other.shows;
                assert!(own || !meet(line, theirs), "{} {format:?}: {item:?} is cut by {other:?}", part.number);
            }
        }
        for (item, line) in of(&[Role::Leader]) {
            for (other, theirs) in of(&[Role::Leader, Role::Extension]) {
                assert!(item.shows == other.shows || !meet(line, theirs), "{}: {item:?} meets {other:?}", part.number);
            }
        }
    }
}

#[test]
fn leaders_end_on_what_they_speak_of() {
    for (part, format, sheet) in sheets() {
        let outlines = || sheet.items.iter().filter(|item| matches!(item.role, Role::Outline | Role::Hidden));
        let circles: Vec<(Point, f64)> = outlines()
            .filter_map(|item| match &item.shape {
                Shape::Circle { centre, radius } | Shape::Arc { centre, radius, .. } => Some((*centre, *radius)),
                _ => None,
            })
            .collect();
        let edges: Vec<(Point, Point)> = outlines()
            .filter_map(|item| match &item.shape {
                Shape::Line(from, to) => Some((*from, *to)),
                _ => None,
            })
            .collect();
        let mut seen: Vec<&[String]> = Vec::new();
        for item in sheet.items.iter().filter(|item| item.role == Role::Leader) {
            let Shape::Line(tip, elbow) = item.shape else { panic!("a leader is a line") };
            if (tip.y - elbow.y).abs() < 1e-9 {
                continue;
            }
            let way = elbow - tip;
            let round = circles.iter().any(|(centre, radius)| {
                let off = way.cross(*centre - tip).abs() / way.length();
                (tip.distance(*centre) - radius).abs() < 0.02 && off < 0.02
            });
            // A groove has no round end: its leader points at its edge.
            let straight = || {
                edges.iter().any(|(from, to)| {
                    let run = *to - *from;
                    run.cross(tip - *from).abs() / run.length() < 0.02
                })
            };
            assert!(round || straight(), "{} {format:?}: the leader at {tip:?} points at nothing", part.number);
            // The short lines from holes to their tags carry no value.
            let Some(shows) = &item.shows else { continue };
            seen.push(&shows.names);
            let slope = way.y.abs() / way.length();
            assert!((0.25..=0.97).contains(&slope), "{}: leader between 15° and 75°, {slope}", part.number);
        }
        let callouts = part.slots().count() + usize::from(part.ends.corner.is_some());
        let tabled = texts(sheet).iter().any(|text| text.text == "HOLE") || !sheet.following.is_empty();
        // Equal holes of both ends share a leader.
        let both = texts(sheet).iter().filter(|text| text.text.ends_with(" IN EACH END")).count();
        let wanted = if tabled { callouts } else { callouts + part.holes().count() - both };
        assert_eq!(seen.len(), wanted, "{}: a leader for each group", part.number);
    }
}

/// Everything that an inspection measures stands on the sheet exactly once.
#[test]
fn every_size_stands_once() {
    for (part, format, sheet) in sheets() {
        let mut shown: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
        for item in sheet.items.iter().chain(sheet.following.iter().flat_map(|sheet| &sheet.items)) {
            let word = match &item.shape {
                Shape::Text { text, .. } => text.as_str(),
                Shape::Dashes(_) if item.role == Role::Centre => "middle line",
                _ => continue,
            };
            for name in item.shows.iter().flat_map(|shows| &shows.names) {
                shown.entry(name).or_default().push(word);
            }
        }
        for characteristic in characteristics(part) {
            let size = &characteristic.size;
            let words = shown.get(size.name.as_str()).map_or(&[][..], Vec::as_slice);
            let whole = words.concat();
            assert!(!words.is_empty(), "{} {format:?}: {} is missing", part.number, size.name);
            // A label may be in pieces: figures, bracket, upper, lower, bracket.
            let pieces = if words.len() > 1 { words.contains(&"(") || words.len() <= 3 } else { true };
            assert!(pieces && words.len() <= 5, "{}: {} stands more than once: {words:?}", part.number, size.name);
            let value = part.unit.of(size.nominal);
            match &characteristic.measure {
                Measure::Extent(_) | Measure::HolePlace(..) => {
                    let first = whole.split([' ', '±']).next().unwrap_or_default();
                    if first == "middle" {
                        assert!(value.abs() < 1e-9, "{}: {} is not on the middle", part.number, size.name);
                    } else {
                        let read: f64 = first.parse().unwrap_or_else(|_| panic!("{}: '{whole}'", part.number));
                        assert!(
                            (read - value).abs() < if size.basis == crate::part::Basis::Stock { 6e-5 } else { 1e-6 },
                            "{}: {} is {value}, printed {whole}",
                            part.number,
                            size.name
                        );
                    }
                }
                Measure::TongueWidth(_) | Measure::TongueHeight(_) => {
                    limits_agree(part, size, words);
                }
                Measure::HoleDiameter(..) => assert!(whole.contains('⌀'), "{}: {whole}", part.number),
                Measure::MinorDiameter(..) | Measure::PitchDiameter(..) => {
                    assert!(whole.contains("THRU") || whole.contains('↧'), "{}: {whole}", part.number);
                }
                // What follows from these is measured, and not drawn again.
                _ => {}
            }
        }
    }
}

/// Reads the limits back from the figures on the sheet.
fn limits_agree(part: &Part, size: &crate::part::Size, words: &[&str]) {
    let numbers: Vec<f64> = words
        .iter()
        .filter(|word| !matches!(**word, "(" | ")"))
        .filter_map(|word| word.split(' ').next().and_then(|figure| figure.trim_start_matches('+').parse().ok()))
        .collect();
    let (most, least) = match numbers.as_slice() {
        [nominal, upper, lower] => (nominal + upper, nominal + lower),
        [upper, lower] => (*upper, *lower),
        // Without limits of its own, the table of general tolerances gives them.
        [nominal] if size.basis == crate::part::Basis::General => {
            let read = (nominal - part.unit.of(size.nominal)).abs();
            assert!(read < 1e-6, "{}: {} is printed as {words:?}", part.number, size.name);
            return;
        }
        other => panic!("{}: {} is printed as {words:?}: {other:?}", part.number, size.name),
    };
    let (up, low) = (part.unit.of(size.most()), part.unit.of(size.least()));
    assert!(most <= up + 1e-6 && most > up - 1.1e-3, "{}: upper limit {up}, printed {words:?}", part.number);
    assert!(least >= low - 1e-6 && least < low + 1.1e-3, "{}: lower limit {low}, printed {words:?}", part.number);
}

/// What is drawn has the size that is printed, at the scale that is printed.
#[test]
fn lengths_are_true_to_scale() {
    for (part, _, sheet) in sheets() {
        let arrows: Vec<Point> = sheet
            .items
            .iter()
            .filter(|item| {
                item.role == Role::Arrow
                    && item.shows.as_ref().is_some_and(|shows| shows.names == [part.length.name.as_str()])
            })
            .filter_map(|item| match &item.shape {
                Shape::Polyline { points, .. } => points.first().copied(),
                _ => None,
            })
            .collect();
        assert_eq!(arrows.len(), 2, "{}: two arrows", part.number);
        let drawn = arrows[0].distance(arrows[1]);
        let whole = part.length.nominal.as_mm() * sheet.scale;
        if interrupted(sheet) {
            assert!(drawn < whole - 5.0, "{}: a piece is left out: {drawn} of {whole}", part.number);
        } else {
            assert!((drawn - whole).abs() < 1e-6, "{}: {drawn}", part.number);
        }
        let scale = if sheet.scale >= 1.0 {
            format!("{}:1", sheet.scale)
        } else {
            format!("1:{}", (1.0 / sheet.scale).round())
        };
        assert!(texts(sheet).iter().any(|text| text.text == scale), "{}: scale {scale}", part.number);
    }
}

#[test]
fn files_are_well_formed() {
    for (index, (part, format, sheet)) in sheets().enumerate() {
        // The letters of an embedded face spell anything by chance.
        let text = svg::write(&Sheet { embed_font: false, ..sheet.clone() });
        well_formed(&text).unwrap_or_else(|why| panic!("{}: {why}", part.number));
        for word in ["style=", "<script", "stroke-dasharray", "href", "NaN", "inf\"", "-0\""] {
            assert!(!text.contains(word), "{}: {word} in the file", part.number);
        }
        if !index.is_multiple_of(20) {
            continue;
        }
        let again = svg::write(sheet) == svg::write(&laid_out(part, format));
        assert!(again, "{}: same bytes again", part.number);
    }
}

/// A reader of just so much XML as to tell that tags close and texts are escaped.
fn well_formed(text: &str) -> Result<(), String> {
    let mut open: Vec<&str> = Vec::new();
    let mut rest = text;
    while let Some(at) = rest.find('<') {
        let before = &rest[..at];
        let mut entities = before;
        while let Some(mark) = entities.find('&') {
            let after = &entities[mark + 1..];
            if !["amp;", "lt;", "gt;", "quot;", "apos;"].iter().any(|known| after.starts_with(known)) {
                return Err(format!("bare & in {before:?}"));
            }
            entities = after;
        }
        let end = rest[at..].find('>').ok_or("an open tag")? + at;
        let tag = &rest[at + 1..end];
        if let Some(name) = tag.strip_prefix('/') {
            if open.pop() != Some(name) {
                return Err(format!("</{name}> closes nothing"));
            }
        } else {
            if tag.contains('<') || !tag.matches('"').count().is_multiple_of(2) {
                return Err(format!("<{tag}>"));
            }
            if !tag.ends_with('/') {
                open.push(tag.split(' ').next().unwrap_or_default());
            }
        }
        rest = &rest[end + 1..];
    }
    if open.is_empty() && rest.trim().is_empty() { Ok(()) } else { Err(format!("{open:?} left open")) }
}

#[test]
fn the_face_travels_only_where_asked() {
    let sheet = laid_out(&sample::key(), sample::format(&sample::key()));
    assert!(svg::write(&sheet).contains("@font-face"), "a file carries its lettering");
    let bare = svg::write(&Sheet { embed_font: false, ..sheet });
    assert!(!bare.contains("<style") && bare.contains("font-family"), "a page brings its own");
}

#[test]
fn the_symbol_of_projection_follows_the_rule() {
    for (part, small_end_at_circles) in [(sample::key(), false), (sample::inch_key(), true)] {
        let sheet = laid_out(&part, sample::format(&part));
        let pictures = || sheet.items.iter().filter(|item| item.role == Role::Picture);
        let circles = pictures().find_map(|item| match &item.shape {
            Shape::Circle { centre, .. } => Some(*centre),
            _ => None,
        });
        let cone = pictures().find_map(|item| match &item.shape {
            Shape::Polyline { points, closed: true, .. }
                if points.len() == 4 && (points[0].x - points[3].x).abs() < 1e-9 =>
            {
                Some(points.clone())
            }
            _ => None,
        });
        let (circles, cone) = (circles.expect("circles"), cone.expect("a frustum"));
        let small = cone[0].x;
        let large = cone[1].x;
        let nearer = (small - circles.x).abs() < (large - circles.x).abs();
        assert_eq!(nearer, small_end_at_circles, "small end toward the circles in third angle only");
        assert!(small < large, "the small end is at the left in both");
    }
}

/// Whatever people type: the finding names the field and the sign, and there is no sheet.
#[test]
fn letters_that_are_lacking_are_refused() {
    let (good, stamp) = (sample::key(), sample::stamp());
    let refused = |part: &Part, stamp: &super::Stamp, field: &str, sign: &str| {
        let checked = lay_out(part, &sample::format(part), stamp);
        assert!(checked.value.is_none(), "{field}: no sheet");
        let [finding] = checked.findings.as_slice() else { panic!("{field}: one finding, {:?}", checked.findings) };
        assert_eq!(finding.code, "drawing/no-such-letter", "{field}");
        assert!(finding.headline.contains(field) && finding.headline.contains(sign), "{}", finding.headline);
        assert!(finding.helps[0].contains("Latin letters"), "{field}: says what would do");
    };
    refused(&Part { title: "接".into(), ..good.clone() }, &stamp, "title", "接 (U+63A5)");
    refused(&Part { number: "JK-ж".into(), ..good.clone() }, &stamp, "part number", "ж (U+0436)");
    refused(&Part { finish: "\u{1F527}".into(), ..good.clone() }, &stamp, "finish", "U+1F527");
    refused(&Part { notes: vec!["A".into(), "≈ 3 mm".into()], ..good.clone() }, &stamp, "Note 2", "U+2248");
    refused(&good, &super::Stamp { owner: "Мастер".into(), ..stamp.clone() }, "owner", "М (U+041C)");
    refused(&good, &super::Stamp { drawn_by: Some("א".into()), ..stamp.clone() }, "drew", "א (U+05D0)");
    let blank = super::Stamp { owner: String::new(), drawn_by: None, date: None, ..super::Stamp::default() };
    let bare = Part { title: String::new(), finish: String::new(), notes: Vec::new(), ..good.clone() };
    assert!(lay_out(&bare, &sample::format(&bare), &blank).value.is_some(), "empty fields are no fault");
}

#[test]
fn what_cannot_be_drawn_is_refused() {
    let mut nothing = sample::key();
    nothing.length.nominal = Length::mm(f64::NAN);
    let mut outside = sample::key();
    outside.length.nominal = Length::mm(10.0);
    let mut wordy = sample::key();
    wordy.notes = vec!["A note that says a good deal about nothing in particular.".into(); 60];
    for (part, code) in [(nothing, "drawing/no-size"), (outside, "drawing/hole-outside"), (wordy, "drawing/no-room")] {
        let findings = lay_out(&part, &sample::format(&part), &sample::stamp()).into_result().expect_err("refused");
        assert_eq!(findings[0].code, code, "{findings:?}");
        assert!(!findings[0].helps.is_empty(), "{code}: says what would do");
    }
}

/// Where nothing else helps, the table does: on its own sheets, on the larger paper.
#[test]
fn crowded_parts_are_drawn() {
    let places: Vec<(f64, f64)> = (0..200).map(|n| (f64::from(n) * 0.5 - 50.0, 0.0)).collect();
    let row = sample::with_threads(sample::bar(Unit::Mm, (120.0, 20.0, 10.0)), "h", sample::m3(), &places);
    let most = if cfg!(debug_assertions) { 100 } else { 300 };
    for part in [row, sample::scattered(most)] {
        let checked = lay_out(&part, &Format::usual(Unit::Mm), &sample::stamp());
        let told = checked.findings;
        let sheet = checked.value.unwrap_or_else(|| panic!("{} is refused: {told:?}", part.number));
        assert!(sheet.following.iter().all(|sheet| sheet.following.is_empty()), "no sheet follows one that follows");
    }
}

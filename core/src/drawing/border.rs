//! Frame, title block, projection symbol and check bar.

use std::sync::Arc;

use super::board::Board;
use super::number::Numbers;
use super::sheet::{Anchor, Pen, Role, Shape, Shown};
use super::style::{FIGURE, LARGE, NOTE, SMALL, times};
use super::{Convention, Format, Stamp};
use crate::diag::Diagnostic;
use crate::geom::{Point, Rect, Vector};
use crate::part::Part;
use crate::quantity::{Mass, Unit, fixed, pick, trimmed};

/// Extent of the title block: 180 is what ISO 7200 allows on an upright A4 (from memory).
pub(super) const BLOCK: (f64, f64) = (180.0, 44.0);
/// What the check bar takes inside the frame, at the left and at the top.
pub(super) const BAR: (f64, f64) = (3.5, 7.5);

/// The box of the frame: 10 mm all round, which clears the dead edge of office printers; ISO 5457
/// leaves 20 mm at the left for filing (both from memory).
pub(super) fn frame_of(format: Format) -> Rect {
    let (width, height) = format.paper.extent();
    let left = if format.paper.is_iso() { 20.0 } else { 10.0 };
    Rect::new(Point::new(left, 10.0), Point::new(width - 10.0, height - 10.0))
}

/// Draws the frame and the two check bars along its upper left corner.
pub(super) fn frame(board: &mut Board<'_>, frame: Rect) {
    rectangle(board, frame, Pen::Frame);
    let corner = Point::new(frame.low.x, frame.high.y);
    for step in 1..=10_u8 {
        let at = f64::from(step) * 10.0;
        let long = if step % 5 == 0 { 3.0 } else { 1.8 };
        let (along, down) = (corner + Vector::new(at, 0.0), corner - Vector::new(0.0, at));
        board.line(Role::Frame, Pen::Thin, along, along - Vector::new(0.0, long));
        board.line(Role::Frame, Pen::Thin, down, down + Vector::new(long, 0.0));
    }
    let words = "CHECK BAR 100 mm BOTH WAYS. PRINT AT 100 %";
    board.text(corner + Vector::new(5.0, -6.5), Anchor::Start, SMALL, words, None);
}

struct Cell<'c> {
    /// Left edge, lower edge, width, height, from the lower left of the block.
    place: (f64, f64, f64, f64),
    caption: &'c str,
    value: String,
    height: f64,
    shows: Option<Arc<Shown>>,
    /// What a sign takes before the value.
    aside: f64,
}

/// What a sign takes in its cell.
const MARK: f64 = 7.0;

/// Draws the title block after ISO 7200, with the fields that ASME Y14.1 adds (both from memory);
/// cautions where a text had to be cut.
pub(super) fn title_block(
    board: &mut Board<'_>,
    (part, format, stamp, numbers): (&Part, &Format, &Stamp, &Numbers<'_>),
    (frame, scale, sheet): (Rect, &str, &str),
    findings: &mut Vec<Diagnostic>,
) {
    let corner = Point::new(frame.high.x - BLOCK.0, frame.low.y);
    let block = Rect::new(corner, corner + Vector::new(BLOCK.0, BLOCK.1));
    let capitals = |text: &str| board.letters.capitals(text);
    // ISO 13715 writes what is taken off an edge as less than nothing; others say it in words.
    let signed = format.convention == Convention::Iso;
    let edges = part.edge_break.map_or_else(
        || "-".to_owned(),
        |(least, most)| {
            let [least, most] = [least, most].map(|off| numbers.plain(off));
            if signed { format!("-{least} / -{most}") } else { format!("BREAK {least} - {most}") }
        },
    );
    let (edges_caption, finish) =
        (if signed { "EDGES ISO 13715" } else { "EDGES" }, numbers.or_letter("finish", || capitals(&part.finish)));
    let aside = |shown: bool| if shown { MARK } else { 0.0 };
    let (marked, textured) = (signed && part.edge_break.is_some(), !finish.is_empty());
    let blank = &part.blank;
    let stock = numbers.or_letter("blank.bar", || capitals(&blank.bar));
    let stock = if numbers.letters.contains_key("blank.length") {
        stock
    } else {
        format!("{stock}, {} LONG", numbers.plain(blank.length))
    };
    let weight = numbers.or_letter("mass", || mass(part.mass, part.unit));
    let value =
        |name: &str, title: &str| Some(Arc::new(Shown { names: vec![name.to_owned()], title: title.to_owned() }));
    // What was not given is left free, and written or signed on paper.
    let say = |text: &Option<String>| text.as_deref().map(capitals).unwrap_or_default();
    let short: String = stamp.digest.chars().take(12).collect();
    let cell = |place, caption, value, height| Cell { place, caption, value, height, shows: None, aside: 0.0 };
    let cells = [
        cell(
            (0.0, 34.0, 90.0, 10.0),
            "MATERIAL",
            numbers.or_letter("material", || capitals(&part.material.title)),
            FIGURE,
        ),
        Cell { aside: aside(textured), ..cell((90.0, 34.0, 54.0, 10.0), "FINISH", finish, FIGURE) },
        cell((144.0, 34.0, 36.0, 10.0), "", String::new(), FIGURE),
        cell((0.0, 24.0, 90.0, 10.0), "STOCK", stock, FIGURE),
        Cell { aside: aside(marked), ..cell((90.0, 24.0, 54.0, 10.0), edges_caption, edges, FIGURE) },
        Cell {
            shows: value("mass", "mass of the finished piece"),
            ..cell((144.0, 24.0, 20.0, 10.0), "MASS", weight, FIGURE)
        },
        cell((164.0, 24.0, 16.0, 10.0), "SCALE", scale.to_owned(), FIGURE),
        cell((0.0, 12.0, 54.0, 12.0), "OWNER", capitals(&stamp.owner), FIGURE),
        cell((54.0, 12.0, 90.0, 12.0), "TITLE", capitals(&part.title), LARGE),
        cell((144.0, 12.0, 12.0, 12.0), "SHEET", sheet.to_owned(), FIGURE),
        cell((156.0, 12.0, 24.0, 12.0), "DATE", say(&stamp.date), FIGURE),
        cell((0.0, 0.0, 27.0, 12.0), "DRAWN BY", say(&stamp.drawn_by), FIGURE),
        cell((27.0, 0.0, 27.0, 12.0), "APPROVED BY", String::new(), FIGURE),
        cell((54.0, 0.0, 72.0, 12.0), "NUMBER", board.letters.settable(&part.number), LARGE),
        cell((126.0, 0.0, 18.0, 12.0), "REVISION", capitals(&stamp.revision), FIGURE),
        cell((144.0, 0.0, 36.0, 12.0), "DIGEST", board.letters.settable(&short), FIGURE),
    ];
    for cell in cells {
        fill(board, corner, &cell, findings);
    }
    // The kind of document, which ISO 7200 wants (from memory), beside the caption of the title.
    let kind = if numbers.letters.is_empty() { "PART DRAWING" } else { "TABULATED DRAWING" };
    board.text(corner + Vector::new(142.5, 24.0 - 1.1 - SMALL), Anchor::End, SMALL, kind, None);
    if textured {
        texture(board, corner + Vector::new(91.5, 34.0));
    }
    if marked {
        edge(board, corner + Vector::new(91.5, 24.0));
    }
    projection(
        board,
        Rect::new(corner + Vector::new(144.0, 34.0), corner + Vector::new(180.0, 44.0)),
        format.convention,
    );
    rectangle(board, block, Pen::Outline);
}

fn fill(board: &mut Board<'_>, corner: Point, cell: &Cell<'_>, findings: &mut Vec<Diagnostic>) {
    let (x, y, width, height) = cell.place;
    let low = corner + Vector::new(x, y);
    rectangle(board, Rect::new(low, low + Vector::new(width, height)), Pen::Thin);
    if cell.caption.is_empty() {
        return;
    }
    let caption = low + Vector::new(1.5, height - 1.1 - SMALL);
    board.text(caption, Anchor::Start, SMALL, cell.caption, None);
    let inset = 1.5 + cell.aside;
    if cell.value.is_empty() {
        return;
    }
    let room = width - inset - 1.5;
    let shows = cell.shows.as_ref();
    let floor = 1.6;
    for size in [cell.height, 4.2, FIGURE, NOTE, SMALL] {
        if size <= cell.height && board.letters.width(&cell.value, size) <= room {
            board.text(low + Vector::new(inset, floor), Anchor::Start, size, &cell.value, shows);
            return;
        }
    }
    let mut lines = board.letters.lines(&cell.value, SMALL, room);
    // Two lines of the lowest letters stand in a cell of 12; in one of 10 the caption has the room.
    let most = if height >= 12.0 { 2 } else { 1 };
    if lines.len() > most {
        lines.truncate(most);
        if let Some(last) = lines.last_mut() {
            while board.letters.width(&format!("{last}..."), SMALL) > room && last.pop().is_some() {}
            last.push_str("...");
        }
        let headline =
            format!("The text under {} is too long for its cell and is cut short on the sheet.", cell.caption);
        findings.push(Diagnostic::caution("drawing/cut-short", headline).help(format!(
            "About {} characters fit.",
            fixed((room / (SMALL * 0.8)).floor() * f64::from(u8::try_from(most).unwrap_or(1)), 0)
        )));
    }
    for (index, line) in lines.iter().rev().enumerate() {
        let up = 1.2 + times(index) * SMALL * 1.45;
        board.text(low + Vector::new(inset, up), Anchor::Start, SMALL, line, shows);
    }
}

pub(super) fn mass(mass: Mass, unit: Unit) -> String {
    let gram = mass.as_gram();
    match unit {
        Unit::Mm if gram >= 1000.0 => format!("{} kg", pick(gram / 1000.0, 3)),
        Unit::Mm => format!("{} g", pick(gram, 3)),
        // 1 lb = 453.59237 g exactly (international pound, 1959).
        Unit::Inch => format!("{} lb", super::number::short(trimmed(gram / 453.592_37, 4))),
    }
}

/// The sign of surface texture, any way of making (ISO 21920-1, ASME Y14.36; from memory): a short and
/// a long leg at 60°.
fn texture(board: &mut Board<'_>, low: Point) {
    let at = |x: f64, y: f64| low + Vector::new(x, y);
    for (from, to) in [(at(0.2, 3.4), at(1.5, 1.2)), (at(1.5, 1.2), at(4.2, 5.8))] {
        board.line(Role::Frame, Pen::Thin, from, to);
    }
}

/// The sign of an edge (ISO 13715, from memory): a corner on a slanting lead.
fn edge(board: &mut Board<'_>, low: Point) {
    let at = |x: f64, y: f64| low + Vector::new(x, y);
    let lines = [(at(0.2, 1.0), at(2.0, 2.6)), (at(2.0, 2.6), at(2.0, 5.6)), (at(2.0, 2.6), at(5.6, 2.6))];
    for (from, to) in lines {
        board.line(Role::Frame, Pen::Thin, from, to);
    }
}

/// The frustum of a cone from its side and from its small end: the circles stand on the side of
/// the small end in third angle, on the other in first angle. ISO 5456-2, by the rule and not by
/// a copied picture.
fn projection(board: &mut Board<'_>, cell: Rect, convention: Convention) {
    let h = 3.0;
    let middle = cell.middle();
    let (cone, circles) = match convention {
        Convention::Iso => (middle - Vector::new(1.5 * h, 0.0), middle + Vector::new(1.5 * h, 0.0)),
        Convention::Asme => (middle + Vector::new(1.5 * h, 0.0), middle - Vector::new(1.5 * h, 0.0)),
    };
    let corners = [(-h, h / 2.0), (h, h), (h, -h), (-h, -h / 2.0)];
    let points = corners.iter().map(|(x, y)| cone + Vector::new(*x, *y)).collect();
    board.put(Shape::Polyline { points, closed: true, filled: false }, Role::Picture, Pen::Thin, None);
    for radius in [h / 2.0, h] {
        board.circle(Role::Picture, Pen::Thin, circles, radius);
    }
    let mut axis = |from: Vector, to: Vector, at: Point| board.thin(Role::Picture, at + from, at + to, None);
    let (right, up) = (Vector::new(h + 1.2, 0.0), Vector::new(0.0, h + 1.2));
    axis(-right, right, cone);
    axis(-right, right, circles);
    axis(-up, up, circles);
}

pub(super) fn rectangle(board: &mut Board<'_>, place: Rect, pen: Pen) {
    let points =
        vec![place.low, Point::new(place.high.x, place.low.y), place.high, Point::new(place.low.x, place.high.y)];
    board.put(Shape::Polyline { points, closed: true, filled: false }, Role::Frame, pen, None);
}

//! The drawing of many variants at once: letters at the views, and a row of values for each variant.

use std::collections::BTreeMap;

use super::Convention;
use super::board::Board;
use super::border::{self, BAR, BLOCK, rectangle};
use super::general::General;
use super::lettering::Lettering;
use super::number::Numbers;
use super::sheet::{Anchor, Item, Pen, Role};
use super::style::{FIGURE, NOTE, SMALL, times};
use crate::diag::Diagnostic;
use crate::geom::{Point, Rect, Vector};
use crate::part::{Depth, Face, Feature, Head, Kind, Make, Part, Size};
use crate::standards::thread::Hand;

/// Letters of sizes: those that are not mistaken for figures or each other.
const LETTERS: &[u8] = b"ABCDEFGHJKLMNPRTUVWY";
/// White beside the words of a cell.
const INSET: f64 = 1.5;
/// White between two blocks of rows.
const BETWEEN: f64 = 6.0;

/// What a variant says of itself beside its sizes: the name by which the title block asks, the
/// caption of its column, and its words.
type Other = (&'static str, &'static str, fn(&Part, Convention) -> String);
const OTHERS: [Other; 5] = [
    ("material", "MATERIAL", |part, _| part.material.title.clone()),
    ("finish", "FINISH", |part, _| part.finish.clone()),
    ("blank.bar", "STOCK", |part, _| part.blank.bar.clone()),
    ("blank.length", "SAWN LENGTH", |part, convention| {
        let general = General::named(&part.general.name, part.unit);
        Numbers { unit: part.unit, convention, general: &general, letters: &BTreeMap::new() }.plain(part.blank.length)
    }),
    ("mass", "MASS", |part, _| border::mass(part.mass, part.unit)),
];

/// What varies: the letter of each value by its name, and the rows of the table.
#[derive(Clone, Debug, Default)]
pub(super) struct Tabulation {
    /// By the name of a size, of a place (`screws.1.x`), a thread (`screws.thread`); what has a column
    /// of its own words (`mass`) sends there.
    pub(super) letters: BTreeMap<String, String>,
    /// Captions of the columns, then a row for each variant.
    cells: Vec<Vec<String>>,
}

/// A value as one variant has it.
struct Value {
    name: String,
    text: String,
    /// Whether a figure to the other side of the middle may share its letter.
    place: bool,
    /// What it is of a hole in an end: its like in the other end may share its letter.
    like: Option<String>,
}

impl Tabulation {
    /// Finds out what varies.
    pub(super) fn of(part: &Part, rows: &[Part], convention: Convention) -> Result<Self, Diagnostic> {
        let form = form(part);
        if let Some(other) = rows.iter().find(|row| self::form(row) != form) {
            let headline = format!("{} differs from {} by more than sizes.", other.number, part.number);
            return Err(Diagnostic::refused("drawing/not-alike", headline)
                .help("One table holds variants with the same cuts, holes and notes of tolerance; make one table for each kind."));
        }
        let values = |row: &Part| values(row, convention);
        let all: Vec<Vec<Value>> = rows.iter().map(values).collect();
        let mine = values(part);
        let (mut letters, mut columns) = (BTreeMap::new(), Vec::<Vec<String>>::new());
        let mut likes: Vec<Option<&String>> = Vec::new();
        for (at, value) in mine.iter().enumerate() {
            // A size may be that of two features.
            if letters.contains_key(&value.name) {
                continue;
            }
            let column: Vec<String> =
                all.iter().filter_map(|row| row.get(at)).map(|value| value.text.clone()).collect();
            if column.iter().all(|text| *text == value.text) {
                continue;
            }
            let shares = |turn: usize| {
                value.place || (value.like.is_some() && likes.get(turn).copied().flatten() == value.like.as_ref())
            };
            let known = |column: &[String]| {
                columns.iter().enumerate().position(|(turn, other)| other == column && shares(turn))
            };
            let turned: Vec<String> = column.iter().map(|text| turned(text)).collect();
            let letter = match (known(&column), known(&turned)) {
                (Some(turn), _) => letter(turn),
                (None, Some(turn)) => format!("-{}", letter(turn)),
                // A place to the left is told by the letter of its like at the right.
                (None, None) if value.place && value.text.starts_with('-') => {
                    columns.push(turned);
                    format!("-{}", letter(columns.len() - 1))
                }
                (None, None) => {
                    columns.push(column);
                    letter(columns.len() - 1)
                }
            };
            likes.resize(columns.len(), value.like.as_ref());
            letters.insert(value.name.clone(), letter);
        }
        if let Some(finding) = crossing(part, &mine, &letters) {
            return Err(finding);
        }
        let mut cells = vec![std::iter::once("NUMBER".to_owned()).chain((0..columns.len()).map(letter)).collect()];
        for (index, row) in rows.iter().enumerate() {
            let figures = columns.iter().map(|column| column.get(index).cloned().unwrap_or_default());
            cells.push(std::iter::once(row.number.clone()).chain(figures).collect::<Vec<String>>());
        }
        for (name, caption, of) in OTHERS {
            let of = |row: &Part| of(row, convention);
            if rows.iter().any(|row| of(row) != of(part)) {
                letters.insert(name.to_owned(), "TABLE".to_owned());
                for (line, text) in cells.iter_mut().zip(std::iter::once(caption.to_owned()).chain(rows.iter().map(of)))
                {
                    line.push(text);
                }
            }
        }
        Ok(Self { letters, cells })
    }

    /// Whether there is a table at all.
    pub(super) const fn is_none(&self) -> bool {
        self.cells.is_empty()
    }

    /// How wide each column is in letters of this height.
    fn widths(&self, letters: &Lettering, height: f64) -> Vec<f64> {
        let wide = |at: usize| {
            let texts = self.cells.iter().filter_map(move |row| row.get(at));
            texts.map(|text| letters.width(&letters.settable(text), height)).fold(0.0, f64::max)
        };
        (0..self.cells.first().map_or(0, Vec::len)).map(|at| wide(at) + 2.0 * INSET).collect()
    }

    /// Where the whole may stand on the sheet of the views, if it is small enough: what stays for them,
    /// and its own upper left corner; at the right, or below.
    pub(super) fn rooms(&self, zone: Rect, letters: &Lettering) -> Vec<(Rect, Point)> {
        if self.is_none() {
            return Vec::new();
        }
        let width: f64 = self.widths(letters, NOTE).iter().sum();
        let high = times(self.cells.len()) * row(NOTE);
        let left = zone.high.x - width;
        let mut rooms = Vec::new();
        if width <= zone.width() * 0.5 && high <= zone.height() - 2.0 {
            let rest = Rect { low: zone.low, high: Point::new(left - 6.0, zone.high.y) };
            rooms.push((rest, Point::new(left, zone.high.y)));
        }
        if width <= zone.width() && high <= zone.height() * 0.4 {
            let top = zone.low.y + high;
            rooms.push((Rect { low: Point::new(zone.low.x, top + 4.0), high: zone.high }, Point::new(left, top)));
        }
        rooms
    }

    /// Draws the whole; `corner` is its upper left.
    pub(super) fn draw(&self, board: &mut Board<'_>, corner: Point) {
        let widths = self.widths(board.letters, NOTE);
        let lines: Vec<&[String]> = self.cells.iter().map(Vec::as_slice).collect();
        let shown: Vec<usize> = (0..widths.len()).collect();
        grid(board, corner, (&lines, &shown), (&widths, NOTE));
    }

    /// The sheets of the table: what is drawn on each within the frame. Where the columns are more
    /// than a sheet is wide, the numbers stand on each again.
    pub(super) fn pages(&self, frame: Rect, letters: &Lettering) -> Vec<Vec<Item>> {
        // The largest letters that take no sheet more than the smallest do.
        let all = [FIGURE, NOTE, SMALL].map(|height| self.pages_in(frame, letters, height));
        let least = all.iter().map(Vec::len).min().unwrap_or(0);
        all.into_iter().find(|pages| pages.len() == least).unwrap_or_default()
    }

    fn pages_in(&self, frame: Rect, letters: &Lettering, height: f64) -> Vec<Vec<Item>> {
        let Some((captions, rows)) = self.cells.split_first() else { return Vec::new() };
        let low = Point::new(frame.low.x + BAR.0 + 1.5, frame.low.y + BLOCK.1 + 4.0);
        let room = Rect { low, high: Point::new(frame.high.x - 4.0, frame.high.y - BAR.1 - 2.0) };
        let widths = self.widths(letters, height);
        let wide = |at: usize| widths.get(at).copied().unwrap_or(0.0);
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a few dozen at most")]
        let deep = ((room.height() / row(height)).floor().clamp(2.0, 100.0) as usize) - 1;
        let mut pages = Vec::new();
        let mut from = 1;
        while from < captions.len().max(2) {
            let mut to = from;
            let mut whole = wide(0);
            while to < captions.len() && (to == from || whole + wide(to) <= room.width()) {
                whole += wide(to);
                to += 1;
            }
            let shown: Vec<usize> = std::iter::once(0).chain(from..to).collect();
            // Blocks side by side, as many as find room, before another sheet.
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a few dozen at most")]
            let blocks = ((room.width() + BETWEEN) / (whole + BETWEEN)).floor().clamp(1.0, 50.0) as usize;
            for rows in rows.chunks(deep * blocks) {
                let mut board = Board::new(letters);
                let count = rows.len().div_ceil(deep).max(1);
                for (turn, rows) in rows.chunks(rows.len().div_ceil(count).max(1)).enumerate() {
                    let lines: Vec<&[String]> = std::iter::once(captions).chain(rows).map(Vec::as_slice).collect();
                    let corner = Point::new(room.low.x + times(turn) * (whole + BETWEEN), room.high.y);
                    grid(&mut board, corner, (&lines, &shown), (&widths, height));
                }
                pages.push(board.items);
            }
            from = to.max(from + 1);
        }
        pages
    }
}

/// Height of a row of letters of this height.
fn row(height: f64) -> f64 {
    height + 2.6
}

/// Draws rows as a grid; `corner` is the upper left.
fn grid(
    board: &mut Board<'_>,
    corner: Point,
    (lines, shown): (&[&[String]], &[usize]),
    (widths, height): (&[f64], f64),
) {
    let wide: f64 = shown.iter().filter_map(|at| widths.get(*at)).sum();
    let step = row(height);
    let high = times(lines.len()) * step;
    rectangle(board, Rect::new(corner, corner + Vector::new(wide, -high)), Pen::Outline);
    for (index, line) in lines.iter().enumerate() {
        let top = corner.y - times(index) * step;
        if index > 0 {
            board.line(Role::Frame, Pen::Thin, Point::new(corner.x, top), Point::new(corner.x + wide, top));
        }
        let base = top - f64::midpoint(step, height) + 0.2;
        let mut left = corner.x;
        for at in shown {
            let (Some(text), Some(width)) = (line.get(*at), widths.get(*at)) else { continue };
            let text = board.letters.settable(text);
            if *at == 0 {
                board.text(Point::new(left + INSET, base), Anchor::Start, height, &text, None);
            } else {
                board.text(Point::new(left + width - INSET, base), Anchor::End, height, &text, None);
            }
            left += width;
            if index == 0 && left < corner.x + wide - 1e-6 {
                board.line(Role::Frame, Pen::Thin, Point::new(left, corner.y), Point::new(left, corner.y - high));
            }
        }
    }
}

/// The letter of a column; after the last, doubled.
fn letter(turn: usize) -> String {
    let sign = LETTERS.get(turn % LETTERS.len()).copied().map_or('Z', char::from);
    std::iter::repeat_n(sign, turn / LETTERS.len() + 1).collect()
}

/// A place on the other side of the middle.
fn turned(text: &str) -> String {
    match text.strip_prefix('-') {
        Some(rest) => rest.to_owned(),
        None if text == "0" => text.to_owned(),
        None => format!("-{text}"),
    }
}

/// All that has to be the same for one picture to do for all: cuts in their order, and what lies on
/// the middle.
fn form(part: &Part) -> Vec<String> {
    let zero = |at: crate::quantity::Length| at.abs().as_mm() < 5e-7;
    let mut all = vec![format!("{:?} {} {}", part.unit, part.general.name, part.ends.corner.is_some())];
    for Feature { id, face, kind, .. } in &part.features {
        all.push(match kind {
            Kind::Tongue(_) => format!("{id} {face:?} tongue"),
            Kind::Slot(slot) => format!(
                "{id} {face:?} slot {} {} {} {}",
                slot.length.is_some(),
                slot.depth.blind().is_some(),
                zero(slot.place.x),
                zero(slot.place.y)
            ),
            Kind::Holes(holes) => {
                let make = match &holes.make {
                    Make::Plain { .. } => "plain",
                    Make::Reamed { .. } => "reamed",
                    Make::Tapped { full: Some(_), .. } => "tapped, full",
                    Make::Tapped { full: None, .. } => "tapped",
                };
                let head = match &holes.head {
                    None => "none".to_owned(),
                    Some(Head::Counterbore { .. }) => "bore".to_owned(),
                    Some(Head::Countersink { angle, .. }) => format!("sink {}", angle.as_degree()),
                };
                let places: Vec<_> = holes.places.iter().map(|place| (zero(place.x), zero(place.y))).collect();
                let blind = matches!(holes.depth, Depth::Blind(_));
                format!("{id} {face:?} {make} {head} {blind} {} {places:?}", holes.chamfer.is_some())
            }
        });
    }
    all
}

/// Every value that stands on a drawing, under its name, in words.
fn values(part: &Part, convention: Convention) -> Vec<Value> {
    let general = General::named(&part.general.name, part.unit);
    let none = BTreeMap::new();
    let numbers = Numbers { unit: part.unit, convention, general: &general, letters: &none };
    let mut all = Vec::new();
    let size = |size: &Size| Value { name: size.name.clone(), text: numbers.one_line(size), place: false, like: None };
    let word = |name: String, text: String| Value { name, text, place: false, like: None };
    all.extend([&part.length, &part.width, &part.height].into_iter().chain(&part.ends.corner).map(size));
    for feature in &part.features {
        let id = &feature.id;
        let first = all.len();
        match &feature.kind {
            Kind::Tongue(tongue) => {
                all.extend([&tongue.width, &tongue.height].map(size));
                all.push(word(format!("{id}.centring"), numbers.tolerance(tongue.centring)));
            }
            Kind::Slot(slot) => {
                all.extend(slot.length.iter().chain([&slot.width]).chain(slot.depth.blind()).map(size));
                for (axis, at) in [("x", slot.place.x), ("y", slot.place.y)] {
                    let text = numbers.place("", at, slot.place_tolerance);
                    all.push(Value { name: format!("{id}.{axis}"), text, place: true, like: None });
                }
                all.push(word(format!("{id}.place_tolerance"), numbers.tolerance(slot.place_tolerance)));
            }
            Kind::Holes(holes) => {
                match &holes.make {
                    Make::Plain { diameter } | Make::Reamed { diameter } => all.push(size(diameter)),
                    Make::Tapped { thread, hand, drill, full } => {
                        let left = if *hand == Hand::Left { "-LH" } else { "" };
                        let text = format!("{}-{}{left}", thread.designation, thread.internal.class);
                        all.push(word(format!("{id}.thread"), text));
                        all.push(word(format!("{id}.drill"), format!("⌀{}", numbers.plain(drill.diameter))));
                        all.extend(full.iter().map(size));
                    }
                }
                all.extend(holes.depth.blind().map(size));
                match &holes.head {
                    Some(Head::Counterbore { diameter, depth }) => all.extend([diameter, depth].map(size)),
                    Some(Head::Countersink { diameter, .. }) => all.push(size(diameter)),
                    None => {}
                }
                all.extend(holes.chamfer.map(|length| word(format!("{id}.chamfer"), numbers.plain(length))));
                for (index, place) in holes.places.iter().enumerate() {
                    for (axis, at) in [("x", place.x), ("y", place.y)] {
                        let text = numbers.place("", at, holes.place_tolerance);
                        let name = format!("{id}.{}.{axis}", index + 1);
                        all.push(Value { name, text, place: true, like: None });
                    }
                }
                all.push(word(format!("{id}.place_tolerance"), numbers.tolerance(holes.place_tolerance)));
            }
        }
        if matches!(feature.face, Face::Left | Face::Right) {
            for value in all.iter_mut().skip(first).filter(|value| !value.place) {
                value.like = value.name.strip_prefix(id.as_str()).map(str::to_owned);
            }
        }
    }
    all
}

/// Places that are one line of centres in the picture, and not in every variant.
fn crossing(part: &Part, values: &[Value], letters: &BTreeMap<String, String>) -> Option<Diagnostic> {
    let mut lines: BTreeMap<(String, char, &str), Option<&String>> = BTreeMap::new();
    for value in values.iter().filter(|value| value.place) {
        let id = value.name.split('.').next().unwrap_or_default();
        let face = part.feature(id).map(|feature| format!("{:?}", feature.face)).unwrap_or_default();
        let axis = if value.name.ends_with('x') { 'x' } else { 'y' };
        let mine = letters.get(&value.name);
        if *lines.entry((face, axis, value.text.as_str())).or_insert(mine) != mine {
            let headline = format!("Holes that are in line in {} are not in line in every variant.", part.number);
            return Some(
                Diagnostic::refused("drawing/not-alike", headline)
                    .help("A table for fewer variants, or a drawing for each, would do."),
            );
        }
    }
    None
}

/// The part that is drawn for all: what varies beside its sizes is told in the table or left out.
pub(super) fn typical(part: &Part, rows: &[Part]) -> Part {
    let mut part = part.clone();
    part.notes.retain(|note| rows.iter().all(|row| row.notes.contains(note)));
    if rows.iter().any(|row| row.notes.len() > part.notes.len()) {
        part.notes.push("Further notes stand on the drawing of each variant.".to_owned());
    }
    part.number = format!("{}, {} variants", part.family, rows.len());
    part
}

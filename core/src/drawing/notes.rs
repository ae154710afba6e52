//! Notes and general tolerances, in the lower left corner of the sheet.

use std::sync::Arc;

use super::board::Board;
use super::border::{BLOCK, rectangle};
use super::general::{General, rows};
use super::number::{Numbers, short};
use super::sheet::{Anchor, Pen, Role, Shown};
use super::style::{NOTE, SMALL, times};
use crate::geom::{Point, Rect, Vector};
use crate::part::{Make, Part};
use crate::quantity::{Length, Unit, fixed, trimmed};

/// Pitch of lines, in heights of a capital.
const PITCH: f64 = 1.5;
const INSET: f64 = 2.0;
const ROW: f64 = 5.0;

#[derive(Debug)]
struct Line {
    /// Whether it begins a note, with its number.
    first: bool,
    text: String,
    shows: Option<Arc<Shown>>,
}

/// Notes, broken into lines for the room that they have.
#[derive(Debug)]
pub(super) struct Notes {
    lines: Vec<Line>,
    /// Height of the letters of the notes.
    letters: f64,
    /// How far lines after the first of a note are set in.
    hang: f64,
    heading: (f64, Vec<String>),
    columns: Vec<(String, String)>,
    /// What they take, from the frame's lower left corner.
    pub(super) width: f64,
    /// The height that they take.
    pub(super) height: f64,
}

impl Notes {
    /// Gathers what is to be said beside the views: in letters of 3 mm, or of 2.5 where they would
    /// stand higher than the title block.
    pub(super) fn of(part: &Part, numbers: &Numbers<'_>, board: &Board<'_>, frame: Rect) -> Self {
        let large = Self::set(part, numbers, board, frame, NOTE);
        if large.height > BLOCK.1 { Self::set(part, numbers, board, frame, SMALL) } else { large }
    }

    fn set(part: &Part, numbers: &Numbers<'_>, board: &Board<'_>, frame: Rect, letters: f64) -> Self {
        let width = (frame.width() - BLOCK.0).clamp(60.0, 120.0);
        let room = width - 2.0 * INSET;
        let said = said(part, numbers, board);
        let hang = board.letters.width(if said.len() < 10 { "0. " } else { "00. " }, letters);
        let mut lines = Vec::new();
        for (index, (text, shows)) in said.into_iter().enumerate() {
            for (row, line) in board.letters.lines(&text, letters, room - hang).into_iter().enumerate() {
                let first = row == 0;
                let text = if first { format!("{}. {line}", index + 1) } else { line };
                lines.push(Line { first, text, shows: shows.clone() });
            }
        }
        let (heading, columns) = general(part, numbers, board);
        let size = if board.letters.width(&heading, letters) > room { SMALL } else { letters };
        let heading = if heading.is_empty() { Vec::new() } else { board.letters.lines(&heading, size, room) };
        let table = if columns.is_empty() { 0.0 } else { 2.0 * ROW };
        let height = times(lines.len()) * PITCH * letters + 2.5 + table + times(heading.len()) * ROW;
        Self { lines, letters, hang, heading: (size, heading), columns, width, height: height.max(BLOCK.1) }
    }

    pub(super) fn draw(&self, board: &mut Board<'_>, frame: Rect) {
        let corner = frame.low;
        let mut floor = corner.y;
        if !self.columns.is_empty() {
            let wide = self.width / times(self.columns.len());
            for (index, (range, told)) in self.columns.iter().enumerate() {
                let low = Point::new(corner.x + wide * times(index), corner.y);
                rectangle(board, Rect::new(low, low + Vector::new(wide, 2.0 * ROW)), Pen::Thin);
                let middle = low + Vector::new(wide / 2.0, 0.0);
                board.text(middle + Vector::new(0.0, ROW + 1.25), Anchor::Middle, SMALL, range, None);
                board.text(middle + Vector::new(0.0, 1.25), Anchor::Middle, SMALL, told, None);
            }
            floor += 2.0 * ROW;
        }
        let (size, heading) = &self.heading;
        for line in heading.iter().rev() {
            let at = Point::new(corner.x + INSET, floor + (ROW - size) / 2.0);
            board.text(at, Anchor::Start, *size, line, None);
            floor += ROW;
        }
        board.line(Role::Frame, Pen::Thin, Point::new(corner.x, floor), Point::new(corner.x + self.width, floor));
        let mut y = corner.y + self.height - 1.5 - self.letters;
        for line in &self.lines {
            let x = corner.x + INSET + if line.first { 0.0 } else { self.hang };
            board.text(Point::new(x, y), Anchor::Start, self.letters, &line.text, line.shows.as_ref());
            y -= PITCH * self.letters;
        }
        let top = corner.y + self.height;
        let right = corner.x + self.width;
        board.line(Role::Frame, Pen::Outline, Point::new(corner.x, top), Point::new(right, top));
        board.line(Role::Frame, Pen::Outline, Point::new(right, corner.y), Point::new(right, top));
    }
}

fn said(part: &Part, numbers: &Numbers<'_>, board: &Board<'_>) -> Vec<(String, Option<Arc<Shown>>)> {
    let mut notes = Vec::new();
    let unit = match numbers.unit {
        Unit::Mm => "DIMENSIONS IN MILLIMETRES.",
        Unit::Inch => "DIMENSIONS IN INCHES.",
    };
    let mut first = unit.to_owned();
    let threads: Vec<Unit> =
        part.holes().filter_map(|(_, holes)| holes.thread()).map(|(thread, _)| thread.unit).collect();
    if threads.contains(&Unit::Mm) {
        first.push_str(" THREADS ISO\u{a0}965-1.");
    }
    if threads.contains(&Unit::Inch) {
        first.push_str(" THREADS ASME\u{a0}B1.1.");
    }
    notes.push((first, None));
    if part.holes().next().is_some() {
        let straight = part.holes().all(|(_, holes)| holes.places.iter().all(|place| place.y.abs() < Length::mm(5e-7)));
        let text = if straight {
            "HOLES: 0 IS THE MIDDLE OF THE LENGTH; ALL ON THE MIDDLE OF THE WIDTH."
        } else {
            "HOLES: 0 IS THE MIDDLE OF THE LENGTH AND OF THE WIDTH."
        };
        let mut text = text.to_owned();
        let across: Vec<Length> = part
            .holes()
            .filter(|(_, holes)| holes.places.iter().any(|place| place.y.abs() < Length::mm(5e-7)))
            .map(|(_, holes)| holes.place_tolerance)
            .collect();
        let alike = across
            .first()
            .filter(|first| numbers.letters.is_empty() && straight && across.iter().all(|other| other == *first));
        if let Some(tolerance) = alike {
            text = format!("{} WITHIN {}.", text.trim_end_matches('.'), numbers.tolerance(*tolerance));
        }
        notes.push((text, None));
    }
    for (feature, tongue) in part.tongues() {
        let shows = Shown {
            names: vec![format!("{}.centring", feature.id)],
            title: format!("{}: how far its middle may lie from the middle of the bar", feature.title),
        };
        let name = format!("{}.centring", feature.id);
        let within = numbers.or_letter(&name, || numbers.tolerance(tongue.centring));
        let text = format!("TONGUE ON THE MIDDLE OF THE WIDTH WITHIN {within}.");
        notes.push((text, Some(Arc::new(shows))));
    }
    let own = part.notes.iter().map(|note| board.letters.capitals(note)).filter(|note| !note.is_empty());
    notes.extend(own.map(|note| (if numbers.unit == Unit::Inch { bare(&note) } else { note }, None)));
    notes
}

/// Inches in a note as the figures of the sheet have them: no zero before the point (ASME Y14.5).
fn bare(note: &str) -> String {
    let words: Vec<&str> = note.split(' ').collect();
    let after = words.iter().skip(1).map(|next| next.starts_with("IN")).chain([false]);
    let said = words.iter().zip(after).map(|(word, inches)| match word.strip_prefix("0.") {
        Some(rest) if inches => format!(".{rest}"),
        _ => (*word).to_owned(),
    });
    said.collect::<Vec<_>>().join(" ")
}

fn general(part: &Part, numbers: &Numbers<'_>, board: &Board<'_>) -> (String, Vec<(String, String)>) {
    let name = board.letters.settable(&part.general.name);
    let by_decimals = || {
        let mut columns: Vec<(String, String)> = General::BY_DECIMALS
            .iter()
            .map(|(places, told)| {
                let range = format!(".{}", "X".repeat(*places));
                (range, format!("±{}", short(fixed(numbers.unit.of(*told), *places))))
            })
            .collect();
        columns.push(("ANGLES".to_owned(), "±0.5°".to_owned()));
        columns
    };
    match numbers.general {
        General::Iso(class) => {
            let largest = largest(part);
            let columns = rows(*class, largest)
                .map(|(low, high, told)| {
                    (format!("{}-{}", trimmed(low, 1), trimmed(high, 0)), format!("±{}", trimmed(told, 2)))
                })
                .collect();
            let unit = if numbers.unit == Unit::Inch { ", IN mm" } else { "" };
            (format!("GENERAL TOLERANCES {name}{unit}"), columns)
        }
        General::Decimals => ("GENERAL TOLERANCES BY DECIMALS".to_owned(), by_decimals()),
        General::Own(_) if numbers.unit == Unit::Inch => (format!("GENERAL TOLERANCES {name}"), by_decimals()),
        General::Own(_) if name.is_empty() => (String::new(), Vec::new()),
        General::Own(_) => (format!("GENERAL TOLERANCES {name}"), Vec::new()),
    }
}

fn largest(part: &Part) -> Length {
    let holes = part.holes().filter_map(|(_, holes)| match &holes.make {
        Make::Plain { diameter } | Make::Reamed { diameter } => Some(diameter.nominal),
        Make::Tapped { .. } => None,
    });
    holes.fold(part.length.nominal.max(part.width.nominal).max(part.height.nominal), Length::max)
}

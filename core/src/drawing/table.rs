//! The hole table: what a view cannot bear in figures stands in rows, and each hole has a tag.

use std::sync::Arc;

use super::arrange::Job;
use super::board::Board;
use super::border::{BAR, BLOCK, rectangle};
use super::callout;
use super::clash::{Obstacles, Thicket};
use super::coordinates;
use super::lettering::Lettering;
use super::sheet::{Anchor, Item, Pen, Role, Shown};
use super::solid::{Solid, Spot};
use super::style::{FIGURE, NOTE, SMALL, times};
use super::views::View;
use crate::geom::{Point, Rect, Vector};
use crate::part::{Face, Feature, Holes, Kind};
use crate::quantity::Angle;

/// Height of a row.
const ROW: f64 = 6.5;
/// White beside the words of a cell.
const INSET: f64 = 1.5;
/// White between two columns of the table.
const GAP: f64 = 4.0;
/// Letters of groups: those that are not mistaken for figures or each other (ASME Y14.35 leaves
/// out the same ones for revisions; from memory).
const LETTERS: &[u8] = b"ABCDEFGHJKLMNPRTUVWY";

/// A line of the table.
#[derive(Clone, Debug)]
enum Row {
    /// What a group is.
    Group(String, Arc<Shown>),
    /// One hole: its tag, where it lies to the right and up.
    Hole { tag: String, right: (String, Arc<Shown>), up: (String, Arc<Shown>) },
}

/// A hole's tag and the hole.
#[derive(Clone, Debug)]
struct Tag {
    face: Face,
    text: String,
    /// The hole: number of its group, and its own in that.
    hole: (usize, usize),
}

/// All holes of a part in rows.
#[derive(Clone, Debug)]
pub(super) struct Table {
    rows: Vec<Row>,
    tags: Vec<Tag>,
    /// Widths of the cells of tag, X and Y.
    cells: [f64; 3],
    /// Whether a hole whose tag finds no place may go without: its row says where it is.
    pub(super) partial: bool,
}

/// The groups of holes of a part, each with its letter.
fn groups<'j>(job: &Job<'j>) -> impl Iterator<Item = (String, usize, &'j Feature, &'j Holes)> {
    let groups = job.part.features.iter().enumerate().filter_map(|(group, feature)| match &feature.kind {
        Kind::Holes(holes) if !holes.places.is_empty() => Some((group, feature, holes)),
        Kind::Holes(_) | Kind::Tongue(_) | Kind::Slot(_) => None,
    });
    groups.enumerate().map(|(turn, (group, feature, holes))| (letter(turn), group, feature, holes))
}

/// The holes of a group in the order of their tags.
fn ordered(job: &Job<'_>, group: usize) -> Vec<Spot> {
    let mut spots: Vec<Spot> = job.solid.holes_in(group).iter().map(|hole| hole.spot(1.0)).collect();
    spots.sort_by(|a, b| a.right.total_cmp(&b.right).then(b.up.total_cmp(&a.up)));
    spots
}

impl Table {
    /// The tags alone, without rows.
    pub(super) fn tags(job: &Job<'_>, partial: bool) -> Self {
        let mut tags = Vec::new();
        for (letter, group, feature, _) in groups(job) {
            tags.extend(ordered(job, group).iter().enumerate().map(|(index, spot)| Tag {
                face: feature.face,
                text: [letter.as_str(), &(index + 1).to_string()].concat(),
                hole: (spot.group, spot.number.unwrap_or(0)),
            }));
        }
        Self { rows: Vec::new(), tags, cells: [0.0; 3], partial }
    }

    /// Adds the rows.
    pub(super) fn fill(&mut self, job: &Job<'_>, letters: &Lettering) {
        let mut rows = Vec::new();
        let mut cells = [letters.width("HOLE", SMALL), 10.0, 10.0];
        let mut headings = 0.0_f64;
        for (letter, group, feature, holes) in groups(job) {
            let side = match feature.face {
                Face::Top => "",
                Face::Bottom => ", FROM BELOW",
                Face::Left => ", LEFT END",
                Face::Right => ", RIGHT END",
            };
            for (index, (text, shows)) in callout::words(feature, holes, job.numbers).into_iter().enumerate() {
                let text = letters.settable(&text);
                let text = if index == 0 { format!("{letter}: {text}{side}") } else { text };
                headings = headings.max(letters.width(&text, FIGURE));
                rows.push(Row::Group(text, Arc::new(shows)));
            }
            for (index, spot) in ordered(job, group).iter().enumerate() {
                let text = [letter.as_str(), &(index + 1).to_string()].concat();
                let [right, up] = [true, false].map(|right| coordinates::say(job, feature.face, &[spot], right));
                for (cell, text) in cells.iter_mut().zip([&text, &right.0, &up.0]) {
                    *cell = cell.max(letters.width(text, FIGURE));
                }
                rows.push(Row::Hole { tag: text, right, up });
            }
        }
        for cell in &mut cells {
            *cell += 2.0 * INSET;
        }
        let short = headings + 2.0 * INSET - cells.iter().sum::<f64>();
        if short > 0.0 {
            for cell in &mut cells {
                *cell += short / 3.0;
            }
        }
        (self.rows, self.cells) = (rows, cells);
    }

    fn column(&self) -> f64 {
        self.cells.iter().sum()
    }

    /// How many rows a column of this height takes, under its heading.
    fn deep(height: f64) -> usize {
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a few hundred at most")]
        let rows = (height / ROW + 1e-9).floor().clamp(0.0, 1000.0) as usize;
        rows.saturating_sub(1)
    }

    /// The columns that it takes at this height: which rows stand in each. A group's words never
    /// stand last. `None` where not even a few rows fit.
    fn split(&self, height: f64) -> Option<Vec<(usize, usize)>> {
        let deep = Self::deep(height);
        if deep < 6 {
            return None;
        }
        let mut columns = Vec::new();
        let mut start = 0;
        while start < self.rows.len() {
            let mut end = (start + deep).min(self.rows.len());
            if end < self.rows.len() {
                while end > start + 1 && matches!(self.rows.get(end - 1), Some(Row::Group(..))) {
                    end -= 1;
                }
            }
            columns.push((start, end));
            start = end;
        }
        Some(columns)
    }

    /// The width that it takes at this height.
    pub(super) fn width(&self, height: f64) -> Option<f64> {
        let count = times(self.split(height)?.len());
        Some(count * self.column() + (count - 1.0) * GAP)
    }

    /// Draws it into the upper right corner of a box; the width that it takes comes out, and how
    /// many columns stand there. Columns before `from` are left out, and those that find no room.
    pub(super) fn draw(&self, board: &mut Board<'_>, room: Rect, from: usize) -> usize {
        let columns = self.split(room.height()).unwrap_or_default();
        let here: Vec<_> = columns.iter().skip(from).take(self.fit(room)).collect();
        let count = here.len();
        let whole = times(count) * (self.column() + GAP) - GAP;
        for (index, (start, end)) in here.into_iter().enumerate() {
            let left = room.high.x - whole + times(index) * (self.column() + GAP);
            self.draw_column(board, Point::new(left, room.high.y), self.rows.get(*start..*end).unwrap_or_default());
        }
        count
    }

    /// How many columns stand side by side in a box.
    fn fit(&self, room: Rect) -> usize {
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a dozen at most")]
        let fit = ((room.width() + GAP) / (self.column() + GAP) + 1e-9).floor().clamp(0.0, 100.0) as usize;
        fit
    }

    /// The width that the columns from `from` on leave in a box.
    fn spare(&self, room: Rect, from: usize) -> f64 {
        let left = self.split(room.height()).map_or(0, |columns| columns.len().saturating_sub(from));
        let count = left.min(self.fit(room));
        (room.width() - times(count) * (self.column() + GAP) + GAP).max(0.0)
    }

    fn draw_column(&self, board: &mut Board<'_>, corner: Point, rows: &[Row]) {
        let high = times(rows.len() + 1) * ROW;
        let width = self.column();
        rectangle(board, Rect::new(corner, corner + Vector::new(width, -high)), Pen::Outline);
        let [tag, right, _] = self.cells;
        let stops = [0.0, tag, tag + right, width];
        let mut top = corner.y;
        let mut upright: Vec<(f64, f64)> = Vec::new();
        let mut line = |board: &mut Board<'_>, top: f64, cells: bool| {
            let y = top - ROW;
            board.line(Role::Frame, Pen::Thin, Point::new(corner.x, y), Point::new(corner.x + width, y));
            if cells {
                match upright.last_mut() {
                    Some((_, end)) if (*end - top).abs() < 1e-9 => *end = y,
                    _ => upright.push((top, y)),
                }
            }
        };
        // Brackets reach farther down than up.
        let base = |top: f64, height: f64| top - f64::midpoint(ROW, height) + 0.2;
        for (caption, pair) in ["HOLE", "X", "Y"].into_iter().zip(stops.windows(2)) {
            let middle = corner.x + f64::midpoint(pair[0], pair[1]);
            board.text(Point::new(middle, base(top, SMALL)), Anchor::Middle, SMALL, caption, None);
        }
        line(board, top, true);
        top -= ROW;
        for row in rows {
            let y = base(top, FIGURE);
            match row {
                Row::Group(text, shows) => {
                    board.text(Point::new(corner.x + INSET, y), Anchor::Start, FIGURE, text, Some(shows));
                    line(board, top, false);
                }
                Row::Hole { tag, right, up } => {
                    board.text(Point::new(corner.x + INSET, y), Anchor::Start, FIGURE, tag, None);
                    for ((text, shows), stop) in [(right, stops[2]), (up, stops[3])] {
                        let end = corner.x + stop - INSET;
                        board.text(Point::new(end, y), Anchor::End, FIGURE, text, Some(shows));
                    }
                    line(board, top, true);
                }
            }
            top -= ROW;
        }
        for (from, to) in upright {
            for x in &stops[1..3] {
                board.line(Role::Frame, Pen::Thin, Point::new(corner.x + x, from), Point::new(corner.x + x, to));
            }
        }
    }

    /// Writes each hole's tag beside it, at the upper right where that is free. `None` where one
    /// finds no place.
    pub(super) fn tag(&self, board: &mut Board<'_>, solid: &Solid, face: Face, view: View) -> Option<()> {
        let before = board.items.len();
        let obstacles = Obstacles::of(&board.items);
        let heights = if self.partial { &[SMALL][..] } else { &[FIGURE, NOTE, SMALL][..] };
        for height in heights.iter().copied() {
            if self.tag_in(board, obstacles.clone(), (solid, face, view), height).is_some() {
                return Some(());
            }
            board.items.truncate(before);
        }
        None
    }

    /// Whether the lowest tags find room.
    pub(super) fn fits(&self, board: &Board<'_>, solid: &Solid, face: Face, view: View) -> bool {
        let mut own = Board::new(board.letters);
        self.tag_in(&mut own, Obstacles::of(&board.items), (solid, face, view), SMALL).is_some()
    }

    fn tag_in(
        &self,
        board: &mut Board<'_>,
        mut obstacles: Obstacles,
        (solid, face, view): (&Solid, Face, View),
        height: f64,
    ) -> Option<()> {
        let ways = WAYS.map(|degree| Vector::toward(Angle::degree(degree)));
        // Where a tag may be left out, nearly all of them find no room.
        let thicket = self.partial.then(|| Thicket::of(&board.items));
        let touches = |obstacles: &Obstacles, place: Rect| {
            thicket.as_ref().is_some_and(|thicket| thicket.fills(place)) || obstacles.touch(place)
        };
        for tag in self.tags.iter().filter(|tag| tag.face == face) {
            let Some(hole) = solid.holes_in(tag.hole.0).get(tag.hole.1) else { continue };
            let centre = view.at(hole.right, hole.up);
            let radius = hole.outer(view.scale);
            let width = board.letters.width(&tag.text, height);
            let place = around(&ways, centre, radius, (width, height)).find(|(place, far)| {
                !touches(&obstacles, place.grown(0.6))
                    && (!far || lead(centre, radius, *place).is_some_and(|(from, to)| !obstacles.crossed(from, to)))
            });
            let Some((place, far)) = place else {
                if self.partial {
                    continue;
                }
                return None;
            };
            let ink = board.text(place.low, Anchor::Start, height, &tag.text, None);
            obstacles.block(ink.grown(0.3));
            if let Some((from, to)) = lead(centre, radius, place).filter(|_| far) {
                board.thin(Role::Leader, from, to, None);
                obstacles.wall(from, to);
            }
        }
        Some(())
    }
}

/// A thin line from a hole to its tag, where the tag stands off.
fn lead(centre: Point, radius: f64, place: Rect) -> Option<(Point, Point)> {
    let near = Point::new(centre.x.clamp(place.low.x, place.high.x), centre.y.clamp(place.low.y, place.high.y));
    let run = centre.distance(near);
    (run > radius + 1.6).then(|| {
        let way = (near - centre) * (1.0 / run);
        (centre + way * radius, near - way * 0.8)
    })
}

/// Where a tag may lie from its hole, the best first.
const WAYS: [f64; 16] =
    [45.0, 135.0, 315.0, 225.0, 60.0, 30.0, 120.0, 150.0, 300.0, 330.0, 240.0, 210.0, 82.0, 98.0, 262.0, 278.0];

/// Boxes for a tag about a hole, the best first: upper right, then the other corners, then on all
/// sides and each time farther out; and whether it is so far off that a line has to lead there.
fn around(
    ways: &[Vector],
    centre: Point,
    radius: f64,
    (width, height): (f64, f64),
) -> impl Iterator<Item = (Rect, bool)> {
    [1.2, 2.0, 3.0, 4.5, 6.5, 9.0, 12.0].into_iter().flat_map(move |off| {
        ways.iter().map(move |way| {
            let near = centre + *way * (radius + off);
            let left = if way.x < 0.0 { width } else { 0.0 };
            let down = if way.y < 0.0 { height } else { 0.0 };
            let low = near - Vector::new(left, down);
            (Rect::new(low, low + Vector::new(width, height)), off > 4.0)
        })
    })
}

/// The letter of a group; after the last, doubled.
fn letter(turn: usize) -> String {
    let sign = char::from(LETTERS[turn % LETTERS.len()]);
    std::iter::repeat_n(sign, turn / LETTERS.len() + 1).collect()
}

/// The sheets that a table fills by itself: what is drawn on each within the frame.
pub(super) fn pages(table: Option<&Table>, frame: Rect, letters: &Lettering) -> Vec<Vec<Item>> {
    let Some(table) = table else { return Vec::new() };
    let low = Point::new(frame.low.x + BAR.0 + 1.5, frame.low.y + BLOCK.1 + 4.0);
    let room = Rect { low, high: Point::new(frame.high.x - 4.0, frame.high.y - BAR.1 - 2.0) };
    let mut pages = Vec::new();
    let mut from = 0;
    loop {
        let mut board = Board::new(letters);
        let right = room.high.x - table.spare(room, from) / 2.0;
        let drawn = table.draw(&mut board, Rect { high: Point::new(right, room.high.y), ..room }, from);
        if drawn == 0 {
            return pages;
        }
        from += drawn;
        pages.push(board.items);
    }
}

//! What touches and what crosses.

use std::ops::Range;

use super::sheet::{Item, Role, Shape};
use super::style::CLEAR;
use crate::geom::{Point, Rect, Vector};

/// White around a text that no line may enter.
const WHITE: f64 = 0.5;

/// Whether any two come in each other's way: a text and what touches it, or a dimension line and
/// what cuts it.
pub(super) fn clash(items: &[Item]) -> bool {
    let mut texts: Grid<(Rect, &Item)> = Grid::default();
    for item in items {
        let Shape::Text { ink, .. } = &item.shape else { continue };
        let white = ink.grown(WHITE);
        // The pieces of one label may stand side by side.
        let own = |theirs: &Item| item.shows.is_some() && item.shows == theirs.shows;
        let touches = |(other, theirs): &(Rect, &Item)| {
            white.overlaps(*other) && (!own(theirs) || ink.grown(-0.01).overlaps(*other))
        };
        if texts.any(white, touches) {
            return true;
        }
        texts.put(*ink, (*ink, item));
    }
    let mut dimensions: Vec<(&Item, (Point, Point))> = Vec::new();
    let mut others: Grid<(&Item, (Point, Point))> = Grid::default();
    let mut crossed = false;
    let mut last = (Point::default(), -1.0);
    for item in items.iter().filter(|item| item.role != Role::Picture) {
        if let Shape::Arc { centre, radius, start: _, sweep: _ } = &item.shape {
            if last == (*centre, *radius) {
                continue;
            }
            last = (*centre, *radius);
        }
        strokes(&item.shape, &mut |from, to| {
            let place = Rect::new(from, to);
            crossed = crossed || texts.any(place.grown(WHITE), |(ink, _)| passes((from, to), ink.grown(WHITE)));
            match item.role {
                Role::Dimension => dimensions.push((item, (from, to))),
                Role::Extension | Role::Leader => {}
                _ => return,
            }
            others.put(place, (item, (from, to)));
        });
        if crossed {
            return true;
        }
    }
    // A dimension line that goes on past its arrow to its figures crosses its own extension line.
    dimensions.iter().any(|(item, line)| {
        let place = Rect::new(line.0, line.1);
        others.any(place, |(other, theirs)| cross(*line, *theirs) && item.shows != other.shows)
    })
}

/// Everything that a text must not touch and a leader must not cross, in cells of the paper: what
/// is asked of a place looks at what lies there and nowhere else.
#[derive(Clone, Debug, Default)]
pub(super) struct Obstacles {
    boxes: Grid<Rect>,
    /// Lines that a leader may cross.
    soft: Grid<(Point, Point)>,
    /// Lines that it may not.
    hard: Grid<(Point, Point)>,
    /// Circles, which it may cross too.
    rings: Grid<(Point, f64)>,
}

impl Obstacles {
    pub(super) fn of(items: &[Item]) -> Self {
        let mut all = Self::default();
        let mut last = (Point::default(), -1.0);
        for item in items {
            let lines = match item.role {
                Role::Dimension | Role::Leader | Role::Arrow | Role::Extension => &mut all.hard,
                Role::Outline
                | Role::Hidden
                | Role::Centre
                | Role::Hatch
                | Role::Break
                | Role::Frame
                | Role::Picture
                | Role::Text => &mut all.soft,
            };
            let mut line = |from, to| lines.put(Rect::new(from, to), (from, to));
            match &item.shape {
                Shape::Text { ink, .. } => all.boxes.put(*ink, *ink),
                // The dashes of one circle stand one after the other, and count once.
                Shape::Circle { centre, radius } | Shape::Arc { centre, radius, start: _, sweep: _ } => {
                    if last != (*centre, *radius) {
                        last = (*centre, *radius);
                        all.rings.put(Rect::new(*centre, *centre).grown(*radius), last);
                    }
                }
                shape => strokes(shape, &mut line),
            }
        }
        all
    }

    /// Keeps a box free from now on.
    pub(super) fn block(&mut self, place: Rect) {
        self.boxes.put(place, place);
    }

    /// Lets nothing cross this line from now on.
    pub(super) fn wall(&mut self, from: Point, to: Point) {
        self.hard.put(Rect::new(from, to), (from, to));
    }

    /// Whether anything lies in a box.
    pub(super) fn touch(&self, place: Rect) -> bool {
        // Lines first: among crowded holes they are what is met nearly always.
        Cells::of(place).any(|cell| {
            self.soft.in_cell(cell, |line| passes(*line, place))
                || self.rings.in_cell(cell, |ring| meets(*ring, place))
                || self.boxes.in_cell(cell, |other| other.overlaps(place))
                || self.hard.in_cell(cell, |line| passes(*line, place))
        })
    }

    /// Whether a leader from here to there would cross a text or a line of a dimension.
    pub(super) fn crossed(&self, from: Point, to: Point) -> bool {
        let place = Rect::new(from, to);
        self.boxes.any(place.grown(CLEAR), |other| passes((from, to), other.grown(CLEAR)))
            || self.hard.any(place, |line| cross(*line, (from, to)))
    }
}

/// Small squares of the paper that a level or an upright line runs through from side to side: a box
/// that holds one whole is taken, and among thousands of holes that is seen at a glance.
#[derive(Clone, Debug)]
pub(super) struct Thicket(Vec<bool>);

/// Side of a square, in millimetres: a box about the lowest tag holds some.
const SQUARE: f64 = 1.25;
/// Squares to the right and up, on the largest paper.
const SQUARES: (usize, usize) = (352, 240);

impl Thicket {
    pub(super) fn of(items: &[Item]) -> Self {
        let mut squares = vec![false; SQUARES.0 * SQUARES.1];
        for item in items {
            if !matches!(item.shape, Shape::Line(..) | Shape::Dashes(_) | Shape::Polyline { .. }) {
                continue;
            }
            strokes(&item.shape, &mut |from, to| {
                let place = Rect::new(from, to);
                let (columns, rows) = if from.x.to_bits() == to.x.to_bits() {
                    (Self::around(from.x, SQUARES.0), Self::within(place.low.y, place.high.y, SQUARES.1))
                } else if from.y.to_bits() == to.y.to_bits() {
                    (Self::within(place.low.x, place.high.x, SQUARES.0), Self::around(from.y, SQUARES.1))
                } else {
                    return;
                };
                for row in rows {
                    for column in columns.clone() {
                        squares[row * SQUARES.0 + column] = true;
                    }
                }
            });
        }
        Self(squares)
    }

    /// Whether a line surely runs through a box.
    pub(super) fn fills(&self, place: Rect) -> bool {
        let columns = Self::within(place.low.x, place.high.x, SQUARES.0);
        let mut rows = Self::within(place.low.y, place.high.y, SQUARES.1);
        rows.any(|row| columns.clone().any(|column| self.0[row * SQUARES.0 + column]))
    }

    /// The squares that lie whole between two places.
    fn within(low: f64, high: f64, count: usize) -> Range<usize> {
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "kept within the paper")]
        let at = |place: f64| (place.max(0.0) as usize).min(count);
        at((low / SQUARE).ceil())..at((high / SQUARE).floor())
    }

    /// The square that a line runs through inside; none where it runs along an edge.
    fn around(at: f64, count: usize) -> Range<usize> {
        let from = (at / SQUARE).floor() * SQUARE;
        if at - from > 1e-6 && from + SQUARE - at > 1e-6 {
            Self::within(from - 1e-7, from + SQUARE + 1e-7, count)
        } else {
            0..0
        }
    }
}

/// Things on paper by the cells that they reach into: lists chained through one store.
#[derive(Clone, Debug)]
pub(super) struct Grid<T> {
    /// The last thing of each cell, by its place in the store; [`NOTHING`] where there is none.
    heads: Vec<u32>,
    /// Each thing, with the one before it in its cell.
    store: Vec<(T, u32)>,
}

/// No thing of a store.
const NOTHING: u32 = u32::MAX;
/// Width of a cell, in millimetres.
const CELL: f64 = 8.0;
/// Cells to the right and up: more than the largest paper takes; what lies outside belongs to those
/// at the border.
const CELLS: (usize, usize) = (56, 40);

impl<T> Default for Grid<T> {
    fn default() -> Self {
        Self { heads: vec![NOTHING; CELLS.0 * CELLS.1], store: Vec::new() }
    }
}

impl<T> Grid<T> {
    /// Is what touches a box held good by a test?
    pub(super) fn any(&self, place: Rect, good: impl Fn(&T) -> bool) -> bool {
        Cells::of(place).any(|cell| self.in_cell(cell, &good))
    }

    fn in_cell(&self, cell: usize, good: impl Fn(&T) -> bool) -> bool {
        let mut at = self.heads.get(cell).copied().unwrap_or(NOTHING);
        while let Some((thing, before)) = self.store.get(at as usize) {
            if good(thing) {
                return true;
            }
            at = *before;
        }
        false
    }
}

/// The cells that a box touches: columns and rows from one to the other.
#[derive(Clone, Copy, Debug)]
struct Cells {
    columns: (usize, usize),
    rows: (usize, usize),
}

impl Cells {
    fn of(place: Rect) -> Self {
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "kept within the cells")]
        let cell = |at: f64, count: usize| ((at / CELL).max(0.0) as usize).min(count - 1);
        Self {
            columns: (cell(place.low.x, CELLS.0), cell(place.high.x, CELLS.0)),
            rows: (cell(place.low.y, CELLS.1), cell(place.high.y, CELLS.1)),
        }
    }

    fn any(self, mut good: impl FnMut(usize) -> bool) -> bool {
        for row in self.rows.0..=self.rows.1 {
            for column in self.columns.0..=self.columns.1 {
                if good(row * CELLS.0 + column) {
                    return true;
                }
            }
        }
        false
    }
}

impl<T: Copy> Grid<T> {
    pub(super) fn put(&mut self, place: Rect, thing: T) {
        Cells::of(place).any(|cell| {
            // A store of 2^32 things is far beyond any sheet.
            let next = u32::try_from(self.store.len()).unwrap_or(NOTHING);
            if let Some(head) = self.heads.get_mut(cell) {
                self.store.push((thing, *head));
                *head = next;
            }
            false
        });
    }
}

/// Whether a line passes through the inside of a box.
pub(super) fn passes((from, to): (Point, Point), place: Rect) -> bool {
    let way = to - from;
    let (mut enter, mut leave) = (0.0_f64, 1.0_f64);
    for (start, step, low, high) in
        [(from.x, way.x, place.low.x, place.high.x), (from.y, way.y, place.low.y, place.high.y)]
    {
        if step.abs() < 1e-12 {
            if start <= low || start >= high {
                return false;
            }
        } else {
            let (a, b) = ((low - start) / step, (high - start) / step);
            enter = enter.max(a.min(b));
            leave = leave.min(a.max(b));
        }
    }
    enter < leave - 1e-12
}

/// Whether a circle's line passes through a box.
fn meets((centre, radius): (Point, f64), place: Rect) -> bool {
    let near = Point::new(centre.x.clamp(place.low.x, place.high.x), centre.y.clamp(place.low.y, place.high.y));
    let far = |at: f64, low: f64, high: f64| (at - low).abs().max((high - at).abs());
    let corner = Vector::new(far(centre.x, place.low.x, place.high.x), far(centre.y, place.low.y, place.high.y));
    centre.distance(near) < radius && corner.length() > radius
}

/// Whether two lines cross within both.
pub(super) fn cross(a: (Point, Point), b: (Point, Point)) -> bool {
    let side = |line: (Point, Point), place: Point| (line.1 - line.0).cross(place - line.0);
    side(a, b.0) * side(a, b.1) < -1e-9 && side(b, a.0) * side(b, a.1) < -1e-9
}

/// The straight lines of a form; a broken line counts as one, a circle as the cross within it.
fn strokes(shape: &Shape, put: &mut dyn FnMut(Point, Point)) {
    match shape {
        Shape::Line(from, to) => put(*from, *to),
        Shape::Dashes(dashes) => {
            if let (Some(first), Some(last)) = (dashes.first(), dashes.last()) {
                put(first.0, last.1);
            }
        }
        Shape::Polyline { points, closed, filled: _ } => {
            for pair in points.windows(2) {
                put(pair[0], pair[1]);
            }
            if let (true, Some(first), Some(last)) = (*closed, points.first(), points.last()) {
                put(*last, *first);
            }
        }
        Shape::Circle { centre, radius } | Shape::Arc { centre, radius, start: _, sweep: _ } => {
            let half = Vector::new(*radius, 0.0);
            put(*centre - half, *centre + half);
            put(*centre - half.left(), *centre + half.left());
        }
        Shape::Text { .. } => {}
    }
}

#[cfg(test)]
mod tests {
    use super::super::drawn::Dice;
    use super::super::sheet::{Item, Pen, Role, Shape};
    use super::{Obstacles, Thicket};
    use crate::geom::{Point, Rect, Vector};

    /// Whatever is seen at a glance is touched when it is looked at.
    #[test]
    fn a_thicket_says_only_what_is_so() {
        let mut dice = Dice::new(7);
        let mut at = |most: f64| dice.between(0.0, most, 0.25);
        let mut item = |turn: u32| {
            let (from, run) = (Point::new(at(400.0), at(280.0)), at(90.0));
            let way = if turn.is_multiple_of(2) { Vector::new(run, 0.0) } else { Vector::new(0.0, run) };
            Item { shape: Shape::Line(from, from + way), role: Role::Centre, pen: Pen::Centre, shows: None }
        };
        let items: Vec<Item> = (0..400).map(&mut item).collect();
        let (all, glance) = (Obstacles::of(&items), Thicket::of(&items));
        let (mut seen, mut touched) = (0, 0);
        for _ in 0..20_000 {
            let low = Point::new(at(420.0) - 8.0, at(300.0) - 8.0);
            let place = Rect::new(low, low + Vector::new(3.7 + at(6.0), 3.7));
            let touch = all.touch(place);
            touched += u32::from(touch);
            if glance.fills(place) {
                seen += 1;
                assert!(touch, "{place:?}");
            }
        }
        assert!(seen * 2 > touched && touched < 20_000, "most are seen, not all: {seen} of {touched}");
    }
}

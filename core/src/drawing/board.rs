//! The board that a sheet is drawn on: pens, dashes, arrows and lettering.

use std::sync::Arc;

use super::lettering::Lettering;
use super::sheet::{Anchor, Item, Pen, Role, Shape, Shown};
use super::style;
use crate::geom::{Point, Rect, Vector};
use crate::quantity::Angle;

/// Collects drawn items.
#[derive(Debug)]
pub(crate) struct Board<'l> {
    pub(crate) items: Vec<Item>,
    pub(crate) letters: &'l Lettering,
}

impl<'l> Board<'l> {
    pub(crate) const fn new(letters: &'l Lettering) -> Self {
        Self { items: Vec::new(), letters }
    }

    pub(crate) fn put(&mut self, shape: Shape, role: Role, pen: Pen, shows: Option<&Arc<Shown>>) {
        self.items.push(Item { shape, role, pen, shows: shows.cloned() });
    }

    pub(crate) fn line(&mut self, role: Role, pen: Pen, from: Point, to: Point) {
        self.put(Shape::Line(from, to), role, pen, None);
    }

    pub(crate) fn thin(&mut self, role: Role, from: Point, to: Point, shows: Option<&Arc<Shown>>) {
        self.put(Shape::Line(from, to), role, Pen::Thin, shows);
    }

    pub(crate) fn outline(&mut self, points: Vec<Point>, closed: bool) {
        self.put(Shape::Polyline { points, closed, filled: false }, Role::Outline, Pen::Outline, None);
    }

    pub(crate) fn circle(&mut self, role: Role, pen: Pen, centre: Point, radius: f64) {
        self.put(Shape::Circle { centre, radius }, role, pen, None);
    }

    /// A hidden edge: starts and ends on a dash (ISO 128-2 line 02; method of ISO 128-21, from
    /// memory).
    pub(crate) fn hidden(&mut self, from: Point, to: Point) {
        let d = Pen::Hidden.width();
        let length = from.distance(to);
        let dashes = if length < 6.0 * d {
            vec![(from, to)]
        } else {
            let n = ((length - 12.0 * d) / (15.0 * d)).round().max(1.0);
            let dash = (length - 3.0 * d * n) / (n + 1.0);
            broken(from, to, &[dash, 3.0 * d])
        };
        self.put(Shape::Dashes(dashes), Role::Hidden, Pen::Hidden, None);
    }

    /// An axis or a middle: long dashes with a point between (ISO 128-2 line 04); a short one is
    /// not broken.
    pub(crate) fn centre(&mut self, from: Point, to: Point, shows: Option<&Arc<Shown>>) {
        let d = Pen::Centre.width();
        let length = from.distance(to);
        let dashes = if length < 54.5 * d {
            vec![(from, to)]
        } else {
            let n = ((length - 24.0 * d) / (30.5 * d)).round().max(1.0);
            let long = (length - 6.5 * d * n) / (n + 1.0);
            broken(from, to, &[long, 3.0 * d, 0.5 * d, 3.0 * d])
        };
        self.put(Shape::Dashes(dashes), Role::Centre, Pen::Centre, shows);
    }

    /// A hidden circle, for the thread in the round view of ASME Y14.6.
    pub(crate) fn hidden_circle(&mut self, centre: Point, radius: f64) {
        let turn = 2.0 * std::f64::consts::PI;
        let n = (turn * radius / 3.0).round().max(8.0);
        let step = turn / n;
        let mut start = step * 0.1;
        while start < turn - step * 0.5 {
            let arc = Shape::Arc { centre, radius, start: Angle::rad(start), sweep: Angle::rad(step * 0.7) };
            self.put(arc, Role::Hidden, Pen::Hidden, None);
            start += step;
        }
    }

    /// The head of an arrow: its tip, and the direction in which it points.
    pub(crate) fn arrow(&mut self, tip: Point, way: Vector, shows: Option<&Arc<Shown>>) {
        let back = tip - way * style::ARROW;
        let half = way.left() * (style::ARROW / 6.0);
        let points = vec![tip, back + half, back - half];
        self.put(Shape::Polyline { points, closed: true, filled: true }, Role::Arrow, Pen::Thin, shows);
    }

    /// Sets a line of text and says what its ink fills.
    pub(crate) fn text(
        &mut self,
        at: Point,
        anchor: Anchor,
        height: f64,
        text: &str,
        shows: Option<&Arc<Shown>>,
    ) -> Rect {
        self.set(at, anchor, height, text, false, shows)
    }

    pub(crate) fn set(
        &mut self,
        at: Point,
        anchor: Anchor,
        height: f64,
        text: &str,
        upright: bool,
        shows: Option<&Arc<Shown>>,
    ) -> Rect {
        // Whoever lays out text has it settable before it is measured; this is the last gate before
        // the paper, for a word of a shop or family that came another way.
        let settable = (!Lettering::has(text)).then(|| self.letters.settable(text));
        let text = settable.as_deref().unwrap_or(text);
        let extent = self.letters.extent(text, height);
        let back = match anchor {
            Anchor::Start => 0.0,
            Anchor::Middle => extent.width / 2.0,
            Anchor::End => extent.width,
        };
        let (along, up) = if upright {
            (Vector::new(0.0, 1.0), Vector::new(-1.0, 0.0))
        } else {
            (Vector::new(1.0, 0.0), Vector::new(0.0, 1.0))
        };
        let start = at - along * back;
        let ink = Rect::new(start - up * extent.below, start + along * extent.width + up * extent.above);
        let shape = Shape::Text { at, anchor, height, upright, text: text.to_owned(), ink };
        self.put(shape, Role::Text, Pen::Thin, shows);
        ink
    }
}

/// Walks a pattern of drawn and left out lengths; what is drawn comes out.
fn broken(from: Point, to: Point, pattern: &[f64]) -> Vec<(Point, Point)> {
    let length = from.distance(to);
    let way = (to - from) * (1.0 / length);
    let mut dashes = Vec::new();
    let mut at = 0.0;
    for (index, step) in pattern.iter().cycle().enumerate() {
        let end = (at + step).min(length);
        if index % 2 == 0 {
            dashes.push((from + way * at, from + way * end));
        }
        at += step;
        if at > length - 1e-3 {
            break;
        }
    }
    dashes
}

#[cfg(test)]
mod tests {
    use super::super::lettering::Lettering;
    use super::*;

    fn dashes_of(board: &Board<'_>) -> Vec<(Point, Point)> {
        match &board.items[0].shape {
            Shape::Dashes(dashes) => dashes.clone(),
            other => panic!("dashes, not {other:?}"),
        }
    }

    #[test]
    fn broken_lines_start_and_end_on_a_dash() {
        let letters = Lettering::new();
        for length in [2.0, 7.0, 14.0, 33.3, 120.0, 249.9] {
            let (from, to) = (Point::new(3.0, 4.0), Point::new(3.0 + length, 4.0));
            for hidden in [true, false] {
                let mut board = Board::new(&letters);
                if hidden {
                    board.hidden(from, to);
                } else {
                    board.centre(from, to, None);
                }
                let dashes = dashes_of(&board);
                let last = dashes.last().expect("a dash");
                assert!((dashes[0].0.x - 3.0).abs() < 1e-6, "starts at the start, {length}");
                assert!((last.1.x - to.x).abs() < 1e-6, "ends at the end, {length}");
                assert!(last.0.distance(last.1) > 0.5, "on a dash and not on a point, {length}");
            }
        }
    }
}

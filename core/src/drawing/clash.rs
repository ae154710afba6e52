//! What touches and what crosses.

use super::sheet::{Item, Role, Shape};
use super::style::CLEAR;
use crate::geom::{Point, Rect, Vector};

/// White around a text that no line may enter.
const WHITE: f64 = 0.5;

/// Corners of an octagon in a circle of radius one.
const OCTAGON: [(f64, f64); 8] = {
    const HALF: f64 = std::f64::consts::FRAC_1_SQRT_2;
    [(1.0, 0.0), (HALF, HALF), (0.0, 1.0), (-HALF, HALF), (-1.0, 0.0), (-HALF, -HALF), (0.0, -1.0), (HALF, -HALF)]
};

/// Two that come in each other's way, if there are any: a text and what touches it, or a dimension
/// line and what cuts it.
pub(super) fn clash(items: &[Item]) -> Option<(&Item, &Item)> {
    let texts: Vec<(Rect, &Item)> = items
        .iter()
        .filter_map(|item| match &item.shape {
            Shape::Text { ink, .. } => Some((*ink, item)),
            _ => None,
        })
        .collect();
    for (index, (ink, item)) in texts.iter().enumerate() {
        for (other, theirs) in &texts[index + 1..] {
            // The pieces of one label may stand side by side.
            let white = if item.shows.is_some() && item.shows == theirs.shows { -0.01 } else { WHITE };
            if ink.grown(white).overlaps(*other) {
                return Some((item, theirs));
            }
        }
    }
    let mut lines: Vec<(&Item, (Point, Point))> = Vec::new();
    for item in items.iter().filter(|item| item.role != Role::Picture) {
        strokes(&item.shape, &mut |from, to| lines.push((item, (from, to))));
    }
    for (ink, text) in &texts {
        let white = ink.grown(WHITE);
        if let Some((line, _)) = lines.iter().find(|(_, line)| passes(*line, white)) {
            return Some((text, line));
        }
    }
    // A dimension line that goes on past its arrow to its figures crosses its own extension line.
    for (item, line) in lines.iter().filter(|(item, _)| item.role == Role::Dimension) {
        let theirs = lines.iter().filter(|(other, _)| {
            matches!(other.role, Role::Dimension | Role::Extension | Role::Leader) && item.shows != other.shows
        });
        for (other, theirs) in theirs {
            if cross(*line, *theirs) {
                return Some((item, other));
            }
        }
    }
    None
}

/// Everything that a text must not touch and a leader must not cross.
#[derive(Clone, Debug, Default)]
pub(super) struct Obstacles {
    boxes: Vec<Rect>,
    /// Lines that a leader may cross.
    soft: Vec<(Point, Point)>,
    /// Lines that it may not.
    hard: Vec<(Point, Point)>,
}

impl Obstacles {
    pub(super) fn of(items: &[Item]) -> Self {
        let mut all = Self::default();
        for item in items {
            let lines = match item.role {
                Role::Dimension | Role::Leader | Role::Arrow | Role::Extension => &mut all.hard,
                Role::Outline
                | Role::Hidden
                | Role::Centre
                | Role::Hatch
                | Role::Frame
                | Role::Picture
                | Role::Text => &mut all.soft,
            };
            match &item.shape {
                Shape::Text { ink, .. } => all.boxes.push(*ink),
                // Round enough that nothing slips in between.
                Shape::Circle { centre, radius } | Shape::Arc { centre, radius, start: _, sweep: _ } => {
                    let at = |step: usize| {
                        let (x, y) = OCTAGON[step % 8];
                        *centre + Vector::new(x, y) * *radius
                    };
                    lines.extend((0..8).map(|step| (at(step), at(step + 1))));
                }
                shape => strokes(shape, &mut |from, to| lines.push((from, to))),
            }
        }
        all
    }

    /// What of all this lies in or near a box.
    pub(super) fn near(&self, place: Rect) -> Self {
        let meets = |line: &&(Point, Point)| Rect::new(line.0, line.1).grown(1e-6).overlaps(place);
        Self {
            boxes: self.boxes.iter().filter(|other| other.overlaps(place)).copied().collect(),
            soft: self.soft.iter().filter(meets).copied().collect(),
            hard: self.hard.iter().filter(meets).copied().collect(),
        }
    }

    /// The same for texts that stand in a box only; what crosses a leader is kept everywhere.
    pub(super) fn texts_in(mut self, place: Rect) -> Self {
        self.soft.retain(|line| Rect::new(line.0, line.1).grown(1e-6).overlaps(place));
        self
    }

    /// Keeps a box free from now on.
    pub(super) fn block(&mut self, place: Rect) {
        self.boxes.push(place);
    }

    /// Lets nothing cross this line from now on.
    pub(super) fn wall(&mut self, from: Point, to: Point) {
        self.hard.push((from, to));
    }

    /// Whether anything lies in a box.
    pub(super) fn touch(&self, place: Rect) -> bool {
        self.boxes.iter().any(|other| other.overlaps(place))
            || self.soft.iter().chain(&self.hard).any(|line| passes(*line, place))
    }

    /// Whether a leader from here to there would cross a text or a line of a dimension.
    pub(super) fn crossed(&self, from: Point, to: Point) -> bool {
        self.boxes.iter().any(|other| passes((from, to), other.grown(CLEAR)))
            || self.hard.iter().any(|line| cross(*line, (from, to)))
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

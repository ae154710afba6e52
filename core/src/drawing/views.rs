//! The three views: outlines, hidden edges, axes.

use super::Convention;
use super::board::Board;
use super::sheet::{Pen, Role, Shape, Shown};
use super::solid::{Hole, Solid};
use super::style::PAST;
use crate::geom::{Point, Vector};
use crate::quantity::Angle;

/// How far the arms of a cross go past its hole.
const ARM: f64 = 2.0;

/// A view at its place: the part's origin on paper, and paper millimetres for one of the part.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct View {
    pub(super) origin: Point,
    pub(super) scale: f64,
}

impl View {
    /// The place on paper of a place of the part, in the view's own directions.
    pub(super) fn at(&self, right: f64, up: f64) -> Point {
        self.origin + Vector::new(right * self.scale, up * self.scale)
    }
}

/// The view from the front: length to the right, height up.
pub(super) fn front(board: &mut Board<'_>, solid: &Solid, view: View) {
    let half = solid.length / 2.0;
    rectangle(board, view, (-half, -solid.height), (half, 0.0));
    for step in solid.steps.iter().skip(1) {
        board.line(Role::Outline, Pen::Outline, view.at(-half, -step.top), view.at(half, -step.top));
    }
    let mut drawn: Vec<(i64, i64)> = Vec::new();
    for hole in &solid.holes {
        let top = solid.surface(hole.y);
        if once(&mut drawn, (micrometres(hole.x), i64::try_from(hole.group).unwrap_or(0))) {
            hidden_hole(board, hole, view, hole.x, (top, solid.height));
        }
    }
    let mut axes: Vec<f64> = vec![0.0];
    axes.extend(solid.holes.iter().map(|hole| hole.x));
    for x in distinct(axes) {
        axis(board, view, x, (-solid.height, 0.0));
    }
}

/// The view from the end: width to the right, height up. First angle shows the left end, third
/// angle the right one.
pub(super) fn end(board: &mut Board<'_>, solid: &Solid, view: View, convention: Convention, middle: Option<&Shown>) {
    let mut right = Vec::new();
    for step in &solid.steps {
        right.push((step.half, -step.top));
        right.push((step.half, -step.bottom));
    }
    let left = right.iter().rev().map(|(across, up)| (-across, *up));
    let profile: Vec<Point> = right.iter().copied().chain(left).map(|(across, up)| view.at(across, up)).collect();
    board.outline(profile, true);
    let sign = match convention {
        Convention::Iso => -1.0,
        Convention::Asme => 1.0,
    };
    let mut drawn: Vec<(i64, i64)> = Vec::new();
    for hole in &solid.holes {
        let top = solid.surface(hole.y);
        if once(&mut drawn, (micrometres(hole.y), i64::try_from(hole.group).unwrap_or(0))) {
            hidden_hole(board, hole, view, hole.y * sign, (top, solid.height));
        }
    }
    let beyond = PAST / view.scale;
    board.centre(view.at(0.0, beyond), view.at(0.0, -solid.height - beyond), middle);
    for y in distinct(solid.holes.iter().map(|hole| hole.y * sign).filter(|y| y.abs() > 1e-6).collect()) {
        axis(board, view, y, (-solid.height, -solid.surface(y)));
    }
}

/// The view from above: length to the right, the back of the part up. `middle` is what the middle
/// line along the bar shows.
pub(super) fn top(board: &mut Board<'_>, solid: &Solid, view: View, convention: Convention, middle: Option<&Shown>) {
    let (length, width) = (solid.length / 2.0, solid.width / 2.0);
    rectangle(board, view, (-length, -width), (length, width));
    for step in &solid.steps {
        if step.half < width - 1e-9 {
            for y in [-step.half, step.half] {
                board.line(Role::Outline, Pen::Outline, view.at(-length, y), view.at(length, y));
            }
        }
    }
    for hole in &solid.holes {
        round_hole(board, hole, view, convention);
    }
    let beyond = PAST / view.scale;
    board.centre(view.at(-length - beyond, 0.0), view.at(length + beyond, 0.0), middle);
    board.centre(view.at(0.0, -width - beyond), view.at(0.0, width + beyond), None);
    let (columns, rows) = (solid.columns(), solid.rows());
    for (x, _) in columns.iter().filter(|(x, _)| x.abs() > 1e-6) {
        let (low, high) = solid.column_line(*x, view.scale);
        board.centre(view.at(*x, low), view.at(*x, high), None);
    }
    for (y, _) in rows.iter().filter(|(y, _)| y.abs() > 1e-6) {
        let (low, high) = solid.row_line(*y, view.scale);
        board.centre(view.at(low, *y), view.at(high, *y), None);
    }
}

impl Solid {
    /// The distinct places of holes along the bar, each with the numbers of its holes.
    pub(super) fn columns(&self) -> Vec<(f64, Vec<usize>)> {
        grouped(self.holes.iter().map(|hole| hole.x))
    }

    /// The distinct places of holes across the bar, each with the numbers of its holes.
    pub(super) fn rows(&self) -> Vec<(f64, Vec<usize>)> {
        grouped(self.holes.iter().map(|hole| hole.y))
    }

    /// From where to where the centre line of a column goes, across the bar.
    pub(super) fn column_line(&self, x: f64, scale: f64) -> (f64, f64) {
        self.line(scale, |hole| ((hole.x - x).abs() < 1e-6).then_some(hole.y))
    }

    /// From where to where the centre line of a row goes, along the bar.
    pub(super) fn row_line(&self, y: f64, scale: f64) -> (f64, f64) {
        self.line(scale, |hole| ((hole.y - y).abs() < 1e-6).then_some(hole.x))
    }

    fn line(&self, scale: f64, place: impl Fn(&Hole) -> Option<f64>) -> (f64, f64) {
        let mut ends = (f64::INFINITY, f64::NEG_INFINITY);
        for hole in &self.holes {
            if let Some(at) = place(hole) {
                let arm = hole.outer(scale) / scale + ARM / scale;
                ends = (ends.0.min(at - arm), ends.1.max(at + arm));
            }
        }
        ends
    }
}

fn rectangle(board: &mut Board<'_>, view: View, low: (f64, f64), high: (f64, f64)) {
    let corners = [(low.0, low.1), (high.0, low.1), (high.0, high.1), (low.0, high.1)];
    board.outline(corners.iter().map(|(right, up)| view.at(*right, *up)).collect(), true);
}

fn round_hole(board: &mut Board<'_>, hole: &Hole, view: View, convention: Convention) {
    let centre = view.at(hole.x, hole.y);
    let (inner, thread) = hole.circles(view.scale);
    board.circle(Role::Outline, Pen::Outline, centre, inner);
    if let Some(chamfer) = hole.shown_chamfer(view.scale) {
        board.circle(Role::Outline, Pen::Outline, centre, chamfer);
    }
    match (thread, convention) {
        // Three quarters of a thin circle, open at the upper right and ending just off the axes:
        // ISO 6410-1 (from a public summary).
        (Some(radius), Convention::Iso) => {
            let shape = Shape::Arc { centre, radius, start: Angle::degree(95.0), sweep: Angle::degree(270.0) };
            board.put(shape, Role::Outline, Pen::Thin, None);
        }
        // A hidden circle: the simplified way of ASME Y14.6 (from memory).
        (Some(radius), Convention::Asme) => board.hidden_circle(centre, radius),
        (None, _) => {}
    }
}

/// A through hole seen from the side, with the crests and roots of its thread.
fn hidden_hole(board: &mut Board<'_>, hole: &Hole, view: View, at: f64, (top, bottom): (f64, f64)) {
    let (inner, thread) = hole.circles(view.scale);
    let (inner, thread) = (inner / view.scale, thread.map(|radius| radius / view.scale));
    let widest = thread.unwrap_or(inner);
    let chamfer =
        hole.chamfer.filter(|chamfer| (chamfer - widest) * view.scale > -0.01 && (chamfer - inner) * view.scale >= 0.7);
    for sign in [-1.0, 1.0] {
        let mut radii = vec![inner];
        radii.extend(thread);
        for radius in radii {
            let start = top + chamfer.map_or(0.0, |chamfer| (chamfer - radius).max(0.0));
            if start < bottom {
                board.hidden(view.at(at + sign * radius, -start), view.at(at + sign * radius, -bottom));
            }
        }
        if let Some(chamfer) = chamfer {
            let deep = (top + chamfer - inner).min(bottom);
            board.hidden(view.at(at + sign * chamfer, -top), view.at(at + sign * inner, -deep));
        }
    }
}

fn axis(board: &mut Board<'_>, view: View, at: f64, (low, high): (f64, f64)) {
    let beyond = PAST / view.scale;
    board.centre(view.at(at, high + beyond), view.at(at, low - beyond), None);
}

fn distinct(mut values: Vec<f64>) -> Vec<f64> {
    values.sort_by(f64::total_cmp);
    values.dedup_by(|a, b| (*a - *b).abs() < 1e-6);
    values
}

fn grouped(places: impl Iterator<Item = f64>) -> Vec<(f64, Vec<usize>)> {
    let mut groups: Vec<(f64, Vec<usize>)> = Vec::new();
    for (index, place) in places.enumerate() {
        match groups.iter_mut().find(|(at, _)| (at - place).abs() < 1e-6) {
            Some((_, members)) => members.push(index),
            None => groups.push((place, vec![index])),
        }
    }
    groups.sort_by(|a, b| a.0.total_cmp(&b.0));
    groups
}

fn once(drawn: &mut Vec<(i64, i64)>, key: (i64, i64)) -> bool {
    let fresh = !drawn.contains(&key);
    if fresh {
        drawn.push(key);
    }
    fresh
}

#[allow(clippy::cast_possible_truncation, reason = "a part is far smaller than the range of i64 in micrometres")]
fn micrometres(value: f64) -> i64 {
    (value * 1e3).round() as i64
}

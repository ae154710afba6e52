//! Holes and slots seen from the side: dashed behind material, or cut by a section.

use super::board::Board;
use super::sheet::{Pen, Role};
use super::solid::Hole;
use super::style::HATCH;
use super::views::View;
use crate::geom::{Point, Vector};

/// Height of a drill's point for each millimetre of its radius: 118° included, the usual grind
/// (common practice; ISO 5419 leaves it to the maker).
const POINT: f64 = 0.600_860_6;

/// Where a hole enters and which way it goes, in the directions of a view, in millimetres of the
/// part.
#[derive(Clone, Copy, Debug)]
pub(super) struct Way {
    /// Its middle in the plane of its face.
    pub(super) entry: (f64, f64),
    /// Into the material, of length one.
    pub(super) into: Vector,
    /// How far material reaches that way.
    pub(super) through: f64,
}

/// The form of a hole along its axis: depth and radius, from the entry inwards.
#[derive(Debug)]
struct Form {
    wall: Vec<(f64, f64)>,
    /// Edges across the hole: depth, radius, and radius of the hole that goes on from there.
    rings: Vec<(f64, f64, f64)>,
    /// Major radius of the thread, from where to where, and whether it ends before the hole.
    thread: Option<(f64, f64, f64, bool)>,
}

impl Form {
    fn of(hole: &Hole, through: f64, scale: f64) -> Self {
        let (inner, thread) = hole.circles(scale);
        let (inner, thread) = (inner / scale, thread.map(|radius| radius / scale));
        let start = hole.surface;
        let end = hole.depth.map_or(through, |depth| depth.min(through)).max(start);
        let mut wall = Vec::new();
        let mut rings = Vec::new();
        let mut thread_from = start;
        let widest = if hole.sunk { inner } else { thread.unwrap_or(inner) };
        let cone = hole
            .cone
            .filter(|cone| (cone - widest) * scale > -0.01 && (cone - inner) * scale >= 0.7 && hole.bore.is_none());
        if let Some((radius, depth)) = hole.bore {
            let floor = depth.clamp(start, end);
            wall.extend([(start, radius), (floor, radius), (floor, inner)]);
            rings.push((floor, radius, inner));
            thread_from = floor;
        } else if let Some(cone) = cone {
            let deep = (start + (cone - inner) * hole.steep).min(end);
            wall.extend([(start, cone), (deep, inner)]);
            if hole.sunk {
                rings.push((deep, inner, 0.0));
            }
            thread_from = start + thread.map_or(0.0, |thread| (cone - thread).max(0.0) * hole.steep);
        } else {
            wall.push((start, inner));
        }
        wall.push((end, inner));
        if hole.depth.is_some_and(|depth| depth < through) {
            rings.push((end, inner, 0.0));
            wall.push(((end + inner * POINT).min(through), 0.0));
        }
        let thread = thread.map(|radius| {
            let stops = hole.full.map_or(end, |full| full.min(end));
            (radius, thread_from.min(stops), stops, stops < end - 1e-9 || hole.depth.is_some())
        });
        Self { wall, rings, thread }
    }
}

/// A hole behind material: its edges and the crests of its thread dashed.
pub(super) fn hidden(board: &mut Board<'_>, hole: &Hole, view: View, way: Way) {
    let form = Form::of(hole, way.through, view.scale);
    let at = |depth: f64, across: f64| place(view, way, depth, across);
    for sign in [-1.0, 1.0] {
        for pair in form.wall.windows(2) {
            let level = (pair[0].0 - pair[1].0).abs() < 1e-9;
            if !level {
                board.hidden(at(pair[0].0, sign * pair[0].1), at(pair[1].0, sign * pair[1].1));
            }
        }
        if let Some((radius, from, to, _)) = form.thread.filter(|(_, from, to, _)| to > from) {
            board.hidden(at(from, sign * radius), at(to, sign * radius));
        }
    }
    for (depth, radius, _) in &form.rings {
        board.hidden(at(*depth, -radius), at(*depth, *radius));
    }
    if let Some((radius, _, to, true)) = form.thread {
        board.hidden(at(to, -radius), at(to, radius));
    }
}

/// A hole that a section cuts: its edges seen. Out comes what it takes out of the hatching, on
/// paper.
pub(super) fn cut(board: &mut Board<'_>, hole: &Hole, view: View, way: Way) -> Vec<Point> {
    let form = Form::of(hole, way.through, view.scale);
    let at = |depth: f64, across: f64| place(view, way, depth, across);
    for sign in [-1.0, 1.0] {
        let wall = form.wall.iter().map(|(depth, radius)| at(*depth, sign * radius)).collect();
        board.outline(wall, false);
        if let Some((radius, from, to, _)) = form.thread.filter(|(_, from, to, _)| to > from) {
            board.line(Role::Outline, Pen::Thin, at(from, sign * radius), at(to, sign * radius));
        }
    }
    for (depth, radius, inner) in &form.rings {
        // The edge of what goes on from there is seen behind.
        let reach = if *inner > 0.0 { *inner } else { *radius };
        board.line(Role::Outline, Pen::Outline, at(*depth, -reach), at(*depth, reach));
    }
    if let Some((radius, _, to, true)) = form.thread {
        board.line(Role::Outline, Pen::Outline, at(to, -radius), at(to, radius));
    }
    let there = form.wall.iter().map(|(depth, radius)| at(*depth, *radius));
    there.chain(form.wall.iter().rev().map(|(depth, radius)| at(*depth, -radius))).collect()
}

fn place(view: View, way: Way, depth: f64, across: f64) -> Point {
    let side = way.into.left();
    view.at(way.entry.0 + way.into.x * depth + side.x * across, way.entry.1 + way.into.y * depth + side.y * across)
}

/// Hatches a closed outline, leaving out what was taken from it: thin lines at 45° (ISO 128-3,
/// ASME Y14.2; from memory).
pub(super) fn hatch(board: &mut Board<'_>, whole: &[Point], without: &[Vec<Point>]) {
    let half = std::f64::consts::FRAC_1_SQRT_2;
    let way = Vector::new(half, half);
    let off = |point: &Point| (*point - Point::default()).dot(way.left());
    let low = whole.iter().map(off).fold(f64::INFINITY, f64::min);
    let high = whole.iter().map(off).fold(f64::NEG_INFINITY, f64::max);
    let mut level = low + HATCH / 2.0;
    while level < high {
        let origin = Point::default() + way.left() * level;
        let mut spans = inside(whole, origin, way);
        for hole in without {
            for (from, to) in inside(hole, origin, way) {
                spans = spans
                    .into_iter()
                    .flat_map(|(a, b)| [(a, b.min(from)), (a.max(to), b)])
                    .filter(|(a, b)| b > a)
                    .collect();
            }
        }
        for (from, to) in spans.into_iter().filter(|(from, to)| to - from > 0.3) {
            board.line(Role::Hatch, Pen::Thin, origin + way * from, origin + way * to);
        }
        level += HATCH;
    }
}

/// The stretches of a line that lie inside a closed outline.
fn inside(outline: &[Point], origin: Point, way: Vector) -> Vec<(f64, f64)> {
    let mut meets = Vec::new();
    for (index, from) in outline.iter().enumerate() {
        let Some(to) = outline.get((index + 1) % outline.len()) else { continue };
        let (a, b) = ((*from - origin).cross(way), (*to - origin).cross(way));
        if (a > 0.0) != (b > 0.0) {
            let at = *from + (*to - *from) * (a / (a - b));
            meets.push((at - origin).dot(way));
        }
    }
    meets.sort_by(f64::total_cmp);
    meets.chunks_exact(2).filter_map(|pair| Some((*pair.first()?, *pair.get(1)?))).collect()
}

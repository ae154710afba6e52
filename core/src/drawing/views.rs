//! The views: outlines, hidden edges, axes, and what a section cuts.

use std::collections::BTreeSet;
use std::sync::Arc;

use super::Convention;
use super::board::Board;
use super::sheet::{Anchor, Pen, Role, Shape, Shown};
use super::side::{self, Way};
use super::solid::{Hole, Slot, Solid, column_line, row_line};
use super::style::{ARM, ARROW, FIGURE, LARGE, PAST};
use crate::geom::{Point, Vector};
use crate::part::Face;
use crate::quantity::Angle;

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

/// Seen from the front, where a hole enters and goes; `None` for holes of the ends, which are
/// asked with [`lying`].
fn standing(solid: &Solid, hole: &Hole) -> Option<Way> {
    let through = solid.height;
    match hole.face {
        Face::Top => Some(Way { entry: (hole.right, 0.0), into: Vector::new(0.0, -1.0), through }),
        Face::Bottom => Some(Way { entry: (hole.right, -solid.height), into: Vector::new(0.0, 1.0), through }),
        Face::Left | Face::Right => None,
    }
}

fn lying(solid: &Solid, hole: &Hole) -> Option<Way> {
    let (half, through) = (solid.length / 2.0, solid.length);
    let level = hole.up - solid.height / 2.0;
    match hole.face {
        Face::Left => Some(Way { entry: (-half, level), into: Vector::new(1.0, 0.0), through }),
        Face::Right => Some(Way { entry: (half, level), into: Vector::new(-1.0, 0.0), through }),
        Face::Top | Face::Bottom => None,
    }
}

/// Where a hole of an end lies across the bar, as the top view has it.
const fn end_across(hole: &Hole) -> f64 {
    if matches!(hole.face, Face::Left) { -hole.right } else { hole.right }
}

/// The view from the front: length to the right, height up. `cut` is the place across where it is
/// a section instead; `bare` leaves out the holes of top and bottom.
pub(super) fn front(board: &mut Board<'_>, solid: &Solid, view: View, cut: Option<f64>, bare: bool) {
    match cut {
        Some(y) => section(board, solid, view, y),
        None => plain_front(board, solid, view, bare),
    }
    let mut axes: Vec<f64> = vec![0.0];
    let on_plane = |across: f64| cut.is_none_or(|y| (across - y).abs() < 1e-6);
    // A section shows what its plane meets, and the axes of that.
    let shown = |hole: &&Hole| !bare && standing(solid, hole).is_some() && on_plane(hole.across());
    axes.extend(solid.holes.iter().filter(shown).map(|hole| hole.right));
    for x in distinct(axes) {
        axis(board, view, x, (-solid.height, 0.0));
    }
    let mut levels: Vec<(f64, f64, f64)> = Vec::new();
    for hole in solid.holes.iter().filter(|hole| on_plane(end_across(hole))) {
        if let Some(way) = lying(solid, hole) {
            let deep = hole.depth.unwrap_or(solid.length).min(solid.length);
            let (a, b) = (way.entry.0 - way.into.x * PAST / view.scale, way.entry.0 + way.into.x * deep);
            if !levels.iter().any(|(level, x, _)| (level - way.entry.1).abs() < 1e-6 && (x - a).abs() < 1e-6) {
                levels.push((way.entry.1, a, b + way.into.x * (hole.radius + PAST / view.scale)));
            }
        }
    }
    for (level, from, to) in levels {
        board.centre(view.at(from, level), view.at(to, level), None);
    }
}

fn plain_front(board: &mut Board<'_>, solid: &Solid, view: View, bare: bool) {
    let half = solid.length / 2.0;
    rectangle(board, view, (-half, -solid.height), (half, 0.0));
    for step in solid.steps.iter().skip(1) {
        board.line(Role::Outline, Pen::Outline, view.at(-half, -step.top), view.at(half, -step.top));
    }
    let mut drawn = BTreeSet::new();
    let start = board.items.len();
    for hole in &solid.holes {
        let way = standing(solid, hole).filter(|_| !bare).or_else(|| lying(solid, hole));
        let Some(way) = way else { continue };
        if drawn.insert((micrometres(way.entry.0), micrometres(way.entry.1), hole.group)) {
            side::hidden(board, hole, view, way);
        }
    }
    join_hidden(board, start);
    for slot in &solid.slots {
        let Some((low, high)) = slot_heights(solid, slot) else { continue };
        let floor = if slot.face == Face::Bottom { high } else { low };
        match slot.half_long {
            None => board.hidden(view.at(-half, floor), view.at(half, floor)),
            Some(long) => {
                for x in [slot.right - long, slot.right + long] {
                    board.hidden(view.at(x, low), view.at(x, high));
                }
                if slot.depth.is_some() {
                    board.hidden(view.at(slot.right - long, floor), view.at(slot.right + long, floor));
                }
            }
        }
    }
}

/// Joins hidden edges that lie on each other, as those of holes behind each other may: two patterns of
/// dashes in one place look like a full line.
fn join_hidden(board: &mut Board<'_>, start: usize) {
    let mut lines: Vec<(i64, Point, Point)> = Vec::new();
    let mut rest = board.items.split_off(start);
    rest.retain(|item| {
        let Shape::Dashes(dashes) = &item.shape else { return true };
        let (Some(first), Some(last)) = (dashes.first(), dashes.last()) else { return true };
        let upright = item.role == Role::Hidden && (first.0.x - last.1.x).abs() < 1e-9;
        if upright {
            let (low, high) = if first.0.y < last.1.y { (first.0, last.1) } else { (last.1, first.0) };
            lines.push((micrometres(low.x), low, high));
        }
        !upright
    });
    board.items.append(&mut rest);
    lines.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.y.total_cmp(&b.1.y)));
    let mut joined: Vec<(i64, Point, Point)> = Vec::new();
    for line in lines {
        match joined.last_mut() {
            Some((at, _, high)) if *at == line.0 && line.1.y < high.y - 1e-6 => high.y = high.y.max(line.2.y),
            _ => joined.push(line),
        }
    }
    for (_, low, high) in joined {
        board.hidden(low, high);
    }
}

/// From where to where a slot goes in height.
fn slot_heights(solid: &Solid, slot: &Slot) -> Option<(f64, f64)> {
    let depth = slot.depth.unwrap_or(solid.height).min(solid.height);
    match slot.face {
        Face::Top => Some((-depth, -solid.surface(slot.up))),
        Face::Bottom => Some((-solid.height, depth - solid.height)),
        Face::Left | Face::Right => None,
    }
}

fn section(board: &mut Board<'_>, solid: &Solid, view: View, y: f64) {
    let half = solid.length / 2.0;
    let mut without = Vec::new();
    let (mut top, mut bottom) = (-solid.surface(y), -solid.height);
    for slot in solid.slots.iter().filter(|slot| (slot.across() - y).abs() < slot.half_wide - 1e-9) {
        let Some((low, high)) = slot_heights(solid, slot) else { continue };
        match (slot.half_long, slot.face) {
            (None, Face::Bottom) => bottom = high,
            (None, _) => top = low,
            (Some(long), _) => {
                let run = if (slot.across() - y).abs() < 1e-9 { long } else { long - slot.half_wide };
                let corners = [
                    (slot.right - run, low),
                    (slot.right + run, low),
                    (slot.right + run, high),
                    (slot.right - run, high),
                ];
                let points: Vec<Point> = corners.iter().map(|(x, z)| view.at(*x, *z)).collect();
                board.outline(points.clone(), true);
                without.push(points);
            }
        }
    }
    rectangle(board, view, (-half, -solid.height), (half, 0.0));
    for level in [top, bottom] {
        if level < -1e-9 && level > -solid.height + 1e-9 {
            board.line(Role::Outline, Pen::Outline, view.at(-half, level), view.at(half, level));
        }
    }
    for hole in &solid.holes {
        let way = standing(solid, hole).filter(|_| (hole.across() - y).abs() < 1e-6);
        let Some(way) = way.or_else(|| lying(solid, hole).filter(|_| (end_across(hole) - y).abs() < 1e-6)) else {
            continue;
        };
        without.push(side::cut(board, hole, view, way));
    }
    let whole = [(-half, bottom), (half, bottom), (half, top), (-half, top)];
    let whole: Vec<Point> = whole.iter().map(|(x, z)| view.at(*x, *z)).collect();
    side::hatch(board, &whole, &without);
}

/// What the plane of a section takes beside the view from above, from where it begins.
pub(super) const PLANE: f64 = 9.0;

/// The plane of a section in the view from above: thick ends with arrows toward the back, and
/// letters, `off` from the left and the right edge.
pub(super) fn plane(board: &mut Board<'_>, solid: &Solid, view: View, (y, off): (f64, [f64; 2]), letter: char) {
    let half = solid.length / 2.0;
    for (sign, off) in [-1.0, 1.0].into_iter().zip(off) {
        let out = Vector::new(sign, 0.0);
        let edge = view.at(sign * half, y) + out * off;
        // Clear of the middle line, which goes on past the outline.
        let inner = edge + out * (PAST + 0.6);
        let outer = edge + out * (PAST + 5.6);
        board.line(Role::Frame, Pen::Frame, inner, outer);
        let foot = outer - out * 2.0;
        let tip = foot + Vector::new(0.0, 6.5);
        board.line(Role::Frame, Pen::Thin, foot, tip - Vector::new(0.0, ARROW));
        board.arrow(tip, Vector::new(0.0, 1.0), None);
        board.text(foot - Vector::new(0.0, LARGE + 1.5), Anchor::Middle, LARGE, &letter.to_string(), None);
    }
}

/// The view of an end: width to the right, height up. What the middle lines upright and level
/// show is told.
pub(super) fn end(
    board: &mut Board<'_>,
    solid: &Solid,
    view: View,
    (face, convention): (Face, Convention),
    (upright, level): (Option<&Arc<Shown>>, Option<&Arc<Shown>>),
) {
    let profile: Vec<Point> = solid.profile().into_iter().map(|(across, up)| view.at(across, up)).collect();
    let sign = if face == Face::Left { -1.0 } else { 1.0 };
    let profile = if face == Face::Left {
        profile.into_iter().map(|place| Point::new(2.0 * view.origin.x - place.x, place.y)).collect()
    } else {
        profile
    };
    board.outline(profile, true);
    let own = solid.has(face);
    let middle = View { origin: view.at(0.0, -solid.height / 2.0), scale: view.scale };
    if own {
        marks(board, solid, middle, (face, convention), level);
    } else {
        let mut drawn = BTreeSet::new();
        for hole in &solid.holes {
            let Some(way) = standing(solid, hole) else { continue };
            let across = hole.across() * sign;
            if drawn.insert((micrometres(across), micrometres(way.entry.1), hole.group)) {
                side::hidden(board, hole, view, Way { entry: (across, way.entry.1), ..way });
            }
        }
        for slot in solid.slots.iter().filter(|slot| slot.half_long.is_some()) {
            let Some((low, high)) = slot_heights(solid, slot) else { continue };
            let across = slot.across() * sign;
            for side in [-slot.half_wide, slot.half_wide] {
                board.hidden(view.at(across + side, low), view.at(across + side, high));
            }
            if slot.depth.is_some() {
                let floor = if slot.face == Face::Bottom { high } else { low };
                board.hidden(view.at(across - slot.half_wide, floor), view.at(across + slot.half_wide, floor));
            }
        }
        let holes = solid.holes.iter().filter(|hole| standing(solid, hole).is_some());
        for y in distinct(holes.map(|hole| hole.across() * sign).filter(|y| y.abs() > 1e-6).collect()) {
            axis(board, view, y, (-solid.height, -solid.surface(y)));
        }
    }
    let beyond = PAST / view.scale;
    board.centre(view.at(0.0, beyond), view.at(0.0, -solid.height - beyond), upright);
}

/// The view from above or below: length to the right. `level` is what the middle line along the
/// bar shows.
pub(super) fn face(
    board: &mut Board<'_>,
    solid: &Solid,
    view: View,
    (face, convention): (Face, Convention),
    level: Option<&Arc<Shown>>,
) {
    let (length, width) = (solid.length / 2.0, solid.width / 2.0);
    rounded(board, view, (length, width), solid.corner);
    if face == Face::Top {
        for step in &solid.steps {
            if step.half < width - 1e-9 {
                for y in [-step.half, step.half] {
                    board.line(Role::Outline, Pen::Outline, view.at(-length, y), view.at(length, y));
                }
            }
        }
    }
    let opposite = if face == Face::Top { Face::Bottom } else { Face::Top };
    for hole in solid.holes_of(opposite).filter(|hole| hole.is_through()) {
        let centre = view.at(hole.right, -hole.up);
        let (inner, _) = hole.circles(view.scale);
        board.circle(Role::Outline, Pen::Outline, centre, inner);
        let arm = inner + ARM;
        // On the middle there is its line already.
        for (off, arm) in [(hole.up, Vector::new(arm, 0.0)), (hole.right, Vector::new(0.0, arm))] {
            if off.abs() > 1e-6 {
                board.centre(centre - arm, centre + arm, None);
            }
        }
    }
    for slot in solid.slots_of(opposite).filter(|slot| slot.depth.is_none()) {
        capsule(board, view, &Slot { up: -slot.up, ..*slot }, length);
    }
    marks(board, solid, view, (face, convention), level);
    let beyond = PAST / view.scale;
    board.centre(view.at(0.0, -width - beyond), view.at(0.0, width + beyond), None);
}

/// What is cut from a face, round, with its centre lines; `view` has its origin in the face's
/// middle.
fn marks(
    board: &mut Board<'_>,
    solid: &Solid,
    view: View,
    (face, convention): (Face, Convention),
    level: Option<&Arc<Shown>>,
) {
    for slot in solid.slots_of(face) {
        capsule(board, view, slot, solid.extent(face).0 / 2.0);
    }
    for hole in solid.holes_of(face) {
        round_hole(board, hole, view, convention);
    }
    let beyond = PAST / view.scale;
    let half = solid.extent(face).0 / 2.0;
    board.centre(view.at(-half - beyond, 0.0), view.at(half + beyond, 0.0), level);
    let spots = solid.spots(face, view.scale);
    let (columns, rows) = solid.lines(face);
    let crowd = columns.len() + rows.len();
    // A row of many has one line more than holes.
    if spots.len() > 8 && crowd * 4 > spots.len() * 5 {
        // Holes that happen to stand in line have nothing to do with each other. Those on the middle
        // have its line already.
        for spot in &spots {
            let centre = view.at(spot.right, spot.up);
            let arms = [(spot.up, Vector::new(spot.reach.0, 0.0)), (spot.right, Vector::new(0.0, spot.reach.1))];
            for (_, arm) in arms.into_iter().filter(|(off, _)| off.abs() > 1e-6) {
                let arm = arm * (view.scale + ARM / arm.length());
                board.centre(centre - arm, centre + arm, None);
            }
        }
        return;
    }
    for (x, members) in columns.iter().filter(|(x, _)| x.abs() > 1e-6) {
        let (low, high) = column_line(&spots, members, view.scale);
        board.centre(view.at(*x, low), view.at(*x, high), None);
    }
    for (y, members) in rows.iter().filter(|(y, _)| y.abs() > 1e-6) {
        let (low, high) = row_line(&spots, members, view.scale);
        board.centre(view.at(low, *y), view.at(high, *y), None);
    }
}

fn rectangle(board: &mut Board<'_>, view: View, low: (f64, f64), high: (f64, f64)) {
    let corners = [(low.0, low.1), (high.0, low.1), (high.0, high.1), (low.0, high.1)];
    board.outline(corners.iter().map(|(right, up)| view.at(*right, *up)).collect(), true);
}

/// A rectangle about the view's origin, its corners rounded.
fn rounded(board: &mut Board<'_>, view: View, (right, up): (f64, f64), radius: f64) {
    if radius <= 0.0 {
        rectangle(board, view, (-right, -up), (right, up));
        return;
    }
    let radius = radius.min(right).min(up);
    let mut line = |from: (f64, f64), to: (f64, f64)| {
        board.line(Role::Outline, Pen::Outline, view.at(from.0, from.1), view.at(to.0, to.1));
    };
    line((-right + radius, -up), (right - radius, -up));
    line((-right + radius, up), (right - radius, up));
    line((-right, -up + radius), (-right, up - radius));
    line((right, -up + radius), (right, up - radius));
    for (x, y, start) in [(1.0, 1.0, 0.0), (-1.0, 1.0, 90.0), (-1.0, -1.0, 180.0), (1.0, -1.0, 270.0)] {
        let centre = view.at(x * (right - radius), y * (up - radius));
        quarter(board, centre, radius * view.scale, start, 90.0);
    }
}

fn quarter(board: &mut Board<'_>, centre: Point, radius: f64, start: f64, sweep: f64) {
    let shape = Shape::Arc { centre, radius, start: Angle::degree(start), sweep: Angle::degree(sweep) };
    board.put(shape, Role::Outline, Pen::Outline, None);
}

/// A slot with round ends, or a groove from end to end.
fn capsule(board: &mut Board<'_>, view: View, slot: &Slot, half: f64) {
    let ends = slot.ends();
    let (from, to) = match ends.as_slice() {
        [from, to] => (from.0, to.0),
        _ => (-half, half),
    };
    for side in [-slot.half_wide, slot.half_wide] {
        board.line(Role::Outline, Pen::Outline, view.at(from, slot.up + side), view.at(to, slot.up + side));
    }
    if let [from, to] = ends.as_slice() {
        quarter(board, view.at(from.0, from.1), slot.half_wide * view.scale, 90.0, 180.0);
        quarter(board, view.at(to.0, to.1), slot.half_wide * view.scale, 270.0, 180.0);
    }
}

fn round_hole(board: &mut Board<'_>, hole: &Hole, view: View, convention: Convention) {
    let centre = view.at(hole.right, hole.up);
    let (inner, thread) = hole.circles(view.scale);
    board.circle(Role::Outline, Pen::Outline, centre, inner);
    let cone = hole.shown_cone(view.scale);
    let bore = hole.bore.map(|(radius, _)| radius * view.scale);
    for radius in [cone, bore].into_iter().flatten() {
        board.circle(Role::Outline, Pen::Outline, centre, radius);
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

/// Where `SECTION A-A` stands and what it says, under or over the front view.
pub(super) fn section_title(board: &mut Board<'_>, at: Point, letter: char) {
    board.text(at, Anchor::Middle, FIGURE, &format!("SECTION {letter}-{letter}"), None);
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

#[allow(clippy::cast_possible_truncation, reason = "a part is far smaller than the range of i64 in micrometres")]
fn micrometres(value: f64) -> i64 {
    (value * 1e3).round() as i64
}

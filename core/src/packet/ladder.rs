//! Labels that stand in a row beside a picture, each led to its height, none touching another.

use super::desk::BODY;
use crate::drawing::board::Board;
use crate::drawing::{Anchor, Pen, Role};
use crate::geom::{Point, Vector};

/// From label to label: the tallest letters and half a millimetre of white on either side.
const PITCH: f64 = 4.8;
/// From the picture to where a label starts.
pub(super) const LEAD: f64 = 9.0;

/// A height of a picture, and what is said of it.
#[derive(Clone, Debug)]
pub(super) struct Rung {
    pub(super) at: f64,
    pub(super) text: String,
}

/// Labels at the right of a picture, between two heights: `x` is its right edge.
pub(super) fn beside(board: &mut Board<'_>, x: f64, rungs: &[Rung], within: (f64, f64)) {
    for (rung, place) in placed(rungs, within) {
        let (from, bend) = (Point::new(x + 1.0, rung.at), Point::new(x + 3.0, rung.at));
        board.line(Role::Leader, Pen::Thin, from, bend);
        board.line(Role::Leader, Pen::Thin, bend, Point::new(x + LEAD - 1.2, place));
        board.text(Point::new(x + LEAD, place - BODY / 2.0), Anchor::Start, BODY, &rung.text, None);
    }
}

/// Labels below a picture, reading upwards, between left and right: `y` is its lower edge.
pub(super) fn below(board: &mut Board<'_>, y: f64, rungs: &[Rung], within: (f64, f64)) {
    for (rung, place) in placed(rungs, within) {
        let (from, bend) = (Point::new(rung.at, y - 1.0), Point::new(rung.at, y - 3.0));
        board.line(Role::Leader, Pen::Thin, from, bend);
        board.line(Role::Leader, Pen::Thin, bend, Point::new(place, y - LEAD + 1.2));
        let at = Point::new(place + BODY / 2.0, y - LEAD);
        board.set(at, Anchor::End, BODY, &rung.text, true, None);
    }
}

/// Rungs from the lowest up, those of one height in one.
fn joined(rungs: &[Rung]) -> Vec<Rung> {
    let mut sorted = rungs.to_vec();
    sorted.sort_by(|a, b| a.at.total_cmp(&b.at));
    let mut list: Vec<Rung> = Vec::new();
    for rung in sorted {
        match list.last_mut() {
            Some(below_it) if (below_it.at - rung.at).abs() < 1e-6 => {
                if below_it.text != rung.text {
                    // The coordinate is said already.
                    let words = rung.text.split_once(' ').map_or(rung.text.as_str(), |(_, words)| words);
                    below_it.text = format!("{}, {words}", below_it.text);
                }
            }
            _ => list.push(rung),
        }
    }
    list
}

/// Rungs with the places of their labels: as near as they can be without touching. Pushed up as
/// far as needed and pushed down as far as needed, of the two the middle, and then inside.
fn placed(rungs: &[Rung], (low, high): (f64, f64)) -> Vec<(Rung, f64)> {
    let list = joined(rungs);
    let mut up: Vec<f64> = list.iter().map(|rung| rung.at).collect();
    let mut down = up.clone();
    let mut edge = f64::NEG_INFINITY;
    for place in &mut up {
        *place = place.max(edge + PITCH);
        edge = *place;
    }
    let mut edge = f64::INFINITY;
    for place in down.iter_mut().rev() {
        *place = place.min(edge - PITCH);
        edge = *place;
    }
    let mut middle: Vec<f64> = up.iter().zip(&down).map(|(up, down)| f64::midpoint(*up, *down)).collect();
    let mut edge = high + PITCH / 2.0;
    for place in middle.iter_mut().rev() {
        *place = place.min(edge - PITCH);
        edge = *place;
    }
    let mut edge = low - PITCH / 2.0;
    for place in &mut middle {
        *place = place.max(edge + PITCH);
        edge = *place;
    }
    list.into_iter().zip(middle).collect()
}

/// A box of diagonal lines, for what is cut or solid.
pub(super) fn hatch(board: &mut Board<'_>, low: Point, high: Point) {
    let (width, height) = (high.x - low.x, high.y - low.y);
    let step = 2.4;
    let mut out = step;
    while out < width + height {
        let from = Point::new(low.x + (out - height).max(0.0), low.y + out.min(height));
        let to = Point::new(low.x + out.min(width), low.y + (out - width).max(0.0));
        // Half a step in, so that no line lies on an edge.
        board.line(Role::Hatch, Pen::Thin, from, to);
        out += step;
    }
}

/// The sign of the zero: a disc of which two quarters are black.
pub(super) fn zero(board: &mut Board<'_>, at: Point) {
    use crate::drawing::Shape;
    use crate::quantity::Angle;
    let radius = 1.9;
    board.circle(Role::Picture, Pen::Thin, at, radius);
    for quarter in [0.0, 2.0] {
        let mut points = vec![at];
        points.extend((0..=6).map(|step| {
            let turn = (quarter + f64::from(step) / 6.0) * std::f64::consts::FRAC_PI_2;
            at + Vector::toward(Angle::rad(turn)) * radius
        }));
        board.put(Shape::Polyline { points, closed: true, filled: true }, Role::Picture, Pen::Thin, None);
    }
}

/// The axes of a view beside its caption: one to the right, one up.
pub(super) fn axes(board: &mut Board<'_>, at: Point, right: &str, up: &str) {
    let long = 6.5;
    for (way, name) in [(Vector::new(1.0, 0.0), right), (Vector::new(0.0, 1.0), up)] {
        let tip = at + way * long;
        board.line(Role::Picture, Pen::Thin, at, tip);
        board.arrow(tip, way, None);
        let place = if way.x > 0.0 { tip + Vector::new(1.2, -1.2) } else { tip + Vector::new(1.5, -2.3) };
        board.text(place, Anchor::Start, BODY, name, None);
    }
}

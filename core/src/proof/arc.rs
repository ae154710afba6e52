//! Arcs: centre and radius form, sense, sweep, and what the report forbids (3.5.3).

use std::f64::consts::TAU;

use super::fault::{Fault, fault, stops};
use super::modal::Line;
use super::motion::{Arc, Plane, Tip, turned};
use crate::geom::Point;
use crate::quantity::{Unit, trig};
use crate::shop::ArcCentre;

/// What an arc is to be made of.
pub(super) struct Wanted<'l> {
    pub(super) line: &'l Line,
    pub(super) plane: Plane,
    /// G3, not G2.
    pub(super) left: bool,
    pub(super) from: Tip,
    pub(super) to: Tip,
    pub(super) unit: Unit,
    pub(super) centres: ArcCentre,
    /// What stands between the program's zero and the part's, for absolute centres.
    pub(super) shift: [f64; 3],
}

/// Works out the arc of a line.
///
/// # Errors
/// Missing words, ends that disagree, no possible centre.
pub(super) fn arc(wanted: &Wanted<'_>) -> Result<Arc, Fault> {
    let (first, second, _) = wanted.plane.axes();
    let line = wanted.line;
    if line.axes[first].is_none() && line.axes[second].is_none() {
        return Err(stops(
            "proof/arc-without-end",
            format!(
                "The arc names neither {} nor {}; a full turn must name one of them too (3.5.3).",
                LETTERS[first], LETTERS[second]
            ),
        ));
    }
    let start = Point::new(wanted.from.axis(first), wanted.from.axis(second));
    let end = Point::new(wanted.to.axis(first), wanted.to.axis(second));
    let offsets = [line.centre[first], line.centre[second]];
    for (axis, offset) in line.centre.iter().enumerate() {
        if axis != first && axis != second && offset.is_some() {
            return Err(stops(
                "proof/arc-centre",
                format!("{} does not lie in the plane of the arc.", ["I", "J", "K"][axis]),
            ));
        }
    }
    if let Some(radius) = line.r {
        if offsets.iter().any(Option::is_some) {
            return Err(stops("proof/arc-centre", "The arc has both a radius and a centre."));
        }
        return by_radius(wanted, wanted.unit.length(radius).as_mm(), start, end);
    }
    if offsets.iter().all(Option::is_none) {
        return Err(stops("proof/arc-centre", "The arc has neither a centre nor a radius."));
    }
    let part = |offset: Option<f64>, at: f64, axis: usize| match (wanted.centres, offset) {
        (ArcCentre::Incremental, offset) => at + wanted.unit.length(offset.unwrap_or(0.0)).as_mm(),
        (ArcCentre::Absolute, Some(place)) => wanted.unit.length(place).as_mm() + wanted.shift[axis],
        (ArcCentre::Absolute, None) => wanted.shift[axis],
    };
    let centre = Point::new(part(offsets[0], start.x, first), part(offsets[1], start.y, second));
    by_centre(wanted, centre, start, end)
}

/// No arc of a small part has its centre so far away, in millimetres; beyond, sums lose their digits.
const FARTHEST: f64 = 1e6;

const LETTERS: [&str; 3] = ["X", "Y", "Z"];

fn by_centre(wanted: &Wanted<'_>, centre: Point, start: Point, end: Point) -> Result<Arc, Fault> {
    let (near, far) = (centre.distance(start), centre.distance(end));
    // 3.5.3.2: 0.0002 inch if inches are in use, 0.002 millimetre if millimetres; with the dust
    // of the arithmetic, so that a difference of exactly the limit passes.
    let limit = match wanted.unit {
        Unit::Mm => 0.002,
        Unit::Inch => 0.0002 * 25.4,
    };
    if !near.is_finite() || !far.is_finite() || near.max(far) > FARTHEST {
        return Err(stops("proof/arc-centre", "The centre of the arc is farther away than any machine is long."));
    }
    if near < 1e-9 {
        return Err(stops("proof/arc-centre", "The arc starts in its own centre."));
    }
    if (near - far).abs() > limit + 1e-9 {
        return Err(fault(
            "proof/arc-ends",
            format!(
                "The arc's start lies {} from its centre and its end {}; they may differ by {}.",
                wanted.unit.say(crate::quantity::Length::mm(near)),
                wanted.unit.say(crate::quantity::Length::mm(far)),
                match wanted.unit {
                    Unit::Mm => "0.002 mm",
                    Unit::Inch => "0.0002 in",
                }
            ),
            "The control stops with an alarm, or cuts a spiral that nobody wanted.",
        ));
    }
    let from = (start - centre).angle().as_rad();
    let to = (end - centre).angle().as_rad();
    let way = turned(if wanted.left { to - from } else { from - to });
    let way = if way < 1e-9 || start.distance(end) < 1e-9 { TAU } else { way };
    let sweep = if wanted.left { way } else { -way };
    Ok(Arc { plane: wanted.plane, centre, radius: near, start: from, sweep })
}

/// Radius form (3.5.3.1): a positive radius turns at most half, a negative one more.
fn by_radius(wanted: &Wanted<'_>, radius: f64, start: Point, end: Point) -> Result<Arc, Fault> {
    let chord = start.distance(end);
    if chord < 1e-9 {
        return Err(stops(
            "proof/arc-radius",
            "An arc by its radius ends where it starts; its centre could lie anywhere.",
        ));
    }
    let half = chord / 2.0;
    if !radius.is_finite() || radius.abs() > FARTHEST {
        return Err(stops("proof/arc-radius", "The radius of the arc is larger than any machine is long."));
    }
    let tolerance = 0.002;
    if radius.abs() < half - tolerance || radius.abs() < 1e-9 {
        return Err(stops("proof/arc-radius", "The radius is too small to reach from the start to the end."));
    }
    let height = (radius * radius - half * half).max(0.0).sqrt();
    let side = if wanted.left == (radius > 0.0) { 1.0 } else { -1.0 };
    let along = (end - start) * (1.0 / chord);
    let centre = start.middle(end) + along.left() * (height * side);
    let reach = trig::hypot(height, half);
    let from = (start - centre).angle().as_rad();
    let to = (end - centre).angle().as_rad();
    let way = turned(if wanted.left { to - from } else { from - to });
    Ok(Arc { plane: wanted.plane, centre, radius: reach, start: from, sweep: if wanted.left { way } else { -way } })
}

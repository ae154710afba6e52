//! Where the tool's tip goes: points, straight moves and arcs in the part's axes.

use std::f64::consts::TAU;

use crate::geom::Point;
use crate::quantity::{Feed, Spindle, Time, trig};

/// A place of the tool's tip in the part's axes, in millimetres.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Tip {
    /// Along the bar.
    pub x: f64,
    /// Across the bar.
    pub y: f64,
    /// Up; the top face of the blank is zero.
    pub z: f64,
}

/// The plane that an arc turns in, with the axes in the order of its positive turn
/// (NISTIR 6556, 3.5.2 and 3.5.3).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Plane {
    /// G17: X to Y, depth along Z.
    Xy,
    /// G18: Z to X, depth along Y.
    Zx,
    /// G19: Y to Z, depth along X.
    Yz,
}

/// An arc, or one turn of a helix at most.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Arc {
    /// The plane that it turns in.
    pub plane: Plane,
    /// Its centre, in the plane's two axes.
    pub centre: Point,
    /// Its radius at the start, in millimetres.
    pub radius: f64,
    /// The direction from the centre to the start, in radians.
    pub start: f64,
    /// How far it turns, in radians: positive counter-clockwise seen from the plane's positive
    /// side, never zero, at most a full turn either way.
    pub sweep: f64,
}

/// The form of a move.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Path {
    /// Straight.
    Line,
    /// On an arc or helix.
    Arc(Arc),
}

/// One move of the tool's tip.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Motion {
    /// The line of the program, from one.
    pub line: usize,
    /// Where it starts; an axis of which the start is not known counts as standing still.
    pub from: Tip,
    /// Where it ends.
    pub to: Tip,
    /// How it goes.
    pub path: Path,
    /// In rapid, not at a feed.
    pub rapid: bool,
    /// Feed along the path; nothing in rapid.
    pub feed: Feed,
    /// Number of the tool in the spindle; zero where none was called.
    pub tool: u32,
    /// Speed of the spindle; negative where it turns the wrong way round (M4), zero where it stands.
    pub spindle: Spindle,
    /// The canned cycle that it belongs to, 81 to 89; zero where none.
    pub cycle: u8,
    /// When it starts, from the start of the program.
    pub t0: Time,
    /// When it ends.
    pub t1: Time,
}

impl Tip {
    /// The place (`x`, `y`, `z`).
    pub const fn new(x: f64, y: f64, z: f64) -> Self {
        Self { x, y, z }
    }

    /// Seen from above.
    pub const fn plan(self) -> Point {
        Point::new(self.x, self.y)
    }

    /// The coordinate along one axis: 0 X, 1 Y, else Z.
    pub const fn axis(self, axis: usize) -> f64 {
        match axis {
            0 => self.x,
            1 => self.y,
            _ => self.z,
        }
    }

    /// The same place with one coordinate changed: 0 X, 1 Y, else Z.
    #[must_use]
    pub const fn with(mut self, axis: usize, value: f64) -> Self {
        match axis {
            0 => self.x = value,
            1 => self.y = value,
            _ => self.z = value,
        }
        self
    }

    /// How far another place is.
    pub fn distance(self, other: Self) -> f64 {
        trig::hypot(trig::hypot(other.x - self.x, other.y - self.y), other.z - self.z)
    }

    /// The place at a share of the straight way to another.
    #[must_use]
    pub fn toward(self, other: Self, share: f64) -> Self {
        Self::new(
            self.x + (other.x - self.x) * share,
            self.y + (other.y - self.y) * share,
            self.z + (other.z - self.z) * share,
        )
    }
}

impl Plane {
    /// The plane's first and second axis and the axis that stands on it.
    pub const fn axes(self) -> (usize, usize, usize) {
        match self {
            Self::Xy => (0, 1, 2),
            Self::Zx => (2, 0, 1),
            Self::Yz => (1, 2, 0),
        }
    }
}

impl Arc {
    /// The place in the plane at a share of the sweep.
    pub fn at(&self, share: f64) -> Point {
        let angle = self.start + self.sweep * share;
        Point::new(self.centre.x + self.radius * libm::cos(angle), self.centre.y + self.radius * libm::sin(angle))
    }

    /// Whether the direction (radians) lies within the sweep.
    pub fn passes(&self, angle: f64) -> bool {
        let way = if self.sweep >= 0.0 { angle - self.start } else { self.start - angle };
        turned(way) <= self.sweep.abs() + 1e-12
    }
}

impl Motion {
    /// The same move in axes whose zero is so far to the right and to the back.
    #[must_use]
    pub(super) fn seen_from(&self, x: f64, y: f64) -> Self {
        let tip = |tip: Tip| Tip::new(tip.x - x, tip.y - y, tip.z);
        let path = match self.path {
            Path::Line => Path::Line,
            Path::Arc(arc) => {
                let centre = match arc.plane {
                    Plane::Xy => Point::new(arc.centre.x - x, arc.centre.y - y),
                    Plane::Zx => Point::new(arc.centre.x, arc.centre.y - x),
                    Plane::Yz => Point::new(arc.centre.x - y, arc.centre.y),
                };
                Path::Arc(Arc { centre, ..arc })
            }
        };
        Self { from: tip(self.from), to: tip(self.to), path, ..*self }
    }

    /// The length of the way, in millimetres.
    pub fn length(&self) -> f64 {
        match self.path {
            Path::Line => self.from.distance(self.to),
            Path::Arc(arc) => {
                let (_, _, up) = arc.plane.axes();
                trig::hypot(arc.radius * arc.sweep, self.to.axis(up) - self.from.axis(up))
            }
        }
    }

    /// The place at a share of the way.
    pub fn at(&self, share: f64) -> Tip {
        match self.path {
            Path::Line => self.from.toward(self.to, share),
            Path::Arc(arc) => {
                let (first, second, up) = arc.plane.axes();
                let flat = arc.at(share);
                let rise = self.from.axis(up) + (self.to.axis(up) - self.from.axis(up)) * share;
                Tip::default().with(first, flat.x).with(second, flat.y).with(up, rise)
            }
        }
    }

    /// The direction of travel at the start or the end, of length one, or nothing for no way.
    pub fn direction(&self, at_end: bool) -> Option<[f64; 3]> {
        let way = match self.path {
            Path::Line => [self.to.x - self.from.x, self.to.y - self.from.y, self.to.z - self.from.z],
            Path::Arc(arc) => {
                let (first, second, up) = arc.plane.axes();
                let angle = arc.start + if at_end { arc.sweep } else { 0.0 };
                let side = arc.radius * arc.sweep;
                let mut way = [0.0; 3];
                way[first] = -libm::sin(angle) * side;
                way[second] = libm::cos(angle) * side;
                way[up] = self.to.axis(up) - self.from.axis(up);
                way
            }
        };
        let length = trig::hypot(trig::hypot(way[0], way[1]), way[2]);
        (length > 1e-12).then(|| way.map(|part| part / length))
    }

    /// The lowest place of the tip on the way.
    pub fn lowest(&self) -> f64 {
        self.reach(2).0
    }

    /// The least and largest coordinate along an axis on the whole way, arcs included.
    pub fn reach(&self, axis: usize) -> (f64, f64) {
        let (a, b) = (self.from.axis(axis), self.to.axis(axis));
        let (mut low, mut high) = (a.min(b), a.max(b));
        if let Path::Arc(arc) = self.path {
            let (first, second, _) = arc.plane.axes();
            let turns = if axis == first {
                Some((arc.centre.x, 0.0))
            } else if axis == second {
                Some((arc.centre.y, TAU / 4.0))
            } else {
                None
            };
            if let Some((middle, angle)) = turns {
                if arc.passes(angle) {
                    high = high.max(middle + arc.radius);
                }
                if arc.passes(angle + TAU / 2.0) {
                    low = low.min(middle - arc.radius);
                }
            }
        }
        (low, high)
    }
}

/// An angle brought into 0..2π.
pub(super) fn turned(angle: f64) -> f64 {
    // Most angles lie there already, and need no division.
    let rest = if (0.0..TAU).contains(&angle) { angle } else { angle - (angle / TAU).floor() * TAU };
    // A hair below a full turn is none: the dust of two directions that are the same.
    if rest > TAU - 1e-12 { 0.0 } else { rest }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_arc_reaches_farther_than_its_ends() {
        let arc = Arc { plane: Plane::Xy, centre: Point::new(0.0, 0.0), radius: 2.0, start: 0.0, sweep: TAU / 2.0 };
        let motion = Motion {
            line: 1,
            from: Tip::new(2.0, 0.0, 0.0),
            to: Tip::new(-2.0, 0.0, 1.0),
            path: Path::Arc(arc),
            rapid: false,
            feed: Feed::mm_per_min(100.0),
            tool: 1,
            spindle: Spindle::rpm(1000.0),
            cycle: 0,
            t0: Time::ZERO,
            t1: Time::ZERO,
        };
        assert!((motion.reach(1).1 - 2.0).abs() < 1e-12, "the top of the half circle");
        assert!((motion.reach(1).0).abs() < 1e-12, "and no lower than its ends");
        assert!((motion.length() - trig::hypot(TAU, 1.0)).abs() < 1e-12, "along the helix");
        let middle = motion.at(0.5);
        assert!((middle.y - 2.0).abs() < 1e-12 && (middle.z - 0.5).abs() < 1e-12, "halfway: {middle:?}");
    }
}

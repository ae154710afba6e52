//! Paths seen from above, and exact distances from them.

use super::motion::{Arc, Motion, Path, Plane, Tip};
use crate::geom::{Point, Rect, Vector};
use crate::quantity::trig;

/// A stretch of a move whose height changes evenly along it, straight or round seen from above.
#[derive(Clone, Copy, Debug)]
pub(super) struct Leg {
    pub(super) from: Tip,
    pub(super) to: Tip,
    pub(super) arc: Option<Arc>,
}

/// A path seen from above.
#[derive(Clone, Copy, Debug)]
pub(super) enum Flat {
    Straight(Point, Point),
    /// An arc, with its ends.
    Round(Arc, Point, Point),
}

/// Arcs in the other two planes are cut into chords that leave them by no more than this.
const SAG: f64 = 0.001;

/// The directions of the axes, each a quarter turn on from the last.
const QUARTERS: [Vector; 4] =
    [Vector::new(1.0, 0.0), Vector::new(0.0, 1.0), Vector::new(-1.0, 0.0), Vector::new(0.0, -1.0)];

/// The legs of a move.
pub(super) fn legs(motion: &Motion) -> impl Iterator<Item = Leg> {
    let (count, whole) = match motion.path {
        Path::Line => (1.0, Some(None)),
        Path::Arc(arc) if arc.plane == Plane::Xy => (1.0, Some(Some(arc))),
        Path::Arc(arc) => {
            // sagitta = r (1 - cos(step/2)) ≈ r step² / 8
            let step = (8.0 * SAG / arc.radius.max(SAG)).sqrt().min(0.5);
            ((arc.sweep.abs() / step).ceil().clamp(1.0, 5000.0), None)
        }
    };
    let mut from = motion.from;
    let mut number = 0.0;
    std::iter::from_fn(move || {
        if number >= count {
            return None;
        }
        number += 1.0;
        if let Some(arc) = whole {
            return Some(Leg { from: motion.from, to: motion.to, arc });
        }
        let to = motion.at(number / count);
        let leg = Leg { from, to, arc: None };
        from = to;
        Some(leg)
    })
}

impl Leg {
    /// The stretch of the way, in shares, on which the tip is lower than `height`.
    pub(super) fn below(&self, height: f64) -> Option<(f64, f64)> {
        let (a, b) = (self.from.z, self.to.z);
        match (a < height, b < height) {
            (true, true) => Some((0.0, 1.0)),
            (false, false) => None,
            (true, false) => Some((0.0, (height - a) / (b - a))),
            (false, true) => Some(((height - a) / (b - a), 1.0)),
        }
    }

    /// The stretch of the way between two shares, from above.
    pub(super) fn flat(&self, (start, end): (f64, f64)) -> Flat {
        match self.arc {
            None => Flat::Straight(self.from.toward(self.to, start).plan(), self.from.toward(self.to, end).plan()),
            Some(arc) => {
                let part = Arc { start: arc.start + arc.sweep * start, sweep: arc.sweep * (end - start), ..arc };
                // The ends of the whole are known without any trigonometry.
                let first = if start > 0.0 { part.at(0.0) } else { self.from.plan() };
                let last = if end < 1.0 { part.at(1.0) } else { self.to.plan() };
                Flat::Round(part, first, last)
            }
        }
    }

    pub(super) fn whole(&self) -> Flat {
        self.flat((0.0, 1.0))
    }

    pub(super) fn lowest(&self) -> f64 {
        self.from.z.min(self.to.z)
    }

    /// Straight up or down, within a hair.
    pub(super) fn upright(&self) -> bool {
        self.arc.is_none() && self.from.plan().distance(self.to.plan()) < 1e-6
    }
}

impl Flat {
    /// The distance of the farthest place of the path.
    pub(super) fn farthest(&self, from: Point) -> f64 {
        match self {
            Self::Straight(a, b) => from.distance(*a).max(from.distance(*b)),
            Self::Round(arc, start, end) => {
                let ends = from.distance(*start).max(from.distance(*end));
                let away = arc.centre - from;
                let off = away.length();
                if off < 1e-12 || arc.passes(away.angle().as_rad()) { ends.max(off + arc.radius) } else { ends }
            }
        }
    }

    /// The distance of the nearest place of the path.
    pub(super) fn nearest(&self, to: Point) -> f64 {
        match self {
            Self::Straight(a, b) => to_segment(to, *a, *b),
            Self::Round(arc, start, end) => {
                let ends = to.distance(*start).min(to.distance(*end));
                let away = to - arc.centre;
                if away.length() < 1e-12 || arc.passes(away.angle().as_rad()) {
                    ends.min((away.length() - arc.radius).abs())
                } else {
                    ends
                }
            }
        }
    }

    /// Whether the path comes nearer to a box than this.
    pub(super) fn nearer(&self, rect: Rect, by: f64) -> bool {
        // A box around the path that is clear of the other box settles most cases.
        self.around().grown(by).overlaps(rect) && self.off_rect(rect) < by
    }

    /// The distance between the path and a box; nothing where they touch.
    pub(super) fn off_rect(&self, rect: Rect) -> f64 {
        let (start, end) = self.ends();
        if rect.holds(start) || rect.holds(end) {
            return 0.0;
        }
        let corners = corners(rect);
        (0..4).map(|side| self.off_segment(corners[side], corners[(side + 1) % 4])).fold(f64::INFINITY, f64::min)
    }

    /// The box around the path.
    pub(super) fn bounds(&self) -> Rect {
        let (start, end) = self.ends();
        let mut bounds = Rect::new(start, end);
        if let Self::Round(arc, ..) = self {
            for (quarter, way) in QUARTERS.iter().enumerate() {
                if arc.passes(quarter as f64 * std::f64::consts::FRAC_PI_2) {
                    let far = arc.centre + *way * arc.radius;
                    bounds = bounds.with(Rect { low: far, high: far });
                }
            }
        }
        bounds
    }

    /// Four places so far from the path: beyond its ends, and beside its middle on both sides. They
    /// are worked out one by one: mostly the first is enough.
    pub(super) fn rim(&self, off: f64) -> impl Iterator<Item = Point> {
        (0..4).map(move |number| match self {
            Self::Straight(a, b) => {
                let way = *b - *a;
                let length = way.length();
                let along = if length > 1e-9 { way * (1.0 / length) } else { Vector::new(1.0, 0.0) };
                let (middle, side) = (a.middle(*b), along.left() * off);
                match number {
                    0 => *b + along * off,
                    1 => *a + -along * off,
                    2 => middle + side,
                    _ => middle + -side,
                }
            }
            Self::Round(arc, start, end) => {
                let outward = |place: Point, off: f64| place + (place - arc.centre) * (off / arc.radius.max(1e-9));
                match number {
                    0 => outward(*start, off),
                    1 => outward(arc.at(0.5), off),
                    2 => outward(*end, off),
                    _ => outward(arc.at(0.5), -off),
                }
            }
        })
    }

    /// A box that holds the path, an arc with its whole circle: quick to have.
    pub(super) fn around(&self) -> Rect {
        match self {
            Self::Straight(a, b) => Rect::new(*a, *b),
            Self::Round(arc, ..) => Rect { low: arc.centre, high: arc.centre }.grown(arc.radius),
        }
    }

    /// The stretch between two shares of the way.
    pub(super) fn part(&self, (start, end): (f64, f64)) -> Self {
        match self {
            Self::Straight(a, b) => {
                let way = *b - *a;
                Self::Straight(*a + way * start, *a + way * end)
            }
            Self::Round(arc, from, to) => {
                let part = Arc { start: arc.start + arc.sweep * start, sweep: arc.sweep * (end - start), ..*arc };
                let first = if start > 0.0 { part.at(0.0) } else { *from };
                let last = if end < 1.0 { part.at(1.0) } else { *to };
                Self::Round(part, first, last)
            }
        }
    }

    /// The least and the largest Y of its places between two places along X; nothing where it has
    /// none there.
    pub(super) fn across(&self, from: f64, to: f64) -> Option<(f64, f64)> {
        let (start, end) = self.ends();
        let mut range: Option<(f64, f64)> = None;
        let mut take = |place: Point| {
            let (low, high) = range.unwrap_or((place.y, place.y));
            range = Some((low.min(place.y), high.max(place.y)));
        };
        [start, end].into_iter().filter(|place| (from..=to).contains(&place.x)).for_each(&mut take);
        for x in [from, to] {
            match self {
                Self::Straight(a, b) if (a.x - x) * (b.x - x) < 0.0 => take(*a + (*b - *a) * ((x - a.x) / (b.x - a.x))),
                Self::Straight(..) => {}
                Self::Round(arc, ..) => {
                    let away = x - arc.centre.x;
                    let square = arc.radius * arc.radius - away * away;
                    let up = square.max(0.0).sqrt();
                    let both = [up, -up].map(|up| Vector::new(away, up));
                    let there = |way: &Vector| square >= 0.0 && arc.passes(way.angle().as_rad());
                    both.into_iter().filter(there).for_each(|way| take(arc.centre + way));
                }
            }
        }
        if let Self::Round(arc, ..) = self {
            for quarter in [1, 3] {
                let far = arc.centre + QUARTERS[quarter] * arc.radius;
                if arc.passes(quarter as f64 * std::f64::consts::FRAC_PI_2) && (from..=to).contains(&far.x) {
                    take(far);
                }
            }
        }
        range
    }

    pub(super) fn ends(&self) -> (Point, Point) {
        match self {
            Self::Straight(a, b) => (*a, *b),
            Self::Round(_, start, end) => (*start, *end),
        }
    }

    fn off_segment(&self, c: Point, d: Point) -> f64 {
        match self {
            Self::Straight(a, b) => {
                if crosses(*a, *b, c, d) {
                    return 0.0;
                }
                to_segment(*a, c, d).min(to_segment(*b, c, d)).min(to_segment(c, *a, *b)).min(to_segment(d, *a, *b))
            }
            Self::Round(arc, ..) => arc_to_segment(self, arc, c, d),
        }
    }
}

fn arc_to_segment(flat: &Flat, arc: &Arc, c: Point, d: Point) -> f64 {
    let (start, end) = flat.ends();
    let mut least = to_segment(start, c, d).min(to_segment(end, c, d)).min(flat.nearest(c)).min(flat.nearest(d));
    let way = d - c;
    let length = way.length();
    if length < 1e-12 {
        return least;
    }
    let along = way * (1.0 / length);
    let foot_at = (arc.centre - c).dot(along);
    let off = (arc.centre - c).dot(along.left());
    let foot = c + along * foot_at;
    if off.abs() <= arc.radius {
        let half = (arc.radius * arc.radius - off * off).max(0.0).sqrt();
        for at in [foot_at - half, foot_at + half] {
            let meeting = c + along * at;
            if (0.0..=length).contains(&at) && arc.passes((meeting - arc.centre).angle().as_rad()) {
                return 0.0;
            }
        }
    }
    if (0.0..=length).contains(&foot_at) && trig::hypot(off, 0.0) > 1e-12 {
        let toward = (foot - arc.centre).angle().as_rad();
        if arc.passes(toward) {
            least = least.min((off.abs() - arc.radius).abs());
        }
    }
    least
}

fn corners(rect: Rect) -> [Point; 4] {
    [rect.low, Point::new(rect.high.x, rect.low.y), rect.high, Point::new(rect.low.x, rect.high.y)]
}

/// The distance of a place from a straight stretch.
fn to_segment(place: Point, a: Point, b: Point) -> f64 {
    let way = b - a;
    let square = way.dot(way);
    if square < 1e-24 {
        return place.distance(a);
    }
    let share = ((place - a).dot(way) / square).clamp(0.0, 1.0);
    place.distance(a + way * share)
}

fn crosses(a: Point, b: Point, c: Point, d: Point) -> bool {
    let side = |from: Point, to: Point, place: Point| (to - from).cross(place - from);
    side(a, b, c) * side(a, b, d) < 0.0 && side(c, d, a) * side(c, d, b) < 0.0
}

#[cfg(test)]
mod tests {
    use std::f64::consts::{PI, TAU};

    use super::*;

    fn round(x: f64, y: f64, radius: f64, start: f64, sweep: f64) -> Flat {
        whole(Arc { plane: Plane::Xy, centre: Point::new(x, y), radius, start, sweep })
    }

    fn whole(arc: Arc) -> Flat {
        Flat::Round(arc, arc.at(0.0), arc.at(1.0))
    }

    #[test]
    fn distances_of_paths_from_boxes() {
        let bar = Rect::new(Point::new(-10.0, -5.0), Point::new(10.0, 5.0));
        let beside = Flat::Straight(Point::new(-20.0, 8.0), Point::new(20.0, 8.0));
        assert!((beside.off_rect(bar) - 3.0).abs() < 1e-12, "a line beside the bar");
        let across = Flat::Straight(Point::new(0.0, -9.0), Point::new(0.0, 9.0));
        assert!(across.off_rect(bar).abs() < 1e-12, "a line across the bar");
        let arch = round(0.0, 10.0, 2.0, PI, PI);
        assert!((arch.off_rect(bar) - 3.0).abs() < 1e-12, "the lower half of a circle above it");
        let upper = round(0.0, 10.0, 2.0, 0.0, PI);
        assert!((upper.off_rect(bar) - 5.0).abs() < 1e-9, "the upper half is as near as its ends");
        assert!(round(0.0, 6.0, 2.0, 0.0, TAU).off_rect(bar).abs() < 1e-12, "a circle that cuts the edge");
    }

    #[test]
    fn stretches_of_paths() {
        let slope = Flat::Straight(Point::new(-4.0, 0.0), Point::new(4.0, 8.0));
        assert_eq!(slope.across(-2.0, 1.0), Some((2.0, 5.0)), "between two places of a slope");
        assert_eq!(slope.across(5.0, 9.0), None, "beyond its end");
        let arch = round(0.0, 1.0, 2.0, 0.0, PI);
        let (low, high) = arch.across(-0.5, 1.0).expect("it is there");
        assert!((high - 3.0).abs() < 1e-12 && (low - (1.0 + 3.0_f64.sqrt())).abs() < 1e-12, "{low} to {high}");
        let (low, high) = arch.across(1.5, 9.0).expect("its right foot");
        assert!((low - 1.0).abs() < 1e-12 && (high - (1.0 + 1.75_f64.sqrt())).abs() < 1e-12, "{low} to {high}");
        let (from, to) = arch.part((0.5, 1.0)).ends();
        assert!(from.distance(Point::new(0.0, 3.0)) < 1e-12 && to.distance(Point::new(-2.0, 1.0)) < 1e-12, "a half");
    }

    /// Against a search by brute force over many places of the arc and the box.
    #[test]
    fn arc_distances_agree_with_a_search() {
        let bar = Rect::new(Point::new(-3.0, -1.0), Point::new(3.0, 1.0));
        let mut seed = 7_u32;
        let mut random = || {
            seed = seed.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            f64::from(seed >> 8) / f64::from(1 << 24)
        };
        for case in 0..400 {
            let arc = Arc {
                plane: Plane::Xy,
                centre: Point::new(random() * 12.0 - 6.0, random() * 12.0 - 6.0),
                radius: random() * 4.0 + 0.1,
                start: random() * TAU,
                sweep: (random() * 2.0 - 1.0) * TAU,
            };
            let flat = whole(arc);
            let mut least = f64::INFINITY;
            for step in 0..=4000 {
                let at = arc.at(f64::from(step) / 4000.0);
                let dx = (at.x.abs() - 3.0).max(0.0);
                let dy = (at.y.abs() - 1.0).max(0.0);
                least = least.min(trig::hypot(dx, dy));
            }
            let exact = flat.off_rect(bar);
            assert!(exact <= least + 1e-9 && least - exact < 0.01, "case {case}: {exact} against {least} for {arc:?}");
        }
    }
}

//! Whether a region seen from above lies within a union of others, by exact distances.
//!
//! The region is halved until each piece lies wholly inside one of the others, or wholly outside
//! itself; a place that lies in none of them is named. What is missed is thinner than [`FINEST`].

use super::flat::Flat;
use crate::geom::{Point, Rect};

/// Slivers thinner than this, in millimetres, are not looked for.
pub(super) const FINEST: f64 = 0.002;

/// A region seen from above.
#[derive(Clone, Copy, Debug)]
pub(super) enum Region {
    /// All that lies no farther from a way than the radius.
    Around(Flat, f64),
    /// A box.
    Box(Rect),
    /// What rounding a corner takes away: beyond the middle of its arc along both axes, by the
    /// signs, and farther from it than the radius.
    Corner {
        /// Middle of the arc.
        middle: Point,
        /// Radius.
        radius: f64,
        /// The way out of the corner along X and along Y: 1 or -1.
        out: (f64, f64),
    },
}

impl Region {
    /// A full circle.
    pub(super) const fn disc(at: Point, radius: f64) -> Self {
        Self::Around(Flat::Straight(at, at), radius)
    }

    /// How far a place lies inside (negative: outside, by no more than the distance).
    pub(super) fn depth(&self, place: Point) -> f64 {
        match self {
            Self::Around(flat, radius) => radius - flat.nearest(place),
            Self::Box(rect) => {
                let x = (place.x - rect.low.x).min(rect.high.x - place.x);
                let y = (place.y - rect.low.y).min(rect.high.y - place.y);
                x.min(y)
            }
            Self::Corner { middle, radius, out } => {
                let x = (place.x - middle.x) * out.0;
                let y = (place.y - middle.y) * out.1;
                x.min(y).min(place.distance(*middle) - radius)
            }
        }
    }

    /// Whether the whole box lies inside.
    fn holds(&self, cell: Rect, middle: Point, half: f64) -> bool {
        let depth = self.depth(middle);
        if depth >= half {
            return true;
        }
        if depth <= 0.0 {
            return false;
        }
        match self {
            // Convex: the corners decide.
            Self::Around(Flat::Straight(..), _) | Self::Box(_) => {
                let corners =
                    [cell.low, cell.high, Point::new(cell.low.x, cell.high.y), Point::new(cell.high.x, cell.low.y)];
                corners.iter().all(|corner| self.depth(*corner) >= 0.0)
            }
            Self::Around(Flat::Round(..), _) | Self::Corner { .. } => false,
        }
    }

    /// Middle, inner and outer radius of a way all round that leaves an island.
    fn ring(&self) -> Option<(Point, f64, f64)> {
        match self {
            Self::Around(Flat::Round(arc, ..), radius)
                if arc.sweep.abs() > std::f64::consts::TAU - 1e-6 && arc.radius > *radius =>
            {
                Some((arc.centre, arc.radius - radius, arc.radius + radius))
            }
            _ => None,
        }
    }

    /// The box around it.
    pub(super) fn bounds(&self) -> Rect {
        match self {
            Self::Around(flat, radius) => flat.bounds().grown(radius.max(0.0)),
            Self::Box(rect) => *rect,
            Self::Corner { middle, out, .. } => {
                let far = 1e4;
                Rect::new(*middle, Point::new(middle.x + out.0 * far, middle.y + out.1 * far))
            }
        }
    }

    /// Whether another region lies inside, where one look settles it.
    pub(super) fn plainly_holds(&self, other: &Self) -> bool {
        match (self, other) {
            (Self::Around(Flat::Straight(a, b), radius), Self::Around(flat, inner)) => {
                if a.distance(*b) < 1e-9 {
                    return flat.farthest(*a) + inner <= radius + 1e-9;
                }
                match flat {
                    Flat::Straight(c, d) => self.depth(*c).min(self.depth(*d)) >= inner - 1e-9,
                    Flat::Round(..) => false,
                }
            }
            (Self::Around(Flat::Round(arc, ..), radius), Self::Around(flat, inner)) => {
                let full = arc.sweep.abs() > std::f64::consts::TAU - 1e-6;
                let disc =
                    full && arc.radius <= *radius && flat.farthest(arc.centre) + inner <= arc.radius + radius + 1e-9;
                let same = match flat {
                    Flat::Round(mine, start, end) => {
                        mine.centre.distance(arc.centre) < 1e-6
                            && (mine.radius - arc.radius).abs() < 1e-6
                            && inner <= &(radius + 1e-9)
                            && (full
                                || (mine.sweep * arc.sweep > 0.0
                                    && mine.sweep.abs() <= arc.sweep.abs() + 1e-9
                                    && self.depth(*start) >= inner - 1e-6
                                    && self.depth(*end) >= inner - 1e-6))
                    }
                    Flat::Straight(..) => false,
                };
                disc || same
            }
            (Self::Box(rect), other) => {
                let bounds = other.bounds();
                let dust = 1e-9;
                bounds.low.x >= rect.low.x - dust
                    && bounds.low.y >= rect.low.y - dust
                    && bounds.high.x <= rect.high.x + dust
                    && bounds.high.y <= rect.high.y + dust
            }
            _ => false,
        }
    }
}

/// What was found of a region that should lie within others.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Answer {
    /// It does, slivers of [`FINEST`] aside.
    Within,
    /// This place does not.
    Outside(Point),
    /// It was not settled in so many steps; this place is in doubt.
    Unsettled(Point),
}

/// Whether a region, as far as it lies in the box, lies within the union of others.
pub(super) fn within(region: &Region, clip: Rect, others: &[Region], most: usize) -> Answer {
    within_bounds(region, region.bounds(), clip, others, most)
}

/// The same for a region whose box is known already.
pub(super) fn within_bounds(region: &Region, bounds: Rect, clip: Rect, others: &[Region], most: usize) -> Answer {
    let low = Point::new(bounds.low.x.max(clip.low.x), bounds.low.y.max(clip.low.y));
    let high = Point::new(bounds.high.x.min(clip.high.x), bounds.high.y.min(clip.high.y));
    if high.x - low.x < FINEST || high.y - low.y < FINEST {
        return Answer::Within;
    }
    if others.iter().any(|other| other.plainly_holds(region)) {
        return Answer::Within;
    }
    // A place at its rim that is in the open settles most cuts.
    if let Region::Around(flat, radius) = region {
        let open = |place: &Point| clip.holds(*place) && others.iter().all(|other| other.depth(*place) < -FINEST / 4.0);
        if let Some(place) = flat.rim((radius - FINEST).max(0.0)).find(open) {
            return Answer::Outside(place);
        }
    }
    // A way all round that reaches as far as the region leaves only its inside in question.
    for (at, other) in others.iter().enumerate() {
        if let Some((middle, inner, outer)) = other.ring()
            && Region::disc(middle, outer).plainly_holds(region)
            && region.depth(middle) >= inner
        {
            let rest: Vec<Region> = others.iter().enumerate().filter(|(it, _)| *it != at).map(|(_, it)| *it).collect();
            return within(&Region::disc(middle, inner), clip, &rest, most);
        }
    }
    let boxes: Vec<Rect> = others.iter().map(Region::bounds).collect();
    let mut cells = vec![Rect::new(low, high)];
    let mut steps = 0;
    while let Some(cell) = cells.pop() {
        let middle = cell.middle();
        let half = middle.distance(cell.high);
        let depth = region.depth(middle);
        if depth < -half {
            continue;
        }
        let near = || others.iter().zip(&boxes).filter(|(_, around)| around.overlaps(cell)).map(|(other, _)| other);
        if near().any(|other| other.holds(cell, middle, half)) {
            continue;
        }
        if depth > 0.0 && near().all(|other| other.depth(middle) < -FINEST / 4.0) {
            return Answer::Outside(middle);
        }
        if half < FINEST {
            continue;
        }
        steps += 1;
        if steps > most {
            return Answer::Unsettled(middle);
        }
        // The longer side is halved, so that long slots end in squares.
        let (width, height) = (cell.width(), cell.height());
        let cut = if width >= height {
            [Point::new(middle.x, cell.low.y), Point::new(middle.x, cell.high.y)]
        } else {
            [Point::new(cell.low.x, middle.y), Point::new(cell.high.x, middle.y)]
        };
        cells.push(Rect::new(cell.low, cut[1]));
        cells.push(Rect::new(cut[0], cell.high));
    }
    Answer::Within
}

#[cfg(test)]
mod tests {
    use std::f64::consts::TAU;

    use super::*;
    use crate::proof::motion::{Arc, Plane};

    const EVERYWHERE: Rect = Rect { low: Point::new(-100.0, -100.0), high: Point::new(100.0, 100.0) };

    fn way(a: (f64, f64), b: (f64, f64), radius: f64) -> Region {
        Region::Around(Flat::Straight(Point::new(a.0, a.1), Point::new(b.0, b.1)), radius)
    }

    fn ring(radius: f64, cutter: f64, sweep: f64) -> Region {
        let arc = Arc { plane: Plane::Xy, centre: Point::new(0.0, 0.0), radius, start: 0.0, sweep };
        Region::Around(Flat::Round(arc, arc.at(0.0), arc.at(1.0)), cutter)
    }

    fn found(region: &Region, others: &[Region]) -> Answer {
        within(region, EVERYWHERE, others, 20_000)
    }

    #[test]
    fn a_slot_in_three_ways() {
        let slot = way((-10.0, 0.0), (10.0, 0.0), 4.0);
        let passes = [way((-10.0, -0.99), (10.0, -0.99), 3.01), way((-10.0, 0.99), (10.0, 0.99), 3.01)];
        assert!(matches!(found(&slot, &passes), Answer::Outside(_)), "its round ends are not cut");
        let ends = [ring(1.0, 3.01, TAU)];
        assert!(matches!(found(&slot, &[passes[0], passes[1], ends[0]]), Answer::Outside(_)), "nor by a ring midway");
        let rounded: Vec<Region> = [-10.0, 10.0]
            .iter()
            .map(|x| {
                let arc = Arc { plane: Plane::Xy, centre: Point::new(*x, 0.0), radius: 1.0, start: 0.0, sweep: TAU };
                Region::Around(Flat::Round(arc, arc.at(0.0), arc.at(1.0)), 3.01)
            })
            .chain(passes)
            .collect();
        assert_eq!(found(&slot, &rounded), Answer::Within, "two passes and a ring at each end");
    }

    #[test]
    fn a_ring_leaves_an_island() {
        let hole = Region::disc(Point::new(0.0, 0.0), 7.99);
        let Answer::Outside(at) = found(&hole, &[ring(5.0, 3.0, TAU)]) else { panic!("an island is left") };
        assert!(at.distance(Point::new(0.0, 0.0)) < 2.0, "in the middle: {at:?}");
        assert_eq!(found(&hole, &[ring(5.0, 3.0, TAU), Region::disc(Point::new(0.0, 0.0), 2.1)]), Answer::Within);
        assert!(
            matches!(found(&hole, &[ring(5.0, 3.0, 6.0), ring(1.0, 3.0, TAU)]), Answer::Outside(_)),
            "not all round"
        );
    }

    #[test]
    fn slivers_are_found_down_to_the_bound() {
        let plate = Region::Box(Rect::new(Point::new(-5.0, -5.0), Point::new(5.0, 5.0)));
        let halves = |gap: f64| {
            [
                Region::Box(Rect::new(Point::new(-6.0, -6.0), Point::new(6.0, 0.1 - gap / 2.0))),
                Region::Box(Rect::new(Point::new(-6.0, 0.1 + gap / 2.0), Point::new(6.0, 6.0))),
            ]
        };
        assert!(matches!(found(&plate, &halves(0.004)), Answer::Outside(_) | Answer::Unsettled(_)), "0.004 mm is seen");
        assert_eq!(found(&plate, &halves(-0.01)), Answer::Within, "ways that overlap by 0.01 mm");
    }

    #[test]
    fn a_rounded_corner() {
        let corner =
            |radius: f64| Region::Corner { middle: Point::new(10.0 - radius, 5.0 - radius), radius, out: (1.0, 1.0) };
        let blank = Rect::new(Point::new(-10.0, -5.0), Point::new(10.0, 5.0));
        let middle = Point::new(8.0, 3.0);
        let arc = Arc { plane: Plane::Xy, centre: middle, radius: 2.0 + 3.0, start: -0.2, sweep: TAU / 4.0 + 0.4 };
        let cut = Region::Around(Flat::Round(arc, arc.at(0.0), arc.at(1.0)), 3.0);
        assert_eq!(within(&corner(1.98), blank, &[cut], 20_000), Answer::Within, "cut away, nearly to the radius");
        assert!(matches!(within(&corner(2.1), blank, &[cut], 20_000), Answer::Outside(_)), "not so far as R 2.1");
    }
}

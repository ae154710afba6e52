//! Slots, grooves and milled ends on the virtual first piece.

use super::fault::fault;
use super::flat::Flat;
use super::judge::{DUST, Judge};
use super::piece::{Cut, cuts};
use super::region::{Answer, Region};
use super::want::Trench;
use crate::geom::{Point, Rect};

/// What a slot or groove measures; nothing of what no pass has made.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Channel {
    pub(super) x: Option<f64>,
    pub(super) y: Option<f64>,
    pub(super) width: Option<f64>,
    pub(super) length: Option<f64>,
    pub(super) depth: Option<f64>,
    pub(super) line: usize,
}

/// What a milled end measures.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Ended {
    /// Where it stands along X.
    pub(super) at: Option<f64>,
    pub(super) corner: Option<f64>,
    pub(super) line: usize,
}

/// What lies no farther off than this, in millimetres, is meant for a feature: the arc that rounds a
/// corner, the passes of a slot.
const NEAR: f64 = 0.5;

/// A stretch between the ends of two passes that is shorter than this, in millimetres, is the
/// rounding of words.
const THIN: f64 = 0.01;
/// Walls no farther apart than this, in millimetres, are one: a word of 0.0001 in.
const SAME: f64 = 0.003;

/// Whichever of many values lies farthest from the one that is aimed at.
fn worst(values: &[f64], middle: f64) -> Option<f64> {
    values.iter().copied().max_by(|a, b| (a - middle).abs().total_cmp(&(b - middle).abs()))
}

/// The ends of a straight level pass along an axis, 0 X, 1 Y: from, to, and its place across.
fn pass(cut: &Cut, axis: usize) -> Option<(f64, f64, f64)> {
    let Flat::Straight(a, b) = cut.flat else { return None };
    let [along, across] = if axis == 0 { [(a.x, b.x), (a.y, b.y)] } else { [(a.y, b.y), (a.x, b.x)] };
    let straight = (across.0 - across.1).abs() < DUST && (along.0 - along.1).abs() > DUST;
    (straight && cut.point <= 0.0).then(|| (along.0.min(along.1), along.0.max(along.1), across.0))
}

impl Judge<'_> {
    /// Measures a slot or groove, and tells what is left in it.
    pub(super) fn channel(&mut self, index: usize) -> Channel {
        let mut found = Channel::default();
        let trench = &self.want.slots[index];
        let half = trench.slot.width.most().as_mm() / 2.0 + trench.off;
        let inside: Vec<(&Cut, (f64, f64, f64))> = self
            .piece
            .cuts
            .iter()
            .filter_map(|cut| Some((cut, pass(cut, 0)?)))
            .filter(|(cut, (_, _, y))| cut.high < 0.0 && (y - trench.at.y).abs() < half)
            .collect();
        let deep = |cut: &Cut| cut.high <= trench.shallow + 1e-6;
        let round = trench.slot.width.nominal.as_mm() / 2.0;
        let (low, high) = match &trench.slot.length {
            Some(length) => {
                let reach = (length.nominal.as_mm() / 2.0 - round).max(1e-3);
                (trench.at.x - reach, trench.at.x + reach)
            }
            None => (self.want.stock.low.x, self.want.stock.high.x),
        };
        let room = trench.widest().bounds().grown(NEAR);
        let whole = |cut: &&Cut| cut.point <= 0.0 && cut.high < 0.0 && pass(cut, 0).is_none();
        let bent: Vec<&Cut> = self
            .piece
            .cuts
            .iter()
            .filter(whole)
            .filter(|cut| {
                let bounds = cut.flat.bounds().grown(cut.radius);
                room.holds(bounds.low) && room.holds(bounds.high)
            })
            .collect();
        let floor = trench.shallow.max(self.want.bottom) + 1e-6;
        let (mut widths, mut middles) = (Vec::new(), Vec::new());
        let ends = inside.iter().flat_map(|(_, (from, to, _))| [*from, *to]);
        for x in cuts(low, high, ends).windows(2) {
            let middle = f64::midpoint(x[0], x[1]);
            let here = || inside.iter().filter(|(_, (from, to, _))| *from <= middle && *to >= middle);
            // What stands at most: cut all the way down; what stands at least: cut at all.
            for all in [false, true] {
                let these = || here().filter(|(cut, _)| all || deep(cut));
                let straight = |back: bool| {
                    let wall =
                        |(cut, (_, _, y)): &(&Cut, (f64, f64, f64))| if back { y + cut.radius } else { cut.radius - y };
                    these().map(wall).reduce(f64::max)
                };
                // Ways that are no straight passes along it: how far any of them reaches here, its
                // roundness beside the stretch left out.
                let around = |back: bool, beside: f64| {
                    let here = bent.iter().filter(|cut| all || deep(cut));
                    let reach = here.filter_map(|cut| {
                        let more = beside.min(cut.radius);
                        let (front, rear) = cut.flat.across(x[0] - more, x[1] + more)?;
                        Some(cut.radius + if back { rear } else { -front })
                    });
                    reach.reduce(f64::max)
                };
                // The roundness of any tool clears what is as thin as this.
                let thin = x[1] - x[0] < THIN;
                let wall = |back: bool| {
                    let wall = straight(back);
                    let beyond = |far: &f64| wall.is_none_or(|wall| *far > wall + SAME);
                    if thin {
                        wall
                    } else if all {
                        around(back, THIN).filter(beyond).or(wall)
                    } else if around(back, f64::INFINITY).is_some_and(|far| beyond(&far)) {
                        Some(self.free_to(trench, x, back, floor).max(wall.unwrap_or(f64::NEG_INFINITY)))
                    } else {
                        wall
                    }
                };
                if let (Some(back), Some(front)) = (wall(true), wall(false)) {
                    widths.push(back + front);
                    middles.push((back - front) / 2.0);
                }
            }
        }
        found.width = worst(&widths, trench.slot.width.middle().as_mm());
        found.y = worst(&middles, trench.at.y);
        // Its ends are as far as anything reaches that goes all the way down within it.
        let down = || {
            let whole = self.piece.cuts.iter().filter(|cut| cut.point <= 0.0 && deep(cut));
            let bounds = whole.map(|cut| cut.flat.bounds().grown(cut.radius));
            bounds.filter(|bounds| room.holds(bounds.low) && room.holds(bounds.high))
        };
        let right = down().map(|bounds| bounds.high.x).reduce(f64::max);
        let left = down().map(|bounds| bounds.low.x).reduce(f64::min);
        if let (Some(left), Some(right), Some(_)) = (left, right, &trench.slot.length) {
            found.length = Some(right - left);
            found.x = Some(f64::midpoint(left, right));
        }
        let all = inside.iter().map(|(cut, _)| *cut).chain(bent);
        let lowest = all.min_by(|a, b| a.low.total_cmp(&b.low));
        found.depth = lowest.map(|cut| -cut.low);
        found.line = lowest.map_or(0, |cut| cut.line);
        self.left_in(index, floor, found.line);
        found
    }

    /// Tells what stands in a slot or groove where nothing should.
    fn left_in(&mut self, index: usize, floor: f64, line: usize) {
        let trench = &self.want.slots[index];
        let cleared = self.piece.cleared(&trench.narrowest(), floor, self.want.stock);
        if let Answer::Outside(place) | Answer::Unsettled(place) = cleared {
            let what = format!(
                "Material is left in `{}` at X {} Y {}, above Z {}.",
                trench.feature,
                self.say(place.x),
                self.say(place.y),
                self.say(floor)
            );
            self.tell(line, fault("proof/left-over", what, "What should lie in the slot does not go in."));
        }
    }

    /// How far from its middle line a slot is free between two places along it, on one side: for ways
    /// that are no straight passes, to the bound of [`within`](super::region::within).
    fn free_to(&self, trench: &Trench<'_>, x: &[f64], back: bool, floor: f64) -> f64 {
        let side = if back { 1.0 } else { -1.0 };
        let [from, to] = [x.first(), x.last()].map(|x| x.copied().unwrap_or(trench.at.x));
        let free = |away: f64| {
            let ends = [trench.at.y, trench.at.y + side * away];
            let low = Point::new(from, ends[0].min(ends[1]));
            let region = Region::Box(Rect::new(low, Point::new(to, ends[0].max(ends[1]))));
            self.piece.cleared(&region, floor, self.want.stock) == Answer::Within
        };
        let (mut good, mut bad) = (0.0, trench.slot.width.most().as_mm() + NEAR);
        for _ in 0..16 {
            let middle = f64::midpoint(good, bad);
            if free(middle) { good = middle } else { bad = middle }
        }
        // The wall's place, as the straight passes give it.
        good + side * trench.at.y
    }

    /// Measures the end that is milled in this setup, and tells what is left of the blank there.
    pub(super) fn ended(&mut self) -> Ended {
        let mut found = Ended::default();
        let Some(end) = &self.want.end else { return found };
        let round = end.corner.map_or(0.0, |corner| corner.most().as_mm());
        let reach = (end.half - round).max(1e-3);
        let all: Vec<(&Cut, (f64, f64, f64))> = self
            .piece
            .cuts
            .iter()
            .filter_map(|cut| Some((cut, pass(cut, 1)?)))
            .filter(|(cut, (_, _, x))| cut.high < 0.0 && *x > 0.0 && x - cut.radius < self.want.stock.high.x)
            .collect();
        let through = self.want.bottom + 1e-6;
        let mut places = Vec::new();
        for y in cuts(-reach, reach, all.iter().flat_map(|(_, (from, to, _))| [*from, *to])).windows(2) {
            let middle = f64::midpoint(y[0], y[1]);
            for any in [false, true] {
                let here = all
                    .iter()
                    .filter(|(cut, (from, to, _))| *from <= middle && *to >= middle && (any || cut.high <= through));
                places.extend(here.map(|(cut, (_, _, x))| x - cut.radius).reduce(f64::min));
            }
        }
        found.at = worst(&places, f64::midpoint(end.least, end.most));
        found.line = all.iter().min_by(|a, b| a.1.2.total_cmp(&b.1.2)).map_or(0, |(cut, _)| cut.line);
        if let Some(corner) = end.corner {
            let mut radii = Vec::new();
            let nominal = corner.nominal.as_mm();
            for side in [-1.0, 1.0] {
                let middle = Point::new(end.at - nominal, side * (end.half - nominal));
                let arcs = self.piece.cuts.iter().filter_map(|cut| match cut.flat {
                    Flat::Round(arc, ..) if cut.high <= through && arc.centre.distance(middle) < NEAR => {
                        Some(arc.radius - cut.radius)
                    }
                    _ => None,
                });
                let Some(least) = arcs.reduce(f64::min) else { continue };
                radii.push(least);
            }
            found.corner = if radii.len() == 2 { worst(&radii, corner.middle().as_mm()) } else { None };
        }
        let half = end.half;
        let beyond =
            Region::Box(Rect::new(Point::new(end.most, -half), Point::new(self.want.stock.high.x.max(end.most), half)));
        let mut left = vec![beyond];
        left.extend(end.corners(|corner| corner.least().as_mm() - 0.003, end.most));
        let places: Vec<Point> = left
            .iter()
            .filter_map(|region| match self.piece.cleared(region, through, self.want.stock) {
                Answer::Within => None,
                Answer::Outside(place) | Answer::Unsettled(place) => Some(place),
            })
            .collect();
        for place in places {
            let what = format!(
                "Material is left at the end that is milled, at X {} Y {}, down to the bottom.",
                self.say(place.x),
                self.say(place.y)
            );
            self.tell(0, fault("proof/left-over", what, "The part is too long, or a corner stands."));
        }
        found
    }
}

//! Slots, grooves and milled ends on the virtual first piece.

use super::fault::fault;
use super::flat::Flat;
use super::judge::{DUST, Judge};
use super::piece::{Cut, cuts};
use super::region::{Answer, Region};
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
        let (mut widths, mut middles) = (Vec::new(), Vec::new());
        let ends = inside.iter().flat_map(|(_, (from, to, _))| [*from, *to]);
        for x in cuts(low, high, ends).windows(2) {
            let middle = f64::midpoint(x[0], x[1]);
            let here = || inside.iter().filter(|(_, (from, to, _))| *from <= middle && *to >= middle);
            // What stands at most: cut all the way down; what stands at least: cut at all.
            for all in [false, true] {
                let these = || here().filter(|(cut, _)| all || deep(cut));
                let back = these().map(|(cut, (_, _, y))| y + cut.radius).reduce(f64::max);
                let front = these().map(|(cut, (_, _, y))| y - cut.radius).reduce(f64::min);
                if let (Some(back), Some(front)) = (back, front) {
                    widths.push(back - front);
                    middles.push(f64::midpoint(back, front));
                }
            }
        }
        found.width = worst(&widths, trench.slot.width.middle().as_mm());
        found.y = worst(&middles, trench.at.y);
        // Its ends are as far as anything reaches that goes all the way down within it.
        let room = trench.widest().bounds().grown(NEAR);
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
        let lowest = inside.iter().min_by(|a, b| a.0.low.total_cmp(&b.0.low));
        found.depth = lowest.map(|(cut, _)| -cut.low);
        found.line = lowest.map_or(0, |(cut, _)| cut.line);
        let floor = trench.shallow.max(self.want.bottom) + 1e-6;
        if let Answer::Outside(place) | Answer::Unsettled(place) =
            self.piece.cleared(&trench.narrowest(), floor, self.want.stock)
        {
            let what = format!(
                "Material is left in `{}` at X {} Y {}, above Z {}.",
                trench.feature,
                self.say(place.x),
                self.say(place.y),
                self.say(floor)
            );
            self.tell(found.line, fault("proof/left-over", what, "What should lie in the slot does not go in."));
        }
        found
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

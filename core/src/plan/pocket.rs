//! Milling what has round ends: slots, and holes and counterbores, which are slots of no length.
//!
//! The cutter goes down in a ramp along its innermost lap, clears the level lap by lap to the
//! outside, and goes round against the clock, which is climb milling inside.

use super::bench::{Bench, CLEAR, NEAR, whole};
use super::mill::{self, ALLOWANCE, Running};
use super::model::{At, Move, Position, Turn};
use super::thread::centre_feed;
use crate::part::Place;
use crate::quantity::{Feed, Length, fixed};

/// What is milled out, from the face down.
#[derive(Clone, Copy, Debug)]
pub(super) struct Pocket {
    /// Half of the distance between the middles of its round ends, along X.
    pub(super) half: Length,
    /// Radius of its round ends: half of its width.
    pub(super) wall: Length,
    /// How deep.
    pub(super) deep: Length,
}

/// So steeply a mill ramps down, as rise over run: 3°. Common practice, no source.
const SLOPE: f64 = 0.05;

/// The ramp begins so far above the face: room for a bar that is thicker than it should be.
/// Common practice, no source.
const ABOVE: Length = Length::mm(0.3);

/// The way from lap to lap, in diameters. Common practice, no source.
const STEP_OVER: f64 = 0.4;

/// The radius of the first lap, as a share of the cutter's: no pin stays in its middle.
const FIRST: f64 = 0.8;

/// How a pocket is divided for one cutter.
pub(super) struct Way {
    pocket: Pocket,
    /// Radii of the laps of one level, from the inside.
    lanes: Vec<Length>,
    levels: u32,
    /// Radius of the last lap and its levels; nothing where the cutter cuts its own width.
    finish: Option<(Length, u32)>,
    radius: Length,
    step: Length,
    feed: Feed,
    air: Feed,
    /// Power of the roughing cut, in watts.
    pub(super) watts: f64,
    /// In words.
    pub(super) said: Vec<String>,
}

impl Way {
    pub(super) fn of(bench: &Bench<'_>, run: &Running, pocket: Pocket) -> Self {
        let step = bench.step();
        let radius = run.radius();
        let material = &bench.part.material;
        let last = (pocket.wall - radius).to_nearest(step * 2.0);
        let half = pocket.half.to_nearest(step);
        let own = last < ALLOWANCE - step / 2.0;
        let widest = if own { Length::ZERO } else { (last - ALLOWANCE).to_nearest(step).max(Length::ZERO) };
        let first = widest.min(radius * FIRST).to_nearest(step);
        let more = whole((widest - first) / (run.tool.diameter * STEP_OVER), 200);
        let mut lanes = vec![first];
        if widest > first + step {
            let far = |lane: u32| first + (widest - first) * (f64::from(lane) / f64::from(more));
            lanes.extend((1..=more).map(|lane| far(lane).to_nearest(step)));
        }
        let (levels, cut) = mill::slot_steps(bench, run, pocket.deep);
        let finish = (!own).then(|| {
            let (axial, _) = mill::side(material.group);
            (last, mill::steps(bench, run, pocket.deep, ALLOWANCE, axial).0)
        });
        let mut said = vec![format!(
            "{} deep in {levels} step{}, each {}, down a ramp of 3°; {} lap{} a step; at most {} N on a tooth",
            bench.say(pocket.deep),
            mill::plural(levels),
            bench.say(cut.depth),
            lanes.len(),
            if lanes.len() == 1 { "" } else { "s" },
            fixed(cut.peak(material).as_newton(), 0)
        )];
        if let Some((_, steps)) = finish {
            said.push(format!(
                "{} left for the wall, in {steps} step{} and once more at full depth",
                bench.say(ALLOWANCE),
                mill::plural(steps)
            ));
        }
        let watts = cut.watts(material);
        let pocket = Pocket { half, ..pocket };
        Self { pocket, lanes, levels, finish, radius, step, feed: run.feed, air: bench.air(), watts, said }
    }

    /// Whether there is a finish.
    pub(super) const fn finishes(&self) -> bool {
        self.finish.is_some()
    }

    /// Takes out all but the allowance.
    pub(super) fn rough(&self, place: Place, moves: &mut Vec<Move>) {
        let at = self.snapped(place);
        let inner = self.lanes.first().copied().unwrap_or(Length::ZERO);
        let begin = |lane: Length| {
            if lane > Length::ZERO { At::xy(at.x, at.y - lane) } else { At::xy(at.x - self.pocket.half, at.y) }
        };
        moves.push(Move::Rapid { to: begin(inner) });
        moves.push(Move::Rapid { to: At::z(NEAR) });
        moves.push(Move::Feed { to: At::z(ABOVE), feed: self.air });
        let mut z = ABOVE;
        let round = self.length(inner);
        for level in 1..=self.levels {
            let floor = -self.pocket.deep * (f64::from(level) / f64::from(self.levels));
            let laps = whole((z - floor) / (round * SLOPE).max(Length::mm(0.01)), 500);
            let from = z;
            for lap in 1..=laps {
                let next = from + (floor - from) * (f64::from(lap) / f64::from(laps));
                self.lap(moves, at, inner, z, next);
                z = next;
            }
            z = floor;
            // Level before it goes outward, or ends. Where there is one lap alone, the next ramp
            // takes all along it what this one left: as deep as the ramp falls in a lap, no deeper.
            if self.lanes.len() > 1 || level == self.levels {
                self.lap(moves, at, inner, z, z);
            }
            for lane in self.lanes.iter().skip(1) {
                moves.push(Move::Feed { to: begin(*lane), feed: self.feed });
                self.lap(moves, at, *lane, z, z);
            }
            if self.lanes.len() > 1 && level < self.levels {
                moves.push(Move::Feed { to: begin(inner), feed: self.feed });
            }
        }
        if inner > Length::ZERO {
            // Off the wall before it goes up.
            moves.push(Move::Feed { to: At::xy(at.x, at.y), feed: self.feed });
        }
        moves.push(Move::Rapid { to: At::z(CLEAR) });
    }

    /// The wall to size, in its steps, and once more at full depth so that a bent cutter springs
    /// back; in and out along a half circle from the middle.
    pub(super) fn finish(&self, place: Place, moves: &mut Vec<Move>) {
        let Some((radius, levels)) = self.finish else { return };
        let at = self.snapped(place);
        moves.push(Move::Rapid { to: At::xy(at.x, at.y) });
        moves.push(Move::Rapid { to: At::z(NEAR) });
        let middle = Place { x: at.x, y: at.y - radius / 2.0 };
        let floors = (1..=levels).map(|level| -self.pocket.deep * (f64::from(level) / f64::from(levels)));
        let mut last = None;
        for z in floors.chain([-self.pocket.deep]) {
            let arc = |y: Length| Move::Arc {
                to: Position { x: at.x, y, z },
                centre: middle,
                turn: Turn::CounterClockwise,
                feed: self.round(radius / 2.0),
            };
            if last != Some(z) {
                moves.push(Move::Feed { to: At::z(z), feed: self.air });
            }
            last = Some(z);
            moves.push(arc(at.y - radius));
            self.lap(moves, at, radius, z, z);
            moves.push(arc(at.y));
        }
        moves.push(Move::Rapid { to: At::z(CLEAR) });
    }

    fn snapped(&self, place: Place) -> Place {
        Place { x: place.x.to_nearest(self.step), y: place.y.to_nearest(self.step) }
    }

    /// Feed of the cutter's middle on an arc inside, so that its edge keeps the feed.
    fn round(&self, radius: Length) -> Feed {
        centre_feed(self.feed, (radius + self.radius) * 2.0, self.radius * 2.0)
    }

    /// Length of one lap.
    fn length(&self, radius: Length) -> Length {
        self.pocket.half * 4.0 + radius * (2.0 * std::f64::consts::PI)
    }

    /// One lap from the middle of the near wall round to there, falling evenly.
    fn lap(&self, moves: &mut Vec<Move>, at: Place, radius: Length, from: Length, to: Length) {
        let half = self.pocket.half;
        if radius <= Length::ZERO {
            // As wide as the cutter: there and back.
            let level = (from - to).abs() < Length::mm(1e-9);
            for (x, share) in [(at.x + half, 0.5), (at.x - half, 1.0)] {
                let z = (!level).then(|| from + (to - from) * share);
                moves.push(Move::Feed { to: At { x: Some(x), y: None, z }, feed: self.feed });
            }
            return;
        }
        let arc = |x: Length, y: Length, z: Length, middle: Length| Move::Arc {
            to: Position { x, y, z },
            centre: Place { x: middle, y: at.y },
            turn: Turn::CounterClockwise,
            feed: self.round(radius),
        };
        if half <= Length::ZERO {
            moves.push(arc(at.x, at.y - radius, to, at.x));
            return;
        }
        let whole = self.length(radius);
        let turn = radius * std::f64::consts::PI;
        let level = (from - to).abs() < Length::mm(1e-9);
        let down = |way: Length| if level { to } else { from + (to - from) * (way / whole) };
        let straight = |x: Length, way: Length| Move::Feed {
            to: At { x: Some(x), y: None, z: (!level).then(|| down(way)) },
            feed: self.feed,
        };
        moves.push(straight(at.x + half, half));
        moves.push(arc(at.x + half, at.y + radius, down(half + turn), at.x + half));
        moves.push(straight(at.x - half, half * 3.0 + turn));
        moves.push(arc(at.x - half, at.y - radius, down(half * 3.0 + turn * 2.0), at.x - half));
        moves.push(straight(at.x, whole));
    }
}

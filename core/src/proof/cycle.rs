//! Canned cycles written out (NISTIR 6556, 3.5.16), in any plane and either distance mode.

use super::expression::whole;
use super::fault::{Fault, fault, stops};
use super::machine::Machine;
use super::modal::Line;
use super::motion::Path;
use super::state::Turn;
use super::trace::Event;
use crate::quantity::Time;

/// How far above the last depth a peck comes back in rapid. The report says "a bit" (3.5.16.4);
/// 0.010 inch is the figure of its own interpreter, from memory.
const PECK_BACK: f64 = 0.254;

/// A stroke that ends no farther above its bottom than this has arrived, in millimetres.
const ARRIVED: f64 = 1e-9;

/// The most repeats of one line, and the most pecks of one stroke: whoever asks for more has slipped
/// by a figure.
const MOST_STROKES: u32 = 10_000;

/// What one stroke makes at most: down, a wait or a way up, and back; and what comes before the
/// strokes of a hole: to its place, and to R.
const OF_STROKE: f64 = 3.0;
const OF_HOLE: f64 = 2.0;

impl Machine<'_> {
    pub(super) fn cycle(&mut self, line: &Line) -> Result<(), Fault> {
        let code = self.state.motion;
        if self.state.inverse_time == Some(true) {
            return Err(stops("proof/cycle", "A drilling cycle may not stand under G93."));
        }
        self.feed_known(line)?;
        let plane = self.plane_known();
        let (first, second, up) = plane.axes();
        self.keep(line, code, up);
        let sticky = self.state.sticky;
        let (Some(r), Some(z)) = (sticky.r, sticky.z) else {
            return Err(stops("proof/cycle", "The drilling cycle lacks its R or its depth."));
        };
        let repeats = match line.l {
            None => 1,
            Some(times) => whole(times)
                .and_then(|times| u32::try_from(times).ok())
                .filter(|times| *times > 0)
                .ok_or_else(|| stops("proof/cycle", "L needs a whole number above zero."))?,
        };
        if repeats > MOST_STROKES {
            return Err(stops("proof/cycle", format!("L would repeat the cycle more than {MOST_STROKES} times.")));
        }
        let [Some(x), Some(y), Some(old)] = [first, second, up].map(|axis| self.state.at[axis]) else {
            return self.unknown(line, [first, second, up]);
        };
        let relative = self.state.incremental == Some(true);
        let shift = self.shift();
        let (near, bottom) = if relative {
            let near = old + self.mm(r);
            (near, near + self.mm(z))
        } else {
            (self.mm(r) + shift[up], self.mm(z) + shift[up])
        };
        if near < bottom - 1e-9 {
            return Err(stops("proof/cycle", "R lies below the bottom of the hole."));
        }
        let strokes = if code == 830 { self.pecks(near, bottom)? } else { 1.0 };
        self.room_for(f64::from(repeats) * (strokes * OF_STROKE + OF_HOLE))?;
        let clear = self.clear(old, near);
        let mut stroke = Stroke { machine: self, axes: [first, second, up], code };
        if old < near {
            stroke.rise(near, true);
        }
        let (mut x, mut y) = (x, y);
        for _ in 0..repeats {
            for (axis, place) in [(first, &mut x), (second, &mut y)] {
                if let Some(value) = line.axes[axis] {
                    let value = stroke.machine.mm(value);
                    *place = if relative { *place + value } else { value + shift[axis] };
                }
            }
            stroke.aside(x, y);
            if stroke.height() > near || stroke.height() < near {
                stroke.rise(near, true);
            }
            stroke.drill(near, bottom, clear)?;
        }
        Ok(())
    }

    /// How many pecks go from one height to another.
    fn pecks(&self, near: f64, bottom: f64) -> Result<f64, Fault> {
        let depth = self.state.sticky.q.map_or(0.0, |q| self.mm(q));
        if depth <= 0.0 {
            return Err(stops("proof/cycle", "G83 needs Q, the depth of a peck, above zero."));
        }
        let pecks = ((near - bottom - ARRIVED) / depth).ceil().max(1.0);
        if pecks > f64::from(MOST_STROKES) {
            return Err(stops("proof/cycle", format!("G83 would peck more than {MOST_STROKES} times.")));
        }
        Ok(pecks)
    }

    /// R and Z stay from line to line; Q and P too, as the sample of appendix C.3 needs them.
    fn keep(&mut self, line: &Line, code: i64, up: usize) {
        let sticky = &mut self.state.sticky;
        if sticky.cycle != code {
            sticky.cycle = code;
            // Another cycle keeps R and Z (3.5.16.1), not what only the last one needs.
            sticky.p = None;
            sticky.q = None;
        }
        sticky.r = line.r.or(sticky.r);
        sticky.z = line.axes[up].or(sticky.z);
        sticky.p = line.p.or(sticky.p);
        sticky.q = line.q.or(sticky.q);
    }

    fn clear(&mut self, old: f64, near: f64) -> f64 {
        if self.state.to_old.is_none() && old > near + 1e-9 {
            self.breach(fault(
                "proof/return-not-set",
                "A drilling cycle stands before G98 or G99.",
                "Whether the tool goes back to R or all the way up depends on the program before.",
            ));
            self.state.to_old = Some(true);
        }
        if self.state.to_old == Some(true) { old.max(near) } else { near }
    }

    /// The first cycle line after a tool change may name X and Y; the height must be known.
    fn unknown(&mut self, line: &Line, axes: [usize; 3]) -> Result<(), Fault> {
        let [first, second, up] = axes;
        let named = line.axes[first].is_some() && line.axes[second].is_some();
        if self.state.at[up].is_some() && named && self.state.incremental == Some(false) {
            let to = self.target(&Line { axes: Line::only(line, [first, second]), ..Line::default() })?;
            let flat = Line { axes: Line::only(line, [first, second]), ..Line::default() };
            self.go(to, Path::Line, true, 0, &flat);
            return self.cycle(line);
        }
        Err(fault(
            "proof/place-unknown",
            "A drilling cycle starts at a place or height that the program does not say.",
            "It drills and returns to wherever the machine happened to stand.",
        ))
    }
}

impl Line {
    /// The axis words of a line, only those of some axes.
    fn only(line: &Self, axes: [usize; 2]) -> [Option<f64>; 3] {
        let mut some = [None; 3];
        for axis in axes {
            some[axis] = line.axes[axis];
        }
        some
    }
}

struct Stroke<'m, 'b> {
    machine: &'m mut Machine<'b>,
    axes: [usize; 3],
    code: i64,
}

impl Stroke<'_, '_> {
    fn height(&self) -> f64 {
        self.machine.state.at[self.axes[2]].unwrap_or(0.0)
    }

    fn rise(&mut self, to: f64, rapid: bool) {
        let mut place = self.machine.state.at;
        place[self.axes[2]] = Some(to);
        self.go(place, rapid);
    }

    fn aside(&mut self, x: f64, y: f64) {
        let mut place = self.machine.state.at;
        place[self.axes[0]] = Some(x);
        place[self.axes[1]] = Some(y);
        self.go(place, true);
    }

    fn go(&mut self, place: [Option<f64>; 3], rapid: bool) {
        if place == self.machine.state.at {
            return;
        }
        let cycle = u8::try_from(self.code / 10).unwrap_or(0);
        let all = Line { axes: [Some(0.0); 3], ..Line::default() };
        self.machine.go(place, Path::Line, rapid, cycle, &all);
    }

    fn dwell(&mut self) -> Result<(), Fault> {
        let seconds =
            self.machine.state.sticky.p.ok_or_else(|| stops("proof/cycle", "The drilling cycle lacks its P."))?;
        self.machine.out.events.push(Event::Dwell { line: self.machine.line, time: Time::second(seconds) });
        Ok(())
    }

    fn drill(&mut self, near: f64, bottom: f64, clear: f64) -> Result<(), Fault> {
        match self.code {
            810 => {
                self.rise(bottom, false);
                self.rise(clear, true);
            }
            820 => {
                self.rise(bottom, false);
                self.dwell()?;
                self.rise(clear, true);
            }
            830 => self.peck(near, bottom, clear),
            840 => {
                self.machine.breach(fault(
                    "proof/synchronised",
                    "G84 taps with the spindle in step with the feed.",
                    "This spindle is not in step; the tap breaks.",
                ));
                self.rise(bottom, false);
                let turn = self.machine.state.turn;
                self.machine.state.turn = Turn::Counter;
                self.rise(clear, false);
                self.machine.state.turn = turn;
            }
            850 => {
                self.rise(bottom, false);
                self.rise(clear, false);
            }
            890 => {
                self.rise(bottom, false);
                self.dwell()?;
                self.rise(clear, false);
            }
            860 | 880 => {
                self.rise(bottom, false);
                self.dwell()?;
                let turn = self.machine.state.turn;
                self.machine.state.turn = Turn::Stands;
                self.rise(clear, true);
                self.machine.state.turn = turn;
            }
            _ => {
                return Err(fault(
                    "proof/synchronised",
                    "G87 bores from below with the spindle stopped at an angle.",
                    "This spindle cannot stop at an angle; the tool strikes the edge of the hole.",
                ));
            }
        }
        Ok(())
    }

    fn peck(&mut self, near: f64, bottom: f64, clear: f64) {
        let depth = self.machine.state.sticky.q.map_or(0.0, |q| self.machine.mm(q));
        let mut at = near;
        loop {
            let next = (at - depth).max(bottom);
            self.rise(next, false);
            self.rise(clear, true);
            // So far from zero that a peck is lost in the rounding, it would never arrive.
            if next <= bottom + ARRIVED || next >= at {
                return;
            }
            self.rise((next + PECK_BACK).min(clear), true);
            at = next;
        }
    }
}

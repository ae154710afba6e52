//! Lines that move: what must be stated before, where they end, and how they go.

use super::arc::{self, Wanted};
use super::fault::{Fault, fault, stops};
use super::machine::Machine;
use super::modal::{Group, Line};
use super::motion::{Motion, Path, Plane, Tip};
use super::state::Sticky;
use super::trace::Event;
use crate::quantity::{Feed, Time, Unit};
use crate::shop::{ArcCentre, LengthOffset};

impl Machine<'_> {
    pub(super) fn motion(&mut self, line: &Line) -> Result<(), Fault> {
        if let Some(code) = line.code(Group::Motion) {
            self.state.motion = code;
            if !(810..=890).contains(&code) {
                self.state.sticky = Sticky::default();
            }
        }
        let used = matches!(line.code(Group::Still), Some(100 | 280 | 300 | 920));
        if !line.any_axis() || used {
            return if (810..=890).contains(&line.code(Group::Motion).unwrap_or(0)) {
                Err(stops("proof/no-axis", "The drilling cycle names neither X, Y nor Z."))
            } else {
                Ok(())
            };
        }
        self.state_modes();
        if line.code(Group::Still) == Some(530) {
            return self.machine_move(line);
        }
        self.ready()?;
        match self.state.motion {
            0 => {
                let to = self.target(line)?;
                self.go(to, Path::Line, true, 0, line);
                Ok(())
            }
            10 => {
                self.feed_known(line)?;
                let to = self.target(line)?;
                self.go(to, Path::Line, false, 0, line);
                Ok(())
            }
            20 | 30 => self.arc(line),
            382 => self.probe(line),
            _ => self.cycle(line),
        }
    }

    /// Units and distance mode must be stated before the first coordinate.
    fn state_modes(&mut self) {
        if self.state.unit.is_none() {
            self.breach(fault(
                "proof/units-not-set",
                "A coordinate stands before G20 or G21.",
                "The machine moves in the unit of the program before: 25.4 times too far, or too short.",
            ));
            self.state.unit = Some(self.bench.unit);
        }
        if self.state.incremental.is_none() {
            self.breach(fault(
                "proof/distance-mode-not-set",
                "A coordinate stands before G90 or G91.",
                "After an interrupted program the control may still count from where it stands.",
            ));
            self.state.incremental = Some(false);
        }
    }

    /// Work offset, tool and its length must be there before a move in the work's coordinates.
    fn ready(&mut self) -> Result<(), Fault> {
        if self.state.system.is_none() {
            if self.bench.system.is_some() {
                self.breach(fault(
                    "proof/work-offset",
                    "A move stands before any work offset (G54 to G59.3).",
                    "After an interrupted program another offset may be active; every move goes somewhere else.",
                ));
            }
            self.state.system = Some(self.bench.system.unwrap_or(0));
        }
        if !self.state.radius_stated && self.bench.of_shop() {
            self.state.radius_stated = true;
            self.breach(fault(
                "proof/radius-compensation",
                "A move stands before G40.",
                "After an interrupted program the control may still keep the cutter a radius beside its way.",
            ));
        }
        let Some(tool) = self.state.tool else {
            self.state.tool = Some(0);
            return Err(fault(
                "proof/no-tool",
                "The machine moves before a tool is called.",
                "Whatever stands in the spindle moves, with a length that nobody has set.",
            ));
        };
        let right = match self.bench.control.length_offset {
            LengthOffset::Table => self.state.length == Some(tool),
            LengthOffset::TouchOff => true,
        };
        if !right && self.bench.fitted.is_none() {
            let what = match self.state.length {
                None | Some(0) => format!("The machine moves with tool {tool} and no length offset."),
                Some(other) => format!("The machine moves with tool {tool} and the length offset of tool {other}."),
            };
            self.breach(fault(
                "proof/length-offset",
                what,
                "The tip is higher or lower than the program says by the difference of two tools.",
            ));
        }
        Ok(())
    }

    pub(super) fn unit(&self) -> Unit {
        self.state.unit.unwrap_or(self.bench.unit)
    }

    pub(super) fn mm(&self, value: f64) -> f64 {
        self.unit().length(value).as_mm()
    }

    /// What is added to a programmed coordinate to have it in the part's axes.
    pub(super) fn shift(&self) -> [f64; 3] {
        let origin = self.state.system.and_then(|system| self.state.origins[system]).unwrap_or_default();
        [0, 1, 2].map(|axis| origin[axis] + self.state.shift[axis])
    }

    pub(super) fn target(&self, line: &Line) -> Result<[Option<f64>; 3], Fault> {
        let shift = self.shift();
        let mut to = self.state.at;
        for axis in 0..3 {
            let Some(value) = line.axes[axis] else { continue };
            to[axis] = if self.state.incremental == Some(true) {
                let from = self.state.at[axis].ok_or_else(|| {
                    fault(
                        "proof/place-unknown",
                        "The move counts from where the tool stands, and the program does not say where that is.",
                        "It ends wherever the program before, or the last tool, left the machine.",
                    )
                })?;
                Some(from + self.mm(value))
            } else {
                Some(self.mm(value) + shift[axis])
            };
            if to[axis].is_some_and(|place| place.abs() > 1e6) {
                return Err(stops("proof/travel", "The coordinate is farther away than any machine reaches."));
            }
        }
        Ok(to)
    }

    /// Moves; where an end of the way is not known, says so instead.
    pub(super) fn go(&mut self, to: [Option<f64>; 3], path: Path, rapid: bool, cycle: u8, line: &Line) {
        let aside = line.axes[0].is_some() || line.axes[1].is_some();
        let tool = self.state.tool.unwrap_or(0);
        let parked = self.state.parked && to[2] == self.state.at[2];
        let from = self.state.at;
        if aside && to[2].is_none() && !parked {
            self.out.events.push(Event::HeightUnknown { line: self.line });
        } else if let [Some(x), Some(y), Some(z)] = to {
            let to = Tip::new(x, y, z);
            let start = Tip::new(from[0].unwrap_or(x), from[1].unwrap_or(y), from[2].unwrap_or(z));
            if aside && from[2].is_none() && !self.state.parked {
                // X, Y and Z at once from an unknown height: the way down is not known.
                self.out.events.push(Event::HeightUnknown { line: self.line });
            }
            self.push(start, to, path, rapid, cycle);
        } else {
            self.out.events.push(Event::Blind { line: self.line, tool, to, aside, parked });
        }
        self.state.parked = parked;
        self.state.at = to;
    }

    fn push(&mut self, from: Tip, to: Tip, path: Path, rapid: bool, cycle: u8) {
        let far =
            [from.x, from.y, from.z, to.x, to.y, to.z].iter().any(|place| !place.is_finite() || place.abs() > 1e6);
        if far {
            return self.breach(stops("proof/travel", "The move goes farther away than any machine reaches."));
        }
        let exact = self.state.exact == Some(true);
        let mut motion = Motion {
            line: self.line,
            from,
            to,
            path,
            rapid,
            feed: Feed::ZERO,
            tool: self.state.tool.unwrap_or(0),
            spindle: self.spindle(),
            cycle,
            t0: Time::ZERO,
            t1: Time::ZERO,
        };
        if !rapid {
            let word = self.state.feed.unwrap_or(0.0);
            motion.feed = if self.state.inverse_time == Some(true) {
                Feed::mm_per_min(motion.length() * word)
            } else {
                Feed::mm_per_min(self.mm(word))
            };
        }
        self.out.events.push(Event::Move(motion, exact));
    }

    pub(super) fn feed_known(&mut self, line: &Line) -> Result<(), Fault> {
        let lost = "The control stops with an alarm, or creeps.";
        self.cutting_modes();
        if self.state.inverse_time == Some(true) {
            return if line.f.is_some_and(|feed| feed > 0.0) {
                Ok(())
            } else {
                Err(fault("proof/feed-missing", "Under G93 every cutting line needs its own F.", lost))
            };
        }
        if self.state.feed.is_none_or(|feed| feed <= 0.0) {
            return Err(fault("proof/feed-missing", "The tool is to cut and no feed was stated.", lost));
        }
        if !self.state.feed_fresh && self.bench.fitted.is_none() {
            self.state.feed_fresh = true;
            self.breach(fault(
                "proof/feed-missing",
                "The tool is to cut and no feed was stated since the tool or the unit changed.",
                "It cuts at the feed of the tool before.",
            ));
        }
        Ok(())
    }

    /// Feed mode and path mode must be as the program means them before the tool cuts.
    fn cutting_modes(&mut self) {
        if !self.bench.of_shop() || self.bench.fitted.is_some() {
            return;
        }
        if self.state.inverse_time.is_none() {
            self.breach(fault(
                "proof/feed-mode-not-set",
                "The tool is to cut before G93 or G94.",
                "After an interrupted program F may still count how often a minute the move goes; the tool shoots off.",
            ));
            self.state.inverse_time = Some(false);
        }
        let mode = self.bench.control.path_mode.as_deref().filter(|mode| mode.starts_with("G61"));
        if let (Some(mode), None | Some(false)) = (mode, self.state.exact) {
            let what = match self.state.exact {
                Some(_) => format!("The tool is to cut under G64; this control's profile goes by {mode}."),
                None => format!("The tool is to cut before {mode}, by which this control's profile goes."),
            };
            self.breach(fault(
                "proof/path-mode",
                what,
                "Corners and the bottoms of strokes are rounded off by as much as the control likes.",
            ));
        }
    }

    fn arc(&mut self, line: &Line) -> Result<(), Fault> {
        self.feed_known(line)?;
        let plane = self.plane_known();
        let to = self.target(line)?;
        let tip = |place: [Option<f64>; 3]| Some(Tip::new(place[0]?, place[1]?, place[2]?));
        let (Some(start), Some(end)) = (tip(self.state.at), tip(to)) else {
            return Err(fault(
                "proof/place-unknown",
                "An arc starts at a place that the program does not say.",
                "It turns about a centre that depends on the program before.",
            ));
        };
        let arc = arc::arc(&Wanted {
            line,
            plane,
            left: self.state.motion == 30,
            from: start,
            to: end,
            unit: self.unit(),
            centres: self.bench.control.arc_centre,
            shift: if self.bench.control.arc_centre == ArcCentre::Absolute { self.shift() } else { [0.0; 3] },
        })?;
        self.go(to, Path::Arc(arc), false, 0, line);
        Ok(())
    }

    pub(super) fn plane_known(&mut self) -> Plane {
        if self.state.plane.is_none() {
            self.breach(fault(
                "proof/plane-not-set",
                "An arc or a drilling cycle stands before G17, G18 or G19.",
                "After an interrupted program it may turn or drill in another plane.",
            ));
            self.state.plane = Some(Plane::Xy);
        }
        self.state.plane.unwrap_or(Plane::Xy)
    }
}

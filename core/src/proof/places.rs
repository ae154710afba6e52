//! Words that move in machine coordinates or shift the program's zero: G10, G28, G30, G38.2,
//! G53, G92 (NISTIR 6556, 3.5.5 to 3.5.18).

use super::expression::whole;
use super::fault::{Fault, fault, stops};
use super::machine::Machine;
use super::modal::Line;
use super::motion::Path;
use super::trace::Event;

impl Machine<'_> {
    /// The non-modal words that come before motion in table 8.
    pub(super) fn still(&mut self, code: i64, line: &Line) -> Result<(), Fault> {
        match code {
            100 => self.set_origin(line),
            280 | 300 => self.home(if code == 280 { 5161 } else { 5181 }, line),
            920 => self.set_shift(line),
            923 => {
                self.state.shift = self.state.kept_shift;
                Ok(())
            }
            _ => {
                if code == 921 {
                    self.state.kept_shift = [0.0; 3];
                    self.keep_shift();
                }
                self.state.shift = [0.0; 3];
                Ok(())
            }
        }
    }

    /// G10 L2 Pn: the origin of system n in machine coordinates.
    fn set_origin(&mut self, line: &Line) -> Result<(), Fault> {
        if line.l.and_then(whole) != Some(2) {
            return Err(stops("proof/unknown-word", "G10 is known with L2 only."));
        }
        let system = line.p.and_then(whole).filter(|number| (1..=9).contains(number));
        let Some(system) = system.and_then(|number| usize::try_from(number - 1).ok()) else {
            return Err(stops("proof/number", "G10 L2 needs P from 1 to 9."));
        };
        for axis in 0..3 {
            let Some(value) = line.axes[axis] else { continue };
            let place = self.mm(value);
            let number = 5221 + 20 * u32::try_from(system).unwrap_or(0) + u32::try_from(axis).unwrap_or(0);
            self.state.parameters.set(number, value);
            match self.bench.machine_zero {
                Some(zero) => {
                    let mut origin = self.state.origins[system].unwrap_or_default();
                    origin[axis] = place + zero[axis];
                    self.state.origins[system] = Some(origin);
                }
                None => {
                    return Err(fault(
                        "proof/work-offset",
                        "The program sets a work offset, and where the work lies in the machine is not known.",
                        "The program moves the work's zero away from where the operator put it.",
                    ));
                }
            }
        }
        if self.bench.system.is_some() && self.bench.contact.is_none() {
            self.breach(fault(
                "proof/work-offset",
                "The program sets a work offset itself.",
                "It overwrites the datum that the operator has set.",
            ));
        }
        Ok(())
    }

    /// G28 and G30: through the programmed point to the home place.
    fn home(&mut self, first: u32, line: &Line) -> Result<(), Fault> {
        if !line.any_axis() {
            return Err(stops("proof/no-axis", "G28 and G30 need the place to go through."));
        }
        self.assume_system();
        let via = self.target(line)?;
        self.go(via, Path::Line, true, 0, line);
        let home = [0, 1, 2].map(|axis| self.state.parameters.known(first + axis));
        if let ([Some(x), Some(y), Some(z)], Some(zero)) = (home, self.bench.machine_zero) {
            let all = Line { axes: [Some(0.0); 3], ..Line::default() };
            let to = [x, y, z].map(|place| self.mm(place));
            self.go([0, 1, 2].map(|axis| Some(to[axis] + zero[axis])), Path::Line, true, 0, &all);
            self.state.parked = to[2] >= self.bench.high_from;
            return Ok(());
        }
        self.state.at = [None; 3];
        self.state.parked = false;
        Err(fault(
            "proof/place-unknown",
            format!(
                "The move ends at a place that the control keeps in #{first} and after it, and nobody here knows it."
            ),
            "All axes go there at once in a rapid, through whatever stands between.",
        ))
    }

    fn assume_system(&mut self) {
        if self.state.system.is_none() {
            self.state.system = Some(self.bench.system.unwrap_or(0));
        }
    }

    /// G92: the place where the tool stands gets these coordinates.
    fn set_shift(&mut self, line: &Line) -> Result<(), Fault> {
        if !line.any_axis() {
            return Err(stops("proof/no-axis", "G92 names no axis."));
        }
        self.assume_system();
        if self.bench.system.is_some() {
            self.breach(fault(
                "proof/work-offset",
                "The program shifts its own zero.",
                "Whatever starts after an interruption is shifted too, in all nine work offsets.",
            ));
        }
        for axis in 0..3 {
            let Some(value) = line.axes[axis] else { continue };
            let Some(at) = self.state.at[axis] else {
                return Err(fault(
                    "proof/place-unknown",
                    "G92 names the place where the tool stands, and the program does not say where that is.",
                    "The program's zero lies wherever the machine happened to stand.",
                ));
            };
            let origin = self.state.system.and_then(|system| self.state.origins[system]).unwrap_or_default();
            self.state.shift[axis] = at - self.mm(value) - origin[axis];
        }
        self.state.kept_shift = self.state.shift;
        self.keep_shift();
        Ok(())
    }

    fn keep_shift(&mut self) {
        for (number, value) in (5211..).zip(self.state.kept_shift) {
            let value = self.unit().of(crate::quantity::Length::mm(value));
            self.state.parameters.set(number, value);
        }
    }

    /// G53: one move in machine coordinates.
    pub(super) fn machine_move(&mut self, line: &Line) -> Result<(), Fault> {
        let rapid = self.state.motion == 0;
        if !rapid {
            self.feed_known(line)?;
        }
        let mut to = self.state.at;
        let mut high = self.state.parked;
        for axis in 0..3 {
            let Some(value) = line.axes[axis] else { continue };
            // Always absolute, whatever the distance mode (3.5.12).
            let place = self.mm(value);
            to[axis] = self.bench.machine_zero.map(|zero| place + zero[axis]);
            if axis == 2 {
                high = place >= self.bench.high_from;
            }
        }
        if self.bench.machine_zero.is_some() {
            self.go(to, Path::Line, rapid, 0, line);
        } else {
            let aside = line.axes[0].is_some() || line.axes[1].is_some();
            self.out.events.push(Event::Blind {
                line: self.line,
                tool: self.state.tool.unwrap_or(0),
                to,
                aside,
                parked: self.state.parked,
            });
            if line.axes[2].is_some() && !high {
                self.breach(fault(
                    "proof/place-unknown",
                    "The head moves to a machine coordinate that is not the top of its travel.",
                    "Where that is above the work is not known.",
                ));
            }
            self.state.at = to;
        }
        self.state.parked = high;
        Ok(())
    }

    /// G38.2: the probe stops at the latest at the programmed place.
    pub(super) fn probe(&mut self, line: &Line) -> Result<(), Fault> {
        if self.state.inverse_time == Some(true) {
            return Err(stops("proof/probe", "G38.2 may not stand under G93."));
        }
        self.feed_known(line)?;
        if self.state.turn != super::state::Turn::Stands {
            self.breach(fault(
                "proof/probe",
                "The spindle turns while the probe is to touch.",
                "The probe breaks, or touches wherever its run-out has it.",
            ));
        }
        let mut to = self.target(line)?;
        if let ([Some(x), Some(y), Some(z)], [Some(a), Some(b), Some(c)]) = (to, self.state.at) {
            let way = super::Tip::new(x, y, z).distance(super::Tip::new(a, b, c));
            // 3.5.9: 0.254 millimetre or 0.01 inch.
            if way < 0.254 {
                return Err(stops("proof/probe", "G38.2 starts nearer than 0.254 mm (0.01 in) to its end."));
            }
        }
        if let (Some(block), [Some(x), Some(y), Some(z)], [Some(a), Some(b), Some(c)]) =
            (self.bench.contact, to, self.state.at)
        {
            match block.touched([a, b, c], [x, y, z]) {
                Some(place) => to = place.map(Some),
                None => self.breach(fault(
                    "proof/probe",
                    "The probe finds nothing on its way.",
                    "The control stops with an alarm; the zero is not found.",
                )),
            }
        }
        let shift = self.shift();
        for (axis, number) in (0..3).zip(5061..) {
            if let Some(place) = to[axis] {
                let value = self.unit().of(crate::quantity::Length::mm(place - shift[axis]));
                self.state.parameters.set(number, value);
            }
        }
        self.go(to, Path::Line, false, 0, line);
        Ok(())
    }
}

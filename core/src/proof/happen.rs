//! What happens beside the moves: tool changes, starts, waits, the end.

use super::fault::fault;
use super::judge::Judge;
use super::loads;
use super::trace::Event;
use crate::quantity::{Time, fixed};

impl Judge<'_> {
    /// Judges one thing that happens; `now` is the time at which it does.
    pub(super) fn event(&mut self, event: &Event, now: Time) {
        match *event {
            Event::Move(ref motion, _) => self.motion(motion),
            Event::Blind { line, to, aside, parked, .. } => self.blind(line, to, aside, parked),
            Event::HeightUnknown { line } => self.tell(
                line,
                fault(
                    "proof/height-unknown",
                    "X or Y moves while the height of the tool is not known.",
                    "A longer tool than the one before sweeps through the work or the vise.",
                ),
            ),
            Event::Dwell { line, time } if time.as_second() > loads::DWELL_MOST => self.tell(
                line,
                fault(
                    "proof/dwell",
                    format!("The program waits {} seconds.", fixed(time.as_second(), 0)),
                    "The tool rubs, or the machine stands; P counts seconds here.",
                ),
            ),
            Event::Dwell { .. } => {}
            Event::Change { line, height, parked, turning, tool } => {
                self.changes += 1;
                self.book.section = self.changes;
                self.started = None;
                if self.changes > 1 {
                    self.high(line, height, parked, "The tool is changed");
                    self.fits_under(line, height, parked, tool);
                }
                self.fitted = Some(tool);
                if turning {
                    self.tell(
                        line,
                        fault(
                            "proof/spindle-at-change",
                            "The spindle turns while the tool is changed.",
                            "It takes the hand that reaches in.",
                        ),
                    );
                }
                if self.tool(tool).is_none() {
                    self.tell(
                        line,
                        fault(
                            "proof/tool-unknown",
                            format!("There is no tool {tool} in the shop."),
                            "The operator fits something else, or the control stops.",
                        ),
                    );
                }
            }
            Event::Start { line, speed, tool, fresh } => {
                if fresh {
                    self.started = Some(now);
                }
                match self.tool(tool) {
                    Some(kit) => {
                        if let Some(fault) = loads::speed(kit, &self.shop.machine, &self.part.material, speed) {
                            self.tell(line, fault);
                        }
                    }
                    None => self.tell(
                        line,
                        fault(
                            "proof/no-tool",
                            "The spindle is started before a tool is called.",
                            "Whatever stands in it turns, at a speed that was meant for another.",
                        ),
                    ),
                }
            }
            Event::End { line, height, parked, turning, coolant } => {
                self.high(line, height, parked, "The program ends");
                if turning {
                    self.tell(
                        line,
                        fault(
                            "proof/end-spindle",
                            "The program ends with the spindle turning.",
                            "Many controls stop it at the end, some do not; the hand that unloads meets it.",
                        ),
                    );
                }
                if coolant {
                    self.tell(
                        line,
                        fault(
                            "proof/end-coolant",
                            "The program ends with the coolant running.",
                            "It runs on where the control does not stop it.",
                        ),
                    );
                }
            }
        }
    }

    /// The next tool stands out further than the one before it by so much, and its tip lower.
    fn fits_under(&mut self, line: usize, height: Option<f64>, parked: bool, next: u32) {
        let longer = match (self.fitted.and_then(|before| self.tool(before)), self.tool(next)) {
            (Some(before), Some(next)) => (next.stick_out - before.stick_out).as_mm(),
            _ => return,
        };
        let clear = self.setup.clear.as_mm();
        let tip = height.map(|height| height - longer);
        if !parked && longer > 0.0 && tip.is_some_and(|tip| tip < clear - 0.01) {
            self.tell(
                line,
                fault(
                    "proof/change-room",
                    format!(
                        "Tool {next} stands out {} mm further than the one before it; changed here, its tip is at {} mm.",
                        fixed(longer, 1),
                        fixed(tip.unwrap_or(0.0), 1)
                    ),
                    "There is no room to fit it over the work, nor for the hands that do.",
                ),
            );
        }
    }

    fn high(&mut self, line: usize, height: Option<f64>, parked: bool, what: &str) {
        let clear = self.setup.clear.as_mm();
        if !parked && height.is_none_or(|height| height < clear - 0.01) {
            let at = height.map_or("an unknown height".to_owned(), |height| format!("{} mm", fixed(height, 3)));
            self.tell(
                line,
                fault(
                    "proof/not-clear",
                    format!("{what} at {at}; clear of everything is {} mm.", fixed(clear, 1)),
                    "The next tool, or the next piece, meets the work on the way.",
                ),
            );
        }
    }

    fn blind(&mut self, line: usize, to: [Option<f64>; 3], aside: bool, parked: bool) {
        let clear = self.setup.clear.as_mm();
        if to[2].is_some_and(|z| z < clear - 0.01) {
            self.tell(
                line,
                fault(
                    "proof/place-unknown",
                    "The tool goes below the clear height at a place that the program has not said.",
                    "It comes down on whatever is there.",
                ),
            );
        } else if aside && to[2].is_none() && !parked {
            self.tell(
                line,
                fault(
                    "proof/height-unknown",
                    "X or Y moves while the height of the tool is not known.",
                    "A longer tool than the one before sweeps through the work or the vise.",
                ),
            );
        }
    }
}

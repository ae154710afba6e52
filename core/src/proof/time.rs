//! Predicted time: moves limited by acceleration, tool changes, spindle starts, waits.

use serde::Serialize;

use super::motion::{Motion, Path};
use super::trace::{Event, Trace};
use crate::quantity::{Time, trig};
use crate::shop::Shop;

/// The time of a program at the machine.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Times {
    /// From one tool change to the next, in the order of the program: number of the tool, and
    /// its time with the change before it.
    pub sections: Vec<(u32, Time)>,
    /// What the program's own comments tell apart, in its order. Together they take the whole time.
    pub operations: Vec<Operation>,
    /// Of the whole program.
    pub total: Time,
    /// Of this, changing tools by hand.
    pub changes: Time,
    /// Of this, cutting: all moves at a feed.
    pub cutting: Time,
}

/// What a program does between one comment and the next, or one tool and the next.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Operation {
    /// The line of the comment, or of the change of tool.
    pub line: usize,
    /// Number of the tool.
    pub tool: u32,
    /// The comment's words; empty from the change of tool to the first comment.
    pub words: String,
    /// How long it takes.
    pub time: Time,
    /// Of this, moves at a feed.
    pub cutting: Time,
    /// How often the tool comes down to cut: a stroke of a drill, a pass of a mill.
    pub passes: usize,
}

/// The time of several pieces. Loading and measuring are not in it: no program tells of them.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Batch {
    /// How many pieces.
    pub pieces: u32,
    /// One after the other, every tool changed for every piece.
    pub one_by_one: Time,
    /// Each tool over all pieces before it is changed, its section of the program started by itself.
    pub tool_by_tool: Time,
}

impl Times {
    /// One piece where the changes of tools are shared by so many that they no longer count.
    pub fn piece(&self) -> Time {
        self.total - self.changes
    }

    /// The time of several pieces.
    pub fn batch(&self, pieces: u32) -> Batch {
        let count = f64::from(pieces);
        let shared = if pieces == 0 { Time::ZERO } else { self.changes };
        Batch { pieces, one_by_one: self.total * count, tool_by_tool: self.piece() * count + shared }
    }
}

/// How far a path may be rounded at a corner where nothing else is said, in millimetres: the
/// usual setting of a continuous path mode; common practice, no source.
const BLEND: f64 = 0.02;

/// Gives every move its start and end, and adds up.
pub(super) fn schedule(trace: &mut Trace, shop: &Shop) -> Times {
    let speeds = speeds(&trace.events, shop);
    let acceleration = shop.machine.acceleration.max(1.0);
    let waits_itself = shop.control.dwell.is_none();
    let mut times = Times::default();
    let mut log = Log::default();
    let mut remarks = trace.remarks.iter().peekable();
    let mut seen = 0;
    for event in &mut trace.events {
        // Comments in the head of the program stand before any tool.
        while let Some((line, words)) = remarks.next_if(|(line, _)| *line <= event.line()) {
            if log.tool.is_some() {
                log.open(*line, words.clone());
            }
        }
        match event {
            Event::Move(motion, _) => {
                let (enter, top, leave) = speeds[seen];
                seen += 1;
                motion.t0 = Time::second(log.now);
                let time = travel(motion.length(), enter, top, leave, acceleration);
                log.now += time;
                motion.t1 = Time::second(log.now);
                if !motion.rapid {
                    times.cutting += Time::second(time);
                    log.present.cutting += Time::second(time);
                    // A way of cuts goes on until the next rapid or the next way down.
                    let down = motion.to.z < motion.from.z - 1e-6 && motion.path == Path::Line;
                    log.present.passes += usize::from(down || !log.feeding);
                }
                log.feeding = !motion.rapid;
            }
            Event::Dwell { time, .. } => log.now += time.as_second(),
            Event::Start { fresh: true, .. } if waits_itself => log.now += shop.machine.spindle_start.as_second(),
            Event::Change { line, tool, .. } => {
                log.section(&mut times);
                log.tool = Some(*tool);
                log.open(*line, String::new());
                log.now += shop.machine.tool_change.as_second();
                times.changes += shop.machine.tool_change;
                log.feeding = false;
            }
            Event::Start { .. } | Event::Blind { .. } | Event::HeightUnknown { .. } | Event::End { .. } => {}
        }
    }
    log.section(&mut times);
    times.operations = log.done;
    times.total = Time::second(log.now);
    times
}

/// Where the clock stands, and what runs.
#[derive(Default)]
struct Log {
    now: f64,
    tool: Option<u32>,
    /// When the present section began.
    begun: f64,
    /// When the present operation began.
    opened: f64,
    present: Operation,
    done: Vec<Operation>,
    feeding: bool,
}

impl Log {
    /// Ends the present operation and begins another.
    fn open(&mut self, line: usize, words: String) {
        if self.now > self.opened {
            self.present.time = Time::second(self.now - self.opened);
            self.opened = self.now;
            self.done.push(std::mem::take(&mut self.present));
        }
        let (words, line) = match std::mem::take(&mut self.present) {
            // Two comments before anything happens are one.
            before if !before.words.is_empty() && before.tool == self.tool.unwrap_or(0) && !words.is_empty() => {
                (format!("{} {words}", before.words), before.line)
            }
            _ => (words, line),
        };
        self.present = Operation { line, tool: self.tool.unwrap_or(0), words, ..Operation::default() };
    }

    /// Ends the present tool's section.
    fn section(&mut self, times: &mut Times) {
        if self.now > self.begun {
            times.sections.push((self.tool.unwrap_or(0), Time::second(self.now - self.begun)));
        }
        self.begun = self.now;
        if self.now > self.opened {
            self.present.time = Time::second(self.now - self.opened);
            self.opened = self.now;
            self.done.push(std::mem::take(&mut self.present));
        }
        self.present = Operation::default();
    }
}

/// Speed at the start, on the way and at the end of each move, in mm/s.
fn speeds(events: &[Event], shop: &Shop) -> Vec<(f64, f64, f64)> {
    let acceleration = shop.machine.acceleration.max(1.0);
    let mut list: Vec<(f64, f64, f64)> = Vec::new();
    let mut before: Option<(&Motion, f64)> = None;
    let mut lengths = Vec::new();
    for event in events {
        let Event::Move(motion, exact) = event else {
            before = None;
            continue;
        };
        let wanted = if motion.rapid { shop.machine.rapid } else { motion.feed };
        let mut top = (wanted.as_mm_per_min() / 60.0).max(1e-3);
        if let Path::Arc(arc) = motion.path {
            // The way round a bend is an acceleration too: v² / r.
            top = top.min((acceleration * arc.radius).sqrt());
        }
        let enter = match before {
            Some((previous, speed)) if !exact && previous.rapid == motion.rapid => {
                corner(previous, motion, acceleration).min(top).min(speed)
            }
            _ => 0.0,
        };
        if let Some(last) = list.last_mut() {
            last.2 = enter;
        }
        list.push((enter, top, 0.0));
        lengths.push(motion.length());
        before = Some((motion, top));
    }
    // What cannot be braked before the next corner, and what cannot be gained after the last.
    for index in (0..list.len()).rev() {
        let (enter, _, leave) = list[index];
        let most = (leave * leave + 2.0 * acceleration * lengths[index]).sqrt();
        if enter > most {
            list[index].0 = most;
            if index > 0 {
                list[index - 1].2 = most;
            }
        }
    }
    for index in 0..list.len() {
        let (enter, _, leave) = list[index];
        let most = (enter * enter + 2.0 * acceleration * lengths[index]).sqrt();
        if leave > most {
            list[index].2 = most;
            if index + 1 < list.len() {
                list[index + 1].0 = most;
            }
        }
    }
    list
}

/// The speed at which a corner may be passed: exact for a tangent join, else the speed at which a
/// bend that leaves the corner by [`BLEND`] can be taken.
fn corner(last: &Motion, next: &Motion, acceleration: f64) -> f64 {
    let (Some(a), Some(b)) = (last.direction(true), next.direction(false)) else {
        return 0.0;
    };
    let along = (a[0] * b[0] + a[1] * b[1] + a[2] * b[2]).clamp(-1.0, 1.0);
    if along > 0.9999 {
        return f64::INFINITY;
    }
    // sin(θ/2) of the inside angle θ = π - turn: cos(turn/2).
    let sine = f64::midpoint(1.0, along).sqrt();
    (acceleration * BLEND * sine / (1.0 - sine)).sqrt()
}

/// Time for a way with given speeds at both ends and a greatest speed between.
fn travel(length: f64, enter: f64, top: f64, leave: f64, acceleration: f64) -> f64 {
    if length <= 0.0 {
        return 0.0;
    }
    let top = top.max(enter).max(leave);
    let gain = (top * top - enter * enter) / (2.0 * acceleration);
    let brake = (top * top - leave * leave) / (2.0 * acceleration);
    if gain + brake <= length {
        (top - enter) / acceleration + (top - leave) / acceleration + (length - gain - brake) / top
    } else {
        let peak = ((2.0 * acceleration * length + enter * enter + leave * leave) / 2.0).max(0.0).sqrt();
        let peak = peak.max(enter).max(leave);
        let time = (peak - enter) / acceleration + (peak - leave) / acceleration;
        // Ends that no acceleration can join in this length: at their mean.
        if time > 0.0 { time } else { 2.0 * length / trig::hypot(enter + leave, 0.0).max(1e-6) }
    }
}

#[cfg(test)]
mod tests {
    use super::travel;

    /// `s` at 3000 mm/min and 250 mm/s²: a worked table of the trapezoid rule.
    #[test]
    fn rest_to_rest() {
        for (length, time) in [(50.0, 1.20), (5.0, 0.283), (1.0, 0.126)] {
            let got = travel(length, 0.0, 50.0, 0.0, 250.0);
            assert!((got - time).abs() < 0.001, "{length} mm take {got} s, not {time}");
        }
        assert!((travel(10.0, 5.0, 5.0, 5.0, 250.0) - 2.0).abs() < 1e-9, "at an even speed");
    }
}

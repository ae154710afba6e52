//! The control: lines in, moves out, in the order of execution of NISTIR 6556, table 8.

use super::Breach;
use super::arc::{self, Wanted};
use super::expression::whole;
use super::fault::{Fault, fault, stops};
use super::modal::{self, Group, Line, Order, tenths};
use super::motion::{Motion, Path, Plane, Tip};
use super::read;
use super::state::{Bench, State, Sticky, Turn};
use crate::quantity::{Feed, Spindle, Time, Unit};
use crate::shop::{ArcCentre, LengthOffset, ToolChange};

/// What a text does, before anyone judges it.
#[derive(Clone, Debug, Default)]
pub struct Trace {
    /// What happens, in order.
    pub events: Vec<Event>,
    /// What is no RS-274, or leaves the control guessing.
    pub breaches: Vec<Breach>,
    /// Messages to the operator, with their lines.
    pub messages: Vec<(usize, String)>,
    /// The parameters at the end.
    pub parameters: super::Parameters,
    /// The program came to its end word.
    pub ended: bool,
}

/// One thing that happens.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Event {
    /// A move; [`true`] where every block comes to rest (G61, G61.1).
    Move(Motion, bool),
    /// A move of which an end is not known in the part's axes.
    Blind {
        /// The line.
        line: usize,
        /// Number of the tool in the spindle.
        tool: u32,
        /// Where it ends, as far as that is known.
        to: [Option<f64>; 3],
        /// X or Y moves.
        aside: bool,
        /// The head is at the top of its travel meanwhile.
        parked: bool,
    },
    /// A move in X or Y while the height of the tool is not known.
    HeightUnknown {
        /// The line.
        line: usize,
    },
    /// A wait.
    Dwell {
        /// The line.
        line: usize,
        /// How long.
        time: Time,
    },
    /// A tool goes into the spindle.
    Change {
        /// The line.
        line: usize,
        /// Its number.
        tool: u32,
        /// Height of the tip before the change, where it is known.
        height: Option<f64>,
        /// The head is at the top of its travel.
        parked: bool,
        /// The spindle turns while the operator reaches in.
        turning: bool,
    },
    /// The spindle is started, or started again at another speed or way.
    Start {
        /// The line.
        line: usize,
        /// Its speed; negative for the wrong way round.
        speed: Spindle,
        /// Number of the tool in it.
        tool: u32,
    },
    /// The program ends.
    End {
        /// The line.
        line: usize,
        /// Height of the tip, where it is known.
        height: Option<f64>,
        /// The head is at the top of its travel.
        parked: bool,
        /// The spindle still turns.
        turning: bool,
        /// Coolant still runs.
        coolant: bool,
    },
}

/// The most lines and moves that are read: a hundred times the longest program of a small part.
const MOST_LINES: usize = 200_000;
const MOST_EVENTS: usize = 1_000_000;
/// The most breaches that are told; the rest follows from them.
pub(super) const MOST_BREACHES: usize = 200;

/// Reads a text and runs it without judging it against any part.
pub fn trace(text: &str, bench: &Bench<'_>) -> Trace {
    let mut control = Machine { bench, state: bench.state(), out: Trace::default(), line: 0, words: "" };
    control.run(text);
    control.out.parameters = control.state.parameters.clone();
    control.out
}

/// The lines of a text; CR, LF or both end a line (3.3).
pub(super) fn lines(text: &str) -> impl Iterator<Item = &str> {
    text.split('\n').flat_map(|line| line.strip_suffix('\r').unwrap_or(line).split('\r'))
}

pub(super) struct Machine<'b> {
    pub(super) bench: &'b Bench<'b>,
    pub(super) state: State,
    pub(super) out: Trace,
    pub(super) line: usize,
    words: &'b str,
}

impl<'b> Machine<'b> {
    fn run(&mut self, text: &'b str) {
        let mut percents = 0;
        let mut seen = false;
        for (index, line) in lines(text).enumerate() {
            self.line = index + 1;
            self.words = line.trim();
            if index >= MOST_LINES || self.out.events.len() >= MOST_EVENTS {
                self.breach(stops("proof/too-long", "The program is longer than any part of this kind needs."));
                return;
            }
            if self.words.is_empty() {
                continue;
            }
            if self.words == "%" {
                percents += 1;
                if percents == 1 && seen {
                    self.breach(stops("proof/percent", "A percent sign stands behind other lines without one before them."));
                }
                seen = true;
                if percents == 2 {
                    break;
                }
                continue;
            }
            seen = true;
            if self.out.ended || self.own_word() {
                continue;
            }
            self.one(line);
        }
        self.words = "";
        if percents == 1 {
            self.breach(stops("proof/percent", "The program starts with a percent sign and does not end with one."));
        }
        if !self.out.ended {
            self.breach(fault(
                "proof/no-end",
                "The program has no M2 or M30.",
                "The machine stands with spindle and modes as the last line left them.",
            ));
        }
    }

    /// A program number that the profile itself puts before everything else.
    fn own_word(&self) -> bool {
        self.words.starts_with('O') && self.bench.control.start.iter().any(|line| line.trim() == self.words)
    }

    fn one(&mut self, text: &str) {
        let block = match read::line(text, self.bench.control.comments, &self.state.parameters) {
            Ok(block) => block,
            Err(fault) => return self.breach(fault),
        };
        if block.deletable {
            self.breach(fault(
                "proof/block-delete",
                "The line starts with a slash.",
                "It is cut or not as a switch on the panel stands; the proof reads it as cut.",
            ));
        }
        if let Some(message) = block.comment.as_deref().and_then(read::message) {
            self.out.messages.push((self.line, message.trim().to_owned()));
        }
        match modal::sort(&block, self.bench.control) {
            Ok(line) => {
                if let Err(fault) = self.execute(&line) {
                    self.breach(fault);
                }
            }
            Err(fault) => self.breach(fault),
        }
        for (number, value) in block.settings {
            self.state.parameters.set(number, value);
        }
    }

    pub(super) fn breach(&mut self, fault: Fault) {
        if self.out.breaches.len() < MOST_BREACHES {
            self.out.breaches.push(Breach::new(self.line, self.words, fault));
        }
    }

    /// Table 8, from top to bottom.
    fn execute(&mut self, line: &Line) -> Result<(), Fault> {
        self.check(line)?;
        if let Some(mode) = line.code(Group::FeedMode) {
            self.state.inverse_time = mode == 930;
        }
        if let Some(feed) = line.f {
            self.state.feed = Some(feed);
            self.state.feed_fresh = true;
        }
        if let Some(speed) = line.s {
            self.state.speed_fresh = true;
            self.state.speed = Some(speed);
            if self.state.turn != Turn::Stands && line.order(Order::Spindle).is_none() {
                self.start();
            }
        }
        if let Some(number) = line.t {
            self.choose(number)?;
        }
        if line.order(Order::Tool).is_some() {
            self.change()?;
        }
        match line.order(Order::Spindle) {
            Some(5) => self.state.turn = Turn::Stands,
            Some(code) => {
                self.state.turn = if code == 3 { Turn::Clockwise } else { Turn::Counter };
                self.start();
            }
            None => {}
        }
        if let Some(code) = line.order(Order::Coolant) {
            self.state.coolant = code != 9;
        }
        if line.code(Group::Still) == Some(40) {
            let seconds = line.p.unwrap_or(0.0);
            self.out.events.push(Event::Dwell { line: self.line, time: Time::second(seconds) });
        }
        self.modes(line);
        match line.code(Group::Still) {
            Some(code @ (100 | 280 | 300 | 920..=923)) => self.still(code, line)?,
            _ => {}
        }
        self.motion(line)?;
        self.stop(line)
    }

    /// What the line must have and must not have, before anything of it is done.
    fn check(&self, line: &Line) -> Result<(), Fault> {
        let still = line.code(Group::Still);
        let motion = line.code(Group::Motion);
        let uses_axes = matches!(still, Some(100 | 280 | 300 | 920));
        let runs = motion.unwrap_or(self.state.motion);
        let cycle = (810..=890).contains(&runs);
        let moves = line.any_axis() && !uses_axes;
        if motion.is_some_and(|code| code != 800) && uses_axes {
            return Err(stops("proof/modal-group", "Two words of the line both use its X, Y and Z."));
        }
        for (letter, value) in [("D", line.d), ("H", line.h), ("T", line.t)] {
            if value.is_some_and(|value| whole(value).is_none_or(|number| !(0..=9999).contains(&number))) {
                return Err(stops("proof/number", format!("{letter} needs a whole number that is not negative.")));
            }
        }
        for (letter, value) in [("F", line.f), ("S", line.s), ("P", line.p)] {
            if value.is_some_and(|value| value < 0.0) && !(letter == "P" && still == Some(100)) {
                return Err(stops("proof/number", format!("{letter} may not be negative.")));
            }
        }
        if matches!(motion, Some(20 | 30)) && !line.any_axis() {
            return Err(stops("proof/arc-without-end", "The arc names no end; a full turn must name X or Y too (3.5.3)."));
        }
        let idle = [
            ("D", line.d.is_some(), matches!(line.code(Group::Radius), Some(410 | 420))),
            ("H", line.h.is_some(), line.code(Group::Length) == Some(430)),
            ("I, J or K", line.centre.iter().any(Option::is_some), moves && matches!(runs, 20 | 30 | 870)),
            ("L", line.l.is_some(), still == Some(100) || (moves && cycle)),
            ("P", line.p.is_some(), matches!(still, Some(40 | 100)) || (moves && matches!(runs, 820 | 860 | 880 | 890))),
            ("Q", line.q.is_some(), moves && runs == 830),
            ("R", line.r.is_some(), moves && (cycle || matches!(runs, 20 | 30))),
        ];
        for (letters, there, used) in idle {
            if there && !used {
                return Err(stops("proof/unused-word", format!("{letters} stands on a line where nothing uses it.")));
            }
        }
        if still == Some(40) && line.p.is_none() {
            return Err(stops("proof/number", "G4 needs P, the seconds to wait."));
        }
        if still == Some(530) && !matches!(runs, 0 | 10) {
            return Err(stops("proof/machine-move", "G53 needs G0 or G1."));
        }
        if matches!(motion, Some(0 | 10 | 382)) && !line.any_axis() {
            return Err(stops("proof/no-axis", format!("G{} names no axis.", motion.unwrap_or(0) / 10)));
        }
        if moves && runs == 800 {
            return Err(stops("proof/no-motion-mode", "X, Y or Z stands on a line after G80 and no motion word with it."));
        }
        Ok(())
    }

    fn choose(&mut self, number: f64) -> Result<(), Fault> {
        let number = whole(number).and_then(|number| u32::try_from(number).ok());
        let number = number.ok_or_else(|| stops("proof/tool", "T needs a whole number."))?;
        self.state.chosen = Some(number);
        let known = self.bench.tools.as_ref().is_none_or(|tools| tools.contains(&number));
        if !known {
            return Err(fault(
                "proof/tool-unknown",
                format!("There is no tool {number} in the shop."),
                "The operator fits something else, or the control stops.",
            ));
        }
        Ok(())
    }

    fn change(&mut self) -> Result<(), Fault> {
        let Some(tool) = self.state.chosen else {
            return Err(stops("proof/tool", "A change of tool is asked for before any T."));
        };
        self.out.events.push(Event::Change {
            line: self.line,
            tool,
            height: self.state.at[2],
            parked: self.state.parked,
            turning: self.bench.control.tool_change == ToolChange::Stop && self.state.turn != Turn::Stands,
        });
        self.state.tool = Some(tool);
        self.state.turn = Turn::Stands;
        self.state.feed_fresh = false;
        self.state.speed_fresh = false;
        if self.bench.fitted.is_none() {
            // The next tool has another length.
            self.state.at[2] = None;
        }
        if self.bench.control.length_offset == LengthOffset::TouchOff && self.bench.fitted.is_none() {
            // The operator jogs to the block: nothing is where it was.
            self.state.at = [None; 3];
            self.state.parked = false;
        }
        Ok(())
    }

    fn start(&mut self) {
        self.out.events.push(Event::Start {
            line: self.line,
            speed: self.spindle(),
            tool: self.state.tool.unwrap_or(0),
        });
        if !self.state.speed_fresh && self.bench.fitted.is_none() {
            self.breach(fault(
                "proof/speed-missing",
                "The spindle is started and no speed was stated since the tool was fitted.",
                "It turns at the speed of the tool before, or not at all.",
            ));
        }
    }

    pub(super) fn spindle(&self) -> Spindle {
        let speed = self.state.speed.unwrap_or(0.0);
        Spindle::rpm(match self.state.turn {
            Turn::Stands => 0.0,
            Turn::Clockwise => speed,
            Turn::Counter => -speed,
        })
    }

    fn modes(&mut self, line: &Line) {
        match line.code(Group::Plane) {
            Some(170) => self.state.plane = Some(Plane::Xy),
            Some(180) => self.state.plane = Some(Plane::Zx),
            Some(_) => self.state.plane = Some(Plane::Yz),
            None => {}
        }
        if let Some(code) = line.code(Group::Units) {
            let unit = if code == 200 { Unit::Inch } else { Unit::Mm };
            if self.state.unit.is_some_and(|was| was != unit) {
                // F keeps its number and changes its meaning (4.3.3.3).
                self.state.feed_fresh = line.f.is_some();
            }
            self.state.unit = Some(unit);
        }
        if matches!(line.code(Group::Radius), Some(410 | 420)) {
            self.breach(stops(
                "proof/radius-compensation",
                "Cutter radius compensation is switched on; where the cutter then goes depends on the control's own table.",
            ));
        }
        match line.code(Group::Length) {
            Some(430) => self.offset(line.h),
            Some(_) => {
                if self.state.length != Some(0) {
                    self.state.at[2] = self.state.at[2].filter(|_| self.bench.fitted.is_some());
                }
                self.state.length = Some(0);
            }
            None => {}
        }
        if let Some(code) = line.code(Group::System) {
            let system = modal::system(code) - 1;
            if self.bench.system.is_some_and(|wanted| wanted != system) {
                self.breach(fault(
                    "proof/work-offset",
                    format!("G{} is not the work offset that the setup has its datum in.", tenths(code)),
                    "Every move goes somewhere else on the table.",
                ));
            }
            self.state.system = Some(system);
        }
        if let Some(code) = line.code(Group::PathMode) {
            self.state.exact = code != 640;
        }
        if let Some(code) = line.code(Group::Distance) {
            self.state.incremental = Some(code == 910);
        }
        if let Some(code) = line.code(Group::Return) {
            self.state.to_old = Some(code == 980);
        }
    }

    fn offset(&mut self, h: Option<f64>) {
        let Some(number) = h.and_then(whole).and_then(|number| u32::try_from(number).ok()) else {
            return self.breach(stops("proof/length-offset", "G43 stands without H."));
        };
        if self.state.length != Some(number) && self.bench.fitted.is_none() {
            self.state.at[2] = None;
        }
        self.state.length = Some(number);
    }

    fn motion(&mut self, line: &Line) -> Result<(), Fault> {
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
        let exact = self.state.exact;
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
            motion.feed = if self.state.inverse_time {
                Feed::mm_per_min(motion.length() * word)
            } else {
                Feed::mm_per_min(self.mm(word))
            };
        }
        self.out.events.push(Event::Move(motion, exact));
    }

    pub(super) fn feed_known(&mut self, line: &Line) -> Result<(), Fault> {
        let lost = "The control stops with an alarm, or creeps.";
        if self.state.inverse_time {
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

    fn arc(&mut self, line: &Line) -> Result<(), Fault> {
        self.feed_known(line)?;
        let plane = self.plane_known();
        let to = self.target(line)?;
        let ([Some(x), Some(y), Some(z)], [Some(a), Some(b), Some(c)]) = (to, self.state.at) else {
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
            from: Tip::new(a, b, c),
            to: Tip::new(x, y, z),
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

    fn stop(&mut self, line: &Line) -> Result<(), Fault> {
        match line.order(Order::Stop) {
            Some(0 | 1 | 60)
                if self.bench.control.tool_change == ToolChange::Stop
                    && self.state.chosen.is_some_and(|chosen| Some(chosen) != self.state.tool)
                    && line.order(Order::Stop) == Some(0) =>
            {
                self.change()
            }
            Some(2 | 30) => {
                self.end();
                Ok(())
            }
            _ => Ok(()),
        }
    }

    /// M2 and M30 (3.6.1).
    fn end(&mut self) {
        self.out.events.push(Event::End {
            line: self.line,
            height: self.state.at[2],
            parked: self.state.parked,
            turning: self.state.turn != Turn::Stands,
            coolant: self.state.coolant,
        });
        self.state.shift = [0.0; 3];
        self.state.system = Some(0);
        self.state.plane = Some(Plane::Xy);
        self.state.incremental = Some(false);
        self.state.inverse_time = false;
        self.state.turn = Turn::Stands;
        self.state.coolant = false;
        self.state.motion = 10;
        self.out.ended = true;
    }
}

//! The control: lines in, moves out, in the order of execution of NISTIR 6556, table 8.

use super::book::Book;
use super::expression::whole;
use super::fault::{Fault, fault, stops, unread};
use super::modal::{self, Group, Line, Order, tenths};
use super::motion::Plane;
use super::read::{self, Block};
use super::state::{Bench, State, Turn};
use super::trace::{Event, Trace};
use crate::quantity::{Spindle, Time, Unit};
use crate::shop::{LengthOffset, ToolChange};

/// The most lines and moves that are read: a hundred times the longest program of a small part.
pub const MOST_LINES: usize = 200_000;
const MOST_EVENTS: usize = 1_000_000;

/// Reads a text and runs it without judging it against any part.
pub fn trace(text: &str, bench: &Bench<'_>) -> Trace {
    let (mut trace, book) = read_back(&lines(text), bench);
    trace.breaches = book.close(bench.control);
    trace
}

/// As [`trace`], the breaches still in their book.
pub(super) fn read_back(lines: &[&str], bench: &Bench<'_>) -> (Trace, Book) {
    let (out, book) = (Trace::default(), Book::default());
    let mut control = Machine { bench, state: bench.state(), out, book, line: 0, words: "", full: false };
    // About one thing happens on a line.
    control.out.events.reserve(lines.len().min(MOST_LINES));
    control.run(lines);
    control.out.parameters = control.state.parameters;
    (control.out, control.book)
}

/// The lines of a text; CR, LF or both end a line (3.3).
pub(super) fn lines(text: &str) -> Vec<&str> {
    let mut list = Vec::with_capacity(text.len() / 16);
    if !text.contains('\r') {
        list.extend(text.split('\n'));
        return list;
    }
    for line in text.split('\n') {
        let line = line.strip_suffix('\r').unwrap_or(line);
        if line.contains('\r') { list.extend(line.split('\r')) } else { list.push(line) }
    }
    list
}

pub(super) struct Machine<'b> {
    pub(super) bench: &'b Bench<'b>,
    pub(super) state: State,
    pub(super) out: Trace,
    book: Book,
    pub(super) line: usize,
    words: &'b str,
    /// A line would have made more moves than are followed: nothing after it is read.
    full: bool,
}

impl<'b> Machine<'b> {
    fn run(&mut self, lines: &[&'b str]) {
        let mut percents = 0;
        let mut seen = false;
        let mut block = Block::default();
        for (index, &line) in lines.iter().enumerate() {
            self.line = index + 1;
            self.words = line.trim();
            if index >= MOST_LINES || self.out.events.len() >= MOST_EVENTS {
                let (all, moves) = (lines.len(), self.out.events.len());
                let what = if index >= MOST_LINES {
                    format!("The program has {all} lines, and no more than {MOST_LINES} are read.")
                } else {
                    format!("The program makes {moves} moves in {index} of its {all} lines, and no more are followed.")
                };
                self.breach(unread("proof/too-long", what));
                return;
            }
            if self.words.is_empty() {
                continue;
            }
            if self.words == "%" {
                percents += 1;
                if percents == 1 && seen {
                    self.breach(stops(
                        "proof/percent",
                        "A percent sign stands behind other lines without one before them.",
                    ));
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
            self.one(line, &mut block);
            if self.full {
                return;
            }
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

    fn one(&mut self, text: &'b str, block: &mut Block<'b>) {
        if let Err(fault) = block.read(text, self.bench.control.comments, &self.state.parameters) {
            return self.breach(fault);
        }
        if block.deletable {
            self.breach(fault(
                "proof/block-delete",
                "The line starts with a slash.",
                "It is cut or not as a switch on the panel stands; the proof reads it as cut.",
            ));
        }
        if let Some(comment) = block.comment {
            match read::message(comment) {
                Some(message) => self.out.messages.push((self.line, message.trim().to_owned())),
                None => self.out.remarks.push((self.line, comment.trim().to_owned())),
            }
        }
        let mut line = Line::default();
        if let Err(fault) = modal::sort(block, self.bench.control, &mut line).and_then(|()| self.execute(&line)) {
            self.breach(fault);
        }
        for &(number, value) in &block.settings {
            // Homes, shifts and zeros (3.2.1, table 1).
            if (5161..=5386).contains(&number) && self.bench.of_shop() {
                self.breach(fault(
                    "proof/work-offset",
                    format!("The program sets #{number}, in which the control keeps a home, a shift or a zero."),
                    "It overwrites what the operator has set; every move may go somewhere else.",
                ));
            }
            self.state.parameters.set(number, value);
        }
    }

    /// Room for so many more moves, which one line asks for at once.
    ///
    /// # Errors
    /// There is none: the reading ends with this line.
    pub(super) fn room_for(&mut self, moves: f64) -> Result<(), Fault> {
        let left = u32::try_from(MOST_EVENTS.saturating_sub(self.out.events.len())).map_or(f64::MAX, f64::from);
        if moves <= left {
            return Ok(());
        }
        self.full = true;
        let what = format!("With this line the program makes more than {MOST_EVENTS} moves, and no more are followed.");
        Err(unread("proof/too-long", what))
    }

    pub(super) fn breach(&mut self, fault: Fault) {
        self.book.tell(self.line, self.words, fault);
    }

    /// Table 8, from top to bottom.
    fn execute(&mut self, line: &Line) -> Result<(), Fault> {
        self.check(line)?;
        if let Some(mode) = line.code(Group::FeedMode) {
            self.state.inverse_time = Some(mode == 930);
        }
        if let Some(feed) = line.f {
            self.state.feed = Some(feed);
            self.state.feed_fresh = true;
        }
        if let Some(speed) = line.s {
            self.state.speed_fresh = true;
            self.state.speed = Some(speed);
            if self.state.turn != Turn::Stands && line.order(Order::Spindle).is_none() {
                self.start(false);
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
                let turn = if code == 3 { Turn::Clockwise } else { Turn::Counter };
                let fresh = self.state.turn != turn;
                self.state.turn = turn;
                self.start(fresh);
            }
            None => {}
        }
        if let Some(code) = line.order(Order::Coolant) {
            self.state.coolant = code != 9;
        }
        if line.order(Order::Override) == Some(49) && self.bench.of_shop() {
            self.breach(fault(
                "proof/overrides",
                "M49 takes the dials of feed and speed from the operator.",
                "Nobody can ease the cut, nor run the first piece slowly.",
            ));
        }
        if line.code(Group::Still) == Some(40) {
            let seconds = line.p.unwrap_or(0.0);
            self.out.events.push(Event::Dwell { line: self.line, time: Time::second(seconds) });
        }
        self.modes(line);
        if let Some(code @ (100 | 280 | 300 | 920..=923)) = line.code(Group::Still) {
            self.still(code, line)?;
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
            return Err(stops(
                "proof/arc-without-end",
                "The arc names no end; a full turn must name X or Y too (3.5.3).",
            ));
        }
        let idle = [
            ("D", line.d.is_some(), matches!(line.code(Group::Radius), Some(410 | 420))),
            ("H", line.h.is_some(), line.code(Group::Length) == Some(430)),
            ("I, J or K", line.centre.iter().any(Option::is_some), moves && matches!(runs, 20 | 30 | 870)),
            ("L", line.l.is_some(), still == Some(100) || (moves && cycle)),
            (
                "P",
                line.p.is_some(),
                matches!(still, Some(40 | 100)) || (moves && matches!(runs, 820 | 860 | 880 | 890)),
            ),
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
            return Err(stops(
                "proof/no-motion-mode",
                "X, Y or Z stands on a line after G80 and no motion word with it.",
            ));
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
            // M6 may stop the spindle by itself (3.6.3); where a person changes the tool, that hand
            // must not depend on it.
            turning: self.state.turn != Turn::Stands,
        });
        self.book.section += 1;
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

    fn start(&mut self, fresh: bool) {
        self.out.events.push(Event::Start {
            line: self.line,
            speed: self.spindle(),
            tool: self.state.tool.unwrap_or(0),
            fresh,
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
        self.state.radius_stated |= line.code(Group::Radius).is_some();
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
            if self.bench.system.is_some_and(|wanted| wanted != system) && !self.bench.more_systems.contains(&system) {
                self.breach(fault(
                    "proof/work-offset",
                    format!("G{} is not the work offset that the setup has its datum in.", tenths(code)),
                    "Every move goes somewhere else on the table.",
                ));
            }
            self.state.system = Some(system);
        }
        if let Some(code) = line.code(Group::PathMode) {
            self.state.exact = Some(code != 640);
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

    fn stop(&mut self, line: &Line) -> Result<(), Fault> {
        match line.order(Order::Stop) {
            Some(0 | 1 | 60)
                if self.bench.control.tool_change == ToolChange::Stop
                    && self.state.chosen.is_some_and(|chosen| Some(chosen) != self.state.tool)
                    && line.order(Order::Stop) == Some(0) =>
            {
                self.change()
            }
            Some(0 | 1 | 60) if self.state.turn != Turn::Stands && self.bench.of_shop() => Err(fault(
                "proof/stop-turning",
                "The program stops for the operator with the spindle turning.",
                "It takes the hand that reaches in to look or to clear chips.",
            )),
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
        self.state.inverse_time = Some(false);
        self.state.turn = Turn::Stands;
        self.state.coolant = false;
        self.state.motion = 10;
        self.out.ended = true;
    }
}

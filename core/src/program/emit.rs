//! From moves to words.

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use super::Program;
use super::comment::short;
use super::header::Header;
use super::text::Text;
use super::word::{Format, dwell};
use crate::plan::{At, CHANGE, Move, Operation, Position, SetupPlan, Turn};
use crate::quantity::{Angle, Feed, Length, Spindle, Time, Unit, fixed, trig};
use crate::shop::{ArcCentre, Control, Cycles, FullCircle, LengthOffset, Stand, Tool, ToolChange};

/// How far above the last bottom a peck goes back at the rapid: 0.010 in, as in the reference
/// code of NISTIR 6556 for G83.
const BACK: Length = Length::mm(0.254);

/// About so many bytes are a line; room for so many moves is asked for at once.
const LINE: usize = 40;
const MOST_MOVES: usize = 10_000;

/// Writes the program of one setup for a control.
///
/// The unit is the control's own, or else the part's. Texts that people typed reach the program
/// only through [`super::safe`].
pub fn emit(setup: &SetupPlan, header: &Header, control: &Control) -> Program {
    write(setup, None, header, control)
}

/// Writes the program of a load: every tool goes over the pieces of all places before it is
/// changed. `setup` is that of the first place, `title` tells in words what holds the pieces.
///
/// Places whose work offset is their own have their moves counted from it, the others from the zero
/// of the first place, at distances that the control's decimals can say.
pub fn emit_load(setup: &SetupPlan, title: &str, stands: &[Stand], header: &Header, control: &Control) -> Program {
    write(setup, Some((title, stands)), header, control)
}

fn write(setup: &SetupPlan, load: Option<(&str, &[Stand])>, header: &Header, control: &Control) -> Program {
    let unit = control.speaks(header.unit);
    let decimals = match unit {
        Unit::Mm => control.decimals_mm,
        Unit::Inch => control.decimals_inch,
    };
    let mut writer = Writer::new(control, Format { unit, decimals });
    let moves: usize = setup.operations.iter().map(|operation| operation.moves.len()).sum();
    writer.text.out.reserve((moves * load.map_or(1, |(_, stands)| stands.len())).min(MOST_MOVES) * LINE);
    for line in &control.start {
        writer.text.own(line);
    }
    for line in header.lines(setup, load, control, unit) {
        writer.text.comment(&line);
    }
    // Units, length offset, feed and speed outlive the end of the last program (3.6.1): say all.
    for word in writer.modal() {
        writer.text.line(word);
    }
    let places = writer.places(load.map_or(&[], |(_, stands)| stands));
    writer.load(setup, &places);
    writer.text.operation = None;
    for line in &control.end {
        writer.text.own(line);
    }
    Program { text: writer.text.out, lines: writer.text.lines }
}

/// Where the moves of a piece go.
struct Where {
    /// What is added to its coordinates.
    shift: (Length, Length),
    /// The work offset that they count from, where it is not that of the program.
    own: Option<String>,
    /// Its number among several.
    number: Option<usize>,
}

struct Writer<'c> {
    control: &'c Control,
    format: Format,
    text: Text<'c>,
    /// Where the tip is, in the program's numbers; `None` where the program cannot know.
    here: [Option<f64>; 3],
    /// The feed that holds, as its word says it; none after every rapid.
    feed: Option<f64>,
}

impl<'c> Writer<'c> {
    fn new(control: &'c Control, format: Format) -> Self {
        Self { control, format, text: Text::new(control), here: [None; 3], feed: None }
    }

    fn line(&mut self, words: &str) {
        self.text.line(words);
    }

    fn comment(&mut self, text: &str) {
        self.text.comment(&short(text, self.control));
    }

    /// A word with a length, on the line that has been begun.
    fn word(&mut self, letter: char, length: Length) {
        self.text.out.push(' ');
        self.format.length(&mut self.text.out, letter, length);
    }

    /// One word for each modal group that matters, units first.
    fn modal(&self) -> Vec<&'c str> {
        let unit = match self.format.unit {
            Unit::Mm => "G21",
            Unit::Inch => "G20",
        };
        let mut words = vec![unit, "G17", "G90", "G94", "G40", "G49", "G80", &self.control.work_offset];
        words.extend(self.control.path_mode.as_deref());
        words
    }

    /// Where each piece is; the only one where the program knows of no load.
    fn places(&self, stands: &[Stand]) -> Vec<Where> {
        if stands.is_empty() {
            return vec![Where { shift: (Length::ZERO, Length::ZERO), own: None, number: None }];
        }
        let first = stands.first().map(|stand| stand.setup.work_offset.as_str());
        let step = |length| self.format.unit.length(self.format.round(length));
        let each = stands.iter().enumerate().map(|(at, stand)| {
            let own = (Some(stand.setup.work_offset.as_str()) != first).then(|| stand.setup.work_offset.clone());
            let counted = own.is_none() && at > 0;
            let shift = if counted { (step(stand.x), step(stand.y)) } else { (Length::ZERO, Length::ZERO) };
            Where { shift, own, number: Some(at + 1) }
        });
        each.collect()
    }

    fn load(&mut self, plan: &SetupPlan, places: &[Where]) {
        let (tools, setup) = (&plan.tools, &plan.setup);
        let longest = tools.iter().fold(Length::ZERO, |longest, tool| longest.max(tool.stick_out));
        let high = |number: u32| {
            let tool = tools.iter().find(|tool| tool.number == number);
            setup.clear + CHANGE + longest - tool.map_or(longest, |tool| tool.stick_out)
        };
        let mut running: Option<(u32, Spindle)> = None;
        let mut index = 0;
        // What one tool does at one speed is done piece by piece.
        for same in plan.operations.chunk_by(|a, b| a.tool == b.tool && a.spindle == b.spindle) {
            let Some(operation) = same.first() else { continue };
            self.text.operation = Some(index);
            if running.is_none_or(|(tool, _)| tool != operation.tool) {
                if let Some((number, _)) = running {
                    self.leave(high(number));
                }
                let tool = tools.iter().find(|tool| tool.number == operation.tool);
                self.section(operation, tool, high(operation.tool));
            } else {
                self.line(&format!("S{} M3", speed(operation.spindle)));
                self.wait();
            }
            for place in places {
                self.text.operation = Some(index);
                self.turn_to(place, places, setup.clear);
                for (more, operation) in same.iter().enumerate() {
                    self.text.operation = Some(index + more);
                    self.comment(&operation.title);
                    for step in &operation.moves {
                        if place.shift == (Length::ZERO, Length::ZERO) {
                            self.step(step);
                        } else {
                            self.step(&step.shifted(place.shift.0, place.shift.1));
                        }
                    }
                }
            }
            running = Some((operation.tool, operation.spindle));
            index += same.len();
        }
        if let Some((number, _)) = running {
            self.leave(high(number));
            self.line("M5");
        }
    }

    /// From the piece before to this one, at the clear height.
    fn turn_to(&mut self, place: &Where, places: &[Where], clear: Length) {
        let Some(number) = place.number else { return };
        self.comment(&format!("PLACE {number}"));
        if places.iter().all(|place| place.own.is_none()) {
            return;
        }
        self.line(place.own.as_deref().unwrap_or(&self.control.work_offset));
        // The zero of this place is elsewhere, a little higher or lower too.
        self.here = [None, None, Some(self.format.round(clear))];
        self.text.begin("G0");
        self.word('Z', clear);
        self.text.end();
        self.feed = None;
    }

    /// Everything that a start at this tool needs, so that each section runs by itself.
    fn section(&mut self, operation: &Operation, tool: Option<&Tool>, high: Length) {
        let number = operation.tool;
        let title = tool.map_or("", |tool| tool.title.as_str());
        self.comment(&format!("TOOL {number} {title}"));
        self.line("M5");
        match self.control.tool_change {
            ToolChange::Change => self.line(&format!("T{number} M6")),
            ToolChange::Stop => {
                self.comment(&format!("FIT TOOL {number}, THEN START AGAIN"));
                if self.control.length_offset == LengthOffset::TouchOff {
                    self.comment("SET Z ZERO ON THE TOP FACE BEFORE THE START");
                }
                self.line(&format!("T{number} M0"));
            }
        }
        let modal = self.modal().join(" ");
        self.line(&modal);
        let touched = self.control.length_offset == LengthOffset::TouchOff;
        if touched {
            // The tool still stands on the work that it was set on.
            self.text.begin("G0");
            self.word('Z', high);
            self.text.end();
        }
        self.line(&format!("S{} M3", speed(operation.spindle)));
        self.wait();
        if let Some(coolant) = &self.control.coolant {
            self.text.line(coolant);
        }
        if !touched {
            self.text.begin(&format!("G43 H{number} G0"));
            self.word('Z', high);
            self.text.end();
        }
        self.here = [None, None, Some(self.format.round(high))];
        self.feed = None;
    }

    fn wait(&mut self) {
        if let Some(time) = self.control.dwell.filter(|time| *time > Time::ZERO) {
            self.line(&format!("G4 {}", dwell(time)));
        }
    }

    /// Up first; the spindle stops on a line of its own after this, since an M5 beside the move
    /// would stop it before the move (Table 8).
    fn leave(&mut self, high: Length) {
        self.rapid(&At::z(high));
        if self.control.coolant.is_some() {
            self.line("M9");
        }
    }

    fn step(&mut self, step: &Move) {
        match step {
            Move::Rapid { to } => self.rapid(to),
            Move::Feed { to, feed } => self.straight(to, *feed),
            Move::Arc { to, centre, turn, feed } => {
                let centre = [self.format.round(centre.x), self.format.round(centre.y)];
                self.arc(*to, centre, *turn, *feed);
            }
            Move::Drill { places, from, depth, peck, dwell, feed, ease, fed_out } => {
                let places: Vec<[Length; 2]> = places.iter().map(|place| [place.x, place.y]).collect();
                let hole = Hole {
                    from: *from,
                    depth: *depth,
                    peck: *peck,
                    dwell: *dwell,
                    feed: *feed,
                    ease: *ease,
                    fed_out: *fed_out,
                };
                // A cycle has one feed: where a drill comes out below, the moves are written out.
                match (self.control.cycles, hole.ease) {
                    (Cycles::Canned, None) => self.cycle(&places, &hole),
                    (Cycles::Canned, Some(_)) | (Cycles::WrittenOut, _) => self.written_out(&places, &hole),
                }
            }
        }
    }

    /// A line that goes to a place: its first word, the axes that move, and how fast where that is
    /// not said by the word. Nothing where no axis moves.
    fn go(&mut self, first: &str, to: &At, feed: Option<Feed>) {
        if (to.x, to.y, to.z) == (None, None, None) {
            return;
        }
        self.text.begin(first);
        for (slot, (letter, value)) in [('X', to.x), ('Y', to.y), ('Z', to.z)].into_iter().enumerate() {
            let Some(value) = value else { continue };
            self.word(letter, value);
            if let Some(here) = self.here.get_mut(slot) {
                *here = Some(self.format.round(value));
            }
        }
        match feed {
            Some(feed) => self.at_feed(feed),
            None => self.feed = None,
        }
        self.text.end();
    }

    fn rapid(&mut self, to: &At) {
        self.go("G0", to, None);
    }

    fn straight(&mut self, to: &At, feed: Feed) {
        self.go("G1", to, Some(feed));
    }

    /// The feed word where it does not hold already.
    fn at_feed(&mut self, feed: Feed) {
        let shown = Some(self.format.round_feed(feed));
        if self.feed != shown {
            self.feed = shown;
            self.text.out.push(' ');
            self.format.feed(&mut self.text.out, feed);
        }
    }

    /// An arc, in pieces that the control turns. X, Y, Z, I and J stand in every piece: a turn
    /// without X and Y is an error (3.5.3.2), and so is one without I and J.
    fn arc(&mut self, to: Position, centre: [f64; 2], turn: Turn, feed: Feed) {
        let [cx, cy] = centre;
        let end = [self.format.round(to.x), self.format.round(to.y), self.format.round(to.z)];
        let start = [0, 1, 2].map(|axis| self.here[axis].unwrap_or(end[axis]));
        let angle = |x: f64, y: f64| trig::atan2(y - cy, x - cx).as_rad();
        let (from, until) = (angle(start[0], start[1]), angle(end[0], end[1]));
        let sign = match turn {
            Turn::CounterClockwise => 1.0,
            Turn::Clockwise => -1.0,
        };
        let grid = 1e-9;
        let closed = (start[0] - end[0]).abs() < grid && (start[1] - end[1]).abs() < grid;
        let mut sweep = if closed { TAU } else { (until - from) * sign };
        while sweep <= 1e-9 {
            sweep += TAU;
        }
        let most = match self.control.full_circle {
            FullCircle::One => TAU,
            FullCircle::Halves => PI,
            FullCircle::Quarters => FRAC_PI_2,
        };
        let pieces = (1..4_u32).find(|pieces| sweep <= most * f64::from(*pieces) + 1e-6).unwrap_or(4);
        let radius = trig::hypot(start[0] - cx, start[1] - cy);
        let code = match turn {
            Turn::CounterClockwise => "G3",
            Turn::Clockwise => "G2",
        };
        let mut here = start;
        for piece in 1..=pieces {
            let share = f64::from(piece) / f64::from(pieces);
            let next = if piece == pieces {
                end
            } else {
                let at = Angle::rad(from + sign * sweep * share);
                let unit = self.format.unit;
                [cx + radius * trig::cos(at), cy + radius * trig::sin(at), start[2] + (end[2] - start[2]) * share]
                    .map(|value| self.format.round(unit.length(value)))
            };
            // From the rounded start, so that both radii agree.
            let offset = match self.control.arc_centre {
                ArcCentre::Incremental => [cx - here[0], cy - here[1]],
                ArcCentre::Absolute => [cx, cy],
            };
            self.text.begin(code);
            for (letter, value) in [('X', next[0]), ('Y', next[1]), ('Z', next[2]), ('I', offset[0]), ('J', offset[1])]
            {
                self.text.out.push(' ');
                self.format.number(&mut self.text.out, letter, value);
            }
            self.at_feed(feed);
            self.text.end();
            here = next;
        }
        self.here = end.map(Some);
    }

    /// G81, G82, G83 or G85 under G99, which goes back to R after each hole and each peck (3.5.16).
    fn cycle(&mut self, places: &[[Length; 2]], hole: &Hole) {
        let code = match (hole.peck, hole.dwell) {
            _ if hole.fed_out => "G85",
            (Some(_), _) => "G83",
            (None, Some(_)) => "G82",
            (None, None) => "G81",
        };
        for (number, [x, y]) in places.iter().enumerate() {
            if number > 0 {
                // The cycle holds: a place is enough.
                self.text.begin("");
                self.format.length(&mut self.text.out, 'X', *x);
                self.word('Y', *y);
                self.text.end();
                continue;
            }
            self.text.begin("G99 ");
            self.text.out.push_str(code);
            for (letter, length) in [('X', *x), ('Y', *y), ('Z', hole.depth), ('R', hole.from)] {
                self.word(letter, length);
            }
            if hole.fed_out {
                // Neither pecks nor waits.
            } else if let Some(peck) = hole.peck {
                self.word('Q', peck);
            } else if let Some(time) = hole.dwell {
                self.text.out.push(' ');
                self.text.out.push_str(&dwell(time));
            }
            self.text.out.push(' ');
            self.format.feed(&mut self.text.out, hole.feed);
            self.text.end();
        }
        self.line("G80");
        self.feed = None;
        if let Some([x, y]) = places.last() {
            self.here = [x, y, &hole.from].map(|value| Some(self.format.round(*value)));
        }
    }

    /// The same moves that the cycles make, one by one (3.5.16.1 to 3.5.16.5), slower where the
    /// tool comes out below.
    fn written_out(&mut self, places: &[[Length; 2]], hole: &Hole) {
        let from = self.format.round(hole.from);
        for [x, y] in places {
            let place = [Some(self.format.round(*x)), Some(self.format.round(*y))];
            if self.here[..2] != place {
                self.rapid(&At::xy(*x, *y));
            }
            if self.here[2] != Some(from) {
                self.rapid(&At::z(hole.from));
            }
            let mut bottom = hole.from;
            loop {
                let next = hole.peck.filter(|peck| *peck > Length::ZERO).map_or(hole.depth, |peck| bottom - peck);
                let top = bottom;
                bottom = next.max(hole.depth);
                match hole.ease {
                    Some((height, slow)) if bottom < height => {
                        if top > height {
                            self.straight(&At::z(height), hole.feed);
                        }
                        self.straight(&At::z(bottom), slow);
                    }
                    _ => self.straight(&At::z(bottom), hole.feed),
                }
                if bottom <= hole.depth {
                    break;
                }
                self.rapid(&At::z(hole.from));
                self.rapid(&At::z(bottom + BACK));
            }
            if let Some(time) = hole.dwell {
                self.line(&format!("G4 {}", dwell(time)));
            }
            if hole.fed_out {
                self.straight(&At::z(hole.from), hole.feed);
            } else {
                self.rapid(&At::z(hole.from));
            }
        }
    }
}

/// What all holes of a drilling move share.
struct Hole {
    from: Length,
    depth: Length,
    peck: Option<Length>,
    dwell: Option<Time>,
    feed: Feed,
    ease: Option<(Length, Feed)>,
    fed_out: bool,
}

fn speed(spindle: Spindle) -> String {
    fixed(spindle.as_rpm(), 0)
}

//! A program's own text read back as a control would read it, and the piece that it makes.
//!
//! In come the text of a program, the shop, the part and how it stands in the vise; out go each
//! breach with its line, every size of the drawing measured on the piece that the motion makes,
//! and the time it takes. This room never knows the plan or the writer of the program.
//!
//! Positions are those of the tip of the tool in the part's axes; the proof takes it that the
//! length offset of a tool's own number is that tool's length. The part is the one of one setup,
//! turned as it stands there ([`crate::part::Part::posed`]).
//!
//! Distances between the way of the cutter and the piece are exact: ways are segments and arcs,
//! tools stacks of cylinders and cones, faces boxes, circles, slots and rounded corners. Whether a
//! region lies within the union of others (what is cut in what may go; what must go in what is cut)
//! is settled by halving it until exact distances decide; what is missed is thinner than 0.002 mm,
//! and what is not settled counts against the program. Four things are sampled or held at their
//! worst: arcs outside the XY plane, as chords within 0.001 mm; a thread mill's ways in and out, at
//! 24 places each; a way that sinks, which is asked at its lowest whether it meets what still stands
//! (what it clears is exact) and whose load is judged in eight stretches, each at its heaviest; the
//! cross-section of a cut that is no straight pass along an axis, whose width and depth are each
//! taken at their largest.
//!
//! What it does not see: deflection, wear, burrs and the run-out of a spindle; the neck of a thread
//! mill, whose diameter no tool file states; the corner radius that an end mill leaves at the foot
//! of a wall; how an end that stands out of the jaws springs. It refuses what it could not vouch
//! for: cutter radius compensation, taps, bores from below, a work offset that the program sets
//! itself, whatever hangs on the program that ran before (a mode not stated, a parameter not set, the
//! home places of G28 and G30), and of parts what `want.rs` names.
//!
//! The language is that of NISTIR 6556, *The NIST RS274/NGC Interpreter – Version 3* (2000);
//! section numbers in this room are that report's.

mod arc;
mod book;
mod cutter;
mod cycle;
mod expression;
mod fault;
mod flat;
mod grid;
mod happen;
mod holding;
mod hole;
mod judge;
mod keep;
mod load;
mod loads;
mod machine;
mod measure;
mod modal;
mod motion;
mod moves;
mod nest;
mod piece;
mod places;
mod probe;
mod read;
mod region;
mod remove;
mod slot;
mod state;
mod thread;
mod time;
mod tongue;
mod trace;
mod want;

pub use expression::Parameters;
pub use load::{LoadVerdict, PieceVerdict, prove_load};
pub use machine::{MOST_LINES, trace};
pub use measure::{Check, Reading, Tapping};
pub use motion::{Arc, Motion, Path, Plane, Tip};
pub use probe::{Block3, Found, Probing, holding as probe_holding, probe};
pub use state::Bench;
pub use time::{Batch, Operation, Times};
pub use trace::{Event, Trace};

use fault::fault;
use judge::Judge;
use serde::Serialize;

use crate::part::Part;
use crate::quantity::Time;
use crate::shop::{Setup, Shop};

/// What the proof found.
#[derive(Clone, Debug, Default)]
pub struct Verdict {
    /// What must not run: causes before what comes of them, each in the order of the lines; line 0
    /// is the finished piece.
    pub breaches: Vec<Breach>,
    /// The virtual first piece.
    pub inspection: Vec<Reading>,
    /// What of it is right or wrong and no length.
    pub checks: Vec<Check>,
    /// Predicted time.
    pub times: Times,
    /// Every move, for whoever shows the path.
    pub motions: Vec<Motion>,
    /// Messages that the program shows to the operator, with their lines.
    pub messages: Vec<(usize, String)>,
}

impl Verdict {
    /// Nothing stands against the program, and every size holds.
    pub fn proved(&self) -> bool {
        self.breaches.is_empty()
            && self.inspection.iter().all(|reading| reading.holds)
            && self.checks.iter().all(|check| check.holds)
    }
}

/// Reads a program back and judges it. Every thread is to be milled; see [`prove_with`].
pub fn prove(text: &str, part: &Part, shop: &Shop, setup: &Setup) -> Verdict {
    prove_with(text, part, shop, setup, &Tapping::default())
}

/// Reads a program back and judges it, with a word on which threads it leaves to the bench.
pub fn prove_with(text: &str, part: &Part, shop: &Shop, setup: &Setup, tapping: &Tapping) -> Verdict {
    let lines = machine::lines(text);
    let (mut trace, mut book) = machine::read_back(&lines, &Bench::of(shop, setup, part.unit));
    let times = time::schedule(&mut trace, shop);
    let mut judge = Judge::new(lines, part, shop, setup);
    for what in want::beyond(part) {
        judge.tell(0, fault("proof/beyond", what, "Nothing is known about the piece that the program makes."));
    }
    let mut now = Time::ZERO;
    for event in &trace.events {
        match event {
            Event::Move(motion, _) => now = motion.t1,
            Event::Dwell { time, .. } => now += *time,
            Event::Change { .. } => now += shop.machine.tool_change,
            _ => {}
        }
        judge.event(event, now);
    }
    let (inspection, checks) = judge.measure(part, tapping);
    book.append(judge.book);
    let breaches = book.close(&shop.control);
    let motions = trace.events.into_iter().filter_map(|event| match event {
        Event::Move(motion, _) => Some(motion),
        _ => None,
    });
    Verdict { breaches, inspection, checks, times, motions: motions.collect(), messages: trace.messages }
}

/// Something in a program that must not run.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Breach {
    /// The line of the program, from one.
    pub line: usize,
    /// The words of that line.
    pub words: String,
    /// A stable name of this kind of breach.
    pub code: &'static str,
    /// What is wrong.
    pub what: String,
    /// What would happen at the machine.
    pub consequence: String,
    /// How many more times the same section of the program does the like.
    pub more: usize,
    /// The last line that does.
    pub last: usize,
}

impl Breach {
    /// How often the like comes again, and where last: what the piece itself shows has no line.
    pub fn again(&self) -> Option<String> {
        let times = if self.more == 1 { "time" } else { "times" };
        match (self.more, self.last) {
            (0, _) => None,
            (more, 0) => Some(format!("And {more} more {times}.")),
            (more, last) => Some(format!("And {more} more {times}, the last on line {last}.")),
        }
    }
}

/// What stands in the place of a measure that a program did not leave: a size that holds without
/// one is not of its making, and is measured at the bench; one that does not hold was to be cut.
pub const fn unmeasured(holds: bool) -> &'static str {
    if holds { "at the bench" } else { "nothing" }
}

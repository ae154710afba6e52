//! What a text does, before anyone judges it.

use super::motion::Motion;
use super::{Breach, Parameters};
use crate::quantity::{Spindle, Time};

/// What a text does, before anyone judges it.
#[derive(Clone, Debug, Default)]
pub struct Trace {
    /// What happens, in order.
    pub events: Vec<Event>,
    /// What is no RS-274, or leaves the control guessing.
    pub breaches: Vec<Breach>,
    /// Messages to the operator, with their lines.
    pub messages: Vec<(usize, String)>,
    /// Other comments, with their lines.
    pub remarks: Vec<(usize, String)>,
    /// The parameters at the end.
    pub parameters: Parameters,
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
        /// It stood before.
        fresh: bool,
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

impl Event {
    /// The line of the program.
    pub const fn line(&self) -> usize {
        match self {
            Self::Move(motion, _) => motion.line,
            Self::Blind { line, .. }
            | Self::HeightUnknown { line }
            | Self::Dwell { line, .. }
            | Self::Change { line, .. }
            | Self::Start { line, .. }
            | Self::End { line, .. } => *line,
        }
    }
}

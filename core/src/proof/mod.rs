//! A program's own text read back as a control would read it, and the piece that it makes.
//!
//! In come the text of a program, the shop, the part and how it stands in the vise; out go each
//! breach with its line, every size of the drawing measured on the piece that the motion makes,
//! and the time it takes. This room never knows the plan or the writer of the program.
//!
//! The language is that of NISTIR 6556, *The NIST RS274/NGC Interpreter – Version 3* (2000);
//! section numbers in this room are that report's.

mod arc;
mod cycle;
mod expression;
mod fault;
mod machine;
mod modal;
mod motion;
mod places;
mod read;
mod state;

pub use expression::Parameters;
pub use machine::{Event, Trace, trace};
pub use motion::{Arc, Motion, Path, Plane, Tip};
pub use state::Bench;

use fault::Fault;
use serde::Serialize;

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
}

impl Breach {
    fn new(line: usize, words: &str, fault: Fault) -> Self {
        let words: String = words.chars().take(read::LONGEST).collect();
        Self { line, words, code: fault.code, what: fault.what, consequence: fault.consequence }
    }
}

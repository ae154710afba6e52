//! The program: the words that a control reads.
//!
//! In come a plan, what stands in the program's header and a control profile; out goes text with
//! the operation of every line. This room never chooses a tool, a feed or a way,
//! and nothing in it can fail: what could go wrong was refused before.
//!
//! The words are those of NISTIR 6556, the published RS-274/NGC rules; section numbers beside the
//! code are that report's.

mod comment;
mod emit;
mod header;
mod probe;
mod text;
mod word;

pub use comment::safe;
pub use emit::{emit, emit_load};
pub use header::Header;
pub use probe::{Piece, SEARCH, TIP, emit_probe};

use serde::Serialize;

/// A program with the story of its lines.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Program {
    /// The whole text; every line ends with a line feed.
    pub text: String,
    /// The lines that belong to an operation, in order.
    pub lines: Vec<Line>,
}

/// Where a line of the program comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Line {
    /// The line of the text, from one.
    pub number: usize,
    /// The operation of the setup, from zero: it knows its feature and the line of the family file.
    pub operation: usize,
}

#[cfg(test)]
mod tests;

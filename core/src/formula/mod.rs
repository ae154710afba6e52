//! Formulas: plain arithmetic with units, comparisons, a conditional and look-ups.
//!
//! In comes the text of a formula; out goes a tree whose dimension is known before any value is,
//! and then a value. This room never knows a family: names get their kinds and values from whoever
//! asks. There are no loops and no way for a formula to name itself, so every evaluation ends.
//!
//! # The language
//! - numbers with units: `1.5`, `0.5 mm`, `3/8 in`, `2 N·m`, `90°`, `75 %`
//! - `+ - * / ^` and brackets; `^` takes a whole exponent
//! - `< <= = != >= >`, also in a row: `2 mm <= web <= 5 mm`
//! - `and`, `or`, `not`; `if … then … else …`
//! - functions: see [`functions`]; fields of what a standard knows: `screw.major`, see [`fields`]
//! - words in quotes: `'cup'`

mod condition;
mod eval;
mod fields;
mod functions;
mod infer;
mod kind;
mod lex;
mod parse;
mod say;
mod tree;

pub use condition::{Worked, say_condition, say_guarded};
pub use eval::{Values, eval};
pub use fields::{Field, fields};
pub use functions::{Function, functions};
pub use infer::{Kinds, infer};
pub use kind::{Fit, Kind, Value};
pub use lex::LONGEST;
pub use parse::{DEEPEST, parse};
pub use say::{Template, say_value, template};
pub use tree::{Expr, ExprKind, Operator, names};

use crate::source::Span;

/// What is wrong with a formula, and where in its text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fault {
    /// A stable name of this kind of fault: `formula/unit-mismatch`.
    pub code: &'static str,
    /// Where, in bytes of the formula's text.
    pub span: Span,
    /// One sentence that stands alone.
    pub what: String,
    /// A word about the place itself.
    pub label: String,
    /// What would be right, where that is known.
    pub help: Option<String>,
}

impl Fault {
    pub(crate) fn new(code: &'static str, span: Span, what: impl Into<String>, label: impl Into<String>) -> Self {
        Self { code, span, what: what.into(), label: label.into(), help: None }
    }

    #[must_use]
    pub(crate) fn help(mut self, help: impl Into<String>) -> Self {
        self.help = Some(help.into());
        self
    }
}

/// A sentence from the words of another room: a capital at its start, one full stop at its end.
fn sentence(words: &str) -> String {
    let words = words.trim_end_matches('.');
    let mut letters = words.chars();
    // Those words are English but for the sign of a diameter; the capitals of all scripts weigh
    // 4 kB in a page.
    let first = letters.next().map(|first| if first == 'ø' { 'Ø' } else { first.to_ascii_uppercase() });
    first.into_iter().chain(letters).chain(['.']).collect()
}

#[cfg(test)]
mod tests;

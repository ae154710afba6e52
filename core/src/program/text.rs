//! The text of a program, line by line, numbered as the control wants it.

use super::Line;
use super::comment::put_signed;
use crate::quantity::put_whole;
use crate::shop::Control;

/// The longest line number (3.3.2).
const MOST: u32 = 99_999;

/// A program as it is written. Words go straight to the text: a string for each would cost more
/// than all the rest of the writing.
pub(super) struct Text<'c> {
    control: &'c Control,
    /// What has been written, and the words of the line that has been begun.
    pub(super) out: String,
    /// The lines that belong to an operation.
    pub(super) lines: Vec<Line>,
    /// The operation that the lines from here on belong to.
    pub(super) operation: Option<usize>,
    written: usize,
    number: u32,
}

impl<'c> Text<'c> {
    pub(super) fn new(control: &'c Control) -> Self {
        let number = control.line_numbers.map_or(0, |numbers| numbers.start);
        Self { control, out: String::new(), lines: Vec::new(), operation: None, written: 0, number }
    }

    /// Begins a line with its number, where the control wants one, and its first words.
    pub(super) fn begin(&mut self, first: &str) {
        if let Some(numbers) = self.control.line_numbers {
            self.out.push('N');
            put_whole(&mut self.out, self.number);
            self.out.push(' ');
            self.number = match self.number.checked_add(numbers.step) {
                Some(next) if next <= MOST => next,
                // Numbers may repeat (3.3.2): begin again.
                _ => numbers.start,
            };
        }
        self.out.push_str(first);
    }

    /// Ends a line.
    pub(super) fn end(&mut self) {
        self.written += 1;
        self.out.push('\n');
        if let Some(operation) = self.operation {
            self.lines.push(Line { number: self.written, operation });
        }
    }

    /// A line of words.
    pub(super) fn line(&mut self, words: &str) {
        self.begin(words);
        self.end();
    }

    /// A line without a number.
    fn bare(&mut self, text: &str) {
        self.out.push_str(text);
        self.end();
    }

    /// A line of the profile's own, as it stands.
    pub(super) fn own(&mut self, text: &str) {
        if text.starts_with(['%', 'N', 'n', 'O', 'o', '(', ';', '/']) { self.bare(text) } else { self.line(text) }
    }

    /// A comment that is safe and fits already; nothing where the control has none.
    pub(super) fn comment(&mut self, text: &str) {
        if put_signed(&mut self.out, text, self.control) {
            self.end();
        }
    }
}

//! A text with a name, and places in it.
//!
//! In comes a text; out go its lines and columns. This room never opens a file.

use std::ops::Range;

use serde::{Deserialize, Serialize};

/// A text that a person wrote, under the name that they know it by.
#[derive(Clone, Debug)]
pub struct Source {
    name: String,
    text: String,
    lines: Vec<usize>,
}

/// A stretch of a source, in bytes.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Span {
    /// The first byte.
    pub start: usize,
    /// The byte after the last.
    pub end: usize,
}

/// A line and a column, both counted from one; the column counts characters.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Place {
    /// The line.
    pub line: usize,
    /// The column.
    pub column: usize,
}

impl Source {
    /// A source of this name and text.
    pub fn new(name: impl Into<String>, text: impl Into<String>) -> Self {
        let text = text.into();
        let lines = std::iter::once(0).chain(text.match_indices('\n').map(|(at, _)| at + 1)).collect();
        Self { name: name.into(), text, lines }
    }

    /// The name.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// The whole text.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// The text of a span; a span that is none of this source's gives an empty text.
    pub fn slice(&self, span: Span) -> &str {
        self.text.get(span.start..span.end).unwrap_or("")
    }

    /// The line and column of a byte.
    pub fn place(&self, byte: usize) -> Place {
        let line = self.lines.partition_point(|start| *start <= byte).max(1);
        let start = self.lines.get(line - 1).copied().unwrap_or(0);
        let before = self.text.get(start..byte.min(self.text.len())).unwrap_or("");
        Place { line, column: before.chars().count() + 1 }
    }
}

impl Span {
    /// A stretch from one byte up to another.
    pub const fn new(start: usize, end: usize) -> Self {
        Self { start, end }
    }

    /// The stretch that covers both.
    #[must_use]
    pub fn with(self, other: Self) -> Self {
        Self { start: self.start.min(other.start), end: self.end.max(other.end) }
    }

    /// The same stretch in a text that begins `by` bytes earlier.
    #[must_use]
    pub const fn moved(self, by: usize) -> Self {
        Self { start: self.start + by, end: self.end + by }
    }

    /// As a range of bytes.
    pub const fn range(self) -> Range<usize> {
        self.start..self.end
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_count_characters() {
        let source = Source::new("note", "first\n⌀ 5 mm\nlast");
        let at = source.text().find("5 mm").expect("there");
        assert_eq!(source.place(at), Place { line: 2, column: 3 }, "the sign is one character");
        assert_eq!(source.place(0), Place { line: 1, column: 1 }, "the start");
        assert_eq!(source.place(999), Place { line: 3, column: 5 }, "past the end: the end");
    }
}

//! Numbers as words.

use crate::quantity::{Feed, Length, Time, Unit, rounded, trimmed};

/// How this program writes lengths and feeds.
#[derive(Clone, Copy, Debug)]
pub(super) struct Format {
    pub(super) unit: Unit,
    pub(super) decimals: usize,
}

impl Format {
    /// A coordinate as the number that the program will show, halves away from zero.
    pub(super) fn round(self, length: Length) -> f64 {
        rounded(self.unit.of(length), self.decimals)
    }

    /// A word with a length: always a figure on both sides of the point, since some controls
    /// read a bare whole number as micrometres.
    pub(super) fn length(self, letter: char, length: Length) -> String {
        self.number(letter, self.round(length))
    }

    /// A word with a number that is in the program's unit already.
    pub(super) fn number(self, letter: char, value: f64) -> String {
        let mut word = String::with_capacity(12);
        word.push(letter);
        word.push_str(&pointed(value, self.decimals));
        word
    }

    /// The word of a feed, never nothing.
    pub(super) fn feed(self, feed: Feed) -> String {
        let (value, decimals, least) = match self.unit {
            Unit::Mm => (feed.as_mm_per_min(), 1, 0.1),
            Unit::Inch => (feed.as_mm_per_min() / 25.4, 2, 0.01),
        };
        format!("F{}", pointed(value.max(least), decimals))
    }
}

/// The word of a dwell, in seconds (3.5.2).
pub(super) fn dwell(time: Time) -> String {
    format!("P{}", pointed(time.as_second(), 2))
}

fn pointed(value: f64, decimals: usize) -> String {
    let mut text = trimmed(value, decimals);
    if !text.contains('.') {
        text.push_str(".0");
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_on_both_sides_of_the_point() {
        let mm = Format { unit: Unit::Mm, decimals: 3 };
        let inch = Format { unit: Unit::Inch, decimals: 4 };
        assert_eq!(mm.length('X', Length::mm(-22.5)), "X-22.5", "plain");
        assert_eq!(mm.length('Z', Length::mm(5.0)), "Z5.0", "whole");
        assert_eq!(mm.length('Y', Length::mm(-0.000_4)), "Y0.0", "no minus nothing");
        assert_eq!(mm.length('X', Length::mm(0.000_5)), "X0.001", "halves go away from zero");
        assert_eq!(inch.length('X', Length::mm(25.4)), "X1.0", "inches");
        assert_eq!(inch.feed(Feed::mm_per_min(144.0)), "F5.67", "5.669 in/min");
        assert_eq!(mm.feed(Feed::mm_per_min(0.0)), "F0.1", "never nothing");
    }
}

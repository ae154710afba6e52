//! Numbers as words.

use crate::quantity::{Feed, Length, Time, Unit, put_decimal, rounded};

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

    /// Adds a word with a length: always a figure on both sides of the point, since some controls
    /// read a bare whole number as micrometres.
    pub(super) fn length(self, text: &mut String, letter: char, length: Length) {
        self.number(text, letter, self.unit.of(length));
    }

    /// Adds a word with a number that is in the program's unit already.
    pub(super) fn number(self, text: &mut String, letter: char, value: f64) {
        text.push(letter);
        put_decimal(text, value, self.decimals);
    }

    /// A length without a letter, as expressions take it.
    pub(super) fn bare(self, length: Length) -> String {
        let mut text = String::new();
        put_decimal(&mut text, self.unit.of(length), self.decimals);
        text
    }

    /// A feed as the number that the program will show, never nothing.
    pub(super) fn round_feed(self, feed: Feed) -> f64 {
        let (value, decimals, least) = match self.unit {
            Unit::Mm => (feed.as_mm_per_min(), 1, 0.1),
            Unit::Inch => (feed.as_mm_per_min() / 25.4, 2, 0.01),
        };
        rounded(value.max(least), decimals)
    }

    /// Adds the word of a feed.
    pub(super) fn feed(self, text: &mut String, feed: Feed) {
        text.push('F');
        put_decimal(text, self.round_feed(feed), 2);
    }
}

/// The word of a dwell, in seconds (3.5.2).
pub(super) fn dwell(time: Time) -> String {
    let mut text = "P".to_owned();
    put_decimal(&mut text, time.as_second(), 2);
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_on_both_sides_of_the_point() {
        let mm = Format { unit: Unit::Mm, decimals: 3 };
        let inch = Format { unit: Unit::Inch, decimals: 4 };
        let length = |format: Format, letter, length| {
            let mut text = String::new();
            format.length(&mut text, letter, length);
            text
        };
        let feed = |format: Format, feed| {
            let mut text = String::new();
            format.feed(&mut text, feed);
            text
        };
        assert_eq!(length(mm, 'X', Length::mm(-22.5)), "X-22.5", "plain");
        assert_eq!(length(mm, 'Z', Length::mm(5.0)), "Z5.0", "whole");
        assert_eq!(length(mm, 'Y', Length::mm(-0.000_4)), "Y0.0", "no minus nothing");
        assert_eq!(length(mm, 'X', Length::mm(0.000_5)), "X0.001", "halves go away from zero");
        assert_eq!(length(inch, 'X', Length::mm(25.4)), "X1.0", "inches");
        assert_eq!(feed(inch, Feed::mm_per_min(144.0)), "F5.67", "5.669 in/min");
        assert_eq!(feed(mm, Feed::mm_per_min(0.0)), "F0.1", "never nothing");
    }
}

//! The one place where numbers become text.

use serde::{Deserialize, Serialize};

use super::Length;

/// The unit that a person has chosen to speak in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Unit {
    /// Millimetres.
    #[default]
    #[serde(rename = "mm")]
    Mm,
    /// Inches.
    #[serde(rename = "in")]
    Inch,
}

impl Unit {
    /// The unit's sign: `mm` or `in`.
    pub const fn sign(self) -> &'static str {
        match self {
            Self::Mm => "mm",
            Self::Inch => "in",
        }
    }

    /// The unit with this sign.
    pub fn named(sign: &str) -> Option<Self> {
        match sign {
            "mm" => Some(Self::Mm),
            "in" | "inch" | "\"" => Some(Self::Inch),
            _ => None,
        }
    }

    /// How many of this unit a length is.
    pub const fn of(self, length: Length) -> f64 {
        match self {
            Self::Mm => length.as_mm(),
            Self::Inch => length.as_inch(),
        }
    }

    /// The length of so many of this unit.
    pub const fn length(self, value: f64) -> Length {
        match self {
            Self::Mm => Length::mm(value),
            Self::Inch => Length::inch(value),
        }
    }

    /// Decimals that a size of a part is shown with at most: 0.001 mm, 0.0001 in.
    pub const fn decimals(self) -> usize {
        match self {
            Self::Mm => 3,
            Self::Inch => 4,
        }
    }

    /// A length as people read it: trimmed, with its sign, `9.96 mm` or `0.392 in`.
    pub fn say(self, length: Length) -> String {
        format!("{} {}", trimmed(self.of(length), self.decimals()), self.sign())
    }
}

/// A number with exactly so many decimals, halves away from zero, never `-0`.
///
/// ```
/// use barwright_core::quantity::fixed;
/// assert_eq!(fixed(-0.000_1, 3), "0.000");
/// assert_eq!(fixed(2.675, 2), "2.68");
/// ```
pub fn fixed(value: f64, decimals: usize) -> String {
    let text = format!("{:.decimals$}", snap(value, decimals));
    let nothing = text.bytes().all(|byte| matches!(byte, b'-' | b'0' | b'.'));
    if nothing { text.trim_start_matches('-').to_owned() } else { text }
}

/// A number with at most so many decimals and no zeros at its end.
///
/// ```
/// use barwright_core::quantity::trimmed;
/// assert_eq!(trimmed(7.50, 3), "7.5");
/// assert_eq!(trimmed(60.0, 3), "60");
/// ```
pub fn trimmed(value: f64, decimals: usize) -> String {
    let text = fixed(value, decimals);
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
}

/// How many decimals a number needs, up to `most`, for [`fixed`] to say all of it.
pub fn decimals(value: f64, most: usize) -> usize {
    trimmed(value, most).split_once('.').map_or(0, |(_, tail)| tail.len())
}

/// A number with so many figures that matter, for strengths, loads and times.
///
/// ```
/// use barwright_core::quantity::pick;
/// assert_eq!(pick(12_345.6, 3), "12300");
/// assert_eq!(pick(0.012_345, 3), "0.0123");
/// ```
pub fn pick(value: f64, figures: usize) -> String {
    if value.abs() < 1e-12 {
        return "0".to_owned();
    }
    let mut whole = 0_usize;
    let mut scale = value.abs();
    while scale >= 1.0 {
        scale /= 10.0;
        whole += 1;
    }
    let mut zeros = 0;
    while whole == 0 && scale < 0.1 {
        scale *= 10.0;
        zeros += 1;
    }
    if whole > figures {
        let mut step = 1.0;
        for _ in figures..whole {
            step *= 10.0;
        }
        fixed((value / step).round() * step, 0)
    } else {
        trimmed(value, figures - whole + zeros)
    }
}

/// Rounds at a decimal place as a person would who sees the number written out: a binary
/// fraction a hair below a written half goes up with it.
fn snap(value: f64, decimals: usize) -> f64 {
    let mut scale = 1.0;
    for _ in 0..decimals {
        scale *= 10.0;
    }
    let scaled = value * scale;
    if !scaled.is_finite() || scaled.abs() > 1e15 {
        return value;
    }
    let nudge = scaled.abs() * 4.0 * f64::EPSILON;
    let rounded = (scaled.abs() + nudge).round();
    rounded.copysign(scaled) / scale
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_minus_nothing() {
        assert_eq!(fixed(-0.000_4, 3), "0.000", "three decimals");
        assert_eq!(fixed(-0.0, 0), "0", "none");
        assert_eq!(fixed(-0.000_6, 3), "-0.001", "a true minus stays");
    }

    #[test]
    fn halves_go_away_from_zero() {
        assert_eq!(fixed(0.125, 2), "0.13", "an exact binary half");
        assert_eq!(fixed(1.005, 2), "1.01", "a hair below the written half");
        assert_eq!(fixed(-1.005, 2), "-1.01", "and on the other side");
    }

    #[test]
    fn figures_that_matter() {
        assert_eq!(pick(999.96, 4), "1000", "carries");
        assert_eq!(pick(3.0, 3), "3", "no zeros at the end");
        assert_eq!(pick(0.0, 3), "0", "nothing");
        assert_eq!(pick(-5.678, 2), "-5.7", "sign");
    }
}

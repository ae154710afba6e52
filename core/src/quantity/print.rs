//! The one place where numbers become text.

use serde::{Deserialize, Serialize};

use super::{Length, Torque};

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

    /// The unit in words, many of it: `millimetres`, `inches`.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Mm => "millimetres",
            Self::Inch => "inches",
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
        let mut text = trimmed(self.of(length), self.decimals());
        text.push(' ');
        text.push_str(self.sign());
        text
    }
}

/// A torque as people read it in a unit's system: `4 N·m` or `12.5 in-lb`, four figures at most.
///
/// ```
/// use barwright_core::quantity::{Torque, Unit, say_torque};
/// assert_eq!(say_torque(Unit::Mm, Torque::newton_mm(2350.0)), "2.35 N·m");
/// ```
pub fn say_torque(unit: Unit, torque: Torque) -> String {
    // 1 lbf = 4.4482216152605 N exactly (international pound, standard gravity).
    match unit {
        Unit::Mm => format!("{} N·m", pick(torque.as_newton_mm() / 1000.0, 4)),
        Unit::Inch => format!("{} in-lb", pick(torque.as_newton_mm() / (4.448_221_615_260_5 * 25.4), 4)),
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
    let mut text = String::new();
    match snapped(value, decimals) {
        Some(whole) => put_pointed(&mut text, whole, value.is_sign_negative(), decimals),
        None => text.push_str(&spelt(value, decimals)),
    }
    text
}

/// A number with at most so many decimals and no zeros at its end.
///
/// ```
/// use barwright_core::quantity::trimmed;
/// assert_eq!(trimmed(7.50, 3), "7.5");
/// assert_eq!(trimmed(60.0, 3), "60");
/// ```
pub fn trimmed(value: f64, decimals: usize) -> String {
    let mut text = String::new();
    put_trimmed(&mut text, value, decimals);
    text
}

/// Adds a number to a text as [`trimmed`] says it.
///
/// ```
/// use barwright_core::quantity::put_trimmed;
/// let mut word = "X".to_owned();
/// put_trimmed(&mut word, -22.50, 3);
/// assert_eq!(word, "X-22.5");
/// ```
pub fn put_trimmed(text: &mut String, value: f64, decimals: usize) {
    put_between(text, value, 0, decimals);
}

/// Adds a number to a text with a figure on both sides of its point, and no more zeros at its end.
///
/// ```
/// use barwright_core::quantity::put_decimal;
/// let mut word = "Z".to_owned();
/// put_decimal(&mut word, 5.0, 3);
/// assert_eq!(word, "Z5.0");
/// ```
pub fn put_decimal(text: &mut String, value: f64, decimals: usize) {
    put_between(text, value, 1, decimals);
}

/// Adds a number rounded to `most` decimals, with as few as say it but at least so many.
fn put_between(text: &mut String, value: f64, least: usize, most: usize) {
    let Some(mut whole) = snapped(value, most) else {
        let spelt = spelt(value, most);
        let tail = if spelt.contains('.') { spelt.trim_end_matches('0').trim_end_matches('.') } else { &spelt };
        text.push_str(tail);
        if least > 0 && !tail.contains('.') {
            text.push_str(".0");
        }
        return;
    };
    let mut decimals = most;
    while decimals < least {
        whole *= 10;
        decimals += 1;
    }
    while decimals > least && whole % 10 == 0 {
        whole /= 10;
        decimals -= 1;
    }
    put_pointed(text, whole, value.is_sign_negative(), decimals);
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

/// All powers of ten that a double holds exactly.
const SCALES: [f64; 23] = [
    1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20,
    1e21, 1e22,
];

/// The number that [`fixed`] says, as it would be read back.
///
/// ```
/// use barwright_core::quantity::rounded;
/// assert_eq!(rounded(2.675, 2), 2.68);
/// ```
pub fn rounded(value: f64, decimals: usize) -> f64 {
    match (snapped(value, decimals), SCALES.get(decimals)) {
        // A whole number by a power of ten, both exact: the double nearest to what is written.
        #[expect(clippy::cast_precision_loss, reason = "a whole number up to 1e15")]
        (Some(whole), Some(scale)) if whole > 0 => (whole as f64 / scale).copysign(value),
        (Some(_), _) => 0.0,
        (None, _) => value,
    }
}

/// Rounds at a decimal place as a person would who sees the number written out: a binary
/// fraction a hair below a written half goes up with it. Out comes the size of the number in
/// units of its last place; `None` where that is not exact.
fn snapped(value: f64, decimals: usize) -> Option<u64> {
    let scaled = (value * SCALES.get(decimals)?).abs();
    let nudge = scaled * 4.0 * f64::EPSILON;
    // What is not a number is not within the limit.
    (scaled <= 1e15).then(|| whole(scaled + nudge))
}

/// The nearest whole number of a value from nought to some 1e15, halves up. The library's own
/// rounding is a call, and a program or a drawing is thousands of numbers.
#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "the value is small enough, and no less than 0"
)]
fn whole(value: f64) -> u64 {
    let below = value as i64;
    // Exact: what is cut off is smaller than the number itself.
    let up = value - below as f64 >= 0.5;
    (below + i64::from(up)) as u64
}

/// Adds a whole number to a text.
///
/// ```
/// use barwright_core::quantity::put_whole;
/// let mut word = "N".to_owned();
/// put_whole(&mut word, 120);
/// assert_eq!(word, "N120");
/// ```
pub fn put_whole(text: &mut String, number: u32) {
    put_pointed(text, u64::from(number), false, 0);
}

/// Adds a whole number of the last place with its point set. Most of a drawing is numbers, and this
/// is several times quicker than the general way.
fn put_pointed(text: &mut String, whole: u64, minus: bool, decimals: usize) {
    // Twenty-three figures at most, a point and a sign.
    let mut signs = [b'0'; 25];
    let mut rest = whole;
    let mut at = signs.len();
    let mut put = |sign: u8| {
        at -= 1;
        signs[at] = sign;
    };
    for _ in 0..decimals {
        put(b"0123456789"[(rest % 10) as usize]);
        rest /= 10;
    }
    if decimals > 0 {
        put(b'.');
    }
    // At least one figure stands before the point.
    loop {
        put(b"0123456789"[(rest % 10) as usize]);
        rest /= 10;
        if rest == 0 {
            break;
        }
    }
    if minus && whole > 0 {
        put(b'-');
    }
    let signs = &signs[at..];
    text.reserve(signs.len());
    // Sign by sign: to have a few bytes read as text would take longer.
    for sign in signs {
        text.push(char::from(*sign));
    }
}

/// The general way, for numbers too large to be rounded.
fn spelt(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    let nothing = text.bytes().all(|byte| matches!(byte, b'-' | b'0' | b'.'));
    if nothing { text.trim_start_matches('-').to_owned() } else { text }
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
    fn what_is_rounded_is_what_is_read_back() {
        let mut seed = 7_u64;
        for round in 0..20_000 {
            seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            #[allow(clippy::cast_precision_loss, reason = "a random number need not be exact")]
            let value = ((seed >> 11) as f64 / (1_u64 << 53) as f64 - 0.5) * 10_f64.powi(round % 9);
            for decimals in 0..6 {
                let read: f64 = fixed(value, decimals).parse().expect("a number");
                assert_eq!(rounded(value, decimals).to_bits(), read.to_bits(), "{value} to {decimals} decimals");
            }
        }
    }

    /// Rounds to a double first and has the library spell it: slow, and plainly right.
    fn slowly(value: f64, decimals: usize) -> String {
        let mut scale = 1.0;
        for _ in 0..decimals {
            scale *= 10.0;
        }
        let scaled = value * scale;
        let rounded = if !scaled.is_finite() || scaled.abs() > 1e15 {
            value
        } else {
            (scaled.abs() + scaled.abs() * 4.0 * f64::EPSILON).round().copysign(scaled) / scale
        };
        spelt(rounded, decimals)
    }

    #[test]
    fn quick_and_slow_agree() {
        let mut seed = 5_u64;
        let mut random = || {
            seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            seed >> 11
        };
        let odd = [0.0, -0.0, 0.5, 1.5, 2.5, 0.499_999_999_999_999_94, 1e15, -1e15, 1e15 + 1.0, 1e16, 1e300, 1e-300];
        let mut values: Vec<f64> = odd.into_iter().chain([f64::NAN, f64::INFINITY, f64::NEG_INFINITY]).collect();
        for _ in 0..5_000 {
            #[allow(clippy::cast_precision_loss, reason = "a random number need not be exact")]
            let number = random() as f64;
            let size = [1.0, 1e-3, 1e-6, 1e-9, 1e-12, 1e-14, 1e-17][(random() % 7) as usize];
            let sign = if random() % 2 == 0 { 1.0 } else { -1.0 };
            values.push(number * size * sign);
            // Written halves and numbers of few figures.
            let few = f64::from(u32::try_from(random() % 2_000_000).unwrap_or(0)) * sign;
            values.extend([few / 1e3, few / 1e4, few / 25.4, few / 1e3 + 5e-4, few / 2e4, few * 25.4 / 1e4]);
        }
        for value in values {
            for decimals in 0..=22 {
                let slowly = slowly(value, decimals);
                assert_eq!(fixed(value, decimals), slowly, "{value:e} with {decimals}");
                let tail =
                    if slowly.contains('.') { slowly.trim_end_matches('0').trim_end_matches('.') } else { &slowly };
                assert_eq!(trimmed(value, decimals), tail, "{value:e} with {decimals} at most");
            }
        }
    }

    #[test]
    fn figures_on_both_sides() {
        let decimal = |value: f64, decimals: usize| {
            let mut text = String::new();
            put_decimal(&mut text, value, decimals);
            text
        };
        assert_eq!(decimal(-22.5, 3), "-22.5", "as it is");
        assert_eq!(decimal(60.0, 3), "60.0", "whole");
        assert_eq!(decimal(5.4, 0), "5.0", "rounded to none, and one shown");
        assert_eq!(decimal(-0.000_4, 3), "0.0", "no minus nothing");
        assert_eq!(decimal(1e16, 3), "10000000000000000.0", "too large to be rounded");
    }

    #[test]
    fn figures_that_matter() {
        assert_eq!(pick(999.96, 4), "1000", "carries");
        assert_eq!(pick(3.0, 3), "3", "no zeros at the end");
        assert_eq!(pick(0.0, 3), "0", "nothing");
        assert_eq!(pick(-5.678, 2), "-5.7", "sign");
    }
}

//! Limits and fits of ISO 286 to 500 mm: tolerance grades, holes and shafts.

use super::Unknown;
use super::unknown::{LONGEST, shown};
use crate::quantity::{Length, trimmed};

/// Upper bounds of the nominal size ranges, in millimetres (ISO 286-1, table 1); each range is
/// over the one before, up to and including its own.
const RANGES: [u16; 13] = [3, 6, 10, 18, 30, 50, 80, 120, 180, 250, 315, 400, 500];

/// Standard tolerances IT4 to IT14 by range, in micrometres (ISO 286-1, table 1). IT5 to IT14 up
/// to 50 mm compared with printed tables, the rest from memory.
const GRADES: [[u16; 13]; 11] = [
    [3, 4, 4, 5, 6, 7, 8, 10, 12, 14, 16, 18, 20],
    [4, 5, 6, 8, 9, 11, 13, 15, 18, 20, 23, 25, 27],
    [6, 8, 9, 11, 13, 16, 19, 22, 25, 29, 32, 36, 40],
    [10, 12, 15, 18, 21, 25, 30, 35, 40, 46, 52, 57, 63],
    [14, 18, 22, 27, 33, 39, 46, 54, 63, 72, 81, 89, 97],
    [25, 30, 36, 43, 52, 62, 74, 87, 100, 115, 130, 140, 155],
    [40, 48, 58, 70, 84, 100, 120, 140, 160, 185, 210, 230, 250],
    [60, 75, 90, 110, 130, 160, 190, 220, 250, 290, 320, 360, 400],
    [100, 120, 150, 180, 210, 250, 300, 350, 400, 460, 520, 570, 630],
    [140, 180, 220, 270, 330, 390, 460, 540, 630, 720, 810, 890, 970],
    [250, 300, 360, 430, 520, 620, 740, 870, 1000, 1150, 1300, 1400, 1550],
];

/// Fundamental deviations of shafts by range, in micrometres, without their sign (ISO 286-1,
/// tables 4 and 5): below the nominal size for d to h, above it for k to p. Up to 50 mm compared
/// with printed tables, the rest from memory.
const DEVIATIONS: [(Letter, [u16; 13]); 9] = [
    (Letter::D, [20, 30, 40, 50, 65, 80, 100, 120, 145, 170, 190, 210, 230]),
    (Letter::E, [14, 20, 25, 32, 40, 50, 60, 72, 85, 100, 110, 125, 135]),
    (Letter::F, [6, 10, 13, 16, 20, 25, 30, 36, 43, 50, 56, 62, 68]),
    (Letter::G, [2, 4, 5, 6, 7, 9, 10, 12, 14, 15, 17, 18, 20]),
    (Letter::H, [0; 13]),
    (Letter::K, [0, 1, 1, 1, 2, 2, 2, 3, 3, 4, 4, 4, 5]),
    (Letter::M, [2, 4, 6, 7, 8, 9, 11, 13, 15, 17, 20, 21, 23]),
    (Letter::N, [4, 8, 10, 12, 15, 17, 20, 23, 27, 31, 34, 37, 40]),
    (Letter::P, [6, 12, 15, 18, 22, 26, 32, 37, 43, 50, 56, 62, 68]),
];

/// Fundamental deviation c, whose ranges are finer: upper bound in millimetres, micrometres below
/// the nominal size (ISO 286-1, table 4; from memory).
const DEVIATION_C: [(u16, u16); 23] = [
    (3, 60),
    (6, 70),
    (10, 80),
    (18, 95),
    (30, 110),
    (40, 120),
    (50, 130),
    (65, 140),
    (80, 150),
    (100, 170),
    (120, 180),
    (140, 200),
    (160, 210),
    (180, 230),
    (200, 240),
    (225, 260),
    (250, 280),
    (280, 300),
    (315, 330),
    (355, 360),
    (400, 400),
    (450, 440),
    (500, 480),
];

/// Where a zone lies against the nominal size.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Letter {
    C,
    D,
    E,
    F,
    G,
    H,
    Js,
    K,
    M,
    N,
    P,
}

const LETTERS: [(&str, Letter); 11] = [
    ("c", Letter::C),
    ("d", Letter::D),
    ("e", Letter::E),
    ("f", Letter::F),
    ("g", Letter::G),
    ("h", Letter::H),
    ("js", Letter::Js),
    ("k", Letter::K),
    ("m", Letter::M),
    ("n", Letter::N),
    ("p", Letter::P),
];

/// A tolerance zone: `H7`, `e9`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Zone {
    hole: bool,
    letter: Letter,
    grade: u8,
}

/// How far the limits of size lie from the nominal size.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Deviations {
    /// Largest size minus nominal size.
    pub upper: Length,
    /// Smallest size minus nominal size.
    pub lower: Length,
}

/// A hole and a shaft of one nominal size.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fit {
    /// The hole's zone.
    pub hole: Zone,
    /// The shaft's zone.
    pub shaft: Zone,
}

/// What a fit leaves between hole and shaft; below nothing it is interference.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Clearance {
    /// Smallest hole on largest shaft.
    pub least: Length,
    /// Largest hole on smallest shaft.
    pub most: Length,
}

const FORM: &str =
    "Holes are D E F G H JS K M N P, shafts c d e f g h js k m n p, each with a grade from 5 to 14: `H7`, `e9`.";

/// The tolerance zone with this name; capitals are holes, small letters shafts.
///
/// # Errors
/// Tells the letters and grades that are kept.
///
/// ```
/// use barwright_core::quantity::Length;
/// use barwright_core::standards::fit::zone;
/// let slide = zone("e9").unwrap().limits(Length::mm(10.0)).unwrap();
/// assert_eq!((slide.upper, slide.lower), (Length::mm(-0.025), Length::mm(-0.061)));
/// ```
pub fn zone(name: &str) -> Result<Zone, Unknown> {
    let unknown = || Unknown::new(format!("`{}` is no tolerance zone that is known here.", shown(name)), FORM);
    let text = name.trim();
    let digits = text.find(|c: char| c.is_ascii_digit()).ok_or_else(unknown)?;
    let (letters, grade) = text.split_at_checked(digits).ok_or_else(unknown)?;
    let letters = letters.trim_end();
    let grade: u8 = grade.parse().map_err(|_| unknown())?;
    if text.len() > LONGEST || !(5..=14).contains(&grade) {
        return Err(unknown());
    }
    let hole = letters.chars().all(|c| c.is_ascii_uppercase());
    if !hole && !letters.chars().all(|c| c.is_ascii_lowercase()) {
        return Err(unknown());
    }
    let (_, letter) = LETTERS.iter().find(|(known, _)| known.eq_ignore_ascii_case(letters)).ok_or_else(unknown)?;
    Ok(Zone { hole, letter: *letter, grade })
}

/// The standard tolerance of a grade, IT5 to IT14, for a nominal size to 500 mm (ISO 286-1).
///
/// # Errors
/// Tells the grades and sizes that the table covers.
pub fn tolerance_grade(grade: u8, nominal: Length) -> Result<Length, Unknown> {
    let range = range_of(nominal)?;
    let width = if grade >= 5 { micrometres(grade, range) } else { None };
    let none = || Unknown::new(format!("IT{grade} is not kept here."), "The grades here are IT5 to IT14.");
    width.map(um).ok_or_else(none)
}

/// The bounds of the nominal size ranges of ISO 286-1: over the first, up to and including the second.
pub fn ranges() -> impl Iterator<Item = (Length, Length)> {
    let from = std::iter::once(0).chain(RANGES);
    from.zip(RANGES).map(|(from, to)| (Length::mm(f64::from(from)), Length::mm(f64::from(to))))
}

/// Reads `H7/g6`, `H7 g6`.
///
/// # Errors
/// Tells which half is unknown.
pub fn fit(name: &str) -> Result<Fit, Unknown> {
    let form = || Unknown::new(format!("`{}` is no fit.", shown(name)), "Write the hole, then the shaft: `H7/g6`.");
    if name.len() > LONGEST {
        return Err(form());
    }
    let (first, second) = name.trim().split_once(['/', ' ', '-']).ok_or_else(form)?;
    let (hole, shaft) = (zone(first)?, zone(second)?);
    if hole.hole && !shaft.hole { Ok(Fit { hole, shaft }) } else { Err(form()) }
}

impl Fit {
    /// The smallest and largest clearance for a nominal size.
    ///
    /// # Errors
    /// As [`Zone::limits`].
    pub fn clearance(self, nominal: Length) -> Result<Clearance, Unknown> {
        let (hole, shaft) = (self.hole.limits(nominal)?, self.shaft.limits(nominal)?);
        Ok(Clearance { least: tidy(hole.lower - shaft.upper), most: tidy(hole.upper - shaft.lower) })
    }
}

impl Zone {
    /// Whether this is a zone of holes.
    pub const fn is_hole(self) -> bool {
        self.hole
    }

    /// The zone's name: `H7`, `e9`.
    pub fn name(self) -> String {
        let letters = LETTERS.iter().find(|(_, letter)| *letter == self.letter).map_or("", |(name, _)| name);
        let letters = if self.hole { letters.to_ascii_uppercase() } else { letters.to_owned() };
        format!("{letters}{}", self.grade)
    }

    /// The deviations for a nominal size over nothing up to 500 mm (ISO 286-1; ISO 286-2).
    ///
    /// # Errors
    /// Tells the sizes that are covered, and zones that the standard leaves out.
    pub fn limits(self, nominal: Length) -> Result<Deviations, Unknown> {
        let range = range_of(nominal)?;
        let width = i32::from(micrometres(self.grade, range).unwrap_or(0));
        if self.letter == Letter::Js {
            let half = Length::mm(f64::from(width) / 2000.0);
            return Ok(Deviations { upper: half, lower: -half });
        }
        let (upper, lower) =
            if self.hole { self.hole_limits(range, nominal, width)? } else { self.shaft_limits(range, nominal, width) };
        Ok(Deviations { upper: um(upper), lower: um(lower) })
    }

    fn shaft_limits(self, range: usize, nominal: Length, width: i32) -> (i32, i32) {
        let deviation = self.deviation(range, nominal);
        match self.letter {
            // k sits on the nominal size in the coarse grades.
            Letter::K if self.grade > 7 => (width, 0),
            Letter::K | Letter::M | Letter::N | Letter::P => (deviation + width, deviation),
            Letter::C | Letter::D | Letter::E | Letter::F | Letter::G | Letter::H | Letter::Js => {
                (-deviation, -deviation - width)
            }
        }
    }

    /// Holes mirror shafts, but K, M and N up to IT8 and P up to IT7 are shifted by the difference
    /// of two neighbouring grades, so that H7/p6 and P7/h6 fit alike (ISO 286-1, tables 2 and 3).
    fn hole_limits(self, range: usize, nominal: Length, width: i32) -> Result<(i32, i32), Unknown> {
        let deviation = self.deviation(range, nominal);
        let finer = i32::from(micrometres(self.grade - 1, range).unwrap_or(0));
        let shift = if range == 0 { 0 } else { width - finer };
        let upper = match self.letter {
            Letter::K if self.grade > 8 && range > 0 => {
                return Err(Unknown::new(
                    format!("{} is not defined over 3 mm.", self.name()),
                    "ISO 286-1 has K for holes up to grade 8.",
                ));
            }
            // ISO 286-1, table 2: M6 over 250 to 315 mm is −9, not −11.
            Letter::M if self.grade == 6 && range == 10 => -9,
            Letter::N if self.grade > 8 => {
                if range == 0 {
                    -deviation
                } else {
                    0
                }
            }
            Letter::K | Letter::M | Letter::N if self.grade <= 8 => shift - deviation,
            Letter::P if self.grade <= 7 => shift - deviation,
            Letter::K | Letter::M | Letter::N | Letter::P => -deviation,
            Letter::C | Letter::D | Letter::E | Letter::F | Letter::G | Letter::H | Letter::Js => deviation + width,
        };
        Ok((upper, upper - width))
    }

    fn deviation(self, range: usize, nominal: Length) -> i32 {
        if self.letter == Letter::C {
            return DEVIATION_C.iter().find(|(to, _)| within(nominal, *to)).map_or(0, |(_, c)| i32::from(*c));
        }
        let row = DEVIATIONS.iter().find(|(letter, _)| *letter == self.letter);
        row.and_then(|(_, row)| row.get(range)).map_or(0, |value| i32::from(*value))
    }
}

/// The row of the size range, or why there is none.
fn range_of(nominal: Length) -> Result<usize, Unknown> {
    let found = if nominal > Length::ZERO { RANGES.iter().position(|to| within(nominal, *to)) } else { None };
    found.ok_or_else(|| {
        Unknown::new(
            format!("{} mm is outside the table of ISO 286-1.", trimmed(nominal.as_mm(), 3)),
            "The sizes kept here are over 0 up to 500 mm.",
        )
    })
}

/// A billionth is forgiven, so that 1.968… in typed for 50 mm stays in its range.
fn within(nominal: Length, to: u16) -> bool {
    nominal.as_mm() <= f64::from(to) + 1e-9
}

fn micrometres(grade: u8, range: usize) -> Option<u16> {
    GRADES.get(usize::from(grade).checked_sub(4)?)?.get(range).copied()
}

fn um(value: impl Into<f64>) -> Length {
    Length::mm(value.into() / 1000.0)
}

fn tidy(length: Length) -> Length {
    length.to_nearest(Length::mm(0.000_5))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn limits(name: &str, mm: f64) -> (f64, f64) {
        let zone = zone(name).unwrap_or_else(|error| panic!("{name}: {error}"));
        let found = zone.limits(Length::mm(mm)).unwrap_or_else(|error| panic!("{name} {mm}: {error}"));
        (found.upper.as_mm() * 1000.0, found.lower.as_mm() * 1000.0)
    }

    #[test]
    fn shifted_holes() {
        // ISO 286-2 (from memory): K7 and N7 and P7 of 25 mm, M7 of 10 mm, K6 of 50 mm.
        for (name, mm, upper, lower) in [
            ("K7", 25.0, 6.0, -15.0),
            ("N7", 25.0, -7.0, -28.0),
            ("P7", 25.0, -14.0, -35.0),
            ("M7", 10.0, 0.0, -15.0),
            ("K6", 50.0, 3.0, -13.0),
            ("K7", 2.0, 0.0, -10.0),
            ("N9", 10.0, 0.0, -36.0),
            ("P9", 10.0, -15.0, -51.0),
            ("N7", 3.0, -4.0, -14.0),
            ("k8", 20.0, 33.0, 0.0),
            ("c11", 45.0, -130.0, -290.0),
            ("M6", 300.0, -9.0, -41.0),
        ] {
            let found = limits(name, mm);
            approx::assert_abs_diff_eq!(found.0, upper, epsilon = 1e-9);
            approx::assert_abs_diff_eq!(found.1, lower, epsilon = 1e-9);
        }
    }

    #[test]
    fn bounds_belong_to_the_lower_range() {
        approx::assert_abs_diff_eq!(limits("H7", 10.0).0, 15.0, epsilon = 1e-9);
        approx::assert_abs_diff_eq!(limits("H7", 10.001).0, 18.0, epsilon = 1e-9);
        approx::assert_abs_diff_eq!(limits("H7", 500.0).0, 63.0, epsilon = 1e-9);
    }

    #[test]
    fn worked_fit() {
        // 25 H7/g6: clearance 7 to 41 µm (worked from ISO 286-1; a public fit calculator agrees).
        let clearance = fit("H7/g6").expect("a fit").clearance(Length::mm(25.0)).expect("in the table");
        assert_eq!((clearance.least, clearance.most), (Length::mm(0.007), Length::mm(0.041)), "7 to 41 µm");
    }

    #[test]
    fn nasty_names() {
        let long = "H".repeat(10_000);
        for name in
            ["", "H", "7", "H4", "H15", "H7x", "Hh7", "I7", "x6", "H-7", "H999", "ß7", "h7é", "Ⅶ7", long.as_str()]
        {
            assert!(!zone(name).expect_err(name).help.is_empty(), "{name}");
        }
        for name in ["", "H7", "g6/H7", "H7/H7", "h7/g6", "/"] {
            assert!(fit(name).is_err(), "{name}");
        }
        for mm in [0.0, -1.0, 500.1, f64::NAN, f64::INFINITY] {
            assert!(zone("H7").expect("known").limits(Length::mm(mm)).is_err(), "{mm}");
        }
        assert!(zone("K9").expect("known").limits(Length::mm(10.0)).is_err(), "not in the standard");
    }
}

//! Unified inch threads by the formulas of ASME B1.1, rounded as its tables are.

use super::drill::{self, Drill, ParseDecimal, Series};
use super::thread::{External, Internal, Thread, unknown};
use super::unknown::shown;
use super::{Unknown, inches};
use crate::quantity::trig::{cbrt, pow};
use crate::quantity::{Area, Length, Unit};

/// Sizes of ASME B1.1: name, major diameter in ten-thousandths of an inch, threads per inch of
/// UNC, UNF and UNEF (0 where there is none).
const SIZES: &[(&str, u16, [u16; 3])] = &[
    ("0", 600, [0, 80, 0]),
    ("1", 730, [64, 72, 0]),
    ("2", 860, [56, 64, 0]),
    ("3", 990, [48, 56, 0]),
    ("4", 1120, [40, 48, 0]),
    ("5", 1250, [40, 44, 0]),
    ("6", 1380, [32, 40, 0]),
    ("8", 1640, [32, 36, 0]),
    ("10", 1900, [24, 32, 0]),
    ("12", 2160, [24, 28, 32]),
    ("1/4", 2500, [20, 28, 32]),
    ("5/16", 3125, [18, 24, 32]),
    ("3/8", 3750, [16, 24, 32]),
    ("7/16", 4375, [14, 20, 28]),
    ("1/2", 5000, [13, 20, 28]),
    ("9/16", 5625, [12, 18, 24]),
    ("5/8", 6250, [11, 18, 24]),
    ("11/16", 6875, [0, 0, 24]),
    ("3/4", 7500, [10, 16, 20]),
    ("13/16", 8125, [0, 0, 20]),
    ("7/8", 8750, [9, 14, 20]),
    ("15/16", 9375, [0, 0, 20]),
    ("1", 10_000, [8, 12, 20]),
];

const SERIES: [&str; 3] = ["UNC", "UNF", "UNEF"];

/// The usual tap drill by size in ten-thousandths and threads per inch (trade charts); where it
/// lies outside the limits of the minor diameter, and for all others, a drill inside is searched.
const USUAL: &[(u16, u16, &str)] = &[
    (600, 80, "3/64"),
    (730, 64, "#53"),
    (730, 72, "#53"),
    (860, 56, "#50"),
    (860, 64, "#50"),
    (990, 48, "#47"),
    (990, 56, "#45"),
    (1120, 40, "#43"),
    (1120, 48, "#42"),
    (1250, 40, "#38"),
    (1250, 44, "#37"),
    (1380, 32, "#36"),
    (1380, 40, "#33"),
    (1640, 32, "#29"),
    (1640, 36, "#29"),
    (1900, 24, "#25"),
    (1900, 32, "#21"),
    (2160, 24, "#16"),
    (2160, 28, "#14"),
    (2160, 32, "#13"),
    (2500, 20, "#7"),
    (2500, 28, "#3"),
    (2500, 32, "7/32"),
    (3125, 18, "F"),
    (3125, 24, "I"),
    (3125, 32, "9/32"),
    (3750, 16, "5/16"),
    (3750, 24, "Q"),
    (3750, 32, "11/32"),
    (4375, 14, "U"),
    (4375, 20, "25/64"),
    (4375, 28, "Y"),
    (5000, 13, "27/64"),
    (5000, 20, "29/64"),
    (5000, 28, "15/32"),
    (5625, 12, "31/64"),
    (5625, 18, "33/64"),
    (6250, 11, "17/32"),
    (6250, 18, "37/64"),
    (7500, 10, "21/32"),
    (7500, 16, "11/16"),
    (8750, 9, "49/64"),
    (8750, 14, "13/16"),
    (10_000, 8, "7/8"),
    (10_000, 12, "59/64"),
];

/// One thread of the table.
#[derive(Clone, Copy)]
struct Row {
    size: &'static str,
    major: u16,
    tpi: u16,
    series: usize,
}

fn rows() -> impl Iterator<Item = Row> {
    SIZES.iter().flat_map(|&(size, major, threads)| {
        let of_series = move |(series, tpi): (usize, u16)| Row { size, major, tpi, series };
        threads.into_iter().enumerate().map(of_series).filter(|row| row.tpi > 0)
    })
}

impl Row {
    fn name(self) -> String {
        format!("{}-{}", self.size, self.tpi)
    }

    fn designation(self) -> String {
        format!("{} {}", self.name(), SERIES.get(self.series).copied().unwrap_or("UN"))
    }
}

/// Names as a person calls them: `10-32`, `1/4-20`.
pub(super) fn names() -> impl Iterator<Item = String> {
    rows().map(Row::name)
}

/// Reads a folded name: `1/4-20unc-2b`, `#10-32`, `.250-20`.
pub(super) fn read(asked: &str, text: &str) -> Result<Thread, Unknown> {
    let mut parts = text.splitn(3, '-');
    let (size, rest, class) = (parts.next().unwrap_or(""), parts.next(), parts.next());
    let of_size: Vec<Row> = rows().filter(|row| is_size(size, *row)).collect();
    let Some(rest) = rest else {
        return Err(if of_size.is_empty() { unknown(asked) } else { offer(asked, &of_size) });
    };
    let digits = rest.find(|c: char| !c.is_ascii_digit()).unwrap_or(rest.len());
    let (tpi, series) = rest.split_at_checked(digits).unwrap_or((rest, ""));
    let found = of_size.iter().find(|row| tpi.parse() == Ok(row.tpi));
    let Some(&row) = found else {
        return Err(if of_size.is_empty() { unknown(asked) } else { offer(asked, &of_size) });
    };
    let known = SERIES.get(row.series).is_some_and(|known| known.eq_ignore_ascii_case(series));
    if !known && !["", "un", "tpi"].contains(&series) {
        return Err(Unknown::new(
            format!("`{}` does not go together.", shown(asked)),
            format!("{} threads to the inch is {}.", row.tpi, row.designation()),
        ));
    }
    let (screw, hole) = match class {
        None | Some("2a" | "2b" | "2a/2b") => (Class::Two, Class::Two),
        Some("3a") => (Class::Three, Class::Two),
        Some("3b") => (Class::Two, Class::Three),
        Some("3a/3b") => (Class::Three, Class::Three),
        Some(_) => {
            return Err(Unknown::new(
                format!("`{}` asks for a class that is not kept here.", shown(asked)),
                "The classes here are 2A and 3A for the screw, 2B and 3B for the hole; the hand is said apart.",
            ));
        }
    };
    Ok(build(row, screw, hole))
}

fn offer(asked: &str, of_size: &[Row]) -> Unknown {
    let has: Vec<String> = of_size.iter().map(|row| row.designation()).collect();
    Unknown::new(
        format!("`{}` is no thread of ASME B1.1 that is known here.", shown(asked)),
        format!("The size has {}.", has.join(", ")),
    )
}

/// Whether a typed size means that of the row: `#10`, `10`, `1/4`, `1/4"`, `.250`.
fn is_size(typed: &str, row: Row) -> bool {
    let number = ["#", "no."].iter().find_map(|mark| typed.strip_prefix(mark));
    let below_a_quarter = row.major < 2500;
    if let Some(number) = number {
        return below_a_quarter && number == row.size;
    }
    let inch = ["inch", "in", "\"", "″"].iter().find_map(|mark| typed.strip_suffix(mark));
    let body = inch.unwrap_or(typed);
    if body == row.size {
        return inch.is_none() || !below_a_quarter;
    }
    let decimal = if body.contains('.') { body.parse_decimal() } else { None };
    decimal.is_some_and(|value| (value * 10_000.0 - f64::from(row.major)).abs() < 0.6)
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Class {
    Two,
    Three,
}

/// The formulas of ASME B1.1. Its tables come about by rounding allowance, tolerances and the
/// basic pitch diameter to four places before adding, and the minor diameter after.
fn build(row: Row, screw: Class, hole: Class) -> Thread {
    let d = f64::from(row.major) / 10_000.0;
    let n = f64::from(row.tpi);
    let p = 1.0 / n;
    let p23 = pow(p, 2.0 / 3.0);
    // Length of engagement: the diameter for the coarse and fine series, nine pitches for UNEF.
    let engagement = if row.series == 2 { 9.0 * p } else { d };
    let base = 0.0015 * cbrt(d) + 0.0015 * engagement.sqrt() + 0.015 * p23;
    let (screw_factor, allowance) = match screw {
        Class::Two => (1.0, places(0.300 * base, 4)),
        Class::Three => (0.75, 0.0),
    };
    let hole_factor = match hole {
        Class::Two => 1.3,
        Class::Three => 0.975,
    };
    let basic_pitch = places(d - 0.649_519_052_838_329 * p, 4);
    let pitch_max = match (row.major, row.tpi, hole) {
        // The formula gives 0.222 37; ASME B1.1 prints 0.2224, though step by step it is 0.2223.
        (2500, 20, Class::Two) => 0.2224,
        _ => basic_pitch + places(hole_factor * base, 4),
    };
    let minor = d - 1.082_531_754_730_548 * p;
    let minor_max = minor + minor_tolerance(d, n, p, p23, hole);
    // ASME B1.30: three places from 0.138 in up, but four for the largest of class 3B.
    let coarse = if row.major >= 1380 { 3 } else { 4 };
    let minor_max = places(minor_max, if hole == Class::Three { 4 } else { coarse });
    let minor_min = places(minor, coarse);
    let stress = d - 0.974_278_579_257_493 * p;
    let (ext, int) = (if screw == Class::Two { "2A" } else { "3A" }, if hole == Class::Two { "2B" } else { "3B" });
    Thread {
        designation: row.designation(),
        name: row.name(),
        unit: Unit::Inch,
        major: inch(d),
        pitch: Length::inch(p),
        internal: Internal {
            class: int.to_owned(),
            minor_min: inch(minor_min),
            minor_max: inch(minor_max),
            pitch_min: inch(basic_pitch),
            pitch_max: inch(pitch_max),
        },
        external: External {
            class: ext.to_owned(),
            major_max: inch(d - allowance),
            major_min: inch(d - allowance - places(0.060 * p23, 4)),
            pitch_max: inch(basic_pitch - allowance),
            pitch_min: inch(basic_pitch - allowance - places(screw_factor * base, 4)),
        },
        tap_drill: tap_drill(row, d, p, minor_min, minor_max),
        stress_area: Area::mm2(std::f64::consts::PI / 4.0 * stress * stress * 645.16),
        source: "ASME B1.1 formulas, rounded by ASME B1.30; stress area ASME B1.1 appendix; tap drill trade charts, \
                 inside the minor diameter limits"
            .to_owned(),
    }
}

/// Tolerance of the minor diameter of the hole, in inches. The rules below 1/4 in and for class
/// 3B are from memory; the first reproduces every printed row from #4 to #12, the second those
/// that the tests name.
fn minor_tolerance(d: f64, n: f64, p: f64, p23: f64, class: Class) -> f64 {
    let by_size = 0.05 * p23 + 0.03 * p / d - 0.002;
    let fine = 0.25 * p - 0.40 * p * p;
    match class {
        Class::Two if d >= 0.25 => fine,
        Class::Two => by_size.min(0.394 * p).max(fine),
        Class::Three => {
            let least = if n >= 13.0 { 0.23 * p - 1.5 * p * p } else { 0.120 * p };
            by_size.min(0.394 * p).max(least)
        }
    }
}

/// The usual drill if it lies inside the limits; otherwise the one inside that comes nearest to
/// 75 % of the trade height, from the inch series where they have one.
fn tap_drill(row: Row, d: f64, p: f64, minor_min: f64, minor_max: f64) -> Drill {
    let inside = |drill: &Drill| {
        let bore = drill.diameter.as_inch();
        bore >= minor_min - 1e-7 && bore <= minor_max + 1e-7
    };
    let usual = USUAL.iter().find(|(major, tpi, _)| *major == row.major && *tpi == row.tpi);
    if let Some(drill) = usual.and_then(|(.., name)| drill::drill(name).ok()).filter(inside) {
        return drill;
    }
    let aim = d - 0.75 * 1.299_038_105_676_658 * p;
    let away = |drill: &Drill| (drill.diameter - Length::inch(aim)).abs();
    let best = |kinds: &[Series]| {
        let all = kinds.iter().flat_map(|kind| drill::series(*kind)).filter(inside);
        all.min_by(|a, b| away(a).order(away(b)))
    };
    best(&[Series::Number, Series::Letter, Series::Fraction])
        .or_else(|| best(&[Series::Metric]))
        .unwrap_or_else(|| drill::nearest(Length::inch(aim)))
}

/// A length of so many ten-thousandths, free of the dust of adding.
fn inch(value: f64) -> Length {
    inches(places(value, 4))
}

/// Rounds to decimal places, halves up; values here are positive.
fn places(value: f64, decimals: usize) -> f64 {
    let scale = if decimals == 3 { 1000.0 } else { 10_000.0 };
    (value * scale + 1e-9).round() / scale
}

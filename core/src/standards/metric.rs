//! ISO metric threads: ISO 68-1 profile, ISO 261 sizes, ISO 965-1 tolerances 6H and 6g.

use super::Unknown;
use super::drill::{self, ParseDecimal};
use super::thread::{External, Internal, Thread, unknown};
use super::unknown::shown;
use crate::quantity::{Area, Length, Unit, trimmed};

/// Sizes of ISO 261 with a usual tap drill (ISO 2306): major, pitch, drill, in hundredths of a
/// millimetre; the first pitch of a size is its coarse one.
const SIZES: &[(u16, u16, u16)] = &[
    (160, 35, 125),
    (180, 35, 145),
    (200, 40, 160),
    (200, 25, 175),
    (220, 45, 175),
    (250, 45, 205),
    (250, 35, 215),
    (300, 50, 250),
    (300, 35, 265),
    (350, 60, 290),
    (350, 35, 315),
    (400, 70, 330),
    (400, 50, 350),
    (450, 75, 370),
    (500, 80, 420),
    (500, 50, 450),
    (600, 100, 500),
    (600, 75, 520),
    (700, 100, 600),
    (800, 125, 680),
    (800, 100, 700),
    (800, 75, 720),
    (1000, 150, 850),
    (1000, 125, 880),
    (1000, 100, 900),
    (1000, 75, 920),
    (1200, 175, 1020),
    (1200, 150, 1050),
    (1200, 125, 1080),
    (1200, 100, 1100),
    (1400, 200, 1200),
    (1400, 150, 1250),
    (1400, 125, 1280),
    (1600, 200, 1400),
    (1600, 150, 1450),
    (1600, 100, 1500),
    (1800, 250, 1550),
    (1800, 200, 1600),
    (1800, 150, 1650),
    (2000, 250, 1750),
    (2000, 200, 1800),
    (2000, 150, 1850),
    (2200, 250, 1950),
    (2200, 200, 2000),
    (2200, 150, 2050),
    (2400, 300, 2100),
    (2400, 200, 2200),
    (2400, 150, 2250),
];

/// By pitch (hundredths of a millimetre): allowance g, major tolerance of the screw, minor
/// tolerance of the hole, grade 6, in micrometres. ISO 965-1, tables 1 to 3; the pitches 0.25,
/// 0.35, 0.75, 2.5 and 3 from memory.
const BY_PITCH: &[(u16, u16, u16, u16)] = &[
    (25, 18, 67, 71),
    (35, 19, 85, 100),
    (40, 19, 95, 112),
    (45, 20, 100, 125),
    (50, 20, 106, 140),
    (60, 21, 125, 160),
    (70, 22, 140, 180),
    (75, 22, 140, 190),
    (80, 24, 150, 200),
    (100, 26, 180, 236),
    (125, 28, 212, 265),
    (150, 32, 236, 300),
    (175, 34, 265, 335),
    (200, 38, 280, 375),
    (250, 42, 335, 450),
    (300, 48, 375, 500),
];

/// By largest major diameter of the range and pitch (hundredths of a millimetre): tolerance of
/// the pitch diameter, grade 6, of the screw and of the hole, in micrometres. ISO 965-1, tables
/// 4 and 5.
const BY_RANGE: &[(u16, u16, u16, u16)] = &[
    (280, 25, 56, 75),
    (280, 35, 63, 85),
    (280, 40, 67, 90),
    (280, 45, 71, 95),
    (560, 35, 67, 90),
    (560, 50, 75, 100),
    (560, 60, 85, 112),
    (560, 70, 90, 118),
    (560, 75, 90, 118),
    (560, 80, 95, 125),
    (1120, 75, 100, 132),
    (1120, 100, 112, 150),
    (1120, 125, 118, 160),
    (1120, 150, 132, 180),
    (2240, 100, 118, 160),
    (2240, 125, 132, 180),
    (2240, 150, 140, 190),
    (2240, 175, 150, 200),
    (2240, 200, 160, 212),
    (2240, 250, 170, 224),
    (4500, 150, 150, 200),
    (4500, 200, 170, 224),
    (4500, 300, 200, 265),
];

/// Pitches, in hundredths, and ranges whose tolerances were compared with a printed table.
const COMPARED: [u16; 11] = [40, 45, 50, 60, 70, 80, 100, 125, 150, 175, 200];

/// Names as a person calls them: `M5`, `M8x1`.
pub(super) fn names() -> impl Iterator<Item = String> {
    SIZES.iter().map(|(major, pitch, _)| name(*major, *pitch))
}

/// Reads what follows the letter M, folded.
pub(super) fn read(asked: &str, rest: &str) -> Result<Thread, Unknown> {
    let (size, class) = match rest.split_once('-') {
        Some((size, class)) => (size, Some(class)),
        None => (rest, None),
    };
    let (major, pitch) = match size.split_once('x') {
        Some((major, pitch)) => (major, Some(pitch)),
        None => (size, None),
    };
    let major = hundredths(major).ok_or_else(|| unknown(asked))?;
    let of_size: Vec<(u16, u16, u16)> = SIZES.iter().copied().filter(|(known, ..)| *known == major).collect();
    let found = match pitch {
        None => of_size.first(),
        Some(text) => {
            let pitch = hundredths(text);
            of_size.iter().find(|(_, known, _)| Some(*known) == pitch)
        }
    };
    let Some(&(major, pitch, bore)) = found else {
        if of_size.is_empty() {
            return Err(unknown(asked));
        }
        let has: Vec<String> = of_size.iter().map(|(major, pitch, _)| designation(*major, *pitch)).collect();
        return Err(Unknown::new(
            format!("`{}` is no pitch of ISO 261 that is known here.", shown(asked)),
            format!("The size has {}.", has.join(", ")),
        ));
    };
    if let Some(class) = class
        && !["6h", "6g", "6h/6g"].contains(&class)
    {
        return Err(Unknown::new(
            format!("`{}` asks for a class that is not tabulated here.", shown(asked)),
            "The classes here are 6H for the hole and 6g for the screw; the hand is said apart.",
        ));
    }
    build(major, pitch, bore).ok_or_else(|| unknown(asked))
}

/// `None` where a table has no row, which a test over every size rules out.
fn build(major: u16, pitch: u16, bore: u16) -> Option<Thread> {
    let (_, allowance, major_tolerance, minor_tolerance) = *BY_PITCH.iter().find(|(known, ..)| *known == pitch)?;
    let (range, _, screw, hole) = *BY_RANGE.iter().find(|(to, known, ..)| *known == pitch && major <= *to)?;
    let p = f64::from(pitch) / 100.0;
    let d = f64::from(major) / 100.0;
    // Basic sizes are rounded to the micrometre first, as ISO 724 prints them.
    let basic_pitch = micrometres(d - 0.649_519_052_838_329 * p);
    let basic_minor = micrometres(d - 1.082_531_754_730_548 * p);
    let basic_major = micrometres(d);
    let um = |value: i64| Length::mm(f64::from(i32::try_from(value).unwrap_or(0)) / 1000.0);
    let upper = |basic: i64, tolerance: u16| um(basic + i64::from(tolerance));
    let lower = |basic: i64, tolerance: u16| um(basic - i64::from(allowance) - i64::from(tolerance));
    let mean = d - 0.938_194_187_415_2 * p;
    let how = if COMPARED.contains(&pitch) && range < 4500 { "" } else { " (this row from memory)" };
    Some(Thread {
        designation: designation(major, pitch),
        name: name(major, pitch),
        unit: Unit::Mm,
        major: Length::mm(d),
        pitch: Length::mm(p),
        internal: Internal {
            class: "6H".to_owned(),
            minor_min: um(basic_minor),
            minor_max: upper(basic_minor, minor_tolerance),
            pitch_min: um(basic_pitch),
            pitch_max: upper(basic_pitch, hole),
        },
        external: External {
            class: "6g".to_owned(),
            major_max: lower(basic_major, 0),
            major_min: lower(basic_major, major_tolerance),
            pitch_max: lower(basic_pitch, 0),
            pitch_min: lower(basic_pitch, screw),
        },
        tap_drill: drill::nearest_metric(bore),
        stress_area: Area::mm2(std::f64::consts::PI / 4.0 * mean * mean),
        source: format!(
            "ISO 68-1 and ISO 724 basic sizes, ISO 965-1 tolerance tables{how}; stress area ISO 898-1; tap drill ISO 2306"
        ),
    })
}

fn name(major: u16, pitch: u16) -> String {
    let coarse = SIZES.iter().find(|(known, ..)| *known == major).is_some_and(|(_, first, _)| *first == pitch);
    if coarse { format!("M{}", trimmed(f64::from(major) / 100.0, 2)) } else { designation(major, pitch) }
}

fn designation(major: u16, pitch: u16) -> String {
    format!("M{}x{}", trimmed(f64::from(major) / 100.0, 2), trimmed(f64::from(pitch) / 100.0, 2))
}

/// Reads a plain decimal below 100 as whole hundredths.
fn hundredths(text: &str) -> Option<u16> {
    let value = text.parse_decimal().filter(|value| *value < 100.0)?;
    let near = (value * 100.0).round();
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "the range is checked first")]
    let whole = (0.0..10_000.0).contains(&near).then_some(near as u16);
    whole.filter(|_| (near - value * 100.0).abs() < 1e-6)
}

/// The nearest whole micrometre of a size on the bench.
fn micrometres(mm: f64) -> i64 {
    #[allow(clippy::cast_possible_truncation, reason = "a size of a thread is far inside the range of i64")]
    let whole = (mm * 1000.0).round() as i64;
    whole
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::trig::pow;

    /// The formulas behind ISO 965-1, before rounding to preferred numbers: no value of the
    /// tables may be a slip of the finger away from them.
    #[test]
    fn tables_follow_their_formulas() {
        for (pitch, allowance, major, minor) in BY_PITCH {
            let p = f64::from(*pitch) / 100.0;
            let near = |table: u16, formula: f64, what: &str| {
                let ratio = f64::from(table) / formula;
                assert!((0.93..1.07).contains(&ratio), "{what} of P {p}: table {table}, formula {formula:.1}");
            };
            near(*allowance, 15.0 + 11.0 * p, "allowance");
            near(*major, 180.0 * pow(p, 2.0 / 3.0) - 3.15 / p.sqrt(), "major tolerance");
            let formula = if p <= 0.8 { 433.0 * p - 190.0 * pow(p, 1.22) } else { 230.0 * pow(p, 0.7) };
            near(*minor, formula, "minor tolerance");
        }
        for (to, pitch, screw, hole) in BY_RANGE {
            let p = f64::from(*pitch) / 100.0;
            let mean = match to {
                280 => (1.4_f64 * 2.8).sqrt(),
                560 => (2.8_f64 * 5.6).sqrt(),
                1120 => (5.6_f64 * 11.2).sqrt(),
                2240 => (11.2_f64 * 22.4).sqrt(),
                _ => (22.4_f64 * 45.0).sqrt(),
            };
            let formula = 90.0 * pow(p, 0.4) * pow(mean, 0.1);
            for (table, formula) in [(*screw, formula), (*hole, 1.32 * formula)] {
                let ratio = f64::from(table) / formula;
                assert!((0.93..1.07).contains(&ratio), "P {p} to {to}: table {table}, formula {formula:.1}");
            }
        }
    }
}

//! Reading what people type: `3/8 in`, `1-1/2"`, `6,4 mm`, `90°`, `8 N·m`, `35 in-lb`.

use std::fmt;

use super::{Dim, Quantity, Unit};

/// Why a text is no value, and what would be one.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ReadError {
    /// What is wrong, in one sentence.
    pub what: String,
    /// What would be right.
    pub help: String,
}

impl fmt::Display for ReadError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.what, self.help)
    }
}

impl std::error::Error for ReadError {}

impl ReadError {
    fn new(what: impl Into<String>, help: impl Into<String>) -> Self {
        Self { what: what.into(), help: help.into() }
    }
}

/// The longest text that is read as a value, in bytes.
const LONGEST: usize = 80;

/// The largest magnitude that is read, in inside units: nothing on a bench mill is larger.
const LARGEST: f64 = 1e12;

/// Every unit that is read: its spellings in lower case without blanks, its dimension and its
/// size in inside units.
///
/// Sources: 1 in = 25.4 mm, 1 lbf = 4.448 221 615 260 5 N and 1 lb = 453.592 37 g exactly
/// (NIST SP 811, appendix B).
const UNITS: &[(&[&str], Dim, f64)] = &[
    (&["mm"], Dim::LENGTH, 1.0),
    (&["cm"], Dim::LENGTH, 10.0),
    (&["m"], Dim::LENGTH, 1000.0),
    (&["µm", "μm", "um"], Dim::LENGTH, 1e-3),
    // Telephones make the typewriter's marks into quotation marks as they are typed.
    (&["in", "inch", "inches", "\"", "″", "''", "”", "’’"], Dim::LENGTH, INCH),
    (&["thou", "mil"], Dim::LENGTH, 0.0254),
    (&["ft", "foot", "feet", "'", "′", "’"], Dim::LENGTH, FOOT),
    (&["mm²", "mm2", "mm^2"], Dim::AREA, 1.0),
    (&["in²", "in2", "in^2"], Dim::AREA, 645.16),
    (&["mm³", "mm3", "mm^3"], Dim::VOLUME, 1.0),
    (&["cm³", "cm3", "cm^3"], Dim::VOLUME, 1000.0),
    (&["°", "deg", "degree", "degrees"], Dim::ANGLE, std::f64::consts::PI / 180.0),
    (&["rad"], Dim::ANGLE, 1.0),
    (&["n"], Dim::FORCE, 1.0),
    (&["kn"], Dim::FORCE, 1000.0),
    (&["lbf"], Dim::FORCE, LBF),
    (&["n·m", "nm", "n*m", "n-m"], Dim::TORQUE, 1000.0),
    (&["n·mm", "nmm", "n*mm"], Dim::TORQUE, 1.0),
    (&["n·cm", "ncm"], Dim::TORQUE, 10.0),
    (&["in-lb", "in·lb", "inlb", "in-lbf", "in·lbf", "lbf·in", "lbf-in", "lb-in", "lb·in"], Dim::TORQUE, LBF * 25.4),
    (&["ft-lb", "ft·lb", "ft-lbf", "ft·lbf", "lbf·ft", "lb-ft"], Dim::TORQUE, LBF * 304.8),
    (&["mpa", "n/mm²", "n/mm2"], Dim::STRESS, 1.0),
    (&["gpa"], Dim::STRESS, 1000.0),
    (&["pa"], Dim::STRESS, 1e-6),
    (&["psi"], Dim::STRESS, LBF / 645.16),
    (&["ksi"], Dim::STRESS, LBF / 0.645_16),
    (&["g"], Dim::MASS, 1.0),
    (&["kg"], Dim::MASS, 1000.0),
    (&["lb"], Dim::MASS, 453.592_37),
    (&["oz"], Dim::MASS, 453.592_37 / 16.0),
    (&["g/cm³", "g/cm3"], Dim::DENSITY, 1e-3),
    (&["kg/m³", "kg/m3"], Dim::DENSITY, 1e-6),
    (&["lb/in³", "lb/in3"], Dim::DENSITY, 453.592_37 / 16_387.064),
    (&["s", "sec"], Dim::TIME, 1.0),
    (&["min"], Dim::TIME, 60.0),
    (&["mm/min"], Dim::FEED, 1.0 / 60.0),
    (&["m/min"], Dim::FEED, 1000.0 / 60.0),
    (&["in/min", "ipm"], Dim::FEED, 25.4 / 60.0),
    (&["sfm", "ft/min"], Dim::FEED, 304.8 / 60.0),
    (&["mm/s"], Dim::FEED, 1.0),
    (&["%"], Dim::NUMBER, 0.01),
];

/// 1 in = 25.4 mm and 1 ft = 12 in exactly (NIST SP 811, appendix B).
const INCH: f64 = 25.4;
const FOOT: f64 = 12.0 * INCH;

const LBF: f64 = 4.448_221_615_260_5;

/// Reads a value with or without a unit; the dimension is `None` where no unit stands.
///
/// # Errors
/// Tells what is no number or unit, and what would be.
///
/// ```
/// use barwright_core::quantity::read;
/// assert_eq!(read("1-1/2\"").unwrap().0, 38.1);
/// assert_eq!(read("6,4 mm").unwrap().0, 6.4);
/// assert!(read("3/0 in").is_err());
/// ```
pub fn read(text: &str) -> Result<(f64, Option<Dim>), ReadError> {
    let text = text.trim();
    if text.is_empty() {
        return Err(ReadError::new("No value is given.", "Write a number with its unit, such as `6.4 mm`."));
    }
    if text.len() > LONGEST {
        return Err(ReadError::new("This is too long for a value.", "Write a number with its unit, such as `6.4 mm`."));
    }
    let (number, rest) = number(text)?;
    let sign = rest.trim();
    if sign.is_empty() {
        return bounded(number, None, text);
    }
    if let Some((between, inches)) = after_feet(sign) {
        joined(between, text)?;
        return bounded(dusted(feet_and_inches(number, inches, text)?), Some(Dim::LENGTH), text);
    }
    let Some((dim, size)) = unit(sign) else {
        return Err(ReadError::new(
            format!("`{sign}` is no unit that is known here."),
            "Lengths are in mm or in; angles in °; torques in N·m or in-lb; stresses in MPa or psi.",
        ));
    };
    let value = number * size;
    let value = if dim == Dim::LENGTH { dusted(value) } else { value };
    bounded(value, Some(dim), text)
}

/// 1.5 · 25.4 is 38.099 999 999 999 994: takes the dust of binary arithmetic off what was typed.
fn dusted(length: f64) -> f64 {
    (length * 1e9).round() / 1e9
}

/// What joins them, and the inches, after a foot mark: of `10' 6"`, `10'-6 1/2"`, `10 ft 6 in`;
/// nothing where no number follows.
fn after_feet(sign: &str) -> Option<(&str, &str)> {
    let begins = sign.find(|c: char| c.is_ascii_digit() || c == '.' || "½⅓⅔¼¾⅛⅜⅝⅞".contains(c))?;
    let (mark, inches) = sign.split_at(begins);
    let foot = mark.trim_end_matches(['-', '−', ' ']);
    let feet = unit(foot).is_some_and(|(_, size)| size.to_bits() == FOOT.to_bits());
    feet.then_some((&mark[foot.len()..], inches))
}

/// Feet and inches as the trade writes them, in millimetres: whole feet, then inches below 12, which
/// may have decimals or a fraction (common practice, no source).
fn feet_and_inches(feet: f64, inches: &str, text: &str) -> Result<f64, ReadError> {
    let wrong = |what: String| Err(ReadError::new(what, "Write feet and inches as `10' 6\"` or `10'-6 1/2\"`."));
    let (more, sign) = number(inches)?;
    if unit(sign).is_none_or(|(_, size)| size.to_bits() != INCH.to_bits()) {
        return wrong(format!("`{text}` has feet, and then no inches."));
    }
    if feet.fract() != 0.0 || !(0.0..12.0).contains(&more) {
        return wrong(format!("`{text}` is no whole number of feet with less than 12 inches."));
    }
    // The sign of -0' 6" is that of the text.
    let below = text.starts_with(['-', '−']);
    Ok((feet.abs() * FOOT + more * INCH) * if below { -1.0 } else { 1.0 })
}

/// Whether a text bears a unit of length other than this one: what is said of it in this unit then
/// looks like something else.
pub fn in_other_unit(text: &str, chosen: Unit) -> bool {
    let Ok((_, rest)) = number(text.trim()) else { return false };
    match unit(rest) {
        Some((dim, size)) => dim == Dim::LENGTH && (size - chosen.length(1.0).as_mm()).abs() > 1e-9,
        None => after_feet(rest.trim()).is_some(),
    }
}

/// Reads a value of a known dimension; a bare length is read in `chosen`.
///
/// # Errors
/// Tells what is no number or unit, which unit does not fit, or that a bare length has two
/// readings because no unit was chosen.
pub fn read_as(text: &str, dim: Dim, chosen: Option<Unit>) -> Result<Quantity, ReadError> {
    let (value, found) = read(text)?;
    match found {
        Some(found) if found == dim => Ok(Quantity::new(value, dim)),
        Some(found) => Err(ReadError::new(
            format!(
                "`{}` is {} {found}, and {} {dim} is wanted.",
                text.trim(),
                article(&found.to_string()),
                article(&dim.to_string())
            ),
            example(dim),
        )),
        None if dim == Dim::NUMBER || value == 0.0 => Ok(Quantity::new(value, dim)),
        None if dim == Dim::LENGTH => match chosen {
            Some(unit) => Ok(Quantity::new(unit.length(value).as_mm(), dim)),
            None => Err(ReadError::new(
                format!("`{}` has no unit.", text.trim()),
                format!(
                    "Write `{0} mm` or `{0} in`, or choose the unit of all bare numbers: --unit on the command line.",
                    text.trim()
                ),
            )),
        },
        None => Err(ReadError::new(format!("`{}` has no unit.", text.trim()), example(dim))),
    }
}

/// The usual sign of each unit that is read, with what it measures.
pub fn units() -> impl Iterator<Item = (&'static str, Dim)> {
    UNITS.iter().filter_map(|(signs, dim, _)| {
        let sign = signs.first()?;
        // The table is folded to small letters; people write these.
        let proper = ["N", "kN", "N·m", "N·mm", "N·cm", "MPa", "GPa", "Pa"];
        let written = proper.into_iter().find(|written| written.to_ascii_lowercase() == *sign);
        Some((written.unwrap_or(sign), *dim))
    })
}

/// The dimension and the size, in inside units, of a unit by its sign: `mm`, `in-lb`, `°`.
pub fn unit(sign: &str) -> Option<(Dim, f64)> {
    let folded: String = sign.chars().filter(|c| !c.is_whitespace()).map(|c| c.to_ascii_lowercase()).collect();
    UNITS.iter().find(|(names, ..)| names.contains(&folded.as_str())).map(|(_, dim, size)| (*dim, *size))
}

fn article(noun: &str) -> &'static str {
    if noun.starts_with(['a', 'e', 'i', 'o', 'u']) { "an" } else { "a" }
}

fn example(dim: Dim) -> String {
    let units: Vec<&str> = UNITS.iter().filter(|(_, known, _)| *known == dim).map(|(names, ..)| names[0]).collect();
    if units.is_empty() { "Write a bare number.".to_owned() } else { format!("Units of {dim}: {}.", units.join(", ")) }
}

fn bounded(value: f64, dim: Option<Dim>, text: &str) -> Result<(f64, Option<Dim>), ReadError> {
    if value.is_finite() && value.abs() <= LARGEST {
        Ok((value, dim))
    } else {
        Err(ReadError::new(format!("`{text}` is beyond any size made here."), "Write a smaller number."))
    }
}

/// Splits a text into its number (whole, decimal, fraction or mixed) and what follows.
fn number(text: &str) -> Result<(f64, &str), ReadError> {
    let (sign, body) = match text.strip_prefix('-').or_else(|| text.strip_prefix('−')) {
        Some(body) => (-1.0, body.trim_start()),
        None => (1.0, text.strip_prefix('+').unwrap_or(text).trim_start()),
    };
    if let Some((part, rest)) = vulgar(body) {
        return Ok((sign * part, rest));
    }
    let (first, rest) = plain(body, text)?;
    if let Some((bottom, rest)) = after_slash(rest) {
        return Ok((sign * ratio(first, bottom, text)?, rest));
    }
    // `1-1/2` and `1 1/2`: a whole number, then a fraction.
    let (joint, tail) = joint(rest);
    let whole = first.fract() == 0.0;
    if let Some((part, after)) = vulgar(tail)
        && whole
    {
        joined(joint, text)?;
        return Ok((sign * (first + part), after));
    }
    if !joint.is_empty() && tail.starts_with(|c: char| c.is_ascii_digit()) {
        let (top, after) = plain(tail, text)?;
        return match after_slash(after) {
            Some((bottom, after)) if whole => {
                joined(joint, text)?;
                Ok((sign * (first + ratio(top, bottom, text)?), after))
            }
            _ => Err(ReadError::new(
                format!("`{text}` holds two numbers."),
                "Write one number, such as `1.5` or `1-1/2`.",
            )),
        };
    }
    Ok((sign * first, rest))
}

/// The blanks and dashes at the start of a text, and what follows them.
fn joint(text: &str) -> (&str, &str) {
    let tail = text.trim_start_matches(['-', '−', ' ']);
    text.split_at(text.len() - tail.len())
}

/// Whether what stands between joins two numbers to one: nothing, blanks, or one dash without
/// blanks, as the trade writes it (common practice, no source); anything else looks like a difference.
fn joined(joint: &str, text: &str) -> Result<(), ReadError> {
    if matches!(joint, "-" | "−") || joint.chars().all(|c| c == ' ') {
        return Ok(());
    }
    Err(ReadError::new(
        format!("`{text}` can be read as a sum or as a difference."),
        "Write `5-3/8` or `5 3/8`, feet and inches as `10'-6\"` or `10' 6\"`; of a difference write the result.",
    ))
}

/// A fraction that is one sign, as telephones write it: `½`, `⅜`.
fn vulgar(text: &str) -> Option<(f64, &str)> {
    let mut signs = text.chars();
    let part = match signs.next()? {
        '½' => 1.0 / 2.0,
        '⅓' => 1.0 / 3.0,
        '⅔' => 2.0 / 3.0,
        '¼' => 1.0 / 4.0,
        '¾' => 3.0 / 4.0,
        '⅛' => 1.0 / 8.0,
        '⅜' => 3.0 / 8.0,
        '⅝' => 5.0 / 8.0,
        '⅞' => 7.0 / 8.0,
        _ => return None,
    };
    Some((part, signs.as_str()))
}

fn ratio(top: f64, bottom: f64, text: &str) -> Result<f64, ReadError> {
    if bottom == 0.0 {
        Err(ReadError::new(format!("`{text}` divides by nothing."), "Write a fraction such as `3/8`."))
    } else {
        Ok(top / bottom)
    }
}

fn after_slash(rest: &str) -> Option<(f64, &str)> {
    let tail = rest.trim_start().strip_prefix(['/', '⁄'])?.trim_start();
    let end = tail.find(|c: char| !c.is_ascii_digit()).unwrap_or(tail.len());
    let bottom = tail[..end].parse().ok()?;
    Some((bottom, &tail[end..]))
}

/// One decimal number with a point or a comma.
fn plain<'t>(body: &'t str, text: &str) -> Result<(f64, &'t str), ReadError> {
    let end = body.find(|c: char| !c.is_ascii_digit() && c != '.' && c != ',').unwrap_or(body.len());
    let (digits, rest) = body.split_at(end);
    let marks = digits.matches(['.', ',']).count();
    if marks > 1 {
        return Err(ReadError::new(
            format!("`{text}` has more than one decimal mark."),
            "Write thousands without a mark, and one point or comma before the decimals.",
        ));
    }
    if let Some((whole, tail)) = digits.split_once(',')
        && tail.len() == 3
        && !whole.is_empty()
        && whole != "0"
    {
        return Err(ReadError::new(
            format!("`{text}` can be read as {whole}.{tail} or as {whole}{tail}."),
            "Write it with a point, or without the comma.",
        ));
    }
    match digits.replace(',', ".").parse() {
        Ok(value) => Ok((value, rest)),
        Err(_) => Err(ReadError::new(
            format!("`{text}` does not start with a number."),
            "Write a number with its unit, such as `6.4 mm`, `3/8 in` or `90°`.",
        )),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn length(text: &str) -> f64 {
        read_as(text, Dim::LENGTH, None).unwrap_or_else(|error| panic!("{text}: {error}")).value
    }

    #[test]
    fn lengths_as_people_type_them() {
        for (text, mm) in [
            ("3/8 in", 9.525),
            ("1-1/2\"", 38.1),
            ("1 1/2 in", 38.1),
            ("⅜ in", 9.525),
            ("1½\"", 38.1),
            ("-1 ½ in", -38.1),
            ("0.251in", 6.3754),
            (".251 in", 6.3754),
            ("6.4 mm", 6.4),
            ("6,4 mm", 6.4),
            ("6.4mm", 6.4),
            ("-2 mm", -2.0),
            ("5 thou", 0.127),
            // 1 ft = 0.3048 m exactly (NIST SP 811, appendix B.8).
            ("10'", 3048.0),
            ("10 ft", 3048.0),
            ("1 foot", 304.8),
            ("10′ 6″", 3200.4),
            ("10’ 6”", 3200.4),
            ("10' 6\"", 3200.4),
            ("10'-6\"", 3200.4),
            ("10'6''", 3200.4),
            ("10 FT 6 in", 3200.4),
            ("0' 3/8\"", 9.525),
            ("1'-1 1/2\"", 342.9),
            ("1' ½\"", 317.5),
            ("1' 0.5 in", 317.5),
            ("-1' 6\"", -457.2),
            ("-0' 6\"", -152.4),
            ("6”", 152.4),
            ("0", 0.0),
        ] {
            approx::assert_relative_eq!(length(text), mm, epsilon = 1e-12);
        }
    }

    #[test]
    fn feet_without_their_inches_are_told_how() {
        for text in ["10' 6", "1.5' 6\"", "10' 12\""] {
            let error = read(text).expect_err(text);
            assert!(error.help.contains("10' 6\""), "{text}: {error}");
        }
    }

    /// Whether `5 - 3/8` is 5.375 or 4.625 only the writer knows; 5.375 was cut.
    #[test]
    fn a_difference_is_no_mixed_number() {
        for text in [
            "5 - 3/8 in",
            "5 -3/8 in",
            "5- 3/8 in",
            "5--3/8 in",
            "5 − 3/8 in",
            "5 - ½ in",
            "-5 - 3/8 in",
            "10' - 6\"",
            "10'--6\"",
            "10' 5 - 3/8\"",
        ] {
            let error = read(text).expect_err(text);
            assert!(error.what.contains("difference") && error.help.contains("5-3/8"), "{text}: {error}");
        }
        for (text, mm) in
            [("5-3/8 in", 136.525), ("5−3/8 in", 136.525), ("5  3/8 in", 136.525), ("5-½ in", 139.7), ("5½ in", 139.7)]
        {
            approx::assert_relative_eq!(length(text), mm, epsilon = 1e-12);
        }
    }

    #[test]
    fn a_unit_that_was_not_chosen() {
        for (text, other) in [("10'", true), ("10' 6\"", true), ("3/8 in", true), ("5 thou", true), ("5", false)] {
            assert_eq!(in_other_unit(text, Unit::Mm), other, "{text}");
        }
        assert!(!in_other_unit("6,40 mm", Unit::Mm), "a comma is no unit");
        assert!(!in_other_unit("120°", Unit::Mm), "an angle is said as it is typed");
        assert!(!in_other_unit("3/8\"", Unit::Inch), "the same by another sign");
    }

    #[test]
    fn other_kinds() {
        let torque = read_as("8 N·m", Dim::TORQUE, None).expect("a torque");
        approx::assert_relative_eq!(torque.value, 8000.0);
        // 35 lbf·in = 3.954 N·m (NIST SP 811: 1 lbf·in = 0.112 984 8 N·m)
        let inch = read_as("35 in-lb", Dim::TORQUE, None).expect("a torque");
        approx::assert_relative_eq!(inch.value, 35.0 * 112.984_8, max_relative = 1e-6);
        let angle = read_as("90°", Dim::ANGLE, None).expect("an angle");
        approx::assert_relative_eq!(angle.value, std::f64::consts::FRAC_PI_2);
    }

    #[test]
    fn a_bare_length_needs_a_unit() {
        let error = read_as("6.4", Dim::LENGTH, None).expect_err("two readings");
        assert!(error.help.contains("6.4 mm") && error.help.contains("6.4 in"), "{error}");
        let read = read_as("6.4", Dim::LENGTH, Some(Unit::Inch)).expect("chosen");
        approx::assert_relative_eq!(read.value, 162.56);
    }

    #[test]
    fn what_is_no_value() {
        for text in [
            "",
            "mm",
            "nan",
            "inf mm",
            "1e5 mm",
            "1/0 in",
            "1.2.3 mm",
            "1,234 mm",
            "5 furlongs",
            "9 8 mm",
            "--1 mm",
            "999999999999999 mm",
            // Feet, and then something else than inches below a foot.
            "10' 6",
            "10' 6 mm",
            "10' 6' ",
            "10' 12\"",
            "1.5' 6\"",
            "1/2' 6\"",
            "10' 1/0\"",
            "10' mm",
            "10'-",
        ] {
            let error = read(text).expect_err(text);
            assert!(!error.what.is_empty() && !error.help.is_empty(), "{text}");
        }
        assert!(read_as("5 N", Dim::LENGTH, None).is_err(), "a force is no length");
    }
}

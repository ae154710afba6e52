//! Twist drill sizes: number, letter, fractional and metric.

use serde::{Deserialize, Serialize};

use super::unknown::{folded, shown};
use super::{Unknown, inches};
use crate::quantity::{Length, trimmed};

/// A twist drill by its name.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Drill {
    /// `#7`, `F`, `13/64` or `4.2 mm`.
    pub name: String,
    /// Diameter.
    pub diameter: Length,
}

/// The way a drill is named.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Series {
    /// `#80` to `#1` (ASME B94.11M).
    Number,
    /// `A` to `Z` (ASME B94.11M).
    Letter,
    /// 1/64 in to 1 in by 64ths.
    Fraction,
    /// Millimetres (ISO 235; preferred steps).
    Metric,
}

impl Series {
    /// The standard that the sizes come from.
    pub const fn source(self) -> &'static str {
        match self {
            Self::Number => "ASME B94.11M, number series",
            Self::Letter => "ASME B94.11M, letter series",
            Self::Fraction => "ASME B94.11M, fractional series",
            Self::Metric => "ISO 235, sizes in common use",
        }
    }

    /// Whether the drills of this series are named in inches.
    pub const fn is_inch(self) -> bool {
        !matches!(self, Self::Metric)
    }
}

/// Number drills #1 to #80, in ten-thousandths of an inch (ASME B94.11M; #1 to #60 compared with
/// two open lists, #61 to #80 from memory).
const NUMBERS: [u16; 80] = [
    2280, 2210, 2130, 2090, 2055, 2040, 2010, 1990, 1960, 1935, 1910, 1890, 1850, 1820, 1800, 1770, 1730, 1695, 1660,
    1610, 1590, 1570, 1540, 1520, 1495, 1470, 1440, 1405, 1360, 1285, 1200, 1160, 1130, 1110, 1100, 1065, 1040, 1015,
    995, 980, 960, 935, 890, 860, 820, 810, 785, 760, 730, 700, 670, 635, 595, 550, 520, 465, 430, 420, 410, 400, 390,
    380, 370, 360, 350, 330, 320, 310, 292, 280, 260, 250, 240, 225, 210, 200, 180, 160, 145, 135,
];

/// Letter drills A to Z, in thousandths of an inch (ASME B94.11M).
const LETTERS: [u16; 26] = [
    234, 238, 242, 246, 250, 257, 261, 266, 272, 277, 281, 290, 295, 302, 316, 323, 332, 339, 348, 358, 368, 377, 386,
    397, 404, 413,
];

/// Metric drills between the steps of 0.1 mm, in hundredths: the quarters, and those that the
/// usual table of tap drills asks for (ISO 2306).
const BETWEEN: [u16; 31] = [
    125, 145, 175, 205, 215, 225, 265, 275, 315, 325, 375, 425, 475, 525, 575, 625, 675, 725, 775, 825, 875, 925, 975,
    1025, 1075, 1125, 1175, 1225, 1275, 1325, 1375,
];

/// Every drill of a series, smallest first.
pub fn series(series: Series) -> Vec<Drill> {
    match series {
        Series::Number => (1..=80).rev().filter_map(number).collect(),
        Series::Letter => ('A'..='Z').filter_map(letter).collect(),
        Series::Fraction => (1..=64).map(fraction).collect(),
        Series::Metric => {
            let mut hundredths: Vec<u16> = metric_hundredths().collect();
            hundredths.sort_unstable();
            hundredths.into_iter().map(metric).collect()
        }
    }
}

/// The metric drills in hundredths of a millimetre, in no order.
fn metric_hundredths() -> impl Iterator<Item = u16> {
    let tenths = (5_u16..=140).map(|tenths| tenths * 10);
    let quarters = (57_u16..=100).map(|quarters| quarters * 25);
    tenths.chain(quarters).chain(BETWEEN)
}

/// Every drill of every series, smallest first; of two with one diameter (`E` and `1/4`) the
/// letter stands first.
pub fn all() -> Vec<Drill> {
    let mut all: Vec<Drill> =
        [Series::Number, Series::Letter, Series::Fraction, Series::Metric].into_iter().flat_map(series).collect();
    all.sort_by(|a, b| a.diameter.order(b.diameter));
    all
}

/// The drill whose diameter is nearest; of two as near, the smaller.
pub fn nearest(diameter: Length) -> Drill {
    let mut best = metric(50);
    for drill in all() {
        if (drill.diameter - diameter).abs() < (best.diameter - diameter).abs() {
            best = drill;
        }
    }
    best
}

/// The metric drill of so many hundredths of a millimetre, else the nearest; of two as near, the
/// smaller.
pub(super) fn nearest_metric(hundredths: u16) -> Drill {
    // Only the one that is found gets its name written.
    metric(metric_hundredths().min_by_key(|known| (known.abs_diff(hundredths), *known)).unwrap_or(50))
}

/// The largest drill that is no larger than `diameter`; a millionth of a millimetre is forgiven.
pub fn at_most(diameter: Length) -> Option<Drill> {
    all().into_iter().rev().find(|drill| drill.diameter.as_mm() <= diameter.as_mm() + 1e-6)
}

/// The smallest drill that is no smaller than `diameter`; a millionth of a millimetre is forgiven.
pub fn at_least(diameter: Length) -> Option<Drill> {
    all().into_iter().find(|drill| drill.diameter.as_mm() >= diameter.as_mm() - 1e-6)
}

/// The drill with this name: `#7`, `No. 7`, `F`, `13/64`, `13/64 in`, `4.2 mm`, `4.2`.
///
/// # Errors
/// Offers the nearest drills. A bare whole number such as `7` has two readings and is refused
/// with both.
///
/// ```
/// use barwright_core::standards::drill::drill;
/// assert!((drill("#7").unwrap().diameter.as_inch() - 0.2010).abs() < 1e-9);
/// assert_eq!(drill("4.2").unwrap().name, "4.2 mm");
/// ```
pub fn drill(name: &str) -> Result<Drill, Unknown> {
    find(name).map(|(drill, _)| drill)
}

/// The drill with this name, and its series.
pub(super) fn find(name: &str) -> Result<(Drill, Series), Unknown> {
    let form = "Write a drill as `#7`, `F`, `13/64` or `4.2 mm`.";
    let Some(text) = folded(name).filter(|text| !text.is_empty()) else {
        return Err(Unknown::new(format!("`{}` is no drill.", shown(name)), form));
    };
    let unknown = || Unknown::new(format!("`{}` is no drill that is known here.", shown(name)), form);
    let numbered = ["#", "no.", "nr.", "no"].iter().find_map(|mark| text.strip_prefix(mark));
    if let Some(digits) = numbered {
        let found = whole(digits).and_then(number);
        return found.map(|drill| (drill, Series::Number)).ok_or_else(|| {
            Unknown::new(
                format!("`{}` is no number drill.", shown(name)),
                "Number drills go from #1 (0.228 in) to #80 (0.0135 in).",
            )
        });
    }
    let mut letters = text.chars();
    if let (Some(only), None) = (letters.next(), letters.next())
        && let Some(drill) = letter(only.to_ascii_uppercase())
    {
        return Ok((drill, Series::Letter));
    }
    if let Some(body) = text.strip_suffix("mm") {
        return by_diameter(body.parse_decimal().map(Length::mm), &[Series::Metric])
            .ok_or_else(|| offer(name, body, 1.0));
    }
    let in_inches = ["inches", "inch", "in", "\"", "″"].iter().find_map(|mark| text.strip_suffix(mark));
    let body = in_inches.unwrap_or(&text);
    if let Some((top, bottom)) = body.split_once('/') {
        let (Some(top), Some(bottom)) = (whole(top), whole(bottom)) else { return Err(unknown()) };
        let sixty_fourths = if bottom > 0 && 64 % bottom == 0 { top.checked_mul(64 / bottom) } else { None };
        return match sixty_fourths {
            Some(parts @ 1..=64) => Ok((fraction(parts), Series::Fraction)),
            _ => Err(Unknown::new(
                format!("`{}` is no fractional drill.", shown(name)),
                "Fractional drills go from 1/64 in to 1 in by 64ths.",
            )),
        };
    }
    let Some(value) = body.parse_decimal() else { return Err(unknown()) };
    if in_inches.is_some() {
        let inch = [Series::Fraction, Series::Number, Series::Letter];
        return by_diameter(Some(Length::inch(value)), &inch).ok_or_else(|| offer(name, body, 25.4));
    }
    if !body.contains('.') && whole(body).and_then(number).is_some() {
        return Err(Unknown::new(
            format!("`{}` can be read as a number drill or as millimetres.", shown(name)),
            format!("Write `#{body}` or `{body} mm`."),
        ));
    }
    by_diameter(Some(Length::mm(value)), &[Series::Metric]).ok_or_else(|| offer(name, body, 1.0))
}

/// An answer that offers the drills on both sides of the size asked for.
fn offer(name: &str, number: &str, size: f64) -> Unknown {
    let what = format!("`{}` is no drill that is known here.", shown(name));
    let Some(diameter) = number.parse_decimal().map(|value| Length::mm(value * size)) else {
        return Unknown::new(what, "Write a drill as `#7`, `F`, `13/64` or `4.2 mm`.");
    };
    let sides: Vec<String> =
        [at_most(diameter), at_least(diameter)].into_iter().flatten().map(|drill| drill.name).collect();
    Unknown::new(what, format!("The nearest: {}.", sides.join(" and ")))
}

fn by_diameter(diameter: Option<Length>, among: &[Series]) -> Option<(Drill, Series)> {
    let diameter = diameter?;
    among.iter().find_map(|kind| {
        let same = |drill: &Drill| (drill.diameter - diameter).abs().as_mm() < 1e-6;
        series(*kind).into_iter().find(same).map(|drill| (drill, *kind))
    })
}

fn number(number: u16) -> Option<Drill> {
    let index = usize::from(number).checked_sub(1)?;
    let diameter = inches(f64::from(*NUMBERS.get(index)?) / 10_000.0);
    Some(Drill { name: format!("#{number}"), diameter })
}

fn letter(letter: char) -> Option<Drill> {
    let index = usize::try_from(u32::from(letter).checked_sub(u32::from('A'))?).ok()?;
    let diameter = inches(f64::from(*LETTERS.get(index)?) / 1000.0);
    Some(Drill { name: letter.to_string(), diameter })
}

fn fraction(sixty_fourths: u16) -> Drill {
    let diameter = inches(f64::from(sixty_fourths) / 64.0);
    Drill { name: fraction_name(sixty_fourths, 64), diameter }
}

fn metric(hundredths: u16) -> Drill {
    let mm = f64::from(hundredths) / 100.0;
    Drill { name: format!("{} mm", trimmed(mm, 2)), diameter: Length::mm(mm) }
}

/// A fraction of an inch in lowest terms: `13/64`, `1 in`.
fn fraction_name(mut top: u16, mut bottom: u16) -> String {
    while top.is_multiple_of(2) && bottom.is_multiple_of(2) {
        top /= 2;
        bottom /= 2;
    }
    if bottom == 1 { format!("{top} in") } else { format!("{top}/{bottom}") }
}

fn whole(digits: &str) -> Option<u16> {
    if digits.bytes().all(|byte| byte.is_ascii_digit()) { digits.parse().ok() } else { None }
}

/// Reads plain decimals only: no exponents, no signs, no `inf`.
pub(super) trait ParseDecimal {
    /// The number, where the text is digits with at most one point or comma.
    fn parse_decimal(&self) -> Option<f64>;
}

impl ParseDecimal for str {
    fn parse_decimal(&self) -> Option<f64> {
        let plain = self.bytes().all(|byte| byte.is_ascii_digit() || matches!(byte, b'.' | b','));
        let digits = self.bytes().any(|byte| byte.is_ascii_digit());
        if plain && digits { self.replace(',', ".").parse().ok() } else { None }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_name_leads_back_to_its_drill() {
        for kind in [Series::Number, Series::Letter, Series::Fraction, Series::Metric] {
            for known in series(kind) {
                let found = find(&known.name).unwrap_or_else(|error| panic!("{}: {error}", known.name));
                assert_eq!(found, (known.clone(), kind), "{}", known.name);
            }
        }
    }

    #[test]
    fn series_rise() {
        for kind in [Series::Number, Series::Letter, Series::Fraction, Series::Metric] {
            let drills = series(kind);
            for pair in drills.windows(2) {
                assert!(pair[0].diameter < pair[1].diameter, "{} before {}", pair[0].name, pair[1].name);
            }
        }
    }

    #[test]
    fn names_as_people_type_them() {
        for (typed, name) in [
            ("No. 7", "#7"),
            ("f", "F"),
            ("13/64\"", "13/64"),
            ("26/128", ""),
            ("4/8 in", "1/2"),
            ("0.201 in", "#7"),
            (".25in", "1/4"),
            ("4,2mm", "4.2 mm"),
            ("4.2", "4.2 mm"),
        ] {
            match drill(typed) {
                Ok(found) => assert_eq!(found.name, name, "{typed}"),
                Err(error) => assert!(name.is_empty(), "{typed}: {error}"),
            }
        }
        let both = drill("7").expect_err("two readings").help;
        assert!(both.contains("#7") && both.contains("7 mm"), "{both}");
    }

    #[test]
    fn sides_of_a_size() {
        assert_eq!(nearest(Length::mm(4.205)).name, "4.2 mm", "nearest");
        assert_eq!(at_most(Length::inch(0.2)).map(|drill| drill.name), Some("#8".to_owned()), "0.199 in");
        assert_eq!(at_least(Length::inch(0.2005)).map(|drill| drill.name), Some("5.1 mm".to_owned()), "0.2008 in");
        assert_eq!(at_most(Length::mm(0.1)), None, "none so small");
        assert_eq!(at_least(Length::mm(60.0)), None, "none so large");
    }

    #[test]
    fn nasty_names() {
        for name in [
            "",
            " ",
            "#",
            "#0",
            "#81",
            "#99999999",
            "1/0",
            "0/64",
            "65/64",
            "1/3",
            "/",
            "-",
            "mm",
            "in",
            "ß",
            "1e3 mm",
            "..",
            "1,2,3 mm",
        ] {
            let error = drill(name).expect_err(name);
            assert!(!error.what.is_empty() && !error.help.is_empty(), "{name}");
        }
    }
}

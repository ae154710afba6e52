//! Sizes as the drawing prints them: decimals, deviations, limits.
//!
//! Millimetres have a zero before the point and none at the end; inches have no zero before the
//! point, and their decimals call up the tolerance (ASME Y14.5, ISO 129-1; from public drafting
//! texts). A printed limit is rounded to the inside, so that it never widens what is good.

use std::collections::BTreeMap;

use super::Convention;
use super::general::{General, tolerance};
use crate::part::{Basis, Size};
use crate::quantity::{Length, Unit, decimals, fixed, trimmed};

/// A size in words: a line, and a pair of smaller lines after it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Words {
    /// The line; empty where limits stand alone.
    pub(super) main: String,
    /// Upper over lower.
    pub(super) stack: Option<[String; 2]>,
    /// Whether the pair stands in brackets, after a zone that already says it.
    pub(super) bracketed: bool,
}

/// How this drawing prints numbers.
#[derive(Clone, Copy, Debug)]
pub(super) struct Numbers<'g> {
    pub(super) unit: Unit,
    pub(super) convention: Convention,
    pub(super) general: &'g General,
    /// Letters that stand for values, by their names, where a table tells them.
    pub(super) letters: &'g BTreeMap<String, String>,
}

/// The name of what one hole of a group has; put together without a form of words, since a plate has
/// thousands of them.
pub(super) fn numbered(id: &str, number: usize, what: &str) -> String {
    [id, ".", &number.to_string(), ".", what].concat()
}

impl Numbers<'_> {
    /// A size with all that the drawing says of its limits.
    pub(super) fn words(&self, size: &Size) -> Words {
        if let Some(letter) = self.letters.get(&size.name) {
            return line(letter.clone());
        }
        let none = size.upper.abs().max(size.lower.abs()) < Length::mm(5e-7);
        match &size.basis {
            Basis::Stock => return line(format!("{} STOCK", self.plain(size.nominal))),
            Basis::General => {
                if let Some(text) = self.general_text(size.nominal, size.upper, size.lower) {
                    return line(text);
                }
            }
            Basis::Zone(_) | Basis::Given => {}
        }
        if none {
            return line(self.plain(size.nominal));
        }
        let zone = match &size.basis {
            Basis::Zone(zone) => Some(zone.as_str()),
            Basis::General | Basis::Given | Basis::Stock => None,
        };
        let even = (size.upper + size.lower).abs() < Length::mm(5e-7);
        match (self.convention, zone) {
            (_, None) if even => line(self.plus_minus(size.nominal, size.upper)),
            (Convention::Iso, _) => {
                let main = self.plain(size.nominal);
                let main = zone.map_or_else(|| main.clone(), |zone| format!("{main} {zone}"));
                Words { main, stack: Some(self.deviations(size)), bracketed: zone.is_some() }
            }
            (Convention::Asme, _) => Words { stack: Some(self.limits(size)), ..Words::default() },
        }
    }

    /// A size on one line: for callouts and tables.
    pub(super) fn one_line(&self, size: &Size) -> String {
        let words = self.words(size);
        match words.stack {
            None => words.main,
            Some([upper, lower]) if words.main.is_empty() => format!("{lower} - {upper}"),
            Some([upper, lower]) if words.bracketed => format!("{} ({upper}/{lower})", words.main),
            Some([upper, lower]) => format!("{} {upper}/{lower}", words.main),
        }
    }

    /// A place on the sheet: bare where the general tolerance or a note covers it.
    pub(super) fn place(&self, name: &str, at: Length, tolerance: Length) -> String {
        if let Some(letter) = self.letters.get(name) {
            return letter.clone();
        }
        if at.abs() < Length::mm(5e-7) {
            return "0".to_owned();
        }
        self.general_text(at, tolerance, -tolerance).unwrap_or_else(|| self.plain(at))
    }

    /// The letter of a value, or else its words.
    pub(super) fn or_letter(&self, name: &str, words: impl FnOnce() -> String) -> String {
        self.letters.get(name).cloned().unwrap_or_else(words)
    }

    /// Whether the general tolerance says this one.
    pub(super) fn is_general(&self, nominal: Length, tolerance: Length) -> bool {
        self.general_text(nominal, tolerance, -tolerance).is_some()
    }

    /// A number without a tolerance.
    pub(super) fn plain(&self, length: Length) -> String {
        match self.unit {
            Unit::Mm => trimmed(length.as_mm(), Unit::Mm.decimals()),
            Unit::Inch => {
                let needs = decimals(length.as_inch(), Unit::Inch.decimals());
                short(fixed(length.as_inch(), needs.max(3)))
            }
        }
    }

    /// The bare number, where the block of general tolerances gives it just these limits.
    fn general_text(&self, nominal: Length, upper: Length, lower: Length) -> Option<String> {
        if (upper + lower).abs() > Length::mm(5e-7) {
            return None;
        }
        match (self.general, self.unit) {
            (General::Own(_), Unit::Mm) => Some(self.plain(nominal)),
            (General::Iso(class), unit) => {
                let fits = tolerance(*class, nominal.abs()).is_some_and(|told| (told - upper).abs() < Length::mm(1e-6));
                // A number of inches that is exact to the last printed figure and no more.
                (fits && (unit == Unit::Mm || decimals(nominal.as_inch(), 9) <= 4)).then(|| self.plain(nominal))
            }
            (General::Own(_) | General::Decimals, Unit::Inch) | (General::Decimals, Unit::Mm) => {
                let needs = decimals(self.unit.of(nominal), 9);
                General::BY_DECIMALS
                    .iter()
                    .find(|(places, told)| needs <= *places && (*told - upper).abs() < Length::mm(1e-6))
                    .map(|(places, _)| short(fixed(self.unit.of(nominal), *places)))
            }
        }
    }

    /// `±` with the same number of decimals on both sides; millimetres of ISO leave zeros away.
    pub(super) fn plus_minus(&self, nominal: Length, tolerance: Length) -> String {
        let most = self.unit.decimals();
        let tolerance = inside(self.unit.of(tolerance), most, false);
        let places = decimals(tolerance, most).max(decimals(self.unit.of(nominal), most));
        match (self.unit, self.convention) {
            (Unit::Mm, Convention::Iso) => format!("{} ±{}", self.plain(nominal), trimmed(tolerance, most)),
            (Unit::Mm, Convention::Asme) => {
                format!("{} ±{}", fixed(nominal.as_mm(), places), fixed(tolerance, places))
            }
            (Unit::Inch, _) => {
                let places = places.max(3);
                format!("{} ±{}", short(fixed(nominal.as_inch(), places)), short(fixed(tolerance, places)))
            }
        }
    }

    /// A tolerance alone, as notes say it.
    pub(super) fn tolerance(&self, tolerance: Length) -> String {
        format!("±{}", short_if(self.unit, trimmed(inside(self.unit.of(tolerance), self.unit.decimals(), false), 4)))
    }

    fn deviations(&self, size: &Size) -> [String; 2] {
        let most = self.unit.decimals();
        let upper = inside(self.unit.of(size.upper), most, false);
        let lower = inside(self.unit.of(size.lower), most, true);
        let places = match self.unit {
            Unit::Mm => decimals(upper, most).max(decimals(lower, most)),
            Unit::Inch => most,
        };
        [upper, lower].map(|value| {
            let text = short_if(self.unit, fixed(value, places));
            let nothing = text.bytes().all(|byte| matches!(byte, b'0' | b'.'));
            match (nothing, value > 0.0) {
                (true, _) if self.unit == Unit::Mm => "0".to_owned(),
                (true, _) | (false, true) => format!("+{text}"),
                (false, false) => text,
            }
        })
    }

    fn limits(&self, size: &Size) -> [String; 2] {
        let most = self.unit.decimals();
        let upper = inside(self.unit.of(size.most()), most, false);
        let lower = inside(self.unit.of(size.least()), most, true);
        let places = decimals(upper, most).max(decimals(lower, most));
        let places = if self.unit == Unit::Inch { places.max(3) } else { places };
        [upper, lower].map(|value| short_if(self.unit, fixed(value, places)))
    }
}

const fn line(main: String) -> Words {
    Words { main, stack: None, bracketed: false }
}

fn short_if(unit: Unit, text: String) -> String {
    if unit == Unit::Inch { short(text) } else { text }
}

/// Without the zero before the point.
pub(super) fn short(text: String) -> String {
    if let Some(rest) = text.strip_prefix("0.") {
        format!(".{rest}")
    } else if let Some(rest) = text.strip_prefix("-0.") {
        format!("-.{rest}")
    } else {
        text
    }
}

/// Rounds toward the good side: a lower limit up, an upper limit down.
fn inside(value: f64, places: usize, up: bool) -> f64 {
    let mut scale = 1.0;
    for _ in 0..places {
        scale *= 10.0;
    }
    let dust = 1e-6;
    (if up { (value * scale - dust).ceil() } else { (value * scale + dust).floor() }) / scale
}

#[cfg(test)]
mod tests {
    use super::*;

    fn size(unit: Unit, nominal: f64, upper: f64, lower: f64, basis: Basis) -> Size {
        Size {
            name: "n".into(),
            title: "t".into(),
            nominal: unit.length(nominal),
            upper: unit.length(upper),
            lower: unit.length(lower),
            basis,
        }
    }

    fn said(unit: Unit, convention: Convention, general: &str, size: &Size) -> String {
        let general = General::named(general, unit);
        Numbers { unit, convention, general: &general, letters: &BTreeMap::new() }.one_line(size)
    }

    #[test]
    fn millimetres() {
        let mm = |n, u, l, b| size(Unit::Mm, n, u, l, b);
        let iso = |s: &Size| said(Unit::Mm, Convention::Iso, "ISO 2768-m", s);
        let asme = |s: &Size| said(Unit::Mm, Convention::Asme, "ISO 2768-m", s);
        assert_eq!(iso(&mm(60.0, 0.3, -0.3, Basis::General)), "60", "the table gives 0.3");
        assert_eq!(iso(&mm(60.0, 0.1, -0.1, Basis::General)), "60 ±0.1", "the table gives another");
        assert_eq!(iso(&mm(10.0, -0.025, -0.061, Basis::Zone("e9".into()))), "10 e9 (-0.025/-0.061)", "zone");
        assert_eq!(asme(&mm(10.0, -0.025, -0.061, Basis::Zone("e9".into()))), "9.939 - 9.975", "limits");
        assert_eq!(iso(&mm(4.0, 0.1, 0.0, Basis::Given)), "4 +0.1/0", "one unsigned nothing");
        assert_eq!(asme(&mm(4.0, 0.1, -0.1, Basis::Given)), "4.0 ±0.1", "equal decimals");
        assert_eq!(iso(&mm(16.0, 0.0, -0.11, Basis::Stock)), "16 STOCK", "as it comes");
    }

    #[test]
    fn inches() {
        let inch = |n, u, l, b| size(Unit::Inch, n, u, l, b);
        let asme = |s: &Size| said(Unit::Inch, Convention::Asme, "shop", s);
        assert_eq!(asme(&inch(2.5, 0.005, -0.005, Basis::General)), "2.500", "three places say .005");
        assert_eq!(asme(&inch(0.75, 0.01, -0.01, Basis::General)), ".75", "two places say .01");
        assert_eq!(asme(&inch(0.375, 0.01, -0.01, Basis::General)), ".375 ±.010", "three places would say .005");
        assert_eq!(asme(&inch(0.394, -0.001, -0.0025, Basis::Zone("e9".into()))), ".3915 - .3930", "limits");
    }

    #[test]
    fn printed_limits_never_widen() {
        let tight = size(Unit::Inch, 0.393_701, -0.000_984, -0.002_402, Basis::Given);
        assert_eq!(said(Unit::Inch, Convention::Asme, "shop", &tight), ".3913 - .3927", "rounded to the inside");
    }
}

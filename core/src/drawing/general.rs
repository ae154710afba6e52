//! General tolerances: what a bare number on the sheet means.

use crate::quantity::{Length, Unit};
use crate::standards::general::{Class, general, ranges};

/// The general tolerance of a sheet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum General {
    /// ISO 2768-1 in one of its classes.
    Iso(Class),
    /// By the number of decimals, as inch sheets have it.
    Decimals,
    /// A shop's own words, which stand on the sheet and are not read here.
    Own(String),
}

impl General {
    /// Decimals of a number and the tolerance that they call up; common practice of inch shops,
    /// no source.
    pub(super) const BY_DECIMALS: [(usize, Length); 2] = [(2, Length::inch(0.01)), (3, Length::inch(0.005))];

    /// The general tolerance that a part names.
    pub(super) fn named(name: &str, unit: Unit) -> Self {
        let class = name.trim().starts_with("ISO 2768").then(|| Class::named(name).ok()).flatten();
        match (class, unit) {
            (Some(class), _) => Self::Iso(class),
            (None, Unit::Inch) if name.trim().is_empty() || name.contains(".XX") => Self::Decimals,
            (None, Unit::Inch | Unit::Mm) => Self::Own(name.trim().to_owned()),
        }
    }
}

/// What a size may leave its nominal by, either way.
pub(super) fn tolerance(class: Class, nominal: Length) -> Option<Length> {
    general(class, nominal).ok()
}

/// The rows of the table up to the one that holds `largest`: its range and tolerance.
pub(super) fn rows(class: Class, largest: Length) -> impl Iterator<Item = (f64, f64, f64)> {
    ranges()
        .filter(move |(low, _)| largest > *low)
        .filter_map(move |(low, high)| Some((low.as_mm(), high.as_mm(), tolerance(class, high)?.as_mm())))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_words_of_a_part() {
        assert_eq!(General::named("ISO 2768-m", Unit::Mm), General::Iso(Class::Medium), "a class");
        assert_eq!(General::named(".XX ±.01", Unit::Inch), General::Decimals, "by decimals");
        assert_eq!(General::named("as the pattern", Unit::Mm), General::Own("as the pattern".to_owned()), "own words");
        let rows: Vec<_> = rows(Class::Medium, Length::mm(60.0)).collect();
        assert_eq!(rows.last(), Some(&(30.0, 120.0, 0.3)), "no further than the part is large");
    }
}

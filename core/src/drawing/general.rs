//! General tolerances: what a bare number on the sheet means.

use crate::quantity::{Length, Unit};

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

/// A class of ISO 2768-1.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Class {
    /// `f`
    Fine,
    /// `m`
    Medium,
    /// `c`
    Coarse,
    /// `v`
    VeryCoarse,
}

/// One row: over (from, for the first) and up to, in millimetres, and f, m, c, v.
/// ISO 2768-1:1989 table 1; f and m compared with public copies, c and v from memory.
const TABLE: [(f64, f64, [Option<f64>; 4]); 8] = [
    (0.5, 3.0, [Some(0.05), Some(0.1), Some(0.2), None]),
    (3.0, 6.0, [Some(0.05), Some(0.1), Some(0.3), Some(0.5)]),
    (6.0, 30.0, [Some(0.1), Some(0.2), Some(0.5), Some(1.0)]),
    (30.0, 120.0, [Some(0.15), Some(0.3), Some(0.8), Some(1.5)]),
    (120.0, 400.0, [Some(0.2), Some(0.5), Some(1.2), Some(2.5)]),
    (400.0, 1000.0, [Some(0.3), Some(0.8), Some(2.0), Some(4.0)]),
    (1000.0, 2000.0, [Some(0.5), Some(1.2), Some(3.0), Some(6.0)]),
    (2000.0, 4000.0, [None, Some(2.0), Some(4.0), Some(8.0)]),
];

impl General {
    /// Decimals of a number and the tolerance that they call up; common practice of inch shops,
    /// no source.
    pub(super) const BY_DECIMALS: [(usize, Length); 2] = [(2, Length::inch(0.01)), (3, Length::inch(0.005))];

    /// The general tolerance that a part names.
    pub(super) fn named(name: &str, unit: Unit) -> Self {
        let class = name.trim().strip_prefix("ISO 2768-").and_then(|rest| match rest.chars().next() {
            Some('f') => Some(Class::Fine),
            Some('m') => Some(Class::Medium),
            Some('c') => Some(Class::Coarse),
            Some('v') => Some(Class::VeryCoarse),
            _ => None,
        });
        match (class, unit) {
            (Some(class), _) => Self::Iso(class),
            (None, Unit::Inch) if name.trim().is_empty() || name.contains(".XX") => Self::Decimals,
            (None, Unit::Inch | Unit::Mm) => Self::Own(name.trim().to_owned()),
        }
    }
}

impl Class {
    /// What a size may leave its nominal by, either way.
    pub(super) fn tolerance(self, nominal: Length) -> Option<Length> {
        let mm = nominal.as_mm();
        TABLE
            .iter()
            .find(|(low, high, _)| mm <= high + 1e-9 && mm >= low - 1e-9)
            .and_then(|(_, _, row)| row[self.column()])
            .map(Length::mm)
    }

    /// The rows of the table up to the one that holds `largest`: its range and tolerance.
    pub(super) fn rows(self, largest: Length) -> impl Iterator<Item = (f64, f64, f64)> {
        TABLE
            .iter()
            .filter(move |(low, _, _)| largest.as_mm() > *low)
            .filter_map(move |(low, high, row)| row[self.column()].map(|told| (*low, *high, told)))
    }

    const fn column(self) -> usize {
        match self {
            Self::Fine => 0,
            Self::Medium => 1,
            Self::Coarse => 2,
            Self::VeryCoarse => 3,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Values of ISO 2768-1 as public tables give them.
    #[test]
    fn published_values() {
        for (class, mm, told) in [
            (Class::Medium, 6.0, 0.1),
            (Class::Medium, 30.0, 0.2),
            (Class::Medium, 60.0, 0.3),
            (Class::Fine, 300.0, 0.2),
        ] {
            let found = class.tolerance(Length::mm(mm)).expect("in the table");
            assert!((found.as_mm() - told).abs() < 1e-12, "{class:?} {mm}: {found:?}");
        }
        assert_eq!(Class::Medium.tolerance(Length::mm(0.4)), None, "below 0.5 the size carries its own");
    }
}

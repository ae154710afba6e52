//! General tolerances of ISO 2768-1: what holds for a dimension without its own.

use super::Unknown;
use super::unknown::{folded, shown};
use crate::quantity::{Angle, Length, trimmed};

/// A class of ISO 2768-1.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Class {
    /// Class f.
    Fine,
    /// Class m.
    Medium,
    /// Class c.
    Coarse,
    /// Class v.
    VeryCoarse,
}

/// Linear sizes: upper bound in millimetres; deviations of f, m, c, v either way in millimetres
/// (ISO 2768-1, table 1). The first range starts at 0.5 mm.
const LINEAR: [(f64, [Option<f64>; 4]); 8] = [
    (3.0, [Some(0.05), Some(0.1), Some(0.2), None]),
    (6.0, [Some(0.05), Some(0.1), Some(0.3), Some(0.5)]),
    (30.0, [Some(0.1), Some(0.2), Some(0.5), Some(1.0)]),
    (120.0, [Some(0.15), Some(0.3), Some(0.8), Some(1.5)]),
    (400.0, [Some(0.2), Some(0.5), Some(1.2), Some(2.5)]),
    (1000.0, [Some(0.3), Some(0.8), Some(2.0), Some(4.0)]),
    (2000.0, [Some(0.5), Some(1.2), Some(3.0), Some(6.0)]),
    (4000.0, [None, Some(2.0), Some(4.0), Some(8.0)]),
];

/// Outer radii and heights of chamfers, likewise (ISO 2768-1, table 2); the last range is open.
const RADIUS: [(f64, [f64; 4]); 3] =
    [(3.0, [0.2, 0.2, 0.4, 0.4]), (6.0, [0.5, 0.5, 1.0, 1.0]), (f64::INFINITY, [1.0, 1.0, 2.0, 2.0])];

/// Angles by the length of the shorter leg: deviations in minutes (ISO 2768-1, table 3).
const ANGULAR: [(f64, [f64; 4]); 5] = [
    (10.0, [60.0, 60.0, 90.0, 180.0]),
    (50.0, [30.0, 30.0, 60.0, 120.0]),
    (120.0, [20.0, 20.0, 30.0, 60.0]),
    (400.0, [10.0, 10.0, 15.0, 30.0]),
    (f64::INFINITY, [5.0, 5.0, 10.0, 20.0]),
];

impl Class {
    /// Every class, finest first.
    pub const ALL: [Self; 4] = [Self::Fine, Self::Medium, Self::Coarse, Self::VeryCoarse];

    /// The letter on a drawing: `f`, `m`, `c`, `v`.
    pub const fn letter(self) -> &'static str {
        match self {
            Self::Fine => "f",
            Self::Medium => "m",
            Self::Coarse => "c",
            Self::VeryCoarse => "v",
        }
    }

    /// The class that a text names: `m`, `2768-m`, `ISO 2768-m`, `ISO 2768-1 m`, `medium`.
    ///
    /// # Errors
    /// Tells the four classes.
    pub fn named(name: &str) -> Result<Self, Unknown> {
        let text = folded(name).unwrap_or_default();
        let text = text.strip_prefix("iso").unwrap_or(&text);
        let text = text.strip_prefix("2768").unwrap_or(text);
        let text = text.strip_prefix("-1").unwrap_or(text);
        match text.trim_start_matches('-') {
            "f" | "fine" => Ok(Self::Fine),
            "m" | "medium" => Ok(Self::Medium),
            "c" | "coarse" => Ok(Self::Coarse),
            "v" | "verycoarse" => Ok(Self::VeryCoarse),
            _ => Err(Unknown::new(
                format!("`{}` is no class of general tolerances.", shown(name)),
                "The classes of ISO 2768-1 are f, m, c and v: `ISO 2768-m`.",
            )),
        }
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

/// The deviation, either way, of a linear size from 0.5 mm to 4000 mm.
///
/// # Errors
/// Below 0.5 mm, above the table, and where the class has no value.
pub fn general(class: Class, nominal: Length) -> Result<Length, Unknown> {
    let mm = nominal.as_mm();
    let row = if mm >= 0.5 { LINEAR.iter().find(|(to, _)| mm <= to + 1e-9) } else { None };
    let value = row.and_then(|(_, row)| row.get(class.column()).copied().flatten());
    value.map(Length::mm).ok_or_else(|| {
        Unknown::new(
            format!("ISO 2768-{} has no deviation for {} mm.", class.letter(), trimmed(mm, 3)),
            "Table 1 goes from 0.5 mm (v: over 3 mm) up to 4000 mm (f: 2000 mm); give the size its own tolerance.",
        )
    })
}

/// The deviation, either way, of an outer radius or the height of a chamfer from 0.5 mm.
///
/// # Errors
/// Below 0.5 mm.
pub fn general_radius(class: Class, nominal: Length) -> Result<Length, Unknown> {
    let mm = nominal.as_mm();
    let row = if mm >= 0.5 { RADIUS.iter().find(|(to, _)| mm <= to + 1e-9) } else { None };
    row.and_then(|(_, row)| row.get(class.column())).map(|value| Length::mm(*value)).ok_or_else(|| {
        Unknown::new(
            format!("ISO 2768-{} has no deviation for a radius of {} mm.", class.letter(), trimmed(mm, 3)),
            "Table 2 starts at 0.5 mm; give the radius its own tolerance.",
        )
    })
}

/// The deviation, either way, of an angle, by the length of its shorter leg.
///
/// # Errors
/// Where the leg has no length.
pub fn general_angle(class: Class, shorter_leg: Length) -> Result<Angle, Unknown> {
    let mm = shorter_leg.as_mm();
    let row = if mm > 0.0 { ANGULAR.iter().find(|(to, _)| mm <= to + 1e-9) } else { None };
    row.and_then(|(_, row)| row.get(class.column())).map(|minutes| Angle::degree(minutes / 60.0)).ok_or_else(|| {
        Unknown::new(
            format!("A leg of {} mm has no angle.", trimmed(mm, 3)),
            "Table 3 of ISO 2768-1 wants the length of the shorter leg.",
        )
    })
}

/// The bounds of the ranges of linear sizes: from (over, but for the first) up to and including.
pub fn ranges() -> impl Iterator<Item = (Length, Length)> {
    let from = std::iter::once(0.5).chain(LINEAR.iter().map(|(to, _)| *to));
    from.zip(LINEAR.iter()).map(|(from, (to, _))| (Length::mm(from), Length::mm(*to)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_and_bounds() {
        for name in ["m", "ISO 2768-m", "2768-m", "iso2768-1 m", "ISO 2768-1-m", "Medium"] {
            assert_eq!(Class::named(name), Ok(Class::Medium), "{name}");
        }
        for name in ["", "x", "2768", "ISO 2768-mK", "ß"] {
            assert!(Class::named(name).is_err(), "{name}");
        }
        assert_eq!(general(Class::Medium, Length::mm(30.0)), Ok(Length::mm(0.2)), "up to and including 30");
        assert_eq!(general(Class::Medium, Length::mm(30.01)), Ok(Length::mm(0.3)), "over 30");
        for (class, mm) in [
            (Class::Fine, 2001.0),
            (Class::VeryCoarse, 2.0),
            (Class::Medium, 0.4),
            (Class::Coarse, 4001.0),
            (Class::Fine, f64::NAN),
        ] {
            assert!(general(class, Length::mm(mm)).is_err(), "{class:?} {mm}");
        }
    }
}

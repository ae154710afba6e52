//! Dimensions known at run time, for formulas.

use std::fmt;

use super::{Length, Unit, trimmed};

/// The dimension of a value: whole powers of length, angle, force, mass and time.
///
/// Force stands beside mass, not below it: formulas here come from the bench, where a newton is
/// a newton and no mass is ever accelerated.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Dim {
    /// Power of length.
    pub length: i8,
    /// Power of angle.
    pub angle: i8,
    /// Power of force.
    pub force: i8,
    /// Power of mass.
    pub mass: i8,
    /// Power of time.
    pub time: i8,
}

/// A number with its dimension, in the inside units (mm, rad, N, g, s).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Quantity {
    /// The number, in inside units.
    pub value: f64,
    /// What it measures.
    pub dim: Dim,
}

impl Dim {
    /// A bare number.
    pub const NUMBER: Self = Self { length: 0, angle: 0, force: 0, mass: 0, time: 0 };
    /// A length.
    pub const LENGTH: Self = Self { length: 1, ..Self::NUMBER };
    /// An area.
    pub const AREA: Self = Self { length: 2, ..Self::NUMBER };
    /// A volume.
    pub const VOLUME: Self = Self { length: 3, ..Self::NUMBER };
    /// An angle.
    pub const ANGLE: Self = Self { angle: 1, ..Self::NUMBER };
    /// A force.
    pub const FORCE: Self = Self { force: 1, ..Self::NUMBER };
    /// A turning moment.
    pub const TORQUE: Self = Self { force: 1, length: 1, ..Self::NUMBER };
    /// A stress or pressure.
    pub const STRESS: Self = Self { force: 1, length: -2, ..Self::NUMBER };
    /// A mass.
    pub const MASS: Self = Self { mass: 1, ..Self::NUMBER };
    /// A density.
    pub const DENSITY: Self = Self { mass: 1, length: -3, ..Self::NUMBER };
    /// A time.
    pub const TIME: Self = Self { time: 1, ..Self::NUMBER };
    /// A feed or speed.
    pub const FEED: Self = Self { length: 1, time: -1, ..Self::NUMBER };

    /// The dimension of a product, or `None` where a power leaves the range of `i8`.
    pub fn times(self, other: Self) -> Option<Self> {
        self.zip(other, i8::checked_add)
    }

    /// The dimension of a quotient, or `None` where a power leaves the range of `i8`.
    pub fn over(self, other: Self) -> Option<Self> {
        self.zip(other, i8::checked_sub)
    }

    /// The dimension of a whole power.
    pub fn power(self, exponent: i8) -> Option<Self> {
        self.zip(self, |power, _| power.checked_mul(exponent))
    }

    /// The dimension of a square root, or `None` where a power is odd.
    pub fn root(self) -> Option<Self> {
        self.zip(self, |power, _| (power % 2 == 0).then_some(power / 2))
    }

    fn zip(self, other: Self, with: impl Fn(i8, i8) -> Option<i8>) -> Option<Self> {
        Some(Self {
            length: with(self.length, other.length)?,
            angle: with(self.angle, other.angle)?,
            force: with(self.force, other.force)?,
            mass: with(self.mass, other.mass)?,
            time: with(self.time, other.time)?,
        })
    }

    /// The name a machinist would use, if there is one.
    pub fn name(self) -> Option<&'static str> {
        NAMES.iter().find(|(dim, _)| *dim == self).map(|(_, name)| *name)
    }

    /// The dimension that a family file calls by this name.
    pub fn named(name: &str) -> Option<Self> {
        NAMES.iter().find(|(_, known)| *known == name).map(|(dim, _)| *dim)
    }
}

const NAMES: &[(Dim, &str)] = &[
    (Dim::NUMBER, "number"),
    (Dim::LENGTH, "length"),
    (Dim::AREA, "area"),
    (Dim::VOLUME, "volume"),
    (Dim::ANGLE, "angle"),
    (Dim::FORCE, "force"),
    (Dim::TORQUE, "torque"),
    (Dim::STRESS, "stress"),
    (Dim::MASS, "mass"),
    (Dim::DENSITY, "density"),
    (Dim::TIME, "time"),
    (Dim::FEED, "feed"),
];

impl fmt::Display for Dim {
    /// The name of the dimension, or its powers where it has none: `length^4·force`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(name) = self.name() {
            return f.write_str(name);
        }
        let powers = [
            ("length", self.length),
            ("angle", self.angle),
            ("force", self.force),
            ("mass", self.mass),
            ("time", self.time),
        ];
        let mut first = true;
        for (name, power) in powers {
            if power == 0 {
                continue;
            }
            if !first {
                f.write_str("·")?;
            }
            first = false;
            f.write_str(name)?;
            if power != 1 {
                write!(f, "^{power}")?;
            }
        }
        Ok(())
    }
}

impl Quantity {
    /// A bare number.
    pub const fn number(value: f64) -> Self {
        Self { value, dim: Dim::NUMBER }
    }

    /// A value of the given dimension, in inside units.
    pub const fn new(value: f64, dim: Dim) -> Self {
        Self { value, dim }
    }

    /// A length in millimetres.
    pub const fn mm(value: f64) -> Self {
        Self { value, dim: Dim::LENGTH }
    }

    /// As a person would type it, to six decimals: `7.5 mm`, `0.375 in`, `90°`, `2 N·m`. A value
    /// that has no unit of its own is a bare number of inside units.
    pub fn typed(self, unit: Unit) -> String {
        let value = self.value;
        match self.dim {
            Dim::LENGTH => format!("{} {}", trimmed(unit.of(Length::mm(value)), 6), unit.sign()),
            Dim::ANGLE => format!("{}°", trimmed(value.to_degrees(), 6)),
            Dim::FORCE => format!("{} N", trimmed(value, 6)),
            Dim::TORQUE => format!("{} N·m", trimmed(value / 1000.0, 6)),
            Dim::STRESS => format!("{} MPa", trimmed(value, 6)),
            _ => trimmed(value, 6),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_go_both_ways() {
        for (dim, name) in NAMES {
            assert_eq!(Dim::named(name), Some(*dim), "{name}");
            assert_eq!(dim.to_string(), *name, "{name}");
        }
        let odd = Dim::AREA.times(Dim::FORCE).expect("small powers");
        assert_eq!(odd.to_string(), "length^2·force", "no name: powers");
    }

    #[test]
    fn roots_need_even_powers() {
        assert_eq!(Dim::AREA.root(), Some(Dim::LENGTH), "mm² has a root");
        assert_eq!(Dim::LENGTH.root(), None, "mm has none");
    }
}

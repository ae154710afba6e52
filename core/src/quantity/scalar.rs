//! One newtype for each kind of value that the rooms hand to each other.

use std::fmt;
use std::iter::Sum;
use std::ops::{Add, AddAssign, Div, Mul, Neg, Sub, SubAssign};

use serde::{Deserialize, Serialize};

macro_rules! scalar {
    ($(#[$doc:meta])* $name:ident, $make:ident, $read:ident, $unit:literal) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Default, PartialEq, PartialOrd, Serialize, Deserialize)]
        #[serde(transparent)]
        pub struct $name(f64);

        impl $name {
            #[doc = concat!("Nothing at all, 0 ", $unit, ".")]
            pub const ZERO: Self = Self(0.0);

            #[doc = concat!("A value given in ", $unit, ".")]
            pub const fn $make(value: f64) -> Self {
                Self(value)
            }

            #[doc = concat!("The value in ", $unit, ".")]
            pub const fn $read(self) -> f64 {
                self.0
            }

            /// The value without its sign.
            #[must_use]
            pub fn abs(self) -> Self {
                Self(self.0.abs())
            }

            /// The smaller of two values.
            #[must_use]
            pub fn min(self, other: Self) -> Self {
                Self(self.0.min(other.0))
            }

            /// The larger of two values.
            #[must_use]
            pub fn max(self, other: Self) -> Self {
                Self(self.0.max(other.0))
            }

            /// The order of two values; every value here is a finite number.
            pub fn order(self, other: Self) -> std::cmp::Ordering {
                self.0.total_cmp(&other.0)
            }
        }

        impl fmt::Debug for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                write!(f, concat!("{} ", $unit), self.0)
            }
        }

        impl Add for $name {
            type Output = Self;
            fn add(self, other: Self) -> Self {
                Self(self.0 + other.0)
            }
        }

        impl AddAssign for $name {
            fn add_assign(&mut self, other: Self) {
                self.0 += other.0;
            }
        }

        impl Sub for $name {
            type Output = Self;
            fn sub(self, other: Self) -> Self {
                Self(self.0 - other.0)
            }
        }

        impl SubAssign for $name {
            fn sub_assign(&mut self, other: Self) {
                self.0 -= other.0;
            }
        }

        impl Neg for $name {
            type Output = Self;
            fn neg(self) -> Self {
                Self(-self.0)
            }
        }

        impl Mul<f64> for $name {
            type Output = Self;
            fn mul(self, factor: f64) -> Self {
                Self(self.0 * factor)
            }
        }

        impl Mul<$name> for f64 {
            type Output = $name;
            fn mul(self, value: $name) -> $name {
                $name(self * value.0)
            }
        }

        impl Div<f64> for $name {
            type Output = Self;
            fn div(self, divisor: f64) -> Self {
                Self(self.0 / divisor)
            }
        }

        impl Div for $name {
            type Output = f64;
            fn div(self, other: Self) -> f64 {
                self.0 / other.0
            }
        }

        impl Sum for $name {
            fn sum<I: Iterator<Item = Self>>(values: I) -> Self {
                values.fold(Self::ZERO, Add::add)
            }
        }
    };
}

scalar!(/// A length, kept in millimetres.
    Length, mm, as_mm, "mm");
scalar!(/// An angle, kept in radians.
    Angle, rad, as_rad, "rad");
scalar!(/// An area, kept in square millimetres.
    Area, mm2, as_mm2, "mm²");
scalar!(/// A force, kept in newtons.
    Force, newton, as_newton, "N");
scalar!(/// A turning moment, kept in newton millimetres.
    Torque, newton_mm, as_newton_mm, "N·mm");
scalar!(/// A stress or pressure, kept in megapascals (N/mm²).
    Stress, mpa, as_mpa, "MPa");
scalar!(/// A mass, kept in grams.
    Mass, gram, as_gram, "g");
scalar!(/// A density, kept in grams per cubic millimetre.
    Density, gram_per_mm3, as_gram_per_mm3, "g/mm³");
scalar!(/// A span of time, kept in seconds.
    Time, second, as_second, "s");
scalar!(/// A feed of the table or a speed of a cutting edge, kept in millimetres per minute.
    Feed, mm_per_min, as_mm_per_min, "mm/min");
scalar!(/// A speed of the spindle, kept in turns per minute.
    Spindle, rpm, as_rpm, "1/min");

impl Length {
    /// A length given in inches; 1 in = 25.4 mm exactly (international inch, 1959).
    pub const fn inch(value: f64) -> Self {
        Self(value * 25.4)
    }

    /// The length in inches.
    pub const fn as_inch(self) -> f64 {
        self.0 / 25.4
    }

    /// The nearest whole multiple of `step`, halves away from zero.
    ///
    /// The result is the double nearest to the decimal number, so that it prints as it is.
    #[must_use]
    pub fn to_nearest(self, step: Self) -> Self {
        Self(clean((self.0 / step.0).round() * step.0))
    }

    /// The next whole multiple of `step` at or below; a value within a millionth of a step of a
    /// multiple counts as that multiple.
    #[must_use]
    pub fn down_to(self, step: Self) -> Self {
        Self(clean((self.0 / step.0 + 1e-6).floor() * step.0))
    }

    /// The next whole multiple of `step` at or above; a value within a millionth of a step of a
    /// multiple counts as that multiple.
    #[must_use]
    pub fn up_to(self, step: Self) -> Self {
        Self(clean((self.0 / step.0 - 1e-6).ceil() * step.0))
    }
}

impl Angle {
    /// An angle given in degrees.
    pub const fn degree(value: f64) -> Self {
        Self(value * (std::f64::consts::PI / 180.0))
    }

    /// The angle in degrees.
    pub const fn as_degree(self) -> f64 {
        self.0 * (180.0 / std::f64::consts::PI)
    }
}

impl Mul for Length {
    type Output = Area;
    fn mul(self, other: Self) -> Area {
        Area::mm2(self.0 * other.0)
    }
}

impl Mul<Area> for Stress {
    type Output = Force;
    fn mul(self, area: Area) -> Force {
        Force::newton(self.0 * area.as_mm2())
    }
}

/// Takes the dust of binary arithmetic off a value in millimetres: the double nearest to the
/// same number with nine decimals.
fn clean(mm: f64) -> f64 {
    (mm * 1e9).round() / 1e9
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn snapping_prints_as_it_is() {
        let snapped = Length::mm(9.958_000_000_01).to_nearest(Length::mm(0.01));
        assert_eq!(format!("{}", snapped.as_mm()), "9.96", "the decimal, not its dust");
        let down = Length::mm(7.5).down_to(Length::mm(0.5));
        assert_eq!(down, Length::mm(7.5), "a multiple stays where it is");
        let up = Length::inch(0.3).up_to(Length::inch(1.0 / 64.0));
        assert!((up.as_inch() - 0.3125).abs() < 1e-9, "20/64 in");
    }
}

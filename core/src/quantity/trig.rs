//! Trigonometry and roots that give the same bits on every machine.
//!
//! The platform's own transcendental functions differ in the last bits between a native
//! build and the browser; those of `libm` do not. Only `+ - * / sqrt` and these are used.

use super::Angle;

/// Sine.
pub fn sin(angle: Angle) -> f64 {
    libm::sin(angle.as_rad())
}

/// Cosine.
pub fn cos(angle: Angle) -> f64 {
    libm::cos(angle.as_rad())
}

/// Tangent.
pub fn tan(angle: Angle) -> f64 {
    libm::tan(angle.as_rad())
}

/// The angle whose sine is `ratio`; `ratio` lies in -1..=1.
pub fn asin(ratio: f64) -> Angle {
    Angle::rad(libm::asin(ratio))
}

/// The angle whose cosine is `ratio`; `ratio` lies in -1..=1.
pub fn acos(ratio: f64) -> Angle {
    Angle::rad(libm::acos(ratio))
}

/// The angle of the direction (`x`, `y`), in -π..=π.
pub fn atan2(y: f64, x: f64) -> Angle {
    Angle::rad(libm::atan2(y, x))
}

/// The length of the hypotenuse, from the sides.
pub fn hypot(x: f64, y: f64) -> f64 {
    (x * x + y * y).sqrt()
}

/// `base` raised to a power.
pub fn pow(base: f64, exponent: f64) -> f64 {
    libm::pow(base, exponent)
}

/// The cube root.
pub fn cbrt(value: f64) -> f64 {
    libm::cbrt(value)
}

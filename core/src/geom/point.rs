//! Points and the vectors between them.

use std::ops::{Add, Mul, Neg, Sub};

use crate::quantity::{Angle, trig};

/// A place in the plane.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Point {
    /// To the right.
    pub x: f64,
    /// Up.
    pub y: f64,
}

/// A way from one place to another. Two points cannot be added; a point and a vector can.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Vector {
    /// To the right.
    pub x: f64,
    /// Up.
    pub y: f64,
}

impl Point {
    /// The place (`x`, `y`).
    pub const fn new(x: f64, y: f64) -> Self {
        Self { x, y }
    }

    /// How far another place is.
    pub fn distance(self, other: Self) -> f64 {
        (other - self).length()
    }

    /// The place halfway to another.
    #[must_use]
    pub fn middle(self, other: Self) -> Self {
        Self::new(f64::midpoint(self.x, other.x), f64::midpoint(self.y, other.y))
    }
}

impl Vector {
    /// The way (`x`, `y`).
    pub const fn new(x: f64, y: f64) -> Self {
        Self { x, y }
    }

    /// The way of length one in this direction.
    pub fn toward(angle: Angle) -> Self {
        Self::new(trig::cos(angle), trig::sin(angle))
    }

    /// How long it is.
    pub fn length(self) -> f64 {
        trig::hypot(self.x, self.y)
    }

    /// The scalar product.
    pub fn dot(self, other: Self) -> f64 {
        self.x * other.x + self.y * other.y
    }

    /// The third component of the vector product: positive where `other` lies to the left.
    pub fn cross(self, other: Self) -> f64 {
        self.x * other.y - self.y * other.x
    }

    /// Turned a quarter to the left.
    #[must_use]
    pub fn left(self) -> Self {
        Self::new(-self.y, self.x)
    }

    /// The direction.
    pub fn angle(self) -> Angle {
        trig::atan2(self.y, self.x)
    }
}

impl Add<Vector> for Point {
    type Output = Self;
    fn add(self, way: Vector) -> Self {
        Self::new(self.x + way.x, self.y + way.y)
    }
}

impl Sub<Vector> for Point {
    type Output = Self;
    fn sub(self, way: Vector) -> Self {
        Self::new(self.x - way.x, self.y - way.y)
    }
}

impl Sub for Point {
    type Output = Vector;
    fn sub(self, from: Self) -> Vector {
        Vector::new(self.x - from.x, self.y - from.y)
    }
}

impl Add for Vector {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self::new(self.x + other.x, self.y + other.y)
    }
}

impl Mul<f64> for Vector {
    type Output = Self;
    fn mul(self, factor: f64) -> Self {
        Self::new(self.x * factor, self.y * factor)
    }
}

impl Neg for Vector {
    type Output = Self;
    fn neg(self) -> Self {
        Self::new(-self.x, -self.y)
    }
}

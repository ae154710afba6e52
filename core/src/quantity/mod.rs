//! Lengths, angles, forces and their kin: values with a meaning.
//!
//! In come numbers and what people type; out go values in one set of inside
//! units (millimetre, radian, newton, gram, second) and text for every outside.
//! This room never knows what a value is for.

mod date;
mod dim;
mod print;
mod read;
mod scalar;
pub mod trig;

pub use date::read_date;
pub use dim::{Dim, Quantity};
pub use print::{Unit, decimals, fixed, pick, put_decimal, put_trimmed, put_whole, rounded, say_torque, trimmed};
pub use read::{ReadError, in_other_unit, read, read_as, unit, units};
pub use scalar::{Angle, Area, Density, Feed, Force, Length, Mass, Spindle, Stress, Time, Torque};

//! The mill itself.

use serde::{Deserialize, Serialize};

use crate::quantity::{Feed, Length, Spindle, Time};

/// How far an axis goes, in machine coordinates.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Travel {
    /// Lowest coordinate.
    pub from: Length,
    /// Highest coordinate.
    pub to: Length,
}

/// What the mill can do.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Machine {
    /// What it is, in words.
    pub title: String,
    /// Travel of the table along X.
    pub x: Travel,
    /// Travel along Y.
    pub y: Travel,
    /// Travel of the head along Z.
    pub z: Travel,
    /// Fastest feed while cutting.
    pub feed_max: Feed,
    /// Fastest move in the air.
    pub rapid: Feed,
    /// How quickly an axis gains speed, mm/s².
    pub acceleration: f64,
    /// Slowest spindle speed.
    pub spindle_min: Spindle,
    /// Fastest spindle speed.
    pub spindle_max: Spindle,
    /// Power of the spindle's motor, in watts.
    pub spindle_watts: f64,
    /// Time until the spindle has its speed.
    pub spindle_start: Time,
    /// Time for a change of tool by hand.
    pub tool_change: Time,
    /// The share of the tables' depths and feeds that the machine bears, 0..=1; a light machine
    /// bears less.
    pub vigour: f64,
}

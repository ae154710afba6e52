//! Screw threads of the 60° profile: unified and ISO metric.

use serde::{Deserialize, Serialize};

use super::drill::Drill;
use crate::quantity::{Area, Length, Unit};

/// The way a thread turns.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Hand {
    /// Right: a nut that turns clockwise goes away.
    #[default]
    Right,
    /// Left.
    Left,
}

/// A thread with its limits of size.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Thread {
    /// As it is written on a drawing, without class: `M5x0.8`, `10-32 UNF`, `1/4-20 UNC`.
    pub designation: String,
    /// As a person calls it: `M5`, `10-32`, `1/4-20`.
    pub name: String,
    /// The unit that its standard is written in.
    pub unit: Unit,
    /// Basic major diameter.
    pub major: Length,
    /// Axial distance between neighbouring threads.
    pub pitch: Length,
    /// Limits of the hole.
    pub internal: Internal,
    /// Limits of the screw.
    pub external: External,
    /// The usual drill before the thread is cut.
    pub tap_drill: Drill,
    /// Tensile stress area of the screw.
    pub stress_area: Area,
    /// Where the limits come from: standard and table or formula.
    pub source: String,
}

/// Limits of an internal thread.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Internal {
    /// Tolerance class: `6H`, `2B`, `3B`.
    pub class: String,
    /// Smallest minor diameter.
    pub minor_min: Length,
    /// Largest minor diameter.
    pub minor_max: Length,
    /// Smallest pitch diameter.
    pub pitch_min: Length,
    /// Largest pitch diameter.
    pub pitch_max: Length,
}

/// Limits of an external thread.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct External {
    /// Tolerance class: `6g`, `2A`.
    pub class: String,
    /// Largest major diameter.
    pub major_max: Length,
    /// Smallest major diameter.
    pub major_min: Length,
    /// Largest pitch diameter.
    pub pitch_max: Length,
    /// Smallest pitch diameter.
    pub pitch_min: Length,
}

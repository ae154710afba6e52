//! A finished part: stock, features and limits, as plain data.
//!
//! In come resolved sizes; out go the same sizes, each under its name, for whoever draws, cuts,
//! measures or checks. This room never knows that a part was parametric.
//!
//! # Axes
//! X runs along the bar, Y across it to the back, Z up. The origin lies in the middle of the
//! length and of the width, on the top face of the blank, so that cuts have negative Z. This is
//! the datum of the drawing and of the program.

mod characteristic;
mod feature;
mod gauge;
mod hardware;
mod pose;
mod size;

pub use characteristic::{
    Attribute, Characteristic, Measure, Quality, Side, asked_for, attributes, called, chamfer_off, characteristics,
    inspected,
};
pub use feature::{Depth, Face, Feature, Head, Holes, Kind, Make, Place, Slot, Tongue};
pub use gauge::{bores, gauge, looked_at_with, only_gauged, thread_of};
pub use hardware::{Hardware, Per};
pub use pose::{End, Ends, Pose, Sides};
pub use size::{Axis, Basis, Size};

use serde::{Deserialize, Serialize};

use crate::quantity::{Length, Mass, Unit};
use crate::standards::material::Material;

/// The bar or plate that comes to the mill.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Blank {
    /// Extent along X as it comes from the saw, with what is milled off its ends.
    pub length: Length,
    /// Extent along Y, as drawn.
    pub width: Length,
    /// Extent along Z, as drawn.
    pub height: Length,
    /// The bar on the rack that it is cut from.
    pub bar: String,
}

/// A part, finished and complete: nothing in it refers to anything by formula or default.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Part {
    /// The family that it belongs to.
    pub family: String,
    /// Its number: family and sizes in short.
    pub number: String,
    /// Its name on drawing and papers.
    pub title: String,
    /// The unit that drawing and papers speak.
    pub unit: Unit,
    /// What it is made of.
    pub material: Material,
    /// What it is made from.
    pub blank: Blank,
    /// Extent along X.
    pub length: Size,
    /// Extent along Y.
    pub width: Size,
    /// Extent along Z.
    pub height: Size,
    /// How it ends at both sides.
    #[serde(default)]
    pub ends: Ends,
    /// What is cut into it, in the order that the family names it.
    pub features: Vec<Feature>,
    /// Class of general tolerances by ISO 2768-1, or the words of a shop's own.
    pub general: General,
    /// Edges are broken by this much, least and most.
    pub edge_break: Option<(Length, Length)>,
    /// Finish, in words.
    pub finish: String,
    /// Mass of the finished piece.
    pub mass: Mass,
    /// Notes for the drawing.
    pub notes: Vec<String>,
    /// What goes with it, into its bag.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub hardware: Vec<Hardware>,
}

/// Tolerances of sizes that carry none of their own.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct General {
    /// As it stands on the drawing: `ISO 2768-m`.
    pub name: String,
}

impl Part {
    /// The feature with this name.
    pub fn feature(&self, id: &str) -> Option<&Feature> {
        self.features.iter().find(|feature| feature.id == id)
    }

    /// The tongues among the features.
    pub fn tongues(&self) -> impl Iterator<Item = (&Feature, &Tongue)> {
        self.features.iter().filter_map(|feature| match &feature.kind {
            Kind::Tongue(tongue) => Some((feature, tongue)),
            Kind::Holes(_) | Kind::Slot(_) => None,
        })
    }

    /// The groups of holes among the features.
    pub fn holes(&self) -> impl Iterator<Item = (&Feature, &Holes)> {
        self.features.iter().filter_map(|feature| match &feature.kind {
            Kind::Holes(holes) => Some((feature, holes)),
            Kind::Tongue(_) | Kind::Slot(_) => None,
        })
    }

    /// The slots and grooves among the features.
    pub fn slots(&self) -> impl Iterator<Item = (&Feature, &Slot)> {
        self.features.iter().filter_map(|feature| match &feature.kind {
            Kind::Slot(slot) => Some((feature, slot)),
            Kind::Tongue(_) | Kind::Holes(_) => None,
        })
    }
}

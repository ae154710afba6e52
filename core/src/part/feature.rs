//! What is cut into a part.

use serde::{Deserialize, Serialize};

use super::Size;
use crate::diag::Origin;
use crate::quantity::Length;
use crate::standards::drill::Drill;
use crate::standards::thread::{Hand, Thread};

/// The face that a feature is cut from.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Face {
    /// The face at Z = 0.
    #[default]
    Top,
}

/// Something cut into a part.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Feature {
    /// Its name in the family file.
    pub id: String,
    /// In plain words.
    pub title: String,
    /// The face that it is cut from.
    pub face: Face,
    /// The line that asks for it.
    pub origin: Origin,
    /// What it is.
    pub kind: Kind,
}

/// The kinds of features.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Kind {
    /// A tongue along the bar, left between two rabbets.
    Tongue(Tongue),
    /// Equal holes.
    Holes(Holes),
}

/// A tongue along the whole bar: what two rabbets on the long top edges leave standing.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Tongue {
    /// Across the bar, between the walls of the rabbets.
    pub width: Size,
    /// From the shoulders up to the top face; the depth of the rabbets.
    pub height: Size,
    /// How far the tongue's middle may lie from the middle of the bar, either way.
    pub centring: Length,
}

/// A group of equal holes.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Holes {
    /// Middles of the holes.
    pub places: Vec<Place>,
    /// How far each middle may lie from its place along either axis.
    pub place_tolerance: Length,
    /// How deep.
    pub depth: Depth,
    /// What each hole is.
    pub make: Make,
    /// Diameter of the chamfer at the entry, 90° included, if there is one.
    pub chamfer: Option<Length>,
}

/// The middle of a hole on its face.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Place {
    /// From the middle of the bar's length.
    pub x: Length,
    /// From the middle of the bar's width.
    pub y: Length,
}

/// How deep a hole goes.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Depth {
    /// Out at the other side.
    Through,
}

/// What a hole is.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Make {
    /// Drilled, its diameter within limits.
    Plain {
        /// Diameter.
        diameter: Size,
    },
    /// Drilled and threaded over its whole depth.
    Tapped {
        /// The thread.
        thread: Box<Thread>,
        /// Which way it turns.
        hand: Hand,
        /// The drill before the thread.
        drill: Drill,
    },
}

impl Holes {
    /// The thread, where the holes are tapped.
    pub fn thread(&self) -> Option<(&Thread, Hand)> {
        match &self.make {
            Make::Tapped { thread, hand, .. } => Some((thread, *hand)),
            Make::Plain { .. } => None,
        }
    }
}

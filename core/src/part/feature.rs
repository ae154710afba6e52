//! What is cut into a part.

use serde::{Deserialize, Serialize};

use super::Size;
use crate::diag::Origin;
use crate::quantity::{Angle, Length};
use crate::standards::drill::Drill;
use crate::standards::thread::{Hand, Thread};

/// The face that a feature is cut from.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Face {
    /// The face at Z = 0.
    #[default]
    Top,
    /// The face on which the part lies when its top is up.
    Bottom,
    /// The end at the higher X.
    Right,
    /// The end at the lower X.
    Left,
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
    /// A slot or a groove along the bar.
    Slot(Slot),
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
    /// Diameter of the chamfer at the entry, 90° included, if there is one. A hole with a
    /// [`Head`] has none.
    pub chamfer: Option<Length>,
    /// Room for the head of a screw at the entry, if there is some.
    #[serde(default)]
    pub head: Option<Head>,
}

/// A slot with round ends along X, or a groove from end to end.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Slot {
    /// Its middle; for a groove, `x` is nought.
    pub place: Place,
    /// How far its middle may lie from its place along either axis.
    pub place_tolerance: Length,
    /// From round end to round end, over all; nothing for a groove, which leaves at both ends of
    /// the part.
    pub length: Option<Size>,
    /// Between its walls.
    pub width: Size,
    /// How deep.
    pub depth: Depth,
}

/// A place on a face.
///
/// On the top and on the bottom it is counted along the part's own X and Y, from the middle of
/// the face; on an end, `x` is counted along the part's Y (across, to the back) and `y` up the
/// part's Z, from the middle of the end.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Place {
    /// From the middle of the bar's length.
    pub x: Length,
    /// From the middle of the bar's width.
    pub y: Length,
}

/// How deep a cut goes, from the face it is cut from.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Depth {
    /// Out at the other side.
    Through,
    /// Down to here. For a drilled hole: so deep at its full diameter, the drill's point beyond.
    Blind(Size),
}

/// What a hole is.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Make {
    /// Drilled or milled, its diameter within limits.
    Plain {
        /// Diameter.
        diameter: Size,
    },
    /// Drilled smaller and reamed to its limits.
    Reamed {
        /// Diameter.
        diameter: Size,
    },
    /// Drilled and threaded.
    Tapped {
        /// The thread.
        thread: Box<Thread>,
        /// Which way it turns.
        hand: Hand,
        /// The drill before the thread.
        drill: Drill,
        /// Full thread reaches so deep from the face; nothing where it runs through the whole
        /// part.
        #[serde(default)]
        full: Option<Size>,
    },
}

/// Room for the head of a screw at the entry of a hole.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Head {
    /// A flat-bottomed recess; a shallow one is a spotface.
    Counterbore {
        /// Diameter.
        diameter: Size,
        /// Depth from the face.
        depth: Size,
    },
    /// A cone.
    Countersink {
        /// Diameter at the face.
        diameter: Size,
        /// Included angle.
        angle: Angle,
    },
}

impl Holes {
    /// The thread, where the holes are tapped.
    pub fn thread(&self) -> Option<(&Thread, Hand)> {
        match &self.make {
            Make::Tapped { thread, hand, .. } => Some((thread, *hand)),
            Make::Plain { .. } | Make::Reamed { .. } => None,
        }
    }

    /// The largest radius of the hole below its entry: half of its diameter, or of its thread's.
    pub fn radius(&self) -> Length {
        match &self.make {
            Make::Plain { diameter } | Make::Reamed { diameter } => diameter.most() / 2.0,
            Make::Tapped { thread, .. } => thread.major / 2.0,
        }
    }

    /// The largest radius of the hole at its entry, with chamfer or head.
    pub fn entry_radius(&self) -> Length {
        let head = match &self.head {
            Some(Head::Counterbore { diameter, .. } | Head::Countersink { diameter, .. }) => diameter.most() / 2.0,
            None => Length::ZERO,
        };
        let chamfer = self.chamfer.map_or(Length::ZERO, |chamfer| chamfer / 2.0);
        self.radius().max(chamfer).max(head)
    }
}

impl Depth {
    /// The depth, where the cut does not go through.
    pub const fn blind(&self) -> Option<&Size> {
        match self {
            Self::Through => None,
            Self::Blind(depth) => Some(depth),
        }
    }
}

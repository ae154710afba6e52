//! The tools in the crib.

use serde::{Deserialize, Serialize};

use crate::quantity::{Angle, Feed, Length, Spindle};

/// What a tool's edges are made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Edge {
    /// High-speed steel.
    Hss,
    /// Cemented carbide.
    Carbide,
}

/// A tool in its holder.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Tool {
    /// Its number at the machine, and the number of its length offset.
    pub number: u32,
    /// What it is, in words.
    pub title: String,
    /// What its edges are made of.
    pub edge: Edge,
    /// Measured diameter over the edges.
    pub diameter: Length,
    /// Number of edges.
    pub flutes: u32,
    /// Length of the edges along the axis.
    pub flute_length: Length,
    /// How far from its tip the tool may go into work: up to here nothing is wider than
    /// `diameter`.
    pub reach: Length,
    /// Diameter of the shank above the reach.
    pub shank: Length,
    /// How far it stands out of the holder.
    pub stick_out: Length,
    /// Diameter of the holder.
    pub holder: Length,
    /// The kind of cutter, with what only that kind has.
    pub cutter: Cutter,
    /// Fastest spindle speed that it may run at, if it has its own limit.
    pub speed_max: Option<Spindle>,
    /// The user's own spindle speed; it wins over the tables.
    pub speed: Option<Spindle>,
    /// The user's own feed of the table; it wins over the tables. For a thread mill, the feed of
    /// the cutter's edge.
    pub feed: Option<Feed>,
}

/// The kinds of cutters.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Cutter {
    /// A short stiff drill that starts and chamfers holes.
    Spot {
        /// Angle of the point.
        point: Angle,
    },
    /// A twist drill.
    Drill {
        /// Angle of the point.
        point: Angle,
        /// Short enough and with a split point, so that it starts where it stands.
        starts_itself: bool,
    },
    /// A flat end mill.
    EndMill {
        /// Edges reach the middle, so that it may plunge.
        centre_cutting: bool,
        /// Radius at the corners.
        corner: Length,
    },
    /// A cutter that mills threads of the 60° profile.
    ThreadMill {
        /// Finest pitch that it cuts.
        pitch_min: Length,
        /// Coarsest pitch that it cuts; the same as the finest for more than one row.
        pitch_max: Length,
        /// Rows of teeth, one pitch apart.
        rows: u32,
        /// Width of the flat at the tip of a tooth, where it is known.
        tip_flat: Option<Length>,
        /// From the end of the tool to the middle of the lowest tooth.
        tip: Length,
        /// The profile is corrected for one thread, so that its flanks leave no overcut.
        corrected: bool,
    },
}

impl Tool {
    /// Length of the point of a drill or spot drill below its full diameter; nothing for other
    /// cutters.
    pub fn point_length(&self) -> Length {
        match &self.cutter {
            Cutter::Spot { point } | Cutter::Drill { point, .. } => {
                self.diameter / (2.0 * crate::quantity::trig::tan(*point / 2.0))
            }
            Cutter::EndMill { .. } | Cutter::ThreadMill { .. } => Length::ZERO,
        }
    }
}

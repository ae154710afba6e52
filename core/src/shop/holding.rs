//! What holds the work.

use serde::{Deserialize, Serialize};

use super::read::{self, File};
use crate::quantity::Length;

/// A machine vise with plain jaws and parallels.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Vise {
    /// Width of the jaws along X.
    pub jaw_width: Length,
    /// Height of the jaws above the bed that parallels stand on.
    pub jaw_height: Length,
    /// Thickness of each jaw along Y.
    pub jaw_thickness: Length,
    /// Widest opening.
    pub opening: Length,
    /// Heights of the pairs of parallels that there are.
    pub parallels: Vec<Length>,
    /// Thickness of a parallel along Y.
    pub parallel_thickness: Length,
    /// Least height of work that must be between the jaws.
    pub grip_min: Length,
}

/// How one load stands in the vise, in the part's axes: middle of length and width, top face.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Setup {
    /// Its number, from one.
    pub number: u32,
    /// Top of the jaws (negative: below the part's top).
    pub jaw_top: Length,
    /// Extent of the jaws along X, either way from their middle.
    pub jaw_reach: Length,
    /// Where the middle of the jaws lies along X; off the part's middle where an end must stand
    /// beyond them.
    #[serde(default)]
    pub jaw_middle: Length,
    /// Thickness of the jaws along Y, outside the part's width.
    pub jaw_thickness: Length,
    /// Top of the parallels: the bottom of the part.
    pub parallel_top: Length,
    /// Height of the parallels.
    pub parallel_height: Length,
    /// Thickness of each parallel along Y; they stand against the jaws.
    pub parallel_thickness: Length,
    /// Where along X the end of the part at the stop is; nothing where it is the end of the
    /// finished part at the lower X.
    #[serde(default)]
    pub stop_at: Option<Length>,
    /// The stop touches the end of the part at the lower X; top of the stop.
    pub stop_top: Length,
    /// Thickness of the stop along X.
    pub stop_thickness: Length,
    /// Height above the part's top at which the tool may go anywhere.
    pub clear: Length,
    /// Work offset word: `G54`.
    pub work_offset: String,
    /// Machine coordinates of the datum, as far as the user gives them, for travel checks.
    pub datum_at: Option<[Length; 3]>,
}

/// One place of a load: it holds a piece of its own, as the only one of a setup is held.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Stand {
    /// From the datum of the first place to the datum of this, along X.
    pub x: Length,
    /// The same along Y.
    pub y: Length,
    /// How its piece is held, in that piece's own axes. The work offset is the one that its moves
    /// are written in: that of the first place, or its own.
    pub setup: Setup,
}

impl Vise {
    /// Reads `vise.yaml`.
    pub(super) fn read(file: &File<'_>) -> Option<Self> {
        let mut fields = file.fields("the vise");
        let jaw_width = read::length(&mut fields, "jaw_width");
        let jaw_height = read::length(&mut fields, "jaw_height");
        let jaw_thickness = read::length(&mut fields, "jaw_thickness");
        let opening = read::length(&mut fields, "opening");
        let parallels = read::lengths(&mut fields, "parallels");
        let parallel_thickness = read::length(&mut fields, "parallel_thickness");
        let grip_min = read::length(&mut fields, "grip_min");
        if let (Some(heights), Some(jaw)) = (&parallels, jaw_height)
            && heights.iter().all(|height| *height >= jaw)
        {
            let span = read::span_of(&mut fields, "parallels");
            let headline = "Every pair of parallels is as high as the jaws or higher.";
            fields.refuse("shop/vise", headline, span, "no work would be gripped", "List the lower pairs too.");
        }
        if let (Some(grip), Some(jaw)) = (grip_min, jaw_height)
            && grip >= jaw
        {
            let span = read::span_of(&mut fields, "grip_min");
            fields.refuse("shop/vise", "The least grip is as high as the jaws.", span, "not below `jaw_height`", "");
        }
        fields.finish();
        let mut parallels = parallels?;
        parallels.sort_by(|a, b| a.order(*b));
        Some(Self {
            jaw_width: jaw_width?,
            jaw_height: jaw_height?,
            jaw_thickness: jaw_thickness?,
            opening: opening?,
            parallels,
            parallel_thickness: parallel_thickness?,
            grip_min: grip_min?,
        })
    }
}

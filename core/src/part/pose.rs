//! The part as it stands in the vise for one setup.
//!
//! What is cut from one face is cut while that face is up. [`Part::posed`] turns the part so that
//! it is, and leaves only what is cut then: whoever plans, writes or proves sees a part that is
//! cut from its top, whatever face that is.

use serde::{Deserialize, Serialize};

use super::{Face, Part, Place, Size};
use crate::quantity::Length;

/// How a part stands for one setup.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Pose {
    /// Lying with its top up, the right end beyond the jaws and the left, sawn end at the stop:
    /// the right end is milled.
    FirstEnd,
    /// As before but turned half round about Z: the end milled first is at the stop, at the lower
    /// X, and the other end is milled.
    SecondEnd,
    /// Lying, its top up.
    #[default]
    Top,
    /// Lying, turned about X: its bottom up.
    Bottom,
    /// Standing, its right end up.
    OnLeft,
    /// Standing, its left end up.
    OnRight,
}

/// One end of a part.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum End {
    /// Comes to the mill as it shall be, or has been milled in an earlier setup.
    #[default]
    Finished,
    /// Sawn long by this much, and left so in this setup.
    Sawn(Length),
    /// Sawn long by this much, and milled to its place.
    Milled(Length),
}

/// Both ends of a part.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Ends {
    /// At the lower X.
    pub left: End,
    /// At the higher X.
    pub right: End,
    /// Radius of the upright corners at the milled ends, if they are rounded.
    pub corner: Option<Size>,
}

impl End {
    /// How much longer than the finished part the blank is at this end.
    pub const fn allowance(self) -> Length {
        match self {
            Self::Finished => Length::ZERO,
            Self::Sawn(allowance) | Self::Milled(allowance) => allowance,
        }
    }
}

/// What the sides of a piece are called as it stands in one setup.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Sides {
    /// At the lower X, where the stop is.
    pub left: &'static str,
    /// At the higher X.
    pub right: &'static str,
    /// What is up.
    pub up: &'static str,
    /// What is below.
    pub down: &'static str,
    /// What lies at the fixed jaw.
    pub back: &'static str,
}

impl Pose {
    /// What is where, in the words of the drawing: its view from above has the left end at the left
    /// and the front side below.
    pub const fn sides(self) -> Sides {
        let (left, right, up, down, back) = match self {
            Self::FirstEnd => ("sawn end", "end to be milled", "top", "underside", "back"),
            Self::SecondEnd => ("milled end", "end to be milled", "top", "underside", "front"),
            Self::Top => ("left end", "right end", "top", "underside", "back"),
            Self::Bottom => ("left end", "right end", "bottom", "top", "front"),
            Self::OnLeft => ("front side", "back side", "right end", "left end", "top"),
            Self::OnRight => ("back side", "front side", "left end", "right end", "top"),
        };
        Sides { left, right, up, down, back }
    }

    /// How the piece is put in, for a hand that holds it; `marked` where several setups follow one
    /// another, so that its top and its left end are marked with a pen.
    pub const fn put(self, marked: bool) -> &'static str {
        match self {
            Self::FirstEnd => {
                "flat, a sawn end at the stop. Mark the top with a pen at the end that is milled now: it is the right end of the drawing"
            }
            Self::SecondEnd => {
                "turned half round flat on the parallels: the marked top stays up, the marked and milled end goes to the stop"
            }
            Self::Top if marked => {
                "top up, the marked end at the right, the left end at the stop, the back to the fixed jaw, as in the drawing's view from above. Not marked yet: mark the top at its right end now"
            }
            Self::Top => {
                "as in the drawing's view from above: top up, the left end at the stop, the back to the fixed jaw"
            }
            Self::Bottom => {
                "rolled over about its length: the mark goes down and stays at the right, the left end stays at the stop, the front goes to the fixed jaw"
            }
            Self::OnLeft => {
                "upright on its left end: the marked end up, the marked top to the fixed jaw, the front to the stop"
            }
            Self::OnRight => {
                "upright on its right end: the marked end down, the marked top to the fixed jaw, the back to the stop"
            }
        }
    }

    /// In words, as it stands on setup sheets.
    pub const fn words(self) -> &'static str {
        match self {
            Self::FirstEnd => "lying, top up, first end beyond the jaws",
            Self::SecondEnd => "lying, top up, turned end for end, second end beyond the jaws",
            Self::Top => "lying, top up",
            Self::Bottom => "lying, turned over, bottom up",
            Self::OnLeft => "standing on its left end, right end up",
            Self::OnRight => "standing on its right end, left end up",
        }
    }

    /// Whether an end of the bar is milled, which stands out beyond the jaws.
    pub const fn mills_an_end(self) -> bool {
        matches!(self, Self::FirstEnd | Self::SecondEnd)
    }

    /// The face that is up.
    pub const fn face(self) -> Face {
        match self {
            Self::FirstEnd | Self::SecondEnd | Self::Top => Face::Top,
            Self::Bottom => Face::Bottom,
            Self::OnLeft => Face::Right,
            Self::OnRight => Face::Left,
        }
    }
}

impl Part {
    /// The setups that the part needs, in the order in which they are done: ends first, since the
    /// others are measured from them.
    pub fn poses(&self) -> Vec<Pose> {
        let mut poses = Vec::new();
        if matches!(self.ends.right, End::Milled(_)) || matches!(self.ends.left, End::Milled(_)) {
            poses.extend([Pose::FirstEnd, Pose::SecondEnd]);
        }
        for pose in [Pose::Top, Pose::Bottom, Pose::OnLeft, Pose::OnRight] {
            if self.features.iter().any(|feature| feature.face == pose.face()) {
                poses.push(pose);
            }
        }
        poses
    }

    /// The part in the axes of one setup, with only what is cut in it, all from the top.
    ///
    /// The axes are again X along the jaws, Y to the back and Z up, from the middle of the
    /// finished part and its upper face. Lying, X stays. Standing, the part's Y lies along the
    /// jaws: its width is then `length`, its height `width` and its length `height`.
    #[must_use]
    pub fn posed(&self, pose: Pose) -> Self {
        let mut part = self.clone();
        match pose {
            Pose::FirstEnd => {
                part.features.clear();
                if let End::Milled(allowance) = part.ends.left {
                    part.ends.left = End::Sawn(allowance);
                }
                return part;
            }
            Pose::SecondEnd => {
                part.features.clear();
                part.ends.right = self.ends.left;
                part.ends.left = End::Finished;
                part.blank.length = part.length.nominal + part.ends.right.allowance();
                return part;
            }
            Pose::Top | Pose::Bottom | Pose::OnLeft | Pose::OnRight => {}
        }
        part.features.retain(|feature| feature.face == pose.face());
        for feature in &mut part.features {
            feature.face = Face::Top;
            feature.kind.each_place(|place| match pose {
                Pose::Bottom => Place { x: place.x, y: -place.y },
                Pose::OnRight => Place { x: -place.x, y: place.y },
                _ => place,
            });
        }
        if part.ends.left != End::Finished || part.ends.right != End::Finished {
            part.ends = Ends::default();
            part.blank.length = part.length.nominal;
        }
        if matches!(pose, Pose::OnLeft | Pose::OnRight) {
            let (length, width, height) = (self.length.clone(), self.width.clone(), self.height.clone());
            (part.length, part.width, part.height) = (width, height, length);
            let blank = part.blank.clone();
            (part.blank.length, part.blank.width, part.blank.height) = (blank.width, blank.height, blank.length);
        }
        part
    }

    /// Where the blank begins and ends along X, counted from the middle of the finished part.
    pub fn blank_along(&self) -> (Length, Length) {
        if self.ends == Ends::default() {
            return (-self.blank.length / 2.0, self.blank.length / 2.0);
        }
        let half = self.length.nominal / 2.0;
        (-half - self.ends.left.allowance(), half + self.ends.right.allowance())
    }
}

impl super::Kind {
    /// Puts every place of the feature elsewhere.
    fn each_place(&mut self, put: impl Fn(Place) -> Place) {
        match self {
            Self::Tongue(_) => {}
            Self::Holes(holes) => holes.places.iter_mut().for_each(|place| *place = put(*place)),
            Self::Slot(slot) => slot.place = put(slot.place),
        }
    }
}

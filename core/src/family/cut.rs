//! What a family cuts, as its file says it.

use std::collections::BTreeSet;

use super::Formula;
use crate::formula::names;
use crate::source::Span;

/// Ends that are sawn long and milled.
#[derive(Clone, Debug)]
pub struct EndsCut {
    /// How much too long each end is sawn.
    pub allowance: Formula,
    /// Radius of the upright corners.
    pub corner: Option<Formula>,
}

/// Something that is cut.
#[derive(Clone, Debug)]
pub struct Cut {
    /// Its name.
    pub name: String,
    /// In plain words.
    pub title: String,
    /// It is cut only where this holds.
    pub when: Option<Formula>,
    /// The face that it is cut from.
    pub from: Side,
    /// What it is.
    pub kind: CutKind,
    /// Where it stands.
    pub span: Span,
}

/// A face of the part.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Side {
    /// Upper face.
    #[default]
    Top,
    /// Lower face.
    Bottom,
    /// End at the left.
    Left,
    /// End at the right.
    Right,
}

/// The kinds of cuts.
#[derive(Clone, Debug)]
pub enum CutKind {
    /// A tongue between two rabbets.
    Tongue(Box<TongueCut>),
    /// Equal holes.
    Holes(Box<HolesCut>),
    /// A slot or a groove along the bar.
    Slot(Box<SlotCut>),
}

/// A tongue between two rabbets.
#[derive(Clone, Debug)]
pub struct TongueCut {
    /// Width.
    pub width: Formula,
    /// Height.
    pub height: Formula,
    /// How far off the middle it may be.
    pub centring: Formula,
}

/// Equal holes.
#[derive(Clone, Debug)]
pub struct HolesCut {
    /// Where they are.
    pub places: PlacesCut,
    /// The middle of row, grid or places, counted from the middle of the face.
    pub middle: Option<(Formula, Formula)>,
    /// What they are.
    pub make: MakeCut,
    /// How deep at full diameter; through where nothing is said.
    pub depth: Option<Formula>,
    /// Diameter of the chamfer at the entry.
    pub chamfer: Option<Formula>,
    /// Room for a screw's head.
    pub head: Option<HeadCut>,
    /// How far each may be off its place.
    pub place_tolerance: Formula,
}

/// Where holes are.
#[derive(Clone, Debug)]
#[expect(clippy::large_enum_variant, reason = "a cut is boxed as a whole")]
pub enum PlacesCut {
    /// In a row along the bar, symmetric about its middle.
    Row {
        /// How many.
        count: Formula,
        /// From one to the next.
        pitch: Formula,
    },
    /// In columns and rows, symmetric about the middle.
    Grid {
        /// How many along the bar.
        columns: Formula,
        /// How many across.
        rows: Formula,
        /// From column to column.
        pitch: Formula,
        /// From row to row.
        row_pitch: Formula,
        /// Places without a hole.
        omit: Option<Formula>,
    },
    /// One by one: along, across.
    At(Vec<(Formula, Formula)>),
}

/// What holes are.
#[derive(Clone, Debug)]
#[expect(clippy::large_enum_variant, reason = "a cut is boxed as a whole")]
pub enum MakeCut {
    /// Plain.
    Plain {
        /// Diameter.
        diameter: Formula,
    },
    /// Reamed.
    Reamed {
        /// Diameter.
        diameter: Formula,
    },
    /// Tapped.
    Tapped {
        /// The thread.
        thread: Formula,
        /// Which way the thread turns; right where nothing is said.
        left_hand: Option<Formula>,
        /// How deep the full thread reaches, in a blind hole.
        thread_depth: Option<Formula>,
    },
}

/// Room for a screw's head.
#[derive(Clone, Debug)]
pub enum HeadCut {
    /// A flat-bottomed recess.
    Counterbore {
        /// Diameter.
        diameter: Formula,
        /// Depth.
        depth: Formula,
    },
    /// A cone.
    Countersink {
        /// Diameter at the face.
        diameter: Formula,
        /// Included angle.
        angle: Formula,
    },
}

/// A slot with round ends, or a groove from end to end.
#[derive(Clone, Debug)]
pub struct SlotCut {
    /// Between its walls.
    pub width: Formula,
    /// Over all; a groove from end to end where nothing is said.
    pub length: Option<Formula>,
    /// How deep; through where nothing is said.
    pub depth: Option<Formula>,
    /// Its middle, counted from the middle of the face.
    pub middle: Option<(Formula, Formula)>,
    /// How far it may be off its place.
    pub place_tolerance: Formula,
}

impl Cut {
    /// The values that shape it: the names in its formulas.
    pub fn values(&self) -> BTreeSet<&str> {
        self.formulas().into_iter().flat_map(|(formula, _)| names(&formula.expr)).collect()
    }

    /// Every formula of the cut with what it must come to, for whoever checks them.
    pub(super) fn formulas(&self) -> Vec<(&Formula, Want)> {
        use Want::{Angle, Count, Length, Places, Thread, Truth};
        let mut all: Vec<(&Formula, Want)> = self.when.iter().map(|formula| (formula, Truth)).collect();
        match &self.kind {
            CutKind::Tongue(tongue) => {
                all.extend([&tongue.width, &tongue.height, &tongue.centring].map(|formula| (formula, Length)));
            }
            CutKind::Slot(slot) => {
                all.extend([&slot.width, &slot.place_tolerance].map(|formula| (formula, Length)));
                let pair = slot.middle.iter().flat_map(|(x, y)| [x, y]);
                all.extend(slot.length.iter().chain(&slot.depth).chain(pair).map(|formula| (formula, Length)));
            }
            CutKind::Holes(holes) => {
                match &holes.places {
                    PlacesCut::Row { count, pitch } => all.extend([(count, Count), (pitch, Length)]),
                    PlacesCut::Grid { columns, rows, pitch, row_pitch, omit } => {
                        all.extend([(columns, Count), (rows, Count), (pitch, Length), (row_pitch, Length)]);
                        all.extend(omit.iter().map(|formula| (formula, Places)));
                    }
                    PlacesCut::At(places) => {
                        all.extend(places.iter().flat_map(|(x, y)| [(x, Length), (y, Length)]));
                    }
                }
                match &holes.make {
                    MakeCut::Plain { diameter } | MakeCut::Reamed { diameter } => all.push((diameter, Length)),
                    MakeCut::Tapped { thread, left_hand, thread_depth } => {
                        all.push((thread, Thread));
                        all.extend(left_hand.iter().map(|formula| (formula, Truth)));
                        all.extend(thread_depth.iter().map(|formula| (formula, Length)));
                    }
                }
                match &holes.head {
                    Some(HeadCut::Counterbore { diameter, depth }) => {
                        all.extend([(diameter, Length), (depth, Length)]);
                    }
                    Some(HeadCut::Countersink { diameter, angle }) => {
                        all.extend([(diameter, Length), (angle, Angle)]);
                    }
                    None => {}
                }
                let pair = holes.middle.iter().flat_map(|(x, y)| [x, y]);
                let lengths = holes.depth.iter().chain(&holes.chamfer).chain(pair).chain([&holes.place_tolerance]);
                all.extend(lengths.map(|formula| (formula, Length)));
            }
        }
        all
    }
}

/// What a formula of a cut must come to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Want {
    Length,
    Angle,
    Count,
    Truth,
    Thread,
    Places,
}

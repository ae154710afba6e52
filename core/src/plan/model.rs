//! The plan as plain data.

use serde::{Deserialize, Serialize};

use crate::diag::Origin;
use crate::part::{Place, Pose};
use crate::quantity::{Feed, Length, Spindle, Time};
use crate::shop::{Setup, Tool};

/// How a part is made.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Plan {
    /// The setups, one after the other; each has a program of its own.
    pub setups: Vec<SetupPlan>,
    /// The tools that are used, in the order of their first use.
    pub tools: Vec<Tool>,
    /// Each choice of a tool with its reason.
    pub choices: Vec<Choice>,
}

/// What is done while the part stands in one place.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct SetupPlan {
    /// Which side is up; the moves are in the axes of the part so posed.
    pub pose: Pose,
    /// How it stands in the vise.
    pub setup: Setup,
    /// The tools of this setup, in the order of their first use.
    pub tools: Vec<Tool>,
    /// What is done, in order; neighbours with the same tool need no change.
    pub operations: Vec<Operation>,
    /// Where its zero lies and what the stop touches, in words.
    pub datum: String,
    /// What the person at the bench should know.
    pub notes: Vec<String>,
}

/// A tool that was chosen, and why; or none, and why not.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Choice {
    /// The feature that it is for.
    pub feature: String,
    /// What for, in words: `drill`.
    pub what: String,
    /// Number of the tool; `None` where none of the crib does it.
    pub tool: Option<u32>,
    /// Why this one.
    pub why: String,
    /// The others of its kind, each with the reason against it.
    pub others: Vec<String>,
}

/// What an operation does.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Work {
    /// Starts and chamfers holes.
    Spot,
    /// Drills.
    Drill,
    /// Mills holes that no drill makes.
    Bore,
    /// Reams.
    Ream,
    /// Sinks flat-bottomed room for heads.
    Counterbore,
    /// Sinks cones after drilling.
    Countersink,
    /// Mills threads.
    ThreadMill,
    /// Mills slots, all but the last of the walls.
    SlotRough,
    /// Mills the walls of slots to size.
    SlotFinish,
    /// Mills grooves from end to end, all but the last of the walls.
    GrooveRough,
    /// Mills the walls of grooves to size.
    GrooveFinish,
    /// Mills rabbets, all but the last of the walls.
    RabbetRough,
    /// Mills the walls of rabbets to size.
    RabbetFinish,
    /// Mills an end of the bar, all but the last.
    EndRough,
    /// Mills an end of the bar to its place.
    EndFinish,
}

/// One tool at work on one feature.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Operation {
    /// What is done.
    pub work: Work,
    /// Number of the tool.
    pub tool: u32,
    /// Speed of the spindle, clockwise.
    pub spindle: Spindle,
    /// Feed of the cutter's middle in the last, full cut.
    pub feed: Feed,
    /// In plain words.
    pub title: String,
    /// How the figures came about.
    pub reasons: Vec<String>,
    /// The feature that asks for it.
    pub feature: String,
    /// The line that asks for the feature.
    pub origin: Origin,
    /// The moves. The first goes to a place at the clear height, the last back up to it.
    pub moves: Vec<Move>,
}

/// A target with the axes that move; the others stay.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct At {
    /// Along the bar.
    pub x: Option<Length>,
    /// Across.
    pub y: Option<Length>,
    /// Up: the tip of the tool.
    pub z: Option<Length>,
}

/// A target with all axes.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Position {
    /// Along the bar.
    pub x: Length,
    /// Across.
    pub y: Length,
    /// Up: the tip of the tool.
    pub z: Length,
}

/// The way an arc turns, seen from above.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Turn {
    /// With the clock.
    Clockwise,
    /// Against the clock.
    CounterClockwise,
}

/// A move of the tool's tip, in the part's axes.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Move {
    /// As fast as the machine goes, through air.
    Rapid {
        /// Where to.
        to: At,
    },
    /// Straight, at a feed.
    Feed {
        /// Where to.
        to: At,
        /// Along the way.
        feed: Feed,
    },
    /// Along an arc in the XY plane, rising or falling evenly with the angle. An end above the
    /// start is one full turn.
    Arc {
        /// Where to.
        to: Position,
        /// The middle of the arc.
        centre: Place,
        /// Which way.
        turn: Turn,
        /// Along the way.
        feed: Feed,
    },
    /// One hole after the other, straight down and up again.
    Drill {
        /// The middles.
        places: Vec<Place>,
        /// Down to here at the rapid, and from hole to hole at this height.
        from: Length,
        /// Depth of the tip.
        depth: Length,
        /// So much at a time, with a full retract between; `None`: in one go.
        peck: Option<Length>,
        /// Wait at the bottom.
        dwell: Option<Time>,
        /// Downward.
        feed: Feed,
        /// From this height down at this feed, where the drill comes out below.
        ease: Option<(Length, Feed)>,
        /// Up again at the feed, not at the rapid: a reamer.
        fed_out: bool,
    },
}

impl Plan {
    /// What the person at the bench should know, of all setups, each once.
    pub fn notes(&self) -> Vec<&str> {
        let mut notes: Vec<&str> = Vec::new();
        for note in self.setups.iter().flat_map(|setup| &setup.notes) {
            if !notes.contains(&note.as_str()) {
                notes.push(note);
            }
        }
        notes
    }

    /// The features whose threads are left to be tapped by hand, because no cutter of the crib fits.
    pub fn tapped_by_hand(&self) -> impl Iterator<Item = &str> {
        let left = self.choices.iter().filter(|choice| choice.what == THREAD && choice.tool.is_none());
        left.map(|choice| choice.feature.as_str())
    }

    /// The features whose threads a tool mills, in the order in which they are planned.
    pub fn threads_of(&self, tool: u32) -> impl Iterator<Item = &str> {
        let milled = self.choices.iter().filter(move |choice| choice.what == THREAD && choice.tool == Some(tool));
        milled.map(|choice| choice.feature.as_str())
    }
}

/// What a choice of a thread mill is for.
pub(super) const THREAD: &str = "thread";

impl At {
    /// A place at the height where the tool is.
    pub const fn xy(x: Length, y: Length) -> Self {
        Self { x: Some(x), y: Some(y), z: None }
    }

    /// A height at the place where the tool is.
    pub const fn z(z: Length) -> Self {
        Self { x: None, y: None, z: Some(z) }
    }

    /// Along the bar alone.
    pub const fn x(x: Length) -> Self {
        Self { x: Some(x), y: None, z: None }
    }
}

impl Move {
    /// The same move so far to the right and to the back.
    #[must_use]
    pub fn shifted(&self, x: Length, y: Length) -> Self {
        let at = |to: &At| At { x: to.x.map(|at| at + x), y: to.y.map(|at| at + y), z: to.z };
        let place = |place: &Place| Place { x: place.x + x, y: place.y + y };
        match self {
            Self::Rapid { to } => Self::Rapid { to: at(to) },
            Self::Feed { to, feed } => Self::Feed { to: at(to), feed: *feed },
            Self::Arc { to, centre, turn, feed } => Self::Arc {
                to: Position { x: to.x + x, y: to.y + y, z: to.z },
                centre: place(centre),
                turn: *turn,
                feed: *feed,
            },
            Self::Drill { places, from, depth, peck, dwell, feed, ease, fed_out } => Self::Drill {
                places: places.iter().map(place).collect(),
                from: *from,
                depth: *depth,
                peck: *peck,
                dwell: *dwell,
                feed: *feed,
                ease: *ease,
                fed_out: *fed_out,
            },
        }
    }

    /// The lowest height that the tip reaches in this move's end points.
    pub fn lowest(&self) -> Option<Length> {
        match self {
            Self::Rapid { to } | Self::Feed { to, .. } => to.z,
            Self::Arc { to, .. } => Some(to.z),
            Self::Drill { depth, .. } => Some(*depth),
        }
    }
}

impl Operation {
    /// The lowest height that the tip reaches.
    pub fn lowest(&self) -> Length {
        self.moves.iter().filter_map(Move::lowest).fold(Length::ZERO, Length::min)
    }
}

//! How a control is spoken to: a profile of what it can do, never of a product.

use serde::{Deserialize, Serialize};

use crate::quantity::{Time, Unit};

/// Whether holes are drilled by cycles.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Cycles {
    /// G81, G82, G83 with G98 and G99.
    Canned,
    /// Every move written out.
    WrittenOut,
}

/// What I, J and K count from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum ArcCentre {
    /// From the start of the arc: the only reading of NISTIR 6556.
    Incremental,
    /// From the program's zero, on controls that are set so (`G90.1`).
    Absolute,
}

/// How a full circle is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum FullCircle {
    /// One arc.
    One,
    /// Two halves.
    Halves,
    /// Four quarters.
    Quarters,
}

/// How the length of a tool is taken into account.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum LengthOffset {
    /// `G43 H…` from a table.
    Table,
    /// None: the tool is touched off on the work after each change.
    TouchOff,
}

/// How a tool is asked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum ToolChange {
    /// `T… M6`.
    Change,
    /// A stop, `T… M0`, with a comment.
    Stop,
}

/// How a comment is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Comments {
    /// In round brackets.
    Brackets,
    /// After a semicolon, to the end of the line.
    Semicolon,
    /// None at all.
    None,
}

/// How lines are numbered.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct LineNumbers {
    /// Number of the first line.
    pub start: u32,
    /// Step to the next.
    pub step: u32,
}

/// A control profile.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Control {
    /// Short name: `canned-numbered`.
    pub name: String,
    /// What it can do, in words.
    pub title: String,
    /// The unit of the program; `None`: the unit of the part.
    pub unit: Option<Unit>,
    /// Decimals of a coordinate in millimetres.
    pub decimals_mm: usize,
    /// Decimals of a coordinate in inches.
    pub decimals_inch: usize,
    /// Drilling.
    pub cycles: Cycles,
    /// Arc centres.
    pub arc_centre: ArcCentre,
    /// Full circles.
    pub full_circle: FullCircle,
    /// Line numbers, if any.
    pub line_numbers: Option<LineNumbers>,
    /// Comments.
    pub comments: Comments,
    /// Longest comment, in characters.
    pub comment_length: usize,
    /// Longest line, in characters.
    pub line_length: usize,
    /// Tool changes.
    pub tool_change: ToolChange,
    /// Length offsets.
    pub length_offset: LengthOffset,
    /// Work offset word: `G54` … `G59`.
    pub work_offset: String,
    /// A word for the path mode, if one is wanted: `G64`, `G61`.
    pub path_mode: Option<String>,
    /// Lines before everything else; `%` may stand here.
    pub start: Vec<String>,
    /// Lines after everything else, with the end word: `M30`, `%`.
    pub end: Vec<String>,
    /// Waits for the spindle after each start with G4; the time in seconds.
    pub dwell: Option<Time>,
    /// Coolant word, if coolant is wanted: `M8`, `M7`.
    pub coolant: Option<String>,
    /// Whether the control has a probe and G38.2.
    pub probing: bool,
}

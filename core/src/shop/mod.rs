//! The user's own workshop: machine, control, tools, stock and vise, from files that they edit.
//!
//! In come YAML sources; out goes a [`Shop`] of plain data. This room never knows a part or a
//! plan, and never opens a file.

mod control;
mod holding;
mod machine;
mod tool;

pub use control::{ArcCentre, Comments, Control, Cycles, FullCircle, LengthOffset, LineNumbers, ToolChange};
pub use holding::{Setup, Vise};
pub use machine::{Machine, Travel};
pub use tool::{Cutter, Edge, Tool};

use serde::{Deserialize, Serialize};

use crate::quantity::Length;

/// A workshop.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Shop {
    /// Who stands in the title block.
    pub owner: String,
    /// The mill.
    pub machine: Machine,
    /// How its control is spoken to.
    pub control: Control,
    /// The tools, by number.
    pub tools: Vec<Tool>,
    /// The bars on the rack.
    pub rack: Vec<Bar>,
    /// What holds the work.
    pub vise: Vise,
}

/// Bars of one kind on the rack.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Bar {
    /// What it is called on the rack: `brass 16 x 12`.
    pub name: String,
    /// Name of the material, as the standards know it.
    pub material: String,
    /// Width of the section; the larger of the two sides.
    pub width: Length,
    /// Height of the section.
    pub height: Length,
    /// How far width and height may lie from what they are called, either way.
    pub tolerance: Length,
    /// Lengths on the rack.
    pub lengths: Vec<Length>,
}

//! The user's own workshop: machine, control, tools, stock and vise, from files that they edit.
//!
//! In come YAML sources; out goes a [`Shop`] of plain data. This room never knows a part or a
//! plan, and never opens a file.

mod batch;
mod control;
mod holding;
mod load;
mod machine;
mod rack;
mod read;
mod tool;

pub use batch::{Batch, Loading, Minutes, Plate, Saw, Zeros};
pub use control::{ArcCentre, Comments, Control, Cycles, FullCircle, LengthOffset, LineNumbers, ToolChange};
pub use holding::{Setup, Stand, Vise};
pub use load::{Loaded, NO_CONTROL, controls, is_control, load, load_with};
pub use machine::{Machine, Travel};
pub use tool::{Cutter, Edge, Tool};

pub use crate::standards::stock::Bar;

#[cfg(test)]
pub(crate) use load::tests::demo_shop;

use serde::{Deserialize, Serialize};

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
    /// What a batch needs beside the mill.
    #[serde(default)]
    pub batch: Batch,
}

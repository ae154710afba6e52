//! Tables and formulas of published standards: threads, drills, fits, screws, materials.
//!
//! In come names as people type them; out go values, each with its source, or an [`Unknown`] that
//! says which names are close. This room never knows a family, a part or a machine.

pub mod drill;
pub mod fit;
pub mod general;
pub mod lookup;
pub mod material;
mod material_data;
mod metric;
pub mod screw;
mod screw_data;
pub mod thread;
mod unified;
mod unknown;

pub use lookup::look_up;
pub use unknown::Unknown;

use crate::quantity::Length;

/// A length of a table in inches, as the double nearest to its decimal number of millimetres:
/// 0.201 in is 5.1054 mm, without the dust of binary arithmetic.
fn inches(value: f64) -> Length {
    Length::inch(value).to_nearest(Length::mm(1e-6))
}

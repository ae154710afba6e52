//! Tables and formulas of published standards: threads, drills, fits, screws, materials.
//!
//! In come names; out go values, each with its source. This room never knows a family or a part.

pub mod drill;
pub mod material;
pub mod thread;

//! Twist drill sizes.

use serde::{Deserialize, Serialize};

use crate::quantity::Length;

/// A twist drill by its name.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Drill {
    /// `#7`, `F`, `13/64` or `4.2 mm`.
    pub name: String,
    /// Diameter.
    pub diameter: Length,
}

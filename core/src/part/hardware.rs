//! What goes with a part: into its bag, not into its metal.

use serde::{Deserialize, Serialize};

use crate::quantity::Torque;

/// A screw, a key, a washer.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Hardware {
    /// What, in words: `Set screw M5 × 12, cup point`.
    pub item: String,
    /// How many.
    pub count: u32,
    /// With what.
    pub per: Per,
    /// The key that turns it, in words.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub key: Option<String>,
    /// How tight.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub torque: Option<Torque>,
}

/// What a count is for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Per {
    /// Each piece.
    #[default]
    Piece,
    /// The whole order.
    Order,
}

//! From a family of parts and a few sizes to everything the bench needs.

pub mod diag;
pub mod geom;
pub mod part;
pub mod proof;
pub mod quantity;
pub mod shop;
pub mod source;
pub mod standards;
pub mod yaml;

//! From a family and a few sizes to every value, every verdict and the part.
//!
//! In come a family, what a person typed and the bars on the rack; out go the values with their
//! reasons, the rules with their verdicts and, if none refuses, the [`Part`](crate::part::Part).
//! This room never draws, plans or writes anything.

mod bind;
mod build;
mod derive;
mod remedy;

pub use bind::{Inputs, reading};
pub use derive::{Entry, Variant, Verdict, derive};
pub use remedy::Remedy;

#[cfg(test)]
mod tests;

//! From a family and a few sizes to every value, every verdict and the part.
//!
//! In come a family, what a person typed and the bars on the rack; out go the values with their
//! reasons, the rules with their verdicts and, if none refuses, the [`Part`](crate::part::Part).
//! This room never draws, plans or writes anything.

mod bind;
mod build;
mod derive;
mod features;
mod inside;
mod mass;
mod remedy;
mod scope;
mod solids;

pub use bind::{Inputs, reading};
pub use derive::{Entry, Variant, Verdict};
pub use remedy::{Remedy, sift};

use std::sync::Arc;

use crate::family::Family;
use crate::standards::stock::Bar;

/// Gives a family its sizes: every value, every verdict, and the part if nothing refuses it.
///
/// Where the variant is refused, the nearest value of each parameter that would make everything
/// pass by itself is looked for, and told among the findings.
pub fn derive(family: &Family, inputs: &Inputs, rack: &[Bar]) -> Variant {
    let rack: Arc<[Bar]> = rack.into();
    let mut variant = derive::attempt(family, inputs, &rack);
    if variant.part.is_none() {
        remedy::add(family, inputs, &rack, &mut variant);
    }
    variant
}

/// As [`derive()`], without looking for remedies: for those who try many sizes in a row.
pub fn attempt(family: &Family, inputs: &Inputs, rack: &Arc<[Bar]>) -> Variant {
    derive::attempt(family, inputs, rack)
}

#[cfg(test)]
mod shape_tests;
#[cfg(test)]
mod solids_tests;
#[cfg(test)]
mod tests;

//! Families: what a family file says, read, checked and ready to be given sizes.
//!
//! In comes a source; out goes a [`Family`] whose every formula is known to be sound in its
//! units, or all the findings that stand against it. This room never works out a value.

mod build;
mod cut;
mod cuts;
mod hardware;
mod keys;
mod load;
mod model;
mod order;
mod reference;
mod schema;
mod uses;

pub use cut::{Cut, CutKind, EndsCut, HeadCut, HolesCut, MakeCut, PlacesCut, Side, SlotCut, TongueCut};
pub use load::load;
pub use model::{
    Ask, BY_DECIMALS, Choice, Derived, Example, Family, Formula, HardwareLine, Level, Limits, Parameter, ParameterKind,
    Rule, Sentence, Shape, Snap, rests_on,
};
pub use reference::reference;
pub use schema::schema;

#[cfg(test)]
mod tests;

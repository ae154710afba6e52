//! The values of a variant while it is worked out.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::formula::{Value, Values};
use crate::quantity::{Length, Unit};
use crate::standards::stock::Bar;

/// The values that are known so far.
pub(super) struct Scope {
    pub(super) values: BTreeMap<String, Value>,
}

impl Scope {
    /// The values that every family knows.
    pub(super) fn new(rack: &Arc<[Bar]>, unit: Unit) -> Self {
        let rack = ("rack".to_owned(), Value::Rack(Arc::clone(rack)));
        let inch = ("inch".to_owned(), Value::Truth(unit == Unit::Inch));
        Self { values: BTreeMap::from([rack, inch]) }
    }
}

impl Values for Scope {
    fn value(&self, name: &str) -> Option<Value> {
        self.values.get(name).cloned()
    }
}

/// The smallest step that a drawing in this unit shows.
pub(super) fn increment(unit: Unit) -> Length {
    match unit {
        Unit::Mm => Length::mm(0.001),
        Unit::Inch => Length::inch(0.0001),
    }
}

//! What belongs together: a size on the drawing, the values behind it, the feature that carries it.

use std::collections::BTreeMap;

use barwright_core::family::{Cut, Family, rests_on};
use serde_json::{Value, json};

/// For each value the parameters that it rests on, and for each feature the values that shape it.
pub(crate) fn of(family: &Family) -> Value {
    let roots = family.roots();
    let shaped = |cut: &'_ Cut| -> Vec<String> { cut.values().into_iter().map(str::to_owned).collect() };
    let features: BTreeMap<&str, Vec<String>> =
        family.shape.cuts.iter().map(|cut| (cut.name.as_str(), shaped(cut))).collect();
    let rules: BTreeMap<&str, Vec<&str>> = family
        .rules
        .iter()
        .map(|rule| (rule.name.as_str(), rests_on(&rule.must, &roots).into_iter().collect()))
        .collect();
    json!({ "values": roots, "features": features, "rules": rules })
}

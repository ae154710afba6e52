//! What belongs together: a size on the drawing, the values behind it, the feature that carries it.

use std::collections::BTreeMap;

use barwright_core::family::{Cut, Family, Formula, rests_on};
use barwright_core::formula::names;
use serde_json::{Value, json};

/// For each value the parameters that it rests on, and for each feature the values that shape it.
pub(crate) fn of(family: &Family) -> Value {
    let roots = family.roots();
    let features: BTreeMap<&str, Vec<&str>> = family
        .shape
        .cuts
        .iter()
        .map(|cut| {
            let (name, formulas) = shaping(cut);
            let mut values: Vec<&str> = formulas.into_iter().flat_map(|formula| names(&formula.expr)).collect();
            values.sort_unstable();
            values.dedup();
            (name, values)
        })
        .collect();
    let rules: BTreeMap<&str, Vec<&str>> =
        family.rules.iter().map(|rule| (rule.name.as_str(), rests_on(&rule.must, &roots).into_iter().collect())).collect();
    json!({ "values": roots, "features": features, "rules": rules })
}

/// The name of a feature, with the formulas that shape it.
fn shaping(cut: &Cut) -> (&str, Vec<&Formula>) {
    match cut {
        Cut::Tongue(tongue) => (&tongue.name, vec![&tongue.width, &tongue.height]),
        Cut::Holes(holes) => {
            let mut formulas = vec![&holes.count, &holes.pitch];
            formulas.extend([&holes.tapped, &holes.diameter, &holes.chamfer].into_iter().flatten());
            (&holes.name, formulas)
        }
    }
}

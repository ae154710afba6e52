//! An order in which each value needs only earlier ones.

use std::collections::{BTreeMap, BTreeSet};

use super::load::Loader;
use super::{Ask, Derived, Parameter};
use crate::formula::names;

/// The names of all values in an order in which each needs only earlier ones; `None`, with
/// findings, where values go round in a circle.
///
/// Values keep the order of the file as far as they can.
pub(super) fn order(parameters: &[Parameter], derived: &[Derived], loader: &Loader<'_>) -> Option<Vec<String>> {
    let mut needs: BTreeMap<&str, BTreeSet<&str>> = BTreeMap::new();
    for parameter in parameters {
        let mut found = BTreeSet::new();
        for ask in [Some(&parameter.usual), parameter.usual_inch.as_ref()].into_iter().flatten() {
            if let Ask::Formula(formula) = ask {
                found.extend(names(&formula.expr));
            }
        }
        needs.insert(&parameter.name, found);
    }
    for value in derived {
        let mut found = names(&value.formula.expr);
        if let Some((_, step)) = &value.snap {
            found.extend(names(&step.expr));
        }
        if let Some(limits) = &value.limits {
            found.extend(names(&limits.upper.expr));
            found.extend(names(&limits.lower.expr));
        }
        needs.insert(&value.name, found);
    }
    let all: Vec<&str> =
        parameters.iter().map(|p| p.name.as_str()).chain(derived.iter().map(|d| d.name.as_str())).collect();
    let mut order: Vec<&str> = Vec::new();
    let mut done: BTreeSet<&str> = BTreeSet::new();
    while order.len() < all.len() {
        let ready = all.iter().find(|name| {
            !done.contains(*name) && needs[*name].iter().all(|need| done.contains(need) || !needs.contains_key(need))
        });
        let Some(ready) = ready else {
            report(&all, &needs, &done, parameters, derived, loader);
            return None;
        };
        order.push(ready);
        done.insert(ready);
    }
    Some(order.into_iter().map(str::to_owned).collect())
}

fn report(
    all: &[&str],
    needs: &BTreeMap<&str, BTreeSet<&str>>,
    done: &BTreeSet<&str>,
    parameters: &[Parameter],
    derived: &[Derived],
    loader: &Loader<'_>,
) {
    // Walk needs that are not done until a name comes again: from there on it is a circle.
    let Some(mut at) = all.iter().copied().find(|name| !done.contains(name)) else { return };
    let mut walked = Vec::new();
    while !walked.contains(&at) {
        walked.push(at);
        let next = needs[at].iter().copied().find(|need| needs.contains_key(need) && !done.contains(need));
        let Some(next) = next else { return };
        at = next;
    }
    let start = walked.iter().position(|name| *name == at).unwrap_or(0);
    let circle = &walked[start..];
    let span = derived
        .iter()
        .find(|value| value.name == at)
        .map(|value| value.formula.span)
        .or_else(|| parameters.iter().find(|parameter| parameter.name == at).map(|parameter| parameter.span))
        .unwrap_or_default();
    let path: Vec<&str> = circle.iter().copied().chain(std::iter::once(at)).collect();
    let label = format!("goes round: {}", path.join(" → "));
    loader.refuse("family/circle", &format!("`{at}` needs itself."), span, &label);
}

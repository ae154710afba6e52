//! Whether a size changes anything.

use super::point::Point;
use super::run::Run;
use crate::part::Part;
use crate::quantity::Unit;
use crate::variant::Variant;

/// What a size changes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Effect {
    /// Nothing at all, or there was nothing to try.
    Nothing,
    /// The words on the drawing alone: part number and notes.
    Words,
    /// A value, a verdict or the part.
    Part,
    /// It could not be tried.
    Untried,
}

/// The effect of each parameter, seen from the usual sizes and from points that are good.
pub(super) fn effects(run: &mut Run<'_>) -> Vec<Effect> {
    let mut bases = vec![Point::usual(Unit::Mm), Point::usual(Unit::Inch)];
    bases.extend(run.tally.good.iter().rev().take(6).cloned());
    let bases: Vec<(Point, Variant)> = bases
        .into_iter()
        .map(|point| {
            let variant = run.attempt(&point);
            (point, variant)
        })
        .collect();
    (0..run.reaches.len()).map(|at| effect(run, at, &bases)).collect()
}

fn effect(run: &mut Run<'_>, at: usize, bases: &[(Point, Variant)]) -> Effect {
    let name = run.family.parameters[at].name.clone();
    let mut texts = run.reaches[at].ends();
    texts.truncate(4);
    texts.extend(run.reaches[at].any(&mut run.dice));
    let now =
        |variant: &Variant| variant.entries.iter().find(|entry| entry.name == name).map(|entry| entry.value.clone());
    let (mut most, mut tried) = (Effect::Nothing, false);
    for (point, base) in bases {
        for text in &texts {
            let other = run.attempt(&point.with(&name, text.clone()));
            if now(&other).is_none() || now(&other) == now(base) {
                continue;
            }
            tried = true;
            most = most.max(difference(base, &other));
            if most == Effect::Part {
                return most;
            }
        }
    }
    if tried { most } else { Effect::Untried }
}

/// What of two variants differs, their parameters aside.
fn difference(a: &Variant, b: &Variant) -> Effect {
    let values = |variant: &Variant| -> Vec<_> {
        let derived = variant.entries.iter().filter(|entry| !entry.parameter);
        derived.map(|entry| (entry.name.clone(), entry.value.clone(), entry.limits)).collect()
    };
    let verdicts = |variant: &Variant| -> Vec<_> {
        variant.verdicts.iter().map(|verdict| (verdict.rule.clone(), verdict.holds, verdict.numbers.clone())).collect()
    };
    if values(a) != values(b) || verdicts(a) != verdicts(b) || a.part.is_some() != b.part.is_some() {
        return Effect::Part;
    }
    let wordless = |part: &Part| Part { number: String::new(), notes: Vec::new(), ..part.clone() };
    match (&a.part, &b.part) {
        (Some(a), Some(b)) if wordless(a) != wordless(b) => Effect::Part,
        (Some(a), Some(b)) if a.number != b.number || a.notes != b.notes => Effect::Words,
        _ => Effect::Nothing,
    }
}

//! The nearest values that work.

use std::collections::BTreeSet;
use std::sync::Arc;

use super::bind::{Bound, Inputs, if_measured, reading};
use super::derive::{Variant, attempt, passes};
use super::scope::increment;
use crate::diag::{Diagnostic, Severity};
use crate::family::{Derived, Family, Formula, Level, Parameter, ParameterKind, Rule, rests_on};
use crate::formula::{Value, Values, eval, names, say_value};
use crate::quantity::{Dim, Length, Quantity, Unit};
use crate::standards::stock::Bar;
use crate::standards::thread::thread;

/// A change of one parameter that makes everything pass.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Remedy {
    /// The parameter.
    pub parameter: String,
    /// The value that it has.
    pub from: String,
    /// The value that would do, as it can be typed.
    pub to: String,
    /// Whether the parameter is measured: the value would do only if it measures so.
    pub measured: bool,
}

/// How many steps near by are tried one by one.
const NEAR: f64 = 50.0;

/// How many strides go from there to the end of the range, so that a search ends in a blink.
const FAR: f64 = 50.0;

/// The most steps that a range is walked in, far below where numbers no longer count by ones.
const MOST_STEPS: f64 = 1e12;

/// Looks for remedies and adds them to the variant and its findings.
pub(super) fn add(family: &Family, inputs: &Inputs, rack: &Arc<[Bar]>, variant: &mut Variant) {
    if variant
        .findings
        .iter()
        .any(|finding| matches!(finding.code, "variant/unknown-size" | "variant/unknown-example" | "variant/value"))
    {
        // What was typed cannot be read; the findings say what could be.
        return;
    }
    let bound = Bound::new(family, inputs, &mut Vec::new());
    let search = Search { family, inputs, rack, unit: variant.unit, bound, variant };
    let mut remedies = Vec::new();
    let useful = search.useful();
    for parameter in &family.parameters {
        if useful.as_ref().is_some_and(|useful| !useful.contains(parameter.name.as_str())) {
            continue;
        }
        let Some(entry) = variant.entries.iter().find(|entry| entry.name == parameter.name) else { continue };
        remedies.extend(search.nearest(parameter, &entry.value).into_iter().map(|to| Remedy {
            parameter: parameter.name.clone(),
            from: entry.text.clone(),
            to,
            measured: parameter.measured,
        }));
    }
    // A choice is changed at will, a measurement is not: it comes after all that can be chosen.
    remedies.sort_by_key(|remedy| remedy.measured);
    let together = if remedies.is_empty() { search.together(variant) } else { Vec::new() };
    if let [(name, to)] = together.as_slice() {
        // A size whose values are not walked through, such as places, is let go.
        let from =
            variant.entries.iter().find(|entry| entry.name == *name).map_or_else(String::new, |e| e.text.clone());
        remedies.push(Remedy { parameter: name.clone(), from, to: to.clone(), measured: search.measured(name) });
    }
    let finding = if remedies.is_empty() {
        let said: Vec<String> = together.iter().map(|(name, to)| format!("{name}={}", quoted(to))).collect();
        let help = if said.is_empty() {
            "Start from the usual sizes, or from an example, and change one size at a time.".to_owned()
        } else {
            let measured = together.iter().filter(|(name, _)| search.measured(name)).count();
            let so = if measured > 1 { ", if they measure so" } else { if_measured(measured == 1) };
            format!("The usual values would do: {}{so}.", said.join(" and "))
        };
        let finding =
            Diagnostic::refused("variant/no-single-remedy", "No single size mends this by itself.").help(help);
        // Where sizes are out of range each has its own nearest.
        Diagnostic { follows: variant.findings.iter().any(is_outside), ..finding }
    } else {
        offered(&remedies)
    };
    if !remedies.is_empty() {
        // What all rules bear is known: the nearest that a range alone would bear is no help.
        for finding in variant.findings.iter_mut().filter(|finding| is_outside(finding)) {
            finding.helps.clear();
        }
    }
    variant.findings.push(finding);
    variant.remedies = remedies;
}

/// Whether a finding is of a size beyond its own limits.
fn is_outside(finding: &Diagnostic) -> bool {
    finding.code == "variant/out-of-range"
}

/// The finding that tells of remedies.
fn offered(remedies: &[Remedy]) -> Diagnostic {
    let headline = if remedies.len() == 1 { "This change would do." } else { "Any one of these changes would do." };
    remedies.iter().fold(Diagnostic::refused("variant/remedy", headline), |finding, remedy| finding.help(remedy.said()))
}

/// Keeps the remedies that are good for more than the family's rules: `against` tells what stands
/// against a variant with one of them, such as a shop that cannot make it.
pub fn sift(variant: &mut Variant, inputs: &Inputs, against: &dyn Fn(&Inputs) -> Option<String>) {
    let mut good = Vec::new();
    let mut bad = Vec::new();
    for remedy in std::mem::take(&mut variant.remedies) {
        let mut changed = inputs.clone();
        changed.given.insert(remedy.parameter.clone(), remedy.to.clone());
        match against(&changed) {
            None => good.push(remedy),
            Some(why) => bad.push((remedy, why)),
        }
    }
    let Some(told) = variant.findings.iter_mut().find(|finding| finding.code == "variant/remedy") else { return };
    if good.is_empty() {
        let headline = "No single size mends this: what the rules take, this shop cannot make.";
        *told = Diagnostic::refused("variant/no-single-remedy", headline);
        for (remedy, why) in bad {
            *told = std::mem::replace(told, Diagnostic::refused("", ""))
                .help(format!("{}, and then: {why}", remedy.said()));
        }
    } else {
        *told = offered(&good);
    }
    variant.remedies = good;
}

impl Remedy {
    pub(super) fn said(&self) -> String {
        let so = if_measured(self.measured);
        format!("{}={}  (now {}){so}", self.parameter, quoted(&self.to), self.from)
    }
}

/// As it can be typed at a prompt: quoted where it holds a blank or an inch sign.
fn quoted(text: &str) -> String {
    if text.contains([' ', '"', '\'']) { format!("'{text}'") } else { text.to_owned() }
}

struct Search<'f> {
    family: &'f Family,
    inputs: &'f Inputs,
    rack: &'f Arc<[Bar]>,
    unit: Unit,
    bound: Bound<'f>,
    variant: &'f Variant,
}

impl Search<'_> {
    /// The parameters that everything which stands against the variant rests on: a change of any
    /// other cannot mend it by itself. `None` where something stands against it whose roots are
    /// not known.
    fn useful(&self) -> Option<BTreeSet<&str>> {
        let roots = self.family.roots();
        let known = |name: &str| self.variant.entries.iter().any(|entry| entry.name == name);
        let mut against: Vec<BTreeSet<&str>> = Vec::new();
        let broken = |rule: &&Rule| {
            let verdict = self.variant.verdicts.iter().find(|verdict| verdict.rule == rule.name);
            rule.level == Level::Refused && verdict.is_some_and(|verdict| !verdict.holds)
        };
        against.extend(self.family.rules.iter().filter(broken).map(|rule| rests_on(&rule.must, &roots)));
        // A value that is missing though all that it needs is there.
        let missing = |derived: &&Derived| {
            let needs = names(&derived.formula.expr);
            !known(&derived.name) && needs.iter().all(|need| !roots.contains_key(need) || known(need))
        };
        let values = self.family.derived.iter().filter(missing);
        against.extend(values.filter_map(|derived| roots.get(derived.name.as_str()).cloned()));
        for parameter in &self.family.parameters {
            let Some(value) = self.variant.value(&parameter.name) else { continue };
            if !Bound::in_range(parameter, &value, self.variant) {
                let limits = [&parameter.from, &parameter.to].into_iter().flatten();
                let mut rests: BTreeSet<&str> = limits.flat_map(|limit| rests_on(limit, &roots)).collect();
                rests.insert(&parameter.name);
                against.push(rests);
            }
        }
        let refusals = self.variant.findings.iter().filter(|finding| finding.severity == Severity::Refused).count();
        if against.len() != refusals {
            return None;
        }
        against.into_iter().reduce(|all, one| all.intersection(&one).copied().collect())
    }

    /// Whether the parameter of this name is measured.
    fn measured(&self, name: &str) -> bool {
        self.family.parameter(name).is_some_and(|parameter| parameter.measured)
    }

    /// Whether a text typed for a parameter would make everything pass.
    fn passes(&self, parameter: &Parameter, text: &str) -> bool {
        reading(parameter, text, Some(self.unit))
            .is_ok_and(|value| passes(self.family, &self.bound, (&parameter.name, &value), self.rack))
    }

    /// The nearest values below and above that make everything pass; or, where the answers are few,
    /// the nearest of them in their order.
    fn nearest(&self, parameter: &Parameter, value: &Value) -> Vec<String> {
        match (parameter.kind, value) {
            (ParameterKind::Thread | ParameterKind::Material | ParameterKind::Fit | ParameterKind::Word, _) => {
                let now = say_value(value, self.unit);
                let answers = answers(parameter);
                let place = answers.iter().position(|answer| *answer == now);
                let mut order: Vec<usize> = (0..answers.len()).filter(|at| Some(*at) != place).collect();
                order.sort_by_key(|at| (other_system(&answers[*at], value), at.abs_diff(place.unwrap_or(0))));
                let found = order.into_iter().map(|at| &answers[at]).find(|answer| self.passes(parameter, answer));
                found.cloned().into_iter().collect()
            }
            (ParameterKind::Truth, Value::Truth(now)) => {
                let other = if *now { "no" } else { "yes" };
                self.passes(parameter, other).then(|| other.to_owned()).into_iter().collect()
            }
            (_, Value::Quantity(now)) => {
                [-1.0, 1.0].into_iter().filter_map(|way| self.walk(parameter, *now, way)).collect()
            }
            _ => Vec::new(),
        }
    }

    /// Walks from a value one way, in steps of the parameter, to the first that passes.
    fn walk(&self, parameter: &Parameter, now: Quantity, way: f64) -> Option<String> {
        let bound = |formula: &Option<Formula>| match eval(&formula.as_ref()?.expr, self.variant) {
            Ok(Value::Quantity(quantity)) => Some(quantity.value),
            _ => None,
        };
        let (low, high) = (bound(&parameter.from), bound(&parameter.to));
        let step = bound(&parameter.step).filter(|step| *step > 0.0).unwrap_or_else(|| self.usual_step(parameter.kind));
        let step = self.readable(step, parameter.kind);
        if low.zip(high).is_some_and(|(low, high)| low > high) {
            return None;
        }
        let end = if way < 0.0 { low } else { high };
        // A value out of range on this side: the search starts at the limit.
        let mut from = now.value;
        if let (Some(low), Some(high)) = (low, high) {
            from = from.clamp(low, high);
        }
        if end.is_some_and(|end| (end - now.value) * way < 0.0) && (from - now.value) * way <= 0.0 {
            return None;
        }
        // From there, however far out the value is: the strides stay those of the range.
        let reach = end.map_or((NEAR + FAR) * step, |end| (end - from) * way);
        let step = step.max(reach / MOST_STEPS);
        if !step.is_finite() {
            return None;
        }
        let first = if way < 0.0 { (from / step - 1e-6).ceil() } else { (from / step + 1e-6).floor() };
        // The value so many steps on, no further than the end of the range.
        let at = |steps: f64| {
            let value = (first + way * steps) * step;
            end.map_or(value, |end| if (value - end) * way > 0.0 { end } else { value })
        };
        let tried = |steps: f64| {
            let value = at(steps);
            let new = (value - now.value).abs() > 1e-9 && value >= 0.0;
            let text = self.typed(value, now.dim, parameter.kind);
            (new && self.passes(parameter, &text)).then_some(text)
        };
        // Step by step near by, then in strides to the end, and back to the first step that does.
        let most = (reach / step).abs().ceil() + 1.0;
        let mut steps = 0.0;
        let mut last = 0.0;
        while last < most {
            if let Some(found) = tried(steps) {
                return Some(first_between(last, steps, &tried).unwrap_or(found));
            }
            last = steps;
            steps += if steps < NEAR { 1.0 } else { ((most - NEAR) / FAR).ceil().max(1.0) };
        }
        None
    }

    /// A step that reads well in the unit of the variant, no finer than its drawing shows: in inches
    /// the next 1, 2 or 5 of a decimal place above the family's step in millimetres.
    fn readable(&self, step: f64, kind: ParameterKind) -> f64 {
        match (kind, self.unit) {
            (ParameterKind::Count, _) => return step.max(1.0),
            (ParameterKind::Quantity(Dim::LENGTH), Unit::Mm) => return step.max(increment(Unit::Mm).as_mm()),
            (ParameterKind::Quantity(Dim::LENGTH), Unit::Inch) => {}
            _ => return step,
        }
        let inches = step / 25.4;
        let place =
            [1e-4, 1e-3, 1e-2, 1e-1, 1.0].into_iter().flat_map(|place| [1.0, 2.0, 5.0].map(|figure| place * figure));
        place.into_iter().find(|nice| *nice >= inches * 0.999).unwrap_or(inches) * 25.4
    }

    fn usual_step(&self, kind: ParameterKind) -> f64 {
        match (kind, self.unit) {
            (ParameterKind::Count, _) => 1.0,
            (ParameterKind::Quantity(Dim::LENGTH), Unit::Mm) => 0.1,
            (ParameterKind::Quantity(Dim::LENGTH), Unit::Inch) => 0.127,
            (ParameterKind::Quantity(Dim::TORQUE), _) => 100.0,
            (ParameterKind::Quantity(Dim::ANGLE), _) => std::f64::consts::PI / 180.0,
            _ => 0.05,
        }
    }

    /// A value as it can be typed; it is read back as the same value.
    fn typed(&self, value: f64, dim: Dim, kind: ParameterKind) -> String {
        match (kind, dim) {
            (ParameterKind::Count, _) => crate::quantity::fixed(value, 0),
            (_, Dim::LENGTH) => self.unit.say(Length::mm(value).to_nearest(increment(self.unit))).replace(' ', ""),
            _ => say_value(&Value::Quantity(Quantity::new(value, dim)), self.unit).replace(' ', ""),
        }
    }

    /// Sizes, two at most, that mend it together with the values that would do: each typed size is
    /// let go in favour of its usual value, the fewest that are measured first, then the fewest; in a
    /// pair one that is measured comes last.
    fn together(&self, variant: &Variant) -> Vec<(String, String)> {
        let mut typed: Vec<&str> = variant
            .entries
            .iter()
            .filter(|entry| self.inputs.given.contains_key(&entry.name))
            .map(|entry| entry.name.as_str())
            .collect();
        typed.sort_by_key(|name| self.measured(name));
        let single = typed.iter().map(|name| vec![*name]);
        let pairs =
            typed.iter().enumerate().flat_map(|(at, first)| typed[at + 1..].iter().map(|second| vec![*first, *second]));
        let mut sets: Vec<Vec<&str>> = single.chain(pairs).collect();
        sets.sort_by_key(|names| names.iter().filter(|name| self.measured(name)).count());
        for names in sets {
            let mut inputs = self.inputs.clone();
            for name in &names {
                inputs.given.remove(*name);
            }
            let tried = attempt(self.family, &inputs, self.rack);
            if tried.part.is_some() {
                let text = |name: &str| {
                    tried.entries.iter().find(|entry| entry.name == name).map(|entry| entry.text.replace(' ', ""))
                };
                return names.iter().map(|name| ((*name).to_owned(), text(name).unwrap_or_default())).collect();
            }
        }
        Vec::new()
    }
}

/// Between a number of steps that does not do and one that does, the first that does.
fn first_between(low: f64, high: f64, tried: &dyn Fn(f64) -> Option<String>) -> Option<String> {
    let (mut low, mut high, mut found) = (low, high, None);
    loop {
        let middle = f64::midpoint(low, high).floor();
        let between = middle > low && middle < high;
        match between.then(|| tried(middle)) {
            Some(Some(text)) => {
                found = Some(text);
                high = middle;
            }
            Some(None) => low = middle,
            None => return found,
        }
    }
}

/// Whether an answer is a thread of the other system than the one now: a drawer of metric taps
/// is not mended by an inch thread while a metric one would do.
fn other_system(answer: &str, now: &Value) -> bool {
    let Value::Thread(now) = now else { return false };
    thread(answer).is_ok_and(|other| other.unit != now.unit)
}

/// The answers that a parameter takes, in an order in which neighbours are near.
fn answers(parameter: &Parameter) -> Vec<String> {
    if !parameter.one_of.is_empty() {
        return parameter.one_of.iter().map(|choice| choice.text.clone()).collect();
    }
    match parameter.kind {
        ParameterKind::Thread => crate::standards::thread::all().collect(),
        ParameterKind::Material => {
            crate::standards::material::all().into_iter().map(|material| material.name).collect()
        }
        // The usual clearance fits, from close to loose.
        ParameterKind::Fit => ["h6", "h7", "h9", "g6", "f7", "f8", "e8", "e9", "d9", "c11"].map(str::to_owned).to_vec(),
        _ => Vec::new(),
    }
}

/// Values for the limits and steps of a parameter, which may name other parameters and the unit.
impl Values for Variant {
    fn value(&self, name: &str) -> Option<Value> {
        if name == "inch" {
            return Some(Value::Truth(self.unit == Unit::Inch));
        }
        self.entries.iter().find(|entry| entry.name == name).map(|entry| entry.value.clone())
    }
}

#[cfg(test)]
mod tests {
    use std::cell::Cell;

    use super::first_between;

    /// Halving ends where steps are no longer told apart, and finds the first that does where they are.
    #[test]
    fn halving_ends_wherever_it_begins() {
        for (low, high, first, found) in [
            (0.0, 50.0, 17.0, Some("17")),
            (3.0, 4.0, 4.0, None),
            (50.0, f64::INFINITY, 1e300, None),
            (2.0_f64.powi(60), 2.0_f64.powi(60) + 512.0, 0.0, Some("1152921504606847232")),
            (50.0, f64::NAN, 60.0, None),
        ] {
            let count = Cell::new(0);
            let tried = |steps: f64| {
                count.set(count.get() + 1);
                assert!(count.get() < 2000, "{low} to {high} ends");
                (steps >= first).then(|| format!("{steps:.0}"))
            };
            assert_eq!(first_between(low, high, &tried).as_deref(), found, "{low} to {high}");
        }
    }
}

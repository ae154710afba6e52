//! The tries themselves.

use std::collections::BTreeSet;
use std::sync::Arc;

use super::dice::Dice;
use super::point::{Point, Reach, reaches};
use super::tally::Tally;
use crate::diag::{Diagnostic, Severity};
use crate::family::{Family, Level, ParameterKind, Rule, rests_on};
use crate::formula::{Value, eval, names};
use crate::quantity::{Dim, Length, Unit};
use crate::standards::stock::Bar;
use crate::variant::{Variant, attempt};

/// The finest step that a drawing in millimetres shows; one in inches takes its own next one above.
const FINEST: Length = Length::mm(0.001);

/// The most tries to give one rule or one stretch.
const PATIENCE: usize = 60;

/// A family while it is tried.
pub(super) struct Run<'f> {
    pub(super) family: &'f Family,
    rack: &'f Arc<[Bar]>,
    pub(super) reaches: Vec<Reach>,
    pub(super) tally: Tally,
    pub(super) dice: Dice,
}

impl<'f> Run<'f> {
    pub(super) fn new(family: &'f Family, rack: &'f Arc<[Bar]>) -> Self {
        let usual = attempt(family, &Point::usual(Unit::Mm).inputs(), rack);
        let reaches = reaches(family, &usual);
        let tally = Tally::new(family, &reaches);
        Self { family, rack, reaches, tally, dice: Dice::new(1) }
    }

    pub(super) fn attempt(&mut self, point: &Point) -> Variant {
        let variant = attempt(self.family, &point.inputs(), self.rack);
        self.tally.count(self.family, &self.reaches, point, &variant);
        variant
    }

    /// The usual sizes in both units and the examples: what the family promises.
    pub(super) fn promised(&mut self) -> Vec<Diagnostic> {
        let family = self.family;
        let mut findings = Vec::new();
        for (unit, word) in [(Unit::Mm, "in millimetres"), (Unit::Inch, "in inches")] {
            let variant = self.attempt(&Point::usual(unit));
            for finding in too_fine(family, &variant) {
                if !findings.contains(&finding) {
                    findings.push(finding);
                }
            }
            if let Some((said, place)) = against(&variant) {
                let at = place.unwrap_or(family.number.span);
                findings.push(
                    Diagnostic::refused("trial/usual", format!("The usual sizes {word} are refused."))
                        .at(family.source.name(), at, "by this")
                        .note(said)
                        .help("Choose `usual` values, and `usual_inch` where needed, that pass every rule."),
                );
            }
        }
        for example in &family.examples {
            let point =
                Point { unit: example.unit.unwrap_or_default(), like: Some(example.name.clone()), ..Point::default() };
            let variant = self.attempt(&point);
            if let Some((said, place)) = against(&variant) {
                let at = example.sizes.first().map(|(.., span)| *span).or(place).unwrap_or(family.number.span);
                findings.push(
                    Diagnostic::refused("trial/example", format!("The example `{}` is refused.", example.name))
                        .at(family.source.name(), at, "in this example")
                        .note(said)
                        .help("Change its sizes until it passes every rule."),
                );
            }
        }
        findings
    }

    /// Each size at its limits, or at each of its choices, with everything else as usual.
    pub(super) fn limits(&mut self) {
        let mut bases = vec![Point::usual(Unit::Mm)];
        bases.extend(self.tally.good.iter().find(|point| point.like.is_some()).cloned());
        for base in bases {
            for at in 0..self.reaches.len() {
                for text in self.reaches[at].ends() {
                    let point = base.with(&self.family.parameters[at].name, text);
                    self.attempt(&point);
                }
            }
        }
    }

    /// So many points at random: half over the whole range, half near what is good.
    pub(super) fn anywhere(&mut self, points: usize) {
        for _ in 0..points {
            let point = if self.dice.chance(50) {
                let mut point = Point::usual(if self.dice.chance(75) { Unit::Mm } else { Unit::Inch });
                for at in 0..self.reaches.len() {
                    if self.dice.chance(60) {
                        self.set(&mut point, at);
                    }
                }
                point
            } else {
                let mut point = self.dice.pick(&self.tally.good).cloned().unwrap_or_default();
                for _ in 0..=self.dice.below(3) {
                    let at = self.dice.below(self.reaches.len());
                    self.set(&mut point, at);
                }
                point
            };
            self.attempt(&point);
        }
    }

    /// Sets one size to anything that it can be.
    fn set(&mut self, point: &mut Point, at: usize) {
        let Some(text) = self.reaches.get(at).and_then(|reach| reach.any(&mut self.dice)) else { return };
        point.given.insert(self.family.parameters[at].name.clone(), text);
    }

    /// Tries to break the rules that have not been broken yet, by the sizes that they rest on.
    pub(super) fn break_rules(&mut self, points: usize) {
        let roots = self.family.roots();
        let mut left = points;
        for (place, rule) in self.family.rules.iter().enumerate() {
            let sizes = self.places(&rests_on(&rule.must, &roots));
            for _ in 0..PATIENCE.min(left) {
                if sizes.is_empty() || self.tally.rules.get(place).is_none_or(|judged| judged.broken > 0) {
                    break;
                }
                let mut point = self.dice.pick(&self.tally.good).cloned().unwrap_or_default();
                for _ in 0..=self.dice.below(sizes.len().min(3)) {
                    let Some(at) = self.dice.pick(&sizes).copied() else { break };
                    let ends = self.reaches[at].ends();
                    match self.dice.pick(&ends).cloned() {
                        Some(end) if self.dice.chance(50) => {
                            point.given.insert(self.family.parameters[at].name.clone(), end);
                        }
                        _ => self.set(&mut point, at),
                    }
                }
                self.attempt(&point);
                left -= 1;
            }
        }
    }

    /// Looks for a part in each stretch in which none was found yet, until so many points are
    /// tried in all: outward from where parts were found, changing what the refusals rest on.
    pub(super) fn fill(&mut self, points: usize) {
        let mut tried: BTreeSet<(usize, usize)> = BTreeSet::new();
        while self.tally.made > 0 && self.tally.points < points {
            let open: Vec<(usize, usize)> = (0..self.reaches.len()).flat_map(|size| self.edges(size)).collect();
            let fresh: Vec<_> = open.iter().copied().filter(|place| !tried.contains(place)).collect();
            let round = if fresh.is_empty() { open } else { fresh };
            if round.is_empty() {
                break;
            }
            for (size, stretch) in round {
                tried.insert((size, stretch));
                let left = points.saturating_sub(self.tally.points);
                self.climb(size, stretch, left.min(PATIENCE));
            }
        }
        // What is left over goes anywhere.
        self.anywhere(points.saturating_sub(self.tally.points));
    }

    /// The stretches of a size without a part that lie next to those with one; of choices, all.
    fn edges(&self, size: usize) -> Vec<(usize, usize)> {
        let Some(stretches) = self.tally.stretches.get(size) else { return Vec::new() };
        let made = |at: usize| stretches.get(at).is_some_and(|stretch| stretch.made > 0);
        let range = matches!(self.reaches.get(size), Some(Reach::Range { .. }));
        let open = (0..stretches.len()).filter(|at| {
            let beside = made(at + 1) || at.checked_sub(1).is_some_and(made);
            !made(*at) && (beside || !range)
        });
        open.map(|at| (size, at)).collect()
    }

    /// From a good point with one size put into a stretch, downhill in refusals.
    fn climb(&mut self, size: usize, stretch: usize, tries: usize) {
        let (family, roots) = (self.family, self.family.roots());
        let Some(parameter) = family.parameters.get(size) else { return };
        let near = |at: usize| self.tally.stretches.get(size)?.get(at)?.good.clone();
        let mut start = near(stretch + 1).or_else(|| near(stretch.checked_sub(1)?));
        let mut best: Option<(Point, Variant, usize)> = None;
        for _ in 0..tries {
            let point = if let Some((point, variant, _)) = &best {
                let mut sizes = self.places(&stands_against(family, variant, &roots));
                sizes.retain(|at| *at != size);
                self.changed(point.clone(), variant, &sizes)
            } else {
                let start = start.take().or_else(|| self.dice.pick(&self.tally.good).cloned()).unwrap_or_default();
                let Some(text) = self.reaches[size].inside(stretch, &mut self.dice) else { return };
                start.with(&parameter.name, text)
            };
            let variant = self.attempt(&point);
            if variant.part.is_some() {
                return;
            }
            let weight = weight(&variant);
            if best.as_ref().is_none_or(|(.., least)| weight <= *least) {
                best = Some((point, variant, weight));
            }
        }
    }

    /// A point with up to three of some sizes changed, mostly by a little.
    fn changed(&mut self, mut point: Point, variant: &Variant, sizes: &[usize]) -> Point {
        for _ in 0..=self.dice.below(3) {
            let Some(at) = self.dice.pick(sizes).copied() else { break };
            let name = &self.family.parameters[at].name;
            let entry = variant.entries.iter().find(|entry| entry.name == *name);
            let now = match entry.map(|entry| &entry.value) {
                Some(Value::Quantity(quantity)) => Some(quantity.value),
                _ => None,
            };
            let near = self.dice.chance(75);
            let reach = &self.reaches[at];
            let new = if near { reach.near(now, &mut self.dice) } else { reach.any(&mut self.dice) };
            point.given.extend(new.map(|text| (name.clone(), text)));
        }
        point
    }

    /// The places of parameters of these names.
    fn places(&self, names: &BTreeSet<&str>) -> Vec<usize> {
        let parameters = self.family.parameters.iter().enumerate();
        parameters.filter(|(_, parameter)| names.contains(parameter.name.as_str())).map(|(at, _)| at).collect()
    }
}

/// Steps of lengths that no drawing shows, or that lead nowhere.
fn too_fine(family: &Family, usual: &Variant) -> Vec<Diagnostic> {
    let mut findings = Vec::new();
    for parameter in &family.parameters {
        let Some(step) = &parameter.step else { continue };
        if parameter.kind != ParameterKind::Quantity(Dim::LENGTH) {
            continue;
        }
        if let Ok(Value::Quantity(length)) = eval(&step.expr, usual)
            && length.value < FINEST.as_mm() * 0.999
        {
            let headline = format!("The step of `{}` is finer than a drawing shows.", parameter.name);
            findings.push(
                Diagnostic::caution("trial/step", headline)
                    .at(family.source.name(), step.span, "below 0.001 mm")
                    .help("Nearest sizes are told in steps of what a drawing shows; write `step: 0.1 mm`, or what the part bears."),
            );
        }
    }
    findings
}

/// What stands against a variant first, in words and with its place in the family.
fn against(variant: &Variant) -> Option<(String, Option<crate::source::Span>)> {
    if variant.part.is_some() {
        return None;
    }
    let finding = variant.findings.iter().find(|finding| finding.is_root())?;
    let place = finding.labels.first().map(|label| label.span);
    let how = finding.notes.first().map_or(String::new(), |note| format!(" ({note})"));
    Some((format!("{}{how}", finding.headline), place))
}

/// The parameters that everything broken rests on.
fn stands_against<'r>(
    family: &'r Family,
    variant: &Variant,
    roots: &std::collections::BTreeMap<&'r str, BTreeSet<&'r str>>,
) -> BTreeSet<&'r str> {
    let broken = |rule: &&Rule| {
        let verdict = variant.verdicts.iter().find(|verdict| verdict.rule == rule.name);
        rule.level == Level::Refused && verdict.is_some_and(|verdict| !verdict.holds)
    };
    let mut found: BTreeSet<&str> =
        family.rules.iter().filter(broken).flat_map(|rule| rests_on(&rule.must, roots)).collect();
    let known = |name: &str| variant.entries.iter().any(|entry| entry.name == name);
    for derived in family.derived.iter().filter(|derived| !known(&derived.name)) {
        let needs = names(&derived.formula.expr);
        if needs.iter().all(|need| !roots.contains_key(need) || known(need)) {
            found.extend(roots.get(derived.name.as_str()).into_iter().flatten());
        }
    }
    if found.is_empty() {
        // Something of the shape itself: any size may be the one.
        found.extend(family.parameters.iter().map(|parameter| parameter.name.as_str()));
    }
    found
}

/// How much stands against a variant; a value that is missing hides what rests on it, and weighs
/// more.
fn weight(variant: &Variant) -> usize {
    let refused = variant.findings.iter().filter(|finding| finding.severity == Severity::Refused);
    refused.map(|finding| if finding.code.starts_with("rule/") { 1 } else { 5 }).sum()
}

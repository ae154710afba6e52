//! What came of the tries, counted.

use std::collections::BTreeMap;

use super::point::{Point, Reach};
use crate::diag::{Diagnostic, Severity};
use crate::family::{Family, Level};
use crate::variant::Variant;

/// How many good points are kept to start from.
const KEPT: usize = 64;

/// A rule over all tries.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Judged {
    pub(super) judged: usize,
    pub(super) broken: usize,
}

/// A stretch of a size over all tries.
#[derive(Clone, Debug, Default)]
pub(super) struct Stretch {
    pub(super) tried: usize,
    pub(super) made: usize,
    /// Why parts in it were refused, and how often.
    pub(super) reasons: BTreeMap<String, usize>,
    /// A point in it that gave a part.
    pub(super) good: Option<Point>,
}

/// A formula without an answer.
#[derive(Clone, Debug)]
pub(super) struct NoAnswer {
    pub(super) finding: Diagnostic,
    pub(super) times: usize,
    /// The fewest sizes that bring it about.
    pub(super) point: Point,
}

/// Everything that is counted.
#[derive(Clone, Debug, Default)]
pub(super) struct Tally {
    pub(super) points: usize,
    pub(super) made: usize,
    /// By the place of the rule in the family.
    pub(super) rules: Vec<Judged>,
    /// By parameter, then by stretch.
    pub(super) stretches: Vec<Vec<Stretch>>,
    /// By code and place.
    pub(super) no_answers: BTreeMap<(&'static str, usize), NoAnswer>,
    /// Some of the points that gave a part.
    pub(super) good: Vec<Point>,
}

impl Tally {
    pub(super) fn new(family: &Family, reaches: &[Reach]) -> Self {
        Self {
            rules: vec![Judged::default(); family.rules.len()],
            stretches: reaches.iter().map(|reach| vec![Stretch::default(); reach.stretches()]).collect(),
            ..Self::default()
        }
    }

    pub(super) fn count(&mut self, family: &Family, reaches: &[Reach], point: &Point, variant: &Variant) {
        self.points += 1;
        let made = variant.part.is_some();
        if made {
            self.made += 1;
            if self.good.len() < KEPT {
                self.good.push(point.clone());
            } else if let Some(old) = self.good.get_mut(self.points % KEPT) {
                *old = point.clone();
            }
        }
        for verdict in &variant.verdicts {
            let place = family.rules.iter().position(|rule| rule.name == verdict.rule);
            if let Some(judged) = place.and_then(|place| self.rules.get_mut(place)) {
                judged.judged += 1;
                judged.broken += usize::from(!verdict.holds);
            }
        }
        for finding in &variant.findings {
            if !finding.code.starts_with("formula/") && finding.code != "variant/step" {
                continue;
            }
            let place = finding.labels.first().map_or(0, |label| label.span.start);
            let known = self.no_answers.entry((finding.code, place)).or_insert_with(|| NoAnswer {
                finding: finding.clone(),
                times: 0,
                point: point.clone(),
            });
            known.times += 1;
            if point.given.len() < known.point.given.len() {
                known.point = point.clone();
                known.finding = finding.clone();
            }
        }
        let reasons = reasons(variant);
        for ((parameter, reach), stretches) in family.parameters.iter().zip(reaches).zip(&mut self.stretches) {
            let entry = variant.entries.iter().find(|entry| entry.name == parameter.name);
            let at = entry.and_then(|entry| reach.stretch(&entry.value, variant.unit));
            let Some(stretch) = at.and_then(|at| stretches.get_mut(at)) else { continue };
            stretch.tried += 1;
            stretch.made += usize::from(made);
            if made && stretch.good.is_none() {
                stretch.good = Some(point.clone());
            }
            for reason in &reasons {
                *stretch.reasons.entry(reason.clone()).or_default() += 1;
            }
        }
    }
}

/// Why a variant is refused, in words that stay the same from variant to variant.
fn reasons(variant: &Variant) -> Vec<String> {
    let broken = variant.verdicts.iter().filter(|verdict| !verdict.holds && verdict.level == Level::Refused);
    let mut reasons: Vec<String> = broken.map(|verdict| format!("the rule `{}`", verdict.rule)).collect();
    for finding in &variant.findings {
        if finding.severity != Severity::Refused || finding.code.starts_with("rule/") {
            continue;
        }
        let working = finding.notes.iter().find_map(|note| note.strip_prefix("while working out "));
        reasons.push(match working {
            Some(name) => format!("{} has no answer", name.split(" (").next().unwrap_or(name)),
            None => finding.headline.clone(),
        });
    }
    reasons
}

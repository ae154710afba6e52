//! From what was counted to findings.

use super::effect::Effect;
use super::point::Reach;
use super::run::Run;
use super::tally::Stretch;
use crate::diag::Diagnostic;
use crate::family::{Level, Parameter};
use crate::quantity::Unit;

/// The fewest tries from which something is concluded.
const ENOUGH: usize = 12;

/// The fewest tries from which it is concluded that nothing can be made.
const SURE: usize = 100;

/// Everything that the counts tell.
pub(super) fn findings(run: &Run<'_>, effects: &[Effect]) -> Vec<Diagnostic> {
    let mut findings = rules(run);
    findings.extend(without_effect(run, effects));
    findings.extend(no_answers(run));
    if run.tally.made == 0 {
        findings.push(
            Diagnostic::refused("trial/nothing", format!("Not one of {} tries gave a part.", run.tally.points))
                .at(run.family.source.name(), run.family.number.span, "of this family")
                .help("Start with a single rule, and add the others one at a time."),
        );
    } else {
        findings.extend(empty(run));
    }
    findings
}

fn rules(run: &Run<'_>) -> Vec<Diagnostic> {
    let mut findings = Vec::new();
    let source = run.family.source.name();
    for (rule, judged) in run.family.rules.iter().zip(&run.tally.rules) {
        let count = judged.judged;
        if count < ENOUGH {
            continue;
        }
        if judged.broken == 0 {
            findings.push(
                Diagnostic::caution("trial/never-broken", format!("Nothing broke the rule `{}`.", rule.name))
                    .at(source, rule.must.span, format!("held in all of {count} tries"))
                    .help("Is it the right way round? If `from`, `to` and `one_of` see to it already, it can go; if the bars of this rack do, another rack may not."),
            );
        } else if judged.broken == count && rule.level == Level::Caution {
            findings.push(
                Diagnostic::caution("trial/always-broken", format!("The rule `{}` cautions every time.", rule.name))
                    .at(source, rule.must.span, format!("did not hold in any of {count} tries"))
                    .help("Is it the right way round? What is always so belongs in `notes`."),
            );
        }
    }
    findings
}

fn without_effect(run: &Run<'_>, effects: &[Effect]) -> Vec<Diagnostic> {
    let mut findings = Vec::new();
    for (parameter, effect) in run.family.parameters.iter().zip(effects) {
        let (what, help) = match effect {
            Effect::Nothing => (
                format!("The size `{}` changes nothing.", parameter.name),
                "Use it in `follows`, in a rule or in the shape, or take it out.",
            ),
            Effect::Words => (
                format!("The size `{}` changes only words on the drawing.", parameter.name),
                "That is right for a name or a mark; a measure belongs in the shape or in a rule.",
            ),
            Effect::Part | Effect::Untried => continue,
        };
        findings.push(
            Diagnostic::caution("trial/no-effect", what)
                .at(run.family.source.name(), parameter.span, "asked for, and not used")
                .help(help),
        );
    }
    findings
}

fn no_answers(run: &Run<'_>) -> Vec<Diagnostic> {
    let told = run.tally.no_answers.values().map(|known| {
        let mut finding = Diagnostic::caution("trial/no-answer", known.finding.headline.clone());
        finding.labels.clone_from(&known.finding.labels);
        finding.notes.clone_from(&known.finding.notes);
        let looked_up = known.finding.code == "formula/no-answer";
        let help = if looked_up {
            "A person reads this sentence as a refusal. Narrow `from`, `to` or `one_of` if it comes too often."
        } else {
            "Keep it from happening: `max(…)` around what may reach nothing, `if … then … else …`, or a narrower `from` and `to`."
        };
        finding.note(format!("{} of {} tries, such as {}", known.times, run.tally.points, known.point.say())).help(help)
    });
    told.collect()
}

/// Ends of ranges, and choices, with which nothing was made.
fn empty(run: &Run<'_>) -> Vec<Diagnostic> {
    let mut findings = Vec::new();
    for (at, parameter) in run.family.parameters.iter().enumerate() {
        let (Some(reach), Some(stretches)) = (run.reaches.get(at), run.tally.stretches.get(at)) else { continue };
        match reach {
            Reach::Range { .. } => findings.extend(ends(run, parameter, reach, stretches)),
            Reach::Choices(_) => findings.extend(choices(run, parameter, reach, stretches)),
            Reach::Some(_) | Reach::Usual => {}
        }
    }
    findings
}

/// What a range offers beyond what can be made.
fn ends(run: &Run<'_>, parameter: &Parameter, reach: &Reach, stretches: &[Stretch]) -> Option<Diagnostic> {
    let bare = |stretch: &&Stretch| stretch.made == 0;
    let low = stretches.iter().take_while(bare).count();
    let high = stretches.iter().rev().take_while(bare).count();
    if low == stretches.len() {
        return None;
    }
    let count = stretches.len();
    let sides = [
        (low, &stretches[..low], &parameter.from, reach.end(low, Unit::Mm), "below"),
        (high, &stretches[count - high..], &parameter.to, reach.end(count - high, Unit::Mm), "above"),
    ];
    let mut finding: Option<Diagnostic> = None;
    for (wide, row, limit, end, side) in sides {
        let tried: usize = row.iter().map(|stretch| stretch.tried).sum();
        if wide == 0 || tried < SURE {
            continue;
        }
        let told = finding.take().unwrap_or_else(|| {
            let what = format!("`{}` reaches further than what can be made.", parameter.name);
            Diagnostic::caution("trial/nothing-made", what)
                .help("Narrow `from` and `to` to what can be made, or look at that rule again.")
        });
        let at = limit.as_ref().map_or(parameter.span, |limit| limit.span);
        let told = told.at(run.family.source.name(), at, format!("{side} {end} no part was made in {tried} tries"));
        finding = Some(match most(row) {
            Some(reason) => told.note(format!("{side} {end}: mostly {reason}")),
            None => told,
        });
    }
    finding
}

/// Choices of which none can be made.
fn choices(run: &Run<'_>, parameter: &Parameter, reach: &Reach, stretches: &[Stretch]) -> Option<Diagnostic> {
    let bare = stretches.iter().enumerate().filter(|(_, stretch)| stretch.made == 0 && stretch.tried >= SURE);
    let bare: Vec<(&str, &Stretch)> = bare.filter_map(|(at, stretch)| Some((reach.choice(at)?, stretch))).collect();
    if bare.is_empty() {
        return None;
    }
    let names: Vec<&str> = bare.iter().map(|(name, _)| *name).collect();
    let tried: usize = bare.iter().map(|(_, stretch)| stretch.tried).sum();
    let finding = Diagnostic::caution(
        "trial/nothing-made",
        format!("`{}` offers what cannot be made: {}.", parameter.name, names.join(", ")),
    );
    let finding = finding
        .at(run.family.source.name(), parameter.span, format!("no part was made in {tried} tries"))
        .help("Take it out of `one_of`, put it on the rack, or look at that rule again.");
    Some(bare.iter().fold(finding, |finding, (name, stretch)| match most(std::slice::from_ref(*stretch)) {
        Some(reason) => finding.note(format!("{name}: mostly {reason}")),
        None => finding,
    }))
}

/// The reason that comes most often.
fn most(row: &[Stretch]) -> Option<String> {
    let mut sums = std::collections::BTreeMap::new();
    for (reason, times) in row.iter().flat_map(|stretch| &stretch.reasons) {
        *sums.entry(reason).or_insert(0_usize) += times;
    }
    sums.into_iter().max_by_key(|(_, times)| *times).map(|(reason, _)| reason.clone())
}

//! From what was counted to findings.

use super::effect::Effect;
use super::run::Run;
use super::tally::Stretch;
use crate::diag::Diagnostic;
use crate::family::Level;
use crate::quantity::trimmed;

/// The fewest tries from which something is concluded.
const ENOUGH: usize = 12;

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
                    .help("Is it the right way round? If `from`, `to` and `one_of` see to it already, it can go."),
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

/// Sizes and choices with which nothing was made.
fn empty(run: &Run<'_>) -> Vec<Diagnostic> {
    let mut findings = Vec::new();
    let parameters = run.family.parameters.iter().zip(&run.reaches);
    for ((parameter, reach), stretches) in parameters.zip(&run.tally.stretches) {
        let bare = |at: usize| stretches.get(at).is_some_and(|stretch| stretch.made == 0 && stretch.tried > 0);
        let mut at = 0;
        while at < stretches.len() {
            if !bare(at) {
                at += 1;
                continue;
            }
            let first = at;
            while bare(at) {
                at += 1;
            }
            let row = &stretches[first..at];
            let tried: usize = row.iter().map(|stretch| stretch.tried).sum();
            if tried < ENOUGH {
                continue;
            }
            let mut finding = Diagnostic::caution(
                "trial/nothing-made",
                format!("With `{}` {} no part was made.", parameter.name, reach.say(first, at - 1)),
            )
            .at(run.family.source.name(), parameter.span, format!("refused in all of {tried} tries"));
            if let Some((reason, times)) = most(row) {
                let percent = trimmed(100.0 * times as f64 / tried as f64, 0);
                finding = finding.note(format!("mostly by {reason}, {percent} % of them"));
            }
            findings.push(finding.help(if parameter.one_of.is_empty() {
                "Narrow `from` and `to` to what can be made, or look at that rule again."
            } else {
                "Take it out of `one_of`, or look at that rule again."
            }));
        }
    }
    findings
}

/// The reason that comes most often.
fn most(row: &[Stretch]) -> Option<(String, usize)> {
    let mut sums = std::collections::BTreeMap::new();
    for (reason, times) in row.iter().flat_map(|stretch| &stretch.reasons) {
        *sums.entry(reason.clone()).or_insert(0_usize) += times;
    }
    sums.into_iter().max_by_key(|(_, times)| *times)
}

//! Values that nobody reads.

use std::collections::BTreeSet;

use crate::diag::Diagnostic;
use crate::family::{Ask, Family};
use crate::formula::{Expr, names};

/// Derived values that no formula, rule, cut or sentence uses and that have no title by which a
/// person would read them.
pub(super) fn unread(family: &Family) -> Vec<Diagnostic> {
    let mut used: BTreeSet<&str> = BTreeSet::new();
    for expr in exprs(family) {
        used.extend(names(expr));
    }
    used.extend(family.derived.iter().filter_map(|value| value.limits.as_ref()?.fit.as_deref()));
    let mut findings = Vec::new();
    for value in &family.derived {
        let titled = value.title != value.name.replace('_', " ");
        if used.contains(value.name.as_str()) || titled {
            continue;
        }
        findings.push(
            Diagnostic::caution("trial/unread", format!("Nothing uses `{}`, and it is on no drawing.", value.name))
                .at(family.source.name(), value.span, "worked out for nobody")
                .help(
                    "Use it in a rule, a cut or a note; give it a `title` if a person is to read it; or take it out.",
                ),
        );
    }
    findings
}

/// Every formula of a family.
fn exprs(family: &Family) -> Vec<&Expr> {
    let mut found: Vec<&Expr> = Vec::new();
    for parameter in &family.parameters {
        for ask in [Some(&parameter.usual), parameter.usual_inch.as_ref()].into_iter().flatten() {
            if let Ask::Formula(formula) = ask {
                found.push(&formula.expr);
            }
        }
        let limits = [&parameter.from, &parameter.to, &parameter.step];
        found.extend(limits.into_iter().flatten().map(|formula| &formula.expr));
    }
    for value in &family.derived {
        found.push(&value.formula.expr);
        found.extend(value.snap.iter().map(|(_, step)| &step.expr));
        found.extend(value.limits.iter().flat_map(|limits| [&limits.upper.expr, &limits.lower.expr]));
    }
    for rule in &family.rules {
        found.push(&rule.must.expr);
        found.extend(rule.say.template.formulas());
    }
    for line in &family.hardware {
        found.push(&line.count.expr);
        found.extend(line.torque.iter().map(|formula| &formula.expr));
        found.extend(std::iter::once(&line.item).chain(&line.key).flat_map(|sentence| sentence.template.formulas()));
    }
    found.extend(family.number.template.formulas());
    found.extend(family.shape.formulas().into_iter().map(|formula| &formula.expr));
    found.extend(family.shape.notes.iter().flat_map(|note| note.template.formulas()));
    found
}

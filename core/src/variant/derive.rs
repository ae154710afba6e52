//! Every value of a variant, and every verdict.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::bind::{Bound, Came, Inputs};
use super::scope::{Scope, increment};
use super::{build, remedy};
use crate::diag::{Diagnostic, Severity};
use crate::family::{Ask, Derived, Family, Formula, Level, Parameter, Rule, Snap, rests_on};
use crate::formula::{Fault, Value, eval, say_condition, say_value};
use crate::part::Part;
use crate::quantity::{Length, Quantity, Unit};
use crate::source::Span;
use crate::standards::stock::Bar;

/// A family given its sizes.
#[derive(Clone, Debug)]
pub struct Variant {
    /// The name of the family.
    pub family: String,
    /// The unit of its drawing.
    pub unit: Unit,
    /// Parameters and derived values, parameters first, in the order of the family file.
    pub entries: Vec<Entry>,
    /// The rules that could be judged.
    pub verdicts: Vec<Verdict>,
    /// Sizes that would do, each by itself, where the variant is refused.
    pub remedies: Vec<remedy::Remedy>,
    /// All that was found; a refusal among them means that there is no part.
    pub findings: Vec<Diagnostic>,
    /// The part, where nothing refuses it.
    pub part: Option<Part>,
}

/// A value with how it came about.
#[derive(Clone, Debug, PartialEq)]
pub struct Entry {
    /// Its name.
    pub name: String,
    /// In plain words.
    pub title: String,
    /// The value.
    pub value: Value,
    /// As people read it.
    pub text: String,
    /// Upper and lower limit deviation, where it carries its own.
    pub limits: Option<(Length, Length)>,
    /// What was typed for it, for a parameter that was given.
    pub typed: Option<String>,
    /// Whether it is a parameter.
    pub parameter: bool,
    /// The formula, for a derived value or a usual one.
    pub formula: Option<String>,
    /// Why it is so.
    pub why: Option<String>,
    /// Where the formula comes from.
    pub source: Option<String>,
}

/// A rule with its verdict.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Verdict {
    /// The name of the rule.
    pub rule: String,
    /// What it means when it does not hold.
    pub level: Level,
    /// Whether it holds.
    pub holds: bool,
    /// Whether it says anything of this variant: one that a guard keeps away holds, and does not apply.
    pub applies: bool,
    /// The condition, as the family file writes it.
    pub must: String,
    /// The condition with the numbers in place of its formulas, `7.5 mm ≥ 7.5 mm`, or why it does not
    /// apply: `does not apply: pins = no`.
    pub numbers: String,
    /// What it means that it does not hold, with the numbers; empty where it holds.
    pub say: String,
    /// Where the rule comes from.
    pub source: String,
}

/// One derivation, without remedies.
pub(super) fn attempt(family: &Family, inputs: &Inputs, rack: &Arc<[Bar]>) -> Variant {
    let mut findings = Vec::new();
    // Which formula a finding is about, by its place among them.
    let mut about: Vec<(usize, &Formula)> = Vec::new();
    let bound = Bound::new(family, inputs, &mut findings);
    let mut scope = Scope::new(rack, bound.unit);
    let mut entries = BTreeMap::new();
    for name in &family.order {
        if let Some(parameter) = family.parameter(name) {
            match bound.value(parameter, &scope) {
                Ok((value, came)) => {
                    entries.insert(name.clone(), parameter_entry(parameter, &value, came, bound.unit));
                    scope.values.insert(name.clone(), value);
                }
                Err(None) => {}
                Err(Some(fault)) => {
                    if let Ask::Formula(formula) = bound.usual(parameter) {
                        about.push((findings.len(), formula));
                    }
                    findings.push(tell(family, parameter.span, None, fault, name, &parameter.ask));
                }
            }
        } else if let Some(derived) = family.derived(name) {
            match work_out(derived, &mut scope, bound.unit) {
                Ok(worked) => {
                    entries.insert(name.clone(), derived_entry(derived, worked, bound.unit));
                }
                Err(None) => {}
                Err(Some(fault)) => {
                    let formula = &derived.formula;
                    about.push((findings.len(), formula));
                    findings.push(tell(family, formula.span, formula.verbatim, fault, name, &derived.title));
                }
            }
        }
    }
    let mut outside = Vec::new();
    for parameter in &family.parameters {
        if let Some(value) = scope.values.get(&parameter.name)
            && bound.check(family, parameter, value, &scope, &mut findings)
        {
            outside.push(parameter.name.as_str());
        }
    }
    let verdicts = judge(family, &scope, bound.unit, &mut findings, &mut about);
    if !outside.is_empty() {
        // What rests on a size that is out of range says only what follows from that.
        let roots = family.roots();
        for (at, formula) in about {
            findings[at].follows = rests_on(formula, &roots).iter().any(|name| outside.contains(name));
        }
    }
    let refused = findings.iter().any(|finding| finding.severity == Severity::Refused);
    let part = if refused { None } else { build::part(family, &scope, bound.unit, &mut findings) };
    let in_order = family.parameters.iter().map(|p| &p.name).chain(family.derived.iter().map(|d| &d.name));
    Variant {
        family: family.name.clone(),
        unit: bound.unit,
        entries: in_order.filter_map(|name| entries.remove(name)).collect(),
        verdicts,
        remedies: Vec::new(),
        findings,
        part,
    }
}

/// Whether a variant would be made with one parameter changed: the same steps as [`attempt`],
/// without a word, and no further than the first refusal.
pub(super) fn passes(family: &Family, bound: &Bound<'_>, changed: (&str, &Value), rack: &Arc<[Bar]>) -> bool {
    let mut scope = Scope::new(rack, bound.unit);
    for name in &family.order {
        if let Some(parameter) = family.parameter(name) {
            let value = if parameter.name == changed.0 {
                Some(changed.1.clone())
            } else {
                bound.value(parameter, &scope).ok().map(|(value, _)| value)
            };
            let Some(value) = value else { return false };
            scope.values.insert(name.clone(), value);
        } else if let Some(derived) = family.derived(name)
            && work_out(derived, &mut scope, bound.unit).is_err()
        {
            return false;
        }
    }
    let in_range = |parameter: &Parameter| {
        scope.values.get(&parameter.name).is_some_and(|value| Bound::in_range(parameter, value, &scope))
    };
    let holds =
        |rule: &Rule| rule.level == Level::Caution || matches!(eval(&rule.must.expr, &scope), Ok(Value::Truth(true)));
    // A rule of caution that cannot be judged refuses too.
    let judged = |rule: &Rule| rule.level == Level::Refused || eval(&rule.must.expr, &scope).is_ok();
    family.parameters.iter().all(in_range)
        && family.rules.iter().all(|rule| holds(rule) && judged(rule))
        && build::part(family, &scope, bound.unit, &mut Vec::new()).is_some()
}

fn parameter_entry(parameter: &Parameter, value: &Value, came: Came, unit: Unit) -> Entry {
    let formula = match (&came, &parameter.usual) {
        (Came::Usual, Ask::Formula(formula)) => Some(formula.text.clone()),
        _ => None,
    };
    let typed = match came {
        Came::Typed(text) | Came::Example(text) => Some(text),
        Came::Usual => None,
    };
    Entry {
        name: parameter.name.clone(),
        title: parameter.ask.clone(),
        text: say_value(value, unit),
        value: value.clone(),
        limits: None,
        typed,
        parameter: true,
        formula,
        why: parameter.help.clone(),
        source: None,
    }
}

fn derived_entry(derived: &Derived, worked: Worked, unit: Unit) -> Entry {
    let Worked { value, limits } = worked;
    Entry {
        name: derived.name.clone(),
        title: derived.title.clone(),
        text: say_value(&value, unit),
        value,
        limits,
        typed: None,
        parameter: false,
        formula: Some(derived.formula.text.clone()),
        why: derived.why.clone(),
        source: derived.source.clone(),
    }
}

/// A derived value with its limit deviations, upper and lower, where it carries its own.
struct Worked {
    value: Value,
    limits: Option<(Length, Length)>,
}

/// Works out one derived value; an error without a fault means that a value it needs is missing,
/// which was told when that was looked for.
fn work_out(derived: &Derived, scope: &mut Scope, unit: Unit) -> Result<Worked, Option<Fault>> {
    let missing = |fault: Fault| (fault.code != "formula/no-value").then_some(fault);
    let mut value = eval(&derived.formula.expr, scope).map_err(missing)?;
    if let (Value::Quantity(quantity), Some((way, step))) = (&value, &derived.snap)
        && let Value::Quantity(step) = eval(&step.expr, scope).map_err(missing)?
    {
        if step.value <= 0.0 {
            return Err(Some(Fault {
                code: "variant/step",
                span: derived.formula.span,
                what: "The increment is not above nothing.".to_owned(),
                label: "of this value".to_owned(),
                help: None,
            }));
        }
        let (from, step_mm) = (Length::mm(quantity.value), Length::mm(step.value));
        let to = match way {
            Snap::Down => from.down_to(step_mm),
            Snap::Nearest => from.to_nearest(step_mm),
            Snap::Up => from.up_to(step_mm),
        };
        value = Value::Quantity(Quantity::new(to.as_mm(), quantity.dim));
    }
    let mut limits = None;
    if let (Some(given), Some(nominal)) = (&derived.limits, value.length()) {
        let length = |formula: &Formula, scope: &Scope| -> Result<Length, Option<Fault>> {
            Ok(eval(&formula.expr, scope).map_err(missing)?.length().unwrap_or_default())
        };
        let step = increment(unit);
        // Limits are brought inward to what the drawing can print: the zone never widens.
        let upper = length(&given.upper, scope)?.down_to(step);
        let lower = length(&given.lower, scope)?.up_to(step);
        limits = Some((upper, lower));
        let parts = [
            ("most", nominal + upper),
            ("least", nominal + lower),
            ("middle", nominal + (upper + lower) / 2.0),
            ("upper", upper),
            ("lower", lower),
        ];
        for (part, length) in parts {
            scope.values.insert(format!("{}.{part}", derived.name), Value::of_length(length));
        }
    }
    scope.values.insert(derived.name.clone(), value.clone());
    Ok(Worked { value, limits })
}

fn tell(family: &Family, span: Span, verbatim: Option<usize>, fault: Fault, name: &str, title: &str) -> Diagnostic {
    let span = verbatim.map_or(span, |start| fault.span.moved(start));
    Diagnostic::refused(fault.code, fault.what)
        .at(family.source.name(), span, fault.label)
        .note(format!("while working out `{name}` ({title})"))
}

fn judge<'f>(
    family: &'f Family,
    scope: &Scope,
    unit: Unit,
    findings: &mut Vec<Diagnostic>,
    about: &mut Vec<(usize, &'f Formula)>,
) -> Vec<Verdict> {
    let mut verdicts = Vec::new();
    for rule in &family.rules {
        let holds = match eval(&rule.must.expr, scope) {
            Ok(Value::Truth(holds)) => holds,
            // A value that is missing was told of when it was looked for.
            Ok(_) => continue,
            Err(fault) if fault.code == "formula/no-value" => continue,
            Err(fault) => {
                about.push((findings.len(), &rule.must));
                let span = rule.must.verbatim.map_or(rule.must.span, |start| fault.span.moved(start));
                findings.push(
                    Diagnostic::refused(fault.code, fault.what)
                        .at(family.source.name(), span, fault.label)
                        .note(format!("while judging the rule `{}`", rule.name)),
                );
                continue;
            }
        };
        let mut say = String::new();
        if !holds {
            say = rule.say.template.say(scope, unit);
            about.push((findings.len(), &rule.must));
            let finding = match rule.level {
                Level::Refused => Diagnostic::refused("rule/refused", say.clone()),
                Level::Caution => Diagnostic::caution("rule/caution", say.clone()),
            };
            findings.push(
                finding
                    .at(family.source.name(), rule.must.span, format!("the rule `{}`", rule.name))
                    .note(format!("rule {}; {}", rule.name, rule.source)),
            );
        }
        let told = say_condition(&rule.must.expr, &rule.must.text, scope, unit);
        verdicts.push(Verdict {
            rule: rule.name.clone(),
            level: rule.level,
            holds,
            applies: told.applies,
            must: rule.must.text.clone(),
            numbers: told.words,
            say,
            source: rule.source.clone(),
        });
    }
    verdicts
}

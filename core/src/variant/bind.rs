//! From what a person typed to the values of the parameters.

use std::collections::{BTreeMap, BTreeSet};

use super::scope::{Scope, increment};
use crate::diag::{Diagnostic, nearest};
use crate::family::{Ask, Example, Family, Formula, Parameter, ParameterKind};
use crate::formula::{Fault, Value, Values, eval, say_value};
use crate::quantity::{Dim, Length, Quantity, ReadError, Unit, in_other_unit, trimmed};

/// What a person asks for.
#[derive(Clone, Debug, Default)]
pub struct Inputs {
    /// The unit of bare numbers and of the drawing, where one was chosen.
    pub unit: Option<Unit>,
    /// The example to start from.
    pub like: Option<String>,
    /// Sizes by name, as they were typed.
    pub given: BTreeMap<String, String>,
}

/// The most that a count may be, whatever is counted: far beyond any part, and exact as a number.
const MOST: f64 = 1e6;

/// Reads one typed answer.
///
/// # Errors
/// What is wrong with it, and what would be right.
pub fn reading(parameter: &Parameter, text: &str, unit: Option<Unit>) -> Result<Value, ReadError> {
    let counts = parameter.kind == ParameterKind::Count;
    let value = Value::read(parameter.kind.kind(), text, unit).map_err(|error| match choices(parameter, text) {
        Some(help) => ReadError { help, ..error },
        None if counts => ReadError { help: "Write a whole number, such as `4`.".to_owned(), ..error },
        None => error,
    })?;
    if let (true, Value::Quantity(count)) = (counts, &value) {
        if count.value.fract() != 0.0 {
            return Err(ReadError { what: format!("`{text}` is no count."), help: "Write a whole number.".to_owned() });
        }
        if !(0.0..=MOST).contains(&count.value) {
            let what = format!("`{text}` is beyond what is counted here.");
            return Err(ReadError { what, help: format!("Write a whole number from 0 to {}.", trimmed(MOST, 0)) });
        }
    }
    if parameter.one_of.is_empty() {
        return Ok(value);
    }
    // A quantity or a clearance may stand in another unit than the same text among the choices.
    let bare = matches!(value, Value::Quantity(_) | Value::Fit(_));
    let same = |choice: &str| {
        (!bare && choice == text) || Value::read(parameter.kind.kind(), choice, None).is_ok_and(|known| known == value)
    };
    if parameter.one_of.iter().any(|choice| same(&choice.text)) {
        return Ok(value);
    }
    let what = format!("`{text}` is not among the choices.");
    Err(ReadError { what, help: choices(parameter, text).unwrap_or_default() })
}

/// What a parameter can be chosen from, where it has choices, and what was probably meant.
fn choices(parameter: &Parameter, text: &str) -> Option<String> {
    let known: Vec<&str> = parameter.one_of.iter().map(|choice| choice.text.as_str()).collect();
    let meant = nearest(text, known.iter().copied()).map(|near| format!("Did you mean `{near}`? ")).unwrap_or_default();
    (!known.is_empty()).then(|| format!("{meant}Choices: {}.", known.join(", ")))
}

/// How a parameter came by its value.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Came {
    /// Typed, with the text.
    Typed(String),
    /// From the example, with the text.
    Example(String),
    /// The usual value.
    Usual,
}

/// What was asked for, read: the values that are settled before anything is worked out.
pub(super) struct Bound<'f> {
    /// The unit of the drawing.
    pub(super) unit: Unit,
    settled: BTreeMap<&'f str, (Value, Came)>,
    /// Parameters whose value a finding hides.
    hidden: BTreeSet<&'f str>,
}

impl<'f> Bound<'f> {
    /// Reads what was asked for; what cannot be read is among the findings.
    pub(super) fn new(family: &'f Family, inputs: &Inputs, findings: &mut Vec<Diagnostic>) -> Self {
        let example = inputs.like.as_ref().and_then(|name| example(family, name, findings));
        check_names(family, inputs, findings);
        let chosen = inputs.unit.or_else(|| example.and_then(|example| example.unit));
        let unit = chosen.unwrap_or_default();
        let mut bound = Self { unit, settled: BTreeMap::new(), hidden: BTreeSet::new() };
        for parameter in &family.parameters {
            let typed = inputs.given.get(&parameter.name);
            let shown = example.and_then(|example| {
                let (_, text, span) = example.sizes.iter().find(|(name, ..)| *name == parameter.name)?;
                Some((text, *span, example.unit))
            });
            let read = match (typed, shown, usual(parameter, unit)) {
                (Some(text), ..) => reading(parameter, text, chosen).map(|value| (value, Came::Typed(text.clone()))),
                (None, Some((text, _, unit)), _) => {
                    reading(parameter, text, unit).map(|value| (value, Came::Example(text.clone())))
                }
                (None, None, Ask::Text(text)) => reading(parameter, text, None).map(|value| (value, Came::Usual)),
                (None, None, Ask::Formula(_)) => continue,
            };
            match read {
                Ok(settled) => {
                    bound.settled.insert(&parameter.name, settled);
                }
                Err(error) => {
                    bound.hidden.insert(&parameter.name);
                    let finding = Diagnostic::refused("variant/value", format!("{}: {}", parameter.name, error.what));
                    let finding = match (typed, shown) {
                        (None, Some((_, span, _))) => finding.at(family.source.name(), span, "in this example"),
                        _ => finding.note(parameter.ask.clone()),
                    };
                    findings.push(finding.help(error.help));
                }
            }
        }
        bound
    }

    /// The value of one parameter.
    ///
    /// # Errors
    /// The fault of a usual value's formula; none where a finding hides the value already.
    pub(super) fn value(&self, parameter: &Parameter, scope: &Scope) -> Result<(Value, Came), Option<Fault>> {
        if let Some(settled) = self.settled.get(parameter.name.as_str()) {
            return Ok(settled.clone());
        }
        match usual(parameter, self.unit) {
            Ask::Formula(formula) if !self.hidden.contains(parameter.name.as_str()) => match eval(&formula.expr, scope)
            {
                Ok(value) => Ok((value, Came::Usual)),
                // A value that is not there was told of when it was looked for.
                Err(fault) => Err((fault.code != "formula/no-value").then_some(fault)),
            },
            Ask::Formula(_) | Ask::Text(_) => Err(None),
        }
    }

    /// Whether a value lies within the limits of its parameter; not where one cannot be worked out.
    pub(super) fn in_range(parameter: &Parameter, value: &Value, scope: &dyn Values) -> bool {
        matches!(outside(parameter, value, scope), Ok(None))
    }

    /// What is usual for a parameter in the unit of the drawing.
    pub(super) fn usual<'p>(&self, parameter: &'p Parameter) -> &'p Ask {
        usual(parameter, self.unit)
    }

    /// Tells of a value outside the limits of its parameter, and whether it is; or that a limit
    /// cannot be worked out.
    pub(super) fn check(
        &self,
        family: &Family,
        parameter: &Parameter,
        value: &Value,
        scope: &Scope,
        findings: &mut Vec<Diagnostic>,
    ) -> bool {
        let ends = |low: bool| if low { ("at least", "smallest") } else { ("at most", "largest") };
        let (formula, quantity, bound, low) = match outside(parameter, value, scope) {
            Ok(None) => return false,
            Ok(Some(outside)) => outside,
            Err((formula, fault, low)) => {
                let span = formula.verbatim.map_or(formula.span, |start| fault.span.moved(start));
                findings.push(
                    Diagnostic::refused(fault.code, fault.what).at(family.source.name(), span, fault.label).note(
                        format!("while working out the {} `{}` ({})", ends(low).1, parameter.name, parameter.ask),
                    ),
                );
                return false;
            }
        };
        // A limit is told inward to what can be typed: 15 mm is 0.5905 in, not 0.5906.
        let step = increment(self.unit);
        let inward = |value: f64| match (bound.dim, low) {
            (Dim::LENGTH, true) => Length::mm(value).up_to(step).as_mm(),
            (Dim::LENGTH, false) => Length::mm(value).down_to(step).as_mm(),
            _ => value,
        };
        let bound = Quantity::new(inward(bound.value), bound.dim);
        let say = |value: f64| say_value(&Value::Quantity(Quantity::new(value, bound.dim)), self.unit);
        let (word, end) = ends(low);
        // What was typed in another unit is told as it was typed, so that it is known again.
        let mut told = say(quantity.value);
        if let Some((_, Came::Typed(text) | Came::Example(text))) = self.settled.get(parameter.name.as_str())
            && in_other_unit(text, self.unit)
        {
            told = format!("{} ({told})", text.trim());
        }
        let headline = format!("{}: {told} is out of range; {word} {}.", parameter.name, say(bound.value));
        let finding = Diagnostic::refused("variant/out-of-range", headline).at(
            family.source.name(),
            formula.span,
            format!("the {end} that the family makes"),
        );
        // Where the limits leave nothing between them, none is nearest.
        let nearest = Self::in_range(parameter, &Value::Quantity(bound), scope);
        findings.push(if nearest {
            finding.help(format!(
                "The nearest is {}={}{}.",
                parameter.name,
                say(bound.value).replace(' ', ""),
                if_measured(parameter.measured)
            ))
        } else {
            finding
        });
        true
    }
}

/// What is said after another value of a size: one that is measured is what it is, whatever would do.
pub(super) const fn if_measured(measured: bool) -> &'static str {
    if measured { ", if it measures so" } else { "" }
}

/// The limit that a value is outside of, with both, and whether it is the lower one.
type Outside<'p> = (&'p Formula, Quantity, Quantity, bool);

/// The limit that a value is outside of.
///
/// # Errors
/// The first limit that cannot be worked out, why not, and whether it is the lower one; a value that
/// is not there was told of when it was looked for.
fn outside<'p>(
    parameter: &'p Parameter,
    value: &Value,
    scope: &dyn Values,
) -> Result<Option<Outside<'p>>, (&'p Formula, Fault, bool)> {
    let Value::Quantity(quantity) = value else { return Ok(None) };
    for (limit, low) in [(&parameter.from, true), (&parameter.to, false)] {
        let Some(formula) = limit else { continue };
        let bound = match eval(&formula.expr, scope) {
            Ok(Value::Quantity(bound)) => bound.value,
            Ok(_) => continue,
            Err(fault) if fault.code == "formula/no-value" => continue,
            Err(fault) => return Err((formula, fault, low)),
        };
        let dust = 1e-9 * bound.abs().max(1.0);
        let out = if low { quantity.value < bound - dust } else { quantity.value > bound + dust };
        if out {
            return Ok(Some((formula, *quantity, Quantity::new(bound, quantity.dim), low)));
        }
    }
    Ok(None)
}

fn usual(parameter: &Parameter, unit: Unit) -> &Ask {
    match (&parameter.usual_inch, unit) {
        (Some(inch), Unit::Inch) => inch,
        _ => &parameter.usual,
    }
}

fn example<'f>(family: &'f Family, name: &str, findings: &mut Vec<Diagnostic>) -> Option<&'f Example> {
    let found = family.example(name);
    if found.is_none() {
        let known: Vec<&str> = family.examples.iter().map(|example| example.name.as_str()).collect();
        let help = near_or_all(name, &known, &format!("Examples of {}", family.name));
        let headline = format!("{} has no example `{name}`.", family.name);
        findings.push(Diagnostic::refused("variant/unknown-example", headline).help(help));
    }
    found
}

fn check_names(family: &Family, inputs: &Inputs, findings: &mut Vec<Diagnostic>) {
    for name in inputs.given.keys().filter(|name| family.parameter(name).is_none()) {
        let known: Vec<&str> = family.parameters.iter().map(|parameter| parameter.name.as_str()).collect();
        let help = near_or_all(name, &known, &format!("Sizes of {}", family.name));
        let follows = family.derived(name).is_some();
        let what = if follows { "follows from the others and cannot be given" } else { "is no size of it" };
        findings
            .push(Diagnostic::refused("variant/unknown-size", format!("{}: `{name}` {what}.", family.name)).help(help));
    }
}

fn near_or_all(name: &str, known: &[&str], what: &str) -> String {
    match nearest(name, known.iter().copied()) {
        Some(near) => format!("Did you mean `{near}`?"),
        None => format!("{what}: {}.", known.join(", ")),
    }
}

//! From what a person typed to the values of the parameters.

use std::collections::BTreeMap;

use super::derive::Scope;
use crate::diag::{Diagnostic, nearest};
use crate::family::{Ask, Example, Family, Parameter, ParameterKind};
use crate::formula::{Value, eval, say_value};
use crate::quantity::{ReadError, Unit};
use crate::source::Span;

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

impl Inputs {
    /// The same, with one size changed.
    #[must_use]
    pub(super) fn with(&self, name: &str, text: String) -> Self {
        let mut changed = self.clone();
        changed.given.insert(name.to_owned(), text);
        changed
    }
}

/// The name under which findings speak of what was typed.
pub(super) const TYPED: &str = "sizes";

/// Reads one typed answer.
///
/// # Errors
/// What is wrong with it, and what would be right.
pub fn reading(parameter: &Parameter, text: &str, unit: Option<Unit>) -> Result<Value, ReadError> {
    let value = Value::read(parameter.kind.kind(), text, unit)?;
    if let Value::Quantity(count) = &value
        && parameter.kind == ParameterKind::Count
        && !(count.value.fract() == 0.0 && (0.0..=1e6).contains(&count.value))
    {
        return Err(ReadError { what: format!("`{text}` is no count."), help: "Write a whole number.".to_owned() });
    }
    if parameter.one_of.is_empty() {
        return Ok(value);
    }
    let same = |choice: &str| Value::read(parameter.kind.kind(), choice, None).is_ok_and(|known| known == value);
    if parameter.one_of.iter().any(|choice| same(&choice.text)) {
        return Ok(value);
    }
    let known: Vec<&str> = parameter.one_of.iter().map(|choice| choice.text.as_str()).collect();
    Err(ReadError {
        what: format!("`{text}` is not among the choices."),
        help: format!("Choices: {}.", known.join(", ")),
    })
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

pub(super) struct Bound<'f> {
    pub(super) unit: Unit,
    example: Option<&'f Example>,
    inputs: &'f Inputs,
}

impl<'f> Bound<'f> {
    /// Checks the names of what was typed, and settles the unit.
    pub(super) fn new(family: &'f Family, inputs: &'f Inputs, findings: &mut Vec<Diagnostic>) -> Self {
        let example = inputs.like.as_ref().and_then(|name| {
            let found = family.example(name);
            if found.is_none() {
                let known: Vec<&str> = family.examples.iter().map(|example| example.name.as_str()).collect();
                let help = nearest(name, known.iter().copied()).map_or_else(
                    || format!("Examples of {}: {}.", family.name, known.join(", ")),
                    |near| format!("Did you mean `{near}`?"),
                );
                findings.push(
                    Diagnostic::refused("variant/unknown-example", format!("{} has no example `{name}`.", family.name))
                        .help(help),
                );
            }
            found
        });
        for name in inputs.given.keys() {
            if family.parameter(name).is_some() {
                continue;
            }
            let known: Vec<&str> = family.parameters.iter().map(|parameter| parameter.name.as_str()).collect();
            let help = nearest(name, known.iter().copied()).map_or_else(
                || format!("Sizes of {}: {}.", family.name, known.join(", ")),
                |near| format!("Did you mean `{near}`?"),
            );
            let what = if family.derived(name).is_some() {
                "follows from the others and cannot be given"
            } else {
                "is no size of it"
            };
            findings.push(
                Diagnostic::refused("variant/unknown-size", format!("{}: `{name}` {what}.", family.name)).help(help),
            );
        }
        let unit = inputs.unit.or_else(|| example.and_then(|example| example.unit)).unwrap_or_default();
        Self { unit, example, inputs }
    }

    /// The value of one parameter; `None` where a finding hides it.
    pub(super) fn value(
        &self,
        family: &Family,
        parameter: &Parameter,
        scope: &Scope,
        findings: &mut Vec<Diagnostic>,
    ) -> Option<(Value, Came)> {
        if let Some(text) = self.inputs.given.get(&parameter.name) {
            return match reading(parameter, text, self.inputs.unit) {
                Ok(value) => Some((value, Came::Typed(text.clone()))),
                Err(error) => {
                    let headline = format!("{}: {}", parameter.name, error.what);
                    let finding =
                        Diagnostic::refused("variant/value", headline).at(TYPED, Span::default(), text.clone());
                    findings.push(finding.note(parameter.ask.clone()).help(error.help));
                    None
                }
            };
        }
        let example = self.example.and_then(|example| {
            let (_, text, span) = example.sizes.iter().find(|(name, ..)| *name == parameter.name)?;
            Some((text, *span, example.unit))
        });
        if let Some((text, span, unit)) = example {
            return match reading(parameter, text, unit) {
                Ok(value) => Some((value, Came::Example(text.clone()))),
                Err(error) => {
                    findings.push(
                        Diagnostic::refused("variant/value", format!("{}: {}", parameter.name, error.what))
                            .at(family.source.name(), span, "in this example")
                            .help(error.help),
                    );
                    None
                }
            };
        }
        let usual = match (&parameter.usual_inch, self.unit) {
            (Some(inch), Unit::Inch) => inch,
            _ => &parameter.usual,
        };
        let value = match usual {
            Ask::Text(text) => Value::read(parameter.kind.kind(), text, None).ok()?,
            Ask::Formula(formula) => match eval(&formula.expr, scope) {
                Ok(value) => value,
                // A value that is not there was told of when it was looked for.
                Err(fault) if fault.code == "formula/no-value" => return None,
                Err(fault) => {
                    let span = formula.verbatim.map_or(formula.span, |start| fault.span.moved(start));
                    findings.push(
                        Diagnostic::refused(fault.code, fault.what)
                            .at(family.source.name(), span, fault.label)
                            .note(format!("while working out the usual value of `{}`", parameter.name)),
                    );
                    return None;
                }
            },
        };
        Some((value, Came::Usual))
    }

    /// Checks a value against the limits of its parameter.
    pub(super) fn check(
        &self,
        family: &Family,
        parameter: &Parameter,
        value: &Value,
        scope: &Scope,
        findings: &mut Vec<Diagnostic>,
    ) {
        let Value::Quantity(quantity) = value else { return };
        for (limit, low) in [(&parameter.from, true), (&parameter.to, false)] {
            let Some(Value::Quantity(bound)) = limit.as_ref().and_then(|formula| eval(&formula.expr, scope).ok())
            else {
                continue;
            };
            let dust = 1e-9 * bound.value.abs().max(1.0);
            let out = if low { quantity.value < bound.value - dust } else { quantity.value > bound.value + dust };
            if !out {
                continue;
            }
            let say =
                |value: f64| say_value(&Value::Quantity(crate::quantity::Quantity::new(value, bound.dim)), self.unit);
            let (word, end) = if low { ("at least", "smallest") } else { ("at most", "largest") };
            let headline =
                format!("{}: {} is out of range; {word} {}.", parameter.name, say(quantity.value), say(bound.value));
            let span = limit.as_ref().map_or(parameter.span, |formula| formula.span);
            findings.push(
                Diagnostic::refused("variant/out-of-range", headline)
                    .at(family.source.name(), span, format!("the {end} that the family makes"))
                    .help(format!("The nearest is {}={}.", parameter.name, say(bound.value).replace(' ', ""))),
            );
        }
    }
}

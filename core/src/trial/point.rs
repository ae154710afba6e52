//! A set of sizes to try, and what each size can be.

use std::collections::BTreeMap;

use super::dice::Dice;
use crate::family::{Family, Formula, Parameter, ParameterKind};
use crate::formula::{Kind, Value, eval, say_value};
use crate::quantity::{Dim, Quantity, Unit, fixed};
use crate::variant::{Inputs, Variant};

/// A set of sizes, as they would be typed.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Point {
    pub(super) unit: Unit,
    pub(super) like: Option<String>,
    pub(super) given: BTreeMap<String, String>,
}

impl Point {
    pub(super) fn usual(unit: Unit) -> Self {
        Self { unit, ..Self::default() }
    }

    pub(super) fn with(&self, name: &str, text: String) -> Self {
        let mut point = self.clone();
        point.given.insert(name.to_owned(), text);
        point
    }

    pub(super) fn inputs(&self) -> Inputs {
        Inputs { unit: Some(self.unit), like: self.like.clone(), given: self.given.clone() }
    }

    /// As a person would type it behind `make`.
    pub(super) fn say(&self) -> String {
        let mut words: Vec<String> = Vec::new();
        if let Some(like) = &self.like {
            words.push(format!("--like {like}"));
        }
        words.extend(self.given.iter().map(|(name, text)| {
            if text.contains(' ') { format!("{name}='{text}'") } else { format!("{name}={text}") }
        }));
        if self.unit == Unit::Inch && self.like.is_none() {
            words.push("--unit in".to_owned());
        }
        if words.is_empty() { "the usual sizes".to_owned() } else { words.join(" ") }
    }
}

/// What a parameter can be.
#[derive(Clone, Debug)]
pub(super) enum Reach {
    /// Anything between two values of this dimension.
    Range { low: f64, high: f64, dim: Dim, whole: bool },
    /// One of these, which the family names.
    Choices(Vec<String>),
    /// Some of very many.
    Some(Vec<String>),
    /// Nothing that this room could think of: only what is usual is tried.
    Usual,
}

/// What each parameter can be, in the order of the family; limits that name other sizes are taken
/// at the usual ones.
pub(super) fn reaches(family: &Family, usual: &Variant) -> Vec<Reach> {
    family.parameters.iter().map(|parameter| reach(parameter, usual)).collect()
}

fn reach(parameter: &Parameter, usual: &Variant) -> Reach {
    if !parameter.one_of.is_empty() {
        return Reach::Choices(parameter.one_of.iter().map(|choice| choice.text.clone()).collect());
    }
    let whole = parameter.kind == ParameterKind::Count;
    match parameter.kind.kind() {
        Kind::Quantity(dim) => {
            let bound = |formula: &Option<Formula>| match eval(&formula.as_ref()?.expr, usual) {
                Ok(Value::Quantity(quantity)) => Some(quantity.value),
                _ => None,
            };
            let now = usual.entries.iter().find(|entry| entry.name == parameter.name).map(|entry| &entry.value);
            let now = if let Some(Value::Quantity(now)) = now { now.value } else { 1.0 };
            // Without limits: from a quarter of what is usual to four times as much.
            let low = bound(&parameter.from).unwrap_or(now / 4.0);
            let high = bound(&parameter.to).unwrap_or(now * 4.0);
            let (low, high) = if whole { (low.ceil().max(0.0), high.floor()) } else { (low, high) };
            if low > high { Reach::Usual } else { Reach::Range { low, high, dim, whole } }
        }
        Kind::Thread => {
            Reach::Some(["M3", "M4", "M5", "M6", "M8", "8-32", "10-32", "1/4-20"].map(str::to_owned).into())
        }
        Kind::Material => {
            Reach::Some(crate::standards::material::all().into_iter().map(|material| material.name).collect())
        }
        Kind::Fit => {
            Reach::Some(["h7", "h9", "g6", "f7", "e9", "d9", "H7", "js6", "0.05 to 0.10 mm"].map(str::to_owned).into())
        }
        Kind::Places => Reach::Some(["none", "1/1", "2/1"].map(str::to_owned).into()),
        Kind::Truth => Reach::Choices(["yes", "no"].map(str::to_owned).into()),
        _ => Reach::Usual,
    }
}

impl Reach {
    /// What stands at its ends, or every choice.
    pub(super) fn ends(&self) -> Vec<String> {
        match self {
            Self::Range { low, high, dim, .. } if low < high => vec![typed(*low, *dim), typed(*high, *dim)],
            Self::Range { low, dim, .. } => vec![typed(*low, *dim)],
            Self::Choices(choices) | Self::Some(choices) => choices.clone(),
            Self::Usual => Vec::new(),
        }
    }

    /// Anything that it can be.
    pub(super) fn any(&self, dice: &mut Dice) -> Option<String> {
        match self {
            Self::Range { low, high, .. } => {
                let value = low + (high - low) * dice.part();
                Some(self.text(value))
            }
            Self::Choices(choices) | Self::Some(choices) => dice.pick(choices).cloned(),
            Self::Usual => None,
        }
    }

    /// Something near a value, sometimes very near; a choice is any choice.
    pub(super) fn near(&self, now: Option<f64>, dice: &mut Dice) -> Option<String> {
        let (Self::Range { low, high, .. }, Some(now)) = (self, now) else { return self.any(dice) };
        let part = dice.pick(&[0.03, 0.1, 0.3]).copied().unwrap_or(0.1);
        let value = (now + (high - low) * part * (2.0 * dice.part() - 1.0)).clamp(*low, *high);
        Some(self.text(value))
    }

    /// A value of a range as it can be typed: readable figures within the limits.
    pub(super) fn text(&self, value: f64) -> String {
        match self {
            Self::Range { low, high, dim, whole } => {
                let value = if *whole { value.round() } else { value };
                let readable = (value * 1000.0).round() / 1000.0;
                let value = if (*low..=*high).contains(&readable) { readable } else { value };
                typed(value, *dim)
            }
            Self::Choices(_) | Self::Some(_) | Self::Usual => fixed(value, 3),
        }
    }

    /// Into how many stretches it is divided to see where nothing can be made, and which of them
    /// a value lies in.
    pub(super) fn stretch(&self, value: &Value, unit: Unit) -> Option<usize> {
        match (self, value) {
            (Self::Range { low, high, .. }, Value::Quantity(quantity)) => {
                let count = self.stretches();
                let wide = (high - low) / count as f64;
                if wide <= 0.0 || quantity.value < *low || quantity.value > *high {
                    return (wide <= 0.0).then_some(0);
                }
                (0..count).rev().find(|at| quantity.value >= low + wide * *at as f64)
            }
            (Self::Choices(choices), value) => {
                let said = say_value(value, unit);
                choices.iter().position(|choice| *choice == said)
            }
            _ => None,
        }
    }

    /// How many stretches there are.
    pub(super) fn stretches(&self) -> usize {
        match self {
            Self::Range { low, high, whole: true, .. } if high - low < 12.0 => {
                (0..12_usize).find(|count| *count as f64 >= high - low + 0.5).unwrap_or(12).max(1)
            }
            Self::Range { .. } => 10,
            Self::Choices(choices) => choices.len(),
            Self::Some(_) | Self::Usual => 0,
        }
    }

    /// A choice by its place.
    pub(super) fn choice(&self, at: usize) -> Option<&str> {
        match self {
            Self::Choices(choices) => choices.get(at).map(String::as_str),
            Self::Range { .. } | Self::Some(_) | Self::Usual => None,
        }
    }

    /// Where so many stretches end, in words: `8 mm`.
    pub(super) fn end(&self, stretches: usize, unit: Unit) -> String {
        let Self::Range { low, high, dim, whole } = self else { return String::new() };
        let value = low + (high - low) / self.stretches() as f64 * stretches as f64;
        let value = if *whole { value.round() } else { value };
        say_value(&Value::Quantity(Quantity::new(value, *dim)), unit)
    }

    /// Something in a stretch.
    pub(super) fn inside(&self, stretch: usize, dice: &mut Dice) -> Option<String> {
        match self {
            Self::Range { low, high, .. } => {
                let wide = (high - low) / self.stretches() as f64;
                Some(self.text(low + wide * (stretch as f64 + 0.05 + 0.9 * dice.part())))
            }
            Self::Choices(choices) => choices.get(stretch).cloned(),
            Self::Some(_) | Self::Usual => None,
        }
    }
}

/// A value with its unit, as it is read back.
fn typed(value: f64, dim: Dim) -> String {
    Quantity::new(value, dim).typed(Unit::Mm)
}

//! The functions of formulas: one table.

use super::{Kind, Value};
use crate::quantity::{Angle, Dim, Quantity, trig};

/// A function by its name.
#[derive(Clone, Copy, Debug)]
pub struct Function {
    /// Its name, as mathematics gives it.
    pub name: &'static str,
    /// Its arguments, in words.
    pub takes: &'static str,
    /// What it gives, in one sentence.
    pub about: &'static str,
    /// The kind of the answer from the kinds of the arguments.
    pub(super) gives: fn(&[Dim]) -> Result<Dim, &'static str>,
    pub(super) call: fn(&[f64]) -> f64,
}

/// All functions, by name.
pub fn functions() -> &'static [Function] {
    FUNCTIONS
}

pub(super) fn function(name: &str) -> Option<&'static Function> {
    FUNCTIONS.iter().find(|function| function.name == name)
}

const FUNCTIONS: &[Function] = &[
    Function { name: "abs", takes: "a value", about: "The value without its sign.", gives: one, call: |a| a[0].abs() },
    Function {
        name: "acos",
        takes: "a number",
        about: "The angle whose cosine it is.",
        gives: to_angle,
        call: |a| trig::acos(a[0]).as_rad(),
    },
    Function {
        name: "asin",
        takes: "a number",
        about: "The angle whose sine it is.",
        gives: to_angle,
        call: |a| trig::asin(a[0]).as_rad(),
    },
    Function {
        name: "atan",
        takes: "a number",
        about: "The angle whose tangent it is.",
        gives: to_angle,
        call: |a| trig::atan2(a[0], 1.0).as_rad(),
    },
    Function {
        name: "ceil",
        takes: "a number, or a value and a step",
        about: "The next whole number, or whole step, at or above.",
        gives: stepped,
        call: |a| whole(a, |x| (x - 1e-6).ceil()),
    },
    Function {
        name: "cos",
        takes: "an angle",
        about: "Cosine.",
        gives: of_angle,
        call: |a| trig::cos(Angle::rad(a[0])),
    },
    Function {
        name: "floor",
        takes: "a number, or a value and a step",
        about: "The next whole number, or whole step, at or below.",
        gives: stepped,
        call: |a| whole(a, |x| (x + 1e-6).floor()),
    },
    Function {
        name: "max",
        takes: "two or more values of one kind",
        about: "The largest.",
        gives: alike,
        call: |a| a.iter().copied().fold(f64::NEG_INFINITY, f64::max),
    },
    Function {
        name: "min",
        takes: "two or more values of one kind",
        about: "The smallest.",
        gives: alike,
        call: |a| a.iter().copied().fold(f64::INFINITY, f64::min),
    },
    Function {
        name: "round",
        takes: "a number, or a value and a step",
        about: "The nearest whole number, or whole step; halves go away from zero.",
        gives: stepped,
        call: |a| whole(a, f64::round),
    },
    Function { name: "sin", takes: "an angle", about: "Sine.", gives: of_angle, call: |a| trig::sin(Angle::rad(a[0])) },
    Function { name: "sqrt", takes: "a value", about: "Square root.", gives: root, call: |a| a[0].sqrt() },
    Function {
        name: "tan",
        takes: "an angle",
        about: "Tangent.",
        gives: of_angle,
        call: |a| trig::tan(Angle::rad(a[0])),
    },
];

/// Names that stand for numbers.
pub(super) fn constant(name: &str) -> Option<f64> {
    (name == "pi").then_some(std::f64::consts::PI)
}

fn one(dims: &[Dim]) -> Result<Dim, &'static str> {
    match dims {
        [dim] => Ok(*dim),
        _ => Err("one value"),
    }
}

fn root(dims: &[Dim]) -> Result<Dim, &'static str> {
    one(dims)?.root().ok_or("a value whose dimension has a root, such as an area")
}

fn of_angle(dims: &[Dim]) -> Result<Dim, &'static str> {
    if dims == [Dim::ANGLE] { Ok(Dim::NUMBER) } else { Err("one angle") }
}

fn to_angle(dims: &[Dim]) -> Result<Dim, &'static str> {
    if dims == [Dim::NUMBER] { Ok(Dim::ANGLE) } else { Err("one number") }
}

fn alike(dims: &[Dim]) -> Result<Dim, &'static str> {
    match dims {
        [first, rest @ ..] if !rest.is_empty() && rest.iter().all(|dim| dim == first) => Ok(*first),
        _ => Err("two or more values of one kind"),
    }
}

fn stepped(dims: &[Dim]) -> Result<Dim, &'static str> {
    match dims {
        [Dim::NUMBER] => Ok(Dim::NUMBER),
        [value, step] if value == step => Ok(*value),
        _ => Err("a number, or a value and a step of the same kind"),
    }
}

/// Whole steps; a value within a millionth of a step counts as on it, since lengths come from
/// decimal text and binary sums.
fn whole(arguments: &[f64], how: fn(f64) -> f64) -> f64 {
    match arguments {
        [value, step] => (how(value / step) * step * 1e9).round() / 1e9,
        _ => how(arguments[0]),
    }
}

/// The answer of a function as a value.
pub(super) fn call(function: &Function, arguments: &[Value]) -> Option<Value> {
    let dims: Vec<Dim> = arguments
        .iter()
        .filter_map(|argument| match argument.kind() {
            Kind::Quantity(dim) => Some(dim),
            _ => None,
        })
        .collect();
    let dim = (function.gives)(&dims).ok()?;
    let numbers: Vec<f64> = arguments.iter().map(Value::number).collect();
    let value = (function.call)(&numbers);
    value.is_finite().then_some(Value::Quantity(Quantity::new(value, dim)))
}

//! The value of a formula.

use super::fields::field;
use super::functions::{call, constant, function};
use super::{Expr, ExprKind, Fault, Operator, Value, sentence};
use crate::quantity::Quantity;
use crate::source::Span;

/// The values of the names that a formula uses.
pub trait Values {
    /// The value of a name; dotted names are asked for whole.
    fn value(&self, name: &str) -> Option<Value>;
}

/// Works out a formula whose kind [`infer`](super::infer) has found.
///
/// # Errors
/// A division by nothing, a root of less than nothing, a value out of reach, a look-up without
/// an answer.
pub fn eval(expr: &Expr, values: &dyn Values) -> Result<Value, Fault> {
    match &expr.kind {
        ExprKind::Number(quantity) => Ok(Value::Quantity(*quantity)),
        ExprKind::Word(word) => Ok(Value::Word(word.clone())),
        ExprKind::Name(name) => values
            .value(name)
            .or_else(|| constant(name).map(|number| Value::Quantity(Quantity::number(number))))
            .ok_or_else(|| {
                Fault::new("formula/no-value", expr.span, format!("`{name}` has no value here."), "no value")
            }),
        ExprKind::Field(of, name, arguments) => {
            if let ExprKind::Name(base) = &of.kind
                && arguments.is_empty()
                && let Some(value) = values.value(&format!("{base}.{name}"))
            {
                return Ok(value);
            }
            let value = eval(of, values)?;
            let arguments: Vec<Value> =
                arguments.iter().map(|argument| eval(argument, values)).collect::<Result<_, _>>()?;
            let found = field(value.kind(), name).ok_or_else(|| wrong(expr.span))?;
            let answer = (found.ask)(&value, &arguments)
                .map_err(|what| Fault::new("formula/no-answer", expr.span, sentence(&what), "no answer to this"))?;
            finite(answer, expr.span)
        }
        ExprKind::Call(name, arguments) => {
            let arguments: Vec<Value> =
                arguments.iter().map(|argument| eval(argument, values)).collect::<Result<_, _>>()?;
            let found = function(name).ok_or_else(|| wrong(expr.span))?;
            call(found, &arguments).ok_or_else(|| {
                Fault::new(
                    "formula/no-number",
                    expr.span,
                    format!("`{name}` has no answer for this value."),
                    "no number",
                )
            })
        }
        ExprKind::Minus(of) => match eval(of, values)? {
            Value::Quantity(quantity) => Ok(Value::Quantity(Quantity::new(-quantity.value, quantity.dim))),
            _ => Err(wrong(expr.span)),
        },
        ExprKind::Not(of) => Ok(Value::Truth(!truth(of, values)?)),
        ExprKind::Power(of, exponent) => {
            let Value::Quantity(base) = eval(of, values)? else { return Err(wrong(expr.span)) };
            let dim = base.dim.power(*exponent).ok_or_else(|| wrong(expr.span))?;
            finite(Value::Quantity(Quantity::new(base.value.powi(i32::from(*exponent)), dim)), expr.span)
        }
        ExprKind::Pair(operator, a, b) => pair(*operator, expr.span, a, b, values),
        ExprKind::Compare(first, rest) => {
            let mut left = eval(first, values)?;
            for (operator, other) in rest {
                let right = eval(other, values)?;
                if !compare(*operator, &left, &right) {
                    return Ok(Value::Truth(false));
                }
                left = right;
            }
            Ok(Value::Truth(true))
        }
        ExprKind::Choose(condition, then, otherwise) => {
            eval(if truth(condition, values)? { then } else { otherwise }, values)
        }
    }
}

fn truth(expr: &Expr, values: &dyn Values) -> Result<bool, Fault> {
    match eval(expr, values)? {
        Value::Truth(truth) => Ok(truth),
        _ => Err(wrong(expr.span)),
    }
}

fn pair(operator: Operator, span: Span, a: &Expr, b: &Expr, values: &dyn Values) -> Result<Value, Fault> {
    match operator {
        Operator::And => return Ok(Value::Truth(truth(a, values)? && truth(b, values)?)),
        Operator::Or => return Ok(Value::Truth(truth(a, values)? || truth(b, values)?)),
        _ => {}
    }
    let (Value::Quantity(x), Value::Quantity(y)) = (eval(a, values)?, eval(b, values)?) else {
        return Err(wrong(span));
    };
    let (value, dim) = match operator {
        Operator::Plus => (x.value + y.value, Some(x.dim)),
        Operator::Less => (x.value - y.value, Some(x.dim)),
        Operator::Times => (x.value * y.value, x.dim.times(y.dim)),
        _ if y.value == 0.0 => {
            return Err(Fault::new("formula/division", b.span, "This divides by nothing.", "zero here"));
        }
        _ => (x.value / y.value, x.dim.over(y.dim)),
    };
    let dim = dim.ok_or_else(|| wrong(span))?;
    finite(Value::Quantity(Quantity::new(value, dim)), span)
}

/// Compares two values. Two numbers within a billionth of each other (or of one inside unit) are
/// the same: sizes come from decimal text and binary sums, and a wall of exactly the least
/// thickness must hold.
fn compare(operator: Operator, a: &Value, b: &Value) -> bool {
    match (a, b) {
        (Value::Quantity(a), Value::Quantity(b)) => {
            let (a, b) = (a.value, b.value);
            let same = (a - b).abs() <= 1e-9 * a.abs().max(b.abs()).max(1.0);
            match operator {
                Operator::Same => same,
                Operator::Differs => !same,
                Operator::Below => a < b && !same,
                Operator::AtMost => a < b || same,
                Operator::Above => a > b && !same,
                _ => a > b || same,
            }
        }
        (a, b) => (a == b) == (operator == Operator::Same),
    }
}

fn finite(value: Value, span: Span) -> Result<Value, Fault> {
    match &value {
        Value::Quantity(quantity) if !quantity.value.is_finite() => {
            Err(Fault::new("formula/no-number", span, "This comes to no number.", "out of reach"))
        }
        _ => Ok(value),
    }
}

fn wrong(span: Span) -> Fault {
    Fault::new("formula/kind", span, "This value is of another kind than it should be.", "here")
}

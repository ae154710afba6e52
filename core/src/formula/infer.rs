//! The kind of a formula, before any value is known.

use super::fields::{field, fields};
use super::functions::{constant, function, functions};
use super::{Expr, ExprKind, Fault, Kind, Operator, sentence};
use crate::diag::nearest;
use crate::quantity::Dim;
use crate::source::Span;

/// What is known of the names that a formula may use.
pub trait Kinds {
    /// The kind of a name; dotted names (`tongue_width.most`) are asked for whole.
    fn kind(&self, name: &str) -> Option<Kind>;
    /// Every name, for the sake of a mistyped one.
    fn all(&self) -> Vec<&str>;
}

/// The kind of a formula; `None` where a fault hides it. All faults are added to `faults`.
pub fn infer(expr: &Expr, kinds: &dyn Kinds, faults: &mut Vec<Fault>) -> Option<Kind> {
    Inference { kinds, faults }.kind(expr)
}

struct Inference<'a> {
    kinds: &'a dyn Kinds,
    faults: &'a mut Vec<Fault>,
}

impl Inference<'_> {
    fn fault(&mut self, code: &'static str, span: Span, what: String, label: impl Into<String>) -> Option<Kind> {
        self.faults.push(Fault::new(code, span, what, label));
        None
    }

    fn kind(&mut self, expr: &Expr) -> Option<Kind> {
        match &expr.kind {
            ExprKind::Number(quantity) => Some(Kind::Quantity(quantity.dim)),
            ExprKind::Word(_) => Some(Kind::Word),
            ExprKind::Name(name) => self.name(name, expr.span),
            ExprKind::Field(of, name, arguments) => self.field(expr, of, name, arguments),
            ExprKind::Call(name, arguments) => self.call(expr.span, name, arguments),
            ExprKind::Minus(of) => self.dim(of).map(Kind::Quantity),
            ExprKind::Not(of) => self.truth(of),
            ExprKind::Pair(operator, a, b) => self.pair(*operator, expr.span, a, b),
            ExprKind::Power(of, exponent) => {
                let dim = self.dim(of)?;
                match dim.power(*exponent) {
                    Some(dim) => Some(Kind::Quantity(dim)),
                    None => {
                        self.fault("formula/power", expr.span, "This power is out of reach.".to_owned(), "too large")
                    }
                }
            }
            ExprKind::Compare(first, rest) => {
                let kind = self.kind(first);
                for (operator, other) in rest {
                    let other_kind = self.kind(other);
                    let ordered = matches!(operator, Operator::Same | Operator::Differs);
                    if let (Some(a), Some(b)) = (kind, other_kind) {
                        self.comparable(a, b, ordered, first.span.with(other.span));
                    }
                }
                Some(Kind::Truth)
            }
            ExprKind::Choose(condition, then, otherwise) => {
                self.truth(condition);
                let a = self.kind(then);
                let b = self.kind(otherwise);
                match (a, b) {
                    (Some(a), Some(b)) if a != b => {
                        let what = format!("The two ways of this choice are of different kinds: {a} and {b}.");
                        self.fault("formula/unit-mismatch", expr.span, what, format!("{a} here, {b} there"))
                    }
                    (a, b) => a.or(b),
                }
            }
        }
    }

    fn name(&mut self, name: &str, span: Span) -> Option<Kind> {
        if let Some(kind) = self.kinds.kind(name) {
            return Some(kind);
        }
        if constant(name).is_some() {
            return Some(Kind::NUMBER);
        }
        let mut fault = Fault::new("formula/unknown-name", span, format!("`{name}` is not known."), "not known");
        if let Some(near) = nearest(name, self.kinds.all()) {
            fault = fault.help(format!("Did you mean `{near}`?"));
        } else if function(name).is_some() {
            fault = fault.help(format!("`{name}` is a function: write `{name}(…)`."));
        }
        self.faults.push(fault);
        None
    }

    fn field(&mut self, expr: &Expr, of: &Expr, name: &str, arguments: &[Expr]) -> Option<Kind> {
        if let ExprKind::Name(base) = &of.kind
            && arguments.is_empty()
            && let Some(kind) = self.kinds.kind(&format!("{base}.{name}"))
        {
            return Some(kind);
        }
        let kind = self.kind(of);
        let given: Vec<Option<Kind>> = arguments.iter().map(|argument| self.kind(argument)).collect();
        let kind = kind?;
        let Some(found) = field(kind, name) else {
            let known: Vec<&str> = fields().iter().filter(|field| field.of == kind).map(|field| field.name).collect();
            let mut fault =
                Fault::new("formula/unknown-field", expr.span, format!("A {kind} has no `{name}`."), "not known");
            fault = match nearest(name, known.iter().copied()) {
                Some(near) => fault.help(format!("Did you mean `{near}`?")),
                None if known.is_empty() => fault,
                None => fault.help(format!("A {kind} has: {}.", known.join(", "))),
            };
            self.faults.push(fault);
            return None;
        };
        let fits = given.len() == found.takes.len()
            && given.iter().zip(found.takes).all(|(given, takes)| given.is_none_or(|given| given == *takes));
        if fits {
            return Some(found.gives);
        }
        let takes: Vec<String> = found.takes.iter().map(Kind::to_string).collect();
        let takes = if takes.is_empty() { "nothing".to_owned() } else { takes.join(", ") };
        let what = format!("`{name}` of a {kind} takes {takes}.");
        self.fault("formula/arguments", expr.span, what, said(&given))
    }

    fn call(&mut self, span: Span, name: &str, arguments: &[Expr]) -> Option<Kind> {
        let given: Vec<Option<Kind>> = arguments.iter().map(|argument| self.kind(argument)).collect();
        let Some(found) = function(name) else {
            let mut fault =
                Fault::new("formula/unknown-function", span, format!("There is no function `{name}`."), "not known");
            let known = functions().iter().map(|function| function.name);
            fault = match nearest(name, known.clone()) {
                Some(near) => fault.help(format!("Did you mean `{near}`?")),
                None => fault.help(format!("Functions: {}.", known.collect::<Vec<_>>().join(", "))),
            };
            self.faults.push(fault);
            return None;
        };
        let mut dims = Vec::new();
        for kind in &given {
            match (*kind)? {
                Kind::Quantity(dim) => dims.push(dim),
                other => {
                    let what = format!("`{name}` takes {}.", found.takes);
                    return self.fault("formula/arguments", span, what, format!("a {other} is given"));
                }
            }
        }
        match (found.gives)(&dims) {
            Ok(dim) => Some(Kind::Quantity(dim)),
            Err(takes) => self.fault("formula/arguments", span, format!("`{name}` takes {takes}."), said(&given)),
        }
    }

    fn pair(&mut self, operator: Operator, span: Span, a: &Expr, b: &Expr) -> Option<Kind> {
        match operator {
            Operator::And | Operator::Or => {
                self.truth(a);
                self.truth(b);
                Some(Kind::Truth)
            }
            Operator::Times | Operator::Over => {
                let (a, b) = (self.dim(a), self.dim(b));
                let (a, b) = (a?, b?);
                let dim = if operator == Operator::Times { a.times(b) } else { a.over(b) };
                match dim {
                    Some(dim) => Some(Kind::Quantity(dim)),
                    None => self.fault("formula/power", span, "This power is out of reach.".to_owned(), "too large"),
                }
            }
            _ => {
                let (x, y) = (self.dim(a), self.dim(b));
                let (x, y) = (x?, y?);
                if x == y {
                    return Some(Kind::Quantity(x));
                }
                let (verb, join) =
                    if operator == Operator::Plus { ("added", "and") } else { ("taken from each other", "and") };
                let what = sentence(&format!("{x} {join} {y} cannot be {verb}"));
                let mut fault =
                    Fault::new("formula/unit-mismatch", span, what, format!("{x} on the left, {y} on the right"));
                if (x == Dim::NUMBER || y == Dim::NUMBER) && (x == Dim::LENGTH || y == Dim::LENGTH) {
                    fault = fault.help("A length has a unit: `2 mm`, not `2`.");
                }
                self.faults.push(fault);
                None
            }
        }
    }

    fn dim(&mut self, expr: &Expr) -> Option<Dim> {
        match self.kind(expr)? {
            Kind::Quantity(dim) => Some(dim),
            other => {
                let what = format!("A {other} cannot be reckoned with.");
                self.fault("formula/not-a-number", expr.span, what, format!("a {other}"));
                None
            }
        }
    }

    fn truth(&mut self, expr: &Expr) -> Option<Kind> {
        match self.kind(expr)? {
            Kind::Truth => Some(Kind::Truth),
            other => {
                let what = "A comparison should stand here.".to_owned();
                self.fault("formula/not-a-truth", expr.span, what, format!("this is a {other}"))
            }
        }
    }

    fn comparable(&mut self, a: Kind, b: Kind, same_only: bool, span: Span) {
        let fits = match (a, b) {
            (Kind::Quantity(a), Kind::Quantity(b)) => a == b,
            (Kind::Word, Kind::Word) | (Kind::Truth, Kind::Truth) => same_only,
            _ => false,
        };
        if !fits {
            let what = format!("A {a} and a {b} cannot be compared so.");
            let mut fault =
                Fault::new("formula/unit-mismatch", span, what, format!("{a} on the left, {b} on the right"));
            if matches!(a, Kind::Thread | Kind::Material) && b == Kind::Word {
                fault = fault.help("Compare its name: `….name = '…'`.");
            }
            self.faults.push(fault);
        }
    }
}

fn said(given: &[Option<Kind>]) -> String {
    if given.is_empty() {
        return "nothing is given".to_owned();
    }
    let words: Vec<String> = given.iter().map(|kind| kind.map_or("?".to_owned(), |kind| kind.to_string())).collect();
    format!("given: {}", words.join(", "))
}

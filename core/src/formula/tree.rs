//! The tree of a formula.

use std::collections::BTreeSet;

use crate::quantity::Quantity;
use crate::source::Span;

/// A formula or a part of one, with its place in the text.
#[derive(Clone, Debug, PartialEq)]
pub struct Expr {
    /// Where it stands.
    pub span: Span,
    /// What it is.
    pub kind: ExprKind,
}

/// The kinds of expressions.
#[derive(Clone, Debug, PartialEq)]
pub enum ExprKind {
    /// A number with its dimension.
    Number(Quantity),
    /// A word in quotes.
    Word(String),
    /// A name.
    Name(String),
    /// A field of what a standard knows, perhaps with arguments: `screw.major`.
    Field(Box<Expr>, String, Vec<Expr>),
    /// A function of some arguments.
    Call(String, Vec<Expr>),
    /// Minus.
    Minus(Box<Expr>),
    /// `not`.
    Not(Box<Expr>),
    /// Two values and what is done with them.
    Pair(Operator, Box<Expr>, Box<Expr>),
    /// A whole power.
    Power(Box<Expr>, i8),
    /// A row of comparisons: all must be so.
    Compare(Box<Expr>, Vec<(Operator, Expr)>),
    /// `if … then … else …`.
    Choose(Box<Expr>, Box<Expr>, Box<Expr>),
}

/// What is done with two values.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Operator {
    /// Both must be so.
    And,
    /// One must be so.
    Or,
    /// Sum.
    Plus,
    /// Difference.
    Less,
    /// Product.
    Times,
    /// Quotient.
    Over,
    /// Smaller.
    Below,
    /// Smaller or the same.
    AtMost,
    /// The same.
    Same,
    /// Not the same.
    Differs,
    /// Larger or the same.
    AtLeast,
    /// Larger.
    Above,
}

impl Operator {
    /// Its sign in a sentence.
    pub const fn sign(self) -> &'static str {
        match self {
            Self::And => "and",
            Self::Or => "or",
            Self::Plus => "+",
            Self::Less => "−",
            Self::Times => "×",
            Self::Over => "/",
            Self::Below => "<",
            Self::AtMost => "≤",
            Self::Same => "=",
            Self::Differs => "≠",
            Self::AtLeast => "≥",
            Self::Above => ">",
        }
    }
}

/// The names that a formula uses, dotted names (`tongue_width.most`) by their first part.
pub fn names(expr: &Expr) -> BTreeSet<&str> {
    let mut found = BTreeSet::new();
    collect(expr, &mut found);
    found
}

fn collect<'e>(expr: &'e Expr, found: &mut BTreeSet<&'e str>) {
    match &expr.kind {
        ExprKind::Number(_) | ExprKind::Word(_) => {}
        ExprKind::Name(name) => {
            found.insert(name);
        }
        ExprKind::Field(of, _, arguments) => {
            collect(of, found);
            collect_all(arguments, found);
        }
        ExprKind::Call(_, arguments) => collect_all(arguments, found),
        ExprKind::Minus(of) | ExprKind::Not(of) | ExprKind::Power(of, _) => collect(of, found),
        ExprKind::Pair(_, a, b) => {
            collect(a, found);
            collect(b, found);
        }
        ExprKind::Compare(first, rest) => {
            collect(first, found);
            for (_, other) in rest {
                collect(other, found);
            }
        }
        ExprKind::Choose(condition, then, otherwise) => {
            collect(condition, found);
            collect(then, found);
            collect(otherwise, found);
        }
    }
}

fn collect_all<'e>(exprs: &'e [Expr], found: &mut BTreeSet<&'e str>) {
    for expr in exprs {
        collect(expr, found);
    }
}

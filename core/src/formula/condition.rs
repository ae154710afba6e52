//! Conditions in sentences: with their numbers put in, or why they do not apply.
//!
//! The condition of a rule often begins with a guard: `not pins or web >= 1 mm` speaks of pins, and
//! of a part without pins it says nothing. What a guard keeps away is never worked out here: the
//! web beside a pin that is not there is no size of anything.

use super::{Expr, ExprKind, Operator, Value, Values, eval, say_value};
use crate::quantity::Unit;

/// A condition as people read it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Worked {
    /// Whether it says anything of these values: a guard that holds makes it not apply.
    pub applies: bool,
    /// It with its numbers, `7.5 mm ≥ 7.5 mm`, or why it does not apply: `does not apply: pins = no`.
    pub words: String,
}

/// A condition with the numbers in place of its formulas; choices stand beside their names, as
/// `pins = yes`. `text` is what the condition was read from.
pub fn say_condition(expr: &Expr, text: &str, values: &dyn Values, unit: Unit) -> Worked {
    let told = Teller { text, values, unit }.tell(expr);
    let words = if told.applies { told.words } else { format!("does not apply: {}", told.words) };
    Worked { applies: told.applies, words }
}

/// A condition without values, as the text that it was read from has it: what must be so, and
/// where it does not apply because of a guard.
pub fn say_guarded(expr: &Expr, text: &str) -> (String, Option<String>) {
    let words =
        |of: &[&Expr]| of.iter().map(|one| text.get(one.span.range()).unwrap_or("…")).collect::<Vec<_>>().join(" or ");
    let (guards, matter) = parted(expr);
    (words(&matter), (!guards.is_empty()).then(|| words(&guards)))
}

/// The alternatives of a condition: the guards, which are of choices alone, and what it is about.
/// Where all are of choices, it is about the last.
fn parted(expr: &Expr) -> (Vec<&Expr>, Vec<&Expr>) {
    let mut all = Vec::new();
    chain(expr, Operator::Or, &mut all);
    let (mut guards, mut matter): (Vec<_>, Vec<_>) = all.into_iter().partition(|one| is_choice(one));
    if matter.is_empty() {
        matter.extend(guards.pop());
    }
    (guards, matter)
}

/// What a row of `and` or of `or` consists of.
fn chain<'e>(expr: &'e Expr, joined: Operator, found: &mut Vec<&'e Expr>) {
    match &expr.kind {
        ExprKind::Pair(operator, a, b) if *operator == joined => {
            chain(a, joined, found);
            chain(b, joined, found);
        }
        _ => found.push(expr),
    }
}

/// Whether it is made of yes and no, of what is the same and what is not: of choices. What is more
/// or less than something is measured.
fn is_choice(expr: &Expr) -> bool {
    match &expr.kind {
        ExprKind::Not(of) => is_choice(of),
        ExprKind::Pair(Operator::And | Operator::Or, a, b) => is_choice(a) && is_choice(b),
        ExprKind::Compare(_, rest) => {
            rest.iter().all(|(operator, _)| matches!(operator, Operator::Same | Operator::Differs))
        }
        ExprKind::Choose(condition, then, otherwise) => is_choice(condition) && is_choice(then) && is_choice(otherwise),
        _ => true,
    }
}

/// The operands that a choice rests on.
fn operands<'e>(expr: &'e Expr, found: &mut Vec<&'e Expr>) {
    match &expr.kind {
        ExprKind::Not(of) => operands(of, found),
        ExprKind::Pair(Operator::And | Operator::Or, a, b) => {
            operands(a, found);
            operands(b, found);
        }
        ExprKind::Compare(first, rest) => {
            operands(first, found);
            for (_, other) in rest {
                operands(other, found);
            }
        }
        ExprKind::Choose(condition, then, otherwise) => {
            for one in [condition, then, otherwise] {
                operands(one, found);
            }
        }
        ExprKind::Number(_) | ExprKind::Word(_) => {}
        _ => found.push(expr),
    }
}

struct Teller<'t> {
    text: &'t str,
    values: &'t dyn Values,
    unit: Unit,
}

struct Told {
    applies: bool,
    words: String,
    /// Whether it is of alternatives: within a row of `and` it stands in brackets.
    alternatives: bool,
}

impl Teller<'_> {
    fn tell(&self, expr: &Expr) -> Told {
        match &expr.kind {
            ExprKind::Pair(Operator::And, ..) if !is_choice(expr) => self.all_of(expr),
            ExprKind::Pair(Operator::Or, ..) => self.one_of(expr),
            ExprKind::Choose(condition, then, otherwise) if !is_choice(expr) => match self.is_so(condition) {
                Some(true) => self.tell(then),
                Some(false) => self.tell(otherwise),
                None => said("…".to_owned()),
            },
            ExprKind::Not(of) if !is_choice(expr) => said(format!("not ({})", self.tell(of).words)),
            ExprKind::Compare(first, rest) if !is_choice(expr) || self.is_measured(first) => {
                said(rest.iter().fold(self.value(first), |text, (operator, other)| {
                    format!("{text} {} {}", operator.sign(), self.value(other))
                }))
            }
            _ => said(self.facts(expr)),
        }
    }

    /// Several conditions at once: those that apply.
    fn all_of(&self, expr: &Expr) -> Told {
        let mut parts = Vec::new();
        chain(expr, Operator::And, &mut parts);
        let told: Vec<Told> = parts.into_iter().map(|part| self.tell(part)).collect();
        let applies = told.iter().any(|one| one.applies);
        let mut words = Vec::new();
        for one in told {
            if one.applies == applies {
                words.push(if one.alternatives { format!("({})", one.words) } else { one.words });
            }
        }
        Told { applies, words: words.join(if applies { " and " } else { ", " }), alternatives: false }
    }

    /// Alternatives: a guard that holds, or else the one that holds, or else all that might.
    fn one_of(&self, expr: &Expr) -> Told {
        let (guards, matter) = parted(expr);
        if let Some(guard) = guards.into_iter().find(|guard| self.is_so(guard) == Some(true)) {
            return Told { applies: false, words: self.facts(guard), alternatives: false };
        }
        if let Some(one) = matter.iter().find(|one| self.is_so(one) == Some(true)) {
            return self.tell(one);
        }
        let words: Vec<String> = matter.iter().map(|one| self.tell(one).words).collect();
        Told { applies: true, alternatives: words.len() > 1, words: words.join(" or ") }
    }

    fn is_so(&self, expr: &Expr) -> Option<bool> {
        match eval(expr, self.values) {
            Ok(Value::Truth(truth)) => Some(truth),
            _ => None,
        }
    }

    fn is_measured(&self, expr: &Expr) -> bool {
        matches!(eval(expr, self.values), Ok(Value::Quantity(_)))
    }

    fn value(&self, expr: &Expr) -> String {
        eval(expr, self.values).map_or_else(|_| "…".to_owned(), |value| say_value(&value, self.unit))
    }

    /// What a choice rests on, each with what it is: `pins = no, end_holes = yes`.
    fn facts(&self, expr: &Expr) -> String {
        let mut found = Vec::new();
        operands(expr, &mut found);
        let words = |expr: &Expr| self.text.get(expr.span.range()).unwrap_or("…").to_owned();
        if found.is_empty() {
            return words(expr);
        }
        let mut facts: Vec<String> = Vec::new();
        for one in found {
            let fact = format!("{} = {}", words(one), self.value(one));
            // A name that stands twice is told once.
            if !facts.contains(&fact) {
                facts.push(fact);
            }
        }
        facts.join(", ")
    }
}

const fn said(words: String) -> Told {
    Told { applies: true, words, alternatives: false }
}

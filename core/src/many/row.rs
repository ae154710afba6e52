//! One variant as a row of a table.

use std::collections::BTreeSet;

use serde_json::{Map, json};

use super::csv;
use crate::diag::Severity;
use crate::family::Family;
use crate::formula::{Kind, Value, names, say_value};
use crate::quantity::{Quantity, Unit, trimmed};
use crate::variant::Variant;

/// Which values stand in a table, in order.
#[derive(Clone, Debug)]
pub struct Columns {
    unit: Unit,
    /// Name, and the sign of its unit.
    values: Vec<(String, String)>,
}

/// A cell: a number in the unit of its column, or words.
#[derive(Clone, Debug, PartialEq)]
pub enum Datum {
    /// A number.
    Number(f64),
    /// Words.
    Text(String),
    /// Nothing: the value could not be worked out.
    Nothing,
}

/// One variant.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// Its part number; nothing where it is refused.
    pub number: String,
    /// `holds`, `caution` or `refused`.
    pub verdict: &'static str,
    /// What stands against it, or is worth a second look.
    pub why: String,
    /// The values of the columns.
    pub data: Vec<Datum>,
}

impl Columns {
    /// What varies first, then the values that the shape is made of, with their limits, then every
    /// other size; all other derived values too where `all` is asked for.
    pub fn new(family: &Family, varied: &[&str], unit: Unit, all: bool) -> Self {
        let shape: BTreeSet<&str> =
            family.shape.formulas().into_iter().flat_map(|formula| names(&formula.expr)).collect();
        let mut values: Vec<(String, String)> = Vec::new();
        let mut add = |name: &str, kind: Kind| {
            if !values.iter().any(|(known, _)| known == name) {
                values.push((name.to_owned(), sign(kind, unit)));
            }
        };
        for name in varied {
            if let Some(parameter) = family.parameter(name) {
                add(name, parameter.kind.kind());
            }
        }
        for derived in &family.derived {
            if all || shape.contains(derived.name.as_str()) {
                add(&derived.name, derived.kind);
                if derived.limits.is_some() {
                    add(&format!("{}.least", derived.name), derived.kind);
                    add(&format!("{}.most", derived.name), derived.kind);
                }
            }
        }
        for parameter in &family.parameters {
            add(&parameter.name, parameter.kind.kind());
        }
        Self { unit, values }
    }

    /// The line of names, units in brackets.
    pub fn header(&self) -> String {
        let values = self.values.iter().map(
            |(name, sign)| {
                if sign.is_empty() { name.clone() } else { format!("{name} ({sign})") }
            },
        );
        let mut cells: Vec<String> = ["number", "verdict"].map(str::to_owned).into();
        cells.extend(values);
        cells.push("why".to_owned());
        csv::line(cells.iter().map(String::as_str))
    }

    /// The row of a variant.
    pub fn row(&self, variant: &Variant) -> Row {
        let data = self.values.iter().map(|(name, _)| datum(name, variant, self.unit)).collect();
        let worst = variant.findings.iter().map(|finding| finding.severity).max();
        let verdict = match (&variant.part, worst) {
            (None, _) => "refused",
            (Some(_), None) => "holds",
            (Some(_), Some(_)) => "caution",
        };
        let wanted = if variant.part.is_none() { Severity::Refused } else { Severity::Caution };
        let why: Vec<&str> = variant
            .findings
            .iter()
            .filter(|finding| finding.severity == wanted && !finding.follows)
            .map(|finding| finding.headline.as_str())
            .collect();
        let number = variant.part.as_ref().map_or(String::new(), |part| part.number.clone());
        Row { number, verdict, why: why.join(" "), data }
    }

    /// A row as a line of CSV.
    pub fn csv(&self, row: &Row) -> String {
        let mut cells = vec![row.number.clone(), row.verdict.to_owned()];
        cells.extend(row.data.iter().map(|datum| match datum {
            Datum::Number(number) => trimmed(*number, 6),
            Datum::Text(text) => text.clone(),
            Datum::Nothing => String::new(),
        }));
        cells.push(row.why.clone());
        csv::line(cells.iter().map(String::as_str))
    }

    /// A row as a line of JSON Lines: an object with the same names, and the units of its numbers.
    pub fn json(&self, row: &Row) -> String {
        let (mut values, mut units) = (Map::new(), Map::new());
        for ((name, sign), datum) in self.values.iter().zip(&row.data) {
            let value = match datum {
                Datum::Number(number) => json!(number),
                Datum::Text(text) => json!(text),
                Datum::Nothing => json!(null),
            };
            values.insert(name.clone(), value);
            if !sign.is_empty() {
                units.insert(name.clone(), json!(sign));
            }
        }
        let line = json!({
            "number": row.number, "verdict": row.verdict, "why": row.why, "values": values, "units": units,
        });
        line.to_string() + "\n"
    }
}

/// A value as it is printed, parted into its number and the sign of its unit.
fn parted(value: &Value, unit: Unit) -> (String, String) {
    let said = say_value(value, unit);
    let end = said.find(|sign: char| !sign.is_ascii_digit() && !matches!(sign, '.' | '-')).unwrap_or(said.len());
    let (number, sign) = said.split_at(end);
    (number.to_owned(), sign.trim().to_owned())
}

/// The sign of the unit in which values of a kind are printed.
fn sign(kind: Kind, unit: Unit) -> String {
    match kind {
        Kind::Quantity(dim) => parted(&Value::Quantity(Quantity::new(1.0, dim)), unit).1,
        _ => String::new(),
    }
}

fn datum(name: &str, variant: &Variant, unit: Unit) -> Datum {
    let (base, part) = name.split_once('.').unwrap_or((name, ""));
    let Some(entry) = variant.entries.iter().find(|entry| entry.name == base) else { return Datum::Nothing };
    let value = match (part, entry.limits, entry.value.length()) {
        ("least", Some((_, lower)), Some(nominal)) => Value::of_length(nominal + lower),
        ("most", Some((upper, _)), Some(nominal)) => Value::of_length(nominal + upper),
        _ => entry.value.clone(),
    };
    match &value {
        Value::Quantity(_) => parted(&value, unit).0.parse().map_or(Datum::Nothing, Datum::Number),
        other => Datum::Text(say_value(other, unit)),
    }
}

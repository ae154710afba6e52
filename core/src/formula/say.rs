//! Values in sentences.

use super::{Expr, Fault, Fit, Kind, Kinds, Value, Values, eval, infer, parse};
use crate::quantity::{Dim, Length, Quantity, Torque, Unit, pick, say_torque, trimmed};
use crate::source::Span;

/// A sentence with formulas in braces: `The screws are {end_distance} from the end.`
#[derive(Clone, Debug, PartialEq)]
pub struct Template {
    pieces: Vec<Piece>,
}

#[derive(Clone, Debug, PartialEq)]
enum Piece {
    Text(String),
    Formula(Expr),
}

/// Reads a sentence.
///
/// # Errors
/// A brace that is not closed, or the fault of a formula within; spans are those of the sentence.
pub fn template(text: &str) -> Result<Template, Fault> {
    let mut pieces = Vec::new();
    let mut at = 0;
    while let Some(open) = text[at..].find('{') {
        let start = at + open;
        if start > at {
            pieces.push(Piece::Text(text[at..start].to_owned()));
        }
        let Some(close) = text[start..].find('}') else {
            return Err(Fault::new(
                "formula/open-brace",
                Span::new(start, start + 1),
                "A brace is opened and not closed.",
                "opened here",
            ));
        };
        let inner = &text[start + 1..start + close];
        let expr = parse(inner).map_err(|fault| Fault { span: fault.span.moved(start + 1), ..fault })?;
        pieces.push(Piece::Formula(shifted(expr, start + 1)));
        at = start + close + 1;
    }
    if at < text.len() {
        pieces.push(Piece::Text(text[at..].to_owned()));
    }
    Ok(Template { pieces })
}

/// Moves the outermost span; faults of inference point at the whole formula or a part of it.
fn shifted(expr: Expr, by: usize) -> Expr {
    Expr { span: expr.span.moved(by), kind: expr.kind }
}

impl Template {
    /// Checks every formula within.
    pub fn infer(&self, kinds: &dyn Kinds, faults: &mut Vec<Fault>) {
        for piece in &self.pieces {
            if let Piece::Formula(expr) = piece {
                let before = faults.len();
                infer(expr, kinds, faults);
                // Inner spans count from the brace; the outer one is the place to show.
                for fault in &mut faults[before..] {
                    fault.span = expr.span;
                }
            }
        }
    }

    /// The formulas within.
    pub fn formulas(&self) -> impl Iterator<Item = &Expr> {
        self.pieces.iter().filter_map(|piece| match piece {
            Piece::Formula(expr) => Some(expr),
            Piece::Text(_) => None,
        })
    }

    /// The sentence with its numbers; a value that cannot be worked out shows as `…`.
    pub fn say(&self, values: &dyn Values, unit: Unit) -> String {
        let mut said = String::new();
        for piece in &self.pieces {
            match piece {
                Piece::Text(text) => said.push_str(text),
                Piece::Formula(expr) => match eval(expr, values) {
                    Ok(value) => said.push_str(&say_value(&value, unit)),
                    Err(_) => said.push('…'),
                },
            }
        }
        said
    }
}

/// A value as people read it, in the unit they have chosen.
pub fn say_value(value: &Value, unit: Unit) -> String {
    match value {
        Value::Quantity(quantity) => say_quantity(*quantity, unit),
        Value::Truth(true) => "yes".to_owned(),
        Value::Truth(false) => "no".to_owned(),
        Value::Word(word) => word.clone(),
        Value::Thread(thread) => thread.name.clone(),
        Value::SetScrew(screw) => format!("{} set screw", screw.thread),
        Value::CapScrew(screw) => format!("{} cap screw", screw.thread),
        Value::Material(material) => material.name.clone(),
        Value::Fit(Fit::Zone(zone)) => zone.name(),
        Value::Fit(Fit::Clearance { least, most }) => {
            format!("{} to {}", trimmed(unit.of(*least), unit.decimals()), unit.say(*most))
        }
        Value::Bar(bar) => bar.name.clone(),
        Value::Rack(bars) => format!("{} kinds of bar", bars.len()),
        Value::Places(places) if places.is_empty() => "none".to_owned(),
        Value::Places(places) => {
            places.iter().map(|(column, row)| format!("{column}/{row}")).collect::<Vec<_>>().join(", ")
        }
    }
}

fn say_quantity(quantity: Quantity, unit: Unit) -> String {
    let value = quantity.value;
    let inch = unit == Unit::Inch;
    let (number, sign) = match quantity.dim {
        Dim::NUMBER => return trimmed(value, 3),
        Dim::LENGTH => return unit.say(Length::mm(value)),
        Dim::AREA if inch => (value / 645.16, "in²"),
        Dim::AREA => (value, "mm²"),
        Dim::VOLUME if inch => (value / 16_387.064, "in³"),
        Dim::VOLUME => (value, "mm³"),
        Dim::ANGLE => (value.to_degrees(), "°"),
        Dim::FORCE if inch => (value / 4.448_221_615_260_5, "lbf"),
        Dim::FORCE => (value, "N"),
        Dim::TORQUE => return say_torque(unit, Torque::newton_mm(value)),
        Dim::STRESS if inch => (value * 145.037_737_73, "psi"),
        Dim::STRESS => (value, "MPa"),
        Dim::MASS if inch => (value / 453.592_37, "lb"),
        Dim::MASS => (value, "g"),
        Dim::DENSITY if inch => (value * 16_387.064 / 453.592_37, "lb/in³"),
        Dim::DENSITY => (value * 1000.0, "g/cm³"),
        Dim::TIME => (value, "s"),
        Dim::FEED if inch => (value * 60.0 / 25.4, "in/min"),
        Dim::FEED => (value * 60.0, "mm/min"),
        dim => return format!("{} ({dim}, in mm, N, g, s)", pick(value, 4)),
    };
    let gap = if sign == "°" { "" } else { " " };
    format!("{}{gap}{sign}", pick(number, 4))
}

/// The kind that a value of this name in a family file has.
impl Kind {
    /// A word for the kind, with its article: `a length`, `an angle`.
    pub fn with_article(self) -> String {
        let word = self.to_string();
        let article = if word.starts_with(['a', 'e', 'i', 'o', 'u']) { "an" } else { "a" };
        format!("{article} {word}")
    }
}

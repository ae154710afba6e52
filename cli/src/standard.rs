//! `standard KIND NAME`: a card of the standards as text or JSON.

use barwright_core::quantity::{Length, Unit, decimals, fixed};
use barwright_core::standards::lookup::{Card, Value};
use serde::ser::{Serialize, SerializeMap, Serializer};

/// Columns of a terminal.
const WIDTH: usize = 80;

/// The card as a person reads it in a terminal of 80 columns.
pub(crate) fn text(card: &Card) -> String {
    let mut out = format!("{}\n\n", card.title);
    let wide = |text: &str| text.chars().count();
    let label = card.rows.iter().map(|row| wide(&row.label)).max().unwrap_or(0);
    let places = places(card);
    let say = |value: &Value| match (value, card.unit) {
        (Value::Length(length), Unit::Mm) => format!("{} mm", fixed(length.as_mm(), places)),
        _ => value.say(card.unit),
    };
    let said: Vec<String> = card.rows.iter().map(|row| say(&row.value)).collect();
    let is_text = |value: &Value| matches!(value, Value::Text(_) | Value::Lengths(_));
    let numbers = card.rows.iter().zip(&said).filter(|(row, _)| !is_text(&row.value));
    let value = numbers.map(|(_, said)| wide(said)).max().unwrap_or(0);
    for (row, said) in card.rows.iter().zip(&said) {
        let indent = label + 4;
        let mut line = format!("  {}{}  ", row.label, " ".repeat(label - wide(&row.label)));
        if is_text(&row.value) {
            line.push_str(&wrapped(said, indent));
        } else {
            // Numbers stand under each other at their right end.
            line.push_str(&" ".repeat(value - wide(said)));
            line.push_str(said);
            if !row.note.is_empty() {
                line.push_str("  ");
                line.push_str(&wrapped(&row.note, indent + value + 2));
            }
        }
        out.push_str(line.trim_end());
        out.push('\n');
    }
    out.push_str("\n  ");
    out.push_str(&wrapped(&format!("Source: {}.", card.source.trim_end_matches('.')), 2));
    out.push('\n');
    out
}

/// Decimals that the finest length of a metric card needs: all its lengths are written with them,
/// so that they can be compared.
fn places(card: &Card) -> usize {
    let needed = |value: &Value| match value {
        Value::Length(length) => decimals(length.as_mm(), 4),
        _ => 0,
    };
    card.rows.iter().map(|row| needed(&row.value)).max().unwrap_or(0)
}

/// The card as JSON: plain field names in the order of the card, lengths in mm, and as `name_in`
/// in inches too where the standard is in inches.
pub(crate) fn json(card: &Card) -> String {
    // Numbers and words under names that are strings: nothing here can fail to be written.
    serde_json::to_string_pretty(&Plain(card)).unwrap_or_default()
}

/// Breaks lines at blanks so that none is longer than a terminal is wide; what follows the first
/// is indented. A word that is longer than the room stays whole.
fn wrapped(text: &str, indent: usize) -> String {
    let room = WIDTH.saturating_sub(indent).max(20);
    let mut out = String::new();
    let mut used = 0;
    for word in text.split_whitespace() {
        let wide = word.chars().count();
        if used > 0 && used + 1 + wide > room {
            out.push('\n');
            out.push_str(&" ".repeat(indent));
            used = 0;
        } else if used > 0 {
            out.push(' ');
            used += 1;
        }
        out.push_str(word);
        used += wide;
    }
    out
}

/// Millimetres, free of the dust of binary arithmetic.
fn mm(length: Length) -> f64 {
    (length.as_mm() * 1e6).round() / 1e6
}

/// Inches, likewise.
fn inch(length: Length) -> f64 {
    (length.as_inch() * 1e7).round() / 1e7
}

struct Plain<'c>(&'c Card);

impl Serialize for Plain<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let card = self.0;
        let mut map = serializer.serialize_map(None)?;
        map.serialize_entry("kind", card.kind)?;
        map.serialize_entry("name", &card.name)?;
        map.serialize_entry("title", &card.title)?;
        map.serialize_entry("unit", card.unit.sign())?;
        for row in &card.rows {
            match (&row.value, row.value.number()) {
                (Value::Text(text), _) => map.serialize_entry(&row.key, text)?,
                (Value::Lengths(lengths), _) => {
                    let all = |of: fn(Length) -> f64| lengths.iter().map(|length| of(*length)).collect::<Vec<_>>();
                    map.serialize_entry(&row.key, &all(mm))?;
                    if card.unit == Unit::Inch {
                        map.serialize_entry(&format!("{}_in", row.key), &all(inch))?;
                    }
                }
                (_, None) => {}
                (value, Some(number)) => {
                    map.serialize_entry(&row.key, &number)?;
                    if let (Value::Length(length), Unit::Inch) = (value, card.unit) {
                        map.serialize_entry(&format!("{}_in", row.key), &inch(*length))?;
                    }
                }
            }
        }
        map.serialize_entry("source", &card.source)?;
        map.end()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use barwright_core::standards::look_up;

    #[test]
    fn eighty_columns() {
        for (kind, name) in [
            ("thread", "1/4-20"),
            ("thread", "M5"),
            ("drill", "#7"),
            ("fit", "25 H7/g6"),
            ("fit", "H7/g6"),
            ("screw", "M5 set"),
            ("screw", "10-32 set"),
            ("screw", "M6 cap"),
            ("tolerance", "ISO 2768-m"),
            ("material", "brass"),
        ] {
            let card = look_up(kind, name).expect("known");
            for line in text(&card).lines() {
                assert!(line.chars().count() <= WIDTH, "{kind} {name}: {line}");
                assert_eq!(line, line.trim_end(), "{kind} {name}: blanks at the end");
            }
        }
    }

    #[test]
    fn plain_fields() {
        let card = look_up("thread", "1/4-20").expect("known");
        let read: serde_json::Value = serde_json::from_str(&json(&card)).expect("JSON");
        assert_eq!(read["minor_min"], 4.9784, "mm");
        assert_eq!(read["minor_min_in"], 0.196, "inch");
        assert_eq!(read["threads_per_inch"], 20.0, "a bare number");
        let metric: serde_json::Value =
            serde_json::from_str(&json(&look_up("thread", "M5").expect("known"))).expect("JSON");
        assert_eq!(metric["minor_max"], 4.334, "mm");
        assert!(metric.get("minor_max_in").is_none(), "a metric standard speaks mm only");
    }
}

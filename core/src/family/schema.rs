//! The JSON Schema of family files, from the table of keys.

use serde_json::{Map, Value, json};

use super::keys::{CUTS, FAMILY, TABLES, Table, Takes};
use super::load::MOST;

/// The longest name in a family file.
pub(super) const LONGEST_NAME: usize = 60;

/// The JSON Schema (draft 2020-12) of family files: for an editor that completes and checks one
/// while it is written. What formulas mean is beyond it; `barwright check` tells that.
///
/// # Panics
/// Never: a schema is plain data with text keys, and JSON holds all of it.
pub fn schema() -> String {
    let mut defs = Map::new();
    defs.insert("scalar".to_owned(), json!({ "type": ["string", "number", "boolean"] }));
    for known in TABLES {
        defs.insert(known.name.to_owned(), table(known));
    }
    let cuts: Map<String, Value> =
        CUTS.iter().map(|(name, _, table)| ((*name).to_owned(), reference(table.name, table.about))).collect();
    let cut = json!({
        "description": "One thing that is cut.", "type": "object", "properties": cuts,
        "additionalProperties": false, "minProperties": 1, "maxProperties": 1,
    });
    defs.insert("cut".to_owned(), cut);
    let schema = json!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "A family of parts for Barwright",
        "$ref": format!("#/$defs/{}", FAMILY.name),
        "$defs": defs,
    });
    // Plain data with text keys: there is nothing in it that JSON cannot hold.
    serde_json::to_string_pretty(&schema).expect("a schema is plain data") + "\n"
}

fn reference(name: &str, about: &str) -> Value {
    json!({ "$ref": format!("#/$defs/{name}"), "description": about })
}

fn table(table: &Table) -> Value {
    let keys: Map<String, Value> =
        table.keys.iter().map(|key| (key.name.to_owned(), takes(key.takes, key.about))).collect();
    let needed: Vec<&str> = table.keys.iter().filter(|key| key.need).map(|key| key.name).collect();
    json!({
        "description": table.about, "type": "object", "properties": keys, "required": needed,
        "additionalProperties": false,
    })
}

fn takes(takes: Takes, about: &str) -> Value {
    let scalar =
        |more: &str| reference("scalar", &if more.is_empty() { about.to_owned() } else { format!("{about} {more}") });
    let any = json!({ "$ref": "#/$defs/scalar" });
    let list = |items: &Value| json!({ "description": about, "type": "array", "items": items });
    let pair = json!({ "type": "array", "items": any, "minItems": 2, "maxItems": 2 });
    let named = |separator: char, each: &Value| {
        json!({
            "description": about, "type": "object", "additionalProperties": each, "maxProperties": MOST,
            "propertyNames": { "pattern": format!("^[a-z][a-z0-9{separator}]*$"), "maxLength": LONGEST_NAME },
        })
    };
    match takes {
        Takes::Text | Takes::Answer | Takes::Name => scalar(""),
        Takes::Sentence => scalar("A sentence; formulas stand in braces."),
        Takes::Formula(to) => scalar(&format!("A formula that comes to {to}.")),
        Takes::Sentences | Takes::Answers => list(&any),
        Takes::YesNo => json!({ "description": about, "enum": ["yes", "no", true, false] }),
        Takes::OneOf(words) => json!({ "description": about, "enum": words() }),
        Takes::Pair(_) => json!({ "description": about, "type": "array", "items": any, "minItems": 2, "maxItems": 2 }),
        Takes::Pairs(_) => list(&pair),
        Takes::Table(table) => reference(table.name, about),
        Takes::Tables(table) => json!({
            "description": about, "type": "array", "items": { "$ref": format!("#/$defs/{}", table.name) }, "maxItems": MOST,
        }),
        Takes::Named(table, separator) => named(separator, &json!({ "$ref": format!("#/$defs/{}", table.name) })),
        Takes::NamedOrFormula(table) => {
            named('_', &json!({ "anyOf": [any, { "$ref": format!("#/$defs/{}", table.name) }] }))
        }
        Takes::Sizes => json!({ "description": about, "type": "object", "additionalProperties": any }),
        Takes::Cuts => json!({
            "description": about, "type": "array", "items": { "$ref": "#/$defs/cut" }, "maxItems": MOST,
        }),
    }
}

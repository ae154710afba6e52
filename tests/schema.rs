//! The JSON Schema of family files, held against families by a validator that nobody here wrote.

use barwright_core::family::{self, schema};
use barwright_core::source::Source;
use barwright_tests::{house, text};
use boon::{Compiler, SchemaIndex, Schemas};
use serde_json::Value;

struct Validator {
    schemas: Schemas,
    index: SchemaIndex,
}

impl Validator {
    fn new() -> Self {
        let schema: Value = serde_json::from_str(&schema()).expect("JSON");
        let (mut schemas, mut compiler) = (Schemas::new(), Compiler::new());
        compiler.add_resource("family.json", schema).expect("a resource");
        let index = compiler.compile("family.json", &mut schemas).expect("a schema of draft 2020-12");
        Self { schemas, index }
    }

    fn check(&self, text: &str) -> Result<(), String> {
        let value: Value = serde_yaml::from_str(text).map_err(|error| error.to_string())?;
        self.schemas.validate(&value, self.index).map_err(|error| error.to_string())
    }
}

fn loads(text: &str) -> bool {
    family::load(&Source::new("family", text)).value.is_some()
}

#[test]
fn every_family_validates() {
    let validator = Validator::new();
    let mut seen = 0;
    for item in std::fs::read_dir(house().join("families")).expect("a folder") {
        let path = item.expect("a file").path();
        if path.extension().is_some_and(|ending| ending == "yaml") {
            let family = std::fs::read_to_string(&path).expect("a family");
            validator.check(&family).unwrap_or_else(|error| panic!("{}: {error}", path.display()));
            seen += 1;
        }
    }
    assert!(seen >= 2, "the families were found: {seen}");
}

/// Every key at once; what of it excludes each other stands in entries of its own.
const EVERYTHING: &str = "
family: everything
title: Everything
about: All keys that there are.
number: 'E-{length}'
sizes:
  length: { is: length, ask: Length, help: Over all., usual: 80 mm, usual_inch: 3 in, from: 40 mm, to: 90 mm, step: 1 mm, measured: yes }
  material: { is: material, ask: Material, usual: brass-c36000, one_of: [brass-c36000] }
  screw: { is: thread, ask: Thread, usual: M4 }
  fit: { is: fit, ask: Fit, usual: e9 }
  gaps: { is: places, ask: Places without a hole, usual: none }
follows:
  half: length / 2
  width: { as: 8 mm, title: width, to_nearest: 0.1 mm, upper: fit.upper(8 mm), lower: fit.lower(8 mm), fit: fit, why: So., source: none }
  low: { as: length, down_to: 1 mm }
  high: { as: length, up_to: 1 mm }
rules:
  long: { must: length > 0 mm, else: refused, say: '{length}', source: none }
shape:
  bar: rack.largest(material, 20 mm, 12 mm)
  material: material
  length: length
  ends: { allowance: 1 mm, corner: 2 mm }
  general: ISO 2768-m
  general_inch: by decimals
  edge_break: [0.1 mm, 0.3 mm]
  finish: As milled
  notes: ['{half}']
  cut:
    - tongue: { name: tongue, title: Tongue, when: length > 1 mm, width: width, height: 2 mm, centring: 0.1 mm }
    - holes: { name: row, title: Row, when: length > 1 mm, from: bottom, count: 2, pitch: 9 mm, middle: [1 mm, 0 mm], tapped: screw, left_hand: length > 1 m, thread_depth: 4 mm, depth: 6 mm, chamfer: 5 mm, place_tolerance: 0.1 mm }
    - holes: { name: grid, title: Grid, columns: 2, rows: 2, pitch: 9 mm, row_pitch: 5 mm, omit: gaps, diameter: 3 mm, counterbore: { diameter: 5 mm, depth: 2 mm }, place_tolerance: 0.1 mm }
    - holes: { name: single, title: Single, at: [[1 mm, 2 mm]], reamed: 3 mm, countersink: { diameter: 5 mm, angle: 90° }, place_tolerance: 0.1 mm }
    - slot: { name: slot, title: Slot, when: length > 1 mm, width: 3 mm, length: 9 mm, depth: 2 mm, middle: [0 mm, 0 mm], place_tolerance: 0.1 mm }
hardware:
  - { item: 'Screw {screw}', count: 2, per: order, key: '3 mm', torque: 2 N·m }
examples:
  one: { title: One, unit: mm, sizes: { length: 50 } }
";

/// Each key of the schema by the table that it stands in.
fn keys() -> Vec<(String, String)> {
    let schema: Value = serde_json::from_str(&schema()).expect("JSON");
    let tables = schema["$defs"].as_object().expect("definitions");
    let named = tables.iter().filter(|(name, _)| *name != "cut");
    named
        .flat_map(|(name, table)| {
            let keys = table["properties"].as_object().into_iter().flatten();
            keys.map(move |(key, _)| (name.clone(), key.clone()))
        })
        .collect()
}

#[test]
fn every_key_of_the_schema_is_read_by_the_loader() {
    Validator::new().check(EVERYTHING).expect("it validates");
    let found = family::load(&Source::new("everything", EVERYTHING)).into_result();
    assert!(found.is_ok(), "it loads: {found:#?}");
    // The loader itself stops in a test where its keys and the table differ; this holds that the
    // family above meets every table, so that it had the occasion to.
    for (table, key) in keys() {
        let word = format!("{key}:");
        assert!(EVERYTHING.contains(&word), "`{key}` of {table} is tried above");
    }
}

#[test]
fn what_the_schema_refuses_the_loader_refuses_too() {
    let validator = Validator::new();
    for (from, to) in [
        ("title: Everything", "titel: Everything"),
        ("family: everything\n", ""),
        ("is: length", "is: lenght"),
        ("ask: Length,", ""),
        ("else: refused", "else: stop"),
        ("general: ISO 2768-m", "general: fine"),
        ("- slot:", "- slit:"),
        ("centring: 0.1 mm", "center: 0.1 mm"),
        ("from: bottom", "from: behind"),
        ("{ allowance: 1 mm, corner: 2 mm }", "{ corner: 2 mm }"),
        ("unit: mm", "unit: metre"),
        ("measured: yes", "measured: perhaps"),
        ("at: [[1 mm, 2 mm]]", "at: [[1 mm]]"),
        ("  half: length / 2", "  Half: length / 2"),
        ("angle: 90°", "angel: 90°"),
        ("notes: ['{half}']", "notes: '{half}'"),
    ] {
        assert!(EVERYTHING.contains(from), "it holds `{from}`");
        let broken = EVERYTHING.replacen(from, to, 1);
        assert!(validator.check(&broken).is_err(), "the schema refuses `{to}`");
        assert!(!loads(&broken), "the loader refuses `{to}`");
    }
    assert!(text("families/joining-key.yaml").len() > 1000, "the family is there");
}

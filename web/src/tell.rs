//! Families, findings and goods as JSON for the page.

use barwright_core::diag::Diagnostic;
use barwright_core::drawing::{self, Sheet};
use barwright_core::family::{Ask, Family, Formula, Parameter};
use barwright_core::formula::{Value as Worth, say_value};
#[cfg(not(feature = "page"))]
use barwright_core::job;
use barwright_core::job::{Goods, Job, Run};
#[cfg(feature = "page")]
use barwright_core::plan::SetupPlan;
use barwright_core::plan::program_file;
#[cfg(feature = "page")]
use barwright_core::program::Program;
use barwright_core::quantity::Unit;
use barwright_core::source::Source;
use serde::Serialize;
use serde_json::{Value, json};

/// What a family asks for, derives and judges.
pub(crate) fn family(family: &Family) -> Value {
    let sizes: Vec<Value> = family.parameters.iter().map(size).collect();
    let follows: Vec<Value> = family
        .derived
        .iter()
        .map(|derived| json!({ "name": derived.name, "title": derived.title, "formula": derived.formula.text }))
        .collect();
    let examples: Vec<Value> = family
        .examples
        .iter()
        .map(|example| {
            let sizes: serde_json::Map<String, Value> =
                example.sizes.iter().map(|(name, text, _)| (name.clone(), json!(text))).collect();
            json!({ "name": example.name, "title": example.title, "unit": example.unit.map(Unit::sign), "sizes": sizes })
        })
        .collect();
    json!({
        "name": family.name, "title": family.title, "about": family.about,
        "sizes": sizes, "follows": follows, "examples": examples, "links": linked(family),
    })
}

#[cfg(feature = "page")]
fn linked(family: &Family) -> Value {
    crate::links::of(family)
}

/// Nothing is picked and followed where there is no page.
#[cfg(not(feature = "page"))]
const fn linked(_: &Family) -> Value {
    Value::Null
}

fn size(parameter: &Parameter) -> Value {
    let limit = |formula: &Option<Formula>| formula.as_ref().map(|formula| in_both(parameter, &formula.text));
    json!({
        "name": parameter.name, "ask": parameter.ask, "help": parameter.help, "kind": parameter.kind.word(),
        "usual": usual(&parameter.usual), "usual_inch": parameter.usual_inch.as_ref().map(usual),
        "from": limit(&parameter.from), "to": limit(&parameter.to), "step": limit(&parameter.step),
        "one_of": parameter.one_of.iter().map(|choice| choice.text.as_str()).collect::<Vec<_>>(),
    })
}

fn usual(ask: &Ask) -> Value {
    match ask {
        Ask::Formula(formula) => json!(formula.text),
        Ask::Text(text) => json!(text),
    }
}

/// A limit as it is said in millimetres and in inches; a formula as it stands.
fn in_both(parameter: &Parameter, text: &str) -> Value {
    match Worth::read(parameter.kind.kind(), text, None) {
        Ok(value) => json!([say_value(&value, Unit::Mm), say_value(&value, Unit::Inch)]),
        Err(_) => json!([text, text]),
    }
}

/// Findings, each label with its line and column.
pub(crate) fn findings(findings: &[Diagnostic], sources: &[&Source]) -> Value {
    let told = findings.iter().map(|finding| {
        let labels = finding.labels.iter().map(|label| {
            let source = sources.iter().find(|source| source.name() == label.source);
            let place = source.map(|source| source.place(label.span.start));
            let line = source.zip(place).and_then(|(source, place)| source.text().lines().nth(place.line - 1));
            json!({
                "source": label.source, "text": label.text,
                "line": place.map(|place| place.line), "column": place.map(|place| place.column),
                "excerpt": line.map(|line| line.chars().take(300).collect::<String>()),
            })
        });
        json!({
            "code": finding.code, "severity": finding.severity, "headline": finding.headline,
            "labels": labels.collect::<Vec<_>>(), "notes": finding.notes, "helps": finding.helps,
            "follows": finding.follows,
        })
    });
    Value::Array(told.collect())
}

/// A variant: values, verdicts, what would work, and the goods where nothing refuses it.
pub(crate) fn job(job: &Job, family: &Family) -> String {
    let variant = &job.variant;
    let values: Vec<Value> = variant
        .entries
        .iter()
        .map(|entry| {
            let limits = entry.limits.map(|(upper, lower)| [upper, lower].map(|limit| variant.unit.say(limit)));
            json!({
                "name": entry.name, "title": entry.title, "text": entry.text, "limits": limits,
                "typed": entry.typed, "parameter": entry.parameter, "formula": entry.formula,
                "why": entry.why, "source": entry.source,
            })
        })
        .collect();
    let rules: Vec<Value> = variant
        .verdicts
        .iter()
        .map(|verdict| {
            json!({
                "name": verdict.rule, "verdict": if verdict.holds { "holds" } else { verdict.level.word() },
                "must": verdict.must, "numbers": verdict.numbers, "say": verdict.say, "source": verdict.source,
                "applies": verdict.applies,
            })
        })
        .collect();
    let remedies: Vec<Value> = variant
        .remedies
        .iter()
        .map(|remedy| {
            let mut told = json!({ "size": remedy.parameter, "from": remedy.from, "to": remedy.to });
            if remedy.measured {
                told["measured"] = json!(true);
            }
            told
        })
        .collect();
    object(&[
        ("unit", text(variant.unit.sign())),
        ("values", Value::Array(values).to_string()),
        ("rules", Value::Array(rules).to_string()),
        ("remedies", Value::Array(remedies).to_string()),
        ("findings", findings(&job.findings, &[&family.source]).to_string()),
        ("goods", job.goods.as_ref().map_or_else(|| text(&()), goods)),
    ])
}

#[cfg(feature = "page")]
fn goods(goods: &Goods) -> String {
    let record = &goods.record;
    let runs: Vec<String> =
        goods.runs.iter().zip(&goods.plan.setups).map(|(run, setup)| told(run, setup, goods)).collect();
    object(&[
        ("number", text(&goods.part.number)),
        ("digest", text(&record.digest)),
        ("proved", text(&record.proved)),
        ("sheets", sheets(&goods.sheet)),
        ("runs", format!("[{}]", runs.join(","))),
        ("part", text(&goods.part)),
        ("first_piece", text(&record.first_piece)),
        ("time", text(&record.time)),
    ])
}

/// What a product page shows: number, sheet, blank, mass, programs.
#[cfg(not(feature = "page"))]
fn goods(goods: &Goods) -> String {
    let (record, part) = (&goods.record, &goods.part);
    let run = |run: &Run| {
        let file = program_file(run.setup.number, record.proved);
        json!({ "title": run.pose.words(), "file": file, "text": run.program.text }).to_string()
    };
    object(&[
        ("number", text(&part.number)),
        ("digest", text(&record.digest)),
        ("proved", text(&record.proved)),
        ("sheets", sheets(&goods.sheet)),
        ("blank", text(&job::stock(part, part.unit))),
        ("mass", text(&part.mass)),
        ("runs", format!("[{}]", goods.runs.iter().map(run).collect::<Vec<_>>().join(","))),
    ])
}

/// The sheets of a drawing, the first and those that follow it. Their lettering is the page's own: a
/// strict policy bears no style in the drawing.
fn sheets(first: &Sheet) -> String {
    let told = |sheet: &Sheet| {
        let plain = Sheet { embed_font: false, following: Vec::new(), ..sheet.clone() };
        object(&[
            ("width", text(&sheet.width)),
            ("height", text(&sheet.height)),
            ("svg", text(&drawing::svg::write(&plain))),
        ])
    };
    let sheets: Vec<String> = std::iter::once(first).chain(&first.following).map(told).collect();
    format!("[{}]", sheets.join(","))
}

/// One setup: how the part stands, its program, and what each line of it is for.
#[cfg(feature = "page")]
fn told(run: &Run, setup: &SetupPlan, goods: &Goods) -> String {
    object(&[
        ("title", text(run.pose.words())),
        ("file", text(&program_file(run.setup.number, goods.record.proved))),
        ("setup", text(&run.setup)),
        ("part", text(&goods.part.posed(run.pose))),
        ("tools", text(&setup.tools)),
        ("mind", text(&setup.notes)),
        ("text", text(&run.program.text)),
        ("stretches", stretches(&run.program, setup).to_string()),
    ])
}

/// An object of texts that are JSON already. Large things are written straight as text: a tree of
/// values in between would cost more time than the drawing, and a tenth of the module.
fn object(entries: &[(&str, String)]) -> String {
    let entries: Vec<String> = entries.iter().map(|(name, text)| format!("\"{name}\":{text}")).collect();
    format!("{{{}}}", entries.join(","))
}

/// Plain data as JSON.
fn text<T: Serialize + ?Sized>(data: &T) -> String {
    serde_json::to_string(data).unwrap_or_else(|_| "null".to_owned())
}

#[cfg(feature = "page")]
/// Neighbouring lines of one operation, with what is done there and why.
fn stretches(program: &Program, setup: &SetupPlan) -> Value {
    let mut list: Vec<Value> = Vec::new();
    let mut rest = program.lines.as_slice();
    while let Some(first) = rest.first() {
        let alike = rest.iter().take_while(|line| line.operation == first.operation).count();
        let (run, after) = rest.split_at(alike.max(1));
        rest = after;
        let operation = setup.operations.get(first.operation);
        list.push(json!({
            "from": first.number, "to": run.last().map(|line| line.number),
            "feature": operation.map(|operation| operation.feature.as_str()),
            "origin": operation.map(|operation| &operation.origin),
            "title": operation.map(|operation| operation.title.as_str()),
            "tool": operation.map(|operation| operation.tool),
            "reasons": operation.map(|operation| operation.reasons.as_slice()),
        }));
    }
    Value::Array(list)
}

#[cfg(all(test, feature = "page"))]
mod tests {
    use serde_json::{Value, json};

    use crate::desk::Desk;

    /// M5 is too thick for a slot of 7.5 mm: the screw is a choice, the slot is measured.
    #[test]
    fn a_remedy_tells_whether_its_size_is_measured() {
        let mut desk = Desk::default();
        desk.open_family("joining-key", None);
        let told: Value =
            serde_json::from_str(&desk.make(r#"{"unit":"mm","sizes":{"slot_opening":"7.5 mm"}}"#)).expect("JSON");
        let remedies = json!([
            { "size": "screw", "from": "M5", "to": "M4" },
            { "size": "slot_opening", "from": "7.5 mm", "to": "8.1mm", "measured": true },
        ]);
        assert_eq!(told["remedies"], remedies, "nothing is said of a choice");
    }

    #[test]
    fn a_rule_that_does_not_apply_is_told_as_such() {
        let mut desk = Desk::default();
        desk.open_family("spacer-bar", None);
        let told: Value = serde_json::from_str(&desk.make(r#"{"unit":"mm","sizes":{}}"#)).expect("JSON");
        let rules = told["rules"].as_array().expect("rules");
        let rule = |name: &str| rules.iter().find(|rule| rule["name"] == name).expect("the rule");
        assert_eq!(rule("end-wall")["numbers"], "does not apply: end_holes = no", "no wall beside no hole");
        assert_eq!(rule("end-wall")["applies"], false, "marked");
        assert_eq!(rule("slender")["applies"], true, "one that applies");
    }
}

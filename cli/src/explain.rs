//! `barwright explain FAMILY`.

use std::fmt::Write;

use barwright_core::family::{Ask, Derived, Family, Formula, Parameter, Snap};
use barwright_core::formula::say_guarded;
use serde_json::{Value, json};

use crate::args::Explain;
use crate::lines::wrapped;
use crate::{Outcome, files};

/// Tells what a family asks for, what follows and what must be so.
pub(crate) fn run(arguments: &Explain) -> Outcome {
    let family = files::family(&arguments.family)?;
    if arguments.form.json {
        return Ok(serde_json::to_string_pretty(&as_json(&family)).unwrap_or_default() + "\n");
    }
    Ok(text(&family))
}

fn text(family: &Family) -> String {
    let mut out = String::new();
    let mut line = |text: String| {
        out.push_str(text.trim_end());
        out.push('\n');
    };
    line(format!("{}  ({})", family.title, family.name));
    line(wrapped(&family.about, 0));
    line("\nSizes".to_owned());
    for parameter in &family.parameters {
        line(entry(&parameter.name, &parameter.ask));
        line(said(&limits(parameter)));
        if let Some(help) = &parameter.help {
            line(said(help));
        }
    }
    line("\nWhat follows".to_owned());
    for derived in &family.derived {
        line(entry(&derived.name, &derived.title));
        line(said(&format!("= {}", formula(derived))));
        if let Some(limits) = &derived.limits {
            line(said(&format!("limits {} / {}", limits.upper.text, limits.lower.text)));
        }
        if let Some(why) = &derived.why {
            line(said(why));
        }
        if let Some(source) = &derived.source {
            line(said(&format!("Source: {source}.")));
        }
    }
    line("\nRules".to_owned());
    for rule in &family.rules {
        let (matter, guard) = say_guarded(&rule.must.expr, &rule.must.text);
        line(entry(&rule.name, &format!("{} unless {matter}", rule.level.word())));
        if let Some(guard) = guard {
            line(said(&format!("Does not apply where {guard}.")));
        }
        line(said(&format!("Source: {}.", rule.source.trim_end_matches('.'))));
    }
    if !family.examples.is_empty() {
        line("\nExamples".to_owned());
        for example in &family.examples {
            line(entry(&format!("  --like {:22} ", example.name), &example.title));
        }
    }
    out
}

/// A name with a sentence beside it, which goes on under itself.
fn entry(name: &str, text: &str) -> String {
    let name = format!("  {name:18} ");
    let text = wrapped(text, name.chars().count());
    name + &text
}

/// A sentence under a name, in its own column.
fn said(text: &str) -> String {
    format!("{:21}{}", "", wrapped(text, 21))
}

fn usual(ask: &Ask) -> &str {
    match ask {
        Ask::Formula(formula) => &formula.text,
        Ask::Text(text) => text,
    }
}

fn limits(parameter: &Parameter) -> String {
    let measured = if parameter.measured { ", measured" } else { "" };
    let mut text = format!("{}{measured}, usually {}", parameter.kind.word(), usual(&parameter.usual));
    if let Some(inch) = &parameter.usual_inch {
        let _infallible = write!(text, " or {}", usual(inch));
    }
    if let (Some(from), Some(to)) = (&parameter.from, &parameter.to) {
        let _infallible = write!(text, ", from {} to {}", from.text, to.text);
    }
    if !parameter.one_of.is_empty() {
        let choices: Vec<&str> = parameter.one_of.iter().map(|choice| choice.text.as_str()).collect();
        let _infallible = write!(text, ", one of {}", choices.join(", "));
    }
    text
}

fn formula(derived: &Derived) -> String {
    let step = derived.snap.as_ref().map_or(String::new(), |(way, step)| {
        let way = match way {
            Snap::Down => "down",
            Snap::Nearest => "to the nearest",
            Snap::Up => "up",
        };
        format!(", {way} to steps of {}", step.text)
    });
    format!("{}{step}", derived.formula.text)
}

fn as_json(family: &Family) -> Value {
    let of = |formula: &Option<Formula>| formula.as_ref().map(|formula| formula.text.clone());
    let sizes: Vec<Value> = family
        .parameters
        .iter()
        .map(|parameter| {
            let mut told = json!({
                "name": parameter.name, "kind": parameter.kind.word(), "ask": parameter.ask, "help": parameter.help,
                "usual": usual(&parameter.usual), "usual_inch": parameter.usual_inch.as_ref().map(usual),
                "from": of(&parameter.from), "to": of(&parameter.to),
                "one_of": parameter.one_of.iter().map(|choice| choice.text.clone()).collect::<Vec<_>>(),
            });
            if parameter.measured {
                told["measured"] = json!(true);
            }
            told
        })
        .collect();
    let follows: Vec<Value> = family
        .derived
        .iter()
        .map(|derived| {
            json!({
                "name": derived.name, "title": derived.title, "formula": formula(derived),
                "kind": derived.kind.to_string(), "why": derived.why, "source": derived.source,
            })
        })
        .collect();
    let rules: Vec<Value> = family
        .rules
        .iter()
        .map(|rule| json!({ "name": rule.name, "level": rule.level.word(), "must": rule.must.text, "source": rule.source }))
        .collect();
    let examples: Vec<Value> =
        family.examples.iter().map(|example| json!({ "name": example.name, "title": example.title })).collect();
    json!({
        "family": family.name, "title": family.title, "about": family.about,
        "sizes": sizes, "follows": follows, "rules": rules, "examples": examples,
    })
}

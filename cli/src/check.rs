//! `barwright check FILE…`: every fault of a family file at once, and where the family breaks.

use std::fmt::Write;

use barwright_core::diag::{Diagnostic, Severity};
use barwright_core::drawing::Stamp;
use barwright_core::family::{self, Family};
use barwright_core::job::{self, Order};
use barwright_core::quantity::Unit;
use barwright_core::shop::Shop;
use barwright_core::source::Source;
use barwright_core::trial::{self, Report};
use barwright_core::variant::Inputs;
use serde_json::{Value, json};

use crate::args::Check;
use crate::{Failure, Outcome, files, report};

/// What was found in one file.
struct Seen {
    source: Source,
    family: Option<Family>,
    findings: Vec<Diagnostic>,
    tried: Option<Report>,
}

impl Seen {
    fn good(&self) -> bool {
        !self.findings.iter().any(|finding| finding.severity == Severity::Refused)
    }
}

/// Checks files.
pub(crate) fn run(arguments: &Check) -> Outcome {
    let shop = files::shop(&arguments.shop, None)?;
    let mut all = Vec::new();
    let mut gone = false;
    for file in &arguments.files {
        all.push(match files::family_source(file) {
            Ok(source) => look(source, arguments, &shop),
            // The others are looked at all the same.
            Err(Failure::Refused(text) | Failure::Told(text)) => unread(file, &text),
            Err(Failure::Machine(text) | Failure::Broken(text)) => {
                gone = true;
                unread(file, &text)
            }
        });
    }
    let good = all.iter().all(Seen::good);
    let text = if arguments.form.json { as_json(&all) } else { as_text(&all) };
    match (good, arguments.form.json) {
        (true, _) => Ok(text),
        (false, true) if gone => Err(Failure::Broken(text)),
        (false, true) => Err(Failure::Told(text)),
        (false, false) if gone => Err(Failure::Machine(text)),
        (false, false) => Err(Failure::Refused(text)),
    }
}

/// A file that there is not, or that is no text.
fn unread(file: &str, text: &str) -> Seen {
    let mut lines = text.lines().map(|line| line.trim_start_matches("refused").trim());
    let finding = Diagnostic::refused("check/unread", lines.next().unwrap_or_default());
    let helps = lines.map(|line| line.trim_start_matches("try").trim());
    let finding = helps.fold(finding, Diagnostic::help);
    Seen { source: Source::new(file, ""), family: None, findings: vec![finding], tried: None }
}

fn look(source: Source, arguments: &Check, shop: &Shop) -> Seen {
    let checked = family::load(&source);
    let mut findings = checked.findings;
    let Some(family) = checked.value else {
        return Seen { source, family: None, findings, tried: None };
    };
    let tried = trial::try_out(&family, &shop.rack, arguments.tries);
    findings.extend(tried.findings.iter().cloned());
    if !findings.iter().any(|finding| finding.severity == Severity::Refused) {
        findings.extend(made(&family, shop));
    }
    Seen { source, family: Some(family), findings, tried: Some(tried) }
}

/// Makes the usual part and the examples in the shop, up to the proof of their programs.
fn made(family: &Family, shop: &Shop) -> Vec<Diagnostic> {
    let usual = Inputs { unit: Some(Unit::Mm), ..Inputs::default() };
    let examples = family.examples.iter().map(|example| {
        let inputs = Inputs { like: Some(example.name.clone()), ..Inputs::default() };
        (format!("The example `{}`", example.name), inputs, example.sizes.first().map(|(.., span)| *span))
    });
    let all = std::iter::once(("The usual part".to_owned(), usual, None)).chain(examples);
    all.filter_map(|(what, inputs, span)| {
        let order = Order { inputs, title: None, format: None, stamp: Stamp::default(), unproved: false };
        let job = job::make(family, &order, shop);
        if job.goods.is_some() {
            return None;
        }
        let mut finding = Diagnostic::refused("check/not-made", format!("{what} cannot be made in this shop."));
        finding = finding.at(family.source.name(), span.unwrap_or(family.number.span), "made up to its program");
        let refused = job.findings.iter().filter(|finding| finding.is_root());
        for found in refused.take(3) {
            finding = finding.note(found.headline.clone());
            finding.helps.extend(found.helps.iter().cloned());
        }
        Some(finding)
    })
    .collect()
}

fn as_text(all: &[Seen]) -> String {
    let mut parts = Vec::new();
    for seen in all {
        let name = seen.source.name();
        if !seen.findings.is_empty() {
            parts.push(report::of_sources(&seen.findings, &[&seen.source]));
        }
        let verdict = if seen.good() { report::holds("good") } else { report::refused("refused") };
        let cautions = seen.findings.iter().filter(|finding| finding.severity == Severity::Caution).count();
        let cautions = match cautions {
            0 => String::new(),
            1 => ", 1 caution".to_owned(),
            count => format!(", {count} cautions"),
        };
        let mut line = format!("{verdict}  {name}{cautions}");
        if let Some(family) = &seen.family {
            let _infallible = write!(
                line,
                "\n      {}, {}, {}, {}",
                counted(family.parameters.len(), "size"),
                counted(family.derived.len(), "value"),
                counted(family.rules.len(), "rule"),
                counted(family.examples.len(), "example")
            );
        }
        if let Some(tried) = &seen.tried {
            let refused = tried.points - tried.made;
            let _infallible = write!(line, "\n      {} tries: {} made, {refused} refused", tried.points, tried.made);
        }
        parts.push(line);
    }
    parts.join("\n\n") + "\n"
}

fn counted(count: usize, noun: &str) -> String {
    if count == 1 { format!("1 {noun}") } else { format!("{count} {noun}s") }
}

fn as_json(all: &[Seen]) -> String {
    let files: Vec<Value> = all
        .iter()
        .map(|seen| {
            let findings: Vec<Value> = seen.findings.iter().map(|finding| as_value(finding, &seen.source)).collect();
            let tried = seen.tried.as_ref().map(|tried| json!({ "points": tried.points, "made": tried.made }));
            json!({
                "file": seen.source.name(), "good": seen.good(), "family": seen.family.as_ref().map(|family| &family.name),
                "findings": findings, "tried": tried,
            })
        })
        .collect();
    let text = json!({ "good": all.iter().all(Seen::good), "files": files });
    serde_json::to_string_pretty(&text).unwrap_or_default() + "\n"
}

/// A finding with its places as lines and columns, counted from one.
fn as_value(finding: &Diagnostic, source: &Source) -> Value {
    let places: Vec<Value> = finding
        .labels
        .iter()
        .map(|label| {
            let (from, to) = (source.place(label.span.start), source.place(label.span.end));
            json!({
                "file": label.source, "line": from.line, "column": from.column,
                "end_line": to.line, "end_column": to.column,
                "text": source.slice(label.span), "label": label.text,
            })
        })
        .collect();
    json!({
        "code": finding.code, "severity": finding.severity, "headline": finding.headline,
        "places": places, "notes": finding.notes, "helps": finding.helps,
    })
}

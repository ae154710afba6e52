//! `barwright trace FILE --part part.json`: whether a program or paper belongs to a part.

use std::fmt::Write;
use std::path::Path;

use barwright_core::drawing::Stamp;
use barwright_core::record::{self, Record};
use barwright_core::{job, plan};
use serde_json::{Value, json};

use crate::args::Trace;
use crate::{Failure, Outcome, files, prove};

/// Tells whether a file belongs to a part, and what differs.
pub(crate) fn run(arguments: &Trace) -> Outcome {
    let outcome = look(arguments);
    if !arguments.form.json {
        return outcome;
    }
    // The same words, by their names.
    let (belongs, said) = match outcome {
        Ok(said) => (true, said),
        Err(Failure::Refused(said)) => (false, said),
        Err(other) => return Err(other),
    };
    let lines = said.lines().skip(1).filter_map(|line| line.trim_start().split_once("  "));
    let words: serde_json::Map<String, Value> =
        lines.map(|(name, words)| (name.replace(' ', "_"), Value::from(words.trim()))).collect();
    let text = json!({ "file": arguments.file.display().to_string(), "as_made": belongs, "found": words });
    let text = serde_json::to_string_pretty(&text).unwrap_or_default() + "\n";
    if belongs { Ok(text) } else { Err(Failure::Told(text)) }
}

fn look(arguments: &Trace) -> Outcome {
    let bytes = files::bytes_of(&arguments.file)?;
    let beside =
        arguments.file.parent().map_or_else(|| Path::new("part.json").to_path_buf(), |at| at.join("part.json"));
    let path = arguments.part.clone().unwrap_or(beside);
    let path = if path.is_dir() { path.join("part.json") } else { path };
    let record = prove::record(&path)?;
    let file = arguments.file.display();
    let text = String::from_utf8_lossy(&bytes);
    let named = record::named_digest(&bytes);
    let mut out =
        format!("{file}\n  part       {}  {}\n  digest     {}\n", record.part.number, record.part.title, record.digest);
    let whose = |other: &str| {
        format!(
            "  belongs    no: its digest is {other}\n  try        Look for the part.json that lies beside where it was made.\n"
        )
    };
    match &named {
        Some(other) if *other != record.digest => {
            out.push_str(&whose(other));
            return Err(Failure::Refused(out));
        }
        _ => {}
    }
    let is_program = arguments
        .file
        .extension()
        .is_some_and(|ending| ending.eq_ignore_ascii_case("nc") || ending.eq_ignore_ascii_case("ngc"));
    if is_program || (named.is_none() && text.lines().any(|line| line.contains("G21") || line.contains("G20"))) {
        return program(arguments, &record, &text, named.is_some(), out);
    }
    if named.is_none() {
        out.push_str("  belongs    nobody can tell: it names no digest\n");
        return Err(Failure::Refused(out));
    }
    let name = arguments.file.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
    out.push_str("  belongs    yes, by the digest that it names\n");
    if name == "first-piece.csv" {
        let fresh = record.first_piece_csv();
        match record::first_difference(&text, &fresh) {
            None => out.push_str("  differs    in nothing from the record\n"),
            Some(difference) => {
                tell(&mut out, &difference);
                return Err(Failure::Refused(out));
            }
        }
    }
    Ok(out)
}

fn tell(out: &mut String, difference: &record::Difference) {
    let shown = |line: &Option<String>| {
        line.as_ref().map_or_else(|| "(its end)".to_owned(), |line| line.escape_debug().to_string())
    };
    let _infallible = write!(
        out,
        "  differs    first in line {}\n    it has   {}\n    made     {}\n",
        difference.line,
        shown(&difference.has),
        shown(&difference.made)
    );
}

/// Holds a program against the one that record and shop make anew.
fn program(arguments: &Trace, record: &Record, text: &str, named: bool, mut out: String) -> Outcome {
    let control =
        arguments.place.control.as_deref().or_else(|| record.programs.first().map(|program| program.control.as_str()));
    let shop = files::shop(&arguments.place.shop, control)?;
    if named {
        out.push_str("  belongs    yes, by the digest that it names\n");
    } else {
        out.push_str("  digest     the file names none\n");
    }
    let Some(plan) = plan::plan(&record.part, &shop).value else {
        out.push_str("  differs    cannot be told: this shop cannot make the part any more\n");
        return if named { Ok(out) } else { Err(Failure::Refused(out)) };
    };
    let stamp = Stamp {
        revision: record::named_revision(text).unwrap_or_else(|| "A".to_owned()),
        digest: record.digest.clone(),
        owner: shop.owner.clone(),
        ..Stamp::default()
    };
    let mut fresh: Vec<String> =
        job::runs(&plan, &record.part, &shop, &stamp, record.proved).into_iter().map(|run| run.program.text).collect();
    fresh.extend(job::probes(&record.part, &plan, &shop, &stamp).into_iter().map(|(_, text)| text));
    let near = fresh
        .iter()
        .map(|made| record::first_difference(text, made))
        .max_by_key(|difference| difference.as_ref().map_or(usize::MAX, |difference| difference.line));
    match near.flatten() {
        None if !fresh.is_empty() => {
            if !named {
                out.push_str("  belongs    yes: it is what record and shop make\n");
            }
            out.push_str("  differs    in nothing from what record and shop make anew\n");
            Ok(out)
        }
        Some(difference) => {
            tell(&mut out, &difference);
            out.push_str(
                "  try        Edited, or made with another shop: prove it with `barwright prove` before it runs.\n",
            );
            Err(Failure::Refused(out))
        }
        None => Ok(out),
    }
}

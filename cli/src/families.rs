//! `barwright families`.

use std::fmt::Write;

use serde_json::json;

use crate::args::Families;
use crate::{Outcome, embedded, files};

/// Lists the families that are built in, with their examples.
pub(crate) fn run(arguments: &Families) -> Outcome {
    let mut text = String::new();
    let mut list = Vec::new();
    for (file, _) in embedded::FAMILIES {
        let family = files::family(file.trim_end_matches(".yaml"))?;
        let examples: Vec<_> =
            family.examples.iter().map(|example| json!({ "name": example.name, "title": example.title })).collect();
        list.push(json!({ "name": family.name, "title": family.title, "about": family.about, "examples": examples }));
        let _infallible = writeln!(text, "{:20} {}", family.name, family.title);
        for example in &family.examples {
            let _infallible = writeln!(text, "  --like {:22} {}", example.name, example.title);
        }
    }
    if arguments.form.json {
        return Ok(serde_json::to_string_pretty(&list).unwrap_or_default() + "\n");
    }
    text.push_str("\nbarwright explain FAMILY tells what it asks for.\n");
    Ok(text)
}

//! `barwright new NAME`: a commented family that works at once.

use std::path::{Path, PathBuf};

use serde_json::json;

use crate::args::New;
use crate::{Failure, Outcome, embedded, save};

/// The name in the text that a new family starts from.
const PLACEHOLDER: &str = "new-family";

/// What a new family starts from.
const START: &str = include_str!("../families/new-family.yaml");

/// Writes a family.
pub(crate) fn run(arguments: &New) -> Outcome {
    let name = &arguments.name;
    let good = name.len() <= 60
        && name.starts_with(|sign: char| sign.is_ascii_lowercase())
        && name.chars().all(|sign| sign.is_ascii_lowercase() || sign.is_ascii_digit() || sign == '-');
    if !good {
        return Err(Failure::Refused(format!(
            "refused  `{}` is no name of a family.\n  try    Small letters, digits and `-`, a letter first: stop-block.",
            name.escape_debug()
        )));
    }
    if embedded::FAMILIES.iter().any(|(file, _)| file.strip_suffix(".yaml") == Some(name.as_str())) {
        return Err(Failure::Refused(format!(
            "refused  `{name}` is built in, and `barwright make {name}` would go on making that one.\n  try    Another name, such as my-{name}."
        )));
    }
    let mut words = name.replace('-', " ");
    if let Some(first) = words.get_mut(..1) {
        first.make_ascii_uppercase();
    }
    let text = START.replace("New family", &words).replace(PLACEHOLDER, name);
    let path = arguments.output.clone().unwrap_or_else(|| PathBuf::from(format!("{name}.yaml")));
    let json = arguments.form.json;
    if path == Path::new("-") {
        return Ok(if json { json!({ "text": text }).to_string() + "\n" } else { text });
    }
    save::write_file(&path, text.as_bytes(), true)?;
    let shown = path.display();
    if json {
        return Ok(json!({ "written": [shown.to_string()] }).to_string() + "\n");
    }
    Ok(format!(
        "Written to {shown}. Open it in an editor, change a line, and look again:\n\n  barwright check {shown}\n  barwright make {shown}\n\nfamilies/GUIDE.md leads through it; `barwright reference` lists all that it can hold.\n"
    ))
}

//! Texts that people type and a sheet shows: each has to be one that the lettering can set.

use super::Stamp;
use super::lettering::Lettering;
use crate::diag::Diagnostic;
use crate::part::Part;

/// The most signs that a finding names.
const NAMED: usize = 8;

/// A finding for each text with a sign that the face lacks; `rows` are the variants of a table, of
/// which the numbers are shown.
pub(super) fn lacking(part: &Part, stamp: &Stamp, rows: &[Part]) -> Vec<Diagnostic> {
    let mut all: Vec<(String, &str)> = [
        ("The part number", part.number.as_str()),
        ("The title", part.title.as_str()),
        ("The material", part.material.title.as_str()),
        ("The finish", part.finish.as_str()),
        ("The name of the stock", part.blank.bar.as_str()),
        ("The name of the general tolerances", part.general.name.as_str()),
        ("The owner", stamp.owner.as_str()),
        ("The name of who drew it", stamp.drawn_by.as_deref().unwrap_or_default()),
        ("The date", stamp.date.as_deref().unwrap_or_default()),
        ("The revision", stamp.revision.as_str()),
        ("The digest", stamp.digest.as_str()),
    ]
    .into_iter()
    .map(|(field, text)| (field.to_owned(), text))
    .collect();
    all.extend(part.notes.iter().enumerate().map(|(at, note)| (format!("Note {}", at + 1), note.as_str())));
    all.extend(rows.iter().map(|row| ("A part number of the table".to_owned(), row.number.as_str())));
    let mut findings: Vec<Diagnostic> = all.into_iter().filter_map(|(field, text)| finding(&field, text)).collect();
    findings.dedup();
    findings
}

fn finding(field: &str, text: &str) -> Option<Diagnostic> {
    let signs = Lettering::lacks(text);
    if signs.is_empty() {
        return None;
    }
    let name = |sign: &char| {
        let code = format!("U+{:04X}", u32::from(*sign));
        if sign.is_alphanumeric() { format!("{sign} ({code})") } else { code }
    };
    let named: Vec<String> = signs.iter().take(NAMED).map(name).collect();
    let more = if signs.len() > NAMED { " and others" } else { "" };
    let headline = format!("{field} has {}{more}, which the drawing cannot letter.", named.join(", "));
    let help =
        "Latin letters, with accents too, figures and common signs such as ° ± µ × can be set: write it with those.";
    Some(Diagnostic::refused("drawing/no-such-letter", headline).help(help))
}

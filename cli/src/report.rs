//! Findings as text for a terminal.

use annotate_snippets::{AnnotationKind, Group, Level, Renderer, Snippet};
use barwright_core::diag::{Diagnostic, Severity};
use barwright_core::source::Source;

use crate::lines::wrapped;

/// Findings of a file, each with its line and a caret.
pub(crate) fn of_sources(findings: &[Diagnostic], sources: &[&Source]) -> String {
    let mut text: Vec<String> = findings.iter().map(|finding| one(finding, sources)).collect();
    let refused = findings.iter().filter(|finding| finding.severity == Severity::Refused).count();
    if refused > 1 {
        text.push(format!("{refused} things to mend."));
    }
    text.join("\n\n")
}

/// The longest line of a file that is shown.
const LONGEST: usize = 500;

fn one(finding: &Diagnostic, sources: &[&Source]) -> String {
    let level = match finding.severity {
        Severity::Refused => Level::ERROR.with_name("refused"),
        Severity::Caution => Level::WARNING.with_name("caution"),
    };
    let mut group = Group::with_title(level.primary_title(finding.headline.as_str()).id(finding.code));
    for (at, label) in finding.labels.iter().enumerate() {
        let Some(source) = sources.iter().find(|source| source.name() == label.source) else { continue };
        let place = source.place(label.span.start);
        let line = source.text().lines().nth(place.line - 1).unwrap_or("");
        if line.len() > LONGEST {
            // A line that nobody wrote by hand: it is named, not shown.
            let note = format!("line {}, column {}: {}", place.line, place.column, label.text);
            group = group.element(Level::NOTE.message(note));
            continue;
        }
        let kind = if at == 0 { AnnotationKind::Primary } else { AnnotationKind::Context };
        let snippet = Snippet::source(source.text())
            .path(source.name())
            .annotation(kind.span(label.span.range()).label(label.text.as_str()));
        group = group.element(snippet);
    }
    for note in &finding.notes {
        group = group.element(Level::NOTE.message(note.as_str()));
    }
    for help in &finding.helps {
        group = group.element(Level::HELP.with_name("try").message(help.as_str()));
    }
    Renderer::styled().term_width(100).render(&[group])
}

/// A word that says that all is well, in its colour.
pub(crate) fn holds(word: &str) -> String {
    format!("\u{1b}[1;32m{word}\u{1b}[0m")
}

/// A word that says that something is not, in its colour.
pub(crate) fn refused(word: &str) -> String {
    format!("\u{1b}[1;31m{word}\u{1b}[0m")
}

/// A text with the verdicts that begin its lines in their colours, as findings of files have them.
pub(crate) fn in_colour(text: &str) -> String {
    let coloured = |line: &str| match line.split_once("  ") {
        Some((word @ "refused", rest)) => format!("{}  {rest}", refused(word)),
        Some((word @ "caution", rest)) => format!("\u{1b}[1;33m{word}\u{1b}[0m  {rest}"),
        _ => line.to_owned(),
    };
    text.split('\n').map(coloured).collect::<Vec<_>>().join("\n")
}

/// Findings about sizes, in words alone: what, and what would work. What only follows from another
/// finding is left to those who read JSON.
pub(crate) fn of_sizes(findings: &[Diagnostic]) -> String {
    let mut lines = Vec::new();
    let advises = |finding: &Diagnostic| matches!(finding.code, "variant/remedy" | "variant/no-single-remedy");
    for finding in findings.iter().filter(|finding| !finding.follows || advises(finding)) {
        let word = match finding.severity {
            Severity::Refused => "refused",
            Severity::Caution => "caution",
        };
        if advises(finding) {
            lines.push(format!("\n{}", finding.headline));
        } else {
            lines.push(format!("{word}  {}", wrapped(&finding.headline, 9)));
        }
        lines.extend(finding.notes.iter().map(|note| format!("         {}", wrapped(note, 9))));
        lines.extend(finding.helps.iter().map(|help| format!("  try    {}", wrapped(help, 9))));
    }
    lines.join("\n")
}

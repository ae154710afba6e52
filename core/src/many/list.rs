//! A list of orders: a table with a line of names, and a variant on each line below.

use super::csv;
use crate::batch::Count;
use crate::diag::{Checked, Diagnostic, nearest};
use crate::family::Family;
use crate::quantity::Unit;
use crate::source::{Source, Span};
use crate::variant::Inputs;

/// The most rows of one list.
pub const MOST_ROWS: usize = 10_000;

/// One row of a list.
#[derive(Clone, Debug)]
pub struct Entry {
    /// The line of the file on which it begins, from one.
    pub line: usize,
    /// Its sizes, on top of those given for all.
    pub inputs: Inputs,
    /// A title of its own.
    pub title: Option<String>,
    /// How many pieces, where the list says it.
    pub quantity: Option<u32>,
    /// What is wrong with the row itself, before any size is read.
    pub wrong: Option<Diagnostic>,
}

/// What a column means.
#[derive(Clone, Debug, PartialEq, Eq)]
enum Column {
    Size(String),
    Quantity,
    Title,
    Unit,
    Like,
    /// A column without a name and without cells.
    Empty,
}

/// Words that mean something beside the names of sizes.
const WORDS: &[(&str, Column)] =
    &[("quantity", Column::Quantity), ("title", Column::Title), ("unit", Column::Unit), ("like", Column::Like)];

/// Reads a list. A line of names that is wrong refuses all of it; a row that is wrong is told of
/// in its place, and the others go on. Cells that are empty leave a size as it is for all.
pub fn orders(source: &Source, family: &Family, base: &Inputs) -> Checked<Vec<Entry>> {
    let refuse = |code, what: &str, line: usize, label: String| {
        Diagnostic::refused(code, what).at(source.name(), line_span(source, line), label)
    };
    let rows = match csv::parse(source.text()) {
        Ok(rows) => rows,
        Err(line) => {
            let label = "the quote on this line is opened and not closed".to_owned();
            return Checked::refuse(refuse("many/quote", "This list cannot be read.", line, label));
        }
    };
    let mut rows = rows.into_iter();
    let Some((line, header)) = rows.next() else {
        return Checked::refuse(
            Diagnostic::refused("many/empty", format!("{} is empty.", source.name()))
                .help("The first line names the sizes, the lines below it give them: one variant on each."),
        );
    };
    let mut findings = Vec::new();
    let columns: Vec<Column> = header.iter().map(|name| column(name, family, source, line, &mut findings)).collect();
    for (at, column) in columns.iter().enumerate() {
        if *column != Column::Empty && columns.iter().take(at).any(|other| other == column) {
            let label = format!("`{}` stands here twice", header[at]);
            findings.push(refuse("many/twice", "Two columns have one name.", line, label));
        }
    }
    let rows: Vec<csv::Line> = rows.collect();
    if rows.is_empty() {
        findings.push(refuse("many/empty", "There is no row below the names.", line, "only names".to_owned()));
    }
    if rows.len() > MOST_ROWS {
        let what = format!("{} rows are more than the {MOST_ROWS} of one list.", rows.len());
        findings.push(Diagnostic::refused("many/too-many", what).help("Part it into several lists."));
    }
    if !findings.is_empty() {
        return Checked { value: None, findings };
    }
    Checked::clean(rows.into_iter().map(|(line, cells)| entry(line, &cells, &columns, base)).collect())
}

fn column(name: &str, family: &Family, source: &Source, line: usize, findings: &mut Vec<Diagnostic>) -> Column {
    let plain = name.trim().to_lowercase().replace([' ', '-'], "_");
    if plain.is_empty() {
        return Column::Empty;
    }
    if let Some(parameter) = family.parameter(&plain) {
        return Column::Size(parameter.name.clone());
    }
    if let Some((_, column)) = WORDS.iter().find(|(word, _)| *word == plain) {
        return column.clone();
    }
    let words = WORDS.iter().map(|(word, _)| *word);
    let known: Vec<&str> = family.parameters.iter().map(|parameter| parameter.name.as_str()).chain(words).collect();
    let help = match nearest(&plain, known.iter().copied()) {
        Some(near) => format!("Did you mean `{near}`?"),
        None => format!("Known: {}.", known.join(", ")),
    };
    let what = format!("`{}` is no size of {}.", name.escape_debug(), family.name);
    let label = "a column of this name".to_owned();
    findings.push(
        Diagnostic::refused("many/unknown-column", what)
            .at(source.name(), name_span(source, line, name), label)
            .help(help),
    );
    Column::Empty
}

fn entry(line: usize, cells: &[String], columns: &[Column], base: &Inputs) -> Entry {
    let mut entry = Entry { line, inputs: base.clone(), title: None, quantity: None, wrong: None };
    let mut wrong = |what: String, help: &str| {
        if entry.wrong.is_none() {
            entry.wrong = Some(Diagnostic::refused("many/row", what).help(help));
        }
    };
    if cells.len() > columns.len() {
        let what = format!("The row has {} cells under {} names.", cells.len(), columns.len());
        wrong(what, "Put a cell with a comma in it in quotes.");
    }
    for (cell, column) in cells.iter().zip(columns) {
        // An apostrophe keeps a spreadsheet from running a cell; it is no part of the value.
        let guarded = cell.strip_prefix('\'').filter(|rest| rest.starts_with(['=', '+', '-', '@']));
        let text = guarded.unwrap_or(cell);
        if text.is_empty() {
            continue;
        }
        match column {
            Column::Size(name) => {
                entry.inputs.given.insert(name.clone(), text.to_owned());
            }
            Column::Title => entry.title = Some(text.to_owned()),
            Column::Like => entry.inputs.like = Some(text.to_owned()),
            Column::Unit => match text.to_lowercase().as_str() {
                "mm" => entry.inputs.unit = Some(Unit::Mm),
                "in" | "inch" => entry.inputs.unit = Some(Unit::Inch),
                _ => wrong(format!("unit: `{}` is neither mm nor in.", text.escape_debug()), "Write mm or in."),
            },
            Column::Quantity => match Count::read(text, "") {
                Ok(count) => entry.quantity = Some(count.ordered),
                Err(finding) => wrong(finding.headline, &finding.helps.join(" ")),
            },
            Column::Empty => wrong(format!("`{}` stands under no name.", text.escape_debug()), "Name its column."),
        }
    }
    entry
}

/// A whole line of a source.
fn line_span(source: &Source, line: usize) -> Span {
    let start: usize = source.text().split_inclusive('\n').take(line - 1).map(str::len).sum();
    let tail = source.text().get(start..).unwrap_or("");
    Span::new(start, start + tail.lines().next().unwrap_or("").len())
}

/// A name in a line of a source; the whole line where it is not there letter by letter.
fn name_span(source: &Source, line: usize, name: &str) -> Span {
    let span = line_span(source, line);
    let at = source.slice(span).find(name);
    at.map_or(span, |at| Span::new(span.start + at, span.start + at + name.len()))
}

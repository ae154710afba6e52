//! The reference of family files, as a page: every key, function, look-up and unit, from the same
//! tables that the loader and the formulas work by.

use std::fmt::Write;

use super::keys::{CUTS, TABLES, Table, Takes};
use super::load::MOST;
use super::schema::LONGEST_NAME;
use crate::formula::{self, Kind, fields, functions};
use crate::quantity::units;
use crate::yaml;

/// The reference as Markdown.
pub fn reference() -> String {
    let mut out = String::new();
    out += "# What a family file can hold\n\n\
        `barwright reference` writes this page out of the program's own tables. The guide beside it,\n\
        [GUIDE.md](GUIDE.md), leads there step by step.\n";
    keys(&mut out);
    kinds(&mut out);
    language(&mut out);
    look_ups(&mut out);
    limits(&mut out);
    out
}

fn line(out: &mut String, text: &str) {
    out.push_str(text);
    out.push('\n');
}

fn keys(out: &mut String) {
    line(out, "\n## The file and its parts");
    for table in TABLES {
        let _infallible = write!(out, "\n### {}\n\n{}\n\n", heading(table), table.about);
        line(out, "| key | needed | holds | what it is |\n|---|---|---|---|");
        for key in table.keys {
            let need = if key.need { "yes" } else { "" };
            let _infallible = writeln!(out, "| `{}` | {need} | {} | {} |", key.name, holds(key.takes), key.about);
        }
    }
}

fn heading(table: &Table) -> String {
    let cut = CUTS.iter().any(|(.., known)| known.name == table.name);
    match table.name {
        "family" => "The family: top of the file".to_owned(),
        "size" => "A size: each name under `sizes`".to_owned(),
        "value" => "A value: each name under `follows`".to_owned(),
        "rule" => "A rule: each name under `rules`".to_owned(),
        "hardware" => "A line of hardware: each entry of `hardware`".to_owned(),
        "example" => "An example: each name under `examples`".to_owned(),
        name if cut => format!("`{name}`: an entry of `cut`"),
        name => format!("`{name}`"),
    }
}

fn holds(takes: Takes) -> String {
    match takes {
        Takes::Text => "words".to_owned(),
        Takes::Sentence => "a sentence, formulas in braces".to_owned(),
        Takes::Sentences => "a list of sentences".to_owned(),
        Takes::Formula(to) => format!("a formula: {to}"),
        Takes::Answer => "an answer of its kind".to_owned(),
        Takes::Answers => "a list of answers".to_owned(),
        Takes::YesNo => "`yes`, `no`".to_owned(),
        Takes::OneOf(words) => words().iter().map(|word| format!("`{word}`")).collect::<Vec<_>>().join(", "),
        Takes::Name => "the name of a size".to_owned(),
        Takes::Pair(each) => format!("a list of two formulas: {each} each"),
        Takes::Pairs(each) => format!("a list of pairs of formulas: {each} each"),
        Takes::Table(table) => format!("the keys of `{}`", table.name),
        Takes::Tables(table) => format!("a list, each with the keys of `{}`", table.name),
        Takes::Named(table, _) => format!("names of your own, each with the keys of `{}`", table.name),
        Takes::NamedOrFormula(table) => {
            format!("names of your own, each with a formula or the keys of `{}`", table.name)
        }
        Takes::Sizes => "names of sizes with answers".to_owned(),
        Takes::Cuts => "a list; each entry is one of those below".to_owned(),
    }
}

fn kinds(out: &mut String) {
    line(out, "\n## Kinds of sizes\n\nWhat `is` can say, and what a person then types.\n");
    line(out, "| `is` | an answer |\n|---|---|");
    for (word, kind) in super::load::KINDS {
        let answer = match kind.kind() {
            Kind::Quantity(_) if *word == "count" => "`4`",
            Kind::Quantity(dim) => match dim.name() {
                Some("length") => "`6.4 mm`, `3/8 in`, `1-1/2\"`",
                Some("angle") => "`90°`",
                Some("torque") => "`2 N·m`, `35 in-lb`",
                Some("force") => "`400 N`, `90 lbf`",
                Some("stress") => "`200 MPa`, `29 ksi`",
                _ => "`0.2`, `15 %`",
            },
            Kind::Truth => "`yes`, `no`",
            Kind::Word => "one of the words of `one_of`",
            Kind::Thread => "`M5`, `10-32`, `1/4-20`",
            Kind::Material => "`brass-c36000`; `barwright standard material brass` tells of them",
            Kind::Fit => "`e9`, or the least and the most clearance: `0.05 to 0.10 mm`",
            Kind::Places => "places of a grid, column before row: `2/1, 3/1`; or `none`",
            Kind::SetScrew | Kind::CapScrew | Kind::Bar | Kind::Rack => "",
        };
        let _infallible = writeln!(out, "| `{word}` | {answer} |");
    }
}

fn language(out: &mut String) {
    line(out, "\n## Formulas\n");
    line(
        out,
        "Numbers carry their units: `1.5`, `0.5 mm`, `3/8 in`, `90°`, `75 %`. Names are those of sizes and values. Units \
         are checked when the file is read, before there is any number.\n",
    );
    line(out, "| written | what it is |\n|---|---|");
    for (written, what) in LANGUAGE {
        let _infallible = writeln!(out, "| {written} | {what} |");
    }
    line(out, "\n### Functions\n\n| function | of | what it gives |\n|---|---|---|");
    for function in functions() {
        let _infallible = writeln!(out, "| `{}` | {} | {} |", function.name, function.takes, function.about);
    }
    line(out, "\n### Names that are always there\n\n| name | what it is |\n|---|---|");
    for (name, kind, about) in super::build::GIVEN {
        let _infallible = writeln!(out, "| `{name}` | {}: {about} |", kind.with_article());
    }
    line(out, "| `pi` | a number: 3.14159… |");
    line(out, "\n### Units\n\n| of | written |\n|---|---|");
    let mut rows: Vec<(String, Vec<&str>)> = Vec::new();
    for (sign, dim) in units() {
        let of = dim.to_string();
        match rows.iter_mut().find(|(known, _)| *known == of) {
            Some((_, signs)) => signs.push(sign),
            None => rows.push((of, vec![sign])),
        }
    }
    for (of, signs) in rows {
        let signs: Vec<String> = signs.iter().map(|sign| format!("`{sign}`")).collect();
        let _infallible = writeln!(out, "| {of} | {} |", signs.join(", "));
    }
    line(out, "\nIn sentences, `{name}` or any formula in braces prints its value in the unit of the drawing.");
}

/// What a formula is made of.
const LANGUAGE: &[(&str, &str)] = &[
    ("`a + b`, `a - b`, `a * b`, `a / b`", "arithmetic"),
    ("`a ^ 2`", "a whole power, from -9 to 9"),
    ("`a < b`, `<=`, `=`, `!=`, `>=`, `>`", "comparison; also in a row: `2 mm <= web <= 5 mm`"),
    ("`a and b`, `a or b`, `not a`", "both, one of them, the contrary"),
    ("`if a then b else c`", "`b` where `a` holds, else `c`"),
    ("`'word'`", "a word"),
    ("`name.field`, `name.field(a, b)`", "what a standard or the rack knows of a value; see the look-ups"),
    ("`name.least`, `.most`, `.middle`, `.upper`, `.lower`", "of a value with limits: its sizes and deviations"),
];

fn look_ups(out: &mut String) {
    line(out, "\n## Look-ups");
    let mut of: Vec<Kind> = fields().iter().map(|field| field.of).collect();
    of.dedup();
    for kind in of {
        let _infallible = write!(out, "\n### Of {}\n\n", kind.with_article());
        line(out, "| written | gives | what it is |\n|---|---|---|");
        for field in fields().iter().filter(|field| field.of == kind) {
            let takes: Vec<String> = field.takes.iter().map(Kind::to_string).collect();
            let takes = if takes.is_empty() { String::new() } else { format!("({})", takes.join(", ")) };
            let gives = field.gives.with_article();
            let _infallible = writeln!(out, "| `.{}{takes}` | {gives} | {} |", field.name, field.about);
        }
    }
}

fn limits(out: &mut String) {
    line(out, "\n## Limits\n\nSo that a file from a stranger is safe to open.\n");
    let _infallible =
        writeln!(out, "- a file: {} KiB, nested {} deep; no tags, no aliases", yaml::LARGEST / 1024, yaml::DEEPEST);
    let _infallible =
        writeln!(out, "- sizes, values, rules, examples, cuts: {MOST} each; a name: {LONGEST_NAME} letters");
    let _infallible = writeln!(out, "- a formula: {} letters, nested {} deep", formula::LONGEST, formula::DEEPEST);
    line(out, "- a formula reads no file, repeats nothing and cannot name itself: it always ends");
}

//! The guide says what is so: every piece of it is loaded, merged, made or refused as it tells.
//!
//! A comment before each piece says what it is: `whole: name`; `into: base, as: name`; `wrong:
//! base`, with `says` before what is said; `refused: base name=value …`; `tells: base, codes`;
//! `derived: base`.

use std::collections::BTreeMap;

use barwright_core::diag::{Diagnostic, Severity};
use barwright_core::drawing::Stamp;
use barwright_core::family::{self, Family};
use barwright_core::job::{self, Order};
use barwright_core::quantity::Unit;
use barwright_core::source::Source;
use barwright_core::trial;
use barwright_core::variant::{self, Inputs};
use barwright_tests::{demo_shop, text};
use serde_yaml::Value;

/// A fenced piece with the comment before it.
struct Piece {
    line: usize,
    mark: String,
    text: String,
}

fn pieces(guide: &str) -> Vec<Piece> {
    let mut found = Vec::new();
    let (mut mark, mut open): (Option<String>, Option<(usize, String)>) = (None, None);
    for (at, line) in guide.lines().enumerate() {
        match (&mut open, line) {
            (Some((start, text)), "```") => {
                let mark = mark.take().unwrap_or_else(|| panic!("line {start}: a piece that nothing tests"));
                found.push(Piece { line: *start, mark, text: std::mem::take(text) });
                open = None;
            }
            (Some((_, text)), line) => {
                text.push_str(line);
                text.push('\n');
            }
            (None, line) if line.starts_with("```") => open = Some((at + 2, String::new())),
            (None, line) => {
                if let Some(comment) = line.strip_prefix("<!-- ").and_then(|rest| rest.strip_suffix(" -->")) {
                    mark = Some(comment.to_owned());
                }
            }
        }
    }
    found
}

/// Puts one tree into another: maps grow and change, everything else is replaced.
fn put(into: &mut Value, from: Value) {
    match (into, from) {
        (Value::Mapping(into), Value::Mapping(from)) => {
            for (key, value) in from {
                match into.get_mut(&key) {
                    // A size, value or rule that is given again is given whole.
                    Some(known) if key.as_str().is_some_and(|key| TOP.contains(&key)) => put(known, value),
                    _ => {
                        into.insert(key, value);
                    }
                }
            }
        }
        (into, from) => *into = from,
    }
}

const TOP: &[&str] = &["sizes", "follows", "rules", "shape", "examples"];

fn merged(bases: &BTreeMap<String, Value>, base: &str, piece: &Piece) -> Value {
    let mut whole = bases.get(base).unwrap_or_else(|| panic!("line {}: there is no `{base}`", piece.line)).clone();
    put(&mut whole, tree(piece));
    whole
}

fn tree(piece: &Piece) -> Value {
    serde_yaml::from_str(&piece.text).unwrap_or_else(|error| panic!("line {}: {error}", piece.line))
}

fn load(whole: &Value, line: usize) -> Result<Family, Vec<Diagnostic>> {
    let text = serde_yaml::to_string(whole).unwrap_or_else(|error| panic!("line {line}: {error}"));
    family::load(&Source::new("peg-bar.yaml", text)).into_result()
}

fn good(whole: &Value, line: usize) -> Family {
    load(whole, line).unwrap_or_else(|findings| panic!("line {line}: {findings:#?}"))
}

fn order(inputs: Inputs) -> Order {
    Order { inputs, title: None, format: None, stamp: Stamp::default(), unproved: false }
}

/// The usual part and every example are made, and nobody could say that the family is bad.
fn made(whole: &Value, line: usize) {
    let family = good(whole, line);
    let shop = demo_shop("canned");
    let usual = Inputs { unit: Some(Unit::Mm), ..Inputs::default() };
    let examples =
        family.examples.iter().map(|example| Inputs { like: Some(example.name.clone()), ..Inputs::default() });
    for inputs in std::iter::once(usual).chain(examples) {
        let job = job::make(&family, &order(inputs), &shop);
        assert!(job.goods.is_some(), "line {line}: made: {:#?}", job.findings);
    }
    let refused = |finding: &&Diagnostic| finding.severity == Severity::Refused;
    let tried = trial::try_out(&family, &shop.rack, 150);
    assert_eq!(tried.findings.iter().find(refused), None, "line {line}: tried");
}

/// Everything that findings say stands in a text, whatever its line breaks.
fn says(findings: &[Diagnostic], piece: &Piece) {
    let plain = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    let told = plain(&piece.text);
    assert!(!findings.is_empty(), "line {}: nothing was found", piece.line);
    for finding in findings {
        let labels = finding.labels.iter().map(|label| &label.text).filter(|_| !finding.code.starts_with("rule/"));
        for words in std::iter::once(&finding.headline).chain(labels).chain(&finding.notes).chain(&finding.helps) {
            assert!(told.contains(&plain(words)), "line {}: the guide does not say `{words}`", piece.line);
        }
    }
}

fn given(words: &str) -> Inputs {
    let given = words.split_whitespace().filter_map(|word| word.split_once('='));
    Inputs { given: given.map(|(name, value)| (name.to_owned(), value.to_owned())).collect(), ..Inputs::default() }
}

#[test]
fn every_piece_of_the_guide_works_as_it_says() {
    let shop = demo_shop("canned");
    let mut bases: BTreeMap<String, Value> = BTreeMap::new();
    let mut told: Vec<Diagnostic> = Vec::new();
    let mut seen = 0;
    for piece in pieces(&text("families/GUIDE.md")) {
        seen += 1;
        let (verb, rest) = piece.mark.split_once(": ").unwrap_or((&piece.mark, ""));
        let (first, second) = rest.split_once(", ").unwrap_or((rest, ""));
        match verb {
            "whole" => {
                let whole = tree(&piece);
                made(&whole, piece.line);
                bases.insert(first.to_owned(), whole);
            }
            "into" => {
                let whole = merged(&bases, first, &piece);
                made(&whole, piece.line);
                let name = second.strip_prefix("as: ").unwrap_or_else(|| panic!("line {}: as what", piece.line));
                bases.insert(name.to_owned(), whole);
            }
            "wrong" => {
                let whole = merged(&bases, first, &piece);
                told = load(&whole, piece.line).err().unwrap_or_else(|| panic!("line {}: not refused", piece.line));
            }
            "says" => says(&told, &piece),
            "refused" => {
                let (base, words) = rest.split_once(' ').unwrap_or((rest, ""));
                let job = job::make(&good(&bases[base], piece.line), &order(given(words)), &shop);
                assert!(job.goods.is_none(), "line {}: refused", piece.line);
                says(&job.findings, &piece);
            }
            "tells" => {
                let family = good(&merged(&bases, first, &piece), piece.line);
                let tried = trial::try_out(&family, &shop.rack, 1000);
                let codes: Vec<&str> = tried.findings.iter().map(|finding| finding.code).collect();
                for code in second.split(' ') {
                    assert!(codes.contains(&code), "line {}: {code} is told: {codes:?}", piece.line);
                }
            }
            "derived" => {
                let family = good(&merged(&bases, first, &piece), piece.line);
                let inputs = Inputs { unit: Some(Unit::Mm), ..Inputs::default() };
                let variant = variant::derive(&family, &inputs, &shop.rack);
                assert!(variant.part.is_some(), "line {}: {:#?}", piece.line, variant.findings);
            }
            other => panic!("line {}: `{other}` is no test", piece.line),
        }
    }
    assert!(seen > 15, "the pieces were found: {seen}");
}

#[test]
fn the_reference_is_what_the_program_says() {
    let said = family::reference();
    if std::env::var_os("BLESS").is_some() {
        let path = barwright_tests::house().join("families/REFERENCE.md");
        std::fs::write(path, &said).expect("a file that can be written");
    }
    assert_eq!(text("families/REFERENCE.md"), said, "BLESS=1 writes it anew");
}

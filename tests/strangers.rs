//! A family file from a stranger is safe to open: every limit, and what is said past it.
//!
//! That a family reads no file needs no test of its own: nothing in the core does (`house.rs`).

use barwright_core::family::load;
use barwright_core::source::Source;
use barwright_core::variant::{Inputs, derive};
use barwright_core::yaml::LARGEST;

const SMALL: &str = "
family: small
title: Small
number: 'S'
sizes:
  length: { is: length, ask: Length, usual: 80 mm }
  material: { is: material, ask: Material, usual: brass-c36000 }
follows:
  other: length
shape:
  bar: rack.largest(material, 20 mm, 12 mm)
  material: material
  length: length
  general: ISO 2768-m
";

/// Refused with this code and these words.
fn refused(text: String, code: &str, words: &str) {
    let found = load(&Source::new("stranger.yaml", text));
    assert!(found.value.is_none(), "{code}: refused");
    let finding = found.findings.iter().find(|finding| finding.code == code);
    let finding = finding.unwrap_or_else(|| panic!("{code} is told: {:?}", found.findings.first()));
    let said = format!("{} {}", finding.headline, finding.labels.first().map_or("", |label| &label.text));
    assert!(said.contains(words), "{code}: `{said}` does not say `{words}`");
    assert!(found.findings.len() <= 201, "{code}: {} findings", found.findings.len());
}

fn with(from: &str, to: &str) -> String {
    assert!(SMALL.contains(from), "it holds `{from}`");
    SMALL.replacen(from, to, 1)
}

#[test]
fn the_small_family_is_good() {
    assert!(load(&Source::new("small", SMALL)).value.is_some(), "so that the others fail for their own reason");
}

#[test]
fn size_and_depth() {
    refused(format!("{SMALL}# {}", "x".repeat(LARGEST)), "yaml/too-large", "256 KiB");
    let deep = format!("about: {}{}", "[".repeat(100), "]".repeat(100));
    refused(with("title: Small", &format!("title: Small\n{deep}")), "yaml/too-deep", "64 deep");
    let deeper = format!("{}{}", "[".repeat(50_000), "]".repeat(50_000));
    let found = load(&Source::new("deeper", deeper));
    assert!(found.value.is_none() && !found.findings.is_empty(), "no overflow of the stack");
    let open = load(&Source::new("open", "{a: ".repeat(20_000)));
    assert!(open.value.is_none() && !open.findings.is_empty(), "nor where nothing is closed");
}

#[test]
fn aliases_and_tags() {
    refused(with("title: Small", "title: &t Small\nabout: *t"), "yaml/alias", "Aliases");
    refused(with("title: Small", "title: !secret Small"), "yaml/tag", "Tags");
    // Ten to the ninth power, if it were written out.
    let mut bomb = "a0: &a0 [x, x, x, x, x, x, x, x, x, x]\n".to_owned();
    for n in 1..9 {
        let row = vec![format!("*a{}", n - 1); 10].join(", ");
        bomb.extend([format!("a{n}: &a{n} [{row}]\n")]);
    }
    refused(format!("{bomb}{SMALL}"), "yaml/alias", "Aliases");
}

#[test]
fn how_many() {
    let many = |entry: &str| (0..201).map(|n| format!("  n{n}{entry}\n")).collect::<Vec<_>>().concat();
    refused(with("  other: length\n", &many(": 1 mm")), "family/too-many", "at most 200");
    let sizes = many(": { is: length, ask: A, usual: 1 mm }");
    refused(with("sizes:\n", &format!("sizes:\n{sizes}")), "family/too-many", "at most 200");
    let words = vec!["a"; 50_000].join(",");
    let size = format!("sizes:\n  w: {{ is: word, ask: W, usual: a, one_of: [{words}] }}");
    refused(with("sizes:", &size), "family/too-many", "50000 here");
    let cuts = "    - slot: {}\n".repeat(201);
    refused(format!("{SMALL}  cut:\n{cuts}"), "family/too-many", "at most 200");
    let notes = vec!["a"; 201].join(",");
    refused(format!("{SMALL}  notes: [{notes}]\n"), "family/too-many", "at most 200");
    let example = (0..20_000).map(|n| format!("n{n}: 1,")).collect::<Vec<_>>().concat();
    refused(
        format!("{SMALL}examples:\n  e: {{ title: E, sizes: {{ {example} }} }}\n"),
        "family/too-many",
        "20000 here",
    );
    // Very many faults are told as the first ones, and that there are more.
    let junk = (0..20_000).map(|n| format!("k{n}: 1\n")).collect::<Vec<_>>().concat();
    refused(format!("{SMALL}{junk}"), "family/too-many-findings", "more than these 200");
}

#[test]
fn formulas() {
    let formula = |text: &str| with("other: length", &format!("other: {text}"));
    refused(formula(&format!("1 mm{}", " + 1 mm".repeat(400))), "formula/too-long", "2000");
    refused(formula(&format!("{}1 mm{}", "(".repeat(60), ")".repeat(60))), "formula/too-deep", "32 deep");
    refused(formula(&format!("{}1 mm", "-".repeat(60))), "formula/too-deep", "32 deep");
    refused(formula("other + 1 mm"), "family/circle", "needs itself");
    refused(formula("length ^ 99"), "formula/power", "-9 to 9");
    refused(with("other:", &format!("{}:", "n".repeat(61))), "family/name", "letters");
}

#[test]
fn numbers_that_grow_out_of_reach() {
    // Each value is the ninth power of the one before: the third would have 700 digits.
    let follows = "  a: 1e9\n  b: a ^ 9\n  c: b ^ 9\n  d: c ^ 9 - c ^ 9\n";
    let source = Source::new("growing", with("  other: length\n", follows));
    match load(&source).into_result() {
        // `1e9` may be no number of the language; then the file is refused already.
        Err(findings) => assert!(!findings.is_empty(), "told"),
        Ok(family) => {
            let variant = derive(&family, &Inputs::default(), &[]);
            assert!(variant.part.is_none() && !variant.findings.is_empty(), "told, and no part");
        }
    }
}

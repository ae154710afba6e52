//! What is told of a bad family file: every fault of it, each at its place.

use super::load;
use crate::source::Source;

const GOOD: &str = include_str!("../../../families/joining-key.yaml");

/// The codes and the marked texts of the findings of a family with some lines changed.
fn findings(changes: &[(&str, &str)]) -> Vec<(String, String)> {
    let mut text = GOOD.to_owned();
    for (from, to) in changes {
        assert!(text.contains(from), "the family holds `{from}`");
        text = text.replacen(from, to, 1);
    }
    let source = Source::new("family", text);
    let checked = load(&source);
    assert!(checked.value.is_none() || checked.findings.is_empty(), "a finding refuses the family");
    let marked = |finding: &crate::diag::Diagnostic| {
        finding.labels.first().map_or(String::new(), |label| source.slice(label.span).to_owned())
    };
    checked.findings.iter().map(|finding| (finding.code.to_owned(), marked(finding))).collect()
}

#[test]
fn the_joining_key_is_sound() {
    let checked = load(&Source::new("family", GOOD));
    assert!(checked.findings.is_empty(), "{:?}", checked.findings);
    let family = checked.value.expect("no finding");
    assert_eq!(family.order.len(), family.parameters.len() + family.derived.len(), "every value has its turn");
    for (at, name) in family.order.iter().enumerate() {
        let Some(derived) = family.derived(name) else { continue };
        for need in crate::formula::names(&derived.formula.expr) {
            if let Some(place) = family.order.iter().position(|other| other == need) {
                assert!(place < at, "{name} comes after {need}");
            }
        }
    }
}

/// What a caliper reads on the rail, and nothing that is chosen.
#[test]
fn sizes_are_measured_or_chosen() {
    let measured = |text: String| -> Vec<String> {
        let family = load(&Source::new("family", text)).into_result().expect("the family is sound");
        family.parameters.into_iter().filter(|size| size.measured).map(|size| size.name).collect()
    };
    assert_eq!(
        measured(GOOD.to_owned()),
        ["slot_opening", "lip_thickness", "channel_width", "channel_depth"],
        "those on the rail"
    );
    let fewer = GOOD.replacen("    measured: yes\n", "    measured: no\n", 1).replacen("    measured: yes\n", "", 1);
    assert_eq!(measured(fewer), ["channel_width", "channel_depth"], "no, or nothing said, is a choice");
}

#[test]
fn one_fault_one_finding() {
    for (from, to, code, marked) in [
        ("as: lip_thickness - below_face", "as: lip_thickness - below_fase", "formula/unknown-name", "below_fase"),
        ("as: lip_thickness - below_face", "as: lip_thickness + 90°", "formula/unit-mismatch", "lip_thickness + 90°"),
        ("as: lip_thickness - below_face", "as: lip_thickness -", "formula/syntax", ""),
        ("must: tongue_height >= 1 mm", "must: tongue_height - 1 mm", "formula/unit-mismatch", "tongue_height - 1 mm"),
        ("is: length\n    ask: Opening", "is: lenght\n    ask: Opening", "yaml/choice", "lenght"),
        ("    usual: 10 mm\n", "    usual: 10\n", "formula/unit-mismatch", "10"),
        ("    from: 4 mm\n    to: 40 mm", "    from: 4 mm\n    too: 40 mm", "yaml/unknown-key", "too"),
        (
            "else: refused\n    say: \"The tongue could",
            "else: stop\n    say: \"The tongue could",
            "yaml/choice",
            "stop",
        ),
        ("{tongue_width.most} wide", "{tongue_wide} wide", "formula/unknown-name", "tongue_wide"),
        ("    measured: yes\n", "    measured: perhaps\n", "yaml/value", "perhaps"),
        ("general: ISO 2768-m", "general: ISO 2768-x", "yaml/choice", "ISO 2768-x"),
        ("    - tongue:", "    - tonge:", "family/cut", "tonge"),
        ("  step:\n    is: length", "  Step:\n    is: length", "family/name", "Step"),
        ("    usual: M5\n", "    usual: M55\n", "family/choices", "is: thread"),
        ("length: key_length\n", "length: screws\n", "formula/unit-mismatch", "screws"),
        ("    count: 2 * screws\n    key", "    count: torque\n    key", "formula/unit-mismatch", "torque"),
        ("    per: order\n", "    per: box\n", "yaml/choice", "box"),
        ("    key: \"{screw.set", "    key: \"{scrw.set", "formula/unknown-name", "scrw.set_screw.key_name"),
        ("      slot_opening: 10\n", "      slot_openin: 10\n", "family/unknown-size", "slot_openin"),
    ] {
        let found = findings(&[(from, to)]);
        assert!(found.iter().any(|(c, m)| c == code && m == marked), "{to}: {found:?}");
    }
}

/// Such a value loaded, and then refused every variant with a fault of its own making.
#[test]
fn only_lengths_have_limits() {
    let more = |kind: &str| format!("\nfollows:\n  ratio: {{ as: {kind}, upper: 0.1, lower: 0 }}\n");
    for value in ["2", "90°", "2 mm * 3 mm", "screw", "2 < 3"] {
        let found = findings(&[("\nfollows:\n", &more(value))]);
        assert_eq!(found, [("family/limits".to_owned(), "0.1".to_owned())], "{value}");
    }
    let found = findings(&[("\nfollows:\n", &more("2 mm"))]);
    let codes: Vec<&str> = found.iter().map(|(code, _)| code.as_str()).collect();
    assert_eq!(codes, ["formula/unit-mismatch", "formula/unit-mismatch"], "limits of a length are lengths");
}

#[test]
fn every_fault_of_a_file_is_told_at_once() {
    let found = findings(&[
        ("as: lip_thickness - below_face", "as: lip_thickness - below_fase"),
        ("must: overlap >= 1 mm", "must: overlap >= 1"),
        ("general: ISO 2768-m", "general: loose"),
    ]);
    let codes: Vec<&str> = found.iter().map(|(code, _)| code.as_str()).collect();
    assert_eq!(
        codes,
        ["formula/unknown-name", "formula/unit-mismatch", "yaml/choice"],
        "in the order of the file: {found:?}"
    );
}

#[test]
fn circles_are_found() {
    let found = findings(&[
        ("as: channel_depth - body_height", "as: channel_depth - body_height + 0 * overlap"),
        ("as: (channel_width - bar.width) / 2", "as: (channel_width - bar.width) / 2 + 0 * lift"),
        ("as: bar.height - tongue_height", "as: bar.height - tongue_height + 0 * overlap"),
    ]);
    assert!(found.iter().any(|(code, _)| code == "family/circle"), "{found:?}");
}

#[test]
fn strangers_files_are_safe() {
    for text in [
        "",
        "x",
        "[]",
        "family: x",
        "family: [1, 2]\nsizes: 3\nfollows: x\nrules: []\nshape: 1",
        "family: \u{0}",
        "\u{feff}family: x",
    ] {
        let checked = load(&Source::new("stranger", text));
        assert!(checked.value.is_none() && !checked.findings.is_empty(), "{text:?} is refused with a reason");
    }
    let many: String = (0..300).fold(String::new(), |text, n| text + &format!("  v{n}: 1\n"));
    let found = findings(&[("  # The section: what fits the rail.\n", &many)]);
    assert!(found.iter().any(|(code, _)| code == "family/too-many"), "{found:?}");
}

proptest::proptest! {
    #![proptest_config(proptest::prelude::ProptestConfig::with_cases(200))]
    #[test]
    fn damaged_files_never_panic(at in 0_usize..GOOD.len(), with in "[ -~\n]{0,4}", cut in 0_usize..30) {
        let mut text = GOOD.to_owned();
        let start = (0..=at).rev().find(|byte| text.is_char_boundary(*byte)).unwrap_or(0);
        let end = (start + cut).min(text.len());
        let end = (end..=text.len()).find(|byte| text.is_char_boundary(*byte)).unwrap_or(text.len());
        text.replace_range(start..end, &with);
        let checked = load(&Source::new("damaged", text));
        proptest::prop_assert!(checked.value.is_some() || !checked.findings.is_empty());
    }
}

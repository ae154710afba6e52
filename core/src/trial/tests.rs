//! What trying a family out tells, on small families that break in known ways.

use super::{Report, try_out};
use crate::diag::{Diagnostic, Severity};
use crate::family::load;
use crate::quantity::Length;
use crate::source::Source;
use crate::standards::stock::Bar;

const SMALL: &str = "
family: small
title: Small
number: 'S-{length}'
sizes:
  length: { is: length, ask: Length, usual: 80 mm, from: 40 mm, to: 90 mm, step: 1 mm }
  pitch: { is: length, ask: Pitch, usual: 12 mm, from: 5 mm, to: 14 mm }
  material: { is: material, ask: Material, usual: brass-c36000, one_of: [brass-c36000] }
follows:
  over: length - 3 * pitch
rules:
  over: { must: over > 3 * pitch, else: refused, say: '{over}', source: none }
shape:
  bar: rack.largest(material, 20 mm, 12 mm)
  material: material
  length: length
  general: ISO 2768-m
  cut:
    - holes: { name: row, title: Row, count: 2, pitch: pitch, diameter: 3 mm, place_tolerance: 0.1 mm }
examples:
  one: { title: One, unit: mm, sizes: { length: 85 } }
";

fn rack() -> Vec<Bar> {
    let bar = |width: f64| Bar {
        name: "bar".to_owned(),
        material: "brass-c36000".to_owned(),
        width: Length::mm(width),
        height: Length::mm(10.0),
        tolerance: Length::mm(0.05),
        lengths: vec![Length::mm(1000.0)],
        rests: Vec::new(),
    };
    vec![bar(12.0), bar(20.0)]
}

fn tried(changes: &[(&str, &str)]) -> (Report, Source) {
    let mut text = SMALL.to_owned();
    for (from, to) in changes {
        assert!(text.contains(from), "the family holds `{from}`");
        text = text.replacen(from, to, 1);
    }
    let source = Source::new("small", text);
    let family = load(&source).into_result().expect("it loads");
    (try_out(&family, &rack(), 800), source)
}

/// The one finding of this code, with the text that it marks.
fn told(changes: &[(&str, &str)], code: &str) -> (Diagnostic, String) {
    let (report, source) = tried(changes);
    let codes: Vec<&str> = report.findings.iter().map(|finding| finding.code).collect();
    let finding = report.findings.iter().find(|finding| finding.code == code);
    let finding = finding.unwrap_or_else(|| panic!("{code} is told: {codes:?}")).clone();
    let marked = source.slice(finding.labels[0].span).to_owned();
    (finding, marked)
}

#[test]
fn a_good_family_has_nothing_to_tell() {
    let (report, _) = tried(&[]);
    let codes: Vec<_> = report.findings.iter().map(|finding| (finding.code, &finding.headline)).collect();
    assert_eq!(codes, [], "no finding");
    assert!(report.points >= 800 && report.made > 200, "{} of {}", report.made, report.points);
}

#[test]
fn the_dice_fall_the_same_way_every_time() {
    let changes: &[(&str, &str)] = &[("to: 90 mm", "to: 900 mm"), ("over > 3 * pitch", "over > 9 * pitch")];
    let (one, other) = (tried(changes).0, tried(changes).0);
    assert_eq!((one.made, one.findings), (other.made, other.findings), "twice the same");
}

#[test]
fn what_is_refused_though_it_is_promised() {
    let (finding, _) = told(&[("usual: 80 mm", "usual: 50 mm")], "trial/usual");
    assert_eq!(finding.severity, Severity::Refused, "nobody could use it");
    assert!(finding.headline.contains("millimetres"), "{}", finding.headline);
    let (finding, _) = told(&[("length: 85", "length: 45")], "trial/example");
    assert!(finding.headline.contains("`one`"), "{}", finding.headline);
    let (finding, _) = told(&[("over > 3 * pitch", "over > 99 * pitch")], "trial/nothing");
    assert_eq!(finding.severity, Severity::Refused, "no part at all");
}

#[test]
fn rules_that_cannot_fail_or_always_caution() {
    let (finding, marked) = told(&[("over > 3 * pitch", "over > -99 mm")], "trial/never-broken");
    assert_eq!(marked, "over > -99 mm", "its place");
    assert!(finding.labels[0].text.contains("tries"), "with the count");
    told(&[("over > 3 * pitch, else: refused", "over < -99 mm, else: caution")], "trial/always-broken");
}

#[test]
fn a_rule_that_fails_only_at_one_limit_is_found_to_fail() {
    let (report, _) = tried(&[("over > 3 * pitch", "length < 90 mm")]);
    assert!(report.findings.iter().all(|finding| finding.code != "trial/never-broken"), "90 mm breaks it");
}

#[test]
fn steps_that_no_drawing_shows() {
    for step in ["1 mm / 10^9 / 10^6", "0 mm", "if inch then 0.00001 in else 1 mm"] {
        let (report, source) = tried(&[("step: 1 mm", &format!("step: {step}"))]);
        let found: Vec<_> = report.findings.iter().filter(|finding| finding.code == "trial/step").collect();
        assert_eq!(found.len(), 1, "once, in whatever unit: {step}");
        assert_eq!(source.slice(found[0].labels[0].span), step);
    }
    let (report, _) = tried(&[("step: 1 mm", "step: 0.001 mm")]);
    assert!(report.findings.iter().all(|finding| finding.code != "trial/step"), "a drawing shows it");
}

#[test]
fn sizes_without_effect() {
    let more = "sizes:\n  colour: { is: word, ask: Colour, usual: red, one_of: [red, blue] }";
    let (finding, _) = told(&[("sizes:", more)], "trial/no-effect");
    assert!(finding.headline.contains("`colour` changes nothing"), "{}", finding.headline);
    let words: &[(&str, &str)] = &[("sizes:", more), ("S-{length}", "S-{length}-{colour}")];
    let (finding, _) = told(words, "trial/no-effect");
    assert!(finding.headline.contains("only words"), "{}", finding.headline);
    // A formula that names a size, and does not rest on it.
    let odd = "sizes:\n  odd: { is: length, ask: Odd, usual: 2 mm, from: 1 mm, to: 3 mm }";
    let (finding, _) = told(&[("sizes:", odd), ("over: length", "over: 0 * odd + length")], "trial/no-effect");
    assert!(finding.headline.contains("`odd`"), "{}", finding.headline);
}

#[test]
fn values_that_nobody_reads() {
    let (finding, _) = told(&[("follows:", "follows:\n  half: length / 2")], "trial/unread");
    assert!(finding.headline.contains("`half`"), "{}", finding.headline);
    let (report, _) = tried(&[("follows:", "follows:\n  half: { as: length / 2, title: half the length }")]);
    assert!(report.findings.iter().all(|finding| finding.code != "trial/unread"), "a title is for people");
}

#[test]
fn ranges_and_choices_that_make_nothing() {
    let (finding, marked) = told(&[("to: 14 mm", "to: 200 mm")], "trial/nothing-made");
    assert_eq!(marked, "200 mm", "the limit that reaches too far");
    assert!(finding.labels[0].text.starts_with("above"), "{}", finding.labels[0].text);
    assert!(finding.notes.iter().any(|note| note.contains("the rule `over`")), "{:?}", finding.notes);
    let (finding, _) = told(&[("[brass-c36000]", "[brass-c36000, steel-1018]")], "trial/nothing-made");
    assert!(finding.headline.contains("steel-1018"), "{}", finding.headline);
}

#[test]
fn formulas_without_an_answer() {
    let (finding, marked) = told(&[("length - 3 * pitch", "length * pitch / (pitch - 14 mm)")], "trial/no-answer");
    assert!(finding.notes.iter().any(|note| note.contains("such as pitch='14 mm'")), "{:?}", finding.notes);
    assert!(marked.contains("pitch"), "{marked}");
    told(&[("rack.largest(material, 20 mm", "rack.largest(material, pitch")], "trial/no-answer");
}

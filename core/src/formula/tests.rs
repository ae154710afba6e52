//! The language by examples: what a formula comes to, and what is told of a bad one.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::*;
use crate::quantity::{Dim, Quantity, Unit};

struct Names(BTreeMap<&'static str, Value>);

impl Kinds for Names {
    fn kind(&self, name: &str) -> Option<Kind> {
        self.0.get(name).map(Value::kind)
    }
    fn all(&self) -> Vec<&str> {
        self.0.keys().copied().collect()
    }
}

impl Values for Names {
    fn value(&self, name: &str) -> Option<Value> {
        self.0.get(name).cloned()
    }
}

fn known() -> Names {
    let length = |mm| Value::Quantity(Quantity::mm(mm));
    let thread = crate::standards::thread::thread("M5").expect("M5 is in the table");
    Names(BTreeMap::from([
        ("web", length(3.0)),
        ("slot", length(10.0)),
        ("slot.most", length(9.975)),
        ("count", Value::Quantity(Quantity::number(4.0))),
        ("screw", Value::Thread(Arc::new(thread))),
        ("point", Value::Word("cup".to_owned())),
        ("zero", length(0.0)),
        ("deep", Value::Truth(true)),
    ]))
}

fn value(text: &str) -> Result<Value, Fault> {
    let expr = parse(text)?;
    let mut faults = Vec::new();
    let kind = infer(&expr, &known(), &mut faults);
    if let Some(fault) = faults.into_iter().next() {
        return Err(fault);
    }
    let value = eval(&expr, &known())?;
    assert_eq!(Some(value.kind()), kind, "{text}: the value is of the kind that was foreseen");
    Ok(value)
}

fn number(text: &str) -> (f64, Dim) {
    match value(text) {
        Ok(Value::Quantity(quantity)) => (quantity.value, quantity.dim),
        other => panic!("{text}: {other:?}"),
    }
}

#[test]
fn arithmetic_with_units() {
    for (text, expected, dim) in [
        ("1 + 2 * 3", 7.0, Dim::NUMBER),
        ("(1 + 2) * 3", 9.0, Dim::NUMBER),
        ("7 - 2 - 1", 4.0, Dim::NUMBER),
        ("-2 ^ 2", -4.0, Dim::NUMBER),
        ("2 mm + 1 in", 27.4, Dim::LENGTH),
        ("3/8 in", 9.525, Dim::LENGTH),
        ("3/8\"", 9.525, Dim::LENGTH),
        ("slot / 2 - web", 2.0, Dim::LENGTH),
        ("slot * web", 30.0, Dim::AREA),
        ("sqrt(slot * slot + web ^ 2)", 109_f64.sqrt(), Dim::LENGTH),
        ("2 N·m / (0.2 * screw.major)", 2000.0, Dim::FORCE),
        ("75 % * slot", 7.5, Dim::LENGTH),
        ("min(slot, web, 5 mm)", 3.0, Dim::LENGTH),
        ("min(1,2)", 1.0, Dim::NUMBER),
        ("floor(slot / web)", 3.0, Dim::NUMBER),
        ("round(slot / web, 0.5)", 3.5, Dim::NUMBER),
        ("ceil(7.1 mm, 0.5 mm)", 7.5, Dim::LENGTH),
        ("floor(7.5 mm, 0.5 mm)", 7.5, Dim::LENGTH),
        ("sin(30°)", 0.5, Dim::NUMBER),
        ("if slot > web and not (count = 3) then slot else web", 10.0, Dim::LENGTH),
        ("slot.most", 9.975, Dim::LENGTH),
        ("screw.tap_drill", 4.2, Dim::LENGTH),
        ("2 * pi", std::f64::consts::TAU, Dim::NUMBER),
        ("slot ^ -1 * slot", 1.0, Dim::NUMBER),
    ] {
        let (found, kind) = number(text);
        assert!((found - expected).abs() < 1e-12, "{text}: {found}, not {expected}");
        assert_eq!(kind, dim, "{text}");
    }
}

#[test]
fn conditions() {
    for (text, expected) in [
        ("2 mm <= web <= 5 mm", true),
        ("2 mm <= web < 3 mm", false),
        ("web = 3 mm", true),
        ("0.1 mm + 0.2 mm = 0.3 mm", true),
        ("0.1 mm + 0.2 mm > 0.3 mm", false),
        ("point = 'cup' or count > 9", true),
        ("point != 'cup'", false),
        ("screw.name = 'M5'", true),
        ("web ≥ 3 mm and slot ≠ web", true),
    ] {
        assert_eq!(value(text), Ok(Value::Truth(expected)), "{text}");
    }
}

#[test]
fn faults_point_at_their_place() {
    for (text, code, place) in [
        ("", "formula/syntax", ""),
        ("1 +", "formula/syntax", ""),
        ("(1 + 2", "formula/syntax", ""),
        ("slot web", "formula/syntax", "web"),
        ("2 slot", "formula/unknown-unit", "slot"),
        ("5 furlongs", "formula/unknown-unit", "furlongs"),
        ("slott + web", "formula/unknown-name", "slott"),
        ("slot + 2", "formula/unit-mismatch", "slot + 2"),
        ("slot + 90°", "formula/unit-mismatch", "slot + 90°"),
        ("web + slot * slot", "formula/unit-mismatch", "web + slot * slot"),
        ("slot < 90°", "formula/unit-mismatch", "slot < 90°"),
        ("screw.majr", "formula/unknown-field", "screw.majr"),
        ("screw + 1 mm", "formula/not-a-number", "screw"),
        ("sqrt(slot)", "formula/arguments", "sqrt(slot)"),
        ("squareroot(slot)", "formula/unknown-function", "squareroot(slot)"),
        ("max(slot)", "formula/arguments", "max(slot)"),
        ("screw.internal_shear_area(2)", "formula/arguments", "screw.internal_shear_area(2)"),
        ("not slot", "formula/not-a-truth", "slot"),
        ("slot and web", "formula/not-a-truth", "slot"),
        ("if slot then web else web", "formula/not-a-truth", "slot"),
        ("if slot > web then web else 2", "formula/unit-mismatch", "if slot > web then web else 2"),
        ("slot ^ 0.5", "formula/power", "0.5"),
        ("slot ^ 99", "formula/power", "99"),
        ("slot / zero", "formula/division", "zero"),
        ("sqrt(-4)", "formula/no-number", "sqrt(-4)"),
        ("asin(2)", "formula/no-number", "asin(2)"),
        ("1 = 1 mm", "formula/unit-mismatch", "1 = 1 mm"),
        ("point < 'cup'", "formula/unit-mismatch", "point < 'cup'"),
        ("a ; b", "formula/unknown-sign", ";"),
        ("'cup", "formula/open-quote", "'"),
        ("screw.set_screw.longest(0.1 mm)", "formula/no-answer", "screw.set_screw.longest(0.1 mm)"),
    ] {
        let fault = value(text).expect_err(text);
        assert_eq!(fault.code, code, "{text}: {fault:?}");
        assert_eq!(&text[fault.span.range()], place, "{text}");
    }
    let near = value("slott").expect_err("mistyped");
    assert_eq!(near.help.as_deref(), Some("Did you mean `slot`?"), "the nearest name");
}

#[test]
fn all_faults_are_told() {
    let expr = parse("slott + webb * 2").expect("sound as text");
    let mut faults = Vec::new();
    assert_eq!(infer(&expr, &known(), &mut faults), None, "no kind");
    assert_eq!(faults.len(), 2, "both names");
}

#[test]
fn nothing_runs_away() {
    let deep = "(".repeat(80) + "1" + &")".repeat(80);
    assert_eq!(parse(&deep).expect_err("too deep").code, "formula/too-deep", "nesting");
    assert_eq!(parse(&"1+".repeat(2000)).expect_err("too long").code, "formula/too-long", "length");
    let long = "1".to_owned() + &"+1".repeat(90);
    assert!((number(&long).0 - 91.0).abs() < 1e-9, "a long sum is fine");
    assert_eq!(parse(&"1+".repeat(300)).expect_err("too many").code, "formula/too-long", "terms");
    let minus = "-".repeat(150) + "1";
    assert_eq!(parse(&minus).expect_err("too deep").code, "formula/too-deep", "a row of signs");
    assert!(value("9999999999999999999999999999 ^ 9 ^ 9").is_err(), "no chain of powers");
}

#[test]
fn sentences_show_their_numbers() {
    let sentence = template("The web is {web}; {screw} needs {1.5 * screw.major}.").expect("sound");
    assert_eq!(sentence.say(&known(), Unit::Mm), "The web is 3 mm; M5 needs 7.5 mm.", "in millimetres");
    assert_eq!(sentence.say(&known(), Unit::Inch), "The web is 0.1181 in; M5 needs 0.2953 in.", "in inches");
    assert!(template("The web is {web").is_err(), "an open brace");
}

/// A condition told with the values of [`known`], and whether it applies.
fn told(text: &str) -> (bool, String) {
    let Worked { applies, words } = say_condition(&parse(text).expect("sound"), text, &known(), Unit::Mm);
    (applies, words)
}

#[test]
fn conditions_show_their_numbers() {
    for (text, words) in [
        ("2 mm <= web < slot and not (count = 3)", "2 mm ≤ 3 mm < 10 mm and count = 4"),
        ("not (web > 5 mm)", "not (3 mm > 5 mm)"),
        // A guard that does not hold says nothing; what it lets through does.
        ("count = 1 or web >= 2 mm", "3 mm ≥ 2 mm"),
        ("not deep or (web >= 4 mm and slot > web)", "3 mm ≥ 4 mm and 10 mm > 3 mm"),
        // Of alternatives that are all measured, the one that holds; else all.
        ("web >= 5 mm or slot >= 5 mm", "10 mm ≥ 5 mm"),
        ("web >= 5 mm or slot >= 15 mm", "3 mm ≥ 5 mm or 10 mm ≥ 15 mm"),
        ("deep and (web >= 5 mm or slot >= 15 mm)", "deep = yes and (3 mm ≥ 5 mm or 10 mm ≥ 15 mm)"),
        // What is of choices alone stands with its names.
        ("not (deep and count = 3)", "deep = yes, count = 4"),
        ("deep", "deep = yes"),
        ("count = 3", "4 = 3"),
        ("if deep then web >= 2 mm else web >= 9 mm", "3 mm ≥ 2 mm"),
    ] {
        assert_eq!(told(text), (true, words.to_owned()), "{text}");
    }
}

#[test]
fn what_a_guard_keeps_away_does_not_apply() {
    for (text, why) in [
        ("not not deep or web >= 2 mm", "deep = yes"),
        ("count = 4 or web >= 2 mm", "count = 4"),
        ("web >= 2 mm or count != 3", "count = 4"),
        ("count = 3 or deep or web >= 2 mm", "deep = yes"),
        // Where all are choices the rule is about the last.
        ("count != 3 or deep", "count = 4"),
        ("(deep or web >= 2 mm) and (count = 4 or slot <= 2 mm)", "deep = yes, count = 4"),
    ] {
        assert_eq!(told(text), (false, format!("does not apply: {why}")), "{text}");
    }
    let part = told("(deep or web >= 2 mm) and slot >= 2 mm");
    assert_eq!(part, (true, "10 mm ≥ 2 mm".to_owned()), "the half that applies");
}

#[test]
fn a_guarded_condition_without_values() {
    for (text, matter, guard) in [
        ("not deep or web >= 2 mm", "web >= 2 mm", Some("not deep")),
        ("count = 1 or deep or web >= 2 mm", "web >= 2 mm", Some("count = 1 or deep")),
        ("web >= 2 mm", "web >= 2 mm", None),
        ("not (deep and count = 3)", "not (deep and count = 3)", None),
        ("count != 3 or deep", "deep", Some("count != 3")),
    ] {
        let expr = parse(text).expect("sound");
        assert_eq!(say_guarded(&expr, text), (matter.to_owned(), guard.map(str::to_owned)), "{text}");
    }
}

#[test]
fn words_of_other_rooms_become_sentences() {
    for (words, is) in
        [("no bar fits", "No bar fits."), ("It ends.", "It ends."), ("ø 3 mm is none", "Ø 3 mm is none."), ("", ".")]
    {
        assert_eq!(sentence(words), is, "{words}");
    }
}

/// Clearances as they are typed: a unit at the end is meant for both.
#[test]
fn a_fit_has_one_unit_for_both() {
    for (text, unit, least, most) in [
        ("0.002 to 0.004 in", Unit::Mm, 0.0508, 0.1016),
        ("0.05 to 0.10 mm", Unit::Inch, 0.05, 0.10),
        ("0.05 to 0.10", Unit::Mm, 0.05, 0.10),
        ("0.05 mm to 0.004 in", Unit::Mm, 0.05, 0.1016),
        ("1/64 .. 1/32\"", Unit::Mm, 0.396_875, 0.793_75),
    ] {
        let Ok(Value::Fit(Fit::Clearance { least: low, most: high })) = Value::read(Kind::Fit, text, Some(unit)) else {
            panic!("{text}");
        };
        assert!(
            (low.as_mm() - least).abs() < 1e-9 && (high.as_mm() - most).abs() < 1e-9,
            "{text}: {low:?} to {high:?}"
        );
    }
}

proptest::proptest! {
    #[test]
    fn any_text_is_read_or_refused(text in ".{0,120}") {
        let _ = value(&text);
    }

    #[test]
    fn any_row_of_tokens_is_read_or_refused(words in proptest::collection::vec(
        proptest::sample::select(vec!["1", "2 mm", "slot", "screw", ".", "major", "+", "-", "*", "/", "^", "(", ")", ",", "if", "then", "else", "and", "not", "<", "=", "min", "sqrt", "'x'"]), 0..40)
    ) {
        let _ = value(&words.join(" "));
    }
}

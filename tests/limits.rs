//! What is too long, too deep or too many is told, in no time and little memory; limits of family
//! files are in `strangers.rs`, those of an address in `web/link.test.mjs`, those of files of any
//! kind in the command line's tests.
#![allow(clippy::format_collect, reason = "texts of a test are put together piece by piece")]

use std::fmt::Write as _;

use barwright_core::batch::{Count, MOST};
use barwright_core::family::Family;
use barwright_core::formula::{self, parse};
use barwright_core::job::{self, Order};
use barwright_core::many::{self, Grid, MOST_ROWS, vary};
use barwright_core::proof::{self, Verdict};
use barwright_core::quantity::{Unit, read};
use barwright_core::source::Source;
use barwright_core::standards::look_up;
use barwright_core::variant::Inputs;
use barwright_tests::{CONTROLS, demo_shop, key};

#[test]
fn quantities_and_names() {
    let long = read(&"1".repeat(81)).expect_err("too long");
    assert!(long.what.contains("too long"), "{long}");
    assert!(read(&"1".repeat(79)).expect_err("too large").what.contains("beyond any size"), "a number too large");
    assert!(read("1e13 mm").is_err() && read("999999999999 mm").is_ok(), "up to a million million");
    for kind in ["thread", "drill", "fit", "screw", "tolerance", "material"] {
        let unknown = look_up(kind, &"7".repeat(1_000_000)).expect_err("no name is so long");
        assert!(unknown.what.len() < 200, "{kind}: it is not all repeated: {}", unknown.what.len());
    }
}

#[test]
fn formulas() {
    for (text, code) in [
        ("1 + ".repeat(600) + "1", "formula/too-long"),
        ("(".repeat(33) + "1" + &")".repeat(33), "formula/too-deep"),
        ("not ".repeat(40) + "yes", "formula/too-deep"),
        ("x".repeat(formula::LONGEST + 1), "formula/too-long"),
    ] {
        assert_eq!(parse(&text).expect_err("refused").code, code, "{}", &text[..20]);
    }
}

fn refused_list(family: &Family, text: String, code: &str) {
    let list = many::orders(&Source::new("orders.csv", text), family, &Inputs::default());
    assert!(list.value.is_none(), "{code}");
    assert!(list.findings.iter().any(|finding| finding.code == code), "{code}: {:?}", list.findings.first());
}

#[test]
fn lists_and_grids() {
    let family = key();
    refused_list(&family, "screw\n".to_owned() + &"M5\n".repeat(MOST_ROWS + 1), "many/too-many");
    refused_list(&family, "screw\n\"M5\n".to_owned(), "many/quote");
    refused_list(&family, String::new(), "many/empty");
    let steps = |text: &str| vary(text, &family, Some(Unit::Mm)).expect("a row of values");
    let names = ["slot_opening=5mm..15mm/0.1mm", "lip_thickness=1mm..11mm/0.1mm", "channel_width=6mm..26mm/0.1mm"];
    let refused = Grid::new(Inputs::default(), names.iter().map(|text| steps(text)).collect()).expect_err("too many");
    assert_eq!(refused.code, "many/too-many", "{refused:?}");
    let endless = vary("slot_opening=1mm..1000mm/0.000001mm", &family, Some(Unit::Mm));
    assert!(endless.is_err(), "a step too fine");
    assert!(Count::read(&(MOST + 1).to_string(), "").is_err(), "an order too large");
    assert!(Count::read("1", &(MOST + 1).to_string()).is_err(), "spares too many");
}

fn judged(text: &str) -> Verdict {
    let shop = demo_shop(CONTROLS[0]);
    let family = key();
    let inputs = Inputs { unit: Some(Unit::Mm), ..Inputs::default() };
    let stamp = barwright_core::drawing::Stamp::default();
    let order = Order { inputs, title: None, format: None, stamp, unproved: false };
    let goods = job::make(&family, &order, &shop).goods.expect("made");
    proof::prove(text, &goods.part, &shop, &goods.runs[0].setup)
}

/// Not proved, and this is among the reasons.
#[track_caller]
fn stops(what: &str, text: &str, words: &str) {
    let verdict = judged(text);
    let told: String = verdict.breaches.iter().fold(String::new(), |mut told, breach| {
        let _infallible = writeln!(told, "{} {}", breach.code, breach.what);
        told
    });
    assert!(told.contains(words), "{what}: `{words}` is not told:\n{}", &told[..told.len().min(1500)]);
    assert!(verdict.breaches.len() <= 201, "{what}: {} breaches", verdict.breaches.len());
}

#[test]
fn programs() {
    stops("lines", &"G0 X1\nG0 X2\n".repeat(110_000), "proof/too-long");
    stops("a line", &format!("G0 X1 ({})\n", "x".repeat(300)), "256");
    stops("brackets", &format!("G0 X{}1{}\n", "[".repeat(80), "]".repeat(80)), "deep");
    stops("breaches", &(0..5_000).map(|at| format!("G0 Y{at} K{at}\n")).collect::<String>(), "proof/");
    let repeats = "G21 G90 G17 T12 M6 S1000 M3 G43 H12 G0 Z5 X0 Y0\nG91 G81 X0.001 Z-1 R1 F100 L99999999\n";
    stops("repeats of a cycle", repeats, "proof/");
    let pecks = "G21 G90 G17 T12 M6 S1000 M3 G43 H12 G0 Z5 X0 Y0\nG83 X0 Z-10 R1 Q0.0000001 F100\n";
    stops("pecks", pecks, "proof/");
}

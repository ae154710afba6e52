//! What is too long, too deep or too many is told, in no time and little memory; limits of family
//! files are in `strangers.rs`, those of an address in `web/link.test.mjs`, those of files of any
//! kind in the command line's tests.
#![allow(clippy::format_collect, reason = "texts of a test are put together piece by piece")]

use std::fmt::Write as _;
use std::sync::OnceLock;

use barwright_core::batch::{Count, MOST};
use barwright_core::family::Family;
use barwright_core::formula::{self, parse};
use barwright_core::job::Goods;
use barwright_core::many::{self, Grid, MOST_ROWS, vary};
use barwright_core::proof::{self, Bench, Breach, Verdict};
use barwright_core::quantity::{Unit, read};
use barwright_core::shop::Shop;
use barwright_core::source::Source;
use barwright_core::standards::look_up;
use barwright_core::variant::Inputs;
use barwright_tests::{CONTROLS, demo_shop, key, make};

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

/// The key as it is made, and its shop.
fn made() -> &'static (Goods, Shop) {
    static MADE: OnceLock<(Goods, Shop)> = OnceLock::new();
    MADE.get_or_init(|| {
        let shop = demo_shop(CONTROLS[0]);
        let inputs = Inputs { unit: Some(Unit::Mm), ..Inputs::default() };
        (make(&key(), inputs, &shop).goods.expect("made"), shop)
    })
}

/// The key's own program, whole and good, with these lines before its first cycle.
fn with(lines: &str) -> String {
    let (goods, _) = made();
    let good = &goods.runs[0].program.text;
    let cycle = good.find("G99 G82").expect("the spot drill's cycle");
    let at = good[..cycle].rfind('\n').expect("a line before") + 1;
    format!("{}{lines}{}", &good[..at], &good[at..])
}

fn judged(text: &str) -> Verdict {
    let (goods, shop) = made();
    proof::prove(text, &goods.part, shop, &goods.runs[0].setup)
}

/// What the control itself makes of a text.
fn moves(text: &str) -> usize {
    let (goods, shop) = made();
    proof::trace(text, &Bench::of(shop, &goods.runs[0].setup, goods.part.unit)).events.len()
}

/// Not proved, and this is told of it, once, by its own code.
#[track_caller]
fn stops(what: &str, text: &str, code: &str, words: &str) -> Breach {
    let verdict = judged(text);
    let told: String = verdict.breaches.iter().fold(String::new(), |mut told, breach| {
        let _infallible = writeln!(told, "{} {}", breach.code, breach.what);
        told
    });
    let told = &told[..told.len().min(1500)];
    let found: Vec<&Breach> = verdict.breaches.iter().filter(|breach| breach.code == code).collect();
    assert_eq!(found.len(), 1, "{what}: `{code}` is told once:\n{told}");
    assert!(found[0].what.contains(words), "{what}: `{words}` is not told:\n{told}");
    found[0].clone()
}

#[test]
fn programs() {
    assert!(judged(&with("")).proved(), "{:?}", judged(&with("")).breaches);
    stops("lines", &with(&"G0 X1\nG0 X2\n".repeat(110_000)), "proof/too-long", "200000");
    stops("a line", &with(&format!("G0 X1 ({})\n", "x".repeat(300))), "proof/line-length", "256");
    let deep = format!("G0 X{}1{}\n", "[".repeat(80), "]".repeat(80));
    stops("brackets", &with(&deep), "proof/expression", "deep");
    let alike: String = (0..5_000).map(|at| format!("G0 Y{at} K{at}\n")).collect();
    let breach = stops("breaches alike", &with(&alike), "proof/unused-word", "I, J or K");
    assert_eq!(breach.more, 4_999, "counted, not listed");
    // Every tool's section has causes of its own.
    let sections = with(&"M5\nT1 M6\nG0 Y1 K1\nG1 Z1 Q1\n".repeat(2_000));
    let verdict = judged(&sections);
    assert!(verdict.breaches.iter().any(|breach| breach.code == "proof/unused-word"), "{:?}", verdict.breaches.first());
    assert!((200..=400).contains(&verdict.breaches.len()), "breaches: {}", verdict.breaches.len());
}

fn line_of(text: &str, words: &str) -> usize {
    1 + text.lines().position(|line| line.contains(words)).expect("it is there")
}

/// One line may ask for as many strokes as it likes.
#[test]
fn cycles() {
    let before = moves(&with("M30\n"));
    for (what, line, code, words) in [
        ("repeats", "G91 G99 G81 X0.001 Z-1 R1 F100 L99999999", "proof/cycle", "more than 10000 times"),
        ("repeats, one more", "G91 G99 G81 X0.001 Z-1 R1 F100 L10001", "proof/cycle", "more than 10000 times"),
        ("pecks", "G99 G83 X0 Y0 Z-10 R1 Q0.0000001 F100", "proof/cycle", "more than 10000 times"),
        ("both at once", "G91 G99 G83 X0.001 Z-10 R1 Q0.00101 F100 L9999", "proof/too-long", "1000000 moves"),
        ("just too many", "G91 G99 G83 X0 Z-10 R1 Q0.2 F100 L6580", "proof/too-long", "1000000 moves"),
    ] {
        let text = with(&format!("{line}\nM30\n"));
        let breach = stops(what, &text, code, words);
        assert_eq!(breach.words, line, "{what}: by its line");
        assert!(moves(&text) <= before, "{what}: nothing is made of it");
    }
    // Nothing after such a line is read, and so nothing is said of it.
    let cut_off = with("G91 G99 G83 X0.001 Z-10 R1 Q0.00101 F100 L9999\nnonsense\n");
    assert!(judged(&cut_off).breaches.iter().all(|breach| breach.line <= line_of(&cut_off, "L9999")), "read on");
    for (what, line, many) in [
        ("repeats", "G91 G99 G81 X0 Z-1 R1 F100 L10000", 20_000),
        ("pecks", "G99 G83 X-22.5 Y0 Z-2.625 R2 Q0.0005 F100", 27_000),
        ("both at once", "G91 G99 G83 X0 Z-10 R1 Q0.2 F100 L6550", 950_000),
    ] {
        let text = with(&format!("{line}\nG90\n"));
        assert!(moves(&text) > many, "{what}: followed to the last");
        let verdict = judged(&text);
        assert!(verdict.proved(), "{what}: {:?}", verdict.breaches);
    }
    for repeats in ["0", "-1", "1.5"] {
        let text = with(&format!("G91 G99 G81 X0 Z-1 R1 F100 L{repeats}\nG90\n"));
        stops("repeats", &text, "proof/cycle", "L needs a whole number above zero");
    }
    stops("pecks", &with("G99 G83 X0 Y0 Z-10 R1 Q0 F100\n"), "proof/cycle", "Q, the depth of a peck");
}

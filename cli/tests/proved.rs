//! `prove` and its sisters believe of a record only what is sealed, and agree with `make`.

mod bench;

use bench::Bench;

/// A plate with two threads; the demo crib has a thread mill for one of them.
const TWO_THREADS: &str = r#"
family: two-threads
title: Plate with two threads
number: "TT-{length}"
sizes:
  length: { is: length, ask: Length, usual: 60 mm, from: 10 mm, to: 300 mm, step: 1 mm }
  screw: { is: thread, ask: Thread, usual: M5 }
  small: { is: thread, ask: Small thread, usual: M3 }
  material: { is: material, ask: Material, usual: brass-c36000 }
follows:
  bar: { as: "rack.smallest(material, 20 mm, 12 mm)" }
rules: {}
shape:
  bar: bar
  material: material
  length: length
  general: ISO 2768-m
  cut:
    - holes: { name: small, title: Small, at: [[-15 mm, 0 mm]], tapped: small, place_tolerance: 0.1 mm }
    - holes: { name: large, title: Large, at: [[15 mm, 0 mm]], tapped: screw, place_tolerance: 0.1 mm }
"#;

/// Without the section of the thread mill, which is the last: from its tool's comment to the M5 at
/// the end.
fn without_threads(program: &str) -> String {
    let start = program.rfind("(TOOL 33 THREAD MILL").expect("its section");
    let end = program.rfind(" M5\n").expect("the end");
    let end = program[..end].rfind('\n').expect("a line before") + 1;
    format!("{}{}", &program[..start], &program[end..])
}

#[test]
fn what_is_tapped_by_hand_is_known_by_feature() {
    let bench = Bench::new();
    let family = bench.file("two-threads.yaml", TWO_THREADS);
    let made = bench.run(&["make", &family, "--unit", "mm", "-o", "two", "--packet", "quantity=8"]).made();
    assert!(made.out.contains("`Small` is left to be tapped"), "{}", made.out);
    for program in ["program-1.nc", "load-1-of-6.nc", "load-1-of-2.nc"] {
        let program = format!("two/{program}");
        let proved = bench.run(&["prove", &program, "--part", "two"]).made();
        assert!(proved.out.contains("proved"), "{}", proved.out);
        let traced = bench.run(&["trace", &program]).made();
        assert!(traced.out.contains("in nothing"), "{}", traced.out);
        let cut = bench.file("cut.nc", &without_threads(&bench.text(&program)));
        let told = bench.run(&["prove", &cut, "--part", "two"]).refused(&["Hole 1 of `large` has no thread"]).err;
        assert!(!told.contains("`small` has no thread"), "it is left to the bench: {told}");
    }
    let route = bench.text("two/route.csv");
    assert!(route.contains("Tap by hand: M3.") && !route.contains("Tap by hand: M3, M5"), "{route}");
    let left = bench.run(&["adjust", "two", "small.go=no"]).made();
    assert!(left.out.contains("the tap makes it"), "{}", left.out);
    let milled = bench.run(&["adjust", "two", "large.go=no", "-o", "next"]).made();
    assert!(milled.out.contains("T33"), "{}", milled.out);
    bench.run(&["prove", "next/program-1.nc", "--part", "two"]).made();
    let record: serde_json::Value = serde_json::from_str(&bench.text("two/part.json")).expect("JSON");
    assert_eq!(record["tapped_by_hand"], serde_json::json!(["small"]));
    let pitch = record["tools"].as_array().expect("tools").iter().find(|tool| tool["kind"] == "thread mill");
    assert_eq!(pitch.expect("a thread mill")["pitch"], 0.8, "the thread that it mills, not the one beside it");
}

/// A number of a record, changed wherever it stands.
fn changed(record: &str, name: &str, to: &str) -> String {
    let key = format!("\"{name}\": ");
    let lines = record.lines().map(|line| match line.split_once(&key) {
        Some((indent, _)) => format!("{indent}{key}{to},\n"),
        None => format!("{line}\n"),
    });
    let text: String = lines.collect();
    assert_ne!(text, record, "{name} is there");
    text
}

fn unsealed(record: &str) -> String {
    let lines = record.lines().filter(|line| !line.contains("\"seal\": "));
    lines.fold(String::new(), |text, line| text + line + "\n")
}

#[test]
fn what_a_program_is_proved_by_is_sealed() {
    let bench = Bench::new();
    let family = bench.file("two-threads.yaml", TWO_THREADS);
    bench.run(&["make", &family, "--unit", "mm", "-o", "two", "--packet", "quantity=8"]).made();
    let record = bench.text("two/part.json");
    bench.file("cut.nc", &without_threads(&bench.text("two/program-1.nc")));
    let by_hand = record.replacen("\"tapped_by_hand\": [", "\"tapped_by_hand\": [\n    \"large\",", 1);
    for (what, text) in [
        ("jaws out of the way", changed(&changed(&record, "jaw_top", "-500.0"), "jaw_reach", "0.001")),
        ("no thread mill", record.replace("\"kind\": \"thread mill\"", "\"kind\": \"x\"")),
        ("both left to the bench", by_hand),
        ("no clear height", changed(&record, "clear", "0.5")),
        ("another control", changed(&record, "control", "\"absolute\"")),
    ] {
        let part = bench.file("changed.json", &text);
        for program in ["two/program-1.nc", "cut.nc", "two/load-1-of-6.nc"] {
            bench.run(&["prove", program, "--part", &part]).refused(&["the seal does not match"]);
            bench.run(&["trace", program, "--part", &part]).refused(&["the seal does not match"]);
            let told = bench.run(&["trace", program, "--part", &part, "--json"]).json();
            assert!(
                told["said"].as_str().is_some_and(|said| said.contains("the seal does not match")),
                "{what}: {told}"
            );
        }
        bench.run(&["adjust", &part, "large.go=no"]).refused(&["the seal does not match"]);
        // Without a seal it is not believed either.
        let part = bench.file("bare.json", &unsealed(&text));
        let cut =
            bench.run(&["prove", "cut.nc", "--part", &part]).refused(&["has no seal", "Hole 1 of `large` has no"]);
        let other = ["jaws", "height", "control"].iter().any(|word| what.contains(word));
        assert_eq!(cut.err.contains("that is not believed"), other, "{what}: {}", cut.err);
    }
}

#[test]
fn a_record_without_a_seal_says_so() {
    let bench = Bench::new();
    bench.make(&["--packet", "quantity=8"]).made();
    let part = bench.file("bare.json", &unsealed(&bench.text("key/part.json")));
    let prove = |program: &str, more: &[&str]| bench.run(&[&["prove", program, "--part", &part], more].concat());
    let told = prove("key/program-1.nc", &[]).made().out;
    assert!(told.starts_with("caution ") && told.contains("no seal") && !told.contains("believed"), "{told}");
    assert_eq!(prove("key/program-1.nc", &["--json"]).made().json()["sealed"], false);
    prove("key/load-1-of-6.nc", &[]).refused(&["no seal for how its loads are held", "quantity=N"]);
    let traced = bench.run(&["trace", "key/program-1.nc", "--part", &part]).made().out;
    assert!(traced.contains("seal       none"), "{traced}");
    let sealed = bench.run(&["prove", "key/program-1.nc", "--part", "key"]).made().out;
    assert!(!sealed.contains("seal"), "nothing is said where it holds: {sealed}");
    assert_eq!(bench.run(&["prove", "key/program-1.nc", "--part", "key", "--json"]).made().json()["sealed"], true);
    // Version 0.1 wrote none at first.
    let kept = bench::families().join("../tests/formats/1");
    let kept = |name: &str| kept.join(name).display().to_string();
    let first = ["prove", &kept("program-1.nc"), "--part", &kept("part.json"), "--shop", &kept("shop")];
    let told = bench.run(&first).made().out;
    assert!(told.starts_with("caution ") && !told.contains("believed") && told.contains("proved: "), "{told}");
}

#[test]
fn a_record_is_traced_against_what_is_made_and_not_against_itself() {
    let bench = Bench::new();
    bench.make(&["--packet", "quantity=8"]).made();
    for file in ["part.json", "first-piece.csv"] {
        assert!(bench.run(&["trace", &format!("key/{file}")]).made().out.contains("in nothing"), "{file}");
    }
    let part = bench.file("other.json", &changed(&bench.text("key/part.json"), "measured", "7.0"));
    bench.run(&["trace", &part, "--part", &part]).refused(&["differs    from part.json", "\\\"measured\\\": 7.0"]);
}

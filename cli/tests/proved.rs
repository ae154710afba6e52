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

//! Breaches that the other tests do not come to, each with a program, and a look over the whole list.

use std::collections::BTreeSet;

use barwright_core::proof::{Verdict, prove};
use barwright_core::quantity::{Length, Spindle};

use super::bench;
use super::key::CANNED;

fn judged(text: &str) -> Verdict {
    prove(text, &bench::key(), &bench::shop(bench::control()), &bench::setup())
}

fn told(verdict: &Verdict, code: &str) -> bool {
    verdict.breaches.iter().any(|breach| breach.code == code)
}

#[test]
fn tools_that_are_not_called() {
    let never = CANNED.replacen(" T1 M6", "", 1);
    assert!(told(&judged(&never), "proof/no-tool"), "no tool at all: {:#?}", judged(&never).breaches);
    let unnamed = CANNED.replacen("T1 M6", "M6", 1);
    assert!(told(&judged(&unnamed), "proof/tool"), "a change without a number: {:#?}", judged(&unnamed).breaches);
    let half = CANNED.replacen("T2 M6", "T2.5 M6", 1);
    assert!(told(&judged(&half), "proof/number"), "half a tool: {:#?}", judged(&half).breaches);
    // The number before, and its own length: the right length of the wrong tool.
    let before = CANNED.replacen("T2 M6", "T1 M6", 1).replacen("G43 H2", "G43 H1", 1);
    let verdict = judged(&before);
    assert!(told(&verdict, "proof/not-through"), "the spot drill does not go through: {:#?}", verdict.breaches);
}

#[test]
fn a_speed_beyond_the_tool() {
    let mut shop = bench::shop(bench::control());
    shop.tools[2].speed_max = Some(Spindle::rpm(7000.0));
    let verdict = prove(CANNED, &bench::key(), &shop, &bench::setup());
    assert!(told(&verdict, "proof/speed"), "8000 for a tool of 7000: {:#?}", verdict.breaches);
}

#[test]
fn a_long_stroke_without_a_peck() {
    let mut shop = bench::shop(bench::control());
    shop.tools[1].diameter = Length::mm(1.9);
    let text = CANNED.replace("G99 G83 X22.5 Y0.0 Z-14.0 R2.0 Q6.3", "G99 G81 X22.5 Y0.0 Z-14.0 R2.0");
    let verdict = prove(&text, &bench::key(), &shop, &bench::setup());
    assert!(told(&verdict, "proof/no-peck"), "14 mm are more than seven times 1.9: {:#?}", verdict.breaches);
    let pecked = prove(CANNED, &bench::key(), &shop, &bench::setup());
    assert!(!told(&pecked, "proof/no-peck"), "in pecks it is not told: {:#?}", pecked.breaches);
}

/// The second pass of the first thread, changed line by line.
fn second_pass(change: impl Fn(&str) -> String) -> String {
    let lines: Vec<&str> = CANNED.lines().collect();
    let first = lines.iter().position(|line| line.contains("I0.526")).expect("a second pass");
    let last = first + lines[first..].iter().position(|line| line.contains("I-0.526")).expect("its end");
    let changed = lines
        .iter()
        .enumerate()
        .map(|(index, line)| if (first..=last).contains(&index) { change(line) } else { (*line).to_owned() });
    changed.collect::<Vec<_>>().join("\n")
}

#[test]
fn a_pass_beside_the_others() {
    let beside = second_pass(|line| {
        line.replace("X-21.448", "X-21.418").replace("I0.526", "I0.541").replace("I-0.526", "I-0.541")
    });
    assert!(told(&judged(&beside), "proof/thread-axis"), "0.03 to one side: {:#?}", judged(&beside).breaches);
}

#[test]
fn a_pass_in_another_groove() {
    let higher = second_pass(|line| {
        let words = line.split(' ').map(|word| match word.strip_prefix('Z').and_then(|z| z.parse::<f64>().ok()) {
            Some(z) => format!("Z{:.3}", z + 0.3),
            None => word.to_owned(),
        });
        words.collect::<Vec<_>>().join(" ")
    });
    assert!(told(&judged(&higher), "proof/thread-phase"), "0.3 of 0.8 higher: {:#?}", judged(&higher).breaches);
}

#[test]
fn a_way_out_across_the_flank() {
    let across = second_pass(|line| {
        if line.contains("Z-5.800") { format!("{line}\nG1 X-22.5 Z-5.0\nX-21.448 Z-5.8") } else { line.to_owned() }
    });
    assert!(told(&judged(&across), "proof/thread-lead"), "not along the slope: {:#?}", judged(&across).breaches);
}

/// A control that another program has run on: modes, parameters and home places hold what it left.
#[test]
fn what_the_program_before_has_left() {
    const HEAD: &str = "G80 G54 G98\n";
    const UP: &str = "G80\nG0 Z10.0\nM5\n";
    for (from, to, code) in [
        ("G90 G94", "G90", "proof/feed-mode-not-set"),
        ("G94 G40", "G94", "proof/radius-compensation"),
        ("X-7.5\nX7.5", "X[-7.5+#500]\nX7.5", "proof/parameter-unknown"),
        (HEAD, "G80 G54 G98\n#1=#5221\n", "proof/parameter-unknown"),
        (HEAD, "G80 G54 G98\n#5221=1.0\n", "proof/work-offset"),
        (HEAD, "G80 G54 G98\n#5161=1.0\n", "proof/work-offset"),
        (UP, "G80\nG28 Z10.0\nM5\n", "proof/place-unknown"),
        (UP, "G80\nG30 X0.0 Y0.0 Z10.0\nM5\n", "proof/place-unknown"),
        (HEAD, "G80 G54 G98 M49\n", "proof/overrides"),
        (UP, "G80\nG0 Z10.0\nM0\nM5\n", "proof/stop-turning"),
        (UP, "G80\nG0 Z10.0 M1\nM5\n", "proof/stop-turning"),
    ] {
        assert!(CANNED.contains(from), "`{from}` stands in the program");
        let verdict = judged(&CANNED.replacen(from, to, 1));
        let known = code == "proof/parameter-unknown" && to.contains("#5221");
        // Where the datum lies in the machine is told by the setup: its own parameter is known.
        assert_eq!(told(&verdict, code), !known, "`{from}` to `{to}`, {code}: {:#?}", verdict.breaches);
        assert_eq!(verdict.proved(), known, "`{to}`: {:#?}", verdict.breaches);
    }
    for (from, to) in [
        ("X-7.5\nX7.5", "#500=7.5\nX[0-#500]\nX#500"),
        (HEAD, "G80 G54 G98 M48\n"),
        (HEAD, "G80 G54 G98\nG92.1\n"),
        (UP, "G80\nG0 Z10.0\nM5\nM1\n"),
    ] {
        assert!(CANNED.contains(from), "`{from}` stands in the program");
        let verdict = judged(&CANNED.replacen(from, to, 1));
        assert!(verdict.proved(), "`{to}` does no harm: {:#?}", verdict.breaches);
    }
}

#[test]
fn the_path_mode_of_the_profile() {
    let exact = barwright_core::shop::Control { path_mode: Some("G61".to_owned()), ..bench::control() };
    for (mode, good) in [("G61", true), ("G61.1", true), ("G64", false), ("", false)] {
        let text = CANNED.replacen("G54 G98", &format!("G54 G98 {mode}"), 1);
        let verdict = prove(&text, &bench::key(), &bench::shop(exact.clone()), &bench::setup());
        assert_eq!(told(&verdict, "proof/path-mode"), !good, "`{mode}`: {:#?}", verdict.breaches);
        assert_eq!(verdict.proved(), good, "`{mode}`: {:#?}", verdict.breaches);
        assert!(judged(&text).proved(), "`{mode}` where the profile does not mind");
    }
}

#[test]
fn a_text_without_end() {
    let long = "(nothing)\n".repeat(200_001);
    assert!(told(&judged(&long), "proof/too-long"), "more lines than any part needs");
}

/// Every kind of breach that the room tells is expected by its name in a test.
#[test]
fn no_breach_is_without_a_test() {
    let here = env!("CARGO_MANIFEST_DIR");
    let read = |folder: String| -> Vec<String> {
        let entries = std::fs::read_dir(&folder).unwrap_or_else(|error| panic!("{folder}: {error}"));
        let path = |entry: std::io::Result<std::fs::DirEntry>| entry.expect("an entry").path();
        let files = entries.map(path).filter(|path| path.extension().is_some_and(|end| end == "rs"));
        files.map(|path| std::fs::read_to_string(path).expect("readable")).collect()
    };
    let codes = |text: &str| -> Vec<String> {
        let parts = text.split("\"proof/").skip(1);
        parts.filter_map(|part| part.split_once('"')).map(|(code, _)| format!("proof/{code}")).collect()
    };
    let told: BTreeSet<String> =
        read(format!("{here}/../core/src/proof")).iter().flat_map(|text| codes(text)).collect();
    let expected: BTreeSet<String> = read(format!("{here}/facts/rs274")).iter().flat_map(|text| codes(text)).collect();
    // Told by the job, of a verdict's own checks; and by the tests of probing programs and of loads.
    let elsewhere = ["proof/attribute", "proof/probe", "proof/crowded"];
    let missing: Vec<&String> = told.difference(&expected).filter(|code| !elsewhere.contains(&code.as_str())).collect();
    assert!(told.len() > 50 && missing.is_empty(), "of {} kinds no test expects {missing:?}", told.len());
}

//! How a verdict is told: every size and what follows from it, causes first, the like once, and
//! the time of each operation, piece and batch.

use barwright_core::part::{Measure, Quality, Side};
use barwright_core::proof::{Verdict, prove};
use barwright_core::quantity::Length;
use barwright_core::shop::Control;

use super::bench;
use super::key::{CANNED, INCH, programs};

fn judged(text: &str, control: Control) -> Verdict {
    prove(text, &bench::key(), &bench::shop(control), &bench::setup())
}

#[test]
fn what_follows_from_the_sizes_is_measured_too() {
    for (name, text, control) in programs() {
        let verdict = judged(text, control);
        let measured = |measure: &Measure| {
            let reading = verdict.inspection.iter().find(|reading| reading.characteristic.measure == *measure);
            reading.and_then(|reading| reading.measured).map_or(f64::NAN, Length::as_mm)
        };
        let screws = || "screws".to_owned();
        for (measure, wanted, off) in [
            // Cutter 3.0 on an orbit of 1.052: 2 · 1.052 + 3.0.
            (Measure::MajorDiameter(screws(), 1), 5.104, 0.003),
            (Measure::Lead(screws(), 1), 0.8, 0.0003),
            (Measure::ThreadDepth(screws(), 1), 12.0, 1e-9),
            // A 90° point of the spot drill 2.6 deep opens 5.2 at the top.
            (Measure::ChamferDiameter(screws(), 1), 5.2, 0.006),
            // 30 less 22.5.
            (Measure::EndDistance(screws(), Side::Low), 7.5, 0.0014),
            (Measure::EndDistance(screws(), Side::High), 7.5, 0.0014),
        ] {
            let got = measured(&measure);
            assert!((got - wanted).abs() <= off, "{name}: {measure:?} measures {got}, not {wanted}");
        }
        let check = verdict.checks.first().expect("the hand");
        assert_eq!(check.attribute.quality, Quality::Hand(screws()), "{name}");
        assert_eq!((check.found.as_deref(), check.holds), (Some("right"), true), "{name}");
    }
    let wrong = judged(&CANNED.replace("G3 ", "G2 "), bench::control());
    let check = wrong.checks.first().expect("the hand");
    assert_eq!((check.found.as_deref(), check.holds), (Some("left in hole 1"), false), "turned about");
}

/// A spindle that is never started is the cause of hundreds of lines: it is told once for each
/// tool, and before what comes of it.
#[test]
fn the_like_is_told_once_and_causes_come_first() {
    let text = CANNED.replacen("S8000 M3\nG4 P2.0\nG43 H3", "S8000\nG4 P2.0\nG43 H3", 1);
    let verdict = judged(&text, bench::control());
    let stopped: Vec<_> = verdict.breaches.iter().filter(|breach| breach.code == "proof/spindle-stopped").collect();
    assert_eq!(stopped.len(), 1, "{:#?}", verdict.breaches);
    assert!(stopped[0].more > 100 && stopped[0].last > stopped[0].line + 100, "{:?}", stopped[0]);
    assert!(verdict.breaches.len() < 5, "the reader is not buried: {:#?}", verdict.breaches);
    // No drilling at all: thread mill in solid, nothing to measure, and the deleted line before it.
    let text = CANNED.replace("S4500 M3\nG4 P2.0\nG43 H2 G0 Z10.0", "S4500 M4\nG4 P2.0\nG43 H2 G0 Z10.0");
    let text = text.replace("G99 G83 X22.5 Y0.0 Z-14.0", "G99 G83 X22.5 Y0.0 Z-9.0");
    let verdict = judged(&text, bench::control());
    assert_eq!(verdict.breaches.first().map(|breach| breach.code), Some("proof/spindle-reversed"), "the cause");
    let last = verdict.breaches.last().map_or("", |breach| breach.code);
    assert!(["proof/size", "proof/not-through", "proof/left-over"].contains(&last), "what comes of it: {last}");
}

#[test]
fn a_hand_that_changes_tools_meets_no_turning_spindle() {
    for (text, control) in [(CANNED, bench::control()), (INCH, bench::plain_control())] {
        let lines: Vec<&str> = text.lines().collect();
        let mut stop = (1..lines.len()).rev().filter(|index| lines[*index] == "M5" && lines[index + 1].contains('T'));
        let index = stop.next().expect("the spindle is stopped before a tool");
        let text = [&lines[..index], &lines[index + 1..]].concat().join("\n");
        let verdict = judged(&text, control);
        assert!(
            verdict.breaches.iter().any(|breach| breach.code == "proof/spindle-at-change"),
            "M6 may stop it, a hand must not depend on that: {:#?}",
            verdict.breaches
        );
    }
}

#[test]
fn a_bad_line_of_the_profile_is_blamed_on_the_profile() {
    let mut control = bench::control();
    control.start.push("G5.1 Q1".to_owned());
    let verdict = judged(&CANNED.replacen("%\n", "%\nN5 G5.1 Q1\n", 1), control);
    let breach = verdict.breaches.first().expect("an unknown word");
    assert_eq!(breach.code, "proof/unknown-word", "{breach:?}");
    assert!(breach.consequence.contains("`start` of the control profile `canned`"), "{}", breach.consequence);
}

#[test]
fn a_slot_may_not_be_deep_in_one_pass() {
    let text = CANNED.replacen("G0 X-34.0 Y8.1\nZ2.0\nZ-1.25", "G0 X-34.0 Y8.1\nZ2.0\nZ-2.5", 1);
    let wide = judged(&text.replace("Y8.1", "Y8.0"), bench::control());
    assert!(wide.proved(), "3 mm wide of 6 and 2.5 deep: {:#?}", wide.breaches);
    let mut part = bench::key();
    for feature in &mut part.features {
        if let barwright_core::part::Kind::Tongue(tongue) = &mut feature.kind {
            tongue.height.nominal = Length::mm(4.0);
        }
    }
    let deep = prove(
        &CANNED.replace("Z-1.25", "Z-4.0").replace("Z-2.5", "Z-4.0").replace("Y8.1", "Y7.979"),
        &part,
        &bench::shop(bench::control()),
        &bench::setup(),
    );
    assert!(deep.breaches.iter().any(|breach| breach.code == "proof/engagement"), "{:#?}", deep.breaches);
}

#[test]
fn time_by_operation_piece_and_batch() {
    let text = CANNED.replacen("G99 G83 X22.5", "(DRILL THE SCREW HOLES)\nG99 G83 X22.5", 1);
    let times = judged(&text, bench::control()).times;
    let sum: f64 = times.operations.iter().map(|operation| operation.time.as_second()).sum();
    assert!((sum - times.total.as_second()).abs() < 1e-6, "operations take the whole time: {sum}");
    let drilling = times.operations.iter().find(|operation| operation.words == "DRILL THE SCREW HOLES");
    let drilling = drilling.expect("the comment tells an operation apart");
    assert_eq!((drilling.tool, drilling.passes), (2, 12), "four holes of 16 mm in pecks of 6.3");
    // 4 · 16 mm at 360 mm/min are 10.67 s; the way back to the last peck is cut again.
    assert!((10.6..12.5).contains(&drilling.cutting.as_second()), "{drilling:?}");
    assert!((times.changes.as_second() - 4.0 * 72.0).abs() < 1e-9, "four changes");
    let batch = times.batch(10);
    let piece = times.total.as_second() - 288.0;
    assert!((batch.one_by_one.as_second() - 10.0 * times.total.as_second()).abs() < 1e-6, "{batch:?}");
    assert!((batch.tool_by_tool.as_second() - (288.0 + 10.0 * piece)).abs() < 1e-6, "{batch:?}");
}

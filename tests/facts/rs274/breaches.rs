//! Each kind of breach, made on purpose in a good program, is called by its name.

use std::fmt::Write as _;

use barwright_core::part::{Kind, Make, Part};
use barwright_core::proof::{Tapping, Verdict, prove, prove_with};
use barwright_core::quantity::{Length, Time};
use barwright_core::shop::{Setup, Shop};
use barwright_core::standards::thread::Hand;

use super::bench;
use super::key::{CANNED, INCH};

/// A good program with one stretch of its text changed, once.
fn changed(text: &str, from: &str, to: &str) -> String {
    assert!(text.contains(from), "`{from}` stands in the program");
    text.replacen(from, to, 1)
}

fn judged(text: &str) -> Verdict {
    prove(text, &bench::key(), &bench::shop(bench::control()), &bench::setup())
}

fn told(verdict: &Verdict, code: &str) -> bool {
    verdict.breaches.iter().any(|breach| breach.code == code)
}

#[test]
fn each_has_its_name() {
    for (from, to, code) in [
        ("Z2.0\nG0 Z-13.2", "Z2.0\nG0 X-21.5 Z-13.2", "proof/rapid-in-material"),
        ("G1 X34.0 F700.0", "G0 X34.0", "proof/rapid-in-material"),
        ("G99 G81 X-22.5 Y0.0 Z-2.6 R2.0", "G99 G81 X-22.5 Y0.0 Z-2.6 R0.5", "proof/rapid-in-material"),
        ("G0 X-34.0 Y7.979", "G0 X-34.0 Y7.5", "proof/gouge"),
        ("X-7.5\nX7.5", "X-1.5\nX7.5", "proof/gouge"),
        ("G0 X-34.0 Y7.979", "G0 X-34.0 Y8.1", "proof/size"),
        ("G1 X34.0 F500.0", "G1 X20.0 F500.0", "proof/size"),
        ("G99 G83 X22.5 Y0.0 Z-14.0", "G99 G83 X22.5 Y0.0 Z-13.0", "proof/not-through"),
        ("G99 G83 X22.5 Y0.0 Z-14.0", "G99 G83 X22.5 Y0.0 Z-24.0", "proof/too-deep"),
        ("G99 G83 X22.5 Y0.0 Z-14.0", "G99 G83 X22.5 Y0.0 Z-34.0", "proof/parallel"),
        ("G83 X22.5 Y0.0 Z-14.0 R2.0 Q6.3", "G81 X22.5 Y5.0 Z-14.0 R2.0", "proof/parallel"),
        ("S4500 M3", "S4500", "proof/spindle-stopped"),
        ("S4500 M3", "S4500 M4", "proof/spindle-reversed"),
        ("S4500 M3", "M3", "proof/speed-missing"),
        ("S8000 M3", "S9000 M3", "proof/speed"),
        ("S4500 M3\nG4 P2.0\nG43 H2", "S450 M3\nG4 P2.0\nG43 H2", "proof/speed"),
        ("T2 M6", "T5 M6", "proof/length-offset"),
        ("G43 H2 G0", "G43 H3 G0", "proof/length-offset"),
        ("G43 H2 G0", "G0", "proof/length-offset"),
        ("T2 M6", "T9 M6", "proof/tool-unknown"),
        ("G4 P2.0", "G4 P0.2", "proof/spin-up"),
        ("G4 P2.0", "G4 P2000.", "proof/dwell"),
        (" F360.0", "", "proof/feed-missing"),
        ("F360.0", "F0", "proof/feed-missing"),
        ("F360.0", "F3600.0", "proof/feed"),
        ("F225.0", "F1800.0", "proof/chip-load"),
        ("F700.0", "F20.0", "proof/chip-load"),
        ("X-34.0 Y8.1", "X-340.0 Y8.1", "proof/travel"),
        ("I0.449 J0.0 F140.0", "I0.455 J0.0 F140.0", "proof/arc-ends"),
        ("G3 X-21.602 Y0.0 Z-12.200 I-0.898 J0.0", "G3 Z-12.200 I-0.898 J0.0", "proof/arc-without-end"),
        ("G21 G17", "G21 G17 G18", "proof/modal-group"),
        ("G21 G17", "G21", "proof/plane-not-set"),
        ("G21 G17", "G17", "proof/units-not-set"),
        ("G90 G94", "G94", "proof/distance-mode-not-set"),
        ("G80 G54", "G80", "proof/work-offset"),
        ("G80 G54", "G80 G55", "proof/work-offset"),
        ("Z-12.200 I-0.898", "Z-12.300 I-0.898", "proof/thread-pitch"),
        ("N10 G21", "N10 G21 E5", "proof/unknown-word"),
        ("G0 X-34.0 Y8.1\nZ2.0\nZ-1.25", "G0 X-34.0 Y8.1\nZ2.0\nZ-9.0", "proof/jaw"),
        ("G0 X-34.0 Y8.1\nZ2.0\nZ-1.25", "G0 X-34.0 Y0\nZ2.0\nZ-6.5", "proof/stop"),
        ("M5\nM30", "M30", "proof/end-spindle"),
        ("M9\nM5\nM30", "M8\nM5\nM30", "proof/end-coolant"),
        ("M30", "", "proof/no-end"),
        ("G0 X-34.0 Y8.1\nZ2.0\nZ-1.25\nG1 X34.0", "G0 X-20.0 Y8.1\nZ2.0\nG1 Z-1.25\nG1 X34.0", "proof/plunge"),
    ] {
        let text = changed(CANNED, from, to);
        let verdict = judged(&text);
        assert!(told(&verdict, code), "`{from}` to `{to}` should be {code}: {:#?}", verdict.breaches);
        assert!(!verdict.proved(), "and is not proved");
        for breach in &verdict.breaches {
            // Nothing on the last line says that the end is missing.
            let there = breach.line.checked_sub(1).filter(|_| breach.code != "proof/no-end");
            let line = there.map_or("", |index| text.lines().nth(index).unwrap_or("").trim());
            assert_eq!(breach.words, line, "the words of the line: {breach:?}");
            assert!(
                breach.consequence.ends_with('.') && breach.what.ends_with('.'),
                "what, and what of it: {breach:?}"
            );
        }
    }
}

#[test]
fn what_is_left_over_is_told() {
    let shallow = judged(&CANNED.replace("Z-2.5\n", "Z-2.4\n"));
    assert!(told(&shallow, "proof/left-over"), "a tenth of the rabbets is left: {:?}", shallow.breaches);
    let short = judged(&CANNED.replace("G1 X34.0", "G1 X29.9").replace("G1 X-34.0", "G1 X-29.9"));
    assert!(told(&short, "proof/left-over"), "the ends of the rabbets are left: {:?}", short.breaches);
    let hole = judged(&changed(CANNED, "X7.5\nX-7.5\n", "X7.5\n"));
    assert!(told(&hole, "proof/left-over"), "a hole is not drilled: {:?}", hole.breaches);
}

#[test]
fn a_breach_shows_its_line() {
    let verdict = judged(&changed(CANNED, "F360.0", "F3600.0"));
    let breach = verdict.breaches.first().expect("one at least");
    assert_eq!(
        (breach.line, breach.words.as_str()),
        (22, "G99 G83 X22.5 Y0.0 Z-14.0 R2.0 Q6.3 F3600.0"),
        "line and words"
    );
    assert!(!breach.consequence.is_empty() && breach.what.contains("3600"), "what and what then: {breach:?}");
}

#[test]
fn threads_are_measured() {
    // A whole pass missing; the other hand; a smaller orbit; too short.
    let lines: Vec<&str> = CANNED.lines().collect();
    let first = lines.iter().position(|line| line.contains("I0.449")).expect("a first pass");
    let second = lines.iter().position(|line| line.contains("I0.526")).expect("a second pass");
    let without = |from: usize, to: usize| [&lines[..from], &lines[to..]].concat().join("\n");
    assert!(told(&judged(&without(first - 1, second - 1)), "proof/thread-passes"), "no first pass");
    let shallow = judged(&without(second - 1, second + 19));
    assert!(
        told(&shallow, "proof/size") && told(&shallow, "proof/thread-major"),
        "no second pass: {:?}",
        shallow.breaches
    );
    let mut left = bench::key();
    for feature in &mut left.features {
        if let Kind::Holes(holes) = &mut feature.kind
            && let Make::Tapped { hand, .. } = &mut holes.make
        {
            *hand = Hand::Left;
        }
    }
    let verdict = prove(CANNED, &left, &bench::shop(bench::control()), &bench::setup());
    assert!(told(&verdict, "proof/thread-hand"), "a left-hand thread is wanted: {:?}", verdict.breaches);
    let higher = CANNED.replace("G0 Z-13.2", "G0 Z-12.4").replace("Z-13.0 I", "Z-12.2 I");
    assert!(told(&judged(&higher), "proof/thread-pitch"), "a lead that ends a pitch too high");
}

fn varied(part: impl Fn(&mut Part), shop: impl Fn(&mut Shop), setup: impl Fn(&mut Setup)) -> Verdict {
    let (mut a, mut b, mut c) = (bench::key(), bench::shop(bench::control()), bench::setup());
    part(&mut a);
    shop(&mut b);
    setup(&mut c);
    prove(CANNED, &a, &b, &c)
}

#[test]
fn tools_and_holding_are_heeded() {
    let same = |_: &mut Part| ();
    let stays = |_: &mut Setup| ();
    let cases = [
        (
            "short flutes",
            "proof/beyond-flutes",
            varied(same, |shop| shop.tools[1].flute_length = Length::mm(10.0), stays),
        ),
        ("short reach", "proof/holder", varied(same, |shop| shop.tools[2].reach = Length::mm(8.0), stays)),
        // The drill stands out 30 mm further than the spot drill before it.
        (
            "no room at the change",
            "proof/change-room",
            varied(same, |shop| shop.tools[0].stick_out = Length::mm(15.0), stays),
        ),
        ("short stick-out", "proof/holder", varied(same, |shop| shop.tools[1].stick_out = Length::mm(5.0), stays)),
        ("a smaller drill", "proof/size", varied(same, |shop| shop.tools[1].diameter = Length::mm(4.0), stays)),
        ("a larger drill", "proof/gouge", varied(same, |shop| shop.tools[1].diameter = Length::mm(5.2), stays)),
        ("a smaller mill", "proof/size", varied(same, |shop| shop.tools[3].diameter = Length::mm(5.9), stays)),
        ("high jaws", "proof/jaw", varied(same, |_| (), |setup| setup.jaw_top = Length::mm(-2.0))),
        ("a high stop", "proof/stop", varied(same, |_| (), |setup| setup.stop_top = Length::mm(-1.0))),
        ("thick parallels", "proof/parallel", varied(same, |_| (), |setup| setup.parallel_thickness = Length::mm(6.5))),
        ("low parallels", "proof/parallel", varied(same, |_| (), |setup| setup.parallel_height = Length::mm(1.0))),
        ("far off", "proof/travel", varied(same, |_| (), |setup| setup.datum_at = Some([Length::mm(5.0); 3]))),
        ("a higher clear height", "proof/not-clear", varied(same, |_| (), |setup| setup.clear = Length::mm(20.0))),
        ("a weak spindle", "proof/power", varied(same, |shop| shop.machine.spindle_watts = 20.0, stays)),
        (
            "a coarse cutter",
            "proof/thread-pitch",
            varied(
                same,
                |shop| {
                    if let barwright_core::shop::Cutter::ThreadMill { pitch_max, .. } = &mut shop.tools[2].cutter {
                        *pitch_max = Length::mm(0.7);
                    }
                },
                stays,
            ),
        ),
        (
            "no chamfer that wide",
            "proof/chamfer",
            varied(
                |part| {
                    for feature in &mut part.features {
                        if let Kind::Holes(holes) = &mut feature.kind {
                            holes.chamfer = Some(Length::mm(5.8));
                        }
                    }
                },
                |_| (),
                stays,
            ),
        ),
    ];
    for (what, code, verdict) in cases {
        assert!(told(&verdict, code), "{what} should be {code}: {:#?}", verdict.breaches);
    }
    // A control that waits for the spindle itself needs no dwell.
    let mut shop = bench::shop(bench::control());
    shop.control.dwell = None;
    let verdict = prove(&CANNED.replace("G4 P2.0\n", ""), &bench::key(), &shop, &bench::setup());
    assert!(verdict.proved(), "{:?}", verdict.breaches);
    assert!(verdict.times.total > Time::second(600.0), "its own waits count");
}

#[test]
fn a_touched_off_tool_comes_from_above() {
    let shop = bench::shop(bench::plain_control());
    let text = changed(INCH, "G0 Z0.4000\nG0 X-0.8858 Y0.0", "G0 X-0.8858 Y0.0\nG0 Z0.4000");
    let verdict = prove(&text, &bench::key(), &shop, &bench::setup());
    assert!(told(&verdict, "proof/height-unknown"), "X and Y before Z: {:?}", verdict.breaches);
    let text = changed(INCH, "M5\nT2 M0", "T2 M0");
    let verdict = prove(&text, &bench::key(), &shop, &bench::setup());
    assert!(told(&verdict, "proof/spindle-at-change"), "the hand reaches in: {:?}", verdict.breaches);
}

#[test]
fn threads_may_be_left_to_the_bench() {
    let start = CANNED.find("(MSG, TOOL 3").expect("a section");
    let end = CANNED.find("(MSG, TOOL 4").expect("a section");
    let text = format!("{}{}", &CANNED[..start], &CANNED[end..]);
    let (part, shop, setup) = (bench::key(), bench::shop(bench::control()), bench::setup());
    assert!(told(&prove(&text, &part, &shop, &setup), "proof/left-over"), "the shop has a thread mill");
    let others = prove_with(&text, &part, &shop, &setup, &Tapping::by_hand(["other_holes"]));
    assert!(told(&others, "proof/left-over"), "only what is named is excused: {:?}", others.breaches);
    let by_hand = prove_with(&text, &part, &shop, &setup, &Tapping::by_hand(["screws"]));
    assert!(by_hand.proved(), "{:?}", by_hand.breaches);
    let none = by_hand.inspection.iter().filter(|reading| reading.measured.is_none()).count();
    assert_eq!(none, 19, "of four threads pitch, root, lead and depth, and the three extents of the bar: at the bench");
    let found: Vec<Option<&str>> = by_hand.checks.iter().map(|check| check.found.as_deref()).collect();
    assert_eq!(found, [None, Some("90°")], "and so is the hand; the cone of the chamfer is there");
}

/// The same key with left-hand threads: every way round turned about.
#[test]
fn left_hand_threads() {
    let mut part = bench::key();
    for feature in &mut part.features {
        if let Kind::Holes(holes) = &mut feature.kind
            && let Make::Tapped { hand, .. } = &mut holes.make
        {
            *hand = Hand::Left;
        }
    }
    let (shop, setup) = (bench::shop(bench::control()), bench::setup());
    let verdict = prove(&CANNED.replace("G3 ", "G2 "), &part, &shop, &setup);
    assert!(verdict.proved(), "G2 upward is a left-hand thread: {:#?}", verdict.breaches);
}

/// Full turns written as quarters make the same thread.
#[test]
fn turns_in_quarters() {
    let mut text = String::new();
    let mut at = (0.0_f64, 0.0_f64);
    for line in CANNED.lines() {
        let word = |letter: char| -> Option<f64> {
            line.split(' ').find_map(|word| word.strip_prefix(letter)).and_then(|number| number.parse().ok())
        };
        let (to_x, to_z) = (word('X').unwrap_or(at.0), word('Z').unwrap_or(at.1));
        if line.starts_with("G3") && line.contains("I-") && (to_x - at.0).abs() < 1e-9 {
            let orbit = -word('I').expect("a centre");
            let (middle, rise) = (at.0 - orbit, (to_z - at.1) / 4.0);
            for (number, (px, py, i, j)) in [
                (middle, orbit, -orbit, 0.0),
                (middle - orbit, 0.0, 0.0, -orbit),
                (middle, -orbit, orbit, 0.0),
                (middle + orbit, 0.0, 0.0, orbit),
            ]
            .into_iter()
            .enumerate()
            {
                let height = at.1 + rise * f64::from(u8::try_from(number + 1).expect("four"));
                writeln!(text, "G3 X{px:.3} Y{py:.3} Z{height:.3} I{i:.3} J{j:.3}").expect("a string takes it");
            }
        } else {
            text += line;
            text.push('\n');
        }
        at = (to_x, to_z);
    }
    let verdict = judged(&text);
    assert!(verdict.proved(), "{:#?}", verdict.breaches);
    let missing = changed(&text, "Y1.052 Z-5.600", "Y1.052 Z-5.400");
    assert!(told(&judged(&missing), "proof/thread-pitch"), "a quarter that rises too far");
}

/// A setup in which the head goes up by machine coordinates before anything is known.
#[test]
fn up_by_machine_coordinates_first() {
    let text = CANNED.replace("M6\nS", "M6\nG53 G0 Z0.0\nS").replacen("G80 G54 G98", "G80 G54 G98\nG53 G0 Z0.0", 1);
    let (part, shop, mut setup) = (bench::key(), bench::shop(bench::control()), bench::setup());
    let known = prove(&text, &part, &shop, &setup);
    assert!(known.proved(), "{:#?}", known.breaches);
    setup.datum_at = None;
    let unknown = prove(&text, &part, &shop, &setup);
    assert!(unknown.proved(), "where the work lies need not be known: {:#?}", unknown.breaches);
    let low = prove(&text.replace("G53 G0 Z0.0", "G53 G0 Z-90.0"), &part, &shop, &setup);
    assert!(told(&low, "proof/place-unknown"), "not at the top: {:#?}", low.breaches);
}

/// A cutter with three rows makes one turn, goes up three pitches at the middle, and turns again.
#[test]
fn three_rows_of_teeth() {
    let mut shop = bench::shop(bench::control());
    shop.tools[2].flute_length = Length::mm(2.8);
    if let barwright_core::shop::Cutter::ThreadMill { rows, pitch_min, .. } = &mut shop.tools[2].cutter {
        *rows = 3;
        *pitch_min = Length::mm(0.8);
    }
    let program = |sections: i32| {
        let start = CANNED.find("G0 X-22.5 Y0.0\nZ2.0\nG0 Z-13.2").expect("the threads begin");
        let end = CANNED.find("M5\n(MSG, TOOL 4").expect("the threads end");
        let mut text = CANNED[..start].to_owned();
        for x in [-22.5, -7.5, 7.5, 22.5] {
            writeln!(text, "G0 X{x:.1} Y0.0\nZ2.0").expect("a string takes it");
            for section in 0..sections {
                let z = f64::from(section) * 2.4 - 13.0;
                for e in [0.898, 1.052] {
                    let (half, out) = (e / 2.0, x + e);
                    write!(text, "G0 Z{:.3}\nG3 X{out:.3} Y0.0 Z{z:.3} I{half:.3} J0.0 F140.0\n", z - 0.2)
                        .expect("a string takes it");
                    write!(
                        text,
                        "G3 X{out:.3} Y0.0 Z{:.3} I-{e:.3} J0.0\nG3 X{x:.1} Y0.0 Z{:.3} I-{half:.3} J0.0\n",
                        z + 0.8,
                        z + 1.0
                    )
                    .expect("a string takes it");
                }
            }
            text += "G0 Z10.0\n";
        }
        text + &CANNED[end..]
    };
    let (part, setup) = (bench::key(), bench::setup());
    let verdict = prove(&program(6), &part, &shop, &setup);
    assert!(verdict.proved(), "{:#?}", verdict.breaches);
    let short = prove(&program(5), &part, &shop, &setup);
    assert!(told(&short, "proof/thread-depth"), "a section is missing at the top: {:?}", short.breaches);
    let one_row = prove(&program(6), &part, &bench::shop(bench::control()), &setup);
    assert!(told(&one_row, "proof/thread-depth"), "one row leaves two of three pitches: {:?}", one_row.breaches);
}

//! The rules of NISTIR 6556, section by section.

use barwright_core::proof::{Bench, Event, Motion, Path, Trace, trace};
use barwright_core::quantity::Unit;
use barwright_core::shop::Comments;

use super::bench;

/// What every line here stands on: units, plane, distance mode, feed and tool are stated.
const HEAD: &str = "G21 G17 G90 G94 G98 F100 S1000 M3\n";

/// Runs a text from (1, 2, 3), after [`HEAD`].
pub(crate) fn run(text: &str) -> Trace {
    bare(&format!("{HEAD}{text}\nM2\n"))
}

/// Runs a text from (1, 2, 3) as it is.
pub(crate) fn bare(text: &str) -> Trace {
    let control = barwright_core::shop::Control { probing: true, ..bench::control() };
    trace(text, &Bench::plain(&control, [1.0, 2.0, 3.0]))
}

pub(crate) fn codes(trace: &Trace) -> Vec<&'static str> {
    trace.breaches.iter().map(|breach| breach.code).collect()
}

pub(crate) fn moves(trace: &Trace) -> Vec<Motion> {
    let motion = |event: &Event| match event {
        Event::Move(motion, _) => Some(*motion),
        _ => None,
    };
    trace.events.iter().filter_map(motion).collect()
}

pub(crate) fn ends(trace: &Trace) -> Vec<(f64, f64, f64)> {
    let near = |value: f64| (value * 1e6).round() / 1e6;
    moves(trace).iter().map(|motion| (near(motion.to.x), near(motion.to.y), near(motion.to.z))).collect()
}

pub(crate) fn good(text: &str) -> Trace {
    let trace = run(text);
    assert!(trace.breaches.is_empty(), "`{text}` is good, but: {:?}", trace.breaches);
    trace
}

pub(crate) fn bad(text: &str, code: &str) {
    let trace = run(text);
    assert!(codes(&trace).contains(&code), "`{text}` should be {code}, but: {:?}", trace.breaches);
}

/// The value of an expression, by way of a parameter.
fn value(expression: &str) -> f64 {
    good(&format!("#100={expression}")).parameters.value(100)
}

#[test]
fn s2_1_2_6_feed_is_along_the_helix() {
    let trace = good("G1 X10 Y0 Z0\nG3 X10 Y0 Z1 I-10 J0");
    let helix = moves(&trace)[1];
    let way = (std::f64::consts::TAU * 10.0).hypot(1.0);
    assert!((helix.length() - way).abs() < 1e-9, "the length that the feed counts along: {}", helix.length());
}

#[test]
fn s3_2_1_parameters_count_from_1_to_5399() {
    // 3.2.1 and D.8.1 name other limits; that of 3.3.2.2 and appendix E is taken.
    good("#5399=1");
    bad("#5400=1", "proof/parameter");
    bad("#0=1", "proof/parameter");
    bad("#1.5=1", "proof/parameter");
}

#[test]
fn s3_3_a_line_has_256_characters_at_most() {
    good(&format!("G1 X1{}", " ".repeat(250)));
    bad(&format!("G1 X1{}", " ".repeat(252)), "proof/line-length");
}

#[test]
fn s3_3_blanks_may_stand_anywhere_and_case_is_all_one() {
    // The report's own example.
    assert_eq!(ends(&good("g0x +0. 12 34y 7")), ends(&good("G0 X0.1234 Y7")), "g0x +0. 12 34y 7");
}

#[test]
fn s3_3_1_line_numbers() {
    good("N99999 G0 X1");
    good("N1 G0 X1\nN1 G0 X2\nN0 G0 X3");
    bad("N123456 G0 X1", "proof/line-number");
    bad("G0 N10 X1", "proof/line-number");
    bad("N-1 G0 X1", "proof/line-number");
    bad("N1.5 G0 X1", "proof/unknown-word");
}

#[test]
fn s3_3_block_delete_is_never_sure() {
    bad("/G0 X1", "proof/block-delete");
}

#[test]
fn s3_3_2_1_numbers() {
    for (text, x) in [("5.", 5.0), (".5", 0.5), ("-0.", 0.0), ("007", 7.0), ("+3", 3.0), ("-.25", -0.25)] {
        let end = ends(&good(&format!("G0 X{text}")))[0].0;
        assert!((end - x).abs() < 1e-12, "{text} is {x}, not {end}");
    }
    bad("G0 X1.2.3", "proof/number");
    bad("G0 X.", "proof/number");
    bad("G0 X", "proof/number");
    bad("G0 X1e3", "proof/unknown-word");
    bad("G0 X--1", "proof/number");
}

#[test]
fn s3_3_2_1_close_enough_to_a_whole_number() {
    good("G1.00001 X1");
    bad("G1.01 X1", "proof/unknown-word");
    good("T[1.00005]");
    bad("T1.5", "proof/number");
}

#[test]
fn c_2_expressions() {
    // Appendix C.2, with its comments' values.
    for (text, wanted) in [
        ("[1 --3]", 4.0),
        ("[1+2*3-4/5]", 6.2),
        ("[15 MOD 4.0]", 3.0),
        ("[2 ** 3.0]", 8.0),
        ("ATAN[1.7321]/[1.0]", 60.0),
        ("ROUND[-0.5001]", -1.0),
        ("FIX[-0.499]", -1.0),
        ("FUP[-0.499]", 0.0),
        ("[2 or 2]", 1.0),
        ("[2 xor 2]", 0.0),
        ("[2 and 0]", 0.0),
        ("EXP[2.3026]", 10.0),
        ("SQRT[3**2+4**2]", 5.0),
        ("SQRT[[3**2]+[4**2]]", 5.0),
    ] {
        let got = value(text);
        assert!((got - wanted).abs() < 1e-3, "{text} is {wanted}, not {got}");
    }
}

#[test]
fn s3_3_2_3_order_of_operators() {
    // ** binds before * / MOD, those before + - OR XOR AND; left to right within a group.
    for (text, wanted) in [
        ("[2.0 / 3 * 1.5 - 5.5 / 11.0]", 0.5),
        ("[2+3*2**2]", 14.0),
        ("[8/4/2]", 1.0),
        ("[2**3**2]", 64.0),
        ("[1-1 or 1]", 1.0),
    ] {
        let got = value(text);
        assert!((got - wanted).abs() < 1e-12, "{text} is {wanted}, not {got}");
    }
}

#[test]
fn s3_3_2_4_functions_and_their_limits() {
    for (text, wanted) in [
        ("SIN[30]", 0.5),
        ("COS[60]", 0.5),
        ("TAN[45]", 1.0),
        ("ASIN[1]", 90.0),
        ("ACOS[0]", 90.0),
        ("LN[1]", 0.0),
        ("ABS[-2]", 2.0),
        ("FIX[2.8]", 2.0),
        ("FIX[-2.8]", -3.0),
        ("FUP[2.8]", 3.0),
        ("FUP[-2.8]", -2.0),
    ] {
        let got = value(text);
        assert!((got - wanted).abs() < 1e-9, "{text} is {wanted}, not {got}");
    }
    assert!((value("[1 2]") - 12.0).abs() < 1e-12, "a blank inside a number is nothing");
    for text in
        ["SQRT[-1]", "LN[0]", "ACOS[2]", "[1/0]", "[1 MOD 0]", "[[0-8]**0.5]", "FOO[1]", "[1", "[1 + ]", "ATAN[1]"]
    {
        let trace = run(&format!("#1={text}"));
        let told = codes(&trace);
        assert!(told.contains(&"proof/expression") || told.contains(&"proof/number"), "{text}: {:?}", trace.breaches);
    }
}

#[test]
fn s3_3_3_settings_take_effect_after_the_line() {
    // The report's example: with #3 formerly 15, `#3=6 G1 X#3` goes to 15.
    let trace = good("#3=15\n#3=6 G1 X#3\nG1 X#3");
    assert_eq!(ends(&trace).iter().map(|end| end.0).collect::<Vec<_>>(), [15.0, 6.0], "parallel setting");
    assert!((value("[#1+2]") - 2.0).abs() < 1e-12, "# binds tightest; what is not set is zero");
    let chained = good("#1=2\n#2=7\n#5=##1").parameters.value(5);
    assert!((chained - 7.0).abs() < 1e-12, "##1 is the parameter that #1 names");
}

#[test]
fn s3_3_4_comments_and_messages() {
    let trace = good("(first) G0 X1 ( m S g , hello)");
    assert_eq!(trace.messages, [(2, "hello".to_owned())], "only the last comment counts; MSG, in any case");
    bad("G0 X1 (open", "proof/comment");
    bad("G0 X1 (a (b) c)", "proof/comment");
    bad("G0 X1 ; remark", "proof/unknown-word");
    bad("G0 (x) 1 X1 )", "proof/unknown-word");
    let control = barwright_core::shop::Control { comments: Comments::Semicolon, ..bench::control() };
    let text = format!("{HEAD}G0 X1 ; remark (\nM2");
    let trace = trace_with(&text, &control);
    assert!(trace.breaches.is_empty(), "a profile may have semicolons: {:?}", trace.breaches);
}

fn trace_with(text: &str, control: &barwright_core::shop::Control) -> Trace {
    trace(text, &Bench::plain(control, [1.0, 2.0, 3.0]))
}

#[test]
fn s3_3_5_repeated_words() {
    bad("G0 X1 X2", "proof/repeated-word");
    bad("F1 F2", "proof/repeated-word");
    good("G0 G40 G61 X1 M8 M48");
    bad("M3 M4", "proof/modal-group");
    bad("M7 M8", "proof/modal-group");
}

#[test]
fn s3_3_percent_lines() {
    let whole = format!("%\n{HEAD}G0 X1\n%\nanything at all ((\n");
    let trace = bare(&whole);
    assert_eq!(codes(&trace), ["proof/no-end"], "text behind the second % is not read: {:?}", trace.breaches);
    let open = format!("%\n{HEAD}M2\n");
    assert_eq!(codes(&bare(&open)), ["proof/percent"], "a first % wants a second");
    let late = format!("{HEAD}%\nM2\n");
    assert!(codes(&bare(&late)).contains(&"proof/percent"), "a % in the middle");
    // 3.3 lets two percent lines stand for an end; a program that ends so leaves the spindle as
    // it is, so the stricter reading is taken: M2 or M30 is wanted.
    assert!(codes(&bare(HEAD)).contains(&"proof/no-end"), "no end word");
}

#[test]
fn s3_4_one_word_of_each_modal_group() {
    for text in [
        "G0 G1 X1",
        "G0 G80 X1",
        "G17 G18",
        "G90 G91",
        "G93 G94",
        "G20 G21",
        "G40 G41",
        "G43 H1 G49",
        "G98 G99",
        "G54 G55",
        "G61 G64",
        "G4 P1 G53",
        "M0 M2",
        "M3 M5",
        "M7 M9",
        "M48 M49",
    ] {
        bad(text, "proof/modal-group");
    }
    // Both use the axes (3.4).
    bad("G1 G92 X1", "proof/modal-group");
    good("G92 X1");
}

#[test]
fn s3_5_unknown_words() {
    for text in [
        "G5 X1", "G73 X1", "G54.1 P1", "G43.1 Z1", "G90.1", "M19", "M98 P1", "E1", "O100", "U1", "V1", "W1", "A10",
        "@", "G0 X1 é",
    ] {
        let trace = run(text);
        assert!(!trace.breaches.is_empty(), "`{text}` is not known and must be told");
    }
    bad("G0 X1 é", "proof/character");
    for text in ["H1", "D1", "Q1", "L2", "P1", "R1 G0 X1", "I1 G0 X1"] {
        bad(text, "proof/unused-word");
    }
}

#[test]
fn s3_5_1_straight_moves_need_an_axis() {
    bad("G0", "proof/no-axis");
    bad("G1", "proof/no-axis");
    let trace = bare("G21 G90 G1 X1\nM2");
    assert!(codes(&trace).contains(&"proof/feed-missing"), "no feed was stated: {:?}", trace.breaches);
    bad("F0\nG1 X1", "proof/feed-missing");
}

#[test]
fn s3_5_3_2_centre_arc_of_the_report() {
    // From (7, 7): the centre of `G17 G2 X10 Y16 I3 J4 Z9` is (10, 11) and its radius 5.
    let trace = good("G0 X7 Y7\nG17 G2 X10 Y16 I3 J4 Z9");
    let Path::Arc(arc) = moves(&trace)[1].path else { panic!("an arc: {:?}", trace.events) };
    assert!((arc.centre.x - 10.0).abs() < 1e-12 && (arc.centre.y - 11.0).abs() < 1e-12, "centre {:?}", arc.centre);
    assert!((arc.radius - 5.0).abs() < 1e-12, "radius {}", arc.radius);
    assert!(arc.sweep < 0.0, "clockwise");
}

#[test]
fn s3_5_3_2_ends_agree_within_the_tolerance() {
    good("G0 X0 Y0\nG3 X2.002 Y0 I1 J0");
    bad("G0 X0 Y0\nG3 X2.0022 Y0 I1 J0", "proof/arc-ends");
    good("G20 G0 X0 Y0\nG3 X2.0002 Y0 I1 J0 F1");
    bad("G20 G0 X0 Y0\nG3 X2.00022 Y0 I1 J0 F1", "proof/arc-ends");
}

#[test]
fn s3_5_3_2_a_full_turn_names_x_or_y() {
    bad("G3 Z-9.4 I-0.65", "proof/arc-without-end");
    bad("G2 I1 J0", "proof/arc-without-end");
    bad("G2 X5 Y5", "proof/arc-centre");
    bad("G2 X5 Y5 K1", "proof/arc-centre");
    let trace = good("G0 X10.65 Y2 Z-10\nG3 X10.65 Z-9.4 I-0.65");
    let Path::Arc(arc) = moves(&trace)[1].path else { panic!("an arc: {:?}", trace.events) };
    assert!((arc.sweep - std::f64::consts::TAU).abs() < 1e-12, "end is start: a full turn, {}", arc.sweep);
}

#[test]
fn s3_5_3_1_arcs_by_radius() {
    let trace = good("G0 X0 Y0\nG2 X10 Y0 R10\nG0 X0 Y0\nG2 X10 Y0 R-10\nG0 X0 Y0\nG3 X10 Y0 R10");
    let sweeps: Vec<f64> = moves(&trace)
        .iter()
        .filter_map(|motion| match motion.path {
            Path::Arc(arc) => Some((arc.sweep.to_degrees() * 1e6).round() / 1e6),
            Path::Line => None,
        })
        .collect();
    assert_eq!(sweeps, [-60.0, -300.0, 60.0], "the shorter, the longer, the other way");
    bad("G0 X0 Y0\nG2 X0 Y0 R5", "proof/arc-radius");
    bad("G0 X0 Y0\nG2 X12 Y0 R5", "proof/arc-radius");
}

#[test]
fn s3_5_3_arcs_in_the_other_planes() {
    // G18 counts from Z to X, G19 from Y to Z: a quarter ccw turns the second axis up.
    let zx = good("G0 X0 Y0 Z1\nG18 G3 X1 Z0 I0 K-1");
    let middle = moves(&zx)[1].at(0.5);
    assert!(middle.x > 0.7 && middle.z > 0.7, "G18 G3 from +Z to +X: {middle:?}");
    let yz = good("G0 X0 Y1 Z0\nG19 G3 Y0 Z1 J-1 K0");
    let middle = moves(&yz)[1].at(0.5);
    assert!(middle.y > 0.7 && middle.z > 0.7, "G19 G3 from +Y to +Z: {middle:?}");
    bad("G18 G3 X1 Z0 J1", "proof/arc-centre");
}

#[test]
fn s3_5_3_centres_count_from_the_start_whatever_the_distance_mode() {
    let absolute = good("G0 X5 Y5\nG90 G3 X7 Y5 I1 J0");
    let relative = good("G0 X5 Y5\nG91 G3 X2 Y0 I1 J0");
    assert_eq!(moves(&absolute)[1].path, moves(&relative)[1].path, "the same arc");
}

#[test]
fn s3_5_4_dwell_in_seconds() {
    let trace = good("G4 P2.5");
    let waits = trace
        .events
        .iter()
        .any(|event| matches!(event, Event::Dwell { time, .. } if (time.as_second() - 2.5).abs() < 1e-12));
    assert!(waits, "{:?}", trace.events);
    bad("G4 P-1", "proof/number");
    bad("G4", "proof/number");
}

#[test]
fn s3_5_5_origins_are_machine_coordinates() {
    // G10 changes the named axes only; the system need not be active.
    let trace = good("G10 L2 P2 X10 Y20\nG0 X0 Y0\nG55 G0 X0 Y0");
    assert_eq!(ends(&trace), [(0.0, 0.0, 3.0), (10.0, 20.0, 3.0)], "G54 stays, G55 is moved");
    assert!((trace.parameters.value(5241) - 10.0).abs() < 1e-12, "its place in the parameters");
    bad("G10 L2 P10 X0", "proof/number");
    bad("G10 L20 P1 X0", "proof/unknown-word");
}

#[test]
fn s3_5_7_feed_keeps_its_number_when_units_change() {
    let trace = good("F100\nG20\nG1 X1");
    assert!((moves(&trace)[0].feed.as_mm_per_min() - 2540.0).abs() < 1e-9, "100 inches now");
    assert!((ends(&trace)[0].0 - 25.4).abs() < 1e-12, "an inch is 25.4 mm");
}

#[test]
fn s3_5_8_home_by_way_of_a_point() {
    let trace = good("#5161=50\n#5162=60\n#5163=70\nG28 X0 Y0 Z5");
    assert_eq!(ends(&trace), [(0.0, 0.0, 5.0), (50.0, 60.0, 70.0)], "through the point, then home");
}

#[test]
fn s3_5_9_probing() {
    let trace = good("M5\nG38.2 X-10 F50");
    assert!((trace.parameters.value(5061) + 10.0).abs() < 1e-12, "where it stopped");
    bad("M5\nG38.2 X1.1 F50", "proof/probe");
    bad("M5\nG93 G38.2 X-10 F5", "proof/probe");
}

#[test]
fn s3_5_10_compensation_is_not_taken_on_trust() {
    bad("G41 D1", "proof/radius-compensation");
    good("G40");
}

#[test]
fn s3_5_12_machine_coordinates() {
    assert_eq!(ends(&good("G92 X0\nG91\nG53 G0 X9 Z8")), [(9.0, 2.0, 8.0)], "absolute, without offsets");
    bad("G2 X1 Y2 I5 G53", "proof/machine-move");
    bad("G80\nG53 X1", "proof/machine-move");
}

#[test]
fn s3_5_18_axis_offsets() {
    let trace = good("G92 X7\nG0 X8\nG92.2\nG0 X8\nG92.3\nG0 X8\nG92.1\nG0 X8");
    let xs: Vec<f64> = ends(&trace).iter().map(|end| end.0).collect();
    // At X 1 the coordinate becomes 7: X 8 lies at 2.
    assert_eq!(xs, [2.0, 8.0, 2.0, 8.0], "set, set aside, brought back, cleared");
}

#[test]
fn s3_5_19_inverse_time() {
    let trace = good("G93 G1 X11 F2");
    assert!((moves(&trace)[0].feed.as_mm_per_min() - 20.0).abs() < 1e-9, "10 mm in half a minute");
    bad("G93 G1 X11 F2\nX12", "proof/feed-missing");
    bad("G93 F1 G81 X1 Y1 Z0 R1", "proof/cycle");
}

#[test]
fn s3_6_1_what_the_end_resets() {
    let trace = bare("G21 G91 G18 G0 X1 M8 M3 S100\nM30\nG0 X5\n");
    assert!(trace.ended && moves(&trace).len() == 1, "nothing behind M30 is read");
}

#[test]
fn s3_6_3_a_tool_change_stops_the_spindle() {
    let trace = good("S500 M3\nT3 M6\nG1 X5");
    assert!(moves(&trace)[0].spindle.as_rpm().abs() < 1e-12, "it stands: {:?}", moves(&trace)[0].spindle);
    let trace = good("T3 M6 S5000 M3\nG1 X5");
    assert!((moves(&trace)[0].spindle.as_rpm() - 5000.0).abs() < 1e-9, "change first, start after");
    assert_eq!(moves(&trace)[0].tool, 3, "the tool of the T word");
}

#[test]
fn s3_8_order_of_execution() {
    // M5 on a rapid's line stops the spindle before it moves; a dwell waits before it too.
    let trace = good("M5 G0 X5 G4 P1");
    let wait = trace.events.iter().position(|event| matches!(event, Event::Dwell { .. }));
    let went = trace.events.iter().position(|event| matches!(event, Event::Move(..)));
    assert!(wait < went, "G4 waits before the move: {:?}", trace.events);
    assert!(moves(&trace)[0].spindle.as_rpm().abs() < 1e-12, "M5 stops before the move");
    // G20 comes before G90 and the move, wherever it stands on the line; F before both.
    assert!((ends(&good("X1 G0 G20"))[0].0 - 25.4).abs() < 1e-12, "units first");
    // A message comes first, a stop last.
    let trace = good("M0 G0 X9 (MSG, look)");
    assert_eq!((ends(&trace)[0].0, trace.messages.len()), (9.0, 1), "all of the line is done");
}

#[test]
fn modes_are_stated_before_they_matter() {
    for (text, code) in [
        ("G90 G0 X1\nM2", "proof/units-not-set"),
        ("G21 G0 X1\nM2", "proof/distance-mode-not-set"),
        ("G21 G90 F10 G3 X1 Y2 I1 J0\nM2", "proof/plane-not-set"),
        ("G21 G90 G17 F10 G81 X1 Y2 Z0 R1\nM2", "proof/return-not-set"),
    ] {
        assert!(codes(&bare(text)).contains(&code), "`{text}`: {:?}", bare(text).breaches);
    }
    assert_eq!(Unit::default(), Unit::Mm, "the bench's own unit is only a stopgap");
}

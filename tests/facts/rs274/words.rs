//! More rules of NISTIR 6556: planes, homes, offsets, systems, modes, M words, and the order of execution of table 8.

use barwright_core::proof::{Event, Path, Plane};

use super::rules::{bad, ends, good, moves};

#[test]
fn s3_5_6_planes() {
    let trace = good("G0 X0 Y0 Z0\nG18 G2 X2 Z0 I1 K0\nG17 G2 X4 Y0 I1 J0");
    let planes: Vec<Plane> = moves(&trace)
        .iter()
        .filter_map(|motion| match motion.path {
            Path::Arc(arc) => Some(arc.plane),
            Path::Line => None,
        })
        .collect();
    assert_eq!(planes, [Plane::Zx, Plane::Xy], "each arc in its plane");
}

#[test]
fn s3_5_8_the_second_home() {
    let trace = good("#5181=7\n#5182=8\n#5183=9\nG30 Z4");
    assert_eq!(ends(&trace), [(1.0, 2.0, 4.0), (7.0, 8.0, 9.0)], "by way of the named height");
    bad("G28", "proof/no-axis");
}

#[test]
fn s3_5_11_length_offsets() {
    good("G43 H0\nG49");
    bad("G43", "proof/length-offset");
    bad("G43 H-1", "proof/number");
    bad("G43 H1.5", "proof/number");
}

#[test]
fn s3_5_13_nine_coordinate_systems() {
    for (number, word) in ["G54", "G55", "G56", "G57", "G58", "G59", "G59.1", "G59.2", "G59.3"].iter().enumerate() {
        let number = number + 1;
        let trace = good(&format!("G10 L2 P{number} X{number}0\n{word} G0 X1"));
        let x = ends(&trace)[0].0;
        assert!((x - (10.0 * number as f64 + 1.0)).abs() < 1e-9, "{word} is system {number}: {x}");
    }
    bad("G59.4", "proof/unknown-word");
}

#[test]
fn s3_5_14_path_modes() {
    for (word, exact) in [("G61", true), ("G61.1", true), ("G64", false)] {
        let trace = good(&format!("{word}\nG1 X5"));
        let stops = trace.events.iter().any(|event| matches!(event, Event::Move(_, true)));
        assert_eq!(stops, exact, "{word}");
    }
}

#[test]
fn s3_5_17_distance_modes() {
    let trace = good("G91 G0 X1 Y1\nX1\nG90 X1");
    assert_eq!(ends(&trace), [(2.0, 3.0, 3.0), (3.0, 3.0, 3.0), (1.0, 3.0, 3.0)], "counted on, then from zero");
}

#[test]
fn s3_6_1_stops_go_on() {
    assert_eq!(moves(&good("M0\nG0 X1\nM1\nG0 X2\nM60\nG0 X3")).len(), 3, "cycle start goes on with the next line");
}

#[test]
fn s3_6_2_spindle() {
    let trace = good("S500 M4\nG1 X5\nM5\nG1 X6\nS0 M3\nG1 X7");
    let turns: Vec<f64> = moves(&trace).iter().map(|motion| motion.spindle.as_rpm()).collect();
    assert_eq!(turns, [-500.0, 0.0, 0.0], "the other way, stopped, and M3 with S0");
}

#[test]
fn s3_6_4_coolant() {
    let wet = |text: &str| {
        let trace = good(text);
        trace.events.iter().any(|event| matches!(event, Event::End { coolant: true, .. }))
    };
    assert!(wet("M7\nM8"), "both may run");
    assert!(wet("M8") && wet("M7") && !wet("M7\nM8\nM9"), "M9 stops both");
}

#[test]
fn s3_6_5_overrides() {
    good("M48\nM49\nG1 X2");
}

#[test]
fn s3_7_feed_speed_and_tool() {
    bad("F-1", "proof/number");
    bad("S-100", "proof/number");
    bad("T-1", "proof/number");
    let trace = good("T3\nG1 X2\nM6\nG1 X3");
    assert_eq!(moves(&trace).iter().map(|motion| motion.tool).collect::<Vec<_>>(), [0, 3], "T waits for M6");
}

/// After tables 12 and 13: entries into cutter radius compensation. Where the cutter goes depends on the control's own
/// table of diameters, and this proof does not take it on trust.
#[test]
fn b_cutter_radius_compensation_is_refused() {
    for text in ["G41 D1 G1 X3 Y4", "G42 D2 G1 X2", "F25\nG1 X5 Y5\nG41 G1 X6 D3\nG3 X8 Y8 R2", "G41\nG40"] {
        bad(text, "proof/radius-compensation");
    }
    bad("D1 G1 X2", "proof/unused-word");
}

#[test]
fn table_8_each_before_the_next() {
    // The unit before the length offset, the offset and the mode before the move, all on one line, in any order.
    let trace = good("G0 Z1 X1 G91 G20 G43 H0");
    assert_eq!(ends(&trace), [(26.4, 2.0, 28.4)], "an inch on, counted on");
    // G93 before F, F before the move.
    let trace = good("G1 X11 F2 G93");
    assert!((moves(&trace)[0].feed.as_mm_per_min() - 20.0).abs() < 1e-9, "{:?}", moves(&trace)[0]);
    // G92 before the move of the next line, G98 before a cycle of its own line.
    let trace = good("G0 Z9\nG81 G98 X1 Y1 Z0 R2 F5");
    assert_eq!(ends(&trace).last().map(|end| end.2), Some(9.0), "the old Z");
    // The tool before the spindle: M6 stops it, M3 starts it again on the same line.
    let trace = good("M3 T2 S300 M6\nG1 X4");
    assert!((moves(&trace)[0].spindle.as_rpm() - 300.0).abs() < 1e-9, "{:?}", moves(&trace)[0]);
    // The spindle before the dwell, the dwell before the plane and the move.
    let trace = good("G4 P1 M5 G0 X2");
    let kinds: Vec<&str> = trace
        .events
        .iter()
        .filter_map(|event| match event {
            Event::Dwell { .. } => Some("wait"),
            Event::Move(..) => Some("move"),
            _ => None,
        })
        .collect();
    assert_eq!(kinds, ["wait", "move"], "{:?}", trace.events);
}

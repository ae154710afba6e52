//! Canned cycles: NISTIR 6556, 3.5.16, and samples after its appendices.

use super::rules::{bare, codes, moves, run};

type Way = Vec<(f64, f64, f64, bool)>;

/// Ends of all moves, with whether they are rapid.
fn way(text: &str) -> Way {
    let trace = run(text);
    assert!(trace.breaches.is_empty(), "`{text}` is good, but: {:?}", trace.breaches);
    let near = |value: f64| (value * 1e6).round() / 1e6;
    moves(&trace).iter().map(|m| (near(m.to.x), near(m.to.y), near(m.to.z), m.rapid)).collect()
}

#[test]
fn s3_5_16_2_example_1_absolute() {
    // From (1, 2, 3). The text of the report calls clear Z 2.8 here; its list of moves, and the
    // rule for G98 with an old Z of 3, end at 3: the list is taken.
    let wanted = [(4.0, 5.0, 3.0, true), (4.0, 5.0, 2.8, true), (4.0, 5.0, 1.5, false), (4.0, 5.0, 3.0, true)];
    assert_eq!(way("G90 G81 G98 X4 Y5 Z1.5 R2.8"), wanted, "four moves");
}

#[test]
fn s3_5_16_2_example_2_incremental_three_times() {
    let moves = way("G91 G81 G98 X4 Y5 Z-0.6 R1.8 L3");
    assert_eq!(moves[0], (1.0, 2.0, 4.8, true), "first straight up to R");
    let bottoms: Vec<_> = moves.iter().filter(|m| !m.3).map(|m| (m.0, m.1, m.2)).collect();
    assert_eq!(bottoms, [(5.0, 7.0, 4.2), (9.0, 12.0, 4.2), (13.0, 17.0, 4.2)], "three holes");
    assert_eq!(moves.last(), Some(&(13.0, 17.0, 4.8, true)), "clear Z");
}

#[test]
fn s3_5_16_return_levels() {
    let end = |text: &str| way(text).last().map(|m| m.2);
    assert_eq!(end("G0 Z10\nG99 G81 X4 Y5 Z1 R2"), Some(2.0), "G99: to R");
    assert_eq!(end("G0 Z10\nG98 G81 X4 Y5 Z1 R2"), Some(10.0), "G98: to the old Z");
    assert_eq!(end("G0 Z1\nG98 G81 X4 Y5 Z0 R2"), Some(2.0), "G98 from below R: to R");
}

#[test]
fn s3_5_16_1_sticky_numbers() {
    let moves = way("G0 Z5\nG99 G81 X1 Y1 Z0 R2\nX2\nY3\nG82 X4 P0.5\nX5");
    let bottoms: Vec<_> = moves.iter().filter(|m| !m.3).map(|m| (m.0, m.1, m.2)).collect();
    assert_eq!(
        bottoms,
        [(1.0, 1.0, 0.0), (2.0, 1.0, 0.0), (2.0, 3.0, 0.0), (4.0, 3.0, 0.0), (5.0, 3.0, 0.0)],
        "R, Z and P stay"
    );
    let told = |text: &str| codes(&run(text));
    // L is not sticky; L0 is not a number of times.
    assert_eq!(
        way("G0 Z5\nG91 G99 G81 X1 Y0 Z-1 R-1 L2\nX1 R0").iter().filter(|m| !m.3).count(),
        3,
        "two holes and one"
    );
    assert!(told("G81 X1 Y1 Z0 R1 L0").contains(&"proof/cycle"), "L0");
    assert!(told("G81 X1 Y1 Z0 R1 L1.5").contains(&"proof/cycle"), "L1.5");
    assert!(told("G81 X1 Y1 Z0").contains(&"proof/cycle"), "no R");
    assert!(told("G81 X1 Y1 Z2 R1").contains(&"proof/cycle"), "R below Z");
    assert!(told("G82 X1 Y1 Z0 R1").contains(&"proof/cycle"), "no P");
    assert!(told("G81").contains(&"proof/no-axis"), "no axis");
    assert!(told("G0 Z5\nG81 X1 Y1 Z0 R1\nG80\nX2").contains(&"proof/no-motion-mode"), "after G80");
    // R and Z do not survive G80.
    assert!(told("G0 Z5\nG81 X1 Y1 Z0 R1\nG80\nG81 X2").contains(&"proof/cycle"), "a new cycle needs its own");
}

#[test]
fn s3_5_16_4_pecks() {
    // The way back down stops "a bit" above; 0.010 inch here.
    let moves = way("G0 Z5\nG99 G83 X0 Y0 Z-5 R2 Q3");
    let heights: Vec<(f64, bool)> = moves[1..].iter().map(|m| (m.2, m.3)).collect();
    let wanted = [
        (5.0, true),
        (2.0, true),
        (-1.0, false),
        (2.0, true),
        (-0.746, true),
        (-4.0, false),
        (2.0, true),
        (-3.746, true),
        (-5.0, false),
        (2.0, true),
    ];
    assert_eq!(heights, wanted, "G99 pecks to R");
    let high = way("G0 Z5\nG98 G83 X0 Y0 Z-5 R2 Q4");
    assert_eq!(high.iter().filter(|m| (m.2 - 5.0).abs() < 1e-9).count(), 4, "G98 pecks to the old Z: {high:?}");
    assert!(codes(&run("G83 X0 Y0 Z-5 R2 Q0")).contains(&"proof/cycle"), "Q0");
    assert!(codes(&run("G83 X0 Y0 Z-5 R2")).contains(&"proof/cycle"), "no Q");
    assert!(codes(&run("G83 X0 Y0 Z-5 R2 Q0.0001")).contains(&"proof/cycle"), "pecks without end");
    let many = run("G0 Z5\nG91 G83 X0.001 Z-10 R-1 Q0.00101 L9999\nnonsense");
    assert_eq!(codes(&many), ["proof/too-long"], "ninety-nine million pecks, neither repeats nor pecks too many");
    assert!(many.events.len() < 20, "none of them is followed: {}", many.events.len());
}

#[test]
fn s3_5_16_boring() {
    let feeds = |text: &str| way(text).iter().filter(|m| !m.3).count();
    assert_eq!(feeds("G0 Z5\nG99 G85 X0 Y0 Z-1 R2"), 2, "G85 feeds out");
    assert_eq!(feeds("G0 Z5\nG99 G86 X0 Y0 Z-1 R2 P1"), 1, "G86 comes out in rapid");
    assert_eq!(feeds("G0 Z5\nG99 G89 X0 Y0 Z-1 R2 P1"), 2, "G89 feeds out");
    for text in ["G84 X0 Y0 Z-1 R2", "G87 X0 Y0 Z-1 R2 I1 J1 K1"] {
        assert!(codes(&run(text)).contains(&"proof/synchronised"), "`{text}` needs what this spindle cannot");
    }
}

#[test]
fn c_3_cycles_in_three_planes() {
    // After appendix C.3: the same cycles stand on whichever axis the plane leaves.
    let zx = way("G18 G0 X0 Y5 Z0\nG99 G81 X1 Z1 Y-1 R2");
    assert_eq!(zx.last(), Some(&(1.0, 2.0, 1.0, true)), "G18 drills along Y");
    let yz = way("G19 G0 X5 Y0 Z0\nG99 G81 Y1 Z1 X-1 R2");
    assert_eq!(yz.last(), Some(&(2.0, 1.0, 1.0, true)), "G19 drills along X");
}

#[test]
fn c_1_words_of_an_engraving() {
    // After appendix C.1: tool, spindle, feed and speed on one line, full circles by one offset,
    // an arc by its radius.
    let trace = bare(
        "N0010 G21 G0 X0 Y0 Z50 G17 G90 G94\nN0020 T1 M6 M3 F20 S4000\nN0030 G0 X30 Y30\nN0040 G1 Z-0.5\nN0050 G2 X30 J2.5\nN0060 G2 X34 R4\nN0070 G0 Z50\nN0080 M2\n",
    );
    assert!(trace.breaches.is_empty(), "{:?}", trace.breaches);
    assert_eq!(moves(&trace).len(), 6, "{:?}", trace.events);
    assert!((moves(&trace)[3].spindle.as_rpm() - 4000.0).abs() < 1e-9, "its speed");
}

#[test]
fn table_6_probing_a_hole() {
    // After table 6: touch +X and -X, work out the middle with an expression, go there.
    let trace = run(
        "M5\nG0 X0 Y0 Z-1\nG38.2 X10 F50\n#1001=#5061\nG0 X0\nG38.2 X-12 F50\n#1002=[[#5061 + #1001] / 2.0]\nG0 X#1002",
    );
    assert!(trace.breaches.is_empty(), "{:?}", trace.breaches);
    assert_eq!(moves(&trace).last().map(|m| m.to.x), Some(-1.0), "the middle between the walls");
}

/// After appendix C.3: every cycle that this spindle can do, in each of the three planes, in inches.
#[test]
fn c_3_every_cycle_in_every_plane_in_inches() {
    for (plane, [first, second, up]) in [("G17", ["X", "Y", "Z"]), ("G18", ["Z", "X", "Y"]), ("G19", ["Y", "Z", "X"])] {
        for (cycle, more, feeds) in [
            ("G81", "", 1),
            ("G82", "P1.0", 1),
            ("G83", "Q0.4", 3),
            ("G85", "", 2),
            ("G86", "P0.2", 1),
            ("G88", "P0.2", 1),
            ("G89", "P0.2", 2),
        ] {
            let text = format!(
                "G20 {plane} G90 F10 G0 X0 Y0 Z0\nG0 {up}3\nG98 {cycle} {first}1 {second}2 {up}-0.2 R1 {more}\n\
                 G99 {first}2\nG80"
            );
            let trace = run(&text);
            assert!(trace.breaches.is_empty(), "`{text}` is good, but: {:?}", trace.breaches);
            let axis = ["X", "Y", "Z"].iter().position(|name| *name == up).expect("an axis");
            let at = |tip: barwright_core::proof::Tip| [tip.x, tip.y, tip.z][axis] / 25.4;
            let cuts = moves(&trace).iter().filter(|motion| !motion.rapid).count();
            assert_eq!(cuts, 2 * feeds, "{plane} {cycle}: two holes: {:?}", trace.events);
            let lowest = moves(&trace).iter().map(|motion| at(motion.to)).fold(f64::INFINITY, f64::min);
            let last = moves(&trace).last().map(|motion| at(motion.to));
            assert!((lowest + 0.2).abs() < 1e-9, "{plane} {cycle}: to the bottom, {lowest}");
            assert!(last.is_some_and(|last| (last - 1.0).abs() < 1e-9), "{plane} {cycle}: back to R, {last:?}");
        }
    }
}

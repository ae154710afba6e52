//! Whatever a text says, the proof ends and says something.

use std::fmt::Write as _;

use barwright_core::proof::prove;
use proptest::prelude::*;

use super::bench;
use super::key::CANNED;

fn ends(text: &str) {
    for control in [bench::control(), bench::plain_control()] {
        let verdict = prove(text, &bench::key(), &bench::shop(control), &bench::setup());
        assert!(!verdict.proved(), "no random text makes the key: {text}");
        assert!(!verdict.breaches.is_empty(), "and it is told why: {text}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(200) })]

    #[test]
    fn random_bytes(bytes in prop::collection::vec(any::<u8>(), 0..600)) {
        ends(&String::from_utf8_lossy(&bytes));
    }

    #[test]
    fn random_words(words in prop::collection::vec(("[A-Z#%/()\\[\\];]", -1000.0..1000.0_f64, 0..4_usize, any::<bool>()), 0..120)) {
        let mut text = String::from("G21 G17 G90 G94 G54 G98 T2 M6 S4500 M3 G43 H2 F100 G0 Z10\nX0 Y0\n");
        for (letter, value, decimals, breaks) in words {
            write!(text, "{letter}{value:.decimals$}{}", if breaks { "\n" } else { " " }).expect("a string takes it");
        }
        ends(&text);
    }

    #[test]
    fn random_codes(words in prop::collection::vec((0..30_usize, 0..12_usize, -30.0..30.0_f64), 0..80)) {
        const CODES: [&str; 30] = ["G0", "G1", "G2", "G3", "G4", "G10", "G17", "G18", "G19", "G20", "G21", "G28", "G43", "G49", "G53", "G54", "G80", "G81", "G82", "G83", "G85", "G90", "G91", "G92", "G93", "G94", "G99", "M3", "M5", "T3 M6"];
        const REST: [&str; 12] = ["X", "Y", "Z", "I", "J", "R", "X1 Y", "Z-5 R2 Q", "L2 P1 X", "X3 I", "F", "X1 Y1 Z-3 I1 J"];
        let mut text = String::from("G21 G17 G90 G94 G54 G98 T2 M6 S4500 M3 G43 H2 F100 G0 Z10\nX0 Y0\n");
        for (code, rest, value) in words {
            writeln!(text, "{} {}{value:.3}", CODES[code], REST[rest]).expect("a string takes it");
        }
        ends(&text);
    }

    #[test]
    fn a_good_program_with_bytes_changed(places in prop::collection::vec((0..7000_usize, 32..127_u8), 1..6)) {
        let mut bytes = CANNED.as_bytes().to_vec();
        for (place, byte) in places {
            let length = bytes.len();
            bytes[place % length] = byte;
        }
        let text = String::from_utf8_lossy(&bytes);
        // It may still be good: a comment, a digit that nobody needs.
        prove(&text, &bench::key(), &bench::shop(bench::control()), &bench::setup());
    }
}

#[test]
fn what_could_run_on_and_on_ends() {
    let head = "G21 G17 G90 G94 G54 G98 T2 M6 S4500 M3 G43 H2 F100 G0 Z10\nX0 Y0\n";
    for text in [
        "G91 G81 X0.001 Z-1 R0 L999999".to_owned(),
        "G83 X0 Y0 Z-900000 R2 Q0.001".to_owned(),
        format!("G1 X{}1", "[".repeat(200)),
        format!("G1 X{}1", "#".repeat(200)),
        format!("G1 X{}", "9".repeat(240)),
        "G1 X[9**999]".to_owned(),
        format!("G3 X1 Y1 I{} J0", "9".repeat(200)),
        format!("G18 G3 X1 Z1 I{} K0", "9".repeat(200)),
        format!("G2 X1 Y1 R{}", "9".repeat(200)),
        format!("G81 X1 Y1 Z0 R{}", "9".repeat(200)),
        format!("G53 G0 Z-{}", "9".repeat(200)),
        format!("G10 L2 P1 X{}\nG0 X1\nG1 Z-5\nX2", "9".repeat(200)),
        format!("G4 P{}", "9".repeat(200)),
        format!("G1 X1 F{0}\nS{0} M3", "9".repeat(200)),
        "G18 G3 X0 Z0 I500000 K0".to_owned(),
        "G91 G81 X0.001 Z-1 R0 L9999\n".repeat(60),
        "\n".repeat(300_000),
        "G1 X1\n".repeat(20_000),
    ] {
        ends(&format!("{head}{text}\n"));
    }
}

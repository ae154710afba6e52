//! The flanks of milled threads, against figures that were reckoned apart from this code.

use super::*;
use crate::quantity::{Length, Unit};
use crate::standards::drill::Drill;
use crate::standards::thread::{External, Internal};

fn thread(major: f64, pitch: f64) -> Thread {
    let some = Length::mm(major);
    Thread {
        designation: String::new(),
        name: String::new(),
        unit: Unit::Mm,
        major: some,
        pitch: Length::mm(pitch),
        internal: Internal { class: String::new(), minor_min: some, minor_max: some, pitch_min: some, pitch_max: some },
        external: External { class: String::new(), major_max: some, major_min: some, pitch_max: some, pitch_min: some },
        tap_drill: Drill { name: String::new(), diameter: some },
        stress_area: crate::quantity::Area::mm2(0.0),
        source: String::new(),
    }
}

/// The overcut of the flanks as pitch diameter, against a table computed apart from this code:
/// growth G for ratios of cutter to thread, cutters with a flat of an eighth of the pitch.
#[test]
fn flank_overcut() {
    for (major, pitch, ratio, growth) in [
        (3.0, 0.5, 0.5, 0.011),
        (3.0, 0.5, 0.8, 0.050),
        (5.0, 0.8, 0.6, 0.027),
        (5.0, 0.8, 0.75, 0.057),
        (8.0, 1.25, 0.7, 0.067),
    ] {
        let thread = thread(major, pitch);
        let cutter = major * ratio / 2.0;
        let orbit = major / 2.0 - cutter;
        let job = Job {
            thread: &thread,
            sign: 1.0,
            cutter,
            flat: pitch / 8.0,
            tip: 0.0,
            rows: 1.0,
            corrected: false,
            slant: slant(),
        };
        let pass = Pass {
            line: 1,
            orbit,
            axis: Point::new(0.0, 0.0),
            low: 0.0,
            high: 0.0,
            phase: 0.0,
            order: 0,
            begin: 0.0,
            end: 0.0,
            turned: TAU,
        };
        let (measured, root) = job.diameters(&[pass], &pass, major / 2.0 - 0.5413 * pitch);
        // Without overcut the pitch diameter would be D - 0.6495 P with the basic profile.
        let got = measured - (major - 0.649_519 * pitch);
        assert!((got - growth).abs() < 0.002, "{major}x{pitch}, cutter {ratio} D: {got:.4} mm, not {growth}");
        assert!((root - major).abs() < 1e-9, "the root is the widest circle");
    }
}

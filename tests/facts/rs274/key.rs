//! Three programs for the demo key, written by hand, are proved; slips in them are not.

use barwright_core::part::{Axis, Measure};
use barwright_core::proof::{Verdict, prove};
use barwright_core::quantity::Length;
use barwright_core::shop::{Control, Shop};

use super::bench;

pub(crate) const CANNED: &str = include_str!("key-canned.ngc");
pub(crate) const INCH: &str = include_str!("key-inch.ngc");
pub(crate) const INCREMENTAL: &str = include_str!("key-incremental.ngc");

/// Each program with the control that it is written for.
pub(crate) fn programs() -> [(&'static str, &'static str, Control); 3] {
    [
        ("canned", CANNED, bench::control()),
        ("inch", INCH, bench::plain_control()),
        ("incremental", INCREMENTAL, bench::absolute_control()),
    ]
}

fn judged(text: &str, shop: &Shop) -> Verdict {
    prove(text, &bench::key(), shop, &bench::setup())
}

#[test]
fn good_programs_are_proved() {
    for (name, text, control) in programs() {
        let verdict = judged(text, &bench::shop(control));
        let told: Vec<String> =
            verdict.breaches.iter().map(|b| format!("{} `{}` {}: {}", b.line, b.words, b.code, b.what)).collect();
        assert!(verdict.proved(), "{name} is not proved:\n{}", told.join("\n"));
        let measured = |measure: &Measure| {
            let reading = verdict.inspection.iter().find(|reading| reading.characteristic.measure == *measure);
            reading.and_then(|reading| reading.measured).map_or(f64::NAN, Length::as_mm)
        };
        // The place of a word in inches is known to 0.0001 in, 0.00254 mm.
        for (measure, wanted, off) in [
            (Measure::TongueWidth("tongue".to_owned()), 9.958, 0.0026),
            (Measure::TongueHeight("tongue".to_owned()), 2.5, 0.0014),
            (Measure::TongueOffset("tongue".to_owned()), 0.0, 1e-9),
            (Measure::HolePlace("screws".to_owned(), 3, Axis::X), 22.5, 0.0014),
            (Measure::MinorDiameter("screws".to_owned(), 0), 4.2, 1e-9),
            // D2 = 2 e + d - (P/2 - f)/tan 30° + G, with e 1.052, d 3.0, f 0.06 and an overcut G of
            // 0.025: worked out beside this code.
            (Measure::PitchDiameter("screws".to_owned(), 2), 4.540, 0.003),
        ] {
            let got = measured(&measure);
            assert!((got - wanted).abs() <= off, "{name}: {measure:?} measures {got}, not {wanted}");
        }
        let minutes = verdict.times.total.as_second() / 60.0;
        assert!((10.0..15.0).contains(&minutes), "{name} takes {minutes} min, four changes of 72 s in it");
        assert_eq!(verdict.times.sections.len(), 4, "{name}: one section for each tool");
    }
}

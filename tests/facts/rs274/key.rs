//! Three programs for the demo key, written by hand, are proved; slips in them are not.

use barwright_core::proof::{Verdict, prove};
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
        for reading in &verdict.inspection {
            eprintln!("{name}: {} {:?}", reading.characteristic.size.title, reading.measured);
        }
        eprintln!("{name}: {:?}", verdict.times);
    }
}

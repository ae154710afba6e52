//! How long a proof takes, of programs that our own plan and writer make.
//!
//! The figures to hold: the demo key under 2 ms, a plate with 400 tapped holes under 60 ms. `cargo bench` shows them by
//! the clock on the wall; here they are counted in the processor's own time, which other work on the machine does not
//! change much.

use std::time::Instant;

use barwright_core::drawing::Stamp;
use barwright_core::job;
use barwright_core::part::{Kind, Part, Place};
use barwright_core::plan;
use barwright_core::program;
use barwright_core::proof::prove;
use barwright_core::quantity::Length;
use barwright_core::shop::{Setup, Shop};
use barwright_tests::{EXAMPLES, demo_shop, example, key, make};

#[test]
#[ignore = "a measurement: cargo test --release -p barwright-tests --test rs274 speed -- --ignored --nocapture"]
#[expect(clippy::print_stdout, reason = "the measurement")]
fn speed() {
    let shop = demo_shop("canned");
    let part = make(&key(), example(EXAMPLES[0]), &shop).goods.expect("the example is made").part;
    let (plate, wide) = plate(&part, &shop);
    for (name, part, shop, most) in [("key", &part, &shop, 2.0), ("plate of 400 tapped holes", &plate, &wide, 60.0)] {
        let (setup, text) = program(part, shop);
        assert!(prove(&text, part, shop, &setup).proved(), "{name} is proved");
        // The system counts in steps of some milliseconds: many proofs of the small one at a time.
        let runs = if most < 10.0 { 100 } else { 2 };
        let batch = || spent(|| (0..runs).for_each(|_| drop(prove(&text, part, shop, &setup)))) / f64::from(runs);
        let least = (0..12).map(|_| batch()).fold(f64::INFINITY, f64::min);
        println!("{name}, {} lines: {least:.2} ms of {most} ms", text.lines().count());
        assert!(least < most, "{name} takes {least:.2} ms, {most} ms at most");
    }
}

/// The program of the only setup of a part.
fn program(part: &Part, shop: &Shop) -> (Setup, String) {
    let checked = plan::plan(part, shop);
    let plan = checked.value.unwrap_or_else(|| panic!("it can be made: {:?}", checked.findings));
    let setup = plan.setups.first().expect("a setup");
    let header = job::header(part, shop, &Stamp::default(), true);
    (setup.setup.clone(), program::emit(setup, &header, &shop.control).text)
}

/// A plate with 25 by 16 tapped holes, and a shop whose vise takes it.
fn plate(key: &Part, shop: &Shop) -> (Part, Shop) {
    let mut plate = key.clone();
    let (long, wide) = (Length::mm(215.0), Length::mm(140.0));
    (plate.blank.length, plate.blank.width) = (long, wide);
    (plate.length.nominal, plate.width.nominal) = (long, wide);
    plate.features.retain(|feature| matches!(feature.kind, Kind::Holes(_)));
    for feature in &mut plate.features {
        let Kind::Holes(holes) = &mut feature.kind else { continue };
        let at = |step: i32, last: i32| Length::mm(f64::from(2 * step - last) * 4.0);
        let row = |row| (0..25).map(move |column| Place { x: at(column, 24), y: at(row, 15) });
        holes.places = (0..16).flat_map(row).collect();
    }
    let mut shop = shop.clone();
    shop.vise.opening = Length::mm(200.0);
    (plate, shop)
}

/// Milliseconds that the processor spends on something; where the system does not tell, those on the wall.
fn spent(what: impl FnOnce()) -> f64 {
    let clock = Instant::now();
    let before = processor();
    what();
    let after = processor();
    let wall = clock.elapsed().as_secs_f64() * 1000.0;
    match (before, after) {
        (Some(before), Some(after)) => (after - before) / 1e6,
        _ => wall,
    }
}

/// Nanoseconds that this thread has run, where the system tells.
fn processor() -> Option<f64> {
    let text = std::fs::read_to_string("/proc/thread-self/schedstat").ok()?;
    text.split_whitespace().next()?.parse().ok()
}

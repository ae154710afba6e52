//! How long a proof takes; run in release, with its output shown.

use std::fmt::Write as _;
use std::time::Instant;

use barwright_core::part::{Kind, Place};
use barwright_core::proof::{Bench, prove, trace};
use barwright_core::quantity::Length;
use barwright_core::shop::Travel;

use super::bench;
use super::key::CANNED;

#[test]
#[ignore = "a measurement: cargo test --release -p barwright-tests --test rs274 speed -- --ignored --nocapture"]
#[expect(clippy::print_stdout, reason = "the measurement")]
fn speed() {
    let (part, shop, setup) = (bench::key(), bench::shop(bench::control()), bench::setup());
    let begun = Instant::now();
    for _ in 0..200 {
        assert!(prove(CANNED, &part, &shop, &setup).proved(), "a good program");
    }
    println!("key: {:.3} ms", begun.elapsed().as_secs_f64() * 1000.0 / 200.0);
    let (part, shop, setup, text) = plate();
    let begun = Instant::now();
    let read = trace(&text, &Bench::of(&shop, &setup, part.unit));
    println!("plate, reading alone: {:.1} ms, {} events", begun.elapsed().as_secs_f64() * 1000.0, read.events.len());
    let begun = Instant::now();
    let verdict = prove(&text, &part, &shop, &setup);
    println!(
        "plate of 400 tapped holes, {} lines: {:.1} ms",
        text.lines().count(),
        begun.elapsed().as_secs_f64() * 1000.0
    );
    assert!(verdict.proved(), "{:?}", &verdict.breaches[..verdict.breaches.len().min(5)]);
}

/// 20 by 20 holes M5, 12 mm apart, in a plate of 250 x 250 x 12.
fn plate() -> (barwright_core::part::Part, barwright_core::shop::Shop, barwright_core::shop::Setup, String) {
    let mut part = bench::key();
    let mut places = Vec::new();
    for row in 0..20 {
        for column in 0..20 {
            places.push((f64::from(column) * 12.0 - 114.0, f64::from(row) * 12.0 - 114.0));
        }
    }
    part.features.remove(0);
    for extent in [&mut part.length, &mut part.width] {
        extent.nominal = Length::mm(250.0);
    }
    part.blank.length = Length::mm(250.0);
    part.blank.width = Length::mm(250.0);
    if let Some(Kind::Holes(holes)) = part.features.first_mut().map(|feature| &mut feature.kind) {
        holes.places = places.iter().map(|(x, y)| Place { x: Length::mm(*x), y: Length::mm(*y) }).collect();
    }
    let mut shop = bench::shop(bench::control());
    shop.machine.y = Travel { from: Length::ZERO, to: Length::mm(400.0) };
    let mut setup = bench::setup();
    setup.datum_at = None;
    let mut text = String::from("%\nG21 G17 G90 G94 G40 G49 G80 G54 G98\n");
    for (tool, speed, cycle) in [(1, 4500, "G99 G81 Z-2.6 R2.0 F225.0"), (2, 4500, "G99 G81 Z-14.0 R2.0 F360.0")] {
        writeln!(text, "T{tool} M6\nS{speed} M3\nG4 P2.0\nG43 H{tool} G0 Z10.0").expect("a string takes it");
        for (number, (x, y)) in places.iter().enumerate() {
            if number == 0 {
                writeln!(text, "X{x:.1} Y{y:.1}\n{cycle} X{x:.1} Y{y:.1}").expect("a string takes it");
            } else {
                writeln!(text, "X{x:.1} Y{y:.1}").expect("a string takes it");
            }
        }
        text += "G80\nG0 Z10.0\nM5\n";
    }
    text += "T3 M6\nS8000 M3\nG4 P2.0\nG43 H3 G0 Z10.0\n";
    for (x, y) in &places {
        writeln!(text, "G0 X{x:.1} Y{y:.1}\nZ2.0").expect("a string takes it");
        for orbit in [0.898, 1.052] {
            let half = orbit / 2.0;
            writeln!(text, "G0 Z-13.2\nG3 X{:.3} Y{y:.1} Z-13.0 I{half:.3} J0.0 F140.0", x + orbit)
                .expect("a string takes it");
            for turn in 1..=17 {
                writeln!(text, "G3 X{:.3} Y{y:.1} Z{:.3} I-{orbit:.3} J0.0", x + orbit, f64::from(turn) * 0.8 - 13.0)
                    .expect("a string takes it");
            }
            writeln!(text, "G3 X{x:.1} Y{y:.1} Z0.8 I-{half:.3} J0.0").expect("a string takes it");
        }
        text += "G0 Z10.0\n";
    }
    text += "M5\nM30\n%\n";
    (part, shop, setup, text)
}

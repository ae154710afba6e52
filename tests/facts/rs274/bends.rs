//! Loads on ways that sink and bend, and slots that are no straight passes.

use std::fmt::Write as _;

use barwright_core::part::{Depth, Holes, Kind, Make, Measure, Place, Slot};
use barwright_core::quantity::Length;

use super::block::{measured, one, size, told};

fn slot(width: f64, depth: f64) -> Kind {
    Kind::Slot(Slot {
        place: Place { x: Length::ZERO, y: Length::ZERO },
        place_tolerance: Length::mm(0.05),
        length: Some(size("slot_length", 30.0, 0.1, -0.1)),
        width: size("slot_width", width, 0.05, -0.05),
        depth: Depth::Blind(size("deep", depth, 0.05, -0.05)),
    })
}

#[test]
fn a_ramp_is_judged_where_it_is_deepest() {
    let start = "X-12.0 Y0.0\nZ2.0\nG1 Z0.2 F300.0\n";
    let gentle = format!("{start}G1 X12.0 Z-1.0 F300.0\nX-12.0 Z-2.0\nX12.0 Z-3.0\nX-12.0 Z-4.0\nX12.0\n");
    let verdict = one(slot(6.0, 4.0), 9, &gentle);
    assert!(verdict.proved(), "down to and fro by a millimetre: {:#?}", verdict.breaches);
    // 4 mm deep and 6 wide at its end, where half of its diameter is the most.
    let steep = one(slot(6.0, 4.0), 9, &format!("{start}G1 X12.0 Z-4.0 F300.0\nX-12.0\n"));
    let line = steep.breaches.iter().find(|breach| breach.code == "proof/engagement").map(|breach| breach.line);
    assert_eq!(line, Some(10), "down in one go: {:#?}", steep.breaches);
    // The same along a groove, level: 24 mm², where an end mill of 6 bears 21.6.
    let groove = Kind::Slot(Slot {
        place: Place { x: Length::ZERO, y: Length::ZERO },
        place_tolerance: Length::mm(0.05),
        length: None,
        width: size("groove", 6.0, 0.05, -0.05),
        depth: Depth::Blind(size("deep", 4.0, 0.05, -0.05)),
    });
    let level = one(groove, 9, "X-34.0 Y0.0\nZ-4.0\nG1 X34.0 F300.0\n");
    assert!(told(&level, "proof/depth-of-cut"), "{:#?}", level.breaches);
}

#[test]
fn a_slope_along_a_helix_counts_what_the_turn_before_left() {
    let round = |turns: i32, drop: f64| {
        let mut text = "X2.0 Y0.0\nZ2.0\nG1 Z0.2 F300.0\n".to_owned();
        for turn in 1..=turns {
            let z = 0.2 - drop * f64::from(turn);
            writeln!(text, "G3 X2.0 Y0.0 Z{z:.3} I-2.0 J0.0 F250.0").expect("a string takes it");
        }
        text + "G3 X2.0 Y0.0 I-2.0 J0.0\nG1 X0.0\n"
    };
    let hole = || {
        Kind::Holes(Holes {
            places: vec![Place { x: Length::ZERO, y: Length::ZERO }],
            place_tolerance: Length::mm(0.05),
            depth: Depth::Blind(size("deep", 7.0, 0.1, -0.1)),
            make: Make::Plain { diameter: size("wide", 10.0, 0.1, -0.1) },
            chamfer: None,
            head: None,
        })
    };
    let good = one(hole(), 9, &round(4, 1.8));
    assert!(good.proved(), "1.8 a turn: {:#?}", good.breaches);
    let steep = one(hole(), 9, &round(2, 3.6));
    assert!(
        told(&steep, "proof/depth-of-cut") || told(&steep, "proof/engagement"),
        "3.6 a turn: {:#?}",
        steep.breaches
    );
}

/// A slot whose walls come of many short passes across it: no pass runs along them.
#[test]
fn a_slot_of_passes_across() {
    let across = |wall: f64| {
        let mut text = "X-11.0 Y0.0\nZ2.0\nG1 Z-1.0 F150.0\n".to_owned();
        let mut x = -11.0;
        while x < 10.99 {
            writeln!(text, "G1 Y{wall:.3} F400.0\nX{:.3}\nY-{wall:.3}\nX{:.3}", x + 0.1, x + 0.2).expect("written");
            x += 0.2;
        }
        // The round ends, and once round the whole.
        write!(
            text,
            "Y0.0\nX11.0\nG1 Y-{wall:.3}\nG3 X11.0 Y{wall:.3} I0.0 J{wall:.3} F150.0\nG1 Y0.0\nX-11.0 F400.0\n\
             Y{wall:.3}\nG3 X-11.0 Y-{wall:.3} I0.0 J-{wall:.3} F150.0\nG1 Y0.0\n"
        )
        .expect("written");
        text
    };
    let good = one(slot(8.0, 1.0), 9, &across(1.0));
    assert!(good.proved(), "{:#?}\n{:#?}", good.breaches, good.inspection);
    let width = measured(&good, &Measure::SlotWidth("it".to_owned()));
    // Scallops of a cutter of 6 at a step of 0.1 are 0.0004 high; to the bound of the regions, 0.002 on each wall.
    assert!((width - 8.0).abs() < 0.005, "twice 1 and a cutter of 6: {width}");
    // Wider than a good slot can be wherever it stands is a cut into the piece; a little wider, a size.
    for (wall, code) in [(0.96, "proof/size"), (1.06, "proof/size"), (1.12, "proof/gouge")] {
        let bad = one(slot(8.0, 1.0), 9, &across(wall));
        assert!(told(&bad, code) && !bad.proved(), "walls at {wall} should be {code}: {:#?}", bad.breaches);
    }
}

/// On a bend the edges run faster than the middle, on that side where they cut.
#[test]
fn the_side_that_cuts_makes_the_chip() {
    let wide = || {
        Kind::Holes(Holes {
            places: vec![Place { x: Length::ZERO, y: Length::ZERO }],
            place_tolerance: Length::mm(0.05),
            depth: Depth::Blind(size("deep", 3.0, 0.1, 0.0)),
            make: Make::Plain { diameter: size("wide", 14.0, 0.1, 0.0) },
            chamfer: None,
            head: None,
        })
    };
    let round = |orbit: f64| {
        format!(
            "X{orbit} Y0.0\nZ2.0\nG1 Z0.2 F300.0\nG3 X{orbit} Y0.0 Z-1.4 I-{orbit} J0.0 F900.0\n\
             G3 X{orbit} Y0.0 Z-3.05 I-{orbit} J0.0\nG3 X{orbit} Y0.0 Z-3.05 I-{orbit} J0.0\nG0 Z10.0\n"
        )
    };
    // 900 mm/min at 6000 turns and 3 edges are 0.05; on an orbit of 2 the outer edge of 3 runs 2.5 times as fast, and
    // 0.12 is borne.
    let inside_first = one(wide(), 9, &(round(2.0) + &round(4.025)));
    assert!(told(&inside_first, "proof/chip-load"), "its outer edge cuts: {:#?}", inside_first.breaches);
    let outside_first = one(wide(), 9, &(round(4.025) + &round(2.0)));
    assert!(outside_first.proved(), "only its inner edge cuts then: {:#?}", outside_first.breaches);
}

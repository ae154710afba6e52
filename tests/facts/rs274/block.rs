//! Blind, reamed, headed holes, a slot and a milled end: programs written by hand are proved and
//! measured, and each slip in them is called by its name.

use barwright_core::part::{
    Axis, Basis, Depth, End, Ends, Face, Feature, Head, Holes, Kind, Make, Measure, Part, Place, Pose, Size, Slot,
};
use barwright_core::proof::{Verdict, prove};
use barwright_core::quantity::{Angle, Length};
use barwright_core::shop::{Cutter, Edge, Setup, Shop};
use barwright_core::standards::drill::Drill;
use barwright_core::standards::thread::Hand;

use super::bench;

pub(crate) const BLOCK: &str = include_str!("block.ngc");
const END: &str = include_str!("end.ngc");

pub(crate) fn size(name: &str, nominal: f64, upper: f64, lower: f64) -> Size {
    let [nominal, upper, lower] = [nominal, upper, lower].map(Length::mm);
    Size { name: name.to_owned(), title: name.replace('_', " "), nominal, upper, lower, basis: Basis::Given }
}

fn feature(id: &str, kind: Kind) -> Feature {
    let origin = barwright_core::diag::Origin::default();
    Feature { id: id.to_owned(), title: id.to_owned(), face: Face::Top, origin, kind }
}

fn hole(id: &str, x: f64, make: Make, depth: Depth, head: Option<Head>) -> Feature {
    let places = vec![Place { x: Length::mm(x), y: Length::mm(10.0) }];
    let tapped = matches!(make, Make::Tapped { .. });
    let chamfer = tapped.then_some(Length::mm(5.2));
    feature(id, Kind::Holes(Holes { places, place_tolerance: Length::mm(0.1), depth, make, chamfer, head }))
}

fn plain(diameter: f64) -> Make {
    Make::Plain { diameter: size("diameter", diameter, 0.12, 0.0) }
}

/// 80 x 40 x 15 with one of each.
pub(crate) fn block() -> Part {
    let mut part = bench::key();
    part.length = size("length", 80.0, 0.3, -0.3);
    part.width = size("width", 40.0, 0.2, -0.2);
    part.height = size("height", 15.0, 0.1, -0.1);
    (part.blank.length, part.blank.width, part.blank.height) = (Length::mm(80.0), Length::mm(40.0), Length::mm(15.0));
    // 6 H7: ISO 286-2:2010, table 6.
    let reamed = Make::Reamed { diameter: size("dowel", 6.0, 0.012, 0.0) };
    let tapped = Make::Tapped {
        thread: Box::new(bench::m5()),
        hand: Hand::Right,
        drill: Drill { name: "4.2 mm".to_owned(), diameter: Length::mm(4.2) },
        full: Some(size("full", 8.0, 0.8, 0.0)),
    };
    let bored = Head::Counterbore { diameter: size("head", 10.0, 0.36, 0.0), depth: size("head_depth", 5.5, 0.3, 0.0) };
    let sunk = Head::Countersink { diameter: size("sunk", 11.0, 0.2, -0.2), angle: Angle::degree(90.0) };
    part.features = vec![
        hole("dowel", -30.0, reamed, Depth::Through, None),
        hole("tapped", -15.0, tapped, Depth::Blind(size("drilled", 12.0, 0.5, 0.0)), None),
        hole("bored", 0.0, plain(5.5), Depth::Through, Some(bored)),
        hole("sunk", 20.0, plain(5.5), Depth::Through, Some(sunk)),
        hole("blind", 30.0, plain(5.0), Depth::Blind(size("blind_depth", 6.0, 0.2, -0.2)), None),
        feature(
            "slot",
            Kind::Slot(Slot {
                place: Place { x: Length::ZERO, y: Length::mm(-10.0) },
                place_tolerance: Length::mm(0.1),
                length: Some(size("slot_length", 30.0, 0.2, 0.0)),
                width: size("slot_width", 8.0, 0.1, 0.0),
                depth: Depth::Blind(size("slot_depth", 4.0, 0.1, -0.1)),
            }),
        ),
    ];
    part
}

pub(crate) fn shop() -> Shop {
    let mut shop = bench::shop(bench::control());
    let like = |number: u32, from: u32| {
        let mut tool = bench::tools().into_iter().find(|tool| tool.number == from).expect("a tool");
        tool.number = number;
        tool
    };
    let drill = |number, diameter| {
        let mut tool = like(number, 5);
        (tool.diameter, tool.shank) = (Length::mm(diameter), Length::mm(diameter));
        tool
    };
    let mut reamer = drill(7, 6.006);
    reamer.cutter = Cutter::Reamer { lead: Length::mm(1.5) };
    let mut mill = like(9, 4);
    mill.cutter = Cutter::EndMill { centre_cutting: true, corner: Length::ZERO };
    let mut sink = like(10, 1);
    sink.edge = Edge::Hss;
    (sink.diameter, sink.shank) = (Length::mm(12.0), Length::mm(12.0));
    sink.cutter = Cutter::Countersink { angle: Angle::degree(90.0), nose: Length::mm(1.0) };
    shop.tools.extend([drill(6, 5.8), reamer, drill(8, 5.5), mill, sink]);
    shop
}

pub(crate) fn setup() -> Setup {
    let mut setup = bench::setup();
    setup.jaw_top = Length::mm(-9.0);
    setup.parallel_top = Length::mm(-15.0);
    setup
}

fn judged(text: &str) -> Verdict {
    prove(text, &block(), &shop(), &setup())
}

pub(crate) fn told(verdict: &Verdict, code: &str) -> bool {
    verdict.breaches.iter().any(|breach| breach.code == code)
}

pub(crate) fn measured(verdict: &Verdict, measure: &Measure) -> f64 {
    let reading = verdict.inspection.iter().find(|reading| reading.characteristic.measure == *measure);
    reading.and_then(|reading| reading.measured).map_or(f64::NAN, Length::as_mm)
}

#[test]
fn a_block_with_one_of_each_is_proved_and_measured() {
    let verdict = judged(BLOCK);
    let wrong: Vec<_> = verdict.inspection.iter().filter(|reading| !reading.holds).collect();
    assert!(verdict.proved(), "{:#?}\n{wrong:#?}", verdict.breaches);
    let id = |name: &str| name.to_owned();
    // The middle of each is worked out by hand from the program's words and the tools' sizes.
    for (measure, wanted) in [
        (Measure::HoleDiameter(id("dowel"), 0), 6.006),
        (Measure::HoleDepth(id("tapped"), 0), 13.46 - 2.1 / 59.0_f64.to_radians().tan()),
        (Measure::ThreadDepth(id("tapped"), 0), 8.2),
        (Measure::HeadDiameter(id("bored"), 0), 10.18),
        (Measure::HeadDepth(id("bored"), 0), 5.65),
        (Measure::HoleDiameter(id("bored"), 0), 5.5),
        (Measure::HeadDiameter(id("sunk"), 0), 11.0),
        (Measure::HoleDepth(id("blind"), 0), 6.0),
        (Measure::HolePlace(id("sunk"), 0, Axis::X), 20.0),
        (Measure::SlotWidth(id("slot")), 8.05),
        (Measure::SlotLength(id("slot")), 30.1),
        (Measure::SlotDepth(id("slot")), 4.0),
        (Measure::SlotPlace(id("slot"), Axis::X), 0.0),
        (Measure::SlotPlace(id("slot"), Axis::Y), -10.0),
    ] {
        let got = measured(&verdict, &measure);
        assert!((got - wanted).abs() < 0.001, "{measure:?} measures {got}, not {wanted}");
    }
}

#[test]
fn slips_have_their_names() {
    let mut missed = Vec::new();
    for (from, to, code) in [
        // Blind depths.
        ("Z-7.502", "Z-7.9", "proof/size"),
        ("Z-7.502", "Z-9.0", "proof/gouge"),
        ("Z-7.502", "Z-6.5", "proof/size"),
        ("Z-13.46 R2.0", "Z-14.85 R2.0", "proof/breakthrough"),
        ("Z-13.46 R2.0", "Z-9.5 R2.0", "proof/thread-bottom"),
        ("G0 Z-8.8\nG3 X-13.948 Y10.0 Z-8.6", "G0 Z-8.0\nG3 X-13.948 Y10.0 Z-7.8", "proof/thread-pitch"),
        // Spot.
        ("X30.0\nG81 X-15.0", "G81 X-15.0", "proof/no-spot"),
        ("X-30.0 Y10.0 Z-2.0 R2.0", "X-30.0 Y10.0 Z-0.2 R2.0", "proof/no-spot"),
        ("Z-17.5 R2.0 F300.0", "Z-27.5 R2.0 F300.0", "proof/too-deep"),
        // Reaming.
        ("T6 M6\nS3000 M3\nG4 P2.0\nG43 H6", "T5 M6\nS3000 M3\nG4 P2.0\nG43 H5", "proof/ream-stock"),
        ("Z-17.5 R2.0 F300.0", "Z-12.5 R2.0 F300.0", "proof/ream-solid"),
        ("G1 Z-17.5 F300.0", "G1 Z-15.5 F300.0", "proof/not-reamed"),
        ("G1 Z-17.5 F300.0", "G1 X-29.0 Z-17.5 F300.0", "proof/plunge"),
        // Counterbore.
        ("Z-5.65 I-2.09 J0.0\nG1 X0.0", "Z-5.9 I-2.09 J0.0\nG1 X0.0", "proof/gouge"),
        ("G3 X2.09 Y10.0 Z-5.65 I-2.09 J0.0\nG1 X0.0", "G1 X0.0", "proof/left-over"),
        ("Z-4.0 I-2.09", "Z-4.0 I-2.39", "proof/gouge"),
        // Countersink.
        ("G1 Z-5.0 F100.0", "G1 Z-5.2 F100.0", "proof/size"),
        ("G1 Z-5.0 F100.0", "G1 Z-4.8 F100.0", "proof/size"),
        // Slot.
        ("G1 Z-4.0 F150.0", "G1 Z-3.8 F150.0", "proof/left-over"),
        ("G1 Z-4.0 F150.0", "G1 Z-4.2 F150.0", "proof/gouge"),
        ("G1 Z-4.0 F150.0\nG1 X11.025", "G1 Z-4.0 F150.0\nG1 X10.8", "proof/arc-ends"),
        ("G1 Z-1.5 F150.0", "G0 Z-1.5", "proof/rapid-in-material"),
        ("G1 Z-1.5 F150.0", "G1 Z-1.5 F1500.0", "proof/chip-load"),
        ("X-11.025 Y-11.025\nZ2.0", "X-11.025 Y-11.425\nZ2.0", "proof/arc-ends"),
        ("G0 Z10.0\nX-11.025 Y-11.025", "G0 X-11.025 Y-11.025", "proof/rapid-in-material"),
    ] {
        assert!(BLOCK.contains(from), "`{from}` stands in the program");
        let verdict = judged(&BLOCK.replacen(from, to, 1));
        if !told(&verdict, code) {
            let list: Vec<String> =
                verdict.breaches.iter().map(|it| format!("{} {}: {}", it.line, it.code, it.what)).collect();
            missed.push(format!("`{from}` to `{to}` should be {code}:\n  {}", list.join("\n  ")));
        }
    }
    assert!(missed.is_empty(), "{}", missed.join("\n"));
    let narrow = judged(
        &BLOCK
            .replace("11.025", "11.0")
            .replace("Y-8.975", "Y-9.1")
            .replace("J1.025", "J0.95")
            .replace("J-1.025", "J-0.95"),
    );
    assert!(told(&narrow, "proof/size"), "a slot too narrow, wrong on both sides: {:#?}", narrow.breaches);
    let no_reamer = BLOCK.replacen("T7 M6\nS1500 M3\nG4 P2.0\nG43 H7", "T8 M6\nS3000 M3\nG4 P2.0\nG43 H8", 1);
    assert!(told(&judged(&no_reamer), "proof/not-reamed"), "another drill is no reamer");
}

#[test]
fn tools_matter() {
    let with = |change: &dyn Fn(&mut Shop)| {
        let mut shop = shop();
        change(&mut shop);
        prove(BLOCK, &block(), &shop, &setup())
    };
    let tool = |shop: &mut Shop, number: u32| shop.tools.iter().position(|tool| tool.number == number).expect("there");
    let wide_point = with(&|shop| {
        let at = tool(shop, 10);
        shop.tools[at].cutter = Cutter::Countersink { angle: Angle::degree(82.0), nose: Length::mm(1.0) };
    });
    assert!(told(&wide_point, "proof/cone"), "82° is not 90°: {:#?}", wide_point.breaches);
    let blunt = with(&|shop| {
        let at = tool(shop, 9);
        shop.tools[at].cutter = Cutter::EndMill { centre_cutting: false, corner: Length::ZERO };
    });
    assert!(told(&blunt, "proof/plunge"), "it cannot plunge: {:#?}", blunt.breaches);
    let small = with(&|shop| {
        let at = tool(shop, 9);
        shop.tools[at].diameter = Length::mm(5.8);
    });
    assert!(told(&small, "proof/size"), "a worn mill: {:#?}", small.breaches);
    let large = with(&|shop| {
        let at = tool(shop, 7);
        shop.tools[at].diameter = Length::mm(6.02);
    });
    assert!(told(&large, "proof/size"), "a reamer out of its zone: {:#?}", large.breaches);
}

/// The bar of 60 with 1.5 to come off each end, as it stands for one of its ends.
fn bar(pose: Pose) -> Part {
    let mut part = bench::key();
    part.features.clear();
    part.ends = Ends {
        left: End::Milled(Length::mm(1.5)),
        right: End::Milled(Length::mm(1.5)),
        corner: Some(size("corner", 2.0, 0.2, -0.2)),
    };
    part.blank.length = Length::mm(63.0);
    part.posed(pose)
}

fn ended(text: &str, pose: Pose, change: impl Fn(&mut Part, &mut Setup)) -> Verdict {
    let (mut part, mut setup) = (bar(pose), bench::setup());
    setup.jaw_reach = Length::mm(20.0);
    setup.jaw_middle = Length::mm(-10.0);
    setup.stop_at = Some(Length::mm(if pose == Pose::FirstEnd { -31.5 } else { -30.0 }));
    change(&mut part, &mut setup);
    prove(text, &part, &shop(), &setup)
}

#[test]
fn ends_are_milled_to_length_with_round_corners() {
    let same = |_: &mut Part, _: &mut Setup| ();
    let first = ended(END, Pose::FirstEnd, same);
    assert!(first.proved(), "{:#?}\n{:#?}", first.breaches, first.inspection);
    assert!(measured(&first, &Measure::Extent(Axis::X)).is_nan(), "there is no length before the second end");
    let second = ended(END, Pose::SecondEnd, same);
    assert!(second.proved(), "{:#?}", second.breaches);
    assert!((measured(&second, &Measure::Extent(Axis::X)) - 60.0).abs() < 1e-9, "30 on either side");
    assert!((measured(&second, &Measure::CornerRadius) - 2.0).abs() < 1e-9, "5 less the cutter's 3");
    for (from, to, code) in [
        ("Z-12.6", "Z-11.9", "proof/left-over"),
        ("Z-12.6", "Z-13.4", "proof/beyond-flutes"),
        ("X33.0 Y-6.0 I0.0 J5.0\nG1 Y6.0", "X33.0 Y-6.0 I0.0 J5.0\nG1 X32.5 Y6.0", "proof/gouge"),
        ("G3 X28.0 Y11.0 I-5.0 J0.0\nG1 Y14.0\nG0 Z10.0\nM5", "G1 Y14.0\nG0 Z10.0\nM5", "proof/left-over"),
        ("X28.0 Y-14.0\nZ-12.6", "X28.0 Y-9.0\nZ-12.6", "proof/rapid-in-material"),
    ] {
        let verdict = ended(&END.replacen(from, to, 1), Pose::SecondEnd, same);
        assert!(told(&verdict, code), "`{from}` to `{to}` should be {code}: {:#?}", verdict.breaches);
    }
    let short = END.replace("X33.0", "X32.7").replace("X28.0", "X27.7");
    let short = ended(&short, Pose::SecondEnd, same);
    assert!(told(&short, "proof/size") && told(&short, "proof/gouge"), "0.3 too short: {:#?}", short.breaches);
    let sharper = ended(END, Pose::SecondEnd, |part, _| part.ends.corner = Some(size("corner", 1.0, 0.1, -0.1)));
    assert!(told(&sharper, "proof/gouge"), "R1 is wanted: {:#?}", sharper.breaches);
    let rounder = ended(END, Pose::SecondEnd, |part, _| part.ends.corner = Some(size("corner", 3.0, 0.2, -0.2)));
    assert!(told(&rounder, "proof/left-over"), "R3 is wanted: {:#?}", rounder.breaches);
    let near = ended(END, Pose::SecondEnd, |_, setup| setup.jaw_middle = Length::mm(10.0));
    assert!(told(&near, "proof/jaw"), "the jaws reach too far: {:#?}", near.breaches);
    let both = ended(END, Pose::SecondEnd, |part, _| part.ends.left = End::Milled(Length::mm(1.0)));
    assert!(told(&both, "proof/beyond"), "not both at once: {:#?}", both.breaches);
}

/// A part that was not turned for its setup is not vouched for.
#[test]
fn other_faces_are_beyond() {
    let mut part = block();
    part.features[4].face = Face::Bottom;
    assert!(told(&prove(BLOCK, &part, &shop(), &setup()), "proof/beyond"), "a feature below");
}

/// Every slip that the proof lets pass, for whoever looks through them.
#[test]
#[ignore = "a listing: cargo test -p barwright-tests --test rs274 survivors -- --ignored --nocapture"]
#[expect(clippy::print_stdout, reason = "the listing")]
fn survivors() {
    use barwright_core::proof::{Bench, trace};
    let (part, shop, setup) = (block(), shop(), setup());
    let said = |text: &str| {
        let trace = trace(text, &Bench::of(&shop, &setup, part.unit));
        trace
            .events
            .iter()
            .map(|event| format!("{event:?}").replace(&format!("line: {}", event.line()), ""))
            .collect::<Vec<_>>()
    };
    let good = said(BLOCK);
    let (mut tried, mut same) = (0, 0);
    let lines: Vec<&str> = BLOCK.lines().collect();
    for mutant in super::mutants::all(BLOCK).into_iter().step_by(2) {
        tried += 1;
        let text = mutant.text(&lines);
        if prove(&text, &part, &shop, &setup).proved() {
            if said(&text) == good {
                same += 1;
            } else {
                println!("{} {}: {}", mutant.line, mutant.kind, mutant.what);
            }
        }
    }
    println!("{tried} tried, {same} the same to the control");
}

/// A bar 60 x 16 x 12 with one feature and a program's middle between a usual start and end.
pub(crate) fn one(kind: Kind, tool: u32, middle: &str) -> Verdict {
    let mut part = bench::key();
    part.features = vec![feature("it", kind)];
    let text = format!(
        "%\nG21 G17 G90 G94 G40 G49 G80 G54 G98\nT{tool} M6\nS6000 M3\nG4 P2.0\nG43 H{tool} G0 Z10.0\n{middle}G0 Z10.0\nM5\nM30\n%\n"
    );
    prove(&text, &part, &shop(), &bench::setup())
}

#[test]
fn a_groove_leaves_at_both_ends() {
    let groove = || {
        Kind::Slot(Slot {
            place: Place { x: Length::ZERO, y: Length::mm(1.0) },
            place_tolerance: Length::mm(0.05),
            length: None,
            width: size("groove", 6.0, 0.05, -0.05),
            depth: Depth::Blind(size("deep", 2.0, 0.1, 0.0)),
        })
    };
    let good = "X-34.0 Y1.0\nZ-2.05\nG1 X34.0 F500.0\n";
    let verdict = one(groove(), 9, good);
    assert!(verdict.proved(), "{:#?}", verdict.breaches);
    assert!((measured(&verdict, &Measure::SlotDepth("it".to_owned())) - 2.05).abs() < 1e-9, "its depth");
    assert!((measured(&verdict, &Measure::SlotPlace("it".to_owned(), Axis::Y)) - 1.0).abs() < 1e-9, "its place");
    for (from, to, code) in [
        ("G1 X34.0", "G1 X29.0", "proof/left-over"),
        ("X-34.0 Y1.0", "X-34.0 Y1.06", "proof/size"),
        ("X-34.0 Y1.0", "X-34.0 Y1.2", "proof/gouge"),
        ("Z-2.05", "Z-1.95", "proof/left-over"),
        ("Z-2.05", "Z-2.15", "proof/gouge"),
        ("G1 X34.0 F500.0", "G0 X34.0", "proof/rapid-in-material"),
    ] {
        let verdict = one(groove(), 9, &good.replacen(from, to, 1));
        assert!(told(&verdict, code), "`{from}` to `{to}` should be {code}: {:#?}", verdict.breaches);
    }
}

/// A wide hole milled round: with its middle, without it, and not all round.
#[test]
fn a_hole_milled_round() {
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
    let round = |orbit: f64, bottom: f64| {
        format!(
            "X{orbit} Y0.0\nZ2.0\nG1 Z0.2 F300.0\nG3 X{orbit} Y0.0 Z-1.4 I-{orbit} J0.0 F300.0\n\
             G3 X{orbit} Y0.0 Z{bottom} I-{orbit} J0.0\nG3 X{orbit} Y0.0 Z{bottom} I-{orbit} J0.0\nG0 Z10.0\n"
        )
    };
    let both = round(2.0, -3.05) + &round(4.025, -3.05);
    let verdict = one(wide(), 9, &both);
    assert!(verdict.proved(), "{:#?}", verdict.breaches);
    assert!((measured(&verdict, &Measure::HoleDiameter("it".to_owned(), 0)) - 14.05).abs() < 1e-9, "2 · 4.025 + 6");
    assert!((measured(&verdict, &Measure::HoleDepth("it".to_owned(), 0)) - 3.05).abs() < 1e-9, "its depth");
    let island = one(wide(), 9, &round(4.025, -3.05));
    assert!(told(&island, "proof/left-over"), "an island stands in the middle: {:#?}", island.breaches);
    let short = one(
        wide(),
        9,
        &both.replace("Z-3.05 I-4.025 J0.0\nG3 X4.025 Y0.0 Z-3.05", "Z-3.05 I-4.025 J0.0\nG3 X-4.025 Y0.0 Z-3.05"),
    );
    assert!(!short.proved(), "the last way round stops halfway: {:#?}", short.breaches);
    let beside = one(
        wide(),
        9,
        &both.replace("X4.025 Y0.0\nZ2.0", "X4.125 Y0.0\nZ2.0").replace("X4.025 Y0.0 Z", "X4.125 Y0.0 Z"),
    );
    assert!(told(&beside, "proof/hole-place"), "0.1 beside its place: {:#?}", beside.breaches);
    let steep = both.replacen(
        "G3 X2 Y0.0 Z-1.4 I-2 J0.0 F300.0\nG3 X2 Y0.0 Z-3.05 I-2 J0.0\n",
        "G3 X2 Y0.0 Z-3.05 I-2 J0.0 F300.0\n",
        1,
    );
    assert_ne!(steep, both, "a turn less");
    let steep = one(wide(), 9, &steep);
    assert!(told(&steep, "proof/engagement"), "3.25 mm a turn in the solid: {:#?}", steep.breaches);
    let large = one(wide(), 9, &both.replace("4.025", "4.2"));
    assert!(told(&large, "proof/size") && told(&large, "proof/gouge"), "too wide: {:#?}", large.breaches);
}

/// Standing on an end, the part's own width lies along the jaws, and its places with it.
#[test]
fn a_hole_in_an_end() {
    let mut part = bench::key();
    part.features = vec![hole("end", 2.0, plain(5.0), Depth::Blind(size("deep", 6.0, 0.2, -0.2)), None)];
    part.features[0].face = Face::Right;
    if let Kind::Holes(holes) = &mut part.features[0].kind {
        holes.places[0].y = Length::mm(-1.0);
    }
    let posed = part.posed(Pose::OnLeft);
    let mut setup = bench::setup();
    setup.jaw_top = Length::mm(-20.0);
    setup.stop_top = Length::mm(-25.0);
    setup.parallel_top = Length::mm(-60.0);
    setup.parallel_thickness = Length::mm(3.0);
    let text = "%\nG21 G17 G90 G94 G40 G49 G80 G54 G98\nT1 M6\nS4500 M3\nG4 P2.0\nG43 H1 G0 Z10.0\nX2.0 Y-1.0\n\
                G99 G81 X2.0 Y-1.0 Z-2.0 R2.0 F225.0\nG80\nG0 Z10.0\nM5\nT5 M6\nS3600 M3\nG4 P2.0\nG43 H5 G0 Z10.0\n\
                X2.0 Y-1.0\nG99 G81 X2.0 Y-1.0 Z-7.502 R2.0 F360.0\nG80\nG0 Z10.0\nM5\nM30\n%\n";
    let verdict = prove(text, &posed, &shop(), &setup);
    assert!(verdict.proved(), "{:#?}", verdict.breaches);
    let turned = prove(&text.replace("X2.0 Y-1.0", "X2.0 Y1.0"), &posed, &shop(), &setup);
    assert!(told(&turned, "proof/gouge"), "on the wrong side: {:#?}", turned.breaches);
    let other = prove(text, &part.posed(Pose::OnRight), &shop(), &setup);
    assert!(!other.proved() || other.inspection.len() == 3, "that end has no hole: {:#?}", other.breaches);
}

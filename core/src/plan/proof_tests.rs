//! Programs of all that a family may cut, read back and proved.

use super::shape_tests::{planned_in, spoken};
use super::*;
use crate::program::emit;
use crate::proof::Tapping;
use crate::quantity::Unit;
use crate::shop::demo_shop;

/// What the proof holds against the programs of a part, for all controls.
fn against(part: &Part, controls: &[&str]) -> Vec<String> {
    let mut told = Vec::new();
    for control in controls {
        let shop = demo_shop(control);
        let plan = planned_in(part, &shop);
        let tapping = Tapping::by_hand(plan.tapped_by_hand());
        for setup in &plan.setups {
            let stamp = crate::drawing::Stamp::default();
            let header = crate::job::header(part, &shop, &stamp, true);
            let text = emit(setup, &header, &shop.control).text;
            let posed = part.posed(setup.pose);
            let verdict = crate::proof::prove_with(&text, &posed, &shop, &setup.setup, &tapping);
            let place = format!("{control}, {:?}", setup.pose);
            for breach in &verdict.breaches {
                told.push(format!("{place}, line {}: {} {} `{}`", breach.line, breach.code, breach.what, breach.words));
            }
            for reading in verdict.inspection.iter().filter(|reading| !reading.holds) {
                told.push(format!("{place}: {} measures {:?}", reading.characteristic.size.title, reading.measured));
            }
        }
    }
    told
}

const CONTROLS: [&str; 3] = ["canned", "written-out", "absolute"];

const MATERIALS: [&str; 3] = ["brass-c36000", "aluminium-6061-t6", "steel-12l14"];

fn hole(at: &str, hole: &str) -> String {
    format!("    - holes: {{ name: hole, title: Hole, at: [{at}], {hole}, place_tolerance: 0.1 mm }}")
}

fn slot(slot: &str) -> String {
    format!("    - slot: {{ name: way, title: Slot, {slot}, place_tolerance: 0.1 mm }}")
}

/// Name, ends, extents and cuts of a block.
type Case<'c> = (&'c str, &'c str, (u32, u32, u32), String);

/// All materials; all controls and inches too where brass is cut.
fn prove(cases: &[Case<'_>]) {
    let mut told = Vec::new();
    for (name, ends, size, cut) in cases {
        for material in MATERIALS {
            for unit in [Unit::Mm, Unit::Inch] {
                if unit == Unit::Inch && material != MATERIALS[0] {
                    continue;
                }
                let controls = if material == MATERIALS[0] { &CONTROLS[..] } else { &CONTROLS[..1] };
                let part = spoken(unit, material, *size, ends, cut);
                let place = format!("{name}, {material}, {unit:?}");
                told.extend(against(&part, controls).into_iter().map(|it| format!("{place}, {it}")));
            }
        }
    }
    assert!(told.is_empty(), "{}", told.join("\n"));
}

#[test]
fn holes_prove() {
    let block = (60, 20, 12);
    let one = |name, text: &str| (name, "", block, hole("[-8 mm, 1 mm]", text));
    prove(&[
        one("blind", "diameter: 5.5 mm, depth: 6 mm"),
        one("tapped blind", "tapped: screw, depth: 10 mm, thread_depth: 7 mm"),
        one("tapped, chamfer", "tapped: screw, chamfer: 5.4 mm"),
        one("tapped by hand", "tapped: screw, depth: 8 mm, thread_depth: 7.5 mm"),
        one("reamed", "reamed: pin_bore, chamfer: 4.6 mm"),
        one("reamed blind", "reamed: pin_bore, depth: 6 mm"),
        one("bore", "diameter: 9.5 mm"),
        one("bore, chamfer", "diameter: 9.5 mm, chamfer: 10.5 mm"),
        one("bore blind", "diameter: 9.5 mm, depth: 7 mm"),
        one("small", "diameter: 2.5 mm"),
    ]);
}

#[test]
fn heads_prove() {
    let block = (60, 20, 12);
    let one = |name, text: &str| (name, "", block, hole("[-8 mm, 1 mm], [12 mm, -1 mm]", text));
    prove(&[
        one("counterbore", "diameter: 5.5 mm, counterbore: { diameter: 10 mm, depth: 5.4 mm }"),
        one("counterbore round", "diameter: 5.5 mm, counterbore: { diameter: 11 mm, depth: 5.4 mm }"),
        one("spotface", "diameter: 5.5 mm, counterbore: { diameter: 12 mm, depth: 0.5 mm }"),
        one("blind head", "diameter: 5.5 mm, depth: 9 mm, counterbore: { diameter: 10 mm, depth: 4 mm }"),
        one("countersink spot", "diameter: 4.5 mm, countersink: { diameter: 9 mm, angle: 90° }"),
        one("countersink", "diameter: 4.5 mm, countersink: { diameter: 12 mm, angle: 90° }"),
        one("countersink 82", "diameter: 4.5 mm, countersink: { diameter: 9 mm, angle: 82° }"),
        one("reamed head", "reamed: pin_bore, counterbore: { diameter: 8 mm, depth: 4 mm }"),
    ]);
}

#[test]
fn slots_prove() {
    let one = |name, text: &str| (name, "", (60, 20, 12), slot(text));
    prove(&[
        one("slot", "width: 7 mm, length: 20 mm, depth: 4 mm, middle: [5 mm, 1 mm]"),
        one("finished slot", "width: 6 mm, length: 20 mm, depth: 4 mm, middle: [5 mm, 1 mm]"),
        one("narrow slot", "width: 2 mm, length: 20 mm, depth: 2 mm, middle: [5 mm, 1 mm]"),
        one("wide slot", "width: 14 mm, length: 30 mm, depth: 4 mm, middle: [5 mm, 0 mm]"),
        one("window", "width: 7 mm, length: 20 mm, middle: [5 mm, 1 mm]"),
        one("groove", "width: 5 mm, depth: 3 mm, middle: [0 mm, -2 mm]"),
        one("wide groove", "width: 13 mm, depth: 3 mm, middle: [0 mm, -1 mm]"),
        one("narrow groove", "width: 2 mm, depth: 2 mm, middle: [0 mm, -2 mm]"),
    ]);
}

#[test]
fn ends_and_sides_prove() {
    let one = |at: &str, text: &str| hole(at, text);
    let plain = one("[0 mm, 0 mm]", "diameter: 5.5 mm");
    let tail =
        |face: &str| one("[2 mm, 1 mm]", &format!("from: {face}, tapped: screw, depth: 11 mm, thread_depth: 8 mm"));
    prove(&[
        ("ends", "ends: { allowance: 1.5 mm }", (60, 20, 12), plain.clone()),
        ("ends, corners", "ends: { allowance: 1.5 mm, corner: 2 mm }", (60, 20, 12), plain.clone()),
        ("ends, wide corners", "ends: { allowance: 1 mm, corner: 6 mm }", (60, 20, 12), plain.clone()),
        ("square ends", "ends: { allowance: 1 mm }", (40, 15, 15), plain.clone()),
        ("long", "ends: { allowance: 2 mm, corner: 1 mm }", (180, 20, 12), plain),
        ("bottom", "", (60, 20, 12), one("[-8 mm, 1 mm]", "from: bottom, diameter: 5.5 mm, depth: 5 mm")),
        (
            "bottom and head",
            "",
            (60, 20, 12),
            one("[-8 mm, 1 mm]", "from: bottom, diameter: 5.5 mm, counterbore: { diameter: 11 mm, depth: 5 mm }"),
        ),
        ("right", "", (60, 20, 12), tail("right")),
        ("left", "ends: { allowance: 1 mm }", (60, 20, 12), tail("left")),
    ]);
}

#[test]
fn a_tongue_below_proves() {
    let tongue = "    - tongue: { name: tongue, title: Tongue, width: 10 mm, height: 2.5 mm, centring: 0.1 mm }\n";
    let below = one_below();
    prove(&[("tongue below", "", (60, 20, 12), format!("{tongue}{below}"))]);
}

fn one_below() -> String {
    hole("[0 mm, 0 mm]", "from: bottom, diameter: 5.5 mm, depth: 4 mm")
}

/// Of one part and one thread, a group that a tool mills and one that has no room for its tip.
#[test]
fn threads_left_to_the_bench_excuse_no_other() {
    let blind = "at: [[-15 mm, 0 mm]], tapped: screw, depth: 8 mm, thread_depth: 7.5 mm, place_tolerance: 0.1 mm";
    let cut = format!(
        "    - holes: {{ name: blind, title: Blind, {blind} }}\n    - holes: {{ name: open, title: Open, at: [[15 mm, 0 mm]], \
         tapped: screw, place_tolerance: 0.1 mm }}"
    );
    let (part, shop) = (spoken(Unit::Mm, MATERIALS[0], (60, 20, 12), "", &cut), demo_shop("canned"));
    let plan = planned_in(&part, &shop);
    assert!(plan.tapped_by_hand().eq(["blind"]), "{:?}", plan.choices);
    let tapping = Tapping::by_hand(plan.tapped_by_hand());
    let header = crate::job::header(&part, &shop, &crate::drawing::Stamp::default(), true);
    let judged = |setup: &SetupPlan, tapping: &Tapping| {
        let text = emit(setup, &header, &shop.control).text;
        crate::proof::prove_with(&text, &part.posed(setup.pose), &shop, &setup.setup, tapping)
    };
    let setup = &plan.setups[0];
    assert!(judged(setup, &tapping).proved(), "{:?}", judged(setup, &tapping).breaches);
    let mut without = setup.clone();
    without.operations.retain(|operation| operation.work != Work::ThreadMill);
    let told = judged(&without, &tapping);
    let missing: Vec<&str> =
        told.breaches.iter().filter(|it| it.code == "proof/left-over").map(|it| &*it.what).collect();
    assert_eq!(missing, ["Hole 1 of `open` has no thread."], "{:?}", told.breaches);
    let strict = judged(setup, &Tapping::default());
    assert!(strict.breaches.iter().any(|it| it.what == "Hole 1 of `blind` has no thread."), "{:?}", strict.breaches);
}

//! Cuts that meet inside the metal: from every face, against points of the metal tried one by one.

use super::solids::Solid;
use super::{Inputs, Variant, derive};
use crate::family::load;
use crate::quantity::Length;
use crate::source::Source;
use crate::standards::stock::Bar;

/// A block of 42 × 20 × 12 mm with these cuts; its ends 42 ± 0.3 (ISO 2768-m), its bar ± 0.05.
fn block(cuts: &[String]) -> Variant {
    block_with("notes: []", cuts)
}

/// Such a block with one more line in its shape.
fn block_with(shape: &str, cuts: &[String]) -> Variant {
    let cuts = cuts.join("\n    - ");
    let text = format!(
        "family: block\ntitle: Block\nnumber: B\n\
         sizes:\n  screw: {{ is: thread, ask: Thread, usual: M5 }}\n  \
         material: {{ is: material, ask: Material, usual: brass-c36000 }}\n\
         shape:\n  bar: rack.smallest(material, 20 mm, 12 mm)\n  material: material\n  length: 42 mm\n  \
         general: ISO 2768-m\n  {shape}\n  cut:\n    - {cuts}\n"
    );
    let family = load(&Source::new("block.yaml", text)).into_result().expect("the family is sound");
    let bar = Bar {
        name: "brass 20 x 12".to_owned(),
        material: "brass-c36000".to_owned(),
        width: Length::mm(20.0),
        height: Length::mm(12.0),
        tolerance: Length::mm(0.05),
        lengths: vec![Length::mm(1000.0)],
        rests: Vec::new(),
    };
    derive(&family, &Inputs::default(), &[bar])
}

fn hole(name: &str, from: &str, at: &str, what: &str) -> String {
    format!(
        "holes: {{ name: {}, title: {name}, from: {from}, at: [{at}], {what}, place_tolerance: 0.1 mm }}",
        name.to_lowercase()
    )
}

fn slot(what: &str) -> String {
    format!("slot: {{ name: slot, title: Slot, {what}, place_tolerance: 0.1 mm }}")
}

/// What is refused of a block, and what is said to help.
fn told(cuts: &[String]) -> Vec<(String, Vec<String>)> {
    let variant = block(cuts);
    let refused = variant.findings.into_iter().filter(|finding| finding.code == "shape/outside");
    let told: Vec<_> = refused.map(|finding| (finding.headline, finding.helps)).collect();
    assert_eq!(told.is_empty(), variant.part.is_some(), "refused with a reason, or made: {told:?}");
    told
}

/// By hand: 4.2 ± 0.1 with a point of 2.15 / tan 59° = 1.292, so a hole of 25 ± 0.2 reaches 26.492, and two of
/// them 52.984 into a bar of 41.7; each is clear 41.7 − 26.492 − 1.292 − 0.2 deep.
#[test]
fn holes_from_both_ends_are_told_with_what_would_do() {
    let end = |name, from, depth| hole(name, from, "[0 mm, 0 mm]", &format!("diameter: 4.2 mm, depth: {depth}"));
    let deep = [end("Right", "right", "25 mm"), end("Left", "left", "25 mm")];
    let [(headline, helps)] = &told(&deep)[..] else { panic!("one refusal") };
    assert_eq!(headline, "Right and Left meet inside the part: they overlap along the bar by 11.284 mm.");
    assert_eq!(
        helps[0],
        "They keep clear where Right is 13.716 mm deep at most, or where Left is 13.716 mm deep at most, or where \
         they are 4.301 mm further apart across the bar."
    );
    assert_eq!(told(&[end("Right", "right", "13.716 mm"), deep[1].clone()]), [], "as it says");
    assert_eq!(told(&[deep[0].clone(), end("Left", "left", "13.716 mm")]), [], "as it says");
    assert!(!told(&[end("Right", "right", "13.72 mm"), deep[1].clone()]).is_empty(), "and no deeper");
    let aside = |y| hole("Left", "left", &format!("[{y}, 0 mm]"), "diameter: 4.2 mm, depth: 25 mm");
    assert_eq!(told(&[deep[0].clone(), aside("-4.301 mm")]), [], "as it says");
    assert!(!told(&[deep[0].clone(), aside("4.29 mm")]).is_empty(), "and no nearer");
}

/// Holes, slots and grooves of different faces, each with one that just keeps clear of the other.
#[test]
fn whatever_meets_inside_is_refused_and_what_keeps_clear_is_made() {
    let right = |depth: &str| hole("Right", "right", "[0 mm, 0 mm]", &format!("diameter: 4.2 mm, depth: {depth}"));
    let below = |at: &str, what: &str| hole("Below", "bottom", at, what);
    let blind = "width: 6 mm, length: 14 mm, middle: [2 mm, 0 mm], depth:";
    for (meets, clear) in [
        // An end hole and a slot that goes through.
        (
            [right("25 mm"), slot("width: 6 mm, length: 14 mm, middle: [2 mm, 0 mm]")],
            [right("10.25 mm"), slot("width: 6 mm, length: 14 mm, middle: [2 mm, 0 mm]")],
        ),
        // An end hole under a slot: its crest lies 5.975 − 2.15 below the top.
        ([right("25 mm"), slot(&format!("{blind} 8 mm"))], [right("25 mm"), slot(&format!("{blind} 3.6 mm"))]),
        // A hole right through from end to end, under a groove.
        (
            [hole("Bore", "left", "[0 mm, 0 mm]", "diameter: 4.2 mm"), slot("width: 5 mm, depth: 4 mm")],
            [hole("Bore", "left", "[0 mm, -1 mm]", "diameter: 4.2 mm"), slot("width: 5 mm, depth: 4 mm")],
        ),
        // A slot from above over a hole from below: 7.2 + 2.55 / tan 59° = 8.73, so 3.22 are left.
        (
            [slot(&format!("{blind} 8 mm")), below("[2 mm, 0 mm]", "diameter: 5 mm, depth: 7 mm")],
            [slot(&format!("{blind} 3 mm")), below("[2 mm, 0 mm]", "diameter: 5 mm, depth: 7 mm")],
        ),
        // Beside the round end of a slot, which is not the corner of a box.
        (
            [slot("width: 8 mm, length: 20 mm"), below("[9 mm, 4 mm]", "diameter: 5 mm")],
            [slot("width: 8 mm, length: 20 mm"), below("[11 mm, 5.2 mm]", "diameter: 5 mm")],
        ),
        // A head from above wider than its hole, over a hole from below that keeps clear of the hole.
        (
            [
                hole("Head", "top", "[0 mm, 0 mm]", "diameter: 4 mm, counterbore: { diameter: 12 mm, depth: 6 mm }"),
                below("[5 mm, 0 mm]", "diameter: 4 mm, depth: 5 mm"),
            ],
            [
                hole("Head", "top", "[0 mm, 0 mm]", "diameter: 4 mm, counterbore: { diameter: 12 mm, depth: 4 mm }"),
                below("[5 mm, 0 mm]", "diameter: 4 mm, depth: 5 mm"),
            ],
        ),
        // A thread is wider than the drilled hole below it.
        (
            [hole("Thread", "top", "[0 mm, 0 mm]", "tapped: screw"), below("[0 mm, 4.4 mm]", "diameter: 4 mm")],
            [hole("Thread", "top", "[0 mm, 0 mm]", "tapped: screw"), below("[0 mm, 4.6 mm]", "diameter: 4 mm")],
        ),
        // From below beside a tongue: into its shoulder, or ending under it.
        (
            [
                "tongue: { name: tongue, title: Tongue, width: 8 mm, height: 3 mm, centring: 0.1 mm }".to_owned(),
                below("[0 mm, 6 mm]", "diameter: 4 mm, depth: 8 mm"),
            ],
            [
                "tongue: { name: tongue, title: Tongue, width: 8 mm, height: 3 mm, centring: 0.1 mm }".to_owned(),
                below("[0 mm, 6 mm]", "diameter: 4 mm, depth: 7 mm"),
            ],
        ),
    ] {
        let refused = told(&meets);
        assert_eq!(refused.len(), 1, "{meets:?}: {refused:?}");
        assert!(refused[0].0.contains("meet inside the part: they overlap "), "{refused:?}");
        assert!(refused[0].1[0].starts_with("They keep clear where "), "{refused:?}");
        assert_eq!(told(&clear), [], "{clear:?}");
    }
}

/// Each pair of features is told once, however many of their holes meet, and with what clears them all.
#[test]
fn a_row_is_told_once_and_cleared_as_a_whole() {
    let row = "holes: { name: row, title: Row, count: 3, pitch: 10 mm, diameter: 4 mm, place_tolerance: 0.1 mm }";
    let end = |name, from, depth: &str| hole(name, from, "[0 mm, 0 mm]", &format!("diameter: 3 mm, depth: {depth}"));
    let refused = told(&[row.to_owned(), end("Right", "right", "36 mm"), end("Left", "left", "3 mm")]);
    let [(headline, helps)] = &refused[..] else { panic!("{refused:?}") };
    assert!(headline.starts_with("Row and Right meet"), "{headline}");
    // The outermost hole begins 20.85 − 12.05 from the end.
    assert!(helps[0].starts_with("They keep clear where Right is 7.568 mm deep at most"), "{helps:?}");
    assert_eq!(told(&[row.to_owned(), end("Right", "right", "7.568 mm"), end("Left", "left", "3 mm")]), []);
}

/// Holes right through have no depth to change: the most that one reaches into another is told, 3.1 − 1, and how far
/// apart clears them all, 3.1 + 1.
#[test]
fn holes_through_from_both_sides_are_told_by_how_much() {
    let row =
        |name: &str, from: &str, y: &str| hole(name, from, &format!("[0 mm, {y}], [9 mm, -{y}]"), "diameter: 3 mm");
    let [(headline, helps)] = &told(&[row("One", "top", "1 mm"), row("Two", "bottom", "0 mm")])[..] else {
        panic!("one refusal")
    };
    assert_eq!(headline, "One and Two meet inside the part: they overlap across the bar by 2.1 mm.");
    assert_eq!(helps[0], "They keep clear where they are 4.101 mm further apart across the bar.");
}

/// A slot's floor is below the bar as soon as the thinnest bar has none: 12 ± 0.05, and 11.8 ± 0.2 deep.
#[test]
fn a_slot_leaves_a_floor_in_the_thinnest_bar() {
    let said = told(&[slot("width: 6 mm, length: 14 mm, depth: 11.78 mm")]);
    assert_eq!(said.first().map(|(headline, _)| headline.as_str()), Some("Slot: the slot is as deep as the part."));
    assert_eq!(told(&[slot("width: 6 mm, length: 14 mm, depth: 11.7 mm")]), []);
}

/// An end is flat between its rounded corners: at 10 − 0.025 − 6.1 it is 3.875 wide on either side. A slot keeps
/// within the arcs.
#[test]
fn rounded_corners_are_kept_clear() {
    let ends = "ends: { allowance: 1 mm, corner: 6 mm }";
    let refused = |cut: String| {
        let variant = block_with(ends, &[cut]);
        variant.findings.into_iter().filter(|one| one.code == "shape/outside").map(|one| one.headline).next()
    };
    let right = |y: &str| hole("Right", "right", &format!("[{y}, 0 mm]"), "diameter: 2 mm, depth: 5 mm");
    assert_eq!(refused(right("3 mm")).as_deref(), Some("Right: a hole leaves the face it is cut into."));
    assert_eq!(refused(right("-2 mm")), None);
    let long = |y: &str| slot(&format!("width: 4 mm, length: 40 mm, depth: 3 mm, middle: [0 mm, {y}]"));
    assert_eq!(refused(long("7 mm")).as_deref(), Some("Slot: the slot leaves the part at a rounded corner."));
    assert_eq!(refused(long("0 mm")), None);
}

/// Whether a point lies in a solid, by its definition.
fn holds(solid: &Solid, [x, y, z]: [f64; 3], slack: f64) -> bool {
    let off = |at: f64, [from, to]: [f64; 2]| (from - at).max(at - to).max(0.0);
    let (end, aside) =
        if solid.lying { (off(x, solid.x), off(z, solid.z)) } else { (off(z, solid.z), off(x, solid.x)) };
    end <= slack && (aside * aside + (y - solid.y) * (y - solid.y)).sqrt() <= solid.radius + slack
}

proptest::proptest! {
    #![proptest_config(proptest::prelude::ProptestConfig::with_cases(400))]
    /// Two solids meet where a point lies in both: the block around them is tried point by point.
    #[test]
    fn solids_meet_where_a_point_lies_in_both(
        sizes in proptest::array::uniform12(0.0_f64..1.0), lying in proptest::array::uniform2(proptest::bool::ANY)
    ) {
        let solid = |of: &[f64], lying: bool| {
            let long = if lying { of[1] * 5.0 } else { of[1] * 2.0 };
            let high = if lying { 0.0 } else { of[4] * 5.0 };
            let (x, z) = (of[0] * 6.0, of[3] * 6.0);
            Solid { x: [x, x + long], y: of[2] * 4.0, z: [z, z + high], radius: 0.3 + of[5] * 1.7, lying }
        };
        let (one, other) = (solid(&sizes[..6], lying[0]), solid(&sizes[6..], lying[1]));
        let steps = |axis: usize| {
            let (from, to) = (one.extent()[axis][0], one.extent()[axis][1]);
            (0..=40).map(move |step| from + (to - from) * f64::from(step) / 40.0)
        };
        let both = |slack: f64| {
            steps(0).any(|x| steps(1).any(|y| steps(2).any(|z| {
                holds(&one, [x, y, z], slack) && holds(&other, [x, y, z], slack)
            })))
        };
        // No point of the lattice is further off than half its diagonal.
        let half = (0..3).map(|axis| (one.extent()[axis][1] - one.extent()[axis][0]) / 80.0).map(|off| off * off);
        let slack = half.sum::<f64>().sqrt();
        if both(0.0) {
            proptest::prop_assert!(one.meets(&other) && other.meets(&one), "{one:?} {other:?}");
        }
        if one.meets(&other) {
            proptest::prop_assert!(both(slack + 1e-9), "{one:?} {other:?}");
        }
    }
}

//! What a family may cut, and how the part stands for each setup: a family made for it.

use super::{Inputs, Variant, derive};
use crate::family::load;
use crate::part::{Depth, End, Face, Feature, Head, Kind, Make, Part, Pose};
use crate::quantity::{Length, Unit};
use crate::source::Source;
use crate::standards::stock::Bar;

const FAMILY: &str = r#"
family: try-block
title: Try block
number: "TB-{length}"
sizes:
  length: { is: length, ask: Length, usual: 60 mm, from: 20 mm, to: 200 mm, step: 1 mm }
  screw: { is: thread, ask: Thread, usual: M5 }
  material: { is: material, ask: Material, usual: brass-c36000 }
  omit: { is: places, ask: Places left out, usual: none }
  pin: { is: length, ask: Pin, usual: 4 mm, from: 2 mm, to: 10 mm, step: 1 mm }
  pin_fit: { is: fit, ask: Fit of the pin's hole, usual: H7 }
  across: { is: length, ask: Place of the pin across, usual: 2.5 mm, from: -20 mm, to: 20 mm, step: 0.5 mm }
follows:
  bar: { as: "rack.smallest(material, 16 mm, 10 mm)" }
  pin_bore: { as: pin, upper: pin_fit.upper(pin), lower: pin_fit.lower(pin), fit: pin_fit }
rules: {}
shape:
  bar: bar
  material: material
  length: length
  general: ISO 2768-m
  ends: { allowance: 1.5 mm, corner: 2 mm }
  cut:
    - holes: { name: grid, title: Grid hole, columns: 3, rows: 2, pitch: 12 mm, row_pitch: 7 mm, omit: omit,
               tapped: screw, depth: 8 mm, thread_depth: 6 mm, place_tolerance: 0.1 mm, middle: [-6 mm, 0 mm] }
    - holes: { name: pin, title: Pin hole, from: bottom, at: [[20 mm, across]], reamed: pin_bore, depth: 5 mm,
               place_tolerance: 0.05 mm }
    - holes: { name: tail, title: End hole, from: left, at: [[3 mm, -1 mm]], diameter: 3 mm, depth: 4 mm,
               place_tolerance: 0.1 mm, counterbore: { diameter: 5 mm, depth: 1 mm } }
    - slot: { name: groove, title: Groove, width: 4 mm, depth: 2 mm, middle: [0 mm, 0 mm],
              place_tolerance: 0.1 mm, when: "screw.major < 5 mm" }
"#;

fn given(sizes: &[(&str, &str)]) -> Variant {
    let family = load(&Source::new("try-block.yaml", FAMILY)).into_result().expect("the family is sound");
    let bar = |width, height| Bar {
        name: format!("brass {width} x {height}"),
        material: "brass-c36000".to_owned(),
        width: Length::mm(width),
        height: Length::mm(height),
        tolerance: Length::mm(0.05),
        lengths: vec![Length::mm(1000.0)],
        rests: Vec::new(),
    };
    let given = sizes.iter().map(|(name, text)| ((*name).to_owned(), (*text).to_owned())).collect();
    derive(&family, &Inputs { unit: None, like: None, given }, &[bar(12.0, 20.0), bar(30.0, 20.0)])
}

fn made(sizes: &[(&str, &str)]) -> Part {
    let variant = given(sizes);
    variant.part.unwrap_or_else(|| panic!("{:#?}", variant.findings))
}

fn places(feature: &Feature) -> Vec<(f64, f64)> {
    match &feature.kind {
        Kind::Holes(holes) => holes.places.iter().map(|place| (place.x.as_mm(), place.y.as_mm())).collect(),
        _ => panic!("no holes"),
    }
}

#[test]
fn a_grid_leaves_out_what_it_is_told_to() {
    let part = made(&[]);
    assert_eq!(part.blank.bar, "brass 12 x 20", "the smallest that is large enough");
    assert_eq!((part.width.nominal.as_mm(), part.height.nominal.as_mm()), (20.0, 12.0), "laid on its side");
    let grid = part.feature("grid").expect("there");
    let all = [(-18.0, -3.5), (-6.0, -3.5), (6.0, -3.5), (-18.0, 3.5), (-6.0, 3.5), (6.0, 3.5)];
    assert_eq!(places(grid), all);
    let part = made(&[("omit", "2/1 3/2")]);
    assert_eq!(places(part.feature("grid").expect("there")), [all[0], all[2], all[3], all[4]]);
    let outside = given(&[("omit", "4/1")]);
    assert!(outside.findings.iter().any(|finding| finding.code == "shape/omit"), "{:?}", outside.findings);
}

#[test]
fn holes_are_what_the_family_says() {
    let part = made(&[]);
    let Kind::Holes(grid) = &part.feature("grid").expect("there").kind else { panic!("holes") };
    let Make::Tapped { full: Some(full), .. } = &grid.make else { panic!("tapped and blind") };
    // ISO 2768-m: ±0.2 from 6 to 30 mm, so the drill goes 7.8 deep at least.
    let limits = [full.least().as_mm(), full.most().as_mm()];
    assert!((limits[0] - 6.0).abs() < 1e-9 && (limits[1] - 7.8).abs() < 1e-9, "{limits:?}");
    let Kind::Holes(pin) = &part.feature("pin").expect("there").kind else { panic!("holes") };
    let Make::Reamed { diameter } = &pin.make else { panic!("reamed") };
    // 4 H7: 0 to +0.012 (ISO 286-2).
    assert!((diameter.upper.as_mm() - 0.012).abs() < 1e-9 && diameter.lower.as_mm().abs() < 1e-9);
    let Kind::Holes(tail) = &part.feature("tail").expect("there").kind else { panic!("holes") };
    assert!(matches!(tail.depth, Depth::Blind(_)) && matches!(tail.head, Some(Head::Counterbore { .. })));
    assert!(part.feature("groove").is_none(), "not with M5");
}

#[test]
fn each_face_is_turned_up_by_a_turn_that_keeps_hands() {
    let part = made(&[]);
    let poses = [Pose::FirstEnd, Pose::SecondEnd, Pose::Top, Pose::Bottom, Pose::OnRight];
    assert_eq!(part.poses(), poses);
    // Worked by hand: turned about X, what lay toward the back lies toward the front; seen from
    // the left end, the back is on the left.
    for (up, name, wanted) in [(Pose::Bottom, "pin", (20.0, -2.5)), (Pose::OnRight, "tail", (-3.0, -1.0))] {
        let seen = part.posed(up);
        assert_eq!(seen.features.len(), 1, "{up:?}: only what is cut then");
        assert_eq!(places(&seen.features[0]), [wanted], "{up:?}");
        assert_eq!((seen.features[0].id.as_str(), seen.features[0].face), (name, Face::Top), "{up:?}");
    }
    let standing = part.posed(Pose::OnRight);
    let extents = [&standing.length, &standing.width, &standing.height].map(|size| Unit::Mm.say(size.nominal));
    assert_eq!(extents, ["20 mm", "12 mm", "60 mm"]);
}

#[test]
fn sawn_ends_are_milled_first_and_one_after_the_other() {
    let part = made(&[]);
    assert!((part.blank.length.as_mm() - 63.0).abs() < 1e-9);
    let along = |pose| {
        let (from, to) = part.posed(pose).blank_along();
        (from.as_mm(), to.as_mm())
    };
    assert_eq!(along(Pose::FirstEnd), (-31.5, 31.5));
    assert_eq!(along(Pose::SecondEnd), (-30.0, 31.5), "the first end is milled");
    assert_eq!(along(Pose::Top), (-30.0, 30.0), "both are");
    assert_eq!(part.posed(Pose::FirstEnd).ends.left, End::Sawn(Length::mm(1.5)), "left alone then");
}

#[test]
fn what_cannot_be_is_refused() {
    for (sizes, what) in [
        (&[("across", "9 mm")][..], "leaves the face"),
        (&[("across", "9.5 mm")], "leaves the face"),
        (&[("length", "40 mm"), ("screw", "M8")], "run"),
        (&[("length", "45 mm")], "meet"),
        (&[("screw", "M4")], "run into each other"),
    ] {
        let variant = given(sizes);
        let told: Vec<&str> = variant.findings.iter().map(|finding| finding.headline.as_str()).collect();
        assert!(variant.part.is_none(), "{sizes:?} is refused");
        assert!(told.iter().any(|headline| headline.contains(what)), "{sizes:?}: {told:?}");
    }
}

//! The joining key against a worked example done by hand, and what is told of bad sizes.

use super::*;
use crate::family::{Family, load};
use crate::formula::Value;
use crate::part::{Basis, Kind};
use crate::quantity::{Length, Unit};
use crate::source::Source;
use crate::standards::stock::Bar;

fn family() -> Family {
    let source = Source::new("families/joining-key.yaml", include_str!("../../../families/joining-key.yaml"));
    load(&source).into_result().expect("the family is sound")
}

fn rack() -> Vec<Bar> {
    let bar = |width, height| Bar {
        name: format!("brass {width} x {height}"),
        material: "brass-c36000".to_owned(),
        width: Length::mm(width),
        height: Length::mm(height),
        tolerance: Length::mm(0.05),
        lengths: vec![Length::mm(1000.0)],
        rests: Vec::new(),
    };
    vec![bar(12.0, 10.0), bar(16.0, 12.0), bar(20.0, 12.0), bar(15.875, 12.7)]
}

fn given(sizes: &[(&str, &str)]) -> Variant {
    let given = sizes.iter().map(|(name, text)| ((*name).to_owned(), (*text).to_owned())).collect();
    derive(&family(), &Inputs { unit: None, like: None, given }, &rack())
}

fn size(variant: &Variant, name: &str) -> f64 {
    let entry = variant.entries.iter().find(|entry| entry.name == name).unwrap_or_else(|| panic!("{name} has a value"));
    match &entry.value {
        Value::Quantity(quantity) => quantity.value,
        other => panic!("{name} is {other:?}"),
    }
}

/// The usual key, worked by hand from the rail: opening 10, lips 3, channel 16.5 × 10, 30 into
/// each rail, two M5 a side, everything 0.5 below the face, e9.
///
/// - tongue: 10 e9 is −0.025 −0.061 (ISO 286-2, 6 to 10 mm); height 3 − 0.5 = 2.5
/// - bar: within 16.5 − 2·0.2 = 16.1 by 10 − 0.3 + 2.5 = 12.2 the largest is 16 × 12
/// - body 12 − 2.5 = 9.5; lift 10 − 9.5 = 0.5; play (16.5 − 16)/2 = 0.25
/// - end distance at least 1.5·5 = 7.5; first screw (30 − 7.5)/3 = 7.5 from the joint, so ±7.5
///   and ±22.5, pitch 15, end distance 7.5
/// - wall beside the thread (9.939 − 5)/2 = 2.4695
/// - screw: 3 + 10 − 0.5 = 12.5 leaves 12 (ISO 4026); engagement 12 − 0.5 − 0.8 = 10.7
/// - clamping force 2 N·m / (0.2 · 5 mm) = 2000 N
/// - at most 2000 / 0.65 = 3077 N, since a set screw has no head that rubs
/// - pressure 4·3077 / ((16 − 10)·60) = 34.2 `MPa`
/// - mass: 60·(16·12 − (16 − 9.957)·2.5) − 4·π/4·4.6²·12 = 9815.9 mm³, by 8.5 g/cm³ = 83.4 g
#[test]
fn the_usual_key_as_worked_by_hand() {
    let variant = given(&[]);
    assert!(variant.findings.is_empty(), "{:?}", variant.findings);
    for (name, expected) in [
        ("tongue_height", 2.5),
        ("body_height", 9.5),
        ("lift", 0.5),
        ("body_play", 0.25),
        ("shoulder_width", 3.0),
        ("half_pitch", 7.5),
        ("pitch", 15.0),
        ("end_distance", 7.5),
        ("side_wall", 2.4695),
        ("screw_length", 12.0),
        ("engagement", 10.7),
        ("clamp_force", 2000.0),
        ("clamp_force_most", 2000.0 / 0.65),
        ("shoulder_pressure", 8000.0 / 0.65 / 360.0),
        ("clearance_least", 0.025),
        ("clearance_most", 0.061),
    ] {
        let found = size(&variant, name);
        assert!((found - expected).abs() < 1e-9, "{name}: {found}, by hand {expected}");
    }
    let part = variant.part.expect("nothing refuses it");
    assert!((part.mass.as_gram() - 83.43).abs() < 0.01, "{:?}", part.mass);
    let (_, tongue) = part.tongues().next().expect("a tongue");
    assert_eq!(tongue.width.basis, Basis::Zone("e9".to_owned()), "the zone is kept for the drawing");
    assert_eq!((tongue.width.upper, tongue.width.lower), (Length::mm(-0.025), Length::mm(-0.061)), "e9");
    // ISO 2768-m: 0.5 to 3 is ±0.1, 30 to 120 is ±0.3.
    assert_eq!((tongue.height.upper, part.length.upper), (Length::mm(0.1), Length::mm(0.3)), "general tolerances");
    let (_, holes) = part.holes().next().expect("holes");
    let places: Vec<f64> = holes.places.iter().map(|place| place.x.as_mm()).collect();
    assert_eq!(places, [-22.5, -7.5, 7.5, 22.5], "equal, symmetric about the joint");
    assert_eq!(part.number, "JK-10mm-4xM5-60mm-brass-c36000", "the number");
}

#[test]
fn in_inches_what_is_printed_is_what_is_cut() {
    let inputs = Inputs { unit: None, like: Some("warping-frame-inch".to_owned()), ..Inputs::default() };
    let part = derive(&family(), &inputs, &rack()).part.expect("the example works");
    assert_eq!(part.unit, Unit::Inch, "the example speaks inches");
    let (_, tongue) = part.tongues().next().expect("a tongue");
    // 9.525 e9 is −0.025 −0.061 mm = −0.00098 −0.00240 in; inward to 0.0001 in: −0.0010 −0.0024.
    let tenths = |length: Length| (length.as_inch() * 1e4 * 1e6).round() / 1e6;
    assert_eq!((tenths(tongue.width.upper), tenths(tongue.width.lower)), (-10.0, -24.0), "inward, to what is printed");
    for feature in &part.features {
        if let Kind::Holes(holes) = &feature.kind {
            for place in &holes.places {
                let inches = place.x.as_inch() * 1e4;
                assert!((inches - inches.round()).abs() < 1e-5, "{inches} ten-thousandths");
            }
        }
    }
}

#[test]
fn a_refusal_names_the_nearest_sizes_that_work() {
    let variant = given(&[("screws", "4")]);
    assert!(variant.part.is_none(), "eight M5 do not fit in 60 mm");
    let broken: Vec<&str> =
        variant.verdicts.iter().filter(|verdict| !verdict.holds).map(|verdict| verdict.rule.as_str()).collect();
    assert_eq!(broken, ["joint-distance", "pitch", "lip-bending"], "every broken rule is named");
    let remedies: Vec<(&str, &str)> =
        variant.remedies.iter().map(|remedy| (remedy.parameter.as_str(), remedy.to.as_str())).collect();
    // First screw at 1.25·5 = 6.25, in whole halves 6.5: (L − 7.5)/7 ≥ 6.5 from L = 53.
    assert!(remedies.contains(&("length_per_rail", "53mm")), "{remedies:?}");
    assert!(remedies.contains(&("screws", "2")), "{remedies:?}");
    for remedy in &variant.remedies {
        let mended = given(&[("screws", "4"), (&remedy.parameter, &remedy.to)]);
        assert!(mended.part.is_some(), "{remedy:?} does what it says");
    }
}

/// What is told of each remedy, in its order.
fn told(variant: &Variant) -> Vec<&str> {
    let remedies = variant.findings.iter().filter(|finding| finding.code == "variant/remedy");
    remedies.flat_map(|finding| &finding.helps).map(String::as_str).collect()
}

/// The 13.5 mm of [`a_measured_size_would_do_only_if_it_measures_so`], however far out the slot was typed.
#[test]
fn the_nearest_is_the_same_from_however_far() {
    for typed in ["41 mm", "300 mm", "10'", "10'-6 1/2\"", "90 m"] {
        let variant = given(&[("slot_opening", typed)]);
        let remedies: Vec<(&str, &str)> =
            variant.remedies.iter().map(|remedy| (remedy.parameter.as_str(), remedy.to.as_str())).collect();
        assert_eq!(remedies, [("slot_opening", "13.5mm")], "{typed}");
    }
    // Feet are told as they were typed beside the millimetres that they are.
    let variant = given(&[("slot_opening", "10' 6\"")]);
    let said: Vec<&str> = variant.findings.iter().map(|finding| finding.headline.as_str()).collect();
    let range = "slot_opening: 10' 6\" (3200.4 mm) is out of range; at most 40 mm.";
    assert!(said.contains(&range), "{said:?}");
    let variant = given(&[("slot_opening", "300 mm")]);
    assert!(variant.findings.iter().any(|one| one.headline.starts_with("slot_opening: 300 mm is out")), "once");
}

/// A slot 20 mm wide over a channel of 16.5 mm: the bar of 16 lies beside the slot, not under its lips. By
/// hand: the overlap (16 − S)/2 − 0.25 is 1 mm at S = 13.5, and no choice makes a lip where none is. The slot
/// is what it is, so that is said of it.
#[test]
fn a_measured_size_would_do_only_if_it_measures_so() {
    let variant = given(&[("slot_opening", "20 mm")]);
    let slot = variant.remedies.first().expect("a narrower slot would do");
    assert_eq!((slot.parameter.as_str(), slot.to.as_str(), slot.measured), ("slot_opening", "13.5mm", true));
    assert_eq!(told(&variant), ["slot_opening=13.5mm  (now 20 mm), if it measures so"], "and nothing chosen would");
    // Beyond what the family makes, its limit is told in the same words; of a choice without them.
    let helps = |sizes: &[(&str, &str)]| -> Vec<String> {
        let variant = given(sizes);
        let beyond = variant.findings.iter().filter(|finding| finding.code == "variant/out-of-range");
        beyond.flat_map(|finding| finding.helps.clone()).collect()
    };
    let both = [("slot_opening", "41 mm"), ("length_per_rail", "201 mm")];
    let nearest = ["The nearest is slot_opening=40mm, if it measures so.", "The nearest is length_per_rail=200mm."];
    assert_eq!(helps(&both), nearest, "two sizes");
    // 40 mm is in range, and broken by the rules: where all is known that is no help.
    assert_eq!(helps(&both[..1]), [""; 0], "13.5 mm would do");
}

/// What rests on a size that is out of range only follows; what does not is a root of its own.
#[test]
fn what_only_follows_is_known_as_such() {
    let told = |sizes: &[(&str, &str)]| {
        let variant = given(sizes);
        let of = |follows: bool| -> Vec<String> {
            let some = variant.findings.iter().filter(|finding| finding.follows == follows);
            some.filter(|finding| finding.code != "variant/remedy").map(|finding| finding.headline.clone()).collect()
        };
        (of(false), of(true))
    };
    let (roots, follow) = told(&[("slot_opening", "10'")]);
    assert_eq!(roots, ["slot_opening: 10' (3048 mm) is out of range; at most 40 mm."], "the size alone");
    let about = |word: &str| follow.iter().any(|headline| headline.contains(word));
    assert!(about("ISO 286-1") && about("under its lip") && about("MPa"), "values and rules: {follow:?}");
    // The torque is too much for the screw, whatever the slot is.
    let (roots, _) = told(&[("slot_opening", "300 mm"), ("torque", "8 N·m")]);
    assert_eq!(roots.len(), 2, "{roots:?}");
    assert!(roots[1].starts_with("8 N·m is more than"), "{roots:?}");
    // Without a size out of range everything that is broken is a root.
    let (roots, follow) = told(&[("screws", "4")]);
    assert_eq!((roots.len(), follow.len()), (3, 0), "{roots:?}");
}

/// A slot of 7.5 mm leaves M5 too thin a wall. By hand: a wall of 0.3 · 5 = 1.5 wants a tongue of 8 at least,
/// and e9 takes 0.061 off the slot, so 8.1 in steps of 0.1; M4 wants 1.2 and has (7.439 − 4)/2 = 1.72. The slot
/// is asked first and told last.
#[test]
fn choices_are_told_before_measurements() {
    let variant = given(&[("slot_opening", "7.5 mm")]);
    assert_eq!(
        told(&variant),
        ["screw=M4  (now M5)", "slot_opening=8.1mm  (now 7.5 mm), if it measures so"],
        "{:?}",
        variant.findings
    );
    assert_eq!(variant.remedies.iter().map(|remedy| remedy.measured).collect::<Vec<_>>(), [false, true]);
}

/// Where two usual sizes mend it only together, those that are measured are said to be.
#[test]
fn usual_values_of_measured_sizes_are_told_as_such() {
    let variant = given(&[("slot_opening", "39 mm"), ("channel_depth", "4 mm"), ("screws", "2")]);
    let finding = variant.findings.iter().find(|finding| finding.code == "variant/no-single-remedy");
    assert_eq!(
        finding.expect("no single size mends it").helps,
        ["The usual values would do: slot_opening=10mm and channel_depth=10mm, if they measure so."]
    );
    let variant = given(&[("slot_opening", "39 mm"), ("screws", "8"), ("channel_depth", "10 mm")]);
    let finding = variant.findings.iter().find(|finding| finding.code == "variant/no-single-remedy");
    assert_eq!(
        finding.expect("no single size mends it").helps,
        ["The usual values would do: screws=2 and slot_opening=10mm, if it measures so."]
    );
}

#[test]
fn every_bad_size_has_its_own_answer() {
    for (sizes, code, says) in [
        (vec![("slot_openning", "8 mm")], "variant/unknown-size", "slot_opening"),
        (vec![("tongue_width", "8 mm")], "variant/unknown-size", "follows"),
        (vec![("slot_opening", "8")], "variant/value", "8 mm"),
        (vec![("slot_opening", "8 N")], "variant/value", "force"),
        (vec![("slot_opening", "nan mm")], "variant/value", "number"),
        (vec![("slot_opening", "inf")], "variant/value", "number"),
        (vec![("slot_opening", "")], "variant/value", "No value"),
        (vec![("slot_opening", "3 mm")], "variant/out-of-range", "4 mm"),
        (vec![("slot_opening", "41 mm")], "variant/out-of-range", "40 mm"),
        (vec![("screws", "2.5")], "variant/value", "whole"),
        (vec![("screws", "-1")], "variant/value", "whole"),
        (vec![("screw", "M55")], "variant/value", "M5"),
        (vec![("screw", "M10")], "variant/value", "Choices"),
        (vec![("tongue_fit", "q9")], "variant/value", "e9"),
        (vec![("tongue_fit", "0.2 to 0.1 mm")], "variant/value", "clearance"),
        (vec![("material", "bras")], "variant/value", "brass"),
        (vec![("channel_width", "8 mm"), ("slot_opening", "5 mm")], "formula/no-answer", "No brass-c36000 bar"),
    ] {
        let variant = given(&sizes);
        assert!(variant.part.is_none(), "{sizes:?}");
        let found = variant.findings.iter().find(|finding| finding.code == code);
        let found = found.unwrap_or_else(|| panic!("{sizes:?}: {:?}", variant.findings));
        let told = format!("{} {}", found.headline, found.helps.join(" "));
        assert!(told.contains(says), "{sizes:?}: {told}");
    }
}

#[test]
fn clearances_can_be_typed() {
    let part = given(&[("tongue_fit", "0.05 to 0.10 mm")]).part.expect("works");
    let (_, tongue) = part.tongues().next().expect("a tongue");
    assert_eq!((tongue.width.upper, tongue.width.lower), (Length::mm(-0.05), Length::mm(-0.1)), "from the slot down");
    assert_eq!(tongue.width.basis, Basis::Given, "typed limits");
}

#[test]
fn the_order_of_a_file_does_not_matter() {
    let text = include_str!("../../../families/joining-key.yaml");
    let (head, rest) = text.split_once("\nfollows:\n").expect("follows");
    let (follows, tail) = rest.split_once("\nrules:\n").expect("rules");
    let mut entries: Vec<String> = Vec::new();
    for line in follows.lines() {
        let starts = line.starts_with("  ") && !line.starts_with("   ") && !line.trim_start().starts_with('#');
        if starts {
            entries.push(String::new());
        }
        if let Some(entry) = entries.last_mut() {
            entry.push_str(line);
            entry.push('\n');
        }
    }
    entries.reverse();
    let turned = format!("{head}\nfollows:\n{}\nrules:\n{tail}", entries.concat());
    let turned = load(&Source::new("turned", turned)).into_result().expect("still sound");
    let a = derive(&turned, &Inputs::default(), &rack()).part.expect("works");
    let b = given(&[]).part.expect("works");
    assert_eq!(a.number, b.number, "the same part");
    assert_eq!(a.features.len(), b.features.len(), "with the same features");
    assert_eq!((a.length, a.mass), (b.length, b.mass), "of the same size");
}

/// A drawer of metric taps is not mended by an inch thread, nor the other way round.
#[test]
fn a_thread_that_would_do_is_of_the_same_system() {
    for (typed, metric) in [("M8", true), ("5/16-18", false)] {
        let variant = given(&[("screw", typed)]);
        let screw = variant.remedies.iter().find(|remedy| remedy.parameter == "screw");
        let screw =
            screw.unwrap_or_else(|| panic!("{typed} is too big and a smaller one does: {:?}", variant.findings));
        assert_eq!(screw.to.starts_with('M'), metric, "{screw:?}");
    }
}

/// A row of holes of which there are at least two, of a length that may be given limits and steps of its own.
fn row(length: &str, sizes: &[(&str, &str)]) -> Variant {
    let text = format!(
        "family: row\ntitle: Row\nnumber: R\nsizes:\n  \
         holes: {{ is: count, ask: Holes, usual: 3, from: 1, to: 12 }}\n  \
         length: {{ is: length, ask: Length, usual: 60 mm, {length} }}\n  \
         material: {{ is: material, ask: Material, usual: brass-c36000 }}\n\
         rules:\n  room: {{ must: length >= 10 mm * holes, else: refused, say: \"{{length}} is short.\", source: geometry }}\n\
         shape:\n  bar: rack.largest(material, 20 mm, 12 mm)\n  material: material\n  length: length\n  \
         general: ISO 2768-m\n  cut:\n    - holes: {{ name: row, title: Hole, count: holes, pitch: 8 mm, \
         diameter: 3 mm, place_tolerance: 0.1 mm }}\n"
    );
    let family = load(&Source::new("row.yaml", text)).into_result().expect("the family is sound");
    let given = sizes.iter().map(|(name, text)| ((*name).to_owned(), (*text).to_owned())).collect();
    derive(&family, &Inputs { unit: None, like: None, given }, &rack())
}

/// A limit that cannot be worked out lets nothing through, and is told once, at its place.
#[test]
fn a_limit_without_an_answer_refuses() {
    for (limit, end, at) in [
        ("to: 300 mm / (holes - 2)", "largest", "(holes - 2)"),
        ("from: 1 mm / (holes - 2)", "smallest", "(holes - 2)"),
    ] {
        let variant = row(limit, &[("holes", "2")]);
        assert!(variant.part.is_none(), "{limit}");
        let found: Vec<_> = variant.findings.iter().filter(|finding| finding.code.starts_with("formula/")).collect();
        assert_eq!(found.len(), 1, "once: {:?}", variant.findings);
        assert_eq!(found[0].notes, [format!("while working out the {end} `length` (Length)")]);
        let (from, to) = (found[0].labels[0].span.start, found[0].labels[0].span.end);
        assert_eq!(to - from, at.len(), "what divides is marked: {:?}", found[0].labels);
        let mended: Vec<_> = variant.remedies.iter().map(Remedy::said).collect();
        assert!(mended.iter().any(|said| said == "holes=3  (now 2)"), "and it can be mended: {mended:?}");
        assert!(row(limit, &[("holes", "3")]).part.is_some(), "{limit}: three holes");
    }
}

/// Limits that leave nothing between them refuse, and no value is told that would not do.
#[test]
fn limits_that_cross_have_no_nearest() {
    let variant = row("from: 20 mm, to: 300 mm / (holes - 2)", &[("holes", "1")]);
    let found = variant.findings.iter().find(|finding| finding.code == "variant/out-of-range").expect("refused");
    assert_eq!((found.headline.as_str(), found.helps.len()), ("length: 60 mm is out of range; at most -300 mm.", 0));
    assert_eq!(variant.remedies.first().map(|remedy| remedy.to.as_str()), Some("3"), "{:?}", variant.remedies);
}

/// However fine the steps of a family are, the nearest are looked for in those that a drawing shows.
#[test]
fn a_step_too_fine_to_see_ends_the_search_all_the_same() {
    for (step, nearest) in [
        ("1 mm / 10^9 / 10^6", "120mm"),
        ("0.0004 mm", "120mm"),
        ("1 mm / 10^9 / 10^9 / 10^9", "120mm"),
        ("7 mm", "126mm"),
        ("if inch then 0.5 in else 50 mm", "150mm"),
        ("10 mm * 10^9 * 10^9", "300mm"),
    ] {
        let variant = row(&format!("from: 20 mm, to: 300 mm, step: {step}"), &[("holes", "12")]);
        let length = variant.remedies.iter().find(|remedy| remedy.parameter == "length");
        assert_eq!(length.map(|remedy| remedy.to.as_str()), Some(nearest), "{step}: {:?}", variant.findings);
    }
    // A range as wide as numbers go.
    let variant = row("from: 20 mm, to: 10^9 * 10^9 * 10^9 * 1 mm, step: 1 mm / 10^9", &[("holes", "12")]);
    assert!(variant.part.is_none() && !variant.findings.is_empty(), "it ends");
}

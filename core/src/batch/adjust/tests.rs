//! Readings with corrections that were worked by hand.

use super::*;
use crate::diag::Severity;
use crate::part::{End, Ends, Face, Kind, Part};
use crate::plan::tests::{m5_key, planned, size};
use crate::quantity::Unit;
use crate::shop::demo_shop;

/// The key with a tongue of 7.96 to 8.00.
fn key() -> Part {
    let mut key = m5_key();
    for feature in &mut key.features {
        if let Kind::Tongue(tongue) = &mut feature.kind {
            tongue.width = size("tongue_width", 8.0, 0.0, -0.04);
        }
    }
    key
}

fn judged(readings: &[(&str, &str)]) -> Checked<Adjustment> {
    let (key, shop) = (key(), demo_shop("canned"));
    let readings: Vec<(String, String)> =
        readings.iter().map(|(name, text)| ((*name).to_owned(), (*text).to_owned())).collect();
    adjust(&key, &planned(&key, &shop), key.unit, &readings)
}

#[track_caller]
fn done(readings: &[(&str, &str)]) -> Adjustment {
    let checked = judged(readings);
    checked.value.unwrap_or_else(|| panic!("{:?}", checked.findings))
}

fn near(a: Length, b: f64) -> bool {
    (a - Length::mm(b)).abs() < Length::mm(1e-6)
}

/// Cuts are named as their family names them; what has `_` in its name is found with `-` too.
#[test]
fn names_with_a_dash() {
    let mut key = key();
    for feature in &mut key.features {
        if let Kind::Holes(_) = &feature.kind {
            feature.id = "side-holes".to_owned();
        }
        if let Kind::Tongue(tongue) = &mut feature.kind {
            tongue.width.name = "guide-width".to_owned();
        }
    }
    let shop = demo_shop("canned");
    let plan = planned(&key, &shop);
    let read =
        |part: &Part, name: &str, text: &str| adjust(part, &plan, part.unit, &[(name.to_owned(), text.to_owned())]);
    assert!(read(&key, "guide-width", "8.06").value.expect("as typed").changes_program(), "the size of this name");
    let usual = self::key();
    assert!(read(&usual, "tongue-width", "8.06").value.expect("`-` for `_`").changes_program(), "tongue_width");
    let thread = key.holes().find(|(_, holes)| holes.thread().is_some()).map(|(feature, _)| feature.id.clone());
    assert_eq!(thread.as_deref(), Some("side-holes"), "they have a thread");
    for name in ["side-holes.go", "side-holes.not-go", "side-holes.not_go"] {
        let checked = read(&key, name, "no");
        let unknown = checked.findings.iter().any(|finding| finding.code == "adjust/name");
        assert!(!unknown, "{name}: {:?}", checked.findings);
    }
}

/// 8.06 read, 7.96 to 8.00 wanted, so 7.98 aimed at: the cutter's radius is 0.04 less than it is
/// called.
#[test]
fn a_tongue_too_wide() {
    for name in ["tongue_width", "tongue"] {
        let adjustment = done(&[(name, "8.06")]);
        let [Correction::Diameter { tool, from, to, why, .. }] = adjustment.corrections.as_slice() else {
            panic!("{adjustment:?}");
        };
        assert!(near(*from - *to, 0.08), "diameter less by 0.08: {from:?} {to:?}");
        assert!(why.contains("(8.06 - 7.98) / 2"), "{why}");
        assert!(adjustment.changes_program() && !adjustment.good(), "a new program");
        let shop = adjustment.applied(&demo_shop("canned"));
        let corrected = shop.tools.iter().find(|known| known.number == *tool).expect("the tool");
        assert_eq!(corrected.diameter, *to, "the next program aims with it");
        let again = planned(&key(), &shop);
        assert!(
            again.tools.iter().any(|known| known.number == *tool && known.diameter == *to),
            "and the plan takes it"
        );
    }
}

#[test]
fn within_limits_is_left_alone() {
    let adjustment = done(&[("tongue", "7.97"), ("tongue_height", "2.45 mm")]);
    assert!(adjustment.good() && adjustment.corrections.is_empty(), "{adjustment:?}");
    assert!(adjustment.judged[0].text.contains("0.01 mm from the middle"), "{}", adjustment.judged[0].text);
}

/// 2.55 high where 2.45 is aimed at: cut 0.10 too deep, the tool is 0.10 longer than its offset.
#[test]
fn a_rabbet_too_deep() {
    let adjustment = done(&[("tongue_height", "2.55")]);
    let [Correction::LengthOffset { by, .. }] = adjustment.corrections.as_slice() else { panic!("{adjustment:?}") };
    assert!(near(*by, 0.10), "a longer tool has the larger offset: {by:?}");
    assert!(!adjustment.changes_program(), "the same program goes on");
}

/// GO stays out: the orbit 0.010 larger, so the radius 0.010 less. NOT GO enters: 0.015 the other way.
#[test]
fn threads_by_their_gauges() {
    for (go, not_go, by) in [("no", "no", -0.020), ("yes", "yes", 0.030)] {
        let adjustment = done(&[("screws.go", go), ("screws.not_go", not_go)]);
        let [Correction::Diameter { from, to, .. }] = adjustment.corrections.as_slice() else {
            panic!("{adjustment:?}")
        };
        assert!(near(*to - *from, by), "GO {go}, NOT GO {not_go}: {from:?} {to:?}");
        assert_eq!(adjustment.judged.len(), 1, "one verdict for both plugs");
    }
    assert!(done(&[("screws.go", "yes"), ("screws.not_go", "no")]).good(), "as it should be");
    let odd = done(&[("screws.go", "no"), ("screws.not_go", "enters")]);
    assert_eq!(odd.judged[0].verdict, Verdict::NotByOffset, "that cannot be");
    assert!(odd.corrections.is_empty(), "nothing is corrected on it");
}

/// Three holes of one cutter: 4.30, 4.40 and 4.46 where 4.5425 is aimed at are 0.2425, 0.1425 and
/// 0.0825 too tight, 0.4675 / 3 in the mean, whichever is measured first.
#[test]
fn several_readings_are_corrected_by_their_mean() {
    let read =
        [("screws.1.pitch_diameter", "4.30"), ("screws.2.pitch_diameter", "4.40"), ("screws.3.pitch_diameter", "4.46")];
    for order in [[0, 1, 2], [0, 2, 1], [1, 0, 2], [1, 2, 0], [2, 0, 1], [2, 1, 0]] {
        let adjustment = done(&order.map(|at| read[at]));
        let [Correction::Diameter { from, to, why, .. }] = adjustment.corrections.as_slice() else {
            panic!("{adjustment:?}")
        };
        assert!((*to - *from + Length::mm(0.4675 / 3.0)).abs() < Length::mm(1e-4), "{order:?}: {from:?} {to:?}");
        assert!(why.starts_with("the mean of what 3 readings ask for: "), "{why}");
    }
}

/// M5 6H: pitch diameter 4.480 to 4.605 (ISO 965-1), so 4.5425 aimed at; 4.46 is 0.0825 too tight.
#[test]
fn a_thread_over_wires() {
    let adjustment = done(&[("screws.1.pitch_diameter", "4.46")]);
    let [Correction::Diameter { from, to, .. }] = adjustment.corrections.as_slice() else { panic!("{adjustment:?}") };
    assert!(near(*to - *from, -0.0825), "called thinner, it orbits wider: {from:?} {to:?}");
}

#[test]
fn a_hole_is_as_wide_as_its_drill() {
    let adjustment = done(&[("screws.1.minor", "4.40")]);
    assert!(adjustment.corrections.is_empty(), "no offset");
    assert_eq!(adjustment.judged[0].verdict, Verdict::NotByOffset, "said so");
    assert!(adjustment.judged[0].text.contains("T12"), "which drill: {}", adjustment.judged[0].text);
}

/// All holes 0.15 to the right: the zero was 0.15 too far to the right.
#[test]
fn places_are_the_datum_or_the_axis() {
    let shifted = done(&[("screws.1.x", "-22.35"), ("screws.4.x", "22.66")]);
    let [Correction::Datum { axis: Axis::X, by, .. }] = shifted.corrections.as_slice() else { panic!("{shifted:?}") };
    assert!(near(*by, -0.155), "back by the mean: {by:?}");
    assert!(shifted.judged.iter().all(|judged| judged.verdict == Verdict::Corrected), "the zero mends it: {shifted:?}");
    assert!(!shifted.stops(), "and the same program goes on");
    // 45.30 from hole to hole where 45.00 is wanted: 0.667 in 100.
    let scaled = done(&[("screws.1.x", "-22.65"), ("screws.4.x", "22.65"), ("screws.2.x", "-7.55")]);
    assert!(scaled.corrections.is_empty(), "nothing to shift");
    assert!(scaled.judged[0].text.contains("steps of the axis"), "{}", scaled.judged[0].text);
    assert!(scaled.judged[0].text.contains("the datum is right") && scaled.stops(), "{scaled:?}");
    let wild = done(&[("screws.1.x", "-22.2"), ("screws.2.x", "-7.8"), ("screws.3.x", "7.8"), ("screws.4.x", "22.3")]);
    assert!(wild.judged[0].text.contains("backlash") && wild.stops(), "{}", wild.judged[0].text);
    // Shoulders of 3.90 and 4.20: the tongue lies 0.15 off the middle.
    let off = done(&[("tongue.offset", "0.15")]);
    assert!(matches!(off.corrections.as_slice(), [Correction::Datum { axis: Axis::Y, .. }]), "{off:?}");
}

/// 0.05 off at one end and 0.30 at the other, 45 apart: 0.175 at the zero in the middle, and 0.25 in
/// 45, 0.556 in 100, with the way.
#[test]
fn datum_and_axis_are_told_apart() {
    let both = done(&[("screws.1.x", "-22.45"), ("screws.4.x", "22.80")]);
    let text = &both.judged[1].text;
    assert!(text.contains("grows by 0.556 mm in 100 mm"), "{text}");
    assert!(text.contains("the datum besides lies 0.175 mm off along X"), "{text}");
    let [Correction::Datum { axis: Axis::X, by, .. }] = both.corrections.as_slice() else { panic!("{both:?}") };
    assert!(near(*by, -0.175), "{by:?}");
    assert!(both.stops(), "the steps are set first");
}

/// 8.03 and 7.93 where 7.96 to 8.00 are wanted: their mean is 7.98, and both are scrap.
#[test]
fn a_mean_hides_no_reading() {
    for (text, verdict, corrections) in [
        (["8.03", "7.93"], Verdict::NotByOffset, 0),
        // 0.03 apart: one correction of 0.01 brings both within.
        (["7.975", "8.005"], Verdict::Corrected, 1),
        (["7.97", "7.99"], Verdict::Good, 0),
    ] {
        let adjustment = done(&text.map(|text| ("tongue", text)));
        assert_eq!(adjustment.judged[0].verdict, verdict, "{text:?}: {adjustment:?}");
        assert_eq!(adjustment.corrections.len(), corrections, "{text:?}: {adjustment:?}");
        assert_eq!(adjustment.good(), verdict == Verdict::Good, "{text:?}");
        assert_eq!(adjustment.stops(), verdict == Verdict::NotByOffset, "{text:?}");
        assert_eq!(adjustment.judged[0].read.len(), 2, "both readings are told");
    }
    let place = done(&[("screws.1.x", "-22.35"), ("screws.1.x", "-22.65")]);
    assert!(!place.good(), "0.15 off either way, nothing in the mean: {place:?}");
    assert!(done(&[("screws.1.minor", "4.40")]).stops(), "no offset of a drill");
}

#[test]
fn a_taper_is_no_offset() {
    let checked = judged(&[("tongue", "8.00"), ("tongue", "8.06")]);
    let finding = checked.findings.first().expect("told");
    assert_eq!((finding.code, finding.severity), ("adjust/spread", Severity::Caution), "{finding:?}");
    let adjustment = checked.value.expect("a mean");
    assert!(near(adjustment.judged[0].measured.expect("measured"), 8.03), "the mean of both");
}

#[test]
fn slips_are_told_with_what_would_be_right() {
    for (name, text, code, help) in [
        ("tonge", "8.06", "adjust/name", "`tongue"),
        ("colour", "8.06", "adjust/name", "tongue_width"),
        ("tongue", "wide", "adjust/value", ""),
        ("tongue", "0.317 in", "", ""),
        ("tongue", "0.317", "adjust/far", "another unit"),
        ("screws.go", "perhaps", "adjust/value", "screws.go=yes"),
    ] {
        let checked = judged(&[(name, text)]);
        let told = checked.findings.iter().find(|finding| finding.code == code);
        assert_eq!(told.is_none(), code.is_empty(), "{name}={text}: {:?}", checked.findings);
        let helps = told.map(|finding| finding.helps.join(" ")).unwrap_or_default();
        assert!(helps.contains(help), "{name}={text}: {helps}");
    }
    assert_eq!(judged(&[]).findings[0].code, "adjust/nothing", "nothing read");
    let inch = {
        let mut key = key();
        key.unit = Unit::Inch;
        key
    };
    let plan = planned(&inch, &demo_shop("canned"));
    let read =
        adjust(&inch, &plan, Unit::Inch, &[("tongue".to_owned(), "0.3173".to_owned())]).value.expect("an inch key");
    assert!(!read.good(), "0.3173 in is 8.06 mm");
}

/// Read in inches on a control that speaks millimetres: what is typed at it is told in its unit.
#[test]
fn what_is_changed_is_told_in_the_unit_of_the_control() {
    let mut part = key();
    part.unit = Unit::Inch;
    let plan = planned(&part, &demo_shop("canned"));
    // 8.06 mm where 7.98 mm is aimed at; 0.10 mm too deep.
    let read =
        [("tongue", "0.31732"), ("tongue_height", "0.10039"), ("screws.1.x", "-0.8799"), ("screws.4.x", "0.8921")];
    let read = read.map(|(name, text)| (name.to_owned(), text.to_owned()));
    let done = adjust(&part, &plan, Unit::Mm, &read).value.expect("an adjustment");
    let whys: Vec<&str> = done
        .corrections
        .iter()
        .map(|correction| match correction {
            Correction::Diameter { why, .. } | Correction::LengthOffset { why, .. } | Correction::Datum { why, .. } => {
                why.as_str()
            }
        })
        .collect();
    assert_eq!(whys.len(), 3, "{done:?}");
    assert!(whys.iter().all(|why| why.contains(" mm") && !why.contains(" in ")), "{whys:?}");
    assert!(whys[0].contains("(8.0599 - 7.98) / 2"), "{whys:?}");
    let csv = super::super::adjustment_csv(&done, Unit::Inch, Unit::Mm, "0");
    for line in csv.lines().skip(1) {
        let unit = if line.starts_with("reading") { ",in," } else { ",mm," };
        assert!(line.ends_with(unit), "{line}");
    }
}

/// 60.08 read where 60 is aimed at: the zero of the setup that mills the second end goes back by
/// 0.08 toward the stop. A hole in the right end was cut in a setup of its own, turned over too.
#[test]
fn a_length_that_is_milled_follows_its_zero() {
    let (mut part, shop) = (key(), demo_shop("canned"));
    let read = |part: &Part, name: &str, text: &str| {
        let checked = adjust(part, &planned(part, &shop), part.unit, &[(name.to_owned(), text.to_owned())]);
        checked.value.unwrap_or_else(|| panic!("{:?}", checked.findings))
    };
    let name = part.length.name.clone();
    let faced = read(&part, &name, "60.4");
    assert_eq!(faced.judged[0].verdict, Verdict::NotByOffset, "no program mills it: {faced:?}");
    let allowance = Length::mm(1.0);
    part.ends = Ends { left: End::Milled(allowance), right: End::Milled(allowance), corner: None };
    part.blank.length = part.length.nominal + allowance * 2.0;
    (part.length.upper, part.length.lower) = (Length::mm(0.05), Length::mm(-0.05));
    let long = read(&part, &name, "60.08");
    let [Correction::Datum { setup: Some(2), axis: Axis::X, by, why }] = long.corrections.as_slice() else {
        panic!("{long:?}");
    };
    assert!(near(*by, -0.08) && why.contains("run again while it is held"), "{by:?} {why}");
    let short = read(&part, &name, "59.9");
    let [Correction::Datum { by, why, .. }] = short.corrections.as_slice() else { panic!("{short:?}") };
    assert!(near(*by, 0.1) && why.contains("scrap"), "{by:?} {why}");
    let across = read(&part, "screws.1.x", "-22.3");
    assert!(matches!(across.corrections.as_slice(), [Correction::Datum { setup: Some(3), .. }]), "{across:?}");
    for (face, sign) in [(Face::Top, -1.0), (Face::Bottom, 1.0)] {
        for feature in &mut part.features {
            feature.face = if matches!(feature.kind, Kind::Holes(_)) { face } else { Face::Top };
        }
        let off = place::face_of(&part, &read::read(&part, &[("screws.1.y".to_owned(), "0.3".to_owned())]).0[0]);
        assert_eq!(off, face, "where it was cut");
        let mut done = Adjustment::default();
        let (readings, _) = read::read(&part, &[("screws.1.y".to_owned(), "0.3".to_owned())]);
        let plan = planned(&key(), &shop);
        place::judge((&part, &plan, part.unit), (face, Axis::Y), &[&readings[0]], &mut done, &mut Vec::new());
        let [Correction::Datum { by, .. }] = done.corrections.as_slice() else { panic!("{done:?}") };
        assert!(near(*by, 0.3 * sign), "the part's Y points the other way below: {face:?} {by:?}");
    }
}

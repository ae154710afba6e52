//! Plans of a small part, checked as the machine would feel them.

use super::thread::tests::{m5, metric};
use super::*;
use crate::diag::Origin;
use crate::part::{Basis, Blank, Depth, Face, Feature, General, Holes, Kind, Make, Place, Size, Tongue};
use crate::quantity::{Density, Feed, Length, Mass, Spindle, Stress, Unit};
use crate::shop::{self, demo_shop as demo};
use crate::standards::drill::Drill;
use crate::standards::material::{Group, Material};
use crate::standards::thread::{Hand, Thread, thread as standard};

/// C36000, half hard: workshop notes, sections 2 and 3.
pub(crate) fn brass() -> Material {
    Material {
        name: "brass-c36000".to_owned(),
        title: "Brass C36000".to_owned(),
        group: Group::Brass,
        density: Density::gram_per_mm3(0.0085),
        yield_strength: Stress::mpa(310.0),
        tensile_strength: Stress::mpa(400.0),
        shear_strength: Stress::mpa(230.0),
        hardness: "about 78 HRB".to_owned(),
        drill_speed: Feed::mm_per_min(60_000.0),
        hss_speed: Feed::mm_per_min(45_000.0),
        carbide_speed: Feed::mm_per_min(150_000.0),
        cutting_force: Stress::mpa(700.0),
        cutting_exponent: 0.27,
        source: "open alloy sheets".to_owned(),
    }
}

pub(crate) fn size(name: &str, nominal: f64, upper: f64, lower: f64) -> Size {
    Size {
        name: name.to_owned(),
        title: name.replace('_', " "),
        nominal: Length::mm(nominal),
        upper: Length::mm(upper),
        lower: Length::mm(lower),
        basis: Basis::Given,
    }
}

fn feature(id: &str, title: &str, line: usize, kind: Kind) -> Feature {
    let origin = Origin { source: "key.yaml".to_owned(), line };
    Feature { id: id.to_owned(), title: title.to_owned(), face: Face::Top, origin, kind }
}

pub(crate) fn tapped(thread: Thread, hand: Hand) -> Make {
    let drill: Drill = thread.tap_drill.clone();
    Make::Tapped { thread: Box::new(thread), hand, drill, full: None }
}

/// 60 x 16 x 12 brass, a tongue 9.96 wide and 2.5 high, four tapped holes along the middle.
pub(crate) fn key(make: Make) -> Part {
    let places = [-22.5, -7.5, 7.5, 22.5].map(|x| Place { x: Length::mm(x), y: Length::ZERO }).to_vec();
    let holes = Holes {
        places,
        place_tolerance: Length::mm(0.1),
        depth: Depth::Through,
        make,
        chamfer: Some(Length::mm(5.3)),
        head: None,
    };
    let tongue = Tongue {
        width: size("tongue_width", 9.96, 0.0, -0.036),
        height: size("tongue_height", 2.5, 0.0, -0.1),
        centring: Length::mm(0.1),
    };
    Part {
        family: "joining-key".to_owned(),
        number: "JK-10-M5-60".to_owned(),
        title: "Joining key".to_owned(),
        unit: Unit::Mm,
        material: brass(),
        blank: Blank {
            length: Length::mm(60.0),
            width: Length::mm(16.0),
            height: Length::mm(12.0),
            bar: "brass 16 x 12".to_owned(),
        },
        length: size("length", 60.0, 0.1, -0.1),
        width: size("width", 16.0, 0.05, -0.05),
        height: size("height", 12.0, 0.05, -0.05),
        ends: crate::part::Ends::default(),
        features: vec![
            feature("tongue", "tongue", 20, Kind::Tongue(tongue)),
            feature("screws", "set screw holes", 24, Kind::Holes(holes)),
        ],
        general: General { name: "ISO 2768-m".to_owned() },
        edge_break: None,
        finish: String::new(),
        mass: Mass::gram(80.0),
        notes: Vec::new(),
        hardware: Vec::new(),
    }
}

/// The key with M5, right hand.
pub(crate) fn m5_key() -> Part {
    key(tapped(m5(), Hand::Right))
}

/// A plan that must be possible.
pub(crate) fn planned(part: &Part, shop: &Shop) -> Plan {
    plan(part, shop).into_result().expect("it can be made")
}

/// The key with a left-hand M5.
pub(crate) fn left_key() -> Part {
    key(tapped(m5(), Hand::Left))
}

/// The key with M3, which no thread mill of the demo crib cuts.
fn m3_key() -> Part {
    key(tapped(metric("M3x0.5", "M3", 3.0, 0.5, [2.459, 2.599, 2.675, 2.775], 2.5), Hand::Right))
}

/// A key of 16 mm aluminium, whose holes are drilled in pecks.
pub(crate) fn deep_key() -> Part {
    let mut part = m5_key();
    part.material.group = Group::Aluminium;
    part.height = size("height", 16.0, 0.05, -0.05);
    part.blank.height = Length::mm(16.0);
    part
}

/// 2-1/2 x 3/4 x 1/2 in with 10-32 (limits of ASME B1.1, class 2B, from the workshop notes).
pub(crate) fn inch_key() -> Part {
    let inch = |value: f64| Length::inch(value).as_mm();
    let limits = [0.1562, 0.1641, 0.1697, 0.1736].map(inch);
    let thread = metric("10-32 UNF", "10-32", inch(0.19), inch(1.0 / 32.0), limits, inch(0.159));
    let mut part = key(tapped(thread, Hand::Right));
    part.unit = Unit::Inch;
    part.length = size("length", inch(2.5), 0.2, -0.2);
    part.width = size("width", inch(0.75), 0.06, -0.06);
    part.height = size("height", inch(0.5), 0.06, -0.06);
    part.blank.length = Length::inch(2.5);
    part.blank.width = Length::inch(0.75);
    part.blank.height = Length::inch(0.5);
    for feature in &mut part.features {
        if let Kind::Holes(holes) = &mut feature.kind {
            holes.places = [-0.75, -0.25, 0.25, 0.75].map(|x| Place { x: Length::inch(x), y: Length::ZERO }).to_vec();
        }
    }
    part
}

fn tools(plan: &Plan) -> Vec<(Work, u32)> {
    plan.setups[0].operations.iter().map(|operation| (operation.work, operation.tool)).collect()
}

fn refusal(part: &Part, shop: &Shop) -> String {
    let checked = plan(part, shop);
    assert!(checked.value.is_none(), "refused");
    let findings = checked.findings;
    let told = findings.iter().map(|finding| format!("{} {}", finding.headline, finding.helps.join(" ")));
    told.collect::<Vec<_>>().join("\n")
}

#[test]
fn the_key_is_made_tool_by_tool() {
    let plan = planned(&m5_key(), &demo("canned"));
    let wanted =
        [(Work::Spot, 1), (Work::Drill, 12), (Work::ThreadMill, 33), (Work::RabbetRough, 4), (Work::RabbetFinish, 4)];
    assert_eq!(tools(&plan), wanted, "in this order");
    assert_eq!(plan.tools.len(), 4, "the mill once");
    let setup = &plan.setups[0].setup;
    assert!(setup.jaw_top <= Length::mm(-3.45), "1 mm below the floor of 2.45: {:?}", setup.jaw_top);
    assert!(setup.jaw_top + Length::mm(12.0) >= Length::mm(3.0), "a grip: {:?}", setup.jaw_top);
    assert!(plan.choices.iter().all(|choice| !choice.why.is_empty()), "{:?}", plan.choices);
    for operation in &plan.setups[0].operations {
        assert!(!operation.reasons.is_empty() && operation.spindle.as_rpm() <= 9000.0, "{operation:?}");
        assert!(matches!(operation.moves.first(), Some(Move::Rapid { to }) if to.x.is_some()), "starts above");
        assert!(matches!(operation.moves.last(), Some(Move::Rapid { to }) if to.z == Some(setup.clear)), "ends above");
    }
}

#[test]
fn a_thin_rabbet_is_finished_at_once() {
    let mut part = m5_key();
    part.width = size("width", 10.1, 0.02, -0.02);
    part.blank.width = Length::mm(10.1);
    let mut shop = demo("canned");
    shop.vise.parallel_thickness = Length::mm(1.5);
    let plan = planned(&part, &shop);
    assert!(!tools(&plan).iter().any(|(work, _)| *work == Work::RabbetRough), "{:?}", tools(&plan));
}

#[test]
fn drills_come_out_below() {
    // Workshop notes 5: 118° point of 4.2 mm is 0.300 d = 1.26 mm.
    let plan = planned(&m5_key(), &demo("canned"));
    let drill = &plan.setups[0].operations[1];
    let lowest = drill.lowest().as_mm();
    assert!((lowest + 12.05 + 1.262 + 0.92).abs() < 0.001, "{lowest}");
    assert!(matches!(drill.moves[1], Move::Drill { peck: None, dwell: None, .. }), "2.9 diameters, brass: one go");
    let deep = planned(&deep_key(), &demo("canned"));
    let pecks = deep.setups[0].operations[1].moves.iter().any(|m| matches!(m, Move::Drill { peck: Some(_), .. }));
    assert!(pecks, "3.8 diameters in aluminium go in pecks");
    // HSS 4.2 mm at 60 m/min: 4547 rpm (workshop notes 1), set to 4540.
    assert_eq!(drill.spindle, Spindle::rpm(4540.0), "{:?}", drill.reasons);
}

#[test]
fn chamfers_have_their_diameter() {
    let plan = planned(&m5_key(), &demo("canned"));
    let spot = &plan.setups[0].operations[0];
    assert!((spot.lowest().as_mm() + 2.65).abs() < 1e-9, "5.3 across at 90°: {:?}", spot.lowest());
    let mut wide = m5_key();
    for feature in &mut wide.features {
        if let Kind::Holes(holes) = &mut feature.kind {
            holes.chamfer = Some(Length::mm(6.3));
        }
    }
    assert_eq!(planned(&wide, &demo("canned")).setups[0].operations[0].tool, 2, "6 mm is too small, 10 mm does");
}

#[test]
fn a_long_hole_takes_the_long_cutter() {
    let plan = planned(&deep_key(), &demo("canned"));
    assert!(tools(&plan).contains(&(Work::ThreadMill, 31)), "three rows reach 14 mm only: {:?}", plan.choices);
}

#[test]
fn no_cutter_no_milled_thread() {
    let checked = plan(&m3_key(), &demo("canned"));
    let plan = checked.value.expect("drilled at least");
    assert!(!tools(&plan).iter().any(|(work, _)| *work == Work::ThreadMill), "{:?}", tools(&plan));
    assert!(plan.tapped_by_hand().eq(["screws"]), "{:?}", plan.choices);
    assert_eq!(planned(&m5_key(), &demo("canned")).tapped_by_hand().next(), None, "all are milled there");
    assert!(plan.notes().iter().any(|note| note.contains("by hand")), "{:?}", plan.notes());
    let thread = plan.choices.iter().find(|choice| choice.what == "thread").expect("told");
    assert_eq!((thread.tool, thread.others.len()), (None, 4), "each cutter with its reason: {thread:?}");
    assert!(checked.findings.iter().any(|finding| finding.code == "plan/tap-by-hand"), "{:?}", checked.findings);
}

#[test]
fn an_unknown_tip_is_said() {
    let mut shop = demo("canned");
    for tool in &mut shop.tools {
        if let shop::Cutter::ThreadMill { tip_flat, .. } = &mut tool.cutter {
            *tip_flat = None;
        }
    }
    let plan = planned(&m5_key(), &shop);
    let thread = &plan.setups[0].operations[2];
    assert!(thread.reasons.iter().any(|reason| reason.contains("gauge the first")), "{:?}", thread.reasons);
    let widest = thread.moves.iter().filter_map(|step| match step {
        Move::Arc { to, centre, .. } => Some((to.x - centre.x).as_mm()),
        Move::Rapid { .. } | Move::Feed { .. } | Move::Drill { .. } => None,
    });
    let widest = widest.fold(0.0, f64::max);
    assert!((widest - 0.95).abs() < 0.0011, "(5 - 3.1)/2, the plain rule: {widest}");
}

#[test]
fn a_fat_cutter_is_refused() {
    let mut shop = demo("canned");
    shop.tools.retain(|tool| !(30..=33).contains(&tool.number) || tool.number == 31);
    shop.tools.iter_mut().filter(|tool| tool.number == 31).for_each(|tool| tool.diameter = Length::mm(3.9));
    let plan = planned(&m5_key(), &shop);
    let thread = plan.choices.iter().find(|choice| choice.what == "thread").expect("told");
    assert!(thread.tool.is_none() && thread.others[0].contains("too fat"), "{thread:?}");
}

#[test]
fn odd_parts_never_panic() {
    for value in [-1e9, -1.0, 0.0, 1e-9, 0.5, 1e9] {
        for which in 0..6 {
            let mut part = m5_key();
            let odd = size("odd", value, 0.0, 0.0);
            match which {
                0 => part.length = odd,
                1 => part.width = odd,
                2 => part.height = odd,
                3 => part.blank.height = Length::mm(value),
                4 => part.blank.width = Length::mm(value),
                _ => {
                    for feature in &mut part.features {
                        match &mut feature.kind {
                            Kind::Tongue(tongue) => tongue.height = odd.clone(),
                            Kind::Holes(holes) => holes.places.clear(),
                            Kind::Slot(_) => {}
                        }
                    }
                }
            }
            let checked = plan(&part, &demo("canned"));
            assert!(checked.value.is_some() || !checked.findings.is_empty(), "{which} {value}");
        }
    }
}

#[test]
fn what_is_missing_is_named() {
    let mut shop = demo("canned");
    shop.tools.retain(|tool| tool.number != 12);
    // 4.2 is gone, and 1/64 of an inch further nothing lies within 4.134 to 4.334.
    assert!(refusal(&m5_key(), &shop).contains("A drill of 4.2 mm"), "{}", refusal(&m5_key(), &shop));
    let mut shop = demo("canned");
    shop.tools.retain(|tool| tool.number > 2);
    assert!(refusal(&m5_key(), &shop).contains("A spot drill of 90° and 5.3 mm"), "the spot drill");
    let mut shop = demo("canned");
    shop.tools.retain(|tool| !matches!(tool.cutter, shop::Cutter::EndMill { .. }));
    assert!(refusal(&m5_key(), &shop).contains("end mill of 6 to 10 mm"), "the end mill");
    let mut shop = demo("canned");
    shop.vise.parallels = vec![Length::mm(6.0)];
    assert!(refusal(&m5_key(), &shop).contains("Parallels of"), "{}", refusal(&m5_key(), &shop));
    let mut shop = demo("canned");
    shop.vise.opening = Length::mm(15.0);
    assert!(refusal(&m5_key(), &shop).contains("opens 15 mm"), "the vise");
    let mut shop = demo("canned");
    shop.vise.parallel_thickness = Length::mm(6.0);
    assert!(refusal(&m5_key(), &shop).contains("over the parallels"), "the parallels");
    let mut short = m5_key();
    short.length = size("length", 50.0, 0.1, -0.1);
    assert!(refusal(&short, &demo("canned")).contains("end of the bar"), "{}", refusal(&short, &demo("canned")));
    let mut none = m5_key();
    none.width = size("width", 9.9, 0.05, -0.05);
    none.blank.width = Length::mm(9.9);
    assert!(refusal(&none, &demo("canned")).contains("as wide as the bar"), "{}", refusal(&none, &demo("canned")));
    let mut two = m5_key();
    two.features.push(two.features[0].clone());
    assert!(refusal(&two, &demo("canned")).contains("more than one tongue"), "two tongues");
    let mut shop = demo("canned");
    shop.machine.x.from = Length::mm(-60.0);
    assert!(refusal(&m5_key(), &shop).contains("along X"), "the travel");
}

#[test]
fn plain_holes_within_their_limits() {
    let plain = |nominal: f64| key(Make::Plain { diameter: size("hole", nominal, 0.1, -0.1) });
    let made = planned(&plain(5.5), &demo("canned"));
    assert!(tools(&made).contains(&(Work::Drill, 22)), "{:?}", tools(&made));
    // No drill of the crib is good for 9.5: a mill goes round.
    let milled = planned(&plain(9.5), &demo("canned"));
    assert!(tools(&milled).iter().any(|(work, _)| *work == Work::Bore), "{:?}", tools(&milled));
    let mut shop = demo("canned");
    shop.tools.retain(|tool| !matches!(tool.cutter, shop::Cutter::EndMill { .. }));
    let said = refusal(&plain(9.5), &shop);
    assert!(said.contains("A drill of 9.5 mm") && said.contains("9.4 mm to 9.6 mm"), "{said}");
    assert!(said.contains("end mill of 7.6 mm or less"), "{said}");
}

#[test]
fn your_own_figures_win() {
    let mut shop = demo("canned");
    for tool in &mut shop.tools {
        if tool.number == 12 {
            tool.speed = Some(Spindle::rpm(3000.0));
            tool.feed = Some(Feed::mm_per_min(150.0));
        }
    }
    let plan = planned(&m5_key(), &shop);
    let drill = &plan.setups[0].operations[1];
    assert_eq!((drill.spindle, drill.feed), (Spindle::rpm(3000.0), Feed::mm_per_min(150.0)), "{:?}", drill.reasons);
    assert!(drill.reasons.iter().filter(|reason| reason.contains("your own")).count() == 2, "{:?}", drill.reasons);
}

#[test]
fn walls_are_climbed_and_met_in_the_middle() {
    let plan = planned(&m5_key(), &demo("canned"));
    let finish = &plan.setups[0].operations[4];
    let mut at = (0.0, 0.0, 5.0);
    let mut walls = Vec::new();
    for step in &finish.moves {
        let (to, cutting) = match step {
            Move::Rapid { to } => (to, false),
            Move::Feed { to, .. } => (to, true),
            Move::Arc { .. } | Move::Drill { .. } => panic!("straight only"),
        };
        let next =
            (to.x.map_or(at.0, Length::as_mm), to.y.map_or(at.1, Length::as_mm), to.z.map_or(at.2, Length::as_mm));
        if cutting && to.x.is_some() {
            // The work on the right of the way: at the back toward higher X.
            assert!((next.0 - at.0) * at.1 > 0.0, "climbs: {at:?} {next:?}");
            assert!(at.0.abs() >= 30.0 + 5.0 + 1.0, "enters off the bar: {at:?}");
            walls.push(at.1);
            assert!((at.2 + 2.45).abs() < 1e-9, "middle of 2.4 to 2.5: {at:?}");
        }
        at = next;
    }
    assert_eq!(walls.len(), 4, "both walls, and once more: {walls:?}");
    let width = 2.0 * (walls[1].abs() - 5.0);
    assert!((width - 9.942).abs() < 1e-9, "middle of 9.924 to 9.96: {width}");
}

#[test]
fn which_threads_the_demo_crib_mills() {
    let shop = demo("canned");
    for (name, tool) in [
        ("M3", None),
        ("M4", Some(30)),
        ("M5", Some(33)),
        ("M6", Some(32)),
        ("M8", Some(32)),
        ("4-40", None),
        ("6-32", None),
        ("8-32", Some(30)),
        ("10-32", Some(31)),
        ("1/4-20", Some(32)),
    ] {
        let thread = standard(name).unwrap_or_else(|_| panic!("{name} is a standard thread"));
        let chamfer = thread.major * 1.05;
        let mut part = key(tapped(thread, Hand::Right));
        for feature in &mut part.features {
            if let Kind::Holes(holes) = &mut feature.kind {
                holes.chamfer = Some(chamfer);
            }
        }
        let checked = plan(&part, &shop);
        let plan = checked.value.unwrap_or_else(|| panic!("{name}: {:?}", checked.findings));
        let chosen = plan.choices.iter().find(|choice| choice.what == "thread").expect("told");
        assert_eq!(chosen.tool, tool, "{name}: {chosen:?}");
        // The demo crib has no cutter that is too fat for what it is kept for.
        let cautions: Vec<_> = checked.findings.iter().filter(|finding| finding.code == "plan/overcut").collect();
        assert!(cautions.is_empty(), "{name}: {cautions:?}");
    }
}

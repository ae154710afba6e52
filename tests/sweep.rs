//! Random variants of all families on random shops: each is refused with a reason and a way out, or made and
//! proved; none panics.
//!
//! A release build tries 20,000, a debug build 150; `SWEEP=n` tries n.

use std::collections::BTreeMap;

use barwright_core::diag::{Diagnostic, Severity};
use barwright_core::drawing::Stamp;
use barwright_core::family::{Family, ParameterKind};
use barwright_core::job::{self, Order};
use barwright_core::quantity::{Dim, Feed, Length, Spindle, Time, Unit};
use barwright_core::shop::{ArcCentre, Cutter, Cycles, FullCircle, LengthOffset, Shop, ToolChange};
use barwright_core::variant::Inputs;
use barwright_tests::dice::Dice;
use barwright_tests::{CONTROLS, FAMILIES, built_in, demo_shop};

/// Random sizes: most near the usual ones, some anywhere in the range of the family, a few out of
/// it.
fn sizes(family: &Family, dice: &mut Dice, unit: Unit) -> BTreeMap<String, String> {
    let mut given = BTreeMap::new();
    for parameter in &family.parameters {
        if dice.chance(78) {
            continue;
        }
        let text = match parameter.kind {
            _ if !parameter.one_of.is_empty() => dice.pick(&parameter.one_of).text.clone(),
            ParameterKind::Count => dice.below(8).to_string(),
            ParameterKind::Fit => {
                (*dice.pick(&["e9", "d9", "h9", "f7", "c11", "g6", "h13", "0.05 to 0.1 mm", "0.002 to 0.006 in"]))
                    .to_owned()
            }
            ParameterKind::Quantity(Dim::LENGTH) => length(&family.name, &parameter.name, dice, unit),
            ParameterKind::Quantity(Dim::TORQUE) => format!("{:.2} N·m", dice.between(0.1, 6.0)),
            ParameterKind::Quantity(Dim::FORCE) => format!("{:.0} N", dice.between(80.0, 2500.0)),
            ParameterKind::Quantity(_) => format!("{:.2}", dice.between(0.08, 0.4)),
            ParameterKind::Truth => (*dice.pick(&["yes", "no"])).to_owned(),
            ParameterKind::Places => (*dice.pick(&["none", "1/1", "2/1, 1/2"])).to_owned(),
            ParameterKind::Thread | ParameterKind::Material | ParameterKind::Word => continue,
        };
        given.insert(parameter.name.clone(), text);
    }
    given
}

fn length(family: &str, name: &str, dice: &mut Dice, unit: Unit) -> String {
    let (low, high) = match (family, name) {
        (_, "slot_opening") => (7.0, 12.0),
        (_, "lip_thickness") => (2.0, 5.0),
        (_, "channel_width") => (15.0, 28.0),
        (_, "channel_depth") => (9.0, 14.0),
        (_, "side_play" | "head_play") => (0.05, 0.8),
        (_, "below_face") => (0.0, 1.5),
        (_, "step") => (0.02, 1.0),
        (_, "closeness") => (0.01, 0.3),
        (_, "pin") => (2.0, 8.0),
        (_, "saw_allowance") => (0.3, 3.0),
        ("clamp-bar", "travel") => (5.0, 45.0),
        ("clamp-bar", "reach") => (12.0, 40.0),
        ("clamp-bar", "work_height") => (3.0, 20.0),
        ("clamp-bar", "bar_width") => (15.0, 30.0),
        ("clamp-bar", "bar_height") => (10.0, 16.0),
        ("clamp-bar", "corner") => (0.0, 6.5),
        ("spacer-bar", "length") => (20.0, 260.0),
        ("tapped-plate", "length") => (30.0, 200.0),
        ("spacer-bar", "width") => (6.0, 38.0),
        ("tapped-plate", "width") | (_, "length_per_rail") => (20.0, 90.0),
        (_, "height" | "thickness") => (5.0, 22.0),
        (_, "pitch") => (6.0, 40.0),
        (_, "corner") => (0.0, 12.0),
        _ => (0.5, 40.0),
    };
    let (low, high) = if dice.chance(3) { (0.0, high * 4.0) } else { (low, high) };
    let value = dice.between(low, high);
    match unit {
        Unit::Mm => format!("{value:.2} mm"),
        Unit::Inch => format!("{:.4} in", value / 25.4),
    }
}

/// The demo shop, with each of its controls as it is and, further on, with everything in it changed that differs from
/// shop to shop: some tools, bars and parallels missing, worn and odd tools, another machine, vise and control.
fn shops(dice: &mut Dice) -> Vec<Shop> {
    let demo: Vec<Shop> = CONTROLS.iter().map(|control| demo_shop(control)).collect();
    let mut shops = demo.clone();
    for round in 0..27 {
        let mut changed = dice.pick(&demo).clone();
        changed.machine.vigour = dice.between(0.2, 1.0);
        changed.tools.retain(|_| dice.chance(93));
        changed.rack.retain(|_| dice.chance(93));
        if round >= 9 {
            machine(&mut changed, dice);
            control(&mut changed, dice);
            vise(&mut changed, dice);
            crib(&mut changed, dice);
        }
        shops.push(changed);
    }
    shops
}

/// A mill between a table-top one and a small knee mill.
fn machine(shop: &mut Shop, dice: &mut Dice) {
    let machine = &mut shop.machine;
    machine.spindle_max = Spindle::rpm(dice.between(2500.0, 24_000.0).round());
    machine.spindle_min = Spindle::rpm(dice.between(50.0, 600.0).round());
    machine.spindle_watts = dice.between(150.0, 2200.0).round();
    machine.feed_max = Feed::mm_per_min(dice.between(300.0, 3000.0).round());
    machine.rapid = machine.feed_max * dice.between(1.0, 3.0);
    machine.acceleration = dice.between(60.0, 1500.0);
    for (travel, most) in [(&mut machine.x, 500.0), (&mut machine.y, 300.0), (&mut machine.z, 350.0)] {
        travel.from = travel.to - Length::mm(dice.between(0.4, 1.0) * most);
    }
}

/// A control that can less, or writes otherwise.
fn control(shop: &mut Shop, dice: &mut Dice) {
    let control = &mut shop.control;
    control.unit = *dice.pick(&[None, None, Some(Unit::Mm), Some(Unit::Inch)]);
    control.decimals_mm = *dice.pick(&[3, 4, 5]);
    control.decimals_inch = *dice.pick(&[4, 5]);
    control.cycles = *dice.pick(&[Cycles::Canned, Cycles::WrittenOut]);
    control.full_circle = *dice.pick(&[FullCircle::One, FullCircle::Halves, FullCircle::Quarters]);
    control.arc_centre = *dice.pick(&[ArcCentre::Incremental, ArcCentre::Absolute]);
    control.tool_change = *dice.pick(&[ToolChange::Change, ToolChange::Stop]);
    control.length_offset = *dice.pick(&[LengthOffset::Table, LengthOffset::TouchOff]);
    control.dwell = *dice.pick(&[None, Some(Time::second(1.0)), Some(Time::second(6.5))]);
    control.coolant.clone_from(dice.pick(&[None, Some("M8".to_owned())]));
    control.path_mode.clone_from(dice.pick(&[None, Some("G61".to_owned()), Some("G64".to_owned())]));
}

fn vise(shop: &mut Shop, dice: &mut Dice) {
    let vise = &mut shop.vise;
    vise.jaw_width = Length::mm(dice.between(50.0, 160.0).round());
    vise.jaw_height = Length::mm(dice.between(22.0, 45.0).round());
    vise.opening = Length::mm(dice.between(80.0, 180.0).round());
    vise.parallel_thickness = Length::mm(dice.between(1.0, 4.0));
    let jaw = vise.jaw_height;
    vise.parallels.extend([24.0, 26.0, 28.0, 30.0, 32.0].map(Length::mm));
    vise.parallels.retain(|height| *height < jaw && dice.chance(85));
}

/// Worn, reground, stubby and long tools, with speeds and feeds of the owner's own; tips that nobody has measured.
fn crib(shop: &mut Shop, dice: &mut Dice) {
    for tool in &mut shop.tools {
        if dice.chance(15) && matches!(tool.cutter, Cutter::EndMill { .. } | Cutter::ThreadMill { .. }) {
            let shank = tool.shank > tool.diameter;
            tool.diameter -= Length::mm(dice.between(0.005, 0.3));
            tool.shank = if shank { tool.shank } else { tool.diameter };
        }
        if dice.chance(15) {
            let longer = Length::mm(dice.between(0.0, 20.0));
            tool.stick_out += longer;
        }
        if dice.chance(10) {
            let share = dice.between(0.6, 1.0);
            tool.flute_length = tool.flute_length * share;
            tool.reach = tool.reach.max(tool.flute_length);
        }
        if dice.chance(10) && matches!(tool.cutter, Cutter::EndMill { .. }) {
            // The owner's own.
            let speed = (6000.0_f64).min(45_000.0 / tool.diameter.as_mm()).round();
            tool.speed = Some(Spindle::rpm(speed));
            tool.feed = Some(Feed::mm_per_min((speed * tool.diameter.as_mm() * dice.between(0.004, 0.012)).round()));
        }
        if dice.chance(10) {
            tool.speed_max = Some(Spindle::rpm(dice.between(3000.0, 20_000.0).round()));
        }
        match &mut tool.cutter {
            Cutter::ThreadMill { tip_flat, corrected, .. } => {
                if dice.chance(20) {
                    *tip_flat = None;
                }
                *corrected = dice.chance(10);
            }
            Cutter::EndMill { centre_cutting, corner } => {
                *centre_cutting = dice.chance(92);
                *corner = Length::mm(*dice.pick(&[0.0, 0.0, 0.0, 0.0, 0.0, 0.1, 0.5]));
            }
            Cutter::Drill { starts_itself, .. } => *starts_itself = dice.chance(25),
            Cutter::Spot { .. } | Cutter::Reamer { .. } | Cutter::Countersink { .. } => {}
        }
    }
}

fn refused(findings: &[Diagnostic]) -> Vec<&Diagnostic> {
    findings.iter().filter(|finding| finding.severity == Severity::Refused).collect()
}

#[test]
fn every_variant_of_the_first_half_is_refused_with_a_way_out_or_proved() {
    sweep(1);
}

#[test]
fn every_variant_of_the_second_half_is_refused_with_a_way_out_or_proved() {
    sweep(2);
}

/// Half of the variants, by the dice of one seed; two halves keep two cores busy.
#[allow(clippy::print_stdout, reason = "the counts are what the test reports")]
fn sweep(seed: u64) {
    let usual = if cfg!(debug_assertions) { 150 } else { 20_000 };
    let all = std::env::var("SWEEP").ok().and_then(|text| text.parse().ok()).unwrap_or(usual);
    let count = all / 2;
    let mut dice = Dice::new(seed);
    let families = FAMILIES.map(built_in);
    let mut made_of = [0_u32; FAMILIES.len()];
    let shops = shops(&mut dice);
    let (mut made, mut by_rule, mut by_plan) = (0_u32, 0_u32, 0_u32);
    let mut unproved = Vec::new();
    for round in 0..count {
        let which = usize::try_from(round).unwrap_or(0) % families.len();
        let family = &families[which];
        let unit = if dice.chance(50) { Unit::Mm } else { Unit::Inch };
        let shop = dice.pick(&shops).clone();
        let inputs = Inputs { unit: Some(unit), like: None, given: sizes(family, &mut dice, unit) };
        let given = format!("{round}: {}, {unit:?} {:?}", family.name, inputs.given);
        let order = Order { inputs, title: None, format: None, stamp: Stamp::default(), unproved: false };
        let job = job::make(family, &order, &shop);
        let refusals = refused(&job.findings);
        if job.goods.is_some() {
            assert!(refusals.is_empty(), "{given}: made, and refused: {refusals:?}");
            made += 1;
            made_of[which] += 1;
            continue;
        }
        assert!(!refusals.is_empty(), "{given}: refused without a reason");
        assert!(refusals.iter().all(|finding| !finding.headline.is_empty()), "{given}: {refusals:?}");
        assert!(refusals.iter().any(|finding| !finding.helps.is_empty()), "{given}: no way out is told: {refusals:?}");
        if refusals.iter().any(|finding| finding.code.starts_with("proof/")) {
            let told: Vec<String> = refusals
                .iter()
                .take(3)
                .map(|finding| format!("{} {} {:?}", finding.code, finding.headline, finding.notes))
                .collect();
            unproved.push(format!("{given} ({} {}): {told:?}", shop.control.name, shop.machine.vigour));
        } else if refusals
            .iter()
            .any(|finding| finding.code.starts_with("plan/") || finding.code.starts_with("drawing/"))
        {
            by_plan += 1;
        } else {
            by_rule += 1;
        }
    }
    let told = format!(
        "{count} variants: {made} made and proved {made_of:?}, {by_rule} refused by rule or size, {by_plan} by plan or drawing"
    );
    println!("{told}");
    assert!(
        unproved.is_empty(),
        "{told}; {} programs do not prove, the first:\n{}",
        unproved.len(),
        unproved[..unproved.len().min(5)].join("\n")
    );
    assert!(made * 10 > count && made_of.iter().all(|made| made * 50 > count), "the dice make real parts: {told}");
    // The demo shop makes nearly all that the rules let through: few throws reach a refusal of the plan.
    assert!(by_rule * 20 > count && (by_plan > 0 || count < 1000), "and bad ones of each kind: {told}");
}

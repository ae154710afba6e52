//! Random variants of all families on random shops: each is refused with a reason and a way out, or made and
//! proved; none panics.
//!
//! A release build tries 20,000, a debug build 150; `SWEEP=n` tries n.

use std::collections::BTreeMap;

use barwright_core::diag::{Diagnostic, Severity};
use barwright_core::drawing::Stamp;
use barwright_core::family::{Family, ParameterKind};
use barwright_core::job::{self, Order};
use barwright_core::quantity::{Dim, Unit};
use barwright_core::shop::Shop;
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

/// The demo shop with another control, other strength, and some tools and bars missing.
fn shops(dice: &mut Dice) -> Vec<Shop> {
    let mut shops: Vec<Shop> = CONTROLS.iter().map(|control| demo_shop(control)).collect();
    for _ in 0..9 {
        let mut changed = dice.pick(&shops[..3]).clone();
        changed.machine.vigour = dice.between(0.2, 1.0);
        changed.tools.retain(|_| dice.chance(85));
        changed.rack.retain(|_| dice.chance(85));
        shops.push(changed);
    }
    shops
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
    let mut made_of = [0_u32; 3];
    let shops = shops(&mut dice);
    let (mut made, mut by_rule, mut by_plan) = (0_u32, 0_u32, 0_u32);
    let mut unproved = Vec::new();
    for round in 0..count {
        // The key half of the time: it has the most sizes.
        let which = [0, 1, 0, 2][usize::try_from(round % 4).unwrap_or(0)];
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

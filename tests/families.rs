//! Every family that is built in, by every control, in its usual sizes, its examples and what a
//! person would try next: all made and proved.

use std::collections::{BTreeMap, BTreeSet};

use barwright_core::job::Goods;
use barwright_core::part::Pose;
use barwright_core::quantity::Unit;
use barwright_core::variant::Inputs;
use barwright_tests::{CONTROLS, FAMILIES, built_in, demo_shop, make};

/// What a person would try after the usual sizes.
const TRIED: &[(&str, &[&str])] = &[
    ("clamp-bar", &["corner=0 mm"]),
    ("clamp-bar", &["screw=M8", "travel=40 mm", "reach=30 mm"]),
    ("clamp-bar", &["screw=M5", "heel_screw=M5", "travel=5 mm", "bar_height=10 mm", "bar_width=13 mm"]),
    ("clamp-bar", &["material=brass-c36000", "bar_width=25 mm", "screw=M8", "heel_screw=M6"]),
    ("clamp-bar", &["material=aluminium-6061-t6", "travel=60 mm", "load=400 N"]),
    ("joining-key", &["screws=1"]),
    ("joining-key", &["screw=M4", "slot_opening=8 mm", "material=steel-12l14"]),
    ("spacer-bar", &["heads=top"]),
    ("spacer-bar", &["heads=bottom", "length=90 mm"]),
    ("spacer-bar", &["pins=yes"]),
    ("spacer-bar", &["pins=yes", "heads=bottom", "pin=5 mm"]),
    ("spacer-bar", &["holes=tapped", "cross_holes=5", "screw=M4"]),
    ("spacer-bar", &["cross_holes=1", "length=30 mm"]),
    ("spacer-bar", &["length=50 mm", "end_holes=yes", "cross_holes=1", "end_screw=M6"]),
    ("spacer-bar", &["length=220 mm", "cross_holes=6", "material=brass-c36000"]),
    ("tapped-plate", &["blind=yes", "thickness=12 mm", "width=80 mm", "screw=M4"]),
    ("tapped-plate", &["mount=plain", "corner=0 mm"]),
    ("tapped-plate", &["mount=nothing", "spread=yes", "screw=M4", "pitch=12 mm"]),
    ("tapped-plate", &["pins=yes", "columns=4"]),
    ("tapped-plate", &["columns=1", "rows=1"]),
    ("tapped-plate", &["length=200 mm", "width=100 mm", "pitch=15 mm", "screw=M5"]),
];

fn inputs(unit: Option<Unit>, like: Option<&str>, sizes: &[&str]) -> Inputs {
    let pair = |size: &&str| size.split_once('=').map(|(name, value)| (name.to_owned(), value.to_owned()));
    let given: BTreeMap<String, String> = sizes.iter().filter_map(pair).collect();
    Inputs { unit, like: like.map(str::to_owned), given }
}

#[test]
fn each_is_made_by_each_control() {
    let mut wrong = Vec::new();
    for control in CONTROLS {
        let shop = demo_shop(control);
        for name in FAMILIES {
            let family = built_in(name);
            let mut tries = vec![inputs(Some(Unit::Mm), None, &[]), inputs(Some(Unit::Inch), None, &[])];
            tries.extend(family.examples.iter().map(|example| inputs(None, Some(&example.name), &[])));
            let next = TRIED.iter().filter(|(family, _)| *family == name);
            tries.extend(next.map(|(_, sizes)| inputs(Some(Unit::Mm), None, sizes)));
            for tried in tries {
                let job = make(&family, tried.clone(), &shop);
                let alike = |goods: &Goods| {
                    let titles: BTreeSet<&str> =
                        goods.record.first_piece.iter().map(|reading| reading.title.as_str()).collect();
                    titles.len() < goods.record.first_piece.len()
                };
                match &job.goods {
                    Some(goods) if alike(goods) => {
                        wrong.push(format!("{name} {tried:?} by {control}: rows of the first piece are alike"));
                    }
                    None => {
                        let told: Vec<&str> = job.findings.iter().map(|finding| finding.headline.as_str()).collect();
                        wrong.push(format!("{name} {tried:?} by {control}: {told:#?}"));
                    }
                    Some(goods) if !goods.record.first_piece.iter().all(|reading| reading.holds) => {
                        wrong.push(format!("{name} {tried:?} by {control}: a size of the first piece does not hold"));
                    }
                    Some(_) => {}
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// The setups that each kind of part needs, as a person would count them.
#[test]
fn setups_are_those_that_a_person_would_count() {
    let shop = demo_shop(CONTROLS[0]);
    let ends = [Pose::FirstEnd, Pose::SecondEnd];
    for (name, sizes, wanted) in [
        ("clamp-bar", &[][..], &[ends[0], ends[1], Pose::Top][..]),
        ("joining-key", &[], &[Pose::Top]),
        ("spacer-bar", &[], &[ends[0], ends[1], Pose::Top]),
        ("spacer-bar", &["heads=bottom"], &[ends[0], ends[1], Pose::Bottom]),
        (
            "spacer-bar",
            &["length=50 mm", "end_holes=yes", "cross_holes=1"],
            &[ends[0], ends[1], Pose::Top, Pose::OnLeft, Pose::OnRight],
        ),
        ("tapped-plate", &[], &[ends[0], ends[1], Pose::Top]),
    ] {
        let job = make(&built_in(name), inputs(Some(Unit::Mm), None, sizes), &shop);
        let goods = job.goods.unwrap_or_else(|| panic!("{name} {sizes:?}: {:#?}", job.findings));
        let poses: Vec<Pose> = goods.runs.iter().map(|run| run.pose).collect();
        assert_eq!(poses, wanted, "{name} {sizes:?}");
    }
}

//! Programs that our own plan and writer make of every example of every family: proved, and every size of the drawing
//! measured.

use std::collections::BTreeMap;

use barwright_core::drawing::Stamp;
use barwright_core::job;
use barwright_core::part::{
    Axis, Basis, Depth, Feature, Kind, Measure, Part, Place, Quality, Size, Slot, attributes, characteristics,
};
use barwright_core::plan;
use barwright_core::program;
use barwright_core::proof::{Tapping, prove};
use barwright_core::quantity::Length;
use barwright_core::shop::{Setup, Shop};
use barwright_core::variant::Inputs;
use barwright_tests::{CONTROLS, FAMILIES, built_in, demo_shop, make};

/// A program with all that it is proved against.
pub(crate) struct Made {
    pub(crate) name: String,
    pub(crate) text: String,
    pub(crate) part: Part,
    pub(crate) shop: Shop,
    pub(crate) setup: Setup,
    pub(crate) tapping: Tapping,
}

/// Every setup of every example of every family, the controls by turns.
pub(crate) fn all_made() -> Vec<Made> {
    let shops = CONTROLS.map(demo_shop);
    let mut list = Vec::new();
    let mut turn = 0;
    for family in FAMILIES.map(built_in) {
        for example in &family.examples {
            let shop = &shops[turn % shops.len()];
            turn += 1;
            let inputs = Inputs { like: Some(example.name.clone()), ..Inputs::default() };
            let job = make(&family, inputs, shop);
            let goods = job.goods.unwrap_or_else(|| panic!("{} is made: {:?}", example.name, job.findings));
            let tapping = Tapping::by_hand(goods.plan.tapped_by_hand());
            for run in goods.runs {
                list.push(Made {
                    name: format!("{} {} {}", example.name, shop.control.name, run.setup.number),
                    text: run.program.text,
                    part: goods.part.posed(run.pose),
                    shop: shop.clone(),
                    setup: run.setup,
                    tapping: tapping.clone(),
                });
            }
        }
    }
    list
}

/// Each size that the drawing shows is measured on the first piece of some setup: only what comes so from bar and saw is
/// left to the bench, and threads that are tapped by hand.
#[test]
fn every_size_of_the_drawing_is_measured() {
    let shop = demo_shop("canned");
    for family in FAMILIES.map(built_in) {
        for example in &family.examples {
            let inputs = Inputs { like: Some(example.name.clone()), ..Inputs::default() };
            let goods = make(&family, inputs, &shop).goods.expect("an example is made");
            let by_hand = Tapping::by_hand(goods.plan.tapped_by_hand());
            let mut measured: BTreeMap<&str, bool> = BTreeMap::new();
            for reading in goods.runs.iter().flat_map(|run| &run.verdict.inspection) {
                let there = measured.entry(&reading.characteristic.size.name).or_default();
                *there |= reading.measured.is_some();
                assert!(reading.holds, "{}: {reading:?}", example.name);
            }
            let sheets = std::iter::once(&goods.sheet).chain(&goods.sheet.following);
            for name in sheets
                .flat_map(|sheet| &sheet.items)
                .filter_map(|item| item.shows.as_ref())
                .flat_map(|shown| &shown.names)
            {
                assert!(
                    shown_on(name, measured.keys().copied()),
                    "{}: the drawing shows {name}, and the first piece has no row for it",
                    example.name
                );
            }
            for wanted in characteristics(&goods.part) {
                let stock = match &wanted.measure {
                    Measure::Extent(Axis::X) => goods.part.ends == barwright_core::part::Ends::default(),
                    Measure::Extent(Axis::Y | Axis::Z) => true,
                    Measure::PitchDiameter(feature, _) | Measure::ThreadDepth(feature, _) => by_hand.leaves(feature),
                    _ => false,
                };
                let there = measured.get(wanted.size.name.as_str()).copied();
                assert!(there.is_some(), "{}: {} has no row", example.name, wanted.size.title);
                assert_eq!(there, Some(!stock), "{}: {} is measured", example.name, wanted.size.title);
            }
            let checks: Vec<_> = goods.runs.iter().flat_map(|run| &run.verdict.checks).collect();
            for wanted in attributes(&goods.part) {
                let check = checks.iter().find(|check| check.attribute.name == wanted.name);
                let check = check.unwrap_or_else(|| panic!("{}: {} is looked at", example.name, wanted.title));
                let left = matches!(&wanted.quality, Quality::Hand(feature) if by_hand.leaves(feature));
                assert!(check.holds && check.found.is_some() != left, "{}: {check:?}", example.name);
            }
        }
    }
}

/// Whether a value that a drawing shows has a row in the inspection, or says no more than rows that are there: the limits
/// of places and of the tongue's middle, the drill that the minor diameter comes from, the chamfer of every hole in one
/// note. The mass is worked out and not measured.
fn shown_on<'r>(name: &str, rows: impl Iterator<Item = &'r str>) -> bool {
    let (of, what) = name.rsplit_once('.').unwrap_or((name, ""));
    let every = |wanted: &str, row: &str| {
        row.strip_prefix(of).is_some_and(|rest| rest.starts_with('.') && rest.ends_with(wanted))
    };
    name == "mass"
        || rows.into_iter().any(|row| match what {
            "place_tolerance" => every(".x", row),
            "centring" => every(".offset", row),
            "drill" => every(".minor", row),
            "chamfer" => every(".chamfer", row),
            _ => row == name,
        })
}

fn size(name: &str, nominal: f64, upper: f64, lower: f64) -> Size {
    let [nominal, upper, lower] = [nominal, upper, lower].map(Length::mm);
    Size { name: name.to_owned(), title: name.replace('_', " "), nominal, upper, lower, basis: Basis::Given }
}

/// A tongue with a slot in its top: each is measured by its own cuts.
#[test]
fn a_tongue_with_a_slot_in_it() {
    for control in CONTROLS {
        let shop = demo_shop(control);
        let mut part = super::bench::key();
        part.features.retain(|feature| matches!(feature.kind, Kind::Tongue(_)));
        part.features.push(Feature {
            id: "slot".to_owned(),
            title: "Slot".to_owned(),
            face: barwright_core::part::Face::Top,
            origin: barwright_core::diag::Origin::default(),
            kind: Kind::Slot(Slot {
                place: Place { x: Length::mm(3.0), y: Length::mm(-1.0) },
                place_tolerance: Length::mm(0.1),
                length: Some(size("slot_length", 24.0, 0.2, 0.0)),
                width: size("slot_width", 4.5, 0.1, 0.0),
                depth: Depth::Blind(size("slot_depth", 4.0, 0.1, -0.1)),
            }),
        });
        let checked = plan::plan(&part, &shop);
        let plan = checked.value.unwrap_or_else(|| panic!("it can be made: {:?}", checked.findings));
        assert_eq!(plan.setups.len(), 1, "in one setup");
        let header = job::header(&part, &shop, &Stamp::default(), true);
        let text = program::emit(&plan.setups[0], &header, &shop.control).text;
        let verdict = prove(&text, &part, &shop, &plan.setups[0].setup);
        assert!(verdict.proved(), "{control}: {:#?}", verdict.breaches);
        for (measure, wanted) in [
            (Measure::TongueWidth("tongue".to_owned()), 9.957),
            (Measure::TongueHeight("tongue".to_owned()), 2.5),
            (Measure::SlotWidth("slot".to_owned()), 4.55),
            (Measure::SlotDepth("slot".to_owned()), 4.0),
            (Measure::SlotPlace("slot".to_owned(), Axis::Y), -1.0),
        ] {
            let reading = verdict.inspection.iter().find(|reading| reading.characteristic.measure == measure);
            let got = reading.and_then(|reading| reading.measured).map_or(f64::NAN, Length::as_mm);
            assert!((got - wanted).abs() < 0.003, "{control}: {measure:?} measures {got}, not {wanted}");
        }
    }
}

//! How long each step takes for the demo key, each by itself: `cargo bench`.
#![allow(missing_docs, reason = "the macro that makes the entry point documents nothing")]

use std::collections::BTreeMap;
use std::hint::black_box;
use std::time::Duration;

use barwright_core::batch::{Count, Want, batch, cut_list};
use barwright_core::drawing::{self, Format, Stamp};
use barwright_core::family;
use barwright_core::job::{self, Order};
use barwright_core::part::{Kind, Part, Place};
use barwright_core::plan;
use barwright_core::program;
use barwright_core::proof::{self, Times};
use barwright_core::quantity::{Length, Unit};
use barwright_core::record::digest;
use barwright_core::shop::{self, Saw, Shop};
use barwright_core::source::Source;
use barwright_core::variant::{self, Inputs};
use criterion::{Criterion, criterion_group, criterion_main};

const FAMILY: &str = include_str!("../../families/joining-key.yaml");

const SHOP: [(&str, &str); 6] = [
    ("shop.yaml", include_str!("../../families/shop/shop.yaml")),
    ("machine.yaml", include_str!("../../families/shop/machine.yaml")),
    ("control-canned.yaml", include_str!("../../families/shop/control-canned.yaml")),
    ("crib.yaml", include_str!("../../families/shop/crib.yaml")),
    ("rack.yaml", include_str!("../../families/shop/rack.yaml")),
    ("vise.yaml", include_str!("../../families/shop/vise.yaml")),
];

fn steps(criterion: &mut Criterion) {
    let source = Source::new("joining-key.yaml", FAMILY);
    let files: BTreeMap<String, Source> =
        SHOP.iter().map(|(name, text)| ((*name).to_owned(), Source::new(*name, *text))).collect();
    let family = family::load(&source).into_result().expect("the family is good");
    let shop = shop::load(&files, "shop.yaml").into_result().expect("the shop is good");
    let inputs = Inputs { like: Some("warping-frame".to_owned()), ..Inputs::default() };
    let part = variant::derive(&family, &inputs, &shop.rack).part.expect("the example is good");
    let plan = plan::plan(&part, &shop).value.expect("the shop can make it");
    let stamp =
        Stamp { revision: "A".to_owned(), digest: digest(&part), owner: shop.owner.clone(), ..Stamp::default() };
    let format = Format::usual(part.unit);
    let sheet = drawing::lay_out(&part, &format, &stamp).value.expect("it fits on its paper");
    let header = job::header(&part, &shop, &stamp, true);
    let order = Order { inputs: inputs.clone(), title: None, format: None, stamp: stamp.clone(), unproved: false };

    criterion.bench_function("load the family", |b| b.iter(|| family::load(black_box(&source))));
    criterion.bench_function("load the shop", |b| b.iter(|| shop::load(black_box(&files), "shop.yaml")));
    criterion.bench_function("derive the variant", |b| {
        b.iter(|| variant::derive(black_box(&family), black_box(&inputs), &shop.rack));
    });
    criterion.bench_function("plan", |b| b.iter(|| plan::plan(black_box(&part), black_box(&shop))));
    criterion.bench_function("write the program", |b| {
        b.iter(|| program::emit(black_box(&plan.setups[0]), &header, &shop.control));
    });
    criterion.bench_function("lay out the drawing", |b| {
        b.iter(|| drawing::lay_out(black_box(&part), &format, &stamp));
    });
    criterion.bench_function("write the drawing", |b| b.iter(|| drawing::svg::write(black_box(&sheet))));
    criterion.bench_function("whole job, from sizes to goods", |b| {
        b.iter(|| job::make(black_box(&family), black_box(&order), &shop));
    });
    let setup = &plan.setups.first().expect("one setup").setup;
    let program = program::emit(&plan.setups[0], &header, &shop.control);
    criterion.bench_function("prove the program", |b| {
        b.iter(|| proof::prove(black_box(&program.text), &part, &shop, setup));
    });
    load_of_twenty(criterion, &part, &shop, &stamp);
    let (plate, big) = plate(&part, &shop);
    criterion.bench_function("draw a plate with 400 tapped holes", |b| {
        b.iter(|| drawing::lay_out(black_box(&plate), &format, &stamp).value.map(|sheet| drawing::svg::write(&sheet)));
    });
    let plan = plan::plan(&plate, &big);
    let plan = plan.value.unwrap_or_else(|| panic!("the plate can be made: {:?}", plan.findings));
    let setup = &plan.setups.first().expect("one setup").setup;
    let program = program::emit(&plan.setups[0], &header, &big.control);
    let verdict = proof::prove(&program.text, &plate, &big, setup);
    assert!(verdict.proved(), "the plate proves: {:?}", verdict.breaches.first());
    criterion.bench_function("prove a plate with 400 tapped holes", |b| {
        b.iter(|| proof::prove(black_box(&program.text), &plate, &big, setup));
    });
    // 50 each of 20 lengths, odd and even, from bars of one and three metres with two rests.
    let bar = shop.rack.iter().find(|bar| bar.name == "brass 16 x 12").expect("on the rack");
    let wants: Vec<Want> = (0..20)
        .map(|index| Want {
            name: format!("key {index}"),
            length: Length::mm(31.0 + f64::from(index * index * 37 % 409) * 0.7),
            count: 50,
        })
        .collect();
    let list = cut_list(&wants, bar, &Saw::USUAL, Unit::Mm).value.expect("every piece fits");
    assert!(list.bought <= list.bound * 1.01, "within one percent: {:?} over {:?}", list.bought, list.bound);
    criterion.bench_function("cut list of 1,000 pieces of 20 lengths", |b| {
        b.iter(|| cut_list(black_box(&wants), bar, &Saw::USUAL, Unit::Mm));
    });
    // One size wrong, so that many remedies are found; and all of them far off, so that none is.
    for (name, size, value) in
        [("refuse, with remedies", "slot_opening", "7.5 mm"), ("refuse, without a remedy", "channel_width", "6.5 mm")]
    {
        let mut refused = inputs.clone();
        refused.given.insert(size.to_owned(), value.to_owned());
        let variant = variant::derive(&family, &refused, &shop.rack);
        assert!(variant.part.is_none(), "{size}={value} is refused");
        criterion.bench_function(name, |b| {
            b.iter(|| variant::derive(black_box(&family), black_box(&refused), &shop.rack));
        });
    }
}

/// Twenty keys on a plate of five by four: chosen, written and proved.
fn load_of_twenty(criterion: &mut Criterion, part: &Part, shop: &Shop, stamp: &Stamp) {
    let mut shop = shop.clone();
    let mut five = shop.batch.plates.first().expect("the demo shop has a plate").clone();
    (five.columns, five.rows) = (5, 4);
    shop.batch.plates = vec![five];
    shop.machine.x.from = Length::mm(-500.0);
    shop.machine.y.from = Length::mm(-300.0);
    let make = |part: &Part| {
        let plan = plan::plan(part, &shop).value.expect("the shop can make it");
        let runs = job::runs(&plan, part, &shop, stamp, true);
        let times: Vec<&Times> = runs.iter().map(|run| &run.verdict.times).collect();
        let count = Count { ordered: 20, spares: 0 };
        let batch = batch(part, &plan, &times, &shop, count, Some(20)).value.expect("an order");
        job::loads(part, &plan, &batch, &shop, stamp, false).value.expect("proved")
    };
    let loads = make(part);
    assert!(loads.len() == 1 && loads[0].verdict.pieces.len() == 20, "twenty pieces at a time");
    criterion.bench_function("load of 20 keys, planned and proved", |b| b.iter(|| make(black_box(part))));
}

/// A plate with 25 × 16 tapped holes, and a shop whose vise takes it.
fn plate(key: &Part, shop: &Shop) -> (Part, Shop) {
    let mut plate = key.clone();
    let (long, wide) = (Length::mm(215.0), Length::mm(140.0));
    plate.blank.length = long;
    plate.blank.width = wide;
    plate.length.nominal = long;
    plate.width.nominal = wide;
    plate.features.retain(|feature| matches!(feature.kind, Kind::Holes(_)));
    for feature in &mut plate.features {
        if let Kind::Holes(holes) = &mut feature.kind {
            let at = |step: i32, last: i32| Length::mm(f64::from(2 * step - last) * 4.0);
            holes.places = (0..16)
                .flat_map(|row| (0..25).map(move |column| Place { x: at(column, 24), y: at(row, 15) }))
                .collect();
        }
    }
    let mut shop = shop.clone();
    shop.vise.opening = Length::mm(200.0);
    (plate, shop)
}

criterion_group! {
    name = key;
    config = Criterion::default()
        .sample_size(10)
        .warm_up_time(Duration::from_millis(200))
        .measurement_time(Duration::from_millis(600))
        .without_plots();
    targets = steps
}
criterion_main!(key);

//! How long each step takes for the demo key, each by itself: `cargo bench --bench key`.
#![allow(missing_docs, unreachable_pub, reason = "the macro that makes the entry point documents nothing")]

mod scene;

use std::hint::black_box;
use std::time::Duration;

use barwright_core::batch::{Count, batch, cut_list};
use barwright_core::drawing;
use barwright_core::family;
use barwright_core::job;
use barwright_core::part::Part;
use barwright_core::plan;
use barwright_core::program;
use barwright_core::proof::{self, Times};
use barwright_core::quantity::{Length, Unit};
use barwright_core::shop::{self, Saw};
use barwright_core::variant;
use criterion::{Criterion, criterion_group, criterion_main};
use scene::{Scene, wants};

fn steps(criterion: &mut Criterion) {
    let scene = Scene::new();
    let Scene { source, files, family, shop, inputs, part, stamp, format, header, order } = &scene;
    let (plan, text) = scene.planned(part, shop);
    let sheet = scene.sheet(part);

    criterion.bench_function("load the family", |b| b.iter(|| family::load(black_box(source))));
    criterion.bench_function("load the shop", |b| b.iter(|| shop::load(black_box(files), "shop.yaml")));
    criterion.bench_function("derive the variant", |b| {
        b.iter(|| variant::derive(black_box(family), black_box(inputs), &shop.rack));
    });
    criterion.bench_function("plan", |b| b.iter(|| plan::plan(black_box(part), black_box(shop))));
    criterion.bench_function("write the program", |b| {
        b.iter(|| program::emit(black_box(&plan.setups[0]), header, &shop.control));
    });
    criterion.bench_function("lay out the drawing", |b| {
        b.iter(|| drawing::lay_out(black_box(part), format, stamp));
    });
    criterion.bench_function("write the drawing", |b| b.iter(|| drawing::svg::write(black_box(&sheet))));
    criterion.bench_function("prove the program", |b| {
        b.iter(|| proof::prove(black_box(&text), part, shop, &plan.setups[0].setup));
    });
    criterion.bench_function("whole variant, from sizes to every byte", |b| {
        b.iter(|| {
            let made = job::make(black_box(family), black_box(order), shop).goods.expect("the example is good");
            (drawing::svg::write(&made.sheet), made.record.json())
        });
    });
    load_of_twenty(criterion, &scene);
    let (plate, big) = scene.plate(25, 16);
    criterion.bench_function("draw a plate with 400 tapped holes", |b| {
        b.iter(|| drawing::lay_out(black_box(&plate), format, stamp).value.map(|sheet| drawing::svg::write(&sheet)));
    });
    let (plan, text) = scene.planned(&plate, &big);
    let setup = &plan.setups[0].setup;
    let verdict = proof::prove(&text, &plate, &big, setup);
    assert!(verdict.proved(), "the plate proves: {:?}", verdict.breaches.first());
    criterion.bench_function("prove a plate with 400 tapped holes", |b| {
        b.iter(|| proof::prove(black_box(&text), &plate, &big, setup));
    });
    // 50 each of 20 lengths, odd and even, from bars of one and three metres with two rests.
    let bar = shop.rack.iter().find(|bar| bar.name == "brass 16 x 12").expect("on the rack");
    let wants = wants();
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
        let variant = variant::derive(family, &refused, &shop.rack);
        assert!(variant.part.is_none(), "{size}={value} is refused");
        criterion.bench_function(name, |b| {
            b.iter(|| variant::derive(black_box(family), black_box(&refused), &shop.rack));
        });
    }
}

/// Twenty keys on a plate of five by four: chosen, written and proved.
fn load_of_twenty(criterion: &mut Criterion, Scene { part, shop, stamp, .. }: &Scene) {
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

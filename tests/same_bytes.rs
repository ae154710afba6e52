//! The same sizes give the same bytes: built with and without optimisation, and in a browser's
//! module. Each variant's answer, its files and its papers come down to one line of a list; the
//! lists of all builds are compared by `tests/run`, that of the module by `web/digests.mjs`.
//!
//! `DIGESTS=file VARIANTS=2000 cargo test --release -p barwright-tests --test same_bytes`

use std::collections::BTreeMap;
use std::fmt::Write as _;

use barwright_core::batch;
use barwright_core::drawing::Stamp;
use barwright_core::family::{Ask, Family, ParameterKind};
use barwright_core::job::{self, Goods, Order};
use barwright_core::quantity::{Dim, Unit, read, trimmed};
use barwright_core::shop::Shop;
use barwright_core::variant::Inputs;
use barwright_tests::dice::Dice;
use barwright_tests::{CONTROLS, FAMILIES, built_in, demo_shop, order_of, packet_of};
use barwright_web::Bench;
use serde_json::json;
use sha2::{Digest, Sha256};

/// How many variants where nothing is said.
const USUAL: usize = 8;

/// A few sizes of a family, near what is usual or among the choices.
fn sizes(family: &Family, dice: &mut Dice) -> BTreeMap<String, String> {
    let mut given = BTreeMap::new();
    for parameter in &family.parameters {
        if !dice.chance(22) {
            continue;
        }
        let usual = match &parameter.usual {
            Ask::Formula(formula) => &formula.text,
            Ask::Text(text) => text,
        };
        let text = match parameter.kind {
            _ if !parameter.one_of.is_empty() => dice.pick(&parameter.one_of).text.clone(),
            ParameterKind::Count => (1 + dice.below(5)).to_string(),
            ParameterKind::Quantity(Dim::LENGTH) => {
                let Ok((value, Some(Dim::LENGTH))) = read(usual) else { continue };
                let value = value * dice.between(0.85, 1.2);
                if dice.chance(60) {
                    format!("{} mm", trimmed(value, 2))
                } else {
                    format!("{} in", trimmed(value / 25.4, 4))
                }
            }
            ParameterKind::Fit => dice.one(&["e9", "d9", "h9", "f7", "0.05 to 0.1 mm"]).to_owned(),
            ParameterKind::Truth => dice.one(&["yes", "no"]).to_owned(),
            _ => continue,
        };
        given.insert(parameter.name.clone(), text);
    }
    given
}

fn sum(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().take(12).fold(String::new(), |mut text, byte| {
        let _infallible = write!(text, "{byte:02x}");
        text
    })
}

/// The papers of an order of seven, and its tables.
fn papers(goods: &Goods, shop: &Shop) -> Vec<u8> {
    let order = order_of(goods, shop, 7);
    let mut all = packet_of(goods, shop, &order);
    let batch = &order.batch;
    let digest = &goods.record.digest;
    for table in [
        batch::cut_list_csv(&batch.cut_list, goods.part.unit, digest),
        batch::loads_csv(&batch.setups, goods.part.unit, digest),
        batch::times_csv(&batch.setups, &batch.route, digest),
        batch::route_csv(&batch.route, digest),
        batch::hardware_csv(&batch.hardware, digest),
    ] {
        all.extend(table.into_bytes());
    }
    all
}

#[test]
fn every_variant_comes_down_to_a_line() {
    let count = std::env::var("VARIANTS").ok().and_then(|text| text.parse().ok()).unwrap_or(USUAL);
    let mut dice = Dice::new(77);
    let families = FAMILIES.map(built_in);
    let shops = CONTROLS.map(demo_shop);
    let mut desk = Bench::default();
    let (mut list, mut made) = (String::new(), [0_usize; FAMILIES.len()]);
    for at in 0..count {
        let family = &families[at % families.len()];
        let which = usize::try_from(dice.below(3)).unwrap_or(0);
        let inch = dice.chance(40);
        let like = if dice.chance(50) && !family.examples.is_empty() {
            Some(dice.pick(&family.examples).name.clone())
        } else {
            None
        };
        let given = sizes(family, &mut dice);
        let order = json!({ "unit": if inch { "in" } else { "mm" }, "like": like, "sizes": given });
        desk.open_family(&family.name, None);
        desk.open_shop(None, Some(CONTROLS[which]));
        let answer = desk.make(&order.to_string());
        let files = desk.archive();
        made[at % families.len()] += usize::from(files.is_some());
        // Papers, and their way through the core without the page, for every third.
        let paper = if at % 3 == 0 && files.is_some() {
            let unit = if inch { Unit::Inch } else { Unit::Mm };
            let inputs = Inputs { unit: Some(unit), like, given };
            let stamp = Stamp { revision: "A".to_owned(), ..Stamp::default() };
            let order = Order { inputs, title: None, format: None, stamp, unproved: false };
            let goods = job::make(family, &order, &shops[which]).goods.expect("what the page makes is made");
            sum(&papers(&goods, &shops[which]))
        } else {
            "-".to_owned()
        };
        let files = files.map_or_else(|| "-".to_owned(), |files| sum(&files));
        let asked = json!({ "family": family.name, "control": CONTROLS[which], "order": order.to_string() });
        let _infallible = writeln!(list, "{} {files} {paper} {asked}", sum(answer.as_bytes()));
    }
    for (family, made) in FAMILIES.iter().zip(made) {
        assert!(count < 200 || made * 20 >= count / families.len(), "{family}: only {made} of its variants are made");
    }
    if let Some(path) = std::env::var_os("DIGESTS") {
        std::fs::write(path, list).expect("the list can be written");
    }
}

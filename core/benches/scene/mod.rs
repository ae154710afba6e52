//! What is timed and counted: the demo key in the demo shop, and plates with many tapped holes.

use std::collections::BTreeMap;

use barwright_core::batch::Want;
use barwright_core::drawing::{self, Format, Stamp};
use barwright_core::family::{self, Family};
use barwright_core::job::{self, Order};
use barwright_core::part::{Kind, Part, Place};
use barwright_core::plan;
use barwright_core::program::{self, Header};
use barwright_core::quantity::Length;
use barwright_core::record::digest;
use barwright_core::shop::{self, Shop};
use barwright_core::source::Source;
use barwright_core::variant::{self, Inputs};

const FAMILY: &str = include_str!("../../../families/joining-key.yaml");

const SHOP: [(&str, &str); 6] = [
    ("shop.yaml", include_str!("../../../families/shop/shop.yaml")),
    ("machine.yaml", include_str!("../../../families/shop/machine.yaml")),
    ("control-canned.yaml", include_str!("../../../families/shop/control-canned.yaml")),
    ("crib.yaml", include_str!("../../../families/shop/crib.yaml")),
    ("rack.yaml", include_str!("../../../families/shop/rack.yaml")),
    ("vise.yaml", include_str!("../../../families/shop/vise.yaml")),
];

/// The demo key and all that makes it.
pub struct Scene {
    pub source: Source,
    pub files: BTreeMap<String, Source>,
    pub family: Family,
    pub shop: Shop,
    pub inputs: Inputs,
    pub part: Part,
    pub stamp: Stamp,
    pub format: Format,
    pub header: Header,
    pub order: Order,
}

impl Scene {
    pub fn new() -> Self {
        let source = Source::new("joining-key.yaml", FAMILY);
        let files: BTreeMap<String, Source> =
            SHOP.iter().map(|(name, text)| ((*name).to_owned(), Source::new(*name, *text))).collect();
        let family = family::load(&source).into_result().expect("the family is good");
        let shop = shop::load(&files, "shop.yaml").into_result().expect("the shop is good");
        let inputs = Inputs { like: Some("warping-frame".to_owned()), ..Inputs::default() };
        let part = variant::derive(&family, &inputs, &shop.rack).part.expect("the example is good");
        let stamp =
            Stamp { revision: "A".to_owned(), digest: digest(&part), owner: shop.owner.clone(), ..Stamp::default() };
        let format = Format::usual(part.unit);
        let header = job::header(&part, &shop, &stamp, true);
        let order = Order { inputs: inputs.clone(), title: None, format: None, stamp: stamp.clone(), unproved: false };
        Self { source, files, family, shop, inputs, part, stamp, format, header, order }
    }

    /// A plate with this many columns and rows of tapped holes, and a shop with room for it.
    pub fn plate(&self, columns: i32, rows: i32) -> (Part, Shop) {
        let mut plate = self.part.clone();
        let side = |count: i32| Length::mm(f64::from(count) * 8.0 + 12.0);
        let (long, wide) = (side(columns), side(rows));
        plate.blank.length = long;
        plate.blank.width = wide;
        plate.length.nominal = long;
        plate.width.nominal = wide;
        plate.features.retain(|feature| matches!(feature.kind, Kind::Holes(_)));
        for feature in &mut plate.features {
            if let Kind::Holes(holes) = &mut feature.kind {
                let at = |step: i32, count: i32| Length::mm(f64::from(2 * step - (count - 1)) * 4.0);
                holes.places = (0..rows)
                    .flat_map(|row| (0..columns).map(move |column| Place { x: at(column, columns), y: at(row, rows) }))
                    .collect();
            }
        }
        let mut shop = self.shop.clone();
        shop.vise.opening = shop.vise.opening.max(wide + Length::mm(20.0));
        shop.machine.x.from = shop.machine.x.from.min(-long);
        shop.machine.x.to = shop.machine.x.to.max(long);
        shop.machine.y.from = shop.machine.y.from.min(-wide);
        shop.machine.y.to = shop.machine.y.to.max(wide);
        (plate, shop)
    }

    /// The plan of a part and its first program.
    pub fn planned(&self, part: &Part, shop: &Shop) -> (plan::Plan, String) {
        let plan = plan::plan(part, shop);
        let plan = plan.value.unwrap_or_else(|| panic!("it can be made: {:?}", plan.findings));
        let text = program::emit(&plan.setups[0], &self.header, &shop.control).text;
        (plan, text)
    }

    /// The sheet of a part.
    pub fn sheet(&self, part: &Part) -> drawing::Sheet {
        drawing::lay_out(part, &self.format, &self.stamp).value.expect("it fits on its paper")
    }
}

/// 50 each of 20 lengths, odd and even.
pub fn wants() -> Vec<Want> {
    let length = |index: u32| Length::mm(31.0 + f64::from(index * index * 37 % 409) * 0.7);
    (0..20).map(|index| Want { name: format!("key {index}"), length: length(index), count: 50 }).collect()
}

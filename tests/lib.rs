//! What several of the tests share: the demo shop, the joining key, an outsider's reading of
//! RS-274 programs, and numbers that are random and yet the same on every run.

pub mod dice;
pub mod outsider;

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use barwright_core::batch::{self, Count};
use barwright_core::diag::Severity;
use barwright_core::drawing::{Stamp, pdf};
use barwright_core::family::{self, Family};
use barwright_core::job::{self, Goods, Job, Order, Wanted, Worked};
use barwright_core::proof::Times;
use barwright_core::shop::{self, Shop};
use barwright_core::source::Source;
use barwright_core::standards::stock::Bar;
use barwright_core::variant::{self, Inputs};

/// The control profiles of the demo shop, as `--control` calls them.
pub const CONTROLS: [&str; 3] = ["canned", "written-out", "absolute"];

/// The examples of the joining key.
pub const EXAMPLES: [&str; 2] = ["warping-frame", "warping-frame-inch"];

/// The families that are built in.
pub const FAMILIES: [&str; 4] = ["joining-key", "spacer-bar", "tapped-plate", "clamp-bar"];

/// The folder that holds everything.
pub fn house() -> PathBuf {
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    here.parent().map_or_else(|| here.to_path_buf(), Path::to_path_buf)
}

/// The text of a file, by its path from the top of the house.
///
/// # Panics
/// Where it cannot be read: the test cannot go on.
pub fn text(path: &str) -> String {
    let path = house().join(path);
    std::fs::read_to_string(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}

/// The joining key.
///
/// # Panics
/// Where its file has a mistake.
pub fn key() -> Family {
    built_in(FAMILIES[0])
}

/// A family that is built in.
///
/// # Panics
/// Where there is none of this name, or its file has a mistake.
pub fn built_in(name: &str) -> Family {
    let path = format!("families/{name}.yaml");
    let source = Source::new(&path, text(&path));
    family::load(&source).into_result().unwrap_or_else(|findings| panic!("{name} is good: {findings:#?}"))
}

/// The demo shop with one of its controls.
///
/// # Panics
/// Where one of its files has a mistake.
pub fn demo_shop(control: &str) -> Shop {
    let mut files = BTreeMap::new();
    for name in ["shop", "machine", "crib", "rack", "vise", &format!("control-{control}")] {
        let name = format!("{name}.yaml");
        let mut body = text(&format!("families/shop/{name}"));
        if name == "shop.yaml" {
            body = body.replace("control-canned.yaml", &format!("control-{control}.yaml"));
        }
        files.insert(name.clone(), Source::new(name, body));
    }
    let checked = shop::load(&files, "shop.yaml");
    checked.into_result().unwrap_or_else(|findings| panic!("the shop is good: {findings:#?}"))
}

/// Makes a variant as the command line would, with nothing but its sizes.
pub fn make(family: &Family, inputs: Inputs, shop: &Shop) -> Job {
    let stamp = Stamp { revision: "A".to_owned(), ..Stamp::default() };
    job::make(family, &Order { inputs, title: None, format: None, stamp, unproved: false }, shop)
}

/// Whether nothing refuses these sizes before the shape is built, found in one derivation.
///
/// A refused variant is searched for remedies, which is thousands of derivations. The search is
/// left out where a size is unknown, so one is named here, and its own refusal not counted.
pub fn promising(family: &Family, inputs: &Inputs, rack: &[Bar]) -> bool {
    let mut probe = inputs.clone();
    probe.given.insert("no_size_of_this_name".to_owned(), String::new());
    let findings = variant::derive(family, &probe, rack).findings;
    let mut refused = findings.iter().filter(|finding| finding.severity == Severity::Refused);
    refused.all(|finding| finding.code == "variant/unknown-size")
}

/// An order of so many, one piece at a time.
///
/// # Panics
/// Where there is no way to make it.
pub fn order_of(goods: &Goods, shop: &Shop, ordered: u32) -> Worked {
    let times: Vec<&Times> = goods.runs.iter().map(|run| &run.verdict.times).collect();
    let count = Count { ordered, spares: 1 };
    let batch = batch::batch(&goods.part, &goods.plan, &times, shop, count, None).value.expect("a batch");
    Worked { wanted: Wanted { count, per_load: None, timed: None }, batch, loads: Vec::new() }
}

/// The packet of an order as PDF.
///
/// # Panics
/// Where it cannot be written.
pub fn packet_of(goods: &Goods, shop: &Shop, order: &Worked) -> Vec<u8> {
    let pages = order.pages(goods, shop);
    assert!(!pages.is_empty(), "there are papers");
    pdf::write(&pages.iter().collect::<Vec<_>>()).expect("a packet")
}

/// One of the family's examples.
pub fn example(name: &str) -> Inputs {
    Inputs { like: Some(name.to_owned()), ..Inputs::default() }
}

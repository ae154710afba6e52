//! Plans of a small part, checked as the machine would feel them.

use std::collections::BTreeMap;

use super::thread::tests::m5;
use super::*;
use crate::diag::Origin;
use crate::part::{Basis, Blank, Depth, Face, Feature, General, Holes, Kind, Make, Place, Size, Tongue};
use crate::quantity::{Density, Feed, Length, Mass, Stress, Unit};
use crate::shop;
use crate::source::Source;
use crate::standards::drill::Drill;
use crate::standards::material::{Group, Material};
use crate::standards::thread::{Hand, Thread};

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
    Make::Tapped { thread: Box::new(thread), hand, drill }
}

/// 60 x 16 x 12 brass, a tongue 9.96 wide and 2.5 high, four tapped holes along the middle.
pub(crate) fn key(make: Make) -> Part {
    let places = [-22.5, -7.5, 7.5, 22.5].map(|x| Place { x: Length::mm(x), y: Length::ZERO }).to_vec();
    let holes =
        Holes { places, place_tolerance: Length::mm(0.1), depth: Depth::Through, make, chamfer: Some(Length::mm(5.3)) };
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
        features: vec![
            feature("tongue", "tongue", 20, Kind::Tongue(tongue)),
            feature("screws", "set screw holes", 24, Kind::Holes(holes)),
        ],
        general: General { name: "ISO 2768-m".to_owned() },
        edge_break: None,
        finish: String::new(),
        mass: Mass::gram(80.0),
        notes: Vec::new(),
    }
}

/// The demo shop with one of its controls.
pub(crate) fn demo(control: &str) -> Shop {
    let files: BTreeMap<String, Source> = [
        ("shop.yaml", include_str!("../../../families/shop/shop.yaml")),
        ("machine.yaml", include_str!("../../../families/shop/machine.yaml")),
        ("crib.yaml", include_str!("../../../families/shop/crib.yaml")),
        ("rack.yaml", include_str!("../../../families/shop/rack.yaml")),
        ("vise.yaml", include_str!("../../../families/shop/vise.yaml")),
        ("control-canned.yaml", include_str!("../../../families/shop/control-canned.yaml")),
        ("control-written-out.yaml", include_str!("../../../families/shop/control-written-out.yaml")),
        ("control-absolute.yaml", include_str!("../../../families/shop/control-absolute.yaml")),
    ]
    .into_iter()
    .map(|(name, text)| {
        let text = text.replace("control-canned.yaml", &format!("control-{control}.yaml"));
        (name.to_owned(), Source::new(name, text))
    })
    .collect();
    shop::load(&files, "shop.yaml").into_result().expect("the demo shop is good")
}

/// The key with M5, right hand.
pub(crate) fn m5_key() -> Part {
    key(tapped(m5(), Hand::Right))
}

/// A plan that must be possible.
pub(crate) fn planned(part: &Part, shop: &Shop) -> Plan {
    plan(part, shop).into_result().expect("it can be made")
}

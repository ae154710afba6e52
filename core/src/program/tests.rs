//! Programs of a small part, read as the machine would.

use super::*;
use crate::plan::tests::{demo, m5_key, planned};
use crate::quantity::Unit;
use crate::shop::Control;

fn header() -> Header {
    Header {
        number: "JK-10-M5-60".to_owned(),
        title: "Joining key (10 mm)\nM30 %".to_owned(),
        revision: "A".to_owned(),
        digest: "4f1c 9a02".to_owned(),
        unit: Unit::Mm,
        material: "Brass C36000".to_owned(),
        stock: "60 × 16 × 12 from brass 16 x 12".to_owned(),
        owner: "Heddle Row Workshop".to_owned(),
        notes: Vec::new(),
        proved: true,
    }
}

fn control(name: &str) -> Control {
    demo(name).control
}

fn program(name: &str) -> Program {
    let shop = demo(name);
    emit(&planned(&m5_key(), &shop), &header(), &shop.control)
}

#[test]
fn show() {
    for name in ["canned", "written-out", "absolute"] {
        let program = program(name);
        eprintln!("{}", program.text);
    }
    let _ = control("canned");
}

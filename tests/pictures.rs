//! The pictures of the README are what the program draws today.
//!
//! `tests/pictures/draw` draws them anew, those of the page too, which no test compares: a browser's
//! lettering differs from machine to machine.

use barwright_core::drawing::{Sheet, svg};
use barwright_core::job::Goods;
use barwright_tests::{CONTROLS, EXAMPLES, demo_shop, example, house, key, make, order_of};

/// How many the papers are for.
const ORDERED: u32 = 50;

/// Compares a picture with what is drawn, or keeps it where `BLESS` is set.
fn picture(name: &str, sheet: &Sheet) {
    let path = house().join("tests/pictures").join(name);
    let drawn = svg::write(sheet);
    if std::env::var_os("BLESS").is_some() {
        std::fs::write(&path, drawn).expect("a picture can be written");
        return;
    }
    let kept = std::fs::read_to_string(&path).unwrap_or_default();
    assert!(kept == drawn, "tests/pictures/{name} is not what the program draws; tests/pictures/draw draws it anew");
}

fn goods() -> Goods {
    let job = make(&key(), example(EXAMPLES[0]), &demo_shop(CONTROLS[0]));
    job.goods.unwrap_or_else(|| panic!("the example is good: {:#?}", job.findings))
}

#[test]
fn the_drawing_of_a_key() {
    picture("drawing.svg", &goods().sheet);
}

#[test]
fn a_setup_sheet_of_its_packet() {
    let goods = goods();
    let shop = demo_shop(CONTROLS[0]);
    let pages = order_of(&goods, &shop, ORDERED).pages(&goods, &shop);
    let shows = |page: &&Sheet| svg::write(page).contains("First cut");
    picture("setup-sheet.svg", pages.iter().find(shows).expect("a setup sheet"));
}

//! Grids, lists and tables.

use super::{Columns, Grid, MOST, cell, orders, parse, vary};
use crate::family::{Family, load};
use crate::quantity::{Length, Unit};
use crate::source::Source;
use crate::standards::stock::Bar;
use crate::variant::{Inputs, attempt};

fn key() -> Family {
    load(&Source::new("key", include_str!("../../../families/joining-key.yaml"))).into_result().expect("it loads")
}

fn values(text: &str, unit: Option<Unit>) -> Vec<String> {
    vary(text, &key(), unit).expect(text).values
}

#[test]
fn what_varies() {
    assert_eq!(values("slot_opening=8mm..10mm/1mm", None), ["8 mm", "9 mm", "10 mm"], "all with units");
    assert_eq!(values("slot_opening=8..9mm/0.5", None), ["8 mm", "8.5 mm", "9 mm"], "one unit for all");
    assert_eq!(values("slot_opening=8..9/0.4", Some(Unit::Mm)), ["8 mm", "8.4 mm", "8.8 mm"], "up to the last step");
    assert_eq!(values("slot_opening=3/8in..1/2in/1/16in", None), ["0.375 in", "0.4375 in", "0.5 in"], "fractions");
    assert_eq!(values("screws=1..3", None), ["1", "2", "3"], "counts go by ones");
    assert_eq!(values("screw=M4, M5,1/4-20", None), ["M4", "M5", "1/4-20"], "a list");
    assert_eq!(values("tongue_fit=0.05..0.1mm", None), ["0.05..0.1mm"], "clearances are one fit");
}

#[test]
fn what_cannot_vary() {
    for (text, said) in [
        ("slot", "varies nothing"),
        ("slot_openin=1mm", "no size"),
        ("slot_opening=8mm..9mm", "step"),
        ("slot_opening=8mm..9mm/0mm", "above nothing"),
        ("slot_opening=9mm..8mm/1mm", "before it begins"),
        ("slot_opening=8..9/1", "no unit"),
        ("screw=M99", "M99"),
        ("screw=", "no values"),
        ("slot_opening=1mm..1000mm/0.000001mm", "more than the"),
    ] {
        let finding = vary(text, &key(), None).expect_err(text);
        assert!(finding.headline.contains(said), "{text}: {}", finding.headline);
        assert!(!finding.helps.is_empty(), "{text}: what would be right");
    }
}

#[test]
fn a_grid_is_every_combination() {
    let family = key();
    let varies = ["screw=M4,M5", "screws=1..3"].map(|text| vary(text, &family, None).expect(text));
    let grid = Grid::new(Inputs::default(), varies.to_vec()).expect("small");
    assert_eq!(grid.count(), 6, "two by three");
    let said: Vec<String> =
        (0..6).map(|at| grid.inputs(at).given.values().cloned().collect::<Vec<_>>().join(" ")).collect();
    assert_eq!(said, ["M4 1", "M4 2", "M4 3", "M5 1", "M5 2", "M5 3"], "the last changes fastest");
    let twice = [varies[0].clone(), varies[0].clone()];
    assert_eq!(Grid::new(Inputs::default(), twice.to_vec()).expect_err("twice").code, "many/twice");
    let lengths = ["slot_opening", "lip_thickness"].map(|name| vary(&format!("{name}=1mm..400mm/1mm"), &family, None));
    let many = Grid::new(Inputs::default(), lengths.map(|vary| vary.expect("values")).to_vec()).expect_err("too many");
    assert!(many.headline.contains("160000") && many.headline.contains(&MOST.to_string()), "{}", many.headline);
}

#[test]
fn a_row_says_what_is_printed() {
    let family = key();
    let bar = Bar {
        name: "brass 16 x 12".to_owned(),
        material: "brass-c36000".to_owned(),
        width: Length::mm(16.0),
        height: Length::mm(12.0),
        tolerance: Length::mm(0.05),
        lengths: Vec::new(),
        rests: Vec::new(),
    };
    let columns = Columns::new(&family, &["screws"], Unit::Mm, false);
    assert!(
        columns.header().starts_with("number,verdict,screws,tongue_width (mm),tongue_width.least (mm),"),
        "{}",
        columns.header()
    );
    let row = columns.row(&attempt(&family, &Inputs::default(), &vec![bar].into()));
    assert!(
        columns.csv(&row).starts_with("JK-10mm-4xM5-60mm-brass-c36000,holds,2,10,9.939,9.975,"),
        "{}",
        columns.csv(&row)
    );
    let read: serde_json::Value = serde_json::from_str(&columns.json(&row)).expect("JSON");
    assert_eq!(read["values"]["tongue_width.most"], 9.975, "a number");
    assert_eq!(read["units"]["tongue_width"], "mm", "its unit");
    let refused = columns.row(&attempt(&family, &Inputs::default(), &Vec::new().into()));
    assert_eq!((refused.verdict, refused.number.as_str()), ("refused", ""), "no bar, no part");
    assert!(refused.why.contains("rack"), "{}", refused.why);
}

#[test]
fn no_cell_is_a_formula() {
    assert_eq!(cell("=1+1"), "'=1+1", "a formula is held back");
    assert_eq!(cell("@x"), "'@x", "so is a call");
    assert_eq!(cell("-4.5"), "-4.5", "a number is a number");
    assert_eq!(cell("-4.5+cmd"), "'-4.5+cmd", "and nothing else is");
    assert_eq!(cell("a,\"b\""), "\"a,\"\"b\"\"\"", "quoted");
}

#[test]
fn tables_as_spreadsheets_write_them() {
    let rows = parse("\u{feff}a;b\r\n\r\n\"x;\"\"y\"\"\nz\";2\r\n").expect("a table");
    assert_eq!(rows[0], (1, vec!["a".to_owned(), "b".to_owned()]), "semicolons, a mark of byte order");
    assert_eq!(rows[1], (3, vec!["x;\"y\"\nz".to_owned(), "2".to_owned()]), "quotes, over two lines");
    assert_eq!(parse("a,b\n\"x,2\n"), Err(2), "a quote that does not end");
}

#[test]
fn lists_of_orders() {
    let family = key();
    let list = |text: &str| orders(&Source::new("o.csv", text), &family, &Inputs::default());
    let rows =
        list("Slot opening,screws,quantity,unit,title\n10,3,20,mm,'=one\n,,x,,\n1,2,3,mm,a,b\n").value.expect("good");
    assert_eq!(rows.len(), 3, "every row");
    assert_eq!(rows[0].inputs.given["slot_opening"], "10", "names as people write them");
    assert_eq!(
        (rows[0].quantity, rows[0].inputs.unit, rows[0].title.as_deref()),
        (Some(20), Some(Unit::Mm), Some("=one")),
        "words"
    );
    assert!(rows[1].inputs.given.is_empty(), "empty cells are as usual");
    let wrong = |at: usize| rows[at].wrong.as_ref().map_or("", |finding| finding.headline.as_str()).to_owned();
    assert!(wrong(0).is_empty() && wrong(1).contains("quantity") && wrong(2).contains("6 cells"), "told by row");
    // A quantity is read as that of a single order is.
    let counted = list("quantity\n1 000\n2_000\n2.5\n0\n20000\n").value.expect("good");
    assert_eq!(
        counted.iter().map(|row| row.quantity).collect::<Vec<_>>(),
        [Some(1000), Some(2000), None, None, None],
        "{counted:?}"
    );
    for (row, what, help) in [
        (2, "2.5 is no whole number", "Write 2 or 3."),
        (3, "makes nothing", "quantity=1"),
        (4, "20000 pieces are too many", "2 orders of up to 10000"),
    ] {
        let wrong = counted[row].wrong.as_ref().expect("told by row");
        assert!(wrong.headline.contains(what) && wrong.helps.join(" ").contains(help), "{wrong:?}");
    }
    for (text, code) in [
        ("", "many/empty"),
        ("screws\n", "many/empty"),
        ("screwz\n1\n", "many/unknown-column"),
        ("screws,screws\n1,2\n", "many/twice"),
        ("screws\n\"1\n", "many/quote"),
    ] {
        let found = list(text);
        assert!(found.value.is_none() && found.findings[0].code == code, "{text}: {:?}", found.findings);
    }
}

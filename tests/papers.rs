//! What the papers say to whoever holds them: nothing that was not measured looks measured, one
//! thing has one word and one figure on every paper, and the tables can be read.

use barwright_core::job::Goods;
use barwright_core::quantity::Unit;
use barwright_core::variant::Inputs;
use barwright_tests::{FAMILIES, built_in, demo_shop, make};

/// Every family in its usual sizes, in both units.
fn each(judge: impl Fn(&str, &Goods)) {
    let shop = demo_shop("canned");
    for name in FAMILIES {
        for unit in [Unit::Mm, Unit::Inch] {
            let job = make(&built_in(name), Inputs { unit: Some(unit), ..Inputs::default() }, &shop);
            judge(&format!("{name} in {}", unit.sign()), &job.goods.expect("its usual sizes are good"));
        }
    }
}

/// The rows of a table, each with its cells by their heads.
fn rows(table: &str) -> Vec<std::collections::BTreeMap<String, String>> {
    let mut reader = csv::Reader::from_reader(table.as_bytes());
    reader.deserialize().map(|row| row.expect("a row as long as the head")).collect()
}

#[test]
fn the_first_piece_table_is_no_record_of_an_inspection() {
    each(|seed, goods| {
        let rows = rows(&goods.record.first_piece_csv());
        assert!(rows.len() > 5, "{seed}: a table");
        for row in &rows {
            let name = &row["name"];
            assert_eq!(row["good"], "", "{seed}, {name}: nobody has judged it");
            assert_eq!(row["proof"].is_empty(), row["proof good"].is_empty(), "{seed}, {name}: a verdict of nothing");
            assert!(!row["with what"].is_empty(), "{seed}, {name}: a gauge");
            let gauged = [".pitch_diameter", ".major", ".lead"].iter().any(|end| name.ends_with(end));
            assert_eq!(row["read"], if gauged { "gauge" } else { "" }, "{seed}, {name}: nobody has read it");
            assert!(!gauged || row["with what"].starts_with("plug "), "{seed}, {name}: {}", row["with what"]);
        }
        let bar = rows.iter().find(|row| row["name"] == "bar.width").expect("the bar");
        assert_eq!((bar["proof"].as_str(), bar["proof good"].as_str()), ("", ""), "{seed}: no motion makes the bar");
        assert!(rows.iter().any(|row| row["proof good"] == "yes"), "{seed}: what the program cuts is proved");
    });
}

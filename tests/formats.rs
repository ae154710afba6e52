//! Files of every version that was given out are read by this one; see 'What a version promises'
//! in DEVELOPERS.md.
//!
//! `formats/1` holds what version 0.1 wrote and read: a record with its program, a family, a shop,
//! a list of orders. These files are never changed. Where one cannot be read any more, the code is
//! wrong, or the version of the format grows and the reader of the last one stays.

use std::collections::BTreeMap;
use std::fs;

use barwright_core::diag::Severity;
use barwright_core::drawing::Stamp;
use barwright_core::family;
use barwright_core::job::{self, Order};
use barwright_core::many;
use barwright_core::proof;
use barwright_core::record::{FORMAT, Record, VERSION, digest};
use barwright_core::shop;
use barwright_core::source::Source;
use barwright_core::variant::Inputs;
use barwright_tests::{house, text};

/// The versions whose files are kept.
const KEPT: [u32; 1] = [1];

fn shop_of(version: u32) -> shop::Shop {
    let folder = format!("tests/formats/{version}/shop");
    let mut files = BTreeMap::new();
    for item in fs::read_dir(house().join(&folder)).expect("a shop") {
        let name = item.expect("a file").file_name().to_string_lossy().into_owned();
        files.insert(name.clone(), Source::new(name.clone(), text(&format!("{folder}/{name}"))));
    }
    shop::load(&files, "shop.yaml")
        .into_result()
        .unwrap_or_else(|findings| panic!("a shop of {version}: {findings:#?}"))
}

#[test]
fn this_version_has_its_files() {
    assert_eq!(
        KEPT.last(),
        Some(&VERSION),
        "keep files of version {VERSION} under tests/formats before it is given out"
    );
}

#[test]
fn records_are_read_and_their_programs_proved() {
    for version in KEPT {
        let written = text(&format!("tests/formats/{version}/part.json"));
        let record: Record =
            serde_json::from_str(&written).unwrap_or_else(|error| panic!("version {version}: {error}"));
        assert_eq!((record.format.as_str(), record.version), (FORMAT, version), "it says what it is");
        assert_eq!(digest(&record.part), record.digest, "version {version}: the part has its digest still");
        assert_ne!(record.sealed(), Some(false), "version {version}: its seal holds still, where it has one");
        let program = &record.programs[0];
        let verdict = proof::prove(
            &text(&format!("tests/formats/{version}/program-1.nc")),
            &record.part.posed(program.pose),
            &shop_of(version),
            &program.setup,
        );
        assert!(verdict.proved(), "version {version}: {:#?}", verdict.breaches);
    }
}

/// A reader of this version is not put off by what a later one adds.
#[test]
fn what_a_later_version_adds_is_passed_over() {
    let written = text(&format!("tests/formats/{VERSION}/part.json"));
    let mut record: serde_json::Value = serde_json::from_str(&written).expect("JSON");
    record["colour"] = serde_json::json!("plum");
    record["time"]["pause"] = serde_json::json!(3.0);
    let read: Record = serde_json::from_value(record).expect("the rest is read");
    assert_eq!(digest(&read.part), read.digest, "and the part is the same");
}

#[test]
fn families_shops_and_lists_are_read() {
    for version in KEPT {
        let path = format!("tests/formats/{version}/family.yaml");
        let loaded = family::load(&Source::new(&path, text(&path)));
        let refused: Vec<_> = loaded.findings.iter().filter(|one| one.severity == Severity::Refused).collect();
        assert!(refused.is_empty(), "a family of version {version}: {refused:#?}");
        let family = loaded.value.expect("a family");
        let inputs = Inputs { like: Some("warping-frame".to_owned()), ..Inputs::default() };
        let order = Order { inputs, title: None, format: None, stamp: Stamp::default(), unproved: false };
        let job = job::make(&family, &order, &shop_of(version));
        assert!(job.goods.is_some(), "version {version}: its family is made in its shop: {:#?}", job.findings);
        let path = format!("tests/formats/{version}/orders.csv");
        let rows = many::orders(&Source::new(&path, text(&path)), &family, &Inputs::default());
        let rows = rows.into_result().unwrap_or_else(|findings| panic!("version {version}: {findings:#?}"));
        assert_eq!(rows.len(), 2, "every row");
        assert!(rows.iter().all(|row| row.wrong.is_none()), "{rows:#?}");
    }
}

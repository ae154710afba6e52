//! Writes the page's `usual.js`: shop, family and variant of an address that asks for nothing, as the
//! core tells them. The page shows them while its module is still on the way.

#![expect(clippy::print_stdout, clippy::print_stderr, reason = "what it makes goes to standard output")]

use std::process::ExitCode;

use barwright_web::Bench;
use serde_json::{Value, json};

/// The first in the page's list, which stands in its own text.
const FAMILY: &str = "joining-key";
const UNIT: &str = "mm";

fn main() -> ExitCode {
    let mut bench = Bench::default();
    let shop = bench.open_shop(None, None);
    let family = bench.open_family(FAMILY, None);
    let told: Value = serde_json::from_str(&bench.make(&json!({ "unit": UNIT }).to_string())).unwrap_or_default();
    let Some(digest) = told["goods"]["digest"].as_str().and_then(|digest| digest.get(..12)) else {
        eprintln!("The usual variant of {FAMILY} is refused: {}", told["findings"]);
        return ExitCode::FAILURE;
    };
    let usual = json!({
        "name": FAMILY,
        "unit": UNIT,
        "address": format!("#{FAMILY}/{UNIT}?part-digest={digest}"),
        "shop": shop["shop"],
        "family": family["family"],
        "told": told,
    });
    println!(
        "// Made by web/build: what the core tells of an address that asks for nothing.\nexport const USUAL = {usual};"
    );
    ExitCode::SUCCESS
}

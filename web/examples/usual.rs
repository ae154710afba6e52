//! Writes the page's `usual.js`: shop, family and variant of an address that asks for nothing, as the
//! core tells them. The page shows them while its module is still on the way.

use std::error::Error;
use std::io::{Write, stdout};

use barwright_web::Bench;
use serde_json::{Value, json};

/// The first in the page's list, which stands in its own text.
const FAMILY: &str = "joining-key";
const UNIT: &str = "mm";

fn main() -> Result<(), Box<dyn Error>> {
    let mut bench = Bench::default();
    let shop = bench.open_shop(None, None);
    let family = bench.open_family(FAMILY, None);
    // Given out as it is told: numbers that are read and written again need not be the same.
    let told = bench.make(&json!({ "unit": UNIT }).to_string());
    let read: Value = serde_json::from_str(&told)?;
    let digest = read["goods"]["digest"].as_str().and_then(|digest| digest.get(..12));
    let digest = digest.ok_or_else(|| format!("the usual variant of {FAMILY} is refused: {}", read["findings"]))?;
    let usual = json!({
        "name": FAMILY,
        "unit": UNIT,
        "address": format!("#{FAMILY}/{UNIT}?part-digest={digest}"),
        "shop": shop["shop"],
        "family": family["family"],
    });
    writeln!(stdout(), "// Made by web/build: what the core tells of an address that asks for nothing.")?;
    Ok(writeln!(stdout(), "export const USUAL = {{ ...{usual}, told: {told} }};")?)
}

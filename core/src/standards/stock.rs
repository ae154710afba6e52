//! Bars as they lie on a rack.

use serde::{Deserialize, Serialize};

use crate::quantity::Length;

/// Bars of one kind on the rack.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Bar {
    /// What it is called on the rack: `brass 16 x 12`.
    pub name: String,
    /// Name of the material, as the standards know it.
    pub material: String,
    /// Width of the section; the larger of the two sides.
    pub width: Length,
    /// Height of the section.
    pub height: Length,
    /// How far width and height may lie from what they are called, either way.
    pub tolerance: Length,
    /// Lengths on the rack.
    pub lengths: Vec<Length>,
}

/// The largest section of a material that fits within a width and a height: the largest area
/// first, then the wider one.
///
/// The section may lie either way round; the bar that comes back lies as it fits.
pub fn largest_within(rack: &[Bar], material: &str, width: Length, height: Length) -> Option<Bar> {
    let dust = Length::mm(1e-6);
    let fits = |bar: &Bar| bar.width <= width + dust && bar.height <= height + dust;
    rack.iter()
        .filter(|bar| bar.material == material)
        .flat_map(|bar| [bar.clone(), Bar { width: bar.height, height: bar.width, ..bar.clone() }])
        .filter(fits)
        .max_by(|a, b| {
            let area = |bar: &Bar| (bar.width * bar.height).as_mm2();
            area(a).total_cmp(&area(b)).then(a.width.order(b.width)).then_with(|| b.name.cmp(&a.name))
        })
}

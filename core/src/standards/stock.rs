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
    /// Lengths that it is bought in, of which there are enough.
    pub lengths: Vec<Length>,
    /// Rests on the rack, each once: they are used up before a new bar is cut.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub rests: Vec<Length>,
}

/// The largest section of a material that fits within a width and a height: the largest area
/// first, then the wider one.
///
/// The section may lie either way round; the bar that comes back lies as it fits.
pub fn largest_within(rack: &[Bar], material: &str, width: Length, height: Length) -> Option<Bar> {
    let dust = Length::mm(1e-6);
    // Each bar as it lies and on its other side.
    let ways = |bar: &'_ Bar| [(bar.width, bar.height), (bar.height, bar.width)];
    let (bar, (width, height)) = rack
        .iter()
        .filter(|bar| bar.material == material)
        .flat_map(|bar| ways(bar).map(|way| (bar, way)))
        .filter(|(_, way)| way.0 <= width + dust && way.1 <= height + dust)
        .max_by(|(a, one), (b, other)| {
            let area = |way: &(Length, Length)| (way.0 * way.1).as_mm2();
            area(one).total_cmp(&area(other)).then(one.0.order(other.0)).then_with(|| b.name.cmp(&a.name))
        })?;
    Some(Bar { width, height, ..bar.clone() })
}

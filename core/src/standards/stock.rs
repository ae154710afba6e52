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
    ways(rack, material)
        .filter(|bar| bar.width <= width + dust && bar.height <= height + dust)
        .max_by(by_area)
        .map(Way::bar)
}

/// The smallest section of a material that is at least so wide and so high: the smallest area
/// first, then the narrower one.
///
/// The section may lie either way round; the bar that comes back lies as it is asked for.
pub fn smallest_around(rack: &[Bar], material: &str, width: Length, height: Length) -> Option<Bar> {
    let dust = Length::mm(1e-6);
    ways(rack, material)
        .filter(|bar| bar.width >= width - dust && bar.height >= height - dust)
        .min_by(by_area)
        .map(Way::bar)
}

/// A bar as it lies, or on its other side.
struct Way<'b> {
    of: &'b Bar,
    width: Length,
    height: Length,
}

impl Way<'_> {
    fn bar(self) -> Bar {
        Bar { width: self.width, height: self.height, ..self.of.clone() }
    }
}

fn ways<'b>(rack: &'b [Bar], material: &str) -> impl Iterator<Item = Way<'b>> {
    rack.iter()
        .filter(move |bar| bar.material == material)
        .flat_map(|of| [(of.width, of.height), (of.height, of.width)].map(|(width, height)| Way { of, width, height }))
}

fn by_area(one: &Way<'_>, other: &Way<'_>) -> std::cmp::Ordering {
    let area = |way: &Way<'_>| (way.width * way.height).as_mm2();
    area(one).total_cmp(&area(other)).then(one.width.order(other.width)).then_with(|| other.of.name.cmp(&one.of.name))
}

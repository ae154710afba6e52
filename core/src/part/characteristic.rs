//! Every size that a drawing shows and an inspection measures, in one list.

use serde::{Deserialize, Serialize};

use super::{Axis, Basis, Feature, Kind, Make, Part, Size};
use crate::quantity::Length;

/// Something about a part that can be measured, with its limits.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Characteristic {
    /// The size that it must have.
    pub size: Size,
    /// What is measured.
    pub measure: Measure,
}

/// What is measured, and on which feature.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Measure {
    /// Extent of the whole part.
    Extent(Axis),
    /// Width of a tongue.
    TongueWidth(String),
    /// Height of a tongue above its shoulders.
    TongueHeight(String),
    /// Distance of a tongue's middle from the middle of the bar, across.
    TongueOffset(String),
    /// Coordinate of one hole's middle: feature, number of the hole from zero, axis.
    HolePlace(String, usize, Axis),
    /// Diameter of a plain hole: feature, number of the hole.
    HoleDiameter(String, usize),
    /// Minor diameter of a tapped hole, which is its drilled diameter.
    MinorDiameter(String, usize),
    /// Pitch diameter of a tapped hole.
    PitchDiameter(String, usize),
    /// Diameter of a hole's entry chamfer.
    ChamferDiameter(String, usize),
}

/// Lists every characteristic of a part, in the order of measuring: extents, tongues, holes.
pub fn characteristics(part: &Part) -> Vec<Characteristic> {
    let mut list = Vec::new();
    for (axis, size) in [(Axis::X, &part.length), (Axis::Y, &part.width), (Axis::Z, &part.height)] {
        list.push(Characteristic { size: size.clone(), measure: Measure::Extent(axis) });
    }
    for feature in &part.features {
        of_feature(feature, &mut list);
    }
    list
}

fn of_feature(feature: &Feature, list: &mut Vec<Characteristic>) {
    let id = || feature.id.clone();
    match &feature.kind {
        Kind::Tongue(tongue) => {
            let offset = around(
                format!("{}.offset", feature.id),
                "middle of the tongue from the middle of the bar".to_owned(),
                Length::ZERO,
                tongue.centring,
            );
            list.push(Characteristic { size: tongue.width.clone(), measure: Measure::TongueWidth(id()) });
            list.push(Characteristic { size: tongue.height.clone(), measure: Measure::TongueHeight(id()) });
            list.push(Characteristic { size: offset, measure: Measure::TongueOffset(id()) });
        }
        Kind::Slot(_) => {}
        Kind::Holes(holes) => {
            for (index, place) in holes.places.iter().enumerate() {
                let number = index + 1;
                for (axis, at, word) in [(Axis::X, place.x, "along"), (Axis::Y, place.y, "across")] {
                    let name = format!("{}.{number}.{}", feature.id, if axis == Axis::X { "x" } else { "y" });
                    let title = format!("{} {number}, place {word} the bar", feature.title);
                    let size = around(name, title, at, holes.place_tolerance);
                    list.push(Characteristic { size, measure: Measure::HolePlace(id(), index, axis) });
                }
                match &holes.make {
                    Make::Plain { diameter } | Make::Reamed { diameter } => {
                        list.push(Characteristic {
                            size: diameter.clone(),
                            measure: Measure::HoleDiameter(id(), index),
                        });
                    }
                    Make::Tapped { thread, drill, .. } => {
                        let minor = Size {
                            name: format!("{}.{number}.minor", feature.id),
                            title: format!("{} {number}, minor diameter", feature.title),
                            nominal: drill.diameter,
                            upper: thread.internal.minor_max - drill.diameter,
                            lower: thread.internal.minor_min - drill.diameter,
                            basis: Basis::Zone(thread.internal.class.clone()),
                        };
                        let pitch = Size {
                            name: format!("{}.{number}.pitch_diameter", feature.id),
                            title: format!("{} {number}, pitch diameter", feature.title),
                            nominal: thread.internal.pitch_min,
                            upper: thread.internal.pitch_max - thread.internal.pitch_min,
                            lower: Length::ZERO,
                            basis: Basis::Zone(thread.internal.class.clone()),
                        };
                        list.push(Characteristic { size: minor, measure: Measure::MinorDiameter(id(), index) });
                        list.push(Characteristic { size: pitch, measure: Measure::PitchDiameter(id(), index) });
                    }
                }
            }
        }
    }
}

fn around(name: String, title: String, nominal: Length, tolerance: Length) -> Size {
    Size { name, title, nominal, upper: tolerance, lower: -tolerance, basis: Basis::General }
}

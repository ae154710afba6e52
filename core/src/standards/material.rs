//! Materials that small parts are made of.

use serde::{Deserialize, Serialize};

use crate::quantity::{Density, Feed, Stress};

/// How a material behaves under a cutter: the group that feeds and speeds are kept by.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Group {
    /// Free-machining brass.
    Brass,
    /// Wrought aluminium.
    Aluminium,
    /// Low-carbon steel.
    Steel,
    /// Austenitic stainless steel.
    Stainless,
    /// Grey cast iron.
    CastIron,
    /// Acetal, polyethylene.
    Plastic,
}

/// A material with its properties; strengths are typical, not guaranteed.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Material {
    /// Short name in files: `brass-c36000`.
    pub name: String,
    /// As it is written on a drawing: `Brass C36000 (CuZn36Pb3), half hard`.
    pub title: String,
    /// How it cuts.
    pub group: Group,
    /// Density.
    pub density: Density,
    /// Yield or 0.2 % proof strength.
    pub yield_strength: Stress,
    /// Tensile strength.
    pub tensile_strength: Stress,
    /// Shear strength.
    pub shear_strength: Stress,
    /// Hardness in words: `about 78 HRB`.
    pub hardness: String,
    /// Starting speed of a drill's edge, high-speed steel.
    pub drill_speed: Feed,
    /// Starting speed of an end mill's edge, high-speed steel.
    pub hss_speed: Feed,
    /// Starting speed of a carbide cutter's edge on a light machine.
    pub carbide_speed: Feed,
    /// Specific cutting force at 1 mm chip thickness, and the exponent by which it grows for
    /// thinner chips (`kc = kc11 · h^-mc`).
    pub cutting_force: Stress,
    /// The exponent `mc`.
    pub cutting_exponent: f64,
    /// Where the values come from.
    pub source: String,
}

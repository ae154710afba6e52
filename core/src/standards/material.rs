//! Materials that small parts are made of.

use serde::{Deserialize, Serialize};

use super::Unknown;
use super::material_data::{ROWS, Row};
use super::unknown::{folded, shown};
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

impl Group {
    /// What cools and greases the cut on a small machine without a pump, in words. Common practice of
    /// small workshops, no source; the maker of the tool comes first.
    pub const fn fluid(self) -> &'static str {
        match self {
            Self::Brass => "dry, or a little air beside the cut; chips off with a brush",
            Self::Aluminium => {
                "cutting oil or a cutting fluid without alcohol, by brush, at every drill and thread mill; chips cleared before they weld"
            }
            Self::Steel => "cutting oil by brush, more of it at drilling and threading",
            Self::Stainless => {
                "cutting oil made for stainless, by brush, plenty of it at drilling and threading, never dry"
            }
            Self::CastIron => "dry; dust off with a vacuum cleaner, not with air",
            Self::Plastic => "dry, or a little air beside the cut; no oil, which some plastics do not bear",
        }
    }
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

/// Every material, in the order of the table.
pub fn all() -> Vec<Material> {
    ROWS.iter().map(Row::material).collect()
}

/// The material with this name; names as people say them are read too: `brass`, `6061`, `C360`.
///
/// # Errors
/// Offers the nearest names.
///
/// ```
/// use barwright_core::standards::material::material;
/// assert_eq!(material("Aluminum 6061-T6").unwrap().name, "aluminium-6061-t6");
/// ```
pub fn material(name: &str) -> Result<Material, Unknown> {
    let plain = |text: &str| folded(text).unwrap_or_default().replace(['-', '_', '.', ' '], "");
    let asked = plain(name);
    let same = |row: &&Row| {
        asked == plain(row.name) || asked == plain(row.title) || row.also.iter().any(|also| plain(also) == asked)
    };
    if asked.is_empty() {
        return Err(Unknown::new(
            format!("`{}` is no material.", shown(name)),
            format!("Known: {}.", ROWS.map(|row| row.name).join(", ")),
        ));
    }
    let found = ROWS.iter().find(same).map(Row::material);
    found.ok_or_else(|| Unknown::near("material", name, ROWS.iter().map(|row| row.name)))
}

impl Row {
    fn material(&self) -> Material {
        let [yield_strength, tensile_strength, shear_strength] = self.strength.map(Stress::mpa);
        let [drill_speed, hss_speed, carbide_speed] = self.speed.map(|speed| Feed::mm_per_min(speed * 1000.0));
        Material {
            name: self.name.to_owned(),
            title: self.title.to_owned(),
            group: self.group,
            density: Density::gram_per_mm3(self.density / 1000.0),
            yield_strength,
            tensile_strength,
            shear_strength,
            hardness: self.hardness.to_owned(),
            drill_speed,
            hss_speed,
            carbide_speed,
            cutting_force: Stress::mpa(self.cutting.0),
            cutting_exponent: self.cutting.1,
            source: self.source.to_owned(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_as_people_say_them() {
        for (said, name) in [
            ("brass", "brass-c36000"),
            ("C360", "brass-c36000"),
            ("Brass C36000", "brass-c36000"),
            ("aluminum", "aluminium-6061-t6"),
            ("6061-T6", "aluminium-6061-t6"),
            ("12L14", "steel-12l14"),
            ("POM", "acetal"),
            ("Grey iron", "iron-grey-30"),
        ] {
            assert_eq!(material(said).map(|found| found.name), Ok(name.to_owned()), "{said}");
        }
        for row in all() {
            assert_eq!(material(&row.name).as_ref(), Ok(&row), "a name leads back");
            assert_eq!(material(&row.title).as_ref(), Ok(&row), "and so does its title");
        }
    }

    #[test]
    fn what_cools_the_cut() {
        // Common practice, no source: leaded brass, iron and plastics dry, steels never.
        for row in all() {
            let dry = matches!(row.group, Group::Brass | Group::CastIron | Group::Plastic);
            assert_eq!(row.group.fluid().starts_with("dry"), dry, "{}", row.name);
            assert!(dry || row.group.fluid().contains("cutting oil"), "{}", row.name);
        }
    }

    #[test]
    fn figures_are_of_their_kind() {
        for row in all() {
            assert!(row.yield_strength <= row.tensile_strength, "{}: yield", row.name);
            let ratio = row.shear_strength / row.tensile_strength;
            assert!((0.5..=1.0).contains(&ratio), "{}: shear", row.name);
            assert!(row.hss_speed < row.carbide_speed && row.drill_speed < row.carbide_speed, "{}: speeds", row.name);
            assert!(row.density.as_gram_per_mm3() < 0.01, "{}: density in g/mm³", row.name);
        }
    }

    #[test]
    fn what_is_no_material() {
        let long = "brass".repeat(2000);
        for name in ["", " ", "-", "unobtainium", "木", long.as_str()] {
            assert!(!material(name).expect_err(name).help.is_empty(), "{name}");
        }
        assert!(material("bras-c36000").expect_err("a slip").help.contains("brass-c36000"), "offers the near one");
    }
}

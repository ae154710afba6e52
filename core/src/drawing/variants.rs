//! Random variants of every family, for the checks of their sheets.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::drawn::Dice;
use super::{Convention, Format, Paper};
use crate::family::{self, Family, ParameterKind};
use crate::part::Part;
use crate::quantity::{Dim, Length, Unit};
use crate::source::Source;
use crate::standards::stock::Bar;
use crate::variant::{self, Inputs};

const FAMILIES: [(&str, &str); 4] = [
    ("clamp-bar.yaml", include_str!("../../../families/clamp-bar.yaml")),
    ("joining-key.yaml", include_str!("../../../families/joining-key.yaml")),
    ("spacer-bar.yaml", include_str!("../../../families/spacer-bar.yaml")),
    ("tapped-plate.yaml", include_str!("../../../families/tapped-plate.yaml")),
];

/// The families, and a rack with more sections than any workshop has.
pub(super) struct House {
    pub(super) families: Vec<Family>,
    rack: Arc<[Bar]>,
}

impl House {
    pub(super) fn new() -> Self {
        let load = |(name, text): (&str, &str)| {
            family::load(&Source::new(name, text)).into_result().expect("the family is good")
        };
        let mut rack = Vec::new();
        let sides = [6.0, 8.0, 10.0, 12.0, 12.7, 16.0, 19.05, 20.0, 25.0, 25.4, 40.0, 60.0, 63.5, 80.0, 120.0];
        for material in ["brass-c36000", "aluminium-6061-t6", "steel-1018", "steel-12l14", "stainless-303"] {
            for (index, height) in sides.iter().enumerate() {
                for width in &sides[index..] {
                    rack.push(Bar {
                        name: format!("{material} {width} x {height}"),
                        material: material.to_owned(),
                        width: Length::mm(*width),
                        height: Length::mm(*height),
                        tolerance: Length::mm(0.05),
                        lengths: vec![Length::mm(3000.0)],
                        rests: Vec::new(),
                    });
                }
            }
        }
        Self { families: FAMILIES.into_iter().map(load).collect(), rack: rack.into() }
    }

    /// A variant of this family; nothing where its rules refuse it.
    pub(super) fn part(
        &self,
        family: &Family,
        like: Option<&str>,
        given: &[(&str, &str)],
        unit: Option<Unit>,
    ) -> Option<Part> {
        let given = given.iter().map(|(name, value)| ((*name).to_owned(), (*value).to_owned())).collect();
        self.derived(family, like, given, unit)
    }

    fn derived(
        &self,
        family: &Family,
        like: Option<&str>,
        given: BTreeMap<String, String>,
        unit: Option<Unit>,
    ) -> Option<Part> {
        let unit = unit.or_else(|| family.examples.iter().find(|one| Some(one.name.as_str()) == like)?.unit);
        let inputs = Inputs { unit, like: like.map(str::to_owned), given };
        variant::derive(family, &inputs, &self.rack).part
    }

    /// Every example of every family, in both conventions.
    pub(super) fn examples(&self) -> Vec<(Part, Format)> {
        let mut all = Vec::new();
        for family in &self.families {
            for example in &family.examples {
                let part = self.part(family, Some(&example.name), &[], None).expect("the example is good");
                for (convention, paper) in [(Convention::Iso, Paper::A4), (Convention::Asme, Paper::Letter)] {
                    all.push((part.clone(), Format { convention, paper, embed_font: false }));
                }
            }
        }
        all
    }

    /// A variant as the dice fall, and a form of sheet.
    pub(super) fn rolled(&self, dice: &mut Dice) -> Option<(Part, Format)> {
        let family = dice.pick(&self.families);
        let example = dice.pick(&family.examples);
        let unit = if dice.roll(3) == 0 { Unit::Inch } else { Unit::Mm };
        let mut given = BTreeMap::new();
        for parameter in &family.parameters {
            let length = |dice: &mut Dice, low: f64, high: f64| match unit {
                Unit::Mm => format!("{} mm", dice.between(low, high, 0.5)),
                Unit::Inch => format!("{} in", dice.between(low / 25.4, high / 25.4, 0.0625)),
            };
            let pick = |dice: &mut Dice, from: &[&str]| (*dice.pick(from)).to_owned();
            let text = match (parameter.kind, parameter.name.as_str()) {
                (_, "material") if dice.roll(2) == 0 => pick(dice, &["brass-c36000", "steel-1018"]),
                (_, "length") => length(dice, 20.0, 320.0),
                (_, "length_per_rail") => length(dice, 12.0, 200.0),
                (_, "width") => length(dice, 20.0, 100.0),
                (_, "thickness") => length(dice, 8.0, 25.0),
                (_, "slot_opening") => length(dice, 7.0, 14.0),
                (_, "pitch") => length(dice, 10.0, 30.0),
                (ParameterKind::Truth, _) => pick(dice, &["yes", "no"]),
                (ParameterKind::Count, _) if dice.roll(2) == 0 => (1 + dice.roll(6)).to_string(),
                (ParameterKind::Thread, _) => match unit {
                    Unit::Mm => pick(dice, &["M3", "M4", "M5", "M6"]),
                    Unit::Inch => pick(dice, &["8-32", "10-32", "1/4-20"]),
                },
                (ParameterKind::Places, _) => pick(dice, &["none", "1/1", "1/1, 2/1"]),
                (ParameterKind::Quantity(Dim::LENGTH), _) if dice.roll(12) == 0 => length(dice, 1.0, 20.0),
                _ if !parameter.one_of.is_empty() => dice.pick(&parameter.one_of).text.clone(),
                _ => continue,
            };
            if dice.roll(3) != 0 {
                given.insert(parameter.name.clone(), text);
            }
        }
        let part = self.derived(family, Some(&example.name), given, Some(unit))?;
        let convention = if dice.roll(2) == 0 { Convention::Iso } else { Convention::Asme };
        let paper = *dice.pick(&[Paper::A4, Paper::A3, Paper::Letter, Paper::Tabloid]);
        Some((part, Format { convention, paper, embed_font: false }))
    }
}

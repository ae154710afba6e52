//! From the values of a variant to its part.

use super::scope::{Scope, increment};
use super::{inside, mass};
use crate::diag::Diagnostic;
use crate::family::{BY_DECIMALS, EndsCut, Family, Formula, Sentence};
use crate::formula::{ExprKind, Fit, Value, eval};
use crate::part::{Basis, Blank, End, Ends, General, Hardware, Part, Per, Size};
use crate::quantity::{Length, Mass, Torque, Unit};
use crate::source::Span;
use crate::standards::general::{Class, general};
use crate::standards::stock::Bar;

/// The part of a variant; `None`, with a finding, where a value of the shape cannot be made.
pub(super) fn part(family: &Family, scope: &Scope, unit: Unit, findings: &mut Vec<Diagnostic>) -> Option<Part> {
    let mut refused = Vec::new();
    let part = Builder { family, scope, unit }.part(&mut refused);
    let stops = !refused.is_empty();
    findings.extend(refused);
    part.filter(|_| !stops)
}

pub(super) struct Builder<'f> {
    pub(super) family: &'f Family,
    pub(super) scope: &'f Scope,
    pub(super) unit: Unit,
}

impl Builder<'_> {
    fn part(&self, refused: &mut Vec<Diagnostic>) -> Option<Part> {
        let shape = &self.family.shape;
        let bar = self.bar(&shape.bar, refused)?;
        let Value::Material(material) = self.value(&shape.material, refused)? else { return None };
        let length = self.size(&shape.length, "length", "length over all", refused)?;
        let stock = |name: &str, title: &str, nominal: Length| Size {
            name: name.to_owned(),
            title: title.to_owned(),
            nominal,
            upper: bar.tolerance,
            lower: -bar.tolerance,
            basis: Basis::Stock,
        };
        let width = stock("bar.width", "width of the bar", bar.width);
        let height = stock("bar.height", "height of the bar", bar.height);
        let mut features = Vec::new();
        for cut in &shape.cuts {
            features.extend(self.feature(cut, refused));
        }
        let ends = match &shape.ends {
            Some(ends) => self.ends(ends, refused)?,
            None => Ends::default(),
        };
        let sawn = length.nominal + ends.left.allowance() + ends.right.allowance();
        let edge_break = match &shape.edge_break {
            Some((least, most)) => Some((self.length(least, refused)?, self.length(most, refused)?)),
            None => None,
        };
        let mut part = Part {
            family: self.family.name.clone(),
            number: self.say(&self.family.number).replace(' ', ""),
            title: self.family.title.clone(),
            unit: self.unit,
            material: (*material).clone(),
            blank: Blank { length: sawn, width: bar.width, height: bar.height, bar: bar.name.clone() },
            length,
            width,
            height,
            ends,
            features,
            general: General { name: self.general().to_owned() },
            edge_break,
            finish: shape.finish.clone(),
            mass: Mass::ZERO,
            notes: shape.notes.iter().map(|note| self.say(note)).collect(),
            hardware: self.hardware(refused),
        };
        part.mass = mass::of(&part);
        inside::check(&part, refused);
        Some(part)
    }

    /// What goes with the part.
    fn hardware(&self, refused: &mut Vec<Diagnostic>) -> Vec<Hardware> {
        let mut list = Vec::new();
        for line in &self.family.hardware {
            let Some(Value::Quantity(count)) = self.value(&line.count, refused) else { continue };
            #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "whole, from 0 to 10,000")]
            let whole = |count: f64| count as u32;
            if !(0.0..=10_000.0).contains(&count.value) || count.value.fract() != 0.0 {
                let headline = format!("{} of hardware cannot be bagged.", crate::quantity::trimmed(count.value, 2));
                refused.push(Diagnostic::refused("shape/hardware", headline).at(
                    self.family.source.name(),
                    line.count.span,
                    "a whole number from 0 to 10000 is wanted",
                ));
                continue;
            }
            let torque = line.torque.as_ref().and_then(|torque| match self.value(torque, refused) {
                Some(Value::Quantity(torque)) => Some(Torque::newton_mm(torque.value)),
                _ => None,
            });
            list.push(Hardware {
                item: self.say(&line.item),
                count: whole(count.value),
                per: if line.for_order { Per::Order } else { Per::Piece },
                key: line.key.as_ref().map(|key| self.say(key)),
                torque,
            });
        }
        list
    }

    /// The general tolerances of the drawing.
    fn general(&self) -> &str {
        match self.unit {
            Unit::Mm => &self.family.shape.general,
            Unit::Inch => &self.family.shape.general_inch,
        }
    }

    fn say(&self, sentence: &Sentence) -> String {
        sentence.template.say(self.scope, self.unit)
    }

    pub(super) fn value(&self, formula: &Formula, refused: &mut Vec<Diagnostic>) -> Option<Value> {
        match eval(&formula.expr, self.scope) {
            Ok(value) => Some(value),
            Err(fault) => {
                let span = formula.verbatim.map_or(formula.span, |start| fault.span.moved(start));
                refused.push(
                    Diagnostic::refused(fault.code, fault.what)
                        .at(self.family.source.name(), span, fault.label)
                        .note("while building the shape"),
                );
                None
            }
        }
    }

    fn bar(&self, formula: &Formula, refused: &mut Vec<Diagnostic>) -> Option<std::sync::Arc<Bar>> {
        match self.value(formula, refused)? {
            Value::Bar(bar) => Some(bar),
            _ => None,
        }
    }

    /// A length of the shape, brought to what the drawing can print.
    pub(super) fn length(&self, formula: &Formula, refused: &mut Vec<Diagnostic>) -> Option<Length> {
        let length = self.value(formula, refused)?.length()?;
        Some(length.to_nearest(increment(self.unit)))
    }

    /// A size that must be above nothing.
    pub(super) fn positive(&self, formula: &Formula, what: &str, refused: &mut Vec<Diagnostic>) -> Option<Length> {
        let length = self.length(formula, refused)?;
        if length <= Length::ZERO {
            let headline = format!("The {what} comes to {}, and must be above nothing.", self.unit.say(length));
            refused.push(Diagnostic::refused("shape/size", headline).at(
                self.family.source.name(),
                formula.span,
                "this size",
            ));
            return None;
        }
        Some(length)
    }

    /// A size with its limits: its own where it is a derived value that carries some, else the
    /// general tolerance.
    pub(super) fn size(
        &self,
        formula: &Formula,
        fallback: &str,
        what: &str,
        refused: &mut Vec<Diagnostic>,
    ) -> Option<Size> {
        let nominal = self.positive(formula, what, refused)?;
        let named = match &formula.expr.kind {
            ExprKind::Name(name) => Some(name.as_str()),
            _ => None,
        };
        let derived = named.and_then(|name| self.family.derived(name));
        let name = named.unwrap_or(fallback).to_owned();
        let title = derived.map_or_else(|| what.to_owned(), |derived| derived.title.clone());
        if let Some(limits) = derived.and_then(|derived| derived.limits.as_ref()) {
            let part = |part: &str| {
                self.scope.values.get(&format!("{name}.{part}")).and_then(Value::length).unwrap_or_default()
            };
            let (upper, lower) = (part("upper"), part("lower"));
            if upper < lower {
                let headline =
                    format!("The limits of the {what} are the wrong way round, or closer than the drawing can print.");
                refused.push(Diagnostic::refused("shape/limits", headline).at(
                    self.family.source.name(),
                    formula.span,
                    "this size",
                ));
                return None;
            }
            let zone = limits.fit.as_ref().and_then(|fit| match self.scope.values.get(fit) {
                Some(Value::Fit(Fit::Zone(zone))) => Some(zone.name()),
                _ => None,
            });
            let basis = zone.map_or(Basis::Given, Basis::Zone);
            return Some(Size { name, title, nominal, upper, lower, basis });
        }
        let told = if self.general() == BY_DECIMALS {
            // Printed with three decimals, or with its tolerance where it needs more.
            Ok(Length::inch(0.005))
        } else {
            Class::named(self.general()).and_then(|class| general(class, nominal))
        };
        match told {
            Ok(tolerance) => {
                let tolerance = tolerance.down_to(increment(self.unit));
                Some(Size { name, title, nominal, upper: tolerance, lower: -tolerance, basis: Basis::General })
            }
            Err(unknown) => {
                refused.push(
                    Diagnostic::refused(
                        "shape/general",
                        format!("The {what}, {}, has no general tolerance: {unknown}", self.unit.say(nominal)),
                    )
                    .at(self.family.source.name(), formula.span, "this size")
                    .help("Give it limits of its own: `upper` and `lower`."),
                );
                None
            }
        }
    }

    /// Ends that are sawn long and milled; none where nothing is left for milling.
    fn ends(&self, cut: &EndsCut, refused: &mut Vec<Diagnostic>) -> Option<Ends> {
        let allowance = self.length(&cut.allowance, refused)?;
        let corner = match &cut.corner {
            Some(formula) if self.length(formula, refused)? > Length::ZERO => {
                Some(self.size(formula, "corner", "radius of the corners", refused)?)
            }
            _ => None,
        };
        if allowance > Length::ZERO {
            let end = End::Milled(allowance);
            return Some(Ends { left: end, right: end, corner });
        }
        if let Some(corner) = corner {
            let headline = format!(
                "The corners are rounded by {}, and nothing is left for milling the ends.",
                self.unit.say(corner.nominal)
            );
            self.refuse("shape/ends", headline, cut.allowance.span, "above nothing, please", refused);
            return None;
        }
        Some(Ends::default())
    }

    pub(super) fn refuse(
        &self,
        code: &'static str,
        headline: String,
        span: Span,
        label: &str,
        refused: &mut Vec<Diagnostic>,
    ) {
        refused.push(Diagnostic::refused(code, headline).at(self.family.source.name(), span, label));
    }
}

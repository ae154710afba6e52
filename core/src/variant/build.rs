//! From the values of a variant to its part.

use super::scope::{Scope, increment};
use crate::diag::{Diagnostic, Origin};
use crate::family::{BY_DECIMALS, Cut, Family, Formula, HolesCut, Sentence, TongueCut};
use crate::formula::{ExprKind, Fit, Value, eval};
use crate::part::{
    Basis, Blank, Depth, Face, Feature, General, Hardware, Holes, Kind, Make, Part, Per, Place, Size, Tongue,
};
use crate::quantity::{Length, Mass, Torque, Unit};
use crate::standards::general::{Class, general};
use crate::standards::stock::Bar;
use crate::standards::thread::{Hand, Thread};

/// The most holes in one row.
const MOST_HOLES: f64 = 2000.0;

/// The part of a variant; `None`, with a finding, where a value of the shape cannot be made.
pub(super) fn part(family: &Family, scope: &Scope, unit: Unit, findings: &mut Vec<Diagnostic>) -> Option<Part> {
    let mut refused = Vec::new();
    let part = Builder { family, scope, unit }.part(&mut refused);
    let stops = !refused.is_empty();
    findings.extend(refused);
    part.filter(|_| !stops)
}

struct Builder<'f> {
    family: &'f Family,
    scope: &'f Scope,
    unit: Unit,
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
            features.extend(match cut {
                Cut::Tongue(tongue) => self.tongue(tongue, refused),
                Cut::Holes(holes) => self.holes(holes, refused),
            });
        }
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
            blank: Blank { length: length.nominal, width: bar.width, height: bar.height, bar: bar.name.clone() },
            length,
            width,
            height,
            features,
            general: General { name: self.general().to_owned() },
            edge_break,
            finish: shape.finish.clone(),
            mass: Mass::ZERO,
            notes: shape.notes.iter().map(|note| self.say(note)).collect(),
            hardware: self.hardware(refused),
        };
        part.mass = mass(&part);
        self.inside(&part, refused);
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

    fn value(&self, formula: &Formula, refused: &mut Vec<Diagnostic>) -> Option<Value> {
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
    fn length(&self, formula: &Formula, refused: &mut Vec<Diagnostic>) -> Option<Length> {
        let length = self.value(formula, refused)?.length()?;
        Some(length.to_nearest(increment(self.unit)))
    }

    /// A size that must be above nothing.
    fn positive(&self, formula: &Formula, what: &str, refused: &mut Vec<Diagnostic>) -> Option<Length> {
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
    fn size(&self, formula: &Formula, fallback: &str, what: &str, refused: &mut Vec<Diagnostic>) -> Option<Size> {
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

    fn feature(&self, id: &str, title: &str, span: crate::source::Span, kind: Kind) -> Feature {
        let source = &self.family.source;
        let origin = Origin { source: source.name().to_owned(), line: source.place(span.start).line };
        Feature { id: id.to_owned(), title: title.to_owned(), face: Face::Top, origin, kind }
    }

    fn tongue(&self, cut: &TongueCut, refused: &mut Vec<Diagnostic>) -> Option<Feature> {
        let width = self.size(&cut.width, &format!("{}.width", cut.name), "width of the tongue", refused);
        let height = self.size(&cut.height, &format!("{}.height", cut.name), "height of the tongue", refused);
        let centring = self.positive(&cut.centring, "centring of the tongue", refused);
        let tongue = Tongue { width: width?, height: height?, centring: centring? };
        Some(self.feature(&cut.name, &cut.title, cut.span, Kind::Tongue(tongue)))
    }

    fn holes(&self, cut: &HolesCut, refused: &mut Vec<Diagnostic>) -> Option<Feature> {
        let count = match self.value(&cut.count, refused)? {
            Value::Quantity(count) => count.value,
            _ => return None,
        };
        if !(1.0..=MOST_HOLES).contains(&count) || count.fract() != 0.0 {
            let headline =
                format!("{}: {} holes cannot be made in one row.", cut.title, crate::quantity::trimmed(count, 2));
            refused.push(Diagnostic::refused("shape/count", headline).at(
                self.family.source.name(),
                cut.count.span,
                "a whole number from 1 to 2000 is wanted",
            ));
            return None;
        }
        let pitch = if count > 1.0 { self.positive(&cut.pitch, "pitch of the holes", refused)? } else { Length::ZERO };
        let place_tolerance = self.positive(&cut.place_tolerance, "tolerance of the holes' places", refused)?;
        let chamfer = match &cut.chamfer {
            Some(formula) => Some(self.length(formula, refused)?).filter(|chamfer| *chamfer > Length::ZERO),
            None => None,
        };
        let make = match (&cut.tapped, &cut.diameter) {
            (Some(tapped), _) => {
                let Value::Thread(thread) = self.value(tapped, refused)? else { return None };
                let left = cut.left_hand.as_ref().map(|formula| self.value(formula, refused));
                let hand = if matches!(left, Some(Some(Value::Truth(true)))) { Hand::Left } else { Hand::Right };
                let drill = thread.tap_drill.clone();
                Make::Tapped { thread: Box::new(Thread::clone(&thread)), hand, drill }
            }
            (None, Some(diameter)) => Make::Plain {
                diameter: self.size(diameter, &format!("{}.diameter", cut.name), "diameter of the holes", refused)?,
            },
            (None, None) => return None,
        };
        let mut places = Vec::new();
        let mut at = 0.0;
        while at < count {
            // Symmetric about the middle; each place is brought to what the drawing can print.
            let x = (pitch * (at - (count - 1.0) / 2.0)).to_nearest(increment(self.unit));
            places.push(Place { x, y: Length::ZERO });
            at += 1.0;
        }
        let holes = Holes { places, place_tolerance, depth: Depth::Through, make, chamfer };
        Some(self.feature(&cut.name, &cut.title, cut.span, Kind::Holes(holes)))
    }

    /// What no family may make, whatever its rules say: cuts that leave the bar.
    fn inside(&self, part: &Part, refused: &mut Vec<Diagnostic>) {
        let mut refuse = |headline: String| {
            refused.push(
                Diagnostic::refused("shape/outside", headline).help("Add a rule to the family that says so before."),
            );
        };
        for (feature, tongue) in part.tongues() {
            for (size, bar, word) in [(&tongue.width, &part.width, "wide"), (&tongue.height, &part.height, "high")] {
                if size.most() >= bar.nominal {
                    let (size, bar) = (self.unit.say(size.nominal), self.unit.say(bar.nominal));
                    refuse(format!("{}: {size} {word} does not fit on a bar {bar} {word}.", feature.title));
                }
            }
        }
        for (feature, holes) in part.holes() {
            let radius = match &holes.make {
                Make::Plain { diameter } => diameter.most() / 2.0,
                Make::Tapped { thread, .. } => thread.major / 2.0,
            };
            let radius = holes.chamfer.map_or(radius, |chamfer| radius.max(chamfer / 2.0));
            let land = part.tongues().fold(part.width.nominal, |land, (_, tongue)| land.min(tongue.width.least()));
            let out = holes.places.iter().any(|place| {
                place.x.abs() + radius >= part.length.nominal / 2.0 || place.y.abs() + radius >= land / 2.0
            });
            if out {
                refuse(format!("{}: a hole leaves the face it is cut into.", feature.title));
            }
            let touch = holes.places.windows(2).any(|pair| match pair {
                [a, b] => (b.x - a.x).abs() <= radius * 2.0,
                _ => false,
            });
            if touch {
                refuse(format!("{}: two holes run into each other.", feature.title));
            }
        }
    }
}

/// Mass of the finished piece at nominal sizes; chamfers and edge breaks are left out, and a
/// thread counts as a bore half way between its minor and its major diameter.
fn mass(part: &Part) -> Mass {
    let (length, width, height) =
        (part.length.nominal.as_mm(), part.width.nominal.as_mm(), part.height.nominal.as_mm());
    let mut volume = length * width * height;
    for (_, tongue) in part.tongues() {
        volume -= length * (width - tongue.width.middle().as_mm()) * tongue.height.middle().as_mm();
    }
    for (_, holes) in part.holes() {
        let diameter = match &holes.make {
            Make::Plain { diameter } => diameter.middle(),
            Make::Tapped { thread, drill, .. } => (drill.diameter + thread.major) / 2.0,
        };
        let bore = std::f64::consts::FRAC_PI_4 * diameter.as_mm() * diameter.as_mm() * height;
        for _ in &holes.places {
            volume -= bore;
        }
    }
    Mass::gram(volume * part.material.density.as_gram_per_mm3())
}

//! From the cuts of a family to the features of a part.

use super::build::Builder;
use super::scope::increment;
use crate::diag::{Diagnostic, Origin};
use crate::family::{Cut, CutKind, Formula, HeadCut, HolesCut, MakeCut, PlacesCut, Side, SlotCut, TongueCut};
use crate::formula::Value;
use crate::part::{Basis, Depth, Face, Feature, Head, Holes, Kind, Make, Place, Size, Slot, Tongue};
use crate::quantity::{Angle, Dim, Length, trimmed};
use crate::standards::thread::{Hand, Thread};

/// The most holes in one group, or in one row of it.
const MOST_HOLES: u32 = 2000;

impl Builder<'_> {
    /// The feature of a cut; `None` where it is not wanted, or refused.
    pub(super) fn feature(&self, cut: &Cut, refused: &mut Vec<Diagnostic>) -> Option<Feature> {
        if let Some(when) = &cut.when
            && self.value(when, refused)? != Value::Truth(true)
        {
            return None;
        }
        let kind = match &cut.kind {
            CutKind::Tongue(tongue) => Kind::Tongue(self.tongue(&cut.name, tongue, refused)?),
            CutKind::Holes(holes) => Kind::Holes(self.holes(cut, holes, refused)?),
            CutKind::Slot(slot) => Kind::Slot(self.slot(&cut.name, slot, refused)?),
        };
        let source = &self.family.source;
        let origin = Origin { source: source.name().to_owned(), line: source.place(cut.span.start).line };
        let face = match cut.from {
            Side::Top => Face::Top,
            Side::Bottom => Face::Bottom,
            Side::Left => Face::Left,
            Side::Right => Face::Right,
        };
        Some(Feature { id: cut.name.clone(), title: cut.title.clone(), face, origin, kind })
    }

    fn tongue(&self, name: &str, cut: &TongueCut, refused: &mut Vec<Diagnostic>) -> Option<Tongue> {
        let width = self.size(&cut.width, &format!("{name}.width"), "width of the tongue", refused);
        let height = self.size(&cut.height, &format!("{name}.height"), "height of the tongue", refused);
        let centring = self.positive(&cut.centring, "centring of the tongue", refused);
        Some(Tongue { width: width?, height: height?, centring: centring? })
    }

    fn slot(&self, name: &str, cut: &SlotCut, refused: &mut Vec<Diagnostic>) -> Option<Slot> {
        let width = self.size(&cut.width, &format!("{name}.width"), "width of the slot", refused);
        let length = match &cut.length {
            Some(formula) => Some(self.size(formula, &format!("{name}.length"), "length of the slot", refused)?),
            None => None,
        };
        let depth = self.depth(cut.depth.as_ref(), name, "depth of the slot", refused);
        let place = self.middle(cut.middle.as_ref(), refused);
        let place_tolerance = self.positive(&cut.place_tolerance, "tolerance of the slot's place", refused);
        let mut place = place?;
        if length.is_none() {
            place.x = Length::ZERO;
        }
        Some(Slot { place, place_tolerance: place_tolerance?, length, width: width?, depth: depth? })
    }

    fn depth(&self, formula: Option<&Formula>, name: &str, what: &str, refused: &mut Vec<Diagnostic>) -> Option<Depth> {
        match formula {
            None => Some(Depth::Through),
            Some(formula) => self.size(formula, &format!("{name}.depth"), what, refused).map(Depth::Blind),
        }
    }

    fn middle(&self, pair: Option<&(Formula, Formula)>, refused: &mut Vec<Diagnostic>) -> Option<Place> {
        let Some((x, y)) = pair else { return Some(Place { x: Length::ZERO, y: Length::ZERO }) };
        Some(Place { x: self.length(x, refused)?, y: self.length(y, refused)? })
    }

    fn holes(&self, cut: &Cut, holes: &HolesCut, refused: &mut Vec<Diagnostic>) -> Option<Holes> {
        let middle = self.middle(holes.middle.as_ref(), refused)?;
        let mut places = self.places(cut, &holes.places, refused)?;
        for place in &mut places {
            // Each place is brought to what the drawing can print.
            let snap = |length: Length| length.to_nearest(increment(self.unit));
            *place = Place { x: snap(place.x + middle.x), y: snap(place.y + middle.y) };
        }
        let place_tolerance = self.positive(&holes.place_tolerance, "tolerance of the holes' places", refused)?;
        let chamfer = match &holes.chamfer {
            Some(formula) => Some(self.length(formula, refused)?).filter(|chamfer| *chamfer > Length::ZERO),
            None => None,
        };
        let depth = self.depth(holes.depth.as_ref(), &cut.name, "depth of the holes", refused)?;
        let make = self.make(&cut.name, &holes.make, &depth, refused)?;
        let head = match &holes.head {
            Some(head) => Some(self.head(&cut.name, head, refused)?),
            None => None,
        };
        Some(Holes { places, place_tolerance, depth, make, chamfer, head })
    }

    fn make(&self, name: &str, make: &MakeCut, depth: &Depth, refused: &mut Vec<Diagnostic>) -> Option<Make> {
        let id = format!("{name}.diameter");
        match make {
            MakeCut::Plain { diameter } => {
                let diameter = self.size(diameter, &id, "diameter of the holes", refused)?;
                Some(Make::Plain { diameter })
            }
            MakeCut::Reamed { diameter } => {
                let diameter = self.size(diameter, &id, "diameter of the reamed holes", refused)?;
                Some(Make::Reamed { diameter })
            }
            MakeCut::Tapped { thread, left_hand, thread_depth } => {
                let Value::Thread(thread) = self.value(thread, refused)? else { return None };
                let left = left_hand.as_ref().map(|formula| self.value(formula, refused));
                let hand = if matches!(left, Some(Some(Value::Truth(true)))) { Hand::Left } else { Hand::Right };
                let full = match (thread_depth, depth.blind()) {
                    (Some(formula), Some(drilled)) => Some(self.full_thread(name, formula, drilled, refused)?),
                    _ => None,
                };
                let drill = thread.tap_drill.clone();
                Some(Make::Tapped { thread: Box::new(Thread::clone(&thread)), hand, drill, full })
            }
        }
    }

    /// Full thread down to a depth at least, and to the bottom of the drilled hole at most.
    fn full_thread(
        &self,
        name: &str,
        formula: &Formula,
        drilled: &Size,
        refused: &mut Vec<Diagnostic>,
    ) -> Option<Size> {
        let size = self.size(formula, &format!("{name}.thread_depth"), "depth of the thread", refused)?;
        let room = drilled.least() - size.nominal;
        if room <= Length::ZERO {
            let headline = format!(
                "The thread would reach {} deep in a hole of {}.",
                self.unit.say(size.nominal),
                self.unit.say(drilled.least())
            );
            self.refuse("shape/thread-depth", headline, formula.span, "deeper than the hole", refused);
            return None;
        }
        match size.basis {
            Basis::General => Some(Size { upper: room, lower: Length::ZERO, basis: Basis::Given, ..size }),
            _ => Some(size),
        }
    }

    fn head(&self, name: &str, head: &HeadCut, refused: &mut Vec<Diagnostic>) -> Option<Head> {
        match head {
            HeadCut::Counterbore { diameter, depth } => {
                let diameter = self.size(
                    diameter,
                    &format!("{name}.counterbore_diameter"),
                    "diameter of the counterbore",
                    refused,
                );
                let depth = self.size(depth, &format!("{name}.counterbore_depth"), "depth of the counterbore", refused);
                Some(Head::Counterbore { diameter: diameter?, depth: depth? })
            }
            HeadCut::Countersink { diameter, angle } => {
                let id = format!("{name}.countersink_diameter");
                let diameter = self.size(diameter, &id, "diameter of the countersink", refused)?;
                let Value::Quantity(value) = self.value(angle, refused)? else { return None };
                let degree = Angle::rad(value.value).as_degree();
                if value.dim != Dim::ANGLE || !(60.0..=120.0).contains(&degree) {
                    let headline = format!("A countersink of {}° is none: 60° to 120° are.", trimmed(degree, 1));
                    self.refuse("shape/countersink", headline, angle.span, "this angle", refused);
                    return None;
                }
                Some(Head::Countersink { diameter, angle: Angle::rad(value.value) })
            }
        }
    }

    /// Where the holes are, counted from their own middle.
    fn places(&self, cut: &Cut, places: &PlacesCut, refused: &mut Vec<Diagnostic>) -> Option<Vec<Place>> {
        match places {
            PlacesCut::Row { count, pitch } => {
                let count = self.count(cut, count, refused)?;
                let pitch = self.pitch(count, pitch, refused)?;
                let at = |n| along(n, count, pitch);
                Some((0..count).map(|n| Place { x: at(n), y: Length::ZERO }).collect())
            }
            PlacesCut::Grid { columns, rows, pitch, row_pitch, omit } => {
                let (wide, high) = (self.count(cut, columns, refused)?, self.count(cut, rows, refused)?);
                if wide * high > MOST_HOLES {
                    let headline = format!("{}: {wide} × {high} holes are more than {MOST_HOLES}.", cut.title);
                    self.refuse("shape/count", headline, columns.span, "fewer, please", refused);
                    return None;
                }
                let pitch = self.pitch(wide, pitch, refused)?;
                let row_pitch = self.pitch(high, row_pitch, refused)?;
                let omitted = match omit {
                    Some(formula) => self.omitted(cut, formula, (wide, high), refused)?,
                    None => Vec::new(),
                };
                let mut list = Vec::new();
                for row in 0..high {
                    for column in 0..wide {
                        if !omitted.contains(&(column + 1, row + 1)) {
                            list.push(Place { x: along(column, wide, pitch), y: along(row, high, row_pitch) });
                        }
                    }
                }
                if list.is_empty() {
                    let headline = format!("{}: every place of the grid is left out.", cut.title);
                    self.refuse("shape/count", headline, columns.span, "no hole is left", refused);
                    return None;
                }
                Some(list)
            }
            PlacesCut::At(pairs) => pairs.iter().map(|pair| self.middle(Some(pair), refused)).collect(),
        }
    }

    fn omitted(
        &self,
        cut: &Cut,
        formula: &Formula,
        (columns, rows): (u32, u32),
        refused: &mut Vec<Diagnostic>,
    ) -> Option<Vec<(u32, u32)>> {
        let Value::Places(places) = self.value(formula, refused)? else { return None };
        if let Some((column, row)) = places.iter().find(|(column, row)| *column > columns || *row > rows) {
            let headline = format!("{}: {column}/{row} is no place of {columns} columns and {rows} rows.", cut.title);
            self.refuse("shape/omit", headline, formula.span, "outside of the grid", refused);
            return None;
        }
        Some(places.to_vec())
    }

    fn count(&self, cut: &Cut, formula: &Formula, refused: &mut Vec<Diagnostic>) -> Option<u32> {
        let Value::Quantity(count) = self.value(formula, refused)? else { return None };
        let found = (1..=MOST_HOLES).find(|number| (f64::from(*number) - count.value).abs() < 1e-9);
        if found.is_none() {
            let headline = format!("{}: {} holes cannot be made in one row.", cut.title, trimmed(count.value, 2));
            let label = "a whole number from 1 to 2000 is wanted";
            self.refuse("shape/count", headline, formula.span, label, refused);
        }
        found
    }

    fn pitch(&self, count: u32, formula: &Formula, refused: &mut Vec<Diagnostic>) -> Option<Length> {
        if count > 1 { self.positive(formula, "pitch of the holes", refused) } else { Some(Length::ZERO) }
    }
}

/// The place of a number, from zero, in a row that is symmetric about its middle.
fn along(number: u32, count: u32, pitch: Length) -> Length {
    pitch * (f64::from(number) - f64::from(count - 1) / 2.0)
}

//! The virtual first piece: every size of the drawing measured on what the motion has left.

use std::collections::BTreeSet;

use serde::Serialize;

use super::fault::{Fault, fault};
use super::hole::Hole;
use super::judge::Judge;
use super::slot::{Channel, Ended};
use super::tongue::Tongue;
use crate::part::{Attribute, Axis, Characteristic, End, Measure, Part, Quality, Side, attributes, called, inspected};
use crate::quantity::{Length, trimmed};
use crate::standards::thread::Hand;

/// One size of the drawing, measured on the virtual first piece.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Reading {
    /// What is measured, with its limits.
    pub characteristic: Characteristic,
    /// What it measures; `None` where the program makes nothing that could be measured, or
    /// leaves it to the bench.
    pub measured: Option<Length>,
    /// It lies within its limits, or is left to the bench on purpose.
    pub holds: bool,
}

/// Something that is no length, looked at on the virtual first piece.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Check {
    /// What is looked at, and what it must be.
    pub attribute: Attribute,
    /// What it is, in the same words; `None` where there is nothing to look at, or it is left to
    /// the bench.
    pub found: Option<String>,
    /// It is as it must be, or is left to the bench on purpose.
    pub holds: bool,
}

/// Which threads a person cuts at the bench: the program only drills those, and must mill every
/// other one.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Tapping(BTreeSet<String>);

impl Tapping {
    /// The holes of these features are tapped at the bench.
    pub fn by_hand<N: Into<String>>(features: impl IntoIterator<Item = N>) -> Self {
        Self(features.into_iter().map(Into::into).collect())
    }

    /// Whether the holes of a feature are tapped at the bench.
    pub fn leaves(&self, feature: &str) -> bool {
        self.0.contains(feature)
    }
}

/// A value that was measured, the line that made it, and whether it is left to the bench.
#[derive(Clone, Copy, Debug, Default)]
struct Found {
    value: Option<f64>,
    line: usize,
    by_hand: bool,
    /// It comes so from bar and saw.
    stock: bool,
}

/// Everything that is measured.
struct Made {
    holes: Vec<Hole>,
    channels: Vec<Channel>,
    ended: Ended,
    tongue: Option<Tongue>,
}

impl Judge<'_> {
    /// Measures everything, and tells what is left over.
    pub(super) fn measure(&mut self, part: &Part, tapping: &Tapping) -> (Vec<Reading>, Vec<Check>) {
        let holes: Vec<Hole> = (0..self.want.nests.len()).map(|index| self.hole(index, tapping)).collect();
        let made = Made {
            holes,
            channels: (0..self.want.slots.len()).map(|index| self.channel(index)).collect(),
            ended: self.ended(),
            tongue: self.tongue(part),
        };
        let list = inspected(part);
        let mut readings = Vec::with_capacity(list.len());
        for characteristic in list {
            let found = self.reading(part, &characteristic, &made);
            let measured = found.value.map(Length::mm);
            let good = match measured {
                Some(measured) => characteristic.size.holds(measured),
                None => found.by_hand,
            };
            if !good {
                let size = &characteristic.size;
                let what = match measured {
                    Some(measured) => format!(
                        "{}: {}, limits {} to {}.",
                        called(part, &characteristic),
                        self.say(measured.as_mm()),
                        self.say(size.least().as_mm()),
                        self.say(size.most().as_mm())
                    ),
                    None => format!("{}: there is nothing to measure.", called(part, &characteristic)),
                };
                self.tell_measure(found.line, fault("proof/size", what, "The piece is not the one on the drawing."));
            }
            // No motion makes the blank: it comes so from bar and saw, and is measured at the bench.
            readings.push(Reading { characteristic, measured: measured.filter(|_| !found.stock), holds: good });
        }
        let checks = attributes(part).into_iter().map(|attribute| self.check(attribute, &made.holes)).collect();
        (readings, checks)
    }

    /// Looks at what is no length.
    fn check(&self, attribute: Attribute, holes: &[Hole]) -> Check {
        let (Quality::Hand(feature) | Quality::Cone(feature)) = &attribute.quality;
        let mine = || {
            let all = self.want.nests.iter().zip(holes);
            all.filter(|(nest, _)| nest.feature == feature).map(|(nest, hole)| (nest.number + 1, hole))
        };
        if matches!(attribute.quality, Quality::Cone(_)) {
            let said = |hole: &Hole| hole.cone.map(|angle| format!("{}°", trimmed(angle.as_degree(), 1)));
            let wrong = mine().find(|(_, hole)| said(hole).as_ref() != Some(&attribute.wanted));
            let found = match wrong {
                Some((number, hole)) => said(hole).map(|is| format!("{is} in hole {number}")),
                None => mine().any(|_| true).then(|| attribute.wanted.clone()),
            };
            return Check { attribute, found, holds: wrong.is_none() };
        }
        let word = |hand| if hand == Hand::Right { "right" } else { "left" };
        let wrong = mine()
            .find_map(|(number, hole)| Some((number, word(hole.hand?))).filter(|(_, is)| *is != attribute.wanted));
        let found = match wrong {
            Some((number, is)) => Some(format!("{is} in hole {number}")),
            None => mine().any(|(_, hole)| hole.hand.is_some()).then(|| attribute.wanted.clone()),
        };
        let good = wrong.is_none() && mine().all(|(_, hole)| hole.hand.is_some() || hole.by_hand);
        Check { attribute, found, holds: good }
    }

    /// A finding about the finished piece, even where its line has told another of the kind.
    pub(super) fn tell_measure(&mut self, line: usize, fault: Fault) {
        self.book.tell(line, self.words(line), fault);
    }

    fn reading(&self, part: &Part, what: &Characteristic, made: &Made) -> Found {
        let find = |feature: &str, number: usize| {
            self.want.index(feature, number).and_then(|index| made.holes.get(index)).copied().unwrap_or_default()
        };
        let channel = |feature: &str| {
            let index = self.want.slots.iter().position(|trench| trench.feature == feature);
            index.and_then(|index| made.channels.get(index)).copied().unwrap_or_default()
        };
        let stock = |extent: Length| Found { value: Some(extent.as_mm()), stock: true, ..Found::default() };
        let wall = |which: usize| {
            let (value, line) = made.tongue.map_or((None, 0), |tongue| (Some(tongue[which].0), tongue[which].1));
            Found { value, line, ..Found::default() }
        };
        let drilled = |hole: Hole, value: Option<f64>| Found { value, line: hole.lines[0], ..Found::default() };
        let milled = |hole: Hole, value: Option<f64>| Found {
            value,
            line: hole.lines[1],
            by_hand: hole.by_hand,
            ..Found::default()
        };
        let headed = |hole: Hole, value: Option<f64>| Found { value, line: hole.lines[2], ..Found::default() };
        let cut = |channel: Channel, value: Option<f64>| Found { value, line: channel.line, ..Found::default() };
        match &what.measure {
            Measure::Extent(Axis::X) => match (&self.want.end, part.ends.left) {
                (None, _) => stock(part.blank.length),
                // The other end is as the saw left it: there is no length yet.
                (Some(_), End::Sawn(_) | End::Milled(_)) => stock(part.length.nominal),
                (Some(_), End::Finished) => {
                    let left = -part.length.nominal.as_mm() / 2.0;
                    let value = made.ended.at.map(|at| at - left);
                    Found { value, line: made.ended.line, ..Found::default() }
                }
            },
            Measure::CornerRadius => {
                let value = made.ended.corner;
                Found { value, line: made.ended.line, ..Found::default() }
            }
            Measure::Extent(Axis::Y) => stock(part.blank.width),
            Measure::Extent(Axis::Z) => stock(part.blank.height),
            Measure::TongueWidth(_) => wall(0),
            Measure::TongueHeight(_) => wall(1),
            Measure::TongueOffset(_) => wall(2),
            Measure::HolePlace(feature, number, axis) => {
                let hole = find(feature, *number);
                drilled(hole, hole.place.map(|place| if *axis == Axis::X { place.x } else { place.y }))
            }
            Measure::HoleDiameter(feature, number) | Measure::MinorDiameter(feature, number) => {
                let hole = find(feature, *number);
                drilled(hole, hole.drilled)
            }
            Measure::PitchDiameter(feature, number) => {
                let hole = find(feature, *number);
                milled(hole, hole.pitch)
            }
            Measure::MajorDiameter(feature, number) => {
                let hole = find(feature, *number);
                milled(hole, hole.major)
            }
            Measure::Lead(feature, number) => {
                let hole = find(feature, *number);
                milled(hole, hole.lead)
            }
            Measure::ThreadDepth(feature, number) => {
                let hole = find(feature, *number);
                milled(hole, hole.threaded)
            }
            Measure::ChamferDiameter(feature, number) => {
                let hole = find(feature, *number);
                drilled(hole, hole.chamfer)
            }
            Measure::HoleDepth(feature, number) => {
                let hole = find(feature, *number);
                drilled(hole, hole.deep)
            }
            Measure::HeadDiameter(feature, number) => {
                let hole = find(feature, *number);
                headed(hole, hole.head)
            }
            Measure::HeadDepth(feature, number) => {
                let hole = find(feature, *number);
                headed(hole, hole.head_deep)
            }
            Measure::SlotPlace(feature, axis) => {
                let channel = channel(feature);
                cut(channel, if *axis == Axis::X { channel.x } else { channel.y })
            }
            Measure::SlotWidth(feature) => cut(channel(feature), channel(feature).width),
            Measure::SlotLength(feature) => cut(channel(feature), channel(feature).length),
            Measure::SlotDepth(feature) => cut(channel(feature), channel(feature).depth),
            Measure::EndDistance(feature, end) => self.end_distance(part, feature, *end, &made.holes),
        }
    }

    /// From an end of the blank to the nearest middle of a group.
    fn end_distance(&self, part: &Part, feature: &str, end: Side, holes: &[Hole]) -> Found {
        let half = part.blank.length.as_mm() / 2.0;
        let mine = self.want.nests.iter().zip(holes).filter(|(nest, _)| nest.feature == feature);
        let places = mine.filter_map(|(_, hole)| {
            let x = hole.place?.x;
            Some((if end == Side::Low { half + x } else { half - x }, hole.lines[0]))
        });
        let nearest = places.min_by(|a, b| a.0.total_cmp(&b.0));
        Found { value: nearest.map(|(away, _)| away), line: nearest.map_or(0, |(_, line)| line), ..Found::default() }
    }
}

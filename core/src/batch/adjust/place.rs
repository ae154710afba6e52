//! Places: what the datum, the axes and the drill's point make, and no tool's offset.

use super::read::Read;
use super::{Adjustment, Correction, Judged, Verdict};
use crate::diag::Diagnostic;
use crate::part::{Axis, Face, Measure, Part};
use crate::plan::Plan;
use crate::quantity::{Length, Unit};

/// The axis along which a reading tells a place, if it tells one.
pub(super) fn axis_of(read: &Read) -> Option<Axis> {
    match &read.characteristic.measure {
        Measure::HolePlace(_, _, axis) | Measure::SlotPlace(_, axis) => Some(*axis),
        Measure::TongueOffset(_) => Some(Axis::Y),
        _ => None,
    }
}

/// The face that a place lies in.
pub(super) fn face_of(part: &Part, read: &Read) -> Face {
    let feature = match &read.characteristic.measure {
        Measure::HolePlace(feature, ..) | Measure::SlotPlace(feature, _) | Measure::TongueOffset(feature) => {
            part.feature(feature)
        }
        _ => None,
    };
    feature.map_or(Face::Top, |feature| feature.face)
}

/// Below this a shift is left alone: no edge finder finds a zero nearer. Common practice, no source.
const WORTH: Length = Length::mm(0.01);

/// Judges all places along one axis together by the straight line through what they are off: its
/// height where the zero lies is the datum's part, its slope that of the axis, and what lies beside
/// it is neither.
pub(super) fn judge(
    (part, plan, mill): (&Part, &Plan, Unit),
    (face, axis): (Face, Axis),
    readings: &[&Read],
    done: &mut Adjustment,
    findings: &mut Vec<Diagnostic>,
) {
    let places: Vec<(&Read, Length, Length)> = readings
        .iter()
        .filter_map(|read| {
            let measured = read.mean()?;
            Some((*read, measured, measured - read.characteristic.size.nominal))
        })
        .collect();
    if places.is_empty() {
        return;
    }
    let line = Line::through(&places);
    let say = |length: Length| part.unit.say(length);
    let word = axis.letter();
    let cause = line.told(part.unit, axis);
    for (read, measured, off) in &places {
        let size = &read.characteristic.size;
        let holds = read.holds();
        let text = if holds {
            format!("within limits, {} off: leave it", say(off.abs()))
        } else {
            format!("{} off its place; {cause}", say(off.abs()))
        };
        done.judged.push(Judged {
            name: size.name.clone(),
            title: size.title.clone(),
            least: size.least(),
            most: size.most(),
            aim: size.nominal,
            read: read.lengths().to_vec(),
            measured: Some(*measured),
            verdict: match line.cause {
                Cause::Datum | Cause::Axis | Cause::Neither if holds => Verdict::Good,
                Cause::Datum => Verdict::Corrected,
                Cause::Axis | Cause::Neither => Verdict::NotByOffset,
            },
            text,
        });
    }
    let shifts = match line.cause {
        Cause::Datum => true,
        Cause::Axis => line.datum.abs() >= WORTH,
        Cause::Neither => false,
    };
    if !shifts || places.iter().all(|(read, ..)| read.holds()) {
        return;
    }
    // The zero follows the error: what was cut too far to the right was counted from a zero too far
    // to the right, and goes back.
    // Turned over or upright on the right end, one axis of the part points the other way.
    let turned = matches!((face, axis), (Face::Bottom, Axis::Y) | (Face::Left, Axis::X));
    let by = (if turned { line.datum } else { -line.datum }).to_nearest(Length::mm(0.001));
    let off = mill.say(line.datum.abs());
    let why = match (line.cause, places.as_slice()) {
        (Cause::Axis, _) => format!("what is off at the zero along {word}, the steps of the axis taken out: {off}"),
        (Cause::Datum | Cause::Neither, [_]) => {
            format!("one place along {word} is {off} off; no offset of a tool mends a place")
        }
        (Cause::Datum | Cause::Neither, many) => {
            format!("mean of {} places along {word}: {off} off; no offset of a tool mends a place", many.len())
        }
    };
    let own = plan.setups.iter().find(|setup| setup.pose.face() == face && !setup.pose.mills_an_end());
    let setup = own.filter(|_| plan.setups.len() > 1).map(|setup| setup.setup.number);
    done.corrections.push(Correction::Datum { setup, axis, by, why });
    if places.len() == 1 {
        findings.push(
            Diagnostic::caution(
                "adjust/one-place",
                format!("One reading along {word} cannot tell the datum from the axis."),
            )
            .help("Measure another place far from it."),
        );
    }
}

/// What explains the errors of places along one axis.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Cause {
    /// All are off alike.
    Datum,
    /// They grow with the way, beside what the datum is off.
    Axis,
    /// They do not lie on a line.
    Neither,
}

/// The straight line through the errors, by least squares.
struct Line {
    cause: Cause,
    /// What the datum is off: the mean where all are off alike, else the line's height at the zero.
    datum: Length,
    /// Error for each millimetre of the way.
    slope: f64,
}

impl Line {
    /// What explains the errors, in words.
    fn told(&self, unit: Unit, axis: Axis) -> String {
        let (datum, word) = (unit.say(self.datum.abs()), axis.letter());
        match self.cause {
            Cause::Datum => format!("the datum lies {datum} off along {word}: find the middle again"),
            Cause::Axis => {
                let over = Length::mm(100.0);
                let besides = if self.datum.abs() < WORTH {
                    "the datum is right".to_owned()
                } else {
                    format!("the datum besides lies {datum} off along {word}")
                };
                format!(
                    "the error grows by {} in {}: the steps of the axis; set them true; {besides}",
                    unit.say((over * self.slope).abs()),
                    unit.say(over)
                )
            }
            Cause::Neither => {
                "neither the datum nor the axis explains it: backlash, a part that moved, a drill that wandered"
                    .to_owned()
            }
        }
    }

    fn through(places: &[(&Read, Length, Length)]) -> Self {
        let count = places.iter().fold(0.0, |count, _| count + 1.0);
        let mean = places.iter().map(|(_, _, off)| *off).sum::<Length>() / count;
        let rest = |explained: &dyn Fn(Length) -> Length| {
            places
                .iter()
                .map(|(read, _, off)| (*off - explained(read.characteristic.size.nominal)).abs())
                .fold(Length::ZERO, Length::max)
        };
        let tight = places.iter().map(|(read, ..)| read.characteristic.size.upper).fold(Length::mm(1.0), Length::min);
        if rest(&|_| mean) <= tight / 2.0 {
            return Self { cause: Cause::Datum, datum: mean, slope: 0.0 };
        }
        match slope(places, mean) {
            Some((slope, middle)) if rest(&|at| mean + (at - middle) * slope) <= tight / 2.0 => {
                Self { cause: Cause::Axis, datum: mean - middle * slope, slope }
            }
            _ => Self { cause: Cause::Neither, datum: mean, slope: 0.0 },
        }
    }
}

/// Error for each millimetre of the way, and the middle of the places; nothing where all places
/// are the same.
fn slope(places: &[(&Read, Length, Length)], mean: Length) -> Option<(f64, Length)> {
    let count = places.iter().fold(0.0, |count, _| count + 1.0);
    let nominal = |read: &Read| read.characteristic.size.nominal;
    let middle = places.iter().map(|(read, ..)| nominal(read)).sum::<Length>() / count;
    let square: f64 = places.iter().map(|(read, ..)| (nominal(read) - middle).as_mm()).map(|x| x * x).sum();
    let product: f64 =
        places.iter().map(|(read, _, off)| (nominal(read) - middle).as_mm() * (*off - mean).as_mm()).sum();
    (square > 1e-6).then(|| (product / square, middle))
}

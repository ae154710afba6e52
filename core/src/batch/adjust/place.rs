//! Places: what the datum, the axes and the drill's point make, and no tool's offset.

use super::read::Read;
use super::{Adjustment, Correction, Judged, Verdict};
use crate::diag::Diagnostic;
use crate::part::{Axis, Face, Measure, Part};
use crate::plan::Plan;
use crate::quantity::{Length, Unit, trimmed};

/// The axis along which a reading tells a place, if it tells one.
pub(super) fn axis_of(read: &Read) -> Option<Axis> {
    match &read.characteristic.measure {
        Measure::HolePlace(_, _, axis) => Some(*axis),
        Measure::TongueOffset(_) => Some(Axis::Y),
        _ => None,
    }
}

/// The face that a place lies in.
pub(super) fn face_of(part: &Part, read: &Read) -> Face {
    let feature = match &read.characteristic.measure {
        Measure::HolePlace(feature, ..) | Measure::TongueOffset(feature) => part.feature(feature),
        _ => None,
    };
    feature.map_or(Face::Top, |feature| feature.face)
}

/// Judges all places along one axis together: all off alike is the datum, growing with the
/// distance is the axis, anything else is neither.
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
    let count = places.iter().fold(0.0, |count, _| count + 1.0);
    if places.is_empty() {
        return;
    }
    let mean = places.iter().map(|(_, _, off)| *off).sum::<Length>() / count;
    let rest = |explained: &dyn Fn(Length) -> Length| {
        places
            .iter()
            .map(|(read, _, off)| (*off - explained(read.characteristic.size.nominal)).abs())
            .fold(Length::ZERO, Length::max)
    };
    let tight = places.iter().map(|(read, ..)| read.characteristic.size.upper).fold(Length::mm(1.0), Length::min);
    let good = |read: &Read, measured| read.characteristic.size.holds(measured);
    let all_good = places.iter().all(|(read, measured, _)| good(read, *measured));
    let say = |length: Length| part.unit.say(length);
    let alike = rest(&|_| mean) <= tight / 2.0;
    let slope = slope(&places, mean);
    let grows = slope.is_some_and(|(slope, middle)| rest(&|at| mean + (at - middle) * slope) <= tight / 2.0);
    let word = axis.letter();
    let cause = if alike {
        format!("the datum lies {} off along {word}: find the middle again", say(mean.abs()))
    } else if let (true, Some((slope, _))) = (grows, slope) {
        let over = Length::mm(100.0);
        format!(
            "the error grows by {} in {}: the steps of the axis, not the datum; set them true",
            say((over * slope).abs()),
            say(over)
        )
    } else {
        "neither the datum nor the axis explains it: backlash, a part that moved, a drill that wandered".to_owned()
    };
    for (read, measured, off) in &places {
        let size = &read.characteristic.size;
        let holds = good(read, *measured);
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
            measured: Some(*measured),
            verdict: if holds { Verdict::Good } else { Verdict::NotByOffset },
            text,
        });
    }
    if all_good {
        return;
    }
    if alike {
        // The zero follows the error: what was cut too far to the right was counted from a zero too
        // far to the right, and goes back.
        // Turned over or upright on the right end, one axis of the part points the other way.
        let turned = matches!((face, axis), (Face::Bottom, Axis::Y) | (Face::Left, Axis::X));
        let by = (if turned { mean } else { -mean }).to_nearest(Length::mm(0.001));
        let places = trimmed(count, 0);
        let why = format!(
            "mean of {places} readings along {word}: {} off; no offset of a tool mends a place",
            mill.say(mean.abs())
        );
        let own = plan.setups.iter().find(|setup| setup.pose.face() == face && !setup.pose.mills_an_end());
        let setup = own.filter(|_| plan.setups.len() > 1).map(|setup| setup.setup.number);
        done.corrections.push(Correction::Datum { setup, axis, by, why });
        if places == "1" {
            findings.push(
                Diagnostic::caution(
                    "adjust/one-place",
                    format!("One reading along {word} cannot tell the datum from the axis."),
                )
                .help("Measure another place far from it."),
            );
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

//! With what a size is measured at the bench.

use crate::part::{Axis, Characteristic, Depth, Holes, Kind, Make, Measure, Part};
use crate::quantity::{Length, Unit, fixed};
use crate::standards::thread::Thread;

/// The tolerance below which a micrometer is taken rather than a caliper; a gauge should resolve a
/// tenth of the tolerance. Common practice, no source.
const FINE: Length = Length::mm(0.15);

/// The gauge for a characteristic, in words.
pub(super) fn gauge(part: &Part, characteristic: &Characteristic) -> String {
    let size = &characteristic.size;
    let fine = size.upper - size.lower < FINE;
    let outside = if fine { "micrometer" } else { "caliper" };
    match &characteristic.measure {
        Measure::Extent(_) => format!("{outside}, 2 places"),
        Measure::TongueWidth(_) => "micrometer, 3 places".to_owned(),
        Measure::TongueHeight(_) => "depth micrometer, both sides".to_owned(),
        Measure::TongueOffset(_) => "depth micrometer, both shoulders".to_owned(),
        Measure::HolePlace(feature, _, axis) => place(part, feature, *axis),
        Measure::HoleDiameter(feature, _) => match holes(part, feature).map(|holes| &holes.make) {
            Some(Make::Reamed { .. }) => limits("pins", part.unit, size.least(), size.most()),
            _ if fine => limits("pins", part.unit, size.least(), size.most()),
            _ => "pins or caliper".to_owned(),
        },
        Measure::MinorDiameter(..) => limits("pins", part.unit, size.least(), size.most()),
        Measure::PitchDiameter(feature, _) => thread_gauge(part, feature),
        Measure::ChamferDiameter(..) => "caliper or glass".to_owned(),
        #[allow(unreachable_patterns, reason = "further measures that a part may come to have")]
        _ => outside.to_owned(),
    }
}

fn holes<'p>(part: &'p Part, feature: &str) -> Option<&'p Holes> {
    match &part.feature(feature)?.kind {
        Kind::Holes(holes) => Some(holes),
        Kind::Tongue(_) | Kind::Slot(_) => None,
    }
}

/// The thread of a group of holes.
pub(super) fn thread<'p>(part: &'p Part, feature: &str) -> Option<&'p Thread> {
    holes(part, feature)?.thread().map(|(thread, _)| thread)
}

/// A pin that goes in and one that does not, both inside the limits, so that no bad hole passes; in
/// hundredths of a millimetre or halves of a thousandth of an inch, as pins are sold.
fn limits(what: &str, unit: Unit, least: Length, most: Length) -> String {
    let (step, decimals) = match unit {
        Unit::Mm => (Length::mm(0.01), 2),
        Unit::Inch => (Length::inch(0.0005), 4),
    };
    let (go, not) = (least.up_to(step), most.down_to(step));
    if go >= not {
        return format!("{what}, three-point gauge");
    }
    let say = |length: Length| fixed(unit.of(length), decimals);
    format!("{what}: GO {}, NOT GO {}", say(go), say(not))
}

fn place(part: &Part, feature: &str, axis: Axis) -> String {
    let Some(holes) = holes(part, feature) else { return "caliper".to_owned() };
    let hole = match &holes.make {
        Make::Plain { diameter } | Make::Reamed { diameter } => diameter.nominal,
        Make::Tapped { drill, .. } => drill.diameter,
    };
    let pin = part.unit.say(hole);
    let ends = match axis {
        Axis::X => "both ends",
        Axis::Y => "both sides",
        Axis::Z => "top and bottom",
    };
    format!("pin {pin}, from {ends}")
}

fn thread_gauge(part: &Part, feature: &str) -> String {
    let Some(thread) = thread(part, feature) else { return "thread gauge".to_owned() };
    let blind = holes(part, feature).is_some_and(|holes| matches!(holes.depth, Depth::Blind(_)));
    let deep = if blind { "to its depth" } else { "all through" };
    // Turns of the gauge that is not to go: ISO 1502, at most two; ASME B1.2, three (both from
    // memory).
    let turns = match thread.unit {
        Unit::Mm => "2",
        Unit::Inch => "3",
    };
    format!("plug {}: GO {deep}, NOT GO {turns} turns at most", thread.name)
}

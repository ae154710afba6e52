//! With what a size is measured at the bench.

use super::{Attribute, Axis, Characteristic, Depth, Face, Head, Holes, Kind, Make, Measure, Part, Quality};
use crate::quantity::{Length, Unit, fixed};
use crate::standards::thread::Thread;

/// The tolerance below which a micrometer is taken rather than a caliper; a gauge should resolve a
/// tenth of the tolerance. Common practice, no source.
const FINE: Length = Length::mm(0.15);

/// Whether a gauge that enters or does not judges it, and no figure can be read at the bench: what
/// lies in the flanks and at the root of a hole's thread.
pub fn only_gauged(measure: &Measure) -> bool {
    matches!(measure, Measure::PitchDiameter(..) | Measure::MajorDiameter(..) | Measure::Lead(..))
}

/// With what something that is no length is looked at, in words.
pub fn looked_at_with(part: &Part, attribute: &Attribute) -> String {
    match &attribute.quality {
        Quality::Hand(feature) => go_gauge(part, feature),
        Quality::Cone(_) => "glass".to_owned(),
    }
}

/// Whether a measure is the width of the hole whose place another is.
pub fn bores(width: &Measure, of: &Measure) -> bool {
    let Measure::HolePlace(feature, number, _) = of else { return false };
    matches!(width, Measure::HoleDiameter(known, at) | Measure::MinorDiameter(known, at) if known == feature && at == number)
}

/// The gauge for a characteristic, in words. `bore` is how wide the program makes the hole whose place
/// it is, where that is known: a pin enters what was drilled, not what was drawn.
pub fn gauge(part: &Part, characteristic: &Characteristic, bore: Option<Length>) -> String {
    let size = &characteristic.size;
    let fine = size.upper - size.lower < FINE;
    let outside = if fine { "micrometer" } else { "caliper" };
    match &characteristic.measure {
        Measure::Extent(_) => format!("{outside}, 2 places"),
        Measure::TongueWidth(_) => "micrometer, 3 places".to_owned(),
        Measure::TongueHeight(_) => "depth micrometer, both sides".to_owned(),
        Measure::TongueOffset(_) => "depth micrometer, both shoulders".to_owned(),
        Measure::HolePlace(feature, _, axis) => place(part, feature, *axis, bore),
        Measure::HoleDiameter(feature, _) => match holes(part, feature).map(|holes| &holes.make) {
            Some(Make::Reamed { .. }) => limits("pins", part.unit, size.least(), size.most()),
            _ if fine => limits("pins", part.unit, size.least(), size.most()),
            _ => "pins or caliper".to_owned(),
        },
        Measure::MinorDiameter(..) => limits("pins", part.unit, size.least(), size.most()),
        Measure::PitchDiameter(feature, _) => thread_gauge(part, feature),
        Measure::ChamferDiameter(..) => "caliper or glass".to_owned(),
        Measure::HeadDiameter(feature, _) => match holes(part, feature).and_then(|holes| holes.head.as_ref()) {
            Some(Head::Counterbore { .. }) if fine => limits("pins", part.unit, size.least(), size.most()),
            _ => "caliper".to_owned(),
        },
        Measure::HoleDepth(..) | Measure::HeadDepth(..) | Measure::SlotDepth(_) => {
            if fine { "depth micrometer" } else { "depth gauge" }.to_owned()
        }
        // A plug of the full form enters where root and rise let it.
        Measure::MajorDiameter(feature, _) | Measure::Lead(feature, _) => go_gauge(part, feature),
        Measure::ThreadDepth(feature, _) => format!("{}, its turns times the pitch", go_gauge(part, feature)),
        Measure::SlotPlace(_, axis) => {
            let ends = if *axis == Axis::X { "both ends" } else { "both sides" };
            format!("block or pin in the slot, from {ends}")
        }
        Measure::SlotWidth(_) => limits("blocks", part.unit, size.least(), size.most()),
        Measure::SlotLength(_) => format!("{outside}, inside jaws"),
        Measure::CornerRadius => "radius leaf".to_owned(),
        Measure::EndDistance(..) => format!("pin, {outside} to the end"),
    }
}

fn holes<'p>(part: &'p Part, feature: &str) -> Option<&'p Holes> {
    match &part.feature(feature)?.kind {
        Kind::Holes(holes) => Some(holes),
        Kind::Tongue(_) | Kind::Slot(_) => None,
    }
}

/// The thread of a group of holes.
pub fn thread_of<'p>(part: &'p Part, feature: &str) -> Option<&'p Thread> {
    holes(part, feature)?.thread().map(|(thread, _)| thread)
}

/// The step of pins as they are sold, and its decimals.
const fn pins(unit: Unit) -> (Length, usize) {
    match unit {
        Unit::Mm => (Length::mm(0.01), 2),
        Unit::Inch => (Length::inch(0.0005), 4),
    }
}

/// A pin that goes in and one that does not, both inside the limits, so that no bad hole passes; as
/// pins are sold.
fn limits(what: &str, unit: Unit, least: Length, most: Length) -> String {
    let (step, decimals) = pins(unit);
    let (go, not) = (least.up_to(step), most.down_to(step));
    if go >= not {
        return format!("{what}, three-point gauge");
    }
    let say = |length: Length| fixed(unit.of(length), decimals);
    format!("{what}: GO {}, NOT GO {}", say(go), say(not))
}

fn place(part: &Part, feature: &str, axis: Axis, bore: Option<Length>) -> String {
    let Some(holes) = holes(part, feature) else { return "caliper".to_owned() };
    // The narrowest good hole takes the pin where nothing is known of this one.
    let hole = bore.unwrap_or_else(|| match &holes.make {
        Make::Plain { diameter } | Make::Reamed { diameter } => diameter.least(),
        Make::Tapped { thread, .. } => thread.internal.minor_min,
    });
    let pin = part.unit.say(hole.down_to(pins(part.unit).0));
    let in_an_end = part.feature(feature).is_some_and(|feature| matches!(feature.face, Face::Left | Face::Right));
    let ends = match (axis, in_an_end) {
        (Axis::X, false) => "both ends",
        (Axis::Y, false) | (Axis::X, true) => "both sides",
        (Axis::Y, true) | (Axis::Z, _) => "top and bottom",
    };
    format!("pin {pin}, from {ends}")
}

fn go_gauge(part: &Part, feature: &str) -> String {
    thread_of(part, feature).map_or_else(|| "thread gauge".to_owned(), |thread| format!("plug {}: GO", thread.name))
}

fn thread_gauge(part: &Part, feature: &str) -> String {
    let Some(thread) = thread_of(part, feature) else { return "thread gauge".to_owned() };
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

//! How long pieces must be where they are counted from their middle.

use serde::{Deserialize, Serialize};

use crate::part::{Face, Part};
use crate::quantity::{Length, Unit};

/// The length that each piece must have before it is cut from above or below.
///
/// The zero is the middle of the first piece, and every later piece lies with one end at the stop:
/// what it is longer than the first shifts its middle by half of that. Two pieces at opposite limits
/// differ by twice the tolerance, so that a place may be off by the whole of it. Half of the tightest
/// place along the piece is left to the length, the other half to the mill.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct HeldLength {
    /// The shortest.
    pub least: Length,
    /// The longest.
    pub most: Length,
    /// How far the tightest place along the piece may be off, where that and not the drawing's own
    /// tolerance of the length sets the limits.
    pub place: Option<Length>,
}

/// The length that each piece must have where it is counted from its middle.
pub fn held_length(part: &Part) -> HeldLength {
    let flat = |face: Face| matches!(face, Face::Top | Face::Bottom);
    let holes = part.holes().filter(|(feature, _)| flat(feature.face)).map(|(_, holes)| holes.place_tolerance);
    // A groove leaves at both ends: it has no place along the bar.
    let slots = part.slots().filter(|(feature, slot)| flat(feature.face) && slot.length.is_some());
    let tightest = holes.chain(slots.map(|(_, slot)| slot.place_tolerance)).reduce(Length::min);
    let drawn = HeldLength { least: part.length.least(), most: part.length.most(), place: None };
    let Some(place) = tightest else { return drawn };
    // As a caliper shows it, but for places tighter than that.
    let step = match part.unit {
        Unit::Mm => Length::mm(0.01),
        Unit::Inch => Length::inch(0.0005),
    };
    let half = place / 2.0;
    let half = if half < step { half } else { half.down_to(step) };
    let middle = part.length.middle();
    let held =
        HeldLength { least: drawn.least.max(middle - half), most: drawn.most.min(middle + half), place: Some(place) };
    if held.least > drawn.least || held.most < drawn.most { held } else { drawn }
}

impl HeldLength {
    /// Why it is tighter than the drawing asks for, in words; nothing where it is not.
    pub fn why(&self, part: &Part) -> Option<String> {
        let say = |length: Length| part.unit.say(length);
        self.place.map(|place| {
            format!(
                "The drawing allows {} to {}; but every piece lies with one end at the stop and is counted from the middle of the first, and its tightest place along may be off by {}: half of that is left to the length.",
                say(part.length.least()),
                say(part.length.most()),
                say(place)
            )
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::tests::m5_key;

    /// Places of ±0.1 on a length of 60 ±0.3: the worst pair of pieces within 59.95 to 60.05 is 0.1
    /// apart, their middles 0.05, which leaves 0.05 of the places to the mill. By the drawing alone a
    /// piece of 60.3 after a first one of 59.7 would be 0.3 off.
    #[test]
    fn a_good_blank_gives_good_places() {
        let mut part = m5_key();
        let held = held_length(&part);
        let place = part.holes().map(|(_, holes)| holes.place_tolerance).reduce(Length::min).expect("holes");
        assert_eq!(held.place, Some(place), "it and not the drawing: {held:?}");
        let shift = |least: Length, most: Length| (most - least) / 2.0;
        assert!(shift(held.least, held.most) <= place / 2.0 + Length::mm(1e-9), "{held:?}");
        assert!(shift(part.length.least(), part.length.most()) > place, "by the drawing alone it is lost");
        let why = held.why(&part).expect("a reason");
        assert!(why.contains("one end at the stop"), "{why}");
        // Where the drawing is tighter, or nothing has a place along it, the drawing's limits hold.
        (part.length.upper, part.length.lower) = (Length::mm(0.02), Length::mm(-0.02));
        let tight = held_length(&part);
        assert_eq!((tight.least, tight.most, tight.place), (part.length.least(), part.length.most(), None), "its own");
        (part.length.upper, part.length.lower) = (Length::mm(0.3), Length::mm(-0.3));
        part.features.clear();
        assert_eq!(held_length(&part).most, part.length.most(), "no place");
    }
}

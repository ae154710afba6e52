//! What no family may make, whatever its rules say: cuts that leave the bar or meet each other.

use super::solids::{Meeting, meetings, reach};
use crate::diag::Diagnostic;
use crate::part::{Feature, Head, Holes, Part, Place, Pose, Size, Slot};
use crate::quantity::{Length, trig};

/// Refuses cuts that leave the bar, go through where they should not, or meet.
pub(super) fn check(part: &Part, refused: &mut Vec<Diagnostic>) {
    let say = |length| part.unit.say(length);
    let finding = |headline: String| Diagnostic::refused("shape/outside", headline);
    let before = "Add a rule to the family that says so before.";
    let mut refuse = |headline: String| refused.push(finding(headline).help(before));
    for (feature, tongue) in part.tongues() {
        for (size, bar, word) in [(&tongue.width, &part.width, "wide"), (&tongue.height, &part.height, "high")] {
            if size.most() >= bar.nominal {
                let (size, bar) = (say(size.nominal), say(bar.nominal));
                refuse(format!("{}: {size} {word} does not fit on a bar {bar} {word}.", feature.title));
            }
        }
    }
    if let Some(corner) = &part.ends.corner
        && corner.most() * 2.0 >= part.length.least().min(part.width.least())
    {
        refuse(format!("Corners rounded by {} are rounder than the part.", say(corner.nominal)));
    }
    for pose in [Pose::Top, Pose::Bottom, Pose::OnLeft, Pose::OnRight] {
        let posed = part.posed(pose);
        for (feature, holes) in posed.holes() {
            depths(&posed, feature, holes, &mut refuse);
            if leaves(&posed, part, pose, holes) {
                refuse(format!("{}: a hole leaves the face it is cut into.", feature.title));
            }
        }
        for (feature, slot) in posed.slots() {
            slot_inside(&posed, part, feature, slot, &mut refuse);
        }
        if let Some((one, other)) = meeting(&posed) {
            refuse(if one == other {
                format!("{one}: two of them run into each other.")
            } else {
                format!("{one} and {other} run into each other.")
            });
        }
    }
    for Meeting { headline, help } in meetings(part) {
        let finding = finding(headline)
            .note("with both as large as their limits let them be, points of drills counted, in the thinnest bar");
        let finding = if help.is_empty() { finding } else { finding.help(help) };
        refused.push(finding.help(before));
    }
}

/// Heads that are none, and blind holes that come out.
fn depths(posed: &Part, feature: &Feature, holes: &Holes, refuse: &mut impl FnMut(String)) {
    let title = &feature.title;
    let say = |length| posed.unit.say(length);
    let under = posed.height.least() - reach(holes, posed.height.least());
    if holes.depth.blind().is_some() && under <= Length::ZERO {
        refuse(format!(
            "{title}: the point of the drill comes out at the other side of {}.",
            say(posed.height.nominal)
        ));
    }
    match &holes.head {
        Some(Head::Counterbore { diameter, depth }) => {
            if diameter.least() / 2.0 <= holes.radius() {
                refuse(format!("{title}: the counterbore of {} is no wider than the hole.", say(diameter.nominal)));
            }
            let deep = holes.depth.blind().map_or(posed.height.least(), Size::least);
            if depth.most() >= deep {
                refuse(format!("{title}: the counterbore is {} deep, as deep as the hole.", say(depth.nominal)));
            }
        }
        Some(Head::Countersink { diameter, .. }) if diameter.least() / 2.0 <= holes.radius() => {
            refuse(format!("{title}: the countersink of {} is no wider than the hole.", say(diameter.nominal)));
        }
        Some(Head::Countersink { .. }) | None => {}
    }
}

/// Whether a hole leaves the face it is cut into.
fn leaves(posed: &Part, part: &Part, pose: Pose, holes: &Holes) -> bool {
    let radius = holes.entry_radius();
    let (half_x, half_y) = (posed.length.least() / 2.0, posed.width.least() / 2.0);
    let tongue = part.tongues().next().map(|(_, tongue)| tongue);
    let out = |place: &Place| {
        let beyond = place.x.abs() + radius >= half_x || place.y.abs() + radius >= half_y;
        let off = match (pose, tongue) {
            (Pose::Top, Some(tongue)) => place.y.abs() + radius >= tongue.width.least() / 2.0,
            // An end shows the tongue above the body; a hole keeps to the body.
            (Pose::OnLeft | Pose::OnRight, Some(tongue)) => place.y + radius >= half_y - tongue.height.most(),
            _ => false,
        };
        // An end is flat between its rounded corners.
        let rounded = match pose {
            Pose::OnLeft | Pose::OnRight => {
                part.ends.corner.as_ref().is_some_and(|corner| place.x.abs() + radius >= half_x - corner.most())
            }
            _ => over_corner(part, *place, radius),
        };
        beyond || off || rounded
    };
    holes.places.iter().any(out)
}

/// Whether a round thing on the top or the bottom leaves one of the rounded corners: inside the square
/// of a corner, it must keep within its arc.
fn over_corner(part: &Part, place: Place, radius: Length) -> bool {
    let Some(corner) = &part.ends.corner else { return false };
    let corner = corner.most();
    let (x, y) =
        (place.x.abs() - (part.length.least() / 2.0 - corner), place.y.abs() - (part.width.least() / 2.0 - corner));
    x > Length::ZERO && y > Length::ZERO && trig::hypot(x.as_mm(), y.as_mm()) + radius.as_mm() >= corner.as_mm()
}

fn slot_inside(posed: &Part, part: &Part, feature: &Feature, slot: &Slot, refuse: &mut impl FnMut(String)) {
    let title = &feature.title;
    let land = posed.tongues().fold(posed.width.least(), |land, (_, tongue)| land.min(tongue.width.least()));
    if slot.place.y.abs() + slot.width.most() / 2.0 >= land / 2.0 {
        refuse(format!("{title}: the slot leaves the face it is cut into."));
    }
    if let Some(length) = &slot.length {
        if length.least() < slot.width.most() {
            refuse(format!("{title}: the slot is shorter than it is wide; that is a hole."));
        }
        if slot.place.x.abs() + length.most() / 2.0 >= posed.length.least() / 2.0 {
            refuse(format!("{title}: the slot leaves the part at an end."));
        } else {
            // The middle of the round end that is nearest to a corner.
            let radius = slot.width.most() / 2.0;
            let end = Place { x: slot.place.x.abs() + length.most() / 2.0 - radius, y: slot.place.y };
            if over_corner(part, end, radius) {
                refuse(format!("{title}: the slot leaves the part at a rounded corner."));
            }
        }
    }
    if slot.depth.blind().is_some_and(|depth| depth.most() >= posed.height.least()) {
        refuse(format!("{title}: the slot is as deep as the part."));
    }
}

/// Two features of one face that run into each other, by their titles.
fn meeting(posed: &Part) -> Option<(&str, &str)> {
    let mut all: Vec<(Place, Length, &str)> = posed
        .holes()
        .flat_map(|(feature, holes)| {
            holes.places.iter().map(|place| (*place, holes.entry_radius(), feature.title.as_str()))
        })
        .collect();
    all.sort_by(|a, b| a.0.x.order(b.0.x));
    let widest = all.iter().fold(Length::ZERO, |widest, (_, radius, _)| widest.max(*radius));
    for (index, (place, radius, title)) in all.iter().enumerate() {
        let near = all[index + 1..].iter().take_while(|(other, ..)| other.x - place.x <= *radius + widest);
        for (other, wide, name) in near {
            let (x, y) = ((other.x - place.x).as_mm(), (other.y - place.y).as_mm());
            if trig::hypot(x, y) <= (*radius + *wide).as_mm() {
                return Some((title, name));
            }
        }
        for (feature, slot) in posed.slots() {
            let across = (place.y - slot.place.y).abs() <= slot.width.most() / 2.0 + *radius;
            let along = slot
                .length
                .as_ref()
                .is_none_or(|length| (place.x - slot.place.x).abs() <= length.most() / 2.0 + *radius);
            if across && along {
                return Some((title, &feature.title));
            }
        }
    }
    let slots: Vec<(&Feature, &Slot)> = posed.slots().collect();
    for (index, (one, slot)) in slots.iter().enumerate() {
        let met = slots[index + 1..].iter().find(|(_, other)| {
            let half = (slot.width.most() + other.width.most()) / 2.0;
            let across = (slot.place.y - other.place.y).abs() <= half;
            // A groove runs from end to end.
            let along = match (&slot.length, &other.length) {
                (Some(mine), Some(its)) => (slot.place.x - other.place.x).abs() <= (mine.most() + its.most()) / 2.0,
                _ => true,
            };
            across && along
        });
        if let Some((other, _)) = met {
            return Some((&one.title, &other.title));
        }
    }
    None
}

//! What no family may make, whatever its rules say: cuts that leave the bar or meet each other.

use crate::diag::Diagnostic;
use crate::part::{Depth, Face, Feature, Head, Holes, Make, Part, Place, Pose, Size, Slot};
use crate::quantity::{Length, trig};

/// Refuses cuts that leave the bar, go through where they should not, or meet.
pub(super) fn check(part: &Part, refused: &mut Vec<Diagnostic>) {
    let say = |length| part.unit.say(length);
    let mut refuse = |headline: String| {
        refused
            .push(Diagnostic::refused("shape/outside", headline).help("Add a rule to the family that says so before."));
    };
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
            slot_inside(&posed, feature, slot, &mut refuse);
        }
        if let Some((one, other)) = meeting(&posed) {
            refuse(if one == other {
                format!("{one}: two of them run into each other.")
            } else {
                format!("{one} and {other} run into each other.")
            });
        }
    }
    if let Some((one, other)) = crossing(part) {
        refuse(format!("{one} and {other} meet inside the part."));
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

/// How deep a hole reaches with the point of its drill; as deep as the part for one that goes through.
fn reach(holes: &Holes, through: Length) -> Length {
    match &holes.depth {
        Depth::Through => through,
        Depth::Blind(depth) => {
            let diameter = match &holes.make {
                Make::Plain { diameter } | Make::Reamed { diameter } => diameter.middle(),
                Make::Tapped { drill, .. } => drill.diameter,
            };
            // A point of 118°, as the drawing takes it.
            depth.most() + diameter / (2.0 * trig::tan(crate::quantity::Angle::degree(59.0)))
        }
    }
}

/// Whether a hole leaves the face it is cut into.
fn leaves(posed: &Part, part: &Part, pose: Pose, holes: &Holes) -> bool {
    let radius = holes.entry_radius();
    let (half_x, half_y) = (posed.length.nominal / 2.0, posed.width.nominal / 2.0);
    let tongue = part.tongues().next().map(|(_, tongue)| tongue);
    let out = |place: &Place| {
        let beyond = place.x.abs() + radius >= half_x || place.y.abs() + radius >= half_y;
        let off = match (pose, tongue) {
            (Pose::Top, Some(tongue)) => place.y.abs() + radius >= tongue.width.least() / 2.0,
            // An end shows the tongue above the body; a hole keeps to the body.
            (Pose::OnLeft | Pose::OnRight, Some(tongue)) => place.y + radius >= half_y - tongue.height.most(),
            _ => false,
        };
        let rounded = part.ends.corner.as_ref().is_some_and(|corner| {
            // Inside the square of a corner, the hole must keep within its arc.
            let (x, y) = (place.x.abs() - (half_x - corner.most()), place.y.abs() - (half_y - corner.most()));
            matches!(pose, Pose::Top | Pose::Bottom)
                && x > Length::ZERO
                && y > Length::ZERO
                && trig::hypot(x.as_mm(), y.as_mm()) + radius.as_mm() >= corner.most().as_mm()
        });
        beyond || off || rounded
    };
    holes.places.iter().any(out)
}

fn slot_inside(posed: &Part, feature: &Feature, slot: &Slot, refuse: &mut impl FnMut(String)) {
    let title = &feature.title;
    let land = posed.tongues().fold(posed.width.nominal, |land, (_, tongue)| land.min(tongue.width.least()));
    if slot.place.y.abs() + slot.width.most() / 2.0 >= land / 2.0 {
        refuse(format!("{title}: the slot leaves the face it is cut into."));
    }
    if let Some(length) = &slot.length {
        if length.least() < slot.width.most() {
            refuse(format!("{title}: the slot is shorter than it is wide; that is a hole."));
        }
        if slot.place.x.abs() + length.most() / 2.0 >= posed.length.nominal / 2.0 {
            refuse(format!("{title}: the slot leaves the part at an end."));
        }
    }
    if slot.depth.blind().is_some_and(|depth| depth.most() >= posed.height.nominal) {
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

/// Two holes from different faces that meet, by their titles. A hole through from the top and one
/// through from the bottom are looked at as one from above.
fn crossing(part: &Part) -> Option<(String, String)> {
    let (height, length) = (part.height.nominal, part.length.nominal);
    let upright: Vec<Upright> = [Pose::Top, Pose::Bottom]
        .iter()
        .flat_map(|pose| {
            let posed = part.posed(*pose);
            let flip = if *pose == Pose::Bottom { -1.0 } else { 1.0 };
            let mut list = Vec::new();
            for (feature, holes) in posed.holes() {
                let deep = reach(holes, height);
                let (from, to) = if *pose == Pose::Top { (-deep, Length::ZERO) } else { (-height, deep - height) };
                for place in &holes.places {
                    list.push(Upright {
                        at: Place { x: place.x, y: place.y * flip },
                        radius: holes.entry_radius(),
                        from,
                        to,
                        face: *pose,
                        title: feature.title.clone(),
                    });
                }
            }
            list
        })
        .collect();
    for (index, one) in upright.iter().enumerate() {
        for other in &upright[index + 1..] {
            let apart = trig::hypot((one.at.x - other.at.x).as_mm(), (one.at.y - other.at.y).as_mm());
            let level = one.from < other.to && other.from < one.to;
            if one.face != other.face && level && apart <= (one.radius + other.radius).as_mm() {
                return Some((one.title.clone(), other.title.clone()));
            }
        }
    }
    for (feature, holes) in part.holes() {
        let right = match feature.face {
            Face::Right => true,
            Face::Left => false,
            _ => continue,
        };
        let deep = reach(holes, length);
        let (from, to) = if right { (length / 2.0 - deep, length / 2.0) } else { (-length / 2.0, deep - length / 2.0) };
        for place in &holes.places {
            let radius = holes.entry_radius();
            let level = place.y - height / 2.0;
            let met = upright.iter().find(|hole| {
                (hole.at.y - place.x).abs() <= hole.radius + radius
                    && hole.at.x + hole.radius >= from
                    && hole.at.x - hole.radius <= to
                    && hole.from <= level + radius
                    && hole.to >= level - radius
            });
            if let Some(hole) = met {
                return Some((feature.title.clone(), hole.title.clone()));
            }
        }
    }
    None
}

/// A hole from the top or the bottom, seen from above.
struct Upright {
    at: Place,
    radius: Length,
    /// Lowest and highest height.
    from: Length,
    to: Length,
    face: Pose,
    title: String,
}

//! Every size that a drawing shows, and everything that an inspection measures, each in one list.
//!
//! A drawing tells each size once ([`characteristics`]). An inspection measures these and what
//! follows from them: the parts of a thread that its designation stands for, the distances from the
//! ends ([`inspected`]), and what is right or wrong without being a length ([`attributes`]).

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::{Axis, Basis, Depth, Face, Feature, General, Head, Holes, Kind, Make, Part, Size, Slot};
use crate::quantity::{Angle, Length, trimmed};
use crate::standards::general::{Class, general as general_tolerance};
use crate::standards::thread::Hand;

/// Something about a part that can be measured, with its limits.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Characteristic {
    /// The size that it must have.
    pub size: Size,
    /// What is measured.
    pub measure: Measure,
}

/// What is measured, and on which feature.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Measure {
    /// Extent of the whole part.
    Extent(Axis),
    /// Width of a tongue.
    TongueWidth(String),
    /// Height of a tongue above its shoulders.
    TongueHeight(String),
    /// Distance of a tongue's middle from the middle of the bar, across.
    TongueOffset(String),
    /// Coordinate of one hole's middle: feature, number of the hole from zero, axis.
    HolePlace(String, usize, Axis),
    /// Diameter of a plain hole: feature, number of the hole.
    HoleDiameter(String, usize),
    /// Minor diameter of a tapped hole, which is its drilled diameter.
    MinorDiameter(String, usize),
    /// Pitch diameter of a tapped hole.
    PitchDiameter(String, usize),
    /// Diameter of a hole's entry chamfer.
    ChamferDiameter(String, usize),
    /// Major diameter of a tapped hole: the root of its thread.
    MajorDiameter(String, usize),
    /// Rise of a tapped hole's thread in one turn.
    Lead(String, usize),
    /// How deep the full thread reaches.
    ThreadDepth(String, usize),
    /// Depth of a blind hole at its full diameter.
    HoleDepth(String, usize),
    /// Diameter of the room for a screw's head.
    HeadDiameter(String, usize),
    /// Depth of the room for a screw's head.
    HeadDepth(String, usize),
    /// Coordinate of the middle of a slot or groove.
    SlotPlace(String, Axis),
    /// Width of a slot or groove.
    SlotWidth(String),
    /// Length of a slot over its round ends.
    SlotLength(String),
    /// Depth of a slot or groove.
    SlotDepth(String),
    /// Radius of the upright corners at the milled ends.
    CornerRadius,
    /// Distance of a group's outermost hole from the end of the part beside it.
    EndDistance(String, Side),
}

/// An end of the part along X.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Side {
    /// At the lower X.
    Low,
    /// At the higher X.
    High,
}

/// Something that is right or wrong, and no length.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Attribute {
    /// Its name.
    pub name: String,
    /// In plain words.
    pub title: String,
    /// What it must be, in words.
    pub wanted: String,
    /// What is looked at.
    pub quality: Quality,
}

/// What is looked at, and on which feature.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Quality {
    /// The way that the threads of a group of holes turn.
    Hand(String),
    /// The included angle of the cone at the entry of a group of holes: chamfer or countersink.
    Cone(String),
}

/// How far the diameter of an entry chamfer may be off, which bears no limits of its own: the general
/// tolerance of the drawing for a size of that figure. ISO 2768-1, table 1; the radii and legs of its
/// table 2 are others.
pub fn chamfer_off(general: &General, diameter: Length) -> Length {
    match Class::named(&general.name) {
        Ok(class) => general_tolerance(class, diameter).unwrap_or(CHAMFER_OFF),
        // By decimals: a size of three.
        Err(_) if general.name.contains(".XXX") => Length::inch(0.005),
        Err(_) => CHAMFER_OFF,
    }
}

/// Where the drawing's general tolerance is in words that are not read here, or its class has none for
/// so small a size. Common practice, no source.
const CHAMFER_OFF: Length = Length::mm(0.2);

/// How far the mean rise of a turn may be off the pitch: a word of 0.0001 in, rounded, at both ends
/// of one turn. No standard gives the lead limits of its own; those of the pitch diameter hold it.
const LEAD_OFF: Length = Length::mm(0.003);

/// Everything that an inspection measures: the sizes of the drawing, and what follows from them.
pub fn inspected(part: &Part) -> Vec<Characteristic> {
    let mut list = characteristics(part);
    for (feature, holes) in part.holes() {
        follows(part, feature, holes, &mut list);
    }
    // Hole by hole, as they are measured.
    let order: BTreeMap<&str, usize> =
        part.features.iter().enumerate().map(|(at, feature)| (feature.id.as_str(), at + 1)).collect();
    list.sort_by_cached_key(|one| match one.measure.whose() {
        None => (0, 0),
        Some((feature, number)) => (order.get(feature).copied().unwrap_or(usize::MAX), number),
    });
    list
}

/// Everything that the sheet of the first piece asks for, in the order of [`inspected`]: each size that
/// the drawing shows, hole by hole.
pub fn asked_for(part: &Part) -> Vec<Characteristic> {
    let drawn = characteristics(part);
    let drawn = |one: &Characteristic| drawn.iter().any(|known| known.measure == one.measure);
    let chamfer = |one: &Characteristic| matches!(one.measure, Measure::ChamferDiameter(..));
    inspected(part).into_iter().filter(|one| drawn(one) || chamfer(one)).collect()
}

/// What an inspection calls a characteristic. Equal holes share a size and its title, so the title
/// alone would stand there once for each: the hole's number goes before it, or the title of the
/// feature where several features share one.
pub fn called(part: &Part, characteristic: &Characteristic) -> String {
    let Size { name, title, .. } = &characteristic.size;
    let Some((id, number)) = characteristic.measure.whose() else { return title.clone() };
    let Some(feature) = part.feature(id) else { return title.clone() };
    if number == usize::MAX {
        let titled = |size: &Size| size.title == *title;
        let shares = |other: &Feature| match &other.kind {
            Kind::Tongue(tongue) => titled(&tongue.width) || titled(&tongue.height),
            Kind::Slot(slot) => {
                titled(&slot.width)
                    || slot.length.as_ref().is_some_and(titled)
                    || slot.depth.blind().is_some_and(titled)
            }
            Kind::Holes(_) => false,
        };
        let twice = part.features.iter().any(|other| other.id != id && shares(other));
        return if twice { format!("{}, {title}", feature.title) } else { title.clone() };
    }
    // What is made for one hole has its number in its name, and in its title.
    let rest = name.strip_prefix(id).and_then(|rest| rest.strip_prefix('.'));
    if rest.is_some_and(|rest| rest.starts_with(|sign: char| sign.is_ascii_digit())) {
        return title.clone();
    }
    format!("{} {}, {title}", feature.title, number + 1)
}

impl Measure {
    /// The feature that it belongs to, and the number of its hole; what belongs to a whole group
    /// comes after its holes.
    fn whose(&self) -> Option<(&str, usize)> {
        match self {
            Self::Extent(_) | Self::CornerRadius => None,
            Self::TongueWidth(feature)
            | Self::TongueHeight(feature)
            | Self::TongueOffset(feature)
            | Self::EndDistance(feature, _)
            | Self::SlotPlace(feature, _)
            | Self::SlotWidth(feature)
            | Self::SlotLength(feature)
            | Self::SlotDepth(feature) => Some((feature, usize::MAX)),
            Self::HolePlace(feature, number, _)
            | Self::HoleDiameter(feature, number)
            | Self::MinorDiameter(feature, number)
            | Self::PitchDiameter(feature, number)
            | Self::ChamferDiameter(feature, number)
            | Self::MajorDiameter(feature, number)
            | Self::Lead(feature, number)
            | Self::ThreadDepth(feature, number)
            | Self::HoleDepth(feature, number)
            | Self::HeadDiameter(feature, number)
            | Self::HeadDepth(feature, number) => Some((feature, *number)),
        }
    }
}

/// Everything that is right or wrong without being a length.
pub fn attributes(part: &Part) -> Vec<Attribute> {
    let mut list = Vec::new();
    for (feature, holes) in part.holes() {
        list.extend(holes.thread().map(|(_, hand)| {
            Attribute {
                name: format!("{}.hand", feature.id),
                title: format!("{}, hand of the thread", feature.title),
                wanted: match hand {
                    Hand::Right => "right",
                    Hand::Left => "left",
                }
                .to_owned(),
                quality: Quality::Hand(feature.id.clone()),
            }
        }));
        let cone = match (&holes.head, holes.chamfer) {
            (Some(Head::Countersink { angle, .. }), _) => Some((*angle, "countersink")),
            (_, Some(_)) => Some((Angle::degree(90.0), "chamfer")),
            (Some(Head::Counterbore { .. }) | None, None) => None,
        };
        list.extend(cone.map(|(angle, word)| Attribute {
            name: format!("{}.cone", feature.id),
            title: format!("{}, angle of the {word}", feature.title),
            wanted: format!("{}°", trimmed(angle.as_degree(), 1)),
            quality: Quality::Cone(feature.id.clone()),
        }));
    }
    list
}

/// What follows from the sizes of a group of holes.
fn follows(part: &Part, feature: &Feature, holes: &Holes, list: &mut Vec<Characteristic>) {
    let id = || feature.id.clone();
    let mut put = |name: String, title: String, limits: [Length; 3], basis: Basis, measure: Measure| {
        let [nominal, upper, lower] = limits;
        list.push(Characteristic { size: Size { name, title, nominal, upper, lower, basis }, measure });
    };
    for index in 0..holes.places.len() {
        let number = index + 1;
        let name = |what: &str| format!("{}.{number}.{what}", feature.id);
        let title = |what: &str| format!("{} {number}, {what}", feature.title);
        if let Make::Tapped { thread, full, .. } = &holes.make {
            let zone = || Basis::Zone(thread.internal.class.clone());
            // ISO 965-1 gives a root no upper limit; none lies outside the sharp triangle of the
            // widest thread, √3/4 of the pitch beyond its pitch line on each side (ISO 68-1).
            let sharp = thread.internal.pitch_max + thread.pitch * (3.0_f64.sqrt() / 2.0);
            let root = [thread.major, sharp - thread.major, Length::ZERO];
            put(name("major"), title("major diameter"), root, zone(), Measure::MajorDiameter(id(), index));
            let lead = [thread.pitch, LEAD_OFF, -LEAD_OFF];
            put(name("lead"), title("pitch of the thread"), lead, Basis::General, Measure::Lead(id(), index));
            if full.is_none() {
                // Through whatever lies between the faces.
                let through = match feature.face {
                    Face::Top | Face::Bottom => &part.height,
                    Face::Left | Face::Right => &part.length,
                };
                let depth = [through.nominal, through.upper, through.lower];
                let what = "depth of the full thread";
                put(name("thread_depth"), title(what), depth, Basis::General, Measure::ThreadDepth(id(), index));
            }
        }
        if let Some(chamfer) = holes.chamfer {
            let off = chamfer_off(&part.general, chamfer);
            let limits = [chamfer, off, -off];
            let what = "diameter of the chamfer";
            put(name("chamfer"), title(what), limits, Basis::General, Measure::ChamferDiameter(id(), index));
        }
    }
    if matches!(feature.face, Face::Left | Face::Right) {
        return;
    }
    let half = part.length.nominal / 2.0;
    let xs = || holes.places.iter().map(|place| place.x);
    let outermost = [
        (Side::Low, "low_end", "lower", xs().reduce(Length::min).map(|x| half + x)),
        (Side::High, "high_end", "higher", xs().reduce(Length::max).map(|x| half - x)),
    ];
    for (end, name, word, distance) in outermost {
        let Some(distance) = distance else { continue };
        let off = |length: Length| length / 2.0;
        let limits =
            [distance, holes.place_tolerance + off(part.length.upper), off(part.length.lower) - holes.place_tolerance];
        let title = format!("{}, from the end at the {word} X to the nearest middle", feature.title);
        let name = format!("{}.{name}", feature.id);
        put(name, title, limits, Basis::General, Measure::EndDistance(id(), end));
    }
}

/// Lists every characteristic of a part, in the order of measuring: extents, tongues, holes.
pub fn characteristics(part: &Part) -> Vec<Characteristic> {
    let mut list = Vec::new();
    for (axis, size) in [(Axis::X, &part.length), (Axis::Y, &part.width), (Axis::Z, &part.height)] {
        list.push(Characteristic { size: size.clone(), measure: Measure::Extent(axis) });
    }
    if let Some(corner) = &part.ends.corner {
        list.push(Characteristic { size: corner.clone(), measure: Measure::CornerRadius });
    }
    for feature in &part.features {
        of_feature(feature, &mut list);
    }
    list
}

fn of_feature(feature: &Feature, list: &mut Vec<Characteristic>) {
    let id = || feature.id.clone();
    match &feature.kind {
        Kind::Tongue(tongue) => {
            let offset = around(
                format!("{}.offset", feature.id),
                "middle of the tongue from the middle of the bar".to_owned(),
                Length::ZERO,
                tongue.centring,
            );
            list.push(Characteristic { size: tongue.width.clone(), measure: Measure::TongueWidth(id()) });
            list.push(Characteristic { size: tongue.height.clone(), measure: Measure::TongueHeight(id()) });
            list.push(Characteristic { size: offset, measure: Measure::TongueOffset(id()) });
        }
        Kind::Slot(slot) => of_slot(feature, slot, list),
        Kind::Holes(holes) => {
            for (index, place) in holes.places.iter().enumerate() {
                let number = index + 1;
                let words = match feature.face {
                    Face::Top | Face::Bottom => ["along the bar", "across the bar"],
                    Face::Left | Face::Right => ["across the bar", "up the end"],
                };
                for (axis, at, word) in [(Axis::X, place.x, words[0]), (Axis::Y, place.y, words[1])] {
                    let name = format!("{}.{number}.{}", feature.id, if axis == Axis::X { "x" } else { "y" });
                    let title = format!("{} {number}, place {word}", feature.title);
                    let size = around(name, title, at, holes.place_tolerance);
                    list.push(Characteristic { size, measure: Measure::HolePlace(id(), index, axis) });
                }
                match &holes.make {
                    Make::Plain { diameter } | Make::Reamed { diameter } => {
                        list.push(Characteristic {
                            size: diameter.clone(),
                            measure: Measure::HoleDiameter(id(), index),
                        });
                    }
                    Make::Tapped { thread, drill, full, .. } => {
                        let minor = Size {
                            name: format!("{}.{number}.minor", feature.id),
                            title: format!("{} {number}, minor diameter", feature.title),
                            nominal: drill.diameter,
                            upper: thread.internal.minor_max - drill.diameter,
                            lower: thread.internal.minor_min - drill.diameter,
                            basis: Basis::Zone(thread.internal.class.clone()),
                        };
                        let pitch = Size {
                            name: format!("{}.{number}.pitch_diameter", feature.id),
                            title: format!("{} {number}, pitch diameter", feature.title),
                            nominal: thread.internal.pitch_min,
                            upper: thread.internal.pitch_max - thread.internal.pitch_min,
                            lower: Length::ZERO,
                            basis: Basis::Zone(thread.internal.class.clone()),
                        };
                        list.push(Characteristic { size: minor, measure: Measure::MinorDiameter(id(), index) });
                        list.push(Characteristic { size: pitch, measure: Measure::PitchDiameter(id(), index) });
                        if let Some(full) = full {
                            list.push(Characteristic {
                                size: full.clone(),
                                measure: Measure::ThreadDepth(id(), index),
                            });
                        }
                    }
                }
                let mut put = |size: &Size, measure| list.push(Characteristic { size: size.clone(), measure });
                if let Depth::Blind(depth) = &holes.depth {
                    put(depth, Measure::HoleDepth(id(), index));
                }
                match &holes.head {
                    Some(Head::Counterbore { diameter, depth }) => {
                        put(diameter, Measure::HeadDiameter(id(), index));
                        put(depth, Measure::HeadDepth(id(), index));
                    }
                    Some(Head::Countersink { diameter, .. }) => put(diameter, Measure::HeadDiameter(id(), index)),
                    None => {}
                }
            }
        }
    }
}

fn of_slot(feature: &Feature, slot: &Slot, list: &mut Vec<Characteristic>) {
    let id = || feature.id.clone();
    let axes = [(Axis::X, slot.place.x, "along", "x"), (Axis::Y, slot.place.y, "across", "y")];
    // A groove leaves at both ends: it has no place along the bar.
    for (axis, at, word, letter) in axes.into_iter().skip(usize::from(slot.length.is_none())) {
        let title = format!("{}, place {word} the bar", feature.title);
        let size = around(format!("{}.{letter}", feature.id), title, at, slot.place_tolerance);
        list.push(Characteristic { size, measure: Measure::SlotPlace(id(), axis) });
    }
    let sizes = [
        (Some(&slot.width), Measure::SlotWidth(id())),
        (slot.length.as_ref(), Measure::SlotLength(id())),
        (slot.depth.blind(), Measure::SlotDepth(id())),
    ];
    for (size, measure) in sizes {
        list.extend(size.map(|size| Characteristic { size: size.clone(), measure }));
    }
}

fn around(name: String, title: String, nominal: Length, tolerance: Length) -> Size {
    Size { name, title, nominal, upper: tolerance, lower: -tolerance, basis: Basis::General }
}

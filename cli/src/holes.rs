//! A group of holes, or a slot, in a line of the summary.

use barwright_core::part::{Basis, Face, Feature, Head, Holes, Make, Size, Slot};
use barwright_core::quantity::{Length, Unit, trimmed};

/// `4 × M5x0.8-6H through at ±7.5, ±22.5 mm`.
pub(crate) fn line(feature: &Feature, holes: &Holes, unit: Unit) -> String {
    let face = match feature.face {
        Face::Top => "",
        Face::Bottom => ", from below",
        Face::Left => ", in the left end",
        Face::Right => ", in the right end",
    };
    let (make, head) = (make(holes, unit), head(holes, unit));
    format!("{} × {make}{head} at {}{face}", holes.places.len(), places(holes, unit))
}

/// `6.6 wide, 30.6 mm long over its ends, through, middle at 1.25 mm`.
pub(crate) fn slot_line(slot: &Slot, unit: Unit) -> String {
    let say = |length: Length| trimmed(unit.of(length), unit.decimals());
    let depth =
        slot.depth.blind().map_or_else(|| "through".to_owned(), |size| format!("{} deep", unit.say(size.nominal)));
    let width = say(slot.width.nominal);
    let (x, y) = (say(slot.place.x), say(slot.place.y));
    let centred = unit.of(slot.place.y).abs() < 1e-9;
    match &slot.length {
        Some(length) if centred => {
            let length = unit.say(length.nominal);
            format!("{width} wide, {length} long over its ends, {depth}, middle at {x} {}", unit.sign())
        }
        Some(length) => {
            let length = unit.say(length.nominal);
            format!("{width} wide, {length} long over its ends, {depth}, middle at {x} along, {y} across")
        }
        None if centred => format!("{} wide from end to end, {depth}", unit.say(slot.width.nominal)),
        None => format!("{} wide from end to end, {depth}, middle at {y} across", unit.say(slot.width.nominal)),
    }
}

fn make(holes: &Holes, unit: Unit) -> String {
    let say = |length: Length| trimmed(unit.of(length), unit.decimals());
    let deep = |size: &Size| format!("{} deep", unit.say(size.nominal));
    let depth = holes.depth.blind().map_or_else(|| "through".to_owned(), deep);
    match &holes.make {
        Make::Plain { diameter } => format!("⌀ {} {depth}", limits(diameter, unit)),
        Make::Reamed { diameter } => format!("⌀ {} reamed, {depth}", limits(diameter, unit)),
        Make::Tapped { thread, hand, full, .. } => {
            let callout = thread.callout(&thread.internal.class, *hand);
            match (full, holes.depth.blind()) {
                (Some(full), Some(drilled)) => {
                    format!("{callout} {} deep in a hole of {}", say(full.nominal), unit.say(drilled.nominal))
                }
                _ => format!("{callout} {depth}"),
            }
        }
    }
}

fn head(holes: &Holes, unit: Unit) -> String {
    let say = |length: Length| trimmed(unit.of(length), unit.decimals());
    match &holes.head {
        None => String::new(),
        Some(Head::Counterbore { diameter, depth }) => {
            format!(", counterbored ⌀ {} × {}", say(diameter.nominal), unit.say(depth.nominal))
        }
        Some(Head::Countersink { diameter, angle }) => {
            format!(", countersunk ⌀ {} × {}°", unit.say(diameter.nominal), trimmed(angle.as_degree(), 0))
        }
    }
}

/// `10 e9 (9.939 … 9.975 mm)`.
pub(crate) fn limits(size: &Size, unit: Unit) -> String {
    let say = |length: Length| trimmed(unit.of(length), unit.decimals());
    let zone = match &size.basis {
        Basis::Zone(zone) => format!(" {zone}"),
        Basis::General | Basis::Given | Basis::Stock => String::new(),
    };
    format!("{}{zone} ({} … {})", say(size.nominal), say(size.least()), unit.say(size.most()))
}

/// A row by its places along; a grid by its columns and rows; what is neither by the drawing.
fn places(holes: &Holes, unit: Unit) -> String {
    let along: Vec<f64> = holes.places.iter().map(|place| unit.of(place.x)).collect();
    let across: Vec<f64> = holes.places.iter().map(|place| unit.of(place.y)).collect();
    if across.iter().all(|y| y.abs() < 1e-9) {
        return format!("{} {}", said(along, unit), unit.sign());
    }
    if holes.places.len() == 1 {
        return format!("{} along, {} across", said(along, unit), said(across, unit));
    }
    let (columns, rows) = (apart(along), apart(across));
    let grid = columns.len() * rows.len();
    let left_out = match grid.checked_sub(holes.places.len()) {
        Some(0) => String::new(),
        Some(count) if count * 3 <= grid => format!(", {count} left out"),
        _ => return "the places of the drawing".to_owned(),
    };
    let (columns, rows) = (said(columns, unit), said(rows, unit));
    format!("{columns} along, {rows} across ({}){left_out}", unit.sign())
}

/// The different values, in order.
fn apart(mut values: Vec<f64>) -> Vec<f64> {
    values.sort_by(f64::total_cmp);
    values.dedup_by(|b, a| (*b - *a).abs() < 1e-9);
    values
}

/// `±7.5, ±22.5` for values symmetric about nought, else each.
fn said(mut values: Vec<f64>, unit: Unit) -> String {
    values.sort_by(f64::total_cmp);
    let say = |value: f64| trimmed(value, unit.decimals());
    let mirrored = values.iter().zip(values.iter().rev()).all(|(a, b)| (a + b).abs() < 1e-9);
    let list: Vec<String> = if mirrored {
        let half = values.into_iter().filter(|value| *value > -1e-9);
        half.map(|value| if value < 1e-9 { "0".to_owned() } else { format!("±{}", say(value)) }).collect()
    } else {
        values.into_iter().map(say).collect()
    };
    list.join(", ")
}

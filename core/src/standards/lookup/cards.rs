//! The cards, one function for each kind.

use super::{Card, Row, Value};
use crate::quantity::{Dim, Length, Unit, read, trimmed};
use crate::standards::Unknown;
use crate::standards::drill::{at_least, at_most, find};
use crate::standards::fit::{Fit, Zone, fit, ranges, zone};
use crate::standards::general::{self, Class};
use crate::standards::material::material;
use crate::standards::screw::{CapScrew, Point, Room, SetScrew, cap_screw, clearance_hole, set_screw};
use crate::standards::thread::{Hand, thread};
use crate::standards::unknown::{LONGEST, shown};

fn row(key: &str, label: &str, value: Value) -> Row {
    Row { key: key.to_owned(), label: label.to_owned(), value, note: String::new() }
}

fn noted(key: &str, label: &str, value: Value, note: impl Into<String>) -> Row {
    Row { note: note.into(), ..row(key, label, value) }
}

fn length(key: &str, label: &str, value: Length) -> Row {
    row(key, label, Value::Length(value))
}

fn text(key: &str, label: &str, value: impl Into<String>) -> Row {
    row(key, label, Value::Text(value.into()))
}

pub(super) fn thread_card(name: &str) -> Result<Card, Unknown> {
    let thread = thread(name)?;
    let (int, ext) = (&thread.internal, &thread.external);
    let bore = thread.tap_drill.diameter;
    let mut rows = vec![length("major", "Major diameter, basic", thread.major), length("pitch", "Pitch", thread.pitch)];
    if thread.unit == Unit::Inch {
        rows.push(row("threads_per_inch", "Threads per inch", Value::Number(25.4 / thread.pitch.as_mm())));
    }
    rows.extend([
        text("internal_class", "Class of the hole", int.class.clone()),
        length("minor_min", "Hole: minor diameter, smallest", int.minor_min),
        length("minor_max", "Hole: minor diameter, largest", int.minor_max),
        length("pitch_diameter_min", "Hole: pitch diameter, smallest", int.pitch_min),
        length("pitch_diameter_max", "Hole: pitch diameter, largest", int.pitch_max),
        text("external_class", "Class of the screw", ext.class.clone()),
        length("screw_major_max", "Screw: major diameter, largest", ext.major_max),
        length("screw_major_min", "Screw: major diameter, smallest", ext.major_min),
        length("screw_pitch_diameter_max", "Screw: pitch diameter, largest", ext.pitch_max),
        length("screw_pitch_diameter_min", "Screw: pitch diameter, smallest", ext.pitch_min),
        text("tap_drill", "Tap drill", thread.tap_drill.name.clone()),
        length("tap_drill_diameter", "Tap drill, diameter", bore),
        noted(
            "percent_of_trade_height",
            "Thread height with that drill",
            Value::Percent(thread.percent_of_trade_height(bore)),
            "of 3/4 H, as trade charts",
        ),
        noted(
            "percent_of_basic_height",
            "Thread height with that drill",
            Value::Percent(thread.percent_of_basic_height(bore)),
            "of 5/8 H, ISO 68-1",
        ),
        row("stress_area", "Tensile stress area", Value::Area(thread.stress_area)),
        text("callout", "On a drawing", thread.callout(&int.class, Hand::Right)),
    ]);
    Ok(Card {
        kind: "thread",
        title: format!("Thread {}", thread.designation),
        name: thread.designation.clone(),
        unit: thread.unit,
        rows,
        source: thread.source.clone(),
    })
}

pub(super) fn drill_card(name: &str) -> Result<Card, Unknown> {
    let (drill, series) = find(name)?;
    let step = Length::mm(2e-6);
    let mut rows = vec![length("diameter", "Diameter", drill.diameter)];
    if let Some(smaller) = at_most(drill.diameter - step) {
        rows.push(text("next_smaller", "Next smaller", smaller.name));
    }
    if let Some(larger) = at_least(drill.diameter + step) {
        rows.push(text("next_larger", "Next larger", larger.name));
    }
    Ok(Card {
        kind: "drill",
        title: format!("Twist drill {}", drill.name),
        name: drill.name,
        unit: if series.is_inch() { Unit::Inch } else { Unit::Mm },
        rows,
        source: series.source().to_owned(),
    })
}

/// `25 H7/g6`, `25 mm H7`, `1/2 in H7`, `25H7`, `H7`: a bare number is in millimetres, for the
/// standard knows nothing else.
pub(super) fn fit_card(name: &str) -> Result<Card, Unknown> {
    let asked = &name.replace(" /", "/").replace("/ ", "/");
    let asked = asked.trim();
    let form = || {
        Unknown::new(
            format!("`{}` is no fit or tolerance zone.", shown(name)),
            "Write `H7`, `25 H7` or `25 H7/g6`; the size is in mm where no unit stands.",
        )
    };
    if asked.len() > LONGEST || !asked.is_ascii() {
        return Err(form());
    }
    let (size, zones) = split_size(asked);
    let nominal = match size {
        "" => None,
        size => match read(size) {
            Ok((value, None | Some(Dim::LENGTH))) => Some(Length::mm(value)),
            _ => return Err(form()),
        },
    };
    let source = "ISO 286-1 and ISO 286-2 (over 50 mm, and zones without a printed table at hand: from memory)";
    let card = |name: String, title: String, rows: Vec<Row>| Card {
        kind: "fit",
        name,
        title,
        unit: Unit::Mm,
        rows,
        source: source.to_owned(),
    };
    match (nominal, zones.contains('/')) {
        (Some(nominal), true) => {
            let fit = fit(zones)?;
            let name = format!("{} {}/{}", trimmed(nominal.as_mm(), 3), fit.hole.name(), fit.shaft.name());
            Ok(card(name.clone(), format!("Fit {name}"), fit_rows(fit, nominal)?))
        }
        (Some(nominal), false) => {
            let zone = zone(zones)?;
            let name = format!("{} {}", trimmed(nominal.as_mm(), 3), zone.name());
            Ok(card(name.clone(), format!("{} {name}", noun(zone)), limit_rows("", "", zone, nominal)?))
        }
        (None, true) => {
            let fit = fit(zones)?;
            let mut rows = Vec::new();
            for (from, to) in ranges() {
                // A zone that the standard leaves out of a range has no row there.
                let Ok(clearance) = fit.clearance(to) else { continue };
                let (key, label) = range_names(from, to);
                rows.push(length(
                    &format!("{key}_clearance_least"),
                    &format!("{label}: clearance, least"),
                    clearance.least,
                ));
                rows.push(length(
                    &format!("{key}_clearance_most"),
                    &format!("{label}: clearance, most"),
                    clearance.most,
                ));
            }
            let name = format!("{}/{}", fit.hole.name(), fit.shaft.name());
            Ok(card(name.clone(), format!("Fit {name}, all sizes"), rows))
        }
        (None, false) => {
            let zone = zone(zones)?;
            let mut rows = Vec::new();
            for (from, to) in ranges() {
                let Ok(found) = zone.limits(to) else { continue };
                let (key, label) = range_names(from, to);
                rows.push(length(&format!("{key}_upper"), &format!("{label}: upper deviation"), found.upper));
                rows.push(length(&format!("{key}_lower"), &format!("{label}: lower deviation"), found.lower));
            }
            Ok(card(zone.name(), format!("{} {}, all sizes", noun(zone), zone.name()), rows))
        }
    }
}

/// Splits `25 mm H7/g6` before the letter of the first zone.
fn split_size(asked: &str) -> (&str, &str) {
    let starts_number = asked.starts_with(|c: char| c.is_ascii_digit() || matches!(c, '.' | '-'));
    if !starts_number {
        return ("", asked);
    }
    if let Some((size, zones)) = asked.rsplit_once(' ') {
        return (size.trim(), zones);
    }
    let at = asked.find(|c: char| c.is_ascii_alphabetic()).unwrap_or(asked.len());
    asked.split_at_checked(at).unwrap_or(("", asked))
}

fn noun(zone: Zone) -> &'static str {
    if zone.is_hole() { "Hole" } else { "Shaft" }
}

fn range_names(from: Length, to: Length) -> (String, String) {
    let to = trimmed(to.as_mm(), 1);
    let from = trimmed(from.as_mm(), 1);
    // The first range of ISO 2768-1 holds its own lower bound.
    let label = if from == "0.5" { format!("{from} to {to} mm") } else { format!("Over {from} to {to} mm") };
    (format!("to_{}", to.replace('.', "_")), label)
}

/// `Largest size` alone, `Hole, largest size` after a word.
fn label_of(before: &str, words: &str) -> String {
    if before.is_empty() { words.to_owned() } else { format!("{before}{}", words.to_ascii_lowercase()) }
}

fn limit_rows(key: &str, label: &str, zone: Zone, nominal: Length) -> Result<Vec<Row>, Unknown> {
    let found = zone.limits(nominal)?;
    let named =
        |name: &str, words: &str, value: Length| length(&format!("{key}{name}"), &label_of(label, words), value);
    Ok(vec![
        named("upper", "Upper deviation", found.upper),
        named("lower", "Lower deviation", found.lower),
        named("largest", "Largest size", nominal + found.upper),
        named("smallest", "Smallest size", nominal + found.lower),
    ])
}

fn fit_rows(fit: Fit, nominal: Length) -> Result<Vec<Row>, Unknown> {
    let clearance = fit.clearance(nominal)?;
    let mut rows = limit_rows("hole_", "Hole, ", fit.hole, nominal)?;
    rows.extend(limit_rows("shaft_", "Shaft, ", fit.shaft, nominal)?);
    let note = |value: Length| if value < Length::ZERO { "interference" } else { "" };
    rows.push(noted("clearance_least", "Clearance, least", Value::Length(clearance.least), note(clearance.least)));
    rows.push(noted("clearance_most", "Clearance, most", Value::Length(clearance.most), note(clearance.most)));
    Ok(rows)
}

pub(super) fn screw_card(name: &str) -> Result<Card, Unknown> {
    let form = || {
        Unknown::new(
            format!("`{}` is no screw that is known here.", shown(name)),
            "Write the thread and the kind: `M5 set`, `1/4-20 set`, `M6 cap`.",
        )
    };
    if name.len() > LONGEST {
        return Err(form());
    }
    let words: Vec<&str> = name.split_whitespace().collect();
    let is = |word: &&str, kind: &str| word.eq_ignore_ascii_case(kind);
    let kind = |kind: &str| words.iter().any(|word| is(word, kind));
    let ignored = ["set", "cap", "screw", "socket", "head"];
    let rest: Vec<&str> = words.iter().copied().filter(|word| !ignored.iter().any(|known| is(word, known))).collect();
    let thread_name = rest.join(" ");
    if thread_name.is_empty() || kind("set") == kind("cap") {
        return Err(form());
    }
    if kind("set") { Ok(set_card(&set_screw(&thread_name)?)) } else { Ok(cap_card(&cap_screw(&thread_name)?)) }
}

fn set_card(screw: &SetScrew) -> Card {
    let points: Vec<&str> = screw
        .points
        .iter()
        .map(|point| match point {
            Point::Flat => "flat",
            Point::Cone => "cone",
            Point::Dog => "dog",
            Point::Cup => "cup",
            Point::Oval => "oval",
        })
        .collect();
    let mut rows = vec![
        length("key", "Key across flats", screw.key),
        text("key_name", "Key", screw.key_name.clone()),
        length("key_engagement", "Key engagement, least", screw.key_engagement),
        text("points", "Points", points.join(", ")),
        length("cup_diameter", "Cup point diameter, largest", screw.cup_diameter),
        length("flat_diameter_min", "Flat point diameter, smallest", screw.flat_diameter.0),
        length("flat_diameter_max", "Flat point diameter, largest", screw.flat_diameter.1),
        length("dog_diameter_min", "Dog point diameter, smallest", screw.dog_diameter.0),
        length("dog_diameter_max", "Dog point diameter, largest", screw.dog_diameter.1),
        row("lengths", "Lengths", Value::Lengths(screw.lengths.to_vec())),
        row("torque", "Seating torque", Value::Torque(screw.torque)),
        noted(
            "torque_least",
            "Seating torque, least chart",
            Value::Torque(screw.torque_least),
            "take this one in doubt",
        ),
        text("hardness", "Hardness class", screw.hardness),
    ];
    if let Some(force) = screw.holding_least {
        rows.push(noted("holding_least", "Holding power, lower chart", Value::Force(force), "ultimate, cup point"));
    }
    if let Some(force) = screw.holding_textbook {
        rows.push(noted("holding_textbook", "Holding power, textbook", Value::Force(force), "ultimate, from memory"));
    }
    Card {
        kind: "screw",
        name: format!("{} set", screw.thread),
        title: format!("Socket set screw {}", screw.thread),
        unit: screw.unit,
        rows,
        source: screw.source.clone(),
    }
}

fn cap_card(screw: &CapScrew) -> Card {
    let mut rows = vec![
        length("head_diameter", "Head diameter, largest", screw.head_diameter),
        length("head_height", "Head height, largest", screw.head_height),
        length("key", "Key across flats", screw.key),
        text("key_name", "Key", screw.key_name.clone()),
        length("counterbore_diameter", "Counterbore diameter", screw.counterbore_diameter),
        noted("counterbore_depth", "Counterbore depth", Value::Length(screw.counterbore_depth), "head flush"),
    ];
    let mut source = screw.source.clone();
    for room in Room::ALL {
        if let Ok(hole) = clearance_hole(&screw.thread, room) {
            let (key, label) = (format!("clearance_{}", room.name()), format!("Clearance hole, {}", room.name()));
            let note = match screw.unit {
                Unit::Mm => hole.zone.to_owned(),
                Unit::Inch => format!("{}, {}", hole.name, hole.zone),
            };
            rows.push(noted(&key, &label, Value::Length(hole.diameter), note));
            if room == Room::Close {
                source = format!("{source}; clearance holes {}", hole.source);
            }
        }
    }
    Card {
        kind: "screw",
        name: format!("{} cap", screw.thread),
        title: format!("Socket head cap screw {}", screw.thread),
        unit: screw.unit,
        rows,
        source,
    }
}

/// `ISO 2768-m`, `2768-m 30 mm`; a bare number is in millimetres, as the standard is.
pub(super) fn tolerance_card(name: &str) -> Result<Card, Unknown> {
    let asked = name.trim();
    if asked.len() > LONGEST {
        return Class::named(asked).map(|class| tolerance(class, Vec::new()));
    }
    if let Ok(class) = Class::named(asked) {
        let mut rows = Vec::new();
        for (from, to) in general::ranges() {
            let Ok(deviation) = general::general(class, to) else { continue };
            let (key, label) = range_names(from, to);
            rows.push(noted(&key, &label, Value::Length(deviation), "either way"));
        }
        // The range of each of these sizes is that up to it; the last range is open.
        for (to, label) in [(3.0, "Radius 0.5 to 3 mm"), (6.0, "Radius over 3 to 6 mm"), (7.0, "Radius over 6 mm")] {
            let deviation = general::general_radius(class, Length::mm(to))?;
            let key = if to > 6.0 { "radius_over_6".to_owned() } else { format!("radius_to_{}", trimmed(to, 0)) };
            rows.push(noted(&key, label, Value::Length(deviation), "either way; chamfers too"));
        }
        for (to, label) in [
            (10.0, "Angle, shorter leg to 10 mm"),
            (50.0, "Angle, leg over 10 to 50 mm"),
            (120.0, "Angle, leg over 50 to 120 mm"),
            (400.0, "Angle, leg over 120 to 400 mm"),
            (401.0, "Angle, leg over 400 mm"),
        ] {
            let deviation = general::general_angle(class, Length::mm(to))?;
            let key = if to > 400.0 { "angle_over_400".to_owned() } else { format!("angle_to_{}", trimmed(to, 0)) };
            rows.push(noted(&key, label, Value::Angle(deviation), "either way"));
        }
        return Ok(tolerance(class, rows));
    }
    // The size starts at the first blank after which the rest can be read as a length.
    for (at, _) in asked.match_indices(' ') {
        let (class, size) = asked.split_at_checked(at).unwrap_or((asked, ""));
        let (Ok(class), Ok((mm, None | Some(Dim::LENGTH)))) = (Class::named(class), read(size)) else { continue };
        let nominal = Length::mm(mm);
        let deviation = general::general(class, nominal)?;
        let rows = vec![
            length("nominal", "Nominal size", nominal),
            noted("deviation", "Deviation", Value::Length(deviation), "either way"),
            length("largest", "Largest size", nominal + deviation),
            length("smallest", "Smallest size", nominal - deviation),
        ];
        return Ok(tolerance(class, rows));
    }
    Err(Unknown::new(
        format!("`{}` is no general tolerance that is known here.", shown(name)),
        "Write `ISO 2768-m` or `2768-m 30 mm`; the classes are f, m, c and v.",
    ))
}

fn tolerance(class: Class, rows: Vec<Row>) -> Card {
    Card {
        kind: "tolerance",
        name: format!("ISO 2768-{}", class.letter()),
        title: format!("General tolerances ISO 2768-{}", class.letter()),
        unit: Unit::Mm,
        rows,
        source: "ISO 2768-1, tables 1 to 3 (angles partly from memory)".to_owned(),
    }
}

pub(super) fn material_card(name: &str) -> Result<Card, Unknown> {
    let found = material(name)?;
    let rows = vec![
        row("density", "Density", Value::Density(found.density)),
        noted("yield_strength", "Yield strength", Value::Stress(found.yield_strength), "typical"),
        noted("tensile_strength", "Tensile strength", Value::Stress(found.tensile_strength), "typical"),
        noted("shear_strength", "Shear strength", Value::Stress(found.shear_strength), "typical"),
        text("hardness", "Hardness", found.hardness),
        noted("drill_speed", "Drill, high-speed steel", Value::Feed(found.drill_speed), "to start with"),
        noted("hss_speed", "End mill, high-speed steel", Value::Feed(found.hss_speed), "to start with"),
        noted("carbide_speed", "End mill, carbide", Value::Feed(found.carbide_speed), "to start with"),
        row("cutting_force", "Specific cutting force at 1 mm chip", Value::Stress(found.cutting_force)),
        row("cutting_exponent", "Its exponent for thinner chips", Value::Number(found.cutting_exponent)),
    ];
    Ok(Card { kind: "material", name: found.name, title: found.title, unit: Unit::Mm, rows, source: found.source })
}

//! What formulas may ask of a thread, a screw, a material, a fit, a bar: one table.

use std::sync::Arc;

use super::{Kind, Value};
use crate::quantity::{Dim, Length, Quantity, Stress};
use crate::standards::screw::{Room, cap_screw, clearance_hole, set_screw_for};
use crate::standards::stock;

/// Something that a value can be asked: `screw.major`, `screw.internal_shear_area(10 mm)`.
#[derive(Clone, Copy, Debug)]
pub struct Field {
    /// The kind of value that is asked.
    pub of: Kind,
    /// The name behind the dot.
    pub name: &'static str,
    /// The kinds of its arguments.
    pub takes: &'static [Kind],
    /// The kind of the answer.
    pub gives: Kind,
    /// What it is, in one sentence with its source.
    pub about: &'static str,
    pub(super) ask: fn(&Value, &[Value]) -> Result<Value, String>,
}

/// All fields, by kind and name.
pub fn fields() -> &'static [Field] {
    FIELDS
}

pub(super) fn field(of: Kind, name: &str) -> Option<&'static Field> {
    FIELDS.iter().find(|field| field.of == of && field.name == name)
}

const LENGTH: Kind = Kind::LENGTH;
const AREA: Kind = Kind::Quantity(Dim::AREA);
const STRESS: Kind = Kind::Quantity(Dim::STRESS);
const DENSITY: Kind = Kind::Quantity(Dim::DENSITY);
const TORQUE: Kind = Kind::Quantity(Dim::TORQUE);

macro_rules! field {
    ($of:ident, $name:literal, [$($takes:expr),*], $gives:expr, $about:literal, |$it:ident, $arguments:pat_param| $ask:expr) => {
        Field {
            of: Kind::$of,
            name: $name,
            takes: &[$($takes),*],
            gives: $gives,
            about: $about,
            ask: |value, arguments| match (value, arguments) {
                (Value::$of($it), $arguments) => $ask,
                _ => Err("this is asked of another kind of value".to_owned()),
            },
        }
    };
}

const FIELDS: &[Field] = &[
    field!(Thread, "name", [], Kind::Word, "The thread as a person calls it: M5, 1/4-20.", |it, _| Ok(Value::Word(
        it.name.clone()
    ))),
    field!(Thread, "major", [], LENGTH, "Basic major diameter (ISO 724, ASME B1.1).", |it, _| length(it.major)),
    field!(Thread, "pitch", [], LENGTH, "Axial distance between neighbouring threads.", |it, _| length(it.pitch)),
    field!(
        Thread,
        "tap_drill",
        [],
        LENGTH,
        "Diameter of the usual drill before the thread is cut; common practice.",
        |it, _| length(it.tap_drill.diameter)
    ),
    field!(
        Thread,
        "minor_least",
        [],
        LENGTH,
        "Smallest minor diameter of the hole (6H of ISO 965-1, 2B of ASME B1.1).",
        |it, _| length(it.internal.minor_min)
    ),
    field!(
        Thread,
        "minor_most",
        [],
        LENGTH,
        "Largest minor diameter of the hole (6H of ISO 965-1, 2B of ASME B1.1).",
        |it, _| length(it.internal.minor_max)
    ),
    field!(Thread, "stress_area", [], AREA, "Tensile stress area of the screw (ISO 898-1, ASME B1.1).", |it, _| {
        quantity(it.stress_area.as_mm2(), Dim::AREA)
    }),
    field!(
        Thread,
        "internal_shear_area",
        [LENGTH],
        AREA,
        "Area that strips when the hole's thread fails, for a length of engagement, at least material (FED-STD-H28/2B).",
        |it, [engagement, ..]| quantity(it.internal_shear_area(of_length(engagement)).as_mm2(), Dim::AREA)
    ),
    field!(
        Thread,
        "external_shear_area",
        [LENGTH],
        AREA,
        "Area that strips when the screw's thread fails, for a length of engagement, at least material (FED-STD-H28/2B).",
        |it, [engagement, ..]| quantity(it.external_shear_area(of_length(engagement)).as_mm2(), Dim::AREA)
    ),
    field!(
        Thread,
        "engagement_for_full_strength",
        [STRESS, STRESS],
        LENGTH,
        "Engagement at which the screw breaks before the hole strips, from the tensile strengths of screw and hole (FED-STD-H28/2B).",
        |it, [screw, hole, ..]| length(it.engagement_for_full_strength(of_stress(screw), of_stress(hole)))
    ),
    field!(
        Thread,
        "set_screw",
        [],
        Kind::SetScrew,
        "The set screw of this thread (ISO 4026 to 4029, ASME B18.3).",
        |it, _| set_screw_for(it).map(|screw| Value::SetScrew(Arc::new(screw))).map_err(|unknown| unknown.to_string())
    ),
    field!(
        Thread,
        "cap_screw",
        [],
        Kind::CapScrew,
        "The socket head cap screw of this thread (ISO 4762, ASME B18.3).",
        |it, _| cap_screw(&it.name)
            .map(|screw| Value::CapScrew(Arc::new(screw)))
            .map_err(|unknown| unknown.to_string())
    ),
    field!(
        Thread,
        "clearance_close",
        [],
        LENGTH,
        "Diameter of the close hole that a screw passes (ISO 273 fine, ASME B18.2.8 close).",
        |it, _| clearance(&it.name, Room::Close)
    ),
    field!(
        Thread,
        "clearance_normal",
        [],
        LENGTH,
        "Diameter of the usual hole that a screw passes (ISO 273 medium, ASME B18.2.8 normal).",
        |it, _| clearance(&it.name, Room::Normal)
    ),
    field!(
        Thread,
        "clearance_loose",
        [],
        LENGTH,
        "Diameter of the roomy hole that a screw passes (ISO 273 coarse, ASME B18.2.8 loose).",
        |it, _| clearance(&it.name, Room::Loose)
    ),
    field!(CapScrew, "head_diameter", [], LENGTH, "Diameter of its head (ISO 4762, ASME B18.3).", |it, _| length(
        it.head_diameter
    )),
    field!(CapScrew, "head_height", [], LENGTH, "Height of its head (ISO 4762, ASME B18.3).", |it, _| length(
        it.head_height
    )),
    field!(CapScrew, "key", [], LENGTH, "Width across flats of its hexagon key (ISO 4762, ASME B18.3).", |it, _| {
        length(it.key)
    }),
    field!(
        CapScrew,
        "counterbore",
        [],
        LENGTH,
        "Diameter of the counterbore for its head (DIN 974-1, ASME B18.3 appendix).",
        |it, _| length(it.counterbore_diameter)
    ),
    field!(
        SetScrew,
        "key",
        [],
        LENGTH,
        "Width across flats of its hexagon key (ISO 4026 to 4029, ASME B18.3).",
        |it, _| length(it.key)
    ),
    field!(
        SetScrew,
        "key_name",
        [],
        Kind::Word,
        "Its hexagon key as it is called: 2.5 mm, 3/32 in (ISO 4026 to 4029, ASME B18.3).",
        |it, _| Ok(Value::Word(it.key_name.clone()))
    ),
    field!(
        SetScrew,
        "torque",
        [],
        TORQUE,
        "Seating torque in steel; where makers' charts disagree, the lowest.",
        |it, _| { quantity(it.torque_least.as_newton_mm(), Dim::TORQUE) }
    ),
    field!(
        SetScrew,
        "torque_most",
        [],
        TORQUE,
        "Seating torque in steel; where makers' charts disagree, the highest.",
        |it, _| quantity(it.torque_most.as_newton_mm(), Dim::TORQUE)
    ),
    field!(SetScrew, "longest", [LENGTH], LENGTH, "The longest standard length up to a limit.", |it, [limit, ..]| {
        let limit = of_length(limit);
        match it.longest_up_to(limit) {
            Some(found) => length(found),
            None => Err(format!(
                "no standard {} set screw is as short as {} mm",
                it.thread,
                crate::quantity::trimmed(limit.as_mm(), 2)
            )),
        }
    }),
    field!(Material, "name", [], Kind::Word, "The short name of the material.", |it, _| Ok(Value::Word(
        it.name.clone()
    ))),
    field!(Material, "density", [], DENSITY, "Density.", |it, _| quantity(it.density.as_gram_per_mm3(), Dim::DENSITY)),
    field!(Material, "yield", [], STRESS, "Yield or 0.2 % proof strength, typical.", |it, _| quantity(
        it.yield_strength.as_mpa(),
        Dim::STRESS
    )),
    field!(Material, "tensile", [], STRESS, "Tensile strength, typical.", |it, _| quantity(
        it.tensile_strength.as_mpa(),
        Dim::STRESS
    )),
    field!(Material, "shear", [], STRESS, "Shear strength, typical.", |it, _| quantity(
        it.shear_strength.as_mpa(),
        Dim::STRESS
    )),
    field!(
        Fit,
        "upper",
        [LENGTH],
        LENGTH,
        "Upper limit deviation for a nominal size (ISO 286-2), or minus the least clearance.",
        |it, [nominal, ..]| length(it.deviations(of_length(nominal))?.upper)
    ),
    field!(
        Fit,
        "lower",
        [LENGTH],
        LENGTH,
        "Lower limit deviation for a nominal size (ISO 286-2), or minus the most clearance.",
        |it, [nominal, ..]| length(it.deviations(of_length(nominal))?.lower)
    ),
    field!(Bar, "width", [], LENGTH, "Width of the section.", |it, _| length(it.width)),
    field!(Bar, "height", [], LENGTH, "Height of the section.", |it, _| length(it.height)),
    field!(
        Bar,
        "tolerance",
        [],
        LENGTH,
        "How far width and height may lie from what they are called.",
        |it, _| length(it.tolerance)
    ),
    field!(Bar, "name", [], Kind::Word, "What the bar is called on the rack.", |it, _| Ok(Value::Word(
        it.name.clone()
    ))),
    field!(
        Rack,
        "largest",
        [Kind::Material, LENGTH, LENGTH],
        Kind::Bar,
        "The largest section of a material on the rack within a width and a height.",
        |it, arguments| from_rack(it, arguments, "is within", stock::largest_within)
    ),
    field!(
        Rack,
        "smallest",
        [Kind::Material, LENGTH, LENGTH],
        Kind::Bar,
        "The smallest section of a material on the rack that is at least so wide and so high.",
        |it, arguments| from_rack(it, arguments, "is at least", stock::smallest_around)
    ),
    field!(Places, "count", [], Kind::NUMBER, "How many places there are.", |it, _| {
        quantity(u32::try_from(it.len()).unwrap_or(u32::MAX).into(), Dim::NUMBER)
    }),
];

/// What `find` brings from the rack for a material, a width and a height; `what` says what was
/// looked for.
fn from_rack(
    rack: &[stock::Bar],
    arguments: &[Value],
    what: &str,
    find: fn(&[stock::Bar], &str, Length, Length) -> Option<stock::Bar>,
) -> Result<Value, String> {
    let [Value::Material(material), width, height] = arguments else {
        return Err("this takes a material, a width and a height".to_owned());
    };
    let found = find(rack, &material.name, of_length(width), of_length(height));
    found.map(|bar| Value::Bar(Arc::new(bar))).ok_or_else(|| {
        let say = |value| crate::quantity::trimmed(of_length(value).as_mm(), 2);
        format!("no {} bar on the rack {what} {} × {} mm", material.name, say(width), say(height))
    })
}

fn clearance(thread: &str, room: Room) -> Result<Value, String> {
    clearance_hole(thread, room).map(|hole| Value::of_length(hole.diameter)).map_err(|unknown| unknown.to_string())
}

#[allow(clippy::unnecessary_wraps, reason = "every answer of the table has one type")]
const fn length(length: Length) -> Result<Value, String> {
    Ok(Value::of_length(length))
}

#[allow(clippy::unnecessary_wraps, reason = "every answer of the table has one type")]
const fn quantity(value: f64, dim: Dim) -> Result<Value, String> {
    Ok(Value::Quantity(Quantity::new(value, dim)))
}

const fn of_length(value: &Value) -> Length {
    Length::mm(value.number())
}

const fn of_stress(value: &Value) -> Stress {
    Stress::mpa(value.number())
}

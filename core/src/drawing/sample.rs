//! Parts for tests, made by hand: bars of a small workshop that makes warping-frame rails.

use super::{Format, Stamp};
use crate::diag::Origin;
use crate::part::{
    Basis, Blank, Depth, Face, Feature, General, Head, Holes, Kind, Make, Part, Place, Size, Slot, Tongue,
};
use crate::quantity::{Area, Density, Feed, Length, Mass, Stress, Unit};
use crate::standards::drill::Drill;
use crate::standards::material::{Group, Material};
use crate::standards::thread::{External, Hand, Internal, Thread};

/// M5x0.8 6H: limits of ISO 965-1.
pub(crate) fn m5() -> Thread {
    metric("M5x0.8", "M5", (5.0, 0.8), (4.134, 4.334), (4.480, 4.605), 4.2)
}

/// M3x0.5 6H: limits of ISO 965-1, from memory.
pub(crate) fn m3() -> Thread {
    metric("M3x0.5", "M3", (3.0, 0.5), (2.459, 2.599), (2.675, 2.775), 2.5)
}

fn metric(
    designation: &str,
    name: &str,
    (major, pitch): (f64, f64),
    minor: (f64, f64),
    effective: (f64, f64),
    drill: f64,
) -> Thread {
    let mm = Length::mm;
    thread(
        designation,
        name,
        Unit::Mm,
        "6H",
        (mm(major), mm(pitch)),
        (mm(minor.0), mm(minor.1)),
        (mm(effective.0), mm(effective.1)),
        Drill { name: format!("{drill} mm"), diameter: mm(drill) },
    )
}

/// 1/4-20 UNC 2B: limits of ASME B1.1.
pub(crate) fn quarter() -> Thread {
    let inch = Length::inch;
    thread(
        "1/4-20 UNC",
        "1/4-20",
        Unit::Inch,
        "2B",
        (inch(0.25), inch(0.05)),
        (inch(0.196), inch(0.207)),
        (inch(0.2175), inch(0.2224)),
        Drill { name: "#7".into(), diameter: inch(0.201) },
    )
}

#[allow(clippy::too_many_arguments, reason = "a row of a table, called in three places above")]
fn thread(
    designation: &str,
    name: &str,
    unit: Unit,
    class: &str,
    (major, pitch): (Length, Length),
    minor: (Length, Length),
    effective: (Length, Length),
    tap_drill: Drill,
) -> Thread {
    Thread {
        designation: designation.into(),
        name: name.into(),
        unit,
        major,
        pitch,
        internal: Internal {
            class: class.into(),
            minor_min: minor.0,
            minor_max: minor.1,
            pitch_min: effective.0,
            pitch_max: effective.1,
        },
        external: External {
            class: if unit == Unit::Mm { "6g".into() } else { "2A".into() },
            major_max: major,
            major_min: major * 0.98,
            pitch_max: effective.0,
            pitch_min: effective.0 * 0.98,
        },
        tap_drill,
        stress_area: Area::mm2(14.2),
        source: "test".into(),
    }
}

pub(crate) fn size(name: &str, title: &str, nominal: Length, upper: Length, lower: Length, basis: Basis) -> Size {
    Size { name: name.into(), title: title.into(), nominal, upper, lower, basis }
}

/// A bar of these extents, in its unit, without features.
pub(crate) fn bar(unit: Unit, (length, width, height): (f64, f64, f64)) -> Part {
    let of = |value| unit.length(value);
    let nothing = Length::ZERO;
    let within = match unit {
        Unit::Mm => super::general::tolerance(crate::standards::general::Class::Medium, of(length)).unwrap_or(nothing),
        Unit::Inch => Length::inch(0.005),
    };
    Part {
        ends: crate::part::Ends::default(),
        family: "joining-key".into(),
        number: format!("JK-{length}-{width}-{height}"),
        title: "Joining key".into(),
        unit,
        material: Material {
            name: "brass".into(),
            title: "Brass C36000 (CuZn36Pb3), half hard".into(),
            group: Group::Brass,
            density: Density::gram_per_mm3(0.0085),
            yield_strength: Stress::mpa(310.0),
            tensile_strength: Stress::mpa(400.0),
            shear_strength: Stress::mpa(230.0),
            hardness: "about 78 HRB".into(),
            drill_speed: Feed::mm_per_min(60_000.0),
            hss_speed: Feed::mm_per_min(60_000.0),
            carbide_speed: Feed::mm_per_min(150_000.0),
            cutting_force: Stress::mpa(780.0),
            cutting_exponent: 0.18,
            source: "test".into(),
        },
        blank: Blank {
            length: of(length),
            width: of(width),
            height: of(height),
            bar: match unit {
                Unit::Mm => format!("flat bar {width} x {height} mm"),
                Unit::Inch => format!("flat bar {width} x {height} in"),
            },
        },
        length: size("length", "length of the bar", of(length), within, -within, Basis::General),
        width: size("width", "width of the bar", of(width), nothing, nothing, Basis::Stock),
        height: size("height", "height of the bar", of(height), nothing, nothing, Basis::Stock),
        features: Vec::new(),
        general: General { name: if unit == Unit::Mm { "ISO 2768-m".into() } else { String::new() } },
        edge_break: Some(match unit {
            Unit::Mm => (Length::mm(0.1), Length::mm(0.3)),
            Unit::Inch => (Length::inch(0.005), Length::inch(0.015)),
        }),
        finish: "as machined".into(),
        mass: Mass::gram(length * width * height * if unit == Unit::Mm { 0.0085 } else { 139.0 }),
        notes: vec!["Deburr threads on both sides.".into()],
        hardware: Vec::new(),
    }
}

/// A tongue, e9 in its slot for millimetres, given limits for inches.
pub(crate) fn with_tongue(mut part: Part, width: f64, height: f64) -> Part {
    let of = |value| part.unit.length(value);
    let wide = match part.unit {
        Unit::Mm => {
            size("tongue_width", "width of the tongue", of(width), of(-0.025), of(-0.061), Basis::Zone("e9".into()))
        }
        Unit::Inch => size("tongue_width", "width of the tongue", of(width), of(-0.001), of(-0.0025), Basis::Given),
    };
    let within = of(if part.unit == Unit::Mm { 0.1 } else { 0.005 });
    let high = size("tongue_height", "height of the tongue", of(height), Length::ZERO, -within, Basis::Given);
    let centring = of(if part.unit == Unit::Mm { 0.05 } else { 0.002 });
    part.features.push(Feature {
        id: "tongue".into(),
        title: "Tongue".into(),
        face: Face::Top,
        origin: Origin::default(),
        kind: Kind::Tongue(Tongue { width: wide, height: high, centring }),
    });
    part
}

/// A group of tapped holes with entry chamfers.
pub(crate) fn with_threads(mut part: Part, id: &str, thread: Thread, places: &[(f64, f64)]) -> Part {
    let of = |value| part.unit.length(value);
    let places = places.iter().map(|(x, y)| Place { x: of(*x), y: of(*y) }).collect();
    let chamfer =
        Some(if thread.unit == Unit::Mm { thread.major + Length::mm(0.5) } else { thread.major + Length::inch(0.02) });
    let drill = thread.tap_drill.clone();
    part.features.push(Feature {
        id: id.into(),
        title: "Set screw hole".into(),
        face: Face::Top,
        origin: Origin::default(),
        kind: Kind::Holes(Holes {
            places,
            place_tolerance: of(if part.unit == Unit::Mm { 0.1 } else { 0.005 }),
            depth: Depth::Through,
            make: Make::Tapped { thread: Box::new(thread), hand: Hand::Right, drill, full: None },
            chamfer,
            head: None,
        }),
    });
    part
}

/// A group of plain holes.
pub(crate) fn with_plain(mut part: Part, id: &str, diameter: Size, places: &[(f64, f64)]) -> Part {
    let of = |value| part.unit.length(value);
    let places = places.iter().map(|(x, y)| Place { x: of(*x), y: of(*y) }).collect();
    part.features.push(Feature {
        id: id.into(),
        title: "Pin hole".into(),
        face: Face::Top,
        origin: Origin::default(),
        kind: Kind::Holes(Holes {
            places,
            place_tolerance: of(if part.unit == Unit::Mm { 0.2 } else { 0.01 }),
            depth: Depth::Through,
            make: Make::Plain { diameter },
            chamfer: None,
            head: None,
        }),
    });
    part
}

/// The part that everything is shown on: 60 x 16 x 12 with four set screws.
pub(crate) fn key() -> Part {
    let part = with_tongue(bar(Unit::Mm, (60.0, 16.0, 12.0)), 8.0, 4.0);
    with_threads(part, "set_screws", m5(), &[(-22.5, 0.0), (-7.5, 0.0), (7.5, 0.0), (22.5, 0.0)])
}

/// Twelve holes in a row on a long bar.
pub(crate) fn long() -> Part {
    let places: Vec<(f64, f64)> = (0..12).map(|n| (-137.5 + 25.0 * f64::from(n), 0.0)).collect();
    with_threads(with_tongue(bar(Unit::Mm, (300.0, 20.0, 12.0)), 10.0, 4.0), "set_screws", m5(), &places)
}

/// One hole in a very small bar.
pub(crate) fn tiny() -> Part {
    with_threads(bar(Unit::Mm, (12.0, 6.0, 5.0)), "set_screw", m3(), &[(0.0, 0.0)])
}

/// The key of an inch shop.
pub(crate) fn inch_key() -> Part {
    let part = with_tongue(bar(Unit::Inch, (2.5, 0.75, 0.5)), 0.375, 0.188);
    with_threads(part, "set_screws", quarter(), &[(-0.875, 0.0), (-0.3125, 0.0), (0.3125, 0.0), (0.875, 0.0)])
}

/// A spacer plate with a grid of threads and two pins.
pub(crate) fn plate() -> Part {
    let part = bar(Unit::Mm, (80.0, 40.0, 10.0));
    let grid: Vec<(f64, f64)> = [-30.0, 0.0, 30.0].iter().flat_map(|x| [-12.0, 12.0].map(|y| (*x, y))).collect();
    let pin = size(
        "pin",
        "diameter of the pin holes",
        Length::mm(6.0),
        Length::mm(0.012),
        Length::ZERO,
        Basis::Zone("H7".into()),
    );
    with_plain(with_threads(part, "screws", m5(), &grid), "pins", pin, &[(-15.0, 0.0), (15.0, 0.0)])
}

pub(crate) fn format(part: &Part) -> Format {
    Format::usual(part.unit)
}

pub(crate) fn stamp() -> Stamp {
    Stamp {
        revision: "A".into(),
        date: Some("2026-11-25".into()),
        drawn_by: Some("R. Weber".into()),
        digest: "3f9a1c0b77e2d4568b1f0a9c".into(),
        owner: "Warping-frame workshop".into(),
        facing: Length::ZERO,
    }
}

/// A group of holes of any make on any face.
pub(crate) fn with_holes(mut part: Part, (id, title): (&str, &str), face: Face, holes: Holes) -> Part {
    part.features.push(Feature {
        id: id.into(),
        title: title.into(),
        face,
        origin: Origin::default(),
        kind: Kind::Holes(holes),
    });
    part
}

/// Holes of a make at places in the unit of the part, with its general tolerance.
pub(crate) fn holes(unit: Unit, places: &[(f64, f64)], make: Make, depth: Depth) -> Holes {
    let places = places.iter().map(|(x, y)| Place { x: unit.length(*x), y: unit.length(*y) }).collect();
    let place_tolerance = unit.length(if unit == Unit::Mm { 0.1 } else { 0.005 });
    Holes { places, place_tolerance, depth, make, chamfer: None, head: None }
}

/// A size in millimetres under the general tolerance that the drawing's table gives it.
pub(crate) fn general(name: &str, title: &str, nominal: f64) -> Size {
    let nominal = Length::mm(nominal);
    let class = crate::standards::general::Class::Medium;
    let within = super::general::tolerance(class, nominal).unwrap_or(Length::ZERO);
    size(name, title, nominal, within, -within, Basis::General)
}

/// A threaded hole of millimetres; `full` is how deep its thread is whole.
pub(crate) fn tapped(thread: Thread, full: Option<Size>) -> Make {
    let drill = thread.tap_drill.clone();
    Make::Tapped { thread: Box::new(thread), hand: Hand::Right, drill, full }
}

/// A slot along the bar, or without a length a groove from end to end.
pub(crate) fn with_slot(mut part: Part, id: &str, face: Face, (x, y): (f64, f64), sizes: (f64, f64, f64)) -> Part {
    let (length, width, depth) = sizes;
    let of = |what: &str, value: f64| general(&format!("{id}.{what}"), &format!("{what} of the slot"), value);
    part.features.push(Feature {
        id: id.into(),
        title: "Slot".into(),
        face,
        origin: Origin::default(),
        kind: Kind::Slot(Slot {
            place: Place { x: Length::mm(x), y: Length::mm(y) },
            place_tolerance: Length::mm(0.1),
            length: (length > 0.0).then(|| of("length", length)),
            width: of("width", width),
            depth: if depth > 0.0 { Depth::Blind(of("depth", depth)) } else { Depth::Through },
        }),
    });
    part
}

/// Holes of every make in a row: counterbored, countersunk, blind and threaded, reamed.
pub(crate) fn headed() -> Part {
    let part = bar(Unit::Mm, (120.0, 25.0, 20.0));
    let plain = |id: &str, nominal| Make::Plain { diameter: general(&format!("{id}.diameter"), "diameter", nominal) };
    let bored = Holes {
        head: Some(Head::Counterbore {
            diameter: general("bored.head_diameter", "diameter of the counterbore", 11.0),
            depth: general("bored.head_depth", "depth of the counterbore", 6.4),
        }),
        ..holes(Unit::Mm, &[(-45.0, 0.0), (45.0, 0.0)], plain("bored", 6.6), Depth::Through)
    };
    let sunk = Holes {
        head: Some(Head::Countersink {
            diameter: general("sunk.head_diameter", "diameter of the countersink", 10.4),
            angle: crate::quantity::Angle::degree(90.0),
        }),
        ..holes(Unit::Mm, &[(-22.0, 0.0)], plain("sunk", 5.5), Depth::Through)
    };
    let full = Some(general("blind.full", "depth of full thread", 10.0));
    let deep = Depth::Blind(general("blind.depth", "depth of the drilled hole", 14.0));
    let blind = Holes { chamfer: Some(Length::mm(5.5)), ..holes(Unit::Mm, &[(0.0, 0.0)], tapped(m5(), full), deep) };
    let pin = size("pin", "diameter", Length::mm(6.0), Length::mm(0.012), Length::ZERO, Basis::Zone("H7".into()));
    let reamed = Make::Reamed { diameter: pin };
    let reamed = holes(
        Unit::Mm,
        &[(22.0, 0.0)],
        reamed,
        Depth::Blind(general("reamed.depth", "depth of the reamed hole", 12.0)),
    );
    let part = with_holes(part, ("bored", "Screw hole"), Face::Top, bored);
    let part = with_holes(part, ("sunk", "Countersunk hole"), Face::Top, sunk);
    let part = with_holes(part, ("blind", "Blind thread"), Face::Top, blind);
    with_holes(part, ("reamed", "Pin hole"), Face::Top, reamed)
}

/// A bar with holes from above, below and both ends.
pub(crate) fn all_round(tongue: bool) -> Part {
    let part = bar(Unit::Mm, (90.0, 30.0, 24.0));
    let part = if tongue { with_tongue(part, 14.0, 5.0) } else { part };
    let part = with_threads(part, "top", m5(), &[(-30.0, 0.0), (30.0, 0.0)]);
    let full = |id: &str| Some(general(&format!("{id}.full"), "depth of full thread", 8.0));
    let deep = |id: &str| Depth::Blind(general(&format!("{id}.depth"), "depth of the drilled hole", 11.0));
    let below = holes(
        Unit::Mm,
        &[(-15.0, -8.0), (-15.0, 8.0), (15.0, -8.0), (15.0, 8.0)],
        tapped(m3(), full("below")),
        deep("below"),
    );
    let left = holes(Unit::Mm, &[(-8.0, -3.0), (8.0, -3.0)], tapped(m5(), full("left")), deep("left"));
    let right = holes(Unit::Mm, &[(0.0, 0.0)], tapped(m5(), full("right")), deep("right"));
    let part = with_holes(part, ("below", "Hole from below"), Face::Bottom, below);
    let part = with_holes(part, ("left", "Left end hole"), Face::Left, left);
    with_holes(part, ("right", "Right end hole"), Face::Right, right)
}

/// A plate with slots, a groove below and rounded corners.
pub(crate) fn slotted() -> Part {
    let mut part = bar(Unit::Mm, (100.0, 50.0, 12.0));
    part.ends.corner = Some(general("corner", "radius of the corners", 6.0));
    let part = with_slot(part, "slot", Face::Top, (20.0, 10.0), (30.0, 8.0, 5.0));
    let part = with_slot(part, "window", Face::Top, (-25.0, -10.0), (24.0, 6.0, 0.0));
    let part = with_slot(part, "groove", Face::Bottom, (0.0, 0.0), (0.0, 6.0, 3.0));
    with_threads(part, "screws", m5(), &[(-40.0, 15.0), (40.0, -15.0)])
}

/// A plate with a grid of so many columns and rows.
pub(crate) fn grid(columns: u32, rows: u32, pitch: f64) -> Part {
    let wide = f64::from(columns) * pitch;
    let part = bar(Unit::Mm, (wide + 10.0, f64::from(rows) * pitch + 10.0, 10.0));
    let at = |n: u32, count: u32| pitch * (f64::from(n) - (f64::from(count) - 1.0) / 2.0);
    let places: Vec<(f64, f64)> =
        (0..columns).flat_map(|x| (0..rows).map(move |y| (at(x, columns), at(y, rows)))).collect();
    with_threads(part, "screws", m5(), &places)
}

/// A plate with holes that stand in no row.
pub(crate) fn scattered(count: u32) -> Part {
    let side = f64::from(count).sqrt().ceil() * 14.0;
    let mut part = bar(Unit::Mm, (side + 40.0, side, 8.0));
    let mut places: Vec<(f64, f64)> = Vec::new();
    let across = f64::from(count).sqrt().ceil();
    for n in 0..count {
        let (row, column) = ((f64::from(n) / across).floor(), f64::from(n) % across);
        let off =
            |k: f64| (crate::quantity::trig::sin(crate::quantity::Angle::rad(f64::from(n) * k)) * 30.0).round() / 10.0;
        places.push(((column - across / 2.0 + 0.5) * 14.0 + off(3.7), (row - across / 2.0 + 0.5) * 13.0 + off(1.9)));
    }
    let half = places.len() / 2;
    part = with_threads(part, "screws", m5(), &places[..half]);
    let plain = Make::Plain { diameter: general("holes.diameter", "diameter", 4.5) };
    with_holes(part, ("holes", "Hole"), Face::Top, holes(Unit::Mm, &places[half..], plain, Depth::Through))
}

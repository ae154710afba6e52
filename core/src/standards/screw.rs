//! Socket set screws and cap screws, with the holes and counterbores they go into.

use super::screw_data::{CAP_INCH, CAP_METRIC, CapRow, HOLE_INCH, HOLE_METRIC, SET_INCH, SET_METRIC, SetRow};
use super::thread::{Thread, thread};
use super::unknown::shown;
use super::{Unknown, drill, inches};
use crate::quantity::{Force, Length, Torque, Unit};

/// A socket set screw of alloy steel.
#[derive(Clone, Debug, PartialEq)]
pub struct SetScrew {
    /// The thread, as a person calls it: `M5`, `1/4-20`.
    pub thread: String,
    /// The unit that its standard is written in.
    pub unit: Unit,
    /// Across the flats of the key.
    pub key: Length,
    /// The key as people say it: `2.5 mm`, `1/8 in`.
    pub key_name: String,
    /// How deep the key must reach at least (metric: in screws of the longer lengths).
    pub key_engagement: Length,
    /// Largest diameter of a cup point.
    pub cup_diameter: Length,
    /// Smallest and largest diameter of a flat point.
    pub flat_diameter: (Length, Length),
    /// Smallest and largest diameter of a dog point.
    pub dog_diameter: (Length, Length),
    /// Smallest and largest length of a dog point (inch: half dog, metric: long dog).
    pub dog_length: (Length, Length),
    /// Points that the standards know.
    pub points: &'static [Point],
    /// Lengths over all, shortest first.
    pub lengths: &'static [Length],
    /// Seating torque of the usual table.
    pub torque: Torque,
    /// The least seating torque that a chart gives: the one to take where nothing else is known.
    pub torque_least: Torque,
    /// The largest seating torque that a chart gives.
    pub torque_most: Torque,
    /// Ultimate axial holding power of a seated cup point on a steel shaft, by a textbook; inch
    /// sizes only. A factor of 1.5 to 2 belongs on it at rest, 4 to 8 in motion.
    pub holding_textbook: Option<Force>,
    /// The same by a chart that gives less than half of it: the one to take.
    pub holding_least: Option<Force>,
    /// Hardness class (ISO 898-5; ASTM F912 is close to it).
    pub hardness: &'static str,
    /// Where the values come from, and where sources disagree.
    pub source: String,
}

/// The end of a set screw that bears.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Point {
    /// Flat: ISO 4026.
    Flat,
    /// Cone: ISO 4027.
    Cone,
    /// Dog: ISO 4028.
    Dog,
    /// Cup: ISO 4029.
    Cup,
    /// Oval: ASME B18.3 only.
    Oval,
}

/// A socket head cap screw with its counterbore.
#[derive(Clone, Debug, PartialEq)]
pub struct CapScrew {
    /// The thread, as a person calls it.
    pub thread: String,
    /// The unit that its standard is written in.
    pub unit: Unit,
    /// Largest diameter of a plain head.
    pub head_diameter: Length,
    /// Largest height of the head.
    pub head_height: Length,
    /// Across the flats of the key.
    pub key: Length,
    /// The key as people say it.
    pub key_name: String,
    /// Diameter of the counterbore.
    pub counterbore_diameter: Length,
    /// Depth at which the head is flush.
    pub counterbore_depth: Length,
    /// Where the values come from, and where sources disagree.
    pub source: String,
}

/// How much room a screw has in its hole.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub enum Room {
    /// Close (ISO 273: fine), tolerance H12.
    Close,
    /// Normal (ISO 273: medium), tolerance H13.
    #[default]
    Normal,
    /// Loose (ISO 273: coarse), tolerance H14.
    Loose,
}

/// A plain hole that a screw passes.
#[derive(Clone, Debug, PartialEq)]
pub struct ClearanceHole {
    /// The drill, or the size, as people say it.
    pub name: String,
    /// Diameter.
    pub diameter: Length,
    /// Tolerance zone: `H12`, `H13`, `H14`.
    pub zone: &'static str,
    /// Standard and table.
    pub source: &'static str,
}

const ISO_POINTS: &[Point] = &[Point::Flat, Point::Cone, Point::Dog, Point::Cup];
const INCH_POINTS: &[Point] = &[Point::Flat, Point::Cone, Point::Dog, Point::Cup, Point::Oval];

/// Lengths of ISO 4026 to 4029 (ISO 888).
static METRIC_LENGTHS: [Length; 19] = [
    Length::mm(2.0),
    Length::mm(2.5),
    Length::mm(3.0),
    Length::mm(4.0),
    Length::mm(5.0),
    Length::mm(6.0),
    Length::mm(8.0),
    Length::mm(10.0),
    Length::mm(12.0),
    Length::mm(16.0),
    Length::mm(20.0),
    Length::mm(25.0),
    Length::mm(30.0),
    Length::mm(35.0),
    Length::mm(40.0),
    Length::mm(45.0),
    Length::mm(50.0),
    Length::mm(55.0),
    Length::mm(60.0),
];

/// Lengths in common stock within ASME B18.3 (1/16 in steps, 1/8 from 5/8, 1/4 from 1 in).
static INCH_LENGTHS: [Length; 16] = [
    Length::inch(0.125),
    Length::inch(0.1875),
    Length::inch(0.25),
    Length::inch(0.3125),
    Length::inch(0.375),
    Length::inch(0.4375),
    Length::inch(0.5),
    Length::inch(0.5625),
    Length::inch(0.625),
    Length::inch(0.75),
    Length::inch(0.875),
    Length::inch(1.0),
    Length::inch(1.25),
    Length::inch(1.5),
    Length::inch(1.75),
    Length::inch(2.0),
];

impl SetScrew {
    /// The longest screw that is no longer than `room`; a millionth of a millimetre is forgiven.
    pub fn longest_up_to(&self, room: Length) -> Option<Length> {
        self.lengths.iter().copied().rev().find(|length| length.as_mm() <= room.as_mm() + 1e-6)
    }
}

impl Room {
    /// The rooms, closest first.
    pub const ALL: [Self; 3] = [Self::Close, Self::Normal, Self::Loose];

    /// The word for it: `close`, `normal`, `loose`.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Close => "close",
            Self::Normal => "normal",
            Self::Loose => "loose",
        }
    }
}

/// The socket set screw of a thread: `M5`, `1/4-20`, `10-32`.
///
/// # Errors
/// Names that are no thread, and threads that set screws are not made in.
pub fn set_screw(thread_name: &str) -> Result<SetScrew, Unknown> {
    set_screw_of(made(&thread(thread_name)?, thread_name)?)
}

/// The socket set screw of a thread that is known already.
///
/// # Errors
/// Threads that set screws are not made in.
pub(crate) fn set_screw_for(thread: &Thread) -> Result<SetScrew, Unknown> {
    set_screw_of(made(thread, &thread.name)?)
}

fn set_screw_of(thread: &Thread) -> Result<SetScrew, Unknown> {
    let rows: &'static [SetRow] = if thread.unit == Unit::Mm { &SET_METRIC } else { &SET_INCH };
    let size = size_of(thread);
    let row = rows.iter().find(|row| row.size == size).ok_or_else(|| {
        let sizes: Vec<&str> = rows.iter().map(|row| row.size).collect();
        no_screw("set screw", thread, &sizes)
    })?;
    let length = scale(thread.unit);
    let both = |(least, most): (f64, f64)| (length(least), length(most));
    let torque = |value: f64| match thread.unit {
        Unit::Mm => Torque::newton_mm(value * 1000.0),
        Unit::Inch => Torque::newton_mm(value * LBF * 25.4),
    };
    let force = |value: f64| (value > 0.0).then(|| Force::newton(value * LBF));
    let stock: &'static [Length] = if thread.unit == Unit::Mm { &METRIC_LENGTHS } else { &INCH_LENGTHS };
    let from = stock.iter().position(|known| *known >= thread.unit.length(row.lengths.0 - 1e-9)).unwrap_or(0);
    let count = stock.iter().filter(|known| **known <= thread.unit.length(row.lengths.1 + 1e-9)).count();
    Ok(SetScrew {
        thread: thread.name.clone(),
        unit: thread.unit,
        key: length(row.key.1),
        key_name: row.key.0.to_owned(),
        key_engagement: length(row.engagement),
        cup_diameter: length(row.cup),
        flat_diameter: both(row.flat),
        dog_diameter: both(row.dog),
        dog_length: both(row.dog_length),
        points: if thread.unit == Unit::Mm { ISO_POINTS } else { INCH_POINTS },
        lengths: stock.get(from..count).unwrap_or(&[]),
        torque: torque(row.torque.0),
        torque_least: torque(row.torque.1),
        torque_most: torque(row.torque.2),
        holding_textbook: force(row.holding.0),
        holding_least: force(row.holding.1),
        hardness: "45H",
        source: set_source(row, thread.unit),
    })
}

fn set_source(row: &SetRow, unit: Unit) -> String {
    let (standard, sign) = match unit {
        Unit::Mm => ("ISO 4026 to 4029 (lengths from memory)", "N·m"),
        Unit::Inch => ("ASME B18.3 (lengths: common stock, from memory)", "in-lb"),
    };
    let (value, least, most) = row.torque;
    let charts = if most > least { format!("; charts differ, {least} to {most} {sign}") } else { String::new() };
    let from_memory = ["M2", "M2.5", "M3", "M12", "M16"].contains(&row.size);
    let memory = if from_memory { ", from memory" } else { "" };
    format!(
        "{standard}; seating torque {value} {sign}: fastener makers' charts for alloy steel, in no standard{memory}{charts}"
    )
}

/// The socket head cap screw of a thread.
///
/// # Errors
/// Names that are no thread, and threads that cap screws are not kept in.
pub fn cap_screw(thread_name: &str) -> Result<CapScrew, Unknown> {
    let thread = thread(thread_name)?;
    let thread = made(&thread, thread_name)?;
    let rows: &'static [CapRow] = if thread.unit == Unit::Mm { &CAP_METRIC } else { &CAP_INCH };
    let size = size_of(thread);
    let row = rows.iter().find(|(known, ..)| *known == size).ok_or_else(|| {
        let sizes: Vec<&str> = rows.iter().map(|(size, ..)| *size).collect();
        no_screw("cap screw", thread, &sizes)
    })?;
    let (_, head, height, (key_name, key), bore) = *row;
    let length = scale(thread.unit);
    let source = match thread.unit {
        Unit::Mm => {
            "ISO 4762, plain head; counterbore DIN 974-1 row 1 (ASME B18.3.1M has other sizes: M6 11.25, M8 14.25)"
        }
        Unit::Inch => {
            "ASME B18.3 table 1A; counterbore ASME B18.3 appendix, from memory (shop charts: head + 0.03 to + 0.09 in)"
        }
    };
    Ok(CapScrew {
        thread: thread.name.clone(),
        unit: thread.unit,
        head_diameter: length(head),
        head_height: length(height),
        key: length(key),
        key_name: key_name.to_owned(),
        counterbore_diameter: length(bore),
        counterbore_depth: length(height),
        source: source.to_owned(),
    })
}

/// The plain hole that a screw of this thread passes.
///
/// # Errors
/// Names that are no thread, and sizes that the tables leave out.
pub fn clearance_hole(thread_name: &str, room: Room) -> Result<ClearanceHole, Unknown> {
    let thread = thread(thread_name)?;
    let (column, zone) = match room {
        Room::Close => (0, "H12"),
        Room::Normal => (1, "H13"),
        Room::Loose => (2, "H14"),
    };
    let size = size_of(&thread);
    let found = match thread.unit {
        Unit::Mm => {
            let row = HOLE_METRIC.iter().find(|(known, _)| *known == size);
            row.and_then(|(_, row)| row.get(column)).map(|mm| {
                let name = Unit::Mm.say(Length::mm(*mm));
                ClearanceHole { name, diameter: Length::mm(*mm), zone, source: "ISO 273" }
            })
        }
        Unit::Inch => {
            let row = HOLE_INCH.iter().find(|(known, _)| *known == size);
            row.and_then(|(_, row)| row.get(column)).and_then(|name| drill::drill(name).ok()).map(|drill| {
                let source = "ASME B18.2.8, table 1A";
                ClearanceHole { name: drill.name, diameter: drill.diameter, zone, source }
            })
        }
    };
    found.ok_or_else(|| {
        let sizes: Vec<&str> = match thread.unit {
            Unit::Mm => HOLE_METRIC.iter().map(|(size, _)| *size).collect(),
            Unit::Inch => HOLE_INCH.iter().map(|(size, _)| *size).collect(),
        };
        no_screw("clearance hole", &thread, &sizes)
    })
}

const LBF: f64 = 4.448_221_615_260_5;

/// The thread, if screws are made in it: coarse metric, UNC and UNF.
fn made<'t>(thread: &'t Thread, name: &str) -> Result<&'t Thread, Unknown> {
    let coarse = thread.name.starts_with('M') && !thread.name.contains('x');
    let inch = thread.unit == Unit::Inch && !thread.designation.ends_with("UNEF");
    if coarse || inch {
        return Ok(thread);
    }
    Err(Unknown::new(
        format!("`{}` is no thread of the socket screw standards.", shown(name)),
        format!("Screws are made in coarse metric threads, UNC and UNF: `{}`.", instead(thread)),
    ))
}

/// The thread of the same size that screws are made in.
fn instead(thread: &Thread) -> String {
    if thread.unit == Unit::Mm { size_of(thread).to_owned() } else { "1/4-20".to_owned() }
}

/// The size without its pitch: `M8` of `M8x1`, `10` of `10-32`.
fn size_of(thread: &Thread) -> &str {
    let cut = if thread.unit == Unit::Mm { 'x' } else { '-' };
    thread.name.split(cut).next().unwrap_or("")
}

fn no_screw(noun: &str, thread: &Thread, sizes: &[&str]) -> Unknown {
    Unknown::new(format!("No {noun} is kept for `{}`.", thread.name), format!("Sizes: {}.", sizes.join(", ")))
}

fn scale(unit: Unit) -> impl Fn(f64) -> Length {
    move |value| match unit {
        Unit::Mm => Length::mm(value),
        Unit::Inch => inches(value),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn set_screws_of_the_workshop() {
        let m5 = set_screw("M5").expect("in the table");
        assert_eq!((m5.key, m5.key_name.as_str()), (Length::mm(2.5), "2.5 mm"), "ISO 4026");
        assert_eq!(m5.torque, Torque::newton_mm(4000.0), "4 N·m");
        assert_eq!(m5.longest_up_to(Length::mm(9.9)), Some(Length::mm(8.0)), "8 of 5, 6, 8, 10");
        assert_eq!(m5.longest_up_to(Length::mm(10.0)), Some(Length::mm(10.0)), "10 fits 10");
        assert_eq!(m5.longest_up_to(Length::mm(4.9)), None, "none so short");
        assert_eq!(m5.lengths.first().copied(), Some(Length::mm(5.0)), "from one diameter");
        let quarter = set_screw("1/4-20").expect("in the table");
        approx::assert_abs_diff_eq!(quarter.torque.as_newton_mm(), 9829.7, epsilon = 0.1); // 87 lbf·in
        assert_eq!(quarter.longest_up_to(Length::inch(0.3)), Some(Length::inch(0.25)), "1/4 in");
        assert!(set_screw("#10-32").expect("in the table").source.contains("charts differ, 25 to 36"), "says so");
    }

    #[test]
    fn what_is_not_made() {
        for name in ["M8x1", "1/4-32", "M22", "0-80", "", "M", "bolt"] {
            assert!(!set_screw(name).expect_err(name).help.is_empty(), "{name}");
        }
        assert!(set_screw("M8x1").expect_err("fine").help.contains("`M8`"), "offers the coarse one");
        assert!(clearance_hole("0-80", Room::Normal).is_err(), "not in the table");
        assert!(cap_screw("9/16-12").is_err(), "not in the table");
    }

    #[test]
    fn heads_go_into_their_counterbores() {
        for name in CAP_METRIC
            .iter()
            .map(|(size, ..)| (*size).to_owned())
            .chain(["4-40", "10-32", "1/4-20", "1/2-13"].map(str::to_owned))
        {
            let cap = cap_screw(&name).unwrap_or_else(|error| panic!("{error}"));
            assert!(cap.counterbore_diameter > cap.head_diameter, "{name}");
            let holes: Vec<Length> = Room::ALL
                .iter()
                .map(|room| clearance_hole(&name, *room).unwrap_or_else(|error| panic!("{error}")).diameter)
                .collect();
            assert!(holes.is_sorted() && holes.last() < Some(&cap.head_diameter), "{name}: {holes:?}");
        }
    }
}

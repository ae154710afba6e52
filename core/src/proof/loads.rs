//! Whether feed, speed and depth are sane for a tool in a material, within generous bounds.
//!
//! The bounds are not starting values: they lie where tools break, burn or only rub, well
//! outside what any table or careful planner gives. All are common practice, no source, unless
//! one is named.

use super::fault::{Fault, fault};
use crate::quantity::{Feed, Spindle, fixed};
use crate::shop::{Cutter, Edge, Machine, Tool};
use crate::standards::material::{Group, Material};

/// A surface speed this many times the starting value burns the edge within one part.
const SPEED_MOST: f64 = 2.5;
/// A spot drill cuts near its tip only; it may turn as fast as a drill of half its diameter.
const SPOT_SPEED_MOST: f64 = 5.0;
/// A surface speed below this share of what tool and machine could do is a slip of a digit.
const SPEED_LEAST: f64 = 0.15;
/// Chips this many times the rated thickness break small cutters; chip thinning (twice) and
/// high-speed steel (1.3 times) are within it.
const CHIP_MOST: f64 = 3.0;
/// The same for drills, whose chips never thin: the table's upper ends, twice.
const DRILL_CHIP_MOST: f64 = 2.0;
/// Chips below this share of the rated thickness only rub, a light machine's caution allowed.
const CHIP_LEAST: f64 = 0.08;
/// An end mill's chip straight down: its ends cut on their whole length. Common practice is half of
/// the feed in a slot.
const PLUNGE_CHIP_MOST: f64 = 1.2;
/// A thread mill's chip is rated thinner, and planners differ more about it.
const THREAD_CHIP_MOST: f64 = 4.0;
/// The user's own feed and speed win over the tables; so near to them the program must keep.
const OWN_MOST: f64 = 1.1;
const OWN_LEAST: f64 = 0.1;
/// The cross-section of one cut, in squares of the cutter's diameter: a slot 0.6 D deep, or a
/// side cut 2 D deep and 0.3 D wide.
const SECTION_MOST: f64 = 0.6;
/// An end mill engaged by more than this share of its diameter is in a slot: both flanks cut, chips
/// have no way out, and it bends off the wall.
const ENGAGED_MOST: f64 = 0.5;
/// A slot no deeper in one pass than this, in diameters: twice the starting value of a quarter
/// (workshop tables give 0.1 to 0.25; common practice).
const SLOT_MOST: f64 = 0.5;
/// Chips of one stroke of a drill no longer find their way out, in diameters.
pub(super) const STROKE_MOST: f64 = 7.0;
/// The radial step of one pass of a thread mill, in pitches. A full thread is 0.54 to 0.58
/// pitches deep; the usual first of two passes takes two thirds of that, 0.37; the usual rest
/// after a first of three is 0.26. A pass without the one before it takes 0.44 and more.
pub(super) const THREAD_STEP_MOST: f64 = 0.42;
/// No spindle start and no bottom of a hole needs a longer wait, in seconds: P is in seconds,
/// and a hundred times more is a control that counts milliseconds.
pub(super) const DWELL_MOST: f64 = 30.0;

/// Judges a spindle speed for a tool.
pub(super) fn speed(tool: &Tool, machine: &Machine, material: &Material, speed: Spindle) -> Option<Fault> {
    let rpm = speed.as_rpm();
    let bad = |what: String, then: &str| Some(fault("proof/speed", what, then));
    if rpm < 0.0 {
        return Some(fault(
            "proof/spindle-reversed",
            "The spindle is started counter-clockwise (M4).",
            "The backs of the edges meet the work; the tool burns or breaks.",
        ));
    }
    if rpm < machine.spindle_min.as_rpm() || rpm > machine.spindle_max.as_rpm() {
        return bad(
            format!(
                "{} turns a minute; the spindle turns {} to {}.",
                fixed(rpm, 0),
                fixed(machine.spindle_min.as_rpm(), 0),
                fixed(machine.spindle_max.as_rpm(), 0)
            ),
            "The control stops, or turns at another speed than the feed was worked out for.",
        );
    }
    if tool.speed_max.is_some_and(|most| rpm > most.as_rpm()) {
        return bad(
            format!("{} turns a minute are more than tool {} may turn.", fixed(rpm, 0), tool.number),
            "The tool may fly apart.",
        );
    }
    let (most, least) = if let Some(own) = tool.speed {
        (own.as_rpm() * OWN_MOST, own.as_rpm() * 0.5)
    } else {
        let usual = usual_speed(tool, material);
        if usual <= 0.0 {
            return None;
        }
        let factor = if matches!(tool.cutter, Cutter::Spot { .. } | Cutter::Countersink { .. }) {
            SPOT_SPEED_MOST
        } else {
            SPEED_MOST
        };
        let can = usual.min(machine.spindle_max.as_rpm());
        (usual * factor, tool.speed_max.map_or(can, |most| can.min(most.as_rpm())) * SPEED_LEAST)
    };
    if rpm > most {
        return bad(
            format!(
                "{} turns a minute are too many for tool {} in {}; {} at most.",
                fixed(rpm, 0),
                tool.number,
                material.title,
                fixed(most, 0)
            ),
            "The edges burn off.",
        );
    }
    if rpm < least {
        return bad(
            format!(
                "{} turns a minute are too few for tool {} in {}; {} at least.",
                fixed(rpm, 0),
                tool.number,
                material.title,
                fixed(least, 0)
            ),
            "Each tooth takes a chip many times too thick.",
        );
    }
    None
}

/// The usual speed of a tool in a material, turns per minute.
fn usual_speed(tool: &Tool, material: &Material) -> f64 {
    let edge = match (tool.edge, &tool.cutter) {
        (Edge::Carbide, _) => material.carbide_speed,
        (Edge::Hss, Cutter::Spot { .. } | Cutter::Drill { .. }) => material.drill_speed,
        // A reamer and a countersink turn half as fast as a drill: common practice.
        (Edge::Hss, Cutter::Reamer { .. } | Cutter::Countersink { .. }) => material.drill_speed * 0.5,
        (Edge::Hss, _) => material.hss_speed,
    };
    edge.as_mm_per_min() / (std::f64::consts::PI * tool.diameter.as_mm().max(0.1))
}

/// A bend in the way of a tool.
#[derive(Clone, Copy)]
pub(super) struct Bend<'b> {
    /// Radius of the way of its middle.
    pub(super) radius: f64,
    /// Whether the half of the tool cuts that is farther from the middle of the bend.
    pub(super) outward: &'b dyn Fn() -> bool,
}

/// Judges the feed of a cut.
pub(super) fn feed(
    tool: &Tool,
    material: &Material,
    (feed, speed): (Feed, Spindle),
    bend: Option<Bend<'_>>,
    plunge: bool,
) -> Option<Fault> {
    let rpm = speed.as_rpm();
    let diameter = tool.diameter.as_mm();
    if rpm <= 0.0 || diameter <= 0.0 {
        return None;
    }
    let mill = matches!(tool.cutter, Cutter::ThreadMill { .. } | Cutter::EndMill { .. });
    let bend = bend.filter(|bend| mill && bend.radius > 1e-6);
    // The outer edge runs on a wider circle than the middle of the cutter.
    let wider = bend.map_or(1.0, |bend| (bend.radius + diameter / 2.0) / bend.radius);
    let edge = feed.as_mm_per_min() * wider;
    let turns = match tool.cutter {
        Cutter::Spot { .. } | Cutter::Drill { .. } | Cutter::Reamer { .. } | Cutter::Countersink { .. } => rpm,
        Cutter::EndMill { .. } | Cutter::ThreadMill { .. } => rpm * f64::from(tool.flutes.max(1)),
    };
    let chip = edge / turns;
    let (least, most) = if let Some(own) = tool.feed {
        let own = own.as_mm_per_min();
        // The user's own feed is that of the table, but for a thread mill: on a bend the edges of
        // an end mill run faster than its middle, which a chip bears as far as it bears anything.
        let bends = bend.is_some() && matches!(tool.cutter, Cutter::EndMill { .. });
        let share = if bends && feed.as_mm_per_min() <= own * OWN_MOST { CHIP_MOST } else { OWN_MOST };
        (own * OWN_LEAST / turns, own * share / turns)
    } else {
        let rated = rated_chip(tool, material.group);
        let most = match tool.cutter {
            Cutter::ThreadMill { .. } => THREAD_CHIP_MOST,
            Cutter::EndMill { .. } if plunge => PLUNGE_CHIP_MOST,
            Cutter::Drill { .. } | Cutter::Spot { .. } => DRILL_CHIP_MOST,
            _ => CHIP_MOST,
        };
        (rated * CHIP_LEAST, rated * most)
    };
    // Where only its inner half cuts, the middle's own feed is the most that an edge has.
    if chip > most && (chip / wider > most || bend.is_none_or(|bend| (bend.outward)())) {
        return Some(fault(
            "proof/chip-load",
            format!("The chip is {} mm thick; tool {} bears {}.", fixed(chip, 3), tool.number, fixed(most, 3)),
            "The tool breaks, or the work is pulled out of the vise.",
        ));
    }
    if chip < least {
        return Some(fault(
            "proof/chip-load",
            format!(
                "The chip is {} mm thick; below {} tool {} only rubs.",
                fixed(chip, 5),
                fixed(least, 5),
                tool.number
            ),
            "The edges rub instead of cutting, and the piece takes hours.",
        ));
    }
    None
}

/// The rated chip per tooth, or per turn of a drill, in millimetres.
///
/// End mills: a straight line through makers' tables for carbide cutters of 1.5 to 12.7 mm, which
/// lie within a third of it. Drills: US Navy training manual for machinery repairmen, table of
/// drill feeds, upper ends. Thread mills: makers' tables, 3.2 to 9.5 mm, in brass and aluminium.
fn rated_chip(tool: &Tool, group: Group) -> f64 {
    let diameter = tool.diameter.as_mm();
    match tool.cutter {
        Cutter::Spot { .. } | Cutter::Drill { .. } | Cutter::Reamer { .. } | Cutter::Countersink { .. } => {
            // A reamer is fed two to three times as fast as a drill: common practice.
            let factor = if matches!(tool.cutter, Cutter::Reamer { .. }) { 2.5 } else { 1.0 };
            factor
                * match diameter {
                    d if d < 3.2 => 0.05,
                    d if d < 6.35 => 0.10,
                    d if d < 12.7 => 0.18,
                    _ => 0.38,
                }
        }
        Cutter::ThreadMill { .. } => diameter / 250.0,
        Cutter::EndMill { .. } => {
            diameter
                / match group {
                    Group::Aluminium | Group::Plastic => 130.0,
                    Group::Brass | Group::CastIron => 150.0,
                    Group::Steel => 220.0,
                    Group::Stainless => 350.0,
                }
        }
    }
}

/// Judges the cross-section that an end mill takes in one pass: `area` in mm², `wide` in mm.
pub(super) fn section(
    tool: &Tool,
    machine: &Machine,
    material: &Material,
    cut: (f64, f64),
    feed: Feed,
    speed: Spindle,
) -> Option<Fault> {
    let (area, wide) = cut;
    let diameter = tool.diameter.as_mm();
    if area <= 1e-9 || speed.as_rpm() <= 0.0 || diameter <= 0.0 {
        return None;
    }
    if area > SECTION_MOST * diameter * diameter {
        return Some(fault(
            "proof/depth-of-cut",
            format!(
                "One pass takes {} mm²; an end mill of {} mm bears {}.",
                fixed(area, 1),
                fixed(diameter, 2),
                fixed(SECTION_MOST * diameter * diameter, 1)
            ),
            "The cutter bends, breaks, or pulls the work out of the vise.",
        ));
    }
    let deep = area / wide.max(1e-9);
    if wide > ENGAGED_MOST * diameter && deep > SLOT_MOST * diameter {
        return Some(fault(
            "proof/engagement",
            format!(
                "The end mill of {} mm is engaged by {} mm of its width and {} mm deep; so wide, {} mm is the most.",
                fixed(diameter, 2),
                fixed(wide, 2),
                fixed(deep, 2),
                fixed(SLOT_MOST * diameter, 2)
            ),
            "Chips find no way out; the cutter is pulled off its way or breaks.",
        ));
    }
    let tooth = feed.as_mm_per_min() / (speed.as_rpm() * f64::from(tool.flutes.max(1)));
    let mean = tooth * (wide / diameter).clamp(1e-6, 1.0).sqrt();
    // kc = kc1.1 · h^-mc; below 0.005 mm the formula no longer holds.
    let force =
        material.cutting_force.as_mpa() * crate::quantity::trig::pow(mean.max(0.005), -material.cutting_exponent);
    let watts = area * feed.as_mm_per_min() * force / 60_000.0;
    (machine.spindle_watts > 0.0 && watts > machine.spindle_watts).then(|| {
        fault(
            "proof/power",
            format!("The cut needs about {} W; the spindle has {}.", fixed(watts, 0), fixed(machine.spindle_watts, 0)),
            "The spindle stalls in the work.",
        )
    })
}

//! Speeds, feeds, forces and power.
//!
//! Feeds per tooth are those of open tables of tooling makers; drill feeds are those of the US
//! Navy's training manual for machinists (drill-press chapter, public domain). All are starting
//! values, taken down by the machine's vigour.

use std::f64::consts::PI;

use super::bench::Bench;
use crate::diag::Diagnostic;
use crate::quantity::{Feed, Force, Length, Spindle, fixed, trig};
use crate::shop::{Cutter, Edge, Tool};
use crate::standards::material::{Group, Material};

/// Spindle speed at which an edge on this diameter has this speed.
pub fn spindle_speed(edge: Feed, diameter: Length) -> Spindle {
    Spindle::rpm(edge.as_mm_per_min() / (PI * diameter.as_mm()))
}

/// The spindle speed for a tool that cuts on this diameter, with how it came about.
pub(super) fn spindle(bench: &mut Bench<'_>, tool: &Tool, edge: Feed, diameter: Length) -> (Spindle, String) {
    let machine = &bench.shop.machine;
    let most = tool.speed_max.map_or(machine.spindle_max, |own| own.min(machine.spindle_max));
    let wanted = tool.speed.unwrap_or_else(|| spindle_speed(edge, diameter));
    // Round figures, always down: nothing on a spindle is set to single turns.
    let round = Spindle::rpm((wanted.min(most).as_rpm() / 10.0 + 1e-9).floor() * 10.0);
    let speed = round.max(machine.spindle_min);
    let rpm = |spindle: Spindle| fixed(spindle.as_rpm(), 0);
    let first = if tool.speed.is_some() {
        format!("{} rpm is your own speed for tool {}", rpm(wanted), tool.number)
    } else {
        let metres = fixed(edge.as_mm_per_min() / 1000.0, 0);
        format!("{metres} m/min on {} is {} rpm", bench.say(diameter), rpm(wanted))
    };
    let mut said = vec![first];
    if wanted > most {
        said.push(format!("{} is the most here", rpm(most)));
    }
    if speed > wanted.max(Spindle::rpm(10.0)) + Spindle::rpm(10.0) {
        said.push(format!("{} is the slowest of the spindle", rpm(speed)));
        bench.findings.push(
            Diagnostic::caution(
                "plan/speed",
                format!(
                    "Tool {} should turn at {} rpm; the spindle does no less than {}.",
                    tool.number,
                    rpm(wanted),
                    rpm(speed)
                ),
            )
            .help("Take a smaller tool, or expect it to wear quickly."),
        );
    }
    (speed, said.join("; "))
}

/// Starting speed of the edge of a milling cutter.
pub(super) fn mill_edge(tool: &Tool, material: &Material) -> Feed {
    match tool.edge {
        Edge::Hss => material.hss_speed,
        Edge::Carbide => material.carbide_speed,
    }
}

/// Starting speed of the edge of a drill; carbide drills run at twice the speed of steel ones
/// (carbide to steel about 2 to 3 : 1, US Navy manual).
pub(super) fn drill_edge(tool: &Tool, material: &Material) -> Feed {
    match tool.edge {
        Edge::Hss => material.drill_speed,
        Edge::Carbide => (material.drill_speed * 2.0).min(material.carbide_speed.max(material.drill_speed)),
    }
}

/// Feed per turn of a drill; the lower end for harder stock (US Navy manual).
pub(super) fn drill_feed(diameter: Length, group: Group) -> Length {
    let (low, high) = match diameter.as_mm() {
        d if d < 3.2 => (0.025, 0.05),
        d if d < 6.35 => (0.05, 0.10),
        d if d < 12.7 => (0.10, 0.18),
        _ => (0.18, 0.38),
    };
    let share = match group {
        Group::Brass | Group::Aluminium | Group::Plastic => 0.6,
        Group::CastIron => 0.4,
        Group::Steel => 0.3,
        Group::Stainless => 0.1,
    };
    Length::mm(low + (high - low) * share)
}

/// Feed per tooth of an end mill.
pub(super) fn mill_tooth(diameter: Length, group: Group) -> Length {
    const DIAMETERS: [f64; 6] = [1.5, 3.2, 4.8, 6.35, 9.5, 12.7];
    let row = match group {
        Group::Aluminium => [0.010, 0.025, 0.050, 0.050, 0.075, 0.100],
        Group::Brass => [0.008, 0.025, 0.025, 0.050, 0.064, 0.075],
        Group::Steel => [0.005, 0.013, 0.020, 0.030, 0.050, 0.068],
        Group::Stainless => [0.004, 0.006, 0.010, 0.016, 0.032, 0.044],
        Group::CastIron => [0.005, 0.013, 0.025, 0.050, 0.075, 0.100],
        Group::Plastic => [0.015, 0.035, 0.050, 0.060, 0.100, 0.120],
    };
    Length::mm(between(&DIAMETERS, &row, diameter.as_mm()))
}

/// Feed per tooth at the edge of a thread mill.
pub(super) fn thread_tooth(diameter: Length, group: Group) -> Length {
    const DIAMETERS: [f64; 4] = [3.2, 4.8, 6.35, 9.5];
    let row = match group {
        Group::Steel => [0.008, 0.015, 0.025, 0.043],
        Group::Aluminium | Group::Plastic => [0.010, 0.020, 0.030, 0.053],
        Group::Brass => [0.010, 0.018, 0.025, 0.046],
        Group::Stainless => [0.008, 0.010, 0.015, 0.028],
        Group::CastIron => [0.010, 0.015, 0.023, 0.036],
    };
    // Below the table, in proportion to the diameter.
    let small = (diameter.as_mm() / DIAMETERS[0]).min(1.0);
    Length::mm(between(&DIAMETERS, &row, diameter.as_mm()) * small)
}

/// A value between the entries of a table; the ends hold beyond it.
fn between(at: &[f64], values: &[f64], x: f64) -> f64 {
    let pairs = at.iter().zip(values);
    let next = pairs.clone().zip(pairs.clone().skip(1)).find(|(_, (high, _))| x <= **high);
    match next {
        Some(((low, from), (high, to))) => from + (to - from) * ((x - low) / (high - low)).max(0.0),
        None => values.last().copied().unwrap_or(0.0),
    }
}

/// The share of a table's chip below which an edge rubs instead of cutting, however light the
/// machine; such a machine takes less depth instead. Common practice, no source.
const THINNEST: f64 = 0.4;

/// Table feed of a cutter with its share of the machine's vigour, or the user's own.
pub(super) fn feed(bench: &Bench<'_>, tool: &Tool, spindle: Spindle, chip: Length, per_turn: u32) -> (Feed, String) {
    let (machine, most) = (&bench.shop.machine, bench.feed_most());
    if let Some(own) = tool.feed {
        let feed = own.min(most);
        return (feed, format!("{} mm/min is your own feed for tool {}", fixed(own.as_mm_per_min(), 0), tool.number));
    }
    let full = spindle.as_rpm() * f64::from(per_turn) * chip.as_mm();
    if matches!(tool.cutter, Cutter::ThreadMill { .. }) {
        // Some 20 N a tooth: the cutter sets this limit, not the machine, and the passes are kind to it.
        let said = format!("{} mm a tooth gives {} mm/min at the edge", fixed(chip.as_mm(), 3), fixed(full, 0));
        return (Feed::mm_per_min(full).min(most), said);
    }
    let share = machine.vigour.max(THINNEST);
    let feed = Feed::mm_per_min(full * share).min(most);
    let per = if per_turn == 1 { "a turn" } else { "a tooth" };
    let said = format!(
        "{} mm {per} gives {} mm/min, {} {} % of it",
        fixed(chip.as_mm(), 3),
        fixed(full, 0),
        if share > machine.vigour { "and an edge rubs below" } else { "and this machine bears" },
        fixed(share * 100.0, 0)
    );
    (feed, said)
}

/// A side cut: how deep along the axis, how wide, at what chip.
#[derive(Clone, Copy, Debug)]
pub(super) struct SideCut {
    pub(super) diameter: Length,
    pub(super) depth: Length,
    pub(super) width: Length,
    pub(super) tooth: Length,
    pub(super) feed: Feed,
}

impl SideCut {
    /// Largest force on one tooth: `kc1.1 · h^(1-mc) · ap`, `h` the thickest chip.
    pub(super) fn peak(&self, material: &Material) -> Force {
        let share = (self.width / self.diameter).clamp(0.0, 0.5);
        let chip = self.tooth.as_mm() * 2.0 * (share * (1.0 - share)).sqrt();
        let exponent = 1.0 - material.cutting_exponent;
        Force::newton(material.cutting_force.as_mpa() * trig::pow(chip.max(1e-6), exponent) * self.depth.as_mm())
    }

    /// Power at the cutter in watts: `ap · ae · vf · kc`, kc at the mean chip.
    pub(super) fn watts(&self, material: &Material) -> f64 {
        let share = (self.width / self.diameter).clamp(1e-6, 1.0);
        let angle = trig::acos((1.0 - 2.0 * share).clamp(-1.0, 1.0)).as_rad();
        let chip = (self.tooth.as_mm() * 2.0 * share / angle).max(1e-6);
        let specific = material.cutting_force.as_mpa() * trig::pow(chip, -material.cutting_exponent);
        self.depth.as_mm() * self.width.as_mm() * self.feed.as_mm_per_min() * specific / 60_000.0
    }
}

/// How far a cutter bends at its tip under a force there: a bar of 0.8 of its diameter (open
/// papers on end mills), held at the holder; steel gives way three times as
/// easily as carbide (210 and 600 thousand megapascals).
pub(super) fn bend(tool: &Tool, force: Force) -> Length {
    let young = match tool.edge {
        Edge::Hss => 210_000.0,
        Edge::Carbide => 600_000.0,
    };
    let thick = 0.8 * tool.diameter.as_mm();
    let inertia = PI * thick * thick * thick * thick / 64.0;
    let long = tool.stick_out.as_mm();
    Length::mm(force.as_newton() * long * long * long / (3.0 * young * inertia))
}

/// Power at a drill in watts: `M = kc·f·d²/8`, with the chip `f/2·sin(point/2)`.
pub(super) fn drill_watts(material: &Material, diameter: Length, turn: Length, spindle: Spindle, sine: f64) -> f64 {
    let chip = (turn.as_mm() / 2.0 * sine).max(1e-6);
    let specific = material.cutting_force.as_mpa() * trig::pow(chip, -material.cutting_exponent);
    let moment = specific * turn.as_mm() * diameter.as_mm() * diameter.as_mm() / 8000.0;
    moment * 2.0 * PI * spindle.as_rpm() / 60.0
}

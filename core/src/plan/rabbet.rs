//! Milling the rabbets that leave a tongue standing.

use super::bench::{Bench, CLEAR, HOLDER, NEAR, whole};
use super::hole::{choose, power, with_notes};
use super::mill::{self, ALLOWANCE, OVERRUN, Running, plural};
use super::model::{At, Move, Operation, Work};
use super::speed::{self, SideCut};
use crate::diag::Diagnostic;
use crate::part::{Feature, Tongue};
use crate::quantity::{Feed, Force, Length, fixed};
use crate::shop::{Cutter, Tool};

/// Roughs and finishes both rabbets of a tongue.
pub(super) fn mill(bench: &mut Bench<'_>, feature: &Feature, tongue: &Tongue) -> Vec<Operation> {
    let deep = tongue.height.middle();
    if tongue.width.most() >= bench.part.width.least() {
        let headline = format!("`{}` is as wide as the bar; there is nothing to cut beside it.", feature.title);
        let help = format!("A bar wider than {} would do.", bench.say(tongue.width.most()));
        bench.findings.push(Diagnostic::refused("plan/rabbet", headline).help(help));
        return Vec::new();
    }
    let Some(tool) = choose_cutter(bench, feature, deep) else { return Vec::new() };
    let material = bench.part.material.clone();
    let run = Running::of(bench, tool.clone());
    let rough = Rough::of(bench, &run, tongue);
    power(bench, feature, &tool, rough.cut.watts(&material));
    let finish = SideCut { width: ALLOWANCE, ..rough.cut };
    let bend = speed::bend(&tool, finish.peak(&material));
    let tolerance = tongue.width.upper - tongue.width.lower;
    if bend > tolerance / 4.0 {
        let headline = format!(
            "Tool {} bends by up to {} in the finish; a quarter of the tolerance of `{}` is {}.",
            tool.number,
            bench.say(bend),
            feature.title,
            bench.say(tolerance / 4.0)
        );
        let finding = Diagnostic::caution("plan/bend", headline);
        bench
            .findings
            .push(finding.help("Measure the first piece, correct the diameter of the tool, run the finish again."));
    }
    let said_rough = format!(
        "{} deep in {} step{}, each {}; {} wide in {} cut{}; at most {} N on a tooth",
        bench.say(deep),
        rough.steps,
        plural(rough.steps),
        bench.say(rough.cut.depth),
        bench.say(rough.wide),
        rough.cuts,
        plural(rough.cuts),
        fixed(rough.cut.peak(&material).as_newton(), 0)
    );
    let said_finish = format!(
        "aimed at {}, the middle of {} to {}; both walls with the same tool, so that the width does not hang on the datum",
        bench.say(tongue.width.middle()),
        bench.say(tongue.width.least()),
        bench.say(tongue.width.most())
    );
    bench.note(format!(
        "Tool {}: if the tongue does not measure as it should, correct the tool's diameter in the crib and make the \
         program anew: new diameter = old diameter + wanted width - measured width.",
        tool.number
    ));
    let make = |work, title: &str, reason: String, moves| Operation {
        work,
        tool: tool.number,
        spindle: run.spindle,
        feed: run.feed,
        title: format!("{title} {}", feature.title),
        reasons: run.said.iter().cloned().chain([reason]).collect(),
        feature: feature.id.clone(),
        origin: feature.origin.clone(),
        moves,
    };
    let lane = Lane::of(bench, &tool, run.feed);
    let roughing = rough.moves(&lane, tongue, deep);
    let mut operations = Vec::new();
    if !roughing.is_empty() {
        operations.push(make(Work::RabbetRough, "Rough both rabbets of", said_rough, roughing));
    }
    operations.push(make(
        Work::RabbetFinish,
        "Finish both walls of",
        said_finish,
        finish_moves(&lane, &rough, tongue, deep),
    ));
    operations
}

/// The stiffest cutter that is long enough and leaves a sharp inner corner.
fn choose_cutter(bench: &mut Bench<'_>, feature: &Feature, deep: Length) -> Option<Tool> {
    let mut others = Vec::new();
    let mut fitting: Vec<&Tool> = Vec::new();
    for tool in &bench.shop.tools {
        let Cutter::EndMill { corner, .. } = tool.cutter else { continue };
        if tool.flute_length < deep {
            let edges = bench.say(tool.flute_length);
            others.push(format!(
                "tool {}: its edges are {edges} long, the rabbet is {} deep",
                tool.number,
                bench.say(deep)
            ));
        } else if tool.stick_out < deep + HOLDER {
            others.push(format!("tool {}: the holder would touch the work", tool.number));
        } else if corner > mill::CORNER {
            others.push(format!("tool {}: its corners leave a radius of {}", tool.number, bench.say(corner)));
        } else {
            fitting.push(tool);
        }
    }
    fitting.sort_by(|a, b| speed::bend(a, Force::newton(1.0)).order(speed::bend(b, Force::newton(1.0))));
    let Some(best) = fitting.first() else {
        let headline = format!("No end mill of the crib cuts the rabbets of `{}`.", feature.title);
        let finding = with_notes(Diagnostic::refused("plan/no-tool", headline), &others);
        let help = format!(
            "A flat end mill of 6 to 10 mm with edges {} long or longer and sharp corners would do.",
            bench.say(deep)
        );
        bench.findings.push(finding.help(help));
        return None;
    };
    for other in fitting.iter().skip(1) {
        others.push(format!("tool {}: bends more", other.number));
    }
    let why = format!("the stiffest whose edges reach {} down", bench.say(deep));
    let best = (*best).clone();
    choose(bench, feature, "rabbets", Some(best.number), why, others);
    Some(best)
}

/// How the rough cuts are divided.
struct Rough {
    cut: SideCut,
    /// From the outermost skin of the bar to the allowance on the wall.
    wide: Length,
    steps: u32,
    cuts: u32,
    /// Outermost skin of the bar, from its middle.
    skin: Length,
}

impl Rough {
    fn of(bench: &Bench<'_>, run: &Running, tongue: &Tongue) -> Self {
        let (axial, radial) = mill::side(bench.part.material.group);
        let deep = tongue.height.middle();
        let skin = bench.part.width.most().max(bench.part.blank.width) / 2.0;
        let wide = (skin - tongue.width.middle() / 2.0 - ALLOWANCE).max(Length::ZERO);
        let cuts = whole(wide / (run.tool.diameter * radial * bench.shop.machine.vigour.max(0.4)), 200);
        let (steps, cut) = mill::steps(bench, run, deep, wide / f64::from(cuts), axial);
        Self { cut, wide, steps, cuts, skin }
    }

    /// Both sides in turn, cut by cut, step by step.
    fn moves(&self, lane: &Lane, tongue: &Tongue, deep: Length) -> Vec<Move> {
        let mut moves = Vec::new();
        if self.wide <= Length::ZERO {
            return moves;
        }
        for step in 1..=self.steps {
            let z = -deep * (f64::from(step) / f64::from(self.steps));
            for cut in 1..=self.cuts {
                let wall = self.skin - self.cut.width * f64::from(cut);
                let wall = wall.max(tongue.width.middle() / 2.0 + ALLOWANCE);
                for side in [Side::Front, Side::Back] {
                    lane.pass(&mut moves, side, wall, z);
                }
            }
        }
        moves
    }
}

/// The walls to size, in the same steps, and both once more at full depth so that a bent cutter
/// springs back.
fn finish_moves(lane: &Lane, rough: &Rough, tongue: &Tongue, deep: Length) -> Vec<Move> {
    let wall = tongue.width.middle() / 2.0;
    let mut moves = Vec::new();
    for step in 1..=rough.steps {
        let z = -deep * (f64::from(step) / f64::from(rough.steps));
        for side in [Side::Front, Side::Back] {
            lane.pass(&mut moves, side, wall, z);
        }
    }
    for side in [Side::Front, Side::Back] {
        lane.pass(&mut moves, side, wall, -deep);
    }
    moves
}

#[derive(Clone, Copy)]
enum Side {
    /// Toward the person, lower Y.
    Front,
    /// Away, higher Y.
    Back,
}

/// What all passes share.
struct Lane {
    end: Length,
    radius: Length,
    feed: Feed,
    air: Feed,
}

impl Lane {
    fn of(bench: &Bench<'_>, tool: &Tool, feed: Feed) -> Self {
        let long = bench.part.blank.length.max(bench.part.length.most());
        let radius = tool.diameter / 2.0;
        Self { end: long / 2.0 + radius + OVERRUN, radius, feed, air: bench.air() }
    }

    /// One pass along a wall, entered and left off the ends of the bar. Climb milling has the
    /// work on the right of the way: the back goes up in X, the front comes down.
    fn pass(&self, moves: &mut Vec<Move>, side: Side, wall: Length, z: Length) {
        let (from, to, y) = match side {
            Side::Back => (-self.end, self.end, wall + self.radius),
            Side::Front => (self.end, -self.end, -wall - self.radius),
        };
        moves.push(Move::Rapid { to: At::xy(from, y) });
        moves.push(Move::Rapid { to: At::z(NEAR) });
        moves.push(Move::Feed { to: At::z(z), feed: self.air });
        moves.push(Move::Feed { to: At::x(to), feed: self.feed });
        moves.push(Move::Rapid { to: At::z(CLEAR) });
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Spindle;

    #[test]
    fn force_and_power_of_a_side_cut() {
        // Workshop notes, section 4: 6 mm carbide, 3 flutes, ap 3, ae 1, brass, fz 0.030, vf 720:
        // 83 W at the cutter, 131 N at the peak of a tooth, 22 µm of bend at 20 mm stick-out.
        let material = super::super::tests::brass();
        let cut = SideCut {
            diameter: Length::mm(6.0),
            depth: Length::mm(3.0),
            width: Length::mm(1.0),
            tooth: Length::mm(0.030),
            feed: Feed::mm_per_min(720.0),
        };
        let (watts, peak) = (cut.watts(&material), cut.peak(&material).as_newton());
        assert!((watts - 83.0).abs() < 1.0, "{watts} W");
        assert!((peak - 131.0).abs() < 2.0, "{peak} N");
        let spindle = speed::spindle_speed(Feed::mm_per_min(150_000.0), Length::mm(6.0));
        assert!((spindle - Spindle::rpm(7958.0)).abs() < Spindle::rpm(1.0), "150 m/min on 6 mm: {spindle:?}");
    }
}

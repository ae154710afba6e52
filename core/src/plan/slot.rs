//! Slots with round ends, and grooves from end to end.

use super::bench::{Bench, CLEAR, FLOOR, NEAR, whole};
use super::hole::{choose, power, with_notes};
use super::mill::{self, ALLOWANCE, BEYOND, Running, Wanted};
use super::model::{At, Move, Operation, Work};
use super::pocket::{Pocket, Way};
use crate::diag::Diagnostic;
use crate::part::{Feature, Size, Slot};
use crate::quantity::{Length, fixed};

/// The way from pass to pass of a groove, in diameters. Common practice, no source.
const STEP_OVER: f64 = 0.4;

/// Roughs and finishes a slot or a groove.
pub(super) fn mill(bench: &mut Bench<'_>, feature: &Feature, slot: &Slot) -> Vec<Operation> {
    let Some(deep) = depth(bench, feature, slot) else { return Vec::new() };
    let word = if slot.length.is_some() { "slot" } else { "groove" };
    let wanted = Wanted {
        what: word,
        deep,
        widest: slot.width.middle() - ALLOWANCE * 2.0,
        own: Some((slot.width.least(), slot.width.most())),
        own_first: false,
    };
    let chosen = match mill::choose(bench, &wanted) {
        Ok(chosen) => chosen,
        Err(others) => {
            let headline = format!("No end mill of the crib cuts `{}`.", feature.title);
            let help = mill::would_do(bench, &wanted);
            let finding = with_notes(Diagnostic::refused("plan/no-tool", headline), &others);
            bench.findings.push(finding.help(format!("It takes {help}.")));
            return Vec::new();
        }
    };
    choose(bench, feature, word, Some(chosen.tool.number), chosen.why, chosen.others);
    let run = Running::of(bench, chosen.tool);
    let aimed = if chosen.own {
        bench.note(format!("Tool {}: `{}` becomes as wide as it cuts.", run.tool.number, feature.title));
        format!("as wide as the cutter, {}", bench.say(run.tool.diameter))
    } else {
        format!(
            "aimed at {}, the middle of {} to {}",
            bench.say(slot.width.middle()),
            bench.say(slot.width.least()),
            bench.say(slot.width.most())
        )
    };
    match &slot.length {
        Some(length) => closed(bench, feature, slot, (length, deep), &run, &aimed),
        None => open(bench, feature, slot, deep, &run, &aimed),
    }
}

/// How deep the cutter goes; nothing where it must not.
fn depth(bench: &mut Bench<'_>, feature: &Feature, slot: &Slot) -> Option<Length> {
    match (slot.depth.blind(), &slot.length) {
        (Some(depth), _) => {
            let (deep, most) = (depth.middle(), bench.thinnest() - FLOOR);
            if deep > most {
                let headline = format!(
                    "`{}` is {} deep; {} is the most that leaves a floor.",
                    feature.title,
                    bench.say(deep),
                    bench.say(most)
                );
                bench.findings.push(Diagnostic::refused("plan/floor", headline).help("Make it shallower."));
                return None;
            }
            Some(deep)
        }
        (None, Some(_)) => Some(bench.thickness() + BEYOND),
        (None, None) => {
            let headline = format!("`{}` is a groove through the whole part: it would fall in two.", feature.title);
            bench.findings.push(Diagnostic::refused("plan/groove", headline).help("Give it a depth."));
            None
        }
    }
}

fn operation(
    feature: &Feature,
    run: &Running,
    work: Work,
    verb: &str,
    reasons: &[String],
    moves: Vec<Move>,
) -> Operation {
    Operation {
        work,
        tool: run.tool.number,
        spindle: run.spindle,
        feed: run.feed,
        title: mill::title(verb, feature),
        reasons: run.said.iter().chain(reasons).cloned().collect(),
        feature: feature.id.clone(),
        origin: feature.origin.clone(),
        moves,
    }
}

fn closed(
    bench: &mut Bench<'_>,
    feature: &Feature,
    slot: &Slot,
    (length, deep): (&Size, Length),
    run: &Running,
    aimed: &str,
) -> Vec<Operation> {
    // Its round ends are those of the wall, or of the cutter that cuts its own width.
    let own = slot.width.middle() / 2.0 - run.radius() < ALLOWANCE - bench.step() / 2.0;
    let wall = if own { run.radius() } else { slot.width.middle() / 2.0 };
    let half = ((length.middle() - wall * 2.0) / 2.0).max(Length::ZERO);
    let way = Way::of(bench, run, Pocket { half, wall, deep });
    power(bench, feature, &run.tool, way.watts);
    let (mut rough, mut finish) = (Vec::new(), Vec::new());
    way.rough(slot.place, &mut rough);
    way.finish(slot.place, &mut finish);
    let mut list = vec![operation(feature, run, Work::SlotRough, "Rough", &way.said, rough)];
    if way.finishes() {
        let reasons = [aimed.to_owned()];
        list.push(operation(feature, run, Work::SlotFinish, "Finish the wall of", &reasons, finish));
    }
    list
}

/// A groove is entered and left off the ends of the part.
fn open(
    bench: &mut Bench<'_>,
    feature: &Feature,
    slot: &Slot,
    deep: Length,
    run: &Running,
    aimed: &str,
) -> Vec<Operation> {
    let radius = run.radius();
    let step = bench.step();
    let long = bench.part.blank.length.max(bench.part.length.most());
    let end = long / 2.0 + radius + mill::OVERRUN;
    let middle = slot.place.y.to_nearest(step);
    let last = (slot.width.middle() / 2.0 - radius).to_nearest(step);
    let own = last < ALLOWANCE - step / 2.0;
    let side = if own { Length::ZERO } else { (last - ALLOWANCE).max(Length::ZERO) };
    let (levels, cut) = mill::slot_steps(bench, run, deep);
    power(bench, feature, &run.tool, cut.watts(&bench.part.material));
    let air = bench.air();
    let pass = |moves: &mut Vec<Move>, y: Length, right: bool, z: Length| {
        let (from, to) = if right { (-end, end) } else { (end, -end) };
        moves.push(Move::Rapid { to: At::xy(from, y) });
        moves.push(Move::Rapid { to: At::z(NEAR) });
        moves.push(Move::Feed { to: At::z(z), feed: air });
        moves.push(Move::Feed { to: At::x(to), feed: run.feed });
        moves.push(Move::Rapid { to: At::z(CLEAR) });
    };
    // The first pass goes through the full; the others widen it, climbing on either side: the
    // front wall toward higher X, the back wall toward lower.
    let lanes = whole(side / (run.tool.diameter * STEP_OVER), 200);
    let mut rough = Vec::new();
    for level in 1..=levels {
        let z = -deep * (f64::from(level) / f64::from(levels));
        pass(&mut rough, middle, true, z);
        if side > Length::ZERO {
            for lane in 1..=lanes {
                let away = (side * (f64::from(lane) / f64::from(lanes))).to_nearest(step);
                pass(&mut rough, middle - away, true, z);
                pass(&mut rough, middle + away, false, z);
            }
        }
    }
    let said = format!(
        "{} deep in {levels} step{}, each {}; at most {} N on a tooth",
        bench.say(deep),
        mill::plural(levels),
        bench.say(cut.depth),
        fixed(cut.peak(&bench.part.material).as_newton(), 0)
    );
    let mut operations = vec![operation(feature, run, Work::GrooveRough, "Rough", &[said], rough)];
    if !own {
        let (axial, _) = mill::side(bench.part.material.group);
        let (count, _) = mill::steps(bench, run, deep, ALLOWANCE, axial);
        let mut finish = Vec::new();
        let floors = (1..=count).map(|level| -deep * (f64::from(level) / f64::from(count)));
        for z in floors.chain([-deep]) {
            pass(&mut finish, middle - last, true, z);
            pass(&mut finish, middle + last, false, z);
        }
        let reasons = [aimed.to_owned()];
        operations.push(operation(feature, run, Work::GrooveFinish, "Finish both walls of", &reasons, finish));
    }
    operations
}

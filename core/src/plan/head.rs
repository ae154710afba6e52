//! Flat-bottomed room for the heads of screws: counterbores and spotfaces.

use super::bench::Bench;
use super::drill::two_turns;
use super::hole::{Stroke, choose, in_order, power, with_notes};
use super::mill::{self, Running, Wanted};
use super::model::{Operation, Work};
use super::pocket::{Pocket, Way};
use crate::diag::Diagnostic;
use crate::part::{Feature, Holes, Size};
use crate::quantity::Length;

/// A plunging mill takes so much of its feed. Common practice, no source.
const PLUNGE: f64 = 0.5;

/// A mill that goes round is no thicker than this share of the counterbore. Common practice, no
/// source.
const ROOM: f64 = 0.8;

/// Sinks the counterbores: straight down with a mill of their size, else going round.
pub(super) fn counterbore(
    bench: &mut Bench<'_>,
    feature: &Feature,
    holes: &Holes,
    diameter: &Size,
    depth: &Size,
) -> Option<Operation> {
    let deep = depth.middle();
    let wide = diameter.middle().to_nearest(bench.step());
    let wanted = Wanted {
        what: "counterbore",
        deep,
        widest: wide * ROOM,
        own: Some((diameter.least(), diameter.most())),
        own_first: true,
    };
    let chosen = match mill::choose(bench, &wanted) {
        Ok(chosen) => chosen,
        Err(others) => {
            let headline = format!("No end mill of the crib makes the counterbores of `{}`.", feature.title);
            let finding = with_notes(Diagnostic::refused("plan/no-tool", headline), &others);
            let (least, most) = (bench.say(diameter.least()), bench.say(diameter.most()));
            let help = format!("It takes {}, or one of {least} to {most}.", mill::would_do(bench, &wanted));
            bench.findings.push(finding.help(help));
            return None;
        }
    };
    choose(bench, feature, "counterbore", Some(chosen.tool.number), chosen.why, chosen.others);
    let run = Running::of(bench, chosen.tool);
    let (feed, moves, mut said) = if chosen.own {
        let feed = run.feed * PLUNGE;
        let said = format!("straight down at half of its feed, {} deep", bench.say(deep));
        let stroke = Stroke::plain(deep, Some(two_turns(run.spindle.as_rpm())), feed);
        (feed, stroke.moves(in_order(holes)), vec![said])
    } else {
        let way = Way::of(bench, &run, Pocket { half: Length::ZERO, wall: wide / 2.0, deep });
        power(bench, feature, &run.tool, way.watts);
        let mut moves = Vec::new();
        for place in in_order(holes) {
            way.rough(place, &mut moves);
            way.finish(place, &mut moves);
        }
        (run.feed, moves, way.said)
    };
    said.push(format!(
        "{} wide, limits {} to {}; floor at {}, limits {} to {}",
        bench.say(if chosen.own { run.tool.diameter } else { wide }),
        bench.say(diameter.least()),
        bench.say(diameter.most()),
        bench.say(deep),
        bench.say(depth.least()),
        bench.say(depth.most())
    ));
    Some(Operation {
        work: Work::Counterbore,
        tool: run.tool.number,
        spindle: run.spindle,
        feed,
        title: mill::title("Counterbore", feature),
        reasons: run.said.into_iter().chain(said).collect(),
        feature: feature.id.clone(),
        origin: feature.origin.clone(),
        moves,
    })
}

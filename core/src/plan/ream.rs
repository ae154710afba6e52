//! Reaming holes to their limits.

use super::bench::{Bench, NEARLY};
use super::hole::{Stroke, choose, floor, in_order, with_notes};
use super::model::{Operation, Work};
use super::speed;
use crate::diag::Diagnostic;
use crate::part::{Feature, Holes, Size};
use crate::quantity::Length;
use crate::shop::{Cutter, Tool};

/// A reamer that was chosen.
pub(super) struct Reamer {
    tool: Tool,
    /// Its tip goes so deep.
    tip: Length,
    /// The hole is blind.
    blind: bool,
}

/// A reamer goes on past the far face by so much more than its lead. Common practice, no source.
const OUT: Length = Length::mm(1.0);

/// Room for chips under a reamer in a blind hole. Common practice, no source.
const CHIPS: Length = Length::mm(0.5);

impl Reamer {
    /// The holes that it finds good: so much is left to ream that it cuts and does not rub, and
    /// not so much that it works as a drill (common practice: 0.1 to 0.3 mm on the diameter, up
    /// to 0.4 mm from 10 mm on).
    pub(super) fn pilot(&self) -> (Length, Length) {
        let diameter = self.tool.diameter;
        let most = match diameter.as_mm() {
            d if d < 10.0 => 0.3,
            _ => 0.4,
        };
        (diameter - Length::mm(most), diameter - Length::mm(0.1))
    }

    /// How deep the hole under it is at its full diameter; nothing where it goes through.
    pub(super) fn pilot_depth(&self) -> Option<Length> {
        self.blind.then(|| self.tip + CHIPS)
    }
}

/// The reamer nearest to the middle of the limits, or a refusal.
pub(super) fn choose_reamer(
    bench: &mut Bench<'_>,
    feature: &Feature,
    holes: &Holes,
    diameter: &Size,
) -> Option<Reamer> {
    let mut others = Vec::new();
    let mut fitting: Vec<(&Tool, Length)> = Vec::new();
    let dust = Length::mm(1e-6);
    let deep = |lead: Length| match holes.depth.blind() {
        Some(depth) => depth.middle() + lead,
        None => bench.thickness() + lead + OUT,
    };
    for tool in &bench.shop.tools {
        let Cutter::Reamer { lead } = tool.cutter else { continue };
        let tip = deep(lead);
        if tool.diameter < diameter.least() - dust || tool.diameter > diameter.most() + dust {
            if (tool.diameter - diameter.middle()).abs() < NEARLY {
                let limits = format!("{} to {}", bench.say(diameter.least()), bench.say(diameter.most()));
                others.push(format!("tool {}: {} is not within {limits}", tool.number, bench.say(tool.diameter)));
            }
        } else if tool.flute_length.min(tool.reach) < tip {
            let reach = bench.say(tool.flute_length.min(tool.reach));
            others.push(format!("tool {}: {reach} long, {} are needed", tool.number, bench.say(tip)));
        } else {
            fitting.push((tool, tip));
        }
    }
    let off = |tool: &Tool| (tool.diameter - diameter.middle()).abs();
    fitting.sort_by(|(a, _), (b, _)| off(a).order(off(b)));
    let Some((tool, tip)) = fitting.first().copied() else {
        let headline = format!("No reamer of the crib sizes `{}`.", feature.title);
        let finding = with_notes(Diagnostic::refused("plan/no-tool", headline), &others);
        let help = format!(
            "A reamer of {} to {}, {} long, would do.",
            bench.say(diameter.least()),
            bench.say(diameter.most()),
            bench.say(deep(Length::mm(1.0)))
        );
        bench.findings.push(finding.help(help));
        return None;
    };
    for (other, _) in fitting.iter().skip(1) {
        others.push(format!("tool {}: further from {}", other.number, bench.say(diameter.middle())));
    }
    let why = format!(
        "{} is within {} to {}",
        bench.say(tool.diameter),
        bench.say(diameter.least()),
        bench.say(diameter.most())
    );
    let reamer = Reamer { tool: tool.clone(), tip, blind: holes.depth.blind().is_some() };
    if reamer.blind && !floor(bench, feature, tip + CHIPS, "for the reamer's lead and chips") {
        return None;
    }
    choose(bench, feature, "ream", Some(reamer.tool.number), why, others);
    Some(reamer)
}

/// Reams the holes, and feeds out again: at the rapid the lips would score the wall.
pub(super) fn operation(
    bench: &mut Bench<'_>,
    feature: &Feature,
    holes: &Holes,
    reamer: &Reamer,
    pilot: Length,
) -> Operation {
    let tool = &reamer.tool;
    let material = bench.part.material.clone();
    // Half of a drill's speed at twice its feed a turn (common practice: a half to two thirds, and
    // two to three times).
    let edge = speed::drill_edge(tool, &material) * 0.5;
    let (spindle, said_speed) = speed::spindle(bench, tool, edge, tool.diameter);
    let chip = speed::drill_feed(tool.diameter, material.group) * 2.0;
    let (feed, said_feed) = speed::feed(bench, tool, spindle, chip, 1);
    let left = format!(
        "{} left by the hole of {}; speed half, feed twice that of a drill",
        bench.say(tool.diameter - pilot),
        bench.say(pilot)
    );
    let deep = if reamer.blind {
        format!(
            "the tip {} deep, its lead and {} of room for chips under the full size",
            bench.say(reamer.tip),
            bench.say(CHIPS)
        )
    } else {
        format!("the tip {} deep: past the far face with its lead and {}", bench.say(reamer.tip), bench.say(OUT))
    };
    bench.note(format!(
        "Tool {}: ream with cutting fluid, never turn it backward; try {} with a plug gauge.",
        tool.number, feature.title
    ));
    let stroke = Stroke { fed_out: true, ..Stroke::plain(reamer.tip, None, feed) };
    Operation {
        work: Work::Ream,
        tool: tool.number,
        spindle,
        feed,
        title: format!("Ream {}", feature.title),
        reasons: vec![said_speed, said_feed, left, deep],
        feature: feature.id.clone(),
        origin: feature.origin.clone(),
        moves: stroke.moves(in_order(holes)),
    }
}

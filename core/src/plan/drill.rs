//! Drilling: choosing the drill, its depth and its pecks.

use super::bench::{Bench, FLOOR, NEARLY};
use super::hole::{Stroke, choose, floor, in_order, power};
use super::model::{Operation, Work};
use super::ream::Reamer;
use super::speed;
use crate::diag::Diagnostic;
use crate::part::{Feature, Holes, Make};
use crate::quantity::{Angle, Length, Time, fixed, trig};
use crate::shop::{Cutter, Tool};
use crate::standards::material::Group;

/// What is to be drilled, before reaming and threading.
pub(super) struct Bored {
    pub(super) least: Length,
    pub(super) most: Length,
    /// The drill that is asked for.
    pub(super) aim: Length,
    /// So deep at the full diameter; nothing where it goes through.
    pub(super) full: Option<Length>,
}

impl Bored {
    pub(super) fn of(holes: &Holes, reamer: Option<&Reamer>) -> Self {
        let full = holes.depth.blind().map(crate::part::Size::middle);
        match &holes.make {
            Make::Plain { diameter } | Make::Reamed { diameter } => match reamer {
                Some(reamer) => {
                    let (least, most) = reamer.pilot();
                    let aim = (least + most) / 2.0;
                    Self { least, most, aim, full: reamer.pilot_depth() }
                }
                None => Self { least: diameter.least(), most: diameter.most(), aim: diameter.middle(), full },
            },
            // A drill cuts a little wide: stay off the upper limit (common practice).
            Make::Tapped { thread, drill, .. } => {
                let (least, most) = (thread.internal.minor_min, thread.internal.minor_max);
                Self { least, most, aim: drill.diameter, full }
            }
        }
    }

    /// How deep the hole is, to the end of its full diameter; nothing where it leaves no floor.
    pub(super) fn floor(&self, bench: &mut Bench<'_>, feature: &Feature) -> Option<Length> {
        let Some(full) = self.full else { return Some(bench.thickness()) };
        floor(bench, feature, full, "of depth").then_some(full)
    }

    /// Down to here the tip of a tool goes.
    fn tip(&self, bench: &Bench<'_>, tool: &Tool) -> Length {
        match self.full {
            Some(full) => full + tool.point_length(),
            None => bench.thickness() + tool.point_length() + breakthrough(tool.diameter),
        }
    }
}

/// A drill that was chosen.
pub(super) struct Drilled {
    pub(super) tool: Tool,
    point: Angle,
    /// It starts where it stands.
    pub(super) starts: bool,
}

/// Two drills nearer than this are the same. Common practice, no source.
const SAME: Length = Length::mm(0.011);

/// The drill nearest to what is asked for.
///
/// # Errors
/// The drills of the crib that were looked at, each with the reason against it.
pub(super) fn choose_drill(bench: &mut Bench<'_>, feature: &Feature, bored: &Bored) -> Result<Drilled, Vec<String>> {
    let Bored { least, most, aim, .. } = *bored;
    let mut others = Vec::new();
    let mut fitting: Vec<(&Tool, Angle, bool)> = Vec::new();
    let dust = Length::mm(1e-6);
    for tool in &bench.shop.tools {
        let Cutter::Drill { point, starts_itself } = tool.cutter else { continue };
        let tip = bored.tip(bench, tool);
        if tool.diameter < least - dust || tool.diameter > most + dust {
            if (tool.diameter - aim).abs() < NEARLY {
                let limits = format!("{} to {}", bench.say(least), bench.say(most));
                others.push(format!("tool {}: {} is not within {limits}", tool.number, bench.say(tool.diameter)));
            }
        } else if tool.flute_length.min(tool.reach) < tip {
            let reach = bench.say(tool.flute_length.min(tool.reach));
            others.push(format!("tool {}: {reach} long, {} are needed", tool.number, bench.say(tip)));
        } else if bored.full.is_some() && tip > bench.thinnest() - FLOOR {
            let (tip, most) = (bench.say(tip), bench.say(bench.thinnest() - FLOOR));
            others.push(format!("tool {}: its point goes {tip} deep, {most} leave a floor", tool.number));
        } else {
            fitting.push((tool, point, starts_itself));
        }
    }
    fitting.sort_by(|(a, ..), (b, ..)| (a.diameter - aim).abs().order((b.diameter - aim).abs()));
    let Some((tool, point, starts)) = fitting.first().copied() else { return Err(others) };
    for (other, ..) in fitting.iter().skip(1) {
        others.push(format!("tool {}: further from {}", other.number, bench.say(aim)));
    }
    let why = if (tool.diameter - aim).abs() < SAME {
        format!("the drill of {} that is asked for", bench.say(aim))
    } else {
        format!("nearest to {} in the crib, and within {} to {}", bench.say(aim), bench.say(least), bench.say(most))
    };
    choose(bench, feature, "drill", Some(tool.number), why, others);
    Ok(Drilled { tool: tool.clone(), point, starts })
}

/// How far a drill goes on past the far face: half a millimetre and a tenth of its diameter.
/// Common practice, no source.
pub(super) fn breakthrough(diameter: Length) -> Length {
    Length::mm(0.5) + diameter * 0.1
}

/// The share of the feed at which a drill comes out below (common practice: 0.5 to 0.7).
const EASED: f64 = 0.6;

/// Drills the holes.
pub(super) fn operation(
    bench: &mut Bench<'_>,
    feature: &Feature,
    holes: &Holes,
    bored: &Bored,
    drilled: &Drilled,
) -> Operation {
    let Drilled { tool, point, .. } = drilled;
    let material = bench.part.material.clone();
    let tip = bored.tip(bench, tool);
    let metal = bored.full.unwrap_or_else(|| bench.thickness());
    let (spindle, said_speed) = speed::spindle(bench, tool, speed::drill_edge(tool, &material), tool.diameter);
    let (feed, said_feed) = speed::feed(bench, tool, spindle, speed::drill_feed(tool.diameter, material.group), 1);
    let slender = metal / tool.diameter;
    let peck = peck(slender, material.group).map(|share| tool.diameter * share);
    let said_peck = match peck {
        Some(peck) => format!("{} diameters deep: {} at a time", fixed(slender, 1), bench.say(peck)),
        None => format!("{} diameters deep: in one go", fixed(slender, 1)),
    };
    if slender > 8.0 {
        let headline = format!("`{}` is {} diameters deep.", feature.title, fixed(slender, 1));
        let finding = Diagnostic::caution("plan/deep-hole", headline);
        bench.findings.push(finding.help("Up to 8 a twist drill stays straight by itself; watch the chips beyond."));
    }
    let turn = Length::mm(feed.as_mm_per_min() / spindle.as_rpm().max(1.0));
    let watts = speed::drill_watts(&material, tool.diameter, turn, spindle, trig::sin(*point / 2.0));
    power(bench, feature, tool, watts);
    let mut stroke = Stroke { peck, ..Stroke::plain(tip, None, feed) };
    let mut reasons = vec![said_speed, said_feed, said_peck];
    if bored.full.is_some() {
        // Two turns at the bottom leave the floor round; common practice.
        stroke.dwell = peck.is_none().then(|| two_turns(spindle.as_rpm()));
        reasons.push(format!(
            "{} deep: {} at its full diameter, {} of point",
            bench.say(tip),
            bench.say(metal),
            bench.say(tool.point_length())
        ));
    } else {
        let out = tip - metal;
        stroke.ease = Some((-metal, feed * EASED));
        reasons.push(format!("the last {} at {} % of the feed", bench.say(out), fixed(EASED * 100.0, 0)));
        reasons.push(format!(
            "{} deep: {} of metal, {} of point, {} beyond",
            bench.say(tip),
            bench.say(metal),
            bench.say(tool.point_length()),
            bench.say(breakthrough(tool.diameter))
        ));
    }
    Operation {
        work: Work::Drill,
        tool: tool.number,
        spindle,
        feed,
        title: format!("Drill {}", feature.title),
        reasons,
        feature: feature.id.clone(),
        origin: feature.origin.clone(),
        moves: stroke.moves(in_order(holes)),
    }
}

/// The time of two turns of the spindle, as a dwell. Common practice: two or three turns.
pub(super) fn two_turns(rpm: f64) -> Time {
    Time::second((120.0 / rpm.max(1.0)).max(0.05))
}

/// How much is drilled at a time, in diameters, by the depth in diameters; stringy metals one
/// class earlier, leaded brass one later (open tables; common practice).
fn peck(slender: f64, group: Group) -> Option<f64> {
    let class = match slender {
        s if s <= 3.0 => 0,
        s if s <= 5.0 => 1,
        s if s <= 8.0 => 2,
        _ => 3,
    };
    let class = match group {
        Group::Aluminium | Group::Plastic | Group::Stainless => class + 1,
        Group::Brass => class - 1,
        Group::Steel | Group::CastIron => class,
    };
    match class {
        i32::MIN..=0 => None,
        1 => Some(1.0),
        2 => Some(0.75),
        _ => Some(0.5),
    }
}

//! Starting holes, and the cones at their entries: chamfers and countersinks.

use super::bench::{Bench, FLOOR};
use super::drill::{Drilled, two_turns};
use super::hole::{Stroke, choose, in_order, with_notes};
use super::model::{Operation, Work};
use super::speed;
use crate::diag::Diagnostic;
use crate::part::{Feature, Head, Holes};
use crate::quantity::{Angle, Length, fixed, trig};
use crate::shop::{Cutter, Tool};

/// A cone at the entry of a hole.
#[derive(Clone, Copy, Debug)]
pub(super) struct Cone {
    across: Length,
    angle: Angle,
    word: &'static str,
}

impl Cone {
    /// How deep a tool with such a cone goes, whose tip is blunt by this much across.
    fn deep(&self, nose: Length) -> Length {
        (self.across - nose) / (2.0 * trig::tan(self.angle / 2.0))
    }

    fn degrees(&self) -> String {
        fixed(self.angle.as_degree(), 0)
    }
}

/// How the holes are started, and the cone that is left for later.
pub(super) struct Start {
    pub(super) operation: Option<Operation>,
    pub(super) after: Option<Cone>,
}

/// The cone at the entry of holes of this diameter, if they have one.
pub(super) fn cone(holes: &Holes, diameter: Length) -> Option<Cone> {
    if let Some(Head::Countersink { diameter: across, angle }) = &holes.head {
        return Some(Cone { across: across.middle(), angle: *angle, word: "countersink" });
    }
    let across = holes.chamfer.filter(|chamfer| *chamfer > diameter)?;
    Some(Cone { across, angle: Angle::degree(90.0), word: "chamfer" })
}

/// Angles nearer than this are the same. Common practice, no source.
const SAME: f64 = 0.1;

/// Starts the holes where the drill would wander, with their cone where a spot drill has its
/// angle; nothing where no tool does.
pub(super) fn start(bench: &mut Bench<'_>, feature: &Feature, holes: &Holes, drilled: &Drilled) -> Option<Start> {
    let drill = drilled.tool.diameter;
    let cone = cone(holes, drill);
    let mark = |across: Length| Cone { across, angle: Angle::degree(90.0), word: "start" };
    if cone.is_none() && drilled.starts {
        return Some(Start { operation: None, after: None });
    }
    let wanted = cone.unwrap_or_else(|| mark(drill * 0.9));
    let mut others = Vec::new();
    if let Some(tool) = spot(bench, &wanted, cone.is_some(), &mut others) {
        let why = match cone {
            Some(cone) => format!(
                "the smallest of {}° that cuts the {} of {} in one go",
                cone.degrees(),
                cone.word,
                bench.say(cone.across)
            ),
            None => format!("the smallest that marks {} for the drill", bench.say(wanted.across)),
        };
        choose(bench, feature, "start", Some(tool.number), why, others);
        return Some(Start { operation: Some(spotting(bench, feature, holes, &tool, wanted)), after: None });
    }
    if let Some(cone) = cone
        && sink(bench, holes, &cone, drill, &mut others).is_some()
    {
        if drilled.starts {
            return Some(Start { operation: None, after: Some(cone) });
        }
        let across = mark(drill * 0.9);
        let mut against = Vec::new();
        if let Some(tool) = spot(bench, &across, false, &mut against) {
            let why = format!("the smallest that marks {} for the drill", bench.say(across.across));
            choose(bench, feature, "start", Some(tool.number), why, against);
            let operation = Some(spotting(bench, feature, holes, &tool, across));
            return Some(Start { operation, after: Some(cone) });
        }
    }
    let headline = format!("No spot drill of the crib starts `{}`.", feature.title);
    let finding = with_notes(Diagnostic::refused("plan/no-tool", headline), &others);
    let mut finding = finding.help(format!(
        "A spot drill of {}° and {} or more would do.",
        wanted.degrees(),
        bench.say(wanted.across)
    ));
    if cone.is_some() {
        finding = finding.help(format!("So would a countersink of {}° after the drill.", wanted.degrees()));
    }
    bench.findings.push(finding);
    None
}

/// The smallest spot drill for a cone; for a mere start, any angle.
fn spot(bench: &Bench<'_>, cone: &Cone, exact: bool, others: &mut Vec<String>) -> Option<Tool> {
    let mut best: Option<&Tool> = None;
    for tool in &bench.shop.tools {
        let Cutter::Spot { point } = tool.cutter else { continue };
        let deep = Cone { angle: point, ..*cone }.deep(Length::ZERO);
        let against = if exact && (point.as_degree() - cone.angle.as_degree()).abs() > SAME {
            Some(format!("its point has {}°, the {} {}°", fixed(point.as_degree(), 0), cone.word, cone.degrees()))
        } else if tool.diameter < cone.across {
            Some(format!("{} is less than {}", bench.say(tool.diameter), bench.say(cone.across)))
        } else if deep > bench.thinnest() - FLOOR {
            Some(format!("its point would come out below, {} deep", bench.say(deep)))
        } else if best.is_some_and(|known| known.diameter <= tool.diameter) {
            Some("larger than it needs to be".to_owned())
        } else {
            None
        };
        match against {
            Some(against) => others.push(format!("tool {}: {against}", tool.number)),
            None => best = Some(tool),
        }
    }
    best.cloned()
}

fn spotting(bench: &mut Bench<'_>, feature: &Feature, holes: &Holes, tool: &Tool, cone: Cone) -> Operation {
    let point = if let Cutter::Spot { point } = tool.cutter { point } else { cone.angle };
    let depth = Cone { angle: point, ..cone }.deep(Length::ZERO);
    let edge = speed::mill_edge(tool, &bench.part.material);
    let (spindle, said_speed) = speed::spindle(bench, tool, edge, cone.across);
    let (feed, said_feed) =
        speed::feed(bench, tool, spindle, speed::drill_feed(tool.diameter, bench.part.material.group), 1);
    let reason = format!(
        "{} deep: {} across at a point of {}°",
        bench.say(depth),
        bench.say(cone.across),
        fixed(point.as_degree(), 0)
    );
    Operation {
        work: Work::Spot,
        tool: tool.number,
        spindle,
        feed,
        title: format!("Start {}", feature.title),
        reasons: vec![said_speed, said_feed, reason],
        feature: feature.id.clone(),
        origin: feature.origin.clone(),
        moves: Stroke::plain(depth, Some(two_turns(spindle.as_rpm())), feed).moves(in_order(holes)),
    }
}

/// The tool that cuts a cone into holes that are there, with the diameter of its nose: the
/// smallest that is large enough.
fn sink(
    bench: &Bench<'_>,
    holes: &Holes,
    cone: &Cone,
    hole: Length,
    others: &mut Vec<String>,
) -> Option<(Tool, Length)> {
    let floor = holes.depth.blind().map_or(bench.thinnest(), crate::part::Size::middle);
    let mut best: Option<(&Tool, Length)> = None;
    for tool in &bench.shop.tools {
        let (angle, nose) = match tool.cutter {
            Cutter::Countersink { angle, nose } => (angle, nose),
            Cutter::Spot { point } => (point, Length::ZERO),
            _ => continue,
        };
        let against = if (angle.as_degree() - cone.angle.as_degree()).abs() > SAME {
            format!("its cone has {}°, the {} {}°", fixed(angle.as_degree(), 0), cone.word, cone.degrees())
        } else if tool.diameter < cone.across {
            format!("{} is less than {}", bench.say(tool.diameter), bench.say(cone.across))
        } else if nose >= hole {
            format!("its nose of {} does not enter the hole", bench.say(nose))
        } else if cone.deep(nose) > floor - FLOOR {
            "its tip would meet the floor".to_owned()
        } else if best.is_some_and(|(known, _)| known.diameter <= tool.diameter) {
            "larger than it needs to be".to_owned()
        } else {
            best = Some((tool, nose));
            continue;
        };
        let told = format!("tool {}: {against}", tool.number);
        if !others.iter().any(|other| other.starts_with(&format!("tool {}:", tool.number))) {
            others.push(told);
        }
    }
    best.map(|(tool, nose)| (tool.clone(), nose))
}

/// Cuts the cone into holes that are there.
pub(super) fn after(
    bench: &mut Bench<'_>,
    feature: &Feature,
    holes: &Holes,
    cone: &Cone,
    hole: Length,
) -> Option<Operation> {
    let mut others = Vec::new();
    let Some((tool, nose)) = sink(bench, holes, cone, hole, &mut others) else {
        let headline = format!("No tool of the crib cuts the {} of `{}`.", cone.word, feature.title);
        let finding = with_notes(Diagnostic::refused("plan/no-tool", headline), &others);
        let help = format!("A countersink of {}° and {} or more would do.", cone.degrees(), bench.say(cone.across));
        bench.findings.push(finding.help(help));
        return None;
    };
    let why = format!("the smallest of {}° that cuts {}", cone.degrees(), bench.say(cone.across));
    choose(bench, feature, cone.word, Some(tool.number), why, others);
    // Slower than a drill, so that it does not chatter: half (common practice).
    let edge = speed::drill_edge(&tool, &bench.part.material) * 0.5;
    let (spindle, said_speed) = speed::spindle(bench, &tool, edge, cone.across);
    let (feed, said_feed) =
        speed::feed(bench, &tool, spindle, speed::drill_feed(tool.diameter, bench.part.material.group), 1);
    let depth = cone.deep(nose);
    let reason = format!(
        "{} deep: {} across at {}°, from a nose of {}",
        bench.say(depth),
        bench.say(cone.across),
        cone.degrees(),
        bench.say(nose)
    );
    Some(Operation {
        work: Work::Countersink,
        tool: tool.number,
        spindle,
        feed,
        title: format!("Cut the {}s of {}", cone.word, feature.title),
        reasons: vec![said_speed, said_feed, reason],
        feature: feature.id.clone(),
        origin: feature.origin.clone(),
        moves: Stroke::plain(depth, Some(two_turns(spindle.as_rpm())), feed).moves(in_order(holes)),
    })
}

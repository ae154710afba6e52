//! Starting, chamfering and drilling holes.

use super::bench::{Bench, NEAR};
use super::model::{At, Choice, Move, Operation, Work};
use super::{bench, speed};
use crate::diag::Diagnostic;
use crate::part::{Feature, Holes, Make, Place};
use crate::quantity::{Angle, Length, Time, fixed, trig};
use crate::shop::{Cutter, Tool};
use crate::standards::material::Group;

/// A drill's operation with the diameter that it leaves.
pub(super) struct Drilled {
    pub(super) operation: Operation,
    pub(super) diameter: Length,
}

/// The places of the holes in the order of the way from one to the next.
pub(super) fn in_order(holes: &Holes) -> Vec<Place> {
    let mut places = holes.places.clone();
    places.sort_by(|a, b| a.x.order(b.x).then(a.y.order(b.y)));
    places
}

/// The diameter that the holes are drilled to, as drawn.
fn wanted(holes: &Holes) -> Length {
    match &holes.make {
        Make::Plain { diameter } | Make::Reamed { diameter } => diameter.middle(),
        Make::Tapped { drill, .. } => drill.diameter,
    }
}

/// Between a hole and the end or side of the bar this much must stay: beyond it stand the stop
/// and the jaws. Common practice, no source; what the part bears is for its family to say.
const WALL: Length = Length::mm(0.5);

/// Refuses holes that would run out at an end or a side.
pub(super) fn inside(bench: &mut Bench<'_>, feature: &Feature, holes: &Holes) {
    let radius = holes.radius();
    let part = bench.part;
    let mut told = Vec::new();
    for (what, half, far) in [
        (
            "end",
            part.length.least() / 2.0,
            holes.places.iter().map(|place| place.x.abs()).fold(Length::ZERO, Length::max),
        ),
        (
            "side",
            part.width.least() / 2.0,
            holes.places.iter().map(|place| place.y.abs()).fold(Length::ZERO, Length::max),
        ),
    ] {
        let most = half - radius - WALL;
        if far > most {
            let headline = format!("`{}` runs out at the {what} of the bar.", feature.title);
            let note = format!("{} from the middle, and {} is the most.", bench.say(far), bench.say(most));
            let help = format!("A bar {} larger there, or holes further in, would do.", bench.say((far - most) * 2.0));
            told.push(Diagnostic::refused("plan/edge", headline).note(note).help(help));
        }
    }
    bench.findings.extend(told);
}

/// Starts the holes, with their chamfer; nothing where a drill does without.
pub(super) fn spot(bench: &mut Bench<'_>, feature: &Feature, holes: &Holes) -> Option<Operation> {
    let drill = wanted(holes);
    let chamfer = holes.chamfer.filter(|chamfer| *chamfer > drill);
    if chamfer.is_none() && bench.shop.tools.iter().any(|tool| starts_itself(tool, drill)) {
        return None;
    }
    let across = chamfer.unwrap_or(drill * 0.9);
    let mut others = Vec::new();
    let mut best: Option<(&Tool, Angle)> = None;
    for tool in &bench.shop.tools {
        let Cutter::Spot { point } = tool.cutter else { continue };
        let against = if chamfer.is_some() && (point.as_degree() - 90.0).abs() > 0.1 {
            Some(format!("its point has {}°, the chamfer 90°", fixed(point.as_degree(), 0)))
        } else if tool.diameter < across {
            Some(format!("{} is less than {}", bench.say(tool.diameter), bench.say(across)))
        } else if best.is_some_and(|(known, _)| known.diameter <= tool.diameter) {
            Some("larger than it needs to be".to_owned())
        } else {
            None
        };
        match against {
            Some(against) => others.push(format!("tool {}: {against}", tool.number)),
            None => best = Some((tool, point)),
        }
    }
    let Some((tool, point)) = best else {
        let finding =
            Diagnostic::refused("plan/no-tool", format!("No spot drill of the crib starts `{}`.", feature.title));
        let help = format!("A spot drill of 90° and {} or more would do.", bench.say(across));
        bench.findings.push(with_notes(finding, &others).help(help));
        return None;
    };
    let why = if chamfer.is_some() {
        format!("the smallest of 90° that cuts the chamfer of {} in one go", bench.say(across))
    } else {
        format!("the smallest that marks {} for the drill", bench.say(across))
    };
    choose(bench, feature, "start", Some(tool.number), why, others);
    let depth = across / (2.0 * trig::tan(point / 2.0));
    let edge = speed::mill_edge(tool, &bench.part.material);
    let (spindle, said_speed) = speed::spindle(bench, tool, edge, across);
    let (feed, said_feed) =
        speed::feed(bench, tool, spindle, speed::drill_feed(tool.diameter, bench.part.material.group), 1);
    // Two turns at the bottom leave a round chamfer; common practice.
    let dwell = Time::second((120.0 / spindle.as_rpm().max(1.0)).max(0.05));
    let reason = format!(
        "{} deep: {} across at a point of {}°",
        bench.say(depth),
        bench.say(across),
        fixed(point.as_degree(), 0)
    );
    Some(Operation {
        work: Work::Spot,
        tool: tool.number,
        spindle,
        feed,
        title: format!("Start {}", feature.title),
        reasons: vec![said_speed, said_feed, reason],
        feature: feature.id.clone(),
        origin: feature.origin.clone(),
        moves: down(in_order(holes), -depth, None, Some(dwell), feed),
    })
}

fn starts_itself(tool: &Tool, diameter: Length) -> bool {
    matches!(tool.cutter, Cutter::Drill { starts_itself: true, .. }) && (tool.diameter - diameter).abs() < SAME
}

/// Two drills nearer than this are the same. Common practice, no source.
const SAME: Length = Length::mm(0.011);

/// Drills the holes through.
pub(super) fn drill(bench: &mut Bench<'_>, feature: &Feature, holes: &Holes) -> Option<Drilled> {
    let (least, most) = match &holes.make {
        Make::Plain { diameter } | Make::Reamed { diameter } => (diameter.least(), diameter.most()),
        // A drill cuts a little wide: stay off the upper limit (common practice).
        Make::Tapped { thread, .. } => (thread.internal.minor_min, thread.internal.minor_max),
    };
    let aim = wanted(holes);
    let thickness = bench.thickness();
    let mut others = Vec::new();
    let mut fitting: Vec<(&Tool, Angle)> = Vec::new();
    for tool in &bench.shop.tools {
        let Cutter::Drill { point, .. } = tool.cutter else { continue };
        let depth = thickness + tool.point_length() + breakthrough(tool.diameter);
        let named = (tool.diameter - aim).abs() < SAME;
        let dust = Length::mm(1e-6);
        if tool.diameter < least - dust || tool.diameter > most + dust {
            if (tool.diameter - aim).abs() < Length::mm(0.6) {
                let limits = format!("{} to {}", bench.say(least), bench.say(most));
                others.push(format!("tool {}: {} is not within {limits}", tool.number, bench.say(tool.diameter)));
            }
        } else if tool.flute_length.min(tool.reach) < depth {
            let reach = bench.say(tool.flute_length.min(tool.reach));
            others.push(format!("tool {}: {reach} long, {} are needed", tool.number, bench.say(depth)));
        } else if named {
            fitting.insert(0, (tool, point));
        } else {
            fitting.push((tool, point));
        }
    }
    fitting.sort_by(|(a, _), (b, _)| (a.diameter - aim).abs().order((b.diameter - aim).abs()));
    let Some((tool, point)) = fitting.first().copied() else {
        let headline = format!("No drill of the crib makes `{}`.", feature.title);
        let finding = with_notes(Diagnostic::refused("plan/no-tool", headline), &others);
        let help = format!(
            "A drill of {}, {} long in the flutes, would do; {} to {} are good.",
            bench.say(aim),
            bench.say(thickness + aim * 0.3 + breakthrough(aim)),
            bench.say(least),
            bench.say(most)
        );
        bench.findings.push(finding.help(help));
        return None;
    };
    for (other, _) in fitting.iter().skip(1) {
        others.push(format!("tool {}: further from {}", other.number, bench.say(aim)));
    }
    let why = if (tool.diameter - aim).abs() < SAME {
        format!("the drill of {} that is asked for", bench.say(aim))
    } else {
        format!("nearest to {} in the crib, and within {} to {}", bench.say(aim), bench.say(least), bench.say(most))
    };
    choose(bench, feature, "drill", Some(tool.number), why, others);
    let operation = drilling(bench, feature, holes, tool, point);
    Some(Drilled { operation, diameter: tool.diameter })
}

/// How far a drill goes on past the far face: half a millimetre and a tenth of its diameter.
/// Common practice, no source.
fn breakthrough(diameter: Length) -> Length {
    Length::mm(0.5) + diameter * 0.1
}

fn drilling(bench: &mut Bench<'_>, feature: &Feature, holes: &Holes, tool: &Tool, point: Angle) -> Operation {
    let material = bench.part.material.clone();
    let thickness = bench.thickness();
    let out = breakthrough(tool.diameter);
    let depth = thickness + tool.point_length() + out;
    let (spindle, said_speed) = speed::spindle(bench, tool, speed::drill_edge(tool, &material), tool.diameter);
    let (feed, said_feed) = speed::feed(bench, tool, spindle, speed::drill_feed(tool.diameter, material.group), 1);
    let slender = thickness / tool.diameter;
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
    let watts = speed::drill_watts(&material, tool.diameter, turn, spindle, trig::sin(point / 2.0));
    power(bench, feature, tool, watts);
    bench.note(format!(
        "Tool {}: ease the feed to about 60 % by hand for the last {} of each hole.",
        tool.number,
        bench.say(tool.point_length() + out)
    ));
    let reason = format!(
        "{} deep: {} of metal, {} of point, {} beyond",
        bench.say(depth),
        bench.say(thickness),
        bench.say(tool.point_length()),
        bench.say(out)
    );
    Operation {
        work: Work::Drill,
        tool: tool.number,
        spindle,
        feed,
        title: format!("Drill {}", feature.title),
        reasons: vec![said_speed, said_feed, said_peck, reason],
        feature: feature.id.clone(),
        origin: feature.origin.clone(),
        moves: down(in_order(holes), -depth, peck, None, feed),
    }
}

/// Says so where a cut takes more than half of the spindle's power.
pub(super) fn power(bench: &mut Bench<'_>, feature: &Feature, tool: &Tool, watts: f64) {
    let half = bench.shop.machine.spindle_watts / 2.0;
    if watts > half {
        let headline = format!(
            "Tool {} takes {} W on `{}`; half of the spindle is {} W.",
            tool.number,
            fixed(watts, 0),
            feature.title,
            fixed(half, 0)
        );
        bench.findings.push(Diagnostic::caution("plan/power", headline).help("Take a smaller feed or a smaller tool."));
    }
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

fn down(
    places: Vec<Place>,
    depth: Length,
    peck: Option<Length>,
    dwell: Option<Time>,
    feed: crate::quantity::Feed,
) -> Vec<Move> {
    let Some(first) = places.first().copied() else { return Vec::new() };
    vec![
        Move::Rapid { to: At::xy(first.x, first.y) },
        Move::Drill { places, from: NEAR, depth, peck, dwell, feed },
        Move::Rapid { to: At::z(bench::CLEAR) },
    ]
}

pub(super) fn choose(
    bench: &mut Bench<'_>,
    feature: &Feature,
    what: &str,
    tool: Option<u32>,
    why: String,
    others: Vec<String>,
) {
    bench.choices.push(Choice { feature: feature.id.clone(), what: what.to_owned(), tool, why, others });
}

pub(super) fn with_notes(finding: Diagnostic, notes: &[String]) -> Diagnostic {
    notes.iter().fold(finding, |finding, note| finding.note(note.clone()))
}

//! Holes: what each needs, in turn.

use super::bench::{Bench, CLEAR, FLOOR, NEAR};
use super::drill::{self, Bored};
use super::mill::{self, ALLOWANCE, BEYOND, Running, Wanted};
use super::model::{At, Choice, Move, Operation, Work};
use super::pocket::{Pocket, Way};
use super::{chamfer, head, ream, thread_mill};
use crate::diag::Diagnostic;
use crate::part::{Feature, Head, Holes, Make, Place};
use crate::quantity::{Feed, Length, Time, fixed};
use crate::shop::Tool;

/// Everything that a group of holes needs.
pub(super) fn make(bench: &mut Bench<'_>, feature: &Feature, holes: &Holes, list: &mut Vec<Operation>) {
    let reamer = match &holes.make {
        Make::Reamed { diameter } => match ream::choose_reamer(bench, feature, holes, diameter) {
            Some(reamer) => Some(reamer),
            None => return,
        },
        Make::Plain { .. } | Make::Tapped { .. } => None,
    };
    let bored = Bored::of(holes, reamer.as_ref());
    let Some(deep) = bored.floor(bench, feature) else { return };
    let drilled = match drill::choose_drill(bench, feature, &bored) {
        Ok(drilled) => drilled,
        Err(others) => {
            let milled = bore(bench, feature, holes, &bored, deep, others);
            let Some((operation, diameter)) = milled else { return };
            let cone = chamfer::cone(holes, diameter);
            list.extend(cone.and_then(|cone| chamfer::after(bench, feature, holes, &cone, diameter)));
            list.push(operation);
            finish(bench, feature, holes, reamer.as_ref(), (diameter, bored.full), list);
            return;
        }
    };
    let diameter = drilled.tool.diameter;
    let Some(start) = chamfer::start(bench, feature, holes, &drilled) else { return };
    list.extend(start.operation);
    list.push(drill::operation(bench, feature, holes, &bored, &drilled));
    list.extend(start.after.and_then(|cone| chamfer::after(bench, feature, holes, &cone, diameter)));
    finish(bench, feature, holes, reamer.as_ref(), (diameter, bored.full), list);
}

/// What comes after the hole is drilled or milled to this diameter, so deep where it is blind.
fn finish(
    bench: &mut Bench<'_>,
    feature: &Feature,
    holes: &Holes,
    reamer: Option<&ream::Reamer>,
    (diameter, full): (Length, Option<Length>),
    list: &mut Vec<Operation>,
) {
    list.extend(reamer.map(|reamer| ream::operation(bench, feature, holes, reamer, diameter)));
    if let Some(Head::Counterbore { diameter: wide, depth }) = &holes.head {
        list.extend(head::counterbore(bench, feature, holes, wide, depth));
    }
    list.extend(thread_mill::mill(bench, feature, holes, diameter, full));
}

/// The places of the holes in the order of the way from one to the next: column by column, up the
/// one and down the other.
pub(super) fn in_order(holes: &Holes) -> Vec<Place> {
    let mut places = holes.places.clone();
    places.sort_by(|a, b| a.x.order(b.x).then(a.y.order(b.y)));
    let mut turned = Vec::with_capacity(places.len());
    let near = |a: &Place, b: &Place| (b.x - a.x).abs() < Length::mm(1e-6);
    for (number, column) in places.chunk_by(near).enumerate() {
        if number % 2 == 0 {
            turned.extend_from_slice(column);
        } else {
            turned.extend(column.iter().rev());
        }
    }
    turned
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

/// Thinner than this share of a hole, a mill goes round in it with room for its chips. Common
/// practice, no source.
const ROOM: f64 = 0.8;

/// Mills a hole that no drill makes; refuses it where no mill does either.
fn bore(
    bench: &mut Bench<'_>,
    feature: &Feature,
    holes: &Holes,
    bored: &Bored,
    deep: Length,
    mut others: Vec<String>,
) -> Option<(Operation, Length)> {
    let step = bench.step();
    let aim = ((bored.least + bored.most) / 2.0).to_nearest(step);
    let deep = if bored.full.is_some() { deep } else { bench.thickness() + BEYOND };
    let wanted = Wanted { what: "hole", deep, widest: aim * ROOM, own: None, own_first: false };
    let chosen = match mill::choose(bench, &wanted) {
        Ok(chosen) => chosen,
        Err(mills) => {
            others.extend(mills);
            let headline = format!("No drill of the crib makes `{}`.", feature.title);
            let finding = with_notes(Diagnostic::refused("plan/no-tool", headline), &others);
            let help = format!(
                "A drill of {}, {} long in the flutes, would do; {} to {} are good.",
                bench.say(bored.aim),
                bench.say(deep + bored.aim * 0.3 + drill::breakthrough(bored.aim)),
                bench.say(bored.least),
                bench.say(bored.most)
            );
            let help = format!("{help} So would {}.", mill::would_do(bench, &wanted));
            bench.findings.push(finding.help(help));
            return None;
        }
    };
    others.extend(chosen.others);
    let why = format!("no drill of the crib is good; {}", chosen.why);
    choose(bench, feature, "bore", Some(chosen.tool.number), why, others);
    let run = Running::of(bench, chosen.tool);
    let way = Way::of(bench, &run, Pocket { half: Length::ZERO, wall: aim / 2.0, deep });
    power(bench, feature, &run.tool, way.watts);
    let mut moves = Vec::new();
    for place in in_order(holes) {
        way.rough(place, &mut moves);
        way.finish(place, &mut moves);
    }
    let aimed = format!(
        "aimed at {}, the middle of {} to {}; {} left for the wall",
        bench.say(aim),
        bench.say(bored.least),
        bench.say(bored.most),
        bench.say(ALLOWANCE)
    );
    let reasons = run.said.iter().chain(&way.said).cloned().chain([aimed]).collect();
    let operation = Operation {
        work: Work::Bore,
        tool: run.tool.number,
        spindle: run.spindle,
        feed: run.feed,
        title: mill::title("Mill", feature),
        reasons,
        feature: feature.id.clone(),
        origin: feature.origin.clone(),
        moves,
    };
    Some((operation, aim))
}

/// Refuses a blind hole whose deepest point leaves no floor.
pub(super) fn floor(bench: &mut Bench<'_>, feature: &Feature, tip: Length, why: &str) -> bool {
    let most = bench.thinnest() - FLOOR;
    if tip <= most {
        return true;
    }
    let headline = format!(
        "`{}` needs {} {why}; {} is the most that leaves a floor.",
        feature.title,
        bench.say(tip),
        bench.say(most)
    );
    let help = format!("A hole shallower by {}, or a higher part, would do.", bench.say(tip - most));
    bench.findings.push(Diagnostic::refused("plan/floor", headline).help(help));
    false
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

/// How a tool goes down in holes.
#[derive(Clone, Copy, Debug)]
pub(super) struct Stroke {
    /// Depth of the tip, downward.
    pub(super) deep: Length,
    pub(super) peck: Option<Length>,
    pub(super) dwell: Option<Time>,
    pub(super) feed: Feed,
    pub(super) ease: Option<(Length, Feed)>,
    pub(super) fed_out: bool,
}

impl Stroke {
    /// In one go, and up at the rapid.
    pub(super) const fn plain(deep: Length, dwell: Option<Time>, feed: Feed) -> Self {
        Self { deep, peck: None, dwell, feed, ease: None, fed_out: false }
    }

    /// From hole to hole.
    pub(super) fn moves(self, places: Vec<Place>) -> Vec<Move> {
        let Some(first) = places.first().copied() else { return Vec::new() };
        let Self { deep, peck, dwell, feed, ease, fed_out } = self;
        vec![
            Move::Rapid { to: At::xy(first.x, first.y) },
            Move::Drill { places, from: NEAR, depth: -deep, peck, dwell, feed, ease, fed_out },
            Move::Rapid { to: At::z(CLEAR) },
        ]
    }
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

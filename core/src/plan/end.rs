//! Milling the sawn ends of the bar to length, with their corners.

use super::bench::{Bench, CLEAR, HOLDER, NEAR, whole};
use super::hole::with_notes;
use super::mill::{self, ALLOWANCE, OVERRUN, Running};
use super::model::{At, Move, Operation, Position, Turn, Work};
use super::speed;
use crate::diag::{Diagnostic, Origin};
use crate::part::{End, Place, Pose, Size};
use crate::quantity::{Feed, Force, Length, fixed, trig};
use crate::shop::{Cutter, Tool};

/// What the operations on ends belong to.
const ENDS: &str = "ends";

/// The mill goes on so far past the lower face. Common practice, no source.
const BELOW: Length = Length::mm(0.5);

/// Radius of the arcs by which the mill comes to the side of the bar and leaves it, where the
/// corners are rounded. Common practice, no source.
const LEAD: Length = Length::mm(2.0);

/// Between jaws and cutter so much stays free. Common practice, no source.
const FREE: Length = Length::mm(1.0);

/// The end stands at least so far beyond the jaws. Common practice, no source.
const OUT: Length = Length::mm(3.0);

/// The jaws hold at least so much of the length, and no less than stands out. Common practice,
/// no source.
const GRIP: Length = Length::mm(10.0);

/// A saw leaves an end so much longer than it should, at most. Common practice, no source.
const SAW: Length = Length::mm(0.5);

/// Roughs and finishes the end at the higher X.
pub(super) fn mill(bench: &mut Bench<'_>) -> Vec<Operation> {
    let End::Milled(allowance) = bench.part.ends.right else { return Vec::new() };
    let deep = bench.thickness() + BELOW;
    let Some(tool) = choose_cutter(bench, deep) else { return Vec::new() };
    bench.overhang = Some(overhang(bench, &tool));
    let run = Running::of(bench, tool);
    let lane = Lane::of(bench, &run);
    let corner = lane.corner.as_mm();
    let diagonal = Length::mm(trig::hypot(corner + allowance.as_mm(), corner) - corner);
    let wide = allowance.max(diagonal) + SAW - ALLOWANCE;
    let (axial, radial) = mill::side(bench.part.material.group);
    let cuts = whole(wide / (run.tool.diameter * radial * bench.shop.machine.vigour.max(0.4)), 200);
    let (steps, cut) = mill::steps(bench, &run, deep, wide / f64::from(cuts), axial);
    let floors = || (1..=steps).map(|step| -deep * (f64::from(step) / f64::from(steps)));
    let (mut rough, mut finish) = (Vec::new(), Vec::new());
    for z in floors() {
        for cut in 1..=cuts {
            lane.pass(&mut rough, ALLOWANCE + wide * (1.0 - f64::from(cut) / f64::from(cuts)), z);
        }
    }
    // Once more at full depth, so that a bent cutter springs back.
    for z in floors().chain([-deep]) {
        lane.pass(&mut finish, Length::ZERO, z);
    }
    let said_rough = format!(
        "{} deep in {steps} step{}, each {}; {} off the end in {cuts} cut{}; at most {} N on a tooth",
        bench.say(deep),
        mill::plural(steps),
        bench.say(cut.depth),
        bench.say(wide),
        mill::plural(cuts),
        fixed(cut.peak(&bench.part.material).as_newton(), 0)
    );
    let length = bench.part.length.clone();
    let said_finish = if sizes(bench) {
        format!(
            "aimed at a length of {}, the middle of {} to {}",
            bench.say(length.middle()),
            bench.say(length.least()),
            bench.say(length.most())
        )
    } else {
        format!(
            "a clean end; the length comes of the other one, {} to {}",
            bench.say(length.least()),
            bench.say(length.most())
        )
    };
    let which = match bench.pose {
        Pose::SecondEnd => "second end",
        _ => "first end",
    };
    let make = |work, verb: &str, reason: String, moves| Operation {
        work,
        tool: run.tool.number,
        spindle: run.spindle,
        feed: run.feed,
        title: format!("{verb} the {which}"),
        reasons: run.said.iter().cloned().chain([reason]).collect(),
        feature: ENDS.to_owned(),
        origin: Origin::default(),
        moves,
    };
    if sizes(bench) {
        bench.note(format!(
            "Measure the length of the first piece while it is held: too long by so much, take that much from the zero of X and run tool {} again. Too short, add it for the next piece.",
            run.tool.number
        ));
    }
    vec![make(Work::EndRough, "Rough", said_rough, rough), make(Work::EndFinish, "Finish", said_finish, finish)]
}

/// Whether this end makes the length: the other one is finished.
fn sizes(bench: &Bench<'_>) -> bool {
    bench.pose == Pose::SecondEnd || !matches!(bench.whole.ends.left, End::Milled(_))
}

/// How far the end must stand beyond the jaws for a cutter.
fn overhang(bench: &Bench<'_>, tool: &Tool) -> Length {
    let corner = bench.part.ends.corner.as_ref().map(Size::middle);
    corner.map_or(OUT, |corner| (corner + LEAD + tool.diameter / 2.0 + FREE).max(OUT))
}

/// The stiffest cutter whose edges reach down, and that leaves enough in the jaws.
fn choose_cutter(bench: &mut Bench<'_>, deep: Length) -> Option<Tool> {
    let mut others = Vec::new();
    let mut fitting: Vec<&Tool> = Vec::new();
    let mut short: Option<(Length, Length)> = None;
    let (from, half) = (bench.part.blank_along().0, bench.part.length.nominal / 2.0);
    for tool in &bench.shop.tools {
        if !matches!(tool.cutter, Cutter::EndMill { .. }) {
            continue;
        }
        let out = overhang(bench, tool);
        let held = (half - out - from).min(bench.shop.vise.jaw_width);
        let need = GRIP.max(out);
        if tool.flute_length < deep || tool.stick_out < deep + HOLDER {
            let edges = bench.say(tool.flute_length);
            others.push(format!("tool {}: its edges are {edges} long, {} are needed", tool.number, bench.say(deep)));
        } else if held < need {
            let (held_said, need_said) = (bench.say(held.max(Length::ZERO)), bench.say(need));
            others.push(format!(
                "tool {}: {} must stand beyond the jaws, which leaves {held_said} in them; {need_said} are needed",
                tool.number,
                bench.say(out)
            ));
            short = Some((held, need));
        } else {
            fitting.push(tool);
        }
    }
    fitting.sort_by(|a, b| speed::bend(a, Force::newton(1.0)).order(speed::bend(b, Force::newton(1.0))));
    let Some(best) = fitting.first() else {
        let headline =
            format!("No end mill of the crib mills the ends of a part {} high.", bench.say(bench.thickness()));
        let finding = with_notes(Diagnostic::refused("plan/no-tool", headline), &others);
        let help = match short {
            Some((held, need)) => format!("A part longer by {}, or smaller corners, would do.", bench.say(need - held)),
            None => format!("An end mill of 6 to 12 mm with edges {} long or longer would do.", bench.say(deep)),
        };
        bench.findings.push(finding.help(help));
        return None;
    };
    for other in fitting.iter().skip(1) {
        others.push(format!("tool {}: bends more", other.number));
    }
    let best = (*best).clone();
    let why = format!("the stiffest whose edges reach {} down", bench.say(deep));
    // The second end is cut like the first: one choice stands for both.
    if bench.pose == Pose::FirstEnd {
        let choice = crate::plan::Choice {
            feature: ENDS.to_owned(),
            what: ENDS.to_owned(),
            tool: Some(best.number),
            why,
            others,
        };
        bench.choices.push(choice);
    }
    Some(best)
}

/// What all passes round an end share.
struct Lane {
    /// Where the end is to be.
    end: Length,
    /// Half of the width.
    side: Length,
    corner: Length,
    radius: Length,
    step: Length,
    feed: Feed,
    air: Feed,
}

impl Lane {
    fn of(bench: &Bench<'_>, run: &Running) -> Self {
        let step = bench.step();
        let part = bench.part;
        let length = if sizes(bench) { part.length.middle() } else { part.length.nominal };
        let corner = part.ends.corner.as_ref().map_or(Length::ZERO, Size::middle);
        Self {
            end: (length - part.length.nominal / 2.0).to_nearest(step),
            side: (part.width.middle() / 2.0).to_nearest(step),
            corner: corner.to_nearest(step),
            radius: run.radius(),
            step,
            feed: run.feed,
            air: bench.air(),
        }
    }

    /// One pass round the end, so far outside of where it is to be. The work is on the right of
    /// the way, which is climb milling: from the back round to the front.
    fn pass(&self, moves: &mut Vec<Move>, away: Length, z: Length) {
        let off = (self.radius + away).to_nearest(self.step);
        let x = self.end + off;
        if self.corner <= Length::ZERO {
            let out = (self.side + self.radius + OVERRUN).to_nearest(self.step);
            moves.push(Move::Rapid { to: At::xy(x, out) });
            moves.push(Move::Rapid { to: At::z(NEAR) });
            moves.push(Move::Feed { to: At::z(z), feed: self.air });
            moves.push(Move::Feed { to: At { y: Some(-out), ..At::default() }, feed: self.feed });
            moves.push(Move::Rapid { to: At::z(CLEAR) });
            return;
        }
        let (lead, middle) = (LEAD.to_nearest(self.step), self.end - self.corner);
        let (side, flat) = (self.side + off, self.side - self.corner);
        let arc = |x: Length, y: Length, cy: Length, turn: Turn| Move::Arc {
            to: Position { x, y, z },
            centre: Place { x: middle, y: cy },
            turn,
            feed: self.feed,
        };
        moves.push(Move::Rapid { to: At::xy(middle - lead, side + lead) });
        moves.push(Move::Rapid { to: At::z(NEAR) });
        moves.push(Move::Feed { to: At::z(z), feed: self.air });
        moves.push(arc(middle, side, side + lead, Turn::CounterClockwise));
        moves.push(arc(x, flat, flat, Turn::Clockwise));
        moves.push(Move::Feed { to: At { y: Some(-flat), ..At::default() }, feed: self.feed });
        moves.push(arc(middle, -side, -flat, Turn::Clockwise));
        moves.push(arc(middle - lead, -side - lead, -side - lead, Turn::CounterClockwise));
        moves.push(Move::Rapid { to: At::z(CLEAR) });
    }
}

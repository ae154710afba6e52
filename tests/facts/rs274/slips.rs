//! Thousands of slips put into good programs: those that change the piece or the safety are
//! caught, and every one that is not has its reason.
//!
//! Whether a slip matters is judged here a second time and in another way: the ways of the good
//! and the changed program are laid beside each other, place by place. The proof's own rules
//! about material, limits and loads are not used.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use barwright_core::proof::{Bench, Event, Motion, Path, Tip, Trace, prove, trace};
use barwright_core::quantity::Unit;

use super::key::programs;
use super::{bench, mutants};

/// Every n-th slip of all that there are is tried.
const EVERY: usize = 7;

#[test]
fn slips_that_matter_are_caught() {
    let part = bench::key();
    let setup = bench::setup();
    let (mut tried, mut caught, mut kept) = (0, 0, 0);
    let mut reasons: BTreeMap<(&str, &str), usize> = BTreeMap::new();
    let mut missed = Vec::new();
    let mut survivors = Vec::new();
    for (name, text, control) in programs() {
        let shop = bench::shop(control);
        let good = trace(text, &Bench::of(&shop, &setup, Unit::Mm));
        for mutant in mutants::all(text).into_iter().skip(3).step_by(EVERY) {
            tried += 1;
            if !prove(&mutant.text, &part, &shop, &setup).proved() {
                caught += 1;
                continue;
            }
            let changed = trace(&mutant.text, &Bench::of(&shop, &setup, Unit::Mm));
            match reason(&good, &changed) {
                Ok(reason) => {
                    kept += 1;
                    *reasons.entry((reason, mutant.kind)).or_default() += 1;
                    survivors.push(format!("{name} line {}, {}: {}: {reason}", mutant.line, mutant.kind, mutant.what));
                }
                Err(why) => {
                    missed.push(format!("{name} line {}, {}: {}: {why}", mutant.line, mutant.kind, mutant.what));
                }
            }
        }
    }
    let matter = caught + missed.len();
    let mut report = format!("{tried} slips: {caught} caught, {} missed, {kept} do no harm\n", missed.len());
    for ((reason, kind), count) in &reasons {
        writeln!(report, "{count:6}  {kind}: {reason}").expect("a string takes it");
    }
    report += &missed.join("\n");
    show(&report);
    show(&survivors.join("\n"));
    assert!(tried >= 5000, "at least 5000 slips are wanted, not {tried}");
    assert!(missed.len() * 1000 <= matter * 5, "99.5 % are to be caught:\n{report}");
}

/// For whoever runs this test with its output shown.
#[expect(clippy::print_stdout, reason = "the report of the test")]
fn show(report: &str) {
    println!("{report}");
}

/// Why a slip that the proof lets pass does no harm; or what harm it does.
fn reason(good: &Trace, changed: &Trace) -> Result<&'static str, String> {
    let (a, b) = (said(good), said(changed));
    if a == b {
        return Ok("the control does exactly the same");
    }
    for (event, line) in &b {
        match event {
            Event::HeightUnknown { .. } => return Err(format!("height unknown at line {line}")),
            Event::Blind { to, .. } if to[2].is_none_or(|z| z < 9.0) => return Err(format!("blind at line {line}")),
            _ => {}
        }
    }
    let others = |list: &[(Event, usize)]| -> Vec<Event> {
        let other = |event: &&(Event, usize)| {
            !matches!(event.0, Event::Move(..) | Event::Blind { .. } | Event::Dwell { .. } | Event::Start { .. })
        };
        list.iter().filter(other).map(|(event, _)| *event).collect()
    };
    let lifted = |list: Vec<Event>| -> Vec<Event> { list.into_iter().map(level).collect() };
    if lifted(others(&a)) != lifted(others(&b)) {
        return Err("tools, changes or the end differ".to_owned());
    }
    waits(&a, &b)?;
    let (a, b) = (moves(&a), moves(&b));
    if a.len() == b.len() && a.iter().zip(&b).all(|(a, b)| same_way(a, b)) {
        return loads(&a, &b);
    }
    ways(&a, &b)
}

/// A change or an end higher than it was does no harm.
fn level(event: Event) -> Event {
    match event {
        Event::Change { tool, height, parked, turning, .. } => {
            Event::Change { line: 0, tool, height: height.map(|z| z.min(10.0).round()), parked, turning }
        }
        Event::End { height, parked, turning, coolant, .. } => {
            Event::End { line: 0, height: height.map(|z| z.min(10.0).round()), parked, turning, coolant }
        }
        other => other,
    }
}

fn said(trace: &Trace) -> Vec<(Event, usize)> {
    let bare = |event: &Event| match *event {
        Event::Move(motion, exact) => (Event::Move(Motion { line: 0, ..motion }, exact), motion.line),
        Event::Blind { line, tool, to, aside, parked } => (Event::Blind { line: 0, tool, to, aside, parked }, line),
        Event::HeightUnknown { line } => (Event::HeightUnknown { line: 0 }, line),
        Event::Dwell { line, time } => (Event::Dwell { line: 0, time }, line),
        Event::Change { line, tool, height, parked, turning } => {
            (Event::Change { line: 0, tool, height, parked, turning }, line)
        }
        Event::Start { line, speed, tool, fresh } => (Event::Start { line: 0, speed, tool, fresh }, line),
        Event::End { line, height, parked, turning, coolant } => {
            (Event::End { line: 0, height, parked, turning, coolant }, line)
        }
    };
    trace.events.iter().map(bare).collect()
}

fn moves(list: &[(Event, usize)]) -> Vec<Motion> {
    let motion = |(event, line): &(Event, usize)| match event {
        Event::Move(motion, _) => Some(Motion { line: *line, ..*motion }),
        _ => None,
    };
    list.iter().filter_map(motion).collect()
}

/// Each start of the spindle is still followed by two seconds at least, and none by half a minute.
fn waits(a: &[(Event, usize)], b: &[(Event, usize)]) -> Result<(), String> {
    let times = |list: &[(Event, usize)]| -> Vec<f64> {
        let wait = |(event, _): &(Event, usize)| match event {
            Event::Dwell { time, .. } => Some(time.as_second()),
            _ => None,
        };
        list.iter().filter_map(wait).filter(|time| *time > 1.0).collect()
    };
    let (a, b) = (times(a), times(b));
    if a.len() > b.len() || b.iter().any(|time| !(1.9..=30.0).contains(time)) {
        return Err(format!("waits {a:?} became {b:?}"));
    }
    Ok(())
}

fn same_way(a: &Motion, b: &Motion) -> bool {
    let near = a.from.distance(b.from) < 1e-9 && a.to.distance(b.to) < 1e-9;
    near && a.path == b.path && a.tool == b.tool && (a.rapid == b.rapid || (a.rapid && !b.rapid))
}

/// Feeds and speeds that a tool bears though nobody chose them: a third more than twice as fast,
/// or slower. A feed may be slow; that costs time only.
fn loads(a: &[Motion], b: &[Motion]) -> Result<&'static str, String> {
    for (a, b) in a.iter().zip(b) {
        let feed = b.feed.as_mm_per_min() / a.feed.as_mm_per_min();
        let speed = b.spindle.as_rpm() / a.spindle.as_rpm();
        let chip = feed / speed;
        if !a.rapid && (!(0.05..=5.0).contains(&chip) || !(0.19..=2.6).contains(&speed)) {
            return Err(format!("line {}: feed times {feed:.2}, speed times {speed:.2}", b.line));
        }
    }
    Ok("the same way; feed or speed stays within what the tool bears")
}

/// The changed part of two ways, between what they have in common before and after.
fn ways(a: &[Motion], b: &[Motion]) -> Result<&'static str, String> {
    let same = |(a, b): &(&Motion, &Motion)| same_way(a, b);
    let before = a.iter().zip(b).take_while(same).count();
    let after = a[before..].iter().rev().zip(b[before..].iter().rev()).take_while(same).count();
    let (old, new) = (&a[before..a.len() - after], &b[before..b.len() - after]);
    // What the good program cuts at all, and what is left at the end.
    let mut far = 0.0_f64;
    for motion in new {
        for place in places(motion) {
            far = far.max(trespass(motion, place, a)?);
        }
    }
    for motion in old {
        for place in places(motion).into_iter().filter(|place| final_cut(motion, *place)) {
            let near = b
                .iter()
                .filter(|other| other.tool == motion.tool && !other.rapid)
                .map(|other| gap(other, place))
                .fold(f64::INFINITY, f64::min);
            let room = room(motion.tool);
            if near > room {
                return Err(format!("line {}: the cut at {place:?} is not made, {near:.3} off", motion.line));
            }
            far = far.max(near);
        }
    }
    if far > 0.004 {
        Ok("the cut moves by less than the limits leave")
    } else {
        Ok("only ways through the air, or a cut that a later one makes again")
    }
}

/// How far a tool's cut may move: the place of a hole, a thread, a wall.
fn room(tool: u32) -> f64 {
    match tool {
        1 | 2 => 0.12,
        3 => 0.06,
        _ => 0.055,
    }
}

/// Places along a move, no farther apart than a quarter of a millimetre.
fn places(motion: &Motion) -> Vec<Tip> {
    let count = (motion.length() / 0.25).ceil().clamp(1.0, 400.0);
    let mut list = vec![motion.from];
    let mut number = 1.0;
    while number <= count {
        list.push(motion.at(number / count));
        number += 1.0;
    }
    list
}

/// Whether a place of the good program leaves a face that the finished piece has.
fn final_cut(motion: &Motion, place: Tip) -> bool {
    if motion.rapid || place.z >= 0.0 {
        return false;
    }
    match motion.tool {
        1 => place.z <= -2.59,
        2 => place.z <= -12.0,
        3 => matches!(motion.path, Path::Arc(arc) if arc.radius > 1.0) && (-12.4..=-0.4).contains(&place.z),
        _ => place.y.abs() < 8.0 && place.x.abs() <= 30.0,
    }
}

/// How far a place of the changed program lies from where the good one cuts; an error where it
/// does harm.
fn trespass(motion: &Motion, place: Tip, good: &[Motion]) -> Result<f64, String> {
    let radius = [3.0, 3.0, 2.1, 1.5, 3.0, 2.5][motion.tool.min(5) as usize];
    let harm = |what: &str| Err(format!("line {}: {what} at {place:?}", motion.line));
    let jaw = place.z < -6.9 && place.y.abs() + radius > 8.0 && place.x.abs() < 50.0 + radius;
    let stop = place.z < -5.9 && place.x < -30.0 + radius && place.x > -43.0 && place.y.abs() < 8.0 + radius;
    if jaw || stop || place.z < -25.0 || (place.x.abs() > 200.0 || place.y.abs() > 75.0 || place.z > 100.0) {
        return harm("holding or travel");
    }
    let beside = place.x.abs() > 30.0 + radius || place.y.abs() > 8.0 + radius;
    let over = if motion.rapid { 0.19 } else { 0.0 };
    if beside || place.z >= over {
        return Ok(0.0);
    }
    if motion.rapid {
        // Straight up, or in a hole at its middle, or beside the tongue where it was cut.
        let up = motion.to.z > motion.from.z && motion.from.plan().distance(motion.to.plan()) < 1e-9;
        let passed = good.iter().any(|other| other.tool == motion.tool && gap(other, place) < 0.13);
        let hole = motion.tool == 3
            && [-22.5, -7.5, 7.5, 22.5]
                .iter()
                .any(|x| place.plan().distance(barwright_core::geom::Point::new(*x, 0.0)) < 0.55);
        return if up || passed || hole { Ok(0.0) } else { harm("rapid in the work") };
    }
    // The good tool's own way, or deeper in the same hole, or higher over the same rabbet.
    let near = good
        .iter()
        .filter(|other| other.tool == motion.tool)
        .map(|other| gap(other, place))
        .fold(f64::INFINITY, f64::min);
    if near <= room(motion.tool) {
        return Ok(near);
    }
    let hole = [-22.5, -7.5, 7.5, 22.5]
        .iter()
        .map(|x| place.plan().distance(barwright_core::geom::Point::new(*x, 0.0)))
        .fold(f64::INFINITY, f64::min);
    let free = match motion.tool {
        1 => hole < 0.12 && place.z >= -2.71,
        2 => hole < 0.12,
        // Within the bore, or with the teeth's middle, 0.4 above the tip, beyond a face.
        3 => hole <= 0.61 || (hole < 1.06 && !(-12.81..=-0.39).contains(&place.z)),
        4 => place.y.abs() >= 7.95 && place.z >= -2.56,
        _ => false,
    };
    if free { Ok(0.0) } else { harm("a cut where the good program makes none") }
}

/// The distance of a place from a move.
fn gap(motion: &Motion, place: Tip) -> f64 {
    match motion.path {
        Path::Line => {
            let way = [motion.to.x - motion.from.x, motion.to.y - motion.from.y, motion.to.z - motion.from.z];
            let off = [place.x - motion.from.x, place.y - motion.from.y, place.z - motion.from.z];
            let square: f64 = way.iter().map(|part| part * part).sum();
            let share =
                if square < 1e-18 { 0.0 } else { way.iter().zip(&off).map(|(a, b)| a * b).sum::<f64>() / square };
            motion.at(share.clamp(0.0, 1.0)).distance(place)
        }
        Path::Arc(_) => {
            let middle = motion.at(0.5);
            if (middle.x - place.x).abs() > 12.0 || (middle.z - place.z).abs() > 2.0 {
                return f64::INFINITY;
            }
            let mut least = f64::INFINITY;
            for step in 0..=96 {
                least = least.min(motion.at(f64::from(step) / 96.0).distance(place));
            }
            least
        }
    }
}

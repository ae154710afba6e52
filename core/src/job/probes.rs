//! The probing programs of a part: where each setup's piece can be touched, or why it cannot.

use super::header;
use crate::batch::held_length;
use crate::drawing::Stamp;
use crate::part::{Depth, Face, Part, Place, Pose};
use crate::plan::{Plan, SetupPlan};
use crate::program::{self, Header, Piece, SEARCH, TIP};
use crate::proof::{self, Probing};
use crate::quantity::{Length, Unit, trig};
use crate::shop::Shop;

/// The share of what a program searches by which pieces stand off when it is tried: nearly as far
/// as the operator is told to set by eye.
const ASTRAY: f64 = 0.95;

/// A zero is found when it is so near to where the piece stands.
const FOUND: Length = Length::mm(0.002);

/// A zero of the machine far from the work, so that the two are not mistaken for one.
const ELSEWHERE: [Length; 3] = [Length::mm(200.0), Length::mm(100.0), Length::mm(90.0)];

/// How far a bar, or an end that is sawn, may be off its size before the probing program stops, beside the rack's own word.
const OFF: Length = Length::mm(0.3);
/// The least of the piece that must stand out of the jaws to be touched above them.
const LEAST: Length = Length::mm(3.0);
/// The deepest below the top that a side is touched: no stem of a probe is in the way there.
const DEEP: Length = Length::mm(5.0);
/// Between the tip and what it must not touch so much stays free.
const FREE: Length = Length::mm(0.5);

/// What a setup has of a probing program.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Probed {
    /// Number of the setup.
    pub setup: u32,
    /// Its file and text; or why there is none, in words.
    pub program: Result<(String, String), String>,
}

/// The probing program of every setup, where the control has a probe; nothing at all where it has
/// none. Each was read back with a touch simulated, on pieces that stand off their place and are off
/// their size, and found their middle without meeting jaws or stop.
pub fn probes(part: &Part, plan: &Plan, shop: &Shop, stamp: &Stamp) -> Vec<Probed> {
    if !shop.control.probing {
        return Vec::new();
    }
    let header = Header { setups: plan.setups.len(), ..header(part, shop, stamp, true) };
    let made = plan.setups.iter().map(|setup| {
        let program = touches(part, setup, shop.control.speaks(part.unit)).and_then(|piece| {
            let text = program::emit_probe(setup, &piece, &header, &shop.control)
                .ok_or_else(|| "its work offset is none of G54 to G59".to_owned())?;
            let name = format!("probe-{}.nc", setup.setup.number);
            finds(&text, part, setup, &piece, shop).map(|()| (name, text))
        });
        Probed { setup: setup.setup.number, program }
    });
    made.collect()
}

/// Runs a probing program on pieces that stand somewhere else than by eye.
fn finds(text: &str, part: &Part, setup: &SetupPlan, piece: &Piece, shop: &Shop) -> Result<(), String> {
    let posed = part.posed(setup.pose);
    let (length, middle) = (piece.along.1 - piece.along.0, (piece.along.0 + piece.along.1) / 2.0);
    for share in [0.0, ASTRAY, -ASTRAY] {
        let (shift, long, wide) = (SEARCH * (share / 2.0), piece.long_off * share, piece.wide_off * share);
        let at = [shift, -shift, shift];
        // A sawn end may be where it likes: the one at the stop tells.
        let grown = if piece.by_stop { long / 2.0 } else { Length::ZERO };
        let probing = Probing {
            piece_at: [middle + grown + shift, -shift, shift],
            extents: [length + long, piece.width + wide, posed.blank.height],
            tip: TIP,
            machine_zero: ELSEWHERE,
            holding: proof::probe_holding(&posed, &setup.setup, at),
        };
        let found = proof::probe(text, shop, &setup.setup, part.unit, &probing);
        if let Some(breach) = found.breaches.first() {
            return Err(format!("read back, it does not hold: line {}: {}", breach.line, breach.what));
        }
        let near = found.zero.iter().zip(at).all(|(zero, want)| (*zero - want).abs() < FOUND);
        if !near {
            return Err("read back, it finds another middle than there is".to_owned());
        }
    }
    Ok(())
}

/// Where the piece of a setup can be touched before it is cut there; lengths are told in `unit`.
///
/// # Errors
/// In words: what of it no probe can reach.
pub fn touches(part: &Part, setup: &SetupPlan, unit: Unit) -> Result<Piece, String> {
    let posed = part.posed(setup.pose);
    let along = posed.blank_along();
    let width = posed.blank.width;
    let vise = &setup.setup;
    let out = -vise.jaw_top;
    let middle = (along.0 + along.1) / 2.0;
    let (half_long, half) = ((along.1 - along.0) / 2.0, width / 2.0);
    let top = top(part, setup.pose, (middle, half_long, half))
        .ok_or("its top is cut up: no flat spot for the tip in what was cut before")?;
    // Counted from their middle, pieces are no further off than the route card allows.
    let long_off = if matches!(setup.pose, Pose::Top | Pose::Bottom) {
        let held = held_length(part);
        OFF.min((held.most - held.least) / 2.0)
    } else {
        OFF
    };
    let piece = Piece {
        along,
        by_stop: setup.pose.mills_an_end(),
        width,
        long_off,
        wide_off: OFF,
        top,
        depth: DEEP,
        at_x: Length::ZERO,
        at_y: -width / 4.0,
        sides_first: false,
    };
    // Above the jaws everything is free; half of what stands out is deep enough.
    let piece = if out >= LEAST {
        Piece { depth: (out / 2.0).min(DEEP), ..piece }
    } else {
        let jaws = (vise.jaw_middle - vise.jaw_reach, vise.jaw_middle + vise.jaw_reach);
        let (left, right) = (jaws.0 - along.0, along.1 - jaws.1);
        // Found by eye, a place is off by half of what is searched.
        let need = TIP + SEARCH + FREE * 2.0;
        let below = unit.say(out);
        if left < FREE || (right < FREE && !piece.by_stop) {
            return Err(format!("the jaws end {below} below the top, and an end of the piece lies within them"));
        }
        if left.max(right) < need {
            let (has, need) = (unit.say(left.max(right)), unit.say(need));
            return Err(format!(
                "the jaws end {below} below the top; {need} of the piece would have to stand out beside them, not {has}"
            ));
        }
        let at = if left >= right { along.0 + left / 2.0 } else { along.1 - right / 2.0 };
        let at_y = -(TIP / 2.0 + FREE).max(half / 2.0);
        if half + at_y < FREE {
            return Err(format!("the stop leaves too little of an end {} wide", unit.say(width)));
        }
        Piece { depth: DEEP.min(posed.blank.height / 2.0), at_x: at - middle, at_y, sides_first: true, ..piece }
    };
    beside(part, setup.pose, &piece)?;
    Ok(piece)
}

/// A flat spot of the top for the tip, which stands up to half of the search off: the middle, or
/// the nearest to it.
fn top(part: &Part, pose: Pose, (middle, half_long, half): (Length, Length, Length)) -> Option<Place> {
    let around = TIP / 2.0 + SEARCH / 2.0 + FREE;
    let (far, wide) = (half_long - around, half - around);
    if far < Length::ZERO || wide < Length::ZERO {
        return None;
    }
    // What comes through from the side that was cut before; where it lies, either way round.
    let cut: Vec<(Length, Length, Length)> = if pose == Pose::Bottom { through(part) } else { Vec::new() };
    let free = |x: Length, y: Length| {
        cut.iter().all(|(at_x, at_y, radius)| {
            let (dx, dy) = ((x - *at_x).abs(), y.abs() - at_y.abs());
            trig::hypot(dx.as_mm(), dy.as_mm()) >= (*radius + around).as_mm()
        })
    };
    let steps = (far.as_mm() / 0.5).floor().min(400.0);
    let mut step = 0.0;
    while step <= steps {
        for y in [Length::ZERO, -wide, wide] {
            for side in [1.0, -1.0] {
                let x = middle + Length::mm(step * 0.5 * side);
                if free(x, y) {
                    // The middle of the finished part where the blank is longer at one end.
                    let x = if step > 0.0 || !free(Length::ZERO, y) { x } else { Length::ZERO };
                    return Some(Place { x, y });
                }
            }
        }
        step += 1.0;
    }
    None
}

/// Middles and half widths of everything that goes through from the top.
fn through(part: &Part) -> Vec<(Length, Length, Length)> {
    let mut list = Vec::new();
    for (feature, holes) in part.holes() {
        if feature.face == Face::Top && matches!(holes.depth, Depth::Through) {
            list.extend(holes.places.iter().map(|place| (place.x, place.y, holes.radius())));
        }
    }
    for (feature, slot) in part.slots() {
        if feature.face == Face::Top && matches!(slot.depth, Depth::Through) {
            let long = slot.length.as_ref().map_or(part.length.nominal, |length| length.nominal);
            list.push((slot.place.x, slot.place.y, long.max(slot.width.nominal) / 2.0));
        }
    }
    list
}

/// Standing, the faces that are touched are those that were cut before: they must be whole where
/// the tip comes.
fn beside(part: &Part, pose: Pose, piece: &Piece) -> Result<(), String> {
    if !matches!(pose, Pose::OnLeft | Pose::OnRight) {
        return Ok(());
    }
    let around = TIP / 2.0 + SEARCH / 2.0 + FREE;
    let half = part.length.nominal / 2.0;
    let up = if pose == Pose::OnLeft { 1.0 } else { -1.0 };
    for (feature, holes) in part.holes().filter(|(feature, _)| matches!(feature.face, Face::Top | Face::Bottom)) {
        let near = holes.places.iter().any(|place| {
            let below = half - place.x * up;
            (below - piece.depth).abs() < holes.radius() + around && place.y.abs() < holes.radius() + around
        });
        if near {
            return Err(format!("`{}` lies where its side would be touched", feature.title));
        }
    }
    for (feature, tongue) in part.tongues() {
        let low = part.height.nominal * 0.75 - around;
        if tongue.width.nominal < around * 2.0 || tongue.height.nominal > low {
            return Err(format!("`{}` leaves too little of its sides", feature.title));
        }
    }
    if part.slots().any(|(feature, _)| matches!(feature.face, Face::Top | Face::Bottom)) {
        return Err("slots in its sides lie where it would be touched".to_owned());
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::part::{End, Ends};
    use crate::plan::tests::{m5_key, planned};
    use crate::shop::demo_shop;

    fn stamp() -> Stamp {
        Stamp { digest: "0123456789ab".to_owned(), ..Stamp::default() }
    }

    /// The key with its ends milled: 60 mm in jaws of 80 mm, and in jaws of 30 mm.
    #[test]
    fn ends_are_touched_where_they_stand_out() {
        let mut part = m5_key();
        let allowance = Length::mm(1.0);
        part.ends = Ends { left: End::Milled(allowance), right: End::Milled(allowance), corner: None };
        part.blank.length = part.length.nominal + allowance * 2.0;
        for (jaws, good) in [(80.0, [false, false, true]), (30.0, [true, true, true])] {
            let mut shop = demo_shop("canned");
            shop.vise.jaw_width = Length::mm(jaws);
            let plan = planned(&part, &shop);
            let probed = probes(&part, &plan, &shop, &stamp());
            let found: Vec<bool> = probed.iter().map(|one| one.program.is_ok()).collect();
            assert_eq!(found, good, "{jaws}: {probed:#?}");
            // The sawn end tells nothing: the one at the stop gives the zero, and the length follows.
            let by_stop: Vec<bool> = probed
                .iter()
                .filter_map(|one| one.program.as_ref().ok())
                .map(|(_, text)| text.contains("FROM THE END AT THE STOP"))
                .collect();
            assert_eq!(by_stop, if jaws > 60.0 { vec![false] } else { vec![true, true, false] }, "{jaws}");
            for why in probed.iter().filter_map(|one| one.program.as_ref().err()) {
                assert!(why.contains("below the top") && why.contains("lies within them"), "{why}");
            }
        }
        let shop = demo_shop("written-out");
        assert!(probes(&part, &planned(&part, &shop), &shop, &stamp()).is_empty(), "it has no probe");
    }

    /// A probe that comes down where a jaw is, or on the stop, is seen by the proof.
    #[test]
    fn jaws_and_stop_are_not_taken_for_the_piece() {
        let mut part = m5_key();
        let allowance = Length::mm(1.0);
        part.ends = Ends { left: End::Milled(allowance), right: End::Milled(allowance), corner: None };
        part.blank.length = part.length.nominal + allowance * 2.0;
        let mut shop = demo_shop("canned");
        shop.vise.jaw_width = Length::mm(30.0);
        let plan = planned(&part, &shop);
        let setup = &plan.setups[0];
        let piece = touches(&part, setup, part.unit).expect("the ends stand out");
        let header = header(&part, &shop, &stamp(), true);
        let run = |piece: &Piece| {
            let text = program::emit_probe(setup, piece, &header, &shop.control).expect("a probe");
            finds(&text, &part, setup, piece, &shop)
        };
        assert_eq!(run(&piece), Ok(()), "as it is");
        let jaw = setup.setup.jaw_middle - (piece.along.0 + piece.along.1) / 2.0;
        let told = run(&Piece { at_x: jaw, ..piece }).expect_err("over the jaws");
        assert!(told.contains("meets a jaw or the stop"), "{told}");
        let told = run(&Piece { at_y: Length::mm(3.0), ..piece }).expect_err("at the stop");
        assert!(told.contains("meets a jaw or the stop"), "{told}");
        // By the middle of a piece whose end was sawn by a guess the length would be wrong.
        let (text, off) =
            (program::emit_probe(setup, &piece, &header, &shop.control).expect("a probe"), Length::mm(0.4));
        let posed = part.posed(setup.pose);
        let zero = |by: Length| {
            let probing = Probing {
                piece_at: [(piece.along.0 + piece.along.1 + by) / 2.0, Length::ZERO, Length::ZERO],
                extents: [piece.along.1 - piece.along.0 + by, piece.width, posed.blank.height],
                tip: TIP,
                machine_zero: ELSEWHERE,
                holding: Vec::new(),
            };
            proof::probe(&text, &shop, &setup.setup, part.unit, &probing).zero[0]
        };
        assert!((zero(off) - zero(Length::ZERO)).abs() < Length::mm(1e-3), "as far from the stop: {:?}", zero(off));
    }

    #[test]
    fn the_top_is_touched_beside_what_is_cut_through_it() {
        let mut part = m5_key();
        let (middle, half_long, half) = (Length::ZERO, Length::mm(30.0), Length::mm(8.0));
        let at = |part: &Part, pose| top(part, pose, (middle, half_long, half));
        assert_eq!(at(&part, Pose::Top), Some(Place { x: Length::ZERO, y: Length::ZERO }), "uncut");
        for feature in &mut part.features {
            if let crate::part::Kind::Holes(holes) = &mut feature.kind {
                holes.places = vec![Place { x: Length::ZERO, y: Length::ZERO }];
            }
        }
        let found = at(&part, Pose::Bottom).expect("beside the hole");
        let apart = trig::hypot(found.x.as_mm(), found.y.as_mm());
        assert!(apart > 2.0 + 2.0 + 2.0, "the tip and what it may be off, beside the hole: {found:?}");
        assert_eq!(top(&part, Pose::Top, (middle, Length::mm(3.0), half)), None, "too short for the tip");
    }
}

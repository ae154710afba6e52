//! A probing program read back, with a touch simulated: what zero it finds, and what it hits.

use super::fault::{Fault, fault};
use super::holding::obstacles;
use super::state::system_of;
use super::{Bench, Breach, Event, Path, Tip, trace};
use crate::part::Part;
use crate::quantity::{Length, Unit};
use crate::shop::{Setup, Shop};

/// A block that a probe touches, in millimetres of the bench's axes: it is grown by the radius of
/// the probe's tip along X and Y, so that the tip is a point.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Block3 {
    /// The lowest corner.
    pub low: [f64; 3],
    /// The highest corner.
    pub high: [f64; 3],
}

/// The piece as it stands, and how the probe is set.
#[derive(Clone, Debug, PartialEq)]
pub struct Probing {
    /// From the zero that the operator set by eye to the middle of the piece's top.
    pub piece_at: [Length; 3],
    /// The piece's extents along X, Y and Z.
    pub extents: [Length; 3],
    /// Diameter of the probe's tip.
    pub tip: Length,
    /// Where the machine's zero lies, from the zero set by eye.
    pub machine_zero: [Length; 3],
    /// What holds the piece and must not be touched, from the zero set by eye.
    pub holding: Vec<Block3>,
}

/// The jaws and the stop of a setup as a probe may meet them, `shift` from where the setup has them.
/// The stop is fast on the fixed jaw and covers the back half of the end.
pub fn holding(part: &Part, setup: &Setup, shift: [Length; 3]) -> Vec<Block3> {
    let shift = shift.map(Length::as_mm);
    let floor = (setup.parallel_top - setup.parallel_height).as_mm();
    let high = obstacles(part, setup).into_iter().filter(|thing| thing.top > setup.parallel_top.as_mm());
    high.map(|thing| {
        let front = if thing.code == "proof/stop" { thing.rect.middle().y } else { thing.rect.low.y };
        Block3 {
            low: [thing.rect.low.x + shift[0], front + shift[1], floor + shift[2]],
            high: [thing.rect.high.x + shift[0], thing.rect.high.y + shift[1], thing.top + shift[2]],
        }
    })
    .collect()
}

/// What a probing program finds.
#[derive(Clone, Debug, PartialEq)]
pub struct Found {
    /// The zero that the program enters, from the one that was set by eye.
    pub zero: [Length; 3],
    /// What must not run.
    pub breaches: Vec<Breach>,
}

/// Reads a probing program and runs it against a piece that stands somewhere near its place. The
/// simulated tip touches the sides of the piece exactly; the roundness of the tip at edges is left
/// out, since every touch of the program is on a face.
pub fn probe(text: &str, shop: &Shop, setup: &Setup, unit: Unit, probing: &Probing) -> Found {
    let radius = probing.tip.as_mm() / 2.0;
    let at = probing.piece_at.map(Length::as_mm);
    let [length, width, height] = probing.extents.map(Length::as_mm);
    let reach = [length / 2.0 + radius, width / 2.0 + radius];
    let block = Block3 {
        low: [at[0] - reach[0], at[1] - reach[1], at[2] - height],
        high: [at[0] + reach[0], at[1] + reach[1], at[2]],
    };
    let zero = probing.machine_zero.map(Length::as_mm);
    let start = [0.0, 0.0, at[2] + setup.clear.as_mm() + 10.0].map(Some);
    let bench = Bench {
        machine_zero: Some(zero),
        start,
        contact: Some(block),
        fitted: Some(0),
        ..Bench::of(shop, setup, unit)
    };
    let unit = bench.unit;
    let run = trace(text, &bench);
    let words: Vec<&str> = text.lines().collect();
    let mut breaches = run.breaches;
    let mut tell = |line: usize, told: Fault| {
        let words = line.checked_sub(1).and_then(|at| words.get(at)).copied().unwrap_or_default();
        let words = words.trim().to_owned();
        let Fault { code, what, consequence } = told;
        breaches.push(Breach { line, words, code, what, consequence, more: 0, last: line });
    };
    for event in &run.events {
        if let Event::Move(motion, _) = event
            && matches!(motion.path, Path::Line)
            && block.entered(motion.from, motion.to)
        {
            let what = "The probe goes through the piece.";
            tell(motion.line, fault("proof/probe", what, "The probe breaks."));
        }
        // Jaws press on the piece: beside it the tip may come as near to them as to a face.
        if let Event::Move(motion, _) = event
            && probing.holding.iter().any(|thing| thing.grown(radius).entered(motion.from, motion.to))
        {
            let what = "The probe meets a jaw or the stop.";
            tell(motion.line, fault("proof/probe", what, "It takes it for the piece, or breaks."));
        }
    }
    if !run.ended {
        tell(0, fault("proof/probe", "The program does not come to its end.", "The zero is not entered."));
    }
    let first = 5221 + 20 * u32::try_from(system_of(&setup.work_offset).unwrap_or(0)).unwrap_or(0);
    let mut found = [Length::ZERO; 3];
    for ((place, number), zero) in found.iter_mut().zip(first..).zip(zero) {
        *place = unit.length(run.parameters.value(number)) + Length::mm(zero);
    }
    Found { zero: found, breaches }
}

impl Block3 {
    /// The block with so much more on each side but below, for a tip of that radius.
    fn grown(&self, by: f64) -> Self {
        let (mut low, mut high) = (self.low, self.high);
        for axis in 0..2 {
            low[axis] -= by;
            high[axis] += by;
        }
        Self { low, high }
    }

    /// The part of a way that lies inside, from 0 to 1.
    fn inside(&self, from: [f64; 3], to: [f64; 3]) -> Option<(f64, f64)> {
        let (mut enter, mut leave) = (0.0_f64, 1.0_f64);
        for axis in 0..3 {
            let (start, step) = (from[axis], to[axis] - from[axis]);
            let (low, high) = (self.low[axis], self.high[axis]);
            if step.abs() < 1e-12 {
                // Along a face is not inside.
                if start <= low + 1e-9 || start >= high - 1e-9 {
                    return None;
                }
            } else {
                let (a, b) = ((low - start) / step, (high - start) / step);
                enter = enter.max(a.min(b));
                leave = leave.min(a.max(b));
            }
        }
        (enter < leave).then_some((enter, leave))
    }

    /// Where a way first touches the block.
    pub(super) fn touched(&self, from: [f64; 3], to: [f64; 3]) -> Option<[f64; 3]> {
        let (enter, _) = self.inside(from, to)?;
        let mut place = to;
        for axis in 0..3 {
            place[axis] = from[axis] + (to[axis] - from[axis]) * enter;
        }
        Some(place)
    }

    /// Whether a way goes into the block by more than dust.
    fn entered(&self, from: Tip, to: Tip) -> bool {
        let ends = |tip: Tip| [tip.x, tip.y, tip.z];
        let long = from.distance(to);
        self.inside(ends(from), ends(to)).is_some_and(|(enter, leave)| (leave - enter) * long > 1e-5)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drawing::Stamp;
    use crate::job::{header, touches};
    use crate::plan::tests::{m5_key, planned};
    use crate::program::{Piece, emit_probe};
    use crate::shop::demo_shop;

    fn program(unit: Unit) -> (Shop, Setup, String) {
        let (mut part, shop) = (m5_key(), demo_shop("canned"));
        part.unit = unit;
        let plan = planned(&part, &shop);
        let setup = plan.setups.first().expect("a setup");
        let piece = touches(&part, setup, part.unit).expect("room beside the piece");
        let piece = Piece { long_off: Length::mm(0.5), wide_off: Length::mm(0.5), ..piece };
        let text = emit_probe(setup, &piece, &header(&part, &shop, &Stamp::default(), true), &shop.control);
        (shop, setup.setup.clone(), text.expect("a probe and room beside the piece"))
    }

    fn at(shift: [f64; 3], off: f64) -> Probing {
        Probing {
            piece_at: shift.map(Length::mm),
            extents: [60.0 + off, 16.0 - off, 12.0].map(Length::mm),
            tip: Length::mm(4.0),
            machine_zero: [210.0, 95.0, 88.0].map(Length::mm),
            holding: Vec::new(),
        }
    }

    #[test]
    fn the_middle_is_found_wherever_the_piece_stands() {
        for unit in [Unit::Mm, Unit::Inch] {
            let (shop, setup, text) = program(unit);
            for shift in [[0.0; 3], [1.7, -1.3, 0.9], [-2.0, 2.0, -2.0], [0.01, 0.02, 1.999]] {
                for off in [0.0, 0.4, -0.4] {
                    let found = probe(&text, &shop, &setup, unit, &at(shift, off));
                    assert_eq!(found.breaches, [], "{unit:?} {shift:?} {off}:\n{text}");
                    for (zero, want) in found.zero.iter().zip(shift) {
                        assert!((zero.as_mm() - want).abs() < 1e-3, "{unit:?} {shift:?} {off}: {:?}", found.zero);
                    }
                }
            }
        }
    }

    #[test]
    fn what_must_not_run_is_told() {
        let (shop, setup, text) = program(Unit::Mm);
        let run = |text: &str, probing: &Probing| probe(text, &shop, &setup, Unit::Mm, probing).breaches;
        let told = |breaches: Vec<Breach>, word: &str| {
            assert!(breaches.iter().any(|breach| breach.what.contains(word)), "`{word}`: {breaches:#?}");
        };
        told(run(&text.replace(" F150.0", ""), &at([0.0; 3], 0.0)), "no feed");
        told(run(&text.replace("M5", "S1000 M3"), &at([0.0; 3], 0.0)), "spindle turns");
        told(run(&text, &at([30.0, 0.0, 0.0], 0.0)), "");
        let far = run(&text, &at([0.0, 0.0, -9.0], 0.0));
        told(far, "finds nothing");
        told(run(&text, &at([11.0, 0.0, 0.0], 0.0)), "through the piece");
        assert!(!run(&text, &at([0.0; 3], 0.8)).is_empty(), "a piece of the wrong size stops the control");
    }
}

//! Whether the edges keep out of what every good piece keeps.

use super::cutter::{Role, Section};
use super::fault::fault;
use super::flat::{Flat, Leg};
use super::judge::{DUST, Judge};
use super::motion::Motion;
use super::region::{Answer, Region, within};
use crate::quantity::fixed;
use crate::shop::{Cutter, Tool};

/// How many boxes are looked at before a cut counts as one into the piece.
const STEPS: usize = 4000;

impl Judge<'_> {
    /// `home` is the hole that the way belongs to, if any.
    pub(super) fn keep(&mut self, motion: &Motion, leg: &Leg, tool: &Tool, sections: &[Section], home: Option<usize>) {
        let teeth = matches!(tool.cutter, Cutter::ThreadMill { .. });
        let low = leg.lowest();
        let edges = sections.iter().filter(|section| section.role == Role::Edge);
        let Some(last) = edges.clone().next_back() else { return };
        let top = low + last.high - DUST;
        let ends = edges.clone().flat_map(|section| [low + section.low + DUST, low + section.high - DUST]);
        let levels = self.want.levels.iter().flat_map(|level| [level - DUST, level + DUST]);
        // No stretch of the way goes farther from the middle of the hole than all of it.
        let home = home.map(|home| &self.want.nests[home]).map(|nest| (nest, leg.whole().farthest(nest.at)));
        let mut deepest = 0.0_f64;
        for height in ends.chain(levels).chain([-DUST]) {
            // Below the work nothing is kept; what is above the edges meets no more than they do.
            if height < low || height > top.min(0.0) || height < self.want.base {
                continue;
            }
            let Some(span) = leg.below(height) else { continue };
            let radius = edges.clone().filter_map(|section| section.radius_below(height - low)).fold(0.0, f64::max);
            if radius <= 2.0 * DUST {
                continue;
            }
            if let Some((nest, far)) = home {
                let room = nest.free(height, teeth) + std::f64::consts::SQRT_2 * nest.off * f64::from(u8::from(!teeth));
                if far + radius <= room + DUST || leg.flat(span).farthest(nest.at) + radius <= room + DUST {
                    continue;
                }
            }
            let flat = leg.flat(span);
            if !flat.nearer(self.want.whole, radius) {
                continue;
            }
            deepest = deepest.max(self.trespass(flat, radius - DUST, height, teeth));
        }
        if deepest > DUST {
            self.tell(
                motion.line,
                fault(
                    "proof/gouge",
                    format!("The cutter goes {} mm into what is to stay.", fixed(deepest, 3)),
                    "The piece is scrap.",
                ),
            );
        }
    }

    /// How much narrower the tool would have to be on this way to touch nothing that is kept.
    fn trespass(&self, flat: Flat, radius: f64, height: f64, teeth: bool) -> f64 {
        let around = Region::Around(flat, radius).bounds();
        let voids = self.want.voids(height, around, teeth);
        let clear =
            |radius: f64| within(&Region::Around(flat, radius), self.want.whole, &voids, STEPS) == Answer::Within;
        if clear(radius) {
            return 0.0;
        }
        let (mut good, mut bad) = (0.0, radius);
        for _ in 0..12 {
            let middle = f64::midpoint(good, bad);
            if clear(middle) { good = middle } else { bad = middle }
        }
        radius - good
    }
}

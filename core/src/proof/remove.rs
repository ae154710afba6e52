//! What a cut takes away, kept for the moves that follow and for the measuring.

use std::collections::BTreeMap;

use super::cutter;
use super::fault::Fault;
use super::flat::{Flat, Leg};
use super::judge::{DUST, Judge};
use super::loads;
use super::motion::{Arc, Motion};
use super::piece::{Bore, Cut, Side, Stroke, Swath};
use super::region::{Answer, Region};
use crate::geom::{Point, Rect};
use crate::shop::{Cutter, Tool};

/// In so many stretches the load of a way that sinks is judged, each at its heaviest.
const STRETCHES: usize = 8;

/// Between a value that holds and one that does not, the last that is known to hold.
fn halved(mut good: f64, mut bad: f64, holds: impl Fn(f64) -> bool) -> f64 {
    for _ in 0..8 {
        let middle = f64::midpoint(good, bad);
        if holds(middle) { good = middle } else { bad = middle }
    }
    good
}

impl Judge<'_> {
    /// `home` is the hole that the way belongs to, if any.
    pub(super) fn remove(&mut self, motion: &Motion, leg: &Leg, tool: &Tool, meets: bool, home: Option<usize>) {
        let low = leg.lowest();
        let radius = tool.diameter.as_mm() / 2.0;
        // The last turn of a thread ends above the face, with its lowest tooth free of the work.
        let above = match tool.cutter {
            Cutter::ThreadMill { pitch_max, .. } if leg.arc.is_some() => pitch_max.as_mm() * 0.75,
            _ => 0.0,
        };
        if low >= above {
            if leg.upright() && leg.to.z >= 0.0 {
                self.stroke = None;
            }
            return;
        }
        match tool.cutter {
            Cutter::ThreadMill { .. } => {
                if let Some(nest) = home {
                    let stroke =
                        Stroke { leg: *leg, arc: leg.arc, line: motion.line, tool: motion.tool, order: self.moves };
                    self.piece.threads[nest].push(stroke);
                }
                return;
            }
            Cutter::EndMill { .. } if !leg.upright() => self.mill(motion, leg, tool, meets),
            _ => {}
        }
        let high = leg.from.z.max(leg.to.z);
        let (point, nose) = cutter::point(tool);
        let down = leg.upright() && leg.to.z < leg.from.z;
        if down || !leg.upright() {
            let flat = if down { Flat::Straight(leg.to.plan(), leg.to.plan()) } else { leg.whole() };
            let high = if down { low } else { high };
            let falls = !down && point <= 0.0 && high - low > DUST;
            let fall = falls.then_some((leg.from.z, leg.to.z));
            self.piece.take(Cut { flat, low, high, fall, radius, point, nose, line: motion.line });
        }
        if down && let Some(nest) = home {
            let mouth = cutter::point_radius(tool, -low);
            let bore = Bore {
                at: leg.to.plan(),
                radius,
                tip: low,
                full: low + point,
                mouth,
                tool: motion.tool,
                line: motion.line,
                orbit: 0.0,
            };
            self.piece.bore(nest, bore);
        }
        if let Some(arc) = leg.arc
            && let Some((round, low, high)) = self.piece.turn(arc, (low, high), motion.tool, self.moves)
        {
            self.round(motion, round, (low, high), (radius, point, nose));
        }
    }

    /// A full turn clears a circle, and may be what a hole or its head is milled with.
    fn round(&mut self, motion: &Motion, round: Arc, (low, high): (f64, f64), (radius, point, nose): (f64, f64, f64)) {
        let edge = round.at(0.0);
        let flat = Flat::Round(round, edge, edge);
        self.piece.take(Cut { flat, low, high, fall: None, radius, point, nose, line: motion.line });
        if let Some(nest) = self.want.nest(round.centre) {
            let wide = round.radius + radius;
            self.piece.bores[nest].push(Bore {
                at: round.centre,
                radius: wide,
                tip: low,
                full: high + point,
                mouth: wide,
                tool: motion.tool,
                line: motion.line,
                orbit: round.radius,
            });
        }
    }

    fn mill(&mut self, motion: &Motion, leg: &Leg, tool: &Tool, meets: bool) {
        let radius = tool.diameter.as_mm() / 2.0;
        let flat = leg.whole();
        let bounds = flat.bounds();
        let within = self.want.tongue.is_some() && self.want.holds(flat, radius);
        if meets && !within && flat.off_rect(self.want.stock) < radius - DUST {
            let back = bounds.middle().y > 0.0;
            let inner = if back { bounds.low.y - radius } else { -bounds.high.y - radius };
            let reach = if bounds.height() < DUST { 0.0 } else { radius };
            self.piece.sides.push(Side {
                from: bounds.low.x - reach,
                to: bounds.high.x + reach,
                back,
                inner,
                floor: leg.lowest(),
                line: motion.line,
            });
        }
        let level = (leg.from.z - leg.to.z).abs() < DUST;
        let slim = bounds.width() < DUST || bounds.height() < DUST;
        let along_x = bounds.height() < DUST;
        let grown = if along_x { (0.0, radius) } else { (radius, 0.0) };
        let swath = (leg.arc.is_none() && level && slim).then(|| {
            Rect::new(
                Point::new(bounds.low.x - grown.0, bounds.low.y - grown.1),
                Point::new(bounds.high.x + grown.0, bounds.high.y + grown.1),
            )
        });
        if meets {
            let (machine, material) = (&self.shop.machine, &self.part.material);
            let heavy = |cut| loads::section(tool, machine, material, cut, motion.feed, motion.spindle);
            // Both are bounds from above: the lower counts.
            let by_swaths = swath.map(|rect| heavy(self.cross_section(rect, leg.lowest(), along_x)));
            if !matches!(by_swaths, Some(None))
                && let Some(fault) = self.burden(leg, radius, &heavy)
            {
                self.tell(motion.line, by_swaths.flatten().unwrap_or(fault));
            }
        }
        if let Some(rect) = swath {
            self.piece.swaths.push(Swath { rect, floor: leg.lowest(), line: motion.line, within });
        }
    }

    /// What is too heavy about the largest area across any way: how wide and how high what still
    /// stands there is, each taken alone, stretch by stretch where the tool sinks or climbs.
    fn burden(&self, leg: &Leg, radius: f64, heavy: &dyn Fn((f64, f64)) -> Option<Fault>) -> Option<Fault> {
        let drop = (leg.from.z - leg.to.z).abs();
        let count = if drop > DUST { STRETCHES } else { 1 };
        (0..count).find_map(|number| {
            let share = |number: usize| number as f64 / count as f64;
            let span = (share(number), share(number + 1));
            let heights = [span.0, span.1].map(|share| leg.from.z + (leg.to.z - leg.from.z) * share);
            let floor = heights[0].min(heights[1]).max(self.want.base) + 1e-6;
            let flat = leg.flat(span);
            let wide = 2.0 * radius;
            // The coarsest bound first: mostly it settles it.
            if floor >= 0.0 || heavy((-floor * wide, wide)).is_none() {
                return None;
            }
            let deep = halved(0.0, floor, |height| self.open(flat, radius - 0.01, height)) - floor;
            heavy((deep * wide, wide))?;
            // Where even the middle of the tool is in the solid, it cuts with its whole width.
            let clear = halved(0.0, radius, |radius| self.open(flat, radius, floor));
            let wide = if clear < 0.02 * radius { wide } else { radius - clear };
            heavy((deep * wide, wide))
        })
    }

    /// Whether nothing stands any more around a way, down to a height.
    fn open(&self, flat: Flat, radius: f64, height: f64) -> bool {
        radius <= 0.0
            || height > -1e-5
            || self.piece.cleared(&Region::Around(flat, radius), height, self.want.stock) == Answer::Within
    }

    /// The largest area across the way that a pass takes, and its width.
    fn cross_section(&self, rect: Rect, floor: f64, along_x: bool) -> (f64, f64) {
        let low = Point::new(rect.low.x.max(self.want.stock.low.x), rect.low.y.max(self.want.stock.low.y));
        let high = Point::new(rect.high.x.min(self.want.stock.high.x), rect.high.y.min(self.want.stock.high.y));
        if low.x >= high.x || low.y >= high.y {
            return (0.0, 0.0);
        }
        let mut slices: BTreeMap<i64, (f64, f64)> = BTreeMap::new();
        for (cell, height) in self.piece.floors(Rect::new(low, high)) {
            let (place, wide) = if along_x { (cell.low.x, cell.height()) } else { (cell.low.y, cell.width()) };
            #[expect(clippy::cast_possible_truncation, reason = "coordinates are below a million millimetres")]
            let slice = slices.entry((place * 1e6) as i64).or_default();
            if height > floor + DUST {
                slice.0 += (height - floor) * wide;
                slice.1 += wide;
            }
        }
        slices.into_values().max_by(|a, b| a.0.total_cmp(&b.0)).unwrap_or_default()
    }
}

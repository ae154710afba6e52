//! The piece in the vise while the program runs: what has been cut away so far.

use super::cutter::{Role, Section};
use super::flat::{Flat, Leg};
use super::motion::Arc;
use super::want::Want;
use crate::geom::{Point, Rect};

/// What has been cut away.
#[derive(Debug, Default)]
pub(super) struct Piece {
    /// Bores, by hole.
    pub(super) bores: Vec<Vec<Bore>>,
    /// Straight passes of an end mill at one height.
    pub(super) swaths: Vec<Swath>,
    /// The side of every cut beside a tongue: extent along X, and how near to the middle it came.
    pub(super) sides: Vec<Side>,
    /// What thread mills did, by hole.
    pub(super) threads: Vec<Vec<Stroke>>,
}

/// A hole made straight down.
#[derive(Clone, Copy, Debug)]
pub(super) struct Bore {
    pub(super) at: Point,
    pub(super) radius: f64,
    /// Height of the deepest tip.
    pub(super) tip: f64,
    /// Height down to which it has its full radius.
    pub(super) full: f64,
    /// Radius that it has at the top face.
    pub(super) mouth: f64,
    pub(super) tool: u32,
    pub(super) line: usize,
}

/// A box seen from above that is free down to a height.
#[derive(Clone, Copy, Debug)]
pub(super) struct Swath {
    pub(super) rect: Rect,
    pub(super) floor: f64,
    pub(super) line: usize,
}

/// The nearest that a cut came to the middle of the bar, on one side of it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Side {
    pub(super) from: f64,
    pub(super) to: f64,
    /// The side: toward the back.
    pub(super) back: bool,
    pub(super) inner: f64,
    pub(super) floor: f64,
    pub(super) line: usize,
}

/// One feed move of a thread mill in a hole.
#[derive(Clone, Copy, Debug)]
pub(super) struct Stroke {
    pub(super) leg: Leg,
    pub(super) arc: Option<Arc>,
    pub(super) line: usize,
    pub(super) tool: u32,
    /// Number of the move in the program.
    pub(super) order: usize,
}

/// How near a section may come in the air.
#[derive(Clone, Copy, Debug)]
pub(super) struct Gap {
    pub(super) side: f64,
    pub(super) over: f64,
}

impl Piece {
    pub(super) fn new(holes: usize) -> Self {
        Self { bores: vec![Vec::new(); holes], threads: vec![Vec::new(); holes], ..Self::default() }
    }

    /// Whether a section of a tool meets material that is still there, on this leg.
    pub(super) fn meets(&self, want: &Want<'_>, leg: &Leg, section: &Section, tool: u32, gap: Gap) -> bool {
        let Some(span) = leg.below(gap.over - section.low - 1e-9) else { return false };
        let low = leg.lowest();
        let Some(radius) = section.radius_below(gap.over.max(0.0) - low) else { return false };
        let flat = leg.flat(span);
        if !flat.nearer(want.stock, radius + gap.side - 1e-6) {
            return false;
        }
        let foot = low + section.low;
        if self.in_bore(want, leg, &flat, foot, low, radius, tool) {
            return false;
        }
        section.role == Role::Holder || !self.cleared(want, &flat, radius, foot, gap.over)
    }

    #[expect(clippy::too_many_arguments, reason = "one place calls it; a struct would only rename them")]
    fn in_bore(&self, want: &Want<'_>, leg: &Leg, flat: &Flat, foot: f64, low: f64, radius: f64, tool: u32) -> bool {
        let Some(nest) = want.nest(leg.to.plan()) else { return false };
        self.bores[nest].iter().any(|bore| {
            let away = flat.farthest(bore.at);
            let open = bore.full <= want.base || foot >= bore.full - 1e-6;
            let own = bore.tool == tool && away < 0.005 && low >= bore.tip - 1e-6;
            (open || own) && away + radius <= bore.radius + 0.002
        })
    }

    /// Whether all that a moving circle sweeps over the stock is free down to its foot, and its foot
    /// keeps `over` above what has not been cut at all.
    fn cleared(&self, want: &Want<'_>, flat: &Flat, radius: f64, foot: f64, over: f64) -> bool {
        let swept = flat.bounds().grown(radius);
        let low = Point::new(swept.low.x.max(want.stock.low.x), swept.low.y.max(want.stock.low.y));
        let high = Point::new(swept.high.x.min(want.stock.high.x), swept.high.y.min(want.stock.high.y));
        if low.x >= high.x || low.y >= high.y {
            return true;
        }
        self.floors(Rect::new(low, high))
            .iter()
            .all(|(_, floor)| *floor <= foot + 1e-6 && (*floor < 0.0 || foot >= over - 1e-9))
    }

    /// A box cut into cells along the edges of all swaths, each with the height that it is free
    /// down to; zero where nothing has been cut.
    pub(super) fn floors(&self, over: Rect) -> Vec<(Rect, f64)> {
        let near: Vec<&Swath> = self.swaths.iter().filter(|swath| swath.rect.overlaps(over)).collect();
        let xs = cuts(over.low.x, over.high.x, near.iter().flat_map(|swath| [swath.rect.low.x, swath.rect.high.x]));
        let ys = cuts(over.low.y, over.high.y, near.iter().flat_map(|swath| [swath.rect.low.y, swath.rect.high.y]));
        let mut cells = Vec::new();
        for x in xs.windows(2) {
            for y in ys.windows(2) {
                let cell = Rect::new(Point::new(x[0], y[0]), Point::new(x[1], y[1]));
                let middle = cell.middle();
                let floor =
                    near.iter().filter(|swath| swath.rect.holds(middle)).map(|swath| swath.floor).fold(0.0, f64::min);
                cells.push((cell, floor));
            }
        }
        cells
    }
}

/// Slivers thinner than this are the dust of arithmetic, in millimetres.
pub(super) const SLIVER: f64 = 1e-6;

/// The ends of a stretch and all places between, in order, no two nearer than a sliver.
pub(super) fn cuts(low: f64, high: f64, places: impl Iterator<Item = f64>) -> Vec<f64> {
    let mut list: Vec<f64> = places.filter(|place| *place > low + SLIVER && *place < high - SLIVER).collect();
    list.push(low);
    list.push(high);
    list.sort_by(f64::total_cmp);
    list.dedup_by(|b, a| *b - *a < SLIVER);
    list
}

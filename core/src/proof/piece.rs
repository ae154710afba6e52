//! The piece in the vise while the program runs: what has been cut away so far.

use std::f64::consts::TAU;

use super::cutter::{Role, Section};
use super::flat::{Flat, Leg};
use super::grid::Grid;
use super::motion::Arc;
use super::region::{Answer, FINEST, Region, within_bounds};
use super::want::Want;
use crate::geom::{Point, Rect};

/// Less than this beside a cut is the rounding of words, in millimetres.
const SLACK: f64 = 0.002;
/// Middles and radii of arcs that are no farther apart are one: a word of 0.0001 in.
const SAME: f64 = 0.003;
/// How many boxes are looked at before a question counts as unsettled, which never speaks for a
/// program.
const STEPS: usize = 20_000;
/// The same for a single move.
const FEW: usize = 2_000;

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
    /// Everything that edges took away, thread mills aside.
    pub(super) cuts: Vec<Cut>,
    near: Grid,
    /// The box around each cut.
    around: Vec<Rect>,
    /// The arcs just before, while they turn about one middle.
    turns: Vec<Turn>,
}

/// What a tool's edges take away on one way: all that lies no farther from it than the tool is wide,
/// from the tip up.
#[derive(Clone, Copy, Debug)]
pub(super) struct Cut {
    pub(super) flat: Flat,
    /// The lowest and the highest that the tip is on the way; what is cleared counts from the
    /// highest, what is touched from the lowest.
    pub(super) low: f64,
    pub(super) high: f64,
    /// Heights of the tip at the start and at the end of a way along which a mill sinks or climbs.
    pub(super) fall: Option<(f64, f64)>,
    /// Radius over the edges, and how far above the tip the tool has it.
    pub(super) radius: f64,
    pub(super) point: f64,
    /// Radius at the tip.
    pub(super) nose: f64,
    pub(super) line: usize,
}

/// A level or rising arc, one of several that make a full turn together.
#[derive(Clone, Copy, Debug)]
struct Turn {
    arc: Arc,
    low: f64,
    high: f64,
    tool: u32,
    order: usize,
}

impl Cut {
    /// What is free at a height: of a way that sinks, the stretch on which the tip is no higher.
    fn free_at(&self, height: f64) -> Option<Region> {
        if let Some((from, to)) = self.fall
            && height < self.high
        {
            let share = (height + 1e-9 - from) / (to - from);
            let span = if from > to { (share, 1.0) } else { (0.0, share) };
            let there = height + 1e-9 >= self.low && span.0 < span.1;
            return there.then(|| Region::Around(self.flat.part(span), self.radius));
        }
        let radius = self.radius_at(height);
        (radius > 0.0).then_some(Region::Around(self.flat, radius))
    }

    /// How wide it is free at a height.
    fn radius_at(&self, height: f64) -> f64 {
        let above = height - self.high + 1e-9;
        if above < 0.0 {
            0.0
        } else if above >= self.point {
            self.radius
        } else {
            self.nose + (self.radius - self.nose) * above / self.point
        }
    }
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
    /// Radius of the way round that milled it; nothing where it was made straight down.
    pub(super) orbit: f64,
}

/// A box seen from above that is free down to a height.
#[derive(Clone, Copy, Debug)]
pub(super) struct Swath {
    pub(super) rect: Rect,
    pub(super) floor: f64,
    pub(super) line: usize,
    /// It lies within a slot or a hole, and has no part in the tongue.
    pub(super) within: bool,
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
    pub(super) fn new(want: &Want<'_>) -> Self {
        let holes = want.nests.len();
        let near = Grid::over(want.stock, 4.0);
        Self { bores: vec![Vec::new(); holes], threads: vec![Vec::new(); holes], near, ..Self::default() }
    }

    /// Keeps what a way took away.
    pub(super) fn take(&mut self, cut: Cut) {
        let number = self.cuts.len();
        // Strokes of a drill in one hole, each deeper than the last.
        if let (Some(last), Flat::Straight(a, b)) = (self.cuts.last_mut(), cut.flat)
            && let Flat::Straight(c, d) = last.flat
            && a == b
            && c == d
            && a == c
            && (last.radius, last.point, last.nose).eq(&(cut.radius, cut.point, cut.nose))
        {
            last.low = last.low.min(cut.low);
            last.high = last.high.min(cut.high);
            return;
        }
        let around = cut.flat.bounds().grown(cut.radius);
        self.near.file(around, number);
        self.around.push(around);
        self.cuts.push(cut);
    }

    /// Keeps a hole made straight down. The pecks of one line are one hole, as deep as the deepest:
    /// kept one by one, each would be held against all before it.
    pub(super) fn bore(&mut self, nest: usize, bore: Bore) {
        match self.bores[nest].last_mut() {
            Some(last)
                if (last.line, last.tool, last.at) == (bore.line, bore.tool, bore.at)
                    && last.radius.total_cmp(&bore.radius).is_eq()
                    && last.orbit <= 0.0 =>
            {
                last.tip = last.tip.min(bore.tip);
                last.full = last.full.min(bore.full);
                last.mouth = last.mouth.max(bore.mouth);
            }
            _ => self.bores[nest].push(bore),
        }
    }

    /// Takes note of an arc; gives the full turn that it completes with those before it, as the
    /// way round, and the lowest and the highest of the tip on it.
    pub(super) fn turn(
        &mut self,
        arc: Arc,
        (low, high): (f64, f64),
        tool: u32,
        order: usize,
    ) -> Option<(Arc, f64, f64)> {
        let joins = self.turns.last().is_some_and(|last| {
            last.order + 1 == order
                && last.tool == tool
                && last.arc.centre.distance(arc.centre) < SAME
                && (last.arc.radius - arc.radius).abs() < SAME
                && last.arc.sweep * arc.sweep > 0.0
        });
        if !joins {
            self.turns.clear();
        }
        self.turns.push(Turn { arc, low, high, tool, order });
        let (mut turned, mut least, mut most, mut radius) = (0.0_f64, low, high, arc.radius);
        for turn in self.turns.iter().rev() {
            turned += turn.arc.sweep.abs();
            (least, most) = (least.min(turn.low), most.max(turn.high));
            radius = radius.min(turn.arc.radius);
            if turned > TAU - 1e-3 {
                return Some((Arc { radius, start: 0.0, sweep: TAU, ..arc }, least, most));
            }
        }
        None
    }

    /// What is free at a height near a box.
    pub(super) fn free(&self, height: f64, around: Rect) -> Vec<Region> {
        // What lies no farther off than the finest sliver is still asked.
        let wide = around.grown(FINEST);
        let mut list = Vec::with_capacity(8);
        self.near.touching(around, |index| {
            if let (Some(rect), Some(cut)) = (self.around.get(index), self.cuts.get(index))
                && rect.overlaps(wide)
            {
                list.extend(cut.free_at(height));
            }
        });
        list
    }

    /// Whether a region is free down to a height, as far as it lies over the stock.
    pub(super) fn cleared(&self, region: &Region, height: f64, stock: Rect) -> Answer {
        let bounds = region.bounds();
        within_bounds(region, bounds, stock, &self.free(height, bounds), STEPS)
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
        if section.role == Role::Holder {
            return true;
        }
        if self.own(want, leg, &flat, low, radius, tool) {
            return false;
        }
        // What lies below the work is nobody's; above its face only what stands there uncut.
        let foot = (low + section.low).min(-2e-6).max(want.base) + 1e-6;
        let region = Region::Around(flat, radius + gap.side.min(0.0) - SLACK);
        let bounds = region.bounds();
        within_bounds(&region, bounds, want.stock, &self.free(foot, bounds), FEW) != Answer::Within
    }

    /// Whether the tool moves in the very hole that it has made, no deeper than it went.
    fn own(&self, want: &Want<'_>, leg: &Leg, flat: &Flat, low: f64, radius: f64, tool: u32) -> bool {
        let Some(nest) = want.nest(leg.to.plan()) else { return false };
        self.bores[nest].iter().rev().any(|bore| {
            bore.tool == tool
                && bore.orbit <= 0.0
                && low >= bore.tip - 1e-6
                && radius <= bore.radius + SLACK
                && flat.farthest(bore.at) < 0.005
        })
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

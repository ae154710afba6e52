//! The piece that is wanted, as the proof sees it: what must stay and what must go.

use crate::geom::{Point, Rect};
use crate::part::{Kind, Make, Part};
use crate::standards::thread::{Hand, Thread};

/// What must stay and what must go.
#[derive(Debug)]
pub(super) struct Want<'p> {
    /// The blank seen from above.
    pub(super) stock: Rect,
    /// The bottom of the thickest good blank.
    pub(super) bottom: f64,
    /// The nominal bottom.
    pub(super) base: f64,
    pub(super) tongue: Option<Ridge>,
    pub(super) nests: Vec<Nest<'p>>,
    /// The boxes that every good piece keeps, holes aside, each with its top.
    pub(super) kept: Vec<(Rect, f64)>,
    by_x: Vec<(f64, usize)>,
    widest: f64,
}

/// A tongue between two rabbets.
#[derive(Clone, Copy, Debug)]
pub(super) struct Ridge {
    /// Half of the width that is kept in every good piece.
    pub(super) kept: f64,
    /// The highest and the lowest good shoulder, as heights.
    pub(super) shallow: f64,
    pub(super) deep: f64,
}

/// A hole.
#[derive(Debug)]
pub(super) struct Nest<'p> {
    /// Name of its feature, and its number there from zero.
    pub(super) feature: &'p str,
    pub(super) number: usize,
    pub(super) at: Point,
    /// How far its middle may be off along either axis.
    pub(super) off: f64,
    /// Radius that the drill may leave at most.
    pub(super) bore: f64,
    /// Radius at the entry that a spot drill or chamfer may leave at most.
    pub(super) entry: f64,
    /// Diameter of the chamfer, where the drawing shows one.
    pub(super) chamfer: Option<f64>,
    pub(super) thread: Option<(&'p Thread, Hand)>,
}

/// How far a chamfer's diameter may be off: ISO 2768-1, table 2, class m, for broken edges from
/// 0.5 up to 3 mm: 0.2 mm on a leg, 0.4 mm on the diameter; half of that is taken (from memory).
pub(super) const CHAMFER: f64 = 0.2;

/// How far a thread's root may lie outside its basic major diameter, in pitches: a crest of the
/// cutter as sharp as can be, H/8 and the deepest flank within the limits.
const ROOT: f64 = 0.25;

impl<'p> Want<'p> {
    pub(super) fn of(part: &'p Part) -> Self {
        let (x, y) = (part.blank.length.as_mm() / 2.0, part.blank.width.as_mm() / 2.0);
        let tongue = part.tongues().next().map(|(_, tongue)| Ridge {
            kept: tongue.width.least().as_mm() / 2.0 - tongue.centring.as_mm(),
            shallow: -tongue.height.least().as_mm(),
            deep: -tongue.height.most().as_mm(),
        });
        let nests = nests(part);
        let mut by_x: Vec<(f64, usize)> = nests.iter().enumerate().map(|(index, nest)| (nest.at.x, index)).collect();
        by_x.sort_by(|a, b| a.0.total_cmp(&b.0));
        let widest = nests.iter().map(Nest::around).fold(0.0, f64::max);
        let stock = Rect::new(Point::new(-x, -y), Point::new(x, y));
        Self {
            stock,
            kept: kept(stock, tongue),
            bottom: -part.height.most().as_mm(),
            base: -part.height.nominal.as_mm(),
            tongue,
            nests,
            by_x,
            widest,
        }
    }

    /// The hole that a place belongs to: the nearest whose widest circle it lies in.
    pub(super) fn nest(&self, place: Point) -> Option<usize> {
        let first = self.by_x.partition_point(|(x, _)| *x < place.x - self.widest);
        self.by_x[first..]
            .iter()
            .take_while(|(x, _)| *x <= place.x + self.widest)
            .map(|(_, index)| (self.nests[*index].at.distance(place), *index))
            .filter(|(distance, index)| *distance <= self.nests[*index].around())
            .min_by(|a, b| a.0.total_cmp(&b.0))
            .map(|(_, index)| index)
    }
}

/// What of the stock stays beside and under a tongue, or all of it.
fn kept(stock: Rect, tongue: Option<Ridge>) -> Vec<(Rect, f64)> {
    match tongue {
        None => vec![(stock, 0.0)],
        Some(ridge) => {
            let top = Rect::new(Point::new(stock.low.x, -ridge.kept), Point::new(stock.high.x, ridge.kept));
            vec![(stock, ridge.deep), (top, 0.0)]
        }
    }
}

impl Nest<'_> {
    /// The radius within which something belongs to this hole.
    fn around(&self) -> f64 {
        self.bore.max(self.entry).max(self.thread.map_or(0.0, |(thread, _)| thread.major.as_mm() / 2.0))
    }

    /// The largest radius at a height that may be free, for a thread mill's teeth or for others.
    pub(super) fn free(&self, height: f64, teeth: bool) -> f64 {
        let cone = self.entry + height.min(0.0);
        let thread = match self.thread {
            Some((thread, _)) if teeth => thread.major.as_mm() / 2.0 + ROOT * thread.pitch.as_mm(),
            _ => 0.0,
        };
        self.bore.max(cone).max(thread)
    }
}

fn nests(part: &Part) -> Vec<Nest<'_>> {
    let mut nests = Vec::new();
    for feature in &part.features {
        let Kind::Holes(holes) = &feature.kind else { continue };
        let off = holes.place_tolerance.as_mm();
        let (bore, thread) = match &holes.make {
            Make::Plain { diameter } | Make::Reamed { diameter } => (diameter.most().as_mm() / 2.0, None),
            Make::Tapped { thread, hand, .. } => {
                (thread.internal.minor_max.as_mm() / 2.0, Some((thread.as_ref(), *hand)))
            }
        };
        let edge = match (holes.chamfer, thread) {
            (Some(chamfer), _) => chamfer.as_mm() / 2.0 + CHAMFER / 2.0,
            // A spot no wider than the thread vanishes in it.
            (None, Some((thread, _))) => thread.major.as_mm() / 2.0,
            (None, None) => bore + part.edge_break.map_or(0.0, |(_, most)| most.as_mm()),
        };
        for (number, place) in holes.places.iter().enumerate() {
            nests.push(Nest {
                feature: &feature.id,
                number,
                at: Point::new(place.x.as_mm(), place.y.as_mm()),
                off,
                bore,
                entry: edge,
                chamfer: holes.chamfer.map(crate::quantity::Length::as_mm),
                thread,
            });
        }
    }
    nests
}

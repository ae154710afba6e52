//! The piece that is wanted, as the proof sees it: what must stay and what must go.

use std::collections::BTreeMap;

use super::flat::Flat;
use super::grid::Grid;
use super::nest::{Nest, nests};
use super::region::{Answer, Region, within};
use crate::geom::{Point, Rect};
use crate::part::{End, Kind, Part, Size, Slot};

/// What must stay and what must go.
#[derive(Debug)]
pub(super) struct Want<'p> {
    /// The blank seen from above.
    pub(super) stock: Rect,
    /// The smallest good piece seen from above: what no cutter may touch, features aside.
    pub(super) whole: Rect,
    /// The bottom of the thickest good blank.
    pub(super) bottom: f64,
    /// The nominal bottom.
    pub(super) base: f64,
    pub(super) tongue: Option<Ridge>,
    pub(super) nests: Vec<Nest<'p>>,
    pub(super) slots: Vec<Trench<'p>>,
    pub(super) end: Option<Face<'p>>,
    /// Heights at which what may go changes, each a hair above a floor.
    pub(super) levels: Vec<f64>,
    /// Where the holes of a group begin among `nests`.
    groups: BTreeMap<&'p str, usize>,
    near: Grid,
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

/// A slot or groove along X.
#[derive(Debug)]
pub(super) struct Trench<'p> {
    pub(super) feature: &'p str,
    pub(super) slot: &'p Slot,
    pub(super) at: Point,
    /// How far its middle may be off along either axis.
    pub(super) off: f64,
    /// The highest and the lowest good floor, as heights.
    pub(super) shallow: f64,
    pub(super) deep: f64,
}

/// An end that is milled to its place: always the one at the higher X, beyond the jaws.
#[derive(Debug)]
pub(super) struct Face<'p> {
    /// The least and the largest good place of the end along X.
    pub(super) least: f64,
    pub(super) most: f64,
    /// Its place on the drawing.
    pub(super) at: f64,
    /// Radius of its upright corners.
    pub(super) corner: Option<&'p Size>,
    /// Half of the width between the corners.
    pub(super) half: f64,
}

impl<'p> Want<'p> {
    pub(super) fn of(part: &'p Part) -> Self {
        let half = part.blank.width.as_mm() / 2.0;
        let (left, right) = part.blank_along();
        let stock = Rect::new(Point::new(left.as_mm(), -half), Point::new(right.as_mm(), half));
        let tongue = part.tongues().next().map(|(_, tongue)| Ridge {
            kept: tongue.width.least().as_mm() / 2.0 - tongue.centring.as_mm(),
            shallow: -tongue.height.least().as_mm(),
            deep: -tongue.height.most().as_mm(),
        });
        let end = milled(part, half);
        // No cutter may touch the end at the stop, finished or as the saw left it.
        let kept = end.as_ref().map_or(stock.high.x, |end| end.least);
        let whole = Rect::new(stock.low, Point::new(kept, half));
        let bottom = -part.height.most().as_mm();
        let nests = nests(part);
        let slots: Vec<Trench<'_>> = part
            .slots()
            .map(|(feature, slot)| Trench {
                feature: &feature.id,
                slot,
                at: Point::new(slot.place.x.as_mm(), slot.place.y.as_mm()),
                off: slot.place_tolerance.as_mm(),
                shallow: slot.depth.blind().map_or(bottom, |depth| -depth.least().as_mm()),
                deep: slot.depth.blind().map_or(f64::NEG_INFINITY, |depth| -depth.most().as_mm()),
            })
            .collect();
        let widest = nests.iter().map(|nest| nest.around).fold(1.0, f64::max);
        let mut near = Grid::over(stock, 2.0 * widest);
        let mut groups = BTreeMap::new();
        for (index, nest) in nests.iter().enumerate() {
            near.file(Rect::new(nest.at, nest.at).grown(nest.around), index);
            groups.entry(nest.feature).or_insert(index);
        }
        let base = -part.height.nominal.as_mm();
        let mut levels: Vec<f64> = tongue.iter().map(|ridge| ridge.deep).collect();
        levels.extend(slots.iter().map(|slot| slot.deep));
        for nest in &nests {
            levels.extend(nest.levels());
        }
        levels.push(base);
        levels.retain(|level| *level >= base);
        levels.sort_by(f64::total_cmp);
        levels.dedup_by(|a, b| (*a - *b).abs() < 1e-9);
        Self { stock, whole, bottom, base, tongue, nests, slots, end, levels, groups, near }
    }

    /// The place of a hole among all, by its group and its number there.
    pub(super) fn index(&self, feature: &str, number: usize) -> Option<usize> {
        let index = self.groups.get(feature)? + number;
        self.nests.get(index).filter(|nest| nest.feature == feature).map(|_| index)
    }

    /// The hole that a place belongs to: the nearest whose widest circle it lies in.
    pub(super) fn nest(&self, place: Point) -> Option<usize> {
        self.near
            .at(place)
            .iter()
            .map(|index| (self.nests[*index as usize].at.distance(place), *index as usize))
            .filter(|(distance, index)| *distance <= self.nests[*index].around)
            .min_by(|a, b| a.0.total_cmp(&b.0))
            .map(|(_, index)| index)
    }

    /// Whether all that a tool clears on a way lies within one slot or one hole.
    pub(super) fn holds(&self, flat: Flat, radius: f64) -> bool {
        let cleared = Region::Around(flat, radius);
        let near = |index: usize| {
            let nest = &self.nests[index];
            Region::disc(nest.at, nest.around + std::f64::consts::SQRT_2 * nest.off).plainly_holds(&cleared)
        };
        let within = |other: Region| {
            other.plainly_holds(&cleared)
                || (matches!(flat, Flat::Round(..))
                    && within(&cleared, cleared.bounds(), &[other], 2000) == Answer::Within)
        };
        let mut held = self.slots.iter().any(|trench| within(trench.widest()));
        self.near.touching(cleared.bounds(), |index| held = held || near(index));
        held
    }

    /// What may be free at a height, as far as it lies near a box.
    pub(super) fn voids(&self, height: f64, around: Rect, teeth: bool) -> Vec<Region> {
        let mut list = Vec::new();
        let far = 1e4;
        if let Some(ridge) = self.tongue.filter(|ridge| height > ridge.deep) {
            for side in [-1.0, 1.0] {
                list.push(Region::Box(Rect::new(Point::new(-far, side * ridge.kept), Point::new(far, side * far))));
            }
        }
        for trench in self.slots.iter().filter(|trench| height > trench.deep) {
            list.push(trench.widest());
        }
        if let Some(end) = &self.end {
            list.extend(end.corners(|size| size.most().as_mm(), end.least));
        }
        self.near.touching(around, |index| {
            let nest = &self.nests[index];
            let free = nest.free(height, teeth);
            if free > 0.0 {
                list.push(Region::disc(nest.at, free + std::f64::consts::SQRT_2 * nest.off));
            }
        });
        list
    }
}

impl Trench<'_> {
    /// The largest that a good piece may have, wherever it lies within its limits.
    pub(super) fn widest(&self) -> Region {
        let half = self.slot.width.most().as_mm() / 2.0 + self.off;
        self.outline(half, self.slot.length.as_ref().map(|length| length.most().as_mm() / 2.0 + self.off))
    }

    /// The smallest that every good piece has.
    pub(super) fn narrowest(&self) -> Region {
        let half = (self.slot.width.least().as_mm() / 2.0 - self.off - 0.003).max(0.0);
        self.outline(half, self.slot.length.as_ref().map(|length| length.least().as_mm() / 2.0 - self.off - 0.003))
    }

    fn outline(&self, half: f64, long: Option<f64>) -> Region {
        let Some(long) = long else {
            let far = 1e4;
            return Region::Box(Rect::new(Point::new(-far, self.at.y - half), Point::new(far, self.at.y + half)));
        };
        let reach = (long - half).max(0.0);
        let [from, to] = [-reach, reach].map(|x| Point::new(self.at.x + x, self.at.y));
        Region::Around(Flat::Straight(from, to), half)
    }
}

impl Face<'_> {
    /// What its rounded corners take away, with the end at a place along X.
    pub(super) fn corners(&self, radius: fn(&Size) -> f64, end: f64) -> impl Iterator<Item = Region> + use<> {
        let radius = self.corner.map(radius);
        let half = self.half;
        radius.into_iter().flat_map(move |radius| {
            [-1.0, 1.0].map(|side| Region::Corner {
                middle: Point::new(end - radius, side * (half - radius)),
                radius,
                out: (1.0, side),
            })
        })
    }
}

/// The end that is milled in this setup.
fn milled(part: &Part, half: f64) -> Option<Face<'_>> {
    let End::Milled(_) = part.ends.right else { return None };
    let at = part.length.nominal.as_mm() / 2.0;
    Some(Face {
        least: at + part.length.lower.as_mm(),
        most: at + part.length.upper.as_mm(),
        at,
        corner: part.ends.corner.as_ref(),
        half,
    })
}

/// What of a part the proof cannot vouch for, in words.
pub(super) fn beyond(part: &Part) -> Vec<&'static str> {
    let mut list = Vec::new();
    if part.tongues().count() > 1 {
        list.push("The part has more than one tongue; the proof can measure one.");
    }
    if matches!(part.ends.left, End::Milled(_)) {
        list.push("Both ends are to be milled in one setup; the proof judges the one beyond the jaws.");
    }
    if part.features.iter().any(|feature| feature.face != crate::part::Face::Top) {
        list.push("A feature is cut from a face that is not up in this setup.");
    }
    if part.tongues().next().is_some() && part.ends.right != End::Finished {
        list.push("The part has a tongue and, in the same setup, an end to mill.");
    }
    let both = |kind: &Kind| matches!(kind, Kind::Holes(holes) if holes.chamfer.is_some() && holes.head.is_some());
    if part.features.iter().any(|feature| both(&feature.kind)) {
        list.push("A hole has both a chamfer and room for a head.");
    }
    list
}

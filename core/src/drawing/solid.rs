//! What the views see of a part: a stepped bar, its holes and its slots.

use std::cell::OnceCell;

use super::style::{ARM, times};
use crate::part::{Depth, Face, Feature, Head, Kind, Make, Part};
use crate::quantity::{Angle, trig};

/// A part as the views need it, in millimetres of the part.
#[derive(Clone, Debug)]
pub(super) struct Solid {
    pub(super) length: f64,
    pub(super) width: f64,
    pub(super) height: f64,
    /// Radius of the upright corners; nought where they are sharp.
    pub(super) corner: f64,
    /// From the top down; the first begins at the top, the last ends at the bottom.
    pub(super) steps: Vec<Step>,
    /// In the order of their groups and numbers.
    pub(super) holes: Vec<Hole>,
    pub(super) slots: Vec<Slot>,
    /// Middles of the gaps where pieces of a long bar are left out, along the bar as it is shown.
    pub(super) gaps: Vec<f64>,
    lined: Lined,
}

/// The columns and rows of each face, found when they are first asked for: they are the same at
/// every scale that is tried.
#[derive(Debug, Default)]
struct Lined([OnceCell<(Lines, Lines)>; 4]);

impl Clone for Lined {
    /// A copy of a solid is made to be changed, and finds its own.
    fn clone(&self) -> Self {
        Self::default()
    }
}

/// A layer of the bar's section.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Step {
    /// Half its width.
    pub(super) half: f64,
    /// Depth of its upper side below the top.
    pub(super) top: f64,
    /// Depth of its lower side below the top.
    pub(super) bottom: f64,
}

/// A hole of the bar.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Hole {
    /// Number of its feature among those of the part.
    pub(super) group: usize,
    /// Its number in its group, from zero.
    pub(super) number: usize,
    /// The face that it is cut from.
    pub(super) face: Face,
    /// Where it lies on its face as that is seen, from its middle to the right.
    pub(super) right: f64,
    /// And up.
    pub(super) up: f64,
    /// How deep below the plane of its face the material begins there.
    pub(super) surface: f64,
    /// Radius as drilled.
    pub(super) radius: f64,
    /// Major radius of its thread.
    pub(super) major: Option<f64>,
    /// Radius of the cone at its entry: an entry chamfer or a countersink.
    pub(super) cone: Option<f64>,
    /// How deep a cone goes for each millimetre of its radius.
    pub(super) steep: f64,
    /// Whether the cone is a countersink, which is drawn even on threads.
    pub(super) sunk: bool,
    /// Radius and depth of a counterbore.
    pub(super) bore: Option<(f64, f64)>,
    /// Depth at full diameter from the plane of its face, where it does not go through.
    pub(super) depth: Option<f64>,
    /// Depth of full thread from there, where that ends before the hole does.
    pub(super) full: Option<f64>,
}

/// A slot along the bar, or a groove from end to end.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Slot {
    /// Number of its feature among those of the part.
    pub(super) group: usize,
    /// The face that it is cut from.
    pub(super) face: Face,
    /// Its middle on the face as that is seen.
    pub(super) right: f64,
    pub(super) up: f64,
    /// Half its length over the round ends; `None` for a groove.
    pub(super) half_long: Option<f64>,
    pub(super) half_wide: f64,
    /// `None` where it goes through.
    pub(super) depth: Option<f64>,
}

/// Something on a face that has a place, as the centre lines and coordinates see it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Spot {
    pub(super) group: usize,
    /// Number in its group, from zero; `None` for a slot, which is the only one.
    pub(super) number: Option<usize>,
    pub(super) right: f64,
    pub(super) up: f64,
    /// How far it reaches on either side to the right, and up, in millimetres of the part.
    pub(super) reach: (f64, f64),
    /// Whether it has a place along the bar; a groove has none.
    pub(super) along: bool,
}

/// Distinct places along one axis, each with the spots that lie there.
pub(super) type Lines = Vec<(f64, Vec<usize>)>;

impl Solid {
    pub(super) fn of(part: &Part) -> Self {
        let (width, height) = (part.width.nominal.as_mm(), part.height.nominal.as_mm());
        let mut tongues: Vec<(f64, f64)> = part
            .tongues()
            .map(|(_, tongue)| (tongue.height.nominal.as_mm(), tongue.width.nominal.as_mm() / 2.0))
            .collect();
        tongues.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut steps = Vec::new();
        let mut top = 0.0;
        for (index, (depth, _)) in tongues.iter().enumerate() {
            let half = tongues[index..].iter().map(|(_, half)| *half).fold(width / 2.0, f64::min);
            let bottom = depth.min(height);
            if bottom > top {
                steps.push(Step { half, top, bottom });
                top = bottom;
            }
        }
        if height > top {
            steps.push(Step { half: width / 2.0, top, bottom: height });
        }
        let corner = part.ends.corner.as_ref().map_or(0.0, |radius| radius.nominal.as_mm());
        let length = part.length.nominal.as_mm();
        let mut solid = Self {
            length,
            width,
            height,
            corner,
            steps,
            holes: Vec::new(),
            slots: Vec::new(),
            gaps: Vec::new(),
            lined: Lined::default(),
        };
        for (group, feature) in part.features.iter().enumerate() {
            solid.add(group, feature);
        }
        solid
    }

    fn add(&mut self, group: usize, feature: &Feature) {
        let face = feature.face;
        match &feature.kind {
            Kind::Tongue(_) => {}
            Kind::Holes(set) => {
                let (radius, major, full) = match &set.make {
                    Make::Plain { diameter } | Make::Reamed { diameter } => {
                        (diameter.nominal.as_mm() / 2.0, None, None)
                    }
                    Make::Tapped { thread, drill, full, .. } => (
                        drill.diameter.as_mm() / 2.0,
                        Some(thread.major.as_mm() / 2.0),
                        full.as_ref().map(|full| full.nominal.as_mm()),
                    ),
                };
                let (mut cone, mut steep, mut bore, mut sunk) =
                    (set.chamfer.map(|diameter| diameter.as_mm() / 2.0), 1.0, None, false);
                match &set.head {
                    Some(Head::Counterbore { diameter, depth }) => {
                        bore = Some((diameter.nominal.as_mm() / 2.0, depth.nominal.as_mm()));
                    }
                    Some(Head::Countersink { diameter, angle }) => {
                        cone = Some(diameter.nominal.as_mm() / 2.0);
                        steep = 1.0 / trig::tan(Angle::degree(angle.as_degree() / 2.0));
                        sunk = true;
                    }
                    None => {}
                }
                let cone = cone.filter(|cone| *cone > radius);
                let depth = set.depth.blind().map(|depth| depth.nominal.as_mm());
                for (number, place) in set.places.iter().enumerate() {
                    let (right, up) = seen(face, place.x.as_mm(), place.y.as_mm());
                    let surface = if face == Face::Top { self.surface(up) } else { 0.0 };
                    self.holes.push(Hole {
                        group,
                        number,
                        face,
                        right,
                        up,
                        surface,
                        radius,
                        major,
                        cone,
                        steep,
                        sunk,
                        bore,
                        depth,
                        full,
                    });
                }
            }
            Kind::Slot(slot) => {
                let (right, up) = seen(face, slot.place.x.as_mm(), slot.place.y.as_mm());
                self.slots.push(Slot {
                    group,
                    face,
                    right,
                    up,
                    half_long: slot.length.as_ref().map(|length| length.nominal.as_mm() / 2.0),
                    half_wide: slot.width.nominal.as_mm() / 2.0,
                    depth: match &slot.depth {
                        Depth::Through => None,
                        Depth::Blind(depth) => Some(depth.nominal.as_mm()),
                    },
                });
            }
        }
    }

    /// Depth below the top at which a hole at this place across begins.
    pub(super) fn surface(&self, y: f64) -> f64 {
        self.steps.iter().find(|step| y.abs() < step.half).map_or(0.0, |step| step.top)
    }

    /// Extents of a face as it is seen: to the right and up.
    pub(super) const fn extent(&self, face: Face) -> (f64, f64) {
        match face {
            Face::Top | Face::Bottom => (self.length, self.width),
            Face::Left | Face::Right => (self.width, self.height),
        }
    }

    pub(super) fn holes_of(&self, face: Face) -> impl Iterator<Item = &Hole> {
        self.holes.iter().filter(move |hole| hole.face == face)
    }

    /// The holes of one group, in the order of their numbers.
    pub(super) fn holes_in(&self, group: usize) -> &[Hole] {
        let from = self.holes.partition_point(|hole| hole.group < group);
        let to = self.holes.partition_point(|hole| hole.group <= group);
        self.holes.get(from..to).unwrap_or_default()
    }

    /// Distinct places of all that is cut from a face, to the right and up: by the turn of its
    /// [`Self::spots`].
    pub(super) fn lines(&self, face: Face) -> &(Lines, Lines) {
        let [top, bottom, left, right] = &self.lined.0;
        let lined = match face {
            Face::Top => top,
            Face::Bottom => bottom,
            Face::Left => left,
            Face::Right => right,
        };
        lined.get_or_init(|| {
            let spots = self.spots(face, 1.0);
            (columns(&spots), rows(&spots))
        })
    }

    pub(super) fn slots_of(&self, face: Face) -> impl Iterator<Item = &Slot> {
        self.slots.iter().filter(move |slot| slot.face == face)
    }

    /// All that has a place on a face.
    pub(super) fn spots(&self, face: Face, scale: f64) -> Vec<Spot> {
        let holes = self.holes_of(face).map(|hole| hole.spot(scale));
        holes.chain(self.slot_spots(face)).collect()
    }

    /// The slots among them, which come last.
    pub(super) fn slot_spots(&self, face: Face) -> impl Iterator<Item = Spot> {
        let half = self.extent(face).0 / 2.0;
        self.slots_of(face).map(move |slot| Spot {
            group: slot.group,
            number: None,
            right: slot.right,
            up: slot.up,
            reach: (slot.half_long.unwrap_or(half), slot.half_wide),
            along: slot.half_long.is_some(),
        })
    }

    /// Whether anything has a place on a face.
    pub(super) fn has(&self, face: Face) -> bool {
        self.holes_of(face).next().is_some() || self.slots_of(face).next().is_some()
    }

    /// The bar's section as an end shows it, grooves and all: a closed outline in millimetres
    /// across and up from the middle of the top.
    pub(super) fn profile(&self) -> Vec<(f64, f64)> {
        let half = self.width / 2.0;
        let grooves = || self.slots.iter().filter(|slot| slot.half_long.is_none());
        // Across the bar as the top view has it; from below, up is toward the front.
        let middle = |slot: &Slot| if slot.face == Face::Bottom { -slot.up } else { slot.up };
        let mut edges = vec![-half, half];
        for step in &self.steps {
            edges.extend([-step.half, step.half]);
        }
        for slot in grooves() {
            edges.extend([middle(slot) - slot.half_wide, middle(slot) + slot.half_wide]);
        }
        edges.retain(|edge| edge.abs() <= half);
        edges.sort_by(f64::total_cmp);
        edges.dedup_by(|a, b| (*a - *b).abs() < 1e-9);
        let within = |slot: &&Slot, y: f64, face: Face| slot.face == face && (y - middle(slot)).abs() < slot.half_wide;
        let (mut above, mut below) = (Vec::new(), Vec::new());
        for pair in edges.windows(2) {
            let y = f64::midpoint(pair[0], pair[1]);
            let cut = |face| {
                grooves()
                    .filter(|slot| within(slot, y, face))
                    .filter_map(|slot| slot.depth)
                    .fold(0.0, f64::max)
                    .min(self.height)
            };
            let top = -self.surface(y).max(cut(Face::Top));
            let bottom = cut(Face::Bottom) - self.height;
            above.extend([(pair[0], top), (pair[1], top)]);
            below.extend([(pair[0], bottom), (pair[1], bottom)]);
        }
        above.extend(below.into_iter().rev());
        // Points that lie between two others on one line say nothing.
        let mut points: Vec<(f64, f64)> = Vec::new();
        for point in above {
            let same = |a: f64, b: f64| (a - b).abs() < 1e-9;
            while let [.., a, b] = points.as_slice() {
                let straight = (same(a.0, b.0) && same(b.0, point.0)) || (same(a.1, b.1) && same(b.1, point.1));
                if !straight {
                    break;
                }
                points.pop();
            }
            if points.last() != Some(&point) {
                points.push(point);
            }
        }
        points
    }
}

/// Where a place lies on its face as that is seen: right and up from its middle. From below, the
/// front is up; from the left end, the back is at the left.
const fn seen(face: Face, x: f64, y: f64) -> (f64, f64) {
    match face {
        Face::Top | Face::Right => (x, y),
        Face::Bottom => (x, -y),
        Face::Left => (-x, y),
    }
}

/// Distinct places to the right.
pub(super) fn columns(spots: &[Spot]) -> Lines {
    grouped(spots.iter().enumerate().filter(|(_, spot)| spot.along).map(|(index, spot)| (index, spot.right)))
}

/// Distinct places up.
pub(super) fn rows(spots: &[Spot]) -> Lines {
    grouped(spots.iter().enumerate().map(|(index, spot)| (index, spot.up)))
}

/// From where to where the centre line of a column goes, up.
pub(super) fn column_line(spots: &[Spot], members: &[usize], scale: f64) -> (f64, f64) {
    line(members, scale, |index| spots.get(index).map(|spot| (spot.up, spot.reach.1)))
}

/// From where to where the centre line of a row goes, to the right.
pub(super) fn row_line(spots: &[Spot], members: &[usize], scale: f64) -> (f64, f64) {
    line(members, scale, |index| spots.get(index).map(|spot| (spot.right, spot.reach.0)))
}

fn line(members: &[usize], scale: f64, place: impl Fn(usize) -> Option<(f64, f64)>) -> (f64, f64) {
    let mut ends = (f64::INFINITY, f64::NEG_INFINITY);
    for (at, reach) in members.iter().filter_map(|index| place(*index)) {
        let arm = reach + ARM / scale;
        ends = (ends.0.min(at - arm), ends.1.max(at + arm));
    }
    ends
}

fn grouped(places: impl Iterator<Item = (usize, f64)>) -> Lines {
    let mut all: Vec<(usize, f64)> = places.collect();
    all.sort_by(|a, b| a.1.total_cmp(&b.1).then(a.0.cmp(&b.0)));
    let mut groups: Lines = Vec::new();
    for (index, place) in all {
        match groups.last_mut() {
            Some((at, members)) if (*at - place).abs() < 1e-6 => members.push(index),
            _ => groups.push((place, vec![index])),
        }
    }
    groups
}

impl Hole {
    /// As the centre lines and coordinates see it.
    pub(super) fn spot(&self, scale: f64) -> Spot {
        let reach = self.outer(scale) / scale;
        Spot {
            group: self.group,
            number: Some(self.number),
            right: self.right,
            up: self.up,
            reach: (reach, reach),
            along: true,
        }
    }

    /// Radius on paper of the drilled circle, and of the thread beside it: the two are kept
    /// apart by twice the wide line, as ISO 6410-1 asks (from a public summary), even where the
    /// true distance would fill in.
    pub(super) fn circles(&self, scale: f64) -> (f64, Option<f64>) {
        let inner = self.radius * scale;
        (inner, self.major.map(|major| (major * scale).max(inner + 1.0)))
    }

    /// Radius on paper of the outermost drawn circle.
    pub(super) fn outer(&self, scale: f64) -> f64 {
        let (inner, thread) = self.circles(scale);
        let cone = self.shown_cone(scale).unwrap_or(inner);
        thread.unwrap_or(inner).max(cone).max(self.bore.map_or(0.0, |(radius, _)| radius * scale))
    }

    /// Radius on paper of a cone that is drawn in the round view: no chamfers on threads (ISO 6410-1),
    /// and none that would run into the hole.
    pub(super) fn shown_cone(&self, scale: f64) -> Option<f64> {
        let (inner, thread) = self.circles(scale);
        let beside = if self.sunk { thread.unwrap_or(inner) } else { inner };
        let shown = self.cone.map(|cone| cone * scale).filter(|cone| *cone >= beside + 0.7);
        if self.major.is_some() && !self.sunk { None } else { shown }
    }

    /// Whether a section tells more of it than two dashed lines do.
    pub(super) const fn is_stepped(&self) -> bool {
        self.bore.is_some() || self.depth.is_some() || self.full.is_some() || self.sunk
    }

    /// Whether it comes out at the other side.
    pub(super) const fn is_through(&self) -> bool {
        self.depth.is_none()
    }

    /// Where it lies across the bar as the top view has it; for holes of top and bottom.
    pub(super) const fn across(&self) -> f64 {
        if matches!(self.face, Face::Bottom) { -self.up } else { self.up }
    }
}

impl Slot {
    /// Middles of its round ends, on its face.
    pub(super) fn ends(&self) -> Vec<(f64, f64)> {
        self.half_long.map_or_else(Vec::new, |half| {
            let run = (half - self.half_wide).max(0.0);
            vec![(self.right - run, self.up), (self.right + run, self.up)]
        })
    }

    /// Where it lies across the bar as the top view has it.
    pub(super) const fn across(&self) -> f64 {
        if matches!(self.face, Face::Bottom) { -self.up } else { self.up }
    }

    /// Places on its upper edge that a leader may point at, where it has no round ends.
    pub(super) fn edge(&self, length: f64) -> Vec<(f64, f64)> {
        (1..8_usize).map(|step| (length * (times(step) / 8.0 - 0.5), self.up + self.half_wide)).collect()
    }
}

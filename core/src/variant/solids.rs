//! The cuts as solids, and which of them run into each other inside the metal.
//!
//! Counted in millimetres along the part's own axes: X along the bar from its middle, Y across from
//! its middle, Z up from its top. Cuts are as wide and as deep as their limits let them be, the
//! bar as short and as thin; places are as drawn. How much wall stays is for the family's rules.

use std::collections::BTreeMap;

use super::scope::increment;
use crate::part::{Depth, Face, Feature, Head, Holes, Kind, Make, Part, Place, Size, Slot, Tongue};
use crate::quantity::{Angle, Length, trig};

/// A cone counts as so many discs, each as wide as its widest.
const DISCS: u32 = 8;

/// More pairs of places than this are not asked whether they would be clear elsewhere.
const MOST_PAIRS: usize = 10_000;

/// Two features that run into each other.
pub(super) struct Meeting {
    /// Which, and by how much.
    pub(super) headline: String,
    /// What keeps them clear of each other; empty where nothing simple does.
    pub(super) help: String,
}

/// A round thing, upright or lying along the bar: everything within a radius of a flat piece of the
/// plane at one Y; upright, the flat piece ends at the floors, lying, at the ends along X.
#[derive(Clone, Copy, Debug)]
pub(super) struct Solid {
    pub(super) x: [f64; 2],
    pub(super) y: f64,
    pub(super) z: [f64; 2],
    pub(super) radius: f64,
    pub(super) lying: bool,
}

/// One cut: a hole, a slot, or what is milled away beside a tongue.
struct Cut<'p> {
    feature: &'p Feature,
    /// Which of the part's features it is of.
    number: usize,
    solids: Vec<Solid>,
    /// Least and most along each axis.
    extent: [[f64; 2]; 3],
}

/// What is known of two features that meet.
#[derive(Default)]
struct Met {
    /// Of each, how deep it may go until the first that it meets of the other.
    free: [f64; 2],
    /// How far the first must move across to be clear, to the front and to the back.
    across: [f64; 2],
    /// How far they overlap across, where it is most.
    overlap: f64,
}

/// How deep a hole reaches with the point of its drill; as deep as the part for one that goes through.
pub(super) fn reach(holes: &Holes, through: Length) -> Length {
    holes.depth.blind().map_or(through, |depth| depth.most() + point(drilled(holes)))
}

/// The features that run into each other inside the part, those cut from one face aside.
pub(super) fn meetings(part: &Part) -> Vec<Meeting> {
    let mut cuts: Vec<Cut<'_>> = Vec::new();
    for (number, feature) in part.features.iter().enumerate() {
        cuts.extend(solids(part, feature).into_iter().map(|solids| Cut::new(feature, number, solids)));
    }
    cuts.sort_by(|a, b| a.extent[0][0].total_cmp(&b.extent[0][0]));
    let mut found: BTreeMap<(usize, usize), Met> = BTreeMap::new();
    for (at, one) in cuts.iter().enumerate() {
        for other in cuts[at + 1..].iter().take_while(|other| other.extent[0][0] <= one.extent[0][1]) {
            if one.feature.face == other.feature.face || beside(one, other) || !one.may_meet(other) {
                continue;
            }
            let (one, other) = if one.number < other.number { (one, other) } else { (other, one) };
            one.meet(other, part, &mut found);
        }
    }
    found.iter().map(|((one, other), met)| told(part, &cuts, [*one, *other], met)).collect()
}

/// A hole in an end keeps to the body below a tongue, which is asked where it enters.
fn beside(one: &Cut<'_>, other: &Cut<'_>) -> bool {
    let tongue = |cut: &Cut<'_>| matches!(cut.feature.kind, Kind::Tongue(_));
    let end = |cut: &Cut<'_>| matches!(cut.feature.face, Face::Left | Face::Right);
    (tongue(one) && end(other)) || (end(one) && tongue(other))
}

/// What is said of two features that meet.
fn told(part: &Part, cuts: &[Cut<'_>], numbers: [usize; 2], met: &Met) -> Meeting {
    let step = increment(part.unit);
    let say = |length: Length| part.unit.say(length);
    let features = numbers.map(|number| &part.features[number]);
    let twins = features[0].title == features[1].title;
    let names = features.map(|feature| name(feature, twins));
    let mut ways = Vec::new();
    let mut by: Option<(f64, &str)> = None;
    for (side, feature) in features.into_iter().enumerate() {
        let Some((depth, deepest, head)) = floor(feature) else { continue };
        let over = deepest - met.free[side];
        // Just touching is too deep.
        let to = Length::mm(depth.nominal.as_mm() - over - 1e-6).down_to(step);
        if to <= Length::mm(head) {
            continue;
        }
        ways.push(format!("{} is {} deep at most", names[side], say(to)));
        if by.is_none_or(|(least, _)| over < least) {
            by = Some((over, if upright(feature.face) { "in height" } else { "along the bar" }));
        }
    }
    let [front, back] = met.across;
    let mut shifts = [(front, -1.0), (back, 1.0)];
    shifts.sort_by(|a, b| a.0.total_cmp(&b.0));
    let groups = numbers.map(|number| cuts.iter().filter(|cut| cut.number == number).collect::<Vec<_>>());
    let clear = |(length, way): &(f64, f64)| {
        let mut elsewhere = groups[0].iter().map(|cut| cut.moved(way * (length + 1e-6)));
        groups[0].len() * groups[1].len() <= MOST_PAIRS
            && elsewhere.all(|one| !groups[1].iter().any(|other| one.meets(other)))
    };
    if let Some((length, _)) = shifts.iter().find(|one| clear(one)) {
        ways.push(format!("they are {} further apart across the bar", say(Length::mm(length + 1e-6).up_to(step))));
    }
    let (by, word) = by.unwrap_or((met.overlap, "across the bar"));
    let by = say(Length::mm(by).up_to(step).max(step));
    let headline = format!("{} and {} meet inside the part: they overlap {word} by {by}.", names[0], names[1]);
    let help =
        if ways.is_empty() { String::new() } else { format!("They keep clear where {}.", ways.join(", or where ")) };
    Meeting { headline, help }
}

/// What a feature is called where another may have the same title.
fn name(feature: &Feature, twins: bool) -> String {
    let title = &feature.title;
    let side = match feature.face {
        _ if matches!(feature.kind, Kind::Tongue(_)) => return format!("The shoulder beside {title}"),
        _ if !twins => return title.clone(),
        Face::Top => "top",
        Face::Bottom => "bottom",
        Face::Left => "left",
        Face::Right => "right",
    };
    format!("{title} from the {side}")
}

/// The depth of a blind feature, how deep it goes with its point at most, and how deep its head.
fn floor(feature: &Feature) -> Option<(&Size, f64, f64)> {
    match &feature.kind {
        Kind::Holes(holes) => {
            let depth = holes.depth.blind()?;
            Some((depth, reach(holes, Length::ZERO).as_mm(), head(holes).map_or(0.0, |(_, _, deep)| deep)))
        }
        Kind::Slot(slot) => slot.depth.blind().map(|depth| (depth, depth.most().as_mm(), 0.0)),
        Kind::Tongue(_) => None,
    }
}

const fn upright(face: Face) -> bool {
    matches!(face, Face::Top | Face::Bottom)
}

/// The radius at the bottom of a hole, where the point of its drill begins.
fn drilled(holes: &Holes) -> Length {
    match &holes.make {
        Make::Plain { .. } | Make::Reamed { .. } => holes.radius(),
        Make::Tapped { drill, .. } => drill.diameter / 2.0,
    }
}

/// How long the point of a drill is: 118°, as the drawing takes it.
fn point(radius: Length) -> Length {
    radius / trig::tan(Angle::degree(59.0))
}

/// The room at the entry of a hole: its radius at the face, at its foot, and how deep that is.
fn head(holes: &Holes) -> Option<(f64, f64, f64)> {
    let bore = holes.radius().as_mm();
    let cone = |wide: Length, angle: Angle| {
        let wide = wide.as_mm() / 2.0;
        (wide > bore).then(|| (wide, bore, (wide - bore) / trig::tan(angle / 2.0)))
    };
    match (&holes.head, holes.chamfer) {
        (Some(Head::Counterbore { diameter, depth }), _) => {
            let wide = diameter.most().as_mm() / 2.0;
            Some((wide, wide, depth.most().as_mm()))
        }
        (Some(Head::Countersink { diameter, angle }), _) => cone(diameter.most(), *angle),
        (None, Some(chamfer)) => cone(chamfer, Angle::degree(90.0)),
        (None, None) => None,
    }
}

/// Every cut of a feature, each in its solids.
fn solids(part: &Part, feature: &Feature) -> Vec<Vec<Solid>> {
    match &feature.kind {
        Kind::Holes(holes) => {
            let through = if upright(feature.face) { part.height.least() } else { part.length.least() };
            let bore = bore(holes, through.as_mm());
            let one = |place: &Place| bore.iter().map(|disc| put(part, feature.face, *place, *disc)).collect();
            holes.places.iter().map(one).collect()
        }
        Kind::Slot(slot) => vec![vec![groove(part, feature.face, slot)]],
        Kind::Tongue(tongue) => [-1.0, 1.0].into_iter().map(|side| vec![rabbet(part, tongue, side)]).collect(),
    }
}

/// A hole in discs from its face down: where each begins and ends, and its radius.
fn bore(holes: &Holes, through: f64) -> Vec<[f64; 3]> {
    let mut discs = Vec::new();
    let mut cone = |from: f64, [wide, narrow]: [f64; 2], deep: f64| {
        let count = if wide > narrow { DISCS } else { 1 };
        for disc in 0..count {
            let [begins, ends] = [disc, disc + 1].map(|at| f64::from(at) / f64::from(count));
            discs.push([from + begins * deep, from + ends * deep, wide - begins * (wide - narrow)]);
        }
    };
    let radius = holes.radius().as_mm();
    match &holes.depth {
        Depth::Through => cone(0.0, [radius; 2], through),
        Depth::Blind(depth) => {
            let deep = depth.most().as_mm();
            let full = match &holes.make {
                Make::Tapped { full: Some(full), .. } => full.most().as_mm().min(deep),
                _ => deep,
            };
            let drill = drilled(holes);
            cone(0.0, [radius; 2], full);
            if full < deep {
                cone(full, [drill.as_mm(); 2], deep - full);
            }
            cone(deep, [drill.as_mm(), 0.0], point(drill).as_mm());
        }
    }
    if let Some((wide, narrow, deep)) = head(holes) {
        cone(0.0, [wide, narrow], deep);
    }
    discs
}

/// A disc of a cut, from so deep to so deep below its face, in the axes of the part.
fn put(part: &Part, face: Face, place: Place, [from, to, radius]: [f64; 3]) -> Solid {
    let (high, half) = (part.height.least().as_mm(), part.length.least().as_mm() / 2.0);
    let (x, y) = (place.x.as_mm(), place.y.as_mm());
    let up = |z| Solid { x: [x; 2], y, z, radius, lying: false };
    // On an end, Y of the part lies along its face, and its middle is half way up.
    let along = |ends| Solid { x: ends, y: x, z: [y - high / 2.0; 2], radius, lying: true };
    match face {
        Face::Top => up([-to, -from]),
        Face::Bottom => up([from - high, to - high]),
        Face::Right => along([half - to, half - from]),
        Face::Left => along([from - half, to - half]),
    }
}

/// A slot, or a groove, which is longer than the part. No family cuts one into an end.
fn groove(part: &Part, face: Face, slot: &Slot) -> Solid {
    let deep = slot.depth.blind().map_or(part.height.least(), Size::most);
    let wide = slot.width.most();
    let solid = put(part, face, slot.place, [0.0, deep.as_mm(), wide.as_mm() / 2.0]);
    let half = slot.length.as_ref().map_or(part.length.most(), |length| (length.most() - wide) / 2.0).as_mm().max(0.0);
    Solid { x: [solid.x[0] - half, solid.x[1] + half], ..solid }
}

/// What is milled away on one side of a tongue: a groove at the edge.
fn rabbet(part: &Part, tongue: &Tongue, side: f64) -> Solid {
    let (inner, outer) = (tongue.width.least() / 2.0, part.width.most() / 2.0);
    let place = Place { x: Length::ZERO, y: (inner + outer) / 2.0 * side };
    let deep = tongue.height.most().as_mm();
    let solid = put(part, Face::Top, place, [0.0, deep, (outer - inner).as_mm() / 2.0]);
    let half = part.length.most().as_mm();
    Solid { x: [-half, half], ..solid }
}

/// How far two spans are from each other; nothing where they touch or overlap.
fn gap(one: [f64; 2], other: [f64; 2]) -> f64 {
    (one[0] - other[1]).max(other[0] - one[1]).max(0.0)
}

impl Solid {
    /// Least and most along each axis.
    pub(super) fn extent(&self) -> [[f64; 2]; 3] {
        let grown = |[from, to]: [f64; 2], by: f64| [from - by, to + by];
        let (x, z) = if self.lying { (0.0, self.radius) } else { (self.radius, 0.0) };
        [grown(self.x, x), grown([self.y; 2], self.radius), grown(self.z, z)]
    }

    /// Whether they touch or overlap.
    pub(super) fn meets(&self, other: &Self) -> bool {
        let (x, y, z) = (gap(self.x, other.x), self.y - other.y, gap(self.z, other.z));
        if self.lying == other.lying {
            let (between, aside) = if self.lying { (x, z) } else { (z, x) };
            let reach = self.radius + other.radius;
            return between <= 0.0 && aside * aside + y * y <= reach * reach;
        }
        // At some Y the upright one reaches far enough along X and the lying one far enough up.
        let (up, flat) = if self.lying { (other, self) } else { (self, other) };
        let (wide, high) = (up.radius * up.radius - x * x, flat.radius * flat.radius - z * z);
        wide >= 0.0 && high >= 0.0 && y.abs() <= wide.sqrt() + high.sqrt()
    }
}

impl<'p> Cut<'p> {
    fn new(feature: &'p Feature, number: usize, solids: Vec<Solid>) -> Self {
        let mut extent = [[f64::INFINITY, f64::NEG_INFINITY]; 3];
        for solid in &solids {
            for (whole, [from, to]) in extent.iter_mut().zip(solid.extent()) {
                *whole = [whole[0].min(from), whole[1].max(to)];
            }
        }
        Self { feature, number, solids, extent }
    }

    /// The same cut so much further to the back.
    fn moved(&self, by: f64) -> Self {
        let solids = self.solids.iter().map(|solid| Solid { y: solid.y + by, ..*solid }).collect();
        Self::new(self.feature, self.number, solids)
    }

    fn may_meet(&self, other: &Self) -> bool {
        self.extent.iter().zip(other.extent).all(|(one, other)| gap(*one, other) <= 0.0)
    }

    fn meets(&self, other: &Self) -> bool {
        self.may_meet(other) && self.solids.iter().any(|one| other.solids.iter().any(|its| one.meets(its)))
    }

    /// How deep below the face of this cut something begins.
    fn below(&self, part: &Part, [x, _, z]: [[f64; 2]; 3]) -> f64 {
        let (high, half) = (part.height.least().as_mm(), part.length.least().as_mm() / 2.0);
        match self.feature.face {
            Face::Top => -z[1],
            Face::Bottom => z[0] + high,
            Face::Right => half - x[1],
            Face::Left => x[0] + half,
        }
    }

    /// Notes down where and how far the two cuts meet, if they do.
    fn meet(&self, other: &Self, part: &Part, found: &mut BTreeMap<(usize, usize), Met>) {
        let mut free: Option<[f64; 2]> = None;
        for one in &self.solids {
            for its in other.solids.iter().filter(|its| one.meets(its)) {
                let here = [self.below(part, its.extent()), other.below(part, one.extent())];
                free = Some(free.map_or(here, |free| [free[0].min(here[0]), free[1].min(here[1])]));
            }
        }
        let Some(free) = free else { return };
        let [mine, its] = [self.extent[1], other.extent[1]];
        let across = [mine[1] - its[0], its[1] - mine[0]];
        let met = found.entry((self.number, other.number)).or_insert(Met { free, across, overlap: 0.0 });
        met.overlap = met.overlap.max(across[0].min(across[1]));
        for side in 0..2 {
            met.free[side] = met.free[side].min(free[side]);
            met.across[side] = met.across[side].max(across[side]);
        }
    }
}

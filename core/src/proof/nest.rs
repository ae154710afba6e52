//! A hole as the proof sees it: how wide it may be at each height, and what it must have.

use crate::geom::Point;
use crate::part::{Depth, Head, Holes, Kind, Make, Part, Size, chamfer_off};
use crate::quantity::{Angle, trig};
use crate::standards::thread::{Hand, Thread};

/// A hole.
#[derive(Debug)]
pub(super) struct Nest<'p> {
    /// Name of its feature, and its number there from zero.
    pub(super) feature: &'p str,
    pub(super) number: usize,
    pub(super) at: Point,
    /// The radius within which something belongs to this hole.
    pub(super) around: f64,
    /// How far its middle may be off along either axis.
    pub(super) off: f64,
    /// The least and the largest radius that the drill, mill or reamer may leave.
    pub(super) least: f64,
    pub(super) bore: f64,
    /// Radius at the entry that a spot drill or chamfer may leave at most.
    pub(super) entry: f64,
    /// Diameter of the chamfer, where the drawing shows one, and how far it may be off.
    pub(super) chamfer: Option<(f64, f64)>,
    pub(super) thread: Option<(&'p Thread, Hand)>,
    /// Depth of the full thread, where it does not run through.
    pub(super) full: Option<&'p Size>,
    /// Depth at its full width, where it does not go through.
    pub(super) depth: Option<&'p Size>,
    pub(super) head: Option<&'p Head>,
    pub(super) reamed: bool,
}

/// How far a thread's root may lie outside its basic major diameter, in pitches: a crest of the
/// cutter as sharp as can be, H/8 and the deepest flank within the limits.
const ROOT: f64 = 0.25;

/// A hole is drilled so much farther than it is reamed at most, in diameters: room for the lead and
/// for chips. Common practice, no source.
const UNDER_REAMER: f64 = 1.5;

impl Nest<'_> {
    /// The largest radius at a height that may be free, for a thread mill's teeth or for others.
    pub(super) fn free(&self, height: f64, teeth: bool) -> f64 {
        let down = height.min(0.0);
        let cone = self.entry + down;
        let thread = match self.thread {
            Some((thread, _)) if teeth => thread.major.as_mm() / 2.0 + ROOT * thread.pitch.as_mm(),
            _ => 0.0,
        };
        let head = match self.head {
            Some(Head::Counterbore { diameter, depth }) if down >= -depth.most().as_mm() => {
                diameter.most().as_mm() / 2.0
            }
            Some(Head::Countersink { diameter, angle }) => diameter.most().as_mm() / 2.0 + down * slope(*angle),
            _ => 0.0,
        };
        let inside = self.bore.max(thread);
        let bore = match self.depth {
            Some(depth) => {
                let more = if self.reamed { UNDER_REAMER * 2.0 * self.bore } else { 0.0 };
                // Below its depth a drill's point may stand, as blunt as 90° at most.
                let under = -depth.most().as_mm() - more - down;
                if under > 0.0 { self.bore - under } else { inside }
            }
            None => inside,
        };
        bore.max(cone).max(head)
    }

    /// Heights at which that changes its slope, or suddenly.
    pub(super) fn levels(&self) -> impl Iterator<Item = f64> + use<> {
        let head = match self.head {
            Some(Head::Counterbore { depth, .. }) => Some(-depth.most().as_mm()),
            Some(Head::Countersink { diameter, angle }) => {
                Some((self.bore - diameter.most().as_mm() / 2.0) / slope(*angle).max(1e-3))
            }
            None => None,
        };
        let floor = self.depth.map(|depth| -depth.most().as_mm());
        [floor, head, Some(self.bore - self.entry)].into_iter().flatten().filter(|level| *level < 0.0)
    }

    /// Height up to which a thread must reach: the highest good floor of a counterbore, else the face.
    pub(super) fn shoulder(&self) -> f64 {
        match self.head {
            Some(Head::Counterbore { depth, .. }) => -depth.least().as_mm(),
            _ => 0.0,
        }
    }

    /// Height at which the hole itself begins: the floor of a counterbore, else the face.
    pub(super) fn brow(&self) -> f64 {
        match self.head {
            Some(Head::Counterbore { depth, .. }) => -depth.most().as_mm(),
            _ => 0.0,
        }
    }
}

/// How much a cone of this included angle widens on a side for each millimetre up.
pub(super) fn slope(angle: Angle) -> f64 {
    trig::tan(angle / 2.0)
}

pub(super) fn nests(part: &Part) -> Vec<Nest<'_>> {
    let mut nests = Vec::new();
    for feature in &part.features {
        let Kind::Holes(holes) = &feature.kind else { continue };
        let (least, bore) = radii(holes);
        let (thread, full) = match &holes.make {
            Make::Tapped { thread, hand, full, .. } => (Some((thread.as_ref(), *hand)), full.as_ref()),
            Make::Plain { .. } | Make::Reamed { .. } => (None, None),
        };
        let entry = match (holes.chamfer, thread) {
            (Some(chamfer), _) => (chamfer + chamfer_off(&part.general, chamfer)).as_mm() / 2.0,
            // A spot no wider than the thread vanishes in it.
            (None, Some((thread, _))) => thread.major.as_mm() / 2.0,
            (None, None) => bore + part.edge_break.map_or(0.0, |(_, most)| most.as_mm()),
        };
        let root = thread.map_or(0.0, |(thread, _)| thread.major.as_mm() / 2.0);
        let head = match &holes.head {
            Some(Head::Counterbore { diameter, .. } | Head::Countersink { diameter, .. }) => {
                diameter.most().as_mm() / 2.0
            }
            None => 0.0,
        };
        let around = bore.max(entry).max(root).max(head);
        for (number, place) in holes.places.iter().enumerate() {
            nests.push(Nest {
                feature: &feature.id,
                number,
                at: Point::new(place.x.as_mm(), place.y.as_mm()),
                around,
                off: holes.place_tolerance.as_mm(),
                least,
                bore,
                entry,
                chamfer: holes.chamfer.map(|wide| (wide.as_mm(), chamfer_off(&part.general, wide).as_mm())),
                thread,
                full,
                depth: match &holes.depth {
                    Depth::Blind(depth) => Some(depth),
                    Depth::Through => None,
                },
                head: holes.head.as_ref(),
                reamed: matches!(holes.make, Make::Reamed { .. }),
            });
        }
    }
    nests
}

/// The least and the largest radius before any thread.
fn radii(holes: &Holes) -> (f64, f64) {
    let (least, most) = match &holes.make {
        Make::Plain { diameter } | Make::Reamed { diameter } => (diameter.least(), diameter.most()),
        Make::Tapped { thread, .. } => (thread.internal.minor_min, thread.internal.minor_max),
    };
    (least.as_mm() / 2.0, most.as_mm() / 2.0)
}

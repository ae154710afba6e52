//! A hole on the virtual first piece: what drill, reamer, mill and thread mill leave of it.

use super::fault::{Fault, fault};
use super::judge::Judge;
use super::measure::Tapping;
use super::nest::{Nest, slope};
use super::piece::Bore;
use super::region::{Answer, Region};
use super::thread;
use crate::geom::Point;
use crate::part::Head;
use crate::quantity::Angle;
use crate::shop::Cutter;
use crate::standards::thread::Hand;

/// A drill goes no farther below the work than this, or than its own diameter, in millimetres: no
/// breakthrough needs more, and nobody looks what lies there.
const DEEPER: f64 = 3.0;
/// What is left under a blind hole at least, in millimetres: less bulges or breaks out. Common
/// practice, no source.
const FLOOR: f64 = 0.2;
/// A reamer takes at least and at most so much off the diameter: a constant, and a share of the
/// diameter. It only rubs below, and jams above. Common practice, no source; workshop tables lie
/// between 0.1 and 0.3 mm for small reamers.
const REAMED_LEAST: f64 = 0.03;
const REAMED_MOST: (f64, f64) = (0.3, 0.03);

/// Two places nearer than this are one: the rounding of a program's words, in millimetres.
const SAME: f64 = 0.002;

/// A spot leads a drill where it is at least so wide, as a share of the drill: wider than the chisel
/// edge, a fifth of the diameter. Common practice, no source.
const SPOT: f64 = 0.3;

/// What a hole measures.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Hole {
    pub(super) place: Option<Point>,
    pub(super) drilled: Option<f64>,
    /// Depth at its full width.
    pub(super) deep: Option<f64>,
    pub(super) head: Option<f64>,
    pub(super) head_deep: Option<f64>,
    pub(super) pitch: Option<f64>,
    pub(super) major: Option<f64>,
    pub(super) lead: Option<f64>,
    pub(super) threaded: Option<f64>,
    pub(super) hand: Option<Hand>,
    pub(super) chamfer: Option<f64>,
    /// Included angle of the cone at the entry.
    pub(super) cone: Option<Angle>,
    pub(super) by_hand: bool,
    /// Lines that made it: the drill's, the thread mill's and the head's.
    pub(super) lines: [usize; 3],
}

type Faults = Vec<(usize, Fault)>;

impl Judge<'_> {
    /// Measures a hole, and tells what is wrong with it.
    pub(super) fn hole(&mut self, index: usize, tapping: &Tapping) -> Hole {
        let mut hole = Hole::default();
        let mut faults: Faults = Vec::new();
        let nest = &self.want.nests[index];
        let title = format!("Hole {} of `{}`", nest.number + 1, nest.feature);
        let bores = &self.piece.bores[index];
        // The hole is what the widest tool that goes all the way down leaves.
        let floor = nest.depth.map_or(self.want.bottom, |depth| -depth.least().as_mm());
        let reach = bores
            .iter()
            .enumerate()
            .filter(|(_, bore)| bore.full <= floor + 1e-6)
            .max_by(|a, b| a.1.radius.total_cmp(&b.1.radius));
        let deepest =
            bores.iter().enumerate().filter(|(_, bore)| bore.full < 0.0).min_by(|a, b| a.1.full.total_cmp(&b.1.full));
        let half_way = f64::midpoint(nest.brow(), floor);
        let widest = bores.iter().filter(|bore| bore.full < half_way).map(|bore| bore.radius).fold(0.0, f64::max);
        let main = reach.or(deepest);
        match main {
            Some((_, bore)) if reach.is_none() && nest.depth.is_none() => {
                faults.push((bore.line, self.not_through(&title, bore)));
            }
            Some((_, bore)) => {
                hole.place = Some(bore.at);
                hole.drilled = Some(2.0 * widest.max(bore.radius));
            }
            None => faults
                .push((0, fault("proof/left-over", format!("{title} is not drilled."), "The piece lacks a hole."))),
        }
        if let Some((at, bore)) = main {
            hole.lines[0] = bore.line;
            hole.deep = Some(-self.deepest_of_width(index, bore.radius));
            self.main(index, at, &title, &mut faults);
        }
        self.places(nest, bores, &title, &mut faults);
        self.chamfer(nest, bores, &title, &mut hole, &mut faults);
        self.head(nest, bores, &title, &mut hole, &mut faults);
        if nest.thread.is_some() {
            self.threaded(index, tapping, &title, &mut hole, &mut faults);
        }
        for (line, fault) in faults {
            self.tell(line, fault);
        }
        hole
    }

    fn not_through(&self, title: &str, bore: &Bore) -> Fault {
        fault(
            "proof/not-through",
            format!(
                "{title} is drilled to its full width down to Z {} only; the part may be {} high.",
                self.say(bore.full),
                self.say(-self.want.bottom)
            ),
            "The hole does not break through; the screw, or the thread mill, meets solid material.",
        )
    }

    /// How far down a hole is as wide as this.
    fn deepest_of_width(&self, index: usize, radius: f64) -> f64 {
        let bores = self.piece.bores[index].iter().filter(|bore| bore.radius > radius - 1e-6);
        bores.map(|bore| bore.full).fold(0.0, f64::min)
    }

    /// The cut that gives the hole its width: how deep, with what, and after what.
    fn main(&self, index: usize, at: usize, title: &str, faults: &mut Faults) {
        let nest = &self.want.nests[index];
        let bores = &self.piece.bores[index];
        let Some(bore) = bores.get(at) else { return };
        let lowest = bores.iter().map(|bore| bore.tip).fold(0.0, f64::min);
        let line = bores.iter().find(|bore| bore.tip <= lowest).map_or(bore.line, |bore| bore.line);
        if nest.depth.is_none() {
            let far = |bore: &&Bore| bore.full < self.want.base - (2.0 * bore.radius).max(DEEPER);
            if let Some(bore) = bores.iter().find(far) {
                let deep = self.say(self.want.base - bore.full);
                let what = format!("{title}: tool {} goes {deep} farther than through.", bore.tool);
                faults.push((bore.line, fault("proof/too-deep", what, "It meets whatever lies under the work.")));
            }
        } else if lowest < -self.part.height.least().as_mm() + FLOOR {
            let what = format!(
                "{title} is blind, and a tool goes down to Z {}; the part may be {} high.",
                self.say(lowest),
                self.say(self.part.height.least().as_mm())
            );
            faults.push((line, fault("proof/breakthrough", what, "It breaks out below, or the floor bulges.")));
        }
        // A way round wider than its cutter leaves an island.
        let free = Region::disc(bore.at, (nest.least - 0.003).max(0.0));
        let floor = bore.full.max(self.want.base) + 1e-6;
        if bore.orbit > 0.0
            && let Answer::Outside(place) | Answer::Unsettled(place) = self.piece.cleared(&free, floor, self.want.stock)
        {
            let what = format!("{title}: material is left at X {} Y {}.", self.say(place.x), self.say(place.y));
            faults.push((bore.line, fault("proof/left-over", what, "A pin, or a lump, stands in the hole.")));
        }
        self.started(bores, title, faults);
        self.reamed(nest, bores, at, title, faults);
    }

    /// A drill that wanders needs a spot to start in.
    fn started(&self, bores: &[Bore], title: &str, faults: &mut Faults) {
        let needs = |bore: &Bore| {
            let tool = self.tool(bore.tool);
            tool.is_some_and(|tool| matches!(tool.cutter, Cutter::Drill { starts_itself: false, .. }))
        };
        let Some(at) = bores.iter().position(needs) else { return };
        let (before, Some(drill)) = (&bores[..at], bores.get(at)) else { return };
        let spot = before.iter().map(|bore| bore.mouth).fold(0.0, f64::max);
        if spot < SPOT * drill.radius {
            let what = match before.first() {
                None => format!("{title}: tool {} starts on the bare face.", drill.tool),
                Some(_) => format!(
                    "{title}: tool {} starts in a spot {} wide; {} at least would lead it.",
                    drill.tool,
                    self.say(2.0 * spot),
                    self.say(2.0 * SPOT * drill.radius)
                ),
            };
            let then = "The drill wanders off its place before it takes hold; spot it first.";
            faults.push((drill.line, fault("proof/no-spot", what, then)));
        }
    }

    /// A reamer needs a hole that is a little smaller and a little deeper.
    fn reamed(&self, nest: &Nest<'_>, bores: &[Bore], main: usize, title: &str, faults: &mut Faults) {
        let lead_of = |bore: &Bore| match self.tool(bore.tool).map(|tool| &tool.cutter) {
            Some(Cutter::Reamer { lead }) => Some(lead.as_mm()),
            _ => None,
        };
        if nest.reamed && bores.get(main).is_some_and(|bore| lead_of(bore).is_none()) {
            let what = format!("{title} is to be reamed, and its last width comes from another tool.");
            let line = bores.get(main).map_or(0, |bore| bore.line);
            faults.push((line, fault("proof/not-reamed", what, "No drill or mill keeps the limits of a fit.")));
        }
        let Some((at, reamer)) = bores.iter().enumerate().find(|(_, bore)| lead_of(bore).is_some()) else { return };
        let before = bores[..at].iter().filter(|bore| bore.full <= reamer.tip + 1e-6 || bore.full <= self.want.base);
        let Some(pilot) = before.map(|bore| bore.radius).reduce(f64::max) else {
            let what =
                format!("{title}: the reamer goes down to Z {}, where nothing is drilled.", self.say(reamer.tip));
            faults.push((reamer.line, fault("proof/ream-solid", what, "It runs against solid material and breaks.")));
            return;
        };
        let takes = 2.0 * (reamer.radius - pilot);
        let most = REAMED_MOST.0 + REAMED_MOST.1 * 2.0 * reamer.radius;
        if takes < REAMED_LEAST || takes > most {
            let what = format!(
                "{title}: the reamer takes {} off the diameter; {} to {} is sound.",
                self.say(takes),
                self.say(REAMED_LEAST),
                self.say(most)
            );
            let then =
                if takes < REAMED_LEAST { "It rubs, and the hole is not to size." } else { "It jams and breaks." };
            faults.push((reamer.line, fault("proof/ream-stock", what, then)));
        }
    }

    /// Every tool must go down at the hole's place.
    fn places(&self, nest: &Nest<'_>, bores: &[Bore], title: &str, faults: &mut Faults) {
        let beside = |bore: &&Bore| {
            let away = bore.at - nest.at;
            away.x.abs().max(away.y.abs()) > nest.off + 1e-6
        };
        // An end mill may come down anywhere within what it clears.
        let straight = |bore: &&Bore| {
            bore.orbit > 0.0 || !matches!(self.tool(bore.tool).map(|tool| &tool.cutter), Some(Cutter::EndMill { .. }))
        };
        // A way into a lap and out again turns about another middle, within what the lap clears.
        let within = |bore: &&Bore| {
            bore.orbit > 0.0
                && bores.iter().any(|wide| {
                    wide.orbit > bore.orbit
                        && wide.full <= bore.full + SAME
                        && wide.at.distance(bore.at) + bore.radius <= wide.radius + SAME
                })
        };
        let stray = |bore: &&Bore| beside(bore) && !within(bore);
        if let Some(bore) = bores.iter().filter(straight).find(stray) {
            let away = self.say(bore.at.distance(nest.at));
            faults.push((
                bore.line,
                fault(
                    "proof/hole-place",
                    format!("{title}: a tool goes down {away} beside its place."),
                    "The hole or its chamfer sits to one side.",
                ),
            ));
        }
    }

    fn chamfer(&self, nest: &Nest<'_>, bores: &[Bore], title: &str, hole: &mut Hole, faults: &mut Faults) {
        let mouth = bores.iter().map(|bore| bore.mouth).fold(0.0, f64::max);
        hole.chamfer = (mouth > 0.0).then_some(2.0 * mouth);
        let Some((wanted, off)) = nest.chamfer else { return };
        if (2.0 * mouth - wanted).abs() > off + 1e-6 {
            let line = bores.first().map_or(0, |bore| bore.line);
            faults.push((
                line,
                fault(
                    "proof/chamfer",
                    format!("{title}: the chamfer is {} wide, not {}.", self.say(2.0 * mouth), self.say(wanted)),
                    "The thread starts with a burr, or the edge is wrong.",
                ),
            ));
        }
        hole.cone = self.cone(bores, std::f64::consts::FRAC_PI_4, title, faults);
    }

    /// The tool that leaves the widest mouth must have the cone that the drawing shows.
    fn cone(&self, bores: &[Bore], half: f64, title: &str, faults: &mut Faults) -> Option<Angle> {
        let straight = bores.iter().filter(|bore| bore.orbit <= 0.0);
        let bore = straight.max_by(|a, b| a.mouth.total_cmp(&b.mouth))?;
        let angle = match self.tool(bore.tool).map(|tool| &tool.cutter) {
            Some(Cutter::Spot { point } | Cutter::Drill { point, .. }) => point.as_rad() / 2.0,
            Some(Cutter::Countersink { angle, .. }) => angle.as_rad() / 2.0,
            _ => return None,
        };
        if (angle - half).abs() > 0.01 {
            let what = format!("{title}: tool {} does not have the angle of the cone.", bore.tool);
            faults.push((bore.line, fault("proof/cone", what, "The head of the screw rests on an edge.")));
        }
        Some(Angle::rad(2.0 * angle))
    }

    /// The room for a screw's head.
    fn head(&self, nest: &Nest<'_>, bores: &[Bore], title: &str, hole: &mut Hole, faults: &mut Faults) {
        match nest.head {
            None => {}
            Some(Head::Countersink { angle, .. }) => {
                let conical = |bore: &&Bore| {
                    let cutter = self.tool(bore.tool).map(|tool| &tool.cutter);
                    matches!(cutter, Some(Cutter::Spot { .. } | Cutter::Countersink { .. }))
                };
                let widest = bores.iter().filter(conical).max_by(|a, b| a.mouth.total_cmp(&b.mouth));
                hole.head = widest.map(|bore| 2.0 * bore.mouth);
                hole.lines[2] = widest.map_or(0, |bore| bore.line);
                hole.cone = self.cone(bores, trig_half(slope(*angle)), title, faults);
            }
            Some(Head::Counterbore { diameter, depth }) => {
                let threshold = f64::midpoint(nest.bore, diameter.least().as_mm() / 2.0);
                let mine = || bores.iter().filter(|bore| bore.radius > threshold && bore.full < 0.0);
                let Some(deepest) = mine().min_by(|a, b| a.full.total_cmp(&b.full)) else {
                    let what = format!("{title} has no room for the head.");
                    faults.push((0, fault("proof/left-over", what, "The head of the screw stands proud.")));
                    return;
                };
                let widest = mine().map(|bore| bore.radius).fold(0.0, f64::max);
                hole.head = Some(2.0 * widest);
                // Where a pass less deep is wider, the floor is as deep as the widest goes.
                let all_round =
                    mine().filter(|bore| bore.radius > widest - 0.01).map(|bore| bore.full).fold(0.0, f64::min);
                let [shallow, deep] = [-all_round, -deepest.full];
                let middle = depth.middle().as_mm();
                hole.head_deep = Some(if (shallow - middle).abs() > (deep - middle).abs() { shallow } else { deep });
                hole.lines[2] = deepest.line;
                let disc = Region::disc(nest.at, (diameter.least().as_mm() / 2.0 - nest.off - 0.003).max(0.0));
                if let Answer::Outside(place) | Answer::Unsettled(place) =
                    self.piece.cleared(&disc, -depth.least().as_mm() + 1e-6, self.want.stock)
                {
                    let what = format!(
                        "{title}: in the room for the head material is left at X {} Y {}.",
                        self.say(place.x),
                        self.say(place.y)
                    );
                    faults.push((deepest.line, fault("proof/left-over", what, "The head does not go down.")));
                }
            }
        }
    }

    fn threaded(&self, index: usize, tapping: &Tapping, title: &str, hole: &mut Hole, faults: &mut Faults) {
        let nest = &self.want.nests[index];
        let strokes = &self.piece.threads[index];
        let Some(tool) = strokes.first().and_then(|stroke| self.tool(stroke.tool)) else {
            // A thread that nobody cuts at the bench is the program's, whatever the shop has for it.
            hole.by_hand = tapping.leaves(nest.feature);
            if !hole.by_hand {
                faults.push((
                    0,
                    fault("proof/left-over", format!("{title} has no thread."), "The screw does not go in."),
                ));
            }
            return;
        };
        hole.lines[1] = strokes.last().map_or(0, |stroke| stroke.line);
        let bore = hole.drilled.map_or(0.0, |drilled| drilled / 2.0);
        if bore <= 0.0 {
            return;
        }
        if nest.depth.is_some() {
            let floor = self.deepest_of_width(index, bore);
            let lowest = strokes.iter().min_by(|a, b| a.leg.lowest().total_cmp(&b.leg.lowest()));
            if let Some(stroke) = lowest.filter(|stroke| stroke.leg.lowest() < floor - 1e-6) {
                let what = format!(
                    "{title}: the thread mill goes down to Z {}; the hole is drilled to {}.",
                    self.say(stroke.leg.lowest()),
                    self.say(floor)
                );
                faults.push((stroke.line, fault("proof/thread-bottom", what, "Its end runs against the bottom.")));
            }
        }
        let bottom = nest.full.map_or(self.want.base, |full| -full.nominal.as_mm());
        let measured = thread::measure(nest, strokes, tool, bore, (nest.shoulder(), bottom));
        faults.extend(measured.faults);
        hole.pitch = measured.pitch_diameter;
        hole.major = measured.major;
        hole.lead = measured.lead;
        hole.threaded = measured.depth;
        hole.hand = measured.hand;
        if let (Some(axis), Some(place)) = (measured.axis, hole.place) {
            if axis.distance(place) > 0.1 {
                faults.push((
                    strokes.first().map_or(0, |stroke| stroke.line),
                    fault(
                        "proof/thread-axis",
                        format!("{title}: the thread lies {} beside its drilled hole.", self.say(axis.distance(place))),
                        "The thread is full on one side and thin on the other.",
                    ),
                ));
            }
            // Whichever lies farther off is what the pin finds.
            let far = |a: f64, b: f64, wanted: f64| if (a - wanted).abs() > (b - wanted).abs() { a } else { b };
            hole.place = Some(Point::new(far(axis.x, place.x, nest.at.x), far(axis.y, place.y, nest.at.y)));
        }
    }
}

/// Half of the angle of a cone of this slope.
fn trig_half(slope: f64) -> f64 {
    libm::atan(slope)
}

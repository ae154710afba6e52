//! The virtual first piece: every size of the drawing measured on what the motion has left.

use serde::Serialize;

use super::fault::{Fault, fault};
use super::judge::Judge;
use super::piece::{Side, cuts};
use super::thread;
use crate::geom::{Point, Rect};
use crate::part::{Attribute, Axis, CHAMFER_OFF, Characteristic, End, Measure, Part, Quality, attributes, inspected};
use crate::quantity::Length;
use crate::shop::{Cutter, Shop};
use crate::standards::thread::Hand;

/// One size of the drawing, measured on the virtual first piece.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Reading {
    /// What is measured, with its limits.
    pub characteristic: Characteristic,
    /// What it measures; `None` where the program makes nothing that could be measured, or
    /// leaves it to the bench.
    pub measured: Option<Length>,
    /// It lies within its limits, or is left to the bench on purpose.
    pub holds: bool,
}

/// Something that is no length, looked at on the virtual first piece.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Check {
    /// What is looked at, and what it must be.
    pub attribute: Attribute,
    /// What it is, in the same words; `None` where there is nothing to look at, or it is left to
    /// the bench.
    pub found: Option<String>,
    /// It is as it must be, or is left to the bench on purpose.
    pub holds: bool,
}

/// A drill goes no farther below the work than this, or than its own diameter, in millimetres: no
/// breakthrough needs more, and nobody looks what lies there.
const DEEPER: f64 = 3.0;

/// Who cuts the threads.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Tapping {
    /// The program, wherever the shop has a thread mill that fits.
    #[default]
    Milled,
    /// A person at the bench; the program only drills.
    ByHand,
}

/// What a hole measures.
#[derive(Clone, Copy, Debug, Default)]
struct Hole {
    place: Option<Point>,
    drilled: Option<f64>,
    pitch: Option<f64>,
    major: Option<f64>,
    lead: Option<f64>,
    threaded: Option<f64>,
    hand: Option<Hand>,
    chamfer: Option<f64>,
    by_hand: bool,
    /// Lines that made it: the drill's and the thread mill's.
    lines: [usize; 2],
}

/// Width, height and middle of a tongue, each with the line that made it.
type Tongue = [(f64, usize); 3];

/// A value that was measured, the line that made it, and whether it is left to the bench.
#[derive(Clone, Copy, Debug, Default)]
struct Found {
    value: Option<f64>,
    line: usize,
    by_hand: bool,
}

impl Judge<'_> {
    /// Measures everything, and tells what is left over.
    pub(super) fn measure(&mut self, part: &Part, shop: &Shop, tapping: Tapping) -> (Vec<Reading>, Vec<Check>) {
        let holes: Vec<Hole> = (0..self.want.nests.len()).map(|index| self.hole(index, shop, tapping)).collect();
        let tongue = self.tongue(part);
        let list = inspected(part);
        let mut readings = Vec::with_capacity(list.len());
        for characteristic in list {
            let found = self.reading(part, &characteristic, &holes, tongue);
            let measured = found.value.map(Length::mm);
            let good = match measured {
                Some(measured) => characteristic.size.holds(measured),
                None => found.by_hand,
            };
            if !good {
                let size = &characteristic.size;
                let what = match measured {
                    Some(measured) => format!(
                        "{}: {}, limits {} to {}.",
                        size.title,
                        self.say(measured.as_mm()),
                        self.say(size.least().as_mm()),
                        self.say(size.most().as_mm())
                    ),
                    None => format!("{}: there is nothing to measure.", size.title),
                };
                self.tell_measure(found.line, fault("proof/size", what, "The piece is not the one on the drawing."));
            }
            // No motion makes the blank: it comes so from bar and saw, and is measured at the bench.
            let blank = matches!(characteristic.measure, Measure::Extent(_));
            readings.push(Reading { characteristic, measured: measured.filter(|_| !blank), holds: good });
        }
        let checks = attributes(part).into_iter().map(|attribute| self.check(attribute, &holes)).collect();
        (readings, checks)
    }

    /// Looks at what is no length.
    fn check(&self, attribute: Attribute, holes: &[Hole]) -> Check {
        let Quality::Hand(feature) = &attribute.quality;
        let mine = || {
            let all = self.want.nests.iter().zip(holes);
            all.filter(|(nest, _)| nest.feature == feature).map(|(nest, hole)| (nest.number + 1, hole))
        };
        let word = |hand| if hand == Hand::Right { "right" } else { "left" };
        let wrong = mine()
            .find_map(|(number, hole)| Some((number, word(hole.hand?))).filter(|(_, is)| *is != attribute.wanted));
        let found = match wrong {
            Some((number, is)) => Some(format!("{is} in hole {number}")),
            None => mine().any(|(_, hole)| hole.hand.is_some()).then(|| attribute.wanted.clone()),
        };
        let holds = wrong.is_none() && mine().all(|(_, hole)| hole.hand.is_some() || hole.by_hand);
        Check { attribute, found, holds }
    }

    /// A finding about the finished piece, even where its line has told another of the kind.
    fn tell_measure(&mut self, line: usize, fault: Fault) {
        self.book.tell(line, self.words(line), fault);
    }

    fn reading(&self, part: &Part, what: &Characteristic, holes: &[Hole], tongue: Option<Tongue>) -> Found {
        let find = |feature: &str, number: usize| {
            self.want.index(feature, number).and_then(|index| holes.get(index)).copied().unwrap_or_default()
        };
        let stock = |extent: Length| Found { value: Some(extent.as_mm()), ..Found::default() };
        let wall = |which: usize| {
            let (value, line) = tongue.map_or((None, 0), |tongue| (Some(tongue[which].0), tongue[which].1));
            Found { value, line, by_hand: false }
        };
        let drilled = |hole: Hole, value: Option<f64>| Found { value, line: hole.lines[0], by_hand: false };
        let milled = |hole: Hole, value: Option<f64>| Found { value, line: hole.lines[1], by_hand: hole.by_hand };
        match &what.measure {
            Measure::Extent(Axis::X) => stock(part.blank.length),
            Measure::Extent(Axis::Y) => stock(part.blank.width),
            Measure::Extent(Axis::Z) => stock(part.blank.height),
            Measure::TongueWidth(_) => wall(0),
            Measure::TongueHeight(_) => wall(1),
            Measure::TongueOffset(_) => wall(2),
            Measure::HolePlace(feature, number, axis) => {
                let hole = find(feature, *number);
                drilled(hole, hole.place.map(|place| if *axis == Axis::X { place.x } else { place.y }))
            }
            Measure::HoleDiameter(feature, number) | Measure::MinorDiameter(feature, number) => {
                let hole = find(feature, *number);
                drilled(hole, hole.drilled)
            }
            Measure::PitchDiameter(feature, number) => {
                let hole = find(feature, *number);
                milled(hole, hole.pitch)
            }
            Measure::MajorDiameter(feature, number) => {
                let hole = find(feature, *number);
                milled(hole, hole.major)
            }
            Measure::Lead(feature, number) => {
                let hole = find(feature, *number);
                milled(hole, hole.lead)
            }
            Measure::ThreadDepth(feature, number) => {
                let hole = find(feature, *number);
                milled(hole, hole.threaded)
            }
            Measure::ChamferDiameter(feature, number) => {
                let hole = find(feature, *number);
                drilled(hole, hole.chamfer)
            }
            Measure::EndDistance(feature, end) => self.end_distance(part, feature, *end, holes),
        }
    }

    /// From an end of the blank to the nearest middle of a group.
    fn end_distance(&self, part: &Part, feature: &str, end: End, holes: &[Hole]) -> Found {
        let half = part.blank.length.as_mm() / 2.0;
        let mine = self.want.nests.iter().zip(holes).filter(|(nest, _)| nest.feature == feature);
        let places = mine.filter_map(|(_, hole)| {
            let x = hole.place?.x;
            Some((if end == End::Low { half + x } else { half - x }, hole.lines[0]))
        });
        let nearest = places.min_by(|a, b| a.0.total_cmp(&b.0));
        Found { value: nearest.map(|(away, _)| away), line: nearest.map_or(0, |(_, line)| line), by_hand: false }
    }

    fn hole(&mut self, index: usize, shop: &Shop, tapping: Tapping) -> Hole {
        let nest = &self.want.nests[index];
        let mut hole = Hole::default();
        let mut faults: Vec<(usize, Fault)> = Vec::new();
        let title = format!("Hole {} of `{}`", nest.number + 1, nest.feature);
        let bores = &self.piece.bores[index];
        // The hole is what the widest tool that goes through leaves.
        let bottom = self.want.bottom;
        let through =
            bores.iter().filter(|bore| bore.full <= bottom + 1e-6).max_by(|a, b| a.radius.total_cmp(&b.radius));
        let deepest = bores.iter().filter(|bore| bore.full < 0.0).min_by(|a, b| a.full.total_cmp(&b.full));
        let widest = bores.iter().filter(|bore| bore.full < bottom / 2.0).map(|bore| bore.radius).fold(0.0, f64::max);
        match (through, deepest) {
            (Some(bore), _) => {
                hole.place = Some(bore.at);
                hole.drilled = Some(2.0 * widest.max(bore.radius));
            }
            (None, Some(bore)) => faults.push((
                bore.line,
                fault(
                    "proof/not-through",
                    format!(
                        "{title} is drilled to its full width down to Z {} only; the part may be {} high.",
                        self.say(bore.full),
                        self.say(-bottom)
                    ),
                    "The hole does not break through; the screw, or the thread mill, meets solid material.",
                ),
            )),
            (None, None) => faults
                .push((0, fault("proof/left-over", format!("{title} is not drilled."), "The piece lacks a hole."))),
        }
        if let Some(bore) = bores.iter().find(|bore| {
            let away = bore.at - nest.at;
            away.x.abs().max(away.y.abs()) > nest.off + 1e-6
        }) {
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
        if let Some(bore) = through.filter(|bore| bore.full < self.want.base - (2.0 * bore.radius).max(DEEPER)) {
            let deep = self.say(self.want.base - bore.full);
            faults.push((
                bore.line,
                fault(
                    "proof/too-deep",
                    format!("{title}: the drill goes {deep} farther than through."),
                    "It meets whatever lies under the work.",
                ),
            ));
        }
        hole.lines[0] = through.or(deepest).map_or(0, |bore| bore.line);
        let mouth = bores.iter().map(|bore| bore.mouth).fold(0.0, f64::max);
        hole.chamfer = (mouth > 0.0).then_some(2.0 * mouth);
        if let Some(wanted) = nest.chamfer
            && (2.0 * mouth - wanted).abs() > CHAMFER_OFF.as_mm()
        {
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
        if nest.thread.is_some() {
            self.threaded(index, shop, tapping, &title, &mut hole, &mut faults);
        }
        for (line, fault) in faults {
            self.tell(line, fault);
        }
        hole
    }

    fn threaded(
        &self,
        index: usize,
        shop: &Shop,
        tapping: Tapping,
        title: &str,
        hole: &mut Hole,
        faults: &mut Vec<(usize, Fault)>,
    ) {
        let nest = &self.want.nests[index];
        let strokes = &self.piece.threads[index];
        let Some((thread, _)) = nest.thread else { return };
        let Some(tool) = strokes.first().and_then(|stroke| self.tool(stroke.tool)) else {
            let can = shop.tools.iter().any(|tool| match &tool.cutter {
                Cutter::ThreadMill { pitch_min, pitch_max, .. } => {
                    let pitch = thread.pitch.as_mm();
                    pitch >= pitch_min.as_mm() - 1e-3
                        && pitch <= pitch_max.as_mm() + 1e-3
                        && tool.diameter < thread.internal.minor_min
                }
                _ => false,
            });
            if tapping == Tapping::ByHand || !can {
                hole.by_hand = true;
            } else {
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
        let measured = thread::measure(nest, strokes, tool, bore, self.want.base);
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

    /// Width, height and middle of the tongue; `None` where a side of it was not cut.
    fn tongue(&mut self, part: &Part) -> Option<Tongue> {
        let ridge = self.want.tongue?;
        let (_, wanted) = part.tongues().next()?;
        let stock = self.want.stock;
        let deep = |side: &&Side| side.floor <= ridge.shallow + 1e-6;
        let xs = cuts(
            stock.low.x,
            stock.high.x,
            self.piece
                .sides
                .iter()
                .flat_map(|side| [side.from, side.to])
                .chain(self.piece.swaths.iter().flat_map(|swath| [swath.rect.low.x, swath.rect.high.x])),
        );
        let (mut widths, mut middles, mut heights) = (Vec::new(), Vec::new(), Vec::new());
        let mut left: Option<(Rect, f64)> = None;
        for x in xs.windows(2) {
            let middle = f64::midpoint(x[0], x[1]);
            let here: Vec<&Side> =
                self.piece.sides.iter().filter(|side| side.from <= middle && side.to >= middle).collect();
            // What stands at most: cut all the way down; what stands at least: cut at all.
            let wall = |back: bool, down: bool| {
                here.iter()
                    .filter(|side| side.back == back && (!down || deep(side)))
                    .map(|side| side.inner)
                    .reduce(f64::min)
            };
            let mut ends = [0.0; 2];
            for (place, back) in [(0, false), (1, true)] {
                let inner = self.swath_wall(middle, back, ridge.shallow);
                let Some(inner) = inner else {
                    let half = stock.high.y;
                    let y = if back { (0.0, half) } else { (-half, 0.0) };
                    left.get_or_insert((Rect::new(Point::new(x[0], y.0), Point::new(x[1], y.1)), 0.0));
                    continue;
                };
                ends[place] = inner;
                let (near, far) = if back { (inner, stock.high.y) } else { (stock.low.y, -inner) };
                if near >= far {
                    continue;
                }
                for (cell, floor) in self.piece.floors(Rect::new(Point::new(x[0], near), Point::new(x[1], far))) {
                    if floor > ridge.shallow + 1e-6 {
                        left.get_or_insert((cell, floor));
                    }
                    heights.push(-floor);
                }
            }
            let least = [wall(false, false).unwrap_or(ends[0]), wall(true, false).unwrap_or(ends[1])];
            for walls in [ends, [least[0].min(ends[0]), least[1].min(ends[1])]] {
                widths.push(walls[0] + walls[1]);
                middles.push((walls[1] - walls[0]) / 2.0);
            }
        }
        // The deepest place anywhere beside the tongue is a height too.
        heights.extend(
            self.piece
                .swaths
                .iter()
                .filter(|swath| swath.rect.overlaps(stock))
                .map(|swath| -swath.floor)
                .filter(|height| *height > -ridge.shallow),
        );
        if let Some((cell, floor)) = left {
            let what = format!(
                "Material is left beside the tongue from X {} to {} and Y {} to {}, at Z {}.",
                self.say(cell.low.x),
                self.say(cell.high.x),
                self.say(cell.low.y),
                self.say(cell.high.y),
                self.say(floor)
            );
            self.tell_measure(0, fault("proof/left-over", what, "The piece does not go into its slot."));
            return None;
        }
        let worst = |values: &[f64], middle: f64| {
            values.iter().copied().max_by(|a, b| (a - middle).abs().total_cmp(&(b - middle).abs()))
        };
        let near = self.piece.sides.iter().min_by(|a, b| a.inner.total_cmp(&b.inner)).map_or(0, |side| side.line);
        let low = self.piece.swaths.iter().min_by(|a, b| a.floor.total_cmp(&b.floor)).map_or(0, |swath| swath.line);
        Some([
            (worst(&widths, wanted.width.middle().as_mm())?, near),
            (worst(&heights, wanted.height.middle().as_mm())?, low),
            (worst(&middles, 0.0)?, near),
        ])
    }

    /// How near to the middle the rabbet is cut to its depth at a place along the bar.
    fn swath_wall(&self, x: f64, back: bool, depth: f64) -> Option<f64> {
        self.piece
            .swaths
            .iter()
            .filter(|swath| swath.floor <= depth + 1e-6 && swath.rect.low.x <= x && swath.rect.high.x >= x)
            .filter(|swath| (swath.rect.middle().y > 0.0) == back)
            .map(|swath| if back { swath.rect.low.y } else { -swath.rect.high.y })
            .reduce(f64::min)
    }
}

//! The thread that a thread mill leaves: hand, pitch, depth, diameters, with the overcut of the
//! flanks that a cutter of this size makes on this way.

use std::f64::consts::{FRAC_PI_6, PI, TAU};

use super::fault::{Fault, fault};
use super::loads::THREAD_STEP_MOST;
use super::motion::Tip;
use super::nest::Nest;
use super::piece::Stroke;
use crate::geom::Point;
use crate::quantity::{fixed, trig};
use crate::shop::{Cutter, Tool};
use crate::standards::thread::{Hand, Thread};

/// What was measured in one hole.
#[derive(Debug, Default)]
pub(super) struct Measured {
    /// Pitch diameter, where there is a thread at all.
    pub(super) pitch_diameter: Option<f64>,
    /// Diameter of the root.
    pub(super) major: Option<f64>,
    /// Rise of one turn, the mean of the pass that is farthest off.
    pub(super) lead: Option<f64>,
    /// Length of the full thread between the faces.
    pub(super) depth: Option<f64>,
    /// The way that it turns.
    pub(super) hand: Option<Hand>,
    /// Middle of the thread.
    pub(super) axis: Option<Point>,
    pub(super) faults: Vec<(usize, Fault)>,
}

/// Coordinates are printed to 0.001 mm or 0.0001 in; two of them make this much of a rise.
const RISE: f64 = 0.003;
/// Middles and radii that are no farther apart than two words of 0.0001 in are the same.
const SAME: f64 = 0.006;
/// Ways round one hole may differ so much in their middle.
const AXIS: f64 = 0.02;
/// A way in or out that is no farther off the thread's slope than this is the rounding of words.
const FLANK: f64 = 0.005;
/// A tooth's middle must pass so far beyond both faces, in pitches: half of the width of the
/// groove at the drilled hole, so that the groove runs out through the face.
const BEYOND: f64 = 0.4;

/// Whether two ways are one but for the dust of binary arithmetic.
fn same(way: &[f64; 7], other: &[f64; 7]) -> bool {
    way.iter().zip(other).all(|(a, b)| (a - b).abs() < 1e-9)
}

/// One way round the hole, without a break.
#[derive(Clone, Copy, Debug)]
struct Pass {
    line: usize,
    orbit: f64,
    axis: Point,
    /// Height of the lowest tooth's middle at the start and at the end.
    low: f64,
    high: f64,
    /// Height of a tooth where the direction from the axis is zero.
    phase: f64,
    order: usize,
    begin: f64,
    end: f64,
    /// How far it turns, in radians, against the clock.
    turned: f64,
}

impl Pass {
    /// Rise of one turn; negative for a left-hand thread.
    fn lead(&self) -> f64 {
        (self.end - self.begin) * TAU / self.turned
    }
}

struct Job<'j> {
    thread: &'j Thread,
    sign: f64,
    cutter: f64,
    flat: f64,
    tip: f64,
    rows: f64,
    corrected: bool,
    /// How much a flank rises for each millimetre in: tan 30°.
    slant: f64,
}

fn slant() -> f64 {
    trig::tan(crate::quantity::Angle::rad(FRAC_PI_6))
}

/// Measures the thread in a hole drilled to the radius `bore`, from its shoulder through to `bottom`.
pub(super) fn measure(
    nest: &Nest<'_>,
    strokes: &[Stroke],
    tool: &Tool,
    bore: f64,
    (top, bottom): (f64, f64),
) -> Measured {
    let mut out = Measured::default();
    let (Some((thread, hand)), Cutter::ThreadMill { pitch_min, pitch_max, rows, tip_flat, tip, corrected }) =
        (nest.thread, &tool.cutter)
    else {
        return out;
    };
    let line = strokes.first().map_or(0, |stroke| stroke.line);
    let pitch = thread.pitch.as_mm();
    if pitch < pitch_min.as_mm() - 1e-3 || pitch > pitch_max.as_mm() + 1e-3 {
        out.faults.push((
            line,
            fault(
                "proof/thread-pitch",
                format!("Tool {} does not cut a pitch of {} mm.", tool.number, fixed(pitch, 3)),
                "The thread fits no screw.",
            ),
        ));
    }
    let job = Job {
        thread,
        sign: if hand == Hand::Right { 1.0 } else { -1.0 },
        cutter: tool.diameter.as_mm() / 2.0,
        // ISO 68-1: an eighth of the pitch, where the cutter's own flat is not known.
        flat: tip_flat.map_or(pitch / 8.0, crate::quantity::Length::as_mm),
        tip: tip.as_mm(),
        rows: f64::from((*rows).max(1)),
        corrected: *corrected,
        slant: slant(),
    };
    let passes = job.passes(nest, strokes, &mut out.faults);
    let Some(last) = passes.iter().max_by(|a, b| a.orbit.total_cmp(&b.orbit)).copied() else {
        return out;
    };
    out.axis = Some(last.axis);
    job.same_groove(&passes, &last, &mut out.faults);
    let leads = passes.iter().map(Pass::lead);
    out.lead = leads.max_by(|a, b| (a.abs() - pitch).abs().total_cmp(&(b.abs() - pitch).abs())).map(f64::abs);
    out.hand = Some(if passes.iter().all(|pass| pass.lead() > 0.0) { Hand::Right } else { Hand::Left });
    out.depth = Some(job.depth(&passes, &last, (top, bottom, nest.full.is_none()), &mut out.faults));
    job.steps(&passes, bore, bottom, &mut out.faults);
    let (pitch_diameter, major) = job.diameters(&passes, &last, bore);
    out.pitch_diameter = Some(pitch_diameter);
    out.major = Some(major);
    let basic = thread.major.as_mm();
    if major < basic - 0.005 {
        out.faults.push((
            last.line,
            fault(
                "proof/thread-major",
                format!("The thread's root is cut to {} mm; the screw is {} mm.", fixed(major, 3), fixed(basic, 3)),
                "The screw does not go in.",
            ),
        ));
    }
    job.ways_in_and_out(nest, strokes, &last, (bore, pitch_diameter), &mut out.faults);
    out
}

impl Job<'_> {
    fn pitch(&self) -> f64 {
        self.thread.pitch.as_mm()
    }

    /// Rise per radian of the thread, with its hand.
    fn slope(&self) -> f64 {
        self.sign * self.pitch() / TAU
    }

    /// Which strokes go round the hole: arcs about one middle that make a full turn together. Ways
    /// in and out turn about another middle, and less.
    fn rounds(nest: &Nest<'_>, strokes: &[Stroke]) -> Vec<bool> {
        let mut list = vec![false; strokes.len()];
        let mut start = 0;
        while start < strokes.len() {
            let mut end = start + 1;
            if let Some(arc) = strokes[start].arc {
                let mut turned = arc.sweep;
                while let Some(next) = strokes.get(end)
                    && next.order == strokes[end - 1].order + 1
                    && let Some(more) = next.arc
                    && more.centre.distance(arc.centre) < SAME
                    && (more.radius - arc.radius).abs() < SAME
                {
                    turned += more.sweep;
                    end += 1;
                }
                let near = arc.centre.distance(nest.at) <= nest.off * 1.5 + AXIS;
                if near && turned.abs() > TAU - 0.01 {
                    list[start..end].fill(true);
                }
            }
            start = end;
        }
        list
    }

    fn passes(&self, nest: &Nest<'_>, strokes: &[Stroke], faults: &mut Vec<(usize, Fault)>) -> Vec<Pass> {
        let mut passes: Vec<Pass> = Vec::new();
        let rounds = Self::rounds(nest, strokes);
        for (stroke, _) in strokes.iter().zip(rounds).filter(|(_, round)| *round) {
            let Some(arc) = stroke.arc else { continue };
            let rise = stroke.leg.to.z - stroke.leg.from.z;
            let wanted = self.slope() * arc.sweep;
            if rise * wanted <= 0.0 && rise.abs() > RISE {
                faults.push((
                    stroke.line,
                    fault(
                        "proof/thread-hand",
                        "The way round and up turns the other hand than the thread.",
                        "The thread has the wrong hand; no screw goes in.",
                    ),
                ));
            } else if (rise - wanted).abs() > RISE {
                let turn = (rise * TAU / arc.sweep).abs();
                faults.push((
                    stroke.line,
                    fault(
                        "proof/thread-pitch",
                        format!("One turn rises {} mm; the pitch is {} mm.", fixed(turn, 4), fixed(self.pitch(), 4)),
                        "The flanks are cut away; the screw is loose or does not go in.",
                    ),
                ));
            }
            let (from, to) = (stroke.leg.from.z + self.tip, stroke.leg.to.z + self.tip);
            if let Some(pass) = passes.last_mut()
                && pass.order + 1 == stroke.order
                && (pass.orbit - arc.radius).abs() < SAME
                && pass.axis.distance(arc.centre) < SAME
                && (pass.end - from).abs() < 1e-6
            {
                pass.order = stroke.order;
                pass.end = to;
                pass.turned += arc.sweep;
                pass.low = pass.low.min(to);
                pass.high = pass.high.max(to);
                continue;
            }
            passes.push(Pass {
                line: stroke.line,
                orbit: arc.radius,
                axis: arc.centre,
                low: from.min(to),
                high: from.max(to),
                phase: from - self.slope() * arc.start,
                order: stroke.order,
                begin: from,
                end: to,
                turned: arc.sweep,
            });
        }
        passes
    }

    /// All passes must run in one groove, about one axis.
    fn same_groove(&self, passes: &[Pass], last: &Pass, faults: &mut Vec<(usize, Fault)>) {
        for pass in passes {
            if self.drift(pass, last).abs() > 0.1 * self.pitch() {
                faults.push((
                    pass.line,
                    fault(
                        "proof/thread-phase",
                        "This pass does not run in the groove of the others.",
                        "The thread is cut away.",
                    ),
                ));
            }
            if pass.axis.distance(last.axis) > AXIS {
                faults.push((
                    pass.line,
                    fault(
                        "proof/thread-axis",
                        "This pass turns about another middle than the others.",
                        "The thread is oval.",
                    ),
                ));
            }
        }
    }

    /// How much higher a pass runs than another, to the nearest whole pitch.
    fn drift(&self, pass: &Pass, other: &Pass) -> f64 {
        let away = pass.phase - other.phase;
        away - (away / self.pitch()).round() * self.pitch()
    }

    /// What a pass threads, as heights: every tooth, row by row.
    fn span(&self, pass: &Pass) -> (f64, f64) {
        (pass.low, pass.high + (self.rows - 1.0) * self.pitch())
    }

    /// Judges how far down and up the full thread goes; its length between the faces.
    fn depth(
        &self,
        passes: &[Pass],
        last: &Pass,
        (top, bottom, through): (f64, f64, bool),
        faults: &mut Vec<(usize, Fault)>,
    ) -> f64 {
        let widest = passes.iter().filter(|pass| pass.orbit > last.orbit - 0.02);
        let mut spans: Vec<(f64, f64)> = widest.map(|pass| self.span(pass)).collect();
        spans.sort_by(|a, b| a.0.total_cmp(&b.0));
        let low = spans.first().map_or(0.0, |span| span.0);
        let joined = |high: &f64, span: &(f64, f64)| span.0 <= *high + 0.01;
        let high = spans.iter().fold(low, |high, span| if joined(&high, span) { high.max(span.1) } else { high });
        let beyond = BEYOND * self.pitch();
        if through && low > bottom - beyond {
            faults.push((
                last.line,
                fault(
                    "proof/thread-depth",
                    format!(
                        "The full thread starts at Z {} mm; the part ends at {} mm.",
                        fixed(low, 3),
                        fixed(bottom, 3)
                    ),
                    "The thread does not go through; the screw stops in it.",
                ),
            ));
        }
        if high < top + beyond {
            faults.push((
                last.line,
                fault(
                    "proof/thread-depth",
                    format!("The full thread ends at Z {} mm, below the top.", fixed(high, 3)),
                    "The screw does not start.",
                ),
            ));
        }
        // Where it ends in the work, the lowest groove is the last full one.
        let end = if through { (low + beyond).max(bottom) } else { low };
        ((high - beyond).min(top) - end).max(0.0)
    }

    /// No pass may step out farther than a thread mill bears.
    fn steps(&self, passes: &[Pass], bore: f64, bottom: f64, faults: &mut Vec<(usize, Fault)>) {
        let most = THREAD_STEP_MOST * self.pitch();
        for (index, pass) in passes.iter().enumerate() {
            let (low, high) = self.span(pass);
            let (low, high) = (low.max(bottom), high.min(0.0));
            let before = passes[..index]
                .iter()
                .filter(|earlier| {
                    let (from, to) = self.span(earlier);
                    from <= low + self.pitch() * 0.1 && to >= high - self.pitch() * 0.1
                })
                .map(|earlier| earlier.orbit + self.cutter)
                .fold(bore, f64::max);
            let step = pass.orbit + self.cutter - before;
            if high > low && step > most {
                faults.push((
                    pass.line,
                    fault(
                        "proof/thread-passes",
                        format!(
                            "This pass steps out {} mm at once; {} mm is the most for this pitch.",
                            fixed(step, 3),
                            fixed(most, 3)
                        ),
                        "The thread mill bends or breaks; a pass is missing before.",
                    ),
                ));
            }
        }
    }

    /// Pitch diameter and root diameter of what all passes together leave.
    ///
    /// A groove's width at radius R is what the union of the passes takes there; the pitch
    /// diameter is where it is half a pitch (ISO 68-1).
    fn diameters(&self, passes: &[Pass], last: &Pass, bore: f64) -> (f64, f64) {
        let root = last.orbit + self.cutter;
        // Passes of one orbit cut one width: only how far they drift either way matters.
        let mut orbits: Vec<(f64, f64, f64)> = Vec::new();
        for pass in passes {
            let drift = self.drift(pass, last);
            match orbits.iter_mut().find(|(orbit, ..)| orbit.total_cmp(&pass.orbit).is_eq()) {
                Some((_, low, high)) => (*low, *high) = (low.min(drift), high.max(drift)),
                None => orbits.push((pass.orbit, drift, drift)),
            }
        }
        let width = |radius: f64| {
            let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
            for (orbit, least, most) in orbits.iter().filter(|(orbit, ..)| orbit + self.cutter > radius) {
                let half = self.half_width(*orbit, radius);
                low = low.min(least - half);
                high = high.max(most + half);
            }
            if high > low { high - low } else { 0.0 }
        };
        let half = self.pitch() / 2.0;
        let (mut inner, mut outer) = (bore.min(root), root);
        let (mut over, mut under) = (width(inner) - half, width(outer) - half);
        if over < 0.0 {
            return (2.0 * inner, 2.0 * root);
        }
        // The width falls almost evenly with the radius: a few steps along the chord, with the
        // bracket kept and its stale end halved, reach the last bit that matters.
        for _ in 0..60 {
            let middle = if over > under { inner + (outer - inner) * over / (over - under) } else { outer };
            let here = width(middle) - half;
            if here.abs() < 1e-10 || outer - inner < 1e-10 {
                return (2.0 * middle, 2.0 * root);
            }
            if here > 0.0 {
                (inner, over) = (middle, here);
                under /= 2.0;
            } else {
                (outer, under) = (middle, here);
                over /= 2.0;
            }
        }
        (inner + outer, 2.0 * root)
    }

    /// Half of the width of the groove at a radius, the overcut of the flanks included: the most
    /// that any place of the cutter on its way reaches along the axis.
    fn half_width(&self, orbit: f64, radius: f64) -> f64 {
        let slant = self.slant;
        let straight = self.flat / 2.0 + (self.cutter + orbit - radius) * slant;
        if self.corrected {
            return straight;
        }
        let away = |cosine: f64| (radius * radius + orbit * orbit - 2.0 * radius * orbit * cosine).max(0.0).sqrt();
        // The cutter leaves this radius where its own edge no longer reaches it.
        let mut last = PI;
        if away(-1.0) > self.cutter {
            let cosine = (radius * radius + orbit * orbit - self.cutter * self.cutter) / (2.0 * radius * orbit);
            last = libm::acos(cosine.clamp(-1.0, 1.0));
        }
        // The sum of rise and flank is largest where slant · d(away)/d(turn), which is
        // slant R e sin(turn) / away, equals the rise; squared, a quadratic in cos(turn), of which
        // the larger root is the nearer turn.
        let rise = self.pitch() / TAU;
        let (a, b) = (slant * radius * orbit, rise * rise);
        let under = b * b * radius * radius * orbit * orbit - a * a * (b * (radius * radius + orbit * orbit) - a * a);
        let turn = if under >= 0.0 && a > 0.0 {
            libm::acos(((b * radius * orbit + under.sqrt()) / (a * a)).clamp(-1.0, 1.0)).min(last)
        } else {
            last
        };
        let reach = |turn: f64| rise * turn + self.flat / 2.0 + (self.cutter - away(libm::cos(turn))) * slant;
        let most = straight.max(reach(turn));
        if turn < last { most.max(reach(last)) } else { most }
    }

    /// What two arcs have in common that lie alike about the axis and on the thread's slope, whole
    /// turns of the thread apart, both with a tooth above them in the work: their start and
    /// middle from the axis, their sweep, their rise, and how far off the slope they start.
    fn way(&self, stroke: &Stroke, last: &Pass) -> Option<[f64; 7]> {
        let arc = stroke.arc?;
        let (from, to) = (stroke.leg.from, stroke.leg.to);
        if from.z.max(to.z) + self.tip - self.pitch() >= 0.0 {
            return None;
        }
        let start = from.plan() - last.axis;
        let middle = arc.centre - last.axis;
        let turns = (from.z + self.tip - last.phase) / self.pitch();
        let phase = (turns - turns.round()) * self.pitch();
        Some([start.x, start.y, middle.x, middle.y, arc.sweep, to.z - from.z, phase])
    }

    /// Ways in and out must follow the thread's slope while the teeth are in the work.
    fn ways_in_and_out(
        &self,
        nest: &Nest<'_>,
        strokes: &[Stroke],
        last: &Pass,
        (bore, pitch_diameter): (f64, f64),
        faults: &mut Vec<(usize, Fault)>,
    ) {
        const STEPS: u32 = 24;
        let slant = self.slant;
        // A flank may be cut away as far as the pitch diameter stays within its limits there.
        let room = (self.thread.internal.pitch_max.as_mm() - pitch_diameter) / 2.0 * slant;
        let mut known: Vec<([f64; 7], f64)> = Vec::new();
        // What goes round has been judged as such; a part of a turn alone is a way in or out.
        for (stroke, _) in strokes.iter().zip(Self::rounds(nest, strokes)).filter(|(_, round)| !round) {
            let reach = |tip: Tip| tip.plan().distance(last.axis) + self.cutter;
            if stroke.arc.is_none() && reach(stroke.leg.from).max(reach(stroke.leg.to)) <= bore + 1e-6 {
                // A straight way is nowhere further out than at its ends.
                continue;
            }
            // One below the other, the turns of a hole have the same ways in and out.
            let key = self.way(stroke, last);
            let told =
                known.iter().find(|(other, _)| key.is_some_and(|key| same(&key, other))).map(|(_, worst)| *worst);
            let mut worst = told.unwrap_or(0.0);
            for step in 0..=if told.is_some() { 0 } else { STEPS } {
                let share = f64::from(step) / f64::from(STEPS);
                let place = match stroke.arc {
                    Some(arc) => arc.at(share),
                    None => stroke.leg.from.toward(stroke.leg.to, share).plan(),
                };
                let way = place - last.axis;
                let off = way.length();
                let height = stroke.leg.from.z + (stroke.leg.to.z - stroke.leg.from.z) * share + self.tip;
                let low = height - self.pitch();
                let in_work = off + self.cutter > bore + 1e-6 && low < 0.0;
                if !in_work || off < 1e-9 {
                    continue;
                }
                let wanted = last.phase + self.slope() * way.angle().as_rad();
                let away = height - wanted;
                let away = (away - (away / self.pitch()).round() * self.pitch()).abs();
                worst = worst.max(away - (last.orbit - off) * slant);
            }
            if let (Some(key), None) = (key, told) {
                known.push((key, worst));
            }
            if worst > room.max(FLANK) {
                faults.push((
                    stroke.line,
                    fault(
                        "proof/thread-lead",
                        format!(
                            "The thread mill leaves the thread's slope by {} mm while it is in the work.",
                            fixed(worst, 3)
                        ),
                        "A flank is cut away on its way in or out.",
                    ),
                ));
            }
        }
    }
}

#[cfg(test)]
mod tests;

//! A load of several pieces: one program, every piece judged as if it stood alone.
//!
//! The moves that a control makes of the text are the same for all; each piece is shown those that
//! come near it or near what holds it, in its own axes, and is judged and measured by them. So a
//! move that is meant for one piece and meets its neighbour is told by the neighbour. What lies
//! between the places, and the travel that all of them need together, is judged here.

use super::book::Book;
use super::fault::fault;
use super::holding::obstacles;
use super::judge::{DUST, Judge};
use super::{Bench, Breach, Check, Event, Motion, Reading, Tapping, Times, machine, time, want};
use crate::geom::{Point, Rect};
use crate::part::Part;
use crate::quantity::{Time, fixed};
use crate::shop::{Shop, Stand, Tool};

/// What the proof found of a load.
#[derive(Clone, Debug, Default)]
pub struct LoadVerdict {
    /// What must not run, as in [`super::Verdict::breaches`]; what one piece alone tells names its
    /// place.
    pub breaches: Vec<Breach>,
    /// Each place's own piece, in the order of the places.
    pub pieces: Vec<PieceVerdict>,
    /// Predicted time of the whole load; loading is not in it.
    pub times: Times,
    /// Every move, in the axes of the first place.
    pub motions: Vec<Motion>,
    /// Messages that the program shows to the operator, with their lines.
    pub messages: Vec<(usize, String)>,
}

/// One piece of a load.
#[derive(Clone, Debug, Default)]
pub struct PieceVerdict {
    /// Its sizes.
    pub inspection: Vec<Reading>,
    /// What of it is right or wrong and no length.
    pub checks: Vec<Check>,
}

impl PieceVerdict {
    /// Every size of it holds.
    pub fn holds(&self) -> bool {
        self.inspection.iter().all(|reading| reading.holds) && self.checks.iter().all(|check| check.holds)
    }
}

impl LoadVerdict {
    /// Nothing stands against the program, and every size of every piece holds.
    pub fn proved(&self) -> bool {
        self.breaches.is_empty() && !self.pieces.is_empty() && self.pieces.iter().all(PieceVerdict::holds)
    }
}

/// What is nearer than this to a piece or its holding is shown to it, beyond the tool's own width.
const NEAR: f64 = 1.0;
/// Pieces that are to touch something may be so far in it, by the rounding of places.
const TOUCH: f64 = 0.05;
/// So much stays free above what the places stand on.
const ABOVE_BED: f64 = 0.1;

/// Reads the program of a load back and judges it. `part` is the part as it is posed in this setup,
/// `stands` are the places that hold a piece.
pub fn prove_load(text: &str, part: &Part, shop: &Shop, stands: &[Stand], tapping: &Tapping) -> LoadVerdict {
    let lines = machine::lines(text);
    let Some(bench) = Bench::of_load(shop, stands, part.unit) else {
        let what = "No place, or no place with a work offset that there is.";
        let mut book = Book::default();
        book.tell(0, "", fault("proof/beyond", what, "Nothing is known about the pieces."));
        return LoadVerdict { breaches: book.close(&shop.control), ..LoadVerdict::default() };
    };
    let (mut trace, mut book) = machine::read_back(&lines, &bench);
    let times = time::schedule(&mut trace, shop);
    for what in want::beyond(part) {
        book.tell(0, "", fault("proof/beyond", what, "Nothing is known about the pieces that the program makes."));
    }
    let shown = shown(&trace.events, part, shop, stands);
    let mut told: Vec<Vec<Breach>> = Vec::with_capacity(stands.len());
    let mut pieces = Vec::with_capacity(stands.len());
    // One piece after the other: what belongs to one stays at hand.
    for (at, stand) in stands.iter().enumerate() {
        let mut judge = Judge::new(lines.clone(), part, shop, &stand.setup);
        let mut now = Time::ZERO;
        for (event, shown) in trace.events.iter().zip(&shown) {
            match event {
                Event::Move(motion, _) => {
                    now = motion.t1;
                    if shown.to(at) {
                        judge.motion(&motion.seen_from(stand.x.as_mm(), stand.y.as_mm()));
                    }
                    continue;
                }
                Event::Dwell { time, .. } => now += *time,
                Event::Change { .. } => now += shop.machine.tool_change,
                _ => {}
            }
            judge.event(event, now);
        }
        let (inspection, checks) = judge.measure(part, tapping);
        pieces.push(PieceVerdict { inspection, checks });
        told.push(judge.book.list().to_vec());
    }
    let motions: Vec<Motion> = trace
        .events
        .into_iter()
        .filter_map(|event| match event {
            Event::Move(motion, _) => Some(motion),
            _ => None,
        })
        .collect();
    together(&motions, stands, shop, &lines, &mut book);
    crowded(part, stands, &mut book);
    gather(&told, &mut book);
    LoadVerdict { breaches: book.close(&shop.control), pieces, times, motions, messages: trace.messages }
}

/// The places whose pieces a move is shown to.
#[derive(Clone, Debug, Default)]
struct Shown(Vec<usize>);

impl Shown {
    fn to(&self, place: usize) -> bool {
        self.0.contains(&place)
    }
}

/// Which moves each piece is shown: those that come near it or what holds it. A move that comes
/// near none is shown to the first, so that none goes unjudged.
fn shown(events: &[Event], part: &Part, shop: &Shop, stands: &[Stand]) -> Vec<Shown> {
    let (left, right) = part.blank_along();
    let half = part.blank.width.as_mm() / 2.0;
    let blank = Rect::new(Point::new(left.as_mm(), -half), Point::new(right.as_mm(), half));
    let grounds: Vec<Rect> = stands
        .iter()
        .map(|stand| {
            let own = obstacles(part, &stand.setup).iter().fold(blank, |ground, thing| ground.with(thing.rect));
            there(own, stand)
        })
        .collect();
    let by = |number: u32| shop.tools.iter().find(|tool| tool.number == number).map_or(0.0, widest) + NEAR;
    let mut present = (u32::MAX, 0.0);
    events
        .iter()
        .map(|event| {
            let Event::Move(motion, _) = event else { return Shown::default() };
            if present.0 != motion.tool {
                present = (motion.tool, by(motion.tool));
            }
            let (x, y) = (motion.reach(0), motion.reach(1));
            let way = Rect::new(Point::new(x.0, y.0), Point::new(x.1, y.1)).grown(present.1);
            let near = grounds.iter().enumerate().filter(|(_, ground)| ground.overlaps(way)).map(|(at, _)| at);
            let mut near: Vec<usize> = near.collect();
            if near.is_empty() {
                near.push(0);
            }
            Shown(near)
        })
        .collect()
}

/// A box of a place in the axes of the load.
fn there(rect: Rect, stand: &Stand) -> Rect {
    let by = |corner: Point| Point::new(corner.x + stand.x.as_mm(), corner.y + stand.y.as_mm());
    Rect::new(by(rect.low), by(rect.high))
}

/// The widest that a tool is anywhere, either way from its middle.
fn widest(tool: &Tool) -> f64 {
    tool.diameter.max(tool.shank).max(tool.holder).as_mm() / 2.0
}

/// Pieces that stand in each other's way, or in what holds another: no such load can be put in.
fn crowded(part: &Part, stands: &[Stand], book: &mut Book) {
    let (left, right) = part.blank_along();
    let half = part.blank.width.as_mm() / 2.0;
    let blank = Rect::new(Point::new(left.as_mm(), -half), Point::new(right.as_mm(), half)).grown(-TOUCH);
    for (at, stand) in stands.iter().enumerate() {
        let piece = there(blank, stand);
        for (other_at, other) in stands.iter().enumerate().filter(|(other, _)| *other != at) {
            let holding = obstacles(part, &other.setup);
            let floor = other.setup.parallel_top.as_mm() + TOUCH;
            let high = holding.iter().filter(|thing| thing.top > floor).map(|thing| (thing.name, thing.rect));
            for (name, rect) in high.chain([("piece", blank)]) {
                if there(rect, other).overlaps(piece) {
                    let what = format!(
                        "Place {}: its piece and the {name} of place {} stand in one spot.",
                        at + 1,
                        other_at + 1
                    );
                    book.tell(0, "", fault("proof/crowded", what, "The pieces cannot be put in as the load has them."));
                }
            }
        }
    }
}

/// What no piece sees by itself: the travel that all need together, and what they all stand on.
fn together(motions: &[Motion], stands: &[Stand], shop: &Shop, lines: &[&str], book: &mut Book) {
    let words = |line: usize| line.checked_sub(1).and_then(|at| lines.get(at)).map_or("", |words| words.trim());
    let Some(first) = stands.first() else { return };
    for (axis, travel, letter) in [(0, shop.machine.x, "X"), (1, shop.machine.y, "Y")] {
        let reaches = || motions.iter().map(|motion| (motion.line, motion.reach(axis)));
        let low = reaches().map(|(line, (low, _))| (low, line)).min_by(|a, b| a.0.total_cmp(&b.0));
        let high = reaches().map(|(line, (_, high))| (high, line)).max_by(|a, b| a.0.total_cmp(&b.0));
        let (Some((low, from)), Some((high, to))) = (low, high) else { continue };
        let span = (travel.to - travel.from).as_mm();
        if high - low > span + DUST {
            let line = from.max(to);
            let (need, have) = (fixed(high - low, 2), fixed(span, 2));
            let what = format!(
                "{letter} goes from {} to {} over the load: {need} mm; the machine travels {have} mm.",
                fixed(low, 2),
                fixed(high, 2)
            );
            let consequence = "The machine runs against its stops, or the control stops with an alarm.";
            book.tell(line, words(line), fault("proof/travel", what, consequence));
        }
    }
    let bed = (first.setup.parallel_top - first.setup.parallel_height).as_mm() + ABOVE_BED;
    for motion in motions.iter().filter(|motion| motion.lowest() < bed - DUST) {
        let what = format!("The tool goes down to {} mm, into what the pieces stand on.", fixed(motion.lowest(), 2));
        book.tell(
            motion.line,
            words(motion.line),
            fault("proof/parallel", what, "It cuts into the holding, breaks, and may throw the work."),
        );
    }
}

/// What all pieces tell is told once; what some tell, with their place.
fn gather(told: &[Vec<Breach>], book: &mut Book) {
    let same = |a: &Breach, b: &Breach| a.line == b.line && a.code == b.code && a.what == b.what;
    for (at, list) in told.iter().enumerate() {
        for breach in list {
            let of_all = told.iter().all(|other| other.iter().any(|one| same(one, breach)));
            if !of_all {
                let what = format!("Place {}: {}", at + 1, breach.what);
                book.take(Breach { what, ..breach.clone() });
            } else if at == 0 {
                book.take(breach.clone());
            }
        }
    }
}

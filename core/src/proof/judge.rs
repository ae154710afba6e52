//! Each move judged against the work, what holds it, the tool and the machine.

use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;

use super::book::Book;
use super::cutter::{self, Role, Section};
use super::fault::{Fault, fault};
use super::flat::{Flat, Leg, legs};
use super::holding::{Obstacle, obstacles};
use super::loads;
use super::motion::{Arc, Motion};
use super::piece::{Gap, Piece};
use super::region::{Answer, Region};
use super::want::Want;
use crate::geom::Point;
use crate::part::Part;
use crate::quantity::{Length, Time, fixed};
use crate::shop::{Cutter, Setup, Shop, Tool};

/// A rapid straight down may come so near to uncut material.
const RAPID_ABOVE: f64 = 0.2;
/// A rapid aside must keep so far above uncut material: room for the bar's own tolerance, chips
/// and a burr.
const RAPID_OVER: f64 = 1.0;
/// Whatever passes beside material or holding keeps so far away.
const BESIDE: f64 = 0.1;
/// Less than this is the rounding of a coordinate.
pub(super) const DUST: f64 = 1e-6;

/// The judge, with the piece as it is cut so far.
pub(super) struct Judge<'j> {
    pub(super) part: &'j Part,
    pub(super) shop: &'j Shop,
    pub(super) setup: &'j Setup,
    pub(super) want: Want<'j>,
    pub(super) piece: Piece,
    pub(super) holding: Vec<Obstacle>,
    pub(super) kits: BTreeMap<u32, Kit<'j>>,
    pub(super) lines: Vec<&'j str>,
    pub(super) told: BTreeSet<(usize, &'static str)>,
    pub(super) book: Book,
    pub(super) started: Option<Time>,
    pub(super) changes: usize,
    /// The tool that was fitted last.
    pub(super) fitted: Option<u32>,
    pub(super) moves: usize,
    /// Where the present stroke of a drill is, and the height at which it began.
    pub(super) stroke: Option<(Point, f64)>,
}

pub(super) struct Kit<'j> {
    pub(super) tool: &'j Tool,
    sections: Rc<[Section]>,
}

impl<'j> Judge<'j> {
    pub(super) fn new(lines: Vec<&'j str>, part: &'j Part, shop: &'j Shop, setup: &'j Setup) -> Self {
        let want = Want::of(part);
        let piece = Piece::new(&want);
        let kits = shop
            .tools
            .iter()
            .map(|tool| (tool.number, Kit { tool, sections: cutter::sections(tool).into() }))
            .collect();
        Self {
            part,
            shop,
            setup,
            want,
            piece,
            holding: obstacles(part, setup),
            kits,
            lines,
            told: BTreeSet::new(),
            book: Book::default(),
            started: None,
            changes: 0,
            fitted: None,
            moves: 0,
            stroke: None,
        }
    }

    pub(super) fn tell(&mut self, line: usize, fault: Fault) {
        if line == 0 || self.told.insert((line, fault.code)) {
            self.book.tell(line, self.words(line), fault);
        }
    }

    /// The words of a line.
    pub(super) fn words(&self, line: usize) -> &'j str {
        line.checked_sub(1).and_then(|index| self.lines.get(index)).map_or("", |words| words.trim())
    }

    pub(super) fn tool(&self, number: u32) -> Option<&'j Tool> {
        self.kits.get(&number).map(|kit| kit.tool)
    }

    pub(super) fn motion(&mut self, motion: &Motion) {
        self.moves += 1;
        let Some(kit) = self.kits.get(&motion.tool) else {
            return self.tell(
                motion.line,
                fault(
                    "proof/no-tool",
                    "The machine moves before a tool of the shop is called.",
                    "Whatever stands in the spindle moves.",
                ),
            );
        };
        let tool = kit.tool;
        let sections = Rc::clone(&kit.sections);
        self.travel(motion);
        if !motion.rapid {
            self.feeding(motion);
        }
        for leg in legs(motion) {
            self.keep_off(motion, &leg, &sections);
            self.stem(motion, &leg, tool, &sections);
            if motion.rapid {
                self.rapid(motion, &leg, &sections);
            } else {
                self.cut(motion, &leg, tool, &sections);
            }
        }
    }

    fn feeding(&mut self, motion: &Motion) {
        let (line, feed, speed) = (motion.line, motion.feed.as_mm_per_min(), motion.spindle.as_rpm());
        if feed > self.shop.machine.feed_max.as_mm_per_min() * 1.0001 {
            let most = fixed(self.shop.machine.feed_max.as_mm_per_min(), 0);
            self.tell(
                line,
                fault(
                    "proof/feed",
                    format!("Feed {} mm/min; the machine goes to {most}.", fixed(feed, 0)),
                    "The control stops, or the machine loses steps.",
                ),
            );
        }
        if speed < 0.0 {
            self.tell(
                line,
                fault(
                    "proof/spindle-reversed",
                    "The tool is fed with the spindle turning backward.",
                    "The backs of the edges meet the work; the tool burns or breaks.",
                ),
            );
        } else if speed < 1.0 {
            self.tell(
                line,
                fault(
                    "proof/spindle-stopped",
                    "The tool is fed with the spindle standing.",
                    "It is pushed into the work and breaks.",
                ),
            );
        }
    }

    fn travel(&mut self, motion: &Motion) {
        let machine = &self.shop.machine;
        for (axis, travel, letter) in [(0, machine.x, "X"), (1, machine.y, "Y"), (2, machine.z, "Z")] {
            let (low, high) = motion.reach(axis);
            let good = match self.setup.datum_at {
                Some(datum) => {
                    let datum = datum[axis].as_mm();
                    low + datum >= travel.from.as_mm() - DUST && high + datum <= travel.to.as_mm() + DUST
                }
                // Where the work lies is not known; it cannot need more than there is.
                None => high.abs().max(low.abs()) <= (travel.to - travel.from).as_mm(),
            };
            if !good {
                self.tell(
                    motion.line,
                    fault(
                        "proof/travel",
                        format!(
                            "{letter} goes from {} to {} mm; the machine does not reach that far.",
                            fixed(low, 2),
                            fixed(high, 2)
                        ),
                        "The machine runs against its stops, or the control stops with an alarm.",
                    ),
                );
            }
        }
    }

    /// Jaws, stop, parallels.
    fn keep_off(&mut self, motion: &Motion, leg: &Leg, sections: &[Section]) {
        let mut met = None;
        let (lowest, around) = (leg.lowest(), leg.whole().around());
        for thing in &self.holding {
            let top = thing.top + BESIDE;
            // Sections go from the tip up: the rest stays above as well.
            for section in sections.iter().take_while(|section| lowest < top - section.low) {
                let Some(span) = leg.below(top - section.low) else { continue };
                let Some(radius) = section.radius_below(top - lowest) else { continue };
                // The whole way is clear of it, seen from above, more often than not.
                if around.grown(radius + BESIDE).overlaps(thing.rect)
                    && leg.flat(span).nearer(thing.rect, radius + BESIDE)
                {
                    met.get_or_insert((thing.name, thing.code, section.name()));
                }
            }
        }
        if let Some((name, code, section)) = met {
            self.tell(
                motion.line,
                fault(
                    code,
                    format!("The {section} meets the {name}."),
                    "It cuts into the holding, breaks, and may throw the work.",
                ),
            );
        }
    }

    /// Neck, shank and holder, and how deep the edges are in.
    fn stem(&mut self, motion: &Motion, leg: &Leg, tool: &Tool, sections: &[Section]) {
        let edges = tool.flute_length.as_mm();
        let teeth = matches!(tool.cutter, Cutter::ThreadMill { .. });
        let radius = tool.diameter.as_mm() / 2.0;
        if !teeth && leg.lowest() + edges < -DUST && leg.whole().nearer(self.want.stock, radius - DUST) {
            self.tell(
                motion.line,
                fault(
                    "proof/beyond-flutes",
                    format!(
                        "Tool {} is {} mm deep; its edges are {} mm long.",
                        tool.number,
                        fixed(-leg.lowest(), 2),
                        fixed(edges, 2)
                    ),
                    "Chips jam, and the neck rubs in the work.",
                ),
            );
        }
        let gap = Gap { side: BESIDE, over: BESIDE };
        for section in sections.iter().filter(|section| matches!(section.role, Role::Shank | Role::Holder)) {
            if leg.lowest() + section.low < gap.over && self.piece.meets(&self.want, leg, section, motion.tool, gap) {
                let what = format!("The {} of tool {} meets the work.", section.name(), tool.number);
                self.tell(motion.line, fault("proof/holder", what, "It rubs, and bends or breaks the tool."));
            }
        }
    }

    fn rapid(&mut self, motion: &Motion, leg: &Leg, sections: &[Section]) {
        if leg.to.z >= 0.0 {
            // Out of the hole: the chips are out too.
            self.stroke = None;
        }
        let over = if leg.upright() { RAPID_ABOVE } else { RAPID_OVER.min(self.setup.clear.as_mm()) };
        if leg.lowest() >= over {
            return;
        }
        // Straight up leaves by the way that was cut.
        let up = leg.upright() && leg.to.z >= leg.from.z;
        let gap = if up { Gap { side: -0.003, over: 0.0 } } else { Gap { side: BESIDE, over } };
        let edges = sections.iter().filter(|section| matches!(section.role, Role::Edge | Role::Neck));
        if edges.clone().any(|section| self.piece.meets(&self.want, leg, section, motion.tool, gap)) {
            let near = leg.lowest() > 0.0;
            let what = if near {
                format!(
                    "A rapid passes {} mm above material that is still there; {} mm is wanted.",
                    fixed(leg.lowest(), 3),
                    fixed(over, 1)
                )
            } else {
                "A rapid goes through material that has not been removed.".to_owned()
            };
            self.tell(
                motion.line,
                fault("proof/rapid-in-material", what, "The tool breaks, or the work is torn out of the vise."),
            );
        }
    }

    pub(super) fn cut(&mut self, motion: &Motion, leg: &Leg, tool: &Tool, sections: &[Section]) {
        let gap = Gap { side: 0.0, over: 0.0 };
        let meets = sections
            .iter()
            .filter(|section| section.role == Role::Edge)
            .any(|section| self.piece.meets(&self.want, leg, section, motion.tool, gap));
        if meets {
            self.at_speed(motion);
            self.plunge(motion, leg, tool);
            if let Some(fault) = self.chip(motion, leg, tool) {
                self.tell(motion.line, fault);
            }
        }
        let home = self.home(leg);
        if meets {
            self.keep(motion, leg, tool, sections, home);
        }
        self.remove(motion, leg, tool, meets, home);
    }

    /// The hole that a way belongs to: about whose middle it turns, or where it ends.
    fn home(&self, leg: &Leg) -> Option<usize> {
        let end = leg.to.plan();
        let turns = leg.arc.and_then(|arc| self.want.nest(arc.centre));
        turns.or_else(|| self.want.nest(end))
    }

    /// Whether the chip is too thick or too thin.
    fn chip(&self, motion: &Motion, leg: &Leg, tool: &Tool) -> Option<Fault> {
        let teeth = matches!(tool.cutter, Cutter::ThreadMill { .. });
        if teeth && leg.arc.is_none() {
            // In and out along the middle of a hole it cuts nothing to speak of.
            return None;
        }
        let plunge = leg.upright() && leg.to.z < leg.from.z;
        let outward = || teeth || leg.arc.is_none_or(|arc| self.outward(arc, leg, tool));
        let bend = leg.arc.map(|arc| loads::Bend { radius: arc.radius, outward: &outward });
        loads::feed(tool, &self.part.material, (motion.feed, motion.spindle), bend, plunge)
    }

    /// Whether the half of the tool cuts that is farther from the middle of an arc: its edges run
    /// on a wider circle than its middle.
    fn outward(&self, arc: Arc, leg: &Leg, tool: &Tool) -> bool {
        let half = tool.diameter.as_mm() / 4.0;
        let wide = Arc { radius: arc.radius + half, ..arc };
        let region = Region::Around(Flat::Round(wide, wide.at(0.0), wide.at(1.0)), (half - 0.003).max(0.0));
        let floor = leg.lowest().max(self.want.base) + 1e-6;
        self.piece.cleared(&region, floor.min(-1e-6), self.want.stock) != Answer::Within
    }

    fn at_speed(&mut self, motion: &Motion) {
        let (Some(wait), Some(started)) = (self.shop.control.dwell, self.started) else { return };
        if (motion.t0 - started).as_second() < wait.as_second() - 1e-3 {
            self.tell(
                motion.line,
                fault(
                    "proof/spin-up",
                    "The tool cuts before the spindle has its speed.",
                    "The first chips are many times too thick.",
                ),
            );
        }
        self.started = None;
    }

    fn plunge(&mut self, motion: &Motion, leg: &Leg, tool: &Tool) {
        let down = leg.to.z < leg.from.z - DUST;
        let wrong = match &tool.cutter {
            Cutter::Spot { .. } | Cutter::Drill { .. } if !leg.upright() => {
                Some("A drill is moved sideways in the work.")
            }
            Cutter::Reamer { .. } if !leg.upright() => Some("A reamer is moved sideways in the work."),
            Cutter::Countersink { .. } if !leg.upright() => Some("A countersink is moved sideways in the work."),
            Cutter::EndMill { centre_cutting: false, .. } if down => {
                Some("An end mill whose edges do not reach its middle goes down into the work.")
            }
            Cutter::ThreadMill { .. } if leg.upright() => Some("A thread mill goes straight down or up in the work."),
            _ => None,
        };
        if let Some(what) = wrong {
            self.tell(motion.line, fault("proof/plunge", what, "The tool breaks."));
        }
        if matches!(tool.cutter, Cutter::Drill { .. }) && leg.upright() && down {
            let top = leg.from.z.min(0.0);
            let began = match self.stroke {
                Some((at, began)) if at.distance(leg.to.plan()) < 0.01 => began,
                _ => top,
            };
            self.stroke = Some((leg.to.plan(), began));
            if began - leg.to.z > loads::STROKE_MOST * tool.diameter.as_mm() {
                self.tell(
                    motion.line,
                    fault(
                        "proof/no-peck",
                        format!("The drill goes {} mm deep in one stroke.", fixed(began - leg.to.z, 1)),
                        "Chips jam in its flutes, and it breaks in the hole.",
                    ),
                );
            }
        }
    }

    pub(super) fn say(&self, mm: f64) -> String {
        self.part.unit.say(Length::mm(mm))
    }
}

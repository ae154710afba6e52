//! Whether the machine reaches as far as the tools go.

use super::bench::{Bench, CHANGE, CLEAR};
use super::model::{Move, Operation};
use crate::diag::Diagnostic;
use crate::quantity::Length;
use crate::shop::Travel;

/// From where to where something goes along one axis.
#[derive(Clone, Copy, Debug)]
struct Way {
    low: Length,
    high: Length,
}

impl Way {
    const START: Self = Self { low: Length::mm(f64::INFINITY), high: Length::mm(f64::NEG_INFINITY) };

    fn take(&mut self, low: Length, high: Length) {
        self.low = self.low.min(low);
        self.high = self.high.max(high);
    }

    fn need(self) -> Length {
        (self.high - self.low).max(Length::ZERO)
    }
}

/// From where to where the middles of the tools go along X and along Y; nothing where none goes
/// along one of them.
pub(super) fn extent(operations: &[Operation]) -> Option<[(Length, Length); 2]> {
    let (mut x, mut y) = (Way::START, Way::START);
    for step in operations.iter().flat_map(|operation| &operation.moves) {
        match step {
            Move::Rapid { to } | Move::Feed { to, .. } => {
                if let Some(at) = to.x {
                    x.take(at, at);
                }
                if let Some(at) = to.y {
                    y.take(at, at);
                }
            }
            Move::Arc { to, centre, .. } => {
                // The whole circle: no arc of a plan goes far beyond what it uses of it.
                let radius = crate::quantity::trig::hypot((to.x - centre.x).as_mm(), (to.y - centre.y).as_mm());
                let radius = Length::mm(radius);
                x.take(centre.x - radius, centre.x + radius);
                y.take(centre.y - radius, centre.y + radius);
            }
            Move::Drill { places, .. } => {
                for place in places {
                    x.take(place.x, place.x);
                    y.take(place.y, place.y);
                }
            }
        }
    }
    (x.low <= x.high && y.low <= y.high).then_some([(x.low, x.high), (y.low, y.high)])
}

/// The way that the tools go must fit in the travel of the table and of the head. Where on the
/// table the work stands is for the bench to choose, so that only the extent counts.
pub(super) fn check(bench: &mut Bench<'_>, operations: &[Operation]) {
    let need = extent(operations).map(|ways| ways.map(|(low, high)| high - low));
    let [along, across_need] = need.unwrap_or([Length::ZERO; 2]);
    let span = |travel: Travel| travel.to - travel.from;
    let machine = &bench.shop.machine;
    let (wide, across, up) = (span(machine.x), span(machine.y), span(machine.z));
    for (axis, need, have) in [("X", along, wide), ("Y", across_need, across)] {
        if need > have {
            let headline =
                format!("The tool needs {} along {axis}; the machine has {}.", bench.say(need), bench.say(have));
            let help = format!("A part shorter by {} would do.", bench.say(need - have));
            bench.findings.push(Diagnostic::refused("plan/travel", headline).help(help));
        }
    }
    // The nose of the spindle: at its highest while a tool is changed, at its lowest with the
    // shortest tool at its deepest.
    let tools = bench.used(operations);
    let longest = tools.iter().fold(Length::ZERO, |longest, tool| longest.max(tool.stick_out));
    let mut nose = Way::START;
    for operation in operations {
        let Some(tool) = tools.iter().find(|tool| tool.number == operation.tool) else { continue };
        let high = CLEAR + CHANGE + longest;
        nose.take(operation.lowest() + tool.stick_out, high);
    }
    if nose.need() > up {
        let headline = format!(
            "The spindle needs {} of travel up and down; the machine has {}.",
            bench.say(nose.need()),
            bench.say(up)
        );
        let help = "Shallower holes, or tools that stand out more alike, would do.";
        bench.findings.push(Diagnostic::refused("plan/travel", headline).help(help));
    }
}

//! How a part is made in a shop: which tool, how fast, along which way, held how.
//!
//! In come a part and a shop; out goes a plan of resolved moves in the part's axes, each with the
//! feature that asks for it and the reason for its tool. This room never writes a word of a
//! program, and never knows a family.

mod bench;
mod hole;
mod model;
mod rabbet;
mod setup;
mod speed;
mod thread;
mod thread_mill;

pub use model::{At, Choice, Move, Operation, Plan, Position, SetupPlan, Turn, Work};
pub use speed::spindle_speed;
pub use thread::{Cut, Profile, centre_feed, cut, overcut, passes};

use bench::Bench;

use crate::diag::{Checked, Diagnostic};
use crate::part::Part;
use crate::shop::Shop;

/// Plans how a part is made: tools, speeds, moves and holding.
///
/// # Errors
/// As findings: a feature that no tool of the crib makes (with the tool that would do), a part
/// that the vise cannot hold or the machine cannot reach. Cautions tell what to mind.
pub fn plan(part: &Part, shop: &Shop) -> Checked<Plan> {
    let mut bench = Bench::new(part, shop);
    let mut spots = Vec::new();
    let mut drills = Vec::new();
    let mut threads = Vec::new();
    for (feature, holes) in part.holes() {
        hole::inside(&mut bench, feature, holes);
        spots.extend(hole::spot(&mut bench, feature, holes));
        let Some(drill) = hole::drill(&mut bench, feature, holes) else { continue };
        let drilled = drill.diameter;
        drills.push(drill.operation);
        threads.extend(thread_mill::mill(&mut bench, feature, holes, drilled));
    }
    let mut operations = spots;
    operations.sort_by_key(|operation| operation.tool);
    drills.sort_by_key(|operation| operation.tool);
    threads.sort_by_key(|operation| operation.tool);
    operations.append(&mut drills);
    operations.append(&mut threads);
    if part.tongues().count() > 1 {
        let headline = "The part has more than one tongue along the same bar.";
        bench.findings.push(Diagnostic::refused("plan/tongues", headline).help("Leave one of them."));
    }
    for (feature, tongue) in part.tongues() {
        operations.extend(rabbet::mill(&mut bench, feature, tongue));
    }
    // A group without a hole asks for nothing.
    operations.retain(|operation| !operation.moves.is_empty());
    let setup = setup::hold(&mut bench, &operations);
    let Some(setup) = setup else { return Checked { value: None, findings: bench.findings } };
    bench.cautions();
    let plan = Plan {
        tools: bench.used(&operations),
        setups: vec![SetupPlan { setup, operations }],
        choices: bench.choices,
        notes: bench.notes,
    };
    Checked::unless_refused(plan, bench.findings)
}

#[cfg(test)]
pub(crate) mod tests;

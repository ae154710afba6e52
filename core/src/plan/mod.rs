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
use crate::part::{Depth, Make, Part, Pose};
use crate::shop::Shop;

/// Plans how a part is made, setup by setup: tools, speeds, moves and holding.
///
/// # Errors
/// As findings: a feature that no tool of the crib makes (with the tool that would do), a part
/// that the vise cannot hold or the machine cannot reach. Cautions tell what to mind.
pub fn plan(part: &Part, shop: &Shop) -> Checked<Plan> {
    let mut plan = Plan::default();
    let mut findings = Vec::new();
    let mut number = 0;
    for pose in part.poses() {
        number += 1;
        let posed = part.posed(pose);
        let mut bench = Bench::new(&posed, shop);
        not_yet(&mut bench, part, pose);
        let operations = operations(&mut bench);
        if let Some(setup) = setup::hold(&mut bench, number, &operations) {
            bench.cautions();
            for tool in bench.used(&operations) {
                if plan.tools.iter().all(|known| known.number != tool.number) {
                    plan.tools.push(tool);
                }
            }
            let tools = bench.used(&operations);
            plan.setups.push(SetupPlan { pose, setup, tools, operations, notes: bench.notes });
        }
        plan.choices.append(&mut bench.choices);
        for finding in bench.findings {
            if !findings.contains(&finding) {
                findings.push(finding);
            }
        }
    }
    Checked::unless_refused(plan, findings)
}

/// What is cut in one setup, in order.
fn operations(bench: &mut Bench<'_>) -> Vec<Operation> {
    let part = bench.part;
    let mut spots = Vec::new();
    let mut drills = Vec::new();
    let mut threads = Vec::new();
    for (feature, holes) in part.holes() {
        hole::inside(bench, feature, holes);
        spots.extend(hole::spot(bench, feature, holes));
        let Some(drill) = hole::drill(bench, feature, holes) else { continue };
        let drilled = drill.diameter;
        drills.push(drill.operation);
        threads.extend(thread_mill::mill(bench, feature, holes, drilled));
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
        operations.extend(rabbet::mill(bench, feature, tongue));
    }
    // A group without a hole asks for nothing.
    operations.retain(|operation| !operation.moves.is_empty());
    operations
}

/// Refuses what this room cannot plan yet.
fn not_yet(bench: &mut Bench<'_>, part: &Part, pose: Pose) {
    let mut refuse = |what: &str| {
        let headline = format!("{what} cannot be planned yet.");
        bench.findings.push(Diagnostic::refused("plan/not-yet", headline));
    };
    if pose != Pose::Top {
        refuse("More than one setup");
    }
    if part.slots().next().is_some() {
        refuse("A slot");
    }
    for (_, holes) in part.holes() {
        if holes.depth != Depth::Through || holes.head.is_some() || matches!(holes.make, Make::Reamed { .. }) {
            refuse("A hole that is blind, reamed, counterbored or countersunk");
        }
    }
}

#[cfg(test)]
pub(crate) mod tests;

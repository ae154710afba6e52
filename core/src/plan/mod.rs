//! How a part is made in a shop: which tool, how fast, along which way, held how.
//!
//! In come a part and a shop; out goes a plan of resolved moves in the part's axes, each with the
//! feature that asks for it and the reason for its tool. This room never writes a word of a
//! program, and never knows a family.

mod bench;
mod chamfer;
mod drill;
mod end;
mod head;
mod held;
mod hole;
mod mill;
mod model;
mod name;
mod pocket;
mod rabbet;
mod ream;
mod setup;
mod slot;
mod speed;
mod thread;
mod thread_mill;
mod travel;

pub use bench::CHANGE;
pub use held::{Held, Reach, held, reach};
pub use model::{At, Choice, Move, Operation, Plan, Position, SetupPlan, Turn, Work};
pub use name::{load_file, program_file};
pub use speed::spindle_speed;
pub use thread::{Cut, Profile, centre_feed, cut, overcut, passes};

pub use crate::part::Place;

use bench::Bench;

use crate::diag::{Checked, Diagnostic};
use crate::part::{Part, Pose};
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
        let posed = part.posed(pose);
        let mut bench = Bench::new(part, &posed, pose, shop);
        let operations = operations(&mut bench);
        // An end that comes finished needs no setup.
        number += u32::from(!operations.is_empty());
        let setup = if operations.is_empty() { None } else { setup::hold(&mut bench, number, &operations) };
        if let Some(setup) = setup {
            bench.cautions();
            for tool in bench.used(&operations) {
                if plan.tools.iter().all(|known| known.number != tool.number) {
                    plan.tools.push(tool);
                }
            }
            let tools = bench.used(&operations);
            let datum = setup::datum(&bench);
            plan.setups.push(SetupPlan { pose, setup, tools, operations, datum, notes: bench.notes });
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

/// What is cut in one setup, in order: tool by tool within each kind of work.
fn operations(bench: &mut Bench<'_>) -> Vec<Operation> {
    let part = bench.part;
    if matches!(bench.pose, Pose::FirstEnd | Pose::SecondEnd) {
        return end::mill(bench);
    }
    let mut list = Vec::new();
    for (feature, holes) in part.holes() {
        // A group without a hole asks for nothing.
        if holes.places.is_empty() {
            continue;
        }
        hole::inside(bench, feature, holes);
        hole::make(bench, feature, holes, &mut list);
    }
    for (feature, slot) in part.slots() {
        list.extend(slot::mill(bench, feature, slot));
    }
    // The order of the kinds, then the tools; each group's own order stays.
    list.sort_by_key(|operation| (rank(operation.work), operation.tool));
    if part.tongues().count() > 1 {
        let headline = "The part has more than one tongue along the same bar.";
        bench.findings.push(Diagnostic::refused("plan/tongues", headline).help("Leave one of them."));
    }
    for (feature, tongue) in part.tongues() {
        list.extend(rabbet::mill(bench, feature, tongue));
    }
    list.retain(|operation| !operation.moves.is_empty());
    list
}

/// What comes first: a hole is started, made and sized before its entry is cut, and its thread
/// comes last, so that no later cut leaves a burr in it. Slots and rabbets take away the land that
/// the holes are started on, and follow.
const fn rank(work: Work) -> u8 {
    match work {
        Work::Spot => 0,
        Work::Drill => 1,
        Work::Bore => 2,
        Work::Ream => 3,
        Work::Counterbore | Work::Countersink => 4,
        Work::ThreadMill => 5,
        Work::SlotRough | Work::SlotFinish | Work::GrooveRough | Work::GrooveFinish => 6,
        Work::RabbetRough | Work::RabbetFinish | Work::EndRough | Work::EndFinish => 7,
    }
}

#[cfg(test)]
mod proof_tests;
#[cfg(test)]
mod shape_tests;
#[cfg(test)]
pub(crate) mod tests;

//! What a record tells of how its part is made: tools, programs, readings, time.

use super::{ProgramUse, Record, ToolUse, checked, inspection, piece_time, readings};
use crate::part::Part;
use crate::plan::{Plan, SetupPlan, program_file};
use crate::proof::Verdict;
use crate::shop::{Control, Cutter, Tool};

impl Record {
    /// The same part as it is made by a plan and measured by these verdicts, with its seal where it
    /// has one.
    #[must_use]
    pub fn planned(mut self, plan: &Plan, control: &Control, verdicts: &[&Verdict]) -> Self {
        let part = &self.part;
        let proved = verdicts.iter().all(|verdict| verdict.proved());
        let program = |setup: &SetupPlan| ProgramUse {
            file: program_file(setup.setup.number, proved),
            unit: control.unit.unwrap_or(part.unit),
            control: control.name.clone(),
            datum: format!("{}: {}", setup.setup.work_offset, setup.datum),
            pose: setup.pose,
            setup: setup.setup.clone(),
        };
        self.programs = plan.setups.iter().map(program).collect();
        self.tools = plan.tools.iter().map(|tool| tool_use(tool, part, plan)).collect();
        self.tapped_by_hand = plan.tapped_by_hand().map(str::to_owned).collect();
        self.first_piece = readings(part, &inspection(part, verdicts));
        self.first_piece_words = checked(verdicts);
        self.time = piece_time(verdicts);
        self.proved = proved;
        self.seal = self.seal.as_ref().map(|_| self.seal_of());
        self
    }
}

fn tool_use(tool: &Tool, part: &Part, plan: &Plan) -> ToolUse {
    let kind = match &tool.cutter {
        Cutter::Spot { .. } => "spot",
        Cutter::Drill { .. } => "drill",
        Cutter::EndMill { .. } => "end mill",
        Cutter::Reamer { .. } => "reamer",
        Cutter::Countersink { .. } => "countersink",
        Cutter::ThreadMill { .. } => "thread mill",
    };
    let first = plan.threads_of(tool.number).next();
    let milled = part.holes().find(|(feature, _)| Some(feature.id.as_str()) == first);
    let pitch = milled.and_then(|(_, holes)| holes.thread()).map(|(thread, _)| thread.pitch);
    ToolUse { number: tool.number, kind: kind.to_owned(), title: tool.title.clone(), diameter: tool.diameter, pitch }
}

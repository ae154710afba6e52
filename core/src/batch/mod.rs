//! From one piece to an order: bars, loads, times, what the first piece teaches, what goes into
//! the bag.
//!
//! In come a part, its plan, what the proof predicts, the shop and how many are wanted; out go
//! plain tables, each with its text ready for paper and as CSV. This room never writes a word of a
//! program, and never opens a file.

mod adjust;
mod count;
mod csv;
mod cut;
mod fill;
mod hardware;
mod length;
mod load;
mod offer;
mod pattern;
mod relax;
mod route;
mod time;

pub use adjust::{Adjustment, Correction, Judged, Verdict, adjust};
pub use count::{Count, MOST};
pub use csv::{adjustment_csv, cut_list_csv, hardware_csv, loads_csv, route_csv, times_csv};
pub use cut::{BarCut, Cut, CutList, Want, cut_list};
pub use hardware::{Item, hardware, label};
pub use length::{HeldLength, held_length};
pub use load::{Load, Way, load};
pub use route::{AIR, Step, route};
pub use time::{Learnt, SetupTime, ToolTime, learn, say_time};

use serde::{Deserialize, Serialize};

use crate::diag::{Checked, Diagnostic, nearest};
use crate::part::Part;
use crate::plan::Plan;
use crate::proof::Times;
use crate::quantity::{Length, Time};
use crate::shop::{Saw, Shop};

/// An order of equal pieces, worked out whole.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Batch {
    /// How many.
    pub count: Count,
    /// The bars.
    pub cut_list: CutList,
    /// Setup after setup: its times for one piece, and how it is loaded.
    pub setups: Vec<(SetupTime, Load)>,
    /// The route card: every step from the rack to the bag, with its time.
    pub route: Vec<Step>,
    /// What goes with the pieces.
    pub hardware: Vec<Item>,
    /// At the mill, all loads.
    pub mill: Time,
    /// Everything, mill and bench.
    pub total: Time,
}

impl Batch {
    /// Calls a program by another name on the route card: one that did not prove says so in its own.
    pub fn rename_program(&mut self, from: &str, to: &str) {
        for step in self.route.iter_mut().filter(|step| step.program.as_deref() == Some(from)) {
            step.program = Some(to.to_owned());
        }
    }
}

/// Works an order out. `times` are what the proof predicts of each setup's program for one piece,
/// in the order of the plan's setups; `per_load` is how many pieces shall stand on the table at a
/// time, where that is not left to the reckoning.
///
/// # Errors
/// As findings: the part's bar is not on the rack or too short, a load that does not fit.
pub fn batch(
    part: &Part,
    plan: &Plan,
    times: &[&Times],
    shop: &Shop,
    count: Count,
    per_load: Option<u32>,
) -> Checked<Batch> {
    let mut findings = Vec::new();
    let Some(bar) = shop.rack.iter().find(|bar| bar.name == part.blank.bar) else {
        let finding = Diagnostic::refused("batch/no-bar", format!("There is no bar `{}` on the rack.", part.blank.bar));
        let near = nearest(&part.blank.bar, shop.rack.iter().map(|bar| bar.name.as_str()));
        let help =
            near.map_or("Make the part anew with this rack.".to_owned(), |near| format!("The nearest is `{near}`."));
        return Checked::refuse(finding.help(help));
    };
    if shop.batch.saw.is_none() {
        findings.push(
            Diagnostic::caution("batch/saw", "The shop does not tell its saw; a usual band saw is taken.")
                .help("Add `saw: { kerf: 1.2 mm, trim: 5 mm, grip: 30 mm }` to the shop's file."),
        );
    }
    let saw = shop.batch.saw.unwrap_or(Saw::USUAL);
    // Where the ends are milled by a program, the blank says how long it is sawn.
    let milled = (part.blank.length - part.length.nominal) / 2.0;
    let saw = Saw { facing: if milled > Length::ZERO { milled } else { saw.facing }, ..saw };
    let want = Want { name: part.number.clone(), length: part.length.nominal, count: count.total() };
    let mut cut = cut_list(&[want], bar, &saw, part.unit);
    findings.append(&mut cut.findings);
    let mut setups = Vec::new();
    for (setup, times) in plan.setups.iter().zip(times) {
        let time = SetupTime::of(times, setup, shop);
        let mut loaded = load(part, setup, &time, shop, count.total(), per_load);
        findings.append(&mut loaded.findings);
        setups.extend(loaded.value.map(|load| (time, load)));
    }
    let Some(cut_list) = cut.value else { return Checked { value: None, findings } };
    let mill = setups.iter().map(|(_, load)| load.total).sum();
    let route = route(part, plan, &cut_list, &setups, shop, count);
    let total = route.iter().map(Step::total).sum();
    let hardware = hardware(part, count);
    Checked::unless_refused(Batch { count, cut_list, setups, route, hardware, mill, total }, findings)
}

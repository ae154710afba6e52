//! Thousands of slips put into good programs: those that change the piece or the safety are caught, and every one that is
//! not has its reason.
//!
//! The programs are three that were written by hand and those that our own plan makes of every example of every family.
//! Whether a slip matters is judged a second time and in another way; see `harm.rs`.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use barwright_core::part::Part;
use barwright_core::proof::{Bench, Tapping, prove_with, trace};
use barwright_core::quantity::Unit;
use barwright_core::shop::{Setup, Shop};

use super::harm::World;
use super::key::programs;
use super::made::{Made, all_made};
use super::{bench, mutants};

/// So many slips are tried: in a debug build, which takes twenty times as long, a share of them; `tests/run` tries all
/// in a release build.
const WANTED: usize = if cfg!(debug_assertions) { 400 } else { 8000 };

/// What came of the slips.
#[derive(Default)]
struct Tally {
    tried: usize,
    caught: usize,
    same: usize,
    reasons: BTreeMap<(&'static str, &'static str), usize>,
    kinds: BTreeMap<&'static str, usize>,
    missed: Vec<String>,
    survivors: Vec<String>,
}

#[test]
fn slips_in_programs_by_hand_are_caught() {
    let (part, setup) = (bench::key(), bench::setup());
    let mut tally = Tally::default();
    for (name, text, control) in programs() {
        let shop = bench::shop(control);
        tally.try_all(name, text, (&part, &shop, &setup), &Tapping::default(), WANTED / 12);
    }
    tally.report(WANTED / 5);
}

#[test]
fn slips_in_programs_of_every_family_are_caught() {
    let list = all_made();
    let mut tally = Tally::default();
    for Made { name, text, part, shop, setup, tapping } in &list {
        tally.try_all(name, text, (part, shop, setup), tapping, WANTED / list.len() + 1);
    }
    tally.report(WANTED);
}

impl Tally {
    fn try_all(
        &mut self,
        name: &str,
        text: &str,
        (part, shop, setup): (&Part, &Shop, &Setup),
        tapping: &Tapping,
        count: usize,
    ) {
        let bench = Bench::of(shop, setup, Unit::Mm);
        let good = trace(text, &bench);
        let world = World { part, shop, setup, good: &good };
        let lines: Vec<&str> = text.lines().collect();
        for mutant in mutants::some(text, count) {
            self.tried += 1;
            *self.kinds.entry(mutant.kind).or_default() += 1;
            let changed = mutant.text(&lines);
            if !prove_with(&changed, part, shop, setup, tapping).proved() {
                self.caught += 1;
                continue;
            }
            let told = format!("{name} line {}, {}: {}", mutant.line, mutant.kind, mutant.what);
            match world.reason(&trace(&changed, &bench)) {
                Ok(reason) => {
                    self.same += usize::from(reason.contains("exactly the same"));
                    *self.reasons.entry((reason, mutant.kind)).or_default() += 1;
                    self.survivors.push(format!("{told}: {reason}"));
                }
                Err(why) => self.missed.push(format!("{told}: {why}")),
            }
        }
    }

    fn report(&self, wanted: usize) {
        let matter = self.caught + self.missed.len();
        let mut report = format!(
            "{} slips: {} caught, {} missed, {} do no harm, {} of these change nothing at all\n",
            self.tried,
            self.caught,
            self.missed.len(),
            self.survivors.len(),
            self.same
        );
        for (kind, count) in &self.kinds {
            writeln!(report, "{count:6}  {kind}").expect("a string takes it");
        }
        report += "of those that do no harm:\n";
        for ((reason, kind), count) in &self.reasons {
            writeln!(report, "{count:6}  {kind}: {reason}").expect("a string takes it");
        }
        report += "missed:\n";
        report += &self.missed.join("\n");
        show(&report);
        show(&self.survivors.join("\n"));
        assert!(self.tried >= wanted, "{wanted} slips at least are wanted, not {}", self.tried);
        assert!(self.missed.len() * 1000 <= matter * 5, "99.5 % are to be caught:\n{report}");
    }
}

/// For whoever runs this test with its output shown.
#[expect(clippy::print_stdout, reason = "the report of the test")]
fn show(report: &str) {
    println!("{report}");
}

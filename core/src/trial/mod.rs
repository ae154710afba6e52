//! Trying a family out: at the limits of its sizes, at random, and where it seems to have holes.
//!
//! In come a family, the bars on the rack and a number of tries; out goes a [`Report`] of where it
//! breaks: usual sizes and examples that are refused, rules that nothing can break, sizes without
//! effect, ranges in which everything is refused, formulas without an answer, values that nobody
//! reads. This room never draws or plans a part, and its dice fall the same way on every run.

mod dice;
mod effect;
mod point;
mod run;
mod tally;
mod told;
mod unread;

use std::sync::Arc;

use crate::diag::Diagnostic;
use crate::family::Family;
use crate::standards::stock::Bar;

/// What came of trying a family out.
#[derive(Clone, Debug)]
pub struct Report {
    /// How many sets of sizes were tried.
    pub points: usize,
    /// How many of them gave a part.
    pub made: usize,
    /// Where it breaks: refusals where nobody could use it so, cautions elsewhere; in the order of
    /// the file.
    pub findings: Vec<Diagnostic>,
}

/// Tries a family at about so many points; the usual sizes and the examples are always tried.
pub fn try_out(family: &Family, rack: &[Bar], points: usize) -> Report {
    let rack: Arc<[Bar]> = rack.into();
    let mut run = run::Run::new(family, &rack);
    let mut findings = run.promised();
    run.limits();
    let effects = effect::effects(&mut run);
    let left = points.saturating_sub(run.tally.points);
    run.anywhere(left / 2);
    run.break_rules(left / 6);
    run.fill(points);
    findings.extend(told::findings(&run, &effects));
    findings.extend(unread::unread(family));
    findings.sort_by_key(|finding| finding.labels.first().map_or(0, |label| label.span.start));
    Report { points: run.tally.points, made: run.tally.made, findings }
}

#[cfg(test)]
mod tests;

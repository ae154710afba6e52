//! What the readings of a first piece say about the tools, and what they cannot say.
//!
//! A wall that is milled lies where its cutter's radius puts it, a floor where its tool's length
//! does, a thread where the thread mill's radius does: these are corrected. A hole is as wide as
//! its drill cuts and lies where the datum and the axes put it: no offset of a tool mends that, and
//! it is said so.

mod place;
mod read;
mod size;

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use crate::diag::{Checked, Diagnostic};
use crate::part::{Axis, Part};
use crate::plan::Plan;
use crate::quantity::{Length, Unit};
use crate::shop::Shop;

/// What a reading comes to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Verdict {
    /// Every reading within the limits: leave it.
    Good,
    /// Outside, and a correction mends the next piece.
    Corrected,
    /// Outside, and nothing that is typed at the control mends it: the cause must be found before the
    /// next piece.
    NotByOffset,
}

/// A size with what was read.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Judged {
    /// Its name.
    pub name: String,
    /// In plain words.
    pub title: String,
    /// Smallest good size; the same as `most` for a gauge.
    pub least: Length,
    /// Largest good size.
    pub most: Length,
    /// What the program aims at.
    pub aim: Length,
    /// Each reading; none for a gauge.
    #[serde(default)]
    pub read: Vec<Length>,
    /// Their mean, which a correction counts from; nothing for a gauge.
    pub measured: Option<Length>,
    /// What it comes to.
    pub verdict: Verdict,
    /// Why, with the numbers.
    pub text: String,
}

/// Something to change before the next piece.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Correction {
    /// The diameter of a cutter as the shop's file has it; the next program aims with it.
    Diameter {
        /// Number of the tool.
        tool: u32,
        /// In words.
        title: String,
        /// As it stands.
        from: Length,
        /// As it should stand.
        to: Length,
        /// The arithmetic.
        why: String,
    },
    /// The length of a tool in the control's table; the same program goes on.
    LengthOffset {
        /// Number of the tool, and of its offset.
        tool: u32,
        /// In words.
        title: String,
        /// Added to the offset: a longer tool has the larger one.
        by: Length,
        /// The arithmetic.
        why: String,
    },
    /// The work's zero; the same program goes on.
    Datum {
        /// In which setup; nothing where it is that of all.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        setup: Option<u32>,
        /// Along which axis.
        axis: Axis,
        /// Added to the coordinate of the zero in the machine.
        by: Length,
        /// The arithmetic.
        why: String,
    },
}

/// What the readings come to.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Adjustment {
    /// Each size that was read.
    pub judged: Vec<Judged>,
    /// What to change.
    pub corrections: Vec<Correction>,
}

impl Adjustment {
    /// Whether all that was read is good.
    pub fn good(&self) -> bool {
        self.judged.iter().all(|judged| judged.verdict == Verdict::Good)
    }

    /// Whether the work stops here: something is out, and no correction mends it.
    pub fn stops(&self) -> bool {
        self.judged.iter().any(|judged| judged.verdict == Verdict::NotByOffset)
    }

    /// Whether the next program differs: a cutter has another diameter.
    pub fn changes_program(&self) -> bool {
        self.corrections.iter().any(|correction| matches!(correction, Correction::Diameter { .. }))
    }

    /// The shop with the corrected diameters, for the next program.
    #[must_use]
    pub fn applied(&self, shop: &Shop) -> Shop {
        let mut shop = shop.clone();
        for correction in &self.corrections {
            if let Correction::Diameter { tool, to, .. } = correction {
                for known in shop.tools.iter_mut().filter(|known| known.number == *tool) {
                    // A shank that was as thick as the cutter is as thick as the holder found it.
                    known.diameter = *to;
                    known.shank = known.shank.max(*to);
                }
            }
        }
        shop
    }
}

/// Judges the readings of a first piece: name and what was read, as typed, bare lengths in the
/// part's unit; what is to be changed is told in that of the control, `mill`. A name that stands
/// more than once is a size read in several places. For threads `holes.go=no` and
/// `holes.not_go=yes` say what the plug gauge did.
///
/// # Errors
/// As findings: a name that is no size of the part, what is no length, a reading so far off that
/// something else must be wrong.
pub fn adjust(part: &Part, plan: &Plan, mill: Unit, readings: &[(String, String)]) -> Checked<Adjustment> {
    let (read, mut findings) = read::read(part, readings);
    if read.is_empty() && findings.is_empty() {
        findings.push(
            Diagnostic::refused("adjust/nothing", "No reading is given.")
                .help("Write NAME=VALUE, as on the inspection sheet."),
        );
    }
    let mut done = Adjustment::default();
    let mut places = BTreeMap::new();
    for reading in &read {
        if let Some(axis) = place::axis_of(reading) {
            places.entry((place::face_of(part, reading), axis)).or_insert_with(Vec::new).push(reading);
        } else {
            size::judge((part, plan, mill), reading, &mut done, &mut findings);
        }
    }
    size::by_their_mean(mill, &mut done);
    for ((face, axis), readings) in places {
        place::judge((part, plan, mill), (face, axis), &readings, &mut done, &mut findings);
    }
    size::all_alike(mill, &mut done);
    Checked::unless_refused(done, findings)
}

#[cfg(test)]
mod tests;

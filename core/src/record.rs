//! The record of a part: everything that was asked, derived, judged and planned, in one file.
//!
//! In come a variant, its part, its plan and the setups of its programs; out goes a [`Record`]
//! that is written as `part.json`, read back by whoever proves or traces a program, and named by
//! its digest. This room never derives or plans anything itself.
//!
//! Lengths are plain numbers of millimetres, angles of radians, forces of newtons, moments of
//! newton millimetres, masses of grams.

mod belongs;
mod made;
mod seal;

use std::collections::BTreeMap;
use std::fmt::Write;

pub use belongs::{
    CellDifference, Difference, Differences, cell_differences, differences, digests_of, first_difference, named_digest,
    named_revision,
};

use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

use crate::diag::Origin;
use crate::formula::Value;
use crate::part::{
    Characteristic, Measure, Part, Pose, attributes, bores, called, gauge, inspected, looked_at_with, only_gauged,
};
use crate::plan::Plan;
use crate::proof::{self, Verdict};
use crate::quantity::{Length, Time, Unit, trimmed};
use crate::shop::{Control, Setup, Stand};
use crate::variant::Variant;

/// The name of the file format.
pub const FORMAT: &str = "barwright part";

/// The version of the file format; it grows when a reader of the last version would be misled.
pub const VERSION: u32 = 1;

/// What stands instead of a figure where a gauge judges that enters or does not.
pub const BY_GAUGE: &str = "gauge";

/// The record of a part.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Record {
    /// [`FORMAT`].
    pub format: String,
    /// [`VERSION`].
    pub version: u32,
    /// Names this variant: what drawing, program and papers carry.
    pub digest: String,
    /// Names what a program is proved by beside the part: setups, loads, what is tapped by hand,
    /// tools, order, verdict and time ([`Record::seal_of`]). Records that were written first have none.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub seal: Option<String>,
    /// The unit of every bare number in this file that is a length.
    pub lengths_in: String,
    /// What was given, and what was taken as usual.
    pub parameters: Vec<Parameter>,
    /// What follows from it.
    pub derived: Vec<Derived>,
    /// What must be so, and whether it is.
    pub rules: Vec<Rule>,
    /// The part.
    pub part: Part,
    /// The tools that its programs use.
    pub tools: Vec<ToolUse>,
    /// The features whose threads a person taps at the bench; the programs mill all others.
    #[serde(default)]
    pub tapped_by_hand: Vec<String>,
    /// Its programs.
    pub programs: Vec<ProgramUse>,
    /// The programs of an order's loads of several pieces.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub loads: Vec<LoadUse>,
    /// The order that it was made for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub order: Option<Ordered>,
    /// Whether the programs were read back and proved.
    pub proved: bool,
    /// The virtual first piece: every size measured on the piece that the motion makes.
    pub first_piece: Vec<Reading>,
    /// What of it is right or wrong and no length.
    #[serde(default)]
    pub first_piece_words: Vec<Checked>,
    /// Predicted time for one piece.
    pub time: PieceTime,
}

/// A value in a record.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(untagged)]
pub enum Datum {
    /// A number, in the unit that stands beside it.
    Number(f64),
    /// Yes or no.
    Truth(bool),
    /// A word, a thread, a material, a fit.
    Text(String),
}

/// A parameter in a record.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Parameter {
    /// Its name.
    pub name: String,
    /// What was typed; nothing where the usual value was taken.
    pub typed: Option<String>,
    /// Whether the usual value was taken.
    pub usual: bool,
    /// The value.
    pub value: Datum,
    /// Its unit.
    pub unit: String,
    /// As people read it.
    pub text: String,
}

/// A derived value in a record.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Derived {
    /// Its name.
    pub name: String,
    /// In plain words.
    pub title: String,
    /// The value.
    pub value: Datum,
    /// Its unit.
    pub unit: String,
    /// Upper and lower limit deviation, where it carries its own.
    pub limits: Option<(Length, Length)>,
    /// As people read it.
    pub text: String,
    /// The formula.
    pub formula: String,
    /// Why it is so.
    pub why: Option<String>,
    /// Where the formula comes from.
    pub source: Option<String>,
}

/// A rule in a record.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Rule {
    /// Its name.
    pub name: String,
    /// `holds`, `caution` or `refused`.
    pub verdict: String,
    /// The condition.
    pub must: String,
    /// The condition with its numbers, or why it does not apply.
    pub numbers: String,
    /// Whether it says anything of this part; left out where it does.
    #[serde(default = "yes", skip_serializing_if = "is_yes")]
    pub applies: bool,
    /// What it means that it does not hold; empty where it holds.
    pub say: String,
    /// Where the rule comes from.
    pub source: String,
}

const fn yes() -> bool {
    true
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde gives it by reference")]
const fn is_yes(truth: &bool) -> bool {
    *truth
}

/// A tool in a record.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct ToolUse {
    /// Its number.
    pub number: u32,
    /// Its kind: `spot`, `drill`, `end mill`, `thread mill`.
    pub kind: String,
    /// In words.
    pub title: String,
    /// Diameter.
    pub diameter: Length,
    /// Pitch of the thread it mills here, for a thread mill.
    pub pitch: Option<Length>,
}

/// A program in a record.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct ProgramUse {
    /// Name of the file.
    pub file: String,
    /// Unit of its numbers.
    pub unit: Unit,
    /// The control profile that it is written for.
    pub control: String,
    /// Where its zero lies.
    pub datum: String,
    /// Which side of the part is up.
    #[serde(default)]
    pub pose: Pose,
    /// How the part stands in the vise.
    pub setup: Setup,
}

/// The program of a load in a record.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct LoadUse {
    /// Name of the file.
    pub file: String,
    /// Number of the setup.
    pub setup: u32,
    /// How many pieces it makes.
    pub pieces: u32,
    /// Unit of its numbers.
    pub unit: Unit,
    /// The control profile that it is written for.
    pub control: String,
    /// Where its zero lies.
    pub datum: String,
    /// Which side of the pieces is up.
    pub pose: Pose,
    /// The places that hold a piece.
    pub stands: Vec<Stand>,
}

/// What was ordered, and what was stamped on its papers: with the part it is all that they are
/// made of, beside the shop.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Ordered {
    /// Good pieces to deliver.
    pub pieces: u32,
    /// Made beyond them.
    pub spares: u32,
    /// Pieces of a load, where that was asked for.
    pub per_load: Option<u32>,
    /// One run of the programs for one piece as it was timed, where it was.
    pub timed: Option<Time>,
    /// Revision on the papers.
    pub revision: String,
    /// Date on the papers, where one was given.
    pub date: Option<String>,
    /// Who drew it, where that was given.
    pub drawn_by: Option<String>,
}

/// A size measured on the virtual first piece.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Reading {
    /// The name of the size.
    pub name: String,
    /// In plain words.
    pub title: String,
    /// Nominal size.
    pub nominal: Length,
    /// Smallest good size.
    pub least: Length,
    /// Largest good size.
    pub most: Length,
    /// What it measures; nothing where it is left to the bench.
    pub measured: Option<Length>,
    /// Whether it is good.
    pub holds: bool,
}

/// Something that is no length, looked at on the virtual first piece.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Checked {
    /// Its name.
    pub name: String,
    /// In plain words.
    pub title: String,
    /// What it must be.
    pub wanted: String,
    /// What it is; nothing where it is left to the bench.
    pub found: Option<String>,
    /// Whether it is good.
    pub holds: bool,
}

/// Predicted times of one piece at the machine, in seconds.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct PieceTime {
    /// Number of each tool in turn, and its time with the change before it.
    pub sections: Vec<(u32, Time)>,
    /// What the program's comments tell apart: tool, words, time.
    #[serde(default)]
    pub operations: Vec<(u32, String, Time)>,
    /// Of all, changing tools by hand; a batch that runs each tool over all pieces shares it.
    #[serde(default)]
    pub changes: Time,
    /// Altogether.
    pub total: Time,
}

impl Record {
    /// The record of a part.
    pub fn new(variant: &Variant, part: &Part, plan: &Plan, control: &Control, verdicts: &[&Verdict]) -> Self {
        let (parameters, derived): (Vec<_>, Vec<_>) = variant.entries.iter().partition(|entry| entry.parameter);
        let parameters = parameters
            .into_iter()
            .map(|entry| {
                let (value, unit) = datum(&entry.value);
                Parameter {
                    name: entry.name.clone(),
                    typed: entry.typed.clone(),
                    usual: entry.typed.is_none(),
                    value,
                    unit,
                    text: entry.text.clone(),
                }
            })
            .collect();
        let derived = derived
            .into_iter()
            .map(|entry| {
                let (value, unit) = datum(&entry.value);
                Derived {
                    name: entry.name.clone(),
                    title: entry.title.clone(),
                    value,
                    unit,
                    limits: entry.limits,
                    text: entry.text.clone(),
                    formula: entry.formula.clone().unwrap_or_default(),
                    why: entry.why.clone(),
                    source: entry.source.clone(),
                }
            })
            .collect();
        let rules = variant
            .verdicts
            .iter()
            .map(|verdict| Rule {
                name: verdict.rule.clone(),
                verdict: if verdict.holds { "holds" } else { verdict.level.word() }.to_owned(),
                must: verdict.must.clone(),
                numbers: verdict.numbers.clone(),
                applies: verdict.applies,
                say: verdict.say.clone(),
                source: verdict.source.clone(),
            })
            .collect();
        let bare = Self {
            format: FORMAT.to_owned(),
            version: VERSION,
            digest: digest(part),
            seal: Some(String::new()),
            lengths_in: "mm".to_owned(),
            parameters,
            derived,
            rules,
            part: part.clone(),
            tools: Vec::new(),
            tapped_by_hand: Vec::new(),
            programs: Vec::new(),
            loads: Vec::new(),
            order: None,
            proved: false,
            first_piece: Vec::new(),
            first_piece_words: Vec::new(),
            time: PieceTime::default(),
        };
        bare.planned(plan, control, verdicts)
    }

    /// The sheet of the first piece as CSV, lengths in the unit of the part, in the words of the
    /// printed one: what each size must be, with what it is measured, what the proof found on the
    /// piece that the program's own text makes, and room for what is read at the bench. Where the
    /// proof found nothing it says nothing. `numbers` are those of the balloons on the drawing.
    pub fn first_piece_csv(&self, numbers: &[(String, Measure)]) -> String {
        let unit = self.part.unit;
        let say = |length: Length| trimmed(unit.of(length), unit.decimals() + 1);
        let program = if self.proved { "proved" } else { "UNPROVED" };
        let verdict = |found: bool, holds: bool| match (found, holds) {
            (false, _) => "",
            (true, true) => "yes",
            (true, false) => "NO",
        };
        let known = inspected(&self.part);
        let mut text = format!(
            "no,name,characteristic,unit,nominal,least,most,with what,proof,proof good,read,good,part {},program {program}\r\n",
            self.digest
        );
        for (at, reading) in self.first_piece.iter().enumerate() {
            let characteristic = known.get(at).filter(|one| one.size.name == reading.name);
            let number = characteristic.and_then(|one| numbers.iter().find(|(_, measure)| *measure == one.measure));
            let bore = characteristic.and_then(|one| {
                let width = known.iter().position(|other| bores(&other.measure, &one.measure))?;
                self.first_piece.get(width)?.measured
            });
            let read = characteristic.filter(|one| only_gauged(&one.measure)).map_or("", |_| BY_GAUGE);
            let _infallible = write!(
                text,
                "{},{},{},{},{},{},{},{},{},{},{read},,,\r\n",
                number.map_or("", |(number, _)| number),
                cell(&reading.name),
                cell(&reading.title),
                unit.sign(),
                say(reading.nominal),
                say(reading.least),
                say(reading.most),
                cell(&characteristic.map_or_else(String::new, |one| gauge(&self.part, one, bore))),
                reading.measured.map_or_else(String::new, say),
                verdict(reading.measured.is_some(), reading.holds)
            );
        }
        let looked_at = attributes(&self.part);
        for check in &self.first_piece_words {
            let attribute = looked_at.iter().find(|one| one.name == check.name);
            let _infallible = write!(
                text,
                ",{},{},,{},,,{},{},{},,,,\r\n",
                cell(&check.name),
                cell(&check.title),
                cell(&check.wanted),
                cell(&attribute.map_or_else(String::new, |one| looked_at_with(&self.part, one))),
                cell(check.found.as_deref().unwrap_or("")),
                verdict(check.found.is_some(), check.holds)
            );
        }
        text
    }

    /// The record as JSON, with a line feed at its end.
    ///
    /// # Panics
    /// Never: a record is plain data with text keys, and JSON holds all of it.
    pub fn json(&self) -> String {
        // Plain data with text keys: there is nothing in it that JSON cannot hold.
        serde_json::to_string_pretty(self).expect("a record is plain data") + "\n"
    }
}

/// The readings of all setups in the order of the whole part's characteristics, each size once: as
/// the last setup that measures it leaves it.
pub fn inspection(part: &Part, verdicts: &[&Verdict]) -> Vec<proof::Reading> {
    let mut known: BTreeMap<&str, Vec<&proof::Reading>> = BTreeMap::new();
    for reading in verdicts.iter().flat_map(|verdict| &verdict.inspection) {
        known.entry(&reading.characteristic.size.name).or_default().push(reading);
    }
    let of = |characteristic: Characteristic| {
        let all = known.get(characteristic.size.name.as_str()).map_or(&[][..], Vec::as_slice);
        // Holes of a group share the name of their diameter; an extent turns with the part.
        let turns = matches!(characteristic.measure, Measure::Extent(_));
        let all = || all.iter().filter(|one| turns || one.characteristic.measure == characteristic.measure);
        let measured = all().rfind(|reading| reading.measured.is_some()).or_else(|| all().next_back());
        let Some(reading) = measured else {
            return proof::Reading { characteristic, measured: None, holds: false };
        };
        // A place on a side that was turned up was measured from the other side of its axis.
        let turned = (reading.characteristic.size.nominal + characteristic.size.nominal).abs() < Length::mm(1e-9);
        let measured = reading.measured.map(|measured| if turned { -measured } else { measured });
        let holds = reading.holds;
        proof::Reading { characteristic, measured, holds }
    };
    inspected(part).into_iter().map(of).collect()
}

fn readings(part: &Part, inspection: &[proof::Reading]) -> Vec<Reading> {
    // Nine decimals: the dust of binary arithmetic does not reach a file.
    let tidy = |length: Length| Length::mm((length.as_mm() * 1e9).round() / 1e9);
    inspection
        .iter()
        .map(|reading| {
            let size = &reading.characteristic.size;
            Reading {
                name: size.name.clone(),
                title: called(part, &reading.characteristic),
                nominal: size.nominal,
                least: tidy(size.least()),
                most: tidy(size.most()),
                measured: reading.measured.map(tidy),
                holds: reading.holds,
            }
        })
        .collect()
}

fn checked(verdicts: &[&Verdict]) -> Vec<Checked> {
    let one = |check: &proof::Check| Checked {
        name: check.attribute.name.clone(),
        title: check.attribute.title.clone(),
        wanted: check.attribute.wanted.clone(),
        found: check.found.clone(),
        holds: check.holds,
    };
    verdicts.iter().flat_map(|verdict| &verdict.checks).map(one).collect()
}

fn piece_time(verdicts: &[&Verdict]) -> PieceTime {
    let times = || verdicts.iter().map(|verdict| &verdict.times);
    let operations = times().flat_map(|times| &times.operations);
    PieceTime {
        sections: times().flat_map(|times| times.sections.iter().copied()).collect(),
        operations: operations.map(|one| (one.tool, one.words.clone(), one.time)).collect(),
        changes: times().fold(Time::ZERO, |sum, times| sum + times.changes),
        total: times().fold(Time::ZERO, |sum, times| sum + times.total),
    }
}

/// A text as a cell of CSV (RFC 4180): quoted where it must be, and never read as a formula.
fn cell(text: &str) -> String {
    let text = if text.starts_with(['=', '+', '-', '@', '\t', '\r']) { format!("'{text}") } else { text.to_owned() };
    if text.contains([',', '"', '\n', '\r']) { format!("\"{}\"", text.replace('"', "\"\"")) } else { text }
}

/// Names a part by what it is: twelve hexadecimal digits of the SHA-256 of its data, wherever its
/// family file lies and whatever its lines are numbered.
///
/// # Panics
/// Never: a part is plain data with text keys, and JSON holds all of it.
pub fn digest(part: &Part) -> String {
    let mut bare = part.clone();
    for feature in &mut bare.features {
        feature.origin = Origin::default();
    }
    named(&serde_json::to_vec(&bare).expect("a part is plain data"))
}

/// Twelve hexadecimal digits of the SHA-256 of some bytes.
fn named(data: &[u8]) -> String {
    let hash = Sha256::digest(data);
    hash.iter().take(6).fold(String::new(), |mut text, byte| {
        let _infallible = write!(text, "{byte:02x}");
        text
    })
}

fn datum(value: &Value) -> (Datum, String) {
    match value {
        Value::Quantity(quantity) => {
            let unit = match quantity.dim.name() {
                Some("number") => "",
                Some("length") => "mm",
                Some("area") => "mm2",
                Some("volume") => "mm3",
                Some("angle") => "rad",
                Some("force") => "N",
                Some("torque") => "N mm",
                Some("stress") => "N/mm2",
                Some("mass") => "g",
                Some("density") => "g/mm3",
                Some("time") => "s",
                Some("feed") => "mm/s",
                _ => "mm, rad, N, g, s",
            };
            // Twelve decimals: the dust of binary arithmetic does not reach a file.
            (Datum::Number((quantity.value * 1e12).round() / 1e12), unit.to_owned())
        }
        Value::Truth(truth) => (Datum::Truth(*truth), String::new()),
        other => (Datum::Text(crate::formula::say_value(other, Unit::Mm)), String::new()),
    }
}

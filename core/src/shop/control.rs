//! How a control is spoken to: a profile of what it can do, never of a product.

use serde::{Deserialize, Serialize};

use super::read::{self, File};
use crate::quantity::{Time, Unit};
use crate::yaml::Fields;

/// Whether holes are drilled by cycles.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Cycles {
    /// G81, G82, G83 with G98 and G99.
    Canned,
    /// Every move written out.
    WrittenOut,
}

/// What I, J and K count from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum ArcCentre {
    /// From the start of the arc: the only reading of NISTIR 6556.
    Incremental,
    /// From the program's zero, on controls that are set so (`G90.1`).
    Absolute,
}

/// How a full circle is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum FullCircle {
    /// One arc.
    One,
    /// Two halves.
    Halves,
    /// Four quarters.
    Quarters,
}

/// How the length of a tool is taken into account.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum LengthOffset {
    /// `G43 H…` from a table.
    Table,
    /// None: the tool is touched off on the work after each change.
    TouchOff,
}

/// How a tool is asked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum ToolChange {
    /// `T… M6`.
    Change,
    /// A stop, `T… M0`, with a comment.
    Stop,
}

/// How a comment is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Comments {
    /// In round brackets.
    Brackets,
    /// After a semicolon, to the end of the line.
    Semicolon,
    /// None at all.
    None,
}

/// How lines are numbered.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct LineNumbers {
    /// Number of the first line.
    pub start: u32,
    /// Step to the next.
    pub step: u32,
}

/// A control profile.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Control {
    /// Short name: `canned-numbered`.
    pub name: String,
    /// What it can do, in words.
    pub title: String,
    /// The unit of the program; `None`: the unit of the part.
    pub unit: Option<Unit>,
    /// Decimals of a coordinate in millimetres.
    pub decimals_mm: usize,
    /// Decimals of a coordinate in inches.
    pub decimals_inch: usize,
    /// Drilling.
    pub cycles: Cycles,
    /// Arc centres.
    pub arc_centre: ArcCentre,
    /// Full circles.
    pub full_circle: FullCircle,
    /// Line numbers, if any.
    pub line_numbers: Option<LineNumbers>,
    /// Comments.
    pub comments: Comments,
    /// Longest comment, in characters.
    pub comment_length: usize,
    /// Longest line, in characters.
    pub line_length: usize,
    /// Tool changes.
    pub tool_change: ToolChange,
    /// Length offsets.
    pub length_offset: LengthOffset,
    /// Work offset word: `G54` … `G59`.
    pub work_offset: String,
    /// A word for the path mode, if one is wanted: `G64`, `G61`.
    pub path_mode: Option<String>,
    /// Lines before everything else; `%` may stand here.
    pub start: Vec<String>,
    /// Lines after everything else, with the end word: `M30`, `%`.
    pub end: Vec<String>,
    /// Waits for the spindle after each start with G4; the time in seconds.
    pub dwell: Option<Time>,
    /// Coolant word, if coolant is wanted: `M8`, `M7`.
    pub coolant: Option<String>,
    /// Whether the control has a probe and G38.2.
    pub probing: bool,
}

const UNITS: &[(&str, Unit)] = &[("mm", Unit::Mm), ("in", Unit::Inch)];
const CYCLES: &[(&str, Cycles)] = &[("canned", Cycles::Canned), ("written-out", Cycles::WrittenOut)];
const CENTRES: &[(&str, ArcCentre)] = &[("incremental", ArcCentre::Incremental), ("absolute", ArcCentre::Absolute)];
const CIRCLES: &[(&str, FullCircle)] =
    &[("one", FullCircle::One), ("halves", FullCircle::Halves), ("quarters", FullCircle::Quarters)];
const LENGTHS: &[(&str, LengthOffset)] = &[("table", LengthOffset::Table), ("touch-off", LengthOffset::TouchOff)];
const CHANGES: &[(&str, ToolChange)] = &[("change", ToolChange::Change), ("stop", ToolChange::Stop)];
const COMMENTS: &[(&str, Comments)] =
    &[("brackets", Comments::Brackets), ("semicolon", Comments::Semicolon), ("none", Comments::None)];
const OFFSETS: &[(&str, &str)] =
    &[("G54", "G54"), ("G55", "G55"), ("G56", "G56"), ("G57", "G57"), ("G58", "G58"), ("G59", "G59")];
const PATHS: &[(&str, &str)] = &[("G61", "G61"), ("G61.1", "G61.1"), ("G64", "G64")];
const COOLANTS: &[(&str, &str)] = &[("M7", "M7"), ("M8", "M8")];

impl Control {
    /// The unit of its programs and of its screen, for a part whose papers speak another.
    pub fn speaks(&self, part: Unit) -> Unit {
        self.unit.unwrap_or(part)
    }

    /// What is said where its programs and the papers of a part speak different units.
    pub fn two_units(&self, part: Unit) -> Option<String> {
        let own = self.speaks(part);
        (own != part).then(|| format!("Program and screen in {}, drawing in {}.", own.words(), part.words()))
    }

    /// Reads a `control-….yaml`.
    pub(super) fn read(file: &File<'_>) -> Option<Self> {
        let mut fields = file.fields("the control");
        let name = fields.need_text("name");
        let title = fields.need_text("title");
        let unit = fields.choice("unit", UNITS);
        let decimals_mm = decimals(&mut fields, "decimals_mm", 3);
        let decimals_inch = decimals(&mut fields, "decimals_inch", 4);
        let cycles = fields.need("cycles").and_then(|_| fields.choice("cycles", CYCLES));
        let arc_centre = fields.need("arc_centre").and_then(|_| fields.choice("arc_centre", CENTRES));
        let full_circle = fields.need("full_circle").and_then(|_| fields.choice("full_circle", CIRCLES));
        let line_numbers = line_numbers(file, &mut fields);
        let comments = fields.need("comments").and_then(|_| fields.choice("comments", COMMENTS));
        let comment_length = width(&mut fields, "comment_length", 20);
        let line_length = width(&mut fields, "line_length", 76);
        let tool_change = fields.need("tool_change").and_then(|_| fields.choice("tool_change", CHANGES));
        let length_offset = fields.need("length_offset").and_then(|_| fields.choice("length_offset", LENGTHS));
        let work_offset = fields.need("work_offset").and_then(|_| fields.choice("work_offset", OFFSETS));
        let path_mode = fields.choice("path_mode", PATHS).map(str::to_owned);
        let start = lines(&mut fields, "start", line_length);
        let end = lines(&mut fields, "end", line_length);
        let dwell = read::maybe_time(&mut fields, "dwell");
        let coolant = fields.choice("coolant", COOLANTS).map(str::to_owned);
        let probing = fields.flag("probing").unwrap_or(false);
        if let (Some(comment), Some(line)) = (comment_length, line_length)
            && comment + 2 > line
        {
            let span = read::span_of(&mut fields, "comment_length");
            fields.refuse("shop/control", "A comment with its brackets is longer than a line.", span, "too long", "");
        }
        ends(&mut fields, &start, &end);
        fields.finish();
        Some(Self {
            name: name?,
            title: title?,
            unit,
            decimals_mm: decimals_mm?,
            decimals_inch: decimals_inch?,
            cycles: cycles?,
            arc_centre: arc_centre?,
            full_circle: full_circle?,
            line_numbers,
            comments: comments?,
            comment_length: comment_length?,
            line_length: line_length?,
            tool_change: tool_change?,
            length_offset: length_offset?,
            work_offset: work_offset?.to_owned(),
            path_mode,
            start,
            end,
            dwell,
            coolant,
            probing,
        })
    }
}

fn decimals(fields: &mut Fields<'_>, key: &'static str, least: u32) -> Option<usize> {
    fields.need(key)?;
    let count = fields.count(key)?;
    if !(least..=6).contains(&count) {
        let span = read::span_of(fields, key);
        let headline = format!("`{key}` cannot be {count}.");
        let help = "With fewer the two radii of an arc disagree, more are not read by any control.";
        fields.refuse("shop/control", headline, span, format!("not from {least} to 6"), help);
        return None;
    }
    usize::try_from(count).ok()
}

fn width(fields: &mut Fields<'_>, key: &'static str, least: u32) -> Option<usize> {
    fields.need(key)?;
    let count = fields.count(key)?;
    // NISTIR 6556, 3.3.1: a line has at most 256 characters. An arc with six decimals needs 76.
    if !(least..=256).contains(&count) {
        let span = read::span_of(fields, key);
        let headline = format!("`{key}` cannot be {count}.");
        fields.refuse("shop/control", headline, span, format!("not from {least} to 256 characters"), "");
        return None;
    }
    usize::try_from(count).ok()
}

fn line_numbers<'n>(file: &File<'n>, fields: &mut Fields<'n>) -> Option<LineNumbers> {
    let node = fields.node("line_numbers")?;
    if node.scalar().is_some_and(|scalar| scalar.text == "none" || scalar.text == "no") {
        return None;
    }
    let mut inner = file.entries(node, "the line numbers");
    let start = inner.need("start").and_then(|_| inner.count("start"));
    let step = read::some(&mut inner, "step");
    // NISTIR 6556, 3.3.2: up to five digits.
    if let (Some(start), Some(step)) = (start, step)
        && (start > 9_999 || step > 1_000)
    {
        let headline = "The line numbers grow past five digits at once.";
        inner.refuse("shop/control", headline, inner.span(), "start up to 9999, step up to 1000", "");
    }
    inner.finish();
    Some(LineNumbers { start: start?, step: step? })
}

fn lines(fields: &mut Fields<'_>, key: &'static str, longest: Option<usize>) -> Vec<String> {
    let mut list = Vec::new();
    for (text, span) in read::texts(fields, key) {
        let plain = !text.is_empty() && text.bytes().all(|byte| byte == b' ' || byte.is_ascii_graphic());
        if !plain {
            let headline = format!("A line of `{key}` holds what no control reads.");
            fields.refuse("shop/control", headline, span, "plain letters, figures and signs only", "");
        } else if longest.is_some_and(|longest| text.len() > longest) {
            fields.refuse("shop/control", format!("A line of `{key}` is too long."), span, "above `line_length`", "");
        }
        list.push(text);
    }
    list
}

/// A program that does not end runs on into whatever the control still holds.
fn ends(fields: &mut Fields<'_>, start: &[String], end: &[String]) {
    let percent = |lines: &[String]| lines.iter().filter(|line| line.trim() == "%").count();
    let (opens, closes) = (percent(start), percent(end));
    if opens != closes || opens > 1 {
        let span = read::span_of(fields, if closes > opens { "end" } else { "start" });
        let help = "Put one `%` first in `start` and one last in `end`, or none at all.";
        fields.refuse("shop/control", "The percent signs do not pair.", span, "one without the other", help);
    }
    let stops = end.iter().any(|line| {
        line.split_whitespace().any(|word| matches!(word.to_ascii_uppercase().as_str(), "M2" | "M02" | "M30"))
    });
    if !stops {
        let span = read::span_of(fields, "end");
        fields.refuse("shop/control", "The program does not end.", span, "no M2 or M30", "Add `M30` to `end`.");
    }
}

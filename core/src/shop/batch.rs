//! What a batch needs beside the mill: the saw, what holds several pieces, the minutes at the
//! bench, and what experience says of the predicted times.

use serde::{Deserialize, Serialize};

use super::Vise;
use super::read::{self, File};
use crate::quantity::{Dim, Length, Time};
use crate::yaml::{Fields, Node};

/// What a shop tells of its batches; what it leaves out is taken as usual.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Batch {
    /// The saw, where the shop tells of it.
    pub saw: Option<Saw>,
    /// Putting pieces in and taking them out.
    pub loading: Loading,
    /// Plates that hold several pieces.
    pub plates: Vec<Plate>,
    /// Times at saw and bench.
    pub bench: Minutes,
    /// What predicted times at the mill are multiplied with: learnt from a batch that was timed.
    pub time_factor: f64,
}

/// A saw, and what it takes of a bar.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Saw {
    /// Width of the cut.
    pub kerf: Length,
    /// Cut off the end of a new bar, with its kerf; a rest has a clean end already.
    pub trim: Length,
    /// What the saw's vise holds of a bar's end, and no cut can reach.
    pub grip: Length,
    /// Left on each end of a piece for facing it to length at the mill.
    pub facing: Length,
    /// Rests from here up go back to the rack.
    pub keep: Length,
    /// For one cut, with setting and taking away.
    pub cut: Time,
}

/// How long it takes to load.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Loading {
    /// For each piece: in, tightened, out, wiped.
    pub piece: Time,
    /// For each load: chips off stop and jaws, start.
    pub load: Time,
    /// Between the pieces of a row in the vise at the least; the stop of the next piece and the
    /// cutter that runs past an end may want more.
    pub gap: Length,
    /// Whose zero the moves of a load count from.
    pub zeros: Zeros,
}

/// What the moves of a load count from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Zeros {
    /// All from the zero of the first place; the others stand at stated distances from it.
    One,
    /// Each place from its own: the control's work offset and those after it, up to G59.
    Each,
}

/// A plate with places for pieces, in columns along X and rows along Y.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Plate {
    /// What it is called.
    pub name: String,
    /// Places along X.
    pub columns: u32,
    /// Places along Y.
    pub rows: u32,
    /// From the middle of a place to that of the next along X.
    pub pitch_x: Length,
    /// The same along Y.
    pub pitch_y: Length,
    /// Longest piece that a place takes.
    pub longest: Length,
    /// Widest piece that a place takes.
    pub widest: Length,
    /// What holds the piece of a place: a small vise with one pair of rests for parallels, its
    /// heights counted from the plate. Without it no load of the plate can be proved, and it is not
    /// used.
    pub hold: Option<Vise>,
    /// Once for a batch: bolted down, set true, taken off again.
    pub ready: Time,
}

/// Times at saw and bench, as the shop takes them.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Minutes {
    /// Once: the bar found, checked, marked.
    pub receive: Time,
    /// For each piece: both ends faced to length.
    pub face: Time,
    /// For each piece: burrs taken off after the saw.
    pub saw_burr: Time,
    /// Once: datum found, tools set, program run above the part.
    pub set_up: Time,
    /// Once: the first piece measured.
    pub first_piece: Time,
    /// For each piece: edges broken after the mill.
    pub deburr: Time,
    /// Once: tumbling, where the shop tumbles; nothing: it does not.
    pub tumble: Time,
    /// Once: washing and drying the lot.
    pub wash: Time,
    /// For each piece: gauges tried.
    pub gauge: Time,
    /// For each piece: counted and bagged with what goes with it.
    pub bag: Time,
}

impl Saw {
    /// A band saw in a small shop; common practice, no source.
    pub const USUAL: Self = Self {
        kerf: Length::mm(1.2),
        trim: Length::mm(3.0),
        grip: Length::mm(30.0),
        facing: Length::mm(0.3),
        keep: Length::mm(150.0),
        cut: Time::second(40.0),
    };
}

impl Default for Batch {
    fn default() -> Self {
        Self { saw: None, loading: Loading::USUAL, plates: Vec::new(), bench: Minutes::USUAL, time_factor: 1.0 }
    }
}

impl Loading {
    /// Common practice, no source.
    pub const USUAL: Self =
        Self { piece: Time::second(45.0), load: Time::second(15.0), gap: Length::mm(2.0), zeros: Zeros::One };
}

impl Minutes {
    /// Common practice, no source.
    pub const USUAL: Self = Self {
        receive: Time::second(600.0),
        face: Time::second(90.0),
        saw_burr: Time::second(20.0),
        set_up: Time::second(1800.0),
        first_piece: Time::second(900.0),
        deburr: Time::second(30.0),
        tumble: Time::ZERO,
        wash: Time::second(900.0),
        gauge: Time::second(20.0),
        bag: Time::second(30.0),
    };
}

impl Batch {
    /// Reads `saw`, `loading`, `plates`, `bench` and `time_factor` of the entry file.
    pub(super) fn read<'n>(file: &File<'n>, fields: &mut Fields<'n>) -> Self {
        let saw = fields.node("saw").and_then(|node| saw(file, node));
        let loading = fields.node("loading").map_or(Loading::USUAL, |node| loading(file, node));
        let plates = plates(file, fields);
        let bench = fields.node("bench").map_or(Minutes::USUAL, |node| minutes(file, node));
        let factor = fields.quantity("time_factor", Dim::NUMBER).map(|value| value.value);
        if factor.is_some_and(|factor| !(0.2..=5.0).contains(&factor)) {
            let span = read::span_of(fields, "time_factor");
            fields.refuse(
                "shop/time-factor",
                "`time_factor` is the measured time over the predicted one.",
                span,
                "not between 0.2 and 5",
                "1 until a batch has been timed; `barwright adjust … time=…` tells the next.",
            );
        }
        Self { saw, loading, plates, bench, time_factor: factor.unwrap_or(1.0) }
    }
}

/// A length from nothing up, if the key is there.
fn length_or(fields: &mut Fields<'_>, key: &'static str, usual: Length) -> Length {
    if fields.node(key).is_some() { read::length_or_none(fields, key).unwrap_or(usual) } else { usual }
}

fn time_or(fields: &mut Fields<'_>, key: &'static str, usual: Time) -> Time {
    read::maybe_time(fields, key).unwrap_or(usual)
}

fn saw(file: &File<'_>, node: &Node) -> Option<Saw> {
    let usual = Saw::USUAL;
    let mut fields = file.entries(node, "the saw");
    let kerf = read::length(&mut fields, "kerf");
    let trim = length_or(&mut fields, "trim", usual.trim);
    let grip = length_or(&mut fields, "grip", usual.grip);
    let facing = length_or(&mut fields, "facing", usual.facing);
    let keep = length_or(&mut fields, "keep", usual.keep);
    let cut = time_or(&mut fields, "cut", usual.cut);
    if kerf.is_some_and(|kerf| kerf > Length::mm(10.0)) {
        let span = read::span_of(&mut fields, "kerf");
        let help = "A band saw cuts 0.9 to 1.3 mm wide, a cold saw 1.6 to 2.5 mm.";
        fields.refuse("shop/saw", "No saw cuts as wide as this.", span, "above 10 mm", help);
    }
    fields.finish();
    Some(Saw { kerf: kerf?, trim, grip, facing, keep, cut })
}

const ZEROS: &[(&str, Zeros)] = &[("one", Zeros::One), ("each", Zeros::Each)];

fn loading(file: &File<'_>, node: &Node) -> Loading {
    let usual = Loading::USUAL;
    let mut fields = file.entries(node, "the loading");
    let piece = time_or(&mut fields, "piece", usual.piece);
    let load = time_or(&mut fields, "load", usual.load);
    let gap = length_or(&mut fields, "gap", usual.gap);
    let zeros = fields.choice("zeros", ZEROS).unwrap_or(usual.zeros);
    fields.finish();
    Loading { piece, load, gap, zeros }
}

fn plates<'n>(file: &File<'n>, fields: &mut Fields<'n>) -> Vec<Plate> {
    fields.list("plates").iter().filter_map(|node| plate(file, node)).collect()
}

fn plate(file: &File<'_>, node: &Node) -> Option<Plate> {
    let mut fields = file.entries(node, "a plate");
    let name = fields.need_text("name");
    let columns = read::some(&mut fields, "columns");
    let rows = read::some(&mut fields, "rows");
    let pitch_x = read::length(&mut fields, "pitch_x");
    let pitch_y = read::length(&mut fields, "pitch_y");
    let longest = read::length(&mut fields, "longest");
    let widest = read::length(&mut fields, "widest");
    let ready = time_or(&mut fields, "ready", Time::second(1200.0));
    let hold = fields.node("hold").map(|node| hold(file, node, widest));
    for (key, count) in [("columns", columns), ("rows", rows)] {
        if count.is_some_and(|count| count > 50) {
            let span = read::span_of(&mut fields, key);
            fields.refuse("shop/plate", format!("No plate has so many {key}."), span, "above 50", "");
        }
    }
    for (key, pitch, most, side) in [("pitch_x", pitch_x, longest, "longest"), ("pitch_y", pitch_y, widest, "widest")] {
        if let (Some(pitch), Some(most)) = (pitch, most)
            && most >= pitch
        {
            let span = read::span_of(&mut fields, key);
            let headline = format!("Two pieces as large as `{side}` would meet.");
            fields.refuse("shop/plate", headline, span, format!("not above `{side}`"), "");
        }
    }
    if let (Some(pitch), Some(most), Some(hold)) = (pitch_y, widest, hold.as_ref().and_then(Option::as_ref))
        && most + hold.jaw_thickness * 2.0 > pitch
    {
        let span = read::span_of(&mut fields, "pitch_y");
        let headline = "The jaws of two places would meet.";
        let label = "below `widest` and two jaws";
        fields.refuse("shop/plate", headline, span, label, "A wider pitch, or narrower jaws, would do.");
    }
    fields.finish();
    Some(Plate {
        name: name?,
        columns: columns.filter(|count| *count <= 50)?,
        rows: rows.filter(|count| *count <= 50)?,
        pitch_x: pitch_x?,
        pitch_y: pitch_y?,
        longest: longest?,
        widest: widest?,
        hold: match hold {
            Some(hold) => Some(hold?),
            None => None,
        },
        ready,
    })
}

/// How a place of a plate holds its piece; heights count from the plate.
fn hold(file: &File<'_>, node: &Node, widest: Option<Length>) -> Option<Vise> {
    let mut fields = file.entries(node, "what holds a piece of the plate");
    let jaw_width = read::length(&mut fields, "jaw_width");
    let jaw_height = read::length(&mut fields, "jaw_height");
    let jaw_thickness = read::length(&mut fields, "jaw_thickness");
    let rest = read::length(&mut fields, "rest");
    let rest_thickness = read::length(&mut fields, "rest_thickness");
    let grip_min = length_or(&mut fields, "grip_min", Length::mm(3.0));
    if let (Some(rest), Some(jaw)) = (rest, jaw_height)
        && rest >= jaw
    {
        let span = read::span_of(&mut fields, "rest");
        let label = "not below `jaw_height`";
        fields.refuse("shop/plate", "The rests are as high as the jaws.", span, label, "No work would be gripped.");
    }
    fields.finish();
    Some(Vise {
        jaw_width: jaw_width?,
        jaw_height: jaw_height?,
        jaw_thickness: jaw_thickness?,
        opening: widest?,
        parallels: vec![rest?],
        parallel_thickness: rest_thickness?,
        grip_min,
    })
}

fn minutes(file: &File<'_>, node: &Node) -> Minutes {
    let usual = Minutes::USUAL;
    let mut fields = file.entries(node, "the bench");
    let mut time = |key, usual| time_or(&mut fields, key, usual);
    let minutes = Minutes {
        receive: time("receive", usual.receive),
        face: time("face", usual.face),
        saw_burr: time("saw_burr", usual.saw_burr),
        set_up: time("set_up", usual.set_up),
        first_piece: time("first_piece", usual.first_piece),
        deburr: time("deburr", usual.deburr),
        tumble: time("tumble", usual.tumble),
        wash: time("wash", usual.wash),
        gauge: time("gauge", usual.gauge),
        bag: time("bag", usual.bag),
    };
    fields.finish();
    minutes
}

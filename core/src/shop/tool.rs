//! The tools in the crib.

use serde::{Deserialize, Serialize};

use super::read::{self, File};
use crate::quantity::{Angle, Feed, Length, Spindle};
use crate::yaml::{Fields, Node};

/// What a tool's edges are made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Edge {
    /// High-speed steel.
    Hss,
    /// Cemented carbide.
    Carbide,
}

/// A tool in its holder.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Tool {
    /// Its number at the machine, and the number of its length offset.
    pub number: u32,
    /// What it is, in words.
    pub title: String,
    /// What its edges are made of.
    pub edge: Edge,
    /// Measured diameter over the edges.
    pub diameter: Length,
    /// Number of edges.
    pub flutes: u32,
    /// Length of the edges along the axis.
    pub flute_length: Length,
    /// How far from its tip the tool may go into work: up to here nothing is wider than
    /// `diameter`.
    pub reach: Length,
    /// Diameter of the shank above the reach.
    pub shank: Length,
    /// How far it stands out of the holder.
    pub stick_out: Length,
    /// Diameter of the holder.
    pub holder: Length,
    /// The kind of cutter, with what only that kind has.
    pub cutter: Cutter,
    /// Fastest spindle speed that it may run at, if it has its own limit.
    pub speed_max: Option<Spindle>,
    /// The user's own spindle speed; it wins over the tables.
    pub speed: Option<Spindle>,
    /// The user's own feed of the table; it wins over the tables. For a thread mill, the feed of
    /// the cutter's edge.
    pub feed: Option<Feed>,
}

/// The kinds of cutters.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Cutter {
    /// A short stiff drill that starts and chamfers holes.
    Spot {
        /// Angle of the point.
        point: Angle,
    },
    /// A twist drill.
    Drill {
        /// Angle of the point.
        point: Angle,
        /// Short enough and with a split point, so that it starts where it stands.
        starts_itself: bool,
    },
    /// A flat end mill.
    EndMill {
        /// Edges reach the middle, so that it may plunge.
        centre_cutting: bool,
        /// Radius at the corners.
        corner: Length,
    },
    /// A reamer, to the middle of its zone.
    Reamer {
        /// How far its tapered lead reaches up from the tip; it cuts to size only above.
        lead: Length,
    },
    /// A conical countersink.
    Countersink {
        /// Included angle.
        angle: Angle,
        /// Diameter of the blunt end of its cone.
        nose: Length,
    },
    /// A cutter that mills threads of the 60° profile.
    ThreadMill {
        /// Finest pitch that it cuts.
        pitch_min: Length,
        /// Coarsest pitch that it cuts; the same as the finest for more than one row.
        pitch_max: Length,
        /// Rows of teeth, one pitch apart.
        rows: u32,
        /// Width of the flat at the tip of a tooth, where it is known.
        tip_flat: Option<Length>,
        /// From the end of the tool to the middle of the lowest tooth.
        tip: Length,
        /// The profile is corrected for one thread, so that its flanks leave no overcut.
        corrected: bool,
    },
}

impl Tool {
    /// Length of the point of a drill or spot drill below its full diameter; nothing for other
    /// cutters.
    pub fn point_length(&self) -> Length {
        match &self.cutter {
            Cutter::Spot { point } | Cutter::Drill { point, .. } => {
                self.diameter / (2.0 * crate::quantity::trig::tan(*point / 2.0))
            }
            Cutter::EndMill { .. } | Cutter::Reamer { .. } | Cutter::Countersink { .. } | Cutter::ThreadMill { .. } => {
                Length::ZERO
            }
        }
    }
}

/// Reads `crib.yaml`.
pub(super) fn read_crib(file: &File<'_>) -> Vec<Tool> {
    let mut fields = file.fields("the crib");
    if fields.need("tools").is_none() {
        fields.finish();
        return Vec::new();
    }
    let nodes = fields.list("tools");
    if nodes.is_empty() {
        let span = read::span_of(&mut fields, "tools");
        fields.refuse("shop/crib", "The crib is empty.", span, "no tool here", "Add at least one tool.");
    }
    let mut tools: Vec<Tool> = Vec::new();
    for node in nodes {
        let Some(tool) = Tool::read(file, node) else { continue };
        if let Some(other) = tools.iter().find(|known| known.number == tool.number) {
            let span = node.map().and_then(|entries| entries.iter().find(|(key, _)| key.text == "number"));
            let span = span.map_or(node.span, |(_, number)| number.span);
            let headline = format!("Two tools have the number {}.", tool.number);
            let label = format!("`{}` has it already", other.title);
            let free = (1..=1000).find(|number| tools.iter().all(|known| known.number != *number)).unwrap_or(1);
            fields.refuse("shop/crib", headline, span, label, format!("{free} is free."));
            continue;
        }
        tools.push(tool);
    }
    fields.finish();
    tools
}

#[derive(Clone, Copy)]
enum Kind {
    Spot,
    Drill,
    EndMill,
    Reamer,
    Countersink,
    ThreadMill,
}

const KINDS: &[(&str, Kind)] = &[
    ("spot", Kind::Spot),
    ("drill", Kind::Drill),
    ("end-mill", Kind::EndMill),
    ("reamer", Kind::Reamer),
    ("countersink", Kind::Countersink),
    ("thread-mill", Kind::ThreadMill),
];

const EDGES: &[(&str, Edge)] = &[("hss", Edge::Hss), ("carbide", Edge::Carbide)];

impl Tool {
    fn read<'n>(file: &File<'n>, node: &'n Node) -> Option<Self> {
        let mut fields = file.entries(node, "a tool");
        let number = read::some(&mut fields, "number");
        let title = fields.need_text("title");
        let kind = fields.need("kind").and_then(|_| fields.choice("kind", KINDS));
        let edge = fields.need("edge").and_then(|_| fields.choice("edge", EDGES));
        let diameter = read::length(&mut fields, "diameter");
        let flutes = read::some(&mut fields, "flutes");
        let flute_length = read::length(&mut fields, "flute_length");
        let reach = read::length(&mut fields, "reach");
        let shank = if fields.node("shank").is_some() { read::length(&mut fields, "shank") } else { diameter };
        let stick_out = read::length(&mut fields, "stick_out");
        let holder = read::length(&mut fields, "holder");
        let speed_max = read::maybe_spindle(&mut fields, "speed_max");
        let speed = read::maybe_spindle(&mut fields, "speed");
        let feed = read::maybe_feed(&mut fields, "feed");
        let cutter = kind.and_then(|kind| cutter(&mut fields, kind, diameter, flute_length));
        not_above(&mut fields, ("reach", reach), ("stick_out", stick_out), "The holder would be in the work.");
        not_above(&mut fields, ("flute_length", flute_length), ("stick_out", stick_out), "");
        if let (Some(diameter), Some(shank)) = (diameter, shank)
            && shank > diameter
        {
            let help = "The thick shank starts above the reach; the edges cannot go on there.";
            not_above(&mut fields, ("flute_length", flute_length), ("reach", reach), help);
        }
        not_above(&mut fields, ("diameter", diameter), ("holder", holder), "A holder is thicker than what it holds.");
        if let (Some(own), Some(most)) = (speed, speed_max)
            && own > most
        {
            let span = read::span_of(&mut fields, "speed");
            fields.refuse("shop/tool", "The tool's own speed is above its limit.", span, "above `speed_max`", "");
        }
        fields.finish();
        Some(Self {
            number: number?,
            title: title?,
            edge: edge?,
            diameter: diameter?,
            flutes: flutes?,
            flute_length: flute_length?,
            reach: reach?,
            shank: shank?,
            stick_out: stick_out?,
            holder: holder?,
            cutter: cutter?,
            speed_max,
            speed,
            feed,
        })
    }
}

fn cutter(
    fields: &mut Fields<'_>,
    kind: Kind,
    diameter: Option<Length>,
    flute_length: Option<Length>,
) -> Option<Cutter> {
    match kind {
        Kind::Spot => Some(Cutter::Spot { point: read::angle(fields, "point")? }),
        Kind::Drill => {
            let point = read::angle(fields, "point");
            let starts_itself = fields.flag("starts_itself").unwrap_or(false);
            Some(Cutter::Drill { point: point?, starts_itself })
        }
        Kind::EndMill => {
            let centre_cutting = fields.flag("centre_cutting").unwrap_or(false);
            let corner =
                if fields.node("corner").is_some() { read::length_or_none(fields, "corner")? } else { Length::ZERO };
            if diameter.is_some_and(|diameter| corner * 2.0 > diameter) {
                let span = read::span_of(fields, "corner");
                fields.refuse("shop/tool", "The corner's radius is above half the diameter.", span, "too large", "");
            }
            Some(Cutter::EndMill { centre_cutting, corner })
        }
        Kind::Reamer => Some(Cutter::Reamer { lead: read::length_or_none(fields, "lead")? }),
        Kind::Countersink => {
            let angle = read::angle(fields, "angle");
            let nose = read::length_or_none(fields, "nose");
            not_above(fields, ("nose", nose), ("diameter", diameter), "The cone grows from its nose.");
            Some(Cutter::Countersink { angle: angle?, nose: nose? })
        }
        Kind::ThreadMill => thread_mill(fields, diameter, flute_length),
    }
}

fn thread_mill(fields: &mut Fields<'_>, diameter: Option<Length>, flute_length: Option<Length>) -> Option<Cutter> {
    let pitch_min = read::length(fields, "pitch_min");
    let pitch_max = read::length(fields, "pitch_max");
    let rows = read::some(fields, "rows");
    let tip_flat = fields.node("tip_flat").and_then(|_| read::length_or_none(fields, "tip_flat"));
    let tip = read::length_or_none(fields, "tip");
    let corrected = fields.flag("corrected").unwrap_or(false);
    not_above(fields, ("pitch_min", pitch_min), ("pitch_max", pitch_max), "");
    if let (Some(finest), Some(coarsest), Some(rows)) = (pitch_min, pitch_max, rows) {
        if rows > 1 && (coarsest - finest).abs() > Length::mm(1e-6) {
            let span = read::span_of(fields, "rows");
            let help = "Its rows stand one pitch apart: give the same `pitch_min` and `pitch_max`.";
            fields.refuse("shop/tool", "A cutter with more than one row cuts one pitch.", span, "two pitches", help);
        }
        let teeth = coarsest * f64::from(rows - 1);
        if flute_length.is_some_and(|length| teeth > length) {
            let span = read::span_of(fields, "flute_length");
            let headline = "The rows of teeth are longer than the edges.";
            fields.refuse("shop/tool", headline, span, format!("{rows} rows need more"), "");
        }
    }
    if let (Some(flat), Some(finest)) = (tip_flat, pitch_min)
        && flat > finest / 4.0
    {
        let span = read::span_of(fields, "tip_flat");
        fields.refuse(
            "shop/tool",
            "The tip of the tooth is too wide for the finest pitch.",
            span,
            "above a quarter of `pitch_min`",
            "A full profile has an eighth of the pitch; a cutter for several pitches less.",
        );
    }
    if let (Some(pitch), Some(diameter)) = (pitch_max, diameter)
        && pitch > diameter
    {
        let span = read::span_of(fields, "pitch_max");
        fields.refuse("shop/tool", "The pitch is above the cutter's diameter.", span, "too coarse", "");
    }
    Some(Cutter::ThreadMill {
        pitch_min: pitch_min?,
        pitch_max: pitch_max?,
        rows: rows?,
        tip_flat,
        tip: tip?,
        corrected,
    })
}

fn not_above(
    fields: &mut Fields<'_>,
    (key, less): (&'static str, Option<Length>),
    (other, more): (&'static str, Option<Length>),
    help: &str,
) {
    if let (Some(less), Some(more)) = (less, more)
        && less > more
    {
        let span = read::span_of(fields, key);
        fields.refuse("shop/tool", format!("`{key}` is above `{other}`."), span, format!("above `{other}`"), help);
    }
}

//! The mill itself.

use serde::{Deserialize, Serialize};

use super::read::{self, File};
use crate::quantity::{Dim, Feed, Length, Spindle, Time};
use crate::yaml::Fields;

/// How far an axis goes, in machine coordinates.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Travel {
    /// Lowest coordinate.
    pub from: Length,
    /// Highest coordinate.
    pub to: Length,
}

/// What the mill can do.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Machine {
    /// What it is, in words.
    pub title: String,
    /// Travel of the table along X.
    pub x: Travel,
    /// Travel along Y.
    pub y: Travel,
    /// Travel of the head along Z.
    pub z: Travel,
    /// Fastest feed while cutting.
    pub feed_max: Feed,
    /// Fastest move in the air.
    pub rapid: Feed,
    /// How quickly an axis gains speed, mm/s².
    pub acceleration: f64,
    /// Slowest spindle speed.
    pub spindle_min: Spindle,
    /// Fastest spindle speed.
    pub spindle_max: Spindle,
    /// Power of the spindle's motor, in watts.
    pub spindle_watts: f64,
    /// Time until the spindle has its speed.
    pub spindle_start: Time,
    /// Time for a change of tool by hand.
    pub tool_change: Time,
    /// The share of the tables' depths and feeds that the machine bears, 0..=1; a light machine
    /// bears less.
    pub vigour: f64,
}

impl Machine {
    /// Reads `machine.yaml`.
    pub(super) fn read(file: &File<'_>) -> Option<Self> {
        let mut fields = file.fields("the machine");
        let title = fields.need_text("title");
        let x = travel(file, &mut fields, "x");
        let y = travel(file, &mut fields, "y");
        let z = travel(file, &mut fields, "z");
        let feed_max = read::feed(&mut fields, "feed_max");
        let rapid = read::feed(&mut fields, "rapid");
        let acceleration = fields.need("acceleration").and_then(|_| {
            // No formula ever accelerates anything, so `quantity` has no such unit.
            read::signed(&mut fields, "acceleration", &["mm/s²", "mm/s2", "mm/s^2"])
        });
        let spindle_min = read::spindle(&mut fields, "spindle_min");
        let spindle_max = read::spindle(&mut fields, "spindle_max");
        let spindle_watts =
            fields.need("spindle_power").and_then(|_| read::signed(&mut fields, "spindle_power", &["W", "watts"]));
        let spindle_start = read::time(&mut fields, "spindle_start");
        let tool_change = read::time(&mut fields, "tool_change");
        let vigour = fields.need_quantity("vigour", Dim::NUMBER).map(|value| value.value);
        if let (Some(least), Some(most)) = (spindle_min, spindle_max)
            && least > most
        {
            let span = read::span_of(&mut fields, "spindle_min");
            let headline = "The slowest spindle speed is above the fastest.";
            fields.refuse("shop/machine", headline, span, "above `spindle_max`", "Swap the two.");
        }
        if let (Some(feed), Some(rapid)) = (feed_max, rapid)
            && feed > rapid
        {
            let span = read::span_of(&mut fields, "feed_max");
            let headline = "The fastest feed is above the rapid.";
            fields.refuse("shop/machine", headline, span, "above `rapid`", "No axis feeds faster than it can move.");
        }
        if let Some(vigour) = vigour
            && !(0.05..=1.0).contains(&vigour)
        {
            let span = read::span_of(&mut fields, "vigour");
            fields.refuse(
                "shop/machine",
                "`vigour` is the share of the tables' cuts that the machine bears.",
                span,
                "not between 0.05 and 1",
                "A light bench mill bears 0.5 to 0.7, a heavy one 1.",
            );
        }
        fields.finish();
        Some(Self {
            title: title?,
            x: x?,
            y: y?,
            z: z?,
            feed_max: feed_max?,
            rapid: rapid?,
            acceleration: acceleration?,
            spindle_min: spindle_min?,
            spindle_max: spindle_max?,
            spindle_watts: spindle_watts?,
            spindle_start: spindle_start?,
            tool_change: tool_change?,
            vigour: vigour?,
        })
    }
}

fn travel<'n>(file: &File<'n>, fields: &mut Fields<'n>, key: &'static str) -> Option<Travel> {
    let node = fields.need(key)?;
    let mut inner = file.entries(node, &format!("the travel `{key}`"));
    let from = read::any_length(&mut inner, "from");
    let to = read::any_length(&mut inner, "to");
    if let (Some(from), Some(to)) = (from, to)
        && from >= to
    {
        let headline = format!("The travel `{key}` ends before it starts.");
        let span = read::span_of(&mut inner, "from");
        inner.refuse("shop/machine", headline, span, "not below `to`", "`from` is the lower coordinate.");
    }
    inner.finish();
    Some(Travel { from: from?, to: to? })
}

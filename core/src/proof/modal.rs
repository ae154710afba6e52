//! The words of a line sorted into modal groups (NISTIR 6556, table 4), one of each.

use super::expression::whole;
use super::fault::{Fault, stops};
use super::read::{Block, Word};
use crate::shop::{ArcCentre, Control, LengthOffset, ToolChange};

/// The words of a line, each in its place.
#[derive(Clone, Debug, Default)]
pub(super) struct Line {
    /// G codes, ten times their number, by group; see [`Group`].
    pub(super) g: [Option<i16>; 11],
    /// M codes by group: stop, tool, spindle, coolant, overrides.
    pub(super) m: [Option<i16>; 5],
    /// X, Y, Z.
    pub(super) axes: [Option<f64>; 3],
    /// I, J, K.
    pub(super) centre: [Option<f64>; 3],
    pub(super) d: Option<f64>,
    pub(super) f: Option<f64>,
    pub(super) h: Option<f64>,
    pub(super) l: Option<f64>,
    pub(super) p: Option<f64>,
    pub(super) q: Option<f64>,
    pub(super) r: Option<f64>,
    pub(super) s: Option<f64>,
    pub(super) t: Option<f64>,
}

/// The groups of G codes, as places in [`Line::g`].
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Group {
    Still,
    Motion,
    Plane,
    Distance,
    FeedMode,
    Units,
    Radius,
    Length,
    Return,
    System,
    PathMode,
}

/// The groups of M codes, as places in [`Line::m`].
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Order {
    Stop,
    Tool,
    Spindle,
    Coolant,
    Override,
}

impl Line {
    pub(super) fn code(&self, group: Group) -> Option<i64> {
        self.g[group as usize].map(i64::from)
    }

    pub(super) fn order(&self, order: Order) -> Option<i64> {
        self.m[order as usize].map(i64::from)
    }

    pub(super) fn any_axis(&self) -> bool {
        self.axes.iter().any(Option::is_some)
    }
}

/// Sorts the words of a line into their places.
///
/// # Errors
/// Unknown words, repeated words, two words of one group.
pub(super) fn sort(block: &Block<'_>, control: &Control, line: &mut Line) -> Result<(), Fault> {
    for word in &block.words {
        match word.letter {
            'G' => take_g(line, word.value, control)?,
            'M' => take_m(line, word.value, control)?,
            'A' | 'B' | 'C' => {
                return Err(stops(
                    "proof/unknown-word",
                    format!("{} turns an axis that this mill does not have.", word.letter),
                ));
            }
            _ => take_letter(line, *word)?,
        }
    }
    Ok(())
}

fn take_letter(line: &mut Line, word: Word) -> Result<(), Fault> {
    let place = match word.letter {
        'X' => &mut line.axes[0],
        'Y' => &mut line.axes[1],
        'Z' => &mut line.axes[2],
        'I' => &mut line.centre[0],
        'J' => &mut line.centre[1],
        'K' => &mut line.centre[2],
        'D' => &mut line.d,
        'F' => &mut line.f,
        'H' => &mut line.h,
        'L' => &mut line.l,
        'P' => &mut line.p,
        'Q' => &mut line.q,
        'R' => &mut line.r,
        'S' => &mut line.s,
        'T' => &mut line.t,
        other => return Err(stops("proof/unknown-word", format!("No word starts with {other}."))),
    };
    if place.replace(word.value).is_some() {
        return Err(stops("proof/repeated-word", format!("{} stands twice on the line.", word.letter)));
    }
    Ok(())
}

fn take_g(line: &mut Line, value: f64, control: &Control) -> Result<(), Fault> {
    let unknown = || stops("proof/unknown-word", format!("G{value} is not known."));
    let code = whole(value * 10.0).and_then(|code| i16::try_from(code).ok()).ok_or_else(unknown)?;
    if code == 901 && control.arc_centre == ArcCentre::Absolute {
        // The profile's own setting, said again; the report does not know the word.
        return Ok(());
    }
    let group = group(code).ok_or_else(unknown)?;
    if group == Group::Length && control.length_offset == LengthOffset::TouchOff && code == 430 {
        return Err(stops("proof/unknown-word", "G43 needs a table of lengths; this control has none."));
    }
    if code == 382 && !control.probing {
        return Err(stops("proof/unknown-word", "G38.2 needs a probe; this control has none."));
    }
    if let Some(other) = line.g[group as usize].replace(code) {
        return Err(stops(
            "proof/modal-group",
            format!("G{} and G{value} are of one modal group and stand on one line.", tenths(other.into())),
        ));
    }
    Ok(())
}

fn take_m(line: &mut Line, value: f64, control: &Control) -> Result<(), Fault> {
    let unknown = || stops("proof/unknown-word", format!("M{value} is not known."));
    let code = whole(value).and_then(|code| i16::try_from(code).ok()).ok_or_else(unknown)?;
    let order = match code {
        0 | 1 | 2 | 30 | 60 => Order::Stop,
        6 => Order::Tool,
        3..=5 => Order::Spindle,
        7..=9 => Order::Coolant,
        48 | 49 => Order::Override,
        _ => return Err(unknown()),
    };
    if code == 6 && control.tool_change == ToolChange::Stop {
        return Err(stops("proof/unknown-word", "This control has no M6; tools are changed at a stop."));
    }
    if let Some(other) = line.m[order as usize].replace(code) {
        return Err(stops(
            "proof/modal-group",
            format!("M{other} and M{code} are of one modal group and stand on one line."),
        ));
    }
    Ok(())
}

/// A G code as it is written.
pub(super) fn tenths(code: i64) -> String {
    if code % 10 == 0 { format!("{}", code / 10) } else { format!("{}.{}", code / 10, code % 10) }
}

fn group(code: i16) -> Option<Group> {
    Some(match code {
        40 | 100 | 280 | 300 | 530 | 920..=923 => Group::Still,
        0 | 10 | 20 | 30 | 382 | 800 | 810 | 820 | 830 | 840 | 850 | 860 | 870 | 880 | 890 => Group::Motion,
        170 | 180 | 190 => Group::Plane,
        900 | 910 => Group::Distance,
        930 | 940 => Group::FeedMode,
        200 | 210 => Group::Units,
        400 | 410 | 420 => Group::Radius,
        430 | 490 => Group::Length,
        980 | 990 => Group::Return,
        540 | 550 | 560 | 570 | 580 | 590 | 591 | 592 | 593 => Group::System,
        610 | 611 | 640 => Group::PathMode,
        _ => return None,
    })
}

/// The number of a coordinate system, from one, of its code or of a word such as `G54`.
pub(super) fn system(code: i64) -> usize {
    match code {
        550 => 2,
        560 => 3,
        570 => 4,
        580 => 5,
        590 => 6,
        591 => 7,
        592 => 8,
        593 => 9,
        _ => 1,
    }
}

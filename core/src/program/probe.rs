//! The program that finds the zero with a probe: the top, then the middle from both sides.
//!
//! Words of NISTIR 6556: G38.2 (3.5.9) with its results in #5061 to #5063, G10 L2 (3.5.5) for the
//! work offset whose origin stands in #5221 and on (3.2.1). The report knows no condition, so that
//! a piece of the wrong size stops the control as a root of less than nothing.

use super::Header;
use super::comment::{short, wrapped};
use super::text::Text;
use super::word::Format;
use crate::plan::{Place, SetupPlan};
use crate::quantity::{Feed, Length, Unit};
use crate::shop::{Control, LengthOffset};

/// The piece before it is cut, in the axes of the setup.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Piece {
    /// Its ends along X.
    pub along: (Length, Length),
    /// The end at the higher X is sawn, by a guess: X is taken from the end at the stop alone, and
    /// by the diameter of the tip.
    pub by_stop: bool,
    /// Its width.
    pub width: Length,
    /// How far the length may be off what is said here, either way.
    pub long_off: Length,
    /// How far the width may.
    pub wide_off: Length,
    /// Where the top is touched.
    pub top: Place,
    /// How far below the top the sides are touched.
    pub depth: Length,
    /// Where along X the front and the back are touched, from the middle of the blank.
    pub at_x: Length,
    /// Where along Y the ends are touched, from the middle.
    pub at_y: Length,
    /// The sides are touched before the ends: the ends are then touched beside the stop, lower than
    /// its top, where the middle of the width must be known.
    pub sides_first: bool,
}

/// Diameter of the tip that is taken; the program holds it as #100, to be changed there.
pub const TIP: Length = Length::mm(4.0);
/// The zero that was set by eye may be off by this much, either way.
pub const SEARCH: Length = Length::mm(4.0);
/// Back from the first touch before the second.
const BACK: Length = Length::mm(1.0);
/// Touching fast and slowly. Common practice, no source.
const FAST: Feed = Feed::mm_per_min(150.0);
const SLOW: Feed = Feed::mm_per_min(20.0);

/// Writes the probing program of a setup; nothing where the control has no probe or no room is
/// left beside the piece.
pub fn emit_probe(setup: &SetupPlan, piece: &Piece, header: &Header, control: &Control) -> Option<String> {
    if !control.probing {
        return None;
    }
    let unit = control.speaks(header.unit);
    let decimals = match unit {
        Unit::Mm => control.decimals_mm,
        Unit::Inch => control.decimals_inch,
    };
    let format = Format { unit, decimals };
    let system = ["G54", "G55", "G56", "G57", "G58", "G59"].iter().position(|word| *word == setup.setup.work_offset)?;
    let mut text = Text::new(control);
    for line in &control.start {
        text.own(line);
    }
    head(&mut text, (setup, piece.by_stop), header, control, unit);
    let modal = match unit {
        Unit::Mm => "G21 G17 G90 G94 G40 G49 G80",
        Unit::Inch => "G20 G17 G90 G94 G40 G49 G80",
    };
    let length = |value: Length| format.bare(value);
    let feed = |feed: Feed| {
        let mut word = String::new();
        format.feed(&mut word, feed);
        word
    };
    let (fast, slow) = (feed(FAST), feed(SLOW));
    let back = length(BACK);
    text.line("M5");
    text.line("M0");
    text.line(&format!("{modal} {}", setup.setup.work_offset));
    text.line(&format!("#100={}", length(TIP)));
    // The top, from the clear height and what it may be off.
    let high = setup.setup.clear + SEARCH;
    text.line(&format!("G0 Z{}", length(high)));
    text.line(&format!("G0 X{} Y{}", length(piece.top.x), length(piece.top.y)));
    text.line(&format!("G38.2 Z{} {fast}", length(-SEARCH)));
    text.line(&format!("G0 Z[#5063+{back}]"));
    text.line(&format!("G38.2 Z[#5063-{back}] {slow}"));
    text.line("#103=#5063");
    text.line(&format!("G0 Z[#103+{}]", length(setup.setup.clear)));
    let low = format!("Z[#103-{}]", length(piece.depth));
    let up = format!("G0 Z[#103+{}]", length(setup.setup.clear));
    let (from, to) = piece.along;
    let half = piece.width / 2.0;
    let middle = (from + to) / 2.0;
    // The stop covers the back half of the left end: X is touched before it. What is found first
    // serves what is found next.
    let (by_x, by_y) = if piece.sides_first {
        (format!("X{}", length(middle + piece.at_x)), plus('Y', 107, piece.at_y, &length))
    } else {
        (plus('X', 106, piece.at_x, &length), format!("Y{}", length(piece.at_y)))
    };
    let ends = [('X', "#5061", 101, from, -1.0, by_y.clone()), ('X', "#5061", 102, to, 1.0, by_y)];
    let across = [('Y', "#5062", 104, -half, -1.0, by_x.clone()), ('Y', "#5062", 105, half, 1.0, by_x)];
    let sides = if piece.sides_first { [across, ends] } else { [ends, across] };
    let sides = sides.into_iter().flatten().filter(|side| !(piece.by_stop && side.2 == 102));
    for (axis, result, number, face, side, other) in sides {
        let out = face + (TIP / 2.0 + SEARCH * 2.0) * side;
        let into = face - SEARCH * side;
        let (away, toward) = if side > 0.0 { ('+', '-') } else { ('-', '+') };
        text.line(&format!("G0 {axis}{} {other}", length(out)));
        text.line(&format!("G1 {low} {fast}"));
        text.line(&format!("G38.2 {axis}{} {fast}", length(into)));
        text.line(&format!("G0 {axis}[{result}{away}{back}]"));
        text.line(&format!("G38.2 {axis}[{result}{toward}{back}] {slow}"));
        text.line(&format!("#{number}={result}"));
        text.line(&format!("G0 {axis}[{result}{away}{back}]"));
        text.line(&up);
        let (low_side, size, off) = match number {
            // From the end at the stop to the middle of the blank as it should be.
            101 if piece.by_stop => {
                text.line(&format!("#106=[#101+[#100/2.0]+[{}]]", length((to - from) / 2.0)));
                continue;
            }
            102 => (101, to - from, piece.long_off),
            105 => (104, piece.width, piece.wide_off),
            _ => continue,
        };
        comments(&mut text, control, &["AN ALARM HERE: THE PIECE OR THE TIP IS NOT AS SAID".to_owned()]);
        text.line(&format!("#110=SQRT[{}-ABS[#{number}-#{low_side}-#100-{}]]", length(off), length(size)));
        let (found, low_side) = if number == 102 { (106, 101) } else { (107, 104) };
        text.line(&format!("#{found}=[[#{low_side}+#{number}]/2.0]"));
    }
    // From the middle of the blank to that of the finished piece.
    let middle = length(middle);
    let first = 5221 + 20 * system;
    text.line(&format!("#111=[#{first}+#106-[{middle}]]"));
    text.line(&format!("#112=[#{}+#107]", first + 1));
    text.line(&format!("#113=[#{}+#103]", first + 2));
    text.line(&format!("G10 L2 P{} X#111 Y#112 Z#113", system + 1));
    for line in &control.end {
        text.own(line);
    }
    Some(text.out)
}

/// What stands before the first word.
fn head(text: &mut Text<'_>, (setup, by_stop): (&SetupPlan, bool), header: &Header, control: &Control, unit: Unit) {
    comments(
        text,
        control,
        &[
            format!("PART {} REV {}", header.number, header.revision),
            format!("PROBE, SETUP {} OF {}", setup.setup.number, header.setups),
            format!("DIGEST {}", header.digest),
            format!("ZERO {} BY EYE WITHIN {} BEFORE THE START", setup.setup.work_offset, unit.say(SEARCH / 2.0)),
            "THE PROBE IN THE SPINDLE ABOVE THE MIDDLE OF THE PIECE".to_owned(),
            "SET PARAMETER 100 TO THE DIAMETER OF YOUR TIP".to_owned(),
        ],
    );
    if by_stop {
        comments(text, control, &["X FROM THE END AT THE STOP, SINCE THE OTHER IS SAWN".to_owned()]);
    }
    if control.length_offset == LengthOffset::Table {
        comments(text, control, &["LENGTHS OF TOOLS COUNT FROM THE PROBE".to_owned()]);
    }
}

/// A place that counts from one that was found.
fn plus(axis: char, found: u32, by: Length, length: &impl Fn(Length) -> String) -> String {
    if by.abs() < Length::mm(1e-6) { format!("{axis}#{found}") } else { format!("{axis}[#{found}+[{}]]", length(by)) }
}

/// Comments that may take more than one line.
fn comments(text: &mut Text<'_>, control: &Control, texts: &[String]) {
    for words in texts {
        if words.len() > control.comment_length {
            for line in wrapped(words, control) {
                text.comment(&line);
            }
        } else {
            text.comment(&short(words, control));
        }
    }
}

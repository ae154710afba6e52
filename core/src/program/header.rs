//! What stands at the head of a program.

use serde::{Deserialize, Serialize};

use super::comment::{short, wrapped};
use crate::plan::SetupPlan;
use crate::quantity::{Unit, trimmed};
use crate::shop::{Control, LengthOffset, Stand};

/// What a program's header tells of the part; texts as people typed them.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Header {
    /// Number of the part.
    pub number: String,
    /// Its name.
    pub title: String,
    /// Revision of the drawing, if there is one.
    pub revision: String,
    /// The digest that drawing, program and papers carry.
    pub digest: String,
    /// The unit that the part's papers speak, and the program where the control leaves it open.
    pub unit: Unit,
    /// Material, in words.
    pub material: String,
    /// The blank, in words: `60 x 16 x 12 from brass 16 x 12`.
    pub stock: String,
    /// Who made it: the owner of the shop.
    pub owner: String,
    /// More lines.
    pub notes: Vec<String>,
    /// How many setups the part needs.
    pub setups: usize,
    /// Whether the text was read back and held; `false` says so in the header.
    pub proved: bool,
}

impl Header {
    /// The lines of the header, without the signs of comments.
    pub(super) fn lines(
        &self,
        setup: &SetupPlan,
        load: Option<(&str, &[Stand])>,
        control: &Control,
        unit: Unit,
    ) -> Vec<String> {
        let mut lines = Vec::new();
        if !self.proved {
            lines.push("UNPROVED - READ EVERY LINE BEFORE IT RUNS".to_owned());
        }
        lines.push(format!(
            "PART {}  REV {}",
            self.number,
            if self.revision.is_empty() { "-" } else { &self.revision }
        ));
        lines.push(format!("TITLE {}", self.title));
        let pose = lines.len();
        lines.push(format!("DIGEST {}", self.digest));
        if !self.owner.trim().is_empty() {
            lines.push(format!("SHOP {}", self.owner));
        }
        let word = match unit {
            Unit::Mm => "MILLIMETRES",
            Unit::Inch => "INCHES",
        };
        lines.push(format!("UNITS {word}"));
        let zero = lines.len();
        lines.push(format!("MATERIAL {}", self.material));
        lines.push(format!("BLANK {}", self.stock));
        let mut lines: Vec<String> = lines.iter().map(|line| short(line, control)).collect();
        // Kept whole, however long: a wrong zero is a crash.
        let of = if load.is_some() { "PLACE 1, " } else { "" };
        let mut datum = wrapped(&format!("ZERO {}: {of}{}", control.work_offset, setup.datum), control);
        if let Some((title, stands)) = load {
            datum.extend(places(title, stands, control, unit));
        }
        lines.splice(zero..zero, datum);
        if self.setups > 1 {
            let (number, words) = (setup.setup.number, setup.pose.words());
            lines.splice(pose..pose, wrapped(&format!("SETUP {number} OF {}: {words}", self.setups), control));
        }
        for tool in &setup.tools {
            let stick_out = unit.say(tool.stick_out);
            lines.push(short(&format!("TOOL {} {}, OUT {stick_out}", tool.number, tool.title), control));
        }
        for note in self.notes.iter().chain(&setup.notes) {
            lines.extend(wrapped(&format!("NOTE {note}"), control));
        }
        for caution in CAUTIONS {
            lines.extend(wrapped(caution, control));
        }
        if control.length_offset == LengthOffset::TouchOff {
            lines.extend(wrapped("SET Z ZERO ON THE TOP FACE AFTER EACH CHANGE OF TOOL.", control));
        }
        lines
    }
}

/// How many pieces a load has, and where each has its zero.
fn places(title: &str, stands: &[Stand], control: &Control, unit: Unit) -> Vec<String> {
    let mut lines = wrapped(&format!("LOAD OF {}: {title}", stands.len()), control);
    let say = |length| trimmed(unit.of(length), unit.decimals());
    for (at, stand) in stands.iter().enumerate().skip(1) {
        let (number, at) = (at + 1, format!("X {} Y {}", say(stand.x), say(stand.y)));
        let own = &stand.setup.work_offset;
        let text = if *own == control.work_offset {
            format!("PLACE {number} AT {at} FROM PLACE 1")
        } else {
            format!("PLACE {number} ZERO {own}, ABOUT {at} FROM PLACE 1")
        };
        lines.extend(wrapped(&text, control));
    }
    lines
}

/// Said once, where the hand is.
const CAUTIONS: &[&str] = &[
    "EYE PROTECTION ON, GUARDS CLOSED.",
    "RUN IT ABOVE THE PART FIRST, THEN SINGLE STEPS ON THE FIRST PIECE.",
    "SPEEDS AND FEEDS ARE STARTING VALUES. CHECK CLAMPS AND CLEAR HEIGHT.",
    "THE MACHINE'S MANUAL AND A QUALIFIED PERSON COME FIRST.",
];

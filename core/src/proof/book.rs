//! The breaches of a program: one entry for what many lines of a tool's section do alike, causes
//! before what comes of them.

use std::collections::BTreeMap;

use super::fault::Fault;
use super::{Breach, read};
use crate::shop::Control;

/// The most kinds of breaches that are told; the rest follows from them.
const MOST: usize = 200;

/// Breaches as they are found.
#[derive(Clone, Debug, Default)]
pub(super) struct Book {
    list: Vec<Breach>,
    known: BTreeMap<(usize, &'static str, String), usize>,
    /// The tool's section, from zero: each has causes of its own.
    pub(super) section: usize,
}

impl Book {
    /// Writes a breach down, or counts it with those of its kind.
    pub(super) fn tell(&mut self, line: usize, words: &str, fault: Fault) {
        // Alike but for their numbers.
        let kind: String = fault.what.chars().filter(|sign| !(sign.is_ascii_digit() || "-.".contains(*sign))).collect();
        let key = (self.section, fault.code, kind);
        if let Some(first) = self.known.get(&key).and_then(|index| self.list.get_mut(*index)) {
            first.more += 1;
            first.last = first.last.max(line);
            return;
        }
        if self.list.len() < MOST {
            self.known.insert(key, self.list.len());
            let words: String = words.chars().take(read::LONGEST).collect();
            let Fault { code, what, consequence } = fault;
            self.list.push(Breach { line, words, code, what, consequence, more: 0, last: line });
        }
    }

    /// All breaches in the order in which they should be read.
    pub(super) fn close(self, control: &Control) -> Vec<Breach> {
        let mut list = self.list;
        for breach in &mut list {
            if let Some(key) = profile_key(&breach.words, control) {
                breach.consequence = format!(
                    "{} The line comes from `{key}` of the control profile `{}`; mend it there.",
                    breach.consequence, control.name
                );
            }
        }
        // The finished piece, line 0, comes of all lines.
        list.sort_by_key(|breach| (rank(breach.code), if breach.line == 0 { usize::MAX } else { breach.line }));
        list
    }

    /// Everything that was told, in no order.
    pub(super) fn list(&self) -> &[Breach] {
        &self.list
    }

    /// Takes over one entry of another book.
    pub(super) fn take(&mut self, breach: Breach) {
        if self.list.len() < MOST {
            self.list.push(breach);
        }
    }

    /// Takes over what another book holds.
    pub(super) fn append(&mut self, other: Self) {
        self.list.extend(other.list);
    }
}

/// The entry of the control profile that wrote this line, if one did.
fn profile_key(words: &str, control: &Control) -> Option<&'static str> {
    let bare = |text: &str| -> String {
        let text = text.trim().to_ascii_uppercase();
        // Line numbers are the writer's, not the profile's.
        let digits = text.strip_prefix('N').map(|rest| rest.trim_start_matches(|sign: char| sign.is_ascii_digit()));
        digits.map_or_else(|| text.clone(), |rest| rest.trim().to_owned())
    };
    let words = bare(words);
    let among = |list: &[String]| !words.is_empty() && list.iter().any(|line| bare(line) == words);
    match (among(&control.start), among(&control.end)) {
        (true, _) => Some("start"),
        (_, true) => Some("end"),
        _ => None,
    }
}

/// Causes first: what the control is told; then what the tool does; then what the piece is.
fn rank(code: &str) -> u8 {
    match code {
        "proof/size"
        | "proof/attribute"
        | "proof/left-over"
        | "proof/not-through"
        | "proof/too-deep"
        | "proof/chamfer"
        | "proof/hole-place"
        | "proof/thread-pitch"
        | "proof/thread-hand"
        | "proof/thread-phase"
        | "proof/thread-axis"
        | "proof/thread-depth"
        | "proof/thread-passes"
        | "proof/thread-major"
        | "proof/thread-lead" => 2,
        "proof/rapid-in-material"
        | "proof/gouge"
        | "proof/jaw"
        | "proof/stop"
        | "proof/parallel"
        | "proof/holder"
        | "proof/beyond-flutes"
        | "proof/plunge"
        | "proof/no-peck"
        | "proof/chip-load"
        | "proof/depth-of-cut"
        | "proof/engagement"
        | "proof/power"
        | "proof/travel"
        | "proof/not-clear"
        | "proof/change-room"
        | "proof/end-spindle"
        | "proof/end-coolant" => 1,
        _ => 0,
    }
}

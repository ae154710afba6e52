//! Findings: what is wrong, where, and what would be right.
//!
//! In come the pieces of a finding; out goes one plain structure that a terminal, a page and a
//! JSON reader each render in their own way. This room never renders anything.

use serde::{Deserialize, Serialize};

use crate::source::Span;

/// How much a finding matters.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Severity {
    /// Worth a second look; the work goes on.
    Caution,
    /// The work stops here.
    Refused,
}

/// A place in a named source, with a word about it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Label {
    /// The name of the source.
    pub source: String,
    /// Where.
    pub span: Span,
    /// What about it.
    pub text: String,
}

/// One finding.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Diagnostic {
    /// A stable name of this kind of finding: `room/kind`.
    pub code: &'static str,
    /// How much it matters.
    pub severity: Severity,
    /// One sentence that stands alone.
    pub headline: String,
    /// Places; the first is where it is.
    pub labels: Vec<Label>,
    /// How it came about.
    pub notes: Vec<String>,
    /// What would be right.
    pub helps: Vec<String>,
    /// Whether it only follows from another finding, which is the root: who mends that one need not
    /// look at this one. A person is told of the roots; left out of JSON where it is one.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub follows: bool,
}

/// What a step made, if it could, and all that it found on the way.
#[derive(Clone, Debug)]
pub struct Checked<T> {
    /// The finished goods; `None` where a finding is [`Severity::Refused`].
    pub value: Option<T>,
    /// The findings, in the order of the text that they speak of.
    pub findings: Vec<Diagnostic>,
}

/// Where something in a part or program comes from: the line of the file that asked for it.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Origin {
    /// The name of the source.
    pub source: String,
    /// The line, from one.
    pub line: usize,
}

impl Diagnostic {
    /// A finding that stops the work.
    pub fn refused(code: &'static str, headline: impl Into<String>) -> Self {
        Self::new(code, Severity::Refused, headline.into())
    }

    /// A finding worth a second look.
    pub fn caution(code: &'static str, headline: impl Into<String>) -> Self {
        Self::new(code, Severity::Caution, headline.into())
    }

    fn new(code: &'static str, severity: Severity, headline: String) -> Self {
        Self { code, severity, headline, labels: Vec::new(), notes: Vec::new(), helps: Vec::new(), follows: false }
    }

    /// Whether the work stops for this reason, and not only for what follows from another.
    pub const fn is_root(&self) -> bool {
        matches!(self.severity, Severity::Refused) && !self.follows
    }

    /// Adds a place.
    #[must_use]
    pub fn at(mut self, source: &str, span: Span, text: impl Into<String>) -> Self {
        self.labels.push(Label { source: source.to_owned(), span, text: text.into() });
        self
    }

    /// Adds a note on how it came about.
    #[must_use]
    pub fn note(mut self, text: impl Into<String>) -> Self {
        self.notes.push(text.into());
        self
    }

    /// Adds what would be right.
    #[must_use]
    pub fn help(mut self, text: impl Into<String>) -> Self {
        self.helps.push(text.into());
        self
    }
}

impl<T> Checked<T> {
    /// Goods without a finding.
    pub const fn clean(value: T) -> Self {
        Self { value: Some(value), findings: Vec::new() }
    }

    /// No goods, one finding.
    pub fn refuse(finding: Diagnostic) -> Self {
        Self { value: None, findings: vec![finding] }
    }

    /// Goods unless a finding refuses them.
    pub fn unless_refused(value: T, findings: Vec<Diagnostic>) -> Self {
        let refused = findings.iter().any(|finding| finding.severity == Severity::Refused);
        Self { value: (!refused).then_some(value), findings }
    }

    /// The goods, or the findings that stand against them.
    ///
    /// # Errors
    /// All findings, where there are no goods.
    pub fn into_result(self) -> Result<T, Vec<Diagnostic>> {
        self.value.ok_or(self.findings)
    }
}

/// The known name nearest to one that was mistyped, if any is near: at most a third of its
/// characters are to be changed, added, left out or swapped.
pub fn nearest<'n>(typed: &str, known: impl IntoIterator<Item = &'n str>) -> Option<&'n str> {
    let typed: Vec<char> = typed.chars().take(64).collect();
    known
        .into_iter()
        .map(|name| (distance(&typed, &name.chars().collect::<Vec<_>>()), name))
        .filter(|(distance, name)| *distance * 3 <= typed.len().max(name.chars().count()))
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, name)| name)
}

/// Edits between two words: change, add, leave out, swap two neighbours (optimal string
/// alignment).
fn distance(a: &[char], b: &[char]) -> usize {
    let mut rows: Vec<Vec<usize>> = vec![(0..=b.len()).collect()];
    for (i, x) in a.iter().enumerate() {
        let mut row = vec![i + 1];
        for (j, y) in b.iter().enumerate() {
            let mut least = (rows[i][j] + usize::from(x != y)).min(rows[i][j + 1] + 1).min(row[j] + 1);
            if i > 0 && j > 0 && *x == b[j - 1] && a[i - 1] == *y {
                least = least.min(rows[i - 1][j - 1] + 1);
            }
            row.push(least);
        }
        rows.push(row);
    }
    rows[a.len()][b.len()]
}

#[cfg(test)]
mod tests {
    use super::nearest;

    #[test]
    fn slips_are_found() {
        let known = ["slot_opening", "lip_thickness", "screw"];
        assert_eq!(nearest("slot_openning", known), Some("slot_opening"), "a letter too many");
        assert_eq!(nearest("srcew", known), Some("screw"), "two letters swapped");
        assert_eq!(nearest("colour", known), None, "nothing near");
    }
}

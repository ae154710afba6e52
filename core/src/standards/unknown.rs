//! The answer to a name that no table holds.

use std::fmt;

/// A name or a size that a standard does not know, and what it does know.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unknown {
    /// What is wrong, in one sentence with the offending text.
    pub what: String,
    /// What would be right: the nearest names, or the form of a name.
    pub help: String,
}

impl Unknown {
    /// An answer with its help.
    pub(super) fn new(what: impl Into<String>, help: impl Into<String>) -> Self {
        Self { what: what.into(), help: help.into() }
    }

    /// An answer that offers those of the known names that are closest to the one asked for.
    pub(super) fn near<'n>(noun: &str, name: &str, known: impl IntoIterator<Item = &'n str>) -> Self {
        let close = closest(name, known, 4);
        let help = if close.is_empty() {
            "Nothing like it is known here.".to_owned()
        } else {
            format!("Known and close to it: {}.", close.join(", "))
        };
        Self::new(format!("`{}` is no {noun} that is known here.", shown(name)), help)
    }
}

impl fmt::Display for Unknown {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.what, self.help)
    }
}

impl std::error::Error for Unknown {}

/// The longest name that is read, in bytes: far above any name in a table.
pub(super) const LONGEST: usize = 60;

/// A name as it is repeated in a message: what is too long is cut, control characters are left out.
pub(super) fn shown(name: &str) -> String {
    let clean: String = name.trim().chars().filter(|c| !c.is_control() && *c != '`').collect();
    if clean.chars().count() > 40 { clean.chars().take(37).chain("...".chars()).collect() } else { clean }
}

/// A name in lower case, without blanks, with one kind of dash and of multiplication sign, so
/// that `M10 × 1.25` and `m10x1.25` are one; `None` where it is too long to be a name.
pub(super) fn folded(name: &str) -> Option<String> {
    if name.len() > LONGEST {
        return None;
    }
    let fold = |c: char| match c {
        '×' | '*' => 'x',
        '–' | '—' | '−' | '‐' | '‑' => '-',
        '⁄' => '/',
        _ => c.to_ascii_lowercase(),
    };
    Some(name.chars().filter(|c| !c.is_whitespace()).map(fold).collect())
}

/// The known names that take the fewest changes to reach, best first, in the order of the table
/// where two are as near.
fn closest<'n>(name: &str, known: impl IntoIterator<Item = &'n str>, most: usize) -> Vec<&'n str> {
    let asked: Vec<char> = folded(name).unwrap_or_default().chars().collect();
    let mut ranked: Vec<(usize, &str)> = known
        .into_iter()
        .map(|known| (distance(&asked, &folded(known).unwrap_or_default().chars().collect::<Vec<_>>()), known))
        .collect();
    ranked.sort_by_key(|(distance, _)| *distance);
    ranked.into_iter().take(most).map(|(_, known)| known).collect()
}

/// How many single characters must be put in, left out or changed.
fn distance(from: &[char], to: &[char]) -> usize {
    let mut row: Vec<usize> = (0..=to.len()).collect();
    for (i, a) in from.iter().enumerate() {
        let mut diagonal = i;
        let mut left = i + 1;
        for (b, cell) in to.iter().zip(row.iter_mut().skip(1)) {
            let best = (diagonal + usize::from(a != b)).min(*cell + 1).min(left + 1);
            diagonal = *cell;
            *cell = best;
            left = best;
        }
        if let Some(first) = row.first_mut() {
            *first = i + 1;
        }
    }
    row.last().copied().unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn near_names_come_first() {
        assert_eq!(closest("M5x", ["M4", "M5", "M5x0.5", "1/4-20"], 2), ["M5", "M4"], "one change, then two");
        assert_eq!(distance(&['a', 'b'], &['b']), 1, "one left out");
        assert_eq!(distance(&[], &['b', 'c']), 2, "two put in");
    }

    #[test]
    fn a_message_stays_short() {
        let error = Unknown::near("thread", &"x".repeat(10_000), ["M5"]);
        assert!(error.to_string().len() < 200, "{error}");
    }
}

//! Reading the entries of a map one by one, collecting what is wrong.

use std::cell::RefCell;
use std::collections::BTreeSet;

use super::{Key, Node, Scalar};
use crate::diag::{Diagnostic, nearest};
use crate::quantity::{Dim, Quantity, read_as};
use crate::source::{Source, Span};

/// The entries of a map, taken by name; [`Fields::finish`] reports those that nobody took.
#[derive(Debug)]
pub struct Fields<'n> {
    source: &'n Source,
    entries: &'n [(Key, Node)],
    span: Span,
    what: String,
    asked: BTreeSet<&'static str>,
    findings: &'n RefCell<Vec<Diagnostic>>,
    /// The keys that the map can hold and whether each must be there, where a table tells.
    known: Option<Vec<(&'static str, bool)>>,
    needed: BTreeSet<&'static str>,
}

impl<'n> Fields<'n> {
    /// The entries of `node`, which is `what` in words: `a size`, `the machine`. A node that is
    /// no map is reported, and has no entries.
    pub fn of(source: &'n Source, node: &'n Node, what: &str, findings: &'n RefCell<Vec<Diagnostic>>) -> Self {
        let entries = node.map().unwrap_or_else(|| {
            findings.borrow_mut().push(
                Diagnostic::refused("yaml/not-a-map", capital(&format!("{what} needs names with values."))).at(
                    source.name(),
                    node.span,
                    format!("this is {}", node.kind()),
                ),
            );
            &[]
        });
        Self {
            source,
            entries,
            span: node.span,
            what: what.to_owned(),
            asked: BTreeSet::new(),
            findings,
            known: None,
            needed: BTreeSet::new(),
        }
    }

    /// The keys of a table, and whether each must be there, are all that the map can hold.
    ///
    /// Whoever reads the map reads just these: a debug build, and so every test, stops where reader
    /// and table differ. A release build goes by the table: a key that is not in it is refused.
    #[must_use]
    pub fn within(mut self, known: Vec<(&'static str, bool)>) -> Self {
        self.known = Some(known);
        self
    }

    /// Reports something about a place in this map.
    pub fn refuse(
        &self,
        code: &'static str,
        headline: impl Into<String>,
        span: Span,
        label: impl Into<String>,
        help: impl Into<String>,
    ) {
        let mut finding = Diagnostic::refused(code, headline).at(self.source.name(), span, label);
        let help = help.into();
        if !help.is_empty() {
            finding = finding.help(help);
        }
        self.findings.borrow_mut().push(finding);
    }

    /// Where the map stands.
    pub const fn span(&self) -> Span {
        self.span
    }

    /// The source that the map is read from.
    pub const fn source(&self) -> &'n Source {
        self.source
    }

    /// The node under this key, if the key is there.
    pub fn node(&mut self, key: &'static str) -> Option<&'n Node> {
        self.asked.insert(key);
        self.entries.iter().find(|(known, _)| known.text == key).map(|(_, node)| node)
    }

    /// The place of a key that is there.
    pub fn key_span(&self, key: &str) -> Span {
        self.entries.iter().find(|(known, _)| known.text == key).map_or(self.span, |(key, _)| key.span)
    }

    /// The node under a key that must be there.
    pub fn need(&mut self, key: &'static str) -> Option<&'n Node> {
        let node = self.node(key);
        self.needed.insert(key);
        if node.is_none() {
            let headline = format!("`{key}` is missing in {}.", self.what);
            self.refuse("yaml/missing", headline, self.span, format!("no `{key}` in it"), "");
        }
        node
    }

    /// The scalar under a key, if the key is there; a list or map there is reported.
    pub fn scalar(&mut self, key: &'static str) -> Option<(&'n Scalar, Span)> {
        let node = self.node(key)?;
        let scalar = node.scalar();
        if scalar.is_none() {
            let headline = format!("`{key}` of {} needs a value.", self.what);
            self.refuse("yaml/not-a-value", headline, node.span, format!("this is {}", node.kind()), "");
        }
        Some((scalar?, node.span))
    }

    /// The text under a key, if the key is there.
    pub fn text(&mut self, key: &'static str) -> Option<String> {
        self.scalar(key).map(|(scalar, _)| scalar.text.clone())
    }

    /// The text under a key that must be there.
    pub fn need_text(&mut self, key: &'static str) -> Option<String> {
        self.need(key)?;
        self.text(key)
    }

    /// A value of this dimension under a key, if the key is there.
    pub fn quantity(&mut self, key: &'static str, dim: Dim) -> Option<Quantity> {
        let (scalar, span) = self.scalar(key)?;
        match read_as(&scalar.text, dim, None) {
            Ok(quantity) => Some(quantity),
            Err(error) => {
                let headline = format!("`{key}` of {} is no {dim}.", self.what);
                self.refuse("yaml/value", headline, span, error.what, error.help);
                None
            }
        }
    }

    /// A value of this dimension under a key that must be there.
    pub fn need_quantity(&mut self, key: &'static str, dim: Dim) -> Option<Quantity> {
        self.need(key)?;
        self.quantity(key, dim)
    }

    /// `yes` or `no` under a key, if the key is there.
    pub fn flag(&mut self, key: &'static str) -> Option<bool> {
        let (scalar, span) = self.scalar(key)?;
        match scalar.text.as_str() {
            "yes" | "true" => Some(true),
            "no" | "false" => Some(false),
            other => {
                self.refuse(
                    "yaml/value",
                    format!("`{key}` of {} is yes or no.", self.what),
                    span,
                    format!("`{other}` is neither"),
                    "",
                );
                None
            }
        }
    }

    /// A whole number from zero up under a key, if the key is there.
    pub fn count(&mut self, key: &'static str) -> Option<u32> {
        let (scalar, span) = self.scalar(key)?;
        let read = scalar.text.parse().ok().filter(|count| *count <= 1_000_000);
        if read.is_none() {
            self.refuse(
                "yaml/value",
                format!("`{key}` of {} is a whole number.", self.what),
                span,
                "not a whole number up to a million",
                "",
            );
        }
        read
    }

    /// One of several words under a key, if the key is there.
    pub fn choice<T: Copy>(&mut self, key: &'static str, choices: &[(&str, T)]) -> Option<T> {
        let (scalar, span) = self.scalar(key)?;
        let found = choices.iter().find(|(name, _)| *name == scalar.text).map(|(_, value)| *value);
        if found.is_none() {
            let names: Vec<&str> = choices.iter().map(|(name, _)| *name).collect();
            let help = nearest(&scalar.text, names.iter().copied())
                .map_or_else(String::new, |name| format!("Did you mean `{name}`?"));
            let label = format!("one of: {}", names.join(", "));
            self.refuse(
                "yaml/choice",
                format!("`{key}` of {} cannot be `{}`.", self.what, scalar.text),
                span,
                label,
                help,
            );
        }
        found
    }

    /// The nodes of the list under a key; none where the key is not there.
    pub fn list(&mut self, key: &'static str) -> &'n [Node] {
        let Some(node) = self.node(key) else { return &[] };
        node.list().unwrap_or_else(|| {
            let headline = format!("`{key}` of {} needs a list.", self.what);
            self.refuse("yaml/not-a-list", headline, node.span, format!("this is {}", node.kind()), "");
            &[]
        })
    }

    /// Ends the reading: reports each key that nobody asked for, with the nearest known one.
    pub fn finish(self) {
        if let Some(known) = &self.known {
            let all: BTreeSet<&str> = known.iter().map(|(name, _)| *name).collect();
            let needed: BTreeSet<&str> = known.iter().filter(|(_, need)| *need).map(|(name, _)| *name).collect();
            debug_assert_eq!(self.asked, all, "the keys that are read of {} are those of its table", self.what);
            debug_assert_eq!(self.needed, needed, "the keys that {} must have are those of its table", self.what);
        }
        let names: Vec<&str> = match &self.known {
            Some(known) => known.iter().map(|(name, _)| *name).collect(),
            None => self.asked.iter().copied().collect(),
        };
        for (key, _) in self.entries {
            if names.contains(&key.text.as_str()) {
                continue;
            }
            let help = match nearest(&key.text, names.iter().copied()) {
                Some(name) => format!("Did you mean `{name}`?"),
                None => format!("Known here: {}.", names.join(", ")),
            };
            self.refuse(
                "yaml/unknown-key",
                format!("`{}` does not belong in {}.", key.text, self.what),
                key.span,
                "not known here",
                help,
            );
        }
    }
}

/// With a capital at its start; these are the core's own words.
fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or(String::new(), |first| [first.to_ascii_uppercase()].into_iter().chain(letters).collect())
}

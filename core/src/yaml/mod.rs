//! YAML with places: a tree in which every value knows where it stands.
//!
//! In comes a source; out comes a tree of nodes with spans, and readers that collect every error
//! of a file rather than the first. This room never knows what a file is about.
//!
//! `serde_yaml` reads the values (with its limits on nesting and aliases), `saphyr-parser` tells
//! where they stand; the two are walked side by side. Where weight counts either is left out by a
//! feature: a page has the second alone, and a page that shows ready families reads only JSON,
//! into which they are turned when it is built ([`Node`] is written and read by `serde`).

mod fields;
mod json;
#[cfg(feature = "yaml")]
mod locate;

pub use fields::Fields;

use crate::diag::{Checked, Diagnostic};
use crate::source::{Source, Span};
#[cfg(not(feature = "yaml"))]
use json::tree;
#[cfg(feature = "yaml")]
use locate::tree;

/// The largest file that is read, in bytes.
pub const LARGEST: usize = 256 * 1024;

/// The deepest nesting of lists and maps.
pub const DEEPEST: usize = 64;

/// A value with the place where it stands.
#[derive(Clone, Debug, PartialEq)]
pub struct Node {
    /// Where; for a list or a map, its first line's stretch.
    pub span: Span,
    /// What.
    pub value: Value,
}

/// What a node holds.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// Nothing: an empty value, `~` or `null`.
    Nothing,
    /// A word, a sentence or a number, as it was written.
    Scalar(Scalar),
    /// A list.
    List(Vec<Node>),
    /// A map, in the order of the file.
    Map(Vec<(Key, Node)>),
}

/// A scalar value.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Scalar {
    /// The text.
    pub text: String,
    /// The byte of the source at which the text begins, where the source holds the text letter
    /// by letter; `None` for texts with escapes or folded lines.
    pub verbatim: Option<usize>,
}

/// A key with the place where it stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Key {
    /// The key.
    pub text: String,
    /// Where.
    pub span: Span,
}

/// Reads a source into a tree.
///
/// Findings: a file past [`LARGEST`], broken YAML, a key given twice, a tag, a key that is no
/// word, a control character in a text.
pub fn read(source: &Source) -> Checked<Node> {
    if source.text().len() > LARGEST {
        return Checked::refuse(
            Diagnostic::refused("yaml/too-large", format!("{} is larger than {} KiB.", source.name(), LARGEST / 1024))
                .help("Split it, or take out what is not used."),
        );
    }
    #[cfg(feature = "second-reader")]
    if let Some(broken) = broken(source) {
        return broken;
    }
    match tree(source) {
        Ok((node, findings)) => Checked::unless_refused(node, findings),
        Err(finding) => Checked::refuse(finding),
    }
}

/// What the second reader finds broken.
#[cfg(feature = "second-reader")]
fn broken(source: &Source) -> Option<Checked<Node>> {
    let error = serde_yaml::from_str::<serde_yaml::Value>(source.text()).err()?;
    // A key that stands twice is told with its place.
    if let Ok((_, findings)) = tree(source)
        && !findings.is_empty()
    {
        return Some(Checked { value: None, findings });
    }
    let at = error.location().map_or(0, |location| location.index().min(source.text().len()));
    let what = error.to_string();
    let what = what.split(" at line ").next().unwrap_or("this cannot be read").to_owned();
    let end = source.text()[at..].find('\n').map_or(source.text().len(), |line| at + line);
    Some(Checked::refuse(
        Diagnostic::refused("yaml/broken", "This is not YAML that can be read.")
            .at(source.name(), Span::new(at, end.max(at)), what)
            .help("Keys end with a colon and a blank; what belongs to a key stands two blanks further in; text with `: ` or ` #` in it goes in quotes."),
    ))
}

impl Node {
    /// The scalar, if the node is one.
    pub fn scalar(&self) -> Option<&Scalar> {
        match &self.value {
            Value::Scalar(scalar) => Some(scalar),
            Value::Nothing | Value::List(_) | Value::Map(_) => None,
        }
    }

    /// The items, if the node is a list.
    pub fn list(&self) -> Option<&[Self]> {
        match &self.value {
            Value::List(items) => Some(items),
            Value::Nothing | Value::Scalar(_) | Value::Map(_) => None,
        }
    }

    /// The entries, if the node is a map.
    pub fn map(&self) -> Option<&[(Key, Self)]> {
        match &self.value {
            Value::Map(entries) => Some(entries),
            Value::Nothing | Value::Scalar(_) | Value::List(_) => None,
        }
    }

    /// What the node is, in words.
    pub fn kind(&self) -> &'static str {
        match self.value {
            Value::Nothing => "nothing",
            Value::Scalar(_) => "a value",
            Value::List(_) => "a list",
            Value::Map(_) => "a map",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn tree(text: &str) -> Node {
        read(&Source::new("t", text)).into_result().expect("good YAML")
    }

    #[test]
    fn scalars_know_their_place() {
        let text = "a: 5 mm # width\nb:\n  - {c: '1/4-20', d: \"x\\u00b5y\"}\nc: no\n";
        let node = tree(text);
        let map = node.map().expect("a map");
        assert_eq!(&text[map[0].1.span.range()], "5 mm", "a plain scalar");
        let item = &map[1].1.list().expect("a list")[0];
        let inner = item.map().expect("a map");
        let quoted = inner[0].1.scalar().expect("a scalar");
        assert_eq!(&text[quoted.verbatim.expect("letter by letter")..][..6], "1/4-20", "inside the quotes");
        let escaped = inner[1].1.scalar().expect("a scalar");
        assert_eq!((escaped.text.as_str(), escaped.verbatim), ("xµy", None), "escapes are not verbatim");
        assert_eq!(map[2].1.scalar().expect("a scalar").text, "no", "no is a word here");
    }

    #[test]
    fn a_text_is_one_line() {
        let node = tree("a: |\n  one\n  two\nb: \"x\\ty\\n z\"\nc: 'as  it is'\n");
        let texts: Vec<&str> =
            node.map().expect("a map").iter().filter_map(|(_, node)| Some(node.scalar()?.text.as_str())).collect();
        assert_eq!(texts, ["one two", "x y z", "as  it is"], "lines and tabs are blanks");
    }

    #[test]
    fn what_is_refused() {
        for (text, code) in [
            ("a: [1", "yaml/broken"),
            ("a: 1\na: 2\n", "yaml/twice"),
            ("a: !Tag 1\n", "yaml/tag"),
            ("? [1]\n: 2\n", "yaml/key"),
            ("a: 1\n---\nb: 2\n", "yaml/broken"),
            ("a: &x 1\nb: *x\n", "yaml/alias"),
            ("a: \"x\\u001b[31m\"\n", "yaml/control"),
            ("a: \"x\\0\"\n", "yaml/control"),
        ] {
            let checked = read(&Source::new("t", text));
            assert!(checked.value.is_none(), "{text}");
            assert_eq!(checked.findings[0].code, code, "{text}");
        }
        let deep = "[".repeat(5000) + &"]".repeat(5000);
        assert!(read(&Source::new("t", deep)).value.is_none(), "too deep");
    }
}

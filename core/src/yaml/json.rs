//! The tree as JSON: how ready families travel to where no YAML is read.

use std::fmt::{Formatter, Result as Written};

use serde::de::{Deserialize, Deserializer, Error, MapAccess, SeqAccess, Visitor};
use serde::ser::{Serialize, SerializeMap, Serializer};

use super::{Key, Node, Scalar, Value};
use crate::source::Span;
#[cfg(not(feature = "yaml"))]
use crate::{diag::Diagnostic, source::Source};

/// Reads the tree; it has no places, and there is nothing beside it to find.
#[cfg(not(feature = "yaml"))]
pub(super) fn tree(source: &Source) -> Result<(Node, Vec<Diagnostic>), Diagnostic> {
    serde_json::from_str(source.text()).map(|node| (node, Vec::new())).map_err(|error| {
        Diagnostic::refused("yaml/broken", "This is not JSON that can be read.").at(
            source.name(),
            Span::default(),
            error.to_string(),
        )
    })
}

impl Serialize for Node {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        match &self.value {
            Value::Nothing => to.serialize_unit(),
            Value::Scalar(scalar) => to.serialize_str(&scalar.text),
            Value::List(items) => to.collect_seq(items),
            Value::Map(entries) => {
                // In the order of the file, which a map of the library would not keep.
                let mut map = to.serialize_map(Some(entries.len()))?;
                for (key, node) in entries {
                    map.serialize_entry(&key.text, node)?;
                }
                map.end()
            }
        }
    }
}

impl<'de> Deserialize<'de> for Node {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        from.deserialize_any(Reader).map(|value| Self { span: Span::default(), value })
    }
}

struct Reader;

impl<'de> Visitor<'de> for Reader {
    type Value = Value;

    fn expecting(&self, f: &mut Formatter<'_>) -> Written {
        f.write_str("a text, a list, a map or null")
    }

    fn visit_unit<E: Error>(self) -> Result<Value, E> {
        Ok(Value::Nothing)
    }

    fn visit_str<E: Error>(self, text: &str) -> Result<Value, E> {
        Ok(Value::Scalar(Scalar { text: text.to_owned(), verbatim: None }))
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut from: A) -> Result<Value, A::Error> {
        let mut items = Vec::new();
        while let Some(item) = from.next_element()? {
            items.push(item);
        }
        Ok(Value::List(items))
    }

    fn visit_map<A: MapAccess<'de>>(self, mut from: A) -> Result<Value, A::Error> {
        let mut entries: Vec<(Key, Node)> = Vec::new();
        while let Some(text) = from.next_key::<String>()? {
            if entries.iter().any(|(key, _)| key.text == text) {
                return Err(A::Error::custom(format_args!("`{text}` is given twice")));
            }
            entries.push((Key { text, span: Span::default() }, from.next_value()?));
        }
        Ok(Value::Map(entries))
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Node, read};
    use crate::source::Source;

    /// The tree without its places.
    fn bare(text: &str) -> String {
        serde_json::to_string(&serde_json::from_str::<Node>(text).expect("a tree")).expect("JSON")
    }

    #[test]
    fn comes_back_as_it_was_in_its_order() {
        let source = Source::new("t", "z: 5 mm\na:\n  - {c: '1/4-20', d: \"x y\"}\n  - ~\nm: no\n");
        let written = serde_json::to_string(&read(&source).into_result().expect("good YAML")).expect("JSON");
        assert_eq!(written, r#"{"z":"5 mm","a":[{"c":"1/4-20","d":"x y"},null],"m":"no"}"#);
        assert_eq!(bare(&written), written, "and back");
    }

    #[test]
    fn a_key_given_twice_is_refused() {
        assert!(serde_json::from_str::<Node>(r#"{"a":"1","a":"2"}"#).is_err());
    }
}

//! The tree with its places, from the events of `saphyr-parser`.

use std::collections::BTreeSet;

use saphyr_parser::{Event, Parser, ScalarStyle};

use super::{DEEPEST, Key, Node, Scalar, Value};
use crate::diag::Diagnostic;
use crate::source::{Source, Span};

struct Reader<'s> {
    source: &'s Source,
    events: Vec<(Event<'s>, Span)>,
    at: usize,
    findings: Vec<Diagnostic>,
}

/// Reads the tree; the findings beside it are keys given twice, tags and aliases.
pub(super) fn tree(source: &Source) -> Result<(Node, Vec<Diagnostic>), Diagnostic> {
    let bytes = byte_of_char(source.text());
    let byte = |index: usize| bytes.get(index).copied().unwrap_or(source.text().len());
    let mut events = Vec::new();
    for event in Parser::new_from_str(source.text()) {
        match event {
            Ok((event, span)) => events.push((event, Span::new(byte(span.start.index()), byte(span.end.index())))),
            Err(error) => {
                let at = byte(error.marker().index());
                return Err(Diagnostic::refused("yaml/broken", "This is not YAML that can be read.").at(
                    source.name(),
                    Span::new(at, at),
                    error.info(),
                ));
            }
        }
    }
    let mut reader = Reader { source, events, at: 0, findings: Vec::new() };
    while matches!(reader.peek(), Some(Event::StreamStart | Event::DocumentStart(_) | Event::Nothing)) {
        reader.at += 1;
    }
    let node = reader.node(0)?;
    if let Some((_, span)) = reader
        .events
        .get(reader.at..)
        .unwrap_or_default()
        .iter()
        .find(|(event, _)| matches!(event, Event::DocumentStart(_)))
    {
        return Err(Diagnostic::refused("yaml/broken", "This is not YAML that can be read.").at(
            source.name(),
            *span,
            "a second document begins; one file holds one",
        ));
    }
    Ok((node, reader.findings))
}

/// The byte at which each character starts.
fn byte_of_char(text: &str) -> Vec<usize> {
    text.char_indices().map(|(byte, _)| byte).collect()
}

/// What no paper can hold: control characters that no blank stands for, and what is no character.
fn unfit(sign: char) -> bool {
    (sign.is_control() && !matches!(sign, '\n' | '\r' | '\t')) || matches!(sign, '\u{fffe}' | '\u{ffff}')
}

impl Reader<'_> {
    fn peek(&self) -> Option<&Event<'_>> {
        self.events.get(self.at).map(|(event, _)| event)
    }

    fn refuse(&mut self, code: &'static str, headline: &str, span: Span, label: &str) {
        self.findings.push(Diagnostic::refused(code, headline).at(self.source.name(), span, label));
    }

    fn node(&mut self, depth: usize) -> Result<Node, Diagnostic> {
        let Some((event, span)) = self.events.get(self.at).cloned() else {
            return Ok(Node { span: Span::default(), value: Value::Nothing });
        };
        self.at += 1;
        if depth > DEEPEST {
            return Err(Diagnostic::refused("yaml/too-deep", format!("This is nested more than {DEEPEST} deep.")).at(
                self.source.name(),
                span,
                "here",
            ));
        }
        match event {
            Event::Scalar(text, style, _, tag) => {
                if tag.is_some() {
                    self.refuse("yaml/tag", "Tags are not read here.", span, "take out the `!…` before it");
                }
                Ok(self.scalar(&text, style, span))
            }
            Event::SequenceStart(..) => {
                let mut items = Vec::new();
                while !matches!(self.peek(), None | Some(Event::SequenceEnd)) {
                    items.push(self.node(depth + 1)?);
                }
                self.at += 1;
                Ok(Node { span: self.line(span), value: Value::List(items) })
            }
            Event::MappingStart(..) => self.map(span, depth),
            Event::Alias(_) => {
                self.refuse("yaml/alias", "Aliases are not read here.", span, "write the value out");
                Ok(Node { span, value: Value::Nothing })
            }
            _ => Ok(Node { span, value: Value::Nothing }),
        }
    }

    fn map(&mut self, span: Span, depth: usize) -> Result<Node, Diagnostic> {
        let mut entries: Vec<(Key, Node)> = Vec::new();
        let mut seen = BTreeSet::new();
        while !matches!(self.peek(), None | Some(Event::MappingEnd)) {
            let key = self.node(depth + 1)?;
            let value = self.node(depth + 1)?;
            let Some(scalar) = key.scalar() else {
                self.refuse("yaml/key", "A key must be a word.", key.span, "not a word");
                continue;
            };
            if !seen.insert(scalar.text.clone()) {
                let label = format!("`{}` stands above already", scalar.text);
                self.refuse("yaml/twice", "A key is given twice.", key.span, &label);
                continue;
            }
            entries.push((Key { text: scalar.text.clone(), span: key.span }, value));
        }
        self.at += 1;
        Ok(Node { span: self.line(span), value: Value::Map(entries) })
    }

    fn scalar(&mut self, text: &str, style: ScalarStyle, span: Span) -> Node {
        if let Some(sign) = text.chars().find(|sign| unfit(*sign)) {
            let label = format!("U+{:04X} is in it", u32::from(sign));
            self.refuse("yaml/control", "A control character stands in a text.", span, &label);
            return Node { span, value: Value::Nothing };
        }
        if text.contains(['\n', '\r', '\t']) {
            // Texts here are titles, sentences and words: whatever its lines were, it is one now.
            let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
            return Node { span, value: Value::Scalar(Scalar { text, verbatim: None }) };
        }
        let written = self.source.slice(span);
        let plain = matches!(style, ScalarStyle::Plain);
        if plain && matches!(text, "" | "~" | "null") {
            return Node { span, value: Value::Nothing };
        }
        let inner = usize::from(!plain);
        let verbatim = written.get(inner..).filter(|tail| tail.starts_with(text)).map(|_| span.start + inner);
        Node { span, value: Value::Scalar(Scalar { text: text.to_owned(), verbatim }) }
    }

    /// From the start of a span to the end of its line.
    fn line(&self, span: Span) -> Span {
        let tail = self.source.text().get(span.start..).unwrap_or("");
        let end = span.start + tail.find('\n').unwrap_or(tail.len());
        Span::new(span.start, end)
    }
}

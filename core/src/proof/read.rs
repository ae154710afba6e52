//! A line of text into its words (NISTIR 6556, 3.3 and appendix E).

use super::expression::{Cursor, Parameters};
use super::fault::{Fault, stops};
use crate::shop::Comments;

/// The longest line, in characters (3.3).
pub(super) const LONGEST: usize = 256;

/// A letter and its number.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Word {
    pub(super) letter: char,
    pub(super) value: f64,
}

/// One line, read.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Block {
    pub(super) words: Vec<Word>,
    /// The last comment of the line: the only one that counts (3.3.4).
    pub(super) comment: Option<String>,
    /// Parameters that the line sets; they take effect when the whole line has been read.
    pub(super) settings: Vec<(u32, f64)>,
    /// The line starts with `/`.
    pub(super) deletable: bool,
}

/// Reads one line.
///
/// # Errors
/// What stands there and is no line of RS-274.
pub(super) fn line(text: &str, comments: Comments, parameters: &Parameters) -> Result<Block, Fault> {
    if text.chars().count() > LONGEST {
        return Err(stops("proof/line-length", format!("The line is longer than {LONGEST} characters.")));
    }
    let (ink, comment) = ink(text, comments)?;
    let mut block = Block { comment, ..Block::default() };
    let mut cursor = Cursor::new(&ink, parameters);
    block.deletable = cursor.take("/");
    if cursor.take("n") {
        cursor.digits(5)?;
    }
    while let Some(letter) = cursor.next() {
        match letter {
            REMARK => {}
            '#' => {
                let index = cursor.index()?;
                if !cursor.take("=") {
                    return Err(stops("proof/parameter", "A parameter is named but not set."));
                }
                block.settings.push((index, cursor.value()?));
            }
            'n' => return Err(stops("proof/line-number", "N stands behind other words; it may only start a line.")),
            'a'..='d' | 'f'..='m' | 'p'..='t' | 'x'..='z' => {
                block.words.push(Word { letter: letter.to_ascii_uppercase(), value: cursor.value()? });
            }
            'a'..='z' => {
                let letter = letter.to_ascii_uppercase();
                return Err(stops("proof/unknown-word", format!("No word starts with {letter}.")));
            }
            other => {
                return Err(stops("proof/unknown-word", format!("`{}` has no meaning here.", other.escape_default())));
            }
        }
    }
    Ok(block)
}

/// Stands in the ink for a comment, so that no word reaches across one.
const REMARK: char = '\u{1}';

/// The line without blanks and comments, in small letters; and its last comment.
fn ink(text: &str, comments: Comments) -> Result<(Vec<char>, Option<String>), Fault> {
    let mut ink = Vec::with_capacity(text.len());
    let mut comment: Option<String> = None;
    let mut open: Option<String> = None;
    let mut rest = text.chars();
    while let Some(c) = rest.next() {
        if !(c == '\t' || (' '..='~').contains(&c)) {
            return Err(stops(
                "proof/character",
                format!("`{}` is not a character that every control can read.", c.escape_default()),
            ));
        }
        match (&mut open, c) {
            (Some(_), '(') => return Err(stops("proof/comment", "A comment is opened inside a comment.")),
            (Some(_), ')') => {
                comment = open.take();
                ink.push(REMARK);
            }
            (Some(inside), _) => inside.push(c),
            (None, '(') if comments == Comments::None => {
                return Err(stops("proof/comment", "This control knows no comments."));
            }
            (None, '(') => open = Some(String::new()),
            (None, ';') if comments == Comments::Semicolon => {
                comment = Some(rest.by_ref().collect());
                ink.push(REMARK);
            }
            (None, ' ' | '\t') => {}
            (None, _) => ink.push(c.to_ascii_lowercase()),
        }
    }
    if open.is_some() {
        return Err(stops("proof/comment", "A comment is not closed on its line."));
    }
    Ok((ink, comment))
}

/// The message of a comment, if it is one: its first printing characters are `MSG,` in any case,
/// blanks between them allowed (3.3.4).
pub(super) fn message(comment: &str) -> Option<&str> {
    let mut wanted = "msg,".chars().peekable();
    for (at, c) in comment.char_indices() {
        let Some(want) = wanted.peek() else {
            return Some(&comment[at..]);
        };
        if c == ' ' || c == '\t' {
            continue;
        }
        if c.to_ascii_lowercase() != *want {
            return None;
        }
        wanted.next();
    }
    wanted.peek().is_none().then_some("")
}

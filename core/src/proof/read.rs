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

/// One line, read; kept from line to line, so that its room is asked for once.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Block<'t> {
    pub(super) words: Vec<Word>,
    /// The last comment of the line: the only one that counts (3.3.4).
    pub(super) comment: Option<&'t str>,
    /// Parameters that the line sets; they take effect when the whole line has been read.
    pub(super) settings: Vec<(u32, f64)>,
    /// The line starts with `/`.
    pub(super) deletable: bool,
    /// What stands on the line without blanks and comments, in small letters.
    ink: Vec<u8>,
}

impl<'t> Block<'t> {
    /// Reads one line.
    ///
    /// # Errors
    /// What stands there and is no line of RS-274.
    pub(super) fn read(&mut self, text: &'t str, comments: Comments, parameters: &Parameters) -> Result<(), Fault> {
        self.words.clear();
        self.settings.clear();
        self.deletable = false;
        self.comment = None;
        if text.len() > LONGEST && text.chars().count() > LONGEST {
            return Err(stops("proof/line-length", format!("The line is longer than {LONGEST} characters.")));
        }
        self.comment = ink(text, comments, &mut self.ink)?;
        let mut cursor = Cursor::new(&self.ink, parameters);
        self.deletable = cursor.take("/");
        if cursor.take("n") {
            cursor.digits(5)?;
        }
        while let Some(letter) = cursor.next() {
            match letter {
                REMARK => {}
                b'#' => {
                    let index = cursor.index()?;
                    if !cursor.take("=") {
                        return Err(stops("proof/parameter", "A parameter is named but not set."));
                    }
                    self.settings.push((index, cursor.value()?));
                }
                b'n' => {
                    return Err(stops("proof/line-number", "N stands behind other words; it may only start a line."));
                }
                b'a'..=b'd' | b'f'..=b'm' | b'p'..=b't' | b'x'..=b'z' => {
                    let letter = char::from(letter.to_ascii_uppercase());
                    self.words.push(Word { letter, value: cursor.value()? });
                }
                b'a'..=b'z' => {
                    let letter = char::from(letter.to_ascii_uppercase());
                    return Err(stops("proof/unknown-word", format!("No word starts with {letter}.")));
                }
                other => {
                    let other = char::from(other).escape_default();
                    return Err(stops("proof/unknown-word", format!("`{other}` has no meaning here.")));
                }
            }
        }
        Ok(())
    }
}

fn unreadable(c: char) -> Fault {
    stops("proof/character", format!("`{}` is not a character that every control can read.", c.escape_default()))
}

/// Stands in the ink for a comment, so that no word reaches across one.
const REMARK: u8 = 1;

/// Lays down the line without blanks and comments, in small letters; gives its last comment.
fn ink<'t>(text: &'t str, comments: Comments, ink: &mut Vec<u8>) -> Result<Option<&'t str>, Fault> {
    ink.clear();
    let mut comment = None;
    let mut open: Option<usize> = None;
    for (at, c) in text.char_indices() {
        let Ok(byte @ (b'\t' | b' '..=b'~')) = u8::try_from(c) else {
            return Err(unreadable(c));
        };
        match (open, byte) {
            (Some(_), b'(') => return Err(stops("proof/comment", "A comment is opened inside a comment.")),
            (Some(start), b')') => {
                comment = text.get(start..at);
                open = None;
                ink.push(REMARK);
            }
            (Some(_), _) | (None, b' ' | b'\t') => {}
            (None, b'(') if comments == Comments::None => {
                return Err(stops("proof/comment", "This control knows no comments."));
            }
            (None, b'(') => open = Some(at + 1),
            (None, b';') if comments == Comments::Semicolon => {
                ink.push(REMARK);
                let rest = &text[at + 1..];
                return match rest.chars().find(|c| !(*c == '\t' || (' '..='~').contains(c))) {
                    None => Ok(Some(rest)),
                    Some(c) => Err(unreadable(c)),
                };
            }
            (None, _) => ink.push(byte.to_ascii_lowercase()),
        }
    }
    if open.is_some() {
        return Err(stops("proof/comment", "A comment is not closed on its line."));
    }
    Ok(comment)
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

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
    let bytes = text.as_bytes();
    let mut comment = None;
    let mut at = 0;
    loop {
        // Words go over in one piece, up to the next sign that may mean something else.
        let word = bytes[at..].iter().take_while(|byte| inks(**byte)).count();
        ink.extend_from_slice(&bytes[at..at + word]);
        at += word;
        let Some(&stop) = bytes.get(at) else { break };
        // What comes before is ASCII, so a character starts here.
        let rest = &text[at..];
        at += 1;
        match stop {
            b' ' | b'\t' => {}
            b'(' if comments == Comments::None => {
                return Err(stops("proof/comment", "This control knows no comments."));
            }
            b'(' => {
                let Some(end) = rest[1..].find(|c| matches!(c, '(' | ')') || !readable(c)) else {
                    return Err(stops("proof/comment", "A comment is not closed on its line."));
                };
                let (inside, end) = rest[1..].split_at(end);
                match end.chars().next() {
                    Some('(') => return Err(stops("proof/comment", "A comment is opened inside a comment.")),
                    Some(c) if c != ')' => return Err(unreadable(c)),
                    _ => {}
                }
                comment = Some(inside);
                at += inside.len() + 1;
                ink.push(REMARK);
            }
            b';' if comments == Comments::Semicolon => {
                ink.push(REMARK);
                match rest.chars().find(|c| !readable(*c)) {
                    None => comment = Some(&rest[1..]),
                    Some(c) => return Err(unreadable(c)),
                }
                break;
            }
            b';' => ink.push(stop),
            _ => return Err(rest.chars().next().map_or_else(|| unreadable(' '), unreadable)),
        }
    }
    ink.make_ascii_lowercase();
    Ok(comment)
}

/// Whether a byte is part of a word wherever it stands outside of comments.
const fn inks(byte: u8) -> bool {
    matches!(byte, b'!'..=b'~') && !matches!(byte, b'(' | b';')
}

/// Whether every control can read it.
fn readable(c: char) -> bool {
    c == '\t' || (' '..='~').contains(&c)
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

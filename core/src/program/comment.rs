//! Comments that no control can take for anything else.

use crate::shop::{Comments, Control};

/// What people typed, as a comment may hold it: capital letters, figures, blanks and a few signs.
///
/// Brackets, semicolons, percent signs, control characters and line breaks never pass, nor does
/// anything outside ASCII: signs that machinists use are spelt, the rest becomes a blank.
///
/// ```
/// use barwright_core::program::safe;
/// assert_eq!(safe("key (10 mm); M30\n%"), "KEY 10 MM, M30 PERCENT");
/// assert_eq!(safe("⌀5 × 90°"), "DIA 5 X 90 DEG");
/// ```
pub fn safe(text: &str) -> String {
    let mut line = Line { text: String::with_capacity(text.len()), gap: false };
    for sign in text.chars() {
        match sign {
            'a'..='z' => line.put(sign.to_ascii_uppercase()),
            'A'..='Z' | '0'..='9' | '.' | ',' | ':' | '+' | '-' | '/' | '=' | '*' | '\'' => line.put(sign),
            '#' => line.put_all("NO."),
            '%' => line.put_all(" PERCENT "),
            ';' => line.put(','),
            '⌀' | 'Ø' | 'ø' => line.put_all(" DIA "),
            '×' => line.put('X'),
            '°' => line.put_all(" DEG "),
            '±' => line.put_all("+/-"),
            '·' => line.put('*'),
            'µ' | 'μ' => line.put('U'),
            '–' | '—' | '−' | '‑' => line.put('-'),
            '’' | '‘' => line.put('\''),
            '"' | '″' | '”' | '“' => line.put_all(" IN "),
            '&' => line.put_all(" AND "),
            'ä' | 'Ä' => line.put_all("AE"),
            'ö' | 'Ö' => line.put_all("OE"),
            'ü' | 'Ü' => line.put_all("UE"),
            'ß' => line.put_all("SS"),
            _ => line.put(' '),
        }
    }
    line.text
}

/// A text with one blank where there are several, and none at its ends or before a comma or a point.
struct Line {
    text: String,
    /// Blanks wait here for a sign that they part from the last.
    gap: bool,
}

impl Line {
    fn put(&mut self, sign: char) {
        if sign == ' ' {
            self.gap = true;
            return;
        }
        if self.gap && !self.text.is_empty() && sign != ',' && sign != '.' {
            self.text.push(' ');
        }
        self.gap = false;
        self.text.push(sign);
    }

    fn put_all(&mut self, signs: &str) {
        signs.chars().for_each(|sign| self.put(sign));
    }
}

/// Texts of this control's comments: one where it fits, more where it is to be kept whole.
pub(super) fn wrapped(text: &str, control: &Control) -> Vec<String> {
    let text = safe(text);
    let room = control.comment_length;
    let mut lines: Vec<String> = Vec::new();
    for word in text.split(' ') {
        match lines.last_mut() {
            Some(line) if line.len() + 1 + word.len() <= room => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(cut(word, room)),
        }
    }
    lines.retain(|line| !line.is_empty());
    lines
}

/// One comment, cut to what the control bears.
pub(super) fn short(text: &str, control: &Control) -> String {
    cut(&safe(text), control.comment_length)
}

fn cut(text: &str, room: usize) -> String {
    // All of it is ASCII by now.
    text.get(..room.min(text.len())).unwrap_or("").trim_end().to_owned()
}

/// Adds a text with the signs of this control's comments; nothing where it has none.
pub(super) fn put_signed(out: &mut String, text: &str, control: &Control) -> bool {
    let (before, behind) = match control.comments {
        Comments::Brackets => ("(", ")"),
        Comments::Semicolon => ("; ", ""),
        Comments::None => return false,
    };
    out.push_str(before);
    // A comment that starts with MSG is shown to the person as a message (3.3.5); none of ours is.
    if text.bytes().filter(|byte| *byte != b' ').take(4).eq(*b"MSG,") {
        out.push_str("- ");
    }
    out.push_str(text);
    out.push_str(behind);
    true
}

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
    let mut out = String::new();
    for sign in text.chars() {
        match sign {
            'a'..='z' => out.push(sign.to_ascii_uppercase()),
            'A'..='Z' | '0'..='9' | '.' | ',' | ':' | '+' | '-' | '/' | '=' | '*' | '\'' => out.push(sign),
            '#' => out.push_str("NO."),
            '%' => out.push_str(" PERCENT "),
            ';' => out.push(','),
            '⌀' | 'Ø' | 'ø' => out.push_str(" DIA "),
            '×' => out.push('X'),
            '°' => out.push_str(" DEG "),
            '±' => out.push_str("+/-"),
            '·' => out.push('*'),
            'µ' | 'μ' => out.push('U'),
            '–' | '—' | '−' | '‑' => out.push('-'),
            '’' | '‘' => out.push('\''),
            '"' | '″' | '”' | '“' => out.push_str(" IN "),
            '&' => out.push_str(" AND "),
            'ä' | 'Ä' => out.push_str("AE"),
            'ö' | 'Ö' => out.push_str("OE"),
            'ü' | 'Ü' => out.push_str("UE"),
            'ß' => out.push_str("SS"),
            _ => out.push(' '),
        }
    }
    out.split_whitespace().collect::<Vec<_>>().join(" ").replace(" ,", ",").replace(" .", ".")
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

/// A text with the signs of this control's comments; nothing where it has none.
pub(super) fn signed(text: &str, control: &Control) -> Option<String> {
    // A comment that starts with MSG is shown to the person as a message (3.3.5); none of ours is.
    let message = text.split(' ').collect::<String>().starts_with("MSG,");
    let text = if message { format!("- {text}") } else { text.to_owned() };
    match control.comments {
        Comments::Brackets => Some(format!("({text})")),
        Comments::Semicolon => Some(format!("; {text}")),
        Comments::None => None,
    }
}

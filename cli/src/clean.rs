//! The last gate before a terminal: texts of strangers do nothing to it, and stay readable.

use std::borrow::Cow;
use std::fmt::Write as _;

/// What a terminal acts on, or shows in another order than it stands, beside escape sequences.
fn acts(sign: char) -> bool {
    let hidden = matches!(sign, '\u{200b}' | '\u{200e}' | '\u{200f}' | '\u{feff}' | '\u{2028}' | '\u{2029}');
    let turned = matches!(sign, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}');
    hidden || turned || (sign.is_control() && sign != '\n' && sign != '\t')
}

/// A text for a terminal or a pipe. Our own colours pass, as do the ends of a table's lines; every
/// other control character is shown as what it is.
pub(crate) fn text(text: &str) -> Cow<'_, str> {
    if !text.contains(acts) {
        return Cow::Borrowed(text);
    }
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(at) = rest.find(acts) {
        let (before, from) = rest.split_at(at);
        out.push_str(before);
        let passes = if from.starts_with("\r\n") { 2 } else { colour(from) };
        let sign = from.chars().next().unwrap_or_default();
        if passes > 0 {
            out.push_str(&from[..passes]);
            rest = &from[passes..];
        } else {
            out.extend(sign.escape_unicode());
            rest = &from[sign.len_utf8()..];
        }
    }
    out.push_str(rest);
    Cow::Owned(out)
}

/// How long a colour is that the text begins with: `ESC [`, figures and semicolons, `m`.
fn colour(text: &str) -> usize {
    let Some(body) = text.strip_prefix("\u{1b}[") else { return 0 };
    let figures = body.bytes().take_while(|byte| byte.is_ascii_digit() || *byte == b';').count();
    // Colours, and bold or not; never hidden, nor turned to the ground's own colour.
    let known = |code: &str| {
        matches!(code, "" | "0" | "1" | "22" | "39") || (code.len() == 2 && code.starts_with(['3', '9']) && code > "30")
    };
    let ends = body.as_bytes().get(figures) == Some(&b'm');
    if ends && figures <= 8 && body[..figures].split(';').all(known) { 2 + figures + 1 } else { 0 }
}

/// JSON says the same with these characters written out, and a terminal does nothing.
pub(crate) fn json(text: &str) -> Cow<'_, str> {
    if !text.contains(acts) {
        return Cow::Borrowed(text);
    }
    let mut out = String::with_capacity(text.len());
    for sign in text.chars() {
        if acts(sign) {
            // All of them are below U+10000: one group of four figures is enough.
            let _infallible = write!(out, "\\u{:04x}", u32::from(sign));
        } else {
            out.push(sign);
        }
    }
    Cow::Owned(out)
}

#[cfg(test)]
mod tests {
    use super::{json, text};

    #[test]
    fn colours_pass_and_nothing_else() {
        for good in
            ["plain", "a\tb\nc", "a,b\r\nc,d\r\n", "\u{1b}[1;31mrefused\u{1b}[0m", "\u{1b}[94m|\u{1b}[0m", "é µ ⌀ 日本"]
        {
            assert_eq!(text(good), good, "as it is");
        }
        for (bad, shown) in [
            ("\u{1b}[2J", "\\u{1b}[2J"),
            ("\u{1b}]0;x\u{7}", "\\u{1b}]0;x\\u{7}"),
            ("\u{1b}[8mhidden", "\\u{1b}[8mhidden"),
            ("\u{1b}[30mblack", "\\u{1b}[30mblack"),
            ("\u{9b}31m", "\\u{9b}31m"),
            ("proved\r refused", "proved\\u{d} refused"),
            ("\u{202e}abc", "\\u{202e}abc"),
            ("a\u{8}b", "a\\u{8}b"),
        ] {
            assert_eq!(text(bad), shown, "told, and does nothing");
        }
    }

    #[test]
    fn json_says_the_same() {
        let told = serde_json::json!({ "title": "a\u{202e}b\u{9b}c\u{7f}" }).to_string();
        let clean = json(&told);
        assert!(clean.is_ascii(), "{clean}");
        let read = |text: &str| serde_json::from_str::<serde_json::Value>(text).expect("JSON");
        assert_eq!(read(&clean), read(&told), "the same value");
    }
}

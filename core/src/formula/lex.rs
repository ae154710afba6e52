//! From text to tokens.

use super::{Fault, Operator};
use crate::quantity::{Dim, Quantity, unit};
use crate::source::Span;

/// A token with its place.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Token {
    pub(super) span: Span,
    pub(super) kind: TokenKind,
}

#[derive(Clone, Debug, PartialEq)]
pub(super) enum TokenKind {
    Number(Quantity),
    Word(String),
    Name(String),
    Operator(Operator),
    Caret,
    Open,
    Close,
    Comma,
    Dot,
    Not,
    If,
    Then,
    Else,
    End,
}

/// The longest formula, in bytes.
pub const LONGEST: usize = 2000;

/// The most tokens: a long sum is a deep tree, and trees are walked by recursion.
const MOST: usize = 200;

/// Splits a formula into tokens; the last is [`TokenKind::End`].
pub(super) fn tokens(text: &str) -> Result<Vec<Token>, Fault> {
    if text.len() > LONGEST {
        return Err(Fault::new(
            "formula/too-long",
            Span::new(0, 0),
            format!("A formula is at most {LONGEST} characters long."),
            "this one is longer",
        ));
    }
    let mut found = Vec::new();
    let mut at = 0;
    while let Some(next) = text[at..].chars().next() {
        if next.is_whitespace() {
            at += next.len_utf8();
            continue;
        }
        let (kind, length) = token(text, at, next)?;
        found.push(Token { span: Span::new(at, at + length), kind });
        at += length;
        if found.len() > MOST {
            let what = format!("A formula has at most {MOST} numbers, names and signs.");
            return Err(Fault::new("formula/too-long", Span::new(at - length, at), what, "the first too many"));
        }
    }
    found.push(Token { span: Span::new(text.len(), text.len()), kind: TokenKind::End });
    Ok(found)
}

fn token(text: &str, at: usize, next: char) -> Result<(TokenKind, usize), Fault> {
    let rest = &text[at..];
    if next.is_ascii_digit() || (next == '.' && rest[1..].starts_with(|c: char| c.is_ascii_digit())) {
        return number(rest, at);
    }
    if next.is_alphabetic() || next == '_' {
        let length = rest.find(|c: char| !c.is_alphanumeric() && c != '_').unwrap_or(rest.len());
        return Ok((word(&rest[..length]), length));
    }
    if next == '\'' || next == '"' {
        let Some(end) = rest[1..].find(next) else {
            return Err(Fault::new(
                "formula/open-quote",
                Span::new(at, at + 1),
                "A quote is opened and not closed.",
                "opened here",
            ));
        };
        return Ok((TokenKind::Word(rest[1..=end].to_owned()), end + 2));
    }
    for (sign, kind) in SIGNS {
        if rest.starts_with(sign) {
            return Ok((kind.clone(), sign.len()));
        }
    }
    Err(Fault::new(
        "formula/unknown-sign",
        Span::new(at, at + next.len_utf8()),
        format!("`{next}` means nothing in a formula."),
        "not known here",
    )
    .help("Formulas are made of numbers with units, names, + - * / ^, comparisons, and, or, not, if … then … else …"))
}

const SIGNS: &[(&str, TokenKind)] = &[
    ("<=", TokenKind::Operator(Operator::AtMost)),
    (">=", TokenKind::Operator(Operator::AtLeast)),
    ("!=", TokenKind::Operator(Operator::Differs)),
    ("==", TokenKind::Operator(Operator::Same)),
    ("≤", TokenKind::Operator(Operator::AtMost)),
    ("≥", TokenKind::Operator(Operator::AtLeast)),
    ("≠", TokenKind::Operator(Operator::Differs)),
    ("<", TokenKind::Operator(Operator::Below)),
    (">", TokenKind::Operator(Operator::Above)),
    ("=", TokenKind::Operator(Operator::Same)),
    ("+", TokenKind::Operator(Operator::Plus)),
    ("-", TokenKind::Operator(Operator::Less)),
    ("−", TokenKind::Operator(Operator::Less)),
    ("*", TokenKind::Operator(Operator::Times)),
    ("×", TokenKind::Operator(Operator::Times)),
    ("·", TokenKind::Operator(Operator::Times)),
    ("/", TokenKind::Operator(Operator::Over)),
    ("^", TokenKind::Caret),
    ("(", TokenKind::Open),
    (")", TokenKind::Close),
    (",", TokenKind::Comma),
    (".", TokenKind::Dot),
];

fn word(text: &str) -> TokenKind {
    match text {
        "and" => TokenKind::Operator(Operator::And),
        "or" => TokenKind::Operator(Operator::Or),
        "not" => TokenKind::Not,
        "if" => TokenKind::If,
        "then" => TokenKind::Then,
        "else" => TokenKind::Else,
        _ => TokenKind::Name(text.to_owned()),
    }
}

/// A number, with the unit that follows it; `3/8 in` is one number.
fn number(rest: &str, at: usize) -> Result<(TokenKind, usize), Fault> {
    let digits = |text: &str| text.find(|c: char| !c.is_ascii_digit()).unwrap_or(text.len());
    let whole = digits(rest);
    let mut length = whole;
    if rest[length..].starts_with('.') && rest[length + 1..].starts_with(|c: char| c.is_ascii_digit()) {
        length += 1 + digits(&rest[length + 1..]);
    }
    let bad =
        |length: usize| Fault::new("formula/number", Span::new(at, at + length), "This is no number.", "not a number");
    let value: f64 = rest[..length].parse().map_err(|_| bad(length))?;
    if length == whole
        && let Some(bottom) = rest[length..].strip_prefix('/')
    {
        let end = digits(bottom);
        let over: f64 = bottom[..end].parse().unwrap_or(0.0);
        if over > 0.0
            && let Some((dim, size, sign)) = after(&bottom[end..])
            && dim == Dim::LENGTH
        {
            return Ok((TokenKind::Number(literal(value / over, dim, size)), length + 1 + end + sign));
        }
    }
    let tail = &rest[length..];
    if tail.starts_with(',') && tail[1..].starts_with(|c: char| c.is_ascii_digit()) && !rest[..length].contains('.') {
        // `min(1,2)` stays two arguments; formulas take a point.
        return Ok((TokenKind::Number(Quantity::number(value)), length));
    }
    match after(tail) {
        Some((dim, size, sign)) => Ok((TokenKind::Number(literal(value, dim, size)), length + sign)),
        None => match unknown_unit(tail) {
            Some((gap, sign)) => Err(Fault::new(
                "formula/unknown-unit",
                Span::new(at + length + gap, at + length + gap + sign.len()),
                format!("`{sign}` is no unit that is known here."),
                "not a unit",
            )
            .help("Units: mm, in, °, N, lbf, N·m, in-lb, MPa, psi, g, lb, s, %. A product is written with `*`.")),
            None => Ok((TokenKind::Number(Quantity::number(value)), length)),
        },
    }
}

/// A number in its unit; a length without the dust of binary arithmetic, as what is typed.
fn literal(value: f64, dim: Dim, size: f64) -> Quantity {
    let value = value * size;
    Quantity::new(if dim == Dim::LENGTH { (value * 1e9).round() / 1e9 } else { value }, dim)
}

/// The unit at the start of a text, after at most one blank: dimension, size, bytes taken.
fn after(text: &str) -> Option<(Dim, f64, usize)> {
    let blank = usize::from(text.starts_with(' '));
    let body = &text[blank..];
    // The longest spelling wins: `in-lb` before `in`, `N·mm` before `N·m` before `N`.
    let ends: Vec<usize> = body.char_indices().map(|(end, c)| end + c.len_utf8()).take(8).collect();
    ends.into_iter().rev().find_map(|end| {
        let (sign, next) = body.split_at(end);
        let open = sign.ends_with(char::is_alphanumeric) && next.starts_with(|c: char| c.is_alphanumeric() || c == '_');
        let call = next.trim_start().starts_with('(') && sign == "min";
        if open || call || sign.contains(char::is_whitespace) {
            return None;
        }
        unit(sign).map(|(dim, size)| (dim, size, blank + end))
    })
}

/// A word right behind a number that is neither a unit nor part of the language.
fn unknown_unit(text: &str) -> Option<(usize, &str)> {
    let gap = text.len() - text.trim_start().len();
    let body = &text[gap..];
    let end = body.find(|c: char| !c.is_alphanumeric() && c != '_').unwrap_or(body.len());
    let sign = &body[..end];
    let known = matches!(
        word(sign),
        TokenKind::Operator(_) | TokenKind::Then | TokenKind::Else | TokenKind::Not | TokenKind::If
    );
    (!sign.is_empty() && !known).then_some((gap, sign))
}

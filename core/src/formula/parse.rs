//! From tokens to a tree.

use super::lex::{Token, TokenKind, tokens};
use super::{Expr, ExprKind, Fault, Operator};
use crate::source::Span;

/// The deepest nesting.
pub const DEEPEST: usize = 32;

/// Reads the text of a formula.
///
/// # Errors
/// The first place at which the text is no formula, with what would be right.
pub fn parse(text: &str) -> Result<Expr, Fault> {
    let mut parser = Parser { tokens: tokens(text)?, at: 0, depth: 0 };
    let expr = parser.expression()?;
    match parser.peek() {
        TokenKind::End => Ok(expr),
        _ => Err(parser.unexpected("The formula should end here.")),
    }
}

struct Parser {
    tokens: Vec<Token>,
    at: usize,
    depth: usize,
}

impl Parser {
    fn token(&self) -> &Token {
        // The last token is `End`, and nothing goes past it.
        &self.tokens[self.at.min(self.tokens.len() - 1)]
    }

    fn peek(&self) -> &TokenKind {
        &self.token().kind
    }

    fn next(&mut self) -> Token {
        let token = self.token().clone();
        self.at += 1;
        token
    }

    fn take(&mut self, kind: &TokenKind) -> bool {
        let found = self.peek() == kind;
        self.at += usize::from(found);
        found
    }

    fn unexpected(&self, what: &str) -> Fault {
        let label = match self.peek() {
            TokenKind::End => "the text ends here",
            TokenKind::Number(_) => "this number",
            TokenKind::Name(_) => "this name",
            _ => "this",
        };
        let fault = Fault::new("formula/syntax", self.token().span, what, label);
        match self.peek() {
            TokenKind::Name(_) | TokenKind::Number(_) | TokenKind::Open => fault.help("A product is written with `*`."),
            _ => fault,
        }
    }

    fn expect(&mut self, kind: &TokenKind, what: &str) -> Result<Span, Fault> {
        if self.peek() == kind { Ok(self.next().span) } else { Err(self.unexpected(what)) }
    }

    fn deeper<T>(&mut self, read: impl FnOnce(&mut Self) -> Result<T, Fault>) -> Result<T, Fault> {
        self.depth += 1;
        if self.depth > DEEPEST {
            let what = format!("A formula is nested at most {DEEPEST} deep.");
            return Err(Fault::new("formula/too-deep", self.token().span, what, "here"));
        }
        let read = read(self);
        self.depth -= 1;
        read
    }

    fn expression(&mut self) -> Result<Expr, Fault> {
        self.deeper(|parser| {
            if !matches!(parser.peek(), TokenKind::If) {
                return parser.pairs(0);
            }
            let start = parser.next().span;
            let condition = parser.expression()?;
            parser.expect(&TokenKind::Then, "`then` is missing: if … then … else …")?;
            let then = parser.expression()?;
            parser.expect(&TokenKind::Else, "`else` is missing: if … then … else …")?;
            let otherwise = parser.expression()?;
            let span = start.with(otherwise.span);
            Ok(Expr { span, kind: ExprKind::Choose(Box::new(condition), Box::new(then), Box::new(otherwise)) })
        })
    }

    /// Pairs of the given level and tighter: 0 or, 1 and, 2 not and comparisons, 3 sums, 4 products.
    fn pairs(&mut self, level: usize) -> Result<Expr, Fault> {
        match level {
            2 => return self.truth(),
            5 => return self.signed(),
            _ => {}
        }
        let mut left = self.pairs(level + 1)?;
        while let TokenKind::Operator(operator) = *self.peek() {
            let here = match operator {
                Operator::Or => 0,
                Operator::And => 1,
                Operator::Plus | Operator::Less => 3,
                Operator::Times | Operator::Over => 4,
                _ => break,
            };
            if here != level {
                break;
            }
            self.at += 1;
            let right = self.pairs(level + 1)?;
            let span = left.span.with(right.span);
            left = Expr { span, kind: ExprKind::Pair(operator, Box::new(left), Box::new(right)) };
        }
        Ok(left)
    }

    fn truth(&mut self) -> Result<Expr, Fault> {
        if matches!(self.peek(), TokenKind::Not) {
            let start = self.next().span;
            let of = self.deeper(Self::truth)?;
            return Ok(Expr { span: start.with(of.span), kind: ExprKind::Not(Box::new(of)) });
        }
        let first = self.pairs(3)?;
        let mut rest = Vec::new();
        while let TokenKind::Operator(
            operator @ (Operator::Below
            | Operator::AtMost
            | Operator::Same
            | Operator::Differs
            | Operator::AtLeast
            | Operator::Above),
        ) = *self.peek()
        {
            self.at += 1;
            rest.push((operator, self.pairs(3)?));
        }
        match rest.last() {
            None => Ok(first),
            Some((_, last)) => {
                Ok(Expr { span: first.span.with(last.span), kind: ExprKind::Compare(Box::new(first), rest) })
            }
        }
    }

    fn signed(&mut self) -> Result<Expr, Fault> {
        if matches!(self.peek(), TokenKind::Operator(Operator::Less)) {
            let start = self.next().span;
            let of = self.deeper(Self::signed)?;
            return Ok(Expr { span: start.with(of.span), kind: ExprKind::Minus(Box::new(of)) });
        }
        let base = self.fields()?;
        if !self.take(&TokenKind::Caret) {
            return Ok(base);
        }
        let minus = self.take(&TokenKind::Operator(Operator::Less));
        let token = self.next();
        let exponent = match token.kind {
            TokenKind::Number(number) if number.dim == crate::quantity::Dim::NUMBER => small_whole(number.value),
            _ => None,
        };
        let Some(exponent) = exponent else {
            return Err(Fault::new(
                "formula/power",
                token.span,
                "A power is a whole number from -9 to 9.",
                "not such a number",
            ));
        };
        let exponent = if minus { -exponent } else { exponent };
        Ok(Expr { span: base.span.with(token.span), kind: ExprKind::Power(Box::new(base), exponent) })
    }

    fn fields(&mut self) -> Result<Expr, Fault> {
        let mut of = self.atom()?;
        while self.take(&TokenKind::Dot) {
            let token = self.next();
            let TokenKind::Name(name) = token.kind else {
                return Err(Fault::new("formula/syntax", token.span, "A name follows a dot.", "not a name"));
            };
            let mut span = of.span.with(token.span);
            let mut arguments = Vec::new();
            if self.take(&TokenKind::Open) {
                let end;
                (arguments, end) = self.arguments()?;
                span = span.with(end);
            }
            of = Expr { span, kind: ExprKind::Field(Box::new(of), name, arguments) };
        }
        Ok(of)
    }

    fn atom(&mut self) -> Result<Expr, Fault> {
        let token = self.next();
        let kind = match token.kind {
            TokenKind::Number(number) => ExprKind::Number(number),
            TokenKind::Word(word) => ExprKind::Word(word),
            TokenKind::Name(name) => {
                if !self.take(&TokenKind::Open) {
                    return Ok(Expr { span: token.span, kind: ExprKind::Name(name) });
                }
                let (arguments, end) = self.arguments()?;
                return Ok(Expr { span: token.span.with(end), kind: ExprKind::Call(name, arguments) });
            }
            TokenKind::Open => {
                let inner = self.expression()?;
                let end = self.expect(&TokenKind::Close, "A bracket is opened and not closed.")?;
                return Ok(Expr { span: token.span.with(end), kind: inner.kind });
            }
            _ => {
                self.at -= 1;
                return Err(self.unexpected("A number, a name or a bracket should stand here."));
            }
        };
        Ok(Expr { span: token.span, kind })
    }

    fn arguments(&mut self) -> Result<(Vec<Expr>, Span), Fault> {
        let mut arguments = Vec::new();
        if matches!(self.peek(), TokenKind::Close) {
            return Ok((arguments, self.next().span));
        }
        loop {
            arguments.push(self.expression()?);
            if !self.take(&TokenKind::Comma) {
                break;
            }
        }
        let end = self.expect(&TokenKind::Close, "A bracket is opened and not closed.")?;
        Ok((arguments, end))
    }
}

fn small_whole(value: f64) -> Option<i8> {
    (0..=9_i8).find(|whole| (f64::from(*whole) - value).abs() < 1e-9)
}

//! Numbers, parameters and expressions of a line (NISTIR 6556, 3.3.2 and appendix E).

use std::collections::BTreeMap;

use super::fault::{Fault, fault, stops};

/// The values of the numbered parameters. As the report has them, those that nothing has set are
/// zero (3.2.1); on a machine they hold what a program before has left there.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Parameters {
    values: BTreeMap<u32, f64>,
    left_over: bool,
}

impl Parameters {
    /// The highest number of a parameter: 5399, the limit of 3.3.2.2 and appendix E. Section
    /// 3.2.1 says 5400 once and appendix D 5600; the grammar's own limit is taken.
    pub const LAST: u32 = 5399;

    /// No value is known but those that are set from now on.
    pub(super) fn left_over() -> Self {
        Self { left_over: true, ..Self::default() }
    }

    /// The value of a parameter; zero where nothing has set it.
    pub fn value(&self, number: u32) -> f64 {
        self.known(number).unwrap_or(0.0)
    }

    /// The value of a parameter, where it does not hang on what ran before.
    pub(super) fn known(&self, number: u32) -> Option<f64> {
        self.values.get(&number).copied().or((!self.left_over).then_some(0.0))
    }

    /// Gives a parameter a value.
    pub fn set(&mut self, number: u32, value: f64) {
        self.values.insert(number, value);
    }
}

/// How deep values may lie in each other: far more than 256 characters of sense need.
const DEEPEST: usize = 64;

/// Powers of ten that binary numbers hold exactly.
const TENS: [f64; 23] = [
    1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20,
    1e21, 1e22,
];

/// A place in a line whose blanks are gone and whose letters are small.
pub(super) struct Cursor<'l> {
    ink: &'l [u8],
    at: usize,
    depth: usize,
    parameters: &'l Parameters,
}

impl<'l> Cursor<'l> {
    pub(super) fn new(ink: &'l [u8], parameters: &'l Parameters) -> Self {
        Self { ink, at: 0, depth: 0, parameters }
    }

    pub(super) fn peek(&self) -> Option<u8> {
        self.ink.get(self.at).copied()
    }

    pub(super) fn next(&mut self) -> Option<u8> {
        let next = self.peek();
        self.at += usize::from(next.is_some());
        next
    }

    pub(super) fn take(&mut self, text: &str) -> bool {
        let there = self.ink.get(self.at..).is_some_and(|rest| rest.starts_with(text.as_bytes()));
        self.at += if there { text.len() } else { 0 };
        there
    }

    /// Digits without sign or point, at most `most`: a line number.
    pub(super) fn digits(&mut self, most: usize) -> Result<u32, Fault> {
        let mut value = 0_u32;
        let mut count = 0;
        while let Some(digit) = self.peek().and_then(|byte| char::from(byte).to_digit(10)) {
            self.at += 1;
            count += 1;
            if count > most {
                return Err(stops("proof/line-number", format!("The line number has more than {most} digits.")));
            }
            value = value * 10 + digit;
        }
        if count == 0 {
            return Err(stops("proof/line-number", "N stands without a number."));
        }
        Ok(value)
    }

    /// A real value: number, expression, parameter or function.
    pub(super) fn value(&mut self) -> Result<f64, Fault> {
        self.depth += 1;
        if self.depth > DEEPEST {
            return Err(stops("proof/expression", "Brackets lie in each other too deep to be read."));
        }
        let value = match self.peek() {
            Some(b'[') => self.expression(),
            Some(b'#') => {
                self.at += 1;
                let index = self.index()?;
                self.parameters.known(index).ok_or_else(|| {
                    fault(
                        "proof/parameter-unknown",
                        format!("The line reads #{index}, and nothing in the program has set it."),
                        "It holds whatever a program before has left there; the tool goes wherever that leads.",
                    )
                })
            }
            Some(b'0'..=b'9' | b'+' | b'-' | b'.') => self.number(),
            Some(b'a'..=b'z') => self.function(),
            other => Err(stops(
                "proof/number",
                match other {
                    Some(other) => {
                        format!("A number should stand where `{}` stands.", char::from(other).escape_default())
                    }
                    None => "The line ends where a number should stand.".to_owned(),
                },
            )),
        }?;
        self.depth -= 1;
        if value.is_finite() {
            Ok(value)
        } else {
            Err(stops("proof/number", "The number is larger than any control can hold."))
        }
    }

    /// The number of a parameter, after `#`.
    pub(super) fn index(&mut self) -> Result<u32, Fault> {
        let value = self.value()?;
        let index = whole(value).filter(|index| (1..=i64::from(Parameters::LAST)).contains(index));
        index
            .and_then(|index| u32::try_from(index).ok())
            .ok_or_else(|| stops("proof/parameter", format!("There is no parameter #{value}; they go from 1 to 5399.")))
    }

    fn number(&mut self) -> Result<f64, Fault> {
        // Whole numbers of so many digits, and powers of ten up to the 22nd, are exact; their quotient
        // is then the nearest number to the decimal, as a slow conversion would give it.
        const EXACT: usize = 15;
        let start = self.at;
        let negative = self.peek() == Some(b'-');
        self.at += usize::from(matches!(self.peek(), Some(b'+' | b'-')));
        let (mut mantissa, mut digits) = self.figures(0);
        let mut behind = 0;
        if self.peek() == Some(b'.') {
            self.at += 1;
            (mantissa, behind) = self.figures(mantissa);
            digits += behind;
            if self.peek() == Some(b'.') {
                return Err(stops("proof/number", "A number has two decimal points."));
            }
        }
        if digits == 0 {
            return Err(stops("proof/number", "A number has no digit."));
        }
        if let (true, Some(power)) = (digits <= EXACT, TENS.get(behind)) {
            let value = mantissa as f64 / power;
            return Ok(if negative { -value } else { value });
        }
        let text = self.ink.get(start..self.at).and_then(|bytes| std::str::from_utf8(bytes).ok()).unwrap_or_default();
        text.parse().map_err(|_| stops("proof/number", format!("`{text}` is no number.")))
    }

    /// Adds figures to a number, as many as stand there; gives it and how many they are. A number
    /// that overflows has more than anyone counts on.
    fn figures(&mut self, mut number: u64) -> (u64, usize) {
        let from = self.at;
        while let Some(byte @ b'0'..=b'9') = self.ink.get(self.at) {
            number = number.wrapping_mul(10).wrapping_add(u64::from(byte - b'0'));
            self.at += 1;
        }
        (number, self.at - from)
    }

    /// `[value {operator value}]`, three groups of precedence, left to right within each.
    fn expression(&mut self) -> Result<f64, Fault> {
        if !self.take("[") {
            return Err(stops("proof/expression", "An opening square bracket is missing."));
        }
        let mut values = vec![self.value()?];
        let mut operators: Vec<Operator> = Vec::new();
        while !self.take("]") {
            let operator = self.operator()?;
            while let Some(last) = operators.last().copied() {
                if last.group() < operator.group() {
                    break;
                }
                operators.pop();
                fold(&mut values, last)?;
            }
            operators.push(operator);
            values.push(self.value()?);
        }
        while let Some(last) = operators.pop() {
            fold(&mut values, last)?;
        }
        values.pop().ok_or_else(|| stops("proof/expression", "An expression is empty."))
    }

    fn operator(&mut self) -> Result<Operator, Fault> {
        const ALL: &[(&str, Operator)] = &[
            ("**", Operator::Power),
            ("*", Operator::Times),
            ("/", Operator::Over),
            ("mod", Operator::Modulo),
            ("+", Operator::Plus),
            ("-", Operator::Minus),
            ("or", Operator::Or),
            ("xor", Operator::Xor),
            ("and", Operator::And),
        ];
        for (text, operator) in ALL {
            if self.take(text) {
                return Ok(*operator);
            }
        }
        Err(stops("proof/expression", "An expression has no operator or closing bracket where one should stand."))
    }

    fn function(&mut self) -> Result<f64, Fault> {
        const NAMES: &[&str] =
            &["abs", "acos", "asin", "cos", "exp", "fix", "fup", "ln", "round", "sin", "sqrt", "tan"];
        if self.take("atan") {
            let y = self.expression()?;
            if !self.take("/") {
                return Err(stops("proof/expression", "ATAN needs two values: ATAN[y]/[x]."));
            }
            let x = self.expression()?;
            return Ok(libm::atan2(y, x).to_degrees());
        }
        let Some(name) = NAMES.iter().find(|name| self.take(name)) else {
            return Err(stops("proof/expression", "A function that does not exist stands where a number should."));
        };
        let x = self.expression()?;
        let outside = |low: f64, high: f64| {
            (x < low || x > high)
                .then(|| stops("proof/expression", format!("{} of {x} does not exist.", name.to_ascii_uppercase())))
        };
        let bad = match *name {
            "acos" | "asin" => outside(-1.0, 1.0),
            "sqrt" => outside(0.0, f64::MAX),
            "ln" => outside(f64::MIN_POSITIVE, f64::MAX),
            _ => None,
        };
        if let Some(fault) = bad {
            return Err(fault);
        }
        Ok(match *name {
            "abs" => x.abs(),
            "acos" => libm::acos(x).to_degrees(),
            "asin" => libm::asin(x).to_degrees(),
            "cos" => libm::cos(x.to_radians()),
            "exp" => libm::exp(x),
            // FIX goes down and FUP up, also below zero: FIX[-2.8] is -3 (3.3.2.4).
            "fix" => x.floor(),
            "fup" => x.ceil(),
            "ln" => libm::log(x),
            "round" => x.round(),
            "sin" => libm::sin(x.to_radians()),
            "sqrt" => x.sqrt(),
            _ => libm::tan(x.to_radians()),
        })
    }
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Operator {
    Power,
    Times,
    Over,
    Modulo,
    Plus,
    Minus,
    Or,
    Xor,
    And,
}

impl Operator {
    /// The higher binds first (3.3.2.3).
    const fn group(self) -> u8 {
        match self {
            Self::Power => 2,
            Self::Times | Self::Over | Self::Modulo => 1,
            Self::Plus | Self::Minus | Self::Or | Self::Xor | Self::And => 0,
        }
    }
}

fn fold(values: &mut Vec<f64>, operator: Operator) -> Result<(), Fault> {
    let (Some(b), Some(a)) = (values.pop(), values.pop()) else {
        return Err(stops("proof/expression", "An operator lacks a value."));
    };
    let truth = |value: f64| value != 0.0;
    let yes = |is: bool| if is { 1.0 } else { 0.0 };
    let nothing = || stops("proof/expression", "A value is divided by zero.");
    values.push(match operator {
        Operator::Power if a < 0.0 && whole(b).is_none() => {
            return Err(stops("proof/expression", "A negative value is raised to a power that is not whole."));
        }
        Operator::Power => libm::pow(a, b),
        Operator::Times => a * b,
        Operator::Over | Operator::Modulo if !truth(b) => return Err(nothing()),
        Operator::Over => a / b,
        Operator::Modulo => {
            let rest = libm::fmod(a, b);
            if rest < 0.0 { rest + b.abs() } else { rest }
        }
        Operator::Plus => a + b,
        Operator::Minus => a - b,
        Operator::Or => yes(truth(a) || truth(b)),
        Operator::Xor => yes(truth(a) != truth(b)),
        Operator::And => yes(truth(a) && truth(b)),
    });
    Ok(())
}

/// The whole number that a value is close enough to: within 0.0001 (3.3.2.1).
pub(super) fn whole(value: f64) -> Option<i64> {
    let near = value.round();
    #[expect(clippy::cast_possible_truncation, reason = "the magnitude is checked first")]
    let number = (near.abs() < 1e15).then_some(near as i64);
    number.filter(|_| (value - near).abs() <= 1e-4)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The quick way of reading a decimal gives the same bits as the standard library's.
    #[test]
    fn decimals_are_read_to_the_last_bit() {
        let parameters = Parameters::default();
        for text in [
            "0",
            "-0.",
            "7.9794",
            "-13.2",
            "0.0001",
            "123456789012345",
            "1234567890123456",
            "0.3",
            "007.50",
            "99999999999999999999999",
            "0.00000000000000000000000001",
            "21.60200000000000000001",
            "4503599627370497.5",
        ] {
            let read = Cursor::new(text.as_bytes(), &parameters).value().expect("a number");
            let known: f64 = text.parse().expect("a number");
            assert_eq!(read.to_bits(), known.to_bits(), "{text}");
        }
    }
}

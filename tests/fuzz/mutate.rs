//! Changes of a text that know what texts are made of: words, numbers, signs, lines, nesting.

use std::collections::BTreeSet;

use barwright_tests::dice::Dice;

/// The longest text that is given out, in bytes; now and then one is far longer.
const LONGEST: usize = 24_000;

/// Numbers at which readers break.
const NUMBERS: &[&str] = &[
    "0",
    "-0",
    "1",
    "-1",
    "2",
    "0.5",
    "1e9",
    "1e-9",
    "1e308",
    "1e999",
    "-1e308",
    "1e-320",
    "999999999999999999999",
    "2147483647",
    "2147483648",
    "4294967296",
    "9223372036854775808",
    "18446744073709551616",
    "0.1e1",
    "00012",
    ".5",
    "5.",
    "NaN",
    "inf",
    "-inf",
    "0x10",
    "1_000",
    "3/8",
    "1/0",
    "0/0",
    "1-1/2",
    "-3/8",
    "6,4",
    "1e",
    "٣",
    "1e12",
    "1000",
    "0.0001",
    "100",
    "360",
    "25.4",
    "1e6",
    "200",
    "10000",
    "1e15",
    "0.00000001",
];

/// Signs that have a meaning somewhere, or none anywhere.
const SIGNS: &[&str] = &[
    "(",
    ")",
    "[",
    "]",
    "{",
    "}",
    "'",
    "\"",
    "`",
    ";",
    ":",
    ",",
    ".",
    "=",
    "+",
    "-",
    "*",
    "/",
    "^",
    "%",
    "#",
    "&",
    "|",
    "<",
    ">",
    "!",
    "?",
    "@",
    "~",
    "$",
    "\\",
    "_",
    "\0",
    "\t",
    "\r",
    "\n",
    "\r\n",
    " ",
    "\u{a0}",
    "\u{feff}",
    "\u{202e}",
    "\u{301}",
    "é",
    "µ",
    "°",
    "⌀",
    "″",
    "·",
    "²",
    "−",
    "😀",
    "\u{7f}",
    "\u{1b}[31m",
    "- ",
    ": ",
    " #",
    "---",
    "...",
    "|\n",
    ">\n",
    "&a ",
    "*a",
    "!t ",
    "<<: ",
    "%41",
    "%ff",
    "+%2B",
];

/// What is nested, with what closes it.
const NESTS: &[(&str, &str)] = &[
    ("(", ")"),
    ("[", "]"),
    ("{", "}"),
    ("-", ""),
    ("not ", ""),
    ("{a: ", "}"),
    ("- ", ""),
    ("[1+", "]"),
    ("abs(", ")"),
];

/// The words of some texts, each once.
pub(crate) fn words(texts: &[String]) -> Vec<String> {
    let mut words = BTreeSet::new();
    for text in texts {
        words.extend(tokens(text).into_iter().filter(|word| word.len() > 1 && word.len() < 40).map(str::to_owned));
    }
    words.into_iter().collect()
}

/// A text of the pool, changed in one place or several.
pub(crate) fn change(pool: &[String], words: &[String], dice: &mut Dice) -> String {
    let mut text = some(pool, dice).to_owned();
    let times = 1 + dice.below(4) * dice.below(3);
    for _ in 0..times {
        text = changed(&text, pool, words, dice);
        if text.len() > LONGEST && !dice.once_in(200) {
            cut(&mut text, LONGEST);
        }
    }
    text
}

fn some<'p>(pool: &'p [String], dice: &mut Dice) -> &'p String {
    // What came last is new ground.
    let late = pool.len().saturating_sub(50);
    if dice.once_in(2) { dice.pick(&pool[late..]) } else { dice.pick(pool) }
}

fn cut(text: &mut String, most: usize) {
    let mut at = most.min(text.len());
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    text.truncate(at);
}

/// Words, numbers, blanks and single signs, in order; nothing of the text is lost.
fn tokens(text: &str) -> Vec<&str> {
    let kind = |sign: char| match sign {
        _ if sign.is_ascii_digit() || sign == '.' => 1,
        _ if sign.is_alphanumeric() || sign == '_' => 2,
        ' ' => 3,
        _ => 0,
    };
    let mut tokens = Vec::new();
    let (mut from, mut last) = (0, -1);
    for (at, sign) in text.char_indices() {
        let now = kind(sign);
        if at > from && (now != last || now == 0) {
            tokens.push(&text[from..at]);
            from = at;
        }
        last = now;
    }
    if from < text.len() {
        tokens.push(&text[from..]);
    }
    tokens
}

fn place(count: usize, dice: &mut Dice) -> usize {
    usize::try_from(dice.below(count.max(1) as u64)).unwrap_or(0)
}

fn changed(text: &str, pool: &[String], words: &[String], dice: &mut Dice) -> String {
    match dice.below(12) {
        0..=4 => by_tokens(text, words, dice),
        5 | 6 => by_number(text, dice),
        7 => by_lines(text, dice),
        8 => {
            let other = some(pool, dice);
            let (one, two) = (tokens(text), tokens(other));
            let (a, b) = (place(one.len(), dice), place(two.len(), dice));
            one[..a.min(one.len())].concat() + &two[b.min(two.len())..].concat()
        }
        9 => nested(text, dice),
        10 => {
            let signs: Vec<char> = text.chars().collect();
            let at = place(signs.len(), dice);
            let end = (at + place(6, dice)).min(signs.len());
            let sign = dice.one(SIGNS);
            signs[..at.min(signs.len())].iter().collect::<String>() + sign + &signs[end..].iter().collect::<String>()
        }
        _ => {
            let tokens = tokens(text);
            let (a, b) = (place(tokens.len(), dice), place(tokens.len(), dice));
            let (a, b) = (a.min(b), a.max(b));
            tokens[..a].concat() + &tokens[b..].concat()
        }
    }
}

/// One word in the place of another, gone, doubled, or exchanged with one further on.
fn by_tokens(text: &str, words: &[String], dice: &mut Dice) -> String {
    let mut list: Vec<String> = tokens(text).into_iter().map(str::to_owned).collect();
    if list.is_empty() {
        list.push(String::new());
    }
    let (at, other) = (place(list.len(), dice), place(list.len(), dice));
    match dice.below(6) {
        0 => {
            list.remove(at);
        }
        1 => list.insert(at, list[other].clone()),
        2 => list.swap(at, other),
        3 => dice.one(SIGNS).clone_into(&mut list[at]),
        4 => list.insert(at, dice.one(SIGNS).to_owned()),
        _ if words.is_empty() => {}
        _ => list[at].clone_from(dice.pick(words)),
    }
    list.concat()
}

/// Another number in the place of one: a breaking one, or one near it.
fn by_number(text: &str, dice: &mut Dice) -> String {
    let tokens = tokens(text);
    let numbers: Vec<usize> =
        (0..tokens.len()).filter(|at| tokens[*at].starts_with(|sign: char| sign.is_ascii_digit())).collect();
    if numbers.is_empty() {
        return text.to_owned() + dice.one(NUMBERS);
    }
    let at = *dice.pick(&numbers);
    let near = match (tokens[at].parse::<f64>(), dice.below(6)) {
        (Ok(value), 0) => format!("{}", value * 10.0),
        (Ok(value), 1) => format!("{}", value + 1.0),
        (Ok(value), 2) => format!("-{value}"),
        (Ok(value), 3) => format!("{}", value / 10.0),
        _ => dice.one(NUMBERS).to_owned(),
    };
    tokens[..at].concat() + &near + &tokens[at + 1..].concat()
}

/// A line gone, doubled, many times over, further in, or in another place.
fn by_lines(text: &str, dice: &mut Dice) -> String {
    let mut lines: Vec<String> = text.split_inclusive('\n').map(str::to_owned).collect();
    if lines.is_empty() {
        return text.to_owned();
    }
    let (at, other) = (place(lines.len(), dice), place(lines.len(), dice));
    match dice.below(5) {
        0 => {
            lines.remove(at);
        }
        1 => lines.swap(at, other),
        2 => lines.insert(at, lines[other].clone()),
        3 => lines[at].insert_str(0, dice.one(&["  ", " ", "\t", "- ", "        "])),
        _ => {
            let many = *dice.pick(&[3_usize, 20, 200, 2_000]);
            lines[at] = lines[at].repeat(many.min(LONGEST / lines[at].len().max(1)));
        }
    }
    lines.concat()
}

/// A stretch of the text inside many pairs of brackets, or behind many that are not closed.
fn nested(text: &str, dice: &mut Dice) -> String {
    let tokens = tokens(text);
    let (a, b) = (place(tokens.len(), dice), place(tokens.len(), dice));
    let (a, b) = (a.min(b), a.max(b));
    let (open, close) = *dice.pick(NESTS);
    let many = *dice.pick(&[1_usize, 2, 10, 33, 65, 129, 1_000, 12_000]);
    let many = many.min(2 * LONGEST / (open.len() + close.len()));
    let close = if dice.chance(70) { close } else { "" };
    tokens[..a].concat() + &open.repeat(many) + &tokens[a..b].concat() + &close.repeat(many) + &tokens[b..].concat()
}

//! Slips put into good programs: of the kinds that happen at a keyboard or in a writer's code.

use std::collections::BTreeMap;

/// One slip.
#[derive(Clone, Debug)]
pub(crate) struct Mutant {
    /// What kind of slip.
    pub(crate) kind: &'static str,
    /// The line, from one.
    pub(crate) line: usize,
    /// What was done.
    pub(crate) what: String,
    /// Lines, from zero, with what stands there instead; nothing where they are gone.
    edits: BTreeMap<usize, Option<String>>,
}

impl Mutant {
    /// The text with the slip.
    pub(crate) fn text(&self, lines: &[&str]) -> String {
        let mut text = String::new();
        for (index, line) in lines.iter().enumerate() {
            let line = match self.edits.get(&index) {
                Some(None) => continue,
                Some(Some(other)) => other,
                None => *line,
            };
            text.push_str(line);
            text.push('\n');
        }
        text
    }
}

/// About so many slips of a text, of each kind in proportion, and some of the rare ones.
pub(crate) fn some(text: &str, count: usize) -> Vec<Mutant> {
    let list = all(text);
    let mut kinds: BTreeMap<&str, Vec<Mutant>> = BTreeMap::new();
    let total = list.len();
    for mutant in list {
        kinds.entry(mutant.kind).or_default().push(mutant);
    }
    let share = |known: usize| (known * count).div_ceil(total.max(1)).max(RARE).min(known);
    kinds
        .into_values()
        .flat_map(|mutants| {
            let (known, wanted) = (mutants.len(), share(mutants.len()));
            let chosen = move |at: usize| (at + 1) * wanted / known > at * wanted / known;
            mutants.into_iter().enumerate().filter(move |(at, _)| chosen(*at)).map(|(_, mutant)| mutant)
        })
        .collect()
}

/// So many slips of a kind at least, where there are so many.
const RARE: usize = if cfg!(debug_assertions) { 1 } else { 5 };

/// All slips of a text.
pub(crate) fn all(text: &str) -> Vec<Mutant> {
    let lines: Vec<&str> = text.lines().collect();
    let inch = lines.iter().any(|line| line.contains("G20"));
    let mut list = Vec::new();
    for (index, line) in lines.iter().enumerate() {
        if line.trim() == "%" {
            continue;
        }
        let mut put = |kind: &'static str, new: Option<String>| {
            let what = match &new {
                Some(new) => format!("`{line}` -> `{new}`"),
                None => format!("`{line}` deleted"),
            };
            list.push(Mutant { kind, line: index + 1, what, edits: BTreeMap::from([(index, new)]) });
        };
        put("deleted line", None);
        for (kind, new) in words(line, inch) {
            put(kind, Some(new));
        }
    }
    for index in 0..lines.len().saturating_sub(1) {
        let (one, other) = (lines[index], lines[index + 1]);
        if one != other && one != "%" && other != "%" {
            let edits = BTreeMap::from([(index, Some(other.to_owned())), (index + 1, Some(one.to_owned()))]);
            let what = format!("`{one}` and `{other}` swapped");
            list.push(Mutant { kind: "swapped lines", line: index + 1, what, edits });
        }
    }
    turns(&lines, &mut list);
    list
}

/// Slips in ways round and round: a pass that is missing, another pitch.
fn turns(lines: &[&str], list: &mut Vec<Mutant>) {
    let round = |line: &&str| line.split(' ').any(|word| matches!(word, "G2" | "G3"));
    let mut at = 0;
    while at < lines.len() {
        let long = lines[at..].iter().take_while(|line| round(line)).count();
        if long >= 3 {
            let what = format!("{long} lines from `{}` on deleted", lines[at]);
            let edits = (at..at + long).map(|index| (index, None)).collect();
            list.push(Mutant { kind: "missing pass", line: at + 1, what, edits });
            let height = |line: &str| line.split(' ').find_map(|word| word.strip_prefix('Z')?.parse::<f64>().ok());
            if let Some(first) = height(lines[at]) {
                for factor in [1.25, 0.8] {
                    let edits: BTreeMap<usize, Option<String>> = (at + 1..at + long)
                        .filter_map(|index| {
                            let z = height(lines[index])?;
                            let changed = |word: &str| match word.strip_prefix('Z') {
                                Some(_) => format!("Z{:.4}", first + (z - first) * factor),
                                None => word.to_owned(),
                            };
                            let words: Vec<String> = lines[index].split(' ').map(changed).collect();
                            ((z - first).abs() > 0.01).then(|| (index, Some(words.join(" "))))
                        })
                        .collect();
                    if edits.len() > 2 {
                        let what = format!("from `{}` on {long} turns rise {factor} times as far", lines[at]);
                        list.push(Mutant { kind: "wrong pitch", line: at + 1, what, edits });
                    }
                }
            }
        }
        at += long.max(1);
    }
}

/// Every slip within one line's words; comments are left alone.
fn words(line: &str, inch: bool) -> Vec<(&'static str, String)> {
    let mut list = Vec::new();
    let bytes = line.as_bytes();
    let mut inside = false;
    let mut at = 0;
    while at < bytes.len() {
        match bytes[at] {
            b'(' => inside = true,
            b')' => inside = false,
            b';' => break,
            letter if !inside && letter.is_ascii_alphabetic() => {
                let start = at;
                at += 1;
                while at < bytes.len() && (bytes[at].is_ascii_digit() || bytes[at] == b'.' || bytes[at] == b'-') {
                    at += 1;
                }
                if letter != b'N' {
                    word([&line[..start], &line[start..at], &line[at..]], inch, &mut list);
                }
                continue;
            }
            _ => {}
        }
        at += 1;
    }
    list
}

fn word([before, word, after]: [&str; 3], inch: bool, list: &mut Vec<(&'static str, String)>) {
    let (letter, number) = word.split_at(1);
    let mut put = |kind, new: String| list.push((kind, format!("{before}{new}{after}")));
    put(if word == "M3" { "missing spindle start" } else { "deleted word" }, String::new());
    let value: f64 = number.parse().unwrap_or(0.0);
    let decimals = number.split_once('.').map_or(0, |(_, decimals)| decimals.len());
    if matches!(letter, "R" | "Z") && value > 0.0 {
        put("lowered clearance", format!("{letter}{:.*}", decimals.max(2), value / 10.0));
    }
    if letter == "Z" && value < 0.0 {
        let short = value + if inch { 0.02 } else { 0.5 };
        put("short depth", format!("Z{short:.*}", decimals.max(1)));
    }
    for (place, digit) in number.char_indices().filter(|(_, c)| c.is_ascii_digit()) {
        let digit = digit.to_digit(10).expect("a digit");
        for other in [(digit + 1) % 10, (digit + 5) % 10] {
            let kind = match letter {
                "G" => "G word",
                "M" => "M word",
                "T" => "tool",
                "H" => "offset",
                "S" => "speed",
                "F" => "feed",
                _ => "digit",
            };
            put(kind, format!("{letter}{}{other}{}", &number[..place], &number[place + 1..]));
        }
    }
    match letter {
        "G" if number == "2" || number == "3" => put("G2/G3", format!("G{}", if number == "2" { 3 } else { 2 })),
        "G" if number == "20" || number == "21" => put("unit", format!("G{}", if number == "20" { 21 } else { 20 })),
        "G" if number == "90" || number == "91" => {
            put("distance mode", format!("G{}", if number == "90" { 91 } else { 90 }));
        }
        "G" if number == "0" || number == "1" => {
            put("rapid for feed", format!("G{}", i32::from(number == "0")));
        }
        "M" if number == "3" => put("spindle", "M4".to_owned()),
        "X" | "Y" | "Z" | "I" | "J" | "K" | "R" | "Q" | "F" | "S" | "P" => {
            if let Some(bare) = number.strip_prefix('-') {
                put("sign", format!("{letter}{bare}"));
            } else if value > 0.0 {
                put("sign", format!("{letter}-{number}"));
            }
            if let Some(point) = number.find('.') {
                put("decimal point", format!("{letter}{}", number.replace('.', "")));
                let mut moved: Vec<char> = number.chars().collect();
                if point + 1 < moved.len() {
                    moved.swap(point, point + 1);
                    put("decimal point", format!("{letter}{}", moved.iter().collect::<String>()));
                }
                let mut moved: Vec<char> = number.chars().collect();
                if point > 0 && moved[point - 1] != '-' {
                    moved.swap(point - 1, point);
                    put("decimal point", format!("{letter}{}", moved.iter().collect::<String>()));
                }
            } else {
                put("factor", format!("{letter}{number}0"));
            }
        }
        _ => {}
    }
}

//! Slips put into good programs: of the kinds that happen at a keyboard or in a writer's code.

/// One slip.
#[derive(Clone, Debug)]
pub(crate) struct Mutant {
    /// What kind of slip.
    pub(crate) kind: &'static str,
    /// The line, from one.
    pub(crate) line: usize,
    /// What was done.
    pub(crate) what: String,
    /// The text with the slip.
    pub(crate) text: String,
}

/// All slips of a text.
pub(crate) fn all(text: &str) -> Vec<Mutant> {
    let lines: Vec<&str> = text.lines().collect();
    let mut list = Vec::new();
    for (index, line) in lines.iter().enumerate() {
        if line.trim() == "%" {
            continue;
        }
        let mut put = |kind: &'static str, new: Option<String>| {
            let mut changed: Vec<String> = lines.iter().map(|line| (*line).to_owned()).collect();
            let what = if let Some(new) = new {
                let what = format!("`{line}` -> `{new}`");
                changed[index] = new;
                what
            } else {
                changed.remove(index);
                format!("`{line}` deleted")
            };
            list.push(Mutant { kind, line: index + 1, what, text: changed.join("\n") + "\n" });
        };
        put("deleted line", None);
        for (kind, new) in words(line) {
            put(kind, Some(new));
        }
    }
    for index in 0..lines.len().saturating_sub(1) {
        if lines[index] != lines[index + 1] && lines[index] != "%" && lines[index + 1] != "%" {
            let mut changed = lines.clone();
            changed.swap(index, index + 1);
            let what = format!("`{}` and `{}` swapped", lines[index], lines[index + 1]);
            list.push(Mutant { kind: "swapped lines", line: index + 1, what, text: changed.join("\n") + "\n" });
        }
    }
    list
}

/// Every slip within one line's words; comments are left alone.
fn words(line: &str) -> Vec<(&'static str, String)> {
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
                    word(&line[..start], &line[start..at], &line[at..], &mut list);
                }
                continue;
            }
            _ => {}
        }
        at += 1;
    }
    list
}

fn word(before: &str, word: &str, after: &str, list: &mut Vec<(&'static str, String)>) {
    let (letter, number) = word.split_at(1);
    let mut put = |kind, new: String| list.push((kind, format!("{before}{new}{after}")));
    put("deleted word", String::new());
    let value: f64 = number.parse().unwrap_or(0.0);
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

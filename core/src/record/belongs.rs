//! What a file says of the part that it belongs to.

/// The first line in which two texts differ.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Difference {
    /// The line, from one.
    pub line: usize,
    /// What the text has there; nothing where it has ended.
    pub has: Option<String>,
    /// What the other has there.
    pub made: Option<String>,
}

/// All that differs between two texts of lines.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Differences {
    /// The first of them.
    pub first: Difference,
    /// How many lines of the text are not as made.
    pub lines: usize,
    /// How many lines the text has more than what was made; fewer where it is negative.
    pub more: i64,
    /// The sections of a program that they are in, by their comment `TOOL …`; empty for its head.
    pub sections: Vec<String>,
}

/// A cell in which two tables differ.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CellDifference {
    /// The row, from one; the head is row 1.
    pub row: usize,
    /// The head of its column.
    pub column: String,
    /// What the table has there.
    pub has: String,
    /// What the other has there.
    pub made: String,
}

/// The digest that a file names: a program (`DIGEST …`), a drawing or packet (`digest …` among a
/// PDF's keywords, or in a drawing's own words), a table (`part …` in its head), a record.
pub fn named_digest(bytes: &[u8]) -> Option<String> {
    let text = String::from_utf8_lossy(bytes).to_ascii_lowercase();
    let after = |word: &str| {
        text.match_indices(word).find_map(|(at, _)| {
            let rest = text.get(at + word.len()..)?;
            let digits: String = rest.chars().take_while(char::is_ascii_hexdigit).collect();
            let ends = !rest.get(digits.len()..).unwrap_or("").starts_with(|sign: char| sign.is_ascii_alphanumeric());
            (digits.len() == 12 && ends).then_some(digits)
        })
    };
    ["digest ", "digest\": \"", ",part ", "digest=\"", "digest>"].into_iter().find_map(after).or_else(|| lonely(&text))
}

/// The only twelve hexadecimal digits that stand by themselves, such as in the cell of a drawing
/// or at the foot of a label.
fn lonely(text: &str) -> Option<String> {
    let is = |word: &&str| word.len() == 12 && word.bytes().all(|byte| byte.is_ascii_hexdigit());
    let mut words = text.split(|sign: char| !sign.is_ascii_alphanumeric()).filter(is);
    let first = words.next()?;
    words.all(|other| other == first).then(|| first.to_owned())
}

/// The revision that a program's header names.
pub fn named_revision(text: &str) -> Option<String> {
    let line = text.lines().find(|line| line.contains("PART ") && line.contains(" REV "))?;
    let (_, revision) = line.rsplit_once(" REV ")?;
    Some(revision.trim_end_matches([')', ' ']).to_owned())
}

/// The first line in which two texts differ; nothing where they are alike, whatever ends their
/// lines.
pub fn first_difference(text: &str, made: &str) -> Option<Difference> {
    let (mut has, mut other) = (text.lines(), made.lines());
    let mut line = 0;
    loop {
        line += 1;
        match (has.next(), other.next()) {
            (None, None) => return None,
            (a, b) if a == b => {}
            (a, b) => return Some(Difference { line, has: a.map(str::to_owned), made: b.map(str::to_owned) }),
        }
    }
}

/// All that differs between two texts of lines; nothing where they are alike, whatever ends their
/// lines. What is alike at the start and at the end is left out; between, line is held to line.
pub fn differences(text: &str, made: &str) -> Option<Differences> {
    let first = first_difference(text, made)?;
    let (has, made): (Vec<&str>, Vec<&str>) = (text.lines().collect(), made.lines().collect());
    let start = first.line - 1;
    let most = has.len().min(made.len()).saturating_sub(start);
    let tail = has.iter().rev().zip(made.iter().rev()).take(most).take_while(|(a, b)| a == b).count();
    let (to, made_to) = (has.len() - tail, made.len() - tail);
    let even = to == made_to;
    let mut lines = 0;
    let mut sections: Vec<String> = Vec::new();
    let mut section = String::new();
    for (at, line) in has.iter().enumerate().take(to) {
        let bare = line.trim_start_matches(['(', ';', ' ']);
        let bare = bare.trim_end_matches(')');
        // The head lists the tools with how far they stand out.
        if bare.starts_with("TOOL ") && !bare.contains(", OUT ") {
            bare.clone_into(&mut section);
        }
        if at >= start && (!even || made.get(at) != Some(line)) {
            lines += 1;
            if sections.last() != Some(&section) {
                sections.push(section.clone());
            }
        }
    }
    let count = |lines: usize| i64::try_from(lines).unwrap_or(i64::MAX);
    Some(Differences { first, lines, more: count(to) - count(made_to), sections })
}

/// The cells in which two tables differ, row by row; nothing where their rows or columns do not
/// match, so that only lines can be told.
pub fn cell_differences(text: &str, made: &str) -> Option<Vec<CellDifference>> {
    let (has, made): (Vec<Vec<String>>, Vec<Vec<String>>) =
        (text.lines().map(cells).collect(), made.lines().map(cells).collect());
    let head = made.first()?;
    if has.len() != made.len() || has.iter().zip(&made).any(|(a, b)| a.len() != b.len()) {
        return None;
    }
    let mut list = Vec::new();
    for (row, (a, b)) in has.iter().zip(&made).enumerate() {
        for (column, (has, made)) in a.iter().zip(b).enumerate() {
            if has != made {
                let column = head.get(column).cloned().unwrap_or_default();
                list.push(CellDifference { row: row + 1, column, has: has.clone(), made: made.clone() });
            }
        }
    }
    Some(list)
}

/// The cells of a row (RFC 4180).
fn cells(line: &str) -> Vec<String> {
    let mut list = vec![String::new()];
    let mut quoted = false;
    let mut signs = line.chars().peekable();
    while let Some(sign) = signs.next() {
        match sign {
            '"' if quoted && signs.peek() == Some(&'"') => {
                signs.next();
                if let Some(cell) = list.last_mut() {
                    cell.push('"');
                }
            }
            '"' => quoted = !quoted,
            ',' if !quoted => list.push(String::new()),
            sign => {
                if let Some(cell) = list.last_mut() {
                    cell.push(sign);
                }
            }
        }
    }
    list
}

/// The digests that the texts of a page name: twelve hexadecimal digits that stand by themselves.
pub fn digests_of(texts: &[String]) -> Vec<String> {
    let is = |word: &&str| word.len() == 12 && word.bytes().all(|byte| byte.is_ascii_hexdigit());
    let words = texts.iter().flat_map(|text| text.split(|sign: char| !sign.is_ascii_alphanumeric()).filter(is));
    let mut list: Vec<String> = words.map(str::to_ascii_lowercase).collect();
    list.sort();
    list.dedup();
    list
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_says_whose_it_is() {
        let named = |text: &str| named_digest(text.as_bytes());
        let digest = Some("5fe4dd381b40".to_owned());
        assert_eq!(named("%\n(PART A REV B)\n(DIGEST 5FE4DD381B40)\n"), digest, "a program");
        assert_eq!(named("item,take,part 5fe4dd381b40\r\n"), digest, "a table");
        assert_eq!(named("/Keywords (digest 5fe4dd381b40)"), digest, "a PDF");
        assert_eq!(named("Heddle Row Workshop  5fe4dd381b40\n"), digest, "a label");
        assert_eq!(named("{\"digest\": \"5fe4dd381b40\"}"), digest, "a record");
        assert_eq!(named("G21\nG0 X0\n"), None, "nothing");
        assert_eq!(named_revision("(PART A REV B)").as_deref(), Some("B"), "its revision");
    }

    #[test]
    fn the_first_line_that_differs() {
        assert_eq!(first_difference("a\r\nb\r\n", "a\nb\n"), None, "ends of lines do not count");
        let told = first_difference("a\nx", "a\nb\nc").expect("a difference");
        assert_eq!((told.line, told.has.as_deref(), told.made.as_deref()), (2, Some("x"), Some("b")), "the second");
        assert_eq!(first_difference("a", "a\nb").expect("a difference").has, None, "it ended");
    }

    #[test]
    fn differences_are_told_with_their_tools() {
        let made =
            "(HEAD)\n(TOOL 4 END MILL, OUT 28 MM)\n(TOOL 1 SPOT)\nG0 X1.0\n(TOOL 4 END MILL)\nG1 X2.0\nG1 X3.0\nM30\n";
        assert_eq!(differences(made, made), None, "alike");
        let told = differences(&made.replace("X2.0", "X2.1").replace("X3.0", "X3.1"), made).expect("two lines");
        assert_eq!((told.lines, told.more, told.first.line), (2, 0, 6), "{told:?}");
        assert_eq!(told.sections, ["TOOL 4 END MILL"], "not the head, where it is listed");
        let told = differences(&made.replace("G1 X2.0\n", "G1 X2.0\nG1 X2.5\n"), made).expect("a line more");
        assert_eq!((told.lines, told.more, told.first.line), (1, 1, 7), "{told:?}");
    }

    #[test]
    fn cells_are_told_by_their_heads() {
        let made = "item,take,\"part \"\"a\"\"\"\r\nscrew,\"4,5\",x\r\n";
        let told = cell_differences(&made.replace("4,5", "9"), made).expect("the same form");
        let cell = CellDifference { row: 2, column: "take".into(), has: "9".into(), made: "4,5".into() };
        assert_eq!(told, [cell], "one cell");
        assert_eq!(cell_differences("a,b\n", made), None, "another form");
        assert_eq!(digests_of(&["x 5fe4dd381b40".into(), "5FE4DD381B40, 123".into()]), ["5fe4dd381b40"], "once");
    }
}

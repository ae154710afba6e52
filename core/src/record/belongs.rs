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
}

//! Text for a terminal of 80 columns.

/// Columns of a terminal.
const WIDTH: usize = 80;

/// A sentence over lines of at most 80 columns; what follows the first is indented, and the first
/// is taken to stand so far in already. A word that is longer than the room stays whole.
pub(crate) fn wrapped(text: &str, indent: usize) -> String {
    let room = WIDTH.saturating_sub(indent).max(20);
    let mut out = String::new();
    let mut used = 0;
    for word in text.split_whitespace() {
        let wide = word.chars().count();
        if used > 0 && used + 1 + wide > room {
            out.push('\n');
            out.push_str(&" ".repeat(indent));
            used = 0;
        } else if used > 0 {
            out.push(' ');
            used += 1;
        }
        out.push_str(word);
        used += wide;
    }
    out
}

#[cfg(test)]
mod tests {
    use super::wrapped;

    #[test]
    fn no_line_is_too_long() {
        let text = "word ".repeat(60);
        let lines = format!("{:10}{}", "", wrapped(&text, 10));
        assert!(lines.lines().all(|line| line.chars().count() <= 80), "{lines}");
        assert!(lines.lines().all(|line| line.starts_with(&" ".repeat(10))), "every line is indented");
        assert_eq!(lines.split_whitespace().count(), 60, "no word is lost");
    }
}

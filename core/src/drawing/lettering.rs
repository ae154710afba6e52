//! The one face, and the measures of text set in it.

use std::cell::RefCell;
use std::collections::BTreeSet;

use super::letters::{EM, LETTERS};
use crate::diag::Diagnostic;

/// The face as drawing programs and PDF take it.
pub const TTF: &[u8] = include_bytes!("../../assets/barwright-lettering.ttf");
/// The face as browsers take it.
pub const WOFF2: &[u8] = include_bytes!("../../assets/barwright-lettering.woff2");
/// The name of the face.
pub const FAMILY: &str = "Barwright Lettering";
/// Height of a capital, as a part of the font size.
pub const CAPITAL: f64 = 0.75;

/// What a text takes of the paper when it is set.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Extent {
    /// Along the line: the sum of the advances. The face has no kerning, so every reader agrees.
    pub(crate) width: f64,
    /// Ink below the base line.
    pub(crate) below: f64,
    /// Ink above the base line.
    pub(crate) above: f64,
}

/// A letter's measures, in units of the face.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Letter {
    /// Which one.
    pub(super) character: char,
    /// How far the next one stands.
    pub(super) advance: i16,
    /// The lowest ink.
    pub(super) low: i16,
    /// The highest ink.
    pub(super) high: i16,
}

/// Measures text, and keeps count of the characters that it could not set.
#[derive(Debug, Default)]
pub(crate) struct Lettering {
    lacking: RefCell<BTreeSet<char>>,
}

impl Lettering {
    /// Measures stand in a table of ours: the font's own take most of the time of a layout, and a
    /// reader of fonts where none is needed.
    pub(crate) fn new() -> Self {
        Self::default()
    }

    fn letter(character: char) -> Option<&'static Letter> {
        // The table begins with the letters of ASCII, none left out.
        let first = u32::from(character).wrapping_sub(u32::from(' '));
        let direct = usize::try_from(first).ok().and_then(|at| LETTERS.get(at));
        if let Some(letter) = direct.filter(|letter| letter.character == character) {
            return Some(letter);
        }
        LETTERS.binary_search_by_key(&character, |letter| letter.character).ok().and_then(|at| LETTERS.get(at))
    }

    /// Measures a text at this height of a capital.
    #[expect(clippy::unused_self, reason = "measuring is asked of the lettering that a sheet is set in")]
    pub(crate) fn extent(&self, text: &str, height: f64) -> Extent {
        let (mut width, mut low, mut high) = (0_i32, 0_i16, 0_i16);
        for letter in text.chars().filter_map(Self::letter) {
            width += i32::from(letter.advance);
            low = low.min(letter.low);
            high = high.max(letter.high);
        }
        let unit = unit(height);
        Extent { width: f64::from(width) * unit, below: f64::from(-low) * unit, above: f64::from(high) * unit }
    }

    /// The length of a text at this height of a capital.
    pub(crate) fn width(&self, text: &str, height: f64) -> f64 {
        self.extent(text, height).width
    }

    /// Whether the face has every character of a text.
    pub(crate) fn has(text: &str) -> bool {
        text.chars().all(|character| Self::letter(character).is_some())
    }

    /// The characters of a text that the face lacks, each once; blanks of any kind are set as blanks.
    pub(crate) fn lacks(text: &str) -> BTreeSet<char> {
        text.chars().filter(|sign| !sign.is_whitespace() && Self::letter(*sign).is_none()).collect()
    }

    /// A text that people typed, in a form that can be set: single blanks, and a question mark for
    /// each character that the face lacks.
    pub(crate) fn settable(&self, typed: &str) -> String {
        let mut text = String::with_capacity(typed.len());
        for word in typed.split_whitespace() {
            if !text.is_empty() {
                text.push(' ');
            }
            for character in word.chars() {
                let known = Self::letter(character).is_some();
                text.push(if known { character } else { '?' });
                if !known {
                    self.lacking.borrow_mut().insert(character);
                }
            }
        }
        text
    }

    /// Like [`Self::settable`], in capitals as drawings are lettered. Words with a figure in them
    /// (`M5x0.8`, `CuZn36Pb3`) and signs of units keep their case, which has a meaning there.
    pub(crate) fn capitals(&self, typed: &str) -> String {
        let words = self.settable(typed);
        let mut text = String::with_capacity(words.len());
        for word in words.split(' ') {
            if !text.is_empty() {
                text.push(' ');
            }
            let bare = word.trim_matches(|sign: char| !sign.is_alphanumeric());
            let keeps = word.chars().any(|sign| sign.is_ascii_digit()) || matches!(bare, "mm" | "kg" | "g" | "µm");
            if keeps {
                text.push_str(word);
                continue;
            }
            for sign in word.chars() {
                match sign {
                    'ß' => text.push_str("SS"),
                    _ => text.push(capital(sign)),
                }
            }
        }
        text
    }

    /// Breaks a text into lines no longer than `most`; a word that is longer is broken too.
    #[expect(clippy::unused_self, reason = "measuring is asked of the lettering that a sheet is set in")]
    pub(crate) fn lines(&self, text: &str, height: f64, most: f64) -> Vec<String> {
        let advance = |letter| Self::letter(letter).map_or(0, |letter| i32::from(letter.advance));
        let fits = |advance: i32| f64::from(advance) * unit(height) <= most;
        let mut lines = Vec::new();
        // The line so far and its length, in units of the face.
        let (mut line, mut long) = (String::new(), 0);
        for word in text.split(' ') {
            let blank = if line.is_empty() { 0 } else { advance(' ') };
            let longer = long + blank + word.chars().map(advance).sum::<i32>();
            if fits(longer) {
                if !line.is_empty() {
                    line.push(' ');
                }
                line.push_str(word);
                long = longer;
                continue;
            }
            if !line.is_empty() {
                lines.push(std::mem::take(&mut line));
                long = 0;
            }
            for character in word.chars() {
                let more = advance(character);
                if !line.is_empty() && !fits(long + more) {
                    lines.push(std::mem::take(&mut line));
                    long = 0;
                }
                line.push(character);
                long += more;
            }
        }
        lines.push(line);
        lines
    }

    /// What could not be set, as a finding.
    pub(crate) fn finding(&self) -> Option<Diagnostic> {
        let lacking = self.lacking.borrow();
        if lacking.is_empty() {
            return None;
        }
        let named: Vec<String> = lacking.iter().take(8).map(|sign| format!("U+{:04X}", u32::from(*sign))).collect();
        let more = if lacking.len() > named.len() { " and others" } else { "" };
        let headline =
            format!("The lettering of the drawing lacks {}{more}; '?' stands there instead.", named.join(", "));
        Some(
            Diagnostic::caution("drawing/no-such-letter", headline)
                .help("Latin letters, figures and common signs can be set."),
        )
    }
}

/// A unit of the face at this height of a capital.
fn unit(height: f64) -> f64 {
    height / CAPITAL / f64::from(EM)
}

/// The capital of a letter of the face; one whose capital the face lacks (ÿ) stays as it is. The
/// library's table of all scripts would be the heaviest in a page.
fn capital(sign: char) -> char {
    match sign {
        'à'..='ö' | 'ø'..='þ' => char::from_u32(u32::from(sign) - 0x20).unwrap_or(sign),
        'œ' => 'Œ',
        _ => sign.to_ascii_uppercase(),
    }
}

#[cfg(test)]
mod tests {
    use ttf_parser::Face;
    use ttf_parser::cmap::Subtable;

    use super::super::letters::{EM, LETTERS};
    use super::{Letter, Lettering, TTF};

    /// Every letter of the face, as another's reader of fonts finds it.
    fn read() -> Vec<Letter> {
        let face = Face::parse(TTF, 0).expect("a face");
        assert_eq!(face.units_per_em(), EM, "units");
        let mut letters = Vec::new();
        for table in face.tables().cmap.into_iter().flat_map(|cmap| cmap.subtables).filter(Subtable::is_unicode).take(1)
        {
            table.codepoints(|code| {
                if let (Some(character), Some(glyph)) = (char::from_u32(code), table.glyph_index(code)) {
                    let ink = face.glyph_bounding_box(glyph);
                    let advance = i16::try_from(face.glyph_hor_advance(glyph).unwrap_or(0)).expect("small");
                    let (low, high) = ink.map_or((0, 0), |ink| (ink.y_min, ink.y_max));
                    letters.push(Letter { character, advance, low, high });
                }
            });
        }
        letters.sort_by_key(|letter| letter.character);
        letters
    }

    /// `BLESS=1` writes the table anew.
    #[test]
    #[expect(clippy::disallowed_methods, reason = "a test may write its table")]
    fn table_is_that_of_the_face() {
        let letters = read();
        if std::env::var_os("BLESS").is_some() {
            let row =
                |it: &Letter| format!("    letter({:?}, {}, {}, {}),\n", it.character, it.advance, it.low, it.high);
            let rows: String = letters.iter().map(row).collect();
            let path = concat!(env!("CARGO_MANIFEST_DIR"), "/src/drawing/letters.rs");
            let text = std::fs::read_to_string(path).expect("there");
            let (head, _) = text.split_once("&[\n").expect("a table");
            std::fs::write(path, format!("{head}&[\n{rows}];\n")).expect("written");
            return;
        }
        assert_eq!(LETTERS, letters, "BLESS=1 writes core/src/drawing/letters.rs anew");
    }

    #[test]
    fn face_has_what_drawings_need() {
        let lettering = Lettering::new();
        for sign in (' '..='~').chain("⌀⌴⌵↧□⟂∥⏥⌖≤√°±µ×–äöüßéñøÅ".chars()) {
            assert!(Lettering::has(&sign.to_string()), "no {sign:?} in the face");
        }
        assert!((lettering.extent("H", 3.5).above - 3.5).abs() < 0.1, "a capital is as high as asked");
        assert!((lettering.width("88", 3.5) - lettering.width("11", 3.5)).abs() < 1e-9, "figures are tabular");
    }

    #[test]
    fn what_is_lacking_is_seen_and_told() {
        let lettering = Lettering::new();
        assert_eq!(lettering.settable("a \t\n 鍵 b"), "a ? b", "blanks are joined, the letter is replaced");
        let told = lettering.finding().expect("a finding");
        assert!(told.headline.contains("U+9375"), "the finding names it: {}", told.headline);
    }

    #[test]
    fn case_stays_where_it_means_something() {
        let lettering = Lettering::new();
        assert_eq!(lettering.capitals("Brass (CuZn36Pb3), 4 mm, M5x0.8"), "BRASS (CuZn36Pb3), 4 mm, M5x0.8", "case");
    }

    /// Against the table of the Unicode standard, as the standard library has it.
    #[test]
    fn capitals_are_those_of_unicode() {
        for letter in LETTERS.iter().map(|letter| letter.character).filter(|sign| sign.is_alphabetic()) {
            let known: String = letter.to_uppercase().collect();
            let wanted = if Lettering::has(&known) { known } else { letter.to_string() };
            // Thrice: by itself a letter may be a unit, which stays as it is.
            let [word, wanted] = [letter.to_string(), wanted].map(|text| text.repeat(3));
            assert_eq!(Lettering::new().capitals(&word), wanted, "{letter}");
        }
    }

    #[test]
    fn lines_stay_inside() {
        let lettering = Lettering::new();
        let lines = lettering.lines("one two threeeeeeeeeeeeeeeeeeeeeeeeeee four", 3.0, 30.0);
        assert!(lines.iter().all(|line| lettering.width(line, 3.0) <= 30.0), "{lines:?}");
        assert_eq!(lines.concat().replace(' ', ""), "onetwothreeeeeeeeeeeeeeeeeeeeeeeeeeefour", "nothing is lost");
    }
}

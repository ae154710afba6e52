//! Sheets as PDF.
//!
//! In come finished sheets; out goes one file with a page for each, in which a millimetre of the
//! sheet is a millimetre of paper. Never laid out again, never a picture: lines stay lines and
//! text stays text that can be searched and copied.
//!
//! Nothing in the file depends on clock or machine, so that the same sheets give the same bytes.
//! Structure by ISO 32000-1; viewers are asked not to scale when printing (its table 150), which
//! they may ignore, wherefore each sheet has its check bar.

mod face;
mod page;
mod read;

pub use read::texts;

use pdf_writer::types::{CidFontType, FontFlags, SystemInfo, UnicodeCmap};
use pdf_writer::{Filter, Finish, Name, Pdf, Rect, Ref, Str, TextStr};

use self::face::Letters;
use super::sheet::Sheet;

/// Why sheets cannot be written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unwritable {
    /// There is no sheet to write.
    Nothing,
    /// The lettering lacks this character; a box in its place would be a wrong drawing.
    Character(char),
    /// The built-in lettering cannot be read or cut down.
    Lettering,
}

impl std::fmt::Display for Unwritable {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Nothing => f.write_str("there is no sheet"),
            Self::Character(sign) => write!(f, "the lettering lacks U+{:04X}", u32::from(*sign)),
            Self::Lettering => f.write_str("the built-in lettering is damaged"),
        }
    }
}

impl std::error::Error for Unwritable {}

/// PDF points for a millimetre: 72 to the inch, ISO 32000-1, 8.3.2.3.
const POINT: f64 = 72.0 / 25.4;
/// The name by which pages call the lettering.
const FACE: Name<'static> = Name(b"L");
/// The name of the embedded face; the tag says that it is a part of one (ISO 32000-1, 9.6.4).
const SUBSET: Name<'static> = Name(b"BARLET+BarwrightLettering");
const SYSTEM: SystemInfo<'static> = SystemInfo { registry: Str(b"Adobe"), ordering: Str(b"Identity"), supplement: 0 };
/// Miniz's own scale, to ten: small files, still well under a millisecond for a sheet.
const EFFORT: u8 = 9;

/// Writes sheets as the pages of one PDF, named after the first.
///
/// Sheets that [`super::lay_out`] made never fail: it has replaced what cannot be lettered.
pub fn write(sheets: &[&Sheet]) -> Result<Vec<u8>, Unwritable> {
    let first = sheets.first().ok_or(Unwritable::Nothing)?;
    let sheets: Vec<&Sheet> = sheets.iter().flat_map(|sheet| std::iter::once(*sheet).chain(&sheet.following)).collect();
    let sheets = sheets.as_slice();
    let letters = Letters::of(sheets)?;
    let mut next = 0;
    let mut fresh = || {
        next += 1;
        Ref::new(next)
    };
    let (catalog, info, tree, face) = (fresh(), fresh(), fresh(), fresh());
    let pages: Vec<(Ref, Ref)> = sheets.iter().map(|_| (fresh(), fresh())).collect();
    let face_parts = [(); 5].map(|()| fresh());

    let mut pdf = Pdf::new();
    let mut root = pdf.catalog(catalog);
    root.pages(tree).lang(TextStr("en"));
    root.viewer_preferences().display_doc_title(true).pair(Name(b"PrintScaling"), Name(b"None"));
    root.finish();
    let title = format!("{} – {}", first.number, first.title);
    pdf.document_info(info)
        .title(TextStr(&title))
        .subject(TextStr(&first.number))
        .keywords(TextStr(&format!("digest {}", first.digest)))
        .producer(TextStr("Barwright"));
    let count = i32::try_from(pages.len()).unwrap_or(i32::MAX);
    pdf.pages(tree).kids(pages.iter().map(|(page, _)| *page)).count(count);
    for (sheet, (page, content)) in sheets.iter().zip(&pages) {
        let mut node = pdf.page(*page);
        node.parent(tree).contents(*content);
        node.media_box(Rect::new(0.0, 0.0, real(sheet.width * POINT), real(sheet.height * POINT)));
        node.resources().fonts().pair(FACE, face);
        node.finish();
        pdf.stream(*content, &packed(&page::content(sheet, &letters)?)).filter(Filter::FlateDecode);
    }
    embed(&mut pdf, &letters, face, face_parts)?;
    Ok(pdf.finish())
}

/// Embeds those letters of the face that are used: a composite font whose codes are counted
/// through, with the way back to characters (ISO 32000-1, 9.7 and 9.10.3).
fn embed(pdf: &mut Pdf, letters: &Letters, face: Ref, parts: [Ref; 5]) -> Result<(), Unwritable> {
    let [descendant, descriptor, program, glyphs, characters] = parts;
    let (subset, places) = letters.subset()?;
    pdf.type0_font(face)
        .base_font(SUBSET)
        .encoding_predefined(Name(b"Identity-H"))
        .descendant_font(descendant)
        .to_unicode(characters);
    let mut font = pdf.cid_font(descendant);
    font.subtype(CidFontType::Type2).base_font(SUBSET).system_info(SYSTEM).font_descriptor(descriptor);
    font.default_width(0.0).cid_to_gid_map_stream(glyphs);
    font.widths().consecutive(1, letters.advances().map(real));
    font.finish();
    let form = letters.form();
    pdf.font_descriptor(descriptor)
        .name(SUBSET)
        .flags(FontFlags::SYMBOLIC)
        .bbox(Rect::new(real(form.ink[0]), real(form.ink[1]), real(form.ink[2]), real(form.ink[3])))
        .italic_angle(0.0)
        .ascent(real(form.ascent))
        .descent(real(form.descent))
        .cap_height(real(form.capital))
        .stem_v(real(form.stem))
        .font_file2(program);
    let length = i32::try_from(subset.len()).map_err(|_| Unwritable::Lettering)?;
    pdf.stream(program, &packed(&subset)).filter(Filter::FlateDecode).pair(Name(b"Length1"), length);
    pdf.stream(glyphs, &packed(&places)).filter(Filter::FlateDecode);
    let mut back = UnicodeCmap::new(Name(b"Characters"), SYSTEM);
    for (code, character) in letters.codes() {
        back.pair(code, character);
    }
    pdf.stream(characters, &packed(&back.finish())).filter(Filter::FlateDecode);
    Ok(())
}

fn packed(plain: &[u8]) -> Vec<u8> {
    miniz_oxide::deflate::compress_to_vec_zlib(plain, EFFORT)
}

/// A number as the file holds it: single precision is 0.00003 mm at the far edge of a sheet.
#[allow(clippy::cast_possible_truncation, reason = "what is lost is far below what a printer can place")]
fn real(value: f64) -> f32 {
    value as f32
}

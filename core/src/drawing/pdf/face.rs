//! The letters that sheets use, with a code for each.

use std::collections::BTreeMap;

use subsetter::GlyphRemapper;
use ttf_parser::{Face, GlyphId};

use super::Unwritable;
use crate::drawing::lettering::{CAPITAL, Lettering, TTF};
use crate::drawing::sheet::{Shape, Sheet};

/// The letters of some sheets.
#[derive(Debug)]
pub(super) struct Letters {
    face: Face<'static>,
    measure: Lettering,
    /// Codes count from 1 in the order of the characters, one for each character even where two
    /// share a glyph, so that each is read back as itself.
    known: BTreeMap<char, (u16, GlyphId)>,
}

/// What a reader may want to know of a face before it has read it, in thousandths of its size.
#[derive(Clone, Copy, Debug)]
pub(super) struct Form {
    /// The box that holds every letter: left, lower, right, upper.
    pub(super) ink: [f64; 4],
    pub(super) ascent: f64,
    pub(super) descent: f64,
    pub(super) capital: f64,
    pub(super) stem: f64,
}

impl Letters {
    /// Finds every character of the sheets in the face.
    pub(super) fn of(sheets: &[&Sheet]) -> Result<Self, Unwritable> {
        let face = Face::parse(TTF, 0).map_err(|_| Unwritable::Lettering)?;
        let mut known = BTreeMap::new();
        for item in sheets.iter().flat_map(|sheet| &sheet.items) {
            if let Shape::Text { text, .. } = &item.shape {
                for character in text.chars() {
                    let glyph = face.glyph_index(character).ok_or(Unwritable::Character(character))?;
                    known.insert(character, (0, glyph));
                }
            }
        }
        for (code, entry) in (1..).zip(known.values_mut()) {
            entry.0 = code;
        }
        Ok(Self { face, measure: Lettering::new(), known })
    }

    /// A text in codes, two bytes each.
    pub(super) fn coded(&self, text: &str) -> Result<Vec<u8>, Unwritable> {
        let mut codes = Vec::with_capacity(2 * text.len());
        for character in text.chars() {
            let (code, _) = self.known.get(&character).ok_or(Unwritable::Character(character))?;
            codes.extend(code.to_be_bytes());
        }
        Ok(codes)
    }

    /// The length of a text at this height of a capital.
    pub(super) fn width(&self, text: &str, height: f64) -> f64 {
        self.measure.width(text, height)
    }

    /// Codes and their characters, in order.
    pub(super) fn codes(&self) -> impl Iterator<Item = (u16, char)> + '_ {
        self.known.iter().map(|(character, (code, _))| (*code, *character))
    }

    /// Advances in the order of the codes, in thousandths of the size.
    pub(super) fn advances(&self) -> impl Iterator<Item = f64> + '_ {
        self.known
            .values()
            .map(|(_, glyph)| self.thousandths(f64::from(self.face.glyph_hor_advance(*glyph).unwrap_or(0))))
    }

    /// The face cut down to these letters, and for each code from 0 the place of its glyph there.
    pub(super) fn subset(&self) -> Result<(Vec<u8>, Vec<u8>), Unwritable> {
        let mut kept = GlyphRemapper::new();
        let mut places = vec![0, 0];
        for (_, glyph) in self.known.values() {
            places.extend(kept.remap(glyph.0).to_be_bytes());
        }
        let subset = subsetter::subset(TTF, 0, &kept).map_err(|_| Unwritable::Lettering)?;
        Ok((subset, places))
    }

    /// The form of the whole face.
    pub(super) fn form(&self) -> Form {
        let ink = self.face.global_bounding_box();
        Form {
            ink: [ink.x_min, ink.y_min, ink.x_max, ink.y_max].map(|value| self.thousandths(f64::from(value))),
            ascent: self.thousandths(f64::from(self.face.ascender())),
            descent: self.thousandths(f64::from(self.face.descender())),
            capital: 1000.0 * CAPITAL,
            // Strokes are 0.107 of a capital wide, measured on the face.
            stem: 107.0 * CAPITAL,
        }
    }

    fn thousandths(&self, units: f64) -> f64 {
        units * 1000.0 / f64::from(self.face.units_per_em())
    }
}

//! The drawing of a part: one sheet, to a standard, true to scale.
//!
//! In comes a finished part, the form of the sheet and what is stamped on it; out goes a sheet of
//! items at fixed places on paper, and its SVG. This room never knows how a part came about, and
//! never changes or rounds a size: it shows the numbers that the part carries.
//!
//! Everything is placed before anything is drawn, at the largest standard scale at which all of
//! it finds room without crossing.

mod arrange;
mod balance;
pub(crate) mod board;
mod border;
mod breaks;
mod callout;
mod clash;
mod coordinates;
mod detail;
mod dimension;
mod general;
mod lanes;
mod layout;
mod leader;
pub mod lettering;
mod letters;
mod notes;
mod number;
mod ordinate;
#[cfg(feature = "files")]
pub mod pdf;
mod pictorial;
mod sheet;
mod side;
mod solid;
mod style;
pub mod svg;
mod table;
mod tabulated;
mod texts;
mod twins;
mod views;

#[cfg(test)]
mod checks;
#[cfg(test)]
mod drawn;
#[cfg(test)]
mod once;
#[cfg(test)]
mod outline;
#[cfg(test)]
mod read;
#[cfg(test)]
mod sample;
#[cfg(test)]
mod spacing;
#[cfg(test)]
mod tests;
#[cfg(test)]
mod variants;

pub use sheet::{Anchor, Item, Pen, Role, Shape, Sheet, Shown};

use serde::{Deserialize, Serialize};

use self::arrange::Job;
use self::board::Board;
use self::general::General;
use self::lettering::Lettering;
use self::number::Numbers;
use self::solid::Solid;
use self::tabulated::Tabulation;
use self::twins::Twins;
use crate::diag::{Checked, Diagnostic};
use crate::geom::{Point, Rect};
use crate::part::{Face, Part};
use crate::quantity::{Length, Unit};

/// The standard that a drawing follows.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Convention {
    /// ISO: first angle, figures along their lines, zones with deviations.
    #[default]
    Iso,
    /// ASME: third angle, figures read from below, limits.
    Asme,
}

/// Sizes of paper, all lying.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Paper {
    /// 297 × 210 mm.
    #[default]
    A4,
    /// 420 × 297 mm.
    A3,
    /// 11 × 8.5 in.
    Letter,
    /// 17 × 11 in.
    Tabloid,
}

/// The form of a sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Format {
    /// The standard.
    pub convention: Convention,
    /// The paper.
    pub paper: Paper,
    /// Whether the file carries the lettering, so that it looks the same wherever it is opened.
    /// A page that has the lettering already leaves it out.
    pub embed_font: bool,
}

/// What is stamped on a sheet: it comes from outside, since this room knows no clock.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Stamp {
    /// Index of the revision.
    pub revision: String,
    /// Date of issue.
    pub date: Option<String>,
    /// Who drew it.
    pub drawn_by: Option<String>,
    /// Digest of all that the part was made from.
    pub digest: String,
    /// To whom the drawing belongs.
    pub owner: String,
    /// What the shop's saw leaves on each end of a piece whose ends no program mills: it is faced to
    /// length before it comes to the program, and STOCK says how long it is sawn.
    #[serde(default)]
    pub facing: Length,
}

/// The part with its blank as it comes from the saw, which is how the drawing names it.
fn as_sawn(part: &Part, facing: Length) -> Part {
    let mut part = part.clone();
    if part.blank.length <= part.length.nominal {
        part.blank.length += facing * 2.0;
    }
    part
}

/// Lays a part out.
///
/// Where its holes fill a table that finds no room beside the views, [`Sheet::following`] holds
/// the sheets with the table. Where the paper is too small for the part at any standard scale, the
/// next larger is taken. Cautions tell of that and of texts cut short. It is
/// refused where a size is no length at all, where a text has a sign that the lettering lacks, or
/// where the part finds no room on the larger paper either.
pub fn lay_out(part: &Part, format: &Format, stamp: &Stamp) -> Checked<Sheet> {
    let findings = texts::lacking(part, stamp, &[]);
    if !findings.is_empty() {
        return Checked { value: None, findings };
    }
    laid_out(&as_sawn(part, stamp.facing), *format, stamp, &Tabulation::default())
}

/// Lays one drawing out for many variants: `part` is drawn, letters stand for the sizes that vary,
/// and a table on the sheets that follow has a row for each of `rows`.
///
/// `part` had better be the largest of them. What does not vary stands in figures, as in
/// [`lay_out`]; notes that differ are left to the drawing of each variant. It is refused where
/// there are no rows, where the variants differ by more than sizes, and where [`lay_out`] refuses.
pub fn tabulated(part: &Part, rows: &[Part], format: &Format, stamp: &Stamp) -> Checked<Sheet> {
    if rows.is_empty() {
        let finding = Diagnostic::refused("drawing/no-variants", "There is no variant for the table.");
        return Checked::refuse(finding.help("At least one variant has to be good."));
    }
    let findings = texts::lacking(part, stamp, rows);
    if !findings.is_empty() {
        return Checked { value: None, findings };
    }
    let (part, rows) =
        (&as_sawn(part, stamp.facing), &rows.iter().map(|row| as_sawn(row, stamp.facing)).collect::<Vec<_>>());
    match Tabulation::of(part, rows, format.convention) {
        Ok(table) => laid_out(&tabulated::typical(part, rows), *format, stamp, &table),
        Err(finding) => Checked::refuse(finding),
    }
}

fn laid_out(part: &Part, format: Format, stamp: &Stamp, table: &Tabulation) -> Checked<Sheet> {
    if let Some(finding) = unfit(part) {
        return Checked::refuse(finding);
    }
    let letters = Lettering::new();
    let larger = format.paper.larger();
    if let Some((sheet, findings)) = on_paper(part, format, stamp, (&letters, larger.is_none(), table)) {
        return Checked::unless_refused(sheet, findings);
    }
    let headline =
        format!("The drawing of {} finds no room on {} at any standard scale.", part.number, format.paper.name());
    let papers = larger.into_iter().chain([format.paper]);
    let taken = papers.into_iter().find_map(|paper| {
        let (sheet, findings) = on_paper(part, Format { paper, ..format }, stamp, (&letters, true, table))?;
        Some((paper, sheet, findings))
    });
    match taken {
        Some((paper, sheet, findings)) if paper == format.paper => Checked::unless_refused(sheet, findings),
        Some((paper, sheet, mut findings)) => {
            let headline = format!("{headline} It is drawn on {}.", paper.name());
            findings.push(Diagnostic::caution("drawing/larger-paper", headline).help(format.paper.remedy()));
            Checked::unless_refused(sheet, findings)
        }
        None => Checked::refuse(Diagnostic::refused("drawing/no-room", headline).help(format.paper.remedy())),
    }
}

fn on_paper(
    part: &Part,
    format: Format,
    stamp: &Stamp,
    (letters, lenient, variants): (&Lettering, bool, &Tabulation),
) -> Option<(Sheet, Vec<Diagnostic>)> {
    let general = General::named(&part.general.name, part.unit);
    let numbers =
        Numbers { unit: part.unit, convention: format.convention, general: &general, letters: &variants.letters };
    let mut findings = Vec::new();
    let board = Board::new(letters);
    let frame = border::frame_of(format);
    let notes = notes::Notes::of(part, &numbers, &board, frame);
    // Where notes leave nothing, its height is negative and no scale fits.
    let zone = Rect {
        low: Point::new(frame.low.x + border::BAR.0 + 1.0, frame.low.y + notes.height.max(border::BLOCK.1) + 3.0),
        high: Point::new(frame.high.x - 3.0, frame.high.y - border::BAR.1),
    };
    let solid = Solid::of(part);
    let convention = format.convention;
    let twins = Twins::of(part, &numbers, natural_end(convention));
    let job = Job { part, solid: &solid, numbers: &numbers, convention, zone, tabled: false, twins: &twins };
    // A table of variants that is small enough stands beside the views, where it leaves them room.
    let beside = variants.rooms(zone, letters).into_iter().filter_map(|(zone, corner)| {
        let narrow = Job { zone, ..job };
        let mut board = Board::new(letters);
        let drawn = arrange::draw(&mut board, &narrow, false).filter(|drawn| drawn.overflow.is_none())?;
        variants.draw(&mut board, corner);
        Some((drawn, board))
    });
    let beside = beside.reduce(|best, other| if other.0.scale > best.0.scale { other } else { best });
    let mut alone = Board::new(letters);
    let drawn = arrange::draw(&mut alone, &job, lenient);
    let full = drawn.as_ref().map_or(0.0, |drawn| drawn.scale);
    let together = beside.filter(|(drawn, _)| drawn.scale > full * 0.49);
    let tabled = together.is_some();
    let (drawn, mut board) = match together {
        Some(together) => together,
        None => (drawn?, alone),
    };
    border::frame(&mut board, frame);
    let scale_text = arrange::scale_text(drawn.scale);
    let mut pages = table::pages(drawn.overflow.as_ref(), frame, letters);
    if !tabled {
        pages.extend(variants.pages(frame, letters));
    }
    let count = pages.len() + 1;
    notes.draw(&mut board, frame);
    let page = |board: &mut Board<'_>, number: usize, findings: &mut Vec<Diagnostic>| {
        let sheet = format!("{number}/{count}");
        border::title_block(board, (part, &format, stamp, &numbers), (frame, &scale_text, &sheet), findings);
        sheet_of(part, format, stamp, (drawn.scale, frame), std::mem::take(&mut board.items))
    };
    let mut sheet = page(&mut board, 1, &mut findings);
    for (index, items) in pages.into_iter().enumerate() {
        board.items = items;
        border::frame(&mut board, frame);
        // What is cut short is cut short on every sheet, and told once.
        sheet.following.push(page(&mut board, index + 2, &mut Vec::new()));
    }
    findings.extend(letters.finding());
    Some((sheet, findings))
}

/// The end that stands at the right: first angle shows the left one there, third angle the right.
const fn natural_end(convention: Convention) -> Face {
    match convention {
        Convention::Iso => Face::Left,
        Convention::Asme => Face::Right,
    }
}

fn sheet_of(part: &Part, format: Format, stamp: &Stamp, (scale, frame): (f64, Rect), mut items: Vec<Item>) -> Sheet {
    let (width, height) = format.paper.extent();
    items.sort_by_key(|item| (item.role, item.pen));
    Sheet {
        width,
        height,
        number: part.number.clone(),
        title: part.title.clone(),
        digest: stamp.digest.clone(),
        scale,
        embed_font: format.embed_font,
        frame,
        items,
        following: Vec::new(),
    }
}

fn unfit(part: &Part) -> Option<Diagnostic> {
    let good = |length: Length| length.as_mm().is_finite() && length.as_mm().abs() < 1e5;
    let positive = |length: Length| good(length) && length.as_mm() > 1e-3;
    let extents = [&part.length, &part.width, &part.height];
    if let Some(size) = extents.into_iter().find(|size| !positive(size.nominal)) {
        let headline = format!("{} is {}, which cannot be drawn.", size.title, part.unit.say(size.nominal));
        return Some(
            Diagnostic::refused("drawing/no-size", headline).help("Sizes from 0.001 mm to 100 m can be drawn."),
        );
    }
    let solid = Solid::of(part);
    let tongues = part.tongues().flat_map(|(_, tongue)| [tongue.width.nominal, tongue.height.nominal]);
    let radii = solid.holes.iter().flat_map(|hole| [Some(hole.outer(1.0)), Some(hole.radius), hole.depth, hole.full]);
    let slots = solid.slots.iter().flat_map(|slot| [Some(slot.half_wide), slot.half_long, slot.depth]);
    let corner = part.ends.corner.as_ref().map(|radius| radius.nominal);
    if tongues.chain(radii.chain(slots).flatten().map(Length::mm)).chain(corner).any(|length| !positive(length)) {
        let headline = format!("A size of {} cannot be drawn.", part.number);
        return Some(
            Diagnostic::refused("drawing/no-size", headline).help("Sizes from 0.001 mm to 100 m can be drawn."),
        );
    }
    let inside = |face: Face, right: f64, up: f64| {
        let (wide, high) = solid.extent(face);
        right.abs() <= wide / 2.0 && up.abs() <= high / 2.0
    };
    let outside = solid.holes.iter().any(|hole| !inside(hole.face, hole.right, hole.up))
        || solid.slots.iter().any(|slot| !inside(slot.face, slot.right, slot.up));
    outside.then(|| {
        Diagnostic::refused("drawing/hole-outside", format!("A hole of {} lies outside the bar.", part.number))
            .help("The middle of every hole and slot has to lie on its face.")
    })
}

/// Whether anything of these items lies in a box; for whoever adds to a finished sheet.
pub(crate) fn taken(items: &[Item]) -> impl Fn(Rect) -> bool + use<> {
    let all = clash::Obstacles::of(items);
    move |place| all.touch(place)
}

/// Whether no text of these items touches a text or a line.
#[cfg(test)]
pub(crate) fn free(items: &[Item]) -> bool {
    !clash::clash(items)
}

impl Format {
    /// The usual form for a unit: ISO on A4 for millimetres, ASME on Letter for inches.
    pub const fn usual(unit: Unit) -> Self {
        match unit {
            Unit::Mm => Self { convention: Convention::Iso, paper: Paper::A4, embed_font: true },
            Unit::Inch => Self { convention: Convention::Asme, paper: Paper::Letter, embed_font: true },
        }
    }
}

impl Paper {
    /// Its extents lying, in millimetres: to the right, upwards. ISO 216; ASME Y14.1 sizes A, B.
    pub const fn extent(self) -> (f64, f64) {
        match self {
            Self::A4 => (297.0, 210.0),
            Self::A3 => (420.0, 297.0),
            Self::Letter => (279.4, 215.9),
            Self::Tabloid => (431.8, 279.4),
        }
    }

    /// Its name.
    pub const fn name(self) -> &'static str {
        match self {
            Self::A4 => "A4",
            Self::A3 => "A3",
            Self::Letter => "Letter",
            Self::Tabloid => "Tabloid",
        }
    }

    const fn is_iso(self) -> bool {
        matches!(self, Self::A4 | Self::A3)
    }

    const fn larger(self) -> Option<Self> {
        match self {
            Self::A4 => Some(Self::A3),
            Self::Letter => Some(Self::Tabloid),
            Self::A3 | Self::Tabloid => None,
        }
    }

    const fn remedy(self) -> &'static str {
        match self {
            Self::A4 => "A3 has twice the room; so have fewer holes in a row and shorter notes.",
            Self::Letter => "Tabloid has twice the room; so have fewer holes in a row and shorter notes.",
            Self::A3 | Self::Tabloid => "Fewer holes in a row or shorter notes would do.",
        }
    }
}

//! The papers of an order: everything that hangs at the machine and goes along with the pieces.
//!
//! In come a part, its plan, its drawing, what the proof found and the order worked out; out go
//! upright pages of the same drawn items as the drawing's, ready for the same writer. This room
//! never works anything out anew and never opens a file: it lays out what the others found.

mod after;
mod balloon;
mod bars;
mod chart;
mod cover;
mod datum;
mod desk;
mod hazard;
mod inspect;
mod ladder;
mod lists;
mod load;
mod load_picture;
mod picture;
mod scene;
mod setup;
mod strip;
mod table;

#[cfg(test)]
mod tests;

use self::desk::{Desk, Page};
use crate::batch::Batch;
use crate::diag::{Checked, Diagnostic};
use crate::drawing::lettering::Lettering;
use crate::drawing::{Paper, Sheet, Stamp};
use crate::geom::{Point, Rect};
use crate::part::{Measure, Part, asked_for};
use crate::plan::{Plan, program_file};
use crate::proof::{LoadVerdict, Verdict};
use crate::quantity::{Time, Unit};
use crate::shop::Shop;

/// All that the papers tell of.
#[derive(Clone, Debug)]
pub struct Order<'a> {
    /// The part.
    pub part: &'a Part,
    /// How it is made.
    pub plan: &'a Plan,
    /// Where.
    pub shop: &'a Shop,
    /// The order, worked out.
    pub batch: &'a Batch,
    /// The drawing.
    pub drawing: &'a Sheet,
    /// What is stamped on it.
    pub stamp: &'a Stamp,
    /// What the proof found of each setup's program, in order.
    pub verdicts: Vec<&'a Verdict>,
    /// One run of all programs for one piece as it was timed, changes of tools included.
    pub timed: Option<Time>,
    /// The probing programs that are given out: setup and file, or why there is none; empty where
    /// the control has no probe.
    pub probed: Vec<(u32, Result<String, String>)>,
    /// The programs of loads of several pieces.
    pub loads: Vec<LoadPaper>,
}

impl Order<'_> {
    /// The unit that program and screen speak: what is set, typed or read at the machine is told in
    /// it, sizes of the piece in the part's.
    fn screen(&self) -> Unit {
        self.shop.control.speaks(self.part.unit)
    }
}

/// What the papers tell of the program of a load.
#[derive(Clone, Debug, PartialEq)]
pub struct LoadPaper {
    /// Number of the setup.
    pub setup: u32,
    /// How many pieces it makes.
    pub pieces: u32,
    /// Name of its file.
    pub file: String,
    /// Whether it was proved.
    pub proved: bool,
    /// What the proof predicts for it, without any factor.
    pub time: Time,
}

impl LoadPaper {
    /// What is told of a program of this name.
    pub fn of(setup: u32, pieces: u32, file: &str, verdict: &LoadVerdict) -> Self {
        Self { setup, pieces, file: file.to_owned(), proved: verdict.proved(), time: verdict.times.total }
    }
}

/// The papers of an order as pages, upright but for the drawing.
///
/// Cautions tell of letters that cannot be set.
pub fn packet(order: &Order<'_>, paper: Paper) -> Checked<Vec<Sheet>> {
    let letters = Lettering::new();
    // Again until it holds: the contents name pages, and may push them on by their own length.
    let mut written = pages(order, paper, &letters, &[]);
    for _ in 0..3 {
        let named = contents(&written);
        written = pages(order, paper, &letters, &named);
        if contents(&written) == named {
            break;
        }
    }
    let sheets = strip::bind(order, paper, &letters, written);
    let findings: Vec<Diagnostic> = letters.finding().into_iter().collect();
    Checked::unless_refused(sheets, findings)
}

/// The numbers that balloons give to what is measured on a part, as its inspection sheet has them.
pub fn numbers(part: &Part, drawing: &Sheet) -> Vec<(String, Measure)> {
    balloon::numbers(part, &std::iter::once(drawing).chain(&drawing.following).collect::<Vec<_>>())
}

/// The upright paper that goes with a drawing: A4, or Letter with Letter and Tabloid.
pub fn upright(drawing: &Sheet) -> Paper {
    let [letter, tabloid] = [Paper::Letter, Paper::Tabloid].map(|paper| paper.extent().0);
    let same = |width: f64| (drawing.width - width).abs() < 0.1;
    if same(letter) || same(tabloid) { Paper::Letter } else { Paper::A4 }
}

/// A page of the packet: one that was written here, or a drawing.
enum Leaf {
    Page(Page),
    Drawing(Sheet),
}

fn pages(order: &Order<'_>, paper: Paper, letters: &Lettering, contents: &[(String, usize)]) -> Vec<Leaf> {
    let drawings: Vec<&Sheet> = std::iter::once(order.drawing).chain(&order.drawing.following).collect();
    let numbered = balloon::numbered(&asked_for(order.part), &drawings);
    let mut leaves = Vec::new();
    let mut desk = Desk::new(letters, frame(paper));
    cover::write(&mut desk, order, contents);
    for (at, setup) in order.plan.setups.iter().enumerate() {
        setup::write(&mut desk, order, at, setup);
        datum::write(&mut desk, order, setup);
        load::write(&mut desk, order, at, setup);
    }
    lists::tools(&mut desk, order);
    bars::write(&mut desk, order);
    leaves.extend(desk.pages().into_iter().map(Leaf::Page));
    for (at, sheet) in drawings.iter().enumerate() {
        leaves.push(Leaf::Drawing(balloon::draw((sheet, at), &numbered, letters)));
    }
    let mut desk = Desk::new(letters, frame(paper));
    inspect::first_piece(&mut desk, order, &numbered);
    inspect::in_process(&mut desk, order);
    lists::times(&mut desk, order);
    after::write(&mut desk, order);
    hazard::write(&mut desk, order);
    leaves.extend(desk.pages().into_iter().map(Leaf::Page));
    leaves
}

/// The pages by name, each with its number.
fn contents(leaves: &[Leaf]) -> Vec<(String, usize)> {
    let named = leaves.iter().enumerate().filter_map(|(at, leaf)| match leaf {
        Leaf::Page(page) if page.goes_on => None,
        Leaf::Page(page) => Some((page.title.clone(), at + 1)),
        Leaf::Drawing(_) => Some((balloon::TITLE.to_owned(), at + 1)),
    });
    let mut named: Vec<(String, usize)> = named.skip(1).collect();
    named.dedup_by(|next, last| next.0 == last.0);
    named
}

/// The paper standing upright: to the right, upwards.
const fn extent(paper: Paper) -> (f64, f64) {
    match paper {
        Paper::A4 | Paper::A3 => (210.0, 297.0),
        Paper::Letter | Paper::Tabloid => (215.9, 279.4),
    }
}

/// The frame of an upright page: 20 mm at the left for filing, 10 mm at the others.
fn frame(paper: Paper) -> Rect {
    let (width, height) = extent(paper);
    Rect::new(Point::new(20.0, 10.0), Point::new(width - 10.0, height - 10.0))
}

/// A line that nobody misses where program and drawing speak different units.
fn two_units(desk: &mut Desk<'_>, order: &Order<'_>) {
    if let Some(text) = order.shop.control.two_units(order.part.unit) {
        desk.framed(&text);
    }
}

/// The name of the program of a setup.
fn program_of(order: &Order<'_>, setup: u32) -> String {
    let proved = order.verdicts.iter().all(|verdict| verdict.proved());
    program_file(setup, proved)
}

/// Whether every program was proved.
fn proved(order: &Order<'_>) -> bool {
    order.verdicts.iter().all(|verdict| verdict.proved())
}

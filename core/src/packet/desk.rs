//! The desk at which pages are written: text flows down a page and on to the next.

use super::table::{Cell, Side, Table};
use crate::drawing::board::Board;
use crate::drawing::lettering::Lettering;
use crate::drawing::{Anchor, Item, Pen, Role, Shape};
use crate::geom::{Point, Rect, Vector};

/// Height of text; the lowest that a drawing has, readable in the hand.
pub(super) const BODY: f64 = 2.5;
/// Height of what is read at the machine, from an arm's length away.
pub(super) const CLEAR: f64 = 3.0;
/// Height of a heading.
pub(super) const HEADING: f64 = 3.5;
/// Height of a page's title.
pub(super) const TITLE: f64 = 5.0;
/// Pitch of lines, in heights of a capital: half a millimetre of white at the least letters.
pub(super) const PITCH: f64 = 1.8;
/// White above and below the text of a cell.
const PAD: f64 = 0.9;
/// White left and right of it.
const INSET: f64 = 1.2;
/// So much more than a word is wide, so that it stays whole however its width is rounded.
const HAIR: f64 = 0.05;
/// Ink above a capital and below the base line, in heights of a capital: Ü and brackets reach farthest.
const ABOVE: f64 = 1.25;
const BELOW: f64 = 0.36;
/// The title band at the top of each page, and the strip that names the part at its foot.
pub(super) const BAND: f64 = 11.0;
pub(super) const STRIP: f64 = 21.0;

/// A page that is being written.
#[derive(Debug)]
pub(super) struct Page {
    pub(super) title: String,
    /// Whether it goes on from the page before.
    pub(super) goes_on: bool,
    pub(super) items: Vec<Item>,
}

/// Writes pages.
#[derive(Debug)]
pub(super) struct Desk<'l> {
    pub(super) board: Board<'l>,
    /// The box of the frame.
    pub(super) frame: Rect,
    /// Finished pages.
    pages: Vec<Page>,
    title: String,
    goes_on: bool,
    /// The height down to which the page is written.
    pub(super) y: f64,
}

impl<'l> Desk<'l> {
    pub(super) fn new(letters: &'l Lettering, frame: Rect) -> Self {
        Self { board: Board::new(letters), frame, pages: Vec::new(), title: String::new(), goes_on: false, y: 0.0 }
    }

    /// The box that text and tables fill.
    pub(super) fn body(&self) -> Rect {
        Rect {
            low: Point::new(self.frame.low.x + 2.0, self.frame.low.y + STRIP + 2.0),
            high: Point::new(self.frame.high.x - 2.0, self.frame.high.y - BAND - 2.0),
        }
    }

    /// Starts a page with this title.
    pub(super) fn page(&mut self, title: &str) {
        self.close();
        title.clone_into(&mut self.title);
        self.goes_on = false;
        self.y = self.body().high.y;
    }

    fn next(&mut self) {
        self.close();
        self.goes_on = true;
        self.y = self.body().high.y;
    }

    fn close(&mut self) {
        if !self.title.is_empty() {
            let items = std::mem::take(&mut self.board.items);
            self.pages.push(Page { title: self.title.clone(), goes_on: self.goes_on, items });
        }
    }

    /// The finished pages.
    pub(super) fn pages(mut self) -> Vec<Page> {
        self.close();
        self.pages
    }

    /// What is left of the page.
    pub(super) fn left(&self) -> f64 {
        self.y - self.body().low.y
    }

    /// Goes on to the next page where less than this is left.
    pub(super) fn need(&mut self, height: f64) {
        let whole = self.body().height();
        if self.left() < height && self.left() < whole - 1e-6 {
            self.next();
        }
    }

    pub(super) fn gap(&mut self, height: f64) {
        if self.y < self.body().high.y {
            self.y -= height;
        }
    }

    /// A heading that keeps at least `with` of what follows on its page.
    pub(super) fn heading(&mut self, text: &str, with: f64) {
        self.gap(3.0);
        self.need(HEADING * PITCH + 2.5 + with);
        self.set(text, HEADING, 0.0);
        self.y -= 1.2;
    }

    /// One line at an indent, which fits.
    fn line(&mut self, text: &str, height: f64, indent: f64) {
        let at = Point::new(self.body().low.x + indent, self.y - height * ABOVE);
        self.board.text(at, Anchor::Start, height, text, None);
        self.y -= height * PITCH;
    }

    /// Text in lines as long as the page is wide.
    pub(super) fn text(&mut self, text: &str, height: f64) {
        // A short paragraph stays together.
        let lines = self.board.letters.lines(&self.board.letters.settable(text), height, self.body().width()).len();
        self.need(height * PITCH * f64::from(u32::try_from(lines.min(4)).unwrap_or(4)));
        self.set(text, height, 0.0);
    }

    fn set(&mut self, text: &str, height: f64, indent: f64) {
        let words = self.board.letters.settable(text);
        if words.is_empty() {
            return;
        }
        let room = self.body().width() - indent;
        for line in self.board.letters.lines(&words, height, room) {
            self.need(height * PITCH);
            self.line(&line, height, indent);
        }
    }

    /// Goes on to the next page where these paragraphs with marks do not fit on this one whole, and
    /// would leave half of them or less behind.
    pub(super) fn keep(&mut self, texts: &[String], height: f64) {
        let letters = self.board.letters;
        let room = self.body().width() - 7.5;
        let high = |text: &String| {
            let lines = letters.lines(&letters.settable(text), height, room).len();
            height * PITCH * f64::from(u32::try_from(lines).unwrap_or(0)) + 0.8
        };
        let whole: f64 = texts.iter().map(high).sum();
        if whole > self.left() && whole < self.body().height() / 3.0 {
            self.need(whole);
        }
    }

    /// A paragraph with a mark before it: a number or, where none is given, a box to tick.
    pub(super) fn point(&mut self, mark: Option<&str>, text: &str, height: f64) {
        let words = self.board.letters.settable(text);
        if words.is_empty() {
            return;
        }
        let indent = 7.5;
        let lines = self.board.letters.lines(&words, height, self.body().width() - indent).len();
        // A short paragraph stays together.
        let most = f64::from(u32::try_from(lines.min(6)).unwrap_or(6));
        self.need(height * PITCH * most + 0.8);
        let left = self.body().low.x;
        let base = self.y - height * ABOVE;
        match mark {
            Some(mark) => {
                let mark = self.board.letters.settable(mark);
                self.board.text(Point::new(left, base), Anchor::Start, height, &mark, None);
            }
            None => self.tick(Point::new(left + 0.6, base - 0.3)),
        }
        self.set(text, height, indent);
        self.y -= 0.8;
    }

    /// A box to tick, by its lower left corner.
    pub(super) fn tick(&mut self, corner: Point) {
        let side = 3.0;
        self.rectangle(Rect::new(corner, corner + Vector::new(side, side)), Pen::Thin);
    }

    pub(super) fn rectangle(&mut self, place: Rect, pen: Pen) {
        let points =
            vec![place.low, Point::new(place.high.x, place.low.y), place.high, Point::new(place.low.x, place.high.y)];
        self.board.put(Shape::Polyline { points, closed: true, filled: false }, Role::Frame, pen, None);
    }

    /// A line as high as a heading in a box of its own, with the frame's pen.
    pub(super) fn framed(&mut self, text: &str) {
        let text = self.board.letters.settable(text);
        let letters = self.board.letters;
        let fits = |height: &f64| letters.width(&text, *height) < self.body().width() - 6.0;
        let height = [HEADING, CLEAR].into_iter().find(fits).unwrap_or(BODY);
        let place = self.picture(height * (ABOVE + BELOW) + 3.0);
        self.rectangle(place, Pen::Frame);
        let middle = f64::midpoint(place.low.x, place.high.x);
        self.board.text(Point::new(middle, place.high.y - 1.5 - height * ABOVE), Anchor::Middle, height, &text, None);
        self.y -= 2.0;
    }

    /// Takes a box as wide as the page for a picture.
    pub(super) fn picture(&mut self, height: f64) -> Rect {
        self.need(height);
        let body = self.body();
        let place = Rect::new(Point::new(body.low.x, self.y - height), Point::new(body.high.x, self.y));
        self.y -= height;
        place
    }

    /// A table; its head stands again on every page that it goes on to.
    pub(super) fn table(&mut self, table: &Table) {
        let widths = self.widths(table);
        let heads: Vec<Cell> = table.columns.iter().map(|column| Cell::text(column.head)).collect();
        let least = table.height * (ABOVE + BELOW) + 2.0 * PAD;
        self.need(2.0 * least.max(table.least));
        let mut top = self.y;
        self.heads(table, &widths, &heads);
        for row in &table.rows {
            let mut lines = self.lines(table, &widths, row);
            let whole = self.body().height() - 2.0 * least;
            loop {
                let most = lines.iter().map(Vec::len).max().unwrap_or(1);
                let needs = row_height(table, most).max(table.least);
                if needs <= self.left() {
                    let line = self.y;
                    self.row(table, &widths, &lines, table.least);
                    self.ticks(row, &widths, line);
                    break;
                }
                // A row higher than a page is told in pieces.
                let mut rest = Vec::new();
                if needs > whole {
                    let room = (self.left() - row_height(table, 1)) / (table.height * PITCH);
                    let fits = (0..most).take_while(|count| f64::from(u32::try_from(*count).unwrap_or(0)) <= room);
                    let fits = fits.count();
                    if fits > 0 {
                        rest = lines.iter_mut().map(|cell| cell.split_off(cell.len().min(fits))).collect();
                        self.row(table, &widths, &lines, 0.0);
                    }
                }
                if !rest.is_empty() {
                    lines = rest;
                }
                self.rules(table, &widths, top);
                self.next();
                top = self.y;
                self.heads(table, &widths, &heads);
            }
        }
        self.rules(table, &widths, top);
        self.y -= 1.5;
    }

    /// The widths of a table's columns; no head is broken inside a word.
    fn widths(&self, table: &Table) -> Vec<f64> {
        let letters = self.board.letters;
        let word = |head: &str| head.split(' ').map(|word| letters.width(word, table.height)).fold(0.0, f64::max);
        let least = |head: &str| if table.headed && !head.is_empty() { word(head) + 2.0 * INSET + HAIR } else { 0.0 };
        let least: Vec<f64> = table.columns.iter().map(|column| least(column.head)).collect();
        table.widths(self.body().width(), &least)
    }

    fn heads(&mut self, table: &Table, widths: &[f64], heads: &[Cell]) {
        if table.headed {
            self.row(table, widths, &self.lines(table, widths, heads), 0.0);
        }
    }

    /// A heading and its table, which start a page where they would not fit on what is left of
    /// this one but on a whole one.
    pub(super) fn titled(&mut self, text: &str, table: &Table) {
        let widths = self.widths(table);
        let high = |cells: &[Cell]| {
            let most = self.lines(table, &widths, cells).iter().map(Vec::len).max().unwrap_or(1);
            row_height(table, most).max(table.least)
        };
        let whole: f64 = table.rows.iter().map(|row| high(row)).sum::<f64>() + 2.0 * row_height(table, 1);
        self.heading(text, whole.min(self.body().height() - HEADING * PITCH - 6.0));
        self.table(table);
    }

    fn lines(&self, table: &Table, widths: &[f64], cells: &[Cell]) -> Vec<Vec<String>> {
        let letters = self.board.letters;
        cells
            .iter()
            .zip(widths)
            .map(|(cell, width)| match cell {
                Cell::Text(text) => {
                    let room = (width - 2.0 * INSET).max(1.0);
                    let lines = text.split('\n').map(|text| letters.settable(text)).filter(|text| !text.is_empty());
                    lines.flat_map(|text| letters.lines(&text, table.height, room)).collect()
                }
                Cell::Tick | Cell::Blank => Vec::new(),
            })
            .collect()
    }

    fn row(&mut self, table: &Table, widths: &[f64], cells: &[Vec<String>], least: f64) {
        let body = self.body();
        let most = cells.iter().map(Vec::len).max().unwrap_or(1);
        let height = row_height(table, most).max(least);
        let mut x = body.low.x;
        for ((lines, width), column) in cells.iter().zip(widths).zip(&table.columns) {
            let (at, anchor) = match column.side {
                Side::Left => (x + INSET, Anchor::Start),
                Side::Right => (x + width - INSET, Anchor::End),
                Side::Middle => (x + width / 2.0, Anchor::Middle),
            };
            let mut base = self.y - PAD - table.height * ABOVE;
            for line in lines {
                self.board.text(Point::new(at, base), anchor, table.height, line, None);
                base -= table.height * PITCH;
            }
            x += width;
        }
        self.y -= height;
        let (from, to) = (Point::new(body.low.x, self.y), Point::new(body.high.x, self.y));
        self.board.line(Role::Frame, Pen::Thin, from, to);
    }

    fn ticks(&mut self, cells: &[Cell], widths: &[f64], top: f64) {
        let mut x = self.body().low.x;
        for (cell, width) in cells.iter().zip(widths) {
            if matches!(cell, Cell::Tick) {
                self.tick(Point::new(x + width / 2.0 - 1.5, top - PAD - 3.0));
            }
            x += width;
        }
    }

    /// The line above a table's head, and those between its columns.
    fn rules(&mut self, table: &Table, widths: &[f64], top: f64) {
        let body = self.body();
        let bottom = self.y;
        let (left, right) = (body.low.x, body.high.x);
        self.board.line(Role::Frame, Pen::Thin, Point::new(left, top), Point::new(right, top));
        if !table.ruled {
            return;
        }
        let mut x = left;
        for width in std::iter::once(&0.0).chain(widths) {
            x += width;
            self.board.line(Role::Frame, Pen::Thin, Point::new(x, top), Point::new(x, bottom));
        }
    }
}

/// The height of a row with so many lines.
fn row_height(table: &Table, lines: usize) -> f64 {
    let more = f64::from(u32::try_from(lines.max(1) - 1).unwrap_or(0));
    2.0 * PAD + table.height * (ABOVE + BELOW + more * PITCH)
}

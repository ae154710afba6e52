//! Tables as they stand on paper.

use super::desk::BODY;

/// Where the text of a column stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Side {
    Left,
    Right,
    Middle,
}

/// A column: its head, and its share of the width.
#[derive(Clone, Debug)]
pub(super) struct Column {
    pub(super) head: &'static str,
    pub(super) share: f64,
    pub(super) side: Side,
}

/// What stands in a cell.
#[derive(Clone, Debug)]
pub(super) enum Cell {
    /// Text; line feeds keep.
    Text(String),
    /// A box to tick.
    Tick,
    /// Room to write in.
    Blank,
}

impl Cell {
    pub(super) fn text(text: impl Into<String>) -> Self {
        Self::Text(text.into())
    }
}

/// A table.
#[derive(Clone, Debug)]
pub(super) struct Table {
    pub(super) columns: Vec<Column>,
    pub(super) rows: Vec<Vec<Cell>>,
    /// Height of its letters.
    pub(super) height: f64,
    /// No row is lower than this: room to write in.
    pub(super) least: f64,
    /// Whether lines stand between the columns.
    pub(super) ruled: bool,
    /// Whether it has a row of heads.
    pub(super) headed: bool,
}

impl Table {
    /// A table to read; columns by head, share and side.
    pub(super) fn new(columns: &[(&'static str, f64, Side)]) -> Self {
        let columns = columns.iter().map(|(head, share, side)| Column { head, share: *share, side: *side }).collect();
        Self { columns, rows: Vec::new(), height: BODY, least: 0.0, ruled: false, headed: true }
    }

    /// A table to write in.
    pub(super) fn form(columns: &[(&'static str, f64, Side)], least: f64) -> Self {
        Self { least, ruled: true, ..Self::new(columns) }
    }

    /// Names and what is said of each, without heads.
    pub(super) fn facts(rows: impl IntoIterator<Item = (&'static str, String)>) -> Self {
        let mut table = Self { headed: false, ..Self::new(&[("", 1.0, Side::Left), ("", 5.4, Side::Left)]) };
        for (name, text) in rows {
            table.add(vec![Cell::text(name), Cell::text(text)]);
        }
        table
    }

    pub(super) fn add(&mut self, cells: Vec<Cell>) {
        self.rows.push(cells);
    }

    /// The widths of the columns, which fill so much together: by their shares, but for those whose
    /// own least is more, which the others make room for.
    pub(super) fn widths(&self, room: f64, least: &[f64]) -> Vec<f64> {
        let mut held: Vec<Option<f64>> = vec![None; self.columns.len()];
        loop {
            let taken: f64 = held.iter().flatten().sum();
            let shares: f64 =
                self.columns.iter().zip(&held).filter(|(_, held)| held.is_none()).map(|(one, _)| one.share).sum();
            let each = (room - taken).max(0.0) / shares.max(f64::MIN_POSITIVE);
            let narrow = self
                .columns
                .iter()
                .zip(least)
                .zip(&mut held)
                .filter(|((column, least), held)| held.is_none() && column.share * each < **least);
            let mut more = false;
            for ((_, least), held) in narrow {
                *held = Some(*least);
                more = true;
            }
            if !more {
                return self
                    .columns
                    .iter()
                    .zip(held)
                    .map(|(column, held)| held.unwrap_or(column.share * each))
                    .collect();
            }
        }
    }
}

//! Many variants at once: grids of sizes, lists of orders, tables of what comes of them.
//!
//! In come texts as people type and keep them (`slot=8mm..12mm/1mm`, a table from a spreadsheet);
//! out go the sizes of each variant, and rows that a spreadsheet or a program reads. This room
//! never opens a file, and never makes more than it says beforehand.

mod csv;
mod grid;
mod list;
mod row;

pub use csv::{Line, cell, line, parse};
pub use grid::{Grid, MOST, Vary, vary};
pub use list::{Entry, MOST_ROWS, orders};
pub use row::{Columns, Datum, Row};

#[cfg(test)]
mod tests;

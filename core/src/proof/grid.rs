//! A coarse grid over the work that finds what lies near a place without asking everything.

use crate::geom::{Point, Rect};

/// Numbers of things, filed by the squares that their boxes touch.
#[derive(Debug, Default)]
pub(super) struct Grid {
    low: Point,
    size: f64,
    columns: usize,
    rows: usize,
    squares: Vec<Vec<u32>>,
    /// The first square of each thing, column and row: where a thing lies in several squares of a
    /// question, only one of them answers.
    firsts: Vec<(usize, usize)>,
}

/// The most squares along an axis.
const MOST: usize = 48;

/// The whole number below; nought below nought, and no more than a grid can have.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped just before")]
fn whole(value: f64) -> usize {
    value.clamp(0.0, 1e6) as usize
}

impl Grid {
    /// A grid over a box, its squares no smaller than `size`.
    pub(super) fn over(rect: Rect, size: f64) -> Self {
        let size = size.max(rect.width().max(rect.height()) / MOST as f64).max(1e-3);
        let count = |extent: f64| whole((extent / size).ceil()).clamp(1, MOST + 1);
        let (columns, rows) = (count(rect.width()), count(rect.height()));
        Self { low: rect.low, size, columns, rows, squares: vec![Vec::new(); columns * rows], firsts: Vec::new() }
    }

    /// Places outside belong to the squares at the edge.
    fn square(&self, place: Point) -> (usize, usize) {
        let number = |away: f64, most: usize| whole(away / self.size).min(most.saturating_sub(1));
        (number(place.x - self.low.x, self.columns), number(place.y - self.low.y, self.rows))
    }

    /// Files a thing under its box.
    pub(super) fn file(&mut self, rect: Rect, number: usize) {
        let (left, low) = self.square(rect.low);
        let (right, high) = self.square(rect.high);
        if number >= self.firsts.len() {
            self.firsts.resize(number + 1, (0, 0));
        }
        self.firsts[number] = (left, low);
        let Ok(number) = u32::try_from(number) else { return };
        for row in low..=high {
            for column in left..=right {
                if let Some(square) = self.squares.get_mut(row * self.columns + column) {
                    square.push(number);
                }
            }
        }
    }

    /// What may lie at a place, in the order in which it was filed.
    pub(super) fn at(&self, place: Point) -> &[u32] {
        if self.squares.is_empty() {
            return &[];
        }
        let (column, row) = self.square(place);
        self.squares.get(row * self.columns + column).map_or(&[], Vec::as_slice)
    }

    /// Gives what may touch a box, each once.
    pub(super) fn touching(&self, rect: Rect, mut take: impl FnMut(usize)) {
        let (left, low) = self.square(rect.low);
        let (right, high) = self.square(rect.high);
        for row in low..=high {
            for column in left..=right {
                let here = self.squares.get(row * self.columns + column);
                for number in here.into_iter().flatten().map(|number| *number as usize) {
                    let (first_column, first_row) = self.firsts.get(number).copied().unwrap_or_default();
                    if first_column.max(left) == column && first_row.max(low) == row {
                        take(number);
                    }
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_thing_is_found_once() {
        let square = |low: f64, high: f64| Rect::new(Point::new(low, low), Point::new(high, high));
        let mut grid = Grid::over(square(0.0, 100.0), 4.0);
        for (number, (low, high)) in [(3.0, 30.0), (-9.0, 200.0), (50.0, 51.0), (29.0, 60.0)].into_iter().enumerate() {
            grid.file(square(low, high), number);
        }
        let touching = |rect| {
            let mut list = Vec::new();
            grid.touching(rect, |number| list.push(number));
            list.sort_unstable();
            list
        };
        let near = touching(square(20.0, 47.5));
        assert_eq!(near, [0, 1, 3], "those whose squares it meets, each once");
        assert_eq!(touching(square(-50.0, -40.0)), [0, 1], "what lies outside belongs to the edge");
    }
}

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
        Self { low: rect.low, size, columns, rows, squares: vec![Vec::new(); columns * rows] }
    }

    /// Places outside belong to the squares at the edge.
    fn square(&self, place: Point) -> (usize, usize) {
        let number = |away: f64, most: usize| whole(away / self.size).min(most - 1);
        (number(place.x - self.low.x, self.columns), number(place.y - self.low.y, self.rows))
    }

    /// Files a thing under its box.
    pub(super) fn file(&mut self, rect: Rect, number: usize) {
        let Ok(number) = u32::try_from(number) else { return };
        let (left, low) = self.square(rect.low);
        let (right, high) = self.square(rect.high);
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

    /// What may touch a box, each once.
    pub(super) fn touching(&self, rect: Rect) -> Vec<usize> {
        if self.squares.is_empty() {
            return Vec::new();
        }
        let (left, low) = self.square(rect.low);
        let (right, high) = self.square(rect.high);
        let mut list: Vec<usize> = Vec::new();
        for row in low..=high {
            for column in left..=right {
                let square = self.squares.get(row * self.columns + column);
                list.extend(square.into_iter().flatten().map(|number| *number as usize));
            }
        }
        if left != right || low != high {
            list.sort_unstable();
            list.dedup();
        }
        list
    }
}

//! Boxes with sides along the axes.

use super::Point;

/// A box from its lower left to its upper right corner.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rect {
    /// Lower left corner.
    pub low: Point,
    /// Upper right corner.
    pub high: Point,
}

impl Rect {
    /// The box between two opposite corners, in any order.
    pub fn new(a: Point, b: Point) -> Self {
        Self { low: Point::new(a.x.min(b.x), a.y.min(b.y)), high: Point::new(a.x.max(b.x), a.y.max(b.y)) }
    }

    /// Extent along X.
    pub fn width(self) -> f64 {
        self.high.x - self.low.x
    }

    /// Extent along Y.
    pub fn height(self) -> f64 {
        self.high.y - self.low.y
    }

    /// The middle.
    pub fn middle(self) -> Point {
        self.low.middle(self.high)
    }

    /// Grown by `by` on every side.
    #[must_use]
    pub fn grown(self, by: f64) -> Self {
        Self { low: Point::new(self.low.x - by, self.low.y - by), high: Point::new(self.high.x + by, self.high.y + by) }
    }

    /// The smallest box that holds both.
    #[must_use]
    pub fn with(self, other: Self) -> Self {
        Self {
            low: Point::new(self.low.x.min(other.low.x), self.low.y.min(other.low.y)),
            high: Point::new(self.high.x.max(other.high.x), self.high.y.max(other.high.y)),
        }
    }

    /// Whether the insides of the boxes meet.
    pub fn overlaps(self, other: Self) -> bool {
        self.low.x < other.high.x && other.low.x < self.high.x && self.low.y < other.high.y && other.low.y < self.high.y
    }

    /// Whether a place lies inside or on the edge.
    pub fn holds(self, place: Point) -> bool {
        place.x >= self.low.x && place.x <= self.high.x && place.y >= self.low.y && place.y <= self.high.y
    }
}

//! A tongue on the virtual first piece.

use super::fault::fault;
use super::judge::Judge;
use super::piece::{Side, Swath, cuts};
use crate::geom::{Point, Rect};
use crate::part::Part;

/// Width, height and middle of a tongue, each with the line that made it.
pub(super) type Tongue = [(f64, usize); 3];

impl Judge<'_> {
    /// Width, height and middle of the tongue; `None` where a side of it was not cut.
    pub(super) fn tongue(&mut self, part: &Part) -> Option<Tongue> {
        let ridge = self.want.tongue?;
        let (_, wanted) = part.tongues().next()?;
        let stock = self.want.stock;
        let deep = |side: &&Side| side.floor <= ridge.shallow + 1e-6;
        let xs = cuts(
            stock.low.x,
            stock.high.x,
            self.piece
                .sides
                .iter()
                .flat_map(|side| [side.from, side.to])
                .chain(self.passes().flat_map(|swath| [swath.rect.low.x, swath.rect.high.x])),
        );
        let (mut widths, mut middles, mut heights) = (Vec::new(), Vec::new(), Vec::new());
        let mut left: Option<(Rect, f64)> = None;
        for x in xs.windows(2) {
            let middle = f64::midpoint(x[0], x[1]);
            let here: Vec<&Side> =
                self.piece.sides.iter().filter(|side| side.from <= middle && side.to >= middle).collect();
            // What stands at most: cut all the way down; what stands at least: cut at all.
            let wall = |back: bool, down: bool| {
                here.iter()
                    .filter(|side| side.back == back && (!down || deep(side)))
                    .map(|side| side.inner)
                    .reduce(f64::min)
            };
            let mut ends = [0.0; 2];
            for (place, back) in [(0, false), (1, true)] {
                let inner = self.swath_wall(middle, back, ridge.shallow);
                let Some(inner) = inner else {
                    let half = stock.high.y;
                    let y = if back { (0.0, half) } else { (-half, 0.0) };
                    left.get_or_insert((Rect::new(Point::new(x[0], y.0), Point::new(x[1], y.1)), 0.0));
                    continue;
                };
                ends[place] = inner;
                let (near, far) = if back { (inner, stock.high.y) } else { (stock.low.y, -inner) };
                if near >= far {
                    continue;
                }
                for (cell, floor) in self.piece.floors(Rect::new(Point::new(x[0], near), Point::new(x[1], far))) {
                    if floor > ridge.shallow + 1e-6 {
                        left.get_or_insert((cell, floor));
                    }
                    heights.push(-floor);
                }
            }
            let least = [wall(false, false).unwrap_or(ends[0]), wall(true, false).unwrap_or(ends[1])];
            for walls in [ends, [least[0].min(ends[0]), least[1].min(ends[1])]] {
                widths.push(walls[0] + walls[1]);
                middles.push((walls[1] - walls[0]) / 2.0);
            }
        }
        // The deepest place anywhere beside the tongue is a height too.
        heights.extend(
            self.passes()
                .filter(|swath| swath.rect.overlaps(stock))
                .map(|swath| -swath.floor)
                .filter(|height| *height > -ridge.shallow),
        );
        if let Some((cell, floor)) = left {
            let what = format!(
                "Material is left beside the tongue from X {} to {} and Y {} to {}, at Z {}.",
                self.say(cell.low.x),
                self.say(cell.high.x),
                self.say(cell.low.y),
                self.say(cell.high.y),
                self.say(floor)
            );
            self.tell_measure(0, fault("proof/left-over", what, "The piece does not go into its slot."));
            return None;
        }
        let worst = |values: &[f64], middle: f64| {
            values.iter().copied().max_by(|a, b| (a - middle).abs().total_cmp(&(b - middle).abs()))
        };
        let near = self.piece.sides.iter().min_by(|a, b| a.inner.total_cmp(&b.inner)).map_or(0, |side| side.line);
        let low = self.passes().min_by(|a, b| a.floor.total_cmp(&b.floor)).map_or(0, |swath| swath.line);
        Some([
            (worst(&widths, wanted.width.middle().as_mm())?, near),
            (worst(&heights, wanted.height.middle().as_mm())?, low),
            (worst(&middles, 0.0)?, near),
        ])
    }

    /// The passes beside the tongue: those within a slot or a hole have no part in it.
    fn passes(&self) -> impl Iterator<Item = &Swath> {
        self.piece.swaths.iter().filter(|swath| !swath.within)
    }

    /// How near to the middle the rabbet is cut to its depth at a place along the bar.
    fn swath_wall(&self, x: f64, back: bool, depth: f64) -> Option<f64> {
        self.passes()
            .filter(|swath| swath.floor <= depth + 1e-6 && swath.rect.low.x <= x && swath.rect.high.x >= x)
            .filter(|swath| (swath.rect.middle().y > 0.0) == back)
            .map(|swath| if back { swath.rect.low.y } else { -swath.rect.high.y })
            .reduce(f64::min)
    }
}

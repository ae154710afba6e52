//! Coordinates of holes, from the middle, at the ends of their extension lines.

use std::sync::Arc;

use super::board::Board;
use super::lettering::Lettering;
use super::sheet::{Anchor, Role, Shown};
use super::style::{FIGURE, times};
use crate::geom::{Point, Vector};

/// From the edge of the view to the figures.
const OUT: f64 = 8.5;
/// Pitch of figures that stand side by side.
const PITCH: f64 = FIGURE * 1.45;
/// How far figures may reach past the ends of the view.
const PAST_ENDS: f64 = 12.0;

/// How far they may where other figures stand at the next edge.
const CORNER: f64 = 3.0;

/// One coordinate.
#[derive(Clone, Debug)]
pub(super) struct Ordinate {
    /// Its place along the edge, in millimetres of paper from the view's origin.
    pub(super) at: f64,
    /// How far the start of its extension line is from the view's origin, across.
    pub(super) start: f64,
    pub(super) text: String,
    pub(super) shows: Option<Arc<Shown>>,
}

/// The edge of the view that coordinates stand on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Edge {
    Above,
    Below,
    Left,
}

/// Coordinates along one edge, each with the place of its figures.
#[derive(Clone, Debug)]
pub(super) struct Scale {
    edge: Edge,
    placed: Vec<(Ordinate, f64)>,
    upright: bool,
    /// What the whole takes from the edge outwards; nothing where there is no coordinate.
    pub(super) depth: f64,
}

impl Scale {
    /// Places figures; `half` is half the view's extent along the edge. Where `corner` says that
    /// others stand at its left edge, none moves far past that end. `None` where they are too many.
    pub(super) fn new(
        edge: Edge,
        mut list: Vec<Ordinate>,
        (half, corner): (f64, bool),
        letters: &Lettering,
    ) -> Option<Self> {
        list.sort_by(|a, b| a.at.total_cmp(&b.at));
        let widths: Vec<f64> = list.iter().map(|one| letters.width(&one.text, FIGURE)).collect();
        let widest = widths.iter().copied().fold(0.0, f64::max);
        let roomy = list
            .windows(2)
            .zip(widths.windows(2))
            .all(|(pair, wide)| pair[1].at - pair[0].at >= f64::midpoint(wide[0], wide[1]) + 2.0);
        let upright = edge != Edge::Left && !roomy;
        let places: Vec<f64> = if edge != Edge::Left && roomy {
            list.iter().map(|one| one.at).collect()
        } else {
            if crowded(list.len(), half) {
                return None;
            }
            let mut places = spread(&list.iter().map(|one| one.at).collect::<Vec<_>>(), PITCH);
            let mut floor = if corner { -half - CORNER } else { f64::NEG_INFINITY };
            for place in &mut places {
                *place = place.max(floor);
                floor = *place + PITCH;
            }
            places
        };
        let depth = match (list.is_empty(), edge, upright) {
            (true, _, _) => 0.0,
            (false, Edge::Left, _) | (false, _, true) => OUT + widest,
            (false, _, false) => OUT + FIGURE,
        };
        Some(Self { edge, placed: list.into_iter().zip(places).collect(), upright, depth })
    }

    /// Draws figures and extension lines; `reach` is how far the view's edge is from its origin.
    pub(super) fn draw(&self, board: &mut Board<'_>, origin: Point, reach: f64) {
        for (one, place) in &self.placed {
            let shows = one.shows.as_ref();
            let at = |u: f64, v: f64| match self.edge {
                Edge::Above => origin + Vector::new(u, v),
                Edge::Below => origin + Vector::new(u, -v),
                Edge::Left => origin + Vector::new(-v, u),
            };
            let end = reach + OUT - 1.0;
            let start = one.start.min(reach + 2.0);
            if (place - one.at).abs() < 0.05 {
                board.thin(Role::Extension, at(one.at, start), at(one.at, end), shows);
            } else {
                let (knee, foot) = (reach + 2.0, end - 1.0);
                board.thin(Role::Extension, at(one.at, start), at(one.at, knee), shows);
                board.thin(Role::Extension, at(one.at, knee), at(*place, foot), shows);
                board.thin(Role::Extension, at(*place, foot), at(*place, end), shows);
            }
            let half = FIGURE / 2.0;
            let figures = at(*place, reach + OUT);
            match (self.edge, self.upright) {
                (Edge::Above, true) => {
                    board.set(figures + Vector::new(half, 0.0), Anchor::Start, FIGURE, &one.text, true, shows)
                }
                (Edge::Below, true) => {
                    board.set(figures + Vector::new(half, 0.0), Anchor::End, FIGURE, &one.text, true, shows)
                }
                (Edge::Above, false) => board.text(figures, Anchor::Middle, FIGURE, &one.text, shows),
                (Edge::Below, false) => {
                    board.text(figures - Vector::new(0.0, FIGURE), Anchor::Middle, FIGURE, &one.text, shows)
                }
                (Edge::Left, _) => board.text(figures - Vector::new(0.0, half), Anchor::End, FIGURE, &one.text, shows),
            };
        }
    }
}

/// Whether so many figures find no room beside each other along an edge, of which `half` is half.
pub(super) fn crowded(count: usize, half: f64) -> bool {
    times(count) * PITCH > 2.0 * (half + PAST_ENDS)
}

/// Moves ordered places as little as possible (least squares) so that neighbours are `pitch`
/// apart: pool adjacent violators on the places less their turn.
fn spread(places: &[f64], pitch: f64) -> Vec<f64> {
    let mut pools: Vec<(f64, usize)> = Vec::new();
    for (turn, place) in places.iter().enumerate() {
        let mut pool = (place - times(turn) * pitch, 1_usize);
        while let Some(last) = pools.last().copied().filter(|last| last.0 > pool.0) {
            pools.pop();
            let count = last.1 + pool.1;
            pool = ((last.0 * times(last.1) + pool.0 * times(pool.1)) / times(count), count);
        }
        pools.push(pool);
    }
    let levels = pools.iter().flat_map(|(level, count)| std::iter::repeat_n(*level, *count));
    levels.enumerate().map(|(turn, level)| level + times(turn) * pitch).collect()
}

#[cfg(test)]
mod tests {
    use super::spread;

    #[test]
    fn spread_keeps_order_and_pitch_and_moves_little() {
        assert_eq!(spread(&[0.0, 10.0, 20.0], 5.0), [0.0, 10.0, 20.0], "roomy places stay");
        assert_eq!(spread(&[-1.0, 0.0, 1.0], 5.0), [-5.0, 0.0, 5.0], "crowded ones spread about their middle");
        let placed = spread(&[0.0, 1.0, 30.0, 31.0], 5.0);
        assert!(placed.windows(2).all(|pair| pair[1] - pair[0] > 5.0 - 1e-9), "{placed:?}");
    }
}

//! Long bars with pieces left out (ISO 128-3, ASME Y14.3; from memory): what is alike all along need
//! not be shown all along, and the rest can be drawn larger. Every figure stays the true one.

use super::board::Board;
use super::sheet::{Item, Pen, Role, Shape};
use super::solid::Solid;
use super::views::View;
use crate::geom::{Point, Rect};
use crate::part::Face;

/// Between the two edges of a break, on paper.
const GAP: f64 = 4.0;
/// What stays beside a feature, a middle or an end, on paper.
const STUB: f64 = 7.0;
/// How far the lines of a break go past the outline.
const BEYOND: f64 = 2.0;
/// A piece that is left out had better be so long on paper.
const WORTH: f64 = 8.0;

/// The bar with what is alike all along left out, so that no more than `most` of its length stays;
/// the same on both sides of the middle, which keeps its place. Nothing where too little is alike.
pub(super) fn shorten(solid: &Solid, scale: f64, most: f64) -> Option<Solid> {
    let half = solid.length / 2.0;
    let stub = STUB / scale;
    let mut kept = vec![(0.0, stub), (half - stub, half)];
    for hole in &solid.holes {
        let reach = hole.outer(scale) / scale;
        kept.push(match hole.face {
            Face::Top | Face::Bottom => (hole.right.abs() - reach - stub, hole.right.abs() + reach + stub),
            Face::Left | Face::Right => {
                let deep = hole.depth.unwrap_or(solid.length) + hole.radius;
                (half - deep - stub, half)
            }
        });
    }
    for slot in &solid.slots {
        if let Some(long) = slot.half_long {
            let (from, to) = (slot.right - long, slot.right + long);
            let near = if from <= 0.0 && to >= 0.0 { 0.0 } else { from.abs().min(to.abs()) };
            kept.push((near - stub, from.abs().max(to.abs()) + stub));
        }
    }
    kept.sort_by(|a, b| a.0.total_cmp(&b.0));
    // What is alike: from where to where on each side of the middle, the longest first.
    let mut alike: Vec<(f64, f64)> = Vec::new();
    let mut end = 0.0_f64;
    for (from, to) in kept {
        if from > end {
            alike.push((end, from));
        }
        end = end.max(to);
    }
    alike.sort_by(|a, b| (b.1 - b.0).total_cmp(&(a.1 - a.0)).then(a.0.total_cmp(&b.0)));
    let least = GAP / scale;
    let surplus = half - most / 2.0;
    let long = |index: usize| alike.get(index).map_or(0.0, |(from, to)| to - from);
    if surplus < WORTH / scale || 2.0 * long(0) < 0.15 * solid.length {
        return None;
    }
    // One piece on each side, or the two longest where they are of a size or one does not do.
    let (count, stays) = if long(0) - surplus >= least && long(1) < 0.7 * long(0) {
        (1, long(0) - surplus)
    } else {
        (2, (long(0) + long(1) - surplus) / 2.0)
    };
    if stays < least || long(count - 1) - stays < WORTH / scale {
        return None;
    }
    let mut cuts: Vec<(f64, f64)> = alike.into_iter().take(count).collect();
    cuts.sort_by(|a, b| a.0.total_cmp(&b.0));
    let place = |x: f64| {
        let gone: f64 = cuts.iter().filter(|(from, _)| x.abs() > *from).map(|(from, to)| to - from - stays).sum();
        x - gone.copysign(x)
    };
    let mut short = solid.clone();
    short.length = 2.0 * place(half);
    for hole in short.holes.iter_mut().filter(|hole| matches!(hole.face, Face::Top | Face::Bottom)) {
        hole.right = place(hole.right);
    }
    for slot in short.slots.iter_mut().filter(|slot| slot.half_long.is_some()) {
        slot.right = place(slot.right);
    }
    short.gaps = cuts.iter().map(|(from, _)| place(*from) + stays / 2.0).flat_map(|at| [-at, at]).collect();
    Some(short)
}

/// Takes the gaps out of a view that was drawn from item `from` on, and draws the lines of the
/// breaks; `rows` is from where to where the view goes upwards on paper.
pub(super) fn interrupt(board: &mut Board<'_>, from: usize, solid: &Solid, view: View, rows: (f64, f64)) {
    if solid.gaps.is_empty() {
        return;
    }
    let gaps: Vec<(f64, f64)> =
        solid.gaps.iter().map(|at| view.at(*at, 0.0).x).map(|x| (x - GAP / 2.0, x + GAP / 2.0)).collect();
    let drawn = board.items.split_off(from.min(board.items.len()));
    for item in drawn {
        without(item, &gaps, &mut board.items);
    }
    // A jog above the middle, where the axis runs.
    let (low, high) = rows;
    let jog = ((high - low) * 0.12).min(1.4);
    let middle = low + (high - low) * 0.72;
    for x in gaps.iter().flat_map(|gap| [gap.0, gap.1]) {
        let points = [
            (0.0, low - BEYOND),
            (0.0, middle - 2.0 * jog),
            (jog, middle - jog),
            (-jog, middle + jog),
            (0.0, middle + 2.0 * jog),
            (0.0, high + BEYOND),
        ];
        let points = points.iter().map(|(off, y)| Point::new(x + off, *y)).collect();
        board.put(Shape::Polyline { points, closed: false, filled: false }, Role::Break, Pen::Thin, None);
    }
}

/// An item without what lies in the gaps; axes run on.
fn without(item: Item, gaps: &[(f64, f64)], items: &mut Vec<Item>) {
    let lines: Vec<(Point, Point)> = match &item.shape {
        Shape::Line(a, b) => vec![(*a, *b)],
        Shape::Dashes(dashes) => dashes.clone(),
        Shape::Polyline { points, closed, filled: false } => {
            let back = closed.then(|| points.last().copied().zip(points.first().copied())).flatten();
            points.windows(2).filter_map(|pair| Some((*pair.first()?, *pair.get(1)?))).chain(back).collect()
        }
        Shape::Polyline { .. } | Shape::Arc { .. } | Shape::Circle { .. } | Shape::Text { .. } => Vec::new(),
    };
    let reaches = |(a, b): &(Point, Point)| {
        let all = Rect::new(*a, *b);
        gaps.iter().any(|(from, to)| all.low.x < *to && all.high.x > *from)
    };
    if item.role == Role::Centre || !lines.iter().any(reaches) {
        items.push(item);
        return;
    }
    let broken: Vec<(Point, Point)> = lines.into_iter().flat_map(|line| outside(line, gaps)).collect();
    let mut put = |shape| items.push(Item { shape, role: item.role, pen: item.pen, shows: item.shows.clone() });
    if matches!(item.shape, Shape::Dashes(_)) {
        put(Shape::Dashes(broken));
    } else {
        for (a, b) in broken {
            put(Shape::Line(a, b));
        }
    }
}

/// The pieces of a line that lie in no gap.
fn outside((a, b): (Point, Point), gaps: &[(f64, f64)]) -> Vec<(Point, Point)> {
    let run = b.x - a.x;
    let mut pieces = vec![(0.0_f64, 1.0_f64)];
    for (from, to) in gaps {
        if run.abs() < 1e-9 {
            if a.x > *from && a.x < *to {
                return Vec::new();
            }
            continue;
        }
        let (p, q) = ((from - a.x) / run, (to - a.x) / run);
        let (enter, leave) = (p.min(q), p.max(q));
        pieces = pieces
            .into_iter()
            .flat_map(|(s, e)| [(s, e.min(enter)), (s.max(leave), e)])
            .filter(|(s, e)| e - s > 1e-9)
            .collect();
    }
    let at = |t: f64| a + (b - a) * t;
    pieces.into_iter().map(|(s, e)| (at(s), at(e))).collect()
}

#[cfg(test)]
mod tests {
    use super::super::sample;
    use super::*;
    use crate::quantity::Unit;

    #[test]
    fn a_long_bar_keeps_its_middle_and_its_holes() {
        let bar = sample::bar(Unit::Mm, (400.0, 16.0, 12.0));
        let bar =
            sample::with_threads(bar, "h", sample::m5(), &[(-192.0, 0.0), (-64.0, 0.0), (64.0, 0.0), (192.0, 0.0)]);
        let solid = Solid::of(&bar);
        let short = shorten(&solid, 2.0, 80.0).expect("much of it is alike");
        assert!((short.length - 80.0).abs() < 1e-9, "as long as asked: {}", short.length);
        assert_eq!(short.gaps.len(), 4, "two on each side: {:?}", short.gaps);
        let end = |solid: &Solid, at: usize| solid.length / 2.0 - solid.holes[at].right.abs();
        for at in [0, 3] {
            assert!((end(&short, at) - end(&solid, at)).abs() < 1e-9, "the outer holes keep their ends");
        }
        for pair in [(0, 3), (1, 2)] {
            assert!((short.holes[pair.0].right + short.holes[pair.1].right).abs() < 1e-9, "even about the middle");
        }
        assert!(shorten(&solid, 2.0, 20.0).is_none(), "not so short that holes would go");
        assert!(shorten(&solid, 2.0, 399.0).is_none(), "nor for next to nothing");
    }

    #[test]
    fn lines_stop_at_gaps() {
        let line = (Point::new(0.0, 1.0), Point::new(10.0, 1.0));
        let pieces = outside(line, &[(2.0, 4.0), (7.0, 8.0)]);
        let ends: Vec<(f64, f64)> = pieces.iter().map(|(a, b)| (a.x, b.x)).collect();
        assert_eq!(ends, [(0.0, 2.0), (4.0, 7.0), (8.0, 10.0)], "what is left");
        assert!(outside((Point::new(3.0, 0.0), Point::new(3.0, 9.0)), &[(2.0, 4.0)]).is_empty(), "upright, inside");
    }
}

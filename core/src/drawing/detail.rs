//! A detail: what would be too small on paper, once more and larger, in a circle with a letter.

use super::Convention;
use super::arrange::scale_text;
use super::board::Board;
use super::clash::Obstacles;
use super::sheet::{Anchor, Item, Pen, Role, Shape};
use super::solid::{Hole, Solid};
use super::style::{CLEAR, FIGURE, LARGE, times};
use super::views::{self, View};
use crate::geom::{Point, Rect, Vector};
use crate::part::Face;
use crate::quantity::{Angle, trig};

/// Diameters on paper that a detail gives the hole: what reads well, and what is still told apart.
const SEEN: [f64; 2] = [9.0, 5.0];
/// White in the circle about what it shows.
const WHITE: f64 = 2.0;
/// The largest radius of a detail.
const MOST: f64 = 24.0;

/// The hole of the view from above that is drawn smallest, if it has more to show than one circle.
fn smallest(solid: &Solid, scale: f64, legible: f64) -> Option<&Hole> {
    let more = |hole: &&Hole| hole.major.is_some() || hole.bore.is_some() || hole.cone.is_some();
    let small = |hole: &&Hole| hole.radius * 2.0 * scale < legible;
    let radius = |hole: &Hole| hole.radius;
    let mut holes: Vec<&Hole> = solid.holes_of(Face::Top).filter(more).filter(small).collect();
    holes.sort_by(|a, b| radius(a).total_cmp(&radius(b)).then(b.right.total_cmp(&a.right)));
    holes.first().copied()
}

/// What a detail is drawn from.
#[derive(Clone, Copy, Debug)]
pub(super) struct Of<'s> {
    pub(super) solid: &'s Solid,
    /// The view from above.
    pub(super) view: View,
    pub(super) convention: Convention,
    /// The letter that tells the detail from the section.
    pub(super) letter: char,
    /// A hole below this on paper is too small.
    pub(super) legible: f64,
}

/// Draws a detail into a box, at the smallest of these scales that is of use, if one finds room;
/// says whether it did.
pub(super) fn draw(board: &mut Board<'_>, of: Of<'_>, room: Rect, scales: &[f64]) -> bool {
    let Some(hole) = smallest(of.solid, of.view.scale, of.legible) else { return false };
    let captions = 2.0 * FIGURE * 1.55 + 2.0;
    let fits = |scale: f64, seen: f64| {
        let radius = hole.outer(scale) + WHITE;
        scale > of.view.scale
            && hole.radius * 2.0 * scale >= seen
            && radius <= MOST
            && 2.0 * radius <= room.width()
            && 2.0 * radius + captions <= room.height()
    };
    let pick = |seen: f64| scales.iter().rev().copied().find(|scale| fits(*scale, seen));
    let Some(scale) = SEEN.into_iter().find_map(pick) else { return false };
    let name = of.letter.to_string();
    let words = [format!("DETAIL {}", of.letter), format!("SCALE {}", scale_text(scale))];
    if words.iter().any(|line| board.letters.width(line, FIGURE) > room.width()) {
        return false;
    }
    let at = of.view.at(hole.right, hole.up);
    let around = hole.outer(of.view.scale) + WHITE * 0.75;
    let obstacles = Obstacles::of(&board.items);
    let width = board.letters.width(&name, LARGE);
    let Some(letter) = places(at, around, (width, LARGE)).find(|place| !obstacles.touch(place.grown(0.8))) else {
        return false;
    };
    board.circle(Role::Break, Pen::Thin, at, around);
    board.text(letter.low, Anchor::Start, LARGE, &name, None);
    let radius = hole.outer(scale) + WHITE;
    let middle = Point::new(room.middle().x, room.middle().y + captions / 2.0);
    let mut own = Board::new(board.letters);
    let mut alone = of.solid.clone();
    let reach = radius / scale;
    alone.holes.retain(|other| {
        let off = Vector::new(other.right - hole.right, other.across() - hole.across()).length();
        off < reach + other.outer(scale) / scale
    });
    let origin = middle - (Vector::new(hole.right, hole.up) * scale);
    views::face(&mut own, &alone, View { origin, scale }, (Face::Top, of.convention), None);
    for item in own.items {
        within(&item, middle, radius, &mut board.items);
    }
    board.circle(Role::Break, Pen::Thin, middle, radius);
    for (row, line) in words.iter().enumerate() {
        let base = middle.y - radius - 3.0 - FIGURE - times(row) * FIGURE * 1.55;
        board.text(Point::new(middle.x, base), Anchor::Middle, FIGURE, line, None);
    }
    true
}

/// Places for the letter beside its circle.
fn places(at: Point, radius: f64, (width, height): (f64, f64)) -> impl Iterator<Item = Rect> {
    [45.0, 135.0, 315.0, 225.0, 20.0, 160.0, 340.0, 200.0, 70.0, 110.0, 290.0, 250.0].into_iter().map(move |degree| {
        let way = Vector::toward(Angle::degree(degree));
        let near = at + way * (radius + CLEAR);
        let left = if way.x < 0.0 { width } else { 0.0 };
        let down = if way.y < 0.0 { height } else { 0.0 };
        let low = near - Vector::new(left, down);
        Rect::new(low, low + Vector::new(width, height))
    })
}

/// What of an item lies in a circle.
fn within(item: &Item, middle: Point, radius: f64, items: &mut Vec<Item>) {
    let inside = |point: Point| point.distance(middle) <= radius;
    let mut put = |shape| items.push(Item { shape, role: item.role, pen: item.pen, shows: None });
    match &item.shape {
        Shape::Line(a, b) => {
            if let Some((a, b)) = chord((*a, *b), middle, radius) {
                put(Shape::Line(a, b));
            }
        }
        Shape::Dashes(dashes) => {
            let dashes: Vec<_> = dashes.iter().filter_map(|line| chord(*line, middle, radius)).collect();
            if !dashes.is_empty() {
                put(Shape::Dashes(dashes));
            }
        }
        Shape::Polyline { points, closed, filled: false } => {
            let back = closed.then(|| points.last().copied().zip(points.first().copied())).flatten();
            let lines = points.windows(2).filter_map(|pair| Some((*pair.first()?, *pair.get(1)?))).chain(back);
            lines.filter_map(|line| chord(line, middle, radius)).for_each(|(a, b)| put(Shape::Line(a, b)));
        }
        Shape::Circle { centre, radius: own } | Shape::Arc { centre, radius: own, .. } => {
            if centre.distance(middle) + own <= radius {
                put(item.shape.clone());
                return;
            }
            // A neighbour: so much of it as the circle shows.
            let (start, sweep) = match &item.shape {
                Shape::Arc { start, sweep, .. } => (start.as_rad(), sweep.as_rad()),
                _ => (0.0, 2.0 * std::f64::consts::PI),
            };
            let on = |step: usize| {
                let angle = Angle::rad(start + sweep * times(step) / 48.0);
                *centre + Vector::new(trig::cos(angle), trig::sin(angle)) * *own
            };
            for step in 0..48 {
                let (a, b) = (on(step), on(step + 1));
                if inside(a) && inside(b) {
                    put(Shape::Line(a, b));
                }
            }
        }
        Shape::Polyline { .. } | Shape::Text { .. } => {}
    }
}

/// The stretch of a line that lies in a circle.
fn chord((a, b): (Point, Point), middle: Point, radius: f64) -> Option<(Point, Point)> {
    let (way, off) = (b - a, a - middle);
    let (square, half, rest) = (way.dot(way), off.dot(way), off.dot(off) - radius * radius);
    let root = half * half - square * rest;
    if square < 1e-12 || root <= 0.0 {
        return None;
    }
    let root = root.sqrt();
    let (from, to) = (((-half - root) / square).max(0.0), ((-half + root) / square).min(1.0));
    (to - from > 1e-6).then(|| (a + way * from, a + way * to))
}

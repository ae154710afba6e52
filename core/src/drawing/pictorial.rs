//! A small picture of the part, isometric, for the eye and not for measuring.

use super::board::Board;
use super::sheet::{Anchor, Pen, Role, Shape};
use super::solid::{Hole, Solid};
use super::style::{SMALL, times};
use crate::geom::{Point, Rect, Vector};
use crate::part::Face;
use crate::quantity::{Angle, trig};

const CAPTION: &str = "PICTURE, NOT TO SCALE";

/// Draws the picture into a box, if it is of use there; says whether.
pub(super) fn draw(board: &mut Board<'_>, solid: &Solid, room: Rect) -> bool {
    let (cos, sin) = (trig::cos(Angle::degree(30.0)), 0.5);
    let across = solid.length + solid.width;
    let (wide, high) = (across * cos, across * sin + solid.height);
    let caption = 2.0 * SMALL;
    let scale = ((room.width() - 2.0) / wide).min((room.height() - caption - 2.0) / high);
    let words = board.letters.width(CAPTION, SMALL);
    if scale * wide < 30.0 || scale * high < 14.0 || words > room.width() {
        return false;
    }
    let scale = scale.min(90.0 / wide);
    let middle = room.middle();
    let bottom = middle.y - 0.5 * (scale * high + caption);
    board.text(Point::new(middle.x, bottom), Anchor::Middle, SMALL, CAPTION, None);
    // X runs away to the right, Y away to the left, Z up: the left end, front and top are seen.
    let rise = across * 0.5 * sin + solid.height;
    let origin = Point::new(middle.x, bottom + caption + rise * scale);
    let at = |x: f64, y: f64, z: f64| origin + Vector::new((x - y) * cos, (x + y) * sin + z) * scale;
    let picture = Picture { solid, at: &at };
    picture.edges(board);
    picture.holes(board, scale);
    picture.slots(board);
    true
}

struct Picture<'p> {
    solid: &'p Solid,
    at: &'p dyn Fn(f64, f64, f64) -> Point,
}

impl Picture<'_> {
    fn edges(&self, board: &mut Board<'_>) {
        let (near, far) = (-self.solid.length / 2.0, self.solid.length / 2.0);
        let at = self.at;
        let mut profile = Vec::new();
        for step in &self.solid.steps {
            profile.push((step.half, -step.top));
            profile.push((step.half, -step.bottom));
        }
        let mirrored = profile.clone().into_iter().rev().map(|(y, z)| (-y, z));
        let whole: Vec<Point> = profile.iter().copied().chain(mirrored).map(|(y, z)| at(near, y, z)).collect();
        let pen = |points: Vec<Point>, closed| Shape::Polyline { points, closed, filled: false };
        board.put(pen(whole, true), Role::Picture, Pen::Thin, None);
        let mut line = |from: Point, to: Point| board.put(Shape::Line(from, to), Role::Picture, Pen::Thin, None);
        let mut above: Option<f64> = None;
        for step in &self.solid.steps {
            let (half, top, bottom) = (step.half, -step.top, -step.bottom);
            line(at(near, -half, top), at(far, -half, top));
            line(at(near, -half, bottom), at(far, -half, bottom));
            line(at(far, -half, bottom), at(far, -half, top));
            match above {
                None => {
                    line(at(near, half, top), at(far, half, top));
                    line(at(far, -half, top), at(far, half, top));
                }
                Some(inner) => {
                    line(at(far, -half, top), at(far, -inner, top));
                    // The shoulder at the back: the tongue before it hides what lies within its
                    // own height, save for a little at the near end.
                    let shoulder = half - inner;
                    let hides = step.top;
                    if shoulder > hides {
                        line(at(near, half, top), at(far, half, top));
                        line(at(far, inner + hides, top), at(far, half, top));
                    } else {
                        let seen = (near + shoulder).min(far);
                        line(at(near, half, top), at(seen, half, top));
                    }
                }
            }
            above = Some(half);
        }
    }

    fn holes(&self, board: &mut Board<'_>, scale: f64) {
        let seen = |hole: &&Hole| {
            matches!(hole.face, Face::Top | Face::Left) || (hole.face == Face::Bottom && hole.is_through())
        };
        let ways: [Vector; 24] = std::array::from_fn(|step| Vector::toward(Angle::degree(times(step) * 15.0)));
        for hole in self.solid.holes.iter().filter(seen) {
            let below = hole.face == Face::Bottom;
            let top = -self.solid.surface(hole.across());
            let behind = top < -1e-9 && hole.across() > 0.0 && hole.face != Face::Left;
            let bore = hole.bore.map(|(radius, _)| radius);
            let wide = bore.or(hole.cone).unwrap_or(hole.major.unwrap_or(hole.radius));
            let radius = if below { hole.major.unwrap_or(hole.radius) } else { wide };
            if behind || radius * scale < 0.3 {
                continue;
            }
            // Below a millimetre of radius twelve corners look round.
            let every = if radius * scale < 1.0 { 2 } else { 1 };
            let points = ways
                .iter()
                .step_by(every)
                .map(|way| {
                    let way = *way * radius;
                    match hole.face {
                        Face::Left => {
                            let level = hole.up - self.solid.height / 2.0;
                            (self.at)(-self.solid.length / 2.0, -hole.right - way.x, level + way.y)
                        }
                        _ => (self.at)(hole.right + way.x, hole.across() + way.y, top),
                    }
                })
                .collect();
            let shape = Shape::Polyline { points, closed: true, filled: false };
            board.put(shape, Role::Picture, Pen::Thin, None);
        }
    }

    /// The edges of slots on the face that is seen.
    fn slots(&self, board: &mut Board<'_>) {
        for slot in self.solid.slots_of(Face::Top) {
            let top = -self.solid.surface(slot.up);
            let Some(long) = slot.half_long else {
                let half = self.solid.length / 2.0;
                for side in [-slot.half_wide, slot.half_wide] {
                    let line = Shape::Line((self.at)(-half, slot.up + side, top), (self.at)(half, slot.up + side, top));
                    board.put(line, Role::Picture, Pen::Thin, None);
                }
                continue;
            };
            let run = (long - slot.half_wide).max(0.0);
            let points = (0..24_u8)
                .map(|step| {
                    let degree = f64::from(step) * 180.0 / 11.0 - if step < 12 { 90.0 } else { 90.0 + 180.0 / 11.0 };
                    let way = Vector::toward(Angle::degree(degree)) * slot.half_wide;
                    let end = if step < 12 { run } else { -run };
                    (self.at)(slot.right + end + way.x, slot.up + way.y, top)
                })
                .collect();
            board.put(Shape::Polyline { points, closed: true, filled: false }, Role::Picture, Pen::Thin, None);
        }
    }
}

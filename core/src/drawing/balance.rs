//! How what is drawn lies on the free part of the sheet: room for pictures, and the same white on
//! both sides.

use super::sheet::{Item, Shape};
use crate::geom::{Point, Rect, Vector};

/// White that stays at the left while room for a picture is looked for.
const MARGIN: f64 = 4.0;

/// Moves all to the left of a zone, and says how far.
pub(super) fn to_the_left(items: &mut [Item], zone: Rect) -> Vector {
    let off = whole(items).map_or(0.0, |all| (zone.low.x + MARGIN - all.low.x).min(0.0));
    by(items, Vector::new(off, 0.0))
}

/// Moves all to the middle of a zone; what is wider or higher than it stays where it is.
pub(super) fn to_the_middle(items: &mut [Item], zone: Rect) {
    let Some(all) = whole(items) else { return };
    let off = zone.middle() - all.middle();
    let free = |extent: f64, room: f64, off: f64| if extent <= room { off } else { 0.0 };
    by(items, Vector::new(free(all.width(), zone.width(), off.x), free(all.height(), zone.height(), off.y)));
}

fn by(items: &mut [Item], off: Vector) -> Vector {
    for item in items {
        item.shape.shift(off);
    }
    off
}

/// The box about all.
fn whole(items: &[Item]) -> Option<Rect> {
    items.iter().filter_map(|item| bounds(&item.shape)).reduce(Rect::with)
}

/// Where most room is left for a picture: beside the top view, or beside all.
pub(super) fn room(items: &[Item], zone: Rect, (right, floor): (f64, f64)) -> Option<Rect> {
    let left = right + 6.0;
    let rooms = [
        Rect { low: Point::new(left, zone.low.y), high: Point::new(zone.high.x, floor - 4.0) },
        Rect { low: Point::new(left, zone.low.y), high: zone.high },
        Rect { low: Point::new(left, zone.middle().y), high: zone.high },
        Rect { low: Point::new(left, zone.low.y), high: Point::new(zone.high.x, zone.middle().y) },
        Rect { low: zone.low, high: Point::new(zone.high.x, zone.middle().y) },
        Rect { low: Point::new(zone.low.x, zone.middle().y), high: zone.high },
    ];
    let area = |room: &Rect| room.width().max(0.0) * room.height().max(0.0);
    let inks: Vec<Rect> = items.iter().filter_map(|item| bounds(&item.shape)).map(|ink| ink.grown(4.0)).collect();
    let best = rooms.into_iter().map(|room| clear(room, &inks)).max_by(|a, b| area(a).total_cmp(&area(b)));
    best.filter(|room| room.width() > 0.0 && room.height() > 0.0)
}

/// Cuts off a box what reaches into it, on the side that leaves more.
fn clear(mut room: Rect, inks: &[Rect]) -> Rect {
    for ink in inks {
        if !ink.overlaps(room) {
            continue;
        }
        let cuts = [
            Rect { low: Point::new(ink.high.x, room.low.y), high: room.high },
            Rect { low: room.low, high: Point::new(room.high.x, ink.low.y) },
            Rect { low: Point::new(room.low.x, ink.high.y), high: room.high },
            Rect { low: room.low, high: Point::new(ink.low.x, room.high.y) },
        ];
        let area = |part: &Rect| part.width().max(0.0) * part.height().max(0.0);
        room = cuts.into_iter().max_by(|a, b| area(a).total_cmp(&area(b))).unwrap_or(room);
    }
    room
}

/// The box about a form.
fn bounds(shape: &Shape) -> Option<Rect> {
    match shape {
        Shape::Text { ink, .. } => Some(*ink),
        Shape::Line(from, to) => Some(Rect::new(*from, *to)),
        Shape::Dashes(dashes) => Some(Rect::new(dashes.first()?.0, dashes.last()?.1)),
        Shape::Polyline { points, .. } => {
            let first = *points.first()?;
            Some(points.iter().fold(Rect::new(first, first), |all, point| all.with(Rect::new(*point, *point))))
        }
        Shape::Circle { centre, radius } | Shape::Arc { centre, radius, start: _, sweep: _ } => {
            Some(Rect::new(*centre, *centre).grown(*radius))
        }
    }
}

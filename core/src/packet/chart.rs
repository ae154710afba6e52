//! A run chart to fill in: one size over the pieces, with its limits and half-limits.

use super::desk::{BODY, Desk};
use super::inspect::aligned;
use crate::drawing::{Anchor, Pen, Role};
use crate::geom::Point;
use crate::part::Size;
use crate::quantity::Unit;

/// Draws the chart.
pub(super) fn draw(desk: &mut Desk<'_>, unit: Unit, size: &Size, pieces: &[u32]) {
    let place = desk.picture(58.0);
    let middle = size.middle();
    let half = (size.most() - size.least()) / 4.0;
    let values = [size.least(), middle - half, middle, middle + half, size.most()];
    let words = ["least", "half", "target", "half", "most"];
    let texts = aligned(unit, values);
    let board = &mut desk.board;
    board.text(
        Point::new(place.low.x, place.high.y - 3.5),
        Anchor::Start,
        BODY,
        &format!("Run chart of A: {}", size.title),
        None,
    );
    let labels = texts.iter().zip(words).map(|(text, word)| format!("{word} {text}"));
    let labels: Vec<String> = labels.collect();
    let wide = labels.iter().map(|text| board.letters.width(text, BODY)).fold(0.0, f64::max);
    let (left, right) = (place.low.x + wide + 2.5, place.high.x - 2.0);
    let (low, high) = (place.low.y + 8.0, place.high.y - 8.0);
    let mut up = low;
    for (at, label) in labels.iter().enumerate() {
        let (from, to) = (Point::new(left, up), Point::new(right, up));
        match at {
            2 => board.centre(from, to, None),
            1 | 3 => board.hidden(from, to),
            _ => board.line(Role::Frame, Pen::Outline, from, to),
        }
        board.text(Point::new(left - 1.5, up - BODY / 2.0), Anchor::End, BODY, label, None);
        up += (high - low) / 4.0;
    }
    let count = f64::from(u32::try_from(pieces.len().max(2)).unwrap_or(2));
    let step = (right - left - 6.0) / (count - 1.0);
    let mut x = left + 3.0;
    let mut free = f64::NEG_INFINITY;
    for piece in pieces {
        board.line(Role::Frame, Pen::Thin, Point::new(x, low), Point::new(x, high));
        let text = piece.to_string();
        let half = board.letters.width(&text, BODY) / 2.0;
        // Of numbers that stand too close every other is left out.
        if x - half > free {
            board.text(Point::new(x, low - 5.0), Anchor::Middle, BODY, &text, None);
            free = x + half + 1.2;
        }
        x += step;
    }
}

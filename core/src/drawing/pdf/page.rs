//! The marks of one page.

use std::f64::consts::{FRAC_PI_4, TAU};

use pdf_writer::{Buf, Content, Str};

use super::face::Letters;
use super::{FACE, POINT, Unwritable, real};
use crate::drawing::lettering::CAPITAL;
use crate::drawing::sheet::{Anchor, Pen, Shape, Sheet};
use crate::geom::{Point, Vector};
use crate::quantity::{Angle, trig};

/// The miter limit that SVG has of itself (SVG 1.1, 11.4), so that both files show one drawing.
const MITER: f32 = 4.0;

/// Writes the marks of a sheet, in millimetres after one change of scale.
pub(super) fn content(sheet: &Sheet, letters: &Letters) -> Result<Buf, Unwritable> {
    let mut content = Content::new();
    let scale = real(POINT);
    content.transform([scale, 0.0, 0.0, scale, 0.0, 0.0]).set_miter_limit(MITER);
    let mut pen = None;
    for item in &sheet.items {
        let strokes = !matches!(item.shape, Shape::Text { .. } | Shape::Polyline { filled: true, .. });
        if strokes && pen != Some(item.pen) {
            content.set_line_width(real(Pen::width(item.pen)));
            pen = Some(item.pen);
        }
        draw(&mut content, &item.shape, letters)?;
    }
    Ok(content.finish())
}

fn draw(content: &mut Content, shape: &Shape, letters: &Letters) -> Result<(), Unwritable> {
    match shape {
        Shape::Line(from, to) => {
            start(content, *from);
            go(content, *to);
            content.stroke();
        }
        Shape::Dashes(dashes) => {
            for (from, to) in dashes {
                start(content, *from);
                go(content, *to);
            }
            content.stroke();
        }
        Shape::Arc { centre, radius, start, sweep } => {
            arc(content, *centre, *radius, (*start, *sweep));
            content.stroke();
        }
        Shape::Circle { centre, radius } => {
            arc(content, *centre, *radius, (Angle::rad(0.0), Angle::rad(TAU)));
            content.close_and_stroke();
        }
        Shape::Polyline { points, closed, filled } => {
            for (index, point) in points.iter().enumerate() {
                if index == 0 { start(content, *point) } else { go(content, *point) }
            }
            match (filled, closed) {
                (true, _) => content.fill_nonzero(),
                (false, true) => content.close_and_stroke(),
                (false, false) => content.stroke(),
            };
        }
        Shape::Text { at, anchor, height, upright, text, ink: _ } => {
            let along = if *upright { Vector::new(0.0, 1.0) } else { Vector::new(1.0, 0.0) };
            let back = match anchor {
                Anchor::Start => 0.0,
                Anchor::Middle => letters.width(text, *height) / 2.0,
                Anchor::End => letters.width(text, *height),
            };
            let (from, up) = (*at - along * back, along.left());
            let turn = [along.x, along.y, up.x, up.y, place(from.x), place(from.y)].map(real);
            content
                .begin_text()
                .set_font(FACE, real(place(height / CAPITAL)))
                .set_text_matrix(turn)
                .show(Str(&letters.coded(text)?))
                .end_text();
        }
    }
    Ok(())
}

/// A circular arc as cubic curves of at most an eighth of a turn, each off by less than 5 parts in
/// a million of the radius: the arms are 4/3 tan(sweep / 4) radii long.
fn arc(content: &mut Content, centre: Point, radius: f64, (from, sweep): (Angle, Angle)) {
    let pieces = (sweep.as_rad().abs() / FRAC_PI_4 - 1e-9).ceil().max(1.0);
    let step = sweep / pieces;
    let arm = trig::tan(step / 4.0) * 4.0 / 3.0 * radius;
    let mut out = Vector::toward(from);
    let mut here = centre + out * radius;
    start(content, here);
    let mut piece = 1.0;
    while piece <= pieces {
        let next = Vector::toward(from + step * piece);
        let there = centre + next * radius;
        let (leave, arrive) = (here + out.left() * arm, there - next.left() * arm);
        let [x1, y1, x2, y2, x3, y3] =
            [leave.x, leave.y, arrive.x, arrive.y, there.x, there.y].map(|value| real(place(value)));
        content.cubic_to(x1, y1, x2, y2, x3, y3);
        (out, here, piece) = (next, there, piece + 1.0);
    }
}

fn start(content: &mut Content, to: Point) {
    content.move_to(real(place(to.x)), real(place(to.y)));
}

fn go(content: &mut Content, to: Point) {
    content.line_to(real(place(to.x)), real(place(to.y)));
}

/// Ten-thousandths of a millimetre, as the SVG has them.
fn place(value: f64) -> f64 {
    (value * 1e4).round() / 1e4
}

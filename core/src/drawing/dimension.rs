//! Linear dimensions beside a view.

use std::sync::Arc;

use super::Convention;
use super::board::Board;
use super::lanes::{self, Form, Lane, Span};
use super::lettering::Lettering;
use super::number::Words;
use super::sheet::{Anchor, Role, Shown};
use super::style::{ABOVE, CLEAR, FIGURE, FIRST, GAP, NOTE, OVERSHOOT, SMALL, STEP};
use crate::geom::{Point, Vector};

/// The side of a view that dimensions stand on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Side {
    Above,
    Below,
    Left,
    Right,
}

/// A dimension between two places, in millimetres of paper from the view's origin.
#[derive(Clone, Debug)]
pub(super) struct Linear {
    pub(super) from: f64,
    pub(super) to: f64,
    /// How far inside the view's edge the two measured corners lie.
    pub(super) inset: [f64; 2],
    pub(super) words: Words,
    pub(super) shows: Arc<Shown>,
}

/// All dimensions on one side of a view, in their rows.
#[derive(Clone, Debug)]
pub(super) struct Rail {
    side: Side,
    broken: bool,
    placed: Vec<(Linear, Label, Form, Lane)>,
    /// How far each row's line is from the edge of the view.
    rows: Vec<f64>,
    /// What the whole takes from the edge of the view outwards.
    pub(super) depth: f64,
    /// What it takes along the edge.
    pub(super) reach: (f64, f64),
}

impl Rail {
    /// Puts dimensions in rows; `before` is where figures go that find no room between the arrows.
    /// `beside` is what stands beside the edge already, and has to be passed. `None` where no order
    /// avoids crossings.
    pub(super) fn new(
        (side, before, beside): (Side, bool, f64),
        convention: Convention,
        dims: Vec<Linear>,
        letters: &Lettering,
    ) -> Option<Self> {
        // ISO 129-1 sets figures above an unbroken line and along it; ASME Y14.5 breaks the line
        // and sets all figures to be read from below.
        let broken = convention == Convention::Asme;
        let labels: Vec<Label> = dims.iter().map(|dim| Label::new(&dim.words, letters)).collect();
        let mut spans: Vec<Span> = dims
            .iter()
            .zip(&labels)
            .map(|(dim, label)| {
                let (text, _) = along_and_out(side, broken, label);
                Span { from: dim.from, to: dim.to, text, before, broken }
            })
            .collect();
        let lanes = lanes::place(&mut spans, 1)?;
        let placed: Vec<_> = dims
            .into_iter()
            .zip(labels)
            .zip(&spans)
            .zip(lanes)
            .map(|(((dim, label), span), lane)| (dim, label, span.form(), lane))
            .collect();
        let (rows, depth) = row_places((side, broken, beside), &placed);
        let ends = |pick: fn(&Form) -> f64| placed.iter().map(move |(_, _, form, _)| pick(form));
        let reach = (ends(|form| form.whole.0).fold(0.0, f64::min), ends(|form| form.whole.1).fold(0.0, f64::max));
        Some(Self { side, broken, placed, rows, depth, reach })
    }

    /// Draws the rows; `origin` is the view's origin, `edge` how far its edge is from there.
    pub(super) fn draw(&self, board: &mut Board<'_>, origin: Point, edge: f64) {
        for (dim, label, form, lane) in &self.placed {
            self.draw_one(board, origin, edge, (dim, label, form, lane.row));
        }
        self.draw_extensions(board, origin, edge);
    }

    fn at(&self, origin: Point, edge: f64, u: f64, v: f64) -> Point {
        match self.side {
            Side::Above => origin + Vector::new(u, edge + v),
            Side::Below => origin + Vector::new(u, -edge - v),
            Side::Left => origin + Vector::new(-edge - v, u),
            Side::Right => origin + Vector::new(edge + v, u),
        }
    }

    fn draw_one(&self, board: &mut Board<'_>, origin: Point, edge: f64, one: (&Linear, &Label, &Form, usize)) {
        let (dim, label, form, row) = one;
        let v = self.rows[row];
        let shows = Some(&dim.shows);
        let at = |u: f64| self.at(origin, edge, u, v);
        let mut stroke = |from: f64, to: f64| board.thin(Role::Dimension, at(from), at(to), shows);
        let tail = 2.0 * super::style::ARROW;
        match (self.broken, form.arrows_inside) {
            (true, true) => {
                stroke(dim.from, form.text.0 - CLEAR);
                stroke(form.text.1 + CLEAR, dim.to);
            }
            (true, false) => {
                stroke(dim.from - tail, dim.from);
                stroke(dim.to, dim.to + tail);
            }
            (false, _) => stroke(form.whole.0, form.whole.1),
        }
        let way = self.at(Point::default(), 0.0, 1.0, 0.0) - self.at(Point::default(), 0.0, 0.0, 0.0);
        let out = if form.arrows_inside { way } else { -way };
        board.arrow(at(dim.from), -out, shows);
        board.arrow(at(dim.to), out, shows);
        let middle = at(f64::midpoint(form.text.0, form.text.1));
        let upright = matches!(self.side, Side::Left | Side::Right) && !self.broken;
        let up = if upright { Vector::new(-1.0, 0.0) } else { Vector::new(0.0, 1.0) };
        let along = if upright { Vector::new(0.0, 1.0) } else { Vector::new(1.0, 0.0) };
        let lift = if self.broken { -label.height / 2.0 } else { ABOVE };
        label.draw(board, middle + up * lift - along * (label.width / 2.0), upright, shows);
    }

    /// One extension line for each measured place, out to the last row that uses it.
    fn draw_extensions(&self, board: &mut Board<'_>, origin: Point, edge: f64) {
        let mut lines: Vec<(f64, f64, f64, &Arc<Shown>)> = Vec::new();
        for (dim, _, _, lane) in &self.placed {
            for (u, inset) in [(dim.from, dim.inset[0]), (dim.to, dim.inset[1])] {
                let (start, end) = (GAP - inset, self.rows[lane.row] + OVERSHOOT);
                match lines.iter_mut().find(|line| (line.0 - u).abs() < 1e-6) {
                    Some(line) => {
                        line.1 = line.1.max(start);
                        line.2 = line.2.max(end);
                    }
                    None => lines.push((u, start, end, &dim.shows)),
                }
            }
        }
        for (u, start, end, shows) in lines {
            board.thin(Role::Extension, self.at(origin, edge, u, start), self.at(origin, edge, u, end), Some(shows));
        }
    }
}

/// What a label takes along its dimension, and inwards and outwards of the line.
fn along_and_out(side: Side, broken: bool, label: &Label) -> (f64, (f64, f64)) {
    match (broken, side) {
        (true, Side::Above | Side::Below) => (label.width, (label.height / 2.0, label.height / 2.0)),
        (true, Side::Left | Side::Right) => (label.height, (label.width / 2.0, label.width / 2.0)),
        (false, Side::Above | Side::Left) => (label.width, (0.0, ABOVE + label.height)),
        (false, Side::Below | Side::Right) => (label.width, (ABOVE + label.height, 0.0)),
    }
}

fn row_places((side, broken, beside): (Side, bool, f64), placed: &[(Linear, Label, Form, Lane)]) -> (Vec<f64>, f64) {
    let count = placed.iter().map(|(_, _, _, lane)| lane.row + 1).max().unwrap_or(0);
    let mut rows = Vec::with_capacity(count);
    let (mut last, mut outside) = (0.0, 0.0_f64);
    for row in 0..count {
        let (mut inward, mut outward) = (0.0_f64, 0.0_f64);
        for (_, label, _, lane) in placed {
            if lane.row == row {
                let (_, (below, above)) = along_and_out(side, broken, label);
                inward = inward.max(below);
                outward = outward.max(above);
            }
        }
        let v = if row == 0 {
            FIRST.max(beside + inward + 3.0)
        } else {
            last + STEP.max(outside.max(OVERSHOOT) + inward + 1.5)
        };
        rows.push(v);
        last = v;
        outside = outward;
    }
    (rows, if count == 0 { 0.0 } else { last + outside.max(OVERSHOOT) })
}

/// The words of a size, measured: lines at their places from the lower left of the whole.
#[derive(Clone, Debug)]
pub(super) struct Label {
    pub(super) width: f64,
    pub(super) height: f64,
    lines: Vec<(Vector, f64, String)>,
}

impl Label {
    pub(super) fn new(words: &Words, letters: &Lettering) -> Self {
        let mut lines = Vec::new();
        let Some(stack) = &words.stack else {
            let width = letters.width(&words.main, FIGURE);
            return Self { width, height: FIGURE, lines: vec![(Vector::default(), FIGURE, words.main.clone())] };
        };
        let alone = words.main.is_empty();
        let small = if alone { NOTE } else { SMALL };
        let pitch = small * 1.4;
        let height = small + pitch;
        let mut x = 0.0;
        if !alone {
            lines.push((Vector::new(0.0, (height - FIGURE) / 2.0), FIGURE, words.main.clone()));
            x += letters.width(&words.main, FIGURE) + if words.bracketed { 0.6 } else { 1.0 };
        }
        // Brackets as high as the pair between them.
        let unit = letters.extent("(", 1.0);
        let bracket = height / (unit.above + unit.below);
        let floor = unit.below * bracket;
        let mut put = |x: f64, y: f64, size: f64, text: &str| {
            lines.push((Vector::new(x, y), size, text.to_owned()));
            x + letters.width(text, size)
        };
        if words.bracketed {
            x = put(x, floor, bracket, "(");
        }
        let end = stack.iter().map(|text| letters.width(text, small)).fold(0.0, f64::max) + x;
        for (text, y) in [(&stack[0], pitch), (&stack[1], 0.0)] {
            put(end - letters.width(text, small), y, small, text);
        }
        x = end;
        if words.bracketed {
            x = put(x, floor, bracket, ")");
        }
        Self { width: x, height, lines }
    }

    /// Draws the words; `corner` is where the text's own lower left lies.
    pub(super) fn draw(&self, board: &mut Board<'_>, corner: Point, upright: bool, shows: Option<&Arc<Shown>>) {
        for (offset, height, text) in &self.lines {
            let turned = if upright { offset.left() } else { *offset };
            board.set(corner + turned, Anchor::Start, *height, text, upright, shows);
        }
    }
}

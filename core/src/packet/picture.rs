//! The setup to scale: from the front, from above and from the right.

use super::desk::{BODY, CLEAR, Desk};
use super::ladder::{self, LEAD, Rung};
use super::scene::Scene;
use crate::drawing::board::Board;
use crate::drawing::{Anchor, Pen, Role, Shape};
use crate::geom::{Point, Rect, Vector};
use crate::part::Pose;
use crate::quantity::{Angle, Length, Unit, trimmed};

/// Scales of pictures: ISO 5455 (from memory), as millimetres of paper for one of the part.
pub(super) const SCALES: [(f64, &str); 9] = [
    (5.0, "5:1"),
    (2.0, "2:1"),
    (1.0, "1:1"),
    (0.5, "1:2"),
    (0.2, "1:5"),
    (0.1, "1:10"),
    (0.05, "1:20"),
    (0.02, "1:50"),
    (0.01, "1:100"),
];
/// White around a view, and the height of its caption with its axes.
pub(super) const AROUND: f64 = 4.0;
pub(super) const CAPTION: f64 = 11.0;
/// What pictures may take of a page's height.
const MOST: f64 = 150.0;

/// A view: where the zero of the part is on paper, and the scale.
#[derive(Clone, Copy, Debug)]
pub(super) struct View {
    pub(super) zero: Point,
    pub(super) scale: f64,
}

impl View {
    pub(super) fn at(self, right: Length, up: Length) -> Point {
        self.zero + Vector::new(right.as_mm() * self.scale, up.as_mm() * self.scale)
    }

    pub(super) fn rect(self, right: (Length, Length), up: (Length, Length)) -> Rect {
        Rect::new(self.at(right.0, up.0), self.at(right.1, up.1))
    }
}

/// The extents of the three views in the part's own lengths.
#[derive(Clone, Copy, Debug)]
struct Extents {
    x: (Length, Length),
    y: (Length, Length),
    z: (Length, Length),
}

impl Extents {
    fn of(scene: &Scene) -> Self {
        let out = scene.half + scene.jaw_thickness;
        let x = (scene.jaws.0.min(scene.stop.0).min(scene.piece.0), scene.jaws.1.max(scene.piece.1));
        Self { x, y: (-out, out), z: (scene.bed, scene.clear) }
    }

    fn x(self) -> f64 {
        (self.x.1 - self.x.0).as_mm()
    }

    fn y(self) -> f64 {
        (self.y.1 - self.y.0).as_mm()
    }

    fn z(self) -> f64 {
        (self.z.1 - self.z.0).as_mm()
    }
}

/// Draws the setup.
pub(super) fn draw(desk: &mut Desk<'_>, scene: &Scene, pose: Pose, unit: Unit) {
    let extents = Extents::of(scene);
    let say = |length: Length| trimmed(unit.of(length), unit.decimals());
    let names = pose.sides();
    let (up, back) = (format!("{}: zero", names.up), format!("fixed jaw: {}", names.back));
    let z_words = [
        (scene.clear, "clear height"),
        (Length::ZERO, up.as_str()),
        (scene.jaw_top, "jaws"),
        (-scene.height, names.down),
        (scene.bed, "bed"),
    ];
    let y_words = [(scene.half, back.as_str()), (Length::ZERO, "zero"), (-scene.half, "moving jaw")];
    let mut x_words = vec![
        (scene.jaws.0, "jaws".to_owned()),
        (scene.piece.0, names.left.to_owned()),
        (scene.stop.1, "stop".to_owned()),
        (Length::ZERO, "zero".to_owned()),
        (scene.piece.1, names.right.to_owned()),
        (scene.jaws.1, "jaws".to_owned()),
    ];
    if let Some(first) = scene.first {
        x_words.push((first.x, format!("first cut, T{}", first.tool)));
    }
    let label = |length: Length, words: &str| format!("{} {words}", say(length));
    // Two that stand at one height are told in one label.
    let long = |words: &[(Length, &str)]| {
        let beside = |at: Length| words.iter().filter(move |(other, _)| (*other - at).abs() < Length::mm(1e-6));
        let whole = |at: Length| beside(at).map(|(_, text)| *text).collect::<Vec<_>>().join(", ");
        let wide = |at: Length| desk.board.letters.width(&label(at, &whole(at)), BODY);
        words.iter().map(|(at, _)| wide(*at)).fold(0.0, f64::max) + LEAD
    };
    let side = long(&z_words).max(long(&y_words));
    // Two that stand at one place are told in one label.
    let same = |at: Length| x_words.iter().filter(move |(other, _)| (*other - at).abs() < Length::mm(1e-6));
    let foot = x_words
        .iter()
        .map(|(at, _)| label(*at, &same(*at).map(|(_, text)| text.as_str()).collect::<Vec<_>>().join(", ")))
        .map(|text| desk.board.letters.width(&text, BODY))
        .fold(0.0, f64::max)
        + LEAD;
    let room = desk.body().width();
    // At every scale the labels keep their size.
    let takes = |scale: f64| {
        let wide = extents.x() * scale + side + 2.0 * AROUND + extents.y() * scale;
        let high = (extents.z() * scale).max(24.0) + (extents.y() * scale).max(16.0) + 2.0 * (CAPTION + AROUND) + foot;
        (wide, high)
    };
    let fits = |scale: &&(f64, &str)| {
        let (wide, high) = takes(scale.0);
        wide <= room && high <= MOST
    };
    let Some(largest) = SCALES.iter().find(fits).or(SCALES.last()) else { return };
    // Half as large on this page rather than on the next.
    let left = desk.left();
    let stays = |scale: &&(f64, &str)| scale.0 <= largest.0 && scale.0 >= largest.0 / 2.0 && takes(scale.0).1 <= left;
    let (scale, name) = SCALES.iter().find(stays).unwrap_or(largest);
    let place = desk.picture(takes(*scale).1);
    let board = &mut desk.board;
    // The front view, upper left.
    let left = place.low.x + AROUND - extents.x.0.as_mm() * scale;
    let top = place.high.y - CAPTION;
    let front = View { zero: Point::new(left, top - extents.z.1.as_mm() * scale), scale: *scale };
    let corner = Point::new(place.low.x, place.high.y - 3.5);
    caption(board, corner, &format!("From the front, {name}"), ("X", "Z"));
    from_front(board, front, scene);
    let edge = front.at(extents.x.1, Length::ZERO).x;
    let rungs = z_words.iter().map(|(z, text)| Rung { at: front.at(Length::ZERO, *z).y, text: label(*z, text) });
    let lower = top - (extents.z() * scale).max(24.0);
    ladder::beside(board, edge, &rungs.collect::<Vec<_>>(), (lower, top));
    // From the right, upper right.
    let across = edge + side + AROUND - extents.y.0.as_mm() * scale;
    let end = View { zero: Point::new(across, front.zero.y), scale: *scale };
    let corner = Point::new(edge + side + AROUND, place.high.y - 3.5);
    caption(board, corner, "From the right", ("Y", "Z"));
    from_right(board, end, scene);
    // From above, below.
    let lower = lower - AROUND;
    let plan = View { zero: Point::new(left, lower - CAPTION - extents.y.1.as_mm() * scale), scale: *scale };
    caption(board, Point::new(place.low.x, lower - 3.5), "From above", ("X", "Y"));
    from_above(board, plan, scene);
    let rungs = y_words.iter().map(|(y, text)| Rung { at: plan.at(Length::ZERO, *y).y, text: label(*y, text) });
    let high = lower - CAPTION;
    ladder::beside(board, edge, &rungs.collect::<Vec<_>>(), (high - (extents.y() * scale).max(16.0), high));
    let bottom = plan.at(Length::ZERO, extents.y.0).y.min(high - 16.0);
    let rungs = x_words.iter().map(|(x, text)| Rung { at: plan.at(*x, Length::ZERO).x, text: label(*x, text) });
    ladder::below(board, bottom, &rungs.collect::<Vec<_>>(), (place.low.x, place.high.x));
}

pub(super) fn caption(board: &mut Board<'_>, at: Point, text: &str, (right, up): (&str, &str)) {
    let ink = board.text(at, Anchor::Start, CLEAR, text, None);
    ladder::axes(board, Point::new(ink.high.x + 4.0, at.y - 3.0), right, up);
}

pub(super) fn outline(board: &mut Board<'_>, place: Rect) {
    let points =
        vec![place.low, Point::new(place.high.x, place.low.y), place.high, Point::new(place.low.x, place.high.y)];
    board.outline(points, true);
}

pub(super) fn hidden(board: &mut Board<'_>, place: Rect) {
    let (a, c) = (place.low, place.high);
    let (b, d) = (Point::new(c.x, a.y), Point::new(a.x, c.y));
    for (from, to) in [(a, b), (b, c), (d, c), (a, d)] {
        if from.distance(to) > 1e-6 {
            board.hidden(from, to);
        }
    }
}

fn from_front(board: &mut Board<'_>, view: View, scene: &Scene) {
    let jaw = view.rect(scene.jaws, (scene.bed, scene.jaw_top));
    let piece = view.rect(scene.piece, (-scene.height, Length::ZERO));
    // The moving jaw stands before the piece: what it covers is hidden.
    let line = jaw.high.y;
    let covered = (piece.low.x.max(jaw.low.x), piece.high.x.min(jaw.high.x));
    outline(board, jaw);
    board.outline(
        vec![
            Point::new(piece.low.x, line),
            Point::new(piece.low.x, piece.high.y),
            piece.high,
            Point::new(piece.high.x, line),
        ],
        false,
    );
    board.hidden(Point::new(covered.0, piece.low.y), Point::new(covered.1, piece.low.y));
    for (end, inside) in [(piece.low.x, piece.low.x > jaw.low.x), (piece.high.x, piece.high.x < jaw.high.x)] {
        let (low, high) = (Point::new(end, piece.low.y), Point::new(end, line));
        if inside {
            board.hidden(low, high);
        } else {
            board.outline(vec![low, high], false);
            let edge = if end < covered.0 { covered.0 } else { covered.1 };
            board.outline(vec![low, Point::new(edge, piece.low.y)], false);
        }
    }
    hidden(board, view.rect(scene.stop, (scene.bed, scene.stop_top)));
    if let Some((_, depth)) = scene.edges.first() {
        let z = view.at(Length::ZERO, -*depth).y;
        board.line(Role::Outline, Pen::Thin, Point::new(piece.low.x, z), Point::new(piece.high.x, z));
    }
    for hole in &scene.holes {
        let deep = hole.depth.map_or(-scene.height, |depth| -depth);
        for side in [-hole.radius, hole.radius] {
            board.hidden(view.at(hole.x + side, Length::ZERO), view.at(hole.x + side, deep));
        }
    }
    let clear = view.at(Length::ZERO, scene.clear).y;
    let (from, to) = (piece.low.x.min(jaw.low.x), piece.high.x.max(jaw.high.x));
    board.centre(Point::new(from, clear), Point::new(to, clear), None);
    ladder::zero(board, view.zero);
}

fn from_right(board: &mut Board<'_>, view: View, scene: &Scene) {
    let out = scene.half + scene.jaw_thickness;
    for (near, far) in [(scene.half, out), (-out, -scene.half)] {
        let jaw = view.rect((near, far), (scene.bed, scene.jaw_top));
        ladder::hatch(board, jaw.low, jaw.high);
        outline(board, jaw);
    }
    let mut points = Vec::new();
    let inner = scene.edges.iter().map(|(y, _)| y.abs()).fold(Length::ZERO, Length::max);
    let depth = scene.edges.iter().map(|(_, depth)| *depth).fold(Length::ZERO, Length::max);
    for (y, z) in [(-scene.half, -scene.height), (scene.half, -scene.height), (scene.half, -depth)] {
        points.push(view.at(y, z));
    }
    if depth > Length::ZERO {
        for (y, z) in [(inner, -depth), (inner, Length::ZERO), (-inner, Length::ZERO), (-inner, -depth)] {
            points.push(view.at(y, z));
        }
    }
    points.push(view.at(-scene.half, -depth));
    board.outline(points, true);
    // What the rabbets take away.
    if depth > Length::ZERO {
        for side in [-1.0, 1.0] {
            board.hidden(view.at(inner * side, Length::ZERO), view.at(scene.half * side, Length::ZERO));
            board.hidden(view.at(scene.half * side, Length::ZERO), view.at(scene.half * side, -depth));
        }
    }
    let carried = if scene.bed < -scene.height { [-1.0, 1.0].as_slice() } else { &[] };
    for side in carried.iter().copied() {
        let (near, far) = (scene.half * side, (scene.half - scene.parallel_thickness) * side);
        let parallel = view.rect((near, far), (scene.bed, -scene.height));
        let points = vec![
            parallel.low,
            Point::new(parallel.high.x, parallel.low.y),
            parallel.high,
            Point::new(parallel.low.x, parallel.high.y),
        ];
        board.put(Shape::Polyline { points, closed: true, filled: true }, Role::Outline, Pen::Outline, None);
    }
    for hole in &scene.holes {
        let deep = hole.depth.map_or(scene.lowest.min(-scene.height), |depth| -depth);
        for side in [-hole.radius, hole.radius] {
            board.hidden(view.at(hole.y + side, Length::ZERO), view.at(hole.y + side, deep));
        }
    }
    let bed = view.rect((-out, out), (scene.bed, scene.bed));
    board.outline(vec![bed.low, bed.high], false);
    ladder::zero(board, view.zero);
}

fn from_above(board: &mut Board<'_>, view: View, scene: &Scene) {
    let out = scene.half + scene.jaw_thickness;
    for (near, far) in [(scene.half, out), (-out, -scene.half)] {
        outline(board, view.rect(scene.jaws, (near, far)));
    }
    // The stop is fast on the fixed jaw and reaches before the end of the piece.
    let stop = view.rect(scene.stop, (Length::ZERO, scene.half));
    ladder::hatch(board, stop.low, stop.high);
    outline(board, stop);
    outline(board, view.rect(scene.piece, (-scene.half, scene.half)));
    for (y, _) in &scene.edges {
        board.line(Role::Outline, Pen::Thin, view.at(scene.piece.0, *y), view.at(scene.piece.1, *y));
    }
    let carried = if scene.bed < -scene.height { [-1.0, 1.0].as_slice() } else { &[] };
    for side in carried {
        let y = (scene.half - scene.parallel_thickness) * *side;
        board.hidden(view.at(scene.jaws.0.max(scene.piece.0), y), view.at(scene.jaws.1.min(scene.piece.1), y));
    }
    for hole in &scene.holes {
        let (at, radius) = (view.at(hole.x, hole.y), hole.radius.as_mm() * view.scale);
        board.circle(Role::Outline, Pen::Outline, at, radius);
    }
    for slot in &scene.slots {
        let (from, to) = match slot.half_long {
            Some(half) => (slot.x - half + slot.half_wide, slot.x + half - slot.half_wide),
            None => scene.piece,
        };
        for side in [-1.0, 1.0] {
            let y = slot.y + slot.half_wide * side;
            board.line(Role::Outline, Pen::Outline, view.at(from, y), view.at(to, y));
        }
        if slot.half_long.is_some() {
            let radius = slot.half_wide.as_mm() * view.scale;
            let half = std::f64::consts::FRAC_PI_2;
            for (x, start) in [(from, half), (to, -half)] {
                let (start, sweep) = (Angle::rad(start), Angle::rad(2.0 * half));
                let arc = Shape::Arc { centre: view.at(x, slot.y), radius, start, sweep };
                board.put(arc, Role::Outline, Pen::Outline, None);
            }
        }
    }
    ladder::zero(board, view.zero);
    if let Some(first) = scene.first {
        let at = view.at(first.x, first.y);
        board.circle(Role::Picture, Pen::Outline, at, 3.2);
        for way in [Vector::new(1.0, 0.0), Vector::new(0.0, 1.0)] {
            for side in [-1.0, 1.0] {
                board.line(Role::Picture, Pen::Outline, at + way * (side * 2.2), at + way * (side * 4.4));
            }
        }
    }
}

//! A load to scale: from the front and from above.

use super::desk::{BODY, CLEAR, Desk};
use super::ladder::{self, LEAD, Rung};
use super::picture::{AROUND, CAPTION, SCALES, View, caption, hidden, outline};
use super::scene::Scene;
use crate::batch::{Load, Way};
use crate::drawing::board::Board;
use crate::drawing::{Anchor, Pen, Role};
use crate::geom::{Point, Rect};
use crate::quantity::{Length, Unit, trimmed};
use crate::shop::Stand;

/// What pictures may take of a page's height.
const MOST: f64 = 140.0;

/// The extents of a load, in the axes of its first place.
struct Extents {
    x: (Length, Length),
    y: (Length, Length),
    z: (Length, Length),
}

impl Extents {
    fn of(load: &Load, scene: &Scene) -> Self {
        let out = scene.half + scene.jaw_thickness;
        let mut x = (Length::ZERO, Length::ZERO);
        let mut y = (Length::ZERO, Length::ZERO);
        for stand in &load.places {
            let jaws = jaws(stand);
            let low = jaws.0.min(stand.x + scene.stop.0).min(stand.x + scene.piece.0);
            x = (x.0.min(low), x.1.max(jaws.1).max(stand.x + scene.piece.1));
            y = (y.0.min(stand.y - out), y.1.max(stand.y + out));
        }
        Self { x, y, z: (scene.bed, scene.clear) }
    }
}

/// Where the jaws of a place begin and end, in the axes of the load.
fn jaws(stand: &Stand) -> (Length, Length) {
    let middle = stand.x + stand.setup.jaw_middle;
    (middle - stand.setup.jaw_reach, middle + stand.setup.jaw_reach)
}

/// Draws the load.
pub(super) fn draw(desk: &mut Desk<'_>, load: &Load, scene: &Scene, unit: Unit) {
    let extents = Extents::of(load, scene);
    let say = |length: Length, words: &str| format!("{} {words}", trimmed(unit.of(length), unit.decimals()));
    let under = if matches!(load.way, Way::Plate(_)) { "plate" } else { "bed" };
    let z_words = [
        (scene.clear, "clear height"),
        (Length::ZERO, "tops: zero"),
        (scene.jaw_top, "jaws, stops"),
        (-scene.height, "undersides"),
        (scene.bed, under),
    ];
    let columns: Vec<(usize, &Stand)> =
        load.places.iter().enumerate().filter(|(_, stand)| stand.y == Length::ZERO).collect();
    let rows: Vec<(usize, &Stand)> =
        load.places.iter().enumerate().filter(|(_, stand)| stand.x == Length::ZERO).collect();
    let place = |at: usize| if at == 0 { "place 1".to_owned() } else { format!("place {}", at + 1) };
    let x_words: Vec<(Length, String)> =
        columns.iter().map(|(at, stand)| (stand.x, say(stand.x, &place(*at)))).collect();
    let y_words: Vec<(Length, String)> = rows.iter().map(|(at, stand)| (stand.y, say(stand.y, &place(*at)))).collect();
    let letters = desk.board.letters;
    let widest = |texts: &mut dyn Iterator<Item = String>| {
        texts.map(|text| letters.width(&text, BODY)).fold(0.0, f64::max) + LEAD
    };
    let side = widest(&mut z_words.iter().map(|(z, text)| say(*z, text)))
        .max(widest(&mut y_words.iter().map(|(_, text)| text.clone())));
    let foot = widest(&mut x_words.iter().map(|(_, text)| text.clone()));
    let room = desk.body().width();
    let (wide, deep, high) =
        ((extents.x.1 - extents.x.0).as_mm(), (extents.y.1 - extents.y.0).as_mm(), (extents.z.1 - extents.z.0).as_mm());
    let takes = |scale: f64| {
        let height = (high * scale).max(24.0) + (deep * scale).max(16.0) + 2.0 * (CAPTION + AROUND) + foot;
        (wide * scale + side + 2.0 * AROUND, height)
    };
    let fits = |scale: &&(f64, &str)| {
        let (wide, high) = takes(scale.0);
        scale.0 <= 1.0 && wide <= room && high <= MOST
    };
    let Some((scale, name)) = SCALES.iter().find(fits).or(SCALES.last()) else { return };
    let paper = desk.picture(takes(*scale).1);
    let board = &mut desk.board;
    let left = paper.low.x + AROUND - extents.x.0.as_mm() * scale;
    let top = paper.high.y - CAPTION;
    let front = View { zero: Point::new(left, top - extents.z.1.as_mm() * scale), scale: *scale };
    caption(board, Point::new(paper.low.x, paper.high.y - 3.5), &format!("From the front, {name}"), ("X", "Z"));
    from_front(board, front, load, scene, &columns, extents.x);
    let edge = front.at(extents.x.1, Length::ZERO).x;
    let rungs = z_words.iter().map(|(z, text)| Rung { at: front.at(Length::ZERO, *z).y, text: say(*z, text) });
    let lower = top - (high * scale).max(24.0);
    ladder::beside(board, edge, &rungs.collect::<Vec<_>>(), (lower, top));
    let lower = lower - AROUND;
    let plan = View { zero: Point::new(left, lower - CAPTION - extents.y.1.as_mm() * scale), scale: *scale };
    caption(board, Point::new(paper.low.x, lower - 3.5), "From above", ("X", "Y"));
    from_above(board, plan, load, scene);
    let rungs = y_words.iter().map(|(y, text)| Rung { at: plan.at(Length::ZERO, *y).y, text: text.clone() });
    let high = lower - CAPTION;
    ladder::beside(board, edge, &rungs.collect::<Vec<_>>(), (high - (deep * scale).max(16.0), high));
    let bottom = plan.at(Length::ZERO, extents.y.0).y.min(high - 16.0);
    let rungs = x_words.iter().map(|(x, text)| Rung { at: plan.at(*x, Length::ZERO).x, text: text.clone() });
    ladder::below(board, bottom, &rungs.collect::<Vec<_>>(), (paper.low.x, paper.high.x));
}

/// The jaws to draw: of a row one pair, of a plate one for each place.
fn pairs(load: &Load) -> Vec<((Length, Length), Length)> {
    match load.way {
        Way::Plate(_) => load.places.iter().map(|stand| (jaws(stand), stand.y)).collect(),
        Way::One | Way::Row => {
            let ends = load.places.first().zip(load.places.last());
            ends.map(|(first, last)| ((jaws(first).0, jaws(last).1), first.y)).into_iter().collect()
        }
    }
}

fn from_front(
    board: &mut Board<'_>,
    view: View,
    load: &Load,
    scene: &Scene,
    columns: &[(usize, &Stand)],
    along: (Length, Length),
) {
    for (jaws, y) in pairs(load) {
        if y == Length::ZERO {
            outline(board, view.rect(jaws, (scene.bed, scene.jaw_top)));
        }
    }
    for (_, stand) in columns {
        let piece = view.rect((stand.x + scene.piece.0, stand.x + scene.piece.1), (-scene.height, Length::ZERO));
        let line = view.at(Length::ZERO, scene.jaw_top).y;
        // The moving jaw stands before what is below its top.
        let points = vec![
            Point::new(piece.low.x, line),
            Point::new(piece.low.x, piece.high.y),
            piece.high,
            Point::new(piece.high.x, line),
        ];
        board.outline(points, false);
        hidden(board, Rect::new(piece.low, Point::new(piece.high.x, line)));
        if let Some((_, depth)) = scene.edges.first() {
            let z = view.at(Length::ZERO, -*depth).y;
            board.line(Role::Outline, Pen::Thin, Point::new(piece.low.x, z), Point::new(piece.high.x, z));
        }
        hidden(board, view.rect((stand.x + scene.stop.0, stand.x + scene.stop.1), (scene.bed, scene.stop_top)));
    }
    let clear = view.at(Length::ZERO, scene.clear).y;
    board.centre(
        Point::new(view.at(along.0, Length::ZERO).x, clear),
        Point::new(view.at(along.1, Length::ZERO).x, clear),
        None,
    );
    let bed = view.at(Length::ZERO, scene.bed).y;
    board.outline(
        vec![Point::new(view.at(along.0, Length::ZERO).x, bed), Point::new(view.at(along.1, Length::ZERO).x, bed)],
        false,
    );
    ladder::zero(board, view.zero);
}

fn from_above(board: &mut Board<'_>, view: View, load: &Load, scene: &Scene) {
    for (jaws, y) in pairs(load) {
        for side in [(scene.half, scene.half + scene.jaw_thickness), (-scene.half - scene.jaw_thickness, -scene.half)] {
            outline(board, view.rect(jaws, (y + side.0, y + side.1)));
        }
    }
    for (at, stand) in load.places.iter().enumerate() {
        let stop = view.rect((stand.x + scene.stop.0, stand.x + scene.stop.1), (stand.y, stand.y + scene.half));
        ladder::hatch(board, stop.low, stop.high);
        outline(board, stop);
        let along = (stand.x + scene.piece.0, stand.x + scene.piece.1);
        let piece = view.rect(along, (stand.y - scene.half, stand.y + scene.half));
        outline(board, piece);
        for (y, _) in &scene.edges {
            board.line(Role::Outline, Pen::Thin, view.at(along.0, stand.y + *y), view.at(along.1, stand.y + *y));
        }
        let middle = view.at(stand.x, stand.y);
        if at == 0 {
            ladder::zero(board, middle);
        }
        // The number stands left of the middle where the piece has room for it, else above it.
        let number = (at + 1).to_string();
        let wide = board.letters.width(&number, CLEAR);
        if piece.height() > CLEAR * 1.8 && piece.width() > 2.0 * wide + 9.0 {
            board.text(Point::new(middle.x - 3.5, middle.y - CLEAR / 2.0), Anchor::End, CLEAR, &number, None);
        }
    }
}

//! What is said of each group of holes, and the leader that says it.

use super::board::Board;
use super::number::Numbers;
use super::sheet::{Anchor, Item, Role, Shape, Shown};
use super::solid::Solid;
use super::style::{CLEAR, FIGURE, LEADING, SHOULDER};
use super::views::View;
use crate::geom::{Point, Rect, Vector};
use crate::part::{Feature, Holes, Make};
use crate::quantity::{Angle, Unit};
use crate::standards::thread::Hand;

/// The words about one group of holes.
#[derive(Clone, Debug)]
pub(super) struct Callout {
    /// Number of the group among the groups of holes.
    pub(super) group: usize,
    pub(super) lines: Vec<(String, Shown)>,
    pub(super) width: f64,
    pub(super) height: f64,
}

/// Which way callouts lie from the view that they speak of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Lie {
    Above,
    Below,
}

impl Callout {
    pub(super) fn new(
        group: usize,
        feature: &Feature,
        holes: &Holes,
        numbers: &Numbers<'_>,
        board: &Board<'_>,
    ) -> Self {
        let lines = words(feature, holes, numbers)
            .into_iter()
            .map(|(text, shows)| (board.letters.settable(&text), shows))
            .collect::<Vec<_>>();
        let width = lines.iter().map(|(text, _)| board.letters.width(text, FIGURE)).fold(0.0, f64::max);
        let height = FIGURE + (lines.len().max(1) - 1) as f64 * FIGURE * LEADING;
        Self { group, lines, width, height }
    }
}

/// The lines of a callout, count first, then what, then how deep (ASME Y14.5 and Y14.6, ISO 6410;
/// from public drafting texts).
fn words(feature: &Feature, holes: &Holes, numbers: &Numbers<'_>) -> Vec<(String, Shown)> {
    let id = &feature.id;
    let count = holes.places.len();
    let times = if count == 1 { String::new() } else { format!("{count}X ") };
    let each = |what: &str| (1..=count).map(|number| format!("{id}.{number}.{what}")).collect::<Vec<_>>();
    let mut lines = Vec::new();
    match &holes.make {
        Make::Tapped { thread, hand, drill } => {
            let left = if *hand == Hand::Left { "-LH" } else { "" };
            let class = &thread.internal.class;
            let mut names = each("pitch_diameter");
            names.extend(each("minor"));
            let say = |length| numbers.unit.say(length);
            let title = format!(
                "{}: {} {class}, pitch diameter {} to {}, minor diameter {} to {}",
                feature.title,
                thread.designation,
                say(thread.internal.pitch_min),
                say(thread.internal.pitch_max),
                say(thread.internal.minor_min),
                say(thread.internal.minor_max),
            );
            lines.push((format!("{times}{}-{class}{left} THRU", thread.designation), Shown { names, title }));
            if let Some(line) = chamfer_line(id, &feature.title, holes, numbers) {
                lines.push(line);
            }
            let size = format!("⌀{}", numbers.plain(drill.diameter));
            let told_by_size = drill.name.ends_with("mm") && numbers.unit == Unit::Mm;
            let name = if told_by_size { String::new() } else { format!("{} ", drill.name) };
            let shows = Shown {
                names: vec![format!("{id}.drill")],
                title: format!("{}: drill before the thread", feature.title),
            };
            lines.push((format!("(TAP DRILL {name}{size})"), shows));
        }
        Make::Plain { diameter } => {
            let shows = Shown { names: vec![diameter.name.clone()], title: diameter.title.clone() };
            lines.push((format!("{times}⌀{} THRU", numbers.one_line(diameter)), shows));
            if let Some(line) = chamfer_line(id, &feature.title, holes, numbers) {
                lines.push(line);
            }
        }
    }
    let stated = |at| !numbers.is_general(at, holes.place_tolerance);
    let zero = |at: crate::quantity::Length| at.abs().as_mm() < 5e-7;
    if holes.places.iter().any(|place| (stated(place.x) && !zero(place.x)) || (stated(place.y) && !zero(place.y))) {
        let shows = Shown {
            names: vec![format!("{id}.place_tolerance")],
            title: format!("{}: how far each may lie from its place", feature.title),
        };
        lines.push((format!("PLACES {}", numbers.tolerance(holes.place_tolerance)), shows));
    }
    lines
}

fn chamfer_line(id: &str, title: &str, holes: &Holes, numbers: &Numbers<'_>) -> Option<(String, Shown)> {
    let diameter = holes.chamfer?;
    let shows = Shown { names: vec![format!("{id}.chamfer")], title: format!("{title}: entry chamfer, 90° included") };
    Some((format!("⌵ ⌀{} X 90°", numbers.plain(diameter)), shows))
}

/// A place found for a callout.
#[derive(Clone, Debug)]
struct Spot {
    tip: Point,
    elbow: Point,
    text: Rect,
    rightwards: bool,
    cost: f64,
}

/// Places callouts one after the other in a band beside the view, each where its leader is
/// shortest and meets nothing. `None` where one finds no place.
pub(super) fn place(
    board: &mut Board<'_>,
    callouts: &[Callout],
    solid: &Solid,
    view: View,
    (lie, band): (Lie, Rect),
) -> Option<()> {
    for callout in callouts {
        let spot = best(board, callout, solid, view, (lie, band))?;
        draw(board, callout, &spot);
    }
    Some(())
}

fn best(board: &Board<'_>, callout: &Callout, solid: &Solid, view: View, (lie, band): (Lie, Rect)) -> Option<Spot> {
    let sign = if lie == Lie::Above { 1.0 } else { -1.0 };
    let obstacles = Obstacles::of(&board.items);
    let room = band.height() - callout.height;
    let mut spots: Vec<Spot> = Vec::new();
    for level in 0..8_u8 {
        let rise = f64::from(level) * 3.0;
        if rise > room + 1e-6 {
            break;
        }
        let low = if lie == Lie::Above { band.low.y + rise } else { band.high.y - rise - callout.height };
        for hole in solid.holes.iter().filter(|hole| hole.group == callout.group) {
            let centre = view.at(hole.x, hole.y);
            for (degree, bother) in [(60.0, 0.0), (45.0, 2.0), (70.0, 3.0), (35.0, 8.0)] {
                for rightwards in [true, false] {
                    let lean = if rightwards { degree } else { 180.0 - degree };
                    let way = Vector::toward(Angle::degree(lean * sign));
                    let tip = centre + way * hole.outer(view.scale);
                    let height = low + callout.height - FIGURE / 2.0;
                    let run = (height - tip.y) / way.y;
                    if run < 3.0 {
                        continue;
                    }
                    let elbow = tip + way * run;
                    let start = if rightwards {
                        elbow.x + SHOULDER + CLEAR
                    } else {
                        elbow.x - SHOULDER - CLEAR - callout.width
                    };
                    let text =
                        Rect::new(Point::new(start, low), Point::new(start + callout.width, low + callout.height));
                    let beside = (text.middle().x - view.origin.x).abs() * 0.05;
                    let cost = run + bother + beside + if rightwards { 0.0 } else { 1.0 };
                    spots.push(Spot { tip, elbow, text, rightwards, cost });
                }
            }
        }
    }
    spots.sort_by(|a, b| a.cost.total_cmp(&b.cost));
    let others: Vec<(Point, f64)> =
        solid.holes.iter().map(|hole| (view.at(hole.x, hole.y), hole.outer(view.scale))).collect();
    spots.into_iter().find(|spot| {
        let inside = spot.text.low.x >= band.low.x && spot.text.high.x <= band.high.x;
        let shoulder = spot.elbow + Vector::new(if spot.rightwards { SHOULDER } else { -SHOULDER }, 0.0);
        inside
            && !obstacles.touch(spot.text.grown(1.5))
            && !obstacles.crossed(spot.tip, spot.elbow)
            && !obstacles.crossed(spot.elbow, shoulder)
            && others.iter().all(|(centre, radius)| apart(*centre, spot.tip, spot.elbow) > radius - 1e-6)
    })
}

fn draw(board: &mut Board<'_>, callout: &Callout, spot: &Spot) {
    let shows = callout.lines.first().map(|(_, shows)| shows.clone());
    let out = if spot.rightwards { SHOULDER } else { -SHOULDER };
    let way = (spot.tip - spot.elbow) * (1.0 / spot.tip.distance(spot.elbow));
    board.thin(Role::Leader, spot.tip, spot.elbow, shows.as_ref());
    board.thin(Role::Leader, spot.elbow, spot.elbow + Vector::new(out, 0.0), shows.as_ref());
    board.arrow(spot.tip, way, shows.as_ref());
    for (index, (text, shows)) in callout.lines.iter().enumerate() {
        let y = spot.text.high.y - FIGURE - index as f64 * FIGURE * LEADING;
        let (x, anchor) =
            if spot.rightwards { (spot.text.low.x, Anchor::Start) } else { (spot.text.high.x, Anchor::End) };
        board.text(Point::new(x, y), anchor, FIGURE, text, Some(shows));
    }
}

/// Everything that a text must not touch and a leader must not cross.
#[derive(Debug, Default)]
pub(super) struct Obstacles {
    boxes: Vec<Rect>,
    /// Lines that a leader may cross.
    soft: Vec<(Point, Point)>,
    /// Lines that it may not.
    hard: Vec<(Point, Point)>,
}

impl Obstacles {
    pub(super) fn of(items: &[Item]) -> Self {
        let mut all = Self::default();
        for item in items {
            let lines = match item.role {
                Role::Dimension | Role::Leader | Role::Arrow | Role::Extension => &mut all.hard,
                Role::Outline
                | Role::Hidden
                | Role::Centre
                | Role::Hatch
                | Role::Frame
                | Role::Picture
                | Role::Text => &mut all.soft,
            };
            match &item.shape {
                Shape::Line(from, to) => lines.push((*from, *to)),
                Shape::Dashes(dashes) => {
                    if let (Some(first), Some(last)) = (dashes.first(), dashes.last()) {
                        lines.push((first.0, last.1));
                    }
                }
                Shape::Polyline { points, closed, filled: _ } => {
                    lines.extend(points.iter().copied().zip(points.iter().copied().skip(1)));
                    if let (true, Some(first), Some(last)) = (*closed, points.first(), points.last()) {
                        lines.push((*last, *first));
                    }
                }
                Shape::Circle { centre, radius } | Shape::Arc { centre, radius, start: _, sweep: _ } => {
                    let half = Vector::new(*radius, 0.0);
                    lines.push((*centre - half, *centre + half));
                    lines.push((*centre - half.left(), *centre + half.left()));
                }
                Shape::Text { ink, .. } => all.boxes.push(*ink),
            }
        }
        all
    }

    /// Whether anything lies in a box.
    pub(super) fn touch(&self, place: Rect) -> bool {
        self.boxes.iter().any(|other| other.overlaps(place))
            || self.soft.iter().chain(&self.hard).any(|line| passes(*line, place))
    }

    /// Whether a leader from here to there would cross a text or a line of a dimension.
    fn crossed(&self, from: Point, to: Point) -> bool {
        self.boxes.iter().any(|other| passes((from, to), other.grown(CLEAR)))
            || self.hard.iter().any(|line| cross(*line, (from, to)))
    }
}

/// Whether a line passes through the inside of a box.
pub(super) fn passes((from, to): (Point, Point), place: Rect) -> bool {
    let way = to - from;
    let (mut enter, mut leave) = (0.0_f64, 1.0_f64);
    for (start, step, low, high) in
        [(from.x, way.x, place.low.x, place.high.x), (from.y, way.y, place.low.y, place.high.y)]
    {
        if step.abs() < 1e-12 {
            if start <= low || start >= high {
                return false;
            }
        } else {
            let (a, b) = ((low - start) / step, (high - start) / step);
            enter = enter.max(a.min(b));
            leave = leave.min(a.max(b));
        }
    }
    enter < leave - 1e-12
}

/// Whether two lines cross within both.
pub(super) fn cross(a: (Point, Point), b: (Point, Point)) -> bool {
    let side = |line: (Point, Point), place: Point| (line.1 - line.0).cross(place - line.0);
    side(a, b.0) * side(a, b.1) < -1e-9 && side(b, a.0) * side(b, a.1) < -1e-9
}

/// How far a line stays from a place.
fn apart(place: Point, from: Point, to: Point) -> f64 {
    let way = to - from;
    let along = ((place - from).dot(way) / way.dot(way)).clamp(0.0, 1.0);
    place.distance(from + way * along)
}

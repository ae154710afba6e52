//! What is said of each group of holes, and the leader that says it.

use super::board::Board;
use super::clash::Obstacles;
use super::number::Numbers;
use super::sheet::{Anchor, Role, Shown};
use super::solid::{Hole, Solid};
use super::style::{CLEAR, FIGURE, LEADING, SHOULDER, times};
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
    /// To the right, past the end of the view.
    Beside,
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
        let height = FIGURE + times(lines.len().max(1) - 1) * FIGURE * LEADING;
        Self { group, lines, width, height }
    }
}

/// The lines of a callout, count first, then what, then how deep (ASME Y14.5 and Y14.6, ISO 6410;
/// from public drafting texts).
fn words(feature: &Feature, holes: &Holes, numbers: &Numbers<'_>) -> Vec<(String, Shown)> {
    let id = &feature.id;
    let count = holes.places.len();
    let number = if count == 1 { String::new() } else { format!("{count}X ") };
    let each = |what: &str| (1..=count).map(|number| format!("{id}.{number}.{what}")).collect::<Vec<_>>();
    let mut lines = Vec::new();
    match &holes.make {
        Make::Tapped { thread, hand, drill, .. } => {
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
            lines.push((format!("{number}{}-{class}{left} THRU", thread.designation), Shown { names, title }));
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
        Make::Plain { diameter } | Make::Reamed { diameter } => {
            let shows = Shown { names: vec![diameter.name.clone()], title: diameter.title.clone() };
            lines.push((format!("{number}⌀{} THRU", numbers.one_line(diameter)), shows));
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
    /// Whether the leader passes over no other hole.
    alone: bool,
    cost: f64,
}

/// How many places are tried before callouts are given up at this scale.
const PATIENCE: u32 = 120;

/// Places callouts in a band beside the view, each where its leader is shortest and meets nothing;
/// a later one that finds no place sends an earlier one to its next best. `None` where that does
/// not help.
pub(super) fn place(
    board: &mut Board<'_>,
    callouts: &[Callout],
    solid: &Solid,
    view: View,
    within: (Lie, Rect),
) -> Option<()> {
    let mut patience = PATIENCE;
    place_rest(board, callouts, (solid, view, within), &mut patience).then_some(())
}

fn place_rest(
    board: &mut Board<'_>,
    callouts: &[Callout],
    place: (&Solid, View, (Lie, Rect)),
    patience: &mut u32,
) -> bool {
    let Some((callout, rest)) = callouts.split_first() else { return true };
    let (solid, view, (lie, band)) = place;
    let before = board.items.len();
    let obstacles = Obstacles::of(&board.items);
    let spots = spots(callout, solid, view, (lie, band));
    // Where holes crowd each other, a leader may pass over a neighbour; it still ends on its own.
    for alone in [true, false] {
        for spot in spots.iter().filter(|spot| spot.alone == alone && spot.free(&obstacles, band)) {
            if *patience == 0 {
                return false;
            }
            *patience -= 1;
            draw(board, callout, spot);
            if place_rest(board, rest, place, patience) {
                return true;
            }
            board.items.truncate(before);
        }
    }
    false
}

/// All places of a callout, the best first, whether they are free or not.
fn spots(callout: &Callout, solid: &Solid, view: View, (lie, band): (Lie, Rect)) -> Vec<Spot> {
    let others: Vec<(Point, f64)> =
        solid.holes.iter().map(|hole| (view.at(hole.x, hole.y), hole.outer(view.scale))).collect();
    let mut spots: Vec<Spot> = Vec::new();
    let mut put = |tip: Point, elbow: Point, rightwards: bool, bother: f64| {
        let run = tip.distance(elbow);
        if run < 3.0 {
            return;
        }
        let start = if rightwards { elbow.x + SHOULDER + CLEAR } else { elbow.x - SHOULDER - CLEAR - callout.width };
        let high = elbow.y + FIGURE / 2.0;
        let text = Rect::new(Point::new(start, high - callout.height), Point::new(start + callout.width, high));
        let aside = (text.middle().x - view.origin.x).abs() * 0.05;
        let cost = run + bother + aside + if rightwards { 0.0 } else { 1.0 };
        let alone = others.iter().all(|(centre, radius)| apart(*centre, tip, elbow) > radius - 1e-6);
        spots.push(Spot { tip, elbow, text, rightwards, alone, cost });
    };
    let mine = || solid.holes.iter().filter(|hole| hole.group == callout.group);
    let toward = |hole: &Hole, degree: f64| {
        let way = Vector::toward(Angle::degree(degree));
        (view.at(hole.x, hole.y) + way * hole.outer(view.scale), way)
    };
    let sign = match lie {
        Lie::Above => 1.0,
        Lie::Below => -1.0,
        Lie::Beside => {
            for hole in mine() {
                for degree in [30.0, 45.0, 60.0, 20.0, -30.0, -45.0, -60.0] {
                    let (tip, way) = toward(hole, degree);
                    let elbow = tip + way * ((band.low.x - SHOULDER - tip.x) / way.x);
                    put(tip, elbow, true, if degree > 0.0 { 0.0 } else { 3.0 });
                }
            }
            spots.sort_by(|a, b| a.cost.total_cmp(&b.cost));
            return spots;
        }
    };
    for level in 0..8_u8 {
        let rise = f64::from(level) * 3.0;
        if rise > band.height() - callout.height + 1e-6 {
            break;
        }
        let low = if lie == Lie::Above { band.low.y + rise } else { band.high.y - rise - callout.height };
        let height = low + callout.height - FIGURE / 2.0;
        for hole in mine() {
            for (degree, bother) in [(60.0, 0.0), (45.0, 2.0), (70.0, 3.0), (35.0, 8.0)] {
                for rightwards in [true, false] {
                    let lean = if rightwards { degree } else { 180.0 - degree };
                    let (tip, way) = toward(hole, lean * sign);
                    let run = (height - tip.y) / way.y;
                    if run > 0.0 {
                        put(tip, tip + way * run, rightwards, bother);
                    }
                }
            }
        }
    }
    spots.sort_by(|a, b| a.cost.total_cmp(&b.cost));
    spots
}

impl Spot {
    fn free(&self, obstacles: &Obstacles, band: Rect) -> bool {
        let inside = self.text.low.x >= band.low.x - 1e-6
            && self.text.high.x <= band.high.x
            && self.text.low.y >= band.low.y - 1e-6
            && self.text.high.y <= band.high.y + 1e-6;
        let shoulder = self.elbow + Vector::new(if self.rightwards { SHOULDER } else { -SHOULDER }, 0.0);
        inside
            && !obstacles.touch(self.text.grown(1.5))
            && !obstacles.crossed(self.tip, self.elbow)
            && !obstacles.crossed(self.elbow, shoulder)
    }
}

fn draw(board: &mut Board<'_>, callout: &Callout, spot: &Spot) {
    let shows = callout.lines.first().map(|(_, shows)| shows.clone());
    let out = if spot.rightwards { SHOULDER } else { -SHOULDER };
    let way = (spot.tip - spot.elbow) * (1.0 / spot.tip.distance(spot.elbow));
    board.thin(Role::Leader, spot.tip, spot.elbow, shows.as_ref());
    board.thin(Role::Leader, spot.elbow, spot.elbow + Vector::new(out, 0.0), shows.as_ref());
    board.arrow(spot.tip, way, shows.as_ref());
    for (index, (text, shows)) in callout.lines.iter().enumerate() {
        let y = spot.text.high.y - FIGURE - times(index) * FIGURE * LEADING;
        let (x, anchor) =
            if spot.rightwards { (spot.text.low.x, Anchor::Start) } else { (spot.text.high.x, Anchor::End) };
        board.text(Point::new(x, y), anchor, FIGURE, text, Some(shows));
    }
}

/// How far a line stays from a place.
fn apart(place: Point, from: Point, to: Point) -> f64 {
    let way = to - from;
    let along = ((place - from).dot(way) / way.dot(way)).clamp(0.0, 1.0);
    place.distance(from + way * along)
}

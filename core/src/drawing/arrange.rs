//! Views, dimensions and callouts on the free part of a sheet, at the largest scale that fits.
//!
//! The ladder, from the best to what always ends: coordinates and callouts at the views; where
//! they are too many, or would leave the part small, a hole table beside the views; where that
//! takes too much of the sheet, the table on sheets of its own.

use std::cell::LazyCell;
use std::sync::Arc;

use super::Convention;
use super::balance;
use super::board::Board;
use super::breaks;
use super::clash;
use super::coordinates::{self, Middles};
use super::detail;
use super::layout::{self, Around, Called, Coordinates, Places, Plan, Scales, Widths};
use super::leader::{self, Lie};
use super::number::Numbers;
use super::ordinate::Edge;
use super::pictorial;
use super::sheet::{Anchor, Item, Shown};
use super::solid::Solid;
use super::style::{ARROW, CLEAR, FIGURE, PAST, times};
use super::table::Table;
use super::twins::Twins;
use super::views;
use crate::geom::{Point, Rect, Vector};
use crate::part::{Face, Part};
use crate::quantity::trimmed;

/// What is to be drawn, and where.
#[derive(Clone, Copy, Debug)]
pub(super) struct Job<'j> {
    pub(super) part: &'j Part,
    pub(super) solid: &'j Solid,
    pub(super) numbers: &'j Numbers<'j>,
    pub(super) convention: Convention,
    /// The free part of the sheet.
    pub(super) zone: Rect,
    /// Whether a table tells the places and sizes of holes.
    pub(super) tabled: bool,
    /// What is alike in both ends, of which one is shown.
    pub(super) twins: &'j Twins,
}

/// A drawing that found its place.
#[derive(Debug)]
pub(super) struct Drawn {
    pub(super) scale: f64,
    /// The table that stands on sheets of its own.
    pub(super) overflow: Option<Table>,
}

/// A longest side on paper that is too small to be worked by (our own bound).
const STAMP: f64 = 40.0;

/// More holes than this in a table leave no dashes in the front view, where they would say nothing.
const THICKET: usize = 12;

/// The letters of a section and of a detail, or of a detail alone: other ones where letters stand for
/// sizes.
fn names(job: &Job<'_>) -> [char; 2] {
    if job.numbers.letters.is_empty() { ['A', 'B'] } else { ['S', 'Z'] }
}

/// A smallest drawn hole that is still told apart at arm's length.
const LEGIBLE: f64 = 3.0;

/// Draws everything but frame and tables; `None` where no scale fits, or none that is of use where
/// larger paper may be taken: `lenient` where there is none.
pub(super) fn draw(board: &mut Board<'_>, job: &Job<'_>, lenient: bool) -> Option<Drawn> {
    // What would be no larger than a stamp is left to larger paper.
    let stamp = |scale: f64| scale < 1.0 && job.solid.length.max(job.solid.width) * scale < STAMP;
    let wants = wants_table(job);
    let letters = board.letters;
    let ways = LazyCell::new(move || Ways::of(job, &Board::new(letters)));
    let found = if wants { None } else { best(board, job, &ways, None) };
    let than = found.as_ref().map_or(0.0, |(scale, _)| *scale);
    let broken = if wants { None } else { interrupted(board, job, &ways, than) };
    if let Some((scale, items)) = broken {
        board.items.extend(items);
        return Some(Drawn { scale, overflow: None });
    }
    let (direct, tiny) =
        if found.as_ref().is_some_and(|(scale, _)| stamp(*scale)) { (None, found) } else { (found, None) };
    let smallest = job.solid.holes.iter().map(|hole| hole.radius * 2.0).fold(f64::INFINITY, f64::min);
    let small = |scale: f64| scale < 1.0 && smallest * scale < LEGIBLE;
    // Beside figures that found room, a table is of use only where it leaves the views larger.
    let larger = |scale: f64| scales(job.convention).iter().any(|other| *other > scale && quick(job, *other));
    let tabled = match &direct {
        Some((scale, _)) if !small(*scale) || !larger(*scale) => None,
        _ if job.solid.holes.is_empty() => None,
        _ => with_table(board, job, false).filter(|(scale, ..)| !stamp(*scale)),
    };
    let chosen = match (direct, tabled) {
        (Some(direct), Some(tabled)) => {
            if tabled.0 > direct.0 {
                Some(tabled)
            } else {
                Some((direct.0, direct.1, None))
            }
        }
        (Some(direct), None) => Some((direct.0, direct.1, None)),
        (None, Some(tabled)) => Some(tabled),
        // A table was wanted and finds no room: figures at the view may.
        (None, None) => (if wants { best(board, job, &ways, None) } else { tiny })
            .filter(|(scale, _)| lenient || !stamp(*scale))
            .map(|(scale, items)| (scale, items, None)),
    };
    // At the very last, holes that stand too close for tags go without.
    let last = || if lenient && !job.solid.holes.is_empty() { with_table(board, job, true) } else { None };
    let (scale, items, overflow) = chosen.or_else(last)?;
    board.items.extend(items);
    Some(Drawn { scale, overflow })
}

/// Whether places are so scattered, or of so many kinds, that figures at the view would be a
/// thicket (our own bounds).
fn wants_table(job: &Job<'_>) -> bool {
    [Face::Top, Face::Bottom, Face::Left, Face::Right].into_iter().any(|face| {
        let holes = job.solid.holes_of(face).count();
        let slots = job.solid.slots_of(face).map(|slot| slot.group);
        let mut groups: Vec<usize> = job.solid.holes_of(face).map(|hole| hole.group).chain(slots).collect();
        groups.dedup();
        let (columns, rows) = job.solid.lines(face);
        let lines = columns.len() + rows.len();
        (holes > 8 && times(lines) > times(holes) * 1.2 + 2.0) || groups.len() > 5
    })
}

type Tabled = (f64, Vec<Item>, Option<Table>);

/// With the table at the upper right; on sheets of its own where it would take more than half of
/// the width, or where the views would then be smaller than half.
fn with_table(board: &Board<'_>, job: &Job<'_>, partial: bool) -> Option<Tabled> {
    // Each hole has a row and a tag of its own.
    let alone = Twins::default();
    let own = Job { twins: &alone, ..*job };
    let mut table = Table::tags(&own, partial);
    // Its hundreds of rows are worked out only where the holes can be tagged.
    let largest = scales(job.convention).iter().copied().find(|scale| quick(job, *scale))?;
    if !taggable(board, job, &table, largest) {
        return None;
    }
    table.fill(&own, board.letters);
    let ways = Ways::of(&Job { tabled: true, ..own }, board);
    let beside = table.width(job.zone.height()).filter(|width| *width <= job.zone.width() * 0.5).and_then(|width| {
        let high = Point::new(job.zone.high.x - width - 6.0, job.zone.high.y);
        let narrow = Job { zone: Rect { low: job.zone.low, high }, tabled: true, twins: &alone, ..*job };
        let (scale, mut items) = best(board, &narrow, &ways, Some(&table))?;
        let mut own = Board::new(board.letters);
        table.draw(&mut own, job.zone, 0);
        items.extend(own.items);
        Some((scale, items))
    });
    if let Some((scale, items)) = beside {
        return Some((scale, items, None));
    }
    let (scale, items) = best(board, &Job { tabled: true, twins: &alone, ..*job }, &ways, Some(&table))?;
    Some((scale, items, Some(table)))
}

/// Whether the bare views are smaller than the sheet.
fn quick(job: &Job<'_>, scale: f64) -> bool {
    let solid = job.solid;
    solid.length * scale < job.zone.width() && (solid.width + solid.height) * scale < job.zone.height()
}

/// The plans of a part, each with the words that stand at its views: the same at every scale.
struct Ways {
    plans: Vec<Plan>,
    called: Vec<Called>,
}

impl Ways {
    fn of(job: &Job<'_>, board: &Board<'_>) -> Self {
        let plans = Plan::all(job);
        let called = plans.iter().map(|plan| Called::of(job, plan, board)).collect();
        Self { plans, called }
    }
}

/// Scale and items of the largest that fits.
fn best(board: &Board<'_>, job: &Job<'_>, ways: &Ways, table: Option<&Table>) -> Option<(f64, Vec<Item>)> {
    let scales = scales(job.convention);
    for scale in scales.iter().copied().filter(|scale| quick(job, *scale)) {
        // What finds no room for its tags at one scale finds none at a smaller.
        if table.is_some_and(|table| !taggable(board, job, table, scale)) {
            return None;
        }
        if let Some(items) = at_plans(board, job, ways, scale, table) {
            return Some((scale, items));
        }
    }
    None
}

/// A smallest side on paper of a bar that is worth having a piece left out for (our own bound).
const THIN: f64 = 10.0;

/// With pieces of a long bar left out, at a scale larger than `than`.
fn interrupted(board: &Board<'_>, job: &Job<'_>, ways: &Ways, than: f64) -> Option<(f64, Vec<Item>)> {
    let solid = job.solid;
    let (low, wide) = (solid.height.min(solid.width), solid.height.max(solid.width));
    if low * than >= THIN || solid.length < 8.0 * low {
        return None;
    }
    let larger = scales(job.convention).iter().copied().filter(|scale| *scale > than && wide * scale <= 40.0);
    for scale in larger {
        for share in [0.66, 0.55, 0.44] {
            let most = job.zone.width() * share / scale;
            let Some(short) = breaks::shorten(solid, scale, most) else { continue };
            let job = Job { solid: &short, ..*job };
            if let Some(items) = at_plans(board, &job, ways, scale, None) {
                return Some((scale, items));
            }
        }
    }
    None
}

fn at_plans(board: &Board<'_>, job: &Job<'_>, ways: &Ways, scale: f64, table: Option<&Table>) -> Option<Vec<Item>> {
    let (scales, solid) = (scales(job.convention), job.solid);
    for (plan, called) in ways.plans.iter().zip(&ways.called) {
        // A long bar leaves its section too small to read; it may then have a larger scale, which is
        // written beside it.
        let larger = scales.iter().copied().filter(|end| {
            plan.rails.is_some()
                && solid.height * scale < 14.0
                && *end > scale
                && solid.height * end <= 32.0
                && solid.width * end <= 60.0
        });
        for end in larger.chain([scale]) {
            let scales = Scales { main: scale, end };
            if let Some(items) = at_scale(board, job, (plan, called), scales, table) {
                return Some(items);
            }
        }
    }
    None
}

/// Whether tags find room at the holes, whatever stands around the views.
fn taggable(board: &Board<'_>, job: &Job<'_>, table: &Table, scale: f64) -> bool {
    let mut trial = Board::new(board.letters);
    let view = views::View { origin: job.zone.middle(), scale };
    views::face(&mut trial, job.solid, view, (Face::Top, job.convention), None);
    table.partial || table.fits(&trial, job.solid, Face::Top, view)
}

fn at_scale(
    board: &Board<'_>,
    job: &Job<'_>,
    (plan, called): (&Plan, &Called),
    scales: Scales,
    table: Option<&Table>,
) -> Option<Vec<Item>> {
    // A part without tongue has few figures, and no need to try where they go.
    let choices = if job.part.tongues().next().is_some() { &Choice::ALL[..] } else { &Choice::ALL[..5] };
    let coordinates = Arc::new(Coordinates::of(job, plan, scales.main, board)?);
    // What stands around the views is worked out only as far as it is asked for.
    let around =
        |choice: &Choice, beside: bool| layout::around(job, plan, scales, (*choice, beside), &coordinates, board);
    let mut usual: Vec<Option<Option<Around>>> = choices.iter().map(|_| None).collect();
    let mut best: Option<(Vec<Item>, f64)> = None;
    for spread in Spread::ALL {
        let beside = spread == Spread::Beside;
        if beside && called.top.is_empty() {
            continue;
        }
        let Some(taken) = called.taken(spread == Spread::Stack, beside) else { continue };
        for (choice, usual) in choices.iter().zip(&mut usual) {
            let own;
            let around = if beside && plan.rails.is_none() {
                own = around(choice, true);
                own.as_ref()
            } else {
                usual.get_or_insert_with(|| around(choice, false)).as_ref()
            };
            let Some(around) = around else { continue };
            let Some(places) = layout::places(job, plan, around, scales, &taken) else { continue };
            let Some(found) = attempt(board, job, (plan, called, around), (&places, scales), (spread, table)) else {
                continue;
            };
            // What has nothing against it is taken; else another spread may be easier to read.
            if found.1 <= 0.0 {
                return Some(found.0);
            }
            if best.as_ref().is_none_or(|(_, excess)| found.1 < *excess) {
                best = Some(found);
            }
            break;
        }
    }
    best.map(|(items, _)| items)
}

/// Where callouts stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Spread {
    /// Between front and top view, side by side.
    Row,
    /// There too, one over the other.
    Stack,
    /// Past the right end of the top view, where height is short.
    Beside,
}

impl Spread {
    const ALL: [Self; 3] = [Self::Row, Self::Stack, Self::Beside];
}

/// Where figures go that find no room between their arrows.
#[derive(Clone, Copy, Debug)]
pub(super) struct Choice {
    /// Figures across go left, not right.
    pub(super) left: bool,
    /// Figures upwards go down, not up.
    pub(super) down: bool,
    /// Where the whole height stands.
    pub(super) heights: Heights,
    /// Heights stand beyond the figures of widths, not as near as they can.
    pub(super) far: bool,
}

/// Where the whole height stands at the end view.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Heights {
    /// At the right, with the other heights.
    Together,
    /// Alone at the left.
    Apart,
}

impl Choice {
    /// All that are tried, the best looking first; the last always finds room beside the view.
    const ALL: [Self; 8] = [
        Self { left: true, down: false, heights: Heights::Together, far: false },
        Self { left: false, down: false, heights: Heights::Together, far: false },
        Self { left: true, down: true, heights: Heights::Together, far: false },
        Self { left: true, down: true, heights: Heights::Apart, far: false },
        Self { left: true, down: false, heights: Heights::Apart, far: false },
        Self { left: true, down: false, heights: Heights::Together, far: true },
        Self { left: true, down: true, heights: Heights::Apart, far: true },
        Self { left: true, down: false, heights: Heights::Apart, far: true },
    ];
}

/// Scales of ISO 5455, largest first; inch sheets have 4:1 and 1:4 too (ASME Y14.1, from memory).
const fn scales(convention: Convention) -> &'static [f64] {
    match convention {
        Convention::Iso => &[50.0, 20.0, 10.0, 5.0, 2.0, 1.0, 0.5, 0.2, 0.1, 0.05, 0.02, 0.01],
        Convention::Asme => &[50.0, 20.0, 10.0, 5.0, 4.0, 2.0, 1.0, 0.5, 0.25, 0.2, 0.1, 0.05, 0.02, 0.01],
    }
}

/// A scale as the title block says it.
pub(super) fn scale_text(scale: f64) -> String {
    if scale >= 1.0 { format!("{}:1", trimmed(scale, 0)) } else { format!("1:{}", trimmed(1.0 / scale, 0)) }
}

/// Draws all of it; out comes how much hinders a reader too.
fn attempt(
    board: &Board<'_>,
    job: &Job<'_>,
    (plan, called, around): (&Plan, &Called, &Around),
    (places, scales): (&Places, Scales),
    (spread, table): (Spread, Option<&Table>),
) -> Option<(Vec<Item>, f64)> {
    let mut trial = Board::new(board.letters);
    let solid = job.solid;
    let faces = draw_views(&mut trial, job, plan, places);
    draw_around(&mut trial, job, (plan, around), places, scales);
    let mut floor = places.floor;
    if let (Some(end), true) = (plan.rails.and_then(|side| places.ends[side]), scales.end > scales.main) {
        let words = format!("SCALE {}", scale_text(scales.end));
        let at = Point::new(end.origin.x, floor - 3.0 - FIGURE);
        trial.text(at, Anchor::Middle, FIGURE, &words, None);
        floor = at.y;
    }
    if plan.cut.is_some() {
        views::section_title(&mut trial, places.title, names(job)[0]);
    }
    if clash::clash(&trial.items) {
        return None;
    }
    if let Some(table) = table {
        for (face, view) in &faces {
            table.tag(&mut trial, solid, *face, *view)?;
        }
    }
    let long = solid.length * scales.main / 2.0;
    let right = places.top.origin.x + long + PAST;
    let [band, low_band] = places.bands;
    let (lie, band) = match (spread, job.convention) {
        (Spread::Beside, _) => {
            (Lie::Beside, Rect { low: Point::new(right + 5.0, job.zone.low.y), high: job.zone.high })
        }
        (_, Convention::Iso) => (Lie::Above, band),
        (_, Convention::Asme) => (Lie::Below, band),
    };
    let other = if job.convention == Convention::Iso { Lie::Below } else { Lie::Above };
    let mut excess = leader::place(&mut trial, &called.top, solid, (Face::Top, places.top), (lie, band))?;
    if let Some(view) = places.bottom {
        excess += leader::place(&mut trial, &called.bottom, solid, (Face::Bottom, view), (other, low_band))?;
    }
    for side in 0..2 {
        if let (Some(view), Some(face)) = (places.ends[side], plan.sides[side]) {
            let middle = views::View { origin: view.at(0.0, -solid.height / 2.0), ..view };
            let band = places.end_bands[side];
            excess += leader::place(&mut trial, &called.ends[side], solid, (face, middle), (Lie::Above, band))?;
        }
    }
    // All goes to the left, so that the room for detail and picture is in one piece; then the whole
    // to the middle.
    let off = balance::to_the_left(&mut trial.items, job.zone);
    let right = right + off.x;
    if !job.tabled {
        let letter = names(job)[usize::from(plan.cut.is_some())];
        let view = views::View { origin: places.top.origin + off, ..places.top };
        let of = detail::Of { solid, view, convention: job.convention, letter, legible: LEGIBLE };
        balance::room(&trial.items, job.zone, (right, floor))
            .map(|room| detail::draw(&mut trial, of, room, self::scales(job.convention)));
    }
    if let Some(room) = balance::room(&trial.items, job.zone, (right, floor)) {
        if solid.gaps.is_empty() {
            pictorial::draw(&mut trial, solid, room);
        } else {
            pictorial::draw(&mut trial, &Solid::of(job.part), room);
        }
    }
    balance::to_the_middle(&mut trial.items, job.zone);
    Some((trial.items, excess))
}

/// Draws the views; out come the round ones with their faces, each with its origin in the middle.
fn draw_views(trial: &mut Board<'_>, job: &Job<'_>, plan: &Plan, places: &Places) -> Vec<(Face, views::View)> {
    let solid = job.solid;
    let mut faces = vec![(Face::Top, places.top)];
    let middles = |face| Middles::of(job, face);
    let start = trial.items.len();
    views::front(trial, solid, places.front, plan.cut, job.tabled && solid.holes.len() > THICKET);
    let front = places.front;
    breaks::interrupt(trial, start, solid, front, (front.at(0.0, -solid.height).y, front.origin.y));
    let start = trial.items.len();
    views::face(trial, solid, places.top, (Face::Top, job.convention), middles(Face::Top).level.as_ref());
    let rows = |view: views::View| (view.at(0.0, -solid.width / 2.0).y, view.at(0.0, solid.width / 2.0).y);
    breaks::interrupt(trial, start, solid, places.top, rows(places.top));
    if let Some(y) = plan.cut {
        views::plane(trial, solid, places.top, (y, [places.plane, 0.0]), names(job)[0]);
    }
    if let Some(view) = places.bottom {
        let start = trial.items.len();
        views::face(trial, solid, view, (Face::Bottom, job.convention), middles(Face::Bottom).level.as_ref());
        breaks::interrupt(trial, start, solid, view, rows(view));
        faces.push((Face::Bottom, view));
    }
    let mut tongue = tongue_middle(job.part);
    // The end that carries the dimensions says it, or else the first that is shown.
    for side in [plan.rails.unwrap_or(1), plan.rails.map_or(0, |side| 1 - side)] {
        let (Some(view), Some(face)) = (places.ends[side], plan.sides[side]) else { continue };
        let middles = middles(face);
        let mut upright = middles.upright;
        if let Some(tongue) = tongue.take() {
            upright = Some(match upright {
                Some(both) => {
                    let names = both.names.iter().chain(&tongue.names).cloned().collect();
                    Arc::new(Shown { names, title: both.title.clone() })
                }
                None => tongue,
            });
        }
        views::end(trial, solid, view, (face, job.convention), (upright.as_ref(), middles.level.as_ref()));
        if solid.has(face) {
            faces.push((face, views::View { origin: view.at(0.0, -solid.height / 2.0), ..view }));
        }
    }
    if job.tabled {
        for face in faces.iter().filter(|(face, _)| solid.slots_of(*face).next().is_none()) {
            axes(trial, job, *face);
        }
    }
    faces
}

/// The directions of a table's X and Y, at the ends of the middle lines.
fn axes(trial: &mut Board<'_>, job: &Job<'_>, (face, view): (Face, views::View)) {
    let (wide, high) = job.solid.extent(face);
    let (wide, high) = (wide * view.scale / 2.0, high * view.scale / 2.0);
    let (right, up) = (Vector::new(1.0, 0.0), Vector::new(0.0, 1.0));
    let half = FIGURE / 2.0;
    let left = view.origin - right * (wide + PAST + CLEAR);
    trial.arrow(left, right, None);
    trial.text(left - right * (ARROW + CLEAR) - up * half, Anchor::End, FIGURE, "X", None);
    let above = coordinates::edge(job.convention, face) == Edge::Above;
    let (tip, base) = if above {
        let tip = view.origin + up * (high + PAST + CLEAR + ARROW);
        (tip, tip + up * CLEAR)
    } else {
        let tip = view.origin - up * (high + PAST + CLEAR);
        (tip, tip - up * (ARROW + CLEAR + FIGURE))
    };
    trial.arrow(tip, up, None);
    trial.text(base, Anchor::Middle, FIGURE, "Y", None);
}

fn draw_around(
    trial: &mut Board<'_>,
    job: &Job<'_>,
    (plan, around): (&Plan, &Around),
    places: &Places,
    scales: Scales,
) {
    let solid = job.solid;
    let (scale, front, top) = (scales.main, places.front, places.top);
    let (long, wide, deep) = (solid.length * scale / 2.0, solid.width * scale / 2.0, solid.height * scale);
    match job.convention {
        Convention::Iso => around.length.draw(trial, front.origin, 0.0),
        Convention::Asme => around.length.draw(trial, front.origin, deep),
    }
    let [left, right] = &around.heights;
    match (&around.widths, plan.rails.and_then(|side| places.ends[side])) {
        (Widths::End { above, below }, Some(end)) => {
            let half = solid.width * scales.end / 2.0;
            above.draw(trial, end.origin, 0.0);
            below.draw(trial, end.origin, solid.height * scales.end);
            left.draw(trial, end.origin, half);
            right.draw(trial, end.origin, half);
        }
        (Widths::Top(rails), _) => {
            for rail in rails {
                rail.draw(trial, top.origin, long);
            }
            left.draw(trial, front.origin, long);
            right.draw(trial, front.origin, long);
        }
        (Widths::End { .. }, None) => {}
    }
    around.coordinates.top.0.draw(trial, top.origin, wide);
    around.coordinates.top.1.draw(trial, top.origin, long);
    if let (Some(view), Some((along, across))) = (places.bottom, &around.coordinates.bottom) {
        along.draw(trial, view.origin, wide);
        across.draw(trial, view.origin, long);
    }
    for side in 0..2 {
        if let (Some(view), Some((along, across))) = (places.ends[side], &around.coordinates.sides[side]) {
            let middle = view.at(0.0, -solid.height / 2.0);
            along.draw(trial, middle, solid.height * view.scale / 2.0);
            across.draw(trial, middle, solid.width * view.scale / 2.0);
        }
    }
}

/// What the middle line of an end view shows: tongues on the middle.
fn tongue_middle(part: &Part) -> Option<Arc<Shown>> {
    let names: Vec<String> = part.tongues().map(|(feature, _)| format!("{}.offset", feature.id)).collect();
    (!names.is_empty()).then(|| Arc::new(Shown { names, title: "Tongue on the middle of the width".to_owned() }))
}

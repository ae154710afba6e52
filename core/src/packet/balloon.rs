//! The drawing with a numbered balloon beside every size that the inspection sheet asks for.

use std::sync::Arc;

use super::desk::BODY;
use crate::drawing::board::Board;
use crate::drawing::lettering::Lettering;
use crate::drawing::{Anchor, Item, Pen, Role, Shape, Sheet, Shown, taken};
use crate::geom::{Point, Rect, Vector};
use crate::part::{Characteristic, Measure, Part, asked_for, inspected};
use crate::quantity::Angle;

/// What the page is called.
pub(super) const TITLE: &str = "Drawing with the numbers of the inspection sheet";

/// Radius of a balloon: three figures fit.
const RADIUS: f64 = 3.4;
/// White around it.
const WHITE: f64 = 0.7;
/// The farthest that a balloon stands from its size.
const FAR: f64 = 60.0;
/// What a line that a leader crosses weighs against its way, and how many places are weighed.
const ACROSS: f64 = 6.0;
const MANY: usize = 80;
/// Extent of the title block, which takes no balloons.
const BLOCK: (f64, f64) = (180.0, 44.0);

/// The characteristics by the numbers of their balloons.
#[derive(Debug, Default)]
pub(super) struct Numbered {
    /// A balloon: its number, what the drawing shows there, and on which of its sheets.
    pub(super) balloons: Vec<(u32, Arc<Shown>, usize)>,
    /// Rows of the inspection sheet in the order of the numbers: `9.2` is the second of those that
    /// balloon 9 stands for.
    pub(super) rows: Vec<(String, Characteristic)>,
}

/// Numbers the characteristics of a part by what its drawing shows: one number for each place of
/// the drawing, whatever it stands for.
pub(super) fn numbered(list: &[Characteristic], sheets: &[&Sheet]) -> Numbered {
    let shown: Vec<(&Item, &Arc<Shown>, usize)> = sheets
        .iter()
        .enumerate()
        .flat_map(|(at, sheet)| {
            sheet.items.iter().filter_map(move |item| item.shows.as_ref().map(|shows| (item, shows, at)))
        })
        .collect();
    let is_text = |item: &Item| matches!(item.shape, Shape::Text { .. });
    let mut balloons: Vec<(u32, Arc<Shown>, usize)> = Vec::new();
    let mut groups: Vec<(u32, Vec<&Characteristic>)> = Vec::new();
    for characteristic in list {
        // The chamfers of a group stand there once.
        let chamfer = match &characteristic.measure {
            Measure::ChamferDiameter(feature, _) => Some(format!("{feature}.chamfer")),
            _ => None,
        };
        let name = chamfer.as_ref().unwrap_or(&characteristic.size.name);
        let names = |shows: &Arc<Shown>| shows.names.contains(name);
        let at = shown.iter().find(|(item, shows, _)| is_text(item) && names(shows));
        let at = at.or_else(|| shown.iter().find(|(_, shows, _)| names(shows)));
        let known = at.and_then(|(_, shows, _)| balloons.iter().find(|(_, known, _)| known.names == shows.names));
        let number = known.map_or_else(
            || u32::try_from(groups.len()).unwrap_or(u32::MAX).saturating_add(1),
            |(number, _, _)| *number,
        );
        if let (None, Some((_, shows, sheet))) = (known, at) {
            balloons.push((number, Arc::clone(shows), *sheet));
        }
        match groups.iter_mut().find(|(known, _)| *known == number) {
            Some((_, group)) => group.push(characteristic),
            None => groups.push((number, vec![characteristic])),
        }
    }
    let rows = groups.into_iter().flat_map(|(number, group)| {
        let group = by_kind(group);
        let alone = group.len() == 1;
        group.into_iter().enumerate().map(move |(at, characteristic)| {
            let name = if alone { number.to_string() } else { format!("{number}.{}", at + 1) };
            (name, characteristic.clone())
        })
    });
    Numbered { rows: rows.collect(), balloons }
}

/// The numbers of the rows of a part's inspection sheet, each with what is measured there. What a thread
/// stands for has the number of its pitch diameter, of which the sheet has a row.
pub(super) fn numbers(part: &Part, sheets: &[&Sheet]) -> Vec<(String, Measure)> {
    let rows = numbered(&asked_for(part), sheets).rows;
    let mut list: Vec<(String, Measure)> = rows.into_iter().map(|(number, one)| (number, one.measure)).collect();
    for one in inspected(part) {
        let (Measure::MajorDiameter(feature, number)
        | Measure::Lead(feature, number)
        | Measure::ThreadDepth(feature, number)) = &one.measure
        else {
            continue;
        };
        let pitch = Measure::PitchDiameter(feature.clone(), *number);
        let known = list.iter().any(|(_, known)| *known == one.measure);
        let number = list.iter().find(|(_, known)| *known == pitch).map(|(number, _)| number.clone());
        list.extend(number.filter(|_| !known).map(|number| (number, one.measure)));
    }
    list
}

/// All of one kind, then the next: a gauge is taken into the hand once.
fn by_kind(group: Vec<&Characteristic>) -> Vec<&Characteristic> {
    let mut kinds: Vec<Vec<&Characteristic>> = Vec::new();
    for characteristic in group {
        match kinds.iter_mut().find(|kind| kind.first().is_some_and(|one| alike(one, characteristic))) {
            Some(kind) => kind.push(characteristic),
            None => kinds.push(vec![characteristic]),
        }
    }
    kinds.concat()
}

/// Whether the same is measured in both.
fn alike(one: &Characteristic, other: &Characteristic) -> bool {
    let axis = |measure: &Measure| match measure {
        Measure::Extent(axis) | Measure::HolePlace(_, _, axis) | Measure::SlotPlace(_, axis) => Some(*axis),
        _ => None,
    };
    let (one, other) = (&one.measure, &other.measure);
    std::mem::discriminant(one) == std::mem::discriminant(other) && axis(one) == axis(other)
}

/// A copy of a sheet of the drawing with its balloons.
pub(super) fn draw((sheet, at): (&Sheet, usize), numbered: &Numbered, letters: &Lettering) -> Sheet {
    let mut sheet = Sheet { following: Vec::new(), ..sheet.clone() };
    let lies = taken(&sheet.items);
    let texts: Vec<Rect> = sheet
        .items
        .iter()
        .filter_map(|item| match &item.shape {
            Shape::Text { ink, .. } => Some(*ink),
            _ => None,
        })
        .collect();
    let corner = Point::new(sheet.frame.high.x, sheet.frame.low.y);
    let inside = sheet.frame.grown(-WHITE);
    // The strip beside the check bar bears the page's number.
    let head = Rect::new(Point::new(inside.low.x, sheet.frame.high.y - 8.0), inside.high);
    let mut closed = vec![Rect::new(corner, corner + Vector::new(-BLOCK.0, BLOCK.1)), head];
    let mut board = Board::new(letters);
    let mut leaders: Vec<(Point, Point)> = Vec::new();
    for (number, shows, _) in numbered.balloons.iter().filter(|(_, _, sheet)| *sheet == at) {
        let Some(target) = target(&sheet.items, shows) else { continue };
        let free = |centre: Point, reach: f64| {
            let place = Rect::new(centre, centre).grown(RADIUS + reach);
            inside.holds(place.low)
                && inside.holds(place.high)
                && !lies(place)
                && !closed.iter().any(|other| other.overlaps(place))
                && !leaders.iter().any(|leader| near(*leader, centre) < RADIUS + WHITE)
        };
        // What a leader would run through: its own size is where it ends.
        let others: Vec<Rect> =
            texts.iter().filter(|ink| !target.overlaps(**ink)).map(|ink| ink.grown(WHITE)).collect();
        let clear = |centre: Point| {
            let leader = leader(centre, target);
            !along(leader).any(|at| others.iter().chain(&closed).any(|other| other.holds(at)))
                && !leaders.iter().any(|other| cross(leader, *other))
        };
        let struck = |centre: Point| along(leader(centre, target)).filter(|at| lies(Rect::new(*at, *at).grown(0.15)));
        // A line across weighs as much as so many millimetres of way.
        let weight = |centre: Point| {
            let (from, to) = leader(centre, target);
            struck(centre).fold(0.0, |sum, _| sum + ACROSS) + from.distance(to)
        };
        let around: Vec<Point> = ring(target).filter(|centre| free(*centre, WHITE)).collect();
        let place = around
            .iter()
            .find(|centre| clear(**centre) && struck(**centre).next().is_none())
            // Rather across a line than through a figure or another balloon, and rather through one than
            // not at all.
            .or_else(|| {
                let near = around.iter().filter(|centre| clear(**centre)).take(MANY);
                near.min_by(|one, other| weight(**one).total_cmp(&weight(**other)))
            })
            .or_else(|| around.first());
        let Some(centre) = place.copied() else { continue };
        let (from, to) = leader(centre, target);
        if from.distance(to) > 1.5 {
            leaders.push((from, to));
            board.put(Shape::Line(from, to), Role::Picture, Pen::Thin, Some(shows));
        }
        board.put(Shape::Circle { centre, radius: RADIUS }, Role::Picture, Pen::Outline, Some(shows));
        let at = Point::new(centre.x, centre.y - BODY / 2.0);
        board.text(at, Anchor::Middle, BODY, &number.to_string(), Some(shows));
        closed.push(Rect::new(centre, centre).grown(RADIUS + WHITE));
    }
    sheet.items.append(&mut board.items);
    sheet.items.sort_by_key(|item| (item.role, item.pen));
    sheet
}

/// Places along a leader, short of its end.
fn along((from, to): (Point, Point)) -> impl Iterator<Item = Point> {
    let steps = (from.distance(to) / 0.4).ceil();
    let places = (0..=600).map(f64::from).take_while(move |step| *step < steps - 1.0);
    places.map(move |step| from + (to - from) * (step / steps.max(1.0)))
}

/// How near a line comes to a place.
fn near((from, to): (Point, Point), at: Point) -> f64 {
    let way = to - from;
    let square = way.x * way.x + way.y * way.y;
    let share = if square > 0.0 { ((at.x - from.x) * way.x + (at.y - from.y) * way.y) / square } else { 0.0 };
    (from + way * share.clamp(0.0, 1.0)).distance(at)
}

/// Whether two lines cross.
fn cross(one: (Point, Point), other: (Point, Point)) -> bool {
    let side =
        |(from, to): (Point, Point), at: Point| (to.x - from.x) * (at.y - from.y) - (to.y - from.y) * (at.x - from.x);
    side(one, other.0) * side(one, other.1) < 0.0 && side(other, one.0) * side(other, one.1) < 0.0
}

/// The box that a balloon points at: the text that shows its size or, where no text does, the end
/// of the line.
fn target(items: &[Item], shows: &Arc<Shown>) -> Option<Rect> {
    let mine = || items.iter().filter(|item| item.shows.as_ref().is_some_and(|other| other.names == shows.names));
    let texts = mine().filter_map(|item| match &item.shape {
        Shape::Text { ink, .. } => Some(*ink),
        _ => None,
    });
    let spot = |at: Point| Rect::new(at, at).grown(0.2);
    // A text in pieces is one box; one that stands in two places is the first of them.
    texts.reduce(|all, next| if all.grown(4.0).overlaps(next) { all.with(next) } else { all }).or_else(|| {
        mine().find_map(|item| match &item.shape {
            Shape::Line(_, to) => Some(spot(*to)),
            Shape::Dashes(dashes) => dashes.last().map(|(_, to)| spot(*to)),
            Shape::Circle { centre, radius } | Shape::Arc { centre, radius, .. } => {
                Some(spot(*centre + Vector::new(*radius, 0.0)))
            }
            Shape::Polyline { points, .. } => points.first().map(|at| spot(*at)),
            Shape::Text { ink, .. } => Some(*ink),
        })
    })
}

/// Places for a balloon around a box, the nearest first.
fn ring(target: Rect) -> impl Iterator<Item = Point> {
    let steps = (0..).map(|step| f64::from(step) * 1.0).take_while(|out| *out <= FAR);
    steps.flat_map(move |out| {
        let reach = RADIUS + WHITE + 0.3 + out;
        let (half_x, half_y) = (target.width() / 2.0 + reach, target.height() / 2.0 + reach);
        let middle = target.middle();
        // Beside the ends of the text first, then above and below, then between.
        let turns = [0, 12, 6, 18, 1, 23, 11, 13, 2, 22, 10, 14, 3, 21, 9, 15, 4, 20, 8, 16, 5, 19, 7, 17];
        turns.into_iter().map(move |turn| {
            let way = Vector::toward(Angle::rad(f64::from(turn) / 12.0 * std::f64::consts::PI));
            // On the edge of the grown box, not on a circle: a long text has balloons beside it.
            let grow = (way.x.abs() / half_x).max(way.y.abs() / half_y);
            middle + way * (1.0 / grow)
        })
    })
}

/// From the edge of a balloon to the nearest place of what it points at.
fn leader(centre: Point, target: Rect) -> (Point, Point) {
    let near = Point::new(
        centre.x.clamp(target.low.x - 0.3, target.high.x + 0.3),
        centre.y.clamp(target.low.y - 0.3, target.high.y + 0.3),
    );
    let far = centre.distance(near);
    let from = if far > RADIUS { centre + (near - centre) * (RADIUS / far) } else { near };
    (from, near)
}

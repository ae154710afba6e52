//! Views, dimensions and callouts on the free part of a sheet, at the largest scale that fits.

use super::Convention;
use super::board::Board;
use super::callout::{self, Callout, Lie};
use super::clash;
use super::dimension::{Linear, Rail, Side};
use super::number::Numbers;
use super::ordinate::{Edge, Ordinate, Scale};
use super::pictorial;
use super::sheet::{Anchor, Item, Shape, Shown};
use super::solid::Solid;
use super::style::{BETWEEN, FIGURE, PAST};
use super::views::{self, View};
use crate::geom::{Point, Rect};
use crate::part::{Holes, Part, Size};
use crate::quantity::{Length, trimmed};

/// White on either side of the callouts between two views.
const BAND: f64 = 5.5;

/// What is to be drawn, and where.
#[derive(Clone, Copy, Debug)]
pub(super) struct Job<'j> {
    pub(super) part: &'j Part,
    pub(super) solid: &'j Solid,
    pub(super) numbers: &'j Numbers<'j>,
    pub(super) convention: Convention,
    /// The free part of the sheet.
    pub(super) zone: Rect,
}

/// Draws everything but frame and tables; the scale comes out, `None` where none fits.
pub(super) fn draw(board: &mut Board<'_>, job: &Job<'_>) -> Option<f64> {
    let scales = scales(job.convention);
    let solid = job.solid;
    let callouts: Vec<Callout> = job
        .part
        .holes()
        .enumerate()
        .filter(|(_, (_, holes))| !holes.places.is_empty())
        .map(|(group, (feature, holes))| Callout::new(group, feature, holes, job.numbers, board))
        .collect();
    let quick = |scale: f64| {
        solid.length * scale < job.zone.width() && (solid.width + solid.height) * scale < job.zone.height()
    };
    for scale in scales.iter().copied().filter(|scale| quick(*scale)) {
        // A long bar leaves its section too small to read; it may then have a larger scale, which
        // is written beside it.
        let larger = scales.iter().copied().filter(|end| {
            solid.height * scale < 14.0 && *end > scale && solid.height * end <= 32.0 && solid.width * end <= 60.0
        });
        for end_scale in larger.chain([scale]) {
            for spread in Spread::ALL {
                for choice in Choice::ALL {
                    if let Some(items) = attempt(board, job, &callouts, (scale, end_scale), (spread, choice)) {
                        board.items.extend(items);
                        return Some(scale);
                    }
                }
            }
        }
    }
    None
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
struct Choice {
    /// Figures across go left, not right.
    left: bool,
    /// Figures upwards go down, not up.
    down: bool,
    /// Where the whole height stands.
    heights: Heights,
    /// Heights stand beyond the figures of widths, not as near as they can.
    far: bool,
}

/// Where the whole height stands at the end view.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Heights {
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

/// Everything beside the views, placed but not yet drawn.
struct Around {
    length: Rail,
    end_above: Rail,
    end_below: Rail,
    end_left: Rail,
    end_right: Rail,
    along: Scale,
    across: Scale,
}

fn attempt(
    board: &Board<'_>,
    job: &Job<'_>,
    callouts: &[Callout],
    (scale, end_scale): (f64, f64),
    (spread, choice): (Spread, Choice),
) -> Option<Vec<Item>> {
    let mut trial = Board::new(board.letters);
    let around = around(job, (scale, end_scale), choice, &trial)?;
    let heights = callouts.iter().map(|callout| callout.height);
    let band = match spread {
        Spread::Row => heights.fold(0.0, f64::max),
        Spread::Stack if callouts.len() < 2 => return None,
        Spread::Stack => heights.map(|height| height + 4.0).sum::<f64>() - 4.0,
        Spread::Beside => 0.0,
    };
    let places = places(job, &around, (scale, end_scale), band.max(2.0))?;
    let Places { front, top, end, band } = places;
    let solid = job.solid;
    views::front(&mut trial, solid, front);
    let (across_shown, tongue_shown) = middles(job.part);
    views::top(&mut trial, solid, top, job.convention, across_shown.as_ref());
    views::end(&mut trial, solid, end, job.convention, tongue_shown.as_ref());
    let (deep, wide) = (solid.height * scale, solid.width * scale / 2.0);
    match job.convention {
        Convention::Iso => around.length.draw(&mut trial, front.origin, 0.0),
        Convention::Asme => around.length.draw(&mut trial, front.origin, deep),
    }
    around.end_above.draw(&mut trial, end.origin, 0.0);
    around.end_below.draw(&mut trial, end.origin, solid.height * end_scale);
    around.end_left.draw(&mut trial, end.origin, solid.width * end_scale / 2.0);
    around.end_right.draw(&mut trial, end.origin, solid.width * end_scale / 2.0);
    around.along.draw(&mut trial, top.origin, wide);
    around.across.draw(&mut trial, top.origin, solid.length * scale / 2.0);
    let end_floor = end.origin.y - solid.height * end_scale - around.end_below.depth;
    let mut end_low = end_floor;
    if end_scale > scale {
        let words = format!("SCALE {}", scale_text(end_scale));
        let at = Point::new(end.origin.x, end_floor - 3.0 - FIGURE);
        trial.text(at, Anchor::Middle, FIGURE, &words, None);
        end_low = at.y;
    }
    let (lie, band) = match (spread, job.convention) {
        (Spread::Beside, _) => {
            let right = top.origin.x + solid.length * scale / 2.0 + PAST + 5.0;
            (Lie::Beside, Rect { low: Point::new(right, job.zone.low.y), high: job.zone.high })
        }
        (_, Convention::Iso) => (Lie::Above, band),
        (_, Convention::Asme) => (Lie::Below, band),
    };
    if !clash::free(&trial.items) {
        return None;
    }
    callout::place(&mut trial, callouts, solid, top, (lie, band))?;
    let left = top.origin.x + solid.length * scale / 2.0 + PAST + 6.0;
    let room = match job.convention {
        Convention::Iso => Rect::new(Point::new(left, job.zone.low.y), Point::new(job.zone.high.x, end_low - 4.0)),
        Convention::Asme => {
            let low = end.origin.y + around.end_above.depth.max(PAST) + 4.0;
            Rect::new(Point::new(left, low), job.zone.high)
        }
    };
    if room.width() > 0.0 && room.height() > 0.0 {
        let room = clear(room, &trial.items);
        pictorial::draw(&mut trial, solid, room);
    }
    Some(trial.items)
}

/// Cuts off a box what texts reach into it, on the side that leaves more.
fn clear(mut room: Rect, items: &[Item]) -> Rect {
    for item in items {
        let Shape::Text { ink, .. } = &item.shape else { continue };
        let ink = ink.grown(4.0);
        if !ink.overlaps(room) {
            continue;
        }
        let cuts = [
            Rect { low: Point::new(ink.high.x, room.low.y), high: room.high },
            Rect { low: room.low, high: Point::new(room.high.x, ink.low.y) },
            Rect { low: Point::new(room.low.x, ink.high.y), high: room.high },
        ];
        let area = |part: &Rect| part.width().max(0.0) * part.height().max(0.0);
        room = cuts.into_iter().max_by(|a, b| area(a).total_cmp(&area(b))).unwrap_or(room);
    }
    room
}

/// Where the views stand, and the band for callouts.
struct Places {
    front: View,
    top: View,
    end: View,
    band: Rect,
}

fn places(job: &Job<'_>, around: &Around, (scale, end_scale): (f64, f64), band: f64) -> Option<Places> {
    let (solid, zone) = (job.solid, job.zone);
    let (long, wide, deep) = (solid.length * scale, solid.width * scale, solid.height * scale);
    let (end_wide, end_deep) = (solid.width * end_scale, solid.height * end_scale);
    let label = if end_scale > scale { 3.0 + FIGURE } else { 0.0 };
    let left = around.across.depth.max(PAST) + (-around.length.reach.0 - long / 2.0).max(0.0);
    let reach = |pick: fn(&Rail) -> f64| pick(&around.end_above).max(pick(&around.end_below)).max(end_wide / 2.0);
    let end_left = reach(|rail| -rail.reach.0).max(end_wide / 2.0 + around.end_left.depth);
    let end_right = reach(|rail| rail.reach.1).max(end_wide / 2.0 + around.end_right.depth);
    let spare = zone.width() - (left + long + BETWEEN + end_left + end_right);
    if spare < 0.0 {
        return None;
    }
    // Half the height of the row of front and end view, each way from its middle, and what the
    // top view takes beyond its own outline.
    let (front_up, front_down, past_top) = match job.convention {
        Convention::Iso => (around.length.depth, PAST, around.along.depth.max(PAST)),
        Convention::Asme => (PAST, around.length.depth, around.along.depth.max(PAST)),
    };
    let up = (deep / 2.0 + front_up).max(end_deep / 2.0 + around.end_above.depth.max(PAST));
    let up = up.max(around.end_right.reach.1.max(around.end_left.reach.1) + end_deep / 2.0);
    let low = (-around.end_right.reach.0).max(-around.end_left.reach.0) - end_deep / 2.0;
    let down = (deep / 2.0 + front_down).max(end_deep / 2.0 + around.end_below.depth + label).max(low);
    let gap = band + 2.0 * BAND;
    let stack = deep / 2.0 + gap + wide + past_top;
    let (above, below) = match job.convention {
        Convention::Iso => (up, down.max(stack)),
        Convention::Asme => (up.max(stack), down),
    };
    let unused = zone.height() - above - below;
    if unused < 0.0 {
        return None;
    }
    let more = (unused * 0.25).min(20.0);
    // The widening belongs to the stack alone where that decides the height.
    let (above, below) = match job.convention {
        Convention::Iso => (up, down.max(stack + more)),
        Convention::Asme => (up.max(stack + more), down),
    };
    let unused = zone.height() - above - below;
    let between = BETWEEN + (spare * 0.4).min(36.0);
    let x = zone.low.x + (zone.width() - (left + long + between + end_left + end_right)) / 2.0 + left + long / 2.0;
    let middle = zone.high.y - unused / 2.0 - above;
    let front = View { origin: Point::new(x, middle + deep / 2.0), scale };
    let end =
        View { origin: Point::new(x + long / 2.0 + between + end_left, middle + end_deep / 2.0), scale: end_scale };
    let step = deep / 2.0 + gap + more + wide / 2.0;
    let top = View {
        origin: Point::new(
            x,
            match job.convention {
                Convention::Iso => middle - step,
                Convention::Asme => middle + step,
            },
        ),
        scale,
    };
    let (a, b) = match job.convention {
        Convention::Iso => (top.origin.y + wide / 2.0 + BAND, middle - deep / 2.0 - BAND),
        Convention::Asme => (middle + deep / 2.0 + BAND, top.origin.y - wide / 2.0 - BAND),
    };
    let band = Rect::new(Point::new(zone.low.x, a), Point::new(zone.high.x, b));
    Some(Places { front, top, end, band })
}

fn around(job: &Job<'_>, (scale, end_scale): (f64, f64), choice: Choice, board: &Board<'_>) -> Option<Around> {
    let Choice { left, down, heights, far } = choice;
    let (part, solid, numbers) = (job.part, job.solid, job.numbers);
    let linear = |size: &Size, from: f64, to: f64, inset: [f64; 2]| Linear {
        from,
        to,
        inset,
        words: numbers.words(size),
        shows: Shown { names: vec![size.name.clone()], title: size.title.clone() },
    };
    let half = solid.length * scale / 2.0;
    let length = linear(&part.length, -half, half, [0.0; 2]);
    let (mut above, mut right) = (Vec::new(), Vec::new());
    let edge = solid.width * end_scale / 2.0;
    let crown = solid.steps.first().map_or(edge, |step| step.half * end_scale);
    for (_, tongue) in part.tongues() {
        let wide = tongue.width.nominal.as_mm() * end_scale / 2.0;
        let depth = tongue.height.nominal.as_mm();
        let top =
            solid.steps.iter().find(|step| (step.half * end_scale - wide).abs() < 1e-6).map_or(0.0, |step| step.top);
        above.push(linear(&tongue.width, -wide, wide, [top * end_scale; 2]));
        let shoulder =
            solid.steps.iter().find(|step| (step.top - depth).abs() < 1e-9).map_or(edge, |step| step.half * end_scale);
        right.push(linear(&tongue.height, -depth * end_scale, 0.0, [edge - shoulder, edge - crown]));
    }
    let height = linear(&part.height, -solid.height * end_scale, 0.0, [0.0, edge - crown]);
    let below = linear(&part.width, -edge, edge, [0.0; 2]);
    let row = |side, before, beside, dims| Rail::new((side, before, beside), job.convention, dims, board.letters);
    let (end_above, end_below) = (row(Side::Above, left, 0.0, above)?, row(Side::Below, left, 0.0, vec![below])?);
    let beside = |reach: fn(&Rail) -> f64| {
        if far { (reach(&end_above).max(reach(&end_below)) - edge).max(0.0) } else { 0.0 }
    };
    let to_right = |dims| row(Side::Right, down, beside(|rail| rail.reach.1), dims);
    let to_left = |dims| row(Side::Left, down, beside(|rail| -rail.reach.0), dims);
    let (length_side, edge_along) = match job.convention {
        Convention::Iso => (Side::Above, Edge::Below),
        Convention::Asme => (Side::Below, Edge::Above),
    };
    let (along, across) = ordinates(job, scale, edge_along);
    // Heights share the right side; where their figures come in each other's way, the whole height
    // goes to the left.
    let shared = right.iter().cloned().chain([height.clone()]).collect();
    let shared = if heights == Heights::Apart { None } else { to_right(shared) };
    let (end_left, end_right) = match shared {
        Some(shared) => (to_left(Vec::new())?, shared),
        None => (to_left(vec![height])?, to_right(right)?),
    };
    Some(Around {
        length: row(length_side, left, 0.0, vec![length])?,
        end_above,
        end_below,
        end_left,
        end_right,
        along: Scale::new(edge_along, along, half, board.letters)?,
        across: Scale::new(Edge::Left, across, solid.width * scale / 2.0, board.letters)?,
    })
}

/// Coordinates of the holes along and across, from the middle.
fn ordinates(job: &Job<'_>, scale: f64, edge: Edge) -> (Vec<Ordinate>, Vec<Ordinate>) {
    let solid = job.solid;
    let (mut along, mut across) = (Vec::new(), Vec::new());
    if solid.holes.is_empty() {
        return (along, across);
    }
    let labels = hole_labels(job.part);
    let mut zero = false;
    for (x, members) in solid.columns() {
        let middle = x.abs() < 1e-6;
        zero |= middle;
        let (low, high) = solid.column_line(x, scale);
        let arm = if edge == Edge::Below { -low } else { high } * scale;
        let start = if middle { solid.width / 2.0 * scale + PAST } else { arm } + 1.0;
        let (text, shows) = say(job, &labels, &members, true);
        along.push(Ordinate { at: x * scale, start, text, shows: Some(shows) });
    }
    if !zero {
        along.push(Ordinate {
            at: 0.0,
            start: solid.width / 2.0 * scale + PAST + 1.0,
            text: "0".to_owned(),
            shows: None,
        });
    }
    let rows = solid.rows();
    if rows.iter().all(|(y, _)| y.abs() < 1e-6) {
        return (along, across);
    }
    let mut zero = false;
    for (y, members) in rows {
        let middle = y.abs() < 1e-6;
        zero |= middle;
        let (low, _) = solid.row_line(y, scale);
        let start = if middle { solid.length / 2.0 * scale + PAST } else { -low * scale } + 1.0;
        let (text, shows) = say(job, &labels, &members, false);
        across.push(Ordinate { at: y * scale, start, text, shows: Some(shows) });
    }
    if !zero {
        across.push(Ordinate {
            at: 0.0,
            start: solid.length / 2.0 * scale + PAST + 1.0,
            text: "0".to_owned(),
            shows: None,
        });
    }
    (along, across)
}

/// For every hole, in the order of [`Solid::holes`]: its name, its place and its group.
fn hole_labels(part: &Part) -> Vec<(String, String, Length, Length, &Holes)> {
    part.holes()
        .flat_map(|(feature, holes)| {
            holes.places.iter().enumerate().map(move |(index, place)| {
                let number = index + 1;
                (format!("{}.{number}", feature.id), format!("{} {number}", feature.title), place.x, place.y, holes)
            })
        })
        .collect()
}

fn say(
    job: &Job<'_>,
    labels: &[(String, String, Length, Length, &Holes)],
    members: &[usize],
    along: bool,
) -> (String, Shown) {
    let (axis, word) = if along { ("x", "along") } else { ("y", "across") };
    let mine: Vec<_> = members.iter().filter_map(|index| labels.get(*index)).collect();
    let names = mine.iter().map(|(name, ..)| format!("{name}.{axis}")).collect();
    let titles: Vec<&str> = mine.iter().map(|(_, title, ..)| title.as_str()).collect();
    let text = mine.first().map_or_else(String::new, |(_, _, x, y, holes)| {
        job.numbers.place(if along { *x } else { *y }, holes.place_tolerance)
    });
    (text, Shown { names, title: format!("{}: place {word} the bar, from the middle", titles.join(", ")) })
}

/// What the middle lines show: holes on the middle of the width, and tongues on the middle.
fn middles(part: &Part) -> (Option<Shown>, Option<Shown>) {
    let straight = part.holes().all(|(_, holes)| holes.places.iter().all(|place| place.y.abs() < Length::mm(5e-7)));
    let names: Vec<String> = hole_labels(part).iter().map(|(name, ..)| format!("{name}.y")).collect();
    let across =
        (straight && !names.is_empty()).then(|| Shown { names, title: "Holes on the middle of the width".to_owned() });
    let names: Vec<String> = part.tongues().map(|(feature, _)| format!("{}.offset", feature.id)).collect();
    let tongue = (!names.is_empty()).then(|| Shown { names, title: "Tongue on the middle of the width".to_owned() });
    (across, tongue)
}

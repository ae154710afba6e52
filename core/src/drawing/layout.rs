//! Which views a part needs, what stands around each, and where they go on the paper.

use std::sync::Arc;

use super::Convention;
use super::arrange::{Choice, Heights, Job};
use super::board::Board;
use super::callout::Callout;
use super::coordinates;
use super::dimension::{Linear, Rail, Side};
use super::ordinate::Scale;
use super::sheet::Shown;
use super::solid::Solid;
use super::style::{ARROW, BETWEEN, CLEAR, FIGURE, LARGE, PAST, SHOULDER};
use super::views::{PLANE, View};
use crate::geom::{Point, Rect};
use crate::part::{Face, Size};

/// White on either side of the callouts between two views.
pub(super) const BAND: f64 = 5.5;

/// White between the title of a section and the figures of the length.
const TITLE: f64 = 4.5;

/// What a part needs to be seen of it, whatever the scale.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Plan {
    /// The ends that are shown left and right of the front view.
    pub(super) sides: [Option<Face>; 2],
    /// Which of them carries widths and heights; `None` where top and front view do.
    pub(super) rails: Option<usize>,
    /// Whether the view from below is needed.
    pub(super) bottom: bool,
    /// Where across the bar the front view is a section.
    pub(super) cut: Option<f64>,
}

impl Plan {
    /// The plans of a part, the best first: with a section where holes have steps, and without it.
    pub(super) fn all(job: &Job<'_>) -> Vec<Self> {
        let solid = job.solid;
        // First angle shows the left end at the right, third angle the right one.
        let faces = match job.convention {
            Convention::Iso => [Face::Right, Face::Left],
            Convention::Asme => [Face::Left, Face::Right],
        };
        let mut sides = faces.map(|face| solid.has(face).then_some(face));
        if job.twins.any() {
            sides[0] = None;
        }
        let profile = job.part.tongues().next().is_some() || solid.slots.iter().any(|slot| slot.half_long.is_none());
        let free = [1, 0].into_iter().find(|side| sides[*side].is_none()).filter(|_| profile);
        if let Some(side) = free {
            sides[side] = Some(faces[side]);
        }
        let bare = Self { sides, rails: free, bottom: solid.has(Face::Bottom), cut: None };
        // A shoulder behind the cut cannot be measured to.
        let measurable = free.is_some() || job.part.tongues().next().is_none();
        match best_cut(solid).filter(|_| measurable) {
            Some(y) => vec![Self { cut: Some(y), ..bare }, bare],
            None => vec![bare],
        }
    }
}

/// The place across the bar at which a section shows most kinds of stepped holes.
fn best_cut(solid: &Solid) -> Option<f64> {
    let mut found: Vec<(f64, Vec<usize>)> = Vec::new();
    for hole in solid.holes.iter().filter(|hole| hole.is_stepped()) {
        let y = match hole.face {
            Face::Top | Face::Bottom => hole.across(),
            Face::Right => hole.right,
            Face::Left => -hole.right,
        };
        match found.iter_mut().find(|(at, _)| (at - y).abs() < 1e-6) {
            Some((_, groups)) if groups.contains(&hole.group) => {}
            Some((_, groups)) => groups.push(hole.group),
            None => found.push((y, vec![hole.group])),
        }
    }
    // The middle plane needs no telling where it lies.
    let middle = |found: &[(f64, Vec<usize>)]| found.iter().any(|(y, _)| y.abs() < 1e-6);
    if middle(&found) {
        return Some(0.0);
    }
    let most = found.iter().map(|(_, groups)| groups.len()).max()?;
    let good = found.into_iter().filter(|(_, groups)| groups.len() == most).map(|(y, _)| y);
    good.min_by(|a, b| a.abs().total_cmp(&b.abs()).then(a.total_cmp(b)))
}

/// Everything beside the views, placed but not yet drawn.
pub(super) struct Around {
    pub(super) length: Rail,
    /// Widths over and under the end view, or at the right (or left) of the top view.
    pub(super) widths: Widths,
    /// Heights at the left and right of the end view or of the front view.
    pub(super) heights: [Rail; 2],
    pub(super) coordinates: Arc<Coordinates>,
}

/// The coordinates of each face that is shown, along and across; they depend on the scale alone.
#[derive(Debug)]
pub(super) struct Coordinates {
    pub(super) top: (Scale, Scale),
    pub(super) bottom: Option<(Scale, Scale)>,
    pub(super) sides: [Option<(Scale, Scale)>; 2],
}

impl Coordinates {
    /// `None` where figures find no room.
    pub(super) fn of(job: &Job<'_>, plan: &Plan, scale: f64, board: &Board<'_>) -> Option<Self> {
        let of = |face: Face| {
            coordinates::scales(job, (face, scale), coordinates::edge(job.convention, face), board.letters)
        };
        let mut sides = [None, None];
        for (index, face) in plan.sides.iter().enumerate() {
            if let Some(face) = face.filter(|_| plan.rails != Some(index)) {
                sides[index] = Some(of(face)?);
            }
        }
        let bottom = if plan.bottom { Some(of(Face::Bottom)?) } else { None };
        Some(Self { top: of(Face::Top)?, bottom, sides })
    }
}

/// Where widths stand.
pub(super) enum Widths {
    End {
        above: Rail,
        below: Rail,
    },
    /// At the left and the right.
    Top([Rail; 2]),
}

impl Widths {
    /// How far figures reach along the top view, from its middle away from the front view.
    fn past(&self, convention: Convention) -> f64 {
        let Self::Top(rails) = self else { return 0.0 };
        let reach = |rail: &Rail| if convention == Convention::Iso { -rail.reach.0 } else { rail.reach.1 };
        rails.iter().map(reach).fold(0.0, f64::max)
    }
}

/// The scales of a drawing: of the views, and of an end view that carries the dimensions.
#[derive(Clone, Copy, Debug)]
pub(super) struct Scales {
    pub(super) main: f64,
    pub(super) end: f64,
}

/// Builds what stands beside the views. `beside` keeps the right of the top view free for callouts. `None` where figures find no room.
pub(super) fn around(
    job: &Job<'_>,
    plan: &Plan,
    scales: Scales,
    (choice, beside): (Choice, bool),
    coordinates: &Arc<Coordinates>,
    board: &Board<'_>,
) -> Option<Around> {
    let Choice { left, down, heights, far } = choice;
    let (part, solid, numbers) = (job.part, job.solid, job.numbers);
    let linear = |size: &Size, from: f64, to: f64, inset: [f64; 2]| Linear {
        from,
        to,
        inset,
        words: numbers.words(size),
        shows: Arc::new(Shown { names: vec![size.name.clone()], title: size.title.clone() }),
    };
    let scale = if plan.rails.is_some() { scales.end } else { scales.main };
    // Figures of front and top view that find no room between their arrows go away from the other.
    let iso = job.convention == Convention::Iso;
    let half = solid.length * scales.main / 2.0;
    let length = linear(&part.length, -half, half, [0.0; 2]);
    let (mut narrow, mut right) = (Vec::new(), Vec::new());
    let edge = solid.width * scale / 2.0;
    let crown = solid.steps.first().map_or(edge, |step| step.half * scale);
    // The corners of an end view lie within its edge; front and top view reach theirs everywhere.
    let inset = |value: f64| if plan.rails.is_some() { value } else { 0.0 };
    for (_, tongue) in part.tongues() {
        let wide = tongue.width.nominal.as_mm() * scale / 2.0;
        let depth = tongue.height.nominal.as_mm();
        let top = solid.steps.iter().find(|step| (step.half * scale - wide).abs() < 1e-6).map_or(0.0, |step| step.top);
        narrow.push(linear(&tongue.width, -wide, wide, [inset(top * scale); 2]));
        let shoulder =
            solid.steps.iter().find(|step| (step.top - depth).abs() < 1e-9).map_or(edge, |step| step.half * scale);
        right.push(linear(&tongue.height, -depth * scale, 0.0, [inset(edge - shoulder), inset(edge - crown)]));
    }
    let height = linear(&part.height, -solid.height * scale, 0.0, [0.0, inset(edge - crown)]);
    let width = linear(&part.width, -edge, edge, [0.0; 2]);
    let row = |side, before, beside, dims| Rail::new((side, before, beside), job.convention, dims, board.letters);
    let widths = if plan.rails.is_some() {
        Widths::End { above: row(Side::Above, left, 0.0, narrow)?, below: row(Side::Below, left, 0.0, vec![width])? }
    } else {
        // The middle line reaches past the right edge, coordinates stand at the left.
        let ordinates = coordinates.top.1.depth;
        let at = |side, beside, dims| row(side, down != iso, beside, dims);
        let plane = if plan.cut.is_some() { PLANE + LARGE / 2.0 } else { 0.0 };
        let left_white = (if ordinates > 0.0 { ordinates } else { past(job) - PAST }) + plane + 1.0;
        let right_white = plane.max(1.5);
        Widths::Top(match (beside, heights) {
            (true, _) => {
                narrow.push(width);
                [at(Side::Left, left_white, narrow)?, at(Side::Right, 0.0, Vec::new())?]
            }
            (false, Heights::Together) => {
                narrow.push(width);
                [at(Side::Left, 0.0, Vec::new())?, at(Side::Right, right_white, narrow)?]
            }
            (false, Heights::Apart) => {
                [at(Side::Left, left_white, vec![width])?, at(Side::Right, right_white, narrow)?]
            }
        })
    };
    let beyond = |reach: fn(&Rail) -> f64| match &widths {
        Widths::End { above, below } if far => (reach(above).max(reach(below)) - edge).max(0.0),
        // The axis of a hole in an end reaches past the edge, just where the figures stand.
        Widths::Top(_) if !iso && (solid.has(Face::Left) || solid.has(Face::Right)) => PAST,
        Widths::End { .. } | Widths::Top(_) => 0.0,
    };
    let down = if plan.rails.is_none() { down == iso } else { down };
    let to_right = |dims| row(Side::Right, down, beyond(|rail| rail.reach.1), dims);
    let to_left = |dims| row(Side::Left, down, beyond(|rail| -rail.reach.0), dims);
    // Heights share the right side; where their figures come in each other's way, the whole height
    // goes to the left.
    let shared = right.iter().cloned().chain([height.clone()]).collect();
    let shared = if heights == Heights::Apart { None } else { to_right(shared) };
    let heights = match shared {
        Some(shared) => [to_left(Vec::new())?, shared],
        None => [to_left(vec![height])?, to_right(right)?],
    };
    let length_side = match job.convention {
        Convention::Iso => Side::Above,
        Convention::Asme => Side::Below,
    };
    Some(Around {
        length: row(length_side, left, 0.0, vec![length])?,
        widths,
        heights,
        coordinates: Arc::clone(coordinates),
    })
}

/// Where the views stand, and the bands for callouts.
#[derive(Clone, Copy, Debug)]
pub(super) struct Places {
    pub(super) front: View,
    pub(super) top: View,
    pub(super) bottom: Option<View>,
    pub(super) ends: [Option<View>; 2],
    /// For the callouts of the view from above, and of that from below.
    pub(super) bands: [Rect; 2],
    /// For those of the ends.
    pub(super) end_bands: [Rect; 2],
    /// Middle of the base line of the section's title.
    pub(super) title: Point,
    /// How far from the left edge of the top view the plane of a section begins.
    pub(super) plane: f64,
    /// Where the end view that carries dimensions ends below.
    pub(super) floor: f64,
}

/// What callouts take: in the bands of top and bottom view, and over the ends.
#[derive(Clone, Copy, Debug)]
pub(super) struct Taken {
    pub(super) top: f64,
    pub(super) bottom: f64,
    /// Width and height.
    pub(super) ends: [(f64, f64); 2],
}

/// What a view at a side takes about its own middle: left, right, up, down.
struct Reach(f64, f64, f64, f64);

fn side_reach(
    job: &Job<'_>,
    plan: &Plan,
    around: &Around,
    scales: Scales,
    taken: &Taken,
    side: usize,
) -> Option<Reach> {
    plan.sides[side]?;
    let solid = job.solid;
    if plan.rails != Some(side) {
        let (wide, deep) = (solid.width * scales.main / 2.0, solid.height * scales.main / 2.0);
        let (along, across) = around.coordinates.sides[side].as_ref()?;
        let (text, high) = taken.ends[side];
        let lean = if text > 0.0 { text + SHOULDER + 12.0 } else { 0.0 };
        let up = if high > 0.0 { BAND + high } else { PAST };
        let past = past(job);
        return Some(Reach(
            wide + across.depth.max(past),
            (wide + PAST).max(lean),
            deep + up,
            deep + along.depth.max(past),
        ));
    }
    let Widths::End { above, below } = &around.widths else { return None };
    let (wide, deep) = (solid.width * scales.end / 2.0, solid.height * scales.end / 2.0);
    let [left_rail, right_rail] = &around.heights;
    let reach = |pick: fn(&Rail) -> f64| pick(above).max(pick(below)).max(wide);
    let label = if scales.end > scales.main { 3.0 + FIGURE } else { 0.0 };
    let low = (-right_rail.reach.0).max(-left_rail.reach.0) - deep;
    Some(Reach(
        reach(|rail| -rail.reach.0).max(wide + left_rail.depth),
        reach(|rail| rail.reach.1).max(wide + right_rail.depth),
        (deep + above.depth.max(PAST)).max(right_rail.reach.1.max(left_rail.reach.1) + deep),
        (deep + below.depth + label).max(low),
    ))
}

/// What middle lines take past the edge, with the letters of a table's axes.
const fn past(job: &Job<'_>) -> f64 {
    if job.tabled { 2.0 * CLEAR + PAST + ARROW + FIGURE } else { PAST }
}

/// Puts the views on the free part of the sheet. `None` where they take more.
#[expect(clippy::too_many_lines, reason = "one sum of what stands beside what; parts of it would say less")]
pub(super) fn places(job: &Job<'_>, plan: &Plan, around: &Around, scales: Scales, taken: &Taken) -> Option<Places> {
    let (solid, zone, scale) = (job.solid, job.zone, scales.main);
    let (long, wide, deep) = (solid.length * scale, solid.width * scale, solid.height * scale);
    let (rail_left, rail_right) = match &around.widths {
        Widths::Top([left, right]) => (left.depth, right.depth),
        Widths::End { .. } => (0.0, 0.0),
    };
    let [height_left, height_right] =
        if plan.rails.is_some() { [0.0; 2] } else { [around.heights[0].depth, around.heights[1].depth] };
    let letters = if plan.cut.is_some() { PLANE + LARGE / 2.0 } else { 0.0 };
    // The plane's ends stand beyond the figures at the left edge.
    let plane = around.coordinates.top.1.depth;
    let below = around.coordinates.bottom.as_ref().map_or(0.0, |(_, across)| across.depth);
    let over = |end: f64| (end - long / 2.0).max(0.0);
    let left = [
        around.coordinates.top.1.depth,
        below,
        rail_left,
        height_left,
        plane + letters,
        over(-around.length.reach.0),
        past(job),
    ];
    let right = [rail_right, height_right, letters, over(around.length.reach.1), PAST];
    let [left, right] = [left.as_slice(), right.as_slice()].map(|all| all.iter().copied().fold(0.0, f64::max));
    let reaches = [0, 1].map(|side| side_reach(job, plan, around, scales, taken, side));
    let beside = |side: usize| reaches[side].as_ref().map_or(0.0, |reach| reach.0 + reach.1);
    let gaps = f64::from(u8::from(reaches[0].is_some()) + u8::from(reaches[1].is_some()));
    // A rail at the side of the main views already keeps them apart from the next.
    let gap = if plan.rails.is_some() { BETWEEN - PAST } else { BETWEEN / 2.0 };
    let spare = zone.width() - (left + long + right + beside(0) + beside(1) + gaps * gap);
    if spare < 0.0 {
        return None;
    }
    // From the middle of the front view toward the top view, and away from it.
    let title = if plan.cut.is_some() { FIGURE + TITLE + 1.0 } else { 0.0 };
    let inner_gap = taken.top.max(2.0) + 2.0 * BAND;
    let outer_gap = taken.bottom.max(2.0) + 2.0 * BAND;
    let figures = around.widths.past(job.convention);
    let inner = deep / 2.0 + inner_gap + wide + around.coordinates.top.0.depth.max(past(job)).max(figures - wide / 2.0);
    let ledge = deep / 2.0 + around.length.depth + title;
    let heights = if plan.rails.is_some() {
        (0.0, 0.0)
    } else {
        let reach = |pick: fn(&Rail) -> f64| around.heights.iter().map(pick).fold(0.0, f64::max);
        (reach(|rail| rail.reach.1) + deep / 2.0, reach(|rail| -rail.reach.0) - deep / 2.0)
    };
    let outer = match &around.coordinates.bottom {
        Some((along, _)) => ledge + outer_gap + wide + along.depth.max(past(job)),
        None => ledge,
    };
    let of = |pick: fn(&Reach) -> f64| reaches.iter().flatten().map(pick).fold(0.0, f64::max);
    let (ends_up, ends_down) = (of(|reach| reach.2).max(heights.0), of(|reach| reach.3).max(heights.1));
    let extents = |more: f64| match job.convention {
        Convention::Iso => (outer.max(ends_up), (inner + more).max(ends_down)),
        Convention::Asme => ((inner + more).max(ends_up), outer.max(ends_down)),
    };
    let (above, under) = extents(0.0);
    let unused = zone.height() - above - under;
    if unused < 0.0 {
        return None;
    }
    // The widening belongs to the stack alone where that decides the height.
    let more = (unused * 0.25).min(20.0);
    let (above, under) = extents(more);
    let unused = zone.height() - above - under;
    let widen = (spare * 0.4 / gaps.max(1.0)).min(36.0);
    let between = gap + widen;
    let whole = left + long + right + beside(0) + beside(1) + gaps * between;
    let start = zone.low.x + (zone.width() - whole) / 2.0;
    let first = if reaches[0].is_some() { beside(0) + between } else { 0.0 };
    let x = start + first + left + long / 2.0;
    let middle = zone.high.y - unused / 2.0 - above;
    let toward = match job.convention {
        Convention::Iso => -1.0,
        Convention::Asme => 1.0,
    };
    let front = View { origin: Point::new(x, middle + deep / 2.0), scale };
    let step = deep / 2.0 + inner_gap + more + wide / 2.0;
    let top = View { origin: Point::new(x, middle + toward * step), scale };
    let far = ledge + outer_gap + wide / 2.0;
    let bottom = plan.bottom.then(|| View { origin: Point::new(x, middle - toward * far), scale });
    let band = |a: f64, b: f64| Rect::new(Point::new(zone.low.x, middle + a), Point::new(zone.high.x, middle + b));
    let bands = [
        band(toward * (deep / 2.0 + BAND), toward * (step - wide / 2.0 - BAND)),
        band(-toward * (ledge + BAND * 0.6), -toward * (far - wide / 2.0 - BAND)),
    ];
    let mut ends = [None, None];
    let mut end_bands = [Rect::new(Point::default(), Point::default()); 2];
    for side in 0..2 {
        let Some(reach) = &reaches[side] else { continue };
        let scale = if plan.rails == Some(side) { scales.end } else { scales.main };
        let from = if side == 0 { start } else { x + long / 2.0 + right + between };
        let high = solid.height * scale / 2.0;
        ends[side] = Some(View { origin: Point::new(from + reach.0, middle + high), scale });
        let to = if side == 0 { from + reach.0 + reach.1 + between * 0.5 } else { zone.high.x };
        end_bands[side] =
            Rect::new(Point::new(from, middle + high + BAND), Point::new(to, middle + reach.2.max(high + BAND)));
    }
    let title_up = around.length.depth + deep / 2.0 + TITLE;
    let title = Point::new(
        x,
        match job.convention {
            Convention::Iso => middle + title_up,
            Convention::Asme => middle - title_up - FIGURE,
        },
    );
    let floor = match &around.widths {
        Widths::End { below, .. } => middle - solid.height * scales.end / 2.0 - below.depth,
        Widths::Top(_) => middle - deep / 2.0,
    };
    Some(Places { front, top, bottom, ends, bands, end_bands, title, plane, floor })
}

/// The callouts of each face that has some, and what they take.
pub(super) struct Called {
    pub(super) top: Vec<Callout>,
    pub(super) bottom: Vec<Callout>,
    pub(super) ends: [Vec<Callout>; 2],
}

impl Called {
    pub(super) fn of(job: &Job<'_>, plan: &Plan, board: &Board<'_>) -> Self {
        let of = |face| Callout::of(job, face, board);
        Self {
            top: of(Face::Top),
            bottom: of(Face::Bottom),
            ends: plan.sides.map(|face| face.map_or_else(Vec::new, of)),
        }
    }

    /// What they take, side by side or one over the other; `None` where that makes no difference.
    pub(super) fn taken(&self, stacked: bool, beside: bool) -> Option<Taken> {
        let row = |list: &[Callout]| list.iter().map(|callout| callout.height).fold(0.0, f64::max);
        let stack = |list: &[Callout]| (list.iter().map(|callout| callout.height + 4.0).sum::<f64>() - 4.0).max(0.0);
        if stacked && self.top.len() < 2 && self.bottom.len() < 2 {
            return None;
        }
        let band = |list: &[Callout]| if stacked { stack(list) } else { row(list) };
        let wide = |list: &[Callout]| list.iter().map(|callout| callout.width).fold(0.0, f64::max);
        Some(Taken {
            top: if beside { 0.0 } else { band(&self.top) },
            bottom: band(&self.bottom),
            ends: [0, 1].map(|side| (wide(&self.ends[side]), stack(&self.ends[side]))),
        })
    }
}

//! What is said of each group of holes, and the leader that says it.

use std::sync::Arc;

use super::arrange::Job;
use super::board::Board;
use super::clash::{Grid, Obstacles, cross, passes};
use super::number::{Numbers, numbered};
use super::sheet::{Anchor, Role, Shown};
use super::solid::Solid;
use super::style::{CLEAR, FIGURE, LEADING, SHOULDER, times};
use super::views::View;
use crate::geom::{Point, Rect, Vector};
use crate::part::{Face, Feature, Head, Holes, Kind, Make, Size, Slot};
use crate::quantity::{Angle, Length, Unit, trimmed};
use crate::standards::thread::Hand;

/// The words about one group of holes.
#[derive(Clone, Debug)]
pub(super) struct Callout {
    pub(super) what: What,
    pub(super) lines: Vec<(String, Arc<Shown>)>,
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

/// What a callout speaks of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum What {
    /// A group of holes or a slot: its number among the part's features.
    Feature(usize),
    /// The rounded upright corners.
    Corner,
}

impl Callout {
    fn new(what: What, lines: Vec<(String, Shown)>, board: &Board<'_>) -> Self {
        let lines: Vec<_> =
            lines.into_iter().map(|(text, shows)| (board.letters.settable(&text), Arc::new(shows))).collect();
        let width = lines.iter().map(|(text, _)| board.letters.width(text, FIGURE)).fold(0.0, f64::max);
        let height = FIGURE + times(lines.len().max(1) - 1) * FIGURE * LEADING;
        Self { what, lines, width, height }
    }

    /// The callouts of a face. Where a table tells of the holes, only what else there is.
    pub(super) fn of(job: &Job<'_>, face: Face, board: &Board<'_>) -> Vec<Self> {
        let mut all = Vec::new();
        let here = job.part.features.iter().enumerate().filter(|(_, feature)| feature.face == face);
        for (group, feature) in here.filter(|(group, _)| !job.twins.is_told(*group)) {
            let lines = match &feature.kind {
                Kind::Holes(holes) if !job.tabled && !holes.places.is_empty() => {
                    let own = words(feature, holes, job.numbers);
                    match job.twins.of_group(group).and_then(|like| job.part.features.get(like)) {
                        Some(like) => of_both(own, holes.places.len(), like, job.numbers),
                        None => own,
                    }
                }
                Kind::Slot(slot) => slot_words(feature, slot, job.numbers),
                Kind::Holes(_) | Kind::Tongue(_) => continue,
            };
            all.push(Self::new(What::Feature(group), lines, board));
        }
        if let (Face::Top, Some(radius)) = (face, &job.part.ends.corner) {
            let shows = Shown { names: vec![radius.name.clone()], title: radius.title.clone() };
            all.push(Self::new(What::Corner, vec![(format!("4X R{}", job.numbers.one_line(radius)), shows)], board));
        }
        all
    }
}

/// The lines of a callout, count first, then what, then how deep (ASME Y14.5 and Y14.6, ISO 6410;
/// from public drafting texts).
pub(super) fn words(feature: &Feature, holes: &Holes, numbers: &Numbers<'_>) -> Vec<(String, Shown)> {
    let id = &feature.id;
    let count = holes.places.len();
    let number = if count == 1 { String::new() } else { format!("{count}X ") };
    let each = |what: &str| (1..=count).map(|number| numbered(id, number, what)).collect::<Vec<_>>();
    let of = |size: &Size| Shown { names: vec![size.name.clone()], title: size.title.clone() };
    let mut lines = Vec::new();
    match &holes.make {
        Make::Tapped { thread, hand, drill, full } => {
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
            let size = numbers.or_letter(&format!("{id}.drill"), || format!("⌀{}", numbers.plain(drill.diameter)));
            let lettered = numbers.letters.contains_key(&format!("{id}.drill"));
            let told_by_size = lettered || (drill.name.ends_with("mm") && numbers.unit == Unit::Mm);
            let name = if told_by_size { String::new() } else { format!("{} ", drill.name) };
            let drilled = Shown {
                names: vec![format!("{id}.drill")],
                title: format!("{}: drill before the thread", feature.title),
            };
            let words = || format!("{}-{class}{left}", thread.designation);
            let thread = format!("{number}{}", numbers.or_letter(&format!("{id}.thread"), words));
            let shows = Shown { names, title };
            let both = |mut shows: Shown, size: &Size| {
                shows.names.push(size.name.clone());
                shows.title = format!("{}; {}", shows.title, size.title);
                shows
            };
            match (full, holes.depth.blind()) {
                (Some(full), _) => lines.push((format!("{thread} ↧ {}", numbers.one_line(full)), both(shows, full))),
                (None, None) => lines.push((format!("{thread} THRU"), shows)),
                (None, Some(depth)) => {
                    lines.push((format!("{thread} ↧ {}", numbers.one_line(depth)), both(shows, depth)));
                }
            }
            lines.extend(head_line(feature, holes, numbers));
            lines.push((format!("(TAP DRILL {name}{size})"), drilled));
            match (full, holes.depth.blind()) {
                (Some(_), Some(depth)) => lines.push((format!("DRILL ↧ {}", numbers.one_line(depth)), of(depth))),
                (Some(_), None) => {
                    let shows = Shown { names: Vec::new(), title: format!("{}: drilled through", feature.title) };
                    lines.push(("DRILL THRU".to_owned(), shows));
                }
                (None, _) => {}
            }
        }
        Make::Plain { diameter } | Make::Reamed { diameter } => {
            let mut shows = of(diameter);
            let size = format!("{number}⌀{}", numbers.one_line(diameter));
            match holes.depth.blind() {
                None => lines.push((format!("{size} THRU"), shows)),
                Some(depth) => {
                    let deep = format!("↧ {}", numbers.one_line(depth));
                    if size.chars().count() + deep.chars().count() > 24 {
                        lines.push((size, shows));
                        lines.push((deep, of(depth)));
                    } else {
                        shows.names.push(depth.name.clone());
                        shows.title = format!("{}; {}", shows.title, depth.title);
                        lines.push((format!("{size} {deep}"), shows));
                    }
                }
            }
            lines.extend(head_line(feature, holes, numbers));
        }
    }
    // Whether the table of general tolerances says it may differ from variant to variant.
    let stated = |at| !numbers.letters.is_empty() || !numbers.is_general(at, holes.place_tolerance);
    let zero = |at: Length| at.abs().as_mm() < 5e-7;
    if holes.places.iter().any(|place| (stated(place.x) && !zero(place.x)) || (stated(place.y) && !zero(place.y))) {
        lines.push(places_line(feature, holes.place_tolerance, numbers));
    }
    lines
}

/// The words about holes that are alike in both ends: counted together, with the names of both.
fn of_both(own: Vec<(String, Shown)>, count: usize, like: &Feature, numbers: &Numbers<'_>) -> Vec<(String, Shown)> {
    let Kind::Holes(holes) = &like.kind else { return own };
    let theirs = words(like, holes, numbers).into_iter().map(|(_, shows)| shows);
    let each = if count == 1 { "ONE".to_owned() } else { count.to_string() };
    let counted = if count == 1 { String::new() } else { format!("{count}X ") };
    let mut lines: Vec<_> = own
        .into_iter()
        .zip(theirs)
        .enumerate()
        .map(|(row, ((text, mut shows), other))| {
            shows.names.extend(other.names);
            let bare = text.strip_prefix(&counted).unwrap_or(&text);
            (if row == 0 { format!("{}X {bare}", 2 * count) } else { text.clone() }, shows)
        })
        .collect();
    let title = format!("{}: in both ends", like.title);
    lines.push((format!("{each} IN EACH END"), Shown { names: Vec::new(), title }));
    lines
}

fn places_line(feature: &Feature, tolerance: Length, numbers: &Numbers<'_>) -> (String, Shown) {
    let shows = Shown {
        names: vec![format!("{}.place_tolerance", feature.id)],
        title: format!("{}: how far each may lie from its place", feature.title),
    };
    let name = format!("{}.place_tolerance", feature.id);
    (format!("PLACES {}", numbers.or_letter(&name, || numbers.tolerance(tolerance))), shows)
}

/// Counterbore, countersink or entry chamfer.
fn head_line(feature: &Feature, holes: &Holes, numbers: &Numbers<'_>) -> Option<(String, Shown)> {
    let shows = |sizes: &[&Size]| Shown {
        names: sizes.iter().map(|size| size.name.clone()).collect(),
        title: sizes.iter().map(|size| size.title.as_str()).collect::<Vec<_>>().join("; "),
    };
    match &holes.head {
        Some(Head::Counterbore { diameter, depth }) => Some((
            format!("⌴ ⌀{} ↧ {}", numbers.one_line(diameter), numbers.one_line(depth)),
            shows(&[diameter, depth]),
        )),
        Some(Head::Countersink { diameter, angle }) => Some((
            format!("⌵ ⌀{} X {}°", numbers.one_line(diameter), trimmed(angle.as_degree(), 1)),
            shows(&[diameter]),
        )),
        None => {
            let diameter = holes.chamfer?;
            let shows = Shown {
                names: vec![format!("{}.chamfer", feature.id)],
                title: format!("{}: entry chamfer, 90° included", feature.title),
            };
            let name = format!("{}.chamfer", feature.id);
            Some((format!("⌵ ⌀{} X 90°", numbers.or_letter(&name, || numbers.plain(diameter))), shows))
        }
    }
}

fn slot_words(feature: &Feature, slot: &Slot, numbers: &Numbers<'_>) -> Vec<(String, Shown)> {
    let of = |size: &Size| Shown { names: vec![size.name.clone()], title: size.title.clone() };
    let wide = numbers.one_line(&slot.width);
    let mut lines = Vec::new();
    match &slot.length {
        Some(length) => {
            lines.push((format!("SLOT {wide} WIDE"), of(&slot.width)));
            lines.push((format!("{} LONG OVER ENDS", numbers.one_line(length)), of(length)));
        }
        None => lines.push((format!("GROOVE {wide} WIDE"), of(&slot.width))),
    }
    if let Some(depth) = slot.depth.blind() {
        lines.push((format!("↧ {}", numbers.one_line(depth)), of(depth)));
    } else {
        let title = format!("{}: through", feature.title);
        lines.push(("THRU".to_owned(), Shown { names: Vec::new(), title }));
    }
    let zero = |at: Length| at.abs().as_mm() < 5e-7;
    let general = |at| numbers.letters.is_empty() && numbers.is_general(at, slot.place_tolerance);
    let stated = |at| !zero(at) && !general(at);
    if stated(slot.place.x) || stated(slot.place.y) {
        lines.push(places_line(feature, slot.place_tolerance, numbers));
    }
    lines
}

/// What a leader may point at: middle and radius on paper, and the directions that it may come
/// from, right and up, where not all do.
#[derive(Clone, Copy, Debug)]
struct Target {
    centre: Point,
    radius: f64,
    from: (f64, f64),
}

/// How many holes of a group are tried for its leader.
const TRIED: usize = 16;

fn targets(what: What, solid: &Solid, (face, view): (Face, View), lie: Lie) -> Vec<Target> {
    let free = (0.0, 0.0);
    let What::Feature(group) = what else {
        let (x, y) = (solid.length / 2.0 - solid.corner, solid.width / 2.0 - solid.corner);
        let corner = |right: f64, up: f64| Target {
            centre: view.at(right * x, up * y),
            radius: solid.corner * view.scale,
            from: (right, up),
        };
        return vec![corner(1.0, 1.0), corner(1.0, -1.0), corner(-1.0, 1.0), corner(-1.0, -1.0)];
    };
    let mut all: Vec<Target> = solid
        .holes_of(face)
        .filter(|hole| hole.group == group)
        .map(|hole| Target { centre: view.at(hole.right, hole.up), radius: hole.outer(view.scale), from: free })
        .collect();
    for slot in solid.slots_of(face).filter(|slot| slot.group == group) {
        for (index, (right, up)) in slot.ends().into_iter().enumerate() {
            let from = (if index == 0 { -1.0 } else { 1.0 }, 0.0);
            all.push(Target { centre: view.at(right, up), radius: slot.half_wide * view.scale, from });
        }
        if slot.half_long.is_none() {
            for (right, up) in slot.edge(solid.length) {
                let down = Vector::new(0.0, if lie == Lie::Below { -2.0 * slot.half_wide * view.scale } else { 0.0 });
                all.push(Target { centre: view.at(right, up) + down, radius: 0.0, from: free });
            }
        }
    }
    let near = |target: &Target| match lie {
        Lie::Above => (-target.centre.y, (target.centre.x - view.origin.x).abs()),
        Lie::Below => (target.centre.y, (target.centre.x - view.origin.x).abs()),
        Lie::Beside => (-target.centre.x, -target.centre.y),
    };
    all.sort_by(|a, b| {
        let (a, b) = (near(a), near(b));
        a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1))
    });
    all.truncate(TRIED);
    all
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

/// White between two callouts.
const APART: f64 = 4.0;

/// How many places are tried before callouts are given up at this scale, with the shortest leaders
/// first and then from left to right.
const PATIENCE: [u32; 2] = [60, 240];

/// Places callouts in a band beside the view, each where its leader is shortest and meets nothing;
/// a later one that finds no place sends an earlier one to its next best. Where that does not help,
/// they are packed from left to right. `None` where that does not help either.
pub(super) fn place(
    board: &mut Board<'_>,
    callouts: &[Callout],
    solid: &Solid,
    view: (Face, View),
    within: (Lie, Rect),
) -> Option<()> {
    if callouts.is_empty() {
        return Some(());
    }
    let obstacles = Obstacles::of(&board.items);
    let mut others = Grid::default();
    for (centre, radius) in circles(solid, view) {
        others.put(Rect::new(centre, centre).grown(radius), (centre, radius));
    }
    // In the order of what they speak of, so that leaders need not cross.
    let mut all: Vec<(&Callout, Vec<Spot>)> = callouts
        .iter()
        .map(|callout| {
            let mut spots = spots(callout, solid, view, within);
            spots.retain(|spot| spot.free(&obstacles, within.1));
            (callout, alone(spots, &others))
        })
        .collect();
    if all.iter().any(|(_, spots)| spots.is_empty()) {
        return None;
    }
    for (patience, packed) in PATIENCE.into_iter().zip([false, true]) {
        if packed {
            for (_, spots) in &mut all {
                spots.sort_by(|a, b| {
                    b.alone.cmp(&a.alone).then(a.text.low.x.total_cmp(&b.text.low.x)).then(a.cost.total_cmp(&b.cost))
                });
            }
            let middle = |spots: &[Spot]| spots.iter().map(|spot| spot.tip.x).sum::<f64>() / times(spots.len());
            all.sort_by(|a, b| middle(&a.1).total_cmp(&middle(&b.1)));
        }
        let mut patience = patience;
        let mut placed = Vec::new();
        if place_rest(&all, &mut placed, &mut patience) {
            for ((callout, _), spot) in all.iter().zip(&placed) {
                draw(board, callout, spot);
            }
            return Some(());
        }
    }
    None
}

fn place_rest(all: &[(&Callout, Vec<Spot>)], placed: &mut Vec<Spot>, patience: &mut u32) -> bool {
    let Some((_, spots)) = all.get(placed.len()) else { return true };
    // Where holes crowd each other, a leader may pass over a neighbour; it still ends on its own.
    for (far, alone) in [(false, true), (false, false), (true, true), (true, false)] {
        for spot in spots.iter().filter(|spot| spot.alone == alone && spot.is_far() == far) {
            if !placed.iter().all(|other| spot.clear_of(other)) {
                continue;
            }
            if *patience == 0 {
                return false;
            }
            *patience -= 1;
            placed.push(spot.clone());
            if place_rest(all, placed, patience) {
                return true;
            }
            placed.pop();
        }
    }
    false
}

/// All places of a callout, whether they are free or not.
fn spots(callout: &Callout, solid: &Solid, (face, view): (Face, View), (lie, band): (Lie, Rect)) -> Vec<Spot> {
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
        spots.push(Spot { tip, elbow, text, rightwards, alone: false, cost });
    };
    let mine = targets(callout.what, solid, (face, view), lie);
    let toward = |target: &Target, degree: f64| {
        let way = Vector::toward(Angle::degree(degree));
        let open = way.x * target.from.0 >= 0.0 && way.y * target.from.1 >= 0.0;
        open.then(|| (target.centre + way * target.radius, way))
    };
    let sign = match lie {
        Lie::Above => 1.0,
        Lie::Below => -1.0,
        Lie::Beside => {
            for target in &mine {
                for degree in [30.0, 45.0, 60.0, 20.0, -30.0, -45.0, -60.0] {
                    let Some((tip, way)) = toward(target, degree) else { continue };
                    let elbow = tip + way * ((band.low.x - SHOULDER - tip.x) / way.x);
                    put(tip, elbow, true, if degree > 0.0 { 0.0 } else { 3.0 });
                }
            }
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
        for target in &mine {
            for (degree, bother) in LEANS {
                for rightwards in [true, false] {
                    let lean = if rightwards { degree } else { 180.0 - degree };
                    let Some((tip, way)) = toward(target, lean * sign) else { continue };
                    let run = (height - tip.y) / way.y;
                    if run > 0.0 {
                        put(tip, tip + way * run, rightwards, bother);
                    }
                }
            }
        }
    }
    spots
}

/// What leaders had better not pass over: the holes of a face, and its slots.
fn circles(solid: &Solid, (face, view): (Face, View)) -> Vec<(Point, f64)> {
    let mut others: Vec<(Point, f64)> =
        solid.holes_of(face).map(|hole| (view.at(hole.right, hole.up), hole.outer(view.scale))).collect();
    // A slot is a row of circles here.
    for slot in solid.slots_of(face) {
        if let [from, to] = slot.ends().as_slice() {
            let (from, to) = (view.at(from.0, from.1), view.at(to.0, to.1));
            others.extend(
                (0..=6_u8).map(|step| (from + (to - from) * (f64::from(step) / 6.0), slot.half_wide * view.scale)),
            );
        }
    }
    others
}

/// Leans of leaders from the level, and how little each is liked.
const LEANS: [(f64, f64); 7] =
    [(60.0, 0.0), (45.0, 2.0), (70.0, 3.0), (52.0, 3.0), (38.0, 7.0), (30.0, 12.0), (24.0, 18.0)];

/// Sorts places by their cost and finds out which leaders pass over no hole.
fn alone(mut spots: Vec<Spot>, others: &Grid<(Point, f64)>) -> Vec<Spot> {
    for spot in &mut spots {
        let over = |(centre, radius): &(Point, f64)| apart(*centre, spot.tip, spot.elbow) <= radius - 1e-6;
        spot.alone = !others.any(Rect::new(spot.tip, spot.elbow), over);
    }
    spots.sort_by(|a, b| a.cost.total_cmp(&b.cost));
    spots
}

impl Spot {
    /// Whether its leader is longer than the eye likes to follow (our own bound); then one that passes
    /// over a neighbour is better.
    fn is_far(&self) -> bool {
        self.tip.distance(self.elbow) > 60.0
    }

    fn shoulder(&self) -> Point {
        self.elbow + Vector::new(if self.rightwards { SHOULDER } else { -SHOULDER }, 0.0)
    }

    /// Whether two callouts leave each other alone.
    fn clear_of(&self, other: &Self) -> bool {
        let lines = |spot: &Self| [(spot.tip, spot.elbow), (spot.elbow, spot.shoulder())];
        let over = |lines: [(Point, Point); 2], text: Rect| lines.iter().any(|line| passes(*line, text.grown(CLEAR)));
        !self.text.grown(APART).overlaps(other.text)
            && !over(lines(self), other.text)
            && !over(lines(other), self.text)
            && !lines(self).iter().any(|a| lines(other).iter().any(|b| cross(*a, *b)))
    }

    fn free(&self, obstacles: &Obstacles, band: Rect) -> bool {
        let inside = self.text.low.x >= band.low.x - 1e-6
            && self.text.high.x <= band.high.x
            && self.text.low.y >= band.low.y - 1e-6
            && self.text.high.y <= band.high.y + 1e-6;
        let shoulder = self.shoulder();
        inside
            && !obstacles.touch(self.text.grown(1.5))
            && !obstacles.crossed(self.tip, self.elbow)
            && !obstacles.crossed(self.elbow, shoulder)
    }
}

/// The most names on a leader.
const CROWD: usize = 60;

fn draw(board: &mut Board<'_>, callout: &Callout, spot: &Spot) {
    // The words carry every name; the lines to them do too, unless it is a crowd.
    let few = |shows: &Arc<Shown>| {
        let names = shows.names.iter().take(CROWD).cloned().collect();
        if shows.names.len() > CROWD {
            Arc::new(Shown { names, title: shows.title.clone() })
        } else {
            Arc::clone(shows)
        }
    };
    let shows = callout.lines.first().map(|(_, shows)| few(shows));
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

//! The leaders of callouts: where the words stand, and which hole the arrow points at.

use std::sync::Arc;

use super::board::Board;
use super::callout::{Callout, What};
use super::clash::{Grid, Obstacles, cross, passes};
use super::sheet::{Anchor, Role, Shown};
use super::solid::Solid;
use super::style::{CLEAR, FIGURE, LEADING, SHOULDER, times};
use super::views::View;
use crate::geom::{Point, Rect, Vector};
use crate::part::Face;
use crate::quantity::Angle;

/// Which way callouts lie from the view that they speak of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Lie {
    Above,
    Below,
    /// To the right, past the end of the view.
    Beside,
}

/// What a leader may point at: middle and radius on paper, and the directions that it may come
/// from, right and up, where not all do.
#[derive(Clone, Copy, Debug)]
struct Target {
    centre: Point,
    radius: f64,
    from: (f64, f64),
}

impl Target {
    /// Where a leader touches it that comes from this direction, and the direction.
    fn toward(&self, degree: f64) -> Option<(Point, Vector)> {
        let way = Vector::toward(Angle::degree(degree));
        let open = way.x * self.from.0 >= 0.0 && way.y * self.from.1 >= 0.0;
        open.then(|| (self.centre + way * self.radius, way))
    }
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
    /// How little it is liked: its length, and all that is to be said against it.
    cost: f64,
    /// What of that a reader is hindered by.
    excess: f64,
}

/// White between two callouts.
const APART: f64 = 4.0;

/// The longest leader that the eye follows with ease (our own bound).
const FAR: f64 = 45.0;
/// What each millimetre beyond that costs in millimetres of leader.
const FARTHER: f64 = 2.0;
/// What a leader costs that passes over a hole of others, where holes crowd each other.
const OVER: f64 = 60.0;
/// What words within the outline cost: they stand outside wherever that is as easily read (ASME
/// Y14.5 1.7, from memory; so do the drawing texts on ISO 129-1).
const INSIDE: f64 = 45.0;

/// How many places are looked at before callouts are given up at this scale.
const PATIENCE: u32 = 60_000;

/// Places callouts in a band beside the view, where their leaders are shortest together and meet
/// nothing. Where one would lead far or pass over a hole, words may stand within the outline. Where
/// no place is found for all, they are packed from left to right; `None` where that does not help
/// either. Out comes how much hinders a reader, 0.0 where nothing does.
pub(super) fn place(
    board: &mut Board<'_>,
    callouts: &[Callout],
    solid: &Solid,
    view: (Face, View),
    within: (Lie, Rect),
) -> Option<f64> {
    if callouts.is_empty() {
        return Some(0.0);
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
            (callout, weighed(spots, &others))
        })
        .collect();
    let mut found = Search::cheapest(&all);
    if found.as_ref().is_none_or(|found| excess(found) > 0.0) {
        let outline = outline(solid, view);
        let mut more = all.clone();
        for (callout, spots) in &mut more {
            let mut inside = inside(callout, solid, view, within.0);
            inside.retain(|spot| spot.free(&obstacles, outline));
            spots.extend(weighed(inside, &others));
            spots.sort_by(|a, b| a.cost.total_cmp(&b.cost));
        }
        if let Some(better) = Search::cheapest(&more)
            && found.as_ref().is_none_or(|found| cost(&better) < cost(found))
        {
            found = Some(better);
        }
    }
    if found.is_none() {
        let middle = |spots: &[Spot]| spots.iter().map(|spot| spot.tip.x).sum::<f64>() / times(spots.len());
        all.sort_by(|a, b| middle(&a.1).total_cmp(&middle(&b.1)));
        found = Search::packed(&mut all);
    }
    let found = found?;
    for ((callout, _), spot) in all.iter().zip(&found) {
        draw(board, callout, spot);
    }
    Some(excess(&found))
}

/// How little places are liked together.
fn cost(found: &[Spot]) -> f64 {
    found.iter().map(|spot| spot.cost).sum()
}

/// How much hinders a reader.
fn excess(found: &[Spot]) -> f64 {
    found.iter().map(|spot| spot.excess).sum()
}

/// One place for each callout, none in the way of another.
#[derive(Debug)]
struct Search<'s> {
    /// The places of each, in the order in which they are tried.
    all: Vec<&'s [Spot]>,
    /// What the callouts from each on cost at least.
    least: Vec<f64>,
    /// Whether the first that is found will do.
    hasty: bool,
    patience: u32,
    placed: Vec<&'s Spot>,
    best: Option<(f64, Vec<Spot>)>,
}

impl<'s> Search<'s> {
    /// Those that are liked best together, as far as patience goes: by branch and bound.
    fn cheapest(all: &'s [(&Callout, Vec<Spot>)]) -> Option<Vec<Spot>> {
        Self::run(all, false)
    }

    /// As far to the left as they go, one beside the other.
    fn packed(all: &'s mut [(&Callout, Vec<Spot>)]) -> Option<Vec<Spot>> {
        for (_, spots) in all.iter_mut() {
            let left = |spot: &Spot| (spot.excess > 0.0, spot.text.low.x);
            spots.sort_by(|a, b| {
                let (one, other) = (left(a), left(b));
                one.0.cmp(&other.0).then(one.1.total_cmp(&other.1)).then(a.cost.total_cmp(&b.cost))
            });
        }
        Self::run(all, true)
    }

    fn run(all: &'s [(&Callout, Vec<Spot>)], hasty: bool) -> Option<Vec<Spot>> {
        let all: Vec<&[Spot]> = all.iter().map(|(_, spots)| spots.as_slice()).collect();
        let mut least = vec![0.0; all.len() + 1];
        for (at, spots) in all.iter().enumerate().rev() {
            least[at] = least[at + 1] + spots.iter().map(|spot| spot.cost).fold(f64::INFINITY, f64::min);
        }
        if least[0].is_infinite() {
            return None;
        }
        let mut search = Self { all, least, hasty, patience: PATIENCE, placed: Vec::new(), best: None };
        search.from(0.0);
        search.best.map(|(_, spots)| spots)
    }

    /// Tries all places of the next callout; so far the others cost this.
    fn from(&mut self, so_far: f64) {
        let at = self.placed.len();
        let Some(spots) = self.all.get(at).copied() else {
            self.best = Some((so_far, self.placed.iter().map(|spot| (*spot).clone()).collect()));
            return;
        };
        for spot in spots {
            let cost = so_far + spot.cost;
            let most = self.best.as_ref().map_or(f64::INFINITY, |(cost, _)| *cost);
            if most.is_finite() && (self.hasty || cost + self.least[at + 1] >= most) {
                return;
            }
            if self.patience == 0 {
                return;
            }
            self.patience -= 1;
            if self.placed.iter().all(|other| spot.clear_of(other)) {
                self.placed.push(spot);
                self.from(cost);
                self.placed.pop();
            }
        }
    }
}

/// All places of a callout beside its view, whether they are free or not.
fn spots(callout: &Callout, solid: &Solid, (face, view): (Face, View), (lie, band): (Lie, Rect)) -> Vec<Spot> {
    let mut spots: Vec<Spot> = Vec::new();
    let mut put = |tip, elbow, bother| spots.extend(Spot::of(callout, view, (tip, elbow), bother));
    let mine = targets(callout.what, solid, (face, view), lie);
    let sign = match lie {
        Lie::Above => 1.0,
        Lie::Below => -1.0,
        Lie::Beside => {
            for target in &mine {
                for degree in [30.0, 45.0, 60.0, 20.0, -30.0, -45.0, -60.0] {
                    let Some((tip, way)) = target.toward(degree) else { continue };
                    let elbow = tip + way * ((band.low.x - SHOULDER - tip.x) / way.x);
                    put(tip, elbow, if degree > 0.0 { 0.0 } else { 3.0 });
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
                for lean in [degree, 180.0 - degree] {
                    let Some((tip, way)) = target.toward(lean * sign) else { continue };
                    let run = (height - tip.y) / way.y;
                    if run > 0.0 {
                        put(tip, tip + way * run, bother);
                    }
                }
            }
        }
    }
    spots
}

/// Lengths of leaders to words within the outline.
const SHORT: [f64; 8] = [6.0, 8.0, 11.0, 15.0, 20.0, 26.0, 33.0, 40.0];

/// All places of a callout within the outline of its view.
fn inside(callout: &Callout, solid: &Solid, (face, view): (Face, View), lie: Lie) -> Vec<Spot> {
    let mut spots: Vec<Spot> = Vec::new();
    for target in &targets(callout.what, solid, (face, view), lie) {
        for (degree, bother) in LEANS {
            for lean in [degree, 180.0 - degree, -degree, degree - 180.0] {
                let Some((tip, way)) = target.toward(lean) else { continue };
                for run in SHORT {
                    spots.extend(Spot::of(callout, view, (tip, tip + way * run), INSIDE + bother));
                }
            }
        }
    }
    spots
}

/// Where words within the outline may stand.
fn outline(solid: &Solid, (face, view): (Face, View)) -> Rect {
    let (wide, high) = solid.extent(face);
    let half = Vector::new(wide, high) * (view.scale / 2.0);
    Rect::new(view.origin - half, view.origin + half)
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

/// Adds what a long leader costs, and one that passes over a hole; the cheapest places come first.
fn weighed(mut spots: Vec<Spot>, others: &Grid<(Point, f64)>) -> Vec<Spot> {
    for spot in &mut spots {
        let over = |(centre, radius): &(Point, f64)| apart(*centre, spot.tip, spot.elbow) <= radius - 1e-6;
        let crowded = others.any(Rect::new(spot.tip, spot.elbow), over);
        let far = (spot.tip.distance(spot.elbow) - FAR).max(0.0);
        spot.excess = far * FARTHER + if crowded { OVER } else { 0.0 };
        spot.cost += spot.excess;
    }
    spots.sort_by(|a, b| a.cost.total_cmp(&b.cost));
    spots
}

impl Spot {
    /// With words that end at the shoulder, on the side to which the leader leans; nothing where the
    /// leader is too short to be one.
    fn of(callout: &Callout, view: View, (tip, elbow): (Point, Point), bother: f64) -> Option<Self> {
        let (run, rightwards) = (tip.distance(elbow), elbow.x > tip.x);
        if run < 3.0 {
            return None;
        }
        let start = if rightwards { elbow.x + SHOULDER + CLEAR } else { elbow.x - SHOULDER - CLEAR - callout.width };
        let high = elbow.y + FIGURE / 2.0;
        let text = Rect::new(Point::new(start, high - callout.height), Point::new(start + callout.width, high));
        let aside = (text.middle().x - view.origin.x).abs() * 0.05;
        let cost = run + bother + aside + if rightwards { 0.0 } else { 1.0 };
        Some(Self { tip, elbow, text, rightwards, cost, excess: 0.0 })
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

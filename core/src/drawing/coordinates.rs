//! Places of holes and slots as coordinates from the middle, and what middle lines say.

use std::sync::Arc;

use super::Convention;
use super::arrange::Job;
use super::number::numbered;
use super::ordinate::{self, Edge, Ordinate, Scale};
use super::sheet::Shown;
use super::solid::{Lines, Spot, column_line, columns, row_line, rows};
use super::style::PAST;
use crate::part::{Face, Feature, Kind};
use crate::quantity::Length;

/// A place as its feature tells it: where it is and how far it may be off.
struct Named<'j> {
    feature: &'j Feature,
    /// The number of a hole in its group, from zero; none for a slot.
    number: Option<usize>,
    place: (Length, Length),
    tolerance: Length,
}

impl Named<'_> {
    /// The name of its coordinate along an axis.
    fn name(&self, axis: &str) -> String {
        let id = &self.feature.id;
        self.number.map_or_else(|| [id, ".", axis].concat(), |number| numbered(id, number + 1, axis))
    }

    /// In plain words.
    fn title(&self) -> String {
        let title = &self.feature.title;
        self.number.map_or_else(|| title.clone(), |number| [title, " ", &(number + 1).to_string()].concat())
    }
}

fn named<'j>(job: &Job<'j>, group: usize, number: Option<usize>) -> Option<Named<'j>> {
    let feature = job.part.features.get(group)?;
    match (&feature.kind, number) {
        (Kind::Holes(holes), Some(at)) => {
            let place = holes.places.get(at)?;
            Some(Named { feature, number, place: (place.x, place.y), tolerance: holes.place_tolerance })
        }
        (Kind::Slot(groove), None) => {
            Some(Named { feature, number, place: (groove.place.x, groove.place.y), tolerance: groove.place_tolerance })
        }
        _ => None,
    }
}

/// What a coordinate says: of the spots on one line of centres, to the right or up. What is alike in
/// the end that is not shown is told with it.
pub(super) fn say(job: &Job<'_>, face: Face, spots: &[&Spot], right: bool) -> (String, Arc<Shown>) {
    let along_bar = matches!(face, Face::Top | Face::Bottom);
    let (axis, word) = match (right, along_bar) {
        (true, true) => ("x", "along the bar"),
        (true, false) => ("x", "across the bar"),
        (false, true) => ("y", "across the bar"),
        (false, false) => ("y", "up the end"),
    };
    let own = spots.iter().filter_map(|spot| named(job, spot.group, spot.number));
    let like = spots.iter().filter_map(|spot| {
        let (group, number) = job.twins.of_hole(spot.group, spot.number?)?;
        named(job, group, Some(number))
    });
    let mine: Vec<Named<'_>> = own.chain(like).collect();
    let names = mine.iter().map(|one| one.name(axis)).collect();
    let titles = match mine.as_slice() {
        [one] => one.title(),
        [first, .., last] if mine.len() > 4 => {
            format!("{} to {}, {} in line", first.title(), last.title(), mine.len())
        }
        few => few.iter().map(Named::title).collect::<Vec<_>>().join(", "),
    };
    let text = mine.first().map_or_else(String::new, |one| {
        let at = if right { one.place.0 } else { one.place.1 };
        job.numbers.place(&one.name(axis), at, one.tolerance)
    });
    (text, Arc::new(Shown { names, title: [&titles, ": place ", word, ", from the middle"].concat() }))
}

/// What the middle lines of a face show, upright and level, where all that is cut from it lies on
/// them and no figure has to say so.
#[derive(Clone, Debug, Default)]
pub(super) struct Middles {
    pub(super) upright: Option<Arc<Shown>>,
    pub(super) level: Option<Arc<Shown>>,
}

/// What has its place told at the views: all of a face, or only what no table tells.
fn told(job: &Job<'_>, face: Face, scale: f64) -> Vec<Spot> {
    if job.tabled {
        return job.solid.slot_spots(face).collect();
    }
    let mut spots = job.solid.spots(face, scale);
    if job.twins.any() {
        spots.retain(|spot| !job.twins.is_told(spot.group));
    }
    spots
}

fn retitled(title: &str, shows: &Shown) -> Arc<Shown> {
    Arc::new(Shown { names: shows.names.clone(), title: title.to_owned() })
}

impl Middles {
    pub(super) fn of(job: &Job<'_>, face: Face) -> Self {
        let spots = told(job, face, 1.0);
        let all: Vec<&Spot> = spots.iter().collect();
        if all.is_empty() {
            return Self::default();
        }
        let zero = |value: f64| value.abs() < 5e-7;
        let level = all.iter().all(|spot| zero(spot.up)).then(|| {
            let title = match face {
                Face::Top | Face::Bottom => "Cut on the middle of the width",
                Face::Left | Face::Right => "Cut on the middle of the height",
            };
            retitled(title, &say(job, face, &all, false).1)
        });
        let upright = (matches!(face, Face::Left | Face::Right) && all.iter().all(|spot| zero(spot.right)))
            .then(|| retitled("Cut on the middle of the width", &say(job, face, &all, true).1));
        Self { upright, level }
    }
}

/// The coordinates of a face: along its lower or upper edge, and along its left edge. `None` where
/// they are too many.
pub(super) fn scales(
    job: &Job<'_>,
    (face, scale): (Face, f64),
    edge: Edge,
    letters: &super::lettering::Lettering,
) -> Option<(Scale, Scale)> {
    let (wide, high) = job.solid.extent(face);
    let own;
    let (along, across) = if job.tabled || job.twins.any() {
        let spots = told(job, face, 1.0);
        own = (columns(&spots), rows(&spots));
        &own
    } else {
        job.solid.lines(face)
    };
    // What finds no room is not worth its words; a middle line, which takes none, is one.
    let crowded = |lines: &Lines, extent: f64| ordinate::crowded(lines.len(), extent * scale / 2.0);
    if crowded(along, wide) || crowded(across, high) {
        return None;
    }
    let (middles, none) = (Middles::of(job, face), Lines::default());
    let along = if middles.upright.is_none() { along } else { &none };
    let across = if middles.level.is_none() { across } else { &none };
    let (along, across) = ordinates(job, (face, scale, edge), &told(job, face, scale), (along, across));
    Some((
        Scale::new(edge, along, (wide * scale / 2.0, !across.is_empty()), letters)?,
        Scale::new(Edge::Left, across, (high * scale / 2.0, false), letters)?,
    ))
}

/// The edge along which places to the right stand in the view from above; below, it is the other.
pub(super) const fn edge(convention: Convention, face: Face) -> Edge {
    match (convention, face) {
        (Convention::Iso, Face::Top) | (Convention::Asme, Face::Bottom) | (_, Face::Left | Face::Right) => Edge::Below,
        (Convention::Asme, Face::Top) | (Convention::Iso, Face::Bottom) => Edge::Above,
    }
}

fn ordinates(
    job: &Job<'_>,
    (face, scale, edge): (Face, f64, Edge),
    spots: &[Spot],
    lines: (&Lines, &Lines),
) -> (Vec<Ordinate>, Vec<Ordinate>) {
    let (mut along, mut across) = (Vec::new(), Vec::new());
    let (wide, high) = job.solid.extent(face);
    let list = |lines: &Lines, right: bool, into: &mut Vec<Ordinate>| {
        let beyond = if right { high } else { wide } / 2.0 * scale + PAST + 1.0;
        let mut zero = false;
        for (at, members) in lines {
            let at = *at;
            let middle = at.abs() < 1e-6;
            zero |= middle;
            let (low, up) = if right { column_line(spots, members, scale) } else { row_line(spots, members, scale) };
            let arm = if right && edge == Edge::Above { up } else { -low } * scale;
            let start = if middle { beyond } else { arm + 1.0 };
            let mine: Vec<&Spot> = members.iter().filter_map(|index| spots.get(*index)).collect();
            let (text, shows) = say(job, face, &mine, right);
            into.push(Ordinate { at: at * scale, start, text, shows: Some(shows) });
        }
        if !zero && !into.is_empty() {
            into.push(Ordinate { at: 0.0, start: beyond, text: "0".to_owned(), shows: None });
        }
    };
    list(lines.0, true, &mut along);
    list(lines.1, false, &mut across);
    (along, across)
}

//! What is alike in both ends of a bar: one view and one callout tell of both.

use std::collections::BTreeMap;

use super::callout;
use super::number::Numbers;
use crate::part::{Face, Feature, Holes, Kind, Part, Place};

/// The holes of the end that is not shown, by those of the end that is.
#[derive(Clone, Debug, Default)]
pub(super) struct Twins {
    /// By the number of a group and of its hole: those of its like.
    holes: BTreeMap<(usize, usize), (usize, usize)>,
    /// By the number of a group: that of its like.
    groups: BTreeMap<usize, usize>,
}

impl Twins {
    /// Finds out whether a part is alike at both ends; `shown` is the end that is shown. Nothing
    /// where it is not, or where there is nothing.
    pub(super) fn of(part: &Part, numbers: &Numbers<'_>, shown: Face) -> Self {
        let other = if shown == Face::Left { Face::Right } else { Face::Left };
        let groups = |face: Face| {
            part.features.iter().enumerate().filter(move |(_, feature)| feature.face == face).filter_map(
                |(at, feature)| match &feature.kind {
                    Kind::Holes(holes) if !holes.places.is_empty() => Some((at, feature, holes)),
                    Kind::Holes(_) | Kind::Tongue(_) | Kind::Slot(_) => None,
                },
            )
        };
        if part.slots().any(|(feature, _)| matches!(feature.face, Face::Left | Face::Right)) {
            return Self::default();
        }
        let theirs: Vec<_> = groups(other).collect();
        let mut all = Self::default();
        for mine in groups(shown) {
            let like =
                theirs.iter().find(|one| !all.groups.values().any(|at| *at == one.0) && alike(mine, **one, numbers));
            let Some(like) = like else { return Self::default() };
            let places = by_place(like.2);
            for (number, place) in mine.2.places.iter().enumerate() {
                let Some(same) = places.get(&key(*place)) else { return Self::default() };
                all.holes.insert((mine.0, number), (like.0, *same));
            }
            all.groups.insert(mine.0, like.0);
        }
        if all.groups.len() == theirs.len() { all } else { Self::default() }
    }

    /// Whether one end tells of both.
    pub(super) fn any(&self) -> bool {
        !self.groups.is_empty()
    }

    /// The like of a hole: its group and its number.
    pub(super) fn of_hole(&self, group: usize, number: usize) -> Option<(usize, usize)> {
        self.holes.get(&(group, number)).copied()
    }

    /// Whether a group is told of at the other end.
    pub(super) fn is_told(&self, group: usize) -> bool {
        self.groups.values().any(|like| *like == group)
    }

    /// The like of a group.
    pub(super) fn of_group(&self, group: usize) -> Option<usize> {
        self.groups.get(&group).copied()
    }
}

/// A place by which it can be looked up: minus nought is nought.
fn key(place: Place) -> [u64; 2] {
    [place.x, place.y].map(|at| (at.as_mm() + 0.0).to_bits())
}

/// The first hole of a group at each of its places.
fn by_place(holes: &Holes) -> BTreeMap<[u64; 2], usize> {
    // The last that is put stays.
    holes.places.iter().enumerate().rev().map(|(number, place)| (key(*place), number)).collect()
}

/// Whether two groups have the same holes at the same places, and the sheet says the same of them.
fn alike(mine: (usize, &Feature, &Holes), theirs: (usize, &Feature, &Holes), numbers: &Numbers<'_>) -> bool {
    let said = |(_, feature, holes): (usize, &Feature, &Holes)| {
        callout::words(feature, holes, numbers).into_iter().map(|(text, _)| text).collect::<Vec<_>>()
    };
    let places = by_place(theirs.2);
    mine.2.places.len() == theirs.2.places.len()
        && mine.2.places.iter().all(|place| places.contains_key(&key(*place)))
        && mine.2.place_tolerance == theirs.2.place_tolerance
        && said(mine) == said(theirs)
}

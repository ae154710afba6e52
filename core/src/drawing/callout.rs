//! What is said of each group of holes.

use std::sync::Arc;

use super::arrange::Job;
use super::board::Board;
use super::number::{Numbers, numbered};
use super::sheet::Shown;
use super::style::{FIGURE, LEADING, times};
use crate::part::{Face, Feature, Head, Holes, Kind, Make, Size, Slot};
use crate::quantity::{Length, Unit, trimmed};
use crate::standards::thread::Hand;

/// The words about one group of holes.
#[derive(Clone, Debug)]
pub(super) struct Callout {
    pub(super) what: What,
    pub(super) lines: Vec<(String, Arc<Shown>)>,
    pub(super) width: f64,
    pub(super) height: f64,
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

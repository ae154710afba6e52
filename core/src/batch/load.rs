//! How many pieces stand on the table at a time.
//!
//! A change of tools is shared by all pieces of a load, so that the time of a batch is that of
//! getting ready, of so many loads with their changes, and of so many pieces with their cutting.

use serde::{Deserialize, Serialize};

use super::time::{SetupTime, say_time};
use crate::diag::{Checked, Diagnostic};
use crate::part::{Part, Place, Pose};
use crate::quantity::{Length, Time};
use crate::shop::{Plate, Shop, Travel};

/// The way that pieces are held.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Way {
    /// One piece in the vise, against the stop.
    One,
    /// Pieces in a row along the jaws, the first against the stop.
    Row,
    /// The places of a plate.
    Plate(String),
}

/// How a batch is loaded in one setup.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Load {
    /// How the pieces are held.
    pub way: Way,
    /// In words: `row of 3 in the vise`.
    pub title: String,
    /// Places along X.
    pub columns: u32,
    /// Places along Y.
    pub rows: u32,
    /// The datum of each place, counted from that of the first, which is the program's zero: row
    /// by row to the back, each from the stop on.
    pub places: Vec<Place>,
    /// Pieces of a full load.
    pub pieces: u32,
    /// Loads, the last one among them.
    pub loads: u32,
    /// Pieces of the last load.
    pub last: u32,
    /// Once, before the first load.
    pub ready: Time,
    /// One full load: changes, cutting, in and out.
    pub each: Time,
    /// All loads, with getting ready.
    pub total: Time,
    /// Why this way.
    pub reason: String,
    /// The other ways, each with what stands against it.
    pub others: Vec<String>,
}

impl Load {
    /// The last load, where it is not full.
    pub fn partial(&self) -> Option<Time> {
        (self.last < self.pieces).then(|| self.total - self.ready - self.each * f64::from(self.loads - 1))
    }
}

/// A way that could be taken, or what stands against it.
struct Offer {
    way: Way,
    title: String,
    columns: u32,
    rows: u32,
    pitch: (Length, Length),
    ready: Time,
    against: Option<String>,
}

/// A way with its reckoning.
struct Reckoned {
    offer: Offer,
    pieces: u32,
    loads: u32,
    last: u32,
    each: Time,
    total: Time,
}

/// Around a place the tool needs its own width on either side, and a little.
const AROUND: Length = Length::mm(2.0);

/// Chooses how so many pieces are loaded in one setup, in which they stand in this pose: the way with the least time altogether;
/// among equals the simplest.
///
/// # Errors
/// As findings: no way of the shop holds even one piece, or fits the travel; with the numbers.
pub fn load(part: &Part, pose: Pose, setup: &SetupTime, shop: &Shop, pieces: u32) -> Checked<Load> {
    let part = &part.posed(pose);
    let mut good: Vec<Reckoned> = Vec::new();
    let mut bad: Vec<String> = Vec::new();
    for offer in offers(part, pose, shop, pieces) {
        match offer.against.clone().or_else(|| travels(part, shop, &offer)) {
            Some(against) => bad.push(format!("{}: {against}", offer.title)),
            None => good.push(reckon(offer, setup, shop, pieces.max(1))),
        }
    }
    // The first of equals: offers come with the simplest first.
    let best = good.iter().enumerate().min_by(|(_, a), (_, b)| a.total.order(b.total)).map(|(index, _)| index);
    let Some(best) = best else {
        let finding = Diagnostic::refused("batch/load", "No way of the shop takes even one piece.");
        let finding = bad.iter().fold(finding, |finding, against| finding.note(against.clone()));
        return Checked::refuse(finding.help("A wider vise, a machine with more travel or a plate for it would do."));
    };
    let best = good.remove(best);
    let reason = reason(&best, &good, setup, pieces);
    let mut others: Vec<String> = good
        .iter()
        .map(|other| {
            let more = other.total - best.total;
            let than = if more < Time::second(0.5) { "no less".to_owned() } else { format!("{} more", say_time(more)) };
            format!("{}: {} altogether, {than}", other.offer.title, say_time(other.total))
        })
        .collect();
    others.append(&mut bad);
    let Reckoned { offer, pieces, loads, last, each, total } = best;
    let places = places(&offer, pieces);
    let Offer { way, title, columns, rows, ready, .. } = offer;
    Checked::clean(Load { way, title, columns, rows, places, pieces, loads, last, ready, each, total, reason, others })
}

fn offers(part: &Part, pose: Pose, shop: &Shop, wanted: u32) -> Vec<Offer> {
    let unit = part.unit;
    let (length, width) = (part.blank.length, part.blank.width.max(part.width.most()));
    let vise = &shop.vise;
    let wide = (width > vise.opening)
        .then(|| format!("the piece is {} wide, the vise opens {}", unit.say(width), unit.say(vise.opening)));
    let mut offers = vec![Offer {
        way: Way::One,
        title: "one piece in the vise".to_owned(),
        columns: 1,
        rows: 1,
        pitch: (Length::ZERO, Length::ZERO),
        ready: Time::ZERO,
        against: wide.clone(),
    }];
    // An end that is milled stands out beyond the jaws, and a piece on end fills them.
    if !matches!(pose, Pose::Top | Pose::Bottom) {
        return offers;
    }
    // The pieces at either end may stand out by a third of their length. Common practice, no
    // source.
    let pitch = length + shop.batch.loading.gap;
    let mut columns = 2;
    while columns <= wanted.min(50) {
        let long = pitch * f64::from(columns) - shop.batch.loading.gap;
        let most = vise.jaw_width + length * (2.0 / 3.0);
        let short = (long > most).then(|| {
            format!(
                "{columns} pieces are {} long, the jaws of {} take {}",
                unit.say(long),
                unit.say(vise.jaw_width),
                unit.say(most.down_to(Length::mm(0.1)))
            )
        });
        let ends = short.is_some();
        offers.push(Offer {
            way: Way::Row,
            title: format!("row of {columns} in the vise"),
            columns,
            rows: 1,
            pitch: (pitch, Length::ZERO),
            ready: Time::ZERO,
            against: wide.clone().or(short),
        });
        if ends {
            break;
        }
        columns += 1;
    }
    offers.extend(shop.batch.plates.iter().map(|plate| on_plate(plate, part, length, width)));
    offers
}

fn on_plate(plate: &Plate, part: &Part, length: Length, width: Length) -> Offer {
    let unit = part.unit;
    let against = [("long", length, plate.longest), ("wide", width, plate.widest)]
        .into_iter()
        .find(|(_, size, most)| size > most)
        .map(|(word, size, most)| {
            format!("the piece is {} {word}, its places take {}", unit.say(size), unit.say(most))
        });
    Offer {
        way: Way::Plate(plate.name.clone()),
        title: format!("{}, {} by {}", plate.name, plate.columns, plate.rows),
        columns: plate.columns,
        rows: plate.rows,
        pitch: (plate.pitch_x, plate.pitch_y),
        ready: plate.ready,
        against,
    }
}

/// What stands against a way at the ends of the machine's travel.
fn travels(part: &Part, shop: &Shop, offer: &Offer) -> Option<String> {
    let tool = shop.tools.iter().map(|tool| tool.diameter).fold(Length::ZERO, Length::max);
    let around = (tool + AROUND) * 2.0;
    let span = |travel: &Travel| travel.to - travel.from;
    [
        ("X", offer.columns, offer.pitch.0, part.blank.length, span(&shop.machine.x)),
        ("Y", offer.rows, offer.pitch.1, part.blank.width, span(&shop.machine.y)),
    ]
    .into_iter()
    .find_map(|(axis, count, pitch, size, travel)| {
        let need = pitch * f64::from(count.saturating_sub(1)) + size + around;
        (need > travel).then(|| {
            let unit = part.unit;
            format!(
                "it needs {} along {axis} with the tool beside it, the machine travels {}",
                unit.say(need),
                unit.say(travel)
            )
        })
    })
}

fn reckon(offer: Offer, setup: &SetupTime, shop: &Shop, wanted: u32) -> Reckoned {
    let loading = &shop.batch.loading;
    let pieces = offer.columns.saturating_mul(offer.rows).clamp(1, wanted);
    let loads = wanted.div_ceil(pieces);
    let last = wanted - (loads - 1) * pieces;
    let per_load = setup.shared() + loading.load;
    let per_piece = setup.cut() + loading.piece;
    let each = per_load + per_piece * f64::from(pieces);
    let total = offer.ready + per_load * f64::from(loads) + per_piece * f64::from(wanted);
    Reckoned { offer, pieces, loads, last, each, total }
}

fn reason(best: &Reckoned, others: &[Reckoned], setup: &SetupTime, wanted: u32) -> String {
    let changes = say_time(setup.shared());
    let loads = if best.loads == 1 { "1 load".to_owned() } else { format!("{} loads", best.loads) };
    let pieces = if wanted == 1 { "1 piece".to_owned() } else { format!("{wanted} pieces") };
    let ready = if best.offer.ready > Time::ZERO {
        format!(", {} to bolt it down among them", say_time(best.offer.ready))
    } else {
        String::new()
    };
    let head = format!("{pieces} in {loads} take {}{ready}", say_time(best.total));
    let one = others.iter().find(|other| other.offer.way == Way::One);
    match one {
        Some(one) if best.pieces > 1 => format!(
            "{head}; one by one {}. The {changes} of changes are shared by {} pieces.",
            say_time(one.total),
            best.pieces
        ),
        _ if others.is_empty() => format!("{head}; no other way takes them."),
        _ => format!("{head}; no other way is quicker."),
    }
}

fn places(offer: &Offer, pieces: u32) -> Vec<Place> {
    let cells = (0..offer.rows).flat_map(|row| (0..offer.columns).map(move |column| (column, row)));
    cells
        .take(usize::try_from(pieces).unwrap_or(0))
        .map(|(column, row)| Place { x: offer.pitch.0 * f64::from(column), y: offer.pitch.1 * f64::from(row) })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::super::time::tests::key_example;
    use super::*;
    use crate::plan::tests::m5_key as key;
    use crate::shop::{Loading, demo_shop};

    /// The worked example: 60 s to load a piece, nothing for a load, six places without a wait.
    fn shop(plates: bool) -> Shop {
        let mut shop = demo_shop("canned");
        shop.batch.loading = Loading { piece: Time::second(60.0), load: Time::ZERO, gap: Length::mm(2.0) };
        for plate in &mut shop.batch.plates {
            plate.ready = Time::ZERO;
        }
        if !plates {
            shop.batch.plates.clear();
        }
        shop
    }

    /// 299 + 216 + 60 = 575 s a piece one by one: 50 take 28 750 s, 8.0 h. Six a load: nine loads of
    /// 216 s and 50 pieces of 359 s, 19 894 s, 5.5 h.
    #[test]
    fn the_worked_example() {
        let part = key();
        let one = load(&part, Pose::Top, &key_example(), &shop(false), 50).value.expect("a load");
        assert_eq!((one.way.clone(), one.loads, one.last), (Way::One, 50, 1), "no room for a row");
        assert_eq!(one.total, Time::second(28_750.0), "8.0 h");
        assert_eq!(one.each, Time::second(575.0), "a piece");
        let six = load(&part, Pose::Top, &key_example(), &shop(true), 50).value.expect("a load");
        assert_eq!((six.pieces, six.loads, six.last), (6, 9, 2), "eight full loads and two pieces");
        assert_eq!(six.total, Time::second(19_894.0), "5.5 h");
        assert_eq!(six.each, Time::second(216.0 + 6.0 * 359.0), "a full load");
        assert_eq!(six.partial(), Some(Time::second(216.0 + 2.0 * 359.0)), "two pieces");
        assert!(six.reason.contains("one by one 7 h 59 min"), "{}", six.reason);
        assert_eq!(six.places.len(), 6, "a datum each");
        assert_eq!(six.places[0], Place { x: Length::ZERO, y: Length::ZERO }, "the first is the program's zero");
        assert_eq!(six.places[4], Place { x: Length::mm(75.0), y: Length::mm(45.0) }, "second row, second column");
    }

    #[test]
    fn getting_ready_must_pay() {
        let mut shop = shop(true);
        shop.batch.plates[0].ready = Time::second(1500.0);
        let few = load(&key(), Pose::Top, &key_example(), &shop, 4).value.expect("a load");
        assert_eq!(few.way, Way::One, "4 pieces save 648 s of changes, the plate takes 1500 s: {}", few.reason);
        let many = load(&key(), Pose::Top, &key_example(), &shop, 50).value.expect("a load");
        assert!(matches!(many.way, Way::Plate(_)), "50 pieces save 8856 s");
        assert!(many.others.iter().any(|other| other.contains("one piece in the vise") && other.contains("more")));
    }

    #[test]
    fn a_row_where_the_jaws_are_wide() {
        let mut shop = shop(false);
        shop.vise.jaw_width = Length::mm(160.0);
        let row = load(&key(), Pose::Top, &key_example(), &shop, 7).value.expect("a load");
        let length = key().blank.length.as_mm();
        let most = ((160.0 + length * 2.0 / 3.0 + 2.0) / (length + 2.0)).floor();
        assert_eq!(row.way, Way::Row, "{row:?}");
        assert!((f64::from(row.columns) - most).abs() < 1e-9, "{} of {most} in a row", row.columns);
        assert!(row.others.iter().any(|other| other.contains("the jaws of 160 mm take")), "{:?}", row.others);
        assert_eq!(row.loads * row.pieces - row.pieces + row.last, 7, "the last load is partial");
    }

    #[test]
    fn milled_ends_are_one_by_one() {
        let load = load(&key(), Pose::FirstEnd, &key_example(), &shop(true), 50).value.expect("a load");
        assert_eq!((load.way, load.others.len()), (Way::One, 0), "nothing else is offered");
    }

    #[test]
    fn what_holds_nothing_is_refused_with_numbers() {
        let mut narrow = shop(true);
        narrow.vise.opening = Length::mm(5.0);
        narrow.machine.x.from = Length::mm(-150.0);
        let checked = load(&key(), Pose::Top, &key_example(), &narrow, 5);
        let finding = checked.findings.first().expect("refused");
        let told = finding.notes.join(" ");
        assert!(told.contains("the vise opens 5 mm") && told.contains("the machine travels 150 mm"), "{told}");
    }
}

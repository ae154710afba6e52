//! The ways in which a shop can hold several pieces, and what stands against each.

use super::load::{ONE_ZERO, Way};
use crate::part::Part;
use crate::plan::{self, Reach, SetupPlan};
use crate::quantity::{Length, Time, Unit};
use crate::shop::{Control, LengthOffset, Plate, Setup, Shop, Stand, Travel, Zeros};

/// A way that could be taken, or what stands against it.
pub(super) struct Offer {
    pub(super) way: Way,
    pub(super) title: String,
    pub(super) columns: u32,
    pub(super) rows: u32,
    pub(super) stands: Vec<Stand>,
    pub(super) notes: Vec<String>,
    pub(super) ready: Time,
    pub(super) against: Option<String>,
    pitch: (Length, Length),
}

impl Offer {
    /// The most pieces that it takes.
    pub(super) fn holds(&self) -> u32 {
        self.columns.saturating_mul(self.rows)
    }
}

/// So much stays free between a cutter and the next piece, and beside a stop for putting pieces
/// in. Common practice, no source.
const FREE: Length = Length::mm(1.0);

/// The most pieces that are looked at in a row.
const ROW: u32 = 50;

/// The zeros of a control that has one for each place.
const OFFSETS: [&str; 6] = ["G54", "G55", "G56", "G57", "G58", "G59"];

/// Every way of the shop for up to `wanted` pieces, the simplest first.
pub(super) fn offers(part: &Part, setup: &SetupPlan, shop: &Shop, wanted: u32) -> Vec<Offer> {
    let posed = part.posed(setup.pose);
    let unit = part.unit;
    let width = posed.blank.width.max(posed.width.most());
    let wide = (width > shop.vise.opening)
        .then(|| format!("the piece is {} wide, the vise opens {}", unit.say(width), unit.say(shop.vise.opening)));
    let mut offers = vec![Offer {
        way: Way::One,
        title: "one piece in the vise".to_owned(),
        columns: 1,
        rows: 1,
        stands: vec![Stand { x: Length::ZERO, y: Length::ZERO, setup: setup.setup.clone() }],
        notes: setup.notes.clone(),
        ready: Time::ZERO,
        against: wide.clone(),
        pitch: (Length::ZERO, Length::ZERO),
    }];
    // An end that is milled stands out beyond the jaws, and the neighbour would be in the way.
    if setup.pose.mills_an_end() {
        return offers;
    }
    let table = Table { part, posed: &posed, setup, shop, reach: plan::reach(setup) };
    for columns in 2..=wanted.min(ROW) {
        let row = table.row(columns, wide.as_ref());
        let ends = row.against.is_some();
        offers.push(row);
        if ends {
            break;
        }
    }
    if wanted > 1 {
        offers.extend(shop.batch.plates.iter().map(|plate| table.plate(plate, wanted)));
    }
    offers
}

/// What stands against a way at the ends of the machine's travel.
pub(super) fn travels(part: &Part, setup: &SetupPlan, shop: &Shop, offer: &Offer) -> Option<String> {
    let reach = plan::reach(setup);
    let span = |travel: &Travel| travel.to - travel.from;
    let pieces = offer.stands.len();
    let used = |place: fn(&Stand) -> Length| offer.stands.iter().map(place).fold(Length::ZERO, Length::max);
    [
        ("X", used(|stand| stand.x), reach.x, span(&shop.machine.x), offer.pitch.0),
        ("Y", used(|stand| stand.y), reach.y, span(&shop.machine.y), offer.pitch.1),
    ]
    .into_iter()
    .find_map(|(axis, far, (low, high), travel, pitch)| {
        let need = far + high - low;
        (need > travel).then(|| {
            let unit = part.unit;
            let more =
                if pitch > Length::ZERO && pieces > 1 { ((travel - (high - low)) / pitch).floor() } else { -1.0 };
            let fits = if more >= 0.0 {
                format!("; {} along {axis} would go", crate::quantity::fixed(more + 1.0, 0))
            } else {
                String::new()
            };
            let (need, travel) = (unit.say(need), unit.say(travel));
            format!("the tools need {need} along {axis}, the machine travels {travel}{fits}")
        })
    })
}

/// What all ways of a setup look at.
struct Table<'t> {
    part: &'t Part,
    posed: &'t Part,
    setup: &'t SetupPlan,
    shop: &'t Shop,
    reach: Reach,
}

impl Table<'_> {
    /// Between two pieces along X: room for the next one's stop, for the cutter that runs past an
    /// end, and what the shop asks for.
    fn between(&self) -> Length {
        let (from, to) = self.posed.blank_along();
        let past = (self.reach.edge_x.1 - to).max(from - self.reach.edge_x.0);
        self.shop.batch.loading.gap.max(self.setup.setup.stop_thickness + FREE).max(past + FREE)
    }

    /// Pieces in a row between the jaws, the row in their middle.
    fn row(&self, columns: u32, wide: Option<&String>) -> Offer {
        let unit = self.part.unit;
        let length = self.posed.blank.length;
        let vise = &self.shop.vise;
        // A distance that is easily set and checked, with the axes of the machine.
        let mill = self.shop.control.speaks(unit);
        let step = match mill {
            Unit::Mm => Length::mm(0.5),
            Unit::Inch => Length::inch(0.02),
        };
        let pitch = (length + self.between()).up_to(step);
        let count = f64::from(columns);
        let (long, gap) = (pitch * (count - 1.0) + length, pitch - length);
        // The pieces at either end may stand out by a third of their length. Common practice, no
        // source.
        let most = vise.jaw_width + length * (2.0 / 3.0);
        let short = (long > most).then(|| {
            format!(
                "{columns} pieces with {} between them are {} long, the jaws of {} take {}",
                unit.say(gap),
                unit.say(long),
                unit.say(vise.jaw_width),
                unit.say(most.down_to(Length::mm(0.1)))
            )
        });
        let zeros = zeros(&self.shop.control, self.shop.batch.loading.zeros, columns);
        let mut notes = self.setup.notes.clone();
        notes.push(format!(
            "{columns} pieces in a row, {} from one to the next: each against a stop of its own {} thick, the stops on one strip at the fixed jaw.",
            mill.say(pitch),
            mill.say(self.setup.setup.stop_thickness)
        ));
        notes.push("Pieces of one load from one bar, or a strip of card at the moving jaw: a narrower one would be loose. An empty place takes a blank of the same width, or the jaws tilt.".to_owned());
        notes.extend(self.touched_off());
        notes.extend(self.shared_zero());
        let words = zeros.as_deref().unwrap_or_default();
        let stands = (0..columns).map(|at| {
            let x = pitch * f64::from(at);
            Stand { x, y: Length::ZERO, setup: self.in_row(at, columns, pitch, words) }
        });
        Offer {
            way: Way::Row,
            title: format!("row of {columns} in the vise"),
            columns,
            rows: 1,
            stands: stands.collect(),
            notes,
            ready: Time::ZERO,
            against: wide.cloned().or(short).or_else(|| too_few(&zeros, columns)),
            pitch: (pitch, Length::ZERO),
        }
    }

    /// How one of a row is held: its share of the jaws goes half way to its neighbours.
    fn in_row(&self, at: u32, columns: u32, pitch: Length, words: &[String]) -> Setup {
        let half = self.shop.vise.jaw_width / 2.0;
        // From this piece to the middle of the row.
        let middle = pitch * ((f64::from(columns) - 1.0) / 2.0 - f64::from(at));
        let from = if at == 0 { middle - half } else { -pitch / 2.0 };
        let to = if at + 1 == columns { middle + half } else { pitch / 2.0 };
        let (from, to) = (from.min(to), to.max(from));
        Setup {
            jaw_middle: (from + to) / 2.0,
            jaw_reach: (to - from) / 2.0,
            work_offset: word(words, at, &self.setup.setup),
            ..self.setup.setup.clone()
        }
    }

    fn plate(&self, plate: &Plate, wanted: u32) -> Offer {
        let unit = self.part.unit;
        let (length, width) = (self.posed.blank.length, self.posed.blank.width.max(self.posed.width.most()));
        let too = [("long", length, plate.longest), ("wide", width, plate.widest)]
            .into_iter()
            .find(|(_, size, most)| size > most)
            .map(|(word, size, most)| {
                format!("the piece is {} {word}, its places take {}", unit.say(size), unit.say(most))
            });
        let held = plate.hold.as_ref().map(|hold| plan::held(self.part, self.setup, self.shop, hold));
        let unheld = || {
            let Some(held) = &held else {
                return Some("the shop does not say what holds a piece on it (`hold` of the plate)".to_owned());
            };
            let finding = held.findings.iter().find(|finding| finding.severity == crate::diag::Severity::Refused);
            finding.map(|finding| {
                let why = finding.notes.join(" ");
                format!("{} {why}", finding.headline).trim_end_matches([' ', '.']).to_owned()
            })
        };
        let count = plate.columns.saturating_mul(plate.rows).min(wanted);
        let zeros = zeros(&self.shop.control, self.shop.batch.loading.zeros, count);
        let against = too.or_else(unheld).or_else(|| self.crowded(plate)).or_else(|| too_few(&zeros, count));
        let setup =
            held.as_ref().and_then(|held| held.value.as_ref()).map_or(&self.setup.setup, |held| &held.setup).clone();
        let mill = self.shop.control.speaks(unit);
        let mut notes = self.own_notes();
        notes.push(format!(
            "{}: supports of {} in every place, the jaws grip {} and end {} below the top; {} stay free under the piece.",
            capital(&plate.name),
            mill.say(setup.parallel_height),
            mill.say(setup.jaw_top - setup.parallel_top),
            mill.say(-setup.jaw_top),
            mill.say(setup.parallel_height)
        ));
        notes.extend(self.touched_off());
        notes.extend(self.shared_zero());
        let words = zeros.as_deref().unwrap_or_default();
        let cells = (0..plate.rows).flat_map(|row| (0..plate.columns).map(move |column| (column, row)));
        let stands = cells.zip(0..wanted).map(|((column, row), at)| Stand {
            x: plate.pitch_x * f64::from(column),
            y: plate.pitch_y * f64::from(row),
            setup: Setup { work_offset: word(words, at, &setup), ..setup.clone() },
        });
        Offer {
            way: Way::Plate(plate.name.clone()),
            title: format!("{}, {} by {}", plate.name, plate.columns, plate.rows),
            columns: plate.columns,
            rows: plate.rows,
            stands: stands.collect(),
            notes,
            ready: plate.ready,
            against,
            pitch: (plate.pitch_x, plate.pitch_y),
        }
    }

    /// What a plate has too little of between its places.
    fn crowded(&self, plate: &Plate) -> Option<String> {
        let unit = self.part.unit;
        let length = self.posed.blank.length;
        let half = self.posed.blank.width / 2.0;
        let across = (self.reach.edge_y.1.max(-self.reach.edge_y.0) - half).max(Length::ZERO) + FREE;
        [
            ("ends", self.between(), plate.pitch_x - length, plate.columns),
            ("sides", across, plate.pitch_y - half * 2.0, plate.rows),
        ]
        .into_iter()
        .find(|(_, need, have, count)| *count > 1 && need > have)
        .map(|(word, need, have, _)| {
            let (need, have) = (unit.say(need), unit.say(have));
            format!("stop and cutter need {need} between the {word} of two pieces, there are {have}")
        })
    }

    /// The notes of the setup without those that tell of its vise.
    fn own_notes(&self) -> Vec<String> {
        let vise = plan::held(self.part, self.setup, self.shop, &self.shop.vise).value;
        let of_vise = vise.map_or_else(Vec::new, |held| held.notes);
        self.setup.notes.iter().filter(|note| !of_vise.contains(note)).cloned().collect()
    }

    fn shared_zero(&self) -> Option<String> {
        let asked = self.shop.batch.loading.zeros == Zeros::Each;
        (asked && self.shop.control.length_offset == LengthOffset::TouchOff).then(|| ONE_ZERO.to_owned())
    }

    fn touched_off(&self) -> Option<String> {
        (self.shop.control.length_offset == LengthOffset::TouchOff)
            .then(|| "Every tool is set on the top of the piece in place 1; all places count from it.".to_owned())
    }
}

/// The work offset of each place, where each has its own; nothing where all count from the first,
/// or how many the control has.
type Words = Result<Vec<String>, usize>;

/// What is told of too few zeros.
fn too_few(zeros: &Words, count: u32) -> Option<String> {
    let have = zeros.as_ref().err()?;
    let said = if *have == 1 { "one zero".to_owned() } else { format!("{have} zeros") };
    Some(format!("{count} places want a zero each; the control has {said} from its own up to G59"))
}

fn zeros(control: &Control, zeros: Zeros, count: u32) -> Words {
    // Set on the work after each change, a tool knows one height: that of the first place.
    if zeros == Zeros::One || control.length_offset == LengthOffset::TouchOff {
        return Ok(Vec::new());
    }
    let own = OFFSETS.iter().position(|word| *word == control.work_offset).unwrap_or(0);
    let words: Vec<String> = OFFSETS.iter().skip(own).map(|word| (*word).to_owned()).collect();
    if words.len() < usize::try_from(count).unwrap_or(usize::MAX) { Err(words.len()) } else { Ok(words) }
}

fn word(words: &[String], at: u32, setup: &Setup) -> String {
    let own = usize::try_from(at).ok().and_then(|at| words.get(at));
    own.unwrap_or(&setup.work_offset).clone()
}

fn capital(text: &str) -> String {
    let mut signs = text.chars();
    signs.next().map_or_else(String::new, |first| first.to_uppercase().chain(signs).collect())
}

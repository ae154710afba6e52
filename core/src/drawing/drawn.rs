//! Sheets to be judged: made by hand, by dice, and of random variants of every family.

#![allow(
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "small numbers of a test"
)]

use std::sync::OnceLock;

use super::variants::House;
use super::{Convention, Format, Paper, Sheet, lay_out, sample};
use crate::part::Part;
use crate::quantity::{Length, Unit};

/// A small generator of numbers, the same on every run.
pub(super) struct Dice(u64);

impl Dice {
    pub(super) const fn new(seed: u64) -> Self {
        Self(seed)
    }

    pub(super) fn roll(&mut self, most: u64) -> u64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % most
    }

    /// One of these things.
    pub(super) fn pick<'t, T>(&mut self, things: &'t [T]) -> &'t T {
        &things[usize::try_from(self.roll(things.len() as u64)).expect("below their number")]
    }

    pub(super) fn between(&mut self, low: f64, high: f64, step: f64) -> f64 {
        let steps = ((high - low) / step) as u64 + 1;
        (((low + self.roll(steps) as f64 * step) / step).round() * step * 1e6).round() / 1e6
    }
}

/// A part as a family would make it: sizes anywhere in their range, texts that people type.
fn rolled(dice: &mut Dice) -> (Part, Format) {
    let inch = dice.roll(3) == 0;
    let unit = if inch { Unit::Inch } else { Unit::Mm };
    let per = if inch { 25.4 } else { 1.0 };
    let step = if inch { 0.0625 } else { 0.5 };
    let length = dice.between(12.0 / per, 400.0 / per, step).max(step);
    let width = dice.between(6.0 / per, 40.0 / per, step).max(step);
    let height = dice.between(4.0 / per, 30.0 / per, step).max(step);
    let mut part = sample::bar(unit, (length, width, height));
    let tongue = dice.roll(4) != 0;
    if tongue {
        let wide = (width * (0.3 + 0.1 * dice.roll(5) as f64) * 1000.0).round() / 1000.0;
        let high = (height * (0.15 + 0.1 * dice.roll(5) as f64) * 100.0).round() / 100.0;
        part = sample::with_tongue(part, wide, high);
    }
    let thread = match (inch, dice.roll(2)) {
        (true, _) => sample::quarter(),
        (false, 0) => sample::m3(),
        (false, _) => sample::m5(),
    };
    let least = thread.major.as_mm() * 1.6 / per;
    let room = ((length - 2.0 * least) / least).floor().max(0.0) as u64;
    let count = (1 + dice.roll(12)).min(1 + room);
    let pitch = if count > 1 {
        let most = (length - 2.0 * least) / (count - 1) as f64;
        (dice.between(least, most.max(least), step / 4.0).max(least).min(most) * 1000.0).floor() / 1000.0
    } else {
        0.0
    };
    let rows: Vec<f64> = match dice.roll(4) {
        0 if !tongue && width > 4.0 * least => vec![-least, least],
        1 if !tongue && width > 6.0 * least => vec![-1.5 * least, 0.0, 1.5 * least],
        _ => vec![0.0],
    };
    let places: Vec<(f64, f64)> = (0..count)
        .flat_map(|n| rows.iter().map(move |y| (n, *y)).collect::<Vec<_>>())
        .map(|(n, y)| (clean((n as f64 - (count - 1) as f64 / 2.0) * pitch), clean(y)))
        .collect();
    part = sample::with_threads(part, "set_screws", thread, &places);
    if dice.roll(3) == 0 && count > 1 && pitch > 2.5 * least {
        let pin = sample::size(
            "pin",
            "diameter of the pin holes",
            unit.length(3.0 / per),
            Length::mm(0.01),
            Length::ZERO,
            crate::part::Basis::Zone("H7".into()),
        );
        let x = clean(pitch * (count - 1) as f64 / 2.0 - pitch / 2.0);
        part = sample::with_plain(part, "pins", pin, &[(-x, 0.0), (x, 0.0)][if x.abs() < 1e-9 { 1..2 } else { 0..2 }]);
    }
    part.title = match dice.roll(5) {
        0 => "A very long title that somebody typed without ever looking at a sheet of paper "
            .repeat(3)
            .chars()
            .take(200)
            .collect(),
        1 => "Key <b>&amp; \"quoted\" ]]> --> 'x'".into(),
        2 => "Schlüssel für Schärrahmen, ÿ à Ø 5 µ".into(),
        _ => "Joining key".into(),
    };
    if dice.roll(3) == 0 {
        part.notes.push("Keep <clean> & dry; ship in pairs, wrapped, with two spare set screws and a key.".into());
    }
    if dice.roll(8) == 0 {
        part.general.name = "as on sheet 3 of the workshop's own book of tolerances, last edition".into();
    }
    let convention = if inch || dice.roll(3) == 0 { Convention::Asme } else { Convention::Iso };
    let paper = match (convention, dice.roll(3)) {
        (Convention::Iso, 0) => Paper::A3,
        (Convention::Iso, _) => Paper::A4,
        (Convention::Asme, 0) => Paper::Tabloid,
        (Convention::Asme, _) => Paper::Letter,
    };
    (part, Format { convention, paper, embed_font: false })
}

fn clean(value: f64) -> f64 {
    (value * 1000.0).round() / 1000.0 + 0.0
}

pub(super) fn laid_out(part: &Part, format: Format) -> Sheet {
    lay_out(part, &format, &sample::stamp())
        .into_result()
        .unwrap_or_else(|findings| panic!("{} on {:?}: {findings:?}", part.number, format))
}

/// Sheets, each with what it was made from; and how many random variants were asked for, were put on
/// larger paper and were refused.
pub(super) struct All {
    pub(super) sheets: Vec<(Part, Format, Sheet)>,
    pub(super) asked: usize,
    pub(super) larger: usize,
    pub(super) refused: Vec<String>,
}

/// Several hundred sheets, or as many of random variants as `SHEETS` says (`SEED` says which), laid
/// out once for all tests.
pub(super) fn all() -> &'static All {
    static ALL: OnceLock<All> = OnceLock::new();
    ALL.get_or_init(|| {
        let fixed = [
            sample::key(),
            sample::long(),
            sample::tiny(),
            sample::inch_key(),
            sample::plate(),
            sample::headed(),
            sample::all_round(false),
            sample::all_round(true),
            sample::slotted(),
            sample::grid(8, 6, 12.0),
            sample::scattered(20),
            sample::scattered(60),
        ];
        let fixed = fixed.into_iter().map(|part| (part.clone(), sample::format(&part)));
        let house = House::new();
        #[expect(clippy::disallowed_methods, reason = "how many is asked by the one who runs the test")]
        let asked =
            |name: &str, usual: u64| std::env::var(name).ok().and_then(|text| text.parse().ok()).unwrap_or(usual);
        let (mut dice, mut bars) = (Dice(asked("SEED", 12)), Dice(11));
        let known = fixed.chain((0..120).map(|_| rolled(&mut bars))).chain(house.examples());
        let mut all = All { sheets: Vec::new(), asked: 0, larger: 0, refused: Vec::new() };
        all.sheets.extend(known.map(|(part, format)| {
            let sheet = laid_out(&part, format);
            (part, format, sheet)
        }));
        let variants = std::iter::repeat_with(|| house.rolled(&mut dice)).flatten();
        for (part, format) in variants.take(usize::try_from(asked("SHEETS", 30)).expect("a number of sheets")) {
            all.asked += 1;
            let checked = lay_out(&part, &format, &sample::stamp());
            match checked.value {
                Some(sheet) => {
                    all.larger += usize::from((sheet.width - format.paper.extent().0).abs() > 1.0);
                    all.sheets.push((part, format, sheet));
                }
                None => all.refused.push(format!("{} {format:?}: {:?}", part.number, checked.findings)),
            }
        }
        all
    })
}

pub(super) fn sheets() -> impl Iterator<Item = (&'static Part, Format, &'static Sheet)> {
    all().sheets.iter().map(|(part, format, sheet)| (part, *format, sheet))
}

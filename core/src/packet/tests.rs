//! Pages judged by what stands on the paper: nothing touches, nothing leaves the frame.

use std::collections::BTreeSet;

use super::*;
use crate::batch::{Count, batch};
use crate::diag::Origin;
use crate::drawing::{Format, Item, Shape, free, lay_out};
use crate::job;
use crate::part::{
    Basis, Depth, Face, Feature, Hardware, Kind, Make, Measure, Per, Place, Size, Slot, called, characteristics,
};
use crate::plan::tests::{m5_key, planned};
use crate::proof::{Times, Verdict};
use crate::quantity::{Length, Torque, Unit};
use crate::shop::demo_shop;

/// Numbers that are random and yet the same on every run.
struct Dice(u64);

impl Dice {
    fn roll(&mut self, most: u32) -> u32 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        u32::try_from((self.0 >> 33) % u64::from(most)).expect("below a u32")
    }

    /// Words as people type them, up to so many.
    fn words(&mut self, most: u32) -> String {
        let words = [
            "key",
            "(left)",
            "Schlüssel",
            "M5x0.8",
            "for-the-long-rails-of-the-north-wall",
            "a",
            "ÿß°",
            "£5,",
            "0.5\"",
            "Qjy|",
        ];
        let count = 1 + self.roll(most);
        (0..count).map(|_| words[usize::try_from(self.roll(10)).expect("small")]).collect::<Vec<_>>().join(" ")
    }
}

fn texts(sheet: &Sheet) -> Vec<(Rect, String)> {
    sheet
        .items
        .iter()
        .filter_map(|item| match &item.shape {
            Shape::Text { ink, text, .. } => Some((*ink, text.clone())),
            _ => None,
        })
        .collect()
}

/// A key made and proved, with what an order makes of it.
fn pages_of(part: &Part, shop: &Shop, count: Count, stamp: &Stamp) -> Option<Vec<Sheet>> {
    pages_with(part, shop, count, stamp, &|_| ())
}

/// The same, with other readings of the first piece.
fn pages_with(
    part: &Part,
    shop: &Shop,
    count: Count,
    stamp: &Stamp,
    change: &dyn Fn(&mut Verdict),
) -> Option<Vec<Sheet>> {
    let plan = planned(part, shop);
    let mut runs = job::runs(&plan, part, shop, stamp, true);
    for run in &mut runs {
        change(&mut run.verdict);
    }
    let times: Vec<&Times> = runs.iter().map(|run| &run.verdict.times).collect();
    let batch = batch(part, &plan, &times, shop, count, None).value?;
    let loads = job::loads(part, &plan, &batch, shop, stamp, false).value?;
    let drawing = lay_out(part, &Format::usual(part.unit), stamp).value?;
    let order = Order {
        part,
        plan: &plan,
        shop,
        batch: &batch,
        drawing: &drawing,
        stamp,
        verdicts: runs.iter().map(|run| &run.verdict).collect(),
        timed: (count.spares == 3).then(|| Time::second(1000.0)),
        probed: vec![(1, Ok("probe-1.nc".to_owned())), (2, Err("nobody knows why".to_owned()))],
        loads: loads.iter().map(|run| LoadPaper::of(run.setup, run.pieces, &run.file, &run.verdict)).collect(),
    };
    packet(&order, upright(&drawing)).value
}

fn stamp() -> Stamp {
    Stamp {
        revision: "B".to_owned(),
        digest: "0123456789ab".to_owned(),
        owner: "Heddle Row Workshop".to_owned(),
        ..Stamp::default()
    }
}

fn judge(sheets: &[Sheet], part: &Part, seed: &str) {
    let count = sheets.len();
    for (at, sheet) in sheets.iter().enumerate() {
        let all = texts(sheet);
        let words: Vec<&str> = all.iter().map(|(_, text)| text.as_str()).collect();
        let joined = words.join("\n");
        for (ink, text) in &all {
            let upright = sheet.width < sheet.height;
            let frame = sheet.frame.grown(if upright { -0.3 } else { 0.3 });
            assert!(
                frame.holds(ink.low) && frame.holds(ink.high),
                "{seed}, page {}: `{text}` leaves the frame",
                at + 1
            );
        }
        // A drawing that is crowded already is not the balloons' fault.
        let plain: Vec<Item> = lay_out(part, &Format::usual(part.unit), &stamp())
            .value
            .filter(|_| sheet.width > sheet.height)
            .map_or_else(Vec::new, |plain| plain.items);
        assert!(!free(&plain) || free(&sheet.items), "{seed}, page {}: {}", at + 1, clash(&sheet.items));
        assert!(joined.contains(&format!("Page {} of {count}", at + 1)), "{seed}: the number of the page");
        assert!(joined.contains("0123456789ab"), "{seed}: the digest");
        if at + 1 == count {
            // The last of the contents is the last page, and stands there with its number.
            let cover: Vec<String> = texts(&sheets[0]).into_iter().map(|(_, text)| text).collect();
            assert!(joined.contains("Hazards"), "{seed}: the last page");
            let told = cover.join(" ");
            assert!(told.contains(&format!("{count} Hazards")), "{seed}: the contents: {told}");
        }
        let start: String = part.number.chars().take(5).collect();
        assert!(joined.contains(&start), "{seed}: the part");
    }
}

/// The first two that touch, for whoever reads a failed test.
fn clash(items: &[Item]) -> String {
    for (at, item) in items.iter().enumerate() {
        let Shape::Text { ink, text, .. } = &item.shape else { continue };
        for other in items.iter().skip(at + 1).chain(items.iter().take(at)) {
            if !free(&[item.clone(), other.clone()]) {
                return format!("`{text}` at {ink:?} and {:?}", other.shape);
            }
        }
    }
    "lines cross".to_owned()
}

#[test]
fn pages_are_clear_for_any_order() {
    for seed in 0..60_u64 {
        let mut dice = Dice(seed);
        let control = ["canned", "written-out", "absolute"][usize::try_from(dice.roll(3)).expect("small")];
        let mut shop = demo_shop(control);
        let mut part = m5_key();
        if dice.roll(3) == 0 {
            part.unit = Unit::Inch;
        }
        if dice.roll(3) == 0 {
            shop.vise.jaw_width = Length::mm(f64::from(40 + 20 * dice.roll(8)));
            shop.batch.plates.clear();
        }
        part.title = dice.words(12);
        part.number = dice.words(8);
        part.material.title = dice.words(9);
        part.hardware = (0..dice.roll(if seed % 7 == 0 { 90 } else { 5 }))
            .map(|_| Hardware {
                item: dice.words(14),
                count: dice.roll(9),
                per: if dice.roll(4) == 0 { Per::Order } else { Per::Piece },
                key: (dice.roll(2) == 0).then(|| dice.words(2)),
                torque: (dice.roll(2) == 0).then(|| Torque::newton_mm(f64::from(dice.roll(9000)))),
            })
            .collect();
        if dice.roll(3) == 0 {
            for feature in &mut part.features {
                if let Kind::Holes(holes) = &mut feature.kind {
                    let most = 1 + dice.roll(7);
                    holes.places = (0..most)
                        .map(|at| Place {
                            x: Length::mm(f64::from(at) * 7.0 - f64::from(most - 1) * 3.5),
                            y: Length::ZERO,
                        })
                        .collect();
                }
            }
        }
        let ordered = [1, 2, 7, 50, 240, 9000][usize::try_from(dice.roll(6)).expect("small")];
        let count = Count { ordered, spares: dice.roll(5) };
        let stamp = Stamp { date: (dice.roll(2) == 0).then(|| dice.words(3)), ..stamp() };
        let Some(sheets) = pages_of(&part, &shop, count, &stamp) else { continue };
        judge(&sheets, &part, &format!("order {seed}"));
    }
}

/// The whole of the sheet and the drawing agree: every number of the one is on the other.
#[test]
fn balloons_match_the_sheet() {
    let (part, shop) = (m5_key(), demo_shop("canned"));
    let sheets = pages_of(&part, &shop, Count { ordered: 50, spares: 3 }, &stamp()).expect("a packet");
    let drawing = sheets.iter().find(|sheet| sheet.width > sheet.height).expect("the drawing lies");
    let plain = lay_out(&part, &Format::usual(part.unit), &stamp()).value.expect("a drawing");
    let numbered = balloon::numbered(&asked_for(&part), &[&plain]);
    let circles = drawing
        .items
        .iter()
        .filter(|item| matches!(item.shape, Shape::Circle { radius, .. } if (radius - 3.4).abs() < 1e-9));
    assert_eq!(circles.count(), numbered.balloons.len(), "a balloon for each number");
    let chamfers = part.holes().filter(|(_, holes)| holes.chamfer.is_some()).map(|(_, holes)| holes.places.len());
    let chamfers: usize = chamfers.sum();
    assert!(chamfers > 0, "the drawing shows a chamfer");
    assert_eq!(numbered.rows.len(), characteristics(&part).len() + chamfers, "a row for each that the drawing shows");
    let rows: BTreeSet<u32> = numbered
        .rows
        .iter()
        .map(|(name, _)| name.split('.').next().expect("a number").parse().expect("a number"))
        .collect();
    let numbers: BTreeSet<u32> = numbered.balloons.iter().map(|(number, _, _)| *number).collect();
    assert_eq!(rows, numbers, "every row has its balloon");
    let on_sheet: BTreeSet<String> = sheets
        .iter()
        .filter(|sheet| texts(sheet).iter().any(|(_, text)| text.starts_with("Inspection sheet")))
        .flat_map(|sheet| texts(sheet).into_iter().map(|(_, text)| text))
        .collect();
    assert!(numbered.rows.iter().all(|(name, _)| on_sheet.contains(name)), "each number stands on the sheet");
    assert!(numbered.rows.iter().any(|(_, one)| matches!(one.measure, Measure::PitchDiameter(..))), "threads too");
}

/// Leaders of balloons run through no figure and no other balloon, and no balloon lies on a leader: on
/// every family in its usual sizes and with rows of holes.
#[test]
fn leaders_of_balloons_strike_nothing_through() {
    for count in 1..=12_u32 {
        let mut part = m5_key();
        for feature in &mut part.features {
            if let Kind::Holes(holes) = &mut feature.kind {
                let at = |at: u32| Length::mm(f64::from(at) * 4.5 - f64::from(count - 1) * 2.25);
                holes.places = (0..count).map(|number| Place { x: at(number), y: Length::mm(2.0) }).collect();
            }
        }
        let drawing = lay_out(&part, &Format::usual(part.unit), &stamp()).value.expect("a drawing");
        let numbered = balloon::numbered(&asked_for(&part), &[&drawing]);
        let sheet = balloon::draw((&drawing, 0), &numbered, &Lettering::new());
        let circle = |item: &Item| match item.shape {
            Shape::Circle { centre, radius } if (radius - 3.4).abs() < 1e-9 => Some(centre),
            _ => None,
        };
        let balloons: Vec<Point> = sheet.items.iter().filter_map(circle).collect();
        assert_eq!(balloons.len(), numbered.balloons.len(), "{count}: a balloon for each");
        // A leader begins on the edge of its own balloon.
        let leaders =
            sheet.items.iter().filter(|item| !drawing.items.contains(item)).filter_map(|item| match item.shape {
                Shape::Line(from, to) => Some((from, to)),
                _ => None,
            });
        for (from, to) in leaders {
            let steps = (from.distance(to) / 0.2).ceil().max(1.0);
            for step in (0..1000).map(f64::from).take_while(|step| *step < steps) {
                let at = from + (to - from) * (step / steps);
                for (ink, text) in texts(&drawing) {
                    assert!(!ink.holds(at), "{count}: a leader through `{text}` at {at:?}");
                }
                for centre in balloons.iter().filter(|centre| (centre.distance(from) - 3.4).abs() > 1e-6) {
                    assert!(centre.distance(at) > 3.4, "{count}: a leader through the balloon at {centre:?}");
                }
            }
        }
    }
}

/// An inch order on a control that always speaks millimetres, and the other way round: what is set,
/// typed or read at the machine has the control's unit alone, what is measured the drawing's.
#[test]
fn what_is_typed_has_the_unit_of_the_control() {
    for (drawn, screen) in [(Unit::Inch, Unit::Mm), (Unit::Mm, Unit::Inch)] {
        let (mut part, mut shop) = (m5_key(), demo_shop("canned"));
        part.unit = drawn;
        shop.control.unit = Some(screen);
        let sheets = pages_of(&part, &shop, Count { ordered: 50, spares: 3 }, &stamp()).expect("a packet");
        let number = |word: &str| word.trim_start_matches(['(', '+']).parse::<f64>().is_ok();
        let speaks = |words: &[&str], unit: Unit| {
            let sign = |word: &str| word.trim_end_matches(|sign: char| !sign.is_alphabetic()) == unit.sign();
            words.windows(2).any(|pair| number(pair[0]) && sign(pair[1]))
        };
        let both = format!("Program and screen in {}, drawing in {}.", screen.words(), drawn.words());
        let field = format!("program {}, drawing {}", screen.sign(), drawn.sign());
        for (start, unit) in [
            ("Setup sheet", screen),
            ("Finding the zero", screen),
            ("Load sheet", screen),
            ("In-process sheet", drawn),
            ("Cut list", drawn),
        ] {
            let other = if unit == Unit::Mm { Unit::Inch } else { Unit::Mm };
            let told: Vec<Vec<String>> = sheets
                .iter()
                .filter(|sheet| texts(sheet).iter().any(|(_, text)| text.starts_with(start)))
                .filter(|sheet| texts(sheet).iter().all(|(_, text)| !text.starts_with("Route card")))
                .map(|sheet| texts(sheet).into_iter().map(|(_, text)| text).collect())
                .collect();
            assert!(!told.is_empty(), "there is a page `{start}`");
            assert!(told.iter().all(|page| page.contains(&field)), "{start}: both units in the strip");
            assert!(unit == drawn || told[0].contains(&both), "{start}: said at its head: {:?}", told[0]);
            // Names of bars and tools keep their own words.
            let named = |text: &String| text.contains("brass") || text.contains("mill ") || text.contains("drill ");
            for text in told.iter().flatten().filter(|text| !named(text)) {
                let words: Vec<&str> = text.split_whitespace().collect();
                assert!(!speaks(&words, other), "{start}, drawn in {}: {text}", drawn.words());
            }
        }
        let joined = texts(&sheets[0]).into_iter().map(|(_, text)| text).collect::<Vec<_>>().join(" ");
        assert!(joined.contains(&both), "on the cover");
        part.unit = screen;
        let one = pages_of(&part, &shop, Count { ordered: 50, spares: 3 }, &stamp()).expect("a packet");
        let all: Vec<String> = one.iter().flat_map(texts).map(|(_, text)| text).collect();
        assert!(all.iter().all(|text| !text.contains("Program and screen")), "one unit needs no word");
    }
}

#[test]
fn the_same_order_gives_the_same_pages() {
    let (part, shop) = (m5_key(), demo_shop("canned"));
    let count = Count { ordered: 50, spares: 4 };
    let [first, again] = [0, 1].map(|_| pages_of(&part, &shop, count, &stamp()).expect("a packet"));
    assert_eq!(first, again, "nothing of the clock or the machine");
    let named = texts(&first[0]).into_iter().map(|(_, text)| text).collect::<Vec<_>>().join("\n");
    for word in ["Route card", "Setup sheet 1", "Cut list", "Hazards"] {
        assert!(named.contains(word), "the contents name `{word}`");
    }
}

/// Equal holes share one size; each has a row of its own with its number and what it measures.
#[test]
fn equal_holes_are_told_apart() {
    let mut part = m5_key();
    for feature in &mut part.features {
        if let Kind::Holes(holes) = &mut feature.kind {
            let limits = (Length::mm(5.5), Length::mm(0.12), Length::mm(-0.12));
            let (name, title) = ("hole".to_owned(), "width of the holes".to_owned());
            let diameter =
                Size { name, title, nominal: limits.0, upper: limits.1, lower: limits.2, basis: Basis::General };
            holes.make = Make::Plain { diameter };
        }
    }
    let measured = |run: &mut Verdict| {
        for reading in &mut run.inspection {
            if let Measure::HoleDiameter(_, at) = reading.characteristic.measure {
                reading.measured = Some(Length::mm([5.51, 5.52, 5.53, 5.54][at]));
            }
        }
    };
    let count = Count { ordered: 2, spares: 0 };
    let sheets = pages_with(&part, &demo_shop("canned"), count, &stamp(), &measured).expect("a packet");
    let sheet = |sheet: &&Sheet| texts(sheet).iter().any(|(_, text)| text.starts_with("Inspection sheet"));
    let told: Vec<String> = sheets.iter().filter(sheet).flat_map(texts).map(|(_, text)| text).collect::<Vec<_>>();
    let joined = told.join(" ");
    for (number, value) in [(1, "5.51"), (2, "5.52"), (3, "5.53"), (4, "5.54")] {
        let row = format!("holes {number}, width of the holes");
        assert_eq!(joined.matches(&row).count(), 1, "`{row}` once: {joined}");
        assert!(told.iter().any(|text| text == value), "hole {number} measures {value}: {joined}");
    }
}

/// Slots that share a size, and their own titles where they do not.
#[test]
fn slots_of_one_width_are_told_apart() {
    let size = |title: &str| Size {
        name: "slot_width".to_owned(),
        title: title.to_owned(),
        nominal: Length::mm(6.0),
        upper: Length::mm(0.1),
        lower: Length::ZERO,
        basis: Basis::General,
    };
    let slot = |id: &str, title: &str, depth: &str| Feature {
        id: id.to_owned(),
        title: title.to_owned(),
        face: Face::Top,
        origin: Origin::default(),
        kind: Kind::Slot(Slot {
            place: Place { x: Length::ZERO, y: Length::ZERO },
            place_tolerance: Length::mm(0.1),
            length: None,
            width: size("width of the slots"),
            depth: Depth::Blind(size(depth)),
        }),
    };
    let mut part = m5_key();
    part.features = vec![slot("a", "Left slot", "its depth"), slot("b", "Right slot", "the other depth")];
    let titles: Vec<String> = characteristics(&part).iter().skip(3).map(|one| called(&part, one)).collect();
    let both = ["Left slot, place across the bar", "Left slot, width of the slots", "its depth"];
    assert_eq!(titles[..3], both, "the first");
    assert_eq!(titles[4..], ["Right slot, width of the slots", "the other depth"], "the second");
}

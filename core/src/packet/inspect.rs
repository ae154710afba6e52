//! The sheets for measuring: the whole first piece, and a few sizes of the others.

use super::balloon::Numbered;
use super::desk::{BODY, CLEAR, Desk};
use super::table::{Cell, Side, Table};
use super::{Order, chart, proved};
use crate::part::{
    Axis, Characteristic, Ends, Measure, Part, bores, called, characteristics, gauge, only_gauged, thread_of,
};
use crate::proof::Reading;
use crate::quantity::{Length, Unit, decimals, fixed};
use crate::record::{BY_GAUGE, inspection};

/// The sheet of the first piece.
pub(super) fn first_piece(desk: &mut Desk<'_>, order: &Order<'_>, numbered: &Numbered) {
    let part = order.part;
    desk.page("Inspection sheet of the first piece");
    super::two_units(desk, order);
    desk.text(
        "The numbers are those of the balloons on the drawing. Measure before the piece is unclamped what can be reached, the rest after; let it come to the room's temperature first.",
        BODY,
    );
    desk.gap(1.5);
    let mut head = Table::form(
        &[
            ("Machine", 2.0, Side::Left),
            ("Gauges, numbers", 3.0, Side::Left),
            ("Measured by", 2.0, Side::Left),
            ("Date, time", 2.0, Side::Left),
        ],
        7.5,
    );
    head.add(vec![Cell::Blank, Cell::Blank, Cell::Blank, Cell::Blank]);
    desk.table(&head);
    let columns = [
        ("No.", 14.5, Side::Left),
        ("What", 41.0, Side::Left),
        ("Nominal", 17.0, Side::Right),
        ("Least", 16.0, Side::Right),
        ("Most", 16.0, Side::Right),
        ("With what", 36.0, Side::Left),
        ("Proof", 16.0, Side::Right),
        ("Read", 13.5, Side::Right),
        ("Again", 13.5, Side::Right),
        ("Good", 12.5, Side::Middle),
    ];
    let mut table = Table::form(&columns, 7.0);
    let all = inspection(part, &order.verdicts);
    for (number, characteristic) in &numbered.rows {
        let size = &characteristic.size;
        let [nominal, least, most] = aligned(part.unit, [size.nominal, size.least(), size.most()]);
        // Equal holes share the name of their size: each has its own measure.
        let found = all.iter().find(|reading| reading.characteristic.measure == characteristic.measure);
        let width = all.iter().find(|one| bores(&one.characteristic.measure, &characteristic.measure));
        let bore = width.and_then(|reading| reading.measured);
        let measured = found.map_or_else(String::new, |reading| proof(part.unit, reading, &least));
        let read = || if only_gauged(&characteristic.measure) { Cell::text(BY_GAUGE) } else { Cell::Blank };
        table.add(vec![
            Cell::text(number.clone()),
            Cell::text(capital(&called(part, characteristic))),
            Cell::text(nominal),
            Cell::text(least),
            Cell::text(most),
            Cell::text(gauge(part, characteristic, bore)),
            Cell::text(measured),
            read(),
            read(),
            Cell::Tick,
        ]);
    }
    for (what, with) in beside(part) {
        let blank = || Cell::text("");
        table.add(vec![
            blank(),
            Cell::text(what),
            blank(),
            blank(),
            blank(),
            Cell::text(with),
            blank(),
            Cell::Blank,
            Cell::Blank,
            Cell::Tick,
        ]);
    }
    desk.table(&table);
    let word = if proved(order) {
        "Proof: what the piece measures that the program's own text makes, read back."
    } else {
        "Proof: what the piece measures that the program's own text makes. THE PROGRAM IS UNPROVED."
    };
    desk.text(word, BODY);
    desk.text("Places and middles are halves of differences: measure from both ends, sides or shoulders, to a snug pin in the hole; half of what the one is more than the other.", BODY);
    corrections(desk, part, order.screen());
    desk.need(16.0);
    desk.gap(2.0);
    let mut release = Table::form(
        &[("First piece", 3.0, Side::Left), ("Name", 3.0, Side::Left), ("Date, time", 2.0, Side::Left)],
        9.0,
    );
    release.add(vec![Cell::text("accepted   /   rejected"), Cell::Blank, Cell::Blank]);
    desk.table(&release);
}

/// What the proof found, with as many places as the limits; one that is out keeps all of its own, so
/// that it does not look good by rounding.
fn proof(unit: Unit, reading: &Reading, limit: &str) -> String {
    let Some(measured) = reading.measured else { return String::new() };
    let value = unit.of(measured);
    let places = limit.split_once('.').map_or(0, |(_, places)| places.len());
    let own = if reading.holds { 0 } else { decimals(value, unit.decimals() + 1) };
    fixed(value, places.max(own))
}

/// What a reading that is out asks for, as far as the part has it.
fn corrections(desk: &mut Desk<'_>, part: &Part, screen: Unit) {
    desk.heading("Where a reading is out", 20.0);
    let has = |there: bool, text: &'static str| there.then_some(text);
    let tongues = part.tongues().next().is_some();
    let threads = part.holes().any(|(_, holes)| holes.thread().is_some());
    let corrections = [
        has(
            tongues,
            "Tongue too wide or too narrow: the cutter's diameter is not what the shop's tool table says. New diameter = old diameter + wanted width - read width; make the program anew.",
        ),
        has(
            tongues,
            "Both shoulders too deep or too shallow: the length of that tool alone. Shoulders unequal: the zero of Y, by half the difference.",
        ),
        has(
            part.slots().next().is_some(),
            "Slot too wide or too narrow: the cutter's diameter is not what the shop's tool table says. New diameter = old diameter + read width - wanted width; make the program anew.",
        ),
        has(
            part.holes().next().is_some(),
            "All holes off by the same way: the zero of X or Y. Holes off by different ways: no offset mends it; look for play and lost steps.",
        ),
        has(
            part.ends != Ends::default(),
            "Too long or too short: the zero of X in the setup that mills the second end, by the difference; toward the stop where the piece is too long.",
        ),
        has(
            threads && screen == Unit::Mm,
            "Thread gauge does not enter: a path radius 0.01 mm larger. NOT GO enters: 0.015 mm smaller.",
        ),
        has(
            threads && screen == Unit::Inch,
            "Thread gauge does not enter: a path radius 0.0004 in larger. NOT GO enters: 0.0006 in smaller.",
        ),
        Some("Whoever makes the program can have all of this reckoned from the readings."),
    ];
    for text in corrections.into_iter().flatten() {
        desk.point(Some("–"), text, BODY);
    }
}

/// What is looked at beside the sizes.
fn beside(part: &Part) -> Vec<(String, String)> {
    let mut rows = Vec::new();
    if let Some((least, most)) = part.edge_break {
        let unit = part.unit;
        rows.push((
            format!("Edges broken {} to {}, no burr", unit.say(least), unit.say(most)),
            "eye and glass".to_owned(),
        ));
    }
    if part.holes().any(|(_, holes)| holes.thread().is_some()) {
        rows.push(("Threads square to the face".to_owned(), "a stud and a square".to_owned()));
    }
    rows.push(("Goes into its place without rocking".to_owned(), "its place, or the gauge for it".to_owned()));
    rows
}

/// Values of one row with equal decimals.
pub(super) fn aligned<const N: usize>(unit: Unit, values: [Length; N]) -> [String; N] {
    let most = values.iter().map(|value| decimals(unit.of(*value), unit.decimals())).max().unwrap_or(0);
    values.map(|value| fixed(unit.of(value), most))
}

pub(super) fn capital(text: &str) -> String {
    let mut signs = text.chars();
    signs.next().map_or_else(String::new, |first| first.to_uppercase().collect::<String>() + signs.as_str())
}

/// The pieces that are measured: 1, 2 and then every fifth or, of many, every tenth and so on, so
/// that some forty rows do. Common practice, no source.
fn sampled(total: u32) -> Vec<u32> {
    let step = (total.div_ceil(40)).div_ceil(5).max(1) * 5;
    let mut list: Vec<u32> = [1, 2].into_iter().filter(|piece| *piece <= total).collect();
    list.extend((1..).map(|count| count * step).take_while(|piece| *piece < total));
    if total > 2 {
        list.push(total);
    }
    list
}

/// The sheet of the pieces after the first.
pub(super) fn in_process(desk: &mut Desk<'_>, order: &Order<'_>) {
    let part = order.part;
    let total = order.batch.count.total();
    if total < 2 {
        return;
    }
    let list = characteristics(part);
    let watched: Vec<&Characteristic> = list.iter().filter(|one| is_watched(part, one)).take(3).collect();
    let mut threads: Vec<&str> = Vec::new();
    for thread in part.features.iter().filter_map(|feature| thread_of(part, &feature.id)) {
        if !threads.contains(&thread.name.as_str()) {
            threads.push(&thread.name);
        }
    }
    desk.page("In-process sheet");
    let pieces = sampled(total);
    desk.text(
        "These pieces, and the first after every change of a tool, a stop or a break of more than half an hour. GO in every thread of every piece. Two in a row beyond the same half-limit: correct before the next.",
        BODY,
    );
    desk.gap(1.5);
    let mut columns = vec![("Piece", 13.0, Side::Right)];
    let heads = ["A", "B", "C"];
    columns.extend(watched.iter().zip(heads).map(|(_, head)| (head, 20.0, Side::Right)));
    if !threads.is_empty() {
        columns.extend([("GO", 13.0, Side::Middle), ("NOT GO", 16.0, Side::Middle)]);
    }
    columns.extend([("Burrs", 14.0, Side::Middle), ("Remarks", 50.0, Side::Left), ("By", 16.0, Side::Left)]);
    for (characteristic, head) in watched.iter().zip(heads) {
        let size = &characteristic.size;
        let [least, most] = aligned(part.unit, [size.least(), size.most()]);
        let text = format!(
            "{head}: {}, {least} to {most} {}, {}",
            size.title,
            part.unit.sign(),
            gauge(part, characteristic, None)
        );
        desk.text(&text, BODY);
    }
    if !threads.is_empty() {
        desk.text(&format!("GO, NOT GO: {}", threads.join(", ")), BODY);
    }
    desk.gap(1.5);
    if let Some(first) = watched.first() {
        chart::draw(desk, part.unit, &first.size, &pieces);
    }
    let mut table = Table::form(&columns, 6.6);
    for piece in &pieces {
        let mut row = vec![Cell::text(piece.to_string())];
        row.extend(watched.iter().map(|_| Cell::Blank));
        if !threads.is_empty() {
            row.extend([Cell::Tick, Cell::Tick]);
        }
        row.extend([Cell::Tick, Cell::Blank, Cell::Blank]);
        table.add(row);
    }
    desk.table(&table);
    desk.text("Bad pieces go into the red box, counted: ______", CLEAR);
}

/// Whether a size drifts with the cutter or the stop: what is worth watching.
fn is_watched(part: &Part, characteristic: &Characteristic) -> bool {
    match characteristic.measure {
        Measure::Extent(Axis::X) => part.ends != Ends::default(),
        Measure::TongueWidth(_) | Measure::TongueHeight(_) | Measure::SlotWidth(_) | Measure::HoleDiameter(_, 0) => {
            true
        }
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn some_forty_pieces_at_most() {
        assert_eq!(sampled(1), [1], "one");
        assert_eq!(sampled(3), [1, 2, 3], "all of a few");
        assert_eq!(sampled(12), [1, 2, 5, 10, 12], "every fifth and the last");
        assert!(sampled(10_000).len() <= 43, "{}", sampled(10_000).len());
    }

    #[test]
    fn the_proof_has_the_places_of_its_limits() {
        let characteristic = characteristics(&crate::plan::tests::m5_key()).remove(0);
        let reading = |measured, holds| Reading {
            characteristic: characteristic.clone(),
            measured: Some(Length::mm(measured)),
            holds,
        };
        assert_eq!(proof(Unit::Mm, &reading(9.96, true), "9.939"), "9.960", "as the limits stand");
        assert_eq!(proof(Unit::Mm, &reading(0.0, true), "-0.05"), "0.00", "nothing too");
        assert_eq!(proof(Unit::Mm, &reading(9.9752, false), "9.975"), "9.9752", "out by less than its places");
    }

    #[test]
    fn rows_have_equal_decimals() {
        let row = aligned(Unit::Mm, [10.0, 9.939, 9.975].map(Length::mm));
        assert_eq!(row, ["10.000", "9.939", "9.975"], "as a column of figures");
    }
}

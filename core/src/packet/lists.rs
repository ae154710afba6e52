//! The list of tools, and the times of every operation.

use super::Order;
use super::desk::{BODY, Desk};
use super::table::{Cell, Side, Table};
use crate::batch::{learn, say_time};
use crate::quantity::{Time, Unit, fixed, trimmed};
use crate::shop::Edge;

/// The tools of the whole part, with room for what is measured.
pub(super) fn tools(desk: &mut Desk<'_>, order: &Order<'_>) {
    let unit = order.screen();
    desk.page("Tool list");
    super::two_units(desk, order);
    let columns = [
        ("", 7.0, Side::Middle),
        ("T", 8.0, Side::Right),
        ("Tool", 44.0, Side::Left),
        ("Diameter", 19.0, Side::Right),
        ("Measured", 19.0, Side::Left),
        ("Out", 14.0, Side::Right),
        ("Reach", 15.0, Side::Right),
        ("Edges", 19.0, Side::Left),
        ("Pieces", 15.0, Side::Left),
        ("Spare", 14.0, Side::Middle),
    ];
    let mut table = Table::form(&columns, 8.0);
    let say = |length| trimmed(unit.of(length), unit.decimals());
    for tool in &order.plan.tools {
        let edge = match tool.edge {
            Edge::Hss => "HSS",
            Edge::Carbide => "carbide",
        };
        table.add(vec![
            Cell::Tick,
            Cell::text(tool.number.to_string()),
            Cell::text(tool.title.clone()),
            Cell::text(say(tool.diameter)),
            Cell::Blank,
            Cell::text(trimmed(unit.of(tool.stick_out), 2)),
            Cell::text(trimmed(unit.of(tool.reach), 2)),
            Cell::text(format!("{} {edge}", tool.flutes)),
            Cell::Blank,
            Cell::Tick,
        ]);
    }
    desk.table(&table);
    let (sign, fine, coarse) = match unit {
        Unit::Mm => ("mm", "0.01 mm", "0.02 mm"),
        Unit::Inch => ("in", "0.0004 in", "0.0008 in"),
    };
    desk.text(&format!("In {sign}. Out: from the holder to the tip, at least the reach and no more than needed. Pieces: what the tool has made so far. Collets clean; run-out below {fine} for thread mill and finisher, {coarse} for drills."), BODY);
    let mut why = Table::new(&[("For", 2.2, Side::Left), ("T", 0.5, Side::Right), ("Why", 6.0, Side::Left)]);
    for choice in &order.plan.choices {
        let tool = choice.tool.map_or_else(|| "-".to_owned(), |tool| tool.to_string());
        let what = format!("{}: {}", feature(order, &choice.feature), choice.what);
        why.add(vec![Cell::text(what), Cell::text(tool), Cell::text(choice.why.clone())]);
    }
    desk.titled("Why these", &why);
}

fn feature(order: &Order<'_>, id: &str) -> String {
    order.part.feature(id).map_or_else(|| id.to_owned(), |feature| feature.title.clone())
}

/// Times of every operation, of a piece, a load and the batch, beside what is measured.
pub(super) fn times(desk: &mut Desk<'_>, order: &Order<'_>) {
    let batch = order.batch;
    desk.page("Times at the mill");
    for (time, load) in &batch.setups {
        if batch.setups.len() > 1 {
            desk.heading(&format!("Setup {}", time.setup), 20.0);
        }
        let columns = [
            ("T", 8.0, Side::Right),
            ("Work", 56.0, Side::Left),
            ("Change", 24.0, Side::Right),
            ("Cut, a piece", 24.0, Side::Right),
            ("Full load", 26.0, Side::Right),
            ("Measured", 26.0, Side::Left),
        ];
        let mut table = Table::form(&columns, 7.0);
        let pieces = f64::from(load.pieces);
        for tool in &time.tools {
            table.add(vec![
                Cell::text(tool.tool.to_string()),
                Cell::text(tool.work.clone()),
                Cell::text(say_time(tool.change - time.stays)),
                Cell::text(say_time(tool.cut)),
                Cell::text(say_time(tool.change - time.stays + tool.cut * pieces)),
                Cell::Blank,
            ]);
        }
        let loading = order.shop.batch.loading;
        let hands = loading.load + loading.piece * pieces;
        let blank = || Cell::text("");
        table.add(vec![
            blank(),
            Cell::text("In, out, chips off"),
            Cell::text(say_time(loading.load)),
            Cell::text(say_time(loading.piece)),
            Cell::text(say_time(hands)),
            Cell::Blank,
        ]);
        table.add(vec![
            blank(),
            Cell::text(format!(
                "Together, {} a load",
                if load.pieces == 1 { "1 piece".to_owned() } else { format!("{} pieces", load.pieces) }
            )),
            Cell::text(say_time(time.shared() + loading.load)),
            Cell::text(say_time(time.cut() + loading.piece)),
            Cell::text(say_time(load.each)),
            Cell::Blank,
        ]);
        desk.table(&table);
        let last = load
            .partial()
            .map_or_else(String::new, |time| format!(", the last of {} in {}", load.last, say_time(time)));
        let once = if time.stays > Time::ZERO {
            format!(
                " The tool stays in the spindle from load to load: {} of its change are spent once.",
                say_time(time.stays)
            )
        } else {
            String::new()
        };
        let total = say_time(load.total);
        desk.text(&format!("{} in all{last}; with getting ready {total}.{once}", loads(load.loads)), BODY);
    }
    measured(desk, order);
}

/// What was timed beside what was predicted.
fn measured(desk: &mut Desk<'_>, order: &Order<'_>) {
    let batch = order.batch;
    desk.heading("Measured against predicted", 30.0);
    let factor = order.shop.batch.time_factor;
    let bare: Time = order.verdicts.iter().map(|verdict| verdict.times.total).sum();
    desk.text(
        &format!(
            "One piece by itself, changes included: {} predicted, the shop's factor of {} in it.",
            say_time(bare * factor),
            trimmed(factor, 3)
        ),
        BODY,
    );
    match order.timed.map(|timed| learn(bare, timed, factor)) {
        Some(Ok(learnt)) => {
            desk.text(&format!("{} Factor {} from here on.", learnt.text, fixed(learnt.factor, 2)), BODY);
            let more = learnt.factor / factor;
            let milled: Time = batch
                .setups
                .iter()
                .map(|(time, load)| {
                    let pieces = f64::from(batch.count.total());
                    (time.stays + time.shared() * f64::from(load.loads) + time.cut() * pieces) * (more - 1.0)
                })
                .sum();
            desk.text(
                &format!(
                    "With it the mill takes {} rather than {}.",
                    say_time(batch.mill + milled),
                    say_time(batch.mill)
                ),
                BODY,
            );
        }
        Some(Err(finding)) => desk.text(&finding.headline, BODY),
        None => {
            desk.text("Time one run of the program for one piece. Whoever makes the programs gets from it the factor for the next times.", BODY);
            let mut table = Table::form(
                &[
                    ("Run", 1.0, Side::Right),
                    ("Start", 3.0, Side::Left),
                    ("End", 3.0, Side::Left),
                    ("Time", 3.0, Side::Left),
                    ("Why it stopped", 5.0, Side::Left),
                ],
                7.5,
            );
            for run in 1..=3 {
                table.add(vec![Cell::text(run.to_string()), Cell::Blank, Cell::Blank, Cell::Blank, Cell::Blank]);
            }
            desk.table(&table);
        }
    }
}

fn loads(count: u32) -> String {
    if count == 1 { "1 load".to_owned() } else { format!("{count} loads") }
}

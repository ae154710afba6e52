//! The first page: what is ordered, what is in the packet, and the route from the rack to the bag.

use super::desk::{BODY, Desk};
use super::table::{Cell, Side, Table};
use super::{Order, program_of, proved};
use crate::batch::{Step, say_time};
use crate::quantity::Length;

/// Writes the route card.
pub(super) fn write(desk: &mut Desk<'_>, order: &Order<'_>, contents: &[(String, usize)]) {
    desk.page("Route card");
    super::two_units(desk, order);
    let mut facts = Table::facts(told(order));
    let pages: Vec<String> = contents.iter().map(|(title, page)| format!("{page} {title}")).collect();
    if !pages.is_empty() {
        facts.add(vec![Cell::text("Pages"), Cell::text(pages.join("; "))]);
    }
    desk.table(&facts);
    if !proved(order) {
        desk.text("THE PROGRAM IS UNPROVED: it does not hold when it is read back. Do not run it as it is.", BODY);
    }
    desk.gap(1.0);
    let columns = [
        ("", 7.0, Side::Middle),
        ("Step, where", 29.0, Side::Left),
        ("How", 83.0, Side::Left),
        ("Check", 37.0, Side::Left),
        ("Times", 24.0, Side::Right),
    ];
    let mut table = Table::new(&columns);
    for step in &order.batch.route {
        table.add(row(step));
    }
    desk.table(&table);
}

fn row(step: &Step) -> Vec<Cell> {
    let many = if step.count == 1 { format!("1 {}", step.of) } else { format!("{} {}s", step.count, step.of) };
    vec![
        Cell::Tick,
        Cell::text(format!("{} {}\n{}", step.number, step.work, step.place)),
        Cell::text(step.told()),
        Cell::text(step.check.clone()),
        Cell::text(format!("{many}\n{}", say_time(step.total()))),
    ]
}

fn told(order: &Order<'_>) -> Vec<(&'static str, String)> {
    let (part, batch) = (order.part, order.batch);
    let unit = part.unit;
    let pieces = |count: u32| if count == 1 { "1 piece".to_owned() } else { format!("{count} pieces") };
    let mut rows = vec![(
        "Pieces",
        match batch.count.spares {
            0 => format!("{} to deliver, no spares", pieces(batch.count.ordered)),
            spares => format!(
                "{} to deliver, {} to make: {spares} beyond for setting up and mishaps",
                pieces(batch.count.ordered),
                batch.count.total()
            ),
        },
    )];
    rows.push(("Material", part.material.title.clone()));
    // Bars of one length that are cut in different ways are taken from the rack as one.
    let mut bars: Vec<(bool, Length, u32)> = Vec::new();
    for bar in &batch.cut_list.bars {
        match bars.iter_mut().find(|(rest, stock, _)| *rest == bar.rest && *stock == bar.stock) {
            Some((_, _, count)) => *count += bar.bars,
            None => bars.push((bar.rest, bar.stock, bar.bars)),
        }
    }
    let bars = bars.iter().map(|(rest, stock, count)| {
        let what = if *rest { "offcut" } else { "bar" };
        let many = if *count == 1 { format!("1 {what}") } else { format!("{count} {what}s") };
        format!("{many} of {}", unit.say(*stock))
    });
    rows.push(("Bar", format!("{}: {}", batch.cut_list.bar, bars.collect::<Vec<_>>().join(", "))));
    let word = if proved(order) { "proved" } else { "UNPROVED" };
    for setup in &order.plan.setups {
        let file = program_of(order, setup.setup.number);
        rows.push((
            "Program",
            format!("{file}, {word}, for the control `{}`; {}", order.shop.control.name, setup.pose.words()),
        ));
    }
    for load in &order.loads {
        let word = if load.proved { "proved on every piece" } else { "UNPROVED" };
        rows.push(("Load", format!("{}, {word}: {} of setup {}", load.file, pieces(load.pieces), load.setup)));
    }
    for (time, load) in &batch.setups {
        let name = if batch.setups.len() > 1 { format!("setup {}: ", time.setup) } else { String::new() };
        // Where nothing was to choose, no reason is told.
        let text = if load.pieces == 1 && load.others.is_empty() {
            let loads = if load.loads == 1 { "1 load".to_owned() } else { format!("{} loads", load.loads) };
            format!("{}, {loads}, {}", load.title, say_time(load.total))
        } else {
            format!("{}. {}", load.title, load.reason)
        };
        rows.push(("Loads", format!("{name}{text}")));
    }
    rows.push((
        "Time",
        format!(
            "{} at the mill, {} altogether, as predicted. Read the page of hazards first.",
            say_time(batch.mill),
            say_time(batch.total)
        ),
    ));
    rows
}

//! After the mill: the steps to the bag, what goes into it, and what stands on it.

use super::Order;
use super::desk::{BODY, CLEAR, Desk};
use super::table::{Cell, Side, Table};
use crate::batch::{Step, label, say_time};
use crate::drawing::{Anchor, Pen};
use crate::geom::{Point, Rect, Vector};
use crate::quantity::pick;

/// Writes the steps after the mill, the hardware list and the label.
pub(super) fn write(desk: &mut Desk<'_>, order: &Order<'_>) {
    desk.page("After the mill");
    let route = &order.batch.route;
    let milled = route.iter().rposition(|step| step.work.starts_with("Mill")).map_or(0, |at| at + 1);
    for step in route.iter().skip(milled) {
        steps(desk, step);
    }
    count(desk, order);
    hardware(desk, order);
    stamp(desk, order);
}

fn steps(desk: &mut Desk<'_>, step: &Step) {
    let time = say_time(step.total());
    let text = format!("{} {}: {} Check: {}. {time}.", step.number, step.work, step.told(), step.check);
    desk.point(None, &text, CLEAR);
}

fn count(desk: &mut Desk<'_>, order: &Order<'_>) {
    let gram = order.part.mass.as_gram();
    desk.heading("Count", 24.0);
    let columns = [
        ("Sawn", 1.0, Side::Left),
        ("Milled", 1.0, Side::Left),
        ("Bad", 1.0, Side::Left),
        ("Good", 1.0, Side::Left),
        ("In the bag", 1.0, Side::Left),
        ("On the scale", 1.3, Side::Left),
        ("By", 1.0, Side::Left),
    ];
    let mut table = Table::form(&columns, 9.0);
    table.add((0..7).map(|_| Cell::Blank).collect());
    desk.table(&table);
    desk.text(&format!("One piece weighs {} g by its drawing. A scale that shows less than a quarter of a screw's mass proves that none is missing.", pick(gram, 3)), BODY);
}

fn hardware(desk: &mut Desk<'_>, order: &Order<'_>) {
    desk.heading("Hardware", 20.0);
    if order.batch.hardware.is_empty() {
        desk.text("Nothing goes with the pieces.", BODY);
        return;
    }
    let columns = [
        ("", 7.0, Side::Middle),
        ("What", 60.0, Side::Left),
        ("A piece", 17.0, Side::Right),
        ("Needed", 18.0, Side::Right),
        ("Take", 16.0, Side::Right),
        ("Key", 24.0, Side::Left),
        ("Tighten to", 38.0, Side::Left),
    ];
    let mut table = Table::form(&columns, 6.5);
    for item in &order.batch.hardware {
        table.add(vec![
            Cell::Tick,
            Cell::text(item.item.clone()),
            Cell::text(item.each.map_or_else(|| "-".to_owned(), |each| each.to_string())),
            Cell::text(item.count.to_string()),
            Cell::text(item.take.to_string()),
            Cell::text(item.key.clone()),
            Cell::text(item.torque.clone()),
        ]);
    }
    desk.table(&table);
    desk.text("Take: with two of a hundred beyond, since small things are lost. Tighten by what is written here, not by feel; threads in soft metal strip first.", BODY);
}

/// The label, to cut out.
fn stamp(desk: &mut Desk<'_>, order: &Order<'_>) {
    let lines = label(order.part, order.batch.count, &order.stamp.revision, &order.stamp.digest, &order.stamp.owner);
    let (wide, pitch) = (105.0, CLEAR * 1.82);
    let lines: Vec<String> = lines
        .iter()
        .map(|line| desk.board.letters.settable(line))
        .flat_map(|line| desk.board.letters.lines(&line, CLEAR, wide - 8.0))
        .collect();
    // A label of more lines than a page has room for is a list; the table above has it.
    let most = ((desk.body().height() - 30.0) / pitch).floor();
    let fits = (0..lines.len()).take_while(|at| f64::from(u32::try_from(*at).unwrap_or(u32::MAX)) < most).count();
    let high = pitch * f64::from(u32::try_from(fits).unwrap_or(0)) + 7.0;
    desk.heading("Label", high + 2.0);
    let place = desk.picture(high + 1.0);
    let corner = Point::new(place.low.x, place.high.y - high);
    desk.rectangle(Rect::new(corner, corner + Vector::new(wide, high)), Pen::Outline);
    let mut base = place.high.y - 3.0 - CLEAR * 1.15;
    for line in lines.iter().take(fits) {
        desk.board.text(Point::new(corner.x + 4.0, base), Anchor::Start, CLEAR, line, None);
        base -= pitch;
    }
}

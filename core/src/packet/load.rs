//! The load sheet: the row of pieces, or the plate, with the places and where each has its zero.

use super::desk::{BODY, CLEAR, Desk};
use super::load_picture;
use super::scene::Scene;
use super::table::{Cell, Side, Table};
use super::{LoadPaper, Order};
use crate::batch::{Load, Way, say_time};
use crate::plan::SetupPlan;
use crate::quantity::{Length, Unit, trimmed};
use crate::shop::{LengthOffset, Stand};

/// Writes the sheet of the loads of this setup, where they are of several pieces.
pub(super) fn write(desk: &mut Desk<'_>, order: &Order<'_>, at: usize, setup: &SetupPlan) {
    let Some((_, load)) = order.batch.setups.get(at) else { return };
    let Some(first) = load.places.first().filter(|_| load.pieces > 1) else { return };
    let unit = order.screen();
    let held = SetupPlan { setup: first.setup.clone(), ..setup.clone() };
    let scene = Scene::of(order.part, &held);
    let papers: Vec<&LoadPaper> = order.loads.iter().filter(|paper| paper.setup == setup.setup.number).collect();
    desk.page(&format!("Load sheet {}: {}", setup.setup.number, load.title));
    super::two_units(desk, order);
    desk.table(&Table::facts(told(order, (setup, load), &scene, &papers)));
    desk.gap(1.0);
    load_picture::draw(desk, load, &scene, unit);
    let own = load.places.iter().any(|stand| stand.setup.work_offset != first.setup.work_offset);
    desk.titled("The places", &places(&load.places, unit));
    desk.text(&format!("X and Y are counted from the zero of place 1, in {}.", unit.words()), BODY);
    steps(desk, order, load, own);
}

fn told(
    order: &Order<'_>,
    (setup, load): (&SetupPlan, &Load),
    scene: &Scene,
    papers: &[&LoadPaper],
) -> Vec<(&'static str, String)> {
    let unit = order.screen();
    let say = |length: Length| unit.say(length);
    let factor = order.shop.batch.time_factor;
    let mut rows: Vec<(&'static str, String)> = Vec::new();
    for (index, paper) in papers.iter().enumerate() {
        let which = if index == 0 { "Program" } else { "Last load" };
        let word = if paper.proved { "proved on every piece" } else { "UNPROVED" };
        let time = say_time(paper.time * factor);
        let pieces = if paper.pieces == 1 { "1 piece".to_owned() } else { format!("{} pieces", paper.pieces) };
        rows.push((which, format!("{}, {pieces}, {word}; {time} without loading", paper.file)));
    }
    rows.push(("Loads", load.reason.clone()));
    let first = load.places.first().map_or("", |stand| stand.setup.work_offset.as_str());
    rows.push(("Put in", format!("each {}", setup.pose.put(order.plan.setups.len() > 1))));
    rows.push(("Zero", format!("{first}: place 1; {}", setup.datum)));
    let pitch = |size: fn(&Stand) -> Length| {
        load.places.iter().map(size).filter(|far| *far > Length::ZERO).min_by(|a, b| a.order(*b))
    };
    let mut apart = Vec::new();
    if let Some(x) = pitch(|stand| stand.x) {
        apart.push(format!("{} along X", say(x)));
    }
    if let Some(y) = pitch(|stand| stand.y) {
        apart.push(format!("{} along Y", say(y)));
    }
    rows.push(("Apart", format!("{} from middle to middle", apart.join(", "))));
    let (x0, x1) = scene.piece;
    let thick = say(scene.stop.1 - scene.stop.0);
    let free = |pitch: Length| say(pitch - (x1 - x0));
    let between = pitch(|stand| stand.x).map_or_else(String::new, |x| format!(", {} between two pieces", free(x)));
    let stop = format!("one for each place, {thick} thick, its top {} below the pieces{between}", say(-scene.stop_top));
    rows.push(("Stops", stop));
    rows.push((
        "Jaws",
        format!("grip {} of the height and end {} below the top", say(scene.grip()), say(-scene.jaw_top)),
    ));
    let rest = say(-scene.height - scene.bed);
    let under = match load.way {
        Way::Plate(_) => format!("supports of {rest} in every place, {} thick", say(scene.parallel_thickness)),
        _ => format!("one pair {rest} high, {} thick, as long as the jaws", say(scene.parallel_thickness)),
    };
    let under = if scene.bed < -scene.height {
        format!("{under}: {} between, {rest} free under the pieces", say(scene.gap()))
    } else {
        "nothing: they stand on the bed of the vise".to_owned()
    };
    rows.push(("Under them", under));
    rows
}

fn places(stands: &[Stand], unit: Unit) -> Table {
    let columns = [
        ("Place", 14.0, Side::Right),
        ("Zero", 16.0, Side::Left),
        ("X", 26.0, Side::Right),
        ("Y", 26.0, Side::Right),
        ("X measured", 45.0, Side::Left),
        ("Y measured", 45.0, Side::Left),
    ];
    let mut table = Table::form(&columns, 6.0);
    for (at, stand) in stands.iter().enumerate() {
        table.add(vec![
            Cell::text((at + 1).to_string()),
            Cell::text(stand.setup.work_offset.clone()),
            Cell::text(trimmed(unit.of(stand.x), unit.decimals())),
            Cell::text(trimmed(unit.of(stand.y), unit.decimals())),
            Cell::Blank,
            Cell::Blank,
        ]);
    }
    table
}

/// What helps beside the stop, where the control has it.
fn each_zero(order: &Order<'_>) -> &'static str {
    match order.shop.control.length_offset {
        LengthOffset::Table => ", or give each place a zero of its own (`zeros: each` in the shop's file)",
        LengthOffset::TouchOff => "",
    }
}

fn steps(desk: &mut Desk<'_>, order: &Order<'_>, load: &Load, own: bool) {
    let unit = order.screen();
    let near = unit.say(if unit == Unit::Mm { Length::mm(0.02) } else { Length::inch(0.001) });
    desk.heading("Loading", 20.0);
    let mut points = Vec::new();
    points.push(match &load.way {
        Way::Plate(name) => format!("The {} is bolted down, its rows true to X within {near} from end to end.", bare(name)),
        _ => "The strip with the stops is fast on the fixed jaw, below the cutters; the row stands in the middle of the jaws.".to_owned(),
    });
    points.push("Find the zero of place 1 as the page before tells.".to_owned());
    points.push(if own {
        "Find the zero of every other place in the same way and enter it under its own work offset; X and Y above tell about where it lies.".to_owned()
    } else {
        format!("With a piece of the right size in every place measure X and Y of each from place 1 and write them down: more than {near} off goes into the pieces; set the stop{}.", each_zero(order))
    });
    points.push("Stops, jaws and supports free of chips; each piece against its stop, tightened alike, tapped down until nothing moves under it.".to_owned());
    points.push("First run above the pieces, then single steps at the first move down at every place.".to_owned());
    if load.last < load.pieces {
        let last = load.last;
        let word =
            if last == 1 { "1 piece in place 1".to_owned() } else { format!("{last} pieces in places 1 to {last}") };
        points.push(format!("The last load: {word}, with its own program."));
    }
    for text in &points {
        desk.point(None, text, CLEAR);
    }
    let units = order.shop.control.two_units(order.part.unit);
    for note in load.notes.iter().filter(|note| units.as_ref() != Some(*note)) {
        desk.point(Some("–"), note, BODY);
    }
}

/// A name in the middle of a sentence.
fn bare(name: &str) -> &str {
    name.strip_prefix("the ").or_else(|| name.strip_prefix("The ")).unwrap_or(name)
}

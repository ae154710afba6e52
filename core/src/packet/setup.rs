//! The setup sheet: how the piece stands, with a picture to scale, and the tools in order.

use super::desk::{BODY, CLEAR, Desk};
use super::picture;
use super::scene::Scene;
use super::table::{Cell, Side, Table};
use super::{Order, program_of};
use crate::batch::say_time;
use crate::plan::{Operation, SetupPlan};
use crate::quantity::{Feed, Length, Unit, fixed, trimmed};
use crate::shop::{Cutter, LengthOffset, Tool};

/// Writes the sheet of the setup at this place of the plan.
pub(super) fn write(desk: &mut Desk<'_>, order: &Order<'_>, at: usize, setup: &SetupPlan) {
    let unit = order.screen();
    let scene = Scene::of(order.part, setup);
    desk.page(&format!("Setup sheet {}: {}", setup.setup.number, setup.pose.words()));
    super::two_units(desk, order);
    desk.table(&Table::facts(told(order, setup, &scene)));
    desk.gap(1.0);
    picture::draw(desk, &scene, setup.pose, unit);
    desk.text(
        &format!(
            "Figures are distances from the zero in {}. The cross marks where the first cut begins.",
            unit.words()
        ),
        BODY,
    );
    tools(desk, order, at, setup);
    start(desk, order, setup, &scene);
}

fn told(order: &Order<'_>, setup: &SetupPlan, scene: &Scene) -> Vec<(&'static str, String)> {
    let unit = order.screen();
    let say = |length: Length| unit.say(length);
    let vise = &setup.setup;
    let (x0, x1) = scene.piece;
    let mut rows = vec![
        ("Program", format!("{}, zero {}", program_of(order, vise.number), vise.work_offset)),
        (
            "Piece",
            format!(
                "{} × {} × {} from {}",
                say(x1 - x0),
                say(scene.half * 2.0),
                say(scene.height),
                order.part.blank.bar
            ),
        ),
        ("Put in", setup.pose.put(order.plan.setups.len() > 1).to_owned()),
        ("Zero", setup.datum.clone()),
    ];
    let names = setup.pose.sides();
    let ends = [(names.left, scene.overhang().0), (names.right, scene.overhang().1)].map(|(side, out)| {
        if out > Length::ZERO {
            format!("{side} {} beyond the jaws", say(out))
        } else {
            format!("{side} {} within the jaws", say(-out))
        }
    });
    rows.push(("Overhang", ends.join(", ")));
    rows.push((
        "Jaws",
        format!("grip {} of the height and end {} below the top", say(scene.grip()), say(-scene.jaw_top)),
    ));
    let beside = scene
        .beside_parallel()
        .map_or_else(String::new, |clear| format!("; through holes clear of them by {}", say(clear)));
    let parallels = if vise.parallel_height > Length::ZERO {
        format!(
            "one pair {} high, {} thick, against the jaws: {} between them, {} free under the piece{beside}",
            say(vise.parallel_height),
            say(vise.parallel_thickness),
            say(scene.gap()),
            say(vise.parallel_height)
        )
    } else {
        "none: it stands on the bed of the vise".to_owned()
    };
    rows.push(("Parallels", parallels));
    if scene.lowest < -scene.height {
        rows.push(("Deepest", format!("tools come out {} below the piece", say(-scene.height - scene.lowest))));
    }
    let beyond = scene.jaws.0 - scene.stop.1;
    let fast = if beyond > Length::ZERO {
        format!("on an arm from the fixed jaw, {} beyond its end,", say(beyond))
    } else {
        "on the fixed jaw".to_owned()
    };
    rows.push((
        "Stop",
        format!(
            "{fast} at X {}, its top {} below the piece's top",
            trimmed(unit.of(scene.stop.1), unit.decimals()),
            say(-scene.stop_top)
        ),
    ));
    if let Some(first) = scene.first {
        rows.push((
            "First cut",
            format!(
                "T{} at X {} Y {}: rapid down to Z {}, then feed to Z {}",
                first.tool,
                trimmed(unit.of(first.x), unit.decimals()),
                trimmed(unit.of(first.y), unit.decimals()),
                trimmed(unit.of(first.from), unit.decimals()),
                trimmed(unit.of(first.to), unit.decimals())
            ),
        ));
    }
    rows
}

fn feed(unit: Unit, feed: Feed) -> String {
    match unit {
        Unit::Mm => fixed(feed.as_mm_per_min(), 0),
        Unit::Inch => fixed(feed.as_mm_per_min() / 25.4, 1),
    }
}

/// The tools in the order of their work.
fn tools(desk: &mut Desk<'_>, order: &Order<'_>, at: usize, setup: &SetupPlan) {
    let unit = order.screen();
    let master = setup.tools.first();
    let columns = [
        ("T", 8.0, Side::Right),
        ("Tool", 38.0, Side::Left),
        ("Out", 14.0, Side::Right),
        ("To master", 17.0, Side::Right),
        ("Length", 17.0, Side::Right),
        ("Work", 40.0, Side::Left),
        ("rpm", 13.0, Side::Right),
        (if unit == Unit::Mm { "mm/min" } else { "in/min" }, 18.0, Side::Right),
        ("A piece", 27.0, Side::Right),
    ];
    let mut table = Table::form(&columns, 8.0);
    let times = order.batch.setups.get(at).map(|(time, _)| time);
    for tool in &setup.tools {
        let own = || setup.operations.iter().filter(|operation| operation.tool == tool.number);
        let lines = |say: &dyn Fn(&Operation) -> String| {
            let mut list: Vec<String> = Vec::new();
            for text in own().map(say) {
                if list.last() != Some(&text) {
                    list.push(text);
                }
            }
            list.join("\n")
        };
        let cut = times.and_then(|time| time.tools.iter().find(|time| time.tool == tool.number));
        table.add(vec![
            Cell::text(tool.number.to_string()),
            Cell::text(tool.title.clone()),
            Cell::text(trimmed(unit.of(tool.stick_out), unit.decimals().min(3))),
            Cell::text(longer(unit, tool, master)),
            Cell::Blank,
            Cell::text(lines(&|operation| operation.title.clone())),
            Cell::text(lines(&|operation| fixed(operation.spindle.as_rpm(), 0))),
            Cell::text(lines(&|operation| feed(unit, operation.feed))),
            Cell::text(cut.map_or_else(String::new, |time| say_time(time.cut))),
        ]);
    }
    desk.titled("Tools in the order of work", &table);
    if let Some(master) = master {
        let text = match order.shop.control.length_offset {
            LengthOffset::Table => format!(
                "Out: from the holder to the tip. To master: longer than the master tool T{}, if the holders are alike; a sanity check for what is measured. Length: write the measured one in; the master's is nothing.",
                master.number
            ),
            LengthOffset::TouchOff => format!(
                "Out: from the holder to the tip. To master: longer than T{}, if the holders are alike. This control has no table of lengths: every tool is set on the top face after its change.",
                master.number
            ),
        };
        desk.text(&text, BODY);
    }
    let mills_threads = setup.tools.iter().any(|tool| matches!(tool.cutter, Cutter::ThreadMill { .. }));
    let of_threads = if mills_threads {
        " Of a thread mill the feed is that of its middle, which is slower than its edge."
    } else {
        ""
    };
    desk.text(&format!("Speeds and feeds are starting values.{of_threads}"), BODY);
    let switched = order.shop.control.coolant.as_ref().map_or_else(
        || "The program switches no coolant.".to_owned(),
        |word| format!("The program switches {word} on with each tool; try it before the first cut."),
    );
    desk.text(&format!("Cutting fluid: {}. {switched}", order.part.material.group.fluid()), BODY);
    // That there are two units stands at the head of the sheet.
    let units = order.shop.control.two_units(order.part.unit);
    let notes: Vec<String> = setup.notes.iter().filter(|note| units.as_ref() != Some(*note)).cloned().collect();
    // No note goes to the next page alone.
    desk.keep(&notes, BODY);
    for note in &notes {
        desk.point(Some("–"), note, BODY);
    }
}

fn longer(unit: Unit, tool: &Tool, master: Option<&Tool>) -> String {
    let Some(master) = master else { return String::new() };
    if master.number == tool.number {
        return "master".to_owned();
    }
    let more = tool.stick_out - master.stick_out;
    let sign = if more > Length::ZERO { "+" } else { "" };
    format!("{sign}{}", trimmed(unit.of(more), unit.decimals().min(3)))
}

/// The cautions of the mill, once and where the hand is.
fn start(desk: &mut Desk<'_>, order: &Order<'_>, setup: &SetupPlan, scene: &Scene) {
    let unit = order.screen();
    desk.heading("Before the start", 20.0);
    let mut points = vec![
        "Eye protection on, guards closed, no gloves, sleeves and hair away from the spindle.".to_owned(),
        "Jaws, parallels and stop clean; fixed jaw true to X; the piece tapped down until no parallel moves."
            .to_owned(),
        format!(
            "Nothing stands higher than Z {} on the way from place to place; the vise's handle is off.",
            trimmed(unit.of(scene.clear), unit.decimals())
        ),
    ];
    if order.shop.control.length_offset == LengthOffset::Table {
        points.push("Each tool's number, diameter and length are in the control as listed above.".to_owned());
    }
    points.push(format!(
        "Zero {} found as the next page tells; part number, revision and digest on the screen are those of this page.",
        setup.setup.work_offset
    ));
    points.push(format!(
        "First run above the part: Z zero raised by the piece's height and {} more. Rapid low, finger on feed hold.",
        if unit == Unit::Mm { "10 mm" } else { "0.4 in" }
    ));
    points.push(
        "First piece in single steps; at each first move down the distance to go agrees with this sheet.".to_owned(),
    );
    points.push("After an emergency stop or lost steps: home, find the zero anew, never go on in the middle. The machine's manual and a qualified person come first.".to_owned());
    for text in points {
        desk.point(None, &text, CLEAR);
    }
}

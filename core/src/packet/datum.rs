//! Finding the zero: steps for a person with an edge finder, and room for what is read.

use super::Order;
use super::desk::{BODY, CLEAR, Desk};
use super::scene::Scene;
use super::table::{Cell, Side, Table};
use crate::batch::held_length;
use crate::part::Pose;
use crate::plan::SetupPlan;
use crate::quantity::{Length, Unit};
use crate::shop::LengthOffset;

/// Fast and slow ways to a touch, and the way back between them. Common practice, no source.
const FAST: (&str, &str) = ("150 mm/min", "6 in/min");
const SLOW: (&str, &str) = ("20 mm/min", "0.8 in/min");
const BACK: (&str, &str) = ("1 mm", "0.04 in");

/// Writes the steps for one setup.
pub(super) fn write(desk: &mut Desk<'_>, order: &Order<'_>, setup: &SetupPlan) {
    let unit = order.screen();
    let pick = |(mm, inch): (&'static str, &'static str)| if unit == Unit::Mm { mm } else { inch };
    let scene = Scene::of(order.part, setup);
    let say = |length: Length| unit.say(length);
    let (length, width) = (scene.piece.1 - scene.piece.0, scene.half * 2.0);
    let offset = &setup.setup.work_offset;
    desk.page(&format!("Finding the zero, setup {}", setup.setup.number));
    super::two_units(desk, order);
    desk.text(
        "With an edge finder, a dowel or a probe of known diameter in the spindle. Touch the piece itself, never the jaws. Each side is touched twice: fast to find it, then slowly to measure it.",
        CLEAR,
    );
    desk.gap(2.0);
    let over = if scene.jaw_top < Length::ZERO {
        format!(" The piece stands {} out of the jaws: go no lower than half of that.", say(-scene.jaw_top))
    } else {
        String::new()
    };
    let middle = |from: Length, to: Length| (from + to) / 2.0;
    let shift = -middle(scene.piece.0, scene.piece.1);
    let shifted = if shift.abs() > Length::mm(1e-6) {
        let sign = if shift > Length::ZERO { "+" } else { "-" };
        format!(" {sign} {}, since the ends are sawn unequally long", say(shift.abs()))
    } else {
        String::new()
    };
    let touch = |axis: &str, near: &str, stop: &str| {
        format!(
            "{axis}: beside the {near}, below the top edge.{stop} Towards it at {} until it touches; back {}; again at {} until it touches. Write down {axis}1.",
            pick(FAST),
            pick(BACK),
            pick(SLOW)
        )
    };
    let sides = |axis: &str, near: &str, far: &str, stop: &str| {
        let over = format!("Up to the clear height, over to the {far}, the same from there. Write down {axis}2.");
        [touch(axis, near, stop), over]
    };
    let stop = " The stop covers a part of this end: touch in front of it.";
    let mut steps = Vec::new();
    let names = setup.pose.sides();
    if setup.pose.mills_an_end() {
        steps.push(touch("X", names.left, stop));
        steps.push(format!(
            "X zero = X1 + half the finder's diameter + {}. The other end is sawn and tells nothing: the diameter of the finder counts here, measure it.",
            say(-scene.piece.0)
        ));
    } else {
        steps.extend(sides("X", names.left, names.right, stop));
        let check = if matches!(setup.pose, Pose::OnLeft | Pose::OnRight) {
            format!("{}, as the bar measures", say(length))
        } else {
            // What the route card asks for, so that no good piece is out here.
            let held = held_length(order.part);
            format!(
                "{} to {}; outside is a chip, a burr or a piece that was not brought to length: clean, touch again",
                say(held.least),
                say(held.most)
            )
        };
        steps.push(format!(
            "X zero = (X1 + X2) / 2{shifted}. The finder's diameter drops out. Check: X2 - X1 less the finder's diameter is {check}."
        ));
    }
    steps.extend(sides("Y", "front face", "back face", &over));
    steps.push(format!(
        "Y zero = (Y1 + Y2) / 2. Check: Y2 - Y1 less the finder's diameter is {}, as the bar measures.",
        say(width)
    ));
    let z = match order.shop.control.length_offset {
        LengthOffset::Table => {
            let master = setup.tools.first().map_or_else(|| "the master tool".to_owned(), |tool| format!("the master tool T{}", tool.number));
            format!("Z: {master} over the top face, spindle still. A gauge block or shim of known thickness between: lower until it just passes. Z zero = reading less its thickness. Never jog down onto an edge of carbide. The other tools follow by their lengths.")
        }
        LengthOffset::TouchOff => "Z: after every change of a tool, on the top face. A gauge block or shim of known thickness between: lower until it just passes. Z zero = reading less its thickness. Never jog down onto an edge of carbide.".to_owned(),
    };
    steps.push(z);
    steps.push(format!("Enter the three as {offset}. Go to X 0 Y 0 at the clear height and look: the tool stands over the middle of the piece."));
    steps.push("Again after every tenth load, after a crash, a bump at the vise, or a power cut. Always come from the same side, so that play does not count.".to_owned());
    for (at, text) in steps.iter().enumerate() {
        desk.point(Some(&format!("{}.", at + 1)), text, CLEAR);
    }
    match order.probed.iter().find(|(number, _)| *number == setup.setup.number) {
        Some((_, Ok(probe))) => desk.text(
            &format!("With a probe in the spindle `{probe}` does all of this and enters {offset} itself. Proved with a touch against the piece as drawn; run it the first time with a finger on feed hold."),
            CLEAR,
        ),
        Some((_, Err(why))) => desk.text(&format!("There is no probing program for this setup: {why}."), CLEAR),
        None => {}
    }
    readings(desk, order, setup, unit);
}

/// Room for what was read, load after load.
fn readings(desk: &mut Desk<'_>, order: &Order<'_>, setup: &SetupPlan, unit: Unit) {
    let columns = [
        ("Load", 12.0, Side::Right),
        ("X1", 1.0, Side::Left),
        ("X2", 1.0, Side::Left),
        ("X zero", 1.0, Side::Left),
        ("Y1", 1.0, Side::Left),
        ("Y2", 1.0, Side::Left),
        ("Y zero", 1.0, Side::Left),
        ("Z zero", 1.0, Side::Left),
        ("By", 1.0, Side::Left),
    ]
    .map(|(head, share, side)| (head, if share < 2.0 { 20.0 } else { share }, side));
    // A sawn end is not touched.
    let touched = |head: &str| head != "X2" || !setup.pose.mills_an_end();
    let columns: Vec<_> = columns.into_iter().filter(|(head, ..)| touched(head)).collect();
    let mut table = Table::form(&columns, 7.5);
    let loads =
        order.batch.setups.iter().find(|(time, _)| time.setup == setup.setup.number).map_or(1, |(_, load)| load.loads);
    for load in (0..8).map(|tenth| 1 + tenth * 10).take_while(|load| *load <= loads.max(1)).chain(std::iter::once(0)) {
        let mut row = vec![Cell::text(if load == 0 { String::new() } else { load.to_string() })];
        row.extend((1..columns.len()).map(|_| Cell::Blank));
        table.add(row);
    }
    desk.titled("What was read", &table);
    desk.text(&format!("All in {}. Bar as measured: width ________ height ________", unit.words()), BODY);
}

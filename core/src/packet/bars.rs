//! The cut list, with every bar drawn.

use super::Order;
use super::desk::{BODY, Desk};
use super::ladder;
use super::table::{Cell, Side, Table};
use crate::batch::{BarCut, CutList};
use crate::drawing::{Anchor, Pen, Role};
use crate::geom::{Point, Rect};
use crate::quantity::{Length, Unit, trimmed};

/// Height of a drawn bar.
const HIGH: f64 = 7.0;

/// Writes the cut list.
pub(super) fn write(desk: &mut Desk<'_>, order: &Order<'_>) {
    let unit = order.part.unit;
    let list = &order.batch.cut_list;
    let say = |length: Length| unit.say(length);
    let number = |length: Length| trimmed(unit.of(length), unit.decimals());
    desk.page("Cut list");
    let buy: Vec<String> = list.buy.iter().map(|(length, bars)| format!("{bars} × {}", say(*length))).collect();
    let buy = if buy.is_empty() { "nothing; the offcuts on the rack do".to_owned() } else { buy.join(", ") };
    let saw = &list.saw;
    let rows = [
        ("Bar", format!("{}, {}", list.bar, order.part.material.title)),
        ("New bars", buy),
        ("Least", format!("no way of cutting takes less than {} of new bars", say(list.bound))),
        ("Waste", format!("{}, {} % of what is used up", say(list.waste()), trimmed(list.waste_share() * 100.0, 1))),
        (
            "Kerf",
            format!(
                "{}; {} off the end of a new bar; the vise of the saw holds the last {}",
                say(saw.kerf),
                say(saw.trim),
                say(saw.grip)
            ),
        ),
        (
            "Length",
            format!(
                "finished {}, {} on each end to face off; as sawn up to {} more, never less",
                say(order.part.length.nominal),
                say(saw.facing),
                if unit == Unit::Mm { "0.5 mm" } else { "0.02 in" }
            ),
        ),
    ];
    desk.table(&Table::facts(rows));
    desk.heading("Bars in the order of cutting", 40.0);
    let columns = [
        ("", 7.0, Side::Middle),
        ("Bar", 17.0, Side::Left),
        ("Length", 22.0, Side::Right),
        ("Trim", 15.0, Side::Right),
        ("Pieces", 15.0, Side::Right),
        ("Cut", 19.0, Side::Right),
        ("Used up to", 23.0, Side::Right),
        ("Left over", 21.0, Side::Right),
        ("Goes to", 23.0, Side::Left),
        ("Counted", 18.0, Side::Left),
    ];
    let mut table = Table::form(&columns, 7.0);
    for bar in &list.bars {
        for (at, cut) in bar.cuts.iter().enumerate() {
            let ends = at + 1 == bar.cuts.len();
            let head = |text: String| Cell::text(if at == 0 { text } else { String::new() });
            let foot = |text: String| Cell::text(if ends { text } else { String::new() });
            table.add(vec![
                Cell::Tick,
                head(bars(bar)),
                head(number(bar.stock)),
                head(number(bar.trim)),
                Cell::text(cut.count.to_string()),
                Cell::text(number(cut.length)),
                Cell::text(number(cut.up_to)),
                foot(number(bar.left)),
                foot(if bar.keep { "rack" } else { "scrap" }.to_owned()),
                Cell::Blank,
            ]);
        }
    }
    desk.table(&table);
    desk.text(
        &format!(
            "All in {}. Pieces are those of one bar. An offcut from the rack has a clean end and is not trimmed.",
            unit.words()
        ),
        BODY,
    );
    desk.heading("Drawn", HIGH + 12.0);
    let longest = list.bars.iter().map(|bar| bar.stock).fold(Length::ZERO, Length::max);
    for bar in &list.bars {
        draw(desk, list, bar, longest, unit);
    }
    desk.text("Left end first. Hatched: what does not become a piece, but for the kerfs.", BODY);
}

fn bars(bar: &BarCut) -> String {
    let word = if bar.rest { "offcut " } else { "" };
    if bar.bars == 1 {
        format!("{word}{}", bar.first)
    } else {
        format!("{word}{} to {}", bar.first, bar.first + bar.bars - 1)
    }
}

fn draw(desk: &mut Desk<'_>, list: &CutList, bar: &BarCut, longest: Length, unit: Unit) {
    let place = desk.picture(HIGH + 7.5);
    let board = &mut desk.board;
    let scale = place.width() / longest.as_mm().max(1.0);
    let keep = if bar.keep { "to the rack" } else { "scrap" };
    let pieces: u32 = bar.cuts.iter().map(|cut| cut.count).sum();
    let many = if pieces == 1 { "1 piece".to_owned() } else { format!("{pieces} pieces") };
    let words = format!("Bar {}, {}: {many}, {} left, {keep}", bars(bar), unit.say(bar.stock), unit.say(bar.left));
    board.text(Point::new(place.low.x, place.high.y - 4.0), Anchor::Start, BODY, &words, None);
    let (low, high) = (place.low.y + 1.0, place.low.y + 1.0 + HIGH);
    let left = place.low.x;
    let at = |length: Length| left + length.as_mm() * scale;
    let boxed = |from: f64, to: f64| Rect::new(Point::new(from, low), Point::new(to, high));
    let edge = |board: &mut crate::drawing::board::Board<'_>, x: f64| {
        board.line(Role::Frame, Pen::Thin, Point::new(x, low), Point::new(x, high));
    };
    if bar.trim > Length::ZERO {
        edge(board, at(bar.trim));
    }
    let mut from = bar.trim;
    let mut counted = 0_u32;
    for cut in &bar.cuts {
        for _ in 0..cut.count {
            counted += 1;
            let (start, end) = (at(from), at(from + cut.length));
            edge(board, end);
            let number = counted.to_string();
            // Where pieces are narrow every tenth has its number, if there is room for that.
            let wide = board.letters.width(&number, BODY);
            if end - start > wide + 1.4 {
                let middle = Point::new(f64::midpoint(start, end), f64::midpoint(low, high) - BODY / 2.0);
                board.text(middle, Anchor::Middle, BODY, &number, None);
            }
            from += cut.length + list.saw.kerf;
        }
    }
    let rest = boxed(at(from).min(at(bar.stock)), at(bar.stock));
    if rest.width() > 1.0 {
        ladder::hatch(board, rest.low, rest.high);
    }
    let whole = boxed(left, at(bar.stock));
    desk.rectangle(whole, Pen::Outline);
}

//! What every page bears: its title, its number, and whose it is.

use super::desk::{BAND, BODY, CLEAR, HEADING, STRIP, TITLE};
use super::{Leaf, Order, extent, frame};
use crate::drawing::board::Board;
use crate::drawing::lettering::Lettering;
use crate::drawing::{Anchor, Paper, Pen, Role, Shape, Sheet};
use crate::geom::{Point, Rect, Vector};

/// Gives every page its frame, its title and the strip that names the part.
pub(super) fn bind(order: &Order<'_>, paper: Paper, letters: &Lettering, leaves: Vec<Leaf>) -> Vec<Sheet> {
    let count = leaves.len();
    let blank = Sheet { items: Vec::new(), following: Vec::new(), ..order.drawing.clone() };
    leaves
        .into_iter()
        .enumerate()
        .map(|(at, leaf)| {
            let number = format!("Page {} of {count}", at + 1);
            match leaf {
                Leaf::Drawing(mut sheet) => {
                    let mut board = Board::new(letters);
                    // Beside the check bar, where the drawing leaves the strip free.
                    let at = Point::new(sheet.frame.high.x - 2.0, sheet.frame.high.y - 6.0);
                    let text = format!("{}. {number}", super::balloon::TITLE);
                    board.text(at, Anchor::End, BODY, &text, None);
                    sheet.items.append(&mut board.items);
                    sheet
                }
                Leaf::Page(page) => {
                    let (width, height) = extent(paper);
                    let frame = frame(paper);
                    let mut board = Board::new(letters);
                    let title = if page.goes_on { format!("{}, continued", page.title) } else { page.title };
                    head(&mut board, frame, &title, &number);
                    foot(&mut board, frame, order);
                    let mut items = page.items;
                    items.append(&mut board.items);
                    Sheet { width, height, frame, items, scale: 1.0, ..blank.clone() }
                }
            }
        })
        .collect()
}

fn head(board: &mut Board<'_>, frame: Rect, title: &str, number: &str) {
    rectangle(board, frame, Pen::Frame);
    let line = frame.high.y - BAND;
    board.line(Role::Frame, Pen::Thin, Point::new(frame.low.x, line), Point::new(frame.high.x, line));
    let base = line + 3.2;
    let page = board.text(Point::new(frame.high.x - 2.0, base), Anchor::End, CLEAR, number, None);
    let room = page.low.x - frame.low.x - 6.0;
    fit(board, (Point::new(frame.low.x + 2.0, base), room), &[TITLE, 4.2, HEADING, CLEAR, BODY], title);
}

fn foot(board: &mut Board<'_>, frame: Rect, order: &Order<'_>) {
    let stamp = order.stamp;
    let count = order.batch.count;
    let spares = match count.spares {
        0 => String::new(),
        1 => " + 1 spare".to_owned(),
        more => format!(" + {more} spares"),
    };
    let pieces = if count.ordered == 1 { "1 piece".to_owned() } else { format!("{} pieces", count.ordered) };
    let date = stamp.date.clone().unwrap_or_default();
    let high = STRIP / 2.0;
    let (drawn, screen) = (order.part.unit, order.screen());
    // The unit's cell grows where there are two.
    let (number, unit, units) = if screen == drawn {
        (0.56, 0.10, drawn.sign().to_owned())
    } else {
        (0.40, 0.26, format!("program {}, drawing {}", screen.sign(), drawn.sign()))
    };
    let rows = [
        (
            high,
            vec![
                ("Part number", number, order.part.number.clone()),
                ("Revision", 0.12, stamp.revision.clone()),
                ("Digest", 0.22, stamp.digest.clone()),
                ("Unit", unit, units),
            ],
        ),
        (
            0.0,
            vec![
                ("Title", 0.34, order.part.title.clone()),
                ("Order", 0.24, format!("{pieces}{spares}")),
                ("Shop", 0.27, stamp.owner.clone()),
                ("Date", 0.15, date),
            ],
        ),
    ];
    for (up, cells) in rows {
        let low = frame.low.y + up;
        board.line(Role::Frame, Pen::Thin, Point::new(frame.low.x, low + high), Point::new(frame.high.x, low + high));
        let mut x = frame.low.x;
        for (caption, share, value) in cells {
            let width = share * frame.width();
            if x > frame.low.x {
                board.line(Role::Frame, Pen::Thin, Point::new(x, low), Point::new(x, low + high));
            }
            board.text(Point::new(x + 1.5, low + high - 3.7), Anchor::Start, BODY, caption, None);
            let value = board.letters.settable(&value);
            fit(board, (Point::new(x + 1.5, low + 1.6), width - 3.0), &[CLEAR, BODY], &value);
            x += width;
        }
    }
}

/// A text at the largest of these heights that fits, cut short where none does.
fn fit(board: &mut Board<'_>, (at, room): (Point, f64), heights: &[f64], text: &str) {
    let mut last = BODY;
    for height in heights {
        last = *height;
        if board.letters.width(text, *height) <= room {
            board.text(at, Anchor::Start, *height, text, None);
            return;
        }
    }
    let mut short = text.to_owned();
    while board.letters.width(&format!("{}...", short.trim_end()), last) > room && short.pop().is_some() {}
    board.text(at, Anchor::Start, last, &format!("{}...", short.trim_end()), None);
}

fn rectangle(board: &mut Board<'_>, place: Rect, pen: Pen) {
    let (right, up) = (Vector::new(place.width(), 0.0), Vector::new(0.0, place.height()));
    let points = vec![place.low, place.low + right, place.high, place.low + up];
    board.put(Shape::Polyline { points, closed: true, filled: false }, Role::Frame, pen, None);
}

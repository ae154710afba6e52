//! A sheet as SVG.
//!
//! Millimetres everywhere, presentation attributes only, no script and no outside reference, so
//! that the file can be shown under a strict content policy and prints to scale.

use std::fmt::Write as _;

use svg::Document;
use svg::node::element::{self, Group, Rectangle, Style, Title};
use svg::node::{Blob, Text as Words};

use super::lettering::{CAPITAL, FAMILY, WOFF2};
use super::sheet::{Anchor, Item, Pen, Role, Shape, Sheet};
use crate::geom::{Point, Vector};
use crate::quantity::{Angle, put_trimmed, trimmed};

/// Writes a sheet as SVG text.
pub fn write(sheet: &Sheet) -> String {
    let mut document = Document::new()
        .set("width", format!("{}mm", number(sheet.width)))
        .set("height", format!("{}mm", number(sheet.height)))
        .set("viewBox", format!("0 0 {} {}", number(sheet.width), number(sheet.height)))
        .set("role", "img")
        .add(Title::new(format!("{} – {}", sheet.number, sheet.title)))
        .add(element::Description::new().add(Words::new(format!("digest {}", sheet.digest))));
    // The face itself travels with files only; a page has it once for all its drawings.
    if cfg!(feature = "files") && sheet.embed_font {
        let face = format!(
            "@font-face{{font-family:\"{FAMILY}\";src:url(data:font/woff2;base64,{}) format(\"woff2\")}}",
            base64(WOFF2)
        );
        document = document.add(Style::new(face));
    }
    document = document.add(
        Rectangle::new().set("width", number(sheet.width)).set("height", number(sheet.height)).set("fill", "#fff"),
    );
    let mut rest = sheet.items.as_slice();
    while let Some(first) = rest.first() {
        let alike = rest.iter().take_while(|item| paint(item) == paint(first)).count();
        let (run, after) = rest.split_at(alike);
        document = document.add(group(run, first, sheet.height));
        rest = after;
    }
    let mut text = String::with_capacity(sheet.items.len() * 96);
    // A string takes whatever is written.
    let _ = writeln!(text, "{document}");
    text
}

#[derive(PartialEq)]
struct Paint {
    role: Role,
    pen: Pen,
    filled: bool,
}

fn paint(item: &Item) -> Paint {
    let filled = matches!(item.shape, Shape::Text { .. } | Shape::Polyline { filled: true, .. });
    Paint { role: item.role, pen: item.pen, filled }
}

fn group(run: &[Item], first: &Item, height: f64) -> Group {
    let paint = paint(first);
    let mut group = Group::new().set("data-role", paint.role.name());
    group = if paint.filled {
        group.set("fill", "#000")
    } else {
        group.set("fill", "none").set("stroke", "#000").set("stroke-width", number(paint.pen.width()))
    };
    if paint.role == Role::Text {
        group = group.set("font-family", format!("'{FAMILY}', sans-serif"));
    }
    // Strokes that show no value are one path: a page never asks for them one by one.
    let mut plain = String::new();
    let mut marks = String::with_capacity(run.len() * 96);
    for item in run {
        let alone = item.shows.is_some() || paint.filled;
        if alone || !trace(&item.shape, height, &mut plain) {
            mark(&mut marks, item, height);
        }
    }
    if !plain.is_empty() {
        next(&mut marks, "<path d=\"");
        marks.push_str(&plain);
        marks.push_str("\"/>");
    }
    if marks.is_empty() { group } else { group.add(Blob::new(marks)) }
}

/// Adds a shape to the data of a path, if it is one of straight lines and arcs.
fn trace(shape: &Shape, height: f64, d: &mut String) -> bool {
    let mut line = |from: Point, to: Point| {
        step(d, 'M', &[from.x, height - from.y]);
        // Most lines lie along an axis, and figures cost the most.
        if (from.y - to.y).abs() < 1e-9 {
            step(d, 'H', &[to.x]);
        } else if (from.x - to.x).abs() < 1e-9 {
            step(d, 'V', &[height - to.y]);
        } else {
            step(d, 'L', &[to.x, height - to.y]);
        }
    };
    match shape {
        Shape::Line(from, to) => line(*from, *to),
        Shape::Dashes(dashes) => dashes.iter().for_each(|(from, to)| line(*from, *to)),
        Shape::Arc { centre, radius, start, sweep } => {
            let [from, to] = [*start, *start + *sweep].map(|angle| *centre + Vector::toward(angle) * *radius);
            let large = if *sweep > Angle::rad(std::f64::consts::PI) { 1.0 } else { 0.0 };
            step(d, 'M', &[from.x, height - from.y]);
            // The page's Y points down, so a turn to the left is sweep 0.
            step(d, 'A', &[*radius, *radius, 0.0, large, 0.0, to.x, height - to.y]);
        }
        Shape::Polyline { points, closed, filled: _ } => {
            for (index, point) in points.iter().enumerate() {
                step(d, if index == 0 { 'M' } else { 'L' }, &[point.x, height - point.y]);
            }
            if *closed {
                d.push('Z');
            }
        }
        Shape::Circle { centre, radius } => {
            let wide = radius * 2.0;
            step(d, 'M', &[centre.x - radius, height - centre.y]);
            step(d, 'a', &[*radius, *radius, 0.0, 1.0, 0.0, wide, 0.0]);
            step(d, 'a', &[*radius, *radius, 0.0, 1.0, 0.0, -wide, 0.0]);
            d.push('Z');
        }
        Shape::Text { .. } => return false,
    }
    true
}

/// Adds a step to the data of a path: its letter and its numbers.
fn step(d: &mut String, letter: char, numbers: &[f64]) {
    d.push(letter);
    for (index, value) in numbers.iter().enumerate() {
        if index > 0 {
            d.push(' ');
        }
        put_trimmed(d, *value, DECIMALS);
    }
}

/// Begins a mark on a line of its own.
fn next(marks: &mut String, opening: &str) {
    if !marks.is_empty() {
        marks.push('\n');
    }
    marks.push_str(opening);
}

/// Writes one mark, just as the crate would: a sheet has hundreds, and as elements of the crate each
/// of their numbers would be five strings. A test holds the two against each other.
fn mark(marks: &mut String, item: &Item, height: f64) {
    let flip = |place: Point| (place.x, height - place.y);
    let attribute = |marks: &mut String, opening: &str, value: f64| {
        marks.push_str(opening);
        put_trimmed(marks, value, DECIMALS);
        marks.push('"');
    };
    match &item.shape {
        Shape::Circle { centre, radius } => {
            let (x, y) = flip(*centre);
            next(marks, "<circle");
            attribute(marks, " cx=\"", x);
            attribute(marks, " cy=\"", y);
            names(marks, item);
            attribute(marks, " r=\"", *radius);
            close(marks, item, "</circle>");
        }
        Shape::Line(..) | Shape::Dashes(_) | Shape::Arc { .. } | Shape::Polyline { .. } => {
            next(marks, "<path d=\"");
            trace(&item.shape, height, marks);
            marks.push('"');
            names(marks, item);
            close(marks, item, "</path>");
        }
        Shape::Text { at, anchor, height: capital, upright, text, ink: _ } => {
            let (x, y) = flip(*at);
            // The title stands beside the words, not among them: the line break after it would be
            // set as a blank by some readers.
            if item.shows.is_some() {
                next(marks, "<g");
                names(marks, item);
                marks.push('>');
                title(marks, item);
            }
            next(marks, "<text");
            attribute(marks, " font-size=\"", capital / CAPITAL);
            match anchor {
                Anchor::Start => {}
                Anchor::Middle => marks.push_str(" text-anchor=\"middle\""),
                Anchor::End => marks.push_str(" text-anchor=\"end\""),
            }
            if *upright {
                marks.push_str(" transform=\"rotate(-90 ");
                put_trimmed(marks, x, DECIMALS);
                marks.push(' ');
                put_trimmed(marks, y, DECIMALS);
                marks.push_str(")\"");
            }
            attribute(marks, " x=\"", x);
            attribute(marks, " y=\"", y);
            marks.push('>');
            put_escaped(marks, text, false);
            marks.push_str("</text>");
            if item.shows.is_some() {
                marks.push_str("\n</g>");
            }
        }
    }
}

/// The names of what an element shows, for the page.
fn names(marks: &mut String, item: &Item) {
    let Some(shows) = &item.shows else { return };
    marks.push_str(" data-value=\"");
    for (index, name) in shows.names.iter().enumerate() {
        if index > 0 {
            marks.push(' ');
        }
        put_escaped(marks, name, true);
    }
    marks.push('"');
}

/// The words for the reader.
fn title(marks: &mut String, item: &Item) {
    let Some(shows) = &item.shows else { return };
    next(marks, "<title>");
    put_escaped(marks, &shows.title, false);
    marks.push_str("</title>");
}

/// Ends a mark after its attributes.
fn close(marks: &mut String, item: &Item, closing: &str) {
    if item.shows.is_none() {
        return marks.push_str("/>");
    }
    marks.push('>');
    title(marks, item);
    marks.push('\n');
    marks.push_str(closing);
}

/// Adds words that may be anyone's, with the signs of markup replaced; in an attribute quotation marks
/// too.
fn put_escaped(marks: &mut String, words: &str, attribute: bool) {
    let markup = |byte: u8| matches!(byte, b'&' | b'<' | b'>') || attribute && matches!(byte, b'"' | b'\'');
    if !words.bytes().any(markup) {
        return marks.push_str(words);
    }
    for sign in words.chars() {
        match sign {
            '&' => marks.push_str("&amp;"),
            '<' => marks.push_str("&lt;"),
            '>' => marks.push_str("&gt;"),
            '"' if attribute => marks.push_str("&quot;"),
            '\'' if attribute => marks.push_str("&apos;"),
            other => marks.push(other),
        }
    }
}

/// Ten-thousandths of a millimetre.
const DECIMALS: usize = 4;

/// No zeros at the end.
fn number(value: f64) -> String {
    trimmed(value, DECIMALS)
}

/// RFC 4648, with padding.
fn base64(bytes: &[u8]) -> String {
    const SIGNS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let mut text = String::with_capacity(bytes.len().div_ceil(3) * 4);
    for chunk in bytes.chunks(3) {
        let at = |index: usize| u32::from(chunk.get(index).copied().unwrap_or(0));
        let word = at(0) << 16 | at(1) << 8 | at(2);
        for place in 0..4_usize {
            let six = (word >> (18 - 6 * place) & 63) as usize;
            text.push(if place > chunk.len() { '=' } else { char::from(SIGNS[six]) });
        }
    }
    text
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use svg::node::element::{Circle, Group, Path, Title};
    use svg::node::{Node, Text as Words, element};

    use super::super::{Shown, lay_out, sample};
    use super::{Anchor, CAPITAL, Item, Point, Shape, base64, mark, number, trace, write};

    /// One mark as elements of the crate, which sorts attributes and replaces signs of markup by itself.
    fn drawn(item: &Item, height: f64) -> Box<dyn Node> {
        let flip = |place: Point| (number(place.x), number(height - place.y));
        match &item.shape {
            Shape::Circle { centre, radius } => {
                let (x, y) = flip(*centre);
                shown(Circle::new().set("cx", x).set("cy", y).set("r", number(*radius)), item).into()
            }
            Shape::Line(..) | Shape::Dashes(_) | Shape::Arc { .. } | Shape::Polyline { .. } => {
                let mut d = String::new();
                trace(&item.shape, height, &mut d);
                shown(Path::new().set("d", d), item).into()
            }
            Shape::Text { at, anchor, height: capital, upright, text, ink: _ } => {
                let (x, y) = flip(*at);
                // The crate's own text element breaks the line around its words; a plain one does not.
                let mut node = element::Element::new("text");
                node.append(Words::new(text.as_str()));
                node.assign("font-size", number(capital / CAPITAL));
                match anchor {
                    Anchor::Start => {}
                    Anchor::Middle => node.assign("text-anchor", "middle"),
                    Anchor::End => node.assign("text-anchor", "end"),
                }
                if *upright {
                    node.assign("transform", format!("rotate(-90 {x} {y})"));
                }
                node.assign("x", x);
                node.assign("y", y);
                // The title stands beside the words, not among them: the line break after it would be
                // set as a blank by some readers.
                if item.shows.is_some() { shown(Group::new(), item).add(node).into() } else { node.into() }
            }
        }
    }

    /// Adds what an element shows: the names for the page, the words for the reader.
    fn shown<T: Node>(mut node: T, item: &Item) -> T {
        if let Some(shows) = &item.shows {
            node.assign("data-value", shows.names.join(" "));
            node.append(Title::new(shows.title.as_str()));
        }
        node
    }

    /// Every mark of a few sheets, hostile names and words among them, against the crate's own.
    #[test]
    fn marks_are_as_the_crate_writes_them() {
        let mut kinds = [0_usize; 4];
        for mut part in [sample::key(), sample::plate(), sample::inch_key(), sample::headed()] {
            let hostile = "a\"b'c<d>&amp; </title><script>";
            part.length.title = hostile.to_owned();
            part.width.name = hostile.to_owned();
            let sheet = lay_out(&part, &sample::format(&part), &sample::stamp()).value.expect("it fits");
            for item in &sheet.items {
                let mut more = item.clone();
                more.shows = Some(Arc::new(Shown { names: vec![hostile.to_owned(); 2], title: hostile.to_owned() }));
                if let Shape::Text { text, .. } = &mut more.shape {
                    text.push_str(hostile);
                }
                for item in [item, &more] {
                    let mut ours = String::new();
                    mark(&mut ours, item, sheet.height);
                    assert_eq!(ours, drawn(item, sheet.height).to_string(), "{item:?}");
                    let kind = match item.shape {
                        Shape::Circle { .. } => 0,
                        Shape::Text { upright: false, .. } => 1,
                        Shape::Text { .. } => 2,
                        _ => 3,
                    };
                    kinds[kind] += 1;
                }
            }
        }
        assert!(kinds.iter().all(|count| *count > 3), "every kind was seen: {kinds:?}");
    }

    /// A reader may set a line break or a title inside a text as a blank.
    #[test]
    fn texts_hold_nothing_but_their_words() {
        let part = sample::key();
        let sheet = lay_out(&part, &sample::format(&part), &sample::stamp()).value.expect("it fits");
        let file = write(&sheet);
        let mut count = 0;
        for piece in file.split("<text").skip(1) {
            let (inside, _) = piece.split_once("</text>").expect("every text closes");
            let (_, words) = inside.split_once('>').expect("a tag ends");
            assert!(!words.is_empty() && !words.contains(['\n', '<']), "{inside:?}");
            assert_eq!(words.trim(), words, "no blank at an end");
            count += 1;
        }
        assert!(count > 20, "texts were seen: {count}");
        assert!(file.contains("data-value=\"length\""), "the page finds a value by its name");
    }

    /// The examples of RFC 4648, section 10.
    #[test]
    fn base64_as_published() {
        for (plain, coded) in [("", ""), ("f", "Zg=="), ("fo", "Zm8="), ("foo", "Zm9v"), ("foobar", "Zm9vYmFy")] {
            assert_eq!(base64(plain.as_bytes()), coded, "{plain}");
        }
    }
}

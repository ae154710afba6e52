//! Small readers that the files of a shop share: values with a meaning, and whether they can be.

use std::cell::RefCell;

use crate::diag::Diagnostic;
use crate::quantity::{Angle, Dim, Feed, Length, Spindle, Time, read_as};
use crate::source::{Source, Span};
use crate::yaml::{Fields, Node};

/// The findings of all files of a shop.
pub(super) type Findings = RefCell<Vec<Diagnostic>>;

/// A file of the shop with its tree.
pub(super) struct File<'n> {
    pub(super) source: &'n Source,
    pub(super) node: &'n Node,
    pub(super) findings: &'n Findings,
}

impl<'n> File<'n> {
    /// The entries of the file itself.
    pub(super) fn fields(&self, what: &str) -> Fields<'n> {
        Fields::of(self.source, self.node, what, self.findings)
    }

    /// The entries of a node in the file.
    pub(super) fn entries(&self, node: &'n Node, what: &str) -> Fields<'n> {
        Fields::of(self.source, node, what, self.findings)
    }
}

/// Where the value under a key stands, or the map, where the key is not there.
pub(super) fn span_of(fields: &mut Fields<'_>, key: &'static str) -> Span {
    fields.node(key).map_or(fields.span(), |node| node.span)
}

/// A length under a key that must be there; it may be anything.
pub(super) fn any_length(fields: &mut Fields<'_>, key: &'static str) -> Option<Length> {
    fields.need_quantity(key, Dim::LENGTH).map(|value| Length::mm(value.value))
}

/// A length above nothing, if the key is there.
pub(super) fn maybe_length(fields: &mut Fields<'_>, key: &'static str) -> Option<Length> {
    let value = Length::mm(fields.quantity(key, Dim::LENGTH)?.value);
    above_nothing(fields, key, value.as_mm()).then_some(value)
}

/// A length above nothing under a key that must be there.
pub(super) fn length(fields: &mut Fields<'_>, key: &'static str) -> Option<Length> {
    fields.need(key)?;
    maybe_length(fields, key)
}

/// A length from nothing up under a key that must be there.
pub(super) fn length_or_none(fields: &mut Fields<'_>, key: &'static str) -> Option<Length> {
    let value = any_length(fields, key)?;
    if value < Length::ZERO {
        let span = span_of(fields, key);
        fields.refuse("shop/value", format!("`{key}` cannot be below nothing."), span, "below 0 mm", "");
        return None;
    }
    Some(value)
}

/// An angle between nothing and a straight line under a key that must be there.
pub(super) fn angle(fields: &mut Fields<'_>, key: &'static str) -> Option<Angle> {
    let value = Angle::rad(fields.need_quantity(key, Dim::ANGLE)?.value);
    let degrees = value.as_degree();
    if !(1.0..180.0).contains(&degrees) {
        let span = span_of(fields, key);
        fields.refuse(
            "shop/value",
            format!("`{key}` cannot be the angle of a point."),
            span,
            "not between 1° and 180°",
            "Twist drills have 118° to 140°, spot drills 90° to 142°.",
        );
        return None;
    }
    Some(value)
}

/// A feed above nothing, if the key is there.
pub(super) fn maybe_feed(fields: &mut Fields<'_>, key: &'static str) -> Option<Feed> {
    // Inside, a feed formula is in millimetres per second.
    let value = Feed::mm_per_min(fields.quantity(key, Dim::FEED)?.value * 60.0);
    above_nothing(fields, key, value.as_mm_per_min()).then_some(value)
}

/// A feed above nothing under a key that must be there.
pub(super) fn feed(fields: &mut Fields<'_>, key: &'static str) -> Option<Feed> {
    fields.need(key)?;
    maybe_feed(fields, key)
}

/// A time from nothing up, if the key is there.
pub(super) fn maybe_time(fields: &mut Fields<'_>, key: &'static str) -> Option<Time> {
    let value = Time::second(fields.quantity(key, Dim::TIME)?.value);
    if value < Time::ZERO || value > Time::second(3600.0) {
        let span = span_of(fields, key);
        fields.refuse("shop/value", format!("`{key}` is no time to wait."), span, "not between 0 s and an hour", "");
        return None;
    }
    Some(value)
}

/// A time from nothing up under a key that must be there.
pub(super) fn time(fields: &mut Fields<'_>, key: &'static str) -> Option<Time> {
    fields.need(key)?;
    maybe_time(fields, key)
}

/// A spindle speed, `8000 rpm` or `8000 1/min`, if the key is there.
pub(super) fn maybe_spindle(fields: &mut Fields<'_>, key: &'static str) -> Option<Spindle> {
    signed(fields, key, &["rpm", "1/min", "/min"]).map(Spindle::rpm)
}

/// A spindle speed under a key that must be there.
pub(super) fn spindle(fields: &mut Fields<'_>, key: &'static str) -> Option<Spindle> {
    fields.need(key)?;
    maybe_spindle(fields, key)
}

/// A number above nothing with one of these signs after it, under a key that is there: for the
/// few units that formulas never use.
pub(super) fn signed(fields: &mut Fields<'_>, key: &'static str, signs: &[&str]) -> Option<f64> {
    let (scalar, span) = fields.scalar(key)?;
    let text = scalar.text.trim();
    let number = signs.iter().find_map(|sign| text.strip_suffix(sign));
    let read = number.and_then(|number| read_as(number, Dim::NUMBER, None).ok());
    let Some(value) = read else {
        fields.refuse(
            "shop/value",
            format!("`{key}` needs a number with its unit."),
            span,
            format!("not a number in {}", signs[0]),
            format!("Write it as `250 {}`.", signs[0]),
        );
        return None;
    };
    above_nothing(fields, key, value.value).then_some(value.value)
}

/// A whole number from one up under a key that must be there.
pub(super) fn some(fields: &mut Fields<'_>, key: &'static str) -> Option<u32> {
    fields.need(key)?;
    let count = fields.count(key)?;
    above_nothing(fields, key, f64::from(count)).then_some(count)
}

/// The lengths, all above nothing, in the list under a key that must be there.
pub(super) fn lengths(fields: &mut Fields<'_>, key: &'static str) -> Option<Vec<Length>> {
    fields.need(key)?;
    let nodes = fields.list(key);
    let mut list = Vec::new();
    for node in nodes {
        let read = node.scalar().map(|scalar| read_as(&scalar.text, Dim::LENGTH, None));
        match read {
            Some(Ok(value)) if value.value > 0.0 => list.push(Length::mm(value.value)),
            Some(Ok(_)) | None => {
                fields.refuse("shop/value", format!("`{key}` holds lengths above nothing."), node.span, "not one", "");
            }
            Some(Err(error)) => {
                let headline = format!("`{key}` holds something that is no length.");
                fields.refuse("shop/value", headline, node.span, error.what, error.help);
            }
        }
    }
    if nodes.is_empty() {
        let span = span_of(fields, key);
        fields.refuse("shop/value", format!("`{key}` is empty."), span, "no length here", "List at least one.");
    }
    (list.len() == nodes.len() && !list.is_empty()).then_some(list)
}

/// The texts in the list under a key; an empty list where the key is not there.
pub(super) fn texts(fields: &mut Fields<'_>, key: &'static str) -> Vec<(String, Span)> {
    let nodes = fields.list(key);
    let mut list = Vec::new();
    for node in nodes {
        match node.scalar() {
            Some(scalar) => list.push((scalar.text.clone(), node.span)),
            None => fields.refuse("shop/value", format!("`{key}` holds lines of text."), node.span, "not a text", ""),
        }
    }
    list
}

fn above_nothing(fields: &mut Fields<'_>, key: &'static str, value: f64) -> bool {
    let good = value > 0.0;
    if !good {
        let span = span_of(fields, key);
        fields.refuse("shop/value", format!("`{key}` must be above nothing."), span, "not above 0", "");
    }
    good
}

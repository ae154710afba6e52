//! Reading the entries of `cut` and `ends`.

use super::cut::{Cut, CutKind, EndsCut, HeadCut, HolesCut, MakeCut, PlacesCut, Side, SlotCut, TongueCut};
use super::keys::{COUNTERBORE, COUNTERSINK, CUTS, ENDS};
use super::{Formula, load::Loader};
use crate::diag::{Diagnostic, nearest};
use crate::yaml::{Fields, Node};

/// The most places of one entry that are written one by one.
const MOST_PLACES: usize = 400;

pub(super) const SIDES: &[(&str, Side)] =
    &[("top", Side::Top), ("bottom", Side::Bottom), ("left", Side::Left), ("right", Side::Right)];

impl<'s> Loader<'s> {
    pub(super) fn ends(&self, node: &'s Node) -> Option<EndsCut> {
        let mut fields = self.fields(node, "`ends`", &ENDS);
        let allowance = self.needed(&mut fields, "allowance");
        let corner = self.optional(&mut fields, "corner");
        fields.finish();
        Some(EndsCut { allowance: allowance?, corner })
    }

    pub(super) fn cut(&self, node: &'s Node) -> Option<Cut> {
        let names = || CUTS.iter().map(|(name, ..)| *name);
        let known = names().collect::<Vec<_>>().join(", ");
        let Some([(key, inner)]) = node.map() else {
            let headline = format!("Each entry of `cut` is one of: {known}.");
            self.refuse("family/cut", &headline, node.span, "one name with values");
            return None;
        };
        let Some((_, what, table)) = CUTS.iter().find(|(name, ..)| *name == key.text) else {
            let other = &key.text;
            let help =
                nearest(other, names()).map_or(format!("Known: {known}."), |name| format!("Did you mean `{name}`?"));
            self.findings.borrow_mut().push(
                Diagnostic::refused("family/cut", format!("`{other}` is nothing that can be cut here."))
                    .at(self.source.name(), key.span, "not known here")
                    .help(help),
            );
            return None;
        };
        let mut fields = self.fields(inner, what, table);
        let name = fields.need_text("name");
        let title = fields.need_text("title");
        let when = self.optional(&mut fields, "when");
        let from = if key.text == "holes" { fields.choice("from", SIDES) } else { None };
        let kind = match key.text.as_str() {
            "tongue" => self.tongue(&mut fields).map(|tongue| CutKind::Tongue(Box::new(tongue))),
            "slot" => self.slot(&mut fields).map(|slot| CutKind::Slot(Box::new(slot))),
            _ => self.holes(&mut fields).map(|holes| CutKind::Holes(Box::new(holes))),
        };
        fields.finish();
        Some(Cut { name: name?, title: title?, when, from: from.unwrap_or_default(), kind: kind?, span: inner.span })
    }

    fn tongue(&self, fields: &mut Fields<'s>) -> Option<TongueCut> {
        let width = self.needed(fields, "width");
        let height = self.needed(fields, "height");
        let centring = self.needed(fields, "centring");
        Some(TongueCut { width: width?, height: height?, centring: centring? })
    }

    fn slot(&self, fields: &mut Fields<'s>) -> Option<SlotCut> {
        let width = self.needed(fields, "width");
        let length = self.optional(fields, "length");
        let depth = self.optional(fields, "depth");
        let middle = self.middle(fields);
        let place_tolerance = self.needed(fields, "place_tolerance");
        if length.is_none() && depth.is_none() && width.is_some() {
            fields.refuse(
                "family/slot",
                "A groove from end to end and through would part the bar.",
                fields.span(),
                "neither `length` nor `depth` in it",
                "Give it a `depth`, or a `length`.",
            );
        }
        Some(SlotCut { width: width?, length, depth, middle, place_tolerance: place_tolerance? })
    }

    fn middle(&self, fields: &mut Fields<'s>) -> Option<(Formula, Formula)> {
        fields.node("middle").and_then(|node| self.pair(node, "`middle`"))
    }

    /// A place: along, across.
    fn pair(&self, node: &'s Node, what: &str) -> Option<(Formula, Formula)> {
        if let Some([along, across]) = node.list() {
            return self.formula(along, what).zip(self.formula(across, what));
        }
        let headline = format!("{what} takes two lengths, along and across.");
        self.refuse("family/place", &headline, node.span, "such as [10 mm, 0 mm]");
        None
    }

    fn holes(&self, fields: &mut Fields<'s>) -> Option<HolesCut> {
        let places = self.places(fields);
        let middle = self.middle(fields);
        let make = self.make(fields);
        let depth = self.optional(fields, "depth");
        if let Some(MakeCut::Tapped { thread_depth, .. }) = &make
            && thread_depth.is_some() != depth.is_some()
        {
            fields.refuse(
                "family/hole",
                "A blind tapped hole has two depths: `depth` of the drill at full diameter, `thread_depth` of the thread.",
                fields.span(),
                "one of the two",
                "Give both, or neither for a hole that goes through.",
            );
        }
        let chamfer = self.optional(fields, "chamfer");
        let head = self.head(fields);
        if chamfer.is_some() && head.is_some() {
            let span = fields.key_span("chamfer");
            fields.refuse(
                "family/hole",
                "A hole has a chamfer or room for a head, not both.",
                span,
                "beside a counterbore or countersink",
                "Leave one of them out.",
            );
        }
        let place_tolerance = self.needed(fields, "place_tolerance");
        Some(HolesCut { places: places?, middle, make: make?, depth, chamfer, head, place_tolerance: place_tolerance? })
    }

    /// A row (`count`, `pitch`), a grid (`columns`, `rows`, `pitch`, `row_pitch`, `omit`), or `at`.
    fn places(&self, fields: &mut Fields<'s>) -> Option<PlacesCut> {
        let at = fields.node("at").is_some();
        let count = self.optional(fields, "count");
        let columns = self.optional(fields, "columns");
        let pitch = self.optional(fields, "pitch");
        let rows = self.optional(fields, "rows");
        let row_pitch = self.optional(fields, "row_pitch");
        let omit = self.optional(fields, "omit");
        if at {
            let nodes = fields.list("at");
            if nodes.len() > MOST_PLACES {
                let headline = format!("`at` holds at most {MOST_PLACES} places.");
                fields.refuse("family/too-many", headline, fields.key_span("at"), "more here", "Use a grid.");
                return None;
            }
            let places: Vec<_> = nodes.iter().filter_map(|node| self.pair(node, "A place")).collect();
            let alone = [&count, &columns, &pitch, &rows, &row_pitch, &omit].into_iter().all(Option::is_none);
            if alone && places.len() == nodes.len() && !places.is_empty() {
                return Some(PlacesCut::At(places));
            }
        } else {
            match (count, columns, rows, pitch, row_pitch) {
                (Some(count), None, None, Some(pitch), None) if omit.is_none() => {
                    return Some(PlacesCut::Row { count, pitch });
                }
                (None, Some(columns), Some(rows), Some(pitch), Some(row_pitch)) => {
                    return Some(PlacesCut::Grid { columns, rows, pitch, row_pitch, omit });
                }
                _ => {}
            }
        }
        fields.refuse(
            "family/places",
            "It is not clear where the holes are.",
            fields.span(),
            "one of three ways is wanted",
            "A row: `count`, `pitch`. A grid: `columns`, `rows`, `pitch`, `row_pitch` and perhaps `omit`. Single places: `at: [[x, y], …]`.",
        );
        None
    }

    fn make(&self, fields: &mut Fields<'s>) -> Option<MakeCut> {
        let tapped = self.optional(fields, "tapped");
        let left_hand = self.optional(fields, "left_hand");
        let thread_depth = self.optional(fields, "thread_depth");
        let diameter = self.optional(fields, "diameter");
        let reamed = self.optional(fields, "reamed");
        let stray = tapped.is_none() && (left_hand.is_some() || thread_depth.is_some());
        match (tapped, diameter, reamed) {
            (Some(thread), None, None) => Some(MakeCut::Tapped { thread, left_hand, thread_depth }),
            (None, Some(diameter), None) if !stray => Some(MakeCut::Plain { diameter }),
            (None, None, Some(diameter)) if !stray => Some(MakeCut::Reamed { diameter }),
            _ => {
                fields.refuse(
                    "family/hole",
                    "A hole is tapped, or reamed, or has a plain diameter.",
                    fields.span(),
                    "one of `tapped`, `reamed` and `diameter`",
                    "`left_hand` and `thread_depth` go with `tapped`.",
                );
                None
            }
        }
    }

    fn head(&self, fields: &mut Fields<'s>) -> Option<HeadCut> {
        let bore = fields.node("counterbore");
        let sink = fields.node("countersink");
        match (bore, sink) {
            (Some(node), None) => {
                let mut fields = self.fields(node, "the counterbore", &COUNTERBORE);
                let diameter = self.needed(&mut fields, "diameter");
                let depth = self.needed(&mut fields, "depth");
                fields.finish();
                Some(HeadCut::Counterbore { diameter: diameter?, depth: depth? })
            }
            (None, Some(node)) => {
                let mut fields = self.fields(node, "the countersink", &COUNTERSINK);
                let diameter = self.needed(&mut fields, "diameter");
                let angle = self.needed(&mut fields, "angle");
                fields.finish();
                Some(HeadCut::Countersink { diameter: diameter?, angle: angle? })
            }
            (None, None) => None,
            (Some(_), Some(_)) => {
                let span = fields.key_span("countersink");
                fields.refuse(
                    "family/hole",
                    "A hole has a counterbore or a countersink, not both.",
                    span,
                    "beside a counterbore",
                    "",
                );
                None
            }
        }
    }
}

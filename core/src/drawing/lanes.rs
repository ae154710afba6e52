//! Rows of dimensions beside a view, so that nothing crosses.
//!
//! A dimension that has an end strictly inside another's span must lie nearer to the part, or its
//! extension line would cut the other. Two that want to be nearer than each other go to different
//! sides of the view. What then remains on one side is put in order, shortest first.

use super::style::{ARROW, GAP};

/// One dimension as the rows see it, in millimetres of paper along its direction.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Span {
    pub(super) from: f64,
    pub(super) to: f64,
    /// What its text takes along the line.
    pub(super) text: f64,
    /// Where the text stands if it finds no room between the arrows: before `from` or after `to`.
    pub(super) before: bool,
    /// Whether the text has to share the line with the arrows, as in a broken line.
    pub(super) broken: bool,
}

/// How a dimension is drawn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Form {
    /// All that the line and its text take.
    pub(super) whole: (f64, f64),
    /// The text.
    pub(super) text: (f64, f64),
    /// Arrows between the extension lines, or from outside.
    pub(super) arrows_inside: bool,
    /// Text between the extension lines.
    pub(super) text_inside: bool,
}

/// Where a dimension goes: side of the view (0 or 1) and row, from zero, outwards.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Lane {
    pub(super) side: usize,
    pub(super) row: usize,
}

impl Span {
    pub(super) fn form(&self) -> Form {
        let room = self.to - self.from;
        let middle = f64::midpoint(self.from, self.to);
        let text = (middle - self.text / 2.0, middle + self.text / 2.0);
        let tail = 2.0 * ARROW;
        if room >= self.text + tail + 2.0 || (!self.broken && room >= self.text + 1.0 && room >= tail + 2.0) {
            return Form { whole: (self.from, self.to), text, arrows_inside: true, text_inside: true };
        }
        let arrows_inside = room >= tail + 2.0 && !self.broken;
        if room >= self.text + 1.0 {
            let whole = (self.from - tail, self.to + tail);
            return Form { whole, text, arrows_inside: false, text_inside: true };
        }
        let out = if arrows_inside { 0.0 } else { tail };
        let gap = if self.broken { 1.0 } else { 0.5 };
        let (whole, text) = if self.before {
            let end = self.from - if self.broken { tail + gap } else { gap + 1.0 };
            ((end - self.text, self.to + out), (end - self.text, end))
        } else {
            let start = self.to + if self.broken { tail + gap } else { gap + 1.0 };
            ((self.from - out, start + self.text), (start, start + self.text))
        };
        let whole = (whole.0.min(self.from - out), whole.1.max(self.to + out));
        Form { whole, text, arrows_inside, text_inside: false }
    }

    /// Whether this one has to be nearer to the part than the other.
    fn before(&self, other: &Self) -> bool {
        let form = other.form();
        [self.from, self.to].iter().any(|end| {
            let cuts = *end > form.whole.0 + 1e-9 && *end < form.whole.1 - 1e-9;
            let touches = *end > form.text.0 - 0.6 && *end < form.text.1 + 0.6;
            (cuts || touches) && !same(*end, other.from) && !same(*end, other.to)
        })
    }

    fn meets(&self, other: &Self) -> bool {
        let (a, b) = (self.form(), other.form());
        let chained = same(self.to, other.from) || same(other.to, self.from);
        let tidy = |span: &Self, form: Form| same(form.whole.0, span.from) && same(form.whole.1, span.to);
        if chained && tidy(self, a) && tidy(other, b) {
            return false;
        }
        a.whole.0 < b.whole.1 + GAP && b.whole.0 < a.whole.1 + GAP
    }
}

/// Gives every dimension a lane, or says that there is none; turns `before` of short ones, which
/// is left as it comes where that does.
pub(super) fn place(spans: &mut [Span], sides: usize) -> Option<Vec<Lane>> {
    let short: Vec<usize> =
        spans.iter().enumerate().filter(|(_, span)| !span.form().text_inside).map(|(index, _)| index).collect();
    let asked: Vec<bool> = spans.iter().map(|span| span.before).collect();
    // Eight short dimensions on one side are a case for ordinates, not for trying on.
    for choice in 0..1_u32 << short.len().min(8) {
        for (bit, index) in short.iter().enumerate() {
            spans[*index].before = asked[*index] != (choice >> bit & 1 == 1);
        }
        if let Some(lanes) = try_place(spans, sides) {
            return Some(lanes);
        }
    }
    None
}

fn try_place(spans: &[Span], sides: usize) -> Option<Vec<Lane>> {
    let count = spans.len();
    let first = |j: usize, i: usize| i != j && spans[j].before(&spans[i]);
    let side = colour(count, sides, |i, j| first(i, j) && first(j, i))?;
    let mut rows: Vec<Option<usize>> = vec![None; count];
    for _ in 0..count {
        let next = (0..count)
            .filter(|i| rows[*i].is_none())
            .filter(|i| (0..count).all(|j| side[j] != side[*i] || rows[j].is_some() || !first(j, *i)))
            .min_by(|a, b| {
                let key = |i: usize| spans[i].to - spans[i].from;
                key(*a).total_cmp(&key(*b)).then(spans[*a].from.total_cmp(&spans[*b].from)).then(a.cmp(b))
            })?;
        let placed = || (0..count).filter(|j| side[*j] == side[next]).filter_map(|j| rows[j].map(|row| (j, row)));
        let mut row = placed().filter(|(j, _)| first(*j, next)).map(|(_, row)| row + 1).max().unwrap_or(0);
        while placed()
            .any(|(j, taken)| (taken == row && spans[j].meets(&spans[next])) || (first(next, j) && taken <= row))
        {
            row += 1;
            if row > count {
                return None;
            }
        }
        rows[next] = Some(row);
    }
    side.iter().zip(rows).map(|(side, row)| row.map(|row| Lane { side: *side, row })).collect()
}

/// Two sides for what cannot share one; `None` where two do not do.
fn colour(count: usize, sides: usize, apart: impl Fn(usize, usize) -> bool) -> Option<Vec<usize>> {
    let mut side: Vec<Option<usize>> = vec![None; count];
    for start in 0..count {
        if side[start].is_some() {
            continue;
        }
        side[start] = Some(0);
        let mut open = vec![(start, 0)];
        while let Some((at, here)) = open.pop() {
            for other in (0..count).filter(|other| *other != at && apart(at, *other)) {
                match side[other] {
                    Some(there) if there == here => return None,
                    Some(_) => {}
                    None if sides < 2 => return None,
                    None => {
                        side[other] = Some(1 - here);
                        open.push((other, 1 - here));
                    }
                }
            }
        }
    }
    side.into_iter().collect()
}

fn same(a: f64, b: f64) -> bool {
    (a - b).abs() < 1e-6
}

#[cfg(test)]
#[allow(clippy::cast_precision_loss, clippy::cast_possible_truncation, reason = "small numbers of a test")]
mod tests {
    use super::*;

    fn span(from: f64, to: f64) -> Span {
        Span { from, to, text: 8.0, before: false, broken: false }
    }

    #[test]
    fn nested_spans_are_nested_rows() {
        let mut spans = [span(-30.0, 30.0), span(-10.0, 10.0), span(-20.0, 20.0)];
        let lanes = place(&mut spans, 1).expect("nested spans always fit");
        assert_eq!(lanes.iter().map(|lane| lane.row).collect::<Vec<_>>(), [2, 0, 1], "shortest nearest");
    }

    #[test]
    fn partly_overlapping_spans_take_two_sides() {
        let mut spans = [span(0.0, 30.0), span(15.0, 50.0)];
        assert_eq!(place(&mut spans.clone(), 1), None, "one side does not do");
        let lanes = place(&mut spans, 2).expect("two sides do");
        assert_ne!(lanes[0].side, lanes[1].side, "one on each");
    }

    #[test]
    fn a_chain_shares_a_row() {
        let mut spans = [span(0.0, 20.0), span(20.0, 45.0)];
        let lanes = place(&mut spans, 1).expect("a chain fits");
        assert_eq!(lanes[0].row, lanes[1].row, "same row");
    }

    /// Random sets, judged by crossings alone and not by the rule that placed them.
    #[test]
    fn nothing_crosses() {
        let mut seed = 7_u64;
        let mut random = |most: u64| {
            seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            (seed >> 33) % most
        };
        let mut placed = 0;
        for _ in 0..4000 {
            let mut spans: Vec<Span> = Vec::new();
            for _ in 0..=random(5) {
                let (a, b) = (random(120), random(120));
                let text = [8.0, 11.0, 14.0, 18.0][random(4) as usize];
                let broken = random(2) == 0;
                if a != b {
                    spans.push(Span { from: a.min(b) as f64, to: a.max(b) as f64, text, before: false, broken });
                }
            }
            spans.dedup_by(|a, b| same(a.from, b.from) && same(a.to, b.to));
            let Some(lanes) = place(&mut spans, 2) else { continue };
            placed += 1;
            for (i, (span, lane)) in spans.iter().zip(&lanes).enumerate() {
                let form = span.form();
                for (j, (other, theirs)) in spans.iter().zip(&lanes).enumerate() {
                    if i == j || lane.side != theirs.side {
                        continue;
                    }
                    for end in [other.from, other.to] {
                        let own = same(end, span.from) || same(end, span.to);
                        let cuts = end > form.whole.0 + 1e-6 && end < form.whole.1 - 1e-6 && !own;
                        assert!(!(cuts && theirs.row > lane.row), "{other:?} {theirs:?} cuts {span:?} {lane:?}");
                    }
                    let theirs_whole = other.form().whole;
                    let share = form.whole.0 < theirs_whole.1 - 1e-6 && theirs_whole.0 < form.whole.1 - 1e-6;
                    assert!(!(share && lane.row == theirs.row), "{span:?} and {other:?} in one row");
                }
            }
        }
        assert!(placed > 2000, "most sets are placed: {placed}");
    }
}

//! Whole bars for whole pieces, at a cost near the bound.
//!
//! The relaxed patterns of [`relax`] are cut as often as they go in whole; what is left is relaxed
//! anew, and at each step also filled greedily, bar by bar; the cheapest of all is kept. Steps are
//! counted, never timed: the same pieces give the same bars everywhere.

use super::fill::{fill, gcd, parts};
use super::relax::{Pattern, Stock, relax};

/// More kinds of pieces than this are filled greedily alone.
const KINDS: usize = 100;

/// Bars for pieces.
#[derive(Clone, Debug)]
pub(super) struct Solved {
    /// Patterns, and how many bars of each.
    pub(super) bars: Vec<(Pattern, u32)>,
    /// What they cost.
    pub(super) cost: i64,
    /// Nothing costs less.
    pub(super) bound: i64,
}

/// Cheap bars for pieces of `widths`, so many as `demand` says. Each piece must fit on the longest
/// stock; pieces that fit nowhere are left out.
pub(super) fn solve(widths: &[i64], demand: &[u32], stocks: &[Stock]) -> Solved {
    let longest = stocks.iter().map(|stock| stock.room).max().unwrap_or(0);
    let demand: Vec<u32> =
        widths.iter().zip(demand).map(|(width, many)| if *width <= longest { *many } else { 0 }).collect();
    let step = stocks.iter().fold(0, |step, stock| gcd(step, stock.cost)).max(1);
    let mut best = finish(&[], widths, &demand, stocks);
    let mut bound = whole(by_length(widths, &demand, stocks), step);
    let mut cut: Vec<(Pattern, u32)> = Vec::new();
    let mut left = demand;
    let mut first = true;
    while left.iter().any(|many| *many > 0) {
        let kinds: Vec<usize> = (0..widths.len()).filter(|kind| left[*kind] > 0).collect();
        if kinds.len() > KINDS || spent(&best, stocks) <= bound {
            break;
        }
        let some_widths: Vec<i64> = kinds.iter().map(|kind| widths[*kind]).collect();
        let some_left: Vec<u32> = kinds.iter().map(|kind| left[*kind]).collect();
        let Some(relaxed) = relax(&some_widths, &some_left, stocks) else { break };
        if first {
            bound = bound.max(whole(relaxed.bound, step));
            first = false;
        } else if parts(spent(&cut, stocks)) + relaxed.bound > parts(spent(&best, stocks) - step) + 0.5 {
            // This way ends no cheaper than what is known.
            break;
        }
        let spread = |pattern: &Pattern| {
            let mut counts = vec![0; widths.len()];
            for (kind, many) in kinds.iter().zip(&pattern.counts) {
                counts[*kind] = *many;
            }
            Pattern { stock: pattern.stock, counts }
        };
        let mut went = false;
        for (pattern, amount) in &relaxed.parts {
            let pattern = spread(pattern);
            for _ in 0..floor(*amount) {
                if pattern.counts.iter().zip(&left).any(|(many, left)| many > left) {
                    break;
                }
                take(&pattern, &mut left);
                cut.push((pattern.clone(), 1));
                went = true;
            }
        }
        if !went {
            let fullest = |pattern: &Pattern| used(&some_widths, &pattern.counts);
            let Some((pattern, _)) = relaxed
                .parts
                .iter()
                .max_by(|(a, many), (b, more)| many.total_cmp(more).then(fullest(a).cmp(&fullest(b))))
            else {
                break;
            };
            let pattern = topped(spread(pattern), widths, &left, stocks);
            take(&pattern, &mut left);
            cut.push((pattern, 1));
        }
        let whole = finish(&cut, widths, &left, stocks);
        if spent(&whole, stocks) < spent(&best, stocks) {
            best = whole;
        }
    }
    let bars = together(best);
    Solved { cost: spent(&bars, stocks), bars, bound }
}

fn spent(bars: &[(Pattern, u32)], stocks: &[Stock]) -> i64 {
    bars.iter().map(|(pattern, many)| stocks[pattern.stock].cost * i64::from(*many)).sum()
}

pub(super) fn used(widths: &[i64], counts: &[u32]) -> i64 {
    widths.iter().zip(counts).map(|(width, many)| width * i64::from(*many)).sum()
}

fn take(pattern: &Pattern, left: &mut [u32]) {
    for (left, many) in left.iter_mut().zip(&pattern.counts) {
        *left = left.saturating_sub(*many);
    }
}

/// A pattern without the pieces that are no more wanted, filled up with others.
fn topped(mut pattern: Pattern, widths: &[i64], left: &[u32], stocks: &[Stock]) -> Pattern {
    for (many, left) in pattern.counts.iter_mut().zip(left) {
        *many = (*many).min(*left);
    }
    let room = stocks[pattern.stock].room - used(widths, &pattern.counts);
    let more: Vec<u32> = left.iter().zip(&pattern.counts).map(|(left, many)| left - many).collect();
    let values: Vec<f64> = widths.iter().map(|width| parts(*width)).collect();
    for (many, more) in pattern.counts.iter_mut().zip(fill(room, widths, &values, &more).counts) {
        *many += more;
    }
    pattern
}

/// What is cut already, and the cheapest of the greedy ways for what is left: with all lengths of
/// bars at hand, and with each by itself.
fn finish(cut: &[(Pattern, u32)], widths: &[i64], left: &[u32], stocks: &[Stock]) -> Vec<(Pattern, u32)> {
    let longest = (0..widths.len()).filter(|kind| left[*kind] > 0).map(|kind| widths[kind]).max().unwrap_or(0);
    let mut ways: Vec<Vec<usize>> = vec![(0..stocks.len()).collect()];
    if stocks.len() > 1 {
        ways.extend((0..stocks.len()).filter(|stock| stocks[*stock].room >= longest).map(|stock| vec![stock]));
    }
    let finished = ways.into_iter().map(|way| {
        let mut whole = cut.to_vec();
        whole.extend(greedy(widths, left, stocks, &way));
        shorter(whole, widths, stocks)
    });
    finished.min_by_key(|bars| spent(bars, stocks)).unwrap_or_default()
}

/// Bar by bar: the longest piece that is left, and what fills the rest of the bar best.
fn greedy(widths: &[i64], demand: &[u32], stocks: &[Stock], way: &[usize]) -> Vec<(Pattern, u32)> {
    let mut left = demand.to_vec();
    let mut bars = Vec::new();
    loop {
        let longest = (0..widths.len()).filter(|kind| left[*kind] > 0).max_by_key(|kind| widths[*kind]);
        let Some(longest) = longest else { return bars };
        let mut found: Option<Pattern> = None;
        let yields =
            |pattern: &Pattern| parts(used(widths, &pattern.counts)) / parts(stocks[pattern.stock].cost.max(1));
        for &stock in way {
            if stocks[stock].room < widths[longest] {
                continue;
            }
            let mut counts = vec![0; widths.len()];
            counts[longest] = 1;
            let pattern = topped(Pattern { stock, counts }, widths, &left, stocks);
            if found.as_ref().is_none_or(|known| yields(&pattern) > yields(known) + 1e-12) {
                found = Some(pattern);
            }
        }
        let Some(pattern) = found else {
            left[longest] = 0;
            continue;
        };
        let often =
            pattern.counts.iter().zip(&left).filter(|(many, _)| **many > 0).map(|(many, left)| left / many).min();
        let often = often.unwrap_or(1).max(1);
        for _ in 0..often {
            take(&pattern, &mut left);
        }
        bars.push((pattern, often));
    }
}

/// Each bar as short as its pieces allow.
fn shorter(mut bars: Vec<(Pattern, u32)>, widths: &[i64], stocks: &[Stock]) -> Vec<(Pattern, u32)> {
    bars.retain(|(pattern, _)| pattern.counts.iter().any(|many| *many > 0));
    for (pattern, _) in &mut bars {
        let need = used(widths, &pattern.counts);
        let cheapest =
            (0..stocks.len()).filter(|stock| stocks[*stock].room >= need).min_by_key(|stock| stocks[*stock].cost);
        pattern.stock = cheapest.unwrap_or(pattern.stock);
    }
    bars
}

/// Bars alike told once, the longest pieces first.
fn together(bars: Vec<(Pattern, u32)>) -> Vec<(Pattern, u32)> {
    let mut merged: Vec<(Pattern, u32)> = Vec::new();
    for (pattern, many) in bars {
        match merged.iter_mut().find(|(known, _)| *known == pattern) {
            Some((_, count)) => *count += many,
            None => merged.push((pattern, many)),
        }
    }
    merged.sort_by(|(a, _), (b, _)| a.stock.cmp(&b.stock).then_with(|| b.counts.cmp(&a.counts)));
    merged
}

/// What a whole length of pieces costs at least, once `given` of it comes from rests.
pub(super) fn least(widths: &[i64], demand: &[u32], stocks: &[Stock], given: i64) -> i64 {
    let step = stocks.iter().fold(0, |step, stock| gcd(step, stock.cost)).max(1);
    let length = used(widths, demand) - given;
    whole(by_length(&[length.max(0)], &[1], stocks), step)
}

/// What the length alone asks for.
fn by_length(widths: &[i64], demand: &[u32], stocks: &[Stock]) -> f64 {
    let length: f64 = widths.iter().zip(demand).map(|(width, many)| parts(*width) * f64::from(*many)).sum();
    let rates = stocks.iter().filter(|stock| stock.room > 0).map(|stock| parts(stock.cost) / parts(stock.room));
    let rate = rates.fold(f64::INFINITY, f64::min);
    if rate.is_finite() { length * rate } else { 0.0 }
}

/// A bound brought up to what whole bars can cost.
#[expect(clippy::cast_possible_truncation, reason = "costs are lengths of bars, far below 2^63 nanometres")]
fn whole(bound: f64, step: i64) -> i64 {
    (bound / parts(step) - 1e-6).ceil() as i64 * step
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "between nothing and the demand")]
fn floor(amount: f64) -> u32 {
    (amount + 1e-6).floor().max(0.0) as u32
}

#[cfg(test)]
mod tests;

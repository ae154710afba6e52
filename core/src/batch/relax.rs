//! The cheapest bars when patterns may be cut a part of a time: what guides the whole pattern,
//! and a bound that no pattern is below.
//!
//! Patterns are made as they are needed, the best next one by filling one bar (P. C. Gilmore,
//! R. E. Gomory, *A linear programming approach to the cutting-stock problem*, Operations Research
//! 9, 1961). The bound is that of A. A. Farley (*A note on bounding a class of linear programming
//! problems*, Operations Research 38, 1990): it holds at every step, whether or not the search has
//! come to its end.

use super::fill::fill;

/// A bar that can be had: what fits on it, and what it costs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Stock {
    /// Room for pieces with their kerfs.
    pub(super) room: i64,
    /// What it costs.
    pub(super) cost: i64,
}

/// One bar of a kind, and how many of each piece it gives.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Pattern {
    /// Which stock.
    pub(super) stock: usize,
    /// How many of each piece.
    pub(super) counts: Vec<u32>,
}

/// What is found.
#[derive(Clone, Debug)]
pub(super) struct Relaxed {
    /// Patterns, and how often each.
    pub(super) parts: Vec<(Pattern, f64)>,
    /// No way of cutting costs less.
    pub(super) bound: f64,
}

/// A column of the basis: a pattern, or one piece too many of a kind.
#[derive(Clone, Debug)]
enum Column {
    Pattern(Pattern),
    Over(usize),
}

/// The most steps of the simplex for each kind of piece; a step makes one pattern.
const STEPS: usize = 40;

/// Nothing smaller counts.
const DUST: f64 = 1e-9;

/// Cheapest bars for pieces of `widths`, so many of each as `demand` says (each at least one, and
/// none wider than the longest stock). `None` where nothing is asked for.
pub(super) fn relax(widths: &[i64], demand: &[u32], stocks: &[Stock]) -> Option<Relaxed> {
    let size = widths.len();
    if size == 0 {
        return None;
    }
    let mut columns = Vec::with_capacity(size);
    let mut inverse = vec![vec![0.0; size]; size];
    for kind in 0..size {
        let (stock, many) = first(widths[kind], demand[kind], stocks)?;
        let mut counts = vec![0; size];
        counts[kind] = many;
        columns.push(Column::Pattern(Pattern { stock, counts }));
        inverse[kind][kind] = 1.0 / f64::from(many);
    }
    let mut amounts: Vec<f64> = (0..size).map(|kind| f64::from(demand[kind]) * inverse[kind][kind]).collect();
    let mut bound: f64 = 0.0;
    let mut prices = vec![0.0; size];
    for _ in 0..STEPS * (size + 10) {
        let costs: Vec<f64> = columns.iter().map(|column| cost(column, stocks)).collect();
        for (kind, price) in prices.iter_mut().enumerate() {
            *price = costs.iter().zip(&inverse).map(|(cost, row)| cost * row[kind]).sum();
        }
        let next = over(&prices).or_else(|| {
            let kept: Vec<f64> = prices.iter().map(|price| price.max(0.0)).collect();
            let (pattern, gain, most) = best(widths, demand, stocks, &kept)?;
            let worth: f64 = kept.iter().zip(demand).map(|(price, many)| price * f64::from(*many)).sum();
            bound = bound.max(worth / most.max(1.0));
            (gain > 1.0 + 1e-7).then_some(Column::Pattern(pattern))
        });
        let Some(next) = next else { break };
        if !enter(next, &mut columns, &mut inverse, &mut amounts) {
            break;
        }
    }
    let parts = columns
        .into_iter()
        .zip(amounts)
        .filter_map(|(column, amount)| match column {
            Column::Pattern(pattern) if amount > DUST => Some((pattern, amount)),
            _ => None,
        })
        .collect();
    Some(Relaxed { parts, bound })
}

fn cost(column: &Column, stocks: &[Stock]) -> f64 {
    match column {
        Column::Pattern(pattern) => super::fill::parts(stocks[pattern.stock].cost),
        Column::Over(_) => 0.0,
    }
}

/// The stock that gives one kind of piece for the least.
fn first(width: i64, demand: u32, stocks: &[Stock]) -> Option<(usize, u32)> {
    let many = |stock: &Stock| u32::try_from(stock.room / width).unwrap_or(u32::MAX).min(demand);
    stocks
        .iter()
        .enumerate()
        .filter(|(_, stock)| many(stock) > 0)
        .min_by(|(_, a), (_, b)| (a.cost * i64::from(many(b))).cmp(&(b.cost * i64::from(many(a)))))
        .map(|(index, stock)| (index, many(stock)))
}

/// One piece too many pays where its price is below nothing.
fn over(prices: &[f64]) -> Option<Column> {
    let (kind, price) = prices.iter().enumerate().min_by(|a, b| a.1.total_cmp(b.1))?;
    (*price < -1e-6).then_some(Column::Over(kind))
}

/// The pattern that gives the most for its cost; with that, and with a bound on all patterns.
fn best(widths: &[i64], demand: &[u32], stocks: &[Stock], prices: &[f64]) -> Option<(Pattern, f64, f64)> {
    let mut found: Option<(Pattern, f64)> = None;
    let mut most: f64 = 0.0;
    for (index, stock) in stocks.iter().enumerate() {
        let filling = fill(stock.room, widths, prices, demand);
        let cost = super::fill::parts(stock.cost.max(1));
        most = most.max(filling.most / cost);
        let gain = filling.value / cost;
        if found.as_ref().is_none_or(|(_, known)| gain > *known + DUST) {
            found = Some((Pattern { stock: index, counts: filling.counts }, gain));
        }
    }
    found.map(|(pattern, gain)| (pattern, gain, most))
}

/// Takes a column in and puts the one out that it drives to nothing first.
fn enter(next: Column, columns: &mut [Column], inverse: &mut [Vec<f64>], amounts: &mut [f64]) -> bool {
    let direction: Vec<f64> = inverse
        .iter()
        .map(|row| match &next {
            Column::Pattern(pattern) => {
                row.iter().zip(&pattern.counts).map(|(part, many)| part * f64::from(*many)).sum()
            }
            Column::Over(kind) => -row[*kind],
        })
        .collect();
    let leaving = direction
        .iter()
        .enumerate()
        .filter(|(_, slope)| **slope > 1e-7)
        .min_by(|(a, one), (b, other)| (amounts[*a] / *one).total_cmp(&(amounts[*b] / *other)));
    let Some((out, slope)) = leaving else { return false };
    let step = amounts[out] / slope;
    for (row, slope) in direction.iter().enumerate() {
        amounts[row] = if row == out { step } else { (amounts[row] - step * slope).max(0.0) };
    }
    let pivot: Vec<f64> = inverse[out].iter().map(|part| part / slope).collect();
    for (row, slope) in direction.iter().enumerate() {
        if row == out {
            inverse[row].clone_from(&pivot);
        } else if *slope != 0.0 {
            for (part, by) in inverse[row].iter_mut().zip(&pivot) {
                *part -= slope * by;
            }
        }
    }
    columns[out] = next;
    true
}

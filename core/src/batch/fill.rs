//! Filling one bar: which pieces, each at most so often, are worth the most within a length.

/// The most steps that one filling may take.
const STEPS: u32 = 2_000;

/// Lengths up to which a table is quicker than a search, in whole parts of the common measure.
const TABLE: i64 = 4_000;

/// The best filling that was found.
#[derive(Clone, Debug)]
pub(super) struct Filling {
    /// How many of each.
    pub(super) counts: Vec<u32>,
    /// What they are worth.
    pub(super) value: f64,
    /// No filling is worth more than this.
    pub(super) most: f64,
}

/// Fills `room` with pieces that take `widths` (above nothing), are worth `values` and of which
/// there are `limits`. Exact for small rooms; else the best of a bounded number of steps, with a
/// bound that holds all the same.
pub(super) fn fill(room: i64, widths: &[i64], values: &[f64], limits: &[u32]) -> Filling {
    let common = widths.iter().fold(0, |common, width| gcd(common, *width)).max(1);
    if room <= 0 {
        return Filling { counts: vec![0; widths.len()], value: 0.0, most: 0.0 };
    }
    if room / common <= TABLE {
        by_table(room, common, widths, values, limits)
    } else {
        by_search(room, widths, values, limits)
    }
}

pub(super) fn gcd(a: i64, b: i64) -> i64 {
    if b == 0 { a.abs() } else { gcd(b, a % b) }
}

/// Every length up to the room, one kind of piece after the other.
fn by_table(room: i64, common: i64, widths: &[i64], values: &[f64], limits: &[u32]) -> Filling {
    let size = usize::try_from(room / common).unwrap_or(0);
    let mut best = vec![0.0_f64; size + 1];
    // How many of each kind stand in the best filling of each length.
    let mut taken: Vec<Vec<u32>> = Vec::with_capacity(widths.len());
    for ((width, value), limit) in widths.iter().zip(values).zip(limits) {
        let mut counts = vec![0_u32; size + 1];
        let step = usize::try_from(width / common).unwrap_or(0);
        if *value > 0.0 && step > 0 {
            let before = best.clone();
            for length in step..=size {
                // One more than the best with one less of this kind, if there is one more.
                let (mut worth, mut count) = (before[length], 0);
                let mut many = 1;
                while many <= *limit && many as usize * step <= length {
                    let other = before[length - many as usize * step] + f64::from(many) * value;
                    if other > worth + 1e-12 {
                        (worth, count) = (other, many);
                    }
                    many += 1;
                }
                best[length] = worth;
                counts[length] = count;
            }
        }
        taken.push(counts);
    }
    let mut length = size;
    let mut counts = vec![0; widths.len()];
    for (kind, column) in taken.iter().enumerate().rev() {
        counts[kind] = column[length];
        length -= column[length] as usize * usize::try_from(widths[kind] / common).unwrap_or(0);
    }
    Filling { counts, value: best[size], most: best[size] }
}

struct Search<'f> {
    widths: &'f [i64],
    values: &'f [f64],
    limits: &'f [u32],
    /// Kinds in the order of worth for their width.
    order: Vec<usize>,
    /// Smallest width from each place of the order on.
    least: Vec<i64>,
    now: Vec<u32>,
    best: Filling,
    steps: u32,
}

/// Depth first, the kind that is worth most for its width first, with the rest of the room taken
/// as filled with the next kind.
fn by_search(room: i64, widths: &[i64], values: &[f64], limits: &[u32]) -> Filling {
    let mut order: Vec<usize> =
        (0..widths.len()).filter(|kind| values[*kind] > 0.0 && limits[*kind] > 0 && widths[*kind] <= room).collect();
    let density = |kind: usize| values[kind] / parts(widths[kind]);
    order.sort_by(|a, b| density(*b).total_cmp(&density(*a)).then(widths[*b].cmp(&widths[*a])).then(a.cmp(b)));
    let mut least: Vec<i64> = order.iter().map(|kind| widths[*kind]).collect();
    for at in (1..least.len()).rev() {
        least[at - 1] = least[at - 1].min(least[at]);
    }
    let most = by_parts(room, widths, values, limits, &order);
    let best = Filling { counts: vec![0; widths.len()], value: 0.0, most };
    let mut search = Search { widths, values, limits, order, least, now: vec![0; widths.len()], best, steps: 0 };
    search.go(0, room, 0.0);
    let mut best = search.best;
    if search.steps < STEPS {
        best.most = best.value;
    }
    best
}

/// What the room is worth when the last piece may be cut to fit: no whole filling is worth more.
fn by_parts(room: i64, widths: &[i64], values: &[f64], limits: &[u32], order: &[usize]) -> f64 {
    let (mut left, mut worth) = (room, 0.0);
    for kind in order {
        let many = (left / widths[*kind]).min(i64::from(limits[*kind]));
        worth += parts(many) * values[*kind];
        left -= many * widths[*kind];
        if many < i64::from(limits[*kind]) {
            return worth + parts(left) / parts(widths[*kind]) * values[*kind];
        }
    }
    worth
}

impl Search<'_> {
    fn go(&mut self, at: usize, room: i64, worth: f64) {
        if worth > self.best.value + 1e-12 {
            self.best.value = worth;
            self.best.counts.clone_from(&self.now);
        }
        let Some(&kind) = self.order.get(at) else { return };
        if room < self.least[at] || self.steps >= STEPS || self.best.value >= self.best.most {
            return;
        }
        self.steps += 1;
        let (width, value) = (self.widths[kind], self.values[kind]);
        if worth + parts(room) * value / parts(width) <= self.best.value * (1.0 + 1e-9) + 1e-12 {
            return;
        }
        let mut many = u32::try_from(room / width).unwrap_or(u32::MAX).min(self.limits[kind]);
        loop {
            self.now[kind] = many;
            self.go(at + 1, room - width * i64::from(many), worth + value * f64::from(many));
            if many == 0 {
                break;
            }
            many -= 1;
        }
    }
}

/// A length in whole parts as a number; lengths stay far below what a double holds exactly.
#[expect(clippy::cast_precision_loss, reason = "bars are shorter than 2^53 nanometres, nine thousand kilometres")]
pub(super) const fn parts(length: i64) -> f64 {
    length as f64
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Both ways against trying everything.
    #[test]
    fn the_best_is_found() {
        let mut seed = 7_u64;
        let mut random = |most: u64| {
            seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            (seed >> 33) % most
        };
        for round in 0..200 {
            let kinds = 1 + usize::try_from(random(4)).expect("small");
            let widths: Vec<i64> = (0..kinds).map(|_| 3 + i64::try_from(random(30)).expect("small")).collect();
            let values: Vec<f64> =
                (0..kinds).map(|_| f64::from(u32::try_from(1 + random(50)).expect("small"))).collect();
            let limits: Vec<u32> = (0..kinds).map(|_| u32::try_from(random(5)).expect("small")).collect();
            let room = 10 + i64::try_from(random(90)).expect("small");
            let want = every(room, &widths, &values, &limits);
            let common = widths.iter().fold(0, |common, width| gcd(common, *width)).max(1);
            for found in [by_table(room, common, &widths, &values, &limits), by_search(room, &widths, &values, &limits)]
            {
                let used: i64 = found.counts.iter().zip(&widths).map(|(count, width)| i64::from(*count) * width).sum();
                let worth: f64 = found.counts.iter().zip(&values).map(|(count, value)| f64::from(*count) * value).sum();
                assert!(used <= room, "round {round}: {used} in {room}");
                assert!((worth - found.value).abs() < 1e-9, "round {round}: the counts are the value");
                assert!((worth - want).abs() < 1e-9, "round {round}: {worth}, not {want}");
                assert!(found.most >= want - 1e-9, "round {round}: the bound holds");
            }
        }
    }

    fn every(room: i64, widths: &[i64], values: &[f64], limits: &[u32]) -> f64 {
        let (Some(width), Some(value), Some(limit)) = (widths.first(), values.first(), limits.first()) else {
            return 0.0;
        };
        (0..=*limit)
            .filter(|many| i64::from(*many) * width <= room)
            .map(|many| {
                let left = room - i64::from(many) * width;
                f64::from(many) * value + every(left, &widths[1..], &values[1..], &limits[1..])
            })
            .fold(0.0, f64::max)
    }
}

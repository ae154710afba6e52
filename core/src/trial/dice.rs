//! Dice that fall in the same row on every machine.

/// A row of numbers that looks random (the mixing of `SplitMix64`, from memory; nothing rests on
/// its quality).
#[derive(Clone, Debug)]
pub(super) struct Dice(u64);

impl Dice {
    pub(super) const fn new(seed: u64) -> Self {
        Self(seed)
    }

    const fn roll(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^ (mixed >> 31)
    }

    /// A number from 0 up to but not `below`.
    pub(super) fn below(&mut self, below: usize) -> usize {
        let wide = u64::try_from(below.max(1)).unwrap_or(u64::MAX);
        usize::try_from(self.roll() % wide).unwrap_or(0)
    }

    /// A part of one, in thousandths.
    pub(super) fn part(&mut self) -> f64 {
        f64::from(u32::try_from(self.below(1001)).unwrap_or(0)) / 1000.0
    }

    /// True so many times of a hundred.
    pub(super) fn chance(&mut self, percent: usize) -> bool {
        self.below(100) < percent
    }

    /// One of these things, if there are any.
    pub(super) fn pick<'c, T>(&mut self, things: &'c [T]) -> Option<&'c T> {
        let at = self.below(things.len());
        things.get(at)
    }
}

//! Random numbers of a seed.

/// `SplitMix64` (Steele, Lea and Flood 2014; from memory).
pub(super) struct Random(u64);

impl Random {
    pub(super) fn new(seed: u64) -> Self {
        Self(seed)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut bits = self.0;
        bits = (bits ^ (bits >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        bits = (bits ^ (bits >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        bits ^ (bits >> 31)
    }

    /// A number below another; nought below nought.
    #[allow(clippy::cast_possible_truncation, reason = "smaller than a length")]
    pub(super) fn below(&mut self, end: usize) -> usize {
        (self.next() % (end as u64).max(1)) as usize
    }

    /// One of these, which are some.
    pub(super) fn of<'t, T>(&mut self, items: &'t [T]) -> &'t T {
        &items[self.below(items.len())]
    }

    /// Two places of a length, in order.
    pub(super) fn range(&mut self, length: usize, longest: usize) -> std::ops::Range<usize> {
        let start = self.below(length + 1);
        start..(start + self.below(longest + 1)).min(length)
    }
}

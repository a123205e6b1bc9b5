//! Random choices from the seed that the engine gives: the same seed makes the same text.

/// Numbers drawn one after another, by Steele, Lea and Flood's SplitMix64 (2014).
pub(crate) struct Draws(u64);

impl Draws {
    pub(crate) fn new(seed: u32) -> Self {
        Self(u64::from(seed))
    }

    pub(crate) fn number(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mixed = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        let mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^ (mixed >> 31)
    }

    /// A number in `0..limit`, 0 where there is none.
    pub(crate) fn below(&mut self, limit: usize) -> usize {
        (self.number() % limit.max(1) as u64) as usize
    }

    pub(crate) fn once_in(&mut self, times: usize) -> bool {
        self.below(times) == 0
    }

    /// One of some; there is at least one.
    pub(crate) fn pick<'a, T>(&mut self, choices: &'a [T]) -> &'a T {
        &choices[self.below(choices.len())]
    }
}

//! Random numbers from a seed, for gears and pairs.

/// A sequence that follows from its seed: a linear congruence modulo 2^64, of which the upper half is used.
#[derive(Debug, Clone)]
pub(crate) struct Lots {
    state: u64,
}

impl Lots {
    pub(crate) fn new(seed: u64) -> Self {
        Self { state: seed }
    }

    fn next(&mut self) -> u32 {
        self.state = self.state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        u32::try_from(self.state >> 32).expect("half of 64 bits")
    }

    /// A number from `low` up to `high`.
    pub(crate) fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * f64::from(self.next()) / f64::from(u32::MAX)
    }

    /// An integer from `low` to `high`, both included.
    pub(crate) fn count(&mut self, low: u16, high: u16) -> u16 {
        let size = u32::from(high - low) + 1;
        low + u16::try_from(self.next() % size).expect("below the size of a range of u16")
    }

    /// One of several.
    pub(crate) fn pick<T: Copy>(&mut self, choices: &[T]) -> T {
        choices[usize::try_from(self.next()).expect("a half fits") % choices.len()]
    }
}

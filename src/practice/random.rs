//! How does one number, the seed, choose everything on a sheet?
//!
//! By the generator called `SplitMix64`: a counter goes up by a fixed odd number, and each of its values is
//! stirred by shifts and products modulo 2^64. Only whole numbers are used, so that a seed makes the same
//! sheet on every machine. Source: Steele, Lea and Flood (2014), "Fast splittable pseudorandom number
//! generators", OOPSLA 2014, figure 17 for the constants (from memory, checked against published output).

/// A sequence of numbers that looks random and follows from its seed.
#[derive(Debug, Clone)]
pub(super) struct Dice {
    counter: u64,
}

impl Dice {
    pub(super) fn new(seed: u64) -> Self {
        Self { counter: seed }
    }

    /// The next number of the sequence.
    fn next(&mut self) -> u64 {
        self.counter = self.counter.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut mixed = self.counter;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        mixed ^ (mixed >> 31)
    }

    /// A whole number from `low` to `high`, both included; `low` where that is no range.
    pub(super) fn between(&mut self, low: i64, high: i64) -> i64 {
        let size = u64::try_from(high - low + 1).unwrap_or(1);
        let part = (u128::from(self.next()) * u128::from(size)) >> 64;
        low + i64::try_from(part).unwrap_or(0)
    }

    /// One of several; of an empty list there is none.
    pub(super) fn pick<T: Clone>(&mut self, choices: &[T]) -> Option<T> {
        let last = i64::try_from(choices.len()).unwrap_or(i64::MAX) - 1;
        usize::try_from(self.between(0, last)).ok().and_then(|at| choices.get(at).cloned())
    }

    /// True once in two.
    pub(super) fn toss(&mut self) -> bool {
        self.between(0, 1) == 1
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The first numbers for the seed 1234567, as commonly printed beside implementations.
    #[test]
    fn the_sequence_is_the_published_one() {
        let mut dice = Dice::new(1_234_567);
        let found: Vec<u64> = (0..3).map(|_| dice.next()).collect();
        assert_eq!(found, [6_457_827_717_110_365_317, 3_203_168_211_198_807_973, 9_817_491_932_198_370_423]);
    }

    #[test]
    fn a_range_is_met_from_end_to_end() {
        let mut dice = Dice::new(7);
        let mut seen = [0; 5];
        for _ in 0..500 {
            seen[usize::try_from(dice.between(-2, 2) + 2).unwrap()] += 1;
        }
        assert!(seen.iter().all(|&times| times > 50), "{seen:?}");
        assert_eq!(dice.between(4, 4), 4);
        assert_eq!(dice.pick::<u8>(&[]), None);
    }
}

//! Where does a wrong planet settle when every mesh has its own backlash, and how much is left?
//!
//! With k the whole teeth that the rows are on, a mesh of circular pitch a and backlash b is
//! short of backlash by `a |A u - k| - b`. A planet under a hand finds the turn u at which the
//! worst shortage t is least; by the duality of linear programming t is the largest, over the
//! circuits c of the rows, of `(|c.k| - sum |c_i| b_i / a_i) / (sum |c_i| / a_i)`, and over
//! the rows of `-b_i`. On the circuit that tells it every row is used up equally; what is
//! left to the others follows in the same way, as in [`crate::exact::nearest_miss`].
//! Source of the duality: Cheney (1966), "Introduction to Approximation Theory", chapter 2;
//! with unequal backlash: worked out here.

use num_bigint::BigInt;
use num_traits::Zero;

use crate::exact::{Fraction, to_float};
use crate::timing::by_hand::{CircuitRow, LEAST, Room, backlash_needed};

/// The circuits of a group's rows.
#[derive(Debug, Clone)]
pub(super) struct Settling {
    circuits: Vec<Circuit>,
}

/// The rows of a circuit with their factors, none of which is zero.
type Circuit = Vec<(usize, f64)>;

impl Settling {
    /// For rows with these circuits.
    pub(super) fn new(circuits: &[Vec<BigInt>]) -> Self {
        let sparse = |circuit: &Vec<BigInt>| {
            let rows = circuit.iter().enumerate().filter(|(_, factor)| !factor.is_zero());
            rows.map(|(row, factor)| (row, to_float(&Fraction::from(factor.clone())))).collect()
        };
        Self { circuits: circuits.iter().map(sparse).collect() }
    }

    /// For the rows of one cluster, whose circuits are pairs of gears.
    pub(super) fn of_cluster(tooth_counts: &[i64]) -> Self {
        let pair = |i: usize, j: usize| vec![(i, float(tooth_counts[j])), (j, -float(tooth_counts[i]))];
        let circuits = (0..tooth_counts.len()).flat_map(|i| (0..i).map(move |j| pair(i, j)));
        Self { circuits: circuits.collect() }
    }

    /// The backlash left in every mesh where the planet settles, in millimetres; below zero the
    /// mesh is short of so much.
    pub(super) fn play_left(&self, moved: &[i64], rooms: &[Room]) -> Vec<f64> {
        let moved: Vec<f64> = moved.iter().map(|&teeth| float(teeth)).collect();
        let mut errors: Vec<Option<f64>> = vec![None; rooms.len()];
        while let Some(tightest) = self.tightest(&moved, rooms, &errors) {
            match tightest.what {
                What::Row(row) => errors[row] = Some(0.0),
                What::Circuit { factors, sign } => {
                    for &(row, factor) in factors {
                        let size = (rooms[row].backlash + tightest.shortage).max(0.0) / rooms[row].circular_pitch;
                        errors[row].get_or_insert(sign * factor.signum() * size);
                    }
                }
            }
        }
        let left =
            |(error, room): (Option<f64>, &Room)| room.backlash - error.unwrap_or_default().abs() * room.circular_pitch;
        errors.into_iter().zip(rooms).map(left).collect()
    }

    /// Whether the planet goes in: no circuit of its rows is short of backlash.
    pub(super) fn goes_in(&self, moved: &[i64], rooms: &[Room]) -> bool {
        let moved: Vec<f64> = moved.iter().map(|&teeth| float(teeth)).collect();
        let open = vec![None; rooms.len()];
        let shortages = self.circuits.iter().filter_map(|circuit| shortage(circuit, &moved, rooms, &open));
        shortages.map(|(shortage, _)| shortage).all(|shortage| shortage <= LEAST)
    }

    /// The least backlash, the same at every mesh, with which the planet goes in, for meshes of these pitches.
    pub(super) fn goes_in_from(&self, moved: &[i64], pitches: &[f64]) -> f64 {
        let needed = |circuit: &Circuit| {
            let off: f64 = circuit.iter().map(|&(row, factor)| factor * float(moved[row])).sum();
            let row = |&(row, factor): &(usize, f64)| CircuitRow { factor: factor.abs(), circular_pitch: pitches[row] };
            backlash_needed(off.abs(), &circuit.iter().map(row).collect::<Vec<_>>())
        };
        self.circuits.iter().map(needed).fold(0.0, f64::max)
    }

    /// What is tightest among the rows whose error is not yet known.
    fn tightest(&self, moved: &[f64], rooms: &[Room], errors: &[Option<f64>]) -> Option<LeastPlay<'_>> {
        let open = (0..rooms.len()).filter(|&row| errors[row].is_none());
        let rows = open.map(|row| LeastPlay { shortage: -rooms[row].backlash, what: What::Row(row) });
        let circuits = self.circuits.iter().filter_map(|factors| {
            let (shortage, sign) = shortage(factors, moved, rooms, errors)?;
            Some(LeastPlay { shortage, what: What::Circuit { factors, sign } })
        });
        rows.chain(circuits).max_by(|a, b| a.shortage.total_cmp(&b.shortage))
    }
}

/// `(|c.k| - sum |c_i| b_i / a_i) / (sum |c_i| / a_i)` over the rows whose error is not yet known, with what the others
/// leave of c.k, and the sign of that; none where all are known.
fn shortage(circuit: &Circuit, moved: &[f64], rooms: &[Room], errors: &[Option<f64>]) -> Option<(f64, f64)> {
    let (mut remainder, mut play, mut weight) = (0.0, 0.0, 0.0);
    for &(row, factor) in circuit {
        remainder -= factor * (moved[row] + errors[row].unwrap_or_default());
        if errors[row].is_none() {
            play += factor.abs() * rooms[row].backlash / rooms[row].circular_pitch;
            weight += factor.abs() / rooms[row].circular_pitch;
        }
    }
    (weight > 0.0).then(|| ((remainder.abs() - play) / weight, remainder.signum()))
}

/// What leaves the least backlash, and how much it is short of.
struct LeastPlay<'a> {
    shortage: f64,
    what: What<'a>,
}

enum What<'a> {
    /// A row by itself, whose error is then none.
    Row(usize),
    /// A circuit, and the sign of what its rows have to make up.
    Circuit { factors: &'a Circuit, sign: f64 },
}

/// Teeth as a float.
fn float(teeth: i64) -> f64 {
    f64::from(i32::try_from(teeth).expect("a gear has at most 10000 teeth, and no planet is more than a turn out"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::exact::{IntegerMatrix, circuits};

    #[track_caller]
    fn check(counts: [i64; 2], moved: [i64; 2], rooms: [(f64, f64); 2], expected: [f64; 2]) {
        let rooms = rooms.map(|(circular_pitch, backlash)| Room { circular_pitch, backlash });
        for settling in [Settling::new(&circuits(&IntegerMatrix::new(2, 1, counts))), Settling::of_cluster(&counts)] {
            let left = settling.play_left(&moved, &rooms);
            let near = left.iter().zip(expected).all(|(left, expected)| (left - expected).abs() < 1e-12);
            assert!(near, "{left:?} instead of {expected:?}");
        }
    }

    #[test]
    fn equal_meshes_share_the_error_and_unequal_ones_the_play_left() {
        // 4 and 3 teeth, one tooth on each: 1/7 of a tooth in each mesh at u = 2/7.
        check([4, 3], [1, 1], [(7.0, 2.0), (7.0, 2.0)], [1.0, 1.0]);
        check([4, 3], [1, 1], [(7.0, 0.0), (7.0, 0.0)], [-1.0, -1.0]);
        // |4u - 1| and |3u - 1|: all the backlash in the second mesh, so |3u - 1| is larger by 1/7 of a tooth:
        // 4u - 1 = 0 at u = 1/4 leaves 0 and 2 - 7/4; the tightest, the first, has nothing to lose.
        check([4, 3], [1, 1], [(7.0, 0.0), (7.0, 2.0)], [0.0, 0.25]);
    }
}

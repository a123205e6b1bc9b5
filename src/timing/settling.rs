//! Where does a wrong planet settle when every mesh has its own play, and how much is left?
//!
//! With k the whole teeth that the rows are on, a mesh of circular pitch a and backlash b is
//! short of play by `a |A u - k| - b`. A planet under a hand finds the turn u at which the
//! worst shortage t is least; by the duality of linear programming t is the largest, over the
//! circuits c of the rows, of `(|c.k| - sum |c_i| b_i / a_i) / (sum |c_i| / a_i)`, and over
//! the rows of `-b_i`. On the circuit that tells it every row is used up equally; what is
//! left to the others follows in the same way, as in [`crate::exact::nearest_miss`].
//! Source of the duality: Cheney (1966), "Introduction to Approximation Theory", chapter 2;
//! with unequal play: worked out here.

use num_bigint::BigInt;

use crate::exact::{Fraction, to_float};

/// The sizes of a mesh, in millimetres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Room {
    /// The arc of one tooth at the pitch circle.
    pub(super) circular_pitch: f64,
    /// The backlash at the pitch circle.
    pub(super) backlash: f64,
}

/// The circuits of a group's rows, as floats.
#[derive(Debug, Clone)]
pub(super) struct Settling {
    circuits: Vec<Vec<f64>>,
}

impl Settling {
    pub(super) fn new(circuits: &[Vec<BigInt>]) -> Self {
        let float = |factor: &BigInt| to_float(&Fraction::from(factor.clone()));
        Self { circuits: circuits.iter().map(|circuit| circuit.iter().map(float).collect()).collect() }
    }

    /// The play left in every mesh where the planet settles, in millimetres; below zero the
    /// mesh is short of so much.
    pub(super) fn play_left(&self, moved: &[i64], rooms: &[Room]) -> Vec<f64> {
        let moved: Vec<f64> = moved.iter().map(|&teeth| float(teeth)).collect();
        let mut errors: Vec<Option<f64>> = vec![None; rooms.len()];
        while let Some(tightest) = self.tightest(&moved, rooms, &errors) {
            for (row, room) in rooms.iter().enumerate() {
                if errors[row].is_none() && tightest.sign_of(row).abs() > 0.5 {
                    let size = (room.backlash + tightest.shortage).max(0.0) / room.circular_pitch;
                    errors[row] = Some(size * tightest.sign_of(row));
                }
            }
        }
        let left =
            |(error, room): (Option<f64>, &Room)| room.backlash - error.unwrap_or_default().abs() * room.circular_pitch;
        errors.into_iter().zip(rooms).map(left).collect()
    }

    /// What is tightest among the rows whose error is not yet known.
    fn tightest(&self, moved: &[f64], rooms: &[Room], errors: &[Option<f64>]) -> Option<Tightest<'_>> {
        let open = (0..rooms.len()).filter(|&row| errors[row].is_none());
        let rows = open.map(|row| Tightest { shortage: -rooms[row].backlash, what: What::Row(row) });
        let circuit = |circuit: &'_ Vec<f64>| {
            let (mut rest, mut play, mut weight) = (0.0, 0.0, 0.0);
            for (row, factor) in circuit.iter().enumerate() {
                rest -= factor * (moved[row] + errors[row].unwrap_or_default());
                if errors[row].is_none() {
                    play += factor.abs() * rooms[row].backlash / rooms[row].circular_pitch;
                    weight += factor.abs() / rooms[row].circular_pitch;
                }
            }
            (weight > 0.0).then(|| ((rest.abs() - play) / weight, rest.signum()))
        };
        let circuits = self.circuits.iter().filter_map(|factors| {
            let (shortage, sign) = circuit(factors)?;
            Some(Tightest { shortage, what: What::Circuit { factors, sign } })
        });
        rows.chain(circuits).max_by(|a, b| a.shortage.total_cmp(&b.shortage))
    }
}

/// What leaves the least play, and how much it is short of.
struct Tightest<'a> {
    shortage: f64,
    what: What<'a>,
}

enum What<'a> {
    /// A row by itself, whose error is then none.
    Row(usize),
    Circuit {
        factors: &'a [f64],
        sign: f64,
    },
}

impl Tightest<'_> {
    /// The sign of a row's error; 0 for a row that is not told by this.
    fn sign_of(&self, row: usize) -> f64 {
        match self.what {
            What::Row(only) => f64::from(u8::from(only == row)),
            What::Circuit { factors, .. } if factors[row].abs() < 0.5 => 0.0,
            What::Circuit { factors, sign } => sign * factors[row].signum(),
        }
    }
}

/// Whole teeth as a float.
fn float(teeth: i64) -> f64 {
    f64::from(i32::try_from(teeth).expect("no planet is more than a turn out"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::exact::{IntegerMatrix, circuits};

    #[track_caller]
    fn check(counts: [i64; 2], moved: [i64; 2], rooms: [(f64, f64); 2], expected: [f64; 2]) {
        let settling = Settling::new(&circuits(&IntegerMatrix::new(2, 1, counts)));
        let rooms = rooms.map(|(circular_pitch, backlash)| Room { circular_pitch, backlash });
        let left = settling.play_left(&moved, &rooms);
        let near = left.iter().zip(expected).all(|(left, expected)| (left - expected).abs() < 1e-12);
        assert!(near, "{left:?} instead of {expected:?}");
    }

    #[test]
    fn equal_meshes_share_the_error_and_unequal_ones_the_play_left() {
        // 4 and 3 teeth, one tooth on each: 1/7 of a tooth in each mesh at u = 2/7.
        check([4, 3], [1, 1], [(7.0, 2.0), (7.0, 2.0)], [1.0, 1.0]);
        check([4, 3], [1, 1], [(7.0, 0.0), (7.0, 0.0)], [-1.0, -1.0]);
        // |4u - 1| and |3u - 1|: all the play in the second mesh, so |3u - 1| is larger by 1/7 of a tooth:
        // 4u - 1 = 0 at u = 1/4 leaves 0 and 2 - 7/4; the tightest, the first, has nothing to lose.
        check([4, 3], [1, 1], [(7.0, 0.0), (7.0, 2.0)], [0.0, 0.25]);
    }
}

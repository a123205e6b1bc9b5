//! What does a hand notice that puts planets in at a seating?
//!
//! At a seating with k whole teeth and turned by u the planets stand `|A u - k|` teeth off at each mesh. Right planets
//! and central gears give way within their own backlash, so a mesh of circular pitch a and backlash b takes up `b / a`
//! teeth. The seating goes in where some u is within that at every mesh at once, and nobody notices. Force makes every
//! mesh take up the same length f more, [`EASE_BY_FORCE`]; where that is enough the seating goes in and is tight all
//! round, where it is not it does not enter. Every answer that says what becomes of a seating asks [`by_hand`].

use serde::Serialize;

use super::in_place::known_backlashes;
use crate::exact::{Fraction, fraction};
use crate::gearset::{Gearset, TimingRow};

/// Whether planets could be put together at a seating that is not right: it goes in, unnoticed or with force, or, where
/// that is not known, is out by a quarter of a tooth or less, for backlash of a quarter of the pitch is half a tooth worn away.
pub(super) fn could_be(by_hand: Option<ByHand>, largest_error: &Fraction) -> bool {
    by_hand.map_or_else(|| *largest_error <= fraction(1, 4), ByHand::goes_in)
}

/// How much a hand can take up by force where a mesh is short of backlash, in millimetres: an
/// estimate, 0.05 mm (0.002 in).
///
/// Teeth of steel give next to nothing under a hand: with some 14 newtons for each
/// micrometre and millimetre of face width (the usual figure of mesh stiffness, from memory),
/// 1000 N on 20 mm press a mesh together by less than 0.004 mm. What does give way is the
/// running clearance of pins and bushes, which is commonly 0.03 to 0.08 mm. It can be on the
/// wrong side either way: a tight set gives less, a worn one more.
pub const EASE_BY_FORCE: f64 = 0.05;

/// Lengths that differ by less, in millimetres, are the same, whatever the last digit of a float says.
pub(super) const LEAST: f64 = 1e-9;

/// The most backlash of a mesh, in teeth: from half a tooth on the next seating begins, and what stands there is that one.
const MOST_PLAY: f64 = 0.5;

/// What a hand notices that puts planets in at a seating which is not right.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
pub enum ByHand {
    /// It goes in, and every mesh has backlash left: nobody notices.
    #[serde(rename = "unnoticed")]
    Unnoticed,
    /// It goes in with force (an estimate), and is tight all the way round.
    #[serde(rename = "with force")]
    WithForce,
    /// It does not go in.
    #[serde(rename = "will not enter")]
    WillNotEnter,
}

impl ByHand {
    /// Whether planets could have been put together like that, unnoticed or with force.
    pub fn goes_in(self) -> bool {
        self != Self::WillNotEnter
    }
}

/// The sizes of a mesh, in millimetres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Room {
    /// The arc of one tooth at the pitch circle.
    pub(super) circular_pitch: f64,
    /// The backlash at the pitch circle, less than half a tooth.
    pub(super) backlash: f64,
}

impl Room {
    fn new(circular_pitch: f64, backlash: f64) -> Self {
        // A mesh that binds takes up nothing.
        Self { circular_pitch, backlash: backlash.clamp(0.0, (MOST_PLAY - LEAST) * circular_pitch) }
    }

    /// b / a: how many teeth the mesh takes up; backlash that just suffices is enough.
    pub(super) fn play(&self) -> f64 {
        ((self.backlash + LEAST) / self.circular_pitch).min(MOST_PLAY - LEAST)
    }
}

/// What a hand notices at a seating, or at the easiest of several: `goes_in` says whether it goes in with the backlash
/// of these rooms.
///
/// # Errors
/// Those of `goes_in`.
pub(super) fn by_hand<E>(
    rooms: &[Room],
    ease_by_force: f64,
    goes_in: impl Fn(&[Room]) -> Result<bool, E>,
) -> Result<ByHand, E> {
    // More backlash keeps nothing out, so what does not go in with force need not be tried without.
    let eased = |room: &Room| Room::new(room.circular_pitch, room.backlash + ease_by_force);
    Ok(if !goes_in(&rooms.iter().map(eased).collect::<Vec<_>>())? {
        ByHand::WillNotEnter
    } else if goes_in(rooms)? {
        ByHand::Unnoticed
    } else {
        ByHand::WithForce
    })
}

/// A row of a circuit: the size of its factor, and the circular pitch of its mesh.
#[derive(Debug, Clone, Copy)]
pub(super) struct CircuitRow {
    pub(super) factor: f64,
    pub(super) circular_pitch: f64,
}

/// The least backlash t, the same at every mesh, with which the rows of a circuit c take up `off = |c.k|` together:
/// `sum |c_i| min(t / a_i, 1/2)` is as much. Infinite where they never do.
pub(super) fn backlash_needed(off: f64, rows: &[CircuitRow]) -> f64 {
    let mut backlash = 0.0;
    loop {
        let (mut remainder, mut weight) = (off, 0.0);
        for row in rows {
            if backlash > row.circular_pitch * MOST_PLAY {
                remainder -= row.factor * MOST_PLAY;
            } else {
                weight += row.factor / row.circular_pitch;
            }
        }
        // Each round leaves out the meshes that take up no more, until none is added to them.
        let next = if weight > 0.0 { remainder / weight } else { f64::INFINITY };
        if next <= backlash || next.is_infinite() {
            return next.max(backlash);
        }
        backlash = next;
    }
}

/// The sizes of a group's meshes, as far as they are known.
pub(super) struct MeshPlay {
    pub(super) circular_pitch: Vec<Option<f64>>,
    pub(super) backlash: Vec<Option<f64>>,
}

impl MeshPlay {
    pub(super) fn of(set: &Gearset, rows: &[TimingRow]) -> Self {
        let meshes = || rows.iter().map(|row| set.mesh(row.mesh));
        Self {
            circular_pitch: meshes().map(|mesh| Some(mesh.pitch()?.circular_pitch())).collect(),
            backlash: known_backlashes(set, rows),
        }
    }

    /// The circular pitch of every mesh, where all are given.
    pub(super) fn pitches(&self) -> Option<Vec<f64>> {
        self.circular_pitch.iter().copied().collect()
    }

    /// Whether pitches are given for every mesh and are not all alike.
    pub(super) fn pitches_differ(&self) -> bool {
        self.pitches().is_some_and(|pitches| pitches.iter().any(|pitch| (pitch - pitches[0]).abs() > LEAST))
    }

    /// Pitch and backlash, where both are given for every mesh.
    pub(super) fn rooms(&self) -> Option<Vec<Room>> {
        let sizes = self.circular_pitch.iter().zip(&self.backlash);
        sizes.map(|(pitch, backlash)| Some(Room::new((*pitch)?, (*backlash)?))).collect()
    }
}

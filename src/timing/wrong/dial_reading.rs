//! What backlash does a dial show that stands at another radius than the pitch circle?
//!
//! Hold one gear of a mesh and rock the other: the reading comes to a backlash at the pitch circle by
//! [`backlash_from_dial`]. A gear tells its mesh where it is in no other.

use num_traits::Signed;
use thiserror::Error;

use crate::gearset::{DraftBacklash, GearId, Gearset, Length, MeshId, backlash_from_dial};

/// A dial reading taken on the body of one gear while its mate is held.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DialReading {
    /// The gear that was rocked.
    pub gear: GearId,
    /// What the dial showed.
    pub reading: Length,
    /// How far from the axis of the gear the indicator stood.
    pub radius: Length,
}

/// Why a dial reading does not tell a backlash.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum DialReadingProblem {
    /// The radius is zero or negative.
    #[error("the indicator cannot stand at the radius 0 or less")]
    NoRadius,
    /// The reading is negative.
    #[error("a dial reading of backlash cannot be negative")]
    NegativeReading,
    /// The gear has more than one mesh, or none: which one was measured?
    #[error("gear {gear:?} is in {meshes} meshes, so its name does not tell which one was measured")]
    NotOneMesh {
        /// The gear's name.
        gear: String,
        /// In how many meshes it is.
        meshes: usize,
    },
    /// The pitch of the mesh is not given.
    #[error("the pitch of gear {gear:?} is not given, so its pitch radius is not known")]
    NoPitch {
        /// The gear's name.
        gear: String,
    },
    /// What follows is a backlash that no gear has.
    #[error("the reading on gear {gear:?} gives a backlash out of all proportion")]
    Absurd {
        /// The gear's name.
        gear: String,
    },
}

impl DialReadingProblem {
    /// What to write instead.
    pub fn hint(&self) -> &'static str {
        match self {
            Self::NoRadius => "measure from the axis of the gear to the tip of the indicator",
            Self::NegativeReading => "write how far the dial moves from stop to stop, 0 or more",
            Self::NotOneMesh { .. } => {
                "rock and name the other gear of the mesh, or write the backlash of each mesh in the description"
            }
            Self::NoPitch { .. } => "add a pitch to the description, such as pitch: Module(2.5)",
            Self::Absurd { .. } => "look at the units: mm is taken unless in is written behind the number",
        }
    }
}

/// The mesh that a reading was taken on, and its backlash at the pitch circle.
///
/// # Errors
/// [`DialReadingProblem`] where it cannot be told.
///
/// # Examples
/// ```
/// use toothmark::{description, exact::fraction, gearset::Length};
/// use toothmark::timing::{DialReading, backlash_at_pitch_circle};
/// let set = description::read(description::example("trap-gear").unwrap()).unwrap();
/// let gear = set.gear_named("A").unwrap();
/// let mm = |value| Length::Millimetres(fraction(value, 100));
/// let (_, backlash) = backlash_at_pitch_circle(
///     &set,
///     &DialReading { gear, reading: mm(20), radius: mm(12200) },
/// ).unwrap();
/// assert_eq!(backlash, mm(10)); // 61 teeth of module 2: the pitch radius is 61 mm, half of 122
/// ```
pub fn backlash_at_pitch_circle(set: &Gearset, reading: &DialReading) -> Result<(MeshId, Length), DialReadingProblem> {
    let name = || set.gear(reading.gear).name().to_owned();
    let meshes: Vec<MeshId> = set.mesh_ids().filter(|&mesh| set.mesh(mesh).gears().contains(&reading.gear)).collect();
    let [mesh] = meshes[..] else {
        return Err(DialReadingProblem::NotOneMesh { gear: name(), meshes: meshes.len() });
    };
    if !reading.radius.value().is_positive() {
        return Err(DialReadingProblem::NoRadius);
    }
    if reading.reading.value().is_negative() {
        return Err(DialReadingProblem::NegativeReading);
    }
    let pitch = set.mesh(mesh).pitch().ok_or_else(|| DialReadingProblem::NoPitch { gear: name() })?;
    let teeth = set.gear(reading.gear).tooth_count().get().into();
    Ok((mesh, backlash_from_dial(&reading.reading, &reading.radius, pitch, teeth)))
}

/// The same gearset with the backlash of every mesh that a reading was taken on; of several
/// readings on one mesh the last counts.
///
/// # Errors
/// The first [`DialReadingProblem`].
pub fn with_dial_readings(set: &Gearset, readings: &[DialReading]) -> Result<Gearset, DialReadingProblem> {
    let mut changed = set.clone();
    for reading in readings {
        let (mesh, backlash) = backlash_at_pitch_circle(set, reading)?;
        let mut draft = changed.draft().clone();
        draft.meshes[mesh.index()].sizes.backlash = Some(DraftBacklash::AtPitchCircle(backlash).into());
        let absurd = |_| DialReadingProblem::Absurd { gear: set.gear(reading.gear).name().to_owned() };
        changed = Gearset::new(draft).map_err(absurd)?;
    }
    Ok(changed)
}

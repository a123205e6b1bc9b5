//! The measured index of clusters: how the gears of one cluster stand against each other.
//!
//! Mark a tooth of each gear of a cluster, those that stand nearest to one line. The index of
//! a gear is how far its mark stands from that of the first gear, counter-clockwise seen from
//! the input side, always less than half a tooth. Readings are kept as they were taken.

use super::MeasuredPins;
use super::{GearId, Length, MemberId};
use crate::exact::{Fraction, to_float};

/// The clusters of one kind of planet, measured one by one, as somebody writes it down.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DraftMeasured {
    /// The name of the planet or cluster in the list of planets.
    pub planet: String,
    /// How much each reading may be off.
    pub uncertainty: Option<Uncertainty>,
    /// The clusters in the order of the pins that they are on, then those to spare; none where they are alike.
    pub clusters: Vec<DraftCluster>,
    /// How central gears that are fixed to one another stand: each against the first of them, tooth mark to tooth
    /// mark.
    pub central: Vec<DraftReading>,
    /// The pins, where they have been measured as well.
    pub pins: Option<MeasuredPins>,
}

/// One cluster as written down.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DraftCluster {
    /// What it is called: a number, a letter, where it came from.
    pub name: String,
    /// How its gears stand.
    pub index: DraftIndex,
}

/// How the gears of a cluster stand against each other.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum DraftIndex {
    /// As read; a gear without a reading stands in line with the first.
    Readings(Vec<DraftReading>),
    /// As those of another cluster, which has readings.
    Like(String),
}

/// A reading with the name of its gear.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DraftReading {
    /// The gear, any but the first.
    pub gear: String,
    /// How far its mark stands from that of the first gear.
    pub offset: Offset,
}

/// How far a mark stands from another, counter-clockwise seen from the input side.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Offset {
    /// In teeth of the gear.
    Teeth(Fraction),
    /// In degrees round the pin.
    Degrees(Fraction),
    /// As an arc, with the radius at which it was measured, in the same unit.
    Arc {
        /// The arc.
        length: Length,
        /// The radius.
        radius: Fraction,
    },
}

impl Offset {
    /// The offset in teeth of a gear with so many of them.
    ///
    /// # Examples
    /// ```
    /// use toothmark::{exact::fraction, gearset::Offset};
    /// assert!((Offset::Degrees(fraction(3, 1)).teeth(30) - 0.25).abs() < 1e-12);
    /// ```
    pub fn teeth(&self, tooth_count: u16) -> f64 {
        let count = f64::from(tooth_count);
        match self {
            Self::Teeth(teeth) => to_float(teeth),
            Self::Degrees(degrees) => to_float(degrees) * count / 360.0,
            Self::Arc { length, radius } => to_float(length.value()) / to_float(radius) / std::f64::consts::TAU * count,
        }
    }

    /// The radius at which it was measured, in millimetres, where it is an arc.
    pub fn radius(&self) -> Option<f64> {
        let Self::Arc { length, radius } = self else { return None };
        Some(match length {
            Length::Millimetres(_) => Length::Millimetres(radius.clone()).millimetres(),
            Length::Inches(_) => Length::Inches(radius.clone()).millimetres(),
        })
    }
}

/// How much a reading may be off, to either side.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Uncertainty {
    /// In teeth of the gear.
    Teeth(Fraction),
    /// In degrees round the pin.
    Degrees(Fraction),
    /// As an arc: at the radius of the reading, or at the pitch circle where it has none.
    Arc(Length),
}

impl Uncertainty {
    /// The number as given, in its own unit.
    pub fn value(&self) -> &Fraction {
        match self {
            Self::Teeth(value) | Self::Degrees(value) => value,
            Self::Arc(length) => length.value(),
        }
    }

    /// In teeth of a gear with so many of them; `None` for an arc without a radius, in millimetres.
    ///
    /// # Examples
    /// ```
    /// use toothmark::{exact::fraction, gearset::{Length, Uncertainty}};
    /// let arc = Uncertainty::Arc(Length::Millimetres(fraction(1, 50)));
    /// assert!(arc.teeth(30, None).is_none() && arc.teeth(30, Some(40.0)).is_some());
    /// ```
    pub fn teeth(&self, tooth_count: u16, radius: Option<f64>) -> Option<f64> {
        let count = f64::from(tooth_count);
        Some(match self {
            Self::Teeth(teeth) => to_float(teeth),
            Self::Degrees(degrees) => to_float(degrees) * count / 360.0,
            Self::Arc(length) => length.millimetres() / radius? / std::f64::consts::TAU * count,
        })
    }
}

/// The measured clusters of one kind of planet, checked.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Measured {
    /// The planet.
    pub planet: MemberId,
    /// How much each reading may be off.
    pub uncertainty: Option<Uncertainty>,
    /// The clusters in the order of the pins that they are on, then those to spare.
    pub clusters: Vec<MeasuredCluster>,
    /// How central gears that are fixed to one another stand: each against the first of them.
    pub central: Vec<Reading>,
    /// The pins, where they have been measured as well.
    pub pins: Option<MeasuredPins>,
}

/// One measured cluster.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MeasuredCluster {
    /// What it is called.
    pub name: String,
    /// Its readings, or those of the cluster that it is like.
    pub readings: Vec<Reading>,
}

/// A reading of one gear.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Reading {
    /// The gear.
    pub gear: GearId,
    /// How far its mark stands from that of the first gear.
    pub offset: Offset,
}

impl MeasuredCluster {
    /// The index of a gear in teeth: the mean of its readings; 0 where there is none.
    pub fn index(&self, gear: GearId, tooth_count: u16) -> f64 {
        let readings: Vec<f64> = self.of(gear).map(|offset| offset.teeth(tooth_count)).collect();
        let count = u32::try_from(readings.len()).map_or(1.0, f64::from).max(1.0);
        readings.iter().sum::<f64>() / count
    }

    /// The readings of one gear.
    pub fn of(&self, gear: GearId) -> impl Iterator<Item = &Offset> {
        self.readings.iter().filter(move |reading| reading.gear == gear).map(|reading| &reading.offset)
    }
}

//! The measured index of clusters: how the gears of one cluster stand against each other.
//!
//! Mark a tooth of each gear of a cluster, those that stand nearest to one line. The index of
//! a gear is how far its mark stands from that of the first gear, counter-clockwise seen from
//! the input side, always less than half a tooth. Readings are kept as they were taken.

use super::{GearId, Length, MILLIMETRES_PER_INCH, MeasuredPins, MemberId};
use crate::exact::{Fraction, to_float};
use crate::syntax::{EntryPerLine, Map, Needed, Spanned, entry, fields, words};

fields! {
    /// The clusters of one kind of planet, measured one by one, as somebody writes it down.
    #[derive(Debug, Clone, PartialEq, Eq)]
    pub struct DraftMeasured of {
        /// The name of the planet or cluster in the list of planets.
        pub planet
    }: "a measured planet", "(clusters: {\"one\": Index([]), \"two\": Index([Teeth(\"l\", 0.02)])})" {
        /// How much each reading may be off.
        pub uncertainty: Option<Spanned<Uncertainty>> =
            "the uncertainty of each reading", "Teeth(0.01)", "from 0 to a quarter of a tooth";
        /// The clusters in the order of the pins that they are on, then those to spare; none where they are alike.
        pub clusters: Vec<DraftCluster> as EntryPerLine<Map<DraftCluster>> =
            "the list of clusters in braces",
            "{\"one\": Index([]), \"two\": Index([Teeth(\"l\", 0.02)]), \"three\": Like(\"one\")}";
        /// How central gears that are fixed to one another stand: each against the first of them, tooth mark to tooth
        /// mark.
        pub central: Vec<DraftReading> =
            "the list of readings of central gears in square brackets", "[Teeth(\"S\", 0.25)]";
        /// The pins, where they have been measured as well.
        pub pins: Option<MeasuredPins> = "the pins as measured", "Degrees([0, 119.97, 240.02], 0.02)";
    }
}

entry! {
    /// One cluster as written down.
    #[derive(Debug, Clone, PartialEq, Eq)]
    pub struct DraftCluster {
        /// What it is called: a number, a letter, where it came from.
        pub name;
        /// How its gears stand.
        pub index: DraftIndex = "a cluster", "Index([Teeth(\"l\", 0.02)])";
    }
}

/// How the gears of a cluster stand against each other.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum DraftIndex {
    /// As read; a gear without a reading stands in line with the first.
    Readings(Vec<DraftReading>),
    /// As those of another cluster, which has readings.
    Like(Spanned<String>),
}

words! {
    DraftIndex for DraftIndex: "a cluster", "Index([Teeth(\"l\", 0.02)])" {
        Index(
            "Index([Teeth(\"l\", 0.02)])";
            readings: Needed<Vec<DraftReading>> =
                "the list of readings in square brackets", "[Teeth(\"l\", 0.02), Degrees(\"r\", 0.2)]"
        ) => { DraftIndex::Readings(readings) }
        Like("Like(\"one\")"; other: Spanned<String> = "the name of a cluster in quotes", "\"one\"") => {
            DraftIndex::Like(other)
        }
    }
}

/// A reading with the name of its gear.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DraftReading {
    /// The gear, any but the first.
    pub gear: Spanned<String>,
    /// How far its mark stands from that of the first gear.
    pub offset: Offset,
}

words! {
    DraftReading for DraftReading: "a reading", "Teeth(\"l\", 0.02)" {
        Teeth(
            "a reading in teeth", "Teeth(\"l\", 0.02)";
            gear: Spanned<String> = "the name of the gear in quotes", "\"S\"";
            teeth: Spanned<Fraction> = "a number of teeth of the gear", "0.02", "less than half a tooth"
        ) => { DraftReading { gear, offset: Offset::Teeth(teeth) } }
        Degrees(
            "a reading in degrees", "Degrees(\"l\", 0.2)";
            gear: Spanned<String> = "the name of the gear in quotes", "\"S\"";
            degrees: Spanned<Fraction> = "a number of degrees round the pin", "0.2", "less than half a tooth"
        ) => { DraftReading { gear, offset: Offset::Degrees(degrees) } }
        Millimetres(
            "a reading in millimetres", "Millimetres(\"l\", 0.05, 31)";
            gear: Spanned<String> = "the name of the gear in quotes", "\"S\"";
            arc: Spanned<Fraction> = "a number of millimetres", "0.1", "less than half a tooth";
            radius: Spanned<Fraction> = "the radius of that arc", "31", "above 0"
        ) => { DraftReading { gear, offset: Offset::Millimetres { arc, radius } } }
        Inches(
            "a reading in inches", "Inches(\"l\", 0.002, 1.22)";
            gear: Spanned<String> = "the name of the gear in quotes", "\"S\"";
            arc: Spanned<Fraction> = "a number of inches", "0.004", "less than half a tooth";
            radius: Spanned<Fraction> = "the radius of that arc", "1.22", "above 0"
        ) => { DraftReading { gear, offset: Offset::Inches { arc, radius } } }
    }
}

/// How far a mark stands from another, counter-clockwise seen from the input side.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Offset {
    /// In teeth of the gear.
    Teeth(Spanned<Fraction>),
    /// In degrees round the pin.
    Degrees(Spanned<Fraction>),
    /// As an arc in millimetres.
    Millimetres {
        /// The arc.
        arc: Spanned<Fraction>,
        /// The radius at which it was measured.
        radius: Spanned<Fraction>,
    },
    /// As an arc in inches.
    Inches {
        /// The arc.
        arc: Spanned<Fraction>,
        /// The radius at which it was measured.
        radius: Spanned<Fraction>,
    },
}

impl Offset {
    /// The number as given, in its own unit.
    pub fn value(&self) -> &Spanned<Fraction> {
        match self {
            Self::Teeth(value) | Self::Degrees(value) => value,
            Self::Millimetres { arc, .. } | Self::Inches { arc, .. } => arc,
        }
    }

    /// The radius of the arc as given, in its unit, where it is an arc.
    pub fn radius_of_arc(&self) -> Option<&Spanned<Fraction>> {
        match self {
            Self::Teeth(_) | Self::Degrees(_) => None,
            Self::Millimetres { radius, .. } | Self::Inches { radius, .. } => Some(radius),
        }
    }

    /// The offset in teeth of a gear with so many of them.
    ///
    /// # Examples
    /// ```
    /// use toothmark::{exact::fraction, gearset::Offset};
    /// assert!((Offset::Degrees(fraction(3, 1).into()).teeth(30) - 0.25).abs() < 1e-12);
    /// ```
    pub fn teeth(&self, tooth_count: u16) -> f64 {
        let count = f64::from(tooth_count);
        match self {
            Self::Teeth(teeth) => to_float(teeth),
            Self::Degrees(degrees) => to_float(degrees) * count / 360.0,
            Self::Millimetres { arc, radius } | Self::Inches { arc, radius } => {
                to_float(arc) / to_float(radius) / std::f64::consts::TAU * count
            }
        }
    }

    /// The radius at which it was measured, in millimetres, where it is an arc.
    pub fn radius(&self) -> Option<f64> {
        match self {
            Self::Teeth(_) | Self::Degrees(_) => None,
            Self::Millimetres { radius, .. } => Some(to_float(radius)),
            Self::Inches { radius, .. } => Some(to_float(radius) * MILLIMETRES_PER_INCH),
        }
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

words! {
    Uncertainty for Uncertainty: "the uncertainty of each reading", "Teeth(0.01)" {
        Teeth("Teeth(0.01)"; size: Fraction = "a number of teeth of the gear", "0.02") => { Uncertainty::Teeth(size) }
        Degrees("Degrees(0.1)"; size: Fraction = "a number of degrees round the pin", "0.2") => {
            Uncertainty::Degrees(size)
        }
        Millimetres("Millimetres(0.1)"; size: Fraction = "a number of millimetres", "0.1") => {
            Uncertainty::Arc(Length::Millimetres(size))
        }
        Inches("Inches(0.004)"; size: Fraction = "a number of inches", "0.004") => {
            Uncertainty::Arc(Length::Inches(size))
        }
    }
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
    pub central: Vec<IndexReading>,
    /// The pins, where they have been measured as well.
    pub pins: Option<MeasuredPins>,
}

/// One measured cluster.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MeasuredCluster {
    /// What it is called.
    pub name: String,
    /// Its readings, or those of the cluster that it is like.
    pub readings: Vec<IndexReading>,
}

/// A reading of one gear.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct IndexReading {
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

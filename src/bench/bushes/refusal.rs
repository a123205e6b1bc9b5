//! Which questions about bushes are refused: sizes that cannot be those of a bush on its shaft and in its housing.

/// Why nothing is told of a bush.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[expect(missing_docs, reason = "the sentence of each variant says what it means")]
#[non_exhaustive]
pub enum CannotFitBush {
    #[error("no bush is given with its bore and its shaft")]
    NoBush,
    #[error("{count} bushes are more than {most}")]
    TooManyBushes { count: usize, most: usize },
    #[error("two bushes are called {bush:?}")]
    SameName { bush: String },
    #[error("the {what} of {bush} is given at {count} places")]
    Places { bush: String, what: &'static str, count: usize },
    #[error("the bore of {bush} is given at {bore} places and its shaft at {shaft}")]
    UnlikePlaces { bush: String, bore: usize, shaft: usize },
    #[error("the {what} of {bush}, {mm} mm, is no diameter")]
    NoDiameter { bush: String, what: &'static str, mm: String },
    #[error("the bore and the shaft of {bush} differ by {mm} mm")]
    NoPair { bush: String, mm: String },
    #[error("a clearance from {least} to {most} mm cannot be allowed for {bush}")]
    NoBand { bush: String, least: String, most: String },
    #[error("the outside of {bush}, {outside} mm, is not larger than its bore, {bore} mm")]
    NoWall { bush: String, outside: String, bore: String },
    #[error("the housing of {bush}, {housing} mm, is not larger than the bush, {outside} mm")]
    NoHousing { bush: String, housing: String, outside: String },
    #[error("{bush} cannot have an interference of {mm} mm")]
    Interference { bush: String, mm: String },
    #[error("an interference of {mm} mm is too much for {bush}: it will crush")]
    Crushes { bush: String, mm: String, most: String },
    #[error("readings of {bush} cannot be good to {mm} mm")]
    NoError { bush: String, mm: String },
    #[error("{kelvin} kelvin warmer is nothing that a gearbox gets")]
    Heat { kelvin: String },
}

impl CannotFitBush {
    /// What to write instead.
    pub fn hint(&self) -> String {
        match self {
            Self::NoBush => "give bore and shaft, --bore 16.02 --shaft 15.97, or name a description whose bearings have \
                             them, as in bearings: [(\"cluster\", \"flywheel\", (bore: Millimetres(16.02), shaft: \
                             Millimetres(15.97)))]"
                .into(),
            Self::TooManyBushes { .. } => "ask about some of them at a time".into(),
            Self::SameName { .. } => "give each bush a name of its own".into(),
            Self::Places { .. } => "measure at up to six places, such as three along it: --bore 16.02,16.03,16.02; two ways \
                                    across at a place: --bore 16.02x16.04"
                .into(),
            Self::UnlikePlaces { .. } => {
                "give one of the two at one place, or both at as many, in the same order along the shaft".into()
            }
            Self::NoDiameter { .. } => "diameters are above 0 and up to 10 m: look at the unit".into(),
            Self::NoPair { .. } => {
                "a shaft runs in its bore with hundredths of a millimetre to spare: look at the units, and which is which"
                    .into()
            }
            Self::NoBand { .. } => {
                "write the least and the greatest clearance on the diameter, from 0 to 1 mm, such as 0.02..0.06".into()
            }
            Self::NoWall { .. } => "give the outside diameter of the bush, where it sits in its housing".into(),
            Self::NoHousing { .. } => {
                "give the outside diameter of what the bush is pressed into; of a gear the diameter at the roots".into()
            }
            Self::Interference { .. } => {
                "write by how much the bush is larger than its hole, on the diameter, from 0 up, such as 0.03".into()
            }
            Self::Crushes { most, .. } => format!("at most 0.003 of the diameter can be pressed, here {most} mm"),
            Self::NoError { .. } => "write what a reading is good to, from 0 to 1 mm, such as --within 0.01".into(),
            Self::Heat { .. } => "write from -100 to 300 kelvin for the gear, --hot 80, and from -200 to 200 for the shaft, --shaft-hotter 20".into(),
        }
    }
}

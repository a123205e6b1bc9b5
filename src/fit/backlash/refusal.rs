//! Which questions about backlash are refused: what there is not, and sizes that are out of all proportion.

/// Why a question about backlash is refused.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[expect(missing_docs, reason = "the sentence of each variant says what it means")]
#[non_exhaustive]
pub enum BacklashRefusal {
    #[error("no mesh has a pitch, and without one no backlash can be told in millimetres")]
    NoPitch,
    #[error("nothing here has spur gears in mesh on a pin whose place can be told")]
    NoMesh,
    #[error("it is not said which planet a pin belongs to")]
    WhichPlanet { planets: Vec<String> },
    #[error("planet {planet:?} has no pin {pin}")]
    NoSuchPin { planet: String, pin: usize, pins: usize },
    #[error("pin {pin} of {planet:?} is told twice")]
    PinTwice { planet: String, pin: usize },
    #[error("pin {pin} of {planet:?} is told to stand {mm} mm out of its place")]
    PinTooFar { planet: String, pin: usize, mm: String },
    #[error("a clearance of {mm} mm is none of a bush")]
    Clearance { mm: String },
    #[error("a run-out of {mm} mm of gear {gear:?} is none of a gear")]
    RunOut { gear: String, mm: String },
    #[error("gear {gear:?} is in no mesh")]
    NotInMesh { gear: String },
    #[error("a stiffness of {value} N/mm is none of a planet")]
    Stiffness { value: String },
    #[error("a force of {value} N is none of a pushing gear")]
    Force { value: String },
    #[error("gear {gear:?} is no central gear in mesh, and cannot float among planets")]
    CannotFloat { gear: String },
    #[error("gear {gear:?} floats among {pins} pins, and how they share is told of 2 to 4 that are equally spaced")]
    FloatsAmong { gear: String, pins: usize },
}

impl BacklashRefusal {
    /// What to write instead, or what to do.
    pub fn hint(&self) -> String {
        match self {
            Self::NoPitch => "add --module 2.5, or --dp 10, or write pitch: Module(2.5) in the description".into(),
            Self::NoMesh => {
                "bevel gears and teeth that do not reach one another have no such backlash; toothmark check \
                             says what stands in the way"
                    .into()
            }
            Self::WhichPlanet { planets } => format!(
                "the planets are {}; write the planet and a colon before the pin, such as --pin \"{}:2=out:0.05mm\"",
                planets.join(", "),
                planets.first().map_or("planet", String::as_str)
            ),
            Self::NoSuchPin { pins, .. } => format!("its pins are numbered from 1 to {pins}"),
            Self::PinTwice { .. } => {
                "give all that is off of a pin at once, such as --pin 2=out:0.05mm,ccw:0.02mm".into()
            }
            Self::PinTooFar { .. } => {
                "a pin is out by hundredths of a millimetre, up to 1 mm: look at the unit, and at the order of the pins"
                    .into()
            }
            Self::Clearance { .. } => {
                "write the difference of the diameters of bush and pin, from 0 to 1 mm, such as 0.05mm or 2thou".into()
            }
            Self::RunOut { .. } => {
                "write what a dial on the teeth shows over a turn, from 0 to 1 mm, such as --run-out D=0.04mm".into()
            }
            Self::NotInMesh { .. } => "name a gear that meshes".into(),
            Self::Stiffness { .. } => {
                "write how many newtons move one planet on its pin by a millimetre, such as --stiffness 20000".into()
            }
            Self::Force { .. } => "write newtons above 0, such as --tooth-force 3000, or a torque on the input".into(),
            Self::FloatsAmong { .. } => "leave --floats out: then the pins share as between rigid parts".into(),
            Self::CannotFloat { .. } => "name a gear of the main axis that meshes with planets".into(),
        }
    }
}

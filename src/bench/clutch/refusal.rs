//! Which questions about a clutch are refused.

/// Why nothing is told of a clutch.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[expect(missing_docs, reason = "the sentence of each variant says what it means")]
#[non_exhaustive]
pub enum CannotSetClutch {
    #[error("nothing is asked of the clutch")]
    NothingAsked,
    #[error("{count} fingers are none of a clutch")]
    FingerCount { count: usize },
    #[error("a {what} of {value} is none")]
    NoSize { what: &'static str, value: String },
    #[error("both readings of the spring are at {mm} mm")]
    SameLength { mm: String },
    #[error("the spring does not press harder at the shorter length")]
    NoRate,
    #[error("the spring is not pressed at its working length of {mm} mm: free it has {free} mm")]
    LongerThanFree { mm: String, free: String },
    #[error("a spring of wire {wire} mm cannot have coils of {coil} mm")]
    CoilBelowWire { wire: String, coil: String },
    #[error("a pack of {count} {} is none", if *count == 1 { "disc" } else { "discs" })]
    PackCount { count: usize },
    #[error("the pack has {count} kinds of discs")]
    Kinds { count: usize },
    #[error("{control:?} has no plates whose sizes are all known")]
    NoPlates { control: String },
    #[error("no gearset is given for the plates to hold")]
    NoGearset,
    #[error("the force of the spring at the plates is none that plates take")]
    PlateForce,
}

impl CannotSetClutch {
    /// What to write instead.
    pub fn hint(&self) -> &'static str {
        match self {
            Self::NothingAsked => {
                "give the gaps at the fingers, --finger 20.9,21.4,20.6 --wanted 20.64 --pitch 1.27, or a spring, --spring \
                 60=900,45=1800, or the order of the pack, --pack steel,lined,steel, or a description with --clutch"
            }
            Self::FingerCount { .. } => "give the gap at each of 1 to 24 fingers, such as --finger 20.9,21.4,20.6",
            Self::NoSize { what, .. } => hint_of_size(what),
            Self::SameLength { .. } => {
                "press the spring to two lengths, some millimetres apart: --spring 60=900,45=1800"
            }
            Self::NoRate => "write length=force of each reading, the shorter length with the greater force",
            Self::LongerThanFree { .. } => "measure the length of the spring as it is built in",
            Self::CoilBelowWire { .. } => "give the diameter of a coil from the middle of the wire to the middle",
            Self::PackCount { .. } => {
                "write the kinds of 2 to 200 discs in their order, such as --pack steel,lined,steel"
            }
            Self::Kinds { .. } => "a pack has two kinds of discs, by what they turn with: use two words",
            Self::NoPlates { .. } => {
                "give all sizes in the description: (faces: 8, friction: \"0.1\", outer_radius: Millimetres(60), \
                 inner_radius: Millimetres(45), force: Newtons(1500))"
            }
            Self::NoGearset => "name a description, and its clutch with --clutch",
            Self::PlateForce => "look at the force, the lever and the friction: --lever and --lost",
        }
    }
}

/// What to write for a size that is none.
fn hint_of_size(what: &str) -> &'static str {
    match what {
        "gap" => "write the gap at each finger, from 0 to 1000 mm: --finger 20.9,21.4,20.6",
        "wanted gap" => "write a gap from 0 to 1000 mm: --wanted 20.64",
        "gap that may be off" => "write how far a gap may be off, up to 10 mm: --within 0.1",
        "pitch of the screws" => {
            "write the pitch of their thread: --pitch 1.27, or \"1/20 in\" of 20 threads to an inch"
        }
        "lever of the fingers" => {
            "write by how much a gap changes for a millimetre of the screw, from 0.01 to 100: --lever 1"
        }
        "length of the spring" | "force of the spring" => {
            "write two lengths above zero, each with its force: --spring 60=900,45=1800"
        }
        "working length" => "write a length above zero: --working 50",
        "thickness of the wire" => "write a thickness above zero: --wire 8",
        "diameter of the coils" => "write a diameter in the middle of the wire, above zero: --coil 62",
        "number of coils" => "write how many coils spring, from 0.25 to 1000: --coils 4.5",
        "number of all coils" => "write how many coils there are in all, from 0.25 to 1000: --all-coils 6.5",
        "lever of the spring" => {
            "write how many times its force presses on the plates, from 0.01 to 100: --spring-lever 2"
        }
        "part that friction takes" => "write a part from 0 to 0.9: --lost 0.1",
        _ => "look at the number and its unit",
    }
}

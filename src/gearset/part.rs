//! Where in a draft? Every place that a problem can have, by its position.
//!
//! Positions count from 0, as in the lists of the [`Draft`](super::Draft); where a part is
//! shown to people, they count from 1. Parts are ordered as they stand in a draft.

use std::cmp::Ordering;
use std::fmt::{self, Display, Formatter};

use super::{BearingSize, ControlSize, DialEntry};

/// Whose gear: that of a member on the main axis or of a planet, by its number in the draft.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Owner {
    /// `members[0]`, counted from 0.
    Member(usize),
    /// `planets[0]`, counted from 0.
    Planet(usize),
}

/// Which of a pair.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Which {
    /// The first named.
    First,
    /// The second named.
    Second,
}

/// A place in a draft, by position: `Part::Mesh { mesh: 0 }` is the first mesh.
///
/// # Examples
/// ```
/// use toothmark::gearset::Part;
/// assert_eq!(Part::MeshPitch { mesh: 0 }.to_string(), "mesh 1, pitch");
/// assert!(Part::Backlash < Part::Mesh { mesh: 0 });
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[expect(missing_docs, reason = "each variant names the field of the draft that it points at")]
pub enum Part {
    Title,
    Input,
    Output,
    Pitch,
    Backlash,
    PressureAngle,
    ShiftGear { shift: usize },
    ShiftSize { shift: usize },
    Efficiency,
    OwnerName(Owner),
    Carrier { planet: usize },
    Pins { planet: usize },
    PinPlace { planet: usize, pin: usize },
    GearName { owner: Owner, gear: usize },
    ToothCount { owner: Owner, gear: usize },
    Mesh { mesh: usize },
    MeshGear { mesh: usize, which: Which },
    MeshPitch { mesh: usize },
    MeshBacklash { mesh: usize },
    Dial { mesh: usize, entry: DialEntry },
    MeshEfficiency { mesh: usize },
    JoinMember { join: usize, which: Which },
    MeasuredPlanet { measured: usize },
    Uncertainty { measured: usize },
    PinMeasured { measured: usize, pin: usize },
    Chord { measured: usize, pin: usize },
    PinError { measured: usize },
    ClusterName { measured: usize, cluster: usize },
    LikeCluster { measured: usize, cluster: usize },
    ReadingGear { measured: usize, cluster: usize, reading: usize },
    ReadingOffset { measured: usize, cluster: usize, reading: usize },
    ReadingRadius { measured: usize, cluster: usize, reading: usize },
    CentralGear { measured: usize, reading: usize },
    CentralOffset { measured: usize, reading: usize },
    CentralRadius { measured: usize, reading: usize },
    ControlName { control: usize },
    ControlMember { control: usize, which: Which },
    BearingMember { bearing: usize, which: Which },
    BearingSize { bearing: usize, size: BearingSize },
    ControlSize { control: usize, size: ControlSize },
    StateName { state: usize },
    Applied { state: usize, index: usize },
    Held { state: usize, index: usize },
    JoinedMember { state: usize, index: usize, which: Which },
    TurningMember { state: usize, index: usize },
    TurningSpeed { state: usize, index: usize },
    StateInput { state: usize },
    StateOutput { state: usize },
    FoundPlanet { at: usize },
    FoundMarks { at: usize },
    FoundGear { at: usize, pin: usize },
    FoundMark { at: usize, pin: usize },
    FoundWithin,
}

impl Part {
    /// The way to the part: field of the draft, entry, field of the entry, and so on inward.
    fn way(self) -> [usize; 5] {
        let gear = |owner: Owner, gear: usize, field: usize| match owner {
            Owner::Member(member) => [5, member, 1, gear, field],
            Owner::Planet(planet) => [6, planet, 3, gear, field],
        };
        match self {
            Self::Title => [0; 5],
            Self::Input => [1, 0, 0, 0, 0],
            Self::Output => [2, 0, 0, 0, 0],
            Self::Pitch => [3, 0, 0, 0, 0],
            Self::Backlash => [4, 0, 0, 0, 0],
            Self::PressureAngle => [4, 1, 0, 0, 0],
            Self::ShiftGear { shift } => [4, 2, shift, 0, 0],
            Self::ShiftSize { shift } => [4, 2, shift, 1, 0],
            Self::Efficiency => [4, 3, 0, 0, 0],
            Self::OwnerName(Owner::Member(member)) => [5, member, 0, 0, 0],
            Self::OwnerName(Owner::Planet(planet)) => [6, planet, 0, 0, 0],
            Self::Carrier { planet } => [6, planet, 1, 0, 0],
            Self::Pins { planet } => [6, planet, 2, 0, 0],
            Self::PinPlace { planet, pin } => [6, planet, 2, 1 + pin, 0],
            Self::GearName { owner, gear: index } => gear(owner, index, 0),
            Self::ToothCount { owner, gear: index } => gear(owner, index, 1),
            Self::Mesh { mesh } => [7, mesh, 0, 0, 0],
            Self::MeshGear { mesh, which } => [7, mesh, 1, which.index(), 0],
            Self::MeshPitch { mesh } => [7, mesh, 2, 0, 0],
            Self::MeshBacklash { mesh } => [7, mesh, 3, 0, 0],
            Self::Dial { mesh, entry } => [7, mesh, 3, 1 + entry as usize, 0],
            Self::MeshEfficiency { mesh } => [7, mesh, 4, 0, 0],
            Self::JoinMember { join, which } => [8, join, which.index(), 0, 0],
            Self::MeasuredPlanet { measured } => [9, measured, 0, 0, 0],
            Self::Uncertainty { measured } => [9, measured, 1, 0, 0],
            Self::PinMeasured { measured, pin } => [9, measured, 1, 1, pin],
            Self::Chord { measured, pin } => [9, measured, 1, 2, pin],
            Self::PinError { measured } => [9, measured, 1, 3, 0],
            Self::CentralGear { measured, reading } => [9, measured, 1, 4 + reading, 0],
            Self::CentralOffset { measured, reading } => [9, measured, 1, 4 + reading, 1],
            Self::CentralRadius { measured, reading } => [9, measured, 1, 4 + reading, 2],
            Self::ClusterName { measured, cluster } => [9, measured, 2 + cluster, 0, 0],
            Self::LikeCluster { measured, cluster } => [9, measured, 2 + cluster, 1, 0],
            Self::ReadingGear { measured, cluster, reading } => [9, measured, 2 + cluster, 1 + reading, 0],
            Self::ReadingOffset { measured, cluster, reading } => [9, measured, 2 + cluster, 1 + reading, 1],
            Self::ReadingRadius { measured, cluster, reading } => [9, measured, 2 + cluster, 1 + reading, 2],
            Self::ControlName { control } => [10, control, 0, 0, 0],
            Self::ControlMember { control, which } => [10, control, 1, which.index(), 0],
            Self::ControlSize { control, size } => [10, control, 2, size as usize, 0],
            Self::BearingMember { bearing, which } => [11, bearing, 0, which.index(), 0],
            Self::BearingSize { bearing, size } => [11, bearing, 1, size as usize, 0],
            Self::StateName { state } => [12, state, 0, 0, 0],
            Self::Applied { state, index } => [12, state, 1, index, 0],
            Self::Held { state, index } => [12, state, 2, index, 0],
            Self::JoinedMember { state, index, which } => [12, state, 3, index, which.index()],
            Self::TurningMember { state, index } => [12, state, 4, index, 0],
            Self::TurningSpeed { state, index } => [12, state, 4, index, 1],
            Self::StateInput { state } => [12, state, 5, 0, 0],
            Self::StateOutput { state } => [12, state, 6, 0, 0],
            Self::FoundPlanet { at } => [13, at, 0, 0, 0],
            Self::FoundMarks { at } => [13, at, 1, 0, 0],
            Self::FoundGear { at, pin } => [13, at, 1, 1 + pin, 0],
            Self::FoundMark { at, pin } => [13, at, 1, 1 + pin, 1],
            Self::FoundWithin => [14, 0, 0, 0, 0],
        }
    }
}

impl Part {
    /// What follows the number of a state; nothing for any other part.
    #[expect(clippy::wildcard_enum_match_arm, reason = "every other part is shown by itself")]
    fn within_state(self) -> String {
        match self {
            Self::StateName { .. } => ", name".into(),
            Self::Applied { index, .. } => format!(", control {}", index + 1),
            Self::Held { index, .. } => format!(", held member {}", index + 1),
            Self::JoinedMember { index, which, .. } => format!(", joined pair {}, {which} member", index + 1),
            Self::TurningMember { index, .. } => format!(", turning member {}", index + 1),
            Self::TurningSpeed { index, .. } => format!(", turning member {}, speed", index + 1),
            Self::StateInput { .. } => ", input".into(),
            Self::StateOutput { .. } => ", output".into(),
            _ => String::new(),
        }
    }

    /// A part of the marks as found, in words; nothing for any other part.
    #[expect(clippy::wildcard_enum_match_arm, reason = "every other part is shown by itself")]
    fn of_found(self) -> String {
        // The first planet is the one that the section names, the others stand beside it.
        let beside = |at: usize| if at == 0 { String::new() } else { format!(" beside {at}") };
        match self {
            Self::FoundPlanet { at } => format!("marks found{}, planet", beside(at)),
            Self::FoundMarks { at } => format!("marks found{}", beside(at)),
            Self::FoundGear { at, pin } => format!("mark found{} on pin {}, gear", beside(at), pin + 1),
            Self::FoundMark { at, pin } => format!("mark found{} on pin {}", beside(at), pin + 1),
            Self::FoundWithin => "marks found, degrees good to".into(),
            _ => String::new(),
        }
    }

    /// What follows the number of a measured planet; nothing for any other part.
    #[expect(clippy::wildcard_enum_match_arm, reason = "every other part is shown by itself")]
    fn within_measured(self) -> String {
        // The way of a cluster counts from 2, that of a reading from 1.
        let [_, _, cluster, reading, _] = self.way();
        let of_reading = format!(", cluster {}, reading {reading}", cluster.saturating_sub(1));
        match self {
            Self::Uncertainty { .. } => ", uncertainty".into(),
            Self::PinMeasured { pin, .. } => format!(", pin {}", pin + 1),
            Self::Chord { pin, .. } => format!(", chord {}", pin + 1),
            Self::PinError { .. } => ", error of the pins".into(),
            Self::ClusterName { cluster, .. } => format!(", cluster {}, name", cluster + 1),
            Self::LikeCluster { cluster, .. } => format!(", cluster {}, like", cluster + 1),
            Self::ReadingGear { .. } => of_reading + ", gear",
            Self::ReadingOffset { .. } => of_reading,
            Self::ReadingRadius { .. } => of_reading + ", radius",
            Self::CentralGear { reading, .. } => format!(", central reading {}, gear", reading + 1),
            Self::CentralOffset { reading, .. } => format!(", central reading {}", reading + 1),
            Self::CentralRadius { reading, .. } => format!(", central reading {}, radius", reading + 1),
            _ => String::new(),
        }
    }
}

impl Which {
    fn index(self) -> usize {
        match self {
            Self::First => 0,
            Self::Second => 1,
        }
    }
}

impl Ord for Part {
    fn cmp(&self, other: &Self) -> Ordering {
        self.way().cmp(&other.way())
    }
}

impl PartialOrd for Part {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Display for Owner {
    fn fmt(&self, formatter: &mut Formatter<'_>) -> fmt::Result {
        match self {
            Self::Member(member) => write!(formatter, "member {}", member + 1),
            Self::Planet(planet) => write!(formatter, "planet {}", planet + 1),
        }
    }
}

impl Display for Which {
    fn fmt(&self, formatter: &mut Formatter<'_>) -> fmt::Result {
        formatter.write_str(match self {
            Self::First => "first",
            Self::Second => "second",
        })
    }
}

impl Display for Part {
    fn fmt(&self, formatter: &mut Formatter<'_>) -> fmt::Result {
        match *self {
            Self::Title => formatter.write_str("title"),
            Self::Input => formatter.write_str("input"),
            Self::Output => formatter.write_str("output"),
            Self::Pitch => formatter.write_str("pitch"),
            Self::Backlash => formatter.write_str("backlash"),
            Self::PressureAngle => formatter.write_str("pressure angle"),
            Self::ShiftGear { shift } => write!(formatter, "profile shift {}, gear", shift + 1),
            Self::ShiftSize { shift } => write!(formatter, "profile shift {}", shift + 1),
            Self::Efficiency => formatter.write_str("efficiency"),
            Self::OwnerName(owner) => write!(formatter, "{owner}, name"),
            Self::Carrier { planet } => write!(formatter, "planet {}, carrier", planet + 1),
            Self::Pins { planet } => write!(formatter, "planet {}, pins", planet + 1),
            Self::PinPlace { planet, pin } => write!(formatter, "planet {}, pin {}", planet + 1, pin + 1),
            Self::GearName { owner, gear } => write!(formatter, "{owner}, gear {}, name", gear + 1),
            Self::ToothCount { owner, gear } => write!(formatter, "{owner}, gear {}, tooth count", gear + 1),
            Self::Mesh { mesh } => write!(formatter, "mesh {}", mesh + 1),
            Self::MeshGear { mesh, which } => write!(formatter, "mesh {}, {which} gear", mesh + 1),
            Self::MeshPitch { mesh } => write!(formatter, "mesh {}, pitch", mesh + 1),
            Self::MeshBacklash { mesh } => write!(formatter, "mesh {}, backlash", mesh + 1),
            Self::Dial { mesh, entry } => write!(formatter, "mesh {}, {entry}", mesh + 1),
            Self::MeshEfficiency { mesh } => write!(formatter, "mesh {}, efficiency", mesh + 1),
            Self::JoinMember { join, which } => write!(formatter, "join {}, {which} member", join + 1),
            Self::MeasuredPlanet { measured }
            | Self::Uncertainty { measured }
            | Self::PinMeasured { measured, .. }
            | Self::Chord { measured, .. }
            | Self::PinError { measured }
            | Self::ClusterName { measured, .. }
            | Self::LikeCluster { measured, .. }
            | Self::ReadingGear { measured, .. }
            | Self::ReadingOffset { measured, .. }
            | Self::ReadingRadius { measured, .. }
            | Self::CentralGear { measured, .. }
            | Self::CentralOffset { measured, .. }
            | Self::CentralRadius { measured, .. } => {
                write!(formatter, "measured planet {}{}", measured + 1, self.within_measured())
            }
            Self::ControlName { control } => write!(formatter, "control {}, name", control + 1),
            Self::ControlMember { control, which } => write!(formatter, "control {}, {which} member", control + 1),
            Self::BearingMember { bearing, which } => write!(formatter, "bearing {}, {which} member", bearing + 1),
            Self::BearingSize { bearing, size } => write!(formatter, "bearing {}, {size}", bearing + 1),
            Self::ControlSize { control, size } => write!(formatter, "control {}, {size}", control + 1),
            Self::StateName { state }
            | Self::Applied { state, .. }
            | Self::Held { state, .. }
            | Self::JoinedMember { state, .. }
            | Self::TurningMember { state, .. }
            | Self::TurningSpeed { state, .. }
            | Self::StateInput { state }
            | Self::StateOutput { state } => write!(formatter, "state {}{}", state + 1, self.within_state()),
            Self::FoundPlanet { .. }
            | Self::FoundMarks { .. }
            | Self::FoundGear { .. }
            | Self::FoundMark { .. }
            | Self::FoundWithin => formatter.write_str(&self.of_found()),
        }
    }
}

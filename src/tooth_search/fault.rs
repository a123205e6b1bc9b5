//! Why a request cannot be searched.

use crate::exact::Fraction;
use crate::search::NotSearchable;

/// Why a request cannot be searched.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum TeethFault {
    /// Nothing may change.
    #[error("no gear is named whose teeth may change, and no other number of pins")]
    NothingMayChange,
    /// A gear is named twice.
    #[error("the teeth of gear {0:?} are given twice")]
    GearTwice(String),
    /// A range holds no count.
    #[error("gear {gear:?} is to have from {fewest} to {most} teeth, which is no range of counts from 1 on")]
    EmptyRange {
        /// The gear.
        gear: String,
        /// The fewest teeth.
        fewest: u16,
        /// The most.
        most: u16,
    },
    /// More teeth than any gear has.
    #[error("gear {gear:?} is to have up to {teeth} teeth, which no gear has")]
    TooManyTeeth {
        /// The gear.
        gear: String,
        /// The most that it is to have.
        teeth: u16,
    },
    /// A list that holds no count.
    #[error("gear {0:?} is to have a count of a list that holds none, or 0 teeth")]
    NoCounts(String),
    /// No count that a gear may have is at hand.
    #[error("none of the counts that gear {0:?} may have is in the stock")]
    NothingInStock(String),
    /// Two choices of pins for planets that share them.
    #[error("the pins of planet {0:?} are given twice")]
    PinsTwice(String),
    /// No pins to choose from.
    #[error("the planet {0:?} is to have no pins")]
    NoPins(String),
    /// More pins than any carrier holds.
    #[error("the planet {planet:?} is to have {pins} pins, more than any carrier holds")]
    TooManyPins {
        /// The planet.
        planet: String,
        /// How many it is to have.
        pins: u32,
    },
    /// No modules to choose from.
    #[error("the mesh of {0:?} is to have no module, or one of 0 or less")]
    NoModules(String),
    /// Teeth larger or smaller than a description takes.
    #[error("the mesh of {mesh:?} is to have a module of {module}, which is out of all proportion")]
    AbsurdModule {
        /// The mesh.
        mesh: String,
        /// The module.
        module: Fraction,
    },
    /// Two choices of modules for meshes that share a gear.
    #[error("the module of {0:?} is given twice: meshes that share a gear share it")]
    ModulesTwice(String),
    /// A state that is not there.
    #[error("there is no state {0:?}")]
    NoSuchState(String),
    /// A state without a ratio.
    #[error("in state {0:?} the output is not driven, so that there is no ratio to wish for")]
    NoRatio(String),
    /// A formula that cannot be used.
    #[error("the ratio of state {0:?} is too long a formula")]
    TooLong(String),
    /// A target of 0, or a window that ends before it begins.
    #[error("what is wanted of the ratio of state {0:?} cannot be")]
    WrongWish(String),
    /// A ratio in which no count that may change stands.
    #[error("nothing that may change is in the ratio of state {state:?}: it is {ratio}, {}", hangs_on(.gears))]
    FixedRatio {
        /// The state.
        state: String,
        /// The ratio, whatever is found.
        ratio: Fraction,
        /// The gears that are in it.
        gears: Vec<String>,
    },
    /// A value in which no count that may change stands.
    #[error("nothing that may change is in the {value}: it is {now}, {}", hangs_on(.gears))]
    FixedValue {
        /// The value.
        value: String,
        /// What it is, whatever is found.
        now: Fraction,
        /// The gears that are in it.
        gears: Vec<String>,
    },
    /// A value that the train does not have.
    #[error("the {0} cannot be told: it does not follow from the input alone")]
    NoValue(String),
    /// A spread of fewer than two states.
    #[error("there is no spread: fewer than two states turn one output forwards")]
    NoSpread,
    /// An efficiency without losses.
    #[error("no mesh has an efficiency, so that none of a state is known")]
    NoEfficiency,
    /// A target of 0 or less, a window that ends before it begins, or a target for an efficiency.
    #[error("what is wanted of the {0} cannot be")]
    WrongValue(String),
    /// The problem itself cannot be searched.
    #[error(transparent)]
    Problem(#[from] NotSearchable),
}

impl TeethFault {
    /// What to ask instead.
    pub fn hint(&self) -> &'static str {
        match self {
            Self::NothingMayChange => "name gears with their ranges, such as teeth: { \"L\": (15, 30) }",
            Self::GearTwice(_) => "name every gear once",
            Self::EmptyRange { .. } => "write the fewest teeth first, from 1 on",
            Self::TooManyTeeth { .. } => "write counts up to 10000",
            Self::NoCounts(_) => "write the counts that there are, such as OneOf([18, 20, (24, 28)])",
            Self::NothingInStock(_) => "widen the range of the gear, add to the stock, or let the gear stay as it is",
            Self::PinsTwice(_) => "name one planet of those that mesh with one another, with every number to try",
            Self::NoPins(_) => "write the numbers of pins to try, such as [3, 4]",
            Self::TooManyPins { .. } => "write numbers of pins from 1 to 100, such as [3, 4]",
            Self::NoModules(_) => "write modules in millimetres above 0, such as [\"2\", \"2.5\"]",
            Self::AbsurdModule { .. } => "write modules in millimetres from 1/1000 to 1000, such as [2, 2.5]",
            Self::ModulesTwice(_) => "name one of the meshes, with every module to try",
            Self::NoSuchState(_) | Self::NoRatio(_) => "wish for the ratio of a state that drives",
            Self::TooLong(_) => "leave this state out, or search a part of the train",
            Self::WrongWish(_) => "write a target other than 0, or a window from the lower to the higher ratio",
            Self::NoValue(_) => "wish for a speed or torque of a state in which there is one",
            Self::NoSpread => "wish for the ratio of a state, or for a step between two",
            Self::NoEfficiency => "say what a mesh has, such as --mesh-efficiency 0.98, or describe it",
            Self::WrongValue(_) => {
                "values are told without their sign: write a target above 0 or a window; of an efficiency a window alone, as it \
                 is checked and not aimed at"
            }
            Self::FixedRatio { gears, .. } | Self::FixedValue { gears, .. } if gears.is_empty() => {
                "leave the wish out: no tooth count changes it"
            }
            Self::FixedRatio { .. } | Self::FixedValue { .. } => {
                "let one of these gears change as well, or leave the wish out"
            }
            Self::Problem(_) => "narrow the ranges, or ask for less at once",
        }
    }
}

/// What a ratio is made of, for a sentence.
fn hangs_on(gears: &[String]) -> String {
    match gears {
        [] => "whatever the gears".into(),
        gears => format!("by the teeth of {}", gears.join(", ")),
    }
}

//! Why can a rotor not be balanced by what is asked?

/// Why a question about balance has no answer.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum CannotBalance {
    /// Nothing is asked.
    #[error("nothing is asked about a rotor")]
    NothingAsked,
    /// A size that has to be above zero, and is not, or is none that a rotor has.
    #[error("{what} is {value}")]
    Absurd {
        /// The size.
        what: &'static str,
        /// As given.
        value: f64,
    },
    /// There are angles, and nobody says from which side they are seen.
    #[error("it is not said from which side the angles are seen")]
    NoSide,
    /// More than is taken of something.
    #[error("{count} {what} are given: no more than {most} are taken")]
    TooMany {
        /// What.
        what: &'static str,
        /// How many.
        count: usize,
        /// How many are taken.
        most: usize,
    },
    /// Readings in one plane, in two, and as many trials.
    #[error("{readings} as found and {trials} with trial weights do not belong together")]
    ReadingsDoNotMatch {
        /// Readings as found.
        readings: usize,
        /// Trials, or the readings of one.
        trials: usize,
    },
    /// A trial weight changed no reading.
    #[error("a trial weight changed no reading")]
    TrialChangedNothing,
    /// Trials in two planes changed the readings alike.
    #[error("the trial weights in both planes changed the readings alike, so that they tell one thing twice")]
    TrialsAlike,
    /// One run with a trial weight, or none, and no phase.
    #[error("readings without phase need a trial weight at two opposite places at least")]
    TooFewRuns,
    /// Two runs with the trial weight at places that are not opposite.
    #[error("with two runs the trial weight has to stand at opposite places")]
    TrialsNotOpposite,
    /// Runs with the trial weight at fewer than three places.
    #[error("the trial weight stood at fewer than three places")]
    TrialsAtOnePlace,
    /// Trial weights of several sizes.
    #[error("the trial weights of the runs differ")]
    TrialsDiffer,
    /// On the whole readings are no larger with the trial than without it.
    #[error("the trial weight is too small: on the whole the readings are no larger with it than as found")]
    TrialTooSmall,
    /// Two runs that no unbalance explains.
    #[error("no unbalance explains the readings: with the trial at opposite places they differ by too much")]
    RunsContradict,
    /// Two places at one angle and radius.
    #[error("two places stand at {degrees} degrees")]
    PlaceTwice {
        /// The angle.
        degrees: f64,
    },
    /// No place to correct at.
    #[error("no place is given")]
    NoPlace,
    /// No drill, or no thickness.
    #[error("no drill is given")]
    NoDrill,
    /// A plan, and nothing says what may be left.
    #[error("it is not said how much unbalance may be left")]
    NoAllowance,
    /// A plan, and nothing was found.
    #[error("it is not said what was found")]
    NothingFound,
    /// A wall as thick as the metal.
    #[error("a wall of {wall} mm is to be left of {thickness} mm")]
    NothingToDrill {
        /// What is to be left.
        wall: f64,
        /// How thick it is.
        thickness: f64,
    },
    /// A hole that stands at none of the places.
    #[error("a hole is drilled at {degrees} degrees, which is none of the places")]
    HoleAtNoPlace {
        /// The angle.
        degrees: f64,
    },
    /// A drill that reaches over the axis.
    #[error("a drill of {drill} mm reaches over the axis from places {radius} mm from it")]
    DrillBeyondAxis {
        /// Its diameter.
        drill: f64,
        /// How far the nearest place is from the axis.
        radius: f64,
    },
    /// A hole deeper than the metal.
    #[error("a hole is drilled {depth} mm deep into {thickness} mm")]
    HoleThroughAll {
        /// Its full depth.
        depth: f64,
        /// How thick it is.
        thickness: f64,
    },
    /// Fewer planets than have an order.
    #[error("fewer than two planets are weighed")]
    FewClusters,
    /// Weights stand between two planes that are one.
    #[error("both planes stand at {at} mm")]
    OnePlaneTwice {
        /// Where.
        at: f64,
    },
}

impl CannotBalance {
    /// What to do instead.
    pub fn hint(&self) -> &'static str {
        match self {
            Self::NothingAsked => {
                "say what may be left and what was found: --mass 25kg --rpm 1800 --found \"22 g at 95 mm at 100 deg\" --seen \
                 input; or ask for --chart"
            }
            Self::Absurd { what, .. } => hint_of_size(what),
            Self::NoSide => {
                "add --seen input or --seen output: angles are counted counter-clockwise from the mark, seen from there"
            }
            Self::TooMany { .. } => "leave some out; of depths a coarser step makes fewer",
            Self::ReadingsDoNotMatch { .. } => {
                "one plane: one reading as found and one trial; two planes: two readings as found, and a trial in each plane \
                 in turn with two readings each"
            }
            Self::TrialChangedNothing => "take a heavier trial weight",
            Self::TrialsAlike => "move the trial weight of one plane by a quarter of a turn, or into the other plane",
            Self::TooFewRuns => "put the trial weight at 0 and 180 degrees, better at 0, 120 and 240, and read each",
            Self::TrialsNotOpposite => "put the second trial half a turn from the first, or add a third place",
            Self::TrialsAtOnePlace => "put the trial weight at three places far apart: 0, 120 and 240 degrees",
            Self::TrialsDiffer => "take the same trial weight at the same radius in every run",
            Self::TrialTooSmall => "take a heavier trial weight, twice as heavy for a start",
            Self::RunsContradict => "measure again, at the same speed, with nothing changed but the place of the trial",
            Self::PlaceTwice { .. } => "name each place once",
            Self::NoPlace => {
                "say where the rotor may be drilled: --places 12@95mm, or --places \"0, 30, 90\" --radius 95mm"
            }
            Self::NoDrill => "say which drills are at hand: --drills 6,8,10,12",
            Self::NoAllowance => {
                "add --mass 25kg --rpm 1800 (and --grade, 6.3 where it is left out), or --allowed \"836 g mm\""
            }
            Self::NothingFound => {
                "add --found \"22 g at 95 mm at 100 deg\", or readings with --reading and --trial; or ask for --chart"
            }
            Self::NothingToDrill { .. } => {
                "measure the thickness along the drill; the wall is what is left behind the point"
            }
            Self::HoleAtNoPlace { .. } => "give the angle as in --places, and count it from the same mark",
            Self::DrillBeyondAxis { .. } => {
                "--drills are diameters in millimetres, 6,8,10,12, or in inches, \"1/4in, 3/8in\"; --places 12@95mm says how far \
                 from the axis"
            }
            Self::HoleThroughAll { .. } => {
                "--drilled \"90deg 12mm x 12\" is where, the drill and the full depth; --thickness is measured along the drill"
            }
            Self::FewClusters => "weigh every planet: --clusters 812.4,815.0,809.1 --pin-radius 75mm",
            Self::OnePlaneTwice { .. } => "say where each plane stands along the axis, such as --planes \"0, 60\"",
        }
    }
}

/// What to write for a size that cannot be.
fn hint_of_size(what: &str) -> &'static str {
    match what {
        "the allowed unbalance" => "write gram millimetres above zero: --allowed \"836 g mm\", or \"1.2 oz in\"",
        "the grade" => "write a grade above zero: --grade 6.3, which is usual for flywheels",
        "the mass of the rotor" => "write the mass of everything that turns with the rotor: --mass 25kg, or 55lb",
        "the speed" => "write revolutions per minute above zero: --rpm 1800",
        "the distance from a bearing" => "write two lengths above zero: --from-bearings \"1500, 900\"",
        "the place of a plane" => "write two lengths along the axis: --planes \"0, 60\"",
        "the place of a weight along the axis" => {
            "write where it stands along the axis: --found \"22 g at 95 mm at 100 deg z 10 mm\""
        }
        "a weight"
        | "the radius of a weight"
        | "an unbalance"
        | "the angle of a weight"
        | "the angle of a trial weight" => {
            "write a weight above zero, its radius and its angle: \"22 g at 95 mm at 100 deg\""
        }
        "a reading" | "a phase" => "write what the machine reads, from zero up: --reading 4.8, or \"0.36 at 18 deg\"",
        "what weights are good to" => "write --weight-within 0.5g",
        "what radii are good to" => "write --radius-within 1mm",
        "what angles are good to" => "write --angle-within 2",
        "what readings are good to" => "write --reading-within 0.1, in the unit of the readings",
        "the width of the rotor" | "the diameter of the rotor" => {
            "write lengths above zero: --width 60mm --diameter 240mm"
        }
        "the radius of the pin circle" => "write --pin-radius 75mm",
        "the weight of a planet" => "write grams above zero: --clusters 812.4,815.0,809.1",
        "the radius of a place" | "the angle of a place" => {
            "write --places 12@95mm, or --places \"0, 30, 90\" --radius 95mm"
        }
        "the diameter of a drill" => "write diameters above zero: --drills 6,8,10,12",
        "the density" => "write g/cm3 above zero: --density 7.2",
        "the thickness" => "write how thick it is along the drill: --thickness 26mm",
        "the wall" => "write what is to be left behind the point, from zero up: --wall 4mm",
        "the step of depth" => "write --depth-step 1mm: above zero, and no more than 1000 steps in the thickness",
        "the least depth" => "write --least-depth 3mm",
        "the outer radius" => "write --outer-radius 110mm",
        "a depth" => "write depths above zero: --depths 5,10,15",
        "the diameter of a hole" | "the depth of a hole" | "the angle of a hole" => {
            "write --drilled \"90deg 12mm x 12\""
        }
        _ => "look at the number and its unit; sizes are above zero",
    }
}

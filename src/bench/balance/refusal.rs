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
            Self::Absurd { .. } => "look at the number and its unit; sizes are above zero",
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
            Self::FewClusters => "weigh every planet: --clusters 812.4,815.0,809.1 --pin-radius 75mm",
            Self::OnePlaneTwice { .. } => "say where each plane stands along the axis, such as --planes \"0, 60\"",
        }
    }
}

//! Every wrong seating of the planets on one pin: how far each is out, and what a hand feels.
//!
//! Which there are and what becomes of each is worked out class by class ([`classes`]); how often tightness comes round
//! that is carried by a part, in [`tight_spots()`]. A backlash may come from a dial ([`dial_reading`]).

mod answer;
mod classes;
mod dial_reading;
mod seating_sweep;
mod settling;
mod tight_spots;

pub use answer::{
    DialBacklash, GroupSeatings, MeshRhythm, PlanetTurns, SeatingOrder, SeatingsAnswer, TightSpots, WrongMesh,
    WrongSeating, WrongSeatings,
};
pub(super) use classes::{Misplaced, SeatingClasses, least_backlash};
pub use dial_reading::{DialReading, DialReadingProblem, backlash_at_pitch_circle, with_dial_readings};
pub use tight_spots::tight_spots;

use crate::exact::{Fraction, TooManyClasses, fraction, to_float};
use crate::gearset::{Gearset, Length, PlanetGroup};
use crate::kinematics::{StateMotion, motions};
use crate::timing::by_hand::{EASE_BY_FORCE, LEAST, MeshPlay, could_be};
use crate::timing::solver::rows_assemble;

/// What is asked of [`wrong_seatings`].
#[derive(Debug, Clone, PartialEq)]
pub struct SeatingQuestion {
    /// The largest error, in teeth, up to which wrong seatings are listed; no error is above
    /// half a tooth.
    pub within: Fraction,
    /// How much of a shortage of backlash is taken up by force, in millimetres.
    pub ease_by_force: f64,
    /// Dial readings, whose backlashes take the place of those described.
    pub dial_readings: Vec<DialReading>,
}

impl Default for SeatingQuestion {
    fn default() -> Self {
        Self { within: fraction(1, 2), ease_by_force: EASE_BY_FORCE, dial_readings: Vec::new() }
    }
}

/// Every wrong seating of every group of planets, in the order of the description.
///
/// # Errors
/// The first [`DialReadingProblem`].
///
/// # Examples
/// ```
/// use toothmark::{description, timing::{ByHand, SeatingQuestion, wrong_seatings}};
/// let set = description::read(description::example("trap-gear").unwrap()).unwrap();
/// let answer = wrong_seatings(&set, &SeatingQuestion::default())?;
/// let least_wrong = &answer.groups[0].wrong_seatings[0];
/// assert_eq!(least_wrong.largest_error.to_string(), "1/119");
/// assert_eq!(least_wrong.by_hand, Some(ByHand::Unnoticed));
/// # Ok::<(), toothmark::timing::DialReadingProblem>(())
/// ```
pub fn wrong_seatings(set: &Gearset, question: &SeatingQuestion) -> Result<WrongSeatings, DialReadingProblem> {
    let dial_readings =
        question.dial_readings.iter().map(|reading| dial_backlash(set, reading)).collect::<Result<_, _>>()?;
    let set = &with_dial_readings(set, &question.dial_readings)?;
    let motions = motions(set);
    let groups = set.planet_groups().iter();
    Ok(WrongSeatings {
        gearset: set.title().to_owned(),
        within: question.within.clone(),
        ease_by_force_mm: question.ease_by_force,
        groups: groups.map(|group| group_seatings(set, group, question, &motions)).collect(),
        dial_readings,
    })
}

fn dial_backlash(set: &Gearset, reading: &DialReading) -> Result<DialBacklash, DialReadingProblem> {
    let (mesh, backlash) = backlash_at_pitch_circle(set, reading)?;
    let [reading_mm, radius_mm, backlash_mm] = [&reading.reading, &reading.radius, &backlash].map(Length::millimetres);
    Ok(DialBacklash { gear: reading.gear, reading_mm, radius_mm, mesh, backlash_mm })
}

fn group_seatings(
    set: &Gearset,
    group: &PlanetGroup,
    question: &SeatingQuestion,
    motions: &[StateMotion],
) -> GroupSeatings {
    let classes = SeatingClasses::new(set, group, question.ease_by_force);
    let found = if group.places().len() == 1 {
        Err(SeatingsAnswer::OnePin)
    } else if !rows_assemble(&set.matrix().timing(group), &group.spacings()) {
        Err(SeatingsAnswer::DoesNotGoTogether)
    } else {
        classes.within(&question.within).map_err(|TooManyClasses| SeatingsAnswer::TooMany)
    };
    let answer = found.as_ref().map_or_else(|&reason| reason, |_| SeatingsAnswer::Listed);
    let mut seatings: Vec<WrongSeating> = found.iter().flatten().map(|it| classes.weighed(it)).collect();
    // Where all pitches are alike the order is that of the errors, and exact.
    let ordered_by = if classes.sizes.pitches_differ() { SeatingOrder::Backlash } else { SeatingOrder::LargestError };
    if ordered_by == SeatingOrder::Backlash {
        let rounded = |backlash: f64| (backlash / LEAST).round();
        let needed = |seating: &WrongSeating| seating.goes_in_from_mm.map_or(f64::INFINITY, rounded);
        seatings.sort_by(|a, b| needed(a).total_cmp(&needed(b)));
    }
    let more_could_go_in = more_could_go_in(&classes.sizes, question);
    // Where nothing says what a hand notices, those out by up to a quarter of a tooth could be.
    let is_whole = answer == SeatingsAnswer::Listed && !more_could_go_in && question.within >= fraction(1, 4);
    let could_be = seatings.iter().any(|seating| could_be(seating.by_hand, &seating.largest_error));
    GroupSeatings {
        planets: group.planets().to_vec(),
        carrier: group.carrier(),
        pins: group.places().len(),
        answer,
        wrong_seatings: seatings,
        tight_spots: tight_spots(set, group, motions),
        ordered_by,
        more_could_go_in,
        wrong_could_be: (is_whole || could_be).then_some(could_be),
    }
}

/// Whether some mesh takes up more than the error asked for, (b + f) / a teeth with the force f, and less than that was
/// asked for.
fn more_could_go_in(sizes: &MeshPlay, question: &SeatingQuestion) -> bool {
    let within = to_float(&question.within);
    let rooms = sizes.rooms().unwrap_or_default();
    let takes_up = rooms.iter().map(|room| (room.backlash + question.ease_by_force) / room.circular_pitch);
    within < 0.5 && takes_up.fold(0.0, f64::max) > within
}

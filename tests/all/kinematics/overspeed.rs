//! Which members outrun the input, by the definition alone: every speed of every state looked through.

use num_traits::Signed;
use toothmark::exact::{Fraction, fraction};
use toothmark::gearset::{Gearset, MemberId};
use toothmark::kinematics::{StateMotion, motions, overspeeds};

use crate::support::sets::{file_stems, read_example};

/// The fastest that a member is in a state of which it is not the output, and the first state in which it is.
fn fastest(motions: &[StateMotion], member: MemberId) -> Option<(Fraction, String)> {
    let mut fastest: Option<(Fraction, String)> = None;
    for motion in motions {
        let Some(speed) = motion.speed(member) else { continue };
        if motion.output != member && fastest.as_ref().is_none_or(|(most, _)| speed.abs() > most.abs()) {
            fastest = Some((speed, motion.state.clone()));
        }
    }
    fastest
}

fn outrun(set: &Gearset) -> Vec<(MemberId, Fraction, String)> {
    let motions = motions(set);
    let on_axis = set.member_ids().filter(|&member| member != MemberId::CASE && set.is_on_main_axis(member));
    let found = on_axis.filter_map(|member| fastest(&motions, member).map(|(speed, state)| (member, speed, state)));
    found.filter(|(_, speed, _)| speed.abs() > fraction(1, 1)).collect()
}

/// A member that turns with the input, as one that is coupled to it does, does not outrun it.
#[test]
fn members_that_outrun_the_input_are_told_at_their_fastest() {
    let mut seen = [0; 2];
    for name in file_stems("gearsets") {
        let set = read_example(&name);
        let told: Vec<(MemberId, Fraction, String)> =
            overspeeds(&set, &motions(&set)).into_iter().map(|fast| (fast.member, fast.speed, fast.state)).collect();
        assert_eq!(told, outrun(&set), "{name}");
        seen[usize::from(told.is_empty())] += 1;
    }
    assert!(seen[0] > 3 && seen[1] > 3, "sets of both kinds: {seen:?}");
}

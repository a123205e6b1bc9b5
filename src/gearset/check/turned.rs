//! Turns counted by hand: of two members that can turn, in numbers that say something.

use num_traits::Signed;

use super::uses::UseContext;
use crate::exact::{Fraction, fraction};
use crate::gearset::turned::{CountedTurns, DraftTurns, DraftTurnsOf, usual_part_of_turn};
use crate::gearset::{Binding, MemberId, Problems, SizeRule, UsageRule};

/// More turns than that nobody counts.
const MOST_TURNS: i64 = 100_000;

pub(super) fn check(known: &UseContext<'_>, problems: &mut Problems) -> Vec<Option<CountedTurns>> {
    known.draft.turned.iter().map(|turned| counted(known, turned, problems)).collect()
}

fn counted(known: &UseContext<'_>, written: &DraftTurns, problems: &mut Problems) -> Option<CountedTurns> {
    let before = problems.len();
    let held = held(known, written, problems);
    let within = written.within.as_deref().cloned().unwrap_or_else(usual_part_of_turn);
    if let Some(written) = written.within.as_ref().filter(|within| within.is_negative()) {
        problems.add(written.mark(), SizeRule::NegativeWithinOfTurns { within: (**written).clone() });
    }
    let both = [&written.first, &written.second];
    let members = both.map(|of| member(known, of, &held, problems));
    for of in both {
        check_turns(of, &within, problems);
    }
    let members = [members[0]?, members[1]?];
    if members[0] == members[1] {
        let (name, binding) = (written.second.member.to_string(), Binding::CountedTurns);
        problems.add(written.second.member.mark(), UsageRule::BoundToItself { name, binding });
    }
    let turns = [written.first.turns.get()?.clone(), written.second.turns.get()?.clone()];
    (problems.len() == before).then_some(CountedTurns { held, members, turns, within })
}

fn held(known: &UseContext<'_>, written: &DraftTurns, problems: &mut Problems) -> Vec<MemberId> {
    let mut held = Vec::new();
    for name in &written.held {
        let Some(member) = known.not_a_planet(name, &Binding::CountedTurns, problems) else { continue };
        if held.contains(&member) {
            let (name_again, binding) = (name.to_string(), Binding::CountedTurns);
            problems.add(name.mark(), UsageRule::BoundToItself { name: name_again, binding });
        }
        held.push(member);
    }
    held
}

/// A member whose turns can be counted: not the case, no planet, and not held.
fn member(known: &UseContext<'_>, of: &DraftTurnsOf, held: &[MemberId], problems: &mut Problems) -> Option<MemberId> {
    let member = known.not_a_planet(&of.member, &Binding::CountedTurns, problems)?;
    if member == MemberId::CASE || held.contains(&member) {
        problems.add(of.member.mark(), UsageRule::TurnsOfHeld { member: of.member.to_string() });
        return None;
    }
    Some(member)
}

fn check_turns(of: &DraftTurnsOf, within: &Fraction, problems: &mut Problems) {
    let Some(turns) = of.turns.get() else { return };
    let member = of.member.to_string();
    if !turns.is_positive() || *turns > fraction(MOST_TURNS, 1) {
        problems.add(of.turns.mark(), SizeRule::AbsurdTurns { member, turns: turns.clone() });
    } else if turns <= within {
        let (turns, within) = (turns.clone(), within.clone());
        problems.add(of.turns.mark(), SizeRule::TooFewTurns { member, turns, within });
    }
}

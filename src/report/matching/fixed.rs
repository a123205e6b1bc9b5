//! What central gears that are fixed to one another do to matching, in words.

use super::sizes::side;
use crate::gearset::{GearId, Gearset};
use crate::report::render::document::Fact;
use crate::report::words::{gear, list, quoted};
use crate::timing::{FixedGears, FixedIndex, FixedTurn, GroupMatching, Seated};

/// A line for each body of central gears with more than one mesh.
pub(super) fn fixed<'a>(set: &'a Gearset, group: &'a GroupMatching) -> impl Iterator<Item = Fact> + 'a {
    group.fixed_gears.iter().map(|fixed| Fact::new("fixed gears", told(set, fixed)))
}

/// What to beware of for fixed gears: that the set is locked, or that it is not known how they stand.
pub(super) fn cautions(set: &Gearset, group: &GroupMatching) -> Vec<String> {
    let caution = |fixed: &FixedGears| {
        let all = names(set, &fixed.gears);
        let which = if fixed.gears.len() > 1 {
            format!("{all} are fixed to one another")
        } else {
            format!("{all} meets two gears")
        };
        if fixed.locked {
            return Some(format!(
                "Beware: {which} at different ratios, so that the set turns as one piece only. Look at counts and joins."
            ));
        }
        (fixed.index == FixedIndex::Unknown)
            .then(|| format!("Beware: {which}, and how they stand is not known; {}.", how_to_know(set, fixed)))
    };
    group.fixed_gears.iter().filter_map(caution).collect()
}

fn told(set: &Gearset, fixed: &FixedGears) -> String {
    let index = index(set, fixed);
    if fixed.locked {
        format!(
            "{index}. At different ratios such gears are HELD FAST to the carrier by every cluster: the set turns as \
             one piece only; look at the counts and joins again"
        )
    } else {
        index
    }
}

fn index(set: &Gearset, fixed: &FixedGears) -> String {
    let all = names(set, &fixed.gears);
    let several = fixed.gears.len() > 1;
    let which = if several { format!("{all} are fixed to one another") } else { format!("{all} meets two gears") };
    match fixed.index {
        FixedIndex::Counts if several => {
            format!("{which} and stand as described, so that what all clusters have in common is felt as well")
        }
        FixedIndex::Counts => {
            format!("{which} of each cluster, so that what all clusters have in common is felt as well")
        }
        FixedIndex::TurnedOut if several => {
            format!("{which}, but their ratios differ: turned together they take in how they stand")
        }
        FixedIndex::TurnedOut => {
            format!("{which} of each cluster at different ratios: turned, it takes in how they stand")
        }
        FixedIndex::Unknown => format!(
            "{which}, and how they stand is NOT KNOWN: the clusters are matched with one another, not with these gears; \
             an index that all clusters have in common cancels only if these can be turned against each other; {}",
            how_to_know(set, fixed)
        ),
    }
}

fn how_to_know(set: &Gearset, fixed: &FixedGears) -> String {
    if fixed.unread.is_empty() {
        return "try the set on the bench".to_owned();
    }
    let readings: Vec<String> = fixed.unread.iter().map(|&gear| reading(set, gear)).collect();
    let (unread, first) = (names(set, &fixed.unread), gear(set, fixed.gears[0]));
    format!("measure {unread} against {first} and add central: [{}]", readings.join(", "))
}

fn reading(set: &Gearset, gear: GearId) -> String {
    format!("Teeth({}, 0.02)", quoted(set.gear(gear).name()))
}

fn names(set: &Gearset, gears: &[GearId]) -> String {
    list(&gears.iter().map(|&id| gear(set, id)).collect::<Vec<_>>())
}

/// How fixed central gears stand beside the cluster on the first pin, where it matters which of their teeth.
pub(super) fn stand(set: &Gearset, seated: &Seated) -> Option<String> {
    let turns: Vec<String> = seated.fixed_turns.iter().map(|turn| stands(set, turn)).collect();
    (!turns.is_empty())
        .then(|| format!("With the mark on pin 1 brought to the line from pin 1 to the centre, {}.", list(&turns)))
}

fn stands(set: &Gearset, turn: &FixedTurn) -> String {
    /// Teeth that are shown as none.
    const NONE: f64 = 5e-3;
    let where_to = if turn.teeth.abs() < NONE {
        "on that line".to_owned()
    } else {
        let (input, output) = (side(turn.degrees), side(-turn.degrees));
        format!("{:.2} teeth {input} of it seen from the input side, {output} from the output side", turn.teeth.abs())
    };
    format!("the mark of {} stands {where_to}", gear(set, turn.gear))
}

//! What central gears that are fixed to one another do to matching, in words.

use crate::gearset::{GearId, Gearset};
use crate::report::render::document::Fact;
use crate::report::words::{gear, list, quoted};
use crate::timing::{FixedGears, FixedRelation, FixedTurn, Matching, Seated};

/// A line for each body of central gears with more than one mesh.
pub(super) fn fixed<'a>(set: &'a Gearset, matching: &'a Matching) -> impl Iterator<Item = Fact> + 'a {
    matching.fixed.iter().map(|fixed| Fact::new("fixed gears", told(set, fixed)))
}

fn told(set: &Gearset, fixed: &FixedGears) -> String {
    let relation = relation(set, fixed);
    if fixed.lock {
        format!(
            "{relation}. At different ratios such gears are HELD FAST to the carrier by every cluster: the set turns as \
             one piece only; look at the counts and joins again"
        )
    } else {
        relation
    }
}

fn relation(set: &Gearset, FixedGears { gears, relation, .. }: &FixedGears) -> String {
    let all = names(set, gears);
    let which =
        if gears.len() > 1 { format!("{all} are fixed to one another") } else { format!("{all} meets two gears") };
    match relation {
        FixedRelation::Counts if gears.len() > 1 => {
            format!("{which} and stand as described, so that what all clusters have in common is felt as well")
        }
        FixedRelation::Counts => {
            format!("{which} of each cluster, so that what all clusters have in common is felt as well")
        }
        FixedRelation::TurnedOut if gears.len() > 1 => {
            format!("{which}, but their ratios differ: turned together they take in how they stand")
        }
        FixedRelation::TurnedOut => {
            format!("{which} of each cluster at different ratios: turned, it takes in how they stand")
        }
        FixedRelation::Unknown { unread } => {
            let cure = match unread.as_slice() {
                [] => "try the set on the bench".to_owned(),
                unread => format!(
                    "measure {} against {} and add central: [{}]",
                    names(set, unread),
                    gear(set, gears[0]),
                    unread.iter().map(|&gear| reading(set, gear)).collect::<Vec<_>>().join(", ")
                ),
            };
            format!(
                "{which}, and how they stand is NOT KNOWN: the clusters are matched with one another, not with these \
                 gears; an index that all clusters have in common cancels only if these can be turned against each other; {cure}"
            )
        }
    }
}

fn reading(set: &Gearset, gear: GearId) -> String {
    format!("Teeth({}, 0.02)", quoted(set.gear(gear).name()))
}

fn names(set: &Gearset, gears: &[GearId]) -> String {
    list(&gears.iter().map(|&id| gear(set, id)).collect::<Vec<_>>())
}

/// Whether the index of fixed central gears counts.
pub(super) fn counts(matching: &Matching) -> bool {
    matching.fixed.iter().any(|fixed| fixed.relation == FixedRelation::Counts)
}

/// Whether it is not known how fixed central gears stand.
pub(super) fn is_unknown(matching: &Matching) -> bool {
    matching.fixed.iter().any(|fixed| matches!(fixed.relation, FixedRelation::Unknown { .. }))
}

/// How fixed central gears stand beside the cluster on the first pin, where it matters which of their teeth.
pub(super) fn stand(set: &Gearset, seated: &Seated) -> Option<String> {
    let one = |FixedTurn { gear: id, turn }: &FixedTurn| {
        let teeth = turn * f64::from(set.gear(*id).tooth_count().get());
        let side = |turn: f64| if turn > 0.0 { "ccw" } else { "clockwise" };
        let where_to = if teeth.abs() < 5e-3 {
            "on that line".to_owned()
        } else {
            format!(
                "{:.2} teeth {} of it seen from the input side, {} from the output side",
                teeth.abs(),
                side(*turn),
                side(-turn)
            )
        };
        format!("the mark of {} stands {where_to}", gear(set, *id))
    };
    let turns: Vec<String> = seated.fixed_turns.iter().map(one).collect();
    (!turns.is_empty())
        .then(|| format!("With the mark on pin 1 brought to the line from pin 1 to the centre, {}.", list(&turns)))
}

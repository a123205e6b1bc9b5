//! The answer on matching in plain words: in which order and how the clusters go in, whether the set turns freely then,
//! what is wrong with it and what would help, who carries first.
//!
//! With the statements two tables at most for each kind of planet: how the mark of each cluster is set, and which pin
//! carries first by how much.

use super::sizes::{arc, part_of_tooth, side};
use super::{contacts, cures, fixed, needed, share, thing};
use crate::exact::part_of_turn;
use crate::gearset::{Gearset, Side};
use crate::report::render::document::{Block, Table};
use crate::report::words::{degrees, gear, list, member, mesh, quoted, short_list, told_together};
use crate::timing::{
    ClusterDifference, ClusterOrder, FixedIndex, GroupMatching, MarkingConvention, Matching, PinRadii, PlayVerdict,
    Seated, SeatedPin, Weighing,
};

/// What is told of all measured clusters, and what to mind in any case.
pub(super) fn statements(set: &Gearset, answer: &Matching) -> Vec<String> {
    let mut said = match &answer.groups[..] {
        [only] => of_group(set, only),
        several => told_together(several.iter().map(|group| (member(set, group.planet), of_group(set, group)))),
    };
    said.push(if answer.binds() {
        "Do not make room by pressing, and do not run in a set that binds.".into()
    } else {
        "Never force a planet that nearly drops in; turn the set by hand before closing.".into()
    });
    said
}

fn of_group(set: &Gearset, group: &GroupMatching) -> Vec<String> {
    let mut said = verdict(set, group);
    said.extend(group.cure.map(|cure| cures::cure(set, group, cure)));
    said.extend(odd_ones(set, group));
    if let Some(seated) = group.advised_seating().filter(|_| !group.binds) {
        said.extend(how_to_set(set, group, seated));
        said.extend(fixed::stand(set, seated));
        said.extend(contacts::share_of_load(set, seated));
    }
    said.extend(closer(group));
    said.extend(cautions(set, group));
    said
}

/// The order to put the clusters in, and whether the set turns freely then.
fn verdict(set: &Gearset, group: &GroupMatching) -> Vec<String> {
    match (group.advised, group.advised_seating()) {
        (Some(ClusterOrder::AsFound), Some(seated)) => vec![of_seated(set, group, seated, "as found")],
        (Some(ClusterOrder::Exchanged), Some(seated)) if group.binds => {
            vec![of_seated(set, group, seated, &format!("even with {}", order(seated)))]
        }
        (Some(ClusterOrder::Exchanged), Some(seated)) => {
            vec![
                format!("Put {}.", order(seated)),
                format!("{} {}", of_seated(set, group, seated, "so placed"), instead(group)),
            ]
        }
        _ if group.all_looked_at => vec![format!(
            "Does NOT match: however the {}s are placed and turned, some mesh is a quarter of a tooth off or more.",
            thing(set, group)
        )],
        _ => {
            vec![
                "Does NOT match as far as was looked: in every seating tried some mesh is a quarter of a tooth off or \
                  more."
                    .into(),
            ]
        }
    }
}

/// Whether the set turns freely in one order.
fn of_seated(set: &Gearset, group: &GroupMatching, seated: &Seated, placed: &str) -> String {
    let share = share(seated);
    match (group.weighing, seated.verdict) {
        (Weighing::Backlash, Some(PlayVerdict::Within)) => {
            format!("Matches: {placed} the set turns freely, taking {share} of the backlash.")
        }
        (Weighing::Backlash, Some(PlayVerdict::Beyond)) => {
            let tight: Vec<String> = seated.tight_meshes.iter().map(|&id| mesh(set, id)).collect();
            format!(
                "Does NOT match: {placed} the set binds, taking {share} of the backlash; expect tight spots at {}.",
                list(&tight)
            )
        }
        (Weighing::Backlash, _) if group.has_fixed_gears(FixedIndex::Unknown) => format!(
            "Whether it turns freely {placed} CANNOT be told: beside one another the {}s take {share} of the backlash, \
             but how the fixed gears stand is not known.",
            thing(set, group)
        ),
        (Weighing::Backlash, _) => format!(
            "Whether it turns freely {placed} CANNOT be told: it takes {share} of the backlash, depending on how far the \
             readings are off. Measure more closely."
        ),
        (Weighing::Millimetres, _) => format!(
            "Matches {placed} if every mesh has a backlash of {} or more: measure it, and add it to the description \
             (backlash: Millimetres(0.15)) to have it checked.",
            needed(&seated.needs)
        ),
        (Weighing::Teeth, _) => format!(
            "Matches {placed} if every mesh has a backlash of {} or more: add pitch and backlash to the description \
             (pitch: Module(2), backlash: Millimetres(0.15)) to have it checked.",
            needed(&seated.needs)
        ),
    }
}

/// What becomes of the clusters where they were found.
fn instead(group: &GroupMatching) -> String {
    let Some(as_found) = &group.as_found else { return "As found no seating serves.".into() };
    match as_found.verdict {
        Some(PlayVerdict::Beyond) => format!("As found it would take {} and bind.", share(as_found)),
        Some(_) => format!("As found it would take {}.", share(as_found)),
        None => format!("As found it would need {}.", needed(&as_found.needs)),
    }
}

/// An order that does better than clusters that turn freely where they were found.
fn closer(group: &GroupMatching) -> Option<String> {
    let exchanged = group.exchanged.as_ref().filter(|_| group.advised == Some(ClusterOrder::AsFound))?;
    let as_found = group.as_found.as_ref()?;
    let takes = share(exchanged);
    (takes != share(as_found)).then(|| format!("Closer still would be {}: {takes} of the backlash.", order(exchanged)))
}

/// Which cluster goes on which pin.
fn order(seated: &Seated) -> String {
    let pins: Vec<String> =
        seated.pins.iter().map(|pin| format!("{} on pin {}", quoted(&pin.cluster), pin.pin)).collect();
    list(&pins)
}

/// Which clusters are not like the others, and which way the tooth of each stands off.
fn odd_ones(set: &Gearset, group: &GroupMatching) -> Option<String> {
    let named = |told_apart: bool| -> Vec<String> {
        let these = group.differences.iter().filter(|it| it.told_apart == told_apart);
        these.map(|it| quoted(&it.cluster)).collect()
    };
    let odd: Vec<&ClusterDifference> = group.differences.iter().filter(|it| it.told_apart).collect();
    if odd.is_empty() {
        return None;
    }
    let alike = named(false);
    let against = match &alike[..] {
        [only] => format!("Against {only},"),
        several => format!("{} are alike;", short_list(several)),
    };
    let off: Vec<String> = odd.iter().take(MOST_ODD_ONES).map(|it| off_by(set, it)).collect();
    let more = odd.len().saturating_sub(MOST_ODD_ONES);
    let more = if more > 0 { format!("; {more} more with --full") } else { String::new() };
    Some(format!("{against} seen from the input side {}{more}.", off.join("; ")))
}

/// So many clusters that are not like the others are told of on a screen.
const MOST_ODD_ONES: usize = 4;

/// How far the gears of a cluster stand from where the others have them: `"two" is off by 0.157 mm (6.2 thou) ccw at s
/// 36`.
fn off_by(set: &Gearset, difference: &ClusterDifference) -> String {
    /// Less than that is shown as nothing.
    const NOTHING: f64 = 5e-5;
    let gears = difference.teeth.iter().filter(|(_, teeth)| teeth.abs() >= NOTHING).map(|(id, &teeth)| {
        let size = difference.mm.get(id).map_or_else(|| part_of_tooth(teeth), |mm| arc(mm.abs()));
        format!("{size} {} at {}", side(teeth), gear(set, *id))
    });
    format!("{} is off by {}", quoted(&difference.cluster), list(&gears.collect::<Vec<_>>()))
}

/// How the mark of each cluster is set.
fn how_to_set(set: &Gearset, group: &GroupMatching, seated: &Seated) -> Option<String> {
    let (gear, thing) = (gear(set, group.reference), thing(set, group));
    let how = match seated.convention {
        MarkingConvention::Refused | MarkingConvention::OnePin => return None,
        MarkingConvention::AnyTooth => return Some("Whichever tooth drops in freely is right.".into()),
        MarkingConvention::Radial => format!("Set the marks of {gear} of all {thing}s straight to the centre."),
        MarkingConvention::Parallel => {
            format!("Set the marks of {gear} of all {thing}s the same way, say all to twelve o'clock.")
        }
        MarkingConvention::Individual => {
            let by_degrees = if seated.pins.iter().any(|pin| pin.counted_teeth.is_none()) {
                ", or by degrees where that line falls between two teeth"
            } else {
                ""
            };
            format!(
                "Set the mark of {gear} as listed: on pin 1 to the centre, elsewhere so many teeth from the tooth nearest to \
                 the line to the centre round to the mark{by_degrees}."
            )
        }
    };
    let other = group.listed.as_ref().filter(|_| group.reseated && group.advised == Some(ClusterOrder::AsFound));
    let not_so = other.map(|listed| {
        format!(
            " Not as toothmark timing tells for equal {thing}s: so they would need {} of backlash.",
            needed(&listed.needs)
        )
    });
    Some(how + &not_so.unwrap_or_default())
}

/// What to beware of in the readings and the search.
fn cautions(set: &Gearset, group: &GroupMatching) -> Vec<String> {
    let fixed = fixed::cautions(set, group);
    let radii = match group.pin_radii {
        PinRadii::NoPitch => {
            Some("Beware: the radii of the pins are left out, for without a pitch their circle is not known.")
        }
        PinRadii::Unlike => Some(
            "Beware: the radii of the pins are left out: some are more than 1 mm off the pin circle. Look at their unit, \
             their order and the pitch.",
        ),
        PinRadii::Compared | PinRadii::NotMeasured => None,
    };
    let incomplete = (!group.all_looked_at)
        .then_some("There are too many orders and seatings to look at all: a better one may exist.");
    fixed.into_iter().chain(radii.into_iter().chain(incomplete).map(String::from)).collect()
}

/// How each cluster is set, and who carries first.
pub(super) fn tables(set: &Gearset, group: &GroupMatching) -> Vec<Block> {
    let Some(seated) = group.advised_seating() else { return Vec::new() };
    let marks = if group.binds { None } else { marks(set, group, seated) };
    let contacts = contacts::contacts(set, seated).map(|table| table.beginning(contacts::MOST));
    marks.into_iter().chain(contacts).map(Block::Table).collect()
}

/// A row a pin; nothing where all marks are set alike.
fn marks(set: &Gearset, group: &GroupMatching, seated: &Seated) -> Option<Table> {
    /// The most pins that are listed on a screen.
    const MOST_PINS: usize = 12;
    if seated.convention != MarkingConvention::Individual {
        return None;
    }
    let row = |pin: &SeatedPin| {
        let view = |view: Side, sign: f64| [degrees(&part_of_turn(&view.seen(&pin.place))), mark(pin, sign)];
        let start = vec![pin.pin.to_string(), quoted(&pin.cluster)];
        [start, view(Side::Input, 1.0).to_vec(), view(Side::Output, -1.0).to_vec()].concat()
    };
    let caption = format!(
        "Seen from input and output side: pins at degrees ccw, marks at teeth of {}",
        gear(set, group.reference)
    );
    let headings = ["pin", thing(set, group), "at, input", "mark, input", "at, output", "mark, output"];
    Some(Table::new(caption, &headings, seated.pins.iter().map(row).collect()).beginning(MOST_PINS))
}

/// Where a mark stands for who looks with this sign: so many whole teeth from the line, or an angle.
fn mark(pin: &SeatedPin, sign: f64) -> String {
    match pin.counted_teeth {
        Some(0) => "centre".into(),
        Some(teeth) => format!("{} {}", teeth.abs(), side(pin.turn_teeth * sign)),
        None => {
            let size = format!("{:.1} degrees", pin.turn_degrees.abs());
            // Half a turn is the same either way round.
            if size == "180.0 degrees" { size } else { format!("{size} {}", side(pin.turn_degrees * sign)) }
        }
    }
}

//! Bearings: bodies that can run on one another, of sizes that can be.
//!
//! A planet runs on the pins of its own carrier and on nothing else; any other two members may
//! bear on one another, and the same two more than once, as two bushes do.

use super::names::Names;
use crate::exact::{Fraction, fraction};
use crate::gearset::bearing::{Bearing, DraftBearing};
use crate::gearset::model::MemberId;
use crate::gearset::{BearingSize, Binding, Draft, Length, Pair, Part, Place, Problems, SizeRule, UsageRule, Which};
use num_traits::Signed;

/// A size of more than so many millimetres is a slip of the unit.
const LARGEST_SIZE: i64 = 10_000;

pub(super) fn check(
    draft: &Draft,
    names: &Names<'_>,
    places: &[Option<Place>],
    problems: &mut Problems,
) -> Vec<Option<Bearing>> {
    let bearing = |(bearing, text): (usize, &DraftBearing)| {
        check_size(bearing, text, BearingSize::Diameter, problems);
        check_size(bearing, text, BearingSize::Width, problems);
        let members = members(bearing, &text.members, names, places, problems)?;
        Some(Bearing { members, diameter: text.diameter.clone(), width: text.width.clone() })
    };
    draft.bearings.iter().enumerate().map(bearing).collect()
}

fn members(
    bearing: usize,
    pair: &Pair<String>,
    names: &Names<'_>,
    places: &[Option<Place>],
    problems: &mut Problems,
) -> Option<Pair<MemberId>> {
    let part = |which| Part::BearingMember { bearing, which };
    let first = names.member(&pair.first, part(Which::First), problems);
    let second = names.member(&pair.second, part(Which::Second), problems);
    let (first, second) = (first?, second?);
    if first == second {
        let (name, binding) = (pair.second.clone(), Binding::Bearing);
        problems.add(part(Which::Second), UsageRule::BoundToItself { name, binding });
        return None;
    }
    let carrier = |member: MemberId| match places[member.index()] {
        Some(Place::Pin { carrier, .. }) => Some(carrier),
        Some(Place::Case | Place::MainAxis) | None => None,
    };
    for (planet, other, which) in [(first, second, Which::First), (second, first, Which::Second)] {
        if carrier(planet).is_some_and(|carrier| carrier != other) {
            let planet = pair.both()[usize::from(which == Which::Second)].clone();
            problems.add(part(which), UsageRule::PlanetBearsElsewhere { planet });
            return None;
        }
    }
    Some(Pair { first, second })
}

fn check_size(bearing: usize, text: &DraftBearing, size: BearingSize, problems: &mut Problems) {
    let given = match size {
        BearingSize::Diameter => &text.diameter,
        BearingSize::Width => &text.width,
    };
    let Some(length) = given else { return };
    let Pair { first, second } = text.members.clone();
    let part = Part::BearingSize { bearing, size };
    let millimetres = match length {
        Length::Millimetres(value) => value.clone(),
        Length::Inches(value) => value * fraction(127, 5),
    };
    if !length.value().is_positive() {
        problems.add(part, SizeRule::BearingSizeNotPositive { first, second, size });
    } else if millimetres > Fraction::from_integer(LARGEST_SIZE.into()) {
        problems.add(part, SizeRule::AbsurdBearingSize { first, second, size, value: length.value().clone() });
    }
}

//! Bearings: bodies that can run on one another, at a diameter that can be.
//!
//! A planet runs on the pins of its own carrier and on nothing else; any other two members may
//! bear on one another, and the same two more than once, as two bushes do.

use super::names::Names;
use crate::exact::{Fraction, fraction};
use crate::gearset::bearing::{Bearing, DraftBearing};
use crate::gearset::model::MemberId;
use crate::gearset::{Binding, Draft, Length, Pair, Part, Place, Problems, SizeRule, UsageRule, Which};
use num_traits::Signed;

/// A diameter of more than so many millimetres is a slip of the unit.
const LARGEST_DIAMETER: i64 = 10_000;

pub(super) fn check(
    draft: &Draft,
    names: &Names<'_>,
    places: &[Option<Place>],
    problems: &mut Problems,
) -> Vec<Option<Bearing>> {
    let bearing = |(bearing, text): (usize, &DraftBearing)| {
        check_diameter(bearing, text, problems);
        let members = members(bearing, &text.members, names, places, problems)?;
        Some(Bearing { members, diameter: text.diameter.clone() })
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

fn check_diameter(bearing: usize, text: &DraftBearing, problems: &mut Problems) {
    let Some(diameter) = &text.diameter else { return };
    let Pair { first, second } = text.members.clone();
    let part = Part::BearingDiameter { bearing };
    let millimetres = match diameter {
        Length::Millimetres(value) => value.clone(),
        Length::Inches(value) => value * fraction(127, 5),
    };
    if !diameter.value().is_positive() {
        problems.add(part, SizeRule::DiameterNotPositive { first, second });
    } else if millimetres > Fraction::from_integer(LARGEST_DIAMETER.into()) {
        problems.add(part, SizeRule::AbsurdDiameter { first, second, size: diameter.value().clone() });
    }
}

//! Bearings: bodies that can run on one another, of sizes that can be.
//!
//! A planet runs on the pins of its own carrier and on nothing else; any other two members may
//! bear on one another, and the same two more than once, as two bushes do.

use super::names::Names;
use crate::exact::fraction;
use crate::gearset::MemberId;
use crate::gearset::bearing::{Bearing, DraftBearing};
use crate::gearset::{BearingSize, Binding, Draft, Length, Pair, Place, Problems, SizeRule, Spanned, UsageRule};
use num_traits::Signed;

/// A size of more than so many millimetres is a slip of the unit.
const LARGEST_SIZE: i64 = 10_000;

pub(super) fn check(
    draft: &Draft,
    names: &Names<'_>,
    places: &[Option<Place>],
    problems: &mut Problems,
) -> Vec<Option<Bearing>> {
    let bearing = |DraftBearing { members: pair, sizes }: &DraftBearing| {
        check_size(pair, sizes.diameter.as_ref(), BearingSize::Diameter, problems);
        check_size(pair, sizes.width.as_ref(), BearingSize::Width, problems);
        let members = members(pair, names, places, problems)?;
        let length = |size: &Option<Spanned<Length>>| size.as_deref().cloned();
        Some(Bearing { members, diameter: length(&sizes.diameter), width: length(&sizes.width) })
    };
    draft.bearings.iter().map(bearing).collect()
}

fn members(
    pair: &Pair<Spanned<String>>,
    names: &Names<'_>,
    places: &[Option<Place>],
    problems: &mut Problems,
) -> Option<Pair<MemberId>> {
    let first = names.member(&pair.first, problems);
    let second = names.member(&pair.second, problems);
    let (first, second) = (first?, second?);
    if first == second {
        let (name, binding) = (pair.second.to_string(), Binding::Bearing);
        problems.add(pair.second.mark(), UsageRule::BoundToItself { name, binding });
        return None;
    }
    let carrier = |member: MemberId| match places[member.index()] {
        Some(Place::Pin { carrier, .. }) => Some(carrier),
        Some(Place::Case | Place::MainAxis) | None => None,
    };
    for (planet, other, name) in [(first, second, &pair.first), (second, first, &pair.second)] {
        if carrier(planet).is_some_and(|carrier| carrier != other) {
            problems.add(name.mark(), UsageRule::PlanetBearsElsewhere { planet: name.to_string() });
            return None;
        }
    }
    Some(Pair { first, second })
}

fn check_size(
    members: &Pair<Spanned<String>>,
    length: Option<&Spanned<Length>>,
    size: BearingSize,
    problems: &mut Problems,
) {
    let Some(length) = length else { return };
    let [first, second] = members.both().map(ToString::to_string);
    if !length.value().is_positive() {
        problems.add(length.mark(), SizeRule::BearingSizeNotPositive { first, second, size });
    } else if length.exact_millimetres() > fraction(LARGEST_SIZE, 1) {
        problems.add(length.mark(), SizeRule::AbsurdBearingSize { first, second, size, value: length.value().clone() });
    }
}

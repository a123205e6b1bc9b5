//! Bearings: bodies that can run on one another, of sizes that can be.
//!
//! A planet runs on the pins of its own carrier and on nothing else; any other two members may
//! bear on one another, and the same two more than once, as two bushes do.

use super::names::Names;
use crate::exact::fraction;
use crate::gearset::MemberId;
use crate::gearset::bearing::{Bearing, DraftBearing};
use crate::gearset::{
    AllowedClearance, BearingSize, BearingSizes, Binding, BushSizes, Draft, Length, Pair, Place, Problems, SizeRule,
    Spanned, UsageRule,
};
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
        check_sizes(pair, sizes, problems);
        let members = members(pair, names, places, problems)?;
        Some(Bearing { members, sizes: sizes.clone() })
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

fn check_sizes(pair: &Pair<Spanned<String>>, sizes: &BearingSizes, problems: &mut Problems) {
    let BearingSizes { diameter, width, bore, shaft, allowed, bush } = sizes;
    let own = [
        (diameter, BearingSize::Diameter),
        (width, BearingSize::Width),
        (bore, BearingSize::Bore),
        (shaft, BearingSize::Shaft),
    ];
    for (length, size) in own {
        check_size(pair, length.as_ref(), size, problems);
    }
    if let Some(allowed) = allowed {
        check_allowed(pair, allowed, problems);
    }
    let Some(BushSizes { outside, interference, housing, .. }) = bush else { return };
    let of_bush =
        [(outside, BearingSize::Outside), (interference, BearingSize::Interference), (housing, BearingSize::Housing)];
    for (length, size) in of_bush {
        check_size(pair, Some(length), size, problems);
    }
    let [first, second] = pair.both().map(ToString::to_string);
    let bore = bore.as_ref().map(|bore| bore.exact_millimetres());
    let outside_mm = outside.exact_millimetres();
    if bore.is_some_and(|bore| bore >= outside_mm) {
        problems.add(outside.mark(), SizeRule::BushWithoutWall { first, second });
    } else if outside_mm >= housing.exact_millimetres() {
        problems.add(housing.mark(), SizeRule::BushWithoutHousing { first, second });
    }
}

/// A clearance is one from the least on, and up to a millimetre.
fn check_allowed(pair: &Pair<Spanned<String>>, allowed: &AllowedClearance, problems: &mut Problems) {
    let [first, second] = pair.both().map(ToString::to_string);
    let [least, most] = [&allowed.least, &allowed.most].map(|length| length.exact_millimetres());
    if least.is_negative() || least > most || most > fraction(1, 1) {
        problems.add(allowed.most.mark(), SizeRule::NoAllowedClearance { first, second });
    }
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

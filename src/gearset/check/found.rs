//! Marks as they were found: of a planet that there is, on its pins, along its gears.
//!
//! Every reading is looked at, so that one that is wrong hides no other; whether readings
//! agree with one another is asked once each of them is sound.

use crate::exact::{Fraction, fraction, part_of_turn};
use crate::gearset::found::{DraftFound, DraftMark, FoundMarks, MarkReading, usual_within};
use crate::gearset::{Draft, FoundRule, Gear, Place, Problems, Spanned};
use crate::gearset::{GearId, MemberId, Mesh};

use super::names::Names;
use num_bigint::BigInt;
use num_traits::{Signed, ToPrimitive};

/// What the marks are checked against.
pub(super) struct MarkContext<'a> {
    pub(super) names: &'a Names<'a>,
    pub(super) places: &'a [Option<Place>],
    pub(super) gears: &'a [Option<Gear>],
    pub(super) meshes: &'a [Option<Mesh>],
}

/// A planet whose marks are read, with the places of its pins.
struct Marked<'a> {
    name: &'a Spanned<String>,
    marks: &'a [DraftMark],
    planet: MemberId,
    pins: &'a [Fraction],
}

impl Marked<'_> {
    /// Where the size of a reading stands.
    fn reading<'m>(&'m self, mark: &'m DraftMark) -> &'m crate::syntax::LeafOrigin {
        match mark {
            DraftMark::Teeth(_, size) | DraftMark::Degrees(size) => size.mark(),
            DraftMark::Along(_, size) => size.mark(),
            DraftMark::Unread => self.name.mark(),
        }
    }
}

/// The marks, `Ok(None)` where the draft has none.
pub(super) fn check(known: &MarkContext<'_>, draft: &Draft, problems: &mut Problems) -> Result<Option<FoundMarks>, ()> {
    let Some(found) = &draft.found else { return Ok(None) };
    let before = problems.len();
    check_within(found, problems);
    let mut read: Vec<Option<(MemberId, Vec<MarkReading>)>> = Vec::new();
    for (name, marks) in found.planets() {
        let checked = known.planet(name, marks, problems);
        if let Some((planet, _)) = &checked
            && read.iter().flatten().any(|(other, _)| other == planet)
        {
            problems.add(name.mark(), FoundRule::ReadTwice { planet: name.to_string() });
        }
        read.push(checked);
    }
    let read: Option<Vec<_>> = read.into_iter().collect();
    let mut read = read.filter(|_| problems.len() == before).ok_or(())?.into_iter();
    let (planet, marks) = read.next().ok_or(())?;
    let within = found.within.as_deref().cloned().unwrap_or_else(usual_within);
    Ok(Some(FoundMarks { seen: found.seen, planet, marks, beside: read.collect(), within }))
}

fn check_within(found: &DraftFound, problems: &mut Problems) {
    if let Some(within) = &found.within
        && !(within.is_positive() && **within <= fraction(10, 1))
    {
        problems.add(within.mark(), FoundRule::AbsurdWithin { within: within.to_string() });
    }
}

fn check_count(marked: &Marked<'_>, problems: &mut Problems) {
    let (marks, pins, planet) = (marked.marks.len(), marked.pins.len(), marked.name.to_string());
    let is_read = |mark: &DraftMark| !matches!(mark, DraftMark::Unread);
    for (pin, mark) in marked.marks.iter().enumerate().skip(pins).filter(|(_, mark)| is_read(mark)) {
        let planet = planet.clone();
        problems.add(marked.reading(mark), FoundRule::NoSuchPin { planet, pin: pin + 1, pins });
    }
    // Of two stretches along a central gear the one gives the other.
    let is_along = |mark: &DraftMark| matches!(mark, DraftMark::Along(..));
    let least = if pins == 2 && marked.marks.iter().any(is_along) { 1 } else { 2 };
    let read = marked.marks.iter().filter(|mark| is_read(mark)).count();
    if marks < pins {
        problems.add(marked.name.mark(), FoundRule::MarksMissing { planet, marks, pins });
    } else if read < least {
        problems.add(marked.name.mark(), FoundRule::NothingToCompare { planet });
    }
}

impl MarkContext<'_> {
    /// The marks of one planet, `None` where they, or the planet, are wrong.
    fn planet(
        &self,
        name: &Spanned<String>,
        marks: &[DraftMark],
        problems: &mut Problems,
    ) -> Option<(MemberId, Vec<MarkReading>)> {
        let before = problems.len();
        let planet = self.names.planet(name, problems)?;
        let Some(Place::Pin { pins, .. }) = &self.places[planet.index()] else {
            if self.places[planet.index()].is_some() {
                problems.add(name.mark(), FoundRule::NotAPlanet { name: name.to_string() });
            }
            return None;
        };
        let marked = Marked { name, marks, planet, pins };
        check_count(&marked, problems);
        // Of a pin that is not there the reading does not matter.
        let read = marks.iter().take(pins.len()).enumerate();
        let read: Vec<Option<MarkReading>> = read.map(|(pin, mark)| self.mark(&marked, pin, mark, problems)).collect();
        let read = read.into_iter().collect::<Option<Vec<MarkReading>>>().filter(|_| problems.len() == before)?;
        check_agreement(self, &marked, &read, problems);
        Some((planet, read))
    }

    fn mark(&self, marked: &Marked<'_>, pin: usize, mark: &DraftMark, problems: &mut Problems) -> Option<MarkReading> {
        let planet = || marked.name.to_string();
        let (reading, turn) = match mark {
            DraftMark::Unread => return Some(MarkReading::Unread),
            DraftMark::Degrees(degrees) => {
                let degrees = degrees.get()?;
                (MarkReading::Degrees(degrees.clone()), degrees / fraction(360, 1))
            }
            DraftMark::Teeth(name, teeth) => {
                let gear = self.names.gear(name, problems)?;
                if !self.in_mesh(gear, marked.planet, |member| member == marked.planet) {
                    let rule = FoundRule::GearOfAnother { planet: planet(), pin: pin + 1, gear: name.to_string() };
                    problems.add(name.mark(), rule);
                    return None;
                }
                let teeth = teeth.get()?;
                (MarkReading::Teeth(gear, teeth.clone()), teeth / self.teeth(gear)?)
            }
            DraftMark::Along(name, teeth) => {
                let gear = self.names.gear(name, problems)?;
                let on_main_axis = |member: MemberId| matches!(self.places[member.index()], Some(Place::MainAxis));
                if !self.in_mesh(gear, marked.planet, on_main_axis) {
                    let rule = FoundRule::NotAlong { planet: planet(), pin: pin + 1, gear: name.to_string() };
                    problems.add(name.mark(), rule);
                    return None;
                }
                let teeth = teeth.get()?;
                // Backward along a gear is as wrong as too far.
                let turn = if *teeth < 0 { fraction(2, 1) } else { fraction(*teeth, 1) / self.teeth(gear)? };
                (MarkReading::Along(gear, *teeth), turn)
            }
        };
        if turn.abs() > fraction(1, 1) {
            problems.add(marked.reading(mark), FoundRule::MoreThanATurn { pin: pin + 1 });
            return None;
        }
        Some(reading)
    }

    fn teeth(&self, gear: GearId) -> Option<BigInt> {
        self.gears[gear.index()].as_ref().map(|gear| gear.tooth_count().get().into())
    }

    /// Whether a gear of such a member is in a mesh of the planet.
    fn in_mesh(&self, gear: GearId, planet: MemberId, of: impl Fn(MemberId) -> bool) -> bool {
        let member = |gear: GearId| self.gears[gear.index()].as_ref().map(Gear::member);
        member(gear).is_some_and(of)
            && self.meshes.iter().flatten().any(|mesh| {
                let both = mesh.gears();
                both.contains(&gear) && both.both().iter().any(|&&other| member(other) == Some(planet))
            })
    }
}

/// Readings along a central gear are all along the same, and close the round.
fn check_agreement(known: &MarkContext<'_>, marked: &Marked<'_>, marks: &[MarkReading], problems: &mut Problems) {
    let read = || marks.iter().enumerate().filter(|(_, mark)| !matches!(mark, MarkReading::Unread));
    let along = |mark: &MarkReading| if let MarkReading::Along(gear, _) = mark { Some(*gear) } else { None };
    let first = read().map(|(_, mark)| along(mark)).next().flatten();
    if let Some((pin, _)) = read().find(|(_, mark)| along(mark) != first) {
        problems.add(marked.reading(&marked.marks[pin]), FoundRule::MixedReadings { pin: pin + 1 });
        return;
    }
    let Some(gear) = first else { return };
    let name = || {
        let of = |mark: &DraftMark| if let DraftMark::Along(name, _) = mark { Some(name.to_string()) } else { None };
        marked.marks.iter().find_map(of).unwrap_or_default()
    };
    let sum: i64 = marks.iter().map(|mark| if let MarkReading::Along(_, teeth) = mark { *teeth } else { 0 }).sum();
    let next = |pin: usize| &marked.pins[(pin + 1) % marked.pins.len()];
    let rounds: Fraction = marked.pins.iter().enumerate().map(|(pin, place)| part_of_turn(&(next(pin) - place))).sum();
    let teeth = known.teeth(gear).and_then(|teeth| (rounds * teeth).to_integer().to_i64()).unwrap_or(sum);
    let pins = i64::try_from(marks.len()).unwrap_or(sum);
    match marks.len() - read().count() {
        0 if sum != teeth => {
            problems.add(marked.name.mark(), FoundRule::RoundDoesNotClose { gear: name(), sum, teeth, pins });
        }
        0 | 1 => {}
        _ => problems.add(marked.name.mark(), FoundRule::StretchesMissing { gear: name() }),
    }
}

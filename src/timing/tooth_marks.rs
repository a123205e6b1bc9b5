//! Which tooth of each planet stands nearest the line of centres, and which space it fills?
//!
//! With P and Z the counts of the gears in mesh, s = +1 where a turn of one drives the other
//! backward and -1 where forward, x the place of a pin from the first and t the turn of its
//! planet from its own radius, the tooth nearest the line is number `-m` from the one that
//! stands there on pin 1, `m` the integer nearest to `P t`. It is off the line by
//! `r = P t - m` of a pitch. The space that it fills is number `Z x - s r`, an integer
//! since the planet meshes: as far off the line as the tooth, to the same side. Worked out here.

use num_traits::{Signed, ToPrimitive};
use serde::Serialize;

use super::convention::{alike_teeth, any_tooth_will_do};
use super::pin_timing::PinTiming;
use crate::exact::{Fraction, fraction, multiple, nearest_integer};
use crate::gearset::{GearId, GearKind, Gearset, MemberId, MeshId, PlanetTerm, TimingRow};

/// The marks on one gear of a planet and on the central gear that it meets.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct GearMarks {
    /// The planet.
    pub planet: MemberId,
    /// The gear of the planet.
    pub gear: GearId,
    /// The central gear; none for a planet that meets none, whose marks only point.
    pub central_gear: Option<GearId>,
    /// Whether this gear is the one to mark; the others of the same planet are a check.
    #[serde(rename = "use")]
    pub purpose: MarkPurpose,
    /// How many teeth of the gear cannot be told apart, evenly round it: any one of them is as good
    /// as the next, if one is taken on each planet.
    pub alike_teeth: i64,
    /// What is marked for each pin, in the order of the pins.
    pub pins: Vec<ToothMark>,
    /// The gears in mesh.
    pub mesh: MeshId,
    /// Where a marked tooth points that stands on the line of centres.
    pub direction: MarkDirection,
    /// The marked spaces of the central gear, each once, in order from that of pin 1.
    pub spaces: Vec<i64>,
    /// How many unmarked spaces lie between each of these and the next.
    pub unmarked_between: Vec<i64>,
}

/// What the marks on a gear are for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[serde(rename_all = "lowercase")]
pub enum MarkPurpose {
    /// They are enough to set the planet; of all its gears they are nearest to the line.
    Marks,
    /// They may be made as well, to see that the planet is set right.
    Check,
}

/// Where a marked tooth points that stands on the line of centres.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[serde(rename_all = "lowercase")]
pub enum MarkDirection {
    /// To the centre.
    Centre,
    /// Outward, to the ring.
    Outward,
    /// To a side gear: the teeth are those of a bevel planet.
    #[serde(rename = "side gear")]
    SideGear,
}

/// The tooth to mark for one pin, and the space that it fills.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct ToothMark {
    /// The pin, counted from 1.
    pub pin: usize,
    /// The tooth, counted from the same tooth as on the planet of pin 1, counter-clockwise seen
    /// from the input side; for a bevel planet seen from the outer end of its pin.
    pub tooth: i64,
    /// The space of the central gear, counted from that of pin 1 counter-clockwise seen from the
    /// input side, less than its tooth count.
    pub space: Option<i64>,
    /// How far tooth and space stand from the line of centres, in pitches, against those of pin
    /// 1; for the tooth counter-clockwise about its own pin, in [-1/2, 1/2].
    pub off_line: Fraction,
}

impl GearMarks {
    /// How far the mark that is worst is from the line of centres, in pitches.
    pub fn worst_off_line(&self) -> Fraction {
        self.pins.iter().map(|mark| mark.off_line.abs()).max().unwrap_or_else(|| fraction(0, 1))
    }
}

/// A group of planets that assembles, with how each of its planets is turned.
pub(super) struct GroupToMark<'a> {
    pub(super) set: &'a Gearset,
    pub(super) rows: &'a [TimingRow],
    pub(super) planets: &'a [MemberId],
    pub(super) pins: &'a [PinTiming],
    pub(super) spacings: &'a [Fraction],
}

impl GroupToMark<'_> {
    /// The marks of every gear in mesh with a central gear, of planets that have to be marked; of a
    /// planet that meets none, those of its first gear.
    pub(super) fn marks(&self) -> Vec<GearMarks> {
        let planets = (0..self.planets.len()).filter(|&planet| !any_tooth_will_do(self.rows, planet));
        planets.flat_map(|planet| self.marks_of_planet(planet)).collect()
    }

    /// The one to use is that nearest to the line, then one that meets a sun, whose marks point inward, then the first.
    fn marks_of_planet(&self, planet: usize) -> Vec<GearMarks> {
        let meshes = meshes_to_mark(self.rows, planet).into_iter();
        let mut marks: Vec<GearMarks> = meshes.map(|(row, term)| self.marks_of_gear(row, term)).collect();
        let rank = |marks: &&mut GearMarks| (marks.worst_off_line(), marks.direction == MarkDirection::Outward);
        if let Some(best) = marks.iter_mut().min_by_key(rank) {
            best.purpose = MarkPurpose::Marks;
        }
        marks
    }

    fn marks_of_gear(&self, row: &TimingRow, term: PlanetTerm) -> GearMarks {
        let pins = self.pins.iter().zip(self.spacings);
        let pins: Vec<ToothMark> = pins.filter_map(|(pin, place)| self.tooth_mark(row, term, pin, place)).collect();
        let spaces = marked_spaces(&pins);
        GearMarks {
            planet: self.set.gear(term.gear).member(),
            gear: term.gear,
            central_gear: row.central,
            purpose: MarkPurpose::Check,
            alike_teeth: alike_teeth(self.rows, term.planet),
            pins,
            mesh: row.mesh,
            direction: direction(row.central.map(|gear| self.set.gear(gear).kind())),
            unmarked_between: unmarked_between(&spaces, row.place_coefficient.abs()),
            spaces,
        }
    }

    fn tooth_mark(&self, row: &TimingRow, term: PlanetTerm, pin: &PinTiming, place: &Fraction) -> Option<ToothMark> {
        let turn = pin.turns.as_ref()?.get(&self.planets[term.planet])?;
        let (nearest, off_line) = nearest_tooth(&multiple(turn, term.tooth_count.abs()));
        let space = row.central.map(|_| space(row.place_coefficient, term.tooth_count, place, &off_line));
        Some(ToothMark { pin: pin.pin, tooth: -nearest, space, off_line })
    }
}

/// The whole teeth m nearest to a turn of P t teeth, and what is left over: r = P t - m.
pub(super) fn nearest_tooth(teeth: &Fraction) -> (i64, Fraction) {
    let nearest = nearest_integer(teeth);
    let off_line = teeth - &nearest;
    (nearest.to_i64().expect("less than a tooth count"), off_line)
}

/// The meshes of a planet with central gears; if there are none, its first mesh.
fn meshes_to_mark(rows: &[TimingRow], planet: usize) -> Vec<(&TimingRow, PlanetTerm)> {
    let own_term = |row: &TimingRow| row.terms.iter().find(|term| term.planet == planet).copied();
    let meshes: Vec<_> = rows.iter().filter_map(|row| Some((row, own_term(row)?))).collect();
    let with_central: Vec<_> = meshes.iter().copied().filter(|(row, _)| row.central.is_some()).collect();
    if with_central.is_empty() { meshes.into_iter().take(1).collect() } else { with_central }
}

fn direction(central_gear: Option<GearKind>) -> MarkDirection {
    match central_gear {
        Some(GearKind::Internal) => MarkDirection::Outward,
        Some(GearKind::BevelCentral(_) | GearKind::BevelPlanet) => MarkDirection::SideGear,
        Some(GearKind::External) | None => MarkDirection::Centre,
    }
}

/// The space that a tooth fills which is so far off the line on the pin at a place; counts signed.
pub(super) fn space(central: i64, planet: i64, place: &Fraction, off_line: &Fraction) -> i64 {
    // Z x - s r, where s is the sign of Z P.
    let number = multiple(place, central.abs()) - multiple(off_line, central.signum() * planet.signum());
    debug_assert!(number.is_integer(), "a planet that meshes fills a space");
    number.to_integer().to_i64().expect("about as many as teeth").rem_euclid(central.abs())
}

fn marked_spaces(pins: &[ToothMark]) -> Vec<i64> {
    let mut spaces: Vec<i64> = pins.iter().filter_map(|mark| mark.space).collect();
    spaces.sort_unstable();
    spaces.dedup();
    spaces
}

/// From the last marked space on to the first, which is number Z once round.
fn unmarked_between(spaces: &[i64], teeth: i64) -> Vec<i64> {
    let next = spaces.iter().skip(1).copied().chain([teeth]);
    spaces.iter().zip(next).map(|(space, next)| next - space - 1).collect()
}

//! Which tooth of each planet stands nearest the line of centres, and which space it fills?
//!
//! With P and Z the counts of the gears in mesh, s = +1 where a turn of one drives the other
//! backward and -1 where forward, x the place of a pin from the first and t the turn of its
//! planet from its own radius, the tooth nearest the line is number `-m` from the one that
//! stands there on pin 1, `m` the whole number nearest to `P t`. It is off the line by
//! `r = P t - m` of a pitch. The space that it fills is number `Z x - s r`, which is whole
//! since the planet meshes: as far off the line as the tooth, to the same side. Worked out here.

use num_traits::{Signed, ToPrimitive};

use super::{alike_teeth, any_tooth_will_do};
use crate::exact::{Fraction, fraction, multiple, nearest_integer};
use crate::gearset::{GearId, GearKind, Gearset, MemberId, MeshId, PlanetTerm, TimingRow};
use crate::timing::group::GroupTiming;

/// The marks on one gear of a planet and on the central gear that it meets.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct GearMarks {
    /// The mesh.
    pub mesh: MeshId,
    /// The planet.
    pub planet: MemberId,
    /// The gear of the planet.
    pub gear: GearId,
    /// The central gear; `None` for a planet that meets none, whose marks only point.
    pub central: Option<GearId>,
    /// What is marked for each pin, in the order of the pins.
    pub pins: Vec<ToothMark>,
    /// How many teeth of the gear cannot be told apart, evenly round it: any one of them is as good
    /// as the next, if one is taken on each planet.
    pub alike_teeth: i64,
    /// Whether this gear is the one to mark; the others of the same planet are a check.
    pub use_as: UseAs,
}

/// What the marks on a gear are for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum UseAs {
    /// They are enough to set the planet; of all its gears they are nearest to the line.
    Marks,
    /// They may be made as well, to see that the planet is set right.
    Check,
}

/// The tooth to mark for one pin, and the space that it fills.
#[derive(Debug, Clone, PartialEq, Eq)]
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

    /// The marked spaces of the central gear, each once, in order from that of pin 1.
    pub fn spaces(&self) -> Vec<i64> {
        let mut spaces: Vec<i64> = self.pins.iter().filter_map(|mark| mark.space).collect();
        spaces.sort_unstable();
        spaces.dedup();
        spaces
    }
}

/// The marks of every gear in mesh with a central gear, of planets that have to be marked; of a
/// planet that meets none, those of its first gear.
pub(super) fn gear_marks(
    set: &Gearset,
    rows: &[TimingRow],
    timing: &GroupTiming,
    spacings: &[Fraction],
) -> Vec<GearMarks> {
    let mut all = Vec::new();
    for planet in (0..timing.planets.len()).filter(|&planet| !any_tooth_will_do(rows, planet)) {
        let in_mesh = |row: &TimingRow| row.terms.iter().find(|term| term.planet == planet).copied();
        let with_central = rows.iter().filter(|row| row.central.is_some());
        let mut pairs: Vec<(&TimingRow, PlanetTerm)> =
            with_central.filter_map(|row| in_mesh(row).map(|term| (row, term))).collect();
        if pairs.is_empty() {
            pairs.extend(rows.iter().find_map(|row| in_mesh(row).map(|term| (row, term))));
        }
        let mut marks: Vec<GearMarks> = pairs
            .into_iter()
            .map(|(row, term)| GearMarks {
                alike_teeth: alike_teeth(rows, planet),
                ..marks_of(set, row, term, timing, spacings)
            })
            .collect();
        choose(set, &mut marks);
        all.extend(marks);
    }
    all
}

/// Of the gears of a planet, marks the one to use: nearest to the line, then one that meets a
/// sun, whose marks point inward, then the first.
fn choose(set: &Gearset, marks: &mut [GearMarks]) {
    let outward = |marks: &GearMarks| marks.central.is_some_and(|gear| set.gear(gear).kind() == GearKind::Internal);
    if let Some(best) = marks.iter_mut().min_by_key(|marks| (marks.worst_off_line(), outward(marks))) {
        best.use_as = UseAs::Marks;
    }
}

fn marks_of(
    set: &Gearset,
    row: &TimingRow,
    term: PlanetTerm,
    timing: &GroupTiming,
    spacings: &[Fraction],
) -> GearMarks {
    let pins = timing.pins.iter().zip(spacings).filter_map(|(pin, place)| {
        let turn = pin.turns.as_ref()?.get(&timing.planets[term.planet])?;
        let teeth = multiple(turn, term.tooth_count.abs());
        let nearest = nearest_integer(&teeth);
        let off_line = teeth - &nearest;
        let space = row.central.map(|_| space(row.place_coefficient, term.tooth_count, place, &off_line));
        Some(ToothMark { pin: pin.pin, tooth: -nearest.to_i64().expect("less than a tooth count"), space, off_line })
    });
    GearMarks {
        mesh: row.mesh,
        planet: set.gear(term.gear).member(),
        gear: term.gear,
        central: row.central,
        pins: pins.collect(),
        alike_teeth: 1,
        use_as: UseAs::Check,
    }
}

/// The space that a tooth fills which is so far off the line on the pin at a place; counts signed.
fn space(central: i64, planet: i64, place: &Fraction, off_line: &Fraction) -> i64 {
    let number = multiple(place, central.abs()) - multiple(off_line, central.signum() * planet.signum());
    debug_assert!(number.is_integer(), "a planet that meshes fills a space");
    number.to_integer().to_i64().expect("about as many as teeth").rem_euclid(central.abs())
}

//! Which gears were cut alike, and what was read of them?
//!
//! Gears that mesh have one pitch and pressure angle, and as a rule one depth: they are a family, found by union over
//! the meshes. A centre distance counts where one of its gears at least was read; of two gears of which nothing was
//! read it tells nothing that could be checked.

use super::question::{IdentifyQuestion, MeasuredDistance, MeasuredGear, ReadingMeasure};
use super::rack::HeightRead;
use crate::tooth::Teeth;

/// Gears cut alike, with all that was read of them.
#[derive(Debug, Clone)]
pub(super) struct Family<'a> {
    /// The gears of which something is told.
    pub(super) gears: Vec<&'a MeasuredGear>,
    /// Their places in the question.
    pub(super) places: Vec<usize>,
    /// The readings, by the places of the gears in this list.
    pub(super) readings: Vec<Taken>,
    /// Whether every reading is linear in shift and thinning.
    pub(super) is_linear: bool,
}

/// A reading with what it is good to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Taken {
    pub(super) of: TakenOf,
    pub(super) millimetres: f64,
    pub(super) within: f64,
    /// Whether nothing was said of what it is good to.
    pub(super) is_usual: bool,
}

/// What was read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum TakenOf {
    /// Of one gear.
    Gear(usize, ReadingMeasure),
    /// Between two.
    Distance([usize; 2]),
}

/// The families of which something was read, in the order of their first gears.
pub(super) fn families(question: &IdentifyQuestion) -> Vec<Family<'_>> {
    let count = question.gears.len();
    let mut of: Vec<usize> = (0..count).collect();
    let meshes = question.meshes.iter().filter(|mesh| mesh.gears.iter().all(|&gear| gear < count));
    for mesh in meshes {
        let [kept, joined] = mesh.gears.map(|gear| of[gear]);
        of.iter_mut().filter(|family| **family == joined).for_each(|family| *family = kept);
    }
    let mut numbers: Vec<usize> = Vec::new();
    for &number in &of {
        if !numbers.contains(&number) {
            numbers.push(number);
        }
    }
    let family = |number: usize| family(question, &(0..count).filter(|&gear| of[gear] == number).collect::<Vec<_>>());
    numbers.into_iter().map(family).filter(|family| !family.readings.is_empty()).collect()
}

/// The family of these gears.
fn family<'a>(question: &'a IdentifyQuestion, members: &[usize]) -> Family<'a> {
    let is_read = |gear: usize| !question.gears[gear].readings.is_empty();
    let distances = question.meshes.iter().filter_map(|mesh| {
        let distance = mesh.distance.filter(|_| mesh.gears.iter().any(|&gear| is_read(gear)))?;
        mesh.gears.iter().all(|gear| members.contains(gear)).then_some((mesh.gears, distance))
    });
    let distances: Vec<([usize; 2], MeasuredDistance)> = distances.collect();
    let is_told = |gear: usize| is_read(gear) || distances.iter().any(|(gears, _)| gears.contains(&gear));
    let told: Vec<usize> = members.iter().copied().filter(|&gear| is_told(gear)).collect();
    let mut readings = Vec::new();
    for (place, &gear) in told.iter().enumerate() {
        readings.extend(question.gears[gear].readings.iter().map(|reading| Taken {
            of: TakenOf::Gear(place, reading.measure),
            millimetres: reading.millimetres,
            within: reading.within.unwrap_or_else(|| reading.measure.usual()),
            is_usual: reading.within.is_none(),
        }));
    }
    let place = |gear: usize| told.iter().position(|&it| it == gear).unwrap_or_default();
    readings.extend(distances.iter().map(|(gears, distance)| Taken {
        of: TakenOf::Distance(gears.map(place)),
        millimetres: distance.millimetres,
        within: distance.within.unwrap_or(MeasuredDistance::USUAL),
        is_usual: distance.within.is_none(),
    }));
    let is_linear = are_linear(&readings);
    let gears = told.iter().map(|&gear| &question.gears[gear]).collect();
    Family { gears, places: told, readings, is_linear }
}

/// Whether every reading is linear in shift and thinning.
fn are_linear(readings: &[Taken]) -> bool {
    let is_linear =
        |taken: &Taken| !matches!(taken.of, TakenOf::Gear(_, ReadingMeasure::Pins(_)) | TakenOf::Distance(_));
    readings.iter().all(is_linear)
}

impl Family<'_> {
    /// Which way the teeth of a gear point, and how many there are.
    pub(super) fn teeth(&self, gear: usize) -> (Teeth, u16) {
        (self.gears[gear].teeth, self.gears[gear].tooth_count)
    }

    /// Gears whose thickness was read, and whose shift something else tells as well.
    pub(super) fn could_be_worn(&self) -> impl Iterator<Item = usize> + '_ {
        let has_distance = |gear: usize| {
            self.readings.iter().any(|taken| matches!(taken.of, TakenOf::Distance(gears) if gears.contains(&gear)))
        };
        (0..self.gears.len()).filter(move |&gear| {
            self.reads(gear, ReadingMeasure::is_of_thickness) && (self.has_circle(gear) || has_distance(gear))
        })
    }

    /// Whether a diameter at the tips or roots of a gear was read, which wear of the flanks leaves as it is.
    pub(super) fn has_circle(&self, gear: usize) -> bool {
        self.reads(gear, |measure| !measure.is_of_thickness())
    }

    /// Whether wear of a gear can be told from its shift: by a circle of its own, or of a mate at a known distance.
    pub(super) fn tells_wear(&self, gear: usize) -> bool {
        let by_mate = self.readings.iter().any(|taken| match taken.of {
            TakenOf::Distance([a, b]) => a == gear && self.has_circle(b) || b == gear && self.has_circle(a),
            TakenOf::Gear(..) => false,
        });
        self.reads(gear, ReadingMeasure::is_of_thickness) && (self.has_circle(gear) || by_mate)
    }

    /// Which parts of the height of teeth were read.
    pub(super) fn height_read(&self) -> HeightRead {
        let reads = |sought| (0..self.gears.len()).any(|gear| self.reads(gear, |measure| measure == sought));
        HeightRead { tip: reads(ReadingMeasure::TipDiameter), root: reads(ReadingMeasure::RootDiameter) }
    }

    /// Whether a gear was read in such a way.
    pub(super) fn reads(&self, gear: usize, is_sought: impl Fn(ReadingMeasure) -> bool) -> bool {
        self.readings
            .iter()
            .any(|taken| matches!(taken.of, TakenOf::Gear(of, measure) if of == gear && is_sought(measure)))
    }

    /// What a further reading is good to: as one of its kind that was taken, or as is usual.
    pub(super) fn usual_within(&self, measure: ReadingMeasure) -> f64 {
        let is_alike = |taken: &&Taken| match taken.of {
            TakenOf::Gear(_, of) => std::mem::discriminant(&of) == std::mem::discriminant(&measure),
            TakenOf::Distance(_) => false,
        };
        self.readings.iter().find(is_alike).map_or_else(|| measure.usual(), |taken| taken.within)
    }

    /// The gear of a reading; none for a centre distance.
    pub(super) fn gear_of(&self, of: TakenOf) -> Option<String> {
        match of {
            TakenOf::Gear(gear, _) => Some(self.gears[gear].name.clone()),
            TakenOf::Distance(_) => None,
        }
    }

    /// The same without one reading.
    pub(super) fn without(&self, reading: usize) -> Self {
        let mut less = self.clone();
        less.readings.remove(reading);
        less.is_linear = are_linear(&less.readings);
        less
    }

    /// What a reading is called.
    pub(super) fn reading_name(&self, of: TakenOf) -> String {
        match of {
            TakenOf::Gear(gear, measure) => measure.named(self.gears[gear].teeth),
            TakenOf::Distance(gears) => {
                let [first, second] = gears.map(|gear| &self.gears[gear].name);
                format!("centre distance of {first} and {second}")
            }
        }
    }
}

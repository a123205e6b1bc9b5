//! Which reading not yet taken tells two candidates apart best?
//!
//! Each candidate with its fitted shift predicts every further reading; the difference of the two predictions in units
//! of what the reading is good to is how well it separates them. Below three it tells nothing. What a caliper reads is
//! thought of first; pins are where they are at hand, or where nothing else tells.

use super::answer::{NextMeasurement, Predicted};
use super::candidate::RankedTeeth;
use super::family::{Family, TakenOf};
use super::predict::{predict, predict_distance};
use super::question::{IdentifyQuestion, MeasuredDistance, ReadingMeasure};
use super::rack::Depth;
use crate::tooth::{Teeth, ToothForm, flank_cut_by_rack, pin_reading, usable_spans};

/// Below so many units of uncertainty a reading does not tell two candidates apart.
pub(super) const TELLING: f64 = 3.0;

/// So many measurements are told.
const MOST: usize = 6;

/// Usual diameters of pins, in millimetres.
const USUAL_PINS: &[f64] =
    &[1.0, 1.5, 2.0, 2.5, 3.0, 3.5, 4.0, 4.5, 5.0, 5.5, 6.0, 6.5, 7.0, 8.0, 9.0, 10.0, 12.0, 14.0, 16.0, 18.0, 20.0];

/// Teeth of one depth among those that a candidate leaves open.
#[derive(Clone, Copy)]
pub(super) struct OpenTeeth<'a> {
    candidate: &'a RankedTeeth,
    depth: Depth,
    named_by: NamedBy,
}

/// What two alternatives differ in.
#[derive(Clone, Copy)]
enum NamedBy {
    Pitch,
    Depth,
    Both,
}

/// The two that have to be told apart next: two pitches or angles, or else two depths; none where one of each is left.
/// Candidates are ranked.
pub(super) fn open_between(candidates: &[RankedTeeth]) -> Option<[OpenTeeth<'_>; 2]> {
    let mut alive = candidates.iter().filter(|candidate| candidate.is_alive);
    let first = alive.next()?;
    let others: Vec<&RankedTeeth> = alive.collect();
    let depth = first.rack.depths[0];
    if let Some(other) = others.iter().find(|other| !other.rack.is_of_one_pitch(&first.rack)) {
        let same = other.rack.depths.iter().copied().find(|of_other| *of_other == depth);
        let of_other = same.unwrap_or(other.rack.depths[0]);
        let named_by = if of_other == depth { NamedBy::Pitch } else { NamedBy::Both };
        let first = OpenTeeth { candidate: first, depth, named_by };
        return Some([first, OpenTeeth { candidate: other, depth: of_other, named_by }]);
    }
    let first_of = |candidate, depth| OpenTeeth { candidate, depth, named_by: NamedBy::Depth };
    if let Some(other) = others.first() {
        return Some([first_of(first, depth), first_of(other, other.rack.depths[0])]);
    }
    let at_tip = first.rack.depths.iter().find(|other| depth.differs(**other)[0]);
    let other = at_tip.or_else(|| first.rack.depths.iter().find(|other| depth.differs(**other)[1]))?;
    Some([first_of(first, depth), first_of(first, *other)])
}

/// Whether two candidates differ in more than their depth.
pub(super) fn are_of_two_pitches([first, second]: [OpenTeeth<'_>; 2]) -> bool {
    !first.candidate.rack.is_of_one_pitch(&second.candidate.rack)
}

/// What tells two candidates apart, the most telling first.
pub(super) fn measurements(
    question: &IdentifyQuestion,
    family: &Family<'_>,
    two: [OpenTeeth<'_>; 2],
) -> Vec<NextMeasurement> {
    let gears = 0..family.gears.len();
    let mut found: Vec<NextMeasurement> = gears.clone().flat_map(|gear| without_pins(family, gear, two)).collect();
    found.extend(distances(question, family, two));
    let tells = found.iter().any(|measurement| measurement.separates_by >= TELLING);
    let pins = if question.pins_at_hand.is_empty() { USUAL_PINS } else { &question.pins_at_hand };
    if !tells || !question.pins_at_hand.is_empty() {
        found.extend(gears.flat_map(|gear| over_pins(family, gear, two, pins)));
    }
    found.retain(|measurement| measurement.separates_by > 0.05);
    found.sort_by(|a, b| b.separates_by.total_cmp(&a.separates_by));
    // Where depths alone are open, the gear is measured that may be worn: its tips tell both.
    if !are_of_two_pitches(two) {
        found.sort_by_key(|measurement| !is_in_doubt(family, two[0].candidate, measurement));
    }
    found.truncate(MOST);
    found
}

/// Whether the gear of a measurement is one of those among which the worn one is.
fn is_in_doubt(family: &Family<'_>, candidate: &RankedTeeth, measurement: &NextMeasurement) -> bool {
    let in_doubt = candidate.fitted.worn.iter().filter(|worn| !worn.or.is_empty());
    let mut gears = in_doubt.flat_map(|worn| std::iter::once(&worn.gear).chain(&worn.or));
    gears.any(|&gear| measurement.gear.as_ref() == Some(&family.gears[gear].name))
}

/// Spans over other counts that both candidates allow, and the diameters.
fn without_pins(family: &Family<'_>, gear: usize, two: [OpenTeeth<'_>; 2]) -> Vec<NextMeasurement> {
    let forms = two.map(|one| one.form(family, gear));
    let [first, second] = [0, 1].map(|place| sound_spans(&forms[place]));
    let spans = first.into_iter().filter(|teeth| second.contains(teeth)).map(ReadingMeasure::Span);
    let measures = spans.chain([ReadingMeasure::TipDiameter, ReadingMeasure::RootDiameter]);
    measures.filter_map(|measure| measurement(family, gear, (two, forms), measure)).collect()
}

/// Pins that both candidates allow.
fn over_pins(family: &Family<'_>, gear: usize, two: [OpenTeeth<'_>; 2], pins: &[f64]) -> Vec<NextMeasurement> {
    let forms = two.map(|one| one.form(family, gear));
    let fits = |pin: &&f64| [0, 1].iter().all(|&place| sits_well(&forms[place], **pin));
    let measures = pins.iter().filter(fits).map(|&pin| ReadingMeasure::Pins(pin));
    measures.filter_map(|measure| measurement(family, gear, (two, forms), measure)).collect()
}

/// The reading of one gear, if it has not been taken.
fn measurement(
    family: &Family<'_>,
    gear: usize,
    (two, forms): ([OpenTeeth<'_>; 2], [ToothForm; 2]),
    measure: ReadingMeasure,
) -> Option<NextMeasurement> {
    if family.readings.iter().any(|taken| taken.of == TakenOf::Gear(gear, measure)) {
        return None;
    }
    let predicted = forms.map(|form| predict(&form, measure).ok().map(|read| read.millimetres));
    let within = family.usual_within(measure);
    let name = family.gears[gear].name.clone();
    Some(told(measure.named(family.gears[gear].teeth), Some(name), within, (two, [predicted[0]?, predicted[1]?])))
}

/// Centre distances that were not measured, of gears whose shifts are told.
fn distances(question: &IdentifyQuestion, family: &Family<'_>, two: [OpenTeeth<'_>; 2]) -> Vec<NextMeasurement> {
    let place = |gear: usize| family.places.iter().position(|&place| place == gear);
    let unknown = question.meshes.iter().filter(|mesh| mesh.distance.is_none());
    let between = unknown.filter_map(|mesh| Some([place(mesh.gears[0])?, place(mesh.gears[1])?]));
    let measurement = |gears: [usize; 2]| {
        let predicted = two.map(|one| {
            let [first, second] = gears.map(|gear| one.form(family, gear));
            predict_distance(&first, &second).ok().map(|(distance, _)| distance)
        });
        let name = family.reading_name(TakenOf::Distance(gears));
        Some(told(name, None, MeasuredDistance::USUAL, (two, [predicted[0]?, predicted[1]?])))
    };
    between.filter_map(measurement).collect()
}

fn told(
    reading: String,
    gear: Option<String>,
    within_mm: f64,
    (two, predicted): ([OpenTeeth<'_>; 2], [f64; 2]),
) -> NextMeasurement {
    let separates_by = (predicted[0] - predicted[1]).abs() / within_mm;
    let predicted = two.iter().zip(predicted).map(|(one, mm)| Predicted { teeth: one.name(), mm }).collect();
    NextMeasurement { reading, separates_by, gear, within_mm, predicted }
}

impl OpenTeeth<'_> {
    fn form(&self, family: &Family<'_>, gear: usize) -> ToothForm {
        self.candidate.form(family, gear, self.depth)
    }

    fn name(&self) -> String {
        match self.named_by {
            NamedBy::Pitch => self.candidate.rack.name(),
            NamedBy::Depth => self.depth.to_string(),
            NamedBy::Both => format!("{}, {}", self.candidate.rack.name(), self.depth),
        }
    }
}

/// The counts over which jaws touch sound flanks; none of a ring.
pub(super) fn sound_spans(form: &ToothForm) -> Vec<u16> {
    let flank = flank_cut_by_rack(form, form.straight_dedendum());
    flank.and_then(|flank| usable_spans(form, flank.form_radius, TIP_MARGIN * form.module)).unwrap_or_default()
}

/// Jaws stay so far below the tips, in modules.
const TIP_MARGIN: f64 = 0.1;

/// Whether a pin touches sound flanks, stands proud of external tips and clear of the roots.
fn sits_well(form: &ToothForm, pin: f64) -> bool {
    let Ok(read) = pin_reading(form, pin) else { return false };
    let touches = match form.teeth {
        Teeth::External => {
            let sound_from = flank_cut_by_rack(form, form.straight_dedendum()).map_or(0.0, |flank| flank.form_radius);
            (sound_from..=form.tip_radius()).contains(&read.touch_radius) && read.proud_of_tips > 0.0
        }
        Teeth::Internal => read.touch_radius >= form.tip_radius(),
    };
    touches && read.clear_of_root > 0.0
}

//! Bushes whose sizes can be those of a bush on its shaft and in its housing.

use super::question::{BushQuestion, BushesQuestion, MeasuredDiameter, PressedBush};
use super::refusal::CannotFitBush;

const MOST_BUSHES: usize = 200;
/// Three along a bush, two ways across each.
const MOST_PLACES: usize = 6;
const LARGEST_MM: f64 = 10_000.0;
/// Clearances, and errors of readings, beyond this are slips of the unit.
const LOOSEST_MM: f64 = 1.0;
/// More than this part of the diameter crushes a bush.
const MOST_INTERFERENCE: f64 = 0.003;

/// Everything that is wrong with a question.
pub(super) fn wrong(question: &BushesQuestion) -> Vec<CannotFitBush> {
    let count = question.bushes.len();
    let mut wrong = Vec::new();
    if count == 0 {
        wrong.push(CannotFitBush::NoBush);
    }
    if count > MOST_BUSHES {
        return vec![CannotFitBush::TooManyBushes { count, most: MOST_BUSHES }];
    }
    let warm = question.hot_kelvin.filter(|kelvin| !(-100.0..=300.0).contains(kelvin));
    let hotter = Some(question.shaft_hotter_kelvin).filter(|kelvin| !(-200.0..=200.0).contains(kelvin));
    wrong.extend(warm.into_iter().chain(hotter).map(|kelvin| CannotFitBush::Heat { kelvin: kelvin.to_string() }));
    for (at, bush) in question.bushes.iter().enumerate() {
        if question.bushes[..at].iter().any(|other| other.name == bush.name) {
            wrong.push(CannotFitBush::SameName { bush: bush.name.clone() });
        }
        wrong.extend(wrong_bush(bush));
    }
    wrong
}

fn wrong_bush(bush: &BushQuestion) -> Vec<CannotFitBush> {
    let name = || bush.called();
    let mut wrong = Vec::new();
    for (what, read) in [("bore", &bush.bore), ("shaft", &bush.shaft)] {
        wrong.extend(wrong_diameters(bush, what, read));
    }
    let (bore, shaft) = (bush.bore.len(), bush.shaft.len());
    if wrong.is_empty() && bore != shaft && bore > 1 && shaft > 1 {
        wrong.push(CannotFitBush::UnlikePlaces { bush: name(), bore, shaft });
    }
    if wrong.is_empty() {
        let apart = bush.bore.iter().flat_map(|bore| bush.shaft.iter().map(move |shaft| bore.mean() - shaft.mean()));
        let farthest = apart.max_by(|a, b| a.abs().total_cmp(&b.abs())).unwrap_or(0.0);
        if farthest.abs() > LOOSEST_MM {
            wrong.push(CannotFitBush::NoPair { bush: name(), mm: mm(farthest) });
        }
    }
    if let Some([least, most]) = bush.allowed_mm
        && !(0.0 <= least && least <= most && most <= LOOSEST_MM)
    {
        wrong.push(CannotFitBush::NoBand { bush: name(), least: mm(least), most: mm(most) });
    }
    if let Some(within) = bush.within_mm.filter(|within| !(0.0..=LOOSEST_MM).contains(within)) {
        wrong.push(CannotFitBush::NoError { bush: name(), mm: within.to_string() });
    }
    wrong.extend(bush.pressed.iter().filter_map(|pressed| wrong_press(bush, pressed)));
    wrong
}

fn wrong_diameters(bush: &BushQuestion, what: &'static str, read: &[MeasuredDiameter]) -> Vec<CannotFitBush> {
    let name = || bush.called();
    if !(1..=MOST_PLACES).contains(&read.len()) {
        return vec![CannotFitBush::Places { bush: name(), what, count: read.len() }];
    }
    let all = read.iter().flat_map(|read| [Some(read.mm), read.across_mm].into_iter().flatten());
    all.filter(|diameter| !is_diameter(*diameter))
        .map(|diameter| CannotFitBush::NoDiameter { bush: name(), what, mm: diameter.to_string() })
        .collect()
}

fn wrong_press(bush: &BushQuestion, pressed: &PressedBush) -> Option<CannotFitBush> {
    let name = bush.called();
    let PressedBush { outside_mm: outside, interference_mm: interference, housing_mm: housing, .. } = *pressed;
    for (what, diameter) in [("outside", outside), ("housing", housing)] {
        if !is_diameter(diameter) {
            return Some(CannotFitBush::NoDiameter { bush: name, what, mm: diameter.to_string() });
        }
    }
    let bore = bush.bore.iter().map(|bore| bore.least_and_most()[1]).fold(0.0, f64::max);
    // A wall of less than a hundredth is none either, and would give no finite pressure.
    if outside < bore + 0.01 {
        return Some(CannotFitBush::NoWall { bush: name, outside: mm(outside), bore: mm(bore) });
    }
    if housing < outside + 0.01 {
        return Some(CannotFitBush::NoHousing { bush: name, housing: mm(housing), outside: mm(outside) });
    }
    if interference.is_nan() || interference < 0.0 {
        return Some(CannotFitBush::Interference { bush: name, mm: interference.to_string() });
    }
    let most = MOST_INTERFERENCE * outside;
    (interference > most).then(|| CannotFitBush::Crushes { bush: name, mm: mm(interference), most: mm(most) })
}

fn is_diameter(mm: f64) -> bool {
    mm > 0.0 && mm <= LARGEST_MM
}

/// Millimetres as they are told in a refusal.
fn mm(value: f64) -> String {
    format!("{value:.3}")
}

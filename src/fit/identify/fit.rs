//! Which shifts, and which wear, do readings ask of teeth of one pitch, angle and depth?
//!
//! Weighted least squares: the shift of each gear, and the thinning of those for which it can be told, are chosen so that
//! the sum of squares of misfit over uncertainty is least (Gauss and Newton; the readings are linear but for pins and
//! distances, which are nearly so). Teeth are taken as unworn where that does; a thinning is brought in where the fit
//! cannot do without, or is better by three standard deviations, and never below zero.

use super::family::{Family, Taken, TakenOf};
use super::predict::{predict, predict_distance, shift_beside, shift_from};
use super::rack::Rack;
use crate::tooth::{ToothError, ToothForm};

/// Teeth fitted to readings.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Fitted {
    /// The shift of each gear, in modules.
    pub(super) shifts: Vec<f64>,
    /// Gears that are thinned, and by how much.
    pub(super) worn: Vec<Worn>,
    /// What each reading would be.
    pub(super) predicted: Vec<f64>,
    /// The sum of squares of misfit over uncertainty.
    pub(super) chi_squared: f64,
}

/// A gear that is thinned.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Worn {
    pub(super) gear: usize,
    pub(super) thinning: f64,
    /// Gears that might be the thinned one as well.
    pub(super) or: Vec<usize>,
}

impl Fitted {
    /// The thinning of a gear, in millimetres.
    pub(super) fn thinning(&self, gear: usize) -> f64 {
        self.worn.iter().find(|worn| worn.gear == gear).map_or(0.0, |worn| worn.thinning)
    }

    /// Whether the readings allow it: 9 for each reading more than there are unknowns, and for one at least.
    pub(super) fn is_allowed(&self, readings: usize) -> bool {
        let surplus = readings.saturating_sub(self.shifts.len() + self.worn.len()).max(1);
        self.chi_squared <= NINE * f64::from(u32::try_from(surplus).unwrap_or(u32::MAX))
    }
}

/// Three standard deviations, squared.
pub(super) const NINE: f64 = 9.0;

/// The best teeth of a rack that are thinned by so many modules at most; `None` where it has none that could be read so.
pub(super) fn best_fit(rack: &Rack, family: &Family<'_>, most_wear: f64) -> Option<Fitted> {
    let readings = family.readings.len();
    let mut best = fit(rack, family, &[])?;
    while best.chi_squared > NINE {
        let worn: Vec<usize> = best.worn.iter().map(|worn| worn.gear).collect();
        let others = family.could_be_worn().filter(|gear| !worn.contains(gear));
        let fitted = others.filter_map(|gear| Some((gear, fit(rack, family, &[&worn[..], &[gear]].concat())?)));
        let is_usual =
            |(_, fitted): &(usize, Fitted)| fitted.worn.iter().all(|worn| worn.thinning <= most_wear * rack.module);
        let mut tried: Vec<(usize, Fitted)> = fitted.filter(is_usual).collect();
        tried.sort_by(|(_, a), (_, b)| a.chi_squared.total_cmp(&b.chi_squared));
        let Some((_, better)) = tried.first() else { break };
        let is_needed = !best.is_allowed(readings) && better.is_allowed(readings);
        if !is_needed && best.chi_squared - better.chi_squared <= NINE {
            break;
        }
        best = with_doubts(&best, &tried);
    }
    Some(best)
}

/// The first of several fits that differ in the gear thinned last, with those gears that would do as well.
fn with_doubts(before: &Fitted, tried: &[(usize, Fitted)]) -> Fitted {
    let (_, first) = &tried[0];
    let mut best = first.clone();
    for (worn, known) in best.worn.iter_mut().zip(&before.worn) {
        worn.or.clone_from(&known.or);
    }
    let as_good = tried[1..].iter().filter(|(_, fitted)| fitted.chi_squared - first.chi_squared < 1.0);
    if let Some(last) = best.worn.last_mut() {
        last.or = as_good.map(|&(gear, _)| gear).collect();
    }
    best
}

/// The fit with these gears thinned.
fn fit(rack: &Rack, family: &Family<'_>, worn: &[usize]) -> Option<Fitted> {
    /// As a rule three steps do.
    const MOST_STEPS: usize = 15;
    const CLOSE: f64 = 1e-10;
    let mut unknowns = ShiftsAndWear { shifts: starts(rack, family)?, worn, thinnings: vec![0.0; worn.len()] };
    for _ in 0..MOST_STEPS {
        let step = step(rack, family, &unknowns)?;
        unknowns.add(&step);
        if family.is_linear || step.iter().all(|change| change.abs() < CLOSE) {
            break;
        }
    }
    if unknowns.thinnings.iter().any(|&thinning| thinning < 0.0) {
        return None;
    }
    let rows = rows(rack, family, &unknowns).ok()?;
    let chi_squared = rows.iter().zip(&family.readings).map(|(row, taken)| (row.misfit / taken.within).powi(2)).sum();
    let predicted = rows.iter().zip(&family.readings).map(|(row, taken)| taken.millimetres - row.misfit).collect();
    let worn = worn.iter().zip(&unknowns.thinnings);
    let worn = worn.map(|(&gear, &thinning)| Worn { gear, thinning, or: Vec::new() }).collect();
    Some(Fitted { shifts: unknowns.shifts, worn, predicted, chi_squared })
}

/// What is looked for.
struct ShiftsAndWear<'a> {
    /// One shift a gear.
    shifts: Vec<f64>,
    /// The gears that are thinned, and the thinning of each.
    worn: &'a [usize],
    thinnings: Vec<f64>,
}

impl ShiftsAndWear<'_> {
    fn add(&mut self, step: &[f64]) {
        self.shifts.iter_mut().chain(&mut self.thinnings).zip(step).for_each(|(value, change)| *value += change);
    }

    /// The place of a gear's thinning among all unknowns.
    fn place_of_thinning(&self, gear: usize) -> Option<usize> {
        self.worn.iter().position(|&worn| worn == gear).map(|place| self.shifts.len() + place)
    }

    fn form(&self, rack: &Rack, family: &Family<'_>, gear: usize) -> ToothForm {
        let thinning = self.worn.iter().position(|&worn| worn == gear).map_or(0.0, |place| self.thinnings[place]);
        rack.form(rack.depths[0], family.teeth(gear), self.shifts[gear], thinning)
    }
}

/// The shift of each gear from which the fit starts: that of its first reading, of one without any that of the distance
/// to a gear that has.
fn starts(rack: &Rack, family: &Family<'_>) -> Option<Vec<f64>> {
    let mut shifts: Vec<Option<f64>> = vec![None; family.gears.len()];
    let form = |gear: usize, shift: f64| rack.form(rack.depths[0], family.teeth(gear), shift, 0.0);
    for Taken { of, millimetres, .. } in &family.readings {
        match *of {
            TakenOf::Gear(gear, measure) if shifts[gear].is_none() => {
                shifts[gear] = Some(shift_from(&form(gear, 0.0), measure, *millimetres).ok()?);
            }
            TakenOf::Distance([a, b]) => match (shifts[a], shifts[b]) {
                (Some(known), None) => {
                    shifts[b] = Some(shift_beside(&form(b, 0.0), &form(a, known), *millimetres).ok()?);
                }
                (None, Some(known)) => {
                    shifts[a] = Some(shift_beside(&form(a, 0.0), &form(b, known), *millimetres).ok()?);
                }
                _ => {}
            },
            TakenOf::Gear(..) => {}
        }
    }
    shifts.into_iter().collect()
}

/// What a reading lacks, and how it follows the unknowns: at most two shifts and a thinning.
struct Row {
    misfit: f64,
    derivatives: [(usize, f64); 2],
}

fn rows(rack: &Rack, family: &Family<'_>, unknowns: &ShiftsAndWear<'_>) -> Result<Vec<Row>, ToothError> {
    family.readings.iter().map(|taken| row(rack, family, unknowns, taken)).collect()
}

fn row(rack: &Rack, family: &Family<'_>, unknowns: &ShiftsAndWear<'_>, taken: &Taken) -> Result<Row, ToothError> {
    match taken.of {
        TakenOf::Gear(gear, measure) => {
            let read = predict(&unknowns.form(rack, family, gear), measure)?;
            let of_thinning = unknowns.place_of_thinning(gear).map_or((gear, 0.0), |place| (place, read.per_thinning));
            let derivatives = [(gear, read.per_shift), of_thinning];
            Ok(Row { misfit: taken.millimetres - read.millimetres, derivatives })
        }
        TakenOf::Distance(gears) => {
            let [first, second] = gears.map(|gear| unknowns.form(rack, family, gear));
            let (distance, [by_first, by_second]) = predict_distance(&first, &second)?;
            let derivatives = [(gears[0], by_first), (gears[1], by_second)];
            Ok(Row { misfit: taken.millimetres - distance, derivatives })
        }
    }
}

/// The change of the unknowns that brings the readings nearest: `J' W J d = J' W r`.
fn step(rack: &Rack, family: &Family<'_>, unknowns: &ShiftsAndWear<'_>) -> Option<Vec<f64>> {
    let size = unknowns.shifts.len() + unknowns.thinnings.len();
    // The last column is the right-hand side.
    let mut normal = vec![vec![0.0; size + 1]; size];
    for (row, taken) in rows(rack, family, unknowns).ok()?.iter().zip(&family.readings) {
        let weight = taken.within.powi(-2);
        for (a, by_a) in row.derivatives {
            for (b, by_b) in row.derivatives {
                normal[a][b] += weight * by_a * by_b;
            }
            normal[a][size] += weight * by_a * row.misfit;
        }
    }
    solve(normal)
}

/// Solves symmetric equations whose last column is the right-hand side; `None` where an unknown is not told by them.
fn solve(mut rows: Vec<Vec<f64>>) -> Option<Vec<f64>> {
    /// Of what a pivot was before elimination, so much is rounding.
    const NOTHING_LEFT: f64 = 1e-9;
    let size = rows.len();
    for pivot in 0..size {
        let before: f64 = rows[pivot][pivot];
        for above in 0..pivot {
            // Rows above are divided by their pivots already.
            let factor = rows[pivot][above];
            let (done, rest) = rows.split_at_mut(pivot);
            for (value, above) in rest[0].iter_mut().zip(&done[above]) {
                *value -= factor * above;
            }
        }
        let left = rows[pivot][pivot];
        if left.is_nan() || left <= NOTHING_LEFT * before {
            return None;
        }
        rows[pivot].iter_mut().for_each(|value| *value /= left);
    }
    let mut solution = vec![0.0; size];
    for place in (0..size).rev() {
        let known: f64 = (place + 1..size).map(|after| rows[place][after] * solution[after]).sum();
        solution[place] = rows[place][size] - known;
    }
    Some(solution)
}

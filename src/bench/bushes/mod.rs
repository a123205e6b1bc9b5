//! Is a bush good, what is it to be bored to, and what becomes of it when it is pressed in and when it is hot?
//!
//! Clearance is bore less shaft, place by place, against what is allowed. A bush that is pressed in closes by what the
//! stiffness of both rings says ([`press_fit`]); heat changes clearance and interference. Floats, with a margin of 1e-9 mm
//! where they decide.

mod answer;
mod checked;
mod material;
mod of_gearset;
mod press_fit;
mod question;
mod refusal;
mod warm;

pub use answer::{BushFit, BushFits, BushPlace, BushVerdict, CloseIn, HeatUntold, HotBushFit, PressedBushFit};
pub use material::{ElasticMaterial, elastic};
pub(crate) use of_gearset::bearing_names;
pub use press_fit::PressedRings;
pub use question::{BushQuestion, BushesQuestion, MeasuredDiameter, PressedBush};
pub use refusal::CannotFitBush;

/// Sizes nearer than this are equal.
const MARGIN_MM: f64 = 1e-9;

/// What is to be done with every bush.
///
/// # Errors
/// [`CannotFitBush`], every reason, where sizes cannot be those of a bush.
///
/// # Examples
/// ```
/// use toothmark::bench::{BushQuestion, BushVerdict, BushesQuestion, MeasuredDiameter, bush_fits};
/// let measured = |mm| vec![MeasuredDiameter { mm, across_mm: None }];
/// let bush = BushQuestion {
///     name: "pin 2".into(),
///     bore: measured(16.10),
///     shaft: measured(15.97),
///     allowed_mm: Some([0.02, 0.06]),
///     ..BushQuestion::default()
/// };
/// let found = bush_fits(&BushesQuestion { bushes: vec![bush], ..BushesQuestion::default() }).unwrap();
/// assert_eq!(found.bushes[0].verdict, Some(BushVerdict::Worn));
/// assert!((found.bushes[0].finished_bore_mm.unwrap()[1] - 16.03).abs() < 1e-9);
/// ```
pub fn bush_fits(question: &BushesQuestion) -> Result<BushFits, Vec<CannotFitBush>> {
    let wrong = checked::wrong(question);
    if !wrong.is_empty() {
        return Err(wrong);
    }
    let bushes: Vec<BushFit> = question.bushes.iter().map(|bush| fit(question, bush)).collect();
    Ok(BushFits {
        good: bushes.iter().all(is_good),
        usual_error_taken: question.bushes.iter().any(|bush| bush.within_mm.is_none()),
        bushes,
    })
}

fn is_good(bush: &BushFit) -> bool {
    let is_allowed = matches!(bush.verdict, None | Some(BushVerdict::Good));
    is_allowed && !bush.hot.iter().any(|hot| hot.lets_go || hot.clearance_mm <= 0.0)
}

fn fit(question: &BushesQuestion, bush: &BushQuestion) -> BushFit {
    let places = places(bush);
    let least = places.iter().map(|place| place.clearance_mm[0]).fold(f64::INFINITY, f64::min);
    let most = places.iter().map(|place| place.clearance_mm[1]).fold(f64::NEG_INFINITY, f64::max);
    let verdict = bush.allowed_mm.map(|allowed| judged([least, most], allowed));
    let good_to = 2.0 * bush.within_mm();
    let [bore, shaft] = [&bush.bore, &bush.shaft].map(|read| extremes(read));
    // At the thickest place the least clearance has to be left, at the thinnest no more than the greatest.
    let finished = bush.allowed_mm.map(|[least, most]| [shaft[1] + least, shaft[0] + most]);
    let finished_bore_mm = finished.filter(|[least, most]| *least <= most + MARGIN_MM);
    let stays = matches!(verdict, None | Some(BushVerdict::Good));
    let middle = finished_bore_mm.map(|[least, most]| f64::midpoint(least, most));
    let cold = if stays { Some(least) } else { middle.map(|bore| bore - shaft[1]) };
    let bore_then = if stays { bore[0] } else { middle.unwrap_or(bore[0]) };
    // Where no bore serves there is no fit to tell of either.
    let hot = cold.map_or_else(|| Ok(Vec::new()), |cold| warm::hot(question, bush, bore_then, cold));
    BushFit {
        bush: bush.name.clone(),
        clearance_mm: [least, most],
        clearance_per_bore: most / bore[0],
        allowed_mm: bush.allowed_mm,
        verdict,
        good_to_mm: good_to,
        is_sure: bush.allowed_mm.is_none_or(|allowed| is_sure([least, most], allowed, good_to)),
        oval_mm: [oval(&bush.bore), oval(&bush.shaft)],
        taper_mm: [taper(&bush.bore), taper(&bush.shaft)],
        shaft_too_uneven: finished.is_some() && finished_bore_mm.is_none(),
        finished_bore_mm,
        pressed: bush.pressed.map(|pressed| press(&pressed, middle.unwrap_or(bore[0]), middle)),
        heat_untold: hot.as_ref().err().copied(),
        hot: hot.unwrap_or_default(),
        places,
    }
}

/// The clearance at every place; what is measured at one place holds for all.
fn places(bush: &BushQuestion) -> Vec<BushPlace> {
    let at = |read: &[MeasuredDiameter], place: usize| read.get(place).or(read.first()).copied();
    let place = |place: usize| {
        let (bore, shaft) = at(&bush.bore, place).zip(at(&bush.shaft, place))?;
        let ([bore_least, bore_most], [shaft_least, shaft_most]) = (bore.least_and_most(), shaft.least_and_most());
        let clearance_mm = [bore_least - shaft_most, bore_most - shaft_least];
        let verdict = bush.allowed_mm.map(|allowed| judged(clearance_mm, allowed));
        Some(BushPlace { place: place + 1, clearance_mm, verdict })
    };
    (0..bush.bore.len().max(bush.shaft.len())).filter_map(place).collect()
}

fn judged([least, most]: [f64; 2], allowed: [f64; 2]) -> BushVerdict {
    if most > allowed[1] + MARGIN_MM {
        BushVerdict::Worn
    } else if least < allowed[0] - MARGIN_MM {
        BushVerdict::TooTight
    } else {
        BushVerdict::Good
    }
}

/// Whether the verdict is the same however the readings are out.
fn is_sure([least, most]: [f64; 2], allowed: [f64; 2], good_to: f64) -> bool {
    let verdict = judged([least, most], allowed);
    [-good_to, good_to].iter().all(|off| judged([least + off, most + off], allowed) == verdict)
}

/// The least and the greatest of all readings.
fn extremes(read: &[MeasuredDiameter]) -> [f64; 2] {
    let all = || read.iter().map(|read| read.least_and_most());
    [
        all().map(|[least, _]| least).fold(f64::INFINITY, f64::min),
        all().map(|[_, most]| most).fold(f64::NEG_INFINITY, f64::max),
    ]
}

fn oval(read: &[MeasuredDiameter]) -> Option<f64> {
    let two_ways = read.iter().filter(|read| read.across_mm.is_some()).map(|read| read.least_and_most());
    two_ways.map(|[least, most]| most - least).reduce(f64::max)
}

fn taper(read: &[MeasuredDiameter]) -> Option<f64> {
    let means = || read.iter().map(|read| read.mean());
    let [least, most] = [means().reduce(f64::min)?, means().reduce(f64::max)?];
    (read.len() > 1).then_some(most - least)
}

/// The rings of a pressed bush, where both materials are known.
fn rings(pressed: &PressedBush, bore: f64) -> Option<PressedRings> {
    let (bush, into) = pressed.of.zip(pressed.into)?;
    let (fit, housing) = (pressed.outside_mm, pressed.housing_mm);
    // A bore that is wanted may be wider than the bush that there is.
    (bore < fit).then(|| PressedRings { bore, fit, housing, bush: elastic(bush), into: elastic(into) })
}

fn press(pressed: &PressedBush, bore: f64, wanted: Option<f64>) -> PressedBushFit {
    /// Hardened gears get no hotter than 150 degrees, from a workshop of 20.
    const HARDENED_KELVIN: f64 = 130.0;
    let share = rings(pressed, bore).map(|rings| rings.closing_share());
    let closes_in_mm = share.unwrap_or(1.0) * pressed.interference_mm;
    // The same as in `PressedRings`, of which only the housing counts.
    let drop_in_kelvin = pressed.into.map(|into| {
        let into = elastic(into);
        let rings = PressedRings { bore, fit: pressed.outside_mm, housing: pressed.housing_mm, bush: into, into };
        rings.drop_in_kelvin(pressed.interference_mm)
    });
    PressedBushFit {
        closes_in_mm,
        share_of_interference: share.unwrap_or(1.0),
        close_in: if share.is_some() { CloseIn::Elastic } else { CloseIn::AllOfInterference },
        bore_before_pressing_mm: wanted.map(|bore| bore + closes_in_mm),
        drop_in_kelvin,
        too_hot_for_hardened_gears: drop_in_kelvin.is_some_and(|kelvin| kelvin > HARDENED_KELVIN),
    }
}

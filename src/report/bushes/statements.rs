//! Bushes in plain words: what to replace or open and to what, what can stay, what to beware of.

use crate::bench::{BushFit, BushFits, BushVerdict, CloseIn, HeatUntold, HotBushFit, PressedBushFit};
use crate::gearset::MILLIMETRES_PER_INCH;
use crate::report::matching::sizes::arc;
use crate::report::words::{list, short_list};

/// So many bushes are told of one by one.
const MOST: usize = 4;

/// What to do first, and what to mind.
pub(super) fn statements(answer: &BushFits) -> Vec<String> {
    let of = |verdict: BushVerdict| -> Vec<&BushFit> {
        answer.bushes.iter().filter(|bush| bush.verdict == Some(verdict)).collect()
    };
    let (worn, tight, good) = (of(BushVerdict::Worn), of(BushVerdict::TooTight), of(BushVerdict::Good));
    let mut said: Vec<String> = worn.iter().take(MOST).map(|bush| bore_to("REPLACE", bush)).collect();
    said.extend(tight.iter().take(MOST).map(|bush| bore_to("OPEN", bush)));
    let more = worn.len().saturating_sub(MOST) + tight.len().saturating_sub(MOST);
    if more > 0 {
        said.push(format!("{} more are not within what is allowed: see the table.", bushes(more)));
    }
    said.extend(stay(&good));
    let unjudged: Vec<&BushFit> = answer.bushes.iter().filter(|bush| bush.verdict.is_none()).collect();
    said.extend(unjudged.iter().take(MOST).map(|bush| untold(bush)));
    said.extend(first_choice(answer));
    said.extend(letting_go(answer));
    said.extend(tightest(answer));
    said.extend(heat_untold(answer));
    said.extend(unsure(answer));
    if !tight.is_empty() {
        said.push(
            "Too tight ends more pins than too loose: a bush that seizes turns in the gear, then spins the pin.".into(),
        );
    }
    said
}

fn clear(bush: &BushFit) -> String {
    let [least, most] = bush.clearance_mm;
    if most - least < 0.0005 { arc(most) } else { format!("{least:.3} to {}", arc(most)) }
}

fn allowed(bush: &BushFit) -> String {
    bush.allowed_mm.map(|[least, most]| format!(", allowed {least:.3} to {most:.3}")).unwrap_or_default()
}

/// What is wrong with it, and what to bore it to.
fn bore_to(does: &str, bush: &BushFit) -> String {
    format!("{does} {}: {} clear{}. {}", bush.called(), clear(bush), allowed(bush), finished(bush))
}

fn finished(bush: &BushFit) -> String {
    let Some([least, most]) = bush.finished_bore_mm else {
        return "No bore leaves what is allowed all along this shaft: grind the shaft true first.".into();
    };
    let [in_least, in_most] = [least, most].map(|bore| bore / MILLIMETRES_PER_INCH);
    if most - least < 0.0005 {
        return format!("Finish the bore at {most:.3} mm ({in_most:.4} in).");
    }
    format!("Finish the bore at {least:.3} to {most:.3} mm ({in_least:.4} to {in_most:.4} in).")
}

fn stay(good: &[&BushFit]) -> Option<String> {
    match good {
        [] => None,
        [only] => Some(format!("Leave {}: {} clear{}.", only.called(), clear(only), allowed(only))),
        several => {
            let names: Vec<String> = several.iter().map(|bush| bush.bush.clone()).collect();
            Some(format!("Leave the bushes of {}: their clearance is within what is allowed.", short_list(&names)))
        }
    }
}

fn untold(bush: &BushFit) -> String {
    format!(
        "There is {} of clearance in {}: say what is allowed, --allowed 0.02..0.06, to be told whether it can stay.",
        clear(bush),
        bush.called()
    )
}

/// How to come to the bore, where bushes are pressed in.
fn first_choice(answer: &BushFits) -> Vec<String> {
    let pressed = || answer.bushes.iter().filter_map(|bush| bush.pressed.as_ref());
    if pressed().next().is_none() {
        return Vec::new();
    }
    let mut said =
        vec!["Of a new bush leave 0.1 mm in the bore, press it in, then finish it to size in place.".to_owned()];
    if pressed().any(|pressed| pressed.close_in == CloseIn::AllOfInterference) {
        said.push(
            "Without both materials, --of and --into, the bore is taken to close by all of the interference: that is near \
             the most, and the bore may come out large."
                .into(),
        );
    }
    said.extend(pressed().filter(|pressed| pressed.too_hot_for_hardened_gears).find_map(too_hot));
    said
}

/// That warming a gear so far would soften it.
fn too_hot(pressed: &PressedBushFit) -> Option<String> {
    let kelvin = pressed.drop_in_kelvin?;
    Some(format!(
        "To drop a bush in, its housing would have to be {kelvin:.0} K warmer: no hardened gear over 150 degrees. Cool the \
         bush, or press it."
    ))
}

/// Which bushes lose their hold when hot.
fn letting_go(answer: &BushFits) -> Option<String> {
    let lets_go = |bush: &&BushFit| bush.hot.iter().any(|hot| hot.lets_go);
    let names: Vec<String> = answer.bushes.iter().filter(lets_go).map(BushFit::called).collect();
    (!names.is_empty())
        .then(|| format!("When hot {} CAN TURN in the housing: no interference is left.", short_list(&names)))
}

/// The fit that is tightest when hot, or that closes up.
fn tightest(answer: &BushFits) -> Option<String> {
    let hot = || answer.bushes.iter().flat_map(|bush| bush.hot.iter().map(move |hot| (bush, hot)));
    let (bush, hot) = least_clear(hot().filter(|(_, hot)| hot.closes_up)).or_else(|| least_clear(hot()))?;
    let does = match (hot.closes_up, hot.clearance_mm <= 0.0) {
        (true, true) => "SEIZES",
        (true, false) => "closes up",
        (false, _) if answer.bushes.len() > 1 => "is the tightest",
        (false, _) => "runs free",
    };
    let free = if hot.interference_mm.is_none() {
        " Its bore is taken to grow freely: a bush that is pressed in grows less; say how it is, --bush-outside."
    } else {
        ""
    };
    Some(format!(
        "When hot {} {does}: {} clear, of {:.3} mm when cold, the bush {:+.0} K and the shaft {:+.0} K.{free}",
        bush.called(),
        arc(hot.clearance_mm),
        hot.cold_clearance_mm,
        hot.bush_kelvin,
        hot.shaft_kelvin
    ))
}

fn least_clear<'a>(fits: impl Iterator<Item = (&'a BushFit, &'a HotBushFit)>) -> Option<(&'a BushFit, &'a HotBushFit)> {
    fits.min_by(|a, b| a.1.clearance_mm.total_cmp(&b.1.clearance_mm))
}

/// What to say that the fit when hot may be told.
fn heat_untold(answer: &BushFits) -> Option<String> {
    let untold: Vec<&BushFit> = answer.bushes.iter().filter(|bush| bush.heat_untold.is_some()).collect();
    let of = match &untold[..] {
        [] => return None,
        [only] => only.called(),
        several => bushes(several.len()),
    };
    let is_pressed = untold.iter().any(|bush| bush.heat_untold == Some(HeatUntold::NeedsBothMaterials));
    let what = if is_pressed {
        "say what bush and housing are made of, --of bronze --into steel"
    } else {
        "say what the bore is in, --of bronze, or how the bush is pressed in"
    };
    Some(format!("The fit of {of} when hot is not told: {what}."))
}

/// Which verdicts rest on readings that are not close enough.
fn unsure(answer: &BushFits) -> Option<String> {
    let unsure: Vec<&BushFit> = answer.bushes.iter().filter(|bush| !bush.is_sure).collect();
    let usual = answer.usual_error_taken;
    let Some(first) = unsure.first() else {
        let said = "Readings that say nothing of it are taken as good to 0.01 mm (0.4 thou): --within says otherwise.";
        return usual.then(|| said.to_owned());
    };
    let names: Vec<String> = unsure.iter().take(MOST).map(|bush| bush.called()).collect();
    let many = if unsure.len() > MOST { "several bushes".into() } else { list(&names) };
    let within = if usual { ", each reading to 0.01 mm where --within does not say otherwise" } else { "" };
    Some(format!(
        "The verdict on {many} is not sure: a clearance is good to {}{within}. Measure again more closely.",
        arc(first.good_to_mm)
    ))
}

fn bushes(count: usize) -> String {
    if count == 1 { "1 bush".into() } else { format!("{count} bushes") }
}

//! Bushes in plain words: what to replace or open and to what, what can stay, what to beware of.

use crate::bench::{BushFit, BushFits, BushVerdict, CloseIn};
use crate::report::matching::sizes::arc;
use crate::report::words::{counted, list, short_list};

/// So many bushes are told of one by one.
const MOST: usize = 4;

/// What to do first, and what to mind.
pub(super) fn statements(answer: &BushFits) -> Vec<String> {
    let of = |verdict: BushVerdict| -> Vec<&BushFit> {
        answer.bushes.iter().filter(|bush| bush.verdict == Some(verdict)).collect()
    };
    let (worn, tight, good) = (of(BushVerdict::Worn), of(BushVerdict::TooTight), of(BushVerdict::Good));
    let mut said: Vec<String> = worn.iter().take(MOST).map(|bush| replace(bush)).collect();
    said.extend(tight.iter().take(MOST).map(|bush| open(bush)));
    let more = worn.len().saturating_sub(MOST) + tight.len().saturating_sub(MOST);
    if more > 0 {
        said.push(format!("{} more are not within what is allowed: see the table.", counted(more, "bush")));
    }
    said.extend(stay(&good));
    let unjudged: Vec<&BushFit> = answer.bushes.iter().filter(|bush| bush.verdict.is_none()).collect();
    said.extend(unjudged.iter().take(MOST).map(|bush| untold(bush)));
    said.extend(first_choice(answer));
    said.extend(heat(answer));
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

fn replace(bush: &BushFit) -> String {
    format!("REPLACE the bush of {}: {} clear{}. {}", bush.bush, clear(bush), allowed(bush), bore(bush))
}

fn open(bush: &BushFit) -> String {
    format!("OPEN the bush of {}: {} clear{}. {}", bush.bush, clear(bush), allowed(bush), bore(bush))
}

/// What to bore it to.
fn bore(bush: &BushFit) -> String {
    let Some([least, most]) = bush.finished_bore_mm else {
        return "No bore leaves what is allowed all along this shaft: grind the shaft true first.".into();
    };
    format!("Finish the bore at {least:.3} to {most:.3} mm.")
}

fn stay(good: &[&BushFit]) -> Option<String> {
    match good {
        [] => None,
        [only] => Some(format!("Leave the bush of {}: {} clear{}.", only.bush, clear(only), allowed(only))),
        several => {
            let names: Vec<String> = several.iter().map(|bush| bush.bush.clone()).collect();
            Some(format!("Leave the bushes of {}: their clearance is within what is allowed.", short_list(&names)))
        }
    }
}

fn untold(bush: &BushFit) -> String {
    format!(
        "{}: {} clear. Say what is allowed, --allowed 0.02..0.06, to be told whether it can stay.",
        bush.bush,
        clear(bush)
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
            "Without both materials the bore is taken to close by all of the interference: that is near the most, and the \
             bore may come out large."
                .into(),
        );
    }
    if pressed().any(|pressed| pressed.too_hot_for_hardened_gears) {
        said.push("Do not warm a hardened gear over 150 degrees to drop a bush in: cool the bush, or press it.".into());
    }
    said
}

/// What becomes of the fit when warm.
fn heat(answer: &BushFits) -> Vec<String> {
    let hot = || answer.bushes.iter().flat_map(|bush| bush.hot.iter().map(move |hot| (bush, hot)));
    let mut said = Vec::new();
    let letting_go: Vec<String> = hot().filter(|(_, hot)| hot.lets_go).map(|(bush, _)| bush.bush.clone()).collect();
    if let [first, ..] = &letting_go[..] {
        let is_one = letting_go.iter().all(|name| name == first);
        let names = if is_one { first.clone() } else { short_list(&letting_go) };
        said.push(format!("The bush of {names} CAN TURN in its housing when hot: no interference is left."));
    }
    let tightest = hot().filter(|(_, hot)| hot.closes_up).min_by(|a, b| a.1.clearance_mm.total_cmp(&b.1.clearance_mm));
    if let Some((bush, hot)) = tightest {
        let what = if hot.clearance_mm <= 0.0 { "SEIZES" } else { "closes up" };
        said.push(format!(
            "{} {what} when hot: {} clear with the shaft {:+.0} K, of {:.3} mm when cold.",
            bush.bush,
            arc(hot.clearance_mm),
            hot.shaft_kelvin,
            hot.cold_clearance_mm
        ));
    } else if let Some((bush, hot)) = hot().min_by(|a, b| a.1.clearance_mm.total_cmp(&b.1.clearance_mm)) {
        said.push(format!(
            "Hot, {} is the tightest: {} clear with the shaft {:+.0} K, of {:.3} mm when cold.",
            bush.bush,
            arc(hot.clearance_mm),
            hot.shaft_kelvin,
            hot.cold_clearance_mm
        ));
    }
    said
}

/// Which verdicts rest on readings that are not close enough.
fn unsure(answer: &BushFits) -> Vec<String> {
    let unsure: Vec<&BushFit> = answer.bushes.iter().filter(|bush| !bush.is_sure).collect();
    let mut said = Vec::new();
    if let Some(first) = unsure.first() {
        let names: Vec<String> = unsure.iter().take(MOST).map(|bush| bush.bush.clone()).collect();
        let many = if unsure.len() > MOST { "several bushes".into() } else { list(&names) };
        said.push(format!(
            "The verdict on {many} is not sure: a clearance is good to {}. Measure again more closely.",
            arc(first.good_to_mm)
        ));
    }
    if answer.usual_error_taken {
        said.push(
            "Readings that say nothing of it are taken as good to 0.01 mm (0.4 thou): --within says otherwise.".into(),
        );
    }
    said
}

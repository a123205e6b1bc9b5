//! Bands in plain words: what rubs or slips, how far ends travel, what to cut, what to beware of.

use crate::bench::{BandQuestion, BandSetting, BandSettings, HeldTorque};
use crate::gearset::MILLIMETRES_PER_INCH;
use crate::report::matching::sizes::arc;
use crate::report::words::{key, length, list, quoted};

/// So many bands are told of one by one.
const MOST: usize = 4;

/// What to do first, and what to mind.
pub(super) fn statements(answer: &BandSettings) -> Vec<String> {
    let bands = || answer.bands.iter().take(MOST);
    let mut said: Vec<String> = bands().filter(|band| band.rubs == Some(true)).map(rubs).collect();
    if answer.torque_given {
        said.extend(bands().filter_map(slips));
    }
    said.extend(bands().filter_map(travels));
    said.extend(bands().filter_map(lining));
    said.extend(bands().filter(|band| band.rubs == Some(false)).map(|band| {
        let least = band.gap_round_mm.map_or(0.0, |[least, _]| least);
        format!("{}: does not rub; {} are left where the drum stands out most.", named(band), arc(least))
    }));
    said.extend(bands().filter_map(|band| if answer.torque_given { holds(band) } else { enough_for(band) }));
    said.extend(bands().filter_map(holds_alone));
    said.extend(lacking(answer));
    said.push("Lining dust: treat it as asbestos; wet, no air line, bag it.".into());
    said
}

/// A band at the beginning of a sentence.
fn named(band: &BandSetting) -> &str {
    if band.band == BandQuestion::WITHOUT_NAME { "The band" } else { &band.band }
}

fn rubs(band: &BandSetting) -> String {
    let short = band.gap_round_mm.map_or(0.0, |[least, _]| -least);
    format!(
        "{} RUBS once a turn: the gap is short by {}. Open it by that, or turn the drum true: a band that drags cracks the drum.",
        named(band),
        arc(short)
    )
}

fn slips(band: &BandSetting) -> Option<String> {
    let worst = least_enough(band).filter(|worst| !worst.holds)?;
    Some(format!(
        "{} SLIPS in {} {}: it holds {:.0} N m and has to hold {:.0}.",
        named(band),
        quoted(&worst.state),
        key(&worst.when),
        worst.capacity_newton_metres,
        worst.demand_newton_metres
    ))
}

/// That it holds the torque that is given, by how much where it is least.
fn holds(band: &BandSetting) -> Option<String> {
    let worst = least_enough(band).filter(|worst| worst.holds)?;
    Some(format!(
        "{}: holds; in {} {}, which asks most, {:.0} N m of the {:.0} that it can.",
        named(band),
        quoted(&worst.state),
        key(&worst.when),
        worst.demand_newton_metres,
        worst.capacity_newton_metres
    ))
}

fn travels(band: &BandSetting) -> Option<String> {
    let (travel, gap, more) = (band.travel_mm?, band.gap_mm?, band.wear_travel_mm?);
    Some(format!(
        "{}: its end travels {} to close the gap of {gap:.2} mm; {:.2} mm of wear adds {more:.2} mm.",
        named(band),
        length(travel),
        band.wear_mm
    ))
}

fn lining(band: &BandSetting) -> Option<String> {
    let (mm, name) = (band.lining_length_mm?, named(band));
    let inches = mm / MILLIMETRES_PER_INCH;
    let closed = if band.gap_mm.is_none() { ", as if closed on the drum: give the gap as well" } else { "" };
    Some(format!(
        "{name}: cut the lining {mm:.1} mm ({inches:.2} in) long, measured in the middle of its thickness{closed}."
    ))
}

fn enough_for(band: &BandSetting) -> Option<String> {
    let worst = least_enough(band)?;
    Some(format!(
        "{}: enough for {:.0} N m on the input, {} {} asking most.",
        named(band),
        worst.enough_for_newton_metres,
        quoted(&worst.state),
        key(&worst.when)
    ))
}

/// What it holds in both senses, where it is not known what it has to.
fn holds_alone(band: &BandSetting) -> Option<String> {
    let (on, off) = (band.wrapping_on_newton_metres?, band.unwinding_newton_metres?);
    band.states.is_empty().then(|| {
        format!("{}: holds {on:.1} N m where its drum pulls it on, {off:.1} N m where it pulls it off.", named(band))
    })
}

fn least_enough(band: &BandSetting) -> Option<&HeldTorque> {
    band.states.iter().min_by(|a, b| a.enough_for_newton_metres.total_cmp(&b.enough_for_newton_metres))
}

/// What to give as well to be told what is not.
fn lacking(answer: &BandSettings) -> Vec<String> {
    let bands = || answer.bands.iter();
    let wrap = |band: &BandSetting| (band.wrap_degrees.is_none(), "the wrap (--wrap 330)");
    let gap = |band: &BandSetting| (band.gap_mm.is_none(), "the gap (--gap 0.5)");
    let drum = |band: &BandSetting| (band.drum_diameter_mm.is_none(), "the drum (--drum 190)");
    let give = |lacks: Vec<(bool, &str)>, what: &str| {
        let lacks: Vec<String> =
            lacks.into_iter().filter(|(is_lacking, _)| *is_lacking).map(|(_, it)| it.into()).collect();
        format!("Give {} to be told {what}.", list(&lacks))
    };
    let travel = bands().next().filter(|_| bands().all(|band| band.travel_mm.is_none()));
    let travel = travel.map(|band| give(vec![wrap(band), gap(band)], "how far the end of a band travels"));
    let unmeasured = bands().find(|band| band.lining_mm.is_some() && band.lining_length_mm.is_none());
    let lining = unmeasured.map(|band| give(vec![wrap(band), drum(band)], "how long to cut the lining"));
    let unjudged = bands().find(|band| band.run_out_mm.is_some() && band.gap_mm.is_none());
    let rubbing = unjudged.map(|band| give(vec![gap(band)], "whether the drum rubs"));
    [travel, lining, rubbing].into_iter().flatten().collect()
}

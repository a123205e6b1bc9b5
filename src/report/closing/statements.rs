//! Whether teeth close, what to change, and what can be chosen, in plain words.

use crate::clearance::Gap;
use crate::fit::{
    FaultWeight, GearFault, GearFit, GearShift, MeshFault, MeshFit, PinCircleFit, PinCircleOrigin, SharedShift,
    SplitWay, ToothFit,
};
use crate::gearset::{GearKind, Gearset, Pair};
use crate::report::timing;
use crate::report::words::{self, Units, key, list, mesh};

/// Shifts below this are none.
const NO_SHIFT: f64 = 0.0005;
/// So many faults are told in words; the tables tell the others.
const MOST_TOLD: usize = 8;

/// What is told, the first what to do.
pub(super) fn statements(set: &Gearset, fit: &ToothFit) -> Vec<String> {
    let mut said = vec![verdict(set, fit)];
    let faults = faults(set, fit);
    let more = faults.len().saturating_sub(MOST_TOLD);
    said.extend(faults.into_iter().take(MOST_TOLD));
    said.extend((more > 0).then(|| format!("... and {} more, in the tables.", words::counted(more, "fault"))));
    said.extend(fit.pin_circles.iter().filter_map(|circle| elsewhere(set, circle)));
    said.extend(ring_tips(set, fit));
    said.extend(fit.splits.iter().filter_map(|part| not_so(set, part)));
    said.extend(nothing_to_split(fit));
    said.extend(choices(set, fit));
    said.extend(thickness(fit));
    said
}

fn verdict(set: &Gearset, fit: &ToothFit) -> String {
    let shifts = shifts(set, fit);
    let with = if shifts.is_empty() {
        "without shift".to_owned()
    } else {
        let others = if shifts.len() < fit.gears.len() { ", the others without" } else { "" };
        format!("with x {}{others}", list(&shifts))
    };
    match (fit.closes, fit.sound) {
        (false, _) => {
            let open = fit.meshes.iter().filter(|mesh| mesh.faults.iter().any(MeshFault::keeps_open));
            let open: Vec<String> = open.map(|open| mesh(set, open.mesh)).collect();
            format!("Does NOT close{}: {}.", on_pins(set, fit), list(&open))
        }
        (true, false) => format!("Closes{} {with}, but do NOT cut it so:", on_pins(set, fit)),
        (true, true) => format!("Closes{} {with}.", on_pins(set, fit)),
    }
}

/// ` on pins 75 mm (2.9528 in) from the axis`.
fn on_pins(set: &Gearset, fit: &ToothFit) -> String {
    let planet = |circle: &PinCircleFit| format!(" of {}", words::member(set, circle.planet));
    match &fit.pin_circles[..] {
        [] => String::new(),
        [only] => format!(" on pins {} from the axis", length(set, only.radius_mm)),
        [_, _, _, ..] => format!(" on the circles of its {} kinds of pins", fit.pin_circles.len()),
        several => {
            let each = several.iter().map(|circle| format!("{}{}", length(set, circle.radius_mm), planet(circle)));
            format!(" on pins {} from the axis", list(&each.collect::<Vec<_>>()))
        }
    }
}

fn length(set: &Gearset, millimetres: f64) -> String {
    Units::of_set(set).length(millimetres)
}

/// `-0.467 for l 37`, of every gear that is shifted.
fn shifts(set: &Gearset, fit: &ToothFit) -> Vec<String> {
    let shifted = fit.gears.iter().filter(|gear| gear.shift.abs() >= NO_SHIFT);
    shifted.map(|gear| format!("{:+.4} for {}", gear.shift, words::gear(set, gear.gear))).collect()
}

/// Every fault that matters, the weightiest first.
fn faults(set: &Gearset, fit: &ToothFit) -> Vec<String> {
    let of_meshes = fit
        .meshes
        .iter()
        .flat_map(|mesh| mesh.faults.iter().map(move |fault| (fault.weight(), mesh_fault(set, mesh, fault))));
    let of_gears = fit
        .gears
        .iter()
        .flat_map(|gear| gear.faults.iter().map(move |fault| (fault.weight(), gear_fault(set, gear, fault))));
    let foul = fit.neighbours.iter().filter(|gap| gap.is_foul()).map(|gap| (FaultWeight::Fails, overlap(set, gap)));
    let mut told: Vec<(FaultWeight, String)> = of_meshes.chain(of_gears).chain(foul).collect();
    told.sort_by_key(|(weight, _)| *weight);
    told.into_iter().map(|(_, sentence)| sentence).collect()
}

/// A fault of a mesh, and what helps.
pub(super) fn mesh_fault(set: &Gearset, fit: &MeshFit, fault: &MeshFault) -> String {
    let name = mesh(set, fit.mesh);
    let gear = |id| words::gear(set, id);
    let micro = |millimetres: f64| length(set, millimetres);
    match fault {
        MeshFault::DoesNotClose { shift_off } => format!(
            "{name}: its described shifts leave the sum {:.4} too {}; leave one of them out, and it follows.",
            shift_off.abs(),
            if *shift_off > 0.0 { "small" } else { "large" }
        ),
        MeshFault::TooClose => {
            format!("{name}: no shift closes it, the base circles are too far apart for that distance.")
        }
        MeshFault::NoMesh => format!("{name}: these counts and shifts leave no mesh."),
        MeshFault::LetsGo { contact_ratio } if *contact_ratio <= 0.0 => {
            format!("{name}: the teeth do not reach one another.")
        }
        MeshFault::LetsGo { contact_ratio } => {
            format!("{name}: contact ratio {contact_ratio:.2}: teeth let go before the next take hold.")
        }
        MeshFault::ShortContact { contact_ratio } => {
            format!("{name}: contact ratio {contact_ratio:.2}, commonly 1.2 or more.")
        }
        MeshFault::TipFoulsRoot { gear: id, by_mm } => {
            format!("{name}: the tip of {} fouls the root opposite by {}.", gear(*id), micro(*by_mm))
        }
        MeshFault::TipNearRoot { gear: id, clearance_mm } if *clearance_mm < 0.0005 => {
            format!("{name}: the tip of {} touches the root opposite.", gear(*id))
        }
        MeshFault::TipNearRoot { gear: id, clearance_mm } => {
            format!("{name}: the tip of {} clears the root opposite by {} only.", gear(*id), micro(*clearance_mm))
        }
        MeshFault::TipBeyondFlank { gear: id, by_mm, tip_diameter_mm } => {
            let is_ring = set.gear(*id).kind() == GearKind::Internal;
            format!(
                "{name}: the tips of {} run {} into the fillet of the other; {} to {}.",
                gear(*id),
                micro(*by_mm),
                if is_ring { "open them" } else { "turn them down" },
                length(set, *tip_diameter_mm)
            )
        }
        MeshFault::TipsMeet => {
            format!("{name}: the tips meet away from the line of action; shorten them, or more teeth apart.")
        }
        MeshFault::Binds { by_mm } => {
            format!("{name}: binds, the teeth are too thick by {} at the pitch circle.", micro(*by_mm))
        }
        MeshFault::AlongAxisOnly => format!("{name}: slide the ring on along the axis; it does not go on sideways."),
    }
}

/// A fault of a gear, and what helps.
pub(super) fn gear_fault(set: &Gearset, fit: &GearFit, fault: &GearFault) -> String {
    let name = words::gear(set, fit.gear);
    match fault {
        GearFault::Undercut { least_shift: Some(least) } => {
            format!("{name} is undercut below x {least:+.3}; give it that or more.")
        }
        GearFault::Undercut { least_shift: None } => format!("{name} is undercut by its shaper; give it more shift."),
        GearFault::Pointed => format!("{name} is pointed: its flanks meet before the tip; less shift, or a lower tip."),
        GearFault::ThinTip { modules } => {
            format!("{name}: its tips are {modules:.2} module thin, commonly 0.4 or more where case-hardened.")
        }
        GearFault::NoInvoluteAtTip => {
            format!("{name}: its tips lie inside the base circle, where there is no involute; shorten them.")
        }
        GearFault::TipTrimmed { least_tip_diameter_mm } => format!(
            "{name}: the cutter takes its tips down to {}; order that, or a cutter with fewer teeth.",
            length(set, *least_tip_diameter_mm)
        ),
        GearFault::CannotBeCut => format!("{name}: that cutter and the gear do not mesh."),
        GearFault::ThinWall { wall_mm, usual_mm } => format!(
            "{name}: {} between bore and roots, commonly {} or more.",
            length(set, *wall_mm),
            length(set, *usual_mm)
        ),
        GearFault::LargeShift => format!("{name}: a shift of {:+.2} is larger than is usual.", fit.shift),
    }
}

/// Neighbours whose tips are in one another's way.
fn overlap(set: &Gearset, gap: &Gap) -> String {
    let by = gap.millimetres.map_or_else(|| format!("{:.2} modules", -gap.modules), |room| length(set, -room));
    format!("The tips of {} overlap by {by}: take fewer pins, or other tooth counts.", timing::pair(set, gap))
}

/// Where else the pins could stand: told where they do not serve.
fn elsewhere(set: &Gearset, circle: &PinCircleFit) -> Option<String> {
    let planet = words::member(set, circle.planet);
    match (circle.window_mm, circle.quarrel) {
        (Some(window), _) if is_outside(circle.radius_mm, window) => Some(format!(
            "Pins of {planet} from {} to {} would serve.",
            length(set, window.first),
            length(set, window.second)
        )),
        (None, Some(quarrel)) if circle.origin == PinCircleOrigin::Described || quarrel.first != quarrel.second => {
            Some(format!(
                "No pin circle serves both {} and {} of {planet} without undercut or thin tips.",
                mesh(set, quarrel.first),
                mesh(set, quarrel.second)
            ))
        }
        _ => None,
    }
}

/// Whether pins stand where not every gear could be cut; shifts with four decimals leave a micrometre or two.
fn is_outside(radius: f64, window: Pair<f64>) -> bool {
    const ROUNDING: f64 = 0.005;
    radius < window.first - ROUNDING || radius > window.second + ROUNDING
}

/// A way that was asked for and gives nothing.
fn not_so(set: &Gearset, part: &SharedShift) -> Option<String> {
    let taken = part.ways.iter().find(|way| way.taken)?;
    (taken.split != part.asked).then(|| {
        let (asked, taken) = (key(&part.asked), key(&taken.split));
        format!("--split {asked} gives no shifts for {}: they are {taken}.", mesh(set, part.mesh))
    })
}

/// A way that was asked for where nothing can be shared out.
fn nothing_to_split(fit: &ToothFit) -> Option<String> {
    let is_idle = fit.splits.is_empty() && fit.split_asked != SplitWay::default();
    is_idle.then(|| format!("--split {} changes nothing: no shift is left to choose.", key(&fit.split_asked)))
}

/// What another way to share out a shift would give, where something is to be shifted.
fn choices(set: &Gearset, fit: &ToothFit) -> Option<String> {
    let is_shifted = |shifts: &[GearShift]| shifts.iter().any(|shift| shift.shift.abs() >= NO_SHIFT);
    let parts = fit
        .splits
        .iter()
        .filter(|part| part.ways.iter().any(|way| way.taken && way.shifts.as_deref().is_some_and(is_shifted)));
    let part = parts.into_iter().next()?;
    let taken = part.ways.iter().find(|way| way.taken)?;
    let clear = part.ways.iter().find(|way| way.split == SplitWay::NoUndercut);
    let moves = clear.is_some_and(|way| way.shifts.is_some() && way.shifts != taken.shifts);
    let wanted = match (taken.split == SplitWay::AsDrawn, moves) {
        (true, true) => SplitWay::NoUndercut,
        (true, false) => SplitWay::EqualSliding,
        (false, _) => SplitWay::AsDrawn,
    };
    let other = part.ways.iter().find(|way| way.split == wanted && way.shifts.is_some())?;
    let shifts = other.shifts.iter().flatten();
    let shifts: Vec<String> =
        shifts.map(|shift| format!("{:+.3} for {}", shift.shift, words::gear(set, shift.gear))).collect();
    Some(format!(
        "One shift of {} can be chosen: --split {} gives x {}.",
        mesh(set, part.mesh),
        key(&other.split),
        list(&shifts)
    ))
}

/// Where nothing says how thick the teeth are.
fn thickness(fit: &ToothFit) -> Option<String> {
    let is_full = fit.gears.iter().all(|gear| gear.thinning_mm <= 0.0);
    (is_full && fit.closes)
        .then(|| "No backlash until the teeth are thinned: give backlash, or thinned of a gear.".into())
}

/// Rings whose full tips would run into a fillet.
fn ring_tips(set: &Gearset, fit: &ToothFit) -> Vec<String> {
    const NOTHING: f64 = 0.0005;
    let is_opened =
        |gear: &&GearFit| set.gear(gear.gear).kind() == GearKind::Internal && gear.tip_shortened_mm > NOTHING;
    let opened: Vec<&GearFit> = fit.gears.iter().filter(is_opened).collect();
    match &opened[..] {
        [] => Vec::new(),
        [only] => vec![format!(
            "The tips of {} are taken as opened to {}: full ones run into the fillets of its gear.",
            words::gear(set, only.gear),
            length(set, only.tip_diameter_mm)
        )],
        several => {
            let names: Vec<String> = several.iter().map(|gear| words::gear(set, gear.gear)).collect();
            vec![format!(
                "The tips of {} are taken as opened, as listed: full ones run into the fillets of their gears.",
                list(&names)
            )]
        }
    }
}

//! The answer on backlash in plain words: which pin binds and what to do, who carries first, what to beware of.

use super::sharing;
use super::tables::{changes, is_size, loaded};
use crate::clearance::BacklashSource;
use crate::fit::{
    BacklashOfMesh, BacklashOnPin, BacklashSurvey, BacklashUntold, BacklashVerdict, CarryingContact, ContactsUntold,
    GroupBacklash, PinStand,
};
use crate::gearset::Gearset;
use crate::report::matching::contacts::{gears, is_nothing, pins};
use crate::report::matching::sizes::side;
use crate::report::words::{Units, gear, key, list, mesh, planets, quoted, short_list, told_together};
use crate::timing::ContactPin;

/// So many pins that bind are told of one by one.
const MOST_PINS: usize = 3;

/// What is told of all planets, and what to mind.
pub(super) fn statements(set: &Gearset, answer: &BacklashSurvey) -> Vec<String> {
    let names = |group: &GroupBacklash| planets(set, &group.planets);
    let mut said = match &answer.groups[..] {
        [only] => of_group(set, only),
        several => {
            let mut in_order: Vec<&GroupBacklash> = several.iter().collect();
            // What binds is told first, then who waits.
            in_order.sort_by_key(|group| (!group.pins.iter().any(binds), group.worst_contact.is_none()));
            told_together(in_order.into_iter().map(|group| (names(group), of_group(set, group))))
        }
    };
    said.extend(least(set, answer));
    let untold = answer.groups.iter().map(|group| (names(group), carrying_untold(group).into_iter().collect()));
    said.extend(match &answer.groups[..] {
        [only] => carrying_untold(only).into_iter().collect(),
        _ => told_together(untold),
    });
    said.extend(sharing::shares(set, answer));
    let unknown = not_known(set, answer);
    // Where none is known that is what to do first.
    let at = if answer.binds || unknown.as_ref().is_some_and(|it| !it.of_all) { said.len() } else { 0 };
    said.splice(at..at, unknown.map(|it| it.said));
    said.extend(run_outs(set, answer));
    said.extend(rocking(set, answer));
    said.extend(hot(set, answer));
    said
}

fn of_group(set: &Gearset, group: &GroupBacklash) -> Vec<String> {
    if let Some(reason) = group.untold {
        return vec![untold(reason).into()];
    }
    let mut said = binding(set, group);
    said.extend(may_bind(set, group));
    if said.is_empty() || !group.pins.iter().any(binds) {
        said.extend(first(set, group));
    }
    said
}

/// A small length in the units of the gearset.
fn arc(set: &Gearset, millimetres: f64) -> String {
    Units::of_set(set).arc(millimetres)
}

fn untold(reason: BacklashUntold) -> &'static str {
    match reason {
        BacklashUntold::NoPitch => "No backlash is told: give the pitch of every mesh (--module 2.5 or --dp 10).",
        BacklashUntold::Bevel => "No backlash is told of bevel gears: it is set by their shims.",
        BacklashUntold::NotPlaced => {
            "No backlash is told: the pins have no place that fits the teeth. toothmark check says what stands in the way."
        }
    }
}

fn binds(pin: &PinStand) -> bool {
    pin.verdict == Some(BacklashVerdict::Binds)
}

/// A sentence for pins that bind alike: where, by how much, what to do.
fn binding(set: &Gearset, group: &GroupBacklash) -> Vec<String> {
    let mut alike: Vec<(BoundPin, Vec<String>)> = Vec::new();
    for pin in group.pins.iter().filter(|pin| binds(pin)) {
        let (bound, name) = (bound(set, group, pin), pin_name(set, group, pin));
        match alike.iter_mut().find(|(other, _)| *other == bound) {
            Some((_, names)) => names.push(name),
            None => alike.push((bound, vec![name])),
        }
    }
    let mut said: Vec<String> = alike.iter().take(MOST_PINS).map(|(bound, names)| bound.told(names)).collect();
    let rest: Vec<String> = alike.iter().skip(MOST_PINS).flat_map(|(_, names)| names.clone()).collect();
    if !rest.is_empty() {
        said.push(format!("{} BIND as well.", capital(&short_list(&rest))));
    }
    said
}

/// Where a pin binds and what frees it, in words.
#[derive(PartialEq, Eq)]
struct BoundPin {
    meshes: String,
    short: String,
    set: Option<String>,
    take_off: String,
}

impl BoundPin {
    fn told(&self, names: &[String]) -> String {
        let (bind, it) = if names.len() == 1 { ("BINDS", "it") } else { ("BIND", "each") };
        let set = self.set.as_ref().map(|set| format!("set {it} {set} or ")).unwrap_or_default();
        let Self { meshes, short, take_off, .. } = self;
        format!(
            "{} {bind} at {meshes}, short by {short}: {set}{take_off}, and more for backlash.",
            capital(&list(names))
        )
    }
}

fn bound(set: &Gearset, group: &GroupBacklash, pin: &PinStand) -> BoundPin {
    let short = |found: &BacklashOfMesh| found.pins[pin.pin - 1].to_take_off_mm;
    let is_own = |found: &&BacklashOfMesh| {
        set.mesh(found.mesh).gears().each().iter().any(|&gear| set.gear(gear).member() == pin.planet)
    };
    let here: Vec<&BacklashOfMesh> =
        group.meshes.iter().filter(is_own).filter(|found| short(found).is_some()).collect();
    let worst = arc(set, here.iter().filter_map(|found| short(found)).fold(0.0, f64::max));
    let way = |mm: f64| format!("{} further {}", arc(set, mm.abs()), if mm > 0.0 { "out" } else { "in" });
    let set_to = pin.to_move_outward_mm.filter(|mm| is_size(*mm)).map(|mm| {
        // What frees it lies on the way back to its place.
        if -pin.outward_mm * mm.signum() > mm.abs() {
            format!("back in its place, {}, of which {} just free it;", way(-pin.outward_mm), arc(set, mm.abs()))
        } else {
            format!("{},", way(mm))
        }
    });
    BoundPin {
        meshes: short_list(&here.iter().map(|found| mesh(set, found.mesh)).collect::<Vec<_>>()),
        take_off: format!("take {worst} off the flanks {}", if here.len() > 1 { "of each" } else { "there" }),
        short: worst,
        set: set_to,
    }
}

/// `pin 2`, and of planets of several kinds which.
fn pin_name(set: &Gearset, group: &GroupBacklash, pin: &PinStand) -> String {
    if group.planets.len() == 1 {
        format!("pin {}", pin.pin)
    } else {
        format!("pin {} of {}", pin.pin, quoted(set.member(pin.planet).name()))
    }
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map(|first| first.to_uppercase().chain(letters).collect()).unwrap_or_default()
}

/// Where it may bind with the planet to one side of its bush, or where gears run out.
fn may_bind(set: &Gearset, group: &GroupBacklash) -> Option<String> {
    let pins = |found: &BacklashOfMesh| -> Vec<BacklashOnPin> {
        let tight = |pin: &&BacklashOnPin| pin.verdict == Some(BacklashVerdict::MayBind);
        found.pins.iter().filter(tight).copied().collect()
    };
    let tight: Vec<&BacklashOfMesh> = group.meshes.iter().filter(|found| !pins(found).is_empty()).collect();
    let least = |found: &BacklashOfMesh| {
        pins(found).iter().map(|pin| pin.least.at_pitch_circle_mm).fold(f64::INFINITY, f64::min)
    };
    let worst = tight.iter().copied().min_by(|a, b| least(a).total_cmp(&least(b)))?;
    let meshes: Vec<String> = tight.iter().map(|found| mesh(set, found.mesh)).collect();
    Some(format!(
        "May bind at {}: at worst {} is short by {} where bush and run-out come together. Turn it by hand once round.",
        short_list(&meshes),
        mesh(set, worst.mesh),
        arc(set, -least(worst))
    ))
}

/// Who carries first, and which pin to set back.
fn first(set: &Gearset, group: &GroupBacklash) -> Vec<String> {
    let Some(worst) = group.worst_contact.map(|at| &group.contacts[at]) else {
        let at_once = "All pins begin to carry at once: leave them as they are.";
        return if group.contacts.is_empty() { Vec::new() } else { vec![at_once.into()] };
    };
    let mut said = vec![format!("{}.", carried(set, group, worst))];
    let off: Vec<&PinStand> =
        group.pins.iter().filter(|pin| is_size(pin.outward_mm) || is_size(pin.ahead_mm)).collect();
    let back: Vec<String> = off.iter().take(MOST_PINS).map(|pin| set_back(set, pin)).collect();
    if group.has_measured_clusters {
        said.push("The clusters as measured count in this: toothmark match says where they do best.".into());
    } else if !back.is_empty() && off.len() < group.pins.len() {
        said.push(format!("To have all carry alike set {} (seen from the input side).", list(&back)));
    }
    said.extend(loose_bushes(set, group));
    said
}

/// Pins whose bushes are looser than the tightest, where they are few.
fn loose_bushes(set: &Gearset, group: &GroupBacklash) -> Option<String> {
    let tightest = group.pins.iter().map(|pin| pin.bush_clearance_mm).fold(f64::INFINITY, f64::min);
    let loose = group.pins.iter().filter(|pin| is_size(pin.bush_clearance_mm - tightest));
    let loose: Vec<String> = loose.map(|pin| pin.pin.to_string()).collect();
    let (word, pin) = if loose.len() == 1 { ("bush", "pin") } else { ("bushes", "pins") };
    (!loose.is_empty())
        .then(|| format!("Fit the {word} of {pin} {} like the tightest, {}.", list(&loose), arc(set, tightest)))
}

/// Where there is least backlash, where every mesh has some.
fn least(set: &Gearset, answer: &BacklashSurvey) -> Option<String> {
    let turns = |found: &BacklashOfMesh| found.verdict == Some(BacklashVerdict::Turns);
    let all = || answer.groups.iter().flat_map(|group| &group.meshes);
    if !all().all(turns) {
        return None;
    }
    let size = |found: &BacklashOfMesh| found.now.at_pitch_circle_mm;
    let least = all().min_by(|a, b| size(a).total_cmp(&size(b)))?;
    let pins = answer.groups.iter().flat_map(|group| &group.pins);
    let on_pin = if { pins }.any(|pin| is_size(pin.outward_mm)) {
        format!(" on pin {}", least.now_on_pin)
    } else {
        String::new()
    };
    let (size, mesh) = (arc(set, size(least)), mesh(set, least.mesh));
    Some(format!("Every mesh has backlash, the least now {size} at {mesh}{on_pin}."))
}

/// `In low in drive pin 1 carries first at L 20 with D 26 pushing, pin 3 0.030 mm (1.2 thou) later`.
fn carried(set: &Gearset, group: &GroupBacklash, worst: &CarryingContact) -> String {
    let mut together = worst.contact.pins.chunk_by(same);
    let first = together.next().unwrap_or_default();
    let later: Vec<String> = together
        .map(|late| {
            let doubt = if late[0].waits_for_sure { "" } else { " (or before)" };
            let size = late[0].mm_left.map_or_else(|| format!("{:.4} teeth", late[0].teeth_left), |mm| arc(set, mm));
            format!("{} {size} later{doubt}", pins(late))
        })
        .collect();
    let carries = if first.len() == 1 { "carries" } else { "carry" };
    let other = if loaded(group).count() > 1 { ", the worst load" } else { "" };
    let [pushing, holding] = [&worst.contact.pushing_gears, &worst.contact.holding_gears].map(|ids| gears(set, ids));
    let load = match worst.load_cases.first() {
        Some(case) => format!("{} {}{other}", quoted(&case.state), key(&case.power)),
        None => format!("{pushing} pushing clockwise{other}"),
    };
    format!("{} {carries} first, {} at {holding}: {load}", capital(&pins(first)), list(&later))
}

/// Whether two pins are told the same.
fn same(a: &ContactPin, b: &ContactPin) -> bool {
    (is_nothing(a) && is_nothing(b)) || a.rank == b.rank
}

/// `pin 2 0.100 mm (3.9 thou) further in`.
fn set_back(set: &Gearset, pin: &PinStand) -> String {
    let radial = is_size(pin.outward_mm).then(|| {
        format!("{} further {}", arc(set, pin.outward_mm.abs()), if pin.outward_mm > 0.0 { "in" } else { "out" })
    });
    let along = is_size(pin.ahead_mm).then(|| format!("{} {}", arc(set, pin.ahead_mm.abs()), side(-pin.ahead_mm)));
    let moves: Vec<String> = radial.into_iter().chain(along).collect();
    format!("pin {} {}", pin.pin, list(&moves))
}

fn carrying_untold(group: &GroupBacklash) -> Option<String> {
    let reason = match group.contacts_untold? {
        ContactsUntold::OnePin => return None,
        ContactsUntold::MeshedPlanets => "these planets mesh with one another",
        ContactsUntold::DoNotAssemble => "they do not assemble on these pins; toothmark timing says what would help",
        ContactsUntold::NoTwoBodies => {
            "they do not carry torque between two central bodies whose gears stand in a known way to one another"
        }
    };
    Some(format!("Which pin carries first is not told: {reason}."))
}

/// What is told where no backlash is known.
struct UnknownBacklash {
    said: String,
    of_all: bool,
}

fn not_known(set: &Gearset, answer: &BacklashSurvey) -> Option<UnknownBacklash> {
    let all = || answer.groups.iter().flat_map(|group| &group.meshes);
    let unknown: Vec<String> =
        all().filter(|found| found.source == BacklashSource::NotKnown).map(|found| mesh(set, found.mesh)).collect();
    if unknown.is_empty() {
        return None;
    }
    let of_all = unknown.len() == all().count();
    let whose = if of_all { String::new() } else { format!(" of {}", short_list(&unknown)) };
    let till_then = if all().any(changes) {
        "till then it is told what pins, bushes and run-out add to it and take from it"
    } else {
        "till then nothing tells whether it is enough"
    };
    let such_as = match Units::of_set(set) {
        Units::Millimetres => "0.1mm",
        Units::Inches => "\"4 thou\"",
    };
    Some(UnknownBacklash {
        said: format!("Measure the backlash{whose} and add it, such as --backlash {such_as}: {till_then}."),
        of_all,
    })
}

fn run_outs(set: &Gearset, answer: &BacklashSurvey) -> Option<String> {
    let gears: Vec<String> = answer.run_outs.iter().filter(|it| is_size(it.mm)).map(|it| gear(set, it.gear)).collect();
    let carries = answer.groups.iter().any(|group| !group.contacts.is_empty());
    let turns = if gears.len() == 1 { "that gear" } else { "these gears" };
    let round =
        if carries { format!(", and the order in which pins carry goes round with {turns}") } else { String::new() };
    (!gears.is_empty()).then(|| format!("{} run-out: least and most come once a turn{round}.", has(&gears)))
}

fn has(names: &[String]) -> String {
    format!("{} {}", list(names), if names.len() == 1 { "has" } else { "have" })
}

/// What a hand feels beside the backlash.
fn rocking(set: &Gearset, answer: &BacklashSurvey) -> Option<String> {
    let all = answer.groups.iter().flat_map(|group| &group.pins);
    let most = all.map(|pin| pin.bush_clearance_mm).fold(0.0, f64::max);
    is_size(most)
        .then(|| format!("Rocked by hand a planet shows up to {} more: the clearance of its bush.", arc(set, most)))
}

/// Short backlash binds when hot.
fn hot(set: &Gearset, answer: &BacklashSurvey) -> Option<String> {
    let turns = |found: &&BacklashOfMesh| found.is_short && found.verdict != Some(BacklashVerdict::Binds);
    let short = answer.groups.iter().flat_map(|group| &group.meshes).filter(turns);
    let short: Vec<String> = short.map(|found| mesh(set, found.mesh)).collect();
    let which = if short.len() > 2 { format!("these {} meshes", short.len()) } else { list(&short) };
    let told = format!("Short backlash binds when hot: check {which} on a warm unit.");
    (!short.is_empty()).then_some(told)
}

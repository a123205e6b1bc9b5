//! The answer to "is this what I have, and what of it is worth a second look".
//!
//! First the remarks, the weightiest first, then what was looked at, then the description said back in words, so that a
//! slip of the pen shows: members with their gears, planets with their pins, meshes, sizes, controls, states.

mod measured;

use self::measured::measured;
use crate::gearset::{
    Action, Bearing, Control, CountedTurns, Force, Gear, GearKind, Gearset, Length, MemberId, Pair, Pitch, Place,
    PlanetGroup, Restraint, Sense, Side, State,
};
use crate::inspection::{CenterDistance, InspectedGroup, Remark, RemarkKind, RemarkedPart, Remarks};
use crate::report::answer::Answer;
use crate::report::found::readings;
use crate::report::render::document::{Block, Fact, Records};
use crate::report::render::escape::csv_name;
use crate::report::words::{counted, degrees, key, length, list, member, mesh, mixed, quoted, rounded};

impl Answer for Remarks {
    fn summary(&self, set: &Gearset) -> Vec<Block> {
        let mut blocks = vec![Block::Statements(vec![verdict(self)])];
        blocks.extend(self.remarks.iter().take(MOST_REMARKS).map(remark));
        let looked_at: Vec<Fact> = self.groups.iter().map(|group| looked_at(set, group)).collect();
        let description = facts(set).into_iter().take(MOST_FACTS).collect();
        blocks.extend([looked_at, description].into_iter().filter(|facts| !facts.is_empty()).map(Block::Facts));
        blocks
    }

    fn details(&self, set: &Gearset) -> Vec<Block> {
        let remarks = self.remarks.iter().skip(MOST_REMARKS).map(remark);
        let facts: Vec<Fact> = facts(set).into_iter().skip(MOST_FACTS).collect();
        remarks.chain((!facts.is_empty()).then_some(Block::Facts(facts))).collect()
    }

    fn in_details(&self, set: &Gearset) -> Option<&'static str> {
        let is_longer = self.remarks.len() > MOST_REMARKS || facts(set).len() > MOST_FACTS;
        is_longer.then_some("the rest of the description")
    }

    fn is_touched_by(&self, _: RemarkKind) -> bool {
        false
    }

    fn records(&self, set: &Gearset) -> Records {
        let row = |remark: &Remark| {
            let parts: Vec<String> = remark.parts.iter().map(|part| name(set, *part)).collect();
            vec![key(&remark.kind), csv_name(&remark.text), csv_name(&parts.join(", "))]
        };
        Records { fields: vec!["kind", "text", "parts"], rows: self.remarks.iter().map(row).collect() }
    }
}

/// The most remarks that are told on a screen.
const MOST_REMARKS: usize = 6;

/// The most facts of the description that are told on a screen.
const MOST_FACTS: usize = 16;

/// Whether anything needs a second look.
fn verdict(answer: &Remarks) -> String {
    match &answer.remarks[..] {
        [] => "The description is sound: nothing in it needs a second look.".into(),
        remarks => {
            let first = if remarks.len() == 1 { "" } else { ", the weightiest first" };
            format!("The description is sound; {} to look at once{first}.", counted(remarks.len(), "thing"))
        }
    }
}

fn remark(remark: &Remark) -> Block {
    Block::Note(remark.text.clone())
}

/// What was looked at in a group: assembly, room, centre distances.
fn looked_at(set: &Gearset, group: &InspectedGroup) -> Fact {
    let planets: Vec<String> = group.planets.iter().map(|&planet| member(set, planet)).collect();
    let assembles = if group.assembles { "assembles" } else { "does NOT assemble" };
    let room = group.least_room.map(|gap| {
        let size = gap.millimetres.map_or_else(|| format!("{:.2} modules", gap.modules), length);
        format!("least room between neighbours {size}")
    });
    let said: Vec<String> =
        [Some(assembles.to_owned()), room, distances(&group.center_distances)].into_iter().flatten().collect();
    Fact::new(&list(&planets), said.join("; "))
}

/// The centre distances, each once.
fn distances(asked: &[CenterDistance]) -> Option<String> {
    let mut told: Vec<String> = Vec::new();
    for distance in asked {
        let size = distance.millimetres.map_or_else(|| modules(distance.modules), length);
        if !told.contains(&size) {
            told.push(size);
        }
    }
    (!told.is_empty()).then(|| format!("centre distance {}", list(&told)))
}

fn modules(modules: f64) -> String {
    format!("{} modules", format!("{modules:.3}").trim_end_matches('0').trim_end_matches('.'))
}

fn name(set: &Gearset, part: RemarkedPart) -> String {
    match part {
        RemarkedPart::Member(id) => set.member(id).name().to_owned(),
        RemarkedPart::Gear(id) => set.gear(id).name().to_owned(),
        RemarkedPart::Mesh(id) => set.mesh_name(id),
        RemarkedPart::Control(id) => set.control(id).name().to_owned(),
    }
}

/// The whole description.
fn facts(set: &Gearset) -> Vec<Fact> {
    let joined = |pair: &Pair<MemberId>| {
        let [first, second] = pair.each().map(|id| member(set, id));
        Fact::new("joined", format!("{first} and {second} for good"))
    };
    let mut facts = members(set);
    facts.extend(set.planet_groups().iter().flat_map(|group| planets(set, group)));
    facts.push(Fact::new("in mesh", meshes(set)));
    facts.extend(sizes(set));
    facts.extend(set.joins().iter().map(joined));
    facts.extend(measured(set));
    facts.extend(set.controls().iter().map(|of| control(set, of)));
    facts.extend(bearings(set));
    facts.extend(set.states().iter().map(|of| state(set, of)));
    facts.extend(set.turned().iter().map(|turned| turned_by_hand(set, turned)));
    facts.extend(
        set.found()
            .map(|found| Fact::new("marks found", format!("seen from {}: {}", found.seen.name(), readings(set)))),
    );
    facts
}

fn turned_by_hand(set: &Gearset, turned: &CountedTurns) -> Fact {
    let good_to = format!("{}, each good to {} of a turn", set.turns_in_words(turned), mixed(&turned.within));
    Fact::new("turned by hand", good_to)
}

fn members(set: &Gearset) -> Vec<Fact> {
    let on_main_axis = set.members().iter().filter(|member| *member.place() == Place::MainAxis);
    on_main_axis
        .map(|member| {
            let gears: Vec<String> = member.gears().iter().map(|&gear| gear_in_words(set.gear(gear))).collect();
            let answer = if gears.is_empty() { "turns on the main axis, without gears".into() } else { list(&gears) };
            Fact::new(member.name(), answer)
        })
        .collect()
}

fn planets(set: &Gearset, group: &PlanetGroup) -> Vec<Fact> {
    let pins = group.places().len();
    let places: Vec<String> = group.places().iter().map(degrees).collect();
    group
        .planets()
        .iter()
        .map(|&planet| {
            let planet = set.member(planet);
            let gears: Vec<String> = planet.gears().iter().map(|&gear| gear_in_words(set.gear(gear))).collect();
            let answer = if group.carrier() == MemberId::CASE && pins == 1 {
                format!("a shaft on a fixed axis: {}", list(&gears))
            } else {
                let at = if pins == 1 { String::new() } else { format!(" at {} degrees", list(&places)) };
                format!("{} on {}, on {}{at}", list(&gears), member(set, group.carrier()), counted(pins, "pin"))
            };
            Fact::new(planet.name(), answer)
        })
        .collect()
}

fn bearings(set: &Gearset) -> Vec<Fact> {
    let bearing = |bearing: &Bearing| {
        let at = bearing.diameter().map(|diameter| format!(" at a diameter of {}", length(diameter.millimetres())));
        let wide = bearing.width().map(|width| format!(", {} wide", length(width.millimetres())));
        let fit = bearing.bore().zip(bearing.shaft()).map(|(bore, shaft)| {
            format!(", bore {} on shaft {}", length(bore.millimetres()), length(shaft.millimetres()))
        });
        let Pair { first, second } = bearing.members();
        let (first, second) = (member(set, first), member(set, second));
        Fact::new(
            "bearing",
            [format!("{first} on {second}"), at.unwrap_or_default(), wide.unwrap_or_default(), fit.unwrap_or_default()]
                .concat(),
        )
    };
    set.bearings().iter().map(bearing).collect()
}

fn meshes(set: &Gearset) -> String {
    list(&set.mesh_ids().map(|id| mesh(set, id)).collect::<Vec<_>>())
}

fn sizes(set: &Gearset) -> Vec<Fact> {
    let draft = set.draft();
    let pitch = draft.pitch.as_deref().map(|pitch| match pitch {
        Pitch::Module(value) => format!("module {} mm", rounded(value)),
        Pitch::Diametral(value) => format!("diametral pitch {} to the inch", rounded(value)),
    });
    let backlash = draft.backlash.as_deref().map(|backlash| match backlash {
        Length::Millimetres(value) => format!("{} mm at the pitch circle", rounded(value)),
        Length::Inches(value) => format!("{} in at the pitch circle", rounded(value)),
    });
    let efficiency = draft.efficiency.as_ref();
    pitch
        .map(|pitch| Fact::new("pitch", pitch))
        .into_iter()
        .chain(backlash.map(|backlash| Fact::new("backlash", backlash)))
        .chain(
            draft.pressure_angle.iter().map(|angle| Fact::new("pressure angle", format!("{} degrees", rounded(angle)))),
        )
        .chain((!draft.profile_shifts.is_empty()).then(|| Fact::new("profile shifts", shifts(set))))
        .chain(efficiency.map(|part| Fact::new("efficiency", format!("{} of each mesh", rounded(part)))))
        .collect()
}

/// The profile shifts given, in modules.
fn shifts(set: &Gearset) -> String {
    let shifts = set.draft().profile_shifts.iter();
    list(&shifts.map(|shift| format!("{} {} modules", shift.gear, rounded(&shift.modules))).collect::<Vec<_>>())
}

fn action(set: &Gearset, action: Action<MemberId>) -> String {
    match action {
        Action::Band(held) => format!("a band that holds {}", member(set, held)),
        Action::Clutch(pair) => {
            format!("a clutch between {} and {}", member(set, pair.first), member(set, pair.second))
        }
        Action::OneWayClutch(pair, stops) => format!(
            "a one-way clutch that keeps {} from turning {} against {}",
            member(set, pair.first),
            match stops {
                Sense::Forward => "forward",
                Sense::Backward => "backward",
            },
            member(set, pair.second)
        ),
    }
}

fn state(set: &Gearset, state: &State) -> Fact {
    let restraints: Vec<String> = state.restraints.iter().map(|of| restraint(set, of)).collect();
    let conditions = if restraints.is_empty() { "nothing applied".to_owned() } else { list(&restraints) };
    let (input, output) = (member(set, state.input), member(set, state.output));
    Fact::new(&format!("state {}", quoted(&state.name)), format!("{conditions}; input {input}, output {output}"))
}

fn restraint(set: &Gearset, restraint: &Restraint) -> String {
    match restraint {
        Restraint::Control(control) => format!("{} applied", quoted(set.control(*control).name())),
        Restraint::Held(held) => format!("{} held", member(set, *held)),
        Restraint::Joined(pair) => {
            format!("{} joined to {}", member(set, pair.first), member(set, pair.second))
        }
        Restraint::Turning(turning, speed) => {
            format!("{} at {} of the input's speed", member(set, *turning), speed.value())
        }
    }
}

fn control(set: &Gearset, control: &Control) -> Fact {
    let sizes = list_sizes(control);
    let with = if sizes.is_empty() { String::new() } else { format!("; {}", list(&sizes)) };
    Fact::new(control.name(), action(set, control.action()) + &with)
}

/// What is known of a band or of plates.
fn list_sizes(control: &Control) -> Vec<String> {
    let length = |size: &Length| match size {
        Length::Millimetres(value) => format!("{} mm", rounded(value)),
        Length::Inches(value) => format!("{} in", rounded(value)),
    };
    let force = |size: &Force| match size {
        Force::Newtons(value) => format!("{} N", rounded(value)),
        Force::PoundsForce(value) => format!("{} lbf", rounded(value)),
    };
    let mut sizes = Vec::new();
    if let Some(band) = control.band_sizes() {
        sizes.extend(band.wrap.as_ref().map(|wrap| format!("wrap {} degrees", degrees(&wrap.turns()))));
        sizes.extend(band.friction.as_ref().map(|value| format!("friction {}", rounded(value))));
        sizes.extend(band.radius.as_ref().map(|size| format!("radius {}", length(size))));
        sizes.extend(band.width.as_ref().map(|size| format!("width {}", length(size))));
        sizes.extend(band.from_anchor.map(|sense| match sense {
            Sense::Forward => "leads forward from its anchor".to_owned(),
            Sense::Backward => "leads backward from its anchor".to_owned(),
        }));
        sizes.extend(band.pull.as_ref().map(|size| format!("pulled with {}", force(size))));
    }
    if let Some(plates) = control.plate_sizes() {
        sizes.extend(plates.faces.as_ref().map(|value| format!("{value} faces")));
        sizes.extend(plates.friction.as_ref().map(|value| format!("friction {}", rounded(value))));
        sizes.extend(plates.outer_radius.as_ref().map(|size| format!("outer radius {}", length(size))));
        sizes.extend(plates.inner_radius.as_ref().map(|size| format!("inner radius {}", length(size))));
        sizes.extend(plates.force.as_ref().map(|size| format!("pressed with {}", force(size))));
    }
    sizes
}

fn gear_in_words(gear: &Gear) -> String {
    let kind = match gear.kind() {
        GearKind::External => "",
        GearKind::Internal => " internal",
        GearKind::BevelPlanet => " bevel",
        GearKind::BevelCentral(Side::Input) => " bevel, input-side",
        GearKind::BevelCentral(Side::Output) => " bevel, output-side",
    };
    let note = gear.note().map_or(String::new(), |note| format!(" (note: {})", quoted(note)));
    format!("{} with {}{kind} teeth{note}", gear.name(), gear.tooth_count().get())
}

//! What a description says, in words, with everything worth a second look.
//!
//! Read before anything is worked out, so that a slip of the pen shows: members with their
//! gears, planets with their pins, meshes, sizes, controls, states, then the notes.

mod measured;

use self::measured::measured;
use crate::exact::fraction;
use crate::gearset::{
    Action, Bearing, Control, Force, Gear, GearKind, Gearset, Length, MemberId, Note, Pair, Pitch, Place, PlanetGroup,
    Restraint, Sense, Side, State, notes,
};
use crate::report::found::{readings, side};
use crate::report::render::document::{Block, Document, Fact};
use crate::report::words::{counted, degrees, length, list, member, mesh, quoted, rounded};

/// A gearset in words.
#[derive(Debug, Clone)]
pub struct Overview<'a> {
    /// The gearset.
    pub set: &'a Gearset,
}

impl Overview<'_> {
    /// The overview for a person.
    pub fn document(&self) -> Document {
        let mut facts = Vec::new();
        facts.extend(self.members());
        facts.extend(self.set.planet_groups().iter().flat_map(|group| self.planets(group)));
        facts.push(Fact::new("in mesh", self.meshes()));
        facts.extend(self.sizes());
        facts.extend(self.set.joins().iter().map(|pair| {
            let answer = format!("{} and {} for good", member(self.set, pair.first), member(self.set, pair.second));
            Fact::new("joined", answer)
        }));
        facts.extend(measured(self.set));
        facts.extend(self.set.controls().iter().map(|control| {
            let sizes = list_sizes(control);
            let with = if sizes.is_empty() { String::new() } else { format!("; {}", list(&sizes)) };
            Fact::new(control.name(), self.action(control.action()) + &with)
        }));
        facts.extend(self.bearings());
        facts.extend(self.set.states().iter().map(|state| self.state(state)));
        facts.extend(
            self.set.found().map(|found| {
                Fact::new("marks found", format!("seen from {}: {}", side(found.seen), readings(self.set)))
            }),
        );
        let mut blocks = vec![Block::Facts(facts)];
        let notes = notes(self.set);
        if notes.is_empty() {
            blocks.push(Block::Paragraph("The description is sound, and there is nothing to remark.".into()));
        } else {
            blocks.extend(notes.iter().map(|note| Block::Note(self.note(note))));
            blocks.push(Block::Paragraph("The description is sound; look at the notes above once.".into()));
        }
        Document { title: self.set.title().to_owned(), blocks }
    }

    fn members(&self) -> Vec<Fact> {
        let on_main_axis = self.set.members().iter().filter(|member| *member.place() == Place::MainAxis);
        on_main_axis
            .map(|member| {
                let gears: Vec<String> =
                    member.gears().iter().map(|&gear| gear_in_words(self.set.gear(gear))).collect();
                let answer =
                    if gears.is_empty() { "turns on the main axis, without gears".into() } else { list(&gears) };
                Fact::new(member.name(), answer)
            })
            .collect()
    }

    fn planets(&self, group: &PlanetGroup) -> Vec<Fact> {
        let pins = group.places().len();
        let places: Vec<String> = group.places().iter().map(degrees).collect();
        group
            .planets()
            .iter()
            .map(|&planet| {
                let planet = self.set.member(planet);
                let gears: Vec<String> =
                    planet.gears().iter().map(|&gear| gear_in_words(self.set.gear(gear))).collect();
                let answer = if group.carrier() == MemberId::CASE && pins == 1 {
                    format!("a shaft on a fixed axis: {}", list(&gears))
                } else {
                    let at = if pins == 1 { String::new() } else { format!(" at {} degrees", list(&places)) };
                    format!(
                        "{} on {}, on {}{at}",
                        list(&gears),
                        member(self.set, group.carrier()),
                        counted(pins, "pin")
                    )
                };
                Fact::new(planet.name(), answer)
            })
            .collect()
    }

    fn bearings(&self) -> Vec<Fact> {
        let bearing = |bearing: &Bearing| {
            let at = bearing.diameter().map(|diameter| format!(" at a diameter of {}", length(diameter.millimetres())));
            let wide = bearing.width().map(|width| format!(", {} wide", length(width.millimetres())));
            let Pair { first, second } = bearing.members();
            let (first, second) = (member(self.set, first), member(self.set, second));
            Fact::new("bearing", format!("{first} on {second}{}{}", at.unwrap_or_default(), wide.unwrap_or_default()))
        };
        self.set.bearings().iter().map(bearing).collect()
    }

    fn meshes(&self) -> String {
        list(&self.set.mesh_ids().map(|id| mesh(self.set, id)).collect::<Vec<_>>())
    }

    fn sizes(&self) -> Vec<Fact> {
        let draft = self.set.draft();
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
                draft
                    .pressure_angle
                    .iter()
                    .map(|angle| Fact::new("pressure angle", format!("{} degrees", rounded(angle)))),
            )
            .chain((!draft.profile_shifts.is_empty()).then(|| Fact::new("profile shifts", self.shifts())))
            .chain(efficiency.map(|part| Fact::new("efficiency", format!("{} of each mesh", rounded(part)))))
            .collect()
    }

    /// The profile shifts given, in modules.
    fn shifts(&self) -> String {
        let shifts = self.set.draft().profile_shifts.iter();
        list(&shifts.map(|shift| format!("{} {} modules", shift.gear, rounded(&shift.modules))).collect::<Vec<_>>())
    }

    fn action(&self, action: Action<MemberId>) -> String {
        match action {
            Action::Band(held) => format!("a band that holds {}", member(self.set, held)),
            Action::Clutch(pair) => {
                format!("a clutch between {} and {}", member(self.set, pair.first), member(self.set, pair.second))
            }
            Action::OneWayClutch(pair, stops) => format!(
                "a one-way clutch that keeps {} from turning {} against {}",
                member(self.set, pair.first),
                match stops {
                    Sense::Forward => "forward",
                    Sense::Backward => "backward",
                },
                member(self.set, pair.second)
            ),
        }
    }

    fn state(&self, state: &State) -> Fact {
        let restraints: Vec<String> = state.restraints.iter().map(|restraint| self.restraint(restraint)).collect();
        let conditions = if restraints.is_empty() { "nothing applied".to_owned() } else { list(&restraints) };
        let (input, output) = (member(self.set, state.input), member(self.set, state.output));
        Fact::new(&format!("state {}", quoted(&state.name)), format!("{conditions}; input {input}, output {output}"))
    }

    fn restraint(&self, restraint: &Restraint) -> String {
        match restraint {
            Restraint::Control(control) => format!("{} applied", quoted(self.set.control(*control).name())),
            Restraint::Held(held) => format!("{} held", member(self.set, *held)),
            Restraint::Joined(pair) => {
                format!("{} joined to {}", member(self.set, pair.first), member(self.set, pair.second))
            }
            Restraint::Turning(turning, speed) => {
                format!("{} at {} of the input's speed", member(self.set, *turning), speed.value())
            }
        }
    }

    fn note(&self, note: &Note) -> String {
        match note {
            Note::UnequalCenterDistance { planet, first, first_sum, second, second_sum } => format!(
                "by its counts {} stands at two distances from the centre: {} modules for {}, {} modules for {}. With \
                 profile shift both can be right; without, a count is off",
                member(self.set, *planet),
                rounded(&fraction(*first_sum, 2)),
                mesh(self.set, *first),
                rounded(&fraction(*second_sum, 2)),
                mesh(self.set, *second)
            ),
            Note::IdleGear(gear) => format!("gear {} is in mesh with nothing", quoted(self.set.gear(*gear).name())),
            Note::UnusedControl(control) => {
                format!("no state applies {}", quoted(self.set.control(*control).name()))
            }
            Note::BacklashBeyondHalfATooth(id) => format!(
                "the backlash of {} is more than half a tooth: look at its unit and digits; with so much play any \
                 seating goes in",
                mesh(self.set, *id)
            ),
            Note::NoStates => "no states are described: timing can be worked out, ratios cannot".into(),
        }
    }
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

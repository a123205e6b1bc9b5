//! Practice problems in sentences: the machine, its gears, what is given, what is asked, what went wrong.
//!
//! Every sentence is made from the gearset itself, so that the question cannot say anything else than what
//! was solved. Sentences of one kind are built alike, whatever the gearset is.

use num_traits::{Signed, Zero};

use crate::exact::Fraction;
use crate::gearset::{Action, GearId, Gearset, MemberId, Place, PlanetGroup, Restraint, State};
use crate::practice::{Mistake, PracticeAnswer, PracticeProblem, PracticeQuestion, Quantity};
use crate::report::words::{list, mixed};

/// What a problem tells before its questions, a sentence each.
pub(super) fn statement(problem: &PracticeProblem) -> Vec<String> {
    let set = &problem.set;
    let mut sentences = vec![format!("{} has this gearset.", set.title()), centrals(problem)];
    sentences.extend(set.planet_groups().iter().map(|group| planets(problem, group)));
    sentences.push(meshes(set));
    if set.gears().iter().any(|gear| gear.kind().is_bevel()) {
        sentences.push(
            "The axes of the planets are square to the main axis; A stands on the input side of them, B on the \
             other side."
                .into(),
        );
    }
    for join in set.joins() {
        let [a, b] = join.each().map(|id| member(set, id));
        sentences.push(format!("{} and {b} are fast to one another.", capital(&a)));
    }
    sentences.extend(given(problem));
    sentences
}

/// The central gears with their counts.
fn centrals(problem: &PracticeProblem) -> String {
    let set = &problem.set;
    let ids = set.member_ids().filter(|&id| *set.member(id).place() == Place::MainAxis);
    let phrases: Vec<String> = ids
        .flat_map(|id| set.member(id).gears().iter().map(move |&gear| (id, gear)))
        .map(|(id, gear)| {
            let (name, teeth) = (set.gear(gear).name(), teeth(problem, gear));
            if set.member(id).name().ends_with(&format!(" {name}")) {
                format!("{} has {teeth}", member(set, id))
            } else {
                format!("{} carries sun {name} with {teeth}", member(set, id))
            }
        })
        .collect();
    capital(&format!("{}.", list(&phrases)))
}

fn teeth(problem: &PracticeProblem, gear: GearId) -> String {
    if problem.hidden.contains(&gear) {
        "a number of teeth that is to be found".into()
    } else {
        format!("{} teeth", problem.set.gear(gear).tooth_count().get())
    }
}

/// The planets of one carrier.
fn planets(problem: &PracticeProblem, group: &PlanetGroup) -> String {
    let set = &problem.set;
    let (carrier, pins) = (capital(&member(set, group.carrier())), group.places().len());
    let gear = |id: GearId| format!("{} with {}", set.gear(id).name(), teeth(problem, id));
    match group.planets() {
        [planet] => {
            let own = set.member(*planet);
            match own.gears() {
                [only] => {
                    format!("{carrier} has {pins} equally spaced pins, and on each a planet {}.", gear(*only))
                }
                several => {
                    let gears: Vec<String> = several.iter().map(|&id| format!("gear {}", gear(id))).collect();
                    format!(
                        "{carrier} has {pins} equally spaced pins, and on each a {} of {}, fast to one another.",
                        own.name(),
                        list(&gears)
                    )
                }
            }
        }
        several => {
            let ids = several.iter().flat_map(|&planet| set.member(planet).gears());
            let gears: Vec<String> = ids.map(|&id| format!("a planet {}", gear(id))).collect();
            format!("{carrier} has {pins} equally spaced pairs of pins, and on each pair {}.", list(&gears))
        }
    }
}

fn meshes(set: &Gearset) -> String {
    let pairs: Vec<String> = set
        .meshes()
        .iter()
        .map(|mesh| {
            let [a, b] = mesh.gears().each().map(|gear| set.gear(gear).name());
            format!("{a} with {b}")
        })
        .collect();
    format!("In mesh are {}.", list(&pairs))
}

/// What holds for all questions of a problem.
fn given(problem: &PracticeProblem) -> Vec<String> {
    let set = &problem.set;
    let Some(part) = problem.parts.last() else { return Vec::new() };
    let state = &set.states()[part.state];
    let input = member(set, state.input);
    let same_module = || "All gears are of one module and have no profile shift.".to_owned();
    match part.quantity {
        Quantity::PinCounts => Vec::new(),
        Quantity::Teeth(_) => {
            let output = member(set, state.output);
            let mut sentences = vec![same_module()];
            sentences.extend(restraints(set, state));
            sentences.push(format!(
                "{} turns {} times for one turn of {output}, in the same sense.",
                capital(&input),
                mixed(&part.input)
            ));
            sentences
        }
        Quantity::Delivered(_) | Quantity::Holding(_) => {
            let mut sentences = restraints(set, state);
            sentences.push(format!(
                "{} is driven with a torque of {}, seen from the input side, and turns that way. Losses are left out \
                 of account.",
                capital(&input),
                with_sense(&part.input, "N m")
            ));
            sentences
        }
        Quantity::Speed(_) | Quantity::PlanetSpeed(_) => {
            let mut sentences: Vec<String> = if problem.hidden.is_empty() { Vec::new() } else { vec![same_module()] };
            sentences.extend(restraints(set, state));
            sentences.push(format!("{}, seen from the input side.", capital(&turning(set, state, &part.input))));
            sentences
        }
    }
}

/// Who is held, or which bands there are.
fn restraints(set: &Gearset, state: &State) -> Vec<String> {
    let bands: Vec<String> = set
        .controls()
        .iter()
        .filter_map(|control| match control.action() {
            Action::Band(drum) => Some(format!("the {} can hold {}", control.name(), member(set, drum))),
            Action::Clutch(_) | Action::OneWayClutch(..) => None,
        })
        .collect();
    if !bands.is_empty() {
        return vec![format!("{}.", capital(&list(&bands)))];
    }
    let held = state.restraints.iter().filter_map(|restraint| match restraint {
        Restraint::Held(held) => Some(format!("{} is held.", capital(&member(set, *held)))),
        Restraint::Control(_) | Restraint::Joined(_) | Restraint::Turning(..) => None,
    });
    held.collect()
}

/// What is driven, and how fast.
fn turning(set: &Gearset, state: &State, input: &Fraction) -> String {
    let one = |id: MemberId, speed: &Fraction| format!("{} turns at {}", member(set, id), with_sense(speed, "rpm"));
    let mut phrases = vec![one(state.input, input)];
    phrases.extend(state.restraints.iter().filter_map(|restraint| match restraint {
        Restraint::Turning(id, speed) => Some(one(*id, &(speed.value() * input))),
        Restraint::Control(_) | Restraint::Held(_) | Restraint::Joined(_) => None,
    }));
    phrases.join(" and ")
}

/// A question, with the band that is applied for it.
pub(super) fn question(problem: &PracticeProblem, part: &PracticeQuestion) -> String {
    let set = &problem.set;
    let state = &set.states()[part.state];
    let applied = state.restraints.iter().filter_map(|restraint| match restraint {
        Restraint::Control(control) => Some(format!("The {} is applied. ", set.control(*control).name())),
        Restraint::Held(_) | Restraint::Joined(_) | Restraint::Turning(..) => None,
    });
    applied.collect::<String>() + &asks(problem, part.quantity)
}

fn asks(problem: &PracticeProblem, quantity: Quantity) -> String {
    let set = &problem.set;
    match quantity {
        Quantity::Speed(id) if set.carrier_of(id).is_some() => {
            format!("How fast, and in which sense, does {} turn, seen from the case?", member(set, id))
        }
        Quantity::Speed(id) => format!("How fast, and in which sense, does {} turn?", member(set, id)),
        Quantity::PlanetSpeed(id) if set.is_bevel(id) => {
            let carrier = set.carrier_of(id).map(|carrier| member(set, carrier)).unwrap_or_default();
            format!("How fast does {} turn about its own pin, seen from {carrier}?", member(set, id))
        }
        Quantity::PlanetSpeed(id) => {
            let carrier = set.carrier_of(id).map(|carrier| member(set, carrier)).unwrap_or_default();
            format!(
                "How fast, and in which sense, does {} turn about its own pin, seen from {carrier}?",
                member(set, id)
            )
        }
        Quantity::Delivered(id) => format!("What torque does {} deliver, and in which sense?", member(set, id)),
        Quantity::Holding(id) => {
            format!("What torque must be put on {} to hold it, and in which sense?", member(set, id))
        }
        Quantity::Teeth(gear) => {
            format!("How many teeth has {}?", member_of_gear(set, gear))
        }
        Quantity::PinCounts => {
            let pairs = set.planet_groups().iter().any(|group| group.planets().len() > 1);
            format!(
                "Which numbers of {}, from 2 to 8, could be put together, equally spaced and all alike? Only whether \
                 teeth meet gaps is asked, not whether neighbours have room.",
                if pairs { "pairs" } else { "planets" }
            )
        }
    }
}

fn member_of_gear(set: &Gearset, gear: GearId) -> String {
    let id = set.gear(gear).member();
    if set.member(id).gears().len() == 1 { member(set, id) } else { format!("gear {}", set.gear(gear).name()) }
}

/// An answer in words.
pub(super) fn answer(answer: &PracticeAnswer) -> String {
    match answer {
        PracticeAnswer::Speed(speed) if speed.is_zero() => "0, it stands still".into(),
        PracticeAnswer::Speed(speed) => with_sense(speed, "rpm"),
        PracticeAnswer::Rate(speed) => format!("{} rpm", mixed(speed)),
        PracticeAnswer::Torque(torque) => with_sense(torque, "N m"),
        PracticeAnswer::Teeth(count) if count.is_integer() => format!("{count} teeth"),
        PracticeAnswer::Teeth(count) => format!("{}, which is no whole number of teeth", mixed(count)),
        PracticeAnswer::PinCounts(counts) if counts.is_empty() => "none of them".into(),
        PracticeAnswer::PinCounts(counts) => list(&counts.iter().map(ToString::to_string).collect::<Vec<_>>()),
    }
}

/// `240 rpm clockwise`.
pub(super) fn with_sense(value: &Fraction, unit: &str) -> String {
    let sense = if value.is_negative() { "clockwise" } else { "counter-clockwise" };
    format!("{} {unit} {sense}", mixed(value))
}

/// A member as it is spoken of: "sun S", "carrier 1", but "the carrier", "the low drum".
pub(super) fn member(set: &Gearset, id: MemberId) -> String {
    let name = set.member(id).name();
    let last = name.rsplit(' ').next().unwrap_or(name);
    let is_label = last.starts_with(|letter: char| letter.is_ascii_uppercase() || letter.is_ascii_digit());
    if is_label { name.to_owned() } else { format!("the {name}") }
}

/// With a capital letter first.
pub(super) fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map(|first| first.to_ascii_uppercase().to_string() + letters.as_str()).unwrap_or_default()
}

/// What was done wrong.
pub(super) fn mistake(mistake: Mistake) -> &'static str {
    match mistake {
        Mistake::InternalMeshSign => "sign at the internal mesh: a ring turns the same way as the planet in it",
        Mistake::TurnedOverOnce => {
            "sign of the train value: two external meshes turn the sense over twice, so it comes out as it went in"
        }
        Mistake::BevelSign => {
            "sign of the train value: with the carrier still the side gears of a bevel train turn oppositely"
        }
        Mistake::StepSwapped => {
            "the two gears of the stepped planet or cluster were exchanged, each put into the mesh of the other"
        }
        Mistake::StepIgnored => "the planet was taken for a plain one, whose count drops out; it has a step",
        Mistake::PairTakenForStep => {
            "the two planets were taken as fast to one another; they mesh, so both counts drop out and the sense \
             turns over once more"
        }
        Mistake::IdlerCounts => {
            "the count of a planet was put in place of that of the last central gear; a plain planet drops out"
        }
        Mistake::ValueUpsideDown => "the train value was written upside-down: driver over driven is right",
        Mistake::CarrierIgnored => {
            "absolute and relative speed mixed: the counts tell speeds as seen from the carrier, and it turns"
        }
        Mistake::OneForgotten => "the carrier's own turn was left out: 1 is missing in the ratio",
        Mistake::RelativeGiven => "the speed as seen from the carrier was given; that of the carrier has to be added",
        Mistake::AbsoluteGiven => {
            "the speed as seen from the case was given; asked is that about the pin, as seen from the carrier"
        }
        Mistake::RatioUpsideDown => "multiplied by the ratio where it divides, or the other way about",
        Mistake::SenseOverlooked => "the sense of the second given speed was overlooked",
        Mistake::TakenAsHeld => "the member with the second given speed was taken as held",
        Mistake::TakenAsEqual => "the two central gears were treated as equal, as in a differential",
        Mistake::PlanetSign => "sign at the mesh of the planet with the central gear",
        Mistake::PlanetUpsideDown => "the counts of planet and central gear were exchanged",
        Mistake::OtherGearOfPlanet => "the other gear of the stepped planet was used, which is not in that mesh",
        Mistake::HoldingSense => "that is what the held member puts on what holds it; asked is the opposite",
        Mistake::LoadForDelivered => "that is what the load puts on the output; asked is the opposite",
        Mistake::HoldingSum => "the input torque was added where it has to be taken away",
        Mistake::HoldingAsDelivered => "the delivered torque was given; the input already bears its share of it",
        Mistake::PlanetOnce => "the planet was counted once; it stands between sun and ring on both sides",
        Mistake::NotHalved => "the difference of ring and sun was not halved: it is two planets wide",
        Mistake::RingAdded => "sign at the ring: its planet stands inside, so the counts are subtracted",
        Mistake::PlainRuleForStep => "the rule for plain planets was used: ring = sun + 2 planets",
        Mistake::SumRule => "sum of the central counts divided by the number, the rule for plain planets",
        Mistake::DifferenceRule => "difference of the central counts divided by the number, the rule for pairs in mesh",
        Mistake::EachDivisible => "each central count was wanted to be divisible; that is enough, but it is not needed",
    }
}

//! Other tooth counts, pins or sizes in place of those of a draft.

use super::turns::part_names;
use crate::exact::Fraction;
use crate::gearset::{
    Draft, DraftPinCircle, DraftPins, DraftPlanet, DraftTeeth, DraftTurns, Length, Pitch, nearest_name,
};

/// What is asked about in place of what a draft says; what is not given stays.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct WhatIf {
    /// Other tooth counts, each with the name of its gear. What was measured or found, and the profile shifts of gears
    /// whose count becomes another, belong to the parts as they were and are dropped.
    pub tooth_counts: Vec<(String, i64)>,
    /// Other pins, each with the planet that they belong to; without one they are those of all planets on the one carrier.
    /// Where pins stand elsewhere, what was found on them is dropped.
    pub pins: Vec<(Option<String>, DraftPins)>,
    /// Another pitch of every mesh. Pin circles, tips and thinnings belong to the teeth as they were and are dropped.
    pub pitch: Option<Pitch>,
    /// Another backlash of every mesh.
    pub backlash: Option<Length>,
    /// How far pins stand from the main axis, each with its planet; without one that of the only planet.
    pub pin_circles: Vec<(Option<String>, Length)>,
    /// Profile shifts, each with the name of its gear, in place of those described.
    pub shifts: Vec<(String, Fraction)>,
    /// Turns counted by hand, beside those of the draft; names of several members that are held may stand in one text,
    /// between commas or "and".
    pub turned: Vec<DraftTurns>,
}

/// Why something cannot be asked of a draft.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum CannotAsk {
    /// There is no such gear, planet or member.
    #[error("there is no {thing} {name:?}")]
    Unknown {
        /// A gear, planet or member.
        thing: &'static str,
        /// As it was named.
        name: String,
        /// Those that there are.
        known: Vec<String>,
    },
    /// A way left open, in a train of many members.
    #[error("it is not said what is held, what drives and what is driven")]
    OpenArrangement,
    /// Pins of no named planet, where several carriers have pins.
    #[error("it is not said which planet the pins are of")]
    WhichPlanet {
        /// The planets that there are.
        known: Vec<String>,
    },
}

impl CannotAsk {
    /// What to write instead.
    pub fn hint(&self) -> String {
        match self {
            Self::Unknown { thing, known, .. } if known.is_empty() => format!("the description has no {thing}s"),
            Self::Unknown { thing, name, known } => {
                let nearest = nearest_name(known.iter().map(String::as_str), name);
                let write = nearest.map_or(String::new(), |nearest| format!("write {nearest:?}; "));
                format!("{write}the {thing}s are {}", known.join(", "))
            }
            Self::OpenArrangement => "give all three: --held, --input and --output".to_owned(),
            Self::WhichPlanet { known } => match known.first() {
                None => "the description has no planets".to_owned(),
                Some(first) => format!("name it, such as \"{first}=3\"; the planets are {}", known.join(", ")),
            },
        }
    }
}

impl WhatIf {
    /// Changes a draft to what is asked about.
    ///
    /// # Errors
    /// What is named and is not there.
    ///
    /// # Examples
    /// ```
    /// use toothmark::gearset::{DraftPins, Gearset};
    /// use toothmark::quick::{StackNames, WhatIf, stack};
    /// let mut draft = stack("26:31 20:37", StackNames::ByCount).unwrap();
    /// let pins = vec![(None, DraftPins::Equal(3))];
    /// WhatIf { tooth_counts: vec![("P37".into(), 36)], pins, ..WhatIf::default() }.change(&mut draft).unwrap();
    /// let set = Gearset::new(draft).unwrap();
    /// assert_eq!(set.gear(set.gear_named("P37").unwrap()).tooth_count().get(), 36);
    /// ```
    pub fn change(&self, draft: &mut Draft) -> Result<(), CannotAsk> {
        self.change_counts(draft)?;
        for (planet, pins) in &self.pins {
            change_pins(draft, planet.as_deref(), pins)?;
        }
        if let Some(pitch) = &self.pitch {
            draft.meshes.iter_mut().for_each(|mesh| mesh.sizes.pitch = None);
            draft.pitch = Some(pitch.clone().into());
            draft.forget_lengths();
        }
        if let Some(backlash) = &self.backlash {
            draft.meshes.iter_mut().for_each(|mesh| mesh.sizes.backlash = None);
            draft.backlash = Some(backlash.clone().into());
        }
        for (planet, radius) in &self.pin_circles {
            change_pin_circle(draft, planet.as_deref(), radius)?;
        }
        for (gear, shift) in &self.shifts {
            change_shift(draft, gear, shift)?;
        }
        let turned: Vec<DraftTurns> = self.turned.iter().map(|turned| part_names(draft, turned)).collect();
        draft.turned.extend(turned);
        Ok(())
    }

    fn change_counts(&self, draft: &mut Draft) -> Result<(), CannotAsk> {
        if self.tooth_counts.is_empty() {
            return Ok(());
        }
        let known = || draft.gears().map(|gear| gear.name.to_string()).collect::<Vec<_>>();
        let counts = self.tooth_counts.iter().map(|(name, count)| {
            draft.gear_named(name).map(|gear| (gear, *count)).ok_or_else(|| unknown("gear", name, &known()))
        });
        let counts = counts.collect::<Result<Vec<_>, _>>()?;
        draft.set_tooth_counts(counts);
        Ok(())
    }
}

pub(super) fn unknown(thing: &'static str, name: &str, known: &[String]) -> CannotAsk {
    CannotAsk::Unknown { thing, name: name.to_owned(), known: known.to_vec() }
}

/// Gives a planet other pins, and with it all that mesh with it on the same carrier: where one stands, so do the others.
fn change_pins(draft: &mut Draft, planet: Option<&str>, pins: &DraftPins) -> Result<(), CannotAsk> {
    let known: Vec<String> = draft.planets.iter().map(|planet| planet.name.to_string()).collect();
    let one_carrier = draft.planets.windows(2).all(|pair| pair[0].carrier == pair[1].carrier);
    let first = match planet {
        Some(name) => known.iter().position(|known| known == name).ok_or_else(|| unknown("planet", name, &known))?,
        None if one_carrier && !known.is_empty() => 0,
        None => return Err(CannotAsk::WhichPlanet { known }),
    };
    let (carrier, before) = (draft.planets[first].carrier.clone(), draft.planets[first].pins.clone());
    let fellows = |other: &&mut DraftPlanet| other.carrier == carrier && *other.pins == *before;
    draft.planets.iter_mut().filter(fellows).for_each(|other| other.pins = pins.clone().into());
    draft.found = None;
    draft.measured.clear();
    Ok(())
}

/// Puts the pins of a planet at another distance.
fn change_pin_circle(draft: &mut Draft, planet: Option<&str>, radius: &Length) -> Result<(), CannotAsk> {
    let known: Vec<String> = draft.planets.iter().map(|planet| planet.name.to_string()).collect();
    let planet = match (planet, known.as_slice()) {
        (Some(name), _) if known.iter().any(|known| known == name) => name.to_owned(),
        (Some(name), _) => return Err(unknown("planet", name, &known)),
        (None, [only]) => only.clone(),
        (None, _) => return Err(CannotAsk::WhichPlanet { known }),
    };
    draft.pin_circles.retain(|circle| circle.planet != planet);
    draft.pin_circles.push(DraftPinCircle { planet: planet.into(), radius: radius.clone().into() });
    Ok(())
}

/// Gives a gear another profile shift.
fn change_shift(draft: &mut Draft, gear: &str, shift: &Fraction) -> Result<(), CannotAsk> {
    let known: Vec<String> = draft.gears().map(|gear| gear.name.to_string()).collect();
    if !known.iter().any(|known| known == gear) {
        return Err(unknown("gear", gear, &known));
    }
    draft.profile_shifts.retain(|given| given.gear != *gear);
    let place = draft.teeth.iter().position(|teeth| teeth.gear == *gear).unwrap_or_else(|| {
        draft.teeth.push(DraftTeeth::new(gear));
        draft.teeth.len() - 1
    });
    draft.teeth[place].shift = Some(shift.clone().into());
    Ok(())
}

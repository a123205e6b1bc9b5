//! A gearset as somebody tells it who has never written a description: the gears on a pin, how many pins, which drums
//! have bands, what a clutch couples, what drives and what is driven.

use super::arrangements::{Arrangement, set_states};
use super::stack::{StackNames, stack};
use super::what_if::{CannotAsk, WhatIf, unknown};
use crate::description::Faults;
use crate::gearset::{
    Draft, DraftControl, DraftMember, DraftMesh, DraftPins, DraftState, Length, Pair, Pitch, Spanned,
};

/// A gearset as it is told; members go by the name that they have in the stack or by the one that they are given.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct GearsetOutline {
    /// What the gearset is.
    pub title: Option<String>,
    /// The gears on a pin, as a stack.
    pub gears: String,
    /// One gear of a second planet, which meshes with the first gear of the first: a short pinion with its sun or ring.
    pub short_pinion: Option<String>,
    /// The pins.
    pub pins: DraftPins,
    /// Members of the stack with the names that they are to have.
    pub names: Vec<(String, String)>,
    /// Bands, each with its name and the member that it holds.
    pub bands: Vec<(String, String)>,
    /// Clutches, each with its name and the members that it couples.
    pub clutches: Vec<(String, Pair<String>)>,
    /// The member that drives.
    pub input: Option<String>,
    /// The member that is driven.
    pub output: Option<String>,
    /// The pitch of every mesh.
    pub pitch: Option<Pitch>,
    /// The backlash of every mesh.
    pub backlash: Option<Length>,
}

/// Why an outline makes no draft.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum OutlineFault {
    /// The gears on a pin cannot be understood.
    #[error("{0}")]
    Gears(Faults),
    /// The short pinion cannot be understood.
    #[error("{0}")]
    ShortPinion(Faults),
    /// Something is named that there is not.
    #[error("{0}")]
    Name(CannotAsk),
}

impl From<CannotAsk> for OutlineFault {
    fn from(reason: CannotAsk) -> Self {
        Self::Name(reason)
    }
}

impl GearsetOutline {
    /// A group of planets of which nothing else is known.
    pub fn new(gears: impl Into<String>, pins: DraftPins) -> Self {
        Self {
            title: None,
            gears: gears.into(),
            short_pinion: None,
            pins,
            names: Vec::new(),
            bands: Vec::new(),
            clutches: Vec::new(),
            input: None,
            output: None,
            pitch: None,
            backlash: None,
        }
    }

    /// The draft: a state for every control alone and one for none, or without controls what the train can do.
    ///
    /// # Errors
    /// What cannot be understood, and names that there are not.
    ///
    /// # Examples
    /// ```
    /// use toothmark::gearset::{DraftPins, Gearset};
    /// use toothmark::kinematics::motions;
    /// use toothmark::quick::GearsetOutline;
    /// let mut outline = GearsetOutline::new("26:31 20:37 31:26", DraftPins::Equal(3));
    /// outline.bands.push(("low band".into(), "sun 20".into()));
    /// (outline.input, outline.output) = (Some("carrier".into()), Some("sun 26".into()));
    /// let set = Gearset::new(outline.draft().unwrap()).unwrap();
    /// assert_eq!(motions(&set)[0].verdict.ratio().unwrap().to_string(), "481/171");
    /// ```
    pub fn draft(&self) -> Result<Draft, OutlineFault> {
        let mut draft = stack(&self.gears, StackNames::ByCount).map_err(OutlineFault::Gears)?;
        if let Some(short) = &self.short_pinion {
            add_short_pinion(&mut draft, stack(short, StackNames::ByCount).map_err(OutlineFault::ShortPinion)?);
        }
        let pins = vec![(None, self.pins.clone())];
        let (pitch, backlash) = (self.pitch.clone(), self.backlash.clone());
        WhatIf { pins, pitch, backlash, ..WhatIf::default() }.change(&mut draft)?;
        let draft_input = self.input.as_deref().map(|name| self.member(&draft, name)).transpose()?;
        let draft_output = self.output.as_deref().map(|name| self.member(&draft, name)).transpose()?;
        self.add_controls(&mut draft)?;
        self.rename(&mut draft)?;
        (draft.input, draft.output) = (draft_input.map(Into::into), draft_output.map(Into::into));
        if let Some(title) = &self.title {
            draft.title.clone_from(title);
        }
        add_states(&mut draft)?;
        Ok(draft)
    }

    /// The name that a member is to have, by that or by the one that it has in the stack.
    fn member(&self, draft: &Draft, name: &str) -> Result<String, CannotAsk> {
        let plain: Vec<String> = draft.members.iter().map(|member| member.name.to_string()).collect();
        let given =
            |plain: &str| self.names.iter().find(|(of, _)| of == plain).map_or(plain, |(_, name)| name).to_owned();
        let known: Vec<String> = plain.iter().map(|plain| given(plain)).collect();
        let found = plain.iter().zip(&known).find(|(plain, given)| *plain == name || *given == name);
        found.map(|(_, given)| given.clone()).ok_or_else(|| unknown("member", name, &known))
    }

    fn add_controls(&self, draft: &mut Draft) -> Result<(), CannotAsk> {
        let mut controls = Vec::new();
        for (name, member) in &self.bands {
            controls.push(DraftControl::band(name, self.member(draft, member)?));
        }
        for (name, members) in &self.clutches {
            let [first, second] = members.both().map(|member| self.member(draft, member));
            controls.push(DraftControl::clutch(name, first?, second?));
        }
        draft.controls = controls;
        Ok(())
    }

    fn rename(&self, draft: &mut Draft) -> Result<(), CannotAsk> {
        for (plain, name) in &self.names {
            let known: Vec<String> = draft.members.iter().map(|member| member.name.to_string()).collect();
            let place = known.iter().position(|known| known == plain);
            let place = place.ok_or_else(|| unknown("member", plain, &known))?;
            draft.members[place].name = name.into();
            for planet in draft.planets.iter_mut().filter(|planet| planet.carrier == **plain) {
                planet.carrier = name.into();
            }
        }
        Ok(())
    }
}

/// A state for each control alone and one for none, or without controls what the train can do.
fn add_states(draft: &mut Draft) -> Result<(), CannotAsk> {
    if draft.controls.is_empty() {
        let ends = [&draft.input, &draft.output].map(|end| end.as_ref().map(ToString::to_string));
        let [input, output] = ends;
        return set_states(draft, &Arrangement { input, output, ..Arrangement::default() }).map(|_| ());
    }
    let alone = |control: &DraftControl| DraftState::apply(control.name.as_str(), [control.name.as_str()]);
    draft.states = draft.controls.iter().map(alone).collect();
    draft.states.push(DraftState::apply::<Spanned<String>>("neutral", []));
    Ok(())
}

/// Puts a second planet on the carrier of the first, in mesh with the first of its gears.
fn add_short_pinion(draft: &mut Draft, mut short: Draft) {
    for gear in short.gears_mut() {
        let name = format!("short {}", *gear.name);
        gear.name = name.into();
    }
    let Some(mut pinion) = short.planets.pop() else { return };
    pinion.gears.truncate(1);
    let meets = draft.planets.first().and_then(|long| long.gears.first()).map(|gear| gear.name.to_string());
    let own = pinion.gears.first().map(|gear| gear.name.to_string());
    for member in short.members.into_iter().skip(1) {
        let is_taken = draft.members.iter().any(|other| other.name == *member.name);
        let name = if is_taken { format!("short {}", *member.name) } else { member.name.to_string() };
        draft.members.push(DraftMember { name: name.into(), ..member });
    }
    let meshes = short.meshes.into_iter().map(|mesh| {
        let [central, own] = mesh.gears.both().map(|gear| format!("short {}", **gear));
        DraftMesh::of(central, own)
    });
    draft.meshes.extend(meshes.take(2));
    if let Some((long, own)) = meets.zip(own) {
        draft.meshes.push(DraftMesh::of(long, own));
    }
    if let Some(long) = draft.planets.first_mut() {
        long.name = "long pinion".into();
    }
    pinion.name = "short pinion".into();
    draft.planets.push(pinion);
}

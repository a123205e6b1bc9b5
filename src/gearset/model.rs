//! The checked gearset: members, gears, meshes, controls and states that cannot be wrong.
//!
//! Names have become identities, every mesh knows its carrier, and the planets are
//! sorted into groups. Fields are private; the only way in is [`Gearset::new`].

use super::{
    Bearing, Control, ControlId, CountedTurns, Draft, DraftReadings, DraftTeeth, FoundMarks, Gear, GearId, Length,
    Measured, Member, MemberId, Mesh, MeshId, MeshMatrix, Pair, Place, PlanetGroup, Problems, Restraint, Side, State,
};
use crate::exact::{Fraction, fraction, mixed};

/// A gearset that has passed every check.
///
/// # Examples
/// ```
/// use toothmark::description;
/// let set = description::read(r#"Gearset(
///     title: "Millrace winch",
///     members: {"sun": [Sun("S", 24)], "ring": [Ring("R", 60)], "carrier": []},
///     planets: {"planet": (carrier: "carrier", pins: Equal(3), gears: [Gear("p", 18)])},
///     meshes: [("S", "p"), ("R", "p")],
/// )"#).unwrap();
/// assert_eq!(set.planet_groups()[0].carrier(), set.member_named("carrier").unwrap());
/// let ring = set.gear_named("R").unwrap();
/// assert_eq!(set.gear(ring).tooth_count().get(), 60);
/// ```
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Gearset {
    pub(super) draft: Draft,
    pub(super) members: Vec<Member>,
    pub(super) gears: Vec<Gear>,
    pub(super) meshes: Vec<Mesh>,
    /// The meshes of each gear, in order.
    pub(super) meshes_of_gears: Vec<Vec<MeshId>>,
    pub(super) matrix: MeshMatrix,
    pub(super) joins: Vec<Pair<MemberId>>,
    pub(super) measured: Vec<Measured>,
    pub(super) controls: Vec<Control>,
    pub(super) bearings: Vec<Bearing>,
    pub(super) states: Vec<State>,
    pub(super) turned: Vec<CountedTurns>,
    pub(super) found: Option<FoundMarks>,
    pub(super) groups: Vec<PlanetGroup>,
}

impl Gearset {
    /// The same gearset with other tooth counts for some gears, checked anew. What was measured, found or turned
    /// by hand belongs to the parts as they are, and a profile shift to the teeth as they are: both are left out. A gear that is none of this
    /// gearset is passed over.
    ///
    /// # Errors
    /// As [`Gearset::new`].
    ///
    /// # Examples
    /// ```
    /// use toothmark::description;
    /// let set = description::read(description::example("millrace-winch").unwrap()).unwrap();
    /// let gear = set.gear_ids().next().unwrap();
    /// let changed = set.with_tooth_counts([(gear, 23)]).unwrap();
    /// assert_eq!(changed.gear(gear).tooth_count().get(), 23);
    /// assert!(set.with_tooth_counts([(gear, 0)]).is_err());
    /// ```
    pub fn with_tooth_counts(&self, counts: impl IntoIterator<Item = (GearId, i64)>) -> Result<Self, Problems> {
        let mut draft = self.draft.clone();
        draft.set_tooth_counts(counts);
        Self::new(draft)
    }

    /// The two members that a restraint makes one: the second is the case for one that is held; `None` for a
    /// member that is only driven.
    pub fn made_one(&self, restraint: &Restraint) -> Option<Pair<MemberId>> {
        match restraint {
            Restraint::Held(member) => Some(Pair { first: *member, second: MemberId::CASE }),
            Restraint::Joined(pair) => Some(*pair),
            Restraint::Control(control) => Some(self.control(*control).made_one()),
            Restraint::Turning(..) => None,
        }
    }

    /// What a restraint is called: a control by its name, "ring held", "sun joined to carrier".
    pub fn restraint_name(&self, restraint: &Restraint) -> String {
        let name = |member: &MemberId| self.member(*member).name();
        match restraint {
            Restraint::Control(control) => self.control(*control).name().to_owned(),
            Restraint::Held(member) => format!("{} held", name(member)),
            Restraint::Joined(pair) => format!("{} joined to {}", name(&pair.first), name(&pair.second)),
            Restraint::Turning(member, _) => format!("the given speed of {}", name(member)),
        }
    }

    /// Counted turns in words: `45 turns of flywheel for 16 of driven drum, low drum held`.
    pub fn turns_in_words(&self, turned: &CountedTurns) -> String {
        let name = |member: &MemberId| self.member(*member).name();
        let held: Vec<&str> = turned.held.iter().map(name).collect();
        let held = if held.is_empty() { String::new() } else { format!(", {} held", held.join(" and ")) };
        let ([first, second], [turns, others]) = (turned.members.each_ref().map(name), &turned.turns);
        format!("{} turns of {first} for {} of {second}{held}", mixed(turns), mixed(others))
    }

    /// The draft that was checked.
    pub fn draft(&self) -> &Draft {
        &self.draft
    }

    /// What the gearset is, for people.
    pub fn title(&self) -> &str {
        &self.draft.title
    }

    /// The pressure angle of the spur gears, in degrees: as described, or 20.
    pub fn pressure_angle(&self) -> Fraction {
        const USUAL: i64 = 20;
        self.draft.pressure_angle.as_deref().cloned().unwrap_or_else(|| fraction(USUAL, 1))
    }

    /// The profile shift of a gear in modules, away from its axis: as described, or 0.
    pub fn profile_shift(&self, gear: GearId) -> Fraction {
        self.described_shift(gear).unwrap_or_default()
    }

    /// The profile shift of a gear in modules, if one is described.
    pub fn described_shift(&self, gear: GearId) -> Option<Fraction> {
        let given = self.draft.profile_shifts.iter().find(|shift| shift.gear == self.gear(gear).name);
        let of_teeth = || self.described_teeth(gear)?.shift.as_deref();
        given.map(|shift| &*shift.modules).or_else(of_teeth).cloned()
    }

    /// What is described of the teeth of a gear.
    pub fn described_teeth(&self, gear: GearId) -> Option<&DraftTeeth> {
        self.draft.teeth.iter().find(|teeth| teeth.gear == self.gear(gear).name)
    }

    /// What was read of the teeth of a gear.
    pub fn readings(&self, gear: GearId) -> Option<&DraftReadings> {
        self.draft.readings.iter().find(|readings| readings.gear == self.gear(gear).name)
    }

    /// How far the pins of a planet stand from the main axis, if that is described.
    pub fn described_pin_circle(&self, planet: MemberId) -> Option<&Length> {
        let given = self.draft.pin_circles.iter().find(|circle| circle.planet == self.member(planet).name);
        given.map(|circle| &*circle.radius)
    }

    /// Every member: the case first, then those of the main axis, then the planets.
    pub fn members(&self) -> &[Member] {
        &self.members
    }

    /// The identities of [`Gearset::members`], in order.
    pub fn member_ids(&self) -> impl Iterator<Item = MemberId> + use<> {
        (0..self.members.len()).map(MemberId)
    }

    /// One member.
    pub fn member(&self, member: MemberId) -> &Member {
        &self.members[member.0]
    }

    /// The member of this name; [`MemberId::CASE`] for "case".
    pub fn member_named(&self, name: &str) -> Option<MemberId> {
        self.member_ids().find(|&member| self.member(member).name == name)
    }

    /// The carrier of a planet; `None` for any other member.
    pub fn carrier_of(&self, member: MemberId) -> Option<MemberId> {
        match self.member(member).place {
            Place::Pin { carrier, .. } => Some(carrier),
            Place::Case | Place::MainAxis => None,
        }
    }

    /// Whether a member turns on the main axis.
    pub fn is_on_main_axis(&self, member: MemberId) -> bool {
        self.member(member).place == Place::MainAxis
    }

    /// Whether a planet has bevel gears: its turns are then seen from the outer end of its pin, and do not change
    /// sense with the side that the set is looked at from.
    pub fn is_bevel(&self, planet: MemberId) -> bool {
        self.member(planet).gears.iter().any(|&gear| self.gear(gear).kind().is_bevel())
    }

    /// A turn of a planet as it is seen from a side: bevel planets are looked at from the outer end of their pin.
    pub fn turn_seen(&self, from: Side, planet: MemberId, turn: &Fraction) -> Fraction {
        if self.is_bevel(planet) { turn.clone() } else { from.seen(turn) }
    }

    /// Whether a member turns about an axis across the main axis: a bevel planet, or a bevel shaft in the case.
    pub fn is_across(&self, member: MemberId) -> bool {
        self.carrier_of(member).is_some() && self.is_bevel(member)
    }

    /// Every gear, in the order of the description.
    pub fn gears(&self) -> &[Gear] {
        &self.gears
    }

    /// The identities of [`Gearset::gears`], in order.
    pub fn gear_ids(&self) -> impl Iterator<Item = GearId> + use<> {
        (0..self.gears.len()).map(GearId)
    }

    /// The gear of this name.
    pub fn gear_named(&self, name: &str) -> Option<GearId> {
        self.gear_ids().find(|&gear| self.gear(gear).name == name)
    }

    /// One gear.
    pub fn gear(&self, gear: GearId) -> &Gear {
        &self.gears[gear.0]
    }

    /// Every mesh, in the order of the description.
    pub fn meshes(&self) -> &[Mesh] {
        &self.meshes
    }

    /// The identities of [`Gearset::meshes`], in order.
    pub fn mesh_ids(&self) -> impl Iterator<Item = MeshId> + use<> {
        (0..self.meshes.len()).map(MeshId)
    }

    /// One mesh.
    pub fn mesh(&self, mesh: MeshId) -> &Mesh {
        &self.meshes[mesh.0]
    }

    /// The meshes of a gear, in the order of the description.
    pub(crate) fn meshes_of(&self, gear: GearId) -> &[MeshId] {
        &self.meshes_of_gears[gear.index()]
    }

    /// The meshes of some gears, each once, in the order of the description.
    pub(crate) fn meshes_of_all<'a>(&self, gears: impl IntoIterator<Item = &'a GearId>) -> Vec<MeshId> {
        let mut meshes: Vec<MeshId> = gears.into_iter().flat_map(|&gear| self.meshes_of(gear)).copied().collect();
        meshes.sort_unstable();
        meshes.dedup();
        meshes
    }

    /// The matrix of all meshes, from which speeds, torques and timing are read.
    pub fn matrix(&self) -> &MeshMatrix {
        &self.matrix
    }

    /// A mesh by the names of its gears, which stay while their teeth change: `D with d`.
    pub fn mesh_name(&self, mesh: MeshId) -> String {
        let [first, second] = self.mesh(mesh).gears().each().map(|gear| self.gear(gear).name());
        format!("{first} with {second}")
    }

    /// The mesh of that name, if there is one.
    pub fn mesh_named(&self, name: &str) -> Option<MeshId> {
        self.mesh_ids().find(|&mesh| self.mesh_name(mesh) == name)
    }

    /// The planets whose clusters have been measured one by one.
    pub fn measured(&self) -> &[Measured] {
        &self.measured
    }

    /// Members fixed to one another for good.
    pub fn joins(&self) -> &[Pair<MemberId>] {
        &self.joins
    }

    /// Every control, in the order of the description.
    pub fn controls(&self) -> &[Control] {
        &self.controls
    }

    /// The identities of [`Gearset::controls`], in order.
    pub fn control_ids(&self) -> impl Iterator<Item = ControlId> + use<> {
        (0..self.controls.len()).map(ControlId)
    }

    /// The control of this name.
    pub fn control_named(&self, name: &str) -> Option<ControlId> {
        self.control_ids().find(|&control| self.control(control).name == name)
    }

    /// One control.
    pub fn control(&self, control: ControlId) -> &Control {
        &self.controls[control.0]
    }

    /// Every bearing that is described; that planets run on their pins is not among them.
    pub fn bearings(&self) -> &[Bearing] {
        &self.bearings
    }

    /// Every state, in the order of the description.
    pub fn states(&self) -> &[State] {
        &self.states
    }

    /// The state of this name.
    pub fn state_named(&self, name: &str) -> Option<&State> {
        self.states.iter().find(|state| state.name == name)
    }

    /// Turns that somebody counted by hand, in the order of the description.
    pub fn turned(&self) -> &[CountedTurns] {
        &self.turned
    }

    /// What the marks of a planet show now, where somebody read them.
    pub fn found(&self) -> Option<&FoundMarks> {
        self.found.as_ref()
    }

    /// The groups of planets, in the order of their first planet.
    pub fn planet_groups(&self) -> &[PlanetGroup] {
        &self.groups
    }
}

//! A gearset as somebody writes it down: names and numbers, nothing checked yet.
//!
//! A [`Draft`] is what a description file says, and what code fills in that builds a
//! gearset itself. [`Gearset::new`](super::Gearset::new) checks it. What can be wrong is
//! [`Spanned`]: where it was read from a text, a problem shows it there. How it is written
//! stands beside it: the word, what belongs there, an example.
//! What is the same in nearly every draft has a short constructor here.

use std::collections::BTreeMap;

use num_traits::ToPrimitive;

use super::{
    BandSizes, DraftBearing, DraftDial, DraftFound, DraftMeasured, DraftPinCircle, DraftReadings, DraftTeeth,
    DraftTurns, GearId, GearKind, Length, Pair, Pitch, PlateSizes, Sense, Side, length::length_meant, meant,
};
use crate::exact::{Fraction, fraction, parse};
use crate::syntax::{EntryPerLine, Map, Maybe, Needed, Spanned, entry, fields, tuple, words};

/// The name of the fixed housing, wherever the name of a member is expected.
pub const CASE: &str = "case";

fields! {
    /// Everything that a description says.
    #[derive(Debug, Clone, PartialEq, Eq, Default)]
    pub struct Draft: "a gearset", "Gearset(title: \"...\", members: {...}, ...)" {
        /// What the gearset is, for people.
        pub title: String = "the title in quotes", "\"Winch\"";
        /// The member that drives, unless a state names its own.
        pub input: Option<Spanned<String>> = "the name of a member in quotes", "\"low drum\"";
        /// The member that is driven, unless a state names its own.
        pub output: Option<Spanned<String>> = "the name of a member in quotes", "\"low drum\"";
        /// The pitch of every mesh that does not give its own.
        pub pitch: Option<Spanned<Pitch>> = "the pitch", "Module(2.5)", "above 0";
        /// The backlash of every mesh that does not give its own.
        pub backlash: Option<Spanned<Length>> = "the backlash", "Millimetres(0.1)", "from 0 on";
        /// The pressure angle of all spur gears, in degrees; 20 where none is given.
        pub pressure_angle: Option<Spanned<Fraction>> = "the pressure angle in degrees", "20", "from 10 to 35";
        /// The profile shifts of spur gears; 0 where none is given.
        pub profile_shifts: Vec<DraftShift> as Map<DraftShift> =
            "the list of profile shifts in braces", "{\"S\": 0.25}", "from -2 to 2";
        /// What else is known of the teeth of spur gears.
        pub teeth: Vec<DraftTeeth> as EntryPerLine<Map<DraftTeeth>> =
            "the list of teeth in braces", "{\"S\": (shift: 0.25)}";
        /// Where the pins of planets stand; where the first mesh with a central gear asks for it else.
        pub pin_circles: Vec<DraftPinCircle> as Map<DraftPinCircle> =
            "the list of pin circles in braces", "{\"planet\": Millimetres(71.25)}";
        /// What was read of the teeth of spur gears, to tell which teeth they are.
        pub readings: Vec<DraftReadings> as EntryPerLine<Map<DraftReadings>> =
            "the list of readings in braces", "{\"S\": (spans: {3: Millimetres(18.88), 4: Millimetres(26.26)})}";
        /// The efficiency of every mesh that does not give its own.
        pub efficiency: Option<Spanned<Fraction>> =
            "the part of the power that a mesh passes on", "\"0.98\"", "above 0 and up to 1";
        /// What turns on the main axis.
        pub members: Vec<DraftMember> as Needed<EntryPerLine<Map<DraftMember>>> =
            "the list of members in braces", "{\"sun\": [Sun(\"S\", 24)]}";
        /// What turns on pins of a carrier, or on a fixed axis beside the main one.
        pub planets: Vec<DraftPlanet> as EntryPerLine<Map<DraftPlanet>> =
            "the list of planets in braces",
            "{\"planet\": (carrier: \"carrier\", pins: Equal(3), gears: [Gear(\"p\", 18)])}";
        /// Which gears mesh.
        pub meshes: Vec<DraftMesh> as EntryPerLine<Vec<DraftMesh>> =
            "the list of meshes in square brackets", "[(\"S\", \"p\")]";
        /// Members fixed to one another for good.
        pub joins: Vec<Pair<Spanned<String>>> as EntryPerLine<Vec<MemberPair>> =
            "the list of joins in square brackets", "[(\"low drum\", \"sun\")]";
        /// Clusters that were measured one by one.
        pub measured: Vec<DraftMeasured> as EntryPerLine<Map<DraftMeasured>> =
            "the list of measured planets in braces",
            "{\"cluster\": (clusters: {\"one\": Index([]), \"two\": Index([Teeth(\"l\", 0.02)])})}";
        /// Bands, clutches and one-way clutches.
        pub controls: Vec<DraftControl> as EntryPerLine<Map<DraftControl>> =
            "the list of controls in braces", "{\"low\": Band(\"low drum\")}";
        /// What bears on what, apart from planets on their pins.
        pub bearings: Vec<DraftBearing> as EntryPerLine<Vec<DraftBearing>> =
            "the list of bearings in square brackets", "[(\"low drum\", \"sun\")]";
        /// The states in which the gearset is used.
        pub states: Vec<DraftState> as EntryPerLine<Map<DraftState>> =
            "the list of states in braces", "{\"low\": Apply([\"low band\"])}";
        /// Turns that somebody counted by hand.
        pub turned: Vec<DraftTurns> as EntryPerLine<Vec<DraftTurns>> =
            "the list of turns counted by hand in square brackets",
            "[(held: [\"low drum\"], first: (\"flywheel\", 45), second: (\"driven drum\", 16))]";
        /// What the marks of a planet show now, where somebody read them.
        pub found: Option<DraftFound> =
            "the marks as found", "(seen: InputSide, planet: \"planet\", marks: [Teeth(\"p\", 0), Teeth(\"p\", -6)])";
    }
}

impl Draft {
    /// Every gear, in the order of [`Gearset::gears`](super::Gearset::gears), to be changed.
    ///
    /// # Examples
    /// ```
    /// use toothmark::gearset::{Draft, DraftGear, DraftMember};
    /// let mut draft = Draft::default();
    /// draft.members.push(DraftMember::new("sun", [DraftGear::sun("S", 24)]));
    /// draft.gears_mut().for_each(|gear| *gear.tooth_count += 1);
    /// assert_eq!(*draft.members[0].gears[0].tooth_count, 25);
    /// ```
    pub fn gears_mut(&mut self) -> impl Iterator<Item = &mut DraftGear> {
        let of_members = self.members.iter_mut().flat_map(|member| &mut member.gears);
        of_members.chain(self.planets.iter_mut().flat_map(|planet| &mut planet.gears))
    }

    /// Every gear, in the same order.
    pub fn gears(&self) -> impl Iterator<Item = &DraftGear> {
        let of_members = self.members.iter().flat_map(|member| &member.gears);
        of_members.chain(self.planets.iter().flat_map(|planet| &planet.gears))
    }

    /// The identity that a gear has once the draft is checked.
    pub(crate) fn gear_named(&self, name: &str) -> Option<GearId> {
        self.gears().position(|gear| gear.name == *name).map(GearId)
    }

    /// Gives gears other tooth counts. What was measured, found or turned by hand, and the teeth of gears whose count becomes
    /// another, belong to the parts as they were and are dropped.
    pub(crate) fn set_tooth_counts(&mut self, counts: impl IntoIterator<Item = (GearId, i64)>) {
        self.found = None;
        self.measured.clear();
        self.readings.clear();
        self.turned.clear();
        let mut changed = Vec::new();
        let counts: BTreeMap<GearId, i64> = counts.into_iter().collect();
        for (place, gear) in self.gears_mut().enumerate() {
            if let Some(&count) = counts.get(&GearId(place)).filter(|&&count| count != *gear.tooth_count) {
                gear.tooth_count = count.into();
                changed.push(gear.name.clone());
            }
        }
        for gear in &changed {
            self.forget_teeth_of(gear);
        }
    }

    /// Leaves out the lengths that belong to teeth of one pitch: pin circles, tips, thinnings.
    pub(crate) fn forget_lengths(&mut self) {
        self.pin_circles.clear();
        for teeth in &mut self.teeth {
            (teeth.tip, teeth.thinned) = (None, None);
        }
    }

    /// Leaves out what belongs to the teeth of a gear as they were counted: shift, thickness, tips.
    pub(super) fn forget_teeth_of(&mut self, gear: &str) {
        self.profile_shifts.retain(|shift| shift.gear != *gear);
        for teeth in self.teeth.iter_mut().filter(|teeth| teeth.gear == *gear) {
            (teeth.shift, teeth.thinned, teeth.tip) = (None, None, None);
        }
    }
}

entry! {
    /// The profile shift of a gear.
    #[derive(Debug, Clone, PartialEq, Eq)]
    pub struct DraftShift {
        /// The gear.
        pub gear;
        /// How far the teeth stand farther out from the axis than usual, in modules; for a ring as well.
        pub modules: Spanned<Fraction> = "the profile shift of the gear in modules", "0.25", "from -2 to 2";
    }
}

entry! {
    /// A member on the main axis, with the gears solid with it.
    #[derive(Debug, Clone, PartialEq, Eq)]
    pub struct DraftMember {
        /// The member's name.
        pub name;
        /// Its gears.
        pub gears: Vec<DraftGear> as Vec<CentralGear> =
            "the list of the member's gears in square brackets", "[Sun(\"S\", 24)]";
    }
}

impl DraftMember {
    /// A member with its gears; a carrier may have none.
    pub fn new(name: impl Into<Spanned<String>>, gears: impl IntoIterator<Item = DraftGear>) -> Self {
        Self { name: name.into(), gears: gears.into_iter().collect() }
    }
}

fields! {
    /// One kind of planet: the gears on one pin, solid with one another.
    #[derive(Debug, Clone, PartialEq, Eq)]
    pub struct DraftPlanet of {
        /// The name of the planet or cluster.
        pub name
    }: "a planet", "(carrier: \"carrier\", pins: Equal(3), gears: [Gear(\"p\", 18)])" {
        /// The member that holds its pins, or [`CASE`].
        pub carrier: Spanned<String> = "the name of the carrier in quotes", "\"carrier\"";
        /// How many pins there are, and where.
        pub pins: Spanned<DraftPins> = "the spacing of the pins", "Equal(3)";
        /// The gears of one planet.
        pub gears: Vec<DraftGear> as Needed<Vec<PlanetGear>> =
            "the list of the planet's gears in square brackets", "[Gear(\"p\", 18)]";
    }
}

impl DraftPlanet {
    /// A planet or cluster with its gears.
    pub fn new(
        name: impl Into<Spanned<String>>,
        carrier: impl Into<Spanned<String>>,
        pins: impl Into<Spanned<DraftPins>>,
        gears: impl IntoIterator<Item = DraftGear>,
    ) -> Self {
        Self { name: name.into(), carrier: carrier.into(), pins: pins.into(), gears: gears.into_iter().collect() }
    }
}

/// A gear with its tooth count as written, whatever it is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DraftGear {
    /// The gear's name.
    pub name: Spanned<String>,
    /// The kind of teeth.
    pub kind: GearKind,
    /// The number of teeth as written.
    pub tooth_count: Spanned<i64>,
    /// What else is known of it.
    pub details: GearDetails,
}

fields! {
    /// What else is known of a gear.
    #[derive(Debug, Clone, PartialEq, Eq, Default)]
    pub struct GearDetails: "a bracket with what else is known of the gear", "(note: \"chipped tooth, keep\")" {
        /// Whatever whoever works on the gear should remember.
        pub note: Option<Spanned<String>> = "a note in quotes", "\"chipped tooth, keep\"";
    }
}

/// A gear on the main axis, as it is written.
pub(super) struct CentralGear;

words! {
    CentralGear for DraftGear: "a gear on the main axis", "Sun(\"S\", 24)", meant meant::central_gear {
        Sun(
            "Sun(\"S\", 24)";
            name: Spanned<String> = "the name of the gear in quotes", "\"S\"";
            tooth_count: Spanned<i64> = "the number of teeth", "24", "from 1 to 10000";
            details: Maybe<GearDetails> = "a bracket with what else is known of the gear", "(note: \"chipped tooth, keep\")"
        ) => { DraftGear { name, kind: GearKind::External, tooth_count, details } }
        Ring(
            "Ring(\"R\", 60)";
            name: Spanned<String> = "the name of the gear in quotes", "\"S\"";
            tooth_count: Spanned<i64> = "the number of teeth", "24", "from 1 to 10000";
            details: Maybe<GearDetails> = "a bracket with what else is known of the gear", "(note: \"chipped tooth, keep\")"
        ) => { DraftGear { name, kind: GearKind::Internal, tooth_count, details } }
        Bevel(
            "Bevel(\"B\", 24, InputSide)";
            name: Spanned<String> = "the name of the gear in quotes", "\"S\"";
            tooth_count: Spanned<i64> = "the number of teeth", "24", "from 1 to 10000";
            side: Side = "the side of the planets that the gear is on", "InputSide";
            details: Maybe<GearDetails> = "a bracket with what else is known of the gear", "(note: \"chipped tooth, keep\")"
        ) => { DraftGear { name, kind: GearKind::BevelCentral(side), tooth_count, details } }
    }
}

/// A gear of a planet, as it is written.
pub(super) struct PlanetGear;

words! {
    PlanetGear for DraftGear: "a gear of a planet", "Gear(\"p\", 18)", meant meant::planet_gear {
        Gear(
            "Gear(\"p\", 18)";
            name: Spanned<String> = "the name of the gear in quotes", "\"S\"";
            tooth_count: Spanned<i64> = "the number of teeth", "24", "from 1 to 10000";
            details: Maybe<GearDetails> = "a bracket with what else is known of the gear", "(note: \"chipped tooth, keep\")"
        ) => { DraftGear { name, kind: GearKind::External, tooth_count, details } }
        Internal(
            "Internal(\"p\", 60)";
            name: Spanned<String> = "the name of the gear in quotes", "\"S\"";
            tooth_count: Spanned<i64> = "the number of teeth", "24", "from 1 to 10000";
            details: Maybe<GearDetails> = "a bracket with what else is known of the gear", "(note: \"chipped tooth, keep\")"
        ) => { DraftGear { name, kind: GearKind::Internal, tooth_count, details } }
        Bevel(
            "Bevel on a planet", "Bevel(\"p\", 12)";
            name: Spanned<String> = "the name of the gear in quotes", "\"S\"";
            tooth_count: Spanned<i64> = "the number of teeth", "24", "from 1 to 10000";
            details: Maybe<GearDetails> = "a bracket with what else is known of the gear", "(note: \"chipped tooth, keep\")"
        ) => { DraftGear { name, kind: GearKind::BevelPlanet, tooth_count, details } }
    }
}

impl DraftGear {
    /// A gear of this kind.
    pub fn new(name: impl Into<Spanned<String>>, kind: GearKind, tooth_count: i64) -> Self {
        Self { name: name.into(), kind, tooth_count: tooth_count.into(), details: GearDetails::default() }
    }

    /// An external gear of a member.
    pub fn sun(name: impl Into<Spanned<String>>, tooth_count: i64) -> Self {
        Self::new(name, GearKind::External, tooth_count)
    }

    /// An internal gear of a member.
    pub fn ring(name: impl Into<Spanned<String>>, tooth_count: i64) -> Self {
        Self::new(name, GearKind::Internal, tooth_count)
    }

    /// A bevel gear of a member, at this side of the planet pins.
    pub fn bevel(name: impl Into<Spanned<String>>, tooth_count: i64, side: Side) -> Self {
        Self::new(name, GearKind::BevelCentral(side), tooth_count)
    }

    /// An external gear of a planet.
    pub fn planet(name: impl Into<Spanned<String>>, tooth_count: i64) -> Self {
        Self::new(name, GearKind::External, tooth_count)
    }

    /// An internal gear of a planet.
    pub fn internal_planet(name: impl Into<Spanned<String>>, tooth_count: i64) -> Self {
        Self::new(name, GearKind::Internal, tooth_count)
    }

    /// A bevel gear of a planet.
    pub fn bevel_planet(name: impl Into<Spanned<String>>, tooth_count: i64) -> Self {
        Self::new(name, GearKind::BevelPlanet, tooth_count)
    }
}

/// The pins of one kind of planet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum DraftPins {
    /// So many pins, equally spaced.
    Equal(i64),
    /// The place of each pin, in turns, counter-clockwise seen from the input side.
    Turns(Vec<Spanned<Fraction>>),
    /// The place of each pin, in degrees, in the same sense.
    Degrees(Vec<Spanned<Fraction>>),
}

words! {
    DraftPins for DraftPins: "the spacing of the pins", "Equal(3)", meant pins_meant {
        Equal("Equal(3)"; count: i64 = "the number of pins", "3", "from 1 to 100") => { DraftPins::Equal(count) }
        Turns(
            "Turns([0, \"1/3\", \"2/3\"])";
            places: Needed<Vec<Spanned<Fraction>>> = "the list of pin places in square brackets", "[0, \"1/3\", \"2/3\"]"
        ) => { DraftPins::Turns(places) }
        Degrees(
            "Degrees([0, 120, 240])";
            places: Needed<Vec<Spanned<Fraction>>> = "the list of pin places in square brackets", "[0, 120, 240]"
        ) => { DraftPins::Degrees(places) }
    }
}

impl DraftPins {
    /// Pins at places in turns, counter-clockwise seen from the input side.
    pub fn turns(places: impl IntoIterator<Item = Fraction>) -> Self {
        Self::Turns(places.into_iter().map(Into::into).collect())
    }

    /// Pins at places in degrees, in the same sense.
    pub fn degrees(places: impl IntoIterator<Item = Fraction>) -> Self {
        Self::Degrees(places.into_iter().map(Into::into).collect())
    }

    /// The number of pins as written.
    pub fn count(&self) -> i64 {
        match self {
            Self::Equal(count) => *count,
            Self::Turns(places) | Self::Degrees(places) => i64::try_from(places.len()).unwrap_or(i64::MAX),
        }
    }

    /// The place of each pin in turns, as written, with its mark where it has one of its own; none where there are
    /// more than so many.
    pub(super) fn places(&self, most: i64) -> Vec<(Fraction, Option<&Spanned<Fraction>>)> {
        if self.count() > most {
            return Vec::new();
        }
        match self {
            Self::Equal(count) => (0..*count).map(|pin| (fraction(pin, *count), None)).collect(),
            Self::Turns(places) => places.iter().map(|place| ((**place).clone(), Some(place))).collect(),
            Self::Degrees(places) => places.iter().map(|place| (&**place / fraction(360, 1), Some(place))).collect(),
        }
    }
}

/// Two gears in mesh.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DraftMesh {
    /// The names of the two gears.
    pub gears: Pair<Spanned<String>>,
    /// What is known of the mesh.
    pub sizes: MeshSizes,
}

tuple! {
    DraftMesh for DraftMesh: "a mesh", "(\"S\", \"p\")";
    first: Spanned<String> = "the name of a gear in quotes", "\"S\"";
    second: Spanned<String> = "the name of the gear that it meshes with in quotes", "\"p\"";
    sizes: Maybe<MeshSizes> = "the third entry of a mesh", "(pitch: Module(2.5), backlash: Millimetres(0.1))"
    => { DraftMesh { gears: Pair { first, second }, sizes } }
}

fields! {
    /// What is known of a mesh.
    #[derive(Debug, Clone, PartialEq, Eq, Default)]
    pub struct MeshSizes: "the third entry of a mesh", "(pitch: Module(2.5), backlash: Millimetres(0.1))" {
        /// The pitch of this mesh, if not that of the set.
        pub pitch: Option<Spanned<Pitch>> = "the pitch", "Module(2.5)", "above 0";
        /// The backlash of this mesh, if not that of the set.
        pub backlash: Option<Spanned<DraftBacklash>> = "the backlash of the mesh", "Millimetres(0.1)", "from 0 on";
        /// The efficiency of this mesh, if not that of the set.
        pub efficiency: Option<Spanned<Fraction>> =
            "the part of the power that a mesh passes on", "\"0.98\"", "above 0 and up to 1";
    }
}

/// The backlash of a mesh as it was measured.
#[derive(Debug, Clone, PartialEq, Eq)]
#[expect(clippy::large_enum_variant, reason = "there are few meshes, and a draft is not kept in numbers")]
pub enum DraftBacklash {
    /// At the pitch circle.
    AtPitchCircle(Length),
    /// By a dial that stood at another radius.
    Dial(DraftDial),
}

words! {
    DraftBacklash for DraftBacklash: "the backlash of the mesh", "Millimetres(0.1)", meant length_meant {
        Millimetres("Millimetres(0.1)"; size: Fraction = "a number of millimetres", "0.1") => {
            DraftBacklash::AtPitchCircle(Length::Millimetres(size))
        }
        Inches("Inches(0.004)"; size: Fraction = "a number of inches", "0.004") => {
            DraftBacklash::AtPitchCircle(Length::Inches(size))
        }
        Dial(
            "Dial(\"S\", Millimetres(0.2), Millimetres(60))";
            gear: Spanned<String> = "the name of the gear in quotes", "\"S\"";
            reading: Spanned<Length> = "the reading of the dial", "Millimetres(0.2)", "from 0 on";
            radius: Spanned<Length> = "the radius at which the dial stood", "Millimetres(60)", "above 0"
        ) => { DraftBacklash::Dial(DraftDial { gear, reading, radius }) }
    }
}

impl DraftMesh {
    /// Two gears in mesh, with the pitch and backlash of the set.
    pub fn of(first: impl Into<Spanned<String>>, second: impl Into<Spanned<String>>) -> Self {
        Self { gears: Pair::of(first, second), sizes: MeshSizes::default() }
    }
}

/// Two members, as they are written.
pub(super) struct MemberPair;

tuple! {
    MemberPair for Pair<Spanned<String>>: "a join", "(\"low drum\", \"sun\")";
    first: Spanned<String> = "the name of a member in quotes", "\"low drum\"";
    second: Spanned<String> = "the name of another member in quotes", "\"case\""
    => { Pair { first, second } }
}

entry! {
    /// A control with its name.
    #[derive(Debug, Clone, PartialEq, Eq)]
    pub struct DraftControl {
        /// The control's name.
        pub name;
        /// What it is, which members it acts on and what is known of it.
        pub action: DraftAction = "a control", "Band(\"low drum\")";
    }
}

/// What a control does, with what is known of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum DraftAction {
    /// Holds a member to the case.
    Band(Spanned<String>, Box<BandSizes>),
    /// Couples two members.
    Clutch(Pair<Spanned<String>>, Box<PlateSizes>),
    /// Keeps the first member from turning, against the second, in the sense that it stops.
    OneWayClutch(Pair<Spanned<String>>, Sense),
}

words! {
    DraftAction for DraftAction: "a control", "Band(\"low drum\")", meant meant::control {
        Band(
            "Band(\"low drum\")";
            member: Spanned<String> = "the name of a member in quotes", "\"low drum\"";
            sizes: Maybe<Box<BandSizes>> =
                "a bracket with the sizes of the band",
                "(wrap: Degrees(330), friction: \"0.12\", radius: Millimetres(100))"
        ) => { DraftAction::Band(member, sizes) }
        Clutch(
            "Clutch(\"sun\", \"carrier\")";
            first: Spanned<String> = "the name of a member in quotes", "\"low drum\"";
            second: Spanned<String> = "the name of another member in quotes", "\"case\"";
            sizes: Maybe<Box<PlateSizes>> =
                "a bracket with the sizes of the plates",
                "(faces: 8, friction: \"0.1\", outer_radius: Millimetres(60), inner_radius: Millimetres(45), force: Newtons(1500))"
        ) => { DraftAction::Clutch(Pair { first, second }, sizes) }
        OneWayClutch(
            "OneWayClutch(\"ring\", \"case\", Backward)";
            first: Spanned<String> = "the name of a member in quotes", "\"low drum\"";
            second: Spanned<String> = "the name of another member in quotes", "\"case\"";
            stops: Sense = "the sense that the clutch stops", "Backward"
        ) => { DraftAction::OneWayClutch(Pair { first, second }, stops) }
    }
}

impl DraftAction {
    /// The members that the control acts on, in the order in which they were named.
    pub fn members(&self) -> Vec<&Spanned<String>> {
        match self {
            Self::Band(member, _) => vec![member],
            Self::Clutch(pair, _) | Self::OneWayClutch(pair, _) => pair.both().to_vec(),
        }
    }
}

impl DraftControl {
    /// A band with what is known of it.
    pub fn band_with(name: impl Into<Spanned<String>>, member: impl Into<Spanned<String>>, sizes: BandSizes) -> Self {
        Self { name: name.into(), action: DraftAction::Band(member.into(), Box::new(sizes)) }
    }

    /// A clutch with what is known of its plates.
    pub fn clutch_with(name: impl Into<Spanned<String>>, members: Pair<Spanned<String>>, sizes: PlateSizes) -> Self {
        Self { name: name.into(), action: DraftAction::Clutch(members, Box::new(sizes)) }
    }

    /// The sizes of a band, where they are given.
    pub fn band_sizes(&self) -> Option<&BandSizes> {
        match &self.action {
            DraftAction::Band(_, sizes) => Some(&**sizes).filter(|sizes| **sizes != BandSizes::default()),
            DraftAction::Clutch(..) | DraftAction::OneWayClutch(..) => None,
        }
    }

    /// The sizes of the plates of a clutch, where they are given.
    pub fn plate_sizes(&self) -> Option<&PlateSizes> {
        match &self.action {
            DraftAction::Clutch(_, sizes) => Some(&**sizes).filter(|sizes| **sizes != PlateSizes::default()),
            DraftAction::Band(..) | DraftAction::OneWayClutch(..) => None,
        }
    }

    /// A band on a member.
    pub fn band(name: impl Into<Spanned<String>>, member: impl Into<Spanned<String>>) -> Self {
        Self::band_with(name, member, BandSizes::default())
    }

    /// A clutch between two members.
    pub fn clutch(
        name: impl Into<Spanned<String>>,
        first: impl Into<Spanned<String>>,
        second: impl Into<Spanned<String>>,
    ) -> Self {
        Self::clutch_with(name, Pair::of(first, second), PlateSizes::default())
    }

    /// A one-way clutch that keeps the first of a pair of members from turning, against the
    /// second, in this sense.
    pub fn one_way_clutch(name: impl Into<Spanned<String>>, members: Pair<Spanned<String>>, stops: Sense) -> Self {
        Self { name: name.into(), action: DraftAction::OneWayClutch(members, stops) }
    }
}

/// What a control does; `M` names a member.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Action<M> {
    /// Holds a member to the case.
    Band(M),
    /// Couples two members.
    Clutch(Pair<M>),
    /// Keeps the first member from turning, against the second, in the sense that it stops.
    OneWayClutch(Pair<M>, Sense),
}

entry! {
    /// A state with its name.
    #[derive(Debug, Clone, PartialEq, Eq)]
    pub struct DraftState {
        /// The state's name.
        pub name;
        /// What is done in this state.
        pub conditions: DraftConditions = "a state", "Apply([\"low band\"])";
    }
}

impl DraftState {
    /// A state in which these controls are applied, and no other.
    pub fn apply<N: Into<Spanned<String>>>(
        name: impl Into<Spanned<String>>,
        controls: impl IntoIterator<Item = N>,
    ) -> Self {
        let controls = controls.into_iter().map(Into::into).collect();
        Self { name: name.into(), conditions: DraftConditions::Apply(controls) }
    }

    /// A state that says itself what is held, what drives and what is driven.
    pub fn given(name: impl Into<Spanned<String>>, given: Given) -> Self {
        Self { name: name.into(), conditions: DraftConditions::Given(Box::new(given)) }
    }
}

/// What a state says.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum DraftConditions {
    /// These controls are applied, and no other; input and output are those of the set.
    Apply(Vec<Spanned<String>>),
    /// The state says itself what is held, what drives and what is driven.
    Given(Box<Given>),
}

words! {
    DraftConditions for DraftConditions: "a state", "Apply([\"low band\"])", meant meant::state {
        Apply(
            "Apply([\"low band\"])";
            controls: Needed<Vec<Spanned<String>>> =
                "the list of the controls applied in square brackets", "[\"low band\"]"
        ) => { DraftConditions::Apply(controls) }
        Given["Given(held: [\"ring\"])", given: Box<Given>] => { DraftConditions::Given(given) }
    }
}

fields! {
    /// A state that needs no controls.
    #[derive(Debug, Clone, PartialEq, Eq, Default)]
    pub struct Given: "Given", "Given(held: [\"ring\"])" {
        /// Members that stand still.
        pub held: Vec<Spanned<String>> = "the list of members held in square brackets", "[\"ring\"]";
        /// Members that turn as one in this state.
        pub joined: Vec<Pair<Spanned<String>>> as Vec<MemberPair> =
            "the list of joins in square brackets", "[(\"low drum\", \"sun\")]";
        /// Members that are driven as well, each at so many turns per turn of the input.
        pub turning: Vec<DraftTurning> as Map<DraftTurning> = "the list of given speeds in braces", "{\"ring\": 0.5}";
        /// The member that drives, if not that of the set.
        pub input: Option<Spanned<String>> = "the name of a member in quotes", "\"low drum\"";
        /// The member that is driven, if not that of the set.
        pub output: Option<Spanned<String>> = "the name of a member in quotes", "\"low drum\"";
    }
}

entry! {
    /// A further member whose speed is given.
    #[derive(Debug, Clone, PartialEq, Eq)]
    pub struct DraftTurning {
        /// The member.
        pub member;
        /// Its turns per turn of the input.
        pub speed: Spanned<Fraction> = "the speed of the member", "0.5";
    }
}

/// Pins by their number or their places: `3`, `3 pins`, `three`, `[0, 120, 240]`.
fn pins_meant(written: &str) -> Option<String> {
    const WORDS: [&str; 7] = ["two", "three", "four", "five", "six", "seven", "eight"];
    let places = written.strip_prefix('[').and_then(|text| text.strip_suffix(']'));
    if let Some(places) = places {
        return places_of_pins(places);
    }
    let lower = meant::plain(written).trim_matches('"').to_lowercase();
    let first = lower.trim().trim_start_matches("equal").trim();
    let first = first.trim_end_matches("pins").trim_end_matches("planets").trim();
    let count = WORDS.iter().position(|word| *word == first).map(|at| at + 2).or_else(|| first.parse().ok())?;
    // 120 degrees from pin to pin are three of them.
    let count = if count >= 45 && 360 % count == 0 { 360 / count } else { count };
    let pins = DraftPins::Equal(count.to_i64()?);
    (1..=100).contains(&count).then(|| meant::text::<DraftPins>(&pins))
}

/// Places in parts of a turn where all are below one, in degrees else; one number alone counts the pins.
fn places_of_pins(written: &str) -> Option<String> {
    let read = |place: &str| parse(place.trim().trim_matches('"'));
    let places: Vec<Fraction> = written.trim_end_matches(',').split(',').map(read).collect::<Option<_>>()?;
    if let [only] = places.as_slice() {
        return only.to_i64().filter(|_| only.is_integer()).and_then(|count| pins_meant(&count.to_string()));
    }
    let are_turns = places.iter().all(|place| *place < fraction(1, 1));
    let pins = if are_turns { DraftPins::turns(places) } else { DraftPins::degrees(places) };
    Some(meant::text::<DraftPins>(&pins))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::gearset::meant::means;

    #[test]
    fn pins_are_understood_by_number_and_places() {
        means(
            pins_meant,
            &[
                ("3", Some("Equal(3)")),
                ("3 pins", Some("Equal(3)")),
                ("three", Some("Equal(3)")),
                ("120", Some("Equal(3)")),
                ("equal(4)", Some("Equal(4)")),
                ("[3]", Some("Equal(3)")),
                ("[0, 120, 240]", Some("Degrees([0, 120, 240])")),
                ("[0, \"1/3\", \"2/3\"]", Some("Turns([0, \"1/3\", \"2/3\"])")),
                ("many", None),
                ("0", None),
                ("1000", None),
            ],
        );
    }
}

//! From the shape to a draft: every leaf read, every place remembered.
//!
//! A leaf that cannot be read is a fault with its place; a stand-in takes its position so
//! that the rest of the description is still checked.

use std::collections::HashMap;
use std::ops::Range;

use super::fault::{Fault, FaultKind};
use super::schema::{
    AngleText, BandText, BearingText, ControlText, Entries, ForceText, FoundText, GearsetText, IndexText, LengthText,
    MarkText, MeasuredPinsText, MeasuredText, MemberGearText, MeshBacklashText, MeshText, PairText, PinsText,
    PitchText, PlanetGearText, PlanetText, PlatesText, Raw, ReadingText, SenseText, SideText, StateText,
    UncertaintyText,
};
use crate::exact::{Fraction, fraction, parse};
use crate::gearset::{
    Angle, BandSizes, BearingSize, ControlSize, DialEntry, Draft, DraftBearing, DraftCluster, DraftConditions,
    DraftControl, DraftDial, DraftFound, DraftGear, DraftIndex, DraftMark, DraftMarks, DraftMeasured, DraftMember,
    DraftMesh, DraftPins, DraftPlanet, DraftReading, DraftShift, DraftState, DraftTurning, Force, GearKind, Given,
    Length, MeasuredPins, Offset, Owner, Pair, Part, Pitch, PlateSizes, Sense, Side, Uncertainty, Which,
};

/// A draft with the places of its parts in the source, and what could not be read.
pub(super) struct Converted {
    pub(super) draft: Draft,
    pub(super) places: HashMap<Part, Range<usize>>,
    pub(super) faults: Vec<(Part, Fault)>,
}

pub(super) fn convert(source: &str, text: &GearsetText<'_>) -> Converted {
    let mut reader = Reader { source, places: HashMap::new(), faults: Vec::new() };
    let draft = reader.draft(text);
    Converted { draft, places: reader.places, faults: reader.faults }
}

struct Reader<'a> {
    source: &'a str,
    places: HashMap<Part, Range<usize>>,
    faults: Vec<(Part, Fault)>,
}

impl Reader<'_> {
    fn draft(&mut self, text: &GearsetText<'_>) -> Draft {
        Draft {
            title: self.name(text.title, Part::Title),
            input: text.input.map(|raw| self.name(raw, Part::Input)),
            output: text.output.map(|raw| self.name(raw, Part::Output)),
            pitch: text.pitch.as_ref().map(|pitch| self.pitch(pitch, Part::Pitch)),
            backlash: text.backlash.as_ref().map(|length| self.length(length, Part::Backlash)),
            pressure_angle: text.pressure_angle.map(|raw| self.number(raw, Part::PressureAngle)),
            profile_shifts: self.each(&text.profile_shifts.0, Self::profile_shift),
            efficiency: text.efficiency.map(|raw| self.number(raw, Part::Efficiency)),
            members: self.each(&text.members.0, Self::member),
            planets: self.each(&text.planets.0, Self::planet),
            meshes: self.each(&text.meshes, Self::mesh),
            joins: self
                .each(&text.joins, |reader, join, pair| reader.pair(pair, |which| Part::JoinMember { join, which })),
            measured: self.each(&text.measured.0, Self::measured),
            controls: self.each(&text.controls.0, Self::control),
            bearings: self.each(&text.bearings, Self::bearing),
            states: self.each(&text.states.0, Self::state),
            found: text.found.as_ref().map(|found| self.found(found)),
        }
    }

    fn each<T, U>(&mut self, items: &[T], mut convert: impl FnMut(&mut Self, usize, &T) -> U) -> Vec<U> {
        items.iter().enumerate().map(|(index, item)| convert(self, index, item)).collect()
    }

    fn profile_shift(&mut self, shift: usize, (gear, size): &(Raw<'_>, Raw<'_>)) -> DraftShift {
        DraftShift {
            gear: self.name(*gear, Part::ShiftGear { shift }),
            modules: self.number(*size, Part::ShiftSize { shift }),
        }
    }

    fn member(&mut self, index: usize, (name, gears): &(Raw<'_>, Vec<MemberGearText<'_>>)) -> DraftMember {
        let owner = Owner::Member(index);
        DraftMember {
            name: self.name(*name, Part::OwnerName(owner)),
            gears: self.each(gears, |reader, gear, text| {
                let (name, count, kind) = match text {
                    MemberGearText::Sun(name, count) => (name, count, GearKind::External),
                    MemberGearText::Ring(name, count) => (name, count, GearKind::Internal),
                    MemberGearText::Bevel(name, count, side) => (name, count, GearKind::BevelCentral(side.meaning())),
                };
                reader.gear(owner, gear, [*name, *count], kind)
            }),
        }
    }

    fn planet(&mut self, index: usize, (name, text): &(Raw<'_>, PlanetText<'_>)) -> DraftPlanet {
        let owner = Owner::Planet(index);
        DraftPlanet {
            name: self.name(*name, Part::OwnerName(owner)),
            carrier: self.name(text.carrier, Part::Carrier { planet: index }),
            pins: self.pins(index, &text.pins),
            gears: self.each(&text.gears, |reader, gear, text| {
                let (name, count, kind) = match text {
                    PlanetGearText::Gear(name, count) => (name, count, GearKind::External),
                    PlanetGearText::Internal(name, count) => (name, count, GearKind::Internal),
                    PlanetGearText::Bevel(name, count) => (name, count, GearKind::BevelPlanet),
                };
                reader.gear(owner, gear, [*name, *count], kind)
            }),
        }
    }

    fn gear(&mut self, owner: Owner, gear: usize, [name, count]: [Raw<'_>; 2], kind: GearKind) -> DraftGear {
        DraftGear {
            name: self.name(name, Part::GearName { owner, gear }),
            kind,
            tooth_count: self.count(count, Part::ToothCount { owner, gear }),
        }
    }

    fn pins(&mut self, planet: usize, text: &PinsText<'_>) -> DraftPins {
        let place = |reader: &mut Self, pin, place: &Raw<'_>| reader.number(*place, Part::PinPlace { planet, pin });
        match text {
            PinsText::Equal(count) => DraftPins::Equal(self.count(*count, Part::Pins { planet })),
            PinsText::Turns(places) => DraftPins::Turns(self.each(places, place)),
            PinsText::Degrees(places) => DraftPins::Degrees(self.each(places, place)),
        }
    }

    fn mesh(&mut self, mesh: usize, text: &MeshText<'_>) -> DraftMesh {
        let gears = PairText(text.first, text.second);
        let part = Part::MeshBacklash { mesh };
        let (backlash, dial) = match &text.sizes.backlash {
            None => (None, None),
            Some(MeshBacklashText::Millimetres(size)) => (Some(Length::Millimetres(self.number(*size, part))), None),
            Some(MeshBacklashText::Inches(size)) => (Some(Length::Inches(self.number(*size, part))), None),
            Some(MeshBacklashText::Dial(gear, reading, radius)) => {
                let gear = self.name(*gear, Part::Dial { mesh, entry: DialEntry::Gear });
                let reading = self.length(reading, Part::Dial { mesh, entry: DialEntry::Reading });
                let radius = self.length(radius, Part::Dial { mesh, entry: DialEntry::Radius });
                (None, Some(DraftDial { gear, reading, radius }))
            }
        };
        DraftMesh {
            gears: self.pair(&gears, |which| Part::MeshGear { mesh, which }),
            pitch: text.sizes.pitch.as_ref().map(|pitch| self.pitch(pitch, Part::MeshPitch { mesh })),
            backlash,
            dial,
            efficiency: text.sizes.efficiency.map(|raw| self.number(raw, Part::MeshEfficiency { mesh })),
        }
    }

    fn pair(&mut self, text: &PairText<'_>, part: impl Fn(Which) -> Part) -> Pair<String> {
        Pair { first: self.name(text.0, part(Which::First)), second: self.name(text.1, part(Which::Second)) }
    }

    fn measured(&mut self, measured: usize, (planet, text): &(Raw<'_>, MeasuredText<'_>)) -> DraftMeasured {
        let part = Part::Uncertainty { measured };
        DraftMeasured {
            planet: self.name(*planet, Part::MeasuredPlanet { measured }),
            uncertainty: text.uncertainty.as_ref().map(|uncertainty| match uncertainty {
                UncertaintyText::Teeth(size) => Uncertainty::Teeth(self.number(*size, part)),
                UncertaintyText::Degrees(size) => Uncertainty::Degrees(self.number(*size, part)),
                UncertaintyText::Millimetres(size) => Uncertainty::Arc(Length::Millimetres(self.number(*size, part))),
                UncertaintyText::Inches(size) => Uncertainty::Arc(Length::Inches(self.number(*size, part))),
            }),
            pins: text.pins.as_ref().map(|pins| self.measured_pins(measured, pins)),
            central: self.each(&text.central, |reader, reading, text| {
                let gear = Part::CentralGear { measured, reading };
                let offset = Part::CentralOffset { measured, reading };
                reader.reading(text, [gear, offset, Part::CentralRadius { measured, reading }])
            }),
            clusters: self.each(&text.clusters.0, |reader, cluster, (name, index)| DraftCluster {
                name: reader.name(*name, Part::ClusterName { measured, cluster }),
                index: match index {
                    IndexText::Index(readings) => DraftIndex::Readings(reader.each(readings, |reader, index, text| {
                        let gear = Part::ReadingGear { measured, cluster, reading: index };
                        let offset = Part::ReadingOffset { measured, cluster, reading: index };
                        let radius = Part::ReadingRadius { measured, cluster, reading: index };
                        reader.reading(text, [gear, offset, radius])
                    })),
                    IndexText::Like(other) => {
                        DraftIndex::Like(reader.name(*other, Part::LikeCluster { measured, cluster }))
                    }
                },
            }),
        }
    }

    fn measured_pins(&mut self, measured: usize, text: &MeasuredPinsText<'_>) -> MeasuredPins {
        let of_pin = |reader: &mut Self, pin, size: &Raw<'_>| reader.number(*size, Part::PinMeasured { measured, pin });
        let chord = |reader: &mut Self, pin, size: &Raw<'_>| reader.number(*size, Part::Chord { measured, pin });
        let part = Part::PinError { measured };
        match text {
            MeasuredPinsText::Degrees(places, error) => {
                MeasuredPins::Degrees { places: self.each(places, of_pin), error: self.number(*error, part) }
            }
            MeasuredPinsText::Chords(radii, chords, error) => MeasuredPins::Chords {
                radii: self.each(radii, of_pin),
                chords: self.each(chords, chord),
                error: self.number(*error, part),
            },
        }
    }

    /// A reading, with the parts of its gear, of its size and of its radius.
    fn reading(&mut self, text: &ReadingText<'_>, [of_gear, part, radius]: [Part; 3]) -> DraftReading {
        let (ReadingText::Teeth(gear, size)
        | ReadingText::Degrees(gear, size)
        | ReadingText::Millimetres(gear, size, _)
        | ReadingText::Inches(gear, size, _)) = text;
        let gear = self.name(*gear, of_gear);
        let size = self.number(*size, part);
        let offset = match text {
            ReadingText::Teeth(..) => Offset::Teeth(size),
            ReadingText::Degrees(..) => Offset::Degrees(size),
            ReadingText::Millimetres(_, _, at) => {
                Offset::Arc { length: Length::Millimetres(size), radius: self.number(*at, radius) }
            }
            ReadingText::Inches(_, _, at) => {
                Offset::Arc { length: Length::Inches(size), radius: self.number(*at, radius) }
            }
        };
        DraftReading { gear, offset }
    }

    fn control(&mut self, control: usize, (name, text): &(Raw<'_>, ControlText<'_>)) -> DraftControl {
        let part = |which| Part::ControlMember { control, which };
        let name = self.name(*name, Part::ControlName { control });
        match text {
            ControlText::Band(member, sizes) => {
                let member = self.name(*member, part(Which::First));
                let sizes = self.band_sizes(control, sizes);
                DraftControl::band_with(name, member, sizes)
            }
            ControlText::Clutch(first, second, sizes) => {
                let pair = self.pair(&PairText(*first, *second), part);
                let sizes = self.plate_sizes(control, sizes);
                DraftControl::clutch_with(name, pair, sizes)
            }
            ControlText::OneWayClutch(first, second, stops) => {
                let pair = self.pair(&PairText(*first, *second), part);
                DraftControl::one_way_clutch(name, pair, stops.meaning())
            }
        }
    }

    fn band_sizes(&mut self, control: usize, text: &BandText<'_>) -> BandSizes {
        let part = |size| Part::ControlSize { control, size };
        BandSizes {
            wrap: text.wrap.as_ref().map(|angle| match angle {
                AngleText::Degrees(value) => Angle::Degrees(self.number(*value, part(ControlSize::Wrap))),
                AngleText::Turns(value) => Angle::Turns(self.number(*value, part(ControlSize::Wrap))),
            }),
            friction: text.friction.map(|raw| self.number(raw, part(ControlSize::Friction))),
            radius: text.radius.as_ref().map(|length| self.length(length, part(ControlSize::Radius))),
            width: text.width.as_ref().map(|length| self.length(length, part(ControlSize::Width))),
            from_anchor: text.from_anchor.map(SenseText::meaning),
            pull: text.pull.as_ref().map(|force| self.force(force, part(ControlSize::Pull))),
        }
    }

    fn plate_sizes(&mut self, control: usize, text: &PlatesText<'_>) -> PlateSizes {
        let part = |size| Part::ControlSize { control, size };
        PlateSizes {
            faces: text.faces.map(|raw| self.number(raw, part(ControlSize::Faces))),
            friction: text.friction.map(|raw| self.number(raw, part(ControlSize::Friction))),
            outer_radius: text.outer_radius.as_ref().map(|length| self.length(length, part(ControlSize::OuterRadius))),
            inner_radius: text.inner_radius.as_ref().map(|length| self.length(length, part(ControlSize::InnerRadius))),
            force: text.force.as_ref().map(|force| self.force(force, part(ControlSize::Force))),
        }
    }

    fn force(&mut self, text: &ForceText<'_>, part: Part) -> Force {
        match text {
            ForceText::Newtons(value) => Force::Newtons(self.number(*value, part)),
            ForceText::PoundsForce(value) => Force::PoundsForce(self.number(*value, part)),
        }
    }

    fn bearing(&mut self, bearing: usize, text: &BearingText<'_>) -> DraftBearing {
        let members = PairText(text.first, text.second);
        let part = |size| Part::BearingSize { bearing, size };
        DraftBearing {
            members: self.pair(&members, |which| Part::BearingMember { bearing, which }),
            diameter: text.sizes.diameter.as_ref().map(|length| self.length(length, part(BearingSize::Diameter))),
            width: text.sizes.width.as_ref().map(|length| self.length(length, part(BearingSize::Width))),
        }
    }

    fn state(&mut self, state: usize, (name, text): &(Raw<'_>, StateText<'_>)) -> DraftState {
        let name = self.name(*name, Part::StateName { state });
        let conditions = match text {
            StateText::Apply(controls) => DraftConditions::Apply(
                self.each(controls, |reader, index, control| reader.name(*control, Part::Applied { state, index })),
            ),
            StateText::Given { held, joined, turning, input, output } => DraftConditions::Given(Box::new(Given {
                held: self.each(held, |reader, index, member| reader.name(*member, Part::Held { state, index })),
                joined: self.each(joined, |reader, index, pair| {
                    reader.pair(pair, |which| Part::JoinedMember { state, index, which })
                }),
                turning: self.turning(state, turning),
                input: input.map(|raw| self.name(raw, Part::StateInput { state })),
                output: output.map(|raw| self.name(raw, Part::StateOutput { state })),
            })),
        };
        DraftState { name, conditions }
    }

    fn turning(&mut self, state: usize, entries: &Entries<'_, Raw<'_>>) -> Vec<DraftTurning> {
        self.each(&entries.0, |reader, index, (member, speed)| DraftTurning {
            member: reader.name(*member, Part::TurningMember { state, index }),
            speed: reader.number(*speed, Part::TurningSpeed { state, index }),
        })
    }

    fn found(&mut self, text: &FoundText<'_>) -> DraftFound {
        DraftFound {
            seen: text.seen.meaning(),
            planet: self.name(text.planet, Part::FoundPlanet { at: 0 }),
            marks: self.each(&text.marks, |reader, pin, mark| reader.mark(0, pin, mark)),
            beside: self.each(&text.beside.0, |reader, index, (planet, marks)| DraftMarks {
                planet: reader.name(*planet, Part::FoundPlanet { at: index + 1 }),
                marks: reader.each(marks, |reader, pin, mark| reader.mark(index + 1, pin, mark)),
            }),
            within: text.within.map(|raw| self.number(raw, Part::FoundWithin)),
        }
    }

    fn mark(&mut self, at: usize, pin: usize, text: &MarkText<'_>) -> DraftMark {
        let (gear, part) = (Part::FoundGear { at, pin }, Part::FoundMark { at, pin });
        match text {
            MarkText::Teeth(name, teeth) => DraftMark::Teeth(self.name(*name, gear), self.number(*teeth, part)),
            MarkText::Degrees(degrees) => DraftMark::Degrees(self.number(*degrees, part)),
            MarkText::Along(name, teeth) => DraftMark::Along(self.name(*name, gear), self.count(*teeth, part)),
            MarkText::Unread => DraftMark::Unread,
        }
    }

    fn pitch(&mut self, text: &PitchText<'_>, part: Part) -> Pitch {
        match text {
            PitchText::Module(value) => Pitch::Module(self.number(*value, part)),
            PitchText::DiametralPitch(value) => Pitch::Diametral(self.number(*value, part)),
        }
    }

    fn length(&mut self, text: &LengthText<'_>, part: Part) -> Length {
        match text {
            LengthText::Millimetres(value) => Length::Millimetres(self.number(*value, part)),
            LengthText::Inches(value) => Length::Inches(self.number(*value, part)),
        }
    }

    /// A quoted name; one without quotes is a fault, and stands for itself meanwhile.
    fn name(&mut self, raw: Raw<'_>, part: Part) -> String {
        // Every leaf is remembered, so that a rule it breaks is shown where it stands.
        self.remember(raw, part);
        ron::from_str(raw.0).unwrap_or_else(|_| {
            self.fault(raw, part, |found| FaultKind::NotAName { found });
            raw.0.to_owned()
        })
    }

    /// A whole number; one with too many digits is as absurd as the largest there is.
    fn count(&mut self, raw: Raw<'_>, part: Part) -> i64 {
        let digits = raw.0.strip_prefix('-').unwrap_or(raw.0);
        if digits.is_empty() || !digits.bytes().all(|byte| byte.is_ascii_digit()) {
            self.fault(raw, part, |found| FaultKind::NotAWholeNumber { found });
            // Nothing can be said of what rests on this count, as of one that is absurd.
            return i64::MAX;
        }
        self.remember(raw, part);
        let too_long = if raw.0.starts_with('-') { i64::MIN } else { i64::MAX };
        raw.0.parse().unwrap_or(too_long)
    }

    /// An exact number, bare or in quotes.
    fn number(&mut self, raw: Raw<'_>, part: Part) -> Fraction {
        let bare = raw.0.strip_prefix('"').and_then(|rest| rest.strip_suffix('"')).unwrap_or(raw.0);
        parse(bare).inspect(|_| self.remember(raw, part)).unwrap_or_else(|| {
            self.fault(raw, part, |found| FaultKind::NotANumber { found });
            fraction(1, 1)
        })
    }

    fn fault(&mut self, raw: Raw<'_>, part: Part, kind: impl FnOnce(String) -> FaultKind) {
        let place = self.place_of(raw);
        self.faults.push((part, Fault::new(place, kind(raw.0.to_owned()))));
    }

    fn remember(&mut self, raw: Raw<'_>, part: Part) {
        let place = self.place_of(raw);
        self.places.insert(part, place);
    }

    /// Where a borrowed slice lies in the source that it was borrowed from.
    fn place_of(&self, raw: Raw<'_>) -> Range<usize> {
        let start = raw.0.as_ptr().addr() - self.source.as_ptr().addr();
        start..start + raw.0.len()
    }
}

impl SideText {
    fn meaning(self) -> Side {
        match self {
            Self::InputSide => Side::Input,
            Self::OutputSide => Side::Output,
        }
    }
}

impl SenseText {
    fn meaning(self) -> Sense {
        match self {
            Self::Forward => Sense::Forward,
            Self::Backward => Sense::Backward,
        }
    }
}

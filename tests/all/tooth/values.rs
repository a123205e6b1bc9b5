//! Do the formulas of teeth give what is printed and what an independent computation gives?
//!
//! `tests/tooth_values.ron` holds each value with its source.

use serde::Deserialize;
use toothmark::tooth::{
    FormRadii, InvolutePair, PinDisplacement, PinMeasurement, PlanetMesh, RadialEntry, RoomVerdict, ShiftSplit,
    SplitRule, Teeth, ToothForm, base_pitch, base_pitch_from_pins, chordal_thickness, closed_distance,
    closed_pressure_angle, distance_modification, flank_cut_by_rack, index_lengths, involute, lag,
    least_count_without_undercut, least_shift_without_undercut, mesh_backlash, path_of_contact, pin_reading,
    pin_touching_at, radial_entry, room_between_tips, root_clearances, root_sliding, shape, share_load,
    share_load_floating, shift_for_tip_thickness, shift_of_thickness, shift_sum_for, smallest_internal_tip, span,
    span_touch_radius, split_shift, teeth_to_span, thickness_at_pitch_circle, thickness_from_pins, thickness_from_span,
    tip_shortening, tip_thickness, tips_foul, usable_spans, working_pressure_angle,
};

use crate::support::values::{Asked, Origin, Told, ValueLedger, agree};

const LEDGER: ValueLedger =
    [(Origin::Seen, [71, 63, 0]), (Origin::Memory, [75, 24, 0]), (Origin::Computed, [278, 1, 0])];

#[derive(Debug, Clone, Copy, Default, Deserialize)]
#[serde(deny_unknown_fields)]
struct Gear {
    teeth: u16,
    #[serde(default)]
    ring: bool,
    #[serde(default)]
    module: Option<f64>,
    #[serde(default)]
    diametral_pitch: Option<f64>,
    /// In degrees.
    #[serde(default)]
    angle: Option<f64>,
    #[serde(default)]
    shift: f64,
    #[serde(default)]
    addendum: Option<f64>,
    #[serde(default)]
    dedendum: Option<f64>,
    #[serde(default)]
    thinning: f64,
    #[serde(default)]
    tip_radius: Option<f64>,
}

impl Gear {
    fn form(self) -> ToothForm {
        let teeth = if self.ring { Teeth::Internal } else { Teeth::External };
        let module = self.diametral_pitch.map_or(self.module.unwrap_or(1.0), |pitch| 25.4 / pitch);
        let standard = ToothForm::standard(teeth, self.teeth, module);
        ToothForm {
            pressure_angle: self.angle.unwrap_or(20.0).to_radians(),
            profile_shift: self.shift,
            addendum: self.addendum.unwrap_or(standard.addendum),
            dedendum: self.dedendum.unwrap_or(standard.dedendum),
            thinning: self.thinning,
            tip_limit: self.tip_radius,
            ..standard
        }
    }
}

/// A rule by its name and its factor.
#[derive(Debug, Clone, Copy, Deserialize)]
enum Rule {
    EqualSliding,
    Difference,
    InverseRatio(f64),
    Logarithm,
    Halves,
}

impl Rule {
    fn rule(self) -> SplitRule {
        match self {
            Self::EqualSliding => SplitRule::EqualSliding,
            Self::Difference => SplitRule::Difference,
            Self::InverseRatio(factor) => SplitRule::InverseRatio(factor),
            Self::Logarithm => SplitRule::Logarithm,
            Self::Halves => SplitRule::Halves,
        }
    }
}

/// By how much planets lag, in millimetres.
#[derive(Debug, Clone, Copy, Deserialize)]
enum Lags {
    Three(f64, f64, f64),
    Four(f64, f64, f64, f64),
}

impl Lags {
    fn list(self) -> Vec<f64> {
        match self {
            Self::Three(a, b, c) => vec![a, b, c],
            Self::Four(a, b, c, d) => vec![a, b, c, d],
        }
    }
}

/// A gear of a planet and the central gear that it meshes with.
type Meshing = (Gear, Gear);

/// What is compared; lengths in millimetres, angles in degrees, shifts in modules.
#[derive(Debug, Clone, Copy, Deserialize)]
enum Quantity {
    BasePitch(Gear),
    Span(Gear, u16),
    SpanTouchRadius(Gear, u16),
    ShiftFromSpan(Gear, u16, f64),
    ThinningFromSpan(Gear, u16, f64),
    TeethToSpan(Gear),
    /// The nearest count.
    NearestSpan(Gear),
    /// Of the counts whose jaws touch between a form radius and a tenth of a module below the tip the first, second ...
    UsableSpan(Gear, f64, usize),
    Thickness(Gear),
    /// Half the angle of a tooth at the pitch circle.
    HalfAngle(Gear),
    Chord(Gear),
    ChordHeight(Gear),
    TipThickness(Gear),
    ShiftOfTip(Gear, f64),
    /// Over or between pins.
    Pins(Gear, f64),
    PinAngle(Gear, f64),
    /// The involute function of that angle.
    PinInvolute(Gear, f64),
    ShiftFromPins(Gear, f64, f64),
    /// By how much the reading falls with the thinning, in the limit.
    PinsPerThinning(Gear, f64),
    /// The pin that touches at a radius, the reading with it, and where it touches.
    PinAt(Gear, f64),
    OverPinAt(Gear, f64),
    TouchOfPinAt(Gear, f64),
    /// From two pins, read as the formula says.
    BasePitchFromPins(Gear, f64, f64),
    /// inv of the working angle without backlash.
    ClosedInvolute(Gear, Gear),
    ClosedAngle(Gear, Gear),
    ClosedDistance(Gear, Gear),
    /// y at that distance.
    ClosedModification(Gear, Gear),
    /// The tip diameter of the first, shortened for full root clearance.
    ShortenedTip(Gear, Gear),
    WorkingAngle(Gear, Gear, f64),
    ShiftSum(Gear, Gear, f64),
    LeastDistance(Gear, Gear),
    /// With a rack's straight dedendum in modules.
    RackFormRadius(Gear, f64),
    LeastShift(Gear, f64),
    LeastTeeth(Gear, f64),
    /// A gear and its cutter.
    ShaperDistance(Gear, Gear),
    ShaperAngle(Gear, Gear),
    ShaperRoot(Gear, Gear),
    ShaperForm(Gear, Gear),
    /// 1 for yes, 0 for no; so too below.
    ShaperUndercuts(Gear, Gear),
    ShaperLeastTip(Gear, Gear),
    /// At a distance, or without backlash.
    ContactRatio(Gear, Gear, Option<f64>),
    TipRoom(Gear, Gear, Option<f64>),
    TipsFoul(Gear, Gear),
    /// On the way in along the radius.
    EntryRoom(Gear, Gear),
    RingTip(Gear),
    LeastRingTip(Gear, Gear),
    TipDigs(Gear, Gear),
    ClearanceAtFirstTip(Gear, Gear),
    ClearanceAtSecondTip(Gear, Gear),
    /// The smallest ring of full teeth whose tips a cutter fed along the radius does not trim.
    LeastRingOfCutter(Gear),
    BacklashAtWorkingCircle(Gear, Gear, f64),
    NormalBacklash(Gear, Gear, f64),
    BacklashAtPitchCircle(Gear, Gear, f64),
    /// The shift of the first or second gear at a distance by a rule.
    Split(Gear, Gear, f64, Rule, usize),
    /// The specific sliding at either root with shifts and tips of equal sliding.
    SlidingOfEqual(Gear, Gear, f64, usize),
    /// So many teeth, in degrees and millimetres.
    IndexAngle(Gear, f64),
    IndexArc(Gear, f64),
    IndexChord(Gear, f64),
    /// In newton, under a force, by planets of 100 kN/mm; the force at which the first, second ... joins.
    Carries(Lags, f64, usize),
    CarriesFloating(Lags, f64, usize),
    JoinsAs(Lags, f64, usize),
    /// How many carry.
    Carrying(Lags, f64),
    /// Of a pin 0.1 mm out of its place: pushing, holding, distance; along the circle on the side that makes it late.
    LagOutward(Meshing, Meshing, f64),
    LagAlong(Meshing, Meshing, f64),
}

impl Asked for Quantity {
    fn told(&self) -> Option<Told> {
        self.value().map(Told::from)
    }
}

#[expect(clippy::wildcard_enum_match_arm, reason = "each function knows the quantities of one kind")]
impl Quantity {
    fn value(self) -> Option<f64> {
        self.of_a_gear()
            .or_else(|| self.of_a_cut_gear())
            .or_else(|| self.of_pins())
            .or_else(|| self.of_a_pair())
            .or_else(|| self.of_a_ring_pair())
            .or_else(|| self.of_a_split())
            .or_else(|| self.of_an_index())
            .or_else(|| self.of_planets())
    }

    fn of_a_gear(self) -> Option<f64> {
        match self {
            Self::BasePitch(gear) => base_pitch(&gear.form()).ok(),
            Self::Span(gear, spanned) => span(&gear.form(), spanned).ok(),
            Self::SpanTouchRadius(gear, spanned) => span_touch_radius(&gear.form(), spanned).ok(),
            Self::ShiftFromSpan(gear, spanned, reading) => {
                let thickness = thickness_from_span(&gear.form(), spanned, reading).ok()?;
                shift_of_thickness(&gear.form(), thickness).ok()
            }
            Self::ThinningFromSpan(gear, spanned, reading) => {
                let thickness = thickness_from_span(&gear.form(), spanned, reading).ok()?;
                Some(thickness_at_pitch_circle(&gear.form()).ok()? - thickness)
            }
            Self::TeethToSpan(gear) => teeth_to_span(&gear.form()).ok(),
            Self::NearestSpan(gear) => teeth_to_span(&gear.form()).ok().map(f64::round),
            Self::UsableSpan(gear, form_radius, at) => {
                let spans = usable_spans(&gear.form(), form_radius, gear.form().module / 10.0).ok()?;
                spans.get(at).copied().map(f64::from)
            }
            Self::Thickness(gear) => thickness_at_pitch_circle(&gear.form()).ok(),
            Self::HalfAngle(gear) => {
                let thickness = thickness_at_pitch_circle(&gear.form()).ok()?;
                Some((thickness / (2.0 * gear.form().pitch_radius())).to_degrees())
            }
            Self::Chord(gear) => chordal_thickness(&gear.form()).ok().map(|caliper| caliper.chord),
            Self::ChordHeight(gear) => chordal_thickness(&gear.form()).ok().map(|caliper| caliper.height),
            Self::TipThickness(gear) => tip_thickness(&gear.form()).ok(),
            Self::ShiftOfTip(gear, modules) => shift_for_tip_thickness(&gear.form(), modules * gear.form().module).ok(),
            _ => None,
        }
    }

    fn of_a_cut_gear(self) -> Option<f64> {
        let shaped = |gear: Gear, cutter: Gear| shape(&gear.form(), &cutter.form()).ok();
        match self {
            Self::RackFormRadius(gear, straight) => Some(flank_cut_by_rack(&gear.form(), straight).ok()?.form_radius),
            Self::LeastShift(gear, straight) => least_shift_without_undercut(&gear.form(), straight).ok(),
            Self::LeastTeeth(gear, straight) => least_count_without_undercut(&gear.form(), straight).ok(),
            Self::ShaperDistance(gear, cutter) => Some(shaped(gear, cutter)?.distance),
            Self::ShaperAngle(gear, cutter) => Some(shaped(gear, cutter)?.working_pressure_angle.to_degrees()),
            Self::ShaperRoot(gear, cutter) => Some(shaped(gear, cutter)?.root_radius),
            Self::ShaperForm(gear, cutter) => Some(shaped(gear, cutter)?.flank.form_radius),
            Self::ShaperUndercuts(gear, cutter) => {
                let verdict = RoomVerdict::of(shaped(gear, cutter)?.flank.room, RoomVerdict::ROUNDING);
                Some(f64::from(u8::from(verdict == RoomVerdict::Lacking)))
            }
            Self::ShaperLeastTip(gear, cutter) => shaped(gear, cutter)?.least_tip_radius,
            Self::LeastRingOfCutter(cutter) => (cutter.teeth + 1..200).map(ring_of).find_map(|ring| {
                let entry = radial_entry(&pair(cutter, ring)).ok()?;
                (entry.verdict(1e-9) != RoomVerdict::Lacking).then(|| f64::from(ring.teeth))
            }),
            _ => None,
        }
    }

    fn of_pins(self) -> Option<f64> {
        let read = |gear: Gear, pin| pin_reading(&gear.form(), pin).ok();
        match self {
            Self::Pins(gear, pin) => Some(read(gear, pin)?.reading),
            Self::PinAngle(gear, pin) => Some(read(gear, pin)?.pressure_angle.to_degrees()),
            Self::PinInvolute(gear, pin) => Some(involute(read(gear, pin)?.pressure_angle)),
            Self::ShiftFromPins(gear, pin, reading) => {
                let thickness = thickness_from_pins(&gear.form(), pin, reading).ok()?;
                shift_of_thickness(&gear.form(), thickness).ok()
            }
            Self::PinsPerThinning(gear, pin) => Some(-read(gear, pin)?.change_per_thinning),
            Self::PinAt(gear, radius) => pin_touching_at(&gear.form(), radius).ok(),
            Self::OverPinAt(gear, radius) => Some(read(gear, pin_touching_at(&gear.form(), radius).ok()?)?.reading),
            Self::TouchOfPinAt(gear, radius) => {
                Some(read(gear, pin_touching_at(&gear.form(), radius).ok()?)?.touch_radius)
            }
            Self::BasePitchFromPins(gear, a, b) => {
                let measured = |pin| Some(PinMeasurement { pin, reading: read(gear, pin)?.reading });
                // The form that is handed over knows neither module nor angle nor shift.
                let unknown = ToothForm::standard(gear.form().teeth, gear.teeth, 1.0);
                base_pitch_from_pins(&unknown, measured(a)?, measured(b)?).ok()
            }
            _ => None,
        }
    }

    fn of_a_pair(self) -> Option<f64> {
        let backlash = |a, b, distance| mesh_backlash(&pair(a, b), distance).ok();
        match self {
            Self::ClosedInvolute(a, b) => closed_pressure_angle(&pair(a, b)).ok().map(involute),
            Self::ClosedAngle(a, b) => closed_pressure_angle(&pair(a, b)).ok().map(f64::to_degrees),
            Self::ClosedDistance(a, b) => closed_distance(&pair(a, b)).ok(),
            Self::ClosedModification(a, b) => distance_modification(&pair(a, b), closed(a, b)).ok(),
            Self::ShortenedTip(a, b) => {
                let shortening = tip_shortening(&pair(a, b), closed(a, b)).ok()?;
                Some(2.0 * (a.form().tip_radius() + shortening * a.form().module))
            }
            Self::WorkingAngle(a, b, distance) => {
                working_pressure_angle(&pair(a, b), distance).ok().map(f64::to_degrees)
            }
            Self::ShiftSum(a, b, distance) => shift_sum_for(&pair(a, b), distance).ok(),
            Self::LeastDistance(a, b) => Some(pair(a, b).least_distance()),
            Self::ContactRatio(a, b, distance) => {
                let distance = distance.unwrap_or_else(|| closed(a, b));
                Some(path_of_contact(&pair(a, b), distance, FormRadii::default()).ok()?.ratio)
            }
            Self::BacklashAtWorkingCircle(a, b, distance) => Some(backlash(a, b, distance)?.at_working_circle),
            Self::NormalBacklash(a, b, distance) => Some(backlash(a, b, distance)?.normal),
            Self::BacklashAtPitchCircle(a, b, distance) => Some(backlash(a, b, distance)?.at_pitch_circle),
            Self::ClearanceAtFirstTip(a, b) => Some(root_clearances(&pair(a, b), closed(a, b)).ok()?.at_first_tip),
            Self::ClearanceAtSecondTip(a, b) => Some(root_clearances(&pair(a, b), closed(a, b)).ok()?.at_second_tip),
            _ => None,
        }
    }

    fn of_a_ring_pair(self) -> Option<f64> {
        match self {
            Self::TipRoom(a, b, distance) => {
                room_between_tips(&pair(a, b), distance.unwrap_or_else(|| closed(a, b))).ok()?
            }
            Self::TipsFoul(a, b) => Some(f64::from(u8::from(tips_foul(&a.form(), &b.form(), closed(a, b))))),
            Self::EntryRoom(a, b) => match radial_entry(&pair(a, b)).ok()? {
                RadialEntry::Room(room) => Some(room),
                _ => None,
            },
            Self::RingTip(ring) => Some(ring.form().tip_radius()),
            Self::LeastRingTip(a, b) => smallest_internal_tip(&b.form(), &a.form(), closed(a, b)),
            Self::TipDigs(a, b) => {
                let least = smallest_internal_tip(&b.form(), &a.form(), closed(a, b))?;
                Some(f64::from(u8::from(b.form().tip_radius() < least)))
            }
            _ => None,
        }
    }

    fn of_a_split(self) -> Option<f64> {
        let shifts = |a, b, distance, rule: Rule| {
            let ShiftSplit { first, second, .. } = split_shift(&pair(a, b), distance, rule.rule()).ok()?;
            Some([first, second])
        };
        match self {
            Self::Split(a, b, distance, rule, at) => shifts(a, b, distance, rule)?.get(at).copied(),
            Self::SlidingOfEqual(a, b, distance, at) => {
                let [first, second] = shifts(a, b, distance, Rule::EqualSliding)?;
                let [a, b] = [Gear { shift: first, ..a }, Gear { shift: second, ..b }];
                let shortening = tip_shortening(&pair(a, b), distance).ok()?;
                let shortened = |gear: Gear| Gear { addendum: Some(1.0 + shortening), ..gear };
                let sliding = root_sliding(&pair(shortened(a), shortened(b)), distance).ok()?;
                [sliding.of_first, sliding.of_second].get(at).copied()
            }
            _ => None,
        }
    }

    fn of_an_index(self) -> Option<f64> {
        match self {
            Self::IndexAngle(gear, teeth) => Some(index_lengths(&gear.form(), teeth).ok()?.angle.to_degrees()),
            Self::IndexArc(gear, teeth) => Some(index_lengths(&gear.form(), teeth).ok()?.arc),
            Self::IndexChord(gear, teeth) => Some(index_lengths(&gear.form(), teeth).ok()?.chord),
            _ => None,
        }
    }

    fn of_planets(self) -> Option<f64> {
        const STIFFNESS: f64 = 100_000.0;
        let shares = |lags: Lags, force| share_load(&lags.list(), STIFFNESS, force).ok();
        match self {
            Self::Carries(lags, force, at) => shares(lags, force)?.forces.get(at).copied(),
            Self::CarriesFloating(lags, force, at) => {
                share_load_floating(&lags.list(), STIFFNESS, force).ok()?.forces.get(at).copied()
            }
            Self::JoinsAs(lags, force, at) => {
                let mut joins = shares(lags, force)?.joins_at;
                joins.sort_by(f64::total_cmp);
                joins.get(at).copied()
            }
            Self::Carrying(lags, force) => {
                let carrying = shares(lags, force)?.forces.iter().filter(|&&force| force > 0.0).count();
                u32::try_from(carrying).ok().map(f64::from)
            }
            Self::LagOutward(pushing, holding, distance) => {
                lag_of(pushing, holding, distance, PinDisplacement { outward: 0.1, along: 0.0 })
            }
            Self::LagAlong(pushing, holding, distance) => {
                lag_of(pushing, holding, distance, PinDisplacement { outward: 0.0, along: 0.1 }).map(f64::abs)
            }
            _ => None,
        }
    }
}

fn lag_of(pushing: Meshing, holding: Meshing, distance: f64, pin: PinDisplacement) -> Option<f64> {
    let mesh = |(planet, central): Meshing| PlanetMesh::new(&planet.form(), &central.form(), distance).ok();
    lag(mesh(pushing)?, mesh(holding)?, pin).ok()
}

fn pair(a: Gear, b: Gear) -> InvolutePair {
    InvolutePair::new(&a.form(), &b.form()).unwrap_or_else(|error| panic!("{a:?} and {b:?}: {error}"))
}

/// The distance without backlash.
fn closed(a: Gear, b: Gear) -> f64 {
    closed_distance(&pair(a, b)).unwrap_or_else(|error| panic!("{a:?} and {b:?}: {error}"))
}

/// A ring of full teeth of module 1.
fn ring_of(teeth: u16) -> Gear {
    Gear { teeth, ring: true, ..Gear::default() }
}

#[test]
fn every_value_is_met_to_twelve_digits_and_where_it_is_printed_to_those() {
    agree::<Quantity>("tests/tooth_values.ron", LEDGER);
}

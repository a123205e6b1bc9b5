//! Do the formulas of teeth give what is printed and what an independent computation gives?
//!
//! `tests/tooth_values.ron` holds each value with its source. What was read in print, what is quoted from memory and what
//! is computed are kept apart by their origin.

use std::collections::BTreeMap;

use serde::Deserialize;
use toothmark::tooth::{
    Teeth, ToothForm, base_pitch, chordal_thickness, shift_of_thickness, span, span_touch_radius, teeth_to_span,
    thickness_at_pitch_circle, thickness_from_span, tip_thickness, usable_spans,
};

use crate::support::sets::read_ron;

/// Values of each origin, and of these the printed ones; they only grow.
const LEDGER: [(Origin, [usize; 2]); 3] =
    [(Origin::Seen, [4, 4]), (Origin::Memory, [12, 10]), (Origin::Computed, [35, 1])];

/// Computed values stand to twelve digits, and so do the readings from which some of them follow.
const TWELVE_DIGITS: f64 = 1e-10;

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Source {
    id: String,
    printed_in: String,
    origin: Origin,
    values: Vec<Value>,
}

/// How a printed value came here.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
enum Origin {
    /// Read in print.
    Seen,
    /// Printed, quoted from memory.
    Memory,
    /// By a second method.
    Computed,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Value {
    what: Quantity,
    computed: String,
    /// As printed, and how close it has to be.
    #[serde(default)]
    printed: Option<(String, String)>,
}

#[derive(Debug, Clone, Copy, Deserialize)]
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
}

impl Quantity {
    fn value(self) -> Option<f64> {
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
        }
    }
}

fn number(digits: &str) -> f64 {
    digits.parse().unwrap_or_else(|error| panic!("{digits}: {error}"))
}

#[track_caller]
fn check(source: &Source, value: &Value) {
    let place = format!("{}: {:?}", source.id, value.what);
    let ours = value.what.value().unwrap_or_else(|| panic!("{place} has no value"));
    let computed = number(&value.computed);
    let apart = (ours - computed).abs();
    assert!(apart <= TWELVE_DIGITS * computed.abs().max(1.0), "{place}: {ours} against {computed}");
    if let Some((printed, within)) = &value.printed {
        let apart = (ours - number(printed)).abs();
        assert!(apart <= number(within), "{place}: {ours}, printed {printed} in {}", source.printed_in);
    }
}

#[expect(clippy::print_stdout, reason = "the seed and what was counted")]
#[test]
fn every_value_is_met_to_twelve_digits_and_where_it_is_printed_to_those() {
    let sources: Vec<Source> = read_ron("tests/tooth_values.ron");
    let mut found: BTreeMap<Origin, [usize; 2]> = BTreeMap::new();
    for source in &sources {
        assert!(!source.printed_in.is_empty(), "{}: no word of where from", source.id);
        for value in &source.values {
            check(source, value);
            let [values, printed] = found.entry(source.origin).or_default();
            *values += 1;
            *printed += usize::from(value.printed.is_some());
        }
    }
    println!("values and printed ones by origin: {found:?}");
    assert_eq!(found, BTreeMap::from(LEDGER), "the ledger of values");
}

//! Which way does the corner of a cutter's tooth come through the space that it cuts?
//!
//! In the frame of the gear, the middle of a space on the x axis, a corner that has rolled by some angle past the line
//! of centres leaves the root and moves outward along a trochoid. A rack of tip radius R rounds its corner: the centre
//! of the rounding lies h within the pitch circle, touches the gear where the normal through the pitch point meets it,
//! and has rolled by `h tan u` when that normal has turned by u from the radius. A pinion-shaped cutter has a sharp
//! corner. Source: Buckingham (1949), Analytical Mechanics of Gears, chapters 4 and 7, from memory; checked with
//! polygons that are cut out of a blank.

use std::f64::consts::FRAC_PI_2;

use super::form::{RootCutter, Teeth, ToothForm};
use super::involute::{inverse_involute, involute};
use super::pair::InvolutePair;
use super::rack::RackTip;
use super::refusal::ToothError;
use super::shaper::{shape, shaper_of};
use super::thickness::{sign, thickness_at_pitch_circle};
use super::undercut::{CutFlank, flank_cut_by_rack};
use super::working::closed_distance;

/// The teeth of a pinion-shaped cutter that is not named: half as many as the ring's, and no more than these.
const MOST_OF_CUTTER: u16 = 25;

/// A cutter's corner on its way, and where the flank begins that the cutter leaves above it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Cut {
    pub(super) corner: Corner,
    /// How far the corner has rolled where it hands over to the flank.
    pub(super) end: f64,
    pub(super) flank: CutFlank,
}

/// The corner of a cutter's tooth.
#[derive(Debug, Clone, Copy)]
pub(super) enum Corner {
    /// Of a rack: rolls on the pitch circle.
    Rack {
        pitch_radius: f64,
        /// R.
        rounding: f64,
        /// h, negative outside the pitch circle.
        depth: f64,
        /// From the middle of the rack's tooth to the centre of the rounding.
        aside: f64,
    },
    /// Of a pinion-shaped cutter.
    Pinion {
        /// +1 for an external gear, -1 for a ring.
        sign: f64,
        /// From axis to axis.
        distance: f64,
        tip_radius: f64,
        /// From the middle of the cutter's tooth to the corner, as an angle.
        aside: f64,
        /// Turns of the gear to one of the cutter.
        ratio: f64,
    },
}

impl Corner {
    /// Where the space ends to the side: the radius, and the angle from the middle of the space. `rolled` is u of a
    /// rack, the angle of the corner from the line of centres of a pinion-shaped cutter.
    pub(super) fn at(self, rolled: f64) -> (f64, f64) {
        match self {
            Self::Rack { pitch_radius, rounding, depth, aside } => {
                let (sine, cosine) = rolled.sin_cos();
                let along = depth * rolled.tan();
                // The centre of the rounding is (r - h, h tan u) from the axis, and the gear has turned with the rack.
                let (radial, across) = (pitch_radius - depth - rounding * cosine, along + rounding * sine);
                (radial.hypot(across), across.atan2(radial) + (aside - along) / pitch_radius)
            }
            Self::Pinion { sign, distance, tip_radius, aside, ratio } => {
                let (sine, cosine) = rolled.sin_cos();
                let (radial, across) = (distance - sign * tip_radius * cosine, tip_radius * sine);
                (radial.hypot(across), across.atan2(radial) + (aside - rolled) * ratio)
            }
        }
    }
}

/// The corner that cuts the root of a gear.
pub(super) fn cut(form: &ToothForm) -> Result<Cut, ToothError> {
    let named = |tooth_count, profile_shift| by_pinion(form, tooth_count, profile_shift);
    match (form.cut_by, form.teeth) {
        (RootCutter::Usual, Teeth::External) => by_rack(form),
        // A cutter of the ring's own shift rolls at the nominal distance.
        (RootCutter::Usual, Teeth::Internal) => {
            named((form.tooth_count / 2).clamp(1, MOST_OF_CUTTER), form.profile_shift)
        }
        (RootCutter::Shaper { tooth_count, profile_shift }, _) => named(tooth_count, profile_shift),
    }
}

/// The rack that cuts the gear, its reference line x modules from the pitch circle.
fn by_rack(form: &ToothForm) -> Result<Cut, ToothError> {
    let (module, tip) = (form.module, RackTip::of(form));
    let corner = Corner::Rack {
        pitch_radius: form.pitch_radius(),
        rounding: tip.rounding * module,
        depth: (form.dedendum - form.profile_shift - tip.rounding) * module,
        // Along the pitch circle as along the reference line.
        aside: tip.aside * module,
    };
    Ok(Cut { corner, end: FRAC_PI_2 - form.pressure_angle, flank: flank_cut_by_rack(form, tip.straight)? })
}

/// A cutter of so many teeth whose addendum is the gear's dedendum.
fn by_pinion(form: &ToothForm, tooth_count: u16, profile_shift: f64) -> Result<Cut, ToothError> {
    let cutter = shaper_of(form, tooth_count, profile_shift);
    let (sign, distance) = (sign(form), closed_distance(&InvolutePair::new(&cutter, form)?)?);
    let half_at_base =
        thickness_at_pitch_circle(&cutter)? / (2.0 * cutter.pitch_radius()) + involute(cutter.pressure_angle);
    // inv of the angle at which the cutter's tooth is pointed; above it the tooth goes on as a needle.
    let pointed = cutter.base_radius() / inverse_involute(half_at_base).ok_or(ToothError::OutOfRange)?.cos();
    let sharp = ToothForm { tip_limit: Some(pointed), ..cutter };
    let tip_angle = (cutter.base_radius() / sharp.tip_radius()).min(1.0).acos();
    let aside = (half_at_base - involute(tip_angle)).max(0.0);
    let ratio = f64::from(tooth_count) / form.count();
    let shaped = shape(form, &sharp)?;
    Ok(Cut {
        corner: Corner::Pinion { sign, distance, tip_radius: cutter.tip_radius(), aside, ratio },
        end: (tip_angle - shaped.working_pressure_angle).max(0.0),
        flank: shaped.flank,
    })
}

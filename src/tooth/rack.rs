//! How is the tip of the rack rounded that cuts a gear, and how deep is its flank straight?
//!
//! The rack of ISO 53:1998, profile A, rounds its tips by 0.38 modules. Of another depth the rounding is smaller where
//! that would reach above the tip of the mate, or where the rack's tooth is too narrow. It takes `R (1 - sin a)` of the
//! dedendum h, so that the flank is straight down to `h - R (1 - sin a)`: for the depths 1 / 1.25 and 0.8 / 1 of 20 degrees
//! the addendum, as the standard has it, and deeper where there is more clearance than the rounding needs, as with 0.8 /
//! 1.1. Tips that were turned down after cutting change nothing of the rack. Source: ISO 53:1998 and ISO 21771:2007, from memory; checked
//! with polygons that are cut out of a blank.

use std::f64::consts::FRAC_PI_4;

use super::form::ToothForm;

/// The tip radius of the basic rack of ISO 53:1998, profile A, in modules.
const TIP_RADIUS: f64 = 0.38;

/// The tip of a rack's tooth, in modules.
#[derive(Debug, Clone, Copy)]
pub(super) struct RackTip {
    /// R.
    pub(super) rounding: f64,
    /// How far below its reference line the flank of the rack is straight.
    pub(super) straight: f64,
    /// From the middle of the rack's tooth to the centre of the rounding.
    pub(super) aside: f64,
}

impl RackTip {
    /// That of the rack that cuts a gear. The rounding is as large as the usual radius, the straight flank that the
    /// mate's tip needs, and the width of the rack's tooth allow.
    pub(super) fn of(form: &ToothForm) -> Self {
        let (sine, cosine, tangent) = (form.pressure_angle.sin(), form.pressure_angle.cos(), form.pressure_angle.tan());
        // Half the rack's tooth is pi/4 wide at its reference line, and h tan a less at its tip; the rounding takes
        // R (1 - sin a) of the depth and R (1 - sin a) / cos a of that width.
        let half_at_tip = FRAC_PI_4 - form.dedendum * tangent + form.thinning / (2.0 * form.module);
        let in_depth = (form.dedendum - form.cutter_addendum.unwrap_or(form.addendum)) / (1.0 - sine);
        let in_width = half_at_tip * cosine / (1.0 - sine);
        let rounding = TIP_RADIUS.min(in_depth).min(in_width).max(0.0);
        let taken = rounding * (1.0 - sine);
        Self {
            rounding,
            // A rack that is pointed above its tip goes on as a needle.
            straight: form.dedendum + half_at_tip.min(0.0) / tangent - taken,
            aside: (half_at_tip - taken / cosine).max(0.0),
        }
    }
}

impl ToothForm {
    /// How far the flank of the rack that cuts this gear is straight below its reference line, in modules.
    ///
    /// # Examples
    /// ```
    /// use toothmark::tooth::{Teeth, ToothForm};
    /// let full = ToothForm::standard(Teeth::External, 20, 2.0);
    /// assert!((full.straight_dedendum() - 1.0).abs() < 1e-12);
    /// // The rounding does not fill so deep a root.
    /// let deep = ToothForm { dedendum: 1.4, ..full };
    /// assert!((deep.straight_dedendum() - 1.15).abs() < 1e-4);
    /// ```
    pub fn straight_dedendum(&self) -> f64 {
        RackTip::of(self).straight
    }
}

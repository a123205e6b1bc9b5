//! The numbers that fix a spur gear's teeth, and the circles that follow from them.
//!
//! With z teeth, module m and pressure angle a: pitch radius r = z m / 2, base radius r cos a. A
//! profile shift of x modules moves the teeth outward, away from the axis, for internal teeth as
//! well, so that planet and ring of the same shift keep their nominal centre distance.

use std::f64::consts::{FRAC_PI_2, PI};

/// Which way the teeth point.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Teeth {
    /// Away from the axis.
    External,
    /// Towards the axis: a ring.
    Internal,
}

/// What has cut the roots of a gear.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
#[non_exhaustive]
pub enum RootCutter {
    /// A rack with the tip radius of ISO 53:1998, profile A, 0.38 modules, or what fits its depth; a ring by a
    /// pinion-shaped cutter of the ring's shift and half its teeth, at most 25.
    #[default]
    Usual,
    /// A pinion-shaped cutter with sharp corners whose addendum is the gear's dedendum; its root may lie a little off the
    /// dedendum.
    Shaper {
        /// Its teeth.
        tooth_count: u16,
        /// Its shift, in modules.
        profile_shift: f64,
    },
}

/// The teeth of a spur gear.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ToothForm {
    /// Which way the teeth point.
    pub teeth: Teeth,
    /// z, the number of teeth.
    pub tooth_count: u16,
    /// m, in millimetres.
    pub module: f64,
    /// a, in radians, at the pitch circle.
    pub pressure_angle: f64,
    /// x, in modules, positive away from the axis.
    pub profile_shift: f64,
    /// From the pitch circle to the tip without shift, in modules.
    pub addendum: f64,
    /// From the pitch circle to the root without shift, in modules.
    pub dedendum: f64,
    /// The addendum of the teeth that the rack is made for, in modules, where it is not that of this gear: its tips are
    /// turned down, or left larger. The flank of the rack is straight as far as these teeth need it.
    pub cutter_addendum: Option<f64>,
    /// How much thinner every tooth is than half a pitch, as an arc at the pitch circle in
    /// millimetres. The backlash of a mesh is the sum of that of its two gears.
    pub thinning: f64,
    /// The radius beyond which no tip is to reach, in millimetres.
    pub tip_limit: Option<f64>,
    /// What has cut the roots, for outlines.
    pub cut_by: RootCutter,
}

impl ToothForm {
    /// Teeth of the basic rack of ISO 53:1998, profile A, without shift or thinning.
    ///
    /// # Examples
    /// ```
    /// use toothmark::tooth::{Teeth, ToothForm};
    /// let gear = ToothForm::standard(Teeth::External, 26, 2.5);
    /// assert!((gear.pitch_radius() - 32.5).abs() < 1e-12);
    /// assert!((gear.tip_radius() - 35.0).abs() < 1e-12);
    /// ```
    pub fn standard(teeth: Teeth, tooth_count: u16, module: f64) -> Self {
        Self {
            teeth,
            tooth_count,
            module,
            pressure_angle: PI / 9.0,
            profile_shift: 0.0,
            addendum: 1.0,
            dedendum: 1.25,
            cutter_addendum: None,
            thinning: 0.0,
            tip_limit: None,
            cut_by: RootCutter::Usual,
        }
    }

    /// r = z m / 2, in millimetres.
    pub fn pitch_radius(&self) -> f64 {
        self.count() * self.module / 2.0
    }

    /// r cos a, in millimetres.
    pub fn base_radius(&self) -> f64 {
        self.pitch_radius() * self.pressure_angle.cos()
    }

    /// The radius of the tips, in millimetres, not beyond the tip limit.
    pub fn tip_radius(&self) -> f64 {
        let shifted = self.pitch_radius() + self.profile_shift * self.module;
        let addendum = self.addendum * self.module;
        match self.teeth {
            Teeth::External => (shifted + addendum).min(self.tip_limit.unwrap_or(f64::INFINITY)),
            Teeth::Internal => (shifted - addendum).max(self.tip_limit.unwrap_or(0.0)),
        }
    }

    /// The radius of the roots, in millimetres.
    pub fn root_radius(&self) -> f64 {
        let shifted = self.pitch_radius() + self.profile_shift * self.module;
        match self.teeth {
            Teeth::External => shifted - self.dedendum * self.module,
            Teeth::Internal => shifted + self.dedendum * self.module,
        }
    }

    /// Half the angle, at the pitch circle, of what points outward: a tooth, or a space of a ring.
    ///
    /// (pi/2 + 2 x tan a) / z, less or more the thinning.
    pub(super) fn outward_half_angle(&self) -> f64 {
        let half = (FRAC_PI_2 + 2.0 * self.profile_shift * self.pressure_angle.tan()) / self.count();
        let thinning = self.thinning / (self.module * self.count());
        match self.teeth {
            Teeth::External => half - thinning,
            Teeth::Internal => half + thinning,
        }
    }

    /// z as a float.
    pub(super) fn count(&self) -> f64 {
        f64::from(self.tooth_count)
    }
}

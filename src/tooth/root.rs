//! What does the side of a space look like from its root up to where the involute begins?
//!
//! The corner of the cutter leaves a trochoid. Where the cutter reaches past the base circle's tangent the trochoid cuts
//! into the involute, and the involute begins where they cross; otherwise it begins where they touch. The crossing is
//! bracketed: at the base circle the trochoid is the wider of the two, where the corner hands over to the flank it is the
//! narrower.

use std::f64::consts::PI;

use super::cutter::{Corner, cut};
use super::form::{Teeth, ToothForm};
use super::involute::involute;
use super::refusal::{OutlineError, ToothError};

/// A point of a flank: the radius, and the angle from the middle of the space.
pub(super) type SidePoint = (f64, f64);

/// The side of a space below the involute.
#[derive(Debug, Clone, Copy)]
pub(super) struct RootSide {
    corner: Corner,
    /// How far the corner has rolled at the end of the trochoid.
    end: f64,
    /// Where the involute begins; the tip radius where the trochoid reaches it.
    pub(super) form_radius: f64,
    pub(super) root_radius: f64,
}

impl RootSide {
    /// The side that the cutter of a gear leaves.
    pub(super) fn of(form: &ToothForm) -> Result<Self, OutlineError> {
        let cut = cut(form).map_err(refusal)?;
        let root_radius = cut.corner.at(0.0).0;
        let whole = Self { corner: cut.corner, end: cut.end, form_radius: cut.flank.form_radius, root_radius };
        let undercut = form.teeth == Teeth::External && cut.flank.room < 0.0;
        let side = if undercut { whole.crossed(form) } else { whole };
        Ok(side.cut_at_tip(form))
    }

    /// Up to where the trochoid crosses the involute.
    fn crossed(self, form: &ToothForm) -> Self {
        let base_radius = form.base_radius();
        let at_base = first(self.end, |rolled| self.corner.at(rolled).0 >= base_radius);
        let is_inside = |rolled: f64| {
            let (radius, angle) = self.corner.at(rolled);
            angle <= space_at(form, radius)
        };
        let beyond = first(self.end - at_base, |further| is_inside(at_base + further));
        let end = at_base + beyond;
        Self { end, form_radius: self.corner.at(end).0.max(base_radius), ..self }
    }

    /// Not beyond the tip, where that is reached before.
    fn cut_at_tip(self, form: &ToothForm) -> Self {
        let tip = form.tip_radius();
        let reaches = |radius: f64| if form.teeth == Teeth::External { radius >= tip } else { radius <= tip };
        if !reaches(self.form_radius) {
            return self;
        }
        Self { end: first(self.end, |rolled| reaches(self.corner.at(rolled).0)), form_radius: tip, ..self }
    }

    /// From the root on, no chord farther than the tolerance from the trochoid.
    pub(super) fn points(self, tolerance: f64) -> Vec<SidePoint> {
        const HALVINGS: u32 = 9;
        let mut points = vec![self.corner.at(0.0)];
        let mut from = 0.0;
        // Steps that are still to do, the next one last: their ends, and how often they have been halved.
        let mut steps = vec![(self.end, 0), (self.end / 2.0, 0)];
        while let Some((to, halvings)) = steps.pop() {
            let middle = f64::midpoint(from, to);
            // Half the tolerance, as the middle of a step need not be where its chord is farthest off.
            if halvings < HALVINGS && self.off_chord([from, middle, to]) > tolerance / 2.0 {
                steps.extend([(to, halvings + 1), (middle, halvings + 1)]);
            } else {
                points.push(self.corner.at(to));
                from = to;
            }
        }
        points
    }

    /// How far the trochoid in the middle of a step is from the chord.
    fn off_chord(self, rolled: [f64; 3]) -> f64 {
        let [from, middle, to] = rolled.map(|rolled| {
            let (radius, angle) = self.corner.at(rolled);
            [radius * angle.cos(), radius * angle.sin()]
        });
        let [along, across] = [to[0] - from[0], to[1] - from[1]];
        let area = along * (middle[1] - from[1]) - across * (middle[0] - from[0]);
        area.abs() / along.hypot(across).max(f64::MIN_POSITIVE)
    }
}

/// Half the angle of a space at a radius, by its involutes.
pub(super) fn space_at(form: &ToothForm, radius: f64) -> f64 {
    let outward = form.outward_half_angle();
    let turned = involute((form.base_radius() / radius).min(1.0).acos()) - involute(form.pressure_angle);
    match form.teeth {
        // inv a_y - inv a more than at the pitch circle.
        Teeth::External => PI / form.count() - outward + turned,
        Teeth::Internal => outward - turned,
    }
}

/// The least number up to `most` from which on something holds, if it holds at `most` and at nothing below; else `most`.
fn first(most: f64, holds: impl Fn(f64) -> bool) -> f64 {
    let (mut low, mut high) = (0.0, most);
    // Sixty halvings leave nothing of the bracket.
    for _ in 0..60 {
        let middle = f64::midpoint(low, high);
        if holds(middle) {
            high = middle;
        } else {
            low = middle;
        }
    }
    high
}

/// What the error of a formula says of the outline.
fn refusal(error: ToothError) -> OutlineError {
    let is_size = matches!(error, ToothError::NoSize | ToothError::OutOfRange | ToothError::PressureAngle);
    if is_size { OutlineError::NoSize } else { OutlineError::Cutter }
}

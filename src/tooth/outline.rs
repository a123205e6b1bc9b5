//! The outline of a spur gear as a closed line.
//!
//! Flanks are involutes of the base circle: on the way out from it, at the roll t (the tangent of the pressure angle
//! there), the radius is b sqrt(1 + t^2) and half the space's angle has grown by t - arctan t. The radius of curvature is
//! b t, so equal steps of the roll keep the chord error, b t (step)^2 / 8, below what it is at the tip. Towards the root
//! the flank goes over into the trochoid that the cutter leaves, which may have cut into it. The tip of a ring within the
//! base circle is a radial line. Source: Buckingham (1949), Analytical Mechanics of Gears, chapter 4, from memory.

use std::f64::consts::{PI, TAU};

use super::form::{Teeth, ToothForm};
use super::refusal::OutlineError;
use super::root::{RootSide, SidePoint, space_at};

/// The outline of a gear about the origin.
#[derive(Debug, Clone, PartialEq)]
pub struct Outline {
    /// The line, counter-clockwise, its last point joined to the first, in millimetres. The middle
    /// of a tooth lies on the positive x axis.
    pub points: Vec<[f64; 2]>,
    /// The radius of the tips, in millimetres.
    pub tip_radius: f64,
    /// The radius of the roots, in millimetres, as the cutter leaves them.
    pub root_radius: f64,
    /// The radius at which the involutes begin near the roots, in millimetres; where there are none, that of the tips.
    pub form_radius: f64,
}

/// The outline of a gear, no chord farther than the tolerance (in millimetres) from its curve.
///
/// # Errors
/// [`OutlineError`] where the numbers give no teeth.
///
/// # Examples
/// ```
/// use toothmark::tooth::{Teeth, ToothForm, outline};
/// let sun = outline(&ToothForm::standard(Teeth::External, 20, 2.5), 0.005).unwrap();
/// assert!((sun.tip_radius - 27.5).abs() < 1e-12);
/// assert!(sun.points.iter().all(|[x, y]| x.hypot(*y) < 27.5 + 1e-9));
/// ```
pub fn outline(form: &ToothForm, tolerance: f64) -> Result<Outline, OutlineError> {
    let sizes = [form.module, form.pressure_angle.cos(), form.pitch_radius(), tolerance];
    if sizes.iter().any(|size| !size.is_finite() || *size <= 0.0) {
        return Err(OutlineError::NoSize);
    }
    deep_enough(form, form.root_radius())?;
    let root = RootSide::of(form)?;
    deep_enough(form, root.root_radius)?;
    let side = side(form, &root, tolerance);
    check(form, &root, &side)?;
    let points = closed(form, &side, tolerance);
    Ok(Outline { points, tip_radius: form.tip_radius(), root_radius: root.root_radius, form_radius: root.form_radius })
}

/// The circles of tips and roots leave some depth, and something within.
fn deep_enough(form: &ToothForm, root_radius: f64) -> Result<(), OutlineError> {
    let (inner, outer) = match form.teeth {
        Teeth::External => (root_radius, form.tip_radius()),
        Teeth::Internal => (form.tip_radius(), root_radius),
    };
    if inner < form.module / 4.0 || outer <= inner { Err(OutlineError::NoRoot) } else { Ok(()) }
}

/// The side of a space from its root to the tip.
fn side(form: &ToothForm, root: &RootSide, tolerance: f64) -> Vec<SidePoint> {
    const SAME: f64 = 1e-9;
    let (base, tip) = (form.base_radius(), form.tip_radius());
    let mut side = root.points(tolerance);
    // The trochoid may reach the tip.
    if (root.form_radius - tip).abs() < SAME {
        return side;
    }
    let involute = involute_side(form, root.form_radius, tolerance);
    // The trochoid ends where the involute begins.
    let begins = involute.first().copied();
    side.pop_if(|end| begins.is_some_and(|begins| (end.1 - begins.1).abs() * begins.0 < SAME));
    side.extend(involute);
    // The radial tip of a ring.
    if form.teeth == Teeth::Internal && tip < base {
        side.push((tip, space_at(form, base)));
    }
    side
}

/// The involute from where it begins to the tip, or to the base circle.
fn involute_side(form: &ToothForm, form_radius: f64, tolerance: f64) -> Vec<SidePoint> {
    let base = form.base_radius();
    let roll = |radius: f64| ((radius / base).powi(2) - 1.0).max(0.0).sqrt();
    let (start, end) = (roll(form_radius), roll(form.tip_radius()));
    let largest_step = (8.0 * tolerance / (base * start.max(end).max(f64::EPSILON))).sqrt();
    let point = |part: f64| {
        let radius = base * (1.0 + (start + (end - start) * part).powi(2)).sqrt();
        (radius, space_at(form, radius))
    };
    parts((end - start).abs() / largest_step).map(point).collect()
}

/// There is a space everywhere above the root, and a tooth beside it.
fn check(form: &ToothForm, root: &RootSide, side: &[SidePoint]) -> Result<(), OutlineError> {
    let half_pitch = PI / form.count();
    // Where a rack is pointed above its tip the involutes close the space before the root.
    let closes = match form.teeth {
        Teeth::External => space_at(form, form.root_radius().max(form.base_radius())) <= 0.0,
        Teeth::Internal => space_at(form, form.root_radius()) <= 0.0,
    };
    if closes || side.iter().any(|&(radius, half)| radius > root.form_radius && half <= 0.0) {
        return Err(OutlineError::NoSpace);
    }
    if side.iter().any(|&(_, half)| half >= half_pitch) {
        return Err(OutlineError::Pointed);
    }
    Ok(())
}

/// All teeth, counter-clockwise: of each first the one side of its space, then the tip of the tooth.
fn closed(form: &ToothForm, side: &[SidePoint], tolerance: f64) -> Vec<[f64; 2]> {
    let half_pitch = PI / form.count();
    let (root, at_root) = side.first().copied().unwrap_or_default();
    let (tip, at_tip) = side.last().map_or((0.0, 0.0), |&(tip, half)| (tip, half_pitch - half));
    // From the middle of a space over its later side to the middle of the next.
    let mut pitch = side.to_vec();
    pitch.extend(arc(at_tip, tip, tolerance).map(|angle| (tip, half_pitch + angle)));
    pitch.extend(side.iter().rev().map(|&(radius, half)| (radius, 2.0 * half_pitch - half)));
    pitch.extend(arc(at_root, root, tolerance).map(|angle| (root, 2.0 * half_pitch + angle)));
    // The middle of tooth 0 lies on the x axis, that of the space before it half a pitch back.
    let spaces = (0..form.tooth_count).map(|number| TAU * f64::from(number) / form.count() - half_pitch);
    spaces
        .flat_map(|middle| pitch.iter().map(move |&(radius, angle)| (radius, middle + angle)))
        .map(|(radius, angle)| [radius * angle.cos(), radius * angle.sin()])
        .collect()
}

/// The inner points of an arc from `-half` to `half`, by angle.
fn arc(half: f64, radius: f64, tolerance: f64) -> impl Iterator<Item = f64> {
    let largest_step = 2.0 * (1.0 - tolerance / radius).clamp(-1.0, 1.0).acos();
    parts(2.0 * half / largest_step).filter(|&part| part > 0.0 && part < 1.0).map(move |part| half * (2.0 * part - 1.0))
}

/// From 0 to 1, both included, in at least so many equal steps.
fn parts(steps: f64) -> impl Iterator<Item = f64> {
    const MOST: u32 = 1000;
    let count = (1..MOST).find(|&count| f64::from(count) >= steps).unwrap_or(MOST);
    (0..=count).map(move |step| f64::from(step) / f64::from(count))
}

//! The outline of a spur gear as a closed line.
//!
//! Flanks are involutes of the base circle: on the way out from it, at the roll t (the tangent of
//! the pressure angle there), the radius is b sqrt(1 + t^2) and half the tooth's angle has shrunk
//! by t - arctan t. The radius of curvature is b t, so equal steps of the roll keep the chord
//! error, b t (step)^2 / 8, below what it is at the tip. Below the base circle the flank goes on
//! as a radial line to the root: the true fillet, a trochoid that the cutter leaves, is not drawn.
//! Source: Buckingham (1949), Analytical Mechanics of Gears, chapter 4, from memory.

use std::f64::consts::{PI, TAU};

use super::form::{Teeth, ToothForm};

/// The outline of a gear about the origin.
#[derive(Debug, Clone, PartialEq)]
pub struct Outline {
    /// The line, counter-clockwise, its last point joined to the first, in millimetres. The middle
    /// of a tooth lies on the positive x axis.
    pub points: Vec<[f64; 2]>,
    /// The radius of the tips, in millimetres.
    pub tip_radius: f64,
    /// The radius of the roots, in millimetres.
    pub root_radius: f64,
}

/// Why there is no outline.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum OutlineError {
    /// The root circle or the base circle would have no size.
    #[error("too few teeth for a root circle")]
    NoRoot,
    /// The flanks meet before the tip.
    #[error("the teeth are pointed before they reach their tips")]
    Pointed,
    /// The flanks of neighbouring teeth meet above the root.
    #[error("the spaces close above their roots")]
    NoSpace,
    /// A number that is not finite, or a size that is not above zero.
    #[error("a size is not above zero")]
    NoSize,
}

/// Half a tooth in polar coordinates: the radius, and the angle from the middle of the tooth.
type Flank = Vec<(f64, f64)>;

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
    let (inner, outer) = match form.teeth {
        Teeth::External => (form.root_radius(), form.tip_radius()),
        Teeth::Internal => (form.tip_radius(), form.root_radius()),
    };
    if inner < form.module / 4.0 || outer <= inner {
        return Err(OutlineError::NoRoot);
    }
    let flank = flank(form, inner, outer, tolerance);
    let half_outer = flank.last().map_or(0.0, |&(_, half)| half);
    let half_inner = PI / form.count() - flank.first().map_or(0.0, |&(_, half)| half);
    // What points outward is a tooth of an external gear and a space of a ring.
    let (tip, space) = match form.teeth {
        Teeth::External => (half_outer, half_inner),
        Teeth::Internal => (half_inner, half_outer),
    };
    if tip <= 0.0 {
        return Err(OutlineError::Pointed);
    }
    if space <= 0.0 {
        return Err(OutlineError::NoSpace);
    }
    let mut tooth: Flank = flank.iter().map(|&(radius, half)| (radius, -half)).collect();
    tooth.extend(arc(half_outer, outer, tolerance).map(|angle| (outer, angle)));
    tooth.extend(flank.iter().rev());
    tooth.extend(arc(half_inner, inner, tolerance).map(|angle| (inner, PI / form.count() + angle)));
    // The middle of what points outward, number 0.
    let first = match form.teeth {
        Teeth::External => 0.0,
        Teeth::Internal => PI / form.count(),
    };
    let middles = (0..form.tooth_count).map(|number| first + TAU * f64::from(number) / form.count());
    let points = middles
        .flat_map(|middle| tooth.iter().map(move |&(radius, angle)| (radius, middle + angle)))
        .map(|(radius, angle)| [radius * angle.cos(), radius * angle.sin()])
        .collect();
    Ok(Outline { points, tip_radius: form.tip_radius(), root_radius: form.root_radius() })
}

/// One flank from the inner to the outer circle.
fn flank(form: &ToothForm, inner: f64, outer: f64, tolerance: f64) -> Flank {
    let base = form.base_radius();
    let roll = |radius: f64| ((radius / base).powi(2) - 1.0).max(0.0).sqrt();
    let half_at_base = form.outward_half_angle() + unrolled(form.pressure_angle.tan());
    let (start, end) = (roll(inner), roll(outer));
    let mut flank = Flank::new();
    if inner < base {
        flank.push((inner, half_at_base));
    }
    let largest_step = (8.0 * tolerance / (base * end.max(f64::EPSILON))).sqrt();
    flank.extend(parts((end - start) / largest_step).map(|part| {
        let roll = start + (end - start) * part;
        (base * (1.0 + roll * roll).sqrt(), half_at_base - unrolled(roll))
    }));
    flank
}

/// t - arctan t: the involute function of the angle whose tangent is t.
fn unrolled(roll: f64) -> f64 {
    roll - roll.atan()
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

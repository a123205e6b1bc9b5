//! Between which distances could the pins of a planet stand?
//!
//! A gear allows shifts from where a rack begins to undercut it to where its tip becomes too thin, or only the described
//! one; a mesh allows the sums of what its gears allow, and with them distances, since the sum of shifts rises with the
//! distance. What gears of several meshes allow at once is a margin that has one peak: the distances that serve are those
//! round it, found by halving towards the ends.
//!
//! Why one peak: with the distance a, the module m and the base circles b apart when they touch, a sum of shifts rises by
//! `dS/da = sqrt(1 - (b/a)^2) / (m sin a_0)`. What the shift of one gear leaves to another is a sum or difference of the sums
//! on the way between them, and on it a gear of the planet is entered by one mesh and left by another of the same
//! module, so that it rises with the distance all the way, or falls. The least of such margins rises up to one place and
//! falls behind it. Planets with two gears on one way through other members, or a gear with meshes of two modules, may have
//! several windows; there one is found.

use super::allowed::{AllowedShifts, ROUNDING, ToothLimits};
use super::answer::{PinCircleFit, PinCircleOrigin};
use super::splits::TeethToShare;
use crate::clearance::{Closing, FitQuestion, SAME_SHIFT, ShiftEquation, ShiftTree, TeethInMesh, is_with_main_axis};
use crate::gearset::{MemberId, MeshId, Pair};
use crate::tooth::{InvolutePair, ToothForm, closed_distance, shift_sum_for};

/// Halvings of a window; they leave a billionth of it.
const HALVINGS: u32 = 30;

/// Where the pins of a planet stand, and where they could.
pub(super) fn pin_circle_fit(
    to_share: &TeethToShare<'_>,
    planet: MemberId,
    radius: f64,
    origin: PinCircleOrigin,
) -> PinCircleFit {
    let TeethToShare { asked: question, teeth, allowed } = *to_share;
    let set = question.set;
    let own = set.mesh_ids().filter(|&mesh| is_with_main_axis(set, mesh, planet));
    let meshes: Vec<MeshWindow> = own.filter_map(|mesh| MeshWindow::new(question, teeth, allowed, mesh)).collect();
    let asked = PlanetWindow { question, teeth, allowed, planet, meshes };
    let window = asked.window(radius);
    PinCircleFit {
        planet,
        radius_mm: radius,
        origin,
        window_mm: window.map(|[first, second]| Pair { first, second }),
        quarrel: if window.is_none() { asked.quarrel() } else { None },
        least_shift_mm: asked.least_shift(),
    }
}

/// The distances that a mesh alone allows, in millimetres.
struct MeshWindow {
    mesh: MeshId,
    pair: InvolutePair,
    from: f64,
    to: f64,
}

impl MeshWindow {
    fn new(question: &FitQuestion<'_>, teeth: &TeethInMesh, allowed: &AllowedShifts, mesh: MeshId) -> Option<Self> {
        let pair = teeth.pair(question.set, mesh).ok()?;
        let equation = teeth.equation(question.set, mesh, pair.nominal_distance()).ok()?;
        let limits = ToothLimits::default();
        let [first, second] = [equation.first, equation.second].map(|gear| allowed.of(gear));
        // x_2 + s x_1 runs between the sums of the ends, for a ring with the ends of the gear exchanged.
        let ends = if equation.sign > 0.0 { first } else { [-first[1], -first[0]] };
        let sums = [second[0] + ends[0], second[1] + ends[1]].map(|sum| sum.clamp(limits.shifts[0], limits.shifts[1]));
        let distance = |sum: f64| {
            let shifted = |form: &ToothForm, profile_shift| ToothForm { profile_shift, ..*form };
            InvolutePair::new(&shifted(pair.first(), 0.0), &shifted(pair.second(), sum))
                .and_then(|it| closed_distance(&it))
        };
        // Where a sum leaves no mesh the base circles are the limit.
        let from = distance(sums[0]).unwrap_or_else(|_| pair.least_distance());
        Some(Self { mesh, pair, from, to: distance(sums[1]).ok()? })
    }
}

/// What all meshes of a planet allow at once.
struct PlanetWindow<'a> {
    question: &'a FitQuestion<'a>,
    teeth: &'a TeethInMesh,
    allowed: &'a AllowedShifts,
    planet: MemberId,
    meshes: Vec<MeshWindow>,
}

impl PlanetWindow<'_> {
    fn ends(&self) -> [f64; 2] {
        let from = self.meshes.iter().map(|mesh| mesh.from).fold(0.0, f64::max);
        [from, self.meshes.iter().map(|mesh| mesh.to).fold(f64::INFINITY, f64::min)]
    }

    /// The window, where there is one.
    fn window(&self, radius: f64) -> Option<[f64; 2]> {
        let ends = self.ends();
        if self.meshes.is_empty() || ends[0] > ends[1] {
            return None;
        }
        let at_hand = [radius, ends[0], ends[1]].into_iter().filter(|at| (ends[0]..=ends[1]).contains(at));
        let inside = at_hand.into_iter().find(|&at| self.serves(at)).or_else(|| self.serving_at_peak(ends))?;
        Some(ends.map(|end| self.farthest(inside, end)))
    }

    /// A distance that serves, if that of the largest margin does: by golden sections, of which fifty leave nothing of the
    /// bracket.
    fn serving_at_peak(&self, [mut from, mut to]: [f64; 2]) -> Option<f64> {
        const SECTIONS: u32 = 50;
        // The larger part of a line that is to the smaller as the whole is to it.
        let golden = f64::midpoint(5_f64.sqrt(), -1.0);
        let tried = |at: f64| (at, self.margin(at));
        let (mut near, mut far) = (tried(to - golden * (to - from)), tried(from + golden * (to - from)));
        for _ in 0..SECTIONS {
            if let Some((at, _)) = [near, far].into_iter().find(|(_, margin)| *margin >= -ROUNDING) {
                return Some(at);
            }
            if near.1 < far.1 {
                from = near.0;
                (near, far) = (far, tried(from + golden * (to - from)));
            } else {
                to = far.0;
                (near, far) = (tried(to - golden * (to - from)), near);
            }
        }
        None
    }

    /// The last distance that serves on the way from one that does.
    fn farthest(&self, mut inside: f64, end: f64) -> f64 {
        if self.serves(end) {
            return end;
        }
        let mut outside = end;
        for _ in 0..HALVINGS {
            let middle = f64::midpoint(inside, outside);
            if self.serves(middle) {
                inside = middle;
            } else {
                outside = middle;
            }
        }
        inside
    }

    /// Whether every gear has a shift that it allows when the pins of this planet stand there.
    fn serves(&self, radius: f64) -> bool {
        self.margin(radius) >= -ROUNDING
    }

    /// What is left of the shifts that gears allow when the pins of this planet stand there, in modules; negative where
    /// they do not close.
    fn margin(&self, radius: f64) -> f64 {
        let equation = |&(mesh, at): &(MeshId, f64)| self.teeth.equation(self.question.set, mesh, at).ok();
        let meshes: Vec<(MeshId, f64)> = self.standing(radius);
        let equations: Vec<ShiftEquation> = meshes.iter().filter_map(equation).collect();
        if equations.len() < meshes.len() {
            return f64::NEG_INFINITY;
        }
        let closing = Closing::new(&equations, &|gear| self.question.described_shift(gear));
        let own = closing.open.iter().filter(|open| self.meshes.iter().any(|own| own.mesh == open.mesh));
        let of_loops = own.map(|open| SAME_SHIFT - open.off.abs());
        let of_trees = closing.trees.iter().filter(|tree| self.meets(tree)).map(|tree| self.allowed.room(tree));
        of_loops.chain(of_trees).fold(f64::INFINITY, f64::min)
    }

    /// Every mesh with a central gear and how far apart it stands.
    fn standing(&self, radius: f64) -> Vec<(MeshId, f64)> {
        let set = self.question.set;
        let at = |mesh: MeshId| {
            let known = self.question.circles.of_mesh(set, mesh)?;
            Some((mesh, if is_with_main_axis(set, mesh, self.planet) { radius } else { known }))
        };
        set.mesh_ids().filter_map(at).collect()
    }

    fn meets(&self, tree: &ShiftTree) -> bool {
        let set = self.question.set;
        let gears = |mesh: &MeshWindow| set.mesh(mesh.mesh).gears().each();
        self.meshes.iter().any(|mesh| gears(mesh).iter().any(|gear| tree.gears.iter().any(|open| open.gear == *gear)))
    }

    /// The mesh that asks for the largest distance and the one that asks for the smallest.
    fn quarrel(&self) -> Option<Pair<MeshId>> {
        let first = self.meshes.iter().max_by(|a, b| a.from.total_cmp(&b.from))?.mesh;
        let others = self.meshes.iter().filter(|mesh| mesh.mesh != first);
        let second = others.min_by(|a, b| a.to.total_cmp(&b.to))?.mesh;
        Some(Pair { first, second })
    }

    /// The distance at which the largest sum of shifts is least: where the largest and the least sum are opposite.
    fn least_shift(&self) -> Option<f64> {
        let distances = || self.meshes.iter().map(|mesh| mesh.pair.nominal_distance());
        let (mut near, mut far) = (distances().reduce(f64::min)?, distances().reduce(f64::max)?);
        let excess = |at: f64| {
            let sums: Vec<f64> =
                self.meshes.iter().map(|mesh| shift_sum_for(&mesh.pair, at)).collect::<Result<_, _>>().ok()?;
            Some(sums.iter().copied().reduce(f64::max)? + sums.iter().copied().reduce(f64::min)?)
        };
        for _ in 0..HALVINGS {
            let middle = f64::midpoint(near, far);
            // Where base circles leave no line of action the distance is too small.
            if excess(middle).is_none_or(|excess| excess < 0.0) {
                near = middle;
            } else {
                far = middle;
            }
        }
        Some(f64::midpoint(near, far))
    }
}

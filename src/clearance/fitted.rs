//! Which teeth has every gear, as it fits: with which shift, depth, tips and thinning, and how far apart do meshes stand?
//!
//! A shift is that which is described, or that which closes the meshes on a pin circle that is known ([`Closing`]), or
//! none. External pairs have both tips shortened by what a full root clearance asks for ([`tip_shortening`]), a gear of
//! several meshes by the most of them; the tips of a ring are shortened so far that they stay on the involutes of the gears
//! inside it, as full ones do not. Tips that are described stay as they are. Where a backlash is described and no
//! thinning, each of the two gears is thinned by half of it, of several meshes by the least. Everything that draws, measures or
//! judges teeth takes them from here.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::closing::{Closing, ShiftEquation};
use super::described::{DescribedGear, DescribedTeeth};
use super::known_circles::KnownCircles;
use crate::gearset::{GearId, GearKind, Gearset, MeshId, Pitch, PlanetGroup};
use crate::tooth::{
    FormRadii, InvolutePair, Teeth, ToothError, ToothForm, closed_distance, flank_cut_by_rack, shift_sum_for,
    tip_limits, tip_shortening,
};

/// The module of a drawing whose description gives none, in millimetres.
pub(super) const MODULE_OF_NONE: f64 = 1.0;

/// How many teeth a gear has: as described, or otherwise.
pub(crate) type Count<'a> = &'a dyn Fn(GearId) -> u16;

/// What teeth are asked for.
pub(crate) struct FitQuestion<'a> {
    pub(crate) set: &'a Gearset,
    /// Tooth counts, which need not be those described.
    pub(crate) count: Count<'a>,
    /// What is described, with the counts that are described.
    pub(crate) described: Arc<DescribedTeeth>,
    pub(crate) circles: KnownCircles,
    /// Shifts that are chosen, in place of those that would be taken.
    pub(crate) chosen: &'a [(GearId, f64)],
    /// Gears that stay as they are: such as have no described shift have none.
    pub(crate) staying: &'a [GearId],
}

/// The teeth of gears in mesh.
#[derive(Debug, Clone)]
pub(crate) struct TeethInMesh {
    /// Of each spur gear in the meshes asked about.
    forms: BTreeMap<GearId, ToothForm>,
    /// Those of whose thickness nothing is told.
    of_unknown_thickness: BTreeSet<GearId>,
    /// By mesh, of those asked about.
    distances: Vec<(MeshId, Result<f64, ToothError>)>,
    pub(crate) closing: Closing,
    /// Meshes on a known pin circle that no shifts close.
    pub(crate) impossible: Vec<(MeshId, ToothError)>,
    pub(crate) circles: KnownCircles,
}

impl<'a> FitQuestion<'a> {
    /// Teeth as described.
    pub(crate) fn described(set: &'a Gearset, count: Count<'a>) -> Self {
        let described = Arc::new(DescribedTeeth::new(set));
        Self { set, count, described, circles: KnownCircles::described(set), chosen: &[], staying: &[] }
    }

    /// The same with shifts that are chosen.
    pub(crate) fn with_chosen(&self, chosen: &'a [(GearId, f64)]) -> Self {
        Self { described: Arc::clone(&self.described), circles: self.circles.clone(), chosen, ..*self }
    }

    /// The teeth of the gears of these meshes. Where pin circles are known all meshes of the set have their say, else
    /// those that share a gear with them.
    pub(crate) fn teeth(&self, meshes: &[MeshId]) -> TeethInMesh {
        self.teeth_of(&scope(self.set, &self.circles, meshes))
    }

    /// The teeth of the gears of these spur meshes, which alone have a say.
    pub(crate) fn teeth_of(&self, scope: &[MeshId]) -> TeethInMesh {
        let mut teeth = TeethInMesh {
            forms: BTreeMap::new(),
            of_unknown_thickness: BTreeSet::new(),
            distances: Vec::new(),
            closing: Closing::default(),
            impossible: Vec::new(),
            circles: self.circles.clone(),
        };
        for &mesh in scope {
            for gear in self.set.mesh(mesh).gears().each() {
                teeth.forms.entry(gear).or_insert_with(|| self.form(gear, mesh_module(self.set, mesh)));
            }
        }
        self.thin(&mut teeth, scope);
        self.close(&mut teeth, scope);
        teeth.distances = scope.iter().map(|&mesh| (mesh, self.distance(&teeth, mesh))).collect();
        self.shorten_tips(&mut teeth);
        teeth
    }

    /// The teeth of a gear as described, with the shift that is described or none. A shift belongs to the count that it is
    /// described with, and so do tips and thickness: with another count the teeth have none of them.
    fn form(&self, gear: GearId, module: f64) -> ToothForm {
        ToothForm {
            tooth_count: (self.count)(gear),
            module,
            profile_shift: self.described_shift(gear).unwrap_or(0.0),
            thinning: self.described_thinning(gear).unwrap_or(0.0),
            ..self.described.of(gear).plain
        }
    }

    /// What is described of a gear, if it has the count that is described.
    fn as_counted(&self, gear: GearId) -> Option<&DescribedGear> {
        let told = self.described.of(gear);
        (told.plain.tooth_count == (self.count)(gear)).then_some(told)
    }

    /// Thins the teeth of gears of which only the backlash of their meshes is described.
    fn thin(&self, teeth: &mut TeethInMesh, scope: &[MeshId]) {
        for (&gear, form) in &mut teeth.forms {
            if self.described_thinning(gear).is_some() {
                continue;
            }
            let own = scope.iter().map(|&mesh| self.set.mesh(mesh)).filter(|mesh| mesh.gears().contains(&gear));
            let half = own.filter_map(|mesh| Some(mesh.backlash()?.millimetres() / 2.0)).reduce(f64::min);
            form.thinning = half.unwrap_or(0.0);
            if half.is_none() {
                teeth.of_unknown_thickness.insert(gear);
            }
        }
    }

    /// The shift that is described for the count that the gear has.
    pub(crate) fn described_shift(&self, gear: GearId) -> Option<f64> {
        let described = self.as_counted(gear).and_then(|told| told.shift);
        described.or_else(|| self.staying.contains(&gear).then_some(0.0))
    }

    /// The radius of the tips that is described for the count that the gear has, in millimetres.
    fn described_tip(&self, gear: GearId) -> Option<f64> {
        self.as_counted(gear)?.tip_radius
    }

    /// The thinning that is described for the count that the gear has, in millimetres.
    fn described_thinning(&self, gear: GearId) -> Option<f64> {
        self.as_counted(gear)?.thinning
    }

    /// Gives gears on known pin circles the shifts that close their meshes.
    fn close(&self, teeth: &mut TeethInMesh, scope: &[MeshId]) {
        let mut equations = Vec::new();
        for &mesh in scope {
            let Some(radius) = self.circles.of_mesh(self.set, mesh) else { continue };
            match teeth.equation(self.set, mesh, radius) {
                Ok(equation) => equations.push(equation),
                Err(reason) => teeth.impossible.push((mesh, reason)),
            }
        }
        teeth.closing = Closing::new(&equations, &|gear| self.described_shift(gear));
        let chosen = |gear: GearId| self.chosen.iter().find(|(other, _)| *other == gear).map(|(_, shift)| *shift);
        for (&gear, form) in &mut teeth.forms {
            let shift = chosen(gear).or_else(|| teeth.closing.shift(gear));
            form.profile_shift = shift.unwrap_or(form.profile_shift);
        }
    }

    fn distance(&self, teeth: &TeethInMesh, mesh: MeshId) -> Result<f64, ToothError> {
        let is_open = teeth.closing.open.iter().any(|open| open.mesh == mesh);
        let is_impossible = teeth.impossible.iter().any(|(other, _)| *other == mesh);
        match self.circles.of_mesh(self.set, mesh).filter(|_| !is_open && !is_impossible) {
            Some(radius) => Ok(radius),
            None => closed_distance(&teeth.pair(self.set, mesh)?),
        }
    }

    /// Shortens the tips of external pairs for a full root clearance, those of rings so that they stay clear of fillets, and
    /// puts described tips where they are.
    fn shorten_tips(&self, teeth: &mut TeethInMesh) {
        let mut shorter: BTreeMap<GearId, f64> = BTreeMap::new();
        for &(mesh, distance) in &teeth.distances {
            let asked = distance.and_then(|distance| tip_shortening(&teeth.pair(self.set, mesh)?, distance));
            for gear in self.set.mesh(mesh).gears().each().into_iter().filter(|_| asked.is_ok_and(|asked| asked < 0.0))
            {
                let most = shorter.entry(gear).or_default();
                *most = most.min(asked.unwrap_or_default());
            }
        }
        for (&gear, form) in &mut teeth.forms {
            if let Some(tip) = self.described_tip(gear) {
                // The cutter is made for the teeth as they would be.
                form.cutter_addendum = Some(form.addendum);
                let outward = if form.teeth == Teeth::Internal { -1.0 } else { 1.0 };
                form.addendum = outward * ((tip - form.pitch_radius()) / form.module - form.profile_shift);
            } else if let Some(asked) = shorter.get(&gear).filter(|_| form.teeth == Teeth::External) {
                form.tip_limit = Some(form.tip_radius() + asked * form.module);
            }
        }
        for (mesh, limit) in self.ring_tips(teeth) {
            for gear in
                self.set.mesh(mesh).gears().each().into_iter().filter(|&gear| self.described_tip(gear).is_none())
            {
                let Some(form) = teeth.forms.get_mut(&gear).filter(|form| form.teeth == Teeth::Internal) else {
                    continue;
                };
                if limit > form.tip_radius() {
                    form.tip_limit = Some(limit);
                }
            }
        }
    }

    /// For each ring mesh the radius down to which the tips of the ring may reach, a rack having left the flank of the gear
    /// from its form radius on.
    fn ring_tips(&self, teeth: &TeethInMesh) -> Vec<(MeshId, f64)> {
        let limit = |&(mesh, distance): &(MeshId, Result<f64, ToothError>)| {
            let pair = teeth.pair(self.set, mesh).ok().filter(InvolutePair::has_ring)?;
            let flank = flank_cut_by_rack(pair.first(), pair.first().straight_dedendum()).ok()?;
            let ends = FormRadii { first: Some(flank.form_radius), second: None };
            Some((mesh, tip_limits(&pair, distance.ok()?, ends).ok()?.second))
        };
        teeth.distances.iter().filter_map(limit).collect()
    }
}

impl TeethInMesh {
    /// The teeth of the gears of a group, with other counts than described or with those.
    pub(crate) fn of_group(set: &Gearset, group: &PlanetGroup, count: Count<'_>) -> Self {
        Self::of_meshes(set, group.meshes(), count)
    }

    /// The same of the gears of these meshes.
    pub(crate) fn of_meshes(set: &Gearset, meshes: &[MeshId], count: Count<'_>) -> Self {
        let circles = KnownCircles::described(set);
        let scope = scope(set, &circles, meshes);
        of_scope(set, circles, &scope, count)
    }

    /// The teeth of a gear in one of the meshes asked about.
    pub(crate) fn form(&self, gear: GearId) -> ToothForm {
        self.forms.get(&gear).copied().unwrap_or_else(|| ToothForm::standard(Teeth::External, 1, MODULE_OF_NONE))
    }

    /// Whether it is known how thick the teeth of a gear are.
    pub(crate) fn is_thickness_known(&self, gear: GearId) -> bool {
        !self.of_unknown_thickness.contains(&gear)
    }

    /// Two gears in mesh; of a gear with meshes of two pitches the teeth have the size of this one.
    pub(crate) fn pair(&self, set: &Gearset, mesh: MeshId) -> Result<InvolutePair, ToothError> {
        let module = mesh_module(set, mesh);
        let [a, b] = set.mesh(mesh).gears().each().map(|gear| ToothForm { module, ..self.form(gear) });
        InvolutePair::new(&a, &b)
    }

    /// The sum of shifts that a mesh needs at a distance.
    pub(crate) fn equation(&self, set: &Gearset, mesh: MeshId, distance: f64) -> Result<ShiftEquation, ToothError> {
        let pair = self.pair(set, mesh)?;
        let [a, b] = set.mesh(mesh).gears().each();
        let (first, second) = if set.gear(a).kind() == GearKind::Internal { (b, a) } else { (a, b) };
        let sign = if pair.has_ring() { -1.0 } else { 1.0 };
        Ok(ShiftEquation { mesh, first, second, sign, sum: shift_sum_for(&pair, distance)? })
    }

    /// Every gear of the meshes asked about, in the order of the description.
    pub(crate) fn gears(&self) -> impl Iterator<Item = GearId> {
        self.forms.keys().copied()
    }

    /// How far apart two gears in mesh stand, in millimetres: on the pin circle that their shifts close, else where
    /// teeth that are not thinned have no backlash.
    ///
    /// # Errors
    /// Why there is no such distance; [`ToothError::NoMesh`] of a mesh that was not asked about.
    pub(crate) fn distance(&self, mesh: MeshId) -> Result<f64, ToothError> {
        let found = self.distances.iter().find(|(other, _)| *other == mesh);
        found.map_or(Err(ToothError::NoMesh), |(_, distance)| *distance)
    }
}

/// The teeth as described of the gears of these spur meshes, which alone have a say.
fn of_scope(set: &Gearset, circles: KnownCircles, scope: &[MeshId], count: Count<'_>) -> TeethInMesh {
    let described = Arc::new(DescribedTeeth::of_meshes(set, scope));
    FitQuestion { set, count, described, circles, chosen: &[], staying: &[] }.teeth_of(scope)
}

/// Spur meshes that have a say in the teeth of these.
fn scope(set: &Gearset, circles: &KnownCircles, meshes: &[MeshId]) -> Vec<MeshId> {
    let is_spur = |mesh: &MeshId| !set.gear(set.mesh(*mesh).gears().first).kind().is_bevel();
    if circles.is_empty() {
        let gears: BTreeSet<GearId> = meshes.iter().flat_map(|&mesh| set.mesh(mesh).gears().each()).collect();
        set.meshes_of_all(&gears).into_iter().filter(is_spur).collect()
    } else {
        set.mesh_ids().filter(is_spur).collect()
    }
}

/// The tooth count of each gear as described.
pub(crate) fn as_described(set: &Gearset) -> impl Fn(GearId) -> u16 {
    |gear| set.gear(gear).tooth_count().get()
}

/// The module of a mesh; that of a drawing not to scale where none is given.
pub(crate) fn mesh_module(set: &Gearset, mesh: MeshId) -> f64 {
    set.mesh(mesh).pitch().map_or(MODULE_OF_NONE, Pitch::module)
}

/// The distance at which a mesh closes, in millimetres, if its counts and shifts leave one.
pub(crate) fn mesh_distance(set: &Gearset, mesh: MeshId) -> Option<f64> {
    let count = as_described(set);
    let circles = KnownCircles::described(set);
    // Without a known pin circle the distance of a mesh is its own affair.
    let scope = if circles.is_empty() { vec![mesh] } else { scope(set, &circles, &[mesh]) };
    let teeth = of_scope(set, circles, &scope, &count);
    teeth.distance(mesh).ok()
}

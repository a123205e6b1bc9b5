//! Which teeth have the gears of an order, and by how much is each thinned?
//!
//! The teeth are those that close on their pins; the thinning of each is shared from the backlash of its meshes.

use std::collections::BTreeMap;

use super::answer::{KeptGear, LengthLimits, OrderedMesh};
use super::question::{BacklashLimits, CannotOrder, OrderQuestion, named};
use super::thinning::{NeededThinning, at_least, at_most};
use crate::clearance::TeethInMesh;
use crate::fit::close::{FaultWeight, FitRefusal, GearFit, MeshFault, MeshFit, ToothFit, closed_teeth};
use crate::gearset::{GearId, Gearset, Length, MeshId};
use crate::tooth::{InvolutePair, RoomVerdict, ToothForm, mesh_backlash};

/// The teeth of a gearset with their limits of thinning.
pub(super) struct OrderedTeeth<'a> {
    pub(super) set: &'a Gearset,
    fit: ToothFit,
    fitted: TeethInMesh,
    kept: Vec<GearId>,
    /// Of every gear in mesh the least it is thinned by.
    least: BTreeMap<GearId, f64>,
    /// The same at most, where limits are asked for.
    most: Option<BTreeMap<GearId, f64>>,
    limits: Option<BacklashLimits>,
}

impl<'a> OrderedTeeth<'a> {
    pub(super) fn new(set: &'a Gearset, question: &OrderQuestion) -> Result<Self, FitRefusal> {
        let (fit, fitted) = closed_teeth(set, &question.shifts)?;
        let mut teeth = Self {
            set,
            fit,
            fitted,
            kept: question.kept.clone(),
            least: BTreeMap::new(),
            most: None,
            limits: question.backlash,
        };
        let given = teeth.given();
        teeth.least = at_least(&teeth.needs(|limits| limits.least), &given);
        teeth.most = teeth.limits.is_some().then(|| teeth.most_thinning());
        Ok(teeth)
    }

    /// What may be cut away beyond the least, shared in the same way from what the least leaves of the most backlash.
    fn most_thinning(&self) -> BTreeMap<GearId, f64> {
        let kept: BTreeMap<GearId, f64> = self.kept.iter().map(|&gear| (gear, 0.0)).collect();
        let room = |need: NeededThinning| {
            let taken: f64 = need.gears.iter().filter_map(|gear| self.least.get(gear)).sum();
            NeededThinning { sum: (need.sum - taken).max(0.0), ..need }
        };
        let needs: Vec<NeededThinning> = self.needs(|limits| limits.most).into_iter().map(room).collect();
        let more = at_most(&needs, &kept);
        self.least.iter().map(|(&gear, least)| (gear, least + more.get(&gear).copied().unwrap_or(0.0))).collect()
    }

    /// What each mesh needs to have this backlash.
    fn needs(&self, wanted: fn(BacklashLimits) -> f64) -> Vec<NeededThinning> {
        let sum = |mesh: &MeshFit| {
            let described = self.set.mesh(mesh.mesh).backlash().map_or(0.0, Length::millimetres);
            let wanted = self.limits.map_or(described, wanted);
            NeededThinning { gears: mesh.gears.each(), sum: wanted - self.backlash_unthinned(mesh) }
        };
        self.fit.meshes.iter().map(sum).collect()
    }

    /// The thinning of gears that are as they are, and where no limits are asked for of those that it is described of.
    fn given(&self) -> BTreeMap<GearId, f64> {
        let kept = self.kept.iter().map(|&gear| (gear, self.described_thinning(gear).unwrap_or(0.0)));
        let described = self.set.gear_ids().filter(|_| self.limits.is_none());
        let described = described.filter_map(|gear| Some((gear, self.described_thinning(gear)?)));
        described.chain(kept).collect()
    }

    fn described_thinning(&self, gear: GearId) -> Option<f64> {
        Some(self.set.described_teeth(gear)?.thinned.as_ref()?.millimetres())
    }

    /// The backlash of a mesh at the pitch circle with teeth that are not thinned; none where it does not close.
    fn backlash_unthinned(&self, mesh: &MeshFit) -> f64 {
        let [a, b] = mesh.gears.each().map(|gear| self.unthinned(gear));
        let at = |distance: f64| mesh_backlash(&InvolutePair::new(&a, &b).ok()?, distance).ok();
        let backlash = mesh.center_distance_mm.and_then(at).map_or(0.0, |backlash| backlash.at_pitch_circle);
        if backlash.abs() < RoomVerdict::ROUNDING { 0.0 } else { backlash }
    }

    /// Whether the gears to cut can have so much backlash.
    pub(super) fn check_backlash(&self, cut: &[GearId]) -> Result<(), CannotOrder> {
        let Some(BacklashLimits { most, .. }) = self.limits else { return Ok(()) };
        let half_a_tooth = |gear: &GearId| std::f64::consts::FRAC_PI_2 * self.unthinned(*gear).module;
        match cut.iter().find(|gear| most >= half_a_tooth(gear)) {
            Some(&gear) => Err(CannotOrder::BeyondHalfATooth { most, gear: named(self.set, gear) }),
            None => Ok(()),
        }
    }

    /// What the closing of the meshes makes of a gear; none of one that is in no spur mesh.
    pub(super) fn fit(&self, gear: GearId) -> Option<&GearFit> {
        self.fit.gears.iter().find(|fit| fit.gear == gear)
    }

    pub(super) fn is_in_mesh(&self, gear: GearId) -> bool {
        self.fit(gear).is_some()
    }

    /// The teeth of a gear that is not thinned.
    pub(super) fn unthinned(&self, gear: GearId) -> ToothForm {
        ToothForm { thinning: 0.0, ..self.fitted.form(gear) }
    }

    /// The teeth of a gear as thick as they may be, and as thin, where that is told.
    pub(super) fn thickest_and_thinnest(&self, gear: GearId) -> (ToothForm, Option<ToothForm>) {
        let thinned = |thinning: f64| ToothForm { thinning, ..self.unthinned(gear) };
        let limits = self.thinning(gear);
        (thinned(limits.least_mm.unwrap_or(0.0)), limits.most_mm.map(thinned))
    }

    pub(super) fn thinning(&self, gear: GearId) -> LengthLimits {
        LengthLimits {
            least_mm: self.least.get(&gear).copied(),
            most_mm: self.most.as_ref().and_then(|most| most.get(&gear).copied()),
        }
    }

    /// The meshes of a gear.
    pub(super) fn meshes_of(&self, gear: GearId) -> impl Iterator<Item = MeshId> {
        self.fit.meshes.iter().filter(move |mesh| mesh.gears.contains(&gear)).map(|mesh| mesh.mesh)
    }

    /// The meshes that have any of these gears.
    fn meshes_of_any(&self, gears: &[GearId]) -> impl Iterator<Item = &MeshFit> {
        self.fit.meshes.iter().filter(|mesh| mesh.gears.each().iter().any(|gear| gears.contains(gear)))
    }

    /// What the backlash of a mesh comes to: the same sum read backward.
    fn backlash(&self, mesh: &MeshFit) -> LengthLimits {
        let gears = mesh.gears.each().map(|gear| self.thinning(gear));
        let of_both = |limit: fn(&LengthLimits) -> Option<f64>| {
            let [a, b] = gears.each_ref().map(limit);
            Some(self.backlash_unthinned(mesh) + a? + b?)
        };
        LengthLimits { least_mm: of_both(|gear| gear.least_mm), most_mm: of_both(|gear| gear.most_mm) }
    }

    /// The least backlash over the meshes of a gear, if anything tells that of each.
    pub(super) fn least_backlash(&self, gear: GearId) -> Option<f64> {
        let own = self.fit.meshes.iter().filter(|mesh| mesh.gears.contains(&gear));
        let least = own.map(|mesh| {
            let is_told = self.limits.is_some() || self.set.mesh(mesh.mesh).backlash().is_some();
            self.backlash(mesh).least_mm.filter(|least| is_told && *least > 0.0)
        });
        least.collect::<Option<Vec<f64>>>()?.into_iter().reduce(f64::min)
    }

    /// The meshes of these gears with their backlash.
    pub(super) fn ordered_meshes(&self, gears: &[GearId]) -> Vec<OrderedMesh> {
        self.meshes_of_any(gears).map(|mesh| self.ordered_mesh(mesh)).collect()
    }

    fn ordered_mesh(&self, mesh: &MeshFit) -> OrderedMesh {
        let backlash = self.backlash(mesh);
        let is_within_limits = self.limits.is_none_or(|limits| {
            backlash.least_mm.is_none_or(|least| least > limits.least - RoomVerdict::ROUNDING)
                && backlash.most_mm.is_none_or(|most| most < limits.most + RoomVerdict::ROUNDING)
        });
        OrderedMesh { mesh: mesh.mesh, center_distance_mm: mesh.center_distance_mm, backlash, is_within_limits }
    }

    /// Whether every mesh of these gears closes, and which meshes and gears of them have a fault that has to be seen to. What
    /// binds as described need not as ordered.
    pub(super) fn faults_of(&self, gears: &[GearId]) -> (bool, Vec<MeshId>, Vec<GearId>) {
        let closes = !self.meshes_of_any(gears).any(|mesh| mesh.faults.iter().any(MeshFault::keeps_open));
        let fails =
            |fault: &MeshFault| fault.weight() == FaultWeight::Fails && !matches!(fault, MeshFault::Binds { .. });
        let meshes = self.meshes_of_any(gears).filter(|mesh| mesh.faults.iter().any(fails));
        let of_gear = |fit: &&GearFit| fit.faults.iter().any(|fault| fault.weight() == FaultWeight::Fails);
        let faulty = self.fit.gears.iter().filter(|fit| gears.contains(&fit.gear)).filter(of_gear);
        (closes, meshes.map(|mesh| mesh.mesh).collect(), faulty.map(|fit| fit.gear).collect())
    }

    pub(super) fn kept(&self) -> Vec<KeptGear> {
        let kept = |&gear: &GearId| {
            let told = self.described_thinning(gear);
            KeptGear { gear, thinning_mm: told.unwrap_or(0.0), is_told: told.is_some() }
        };
        self.kept.iter().map(kept).collect()
    }
}

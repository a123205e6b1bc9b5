//! What does a description say of the teeth of each gear?
//!
//! It names gears, and has exact numbers; teeth of other counts are fitted over and over, so here all is looked up once.

use crate::exact::to_float;
use crate::gearset::{GearId, GearKind, Gearset, MeshId, ToothCutter};
use crate::tooth::{RootCutter, Teeth, ToothForm};

/// The teeth of gears as they are described.
#[derive(Debug, Clone)]
pub(crate) struct DescribedTeeth {
    /// In the order of the gears.
    of_gears: Vec<(GearId, DescribedGear)>,
}

/// The teeth of a gear as they are described.
#[derive(Debug, Clone, Copy)]
pub(crate) struct DescribedGear {
    /// With the count of the gear, of module 1, without shift, thinning or a described tip.
    pub(crate) plain: ToothForm,
    /// In modules.
    pub(crate) shift: Option<f64>,
    /// In millimetres.
    pub(crate) tip_radius: Option<f64>,
    /// In millimetres.
    pub(crate) thinning: Option<f64>,
}

impl DescribedTeeth {
    /// Those of every gear.
    pub(crate) fn new(set: &Gearset) -> Self {
        Self { of_gears: set.gear_ids().map(|gear| (gear, DescribedGear::new(set, gear))).collect() }
    }

    /// Those of the gears of some meshes alone: a long train has many others.
    pub(crate) fn of_meshes(set: &Gearset, meshes: &[MeshId]) -> Self {
        let mut gears: Vec<GearId> = meshes.iter().flat_map(|&mesh| set.mesh(mesh).gears().each()).collect();
        gears.sort_unstable();
        gears.dedup();
        Self { of_gears: gears.into_iter().map(|gear| (gear, DescribedGear::new(set, gear))).collect() }
    }

    pub(crate) fn of(&self, gear: GearId) -> &DescribedGear {
        let place = self.of_gears.binary_search_by_key(&gear, |(known, _)| *known);
        &self.of_gears[place.expect("a gear of the meshes asked about")].1
    }
}

impl DescribedGear {
    fn new(set: &Gearset, gear: GearId) -> Self {
        let teeth = if set.gear(gear).kind() == GearKind::Internal { Teeth::Internal } else { Teeth::External };
        let standard = ToothForm::standard(teeth, set.gear(gear).tooth_count().get(), 1.0);
        let told = set.described_teeth(gear);
        let depth = told.and_then(|told| told.depth.as_deref());
        Self {
            plain: ToothForm {
                pressure_angle: to_float(&set.pressure_angle()).to_radians(),
                addendum: depth.map_or(standard.addendum, |depth| to_float(depth.addendum())),
                dedendum: depth.map_or(standard.dedendum, |depth| to_float(&depth.dedendum())),
                cut_by: root_cutter(told.and_then(|told| told.cut_by.as_deref())),
                ..standard
            },
            shift: set.described_shift(gear).as_ref().map(to_float),
            tip_radius: told.and_then(|told| told.tip.as_ref()).map(|tip| tip.millimetres() / 2.0),
            thinning: told.and_then(|told| told.thinned.as_ref()).map(|thinned| thinned.millimetres()),
        }
    }
}

/// What cuts the roots, as described or as usual.
fn root_cutter(described: Option<&ToothCutter>) -> RootCutter {
    match described {
        Some(ToothCutter::Shaper { tooth_count, shift }) => {
            u16::try_from(*tooth_count).map_or(RootCutter::Usual, |tooth_count| RootCutter::Shaper {
                tooth_count,
                profile_shift: to_float(shift),
            })
        }
        Some(ToothCutter::Rack) | None => RootCutter::Usual,
    }
}

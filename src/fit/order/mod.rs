//! What does whoever cuts the gears of a gearset need to know?
//!
//! Shift, tips and centre distances are those of the teeth as they fit; the limits of span and pins follow from the
//! backlash that each mesh is to have ([`thinning`]), the index of a cluster from the timing of its group. Source of the
//! measures: handbooks of metric gears, by the formulas of `tooth`. Fit alone: no quality grade, no word on strength.

mod answer;
mod cluster;
mod gear;
mod measures;
mod question;
mod teeth;
mod thinning;

pub use answer::{
    IndexAlike, IndexSource, KeptGear, LengthLimits, OrderedCluster, OrderedGear, OrderedIndex, OrderedMesh,
    OrderedPins, OrderedSpan, StruckMark, TeethOrder,
};
pub use question::{BacklashLimits, CannotOrder, OrderQuestion, PinFault};

use crate::gearset::{GearId, Gearset, Pitch};
use cluster::ordered_clusters;
use gear::ordered_gear;
use question::named;
use teeth::OrderedTeeth;

/// The order for the gears of a gearset.
///
/// # Errors
/// [`CannotOrder`]: a mesh without pitch, gears that are no spur gears, limits that contradict one another, a pin that
/// does not serve.
///
/// # Examples
/// ```
/// use toothmark::description;
/// use toothmark::fit::{BacklashLimits, OrderQuestion, order};
/// let set = description::read(description::example("inspection-railcar").unwrap()).unwrap();
/// let backlash = Some(BacklashLimits { least: 0.08, most: 0.15 });
/// let order = order(&set, &OrderQuestion { backlash, ..OrderQuestion::default() }).unwrap();
/// let drive = &order.gears[0];
/// assert_eq!((drive.teeth, drive.span.unwrap().teeth), (26, 3));
/// // Each of two gears is thinned by half of the backlash.
/// assert!((drive.thinning.least_mm.unwrap() - 0.04).abs() < 1e-9);
/// assert_eq!(order.clusters[0].pieces, 3);
/// ```
pub fn order(set: &Gearset, question: &OrderQuestion) -> Result<TeethOrder, CannotOrder> {
    check_limits(question)?;
    let teeth = OrderedTeeth::new(set, question)?;
    let cut = gears_to_cut(&teeth, question)?;
    check_pitches(&teeth, &cut)?;
    teeth.check_backlash(&cut)?;
    let gears: Vec<OrderedGear> =
        cut.iter().map(|&gear| ordered_gear(&teeth, question, gear)).collect::<Result<_, _>>()?;
    let (closes, faulty_meshes, faulty_gears) = teeth.faults_of(&cut);
    Ok(TeethOrder {
        clusters: ordered_clusters(&teeth, question, &cut)?,
        gears,
        gearset: set.title().to_owned(),
        closes,
        faulty_meshes,
        faulty_gears,
        meshes: teeth.ordered_meshes(&cut),
        kept: teeth.kept(),
        left_out: left_out(&teeth, question),
    })
}

fn check_limits(question: &OrderQuestion) -> Result<(), CannotOrder> {
    match question.backlash {
        Some(BacklashLimits { least, most }) if most <= least => Err(CannotOrder::LimitsReversed { least, most }),
        _ => Ok(()),
    }
}

/// The gears to cut, in the order of the description.
fn gears_to_cut(teeth: &OrderedTeeth<'_>, question: &OrderQuestion) -> Result<Vec<GearId>, CannotOrder> {
    let OrderQuestion { gears, kept, .. } = question;
    if let Some(&gear) = gears.iter().find(|gear| kept.contains(gear)) {
        return Err(CannotOrder::CutAndKept { gear: named(teeth.set, gear) });
    }
    if let Some(&gear) = gears.iter().chain(kept).find(|&&gear| !teeth.is_in_mesh(gear)) {
        return Err(CannotOrder::NotInMesh { gear: named(teeth.set, gear) });
    }
    let is_asked = |gear: &GearId| (gears.is_empty() || gears.contains(gear)) && !kept.contains(gear);
    let cut: Vec<GearId> = teeth.set.gear_ids().filter(|&gear| teeth.is_in_mesh(gear)).filter(is_asked).collect();
    if cut.is_empty() { Err(CannotOrder::NothingLeft) } else { Ok(cut) }
}

/// Gears that nobody named and that are not ordered.
fn left_out(teeth: &OrderedTeeth<'_>, question: &OrderQuestion) -> Vec<GearId> {
    let all = question.gears.is_empty();
    teeth.set.gear_ids().filter(|&gear| all && !teeth.is_in_mesh(gear)).collect()
}

/// Whether the gears to cut have one pitch each.
fn check_pitches(teeth: &OrderedTeeth<'_>, cut: &[GearId]) -> Result<(), CannotOrder> {
    for &gear in cut {
        let mut modules =
            teeth.meshes_of(gear).filter_map(|mesh| teeth.set.mesh(mesh).pitch()).map(Pitch::exact_module);
        let first = modules.next();
        if modules.any(|module| first.as_ref() != Some(&module)) {
            return Err(CannotOrder::TwoPitches { gear: named(teeth.set, gear) });
        }
    }
    Ok(())
}

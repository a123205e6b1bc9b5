//! What do the plates of a description hold, with the force of a measured spring and the faces of a pack?

use super::answer::{PackOrder, PlateHold, SpringSetting};
use super::question::{ClutchQuestion, PlatesQuestion};
use super::refusal::CannotSetClutch;
use crate::bench::held::held;
use crate::exact::{Fraction, fraction};
use crate::gearset::{ControlId, Draft, DraftAction, Force, Gearset};

/// What the plates hold, where it is asked: the loads of the gearset with what was measured in place of what it says.
pub(super) fn plates(
    set: Option<&Gearset>,
    question: &ClutchQuestion,
    spring: Option<&SpringSetting>,
    pack: Option<&PackOrder>,
) -> Result<Option<PlateHold>, CannotSetClutch> {
    let Some(PlatesQuestion { control, torque }) = &question.plates else { return Ok(None) };
    let set = set.ok_or(CannotSetClutch::NoGearset)?;
    let force = spring.and_then(|spring| spring.force_on_plates_newtons);
    let faces = pack.map(|pack| pack.faces);
    let set = &measured(set, *control, force, faces)?;
    let (capacity, states) = held(set, *control, &torque.clone().unwrap_or_default());
    let capacity = capacity.and_then(|it| it.plates_worn_in_newton_metres.zip(it.plates_new_newton_metres));
    let (worn_in, new) =
        capacity.ok_or_else(|| CannotSetClutch::NoPlates { control: set.control(*control).name().to_owned() })?;
    Ok(Some(PlateHold {
        clutch: *control,
        worn_in_newton_metres: worn_in,
        new_newton_metres: new,
        by_spring: force.is_some(),
        by_pack: faces.is_some(),
        states,
        torque_given: torque.is_some(),
    }))
}

/// The gearset with another force on the plates of a clutch, and with another number of faces.
fn measured(
    set: &Gearset,
    control: ControlId,
    newtons: Option<f64>,
    faces: Option<usize>,
) -> Result<Gearset, CannotSetClutch> {
    let mut draft: Draft = set.draft().clone();
    let name = set.control(control).name();
    let action = draft.controls.iter_mut().find(|it| it.name.as_str() == name).map(|it| &mut it.action);
    if let Some(DraftAction::Clutch(_, sizes)) = action {
        if let Some(newtons) = newtons {
            let force = Fraction::from_float(newtons).ok_or(CannotSetClutch::PlateForce)?;
            sizes.force = Some(Force::Newtons(force).into());
        }
        if let Some(faces) = faces {
            sizes.faces = Some(fraction(i64::try_from(faces).unwrap_or(i64::MAX), 1).into());
        }
    }
    Gearset::new(draft).map_err(|_| CannotSetClutch::PlateForce)
}

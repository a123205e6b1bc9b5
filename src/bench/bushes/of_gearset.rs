//! Which bushes does a description know?

use super::question::{BushQuestion, BushesQuestion, MeasuredDiameter, PressedBush};
use crate::gearset::{Bearing, BushSizes, Gearset, Length};

impl BushesQuestion {
    /// Every bearing of a description whose bore and shaft are given, by the names of its members.
    pub fn of_gearset(set: &Gearset) -> Self {
        let named = set.bearings().iter().zip(bearing_names(set));
        let bushes = named.filter_map(|(bearing, name)| bush(bearing, name)).collect();
        Self { bushes, ..Self::default() }
    }
}

/// What each bearing of a description is called, by its members.
pub(crate) fn bearing_names(set: &Gearset) -> Vec<String> {
    let mut names: Vec<String> = Vec::new();
    for bearing in set.bearings() {
        let [first, second] = bearing.members().both().map(|member| set.member(*member).name());
        let plain = format!("{first} on {second}");
        // The same two members may bear on one another twice, as two bushes do.
        let alike = names.iter().filter(|other| is_named(other, &plain)).count();
        names.push(if alike == 0 { plain } else { format!("{plain}, bush {}", alike + 1) });
    }
    names
}

/// Whether a bush is named so, counted or not.
fn is_named(name: &str, plain: &str) -> bool {
    name == plain || name.strip_prefix(plain).is_some_and(|behind| behind.starts_with(", bush "))
}

fn bush(bearing: &Bearing, name: String) -> Option<BushQuestion> {
    let measured = |length: &Length| vec![MeasuredDiameter { mm: length.millimetres(), across_mm: None }];
    let allowed = bearing.allowed();
    Some(BushQuestion {
        name,
        bore: measured(bearing.bore()?),
        shaft: measured(bearing.shaft()?),
        allowed_mm: allowed.map(|allowed| [allowed.least.millimetres(), allowed.most.millimetres()]),
        pressed: bearing.bush().map(pressed),
        ..BushQuestion::default()
    })
}

fn pressed(bush: &BushSizes) -> PressedBush {
    PressedBush {
        outside_mm: bush.outside.millimetres(),
        interference_mm: bush.interference.millimetres(),
        housing_mm: bush.housing.millimetres(),
        of: bush.of,
        into: bush.into,
    }
}

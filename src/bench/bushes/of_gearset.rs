//! Which bushes does a description know?

use super::question::{BushQuestion, BushesQuestion, MeasuredDiameter, PressedBush};
use crate::gearset::{Bearing, BushSizes, Gearset, Length};

impl BushesQuestion {
    /// Every bearing of a description whose bore and shaft are given, by the names of its members.
    pub fn of_gearset(set: &Gearset) -> Self {
        let bushes = set.bearings().iter().filter_map(|bearing| bush(set, bearing));
        let mut found: Vec<BushQuestion> = Vec::new();
        for mut bush in bushes {
            // The same two members may bear on one another twice, as two bushes do.
            let alike = found.iter().filter(|other| is_named(&other.name, &bush.name)).count();
            if alike > 0 {
                bush.name = format!("{}, bush {}", bush.name, alike + 1);
            }
            found.push(bush);
        }
        Self { bushes: found, ..Self::default() }
    }
}

/// Whether a bush is named so, counted or not.
fn is_named(name: &str, plain: &str) -> bool {
    name == plain || name.strip_prefix(plain).is_some_and(|behind| behind.starts_with(", bush "))
}

fn bush(set: &Gearset, bearing: &Bearing) -> Option<BushQuestion> {
    let measured = |length: &Length| vec![MeasuredDiameter { mm: length.millimetres(), across_mm: None }];
    let [first, second] = bearing.members().both().map(|member| set.member(*member).name());
    let allowed = bearing.allowed();
    Some(BushQuestion {
        name: format!("{first} on {second}"),
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

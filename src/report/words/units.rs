//! In which unit is a length told first?
//!
//! Whoever has gears of a diametral pitch has gauges and a maker's book in inches: of these inches come first, with four
//! decimals as a shop writes them, and small arcs in thousandths; of all others millimetres. The other unit stands behind.

use super::{length, thou};
use crate::gearset::{GearId, Gearset, MILLIMETRES_PER_INCH, Mesh, Pitch};

/// The unit that comes first.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::report) enum Units {
    /// Millimetres, with inches behind.
    Millimetres,
    /// Inches, with millimetres behind.
    Inches,
}

impl Units {
    /// Those of a gear, by the pitch of its meshes.
    pub(in crate::report) fn of_gear(set: &Gearset, gear: GearId) -> Self {
        Self::of_meshes(set.meshes().iter().filter(|mesh| mesh.gears().contains(&gear)))
    }

    /// Those of a whole gearset.
    pub(in crate::report) fn of_set(set: &Gearset) -> Self {
        Self::of_meshes(set.meshes().iter())
    }

    /// Inches where every pitch that is told is a diametral one.
    fn of_meshes<'a>(meshes: impl Iterator<Item = &'a Mesh>) -> Self {
        let mut pitches = meshes.filter_map(Mesh::pitch).peekable();
        let is_of_inches = pitches.peek().is_some() && pitches.all(|pitch| matches!(pitch, Pitch::Diametral(_)));
        if is_of_inches { Self::Inches } else { Self::Millimetres }
    }

    /// What the unit is called.
    pub(in crate::report) fn name(self) -> &'static str {
        match self {
            Self::Millimetres => "mm",
            Self::Inches => "in",
        }
    }

    /// The unit behind.
    pub(in crate::report) fn other(self) -> Self {
        match self {
            Self::Millimetres => Self::Inches,
            Self::Inches => Self::Millimetres,
        }
    }

    /// A length in this unit, which a heading names: to a micrometre or a ten thousandth.
    pub(in crate::report) fn number(self, millimetres: f64) -> String {
        match self {
            Self::Millimetres => format!("{millimetres:.3}"),
            Self::Inches => format!("{:.4}", millimetres / MILLIMETRES_PER_INCH),
        }
    }

    /// The same to a hundredth of a millimetre, or a thousandth of an inch.
    pub(in crate::report) fn coarse(self, millimetres: f64) -> String {
        match self {
            Self::Millimetres => format!("{millimetres:.2}"),
            Self::Inches => format!("{:.3}", millimetres / MILLIMETRES_PER_INCH),
        }
    }

    /// `75.000 mm (2.9528 in)`, or the other way round.
    pub(in crate::report) fn length(self, millimetres: f64) -> String {
        match self {
            Self::Millimetres => length(millimetres),
            Self::Inches => format!("{} in ({millimetres:.3} mm)", self.number(millimetres)),
        }
    }

    /// A small length: `0.100 mm (3.9 thou)`, or the other way round.
    pub(in crate::report) fn arc(self, millimetres: f64) -> String {
        match self {
            Self::Millimetres => format!("{millimetres:.3} mm ({:.1} thou)", thou(millimetres)),
            Self::Inches => format!("{:.1} thou ({millimetres:.3} mm)", thou(millimetres)),
        }
    }

    /// The same where a heading names the units.
    pub(in crate::report) fn short_arc(self, millimetres: f64) -> String {
        match self {
            Self::Millimetres => format!("{millimetres:.3} ({:.1})", thou(millimetres)),
            Self::Inches => format!("{:.1} ({millimetres:.3})", thou(millimetres)),
        }
    }

    /// What such a heading says.
    pub(in crate::report) fn of_short_arcs(self) -> &'static str {
        match self {
            Self::Millimetres => "mm (thou)",
            Self::Inches => "thou (mm)",
        }
    }
}

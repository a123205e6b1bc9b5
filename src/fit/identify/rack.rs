//! Which pitches, pressure angles and depths of teeth are usual?
//!
//! Diametral pitches from 2 1/2 to 24; modules of the first and second choice of ISO 54 from 1 to 8, and those of the third
//! that machines were built with; pressure angles of 14 1/2 and 20 degrees. Depths in modules: full 1 and 1.25, or 1
//! and 1.157 as inch hobs have them; of 20 degrees also stub 0.8 and 1, and stub pairs a/b: teeth as thick as those of a
//! diametral pitch a, and as high as full ones of b.

use std::fmt;

use super::question::KnownTeeth;
use crate::exact::{Fraction, fraction, to_float};
use crate::gearset::Pitch;
use crate::tooth::{Teeth, ToothForm};

/// Usual diametral pitches, in halves.
const DIAMETRAL_HALVES: &[i64] = &[5, 6, 7, 8, 10, 12, 14, 16, 18, 20, 22, 24, 28, 32, 36, 40, 44, 48];

/// Usual modules, in eighths of a millimetre.
const MODULE_EIGHTHS: &[i64] = &[8, 9, 10, 11, 12, 14, 16, 18, 20, 22, 24, 26, 28, 30, 32, 36, 40, 44, 48, 52, 56, 64];

/// Usual pressure angles, in halves of a degree.
const ANGLE_HALVES: &[i64] = &[40, 29];

/// Stub pairs a/b, whose teeth are of 20 degrees. That of 4/5 and that of 8/10 are 0.8 modules high, as stub teeth
/// are, and are not listed twice.
const STUB_PAIRS: &[(i64, i64)] =
    &[(3, 4), (5, 7), (6, 8), (7, 9), (9, 11), (10, 12), (12, 14), (14, 18), (16, 21), (18, 24), (20, 26), (24, 32)];

/// How high teeth are beside their pitch.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Depth {
    /// 1 above the pitch circle, 1.25 below it, in modules.
    Full,
    /// 1 above, 1.157 below.
    FullOfInchHob,
    /// 0.8 above, 1 below.
    Stub,
    /// As high as full teeth of the diametral pitch b, beside a.
    Pair(i64, i64),
}

impl Depth {
    /// From the pitch circle to the tip, in modules.
    fn addendum(self) -> f64 {
        match self {
            Self::Full | Self::FullOfInchHob => 1.0,
            Self::Stub => 0.8,
            Self::Pair(..) => self.height(),
        }
    }

    /// From the pitch circle to the root, in modules.
    fn dedendum(self) -> f64 {
        match self {
            Self::Full => 1.25,
            Self::FullOfInchHob => 1.157,
            Self::Stub => 1.0,
            Self::Pair(..) => 1.25 * self.height(),
        }
    }

    /// Of a pair the module of b in modules of a: a/b.
    fn height(self) -> f64 {
        match self {
            Self::Pair(of_thickness, of_height) => to_float(&fraction(of_thickness, of_height)),
            Self::Full | Self::FullOfInchHob | Self::Stub => 1.0,
        }
    }

    /// Whether two depths differ at the tip, and whether they do at the root.
    pub(super) fn differs(self, other: Self) -> [bool; 2] {
        const ALIKE: f64 = 1e-9;
        [self.addendum() - other.addendum(), self.dedendum() - other.dedendum()].map(|apart| apart.abs() > ALIKE)
    }
}

impl fmt::Display for Depth {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Full => formatter.write_str("full 1.25"),
            Self::FullOfInchHob => formatter.write_str("full 1.157"),
            Self::Stub => formatter.write_str("stub"),
            Self::Pair(of_thickness, of_height) => write!(formatter, "stub {of_thickness}/{of_height}"),
        }
    }
}

/// Teeth that a cutter could have made: pitch, angle, and the depths that readings cannot tell apart.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Rack {
    pub(super) pitch: Pitch,
    pub(super) angle: Fraction,
    pub(super) depths: Vec<Depth>,
    /// The pitch and the angle as floats: the module, and radians.
    pub(super) module: f64,
    pub(super) radians: f64,
}

impl Rack {
    /// A gear of it.
    pub(super) fn form(
        &self,
        depth: Depth,
        (teeth, tooth_count): (Teeth, u16),
        shift: f64,
        thinning: f64,
    ) -> ToothForm {
        ToothForm {
            pressure_angle: self.radians,
            profile_shift: shift,
            thinning,
            addendum: depth.addendum(),
            dedendum: depth.dedendum(),
            ..ToothForm::standard(teeth, tooth_count, self.module)
        }
    }

    /// The base pitch, `pi m cos a`, in millimetres.
    pub(super) fn base_pitch(&self) -> f64 {
        std::f64::consts::PI * self.module * self.radians.cos()
    }

    /// Whether two racks have pitch and angle in common.
    pub(super) fn is_of_one_pitch(&self, other: &Self) -> bool {
        self.pitch == other.pitch && self.angle == other.angle
    }

    /// Pitch and angle as they are called: `9 DP, 20 deg`.
    pub(super) fn name(&self) -> String {
        format!("{}, {} deg", self.pitch_name(), to_float(&self.angle))
    }

    /// The pitch as it is called: `9 DP`, `module 2.75`.
    pub(super) fn pitch_name(&self) -> String {
        pitch_name(&self.pitch)
    }
}

/// `9 DP`, `module 2.75`.
pub(super) fn pitch_name(pitch: &Pitch) -> String {
    match pitch {
        Pitch::Module(_) => format!("module {}", to_float(pitch.value())),
        Pitch::Diametral(_) => format!("{} DP", to_float(pitch.value())),
    }
}

/// Which parts of the height of teeth readings tell.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(super) struct HeightRead {
    pub(super) tip: bool,
    pub(super) root: bool,
}

/// Every rack that may be: of what is known, or usual. Depths that differ in nothing that was read are one.
pub(super) fn racks(known: &KnownTeeth, read: HeightRead) -> Vec<Rack> {
    let modules = MODULE_EIGHTHS.iter().map(|&eighths| Pitch::Module(fraction(eighths, 8)));
    let diametral = DIAMETRAL_HALVES.iter().map(|&halves| Pitch::Diametral(fraction(halves, 2)));
    let pitches: Vec<Pitch> =
        known.pitch.clone().map_or_else(|| diametral.chain(modules).collect(), |pitch| vec![pitch]);
    let angles: Vec<Fraction> = known
        .pressure_angle
        .clone()
        .map_or_else(|| ANGLE_HALVES.iter().map(|&halves| fraction(halves, 2)).collect(), |angle| vec![angle]);
    let mut racks = Vec::new();
    for pitch in &pitches {
        for angle in &angles {
            for depths in told_apart(&depths(pitch, angle, known), read) {
                let (pitch, angle, module) = (pitch.clone(), angle.clone(), pitch.module());
                let radians = to_float(&angle).to_radians();
                racks.push(Rack { pitch, angle, depths, module, radians });
            }
        }
    }
    racks
}

/// The usual depths at a pitch and angle.
fn depths(pitch: &Pitch, angle: &Fraction, known: &KnownTeeth) -> Vec<Depth> {
    let mut depths = vec![Depth::Full, Depth::FullOfInchHob];
    if *angle != fraction(20, 1) && known.pressure_angle.is_none() {
        return depths;
    }
    let is_of_pitch = |(of_thickness, _): &&(i64, i64)| matches!(pitch, Pitch::Diametral(size) if *size == fraction(*of_thickness, 1));
    let pairs = STUB_PAIRS.iter().filter(is_of_pitch);
    depths.push(Depth::Stub);
    depths.extend(pairs.map(|&(of_thickness, of_height)| Depth::Pair(of_thickness, of_height)));
    depths
}

/// The depths in groups of which no reading tells one from another.
fn told_apart(depths: &[Depth], read: HeightRead) -> Vec<Vec<Depth>> {
    let mut groups: Vec<Vec<Depth>> = Vec::new();
    for &depth in depths {
        let are_one = |group: &&mut Vec<Depth>| {
            let [tip, root] = group[0].differs(depth);
            !(read.tip && tip || read.root && root)
        };
        match groups.iter_mut().find(are_one) {
            Some(group) => group.push(depth),
            None => groups.push(vec![depth]),
        }
    }
    groups
}

/// What depths that cannot be told apart are called together.
pub(super) fn depth_name(depths: &[Depth]) -> String {
    match depths {
        [only] => only.to_string(),
        [Depth::Full, Depth::FullOfInchHob] => "full".into(),
        _ => "open".into(),
    }
}

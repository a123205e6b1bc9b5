//! Where does every gear of a group lie, and how is it turned?
//!
//! Seen from the input side, the main axis at the origin, y upward, lengths in millimetres. Pins
//! are placed by `pins`, planets turned by `seating`, and what meshes with them by `phases`. Last
//! every mesh of every pin is measured: a group that does not go together shows by how much.

use std::f64::consts::{PI, TAU};

use super::phases::{Stand, misfit, propagate};
use super::seating::seatings;
use crate::clearance::{NotPlaced, PinCircles, Plane, TeethInMesh, as_described, join};
use crate::exact::to_float;
use crate::gearset::{GearId, Gearset, MemberId, MeshId, PlanetGroup};
use crate::timing::GroupTiming;
use crate::tooth::{OutlineError, Teeth, ToothForm, largest_external_tip, outline, smallest_internal_tip, tips_foul};

/// The farthest that a chord may be from its curve, in millimetres.
const TOLERANCE: f64 = 0.005;
/// Teeth drawn without a backlash given are thinner by this, in modules of arc.
const THINNING_OF_NONE: f64 = 0.02;
/// A misfit below this, in teeth, is none.
const NO_MISFIT: f64 = 1e-6;
/// The least that is left of an addendum when tips are shortened, in modules.
const LEAST_ADDENDUM: f64 = 0.2;

/// A group of planets laid out.
#[derive(Debug, Clone, PartialEq)]
pub struct Layout {
    /// The axial planes.
    pub planes: Vec<Plane>,
    /// The gears of each plane.
    pub gears: Vec<Vec<PlacedGear>>,
    /// The mark of every planet on every pin.
    pub marks: Vec<PlacedMark>,
    /// Every mesh that is not right as drawn.
    pub misfits: Vec<MeshMisfit>,
    /// Whether the description gives a pitch for every mesh; otherwise the module is 1.
    pub has_pitch: bool,
    /// Whether every mesh has a backlash given.
    pub has_backlash: bool,
    /// Whether one planet stands at one distance in every plane.
    pub is_nominal: bool,
}

/// A gear in its place.
#[derive(Debug, Clone, PartialEq)]
pub struct PlacedGear {
    /// The gear.
    pub gear: GearId,
    /// The pin, counted from 1; `None` on the main axis.
    pub pin: Option<usize>,
    /// Its centre.
    pub center: [f64; 2],
    /// The direction of a tooth from its centre, in radians counter-clockwise from the x axis.
    pub tooth: f64,
    /// Its teeth.
    pub form: ToothForm,
    /// Its outline in place, counter-clockwise.
    pub points: Vec<[f64; 2]>,
}

impl PlacedGear {
    /// Whether the gear belongs to the planet of this mark, on the same pin.
    pub(super) fn is_of(&self, set: &Gearset, mark: &PlacedMark) -> bool {
        self.pin == Some(mark.pin) && set.gear(self.gear).member() == mark.planet
    }

    /// How far the gear reaches from its centre: to its tips, or to the rim of a ring.
    pub fn reach(&self) -> f64 {
        match self.form.teeth {
            Teeth::External => self.form.tip_radius(),
            Teeth::Internal => self.form.root_radius() + 2.0 * self.form.module,
        }
    }
}

/// The mark of a planet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlacedMark {
    /// The planet.
    pub planet: MemberId,
    /// The pin, counted from 1.
    pub pin: usize,
    /// The pin's centre, on the circle of the planet's first mesh with a central gear.
    pub center: [f64; 2],
    /// From the pin to the mark, in radians.
    pub direction: f64,
    /// From the pin to the main axis, in radians.
    pub to_axis: f64,
}

/// A mesh that is not right as drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MeshMisfit {
    /// The mesh.
    pub mesh: MeshId,
    /// The pin, counted from 1.
    pub pin: usize,
    /// By how much of a tooth, from -1/2 to 1/2.
    pub teeth: f64,
}

/// Why a group cannot be drawn.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NotDrawn {
    /// Its pins have no place.
    NotPlaced(NotPlaced),
    /// There are too many seatings of a refused pin to look at.
    NoSeating(usize),
    /// The backlash given leaves nothing of the teeth of a gear.
    Backlash(GearId),
    /// The teeth of a gear cannot be drawn.
    NoOutline(GearId, OutlineError),
}

impl From<NotPlaced> for NotDrawn {
    fn from(reason: NotPlaced) -> Self {
        Self::NotPlaced(reason)
    }
}

impl Layout {
    /// The module of the finest teeth, in millimetres.
    pub(super) fn least_module(&self) -> f64 {
        self.gears.iter().flatten().map(|gear| gear.form.module).fold(f64::INFINITY, f64::min)
    }

    /// The misfit that is farthest out, if any mesh is.
    pub fn worst_misfit(&self) -> Option<&MeshMisfit> {
        self.misfits.iter().max_by(|a, b| a.teeth.abs().total_cmp(&b.teeth.abs()))
    }
}

/// Lays out a group of planets, turned as its timing says.
///
/// # Errors
/// [`NotDrawn`], with the part that stands in the way.
///
/// # Examples
/// ```
/// use toothmark::{description, drawing::layout, timing::timing};
/// let set = description::read(description::example("inspection-railcar").unwrap()).unwrap();
/// let layout = layout(&set, &set.planet_groups()[0], &timing(&set).groups[0]).unwrap();
/// // Two gears of 26 and 31 teeth of module 2.5: 71.25 mm.
/// assert!((layout.marks[0].center[1] - 71.25).abs() < 1e-9);
/// assert!(layout.misfits.is_empty());
/// ```
pub fn layout(set: &Gearset, group: &PlanetGroup, timed: &GroupTiming) -> Result<Layout, NotDrawn> {
    let teeth = TeethInMesh::of_group(set, group, &as_described(set));
    let circles = PinCircles::of_teeth(set, group, &teeth)?;
    let planes = join(set, group, &teeth, &circles);
    let turns = seatings(set, group, timed).map_err(NotDrawn::NoSeating)?;
    let mut marks = Vec::new();
    for (pin, (place, turns)) in group.places().iter().zip(&turns).enumerate() {
        for (&planet, turn) in group.planets().iter().zip(turns) {
            let outward = circles.direction(planet, place);
            let to_axis = outward + PI;
            let center = polar(circles.radius(planet), outward);
            marks.push(PlacedMark { planet, pin: pin + 1, center, direction: to_axis + TAU * to_float(turn), to_axis });
        }
    }
    let mut layout = Layout {
        gears: Vec::new(),
        misfits: Vec::new(),
        has_pitch: group.meshes().iter().all(|&mesh| set.mesh(mesh).pitch().is_some()),
        has_backlash: group.meshes().iter().all(|&mesh| set.mesh(mesh).backlash().is_some()),
        is_nominal: circles.is_nominal(),
        planes,
        marks,
    };
    let first_marks: Vec<PlacedMark> = layout.marks.iter().filter(|mark| mark.pin == 1).copied().collect();
    let index = Index::new(set, &layout.planes, &circles, &first_marks);
    let setting = Setting { set, teeth: &teeth, circles: &circles, index: &index, marks: &layout.marks };
    for plane in &layout.planes {
        let stands = setting.stands(plane);
        layout.misfits.extend(misfits(set, plane, &stands));
        layout.gears.push(setting.placed(plane, &stands)?);
    }
    Ok(layout)
}

/// How gears stand: those on the main axis, and those of planets against their mark.
struct Index {
    /// For each gear its tooth, from the x axis or from the mark of its planet, in radians.
    teeth: Vec<(GearId, f64)>,
}

impl Index {
    /// As pin 1 needs it.
    fn new(set: &Gearset, planes: &[Plane], circles: &PinCircles, marks: &[PlacedMark]) -> Self {
        let mut stands = Vec::new();
        let mut mark_of = Vec::new();
        let mut meshes = Vec::new();
        for plane in planes {
            for &mesh in &plane.meshes {
                let gears = set.mesh(mesh).gears().each();
                meshes.push((
                    mesh,
                    gears.map(|gear| {
                        stands.iter().position(|stand: &Stand| stand.gear == gear).unwrap_or_else(|| {
                            let mark = marks.iter().find(|mark| mark.planet == set.gear(gear).member());
                            let center = mark.map_or([0.0; 2], |mark| pin_center(circles, mark, plane));
                            stands.push(Stand { gear, center, tooth: f64::NAN });
                            mark_of.push(mark.map(|mark| mark.direction));
                            stands.len() - 1
                        })
                    }),
                ));
            }
        }
        let first = marks.first().map(|mark| mark.planet);
        for (stand, mark) in stands.iter_mut().zip(&mark_of) {
            if Some(set.gear(stand.gear).member()) == first {
                stand.tooth = mark.unwrap_or(f64::NAN);
            }
        }
        propagate(set, &meshes, &mut stands, &mark_of);
        let ahead = |(stand, mark): (&Stand, &Option<f64>)| (stand.gear, stand.tooth - mark.unwrap_or(0.0));
        Self { teeth: stands.iter().zip(&mark_of).map(ahead).collect() }
    }

    fn of(&self, gear: GearId) -> f64 {
        self.teeth.iter().find(|(other, _)| *other == gear).map_or(0.0, |(_, tooth)| *tooth)
    }
}

/// What the gears of a plane are placed by.
struct Setting<'a> {
    set: &'a Gearset,
    teeth: &'a TeethInMesh,
    circles: &'a PinCircles,
    index: &'a Index,
    marks: &'a [PlacedMark],
}

/// A gear on the main axis, or on a pin counted from 1.
type OnPin = (Option<usize>, Stand);

impl Setting<'_> {
    /// How every gear of a plane stands.
    fn stands(&self, plane: &Plane) -> Vec<OnPin> {
        plane.gears.iter().flat_map(|&gear| self.stands_of(gear, plane)).collect()
    }

    /// How a gear stands on every pin of its planet, or on the main axis.
    fn stands_of(&self, gear: GearId, plane: &Plane) -> Vec<OnPin> {
        let (index, planet) = (self.index.of(gear), self.set.gear(gear).member());
        let mut stands: Vec<OnPin> = Vec::new();
        for mark in self.marks.iter().filter(|mark| mark.planet == planet) {
            let center = pin_center(self.circles, mark, plane);
            stands.push((Some(mark.pin), Stand { gear, center, tooth: mark.direction + index }));
        }
        if stands.is_empty() { vec![(None, Stand { gear, center: [0.0; 2], tooth: index })] } else { stands }
    }

    /// The gears of a plane with their outlines.
    fn placed(&self, plane: &Plane, stands: &[OnPin]) -> Result<Vec<PlacedGear>, NotDrawn> {
        let forms = self.forms(plane);
        let form_of = |wanted| forms.iter().find(|(gear, _)| *gear == wanted).map(|(_, form)| *form);
        let placed = stands
            .iter()
            .map(|(pin, stand)| placed(*pin, stand, form_of(stand.gear).expect("every gear of a plane has a form")));
        placed.collect()
    }

    /// The teeth of every gear of a plane, tips shortened where they would dig into a partner.
    fn forms(&self, plane: &Plane) -> Vec<(GearId, ToothForm)> {
        let thinned = |&gear: &GearId| {
            let form = self.teeth.form(gear);
            let thinning =
                if self.teeth.is_thickness_known(gear) { form.thinning } else { THINNING_OF_NONE * form.module };
            (gear, ToothForm { thinning, ..form })
        };
        let mut forms: Vec<(GearId, ToothForm)> = plane.gears.iter().map(thinned).collect();
        for &mesh in &plane.meshes {
            let at = self.set.mesh(mesh).gears().both().map(|gear| forms.iter().position(|(other, _)| other == gear));
            if let ([Some(a), Some(b)], Ok(distance)) = (at, self.teeth.distance(mesh)) {
                let (mut first, mut second) = (forms[a].1, forms[b].1);
                shorten(&mut first, &mut second, distance);
                (forms[a].1, forms[b].1) = (first, second);
            }
        }
        forms
    }
}

/// A gear with its outline where it stands.
fn placed(pin: Option<usize>, stand: &Stand, form: ToothForm) -> Result<PlacedGear, NotDrawn> {
    let outline = outline(&form, TOLERANCE).map_err(|error| no_outline(stand.gear, &form, error))?;
    let points = outline.points.iter().map(|point| moved(*point, stand)).collect();
    Ok(PlacedGear { gear: stand.gear, pin, center: stand.center, tooth: stand.tooth, form, points })
}

/// Why a gear has no outline: the backlash where it has one without.
fn no_outline(gear: GearId, form: &ToothForm, error: OutlineError) -> NotDrawn {
    let full = ToothForm { thinning: 0.0, tip_limit: None, ..*form };
    if form.thinning > 2.0 * THINNING_OF_NONE * form.module && outline(&full, TOLERANCE).is_ok() {
        NotDrawn::Backlash(gear)
    } else {
        NotDrawn::NoOutline(gear, error)
    }
}

fn misfits(set: &Gearset, plane: &Plane, stands: &[OnPin]) -> Vec<MeshMisfit> {
    let mut found = Vec::new();
    for &mesh in &plane.meshes {
        let [a, b] = set.mesh(mesh).gears().each();
        for (pin_a, stand_a) in stands.iter().filter(|(_, stand)| stand.gear == a) {
            for (pin_b, stand_b) in stands.iter().filter(|(_, stand)| stand.gear == b) {
                if let (Some(pin), true) = (pin_a.or(*pin_b), pin_a.is_none() || pin_b.is_none() || pin_a == pin_b) {
                    found.push(MeshMisfit { mesh, pin, teeth: misfit(set, stand_a, stand_b) });
                }
            }
        }
    }
    found.retain(|misfit| misfit.teeth.abs() > NO_MISFIT);
    found
}

/// Shortens the tips of two gears in mesh as far as each needs it.
fn shorten(a: &mut ToothForm, b: &mut ToothForm, distance: f64) {
    match (a.teeth, b.teeth) {
        (Teeth::External, Teeth::External) => {
            let limits = [largest_external_tip(a, b, distance), largest_external_tip(b, a, distance)];
            for (form, limit) in [a, b].into_iter().zip(limits) {
                let least = form.pitch_radius() + LEAST_ADDENDUM * form.module;
                form.tip_limit = limit.map(|limit| limit.max(least).min(form.tip_radius())).or(form.tip_limit);
            }
        }
        (Teeth::Internal, _) => shorten_in_ring(b, a, distance),
        (Teeth::External, Teeth::Internal) => shorten_in_ring(a, b, distance),
    }
}

fn shorten_in_ring(gear: &mut ToothForm, ring: &mut ToothForm, distance: f64) {
    const STEP: f64 = 0.02;
    let most = ring.pitch_radius() - LEAST_ADDENDUM * ring.module;
    let limit = smallest_internal_tip(ring, gear, distance);
    ring.tip_limit = limit.map(|limit| limit.min(most).max(ring.tip_radius())).or(ring.tip_limit);
    while tips_foul(gear, ring, distance) {
        let shorter = [gear.tip_radius() - STEP * gear.module, ring.tip_radius() + STEP * ring.module];
        if shorter[0] < gear.pitch_radius() || shorter[1] > ring.pitch_radius() {
            return;
        }
        (gear.tip_limit, ring.tip_limit) = (Some(shorter[0]), Some(shorter[1]));
    }
}

fn pin_center(circles: &PinCircles, mark: &PlacedMark, plane: &Plane) -> [f64; 2] {
    polar(circles.radius_in(mark.planet, &plane.meshes), mark.to_axis - PI)
}

/// A point of an outline about the origin, where its gear stands.
fn moved([x, y]: [f64; 2], stand: &Stand) -> [f64; 2] {
    let (sin, cos) = stand.tooth.sin_cos();
    [stand.center[0] + x * cos - y * sin, stand.center[1] + x * sin + y * cos]
}

fn polar(radius: f64, angle: f64) -> [f64; 2] {
    [radius * angle.cos(), radius * angle.sin()]
}

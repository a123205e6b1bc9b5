//! What is written on the pictures: names, scale, how it was drawn, what is not known.

use std::f64::consts::{PI, TAU};

use num_traits::{Signed, Zero};

use super::layout::{Layout, MeshMisfit, NotDrawn, PlacedMark};
use super::numbers::{amount, degrees, short};
use crate::clearance::{NotPlaced, Plane, mesh_module};
use crate::exact::{decimal, fraction, mixed, to_float};
use crate::gearset::{GearId, Gearset, MILLIMETRES_PER_INCH, MemberId, MeshId, Side};
use crate::timing::{GroupTiming, MarkingConvention};

impl Side {
    /// The name of the view.
    pub(super) fn caption(self) -> &'static str {
        match self {
            Self::Input => "SEEN FROM THE INPUT SIDE",
            Self::Output => "SEEN FROM THE OUTPUT SIDE (mirror image)",
        }
    }

    /// What a picture calls the view for programs.
    pub(super) fn key(self) -> &'static str {
        match self {
            Self::Input => "input",
            Self::Output => "output",
        }
    }

    /// The sense of a turn that is positive counter-clockwise seen from the input side; seen from
    /// the output side it is the other.
    fn sense(self, turn: f64) -> &'static str {
        if (turn > 0.0) == (self == Self::Input) { "counter-clockwise" } else { "clockwise" }
    }
}

/// A group by its planets: `"cluster" on "flywheel", 3 pins`.
pub(super) fn group_name(set: &Gearset, timed: &GroupTiming) -> String {
    let names: Vec<String> = timed.planets.iter().map(|&planet| quoted(set, planet)).collect();
    let pins = if timed.pins.len() == 1 { "1 pin".into() } else { format!("{} pins", timed.pins.len()) };
    format!("{} on {}, {pins}", names.join(" and "), quoted(set, timed.carrier))
}

/// A plane by its meshes.
pub(super) fn plane_name(set: &Gearset, plane: &Plane) -> String {
    let meshes: Vec<String> = plane.meshes.iter().map(|&id| mesh(set, id)).collect();
    meshes.join(", ")
}

/// A gear with its tooth count.
pub(super) fn gear(set: &Gearset, gear: GearId) -> String {
    set.gear(gear).with_count()
}

fn mesh(set: &Gearset, mesh: MeshId) -> String {
    let [a, b] = set.mesh(mesh).gears().each().map(|id| gear(set, id));
    format!("{a} with {b}")
}

/// A member's name in quotes, or "the case".
pub(super) fn quoted(set: &Gearset, member: MemberId) -> String {
    if member == MemberId::CASE { "the case".into() } else { format!("\"{}\"", set.member(member).name()) }
}

/// A misfit: which mesh, where, by how much.
pub(super) fn misfit(set: &Gearset, misfit: &MeshMisfit) -> String {
    let teeth = misfit.teeth.abs();
    let arc = set.mesh(misfit.mesh).pitch().map(|pitch| {
        let arc = teeth * pitch.circular_pitch();
        format!(", {} mm ({} in) at the pitch circle", amount(arc, 3), amount(arc / MILLIMETRES_PER_INCH, 4))
    });
    let place = mesh(set, misfit.mesh);
    format!("{place} on pin {} is out by {} of a tooth{}", misfit.pin, amount(teeth, 4), arc.unwrap_or_default())
}

/// What is said of a misfit that is not seen at all on the picture.
pub(super) const UNSEEN_MISFIT: &str =
    "no mesh is out by as much as 0.000001 of a tooth, but none of its seatings is right";

/// Why a group is not drawn, and what to write instead where that helps.
pub(super) fn reason(set: &Gearset, reason: &NotDrawn) -> String {
    match reason {
        NotDrawn::NotPlaced(reason) => not_placed(set, reason),
        NotDrawn::NoSeating(pin) => {
            format!("nothing fits on pin {pin}, and there are too many ways to look for the closest")
        }
        NotDrawn::Backlash(id) => format!(
            "the backlash given leaves no whole teeth on {}; write the backlash of its meshes as measured, in its \
             unit",
            gear(set, *id)
        ),
        NotDrawn::NoOutline(id, error) => format!("the teeth of {} cannot be drawn: {error}", gear(set, *id)),
    }
}

/// Why its pins have no place, and what to write instead.
fn not_placed(set: &Gearset, reason: &NotPlaced) -> String {
    match reason {
        NotPlaced::NoMesh => "none of its gears is in mesh".into(),
        NotPlaced::Bevel(id) => format!("{} is a bevel gear, which has no face view", gear(set, *id)),
        NotPlaced::TwoPitches(id) => {
            format!("{} meshes at two pitches, and a gear has one; mend the pitches of its meshes", gear(set, *id))
        }
        NotPlaced::NoDistance(planet) => format!(
            "nothing tells how far the pin of {} is from the main axis; it meshes with no gear there",
            quoted(set, *planet)
        ),
        NotPlaced::NoCenterDistance(id) => format!(
            "{} have no centre distance at which they mesh; look at their tooth counts and profile shifts",
            mesh(set, *id)
        ),
        NotPlaced::NoTriangle(id) => format!(
            "at the centre distances of the other meshes {} cannot reach each other; look at the tooth counts, or at the \
             profile shift that the real gears have",
            mesh(set, *id)
        ),
    }
}

/// How large it is drawn.
pub(super) fn scale(set: &Gearset, layout: &Layout) -> String {
    if !layout.has_pitch {
        return "NOT TO SCALE: no pitch given; drawn with module 1 where none is".into();
    }
    let mut modules: Vec<f64> =
        layout.planes.iter().flat_map(|plane| &plane.meshes).map(|&mesh| mesh_module(set, mesh)).collect();
    modules.dedup_by(|a, b| (*a - *b).abs() < 1e-9);
    let words = modules.iter().map(|module| {
        format!("module {} (diametral pitch {})", short(*module, 4), short(MILLIMETRES_PER_INCH / module, 3))
    });
    format!("Scale 1:1, {}", words.collect::<Vec<_>>().join(", "))
}

/// What is wrong with the seating that is drawn, if anything is, in a few words.
pub(super) fn short_warning(timed: &GroupTiming, layout: &Layout) -> Option<&'static str> {
    if !timed.pins_assemble() {
        Some("DOES NOT GO TOGETHER: drawn as close as it comes")
    } else if !layout.misfits.is_empty() {
        Some("NOT EVERY MESH IS RIGHT as drawn")
    } else if !timed.assembles {
        Some("THESE PLANETS DO NOT GO IN beside those of another kind")
    } else {
        None
    }
}

/// What is wrong with the seating that is drawn, if anything is.
pub(super) fn warning(set: &Gearset, timed: &GroupTiming, layout: &Layout) -> Option<String> {
    let what = short_warning(timed, layout)?;
    Some(match layout.worst_misfit() {
        Some(worst) => format!("{what}; {}", misfit(set, worst)),
        None if timed.pins_assemble() => format!("{what}: see the timing"),
        None => format!("{what}; {UNSEEN_MISFIT}"),
    })
}

/// How it was drawn, and what the description leaves open.
pub(super) fn notes(set: &Gearset, timed: &GroupTiming, layout: &Layout, planes: &[usize]) -> Vec<String> {
    let lines = if planes.len() > 1 {
        "Thin dash-dotted lines: lines of centres."
    } else {
        "Thin dash-dotted lines: pitch circles and lines of centres. Hatched: gears on the main axis."
    };
    let mut notes = vec![
        format!("{lines} A dot at the end of a line: the mark of a planet. A number: its pin."),
        format!(
            "Teeth: involutes, pressure angle {} degrees, profile shift {}, addendum 1, dedendum 1.25 (ISO 53); below the \
             base circle the flanks are radial lines, not the true fillets. {}",
            decimal(&set.pressure_angle(), 6),
            shifts(set, layout, planes),
            thinning(layout)
        ),
        "Index as drawn: where no mesh decides, a tooth of each gear of a planet stands on its mark. Your clusters may \
         differ; the timing is the same if all are alike."
            .to_owned(),
    ];
    let shortened = shortened_tips(set, layout, planes);
    if !shortened.is_empty() {
        notes.push(format!("Tips shortened so that they do not dig into their partners: {shortened}."));
    }
    if timed.planets.len() > 1 {
        notes.push(format!(
            "The angle between the pins of {} is not in the description: it follows from the centre distances, and of two \
             solutions the later planet is drawn counter-clockwise of the earlier, seen from the input side.",
            timed.planets.iter().map(|&planet| quoted(set, planet)).collect::<Vec<_>>().join(" and ")
        ));
    }
    if !layout.is_nominal {
        notes.push(
            "The meshes of one planet ask for different centre distances; the real gears have profile shifts that make \
             them one. Each plane is drawn at its own distance, for the shifts given (profile_shifts) or none."
                .to_owned(),
        );
    }
    notes
}

/// The shifts of the gears of these planes.
fn shifts(set: &Gearset, layout: &Layout, planes: &[usize]) -> String {
    let gears = planes.iter().flat_map(|&plane| &layout.planes[plane].gears);
    let mut gears: Vec<GearId> = gears.copied().filter(|&gear| !set.profile_shift(gear).is_zero()).collect();
    gears.sort();
    gears.dedup();
    let shift = |&gear: &GearId| format!("{} at {}", decimal(&set.profile_shift(gear), 6), set.gear(gear).name());
    let shifts: Vec<String> = gears.iter().map(shift).collect();
    if shifts.is_empty() { "0".into() } else { format!("{} (in modules, outward), else 0", shifts.join(", ")) }
}

fn thinning(layout: &Layout) -> &'static str {
    if layout.has_backlash {
        "Every tooth is thinner by half the backlash given."
    } else {
        "Where no backlash is given, every tooth is drawn thinner by 0.02 modules."
    }
}

/// The gears of these planes with shortened tips.
fn shortened_tips(set: &Gearset, layout: &Layout, planes: &[usize]) -> String {
    let mut gears: Vec<GearId> = Vec::new();
    let mut names: Vec<String> = Vec::new();
    for placed in planes.iter().flat_map(|&plane| &layout.gears[plane]) {
        let full = crate::tooth::ToothForm { tip_limit: None, ..placed.form };
        let by = (full.tip_radius() - placed.form.tip_radius()).abs();
        if by > 1e-9 && !gears.contains(&placed.gear) {
            gears.push(placed.gear);
            names.push(format!("{} by {} mm", gear(set, placed.gear), amount(by, 3)));
        }
    }
    names.join(", ")
}

/// What stands above the list of marks: how they are set, where all are set alike or none is needed.
pub(super) fn marks_heading(timed: &GroupTiming) -> &'static str {
    match timed.convention {
        MarkingConvention::AnyTooth => "Any tooth will do. As drawn, from the line to the centre to the mark:",
        MarkingConvention::Parallel => "All marks point the same way: from the line to the centre to the mark",
        MarkingConvention::Refused
        | MarkingConvention::OnePin
        | MarkingConvention::Radial
        | MarkingConvention::Individual => "From the line to the centre to the mark:",
    }
}

/// Where the mark of a planet stands, counted on one of its gears.
pub(super) fn mark_line(
    set: &Gearset,
    timed: &GroupTiming,
    mark: &PlacedMark,
    counted_on: GearId,
    side: Side,
) -> String {
    let name = if timed.planets.len() > 1 {
        format!("pin {}, {}", mark.pin, gear(set, counted_on))
    } else {
        format!("pin {}", mark.pin)
    };
    let place = mark_place(set, timed, mark, counted_on, side);
    if is_to_centre(timed, mark) { format!("{name}: mark {place}") } else { format!("{name}: {place}") }
}

/// Where the mark of a planet stands from the line to the centre, counted on one of its gears.
pub(super) fn mark_place(
    set: &Gearset,
    timed: &GroupTiming,
    mark: &PlacedMark,
    counted_on: GearId,
    side: Side,
) -> String {
    let pin = &timed.pins[mark.pin - 1];
    let Some(turn) = pin.turns.as_ref().and_then(|turns| turns.get(&mark.planet)) else {
        return about(mark, set, counted_on, side);
    };
    if turn.is_zero() {
        return "to the centre".into();
    }
    let sense = side.sense(to_float(turn));
    let teeth = pin.gears.iter().find(|turned| turned.gear == counted_on);
    let teeth = teeth.map(|it| {
        let unit = if it.teeth.abs() <= fraction(1, 1) { "tooth" } else { "teeth" };
        format!(", {} {unit} of {}", mixed(&it.teeth), set.gear(counted_on).name())
    });
    format!("{} degrees {sense}{}", degrees(turn), teeth.unwrap_or_default())
}

fn is_to_centre(timed: &GroupTiming, mark: &PlacedMark) -> bool {
    let turns = timed.pins[mark.pin - 1].turns.as_ref();
    turns.and_then(|turns| turns.get(&mark.planet)).is_some_and(Zero::is_zero)
}

/// The closest seating of a pin that does not go together.
fn about(mark: &PlacedMark, set: &Gearset, counted_on: GearId, side: Side) -> String {
    let turn = (mark.direction - mark.to_axis + PI).rem_euclid(TAU) - PI;
    let teeth = turn.abs() / TAU * f64::from(set.gear(counted_on).tooth_count().get());
    let degrees = short(turn.abs().to_degrees(), 3);
    let name = set.gear(counted_on).name();
    format!("DOES NOT FIT, closest about {degrees} degrees {}, {} teeth of {name}", side.sense(turn), short(teeth, 2))
}

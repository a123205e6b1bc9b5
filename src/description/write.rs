//! From a draft back to text: what is written reads in again as the same draft.
//!
//! The layout is that of the examples: one entry a line, sections that are empty left
//! out. A number that no short decimal gives is a fraction in quotes: nothing is rounded.

use std::fmt::Write as _;

use num_traits::Signed;

use crate::exact::{Fraction, decimal, fraction};
use crate::gearset::{
    Action, Angle, BandSizes, Draft, DraftBearing, DraftConditions, DraftControl, DraftDial, DraftFound, DraftGear,
    DraftIndex, DraftMark, DraftMeasured, DraftMesh, DraftPins, DraftPlanet, DraftReading, Force, GearKind, Given,
    Length, MeasuredPins, Offset, Pair, Pitch, PlateSizes, Sense, Side, Uncertainty,
};

/// Writes a draft as a description.
///
/// # Examples
/// ```
/// use toothmark::description;
/// let text = description::example("millrace-winch").unwrap();
/// let set = description::read(text).unwrap();
/// let again = description::read(&description::write(set.draft())).unwrap();
/// assert_eq!(set, again);
/// ```
pub fn write(draft: &Draft) -> String {
    let mut lines = vec!["Gearset(".to_owned(), format!("    title: {},", quoted(&draft.title))];
    for (field, name) in [("input", &draft.input), ("output", &draft.output)] {
        lines.extend(name.as_ref().map(|name| format!("    {field}: {},", quoted(name))));
    }
    lines.extend(draft.pitch.as_ref().map(|size| format!("    pitch: {},", pitch(size))));
    lines.extend(draft.backlash.as_ref().map(|size| format!("    backlash: {},", length(size))));
    lines.extend(draft.pressure_angle.as_ref().map(|angle| format!("    pressure_angle: {},", number(angle))));
    if !draft.profile_shifts.is_empty() {
        let shifts = draft.profile_shifts.iter();
        let shifts: Vec<String> =
            shifts.map(|shift| format!("{}: {}", quoted(&shift.gear), number(&shift.modules))).collect();
        lines.push(format!("    profile_shifts: {{{}}},", shifts.join(", ")));
    }
    lines.extend(draft.efficiency.as_ref().map(|value| format!("    efficiency: {},", number(value))));
    let entry = |name: &str, value: String| format!("{}: {value}", quoted(name));
    let members = draft.members.iter().map(|member| entry(&member.name, gears(&member.gears)));
    section(&mut lines, "members: {", members, "}");
    if draft.members.is_empty() {
        lines.push("    members: {},".to_owned());
    }
    section(&mut lines, "planets: {", draft.planets.iter().map(|body| entry(&body.name, planet(body))), "}");
    section(&mut lines, "meshes: [", draft.meshes.iter().map(mesh), "]");
    section(&mut lines, "joins: [", draft.joins.iter().map(pair), "]");
    let entries = draft.measured.iter().map(|entry| format!("{}: {}", quoted(&entry.planet), measured(entry)));
    section(&mut lines, "measured: {", entries, "}");
    let controls = draft.controls.iter().map(|control| entry(&control.name, self::control(control)));
    section(&mut lines, "controls: {", controls, "}");
    section(&mut lines, "bearings: [", draft.bearings.iter().map(bearing), "]");
    let states = draft.states.iter().map(|state| entry(&state.name, conditions(&state.conditions)));
    section(&mut lines, "states: {", states, "}");
    lines.extend(draft.found.as_ref().map(|marks| format!("    found: {},", found(marks))));
    lines.push(")\n".to_owned());
    lines.join("\n")
}

fn section(lines: &mut Vec<String>, opening: &str, entries: impl ExactSizeIterator<Item = String>, closing: &str) {
    if entries.len() == 0 {
        return;
    }
    lines.push(format!("    {opening}"));
    lines.extend(entries.map(|entry| format!("        {entry},")));
    lines.push(format!("    {closing},"));
}

fn list(entries: impl Iterator<Item = String>) -> String {
    format!("[{}]", entries.collect::<Vec<_>>().join(", "))
}

fn gears(gears: &[DraftGear]) -> String {
    list(gears.iter().map(|gear| {
        let (kind, side) = match gear.kind {
            GearKind::External => ("Sun", ""),
            GearKind::Internal => ("Ring", ""),
            GearKind::BevelCentral(Side::Input) => ("Bevel", ", InputSide"),
            GearKind::BevelCentral(Side::Output) => ("Bevel", ", OutputSide"),
            GearKind::BevelPlanet => ("Bevel", ""),
        };
        format!("{kind}({}, {}{side})", quoted(&gear.name), gear.tooth_count)
    }))
}

fn planet(planet: &DraftPlanet) -> String {
    let pins = match &planet.pins {
        DraftPins::Equal(count) => format!("Equal({count})"),
        DraftPins::Turns(places) => format!("Turns({})", list(places.iter().map(number))),
        DraftPins::Degrees(places) => format!("Degrees({})", list(places.iter().map(number))),
    };
    let gears = list(planet.gears.iter().map(|gear| {
        let kind = match gear.kind {
            GearKind::External => "Gear",
            GearKind::Internal => "Internal",
            GearKind::BevelPlanet | GearKind::BevelCentral(_) => "Bevel",
        };
        format!("{kind}({}, {})", quoted(&gear.name), gear.tooth_count)
    }));
    format!("(carrier: {}, pins: {pins}, gears: {gears})", quoted(&planet.carrier))
}

fn mesh(mesh: &DraftMesh) -> String {
    let sizes: Vec<String> = mesh
        .pitch
        .iter()
        .map(|size| format!("pitch: {}", pitch(size)))
        .chain(mesh.backlash.iter().map(|size| format!("backlash: {}", length(size))))
        .chain(mesh.dial.iter().filter(|_| mesh.backlash.is_none()).map(|it| format!("backlash: {}", dial(it))))
        .chain(mesh.efficiency.iter().map(|value| format!("efficiency: {}", number(value))))
        .collect();
    let Pair { first, second } = &mesh.gears;
    let mut text = format!("({}, {}", quoted(first), quoted(second));
    if !sizes.is_empty() {
        // Writing to a String cannot fail.
        let _ = write!(text, ", ({})", sizes.join(", "));
    }
    text + ")"
}

fn dial(dial: &DraftDial) -> String {
    format!("Dial({}, {}, {})", quoted(&dial.gear), length(&dial.reading), length(&dial.radius))
}

fn measured(measured: &DraftMeasured) -> String {
    let uncertainty = measured.uncertainty.as_ref().map_or(String::new(), |uncertainty| {
        let size = match uncertainty {
            Uncertainty::Teeth(teeth) => format!("Teeth({})", number(teeth)),
            Uncertainty::Degrees(degrees) => format!("Degrees({})", number(degrees)),
            Uncertainty::Arc(arc) => length(arc),
        };
        format!("uncertainty: {size}, ")
    });
    let cluster = |index: &DraftIndex| match index {
        DraftIndex::Readings(readings) => format!("Index({})", list(readings.iter().map(reading))),
        DraftIndex::Like(other) => format!("Like({})", quoted(other)),
    };
    let clusters: Vec<String> = measured
        .clusters
        .iter()
        .map(|entry| format!("            {}: {},\n", quoted(&entry.name), cluster(&entry.index)))
        .collect();
    let pins = measured.pins.as_ref().map_or(String::new(), |pins| format!(", pins: {}", measured_pins(pins)));
    let central = match measured.central.as_slice() {
        [] => String::new(),
        readings => format!(", central: {}", list(readings.iter().map(reading))),
    };
    if clusters.is_empty() {
        return format!("({uncertainty}clusters: {{}}{central}{pins})");
    }
    format!("({uncertainty}clusters: {{\n{}        }}{central}{pins})", clusters.concat())
}

fn measured_pins(pins: &MeasuredPins) -> String {
    let numbers = |values: &[Fraction]| list(values.iter().map(number));
    match pins {
        MeasuredPins::Degrees { places, error } => format!("Degrees({}, {})", numbers(places), number(error)),
        MeasuredPins::Chords { radii, chords, error } => {
            format!("Chords({}, {}, {})", numbers(radii), numbers(chords), number(error))
        }
    }
}

fn reading(DraftReading { gear, offset }: &DraftReading) -> String {
    match offset {
        Offset::Teeth(teeth) => format!("Teeth({}, {})", quoted(gear), number(teeth)),
        Offset::Degrees(degrees) => format!("Degrees({}, {})", quoted(gear), number(degrees)),
        Offset::Arc { length, radius } => {
            let unit = match length {
                Length::Millimetres(_) => "Millimetres",
                Length::Inches(_) => "Inches",
            };
            format!("{unit}({}, {}, {})", quoted(gear), number(length.value()), number(radius))
        }
    }
}

fn bearing(bearing: &DraftBearing) -> String {
    let Pair { first, second } = &bearing.members;
    let sizes = [("diameter", &bearing.diameter), ("width", &bearing.width)];
    let sizes = sizes.into_iter().filter_map(|(name, size)| Some(format!("{name}: {}", length(size.as_ref()?))));
    let sizes: Vec<String> = sizes.collect();
    let sizes = if sizes.is_empty() { String::new() } else { format!(", ({})", sizes.join(", ")) };
    format!("({}, {}{sizes})", quoted(first), quoted(second))
}

fn pair(pair: &Pair<String>) -> String {
    format!("({}, {})", quoted(&pair.first), quoted(&pair.second))
}

fn control(control: &DraftControl) -> String {
    match &control.action {
        Action::Band(member) => format!("Band({}{})", quoted(member), fields(&band_sizes(control.band_sizes()))),
        Action::Clutch(Pair { first, second }) => {
            let sizes = fields(&plate_sizes(control.plate_sizes()));
            format!("Clutch({}, {}{sizes})", quoted(first), quoted(second))
        }
        Action::OneWayClutch(Pair { first, second }, stops) => {
            format!("OneWayClutch({}, {}, {})", quoted(first), quoted(second), sense(*stops))
        }
    }
}

fn sense(sense: Sense) -> &'static str {
    match sense {
        Sense::Forward => "Forward",
        Sense::Backward => "Backward",
    }
}

/// Fields as a further entry, or nothing.
fn fields(fields: &[String]) -> String {
    if fields.is_empty() { String::new() } else { format!(", ({})", fields.join(", ")) }
}

fn band_sizes(sizes: Option<&BandSizes>) -> Vec<String> {
    let Some(sizes) = sizes else { return Vec::new() };
    let wrap = sizes.wrap.as_ref().map(|wrap| match wrap {
        Angle::Degrees(value) => format!("wrap: Degrees({})", number(value)),
        Angle::Turns(value) => format!("wrap: Turns({})", number(value)),
    });
    let all = [
        wrap,
        sizes.friction.as_ref().map(|value| format!("friction: {}", number(value))),
        sizes.radius.as_ref().map(|value| format!("radius: {}", length(value))),
        sizes.width.as_ref().map(|value| format!("width: {}", length(value))),
        sizes.from_anchor.map(|value| format!("from_anchor: {}", sense(value))),
        sizes.pull.as_ref().map(|value| format!("pull: {}", force(value))),
    ];
    all.into_iter().flatten().collect()
}

fn plate_sizes(sizes: Option<&PlateSizes>) -> Vec<String> {
    let Some(sizes) = sizes else { return Vec::new() };
    let all = [
        sizes.faces.as_ref().map(|value| format!("faces: {}", number(value))),
        sizes.friction.as_ref().map(|value| format!("friction: {}", number(value))),
        sizes.outer_radius.as_ref().map(|value| format!("outer_radius: {}", length(value))),
        sizes.inner_radius.as_ref().map(|value| format!("inner_radius: {}", length(value))),
        sizes.force.as_ref().map(|value| format!("force: {}", force(value))),
    ];
    all.into_iter().flatten().collect()
}

fn force(force: &Force) -> String {
    match force {
        Force::Newtons(value) => format!("Newtons({})", number(value)),
        Force::PoundsForce(value) => format!("PoundsForce({})", number(value)),
    }
}

fn conditions(conditions: &DraftConditions) -> String {
    match conditions {
        DraftConditions::Apply(controls) => format!("Apply({})", list(controls.iter().map(|name| quoted(name)))),
        DraftConditions::Given(given) => self::given(given),
    }
}

fn given(given: &Given) -> String {
    let mut fields = Vec::new();
    if !given.held.is_empty() {
        fields.push(format!("held: {}", list(given.held.iter().map(|name| quoted(name)))));
    }
    if !given.joined.is_empty() {
        fields.push(format!("joined: {}", list(given.joined.iter().map(pair))));
    }
    if !given.turning.is_empty() {
        let speeds: Vec<String> = given
            .turning
            .iter()
            .map(|turning| format!("{}: {}", quoted(&turning.member), number(&turning.speed)))
            .collect();
        fields.push(format!("turning: {{{}}}", speeds.join(", ")));
    }
    for (field, name) in [("input", &given.input), ("output", &given.output)] {
        fields.extend(name.as_ref().map(|name| format!("{field}: {}", quoted(name))));
    }
    format!("Given({})", fields.join(", "))
}

fn found(found: &DraftFound) -> String {
    let seen = match found.seen {
        Side::Input => "InputSide",
        Side::Output => "OutputSide",
    };
    let marks = |marks: &[DraftMark]| list(marks.iter().map(mark));
    let beside = found.beside.iter().map(|it| format!("{}: {}", quoted(&it.planet), marks(&it.marks)));
    let beside = beside.collect::<Vec<_>>().join(", ");
    let beside = if beside.is_empty() { String::new() } else { format!(", beside: {{{beside}}}") };
    let marks = marks(&found.marks);
    let within = found.within.as_ref().map(|within| format!(", within: {}", number(within))).unwrap_or_default();
    format!("(seen: {seen}, planet: {}, marks: {marks}{beside}{within})", quoted(&found.planet))
}

fn mark(mark: &DraftMark) -> String {
    match mark {
        DraftMark::Teeth(gear, teeth) => format!("Teeth({}, {})", quoted(gear), number(teeth)),
        DraftMark::Degrees(degrees) => format!("Degrees({})", number(degrees)),
        DraftMark::Along(gear, teeth) => format!("Along({}, {teeth})", quoted(gear)),
        DraftMark::Unread => "Unread".to_owned(),
    }
}

fn pitch(pitch: &Pitch) -> String {
    match pitch {
        Pitch::Module(value) => format!("Module({})", number(value)),
        Pitch::Diametral(value) => format!("DiametralPitch({})", number(value)),
    }
}

fn length(length: &Length) -> String {
    match length {
        Length::Millimetres(value) => format!("Millimetres({})", number(value)),
        Length::Inches(value) => format!("Inches({})", number(value)),
    }
}

/// A number of few decimals as it is, anything else as a fraction in quotes.
fn number(value: &Fraction) -> String {
    const DECIMALS: i64 = 1_000_000;
    let short = (value * fraction(DECIMALS, 1)).is_integer() && value.abs() < fraction(DECIMALS, 1);
    if value.is_integer() {
        value.to_string()
    } else if short {
        decimal(value, 12)
    } else {
        format!("\"{value}\"")
    }
}

/// A name in quotes, with escapes where it needs them.
fn quoted(name: &str) -> String {
    ron::to_string(name).unwrap_or_else(|_| format!("{name:?}"))
}

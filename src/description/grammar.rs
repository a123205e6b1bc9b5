//! What belongs where in a description, in the words of the trade.
//!
//! The same tree as the schema, told to people: what each place holds and what to write
//! there. The reader proper does not use it; messages do.

/// Something that a description has at a certain place.
#[derive(Debug)]
pub(super) struct Thing {
    /// What it is, with its article.
    pub(super) name: &'static str,
    /// How it may look, as an example.
    pub(super) write: &'static str,
    /// What it consists of.
    pub(super) inside: Inside,
}

#[derive(Debug)]
pub(super) enum Inside {
    /// A name, a number or a word alone.
    Nothing,
    /// One of several words, each with brackets of its own.
    Kinds(&'static [(&'static str, &'static Thing)]),
    /// Fields in round brackets.
    Fields(&'static [(&'static str, &'static Thing)]),
    /// Entries in round brackets, so many of which are needed.
    Entries { needed: usize, things: &'static [&'static Thing] },
    /// Any number of one thing in square brackets.
    List(&'static Thing),
    /// Names in quotes, each with the thing that belongs to it, in braces.
    Named(&'static Thing),
}

impl Thing {
    /// The word before its brackets, where it has one.
    pub(super) fn word(&self) -> &'static str {
        self.write.split('(').next().unwrap_or(self.write)
    }
}

const fn leaf(name: &'static str, write: &'static str) -> Thing {
    Thing { name, write, inside: Inside::Nothing }
}

const fn entries(name: &'static str, write: &'static str, things: &'static [&'static Thing]) -> Thing {
    Thing { name, write, inside: Inside::Entries { needed: things.len(), things } }
}

const fn list(name: &'static str, write: &'static str, thing: &'static Thing) -> Thing {
    Thing { name, write, inside: Inside::List(thing) }
}

const fn named(name: &'static str, write: &'static str, thing: &'static Thing) -> Thing {
    Thing { name, write, inside: Inside::Named(thing) }
}

/// The whole file.
pub(super) static FILE: Thing = list("the file", GEARSET.write, &DESCRIPTION);

static DESCRIPTION: Thing = Thing {
    name: "Gearset(...)",
    write: "Gearset(title: \"...\", members: {...}, ...)",
    inside: Inside::Kinds(&[("Gearset", &GEARSET)]),
};

static GEARSET: Thing = Thing {
    name: "a gearset",
    write: "Gearset(title: \"...\", members: {...}, ...)",
    inside: Inside::Fields(&[
        ("title", &TITLE),
        ("input", &MEMBER),
        ("output", &MEMBER),
        ("pitch", &PITCH),
        ("backlash", &BACKLASH),
        ("pressure_angle", &PRESSURE_ANGLE),
        ("profile_shifts", &PROFILE_SHIFTS),
        ("efficiency", &EFFICIENCY),
        ("members", &MEMBERS),
        ("planets", &PLANETS),
        ("meshes", &MESHES),
        ("joins", &JOINS),
        ("measured", &MEASURED),
        ("controls", &CONTROLS),
        ("bearings", &BEARINGS),
        ("states", &STATES),
        ("found", &FOUND),
    ]),
};

static TITLE: Thing = leaf("the title in quotes", "\"Winch\"");
static MEMBER: Thing = leaf("the name of a member in quotes", "\"low drum\"");
static OTHER_MEMBER: Thing = leaf("the name of another member in quotes", "\"case\"");
static GEAR_NAME: Thing = leaf("the name of the gear in quotes", "\"S\"");
static TOOTH_COUNT: Thing = leaf("the number of teeth", "24");

static PITCH: Thing = Thing {
    name: "the pitch",
    write: "Module(2.5)",
    inside: Inside::Kinds(&[("Module", &MODULE), ("DiametralPitch", &DIAMETRAL_PITCH)]),
};
static MODULE: Thing = entries("Module", "Module(2.5)", &[&MODULE_SIZE]);
static MODULE_SIZE: Thing = leaf("the module in millimetres", "2.5");
static DIAMETRAL_PITCH: Thing = entries("DiametralPitch", "DiametralPitch(10)", &[&DIAMETRAL_SIZE]);
static DIAMETRAL_SIZE: Thing = leaf("the number of teeth per inch of diameter", "10");

static BACKLASH: Thing = Thing {
    name: "the backlash",
    write: "Millimetres(0.1)",
    inside: Inside::Kinds(&[("Millimetres", &MILLIMETRES), ("Inches", &INCHES)]),
};
static MESH_BACKLASH: Thing = Thing {
    name: "the backlash of the mesh",
    write: "Millimetres(0.1)",
    inside: Inside::Kinds(&[("Millimetres", &MILLIMETRES), ("Inches", &INCHES), ("Dial", &DIAL)]),
};
static DIAL: Thing =
    entries("Dial", "Dial(\"S\", Millimetres(0.2), Millimetres(60))", &[&GEAR_NAME, &DIAL_READING, &DIAL_RADIUS]);
static DIAL_READING: Thing = Thing {
    name: "the reading of the dial",
    write: "Millimetres(0.2)",
    inside: Inside::Kinds(&[("Millimetres", &MILLIMETRES), ("Inches", &INCHES)]),
};
static DIAL_RADIUS: Thing = Thing {
    name: "the radius at which the dial stood",
    write: "Millimetres(60)",
    inside: Inside::Kinds(&[("Millimetres", &MILLIMETRES), ("Inches", &INCHES)]),
};
static MILLIMETRES: Thing = entries("Millimetres", "Millimetres(0.1)", &[&MILLIMETRE_SIZE]);
static MILLIMETRE_SIZE: Thing = leaf("a number of millimetres", "0.1");
static INCHES: Thing = entries("Inches", "Inches(0.004)", &[&INCH_SIZE]);
static INCH_SIZE: Thing = leaf("a number of inches", "0.004");

static PRESSURE_ANGLE: Thing = leaf("the pressure angle in degrees", "20");
static PROFILE_SHIFTS: Thing = named("the list of profile shifts in braces", "{\"S\": 0.25}", &PROFILE_SHIFT);
static PROFILE_SHIFT: Thing = leaf("the profile shift of the gear in modules", "0.25");
static EFFICIENCY: Thing = leaf("the part of the power that a mesh passes on", "\"0.98\"");

static MEMBERS: Thing = named("the list of members in braces", "{\"sun\": [Sun(\"S\", 24)]}", &MEMBER_GEARS);
static MEMBER_GEARS: Thing =
    list("the list of the member's gears in square brackets", "[Sun(\"S\", 24)]", &MEMBER_GEAR);
static MEMBER_GEAR: Thing = Thing {
    name: "a gear on the main axis",
    write: "Sun(\"S\", 24)",
    inside: Inside::Kinds(&[("Sun", &SUN), ("Ring", &RING), ("Bevel", &BEVEL)]),
};
static SUN: Thing = entries("Sun", "Sun(\"S\", 24)", &[&GEAR_NAME, &TOOTH_COUNT]);
static RING: Thing = entries("Ring", "Ring(\"R\", 60)", &[&GEAR_NAME, &TOOTH_COUNT]);
static BEVEL: Thing = entries("Bevel", "Bevel(\"B\", 24, InputSide)", &[&GEAR_NAME, &TOOTH_COUNT, &SIDE]);
static SIDE: Thing = Thing {
    name: "the side of the planets that the gear is on",
    write: "InputSide",
    inside: Inside::Kinds(&[("InputSide", &INPUT_SIDE), ("OutputSide", &OUTPUT_SIDE)]),
};
static INPUT_SIDE: Thing = leaf("InputSide", "InputSide");
static OUTPUT_SIDE: Thing = leaf("OutputSide", "OutputSide");

static PLANETS: Thing = named(
    "the list of planets in braces",
    "{\"planet\": (carrier: \"carrier\", pins: Equal(3), gears: [Gear(\"p\", 18)])}",
    &PLANET,
);
static PLANET: Thing = Thing {
    name: "a planet",
    write: "(carrier: \"carrier\", pins: Equal(3), gears: [Gear(\"p\", 18)])",
    inside: Inside::Fields(&[("carrier", &CARRIER), ("pins", &PINS), ("gears", &PLANET_GEARS)]),
};
static CARRIER: Thing = leaf("the name of the carrier in quotes", "\"carrier\"");
static PINS: Thing = Thing {
    name: "the spacing of the pins",
    write: "Equal(3)",
    inside: Inside::Kinds(&[("Equal", &EQUAL), ("Turns", &TURNS), ("Degrees", &DEGREES)]),
};
static EQUAL: Thing = entries("Equal", "Equal(3)", &[&PIN_COUNT]);
static PIN_COUNT: Thing = leaf("the number of pins", "3");
static TURNS: Thing = entries("Turns", "Turns([0, \"1/3\", \"2/3\"])", &[&PLACES_IN_TURNS]);
static PLACES_IN_TURNS: Thing =
    list("the list of pin places in square brackets", "[0, \"1/3\", \"2/3\"]", &PLACE_IN_TURNS);
static PLACE_IN_TURNS: Thing = leaf("the place of a pin in turns", "\"1/3\"");
static DEGREES: Thing = entries("Degrees", "Degrees([0, 120, 240])", &[&PLACES_IN_DEGREES]);
static PLACES_IN_DEGREES: Thing = list("the list of pin places in square brackets", "[0, 120, 240]", &PLACE_IN_DEGREES);
static PLACE_IN_DEGREES: Thing = leaf("the place of a pin in degrees", "120");
static PLANET_GEARS: Thing =
    list("the list of the planet's gears in square brackets", "[Gear(\"p\", 18)]", &PLANET_GEAR);
static PLANET_GEAR: Thing = Thing {
    name: "a gear of a planet",
    write: "Gear(\"p\", 18)",
    inside: Inside::Kinds(&[("Gear", &GEAR), ("Internal", &INTERNAL), ("Bevel", &PLANET_BEVEL)]),
};
static GEAR: Thing = entries("Gear", "Gear(\"p\", 18)", &[&GEAR_NAME, &TOOTH_COUNT]);
static INTERNAL: Thing = entries("Internal", "Internal(\"p\", 60)", &[&GEAR_NAME, &TOOTH_COUNT]);
static PLANET_BEVEL: Thing = entries("Bevel on a planet", "Bevel(\"p\", 12)", &[&GEAR_NAME, &TOOTH_COUNT]);

static MESHES: Thing = list("the list of meshes in square brackets", "[(\"S\", \"p\")]", &MESH);
static MESH: Thing = Thing {
    name: "a mesh",
    write: "(\"S\", \"p\")",
    inside: Inside::Entries { needed: 2, things: &[&MESH_GEAR, &OTHER_MESH_GEAR, &MESH_SIZES] },
};
static MESH_GEAR: Thing = leaf("the name of a gear in quotes", "\"S\"");
static OTHER_MESH_GEAR: Thing = leaf("the name of the gear that it meshes with in quotes", "\"p\"");
static MESH_SIZES: Thing = Thing {
    name: "the third entry of a mesh",
    write: "(pitch: Module(2.5), backlash: Millimetres(0.1))",
    inside: Inside::Fields(&[("pitch", &PITCH), ("backlash", &MESH_BACKLASH), ("efficiency", &EFFICIENCY)]),
};

static JOINS: Thing = list("the list of joins in square brackets", "[(\"low drum\", \"sun\")]", &JOIN);
static JOIN: Thing = entries("a join", "(\"low drum\", \"sun\")", &[&MEMBER, &OTHER_MEMBER]);

static MEASURED: Thing = named(
    "the list of measured planets in braces",
    "{\"cluster\": (clusters: {\"one\": Index([]), \"two\": Index([Teeth(\"l\", 0.02)])})}",
    &MEASURED_PLANET,
);
static MEASURED_PLANET: Thing = Thing {
    name: "a measured planet",
    write: "(clusters: {\"one\": Index([]), \"two\": Index([Teeth(\"l\", 0.02)])})",
    inside: Inside::Fields(&[
        ("uncertainty", &UNCERTAINTY),
        ("clusters", &CLUSTERS),
        ("central", &CENTRAL),
        ("pins", &MEASURED_PINS),
    ]),
};
static UNCERTAINTY: Thing = Thing {
    name: "the uncertainty of each reading",
    write: "Teeth(0.01)",
    inside: Inside::Kinds(&[
        ("Teeth", &UNCERTAIN_TEETH),
        ("Degrees", &UNCERTAIN_DEGREES),
        ("Millimetres", &MILLIMETRES),
        ("Inches", &INCHES),
    ]),
};
static UNCERTAIN_TEETH: Thing = entries("Teeth", "Teeth(0.01)", &[&TEETH_SIZE]);
static TEETH_SIZE: Thing = leaf("a number of teeth of the gear", "0.02");
static UNCERTAIN_DEGREES: Thing = entries("Degrees", "Degrees(0.1)", &[&DEGREES_SIZE]);
static DEGREES_SIZE: Thing = leaf("a number of degrees round the pin", "0.2");
static MEASURED_PINS: Thing = Thing {
    name: "the pins as measured",
    write: "Degrees([0, 119.97, 240.02], 0.02)",
    inside: Inside::Kinds(&[("Degrees", &PIN_DEGREES), ("Chords", &CHORDS)]),
};
static PIN_DEGREES: Thing =
    entries("Degrees", "Degrees([0, 119.97, 240.02], 0.02)", &[&PLACES_IN_DEGREES, &ERROR_IN_DEGREES]);
static ERROR_IN_DEGREES: Thing = leaf("the error of each place in degrees", "0.02");
static CHORDS: Thing = entries(
    "Chords",
    "Chords([70, 70, 70.02], [121.2, 121.3, 121.25], 0.02)",
    &[&RADII, &CHORD_LENGTHS, &ERROR_OF_LENGTH],
);
static RADII: Thing = list("the list of the radii of the pins in square brackets", "[70, 70, 70.02]", &PIN_RADIUS);
static PIN_RADIUS: Thing = leaf("the distance of a pin from the main axis", "70");
static CHORD_LENGTHS: Thing =
    list("the list of chords from pin to pin in square brackets", "[121.2, 121.3, 121.25]", &CHORD_LENGTH);
static CHORD_LENGTH: Thing = leaf("the distance from a pin to the next", "121.2");
static ERROR_OF_LENGTH: Thing = leaf("the error of each radius and chord", "0.02");
static CLUSTERS: Thing = named(
    "the list of clusters in braces",
    "{\"one\": Index([]), \"two\": Index([Teeth(\"l\", 0.02)]), \"three\": Like(\"one\")}",
    &CLUSTER,
);
static CLUSTER: Thing = Thing {
    name: "a cluster",
    write: "Index([Teeth(\"l\", 0.02)])",
    inside: Inside::Kinds(&[("Index", &INDEX), ("Like", &LIKE)]),
};
static INDEX: Thing = entries("Index", "Index([Teeth(\"l\", 0.02)])", &[&READINGS]);
static READINGS: Thing =
    list("the list of readings in square brackets", "[Teeth(\"l\", 0.02), Degrees(\"r\", 0.2)]", &READING);
static CENTRAL: Thing =
    list("the list of readings of central gears in square brackets", "[Teeth(\"S\", 0.25)]", &READING);
static READING: Thing = Thing {
    name: "a reading",
    write: "Teeth(\"l\", 0.02)",
    inside: Inside::Kinds(&[
        ("Teeth", &READ_TEETH),
        ("Degrees", &READ_DEGREES),
        ("Millimetres", &READ_MILLIMETRES),
        ("Inches", &READ_INCHES),
    ]),
};
static READ_TEETH: Thing = entries("a reading in teeth", "Teeth(\"l\", 0.02)", &[&GEAR_NAME, &TEETH_SIZE]);
static READ_DEGREES: Thing = entries("a reading in degrees", "Degrees(\"l\", 0.2)", &[&GEAR_NAME, &DEGREES_SIZE]);
static READ_MILLIMETRES: Thing = entries(
    "a reading in millimetres",
    "Millimetres(\"l\", 0.05, 31)",
    &[&GEAR_NAME, &MILLIMETRE_SIZE, &RADIUS_IN_MILLIMETRES],
);
static RADIUS_IN_MILLIMETRES: Thing = leaf("the radius of that arc", "31");
static READ_INCHES: Thing =
    entries("a reading in inches", "Inches(\"l\", 0.002, 1.22)", &[&GEAR_NAME, &INCH_SIZE, &RADIUS_IN_INCHES]);
static RADIUS_IN_INCHES: Thing = leaf("the radius of that arc", "1.22");
static LIKE: Thing = entries("Like", "Like(\"one\")", &[&CLUSTER_NAME]);
static CLUSTER_NAME: Thing = leaf("the name of a cluster in quotes", "\"one\"");

static CONTROLS: Thing = named("the list of controls in braces", "{\"low\": Band(\"low drum\")}", &CONTROL);
static CONTROL: Thing = Thing {
    name: "a control",
    write: "Band(\"low drum\")",
    inside: Inside::Kinds(&[("Band", &BAND), ("Clutch", &CLUTCH), ("OneWayClutch", &ONE_WAY_CLUTCH)]),
};
static BAND: Thing = Thing {
    name: "Band",
    write: "Band(\"low drum\")",
    inside: Inside::Entries { needed: 1, things: &[&MEMBER, &BAND_SIZES] },
};
static BAND_SIZES: Thing = Thing {
    name: "a bracket with the sizes of the band",
    write: "(wrap: Degrees(330), friction: \"0.12\", radius: Millimetres(100))",
    inside: Inside::Fields(&[
        ("wrap", &WRAP),
        ("friction", &FRICTION),
        ("radius", &LENGTH),
        ("width", &LENGTH),
        ("from_anchor", &FROM_ANCHOR),
        ("pull", &FORCE),
    ]),
};
static CLUTCH: Thing = Thing {
    name: "Clutch",
    write: "Clutch(\"sun\", \"carrier\")",
    inside: Inside::Entries { needed: 2, things: &[&MEMBER, &OTHER_MEMBER, &PLATE_SIZES] },
};
static PLATE_SIZES: Thing = Thing {
    name: "a bracket with the sizes of the plates",
    write: "(faces: 8, friction: \"0.1\", outer_radius: Millimetres(60), inner_radius: Millimetres(45), force: Newtons(1500))",
    inside: Inside::Fields(&[
        ("faces", &FACES),
        ("friction", &FRICTION),
        ("outer_radius", &LENGTH),
        ("inner_radius", &LENGTH),
        ("force", &FORCE),
    ]),
};
static WRAP: Thing = Thing {
    name: "how far the lining lies round the drum",
    write: "Degrees(330)",
    inside: Inside::Kinds(&[("Degrees", &ANGLE_IN_DEGREES), ("Turns", &ANGLE_IN_TURNS)]),
};
static ANGLE_IN_DEGREES: Thing = entries("Degrees", "Degrees(330)", &[&DEGREE_COUNT]);
static DEGREE_COUNT: Thing = leaf("a number of degrees", "330");
static ANGLE_IN_TURNS: Thing = entries("Turns", "Turns(\"11/12\")", &[&TURN_PART]);
static TURN_PART: Thing = leaf("a part of a turn", "\"11/12\"");
static FRICTION: Thing = leaf("the coefficient of friction", "\"0.12\"");
static LENGTH: Thing = Thing {
    name: "a length",
    write: "Millimetres(100)",
    inside: Inside::Kinds(&[("Millimetres", &MILLIMETRES), ("Inches", &INCHES)]),
};
static FROM_ANCHOR: Thing = Thing {
    name: "the sense from the anchor of the band to the end that is pulled",
    write: "Forward",
    inside: Inside::Kinds(&[("Forward", &FORWARD), ("Backward", &BACKWARD)]),
};
static FORCE: Thing = Thing {
    name: "a force",
    write: "Newtons(500)",
    inside: Inside::Kinds(&[("Newtons", &NEWTONS), ("PoundsForce", &POUNDS_FORCE)]),
};
static NEWTONS: Thing = entries("Newtons", "Newtons(500)", &[&NEWTON_COUNT]);
static NEWTON_COUNT: Thing = leaf("a number of newtons", "500");
static POUNDS_FORCE: Thing = entries("PoundsForce", "PoundsForce(110)", &[&POUND_COUNT]);
static POUND_COUNT: Thing = leaf("a number of pounds force", "110");
static FACES: Thing = leaf("the number of faces that rub", "8");
static ONE_WAY_CLUTCH: Thing =
    entries("OneWayClutch", "OneWayClutch(\"ring\", \"case\", Backward)", &[&MEMBER, &OTHER_MEMBER, &SENSE]);
static SENSE: Thing = Thing {
    name: "the sense that the clutch stops",
    write: "Backward",
    inside: Inside::Kinds(&[("Forward", &FORWARD), ("Backward", &BACKWARD)]),
};
static FORWARD: Thing = leaf("Forward", "Forward");
static BACKWARD: Thing = leaf("Backward", "Backward");

static BEARINGS: Thing = list("the list of bearings in square brackets", "[(\"low drum\", \"sun\")]", &BEARING);
static BEARING: Thing = Thing {
    name: "a bearing",
    write: "(\"low drum\", \"sun\")",
    inside: Inside::Entries { needed: 2, things: &[&MEMBER, &OTHER_MEMBER, &BEARING_SIZES] },
};
static BEARING_SIZES: Thing = Thing {
    name: "the third entry of a bearing",
    write: "(diameter: Millimetres(40))",
    inside: Inside::Fields(&[("diameter", &DIAMETER), ("width", &LENGTH)]),
};
static DIAMETER: Thing = Thing {
    name: "the diameter",
    write: "Millimetres(40)",
    inside: Inside::Kinds(&[("Millimetres", &MILLIMETRES), ("Inches", &INCHES)]),
};

static STATES: Thing = named("the list of states in braces", "{\"low\": Apply([\"low band\"])}", &STATE);
static STATE: Thing = Thing {
    name: "a state",
    write: "Apply([\"low band\"])",
    inside: Inside::Kinds(&[("Apply", &APPLY), ("Given", &GIVEN)]),
};
static APPLY: Thing = entries("Apply", "Apply([\"low band\"])", &[&APPLIED]);
static APPLIED: Thing = list("the list of the controls applied in square brackets", "[\"low band\"]", &CONTROL_NAME);
static CONTROL_NAME: Thing = leaf("the name of a control in quotes", "\"low band\"");
static GIVEN: Thing = Thing {
    name: "Given",
    write: "Given(held: [\"ring\"])",
    inside: Inside::Fields(&[
        ("held", &HELD),
        ("joined", &JOINS),
        ("turning", &TURNING),
        ("input", &MEMBER),
        ("output", &MEMBER),
    ]),
};
static HELD: Thing = list("the list of members held in square brackets", "[\"ring\"]", &MEMBER);
static TURNING: Thing = named("the list of given speeds in braces", "{\"ring\": 0.5}", &SPEED);
static SPEED: Thing = leaf("the speed of the member", "0.5");

static FOUND: Thing = Thing {
    name: "the marks as found",
    write: "(seen: InputSide, planet: \"planet\", marks: [Teeth(\"p\", 0), Teeth(\"p\", -6)])",
    inside: Inside::Fields(&[
        ("seen", &SEEN),
        ("planet", &MARKED),
        ("marks", &MARKS),
        ("beside", &BESIDE),
        ("within", &WITHIN),
    ]),
};
static SEEN: Thing = Thing {
    name: "the side that was looked from",
    write: "InputSide",
    inside: Inside::Kinds(&[("InputSide", &INPUT_SIDE), ("OutputSide", &OUTPUT_SIDE)]),
};
static MARKED: Thing = leaf("the name of the planet in quotes", "\"planet\"");
static MARKS: Thing =
    list("the list of the marks in square brackets, one a pin", "[Teeth(\"p\", 0), Teeth(\"p\", -6)]", &MARK);
static BESIDE: Thing =
    named("the marks of further planets in braces", "{\"short pinion\": [Teeth(\"p\", 0), Unread]}", &MARKS);
static MARK: Thing = Thing {
    name: "what a mark shows",
    write: "Teeth(\"p\", -6)",
    inside: Inside::Kinds(&[("Teeth", &TEETH), ("Degrees", &MARK_DEGREES), ("Along", &ALONG), ("Unread", &UNREAD)]),
};
static TEETH: Thing = entries("Teeth", "Teeth(\"p\", -6)", &[&GEAR_NAME, &MARK_TEETH]);
static MARK_TEETH: Thing = leaf("the number of teeth from the line to the centre to the mark", "-6");
static MARK_DEGREES: Thing = entries("Degrees of a mark", "Degrees(-120)", &[&MARK_ANGLE]);
static MARK_ANGLE: Thing = leaf("the number of degrees from the line to the centre to the mark", "-120");
static ALONG: Thing = entries("Along", "Along(\"S\", 8)", &[&GEAR_NAME, &MARK_STRETCH]);
static MARK_STRETCH: Thing = leaf("the number of teeth from this mark to the next along the central gear", "8");
static UNREAD: Thing = leaf("Unread", "Unread");
static WITHIN: Thing = leaf("how many degrees a reading may be out", "0.5");

#[cfg(test)]
mod tests {
    use ron::error::Error;

    use super::{FILE, Inside, Thing};
    use crate::description::schema::GearsetText;
    use crate::description::surroundings::Surroundings;

    /// A source round a place, the place marked in it.
    const PLACE: &str = "<place>";

    fn errors(source: &str) -> Option<Error> {
        let options = ron::Options::default().with_default_extension(ron::extensions::Extensions::IMPLICIT_SOME);
        options.from_str::<GearsetText<'_>>(source).err().map(|error| error.code)
    }

    /// A thing written out in full, with the place in one of its parts.
    fn with_place(word: &str, thing: &Thing, chosen: usize) -> String {
        let part = |index: usize, part: &Thing| if index == chosen { PLACE } else { part.write }.to_owned();
        let parts: Vec<String> = match thing.inside {
            Inside::Fields(fields) => {
                let field =
                    |(index, (name, field)): (usize, &(&str, &Thing))| format!("{name}: {}", part(index, field));
                fields.iter().enumerate().map(field).collect()
            }
            Inside::Entries { things, .. } => things.iter().enumerate().map(|(i, thing)| part(i, thing)).collect(),
            Inside::Nothing | Inside::Kinds(_) | Inside::List(_) | Inside::Named(_) => Vec::new(),
        };
        format!("{word}({})", parts.join(", "))
    }

    /// Checks a thing at a place, and all that it consists of; counts them.
    fn check(source: &str, word: &str, thing: &'static Thing) -> usize {
        let place = source.find(PLACE).expect("a place");
        let here = |text: &str| source.replace(PLACE, text);
        let deeper = |inner: &str, thing: &'static Thing| check(&here(inner), "", thing);
        if !thing.write.contains("...") {
            assert_eq!(errors(&here(thing.write)), None, "{}", here(thing.write));
        }
        let wanted = Surroundings::of(source, place).wanted().expect("the grammar knows the place");
        let is_wanted = word.is_empty() && std::ptr::eq(wanted, thing);
        assert!(is_wanted || !word.is_empty(), "{} wants {}, not {}", source, wanted.name, thing.name);
        1 + match thing.inside {
            Inside::Nothing => 0,
            Inside::List(thing) => deeper(&format!("[{PLACE}]"), thing),
            Inside::Named(thing) => deeper(&format!("{{\"x\": {PLACE}}}"), thing),
            Inside::Kinds(kinds) => {
                let Some(Error::NoSuchEnumVariant { expected, .. }) = errors(&here("Nothing")) else {
                    panic!("{source}")
                };
                assert_eq!(expected, kinds.iter().map(|(word, _)| *word).collect::<Vec<_>>(), "{}", thing.name);
                kinds.iter().map(|(word, kind)| check(source, word, kind)).sum()
            }
            Inside::Entries { things, .. } => {
                (0..things.len()).map(|chosen| deeper(&with_place(word, thing, chosen), things[chosen])).sum()
            }
            Inside::Fields(fields) => {
                let unknown = errors(&here(&format!("{word}(nothing: 1)")));
                let Some(Error::NoSuchStructField { expected, .. }) = unknown else { panic!("{source}") };
                assert_eq!(expected, fields.iter().map(|(name, _)| *name).collect::<Vec<_>>(), "{}", thing.name);
                (0..fields.len()).map(|chosen| deeper(&with_place(word, thing, chosen), fields[chosen].1)).sum()
            }
        }
    }

    #[test]
    fn the_grammar_is_that_of_the_schema_and_its_examples_can_be_read() {
        let Inside::List(description) = FILE.inside else { panic!("the file holds descriptions") };
        let Inside::Kinds([(word, gearset)]) = description.inside else { panic!("one kind of description") };
        assert!(check(PLACE, word, gearset) > 80);
    }
}

//! The draft of a planetary group that is typed as `sun:planet:ring`, one a gear of the cluster.
//!
//! The planet has all its gears on one pin; each meshes with a sun, a ring or both, and every sun and ring is a member of
//! its own. Names are made of the kind and the count: member `sun 26`, its gear `S26`, the gear of the planet `P31`. Of
//! gears of one kind that have the same count, letters tell which: `sun 26a`, `sun 26b`, in the order of the stack. Where
//! groups with other counts are set beside one another, names are made of the place in the stack: `sun 1`, `S1`, `P1`.

use std::ops::Range;

use crate::description::{Fault, FaultKind, Faults};
use crate::gearset::{Draft, DraftGear, DraftMember, DraftMesh, DraftPins, DraftPlanet, GearKind};
use crate::syntax::{LeafOrigin, Spanned};

/// The most gears that a planet of a stack can have.
pub const MOST_GEARS: usize = 12;

/// The member that carries the pins.
const CARRIER: &str = "carrier";

/// Whether words are meant as a stack: tooth counts, with colons between them in some word.
///
/// # Examples
/// ```
/// use toothmark::quick::is_stack;
/// assert!(["26:31 20:37", "18:36 :20:74", "26:x", "26:31 20"].into_iter().all(is_stack));
/// assert!(["mine.ron", "C:\\boxes\\mine.ron", "26", "-", "26:31 mine.ron"].into_iter().all(|text| !is_stack(text)));
/// ```
pub fn is_stack(text: &str) -> bool {
    text.split_whitespace().any(has_colons) && text.split_whitespace().all(|word| is_count(word) || has_colons(word))
}

/// Whether a word is meant as a gear with what it meshes with.
fn has_colons(word: &str) -> bool {
    let counts = word.split(':');
    counts.clone().count() > 1 && counts.clone().any(is_count) && !word.contains(['/', '\\', '.'])
}

fn is_count(text: &str) -> bool {
    !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit())
}

/// What the gears of a stack are called by.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum StackNames {
    /// Their counts: `sun 26`, `S26`.
    #[default]
    ByCount,
    /// Their places in the stack, from 1: `sun 1`, `S1`.
    ByPlace,
}

/// Reads a stack: the gears of a planet between spaces, each with the sun before it and the ring behind it. The planet
/// has one pin, no pitch is known, and there are no states: see [`WhatIf`](super::WhatIf).
///
/// # Errors
/// Every gear that cannot be understood, with its place in the text.
///
/// # Examples
/// ```
/// use toothmark::gearset::Gearset;
/// use toothmark::quick::{StackNames, stack};
/// let set = Gearset::new(stack("18:36 :20:74", StackNames::ByCount).unwrap()).unwrap();
/// assert_eq!(set.members().iter().map(|it| it.name()).collect::<Vec<_>>(), [
///     "case", "carrier", "sun 18", "ring 74", "cluster",
/// ]);
/// assert_eq!(set.gears().iter().map(|it| it.name()).collect::<Vec<_>>(), ["S18", "R74", "P36", "P20"]);
/// assert_eq!(stack("18:36 20", StackNames::ByCount).unwrap_err()[0].place, 6..8);
/// ```
pub fn stack(text: &str, names: StackNames) -> Result<Draft, Faults> {
    let mut faults = Vec::new();
    let mut planes = Vec::new();
    for place in words(text) {
        match ClusterGear::read(text, place) {
            Ok(plane) => planes.push(plane),
            Err(misread) => faults.push(misread.into()),
        }
    }
    match planes.get(MOST_GEARS) {
        Some(plane) => faults.push(too_many(plane).into()),
        None if planes.is_empty() && faults.is_empty() => faults.push(nothing().into()),
        None => {}
    }
    if faults.is_empty() { Ok(draft(text, &planes, names)) } else { Err(Faults::of(text, faults)) }
}

/// A tooth count with its place.
#[derive(Debug, Clone)]
struct TypedCount {
    teeth: i64,
    place: Range<usize>,
}

/// A gear of the planet with what it meshes with.
#[derive(Debug, Clone)]
struct ClusterGear {
    sun: Option<TypedCount>,
    planet: TypedCount,
    ring: Option<TypedCount>,
}

impl ClusterGear {
    fn read(text: &str, place: Range<usize>) -> Result<Self, Misread> {
        let word = &text[place.clone()];
        let mut counts = Vec::new();
        let mut start = place.start;
        for count in word.split(':') {
            counts.push(Self::count(count, start..start + count.len())?);
            start += count.len() + 1;
        }
        let (sun, planet, ring) = match <[Option<TypedCount>; 3]>::try_from(counts) {
            Ok([sun, planet, ring]) => (sun, planet, ring),
            Err(counts) => match <[Option<TypedCount>; 2]>::try_from(counts) {
                Ok([sun, planet]) => (sun, planet, None),
                Err(counts) => return Err(not_a_gear(word, place, counts.len())),
            },
        };
        let Some(planet) = planet else {
            let hint = "the count in the middle is that of the planet, such as 26:31 or :20:74";
            return Err(misread(place, format!("{word:?} has no planet"), hint));
        };
        if sun.is_none() && ring.is_none() {
            let hint = format!("write its sun before it, 26:{0}, or its ring behind it, :{0}:74", planet.teeth);
            return Err(misread(place, format!("{word:?} meshes with nothing"), hint));
        }
        Ok(Self { sun, planet, ring })
    }

    /// A count, or nothing where none is written.
    fn count(text: &str, place: Range<usize>) -> Result<Option<TypedCount>, Misread> {
        if text.is_empty() {
            return Ok(None);
        }
        if !is_count(text) {
            return Err(misread(place, format!("{text:?} is not a number of teeth"), how_to_count(text)));
        }
        let too_many = |_| {
            let digits = text.len();
            misread(
                place.clone(),
                format!("a count of {digits} digits is more teeth than a gear has"),
                how_to_count(text),
            )
        };
        let teeth = text.parse().map_err(too_many)?;
        Ok(Some(TypedCount { teeth, place }))
    }
}

fn not_a_gear(word: &str, place: Range<usize>, counts: usize) -> Misread {
    if counts == 1 {
        return misread(place, format!("it is not said what the gear of {word} teeth meshes with"), HOW_TO_WRITE);
    }
    let sentence = format!("{word:?} has {counts} counts where a gear has its sun, itself and its ring");
    misread(place, sentence, BEYOND_A_STACK)
}

/// What to write in place of what is no count.
fn how_to_count(text: &str) -> &'static str {
    if text.contains([',', ';', '+']) {
        "put a space between the gears, such as 26:31 20:37"
    } else {
        "write the teeth as counted, such as 26"
    }
}

fn too_many(plane: &ClusterGear) -> Misread {
    let sentence = format!("a planet of more than {MOST_GEARS} gears is typed");
    misread(plane.planet.place.clone(), sentence, BEYOND_A_STACK)
}

fn nothing() -> Misread {
    misread(0..0, "no gear is typed".to_owned(), HOW_TO_WRITE)
}

const HOW_TO_WRITE: &str =
    "write each gear of the planet as sun:planet, :planet:ring or sun:planet:ring, such as 26:31 20:37 31:26";

const BEYOND_A_STACK: &str = "a gear is sun:planet:ring; planets in mesh with one another, bevel gears and several carriers \
                              stand in a description, which toothmark new begins";

/// What cannot be understood, and where it stands.
struct Misread {
    place: Range<usize>,
    sentence: String,
    hint: String,
}

impl From<Misread> for Fault {
    fn from(Misread { place, sentence, hint }: Misread) -> Self {
        Self::new(place, FaultKind::Request { sentence, hint })
    }
}

fn misread(place: Range<usize>, sentence: String, hint: impl Into<String>) -> Misread {
    Misread { place, sentence, hint: hint.into() }
}

/// The places of the words of a text.
fn words(text: &str) -> impl Iterator<Item = Range<usize>> {
    text.split_whitespace().map(move |word| {
        let start = word.as_ptr() as usize - text.as_ptr() as usize;
        start..start + word.len()
    })
}

fn draft(text: &str, planes: &[ClusterGear], names: StackNames) -> Draft {
    let number = |of: fn(&ClusterGear) -> Option<&TypedCount>| numbered(planes, of, names);
    let suns = number(|plane| plane.sun.as_ref());
    let rings = number(|plane| plane.ring.as_ref());
    let planets = number(|plane| Some(&plane.planet));
    let mut members = vec![DraftMember::new(CARRIER, [])];
    members.extend(suns.iter().flatten().map(|sun| sun.member("sun", "S", GearKind::External)));
    members.extend(rings.iter().flatten().map(|ring| ring.member("ring", "R", GearKind::Internal)));
    let gears = planets.iter().flatten().map(|planet| planet.gear("P", GearKind::External));
    let name = if planes.len() == 1 { "planet" } else { "cluster" };
    Draft {
        title: format!("Planetary group {}", text.split_whitespace().collect::<Vec<_>>().join(" ")),
        members,
        planets: vec![DraftPlanet::new(name, CARRIER, DraftPins::Equal(1), gears)],
        meshes: meshes(&suns, &planets, &rings),
        ..Draft::default()
    }
}

/// A gear with what tells it from the others of its kind.
struct Numbered<'a> {
    count: &'a TypedCount,
    number: String,
}

impl Numbered<'_> {
    /// A central gear, a member of its own.
    fn member(&self, word: &str, letter: &str, kind: GearKind) -> DraftMember {
        DraftMember::new(format!("{word} {}", self.number), [self.gear(letter, kind)])
    }

    fn gear(&self, letter: &str, kind: GearKind) -> DraftGear {
        let place = Some(self.count.place.clone());
        let tooth_count = Spanned::at(self.count.teeth, LeafOrigin { place, ..LeafOrigin::default() });
        DraftGear { tooth_count, ..DraftGear::new(format!("{letter}{}", self.number), kind, 0) }
    }
}

/// The gears of one kind, plane by plane; of those that have the same count, letters tell which.
fn numbered<'a>(
    planes: &'a [ClusterGear],
    of: impl Fn(&'a ClusterGear) -> Option<&'a TypedCount>,
    names: StackNames,
) -> Vec<Option<Numbered<'a>>> {
    const LETTERS: [char; MOST_GEARS] = ['a', 'b', 'c', 'd', 'e', 'f', 'g', 'h', 'i', 'j', 'k', 'l'];
    let counts: Vec<Option<&TypedCount>> = planes.iter().map(of).collect();
    let alike = |counts: &[Option<&TypedCount>], teeth| counts.iter().flatten().filter(|it| it.teeth == teeth).count();
    let number = |(at, count): (usize, Option<&'a TypedCount>)| {
        let count = count?;
        let number = match names {
            StackNames::ByPlace => (at + 1).to_string(),
            StackNames::ByCount if alike(&counts, count.teeth) == 1 => count.teeth.to_string(),
            StackNames::ByCount => format!("{}{}", count.teeth, LETTERS[alike(&counts[..at], count.teeth)]),
        };
        Some(Numbered { count, number })
    };
    counts.iter().copied().enumerate().map(number).collect()
}

/// The meshes of the planet, from the first of its gears to the last.
fn meshes(
    suns: &[Option<Numbered<'_>>],
    planets: &[Option<Numbered<'_>>],
    rings: &[Option<Numbered<'_>>],
) -> Vec<DraftMesh> {
    let mesh = |letter: &str, central: &Option<Numbered<'_>>, planet: &Numbered<'_>| {
        let central = central.as_ref()?;
        Some(DraftMesh::of(format!("{letter}{}", central.number), format!("P{}", planet.number)))
    };
    let planes = suns.iter().zip(planets.iter().flatten()).zip(rings);
    planes.flat_map(|((sun, planet), ring)| [mesh("S", sun, planet), mesh("R", ring, planet)]).flatten().collect()
}

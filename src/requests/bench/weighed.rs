//! Weights, readings, places and holes as they are typed: `22 g at 95 mm at 100 deg`, `0.26 at 121`, `12@95mm`, `90deg
//! 12mm x 12`.
//!
//! Numbers stand with their units, parted by `@`, by the word at, by commas, or by a space behind a unit; what each is,
//! its unit says.

use crate::bench::{
    CorrectionPlace, DrilledHole, DrilledMaterial, FoundWeight, GRAM_MILLIMETRES_PER_OUNCE_INCH, GRAMS_PER_OUNCE,
    PhaseReading, WeightAmount, WeightSense,
};
use crate::exact::{Mistyped, TypedNumber, to_float};
use crate::gearset::Length;

use crate::requests::Refusal;
use crate::requests::values::refused;

/// A number with what its unit says that it is.
#[derive(Debug, Clone, Copy, PartialEq)]
enum TypedQuantity {
    /// Grams.
    Weight(f64),
    /// Gram millimetres.
    Moment(f64),
    /// Millimetres.
    Length(f64),
    /// Millimetres along the axis.
    AlongAxis(f64),
    /// Degrees, counter-clockwise.
    Angle(f64),
    /// Without a unit.
    Bare(f64),
}

/// A reading with its phase or without.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct PhaseAsTyped {
    pub(super) amount: f64,
    pub(super) degrees: Option<f64>,
}

/// A trial weight and what was read with it.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct TypedTrial {
    pub(super) weight: WeightAmount,
    pub(super) degrees: f64,
    pub(super) readings: Vec<PhaseAsTyped>,
}

/// Places as typed: a ring of them, or their angles, each with a radius or without.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct TypedPlaces {
    degrees: Vec<f64>,
    radius: Option<f64>,
}

impl PhaseAsTyped {
    /// The reading, where it has a phase.
    pub(super) fn phase(self) -> Option<PhaseReading> {
        self.degrees.map(|degrees| PhaseReading { amount: self.amount, degrees })
    }
}

impl TypedPlaces {
    /// The places, at their own radius or at that which is given for all.
    pub(super) fn places(&self, radius: Option<f64>) -> Result<Vec<CorrectionPlace>, Refusal> {
        let radius = self.radius.or(radius).ok_or_else(|| {
            let hint = "write --places 12@95mm, or add --radius 95mm";
            Refusal::new("it is not said how far from the axis the places are", hint)
        })?;
        Ok(self.degrees.iter().map(|&degrees| CorrectionPlace { degrees, radius }).collect())
    }
}

const WEIGHT_HINT: &str = "write grams or ounces, the radius and the angle, such as \"22 g at 95 mm at 100 deg\" or \
                           22g@95mm@100deg; or gram millimetres and the angle: \"2122 g mm at 100 deg\"";

/// A weight at a place: `22 g at 95 mm at 100 deg`, `0.8oz@3.75in@100`, `2122 g mm at 100 deg`, with `z 10 mm` or without.
pub(super) fn weight(text: &str) -> Result<FoundWeight, Refusal> {
    let not_one = || Refusal::new(format!("{text:?} is not a weight at a place"), WEIGHT_HINT);
    let quantities = quantities(text, "a weight at a place", WEIGHT_HINT)?;
    let (amount, mut others) = amount_of(&quantities).ok_or_else(not_one)?;
    let along_axis = take(&mut others, |it| if let TypedQuantity::AlongAxis(value) = it { Some(value) } else { None });
    let [degrees] = others[..] else { return Err(not_one()) };
    let degrees = angle_or_bare(degrees).ok_or_else(not_one)?;
    Ok(FoundWeight { amount, degrees, sense: WeightSense::Heavy, along_axis: along_axis.unwrap_or(0.0) })
}

/// How heavy, and what else is told.
fn amount_of(quantities: &[TypedQuantity]) -> Option<(WeightAmount, Vec<TypedQuantity>)> {
    let mut others = quantities.to_vec();
    if let Some(moment) = take(&mut others, |it| if let TypedQuantity::Moment(value) = it { Some(value) } else { None })
    {
        return Some((WeightAmount::GramMillimetres(moment), others));
    }
    let grams = take(&mut others, |it| if let TypedQuantity::Weight(value) = it { Some(value) } else { None })?;
    let radius = take(&mut others, |it| if let TypedQuantity::Length(value) = it { Some(value) } else { None })?;
    Some((WeightAmount::AtRadius { grams, radius }, others))
}

fn take(all: &mut Vec<TypedQuantity>, wanted: fn(TypedQuantity) -> Option<f64>) -> Option<f64> {
    let at = all.iter().position(|&it| wanted(it).is_some())?;
    wanted(all.remove(at))
}

fn angle_or_bare(quantity: TypedQuantity) -> Option<f64> {
    match quantity {
        TypedQuantity::Angle(degrees) | TypedQuantity::Bare(degrees) => Some(degrees),
        TypedQuantity::Weight(_)
        | TypedQuantity::Moment(_)
        | TypedQuantity::Length(_)
        | TypedQuantity::AlongAxis(_) => None,
    }
}

/// `0.36 at 18 deg`, `4.8`.
pub(super) fn reading(text: &str) -> Result<PhaseAsTyped, Refusal> {
    let hint =
        "write what the machine reads, with its phase where it tells one: --reading 4.8, --reading \"0.36 at 18 deg\"";
    let not_one = || Refusal::new(format!("{text:?} is not a reading"), hint);
    match quantities(text, "a reading", hint)?[..] {
        [TypedQuantity::Bare(amount)] => Ok(PhaseAsTyped { amount, degrees: None }),
        [TypedQuantity::Bare(amount), phase] => {
            Ok(PhaseAsTyped { amount, degrees: Some(angle_or_bare(phase).ok_or_else(not_one)?) })
        }
        _ => Err(not_one()),
    }
}

/// `50g@95mm@180deg=0.26@121deg`; of two planes both readings behind it, parted by a semicolon.
pub(super) fn trial(text: &str) -> Result<TypedTrial, Refusal> {
    let (put_on, read) = text.split_once('=').ok_or_else(|| {
        let hint =
            "write the trial weight, = and what was read with it: --trial \"50 g at 95 mm at 180 deg = 0.26 at 121\"";
        Refusal::new(format!("{text:?} is not a run with a trial weight"), hint)
    })?;
    let FoundWeight { amount, degrees, .. } = weight(put_on)?;
    let readings = read.split(';').map(reading).collect::<Result<_, _>>()?;
    Ok(TypedTrial { weight: amount, degrees, readings })
}

/// `12@95mm`, `12@95mm@15deg` with the first at 15 degrees, `0, 30, 90`, `0,30,90@95mm`.
pub(super) fn places(text: &str) -> Result<TypedPlaces, Refusal> {
    /// More places than any rotor has: the plan says how many it takes.
    const MOST: u32 = 1000;
    let hint = "write how many stand round the axis and at which radius, 12@95mm, with the angle of the first where it is \
                not 0, 12@95mm@15deg; or the angle of each: \"0, 30, 90\" with --radius 95mm";
    let what = "places round the axis";
    let not_one = || Refusal::new(format!("{text:?} does not say where places are"), hint);
    let (places, behind) = text.split_once('@').unwrap_or((text, ""));
    let behind = if behind.trim().is_empty() { Vec::new() } else { quantities(behind, what, hint)? };
    let angles = TypedNumber::list(places, ANGLES).map_err(|fault| refused(text, what, hint, &fault))?;
    let angles: Vec<f64> = angles.iter().map(to_float).collect();
    let (radius, first) = match behind[..] {
        [] => (None, 0.0),
        [TypedQuantity::Length(radius)] => (Some(radius), 0.0),
        [TypedQuantity::Length(radius), first] => (Some(radius), angle_or_bare(first).ok_or_else(not_one)?),
        _ => return Err(not_one()),
    };
    let degrees = match angles[..] {
        // One number is how many there are.
        [count] => {
            let count = (1..=MOST).find(|&whole| f64::from(whole).total_cmp(&count).is_eq()).ok_or_else(not_one)?;
            (0..count).map(|place| first + 360.0 * f64::from(place) / f64::from(count)).collect()
        }
        _ => angles.iter().map(|angle| first + angle).collect(),
    };
    Ok(TypedPlaces { degrees, radius })
}

/// `90deg 12mm x 12`: where, the drill, the full depth.
pub(super) fn hole(text: &str) -> Result<DrilledHole, Refusal> {
    let hint = "write where it stands, the drill and its full depth: --drilled \"90deg 12mm x 12\"";
    let not_one = || Refusal::new(format!("{text:?} is not a drilled hole"), hint);
    let (before, depth) = text.rsplit_once(['x', 'X', '\u{d7}']).ok_or_else(not_one)?;
    let in_millimetres = |quantity: TypedQuantity| match quantity {
        TypedQuantity::Length(value) | TypedQuantity::Bare(value) => Some(value),
        TypedQuantity::Weight(_) | TypedQuantity::Moment(_) | TypedQuantity::Angle(_) | TypedQuantity::AlongAxis(_) => {
            None
        }
    };
    let ([TypedQuantity::Angle(degrees), drill], [depth]) =
        (&quantities(before, "a drilled hole", hint)?[..], &quantities(depth, "a drilled hole", hint)?[..])
    else {
        return Err(not_one());
    };
    let (drill, depth) = in_millimetres(*drill).zip(in_millimetres(*depth)).ok_or_else(not_one)?;
    Ok(DrilledHole { degrees: *degrees, drill, depth })
}

/// Lengths between commas or semicolons, in millimetres: drills, depths.
pub(super) fn lengths(text: &str) -> Result<Vec<f64>, Refusal> {
    let hint =
        "write diameters or depths in millimetres or inches between commas: 6,8,10,12 or \"1/4in, 3/8in, 1/2in\"";
    listed(text, "a list of lengths", hint, |part| Length::typed(part).map(|(length, _)| length.millimetres()))
}

/// Weights between commas or semicolons, in grams.
pub(super) fn grams(text: &str) -> Result<Vec<f64>, Refusal> {
    let hint = "write the weight of each in grams or ounces between commas: --clusters 812.4,815.0,809.1";
    listed(text, "a list of weights", hint, |part| scaled(part, &GRAMS))
}

/// A weight in grams.
pub(super) fn one_in_grams(text: &str) -> Result<f64, Refusal> {
    let hint = "write grams or ounces, such as 0.5g";
    scaled(text, &GRAMS).map_err(|fault| refused(text, "a weight", hint, &fault))
}

/// The mass of a rotor, in kg.
pub(super) fn kilograms(text: &str) -> Result<f64, Refusal> {
    const KILOGRAMS: [(&str, f64); 6] = [
        ("", 1.0),
        ("kg", 1.0),
        ("g", 1e-3),
        ("lb", 16e-3 * GRAMS_PER_OUNCE),
        ("lbs", 16e-3 * GRAMS_PER_OUNCE),
        ("t", 1e3),
    ];
    let hint = "write kilograms or pounds, such as --mass 25kg or --mass 55lb";
    scaled(text, &KILOGRAMS).map_err(|fault| refused(text, "the mass of a rotor", hint, &fault))
}

/// An unbalance, in g mm.
pub(super) fn gram_millimetres(text: &str) -> Result<f64, Refusal> {
    let hint = "write gram millimetres or ounce inches, such as --allowed \"836 g mm\" or --allowed \"1.2 oz in\"";
    let bare = [("", 1.0)];
    let units: Vec<(&str, f64)> = MOMENTS.into_iter().chain(bare).collect();
    scaled(text, &units).map_err(|fault| refused(text, "an unbalance", hint, &fault))
}

/// A plain number: a grade, a density, what readings are good to.
pub(super) fn plain(text: &str) -> Result<f64, Refusal> {
    let hint = "write a plain number, such as 6.3";
    scaled(text, &[("", 1.0), ("g/cm3", 1.0)]).map_err(|fault| refused(text, "a number", hint, &fault))
}

/// A material that is drilled: `cast iron`, `iron`, `steel`, `bronze`, `aluminium`.
pub(super) fn material(text: &str) -> Result<DrilledMaterial, Refusal> {
    let plain = |name: &str| name.to_lowercase().replace(['-', '_', ' '], "");
    let typed = match plain(text).as_str() {
        "iron" | "greyiron" | "grayiron" => "castiron".to_owned(),
        "aluminum" => "aluminium".to_owned(),
        other => other.to_owned(),
    };
    let known = DrilledMaterial::NAMED.map(DrilledMaterial::name);
    let found = DrilledMaterial::NAMED.into_iter().find(|material| plain(material.name()) == typed);
    found.ok_or_else(|| Refusal::unknown("material", text, &known))
}

/// An angle in degrees.
pub(super) fn angle(text: &str) -> Result<f64, Refusal> {
    let units: Vec<(&str, f64)> = ANGLES.iter().chain(&[""]).map(|unit| (*unit, 1.0)).collect();
    scaled(text, &units).map_err(|fault| refused(text, "an angle", "write degrees, such as 2deg", &fault))
}

/// Two places along the axis: `0, 60`, in millimetres or inches.
pub(super) fn two_places(text: &str) -> Result<[f64; 2], Refusal> {
    let hint = "write two lengths in millimetres or inches: \"0, 60\" or \"1500, 900\"";
    let lengths =
        listed(text, "two lengths", hint, |part| Length::typed(part).map(|(length, _)| length.millimetres()))?;
    lengths.try_into().map_err(|_| Refusal::new(format!("{text:?} is not two lengths"), hint))
}

const ANGLES: &[&str] = &["deg", "degrees", "degree", "\u{b0}"];
const GRAMS: [(&str, f64); 9] = [
    ("", 1.0),
    ("g", 1.0),
    ("gram", 1.0),
    ("grams", 1.0),
    ("gramme", 1.0),
    ("grammes", 1.0),
    ("oz", GRAMS_PER_OUNCE),
    ("ounce", GRAMS_PER_OUNCE),
    ("ounces", GRAMS_PER_OUNCE),
];
const MOMENTS: [(&str, f64); 6] = [
    ("gmm", 1.0),
    ("gcm", 10.0),
    ("kgmm", 1000.0),
    ("ozin", GRAM_MILLIMETRES_PER_OUNCE_INCH),
    ("ozinch", GRAM_MILLIMETRES_PER_OUNCE_INCH),
    ("inoz", GRAM_MILLIMETRES_PER_OUNCE_INCH),
];

fn listed(
    text: &str,
    what: &str,
    hint: &str,
    read: impl Fn(&str) -> Result<f64, Mistyped>,
) -> Result<Vec<f64>, Refusal> {
    // Between semicolons a comma is a decimal one.
    let part_at = if text.contains(';') { ';' } else { ',' };
    text.split(part_at).map(|part| read(part).map_err(|fault| refused(text, what, hint, &fault))).collect()
}

/// A number with one of these units.
fn scaled(text: &str, units: &[(&str, f64)]) -> Result<f64, Mistyped> {
    let typed = TypedNumber::read(text)?;
    let word = typed.words.concat();
    let unit = units.iter().find(|(unit, _)| *unit == word);
    let (_, scale) = unit.ok_or(Mistyped::UnknownWord { word })?;
    Ok(to_float(&typed.value) * scale)
}

/// The numbers of a text, each with its unit.
fn quantities(text: &str, what: &str, hint: &str) -> Result<Vec<TypedQuantity>, Refusal> {
    parts(text).iter().map(|part| quantity(part).map_err(|fault| refused(text, what, hint, &fault))).collect()
}

fn quantity(text: &str) -> Result<TypedQuantity, Mistyped> {
    if let Some(along) = text.trim().strip_prefix(['z', 'Z']) {
        let along = Length::typed(along.trim_start_matches(['=', ' ']))?.0;
        return Ok(TypedQuantity::AlongAxis(along.millimetres()));
    }
    let typed = TypedNumber::read(text)?;
    let word = typed.words.concat();
    let value = to_float(&typed.value);
    let scale_in = |units: &[(&str, f64)]| units.iter().find(|(unit, _)| *unit == word).map(|(_, scale)| value * scale);
    if word.is_empty() {
        return Ok(TypedQuantity::Bare(value));
    }
    if let Some(grams) = scale_in(&GRAMS) {
        return Ok(TypedQuantity::Weight(grams));
    }
    if let Some(moment) = scale_in(&MOMENTS) {
        return Ok(TypedQuantity::Moment(moment));
    }
    if ANGLES.contains(&word.as_str()) || word == "degccw" || word == "ccw" {
        return Ok(TypedQuantity::Angle(value));
    }
    if word == "degcw" || word == "cw" {
        return Ok(TypedQuantity::Angle(-value));
    }
    Length::typed(text).map(|(length, _)| TypedQuantity::Length(length.millimetres()))
}

/// A text parted at `@`, at the word at, at commas that are no decimal ones, and behind a unit where a number follows.
fn parts(text: &str) -> Vec<String> {
    let text = text.replace(" at ", "@");
    let letters: Vec<char> = text.chars().collect();
    let mut parts = vec![String::new()];
    for (at, &letter) in letters.iter().enumerate() {
        let before = letters[..at].iter().rev().find(|letter| !letter.is_whitespace()).copied().unwrap_or(' ');
        let next = letters.get(at + 1).copied().unwrap_or(' ');
        let is_behind_unit = before.is_alphabetic() || before == '\u{b0}' || before == '"';
        let begins_number = next.is_ascii_digit() || "+-.\u{2212}".contains(next);
        let parts_here = match letter {
            '@' => true,
            ',' => next == ' ' || is_behind_unit,
            // The z of a place along the axis stands before its number.
            letter if letter.is_whitespace() => {
                is_behind_unit
                    && (begins_number && !before.eq_ignore_ascii_case(&'z') || next.eq_ignore_ascii_case(&'z'))
            }
            _ => false,
        };
        match parts.last_mut() {
            Some(last) if !parts_here => last.push(letter),
            _ => parts.push(String::new()),
        }
    }
    parts.retain(|part| !part.trim().is_empty());
    parts
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn reads(text: &str, g_mm: f64, degrees: f64, along_axis: f64) {
        let found = weight(text).unwrap_or_else(|refusal| panic!("{text}: {refusal}"));
        let off = (found.amount.gram_millimetres() - g_mm).abs() + (found.degrees - degrees).abs();
        assert!(off + (found.along_axis - along_axis).abs() < 1e-6, "{text}: {found:?}");
    }

    #[test]
    fn weights_stand_at_places_as_people_write_them() {
        for text in
            ["22 g at 95 mm at 100 deg", "22g@95mm@100deg", "22g 95mm 100\u{b0}", "22 g, 95 mm, 100", "95mm@22g@100"]
        {
            reads(text, 2090.0, 100.0, 0.0);
        }
        reads("2122 g mm at 100 deg", 2122.0, 100.0, 0.0);
        reads("2122 g mm at -30", 2122.0, -30.0, 0.0);
        reads("22 g at 95 mm at 30 deg cw", 2090.0, -30.0, 0.0);
        reads("1 oz at 1 in at 90 deg", 720.077_887, 90.0, 0.0);
        reads("1 oz in at 90", 720.077_887, 90.0, 0.0);
        reads("42 g at 10 mm at 30 deg z 10 mm", 420.0, 30.0, 10.0);
        reads("42g@10mm@30deg@z=10mm", 420.0, 30.0, 10.0);
        reads("22,5 g at 95 mm at 100 deg", 2137.5, 100.0, 0.0);
        for text in
            ["", "22", "22 g", "22 g at 95 mm", "95 mm at 100 deg", "22 g at 95 mm at 3 at 4", "22 ell at 3 mm at 4"]
        {
            assert!(weight(text).is_err(), "{text}");
        }
    }

    #[test]
    fn readings_have_phases_or_none() {
        let read = |text| reading(text).ok().map(|read| (read.amount, read.degrees));
        assert_eq!(read("4.8"), Some((4.8, None)));
        assert_eq!(read("0.36 at 18 deg"), Some((0.36, Some(18.0))));
        assert_eq!(read("0.36@18"), Some((0.36, Some(18.0))));
        assert!(["", "a", "4.8 g", "1@2@3"].iter().all(|text| read(text).is_none()));
        let two = trial("10g@95mm@270deg=5.9@123;4.5@228").expect("two readings");
        assert_eq!((two.degrees, two.readings.len(), two.readings[1].degrees), (270.0, 2, Some(228.0)));
        assert!(trial("10g@95mm@270deg").is_err() && trial("10g=5").is_err());
    }

    #[test]
    fn places_are_a_ring_or_a_list() {
        let read = |text: &str| {
            places(text)
                .and_then(|it| it.places(Some(80.0)))
                .ok()
                .map(|places| places.iter().map(|place| (place.degrees, place.radius)).collect::<Vec<_>>())
        };
        assert_eq!(read("3@95mm"), Some(vec![(0.0, 95.0), (120.0, 95.0), (240.0, 95.0)]));
        assert_eq!(read("2@95mm@15deg"), Some(vec![(15.0, 95.0), (195.0, 95.0)]));
        assert_eq!(read("0, 30, 90"), Some(vec![(0.0, 80.0), (30.0, 80.0), (90.0, 80.0)]));
        assert_eq!(read("0,30@4in"), Some(vec![(0.0, 101.6), (30.0, 101.6)]));
        assert!(["", "x", "0@95mm", "2.5@95mm", "3@95", "1e9@3mm"].iter().all(|text| read(text).is_none()));
        assert!(places("3").is_ok_and(|it| it.places(None).is_err()));
    }

    #[test]
    fn holes_and_lists_are_read() {
        let read = |text| hole(text).ok().map(|hole| (hole.degrees, hole.drill, hole.depth));
        assert_eq!(read("90deg 12mm x 12"), Some((90.0, 12.0, 12.0)));
        assert_eq!(read("90 deg, 1/2in x 1in"), Some((90.0, 12.7, 25.4)));
        assert!(["", "90", "12mm x 12", "90deg 12mm", "90deg 12g x 3"].iter().all(|text| read(text).is_none()));
        assert_eq!(lengths("6,8,1/2in").ok(), Some(vec![6.0, 8.0, 12.7]));
        assert_eq!(grams("812.4,815.0 g").ok(), Some(vec![812.4, 815.0]));
        assert!(kilograms("55lb").is_ok_and(|mass| (mass - 24.947_58).abs() < 1e-4));
        assert!(
            two_places("0, 60").is_ok_and(|places| (places[0] + places[1] - 60.0).abs() < 1e-12)
                && two_places("0").is_err()
        );
    }
}

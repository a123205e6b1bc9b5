//! The question `bench bushes`: whether bushes are good, and what to bore them to.

use crate::bench::{BushFits, BushQuestion, BushesQuestion, MeasuredDiameter, PressedBush, bush_fits};
use crate::exact::to_float;
use crate::gearset::{BushMaterial, Gearset, Length};
use crate::requests::options::options;
use crate::requests::sizes::{OfName, told_of, told_twice};
use crate::requests::{AskedAbout, GearsetOrJob, NoAnswer, Question, Refusal, sizes, titled, values};

options! {
    /// The options of `bench bushes`.
    pub struct BushesOptions {
        /// The bore, of one of several bushes by its name: 16.02, "pin 2=16.02"; at up to three places along it
        /// 16.02,16.03,16.02; two ways across a place 16.02x16.04
        bore: Vec<OfName<TypedDiameters>> = places, "[BUSH=]LENGTH,...";
        /// The shaft or pin in it, at one place or at as many as the bore
        shaft: Vec<OfName<TypedDiameters>> = places, "[BUSH=]LENGTH,...";
        /// The clearance that is allowed, on the diameter: 0.02..0.06
        allowed: Vec<OfName<[Length; 2]>> = band, "[BUSH=]LEAST..MOST";
        /// The outside diameter of a bush that is pressed in
        bush_outside: Vec<OfName<Length>> = one, "[BUSH=]LENGTH";
        /// By how much it is larger than its hole, on the diameter
        interference: Vec<OfName<Length>> = one, "[BUSH=]LENGTH";
        /// The outside diameter of what it is pressed into; of a gear that at the roots
        housing: Vec<OfName<Length>> = one, "[BUSH=]LENGTH";
        /// What the bush is made of, or what the bore is in: bronze, brass, steel, "cast iron" or aluminium
        of: Vec<OfName<BushMaterial>> = material, "[BUSH=]MATERIAL";
        /// What it is pressed into
        into: Vec<OfName<BushMaterial>> = material, "[BUSH=]MATERIAL";
        /// What the shaft is made of; steel where it is left out
        shaft_of: Vec<OfName<BushMaterial>> = material, "[BUSH=]MATERIAL";
        /// By how many kelvin (degrees Celsius) it is warmer in service
        hot: Option<f64> = kelvin, "KELVIN";
        /// By how many kelvin the shaft is warmer still
        shaft_hotter: Option<f64> = kelvin, "KELVIN" needs "hot";
        /// What readings are good to that do not say it themselves, as "16.02 ± 0.005" does; 0.01 mm where it is left out
        within: Option<Length> = values::length, "LENGTH";
    }
}

/// Diameters along a bush or a shaft.
#[derive(Debug, Clone)]
struct TypedDiameters {
    read: Vec<MeasuredDiameter>,
    /// The most that one of them says it may be out, in millimetres.
    within_mm: Option<f64>,
}

/// Diameters between commas, a place each, two ways across with an x between.
fn places(text: &str) -> Result<OfName<TypedDiameters>, Refusal> {
    sizes::named(text, |text| {
        // The list tells units and decimal commas apart; what stands across is read in the same way.
        let lists = text.replace('×', "x").to_lowercase();
        let sign = if lists.contains(';') { ';' } else { ',' };
        let ways: Vec<usize> = lists.split(sign).map(|place| place.matches('x').count()).collect();
        if ways.iter().any(|&ways| ways > 1) {
            return Err(Refusal::new(
                format!("{text:?} has more than two ways across at a place"),
                "write the widest and the narrowest: 16.02x16.04",
            ));
        }
        let separator = sign.to_string();
        let readings = sizes::readings(&lists.replace('x', &separator))?;
        let within = readings.iter().filter_map(|reading| reading.within.as_ref()).map(Length::millimetres);
        let within_mm = within.reduce(f64::max);
        let mut read = readings.iter().map(|reading| reading.length.millimetres());
        let place = |ways: usize| {
            Some(MeasuredDiameter { mm: read.next()?, across_mm: if ways > 0 { read.next() } else { None } })
        };
        Ok(TypedDiameters { read: ways.into_iter().filter_map(place).collect(), within_mm })
    })
}

fn one(text: &str) -> Result<OfName<Length>, Refusal> {
    sizes::named(text, sizes::length_alone)
}

fn band(text: &str) -> Result<OfName<[Length; 2]>, Refusal> {
    sizes::named(text, sizes::band)
}

fn kelvin(text: &str) -> Result<f64, Refusal> {
    let hint = "write by how many kelvin, which are degrees Celsius: --hot 80";
    values::number(text, "a difference of temperature", hint, &["k", "kelvin", "c", "°c"])
        .map(|number| to_float(&number))
}

fn material(text: &str) -> Result<OfName<BushMaterial>, Refusal> {
    sizes::named(text, |text| {
        let plain = |name: &str| name.to_lowercase().replace(['-', '_', ' '], "");
        let typed = match plain(text).as_str() {
            "iron" => "castiron".to_owned(),
            "aluminum" => "aluminium".to_owned(),
            other => other.to_owned(),
        };
        let known = BushMaterial::ALL.map(BushMaterial::name);
        BushMaterial::ALL
            .into_iter()
            .find(|material| plain(material.name()) == typed)
            .ok_or_else(|| Refusal::unknown("material", text, &known))
    })
}

impl Question for BushesOptions {
    type Answer = BushFits;

    fn ask(&self, about: &mut AskedAbout<'_>) -> Result<(Gearset, BushFits), NoAnswer> {
        answer(self, about)
    }
}

fn answer(options: &BushesOptions, about: &AskedAbout<'_>) -> Result<(Gearset, BushFits), NoAnswer> {
    let (set, mut question) = match about.gearset_or_job()? {
        Some(GearsetOrJob { set, job }) => {
            let question = job.map_or_else(|| BushesQuestion::of_gearset(&set), |job| job.bushes_question());
            (set, question)
        }
        None => (titled("Bushes"), BushesQuestion::default()),
    };
    let mut wrong = told_once(options);
    wrong.extend(add_typed(options, &mut question));
    wrong.extend(question.bushes.iter_mut().filter_map(|bush| tell(options, bush).err()));
    wrong.extend(of_no_bush(options, &question));
    if !wrong.is_empty() {
        return Err(NoAnswer::Refused(wrong));
    }
    question.hot_kelvin = options.hot;
    question.shaft_hotter_kelvin = options.shaft_hotter.unwrap_or(0.0);
    let found = bush_fits(&question).map_err(|reasons| {
        NoAnswer::Refused(reasons.iter().map(|reason| Refusal::new(reason, reason.hint())).collect())
    })?;
    Ok((set, found))
}

/// What is told twice of one bush; two bores without a name are two bushes of one name, which is refused as that.
fn told_once(options: &BushesOptions) -> Vec<Refusal> {
    let BushesOptions { shaft, allowed, bush_outside, interference, housing, of, into, shaft_of, .. } = options;
    let told = [
        told_twice("--shaft", shaft),
        told_twice("--allowed", allowed),
        told_twice("--bush-outside", bush_outside),
        told_twice("--interference", interference),
        told_twice("--housing", housing),
        told_twice("--of", of),
        told_twice("--into", into),
        told_twice("--shaft-of", shaft_of),
    ];
    told.into_iter().flatten().collect()
}

/// The bushes of the options that no file knows: each bore with the shaft of the same name, or of none.
fn add_typed(options: &BushesOptions, question: &mut BushesQuestion) -> Vec<Refusal> {
    let described: Vec<String> = question.bushes.iter().map(|bush| bush.name.clone()).collect();
    let mut wrong = Vec::new();
    for OfName { name, value } in &options.bore {
        let bush = BushQuestion {
            name: name.as_deref().unwrap_or(BushQuestion::WITHOUT_NAME).to_owned(),
            bore: value.read.clone(),
            ..BushQuestion::default()
        };
        if described.contains(&bush.name) {
            continue;
        }
        match told_of(&options.shaft, name.as_deref()) {
            Some(shaft) => question.bushes.push(BushQuestion { shaft: shaft.read.clone(), ..bush }),
            None => wrong.push(Refusal::new(
                format!("there is no shaft for {}", bush.called()),
                "give the shaft as well, such as --shaft 15.97",
            )),
        }
    }
    wrong
}

/// What the options say of a bush, which wins over what a file says of it.
fn tell(options: &BushesOptions, bush: &mut BushQuestion) -> Result<(), Refusal> {
    let name = bush.name.clone();
    let called = |told: &OfName<TypedDiameters>| told.name.as_deref().unwrap_or(BushQuestion::WITHOUT_NAME) == name;
    // A shaft without a name is that of every bore that is typed.
    let is_typed = options.bore.iter().any(called);
    let places = |told: &[OfName<TypedDiameters>]| {
        let is_meant = |it: &&OfName<TypedDiameters>| is_typed || it.name.as_ref() == Some(&name);
        told_of(told, Some(&name)).filter(|_| told.iter().any(|it| is_meant(&it))).cloned()
    };
    let [bore, shaft] = [&options.bore, &options.shaft].map(|told| places(told));
    bush.within_mm = within(options, [&bore, &shaft], bush.within_mm);
    bush.bore = bore.map_or_else(|| bush.bore.clone(), |bore| bore.read);
    bush.shaft = shaft.map_or_else(|| bush.shaft.clone(), |shaft| shaft.read);
    if let Some(allowed) = told_of(&options.allowed, Some(&name)) {
        bush.allowed_mm = Some(allowed.each_ref().map(Length::millimetres));
    }
    bush.shaft_of = told_of(&options.shaft_of, Some(&name)).copied().or(bush.shaft_of);
    bush.pressed = pressed(options, bush)?;
    bush.bore_of = told_of(&options.of, Some(&name)).copied().or(bush.bore_of);
    Ok(())
}

/// What the readings of a bush are good to: the worst of those that are typed and of what a file says.
fn within(options: &BushesOptions, typed: [&Option<TypedDiameters>; 2], known: Option<f64>) -> Option<f64> {
    let usual = options.within.as_ref().map(Length::millimetres);
    let typed = || typed.into_iter().flatten();
    if typed().all(|read| read.within_mm.is_none()) {
        return known.or(usual);
    }
    let each = typed().map(|read| read.within_mm.or(usual).unwrap_or(BushQuestion::USUAL_WITHIN_MM));
    each.chain(known).reduce(f64::max)
}

/// How a bush is pressed in, which takes its outside, its interference and its housing.
fn pressed(options: &BushesOptions, bush: &BushQuestion) -> Result<Option<PressedBush>, Refusal> {
    let name = Some(bush.name.as_str());
    let typed = [&options.bush_outside, &options.interference, &options.housing]
        .map(|told| told_of(told, name).map(Length::millimetres));
    let known = bush.pressed.map(|known| [known.outside_mm, known.interference_mm, known.housing_mm]);
    let [outside, interference, housing] = [0, 1, 2].map(|at| typed[at].or(known.map(|known| known[at])));
    let material = |told: &[OfName<BushMaterial>], known: Option<BushMaterial>| told_of(told, name).copied().or(known);
    match (outside, interference, housing) {
        (None, None, None) => Ok(None),
        (Some(outside_mm), Some(interference_mm), Some(housing_mm)) => Ok(Some(PressedBush {
            outside_mm,
            interference_mm,
            housing_mm,
            of: material(&options.of, bush.pressed.and_then(|known| known.of)),
            into: material(&options.into, bush.pressed.and_then(|known| known.into)),
        })),
        _ => Err(Refusal::new(
            format!("how {} is pressed in takes its outside, its interference and its housing", bush.called()),
            "give all three: --bush-outside 20 --interference 0.03 --housing 40",
        )),
    }
}

/// What is told of a bush that there is not.
fn of_no_bush(options: &BushesOptions, question: &BushesQuestion) -> Vec<Refusal> {
    let typed = options.bore.iter().filter_map(|bore| bore.name.as_deref());
    let known: Vec<&str> = question.bushes.iter().map(|bush| bush.name.as_str()).chain(typed).collect();
    let mut wrong: Vec<Refusal> =
        names(options).into_iter().filter(|name| !known.contains(name)).map(of_no_bore).collect();
    if options.bore.is_empty() && options.shaft.iter().any(|shaft| shaft.name.is_none()) {
        wrong.push(Refusal::new("there is a shaft, but no bore", "give the bore as well, such as --bore 16.02"));
    }
    if !options.into.is_empty() && wrong.is_empty() && question.bushes.iter().all(|bush| bush.pressed.is_none()) {
        wrong.push(Refusal::new(
            "it is said what a bush is pressed into, but not how",
            "add its sizes: --bush-outside 20 --interference 0.03 --housing 40",
        ));
    }
    wrong
}

fn of_no_bore(name: &str) -> Refusal {
    let hint = format!("give its bore as well, such as --bore \"{name}=16.02\"");
    Refusal::new(format!("there is no bore of the bush {name:?}"), hint)
}

/// Every name that something but a bore is told of.
fn names(options: &BushesOptions) -> Vec<&str> {
    fn of<T>(told: &[OfName<T>]) -> impl Iterator<Item = &str> {
        told.iter().filter_map(|it| it.name.as_deref())
    }
    let lengths = [&options.bush_outside, &options.interference, &options.housing];
    let materials = [&options.of, &options.into, &options.shaft_of];
    of(&options.shaft)
        .chain(of(&options.allowed))
        .chain(lengths.into_iter().flat_map(|told| of(told)))
        .chain(materials.into_iter().flat_map(|told| of(told)))
        .collect()
}

//! The question `bench clutch`: what to turn at the fingers, what the spring does, whether the pack is in order and holds.

use crate::bench::{
    self, ClutchQuestion, ClutchSetting, FingersQuestion, PlatesQuestion, SpringQuestion, SpringReading,
};
use crate::exact::to_float;
use crate::gearset::{ControlId, Gearset, Length};
use crate::requests::options::options;
use crate::requests::{AskedAbout, NoAnswer, Question, Refusal, sizes, titled, values};
use crate::statics::InputTorque;

options! {
    /// The options of `bench clutch`.
    pub struct ClutchOptions {
        /// The gap at every finger: 20.9,21.4,20.6
        finger: Option<TypedLengths> = lengths, "LENGTH,...";
        /// The gap that is wanted; all are brought to their mean where it is left out
        wanted: Option<Length> = values::length, "LENGTH";
        /// The pitch of the thread of the finger screws: 1.27 of 20 threads to an inch; without it no turns are told
        pitch: Option<Length> = values::length, "LENGTH";
        /// By how much the gap changes for each millimetre that a screw goes in; 1 where it is left out
        lever: Option<f64> = plain, "N";
        /// How far a gap may be off; 0.1 mm where it is left out
        within: Option<Length> = values::length, "LENGTH";
        /// The spring at two lengths, each with its force: 60=900,45=1800 (millimetres and newtons, or "2in=200lbf")
        spring: Option<[SpringReading; 2]> = spring, "LENGTH=FORCE,...";
        /// The length at which the spring works
        working: Option<Length> = values::length, "LENGTH";
        /// The thickness of its wire
        wire: Option<Length> = values::length, "LENGTH";
        /// The diameter of its coils in the middle of the wire
        coil: Option<Length> = values::length, "LENGTH";
        /// How many of its coils spring
        coils: Option<f64> = plain, "N";
        /// How many coils it has with those at its ends; two more than spring where it is left out
        all_coils: Option<f64> = plain, "N";
        /// How many times the force of the spring presses on the plates; 1 where nothing is between them. With it the spring
        /// counts in place of the force in the description
        spring_lever: Option<f64> = plain, "N" needs "working";
        /// The part of that which friction takes
        lost: Option<f64> = plain, "PART" needs "spring_lever";
        /// The kinds of the discs in their order: steel,lined,steel,lined; or a letter each: SLSLS
        pack: Option<TypedPack> = pack, "KIND,...";
        /// Which clutch of the description; the only one with plates where it is left out
        clutch: Option<String> = values::name, "NAME" [requires = "described"];
        /// The torque on the input that the plates have to hold: "80 N m" or "60 lb ft"
        torque: Option<InputTorque> = values::torque, "TORQUE" [requires = "described"];
    }
}

/// Lengths of a list, in millimetres.
#[derive(Debug, Clone)]
struct TypedLengths(Vec<f64>);

/// The kinds of discs in their order.
#[derive(Debug, Clone)]
struct TypedPack(Vec<String>);

fn lengths(text: &str) -> Result<TypedLengths, Refusal> {
    Ok(TypedLengths(sizes::lengths(text)?.iter().map(Length::millimetres).collect()))
}

fn plain(text: &str) -> Result<f64, Refusal> {
    values::number(text, "a number", "write a number, such as 1 or 4.5", &[]).map(|number| to_float(&number))
}

fn spring(text: &str) -> Result<[SpringReading; 2], Refusal> {
    let hint = "write two lengths, each with its force: --spring 60=900,45=1800, or \"2.4in=200lbf, 1.8in=400lbf\"";
    let not_one = || Refusal::new(format!("{text:?} is not a spring at two lengths"), hint);
    let sign = if text.contains(';') { ';' } else { ',' };
    let read = |reading: &str| {
        let (length, newtons) = values::name_and_value(reading).ok_or_else(not_one)?;
        Ok(SpringReading { mm: values::length(length)?.millimetres(), newtons: sizes::newtons(newtons)? })
    };
    let read: Vec<SpringReading> = text.split(sign).map(read).collect::<Result<_, Refusal>>()?;
    <[SpringReading; 2]>::try_from(read).map_err(|_| not_one())
}

fn pack(text: &str) -> Result<TypedPack, Refusal> {
    let discs = bench::discs_as_typed(text);
    if discs.is_empty() {
        let hint = "write their kinds in order: --pack steel,lined,steel";
        return Err(Refusal::new("no disc of the pack is named", hint));
    }
    Ok(TypedPack(discs))
}

impl Question for ClutchOptions {
    type Answer = ClutchSetting;

    fn ask(&self, about: &mut AskedAbout<'_>) -> Result<(Gearset, ClutchSetting), NoAnswer> {
        answer(self, about)
    }
}

fn answer(options: &ClutchOptions, about: &AskedAbout<'_>) -> Result<(Gearset, ClutchSetting), NoAnswer> {
    let source = about.gearset_or_job()?;
    let job = source.as_ref().and_then(|source| source.job.as_ref());
    let recorded = job.map(|job| job.clutch_question(options.clutch.as_deref())).transpose();
    let recorded = recorded.map_err(|reason| {
        Refusal::new(reason, "give them here, --finger and --wanted, or enter one gap: \"finger.1.wanted=20.64\"")
    })?;
    let recorded = recorded.unwrap_or_default();
    let described = source.as_ref().map(|source| &source.set);
    let question = ClutchQuestion {
        fingers: fingers(options, recorded.fingers)?,
        spring: spring_question(options, recorded.spring)?,
        pack: options.pack.as_ref().map(|pack| pack.0.clone()).unwrap_or(recorded.pack),
        plates: None,
    };
    // A job may be about the rest of its clutch alone.
    let of_job = job.and(Some(&question));
    let plates = described.map(|set| plates(set, options, of_job)).transpose()?.flatten();
    let found = bench::clutch(described, &ClutchQuestion { plates, ..question }).map_err(|reasons| {
        NoAnswer::Refused(reasons.iter().map(|reason| Refusal::new(reason, reason.hint())).collect())
    })?;
    let set = source.map_or_else(|| titled("The clutch"), |source| source.set);
    Ok((set, found))
}

/// The fingers as they are typed, or as a job has them; what is typed of them counts in either case.
fn fingers(options: &ClutchOptions, recorded: Option<FingersQuestion>) -> Result<Option<FingersQuestion>, Refusal> {
    let mm = |length: &Option<Length>| length.as_ref().map(Length::millimetres);
    let ClutchOptions { wanted, pitch, lever, within, .. } = options;
    let typed = options.finger.as_ref();
    let typed = typed.map(|gaps| FingersQuestion { gaps_mm: gaps.0.clone(), ..FingersQuestion::default() });
    let Some(fingers) = typed.or(recorded) else {
        let is_told = wanted.is_some() || pitch.is_some() || lever.is_some() || within.is_some();
        let hint = "add --finger 20.9,21.4,20.6, the gap at every finger";
        return if is_told { Err(Refusal::new("the gaps at the fingers are not given", hint)) } else { Ok(None) };
    };
    Ok(Some(FingersQuestion {
        wanted_mm: mm(wanted).or(fingers.wanted_mm),
        pitch_mm: mm(pitch),
        lever: *lever,
        within_mm: mm(within).or(fingers.within_mm),
        ..fingers
    }))
}

/// The spring as it is typed, or as a job has it.
fn spring_question(
    options: &ClutchOptions,
    recorded: Option<SpringQuestion>,
) -> Result<Option<SpringQuestion>, Refusal> {
    let mm = |length: &Option<Length>| length.as_ref().map(Length::millimetres);
    let ClutchOptions { working, wire, coil, coils, all_coils, spring_lever, lost, .. } = options;
    let readings = options.spring.or_else(|| recorded.map(|spring| spring.readings));
    let lengths = [working, wire, coil].map(mm);
    let Some(readings) = readings else {
        let is_told = lengths.iter().any(Option::is_some) || coils.is_some() || all_coils.is_some();
        let hint = "add --spring 60=900,45=1800, two lengths with the force at each; a job has them as spring.main and \
                    spring force.main with two values each";
        return if is_told { Err(Refusal::new("the spring is not given", hint)) } else { Ok(None) };
    };
    let [working_mm, wire_mm, coil_mm] = lengths;
    Ok(Some(SpringQuestion {
        readings,
        working_mm,
        wire_mm,
        coil_mm,
        coils: *coils,
        all_coils: *all_coils,
        lever: *spring_lever,
        lost: *lost,
    }))
}

/// The clutch that is named, or the only one with plates; none where there is none and enough else is told.
fn plates(
    set: &Gearset,
    options: &ClutchOptions,
    of_job: Option<&ClutchQuestion>,
) -> Result<Option<PlatesQuestion>, Refusal> {
    let is_told = of_job.is_some_and(|question| *question != ClutchQuestion::default());
    let with_plates: Vec<ControlId> =
        set.control_ids().filter(|&control| set.control(control).plate_sizes().is_some()).collect();
    let names: Vec<&str> = with_plates.iter().map(|&control| set.control(control).name()).collect();
    let control = match (&options.clutch, &with_plates[..]) {
        (_, []) if is_told && options.torque.is_none() => return Ok(None),
        (Some(name), _) => with_plates.iter().copied().find(|&control| set.control(control).name() == name),
        (None, &[only]) => Some(only),
        (None, []) if of_job.is_some() && options.torque.is_none() => {
            let hint = "enter what was read, toothmark job set FILE \"finger.1.left=20.9\", or \"pack.direct \
                        clutch.left=SLSLS\"; or give it here with --finger, --spring or --pack";
            return Err(Refusal::new("the job has no reading of fingers, a spring at two lengths or a pack", hint));
        }
        (None, []) => {
            return Err(Refusal::new(
                "the description has no clutch with sizes of its plates",
                "write them behind its members: Clutch(\"sun\", \"carrier\", (faces: 8, friction: \"0.1\", outer_radius: \
                 Millimetres(60), inner_radius: Millimetres(45), force: Newtons(1500)))",
            ));
        }
        (None, _) => {
            let hint = format!("add --clutch; the clutches are {}", names.join(", "));
            return Err(Refusal::new("it is not said which clutch is asked about", hint));
        }
    };
    let unknown = || Refusal::unknown("clutch", options.clutch.as_deref().unwrap_or_default(), &names);
    Ok(Some(PlatesQuestion { control: control.ok_or_else(unknown)?, torque: options.torque.clone() }))
}

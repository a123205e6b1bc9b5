//! The question `bench bands`: travel, lining and gap of bands, and whether they hold.

use crate::bench::{self, BandQuestion, BandSettings, BandsQuestion};
use crate::exact::{Fraction, fraction};
use crate::gearset::{Action, Angle, BandSizes, ControlId, Force, Gearset, Length};
use crate::requests::options::options;
use crate::requests::{AskedAbout, GearsetOrJob, NoAnswer, Question, Refusal, sizes, titled, values};
use crate::statics::InputTorque;

options! {
    /// The options of `bench bands`.
    pub struct BandsOptions {
        /// Only this band of the description
        band: Option<String> = values::name, "NAME" [requires = "described"];
        /// How far the band lies round its drum, in degrees
        wrap: Option<Fraction> = degrees, "DEGREES";
        /// The diameter of the drum
        drum: Option<Length> = values::length, "LENGTH";
        /// The thickness of the lining
        lining: Option<Length> = values::length, "LENGTH";
        /// The gap between lining and drum, released
        gap: Option<Length> = values::length, "LENGTH";
        /// How much thinner the lining gets; 0.1 mm where it is left out
        wear: Option<Length> = values::length, "LENGTH";
        /// What a dial on the drum shows over a turn
        run_out: Option<Length> = values::length, "LENGTH";
        /// The coefficient of friction
        friction: Option<Fraction> = friction, "N";
        /// The force on the end that is worked: "600 N", "130 lbf"
        pull: Option<Fraction> = pull, "FORCE";
        /// The torque on the input that the bands have to hold: "80 N m" or "60 lb ft"
        torque: Option<InputTorque> = values::torque, "TORQUE" [requires = "described"];
    }
}

fn degrees(text: &str) -> Result<Fraction, Refusal> {
    values::number(text, "a wrap", "write degrees, such as --wrap 330", &["°", "deg", "degree", "degrees"])
}

fn friction(text: &str) -> Result<Fraction, Refusal> {
    values::number(text, "a coefficient of friction", "write a number such as 0.12", &[])
}

fn pull(text: &str) -> Result<Fraction, Refusal> {
    let newtons = Fraction::from_float(sizes::newtons(text)?);
    newtons.ok_or_else(|| Refusal::new(format!("{text:?} is not a force"), "write a force such as \"600 N\""))
}

impl Question for BandsOptions {
    type Answer = BandSettings;

    fn ask(&self, about: &mut AskedAbout<'_>) -> Result<(Gearset, BandSettings), NoAnswer> {
        answer(self, about)
    }
}

fn answer(options: &BandsOptions, about: &AskedAbout<'_>) -> Result<(Gearset, BandSettings), NoAnswer> {
    let described = about.gearset_or_job()?;
    let mut question = if let Some(GearsetOrJob { set, job }) = &described {
        let only = options.band.as_deref().map(|name| band(set, name)).transpose()?;
        job.as_ref().map_or_else(|| BandsQuestion::of_gearset(set, only), |job| job.bands_question(only))
    } else {
        let band = BandQuestion { name: BandQuestion::WITHOUT_NAME.into(), ..BandQuestion::default() };
        BandsQuestion { bands: vec![band], torque: None }
    };
    question.torque.clone_from(&options.torque);
    for band in &mut question.bands {
        tell(options, band);
    }
    let described = described.map(|source| source.set);
    let found = bench::bands(described.as_ref(), &question).map_err(|reasons| {
        NoAnswer::Refused(reasons.iter().map(|reason| Refusal::new(reason, reason.hint())).collect())
    })?;
    let set = described.unwrap_or_else(|| titled("The band"));
    Ok((set, found))
}

/// What the options say of a band, which wins over what a file says of it.
fn tell(options: &BandsOptions, band: &mut BandQuestion) {
    let mm = |length: &Option<Length>| length.as_ref().map(Length::millimetres);
    let BandSizes { wrap, radius, friction, pull, .. } = &mut band.sizes;
    if let Some(typed) = &options.wrap {
        *wrap = Some(Angle::Degrees(typed.clone()).into());
    }
    if let Some(drum) = &options.drum {
        *radius = Some(Length::Millimetres(drum.exact_millimetres() / fraction(2, 1)).into());
    }
    if let Some(typed) = &options.friction {
        *friction = Some(typed.clone().into());
    }
    if let Some(newtons) = &options.pull {
        *pull = Some(Force::Newtons(newtons.clone()).into());
    }
    // What is typed now was measured after what the record of a job says.
    band.lining_mm = mm(&options.lining).or(band.lining_mm);
    band.gap_mm = mm(&options.gap).or(band.gap_mm);
    band.wear_mm = mm(&options.wear).or(band.wear_mm);
    band.run_out_mm = mm(&options.run_out).or(band.run_out_mm);
}

/// The band of this name.
fn band(set: &Gearset, name: &str) -> Result<ControlId, Refusal> {
    let bands = || set.control_ids().filter(|&control| matches!(set.control(control).action(), Action::Band(_)));
    let known: Vec<&str> = bands().map(|control| set.control(control).name()).collect();
    bands().find(|&control| set.control(control).name() == name).ok_or_else(|| Refusal::unknown("band", name, &known))
}

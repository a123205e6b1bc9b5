//! What does the bench ask about the readings of a job?
//!
//! Every question of the bench can be built in code; here it is built of what was read last, so that the record and the
//! commands of the bench give one answer.

use super::last_read::LastRead;
use super::pins::pins;
use super::read::Job;
use super::subject::ReadingSubject;
use super::value::JobValue;
use crate::bench::MeasuredGap;
use crate::bench::{
    BandQuestion, BandsQuestion, BushQuestion, BushesQuestion, ExactReading, FloatGap, MeasuredDiameter,
};
use crate::exact::{Fraction, to_float};
use crate::gearset::{Action, ControlId, Length, Spanned};

impl Job {
    /// Every bush of which bore and shaft were read; what the description knows of it, and the clearance that is wanted
    /// here, belong to it.
    ///
    /// # Examples
    /// ```
    /// use toothmark::{bench::bush_fits, description, job::{self, JobEntry}};
    /// let set = description::read(description::example("inspection-railcar").unwrap()).unwrap();
    /// let read = ["bush.pin 2.left=16.02", "shaft.pin 2.left=15.98"].map(|typed| JobEntry::typed(typed).unwrap());
    /// let job = job::read(&job::enter(&job::write(&job::blank(&set)), &read, None).unwrap()).unwrap();
    /// let fits = bush_fits(&job.bushes_question()).unwrap();
    /// assert!((fits.bushes[0].clearance_mm[0] - 0.04).abs() < 1e-9);
    /// ```
    pub fn bushes_question(&self) -> BushesQuestion {
        let described = BushesQuestion::of_gearset(self.gearset()).bushes;
        let bushes = self.readings().filter(|(subject, _, _)| *subject == ReadingSubject::Bush);
        let bushes = bushes.filter_map(|(_, of, _)| self.bush_question(of, self.described(&described, of)));
        BushesQuestion { bushes: bushes.collect(), ..BushesQuestion::default() }
    }

    fn bush_question(&self, of: &str, described: Option<&BushQuestion>) -> Option<BushQuestion> {
        let bore = self.reading(ReadingSubject::Bush, of)?;
        let shaft = self.reading(ReadingSubject::Shaft, of)?;
        let within = [&bore.within, &shaft.within].into_iter().flatten().map(|within| within.millimetres());
        let wanted = self.reading(ReadingSubject::Clearance, of).map(|reading| &reading.wanted[..]);
        let allowed = match wanted {
            Some([least, most]) => Some([size(least)?, size(most)?]),
            Some(_) | None => described.and_then(|bush| bush.allowed_mm),
        };
        Some(BushQuestion {
            name: of.to_owned(),
            bore: measured(&LastRead::of(bore)?),
            shaft: measured(&LastRead::of(shaft)?),
            allowed_mm: allowed,
            pressed: described.and_then(|bush| bush.pressed),
            within_mm: within.reduce(f64::max),
            ..BushQuestion::default()
        })
    }

    /// The bush of the description that a bearing of the job is: that of the same name, or of a pin that of its planet.
    fn described<'a>(&self, bushes: &'a [BushQuestion], of: &str) -> Option<&'a BushQuestion> {
        let set = self.gearset();
        let planet = pins(set).into_iter().find(|pin| pin.name == of).map(|pin| pin.planet);
        let of_planet = planet.and_then(|planet| {
            let [planet, carrier] = [planet, set.carrier_of(planet)?].map(|member| set.member(member).name());
            Some([format!("{planet} on {carrier}"), format!("{carrier} on {planet}")])
        });
        bushes.iter().find(|bush| bush.name == of || of_planet.as_ref().is_some_and(|names| names.contains(&bush.name)))
    }

    /// Every end float that was read and of which the least and the most are told, as a gap for washers: by `wanted`, or
    /// else by the record.
    pub fn float_gaps(&self, wanted: impl Fn(&str) -> Option<[Length; 2]>) -> Vec<FloatGap> {
        let floats = self.readings().filter(|(subject, _, _)| *subject == ReadingSubject::Float);
        let gap = |(_, of, reading): (_, &str, &super::draft::DraftJobReading)| {
            let recorded = || match &reading.wanted[..] {
                [least, most] => Some([(**least).clone().into_length()?, (**most).clone().into_length()?]),
                _ => None,
            };
            let wanted = wanted(of).or_else(recorded)?;
            let last = LastRead::of(reading)?;
            let float = (*last.values.first()?).clone().into_length()?;
            let within = reading.within.as_ref().map(|within| (**within).clone());
            Some(FloatGap {
                name: Some(of.to_owned()),
                measured: MeasuredGap::Float(ExactReading { length: float, within }),
                wanted,
                best: None,
            })
        };
        floats.filter_map(gap).collect()
    }

    /// The bands of the description, with gap, lining and the run-out of the drum as they were read last; only one of
    /// them where it is named.
    pub fn bands_question(&self, only: Option<ControlId>) -> BandsQuestion {
        let mut question = BandsQuestion::of_gearset(self.gearset(), only);
        for band in &mut question.bands {
            self.read_band(band);
        }
        question
    }

    fn read_band(&self, band: &mut BandQuestion) {
        let last = |subject, of: &str| largest(&LastRead::of(self.reading(subject, of)?)?);
        band.gap_mm = last(ReadingSubject::Band, &band.name);
        band.lining_mm = last(ReadingSubject::Lining, &band.name);
        let drum = band.control.and_then(|control| match self.gearset().control(control).action() {
            Action::Band(drum) => Some(self.gearset().member(drum).name()),
            Action::Clutch(_) | Action::OneWayClutch(..) => None,
        });
        band.run_out_mm = drum.and_then(|drum| last(ReadingSubject::RunOut, drum));
    }
}

fn measured(read: &LastRead<'_>) -> Vec<MeasuredDiameter> {
    read.sizes().iter().map(|size| MeasuredDiameter { mm: to_float(size), across_mm: None }).collect()
}

fn size(value: &Spanned<JobValue>) -> Option<f64> {
    value.size().as_ref().map(to_float)
}

/// The largest size that was read.
fn largest(read: &LastRead<'_>) -> Option<f64> {
    let largest: Option<Fraction> = read.sizes().into_iter().max();
    largest.as_ref().map(to_float)
}

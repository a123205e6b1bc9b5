//! What does the bench ask about the fingers, the spring and the pack of a clutch, as a job has them?

use super::draft::DraftJobReading;
use super::last_read::LastRead;
use super::read::Job;
use super::subject::ReadingSubject;
use super::value::JobValue;
use crate::bench::{ClutchQuestion, FingersQuestion, SpringQuestion, SpringReading, discs_as_typed};
use crate::exact::{Fraction, to_float};

/// The fingers of a job are wanted at gaps that differ, which no clutch is set to.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("the fingers of the job are wanted at gaps that differ")]
pub struct FingersWantedApart;

impl Job {
    /// Everything that was read last of a clutch: the gaps at all fingers; the spring, where it was read at two lengths with
    /// its force at each; the pack, where there is one, or that of the clutch that is named.
    ///
    /// # Errors
    /// [`FingersWantedApart`] where fingers do not have one gap that is wanted of them.
    ///
    /// # Examples
    /// ```
    /// use toothmark::{bench::clutch, description, job::{self, JobEntry}};
    /// let set = description::read(description::example("inspection-railcar").unwrap()).unwrap();
    /// let read = ["finger.1.wanted=20.64", "finger.1.left=20.9", "finger.2.wanted=20.64", "finger.2.left=20.6"];
    /// let read = read.map(|typed| JobEntry::typed(typed).unwrap());
    /// let job = job::read(&job::enter(&job::write(&job::blank(&set)), &read, None).unwrap()).unwrap();
    /// let set = clutch(None, &job.clutch_question(None).unwrap()).unwrap();
    /// let within: Vec<bool> = set.fingers.unwrap().fingers.iter().map(|finger| finger.within).collect();
    /// assert_eq!(within, [false, true]);
    /// ```
    pub fn clutch_question(&self, clutch: Option<&str>) -> Result<ClutchQuestion, FingersWantedApart> {
        Ok(ClutchQuestion {
            fingers: self.all_fingers()?,
            spring: self.spring_question(),
            pack: self.pack_question(clutch),
            plates: None,
        })
    }

    /// One finger, as it is judged by itself.
    pub(super) fn finger_question(&self, of: &str) -> Option<FingersQuestion> {
        let reading = self.reading(ReadingSubject::Finger, of)?;
        let gaps: Vec<f64> = LastRead::of(reading)?.sizes().iter().map(to_float).collect();
        let (wanted_mm, within_mm) = wanted(reading);
        let farthest = |a: &f64, b: &f64| {
            let off = |gap: f64| wanted_mm.map_or(gap, |wanted| (gap - wanted).abs());
            off(*a).total_cmp(&off(*b))
        };
        // Of several readings the worst counts.
        let gaps_mm = vec![gaps.into_iter().max_by(farthest)?];
        Some(FingersQuestion {
            gaps_mm,
            names: vec![of.to_owned()],
            wanted_mm,
            within_mm,
            ..FingersQuestion::default()
        })
    }

    fn all_fingers(&self) -> Result<Option<FingersQuestion>, FingersWantedApart> {
        let fingers = self.readings().filter(|(subject, _, _)| *subject == ReadingSubject::Finger);
        let fingers = fingers.filter_map(|(_, of, _)| self.finger_question(of));
        let mut all: Option<FingersQuestion> = None;
        for finger in fingers {
            let Some(so_far) = &mut all else {
                all = Some(finger);
                continue;
            };
            if (so_far.wanted_mm, so_far.within_mm) != (finger.wanted_mm, finger.within_mm) {
                return Err(FingersWantedApart);
            }
            so_far.gaps_mm.extend(finger.gaps_mm);
            so_far.names.extend(finger.names);
        }
        Ok(all)
    }

    /// The first spring that was read at two lengths at least, with a force at each; of more the longest and the shortest.
    fn spring_question(&self) -> Option<SpringQuestion> {
        let springs = self.readings().filter(|(subject, _, _)| *subject == ReadingSubject::Spring);
        springs.into_iter().find_map(|(_, of, lengths)| {
            let lengths = LastRead::of(lengths)?.sizes();
            let forces = LastRead::of(self.reading(ReadingSubject::SpringForce, of)?)?.sizes();
            let mut readings: Vec<(Fraction, Fraction)> = lengths.iter().cloned().zip(forces.iter().cloned()).collect();
            if lengths.len() != forces.len() || readings.len() < 2 {
                return None;
            }
            readings.sort();
            let [shortest, .., longest] = &readings[..] else { return None };
            let reading = |(length, force): &(Fraction, Fraction)| SpringReading {
                mm: to_float(length),
                newtons: to_float(force),
            };
            Some(SpringQuestion { readings: [reading(longest), reading(shortest)], ..SpringQuestion::default() })
        })
    }

    /// The discs of the pack that was read last, of a clutch or of the first.
    pub(super) fn pack_question(&self, clutch: Option<&str>) -> Vec<String> {
        let packs = self
            .readings()
            .filter(|(subject, of, _)| *subject == ReadingSubject::Pack && clutch.is_none_or(|clutch| clutch == *of));
        let words = packs.filter_map(|(_, _, reading)| match LastRead::of(reading)?.values[..] {
            [JobValue::Words(words), ..] => Some(words),
            _ => None,
        });
        words.map(|words| discs_as_typed(words)).next().unwrap_or_default()
    }
}

/// The gap that is wanted and how far it may be off: half a range, or as far as is told.
fn wanted(reading: &DraftJobReading) -> (Option<f64>, Option<f64>) {
    let sizes: Vec<f64> = reading.wanted.iter().filter_map(|value| value.size()).map(|size| to_float(&size)).collect();
    match sizes[..] {
        [least, most] if least < most => (Some(f64::midpoint(least, most)), Some((most - least) / 2.0)),
        [wanted, ..] => (Some(wanted), reading.within.as_ref().map(|within| within.millimetres())),
        [] => (None, None),
    }
}

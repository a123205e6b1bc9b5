//! The question `job`: what the record of a job says.

use super::options::options;
use super::{AskedAbout, NoAnswer, Question};
use crate::description;
use crate::gearset::Gearset;
use crate::job::{JobVerdict, judge, read};

options! {
    /// The options of `job`, which has none.
    pub struct JobOptions {}
}

impl Question for JobOptions {
    type Answer = JobVerdict;

    fn ask(&self, about: &mut AskedAbout<'_>) -> Result<(Gearset, JobVerdict), NoAnswer> {
        let text = about.text().ok_or_else(|| {
            let hint = "give the text of its record; toothmark job new begins one";
            NoAnswer::new("it is not said which job is asked about", hint)
        })?;
        match read(text) {
            Ok(job) => Ok((job.gearset().clone(), judge(&job))),
            Err(_) if description::read(text).is_ok() => {
                let hint = "begin a job about it: toothmark job new";
                Err(NoAnswer::new("a gearset is described, which is no job", hint))
            }
            Err(faults) => Err(faults.into()),
        }
    }
}

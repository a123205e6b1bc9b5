//! The record of a job: what was wanted, found and left, in one file from stripping to signing off.
//!
//! A [`Job`] is a description of the gearset with readings beside it. Every reading has a path, its subject and what it
//! was taken of, as `bush.pin 2` or `backlash.D with d`, and the same columns: wanted, found, left, with its
//! instrument, what that is good to, dates and reasons. What a reading is good for is told once, in [`ReadingSubject`].
//! [`judge`] says what must not be closed yet, what is missing and what is good; [`enter`] writes a reading into the
//! text of a file and leaves everything else in it as it stands.

mod balance_question;
mod blank;
mod clutch_question;
mod difference;
mod draft;
mod enter;
mod entry;
mod group_marks;
mod judge;
mod last_read;
mod pins;
mod questions;
mod read;
mod subject;
mod value;

pub use balance_question::RecordedBalance;
pub use blank::blank;
pub use clutch_question::FingersWantedApart;
pub use difference::{JobDifference, ReadingChange, difference};
pub use draft::{DraftEarlier, DraftJob, DraftJobReading, JOB_VERSION, ReadingColumn};
pub use enter::enter;
pub use entry::{CannotEnter, JobEntry};
pub use judge::{FindingWeight, JobFinding, JobVerdict, judge};
pub use pins::pin_name;
pub use read::{Job, is_job, read, read_bytes, reference, write};
pub use subject::{ReadingSubject, SubjectOf};
pub use value::{JobValue, ValueKind, side_by_side};

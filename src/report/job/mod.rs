//! The answer to "what does the record of this job say?".
//!
//! First whether the unit may be closed, and how much keeps it open; then every finding, the weightiest first. Two jobs
//! of one unit side by side have an answer of their own.

mod difference;

use crate::gearset::Gearset;
use crate::inspection::RemarkKind;
use crate::job::{FindingWeight, JobFinding, JobVerdict, ReadingSubject};
use crate::report::answer::{Answer, Outcome};
use crate::report::render::document::{Block, Records, Table};
use crate::report::render::escape::csv_name;
use crate::report::words::{counted, key};

/// The most findings that are listed on a screen.
const MOST_FINDINGS: usize = 10;

impl Answer for JobVerdict {
    fn title(&self, _: &Gearset) -> String {
        let named = [&self.machine, &self.unit].into_iter().flatten().map(String::as_str);
        let mut told: Vec<&str> = named.collect();
        if told.is_empty() {
            told.push(&self.gearset);
        }
        told.extend([&self.date, &self.by].into_iter().flatten().map(String::as_str));
        format!("Job: {}", told.join(", "))
    }

    fn summary(&self, _: &Gearset) -> Vec<Block> {
        let open = open_findings(self);
        let table = (!open.rows.is_empty()).then(|| Block::Table(open.beginning(MOST_FINDINGS)));
        let foot = Block::Note("this is about fit and what was read, not about strength".into());
        [Block::Statements(statements(self))].into_iter().chain(table).chain(not_read(self)).chain([foot]).collect()
    }

    fn details(&self, _: &Gearset) -> Vec<Block> {
        let settled = self.findings.iter().filter(|finding| finding.weight >= FindingWeight::Noted);
        let open = open_findings(self).rest(MOST_FINDINGS);
        let settled = Table::new("What is noted and good", &HEADINGS, settled.map(row).collect());
        let settled = (!settled.rows.is_empty()).then_some(settled);
        open.into_iter().chain(settled).map(Block::Table).collect()
    }

    fn in_details(&self, _: &Gearset) -> Option<&'static str> {
        Some("what is noted and good, with its reason")
    }

    fn is_touched_by(&self, remark: RemarkKind) -> bool {
        remark == RemarkKind::DoesNotAssemble
    }

    fn records(&self, _: &Gearset) -> Records {
        let row = |finding: &JobFinding| {
            let [about, says, because] = [&finding.about, &finding.says, &finding.because].map(|text| csv_name(text));
            vec![key(&finding.weight), about, says, because]
        };
        Records { fields: vec!["weight", "about", "says", "because"], rows: self.findings.iter().map(row).collect() }
    }

    fn outcome(&self) -> Outcome {
        self.ready.into()
    }
}

const HEADINGS: [&str; 4] = ["", "about", "says", "because"];

/// What was read and is wrong or not decided.
fn open_findings(verdict: &JobVerdict) -> Table {
    let open = verdict.findings.iter().filter(|finding| finding.weight < FindingWeight::Noted && !finding.not_read);
    Table::new("What keeps it open", &HEADINGS, open.map(row).collect())
}

fn row(finding: &JobFinding) -> Vec<String> {
    vec![key(&finding.weight), finding.about.clone(), finding.says.clone(), finding.because.clone()]
}

/// What nobody has read yet, a row for each subject.
fn not_read(verdict: &JobVerdict) -> Option<Block> {
    let gaps = verdict.findings.iter().filter(|finding| finding.not_read);
    let gaps: Vec<(ReadingSubject, &str)> = gaps.filter_map(|gap| ReadingSubject::of_path(&gap.about)).collect();
    let row = |subject: ReadingSubject| {
        let of: Vec<&str> = gaps.iter().filter(|(own, _)| *own == subject).map(|(_, of)| *of).collect();
        (!of.is_empty()).then(|| vec![format!("{} ({})", subject.phrase(), subject.word()), of.join(", ")])
    };
    let rows: Vec<Vec<String>> = ReadingSubject::ALL.into_iter().filter_map(row).collect();
    (!rows.is_empty()).then(|| Block::table("Not read yet", &["what", "of"], rows))
}

fn statements(verdict: &JobVerdict) -> Vec<String> {
    let [stop, missing, noted, good] =
        [FindingWeight::DoNotClose, FindingWeight::Missing, FindingWeight::Noted, FindingWeight::Good]
            .map(|weight| verdict.count(weight));
    let first = match (stop, missing) {
        (0, 0) => "Nothing in the record keeps this unit open: it can be closed and signed off.".to_owned(),
        (0, _) => format!("Do not sign off yet: {} not known.", what_is(missing, "thing")),
        (_, 0) => format!("Do not close it: {} wrong.", what_is(stop, "thing")),
        _ => format!("Do not close it: {} wrong, {} not known.", what_is(stop, "thing"), what_is(missing, "more")),
    };
    let not_judged = verdict.findings.iter().filter(|finding| finding.not_judged).count();
    let unknown = (not_judged > 0).then(|| {
        format!(
            "Beware: {} not judged, as nothing is wanted of it: enter what the maker's book says.",
            what_is(not_judged, "reading")
        )
    });
    let rest = (good + noted > 0).then(|| format!("{} good, {} noted.", counted(good, "finding"), noted));
    let next = (stop + missing > 0).then(|| {
        "Enter a reading with toothmark job set FILE \"bush.pin 2.left=16.02\"; what cannot be read gets a reason: \
         \"bush.pin 2.because=pressed in by the maker\"."
            .to_owned()
    });
    [first].into_iter().chain(unknown).chain(rest).chain(next).collect()
}

/// `1 thing is`, `3 things are`.
fn what_is(count: usize, thing: &str) -> String {
    match (count, thing) {
        (1, "more") => "1 more is".to_owned(),
        (_, "more") => format!("{count} more are"),
        (1, _) => format!("1 {thing} is"),
        _ => format!("{count} {thing}s are"),
    }
}

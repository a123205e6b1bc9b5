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
use crate::report::timing::{CAUTION_OF_DUST, CAUTION_OF_SPRINGS};
use crate::report::words::{counted, key};

/// The most findings that are listed on a screen.
const MOST_FINDINGS: usize = 7;

/// So many of what is not known are among them, however much is wrong.
const LEAST_UNKNOWN: usize = 2;

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
        let said = statements(self).into_iter().chain(how_to_enter(self)).collect();
        let mut blocks = vec![Block::Statements(said)];
        let open = open_findings(self).map(|(table, most)| table.beginning(most));
        blocks.extend(open.into_iter().filter(|table| !table.rows.is_empty()).map(Block::Table));
        blocks.extend(not_read(self));
        blocks.extend(cautions(self));
        blocks.push(Block::Note("this is about fit and what was read, not about strength".into()));
        blocks
    }

    fn details(&self, _: &Gearset) -> Vec<Block> {
        let open = open_findings(self).into_iter().filter_map(|(table, most)| table.rest(most));
        open.map(Block::Table).chain(settled_findings(self)).collect()
    }

    fn in_details(&self, _: &Gearset) -> Option<&'static str> {
        let is_settled = |finding: &JobFinding| finding.weight >= FindingWeight::Noted;
        let is_cut = open_findings(self).iter().any(|(table, most)| table.rows.len() > *most);
        match (is_cut, self.findings.iter().any(is_settled)) {
            (true, _) => Some("every finding, what is noted and good as well"),
            (false, true) => Some("what is noted and good, with its reason"),
            (false, false) => None,
        }
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

/// What the record says on a sheet of paper, where nothing can be entered and whose cautions stand where they are met.
pub(in crate::report) fn on_paper(verdict: &JobVerdict) -> Vec<Block> {
    let mut blocks = vec![Block::Statements(statements(verdict))];
    let open = open_findings(verdict).map(|(table, _)| table);
    blocks.extend(open.into_iter().filter(|table| !table.rows.is_empty()).map(Block::Table));
    blocks.extend(not_read(verdict));
    blocks.extend(settled_findings(verdict));
    blocks
}

/// What was read and is wrong, and what is not decided, each with how much of it finds room on a screen.
fn open_findings(verdict: &JobVerdict) -> [(Table, usize); 2] {
    let wrong = findings(verdict, FindingWeight::DoNotClose, "What is wrong");
    let unknown = findings(verdict, FindingWeight::Missing, "What is not known");
    let room = MOST_FINDINGS.saturating_sub(wrong.rows.len()).max(LEAST_UNKNOWN);
    let most_wrong = MOST_FINDINGS - unknown.rows.len().min(LEAST_UNKNOWN);
    [(wrong, most_wrong), (unknown, room)]
}

/// What keeps nothing open.
fn settled_findings(verdict: &JobVerdict) -> Vec<Block> {
    let told = [(FindingWeight::Noted, "What is noted"), (FindingWeight::Good, "What is good")];
    let tables = told.map(|(weight, caption)| findings(verdict, weight, caption));
    tables.into_iter().filter(|table| !table.rows.is_empty()).map(Block::Table).collect()
}

/// The findings of a weight; what nobody read has a table of its own.
fn findings(verdict: &JobVerdict, weight: FindingWeight, caption: &str) -> Table {
    let own = verdict.findings.iter().filter(|finding| finding.weight == weight && !finding.not_read);
    let row = |finding: &JobFinding| vec![finding.about.clone(), finding.says.clone(), finding.because.clone()];
    Table::new(caption, &["reading", "as it is", "because"], own.map(row).collect())
}

/// What to beware of at what is still to be done.
fn cautions(verdict: &JobVerdict) -> impl Iterator<Item = Block> {
    let open = verdict.findings.iter().filter(|finding| finding.weight < FindingWeight::Noted);
    let open: Vec<ReadingSubject> =
        open.filter_map(|finding| ReadingSubject::of_path(&finding.about)).map(|(subject, _)| subject).collect();
    let told = [
        (CAUTION_OF_DUST, &[ReadingSubject::Band, ReadingSubject::Lining, ReadingSubject::Pack][..]),
        (CAUTION_OF_SPRINGS, &[ReadingSubject::Finger, ReadingSubject::Spring, ReadingSubject::SpringForce]),
    ];
    let met = told.into_iter().filter(move |(_, at)| at.iter().any(|subject| open.contains(subject)));
    met.map(|(caution, _)| Block::Note(caution.into()))
}

/// What nobody has read yet, a row for each subject.
fn not_read(verdict: &JobVerdict) -> Option<Block> {
    let gaps = verdict.findings.iter().filter(|finding| finding.not_read);
    let gaps: Vec<(ReadingSubject, &str)> = gaps.filter_map(|gap| ReadingSubject::of_path(&gap.about)).collect();
    let row = |subject: ReadingSubject| {
        let of: Vec<&str> = gaps.iter().filter(|(own, _)| *own == subject).map(|(_, of)| *of).collect();
        let (word, phrase) = (subject.word(), subject.phrase());
        let what =
            if phrase.trim_start_matches("the ") == word { word.to_owned() } else { format!("{word}: {phrase}") };
        (!of.is_empty()).then(|| vec![what, of.join(", ")])
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
    let noted = if noted > 0 { format!(", {noted} noted") } else { String::new() };
    let settled = (good > 0 || !noted.is_empty()).then(|| format!("{} good{noted}.", counted(good, "finding")));
    [first].into_iter().chain(not_judged(verdict)).chain(settled).collect()
}

/// What was read, and nobody can tell whether it is good.
fn not_judged(verdict: &JobVerdict) -> Option<String> {
    /// So many are told by name.
    const MOST: usize = 3;
    let about = verdict.findings.iter().filter(|finding| finding.not_judged).map(|finding| finding.about.as_str());
    let about: Vec<&str> = about.collect();
    let more = about.len().checked_sub(MOST).filter(|more| *more > 0).map(|more| format!(" and {more} more"));
    let named = about.iter().take(MOST).copied().collect::<Vec<_>>().join(", ");
    (!about.is_empty())
        .then(|| format!("Beware, not judged: {named}{}. Enter what the maker's book says.", more.unwrap_or_default()))
}

/// How what keeps a unit open is entered.
fn how_to_enter(verdict: &JobVerdict) -> Option<String> {
    if verdict.ready {
        return None;
    }
    let again = verdict.findings.iter().flat_map(|finding| &finding.read_again).next();
    let as_found = again.map(|path| format!("; what was not touched: \"{path}.left=as found\"")).unwrap_or_default();
    Some(format!(
        "Enter a reading with toothmark job set FILE \"bush.pin 2.left=16.02\"{as_found}; what cannot be read gets a \
         reason: \"bush.pin 2.because=pressed in by the maker\"."
    ))
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

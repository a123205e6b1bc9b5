//! Every change of one gear and of two, and which of them explain something.
//!
//! Only evidence that depends on a changed gear has to be asked again. Of a pair that shares no evidence each change says the
//! same as alone; of one that does, only what is shared is asked, and no longer than the pair can still explain more than
//! either change. Nothing else is left out, and a slow twin in the tests leaves nothing out at all.

use std::cmp::Reverse;
use std::collections::BTreeSet;

use super::evidence::{Evidence, Witness, Witnesses};
use super::{MOST_EXPLANATIONS, MOST_MISCOUNTED, Miscount};
use crate::gearset::{GearId, Gearset, Recount, Recounting, ToothCount};

/// Steps of work after which no further change is tried.
const MOST_WORK: u64 = 1_000_000;

/// What was found.
pub(super) struct Explanations {
    /// The first of them, in order.
    pub(super) listed: Vec<Miscount>,
    /// How many there are.
    pub(super) count: usize,
    pub(super) all_tried: bool,
}

/// Where there is nothing to explain.
pub(super) fn none() -> Explanations {
    Explanations { listed: Vec::new(), count: 0, all_tried: true }
}

pub(super) fn explanations(set: &Gearset, witnesses: &Witnesses, evidence: &[Evidence]) -> Explanations {
    let mut search = Search::new(set, witnesses, evidence);
    let singles = search.singles();
    search.pairs(&singles);
    let Search { mut found, all_tried, .. } = search;
    found.sort_by_cached_key(Tried::rank);
    let count = found.len();
    let listed = found.into_iter().take(MOST_EXPLANATIONS).map(|found| found.miscount(witnesses, evidence)).collect();
    Explanations { listed, count, all_tried }
}

/// Counts that were tried, with what the evidence that depends on them says.
#[derive(Clone)]
struct Tried {
    recounts: Vec<Recount>,
    /// By how many teeth in all.
    teeth: u16,
    /// For each witness that was asked again, in rising order.
    said: Vec<(usize, Option<bool>)>,
    /// How much evidence disagrees in all.
    against: usize,
    /// How much agrees.
    agreeing: usize,
}

impl Tried {
    /// The order of explanations: the first explains best.
    fn rank(&self) -> (usize, usize, Reverse<usize>, u16, Vec<(GearId, ToothCount)>) {
        let gears = self.recounts.iter().map(|recount| (recount.gear, recount.count)).collect();
        (self.recounts.len(), self.against, Reverse(self.agreeing), self.teeth, gears)
    }

    fn says(&self, witness: usize) -> Option<bool> {
        self.said.binary_search_by_key(&witness, |(asked, _)| *asked).ok().and_then(|at| self.said[at].1)
    }

    fn miscount(&self, witnesses: &Witnesses, evidence: &[Evidence]) -> Miscount {
        let asked: BTreeSet<usize> = self.said.iter().map(|(witness, _)| *witness).collect();
        let says = |at: usize| if asked.contains(&at) { self.says(at) } else { evidence[at].agrees };
        let texts = |wanted: bool| {
            let with = witnesses.0.iter().enumerate().filter(|(at, _)| says(*at) == Some(wanted));
            with.map(|(_, witness)| witness.text.clone()).collect()
        };
        Miscount {
            changes: self.recounts.iter().map(|recount| (recount.gear, recount.count.get())).collect(),
            agrees_with: texts(true),
            disagrees_with: texts(false),
        }
    }
}

/// The search under way.
struct Search<'a> {
    recounting: Recounting,
    witnesses: &'a [Witness],
    evidence: &'a [Evidence],
    /// For each gear the witnesses that depend on it, in rising order.
    concerned: Vec<Vec<usize>>,
    /// How much evidence disagrees with the counts as they are.
    against: usize,
    agreeing: usize,
    work_left: u64,
    all_tried: bool,
    found: Vec<Tried>,
}

impl<'a> Search<'a> {
    fn new(set: &Gearset, witnesses: &'a Witnesses, evidence: &'a [Evidence]) -> Self {
        let mut concerned = vec![Vec::new(); set.gears().len()];
        for (at, witness) in witnesses.0.iter().enumerate() {
            witness.gears.iter().for_each(|gear| concerned[gear.index()].push(at));
        }
        let saying = |what: bool| evidence.iter().filter(|evidence| evidence.agrees == Some(what)).count();
        Self {
            recounting: Recounting::new(set),
            witnesses: &witnesses.0,
            evidence,
            concerned,
            against: saying(false),
            agreeing: saying(true),
            work_left: MOST_WORK,
            all_tried: true,
            found: Vec::new(),
        }
    }

    /// Takes so much work from what is left; false, for good, where there is not so much.
    fn may_take(&mut self, work: u64) -> bool {
        self.all_tried = self.all_tried && self.work_left >= work;
        self.work_left = if self.all_tried { self.work_left - work } else { 0 };
        self.all_tried
    }

    /// Every change of one gear that could help, alone or in a pair, whether it explains anything or not: of those that
    /// evidence which disagrees depends on, then of those that share evidence with them.
    fn singles(&mut self) -> Vec<Tried> {
        let mut singles = Vec::new();
        let disagreeing = self.disagreeing();
        let sharing: BTreeSet<GearId> = disagreeing.iter().flat_map(|&gear| self.sharing(gear)).collect();
        for &gear in disagreeing.iter().chain(sharing.difference(&disagreeing)) {
            for count in counts_near(self.recounting.set(), gear) {
                let asked = self.concerned[gear.index()].clone();
                if asked.is_empty() || !self.may_take(self.work_of(&asked)) {
                    break;
                }
                singles.extend(self.try_single(Recount { gear, count }, &asked));
            }
        }
        let explaining = singles.iter().filter(|tried| tried.against < self.against).cloned();
        self.found.extend(explaining.collect::<Vec<_>>());
        singles
    }

    /// The gears that evidence which disagrees depends on.
    fn disagreeing(&self) -> BTreeSet<GearId> {
        let said = self.witnesses.iter().zip(self.evidence);
        let against = said.filter(|(_, evidence)| evidence.agrees == Some(false));
        against.flat_map(|(witness, _)| witness.gears.iter().copied()).collect()
    }

    /// The gears that some evidence depends on together with this one, itself among them.
    fn sharing(&self, gear: GearId) -> impl Iterator<Item = GearId> {
        self.concerned[gear.index()].iter().flat_map(|&at| &self.witnesses[at].gears).copied()
    }

    fn work_of(&self, asked: &[usize]) -> u64 {
        asked.iter().map(|&witness| self.witnesses[witness].work).fold(1, u64::saturating_add)
    }

    fn try_single(&mut self, recount: Recount, asked: &[usize]) -> Option<Tried> {
        let teeth = self.recounting.set().gear(recount.gear).tooth_count().get().abs_diff(recount.count.get());
        let witnesses = self.witnesses;
        let said = self.recounting.with(&[recount], |set| {
            asked.iter().map(|&witness| (witness, witnesses[witness].agrees(set))).collect::<Vec<_>>()
        })?;
        Some(self.tried(vec![recount], teeth, said))
    }

    /// What these answers, in place of those to the counts as they are, come to.
    fn tried(&self, recounts: Vec<Recount>, teeth: u16, said: Vec<(usize, Option<bool>)>) -> Tried {
        // all = as they are - what was asked again + what is said now
        let total = |of_all: usize, what: bool| {
            let before = said.iter().filter(|(at, _)| self.evidence[*at].agrees == Some(what)).count();
            of_all - before + said.iter().filter(|(_, said)| *said == Some(what)).count()
        };
        let (against, agreeing) = (total(self.against, false), total(self.agreeing, true));
        Tried { recounts, teeth, said, against, agreeing }
    }

    /// Every pair of changes that explains more than either of them and than the counts as they are.
    ///
    /// Evidence that disagrees has to be put right, so one of the two changes touches some; the other touches some as
    /// well, or shares a witness with the first.
    fn pairs(&mut self, singles: &[Tried]) {
        let of_gear = by_gear(singles, self.concerned.len());
        let disagreeing = self.disagreeing();
        for &first in &disagreeing {
            let second: BTreeSet<GearId> = self.sharing(first).chain(disagreeing.iter().copied()).collect();
            // A pair of two that disagree is met from the earlier one.
            let is_met = |second: &GearId| *second > first || !disagreeing.contains(second);
            for second in second.into_iter().filter(|second| *second != first && is_met(second)) {
                for a in of_gear[first.index()].iter().map(|&at| &singles[at]) {
                    for b in of_gear[second.index()].iter().map(|&at| &singles[at]) {
                        if !self.may_take(1) {
                            return;
                        }
                        let (a, b) = if first < second { (a, b) } else { (b, a) };
                        let pair = self.try_pair(a, b);
                        self.found.extend(pair);
                    }
                }
            }
        }
    }

    /// A pair, where it explains more than either of its changes and than the counts as they are.
    fn try_pair(&mut self, a: &Tried, b: &Tried) -> Option<Tried> {
        let is_shared =
            |(witness, _): &(usize, Option<bool>)| b.said.binary_search_by_key(witness, |(asked, _)| *asked).is_ok();
        let mut shared: Vec<usize> =
            a.said.iter().filter(|said| is_shared(said)).map(|(witness, _)| *witness).collect();
        let own = |tried: &Tried| {
            tried.said.iter().filter(|(witness, _)| !shared.contains(witness)).copied().collect::<Vec<_>>()
        };
        let mut said: Vec<(usize, Option<bool>)> = [own(a), own(b)].concat();
        let fewer_than = a.against.min(b.against).min(self.against);
        let recounts = [a.recounts.as_slice(), &b.recounts].concat();
        // What else disagrees is at least what disagrees apart from all that is shared.
        let unasked: BTreeSet<usize> = said.iter().map(|(witness, _)| *witness).chain(shared.iter().copied()).collect();
        let untouched = self.against - unasked.iter().filter(|&&at| self.evidence[at].agrees == Some(false)).count();
        let mut against = untouched + said.iter().filter(|(_, said)| *said == Some(false)).count();
        if against >= fewer_than {
            return None;
        }
        // What is asked quickly is asked first.
        shared.sort_by_key(|&witness| self.witnesses[witness].work);
        let witnesses = self.witnesses;
        for witness in shared {
            if !self.may_take(witnesses[witness].work) {
                return None;
            }
            let answer = self.recounting.with(&recounts, |set| witnesses[witness].agrees(set))?;
            against += usize::from(answer == Some(false));
            if against >= fewer_than {
                return None;
            }
            said.push((witness, answer));
        }
        said.sort_unstable_by_key(|(witness, _)| *witness);
        Some(self.tried(recounts, a.teeth + b.teeth, said))
    }
}

/// The counts within so many teeth of that of a gear.
fn counts_near(set: &Gearset, gear: GearId) -> Vec<ToothCount> {
    let counted = i64::from(set.gear(gear).tooth_count().get());
    let near = (-MOST_MISCOUNTED..=MOST_MISCOUNTED).filter(|&more| more != 0);
    near.filter_map(|more| ToothCount::new(counted + more)).collect()
}

/// For each gear the places of its changes in the list.
fn by_gear(singles: &[Tried], gears: usize) -> Vec<Vec<usize>> {
    let mut of_gear = vec![Vec::new(); gears];
    for (at, tried) in singles.iter().enumerate() {
        of_gear[tried.recounts[0].gear.index()].push(at);
    }
    of_gear
}

//! A comparison on one screen: for each further gearset what becomes of the ratios, whether it assembles, which parts it
//! takes; then a table of what differs.

use num_traits::{Signed, Zero};

use super::{ComparedQuestion, ComparedRow, part, questions, table_without_differs, warnings};
use crate::comparison::{ComparedRemark, ComparedSet, ComparedState, Comparison};
use crate::exact::{Fraction, decimal};
use crate::inspection::RemarkKind;
use crate::report::render::document::Block;
use crate::report::words::{rounded, short_list};

/// The most rows that are shown on a screen.
const MOST_ROWS: usize = 10;

pub(super) fn summary(comparison: &Comparison) -> Vec<Block> {
    let Some((first, others)) = comparison.sets.split_first() else { return Vec::new() };
    let alone = "One gearset has nothing to be compared with: name another beside it, or give other tooth counts, such as \
                 --with L=21,l=36.";
    let mut statements: Vec<String> = others.is_empty().then(|| alone.to_owned()).into_iter().collect();
    statements.extend(others.iter().map(|other| against(first, other)));
    statements.extend(others.iter().filter(|other| !other.changes.is_empty()).map(|other| {
        let parts: Vec<String> = other.changes.iter().map(part).collect();
        format!("Parts for {}: {}.", other.column, parts.join("; "))
    }));
    statements.extend(warnings(comparison).into_iter().chain(remarks(comparison)).map(|it| format!("Beware: {it}.")));
    let mut blocks = vec![Block::Statements(statements)];
    let rows = what_differs(comparison);
    if !rows.is_empty() {
        blocks.push(Block::Table(table_without_differs(comparison, "What differs", rows).beginning(MOST_ROWS)));
    }
    blocks
}

/// What is worth a second look in one of the gearsets, and is not told as a warning.
fn remarks(comparison: &Comparison) -> Vec<String> {
    let told = |remark: &&ComparedRemark| {
        matches!(
            remark.kind,
            RemarkKind::NoCenterDistance | RemarkKind::UnequalCenterDistance | RemarkKind::BacklashBeyondHalfATooth
        )
    };
    let of = |set: &ComparedSet| -> Vec<String> {
        set.remarks.iter().filter(told).map(|remark| format!("in {} {}", set.column, remark.text)).collect()
    };
    comparison.sets.iter().flat_map(of).collect()
}

/// The rows whose cells are not all alike, but for the tooth counts, which the parts tell.
fn what_differs(comparison: &Comparison) -> Vec<ComparedRow> {
    let named = |question: ComparedQuestion| {
        let short = question.short;
        question
            .rows
            .into_iter()
            .map(move |ComparedRow { name, cells }| ComparedRow { name: format!("{short}{name}"), cells })
    };
    let differing = |row: &ComparedRow| row.cells.iter().any(|cell| *cell != row.cells[0]);
    questions(comparison).into_iter().skip(1).flat_map(named).filter(differing).collect()
}

/// What becomes of the ratios, and whether the planets assemble.
fn against(first: &ComparedSet, other: &ComparedSet) -> String {
    let ratios = ratios(first, other);
    let assembles = other.groups.iter().all(|group| group.goes_together);
    let assembly = if assembles { "it assembles" } else { "it does NOT assemble" };
    format!("{} against {}: {ratios}; {assembly}.", other.column, first.column)
}

/// What becomes of the ratios of the states that both have.
fn ratios(first: &ComparedSet, other: &ComparedSet) -> String {
    let changed: Vec<String> = other.states.iter().filter_map(|state| changed_ratio(first, state)).collect();
    let is_in_first = |state: &&ComparedState| first.states.iter().any(|other| other.state == state.state);
    let common = other.states.iter().filter(is_in_first).count();
    let most = first.states.len().max(other.states.len());
    match (changed.is_empty(), common) {
        (false, _) => short_list(&changed),
        (true, common) if common == most => "all ratios as they are".into(),
        (true, 0) => "no state of one name in both".into(),
        (true, _) => "the ratios of states that both have are as they are".into(),
    }
}

/// The ratio of a state that is another in the first gearset.
fn changed_ratio(first: &ComparedSet, state: &ComparedState) -> Option<String> {
    let before = first.states.iter().find(|other| other.state == state.state)?;
    if before.ratio == state.ratio {
        return None;
    }
    let name = |ratio: &Option<Fraction>| ratio.as_ref().map_or_else(|| "no ratio".to_owned(), rounded);
    let by = state.change_percent.as_ref().filter(|percent| !percent.is_zero()).map(|percent| {
        let sign = if percent.is_positive() { "+" } else { "" };
        format!(" ({sign}{} %)", decimal(percent, 3))
    });
    let now = name(&state.ratio);
    Some(format!("{} {now} instead of {}{}", state.state, name(&before.ratio), by.unwrap_or_default()))
}

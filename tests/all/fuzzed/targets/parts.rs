//! The parts of a search as JSON, one below the other: put together, where the search of their request is a small one.

use toothmark::description::read;
use toothmark::tooth_search::{RequestText, SearchPart, TeethPlan};

use super::PARTING;
use super::forms::show;

/// The most combinations of a search that is gone through to its end here.
const MOST_COMBINATIONS: u128 = 5_000;

/// Whatever can be made of parts.
pub(crate) fn parts(bytes: &[u8]) {
    let text = String::from_utf8_lossy(bytes);
    let parts: Result<Vec<SearchPart>, _> = text.split(PARTING).map(serde_json::from_str).collect();
    let Ok(parts) = parts else { return };
    let Some(first) = parts.first() else { return };
    let Ok(set) = read(&first.origin().description) else { return };
    let Ok(request) = RequestText::read(&first.origin().request) else { return };
    let Ok(request) = request.request(&set) else { return };
    let Ok(plan) = TeethPlan::new(&set, &request) else { return };
    if plan.problem().space().combinations().is_none_or(|number| number > MOST_COMBINATIONS) {
        return;
    }
    match plan.merge(&parts) {
        Ok(merged) => {
            let missing = merged.first_missing.len();
            assert!(missing <= merged.missing, "those that are listed are missing");
            show(&set, &merged.answer);
        }
        Err(fault) => assert!(!fault.to_string().is_empty(), "a fault is told"),
    }
}

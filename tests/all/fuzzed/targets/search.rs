//! The request of a search: read, written, read again; searched as far as a small bound of work goes.

use std::num::NonZeroUsize;

use toothmark::search::Options;
use toothmark::tooth_search::{CountWish, RequestSource, RequestText, SearchOrigin, TeethPlan};

use super::built_in;
use super::forms::show;

/// About so many values are chosen.
pub(super) const MOST_CHOICES: u128 = 2_000;

/// Work of one thread that ends soon.
pub(super) fn bounded() -> Options<'static> {
    Options { threads: NonZeroUsize::new(1), most_choices: Some(MOST_CHOICES), ..Options::default() }
}

/// Whatever can be made of a request.
pub(crate) fn search(bytes: &[u8]) {
    let source = match RequestSource::read_bytes(bytes) {
        Ok(source) => source,
        Err(faults) => {
            assert!(faults.iter().all(|fault| !fault.to_string().is_empty()), "every fault is told");
            return;
        }
    };
    let text = source.text();
    let written = text.write();
    let again = RequestText::read(&written).unwrap_or_else(|faults| panic!("it is read: {faults:?}\n{written}"));
    assert_eq!(&again, text, "what was written is the same request:\n{written}");
    let set = built_in(text.gearset.as_ref().map(|name| name.as_str()));
    let request = match source.understood(&set) {
        Ok(request) => request,
        Err(problems) => {
            assert!(!source.faults(problems).is_empty(), "a request is refused with its faults");
            return;
        }
    };
    text.contradictions(&set);
    let plan = match TeethPlan::new(&set, &request) {
        Ok(plan) => plan,
        Err(fault) => {
            source.cannot_search(&fault);
            return;
        }
    };
    let origin = SearchOrigin::new(&set, text, Some(2));
    match plan.answer(&origin, &bounded()) {
        Ok(mut answer) => {
            if plan.count(&mut answer, CountWish::AtLeast, &bounded()).is_ok() {
                show(&set, &answer);
            }
        }
        Err(fault) => drop(source.cannot_search(&fault)),
    }
}

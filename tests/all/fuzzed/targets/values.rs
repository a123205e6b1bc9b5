//! Values of options as they are typed: each is read as every kind that there is.

use toothmark::exact::parse;
use toothmark::gearset::Length;
use toothmark::job::JobEntry;
use toothmark::quick::{StackNames, is_stack, stack};
use toothmark::requests::Refusal;
use toothmark::requests::lookups::{gear, member, mesh, moving_member, state, states};
use toothmark::requests::values::{
    count, count_change, diametral_pitch, efficiency, forward_speed, length, limit, module, name, name_and_value, part,
    pin_circle, pins, ratio, shifts, speed, speed_but_zero, speed_of, tooth_count, torque, travel, turned,
};
use toothmark::tooth_search::RequestText;

use super::built_in;

/// Whatever can be made of a value.
pub(crate) fn values(bytes: &[u8]) {
    let text = String::from_utf8_lossy(bytes);
    numbers(&text);
    read(&text, name);
    read(&text, limit);
    read(&text, count_change);
    read(&text, pin_circle);
    read(&text, shifts);
    read(&text, pins);
    read(&text, turned);
    read(&text, speed_of);
    read(&text, part);
    tooth_count(&text);
    name_and_value(&text);
    parse(&text);
    named(&text);
    if let Err(reason) = JobEntry::typed(&text) {
        assert!(!reason.hint().is_empty(), "what to type instead is told of {text:?}");
    }
    if is_stack(&text) {
        for names in [StackNames::ByCount, StackNames::ByPlace] {
            drop(stack(&text, names));
        }
    }
    let mut request = RequestText::default();
    drop(request.wish_ratio("low", &text));
    let written = request.write();
    assert_eq!(RequestText::read(&written).as_ref(), Ok(&request), "{written}");
}

/// Numbers with and without units.
fn numbers(text: &str) {
    read(text, count);
    read(text, speed);
    read(text, speed_but_zero);
    read(text, forward_speed);
    read(text, ratio);
    read(text, torque);
    read(text, efficiency);
    read(text, length);
    read(text, travel);
    read(text, module);
    read(text, diametral_pitch);
    if let Ok((length, _)) = Length::typed(text) {
        assert!(length.millimetres().is_finite() || text.len() > 300, "{text:?} is {length:?}");
    }
}

/// Names of what is in a gearset.
fn named(text: &str) {
    let set = built_in(None);
    for asked in text.split(',') {
        let found = [
            state(&set, asked).map(drop),
            states(&set, &[asked.to_owned()]).map(drop),
            member(&set, asked).map(drop),
            moving_member(&set, asked).map(drop),
            gear(&set, asked).map(drop),
            mesh(&set, asked).map(drop),
        ];
        found.into_iter().filter_map(Result::err).for_each(|refusal| told(text, &refusal));
    }
}

fn read<T>(text: &str, read: fn(&str) -> Result<T, Refusal>) {
    if let Err(refusal) = read(text) {
        told(text, &refusal);
    }
}

#[track_caller]
fn told(text: &str, refusal: &Refusal) {
    assert!(!refusal.sentence.is_empty() && !refusal.hint.is_empty(), "{text:?}: {refusal:?}");
}

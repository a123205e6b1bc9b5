//! Readings of teeth: of gears that there are, that can be, and that agree with one another.

use std::collections::HashSet;

use super::names::Names;
use crate::exact::{decimal, fraction};
use crate::gearset::readings::DraftReadings;
use crate::gearset::{Draft, DraftSpan, Gear, GearKind, Length, Problems, ReadingRule, Spanned};

/// Millimetres beyond which a reading is a slip of the unit.
const LARGEST: i64 = 10_000;
/// Millimetres beyond which readings tell nothing.
const LARGEST_WITHIN: i64 = 2;
/// Gears of fewer teeth have no flank to be measured.
const LEAST_TEETH: u16 = 6;
/// Digits of a number in a message.
const DIGITS: u32 = 6;

pub(super) fn check(draft: &Draft, names: &Names, gears: &[Option<Gear>], problems: &mut Problems) {
    let mut told = HashSet::new();
    for readings in &draft.readings {
        check_lengths(readings, problems);
        let Some(id) = names.gear(&readings.gear, problems) else { continue };
        let gear = readings.gear.to_string();
        if !told.insert(id) {
            problems.add(readings.gear.mark(), ReadingRule::ReadingsTwice { gear });
        } else if let Some(known) = &gears[id.index()] {
            check_of_gear(readings, known, problems);
        }
    }
}

/// Every length that is out of all proportion whatever the gear.
fn check_lengths(readings: &DraftReadings, problems: &mut Problems) {
    let gear = || readings.gear.to_string();
    let mut count = 0;
    for (kind, length) in readings.lengths() {
        count += 1;
        if !is_size(length, LARGEST) {
            problems.add(length.mark(), ReadingRule::AbsurdReading { gear: gear(), kind, value: in_words(length) });
        }
    }
    if count == 0 {
        problems.add(readings.gear.mark(), ReadingRule::NothingRead { gear: gear() });
    }
    if let Some(within) = readings.within.as_ref().filter(|within| !is_size(within, LARGEST_WITHIN)) {
        problems.add(within.mark(), ReadingRule::AbsurdWithin { gear: gear(), value: in_words(within) });
    }
}

/// Whether a length could be read, was told already to be none, is above a hundred-thousandth and up to so many
/// millimetres.
fn is_size(length: &Spanned<Length>, most: i64) -> bool {
    length.get().is_none_or(|length| {
        let millimetres = length.exact_millimetres();
        millimetres >= fraction(1, 100_000) && millimetres <= fraction(most, 1)
    })
}

fn check_of_gear(readings: &DraftReadings, known: &Gear, problems: &mut Problems) {
    let gear = || readings.gear.to_string();
    let teeth = known.tooth_count().get();
    if known.kind().is_bevel() {
        problems.add(readings.gear.mark(), ReadingRule::ReadingsOfBevel { gear: gear() });
        return;
    }
    if teeth < LEAST_TEETH {
        problems.add(readings.gear.mark(), ReadingRule::FewTeeth { gear: gear(), teeth });
        return;
    }
    match readings.spans.first() {
        Some(span) if known.kind() == GearKind::Internal => {
            problems.add(span.teeth.mark(), ReadingRule::SpanOfRing { gear: gear() });
        }
        _ => check_spans(readings, teeth, problems),
    }
    check_circles(readings, known.kind(), problems);
}

fn check_spans(readings: &DraftReadings, teeth: u16, problems: &mut Problems) {
    let gear = || readings.gear.to_string();
    let mut spans: Vec<&DraftSpan> = Vec::new();
    for span in readings.spans.iter().filter(|span| span.teeth.get().is_some()) {
        let count = *span.teeth;
        if count < 1 || count >= i64::from(teeth.div_ceil(2)) {
            problems.add(span.teeth.mark(), ReadingRule::SpanCount { gear: gear(), span: count, teeth });
        } else if spans.iter().any(|other| other.teeth == span.teeth) {
            problems.add(span.teeth.mark(), ReadingRule::SpanTwice { gear: gear(), span: count });
        } else {
            spans.push(span);
        }
    }
    spans.sort_by_key(|span| *span.teeth);
    for pair in spans.windows(2).filter(|pair| pair.iter().all(|span| is_size(&span.reading, LARGEST))) {
        let [fewer, more] = [pair[0], pair[1]];
        let lengths = [fewer, more].map(|span| span.reading.get().map(Length::exact_millimetres));
        if let [Some(less), Some(length)] = lengths
            && less >= length
        {
            let rule = ReadingRule::SpansNotRising { gear: gear(), fewer: *fewer.teeth, more: *more.teeth };
            problems.add(more.reading.mark(), rule);
        }
    }
}

fn check_circles(readings: &DraftReadings, kind: GearKind, problems: &mut Problems) {
    let (Some(tip), Some(root)) = (&readings.outside, &readings.root) else { return };
    let [tip, at_root] = [tip, root].map(|length| length.get().map(Length::exact_millimetres));
    let (Some(tip), Some(at_root)) = (tip, at_root) else { return };
    if tip == at_root || (tip < at_root) != (kind == GearKind::Internal) {
        problems.add(root.mark(), ReadingRule::RootBeyondTip { gear: readings.gear.to_string() });
    }
}

/// A length with its unit.
fn in_words(length: &Length) -> String {
    match length {
        Length::Millimetres(size) => format!("{} mm", decimal(size, DIGITS)),
        Length::Inches(size) => format!("{} in", decimal(size, DIGITS)),
    }
}

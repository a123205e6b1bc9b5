//! End float in plain words: what to fit, to press, to make or to take off, and what that is good to.

use super::{other_unit, plain, washers};
use crate::bench::{EndFloat, FloatRemedy, FloatUnit, GapFloat, WasherStack};
use crate::exact::{Fraction, decimal, fraction};
use crate::report::words::{key, list};
use num_traits::Signed;

/// What to do first, and what to mind.
pub(super) fn statements(answer: &EndFloat) -> Vec<String> {
    let mut said: Vec<String> = answer.gaps.iter().filter_map(|gap| pressed(answer, gap)).collect();
    let washered: Vec<&GapFloat> = answer.gaps.iter().filter(|gap| gap.press_by.is_none()).collect();
    if washered.is_empty() {
        said.extend(usual_error(answer));
        return said;
    }
    if answer.stacks.is_empty() {
        said.extend(washered.iter().filter_map(|gap| missing(answer, gap)));
        said.extend(shared_in_vain(answer));
    } else {
        said.extend(washered.iter().zip(answer.of_choice(1)).map(|(gap, stack)| fit(answer, gap, stack)));
        said.extend(how_many(answer));
        said.push("Measure the float again with the washers in and the shaft pushed to either end.".into());
        said.extend(good_to(answer, &washered));
    }
    said.extend(usual_error(answer));
    said
}

/// What readings are taken for that do not say what they are good to.
fn usual_error(answer: &EndFloat) -> Option<String> {
    let said = "Readings that say nothing of it are taken as good to 0.01 mm (0.4 thou): --within says otherwise.";
    answer.usual_error_taken.then(|| said.to_owned())
}

/// `front: `, and nothing of a gap without a name.
fn of_gap(gap: Option<&String>) -> String {
    gap.map(|name| format!("{name}: ")).unwrap_or_default()
}

/// Washers as they are fitted: `1.25 + 1.55 mm`, `no washer`.
fn stacked(answer: &EndFloat, stack: &WasherStack) -> String {
    if stack.washers.is_empty() { "no washer".into() } else { format!("{} {}", washers(stack), key(&answer.unit)) }
}

fn fit(answer: &EndFloat, gap: &GapFloat, stack: &WasherStack) -> String {
    let [least, most] = gap.wanted.each_ref().map(plain);
    // Whoever mistyped a part sees it here.
    let left = if stack.washers.is_empty() { String::new() } else { format!(" left of {}", plain(&gap.float_now)) };
    format!(
        "{}Fit {}: {} of float{left}, wanted {least} to {most}.",
        of_gap(gap.gap.as_ref()),
        stacked(answer, stack),
        size(answer.unit, &stack.float)
    )
}

/// The next choices of a single gap, and how many there are.
fn how_many(answer: &EndFloat) -> Option<String> {
    let count = answer.choices.map(|count| match count {
        1 => "No other choice serves.".to_owned(),
        count => format!("{count} choices serve."),
    });
    let next = |stack: &WasherStack| format!("{} leaves {}", stacked(answer, stack), plain(&stack.float));
    let others: Vec<String> = match answer.gaps.iter().filter(|gap| gap.press_by.is_none()).count() {
        1 => answer.stacks.iter().skip(1).map(next).collect(),
        _ => Vec::new(),
    };
    let others = (!others.is_empty()).then(|| format!("Next: {}.", others.join("; ")));
    let said: Vec<String> = others.into_iter().chain(count).collect();
    (!said.is_empty()).then(|| said.join(" "))
}

/// Whether the best choice is sure, and if not what would make it so.
fn good_to(answer: &EndFloat, gaps: &[&GapFloat]) -> Vec<String> {
    let of_stack = |(gap, stack): (&&GapFloat, &WasherStack)| {
        let worst = (&stack.float_worst_case[1] - &stack.float_worst_case[0]) / fraction(2, 1);
        let good = format!(
            "{}Good to {} {} in the worst case, {} by the root of squares",
            of_gap(gap.gap.as_ref()),
            decimal(&worst, 2),
            key(&answer.unit),
            Fraction::from_float(stack.root_of_squares).map_or_else(String::new, |root| decimal(&root, 2))
        );
        let is_narrow = &gap.wanted[1] - &gap.wanted[0] < &worst + &worst;
        match (stack.is_sure, is_narrow) {
            (true, _) => format!("{good}: within what is wanted in any case."),
            (false, true) => format!("{good}: what is wanted is narrower than that, so measure more closely."),
            (false, false) => format!("{good}: it may come out beyond what is wanted."),
        }
    };
    gaps.iter().zip(answer.of_choice(1)).map(of_stack).collect()
}

/// What a gap lacks that no stack serves.
fn missing(answer: &EndFloat, gap: &GapFloat) -> Option<String> {
    let lacks = gap.missing.as_ref()?;
    let [least, most] = gap.wanted.each_ref().map(plain);
    let unit = key(&answer.unit);
    // A washer, or what comes off, may be so far from the best as the float may be.
    let [from, to] = match gap.remedy? {
        FloatRemedy::TakeOff => [&gap.wanted[0] - &gap.float_now, &gap.wanted[1] - &gap.float_now],
        FloatRemedy::MakeWasher => [&gap.float_now - &gap.wanted[1], &gap.float_now - &gap.wanted[0]],
    };
    let best = size(answer.unit, lacks);
    let does = if from == to { best } else { format!("{} to {}, best {best},", plain(&from), plain(&to)) };
    let first = match gap.remedy? {
        FloatRemedy::TakeOff => format!(
            "Take {does} off a washer or a face that is in the stack: there is {} {unit} of float, and washers only take \
             float away.",
            plain(&gap.float_now)
        ),
        FloatRemedy::MakeWasher if answer.washers_at_hand == 0 => format!(
            "Fit a washer of {does} for there is {} {unit} of float. Of those at hand --washers 1.25,1.55 tells which serve.",
            plain(&gap.float_now)
        ),
        FloatRemedy::MakeWasher => format!("Make a washer of {does} for no stack of those at hand serves."),
    };
    let off_best = |stack: &WasherStack| &stack.float - &gap.best;
    // What is off by more than half of what is missing is no help.
    let helps = |stack: &&WasherStack| off_best(stack).abs() * fraction(2, 1) <= *lacks;
    let nearest = gap.nearest.as_ref().filter(|_| gap.remedy == Some(FloatRemedy::MakeWasher)).filter(helps);
    let nearest = nearest.map(|stack| {
        let off = off_best(stack);
        let what = if off.is_negative() {
            format!("take {} {unit} off the stack", plain(&-off))
        } else {
            format!("add a shim of {} {unit}", plain(&off))
        };
        format!(" Or fit {}, which leaves {} {unit}, and {what}.", stacked(answer, stack), plain(&stack.float))
    });
    let wanted = format!(" Wanted: {least} to {most} {unit}, best {}.", plain(&gap.best));
    Some(format!("{}{first}{}{wanted}", of_gap(gap.gap.as_ref()), nearest.unwrap_or_default()))
}

/// Why gaps that could each be served are not together.
fn shared_in_vain(answer: &EndFloat) -> Option<String> {
    let names: Vec<String> = answer.gaps.iter().filter_map(|gap| gap.gap.clone()).collect();
    let all_alone = answer.gaps.iter().all(|gap| gap.stacks_alone != Some(0));
    all_alone.then(|| {
        let short = format!("Not enough washers for {} together, though there are for each alone.", list(&names));
        let missing = answer.missing.as_ref().map(|missing| size(answer.unit, missing));
        match (missing, &answer.washer_for) {
            (Some(washer), None) => format!("Get another washer of {washer}. {short}"),
            (Some(washer), Some(gap)) => {
                format!("Make a washer of {washer} for {gap}, name it among --washers and ask again. {short}")
            }
            (None, _) => short,
        }
    })
}

/// How far a gear is to be pressed.
fn pressed(answer: &EndFloat, gap: &GapFloat) -> Option<String> {
    let (by, within) = (gap.press_by.as_ref()?, gap.press_within.as_ref()?);
    let [least, most] = within.each_ref().map(plain);
    let unit = key(&answer.unit);
    let does = if by.is_negative() {
        format!("Draw the gear off by {}", size(answer.unit, &by.abs()))
    } else {
        format!("Press the gear on by {} more", size(answer.unit, by))
    };
    let range = if within[0].is_negative() {
        String::new()
    } else {
        format!("; {least} to {most} {unit} leave what is wanted")
    };
    Some(format!(
        "{}{does}: from {} to {} {unit} of clearance{range}. Good to {} {unit}. Support the drum where it is pressed.",
        of_gap(gap.gap.as_ref()),
        plain(&gap.float_now),
        plain(&gap.best),
        plain(&gap.worst_case)
    ))
}

/// A length with the other unit beside.
fn size(unit: FloatUnit, value: &Fraction) -> String {
    match unit {
        FloatUnit::Millimetres => format!("{} mm ({} thou)", plain(value), other_unit(unit, value)),
        FloatUnit::Inches => format!("{} in ({} mm)", plain(value), other_unit(unit, value)),
    }
}

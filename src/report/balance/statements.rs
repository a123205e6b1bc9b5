//! The balance of a rotor in plain words: what to do, what was found and allowed, what to beware of.

use super::numbers::{amount, angle, depth, short, size, unbalance, weight};
use crate::bench::{
    BalanceCaution, BalanceVerdict, ClusterOnPin, ClusterPlacing, DrillChart, DrillingTerms, FoundUnbalance,
    GradeAllowance, HoleDirection, PlanLimit, PlaneBalance, PlannedHole, RotorBalance, WeightToPutOn,
};
use crate::exact::Fraction;
use crate::report::words::{list, rounded};
use num_traits::One;

/// All that is told in words.
pub(super) fn statements(answer: &RotorBalance) -> Vec<String> {
    let mut said: Vec<String> = answer.planes.iter().flat_map(|plane| to_do(answer, plane)).collect();
    if answer.planes.iter().any(|plane| !plane.plan.is_empty()) {
        said.push(THEN.to_owned());
    }
    let planets: Vec<String> = answer.clusters.iter().flat_map(clusters).collect();
    // Without a rotor they are what is to be done.
    let (first, last) = if answer.planes.is_empty() { (planets, Vec::new()) } else { (Vec::new(), planets) };
    said.extend(first);
    said.extend(found(answer));
    said.extend(allowed(answer));
    said.extend(answer.planes.iter().filter_map(|plane| how_close(answer, plane)));
    said.extend(answer.cautions.iter().filter_map(|caution| caution_in_words(answer, *caution)));
    said.extend(always(answer));
    said.extend(last);
    said.extend(answer.chart.as_ref().map(chart));
    said
}

/// `plane 1: `, where there are two.
fn of_plane(answer: &RotorBalance, plane: &PlaneBalance) -> String {
    if answer.planes.len() > 1 { format!("Plane {}: ", plane.plane) } else { String::new() }
}

/// What to do in a plane.
fn to_do(answer: &RotorBalance, plane: &PlaneBalance) -> Vec<String> {
    let of = of_plane(answer, plane);
    let said = match plane.verdict {
        BalanceVerdict::Drill => format!("{}: {}.", capitalised(&drill(plane)), left_of_allowed(plane)),
        BalanceVerdict::NothingReaches if plane.plan.is_empty() => format!("Nothing reaches: {}.", limits(plane)),
        BalanceVerdict::NothingReaches => {
            let best = format!("The best is to {}: {}", drill(plane), left_of_allowed(plane));
            format!("Nothing that can be drilled reaches: {}. {best}.", limits(plane))
        }
        BalanceVerdict::WithinAllowed if plane.may_be_over() => format!(
            "Weigh again, more closely: {} are within the {} allowed, but may as well be {}.",
            unbalance(plane.found.g_mm),
            may_be(plane),
            amount(plane.found.g_mm + plane.found.size_within_g_mm)
        ),
        BalanceVerdict::WithinAllowed => {
            format!("Leave it as it is: {}, and {} are allowed.", unbalance(plane.found.g_mm), may_be(plane))
        }
        BalanceVerdict::PutOn => format!("Put on {}, which balances it.", weights(&plane.put_on, " and ")),
        BalanceVerdict::TwoAngles => two_angles(plane),
        BalanceVerdict::MeasureAgain => {
            "Measure again: the readings contradict one another. The same speed, the same trial weight, and nothing \
             changed but its place."
                .into()
        }
        BalanceVerdict::ToCorrect | BalanceVerdict::NothingFound => to_correct(plane),
    };
    vec![of + &said]
}

fn two_angles(plane: &PlaneBalance) -> String {
    let told = match &plane.put_on[..] {
        [first, other] => format!(
            "Put on {}; if it then reads worse, {} is right",
            weights(std::slice::from_ref(first), ""),
            angle(other.place_degrees)
        ),
        _ => "Try the weight opposite to the first; if it then reads worse, the other is right".into(),
    };
    format!("Drill nothing yet: two angles give these readings. {told}. Then ask again with --balanced-by.")
}

fn to_correct(plane: &PlaneBalance) -> String {
    let FoundUnbalance { g_mm, degrees, .. } = plane.found;
    let or_put_on = match &plane.put_on[..] {
        [] => String::new(),
        weights => format!(", or put on {}", self::weights(weights, " or ")),
    };
    format!(
        "Take off {} at {}{or_put_on}; with --places and --drills it is told where and how deep to drill.",
        unbalance(g_mm),
        angle(degrees)
    )
}

/// `deepen the 10 mm hole at 60 deg to 12 mm (0.472 in) and drill a 12 mm hole 18 mm (0.709 in) deep at 90 deg`.
fn drill(plane: &PlaneBalance) -> String {
    let (deeper, new): (Vec<&PlannedHole>, Vec<&PlannedHole>) =
        plane.plan.iter().partition(|hole| hole.drilled_mm > 0.0);
    let deepen = |hole: &&PlannedHole| {
        format!("the {} hole at {} to {}", size(hole.drill_mm), angle(hole.place_degrees), depth(hole.depth_mm))
    };
    let drill = |hole: &&PlannedHole| {
        format!("a {} hole {} deep at {}", size(hole.drill_mm), depth(hole.depth_mm), angle(hole.place_degrees))
    };
    let told = |verb: &str, holes: Vec<String>| (!holes.is_empty()).then(|| format!("{verb} {}", list(&holes)));
    let deeper = told("deepen", deeper.iter().map(deepen).collect());
    let new = told("drill", new.iter().map(drill).collect());
    deeper.into_iter().chain(new).collect::<Vec<_>>().join(", and ")
}

fn capitalised(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map(|first| first.to_uppercase().chain(letters).collect()).unwrap_or_default()
}

fn left_of_allowed(plane: &PlaneBalance) -> String {
    let left = plane.left.map(|left| amount(left.g_mm)).unwrap_or_default();
    format!("leaves {left} of {} allowed", may_be(plane))
}

fn may_be(plane: &PlaneBalance) -> String {
    plane.allowed_g_mm.map(|allowed| format!("{} g mm", amount(allowed))).unwrap_or_default()
}

fn weights(weights: &[WeightToPutOn], between: &str) -> String {
    let one = |put_on: &WeightToPutOn| {
        format!("{} at {}, {} from the axis", weight(put_on.grams), angle(put_on.place_degrees), size(put_on.radius_mm))
    };
    weights.iter().map(one).collect::<Vec<_>>().join(between)
}

fn limits(plane: &PlaneBalance) -> String {
    let in_words = |limit: &PlanLimit| match limit {
        PlanLimit::Wall => "deeper holes would (thicker metal, or less wall)".to_owned(),
        PlanLimit::Drills => "a larger drill or one in between would".to_owned(),
        PlanLimit::SmallerDrill => "a smaller drill would".to_owned(),
        PlanLimit::Places => "places half-way between would".to_owned(),
        PlanLimit::DepthStep => "half the step of depth would".to_owned(),
        PlanLimit::LeastDepth => "shallower holes would".to_owned(),
        PlanLimit::Edge => "places farther in from the edge would".to_owned(),
        PlanLimit::Several => {
            "no single limit is in the way; more places, larger drills and deeper holes together".to_owned()
        }
    };
    plane.limits.iter().map(in_words).collect::<Vec<_>>().join(", or ")
}

/// The way of drilling.
const THEN: &str = "Drill to two thirds first (below), weigh again with everything that turns with it, then ask again with \
                    the new reading and --drilled for the rest.";

fn found(answer: &RotorBalance) -> Vec<String> {
    let side =
        answer.seen_from.map(|side| format!("; angles counter-clockwise from the mark, seen from {}", side.name()));
    let one = |plane: &PlaneBalance| {
        let or = plane.or_degrees.map(|other| format!(" or {}", angle(other)));
        format!(
            "{}Found {} at {}{}, good to {} g mm{}.",
            of_plane(answer, plane),
            unbalance(plane.found.g_mm),
            angle(plane.found.degrees),
            or.unwrap_or_default(),
            amount(plane.found.within_g_mm),
            side.as_deref().filter(|_| plane.plane == 1).unwrap_or_default()
        )
    };
    let is_told = |plane: &&PlaneBalance| plane.verdict != BalanceVerdict::MeasureAgain;
    answer.planes.iter().filter(is_told).map(one).collect()
}

fn allowed(answer: &RotorBalance) -> Option<String> {
    let allowed = answer.allowed_g_mm?;
    let by = answer.allowance.as_ref().map(by_grade).unwrap_or_default();
    let shares: Vec<String> = answer.planes.iter().map(may_be).collect();
    let shares = if answer.planes.len() > 1 { format!(", {} in the planes", list(&shares)) } else { String::new() };
    Some(format!("Allowed {}{by}{shares}.", unbalance(allowed)))
}

fn by_grade(grade: &GradeAllowance) -> String {
    let speed = grade.speed.as_ref().map(|speed| {
        format!(", {} at its fastest, {} in \"{}\"", speed.member, beside_the_input(&speed.per_input_turn), speed.state)
    });
    format!(
        ": G {}, {} kg, {} rpm{}",
        short(grade.grade, 2),
        short(grade.kilograms, 2),
        short(grade.rpm, 1),
        speed.unwrap_or_default()
    )
}

/// `as fast as the input`, `1.25 times the input`.
fn beside_the_input(turns: &Fraction) -> String {
    if turns.is_one() { "as fast as the input".to_owned() } else { format!("{} times the input", rounded(turns)) }
}

/// What depth and density make of a plan.
fn how_close(answer: &RotorBalance, plane: &PlaneBalance) -> Option<String> {
    let (by_depth, by_density) = (plane.left_by_depth_g_mm?, plane.left_by_density_g_mm?);
    let proven = if plane.verdict == BalanceVerdict::NothingReaches {
        "Nothing of up to three holes leaves less"
    } else if plane.plan.len() > 1 {
        "Fewer holes do not reach, nor as many nearer to the heavy side"
    } else {
        "No hole nearer to the heavy side reaches"
    };
    Some(format!(
        "{}Half a millimetre of depth leaves up to {}, three per cent of density up to {} g mm. {proven}: proven over every choice.",
        of_plane(answer, plane),
        amount(by_depth),
        amount(by_density)
    ))
}

fn caution_in_words(answer: &RotorBalance, caution: BalanceCaution) -> Option<String> {
    let grade = answer.allowance.as_ref();
    Some(match caution {
        BalanceCaution::KnifeEdges => {
            let [good, poor] = grade?.felt_on_knife_edges_g_mm.map(amount);
            format!(
                "Knife edges feel no less than {good} to {poor} g mm of such a rotor: take rollers or a balancing machine."
            )
        }
        BalanceCaution::ReadingsTooCoarse => {
            "The readings are good to more than is allowed: weigh and read more closely before the last third.".into()
        }
        // The first line says so.
        BalanceCaution::MayBeOver => return None,
        BalanceCaution::TrialTellsLittle => {
            "A trial weight changed the readings by less than 30 per cent and 30 degrees: take a heavier one.".into()
        }
        BalanceCaution::RunsDisagree => disagreement(answer)?,
        BalanceCaution::OnePlane => {
            "One plane is enough for a disc narrower than a third of its diameter that turns below 1000 rpm; else \
             balance it in two."
                .into()
        }
        BalanceCaution::SpeedOpen => {
            let open = &grade?.speed.as_ref()?.open_in;
            format!("Nothing says how fast it turns in {}: it may be faster there.", list(open))
        }
        BalanceCaution::DepthCounts => {
            "Depth and density count here: less than half a millimetre off, or drill short and weigh again.".into()
        }
    })
}

fn disagreement(answer: &RotorBalance) -> Option<String> {
    let trials = answer.trials.as_ref()?;
    let one = |run: &crate::bench::RunReading| {
        format!("{} for {} at {}", short(run.read, 2), short(run.predicted, 2), angle(run.degrees))
    };
    let runs: Vec<String> = trials.predicted.iter().map(one).collect();
    let closing = trials.closing.map(|closing| format!("; they close to {closing:.2}, not 1"));
    Some(format!("Read was {}{}.", list(&runs), closing.unwrap_or_default()))
}

/// What is said whenever something is drilled or run.
fn always(answer: &RotorBalance) -> Vec<String> {
    let drilled = answer.drilling.as_ref().filter(|_| !answer.plan.is_empty()).map(|terms: &DrillingTerms| {
        let rim = if terms.direction == HoleDirection::Radial { " from the rim inward" } else { "" };
        format!(
            "Drill{rim} by the full diameter, the point reaches further; {} mm of wall stay behind it. Never drill friction \
             faces, webs, fillets, nor near rivets, pins or cracks.",
            short(terms.wall_mm, 2)
        )
    });
    let runs = answer.trials.as_ref().map(|trials| {
        let phases = if trials.influence.is_empty() {
            ""
        } else {
            " Phases count in the sense of the angles; where a machine counts against it, write them with a minus."
        };
        format!(
            "A run to read is a guarded run: no hands, no loose weights, the trial weight bolted, below the speed that the \
             rotor bears.{phases}"
        )
    });
    drilled.into_iter().chain(runs).collect()
}

fn clusters(placing: &ClusterPlacing) -> Vec<String> {
    let left = format!("{} at {} from pin 1", unbalance(placing.left.g_mm), angle(placing.left.degrees));
    let within = match placing.is_within_allowed {
        Some(true) => ", no more than is allowed",
        Some(false) => ", more than is allowed",
        None => "",
    };
    let first = if placing.order_makes_no_difference {
        format!("Any order of the planets leaves the same, {left}{within}.")
    } else {
        let on_pin = |on: &ClusterOnPin| format!("{} on pin {}", on.cluster, on.pin);
        let pins: Vec<String> = placing.pins.iter().map(on_pin).collect();
        format!(
            "Put planet {}: leaves {left}{within}; the worst order leaves {} g mm.",
            list(&pins),
            amount(placing.worst_g_mm)
        )
    };
    let heavier: Vec<String> = (placing.pins.iter().filter(|on| on.over_lightest_g > 0.0))
        .map(|on| format!("{} g off planet {}", short(on.over_lightest_g, 2), on.cluster))
        .collect();
    let matched = (!heavier.is_empty()).then(|| {
        format!(
            "Matched to the lightest nothing is left: {}. Grind soft faces; never drill hardened teeth.",
            list(&heavier)
        )
    });
    let marked = "Mark each planet with its pin before it comes off again.".to_owned();
    [first].into_iter().chain(matched).chain([marked]).collect()
}

fn chart(chart: &DrillChart) -> String {
    let rule = chart.half_inch_by_rule_g.map(|rule| {
        format!("; the trade's rule of about {rule:.0} g is common practice without a source, and too much")
    });
    format!(
        "An inch of half-inch drill takes off {} of {}, {} g/cm3{}.",
        weight(chart.half_inch_g),
        chart.material.name(),
        short(chart.density_g_cm3, 2),
        rule.unwrap_or_default()
    )
}

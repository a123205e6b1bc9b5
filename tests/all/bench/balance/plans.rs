//! Is a drilling plan the best of all, and is what it says of itself true?
//!
//! The twin forms every set of one, two and three holes, adds their vectors up and keeps the best by the rule of the plan:
//! fewest holes, nearest to the heavy side, least left. It knows no order, no bounds and no last hole that is solved for.

use toothmark::bench::{
    BalanceVerdict, CorrectionPlace, DrilledHole, DrilledMaterial, Drilling, HoleDirection, PlanLimit, PlannedHole,
    RotorBalance, balance, hole_unbalance, point_of_drill,
};

use super::{drilled, plan_in_iron, ring_of};
use crate::tooth::lots::Lots;

/// A hole of the twin: its place, its drill, what it takes off in x and y.
#[derive(Debug, Clone, Copy)]
struct Tried {
    place: usize,
    drill: f64,
    takes: [f64; 2],
}

/// Everything that can be drilled.
fn everything(places: &[CorrectionPlace], drilling: &Drilling) -> Vec<Tried> {
    let mut all = Vec::new();
    for (number, place) in places.iter().enumerate() {
        let there = drilling.drilled.iter().find(|hole| (hole.degrees - place.degrees).abs() < 1e-9);
        let drills = there.map_or(drilling.drills.clone(), |hole| vec![hole.drill]);
        for drill in drills {
            for step in 1..200 {
                let depth = f64::from(step) * drilling.depth_step;
                let takes = |depth| {
                    hole_unbalance(drilling.direction, drilling.material.density(), [drill, depth], place.radius)
                };
                let is_shallow = there.map_or(depth < drilling.least_depth - 1e-9, |hole| depth <= hole.depth);
                let reaches = depth + point_of_drill(drill) + drilling.wall;
                let breaks_out = drilling.direction == HoleDirection::Axial
                    && there.is_none()
                    && drilling.outer_radius.is_some_and(|outer| place.radius + drill / 2.0 + drilling.wall > outer);
                if is_shallow || reaches > drilling.thickness + 1e-9 || breaks_out {
                    continue;
                }
                let off = takes(depth) - there.map_or(0.0, |hole| takes(hole.depth));
                let at = place.degrees.to_radians();
                all.push(Tried { place: number, drill, takes: [off * at.cos(), off * at.sin()] });
            }
        }
    }
    all
}

fn middle(place: CorrectionPlace) -> [f64; 2] {
    [place.radius * place.degrees.to_radians().cos(), place.radius * place.degrees.to_radians().sin()]
}

/// Whether two holes leave the wall between them.
fn clear(places: &[CorrectionPlace], (a, a_drill): (usize, f64), (b, b_drill): (usize, f64), wall: f64) -> bool {
    let ([ax, ay], [bx, by]) = (middle(places[a]), middle(places[b]));
    (ax - bx).hypot(ay - by) >= f64::midpoint(a_drill, b_drill) + wall - 1e-9
}

/// The rank of a plan: how many holes, how far from the heavy side, what is left.
type Rank = (usize, f64, f64);

/// The best of every choice, and the least that any leaves.
fn tried_out(
    (size, degrees): (f64, f64),
    allowed: f64,
    places: &[CorrectionPlace],
    drilling: &Drilling,
) -> (Option<Rank>, f64) {
    let there =
        |number: usize| drilling.drilled.iter().find(|hole| (hole.degrees - places[number].degrees).abs() < 1e-9);
    let mut all = everything(places, drilling);
    all.retain(|hole| {
        (0..places.len()).all(|other| {
            other == hole.place
                || there(other)
                    .is_none_or(|old| clear(places, (hole.place, hole.drill), (other, old.drill), drilling.wall))
        })
    });
    let start = [size * degrees.to_radians().cos(), size * degrees.to_radians().sin()];
    let far = |hole: &Tried| {
        let apart = (places[hole.place].degrees - degrees).rem_euclid(360.0);
        apart.min(360.0 - apart)
    };
    let fits = |a: &Tried, b: &Tried| {
        a.place < b.place && clear(places, (a.place, a.drill), (b.place, b.drill), drilling.wall)
    };
    let mut best: Option<Rank> = (size <= allowed).then_some((0, 0.0, size));
    let mut least = size;
    let mut see = |holes: &[&Tried]| {
        let left = holes.iter().fold(start, |[x, y], hole| [x - hole.takes[0], y - hole.takes[1]]);
        let left = left[0].hypot(left[1]);
        least = least.min(left);
        let rank = (holes.len(), (holes.iter().map(|hole| far(hole)).sum::<f64>() * 1e6).round(), left);
        let is_better = best.is_none_or(|(count, distance, best)| {
            (rank.0, rank.1) < (count, distance) || (rank.0, rank.1) == (count, distance) && left < best
        });
        if left <= allowed && is_better {
            best = Some(rank);
        }
    };
    for a in &all {
        see(&[a]);
        for b in all.iter().filter(|b| fits(a, b)) {
            see(&[a, b]);
            for c in all.iter().filter(|c| fits(b, c) && fits(a, c)) {
                see(&[a, b, c]);
            }
        }
    }
    (best, least)
}

/// What the plan leaves, by its holes as they are told.
fn left_by_plan((size, degrees): (f64, f64), answer: &RotorBalance, drilling: &Drilling) -> f64 {
    let mut left = [size * degrees.to_radians().cos(), size * degrees.to_radians().sin()];
    for hole in &answer.plan {
        let takes = |depth| {
            hole_unbalance(drilling.direction, drilling.material.density(), [hole.drill_mm, depth], hole.radius_mm)
        };
        let off = takes(hole.depth_mm) - if hole.drilled_mm > 0.0 { takes(hole.drilled_mm) } else { 0.0 };
        let at = hole.place_degrees.to_radians();
        left = [left[0] - off * at.cos(), left[1] - off * at.sin()];
    }
    left[0].hypot(left[1])
}

#[test]
fn plans_are_the_best_of_all_choices() {
    let mut lots = Lots::new(7);
    let mut seen = [0; 5];
    for _ in 0..200 {
        let (places, drilling) = rotor(&mut lots);
        let found = (f64::from(lots.count(50, 1200)), f64::from(lots.count(0, 719)) / 2.0);
        let allowed = f64::from(lots.count(20, 250));
        check(found, allowed, &places, &drilling, &mut seen);
    }
    // None is so rare that nothing was tried: no hole, one, two, three, and nothing that reaches.
    assert!(seen.iter().all(|seen| *seen > 3), "{seen:?}");
}

/// Places round a rotor, or crowded so that holes keep one another away; a hole that is there in one of three.
fn rotor(lots: &mut Lots) -> (Vec<CorrectionPlace>, Drilling) {
    let radius = f64::from(lots.count(60, 110));
    let count = lots.count(2, 7);
    let is_crowded = lots.count(1, 3) == 1;
    let mut degrees = 0.0;
    let mut places = Vec::new();
    while places.len() < usize::from(count) {
        places.push(CorrectionPlace { degrees, radius });
        degrees += if is_crowded { 8.0 + f64::from(lots.count(0, 4)) } else { 360.0 / f64::from(count) };
    }
    let mut drilling = Drilling {
        direction: if lots.count(1, 3) == 1 { HoleDirection::Radial } else { HoleDirection::Axial },
        drills: if lots.count(1, 2) == 1 { vec![6.0, 9.0] } else { vec![8.0, 10.0, 12.5] },
        material: DrilledMaterial::Steel,
        thickness: f64::from(lots.count(14, 24)),
        wall: f64::from(lots.count(2, 5)),
        outer_radius: (lots.count(1, 2) == 1).then_some(radius + 9.0),
        depth_step: if lots.count(1, 2) == 1 { 2.0 } else { 2.5 },
        ..Drilling::default()
    };
    if lots.count(1, 3) == 1 {
        drilling.drilled.push(DrilledHole { degrees: places[1].degrees, drill: 8.0, depth: 4.0 });
    }
    (places, drilling)
}

#[track_caller]
fn check(found: (f64, f64), allowed: f64, places: &[CorrectionPlace], drilling: &Drilling, seen: &mut [usize; 5]) {
    let case = format!("{found:?}, {allowed} allowed, {places:?}, {drilling:?}");
    let answer = balance(&drilled(found, allowed, places.to_vec(), drilling.clone()))
        .unwrap_or_else(|reason| panic!("{case}: {reason}"));
    let (best, least) = tried_out(found, allowed, places, drilling);
    let left = answer.left.expect("it is told").g_mm;
    assert!((left_by_plan(found, &answer, drilling) - left).abs() < 1e-6, "{case}: {answer:?}");
    if let Some((count, distance, left_best)) = best {
        assert_eq!(answer.plan.len(), count, "{case}: {:?}", answer.plan);
        assert!((left - left_best).abs() < 1e-6, "{case}: {left} left, {left_best} is possible");
        let far = |hole: &PlannedHole| {
            let apart = (hole.place_degrees - found.1).rem_euclid(360.0);
            apart.min(360.0 - apart)
        };
        let told = answer.plan.iter().map(far).sum::<f64>();
        assert!((told - distance / 1e6).abs() < 1e-4, "{case}: {told} degrees, {distance} is possible");
        seen[count] += 1;
    } else {
        assert_eq!(answer.verdict, BalanceVerdict::NothingReaches, "{case}");
        assert!((left - least).abs() < 1e-6, "{case}: {left} left, {least} is possible");
        seen[4] += 1;
    }
}

/// A hole that was drilled deeper than planned is there, and the next plan begins from it.
#[test]
fn the_plan_for_the_rest_begins_from_the_holes_as_they_are() {
    let hole = DrilledHole { degrees: 90.0, drill: 12.0, depth: 12.0 };
    let drilling =
        Drilling { drills: vec![6.0, 8.0], thickness: 26.0, wall: 4.0, drilled: vec![hole], ..Drilling::default() };
    let answer = balance(&drilled((464.0, 90.0), 40.0, ring_of(12, 95.0), drilling)).expect("it is told");
    // 6 mm more of 12 mm take off 6 x 77.3586 g mm.
    let [deeper] = &answer.plan[..] else { panic!("{:?}", answer.plan) };
    assert_eq!((deeper.drilled_mm, deeper.depth_mm, deeper.drill_mm, deeper.first_depth_mm), (12.0, 18.0, 12.0, 16.0));
    assert!((deeper.takes_g_mm - 464.151_465).abs() < 1e-5 && (deeper.grams - 4.885_805).abs() < 1e-5, "{deeper:?}");
}

/// 2 x 2 holes of half a millimetre more or less: 2122 less 1734.4 at 90 degrees and 463.3 at 120 degrees.
#[test]
fn a_plan_says_what_half_a_millimetre_and_three_per_cent_make_of_it() {
    let answer = plan_in_iron((2122.0, 100.0), 120.0, &[6.0, 8.0, 10.0, 12.0]);
    let plane = &answer.planes[0];
    let takes = [[18.0, 90.0], [8.0, 120.0]].map(|[depth, at]: [f64; 2]| (depth, at.to_radians()));
    let left = |errors: [f64; 2], denser: f64| {
        let start = [2122.0 * 100.0_f64.to_radians().cos(), 2122.0 * 100.0_f64.to_radians().sin()];
        let [x, y] = takes.iter().zip(errors).fold(start, |[x, y], ((depth, at), error)| {
            // 0.0072 g/mm3 of a cylinder of 12 mm and a cone of 3.6052 mm.
            let volume = std::f64::consts::PI * 36.0 * (depth + error + 3.605_163_714 / 3.0);
            let off = 0.0072 * denser * volume * 95.0;
            [x - off * at.cos(), y - off * at.sin()]
        });
        x.hypot(y)
    };
    let by_depth = [[0.5, 0.5], [0.5, -0.5], [-0.5, 0.5], [-0.5, -0.5]].map(|errors| left(errors, 1.0));
    let worst = by_depth.into_iter().fold(0.0, f64::max);
    assert!((plane.left_by_depth_g_mm.expect("it is told") - worst).abs() < 1e-4, "{plane:?}, {worst}");
    let by_density = left([0.0; 2], 1.03).max(left([0.0; 2], 0.97));
    assert!((plane.left_by_density_g_mm.expect("it is told") - by_density).abs() < 1e-4, "{plane:?}, {by_density}");
}

/// Each limit is the one that is in the way.
#[test]
fn where_nothing_reaches_the_limit_in_the_way_is_named() {
    let disc = Drilling { drills: vec![6.0, 8.0], thickness: 26.0, wall: 4.0, ..Drilling::default() };
    let limits = |found: (f64, f64), allowed: f64, places: u32, drilling: &Drilling| {
        let answer = balance(&drilled(found, allowed, ring_of(places, 95.0), drilling.clone())).expect("it is told");
        assert_eq!(answer.verdict, BalanceVerdict::NothingReaches, "{answer:?}");
        answer.planes[0].limits.clone()
    };
    // One place takes off 680 g mm at most; three near the heavy side less than 3000.
    assert_eq!(
        limits((3000.0, 0.0), 10.0, 12, &Drilling { depth_step: 0.25, ..disc.clone() }),
        [PlanLimit::Wall, PlanLimit::Drills]
    );
    // From places at 0 and 180 degrees nothing is taken off at 90.
    assert_eq!(limits((500.0, 90.0), 100.0, 2, &disc), [PlanLimit::Places]);
    // The shallowest hole, 3 mm of 6 mm, takes off 70 g mm; 1 mm takes off 31, half a step more 10.
    assert_eq!(limits((33.0, 0.0), 5.0, 1, &disc), [PlanLimit::SmallerDrill, PlanLimit::LeastDepth]);
    // Four millimetres of wall leave 2 mm beyond 95: no drill of 6 or 8 mm, but one of 3 or 4.
    let edge = Drilling { outer_radius: Some(101.0), least_depth: 1.0, ..disc.clone() };
    assert_eq!(limits((33.0, 0.0), 12.0, 1, &edge), [PlanLimit::Edge, PlanLimit::SmallerDrill]);
    assert_eq!(limits((9e5, 90.0), 1.0, 2, &disc), [PlanLimit::Several]);
}

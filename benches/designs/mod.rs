//! Design problems with published figures, written for the search as anyone would write them: unknowns, expressions,
//! and code where sines are needed. For the benchmark and for the tests.

use std::f64::consts::PI;

use toothmark::exact::fraction;
use toothmark::search::{Expression, Requirement, SearchProblem, Space, Variable};

/// Four gears of 12 to 60 teeth: how near comes x1 x2 / (x3 x4) to 1/6.931?
///
/// E. Sandgren, Nonlinear integer and discrete programming in mechanical design optimization, ASME J. Mech. Des. 112
/// (1990) 223-229, who squares the distance; without the square the order is the same.
pub(crate) fn compound_train() -> SearchProblem {
    let mut space = Space::new();
    let [x1, x2, x3, x4] = ["x1", "x2", "x3", "x4"].map(|name| space.range(name, 12..=60));
    let mut problem = SearchProblem::new(space);
    problem.minimise((x1 * x2 / (x3 * x4)).distance_to(fraction(1000, 6931)));
    problem
}

/// The planetary train without a goal, and the goal by itself.
pub(crate) struct PlanetaryTrain {
    pub(crate) problem: SearchProblem,
    pub(crate) ratio_error: Expression,
}

/// The published problem RC22 of A. Kumar, G. Wu, M. Z. Ali, R. Mallipeddi, P. N. Suganthan, S. Das, A test-suite of
/// non-convex constrained optimization problems from the real-world and some baseline results, Swarm and
/// Evolutionary Computation 56 (2020) 100693, after P. A. Simionescu, D. Beale, G. V. Dozier, ASME J. Mech. Des.
/// 128 (2006) 108-115: unknowns N1 to N6, p, and m1 and m3 in quarters of a
/// millimetre; requirements g1 to g10 and h1.
pub(crate) fn planetary_train() -> PlanetaryTrain {
    let mut space = Space::new();
    let ranges = [17..=96, 14..=54, 14..=51, 17..=46, 14..=51, 48..=124];
    let mut at = 0;
    let teeth @ [n1, n2, n3, n4, n5, n6] = ranges.map(|range| {
        at += 1;
        space.range(&format!("N{at}"), range)
    });
    let p = space.range("p", 3..=5);
    let [m1, m3] = ["m1", "m3"].map(|name| space.values(name, [7, 8, 9, 10, 11, 12]));
    let d = space.derived("N6 - N3", n6 - n3);
    let mut problem = SearchProblem::new(space);
    problem.require("g1", (m3 * (2 * n6 + 5)).at_most(1760));
    problem.require("g2", (m1 * (n1 + 2 * n2 + 2)).at_most(880));
    problem.require("g3", (m3 * (n4 + 2 * n5 + 2)).at_most(880));
    problem.require("g4", (m1 * (n1 + n2)).distance_to(m3 * d).at_most(m1 + m3));
    problem.require("g5", Requirement::code([n1, n2, p], |v| clears(v[0] + v[1], v[1], v[2])));
    problem.require("g6", Requirement::code([d, n3, p], |v| clears(v[0], v[1], v[2])));
    problem.require("g7", Requirement::code([n4, n5, p], |v| clears(v[0] + v[1], v[1], v[2])));
    problem.require("g8", Requirement::code([n3, n4, n5, d, p], planets_clear));
    problem.require("g9", (n6 - 2 * n3 - n4).at_least(5));
    problem.require("g10", (n6 - n4 - 2 * n5).at_least(5));
    problem.require("h1", (n6 - n4).divisible_by(p));
    PlanetaryTrain { problem, ratio_error: ratio_error(teeth) }
}

/// The largest of three distances from wanted ratios.
fn ratio_error(teeth: [Variable; 6]) -> Expression {
    let [n1, n2, n3, n4, _, n6] = teeth;
    let stepped = n2 / (n1 * n3);
    let i1 = n6 / n4;
    let i2 = n6 * (1 + stepped.clone() * n4) / (n6 - n4);
    let reverse = -(stepped * n6);
    let errors = [
        i1.distance_to(fraction(311, 100)),
        i2.distance_to(fraction(184, 100)),
        reverse.distance_to(fraction(-311, 100)),
    ];
    Expression::largest(errors).expect("there are three")
}

fn float(whole: i64) -> f64 {
    f64::from(i32::try_from(whole).expect("tooth counts are small"))
}

/// g5 to g7: planets on a circle whose radius is half a sum of tooth counts do not touch their neighbours.
fn clears(sum: i64, planet: i64, planets: i64) -> bool {
    float(sum) * (PI / float(planets)).sin() >= float(planet) + 2.5
}

/// g8: the planets of the two circles do not touch each other; outside the domain of the arc cosine they cannot be
/// placed.
fn planets_clear(values: &[i64]) -> bool {
    let [n3, n4, n5, d, p] = [0, 1, 2, 3, 4].map(|at| float(values[at]));
    let (a, b) = (d, n4 + n5);
    let cosine = (a * a + b * b - (n3 + n5) * (n3 + n5)) / (2.0 * a * b);
    if !(-1.0..=1.0).contains(&cosine) {
        return false;
    }
    let beta = cosine.acos();
    let gap = n3 + n5 + 2.5;
    gap * gap <= a * a + b * b - 2.0 * a * b * (2.0 * PI / p - beta).cos()
}

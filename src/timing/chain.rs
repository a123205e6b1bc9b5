//! Planets in mesh with one another, in closed form where their meshes close no ring.
//!
//! What the central gears ask of a planet s at a place x is `t = x c / g (mod 1/g)`, see [`super::cluster`]. Its mesh with
//! a planet l, of counts P and Q, asks `P t + Q u = 0 (mod 1)`: with `h = gcd(g, P)` the turn u has to satisfy
//!
//! `(Q g / h) u = -(P / h) c x (mod 1)`,
//!
//! which is what a central gear with the count on the right would ask of a gear with that on the left. So the planets at the
//! ends of chains are taken away one after the other, each leaving its neighbour one row more. Worked out here.

use num_integer::Integer;

use super::cluster::{Cluster, GearPair};
use crate::gearset::{PlanetTerm, TimingRows};

/// Counts beyond are left to the general method, so that no product leaves a machine word.
const LARGEST: i64 = 1 << 30;

/// D: planets with these rows go together at a place x if and only if D x is whole; `None` where planets mesh in a ring,
/// or counts grow too large.
pub(super) fn spacing_divisor(rows: &TimingRows) -> Option<i64> {
    let mut pairs: Vec<Vec<GearPair>> = vec![Vec::new(); rows.planet_count()];
    let mut links: Vec<[PlanetTerm; 2]> = Vec::new();
    for row in rows.iter() {
        match row.terms[..] {
            [term] => pairs[term.planet].push(GearPair { planet: term.tooth_count, central: row.place_coefficient }),
            [one, other] => links.push([one, other]),
            _ => return None,
        }
    }
    let mut divisor = 0_i64;
    while let Some((link, end)) = end_of_chain(&links) {
        let terms = links.swap_remove(link);
        let (leaf, next) = (terms[end], terms[1 - end]);
        let of_leaf = std::mem::take(&mut pairs[leaf.planet]);
        // A planet that no central gear holds turns as its neighbour asks.
        if of_leaf.is_empty() {
            continue;
        }
        let cluster = bounded(&of_leaf)?;
        divisor = divisor.gcd(&cluster.spacing_divisor);
        pairs[next.planet].push(asked_of_next(&cluster, leaf.tooth_count, next.tooth_count)?);
    }
    if !links.is_empty() {
        return None;
    }
    for of_planet in pairs.iter().filter(|of_planet| !of_planet.is_empty()) {
        divisor = divisor.gcd(&bounded(of_planet)?.spacing_divisor);
    }
    Some(divisor)
}

/// A link one of whose planets has no other, and which of the two.
fn end_of_chain(links: &[[PlanetTerm; 2]]) -> Option<(usize, usize)> {
    let meets = |planet: usize| links.iter().flatten().filter(|term| term.planet == planet).count();
    let end = |link: &[PlanetTerm; 2]| link.iter().position(|term| meets(term.planet) == 1);
    links.iter().enumerate().find_map(|(place, link)| Some((place, end(link)?)))
}

/// The row that a planet at the end of a chain leaves for its neighbour.
fn asked_of_next(cluster: &Cluster, own: i64, others: i64) -> Option<GearPair> {
    let common = cluster.equivalent_seatings.gcd(&own);
    let planet = others.checked_mul(cluster.equivalent_seatings / common)?;
    let central = (own / common).checked_mul(cluster.turn_factor)?.checked_neg()?;
    Some(GearPair { planet, central })
}

/// The cluster with these gears, if they are small enough for its products.
fn bounded(pairs: &[GearPair]) -> Option<Cluster> {
    let is_small = |count: i64| (-LARGEST..=LARGEST).contains(&count);
    pairs.iter().all(|pair| is_small(pair.planet) && is_small(pair.central)).then(|| Cluster::new(pairs))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::description;
    use crate::random::cases;
    use crate::timing::solver::Solver;

    /// Three planets in a row between suns and rings of any counts; the second or the third may touch no central gear.
    fn chain(counts: [u16; 7], touched: [bool; 3]) -> String {
        let [a, b, c, p, q, r, more] = counts;
        let with = |touched: bool, mesh: &str| if touched { mesh.to_owned() } else { String::new() };
        let meshes = [
            with(touched[0], r#"("b", "q"), "#),
            with(touched[1], r#"("c", "r"), "#),
            with(touched[2], r#"("w", "v"), "#),
        ];
        format!(
            r#"Gearset(title: "chain", members: {{ "s": [Sun("a", {a}), Sun("b", {b}), Sun("c", {c}), Sun("w", {more})], "carrier": [] }},
            planets: {{ "P": (carrier: "carrier", pins: Equal(3), gears: [Gear("p", {p}), Gear("v", {c})]),
            "Q": (carrier: "carrier", pins: Equal(3), gears: [Gear("q", {q})]),
            "R": (carrier: "carrier", pins: Equal(3), gears: [Gear("r", {r})]) }},
            meshes: [("a", "p"), ("p", "q"), ("q", "r"), {}])"#,
            meshes.concat()
        )
    }

    proptest! {
        #![proptest_config(cases(256))]

        /// The Smith form knows nothing of chains.
        #[test]
        fn chains_agree_with_the_general_method(
            counts in proptest::array::uniform7(6..48u16), touched in proptest::array::uniform3(any::<bool>()),
        ) {
            let Ok(set) = description::read(&chain(counts, touched)) else { return Ok(()) };
            let rows = set.matrix().timing(&set.planet_groups()[0]);
            let general = Solver::new(&rows).spacing_divisor();
            let by_chain = spacing_divisor(&rows).expect("it closes no ring, and its counts are small");
            prop_assert_eq!(general, by_chain.into());
        }
    }
}

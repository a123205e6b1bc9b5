//! Places on a line, some pairs of which should stand given lengths apart: how near can all come?
//!
//! Link l wants `place[to] - place[from] = length` and may miss it by `level * tolerance - doubt`.
//! The least level that all links bear is the largest, over the circuits of the graph, of
//! `|sum of lengths, each with its sense| + sum of doubts` over the sum of tolerances. It is found
//! from below: as long as some circuit asks for more, its own quotient is the next level (Dinkelbach
//! (1967), "On nonlinear fractional programming", Management Science 13, 492-498; circuits of
//! negative length by the method of Bellman (1958), Quart. Appl. Math. 16, 87-90). What floats lose
//! is below a billionth of the largest length.

/// A length that two places should be apart.
#[derive(Debug, Clone, Copy)]
pub(super) struct Link {
    pub(super) from: usize,
    pub(super) to: usize,
    pub(super) length: f64,
    /// How much a miss counts, greater than 0: as the miss over this.
    pub(super) tolerance: f64,
    /// How much more than that has to be allowed for; negative: how much less.
    pub(super) doubt: f64,
}

/// A step from place to place: `place[to] - place[from]` is at most `length + level * tolerance`.
#[derive(Debug, Clone, Copy)]
struct TensionStep {
    from: usize,
    to: usize,
    length: f64,
    tolerance: f64,
}

/// The least level, and the circuit that asks for it; none where the level is where it began.
struct TightestCircuit {
    level: f64,
    circuit: Vec<TensionStep>,
    places: Vec<f64>,
}

/// What is lost in the sums of a circuit.
const ROUNDING: f64 = 1e-13;

/// The least level that all links bear, where it is known to be `at_least` so much.
pub(super) fn least_level(nodes: usize, links: &[Link], at_least: f64) -> f64 {
    tightest(nodes, &steps(links), at_least).level
}

fn steps(links: &[Link]) -> Vec<TensionStep> {
    let both = |link: &Link| {
        let Link { from, to, length, tolerance, doubt } = *link;
        [
            TensionStep { from, to, length: length - doubt, tolerance },
            TensionStep { from: to, to: from, length: -length - doubt, tolerance },
        ]
    };
    links.iter().flat_map(both).collect()
}

fn tightest(nodes: usize, steps: &[TensionStep], at_least: f64) -> TightestCircuit {
    let mut found = TightestCircuit { level: at_least, circuit: Vec::new(), places: Vec::new() };
    loop {
        let circuit = match negative_circuit(nodes, steps, found.level) {
            Ok(places) => {
                found.places = places;
                return found;
            }
            Err(circuit) => circuit,
        };
        let length: f64 = circuit.iter().map(|step| step.length).sum();
        let tolerance: f64 = circuit.iter().map(|step| step.tolerance).sum();
        let level = -length / tolerance;
        // Rounding alone may name a circuit that asks for no more than is given.
        let grows = level > found.level;
        found.level = if grows { level } else { found.level + ROUNDING / tolerance };
        if grows {
            found.circuit = circuit;
        }
    }
}

/// Places that keep every step at a level, or a circuit that does not.
fn negative_circuit(nodes: usize, steps: &[TensionStep], level: f64) -> Result<Vec<f64>, Vec<TensionStep>> {
    let mut places = vec![0.0; nodes];
    let mut came_by: Vec<Option<usize>> = vec![None; nodes];
    let mut last = None;
    for _ in 0..=nodes {
        last = None;
        for (number, step) in steps.iter().enumerate() {
            let reached = places[step.from] + step.length + level * step.tolerance;
            if reached < places[step.to] - ROUNDING {
                places[step.to] = reached;
                came_by[step.to] = Some(number);
                last = Some(step.to);
            }
        }
        if last.is_none() {
            return Ok(places);
        }
    }
    // Going back as many steps as there are places ends in the circuit.
    let back = |node: usize| came_by[node].map_or(node, |number| steps[number].from);
    let on_circuit = (0..nodes).fold(last.unwrap_or_default(), |node, _| back(node));
    let mut circuit = Vec::new();
    let mut node = on_circuit;
    while let Some(number) = came_by[node] {
        circuit.push(steps[number]);
        node = steps[number].from;
        if node == on_circuit {
            break;
        }
    }
    circuit.reverse();
    Err(circuit)
}

/// The places of the strict best: the largest quotient of a miss to its tolerance is as small as can
/// be, then the largest of those that this leaves open, and so on. All places are to be linked.
///
/// Where links have doubts, of a miss and its doubt together. Doubts that are as much more as c tolerances raise every
/// level by c and change no place; so much is added that none is below 0, and no level can be.
pub(super) fn strict_places(nodes: usize, links: &[Link]) -> Vec<f64> {
    /// A level that counts as none.
    const NONE: f64 = 1e-11;
    // Places whose distance is settled move as one body, each with its place in it.
    let mut body: Vec<usize> = (0..nodes).collect();
    let mut within = vec![0.0; nodes];
    let raised = links.iter().map(|link| -link.doubt / link.tolerance).fold(0.0, f64::max);
    loop {
        let open = |link: &&Link| body[link.from] != body[link.to];
        let between_bodies: Vec<Link> = links
            .iter()
            .filter(open)
            .map(|link| Link {
                from: body[link.from],
                to: body[link.to],
                length: link.length + within[link.from] - within[link.to],
                doubt: link.doubt + raised * link.tolerance,
                ..*link
            })
            .collect();
        let TightestCircuit { level, circuit, places } = tightest(nodes, &steps(&between_bodies), 0.0);
        if circuit.is_empty() || level < NONE {
            return (0..nodes).map(|node| places[body[node]] + within[node]).collect();
        }
        let (into, mut distance) = (circuit[0].from, 0.0);
        for step in &circuit[..circuit.len() - 1] {
            distance += step.length + level * step.tolerance;
            for node in 0..nodes {
                if body[node] == step.to {
                    body[node] = into;
                    within[node] += distance;
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn link(from: usize, to: usize, length: f64) -> Link {
        Link { from, to, length, tolerance: 1.0, doubt: 0.0 }
    }

    #[track_caller]
    fn near(found: f64, expected: f64) {
        assert!((found - expected).abs() < 1e-9, "{found}, not {expected}");
    }

    #[test]
    fn two_lengths_for_one_distance_share_their_difference() {
        let links = [link(0, 1, 1.0), link(0, 1, 1.5)];
        near(least_level(2, &links, 0.0), 0.25);
        let places = strict_places(2, &links);
        near(places[1] - places[0], 1.25);
    }

    #[test]
    fn lengths_that_agree_ask_for_nothing() {
        let links = [link(0, 1, 1.0), link(1, 2, 2.0), link(0, 2, 3.0)];
        near(least_level(3, &links, 0.0), 0.0);
        let places = strict_places(3, &links);
        near(places[1] - places[0], 1.0);
        near(places[2] - places[0], 3.0);
    }

    #[test]
    fn what_the_worst_circuit_leaves_open_is_settled_by_the_next() {
        let links = [link(0, 1, 0.0), link(0, 1, 1.0), link(1, 2, 0.0), link(1, 2, 0.4)];
        let places = strict_places(3, &links);
        near(places[1] - places[0], 0.5);
        near(places[2] - places[1], 0.2);
    }

    #[test]
    fn a_link_that_has_more_room_takes_more_of_a_miss() {
        let links = [Link { doubt: -0.3, ..link(0, 1, 0.0) }, link(0, 1, 1.0)];
        near(least_level(2, &links, 0.0), 0.35);
        near(strict_places(2, &links)[1] - strict_places(2, &links)[0], 0.65);
        let roomy = links.map(|link| Link { doubt: link.doubt - 5.0, ..link });
        near(strict_places(2, &roomy)[1] - strict_places(2, &roomy)[0], 0.65);
    }

    #[test]
    fn a_doubt_asks_for_room_to_both_sides() {
        let doubtful = Link { doubt: 0.1, ..link(0, 1, 1.0) };
        near(least_level(2, &[doubtful, link(0, 1, 1.5)], 0.0), 0.3);
        near(least_level(2, &[Link { doubt: -0.1, ..doubtful }, link(0, 1, 1.5)], 0.0), 0.2);
    }
}

//! How does one speed follow from another in a long train, counts being open?
//!
//! Where all meshes between two parts of a train share one body only, that body parts the train: what is behind it sees
//! nothing of what is before it but that body's speed. So between the input and the output each part is solved by itself,
//! from the body by which it is driven to the one by which it drives the next, and the quotients of speeds are multiplied:
//! gearsets in series take as long as there are gearsets. Parts are found by flooding the graph of rows and bodies along one
//! path; a body on the path parts it if nothing before it reaches beyond it (Tarjan, SIAM Journal on Computing 1, 1972,
//! p. 146, on articulation points). The speeds of a part may be multiplied by any factor, which is why it is enough to know
//! each part for the speed 1 of its first body.

use std::collections::{BTreeMap, BTreeSet, VecDeque};

use super::elimination::{Derivation, Follows, Holds, MOST_PRODUCTS, follow};
use super::rows::PolynomialRow;
use crate::exact::{Polynomial, RationalFunction};

/// The speed in the column `target` when that in the column `driver` is 1 and counts are chosen at will; column 0 stands.
/// `None` where the polynomials become too long.
pub(super) fn follow_at_large(rows: &[PolynomialRow], driver: usize, target: usize) -> Option<Derivation> {
    let whole = || follow(rows.to_vec(), driver, target, Holds::AtLarge);
    let parts = parts(rows, driver, target);
    if parts.len() < 2 {
        return whole();
    }
    let solved = parts.iter().map(|part| {
        let own = part.rows.iter().map(|&row| rows[row].clone()).collect();
        follow(own, part.driver, part.target, Holds::AtLarge)
    });
    let Some(solved) = solved.collect::<Option<Vec<_>>>() else { return whole() };
    let mut nonzero: Vec<Polynomial> = Vec::new();
    for factor in solved.iter().flat_map(|part| &part.nonzero) {
        if !nonzero.contains(factor) {
            nonzero.push(factor.clone());
        }
    }
    let solved: Vec<Follows> = solved.into_iter().map(|part| part.follows).collect();
    match joined(&solved) {
        Joined::Follows(follows) => Some(Derivation { follows, conditions: Vec::new(), nonzero }),
        Joined::TooLong => None,
        Joined::Unclear => whole(),
    }
}

/// What parts in a row come to.
enum Joined {
    Follows(Follows),
    /// The product would have too many terms.
    TooLong,
    /// It takes all rows at once to tell.
    Unclear,
}

/// What follows over all parts, each driven by the one before.
fn joined(parts: &[Follows]) -> Joined {
    let passes_on = |part: &&Follows| match part {
        Follows::Value(quotient) => !quotient.is_zero(),
        Follows::Nothing | Follows::Contradiction => false,
    };
    let is_open = |part: &Follows| matches!(part, Follows::Nothing);
    // A body that cannot turn holds every body that drives it by a quotient which is not 0.
    if let Some(Follows::Contradiction) = parts.iter().find(|part| !passes_on(part)) {
        return Joined::Follows(Follows::Contradiction);
    }
    let quotients: Vec<&RationalFunction> = parts
        .iter()
        .filter_map(|part| match part {
            Follows::Value(quotient) => Some(quotient),
            Follows::Nothing | Follows::Contradiction => None,
        })
        .collect();
    if quotients.len() == parts.len() {
        return RationalFunction::product(&quotients, MOST_PRODUCTS)
            .map_or(Joined::TooLong, |product| Joined::Follows(Follows::Value(product)));
    }
    // A speed with many values has many behind any number of quotients that are not 0.
    if parts.iter().all(|part| passes_on(&part) || is_open(part)) {
        return Joined::Follows(Follows::Nothing);
    }
    Joined::Unclear
}

/// A part of a train between two bodies that part it from the others.
#[derive(Debug)]
struct Part {
    rows: Vec<usize>,
    driver: usize,
    target: usize,
}

/// The parts between two columns, in order, with all that hangs on them; none where nothing connects the two.
fn parts(rows: &[PolynomialRow], driver: usize, target: usize) -> Vec<Part> {
    let graph = RowGraph::new(rows);
    let path = graph.path(driver, target);
    let mut flood = Flood {
        graph: &graph,
        place: path.iter().enumerate().map(|(place, &column)| (column, place)).collect(),
        seen: vec![false; rows.len()],
        beside: BTreeSet::new(),
        furthest: 0,
    };
    let mut parts: Vec<Part> = Vec::new();
    for (place, &column) in path.iter().enumerate() {
        let is_last = place + 1 == path.len();
        // Nothing before this body reaches beyond it.
        if flood.furthest == place && !is_last {
            if let Some(before) = parts.last_mut() {
                before.target = column;
            }
            parts.push(Part { rows: Vec::new(), driver: column, target });
        }
        let found = flood.from(column);
        if let Some(part) = parts.last_mut() {
            part.rows.extend(found);
        }
    }
    parts
}

/// Which rows have an entry in which columns.
struct RowGraph<'a> {
    rows: &'a [PolynomialRow],
    in_column: BTreeMap<usize, Vec<usize>>,
}

impl<'a> RowGraph<'a> {
    fn new(rows: &'a [PolynomialRow]) -> Self {
        let mut in_column: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
        for (number, row) in rows.iter().enumerate() {
            for &column in row.keys() {
                in_column.entry(column).or_default().push(number);
            }
        }
        Self { rows, in_column }
    }

    fn rows_of(&self, column: usize) -> &[usize] {
        self.in_column.get(&column).map_or(&[], Vec::as_slice)
    }

    /// A shortest path of columns from one to another, both included; empty where there is none.
    fn path(&self, from: usize, to: usize) -> Vec<usize> {
        let mut before = BTreeMap::from([(from, from)]);
        let mut seen = vec![false; self.rows.len()];
        let mut waiting = VecDeque::from([from]);
        while let Some(column) = waiting.pop_front() {
            for &row in self.rows_of(column) {
                if std::mem::replace(&mut seen[row], true) {
                    continue;
                }
                for &next in self.rows[row].keys() {
                    before.entry(next).or_insert_with(|| {
                        waiting.push_back(next);
                        column
                    });
                }
            }
        }
        if !before.contains_key(&to) {
            return Vec::new();
        }
        let mut path = vec![to];
        while let Some(&last) = path.last().filter(|&&last| last != from) {
            path.push(before[&last]);
        }
        path.reverse();
        path
    }
}

/// Rows that are reached, body by body of a path.
struct Flood<'a> {
    graph: &'a RowGraph<'a>,
    /// The place of each column on the path.
    place: BTreeMap<usize, usize>,
    seen: Vec<bool>,
    /// The columns beside the path that were reached.
    beside: BTreeSet<usize>,
    /// The last place on the path that was reached.
    furthest: usize,
}

impl Flood<'_> {
    /// The rows that are reached from a column on the path, and were not before, without passing another on it.
    fn from(&mut self, column: usize) -> Vec<usize> {
        let mut found = Vec::new();
        let mut waiting = vec![column];
        while let Some(column) = waiting.pop() {
            for &row in self.graph.rows_of(column) {
                if std::mem::replace(&mut self.seen[row], true) {
                    continue;
                }
                found.push(row);
                for next in self.graph.rows[row].keys() {
                    match self.place.get(next) {
                        Some(&place) => self.furthest = self.furthest.max(place),
                        None if self.beside.insert(*next) => waiting.push(*next),
                        None => {}
                    }
                }
            }
        }
        found
    }
}

#[cfg(test)]
mod tests {
    use super::super::rows::StateRows;
    use super::*;
    use crate::description;
    use crate::exact::Polynomial;
    use crate::gearset::Gearset;

    fn whole(rows: &[PolynomialRow], driver: usize, target: usize) -> Option<Follows> {
        follow(rows.to_vec(), driver, target, Holds::AtLarge).map(|derivation| derivation.follows)
    }

    /// Compares both ways, and says in how many parts which answer follows.
    #[track_caller]
    fn check(rows: &[PolynomialRow], driver: usize, target: usize) -> (usize, Option<Follows>) {
        let by_parts = follow_at_large(rows, driver, target).map(|derivation| derivation.follows);
        let whole = whole(rows, driver, target);
        assert_eq!(format!("{by_parts:?}"), format!("{whole:?}"), "from {driver} to {target} in {rows:?}");
        (parts(rows, driver, target).len(), whole)
    }

    /// How many speeds of a gearset follow in several parts.
    fn check_set(set: &Gearset) -> usize {
        let in_state = |state| {
            let rows = StateRows::new(set, state);
            let targets = set.member_ids().map(|member| rows.column(member));
            targets.filter(|&target| check(&rows.rows, rows.column(state.input), target).0 > 1).count()
        };
        set.states().iter().map(in_state).sum()
    }

    #[test]
    fn every_speed_of_every_example_is_that_of_all_rows_at_once() {
        let found = description::examples().iter().map(|example| check_set(&description::read(example.text).unwrap()));
        assert!(found.sum::<usize>() > 0, "some trains have parts");
    }

    /// Rows in a row of clumps, at random: clumps that share a body with the next, that share none, that have a row too
    /// few, a row too many, that stand still.
    #[test]
    fn every_speed_of_random_trains_is_that_of_all_rows_at_once() {
        /// The multiplier is one of those in Knuth, "The Art of Computer Programming" 2, section 3.3.4, table 1.
        const MULTIPLIER: u64 = 6_364_136_223_846_793_005;
        let mut random = 0x9E37_79B9_u64;
        let mut below = |bound: u64| {
            random = random.wrapping_mul(MULTIPLIER).wrapping_add(1);
            usize::try_from((random >> 33) % bound).expect("a small number")
        };
        let (mut several, mut told) = (0, [0; 3]);
        for _ in 0..400 {
            let mut rows: Vec<PolynomialRow> = Vec::new();
            let clumps = 2 + below(3);
            for clump in 0..clumps {
                for _ in 0..=below(3) {
                    // Columns 2c+1 to 2c+3: the last is the first of the next clump.
                    let mut row = PolynomialRow::new();
                    for column in 2 * clump + 1..2 * clump + 4 {
                        let factor = &Polynomial::unknown(below(4)) + &Polynomial::constant(below(3));
                        if below(4) > 0 {
                            row.insert(column, factor);
                        }
                    }
                    if !row.is_empty() {
                        rows.push(row);
                    }
                }
            }
            for target in 1..2 * clumps + 2 {
                let (parts, follows) = check(&rows, 1, target);
                several += usize::from(parts > 1);
                match follows {
                    Some(Follows::Value(_)) => told[0] += 1,
                    Some(Follows::Nothing) => told[1] += 1,
                    Some(Follows::Contradiction) => told[2] += 1,
                    None => {}
                }
            }
        }
        assert!(several > 200 && told.iter().all(|&count| count > 50), "{several} of several parts, {told:?}");
    }

    /// A hundred sets are a hundred parts of two rows each: the work grows with their number and no faster.
    #[test]
    fn sets_in_series_are_parts_of_their_own_rows() {
        let row = |entries: [(usize, usize); 2]| -> PolynomialRow {
            entries.into_iter().map(|(column, unknown)| (column, Polynomial::unknown(unknown))).collect()
        };
        // Sun, planet, carrier, the ring held: the carrier is the next sun.
        let rows: Vec<PolynomialRow> = (0..100)
            .flat_map(|set| {
                let [sun, planet, carrier] = [2 * set + 1, 2 * set + 2, 2 * set + 3];
                [row([(sun, 3 * set), (planet, 3 * set + 1)]), row([(planet, 3 * set + 1), (carrier, 3 * set + 2)])]
            })
            .collect();
        let found = parts(&rows, 1, 201);
        let sizes: Vec<usize> = found.iter().map(|part| part.rows.len()).collect();
        assert_eq!(sizes.iter().sum::<usize>(), 200);
        assert!(sizes.len() >= 100 && sizes.iter().all(|&size| size <= 2), "{sizes:?}");
        assert_eq!((found[0].driver, found[found.len() - 1].target), (1, 201));
    }
}

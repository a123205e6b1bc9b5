//! Which holes leave the least, proven over every choice?
//!
//! A set of places is decided as a whole, for what is near the heavy side depends on places alone. Within a set the last
//! hole is not searched for: of the vector r that is left the nearest length on its ray e is `s = Re(r conj e)`, and a
//! longer or shorter one leaves more, so its neighbours in the sorted list are looked at outward until they leave too
//! much. What stands across the last ray, `Im(r conj e)`, no length of it can take off: with that the one before last is
//! bounded to a short stretch of its own list, and of three places the first to the stretch that the other two can
//! complete. A set is left out where `n U - sum of the most that each hole takes along n` exceeds what may be left, n being
//! the unit vector towards the heavy side: no choice of depths can leave less. So every choice is tried or proven to be no
//! better.

use std::ops::Range;

use num_complex::Complex64;

use super::super::unbalance::degrees_apart;
use super::rays::{HoleChoice, Ray, is_apart};

/// At most so many holes are drilled at a time.
pub(super) const MOST_HOLES: usize = 3;
/// What is left is compared so closely, in g mm.
const TOLERANCE: f64 = 1e-9;

/// Rays that differ by less, in radians, are parallel, and bound nothing.
const PARALLEL: f64 = 1e-6;

/// Places by their numbers, with the sum of their angles from the heavy side.
type PlaceSet = (f64, Vec<usize>);

/// Where holes can be drilled, and what is to be taken off.
#[derive(Debug, Clone, Copy)]
pub(super) struct Choices<'a> {
    /// The unbalance.
    pub(super) found: Complex64,
    /// Every place.
    pub(super) rays: &'a [Ray],
    /// The wall between two holes.
    pub(super) wall: f64,
}

/// Holes, each at one of the rays, and what they leave.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Holes {
    pub(super) holes: Vec<(usize, HoleChoice)>,
    pub(super) left: f64,
}

impl Choices<'_> {
    /// The fewest holes that leave no more than is allowed; among these those at the places nearest to the heavy side, by
    /// the sum of their angles from it; then those that leave least.
    pub(super) fn fewest(&self, allowed: f64) -> Option<Holes> {
        if self.found.norm() <= allowed + TOLERANCE {
            return Some(Holes { holes: Vec::new(), left: self.found.norm() });
        }
        (1..=MOST_HOLES).find_map(|count| self.nearest_of(count, allowed))
    }

    /// The holes that leave least, whatever is allowed; of those that leave the same the fewest.
    pub(super) fn least_left(&self) -> Holes {
        let mut best = Holes { holes: Vec::new(), left: self.found.norm() };
        for count in 1..=MOST_HOLES {
            // The nearest first: what leaves little is found early, and bounds the others.
            let mut sets = self.sets(count);
            sets.sort_by(|first, second| first.0.total_cmp(&second.0));
            for (_, set) in sets {
                if let Some(better) = self.best_at(&set, best.left - TOLERANCE) {
                    best = better;
                }
            }
        }
        best
    }

    fn nearest_of(&self, count: usize, allowed: f64) -> Option<Holes> {
        let mut sets = self.sets(count);
        sets.sort_by(|first, second| first.0.total_cmp(&second.0));
        for alike in sets.chunk_by(|first, second| first.0.total_cmp(&second.0).is_eq()) {
            let better = |best: Option<Holes>, (_, set): &PlaceSet| {
                let most = best.as_ref().map_or(allowed + TOLERANCE, |best| best.left - TOLERANCE);
                self.best_at(set, most).or(best)
            };
            if let Some(best) = alike.iter().fold(None, better) {
                return Some(best);
            }
        }
        None
    }

    /// Every set of so many places where something can be drilled, with the sum of their angles from the heavy side.
    fn sets(&self, count: usize) -> Vec<PlaceSet> {
        let usable = (0..self.rays.len()).filter(|&ray| !self.rays[ray].choices.is_empty());
        let mut sets: Vec<PlaceSet> = vec![(0.0, Vec::new())];
        let usable: Vec<(usize, f64)> = usable.map(|ray| (ray, self.degrees_off_heavy(ray))).collect();
        for _ in 0..count {
            let longer = |(distance, set): &PlaceSet| {
                let (distance, set) = (*distance, set.clone());
                let after = set.last().copied();
                let next = usable.iter().filter(move |(ray, _)| after.is_none_or(|after| *ray > after));
                next.map(move |&(ray, own)| (distance + own, [&set[..], &[ray]].concat())).collect::<Vec<_>>()
            };
            sets = sets.iter().flat_map(longer).collect();
        }
        sets
    }

    /// How far a place is from the heavy side, in whole millionths of a degree, so that equal distances are equal, and
    /// their sums as well.
    fn degrees_off_heavy(&self, ray: usize) -> f64 {
        (degrees_apart(self.rays[ray].place.degrees, self.found.arg().to_degrees()) * 1e6).round()
    }

    /// The best holes at these places, one at each, that leave no more than this.
    fn best_at(&self, set: &[usize], most: f64) -> Option<Holes> {
        let mut search = PlaceSetSearch { choices: self, set, taken: Vec::new(), best: None, most };
        search.from(self.found, 0);
        let holes = search.best?;
        Some(Holes { holes: set.iter().copied().zip(holes).collect(), left: search.most })
    }
}

/// The search at one set of places.
struct PlaceSetSearch<'a> {
    choices: &'a Choices<'a>,
    set: &'a [usize],
    /// What is chosen at the first places of the set.
    taken: Vec<HoleChoice>,
    best: Option<Vec<HoleChoice>>,
    /// What the best leaves, or what may be left at most.
    most: f64,
}

impl<'a> PlaceSetSearch<'a> {
    fn ray(&self, place: usize) -> &'a Ray {
        &self.choices.rays[self.set[place]]
    }

    /// Goes through what can be drilled at this place and those behind it, when so much is left to take off.
    fn from(&mut self, left: Complex64, place: usize) {
        match self.set.len() - place {
            1 => self.last(left, place),
            _ if self.cannot_reach(left, place) => {}
            2 => self.before_last(left, place),
            _ => {
                let ray = self.ray(place);
                for choice in &ray.choices[self.completed(left, place)] {
                    self.take(*choice, left, place);
                }
            }
        }
    }

    /// The stretch of what can be drilled at the first of three places that the other two complete. Across the ray of
    /// either of them, which its own hole does not change, `Im(left conj e) - s Im(d conj e) - t Im(d' conj e)` has to come
    /// within what may be left, t being anything from the least to the most that the third hole takes.
    fn completed(&self, left: Complex64, place: usize) -> Range<usize> {
        let ray = self.ray(place);
        let (second, third) = (self.ray(place + 1), self.ray(place + 2));
        let (mut least, mut most) = (0.0_f64, f64::INFINITY);
        for (along, other) in [(second, third), (third, second)] {
            let across = |vector: Complex64| (vector * along.direction.conj()).im;
            let [low, high] = other.least_and_most().map(|takes| across(left) - takes * across(other.direction));
            let (low, high) = (low.min(high) - self.most - TOLERANCE, low.max(high) + self.most + TOLERANCE);
            let slope = across(ray.direction);
            if slope.abs() < PARALLEL {
                let reach = slope.abs() * ray.least_and_most()[1];
                if low > reach || high < -reach {
                    return 0..0;
                }
                continue;
            }
            let ends = [low / slope, high / slope];
            least = least.max(ends[0].min(ends[1]));
            most = most.min(ends[0].max(ends[1]));
        }
        let begin = ray.choices.partition_point(|choice| choice.takes < least - TOLERANCE);
        let end = ray.choices.partition_point(|choice| choice.takes <= most + TOLERANCE);
        begin..end.max(begin)
    }

    fn take(&mut self, choice: HoleChoice, left: Complex64, place: usize) {
        if self.stands_clear(choice, place) {
            self.taken.push(choice);
            self.from(left - self.ray(place).direction * choice.takes, place + 1);
            self.taken.pop();
        }
    }

    /// Whether more than may be left stays along the direction of what is left, whatever is drilled.
    fn cannot_reach(&self, left: Complex64, place: usize) -> bool {
        let size = left.norm();
        if size <= 0.0 {
            return false;
        }
        let most_along = |place: usize| {
            let ray = self.ray(place);
            let along = (ray.direction * left.conj()).re / size;
            let chosen = if along > 0.0 { ray.choices.last() } else { ray.choices.first() };
            chosen.map_or(0.0, |choice| choice.takes * along)
        };
        size - (place..self.set.len()).map(most_along).sum::<f64>() > self.most
    }

    /// Of the place before the last only the choices that bring what is left onto the last ray, as near as may be:
    /// `|Im(left conj e) - s Im(d conj e)| <= most`.
    fn before_last(&mut self, left: Complex64, place: usize) {
        let (ray, last) = (self.ray(place), self.ray(place + 1));
        let across = (left * last.direction.conj()).im;
        let slope = (ray.direction * last.direction.conj()).im;
        let beyond = |choice: &HoleChoice, most: f64| (across - choice.takes * slope).abs() > most;
        let is_short = |choice: &HoleChoice, most: f64| {
            let over = (across - choice.takes * slope) * slope.signum();
            over > most
        };
        let begin = ray.choices.partition_point(|choice| is_short(choice, self.most));
        for choice in &ray.choices[begin..] {
            if beyond(choice, self.most) {
                if slope.abs() > 0.0 && (across - choice.takes * slope) * slope.signum() < 0.0 {
                    break;
                }
                continue;
            }
            self.take(*choice, left, place);
        }
    }

    /// Of the last place the nearest length, and its neighbours outward as long as they leave less than the best.
    fn last(&mut self, left: Complex64, place: usize) {
        let ray = self.ray(place);
        let turned = left * ray.direction.conj();
        let leaves = |choice: &HoleChoice| (turned.re - choice.takes).hypot(turned.im);
        let middle = ray.choices.partition_point(|choice| choice.takes < turned.re);
        let (shorter, longer) = ray.choices.split_at(middle);
        for side in [&mut shorter.iter().rev() as &mut dyn Iterator<Item = &HoleChoice>, &mut longer.iter()] {
            for choice in side {
                let leaves = leaves(choice);
                if leaves > self.most {
                    break;
                }
                if self.stands_clear(*choice, place) {
                    if self.best.is_none() || leaves < self.most {
                        self.most = leaves;
                        self.best = Some(self.taken.iter().copied().chain([*choice]).collect());
                    }
                    break;
                }
            }
        }
    }

    /// Whether a hole leaves the wall to those that are taken.
    fn stands_clear(&self, choice: HoleChoice, place: usize) -> bool {
        let middle = self.ray(place).middle;
        self.taken.iter().enumerate().all(|(other, taken)| {
            is_apart(middle, choice.drill, self.ray(other).middle, taken.drill, self.choices.wall)
        })
    }
}

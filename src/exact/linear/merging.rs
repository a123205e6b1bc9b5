//! Which unknowns are one and the same, once some are said to be equal?
//!
//! Union-find with path halving (Tarjan and van Leeuwen, Journal of the ACM 31,
//! 1984, p. 245). The smallest member stands for its set, so whatever is equal to
//! unknown 0, which is always zero, is found with 0.

use super::equations::Equality;

/// What a set of equal unknowns is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Class {
    /// Equal to unknown 0: always zero.
    Fixed,
    /// A variable of its own, by its number.
    Variable(usize),
}

/// The class of every unknown that was asked for.
#[derive(Debug)]
pub(super) struct EqualUnknowns {
    class_of: Vec<Class>,
    /// How many variables there are.
    pub(super) count: usize,
}

impl EqualUnknowns {
    /// Numbers the classes of the unknowns `among`, which rise and start with 0.
    ///
    /// Unknowns elsewhere must not occur in an equality; they get no class. The class
    /// of `last`, unless fixed, is the variable with the highest number.
    pub(super) fn new(unknowns: usize, among: &[usize], equalities: &[Equality], last: Option<usize>) -> Self {
        let mut parent: Vec<usize> = (0..unknowns).collect();
        for equality in equalities {
            let one = root(&mut parent, equality.left);
            let other = root(&mut parent, equality.right);
            // Parents never exceed their children, so the root is the smallest of its set and 0 stays a root.
            parent[one.max(other)] = one.min(other);
        }
        let last = last.map(|unknown| root(&mut parent, unknown)).filter(|&root| root != 0);
        let mut class_of = vec![Class::Fixed; unknowns];
        let mut count = 0;
        for &unknown in among {
            let root = root(&mut parent, unknown);
            if root != 0 && Some(root) != last {
                // `among` rises: the root, as the smallest, is met before the others of its set.
                if root == unknown {
                    class_of[root] = Class::Variable(count);
                    count += 1;
                }
                class_of[unknown] = class_of[root];
            }
        }
        if last.is_some() {
            for &unknown in among {
                if Some(root(&mut parent, unknown)) == last {
                    class_of[unknown] = Class::Variable(count);
                }
            }
            count += 1;
        }
        Self { class_of, count }
    }

    /// The class of an unknown.
    pub(super) fn of(&self, unknown: usize) -> Class {
        self.class_of[unknown]
    }
}

/// The smallest unknown in the set of `unknown`; halves the path to it.
fn root(parent: &mut [usize], mut unknown: usize) -> usize {
    while parent[unknown] != unknown {
        parent[unknown] = parent[parent[unknown]];
        unknown = parent[unknown];
    }
    unknown
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn equal_unknowns_share_a_class_and_held_ones_are_fixed() {
        let equalities = [Equality::of(5, 4), Equality::of(4, 2), Equality::of(6, 3), Equality::held(6)];
        let classes = EqualUnknowns::new(8, &[0, 1, 2, 3, 4, 5, 6, 7], &equalities, Some(5));
        let found: Vec<Class> = (0..8).map(|unknown| classes.of(unknown)).collect();
        let (one, seven, last) = (Class::Variable(0), Class::Variable(1), Class::Variable(2));
        let fixed = Class::Fixed;
        assert_eq!(found, [fixed, one, last, fixed, last, last, fixed, seven]);
        assert_eq!(classes.count, 3);
    }

    #[test]
    fn a_held_last_unknown_is_no_variable() {
        let classes = EqualUnknowns::new(3, &[0, 1, 2], &[Equality::held(2)], Some(2));
        assert_eq!((classes.of(2), classes.count), (Class::Fixed, 1));
    }
}

//! In which directions can a few unknowns still move together, and what is left when two become equal?
//!
//! The solutions of homogeneous equations, seen by the unknowns that are watched, are spanned
//! by a few columns. They are kept in reduced echelon form, each without common divisor and
//! with its pivot positive, so the same space always has the same columns; setting two
//! unknowns equal keeps the form and takes at most one column away (worked out here: the last
//! column in which the two differ pays for it, and no pivot of an earlier one is touched).

use super::elimination::SolvedColumn;
use crate::exact::checked_integer::CheckedInteger;

/// A space of solutions; every column has one entry for each watched unknown.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub(super) struct Directions<T> {
    columns: Vec<Vec<T>>,
}

/// How a watched unknown moves: a multiple of one of several directions.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct DirectionShare<T> {
    /// The number of the direction; unknowns that share it have a fixed quotient.
    pub(super) direction: usize,
    /// How large a part of it, beside the others that share it; not zero.
    pub(super) part: T,
}

impl<T: CheckedInteger> Directions<T> {
    /// The space in which each watched unknown is given by an expression of free columns;
    /// `None` stands for an unknown that is zero.
    pub(super) fn of(watched: &[Option<SolvedColumn<T>>], free: &[usize]) -> Option<Self> {
        let mut columns = Vec::with_capacity(free.len());
        for &column in free {
            columns.push(direction(watched, column)?);
        }
        Self { columns }.reduced()
    }

    /// The same space in reduced echelon form: the pivot of a column is its first entry, all other columns are zero
    /// there, and those of later columns lie in later rows.
    fn reduced(mut self) -> Option<Self> {
        let watched = self.columns.first().map_or(0, Vec::len);
        let mut done = 0;
        for row in 0..watched {
            let Some(found) = (done..self.columns.len()).find(|&column| !self.columns[column][row].is_zero()) else {
                continue;
            };
            self.columns.swap(done, found);
            for column in 0..self.columns.len() {
                if column != done && !self.columns[column][row].is_zero() {
                    let (keep, take) = (self.columns[done][row].clone(), self.columns[column][row].clone());
                    self.subtract(column, &keep, done, &take)?;
                }
            }
            tidy(&mut self.columns[done]);
            done += 1;
        }
        self.columns.truncate(done);
        Some(self)
    }

    /// How many values can be chosen at will.
    pub(super) fn freedom(&self) -> usize {
        self.columns.len()
    }

    /// Whether all watched unknowns but the first are equal, and not zero.
    pub(super) fn all_alike(&self) -> bool {
        let [only] = self.columns.as_slice() else { return false };
        only.len() > 1 && only[1..].iter().all(T::is_one)
    }

    /// What is left when two watched unknowns are equal; `other` may be that of one that is zero.
    pub(super) fn merged(&self, one: usize, other: usize) -> Option<Self> {
        // x = sum a_j c_j has x_one = x_other exactly if sum a_j d_j = 0 for the differences d_j of the columns c_j:
        // one condition on the factors, so c_j - (d_j / d_p) c_p for all j but the payer p span what is left.
        let difference = |column: &Vec<T>| column[one].plus(&-column[other].clone());
        let differences: Vec<T> = self.columns.iter().map(difference).collect::<Option<_>>()?;
        let Some(payer) = differences.iter().rposition(|difference| !difference.is_zero()) else {
            return Some(self.clone());
        };
        let mut left = self.clone();
        // With p the last, only earlier columns change, and below their own pivots, since c_p begins after those.
        for column in 0..payer {
            if !differences[column].is_zero() {
                left.subtract(column, &differences[payer], payer, &differences[column])?;
            }
        }
        left.columns.remove(payer);
        Some(left)
    }

    /// `keep` times a column less `take` times another.
    fn subtract(&mut self, column: usize, keep: &T, other: usize, take: &T) -> Option<()> {
        let mut changed = Vec::with_capacity(self.columns[column].len());
        for (value, other) in self.columns[column].iter().zip(&self.columns[other]) {
            changed.push(value.times(keep)?.plus(&-other.times(take)?)?);
        }
        tidy(&mut changed);
        self.columns[column] = changed;
        Some(())
    }

    /// How each watched unknown moves; `None` for one that is zero in every solution.
    pub(super) fn shares(&self) -> Vec<Option<DirectionShare<T>>> {
        let watched = self.columns.first().map_or(0, Vec::len);
        let mut directions: Vec<Vec<T>> = Vec::new();
        let mut shares = Vec::with_capacity(watched);
        // Two unknowns have a fixed quotient exactly if their rows over the directions are proportional.
        for row in 0..watched {
            let mut along: Vec<T> = self.columns.iter().map(|column| column[row].clone()).collect();
            let part = tidy(&mut along);
            let known = directions.iter().position(|known| *known == along);
            if part.is_some() && known.is_none() {
                directions.push(along);
            }
            let direction = known.unwrap_or(directions.len().saturating_sub(1));
            shares.push(part.map(|part| DirectionShare { direction, part }));
        }
        shares
    }
}

/// How the watched unknowns move with one free column: by their coefficients of it, which may be scaled at will, so by
/// the least common multiple of their denominators.
fn direction<T: CheckedInteger>(watched: &[Option<SolvedColumn<T>>], column: usize) -> Option<Vec<T>> {
    let of_column =
        |known: &SolvedColumn<T>| Some(known.terms.iter().find(|term| term.column == column)?.value.clone());
    let coefficients: Vec<Option<(T, &T)>> = watched
        .iter()
        .map(|known| known.as_ref().and_then(|known| Some((of_column(known)?, &known.denominator))))
        .collect();
    let mut common = T::one();
    for (_, denominator) in coefficients.iter().flatten() {
        common = common.times(&((*denominator).clone() / common.gcd(denominator)))?;
    }
    let mut direction = Vec::with_capacity(watched.len());
    for coefficient in &coefficients {
        direction.push(match coefficient {
            None => T::zero(),
            Some((value, denominator)) => value.times(&(common.clone() / (*denominator).clone()))?,
        });
    }
    Some(direction)
}

/// Divides entries by their common divisor and makes the first that is not zero positive;
/// returns what they were divided by, `None` where all are zero.
fn tidy<T: CheckedInteger>(entries: &mut [T]) -> Option<T> {
    let first = entries.iter().position(|entry| !entry.is_zero())?;
    let mut divisor = entries[first].abs();
    for entry in &entries[first + 1..] {
        if divisor.is_one() {
            break;
        }
        divisor = divisor.common_divisor(entry);
    }
    if entries[first].is_negative() {
        divisor = -divisor;
    }
    if !divisor.is_one() {
        entries[first..].iter_mut().for_each(|entry| *entry = entry.clone() / divisor.clone());
    }
    Some(divisor)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn space(columns: &[&[i64]]) -> Directions<i64> {
        Directions { columns: columns.iter().map(|column| column.to_vec()).collect() }.reduced().unwrap()
    }

    #[test]
    fn the_same_space_has_the_same_columns() {
        let one = space(&[&[0, 2, 4, 6], &[0, 1, 1, 1]]);
        let other = space(&[&[0, 3, 5, 7], &[0, -1, -3, -5]]);
        assert_eq!(one, other);
        assert_eq!(one, space(&[&[0, 1, 0, -1], &[0, 0, 1, 2]]));
    }

    #[test]
    fn merging_keeps_the_form() {
        // x1, x2, x3 = 2 x2 - x1, with x1 = x2: all as one; with x3 = 0: x1 = 2 x2.
        let free = space(&[&[0, 1, 0, -1], &[0, 0, 1, 2]]);
        assert_eq!(free.merged(1, 2).unwrap(), space(&[&[0, 1, 1, 1]]));
        assert_eq!(free.merged(3, 0).unwrap(), space(&[&[0, 2, 1, 0]]));
        assert_eq!(free.merged(3, 0).unwrap().merged(1, 2).unwrap().freedom(), 0);
    }

    #[test]
    fn unknowns_with_a_fixed_quotient_share_a_direction() {
        let shares = space(&[&[0, 1, 0, -3], &[0, 0, 1, 0]]).shares();
        let found: Vec<Option<(usize, i64)>> =
            shares.into_iter().map(|share| share.map(|share| (share.direction, share.part))).collect();
        assert_eq!(found, [None, Some((0, 1)), Some((1, 1)), Some((0, -3))]);
    }
}

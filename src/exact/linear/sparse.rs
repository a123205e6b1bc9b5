//! How is a short row of integers kept, added to another, and kept small?
//!
//! A row holds its non-zero entries in rising order of their columns, the first few of
//! them inline. Dividing out the common divisor of a row after every step keeps exact
//! elimination within machine words far longer than working on a common denominator.
//! Adding two rows is the merging of two sorted lists; there is no source to name.

use std::cmp::Ordering;

use smallvec::SmallVec;

use crate::exact::checked_integer::CheckedInteger;

/// A non-zero number in a column.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct RowEntry<T> {
    pub(super) column: usize,
    pub(super) value: T,
}

/// The non-zero entries of a row, each column once, in rising order.
pub(super) type SparseRow<T> = SmallVec<[RowEntry<T>; 4]>;

/// A row from entries in any order; those on one column add, zeros vanish.
pub(super) fn gather<T: CheckedInteger>(entries: impl Iterator<Item = RowEntry<T>>) -> Option<SparseRow<T>> {
    let mut row = SparseRow::<T>::new();
    for entry in entries {
        // Insertion from the end: rows are short and mostly come in order.
        let place = row.iter().rposition(|kept| kept.column <= entry.column);
        match place {
            Some(place) if row[place].column == entry.column => {
                row[place].value = row[place].value.plus(&entry.value)?;
            }
            _ => row.insert(place.map_or(0, |place| place + 1), entry),
        }
    }
    row.retain(|entry| !entry.value.is_zero());
    Some(row)
}

/// The row `a * left + b * right`.
pub(super) fn combine<T: CheckedInteger>(
    a: &T,
    left: &[RowEntry<T>],
    b: &T,
    right: &[RowEntry<T>],
) -> Option<SparseRow<T>> {
    let mut sum = SparseRow::<T>::new();
    let (mut i, mut j) = (0, 0);
    while i < left.len() && j < right.len() {
        let (one, other) = (&left[i], &right[j]);
        match one.column.cmp(&other.column) {
            Ordering::Less => {
                sum.push(scaled(one, a)?);
                i += 1;
            }
            Ordering::Greater => {
                sum.push(scaled(other, b)?);
                j += 1;
            }
            Ordering::Equal => {
                let value = one.value.times(a)?.plus(&other.value.times(b)?)?;
                if !value.is_zero() {
                    sum.push(RowEntry { column: one.column, value });
                }
                i += 1;
                j += 1;
            }
        }
    }
    for entry in &left[i..] {
        sum.push(scaled(entry, a)?);
    }
    for entry in &right[j..] {
        sum.push(scaled(entry, b)?);
    }
    Some(sum)
}

fn scaled<T: CheckedInteger>(entry: &RowEntry<T>, factor: &T) -> Option<RowEntry<T>> {
    Some(RowEntry { column: entry.column, value: entry.value.times(factor)? })
}

/// Divides a row by the common divisor of its entries and `beside`; returns what is
/// left of `beside`.
pub(super) fn divide_out<T: CheckedInteger>(row: &mut SparseRow<T>, beside: T) -> T {
    let mut divisor = beside.abs();
    for entry in row.iter() {
        if divisor.is_one() {
            return beside;
        }
        divisor = divisor.common_divisor(&entry.value);
    }
    if divisor.is_one() || divisor.is_zero() {
        return beside;
    }
    for entry in row.iter_mut() {
        entry.value = entry.value.clone() / divisor.clone();
    }
    beside / divisor
}

#[cfg(test)]
mod tests {
    use super::*;

    fn row(entries: &[(usize, i64)]) -> SparseRow<i64> {
        entries.iter().map(|&(column, value)| RowEntry { column, value }).collect()
    }

    #[test]
    fn entries_on_one_column_add_and_zeros_vanish() {
        let scattered = row(&[(7, 2), (3, 5), (7, -2), (1, 4), (3, 1)]);
        assert_eq!(gather(scattered.into_iter()), Some(row(&[(1, 4), (3, 6)])));
        let too_much = row(&[(0, i64::MAX), (0, 1)]);
        assert_eq!(gather(too_much.into_iter()), None);
    }

    #[test]
    fn rows_are_combined_column_by_column() {
        let sum = combine(&3, &row(&[(0, 2), (1, 1), (4, 1)]), &-2, &row(&[(0, 3), (2, 5), (4, 1)]));
        assert_eq!(sum, Some(row(&[(1, 3), (2, -10), (4, 1)])));
        assert_eq!(combine(&2, &row(&[(0, i64::MAX)]), &1, &row(&[])), None);
    }

    #[test]
    fn the_common_divisor_is_divided_out() {
        let mut entries = row(&[(0, 12), (2, -18)]);
        assert_eq!(divide_out(&mut entries, 0), 0);
        assert_eq!(entries, row(&[(0, 2), (2, -3)]));
        let mut entries = row(&[(0, 12), (2, -18)]);
        assert_eq!(divide_out(&mut entries, -4), -2);
        assert_eq!(entries, row(&[(0, 6), (2, -9)]));
    }
}

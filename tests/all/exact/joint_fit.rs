//! Several targets at once against the nearest miss of all their rows written out as one matrix.

use proptest::collection::vec;
use proptest::prelude::*;
use toothmark::exact::{ExactFit, Fraction, GivingWay, IntegerMatrix, JointFit, Target, fraction, nearest_miss};

use crate::support::random::cases;

/// The rows A and C, a target for each of several copies, and tolerances.
#[derive(Debug, Clone)]
struct Case {
    own: Vec<Vec<i64>>,
    shared: Vec<Vec<i64>>,
    targets: Vec<Vec<Fraction>>,
    tolerances: Vec<Fraction>,
}

impl Case {
    fn fit(&self) -> JointFit {
        JointFit::new(&matrix(&self.own), &matrix(&self.shared))
    }

    /// `(A 0 0 C; 0 A 0 C; 0 0 A C)`.
    fn written_out(&self) -> IntegerMatrix {
        let row = |copy: usize, at: usize| {
            let own = |column: usize| if column == copy { self.own[at].clone() } else { vec![0; self.own[at].len()] };
            let columns: Vec<i64> = (0..self.targets.len()).flat_map(own).collect();
            [columns, self.shared[at].clone()].concat()
        };
        let rows = (0..self.targets.len()).flat_map(|copy| (0..self.own.len()).map(move |at| row(copy, at)));
        matrix(&rows.collect::<Vec<_>>())
    }

    /// No row more than half off.
    fn bound(&self) -> Fraction {
        (self.tolerances.iter().max().expect("a row") * &fraction(2, 1)).recip()
    }

    fn slow(&self) -> Option<Fraction> {
        let offset: Vec<Fraction> = self.targets.concat();
        let tolerances = self.tolerances.iter().cycle().take(offset.len()).cloned().collect();
        let miss = nearest_miss(&self.written_out(), &Target { offset, tolerances }, ExactFit::Counted);
        miss.expect("few classes").map(|miss| miss.value)
    }
}

fn matrix(rows: &[Vec<i64>]) -> IntegerMatrix {
    IntegerMatrix::new(rows.len(), rows[0].len(), rows.concat())
}

/// Up to nine rows in all; shared columns as of central gears, or any.
fn case() -> impl Strategy<Value = Case> {
    let shape = prop_oneof![Just((2, 4)), Just((3, 3)), Just((2, 3)), Just((4, 2)), Just((3, 2)), Just((1, 3))];
    (shape, 1..=2_usize, 0..=3_usize).prop_flat_map(|((rows, copies), own, shared)| {
        let target = vec((0..12_i64, prop_oneof![Just(2_i64), Just(3), Just(5), Just(12)]), rows);
        let target = target.prop_map(|parts| parts.into_iter().map(|(part, of)| fraction(part, of)).collect());
        let tolerance = (1..=4_i64, 1..=3_i64).prop_map(|(size, of)| fraction(size, of));
        (vec(vec(-9..=9_i64, own), rows), vec(vec(-1..=2_i64, shared), rows), vec(target, copies), vec(tolerance, rows))
            .prop_map(|(own, shared, targets, tolerances)| Case { own, shared, targets, tolerances })
    })
}

proptest! {
    #![proptest_config(cases(60))]

    #[test]
    fn several_targets_need_what_all_their_rows_in_one_matrix_need(case in case()) {
        let (fit, way) = (case.fit(), GivingWay::in_parts_of(case.tolerances.clone()));
        // Rows of any numbers can ask for more than rows of teeth do.
        let least = fit.least(&case.targets, &way, &case.bound());
        prop_assume!(least.is_ok());
        let least = least.expect("it is one");
        prop_assert_eq!(&least, &case.slow());
        if let Some(least) = least.filter(|least| *least > fraction(0, 1)) {
            let tolerances = |factor: &Fraction| case.tolerances.iter().map(|size| size * factor).collect();
            prop_assert_eq!(fit.is_within(&case.targets, tolerances(&least)), Ok(true));
            prop_assert_eq!(fit.is_within(&case.targets, tolerances(&(&least * &fraction(999, 1000)))), Ok(false));
            // What every row gives way to begin with is spared: b + v s with b = s / 7 is (v + 1/7) s.
            let base = tolerances(&fraction(1, 7));
            let shifted = GivingWay { base, rate: case.tolerances.clone() };
            let less = fit.least(&case.targets, &shifted, &case.bound());
            prop_assert!(less.is_err() || less == Ok(Some((least - fraction(1, 7)).max(fraction(-1, 7)))));
        }
    }
}

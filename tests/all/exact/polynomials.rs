//! Are polynomials added, multiplied and divided rightly, and are all common factors found?
//!
//! The twin is dense: a table of coefficients by exponents, multiplied place by place. Divisors are asked for on
//! products that were made to have one, and whether nothing was left over is tried with numbers put in.

use std::collections::HashMap;

use num_bigint::BigInt;
use proptest::prelude::*;
use toothmark::exact::{Polynomial, RationalFunction};

use crate::support::random::cases;

/// Exponents of the unknowns 0, 1 and 2, with a coefficient.
type Terms = Vec<([u32; 3], i64)>;

fn terms() -> impl Strategy<Value = Terms> {
    let coefficient = prop_oneof![3 => prop_oneof![Just(1i64), Just(-1)], 1 => -6i64..=6];
    prop::collection::vec(((0u32..3, 0u32..3, 0u32..2).prop_map(|(a, b, c)| [a, b, c]), coefficient), 0..5)
}

fn polynomial(terms: &Terms) -> Polynomial {
    let power = |unknown: usize, exponent: u32| {
        (0..exponent).fold(Polynomial::constant(1), |power, _| &power * &Polynomial::unknown(unknown))
    };
    let term = |(exponents, coefficient): &([u32; 3], i64)| {
        let powers = exponents.iter().enumerate();
        powers.fold(Polynomial::constant(*coefficient), |term, (unknown, &exponent)| &term * &power(unknown, exponent))
    };
    terms.iter().map(term).fold(Polynomial::default(), |sum, term| &sum + &term)
}

/// The product by a table of exponents.
fn slow_product(one: &Terms, two: &Terms) -> HashMap<[u32; 3], i64> {
    let mut table = HashMap::new();
    for (exponents, coefficient) in one {
        for (others, factor) in two {
            let sum = [0, 1, 2].map(|unknown| exponents[unknown] + others[unknown]);
            *table.entry(sum).or_insert(0) += coefficient * factor;
        }
    }
    table.retain(|_, coefficient| *coefficient != 0);
    table
}

fn table(polynomial: &Polynomial) -> HashMap<[u32; 3], i64> {
    let small = |coefficient: &BigInt| i64::try_from(coefficient).expect("the coefficients of the tests are small");
    let terms = polynomial.terms();
    terms.map(|(monomial, it)| ([0, 1, 2].map(|unknown| monomial.exponent(unknown)), small(it))).collect()
}

fn whole(numbers: [i64; 3]) -> Vec<BigInt> {
    numbers.into_iter().map(BigInt::from).collect()
}

proptest! {
    #![proptest_config(cases(256))]

    #[test]
    fn sums_and_products_keep_the_laws_of_a_ring(one in terms(), two in terms(), three in terms()) {
        let [a, b, c] = [&one, &two, &three].map(polynomial);
        prop_assert_eq!(&a + &b, &b + &a);
        prop_assert_eq!(&a * &b, &b * &a);
        prop_assert_eq!(&(&a * &b) * &c, &a * &(&b * &c));
        prop_assert_eq!(&a * &(&b + &c), &(&a * &b) + &(&a * &c));
        prop_assert!((&a - &a).is_zero());
        prop_assert_eq!(&a - &b, &a + &-b);
    }

    #[test]
    fn products_are_those_of_the_table(one in terms(), two in terms(), at in [-5i64..9, -5i64..9, -5i64..9]) {
        let [a, b] = [&one, &two].map(polynomial);
        let product = &a * &b;
        prop_assert_eq!(table(&product), slow_product(&one, &two));
        let at = whole(at);
        prop_assert_eq!(product.value(&at), a.value(&at) * b.value(&at));
        prop_assert_eq!((&a + &b).value(&at), a.value(&at) + b.value(&at));
        if !product.is_zero() {
            prop_assert_eq!(product.degree(), a.degree() + b.degree());
        }
    }

    #[test]
    fn division_undoes_multiplication_and_refuses_a_rest(one in terms(), two in terms(), rest in terms()) {
        let [a, b, rest] = [&one, &two, &rest].map(polynomial);
        prop_assume!(!b.is_zero());
        prop_assert_eq!((&a * &b).divided_by(&b), Some(a.clone()));
        if let Some(quotient) = (&(&a * &b) + &rest).divided_by(&b) {
            prop_assert_eq!(&quotient * &b, &(&a * &b) + &rest);
        }
    }

    #[test]
    fn a_divisor_that_was_put_in_is_found_and_nothing_is_left(one in terms(), two in terms(), three in terms()) {
        let [a, b, common] = [&one, &two, &three].map(polynomial);
        prop_assume!(!a.is_zero() && !b.is_zero() && !common.is_zero());
        let (left, right) = (&a * &common, &b * &common);
        let found = left.common_divisor(&right);
        prop_assert_eq!(&found, &right.common_divisor(&left));
        prop_assert!(found.divided_by(&common).is_some(), "{:?} in {:?}", common, found);
        let (left, right) = (left.divided_by(&found), right.divided_by(&found));
        let (Some(left), Some(right)) = (left, right) else {
            return Err(TestCaseError::fail("what was found divides neither"));
        };
        prop_assert!(left.common_divisor(&right).is_one());
    }

    #[test]
    fn factors_multiply_to_the_whole(one in terms(), two in terms()) {
        let product = &polynomial(&one) * &polynomial(&two);
        let whole = product.factors().iter().fold(Polynomial::constant(1), |whole, factor| &whole * factor);
        prop_assert_eq!(whole, product);
    }

    #[test]
    fn a_quotient_has_one_form(one in terms(), two in terms(), three in terms()) {
        let [a, b, c] = [&one, &two, &three].map(polynomial);
        prop_assume!(!b.is_zero() && !c.is_zero());
        let quotient = RationalFunction::new(&a, &b);
        prop_assert_eq!(&RationalFunction::new(&(&a * &c), &(&b * &c)), &quotient);
        prop_assert_eq!(&RationalFunction::new(&-a.clone(), &-b.clone()), &quotient);
        prop_assert_eq!(&(quotient.numerator() * &b), &(quotient.denominator() * &a));
    }
}

#[test]
fn coefficients_of_any_size_are_exact() {
    let huge = Polynomial::constant(BigInt::from(7).pow(200));
    let [a, b] = [0, 1].map(Polynomial::unknown);
    let sum = &(&huge * &a) + &b;
    let square = &sum * &sum;
    assert_eq!(square.divided_by(&sum), Some(sum.clone()), "a square");
    assert_eq!(square.common_divisor(&(&sum * &a)), sum, "a common factor");
}

#[test]
fn terms_come_in_the_order_of_the_unknowns() {
    let [a, b, c] = [0, 1, 2].map(Polynomial::unknown);
    let sum = &(&(&b * &c) + &(&a * &c)) + &(&(&a * &b) + &(&a * &a));
    let order: Vec<Vec<usize>> =
        sum.terms().map(|(monomial, _)| monomial.powers().iter().map(|power| power.unknown).collect()).collect();
    assert_eq!(order, [vec![0], vec![0, 1], vec![0, 2], vec![1, 2]]);
}

//! Which planet on which pin, where they are not equally heavy?
//!
//! Masses `M_i` on pins at the angles `p_i` of a circle of radius a leave the carrier `U = a |sum M_i e^(i p_i)|`. With
//! three on equal pins that is `a sqrt(sum M^2 - sum M_i M_j)` in any order; with four and more the order counts, heavy
//! ones opposite one another. Up to eight all orders are tried, the first planet on the first pin, for turning the whole
//! changes nothing. Ground to the weight of the lightest they leave nothing in any order.

use std::f64::consts::TAU;

use num_complex::Complex64;
use serde::Serialize;

use super::question::ClusterWeights;
use super::unbalance::Unbalance;

/// So many planets are ordered.
pub(super) const MOST_CLUSTERS: usize = 8;

/// Which planet goes on which pin, and what that leaves the carrier.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct ClusterPlacing {
    /// Every pin in turn, counter-clockwise.
    pub pins: Vec<ClusterOnPin>,
    /// What this order leaves; its angle is counted from pin 1.
    pub left: Unbalance,
    /// What the worst order leaves, in g mm.
    pub worst_g_mm: f64,
    /// Whether every order leaves the same.
    pub order_makes_no_difference: bool,
    /// Whether what is left is no more than is allowed; none where that is not told.
    pub is_within_allowed: Option<bool>,
}

/// A planet on a pin.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "report", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct ClusterOnPin {
    /// Counted from 1.
    pub pin: usize,
    /// The planet, counted from 1 as it was given.
    pub cluster: usize,
    /// Its weight.
    pub grams: f64,
    /// What it is heavier than the lightest: to be ground off where the order alone does not do.
    pub over_lightest_g: f64,
}

/// The order that leaves least; of several the first.
pub(super) fn order(clusters: &ClusterWeights, allowed: Option<f64>) -> ClusterPlacing {
    let grams = &clusters.grams;
    let lightest = grams.iter().copied().fold(f64::INFINITY, f64::min);
    let left = |order: &[usize]| unbalance(order, clusters);
    let mut best: Option<(f64, Vec<usize>)> = None;
    let mut worst = 0.0_f64;
    for_each_order(grams.len(), &mut |order| {
        let size = left(order).norm();
        worst = worst.max(size);
        if best.as_ref().is_none_or(|(least, _)| size < least - TOLERANCE * least) {
            best = Some((size, order.to_vec()));
        }
    });
    let (least, order) = best.unwrap_or_default();
    let on_pin = |(pin, &cluster): (usize, &usize)| ClusterOnPin {
        pin: pin + 1,
        cluster: cluster + 1,
        grams: grams[cluster],
        over_lightest_g: grams[cluster] - lightest,
    };
    ClusterPlacing {
        pins: order.iter().enumerate().map(on_pin).collect(),
        left: Unbalance::of(left(&order)),
        worst_g_mm: worst,
        order_makes_no_difference: worst - least <= 1e-6 * worst,
        is_within_allowed: allowed.map(|allowed| least <= allowed),
    }
}

/// Orders that leave as much but for rounding are alike.
const TOLERANCE: f64 = 1e-9;

/// `a sum M_i e^(i p_i)`.
fn unbalance(order: &[usize], clusters: &ClusterWeights) -> Complex64 {
    let spacing = TAU / f64::from(u32::try_from(order.len().max(1)).unwrap_or(u32::MAX));
    let angles = std::iter::successors(Some(0.0), |angle| Some(angle + spacing));
    let on_pin = |(cluster, angle): (&usize, f64)| Complex64::from_polar(clusters.grams[*cluster], angle);
    order.iter().zip(angles).map(on_pin).sum::<Complex64>() * clusters.pin_radius
}

/// Every order of so many, the first in its place.
fn for_each_order(count: usize, visit: &mut impl FnMut(&[usize])) {
    let mut order: Vec<usize> = (0..count).collect();
    permute(&mut order, 1, visit);
}

fn permute(order: &mut Vec<usize>, from: usize, visit: &mut impl FnMut(&[usize])) {
    if from + 1 >= order.len() {
        visit(order);
        return;
    }
    for next in from..order.len() {
        order.swap(from, next);
        permute(order, from + 1, visit);
        order.swap(from, next);
    }
}

//! Is the inverse of the involute function its inverse, from the smallest to the largest values?

use std::f64::consts::FRAC_PI_2;

use toothmark::tooth::{inverse_involute, involute};

/// inv a by its definition as an integral, inv' a = tan^2 a: Simpson's rule in so many steps.
fn integrated(angle: f64, steps: u32) -> f64 {
    let width = angle / f64::from(steps);
    let slope = |at: f64| at.tan().powi(2);
    let parts = (0..steps).map(|step| {
        let start = width * f64::from(step);
        slope(start) + 4.0 * slope(start + width / 2.0) + slope(start + width)
    });
    parts.sum::<f64>() * width / 6.0
}

#[test]
fn the_involute_function_is_the_integral_of_the_squared_tangent() {
    for angle in [1e-4, 1e-3, 0.01, 0.049_999, 0.05, 0.050_001, 0.1, 0.35, 0.8, 1.2, 1.4] {
        let (ours, theirs) = (involute(angle), integrated(angle, 4000));
        assert!((ours - theirs).abs() < 1e-12 * theirs, "at {angle}: {ours} against {theirs}");
        let negative = involute(-angle);
        assert!((negative + ours).abs() < 1e-15 * ours, "odd at {angle}: {negative}");
    }
}

#[test]
fn the_inverse_leads_back_over_three_hundred_orders_of_magnitude() {
    for exponent in -300..300 {
        for mantissa in [1.0, 1.7, 3.0, 6.5] {
            let value = mantissa * 10_f64.powi(exponent);
            let angle = inverse_involute(value).expect("the value is finite");
            assert!(angle > 0.0 && angle <= FRAC_PI_2, "inverse of {value}: {angle}");
            // Towards a right angle the next float is far away in the function.
            let spacing = f64::EPSILON * angle * angle.tan().powi(2) * 4.0;
            let back = involute(angle);
            let close = (back - value).abs() <= 1e-12 * value + spacing;
            assert!(close || value > 1e15, "{value} comes back as {back}");
            assert_eq!(inverse_involute(-value), Some(-angle), "odd at {value}");
        }
    }
}

#[test]
fn the_inverse_leads_back_from_the_angle() {
    for step in 1..1570 {
        let angle = f64::from(step) / 1000.0;
        let back = inverse_involute(involute(angle)).expect("the value is finite");
        assert!((back - angle).abs() < 1e-12, "{angle} comes back as {back}");
    }
}

#[test]
fn zero_is_its_own_inverse_and_what_is_not_finite_has_none() {
    assert_eq!(inverse_involute(0.0), Some(0.0));
    for value in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
        assert_eq!(inverse_involute(value), None, "of {value}");
    }
}

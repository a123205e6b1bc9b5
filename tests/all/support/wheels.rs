//! Where do the teeth of gears stand in space, and does a tooth of one stand in a space of the other?
//!
//! Nothing is taken from the library and no condition is known. A wheel is an axis with a direction across it at which its
//! first tooth stands at rest; it is turned by a rotation in three dimensions. Two wheels touch at one point, which both
//! pitch circles pass: of spur gears on the line of centres, of bevel gears where the pitch cones touch along their common
//! line. There both move the same way, and along this way the teeth of the one are half a pitch from those of the other.
//! Turns are counter-clockwise for whoever an axis points at. Floats throughout.

use std::f64::consts::TAU;

/// A direction or a place in space; the main axis is the third, to the input side.
pub(crate) type Vector = [f64; 3];

pub(crate) const TO_INPUT: Vector = [0.0, 0.0, 1.0];

pub(crate) fn cross(a: Vector, b: Vector) -> Vector {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}

pub(crate) fn dot(a: Vector, b: Vector) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

/// The first vector and so much of the second.
fn plus(a: Vector, times: f64, b: Vector) -> Vector {
    [0, 1, 2].map(|at| a[at] + times * b[at])
}

fn length(vector: Vector) -> f64 {
    dot(vector, vector).sqrt()
}

/// A vector turned about an axis of length 1, by the formula named after Rodrigues: common knowledge of mathematics, told
/// without a source.
pub(crate) fn turned(vector: Vector, axis: Vector, turns: f64) -> Vector {
    let (sine, cosine) = (turns * TAU).sin_cos();
    let across = plus(plus([0.0; 3], cosine, vector), sine, cross(axis, vector));
    plus(across, dot(axis, vector) * (1.0 - cosine), axis)
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Shape {
    External,
    Internal,
    /// A bevel gear, on either axis.
    Bevel,
}

/// A gear at rest.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Wheel {
    pub(crate) shape: Shape,
    pub(crate) teeth: f64,
    /// On the axis; for a bevel gear the apex of its pitch cone.
    pub(crate) center: Vector,
    /// Of length 1.
    pub(crate) axis: Vector,
    /// Across the axis, to the first tooth.
    pub(crate) tooth: Vector,
}

/// Two wheels that touch, and where.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Touch {
    wheels: [Wheel; 2],
    /// From the axis of each to the point of contact, across it.
    arms: [Vector; 2],
    /// Whether each wheel, turned forward, moves the same way there as the first does: 1 or -1.
    senses: [f64; 2],
}

impl Touch {
    /// Two spur gears, or a bevel gear of a pin and one of the main axis on the side that `side` points to.
    #[track_caller]
    pub(crate) fn new(wheels: [Wheel; 2], side: Vector) -> Self {
        let contact = contact(wheels, side);
        let arms = wheels.map(|wheel| {
            let from_center = plus(contact, -1.0, wheel.center);
            plus(from_center, -dot(from_center, wheel.axis), wheel.axis)
        });
        let ways = [0, 1].map(|at| cross(wheels[at].axis, arms[at]));
        let cosine = dot(ways[0], ways[1]) / length(ways[0]) / length(ways[1]);
        assert!((cosine.abs() - 1.0).abs() < 1e-9, "they move one way: {wheels:?}");
        let ratio = length(arms[0]) * wheels[1].teeth / (length(arms[1]) * wheels[0].teeth);
        assert!((ratio - 1.0).abs() < 1e-9, "the pitch circles are as the tooth counts: {wheels:?}");
        Self { wheels, arms, senses: [1.0, cosine.signum()] }
    }

    /// How many teeth pass for one turn of each wheel along the way of the first, those of the second taken off.
    pub(crate) fn passing(&self) -> [f64; 2] {
        [self.senses[0] * self.wheels[0].teeth, -self.senses[1] * self.wheels[1].teeth]
    }

    /// How far a tooth of the first is out of a space of the second with both turned so, in teeth, less whole ones.
    pub(crate) fn off(&self, turns: [f64; 2]) -> f64 {
        let [first, second] = [0, 1].map(|at| self.past(at, turns[at]));
        let off = first - second - 0.5;
        off - off.round()
    }

    /// How many pitches the first tooth of a wheel is past the point of contact.
    fn past(&self, at: usize, turns: f64) -> f64 {
        let (wheel, arm) = (self.wheels[at], self.arms[at]);
        let tooth = turned(wheel.tooth, wheel.axis, turns);
        let angle = dot(cross(arm, tooth), wheel.axis).atan2(dot(arm, tooth)) / TAU;
        self.senses[at] * angle * wheel.teeth
    }
}

/// The point that both pitch circles pass.
fn contact([first, second]: [Wheel; 2], side: Vector) -> Vector {
    let between = plus(second.center, -1.0, first.center);
    match (first.shape, second.shape) {
        // The farther from an axis, the more teeth.
        (Shape::Bevel, _) | (_, Shape::Bevel) => plus(plus([0.0; 3], second.teeth, first.axis), first.teeth, side),
        (Shape::External, Shape::External) => plus(first.center, first.teeth / (first.teeth + second.teeth), between),
        // Beyond the smaller wheel, away from the centre of the larger.
        (Shape::Internal, _) | (_, Shape::Internal) => {
            plus(first.center, first.teeth / (first.teeth - second.teeth), between)
        }
    }
}

fn spur(shape: Shape, teeth: f64, center: Vector) -> Wheel {
    Wheel { shape, teeth, center, axis: TO_INPUT, tooth: [1.0, 0.0, 0.0] }
}

/// A sun of 20 with a tooth to the right needs a planet of an even count turned by half a tooth, in a ring not.
#[test]
fn a_tooth_stands_in_a_space_where_it_is_seen_to() {
    let planet = spur(Shape::External, 10.0, [3.0, 0.0, 0.0]);
    let sun = Touch::new([planet, spur(Shape::External, 20.0, [0.0; 3])], TO_INPUT);
    assert!(sun.off([0.05, 0.0]).abs() < 1e-9 && sun.off([0.0, 0.0]).abs() > 0.4);
    assert!(sun.off([0.05 + 0.02, -0.01]).abs() < 1e-9, "rolled without slip");
    let ring = Touch::new([planet, spur(Shape::Internal, 40.0, [0.0; 3])], TO_INPUT);
    assert!(ring.off([0.0, 0.0125]).abs() < 1e-9 && ring.off([0.0, 0.0]).abs() > 0.4);
    assert!(ring.off([0.04, 0.0125 + 0.01]).abs() < 1e-9, "rolled without slip");
}

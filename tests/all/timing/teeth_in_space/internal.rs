//! Do planets with internal teeth go in where their teeth do?

use super::{Planets, Teeth, check_many};
use crate::support::trains::Tape;
use crate::support::wheels::Shape;

/// A planet with internal teeth about a sun, besides gears of other kinds, and now and then a planet inside it.
fn internal(tape: &mut Tape) -> Planets {
    let mut planets = Planets::new(tape);
    let unit = tape.between(1, 4);
    let body = planets.add(tape, Shape::Internal, Teeth { unit, times: [7, 12] });
    for _ in 0..tape.between(1, 2) {
        planets.add_central(tape, [body, 0], Shape::External);
    }
    for _ in 0..tape.between(1, 2) {
        let shape = tape.pick(&[Shape::External, Shape::Internal]);
        let gear = planets.add_gear(tape, body, shape, Teeth { unit, times: [7, 11] });
        let other =
            if shape == Shape::Internal { Shape::External } else { tape.pick(&[Shape::External, Shape::Internal]) };
        planets.add_central(tape, [body, gear], other);
    }
    if tape.once_in(3) {
        let inside = planets.add(tape, Shape::External, Teeth { unit, times: [3, 6] });
        planets.link([body, 0], [inside, 0]);
        planets.add_central(tape, [inside, 0], Shape::Internal);
    }
    planets.fitted()
}

#[test]
fn planets_with_internal_teeth_go_in_where_their_teeth_do() {
    check_many(400, internal, [100, 100]);
}

//! Do planets that are in mesh with one another go in where their teeth do?

use super::{Planets, Teeth, check_many};
use crate::support::trains::Tape;
use crate::support::wheels::Shape;

/// Three or four planets, each in mesh with one before it.
fn chain(tape: &mut Tape) -> Planets {
    let mut planets = Planets::new(tape);
    let unit = tape.between(1, 2);
    let mut body = planets.add(tape, Shape::External, Teeth { unit, times: [4, 7] });
    let central = |planets: &mut Planets, tape: &mut Tape, at| {
        let shape = tape.pick(&[Shape::External, Shape::Internal]);
        planets.add_central(tape, at, shape);
    };
    central(&mut planets, tape, [body, 0]);
    for _ in 0..tape.between(2, 3) {
        let gear = if tape.once_in(3) {
            planets.add_gear(tape, body, Shape::External, Teeth { unit, times: [4, 7] })
        } else {
            0
        };
        let next = planets.add(tape, Shape::External, Teeth { unit, times: [4, 7] });
        planets.link([body, gear], [next, 0]);
        if tape.once_in(2) {
            central(&mut planets, tape, [next, 0]);
        }
        // Or a second one in mesh with the same planet.
        body = if tape.once_in(4) { body } else { next };
    }
    let last = planets.body_count() - 1;
    central(&mut planets, tape, [last, 0]);
    planets.fitted()
}

#[test]
fn chains_of_planets_go_in_where_their_teeth_do() {
    check_many(300, chain, [50, 50]);
}

//! Do bevel planets go in where their teeth do?

use super::{Planets, Teeth, check_many};
use crate::support::trains::Tape;
use crate::support::wheels::Shape;

/// A bevel planet of up to three gears, each in mesh with one or two side gears.
fn bevel(tape: &mut Tape) -> Planets {
    let mut planets = Planets::new(tape);
    let unit = tape.between(1, 4);
    let body = planets.add(tape, Shape::Bevel, Teeth { unit, times: [4, 9] });
    for _ in 0..tape.below(3) {
        planets.add_gear(tape, body, Shape::Bevel, Teeth { unit, times: [4, 9] });
    }
    for gear in 0..planets.bodies[body].gears.len() {
        for _ in 0..tape.between(1, 2) {
            planets.add_central(tape, [body, gear], Shape::Bevel);
        }
    }
    planets.add_central(tape, [body, 0], Shape::Bevel);
    planets.fitted()
}

#[test]
fn bevel_planets_go_in_where_their_teeth_do() {
    check_many(500, bevel, [100, 100]);
}

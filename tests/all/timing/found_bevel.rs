//! Is a bevel planet that was put in right or wrong recognised by its marks?
//!
//! The twin knows no conditions, only where teeth are. A planet turns about a pin that points outward; its
//! teeth stand on a circle about that axis and meet a side gear where the circle is nearest to it. Planets
//! mesh where the teeth of one stand in the spaces of the other along the way that both move there. Floats
//! throughout: what fits, fits to a billionth of a tooth. Marks are read from the outer end of each pin, from the
//! direction of the input side, whichever side the set is looked at from.

use proptest::prelude::*;
use toothmark::description;
use toothmark::exact::{Fraction, fraction, to_float};
use toothmark::gearset::{DraftFound, DraftMark, Gearset, Side};
use toothmark::timing::{FoundTiming, found};

use crate::support::process::run;
use crate::support::random::cases;
use crate::support::trains::{Tape, tape};
use crate::support::wheels::{TO_INPUT, Vector, cross, dot, turned};

/// One mesh: the teeth of the planet gear and of the side gear, and where that stands.
#[derive(Debug, Clone, Copy)]
struct Mesh {
    planet: i64,
    central: i64,
    side: Side,
}

/// How far a tooth of a wheel is past the point of contact along a way, in pitches, less whole ones; one
/// tooth stands at `tooth`.
fn past(tooth: Vector, axis: Vector, contact: Vector, way: Vector, count: i64) -> f64 {
    let pitch = 1.0 / as_float(count);
    let angle = |vector: Vector| dot(cross(contact, vector), axis).atan2(dot(contact, vector)) / std::f64::consts::TAU;
    // Which way along does the wheel move at the contact when it turns forward?
    let sense = dot(cross(axis, contact), way).signum();
    sense * angle(tooth) / pitch
}

fn as_float(count: i64) -> f64 {
    f64::from(i32::try_from(count).expect("a few teeth"))
}

impl Mesh {
    /// By how much of a tooth a planet on a pin at `place`, turned so, is off from a side gear that takes a planet on a
    /// pin at 0 with its mark to the input side.
    fn off(self, place: f64, turn: f64) -> f64 {
        self.gap(place, turn) - self.gap(0.0, 0.0)
    }

    /// How far the teeth of the planet are past those of a side gear with a tooth over the direction 0.
    fn gap(self, place: f64, turn: f64) -> f64 {
        let pin = turned([1.0, 0.0, 0.0], TO_INPUT, place);
        let way = cross(TO_INPUT, pin);
        let contact = if self.side == Side::Input { TO_INPUT } else { TO_INPUT.map(|part| -part) };
        let planet = past(turned(TO_INPUT, pin, turn), pin, contact, way, self.planet);
        planet - past([1.0, 0.0, 0.0], TO_INPUT, pin, way, self.central)
    }
}

fn off_whole(value: f64) -> f64 {
    (value - value.round()).abs()
}

/// Bevel planets on pins that go together, with every right turn of each pin.
#[derive(Debug)]
struct Bench {
    gears: Vec<i64>,
    meshes: Vec<(usize, Mesh)>,
    pins: i64,
}

impl Bench {
    /// A planet of two gears, one between side gears of the same count; tooth counts with common factors, so that some pins go
    /// together.
    fn new(tape: &mut Tape) -> Self {
        let unit = tape.between(2, 4);
        let gears = vec![unit * tape.between(4, 9), unit * tape.between(4, 9)];
        let pins = tape.between(2, 4);
        let mut mesh = |gear: usize, side| {
            // Central gears whose teeth come out whole from pin to pin, or as the planet's do.
            let central = pins * tape.between(4, 9) + tape.pick(&[0, gears[gear], -gears[gear]]).rem_euclid(pins);
            (gear, Mesh { planet: gears[gear], central, side })
        };
        let meshes = vec![mesh(0, Side::Input), mesh(1, Side::Output), mesh(0, Side::Output)];
        Self { gears, meshes, pins }
    }

    /// Every turn of a planet that fits on a pin, found by seating the first gear in every tooth.
    fn right_turns(&self, pin: i64) -> Vec<Fraction> {
        let place = as_float(pin) / as_float(self.pins);
        // Turns that seat the first gear are whole parts of its pitch, as many as there are pins.
        let steps = self.gears[0] * self.pins;
        let fits = |turn: &Fraction| {
            let turn = to_float(turn);
            self.meshes.iter().all(|(_, mesh)| off_whole(mesh.off(place, turn)) < 1e-9)
        };
        (0..steps).map(|step| fraction(step, steps)).filter(fits).collect()
    }

    /// Marks on the same tooth of each planet, or `None` where no turn fits on some pin.
    fn assembled(&self, tape: &mut Tape) -> Option<Vec<Fraction>> {
        let right: Vec<Vec<Fraction>> = (0..self.pins).map(|pin| self.right_turns(pin)).collect();
        right.iter().all(|turns| !turns.is_empty()).then(|| right.iter().map(|turns| tape.pick(turns)).collect())
    }

    fn set(&self, seen: Side, marks: Vec<DraftMark>) -> Gearset {
        let side = |side| if side == Side::Input { "InputSide" } else { "OutputSide" };
        let central = |(at, (_, mesh)): (usize, &(usize, Mesh))| {
            format!("\"m{at}\": [Bevel(\"S{at}\", {}, {})]", mesh.central, side(mesh.side))
        };
        let members: Vec<String> = self.meshes.iter().enumerate().map(central).collect();
        let meshes: Vec<String> =
            self.meshes.iter().enumerate().map(|(at, (gear, _))| format!("(\"S{at}\", \"g{gear}\")")).collect();
        let text = format!(
            "Gearset(title: \"t\", members: {{\"c\": [], {}}}, planets: {{\"k\": (carrier: \"c\", pins: Equal({}), \
             gears: [Bevel(\"g0\", {}), Bevel(\"g1\", {})])}}, meshes: [{}])",
            members.join(", "),
            self.pins,
            self.gears[0],
            self.gears[1],
            meshes.join(", ")
        );
        let mut draft = description::read(&text).expect("a sound description").draft().clone();
        draft.found = Some(DraftFound { seen, planet: "k".into(), marks, beside: vec![], within: None });
        Gearset::new(draft).expect("sound readings")
    }

    fn judge(&self, seen: Side, turns: &[Fraction]) -> FoundTiming {
        let degrees = |turn: &Fraction| DraftMark::degrees(toothmark::exact::nearest_zero(turn) * fraction(360, 1));
        found(&self.set(seen, turns.iter().map(degrees).collect())).expect("a cluster")
    }
}

/// Draws until the planets go together: at the end of the tape they do.
fn drawn(tape: &mut Tape) -> (Bench, Vec<Fraction>) {
    loop {
        let bench = Bench::new(tape);
        if let Some(turns) = bench.assembled(tape) {
            return (bench, turns);
        }
    }
}

proptest! {
    #![proptest_config(cases(120))]

    #[test]
    fn bevel_planets_set_as_their_teeth_fit_in_space_are_in_time_from_either_side(mut tape in tape(60)) {
        let (bench, mut turns) = drawn(&mut tape);
        // Rolled with the carrier at rest all planets turn alike, each about its own pin pointing outward.
        let rolled = fraction(tape.between(-50, 50), 97) - &turns[0];
        for turn in &mut turns {
            *turn += &rolled;
        }
        for seen in [Side::Input, Side::Output] {
            let found = bench.judge(seen, &turns);
            prop_assert!(found.explanations[0].in_time, "{:?} {:?} {:?}", bench, turns, found);
        }
    }

    #[test]
    fn a_bevel_planet_some_teeth_over_is_found_with_the_way_to_turn_it(mut tape in tape(60)) {
        let (bench, mut turns) = drawn(&mut tape);
        let gear = tape.pick(&bench.gears);
        let over = fraction(tape.between(1, gear - 1), gear);
        let pin = tape.below(turns.len());
        let is_right = bench.right_turns(0).iter().any(|turn| toothmark::exact::nearest_zero(&(turn - &over)) == fraction(0, 1));
        turns[pin] += &over;
        for seen in [Side::Input, Side::Output] {
            let found = bench.judge(seen, &turns);
            let one = &found.explanations[0];
            // Degrees are good to half of one: what is less is not seen.
            let limit = fraction(2, 360);
            let alike = Fraction::from(found.equivalent_seatings.clone());
            let off = toothmark::exact::nearest_zero(&(&over * &alike)) / &alike;
            if is_right {
                prop_assert!(one.in_time);
            } else if off.clone().max(-&off) > limit && turns.len() > 2 {
                let out: Vec<usize> = one.out().map(|(pin, _)| pin.pin).collect();
                prop_assert_eq!(&out, &[pin + 1], "{:?} {:?}", bench, turns);
                prop_assert_eq!(&one.pins[pin].planets[0].deviation, &off, "off as it was put in, seen from the outer end");
                prop_assert_eq!(one.pins.iter().filter(|it| !it.in_time).count(), 1);
            }
        }
    }
}

/// Once the marks of bevel planets read from the output side were taken with every sense turned over, though
/// nothing turns over for whoever looks at the outer end of a pin.
#[test]
fn the_side_that_a_set_is_seen_from_changes_nothing_for_bevel_planets() {
    let file = "../gearsets/bevel-reducer.ron";
    let answer = |from: &str| {
        let seen = format!("--seen={from}");
        let said = run(&["found", file, &seen, "--full", "--gear=large", "--pin=1=0", "--pin=2=1"]).stdout;
        // The pins are counted as seen from that side, and of two the second is opposite from either.
        assert!(said.contains(&format!("Pins seen from the {from} side")), "{said}");
        said.replace(&format!("Pins seen from the {from} side"), "Pins seen from a side")
    };
    assert_eq!(answer("input"), answer("output"));
    insta::with_settings!({snapshot_path => "../snapshots", prepend_module_to_snapshot => false, omit_expression => true}, {
        insta::assert_snapshot!("found-bevel", answer("output"));
    });
}

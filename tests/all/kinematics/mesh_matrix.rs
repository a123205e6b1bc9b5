//! Is the matrix of the meshes what rolling pitch circles say, and are its three readings one matrix?
//!
//! The twin lays each mesh out in the plane and knows no signed counts: two pitch circles touch, and where they touch
//! both move alike. One member is turned at a time. Bevel gears do not lie in a plane and are left to the published
//! values.

use std::collections::BTreeMap;

use proptest::prelude::*;
use toothmark::description;
use toothmark::exact::{Conditions, Equality, Equation, Fraction, LinearSystem, fraction, multiple};
use toothmark::gearset::{GearKind, Gearset, MemberId, MeshId, MeshRow, Side};

use crate::support::random::cases;
use crate::support::sets::read_example;
use crate::support::trains::{meshed_pair, train};

/// A pitch circle: its centre on the line of centres, its radius, and whether the centre goes round with the carrier.
struct Circle {
    member: MemberId,
    center: i64,
    radius: i64,
    is_carried: bool,
}

/// Where the main axis is taken to lie while two planets mesh: their distance from it does not matter.
const FAR_AXIS: i64 = -1000;

/// How fast the teeth of one gear move past those of the other, if one member turns once and all others stand: the
/// circles have the radius 1 a tooth, so that this is in teeth.
fn teeth_passing(set: &Gearset, mesh: MeshId, turning: MemberId) -> i64 {
    let Laid { circles, axis, contact, carrier } = lay_out(set, mesh);
    let turns = |member: MemberId| i64::from(member == turning);
    let moves = |circle: &Circle| {
        let of_center = if circle.is_carried { turns(carrier) * (circle.center - axis) } else { 0 };
        of_center + turns(circle.member) * (contact - circle.center)
    };
    moves(&circles[0]) - moves(&circles[1])
}

/// Two gears in mesh, the line of centres being the number line.
struct Laid {
    circles: [Circle; 2],
    axis: i64,
    contact: i64,
    carrier: MemberId,
}

fn lay_out(set: &Gearset, mesh: MeshId) -> Laid {
    let gears = set.mesh(mesh).gears().both().map(|&gear| set.gear(gear));
    let [a, b] = gears.map(|gear| i64::from(gear.tooth_count().get()));
    // The first stands at 0. Outside one another they touch between their centres, inside beyond both.
    let (center, contact) = match gears.map(|gear| gear.kind() == GearKind::Internal) {
        [false, false] => (a + b, a),
        [true, false] | [false, true] => (a - b, a),
        [true, true] => unreachable!("two rings do not mesh"),
    };
    let is_carried = gears.map(|gear| set.carrier_of(gear.member()).is_some());
    let circle = |at: usize, center: i64, radius: i64| Circle {
        member: gears[at].member(),
        center,
        radius,
        is_carried: is_carried[at],
    };
    let circles = [circle(0, 0, a), circle(1, center, b)];
    for circle in &circles {
        assert_eq!((contact - circle.center).abs(), circle.radius, "both circles go through the point of contact");
    }
    let axis = circles.iter().find(|circle| !circle.is_carried).map_or(FAR_AXIS, |circle| circle.center);
    Laid { circles, axis, contact, carrier: set.mesh(mesh).carrier() }
}

fn is_spur(set: &Gearset, mesh: MeshId) -> bool {
    set.mesh(mesh).gears().both().iter().all(|&&gear| !set.gear(gear).kind().is_bevel())
}

/// An equation as a map, its terms added.
fn added(equation: &Equation) -> BTreeMap<usize, i64> {
    let mut sums = BTreeMap::new();
    for term in equation.terms() {
        *sums.entry(term.unknown).or_insert(0) += term.coefficient;
    }
    sums.retain(|_, sum| *sum != 0);
    sums
}

/// The value of an equation's left side.
fn value(equation: &Equation, values: &[i64]) -> i64 {
    equation.terms().iter().map(|term| term.coefficient * values[term.unknown]).sum()
}

proptest! {
    #![proptest_config(cases(256))]

    #[test]
    fn a_row_says_how_many_teeth_pass_where_two_pitch_circles_touch(draft in train()) {
        let set = Gearset::new(draft).unwrap();
        for mesh in set.mesh_ids().filter(|&mesh| is_spur(&set, mesh)) {
            let rolled: Vec<i64> = set.member_ids().map(|member| teeth_passing(&set, mesh, member)).collect();
            let row: Vec<i64> = set.member_ids().map(|member| set.matrix().entry(mesh, member)).collect();
            // Where a ring comes first the row counts the teeth that pass the other way.
            let first = set.gear(set.mesh(mesh).gears().first);
            let sense = if first.kind() == GearKind::Internal { -1 } else { 1 };
            prop_assert_eq!(rolled, row.iter().map(|entry| sense * entry).collect::<Vec<_>>());
        }
    }

    #[test]
    fn a_row_adds_up_to_zero_and_its_columns_are_its_transpose(draft in train(), first in 0_usize..5) {
        let set = Gearset::new(draft).unwrap();
        let matrix = set.matrix();
        let (rows, columns) = (matrix.speeds(), matrix.torques(first));
        prop_assert_eq!((rows.len(), columns.len()), (set.meshes().len(), set.members().len()));
        for mesh in set.mesh_ids() {
            prop_assert_eq!(value(&rows[mesh.index()], &vec![1; set.members().len()]), 0);
            for member in set.member_ids() {
                let entry = matrix.entry(mesh, member);
                let by_row = added(&rows[mesh.index()]).get(&member.index()).copied().unwrap_or(0);
                let by_column = added(&columns[member.index()]).get(&(first + mesh.index())).copied().unwrap_or(0);
                prop_assert_eq!([by_row, by_column], [entry, entry]);
            }
        }
    }

    #[test]
    fn meshes_neither_give_power_nor_take_it_whatever_moves(
        draft in train(),
        speeds in prop::collection::vec(-9_i64..10, 60),
        torques in prop::collection::vec(-9_i64..10, 60),
    ) {
        let set = Gearset::new(draft).unwrap();
        prop_assume!(set.members().len() <= 60 && set.meshes().len() <= 60);
        // w . M^T f = f . M w: what the torques do is what the teeth that do not roll would take.
        let columns = set.matrix().torques(0);
        let by_members: i64 = columns.iter().zip(&speeds).map(|(column, speed)| value(column, &torques) * speed).sum();
        let rows = set.matrix().speeds();
        let by_meshes: i64 = rows.iter().zip(&torques).map(|(row, torque)| value(row, &speeds) * torque).sum();
        prop_assert_eq!(by_members, by_meshes);
    }

    #[test]
    fn timing_is_the_row_with_the_central_gears_turned_back_to_the_first_pin(
        draft in prop_oneof![train(), meshed_pair()],
        turns in prop::collection::vec(-20_i64..20, 8),
        steps in 1_i64..57,
    ) {
        let set = Gearset::new(draft).unwrap();
        let place = fraction(steps, 57);
        for group in set.planet_groups() {
            let rows = set.matrix().timing(group);
            let turn = |planet: usize| fraction(turns[planet % turns.len()], 12);
            let right = rows.right_sides(&place);
            for (number, row) in rows.iter().enumerate() {
                // The set is turned back by x as a whole, so that the pin comes to where the first one was.
                let theta = |member: MemberId| match group.planets().iter().position(|&planet| planet == member) {
                    Some(planet) => turn(planet),
                    None => -place.clone(),
                };
                let MeshRow { gears, .. } = set.matrix().row(row.mesh);
                let turned: Fraction = gears.iter().map(|gear| multiple(&theta(gear.member), gear.tooth_count)).sum();
                let left: Fraction = row.terms.iter().map(|term| multiple(&turn(term.planet), term.tooth_count)).sum();
                prop_assert_eq!(left - &right[number], turned);
                // The dense matrix has the same left side.
                let by_matrix: Fraction =
                    (0..group.planets().len()).map(|planet| turn(planet) * rows.matrix().get(number, planet)).sum();
                let sparse: Fraction = row.terms.iter().map(|term| multiple(&turn(term.planet), term.tooth_count)).sum();
                prop_assert_eq!(by_matrix, sparse);
            }
        }
    }

    #[test]
    fn weights_multiply_counts_and_leave_the_rest_to_the_carrier(draft in train(), factors in [1_i64..9, 1_i64..9]) {
        let set = Gearset::new(draft).unwrap();
        let weighted = set.matrix().weighted(|_| factors);
        for (row, plain) in weighted.rows().iter().zip(set.matrix().rows()) {
            let [a, b, carrier] = row.terms().map(|term| term.coefficient);
            let [z_a, z_b, _] = plain.terms().map(|term| term.coefficient);
            prop_assert_eq!([a, b, carrier], [factors[0] * z_a, factors[1] * z_b, -factors[0] * z_a - factors[1] * z_b]);
        }
    }
}

#[test]
fn terms_of_members_that_are_joined_add_up() {
    let set = description::read(
        r#"Gearset(
            title: "Turntable with its ring in the case",
            members: {"ring": [Ring("R", 60)], "sun": [Sun("S", 24)], "carrier": []},
            planets: {"planet": (carrier: "carrier", pins: Equal(3), gears: [Gear("p", 18), Gear("q", 12)])},
            meshes: [("S", "p"), ("R", "q")],
            joins: [("ring", "case"), ("sun", "carrier")],
        )"#,
    )
    .unwrap();
    let [sun, planet] = ["sun", "planet"].map(|name| set.member_named(name).unwrap().index());
    let system = LinearSystem::new(set.members().len(), set.matrix().speeds(), &[]);
    // Sun and carrier: 24 - 42 = -18, and 18 for the planet. Carrier alone: 60 - 12 = 48, and 12 for the planet.
    let together = system.dependencies(&set.speed_conditions(set.member_named("sun").unwrap(), []).equalities);
    assert_eq!(together.rank, 2);
    let free =
        system.solve(&Conditions::of(sun, vec![Equality::of(sun, set.member_named("carrier").unwrap().index())]));
    assert_eq!(free.values[planet], Some(fraction(1, 1)), "a planet on a sun that stands against the carrier");
}

/// A draft made in code can put a bevel gear with a side on a planet, which no description can.
#[test]
fn two_bevel_gears_given_on_one_axis_are_no_mesh() {
    let sound = read_example("bevel-differential");
    let mut draft = sound.draft().clone();
    draft.planets[0].gears[0].kind = GearKind::BevelCentral(Side::Output);
    let refused = Gearset::new(draft.clone()).unwrap_err().to_string();
    assert!(refused.contains("not one on the main axis and one on a planet"), "{refused}");
    // Nor is the side of a planet's gear taken for that of the gear that it meshes with.
    for member in &mut draft.members {
        member.gears.iter_mut().for_each(|gear| gear.kind = GearKind::BevelPlanet);
    }
    assert!(Gearset::new(draft).is_err());
}

//! Which pin carries first where clusters carry torque from one central body to another?
//!
//! A cluster free on its pin turns until it touches both bodies. Of what row i is off on a pin only the difference of
//! the pushing and the holding row is left then: the pin on which it is largest touches first, and every other waits
//! by what it has less. A row that is short of backlash on a pin, as that stands nearer or further out than it should, is
//! touched so much earlier. In a bush with clearance the planet first gives way to the force of both meshes, by half of
//! the clearance in that sense in which both open most: see [`lag`].

use std::f64::consts::TAU;

use super::answer::{ContactPin, FirstContact, Weighing};
use super::problem::{NOTHING, central_count, float};
use super::settled::SettledSet;
use crate::gearset::{GearId, MeshId, Pitch};
use crate::tooth::{PinDisplacement, PlanetMesh, lag};

/// How far a tooth reaches.
struct Reach {
    /// The row that touches.
    row: usize,
    /// In turns of the cluster.
    turn: f64,
}

impl SettledSet<'_> {
    /// For each two central bodies, one pushing the clusters clockwise and one holding, the pins in order.
    pub(super) fn first_contacts(&self) -> Vec<FirstContact> {
        let sides = self.sides();
        let pairs = sides.iter().flat_map(|a| sides.iter().filter(move |&b| b != a).map(move |b| [a, b]));
        if self.pin_count() > 1 { pairs.map(|[a, b]| self.first_contact(a, b)).collect() } else { Vec::new() }
    }

    /// The central bodies that can carry torque for clusters, each by its rows: gears that are fixed to one another
    /// push together where it is known how they stand and what backlash each has; at different ratios they lock the set.
    fn sides(&self) -> Vec<Vec<usize>> {
        let ties = &self.matcher.ties;
        let rows = 0..self.matcher.equations.len();
        let side = |row: usize| -> Vec<usize> {
            rows.clone().filter(|&other| ties.bodies[other] == ties.bodies[row]).collect()
        };
        let is_known = |side: &Vec<usize>| {
            let together = side.iter().all(|&row| ties.phases[row] == ties.phases[side[0]]);
            side.len() == 1 || (together && self.matcher.weighing == Weighing::Backlash)
        };
        let sides = rows.clone().map(side).enumerate();
        sides.filter(|(row, side)| side[0] == *row && is_known(side)).map(|(_, side)| side).collect()
    }

    fn first_contact(&self, pushing: &[usize], holding: &[usize]) -> FirstContact {
        let matcher = self.matcher;
        let count = float(matcher.problem.rows[holding[0]].count);
        // Two pins are compared, and each is off by its readings at both bodies.
        let uncertainty = 2.0 * (self.worst_doubt(pushing) + self.worst_doubt(holding)) * count;
        let tooth = matcher.set.mesh(matcher.equations[holding[0]].mesh).pitch().map(Pitch::circular_pitch);
        let meshes = |side: &[usize]| -> Vec<MeshId> { side.iter().map(|&row| matcher.equations[row].mesh).collect() };
        let gears =
            |side: &[usize]| -> Vec<GearId> { side.iter().filter_map(|&row| matcher.equations[row].central).collect() };
        FirstContact {
            pushing: matcher.equations[pushing[0]].mesh,
            holding: matcher.equations[holding[0]].mesh,
            pins: in_turn(
                &self.ahead(pushing, holding, count),
                uncertainty,
                tooth,
                self.arc_of_turn(pushing[0], 1.0 / count),
            ),
            uncertainty_teeth: uncertainty,
            all_pushing: meshes(pushing),
            all_holding: meshes(holding),
            pushing_gears: gears(pushing),
            holding_gears: gears(holding),
        }
    }

    /// For each pin how early it touches, in teeth of a gear of so many: `e_pushing - e_holding` and what both are short
    /// of, less what the bush gives way.
    fn ahead(&self, pushing: &[usize], holding: &[usize], count: f64) -> Vec<f64> {
        let on_pin = |pin: usize| {
            let [push, hold] = [self.reach(pin, pushing, 1.0), self.reach(pin, holding, -1.0)];
            push.turn + hold.turn - self.bush_gives_way(pin, push.row, hold.row)
        };
        (0..self.pin_count()).map(|pin| on_pin(pin) * count).collect()
    }

    /// How far the tooth of a body that touches first reaches, in the sense of the sign; the backlash that one alone has
    /// as described is the same on every pin and is left out.
    fn reach(&self, pin: usize, side: &[usize], sign: f64) -> Reach {
        if let &[row] = side {
            let turn = sign * self.off(pin, row) + self.matcher.problem.turn_shortage(pin, row);
            return Reach { row, turn };
        }
        let of_row = |&row: &usize| {
            let play = self.matcher.problem.turn_tolerance(row) - self.matcher.problem.turn_shortage(pin, row);
            Reach { row, turn: sign * self.off(pin, row) - play }
        };
        side.iter().map(of_row).max_by(|a, b| a.turn.total_cmp(&b.turn)).expect("a body has a mesh")
    }

    /// By how many turns of the cluster the bush lets it give way before both rows press: the lag of a planet whose pin
    /// is displaced by half of the clearance. Of all directions the force chooses the one of the largest lag, the root
    /// of the squares of its two parts.
    fn bush_gives_way(&self, pin: usize, pushing: usize, holding: usize) -> f64 {
        let clearance = self.matcher.bushes.get(pin).copied().unwrap_or(0.0);
        let meshes = [pushing, holding].map(|row| self.planet_mesh(row));
        let ([Some(pushed), Some(held)], Some(arc)) = (meshes, self.arc_of_turn(pushing, 1.0)) else { return 0.0 };
        let of = |pin: PinDisplacement| lag(pushed, held, pin).unwrap_or(0.0);
        let outward = of(PinDisplacement { outward: 1.0, along: 0.0 });
        let along = of(PinDisplacement { outward: 0.0, along: 1.0 });
        clearance / 2.0 * outward.hypot(along) / arc
    }

    /// A row as a mesh of the planet; `None` where it has no place, and of a planet with internal teeth.
    fn planet_mesh(&self, row: usize) -> Option<PlanetMesh> {
        let mesh = self.matcher.meshes[row].as_ref()?;
        let gears = [mesh.pair().first(), mesh.pair().second()];
        // Inside a ring the planet comes first, else in the order of the description.
        let is_second = mesh.gains_outward()
            && self.matcher.set.mesh(mesh.mesh).gears().second == self.matcher.equations[row].terms[0].gear;
        let [planet, central] = if is_second { [gears[1], gears[0]] } else { gears };
        PlanetMesh::new(planet, central, mesh.distance).ok()
    }

    /// The arc of so many turns of the cluster at the working circle of a row, in millimetres: that has the radius
    /// `a P / |P + Z|`.
    fn arc_of_turn(&self, row: usize, turns: f64) -> Option<f64> {
        let mesh = self.matcher.meshes[row].as_ref()?;
        let count = self.matcher.problem.rows[row].count;
        let parts = float(count) / float(count + central_count(&self.matcher.equations[row])).abs();
        Some(TAU * mesh.distance * parts * turns)
    }

    /// The most that a row of a body may be off, in turns of the cluster.
    fn worst_doubt(&self, side: &[usize]) -> f64 {
        let matcher = self.matcher;
        let most = |doubts: &[Vec<f64>], row: usize| doubts.iter().map(|doubts| doubts[row]).fold(0.0, f64::max);
        let doubt = |&row: &usize| {
            let teeth = most(&matcher.index_doubts, row) + most(&matcher.pin_doubts, row) + matcher.ties.doubts[row];
            teeth / float(matcher.problem.rows[row].count)
        };
        side.iter().map(doubt).fold(0.0, f64::max)
    }
}

/// The pins in the order in which they begin to carry, given how early each touches, in teeth, and how long a tooth is at
/// the holding mesh and, of the same turn, at the pushing one.
fn in_turn(ahead: &[f64], uncertainty: f64, tooth: Option<f64>, pushing: Option<f64>) -> Vec<ContactPin> {
    let most = ahead.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let mut waits: Vec<(usize, f64)> = ahead.iter().map(|ahead| most - ahead).enumerate().collect();
    waits.sort_by(|a, b| a.1.total_cmp(&b.1));
    let mut pins: Vec<ContactPin> = Vec::new();
    for (pin, left) in waits {
        let teeth_left = if left < NOTHING { 0.0 } else { left };
        let rank = pins.last().map_or(1, |last| last.rank + usize::from(teeth_left - last.teeth_left >= NOTHING));
        let [mm_left, mm_to_come] = [tooth, pushing].map(|tooth| tooth.map(|tooth| teeth_left * tooth));
        let waits_for_sure = teeth_left > uncertainty;
        pins.push(ContactPin { pin: pin + 1, teeth_left, mm_left, rank, waits_for_sure, mm_to_come });
    }
    pins
}

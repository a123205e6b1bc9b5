//! The matrix read by rows: which speeds are possible, and which does a state leave?
//!
//! The speeds w are the kernel of M over the rationals, `M w = 0` with `w_case = 0`. A state cuts it down: what is held
//! has `w_X = 0`, what is joined or clutched `w_X = w_Y`, what is driven besides at n/d turns for one of the input
//! `d w_X - n w_input = 0`, and the input turns once. What is then left over is not determined.

use super::{MatrixEntry, MeshMatrix, MeshRow};
use crate::exact::{Conditions, Equality, Equation, Fraction, Term};
use crate::gearset::{GearId, Gearset, MemberId, Pair, Restraint};

impl MeshMatrix {
    /// The rows as equations between the speeds: unknown i is the speed of member i, the case being 0.
    ///
    /// # Examples
    /// ```
    /// use toothmark::{description, exact::{LinearSystem, fraction}};
    /// let set = description::read(description::example("millrace-winch").unwrap()).unwrap();
    /// let system = LinearSystem::new(set.members().len(), set.matrix().speeds(), &[]);
    /// let [sun, carrier] = ["sun", "carrier"].map(|name| set.member_named(name).unwrap());
    /// let state = set.state_named("ring held").unwrap();
    /// let solution = system.solve(&set.speed_conditions(sun, &state.restraints));
    /// // Sun 24 once round, ring 60 held: the carrier turns 24/(24 + 60).
    /// assert_eq!(solution.values[carrier.index()], Some(fraction(2, 7)));
    /// ```
    pub fn speeds(&self) -> Vec<Equation> {
        self.rows.iter().map(MeshRow::equation).collect()
    }
}

impl MeshRow {
    /// `z_a w_A + z_b w_B - (z_a + z_b) w_C = 0`.
    fn equation(&self) -> Equation {
        self.terms().into_iter().collect()
    }
}

impl FromIterator<MatrixEntry> for Equation {
    fn from_iter<I: IntoIterator<Item = MatrixEntry>>(entries: I) -> Self {
        entries.into_iter().map(|entry| Term::of(entry.coefficient, entry.member.index())).collect()
    }
}

impl Gearset {
    /// What holds of the speeds beside the rows while the input turns once and these restraints act: the joins for
    /// good, and what each restraint holds, joins or drives.
    pub fn speed_conditions<'r>(
        &self,
        input: MemberId,
        restraints: impl IntoIterator<Item = &'r Restraint>,
    ) -> Conditions {
        let mut conditions = Conditions::of(input.index(), self.joined_speeds());
        for restraint in restraints {
            // w_X = w_Y; a member that is held is one with the case, whose speed is 0.
            conditions.equalities.extend(self.made_one(restraint).as_ref().map(equality));
            if let Restraint::Turning(member, speed) = *restraint {
                let given = MatrixEntry { coefficient: speed.denominator(), member };
                let driver = MatrixEntry { coefficient: -speed.numerator(), member: input };
                conditions.equations.push([given, driver].into_iter().collect());
            }
        }
        conditions
    }

    /// The equalities of the joins for good.
    pub(crate) fn joined_speeds(&self) -> Vec<Equality> {
        self.joins().iter().map(equality).collect()
    }

    /// `-z_a / z_b`: how often gear b turns for one turn of gear a that it meshes with, seen from the carrier.
    pub fn mesh_ratio(&self, a: GearId, b: GearId) -> Fraction {
        let [z_a, z_b] = [a, b].map(|gear| self.gear(gear).signed_tooth_count());
        -Fraction::new(z_a.into(), z_b.into())
    }
}

fn equality(pair: &Pair<MemberId>) -> Equality {
    Equality::of(pair.first.index(), pair.second.index())
}

//! The matrix read by columns: which torques do the meshes put on each member?
//!
//! The teeth of a mesh press on one another with a torque of f per tooth. By the principle of virtual work, whatever
//! speeds the rows allow, it puts what stands in its row on each member: `z_a f` on A, `z_b f` on B and
//! `-(z_a + z_b) f` on C, and no power is lost, since `f (z_a w_A + z_b w_B - (z_a + z_b) w_C) = 0`. All meshes together
//! put `M^T f` on the members.
//! Source: Lagrange (1788), "Mécanique analytique", part 1, section 2.

use super::MeshMatrix;
use crate::exact::{Equation, Term};

impl MeshMatrix {
    /// The columns: for each member, the case first, what the meshes put on it, where unknown `first + m` is the torque
    /// per tooth of mesh m. With whatever else acts on a member added, it is an equation: the sum is zero.
    ///
    /// # Examples
    /// ```
    /// use toothmark::{description, exact::Term};
    /// let set = description::read(description::example("millrace-winch").unwrap()).unwrap();
    /// let carrier = set.member_named("carrier").unwrap();
    /// // -(24 + 18) f_1 - (-60 + 18) f_2 through the pins.
    /// assert_eq!(set.matrix().torques(1)[carrier.index()].terms(), [Term::of(-42, 1), Term::of(42, 2)]);
    /// ```
    pub fn torques(&self, first: usize) -> Vec<Equation> {
        let mut columns = vec![Equation::default(); self.member_count];
        for row in &self.rows {
            for term in row.terms() {
                columns[term.member.index()].extend([Term::of(term.coefficient, first + row.mesh.index())]);
            }
        }
        columns
    }
}

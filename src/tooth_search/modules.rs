//! Which module may a mesh have?
//!
//! Gears in mesh have one module, so that meshes which share a gear share it: what is said of one holds for all
//! that hang together with it. Modules are fractions; the unknown is a whole number of parts of a millimetre, as
//! many parts as make all modules whole.

use num_bigint::BigInt;
use num_integer::Integer;
use num_traits::{One, ToPrimitive};

use super::fault::TeethFault;
use crate::exact::Fraction;
use crate::gearset::{Gearset, MeshId, Pitch};
use crate::search::{Expression, Space, Variable};

/// The modules of all meshes.
#[derive(Debug, Clone, Default)]
pub(super) struct Modules {
    /// For every mesh what its module is now; 1 where no pitch is given.
    now: Vec<Fraction>,
    /// For every mesh the unknown, if its module may change; meshes that hang together have one.
    unknown: Vec<Option<Variable>>,
    /// How many parts of a millimetre an unknown counts.
    parts: Fraction,
    /// What makes every module whole, those of now included.
    whole: Fraction,
}

impl Modules {
    pub(super) fn new(
        set: &Gearset,
        choices: &[(MeshId, Vec<Fraction>)],
        space: &mut Space,
    ) -> Result<Self, TeethFault> {
        let all = choices.iter().flat_map(|(_, modules)| modules);
        let parts = all.fold(BigInt::one(), |common, module| common.lcm(module.denom()));
        let now: Vec<Fraction> = set.mesh_ids().map(|mesh| module(set, mesh)).collect();
        let whole = now.iter().fold(parts.clone(), |common, module| common.lcm(module.denom()));
        let mut found = Self {
            now,
            unknown: vec![None; set.meshes().len()],
            parts: Fraction::from_integer(parts),
            whole: Fraction::from_integer(whole),
        };
        for (mesh, modules) in choices {
            let name = set.mesh_name(*mesh);
            let too_large = |module: &&Fraction| !Pitch::Module((*module).clone()).is_within_reason();
            let wrong = || TeethFault::NoModules(name.clone());
            let whole = |module: &Fraction| (module * &found.parts).to_i64().filter(|&parts| parts > 0);
            let values = modules.iter().map(whole).collect::<Option<Vec<i64>>>();
            let values = values.filter(|values| !values.is_empty()).ok_or_else(wrong)?;
            if let Some(module) = modules.iter().find(too_large) {
                return Err(TeethFault::AbsurdModule { mesh: name, module: module.clone() });
            }
            if found.unknown[mesh.index()].is_some() {
                return Err(TeethFault::ModulesTwice(name));
            }
            let unknown = space.values(&format!("module of {name}"), values);
            for other in hang_together(set, *mesh) {
                found.unknown[other.index()] = Some(unknown);
            }
        }
        Ok(found)
    }

    /// The unknown that the module of a mesh is, if it may change.
    pub(super) fn unknown(&self, mesh: MeshId) -> Option<Variable> {
        self.unknown[mesh.index()]
    }

    /// Every unknown once, in the order of the meshes.
    pub(super) fn unknowns(&self) -> Vec<Variable> {
        let mut all: Vec<Variable> = Vec::new();
        for unknown in self.unknown.iter().flatten() {
            if !all.contains(unknown) {
                all.push(*unknown);
            }
        }
        all
    }

    /// The module of a mesh as it is now.
    pub(super) fn now(&self, mesh: MeshId) -> &Fraction {
        &self.now[mesh.index()]
    }

    /// The module of a mesh, in millimetres.
    pub(super) fn expression(&self, mesh: MeshId) -> Expression {
        match self.unknown(mesh) {
            None => self.now(mesh).clone().into(),
            Some(unknown) => Expression::from(unknown) / self.parts.clone(),
        }
    }

    /// What is nothing where the module of a mesh stays, and at least 1 where it does not; `None` where it has to stay.
    pub(super) fn change(&self, mesh: MeshId) -> Option<Expression> {
        self.unknown(mesh)?;
        Some(self.whole_multiple(self.expression(mesh)).distance_to(self.now(mesh) * &self.whole))
    }

    /// A multiple of a module or of a centre distance that is a whole number.
    pub(super) fn whole_multiple(&self, size: Expression) -> Expression {
        size * self.whole.clone()
    }

    /// The module that a value of an unknown is.
    pub(super) fn of_value(&self, value: i64) -> Fraction {
        Fraction::from_integer(value.into()) / &self.parts
    }

    /// The value of an unknown that a module is; `None` where it is none.
    pub(super) fn value_of(&self, module: &Fraction) -> Option<i64> {
        let value = module * &self.parts;
        if value.is_integer() { value.to_i64() } else { None }
    }
}

/// The module of a mesh as described, exactly; 1 where no pitch is given.
fn module(set: &Gearset, mesh: MeshId) -> Fraction {
    match set.mesh(mesh).pitch() {
        None => Fraction::one(),
        Some(Pitch::Module(module)) => module.clone(),
        Some(Pitch::Diametral(pitch)) => Fraction::new(254.into(), 10.into()) / pitch,
    }
}

/// The meshes that share a gear with this one, with one that does, and so on; itself among them.
fn hang_together(set: &Gearset, first: MeshId) -> Vec<MeshId> {
    let mut found = vec![first];
    let mut at = 0;
    while let Some(&mesh) = found.get(at) {
        let gears = set.mesh(mesh).gears();
        let shares = |other: &MeshId| set.mesh(*other).gears().both().iter().any(|gear| gears.contains(gear));
        let next: Vec<MeshId> = set.mesh_ids().filter(|other| !found.contains(other)).filter(shares).collect();
        found.extend(next);
        at += 1;
    }
    found
}

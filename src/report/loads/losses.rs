//! What losses in the meshes leave of the power, for a person; an estimate.

use super::{Loads, percent};
use crate::exact::{Fraction, fraction};
use crate::gearset::{Action, ControlId, Efficiency, MeshId};
use crate::kinematics::Verdict;
use crate::report::render::document::{Block, Table};
use crate::report::words::{mesh, quoted, rounded, short_list};
use crate::statics::{Run, Running, StateLoads, StateLosses};
use num_traits::{Signed, Zero};

impl Loads<'_> {
    /// Efficiencies of all states, where an efficiency is given.
    pub(super) fn losses(&self) -> Vec<Block> {
        if self.losses.is_empty() {
            return Vec::new();
        }
        let mut blocks = vec![Block::Heading("With losses in the meshes: an estimate".into())];
        blocks.push(Block::Paragraph(format!(
            "{}. Each gear that is driven gets its torque times the efficiency of its mesh; bearings, oil and idling \
             meshes are left out, so the efficiency is in truth less",
            self.given()
        )));
        blocks.push(Block::Table(self.efficiencies()));
        blocks.extend(self.held());
        blocks.push(Block::Table(self.lost()));
        blocks.extend(self.losses.iter().filter_map(locks));
        blocks.extend(self.without_efficiency());
        blocks
    }

    /// Which efficiencies are taken.
    fn given(&self) -> String {
        if let Some(every) = self.mesh_efficiency {
            return format!("every mesh passes on {} of the power that rolls through it", percent(&every.value()));
        }
        let of = |mesh: MeshId| self.set.mesh(mesh).efficiency().map_or(fraction(1, 1), Efficiency::value);
        let mut all: Vec<Fraction> = self.set.mesh_ids().map(of).collect();
        all.sort();
        match (all.first(), all.last()) {
            (Some(least), Some(most)) if least != most => {
                format!(
                    "the meshes pass on {} to {} of the power that rolls through them",
                    percent(least),
                    percent(most)
                )
            }
            (Some(same), _) => format!("every mesh passes on {} of the power that rolls through it", percent(same)),
            (None, _) => "nothing meshes".into(),
        }
    }

    fn efficiencies(&self) -> Table {
        let cells = |running: &Running| match running {
            Running::Runs(run) => [run.efficiency.to_string(), percent(&run.efficiency)],
            Running::SelfLocking => ["locks itself".into(), "-".into()],
            Running::NotTold => ["-".into(), "-".into()],
        };
        let row = |state: &StateLosses| {
            let mut row = vec![state.state.clone()];
            row.extend(cells(&state.drive));
            let load = match &state.drive {
                Running::Runs(run) => rounded(&(&run.output_torque * &self.torque)),
                Running::SelfLocking | Running::NotTold => "-".into(),
            };
            row.push(load);
            row.extend(if self.lets_go(state) { ["lets go".into(), "-".into()] } else { cells(&state.overrun) });
            row
        };
        let headings =
            ["state", "efficiency in drive", "per cent", "load on the output", "efficiency on overrun", "per cent"];
        Table {
            caption: "Efficiency".into(),
            headings: headings.map(String::from).to_vec(),
            rows: self.losses.iter().map(row).collect(),
        }
    }

    /// Why a state that drives has no efficiency.
    fn without_efficiency(&self) -> Option<Block> {
        let is_left_out = |state: &&StateLoads| {
            let losses = self.losses.iter().find(|losses| losses.state == state.motion.state);
            let drives = matches!(state.motion.verdict, Verdict::Drives { .. });
            drives && losses.is_some_and(|losses| losses.drive == Running::NotTold)
        };
        let names: Vec<String> =
            self.states.iter().filter(is_left_out).map(|state| quoted(&state.motion.state)).collect();
        (!names.is_empty()).then(|| {
            Block::Note(format!(
                "no efficiency is told of {}: torques that are not determined leave open what is lost, and where very \
                 many meshes roll under load it is not found who drives whom",
                short_list(&names)
            ))
        })
    }

    /// Whether a one-way clutch of the state lets go when the output drives, so that nothing is passed on.
    fn lets_go(&self, losses: &StateLosses) -> bool {
        self.states.iter().any(|state| state.motion.state == losses.state && self.lets_go_on_overrun(state))
    }

    /// What controls hold with losses, in drive and on overrun.
    fn held(&self) -> Option<Block> {
        let rows: Vec<Vec<String>> = self
            .losses
            .iter()
            .flat_map(|state| self.set.control_ids().filter_map(|control| self.held_by(state, control)))
            .collect();
        let headings = ["state", "control", "torque in drive", "on overrun, as much torque on the input"];
        (!rows.is_empty()).then(|| {
            Block::Table(Table {
                caption: "What controls carry with losses".into(),
                headings: headings.map(String::from).to_vec(),
                rows,
            })
        })
    }

    /// What one control carries with losses; nothing where it carries nothing.
    fn held_by(&self, state: &StateLosses, control: ControlId) -> Option<Vec<String>> {
        let torque = |running: &Running| match running {
            Running::Runs(run) => run.controls[control.index()].as_ref().map(|torque| torque * &self.torque),
            Running::SelfLocking | Running::NotTold => None,
        };
        let on_overrun = if self.lets_go(state) { None } else { torque(&state.overrun) };
        let both = [torque(&state.drive), on_overrun];
        if both.iter().flatten().all(Zero::is_zero) {
            return None;
        }
        let what = match self.set.control(control).action() {
            Action::Band(_) => "band",
            Action::Clutch(_) => "clutch",
            Action::OneWayClutch(..) => "one-way clutch",
        };
        let mut row = vec![state.state.clone(), format!("{} ({what})", self.set.control(control).name())];
        row.extend(both.map(|torque| torque.map_or_else(|| "-".into(), |torque| rounded(&torque))));
        Some(row)
    }

    /// Where the power is lost in drive.
    fn lost(&self) -> Table {
        let share = |run: &Run, mesh: MeshId| percent(&run.lost[mesh.index()].abs());
        let mut headings = vec!["state".to_owned()];
        headings.extend(self.set.mesh_ids().map(|id| mesh(self.set, id)));
        headings.push("together".into());
        let row = |state: &StateLosses| {
            let Running::Runs(run) = &state.drive else { return None };
            let mut row = vec![state.state.clone()];
            row.extend(self.set.mesh_ids().map(|mesh| share(run, mesh)));
            row.push(percent(&(fraction(1, 1) - &run.efficiency)));
            Some(row)
        };
        Table {
            caption: "Where power is lost in drive, in shares of what is put in".into(),
            headings,
            rows: self.losses.iter().filter_map(row).collect(),
        }
    }
}

/// A warning where a state locks itself.
fn locks(state: &StateLosses) -> Option<Block> {
    let name = quoted(&state.state);
    match (&state.drive, &state.overrun) {
        (Running::SelfLocking, _) => Some(Block::Warning(format!(
            "in state {name} the input cannot drive the output by this estimate: friction takes more than comes in"
        ))),
        (_, Running::SelfLocking) => Some(Block::Warning(format!(
            "in state {name} the output cannot drive the input by this estimate: the train locks itself. That must not be \
             what holds a load up: with shaking and good oil it may run back; fit a brake"
        ))),
        _ => None,
    }
}

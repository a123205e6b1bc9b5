//! What must hold of other tooth counts, as requirements of the problem: the cheapest first.

use std::collections::BTreeSet;

use num_integer::Integer;

use super::fitting::ToothFitting;
use super::gearset_of::{gearset_of, with_counts};
use super::modules::Modules;
use super::places::PinPlaces;
use super::plan::{TeethPlan, WishedRatio, WishedValue, changes, window};
use super::request::{CenterDistances, CommonFactors, MarksWanted};
use super::{distances, goals};
use crate::clearance::{Faces, Gap, NotPlaced, SizedGroup, gaps, gaps_with};
use crate::exact::{Fraction, to_float};
use crate::gearset::{
    DraftBacklash, DraftMesh, GearId, GearKind, Gearset, MeshId, Pair, PlanetGroup, TimingRow, TimingRows,
};
use crate::kinematics::motion_of;
use crate::search::{Expression, Requirement, Variable};
use crate::timing::{GearPair, least_error_of_wrong, loops_close, may_have_loops, pair_number, rows_assemble};

/// Room that is short by less is not short, in modules: sines are rounded, where tips just as far apart as asked are
/// right.
const ROUNDING: f64 = 1e-9;

/// Adds every requirement of a request.
pub(super) fn add(plan: &mut TeethPlan<'_>) {
    sizes(plan);
    if plan.request.center_distances != CenterDistances::Free {
        distances::add(plan);
    }
    if plan.request.common_factors != CommonFactors::Allowed {
        hunting(plan);
    }
    for &member in &plan.request.kept {
        if let Some(change) = goals::is_changed(plan, member) {
            plan.problem.require(&goals::stays(plan.set, member), change.equals(0));
        }
    }
    for wished in plan.wishes.clone() {
        ratio(plan, &wished);
    }
    for wished in plan.values.clone() {
        value(plan, &wished);
    }
    if let Some(most) = plan.request.most_parts {
        let changed = goals::parts_changed(plan);
        plan.problem.require(&format!("at most {most} parts changed"), changed.at_most(i64::from(most)));
    }
    if let Some(most) = plan.request.most_cost {
        let cost = goals::cost(plan);
        plan.problem.require(&format!("parts changed cost {most} or less"), cost.at_most(i64::from(most)));
    }
    for group in 0..plan.set.planet_groups().len() {
        let group = GroupRequirements::new(plan, group);
        group.marks(plan);
        group.go_together(plan);
        group.room(plan);
        group.margin(plan);
    }
    fit_teeth(plan);
    if plan.set.planet_groups().len() > 1 && may_have_loops(plan.set) {
        let name = "planets of different kinds go in side by side";
        require_of_set(plan, name, loops_close);
    }
    // What a dial reading comes to at the pitch circle depends on counts and modules, and has a limit of its own; so have
    // cutters, tips and pin circles.
    let draft = plan.set.draft();
    let is_read = |mesh: &DraftMesh| matches!(mesh.sizes.backlash.as_deref(), Some(DraftBacklash::Dial(_)));
    let name = if draft.meshes.iter().any(is_read) {
        Some("the backlash that a dial shows is within reason")
    } else {
        let is_described = !draft.teeth.is_empty() || !draft.pin_circles.is_empty();
        is_described.then_some("what is described of the teeth goes with the counts")
    };
    if let Some(name) = name {
        let is_gearset = of_set(plan, |_| true);
        plan.problem.always_require(name, is_gearset);
    }
    let wishes = plan.wishes.clone();
    for (at, wished) in wishes.iter().enumerate() {
        if wishes[..at].iter().all(|before| before.state != wished.state) {
            drives(plan, wished);
        }
    }
}

/// Adds that the output is driven at all. A formula is in lowest terms: it says nothing of counts at which something that
/// was divided by is zero; there the train itself is asked.
fn drives(plan: &mut TeethPlan<'_>, wished: &WishedRatio) {
    let state = wished.state.clone();
    let is_driven = move |set: &Gearset| {
        let place = set.states().iter().position(|other| other.name == state);
        place.is_some_and(|place| motion_of(set, place).verdict.ratio().is_some())
    };
    let requirement = of_set(plan, is_driven).met_unless_zero(wished.nonzero.clone());
    plan.problem.always_require(&format!("the output is driven in {}", wished.state), requirement);
}

/// Adds that the teeth of every combination can be cut to fit.
fn fit_teeth(plan: &mut TeethPlan<'_>) {
    let Some(fitting) = plan.unknowns.fitting.clone() else { return };
    let set = plan.set;
    for meshes in fitting.parts(set) {
        let names: Vec<String> = meshes.iter().map(|&mesh| set.mesh_name(mesh)).collect();
        let name = format!("teeth of {} can be cut to fit", names.join(", "));
        if meshes.iter().any(|&mesh| plan.unknowns.modules.unknown(mesh).is_some()) {
            of_open_modules(plan, &name, &fitting, meshes);
            continue;
        }
        let open = OpenCounts::new(plan, &meshes);
        let (fitting, set) = (fitting.clone(), set.clone());
        let needs = open.needs();
        let fits = move |values: &[i64]| {
            fitting.fit_remembered(&set, &|gear| open.count(&set, gear, values), &meshes).is_some()
        };
        plan.problem.require(&name, Requirement::code(needs, fits));
    }
}

/// The gears of some meshes whose counts are open.
struct OpenCounts {
    gears: Vec<(GearId, Variable)>,
}

impl OpenCounts {
    fn new(plan: &TeethPlan<'_>, meshes: &[MeshId]) -> Self {
        let gears: BTreeSet<GearId> = meshes.iter().flat_map(|&mesh| plan.set.mesh(mesh).gears().each()).collect();
        let open = gears.into_iter().filter_map(|gear| Some((gear, plan.unknowns.teeth[gear.index()]?)));
        Self { gears: open.collect() }
    }

    fn needs(&self) -> Vec<Variable> {
        self.gears.iter().map(|(_, unknown)| *unknown).collect()
    }

    /// The count of a gear by the values of what is needed.
    fn count(&self, set: &Gearset, gear: GearId, values: &[i64]) -> u16 {
        let at = self.gears.iter().position(|(other, _)| *other == gear);
        let counted = at.and_then(|at| u16::try_from(values[at]).ok());
        counted.unwrap_or_else(|| set.gear(gear).tooth_count().get())
    }
}

/// The same where modules are open as well.
fn of_open_modules(plan: &mut TeethPlan<'_>, name: &str, fitting: &ToothFitting, meshes: Vec<MeshId>) {
    let fitting = fitting.clone();
    require_of_set(plan, name, move |set| {
        fitting.fit(set, &|gear| set.gear(gear).tooth_count().get(), &meshes).is_some()
    });
}

/// Adds a requirement of the whole gearset.
fn require_of_set(plan: &mut TeethPlan<'_>, name: &str, holds: impl Fn(&Gearset) -> bool + Send + Sync + 'static) {
    let requirement = of_set(plan, holds);
    plan.problem.require(name, requirement);
}

fn of_set(plan: &TeethPlan<'_>, holds: impl Fn(&Gearset) -> bool + Send + Sync + 'static) -> Requirement {
    let (needs, set, unknowns) = (plan.all_unknowns(), plan.set.clone(), plan.unknowns.clone());
    let holds = move |values: &[i64]| with_counts(&set, &unknowns, values).is_some_and(|set| holds(&set));
    Requirement::code(needs, holds)
}

/// Adds a requirement of the whole gearset with the teeth that it is cut with.
fn require_of_fitted_set(
    plan: &mut TeethPlan<'_>,
    name: &str,
    holds: impl Fn(&Gearset) -> bool + Send + Sync + 'static,
) {
    let (needs, set, unknowns) = (plan.all_unknowns(), plan.set.clone(), plan.unknowns.clone());
    let holds = move |values: &[i64]| gearset_of(&set, &unknowns, values).is_some_and(|set| holds(&set));
    plan.problem.require(name, Requirement::code(needs, holds));
}

/// What a gear can be at all, and what the request says of it.
fn sizes(plan: &mut TeethPlan<'_>) {
    let set = plan.set;
    for mesh in set.mesh_ids() {
        let [a, b] = set.mesh(mesh).gears().each();
        let internal = |gear: GearId| set.gear(gear).kind() == GearKind::Internal;
        let (ring, gear) = match (internal(a), internal(b)) {
            (true, false) => (a, b),
            (false, true) => (b, a),
            _ => continue,
        };
        if changes(plan, &[ring, gear]) {
            let name = format!("{} goes round {}", set.gear(ring).name(), set.gear(gear).name());
            let more = plan.unknowns.count(ring) - plan.unknowns.count(gear);
            // Without it there is no gearset at all.
            plan.problem.always_require(&name, more.at_least(1));
        }
    }
    for [one, other] in plan.request.tied.clone() {
        let name = format!("{} and {} have one count", set.gear(one).name(), set.gear(other).name());
        plan.problem.require(&name, plan.unknowns.count(one).equals(plan.unknowns.count(other)));
    }
    let Some(fewest) = plan.request.fewest_teeth else { return };
    for gear in set.gear_ids() {
        let external = set.gear(gear).kind() != GearKind::Internal;
        if external && changes(plan, &[gear]) {
            let name = format!("{} has {fewest} teeth or more", set.gear(gear).name());
            let count = plan.unknowns.count(gear);
            plan.problem.require(&name, count.at_least(i64::from(fewest)));
        }
    }
}

fn hunting(plan: &mut TeethPlan<'_>) {
    let set = plan.set;
    let hunts = |mesh: &MeshId| {
        let [a, b] = set.mesh(*mesh).gears().each().map(|gear| set.gear(gear).tooth_count().get());
        a.gcd(&b) == 1
    };
    let keeps = plan.request.common_factors == CommonFactors::Kept;
    for mesh in set.mesh_ids().filter(|mesh| !keeps || hunts(mesh)) {
        let [a, b] = set.mesh(mesh).gears().each();
        let name = format!("{} with {} hunt", set.gear(a).name(), set.gear(b).name());
        let [first, second] = [a, b].map(|gear| plan.unknowns.count(gear));
        plan.problem.require(&name, first.common_divisor_is(second, 1));
    }
}

fn ratio(plan: &mut TeethPlan<'_>, wished: &WishedRatio) {
    let state = &wished.state;
    for zero in &wished.conditions {
        plan.problem.always_require(&format!("the train moves in {state}"), zero.clone().equals(0));
    }
    if let Some((name, requirement)) = window(&format!("ratio of {state}"), wished.ratio(), &wished.wish) {
        plan.problem.require(&name, requirement);
    }
}

/// Adds what is wished of a value of the train: by its formula in the window, or asked of the train.
fn value(plan: &mut TeethPlan<'_>, wished: &WishedValue) {
    let (name, value, efficiency) = (&wished.name, wished.value.clone(), plan.request.mesh_efficiency);
    let Some(formula) = &wished.formula else {
        let wish = wished.wish.clone();
        let is_met = move |set: &Gearset| value.of(set, efficiency).is_some_and(|value| wish.is_met_by(&value));
        let name = window(name, 0.into(), &wished.wish).map_or_else(|| name.clone(), |(name, _)| name);
        return require_of_set(plan, &name, is_met);
    };
    for zero in &formula.conditions {
        plan.problem.always_require(&format!("{name} is told"), zero.clone().equals(0));
    }
    for (state, keeps) in &formula.keep_sign {
        // Where a sign changes the formula is no longer that of the value.
        plan.problem.always_require(&format!("{state} goes on to turn the output as it does"), keeps.clone());
    }
    if let Some((name, requirement)) = window(name, formula.value.clone(), &wished.wish) {
        plan.problem.require(&name, requirement);
    }
    let is_told = of_set(plan, move |set| value.of(set, efficiency).is_some());
    plan.problem.always_require(&format!("{name} is told"), is_told.met_unless_zero(formula.nonzero.clone()));
}

/// What has to hold of one group of planets, by its timing rows.
struct GroupRequirements {
    group: usize,
    name: String,
    rows: TimingRows,
    places: PinPlaces,
}

impl GroupRequirements {
    fn new(plan: &TeethPlan<'_>, index: usize) -> Self {
        let group = &plan.set.planet_groups()[index];
        let names: Vec<&str> = group.planets().iter().map(|&planet| plan.set.member(planet).name()).collect();
        Self {
            group: index,
            name: names.join(" and "),
            rows: plan.set.matrix().timing(group),
            places: plan.unknowns.places[index].clone(),
        }
    }

    fn is_bevel(&self, set: &Gearset) -> bool {
        self.rows.iter().any(|row| set.gear(row.terms[0].gear).kind().is_bevel())
    }

    /// Whether the marks that are wanted serve at every pin.
    fn marks(&self, plan: &mut TeethPlan<'_>) {
        let wanted = plan.request.marks;
        let word = match wanted {
            MarksWanted::Any => return,
            MarksWanted::Radial => "radial",
            MarksWanted::Parallel => "parallel",
        };
        let name = format!("{word} marks serve on {}", self.name);
        if wanted == MarksWanted::Parallel && self.is_bevel(plan.set) {
            // Bevel planets turn about different axes: their marks have no common direction.
            return plan.problem.require(&name, Expression::from(1).equals(0));
        }
        // Of P t = Z x and P p = (Z + P) x (mod 1) the solution is 0 at every pin where Z x, or (Z + P) x, is an integer.
        for row in self.rows.iter() {
            let central = row.central.map(|gear| signed(plan, gear, row.place_coefficient));
            let planets = row.terms.iter().map(|term| signed(plan, term.gear, term.tooth_count));
            let parts: Vec<Expression> = match wanted {
                MarksWanted::Parallel => central.into_iter().chain(planets).collect(),
                MarksWanted::Any | MarksWanted::Radial => central.into_iter().collect(),
            };
            if let Some(sum) = parts.into_iter().reduce(|sum, next| sum + next) {
                plan.problem.require(&name, sum.divisible_by(self.places.divisor()));
            }
        }
    }

    /// Two rows at a time where there is one planet on a pin, which is enough for it; all at once otherwise.
    fn go_together(&self, plan: &mut TeethPlan<'_>) {
        let name = format!("{} assembles", self.name);
        if self.rows.planet_count() > 1 {
            return self.require_of_rows(plan, &name, self.rows.clone());
        }
        for later in 0..self.rows.len() {
            for earlier in 0..later {
                let rows = self.rows.only(&[earlier, later]);
                match self.places.whole_divisor(Some(1)) {
                    Some(_) => self.require_of_pair(plan, &name, rows),
                    None => self.require_of_rows(plan, &name, rows),
                }
            }
        }
    }

    /// Two gears of one planet go together at every pin where the number of the pair, which has to be whole at each,
    /// is divisible by the common denominator of the places.
    fn require_of_pair(&self, plan: &mut TeethPlan<'_>, name: &str, rows: TimingRows) {
        let form = OpenRows::new(plan, rows, &self.places);
        let (needs, given) = (form.needs.clone(), self.places.whole_divisor(None));
        let agree = move |values: &[i64]| {
            let pair = |row: usize| form.pair(row, values);
            let divisor = given.or_else(|| form.pins(values));
            divisor.is_some_and(|divisor| pair_number(pair(0), pair(1)) % divisor == 0)
        };
        plan.problem.require(name, Requirement::code(needs, agree));
    }

    fn require_of_rows(&self, plan: &mut TeethPlan<'_>, name: &str, rows: TimingRows) {
        let form = OpenRows::new(plan, rows, &self.places);
        let needs = form.needs.clone();
        let fits = move |values: &[i64]| {
            let filled = form.filled(values);
            rows_assemble(&filled.rows, &filled.spacings)
        };
        plan.problem.require(name, Requirement::code(needs, fits));
    }

    fn margin(&self, plan: &mut TeethPlan<'_>) {
        let Some(least) = plan.request.least_margin.clone() else { return };
        let form = OpenRows::new(plan, self.rows.clone(), &self.places);
        let needs = form.needs.clone();
        let name = format!("a wrong seating of {} is out by {least} of a tooth or more", self.name);
        let far = move |values: &[i64]| {
            let filled = form.filled(values);
            // With one pin every seating is right.
            filled.spacings.len() < 2
                || least_error_of_wrong(&filled.rows).is_ok_and(|error| error.is_none_or(|error| error >= least))
        };
        plan.problem.require(&name, Requirement::code(needs, far));
    }

    /// Neighbours in closed form where there is one planet on a pin and no shift; else on the whole group. Planets that
    /// mesh with one another have to reach each other, whatever room is asked for.
    fn room(&self, plan: &mut TeethPlan<'_>) {
        if self.is_bevel(plan.set) {
            return;
        }
        let least = plan.request.least_room.clone();
        let open_modules = self.rows.iter().any(|row| plan.unknowns.modules.unknown(row.mesh).is_some());
        // Shifts that are found say where tips reach.
        let other_modules = plan.unknowns.fitting.is_some() || open_modules;
        let by_group = self.rows.planet_count() > 1
            || plan.unknowns.fitting.is_some()
            || has_shift(plan.set, &plan.set.planet_groups()[self.group]);
        let name = match &least {
            Some(least) => format!("tips of {} stay {least} modules apart", self.name),
            None => format!("{} reach one another", self.name),
        };
        match least {
            Some(least) if !by_group => self.neighbours(plan, &name, &least),
            Some(least) if self.rows.planet_count() == 1 && plan.unknowns.fitting.is_some() && !open_modules => {
                self.fitted_neighbours(plan, &name, to_float(&least));
            }
            None if self.rows.planet_count() == 1 => {}
            least if other_modules => {
                self.room_of_set(plan, &name, least.map_or(f64::NEG_INFINITY, |least| to_float(&least)));
            }
            least => self.room_of_group(plan, &name, least.map_or(f64::NEG_INFINITY, |least| to_float(&least))),
        }
    }

    /// As [`GroupRequirements::room_of_group`], where modules are open as well.
    fn room_of_set(&self, plan: &mut TeethPlan<'_>, name: &str, least: f64) {
        let (index, apart) = (self.group, self.apart(plan.set));
        require_of_fitted_set(plan, name, move |set| {
            let group = &set.planet_groups()[index];
            let count = |gear| set.gear(gear).tooth_count().get();
            clears(&SizedGroup { set, group, count: &count, places: group.places() }, &apart, least)
        });
    }

    /// The gears that lie in different planes, as they have no room to lie in one.
    fn apart(&self, set: &Gearset) -> Vec<Pair<GearId>> {
        let now = gaps(set, &set.planet_groups()[self.group]).unwrap_or_default();
        let lies_apart = |gap: &Gap| gap.faces == Faces::InOnePlane && gap.modules < 0.0;
        now.into_iter().filter(lies_apart).map(|gap| gap.gears).collect()
    }

    /// Every pair of gears that lie side by side. Those that lie in one plane only if they have room, and have none
    /// now, are in different planes.
    fn room_of_group(&self, plan: &mut TeethPlan<'_>, name: &str, least: f64) {
        let (form, set, index) = (OpenRows::new(plan, self.rows.clone(), &self.places), plan.set.clone(), self.group);
        let apart = self.apart(&set);
        let needs = form.needs.clone();
        let clear = move |values: &[i64]| {
            let filled = form.filled(values);
            let count = |gear| filled.count(gear);
            let group = &set.planet_groups()[index];
            let sizes = SizedGroup { set: &set, group, count: &count, places: &filled.spacings };
            clears(&sizes, &apart, least)
        };
        plan.problem.require(name, Requirement::code(needs, clear));
    }

    /// For each gear of a planet with the teeth that are found: `2 a sin(b / 2) - 2 r_a >= room m`, with the distance a of
    /// the pins from the axis, the least angle b between two of them and the gear's tip radius `r_a`.
    fn fitted_neighbours(&self, plan: &mut TeethPlan<'_>, name: &str, least: f64) {
        let Some(fitting) = plan.unknowns.fitting.clone() else { return };
        let parts = fitting.parts(plan.set);
        for row in self.rows.iter() {
            let gear = row.terms[0].gear;
            let part = parts.iter().find(|meshes| meshes.contains(&row.mesh)).cloned();
            // Where no count changes the teeth are those described, on as many pins as are asked for.
            let as_described = part.is_none().then(|| fitting.as_described(plan.set, row.mesh));
            let (meshes, mesh) = (part.unwrap_or_default(), row.mesh);
            let (open, places) = (OpenCounts::new(plan, &meshes), self.places.clone());
            let needs: Vec<Variable> = open.needs().into_iter().chain(places.unknown()).collect();
            let (fitting, set, planet) = (fitting.clone(), plan.set.clone(), plan.set.gear(gear).member());
            let is_hoop = set.gear(gear).kind() == GearKind::Internal;
            let clear = move |values: &[i64]| {
                let pins = places.unknown().and_then(|_| values.last().copied());
                let Some(angle) = places.least_angle(pins) else { return true };
                // What cannot be cut is told by its own requirement.
                let fitted = || fitting.fit_remembered(&set, &|gear| open.count(&set, gear, values), &meshes);
                let Some(teeth) = as_described.clone().or_else(fitted) else { return true };
                let circle = teeth.circles.of_planet(planet);
                let radius = circle.or_else(|| teeth.distance(mesh).ok()).unwrap_or(0.0);
                let form = teeth.form(gear);
                let apart = 2.0 * (radius * (angle * std::f64::consts::PI).sin() - form.tip_radius());
                !is_hoop && apart >= (least - ROUNDING) * form.module
            };
            plan.problem.require(name, Requirement::code(needs, clear));
        }
    }

    /// For each gear of a planet: `(Z + P) m sin(a / 2) - (p + 2) n >= room n`, with Z and P the signed counts of the
    /// first mesh, m its module, p the gear's own count, n its module and a the least angle between two pins. Of
    /// planets with internal teeth, which go round the axis, only one has room.
    fn neighbours(&self, plan: &mut TeethPlan<'_>, name: &str, least: &Fraction) {
        let Some(first) = self.rows.iter().position(|row| row.central.is_some()) else { return };
        for (at, row) in self.rows.iter().enumerate() {
            let is_hoop = plan.set.gear(row.terms[0].gear).kind() == GearKind::Internal;
            let form = OpenRows::new(plan, self.rows.only(&[first, at]), &self.places).with_modules();
            let (needs, least) = (form.needs.clone(), to_float(least));
            let given = self.places.unknown().is_none().then(|| self.places.least_angle(None));
            let clear = move |values: &[i64]| {
                let Some(angle) = given.unwrap_or_else(|| form.places.least_angle(form.pins(values))) else {
                    return true;
                };
                if is_hoop {
                    return false;
                }
                let (first, own_pair) = (form.pair(0, values), form.pair(1, values));
                let [one, own] = [0, 1].map(|row| form.module(row, values));
                let apart =
                    whole((first.planet + first.central).abs()) * one / own * (angle * std::f64::consts::PI).sin();
                apart - whole(own_pair.planet.abs()) - 2.0 >= least - ROUNDING
            };
            plan.problem.require(name, Requirement::code(needs, clear));
        }
    }
}

/// Rows whose counts are open.
struct OpenRows {
    rows: TimingRows,
    /// The unknowns of the rows and of the pins.
    needs: Vec<Variable>,
    teeth: Vec<Option<Variable>>,
    places: PinPlaces,
    modules: Modules,
    /// The module of each row as described, in millimetres.
    modules_now: Vec<f64>,
}

/// Rows with counts put in, and where the pins then are.
struct Filled {
    rows: TimingRows,
    spacings: Vec<Fraction>,
}

impl Filled {
    /// The count of a gear of the rows.
    fn count(&self, gear: GearId) -> u16 {
        let of_row = |row: &TimingRow| {
            let planet = row.terms.iter().find(|term| term.gear == gear).map(|term| term.tooth_count);
            planet.or_else(|| (row.central == Some(gear)).then_some(row.place_coefficient))
        };
        let count = self.rows.iter().find_map(of_row).unwrap_or_default();
        u16::try_from(count.unsigned_abs()).unwrap_or(u16::MAX)
    }
}

impl OpenRows {
    fn new(plan: &TeethPlan<'_>, rows: TimingRows, places: &PinPlaces) -> Self {
        let gears = rows.iter().flat_map(|row| row.terms.iter().map(|term| term.gear).chain(row.central));
        let mut needs: Vec<Variable> = gears.filter_map(|gear| plan.unknowns.teeth[gear.index()]).collect();
        needs.sort_unstable();
        needs.dedup();
        needs.extend(places.unknown());
        let modules = plan.unknowns.modules.clone();
        let modules_now = rows.iter().map(|row| to_float(modules.now(row.mesh))).collect();
        Self { rows, needs, teeth: plan.unknowns.teeth.clone(), places: places.clone(), modules, modules_now }
    }

    /// The same with the modules of the rows open as well.
    fn with_modules(mut self) -> Self {
        for row in self.rows.iter() {
            if let Some(unknown) = self.modules.unknown(row.mesh).filter(|unknown| !self.needs.contains(unknown)) {
                self.needs.push(unknown);
            }
        }
        self
    }

    /// The value of an unknown, if it is one of those needed.
    fn value(&self, unknown: Variable, values: &[i64]) -> Option<i64> {
        self.needs.iter().position(|&other| other == unknown).map(|at| values[at])
    }

    /// The signed count of a gear that has the count `now` as described.
    fn count(&self, gear: GearId, now: i64, values: &[i64]) -> i64 {
        let chosen = self.teeth[gear.index()].and_then(|unknown| self.value(unknown, values));
        chosen.map_or(now, |count| count * now.signum())
    }

    /// The planet gear of a row by its place, with its central gear.
    fn pair(&self, row: usize, values: &[i64]) -> GearPair {
        let (row, term) = (&self.rows[row], self.rows[row].terms[0]);
        let planet = self.count(term.gear, term.tooth_count, values);
        let central = row.central.map_or(0, |gear| self.count(gear, row.place_coefficient, values));
        GearPair { planet, central }
    }

    /// The number of pins, where it is open.
    fn pins(&self, values: &[i64]) -> Option<i64> {
        self.places.unknown().and_then(|unknown| self.value(unknown, values))
    }

    /// The module of a row by its place, in millimetres.
    fn module(&self, row: usize, values: &[i64]) -> f64 {
        let chosen = self.modules.unknown(self.rows[row].mesh).and_then(|unknown| self.value(unknown, values));
        chosen.map_or(self.modules_now[row], |value| to_float(&self.modules.of_value(value)))
    }

    fn filled(&self, values: &[i64]) -> Filled {
        let rows = self.rows.with_counts(|gear: GearId, now: i64| self.count(gear, now, values));
        Filled { rows, spacings: self.places.spacings(self.pins(values)) }
    }
}

fn whole(value: i64) -> f64 {
    i32::try_from(value).map_or(f64::INFINITY, f64::from)
}

fn has_shift(set: &Gearset, group: &PlanetGroup) -> bool {
    if !set.draft().teeth.is_empty() || !set.draft().pin_circles.is_empty() {
        return true;
    }
    let gears = group.meshes().iter().flat_map(|&mesh| set.mesh(mesh).gears().each());
    gears.into_iter().any(|gear| set.profile_shift(gear) != Fraction::default())
}

/// Whether all gears have so much room, but those that lie apart.
fn clears(sizes: &SizedGroup<'_>, apart: &[Pair<GearId>], least: f64) -> bool {
    match gaps_with(sizes) {
        Ok(gaps) => gaps.iter().all(|gap| gap.modules >= least - ROUNDING || apart.contains(&gap.gears)),
        Err(NotPlaced::Bevel(_) | NotPlaced::NoMesh | NotPlaced::NoDistance(_)) => true,
        Err(NotPlaced::TwoPitches(_) | NotPlaced::NoCenterDistance(_) | NotPlaced::NoTriangle(_)) => false,
    }
}

/// The count of a gear with the sign that it has in a row.
fn signed(plan: &TeethPlan<'_>, gear: GearId, now: i64) -> Expression {
    let count = plan.unknowns.count(gear);
    if now.is_negative() { -count } else { count }
}

impl TeethPlan<'_> {
    /// Every unknown, in the order in which [`gearset_of`] takes them.
    pub(super) fn all_unknowns(&self) -> Vec<Variable> {
        let pins = self.unknowns.places.iter().filter_map(PinPlaces::unknown);
        let modules = self.unknowns.modules.unknowns();
        self.unknowns.teeth.iter().flatten().copied().chain(pins).chain(modules).collect()
    }
}

//! From draft to gearset: every rule, every problem at once.
//!
//! Each step resolves what it can and reports what it cannot; a later step passes over
//! what an earlier one has found wrong. Only a draft without a problem is built.

mod bearings;
pub(crate) mod bodies;
mod central_index;
mod connected;
mod dial;
mod found;
mod indexes;
mod measured_pins;
mod meshes;
mod names;
mod readings;
mod teeth;
mod turned;
mod uses;

use super::{
    Draft, DraftMesh, Gear, Gearset, Member, MemberId, Mesh, MeshId, MeshMatrix, Pair, Place, Problems, Scope,
};
use crate::exact::Fraction;
use crate::syntax::{Form, number_in_order};
use names::{Names, gears_of, member_of};

/// Backlash of more millimetres or inches than this is a slip of the unit.
const LARGEST_SIZE: i64 = 1000;

impl Gearset {
    /// Checks a draft against every rule.
    ///
    /// # Errors
    /// Every problem found, in the order of the draft. A rule runs only where those hold
    /// that it rests on, so one slip gives one problem.
    pub fn new(mut draft: Draft) -> Result<Self, Problems> {
        number_in_order(|visit| Draft::marks(&mut draft, visit));
        let mut problems = Problems::none();
        match build(&draft, &mut problems) {
            Some(parts) if problems.is_empty() => Ok(Self { draft, ..parts }),
            _ => Err(problems.in_order()),
        }
    }
}

/// One mesh, by its gears.
fn scope_of(mesh: &DraftMesh) -> Scope {
    let [first, second] = mesh.gears.both().map(ToString::to_string);
    Scope::Mesh(Pair { first, second })
}

/// The gearset without its draft; `None` where anything is wrong.
fn build(draft: &Draft, problems: &mut Problems) -> Option<Gearset> {
    let names = Names::gather(draft, problems);
    bodies::check_sizes(draft, problems);
    bodies::check_controls(draft, problems);
    bodies::check_gears(draft, problems);
    let carriers = bodies::carriers(draft, &names, problems);
    let pins = bodies::pins(draft, problems);
    let gears = gears(draft);
    let known = meshes::MeshContext { draft, names: &names, carriers: &carriers, gears: &gears };
    teeth::check(&known, problems);
    readings::check(draft, &names, &gears, problems);
    let meshes = meshes::check(&known, problems);
    teeth::check_lengths(&known, &meshes, problems);
    let groups = meshes::groups(&known, &meshes, &pins, problems);
    let places = places(draft, &carriers, &pins);
    let known = uses::UseContext { draft, names: &names, places: &places };
    let joins = uses::joins(&known, problems);
    let read = indexes::MeasurementContext {
        draft,
        names: &names,
        gears: &gears,
        meshes: &meshes,
        pins: &pins,
        joins: &joins,
    };
    let measured = indexes::measured(&read, problems);
    let controls = uses::controls(&known, problems);
    let bearings = bearings::check(draft, &names, &places, problems);
    let states = uses::states(&known, problems);
    let turned = turned::check(&known, problems);
    connected::check(draft, problems);
    let known = found::MarkContext { names: &names, places: &places, gears: &gears, meshes: &meshes };
    let found = found::check(&known, draft, problems);
    let members = members(draft, places)?;
    let gears: Vec<Gear> = gears.into_iter().collect::<Option<_>>()?;
    let meshes: Vec<Mesh> = meshes.into_iter().collect::<Option<_>>()?;
    Some(Gearset {
        draft: Draft::default(),
        matrix: MeshMatrix::new(members.len(), &gears, &meshes),
        meshes_of_gears: meshes_of_gears(&gears, &meshes),
        members,
        gears,
        meshes,
        joins: joins.into_iter().collect::<Option<_>>()?,
        measured: measured.into_iter().collect::<Option<_>>()?,
        controls: controls.into_iter().collect::<Option<_>>()?,
        bearings: bearings.into_iter().collect::<Option<_>>()?,
        states: states.into_iter().collect::<Option<_>>()?,
        turned: turned.into_iter().collect::<Option<_>>()?,
        found: found.ok()?,
        groups,
    })
}

/// The meshes of each gear.
fn meshes_of_gears(gears: &[Gear], meshes: &[Mesh]) -> Vec<Vec<MeshId>> {
    let mut of_gears = vec![Vec::new(); gears.len()];
    for (number, mesh) in meshes.iter().enumerate() {
        for gear in mesh.gears().each() {
            of_gears[gear.index()].push(MeshId(number));
        }
    }
    of_gears
}

fn gears(draft: &Draft) -> Vec<Option<Gear>> {
    gears_of(draft).map(|listed| Gear::new(listed.gear, member_of(draft, listed.owner))).collect()
}

fn places(draft: &Draft, carriers: &[Option<MemberId>], pins: &[Option<Vec<Fraction>>]) -> Vec<Option<Place>> {
    let of_planet = |planet: usize| Some(Place::Pin { carrier: carriers[planet]?, pins: pins[planet].clone()? });
    std::iter::once(Some(Place::Case))
        .chain(draft.members.iter().map(|_| Some(Place::MainAxis)))
        .chain((0..draft.planets.len()).map(of_planet))
        .collect()
}

fn members(draft: &Draft, places: Vec<Option<Place>>) -> Option<Vec<Member>> {
    let names = std::iter::once(super::CASE)
        .chain(draft.members.iter().map(|member| member.name.as_str()))
        .chain(draft.planets.iter().map(|planet| planet.name.as_str()));
    let mut members: Vec<Member> = names
        .zip(places)
        .map(|(name, place)| Some(Member { name: name.to_owned(), place: place?, gears: Vec::new() }))
        .collect::<Option<_>>()?;
    for (number, listed) in gears_of(draft).enumerate() {
        members[member_of(draft, listed.owner).index()].gears.push(super::GearId(number));
    }
    Some(members)
}

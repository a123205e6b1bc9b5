//! The answer to "what rolls, rubs, idles and stands in each state".
//!
//! For a person first what wears, howls and is too fast, and what a control meets from rest ([`screen`]); in full which way
//! every member turns and what a control meets in every change (see [`change`]); then bearings and meshes state by state; last what was asked for: limits, and what can make a noise. For
//! a table program a record a member, bearing or mesh and state.

mod change;
mod noise;
mod screen;

use crate::exact::Fraction;
use crate::gearset::{Gearset, MemberId};
use crate::inspection::RemarkKind;
use crate::kinematics::MotionKind;
use crate::report::answer::{Answer, Outcome, bears_on_gears};
use crate::report::loads::control::pressure_in_words;
use crate::report::loads::{digits, each_of};
use crate::report::render::document::{Block, Fact, Records};
use crate::report::render::escape::csv_name;
use crate::report::words::{key, member, mesh, quoted, rounded, unlisted_one_way_clutches, with_decimal};
use crate::running::{BeyondLimit, Judgement, Limits, Running, RunningBearing, RunningMesh, RunningState, Untold};
use crate::statics::PSI;

/// Feet in a metre: a foot is 0.3048 m by definition.
const FEET_PER_METRE: f64 = 1.0 / 0.3048;

impl Answer for Running {
    fn summary(&self, set: &Gearset) -> Vec<Block> {
        if self.states.is_empty() {
            return vec![Block::no_states("nothing is known of what turns")];
        }
        screen::screen(self, set)
    }

    fn details(&self, set: &Gearset) -> Vec<Block> {
        if self.states.is_empty() {
            return Vec::new();
        }
        let mut blocks = vec![facts(self)];
        blocks.extend(change::turning(self, set));
        blocks.extend(change::held_from_rest(self, set));
        blocks.extend(change::engagements(self, set));
        blocks.extend(self.states.iter().flat_map(|state| details(self, set, state)));
        blocks.extend(overspeed(self, set));
        blocks.extend(noise::noise(self, set));
        blocks.extend(about_bushes(self, set));
        blocks.push(Block::Note(
            "loads are those without friction: with little load, or when the output drives, a mesh that idles may \
             rattle and one that is loaded may change sides. A drum that nothing holds can outrun the engine, and cast \
             iron comes apart when it does"
                .into(),
        ));
        blocks
    }

    fn in_details(&self, _: &Gearset) -> Option<&'static str> {
        Some("which way every member turns, what a control meets in every change, bearings and meshes state by state")
    }

    fn is_touched_by(&self, remark: RemarkKind) -> bool {
        remark == RemarkKind::DoesNotAssemble || bears_on_gears(remark)
    }

    fn records(&self, set: &Gearset) -> Records {
        let fields = vec!["state", "kind", "first", "second", "value", "value_decimal", "work"];
        Records { fields, rows: self.states.iter().flat_map(|state| records(set, state)).collect() }
    }

    /// No if a noise was asked about and nothing fits.
    fn outcome(&self) -> Outcome {
        (!nothing_fits(self)).into()
    }
}

/// Whether a noise was asked about and nothing fits.
fn nothing_fits(answer: &Running) -> bool {
    answer.noise.as_ref().is_some_and(|noise| noise.iter().all(|found| found.judgement == Judgement::Out))
}

fn records(set: &Gearset, state: &RunningState) -> Vec<Vec<String>> {
    let record = |kind: &str, [first, second]: [&str; 2], value: Option<&Fraction>, work: String| {
        vec![
            csv_name(&state.state),
            kind.to_owned(),
            csv_name(first),
            csv_name(second),
            value.map(ToString::to_string).unwrap_or_default(),
            value.map(rounded).unwrap_or_default(),
            work,
        ]
    };
    let name = |member: MemberId| set.member(member).name();
    let members = state
        .members
        .iter()
        .map(|found| record("member", [name(found.member), ""], found.speed.as_ref(), String::new()));
    let bearings = state.bearings.iter().map(|found| {
        record("bearing", [name(found.first), name(found.second)], found.relative.as_ref(), String::new())
    });
    let meshes = state.meshes.iter().map(|found| {
        let gears = set.mesh(found.gears).gears().each().map(|gear| set.gear(gear).name());
        record("mesh", gears, found.teeth.as_ref(), key(&found.work))
    });
    members.chain(bearings).chain(meshes).collect()
}

fn facts(answer: &Running) -> Block {
    let mut facts = vec![
        Fact::new(
            "speed",
            "turns per turn of the input, as exact fractions in toothmark ratios; forward: in the input's sense",
        ),
        Fact::new(
            "mesh frequency",
            "teeth of either gear that engage in one turn of the input; in Hz where its speed is given",
        ),
        Fact::new("loaded, idle", "whether a mesh that rolls passes power; dead: it does not roll"),
    ];
    if let Some(rpm) = &answer.input_rpm {
        facts.push(Fact::new("input", format!("at {} revolutions per minute", with_decimal(rpm))));
    }
    Block::Facts(facts)
}

fn details(answer: &Running, set: &Gearset, state: &RunningState) -> Vec<Block> {
    let conflicts = unlisted_one_way_clutches(set, &state.state, &state.unlisted_one_way_clutches);
    let mut blocks = vec![Block::Heading(format!("State {}", quoted(&state.state)))];
    blocks.extend(conflicts.into_iter().map(Block::Warning));
    blocks.push(bearings(answer, set, state));
    blocks.extend(bushes(answer, set, state));
    blocks.push(meshes(answer, set, state));
    if state.no_mesh_rolls {
        let state = quoted(&state.state);
        blocks.push(Block::Note(format!(
            "in {state} no mesh rolls: a noise that is heard there is not one of teeth in mesh"
        )));
    }
    blocks
}

fn bearings(answer: &Running, set: &Gearset, state: &RunningState) -> Block {
    let mut headings = vec!["bearing", "turns", "decimal"];
    if answer.input_rpm.is_some() {
        headings.extend(["rpm", "rubbing"]);
    }
    let row =
        |found: &RunningBearing| {
            let mut row = vec![bearing(set, [found.first, found.second])];
            row.extend(speed(found.motion, found.relative.as_ref()));
            if answer.input_rpm.is_some() {
                row.push(found.relative_rpm.as_ref().map_or("-".into(), rounded));
                row.push(found.rubbing_m_per_s.map_or("-".into(), |speed| {
                    format!("{speed:.3} m/s ({:.0} ft/min)", speed * FEET_PER_METRE * 60.0)
                }));
            }
            row
        };
    Block::table("Bearings, the first against the second", &headings, state.bearings.iter().map(row).collect())
}

fn bearing(set: &Gearset, [first, second]: [MemberId; 2]) -> String {
    let names = [first, second].map(|id| member(set, id));
    let [runs, on] = names;
    match (set.carrier_of(first).is_some(), second == MemberId::CASE) {
        (true, true) => format!("{runs} in the case"),
        (true, false) => format!("{runs} on its pins in {on}"),
        (false, _) => format!("{runs} on {on}"),
    }
}

/// The table of the planets on their pins, under the torque that was given.
fn bushes(answer: &Running, set: &Gearset, state: &RunningState) -> Option<Block> {
    let (torque, unit) = answer.torque.as_ref().zip(answer.torque_unit)?;
    let mut headings = vec!["bearing", "force", "mean pressure"];
    if answer.input_rpm.is_some() {
        headings.push("pressure times rubbing speed");
    }
    let row = |found: &RunningBearing| {
        let bush = found.bush;
        let mut row = vec![bearing(set, [found.first, found.second])];
        row.push(bush.map_or("not told".into(), |bush| each_of(bush.force_per_pin_newtons, bush.pins)));
        row.push(bush.and_then(|bush| bush.pressure_newtons_per_mm2).map_or("-".into(), pressure_in_words));
        row.push(bush.and_then(|bush| bush.pressure_times_speed).map_or("-".into(), pressure_times_speed));
        row.truncate(headings.len());
        row
    };
    let rows: Vec<Vec<String>> = state.bearings.iter().filter(|found| found.on_pin).map(row).collect();
    let caption =
        format!("Planets on their pins with {} {} on the input, an estimate", with_decimal(torque), key(&unit));
    Block::table_of_some(caption, &headings, rows)
}

fn pressure_times_speed(value: f64) -> String {
    format!("{} N/mm2 m/s ({} psi ft/min)", digits(value), digits(value * PSI * FEET_PER_METRE * 60.0))
}

fn meshes(answer: &Running, set: &Gearset, state: &RunningState) -> Block {
    let mut headings = vec!["mesh", "mesh frequency", "decimal"];
    if answer.input_rpm.is_some() {
        headings.push("Hz");
    }
    headings.push("what it does");
    let row = |found: &RunningMesh| {
        let mut row = vec![mesh(set, found.gears)];
        row.extend(speed(found.motion, found.teeth.as_ref()));
        if answer.input_rpm.is_some() {
            row.push(found.hertz.as_ref().map_or("-".into(), rounded));
        }
        row.push(key(&found.work));
        row
    };
    Block::table("Meshes", &headings, state.meshes.iter().map(row).collect())
}

/// A speed as a fraction and as a decimal, or the word for what it is.
fn speed(motion: MotionKind, speed: Option<&Fraction>) -> [String; 2] {
    match (motion, speed) {
        (_, Some(value)) => [value.to_string(), rounded(value)],
        (MotionKind::Free | MotionKind::Locked, None) => [key(&motion), key(&motion)],
        (MotionKind::Determined | MotionKind::Tumbles, None) => ["-".into(), "-".into()],
    }
}

/// What is beyond its limit.
fn overspeed(answer: &Running, set: &Gearset) -> Vec<Block> {
    if answer.limits == Limits::default() {
        return Vec::new();
    }
    let row = |found: &BeyondLimit| {
        let name = set.member(found.member).name().to_owned();
        vec![name, found.state.clone(), rounded(&found.rpm), rounded(&found.limit)]
    };
    let rows: Vec<Vec<String>> = answer.beyond_limit.iter().map(row).collect();
    if rows.is_empty() {
        return vec![Block::Paragraph("No member whose speed is determined turns faster than its limit.".into())];
    }
    vec![
        Block::table("Faster than they may", &["member", "state", "rpm", "limit"], rows),
        Block::Warning("a part that runs too fast can burst: run the input slower, or do not use that state".into()),
    ]
}

/// What the forces take in, and what to write where they are not told.
fn about_bushes(answer: &Running, set: &Gearset) -> Vec<Block> {
    if answer.torque.is_none() {
        return Vec::new();
    }
    let taken_in = format!(
        "the force on a pin is that of the teeth, shared equally, at {} degrees of pressure angle and without losses, \
         as if all gears of the planet lay in one plane. Weight, what flings a planet outward when its carrier \
         turns, profile shift and shock are left out, so a bush may have to bear more; what it can bear is in its \
         maker's book",
        with_decimal(&set.pressure_angle())
    );
    let untold = answer.untold.iter().map(|reason| match reason {
        Untold::NoPitch => "a force is told where every mesh of the planet has a pitch: write pitch: Module(2.5)",
        Untold::NoBushSize => {
            "a pressure is told where bearings has diameter and width of every bush of the planet, all of one \
             diameter: (\"planet\", \"carrier\", (diameter: Millimetres(20), width: Millimetres(25)))"
        }
        Untold::DependsOnPlaces => {
            "not told are forces of bevel planets, and of planets that mesh with one another, as they depend on \
             where these stand"
        }
    });
    [taken_in].into_iter().chain(untold.map(String::from)).map(Block::Note).collect()
}

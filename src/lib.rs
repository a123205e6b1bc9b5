//! Exact ratios and exact timing of planetary gearsets whose planets are clusters.
//!
//! # One matrix, read three ways
//! Each mesh is one row of integers over the members: with signed tooth counts z, `+z_a` and `+z_b` at the two members of
//! its gears and `-(z_a + z_b)` at the carrier of the pin. A triple cluster on a flywheel, meshing with the suns of three
//! drums, has three rows ([`gearset::MeshMatrix`]):
//!
//! ```text
//!              flywheel  driven drum  low drum  reverse drum  cluster
//! D with d        -57         26          0           0          31
//! L with l        -57          0         20           0          37
//! R with r        -57          0          0          31          26
//! ```
//!
//! - **Speeds**, by rows: `M w = 0`. Low drum held and flywheel once round, the second row turns the cluster 57/37 times,
//!   and with that the first the driven drum 171/481 times.
//! - **Torques**, by columns: each mesh puts its entries, times one torque per tooth f, on its members, and every member is
//!   in balance. For 1 on the flywheel f is 37/342, -31/342 and 0; the load is -481/171, and the low band holds 310/171.
//! - **Timing**, modulo one tooth: a cluster whose pin stands x of a turn from the first one meshes as that does if it is
//!   turned by t with `31 t = 26 x`, `37 t = 20 x` and `26 t = 31 x (mod 1)`. For x = 1/3 that is t = -1/3: all marks
//!   point the same way.
//!
//! ```
//! use toothmark::description;
//! use toothmark::exact::{Conditions, Congruences, LinearSystem, Term, fraction};
//!
//! let set = description::read(description::example("inspection-railcar").unwrap()).unwrap();
//! let columns = ["flywheel", "driven drum", "low drum", "reverse drum", "cluster"];
//! let [flywheel, drum, low, reverse, cluster] = columns.map(|name| set.member_named(name).unwrap());
//! let rows = set.mesh_ids().map(|mesh| [flywheel, drum, low, reverse, cluster].map(|it| set.matrix().entry(mesh, it)));
//! assert_eq!(rows.collect::<Vec<_>>(), [[-57, 26, 0, 0, 31], [-57, 0, 20, 0, 37], [-57, 0, 0, 31, 26]]);
//!
//! // Speeds: the kernel under what the state holds. The case is member and unknown 0, and stands.
//! let state = set.state_named("low").unwrap();
//! let system = LinearSystem::new(set.members().len(), set.matrix().speeds(), &[]);
//! let w = system.solve(&set.speed_conditions(flywheel, &state.restraints)).values;
//! assert_eq!([&w[cluster.index()], &w[drum.index()]], [&Some(fraction(57, 37)), &Some(fraction(171, 481))]);
//!
//! // Torques: the transpose. Unknowns 1, 2 and 3 act on flywheel, driven drum and low drum from outside, 4 to 6 are f.
//! let mut balance = set.matrix().torques(4);
//! for (outside, member) in [(1, flywheel), (2, drum), (3, low)] {
//!     balance[member.index()].extend([Term::of(1, outside)]);
//! }
//! let torques = LinearSystem::new(7, balance, &[]).solve(&Conditions::of(1, vec![])).values;
//! let expected = [(-481, 171), (310, 171), (37, 342), (-31, 342), (0, 1)];
//! assert_eq!(torques[2..], expected.map(|(numerator, denominator)| Some(fraction(numerator, denominator))));
//!
//! // Timing: modulo one tooth, on the pin a third of a turn on.
//! let timing = set.matrix().timing(&set.planet_groups()[0]);
//! let t = Congruences::new(&timing.matrix()).solve(&timing.right_sides(&fraction(1, 3)));
//! assert_eq!(t, Ok(vec![fraction(-1, 3)]));
//! ```
//!
//! # An answer in ten lines
//! ```
//! use toothmark::{description, kinematics::motions, timing::timing};
//!
//! let set = description::read(description::example("inspection-railcar").unwrap()).unwrap();
//! let low = &motions(&set)[0];
//! assert_eq!(low.verdict.ratio().unwrap().to_string(), "481/171");
//! let cluster = &timing(&set).groups[0];
//! assert!(cluster.assembles);
//! assert_eq!(cluster.margin.as_ref().unwrap().to_string(), "5/68");
//! ```
//!
//! # Recipes
//! [`recipes`] has five to copy: the ratios of a gearset built in code, timing, a search with a goal in code, torque and
//! efficiency, and the picture of a face.
//!
//! # What there is
//! - [`description`]: a gearset from RON text and back, every fault with its place; the
//!   built-in examples.
//! - [`quick`]: a gearset without a file: a group typed as a stack of tooth counts, what-if.
//! - [`gearset`]: the checked gearset; [`gearset::Draft`] to build one in code.
//! - [`inspection`]: what in a gearset is legal but worth a second look, the weightiest first.
//! - [`miscount`]: which tooth count is wrong, by everything that is known of a gearset.
//! - [`kinematics`]: the speed of every member in each state, verdicts, steps and spread;
//!   every way to use a train; the lever of each basic set.
//! - [`formula`]: the ratio of every state and the speed of any member as a formula in the tooth counts.
//! - [`lesson`]: a state worked out on the board, by table and by formula.
//! - [`running`]: what rolls, rubs and stands in each state, moments of a change, overspeed, noise.
//! - [`statics`]: the torque on every member, mesh and control, power, bands, clutches, losses.
//! - [`timing`]: whether and how the planets go together, marks, the nearest wrong
//!   seating, ways out; what to mark on a set without marks, when marks line up again; what marks that were
//!   found on a set mean.
//! - [`clearance`]: pin circles, axial planes, the room between gears that are not in mesh.
//! - [`fit`]: what the teeth of a gearset are, whether they close on its pins, what a cutter needs to know.
//! - [`mod@bench`]: what is measured, fitted and balanced on the bench, and what to do about it.
//! - [`job`]: the record of a job, what was wanted, found and left, and what it says.
//! - [`comparison`]: what one gearset does beside another, and which parts change.
//! - [`practice`]: practice problems whose numbers could be built, with answers and wrong answers.
//! - [`drawing`]: face views with involute teeth, cut into pages, and paper discs, as SVG; with the feature `report`
//!   a page on which the gears turn.
//! - [`tooth`]: involute outlines and the formulas of teeth, their measures and pairs, on bare numbers.
//! - [`search`]: which whole numbers meet all requirements, and which are the best, proven; a search that knows
//!   nothing of gears.
//! - [`tooth_search`]: which other tooth counts would serve a train, the best of them, proven.
//! - [`exact`]: the numbers beneath: fractions, linear systems, Smith form, congruences.
//! - [`manual`]: what people want to do with the program, a chapter each.
//! - `report` (with the feature `report`): answers as text, Markdown, CSV and JSON.
//! - `requests` (with the feature `report`): from a request to its answer, for programs; `answer` does it.
//!
//! # Conventions
//! - **Rotation**: whoever looks from the input side sees a positive one go counter-clockwise;
//!   an answer that depends on the side says which side it means.
//! - **Ratio**: how often the input turns for one turn of the output; below zero where the
//!   output turns backward.
//! - **Places and turns**: exact parts of a whole turn, in the sense of positive rotation. The
//!   place of a pin is where it stands round the main axis. A planet has the turn 0 when its
//!   mark points to the centre, wherever its pin stands.
//! - **Tooth counts**: as counted. Inside formulas those of internal gears are negative, so
//!   that `z_a (w_A - w_C) + z_b (w_B - w_C) = 0` holds for every mesh.
//! - **Lengths**: millimetres; backlash circumferential at the pitch circle.
//! - **Numbers**: an [`exact::Fraction`] is exact at any size; an `f64` appears only where a
//!   length or pi is in the answer.
//!
//! Every question is a function of a [`gearset::Gearset`], and every answer a structure whose
//! fields can all be read. How an answer is shown is left to whoever asked.

pub mod bench;
pub mod clearance;
pub mod comparison;
pub mod description;
pub mod drawing;
pub mod exact;
pub mod fit;
pub mod formula;
pub mod gearset;
pub mod inspection;
pub mod job;
pub mod kinematics;
pub mod lesson;
pub mod manual;
pub mod miscount;
pub mod practice;
pub mod quick;
#[cfg(test)]
mod random;
pub mod recipes;
#[cfg(feature = "report")]
pub mod report;
#[cfg(feature = "report")]
pub mod requests;
pub mod running;
pub mod search;
pub mod statics;
mod syntax;
pub mod timing;
pub mod tooth;
pub mod tooth_search;

#[cfg(feature = "report")]
pub use requests::answer;

//! Five recipes for programs that use the library, each whole: copy one, and change its names and numbers.
//!
//! # The ratios of a gearset built in code
//! A [`Draft`](crate::gearset::Draft) says what there is, in names; [`Gearset::new`](crate::gearset::Gearset::new) checks
//! it, and reports every problem at once.
//!
//! ```
//! use toothmark::gearset::{Draft, DraftGear, DraftMember, DraftMesh, DraftPins, DraftPlanet, DraftState, Gearset, Given};
//! use toothmark::kinematics::motions;
//!
//! # fn main() -> Result<(), Box<dyn std::error::Error>> {
//! let set = Gearset::new(Draft {
//!     title: "Quay winch".into(),
//!     input: Some("sun".into()),
//!     output: Some("carrier".into()),
//!     members: vec![
//!         DraftMember::new("sun", [DraftGear::sun("S", 18)]),
//!         DraftMember::new("ring", [DraftGear::ring("R", 74)]),
//!         DraftMember::new("carrier", []),
//!     ],
//!     planets: vec![DraftPlanet::new(
//!         "cluster",
//!         "carrier",
//!         DraftPins::Equal(4),
//!         [DraftGear::planet("large", 36), DraftGear::planet("small", 20)],
//!     )],
//!     meshes: vec![DraftMesh::of("S", "large"), DraftMesh::of("R", "small")],
//!     states: vec![DraftState::given("haul", Given { held: vec!["ring".into()], ..Given::default() })],
//!     ..Draft::default()
//! })?;
//! assert_eq!(motions(&set)[0].verdict.ratio().unwrap().to_string(), "42/5");
//!
//! // A draft that breaks rules says which.
//! let slip = Gearset::new(Draft { input: Some("son".into()), ..set.draft().clone() }).unwrap_err();
//! assert!(slip.to_string().contains("son"), "{slip}");
//! # Ok(())
//! # }
//! ```
//!
//! # Timing
//! Whether the clusters go in, how each is turned, and how near the nearest wrong seating is.
//!
//! ```
//! use toothmark::exact::fraction;
//! use toothmark::{description, timing::timing};
//!
//! let set = description::read(description::example("inspection-railcar").unwrap()).unwrap();
//! let group = &timing(&set).groups[0];
//! assert!(group.assembles && group.parallel_marks);
//! // Against its own radius the second cluster is turned back by as much as its pin stands further on.
//! let cluster = set.member_named("cluster").unwrap();
//! let second = &group.pins[1];
//! assert_eq!(second.place, fraction(1, 3));
//! assert_eq!(second.turns.as_ref().unwrap()[&cluster], fraction(-1, 3));
//! // The nearest wrong seating is out by so much of a tooth.
//! assert_eq!(group.margin, Some(fraction(5, 68)));
//! ```
//!
//! # A search with a goal in code
//! The plan of a search knows what a train needs, so that whatever is found assembles. What is best a function of the tooth
//! counts may say, in place of a target.
//!
//! ```
//! use toothmark::description;
//! use toothmark::exact::fraction;
//! use toothmark::search::{Measure, Options, Wanted};
//! use toothmark::tooth_search::{RatioWish, TeethPlan, TeethRange, TeethRequest, Wish};
//!
//! let set = description::read(description::example("hand-chain-block").unwrap()).unwrap();
//! let gears = ["S", "large", "small", "R"].map(|name| set.gear_named(name).unwrap());
//! let ranges = [(12, 24), (24, 48), (12, 24), (45, 75)];
//! let ranges = gears.into_iter().zip(ranges).map(|(gear, (fewest, most))| TeethRange { gear, fewest, most });
//! let mut request = TeethRequest::new(ranges);
//! let state = "frame ring held".to_owned();
//! request.ratios.push(RatioWish { state, wish: Wish::Between(fraction(12, 1), fraction(12, 1)) });
//!
//! // What the wheels cost, say: the square of the count, two of each planet, a ring three times as much.
//! let cost = |z: &[i64]| fraction(z[0] * z[0] + 2 * (z[1] * z[1] + z[2] * z[2]) + 3 * z[3] * z[3], 1);
//! let mut plan = TeethPlan::new(&set, &request).unwrap();
//! let counts = gears.map(|gear| plan.teeth(gear).unwrap());
//! plan.minimise("cost of the wheels", Measure::code(counts, move |z| Some(cost(z))));
//!
//! let answer = plan.search(&Wanted::Best(1), &Options::default()).unwrap();
//! assert!(answer.proven, "none is better");
//! let best = &answer.results[0];
//! assert_eq!((&best.ratios[0].1, &best.objective), (&fraction(12, 1), &Some(fraction(13_491, 1))));
//! assert_eq!(gears.map(|gear| best.teeth.iter().find(|it| it.0 == gear).unwrap().1), [15, 33, 12, 60]);
//! ```
//!
//! # Torque and efficiency
//! Torques without losses are exact; from an efficiency of the meshes follows that of the train.
//!
//! ```
//! use toothmark::description;
//! use toothmark::exact::{fraction, to_float};
//! use toothmark::gearset::Efficiency;
//! use toothmark::statics::{LoadsQuestion, survey_loads};
//!
//! let set = description::read(description::example("hand-chain-block").unwrap()).unwrap();
//! let question = LoadsQuestion { mesh_efficiency: Efficiency::new(&fraction(98, 100)), ..LoadsQuestion::default() };
//! let held = &survey_loads(&set, &question).states[0];
//! // For 1 N m on the pinion the load puts -16 N m on the carrier.
//! assert_eq!(held.output_torque, Some(fraction(-16, 1)));
//! let efficiency = to_float(held.efficiency.as_ref().unwrap());
//! assert!((efficiency - 0.963).abs() < 0.001, "{efficiency}");
//! ```
//!
//! # Drawing a face
//! A picture of exact size, in millimetres, with every gear turned as it meshes. What could not be drawn, and why, is
//! among the remarks.
//!
//! ```
//! use toothmark::description;
//! use toothmark::drawing::{Paper, Pictures, Request, draw};
//!
//! let set = description::read(description::example("hand-chain-block").unwrap()).unwrap();
//! let drawings = draw(&set, Request { paper: Paper::A4, only: Some(Pictures::Faces) });
//! assert!(drawings.remarks.is_empty(), "{:?}", drawings.remarks);
//! let face = &drawings.pictures[0];
//! assert!(face.file_name.ends_with(".svg") && face.svg.starts_with("<svg"));
//! ```

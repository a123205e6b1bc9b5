//! What is wrong with a draft: each broken rule with the part that breaks it.
//!
//! [`Problems`] is the error of [`Gearset::new`](super::Gearset::new). It shows every
//! problem with its part, its sentence and its hint, and can be gone through one by one.

use std::error::Error;
use std::fmt::{self, Debug, Display, Formatter};
use std::ops::Deref;

use super::{Part, Rule};

/// A broken rule and where it was broken.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{rule}")]
pub struct Problem {
    /// Where.
    pub part: Part,
    /// What.
    pub rule: Rule,
}

/// Everything that is wrong with a draft, at least one problem, in the order of the draft.
///
/// `Debug` shows the same as `Display`, for `unwrap` and for a `main` that returns it.
///
/// # Examples
/// ```
/// use toothmark::gearset::{Draft, DraftGear, DraftMember, DraftMesh, Gearset};
/// let mut draft = Draft::default();
/// draft.members.push(DraftMember::new("sun", [DraftGear::sun("S", 0)]));
/// draft.meshes.push(DraftMesh::of("S", "S"));
/// let problems = Gearset::new(draft).unwrap_err();
/// assert_eq!(problems.to_string(), "\
/// member 1, gear 1, tooth count: gear \"S\" has no teeth
///   hint: count the teeth again and write a whole number, 1 or more
/// mesh 1: gear \"S\" is to mesh with itself
///   hint: name the two gears that touch");
/// ```
#[derive(Clone, PartialEq, Eq)]
pub struct Problems(Vec<Problem>);

impl Problems {
    pub(super) fn none() -> Self {
        Self(Vec::new())
    }

    pub(super) fn add(&mut self, part: Part, rule: impl Into<Rule>) {
        self.0.push(Problem { part, rule: rule.into() });
    }

    /// Sorted by part; of one part, in the order in which the rules were checked.
    pub(super) fn in_order(mut self) -> Self {
        self.0.sort_by_key(|problem| problem.part);
        self
    }

    /// The problems as a slice.
    pub fn as_slice(&self) -> &[Problem] {
        &self.0
    }
}

impl Deref for Problems {
    type Target = [Problem];

    fn deref(&self) -> &[Problem] {
        self.as_slice()
    }
}

impl IntoIterator for Problems {
    type Item = Problem;
    type IntoIter = std::vec::IntoIter<Problem>;

    fn into_iter(self) -> Self::IntoIter {
        self.0.into_iter()
    }
}

impl<'a> IntoIterator for &'a Problems {
    type Item = &'a Problem;
    type IntoIter = std::slice::Iter<'a, Problem>;

    fn into_iter(self) -> Self::IntoIter {
        self.0.iter()
    }
}

impl Display for Problems {
    fn fmt(&self, formatter: &mut Formatter<'_>) -> fmt::Result {
        for (index, Problem { part, rule }) in self.iter().enumerate() {
            let line_break = if index > 0 { "\n" } else { "" };
            write!(formatter, "{line_break}{part}: {rule}\n  hint: {}", rule.hint())?;
        }
        Ok(())
    }
}

impl Debug for Problems {
    fn fmt(&self, formatter: &mut Formatter<'_>) -> fmt::Result {
        Display::fmt(self, formatter)
    }
}

impl Error for Problems {}

#[cfg(test)]
mod tests {
    use crate::exact::fraction;
    use crate::gearset::{
        Draft, DraftControl, DraftFound, DraftGear, DraftMember, DraftMesh, DraftPins, DraftPlanet, DraftShift,
        DraftState, DraftTurning, Gearset, Given, Length, Pair, Pitch, PlateSizes, Side,
    };

    /// A draft in which everything is wrong that can be.
    fn wrong_throughout() -> Draft {
        let speed = |speed: i64| DraftTurning { member: "planet".into(), speed: fraction(speed, 1) };
        let given = Given {
            held: vec!["sun".into(), "sun".into()],
            joined: vec![Pair::of("sun", "?")],
            turning: vec![speed(1), speed(1 << 60)],
            input: Some("case".into()),
            output: Some("planet".into()),
        };
        let no_faces = PlateSizes { faces: Some(fraction(0, 1)), ..PlateSizes::default() };
        let wrong_sizes = DraftMesh {
            gears: Pair::of("S", "p"),
            pitch: Some(Pitch::Diametral(fraction(-1, 1))),
            backlash: Some(Length::Inches(fraction(-1, 1))),
            dial: None,
            efficiency: Some(fraction(2, 1)),
        };
        Draft {
            title: String::new(),
            input: Some("case".into()),
            output: Some("planet".into()),
            pitch: Some(Pitch::Module(fraction(0, 1))),
            backlash: Some(Length::Millimetres(fraction(-1, 1))),
            pressure_angle: Some(fraction(0, 1)),
            profile_shifts: vec![DraftShift { gear: "?".into(), modules: fraction(9, 1) }],
            efficiency: Some(fraction(0, 1)),
            members: vec![
                DraftMember::new("sun", [DraftGear::sun("S", 0), DraftGear::ring("S", 60)]),
                DraftMember::new("", []),
            ],
            planets: vec![
                DraftPlanet::new("planet", "?", DraftPins::Equal(0), [DraftGear::planet("p", -18)]),
                DraftPlanet::new("sun", "case", DraftPins::Turns(vec![fraction(0, 1); 2]), [DraftGear::planet("", 1)]),
            ],
            meshes: vec![DraftMesh::of("?", "p"), wrong_sizes, DraftMesh::of("S", "S")],
            joins: vec![Pair::of("sun", "?")],
            measured: vec![],
            controls: vec![
                DraftControl::band("", "case"),
                DraftControl::clutch_with("c", Pair::of("sun", "sun"), no_faces),
            ],
            bearings: Vec::new(),
            states: vec![DraftState::apply("", ["c", "c"]), DraftState::given("s", given)],
            found: Some(DraftFound {
                seen: Side::Input,
                planet: "?".into(),
                marks: Vec::new(),
                beside: Vec::new(),
                within: Some(fraction(0, 1)),
            }),
        }
    }

    #[test]
    fn problems_come_in_the_order_of_the_draft_whatever_the_order_of_the_checks() {
        let problems = Gearset::new(wrong_throughout()).expect_err("it is wrong");
        let parts: Vec<String> = problems.iter().map(|problem| problem.part.to_string()).collect();
        let expected = [
            "input",
            "pitch",
            "backlash",
            "pressure angle",
            "profile shift 1, gear",
            "profile shift 1",
            "efficiency",
            "member 1, gear 1, tooth count",
            "member 1, gear 2, name",
            "member 2, name",
            "member 2, name",
            "planet 1, carrier",
            "planet 1, pins",
            "planet 1, gear 1, tooth count",
            "planet 2, name",
            "planet 2, name",
            "planet 2, pin 2",
            "planet 2, gear 1, name",
            "mesh 1, first gear",
            "mesh 2, pitch",
            "mesh 2, backlash",
            "mesh 2, efficiency",
            "mesh 3",
            "join 1, second member",
            "control 1, name",
            "control 1, first member",
            "control 2, second member",
            "control 2, number of faces",
            "state 1, name",
            "state 1, control 2",
            "state 2, held member 2",
            "state 2, joined pair 1, second member",
            "state 2, turning member 2, speed",
            "state 2, input",
            "marks found, planet",
            "marks found, degrees good to",
        ];
        assert_eq!(parts, expected, "{problems}");
    }

    #[test]
    fn every_problem_is_shown_with_its_part_and_its_hint() {
        let problems = Gearset::new(wrong_throughout()).expect_err("it is wrong");
        let shown = problems.to_string();
        assert_eq!(shown.lines().count(), 2 * problems.len(), "{shown}");
        for (lines, problem) in shown.lines().collect::<Vec<_>>().chunks(2).zip(&problems) {
            assert_eq!(lines[0], format!("{}: {problem}", problem.part));
            assert_eq!(lines[1], format!("  hint: {}", problem.rule.hint()));
        }
        assert_eq!(format!("{problems:?}"), shown);
    }
}

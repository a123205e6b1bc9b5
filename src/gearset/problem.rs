//! What is wrong with a draft: each broken rule with the place of what breaks it.
//!
//! [`Problems`] is the error of [`Gearset::new`](super::Gearset::new). It shows the sentence
//! of every problem, which names the part, and its hint, and can be gone through one by one.

use std::error::Error;
use std::fmt::{self, Debug, Display, Formatter};
use std::ops::{Deref, Range};

use super::Rule;
use crate::syntax::LeafOrigin;

/// A broken rule and where it was broken.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{rule}")]
pub struct Problem {
    /// The bytes of the text that the draft was read from; `None` for a draft that was built in code.
    pub place: Option<Range<usize>>,
    /// What.
    pub rule: Rule,
    /// The number of the leaf in the draft.
    order: usize,
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
/// gear \"S\" has no teeth
///   hint: count the teeth again and write a whole number, 1 or more
/// gear \"S\" is to mesh with itself
///   hint: name the two gears that touch");
/// ```
#[derive(Clone, PartialEq, Eq)]
pub struct Problems(Vec<Problem>);

impl Problems {
    pub(super) fn none() -> Self {
        Self(Vec::new())
    }

    /// Adds a rule broken by a leaf; one that could not be read breaks none.
    pub(super) fn add(&mut self, at: &LeafOrigin, rule: impl Into<Rule>) {
        if !at.is_told {
            self.0.push(Problem { place: at.place.clone(), rule: rule.into(), order: at.order });
        }
    }

    /// Sorted by leaf; of one leaf, in the order in which the rules were checked.
    pub(super) fn in_order(mut self) -> Self {
        self.0.sort_by_key(|problem| problem.order);
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
        for (index, Problem { rule, .. }) in self.iter().enumerate() {
            let line_break = if index > 0 { "\n" } else { "" };
            write!(formatter, "{line_break}{rule}\n  hint: {}", rule.hint())?;
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
        Draft, DraftBacklash, DraftControl, DraftFound, DraftGear, DraftMember, DraftMesh, DraftPins, DraftPlanet,
        DraftShift, DraftState, DraftTurning, Gearset, Given, Length, MeshSizes, Pair, Pitch, PlateSizes, Side,
    };

    /// A draft in which everything is wrong that can be.
    fn wrong_throughout() -> Draft {
        let speed = |speed: i64| DraftTurning { member: "planet".into(), speed: fraction(speed, 1).into() };
        let given = Given {
            held: vec!["sun".into(), "sun".into()],
            joined: vec![Pair::of("sun", "?")],
            turning: vec![speed(1), speed(1 << 60)],
            input: Some("case".into()),
            output: Some("planet".into()),
        };
        let no_faces = PlateSizes { faces: Some(fraction(0, 1).into()), ..PlateSizes::default() };
        let wrong_sizes = DraftMesh {
            gears: Pair::of("S", "p"),
            sizes: MeshSizes {
                pitch: Some(Pitch::Diametral(fraction(-1, 1)).into()),
                backlash: Some(DraftBacklash::AtPitchCircle(Length::Inches(fraction(-1, 1))).into()),
                efficiency: Some(fraction(2, 1).into()),
            },
        };
        Draft {
            title: String::new(),
            input: Some("case".into()),
            output: Some("planet".into()),
            pitch: Some(Pitch::Module(fraction(0, 1)).into()),
            backlash: Some(Length::Millimetres(fraction(-1, 1)).into()),
            pressure_angle: Some(fraction(0, 1).into()),
            profile_shifts: vec![DraftShift { gear: "?".into(), modules: fraction(9, 1).into() }],
            teeth: Vec::new(),
            pin_circles: Vec::new(),
            readings: Vec::new(),
            efficiency: Some(fraction(0, 1).into()),
            members: vec![
                DraftMember::new("sun", [DraftGear::sun("S", 0), DraftGear::ring("S", 60)]),
                DraftMember::new("", []),
            ],
            planets: vec![
                DraftPlanet::new("planet", "?", DraftPins::Equal(0), [DraftGear::planet("p", -18)]),
                DraftPlanet::new("sun", "case", DraftPins::turns(vec![fraction(0, 1); 2]), [DraftGear::planet("", 1)]),
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
            turned: Vec::new(),
            found: Some(DraftFound {
                seen: Side::Input,
                planet: "?".into(),
                marks: Vec::new(),
                beside: Vec::new(),
                within: Some(fraction(0, 1).into()),
            }),
        }
    }

    #[test]
    fn problems_come_in_the_order_of_the_draft_whatever_the_order_of_the_checks() {
        let problems = Gearset::new(wrong_throughout()).expect_err("it is wrong");
        let sentences: Vec<String> = problems.iter().map(ToString::to_string).collect();
        let expected = [
            "the input of the whole set is the case",
            "the module of the whole set",
            "the backlash of the whole set",
            "a pressure angle of 0",
            "there is no gear \"?\"",
            "a profile shift of 9",
            "the efficiency of the whole set",
            "gear \"S\" has no teeth",
            "the name \"S\" is given to two gears",
            "a member has an empty name",
            "nothing connects member \"\"",
            "there is no member \"?\"",
            "planet \"planet\" has 0 pins",
            "gear \"p\" has a negative tooth count",
            "a planet has the name \"sun\"",
            "planet \"sun\" is in mesh with nothing",
            "planet \"sun\" has two pins at one place",
            "a gear has an empty name",
            "there is no gear \"?\"",
            "the diametral pitch of the mesh of \"S\" and \"p\"",
            "the backlash of the mesh of \"S\" and \"p\"",
            "the efficiency of the mesh of \"S\" and \"p\"",
            "gear \"S\" is to mesh with itself",
            "there is no member \"?\"",
            "a control has an empty name",
            "band \"\" is to hold the case",
            "clutch \"c\" acts on \"sun\" twice",
            "the number of faces of \"c\"",
            "a state has an empty name",
            "state \"\" applies \"c\" twice",
            "state \"s\" holds \"sun\" twice",
            "there is no member \"?\"",
            "a speed of 1152921504606846976 for \"planet\"",
            "the input of state \"s\" is the case",
            "there is no planet \"?\"",
            "readings in degrees are said to be good to 0",
        ];
        assert_eq!(sentences.len(), expected.len(), "{problems}");
        for (sentence, begin) in sentences.iter().zip(expected) {
            assert!(sentence.starts_with(begin), "{sentence:?} is not {begin:?}");
        }
        assert!(problems.iter().all(|problem| problem.place.is_none()), "a draft built in code has no text");
    }

    #[test]
    fn every_problem_is_shown_with_its_sentence_and_its_hint() {
        let problems = Gearset::new(wrong_throughout()).expect_err("it is wrong");
        let shown = problems.to_string();
        assert_eq!(shown.lines().count(), 2 * problems.len(), "{shown}");
        for (lines, problem) in shown.lines().collect::<Vec<_>>().chunks(2).zip(&problems) {
            assert_eq!(lines[0], problem.to_string());
            assert_eq!(lines[1], format!("  hint: {}", problem.rule.hint()));
        }
        assert_eq!(format!("{problems:?}"), shown);
    }
}

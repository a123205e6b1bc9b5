//! A request as a text: RON in the words of the trade, read with every problem at once.
//!
//! ```ron
//! Search(
//!     gearset: "inspection-railcar",
//!     teeth: { "L": (15, 30), "l": (25, 45) },
//!     ratios: { "low": Near("11/4"), "reverse": Between("-3", "-2") },
//! )
//! ```

use num_traits::Signed;
use serde::{Deserialize, Serialize};

use super::plan::{TeethFault, can_be};
use super::request::{CenterDistances, CommonFactors, Goal, MarksWanted, RatioWish, TeethRange, TeethRequest, Wish};
use crate::description::Ordered;
use crate::exact::{Fraction, parse};
use crate::gearset::{Gear, Gearset, MemberId, MeshId, PlanetGroup, nearest_name};

/// A request as it is written; numbers that need not be whole stand in quotes.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default, rename = "Search")]
pub struct RequestText {
    /// The description beside the request, or the name of a built-in gearset.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub gearset: Option<String>,
    teeth: Ordered<String, (i64, i64)>,
    pins: Ordered<String, Vec<i64>>,
    modules: Ordered<String, Vec<String>>,
    ratios: Ordered<String, WishText>,
    /// What the meshes of a planet share.
    pub center_distances: CenterDistancesText,
    /// Which marks are to serve.
    pub marks: MarksWanted,
    /// The least error of a wrong seating, in teeth.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub margin: Option<String>,
    /// The least room between tips of gears that are not in mesh, in modules.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub room: Option<String>,
    /// The fewest teeth of an external gear.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub fewest_teeth: Option<i64>,
    /// Whether teeth that meet may have a common factor.
    pub common_factors: CommonFactors,
    /// The most parts that change.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub most_parts: Option<u32>,
    /// What is better, beside the ratios.
    pub goals: Vec<Goal>,
}

/// What is wanted of a ratio, as written.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
enum WishText {
    Near(String),
    Between(String, String),
    Largest,
    Smallest,
}

/// What the meshes of a planet share, as written: see [`CenterDistances`].
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum CenterDistancesText {
    /// Equal sums of teeth, as near as they are now.
    #[default]
    Equal,
    /// Sums that differ by so many teeth at most.
    Within(String),
    /// Equal, and as they are now.
    Kept,
    /// Nothing.
    Free,
}

impl CenterDistancesText {
    fn read(&self, problems: &mut Vec<RequestProblem>) -> CenterDistances {
        match self {
            Self::Equal => CenterDistances::Equal,
            Self::Within(teeth) => CenterDistances::Within(positive(teeth, "a number of teeth", problems)),
            Self::Kept => CenterDistances::Kept,
            Self::Free => CenterDistances::Free,
        }
    }
}

/// What is wrong with a request, and what to write instead.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{sentence}")]
pub struct RequestProblem {
    /// What is wrong.
    pub sentence: String,
    /// What to write instead.
    pub hint: String,
}

impl RequestProblem {
    fn new(sentence: impl Into<String>, hint: impl Into<String>) -> Self {
        Self { sentence: sentence.into(), hint: hint.into() }
    }
}

impl From<TeethFault> for RequestProblem {
    fn from(fault: TeethFault) -> Self {
        Self::new(fault.to_string(), fault.hint())
    }
}

impl RequestText {
    /// A request from RON.
    ///
    /// # Errors
    /// [`RequestProblem`] with line and column where the text is no request.
    ///
    /// # Examples
    /// ```
    /// use toothmark::tooth_search::RequestText;
    /// let text = r#"Search(teeth: { "S": (12, 30) }, ratios: { "ring held": Near("3.6") })"#;
    /// assert_eq!(RequestText::read(text).unwrap().gearset, None);
    /// assert!(RequestText::read("Search(teeth: 3)").is_err());
    /// ```
    pub fn read(source: &str) -> Result<Self, RequestProblem> {
        let options = ron::Options::default().with_default_extension(ron::extensions::Extensions::IMPLICIT_SOME);
        options.from_str(source).map_err(|error| {
            if let ron::Error::ExpectedNamedStructLike(_) | ron::Error::ExpectedDifferentStructName { .. } = error.code
            {
                return RequestProblem::new(
                    "a request begins with Search(",
                    "name a description with --gearset, and say what may change with --teeth L=15..30",
                );
            }
            let place = error.span.start;
            RequestProblem::new(
                format!("line {}, column {} of the request: {}", place.line, place.col, lower(&error.code.to_string())),
                "write it like Search(gearset: \"railcar.ron\", teeth: { \"L\": (15, 30) }, \
                 ratios: { \"low\": Near(\"2.75\") })",
            )
        })
    }

    /// The request as RON, which reads in again as the same.
    ///
    /// # Examples
    /// ```
    /// use toothmark::tooth_search::RequestText;
    /// let text = RequestText::read(r#"Search(teeth: { "S": (12, 30) }, margin: "1/20")"#).unwrap();
    /// assert_eq!(RequestText::read(&text.write()), Ok(text));
    /// ```
    ///
    /// # Panics
    /// Never: strings, numbers and names are always written.
    pub fn write(&self) -> String {
        let pretty = ron::ser::PrettyConfig::new().struct_names(true);
        ron::ser::to_string_pretty(self, pretty).expect("strings, numbers and names are always written")
    }

    /// Lets a gear have from so many to so many teeth.
    ///
    /// # Examples
    /// ```
    /// let mut text = toothmark::tooth_search::RequestText::default();
    /// text.allow_teeth("L", 15, 30);
    /// assert!(text.write().contains("\"L\": (15, 30)"));
    /// ```
    pub fn allow_teeth(&mut self, gear: &str, fewest: i64, most: i64) {
        self.teeth.0.push((gear.to_owned(), (fewest, most)));
    }

    /// Lets a mesh, such as `D with d`, have one of these modules, in millimetres.
    pub fn allow_modules(&mut self, mesh: &str, modules: Vec<String>) {
        self.modules.0.push((mesh.to_owned(), modules));
    }

    /// Lets a planet have these numbers of equal pins.
    ///
    /// # Examples
    /// ```
    /// let mut text = toothmark::tooth_search::RequestText::default();
    /// text.allow_pins("cluster", vec![3, 4]);
    /// assert_eq!(toothmark::tooth_search::RequestText::read(&text.write()), Ok(text));
    /// ```
    pub fn allow_pins(&mut self, planet: &str, counts: Vec<i64>) {
        self.pins.0.push((planet.to_owned(), counts));
    }

    /// Wishes a ratio near a target, from one to another, `largest` or `smallest`: as typed after `=`.
    ///
    /// # Examples
    /// ```
    /// let mut text = toothmark::tooth_search::RequestText::default();
    /// text.wish_ratio("low", "2.5..3");
    /// text.wish_ratio("reverse", "-5/2");
    /// assert!(text.write().contains("Between(\"2.5\", \"3\")") && text.write().contains("Near(\"-5/2\")"));
    /// ```
    pub fn wish_ratio(&mut self, state: &str, wish: &str) {
        let wish = match (wish, wish.split_once("..")) {
            ("largest", _) => WishText::Largest,
            ("smallest", _) => WishText::Smallest,
            (_, Some((low, high))) => WishText::Between(low.to_owned(), high.to_owned()),
            (target, None) => WishText::Near(target.to_owned()),
        };
        self.ratios.0.push((state.to_owned(), wish));
    }

    /// What the names and numbers mean for a gearset.
    ///
    /// # Errors
    /// Every [`RequestProblem`]: names that stand twice, then the fields in their order.
    ///
    /// # Examples
    /// ```
    /// use toothmark::{description, tooth_search::RequestText};
    /// let set = description::read(description::example("millrace-winch").unwrap()).unwrap();
    /// let text = RequestText::read(r#"Search(teeth: { "S": (12, 30) }, ratios: { "ring hold": Largest })"#).unwrap();
    /// let problems = text.request(&set).unwrap_err();
    /// assert_eq!(problems[0].to_string(), "there is no state \"ring hold\"");
    /// assert_eq!(problems[0].hint, "did you mean \"ring held\"?");
    /// ```
    pub fn request(&self, set: &Gearset) -> Result<TeethRequest, Vec<RequestProblem>> {
        let mut problems = self.doubled();
        let mut request = TeethRequest::new(self.ranges(set, &mut problems));
        request.pins = self.planets(set, &mut problems);
        request.modules = self.mesh_modules(set, &mut problems);
        request.ratios = self.wishes(set, &mut problems);
        request.center_distances = self.center_distances.read(&mut problems);
        let mut part = |margin| positive(margin, "a part of a tooth", &mut problems);
        request.least_margin = self.margin.as_deref().map(&mut part);
        if let Some(room) = &self.room {
            request.least_room = number(room, "a number of modules", &mut problems);
        }
        request.marks = self.marks;
        request.common_factors = self.common_factors;
        request.most_parts = self.most_parts;
        request.fewest_teeth = self.fewest_teeth.and_then(|fewest| count(fewest, &mut problems));
        request.goals.clone_from(&self.goals);
        if problems.is_empty() { Ok(request) } else { Err(problems) }
    }

    /// Names that stand twice where each belongs once.
    fn doubled(&self) -> Vec<RequestProblem> {
        fn twice<V>(kind: &str, named: &Ordered<String, V>) -> Vec<RequestProblem> {
            let names: Vec<&String> = named.0.iter().map(|(name, _)| name).collect();
            let again = names.iter().enumerate().filter(|(at, name)| names[..*at].contains(name));
            let problem = |(_, name): (usize, &&String)| {
                RequestProblem::new(format!("{kind} {name:?} is named twice"), "leave one of the two out")
            };
            again.map(problem).collect()
        }
        [
            twice("gear", &self.teeth),
            twice("planet", &self.pins),
            twice("mesh", &self.modules),
            twice("state", &self.ratios),
        ]
        .concat()
    }

    fn ranges(&self, set: &Gearset, problems: &mut Vec<RequestProblem>) -> Vec<TeethRange> {
        let mut ranges = Vec::new();
        for (name, (fewest, most)) in &self.teeth.0 {
            let gear = set.gear_named(name);
            if gear.is_none() {
                problems.push(unknown("gear", name, set.gears().iter().map(Gear::name)));
            }
            let counts = [*fewest, *most].map(|teeth| count(teeth, problems));
            if let (Some(gear), [Some(fewest), Some(most)]) = (gear, counts) {
                if fewest > most {
                    problems.push(TeethFault::EmptyRange { gear: name.clone(), fewest, most }.into());
                }
                ranges.push(TeethRange { gear, fewest, most });
            }
        }
        ranges
    }

    fn mesh_modules(&self, set: &Gearset, problems: &mut Vec<RequestProblem>) -> Vec<(MeshId, Vec<Fraction>)> {
        let mut found = Vec::new();
        for (name, modules) in &self.modules.0 {
            let mesh = set.mesh_named(name);
            if mesh.is_none() {
                let known: Vec<String> = set.mesh_ids().map(|mesh| set.mesh_name(mesh)).collect();
                problems.push(unknown("mesh", name, known.iter().map(String::as_str)));
            }
            let read = |module: &String| positive(module, "a module", problems);
            let modules = modules.iter().map(read).collect();
            found.extend(mesh.map(|mesh| (mesh, modules)));
        }
        found
    }

    fn planets(&self, set: &Gearset, problems: &mut Vec<RequestProblem>) -> Vec<(MemberId, Vec<u32>)> {
        let mut pins = Vec::new();
        for (name, counts) in &self.pins.0 {
            let planet = set.member_named(name).filter(|&member| set.carrier_of(member).is_some());
            let Some(planet) = planet else {
                let planets = set.planet_groups().iter().flat_map(PlanetGroup::planets);
                problems.push(unknown("planet", name, planets.map(|&planet| set.member(planet).name())));
                continue;
            };
            let found: Vec<u32> =
                counts.iter().filter_map(|&pins| pins.try_into().ok().filter(|&pins| pins > 0)).collect();
            if found.len() < counts.len() {
                let sentence = format!("planet {name:?} cannot have {counts:?} pins");
                problems.push(RequestProblem::new(sentence, "write whole numbers from 1 on, such as [3, 4]"));
            }
            pins.push((planet, found));
        }
        pins
    }

    fn wishes(&self, set: &Gearset, problems: &mut Vec<RequestProblem>) -> Vec<RatioWish> {
        let mut wishes = Vec::new();
        for (state, wish) in &self.ratios.0 {
            if set.state_named(state).is_none() {
                problems.push(unknown("state", state, set.states().iter().map(|state| state.name.as_str())));
            }
            let told = problems.len();
            let mut ratio = |text: &str| number(text, "a ratio", problems).unwrap_or_default();
            let wish = match wish {
                WishText::Near(target) => Wish::Near(ratio(target)),
                WishText::Between(low, high) => Wish::Between(ratio(low), ratio(high)),
                WishText::Largest => Wish::Largest,
                WishText::Smallest => Wish::Smallest,
            };
            if problems.len() == told && !can_be(&wish) {
                problems.push(TeethFault::WrongWish(state.clone()).into());
            }
            wishes.push(RatioWish { state: state.clone(), wish });
        }
        wishes
    }
}

/// A number that is not below 0.
fn positive(text: &str, what: &str, problems: &mut Vec<RequestProblem>) -> Fraction {
    let found = number(text, what, problems).unwrap_or_default();
    if found.is_negative() {
        let sentence = format!("{text:?} is below 0, which is not {what}");
        problems.push(RequestProblem::new(sentence, "write a number from 0 on in quotes, such as \"1/4\""));
    }
    found
}

fn lower(sentence: &str) -> String {
    let mut letters = sentence.chars();
    letters.next().map_or_else(String::new, |first| first.to_lowercase().collect::<String>() + letters.as_str())
}

fn unknown<'a>(what: &str, name: &str, known: impl Iterator<Item = &'a str> + Clone) -> RequestProblem {
    let hint = match nearest_name(known.clone(), name) {
        Some(nearest) => format!("did you mean {nearest:?}?"),
        None => format!("there is {}", known.map(|name| format!("{name:?}")).collect::<Vec<_>>().join(", ")),
    };
    RequestProblem::new(format!("there is no {what} {name:?}"), hint)
}

fn number(text: &str, what: &str, problems: &mut Vec<RequestProblem>) -> Option<Fraction> {
    let found = parse(text.trim());
    if found.is_none() {
        let sentence = format!("{text:?} is not {what}");
        problems.push(RequestProblem::new(sentence, "write a number in quotes, such as \"2.75\", \"11/4\" or \"-4\""));
    }
    found
}

fn count(teeth: i64, problems: &mut Vec<RequestProblem>) -> Option<u16> {
    let found = u16::try_from(teeth).ok().filter(|&teeth| teeth > 0);
    if found.is_none() {
        let sentence = format!("{teeth} is not a number of teeth");
        problems.push(RequestProblem::new(sentence, format!("write a whole number from 1 to {}", u16::MAX)));
    }
    found
}

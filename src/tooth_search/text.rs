//! A request as a text: RON in the words of the trade, read with every problem at once.
//!
//! It is read as descriptions are, by a shape that is told here; what names and numbers mean is asked of a gearset.
//!
//! ```ron
//! Search(
//!     gearset: "inspection-railcar",
//!     teeth: { "L": (15, 30), "l": (25, 45) },
//!     ratios: { "low": Near("11/4"), "reverse": Between(-3, -2) },
//! )
//! ```

use std::ops::Range;

use super::counts_text::{CountOrRange, CountRange, WantedCounts, WantedTeeth};
use super::fault::TeethFault;
use super::plan::can_be;
use super::problems::{RequestProblem, last_of, not_negative, twice, unknown};
use super::request::{
    CenterDistances, CommonFactors, FitWish, Goal, MarksWanted, RatioWish, TeethChoice, TeethRange, TeethRequest, Wish,
};
use super::values_text::WantedValue;
use crate::description::{Fault, FaultKind, Faults, Reference, read_shape, text_in};
use crate::exact::{Fraction, fraction};
use crate::gearset::{
    Efficiency, Gear, GearId, Gearset, MOST_PINS, MemberId, MeshId, PlanetGroup, Spanned, ToothCount,
};
use crate::syntax::{self, EntryPerLine, Form, Map, Maybe, Needed, Root, entry, fields, tuple};

/// A whole request.
const ROOT: Root = Root { what: "a request", the: "the request", thing: RequestText::THING };

fields! {
    /// A request as it is written.
    #[derive(Debug, Clone, Default, PartialEq, Eq)]
    pub struct RequestText:
        "a request", "Search(gearset: \"railcar.ron\", teeth: {\"L\": (15, 30)}, ratios: {\"low\": Near(2.75)})"
    {
        /// The description beside the request, or the name of a built-in gearset.
        pub gearset: Option<Spanned<String>> = "the name of a description in quotes", "\"railcar.ron\"";
        /// The gears that may change, each with the fewest and the most teeth, or `OneOf` with the counts of a list.
        pub teeth: Vec<WantedTeeth> as EntryPerLine<Map<WantedTeeth>> =
            "the list of gears that may change in braces", "{\"L\": (15, 30)}";
        /// The counts that one has or can cut: a gear that changes has one of these. A pair in brackets is a range.
        pub stock: Vec<CountRange> as Vec<CountOrRange> =
            "the list of counts at hand in square brackets", "[18, 20, (24, 28)]", "from 1 to 10000";
        /// Members that stay as they are, whichever gears may change.
        pub kept: Vec<Spanned<String>> = "the list of members that stay in square brackets", "[\"cluster\"]";
        /// Gears that have one count, two by two.
        pub tied: Vec<TiedGears> = "the list of gears with one count in square brackets", "[(\"l\", \"r\")]";
        /// Planets that may have other numbers of equal pins.
        pub pins: Vec<WantedPins> as EntryPerLine<Map<WantedPins>> =
            "the list of planets with other pins in braces", "{\"cluster\": [3, 4]}";
        /// Meshes that may have other modules, in millimetres; such as share a gear share it.
        pub modules: Vec<WantedModules> as EntryPerLine<Map<WantedModules>> =
            "the list of meshes with other modules in braces", "{\"D with d\": [2, 2.5]}";
        /// What is wanted of the ratio of states; a state may have a target and a window.
        pub ratios: Vec<WantedRatio> as EntryPerLine<Map<WantedRatio>> =
            "the list of wanted ratios in braces", "{\"low\": Near(2.75)}";
        /// What is wanted of steps between states, the spread, speeds, torques and efficiencies, all without their sign.
        pub values: Vec<WantedValue> =
            "the list of wishes for values of the train in square brackets", "[Spread(Between(2.5, 3))]";
        /// The efficiency of every mesh, in place of those described.
        pub mesh_efficiency: Option<Spanned<Fraction>> = "the efficiency of every mesh", "0.98", "above 0, up to 1";
        /// What the meshes of a planet share.
        pub center_distances: Spanned<CenterDistances> as Maybe<Spanned<CenterDistances>> =
            "what the meshes of a planet share", "Equal";
        /// Which marks are to serve.
        pub marks: MarksWanted as Maybe<MarksWanted> = "which marks are to serve", "Radial";
        /// The least error of a wrong seating, in teeth.
        pub margin: Option<Spanned<Fraction>> = "a part of a tooth", "\"1/20\"", "from 0 on";
        /// The least room between tips of gears that are not in mesh, in modules.
        pub room: Option<Spanned<Fraction>> = "a number of modules", "0.5";
        /// The fewest teeth of an external gear.
        pub fewest_teeth: Option<Spanned<i64>> = "the fewest teeth of an external gear", "17", "from 1 to 10000";
        /// Whether teeth that meet may have a common factor.
        pub common_factors: CommonFactors as Maybe<CommonFactors> =
            "whether teeth that meet may have a common factor", "Avoided";
        /// The most parts that change.
        pub most_parts: Option<Spanned<i64>> = "the most parts that change", "3", "from 0 on";
        /// What it costs that a member changes; 1 where nothing is said.
        pub costs: Vec<PartCost> as EntryPerLine<Map<PartCost>> =
            "what members cost that change in braces", "{\"cluster\": 3}";
        /// The most that the changed members cost together.
        pub most_cost: Option<Spanned<i64>> = "the most that changed members cost", "5", "from 0 on";
        /// What teeth have to be that are cut anew.
        pub fit: Option<FitWish> =
            "the limits of teeth that are cut anew", "(contact_ratio: 1.3, largest_shift: 0.6)";
        /// What is better, beside the ratios.
        pub goals: Vec<Goal> = "the list of goals in square brackets", "[FewestParts]";
    }
}

entry! {
    /// What it costs that a member changes.
    #[derive(Debug, Clone, PartialEq, Eq)]
    pub struct PartCost {
        /// The member.
        pub member;
        /// The cost.
        pub cost: Spanned<i64> = "what it costs that the member changes", "3", "from 0 to 1000000";
    }
}

/// Two gears that have one count.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TiedGears {
    /// The one.
    pub one: Spanned<String>,
    /// The other.
    pub other: Spanned<String>,
}

tuple! {
    TiedGears for TiedGears: "two gears with one count", "(\"l\", \"r\")";
    one: Spanned<String> = "the name of a gear in quotes", "\"l\"";
    other: Spanned<String> = "the name of a gear in quotes", "\"r\""
    => { TiedGears { one, other } }
}

entry! {
    /// A planet that may have other pins.
    #[derive(Debug, Clone, PartialEq, Eq)]
    pub struct WantedPins {
        /// The planet.
        pub planet;
        /// The numbers of equal pins to try.
        pub counts: Vec<Spanned<i64>> as Needed<Vec<Spanned<i64>>> =
            "the list of numbers of pins in square brackets", "[3, 4]", "from 1 to 100";
    }
}

entry! {
    /// A mesh that may have other modules.
    #[derive(Debug, Clone, PartialEq, Eq)]
    pub struct WantedModules {
        /// The mesh, by its gears.
        pub mesh;
        /// The modules to try, in millimetres.
        pub modules: Vec<Spanned<Fraction>> as Needed<Vec<Spanned<Fraction>>> =
            "the list of modules in square brackets", "[2, 2.5]", "above 0";
    }
}

entry! {
    /// A wish for the ratio of a state.
    #[derive(Debug, Clone, PartialEq, Eq)]
    pub struct WantedRatio {
        /// The state.
        pub state;
        /// The wish.
        pub wish: Spanned<Wish> = "what is wanted of a ratio", "Near(2.75)";
    }
}

/// A request with the text that it was read from, in which single names and numbers may be wrong.
#[derive(Debug, Clone)]
pub struct RequestSource {
    source: String,
    text: RequestText,
    unread: Vec<Fault>,
}

impl RequestSource {
    /// Reads the bytes of a file.
    ///
    /// # Errors
    /// Every fault of its shape, in the order of the source.
    pub fn read_bytes(bytes: &[u8]) -> Result<Self, Faults> {
        let source = text_in(bytes, &ROOT)?;
        let (text, unread) = read_shape::<RequestText>(source, &ROOT)?;
        Ok(Self { source: source.to_owned(), text, unread })
    }

    /// The request; a name or number that is wrong in it is absent.
    pub fn text(&self) -> &RequestText {
        &self.text
    }

    /// The same, to change it.
    pub fn text_mut(&mut self) -> &mut RequestText {
        &mut self.text
    }

    /// What the names and numbers mean for a gearset.
    ///
    /// # Errors
    /// Every fault of the request, in the order of the source.
    pub fn request(&self, set: &Gearset) -> Result<TeethRequest, Faults> {
        self.understood(set).map_err(|problems| self.faults(problems))
    }

    /// The same, with problems as they are: what was added to a text has no place in it.
    ///
    /// # Errors
    /// Every problem, what could not be read first.
    pub fn understood(&self, set: &Gearset) -> Result<TeethRequest, Vec<RequestProblem>> {
        let found = self.text.request(set);
        match found {
            Ok(request) if self.unread.is_empty() => Ok(request),
            found => {
                let unread = self.unread.iter().map(|fault| {
                    RequestProblem::new(Some(fault.place.clone()), fault.to_string(), fault.hint().to_string())
                });
                Err(unread.chain(found.err().unwrap_or_default()).collect())
            }
        }
    }

    /// Why a request that was understood cannot be searched, at its place.
    pub fn cannot_search(&self, fault: &TeethFault) -> Faults {
        self.faults(vec![self.problem(fault)])
    }

    /// The same as a problem.
    pub fn problem(&self, fault: &TeethFault) -> RequestProblem {
        self.text.problem(fault)
    }

    /// Problems with their places in the text, in its order; those without are at its beginning.
    pub fn faults(&self, problems: Vec<RequestProblem>) -> Faults {
        let told = problems.into_iter().map(|RequestProblem { place, sentence, hint, .. }| {
            let place = place.unwrap_or_else(|| syntax::first_token(&self.source));
            let unread = self.unread.iter().find(|fault| fault.place == place && fault.to_string() == sentence);
            unread.cloned().unwrap_or_else(|| Fault::new(place, FaultKind::Request { sentence, hint }))
        });
        Faults::of(&self.source, told.collect())
    }
}

impl RequestText {
    /// A request from RON.
    ///
    /// # Errors
    /// Every fault of the text, in the order of the source.
    ///
    /// # Examples
    /// ```
    /// use toothmark::tooth_search::RequestText;
    /// let text = r#"Search(teeth: { "S": (12, 30) }, ratios: { "ring held": Near(3.6) })"#;
    /// assert_eq!(RequestText::read(text).unwrap().gearset, None);
    /// let faults = RequestText::read("Search(teeth: 3, margin: much)").unwrap_err();
    /// assert_eq!(faults.len(), 2);
    /// ```
    pub fn read(source: &str) -> Result<Self, Faults> {
        match read_shape::<Self>(source, &ROOT)? {
            (text, faults) if faults.is_empty() => Ok(text),
            (_, faults) => Err(Faults::of(source, faults)),
        }
    }

    /// The request as RON, which reads in again as the same.
    ///
    /// # Examples
    /// ```
    /// use toothmark::tooth_search::RequestText;
    /// let text = RequestText::read(r#"Search(teeth: { "S": (12, 30) }, margin: "1/20")"#).unwrap();
    /// assert_eq!(RequestText::read(&text.write()), Ok(text));
    /// ```
    pub fn write(&self) -> String {
        syntax::write::<Self>(self)
    }

    /// Every field and word of a request with what belongs there, for a manual.
    pub fn reference() -> Vec<Reference> {
        syntax::references(&ROOT.thing)
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
        let counts = WantedCounts::Range((fewest, most).into());
        self.teeth.push(WantedTeeth { gear: gear.into(), counts });
    }

    /// Lets a gear have the counts of a list, each part of it from so many to so many teeth.
    ///
    /// # Examples
    /// ```
    /// let mut text = toothmark::tooth_search::RequestText::default();
    /// text.allow_counts("L", [(18, 18), (24, 28)]);
    /// assert!(text.write().contains("\"L\": OneOf([18, (24, 28)])"), "{}", text.write());
    /// ```
    pub fn allow_counts(&mut self, gear: &str, counts: impl IntoIterator<Item = (i64, i64)>) {
        let counts = WantedCounts::OneOf(counts.into_iter().map(CountRange::from).collect());
        self.teeth.push(WantedTeeth { gear: gear.into(), counts });
    }

    /// Lets two gears have one count only.
    ///
    /// # Examples
    /// ```
    /// let mut text = toothmark::tooth_search::RequestText::default();
    /// text.tie("l", "r");
    /// assert_eq!(toothmark::tooth_search::RequestText::read(&text.write()), Ok(text));
    /// ```
    pub fn tie(&mut self, one: &str, other: &str) {
        self.tied.push(TiedGears { one: one.into(), other: other.into() });
    }

    /// Lets a mesh, such as `D with d`, have one of these modules, in millimetres.
    pub fn allow_modules(&mut self, mesh: &str, modules: Vec<Fraction>) {
        let modules = modules.into_iter().map(Into::into).collect();
        self.modules.push(WantedModules { mesh: mesh.into(), modules });
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
        let counts = counts.into_iter().map(Into::into).collect();
        self.pins.push(WantedPins { planet: planet.into(), counts });
    }

    /// Wishes a value of the train.
    ///
    /// # Examples
    /// ```
    /// use toothmark::tooth_search::{RequestText, WantedValue, Wish};
    /// let mut text = RequestText::default();
    /// text.wish_value(WantedValue::Spread("2.5..3".parse::<Wish>().unwrap().into()));
    /// assert!(text.write().contains("Spread(Between(2.5, 3))"));
    /// ```
    pub fn wish_value(&mut self, value: WantedValue) {
        self.values.push(value);
    }

    /// Says what it costs that a member changes.
    ///
    /// # Examples
    /// ```
    /// let mut text = toothmark::tooth_search::RequestText::default();
    /// text.tell_cost("cluster", 3);
    /// assert!(text.write().contains("\"cluster\": 3"));
    /// ```
    pub fn tell_cost(&mut self, member: &str, cost: i64) {
        self.costs.push(PartCost { member: member.into(), cost: cost.into() });
    }

    /// Wishes a ratio near a target, from one to another, `largest` or `smallest`: as typed after `=`.
    ///
    /// # Errors
    /// The number that is none.
    ///
    /// # Examples
    /// ```
    /// let mut text = toothmark::tooth_search::RequestText::default();
    /// text.wish_ratio("low", "2.5..3").unwrap();
    /// text.wish_ratio("reverse", "-5/2").unwrap();
    /// assert!(text.write().contains("Between(2.5, 3)") && text.write().contains("Near(-2.5)"));
    /// assert_eq!(text.wish_ratio("high", "2..x"), Err("x".to_owned()));
    /// ```
    pub fn wish_ratio(&mut self, state: &str, wish: &str) -> Result<(), String> {
        let wish: Wish = wish.parse()?;
        self.ratios.push(WantedRatio { state: state.into(), wish: wish.into() });
        Ok(())
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
        let mut request = TeethRequest::new([]);
        let mut of = |field: &'static str, read: &mut dyn FnMut(&mut Vec<RequestProblem>)| {
            let mut found = Vec::new();
            read(&mut found);
            problems.extend(found.into_iter().map(|problem| {
                let field = problem.field.or(Some(field));
                RequestProblem { field, ..problem }
            }));
        };
        of("teeth", &mut |told| self.free_teeth(set, &mut request, told));
        of("stock", &mut |told| {
            request.stock = (!self.stock.is_empty()).then(|| all_counts(&self.stock, None, told));
        });
        of("kept", &mut |told| request.kept = self.kept.iter().filter_map(|name| member(set, name, told)).collect());
        of("tied", &mut |told| request.tied = self.pairs(set, told));
        of("pins", &mut |told| request.pins = self.planets(set, told));
        of("modules", &mut |told| request.modules = self.mesh_modules(set, told));
        of("ratios", &mut |told| request.ratios = self.wishes(set, told));
        of("values", &mut |told| {
            for value in &self.values {
                let before = told.len();
                request.values.extend(value.meant(set, told));
                told[before..].iter_mut().for_each(|problem| problem.field = Some(value.word()));
            }
        });
        of("mesh_efficiency", &mut |told| {
            request.mesh_efficiency = self.mesh_efficiency.as_ref().and_then(|efficiency| mesh(efficiency, told));
        });
        request.center_distances = (*self.center_distances).clone();
        if let CenterDistances::Within(teeth) | CenterDistances::KeptByShift(teeth) = &*self.center_distances {
            let is_by_shift = matches!(*self.center_distances, CenterDistances::KeptByShift(_));
            of(if is_by_shift { "kept_by_shift" } else { "sums_within" }, &mut |told| {
                not_negative(teeth, self.center_distances.place(), "a number of teeth", told);
            });
        }
        if let Some(margin) = &self.margin {
            of("margin", &mut |told| not_negative(margin, margin.place(), "a part of a tooth", told));
            request.least_margin = Some((**margin).clone());
        }
        if let Some(room) = &self.room {
            request.least_room = Some((**room).clone());
        }
        request.marks = self.marks;
        request.common_factors = self.common_factors;
        of("most_parts", &mut |told| {
            request.most_parts = self.most_parts.as_ref().and_then(|most| whole(most, "a number of parts", told));
        });
        of("costs", &mut |told| request.costs = self.costs_of_members(set, told));
        of("most_cost", &mut |told| {
            request.most_cost = self.most_cost.as_ref().and_then(|most| whole(most, "a cost", told));
        });
        of("fewest_teeth", &mut |told| {
            request.fewest_teeth = self.fewest_teeth.as_ref().and_then(|fewest| count(fewest, told));
        });
        request.goals.clone_from(&self.goals);
        request.fit.clone_from(&self.fit);
        of("fit", &mut |told| self.fit.iter().for_each(|fit| limits_of_teeth(fit, told)));
        if problems.is_empty() { Ok(request) } else { Err(problems) }
    }

    /// Why a request that was understood cannot be searched, at the place that says it, if it is one part of it.
    pub fn problem(&self, fault: &TeethFault) -> RequestProblem {
        let (field, place) = match fault {
            TeethFault::GearTwice(gear)
            | TeethFault::NoCounts(gear)
            | TeethFault::EmptyRange { gear, .. }
            | TeethFault::TooManyTeeth { gear, .. } => ("teeth", last_of(self.teeth.iter().map(|it| &it.gear), gear)),
            TeethFault::NothingInStock(_) => ("stock", self.stock.first().and_then(|range| range.fewest.place())),
            TeethFault::PinsTwice(planet) | TeethFault::NoPins(planet) | TeethFault::TooManyPins { planet, .. } => {
                ("pins", last_of(self.pins.iter().map(|it| &it.planet), planet))
            }
            TeethFault::NoModules(mesh) | TeethFault::ModulesTwice(mesh) | TeethFault::AbsurdModule { mesh, .. } => {
                ("modules", last_of(self.modules.iter().map(|it| &it.mesh), mesh))
            }
            TeethFault::NoSuchState(state)
            | TeethFault::NoRatio(state)
            | TeethFault::TooLong(state)
            | TeethFault::WrongWish(state)
            | TeethFault::FixedRatio { state, .. } => {
                ("ratios", last_of(self.ratios.iter().map(|it| &it.state), state))
            }
            TeethFault::FixedValue { value, .. } | TeethFault::NoValue(value) | TeethFault::WrongValue(value) => {
                self.place_of_value(value)
            }
            TeethFault::NoSpread => self.place_of_value("spread"),
            TeethFault::NoEfficiency => match self.values.iter().find(|value| value.word() == "efficiency") {
                Some(value) => (value.word(), value.place()),
                None => ("values", None),
            },
            TeethFault::NothingMayChange | TeethFault::Problem(_) => return RequestProblem::of(fault, None),
        };
        RequestProblem { field: Some(field), ..RequestProblem::of(fault, place) }
    }

    /// The kind of a value that cannot be wished for, and where the wish for it stands.
    fn place_of_value(&self, name: &str) -> (&'static str, Option<Range<usize>>) {
        let wished = self.values.iter().find(|value| value.is_called(name));
        wished.map_or(("values", None), |value| (value.word(), value.place()))
    }

    /// Names that stand twice where each belongs once.
    fn doubled(&self) -> Vec<RequestProblem> {
        // A target and a window of one state go together, and are two questions.
        let is_window = |it: &&WantedRatio| it.wish.window().is_some();
        let windows = twice("state", self.ratios.iter().filter(is_window).map(|it| &it.state));
        let aims = twice("state", self.ratios.iter().filter(|it| !is_window(it)).map(|it| &it.state));
        let of = |field: &'static str, problems: Vec<RequestProblem>| {
            problems.into_iter().map(move |problem| RequestProblem { field: problem.field.or(Some(field)), ..problem })
        };
        let gears = of("teeth", twice("gear", self.teeth.iter().map(|it| &it.gear)));
        let planets = of("pins", twice("planet", self.pins.iter().map(|it| &it.planet)));
        let meshes = of("modules", twice("mesh", self.modules.iter().map(|it| &it.mesh)));
        let costs = of("costs", twice("member", self.costs.iter().map(|it| &it.member)));
        let values = of("values", twice_wished(&self.values));
        let gears = gears.chain(values);
        gears.chain(planets).chain(meshes).chain(of("ratios", windows)).chain(of("ratios", aims)).chain(costs).collect()
    }

    fn free_teeth(&self, set: &Gearset, request: &mut TeethRequest, problems: &mut Vec<RequestProblem>) {
        for WantedTeeth { gear: name, counts } in &self.teeth {
            let gear = set.gear_named(name);
            if gear.is_none() {
                problems.push(unknown("gear", name, set.gears().iter().map(Gear::name)));
            }
            match counts {
                WantedCounts::Range(range) => {
                    let range = sound_range(range, Some(name), problems);
                    request.ranges.extend(gear.zip(range).map(|(gear, [fewest, most])| TeethRange {
                        gear,
                        fewest,
                        most,
                    }));
                }
                WantedCounts::OneOf(list) => {
                    let counts = all_counts(list, Some(name), problems);
                    request.choices.extend(gear.map(|gear| TeethChoice { gear, counts }));
                }
            }
        }
    }

    fn costs_of_members(&self, set: &Gearset, problems: &mut Vec<RequestProblem>) -> Vec<(MemberId, u32)> {
        let mut costs = Vec::new();
        for PartCost { member: name, cost } in &self.costs {
            let cost = whole(cost, "a cost", problems).filter(|cost| *cost <= MOST_COST);
            costs.extend(member(set, name, problems).zip(cost));
        }
        costs
    }

    fn pairs(&self, set: &Gearset, problems: &mut Vec<RequestProblem>) -> Vec<[GearId; 2]> {
        let mut named = |name: &Spanned<String>| {
            let gear = set.gear_named(name);
            if gear.is_none() {
                problems.push(unknown("gear", name, set.gears().iter().map(Gear::name)));
            }
            gear
        };
        let both = |tied: &TiedGears| [named(&tied.one), named(&tied.other)];
        self.tied.iter().map(both).filter_map(|[one, other]| Some([one?, other?])).collect()
    }

    fn mesh_modules(&self, set: &Gearset, problems: &mut Vec<RequestProblem>) -> Vec<(MeshId, Vec<Fraction>)> {
        let mut found = Vec::new();
        for WantedModules { mesh: name, modules } in &self.modules {
            let mesh = set.mesh_named(name);
            if mesh.is_none() {
                let known: Vec<String> = set.mesh_ids().map(|mesh| set.mesh_name(mesh)).collect();
                problems.push(unknown("mesh", name, known.iter().map(String::as_str)));
            }
            for module in modules {
                not_negative(module, module.place(), "a module", problems);
            }
            let modules = modules.iter().map(|module| (**module).clone()).collect();
            found.extend(mesh.map(|mesh| (mesh, modules)));
        }
        found
    }

    fn planets(&self, set: &Gearset, problems: &mut Vec<RequestProblem>) -> Vec<(MemberId, Vec<u32>)> {
        let mut pins = Vec::new();
        for WantedPins { planet: name, counts } in &self.pins {
            let planet = set.member_named(name).filter(|&member| set.carrier_of(member).is_some());
            if planet.is_none() {
                let planets = set.planet_groups().iter().flat_map(PlanetGroup::planets);
                problems.push(unknown("planet", name, planets.map(|&planet| set.member(planet).name())));
            }
            let mut found: Vec<u32> = Vec::new();
            for count in counts.iter().filter(|count| count.get().is_some()) {
                match u32::try_from(**count).ok().filter(|_| (1..=MOST_PINS).contains(&**count)) {
                    Some(pins) => found.push(pins),
                    None => problems.push(RequestProblem::new(
                        count.place(),
                        format!("planet {:?} cannot have {count} pins", name.as_str()),
                        format!("write whole numbers from 1 to {MOST_PINS}, such as [3, 4]"),
                    )),
                }
            }
            pins.extend(planet.map(|planet| (planet, found)));
        }
        pins
    }

    fn wishes(&self, set: &Gearset, problems: &mut Vec<RequestProblem>) -> Vec<RatioWish> {
        let mut wishes = Vec::new();
        for WantedRatio { state, wish } in &self.ratios {
            if set.state_named(state).is_none() {
                problems.push(unknown("state", state, set.states().iter().map(|state| state.name.as_str())));
            }
            if wish.get().is_some_and(|wish| !can_be(wish)) {
                problems.push(RequestProblem::of(&TeethFault::WrongWish(state.to_string()), wish.place()));
            }
            wishes.push(RatioWish { state: state.to_string(), wish: (**wish).clone() });
        }
        wishes
    }
}

/// Values of the train of which a target, or a window, is told twice.
fn twice_wished(values: &[WantedValue]) -> Vec<RequestProblem> {
    let is_again = |at: &usize| values[..*at].iter().any(|other| other.subject() == values[*at].subject());
    let again = (0..values.len()).filter(is_again).map(|at| &values[at]);
    let sentence = |value: &WantedValue| format!("{} is told twice", value.subject());
    let problem = |value: &WantedValue| RequestProblem {
        field: Some(value.word()),
        ..RequestProblem::new(value.place(), sentence(value), "leave one of the two out")
    };
    again.map(problem).collect()
}

/// A number of teeth that a gear can have; one that could not be read was told.
fn count(teeth: &Spanned<i64>, problems: &mut Vec<RequestProblem>) -> Option<u16> {
    let found = ToothCount::new(*teeth.get()?).map(ToothCount::get);
    if found.is_none() {
        let sentence = format!("{teeth} is not a number of teeth");
        let hint = format!("write a whole number from 1 to {}", ToothCount::MAX);
        problems.push(RequestProblem::new(teeth.place(), sentence, hint));
    }
    found
}

/// A whole number, 0 or more and of a size that sums do not run over.
fn whole(number: &Spanned<i64>, what: &str, problems: &mut Vec<RequestProblem>) -> Option<u32> {
    let found = u32::try_from(*number.get()?).ok().filter(|number| *number <= MOST_COST);
    if found.is_none() {
        let hint = format!("write a whole number from 0 to {MOST_COST}, such as 3");
        problems.push(RequestProblem::new(number.place(), format!("{number} is not {what}"), hint));
    }
    found
}

/// An efficiency that a mesh can have.
fn mesh(efficiency: &Spanned<Fraction>, problems: &mut Vec<RequestProblem>) -> Option<Efficiency> {
    let found = Efficiency::new(efficiency);
    if found.is_none() {
        let sentence = format!("{} is not the efficiency of a mesh", **efficiency);
        problems.push(RequestProblem::new(efficiency.place(), sentence, "write a number up to 1, such as 0.98"));
    }
    found
}

/// As much as a part may cost.
const MOST_COST: u32 = 1_000_000;

/// The member of a name.
fn member(set: &Gearset, name: &Spanned<String>, problems: &mut Vec<RequestProblem>) -> Option<MemberId> {
    let found = set.member_named(name);
    if found.is_none() {
        let known: Vec<&str> = set.member_ids().skip(1).map(|member| set.member(member).name()).collect();
        problems.push(unknown("member", name, known.iter().copied()));
    }
    found
}

/// The fewest and the most teeth of a gear or, without a name, in the stock, if gears can have them and the fewest come first.
fn sound_range(range: &CountRange, of: Option<&str>, problems: &mut Vec<RequestProblem>) -> Option<[u16; 2]> {
    let [Some(fewest), Some(most)] = [&range.fewest, &range.most].map(|teeth| count(teeth, problems)) else {
        return None;
    };
    if fewest > most {
        let place = range.fewest.place();
        problems.push(match of {
            Some(gear) => RequestProblem::of(&TeethFault::EmptyRange { gear: gear.to_owned(), fewest, most }, place),
            None => RequestProblem::new(
                place,
                format!("from {fewest} to {most} teeth is no range of counts"),
                "write the fewest teeth first",
            ),
        });
        return None;
    }
    Some([fewest, most])
}

/// Every count of a list of counts and ranges, once and in rising order: ranges may overlap, and be many.
fn all_counts(list: &[CountRange], of: Option<&str>, problems: &mut Vec<RequestProblem>) -> Vec<u16> {
    let mut ranges: Vec<[u16; 2]> = list.iter().filter_map(|range| sound_range(range, of, problems)).collect();
    ranges.sort_unstable();
    let mut counts: Vec<u16> = Vec::new();
    for [fewest, most] in ranges {
        let next = counts.last().map_or(0, |last| last + 1);
        counts.extend(fewest.max(next)..=most);
    }
    counts
}

/// Limits that teeth could have.
fn limits_of_teeth(fit: &FitWish, problems: &mut Vec<RequestProblem>) {
    let ranges = [
        ("contact_ratio", &fit.contact_ratio, "a contact ratio", (1, 3)),
        ("tip_thickness", &fit.tip_thickness, "a tip thickness in modules", (0, 1)),
        ("root_clearance", &fit.root_clearance, "a root clearance in modules", (0, 1)),
        ("least_shift", &fit.least_shift, "a profile shift in modules", (-2, 2)),
        ("largest_shift", &fit.largest_shift, "a profile shift in modules", (-2, 2)),
    ];
    for (field, wish, what, (least, most)) in ranges {
        let Some(wish) = wish else { continue };
        if !(fraction(least, 1)..=fraction(most, 1)).contains(&**wish) {
            let sentence = format!("{} is out of all proportion as {what}", **wish);
            let hint = format!("write a number from {least} to {most}");
            let problem = RequestProblem::new(wish.place(), sentence, hint);
            problems.push(RequestProblem { field: Some(field), ..problem });
        }
    }
    if let (Some(least), Some(most)) = (&fit.least_shift, &fit.largest_shift)
        && **least > **most
    {
        let sentence = "the least profile shift is larger than the largest";
        problems.push(RequestProblem::new(least.place(), sentence, "write the smaller of the two as least_shift"));
    }
}

//! A request to which another is added: what stands in both is taken from the other.

use std::ops::Range;

use super::counts_text::WantedTeeth;
use super::request::{CenterDistances, CommonFactors, MarksWanted};
use super::text::{PartCost, RequestSource, RequestText, WantedModules, WantedPins, WantedRatio};
use super::values_text::WantedValue;
use crate::gearset::Spanned;

/// Something of a request that gave way to what was added.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct ReplacedWish {
    /// The field.
    pub field: &'static str,
    /// The gear, planet, mesh, state or member that it was about, where it was about one.
    pub name: Option<String>,
    /// The bytes of the text that it was read from.
    pub place: Option<Range<usize>>,
}

impl RequestSource {
    /// Adds another request: what both say is taken from the other, and told.
    pub fn add(&mut self, further: RequestText) -> Vec<ReplacedWish> {
        self.text_mut().add(further)
    }
}

impl RequestText {
    /// Adds another request: what both say is taken from the other. What gave way and was not the same is told.
    ///
    /// # Examples
    /// ```
    /// use toothmark::tooth_search::RequestText;
    /// let mut text = RequestText::read(r#"Search(teeth: { "L": (15, 30), "l": (27, 42) }, most_parts: 3)"#).unwrap();
    /// let replaced = text.add(RequestText::read(r#"Search(teeth: { "L": (18, 20) }, marks: Radial)"#).unwrap());
    /// assert_eq!((replaced.len(), replaced[0].name.as_deref()), (1, Some("L")));
    /// assert!(text.write().contains("(18, 20)") && text.write().contains("(27, 42)") && text.write().contains("Radial"));
    /// ```
    pub fn add(&mut self, further: Self) -> Vec<ReplacedWish> {
        let mut replaced = Vec::new();
        let told = &mut replaced;
        add_named("teeth", &mut self.teeth, further.teeth, told);
        add_named("pins", &mut self.pins, further.pins, told);
        add_named("modules", &mut self.modules, further.modules, told);
        add_named("costs", &mut self.costs, further.costs, told);
        add_named("ratios", &mut self.ratios, further.ratios, told);
        add_values(&mut self.values, further.values, told);
        replace("mesh_efficiency", &mut self.mesh_efficiency, further.mesh_efficiency, told);
        add_new(&mut self.kept, further.kept);
        add_new(&mut self.tied, further.tied);
        replace_list("stock", &mut self.stock, further.stock, told);
        replace_list("goals", &mut self.goals, further.goals, told);
        replace("gearset", &mut self.gearset, further.gearset, told);
        replace("margin", &mut self.margin, further.margin, told);
        replace("room", &mut self.room, further.room, told);
        replace("fewest_teeth", &mut self.fewest_teeth, further.fewest_teeth, told);
        replace("most_parts", &mut self.most_parts, further.most_parts, told);
        replace("most_cost", &mut self.most_cost, further.most_cost, told);
        if let Some(further) = further.fit {
            let fit = self.fit.get_or_insert_default();
            replace("fit", &mut fit.contact_ratio, further.contact_ratio, told);
            replace("fit", &mut fit.tip_thickness, further.tip_thickness, told);
            replace("fit", &mut fit.root_clearance, further.root_clearance, told);
            replace("fit", &mut fit.least_shift, further.least_shift, told);
            replace("fit", &mut fit.largest_shift, further.largest_shift, told);
        }
        let place = self.center_distances.place();
        let usual = CenterDistances::default();
        if replace_word("center_distances", &*self.center_distances, &*further.center_distances, &usual, (place, told))
        {
            self.center_distances = further.center_distances;
        }
        let usual = (MarksWanted::default(), CommonFactors::default());
        if replace_word("marks", &self.marks, &further.marks, &usual.0, (None, told)) {
            self.marks = further.marks;
        }
        if replace_word("common_factors", &self.common_factors, &further.common_factors, &usual.1, (None, told)) {
            self.common_factors = further.common_factors;
        }
        replaced
    }
}

/// An entry with a name, of which there is one.
trait AddedEntry {
    /// The name that it stands under.
    fn name(&self) -> &Spanned<String>;

    /// What it says something about, in a word or two.
    fn subject(&self) -> String {
        self.name().to_string()
    }
}

impl AddedEntry for WantedTeeth {
    fn name(&self) -> &Spanned<String> {
        &self.gear
    }
}

impl AddedEntry for WantedPins {
    fn name(&self) -> &Spanned<String> {
        &self.planet
    }
}

impl AddedEntry for WantedModules {
    fn name(&self) -> &Spanned<String> {
        &self.mesh
    }
}

impl AddedEntry for PartCost {
    fn name(&self) -> &Spanned<String> {
        &self.member
    }
}

impl AddedEntry for WantedRatio {
    fn name(&self) -> &Spanned<String> {
        &self.state
    }

    /// A state may have a window beside a target.
    fn subject(&self) -> String {
        let kind = if self.wish.window().is_some() { "window" } else { "target" };
        format!("the {kind} of {}", self.state.as_str())
    }
}

/// Adds entries; one about the same as another takes its place.
fn add_named<T: AddedEntry + PartialEq>(
    field: &'static str,
    entries: &mut Vec<T>,
    further: Vec<T>,
    told: &mut Vec<ReplacedWish>,
) {
    let mut is_given = vec![true; entries.len()];
    for one in further {
        // What stands twice in what is added is a fault of that, and told later.
        let same = entries.iter().zip(&is_given).position(|(other, given)| *given && other.subject() == one.subject());
        let Some(at) = same else {
            entries.push(one);
            continue;
        };
        is_given[at] = false;
        let before = std::mem::replace(&mut entries[at], one);
        if before != entries[at] {
            told.push(replaced(field, Some(before.subject()), before.name().place()));
        }
    }
}

/// Adds wishes for values of the train; one for the same value takes the place of another.
fn add_values(values: &mut Vec<WantedValue>, further: Vec<WantedValue>, told: &mut Vec<ReplacedWish>) {
    let same = |one: &WantedValue| further.iter().find(|other| other.subject() == one.subject());
    let gone = |one: &&WantedValue| same(one).is_some_and(|other| other != *one);
    told.extend(values.iter().filter(gone).map(|one| replaced(one.word(), Some(one.subject()), one.place())));
    values.retain(|one| same(one).is_none());
    values.extend(further);
}

fn add_new<T: PartialEq>(entries: &mut Vec<T>, further: Vec<T>) {
    for one in further {
        if !entries.contains(&one) {
            entries.push(one);
        }
    }
}

fn replace_list<T: PartialEq>(field: &'static str, list: &mut Vec<T>, further: Vec<T>, told: &mut Vec<ReplacedWish>) {
    if further.is_empty() || *list == further {
        return;
    }
    if !list.is_empty() {
        told.push(replaced(field, None, None));
    }
    *list = further;
}

fn replace<T: PartialEq>(
    field: &'static str,
    value: &mut Option<Spanned<T>>,
    further: Option<Spanned<T>>,
    told: &mut Vec<ReplacedWish>,
) {
    let Some(further) = further else { return };
    if let Some(before) = value.replace(further).filter(|before| value.as_ref() != Some(before)) {
        told.push(replaced(field, None, before.place()));
    }
}

/// Whether a word gives way to another; the usual one says nothing.
fn replace_word<T: PartialEq>(
    field: &'static str,
    word: &T,
    further: &T,
    usual: &T,
    (place, told): (Option<Range<usize>>, &mut Vec<ReplacedWish>),
) -> bool {
    if further == usual || word == further {
        return false;
    }
    if word != usual {
        told.push(replaced(field, None, place));
    }
    true
}

fn replaced(field: &'static str, name: Option<String>, place: Option<Range<usize>>) -> ReplacedWish {
    ReplacedWish { field, name, place }
}

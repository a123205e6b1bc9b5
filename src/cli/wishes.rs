//! What is asked of a search by arguments: flags, lists of flags, and the request that they are.
//!
//! The words of the help are those of the comments here.

use clap::{Args, ValueEnum};
use toothmark::exact::Fraction;
use toothmark::gearset::Spanned;
use toothmark::tooth_search::{
    CenterDistances, CommonFactors, FitWish, Goal, MarksWanted, RequestText, WantedValue, Wish,
};

use super::trouble::Refusal;
use super::values::{self, name_and_value};

/// Under which the help lists what may change,
const MAY_CHANGE: &str = "What may change";
/// what is wanted,
const WANTED: &str = "What is wanted";
/// and what must hold.
const MUST_HOLD: &str = "What must hold";

/// What is wished for.
#[derive(Debug, Args)]
pub(super) struct WishArguments {
    /// A gear that may change, with the fewest and the most teeth or the counts of a list: L=15..30, L=18,20,24..28; may be
    /// repeated
    #[arg(long, value_name = "GEAR=FROM..TO,...", allow_hyphen_values = true, help_heading = MAY_CHANGE)]
    pub(super) teeth: Vec<String>,
    /// The counts that you have or can cut: a gear that changes has one of these, such as 18,20,24..28
    #[arg(long, value_name = "TEETH,...", help_heading = MAY_CHANGE)]
    pub(super) stock: Option<String>,
    /// A member that stays as it is, whichever gears may change; may be repeated
    #[arg(long, value_name = "MEMBER", help_heading = MAY_CHANGE)]
    pub(super) keep: Vec<String>,
    /// Two gears with one count, such as one sun in two sets: l=r; may be repeated
    #[arg(long, value_name = "GEAR=GEAR", help_heading = MAY_CHANGE)]
    pub(super) tied: Vec<String>,
    /// What is wanted of a ratio: low=2.75 (as near as can be), low=2.5..3, low=..3, low=largest, low=smallest; a window beside a
    /// target of the same state holds for it
    #[arg(long, value_name = "STATE=WISH", allow_hyphen_values = true, help_heading = WANTED)]
    pub(super) ratio: Vec<String>,
    /// What is wanted of the step between two states, the ratio of the first over that of the second: low/direct=2.5,
    /// low/direct=2..2.6
    #[arg(long, value_name = "STATE/STATE=WISH", help_heading = WANTED)]
    pub(super) step: Vec<String>,
    /// What is wanted of the spread, the largest over the smallest forward ratio: 2.5..3, or largest
    #[arg(long, value_name = "WISH", help_heading = WANTED)]
    pub(super) spread: Vec<String>,
    /// What is wanted of the speed of a member, in turns per turn of the input, of a planet against its carrier; in every
    /// state or in one: cluster=..4, "cluster in low=..3"
    #[arg(long, value_name = "MEMBER=WISH", help_heading = WANTED)]
    pub(super) speed: Vec<String>,
    /// What is wanted of the torque that a band or clutch takes up, as a multiple of that on the input, without losses:
    /// "low band=..3"
    #[arg(long, value_name = "CONTROL=WISH", help_heading = WANTED)]
    pub(super) torque: Vec<String>,
    /// The window that the efficiency is to be in, of every state or of one: 0.95.. or low=0.97..
    #[arg(long, value_name = "WISH", help_heading = WANTED)]
    pub(super) efficiency: Vec<String>,
    /// The efficiency of every mesh, in place of those described, such as 0.98
    #[arg(long, value_name = "E", help_heading = WANTED)]
    pub(super) mesh_efficiency: Option<String>,
    /// Other numbers of equal pins for a planet: cluster=3,4 or cluster=3..5; a number alone is that of a group typed as gears on a pin
    #[arg(long, value_name = "PLANET=N,...", allow_hyphen_values = true, help_heading = MAY_CHANGE)]
    pub(super) pins: Vec<String>,
    /// Other modules for a mesh, in millimetres: "D with d=2,2.5"; meshes that share a gear share it
    #[arg(long, value_name = "MESH=MODULE,...", allow_hyphen_values = true, help_heading = MAY_CHANGE)]
    pub(super) modules: Vec<String>,
    /// Which marks are to serve
    #[arg(long, value_enum, help_heading = MUST_HOLD)]
    pub(super) marks: Option<MarksArgument>,
    /// The nearest wrong seating is to be out by this part of a tooth or more
    #[arg(long, value_name = "TEETH", help_heading = MUST_HOLD)]
    pub(super) margin: Option<String>,
    /// The least room between tips that are not in mesh, in modules; 1/2 if left out
    #[arg(long, value_name = "MODULES", allow_hyphen_values = true, help_heading = MUST_HOLD)]
    pub(super) room: Option<String>,
    /// No external gear with fewer teeth
    #[arg(long, value_name = "N", help_heading = MUST_HOLD)]
    pub(super) fewest_teeth: Option<i64>,
    /// At most so many parts changed
    #[arg(long, value_name = "N", help_heading = MUST_HOLD)]
    pub(super) most_parts: Option<u32>,
    /// What it costs that a member changes, where that is not 1: cluster=3; may be repeated
    #[arg(long, value_name = "MEMBER=COST", help_heading = WANTED)]
    pub(super) cost: Vec<String>,
    /// The members that change cost so much at most
    #[arg(long, value_name = "N", help_heading = MUST_HOLD)]
    pub(super) most_cost: Option<u32>,
    /// What is better, beside the ratios; may be repeated
    #[arg(long, value_enum, help_heading = WANTED)]
    pub(super) goal: Vec<GoalArgument>,
    /// Keep the pin circle as it is
    #[arg(long, help_heading = MUST_HOLD)]
    pub(super) keep_pin_circle: bool,
    /// Sums of teeth of one planet may differ by so many teeth, for profile shift to make up for
    #[arg(long, value_name = "TEETH", allow_hyphen_values = true, conflicts_with = "keep_pin_circle", help_heading = MUST_HOLD)]
    pub(super) sums_within: Option<String>,
    /// Keep the pin circle; sums of teeth may be so many teeth off, and shift makes up for it
    #[arg(long, value_name = "TEETH", allow_hyphen_values = true, conflicts_with_all = ["keep_pin_circle", "sums_within"], help_heading = MUST_HOLD)]
    pub(super) by_shift: Option<String>,
    #[command(flatten)]
    pub(super) fit: FitArguments,
    /// No common factors of teeth that meet
    #[arg(long, help_heading = MUST_HOLD)]
    pub(super) hunting: bool,
    /// No common factors where there are none now
    #[arg(long, conflicts_with = "hunting", help_heading = MUST_HOLD)]
    pub(super) keep_hunting: bool,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum MarksArgument {
    /// A list of teeth as well
    Any,
    /// All marks to the centre
    Radial,
    /// All marks the same way
    Parallel,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum GoalArgument {
    /// As few parts changed as can be
    FewestParts,
    /// As few teeth in all gears together as can be
    FewestTeeth,
    /// Parts changed that cost as little as can be, by --cost
    LeastCost,
}

impl GoalArgument {
    fn goal(self) -> Goal {
        match self {
            Self::FewestParts => Goal::FewestParts,
            Self::FewestTeeth => Goal::FewestTeeth,
            Self::LeastCost => Goal::LeastCost,
        }
    }
}

/// The option that a field of a request is typed with.
pub(super) fn option_of(field: &str) -> &'static str {
    match field {
        "teeth" => "--teeth",
        "stock" => "--stock",
        "kept" => "--keep",
        "tied" => "--tied",
        "pins" => "--pins",
        "modules" => "--modules",
        "ratios" => "--ratio",
        "step" => "--step",
        "spread" => "--spread",
        "speed" => "--speed",
        "torque" => "--torque",
        "efficiency" => "--efficiency",
        "values" => "--step, --spread, --speed, --torque or --efficiency",
        "mesh_efficiency" => "--mesh-efficiency",
        "center_distances" => "--keep-pin-circle, --sums-within or --by-shift",
        "marks" => "--marks",
        "margin" => "--margin",
        "room" => "--room",
        "fewest_teeth" => "--fewest-teeth",
        "common_factors" => "--hunting or --keep-hunting",
        "most_parts" => "--most-parts",
        "costs" => "--cost",
        "most_cost" => "--most-cost",
        "goals" => "--goal",
        "gearset" => "--gearset",
        "sums_within" => "--sums-within",
        "kept_by_shift" => "--by-shift",
        "contact_ratio" => "--contact-ratio",
        "tip_thickness" => "--tip-thickness",
        "root_clearance" => "--root-clearance",
        "least_shift" => "--least-shift",
        "largest_shift" => "--largest-shift",
        _ => "--contact-ratio, --tip-thickness, --root-clearance, --least-shift or --largest-shift",
    }
}

impl WishArguments {
    /// The request that the flags are.
    pub(super) fn request(&self) -> Result<RequestText, Vec<Refusal>> {
        let arguments = self;
        let mut text = RequestText::default();
        let mut wrong = lists(arguments, &mut text);
        values_wanted(arguments, &mut text, &mut wrong);
        text.mesh_efficiency =
            number("--mesh-efficiency", arguments.mesh_efficiency.as_ref(), "an efficiency", &mut wrong)
                .map(Into::into);
        text.margin = number("--margin", arguments.margin.as_ref(), "a part of a tooth", &mut wrong).map(Into::into);
        text.room = number("--room", arguments.room.as_ref(), "a number of modules", &mut wrong).map(Into::into);
        let sums_within = number("--sums-within", arguments.sums_within.as_ref(), "a number of teeth", &mut wrong);
        let by_shift = number("--by-shift", arguments.by_shift.as_ref(), "a number of teeth", &mut wrong);
        text.fit = arguments.fit.wish(&mut wrong);
        if !wrong.is_empty() {
            return Err(wrong);
        }
        text.fewest_teeth = arguments.fewest_teeth.map(Into::into);
        text.most_parts = arguments.most_parts.map(|most| i64::from(most).into());
        text.most_cost = arguments.most_cost.map(|most| i64::from(most).into());
        text.kept = arguments.keep.iter().map(|name| name.as_str().into()).collect();
        text.goals = arguments.goal.iter().map(|goal| goal.goal()).collect();
        text.marks = match arguments.marks {
            None | Some(MarksArgument::Any) => MarksWanted::Any,
            Some(MarksArgument::Radial) => MarksWanted::Radial,
            Some(MarksArgument::Parallel) => MarksWanted::Parallel,
        };
        let shared = match (sums_within, by_shift) {
            (Some(teeth), _) => CenterDistances::Within(teeth),
            (None, Some(teeth)) => CenterDistances::KeptByShift(teeth),
            (None, None) if arguments.keep_pin_circle => CenterDistances::Kept,
            (None, None) => CenterDistances::Equal,
        };
        text.center_distances = shared.into();
        text.common_factors = match (arguments.hunting, arguments.keep_hunting) {
            (true, _) => CommonFactors::Avoided,
            (false, true) => CommonFactors::Kept,
            (false, false) => CommonFactors::Allowed,
        };
        Ok(text)
    }
}

/// Whether pins are told without a planet: a number, or places.
pub(super) fn is_of_no_planet(pins: &str) -> bool {
    pins.trim_start().starts_with(|letter: char| letter.is_ascii_digit()) && !pins.contains('=')
}

/// What teeth have to be that are cut anew.
#[derive(Debug, Clone, clap::Args)]
pub(super) struct FitArguments {
    /// The least contact ratio of every mesh with a gear that changes, such as 1.3
    #[arg(long, value_name = "RATIO", allow_hyphen_values = true, help_heading = MUST_HOLD)]
    contact_ratio: Option<String>,
    /// The least thickness of a tip, in modules; 0.2 where teeth are looked at and nothing is said
    #[arg(long, value_name = "MODULES", allow_hyphen_values = true, help_heading = MUST_HOLD)]
    tip_thickness: Option<String>,
    /// The least clearance from a tip to the root opposite, in modules
    #[arg(long, value_name = "MODULES", allow_hyphen_values = true, help_heading = MUST_HOLD)]
    root_clearance: Option<String>,
    /// The least profile shift of a gear, in modules
    #[arg(long, value_name = "X", allow_hyphen_values = true, help_heading = MUST_HOLD)]
    least_shift: Option<String>,
    /// The largest profile shift of a gear, in modules, such as 0.6
    #[arg(long, value_name = "X", allow_hyphen_values = true, help_heading = MUST_HOLD)]
    largest_shift: Option<String>,
}

impl FitArguments {
    /// The limits, where any is given.
    fn wish(&self, wrong: &mut Vec<Refusal>) -> Option<FitWish> {
        let mut limit = |option: &str, text: &Option<String>, what: &str| {
            number(option, text.as_ref(), what, wrong).map(Into::into)
        };
        let wish = FitWish {
            contact_ratio: limit("--contact-ratio", &self.contact_ratio, "a contact ratio"),
            tip_thickness: limit("--tip-thickness", &self.tip_thickness, "a number of modules"),
            root_clearance: limit("--root-clearance", &self.root_clearance, "a number of modules"),
            least_shift: limit("--least-shift", &self.least_shift, "a profile shift in modules"),
            largest_shift: limit("--largest-shift", &self.largest_shift, "a profile shift in modules"),
            ..FitWish::default()
        };
        (wish != FitWish::default()).then_some(wish)
    }
}

/// Adds what may stand several times, and gives what is wrong with it.
fn lists(arguments: &WishArguments, text: &mut RequestText) -> Vec<Refusal> {
    let mut wrong = Vec::new();
    counts_wanted(arguments, text, &mut wrong);
    costs(arguments, text, &mut wrong);
    ratios(arguments, text, &mut wrong);
    pins_and_modules(arguments, text, &mut wrong);
    wrong
}

/// Which gears may have which counts.
fn counts_wanted(arguments: &WishArguments, text: &mut RequestText, wrong: &mut Vec<Refusal>) {
    for teeth in &arguments.teeth {
        if let Some(refusal) = several_at_once("--teeth", teeth) {
            wrong.push(refusal);
            continue;
        }
        match name_and_value(teeth).map(|(gear, teeth)| (gear, counts(teeth))) {
            Some((gear, Some(counts))) => match counts[..] {
                [(fewest, most)] if fewest != most => text.allow_teeth(gear, fewest, most),
                _ => text.allow_counts(gear, counts),
            },
            _ => wrong.push(Refusal::new(
                format!("--teeth: {teeth:?} is not a range of teeth, nor a list of counts"),
                "write the gear with the fewest and the most teeth, such as --teeth L=15..30, or with counts: L=18,20,24..28",
            )),
        }
    }
    if let Some(stock) = &arguments.stock {
        match counts(stock) {
            Some(counts) => text.stock = counts.into_iter().map(Into::into).collect(),
            None => wrong.push(Refusal::new(
                format!("--stock: {stock:?} is not a list of counts"),
                "write the counts that there are, such as --stock 18,20,24..28",
            )),
        }
    }
    for tied in &arguments.tied {
        match name_and_value(tied) {
            Some((one, other)) => text.tie(one, other.trim()),
            None => wrong.push(Refusal::new(
                format!("--tied: {tied:?} is not two gears"),
                "write the gears that have one count, such as --tied l=r",
            )),
        }
    }
}

/// Names with values of their own behind one flag, which takes one name.
fn several_at_once(flag: &str, typed: &str) -> Option<Refusal> {
    let starts = typed.match_indices(',').map(|(comma, _)| comma).filter(|comma| {
        let next = typed[comma + 1..].split(',').next().unwrap_or_default();
        name_and_value(next).is_some_and(|(_, value)| counts(value).is_some())
    });
    let cuts: Vec<usize> = starts.collect();
    let before = |cut: Option<&usize>| cut.map_or(0, |cut| cut + 1);
    let ends = cuts.iter().copied().chain([typed.len()]);
    let parts =
        ends.enumerate().map(|(at, end)| typed[before(at.checked_sub(1).and_then(|at| cuts.get(at)))..end].trim());
    let parts: Vec<&str> = parts.collect();
    let (first, others) = parts.split_first()?;
    let is_named = name_and_value(first).is_some_and(|(_, value)| counts(value).is_some());
    (is_named && !others.is_empty()).then(|| {
        let flags: Vec<String> = parts.iter().map(|part| format!("{flag} {part}")).collect();
        Refusal::new(format!("{flag}: {typed:?} names several at once"), format!("repeat it: {}", flags.join(" ")))
    })
}

/// What members cost.
fn costs(arguments: &WishArguments, text: &mut RequestText, wrong: &mut Vec<Refusal>) {
    for cost in &arguments.cost {
        let read = name_and_value(cost).and_then(|(member, cost)| Some((member, cost.parse().ok()?)));
        match read {
            Some((member, cost)) => text.tell_cost(member, cost),
            None => wrong.push(Refusal::new(
                format!("--cost: {cost:?} is not what a member costs"),
                "write the member with a whole number, such as --cost cluster=3",
            )),
        }
    }
}

/// What is wished of ratios.
fn ratios(arguments: &WishArguments, text: &mut RequestText, wrong: &mut Vec<Refusal>) {
    for ratio in &arguments.ratio {
        match name_and_value(ratio) {
            Some((state, wish)) => {
                let read = text.wish_ratio(state, wish);
                wrong.extend(read.err().map(|text| not_a_number("--ratio", &text, "a ratio")));
            }
            None => wrong.push(Refusal::new(
                format!("--ratio: {ratio:?} is not a wish for a ratio"),
                "write the state and the wish, such as --ratio low=2.75, low=2.5..3, low=largest",
            )),
        }
    }
}

/// What is wished of values of the train.
fn values_wanted(arguments: &WishArguments, text: &mut RequestText, wrong: &mut Vec<Refusal>) {
    let mut wish = |option: &str, typed: &str| {
        let read = typed.parse::<Wish>();
        read.map_err(|number| wrong.push(not_a_number(option, &number, "a value"))).ok().map(Spanned::from)
    };
    let mut found = Vec::new();
    let mut untold: Vec<(&str, &str, &str)> = Vec::new();
    for step in &arguments.step {
        let read = name_and_value(step).and_then(|(states, typed)| Some((states.split_once('/')?, typed)));
        match read {
            Some(((from, to), typed)) => {
                let read = wish("--step", typed);
                found.extend(read.map(|wish| WantedValue::Step(from.trim().into(), to.trim().into(), wish)));
            }
            None => untold.push(("--step", step, "write two states and the wish: --step low/direct=2.5")),
        }
    }
    for spread in &arguments.spread {
        found.extend(wish("--spread", spread).map(WantedValue::Spread));
    }
    for speed in &arguments.speed {
        match name_and_value(speed).map(|(name, typed)| (in_state(name), typed)) {
            Some(((member, state), typed)) => {
                found.extend(wish("--speed", typed).map(|wish| WantedValue::Speed(member.into(), wish, state)));
            }
            None => untold.push(("--speed", speed, "write the member and the wish: --speed cluster=..4")),
        }
    }
    for torque in &arguments.torque {
        match name_and_value(torque).map(|(name, typed)| (in_state(name), typed)) {
            Some(((control, state), typed)) => {
                found.extend(wish("--torque", typed).map(|wish| WantedValue::Torque(control.into(), wish, state)));
            }
            None => {
                untold.push(("--torque", torque, "write the band or clutch and the wish: --torque \"low band=..3\""));
            }
        }
    }
    for efficiency in &arguments.efficiency {
        let (state, typed) = match name_and_value(efficiency) {
            Some((state, typed)) => (Some(state.into()), typed),
            None => (None, efficiency.as_str()),
        };
        found.extend(wish("--efficiency", typed).map(|wish| WantedValue::Efficiency(wish, state)));
    }
    wrong.extend(
        untold
            .into_iter()
            .map(|(option, typed, hint)| Refusal::new(format!("{option}: {typed:?} is not a wish"), hint)),
    );
    text.values.extend(found);
}

/// A name, and the state behind ` in `, where one stands there.
fn in_state(name: &str) -> (&str, Option<Spanned<String>>) {
    match name.rsplit_once(" in ") {
        Some((name, state)) => (name.trim(), Some(state.trim().into())),
        None => (name, None),
    }
}

/// Which pins and modules there may be.
fn pins_and_modules(arguments: &WishArguments, text: &mut RequestText, wrong: &mut Vec<Refusal>) {
    for pins in arguments.pins.iter().filter(|text| !is_of_no_planet(text)) {
        if let Some(refusal) = several_at_once("--pins", pins) {
            wrong.push(refusal);
            continue;
        }
        match numbers(pins) {
            Some((planet, counts)) => text.allow_pins(planet, counts),
            None => wrong.push(Refusal::new(
                format!("--pins: {pins:?} is not a choice of pins"),
                "write the planet and the numbers to try, such as --pins cluster=3,4",
            )),
        }
    }
    for modules in &arguments.modules {
        match name_and_value(modules) {
            Some((mesh, modules)) => {
                let modules: Vec<String> = modules.split(',').map(ToOwned::to_owned).collect();
                let read =
                    modules.iter().filter_map(|module| number("--modules", Some(module), "a module", wrong)).collect();
                text.allow_modules(mesh, read);
            }
            None => wrong.push(Refusal::new(
                format!("--modules: {modules:?} is not a choice of modules"),
                "write the mesh and the modules to try, such as --modules \"D with d=2,2.5\"",
            )),
        }
    }
}

/// A number as typed; one that is none is told.
fn number(option: &str, text: Option<&String>, what: &str, wrong: &mut Vec<Refusal>) -> Option<Fraction> {
    let read = text.map(|text| values::number(text, what, NUMBER_HINT, &["mm", "teeth", "tooth", "modules"]))?;
    read.map_err(|reading| wrong.push(Refusal::new(format!("{option}: {}", reading.sentence), reading.hint))).ok()
}

fn not_a_number(option: &str, text: &str, what: &str) -> Refusal {
    Refusal::new(format!("{option}: {text:?} is not {what}"), NUMBER_HINT)
}

const NUMBER_HINT: &str = "write a number such as 2.75, 11/4 or -4";

/// Counts and ranges of counts: `18,20,24..28`.
fn counts(text: &str) -> Option<Vec<(i64, i64)>> {
    let part = |part: &str| match part.split_once("..") {
        Some((fewest, most)) => Some((values::tooth_count(fewest)?, values::tooth_count(most)?)),
        None => values::tooth_count(part).map(|count| (count, count)),
    };
    text.split(',').map(part).collect()
}

/// As many numbers as a list of pins may run to: ranges are written out, and a carrier has far fewer.
const MOST_NUMBERS: usize = 1000;

/// A name with whole numbers and ranges of them: `cluster=3,4` or `cluster=3..5`.
fn numbers(text: &str) -> Option<(&str, Vec<i64>)> {
    let (planet, numbers) = name_and_value(text)?;
    let whole = |text: &str| text.trim().parse::<i64>().ok();
    let part = |part: &str| match part.split_once("..") {
        Some((first, last)) => Some(whole(first)?..=whole(last)?),
        None => whole(part).map(|number| number..=number),
    };
    let parts: Vec<_> = numbers.split(',').map(part).collect::<Option<_>>()?;
    Some((planet, parts.into_iter().flatten().take(MOST_NUMBERS).collect()))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A second gear behind a comma was taken as a part of the name of one gear.
    #[test]
    fn several_names_behind_one_flag_are_told_apart() {
        let told = several_at_once("--teeth", "L=18,20..22,l=35..39,r=30").expect("three gears");
        assert_eq!(told.hint, "repeat it: --teeth L=18,20..22 --teeth l=35..39 --teeth r=30");
        for one in ["L=18..22", "L=18,20,24..28", "a=1=18..22", "a, b=18..22", "L=x,l=35", ""] {
            assert_eq!(several_at_once("--teeth", one), None, "{one}");
        }
    }

    #[test]
    fn counts_are_single_ones_and_ranges() {
        assert_eq!(counts("15..30"), Some(vec![(15, 30)]));
        assert_eq!(counts("18, 20 teeth,24 .. 28"), Some(vec![(18, 18), (20, 20), (24, 28)]));
        assert_eq!([counts(""), counts("x..3"), counts("18,,20"), counts("18;20")], [const { None }; 4]);
        assert_eq!(numbers("cluster=3,4"), Some(("cluster", vec![3, 4])));
        assert_eq!(numbers("a=b=2, 3..5"), Some(("a=b", vec![2, 3, 4, 5])));
        assert_eq!(numbers("cluster=3..x"), None);
        assert_eq!(numbers("cluster=1..9000000000").map(|(_, numbers)| numbers.len()), Some(MOST_NUMBERS));
    }
}

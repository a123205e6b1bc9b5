//! The answer to "what is to be turned on the clutch, and does it hold?".
//!
//! First the screws, the pack, the spring and the plates, each in a line or two, then a row a finger; in full the spring
//! and what the plates hold state by state. Records have a row for each finger.

use crate::bench::{ClutchSetting, FingerSetting, FingerSettings, PackFault, PackOrder, PlateHold, SpringSetting};
use crate::gearset::{Gearset, MILLIMETRES_PER_INCH};
use crate::inspection::RemarkKind;
use crate::report::answer::{Answer, Outcome};
use crate::report::bands::held;
use crate::report::matching::sizes::arc;
use crate::report::render::document::{Block, Fact, Records};
use crate::report::words::{length, quoted, short_list};

impl Answer for ClutchSetting {
    fn summary(&self, set: &Gearset) -> Vec<Block> {
        let statements = Block::Statements(statements(self, set));
        let foot = Block::Note("fit, not strength: what it holds is an estimate, as friction in oil varies".into());
        [Some(statements), self.fingers.as_ref().map(fingers), Some(foot)].into_iter().flatten().collect()
    }

    fn details(&self, _: &Gearset) -> Vec<Block> {
        let spring = self.spring.as_ref().map(|spring| Block::Facts(spring_facts(spring)));
        let plates = self.plates.as_ref().and_then(|plates| held("What the plates have to hold", &plates.states));
        spring.into_iter().chain(plates).collect()
    }

    fn in_details(&self, _: &Gearset) -> Option<&'static str> {
        let has_more = self.spring.is_some() || self.plates.is_some();
        has_more.then_some("everything of the spring, and what the plates have to hold state by state")
    }

    fn is_touched_by(&self, _: RemarkKind) -> bool {
        false
    }

    fn records(&self, _: &Gearset) -> Records {
        let fields = vec!["finger", "gap_mm", "turns", "flats", "equal_first_turns", "within"];
        let of_fingers = self.fingers.iter().flat_map(|fingers| &fingers.fingers);
        Records { fields, rows: of_fingers.map(record).collect() }
    }

    fn outcome(&self) -> Outcome {
        self.good.into()
    }
}

fn record(finger: &FingerSetting) -> Vec<String> {
    let number = |value: f64| format!("{value:.6}");
    let turned = |turns: Option<f64>| turns.map(number).unwrap_or_default();
    vec![
        finger.finger.to_string(),
        number(finger.gap_mm),
        turned(finger.turns),
        turned(finger.flats),
        turned(finger.equal_first_turns),
        if finger.within { "yes" } else { "no" }.into(),
    ]
}

/// What to do first, and what to mind.
fn statements(answer: &ClutchSetting, set: &Gearset) -> Vec<String> {
    let mut said = answer.fingers.as_ref().map_or_else(Vec::new, finger_statements);
    said.extend(answer.pack.as_ref().map(pack_statement));
    said.extend(answer.spring.iter().flat_map(spring_statements));
    said.extend(answer.plates.iter().flat_map(|plates| plate_statements(set, plates)));
    if answer.fingers.is_some() || answer.spring.is_some() {
        said.push("The spring is under load: use a proper compressor, stand clear, wear eye protection.".into());
    }
    if answer.pack.is_some() || answer.plates.is_some() {
        said.push("Lining dust: treat it as asbestos; wet, no air line, bag it.".into());
    }
    said
}

/// `in 1.2 flats`, `out 0.2 flat`.
fn flats(turns: f64) -> String {
    let flats = 6.0 * turns;
    let word = if (flats.abs() - 1.0).abs() < 0.05 || flats.abs() < 0.95 { "flat" } else { "flats" };
    format!("{} {:.1} {word}", if flats < 0.0 { "out" } else { "in" }, flats.abs())
}

/// What a finger needs: `in 1.2 flats`, or where the pitch is not known `0.26 mm closer`; none where that is less than
/// anybody can tell.
fn change(turns: Option<f64>, close_mm: f64) -> Option<String> {
    match turns {
        Some(turns) => ((6.0 * turns).abs() >= 0.05).then(|| flats(turns)),
        None if close_mm.abs() < 0.005 => None,
        None => Some(format!("{:.2} mm {}", close_mm.abs(), if close_mm < 0.0 { "wider" } else { "closer" })),
    }
}

fn finger_statements(fingers: &FingerSettings) -> Vec<String> {
    let what = if fingers.wanted_is_mean { "the mean is" } else { "wanted" };
    let off = format!("{what} {}, within {:.2} mm", length(fingers.wanted_mm), fingers.within_mm);
    if fingers.all_within {
        return vec![format!("Leave the fingers: all gaps are right ({off}).")];
    }
    let (verb, screw) = match fingers.then_all_turns {
        Some(_) => ("Turn ", "screw"),
        None => ("Set ", "gap"),
    };
    let to_turn = fingers.fingers.iter().filter_map(|finger| {
        let change = change(finger.equal_first_turns, finger.equal_first_close_mm)?;
        Some(format!("finger {} {change}", finger.name))
    });
    let first: Vec<String> = to_turn.collect();
    let mut said = Vec::new();
    if !first.is_empty() {
        let at = length(fingers.equal_first_mm);
        said.push(format!("{verb}{}: then all stand alike at {at}.", first.join(", ")));
    }
    match change(fingers.then_all_turns, fingers.then_all_close_mm) {
        Some(change) => {
            let then = if first.is_empty() { verb.to_owned() } else { format!("Then {}", verb.to_lowercase()) };
            said.push(format!("{then}every {screw} {change}: {off}."));
        }
        None if fingers.wanted_is_mean => {
            said.push(format!("Say with --wanted at which gap they are to stand ({off})."));
        }
        None => said.push(format!("That is the gap ({off}).")),
    }
    said.push(match fingers.then_all_turns {
        Some(_) => "In closes the gap; a flat is a sixth of a turn.".into(),
        None => "With --pitch, the pitch of the finger screws, it is told in flats.".into(),
    });
    said.push("Measure all again after the first engagement.".into());
    said
}

fn pack_statement(pack: &PackOrder) -> String {
    if pack.alternates {
        return format!("The pack is in order: {} discs, {} pairs of faces.", pack.discs, pack.faces);
    }
    let fault = |fault: &PackFault| format!("{} and {} ({})", fault.place, fault.place + 1, quoted(&fault.kind));
    let faults: Vec<String> = pack.two_in_a_row.iter().map(fault).collect();
    format!(
        "RESTACK the pack: two of a kind lie on one another at {}; as it is {} pairs of faces rub.",
        short_list(&faults),
        pack.faces
    )
}

fn spring_statements(spring: &SpringSetting) -> Vec<String> {
    let working = spring.working_length_mm.zip(spring.working_force_newtons);
    let mut said = vec![match working {
        Some((length, force)) => format!(
            "The spring presses with {} at {}; its rate is {}.",
            newtons(force),
            millimetres(length),
            rate(spring.rate_newtons_per_mm)
        ),
        None => format!(
            "The rate of the spring is {}; with --working it is told how hard it presses as built in.",
            rate(spring.rate_newtons_per_mm)
        ),
    }];
    if let Some((left, bound)) = spring.left_to_coil_bound_mm.zip(spring.coil_bound_mm) {
        said.push(if left > 0.0 {
            format!("Its coils touch at {}: {left:.1} mm are left for releasing.", millimetres(bound))
        } else {
            format!("COIL-BOUND: its coils touch at {} already, so the clutch cannot release.", millimetres(bound))
        });
    }
    said.extend(spring.rate_of_new_newtons_per_mm.map(|new| {
        format!(
            "A new spring of that wire would have about {}, good to 7 % where wire and coils are to 1 %.",
            rate(new)
        )
    }));
    said
}

fn plate_statements(set: &Gearset, plates: &PlateHold) -> Vec<String> {
    let clutch = quoted(set.control(plates.clutch).name());
    let by = match (plates.by_spring, plates.by_pack) {
        (true, true) => "with this spring and this pack",
        (true, false) => "with this spring",
        (false, true) => "with this pack",
        (false, false) => "as described",
    };
    let worst = plates.states.iter().min_by(|a, b| a.enough_for_newton_metres.total_cmp(&b.enough_for_newton_metres));
    let carries = format!(
        "{clutch} {by} carries {} worn in, {} new",
        torque(plates.worn_in_newton_metres),
        torque(plates.new_newton_metres)
    );
    vec![match worst {
        Some(worst) if plates.torque_given && !worst.holds => format!(
            "{clutch} SLIPS in {}: it carries {} {by} and has to carry {}.",
            quoted(&worst.state),
            torque(worst.capacity_newton_metres),
            torque(worst.demand_newton_metres)
        ),
        Some(worst) => format!("{carries}: enough for {} on the input.", torque(worst.enough_for_newton_metres)),
        None => format!("{carries}; no state asks for it."),
    }]
}

/// Newton metres with pound feet beside.
fn torque(newton_metres: f64) -> String {
    /// A foot is 0.3048 m.
    const PER_POUND_FOOT: f64 = 0.3048 * crate::gearset::NEWTONS_PER_POUND_FORCE;
    format!("{newton_metres:.0} N m ({:.0} lb ft)", newton_metres / PER_POUND_FOOT)
}

/// A length to the tenth of a millimetre, as springs are measured, with inches beside.
fn millimetres(mm: f64) -> String {
    format!("{mm:.1} mm ({:.3} in)", mm / MILLIMETRES_PER_INCH)
}

/// A rate with pounds an inch beside.
fn rate(newtons_per_mm: f64) -> String {
    let pounds = newtons_per_mm * MILLIMETRES_PER_INCH / crate::gearset::NEWTONS_PER_POUND_FORCE;
    format!("{newtons_per_mm:.1} N/mm ({pounds:.0} lbf/in)")
}

/// Newtons with pounds force beside.
fn newtons(force: f64) -> String {
    format!("{force:.0} N ({:.0} lbf)", force / crate::gearset::NEWTONS_PER_POUND_FORCE)
}

fn fingers(fingers: &FingerSettings) -> Block {
    let row = |finger: &FingerSetting| {
        let changed = |turns, close_mm| change(turns, close_mm).unwrap_or_else(|| "leave".into());
        let cells = [
            finger.name.clone(),
            length(finger.gap_mm),
            changed(finger.equal_first_turns, finger.equal_first_close_mm),
            changed(finger.turns, finger.close_mm),
        ];
        cells.into_iter().chain(finger.turns.map(|turns| format!("{turns:+.3}"))).collect::<Vec<String>>()
    };
    let headings = ["finger", "gap now", "first, to be equal", "in all", "turns in all"];
    let headings = if fingers.then_all_turns.is_some() { &headings[..] } else { &headings[..4] };
    let caption = format!("Fingers, {} apart now", arc(fingers.spread_mm));
    Block::table(caption, headings, fingers.fingers.iter().map(row).collect())
}

fn spring_facts(spring: &SpringSetting) -> Vec<Fact> {
    let mm = |value: f64| format!("{value:.2} mm");
    let rate = |value: f64| format!("{value:.2} N/mm");
    let all = [
        ("rate", Some(rate(spring.rate_newtons_per_mm))),
        ("length when free", Some(mm(spring.free_length_mm))),
        ("working length", spring.working_length_mm.map(mm)),
        ("force at it", spring.working_force_newtons.map(newtons)),
        ("coils touch at", spring.coil_bound_mm.map(mm)),
        ("rate of a new one", spring.rate_of_new_newtons_per_mm.map(rate)),
        ("force on the plates", spring.force_on_plates_newtons.map(newtons)),
    ];
    all.into_iter().filter_map(|(subject, answer)| Some(Fact::new(subject, answer?))).collect()
}

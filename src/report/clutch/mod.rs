//! The answer to "what is to be turned on the clutch, and does it hold?".
//!
//! First the screws, the pack, the spring and the plates, each in a line or two, then a row a finger; in full the spring
//! and what the plates hold state by state. Records have a row for each finger.

use crate::bench::{ClutchSetting, FingerSetting, FingerSettings, PackFault, PackOrder, PlateHold, SpringSetting};
use crate::gearset::Gearset;
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
    vec![
        finger.finger.to_string(),
        number(finger.gap_mm),
        number(finger.turns),
        number(finger.flats),
        number(finger.equal_first_turns),
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

/// Whether so much of a turn can be told on a hexagon.
fn is_turn(turns: f64) -> bool {
    (6.0 * turns).abs() >= 0.05
}

fn finger_statements(fingers: &FingerSettings) -> Vec<String> {
    let off = format!("wanted {}, within {:.2} mm", length(fingers.wanted_mm), fingers.within_mm);
    if fingers.all_within {
        return vec![format!("Leave the fingers: all gaps are right ({off}).")];
    }
    let to_turn = fingers.fingers.iter().filter(|finger| is_turn(finger.equal_first_turns));
    let first: Vec<String> =
        to_turn.map(|finger| format!("finger {} {}", finger.finger, flats(finger.equal_first_turns))).collect();
    let mut said = Vec::new();
    if !first.is_empty() {
        let at = length(fingers.equal_first_mm);
        said.push(format!("Turn {}: then all stand alike at {at}.", first.join(", ")));
    }
    if is_turn(fingers.then_all_turns) {
        let then = if first.is_empty() { "Turn" } else { "Then turn" };
        said.push(format!("{then} every screw {}: {off}.", flats(fingers.then_all_turns)));
    } else {
        said.push(format!("That is the gap ({off}). Measure all again after the first engagement."));
    }
    said.push("In closes the gap; a flat is a sixth of a turn.".into());
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
            "The spring presses with {} at {length:.1} mm; its rate is {:.1} N/mm.",
            newtons(force),
            spring.rate_newtons_per_mm
        ),
        None => format!("The rate of the spring is {:.1} N/mm.", spring.rate_newtons_per_mm),
    }];
    if let Some((left, bound)) = spring.left_to_coil_bound_mm.zip(spring.coil_bound_mm) {
        said.push(if left > 0.0 {
            format!("Its coils touch at {bound:.1} mm: {left:.1} mm are left.")
        } else {
            format!("COIL-BOUND: its coils touch at {bound:.1} mm already, so the clutch cannot release.")
        });
    }
    said.extend(spring.rate_of_new_newtons_per_mm.map(|new| {
        format!(
            "A new spring of that wire would have about {new:.1} N/mm, good to 7 % where wire and coils are to 1 %."
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
        "{clutch} {by} carries {:.0} N m worn in, {:.0} N m new",
        plates.worn_in_newton_metres, plates.new_newton_metres
    );
    vec![match worst {
        Some(worst) if plates.torque_given && !worst.holds => format!(
            "{clutch} SLIPS in {}: it carries {:.0} N m {by} and has to carry {:.0}.",
            quoted(&worst.state),
            worst.capacity_newton_metres,
            worst.demand_newton_metres
        ),
        Some(worst) => format!("{carries}: enough for {:.0} N m on the input.", worst.enough_for_newton_metres),
        None => format!("{carries}; no state asks for it."),
    }]
}

/// Newtons with pounds force beside.
fn newtons(force: f64) -> String {
    format!("{force:.0} N ({:.0} lbf)", force / crate::gearset::NEWTONS_PER_POUND_FORCE)
}

fn fingers(fingers: &FingerSettings) -> Block {
    let row = |finger: &FingerSetting| {
        let turned = |turns: f64| if is_turn(turns) { flats(turns) } else { "leave".into() };
        vec![
            finger.finger.to_string(),
            length(finger.gap_mm),
            turned(finger.equal_first_turns),
            turned(finger.turns),
            format!("{:+.3}", finger.turns),
        ]
    };
    let headings = ["finger", "gap now", "first, to be equal", "in all", "turns in all"];
    let caption = format!("Fingers, {} apart now", arc(fingers.spread_mm));
    Block::table(caption, &headings, fingers.fingers.iter().map(row).collect())
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

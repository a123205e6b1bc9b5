//! Every wrong seating, for a person: how it is out, and what the hand would feel.
//!
//! First in words whether one could go in, then those few that could ([`screen`]); in full the count, a line for each
//! seating, the meshes of each, and how often a tight spot comes round by the part that carries it. Very long tables are
//! cut for a person and say so; the records, one for each mesh of each seating, and the JSON are whole.

mod screen;

use crate::exact::{Fraction, decimal, fraction};
use crate::gearset::{Gearset, MILLIMETRES_PER_INCH};
use crate::report::answer::{Answer, Outcome};
use crate::report::render::document::{Block, Fact, Records, Table};
use crate::report::render::escape::csv_name;
use crate::report::words::{self, degrees, key, length, list, member, mesh, with_decimal};
use crate::timing::{
    ByHand, DialBacklash, GroupSeatings, SeatingOrder, SeatingsAnswer, TightSpots, WrongMesh, WrongSeating,
    WrongSeatings,
};
use num_traits::Zero;
use screen::{could_go_in, statements};

/// So many seatings are shown to a person.
const MOST_SHOWN: usize = 100;

impl Answer for WrongSeatings {
    fn summary(&self, set: &Gearset) -> Vec<Block> {
        let tables = self.groups.iter().filter_map(|group| could_go_in(set, group)).map(Block::Table);
        [Block::Statements(statements(self, set))].into_iter().chain(tables).collect()
    }

    fn details(&self, set: &Gearset) -> Vec<Block> {
        let of_group = |group| [verdict(self, set, group), meshes_and_spots(set, group)].concat();
        let groups = self.groups.iter().flat_map(of_group);
        readings(self, set).into_iter().chain(groups).chain(cautions(self)).collect()
    }

    fn in_details(&self, _: &Gearset) -> Option<&'static str> {
        Some("every wrong seating, mesh by mesh, and how often a tight spot comes round")
    }

    fn records(&self, set: &Gearset) -> Records {
        let fields = vec![
            "carrier",
            "planets",
            "number",
            "largest_error",
            "largest_error_decimal",
            "turns",
            "goes_in_from_mm",
            "least_play_mm",
            "by_hand",
            "first_gear",
            "second_gear",
            "teeth",
            "error",
            "error_mm",
            "play_left_mm",
        ];
        let mut rows = Vec::new();
        for group in &self.groups {
            for (seating, number) in group.wrong_seatings.iter().zip(1..) {
                rows.extend(seating.meshes.iter().map(|mesh| record(set, group, (number, seating), mesh)));
            }
        }
        Records { fields, rows }
    }

    /// No where planets do not go together, right or wrong.
    fn outcome(&self) -> Outcome {
        self.groups.iter().all(|group| group.answer != SeatingsAnswer::DoesNotGoTogether).into()
    }
}

fn record(
    set: &Gearset,
    group: &GroupSeatings,
    (number, seating): (usize, &WrongSeating),
    mesh: &WrongMesh,
) -> Vec<String> {
    let length = |value: Option<f64>| value.map(|value| format!("{value:.6}")).unwrap_or_default();
    let name = |id| csv_name(set.member(id).name());
    let [first, second] = set.mesh(mesh.mesh).gears().each().map(|gear| csv_name(set.gear(gear).name()));
    vec![
        name(group.carrier),
        group.planets.iter().map(|&planet| name(planet)).collect::<Vec<_>>().join(" "),
        number.to_string(),
        seating.largest_error.to_string(),
        decimal(&seating.largest_error, 6),
        seating.turns.iter().map(|it| it.turns.to_string()).collect::<Vec<_>>().join(" "),
        length(seating.goes_in_from_mm),
        length(seating.least_play_mm),
        seating.by_hand.map(|by_hand| key(&by_hand)).unwrap_or_default(),
        first,
        second,
        mesh.teeth.to_string(),
        mesh.error.to_string(),
        length(mesh.error_mm),
        length(mesh.play_left_mm),
    ]
}

/// What every dial reading is at the pitch circle.
fn readings(answer: &WrongSeatings, set: &Gearset) -> Vec<Block> {
    let said = |reading: &DialBacklash| {
        let answer = format!(
            "{} at a radius of {} is {} at the pitch circle of {}",
            length(reading.reading_mm),
            length(reading.radius_mm),
            length(reading.backlash_mm),
            mesh(set, reading.mesh)
        );
        Fact::new(&format!("dial on {}", words::gear(set, reading.gear)), answer)
    };
    if answer.dial_readings.is_empty() {
        return Vec::new();
    }
    vec![
        Block::Facts(answer.dial_readings.iter().map(said).collect()),
        Block::Note(
            "a reading is the backlash of one mesh only while the mate itself is held: in a locked train the dial shows the \
             backlash of every mesh on the way. Read at several places of the turn, for gears run out: the least tells \
             whether a wrong planet turns, the largest whether it goes in"
                .into(),
        ),
    ]
}

/// What a group of planets is headed with.
fn heading(set: &Gearset, group: &GroupSeatings) -> String {
    words::group(set, &group.planets, group.carrier, group.pins)
}

/// How many wrong seatings a group has, what a hand notices, and a line for each.
fn verdict(answer: &WrongSeatings, set: &Gearset, group: &GroupSeatings) -> Vec<Block> {
    let mut blocks = vec![Block::Heading(heading(set, group))];
    let mut facts = vec![Fact::new("wrong seatings", count(answer, group))];
    facts.extend(by_hand_count(&group.wrong_seatings).map(|count| Fact::new("by hand", count)));
    blocks.push(Block::Facts(facts));
    if group.answer == SeatingsAnswer::Listed {
        blocks.extend(warnings(group));
    }
    if !group.wrong_seatings.is_empty() {
        blocks.push(Block::Table(seatings(set, group)));
    }
    blocks
}

/// Every mesh of the wrong seatings, and how often tight spots come round.
fn meshes_and_spots(set: &Gearset, group: &GroupSeatings) -> Vec<Block> {
    let count = group.wrong_seatings.len();
    if count == 0 {
        return Vec::new();
    }
    let mut blocks = vec![Block::Table(meshes(set, group))];
    if count > MOST_SHOWN {
        blocks.push(Block::Note(format!(
            "the first {MOST_SHOWN} of {count} are shown; --format csv and --format json give all, --within gives fewer"
        )));
    }
    blocks.extend(tight_spots(set, group));
    blocks
}

fn count(answer: &WrongSeatings, group: &GroupSeatings) -> String {
    let within = format!("within {} of a tooth", with_decimal(&answer.within));
    match (group.answer, group.wrong_seatings.len()) {
        (SeatingsAnswer::OnePin, _) => "none: one pin has no fellow to differ from".into(),
        (SeatingsAnswer::DoesNotGoTogether, _) => {
            "not looked for: these planets do not assemble at all, and toothmark timing says why".into()
        }
        (SeatingsAnswer::TooMany, _) => {
            "not known: there are too many to look at; ask for fewer with a smaller --within".into()
        }
        (SeatingsAnswer::Listed, 0) if answer.within == fraction(1, 2) => "none: whatever goes in is right".into(),
        (SeatingsAnswer::Listed, 0) => format!("none {within}"),
        (SeatingsAnswer::Listed, count) => format!("{count} {within}, and as many that are their mirror images"),
    }
}

fn warnings(group: &GroupSeatings) -> Vec<Block> {
    let seatings = &group.wrong_seatings;
    let mut blocks = Vec::new();
    if seatings.iter().any(|seating| seating.by_hand == Some(ByHand::Unnoticed)) {
        blocks.push(Block::Warning(
            "a planet can be put in WRONG without anyone noticing. Set every planet by its marks or by the list of \
             toothmark timing, and turn the whole set by hand before closing the case"
                .into(),
        ));
    }
    if group.more_could_go_in {
        blocks.push(Block::Warning(
            "not all that could go in are listed: some mesh has more backlash than the error asked for. Ask with \
             --within 1/2"
                .into(),
        ));
    }
    if seatings.iter().any(|seating| seating.by_hand.is_none()) {
        let missing = if seatings.iter().any(|seating| seating.goes_in_from_mm.is_none()) {
            "add a pitch and a backlash for every mesh to the description"
        } else {
            "add the backlash of every mesh to the description, or give a dial reading with --reading, --radius and \
             --gear,"
        };
        blocks.push(Block::Note(format!("{missing} to learn what a hand would feel")));
    }
    blocks
}

/// One line a seating.
fn seatings(set: &Gearset, group: &GroupSeatings) -> Table {
    let seatings = &group.wrong_seatings;
    let with_pitch = seatings.iter().all(|seating| seating.goes_in_from_mm.is_some());
    let with_play = seatings.iter().all(|seating| seating.least_play_mm.is_some());
    let mut headings = vec!["no", "largest error, teeth", "turned, degrees"];
    headings.extend(with_pitch.then_some(["goes in from, mm", "thou"]).into_iter().flatten());
    headings.extend(with_play.then_some(["least backlash left, mm", "thou", "by hand"]).into_iter().flatten());
    let row = |(at, seating): (usize, &WrongSeating)| {
        let mut cells = vec![(at + 1).to_string(), with_decimal(&seating.largest_error), turned(set, seating)];
        cells.extend(seating.goes_in_from_mm.filter(|_| with_pitch).map(sizes).into_iter().flatten());
        cells.extend(seating.least_play_mm.filter(|_| with_play).map(sizes).into_iter().flatten());
        cells.extend(seating.by_hand.filter(|_| with_play).map(|by_hand| words::felt(by_hand).into()));
        cells
    };
    let from = match (with_pitch, group.ordered_by) {
        (true, SeatingOrder::Backlash) => {
            "; it goes in from so much backlash on at every mesh, and as pitches differ that is what they are ordered by"
        }
        (true, SeatingOrder::LargestError) => "; it goes in from so much backlash on at every mesh",
        (false, _) => "",
    };
    let play = if with_play { "; backlash left below 0: short of so much in the tightest mesh" } else { "" };
    Table {
        caption: format!(
            "How far from right, counter-clockwise positive seen from the input side, clockwise positive seen from \
             the output side; each has a mirror image with every sign reversed{from}{play}"
        ),
        headings: headings.into_iter().map(String::from).collect(),
        rows: seatings.iter().take(MOST_SHOWN).enumerate().map(row).collect(),
    }
}

fn turned(set: &Gearset, seating: &WrongSeating) -> String {
    if let [only] = &seating.turns[..] {
        return degrees(&only.turns);
    }
    let turned = seating.turns.iter().map(|it| format!("{} {}", member(set, it.planet), degrees(&it.turns)));
    list(&turned.collect::<Vec<_>>())
}

/// One line a mesh of a seating.
fn meshes(set: &Gearset, group: &GroupSeatings) -> Table {
    let all = || group.wrong_seatings.iter().flat_map(|seating| &seating.meshes);
    let with_arc = all().any(|it| it.error_mm.is_some());
    let with_play = all().any(|it| it.play_left_mm.is_some());
    let mut headings = vec!["no", "mesh", "whole teeth out", "error, teeth"];
    headings.extend(with_arc.then_some(["error, mm", "thou"]).into_iter().flatten());
    headings.extend(with_play.then_some(["backlash left, mm", "thou"]).into_iter().flatten());
    let cells_of = |size: Option<f64>| size.map_or(["-".to_owned(), "-".to_owned()], sizes);
    let row = |at: usize, it: &WrongMesh| {
        let mut cells = vec![(at + 1).to_string(), mesh(set, it.mesh), it.teeth.to_string(), it.error.to_string()];
        cells.extend(with_arc.then(|| cells_of(it.error_mm)).into_iter().flatten());
        cells.extend(with_play.then(|| cells_of(it.play_left_mm)).into_iter().flatten());
        cells
    };
    let shown = group.wrong_seatings.iter().take(MOST_SHOWN).enumerate();
    let left = if with_play {
        "; backlash left, that is less the error: where the planets settle by themselves, the tightest mesh with as much as can be"
    } else {
        ""
    };
    Table {
        caption: format!(
            "Mesh by mesh, every length at the pitch circle. Errors: where the largest is as small as can be{left}"
        ),
        headings: headings.into_iter().map(String::from).collect(),
        rows: shown.flat_map(|(at, seating)| seating.meshes.iter().map(move |it| row(at, it))).collect(),
    }
}

/// How often a tight spot is felt, by the part that carries it.
fn tight_spots(set: &Gearset, group: &GroupSeatings) -> Vec<Block> {
    if group.tight_spots.is_empty() {
        return Vec::new();
    }
    let columns: Vec<Vec<(String, String)>> =
        group.tight_spots.iter().map(|spots| rhythms(set, group, spots)).collect();
    let mut rows: Vec<Vec<String>> = Vec::new();
    for (at, (part, _)) in columns[0].iter().enumerate() {
        if rows.iter().all(|row| row[0] != *part) {
            rows.push([part.clone()].into_iter().chain(columns.iter().map(|column| column[at].1.clone())).collect());
        }
    }
    let states = group.tight_spots.iter().map(|spots| spots.state.clone());
    vec![
        Block::Paragraph(
            "A wrong seating has no rhythm of its own: on gears that run true its meshes roll with a constant error, \
             so the set is tight all the way round, or, where the backlash covers it, nowhere. Tightness that comes and \
             goes is carried by a part that is bent, burred or dirty; count how often it is felt"
                .into(),
        ),
        Block::Table(Table {
            caption: "A tight spot: times per turn of the input, by the state that is turned".into(),
            headings: ["carried by".to_owned()].into_iter().chain(states).collect(),
            rows,
        }),
    ]
}

/// What carries a spot, and how often it is then felt.
fn rhythms(set: &Gearset, group: &GroupSeatings, spots: &TightSpots) -> Vec<(String, String)> {
    let planets = spots
        .planets
        .iter()
        .map(|it| (format!("one {}, against one mating gear", member(set, it.planet)), often(it.turns.as_ref())));
    let centrals = spots.meshes.iter().filter_map(|rhythm| {
        let name = words::gear(set, rhythm.central_gear?);
        Some([
            (format!("{name}, felt at one pin"), often(rhythm.passes_one_pin.as_ref())),
            (format!("{name}, felt at all {} pins", group.pins), often(rhythm.passes_any_pin.as_ref())),
        ])
    });
    let pairs = spots
        .meshes
        .iter()
        .map(|rhythm| (format!("the same two teeth of {}", mesh(set, rhythm.mesh)), often(rhythm.same_teeth.as_ref())));
    planets.chain(centrals.flatten()).chain(pairs).collect()
}

fn cautions(answer: &WrongSeatings) -> Vec<Block> {
    if answer.groups.is_empty() {
        return vec![Block::Note("no planets are described, so none can be put in wrong".into())];
    }
    let mut cautions = Vec::new();
    let mut seatings = answer.groups.iter().flat_map(|group| &group.wrong_seatings);
    if seatings.any(|seating| seating.by_hand.is_some()) {
        cautions.push(format!(
            "\"with force\" is an estimate: up to {} short of backlash, about what pins and bushes give way; the teeth \
             themselves give almost nothing. A worn set gives more, a tight one less",
            length(answer.ease_by_force_mm)
        ));
    }
    cautions.extend([
        "do not force a planet that nearly drops in, and do not run a unit that turns tight: take it out and set it \
         again"
            .to_owned(),
        "this is geometry of sound, alike planets: it does not say that a gear is strong enough or whether teeth are \
         worn"
            .to_owned(),
    ]);
    cautions.into_iter().map(Block::Note).collect()
}

/// How many go in unnoticed, with force and not at all; `None` where it is not known.
fn by_hand_count(seatings: &[WrongSeating]) -> Option<String> {
    let felt: Vec<ByHand> = seatings.iter().map(|seating| seating.by_hand).collect::<Option<_>>()?;
    let count = |it: ByHand| felt.iter().filter(|felt| **felt == it).count();
    let verb = |count: usize| if count == 1 { "goes" } else { "go" };
    let unnoticed = count(ByHand::Unnoticed);
    (!felt.is_empty()).then(|| {
        format!(
            "{unnoticed} {} in unnoticed, {} with force (an estimate), {} will not go in",
            verb(unnoticed),
            count(ByHand::WithForce),
            count(ByHand::WillNotEnter)
        )
    })
}

/// A length in millimetres and in thousandths of an inch.
fn sizes(millimetres: f64) -> [String; 2] {
    // No minus before a rounded nothing.
    let rounded = |value: f64, places: usize| {
        let text = format!("{value:.places$}");
        if text.bytes().all(|letter| b"-0.".contains(&letter)) { text.trim_start_matches('-').to_owned() } else { text }
    };
    [rounded(millimetres, 3), rounded(millimetres / MILLIMETRES_PER_INCH * 1000.0, 1)]
}

fn often(rate: Option<&Fraction>) -> String {
    match rate {
        None => "not determined".into(),
        Some(rate) if rate.is_zero() => "never".into(),
        Some(rate) => with_decimal(rate),
    }
}

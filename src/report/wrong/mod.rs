//! Every wrong seating, for a person: how it is out, and what the hand would feel.
//!
//! First the count, then a line for each seating, then the meshes of each, then how often a
//! tight spot comes round by the part that carries it. Very long tables are cut for a person
//! and say so; the records and the JSON ([`self::data`]) are whole.

mod data;

use crate::exact::{Fraction, fraction, to_float};
use crate::gearset::{Gearset, Length, MILLIMETRES_PER_INCH, Pitch};
use crate::report::render::document::{Block, Document, Fact, Table};
use crate::report::words::{self, counted, degrees, length, list, member, mesh, with_decimal};
use crate::timing::{
    ByHand, DialReading, FoundSeatings, GroupSeatings, SeatingQuestion, TightSpots, WrongMesh, WrongSeating,
    backlash_at_pitch_circle,
};
use num_traits::Zero;

/// So many seatings are shown to a person.
const MOST_SHOWN: usize = 100;

/// The wrong seatings of a gearset.
#[derive(Debug, Clone)]
pub struct Wrong<'a> {
    /// The gearset, with the backlashes that were read off a dial.
    pub set: &'a Gearset,
    /// What was asked.
    pub question: &'a SeatingQuestion,
    /// The dial readings that the backlashes come from, if any.
    pub readings: &'a [DialReading],
    /// The groups of planets.
    pub groups: &'a [GroupSeatings],
}

impl Wrong<'_> {
    /// The answer for a person.
    pub fn document(&self) -> Document {
        let mut blocks = self.readings_said();
        for group in self.groups {
            self.group(group, &mut blocks);
        }
        if self.groups.is_empty() {
            blocks.push(Block::Note("no planets are described, so none can be put in wrong".into()));
        } else {
            blocks.extend(self.cautions());
        }
        Document { title: self.set.title().to_owned(), blocks }
    }

    /// What every dial reading is at the pitch circle.
    fn readings_said(&self) -> Vec<Block> {
        let said = |reading: &DialReading| {
            let (id, backlash) = backlash_at_pitch_circle(self.set, reading).ok()?;
            let [shown, radius] = [&reading.reading, &reading.radius].map(Length::millimetres);
            let answer = format!(
                "{} at a radius of {} is {} at the pitch circle of {}",
                length(shown),
                length(radius),
                length(backlash.millimetres()),
                mesh(self.set, id)
            );
            Some(Fact::new(&format!("dial on {}", words::gear(self.set, reading.gear)), answer))
        };
        if self.readings.is_empty() {
            return Vec::new();
        }
        vec![
            Block::Facts(self.readings.iter().filter_map(said).collect()),
            Block::Note(
                "a reading is the play of one mesh only while the mate itself is held: in a locked train the dial shows the \
                 play of every mesh on the way. Read at several places of the turn, for gears run out: the least tells \
                 whether a wrong planet turns, the largest whether it goes in"
                    .into(),
            ),
        ]
    }

    fn group(&self, group: &GroupSeatings, blocks: &mut Vec<Block>) {
        let names: Vec<String> = group.planets.iter().map(|&planet| member(self.set, planet)).collect();
        let carrier = member(self.set, group.carrier);
        blocks.push(Block::Heading(format!("{} on {carrier}, {}", list(&names), counted(group.pins, "pin"))));
        let seatings = match listed(group) {
            Ok(seatings) => seatings,
            Err(reason) => {
                blocks.push(Block::Facts(vec![Fact::new("wrong seatings", reason)]));
                return;
            }
        };
        let mut facts = vec![Fact::new("wrong seatings", self.count(seatings))];
        facts.extend(by_hand_count(seatings).map(|count| Fact::new("by hand", count)));
        blocks.push(Block::Facts(facts));
        blocks.extend(self.warnings(group, seatings));
        if seatings.is_empty() {
            return;
        }
        blocks.push(Block::Table(self.seatings(group, seatings)));
        blocks.push(Block::Table(self.meshes(seatings)));
        if seatings.len() > MOST_SHOWN {
            blocks.push(Block::Note(format!(
                "the first {MOST_SHOWN} of {} are shown; --format csv and --format json give all, --within gives fewer",
                seatings.len()
            )));
        }
        blocks.extend(self.tight_spots(group));
    }

    fn count(&self, seatings: &[WrongSeating]) -> String {
        let within = format!("within {} of a tooth", with_decimal(&self.question.within));
        match (seatings, self.question.within == fraction(1, 2)) {
            ([], true) => "none: whatever goes in is right".into(),
            ([], false) => format!("none {within}"),
            _ => format!("{} {within}, and as many that are their mirror images", seatings.len()),
        }
    }

    fn warnings(&self, group: &GroupSeatings, seatings: &[WrongSeating]) -> Vec<Block> {
        let mut blocks = Vec::new();
        if seatings.iter().any(|seating| seating.by_hand == Some(ByHand::Unnoticed)) {
            blocks.push(Block::Warning(
                "a planet can be put in WRONG without anyone noticing. Set every planet by its marks or by the list of \
                 toothmark timing, and turn the whole set by hand before closing the case"
                    .into(),
            ));
        }
        let within = to_float(&self.question.within);
        if within < 0.5 && group.farthest_by_hand.is_some_and(|farthest| farthest > within) {
            blocks.push(Block::Warning(
                "not all that could go in are listed: some mesh has more play than the error asked for. Ask with \
                 --within 1/2"
                    .into(),
            ));
        }
        if seatings.iter().any(|seating| seating.by_hand.is_none()) {
            let missing = if seatings.iter().any(|seating| seating.goes_in_from.is_none()) {
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
    fn seatings(&self, group: &GroupSeatings, seatings: &[WrongSeating]) -> Table {
        let with_pitch = seatings.iter().all(|seating| seating.goes_in_from.is_some());
        let with_play = seatings.iter().all(|seating| seating.least_play.is_some());
        let mut headings = vec!["no", "largest error, teeth", "turned, degrees"];
        headings.extend(with_pitch.then_some(["goes in from, mm", "thou"]).into_iter().flatten());
        headings.extend(with_play.then_some(["least play left, mm", "thou", "by hand"]).into_iter().flatten());
        let row = |(at, seating): (usize, &WrongSeating)| {
            let mut cells =
                vec![(at + 1).to_string(), with_decimal(&seating.largest_error), self.turned(group, seating)];
            cells.extend(seating.goes_in_from.filter(|_| with_pitch).map(sizes).into_iter().flatten());
            cells.extend(seating.least_play.filter(|_| with_play).map(sizes).into_iter().flatten());
            cells.extend(seating.by_hand.filter(|_| with_play).map(felt));
            cells
        };
        let from = match (with_pitch, self.pitches_differ(seatings)) {
            (true, true) => {
                "; it goes in from so much backlash on at every mesh, and as pitches differ that is what they are ordered by"
            }
            (true, false) => "; it goes in from so much backlash on at every mesh",
            (false, _) => "",
        };
        let play = if with_play { "; play below 0: short of so much in the tightest mesh" } else { "" };
        Table {
            caption: format!(
                "How far from right, counter-clockwise positive seen from the input side, clockwise positive seen from \
                 the output side; each has a mirror image with every sign reversed{from}{play}"
            ),
            headings: headings.into_iter().map(String::from).collect(),
            rows: seatings.iter().take(MOST_SHOWN).enumerate().map(row).collect(),
        }
    }

    fn pitches_differ(&self, seatings: &[WrongSeating]) -> bool {
        let meshes = seatings.iter().flat_map(|seating| &seating.meshes);
        let mut pitches = meshes.filter_map(|it| self.set.mesh(it.mesh).pitch()).map(Pitch::circular_pitch);
        let first = pitches.next();
        first.is_some_and(|first| pitches.any(|pitch| (pitch - first).abs() > 1e-9))
    }

    fn turned(&self, group: &GroupSeatings, seating: &WrongSeating) -> String {
        match &seating.turns[..] {
            [turn] => degrees(turn),
            turns => {
                let planets = group.planets.iter().zip(turns);
                list(
                    &planets
                        .map(|(&id, turn)| format!("{} {}", member(self.set, id), degrees(turn)))
                        .collect::<Vec<_>>(),
                )
            }
        }
    }

    /// One line a mesh of a seating.
    fn meshes(&self, seatings: &[WrongSeating]) -> Table {
        let all = || seatings.iter().flat_map(|seating| &seating.meshes);
        let with_arc = all().any(|it| it.arc.is_some());
        let with_play = all().any(|it| it.play_left.is_some());
        let mut headings = vec!["no", "mesh", "whole teeth out", "error, teeth"];
        headings.extend(with_arc.then_some(["error, mm", "thou"]).into_iter().flatten());
        headings.extend(with_play.then_some(["play left, mm", "thou"]).into_iter().flatten());
        let cells_of = |size: Option<f64>| size.map_or(["-".to_owned(), "-".to_owned()], sizes);
        let row = |at: usize, it: &WrongMesh| {
            let mut cells =
                vec![(at + 1).to_string(), mesh(self.set, it.mesh), it.teeth.to_string(), it.error.to_string()];
            cells.extend(with_arc.then(|| cells_of(it.arc)).into_iter().flatten());
            cells.extend(with_play.then(|| cells_of(it.play_left)).into_iter().flatten());
            cells
        };
        let shown = seatings.iter().take(MOST_SHOWN).enumerate();
        let rest = if with_play {
            "; play left, backlash less error: where the planets settle by themselves, the tightest mesh with as much as can be"
        } else {
            ""
        };
        Table {
            caption: format!(
                "Mesh by mesh, every length at the pitch circle. Errors: where the largest is as small as can be{rest}"
            ),
            headings: headings.into_iter().map(String::from).collect(),
            rows: shown.flat_map(|(at, seating)| seating.meshes.iter().map(move |it| row(at, it))).collect(),
        }
    }

    /// How often a tight spot is felt, by the part that carries it.
    fn tight_spots(&self, group: &GroupSeatings) -> Vec<Block> {
        if group.tight_spots.is_empty() {
            return Vec::new();
        }
        let columns: Vec<Vec<(String, String)>> =
            group.tight_spots.iter().map(|spots| self.rhythms(group, spots)).collect();
        let mut rows: Vec<Vec<String>> = Vec::new();
        for (at, (part, _)) in columns[0].iter().enumerate() {
            if rows.iter().all(|row| row[0] != *part) {
                rows.push(
                    [part.clone()].into_iter().chain(columns.iter().map(|column| column[at].1.clone())).collect(),
                );
            }
        }
        let states = group.tight_spots.iter().map(|spots| spots.state.clone());
        vec![
            Block::Paragraph(
                "A wrong seating has no rhythm of its own: on gears that run true its meshes roll with a constant error, \
                 so the set is tight all the way round, or, where the play covers it, nowhere. Tightness that comes and \
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
    fn rhythms(&self, group: &GroupSeatings, spots: &TightSpots) -> Vec<(String, String)> {
        let planets = group.planets.iter().zip(&spots.planets).map(|(&planet, rate)| {
            (format!("one {}, against one mating gear", member(self.set, planet)), often(rate.as_ref()))
        });
        let centrals = spots.meshes.iter().filter_map(|rhythm| {
            let name = words::gear(self.set, rhythm.central?);
            let one = rhythm.passes_one_pin.as_ref();
            let all = one.map(|rate| rate * Fraction::from(num_bigint::BigInt::from(group.pins)));
            Some([
                (format!("{name}, felt at one pin"), often(one)),
                (format!("{name}, felt at all {} pins", group.pins), often(all.as_ref())),
            ])
        });
        let pairs = spots.meshes.iter().map(|rhythm| {
            (format!("the same two teeth of {}", mesh(self.set, rhythm.mesh)), often(rhythm.same_teeth.as_ref()))
        });
        planets.chain(centrals.flatten()).chain(pairs).collect()
    }

    fn cautions(&self) -> Vec<Block> {
        let mut cautions = Vec::new();
        let mut seatings = self.groups.iter().filter_map(|group| listed(group).ok()).flatten();
        let known = seatings.any(|seating| seating.by_hand.is_some());
        if known {
            cautions.push(format!(
                "\"with force\" is an estimate: up to {} short of play, about what pins and bushes give way; the teeth \
                 themselves give almost nothing. A worn set gives more, a tight one less",
                length(self.question.ease_by_force)
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
}

/// The seatings of a group, or why none are listed.
pub(super) fn listed(group: &GroupSeatings) -> Result<&[WrongSeating], &'static str> {
    match &group.found {
        FoundSeatings::Every(seatings) => Ok(seatings),
        FoundSeatings::OnePin => Err("none: one pin has no fellow to differ from"),
        FoundSeatings::DoesNotGoTogether => {
            Err("not looked for: these planets do not go together at all, and toothmark timing says why")
        }
        FoundSeatings::TooMany => {
            Err("not known: there are too many to look at; ask for fewer with a smaller --within")
        }
    }
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

fn felt(by_hand: ByHand) -> String {
    match by_hand {
        ByHand::Unnoticed => "goes in UNNOTICED",
        ByHand::WithForce => "with force, tight all round",
        ByHand::WillNotEnter => "will not go in",
    }
    .into()
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

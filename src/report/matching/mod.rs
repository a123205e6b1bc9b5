//! The answer to "do these clusters belong together, and how are they best put in?", for a person.
//!
//! First whether the set matches and which cluster is the odd one, then every residual, who carries
//! first, and whether another order or another seating would do better.

mod cures;
mod data;
mod fixed;

use self::cures::cautions;
use crate::exact::part_of_turn;
use crate::gearset::{GearId, Gearset, MILLIMETRES_PER_INCH, MeshId, PinOff};
use crate::report::render::document::{Block, Document, Fact, Table};
use crate::report::words::{self, counted, degrees, list, member, mesh, quoted};
use crate::timing::{
    ContactPin, Difference, FirstContact, MatchSearch, Matching, Seated, SeatedPin, Verdict, Weighing,
};

/// How well measured clusters match.
#[derive(Debug, Clone)]
pub struct Matches<'a> {
    /// The gearset.
    pub set: &'a Gearset,
    /// What was found for each measured planet.
    pub matchings: &'a [Matching],
}

/// The order and seating of which something is said.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Way {
    Listed,
    Reseated,
    Exchanged,
}

impl Matches<'_> {
    /// The answer for a person.
    pub fn document(&self) -> Document {
        let mut blocks = Vec::new();
        for matching in self.matchings {
            self.matching(matching, &mut blocks);
        }
        blocks.extend(cautions(self.matchings).map(|caution| Block::Note(caution.into())));
        Document { title: self.set.title().to_owned(), blocks }
    }

    fn matching(&self, matching: &Matching, blocks: &mut Vec<Block>) {
        let heading = format!(
            "{} on {}, {}",
            member(self.set, matching.planet),
            member(self.set, matching.carrier),
            counted(matching.pin_count, "pin")
        );
        blocks.push(Block::Heading(heading));
        let mut facts = vec![Fact::new(&format!("{}s", self.thing(matching)), self.alike(matching))];
        facts.extend(spares(matching));
        facts.extend(matching.pins.as_deref().map(pins_off));
        facts.extend(fixed::fixed(self.set, matching));
        let Some(as_found) = &matching.as_found else {
            let answer = match matching.search {
                MatchSearch::Complete => {
                    let things = self.thing(matching);
                    format!("NO: however the {things}s are turned, some mesh is a quarter of a tooth off or more")
                }
                MatchSearch::GivenUp => {
                    "NO seating was found in which no mesh is a quarter of a tooth off or more".to_owned()
                }
            };
            facts.push(Fact::new("set matches", answer));
            blocks.push(Block::Facts(facts));
            self.cures(matching, blocks);
            return;
        };
        facts.push(Fact::new("set matches", self.matches(as_found)));
        facts.push(Fact::new("turns freely", self.freely(matching, as_found)));
        blocks.push(Block::Facts(facts));
        let way = if matching.listed.as_ref() == Some(as_found) { Way::Listed } else { Way::Reseated };
        self.seated(matching, as_found, way, blocks);
        self.cures(matching, blocks);
    }

    /// Which clusters are alike, and what the others differ in.
    fn alike(&self, matching: &Matching) -> String {
        let name = |difference: &Difference| quoted(&matching.clusters[difference.cluster]);
        let alike: Vec<String> = matching.differences.iter().filter(|it| !it.told_apart).map(name).collect();
        let mut parts = vec![match alike.len() {
            1 if matching.clusters.len() == 1 => format!("{} is alone on its carrier", list(&alike)),
            1 => format!("measured against {}, which is most like the others", list(&alike)),
            2 => format!("{} are a pair", list(&alike)),
            _ => format!("{} are alike", list(&alike)),
        }];
        for other in matching.differences.iter().filter(|it| it.told_apart) {
            let gears: Vec<String> = other
                .gears
                .iter()
                .filter(|(_, teeth)| teeth.abs() > 1e-9)
                .map(|&(gear, teeth)| {
                    format!("{} of a tooth{} at {}", signed(teeth), self.arc_of_gear(gear, teeth), self.gear(gear))
                })
                .collect();
            parts.push(format!("{} is off by {}", name(other), list(&gears)));
        }
        parts.join("; ")
    }

    /// What goes on the pins: a planet of one gear is no cluster.
    pub(super) fn thing(&self, matching: &Matching) -> &'static str {
        if self.set.member(matching.planet).gears().len() == 1 { "planet" } else { "cluster" }
    }

    fn gear(&self, gear: GearId) -> String {
        words::gear(self.set, gear)
    }

    /// An arc of so many teeth of a gear, between commas, where its pitch is given.
    fn arc_of_gear(&self, gear: GearId, teeth: f64) -> String {
        let has = |mesh: &&MeshId| self.set.mesh(**mesh).gears().both().contains(&&gear);
        let meshes: Vec<MeshId> = self.set.mesh_ids().collect();
        let tooth = meshes.iter().find(has).and_then(|&mesh| self.tooth(mesh));
        tooth.map(|tooth| format!(", {},", arc(teeth.abs() * tooth))).unwrap_or_default()
    }

    /// The arc of one tooth of a mesh, in millimetres.
    fn tooth(&self, mesh: MeshId) -> Option<f64> {
        Some(self.set.mesh(mesh).pitch()?.circular_pitch())
    }

    /// What the set needs, and where.
    fn matches(&self, seated: &Seated) -> String {
        let (size, at) = self.play(seated);
        format!("within {size}: so much play it takes at {}, and no mesh takes more", mesh(self.set, at))
    }

    /// The backlash that the set needs at the mesh that needs most, an arc if every pitch is given.
    pub(super) fn play(&self, seated: &Seated) -> (String, MeshId) {
        let needs = needs(seated);
        let in_arcs: Option<Vec<(MeshId, f64)>> =
            needs.iter().map(|&(mesh, teeth)| Some((mesh, teeth * self.tooth(mesh)?))).collect();
        let most = |needs: Vec<(MeshId, f64)>| needs.into_iter().max_by(|a, b| a.1.total_cmp(&b.1));
        let worst = match in_arcs {
            Some(arcs) => most(arcs).map(|(mesh, size)| (arc(size), mesh)),
            None => most(needs).map(|(mesh, teeth)| (format!("{} of a tooth", plain(teeth)), mesh)),
        };
        worst.expect("planets are in mesh")
    }

    fn freely(&self, matching: &Matching, seated: &Seated) -> String {
        let percent = |level: f64| format!("{:.0} %", level * 100.0);
        let share = if percent(seated.most) == percent(seated.least) {
            percent(seated.level)
        } else {
            format!("{} (between {} and {})", percent(seated.level), percent(seated.least), percent(seated.most))
        };
        match (matching.weighing, seated.verdict) {
            (Weighing::Backlash, Some(Verdict::Within)) => {
                format!("yes: the set takes {share} of the backlash where it takes most")
            }
            (Weighing::Backlash, Some(Verdict::Beyond)) => format!(
                "NO: the set takes {share} of the backlash: expect a tight spot at {}",
                self.tight_spots(seated)
            ),
            (Weighing::Backlash, _) if fixed::is_unknown(matching) => format!(
                "cannot be told: against one another the {}s take {share} of the backlash, and how they stand against the \
                 fixed gears is not known",
                self.thing(matching)
            ),
            (Weighing::Backlash, _) => format!(
                "cannot be told: the set takes {share} of the backlash, depending on how far the readings are off"
            ),
            (Weighing::Millimetres, _) => {
                "depends on the backlash: add it to the description to have it checked".into()
            }
            (Weighing::Teeth, _) => {
                "depends on pitch and backlash: add them to the description to have it checked".into()
            }
        }
    }

    /// The meshes that are not within their backlash.
    fn tight_spots(&self, seated: &Seated) -> String {
        let beyond = |mesh: &MeshId| {
            let all = seated.pins.iter().flat_map(|pin| &pin.residuals);
            all.filter(|it| it.mesh == *mesh).any(|it| it.verdict == Some(Verdict::Beyond))
        };
        list(&self.set.mesh_ids().filter(beyond).map(|id| mesh(self.set, id)).collect::<Vec<_>>())
    }

    /// Everything about one order and seating.
    pub(super) fn seated(&self, matching: &Matching, seated: &Seated, way: Way, blocks: &mut Vec<Block>) {
        match way {
            Way::Listed => blocks.push(Block::Paragraph(format!(
                "Turn every {} as toothmark timing lists, marked and counted on gear {}. Residuals are told with the set \
                 settled in the middle of its play.",
                self.thing(matching),
                self.gear(matching.reference)
            ))),
            Way::Reseated | Way::Exchanged => blocks.push(Block::Table(self.settings(matching, seated))),
        }
        blocks.extend(fixed::stand(self.set, seated).map(Block::Paragraph));
        blocks.push(Block::Table(self.residuals(matching, seated, way)));
        if !seated.first_contacts.is_empty() {
            blocks.push(Block::Table(self.contacts(matching, seated, way)));
        }
    }

    /// How each cluster is turned, from both sides.
    fn settings(&self, matching: &Matching, seated: &Seated) -> Table {
        let gear = self.set.gear(matching.reference);
        let teeth = f64::from(gear.tooth_count().get());
        let row = |pin: &SeatedPin| {
            let side = |turn: f64| if turn > 0.0 { "ccw" } else { "clockwise" };
            let told = |turn: f64| {
                let (degrees, teeth) = (turn * 360.0, turn * teeth);
                if degrees.abs() < 5e-4 {
                    return "to the centre".to_owned();
                }
                let nearest = teeth.abs().round();
                let tooth = if nearest > 0.0 { format!("tooth {nearest}") } else { "the centre".to_owned() };
                format!("{:.3} degrees, {:.2} teeth {}: {tooth}", degrees.abs(), teeth.abs(), side(turn))
            };
            vec![
                pin.pin.to_string(),
                degrees(&part_of_turn(&pin.place)),
                quoted(&matching.clusters[pin.cluster]),
                told(pin.turn),
                told(-pin.turn),
            ]
        };
        let headings =
            ["pin", "pin at, degrees", self.thing(matching), "seen from the input side", "seen from the output side"];
        Table {
            caption: format!(
                "How each {} is turned: from the line to the centre to the mark of gear {} (pin places from the input side)",
                self.thing(matching),
                self.gear(matching.reference)
            ),
            headings: headings.map(String::from).to_vec(),
            rows: seated.pins.iter().map(row).collect(),
        }
    }

    fn residuals(&self, matching: &Matching, seated: &Seated, way: Way) -> Table {
        let uncertain = seated.pins.iter().flat_map(|pin| &pin.residuals).any(|it| it.uncertainty > 0.0);
        let mut rows = Vec::new();
        for pin in &seated.pins {
            for residual in &pin.residuals {
                let tooth = self.tooth(residual.mesh);
                let in_arc = |teeth: f64| tooth.map(|tooth| teeth * tooth);
                let shown = |value: Option<f64>, digits: usize| {
                    value.map_or_else(|| "-".into(), |value| no_minus_zero(format!("{value:+.digits$}")))
                };
                let backlash = self.set.mesh(residual.mesh).backlash();
                let mut row = vec![
                    pin.pin.to_string(),
                    quoted(&matching.clusters[pin.cluster]),
                    mesh(self.set, residual.mesh),
                    signed(residual.teeth),
                    shown(in_arc(residual.teeth), 3),
                    shown(in_arc(residual.teeth).map(thou), 1),
                ];
                if uncertain {
                    row.push(in_arc(residual.uncertainty).map_or_else(
                        || format!("{} teeth", plain(residual.uncertainty)),
                        |arc| format!("{arc:.3} mm"),
                    ));
                }
                row.push(backlash.map_or_else(|| "-".into(), |it| format!("{:.3}", it.millimetres() / 2.0)));
                row.push(residual.verdict.map_or("-", verdict).to_owned());
                rows.push(row);
            }
        }
        let mut headings = vec!["pin", self.thing(matching), "mesh", "teeth", "mm", "thou"];
        headings.extend(uncertain.then_some("give or take"));
        headings.extend(["half backlash, mm", "verdict"]);
        Table {
            caption: format!(
                "Residuals, {} (+: the {}'s gear is ahead, ccw seen from the input side)",
                told(self.thing(matching), way),
                self.thing(matching)
            ),
            headings: headings.into_iter().map(String::from).collect(),
            rows,
        }
    }

    fn contacts(&self, matching: &Matching, seated: &Seated, way: Way) -> Table {
        let row = |contact: &FirstContact| {
            let (first, rest) = self.in_turn(contact);
            let side = |meshes: &[MeshId]| list(&meshes.iter().map(|&id| self.central_gear(id)).collect::<Vec<_>>());
            vec![side(&contact.pushing), side(&contact.holding), first, rest]
        };
        let thing = self.thing(matching);
        let turns = format!("turns the {thing}s clockwise");
        let headings = [&turns, "holds against it", "carries first", "then, play at the holding gear"];
        Table {
            caption: format!(
                "Who carries first, {} (clockwise seen from the input side; the {thing}s free to turn on their pins)",
                told(thing, way)
            ),
            headings: headings.map(String::from).to_vec(),
            rows: seated.first_contacts.iter().map(row).collect(),
        }
    }

    /// The gear of a mesh that is not on a pin.
    fn central_gear(&self, id: MeshId) -> String {
        let on_pin = |gear: GearId| self.set.carrier_of(self.set.gear(gear).member()).is_some();
        let [a, b] = self.set.mesh(id).gears().both().map(|&gear| gear);
        self.gear(if on_pin(a) { b } else { a })
    }

    /// The pins that carry first, and the others with the play that is left there.
    fn in_turn(&self, contact: &FirstContact) -> (String, String) {
        let tooth = self.tooth(contact.holding[0]);
        let same = |a: &ContactPin, b: &ContactPin| (a.left - b.left).abs() < 1e-9;
        let mut together: Vec<&[ContactPin]> = contact.pins.chunk_by(same).collect();
        let first = together.remove(0);
        let names = |pins: &[ContactPin]| {
            let mut numbers: Vec<usize> = pins.iter().map(|pin| pin.pin).collect();
            numbers.sort_unstable();
            let word = if numbers.len() == 1 { "pin" } else { "pins" };
            format!("{word} {}", list(&numbers.iter().map(ToString::to_string).collect::<Vec<_>>()))
        };
        let later = |pins: &&[ContactPin]| {
            let left = pins[0].left;
            let size = tooth.map_or_else(|| format!("{} of a tooth", plain(left)), |tooth| arc(left * tooth));
            let doubtful = if left > contact.uncertainty { "" } else { " (or before: the readings do not tell)" };
            format!("{} after {size}{doubtful}", names(pins))
        };
        let rest: Vec<String> = together.iter().map(later).collect();
        (names(first), if rest.is_empty() { "all at once".into() } else { rest.join("; ") })
    }
}

/// For each mesh the play that it takes, in teeth: as much to both sides as the worst pin is off.
fn needs(seated: &Seated) -> Vec<(MeshId, f64)> {
    let rows = seated.pins.first().map_or(0, |pin| pin.residuals.len());
    let need = |row: usize| {
        let all = seated.pins.iter().map(|pin| pin.residuals[row].teeth.abs());
        (seated.pins[0].residuals[row].mesh, 2.0 * all.fold(0.0, f64::max))
    };
    (0..rows).map(need).collect()
}

/// Which clusters are left over.
fn spares(matching: &Matching) -> Option<Fact> {
    let names: Vec<String> = matching.clusters.iter().skip(matching.pin_count).map(|name| quoted(name)).collect();
    (!names.is_empty()).then(|| Fact::new("to spare", format!("{}, tried on every pin as well", list(&names))))
}

/// Where the pins were found.
fn pins_off(pins: &[PinOff]) -> Fact {
    let pin = |(pin, found): (usize, &PinOff)| {
        let degrees = no_minus_zero(format!("{:+.3}", found.turns * 360.0));
        format!("pin {} {degrees}, give or take {:.3}", pin + 1, found.uncertainty * 360.0)
    };
    let pins = pins.iter().enumerate().skip(1).map(pin).collect::<Vec<_>>().join("; ");
    Fact::new(
        "pins",
        format!(
            "as measured, in degrees from where they should be against pin 1 (+: ccw seen from the input side): {pins}"
        ),
    )
}

fn verdict(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Within => "within",
        Verdict::Beyond => "BEYOND",
        Verdict::CannotBeTold => "cannot be told",
    }
}

pub(super) fn verdict_of_set(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Within => "within",
        Verdict::Beyond => "still beyond",
        Verdict::CannotBeTold => "and it cannot be told whether that is within",
    }
}

fn told(thing: &str, way: Way) -> String {
    let done = match way {
        Way::Listed => "as found, turned as listed by toothmark timing",
        Way::Reseated => "as found, turned as above",
        Way::Exchanged => "exchanged, turned as above",
    };
    format!("{thing}s {done}")
}

/// Millimetres with thousandths of an inch beside.
fn arc(millimetres: f64) -> String {
    format!("{millimetres:.3} mm ({:.1} thou)", thou(millimetres))
}

fn thou(millimetres: f64) -> f64 {
    millimetres / MILLIMETRES_PER_INCH * 1000.0
}

fn signed(teeth: f64) -> String {
    no_minus_zero(format!("{teeth:+.4}"))
}

fn plain(teeth: f64) -> String {
    format!("{:.4}", teeth.abs())
}

/// A rounded number that is zero has no sign.
fn no_minus_zero(text: String) -> String {
    if text.bytes().any(|byte| (b'1'..=b'9').contains(&byte)) {
        text
    } else {
        text.trim_start_matches(['+', '-']).into()
    }
}

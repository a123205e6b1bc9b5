//! The answer to "what do I mark, and when do marks line up again", for a person.
//!
//! For each group of planets: the marks and where they go, whether the planets take up their
//! teeth together, when the same teeth meet, and when everything is back in each state.
//! Counts go the other way round seen from the other side, so both sides are always named.

mod data;
mod returns;

use crate::exact::Fraction;
use crate::gearset::{GearId, GearKind, Gearset};
use crate::report::render::document::{Block, Document, Fact, Table};
use crate::report::words::{self, counted, degrees, list, member, mixed, short_list};
use crate::timing::{Closure, Convention, GearMarks, GroupMarking, ToothMark, UseAs};
use num_traits::Zero;

/// The marks of a gearset's groups of planets.
#[derive(Debug, Clone)]
pub struct Marking<'a> {
    /// The gearset.
    pub set: &'a Gearset,
    /// The groups.
    pub groups: &'a [GroupMarking],
}

impl Marking<'_> {
    /// The answer for a person.
    pub fn document(&self) -> Document {
        let mut blocks = Vec::new();
        for group in self.groups {
            self.group(group, &mut blocks);
        }
        if self.groups.is_empty() {
            blocks.push(Block::Note("no planets are described, so there is nothing to mark".into()));
        }
        blocks.extend(self.cautions().into_iter().map(|caution| Block::Note(caution.into())));
        Document { title: self.set.title().to_owned(), blocks }
    }

    fn group(&self, group: &GroupMarking, blocks: &mut Vec<Block>) {
        let names: Vec<String> = group.planets.iter().map(|&planet| member(self.set, planet)).collect();
        let carrier = member(self.set, group.carrier);
        blocks.push(Block::Heading(format!("{} on {carrier}, {}", list(&names), counted(group.pins, "pin"))));
        let mut facts = vec![Fact::new("marks", self.convention(group))];
        facts.extend(self.how_to_mark(group));
        blocks.push(Block::Facts(facts));
        if group.convention == Convention::Refused {
            return;
        }
        if !group.gears.is_empty() {
            self.marks(group, blocks);
        }
        blocks.extend(self.limits(group));
        if group.pins > 1 && !group.phases.is_empty() {
            blocks.push(Block::Table(self.phases(group)));
            blocks.extend(group.phases.iter().filter_map(|phase| self.counter_phase(phase)));
        }
        blocks.push(Block::Table(self.meetings(group)));
        if group.returns.is_empty() {
            blocks.push(Block::Note("no states are described, so nothing can be said in turns of an input".into()));
        } else {
            blocks.push(Block::Table(self.returns(group)));
            blocks.extend(self.turns_by_then(group).map(Block::Table));
        }
    }

    fn convention(&self, group: &GroupMarking) -> String {
        let toward =
            group.gears.iter().find(|marks| marks.use_as == UseAs::Marks).map_or("", |marks| self.toward(marks));
        match group.convention {
            Convention::Refused => "nothing to mark: these planets do not go together; toothmark timing says why, and \
                                    what would go"
                .into(),
            Convention::OnePin => "none needed: one pin has no fellow to agree with".into(),
            Convention::AnyTooth => {
                "none needed: the planets are alike all round, and whichever tooth drops in freely \
                                     is right"
                    .into()
            }
            Convention::Radial => format!("radial: the same tooth of every planet, on every pin {toward}"),
            Convention::Parallel => {
                "parallel: the same tooth of every planet, all marks pointing the same way, as all to \
                                     twelve o'clock; radial marks do NOT serve"
                    .into()
            }
            Convention::Individual => format!(
                "for each pin its own: neither radial nor parallel marks serve. Mark on each planet the tooth listed \
                 below; on its own pin it stands {toward}, or within half a tooth of that"
            ),
        }
    }

    /// Where a marked tooth points that stands on the line of centres.
    fn toward(&self, marks: &GearMarks) -> &'static str {
        match marks.central.map(|gear| self.set.gear(gear).kind()) {
            Some(GearKind::Internal) => "straight outward, to the ring",
            Some(GearKind::BevelCentral(_) | GearKind::BevelPlanet) => "to the same side gear",
            Some(GearKind::External) | None => "straight to the centre",
        }
    }

    /// What "the same tooth" is, which gear to take, and what stays unmarked.
    fn how_to_mark(&self, group: &GroupMarking) -> Vec<Fact> {
        let mut facts = Vec::new();
        for marks in group.gears.iter().filter(|marks| marks.use_as == UseAs::Marks) {
            let gear = words::gear(self.set, marks.gear);
            let spaces = if group.convention == Convention::Parallel { "to set teeth into spaces also" } else { "and" };
            let with = marks.central.map(|central| format!(", {spaces} spaces of {}", words::gear(self.set, central)));
            let checks = group.gears.iter().any(|other| other.planet == marks.planet && other.mesh != marks.mesh);
            let enough = if checks { "; the other marks listed are a check" } else { "" };
            let alike = match marks.alike_teeth {
                1 => String::new(),
                alike => format!("; {alike} of its teeth, evenly round it, are alike, and any of them will do"),
            };
            let subject = format!("on {}", member(self.set, marks.planet));
            facts.push(Fact::new(&subject, format!("teeth of {gear}{}{enough}{alike}", with.unwrap_or_default())));
        }
        if group.gears.is_empty() {
            return facts;
        }
        facts.push(Fact::new(
            "the same tooth",
            "stand the planets on end, all the same way up, turned so that the teeth of all their gears stand alike, and \
             take on each the tooth in the same place",
        ));
        let unmarked: Vec<String> = group
            .planets
            .iter()
            .filter(|&&planet| !group.gears.iter().any(|marks| marks.planet == planet))
            .map(|&planet| member(self.set, planet))
            .collect();
        if !unmarked.is_empty() {
            facts.push(Fact::new("not marked", format!("{}: any tooth will do", list(&unmarked))));
        }
        facts.push(Fact::new("pins", self.pins(group)));
        facts
    }

    fn pins(&self, group: &GroupMarking) -> String {
        let places = self.set.planet_groups().iter().find(|other| other.planets() == group.planets);
        let places = places.map(crate::gearset::PlanetGroup::spacings).unwrap_or_default();
        let place = |(at, place): (usize, &Fraction)| format!("pin {} at {}", at + 1, degrees(place));
        format!(
            "{} degrees from pin 1, counter-clockwise seen from the input side and clockwise seen from the output side",
            short_list(&places.iter().enumerate().skip(1).map(place).collect::<Vec<_>>())
        )
    }

    fn marks(&self, group: &GroupMarking, blocks: &mut Vec<Block>) {
        blocks.push(Block::Paragraph(self.order_of_work(group) + self.facing(group)));
        if group.convention != Convention::Radial {
            blocks.push(Block::Table(self.teeth(group)));
        }
        if group.gears.iter().any(|marks| marks.central.is_some()) {
            blocks.push(Block::Table(self.spaces(group)));
        }
        if group.convention == Convention::Parallel {
            blocks.push(Block::Note(
                "parallel marks stay parallel however far the set is turned. Do not mix the two ways: marks for each pin belong to that pin, parallel marks to any; what is said below of marks that meet is said of marks for each pin"
                    .into(),
            ));
        }
    }

    /// What to do with the tables that follow.
    fn order_of_work(&self, group: &GroupMarking) -> String {
        let first = if self.bevel(group) {
            "Set the planet on pin 1 with its marked tooth straight to its side gear (for a further gear take the tooth that comes nearest to that), and mark the space that it fills; count the other spaces from there."
        } else {
            "Set the planet on pin 1 with its marked tooth on the line of centres (for a further gear or planet take the tooth that comes nearest to it), and mark the space that it fills; count the other spaces from there."
        };
        match group.convention {
            Convention::Parallel => format!(
                "To set by direction this is all, and no central gear needs a mark. To set teeth into spaces instead, mark each planet for its own pin: from the same tooth count on as listed, and mark the tooth at which you arrive. {first} Tooth and space of a pin are off the line to the same side and by the \
             same part of a tooth, so they fit"
            ),
            Convention::Individual => format!(
                "Number the planets and their pins. Find the same tooth on each, count from it as listed, and mark the tooth at which you arrive. {first} Then each marked tooth goes into the marked space of its pin: both \
             are off the line of centres to the same side and by the same part of a tooth"
            ),
            Convention::Refused | Convention::OnePin | Convention::AnyTooth | Convention::Radial => {
                format!("{first} Then each marked tooth goes into a marked space")
            }
        }
    }

    /// That a planet between a sun and a ring, or between two side gears, has teeth marked on both sides.
    fn facing(&self, group: &GroupMarking) -> &'static str {
        let kind = |marks: &GearMarks| marks.central.map(|gear| self.set.gear(gear).kind());
        let both_sides =
            group.gears.windows(2).any(|pair| pair[0].planet == pair[1].planet && kind(&pair[0]) != kind(&pair[1]));
        match (both_sides, self.bevel(group)) {
            (false, _) => "",
            (true, true) => ". Each side gear takes the tooth that faces it",
            (true, false) => ". Each central gear takes the tooth that faces it: in a ring the one that stands outward",
        }
    }

    fn bevel(&self, group: &GroupMarking) -> bool {
        group.gears.iter().any(|marks| self.set.gear(marks.gear).kind().is_bevel())
    }

    fn teeth(&self, group: &GroupMarking) -> Table {
        let views = if self.bevel(group) {
            ["tooth, seen from the outer end of the pin"].as_slice()
        } else {
            ["tooth, from the input side", "tooth, from the output side"].as_slice()
        };
        let headings = ["pin", "gear", "meets"].iter().chain(views).chain(&["off the line"]);
        let row = |marks: &GearMarks, mark: &ToothMark| {
            let counts = [mark.tooth, -mark.tooth].map(counted_on);
            let central = marks.central.map_or_else(|| "-".into(), |central| words::gear(self.set, central));
            let mut row = vec![mark.pin.to_string(), words::gear(self.set, marks.gear), central];
            row.extend_from_slice(&counts[..views.len()]);
            row.push(mixed(&mark.off_line));
            row
        };
        Table {
            caption: "Teeth to mark, counted on each planet from the tooth that is marked on pin 1 (ccw: counter-clockwise), and how far off the line of centres they stand there, in teeth"
                .into(),
            headings: headings.map(ToString::to_string).collect(),
            rows: group
                .gears
                .iter()
                .flat_map(|marks| marks.pins.iter().map(move |mark| (marks, mark)))
                .map(|(marks, mark)| row(marks, mark))
                .collect(),
        }
    }

    fn spaces(&self, group: &GroupMarking) -> Table {
        let row = |marks: &GearMarks| {
            let central = marks.central?;
            let pins: Vec<String> = marks.pins.iter().filter_map(|mark| Some(mark.space?.to_string())).collect();
            let off: Vec<String> = marks.pins.iter().map(|mark| mixed(&mark.off_line)).collect();
            Some(vec![
                words::gear(self.set, central),
                words::gear(self.set, marks.gear),
                pins.join(", "),
                self.unmarked(central, marks).join(", "),
                if marks.worst_off_line().is_zero() { "0 at every pin".into() } else { off.join(", ") },
            ])
        };
        let headings =
            ["central gear", "takes teeth of", "spaces of pins 1, 2, ...", "unmarked between", "off the line"];
        Table {
            caption:
                "Spaces to mark, counted from that of pin 1: counter-clockwise seen from the input side, clockwise seen from the output side; and how far off the line of centres they stand, in pitches"
                    .into(),
            headings: headings.map(String::from).to_vec(),
            rows: group.gears.iter().filter_map(row).collect(),
        }
    }

    /// The unmarked spaces from one marked space to the next.
    fn unmarked(&self, central: GearId, marks: &GearMarks) -> Vec<String> {
        let teeth = i64::from(self.set.gear(central).tooth_count().get());
        let spaces = marks.spaces();
        let next = spaces.iter().skip(1).copied().chain([teeth]);
        spaces.iter().zip(next).map(|(space, next)| (next - space - 1).to_string()).collect()
    }

    /// What the marks do not tell.
    fn limits(&self, group: &GroupMarking) -> Vec<Block> {
        let mut limits = Vec::new();
        for gears in &group.solid {
            let names: Vec<String> = gears.iter().map(|&gear| words::gear(self.set, gear)).collect();
            limits.push(Block::Note(format!(
                "{} are solid with one another and cannot be turned apart while fitting: seek first the tooth at which \
                 the planet on pin 1 goes in, and count and set everything from there",
                list(&names)
            )));
        }
        if group.loops.iter().any(|closed| closed.closes == Closure::DependsOnIndex) {
            limits.push(Block::Note(
                "other planets share central gears with these; whether the first planets of both kinds go in side by side \
                 depends on how the gears of one body stand against each other, which the description does not give. \
                 Try it with one planet of each kind before anything is marked"
                    .into(),
            ));
        }
        limits
    }

    fn central_gear_marked_twice(&self) -> bool {
        let marked = self.groups.iter().flat_map(|group| &group.gears).filter_map(|marks| marks.central);
        let mut seen = Vec::new();
        marked.into_iter().any(|gear| {
            let again = seen.contains(&gear);
            seen.push(gear);
            again
        })
    }

    fn cautions(&self) -> Vec<&'static str> {
        let mut cautions = Vec::new();
        let goes = |group: &&GroupMarking| group.convention != Convention::Refused;
        if self.groups.iter().filter(goes).any(|group| group.pins > 1) {
            cautions.push(
                "in step the planets share the load best and are loudest, in sequence or in counter-phase they are \
                 quieter: common practice, not worked out here",
            );
        }
        if self.groups.iter().filter(goes).any(|group| group.returns.iter().any(|state| state.rolling.rolls())) {
            cautions.push(
                "a tight spot felt while turning by hand that comes back after the turns told for a mesh is most likely two teeth of that mesh: look at these",
            );
        }
        if self.central_gear_marked_twice() {
            cautions.push(
                "a central gear that takes teeth of more than one planet of a pin, or of planets of more than one kind, \
                 has marks for each: take another colour for each",
            );
        }
        if self.groups.iter().any(|group| !group.gears.is_empty()) {
            cautions.extend([
                "before you make new marks cross out those that are there: they may be somebody's mistake",
                "mark with paint first, put the set together, turn it by hand through the marks; only then make the \
                 marks last, on the end face of a tooth, never on its flank or in the root",
                "do not force a planet that nearly drops in, whatever its marks say",
            ]);
        }
        cautions
    }
}

fn counted_on(teeth: i64) -> String {
    match teeth {
        0 => "the same".into(),
        ccw @ 1.. => format!("{ccw} ccw"),
        clockwise => format!("{} clockwise", -clockwise),
    }
}

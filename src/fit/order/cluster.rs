//! The sheet of a cluster: how its gears stand to one another, how nearly alike it is made, which teeth are marked.
//!
//! The index is that of the timing: on every pin the turn of the planet in teeth of each gear, taken from that of the
//! first, is how the tooth that belongs to the mark stands. It is 0 where alike clusters assemble, unless a measured
//! cluster says otherwise; where they do not, clusters of several classes may, each with an index of its own. Two clusters whose index differs by the angle i set the flanks of a gear of pitch radius r
//! apart by i r: no mesh loses more than half of its backlash j while `i <= j / (2 r)` for every gear. Worked out here.

use super::answer::{IndexAlike, IndexSource, OrderedCluster, OrderedIndex, StruckMark};
use super::question::{CannotOrder, OrderQuestion};
use super::teeth::OrderedTeeth;
use crate::exact::{Fraction, fraction, multiple, to_float};
use crate::gearset::{GearId, Gearset, Measured, MeasuredCluster, MemberId, Offset, Uncertainty};
use crate::timing::{
    Closure, GroupMarking, GroupTiming, IndexClass, IndexedGear, IndexedPlanet, MarkPurpose, MarkingConvention,
    marking, timing,
};
use crate::tooth::index_lengths;

/// The clusters that have any of these gears.
pub(super) fn ordered_clusters(
    teeth: &OrderedTeeth<'_>,
    question: &OrderQuestion,
    cut: &[GearId],
) -> Result<Vec<OrderedCluster>, CannotOrder> {
    let set = teeth.set;
    check_likeness(set, question)?;
    let (timing, marking) = (timing(set), marking(set));
    let mut clusters = Vec::new();
    for (group, marks) in timing.groups.iter().zip(&marking.groups) {
        for &planet in &group.planets {
            let gears = gears_in_mesh(teeth, planet);
            if gears.len() > 1 && gears.iter().any(|gear| cut.contains(gear)) {
                let cluster = ClusterToOrder { teeth, group, marks, planet, gears: &gears };
                clusters.extend(cluster.ordered(question.like.as_deref()));
            }
        }
    }
    Ok(clusters)
}

/// Whether the cluster that new ones are to be like was measured.
fn check_likeness(set: &Gearset, question: &OrderQuestion) -> Result<(), CannotOrder> {
    let Some(name) = &question.like else { return Ok(()) };
    let known: Vec<String> =
        set.measured().iter().flat_map(|measured| &measured.clusters).map(|cluster| cluster.name.clone()).collect();
    if known.contains(name) { Ok(()) } else { Err(CannotOrder::UnknownCluster { name: name.clone(), known }) }
}

fn gears_in_mesh(teeth: &OrderedTeeth<'_>, planet: MemberId) -> Vec<GearId> {
    let own = teeth.set.member(planet).gears().iter().copied();
    own.filter(|&gear| teeth.is_in_mesh(gear)).collect()
}

struct ClusterToOrder<'a> {
    teeth: &'a OrderedTeeth<'a>,
    group: &'a GroupTiming,
    marks: &'a GroupMarking,
    planet: MemberId,
    gears: &'a [GearId],
}

impl ClusterToOrder<'_> {
    /// One for all pins, or one for each class.
    fn ordered(&self, like: Option<&str>) -> Vec<OrderedCluster> {
        let classes = self.group.remedies.iter().flat_map(|remedies| &remedies.index_classes);
        let classes = classes.filter(|_| !self.needs_index());
        let of_class = |class: &IndexClass| Some(self.of_class(class, self.indexed(class)?, like));
        let by_class: Vec<OrderedCluster> = classes.filter_map(of_class).collect();
        if by_class.is_empty() { vec![self.alike_on_all_pins(like)] } else { by_class }
    }

    /// This planet in a class, where all gears that it has in mesh are ordered.
    fn indexed<'c>(&self, class: &'c IndexClass) -> Option<&'c IndexedPlanet> {
        let own = class.planets.iter().find(|planet| planet.planet == self.planet)?;
        own.gears.iter().all(|indexed| self.gears.contains(&indexed.gear)).then_some(own)
    }

    /// The class of the measured cluster that new ones are to be like, by the pin that it stood on; those to spare stood on
    /// none and are taken as class A.
    fn class_of_model(&self, like: Option<&str>) -> Option<&IndexedPlanet> {
        let (measured, model) = self.measured(like)?;
        let pin = 1 + measured.clusters.iter().position(|cluster| cluster.name == model.name)?;
        let classes = &self.group.remedies.as_ref()?.index_classes;
        let class = classes.iter().find(|class| class.pins.contains(&pin)).or_else(|| classes.first());
        self.indexed(class?)
    }

    fn alike_on_all_pins(&self, like: Option<&str>) -> OrderedCluster {
        let turns: Vec<(GearId, Fraction)> =
            self.gears.iter().map(|&gear| (gear, self.turns_by_timing(gear))).collect();
        let cluster = self.sheet(&turns, like);
        let index_source = self.source(cluster.like.as_deref());
        // An index that nobody knows is not told.
        let is_known = matches!(index_source, IndexSource::Free | IndexSource::Measured);
        OrderedCluster {
            index: if is_known { cluster.index } else { Vec::new() },
            index_source,
            convention: self.group.convention,
            marks: self.struck_marks(),
            ..cluster
        }
    }

    fn of_class(&self, class: &IndexClass, indexed: &IndexedPlanet, like: Option<&str>) -> OrderedCluster {
        let model = self.class_of_model(like);
        let of_model = |gear: GearId| model.and_then(|model| model.gears.iter().find(|own| own.gear == gear));
        let from_model = |own: &IndexedGear| match of_model(own.gear) {
            Some(model) => &own.turns - &model.turns,
            None => own.turns.clone(),
        };
        let turns: Vec<(GearId, Fraction)> =
            indexed.gears.iter().map(|indexed| (indexed.gear, from_model(indexed))).collect();
        let cluster = self.sheet(&turns, like);
        let marks =
            StruckMark { gear: indexed.gears[0].gear, teeth: indexed.marks.iter().map(|mark| mark.tooth).collect() };
        OrderedCluster {
            pieces: class.pins.len(),
            index_source: IndexSource::Class,
            convention: MarkingConvention::Individual,
            marks: vec![marks],
            class: Some(class.class.clone()),
            for_pins: class.pins.clone(),
            ..cluster
        }
    }

    /// The sheet of a cluster whose gears stand so from the first of them, and besides as on the measured cluster.
    fn sheet(&self, turns: &[(GearId, Fraction)], like: Option<&str>) -> OrderedCluster {
        let measured = self.measured(like);
        let model = measured.map(|(_, cluster)| cluster);
        let alike = self.alike();
        let read = |gear: GearId| match model {
            Some(cluster) => read_turns(cluster, gear, self.teeth.set.gear(gear).tooth_count().get()),
            None => fraction(0, 1),
        };
        let of_first = turns.first().map_or_else(|| fraction(0, 1), |&(first, _)| read(first));
        let index = |(gear, turns): &(GearId, Fraction)| self.index(*gear, turns + read(*gear) - &of_first, alike);
        OrderedCluster {
            planet: self.planet,
            index: turns.iter().map(index).collect(),
            pieces: self.group.pin_count,
            index_source: IndexSource::Refused,
            like: model.map(|cluster| cluster.name.clone()),
            good_to: measured.and_then(|(measured, _)| measured.uncertainty.as_ref()).map(told),
            alike,
            convention: MarkingConvention::Refused,
            marks: Vec::new(),
            class: None,
            for_pins: (1..=self.group.pin_count).collect(),
        }
    }

    fn source(&self, like: Option<&str>) -> IndexSource {
        if !self.group.assembles {
            IndexSource::Refused
        } else if like.is_some() {
            IndexSource::Measured
        } else if self.needs_index() {
            IndexSource::Needed
        } else {
            IndexSource::Free
        }
    }

    fn needs_index(&self) -> bool {
        self.group.loops.iter().any(|closed| closed.closes == Closure::DependsOnIndex)
    }

    /// The measured cluster that new ones are to be like: that of this name, or else the first.
    fn measured(&self, like: Option<&str>) -> Option<(&Measured, &MeasuredCluster)> {
        let measured = self.teeth.set.measured().iter().find(|measured| measured.planet == self.planet)?;
        let of_name = |cluster: &&MeasuredCluster| like.is_none_or(|name| cluster.name == name);
        Some((measured, measured.clusters.iter().find(of_name)?))
    }

    fn index(&self, gear: GearId, turns: Fraction, alike: Option<IndexAlike>) -> OrderedIndex {
        let teeth = multiple(&turns, self.teeth.set.gear(gear).tooth_count().get().into());
        let form = self.teeth.unthinned(gear);
        let lengths = index_lengths(&form, to_float(&teeth));
        OrderedIndex {
            gear,
            arc_mm: lengths.map_or(0.0, |lengths| lengths.arc),
            chord_mm: lengths.map_or(0.0, |lengths| lengths.chord),
            degrees: multiple(&turns, 360),
            teeth,
            turns,
            alike_within_mm: alike.map(|alike| alike.degrees.to_radians() * form.pitch_radius()),
        }
    }

    /// How far the tooth that belongs to the mark stands from that of the first gear: the turn of the planet on pin 1 as
    /// each of them counts it. A gear that the timing does not count stands in line.
    fn turns_by_timing(&self, gear: GearId) -> Fraction {
        let turn = |gear: GearId| {
            let counted = self.group.pins.first()?.gears.iter().find(|turned| turned.gear == gear)?;
            Some(&counted.teeth / fraction(self.teeth.set.gear(gear).tooth_count().get().into(), 1))
        };
        let from_first = || Some(turn(gear)? - turn(self.gears[0])?);
        from_first().unwrap_or_else(|| fraction(0, 1))
    }

    /// The least of j / (2 r) over the gears.
    fn alike(&self) -> Option<IndexAlike> {
        let half_backlash = |&gear: &GearId| {
            let arc_mm = self.teeth.least_backlash(gear)? / 2.0;
            let degrees = (arc_mm / self.teeth.unthinned(gear).pitch_radius()).to_degrees();
            Some(IndexAlike { gear, degrees, arc_mm })
        };
        let of_each = self.gears.iter().map(half_backlash).collect::<Option<Vec<IndexAlike>>>()?;
        of_each.into_iter().min_by(|a, b| a.degrees.total_cmp(&b.degrees))
    }

    /// The teeth to mark on this planet, as the marking has them.
    fn struck_marks(&self) -> Vec<StruckMark> {
        let own = self.marks.marks.iter();
        let own = own.filter(|marks| marks.planet == self.planet && marks.purpose == MarkPurpose::Marks);
        let counts_pins = self.group.convention == MarkingConvention::Individual;
        own.map(|marks| StruckMark {
            gear: marks.gear,
            teeth: marks.pins.iter().map(|mark| if counts_pins { mark.tooth } else { 0 }).collect(),
        })
        .collect()
    }
}

/// The reading of a gear in turns. Teeth and degrees are kept as they were read; an arc is rounded to a millionth of a
/// tooth, which nobody reads.
fn read_turns(cluster: &MeasuredCluster, gear: GearId, count: u16) -> Fraction {
    let per_tooth = fraction(1, count.into());
    let readings: Vec<&Offset> = cluster.of(gear).collect();
    match readings.as_slice() {
        [Offset::Teeth(teeth)] => &**teeth * per_tooth,
        [Offset::Degrees(degrees)] => &**degrees * fraction(1, 360),
        _ => {
            let millionths = (cluster.index(gear, count) * 1e6).round();
            Fraction::from_float(millionths).map_or_else(|| fraction(0, 1), |read| read * fraction(1, 1_000_000))
                * per_tooth
        }
    }
}

/// What a reading is good to, in its own words.
fn told(uncertainty: &Uncertainty) -> String {
    let value = to_float(uncertainty.value());
    match uncertainty {
        Uncertainty::Teeth(_) => format!("{value} tooth"),
        Uncertainty::Degrees(_) => format!("{value} deg"),
        Uncertainty::Arc(length) => format!("{:.3} mm", length.millimetres()),
    }
}

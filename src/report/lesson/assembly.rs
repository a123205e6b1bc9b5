//! Why the planets of a lesson go together, tooth by tooth for the second pin, or why not.
//!
//! A planet on the second pin fits where the teeth it was turned by, less those of a central gear between the two
//! pins, make a whole number; a ring counts negative, since its teeth go round with those of the planet.

use super::{Explained, lines_table};
use crate::exact::Fraction;
use crate::lesson::{AssemblySum, LessonAssembly};
use crate::report::render::document::Block;
use crate::report::words::arithmetic::Signs;
use crate::report::words::{list, member, mesh};
use num_traits::{Signed, Zero};

impl Explained<'_> {
    pub(super) fn reasons(&self, signs: &Signs, blocks: &mut Vec<Block>) {
        for found in &self.lesson.assembly {
            let names: Vec<String> = found.planets.iter().map(|&id| member(self.set, id)).collect();
            let verdict = if found.goes_together { "assemble" } else { "do not assemble" };
            blocks.push(Block::Heading(format!("Why {} pins of {} {verdict}", found.pins, list(&names))));
            blocks.push(Block::Paragraph(because(found, &names)));
            let row = |sum: &AssemblySum| {
                let meshes: Vec<String> = sum.meshes.iter().map(|&id| mesh(self.set, id)).collect();
                [signs.line(&sum.chain), list(&meshes)]
            };
            if !found.sums.is_empty() {
                blocks.push(lines_table("", found.sums.iter().map(row).collect()));
            }
            if found.goes_in && !found.goes_together {
                blocks.push(Block::Paragraph(
                    "So each pin goes in by itself, yet meshes of planets of two kinds make a loop that does not \
                     close: toothmark timing says which, and by how much."
                        .into(),
                ));
            }
        }
    }
}

/// What the numbers below it mean.
fn because(found: &LessonAssembly, names: &[String]) -> String {
    let place = format!(
        "Seen from the input side, pin {} stands {} of a turn counter-clockwise from pin 1",
        found.pin, found.place
    );
    if found.goes_in {
        let (planets, marks, others) = match names {
            [_] => ("planet", vec!["its mark".to_owned()], ""),
            _ => (
                "planets",
                names.iter().map(|name| format!("the mark of {name}")).collect(),
                " Where two planets mesh, the teeth by which both were turned, together, make a whole number.",
            ),
        };
        let turns: Vec<String> = found.turns.iter().zip(marks).map(|(turn, mark)| mark + &turned(turn)).collect();
        format!(
            "{place}: that much of the teeth of each central gear lies between the two. Put the {planets} in with {}. \
             Then the teeth by which a planet was turned, less those of the central gear between the pins (a ring \
             counted negative), make a whole number, and the gears meet as on pin 1.{others}",
            list(&turns)
        )
    } else if found.sums.is_empty() {
        format!("{place}. No turns of the planets bring all of their meshes to whole numbers of teeth there.")
    } else {
        format!(
            "{place}. However the planet is turned, two of its meshes both close there only if this number, the place \
             times the counts multiplied crosswise, over the common factor of the two gears of the planet, is whole. \
             It is not:"
        )
    }
}

/// How the mark of a planet stands on a pin, that on pin 1 pointing to the centre.
fn turned(turn: &Fraction) -> String {
    if turn.is_zero() {
        return " pointing to the centre as on pin 1".into();
    }
    let sense = if turn.is_negative() { "clockwise" } else { "counter-clockwise" };
    format!(" {} of a turn {sense} of the line to the centre, where it points on pin 1", turn.abs())
}

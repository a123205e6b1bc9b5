//! The levers of a lesson: where members stand on them, why, and that the speeds lie on one line.

use super::{Explained, lines_table};
use crate::kinematics::LeverNode;
use crate::lesson::LessonLever;
use crate::report::render::document::Block;
use crate::report::words::arithmetic::Signs;
use crate::report::words::{list, member};

/// Where the places come from.
const PLACES: &str = "Seen from its arm, each member stands as far off as it turns with the arm fixed, to one side or \
                      the other by its sense (the first row of the table below), in the smallest whole numbers. Drawn \
                      against these places, the speeds lie on one straight line in every state.";

/// Where nothing rolls there are no distances.
const STIFF: &str = "There is no lever to draw: nothing can turn against the arm, so that all turn as one block.";

impl Explained<'_> {
    pub(super) fn levers(&self, signs: &Signs, blocks: &mut Vec<Block>) {
        let levers = &self.lesson.levers;
        let moving: Vec<&LessonLever> = levers.iter().filter(|lever| !lever.is_stiff).collect();
        blocks.extend(moving.iter().map(|lever| Block::Paragraph(self.places(lever))));
        blocks.push(Block::Paragraph(if moving.is_empty() { STIFF } else { PLACES }.into()));
        let slopes = levers.iter().filter_map(|lever| lever.slope.as_ref());
        let lines: Vec<[String; 2]> =
            slopes.map(|slope| [signs.line(slope), "the speeds lie on one straight line".into()]).collect();
        if !lines.is_empty() {
            blocks.push(lines_table("Differences of speed over distances, from the first on the lever", lines));
        }
        if !moving.is_empty() {
            blocks.extend(self.pictures.iter().cloned().map(Block::Picture));
        }
    }

    fn places(&self, lever: &LessonLever) -> String {
        let place = |node: &LeverNode| {
            let names: Vec<String> = [node.member].iter().chain(&node.joined).map(|&id| member(self.set, id)).collect();
            format!("{} at {}", list(&names), node.position)
        };
        let nodes: Vec<String> = lever.nodes.iter().map(place).collect();
        let numbers: Vec<String> = lever.sets.iter().map(|index| (index + 1).to_string()).collect();
        match &numbers[..] {
            [only] => format!("Set {only}: {}.", list(&nodes)),
            _ => {
                format!("Sets {}, which are one lever since they share two members: {}.", list(&numbers), list(&nodes))
            }
        }
    }
}

//! The levers of a lesson: where members stand on them, why, and that the speeds lie on one line.
//!
//! Levers that share two members are told as one. That the line is straight is shown by its slope, taken from the
//! first member to every other.

use super::{Explained, lines_table};
use crate::exact::Fraction;
use crate::gearset::MemberId;
use crate::kinematics::{LeverNode, MergedLever, merged_levers};
use crate::lesson::{Expression, Symbol};
use crate::report::render::document::Block;
use crate::report::words::arithmetic::Signs;
use crate::report::words::{list, member};
use num_traits::{One, Zero};

/// Where the places come from.
const PLACES: &str = "Seen from its arm, each member stands as far off as it turns with the arm fixed, to one side or \
                      the other by its sense (the first row of the table below), in the smallest whole numbers. Drawn \
                      against these places, the speeds lie on one straight line in every state.";

/// Where nothing rolls there are no distances.
const STIFF: &str = "There is no lever to draw: nothing can turn against the arm, so that all turn as one block.";

impl Explained<'_> {
    pub(super) fn levers(&self, signs: &Signs, blocks: &mut Vec<Block>) {
        let merged = merged_levers(self.set);
        let is_stiff =
            |lever: &&MergedLever| lever.merged.iter().any(|&index| self.lesson.tables[index].lever.is_stiff);
        let moving: Vec<&MergedLever> = merged.iter().filter(|lever| !is_stiff(lever)).collect();
        blocks.extend(moving.iter().map(|lever| Block::Paragraph(self.places(lever))));
        blocks.push(Block::Paragraph(if moving.is_empty() { STIFF } else { PLACES }.into()));
        let lines: Vec<[String; 2]> = merged.iter().filter_map(|lever| self.slope(signs, &lever.nodes)).collect();
        if !lines.is_empty() {
            blocks.push(lines_table("Differences of speed over distances, from the first on the lever", lines));
        }
        if !moving.is_empty() {
            blocks.extend(self.pictures.iter().cloned().map(Block::Picture));
        }
    }

    fn places(&self, lever: &MergedLever) -> String {
        let place = |node: &LeverNode| {
            let names: Vec<String> = [node.member].iter().chain(&node.joined).map(|&id| member(self.set, id)).collect();
            format!("{} at {}", list(&names), node.position)
        };
        let nodes: Vec<String> = lever.nodes.iter().map(place).collect();
        let numbers: Vec<String> = lever.merged.iter().map(|index| (index + 1).to_string()).collect();
        match &numbers[..] {
            [only] => format!("Set {only}: {}.", list(&nodes)),
            _ => {
                format!("Sets {}, which are one lever since they share two members: {}.", list(&numbers), list(&nodes))
            }
        }
    }

    /// That the speeds of a lever lie on one line, where the state gives all of them and one does not stand where
    /// the first does.
    fn slope(&self, signs: &Signs, nodes: &[LeverNode]) -> Option<[String; 2]> {
        let speed = |id: MemberId| self.lesson.motion.speed(id);
        let sign = |id: MemberId| match id {
            MemberId::CASE => Expression::Number(Fraction::zero()),
            _ => Expression::Symbol(Symbol::Speed(id)),
        };
        let negative = |of: Expression| Expression::Product(vec![Expression::Number(-Fraction::one()), of]);
        let first = nodes.first()?;
        let mut chain = Vec::new();
        let mut slope = None;
        for node in nodes.iter().filter(|node| node.position != first.position) {
            let rise = (speed(node.member)? - speed(first.member)?) * &self.lesson.input_speed;
            slope = Some(rise / (&node.position - &first.position));
            let rise = Expression::Sum(vec![sign(node.member), negative(sign(first.member))]);
            chain.push(rise.over(Expression::Number(&node.position - &first.position)));
        }
        chain.push(Expression::Number(slope?));
        Some([signs.line(&chain), "the speeds lie on one straight line".into()])
    }
}

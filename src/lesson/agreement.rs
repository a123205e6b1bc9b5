//! Do all ways of working a state out come to the same speeds?
//!
//! Every speed that a method told is compared with that of [`crate::kinematics`], which solves all meshes at once and
//! knows neither tables nor formulas. The lever tells no speeds: it agrees where those of every set lie on one line.

use num_traits::Zero;

use super::short::total_of_input;
use super::{Arithmetic, ArmTable, BoardStep, Column, ColumnKind, Lesson, Symbol, Worked};
use crate::exact::{Fraction, fraction};
use crate::gearset::{Gearset, bodies_in_state};

/// A way of working out a state.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WayOfWorking {
    /// The table of turns.
    Table,
    /// The table from the held gear.
    ShortTable,
    /// The formula of relative speeds.
    Formula,
    /// The lever.
    Lever,
}

impl Lesson {
    /// The ways that come to the speeds of the motion, member by member; none where nothing was worked out.
    ///
    /// # Examples
    /// ```
    /// use toothmark::{description, lesson::{LessonOptions, lesson}};
    /// let set = description::read(description::example("millrace-winch").unwrap()).unwrap();
    /// let lesson = lesson(&set, "ring held", &LessonOptions::default()).unwrap();
    /// assert_eq!(lesson.ways_that_agree(&set).len(), 4);
    /// ```
    pub fn ways_that_agree(&self, set: &Gearset) -> Vec<WayOfWorking> {
        let agrees = |worked: &Option<Worked>| worked.as_ref().is_some_and(|worked| self.tells_the_speeds(worked));
        let is_short = self.short.as_ref().is_some_and(|short| self.is_in_proportion(set, &short.table));
        let is_drawn = self.by_table.is_some() && self.tables.iter().any(|table| !table.lever.is_stiff);
        let is_lever = is_drawn && self.tables.iter().all(|table| self.is_on_one_line(table));
        let all = [
            (WayOfWorking::Table, agrees(&self.by_table)),
            (WayOfWorking::ShortTable, is_short),
            (WayOfWorking::Formula, agrees(&self.by_formula)),
            (WayOfWorking::Lever, is_lever),
        ];
        all.into_iter().filter(|(_, agrees)| *agrees).map(|(way, _)| way).collect()
    }

    /// The speed of a member, or of a bevel planet against its carrier; `None` where it is open.
    fn speed(&self, symbol: Symbol) -> Option<Fraction> {
        let speed = match symbol {
            Symbol::Speed(member) => self.motion.speed(member)?,
            Symbol::Relative(member) => self.motion.member(member)?.relative_to_carrier.as_ref()?.value()?.clone(),
            Symbol::Together(_) | Symbol::First(_) => return None,
        };
        Some(speed * &self.input_speed)
    }

    fn tells_the_speeds(&self, worked: &Worked) -> bool {
        worked.lines.iter().filter(|line| matches!(line.step, BoardStep::Total(_))).all(|line| {
            let told = match line.chain.last() {
                Some(Arithmetic::Number(value)) => Some(value.clone()),
                _ => None,
            };
            matches!(line.chain[0], Arithmetic::Symbol(symbol) if self.speed(symbol) == told)
        })
    }

    /// Whether the totals of the table from the held gear are to that of the input as the speeds are.
    fn is_in_proportion(&self, set: &Gearset, table: &ArmTable) -> bool {
        let bodies = bodies_in_state(set, &self.state);
        let Some(input) = total_of_input(&table.columns, &bodies, &self.state) else { return false };
        !input.is_zero()
            && table.columns.iter().all(|column| {
                let speed = column.turned_back() / &input * &self.input_speed;
                self.speed(column.sign()).is_some_and(|known| known == speed)
            })
    }

    /// Whether the speeds over the places of a lever lie on one line, as far as they are determined.
    fn is_on_one_line(&self, table: &ArmTable) -> bool {
        let nodes = table.lever.nodes.iter();
        let known: Option<Vec<_>> =
            nodes.map(|node| Some((&node.position, self.speed(Symbol::Speed(node.member))?))).collect();
        let Some(known) = known.filter(|_| !table.lever.is_stiff) else { return true };
        let [first, .., last] = &known[..] else { return true };
        let run = last.0 - first.0;
        known.iter().all(|(place, speed)| (speed - &first.1) * &run == (&last.1 - &first.1) * (*place - first.0))
    }
}

impl Column {
    /// The sign for its speed, of a bevel planet for that against its carrier.
    pub fn sign(&self) -> Symbol {
        match self.kind {
            ColumnKind::Tumbling => Symbol::Relative(self.member),
            ColumnKind::Arm | ColumnKind::Central | ColumnKind::Planet => Symbol::Speed(self.member),
        }
    }

    /// Its turns where all was turned once with the arm and the first gear turned back once with the arm fixed; of
    /// a bevel planet those against the arm.
    pub fn turned_back(&self) -> Fraction {
        let with_arm = fraction(i64::from(self.kind != ColumnKind::Tumbling), 1);
        with_arm - &self.train_value
    }
}

//! A state worked out on the board, for a class: by the table, by the formula, and both checked.
//!
//! What is given and asked comes first, then how many speeds must be given, the lever, the two
//! methods, the torques and the assembly. Every line of arithmetic stands in a column of its own
//! beside its reason, exact, and true as it stands.

use super::arithmetic::Signs;
use super::document::{Block, Document, Fact, Picture, Table};
use super::words::{gear, list, member, mesh, with_decimal};
use crate::exact::Fraction;
use crate::gearset::{Gearset, MemberId};
use crate::kinematics::{LeverNode, Speed, merged_levers};
use crate::lesson::{
    ArmTable, Assembly, Column, ColumnKind, Expression, Lesson, Line, MeshSense, Reason, Step, Symbol, Worked,
};
use crate::statics::StateLoads;
use num_traits::{One, Signed, Zero};

/// A lesson and what goes with it.
#[derive(Debug, Clone)]
pub struct Explained<'a> {
    /// The gearset.
    pub set: &'a Gearset,
    /// The worked solution.
    pub lesson: &'a Lesson,
    /// The torques of the same state, for the torque 1 on its input.
    pub loads: &'a StateLoads,
    /// Why the planets go together, group by group.
    pub assembly: &'a [Assembly],
    /// The drawn levers.
    pub pictures: &'a [Picture],
    /// Whether nobody chose the state.
    pub chosen: StateChoice,
}

/// Who chose the state that is explained.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StateChoice {
    /// It was named.
    Named,
    /// It is the first that drives.
    FirstThatDrives,
}

/// The heading of the column that holds arithmetic.
const LINE: &str = "line";

impl Explained<'_> {
    /// The lesson for a class.
    pub fn document(&self) -> Document {
        let signs = Signs::new(self.set, self.lesson.tables.len());
        let mut blocks = vec![Block::Facts(self.question(&signs))];
        if self.chosen == StateChoice::FirstThatDrives {
            blocks.push(Block::Note("this is the first state that drives; --state NAME explains another".into()));
        }
        blocks.push(Block::Heading("How many speeds must be given".into()));
        blocks.extend(self.freedom(&signs));
        blocks.push(Block::Heading("The lever".into()));
        self.levers(&signs, &mut blocks);
        self.by_table(&signs, &mut blocks);
        self.short_form(&signs, &mut blocks);
        self.by_formula(&signs, &mut blocks);
        if self.lesson.by_table.is_some() {
            blocks.push(Block::Heading("Answer".into()));
            blocks.push(Block::Facts(self.answer(&signs)));
        }
        self.torques(&signs, &mut blocks);
        self.reasons(&signs, &mut blocks);
        blocks.push(Block::Note(
            "these are motions and torques without losses: they do not say that a gear is strong enough, or that a \
             brake holds"
                .into(),
        ));
        Document { title: format!("{}: {}", self.set.title(), self.lesson.state.name), blocks }
    }

    /// What stands for an unknown in the lines of arithmetic.
    pub fn sign(&self, symbol: Symbol) -> String {
        Signs::new(self.set, self.lesson.tables.len()).symbol(symbol)
    }

    fn levers(&self, signs: &Signs, blocks: &mut Vec<Block>) {
        let merged = merged_levers(self.set);
        for lever in &merged {
            if lever.of.iter().any(|&index| self.lesson.tables[index].lever.is_stiff) {
                continue;
            }
            let place = |node: &LeverNode| {
                let names: Vec<String> =
                    [node.member].iter().chain(&node.joined).map(|&id| member(self.set, id)).collect();
                format!("{} at {}", list(&names), node.position)
            };
            let nodes: Vec<String> = lever.nodes.iter().map(place).collect();
            blocks.push(Block::Paragraph(format!(
                "Set {}: {}. Drawn against these places, the speeds lie on one straight line.",
                list(&lever.of.iter().map(|index| (index + 1).to_string()).collect::<Vec<_>>()),
                list(&nodes)
            )));
        }
        let lines: Vec<[String; 2]> = merged.iter().filter_map(|lever| self.slope(signs, &lever.nodes)).collect();
        if !lines.is_empty() {
            blocks.push(lines_table("Differences of speed over distances, from the first on the lever", lines));
        }
        blocks.extend(self.pictures.iter().cloned().map(Block::Picture));
    }

    /// That the speeds of a lever lie on one line, where the state gives all of them and one does not stand where
    /// the first does.
    fn slope(&self, signs: &Signs, nodes: &[LeverNode]) -> Option<[String; 2]> {
        let speed = |id: MemberId| match id {
            MemberId::CASE => Some(Fraction::zero()),
            _ => self.lesson.motion.members.iter().find(|found| found.member == id)?.speed.value().cloned(),
        };
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

    fn by_table(&self, signs: &Signs, blocks: &mut Vec<Block>) {
        blocks.push(Block::Heading("By the table".into()));
        for (index, table) in self.lesson.tables.iter().enumerate() {
            blocks.push(Block::Table(self.turns(signs, index, table)));
            if table.lever.is_stiff {
                blocks.push(Block::Note(format!(
                    "the meshes of set {} contradict one another unless nothing turns against the arm",
                    index + 1
                )));
            }
        }
        if let Some(worked) = &self.lesson.by_table {
            blocks.push(self.conditions(signs, worked, "What is given, put into the totals"));
            blocks.push(self.steps(signs, worked));
        }
    }

    fn turns(&self, signs: &Signs, index: usize, table: &ArmTable) -> Table {
        let [y, x] = [Symbol::Together(index), Symbol::First(index)].map(Expression::Symbol);
        let first = self.column_name(table, &table.columns[1]);
        let mut rows = Vec::new();
        let mut row = |name: String, cell: &dyn Fn(&Column) -> String| {
            rows.push([name].into_iter().chain(table.columns.iter().map(cell)).collect::<Vec<_>>());
        };
        if !table.lever.is_stiff {
            row(format!("arm fixed, {first} turned once"), &|column| {
                let value = Expression::Number(column.train_value.clone());
                let product = column.product(self.set);
                if column.path.is_empty() { signs.expression(&value) } else { signs.line(&[product, value]) }
            });
            let x_name = signs.expression(&x);
            row(format!("arm fixed, {first} turned {x_name}"), &|column| signs.expression(&column.against(index)));
        }
        row(format!("all turned {} with the arm", signs.expression(&y)), &|column| {
            if column.kind == ColumnKind::Tumbling { "-".into() } else { signs.expression(&y) }
        });
        row("total".into(), &|column| signs.expression(&column.total(index)));
        let headings = table.columns.iter().map(|column| self.column_name(table, column));
        let caption = match table.lever.carrier {
            MemberId::CASE => format!("Set {}: shafts on fixed axes, the case as arm", index + 1),
            arm => format!("Set {}: arm {}", index + 1, member(self.set, arm)),
        };
        Table { caption, headings: ["motion".to_owned()].into_iter().chain(headings).collect(), rows }
    }

    /// A member with its gears, or as the arm.
    pub(super) fn column_name(&self, table: &ArmTable, column: &Column) -> String {
        let name = self.set.member(column.member).name();
        let gears: Vec<String> = table.gears(self.set, column).iter().map(|&id| gear(self.set, id)).collect();
        match column.kind {
            ColumnKind::Arm => format!("arm: {name}"),
            ColumnKind::Central | ColumnKind::Planet => format!("{name} ({})", gears.join(", ")),
            ColumnKind::Tumbling => format!("{name} ({}), against the arm", gears.join(", ")),
        }
    }

    fn conditions(&self, signs: &Signs, worked: &Worked, caption: &str) -> Block {
        let row = |(at, condition): (usize, &crate::lesson::Condition)| {
            let line = signs.line(&[condition.left.clone(), condition.right.clone()]);
            [line, format!("({}) {}", at + 1, self.reason(condition.why))]
        };
        lines_table(caption, worked.conditions.iter().enumerate().map(row).collect())
    }

    fn reason(&self, reason: Reason) -> String {
        let name = |id| member(self.set, id);
        match reason {
            Reason::ArmIsCase => "the arm is the case and stands".into(),
            Reason::Stands(still) => format!("{} stands still", name(still)),
            Reason::Given(given) => format!("{} has the speed given", name(given)),
            Reason::Together(one, same) if one == same => format!("{} is one member in both sets", name(one)),
            Reason::Together(one, other) => format!("{} and {} turn as one", name(one), name(other)),
            Reason::Stiff(arm) => format!("nothing turns against {}", name(arm)),
            Reason::Formula(first, last) => format!("from {} to {}", name(first), name(last)),
        }
    }

    fn steps(&self, signs: &Signs, worked: &Worked) -> Block {
        let shown = worked.lines.iter().filter(|line| line.chain.len() > 1);
        let row = |line: &Line| {
            let step = match line.step {
                Step::Insert(condition) => format!("({condition})"),
                Step::Collect => "unknowns to one side".into(),
                Step::Solve => "so".into(),
                Step::Update => "with what was found".into(),
                Step::NothingNew(condition) => format!("({condition}) says nothing new"),
                Step::Total(of) => format!("speed of {}", member(self.set, of)),
            };
            [signs.line(&line.chain), step]
        };
        lines_table("Solved", shown.map(row).collect())
    }

    fn by_formula(&self, signs: &Signs, blocks: &mut Vec<Block>) {
        blocks.push(Block::Heading("By the formula of relative speeds".into()));
        blocks.push(Block::Paragraph(
            "(last - arm) / (first - arm) = train value e, the product of driving teeth over driven teeth mesh by \
             mesh, as seen from the arm"
                .into(),
        ));
        let mut rows = Vec::new();
        for formula in &self.lesson.formulas {
            let table = &self.lesson.tables[formula.table];
            let column = table.columns.iter().find(|column| column.member == formula.last);
            let why: Vec<String> = column
                .into_iter()
                .flat_map(|column| &column.path)
                .map(|step| {
                    let pair = format!("{} drives {}", gear(self.set, step.from), gear(self.set, step.to));
                    let sign = match step.sense {
                        MeshSense::External => "both external, opposite senses: minus",
                        MeshSense::Ring => "a ring, the same sense: plus",
                        MeshSense::BevelInput => "bevel on the input side: counted minus",
                        MeshSense::BevelOutput => "bevel on the output side: counted plus",
                    };
                    format!("{pair}, {sign}")
                })
                .collect();
            let ends = [formula.first, formula.last].map(|id| member(self.set, id));
            let reason = format!("e of set {} from {} to {}: {}", formula.table + 1, ends[0], ends[1], why.join("; "));
            rows.push([signs.line(&formula.chain), reason]);
        }
        if !rows.is_empty() {
            blocks.push(lines_table("Train values", rows));
        }
        if let Some(worked) = &self.lesson.by_formula {
            blocks.push(self.conditions(signs, worked, "last - arm = e (first - arm), with what is given"));
            blocks.push(self.steps(signs, worked));
        }
    }

    fn answer(&self, signs: &Signs) -> Vec<Fact> {
        let speed = |id: MemberId, speed: &Speed| match speed {
            Speed::Determined(value) => with_decimal(&(value * &self.lesson.input_speed)),
            Speed::Free => "free: not determined".into(),
            Speed::Locked => "locked".into(),
            Speed::WithoutMeaning => {
                format!("tumbles: only {} against its carrier has a number", signs.symbol(Symbol::Relative(id)))
            }
        };
        let mut facts: Vec<Fact> = self
            .lesson
            .motion
            .members
            .iter()
            .map(|found| Fact::new(self.set.member(found.member).name(), speed(found.member, &found.speed)))
            .collect();
        let ends = [self.lesson.state.input, self.lesson.state.output].map(|id| member(self.set, id));
        if let Some(ratio) = self.lesson.motion.verdict.ratio() {
            facts.push(Fact::new(
                "ratio",
                format!("{}: turns of {} for one of {}", with_decimal(ratio), ends[0], ends[1]),
            ));
        }
        facts
    }

    /// How the mark of a planet stands on a pin, that on pin 1 pointing to the centre.
    fn turned(name: &str, turn: &Fraction) -> String {
        if turn.is_zero() {
            return format!("the mark of {name} on the line to the centre as on pin 1");
        }
        let sense = if turn.is_negative() { "clockwise" } else { "counter-clockwise" };
        format!("the mark of {name} {} of a turn {sense} of that line", turn.abs())
    }

    fn reasons(&self, signs: &Signs, blocks: &mut Vec<Block>) {
        for found in self.assembly {
            let names: Vec<String> = found.planets.iter().map(|&id| member(self.set, id)).collect();
            blocks.push(Block::Heading(format!(
                "Why {} pins of {} {}",
                found.pins,
                list(&names),
                if found.goes_together { "go together" } else { "do not go together" }
            )));
            let turns: Vec<String> =
                found.turns.iter().zip(&names).map(|(turn, name)| Self::turned(name, turn)).collect();
            let place = format!("Pin {} stands {} of a turn from pin 1.", found.pin, found.place);
            blocks.push(Block::Paragraph(if found.goes_in {
                format!(
                    "{place} So much of the teeth of each central gear lies between the two. With {}, the gears meet as \
                     on pin 1, since teeth of the planet less teeth of the central gear (those of a ring counted \
                     negative) make a whole number:",
                    turns.join(" and ")
                )
            } else if found.sums.is_empty() {
                format!("{place} No turns of the planets bring all of their meshes to whole numbers of teeth there.")
            } else {
                format!(
                    "{place} Whatever the turn of the planet, two of its gears both fit there only if this number, \
                     place times crosswise counts over their common factor, is whole, and it is not:"
                )
            }));
            let rows: Vec<[String; 2]> = found
                .sums
                .iter()
                .map(|sum| {
                    let meshes: Vec<String> = sum.meshes.iter().map(|&id| mesh(self.set, id)).collect();
                    [signs.line(&sum.chain), list(&meshes)]
                })
                .collect();
            if !rows.is_empty() {
                blocks.push(lines_table("", rows));
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

/// Lines of arithmetic, each with its reason.
pub(super) fn lines_table(caption: &str, rows: Vec<[String; 2]>) -> Block {
    Block::Table(Table {
        caption: caption.to_owned(),
        headings: [LINE, "because"].map(String::from).to_vec(),
        rows: rows.into_iter().map(Vec::from).collect(),
    })
}

/// A sum of numbers that comes to nothing.
pub(super) fn balance(signs: &Signs, terms: Vec<Expression>) -> String {
    signs.line(&[Expression::Sum(terms), Expression::Number(Fraction::zero())])
}

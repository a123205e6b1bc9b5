//! A state worked out on the board, for a class: by the table, by the formula, and both checked.
//!
//! What is given and asked comes first, then how many speeds must be given, the lever, the two
//! methods, the torques and the assembly. Every line of arithmetic stands in a column of its own
//! beside its reason, exact, and true as it stands.

mod assembly;
mod levers;
mod question;
mod short;
mod torques;

use crate::exact::Fraction;
use crate::gearset::{Gearset, MemberId};
use crate::kinematics::Speed;
use crate::lesson::{
    Arithmetic, ArmTable, BoardLine, BoardStep, Column, ColumnKind, Condition, ConditionReason, Lesson, LessonFormula,
    MeshSense, MeshStep, Symbol, WayOfWorking, Worked,
};
use crate::report::render::document::{Block, CaptionedPicture, Document, Fact, Table};
use crate::report::words::arithmetic::Signs;
use crate::report::words::{gear, list, member, with_decimal};
use num_traits::Zero;

/// A lesson and what goes with it.
#[derive(Debug, Clone)]
pub struct Explained<'a> {
    /// The gearset.
    pub set: &'a Gearset,
    /// The worked solution.
    pub lesson: &'a Lesson,
    /// The drawn levers.
    pub pictures: &'a [CaptionedPicture],
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
            blocks.extend(self.agreement().map(Block::Paragraph));
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
        let [y, x] = [Symbol::Together(index), Symbol::First(index)].map(Arithmetic::Symbol);
        let first = self.column_name(table, &table.columns[1]);
        let mut rows = Vec::new();
        let mut row = |name: String, cell: &dyn Fn(&Column) -> String| {
            rows.push([name].into_iter().chain(table.columns.iter().map(cell)).collect::<Vec<_>>());
        };
        if !table.lever.is_stiff {
            row(format!("arm fixed, {first} turned once"), &|column| {
                let value = Arithmetic::Number(column.train_value.clone());
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
        let row = |(at, condition): (usize, &Condition)| {
            let line = signs.line(&[condition.left.clone(), condition.right.clone()]);
            [line, format!("({}) {}", at + 1, self.reason(condition.why))]
        };
        lines_table(caption, worked.conditions.iter().enumerate().map(row).collect())
    }

    fn reason(&self, reason: ConditionReason) -> String {
        let name = |id| member(self.set, id);
        match reason {
            ConditionReason::ArmIsCase => "the arm is the case and stands".into(),
            ConditionReason::Stands(still) => format!("{} stands still", name(still)),
            ConditionReason::Given(given) => format!("{} has the speed given", name(given)),
            ConditionReason::Together(one, same) if one == same => format!("{} is one member in both sets", name(one)),
            ConditionReason::Together(one, other) => format!("{} and {} turn as one", name(one), name(other)),
            ConditionReason::Stiff(arm) => format!("nothing turns against {}", name(arm)),
            ConditionReason::Formula(first, last) => format!("from {} to {}", name(first), name(last)),
        }
    }

    fn steps(&self, signs: &Signs, worked: &Worked) -> Block {
        let shown = worked.lines.iter().filter(|line| line.chain.len() > 1);
        let row = |line: &BoardLine| {
            let step = match line.step {
                BoardStep::Insert(condition) | BoardStep::SolveAtOnce(condition) => format!("({condition})"),
                BoardStep::Collect => "unknowns to one side".into(),
                BoardStep::Solve => "so".into(),
                BoardStep::Update => "with what was found".into(),
                BoardStep::NothingNew(condition) => format!("({condition}) says nothing new"),
                BoardStep::Total(of) => self.speed_of(of, &line.chain[0]),
            };
            [signs.line(&line.chain), step]
        };
        let mut rows: Vec<[String; 2]> = Vec::new();
        for row in shown.map(row) {
            // What was solved for, and a member of two sets, would be told twice with the same line.
            if rows.iter().all(|[line, _]| *line != row[0]) {
                rows.push(row);
            }
        }
        lines_table("Solved", rows)
    }

    /// Which members turn as one with others, so that the formula writes one sign for both.
    fn same_signs(&self, signs: &Signs) -> Option<String> {
        let same = |pair: &[MemberId; 2]| {
            let [own, shared] = pair.map(|id| signs.symbol(Symbol::Speed(id)));
            format!("{shared} for {own}")
        };
        let same: Vec<String> = self.lesson.one_sign.iter().map(same).collect();
        (!same.is_empty()).then(|| format!("Members that turn as one have one sign: {}.", list(&same)))
    }

    fn speed_of(&self, of: MemberId, sign: &Arithmetic) -> String {
        let arm = self.set.carrier_of(of).filter(|_| matches!(sign, Arithmetic::Symbol(Symbol::Relative(_))));
        let against = arm.map(|arm| format!(" against {}", member(self.set, arm))).unwrap_or_default();
        format!("speed of {}{against}", member(self.set, of))
    }

    fn by_formula(&self, signs: &Signs, blocks: &mut Vec<Block>) {
        blocks.push(Block::Heading("By the formula of relative speeds".into()));
        blocks.push(Block::Paragraph(
            "(last - arm) / (first - arm) = train value e, the product of driving teeth over driven teeth mesh by \
             mesh, as seen from the arm"
                .into(),
        ));
        let formulas = self.lesson.formulas.iter();
        let rows: Vec<[String; 2]> =
            formulas.map(|formula| [signs.line(&formula.chain), self.train_value(formula)]).collect();
        if !rows.is_empty() {
            blocks.push(lines_table("Train values", rows));
        }
        if let Some(worked) = &self.lesson.by_formula {
            blocks.extend(self.same_signs(signs).map(Block::Paragraph));
            blocks.push(self.conditions(signs, worked, "last - arm = e (first - arm), with what is given"));
            blocks.push(self.steps(signs, worked));
        }
    }

    /// Which ways came to this answer, where there are several.
    fn agreement(&self) -> Option<String> {
        let name = |way: &WayOfWorking| match way {
            WayOfWorking::Table => "table".to_owned(),
            WayOfWorking::ShortTable => "table in short".to_owned(),
            WayOfWorking::Formula => "formula".to_owned(),
            WayOfWorking::Lever => "lever".to_owned(),
        };
        let ways: Vec<String> = self.lesson.agreement.iter().map(name).collect();
        (ways.len() > 1).then(|| format!("All agree: {} come to these speeds.", list(&ways)))
    }

    /// Why a train value is what it is, mesh by mesh.
    fn train_value(&self, formula: &LessonFormula) -> String {
        let because = |step: &MeshStep| {
            let sign = match step.sense {
                MeshSense::External => "both external, opposite senses: minus",
                MeshSense::Ring => "a ring, the same sense: plus",
                MeshSense::BevelInput => "bevel on the input side: counted minus",
                MeshSense::BevelOutput => "bevel on the output side: counted plus",
            };
            format!("{} drives {}, {sign}", gear(self.set, step.from), gear(self.set, step.to))
        };
        let why: Vec<String> = formula.path.iter().map(because).collect();
        let [first, last] = [formula.first, formula.last].map(|id| member(self.set, id));
        format!("e of set {} from {first} to {last}: {}", formula.table + 1, why.join("; "))
    }

    fn answer(&self, signs: &Signs) -> Vec<Fact> {
        let speed = |id: MemberId, speed: &Speed| match speed {
            Speed::Determined(value) => with_decimal(&self.lesson.at_input_speed(value)),
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
pub(super) fn balance(signs: &Signs, terms: Vec<Arithmetic>) -> String {
    signs.line(&[Arithmetic::Sum(terms), Arithmetic::Number(Fraction::zero())])
}

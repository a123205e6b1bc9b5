//! How would a teacher work a train out on the board?
//!
//! One state of a gearset, solved twice: by the table of turns (arm fixed, then all turned with the
//! arm) and by the formula of relative speeds, `(n_last - n_arm) / (n_first - n_arm) = e` with the
//! train value e. Every basic set has one table and one formula for each further member; sets are
//! coupled by the members that they share. With it go the count of freedom and the assembly.
//! Source of both methods: Willis (1841), "Principles of Mechanism"; they are in every textbook since.

mod agreement;
mod arm_table;
mod assembly;
mod elimination;
mod expression;
mod freedom;
mod given_speeds;
mod levers;
mod short;
mod torques;

use num_traits::{One, Zero};

use crate::exact::{Fraction, fraction};
use crate::gearset::{Gearset, MemberId, State, bodies_in_state};
use crate::kinematics::{
    Lever, LeverNode, MergedLever, StateMotion, Verdict, levers, merged_levers, motion_of, motions,
};
use crate::statics::{LoadOptions, StateLoads, loads, loads_of};
use assembly::assemblies;
use elimination::solve;
use given_speeds::GivenSpeeds;
use levers::lesson_levers;
use torques::Loaded;

pub use agreement::WayOfWorking;
pub use arm_table::{ArmTable, Column, ColumnKind, MeshSense, MeshStep};
pub use assembly::{AssemblySum, LessonAssembly};
pub use elimination::{BoardLine, BoardStep, Condition, ConditionReason, Worked};
pub use expression::{Arithmetic, LinearForm, Symbol};
pub use freedom::Freedom;
pub use levers::LessonLever;
pub use short::ShortTable;
pub use torques::{HoldingTask, LessonTorques, MemberBalance, SourcedTorque, TorqueSource};

/// What is asked of a lesson.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LessonOptions {
    /// The speed of the input, in any unit; all speeds of the lesson are in the same.
    pub input_speed: Fraction,
}

impl Default for LessonOptions {
    fn default() -> Self {
        Self { input_speed: fraction(1, 1) }
    }
}

/// The worked solution of one state.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Lesson {
    /// The state as described.
    pub state: State,
    /// Its motion, for the input turning once.
    pub motion: StateMotion,
    /// The speed of the input in the lesson.
    pub input_speed: Fraction,
    /// How many speeds must be given.
    pub freedom: Freedom,
    /// The levers, those that share two members as one.
    pub levers: Vec<LessonLever>,
    /// A table for each basic set.
    pub tables: Vec<ArmTable>,
    /// The table from the held gear, where there is one set, one of whose gears is held while its arm turns.
    pub short: Option<ShortTable>,
    /// The train values, mesh by mesh, and the equations that they give.
    pub formulas: Vec<LessonFormula>,
    /// Members that the formula gives the sign of another one with which they turn as one: the member, the other.
    pub one_sign: Vec<[MemberId; 2]>,
    /// The tabular method; `None` where the state is locked or leaves the output undetermined.
    pub by_table: Option<Worked>,
    /// The formula method; `None` likewise.
    pub by_formula: Option<Worked>,
    /// The ways that come to the speeds of the motion.
    pub agreement: Vec<WayOfWorking>,
    /// The torques, for 1 on the input; `None` where nothing was worked out.
    pub torques: Option<LessonTorques>,
    /// Why the planets go together, group by group.
    pub assembly: Vec<LessonAssembly>,
}

/// The formula of relative speeds from the first member of a set to one of the others.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct LessonFormula {
    /// The set, by its place among the tables.
    pub table: usize,
    /// The arm.
    pub arm: MemberId,
    /// The first member.
    pub first: MemberId,
    /// The last member.
    pub last: MemberId,
    /// The meshes on the way, each driving the next.
    pub path: Vec<MeshStep>,
    /// As it is written: the quotient of relative speeds, the product of the meshes, its value. Where
    /// nothing turns against the arm, the quotient is left out.
    pub chain: Vec<Arithmetic>,
}

/// The worked solution of a state of the gearset, `None` if it has no state of this name.
///
/// # Examples
/// ```
/// use toothmark::lesson::{LessonOptions, Symbol, lesson};
/// use toothmark::description;
/// let set = description::read(description::example("millrace-winch").unwrap()).unwrap();
/// let lesson = lesson(&set, "ring held", &LessonOptions::default()).unwrap();
/// // With the sun turning once and the ring of 60 held, the arm makes 2/7 of a turn.
/// let solved = lesson.by_table.unwrap();
/// assert_eq!(solved.known[&Symbol::Together(0)].value().unwrap().to_string(), "2/7");
/// ```
pub fn lesson(set: &Gearset, state: &str, options: &LessonOptions) -> Option<Lesson> {
    let place = set.states().iter().position(|described| described.name == state)?;
    let loads = loads_of(set, place, &LoadOptions::default());
    Some(Ground::new(set).lesson(place, motion_of(set, place), &loads, options))
}

/// The worked solution of every state, in the order of the description: what is alike in all of them is worked out once.
///
/// # Examples
/// ```
/// use toothmark::lesson::{LessonOptions, lesson, lessons};
/// use toothmark::description;
/// let set = description::read(description::example("millrace-winch").unwrap()).unwrap();
/// let options = LessonOptions::default();
/// for (state, worked) in set.states().iter().zip(lessons(&set, &options)) {
///     assert_eq!(lesson(&set, &state.name, &options), Some(worked));
/// }
/// ```
pub fn lessons<'a>(set: &'a Gearset, options: &LessonOptions) -> impl Iterator<Item = Lesson> + use<'a> {
    let (ground, options) = (Ground::new(set), options.clone());
    let states = motions(set).into_iter().zip(loads(set, &LoadOptions::default())).enumerate();
    states.map(move |(place, (motion, loads))| ground.lesson(place, motion, &loads, &options))
}

/// What a lesson on any state of a gearset begins from.
struct Ground<'a> {
    set: &'a Gearset,
    levers: Vec<Lever>,
    merged: Vec<MergedLever>,
    assembly: Vec<LessonAssembly>,
    freedom: Freedom,
}

impl<'a> Ground<'a> {
    fn new(set: &'a Gearset) -> Self {
        Self {
            set,
            levers: levers(set),
            merged: merged_levers(set),
            assembly: assemblies(set),
            freedom: Freedom::before_any_state(set),
        }
    }

    fn lesson(&self, place: usize, motion: StateMotion, loads: &StateLoads, options: &LessonOptions) -> Lesson {
        let (set, state) = (self.set, &self.set.states()[place]);
        let given = GivenSpeeds::new(set, state, &options.input_speed);
        let table = |lever: &Lever| ArmTable::new(set, lever.clone(), |node| rank(set, &given, node));
        let tables: Vec<ArmTable> = self.levers.iter().map(table).collect();
        let solvable = matches!(motion.verdict, Verdict::Drives { .. } | Verdict::OutputHeld);
        let by_table = solvable.then(|| table_method(&given, &tables));
        let mut lesson = Lesson {
            state: state.clone(),
            freedom: self.freedom.in_state(state),
            levers: lesson_levers(&self.merged, &tables, &motion, &options.input_speed),
            formulas: formulas(set, &tables, by_table.as_ref()),
            one_sign: one_sign(set, state),
            by_formula: solvable.then(|| formula_method(&given, &tables)),
            short: by_table.as_ref().and_then(|_| ShortTable::new(set, state, &tables, &options.input_speed)),
            torques: by_table
                .as_ref()
                .map(|_| Loaded { set, state, motion: &motion, loads }.torques(&options.input_speed)),
            assembly: self.assembly.clone(),
            agreement: Vec::new(),
            input_speed: options.input_speed.clone(),
            by_table,
            motion,
            tables,
        };
        lesson.agreement = lesson.ways_that_agree(set);
        lesson
    }
}

/// Which gear a table begins with, the least of these: one whose speed is given, rather turning than at rest; no planet
/// as long as there is another.
fn rank(set: &Gearset, given: &GivenSpeeds, node: &LeverNode) -> usize {
    match given.speed(node.member) {
        _ if set.carrier_of(node.member).is_some_and(|carrier| carrier != MemberId::CASE) => 3,
        Some(speed) if !speed.is_zero() => 0,
        Some(_) => 1,
        None => 2,
    }
}

impl Lesson {
    /// A speed per turn of the input at the speed of the input in the lesson.
    ///
    /// # Examples
    /// ```
    /// use toothmark::{description, exact::fraction, lesson::{LessonOptions, lesson}};
    /// let set = description::read(description::example("millrace-winch").unwrap()).unwrap();
    /// let lesson = lesson(&set, "ring held", &LessonOptions { input_speed: fraction(700, 1) }).unwrap();
    /// assert_eq!(lesson.at_input_speed(&fraction(2, 7)), fraction(200, 1));
    /// ```
    pub fn at_input_speed(&self, speed: &Fraction) -> Fraction {
        speed * &self.input_speed
    }

    /// How many of the speeds that the state gives follow from the others.
    pub fn repeated_speeds(&self) -> usize {
        (self.freedom.given + self.motion.freedom).saturating_sub(self.freedom.needed())
    }
}

/// Members that turn as one with another before them, but not with case or input, whose speeds are numbers.
fn one_sign(set: &Gearset, state: &State) -> Vec<[MemberId; 2]> {
    let bodies = bodies_in_state(set, state);
    let numbers = [MemberId::CASE, bodies[state.input.index()]];
    let pairs = set.member_ids().map(|member| [member, bodies[member.index()]]);
    pairs.filter(|[member, body]| member != body && !numbers.contains(body)).collect()
}

/// The totals of every table set equal to what is given, and to one another where members turn as one.
fn table_method(given: &GivenSpeeds, tables: &[ArmTable]) -> Worked {
    let mut conditions = Vec::new();
    let mut earlier: Vec<(MemberId, Arithmetic)> = Vec::new();
    for (index, table) in tables.iter().enumerate() {
        for member in table.lever.nodes.iter().map(|node| node.member) {
            let total = total_of(table, index, member);
            if let Some(speed) = given.speed(member) {
                let why = match (member, speed.is_zero()) {
                    _ if member == table.lever.carrier && member == MemberId::CASE => ConditionReason::ArmIsCase,
                    (_, true) => ConditionReason::Stands(member),
                    (_, false) => ConditionReason::Given(member),
                };
                conditions.push(Condition { why, left: total, right: Arithmetic::Number(speed.clone()) });
                continue;
            }
            let before = earlier.iter().rev().find(|(other, _)| given.of(*other) == given.of(member));
            if let Some((other, same)) = before.filter(|(_, same)| *same != total) {
                let why = ConditionReason::Together(*other, member);
                conditions.push(Condition { why, left: same.clone(), right: total.clone() });
            }
            earlier.push((member, total));
        }
    }
    let mut worked = solve(conditions);
    for (index, table) in tables.iter().enumerate() {
        for column in table.columns.iter().filter(|column| column.member != MemberId::CASE) {
            worked.total(column.sign(), column.member, &column.total(index));
        }
    }
    worked
}

fn total_of(table: &ArmTable, index: usize, member: MemberId) -> Arithmetic {
    let node = table.lever.node(member).expect("it is a node of the table");
    let column = table.columns.iter().find(|column| node.has(column.member)).expect("every node has a column");
    column.total(index)
}

/// The formula from the first member of each table to every other.
fn formulas(set: &Gearset, tables: &[ArmTable], solved: Option<&Worked>) -> Vec<LessonFormula> {
    let mut found = Vec::new();
    for (table, of) in tables.iter().enumerate().filter(|(_, table)| !table.lever.is_stiff) {
        let rolls = solved.and_then(|worked| worked.known.get(&Symbol::First(table))).and_then(LinearForm::value);
        let rolls = rolls.is_some_and(|turns| !turns.is_zero());
        let [arm, first] = [of.columns[0].member, of.columns[1].member];
        for column in &of.columns[2..] {
            let against = against_arm(column, arm);
            let mut chain = Vec::new();
            if rolls && against_arm(&of.columns[1], arm) != Arithmetic::whole(0) {
                chain.push(against.over(against_arm(&of.columns[1], arm)));
            }
            chain.push(column.product(set));
            let value = Arithmetic::Number(column.train_value.clone());
            if chain.last() != Some(&value) {
                chain.push(value);
            }
            found.push(LessonFormula { table, arm, first, last: column.member, path: column.path.clone(), chain });
        }
    }
    found
}

/// `n - n_arm`, the speed of the fixed case being 0.
fn against_arm(column: &Column, arm: MemberId) -> Arithmetic {
    let speed = match column.member {
        MemberId::CASE => Arithmetic::whole(0),
        _ => Arithmetic::Symbol(column.sign()),
    };
    if column.kind == ColumnKind::Tumbling || arm == MemberId::CASE {
        return speed;
    }
    speed.minus(Arithmetic::Symbol(Symbol::Speed(arm)))
}

/// One equation for each central member after the first of its set.
fn formula_method(given: &GivenSpeeds, tables: &[ArmTable]) -> Worked {
    let told = Told(given);
    let mut worked = solve(tables.iter().flat_map(|table| told.conditions(table)).collect());
    for table in tables {
        for column in table.columns.iter().filter(|column| column.member != MemberId::CASE) {
            worked.total(column.sign(), column.member, &told.total(table, column));
        }
    }
    worked
}

/// Speeds as the formula writes them: those that are given as numbers, others by the sign of their body.
struct Told<'a>(&'a GivenSpeeds);

impl Told<'_> {
    fn speed(&self, member: MemberId) -> Arithmetic {
        match self.0.speed(member) {
            Some(speed) => Arithmetic::Number(speed.clone()),
            None => Arithmetic::Symbol(Symbol::Speed(self.0.of(member))),
        }
    }

    fn stands(&self, member: MemberId) -> bool {
        self.0.speed(member).is_some_and(Zero::is_zero)
    }

    fn against(&self, member: MemberId, arm: MemberId) -> Arithmetic {
        if self.stands(arm) { self.speed(member) } else { self.speed(member).minus(self.speed(arm)) }
    }

    /// `e (first - arm)`.
    fn driven(&self, table: &ArmTable, column: &Column) -> Arithmetic {
        let [arm, first] = [table.columns[0].member, table.columns[1].member];
        let of = self.against(first, arm);
        if column.train_value.is_one() {
            return of;
        }
        Arithmetic::Product(vec![Arithmetic::Number(column.train_value.clone()), of])
    }

    fn conditions(&self, table: &ArmTable) -> Vec<Condition> {
        let [arm, first] = [table.columns[0].member, table.columns[1].member];
        let central = |column: &&Column| column.kind == ColumnKind::Central;
        if table.lever.is_stiff {
            let stiff = table.columns[1..].iter().filter(central).map(|column| Condition {
                why: ConditionReason::Stiff(arm),
                left: self.speed(column.member),
                right: self.speed(arm),
            });
            return stiff.collect();
        }
        let others = table.columns[2..].iter().filter(central).map(|column| Condition {
            why: ConditionReason::Formula(first, column.member),
            left: self.against(column.member, arm),
            right: self.driven(table, column),
        });
        others.collect()
    }

    /// The speed of a member; of a planet what it makes against the arm, with the arm.
    fn total(&self, table: &ArmTable, column: &Column) -> Arithmetic {
        let arm = table.columns[0].member;
        let against = match column.kind {
            ColumnKind::Arm | ColumnKind::Central => return self.speed(column.member),
            ColumnKind::Planet | ColumnKind::Tumbling if table.lever.is_stiff => Arithmetic::whole(0),
            ColumnKind::Planet | ColumnKind::Tumbling => self.driven(table, column),
        };
        let is_carried = column.kind == ColumnKind::Planet && !self.stands(arm);
        if is_carried { Arithmetic::Sum(vec![self.speed(arm), against]) } else { against }
    }
}

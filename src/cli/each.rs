//! One question about one file or many: the one way in which commands answer.
//!
//! A command says what it answers for one gearset. Where several are named, or a list of files, each is answered for
//! itself, on all cores, and shown in the order in which they are named as soon as its turn comes. Each core takes every
//! n-th file and waits where it is a few ahead, so that no more than those are kept. A file that cannot be answered is
//! told among the troubles and stops no other; the worst of all decides how the program ends.

use std::io::{self, IsTerminal as _};
use std::num::NonZero;
use std::ops::ControlFlow;
use std::path::PathBuf;
use std::sync::mpsc::{Receiver, sync_channel};
use std::thread::{self, Scope};

use clap::Args;
use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

use super::exit::Exit;
use super::input::{ListedFile, listed_files};
use super::message;
use super::output::{Said, eprint_notes, show};
use super::trouble::{Refusal, Trouble};
use super::waiting::at_work;

/// The group of the arguments that name what is described.
pub(super) const DESCRIBED: &str = "described";

/// Files named in a list.
#[derive(Debug, Default, Args)]
pub(super) struct ListArgument {
    /// Answer each file of this list, a path a line; "-" reads the list from standard input
    #[arg(long, value_name = "LIST", group = DESCRIBED)]
    files_from: Option<PathBuf>,
}

/// What is asked about.
#[derive(Debug)]
pub(super) enum Subjects {
    /// One gearset, whose words stand together, or none is named.
    One(Vec<PathBuf>),
    /// Several files, each answered for itself.
    Several(Vec<ListedFile>),
}

impl Subjects {
    /// The files that are named, or those of the list.
    pub(super) fn of_files(files: &[PathBuf], list: &ListArgument) -> Result<Self, Trouble> {
        match (&list.files_from, files) {
            (Some(list), _) => Ok(Self::Several(listed_files(list)?)),
            (None, [] | [_]) => Ok(Self::One(files.to_vec())),
            (None, several) => Ok(Self::Several(ListedFile::typed(several))),
        }
    }

    /// The words of the only one, for what is made of one.
    pub(super) fn alone(self, what: &str) -> Result<Vec<PathBuf>, Refusal> {
        match self {
            Self::One(words) => Ok(words),
            Self::Several(files) if files.len() == 1 => Ok(files.into_iter().map(|file| file.path).collect()),
            Self::Several(files) => {
                let sentence = format!("{what} is of one gearset, and {} files are asked about", files.len());
                Err(Refusal::new(
                    sentence,
                    "ask about one file at a time, as in: for f in *.ron; do toothmark ...; done",
                ))
            }
        }
    }

    /// Says something of each of them; behind the words of one stands the name that is told with it, where there are
    /// several.
    pub(super) fn say(
        &self,
        say: impl Fn(&[PathBuf], Option<&str>) -> Result<Said, Trouble> + Sync,
    ) -> Result<Exit, Trouble> {
        match self {
            Self::One(words) => {
                // What somebody types is not to be written across.
                let is_typed = words.iter().any(|word| word == "-") && io::stdin().is_terminal();
                let said = if is_typed { say(words, None)? } else { at_work(|| say(words, None))? };
                eprint_notes(said.notes);
                show(&said.text)?;
                said.unsaved.map_or(Ok(said.exit), |wrong| Err(wrong.into()))
            }
            Self::Several(files) => each(files, say),
        }
    }
}

/// How many answers of a core wait for their turn.
const AHEAD: usize = 4;

/// The stack of a thread, as large as that of a program usually is.
const STACK: usize = 8 << 20;

/// Answers for each file, shows what is said of it in its turn, and tells the worst.
fn each(
    files: &[ListedFile],
    say: impl Fn(&[PathBuf], Option<&str>) -> Result<Said, Trouble> + Sync,
) -> Result<Exit, Trouble> {
    let bar = bar(files.len());
    let mut shown = Shown::default();
    let ask = |file: &ListedFile| {
        let said = file
            .check()
            .map_err(Trouble::from)
            .and_then(|()| say(std::slice::from_ref(&file.path), Some(&file.name())));
        said.map_err(|trouble| file.told(trouble))
    };
    let (mut worst, mut broken) = (Exit::Done, None);
    in_turn(
        files.len(),
        |place| ask(&files[place]),
        |said| {
            bar.inc(1);
            match shown.show(said, &bar) {
                Ok(exit) => worst = worst.max(exit),
                Err(trouble) => broken = Some(trouble),
            }
            if broken.is_some() || shown.is_closed { ControlFlow::Break(()) } else { ControlFlow::Continue(()) }
        },
    );
    bar.finish_and_clear();
    broken.map_or(Ok(worst), Err)
}

/// What was shown before.
#[derive(Default)]
struct Shown {
    /// Whether there was an answer.
    any: bool,
    /// The headings of the columns that stand above, where answers are records.
    columns: Option<String>,
    /// Whether nobody reads any further.
    is_closed: bool,
}

impl Shown {
    /// Shows what is said of the next file, and how a program that had only this would end.
    fn show(&mut self, said: Result<Said, Trouble>, bar: &ProgressBar) -> Result<Exit, Trouble> {
        let said = match said {
            Ok(said) => said,
            Err(trouble) => {
                bar.suspend(|| message::show(&trouble));
                return Ok(Exit::WrongRequest);
            }
        };
        if !said.notes.is_empty() {
            bar.suspend(|| eprint_notes(said.notes));
        }
        let mut text = String::new();
        if said.columns.is_some() && said.columns != self.columns {
            text.extend(said.columns.clone());
            self.columns = said.columns;
        } else if said.is_for_people && self.any {
            text.push('\n');
        }
        text.push_str(&said.text);
        self.any = true;
        self.is_closed = !show(&text)?;
        Ok(said.exit)
    }
}

/// How far it is, on a terminal that does not show the answers themselves.
fn bar(files: usize) -> ProgressBar {
    let style = ProgressStyle::with_template("{bar:20} {pos} of {len} files, about {eta} to go");
    let target = if io::stdout().is_terminal() { ProgressDrawTarget::hidden() } else { ProgressDrawTarget::stderr() };
    let files = u64::try_from(files).unwrap_or(u64::MAX);
    ProgressBar::with_draw_target(Some(files), target).with_style(style.expect("the template is sound"))
}

/// Works on all cores and takes what was worked out in its order, until whoever takes it has enough.
fn in_turn<T: Send>(count: usize, work: impl Fn(usize) -> T + Sync, mut take: impl FnMut(T) -> ControlFlow<()>) {
    let cores = thread::available_parallelism().map_or(1, NonZero::get).min(count);
    thread::scope(|scope| {
        let workers: Vec<Receiver<T>> =
            (0..cores).map(|first| worker(scope, (first..count).step_by(cores), &work)).collect();
        for place in 0..count {
            // A worker that is gone has panicked, which the scope tells.
            let Ok(done) = workers[place % cores].recv() else { break };
            if take(done).is_break() {
                break;
            }
        }
    });
}

/// A thread that works on these places, no further ahead than a few.
fn worker<'scope, T: Send + 'scope>(
    scope: &'scope Scope<'scope, '_>,
    places: impl Iterator<Item = usize> + Send + 'scope,
    work: &'scope (impl Fn(usize) -> T + Sync),
) -> Receiver<T> {
    let (sender, receiver) = sync_channel(AHEAD);
    let run = move || {
        for place in places {
            if sender.send(work(place)).is_err() {
                break;
            }
        }
    };
    thread::Builder::new().stack_size(STACK).spawn_scoped(scope, run).expect("a thread can be started");
    receiver
}

//! What has been answered so far, which question comes next, and the command that has the same answers.

use toothmark::gearset::{DraftPins, Length, Pair, Pitch};
use toothmark::quick::{GearsetOutline, MOST_GEARS};

use super::NewArguments;
use crate::cli::{source, values};

/// The answers, in the order of the questions; `None` and lists that are not full yet are still to be asked.
#[derive(Debug, Clone, Default)]
pub(super) struct Answers {
    gear_count: Option<usize>,
    gears: Vec<GearAnswer>,
    short_pinion: Reply<GearAnswer>,
    pins: Option<(String, DraftPins)>,
    /// Members with their names, in the order of [`Answers::plain_members`].
    names: Vec<(String, String)>,
    bands: Option<Vec<(String, String)>>,
    clutches: Option<Vec<(String, Pair<String>)>>,
    input: Option<String>,
    output: Option<String>,
    pitch: Reply<Pitch>,
    backlash: Reply<(String, Length)>,
    title: Option<String>,
}

/// What is answered to a question that nothing may answer.
#[derive(Debug, Clone, Default)]
enum Reply<T> {
    /// It is still to be asked.
    #[default]
    Open,
    /// There is none.
    Nothing,
    /// This.
    Of(T),
}

impl<T> Reply<T> {
    fn of_argument(told: Option<T>) -> Self {
        told.map_or(Self::Open, Self::Of)
    }

    fn value(&self) -> Option<&T> {
        match self {
            Self::Of(value) => Some(value),
            Self::Open | Self::Nothing => None,
        }
    }
}

/// A gear of a planet as far as it is told: its own teeth, then those of its sun and ring, empty where there is none.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
struct GearAnswer {
    own: String,
    sun: Option<String>,
    ring: Option<String>,
}

impl GearAnswer {
    fn is_whole(&self) -> bool {
        self.sun.is_some() && self.ring.is_some()
    }

    /// As in a stack.
    fn word(&self) -> String {
        let ring = self.ring.as_deref().filter(|ring| !ring.is_empty());
        let ring = ring.map_or(String::new(), |ring| format!(":{ring}"));
        format!("{}:{}{ring}", self.sun.as_deref().unwrap_or_default(), self.own)
    }

    fn of_word(word: &str) -> Self {
        let mut counts = word.split(':').map(str::to_owned);
        let sun = Some(counts.next().unwrap_or_default());
        let own = counts.next().unwrap_or_default();
        Self { own, sun, ring: Some(counts.next().unwrap_or_default()) }
    }
}

/// A question of the interview.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct InterviewQuestion {
    pub(super) about: Subject,
    /// What is asked.
    pub(super) text: String,
    /// What nothing means.
    pub(super) if_empty: String,
}

/// What a question is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Subject {
    GearCount,
    OwnTeeth,
    Sun,
    Ring,
    ShortTeeth,
    ShortSun,
    ShortRing,
    Pins,
    Name,
    Bands,
    Clutch,
    Input,
    Output,
    Pitch,
    Backlash,
    Title,
}

impl Answers {
    /// What arguments tell already.
    pub(super) fn of(arguments: NewArguments) -> Self {
        let words = arguments.gears.iter().flat_map(|text| text.split_whitespace());
        let some = |list: Vec<(String, String)>| (!list.is_empty()).then_some(list);
        let pitch = source::pitch(arguments.module, arguments.dp);
        Self {
            gears: words.map(GearAnswer::of_word).collect(),
            short_pinion: Reply::of_argument(arguments.short_pinion.map(|word| GearAnswer::of_word(&word))),
            pins: arguments.pins.map(|(_, pins)| (in_words(&pins), pins)),
            names: arguments.name,
            bands: some(arguments.band),
            clutches: (!arguments.clutch.is_empty()).then_some(arguments.clutch),
            input: arguments.input,
            output: arguments.output,
            pitch: Reply::of_argument(pitch),
            backlash: Reply::of_argument(arguments.backlash.map(|length| (in_millimetres(&length), length))),
            title: arguments.title,
            gear_count: None,
        }
    }

    /// The next question; `None` when everything is answered.
    pub(super) fn next(&self) -> Option<InterviewQuestion> {
        let Some(count) = self.gear_count else {
            return Some(question(
                Subject::GearCount,
                "How many gears does one planet have on its pin, such as 1 or 3?",
                "1",
            ));
        };
        if let Some(question) = self.of_gears(count) {
            return Some(question);
        }
        if let Some(question) = self.of_short_pinion() {
            return Some(question);
        }
        if self.pins.is_none() {
            let text =
                "How many pins are there, equally spaced, such as 3; or at how many degrees, such as 0, 91.5, 180?";
            return Some(question(Subject::Pins, text, "3"));
        }
        if let Some(plain) = self.unnamed() {
            let what = if plain == "carrier" { "that carries the pins".into() } else { format!("with the {plain}") };
            return Some(question(Subject::Name, format!("What is the member {what} called?"), plain));
        }
        self.of_use()
    }

    fn of_gears(&self, count: usize) -> Option<InterviewQuestion> {
        let place = |at: usize| if count == 1 { "the planet".to_owned() } else { format!("gear {at} of {count}") };
        match self.gears.iter().position(|gear| !gear.is_whole()) {
            Some(at) => {
                let own = &self.gears[at].own;
                let (about, kind) =
                    if self.gears[at].sun.is_none() { (Subject::Sun, "sun") } else { (Subject::Ring, "ring") };
                let text =
                    format!("How many teeth has the {kind} that {}, with {own} teeth, meshes with?", place(at + 1));
                Some(question(about, text, format!("no {kind}")))
            }
            None if self.gears.len() < count => {
                let text = format!("How many teeth has {}?", place(self.gears.len() + 1));
                Some(question(Subject::OwnTeeth, text, ""))
            }
            None => None,
        }
    }

    fn of_short_pinion(&self) -> Option<InterviewQuestion> {
        match &self.short_pinion {
            Reply::Open => {
                let text = "Long and short pinions: how many teeth has a short one that meshes with this planet?";
                Some(question(Subject::ShortTeeth, text, "there are none"))
            }
            Reply::Of(short) if short.sun.is_none() => {
                Some(question(Subject::ShortSun, "How many teeth has the sun of the short pinion?", "no sun"))
            }
            Reply::Of(short) if short.ring.is_none() => {
                Some(question(Subject::ShortRing, "How many teeth has the ring of the short pinion?", "no ring"))
            }
            Reply::Of(_) | Reply::Nothing => None,
        }
    }

    fn of_use(&self) -> Option<InterviewQuestion> {
        let members = self.members().join(", ");
        let (about, text, if_empty) = match self {
            Self { bands: None, .. } => {
                (Subject::Bands, format!("Which of {members} have a band or brake, with commas between?"), "none")
            }
            Self { clutches: None, .. } => (
                Subject::Clutch,
                format!("Which two of {members} does a clutch couple, with a comma between?"),
                "no clutch",
            ),
            Self { input: None, .. } => (Subject::Input, format!("Which of {members} drives?"), ""),
            Self { output: None, .. } => (Subject::Output, format!("Which of {members} is driven?"), ""),
            Self { pitch: Reply::Open, .. } => (
                Subject::Pitch,
                "What is the pitch, a module such as 2.5 or teeth per inch such as 10dp?".into(),
                "not known",
            ),
            Self { backlash: Reply::Open, .. } => {
                (Subject::Backlash, "What is the backlash, such as 0.1mm or 0.004in?".into(), "not known")
            }
            Self { title: None, .. } => {
                (Subject::Title, "What is the gearset, in a few words?".into(), "its tooth counts")
            }
            _ => return None,
        };
        Some(question(about, text, if_empty))
    }

    /// Takes an answer.
    ///
    /// # Errors
    /// What is wrong with it, to be told before the question is asked again.
    pub(super) fn take(&mut self, about: Subject, text: &str) -> Result<(), String> {
        let text = text.trim();
        match about {
            Subject::GearCount => self.gear_count = Some(gear_count(text, self.gears.len())?),
            Subject::OwnTeeth => self.gears.push(GearAnswer { own: teeth(text)?, sun: None, ring: None }),
            Subject::Sun | Subject::Ring => {
                take_mate(self.gears.iter_mut().find(|gear| !gear.is_whole()), about, text)?;
            }
            Subject::ShortTeeth if text.is_empty() => self.short_pinion = Reply::Nothing,
            Subject::ShortTeeth => {
                self.short_pinion = Reply::Of(GearAnswer { own: teeth(text)?, sun: None, ring: None });
            }
            Subject::ShortSun => take_mate(self.short_pinion_mut(), Subject::Sun, text)?,
            Subject::ShortRing => take_mate(self.short_pinion_mut(), Subject::Ring, text)?,
            Subject::Pins => {
                let typed = if text.is_empty() { "3" } else { text };
                self.pins = Some((typed.to_owned(), values::pins(typed).map_err(|it| it.hint)?.1));
            }
            Subject::Name => self.take_name(text)?,
            Subject::Bands => self.bands = Some(self.bands_on(text)?),
            Subject::Clutch => self.clutches = Some(self.clutch_of(text)?),
            Subject::Input => self.input = Some(self.member(text)?),
            Subject::Output => self.output = Some(self.output_of(text)?),
            Subject::Pitch if text.is_empty() => self.pitch = Reply::Nothing,
            Subject::Pitch => self.pitch = Reply::Of(pitch(text)?),
            Subject::Backlash if text.is_empty() => self.backlash = Reply::Nothing,
            Subject::Backlash => {
                let length = values::length(text).map_err(|it| it.hint)?;
                self.backlash = Reply::Of((text.to_owned(), length));
            }
            Subject::Title => self.title = Some(text.to_owned()),
        }
        Ok(())
    }

    fn short_pinion_mut(&mut self) -> Option<&mut GearAnswer> {
        match &mut self.short_pinion {
            Reply::Of(short) => Some(short),
            Reply::Open | Reply::Nothing => None,
        }
    }

    /// The members by the names that they have in the stack.
    fn plain_members(&self) -> Vec<String> {
        let GearsetOutline { gears, short_pinion, .. } = self.outline();
        let draft = GearsetOutline { short_pinion, ..GearsetOutline::new(gears, DraftPins::Equal(1)) }.draft();
        draft.map(|draft| draft.members.iter().map(|member| member.name.to_string()).collect()).unwrap_or_default()
    }

    /// The first member that has no name yet, by its plain one.
    fn unnamed(&self) -> Option<String> {
        let named = |plain: &String| self.names.iter().any(|(of, _)| of == plain);
        self.plain_members().into_iter().find(|plain| !named(plain))
    }

    /// The members by the names that they are to have.
    fn members(&self) -> Vec<String> {
        let of = |plain: String| self.names.iter().find(|(of, _)| *of == plain).map_or(plain, |(_, name)| name.clone());
        self.plain_members().into_iter().map(of).collect()
    }

    fn take_name(&mut self, text: &str) -> Result<(), String> {
        let Some(plain) = self.unnamed() else { return Ok(()) };
        let name = if text.is_empty() { plain.clone() } else { text.to_owned() };
        if self.names.iter().any(|(_, other)| *other == name) {
            return Err(format!("{name:?} is the name of another member already"));
        }
        self.names.push((plain, name));
        Ok(())
    }

    fn member(&self, text: &str) -> Result<String, String> {
        let members = self.members();
        let found = members.iter().find(|member| member.eq_ignore_ascii_case(text));
        found.cloned().ok_or_else(|| format!("there is no member {text:?}: there are {}", members.join(", ")))
    }

    fn output_of(&self, text: &str) -> Result<String, String> {
        let output = self.member(text)?;
        if self.input.as_ref() == Some(&output) { Err(format!("{output:?} drives already")) } else { Ok(output) }
    }

    fn bands_on(&self, text: &str) -> Result<Vec<(String, String)>, String> {
        let names = text.split(',').map(str::trim).filter(|name| !name.is_empty());
        names.map(|name| self.member(name).map(|member| (format!("{member} band"), member))).collect()
    }

    fn clutch_of(&self, text: &str) -> Result<Vec<(String, Pair<String>)>, String> {
        if text.is_empty() {
            return Ok(Vec::new());
        }
        let (first, second) = text.split_once(',').ok_or("name two members with a comma between")?;
        let [first, second] = [self.member(first.trim())?, self.member(second.trim())?];
        if first == second {
            return Err("a clutch couples two members".into());
        }
        Ok(vec![("clutch".into(), Pair::of(first, second))])
    }

    /// What has been told so far.
    pub(super) fn outline(&self) -> GearsetOutline {
        let words: Vec<String> = self.gears.iter().filter(|gear| gear.is_whole()).map(GearAnswer::word).collect();
        let pins = self.pins.as_ref().map_or(DraftPins::Equal(1), |(_, pins)| pins.clone());
        GearsetOutline {
            title: self.title.clone().filter(|title| !title.is_empty()),
            short_pinion: self.whole_short_pinion().map(GearAnswer::word),
            names: self.names.iter().filter(|(plain, name)| plain != name).cloned().collect(),
            bands: self.bands.clone().unwrap_or_default(),
            clutches: self.clutches.clone().unwrap_or_default(),
            input: self.input.clone(),
            output: self.output.clone(),
            pitch: self.pitch.value().cloned(),
            backlash: self.backlash.value().map(|(_, backlash)| backlash.clone()),
            ..GearsetOutline::new(words.join(" "), pins)
        }
    }

    fn whole_short_pinion(&self) -> Option<&GearAnswer> {
        self.short_pinion.value().filter(|short| short.is_whole())
    }

    /// The command that goes on from here.
    pub(super) fn command(&self) -> String {
        let mut words = vec!["toothmark".to_owned(), "new".into(), "--ask".into()];
        words.extend(self.gears.iter().filter(|gear| gear.is_whole()).map(GearAnswer::word));
        let mut option = |name: &str, value: String| words.extend([format!("--{name}"), value]);
        self.whole_short_pinion().into_iter().for_each(|short| option("short-pinion", short.word()));
        self.pins.iter().for_each(|(typed, _)| option("pins", typed.clone()));
        self.names.iter().for_each(|(plain, name)| option("name", format!("{plain}={name}")));
        self.bands.iter().flatten().for_each(|(name, member)| option("band", format!("{name}={member}")));
        self.clutches.iter().flatten().for_each(|(name, Pair { first, second })| {
            option("clutch", format!("{name}={first},{second}"));
        });
        self.input.iter().for_each(|input| option("input", input.clone()));
        self.output.iter().for_each(|output| option("output", output.clone()));
        self.pitch.value().into_iter().for_each(|pitch| match pitch {
            Pitch::Module(module) => option("module", module.to_string()),
            Pitch::Diametral(dp) => option("dp", dp.to_string()),
        });
        self.backlash.value().into_iter().for_each(|(typed, _)| option("backlash", typed.clone()));
        self.title.iter().for_each(|title| option("title", title.clone()));
        shell_words::join(words)
    }
}

fn question(about: Subject, text: impl Into<String>, if_empty: impl Into<String>) -> InterviewQuestion {
    InterviewQuestion { about, text: text.into(), if_empty: if_empty.into() }
}

fn gear_count(text: &str, told: usize) -> Result<usize, String> {
    let count = if text.is_empty() { Some(1) } else { text.parse().ok() };
    let sound = count.filter(|count| (1..=MOST_GEARS).contains(count));
    let count = sound.ok_or_else(|| format!("write a whole number from 1 to {MOST_GEARS}"))?;
    if count < told { Err(format!("{told} gears are told already")) } else { Ok(count) }
}

/// A number of teeth as it is written.
fn teeth(text: &str) -> Result<String, String> {
    const MOST: u16 = 10_000;
    let count: Option<u16> = text.parse().ok().filter(|count| (1..=MOST).contains(count));
    count.map(|count| count.to_string()).ok_or_else(|| format!("write the teeth as counted, from 1 to {MOST}"))
}

/// Takes the teeth of the sun or ring of a gear.
fn take_mate(gear: Option<&mut GearAnswer>, about: Subject, text: &str) -> Result<(), String> {
    let Some(gear) = gear else { return Ok(()) };
    let count = if text.is_empty() { String::new() } else { teeth(text)? };
    if about == Subject::Sun {
        gear.sun = Some(count);
        return Ok(());
    }
    if count.is_empty() && gear.sun.as_ref().is_some_and(String::is_empty) {
        return Err("it would mesh with nothing: give its ring, or go back and give its sun".into());
    }
    gear.ring = Some(count);
    Ok(())
}

fn pitch(text: &str) -> Result<Pitch, String> {
    let read = if text.to_ascii_lowercase().ends_with("dp") {
        values::diametral_pitch(text).map(Pitch::Diametral)
    } else {
        values::module(text).map(Pitch::Module)
    };
    read.map_err(|_| "write a module such as 2.5, or teeth per inch such as 10dp".into())
}

fn in_words(pins: &DraftPins) -> String {
    match pins {
        DraftPins::Equal(count) => count.to_string(),
        DraftPins::Turns(places) | DraftPins::Degrees(places) => {
            places.iter().map(ToString::to_string).collect::<Vec<_>>().join(", ")
        }
    }
}

fn in_millimetres(length: &Length) -> String {
    match length {
        Length::Millimetres(size) => format!("{size}mm"),
        Length::Inches(size) => format!("{size}in"),
    }
}

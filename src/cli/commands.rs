//! The subcommands: read, analyse, show.
//!
//! Each takes its arguments as typed and ends with an exit code, or with the trouble that
//! kept it from an answer. What is worked out, and how it is laid out, is the library's.

use toothmark::description::{self, examples as built_in};
use toothmark::drawing::overviews;
use toothmark::gearset::{Gearset, remarks};
use toothmark::kinematics::{self, RatiosQuestion};
use toothmark::report::{Found, FoundInGroup, Marking, Matches, Picture, Sheet, Timing, html, markdown};
use toothmark::timing::{
    Convention, GroupTiming, Matching, Method, Verdict, found as judge, found_in_group, marking, matching,
    timing as time,
};

use super::arguments::{
    CheckArguments, ExamplesArguments, FoundArguments, MarksArguments, MatchArguments, RatiosArguments, SheetArguments,
    SheetFormat, TimingArguments,
};
use super::common::Format;
use super::exit::Exit;
use super::input::{Trouble, gearset};
use super::output::{answer, show, write, write_lines};
use super::place::Places;
use super::readings::with_readings;
use super::request::{speed, state};

pub(super) fn ratios(arguments: &RatiosArguments) -> Result<Exit, Trouble> {
    let input_rpm = arguments.rpm.as_deref().map(speed).transpose()?;
    let set = gearset(arguments.source.file.as_deref())?;
    let state = arguments.state.as_deref().map(|name| state(&set, name)).transpose()?;
    answer(&set, &kinematics::ratios(&set, &RatiosQuestion { state, input_rpm }), arguments.format)
}

pub(super) fn timing(arguments: &TimingArguments) -> Result<Exit, Trouble> {
    let set = gearset(arguments.source.file.as_deref())?;
    let groups = time(&set, Method::Quickest);
    let answer = Timing { set: &set, groups: &groups };
    show(arguments.format, || answer.document(), || answer.records(), || answer.json())?;
    Ok(exit(&groups))
}

/// Whether every group of planets goes together, as an exit code.
fn exit(groups: &[GroupTiming]) -> Exit {
    if groups.iter().all(GroupTiming::goes_together) { Exit::Done } else { Exit::AnswerIsNo }
}

pub(super) fn sheet(arguments: &SheetArguments) -> Result<Exit, Trouble> {
    let mut places = Places::new(arguments.force, arguments.source.file.as_deref());
    arguments.output.as_deref().map(|path| places.check_file(path)).transpose()?;
    let set = gearset(arguments.source.file.as_deref())?;
    let groups = time(&set, Method::Quickest);
    let timing = Timing { set: &set, groups: &groups };
    let ratios = kinematics::ratios(&set, &RatiosQuestion::default());
    let pictures: Vec<Picture> = overviews(&set)
        .into_iter()
        .map(|drawn| {
            let caption = format!("{}: as set, from both sides; not to scale on this sheet", drawn.group);
            Picture { caption, svg: drawn.svg }
        })
        .collect();
    let document = Sheet { timing, ratios: &ratios, pictures: &pictures }.document();
    let sheet = match arguments.format {
        SheetFormat::Html => html(&document),
        SheetFormat::Markdown => markdown(&document),
    };
    match &arguments.output {
        None => write(&sheet)?,
        Some(path) => {
            places.write(path, &sheet)?;
            write_lines([path.display().to_string()])?;
        }
    }
    Ok(exit(&groups))
}

pub(super) fn marks(arguments: &MarksArguments) -> Result<Exit, Trouble> {
    let set = gearset(arguments.source.file.as_deref())?;
    let groups = marking(&set);
    let answer = Marking { set: &set, groups: &groups };
    show(arguments.format, || answer.document(), || answer.records(), || answer.json())?;
    let refused = groups.iter().any(|group| group.convention == Convention::Refused);
    Ok(if refused { Exit::AnswerIsNo } else { Exit::Done })
}

pub(super) fn found(arguments: &FoundArguments) -> Result<Exit, Trouble> {
    let set = with_readings(gearset(arguments.source.file.as_deref())?, arguments)?;
    if set.found().is_some_and(|found| {
        set.planet_groups().iter().any(|it| it.planets().len() > 1 && it.planets().contains(&found.planet))
    }) {
        return found_of_group(&set, arguments.format);
    }
    let found = judge(&set).map_err(Trouble::NotJudged)?;
    let answer = Found { set: &set, found: &found };
    show(arguments.format, || answer.document(), || answer.records(), || answer.json())?;
    Ok(if found.is_in_time() { Exit::Done } else { Exit::AnswerIsNo })
}

fn found_of_group(set: &Gearset, format: Format) -> Result<Exit, Trouble> {
    let found = found_in_group(set).map_err(Trouble::NotJudged)?;
    let answer = FoundInGroup { set, found: &found };
    show(format, || answer.document(), || answer.records(), || answer.json())?;
    Ok(if found.is_in_time() { Exit::Done } else { Exit::AnswerIsNo })
}

pub(super) fn matches(arguments: &MatchArguments) -> Result<Exit, Trouble> {
    let set = gearset(arguments.source.file.as_deref())?;
    let matchings = matching(&set).map_err(Trouble::CannotMatch)?;
    let answer = Matches { set: &set, matchings: &matchings };
    show(arguments.format, || answer.document(), || answer.records(), || answer.json())?;
    let best = |matching: &Matching| matching.exchanged.clone().or_else(|| matching.as_found.clone());
    let binds = |matching: &Matching| best(matching).is_none_or(|best| best.verdict == Some(Verdict::Beyond));
    Ok(if matchings.iter().any(binds) { Exit::AnswerIsNo } else { Exit::Done })
}

pub(super) fn check(arguments: &CheckArguments) -> Result<Exit, Trouble> {
    let set = gearset(arguments.source.file.as_deref())?;
    answer(&set, &remarks(&set), arguments.format)
}

pub(super) fn examples(arguments: &ExamplesArguments) -> Result<Exit, Trouble> {
    let Some(name) = &arguments.name else {
        let widest = built_in().iter().map(|example| example.name.len()).max().unwrap_or(0);
        let line = |example: &description::Example| {
            let title = description::read(example.text).map(|set| set.title().to_owned()).unwrap_or_default();
            format!("{:<widest$}  {title}\n", example.name)
        };
        write(&built_in().iter().map(line).collect::<String>())?;
        return Ok(Exit::Done);
    };
    let text = description::example(name.trim_end_matches(".ron"))
        .ok_or_else(|| Trouble::NoSuchExample { name: name.clone(), nearest: description::nearest_example(name) })?;
    write(text)?;
    Ok(Exit::Done)
}

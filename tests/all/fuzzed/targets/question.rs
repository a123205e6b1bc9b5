//! A question: a JSON request, or the words of a command, one a line, and below an empty line what it is about.

use clap::{Arg, Args, Command};
use toothmark::quick::is_stack;
use toothmark::report::Answer as _;
use toothmark::requests::{
    AskedAbout, BacklashOptions, BalanceOptions, BandsOptions, BushesOptions, CheckOptions, CloseOptions,
    ClutchOptions, ExploreOptions, FloatOptions, FormulaOptions, FoundOptions, IdentifyOptions, JobOptions,
    LoadsOptions, MarksOptions, MatchOptions, MotionOptions, NeutralOptions, OrderOptions, Question, QuestionRequest,
    RatiosOptions, TimingOptions, WrongOptions,
};

use super::forms::show;

/// Whatever can be made of a question.
pub(crate) fn question(bytes: &[u8]) {
    let text = String::from_utf8_lossy(bytes);
    if text.starts_with('{') {
        let reply = match QuestionRequest::read(&text) {
            Ok(request) => toothmark::answer(&request),
            Err(reply) => *reply,
        };
        assert!(reply.answer.is_some() == reply.errors.is_empty(), "an answer or errors: {reply:?}");
        assert!(reply.json_line().ends_with("}\n"), "a reply is an object on a line");
        return;
    }
    let (words, about) = text.split_once("\n\n").unwrap_or((&text, ""));
    let words: Vec<&str> = words.lines().collect();
    for (name, ask) in ASKS {
        let count = name.split(' ').count();
        if words.iter().take(count).copied().eq(name.split(' ')) {
            ask(&words[count..], about);
        }
    }
}

type Ask = fn(&[&str], &str);

/// Every question by its words.
pub(crate) const ASKS: [(&str, Ask); 22] = [
    ("check", ask::<CheckOptions>),
    ("timing", ask::<TimingOptions>),
    ("marks", ask::<MarksOptions>),
    ("found", ask::<FoundOptions>),
    ("wrong", ask::<WrongOptions>),
    ("match", ask::<MatchOptions>),
    ("ratios", ask::<RatiosOptions>),
    ("formula", ask::<FormulaOptions>),
    ("explore", ask::<ExploreOptions>),
    ("loads", ask::<LoadsOptions>),
    ("motion", ask::<MotionOptions>),
    ("teeth identify", ask::<IdentifyOptions>),
    ("teeth close", ask::<CloseOptions>),
    ("teeth order", ask::<OrderOptions>),
    ("teeth backlash", ask::<BacklashOptions>),
    ("bench balance", ask::<BalanceOptions>),
    ("bench bands", ask::<BandsOptions>),
    ("bench bushes", ask::<BushesOptions>),
    ("bench clutch", ask::<ClutchOptions>),
    ("bench float", ask::<FloatOptions>),
    ("bench neutral", ask::<NeutralOptions>),
    ("job", ask::<JobOptions>),
];

fn ask<Q: Question + Args>(words: &[&str], about: &str) {
    // In the program what is asked about stands in this group, which some options need.
    let described = Arg::new("what").group("described");
    let command = Q::augment_args(Command::new("question").no_binary_name(true).arg(described));
    let named = (!about.trim().is_empty()).then_some("named");
    let asked = command
        .try_get_matches_from(words.iter().copied().chain(named))
        .and_then(|matches| Q::from_arg_matches(&matches));
    let question = match asked {
        Ok(question) => question,
        Err(error) => {
            assert!(!error.render().to_string().is_empty(), "a refusal is told");
            return;
        }
    };
    let mut about = match about.trim() {
        "" => AskedAbout::not_named(),
        name if is_stack(name) => AskedAbout::of_stack(name),
        name => AskedAbout::of_text(toothmark::description::example(name).unwrap_or(about)),
    };
    if let Ok((set, answer)) = question.ask(&mut about) {
        answer.outcome();
        show(&set, &answer);
    }
}

//! A description: read, written, read again, asked every question, drawn.

use toothmark::comparison::{Candidate, compare};
use toothmark::description::{read, read_bytes, write};
use toothmark::drawing::page::{PageSet, page};
use toothmark::drawing::{ChartScale, Charted, Paper, Request, chart, draw, lever, overviews, print_page};
use toothmark::formula::{FormulasQuestion, formulas};
use toothmark::gearset::Gearset;
use toothmark::job::{Job, blank};
use toothmark::kinematics::{RatiosQuestion, motions, ratios};
use toothmark::lesson::{LessonOptions, lessons};
use toothmark::report::{CaptionedPicture, Explained, JobSheet, Notation, StateChoice, html_fragment, write_formulas};
use toothmark::requests::{
    AskedAbout, BacklashOptions, BalanceOptions, BandsOptions, BushesOptions, CheckOptions, CloseOptions,
    ClutchOptions, ExploreOptions, FloatOptions, FormulaOptions, FoundOptions, IdentifyOptions, LoadsOptions,
    MarksOptions, MatchOptions, MotionOptions, NeutralOptions, OrderOptions, Question, RatiosOptions, TimingOptions,
    WrongOptions,
};
use toothmark::timing::timing;

use super::forms::{assert_picture, show, show_document};

/// Whatever can be made of a description.
pub(crate) fn description(bytes: &[u8]) {
    let set = match read_bytes(bytes) {
        Ok(set) => set,
        Err(faults) => {
            let told = faults.iter().all(|fault| !fault.to_string().is_empty() && fault.start.line > 0);
            assert!(told && !faults.is_empty(), "a description is refused with its faults");
            return;
        }
    };
    let text = write(set.draft());
    let again = read(&text).unwrap_or_else(|faults| panic!("what was written is read: {faults:?}\n{text}"));
    assert_eq!(again.draft(), set.draft(), "what was written is the same gearset:\n{text}");
    ask_everything(&text);
    // Pictures take longer than all else together, and are drawn of one text in four.
    match bytes.len() % 8 {
        0 => draw_everything(&set, Paper::A4),
        4 => draw_everything(&set, Paper::Letter),
        _ => {}
    }
    teach_everything(&set);
    let job = Job::new(blank(&set)).expect("what begins a job of a sound gearset is sound");
    sheet(&job);
    let beside: Vec<Candidate<'_>> =
        ["one", "other"].map(|source| Candidate { source: source.into(), set: &set }).into();
    show(&set, &compare(&beside));
}

/// Every question without options.
fn ask_everything(text: &str) {
    let asks: [fn(&str); 22] = [
        ask::<CheckOptions>,
        ask::<TimingOptions>,
        ask::<MarksOptions>,
        ask::<FoundOptions>,
        ask::<WrongOptions>,
        ask::<MatchOptions>,
        ask::<RatiosOptions>,
        ask::<FormulaOptions>,
        ask::<ExploreOptions>,
        ask::<LoadsOptions>,
        ask::<MotionOptions>,
        ask::<IdentifyOptions>,
        ask::<CloseOptions>,
        ask::<OrderOptions>,
        ask::<BacklashOptions>,
        ask::<BalanceOptions>,
        ask::<BandsOptions>,
        ask::<BushesOptions>,
        ask::<ClutchOptions>,
        ask::<FloatOptions>,
        ask::<NeutralOptions>,
        ask::<toothmark::requests::JobOptions>,
    ];
    for ask in asks {
        ask(text);
    }
}

fn ask<Q: Question>(text: &str) {
    if let Ok((set, answer)) = Q::default().ask(&mut AskedAbout::of_text(text)) {
        show(&set, &answer);
    }
}

fn draw_everything(set: &Gearset, paper: Paper) {
    let motions = motions(set);
    let drawings = draw(set, Request { paper, only: None });
    for picture in &drawings.pictures {
        assert_picture(&picture.svg);
    }
    print_page(set, &drawings, paper);
    for motion in &motions {
        assert_picture(&lever(set, motion));
    }
    let charted = [Charted { name: set.title(), motions: &motions }];
    assert_picture(&chart(&charted, ChartScale { input_rpm: 1800.0, travel: None }));
    page(&[PageSet { set, extras: Vec::new() }]);
}

/// Every state as a lesson, its formulas in every notation.
fn teach_everything(set: &Gearset) {
    for lesson in lessons(set, &LessonOptions::default()) {
        let picture = CaptionedPicture { caption: "levers".into(), svg: lever(set, &lesson.motion) };
        show_document(&Explained { set, lesson: &lesson, pictures: &[picture], chosen: StateChoice::Named }.document());
    }
    let formulas = formulas(set, &FormulasQuestion::default());
    for notation in [Notation::Text, Notation::Tex, Notation::MathMl] {
        show(set, &write_formulas(set, &formulas, notation));
    }
}

/// The sheet of a job.
pub(super) fn sheet(job: &Job) {
    let set = job.gearset();
    let pictures: Vec<CaptionedPicture> =
        overviews(set).into_iter().map(|drawn| CaptionedPicture { caption: drawn.group, svg: drawn.svg }).collect();
    for picture in &pictures {
        assert_picture(&picture.svg);
    }
    let ratios = ratios(set, &RatiosQuestion::default());
    let document = JobSheet { job, timing: &timing(set), ratios: &ratios, pictures: &pictures }.document();
    show_document(&document);
    html_fragment(&document);
}

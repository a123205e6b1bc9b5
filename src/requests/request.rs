//! A question as another program puts it: the name of the question, what it is about, and its options.

use serde_json::{Map, Value, json};

use super::bench::{BalanceOptions, BandsOptions, BushesOptions, ClutchOptions, FloatOptions, NeutralOptions};
use super::check::CheckOptions;
use super::explore::ExploreOptions;
use super::formula::FormulaOptions;
use super::found::FoundOptions;
use super::job::JobOptions;
use super::keys_once::KeysOnce;
use super::loads::LoadsOptions;
use super::marks::MarksOptions;
use super::matches::MatchOptions;
use super::motion::MotionOptions;
use super::options::{GivenOptions, OptionKind, OptionWords, QuestionOptions as _};
use super::ratios::RatiosOptions;
use super::teeth::{BacklashOptions, CloseOptions, IdentifyOptions, OrderOptions};
use super::timing::TimingOptions;
use super::wrong::WrongOptions;
use super::{AskedAbout, NoAnswer, Question, QuestionReply, Refusal};
use crate::report::Answer as _;

/// Every question once: its name, which is that of the command, and its options.
macro_rules! questions {
    ($($name:literal $options:ident,)+) => {
        /// The names of the questions.
        const QUESTIONS: &[&str] = &[$($name),+];

        /// The answer to a request, whose identity is not known here.
        pub(super) fn reply(request: &QuestionRequest) -> Result<QuestionReply, NoAnswer> {
            match request.question.as_str() {
                $($name => replied::<$options>(request),)+
                unknown => Err(Refusal::unknown("question", unknown, QUESTIONS).into()),
            }
        }

        /// Every question with its options.
        fn told() -> Vec<(&'static str, Vec<OptionWords>)> {
            let mut all = vec![$(($name, Vec::new())),+];
            let tell: &[fn(&mut Vec<OptionWords>)] = &[$($options::told),+];
            all.iter_mut().zip(tell).for_each(|((_, list), tell)| tell(list));
            all
        }
    };
}

questions! {
    "check" CheckOptions,
    "timing" TimingOptions,
    "marks" MarksOptions,
    "found" FoundOptions,
    "wrong" WrongOptions,
    "match" MatchOptions,
    "ratios" RatiosOptions,
    "formula" FormulaOptions,
    "explore" ExploreOptions,
    "loads" LoadsOptions,
    "motion" MotionOptions,
    "teeth identify" IdentifyOptions,
    "teeth close" CloseOptions,
    "teeth order" OrderOptions,
    "teeth backlash" BacklashOptions,
    "bench balance" BalanceOptions,
    "bench bands" BandsOptions,
    "bench bushes" BushesOptions,
    "bench clutch" ClutchOptions,
    "bench float" FloatOptions,
    "bench neutral" NeutralOptions,
    "job" JobOptions,
}

/// A question as another program puts it.
#[derive(Debug, Clone, PartialEq, Default)]
#[non_exhaustive]
pub struct QuestionRequest {
    /// What the request is called by whoever asks; it is given back with the answer.
    pub id: Option<Value>,
    /// The name of the question, which is that of the command: `ratios`.
    pub question: String,
    /// What it is about: the text of a description or of a job, the name of a built-in gearset, or the gears on a pin.
    pub description: Option<String>,
    /// A file with the description, for a program that reads files; it takes the place of the description.
    pub file: Option<String>,
    /// The options of the command by their names, as they are typed, or as numbers, `true` and lists.
    pub options: Map<String, Value>,
}

fn replied<Q: Question>(request: &QuestionRequest) -> Result<QuestionReply, NoAnswer> {
    let question: Q = GivenOptions::read(&request.options)?;
    if request.file.is_some() {
        return Err(NoAnswer::new("a file is named, and no files are read here", "give its text as the description"));
    }
    let mut about = request.description.as_deref().map_or_else(AskedAbout::not_named, AskedAbout::named);
    let (set, answer) = question.ask(&mut about)?;
    Ok(QuestionReply {
        outcome: Some(answer.outcome()),
        answer: Some(answer.json_value(&set)),
        notes: about.notes(),
        ..QuestionReply::default()
    })
}

/// What is said of a key that an object has twice, of which the later would win unseen.
fn key_given_twice(json: &str) -> Option<Refusal> {
    let error = serde_json::from_str::<KeysOnce>(json).err()?;
    // The error ends with its place, which a request on one line has told by the column.
    let told = error.to_string();
    let told = told.split(" at line ").next().unwrap_or_default();
    Some(Refusal::new(format!("{told} at column {}", error.column()), "leave one of the two out"))
}

/// What a request looks like.
const REQUEST_HINT: &str = r#"write an object on one line: {"question": "ratios", "description": "inspection-railcar", "options": {"rpm": 900}}"#;

impl QuestionRequest {
    /// Reads a request from JSON.
    ///
    /// # Errors
    /// What is wrong with it, as the reply.
    pub fn read(json: &str) -> Result<Self, Box<QuestionReply>> {
        let value = serde_json::from_str(json).map_err(|error| {
            let told = error.to_string().replace(" at line 1 column ", " at column ");
            Refusal::new(format!("the request is no JSON: {told}"), REQUEST_HINT)
        });
        let value = value.map_err(|refusal| Box::new(QuestionReply::refused(None, refusal)))?;
        let Value::Object(mut fields) = value else {
            let refusal = Refusal::new("the request is no JSON object", REQUEST_HINT);
            return Err(Box::new(QuestionReply::refused(None, refusal)));
        };
        let id = fields.remove("id");
        if let Some(again) = key_given_twice(json) {
            return Err(Box::new(QuestionReply::refused(id, again)));
        }
        let mut wrong = Vec::new();
        let request = Self::of_fields(id.clone(), fields, &mut wrong);
        if wrong.is_empty() { Ok(request) } else { Err(Box::new(QuestionReply::refused(id, wrong))) }
    }

    fn of_fields(id: Option<Value>, fields: Map<String, Value>, wrong: &mut Vec<Refusal>) -> Self {
        let mut request = Self { id, ..Self::default() };
        let mut is_asked = false;
        for (key, value) in fields {
            match (key.as_str(), value) {
                ("question", Value::String(text)) => (request.question, is_asked) = (text, true),
                ("description", Value::String(text)) => request.description = Some(text),
                ("file", Value::String(text)) => request.file = Some(text),
                ("options", Value::Object(options)) => request.options = options,
                ("description" | "file" | "options", Value::Null) => {}
                ("options", _) => wrong.push(Refusal::new("options is no object", REQUEST_HINT)),
                ("question" | "description" | "file", _) => {
                    is_asked |= key == "question";
                    wrong.push(Refusal::new(format!("{key} is no text"), REQUEST_HINT));
                }
                (unknown, _) => {
                    let known = ["id", "question", "description", "file", "options"];
                    wrong.push(Refusal::unknown("key", unknown, &known));
                }
            }
        }
        if !is_asked {
            let hint = format!("add \"question\" with one of {}", QUESTIONS.join(", "));
            wrong.push(Refusal::new("the request names no question", hint));
        }
        if request.description.is_some() && request.file.is_some() {
            wrong.push(Refusal::new("a description and a file are given", "give one of the two"));
        }
        request
    }
}

/// The JSON Schema of requests, indented, with a line break at its end.
pub fn request_schema() -> String {
    let questions: Vec<Value> = told().iter().map(|(name, options)| of_question(name, options)).collect();
    let schema = json!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "QuestionRequest",
        "description": "A question as another program puts it.",
        "oneOf": questions,
    });
    format!("{schema:#}\n")
}

fn of_question(name: &str, options: &[OptionWords]) -> Value {
    let properties: Map<String, Value> = options.iter().map(|it| (it.name.to_owned(), of_option(it))).collect();
    let text = |what: &str| json!({ "description": what, "type": ["string", "null"] });
    json!({
        "type": "object",
        "properties": {
            "id": { "description": "What the request is called; it is given back with the answer." },
            "question": { "const": name },
            "description":
                text("The text of a description or of a job, the name of a built-in gearset, or the gears on a pin."),
            "file": text("A file with the description, for a program that reads files."),
            "options": {
                "description": "The options of the command.",
                "type": ["object", "null"],
                "properties": properties,
                "additionalProperties": false,
            },
        },
        "required": ["question"],
        "additionalProperties": false,
    })
}

fn of_option(OptionWords { help, takes, .. }: &OptionWords) -> Value {
    match takes {
        OptionKind::Flag => json!({ "description": help, "type": ["boolean", "null"] }),
        OptionKind::One => json!({ "description": help, "type": ["string", "number", "null"] }),
        OptionKind::Several => json!({
            "description": help,
            "type": ["string", "number", "array", "null"],
            "items": { "type": ["string", "number"] },
        }),
    }
}

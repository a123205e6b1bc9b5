//! `toothmark answer`: requests from standard input and their answers on standard output, both as JSON, one a line.
//!
//! A process that asks and waits gets its answer at once; one that sends many is written to in larger pieces. A line is no
//! longer than a request can be, and of a longer one nothing is kept. What is wrong with a request is its answer, with the
//! line that it stands in; only a stream that breaks is a trouble, and a reader that closes ends the program quietly.

use std::io::{self, BufRead, BufReader, BufWriter, IsTerminal as _, Write};
use std::path::Path;

use toothmark::description::{self, LARGEST_FILE};
use toothmark::requests::{NoAnswer, QuestionReply, QuestionRequest, Refusal};

use super::exit::Exit;
use super::input::{ReadAs, source_of};
use super::output::eprint_notes;
use super::trouble::Trouble;

/// The most bytes of a line: a description of any size, every letter of it escaped.
const LONGEST_LINE: usize = 6 * LARGEST_FILE + (1 << 16);

/// So many bytes are read and written at once.
const BUFFERED: usize = 1 << 16;

/// A line as it was read.
enum RequestLine {
    Text(Vec<u8>),
    TooLong,
}

/// Answers what is asked on standard input.
pub(super) fn answer() -> Result<Exit, Trouble> {
    if io::stdin().is_terminal() {
        let example = r#"{"question": "ratios", "description": "inspection-railcar"}"#;
        eprint_notes([format!("a request a line, such as {example}; end with Ctrl-D")]);
    }
    let mut requests = BufReader::with_capacity(BUFFERED, io::stdin().lock());
    let answered = answer_all(&mut requests, &mut BufWriter::with_capacity(BUFFERED, io::stdout().lock()));
    match answered {
        Err(error) if error.kind() != io::ErrorKind::BrokenPipe => Err(Trouble::new(
            format!("requests and answers could not go on: {error}"),
            "look at the program that asks and at the one that reads the answers",
        )),
        _ => Ok(Exit::Done),
    }
}

/// Answers every line; an answer is held back only while further requests are there already.
fn answer_all<R: io::Read>(requests: &mut BufReader<R>, answers: &mut impl Write) -> io::Result<()> {
    let mut number = 0;
    while let Some(line) = next_line(requests)? {
        number += 1;
        if let Some(mut reply) = replied(line) {
            reply.line = (!reply.errors.is_empty()).then_some(number);
            answers.write_all(reply.json_line().as_bytes())?;
        }
        if !requests.buffer().contains(&b'\n') {
            answers.flush()?;
        }
    }
    answers.flush()
}

/// The next line without its end, of which no more is kept than a request can have.
fn next_line(requests: &mut impl BufRead) -> io::Result<Option<RequestLine>> {
    let mut line = Vec::new();
    let mut is_too_long = false;
    loop {
        let there = requests.fill_buf()?;
        if there.is_empty() && line.is_empty() && !is_too_long {
            return Ok(None);
        }
        let end = there.iter().position(|&byte| byte == b'\n');
        let is_whole = end.is_some() || there.is_empty();
        let part = &there[..end.unwrap_or(there.len())];
        is_too_long |= line.len() + part.len() > LONGEST_LINE;
        if is_too_long {
            line = Vec::new();
        } else {
            line.extend_from_slice(part);
        }
        let used = part.len() + usize::from(end.is_some());
        requests.consume(used);
        if is_whole {
            return Ok(Some(if is_too_long { RequestLine::TooLong } else { RequestLine::Text(line) }));
        }
    }
}

/// What is said to a line; nothing to a blank one.
fn replied(line: RequestLine) -> Option<QuestionReply> {
    let RequestLine::Text(bytes) = line else {
        let sentence = format!("the line is longer than {LONGEST_LINE} bytes");
        return Some(QuestionReply::refused(None, Refusal::new(sentence, "send a shorter description")));
    };
    let Ok(text) = std::str::from_utf8(&bytes) else {
        let refusal = Refusal::new("the line is not UTF-8", "write JSON in UTF-8");
        return Some(QuestionReply::refused(None, refusal));
    };
    (!text.trim().is_empty()).then(|| QuestionRequest::read(text).map_or_else(|wrong| *wrong, answered))
}

/// The answer to a request, whose description may stand in a file.
fn answered(mut request: QuestionRequest) -> QuestionReply {
    if let Some(file) = request.file.take() {
        match text_of(&file) {
            Ok(text) => request.description = Some(text),
            Err(reason) => return QuestionReply::refused(request.id, reason),
        }
    }
    toothmark::answer(&request)
}

/// The text of a description in a file.
fn text_of(file: &str) -> Result<String, NoAnswer> {
    if file == "-" {
        return Err(NoAnswer::new("standard input has the requests", "name a file, or give the text as description"));
    }
    match source_of(Path::new(file), ReadAs::Description) {
        Ok(source) => Ok(description::text_of(&source.bytes)?.to_owned()),
        Err(Trouble::Refused(refusals)) => Err(refusals.into()),
        Err(Trouble::Faults { faults, .. }) => Err(faults.into()),
    }
}

//! Can a number of any size in a text become a length, a bound of a loop or a place?
//!
//! Every number of every built-in gearset, and of a job and a request, is replaced by one that nothing has so many of, and by
//! one in quotes, which cannot be read and leaves a gap. A count of pins in quotes was once taken for as many as there are
//! addresses, and a thousand million asked for 48 GB.

use toothmark::description::{self, example, examples};
use toothmark::job;
use toothmark::tooth_search::RequestSource;

use crate::support::sets::read_file;

/// What takes the place of a number.
const INSTEAD: [&str; 3] = ["1000000000", "9223372036854775807", "\"3\""];

/// The text with each of its numbers replaced by each of these, one at a time.
fn changed(text: &str) -> impl Iterator<Item = String> {
    // A number stands behind a bracket, a comma or a colon; any other digit is in a name or in a number.
    let starts = text.match_indices(|letter: char| letter.is_ascii_digit()).map(|(start, _)| start);
    let is_number = move |&start: &usize| ["(", "[", ", ", ": "].iter().any(|before| text[..start].ends_with(before));
    let starts = starts.filter(is_number);
    starts.flat_map(move |start| {
        let digits = text[start..].find(|letter: char| !letter.is_ascii_digit()).unwrap_or(text.len() - start);
        INSTEAD.map(|other| [&text[..start], other, &text[start + digits..]].concat())
    })
}

#[test]
fn no_number_of_a_description_is_a_length() {
    let mut tried = 0;
    for example in examples() {
        for text in changed(example.text) {
            let read = description::read(&text);
            // What is taken is of a size that a gearset can have.
            assert!(read.is_err() || read.is_ok_and(|set| set.members().len() < 100), "{text}");
            tried += 1;
        }
    }
    assert!(tried > 1_000, "{tried} numbers");
}

#[test]
fn no_number_of_a_job_or_a_request_is_a_length() {
    let mut tried = 0;
    for text in changed(&read_file("tests/jobs/version-2.ron")) {
        tried += usize::from(job::read(&text).is_err());
    }
    assert!(tried > 20, "{tried} jobs are refused");
    let set = description::read(example("inspection-railcar").expect("it is built in")).expect("it is sound");
    let request = "Search(gearset: \"inspection-railcar\", teeth: {\"L\": (15, 30), \"l\": OneOf([(18, 20), 22])}, stock: [(1, 9)], \
                   pins: {\"cluster\": [3, 4]}, ratios: {\"low\": Near(2)}, most_parts: 3, most_cost: 4, fewest_teeth: 9, \
                   costs: {\"cluster\": 3}, room: 1, margin: 0, center_distances: Within(2))";
    assert!(RequestSource::read_bytes(request.as_bytes()).is_ok_and(|read| read.request(&set).is_ok()), "it is sound");
    let mut refused = 0;
    for text in changed(request) {
        let read = RequestSource::read_bytes(text.as_bytes()).and_then(|read| read.request(&set).map(drop));
        refused += usize::from(read.is_err());
    }
    assert!(refused > 20, "{refused} requests are refused");
}

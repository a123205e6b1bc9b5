//! A description as it is first written: with a comment at each part that says how to go on.

use toothmark::description;
use toothmark::gearset::Gearset;

/// The comments, each with the beginning of the line that it stands above.
const COMMENTS: &[(&str, &str)] = &[
    (
        "    members: {",
        "What turns on the main axis, with the gears solid with it; Sun has teeth outside, Ring inside.",
    ),
    ("    planets: {", "What turns on the pins. Uneven pins: pins: Degrees([0, 91.5, 180])."),
    (
        "    meshes: [",
        "Which gears touch. What is known of one mesh alone: (\"S\", \"p\", (backlash: Millimetres(0.1))).",
    ),
    ("    controls: {", "What can be held or coupled."),
    ("    states: {", "What is applied in each state; toothmark ratios answers for all of them."),
];

/// The text of the description.
pub(super) fn written(set: &Gearset) -> String {
    let mut text = String::from("// Tooth counts as counted: count twice, and let `toothmark check` look at them.\n");
    for line in description::write(set.draft()).lines() {
        if let Some((_, comment)) = COMMENTS.iter().find(|(beginning, _)| line.starts_with(beginning)) {
            text.extend(["    // ", comment, "\n"]);
        }
        text += line;
        text += "\n";
    }
    text
}

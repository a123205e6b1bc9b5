//! Other tooth counts: comparing gearsets and searching for better ones.

/// Gearsets side by side: parts that change, what is printed, the chart read back.
mod comparison;
/// The search for other tooth counts as a process: parts, Ctrl-C, files, formats, wrong requests.
mod search_program;
/// What is wished for and what is told where it cannot be: signs, gears that are to be free as well, values of the train.
mod search_wishes;
/// The search for other tooth counts against asking every analysis about every combination.
mod teeth_search;

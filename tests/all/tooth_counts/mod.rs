//! Other tooth counts: comparing gearsets and searching for better ones.

/// Gearsets side by side: parts that change, what is printed, the chart read back.
mod comparison;
/// The search for other tooth counts as a process: parts, Ctrl-C, files, formats, wrong requests.
mod search_program;
/// The search for other tooth counts against asking every analysis about every combination.
mod teeth_search;

//! What a person sees while an answer takes its time: from the second second on a line on standard error, where that is a
//! terminal; it goes before the answer comes.

use std::io::{self, IsTerminal as _};
use std::sync::mpsc::{RecvTimeoutError, channel};
use std::thread;
use std::time::Duration;

use indicatif::{ProgressBar, ProgressStyle};

/// How long nobody minds.
const PATIENCE: Duration = Duration::from_secs(1);

/// How often the line moves.
const TICK: Duration = Duration::from_millis(120);

/// Does some work; whoever waits for it at a terminal is told that it goes on.
pub(super) fn at_work<T>(work: impl FnOnce() -> T) -> T {
    if !io::stderr().is_terminal() {
        return work();
    }
    let (at_its_end, end) = channel::<()>();
    thread::scope(|scope| {
        scope.spawn(move || {
            // Nothing is sent: the channel is closed when the work is done.
            if end.recv_timeout(PATIENCE) == Err(RecvTimeoutError::Timeout) {
                let line = line();
                let _ = end.recv();
                line.finish_and_clear();
            }
        });
        let done = work();
        drop(at_its_end);
        done
    })
}

fn line() -> ProgressBar {
    let style = ProgressStyle::with_template("{spinner} at work, {elapsed} gone; Ctrl-C ends it");
    let line = ProgressBar::new_spinner().with_elapsed(PATIENCE).with_style(style.expect("the template is sound"));
    line.enable_steady_tick(TICK);
    line
}

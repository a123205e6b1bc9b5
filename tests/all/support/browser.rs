//! A browser for the other tests: a real Chromium without a window, spoken to over a pair of pipes.
//!
//! Messages are JSON, each with a zero byte behind it (the DevTools protocol over
//! `--remote-debugging-pipe`); the browser reads file descriptor 3 and writes 4, which a shell joins to two
//! named pipes. Where there is no browser the tests say so and do nothing, unless `TOOTHMARK_BROWSER` is
//! `required`, as it is in `.ci/run`.

use std::fs::{self, File};
use std::io::{BufRead as _, BufReader, Write as _};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};

use serde_json::{Value, json};

/// A browser with one page open.
pub(crate) struct Browser {
    child: Child,
    folder: PathBuf,
    requests: File,
    answers: BufReader<File>,
    session: Option<String>,
    sent: u64,
    /// What the browser told without being asked.
    events: Vec<Value>,
}

impl Browser {
    /// The browser, if there is one; its files are in a folder of this name, where the page has to be.
    pub(crate) fn open(name: &str, html: &str) -> Option<Self> {
        let is_there = Command::new("sh").args(["-c", "command -v chromium"]).stdout(Stdio::null()).status();
        if !is_there.is_ok_and(|status| status.success()) {
            assert!(std::env::var("TOOTHMARK_BROWSER").as_deref() != Ok("required"), "there is no chromium");
            // Not by a macro: what those print is kept back where a test succeeds.
            writeln!(std::io::stderr(), "SKIPPED, no browser: {name}").expect("standard error is open");
            return None;
        }
        let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("browser-{name}"));
        let _ = fs::remove_dir_all(&folder);
        fs::create_dir_all(&folder).expect("the folder can be made");
        let pipes = Command::new("mkfifo").current_dir(&folder).args(["in", "out"]).status();
        assert!(pipes.expect("mkfifo is there").success(), "the pipes can be made");
        fs::write(folder.join("page.html"), html).expect("the page can be written");
        // As root there is no sandbox, and the page is our own.
        let line = "exec chromium --headless --no-sandbox --disable-gpu --disable-dev-shm-usage --no-first-run \
                    --window-size=1200,900 --user-data-dir=profile --remote-debugging-pipe 3<in 4>out";
        let mut command = Command::new("sh");
        command.args(["-c", line]).current_dir(&folder).stdout(Stdio::null()).stderr(Stdio::null());
        let child = command.spawn().expect("the browser starts");
        let requests = fs::OpenOptions::new().write(true).open(folder.join("in")).expect("it reads");
        let answers = BufReader::new(File::open(folder.join("out")).expect("it writes"));
        let mut browser = Self { child, folder, requests, answers, session: None, sent: 0, events: Vec::new() };
        let target = browser.ask("Target.createTarget", &json!({ "url": "about:blank" }));
        let target = json!({ "targetId": target["targetId"], "flatten": true });
        browser.session = browser.ask("Target.attachToTarget", &target)["sessionId"].as_str().map(ToOwned::to_owned);
        for domain in ["Page", "Runtime", "Log", "Network"] {
            browser.ask(&format!("{domain}.enable"), &json!({}));
        }
        browser.load();
        Some(browser)
    }

    /// Loads the page anew.
    pub(crate) fn load(&mut self) {
        let url = format!("file://{}", self.folder.join("page.html").display());
        self.events.clear();
        self.ask("Page.navigate", &json!({ "url": url }));
        while !self.events.iter().any(|event| event["method"] == "Page.loadEventFired") {
            let event = self.next();
            self.events.push(event);
        }
    }

    /// The next message of the browser.
    fn next(&mut self) -> Value {
        let mut message = Vec::new();
        self.answers.read_until(0, &mut message).expect("the pipe can be read");
        assert_eq!(message.pop(), Some(0), "the browser has ended");
        serde_json::from_slice(&message).expect("it speaks JSON")
    }

    /// Asks, and waits for the answer.
    #[track_caller]
    pub(crate) fn ask(&mut self, method: &str, parameters: &Value) -> Value {
        self.sent += 1;
        let mut message = json!({ "id": self.sent, "method": method, "params": parameters });
        if let Some(session) = &self.session {
            message["sessionId"] = json!(session);
        }
        write!(self.requests, "{message}\0").expect("the pipe can be written");
        loop {
            let answer = self.next();
            if answer["id"] == json!(self.sent) {
                assert!(answer["error"].is_null(), "{method}: {answer}");
                return answer["result"].clone();
            }
            self.events.push(answer);
        }
    }

    /// The value of a script in the page.
    #[track_caller]
    pub(crate) fn value(&mut self, script: &str) -> Value {
        let question = json!({ "expression": script, "returnByValue": true, "awaitPromise": true });
        let answer = self.ask("Runtime.evaluate", &question);
        assert!(answer["exceptionDetails"].is_null(), "{script}: {answer}");
        answer["result"]["value"].clone()
    }

    /// A text of the page: of the first element that a selector finds.
    #[track_caller]
    pub(crate) fn text(&mut self, selector: &str) -> String {
        let text = self.value(&format!("document.querySelector({}).textContent", json!(selector)));
        text.as_str().expect("a text").to_owned()
    }

    /// Presses the mouse in the middle of an element.
    #[track_caller]
    pub(crate) fn click(&mut self, selector: &str) {
        let script = "(() => { const element = document.querySelector(SELECTOR); \
                      element.scrollIntoView({ block: 'center' }); const box = element.getBoundingClientRect(); \
                      return [box.x + box.width / 2, box.y + box.height / 2]; })()";
        let at = self.value(&script.replace("SELECTOR", &json!(selector).to_string()));
        for kind in ["mousePressed", "mouseReleased"] {
            let event = json!({ "type": kind, "x": at[0], "y": at[1], "button": "left", "clickCount": 1 });
            self.ask("Input.dispatchMouseEvent", &event);
        }
    }

    /// Presses a key: its name, its number, the text that it writes.
    pub(crate) fn key(&mut self, key: &str, number: u32, text: &str) {
        for kind in ["keyDown", "keyUp"] {
            let mut event = json!({ "type": kind, "key": key, "code": key, "windowsVirtualKeyCode": number });
            if kind == "keyDown" && !text.is_empty() {
                event["text"] = json!(text);
            }
            self.ask("Input.dispatchKeyEvent", &event);
        }
    }

    /// The page printed as a PDF, as by default where it says how large its paper is.
    pub(crate) fn print(&mut self) -> Vec<u8> {
        let answer = self.ask("Page.printToPDF", &json!({ "preferCSSPageSize": true, "printBackground": false }));
        decoded(answer["data"].as_str().expect("a text"))
    }

    /// What went wrong in the page, and what it asked for beside itself.
    pub(crate) fn complaints(&mut self) -> Vec<String> {
        // Whatever happened before this answer has been told before it.
        self.value("new Promise(done => setTimeout(done, 50))");
        let is_complaint = |event: &Value| match event["method"].as_str() {
            Some("Runtime.exceptionThrown") => true,
            Some("Runtime.consoleAPICalled") => event["params"]["type"] == "error",
            Some("Log.entryAdded") => event["params"]["entry"]["level"] == "error",
            Some("Network.requestWillBeSent") => {
                let url = event["params"]["request"]["url"].as_str().unwrap_or_default();
                !(url.starts_with("file://") && url.ends_with("/page.html"))
            }
            _ => false,
        };
        self.events.iter().filter(|event| is_complaint(event)).map(ToString::to_string).collect()
    }
}

impl Drop for Browser {
    fn drop(&mut self) {
        let _ = write!(self.requests, "{}\0", json!({ "id": 0, "method": "Browser.close" }));
        let _ = self.child.wait();
    }
}

/// Bytes written in base 64 (RFC 4648, section 4): six bits a letter.
fn decoded(text: &str) -> Vec<u8> {
    let letters = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let bits = |letter: u8| letters.iter().position(|other| *other == letter).expect("a letter of base 64");
    let mut bytes = Vec::new();
    for four in text.trim_end_matches('=').as_bytes().chunks(4) {
        let value = four.iter().fold(0, |value, letter| value << 6 | bits(*letter)) << (6 * (4 - four.len()));
        let three = u32::try_from(value).expect("24 bits").to_be_bytes();
        bytes.extend(&three[1..four.len()]);
    }
    bytes
}

//! A folder of a test, taken away at its end.

use std::fs;
use std::path::{Path, PathBuf};

pub(crate) struct Folder(pub(crate) PathBuf);

impl Folder {
    /// An empty folder of this name.
    pub(crate) fn new(name: &str) -> Self {
        let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
        let _ = fs::remove_dir_all(&folder);
        fs::create_dir_all(&folder).expect("the folder can be made");
        Self(folder)
    }

    pub(crate) fn path(&self, name: &str) -> String {
        self.0.join(name).display().to_string()
    }

    /// Writes a file, and gives its path.
    pub(crate) fn write(&self, name: &str, text: &str) -> String {
        fs::write(self.0.join(name), text).expect("it can be written");
        self.path(name)
    }

    #[track_caller]
    pub(crate) fn text(&self, name: &str) -> String {
        fs::read_to_string(self.0.join(name)).unwrap_or_else(|error| panic!("{name}: {error}"))
    }

    /// The names of what is in it, sorted.
    pub(crate) fn names(&self) -> Vec<String> {
        let there = fs::read_dir(&self.0).expect("it is there").map(|entry| entry.expect("it can be read").file_name());
        let mut names: Vec<String> = there.map(|name| name.to_string_lossy().into_owned()).collect();
        names.sort();
        names
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = fs::remove_dir_all(&self.0);
    }
}

//! A folder of a test's own, the real program run in it, and what a run ended with.
#![allow(dead_code, reason = "each test takes what it needs of it")]

use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

use serde_json::Value;
use tempfile::TempDir;

/// What a run ended with.
pub(crate) struct Run {
    pub(crate) code: i32,
    pub(crate) out: String,
    pub(crate) err: String,
}

impl Run {
    /// What a run of the program ended with.
    pub(crate) fn of(output: Output) -> Self {
        Self {
            code: output.status.code().unwrap_or(-1),
            out: String::from_utf8(output.stdout).expect("UTF-8"),
            err: String::from_utf8(output.stderr).expect("UTF-8"),
        }
    }

    /// Good, with nothing on standard error.
    #[track_caller]
    pub(crate) fn made(self) -> Self {
        assert_eq!((self.code, self.err.as_str()), (0, ""), "good: {}", self.out);
        self
    }

    /// Refused, with everything in these words on standard error and nothing on standard output.
    #[track_caller]
    pub(crate) fn refused(self, words: &[&str]) -> Self {
        assert_eq!((self.code, self.out.as_str()), (1, ""), "refused: {}", self.err);
        self.says(words)
    }

    /// The machine failed: told on standard error, with nothing on standard output.
    #[track_caller]
    pub(crate) fn failed(self, words: &[&str]) -> Self {
        assert_eq!((self.code, self.out.as_str()), (3, ""), "failed: {}", self.err);
        self.says(words)
    }

    #[track_caller]
    fn says(self, words: &[&str]) -> Self {
        for word in words {
            assert!(self.err.contains(word), "`{word}` is not in:\n{}", self.err);
        }
        assert!(!self.err.contains("panicked"), "{}", self.err);
        self
    }

    #[track_caller]
    pub(crate) fn json(&self) -> Value {
        serde_json::from_str(&self.out).unwrap_or_else(|error| panic!("{error} in:\n{}", self.out))
    }
}

/// A folder of this test's own.
pub(crate) struct Bench {
    pub(crate) folder: TempDir,
}

impl Bench {
    pub(crate) fn new() -> Self {
        Self { folder: TempDir::new().expect("a folder") }
    }

    pub(crate) fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    /// Writes a file, and gives its path.
    pub(crate) fn file(&self, name: &str, text: &str) -> String {
        let path = self.path(name);
        std::fs::create_dir_all(path.parent().expect("a folder")).expect("a folder");
        std::fs::write(&path, text).expect("a file");
        path.display().to_string()
    }

    pub(crate) fn text(&self, name: &str) -> String {
        std::fs::read_to_string(self.path(name)).expect(name)
    }

    /// The program with these words, in this folder: no shop of the person who tests is found.
    pub(crate) fn command(&self, arguments: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_barwright"));
        command.args(arguments).current_dir(self.folder.path()).stdin(Stdio::null());
        command.env_remove("BARWRIGHT_SHOP").env("XDG_CONFIG_HOME", self.path("settings"));
        command
    }

    pub(crate) fn run(&self, arguments: &[&str]) -> Run {
        Run::of(self.command(arguments).output().expect("the program starts"))
    }

    /// `make joining-key` into `key`, with more words.
    pub(crate) fn make(&self, more: &[&str]) -> Run {
        self.run(&[&["make", "joining-key", "-o", "key"], more].concat())
    }

    /// Nothing was left behind, whole or half.
    #[track_caller]
    pub(crate) fn untouched(&self) {
        assert_eq!(names(self.folder.path()), Vec::<String>::new(), "nothing was written");
    }
}

/// The names in a folder.
pub(crate) fn names(folder: &Path) -> Vec<String> {
    let listing = std::fs::read_dir(folder).expect("a folder");
    let mut names: Vec<String> =
        listing.map(|item| item.expect("a file").file_name().to_string_lossy().into_owned()).collect();
    names.sort();
    names
}

pub(crate) fn families() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../families")
}

pub(crate) fn key_text() -> String {
    std::fs::read_to_string(families().join("joining-key.yaml")).expect("the family")
}

/// The demo shop copied, with one text in one file put in the place of another.
pub(crate) fn shop_with(bench: &Bench, file: &str, from: &str, to: &str) -> String {
    let copy = bench.path("shop");
    std::fs::create_dir_all(&copy).expect("a folder");
    for name in names(&families().join("shop")) {
        let mut text = std::fs::read_to_string(families().join("shop").join(&name)).expect("a file");
        if name == file {
            assert!(text.contains(from), "{file} holds `{from}`");
            text = text.replacen(from, to, 1);
        }
        std::fs::write(copy.join(name), text).expect("a file");
    }
    copy.display().to_string()
}

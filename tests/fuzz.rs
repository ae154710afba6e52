//! Whatever strangers write, it is answered: each reader of the house on texts that nobody meant.
//!
//! Texts of a kept corpus (`tests/fuzz/corpus`, and the house's own files) are changed by
//! `mutate` and given to the readers of `targets`. A text whose answer is of a new kind joins the
//! corpus of the run. A panic, a stack or a heap that is too small and a run that takes too long
//! are findings: each is kept as a file under `target/fuzzed`, named at the end, and fails the run.
//!
//! Each target runs in a process of its own, which writes down the text before it reads it: what
//! kills the process is known too. The same row of texts on every machine.
//!
//! - `cargo test -p barwright-tests --test fuzz` tries some dozens to hundreds, with checks of overflow;
//! - `FUZZ_COUNT=5000 cargo test --release …` tries so many texts of each target;
//! - `FUZZ=900 cargo test --profile fuzz …` goes on for so many seconds with each target;
//! - `FUZZ_ONLY=program,formula` picks targets, `FUZZ_SEED=7` another row of texts;
//! - `FUZZ_KEEP=40` keeps as many short texts of new kinds in the corpus in the house.
#![allow(clippy::print_stdout, reason = "a run tells what it did")]
#![allow(clippy::format_push_string, reason = "texts of a test are put together piece by piece")]

#[path = "fuzz/mutate.rs"]
mod mutate;
#[path = "fuzz/run.rs"]
mod run;
#[path = "fuzz/targets.rs"]
mod targets;

use std::process::{Child, Command, ExitCode};
use std::{env, fs};

use barwright_tests::house;

/// What a run may hold in memory: more is a finding.
#[global_allocator]
static HEAP: cap::Cap<std::alloc::System> = cap::Cap::new(std::alloc::System, 384 * 1024 * 1024);

/// How many texts of each target where nothing is said.
const USUAL: u64 = if cfg!(debug_assertions) { 100 } else { 3_000 };

fn main() -> ExitCode {
    let arguments: Vec<String> = env::args().skip(1).collect();
    if let [word, target] = arguments.as_slice()
        && word == "--one-target"
    {
        return run::one_target(target);
    }
    // The words of the usual harness: a list is asked for by those who collect tests.
    if arguments.iter().any(|word| word == "--list") {
        return ExitCode::SUCCESS;
    }
    // What cannot fail tells nothing: a reader that panics, and one that falls through its stack.
    for name in targets::BROKEN {
        let output = Command::new(env::current_exe().expect("this program has a place"))
            .args(["--one-target", name])
            .current_dir(house())
            .env("FUZZ_COUNT", "3")
            .env_remove("FUZZ")
            .env_remove("FUZZ_KEEP")
            .output()
            .expect("this program starts");
        assert!(!output.status.success(), "{name} is not noticed: {}", String::from_utf8_lossy(&output.stdout));
    }
    let only = env::var("FUZZ_ONLY").unwrap_or_default();
    let chosen: Vec<&str> = targets::NAMES
        .iter()
        .copied()
        .filter(|name| only.is_empty() || only.split(',').any(|word| word == *name))
        .collect();
    let mut failed = 0;
    let cores = std::thread::available_parallelism().map_or(1, std::num::NonZero::get);
    let mut waiting = chosen.into_iter();
    let mut running: Vec<(&str, Child)> = Vec::new();
    loop {
        while running.len() < cores {
            let Some(name) = waiting.next() else { break };
            running.push((name, begin(name)));
        }
        if running.is_empty() {
            break;
        }
        let (name, mut child) = running.remove(0);
        let end = child.wait().expect("a process that was started ends");
        if !end.success() {
            failed += 1;
            println!("{name}: {end}");
            if end.code() != Some(1) {
                let now = run::folder().join(format!("{name}.now"));
                let kept = run::folder().join(format!("{name}-killed.txt"));
                let _gone = fs::copy(&now, &kept);
                println!("  it was killed by {}", kept.display());
            }
        }
    }
    if failed == 0 { ExitCode::SUCCESS } else { ExitCode::FAILURE }
}

fn begin(name: &str) -> Child {
    Command::new(env::current_exe().expect("this program has a place"))
        .args(["--one-target", name])
        .current_dir(house())
        .spawn()
        .expect("this program starts")
}

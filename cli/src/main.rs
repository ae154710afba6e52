//! Barwright on the command line: thin around `barwright_core`, which knows nothing of files.

mod adjust;
mod anew;
mod args;
mod batch;
mod check;
mod clean;
mod embedded;
mod explain;
mod families;
mod files;
mod help;
mod holes;
mod leftover;
mod lines;
mod list;
mod make;
mod manual;
mod new;
mod page;
#[cfg(feature = "png")]
mod picture;
mod prove;
mod reference;
mod report;
mod save;
mod shop;
mod standard;
mod summary;
mod table;
mod trace;

use std::io::{ErrorKind, Write};
use std::process::ExitCode;
use std::sync::atomic::{AtomicBool, Ordering};

use clap::Parser;
use serde_json::json;

use args::{Arguments, Command};

/// What a command ends with: text for standard output, or findings for standard error.
type Outcome = Result<String, Failure>;

/// Why a command stops.
#[derive(Debug)]
enum Failure {
    /// What was asked for cannot be made, or a file or size is wrong: the text says so.
    Refused(String),
    /// Refused, and told on standard output: for those who read JSON.
    Told(String),
    /// The machine did not do its part: a folder that cannot be written, a file that may not be read.
    Machine(String),
    /// The machine did not do its part, and it is told on standard output: for those who read JSON.
    Broken(String),
}

/// Whether more is told than is asked for.
static VERBOSE: AtomicBool = AtomicBool::new(false);

/// Tells something on standard error to those who want to know more.
fn remark(text: &str) {
    if VERBOSE.load(Ordering::Relaxed) {
        complain(text, 0);
    }
}

fn main() -> ExitCode {
    let arguments = Arguments::parse();
    let command = &arguments.command;
    VERBOSE.store(arguments.voice.verbose, Ordering::Relaxed);
    if let Some(asked) = command.shop() {
        remark(&match files::place(asked) {
            files::Place::Demo => "shop: the demo shop; no other was named or found".to_owned(),
            files::Place::Input => "shop: from standard input, over the demo shop".to_owned(),
            files::Place::Path(path, by) => format!("shop: {}, by {by}", path.display()),
        });
    }
    let outcome = match command {
        Command::Make(make) => make::run(make),
        Command::Adjust(adjust) => adjust::run(adjust),
        Command::Explain(explain) => explain::run(explain),
        Command::Families(families) => families::run(families),
        Command::New(new) => new::run(new),
        Command::Check(check) => check::run(check),
        Command::Table(table) => table::run(table),
        Command::Schema => Ok(reference::schema()),
        Command::Reference => Ok(reference::page()),
        Command::Prove(prove) => prove::run(prove),
        Command::Trace(trace) => trace::run(trace),
        Command::Standard(standard) => standard::run(standard),
        Command::Shop(shown) => shop::run(shown),
        Command::Page(page) => page::run(page),
        Command::Completions(completions) => manual::completions(completions),
        Command::Manual(manual) => manual::manual(manual),
    };
    let json = command.json();
    match outcome {
        Ok(_) if arguments.voice.quiet && command.reports() => ExitCode::SUCCESS,
        Ok(text) => tell(&text, json, 0),
        Err(Failure::Told(text)) => tell(&text, json, 1),
        Err(Failure::Broken(text)) => tell(&text, json, 3),
        Err(Failure::Refused(text)) => stop("refused", &text, json, 1),
        Err(Failure::Machine(text)) => stop("failed", &text, json, 3),
    }
}

/// Says why it stops, once: on standard error, or as JSON on standard output to those who read that.
fn stop(verdict: &str, text: &str, json: bool, code: u8) -> ExitCode {
    if !json {
        return complain(text, code);
    }
    let said = anstream::adapter::strip_str(text).to_string();
    // The verdict has a field of its own.
    let said = said.strip_prefix("refused  ").unwrap_or(&said).trim_end();
    let told = json!({ "verdict": verdict, "said": said });
    tell(&(serde_json::to_string_pretty(&told).unwrap_or_default() + "\n"), true, code)
}

/// Says something on standard output.
fn tell(text: &str, json: bool, code: u8) -> ExitCode {
    let text = if json { clean::json(text) } else { clean::text(text) };
    let mut out = anstream::stdout();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Ok(()) => ExitCode::from(code),
        // A reader that has seen enough closes the pipe; that is no fault of ours.
        Err(error) if error.kind() == ErrorKind::BrokenPipe => ExitCode::from(code),
        Err(error) => complain(&format!("Cannot write to standard output: {error}."), 3),
    }
}

/// Says something on standard error.
fn complain(text: &str, code: u8) -> ExitCode {
    // Nothing is left to be told where standard error is closed too.
    let _closed = writeln!(anstream::stderr(), "{}", report::in_colour(&clean::text(text.trim_end())));
    ExitCode::from(code)
}

//! Barwright on the command line: thin around `barwright_core`, which knows nothing of files.

mod adjust;
mod args;
mod batch;
mod check;
mod embedded;
mod explain;
mod families;
mod files;
mod holes;
mod lines;
mod list;
mod make;
mod new;
mod page;
#[cfg(feature = "png")]
mod picture;
mod prove;
mod reference;
mod report;
mod standard;
mod summary;
mod table;
mod trace;

use std::io::Write;
use std::process::ExitCode;

use clap::Parser;

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
    /// The machine did not do its part: a folder that cannot be written, a file that is gone.
    Machine(String),
}

fn main() -> ExitCode {
    let arguments = Arguments::parse();
    let outcome = match &arguments.command {
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
        Command::Page(page) => page::run(page),
    };
    match outcome {
        Ok(text) => tell(&text, 0),
        Err(Failure::Told(text)) => tell(&text, 1),
        Err(Failure::Refused(text)) => complain(&text, 1),
        Err(Failure::Machine(text)) => complain(&text, 3),
    }
}

/// Says something on standard output.
fn tell(text: &str, code: u8) -> ExitCode {
    match anstream::stdout().write_all(text.as_bytes()) {
        Ok(()) => ExitCode::from(code),
        // A reader that has seen enough closes the pipe; that is no fault of ours.
        Err(error) if error.kind() == std::io::ErrorKind::BrokenPipe => ExitCode::from(code),
        Err(_) => ExitCode::from(3),
    }
}

/// Says something on standard error.
fn complain(text: &str, code: u8) -> ExitCode {
    // Nothing is left to be told where standard error is closed too.
    let _closed = writeln!(anstream::stderr(), "{}", text.trim_end());
    ExitCode::from(code)
}

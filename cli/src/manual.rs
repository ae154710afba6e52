//! `barwright completions SHELL` and `barwright manual`: both from the words of the command line.

use std::io::{self, Write};

use clap::CommandFactory;
use clap_mangen::Man;
use clap_mangen::roff::{Roff, bold, roman};

use crate::args::{Arguments, Completions, Manual};
use crate::{Failure, Outcome, save};

/// The section of the manual.
const SECTION: &str = "1";

/// What each exit code means; scripts rest on it.
const CODES: [(&str, &str); 4] = [
    ("0", "It was made, or proved, or found good."),
    ("1", "It is refused, or a file is missing, or what a file or size says is wrong. Nothing was written."),
    ("2", "The command line is wrong."),
    ("3", "The machine failed: a disk that is full, a folder that cannot be written, a file that may not be read."),
];

/// What of its surroundings the program looks at.
const VARIABLES: [(&str, &str); 4] = [
    ("BARWRIGHT_SHOP", "The folder or file of your shop, where --shop does not name one."),
    (
        "XDG_CONFIG_HOME",
        "The folder of your settings, usually ~/.config; a shop is looked for in barwright/shop.yaml there.",
    ),
    ("NO_COLOR", "Set to anything: no colours. There are none either where a text does not go to a terminal."),
    ("CLICOLOR_FORCE", "Set to 1: colours also where a text does not go to a terminal."),
];

/// Files that it reads or writes unasked.
const FILES: [(&str, &str); 2] = [
    ("shop.yaml", "In the folder where the program is run, or in barwright/ in your settings: your shop."),
    (
        ".barwright-unfinished-*",
        "What is not finished yet, beside where it will be. A run that was killed leaves it; a later run into the same place clears it away.",
    ),
];

/// The completions of a shell.
pub(crate) fn completions(arguments: &Completions) -> Outcome {
    let mut out = Vec::new();
    clap_complete::generate(arguments.shell, &mut Arguments::command(), "barwright", &mut out);
    text(Ok(out))
}

/// A page of the manual, or all of them as files.
pub(crate) fn manual(arguments: &Manual) -> Outcome {
    let mut all = Arguments::command();
    // Gives every command its full name and the options that all have.
    all.build();
    if let Some(folder) = &arguments.output {
        let mut files = vec![("barwright.1".to_owned(), page(all.clone(), true))];
        for command in all.get_subcommands().filter(|command| command.get_name() != "help") {
            let name = format!("barwright-{}.{SECTION}", command.get_name());
            files.push((name, page(command.clone(), false)));
        }
        let files: Vec<(String, Vec<u8>)> = files
            .into_iter()
            .map(|(name, page)| page.map(|page| (name, page)))
            .collect::<io::Result<_>>()
            .map_err(|error| cannot(&error))?;
        save::create_folder(folder)?;
        for (name, page) in &files {
            save::write_file(&folder.join(name), page, false)?;
        }
        return Ok(format!("{} pages written to {}.\n", files.len(), folder.display()));
    }
    let Some(name) = &arguments.command else { return text(page(all, true)) };
    match all.find_subcommand(name).filter(|_| name != "help") {
        Some(command) => text(page(command.clone(), false)),
        None => Err(Failure::Refused(format!(
            "refused  There is no command `{}`.\n  try    `barwright --help` lists them.",
            name.escape_debug()
        ))),
    }
}

fn page(command: clap::Command, whole: bool) -> io::Result<Vec<u8>> {
    let examples = command.get_after_help().map(ToString::to_string).unwrap_or_default();
    let man =
        Man::new(command).section(SECTION).manual("Barwright").source(concat!("barwright ", env!("CARGO_PKG_VERSION")));
    let mut out = Vec::new();
    man.render_title(&mut out)?;
    man.render_name_section(&mut out)?;
    man.render_synopsis_section(&mut out)?;
    man.render_description_section(&mut out)?;
    man.render_options_section(&mut out)?;
    if whole {
        man.render_subcommands_section(&mut out)?;
    }
    let mut roff = Roff::default();
    let mut literal = false;
    for line in examples.lines() {
        if line.ends_with(':') && line.starts_with("Example") {
            roff.control("SH", ["EXAMPLES"]);
        } else if line.starts_with("  ") {
            if !literal {
                roff.control("nf", []);
            }
            literal = true;
            roff.text([roman(line)]);
        } else {
            if literal {
                roff.control("fi", []);
            }
            literal = false;
            if line.is_empty() {
                roff.control("PP", []);
            } else {
                roff.text([roman(line)]);
            }
        }
    }
    if literal {
        roff.control("fi", []);
    }
    let lists: [(&str, &[(&str, &str)]); 3] = [("EXIT STATUS", &CODES), ("ENVIRONMENT", &VARIABLES), ("FILES", &FILES)];
    for (title, list) in lists {
        roff.control("SH", [title]);
        for (name, about) in list {
            roff.control("TP", []);
            roff.text([bold(*name)]);
            roff.text([roman(*about)]);
        }
    }
    out.write_all(roff.render().as_bytes())?;
    Ok(out)
}

fn cannot(error: &io::Error) -> Failure {
    Failure::Machine(format!("Cannot write the manual: {error}."))
}

fn text(page: io::Result<Vec<u8>>) -> Outcome {
    page.map(|page| String::from_utf8_lossy(&page).into_owned()).map_err(|error| cannot(&error))
}

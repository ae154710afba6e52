//! What the examples of all families come to, word by word, as it was looked at and found good.
//!
//! When a change is meant, bless it with one command and read the difference before committing:
//!
//! ```text
//! BLESS=1 cargo test -p barwright-tests -p barwright --test golden --test cli; git diff tests/golden
//! ```
//!
//! Read a changed program line by line and look at a changed drawing as a picture
//! (`rsvg-convert --width 1600 tests/golden/warping-frame.svg --output drawing.png`).

use std::path::PathBuf;

use barwright_core::drawing;
use barwright_core::drawing::Format;
use barwright_core::job::{self, Order};
use barwright_tests::{CONTROLS, EXAMPLES, FAMILIES, built_in, demo_shop, example, house, key};

fn folder() -> PathBuf {
    house().join("tests/golden")
}

/// Compares with the golden file, or writes it where `BLESS` is set.
fn golden(name: &str, text: &str, wrong: &mut Vec<String>) {
    let path = folder().join(name);
    if std::env::var_os("BLESS").is_some() {
        std::fs::create_dir_all(folder()).expect("the folder of golden files");
        std::fs::write(&path, text).expect("a golden file can be written");
        return;
    }
    let blessed = std::fs::read_to_string(&path).unwrap_or_default();
    if blessed == text {
        return;
    }
    let differs = blessed.lines().zip(text.lines()).position(|(old, new)| old != new);
    let at = differs.unwrap_or_else(|| blessed.lines().count().min(text.lines().count()));
    let line = |text: &str| text.lines().nth(at).unwrap_or("(end)").chars().take(200).collect::<String>();
    wrong.push(format!(
        "{name} differs from line {} on ({} lines, were {})\n  was {}\n  is  {}",
        at + 1,
        text.lines().count(),
        blessed.lines().count(),
        line(&blessed),
        line(text)
    ));
}

#[test]
fn the_examples_as_they_were_blessed() {
    let family = key();
    let mut wrong = Vec::new();
    let mut names = Vec::new();
    for name in EXAMPLES {
        for control in CONTROLS {
            let shop = demo_shop(control);
            // The lettering is left out: it is 40 kB of one line, the same in every drawing.
            let unit = family.example(name).and_then(|example| example.unit).unwrap_or_default();
            let format = Format { embed_font: false, ..Format::usual(unit) };
            let stamp = drawing::Stamp { revision: "A".to_owned(), ..Default::default() };
            let order = Order { inputs: example(name), title: None, format: Some(format), stamp, unproved: false };
            let job = job::make(&family, &order, &shop);
            let goods = job.goods.unwrap_or_else(|| panic!("{name} is good: {:#?}", job.findings));
            let mut keep = |file: String, text: &str| {
                golden(&file, text, &mut wrong);
                names.push(file);
            };
            keep(format!("{name}-{control}.nc"), &goods.runs[0].program.text);
            if control == CONTROLS[0] {
                keep(format!("{name}.svg"), &drawing::svg::write(&goods.sheet));
                keep(format!("{name}.json"), &goods.record.json());
            }
        }
    }
    let shop = demo_shop(CONTROLS[0]);
    for family in FAMILIES.iter().skip(1).map(|name| built_in(name)) {
        for known in &family.examples {
            let format = Format { embed_font: false, ..Format::usual(known.unit.unwrap_or_default()) };
            let stamp = drawing::Stamp { revision: "A".to_owned(), ..Default::default() };
            let order =
                Order { inputs: example(&known.name), title: None, format: Some(format), stamp, unproved: false };
            let job = job::make(&family, &order, &shop);
            let goods = job.goods.unwrap_or_else(|| panic!("{} is good: {:#?}", known.name, job.findings));
            for run in &goods.runs {
                let file = format!("{}-{}.nc", known.name, run.setup.number);
                golden(&file, &run.program.text, &mut wrong);
                names.push(file);
            }
            let file = format!("{}.svg", known.name);
            golden(&file, &drawing::svg::write(&goods.sheet), &mut wrong);
            names.push(file);
        }
    }
    assert!(
        wrong.is_empty(),
        "{}\n\nIf this is meant: BLESS=1 cargo test -p barwright-tests --test golden && git diff tests/golden",
        wrong.join("\n")
    );
    for item in std::fs::read_dir(folder()).expect("the folder of golden files") {
        let name = item.expect("a file").file_name().to_string_lossy().into_owned();
        // The summaries are held by the tests of the command line (cli/tests/cli.rs).
        let summary = EXAMPLES.iter().any(|example| name == format!("{example}.txt"));
        assert!(summary || names.contains(&name), "tests/golden/{name} belongs to no test; remove it");
    }
}

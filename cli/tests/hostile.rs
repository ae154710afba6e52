//! Hostile texts on the command line and in files: nothing but text reaches the terminal, the
//! names of files and the tables, and it can still be read.
#![allow(clippy::format_collect, reason = "texts of a test are put together piece by piece")]

mod bench;

use std::path::Path;

use bench::{Bench, Run, key_text, names};

fn hostile() -> Vec<String> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../tests/facts/hostile.txt");
    let text = std::fs::read_to_string(path).expect("the corpus");
    text.lines().map(|line| serde_json::from_str(line).expect("a string")).collect()
}

/// Nothing that a terminal acts on but colours of ours.
#[track_caller]
fn harmless(what: &str, text: &str) {
    let mut rest = text;
    while let Some(at) = rest.find('\u{1b}') {
        let after = &rest[at + 1..];
        let end = after.find('m').unwrap_or_else(|| panic!("{what}: an escape without end: {text:?}"));
        let body = after.strip_prefix('[').unwrap_or_else(|| panic!("{what}: an escape that is no colour: {text:?}"));
        assert!(body[..end - 1].chars().all(|sign| sign.is_ascii_digit() || sign == ';'), "{what}: {text:?}");
        rest = &after[end + 1..];
    }
    let acts = |sign: char| {
        (sign.is_control() && !matches!(sign, '\n' | '\t' | '\u{1b}'))
            || matches!(sign, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
    };
    assert!(!text.replace("\r\n", "\n").contains(acts), "{what}: {text:?}");
}

#[test]
fn on_the_terminal() {
    let bench = Bench::new();
    let forced = |words: &[&str]| {
        Run::of(bench.command(words).env("CLICOLOR_FORCE", "1").env_remove("NO_COLOR").output().expect("it runs"))
    };
    for text in hostile().iter().filter(|text| !text.contains('\0')) {
        let size = format!("screw={text}");
        let list = bench.file(
            "list.csv",
            &format!("title,{}\n\"{}\",1\n", text.replace(['\n', ','], " "), text.replace('"', "\"\"")),
        );
        let quoted = serde_json::to_string(text).expect("a string");
        let own = bench.file(
            "own.yaml",
            &key_text().replacen("Joining key", &quoted, 1).replacen("is: fit", &format!("is: {quoted}"), 1),
        );
        let program = bench.file("strange.nc", &format!("({text})\n{text}\n"));
        let part = bench.file("part.json", &format!("{{\"format\":{quoted}}}"));
        for words in [
            &["make", "joining-key", "--unit", "mm", &size, "--dry"] as &[&str],
            &["make", "joining-key", text, "--dry"],
            &["make", text, "--dry"],
            &["make", "joining-key", "--dry", "--title", text, "--revision", text],
            &["make", "joining-key", "--dry", "--like", text],
            &["make", "joining-key", "--dry", "--shop", text],
            &["make", "joining-key", "--dry", "--control", text],
            &["make", "joining-key", "--dry", "--list", &list],
            &["check", &own, "--tries", "5"],
            &["explain", &own],
            &["explain", text, "--json"],
            &["standard", "thread", text],
            &["standard", text, "M5", "--json"],
            &["trace", &program, "--part", &part],
            &["prove", &program, "--part", &part],
            &["table", "joining-key", "--unit", "mm", "--vary", &size],
            &["new", text],
        ] {
            // A text that begins with a dash is an option of ours or none.
            let run = forced(words);
            harmless(&format!("{words:?} out"), &run.out);
            harmless(&format!("{words:?} err"), &run.err);
            assert!((0..=3).contains(&run.code), "{words:?} ends with {}", run.code);
            assert!(!run.err.contains("panicked"), "{words:?}: {}", run.err);
        }
    }
}

#[test]
fn as_the_name_of_a_folder() {
    let bench = Bench::new();
    for text in hostile() {
        let quoted = serde_json::to_string(&text).expect("a string").replace(['{', '}'], "");
        let number = key_text().lines().find(|line| line.starts_with("number:")).expect("a number").to_owned();
        let own = bench.file("own.yaml", &key_text().replacen(&number, &format!("number: {quoted}"), 1));
        let run = bench.run(&["make", &own, "--unit", "mm"]);
        if run.code != 0 {
            run.refused(&["refused"]);
            continue;
        }
        let made = names(&bench.path("out"));
        assert_eq!(made.len(), 1, "{text:?}: one folder in out: {made:?}");
        assert_eq!(names(bench.folder.path()), ["out", "own.yaml"], "{text:?}: nothing anywhere else");
        let name = &made[0];
        let fits = |sign: char| sign.is_ascii_alphanumeric() || "._-".contains(sign);
        assert!(name.chars().all(fits) && !name.starts_with(['.', '-']) && !name.ends_with('.'), "{text:?}: {name}");
        let stem = name.split('.').next().unwrap_or_default().to_ascii_uppercase();
        assert!(!["CON", "NUL", "AUX", "PRN", "COM1"].contains(&stem.as_str()), "{text:?}: {name} is a device");
        std::fs::remove_dir_all(bench.path("out")).expect("a folder");
    }
}

#[test]
fn in_the_report_of_a_list() {
    let bench = Bench::new();
    let rows: String = hostile().iter().map(|text| format!("\"{}\",M5\n", text.replace('"', "\"\""))).collect();
    let list = bench.file("orders.csv", &format!("title,screw\n{rows}"));
    bench.run(&["make", "joining-key", "--unit", "mm", "--list", &list, "-o", "orders"]);
    let report = bench.text("orders/report.csv");
    assert!(report.lines().count() > 40, "every row is told of");
    for line in report.lines() {
        for cell in line.split(',').map(|cell| cell.trim_matches('"')) {
            let formula = cell.starts_with(['=', '+', '-', '@', '\t']) && cell.parse::<f64>().is_err();
            assert!(!formula, "{cell:?} is a formula");
        }
    }
    assert_eq!(names(bench.folder.path()), ["orders", "orders.csv"], "and all of it in its folder");
}

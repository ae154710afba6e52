//! What others wrote and ships with the program: under licences that bear it, and named.
//!
//! `BLESS=1 cargo test -p barwright-tests --test licences` writes `cli/NOTICES.md` anew, after
//! `Cargo.lock` has changed. Advisories are looked up by hand; see `tests/deny.toml`.
#![cfg(all(target_os = "linux", target_arch = "x86_64"))]
#![allow(clippy::format_push_string, reason = "texts of a test are put together piece by piece")]

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use std::process::Command;

use barwright_tests::house;
use serde_json::Value;

/// Licences that ask for no more than to be named; the first that a crate offers is taken.
const ALLOWED: [&str; 10] = [
    "MIT",
    "Apache-2.0",
    "BSD-3-Clause",
    "BSD-2-Clause",
    "ISC",
    "Zlib",
    "Unicode-3.0",
    "0BSD",
    "MIT-0",
    "Apache-2.0 WITH LLVM-exception",
];

/// The crates of the house and what they rest on, for one kind of machine.
fn metadata(platform: &str) -> Value {
    let output = Command::new(env!("CARGO"))
        .args(["metadata", "--format-version", "1", "--locked", "--filter-platform", platform])
        .current_dir(house())
        .output()
        .expect("cargo runs");
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    serde_json::from_slice(&output.stdout).expect("JSON")
}

/// One crate.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Crate {
    name: String,
    version: String,
    licence: String,
    manifest: String,
}

fn crates(metadata: &Value) -> BTreeMap<String, Crate> {
    let text = |package: &Value, name: &str| package[name].as_str().unwrap_or_default().to_owned();
    let packages = metadata["packages"].as_array().expect("packages");
    packages
        .iter()
        .map(|package| {
            let one = Crate {
                name: text(package, "name"),
                version: text(package, "version"),
                licence: text(package, "license"),
                manifest: text(package, "manifest_path"),
            };
            (text(package, "id"), one)
        })
        .collect()
}

/// What is linked into one crate of the house: no tests, no scripts of the build.
fn linked(metadata: &Value, root: &str) -> BTreeSet<Crate> {
    let all = crates(metadata);
    let nodes = metadata["resolve"]["nodes"].as_array().expect("a graph");
    let mut waiting: Vec<String> = all.iter().filter(|(_, one)| one.name == root).map(|(id, _)| id.clone()).collect();
    let mut seen = BTreeSet::new();
    while let Some(id) = waiting.pop() {
        if !seen.insert(id.clone()) {
            continue;
        }
        let node = nodes.iter().find(|node| node["id"] == id.as_str()).expect("every crate is in the graph");
        for dep in node["deps"].as_array().into_iter().flatten() {
            let kinds = dep["dep_kinds"].as_array().into_iter().flatten();
            if kinds.into_iter().any(|kind| kind["kind"].is_null()) {
                waiting.extend(dep["pkg"].as_str().map(str::to_owned));
            }
        }
    }
    seen.iter().map(|id| all[id].clone()).filter(|one| !one.name.starts_with("barwright")).collect()
}

/// The licences of an expression that are taken: of `A OR B` the first that is allowed, of
/// `A AND B` both; nothing where it cannot be met.
fn taken(expression: &str) -> Option<Vec<&'static str>> {
    let expression = expression.trim();
    let parts = |word: &str| -> Option<Vec<String>> {
        let (mut depth, mut parts, mut last) = (0_i32, Vec::new(), String::new());
        for part in expression.split(' ') {
            depth += i32::try_from(part.matches('(').count()).ok()? - i32::try_from(part.matches(')').count()).ok()?;
            if depth == 0 && part == word {
                parts.push(std::mem::take(&mut last));
            } else {
                last = format!("{last} {part}");
            }
        }
        parts.push(last);
        (parts.len() > 1).then_some(parts)
    };
    if let Some(all) = parts("AND") {
        return all.iter().map(|part| taken(part)).collect::<Option<Vec<_>>>().map(|all| all.concat());
    }
    if let Some(any) = parts("OR") {
        let rank = |licences: &Vec<&str>| ALLOWED.iter().position(|known| licences.contains(known));
        return any.iter().filter_map(|part| taken(part)).min_by_key(rank);
    }
    if let Some(inner) = expression.strip_prefix('(').and_then(|rest| rest.strip_suffix(')')) {
        return taken(inner);
    }
    if expression.contains('/') {
        return taken(&expression.replace('/', " OR "));
    }
    ALLOWED.iter().find(|known| **known == expression).map(|known| vec![*known])
}

#[test]
fn expressions_are_understood() {
    assert_eq!(taken("MIT OR Apache-2.0"), Some(vec!["MIT"]));
    assert_eq!(taken("Apache-2.0 OR MIT"), Some(vec!["MIT"]), "whatever the order");
    assert_eq!(taken("MIT/Apache-2.0"), Some(vec!["MIT"]), "as it was written once");
    assert_eq!(taken("(MIT OR Apache-2.0) AND Unicode-3.0"), Some(vec!["MIT", "Unicode-3.0"]));
    assert_eq!(taken("GPL-3.0 OR MIT"), Some(vec!["MIT"]), "a way that is free");
    assert_eq!(taken("GPL-3.0-only"), None, "none");
    assert_eq!(taken("MIT AND GPL-3.0-only"), None, "nor half");
    assert_eq!(taken(""), None, "nor nothing");
}

#[test]
fn every_licence_bears_it() {
    let metadata = metadata("x86_64-unknown-linux-gnu");
    let wrong: Vec<String> = crates(&metadata)
        .values()
        .filter(|one| taken(&one.licence).is_none())
        .map(|one| format!("{} {}: `{}`", one.name, one.version, one.licence))
        .collect();
    assert!(wrong.is_empty(), "not on the list, tests and tools of the build included:\n{}", wrong.join("\n"));
}

/// The words of the licence that a crate is taken under, out of its own files.
fn words(one: &Crate, licence: &str) -> Option<String> {
    let folder = Path::new(&one.manifest).parent()?;
    let mut names: Vec<String> = std::fs::read_dir(folder)
        .ok()?
        .filter_map(|item| Some(item.ok()?.file_name().to_string_lossy().into_owned()))
        .filter(|name| {
            let name = name.to_uppercase();
            ["LICENSE", "LICENCE", "COPYING", "UNLICENSE"].iter().any(|head| name.starts_with(head))
        })
        .collect();
    names.sort();
    let mark = licence.split('-').next().unwrap_or_default().to_uppercase();
    let marked = names.iter().find(|name| name.to_uppercase().contains(&mark));
    let text = std::fs::read_to_string(folder.join(marked.or(names.first())?)).ok()?;
    let lines: Vec<&str> = text.lines().map(str::trim_end).collect();
    Some(lines.join("\n").trim_matches('\n').to_owned())
}

fn notices() -> String {
    let mut all = linked(&metadata("x86_64-unknown-linux-gnu"), "barwright");
    all.extend(linked(&metadata("wasm32-unknown-unknown"), "barwright-web"));
    let mut by_text: BTreeMap<(String, String), Vec<String>> = BTreeMap::new();
    let mut list = String::new();
    for one in &all {
        let licences = taken(&one.licence).unwrap_or_default();
        list += &format!("| {} | {} | {} | {} |\n", one.name, one.version, one.licence, licences.join(", "));
        for licence in licences {
            let text = words(one, licence).unwrap_or_default();
            by_text.entry((licence.to_owned(), text)).or_default().push(format!("{} {}", one.name, one.version));
        }
    }
    let mut out = "# What others wrote\n\nBarwright holds these crates, as a program or in the page; each is taken under the licence in \
         the last column. The\nlettering of the drawings is under the SIL Open Font License; its words are in `core/assets/OFL.txt` \
         and beside the\npage. Made from `Cargo.lock` by `tests/licences.rs`.\n\n| crate | version | licence | taken |\n|---|---|---|---|\n"
        .to_owned();
    out += &list;
    for ((licence, text), mut names) in by_text {
        names.dedup();
        out += &format!("\n## {licence}: {}\n\n", names.join(", "));
        if text.is_empty() {
            out += "The crate brings no text of its licence along; it stands with the others of that name.\n";
        } else {
            out += &text.lines().map(|line| format!("    {line}").trim_end().to_owned() + "\n").collect::<String>();
        }
    }
    out
}

#[test]
fn the_notices_are_those_of_the_lock_file() {
    let path = house().join("cli/NOTICES.md");
    let made = notices();
    if std::env::var_os("BLESS").is_some() {
        std::fs::write(&path, &made).expect("the notices can be written");
    }
    let kept = std::fs::read_to_string(&path).unwrap_or_default();
    let first = made.lines().zip(kept.lines()).find(|(made, kept)| made != kept);
    assert!(
        made == kept,
        "cli/NOTICES.md is not of this Cargo.lock, first at {first:?}; BLESS=1 cargo test -p barwright-tests --test licences"
    );
    assert!(made.contains("| serde | ") && made.contains("Permission is hereby granted"), "names and words");
}

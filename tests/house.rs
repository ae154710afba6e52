//! The house keeps its order: which room may know which, how long a file may be, and that the
//! core reads no file, no clock and no surroundings.
//!
//! What is told here is about the code that ships. Tests beside it may reach further.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

use barwright_tests::house;

/// Which room may import which others. Whatever is not named here is forbidden.
const TABLE: &[(&str, &[&str])] = &[
    ("source", &[]),
    ("quantity", &[]),
    ("geom", &["quantity"]),
    ("diag", &["source"]),
    ("yaml", &["source", "diag", "quantity"]),
    ("standards", &["quantity"]),
    ("formula", &["quantity", "standards", "source", "diag"]),
    ("family", &["formula", "quantity", "source", "diag", "yaml"]),
    ("part", &["geom", "quantity", "standards", "diag"]),
    ("variant", &["family", "formula", "standards", "part", "geom", "quantity", "diag", "source"]),
    ("trial", &["variant", "family", "formula", "part", "standards", "quantity", "diag", "source"]),
    ("many", &["variant", "family", "formula", "batch", "quantity", "diag", "source"]),
    ("drawing", &["part", "geom", "quantity", "standards", "diag"]),
    ("shop", &["quantity", "standards", "source", "diag", "yaml"]),
    ("plan", &["part", "shop", "geom", "quantity", "standards", "diag"]),
    ("program", &["plan", "shop", "geom", "quantity", "diag"]),
    ("proof", &["part", "shop", "geom", "quantity", "standards", "source", "diag"]),
    ("batch", &["part", "shop", "plan", "proof", "quantity", "standards", "diag"]),
    (
        "packet",
        &["part", "plan", "shop", "batch", "drawing", "proof", "record", "geom", "quantity", "standards", "diag"],
    ),
    ("record", &["variant", "part", "plan", "proof", "shop", "formula", "diag", "quantity"]),
];

/// The rooms that string the others together.
const HALLS: &[&str] = &["lib", "job"];

/// The only thing that some rooms take from another.
const ONLY: &[(&str, &str, &str)] = &[("part", "diag", "Origin")];

/// The most lines of one file.
const MOST: usize = 600;

/// What the core never names, with the reason.
const IMPURE: &[(&str, &str)] = &[
    ("std::fs", "reads files"),
    ("std::env", "reads its surroundings"),
    ("std::time", "reads a clock"),
    ("std::net", "speaks to others"),
    ("std::process", "starts or ends programs"),
    ("std::thread", "its order would differ from run to run"),
    ("std::io", "reads or writes"),
    ("HashMap", "its order differs from run to run"),
    ("HashSet", "its order differs from run to run"),
    ("RandomState", "differs from run to run"),
    ("static mut", "keeps a global"),
    ("thread_local!", "keeps a global"),
    ("OnceLock", "keeps a global"),
    ("LazyLock", "keeps a global"),
    ("println!", "writes"),
    ("eprintln!", "writes"),
];

/// One file of the core: its module path (`plan`, `hole`) and its code.
#[derive(Clone, Debug)]
struct Module {
    path: Vec<String>,
    code: String,
}

impl Module {
    fn new(path: &[&str], text: &str) -> Self {
        Self { path: path.iter().map(|&name| name.to_owned()).collect(), code: shipped(text) }
    }

    fn room(&self) -> &str {
        self.path.first().map_or("lib", String::as_str)
    }

    fn name(&self) -> String {
        if self.path.is_empty() { "lib".to_owned() } else { self.path.join("::") }
    }
}

/// The code without comments, and without the tests at its end.
fn shipped(text: &str) -> String {
    let mut out = String::new();
    let lines: Vec<&str> = text.lines().collect();
    for (at, line) in lines.iter().enumerate() {
        let next = lines.get(at + 1).map_or("", |next| next.trim());
        if line.trim() == "#[cfg(test)]" && next.contains("mod ") && next.ends_with('{') {
            break;
        }
        let code = line.find("//").map_or(*line, |from| line.get(..from).unwrap_or(""));
        out.push_str(code);
        out.push('\n');
    }
    out
}

/// Names that follow `crate::`, or a row of `super::` that reaches as far, with what is taken.
fn uses(module: &Module) -> BTreeSet<(String, String)> {
    let root_by_super = "super::".repeat(module.path.len());
    let mut found = BTreeSet::new();
    for root in ["crate::", root_by_super.as_str()] {
        if root.is_empty() {
            continue;
        }
        for (at, _) in module.code.match_indices(root) {
            let before = module.code.get(..at).unwrap_or("");
            let joined = before.ends_with(|c: char| c.is_alphanumeric() || c == '_');
            // `super::super::x` holds `super::x` too: only the whole row counts.
            if joined || before.ends_with("::") {
                continue;
            }
            let after = module.code.get(at + root.len()..).unwrap_or("");
            if let Some(group) = after.strip_prefix('{') {
                found.extend(members(group));
            } else {
                found.extend(member(after));
            }
        }
    }
    found
}

/// `part::{Blank, Part}` as part and what is taken of it.
fn member(text: &str) -> Option<(String, String)> {
    let is_name = |c: char| c.is_alphanumeric() || c == '_';
    let name: String = text.chars().take_while(|&c| is_name(c)).collect();
    let rest = text.get(name.len()..).unwrap_or("");
    let taken = match rest.strip_prefix("::") {
        Some(group) if group.starts_with('{') => group.split('}').next().unwrap_or("").trim_start_matches('{'),
        Some(path) => path.split(|c| !is_name(c)).next().unwrap_or(""),
        None => "",
    };
    (!name.is_empty()).then(|| (name, taken.trim().to_owned()))
}

/// The members of `{a, b::{c, d}}`, from behind its first bracket.
fn members(group: &str) -> Vec<(String, String)> {
    let mut found = Vec::new();
    let (mut depth, mut from) = (0_i32, 0);
    for (at, sign) in group.char_indices() {
        match sign {
            '{' => depth += 1,
            '}' if depth > 0 => depth -= 1,
            ',' | '}' if depth == 0 => {
                found.extend(member(group.get(from..at).unwrap_or("").trim()));
                from = at + 1;
                if sign == '}' {
                    break;
                }
            }
            _ => {}
        }
    }
    found
}

/// Everything that is wrong with the rooms of these modules.
fn breaches(modules: &[Module]) -> Vec<String> {
    let rooms: BTreeSet<&str> = modules.iter().map(Module::room).collect();
    let mut wrong = Vec::new();
    let mut graph: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    for module in modules {
        let room = module.room();
        if HALLS.contains(&room) {
            continue;
        }
        let Some((_, allowed)) = TABLE.iter().find(|(name, _)| *name == room) else {
            wrong.push(format!("the room `{room}` is not in the table"));
            continue;
        };
        for (other, taken) in uses(module) {
            if other == room || !rooms.contains(other.as_str()) {
                continue;
            }
            graph.entry(room.to_owned()).or_default().insert(other.clone());
            if !allowed.contains(&other.as_str()) {
                wrong.push(format!("{} imports `{other}`, which `{room}` may not know", module.name()));
            }
            if let Some((.., only)) = ONLY.iter().find(|(by, of, _)| *by == room && *of == other)
                && taken != *only
            {
                wrong.push(format!("{} takes `{taken}` from `{other}`, and may take `{only}` alone", module.name()));
            }
        }
    }
    wrong.extend(circle(&graph).map(|path| format!("a circle: {}", path.join(" -> "))));
    wrong
}

/// A way from a room back to itself.
fn circle(graph: &BTreeMap<String, BTreeSet<String>>) -> Option<Vec<String>> {
    fn walk(graph: &BTreeMap<String, BTreeSet<String>>, path: &mut Vec<String>) -> bool {
        let Some(next) = path.last().and_then(|here| graph.get(here)) else { return false };
        for room in next {
            if path.first() == Some(room) {
                path.push(room.clone());
                return true;
            }
            if !path.contains(room) {
                path.push(room.clone());
                if walk(graph, path) {
                    return true;
                }
                path.pop();
            }
        }
        false
    }
    graph.keys().find_map(|start| {
        let mut path = vec![start.clone()];
        walk(graph, &mut path).then_some(path)
    })
}

fn impurities(module: &Module) -> Vec<String> {
    // `std::{fs, env}` names them as `std::fs` does.
    let grouped: BTreeSet<String> =
        module.code.split("std::{").skip(1).flat_map(members).map(|(name, _)| format!("std::{name}")).collect();
    let named = IMPURE.iter().filter(|(word, _)| module.code.contains(word) || grouped.contains(*word));
    named.map(|(word, why)| format!("{} names `{word}`, which {why}", module.name())).collect()
}

fn sources(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    let Ok(listing) = std::fs::read_dir(folder) else { return found };
    for item in listing {
        let path = item.expect("a folder that can be read").path();
        if path.is_dir() {
            found.extend(sources(&path));
        } else if path.extension().is_some_and(|ending| ending == "rs") {
            found.push(path);
        }
    }
    found.sort();
    found
}

/// The modules of the core that ship: files that are declared under `#[cfg(test)]` are left out.
fn core_modules() -> Vec<Module> {
    let top = house().join("core/src");
    let files = sources(&top);
    let mut tests = BTreeSet::new();
    let read = |path: &Path| std::fs::read_to_string(path).expect("a source that can be read");
    let module_path = |path: &Path| -> Vec<String> {
        let inside = path.strip_prefix(&top).expect("a file of the core").with_extension("");
        let mut names: Vec<String> = inside.iter().map(|name| name.to_string_lossy().into_owned()).collect();
        if names.last().is_some_and(|last| last == "mod" || (last == "lib" && names.len() == 1)) {
            names.pop();
        }
        names
    };
    for path in &files {
        let text = read(path);
        let lines: Vec<&str> = text.lines().map(str::trim).collect();
        for pair in lines.windows(2) {
            let [mark, declared] = pair else { continue };
            if *mark == "#[cfg(test)]"
                && let Some((_, name)) = declared.trim_end_matches(';').rsplit_once("mod ")
                && declared.ends_with(';')
            {
                let mut under = module_path(path);
                under.push(name.to_owned());
                tests.insert(under);
            }
        }
    }
    let kept = files.iter().filter(|path| {
        let under = module_path(path);
        !tests.iter().any(|test| under.starts_with(test))
    });
    kept.map(|path| Module { path: module_path(path), code: shipped(&read(path)) }).collect()
}

#[test]
fn each_room_knows_only_what_it_may() {
    let modules = core_modules();
    assert!(modules.len() > 60, "the core was found: {} modules", modules.len());
    let wrong = breaches(&modules);
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn the_core_is_pure() {
    let wrong: Vec<String> = core_modules().iter().flat_map(impurities).collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn no_file_is_too_long() {
    let mut wrong = Vec::new();
    let mut seen = 0;
    for folder in ["core", "cli", "web", "tests"] {
        for path in sources(&house().join(folder)) {
            if path.components().any(|part| part.as_os_str() == "target" || part.as_os_str() == "node_modules") {
                continue;
            }
            seen += 1;
            let lines = std::fs::read_to_string(&path).expect("a source that can be read").lines().count();
            if lines > MOST {
                wrong.push(format!("{}: {lines} lines, {MOST} are the most", path.display()));
            }
        }
    }
    assert!(seen > 80, "the sources were found: {seen}");
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn these_tests_can_fail() {
    let part = Module::new(&["part"], "use crate::quantity::Length;");
    let program = Module::new(&["program"], "use crate::plan::Plan;");
    let plan = Module::new(&["plan"], "use crate::part::Part;");
    for (module, told) in [
        (Module::new(&["proof", "read"], "use crate::program::Word;"), "proof::read imports `program`"),
        (Module::new(&["proof"], "use crate::{\n    part::Part,\n    plan::{At, Move},\n};"), "proof imports `plan`"),
        (Module::new(&["proof", "read"], "use super::super::plan::At;"), "proof::read imports `plan`"),
        (Module::new(&["proof"], "fn f(plan: &crate::plan::Plan) {}"), "proof imports `plan`"),
        (Module::new(&["proof"], "use super::plan;"), "proof imports `plan`"),
        (Module::new(&["part", "size"], "use crate::diag::{Diagnostic, Origin};"), "may take `Origin` alone"),
        (Module::new(&["part", "size"], "use crate::plan::Plan;"), "a circle: part -> plan -> part"),
        (Module::new(&["attic"], ""), "`attic` is not in the table"),
    ] {
        let diag = Module::new(&["diag"], "");
        let wrong = breaches(&[part.clone(), plan.clone(), program.clone(), diag, module.clone()]).join("\n");
        assert!(wrong.contains(told), "{module:?}: `{wrong}` does not say `{told}`");
    }
    let good = Module::new(&["plan", "hole"], "use super::super::plan::At;\nuse crate::part::Part; // crate::program");
    assert_eq!(breaches(&[part, plan, program, good]), Vec::<String>::new(), "its own room, and comments, are free");
    let clock =
        Module::new(&["plan"], "fn now() { std::time::Instant::now(); }\n#[cfg(test)]\nmod tests {\nuse std::fs;");
    assert_eq!(impurities(&clock).len(), 1, "the clock is seen, the test's file is not: {:?}", impurities(&clock));
    let grouped = Module::new(&["plan"], "use std::{\n    collections::BTreeMap,\n    env,\n    fs::{self, File},\n};");
    assert_eq!(impurities(&grouped).len(), 2, "{:?}", impurities(&grouped));
}

/// The guide's table of rooms, as a contributor reads it.
#[test]
fn the_guide_tells_the_same_rooms() {
    let guide = std::fs::read_to_string(house().join("DEVELOPERS.md")).expect("the guide");
    let told: BTreeMap<String, BTreeSet<String>> = guide
        .lines()
        .filter_map(|line| {
            let [room, _, may] = line.strip_prefix("| `")?.strip_suffix(" |")?.split(" | ").collect::<Vec<_>>()[..]
            else {
                return None;
            };
            // What a room must never know follows a semicolon.
            let may = may.split(';').next().unwrap_or("").split(", ").filter(|name| *name != "-");
            Some((room.trim_end_matches('`').to_owned(), may.map(str::to_owned).collect()))
        })
        .filter(|(room, _): &(String, _)| TABLE.iter().any(|(name, _)| name == room))
        .collect();
    let held: BTreeMap<String, BTreeSet<String>> = TABLE
        .iter()
        .map(|(room, may)| ((*room).to_owned(), may.iter().map(|&name| name.to_owned()).collect()))
        .collect();
    assert_eq!(told, held);
}

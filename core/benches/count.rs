//! How many instructions each room takes, counted by valgrind: `cargo bench --bench count`.
//!
//! A count is the same on a busy machine. Each work is run once and three times in a process of its
//! own; half of the difference is one run, with no setting-up in it. The last line of each work in
//! `history.csv` is what it is held against: more than a quarter above it is a failure.
//! `KEEP=1` adds today's counts there. `cargo bench --bench count -- 'prove 10000 holes' 1` does one
//! work so many times and counts nothing; any number of holes will do.
#![allow(missing_docs, unreachable_pub, reason = "nothing uses it from outside")]
#![allow(clippy::print_stdout, clippy::disallowed_methods, reason = "it is a command, and starts another")]

mod counting;
mod scene;

use std::collections::BTreeMap;
use std::env;
use std::fmt::Write as _;
use std::hint::black_box;
use std::process::{Command, ExitCode};

use barwright_core::batch::cut_list;
use barwright_core::quantity::Unit;
use barwright_core::shop::Saw;
use barwright_core::{drawing, family, job, plan, program, proof, shop, variant};
use counting::{grid, instructions};
use scene::{Scene, wants};

/// So much more than the last count is a failure.
const MOST: f64 = 1.25;

const HISTORY: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/benches/history.csv");

/// Every work by name.
const WORKS: [&str; 19] = [
    "load the family",
    "load the shop",
    "derive",
    "plan",
    "write the program",
    "lay out the drawing",
    "write the SVG",
    "write the PDF",
    "prove",
    "whole variant",
    "floor of the whole variant",
    "refuse, with remedies",
    "cut list of 1,000",
    "plan 100 holes",
    "plan 400 holes",
    "prove 100 holes",
    "prove 400 holes",
    "draw 100 holes",
    "draw 400 holes",
];

fn main() -> ExitCode {
    let mut given = env::args().skip(1).filter(|one| !one.starts_with("--"));
    match (given.next(), given.next().and_then(|times| times.parse().ok())) {
        (Some(work), Some(times)) => {
            run(&work, times);
            ExitCode::SUCCESS
        }
        _ => count_all(),
    }
}

/// One work, so many times.
fn run(work: &str, times: usize) {
    let scene = Scene::new();
    let many = |one: &mut dyn FnMut()| (0..times).for_each(|_| one());
    let (family, shop, part) = (&scene.family, &scene.shop, &scene.part);
    match work {
        "load the family" => many(&mut || drop(black_box(family::load(&scene.source)))),
        "load the shop" => many(&mut || drop(black_box(shop::load(&scene.files, "shop.yaml")))),
        "derive" => many(&mut || drop(black_box(variant::derive(family, &scene.inputs, &shop.rack)))),
        "plan" => many(&mut || drop(black_box(plan::plan(part, shop)))),
        "write the program" => {
            let (plan, _) = scene.planned(part, shop);
            many(&mut || drop(black_box(program::emit(&plan.setups[0], &scene.header, &shop.control))));
        }
        "lay out the drawing" => many(&mut || drop(black_box(scene.sheet(part)))),
        "write the SVG" => {
            let sheet = scene.sheet(part);
            many(&mut || drop(black_box(drawing::svg::write(&sheet))));
        }
        "write the PDF" => {
            let sheet = scene.sheet(part);
            many(&mut || drop(black_box(drawing::pdf::write(&[&sheet]))));
        }
        "prove" => prove(&scene, (part, shop), &many),
        "whole variant" => many(&mut || {
            let made = job::make(family, &scene.order, shop).goods.expect("the example is good");
            drop(black_box((drawing::svg::write(&made.sheet), made.record.json())));
        }),
        "floor of the whole variant" => {
            let words = words(&scene);
            many(&mut || drop(black_box(written(&words))));
        }
        "refuse, with remedies" => {
            let mut refused = scene.inputs.clone();
            refused.given.insert("slot_opening".to_owned(), "7.5 mm".to_owned());
            many(&mut || drop(black_box(variant::derive(family, &refused, &shop.rack))));
        }
        "cut list of 1,000" => {
            let bar = shop.rack.iter().find(|bar| bar.name == "brass 16 x 12").expect("on the rack");
            let wants = wants();
            many(&mut || drop(black_box(cut_list(&wants, bar, &Saw::USUAL, Unit::Mm))));
        }
        plate => {
            let holes = plate.split(' ').nth(1).and_then(|holes| holes.parse().ok()).expect("a number of holes");
            let (columns, rows) = grid(holes);
            let (part, shop) = scene.plate(columns, rows);
            match plate.split(' ').next() {
                Some("plan") => many(&mut || drop(black_box(plan::plan(&part, &shop)))),
                Some("prove") => prove(&scene, (&part, &shop), &many),
                Some("draw") => many(&mut || drop(black_box(scene.sheet(&part)))),
                _ => panic!("no work is called {work}"),
            }
        }
    }
}

fn prove(scene: &Scene, (part, shop): (&barwright_core::part::Part, &shop::Shop), many: &dyn Fn(&mut dyn FnMut())) {
    let (plan, text) = scene.planned(part, shop);
    many(&mut || assert!(proof::prove(&text, part, shop, &plan.setups[0].setup).proved(), "it proves"));
}

/// A word of a file, or one of its numbers with its decimals.
enum Word {
    Text(String),
    Number(f64, usize),
}

/// All that a whole variant writes, taken apart.
fn words(scene: &Scene) -> Vec<Word> {
    let made = job::make(&scene.family, &scene.order, &scene.shop).goods.expect("the example is good");
    let mut all = drawing::svg::write(&made.sheet);
    all.push_str(&made.record.json());
    made.runs.iter().for_each(|run| all.push_str(&run.program.text));
    let mut words = Vec::new();
    let figure = |sign: char| sign.is_ascii_digit() || sign == '.' || sign == '-';
    let mut rest = all.as_str();
    while let Some(first) = rest.chars().next() {
        let number = figure(first);
        let end = rest.find(|sign| figure(sign) != number).unwrap_or(rest.len());
        let (word, after) = rest.split_at(end);
        rest = after;
        words.push(match word.parse() {
            Ok(value) if number => Word::Number(value, word.split_once('.').map_or(0, |(_, part)| part.len())),
            _ => Word::Text(word.to_owned()),
        });
    }
    words
}

/// The same bytes with no thought: every word copied, every number printed by the standard library.
fn written(words: &[Word]) -> String {
    let mut text = String::new();
    for word in words {
        match word {
            Word::Text(word) => text.push_str(word),
            Word::Number(value, decimals) => {
                let _ = write!(text, "{value:.decimals$}");
            }
        }
    }
    text
}

/// The last count of each work.
fn last() -> BTreeMap<String, f64> {
    let history = std::fs::read_to_string(HISTORY).unwrap_or_default();
    let lines = history.lines().skip(1).filter_map(|line| {
        let mut cells = line.rsplitn(2, ',');
        let count = cells.next()?.parse().ok()?;
        let work = cells.next()?.splitn(3, ',').nth(2)?.trim_matches('"');
        Some((work.to_owned(), count))
    });
    lines.collect()
}

fn count_all() -> ExitCode {
    let before = last();
    let mut counted = BTreeMap::new();
    let mut worse = 0;
    println!("{:<28} {:>15} {:>8}", "work", "instructions", "of last");
    for work in WORKS {
        let [thrice, once] = ["3", "1"].map(|times| instructions(&[work, times]));
        let count = (thrice - once) / 2.0;
        let ratio = before.get(work).map(|last| count / last);
        worse += u32::from(ratio.is_some_and(|ratio| ratio > MOST));
        println!("{work:<28} {count:>15.0} {:>8}", ratio.map_or_else(|| "-".to_owned(), |ratio| format!("{ratio:.2}")));
        counted.insert(work, count);
    }
    let of = |work: &str| counted.get(work).copied().unwrap_or(f64::NAN);
    println!();
    println!("a whole variant is {:.1} floors", of("whole variant") / of("floor of the whole variant"));
    for room in ["plan", "prove", "draw"] {
        let growth = of(&format!("{room} 400 holes")) / of(&format!("{room} 100 holes"));
        println!("{room}: four times the holes take {growth:.2} times the work");
    }
    if env::var_os("KEEP").is_some() {
        keep(&counted);
    }
    if worse > 0 {
        println!("{worse} of them take more than {MOST} times their last count in benches/history.csv");
        return ExitCode::FAILURE;
    }
    ExitCode::SUCCESS
}

/// Adds the counts to the history, under the commit they are of.
fn keep(counted: &BTreeMap<&str, f64>) {
    let git = Command::new("git").args(["log", "-1", "--format=%cs,%h"]).output().expect("git is installed");
    let commit = String::from_utf8_lossy(&git.stdout).trim().to_owned();
    let mut history = std::fs::read_to_string(HISTORY).unwrap_or_else(|_| "date,commit,work,instructions\n".to_owned());
    for work in WORKS {
        let count = counted.get(work).copied().unwrap_or(f64::NAN);
        let _ = writeln!(history, "{commit},\"{work}\",{count:.0}");
    }
    std::fs::write(HISTORY, history).expect("the history can be written");
}

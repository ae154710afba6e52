//! How instructions grow with holes, pieces and the values of a family: `cargo bench --bench scaling`.
//!
//! Each work is done once in a process of its own, and what setting it up takes is counted in another
//! and taken off. What is too much for a room is refused by it, and the refusal stands in place of a
//! count. One thing more than three quarters as dear again at any larger size as at the middle one is a
//! failure.
//! `KEEP=1` writes the table to `scaling.csv`; `ONLY=draw` does the works of that name alone. `cargo
//! bench --bench scaling -- 'draw holes' 1000 1` does one work of one size so many times and counts
//! nothing.
#![allow(missing_docs, unreachable_pub, reason = "nothing uses it from outside")]
#![allow(dead_code, reason = "the scene is that of the other benches, which show more of it")]
#![allow(clippy::print_stdout, clippy::disallowed_methods, reason = "it is a command, and starts another")]

mod counting;
mod scene;

use std::env;
use std::fmt::Write as _;
use std::hint::black_box;
use std::process::{Command, ExitCode};

use barwright_core::batch::{self, Count, Want, cut_list};
use barwright_core::diag::{Checked, Severity};
use barwright_core::job::{self, Wanted};
use barwright_core::part::{Basis, Feature, Kind, Make, Part, Size};
use barwright_core::proof::Times;
use barwright_core::quantity::{Length, Unit};
use barwright_core::shop::{Saw, Shop};
use barwright_core::source::Source;
use barwright_core::variant::{self, Inputs};
use barwright_core::{drawing, family, plan, program, proof};
use counting::{grid, instructions};
use scene::Scene;

/// What one thing may cost at a larger size, in what it costs at the middle one.
const MOST: f64 = 1.75;

/// The size that larger ones are held against.
const MIDDLE: usize = 100;

/// The most holes of one feature of a family.
const GROUP: usize = 2000;

const TABLE: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/benches/scaling.csv");

const WORKS: [(&str, &[usize]); 9] = [
    ("plan holes", &HOLES),
    ("write holes", &HOLES),
    ("prove holes", &HOLES),
    ("draw holes", &HOLES),
    ("cut pieces", &PIECES),
    ("load pieces", &PIECES),
    ("papers pieces", &PIECES),
    ("load values", &VALUES),
    ("derive values", &VALUES),
];

const HOLES: [usize; 6] = [1, 10, 100, 1000, 10_000, 100_000];
const PIECES: [usize; 6] = [1, 10, 100, 1000, 10_000, 100_000];
/// A file of [`values`] has four more of its own.
const VALUES: [usize; 6] = [1, 10, 100, 196, 197, 1000];

fn main() -> ExitCode {
    let given: Vec<String> = env::args().skip(1).filter(|one| !one.starts_with("--")).collect();
    let [work, size, times] = given.as_slice() else { return count_all() };
    let number = |text: &String| text.parse().expect("a number");
    if let Err(refusal) = run(work, number(size), number(times)) {
        println!("{refusal}");
    }
    ExitCode::SUCCESS
}

/// One work of one size, so many times; what refuses it, where it is too much.
fn run(work: &str, size: usize, times: usize) -> Result<(), String> {
    let scene = Scene::new();
    let many = |one: &mut dyn FnMut()| (0..times).for_each(|_| one());
    let (room, of) = work.split_once(' ').expect("a work and what it is done to");
    match (room, of) {
        (room, "holes") => holes(&scene, room, size, &many),
        ("cut", "pieces") => {
            let bar = scene.shop.rack.iter().find(|bar| bar.name == "brass 16 x 12").expect("on the rack");
            let wants = wants(size);
            many(&mut || drop(black_box(good(cut_list(&wants, bar, &Saw::USUAL, Unit::Mm)).expect("they fit"))));
            Ok(())
        }
        (room, "pieces") => pieces(&scene, room, size, &many),
        (room, "values") => {
            let source = Source::new("values.yaml", values(size));
            let family = good(family::load(&source))?;
            let inputs = Inputs { unit: Some(Unit::Mm), ..Inputs::default() };
            many(&mut || {
                if room == "load" {
                    drop(black_box(family::load(&source)));
                } else {
                    let variant = variant::derive(&family, &inputs, &scene.shop.rack);
                    assert!(black_box(&variant).part.is_some(), "a good part: {:?}", variant.findings);
                }
            });
            Ok(())
        }
        _ => panic!("no work is called {work}"),
    }
}

/// The value, or the first refusal in words.
fn good<T>(checked: Checked<T>) -> Result<T, String> {
    let refused = checked.findings.iter().find(|finding| finding.severity == Severity::Refused);
    let words = refused.map(|finding| format!("{}: {}", finding.code, finding.headline));
    checked.value.ok_or_else(|| words.unwrap_or_default())
}

fn holes(scene: &Scene, room: &str, count: usize, many: &dyn Fn(&mut dyn FnMut())) -> Result<(), String> {
    let (part, shop) = plate(scene, count);
    let plan = || good(plan::plan(&part, &shop));
    match room {
        "draw" => many(&mut || {
            let sheet = drawing::lay_out(&part, &scene.format, &scene.stamp);
            drop(black_box(good(sheet).expect("it is drawn")));
        }),
        "plan" => many(&mut || drop(black_box(plan().expect("it can be made")))),
        "write" => {
            let plan = plan()?;
            many(&mut || drop(black_box(program::emit(&plan.setups[0], &scene.header, &shop.control))));
        }
        "prove" => {
            let plan = plan()?;
            let text = program::emit(&plan.setups[0], &scene.header, &shop.control).text;
            let prove = || proof::prove(&text, &part, &shop, &plan.setups[0].setup);
            if text.lines().count() > proof::MOST_LINES {
                let breaches = prove().breaches;
                let long = breaches.iter().find(|breach| breach.code == "proof/too-long");
                return Err(long.map(|breach| format!("{}: {}", breach.code, breach.what)).expect("it says so"));
            }
            many(&mut || {
                let verdict = prove();
                assert!(verdict.proved(), "it proves: {:?}", verdict.breaches.first());
            });
        }
        _ => panic!("no room does {room}"),
    }
    Ok(())
}

/// A plate with so many plain holes, in as many features as that takes.
fn plate(scene: &Scene, count: usize) -> (Part, Shop) {
    let (columns, rows) = grid(i32::try_from(count).expect("so few"));
    let (mut part, shop) = scene.plate(columns, rows);
    let given = part.features.iter().find(|feature| matches!(feature.kind, Kind::Holes(_))).expect("holes").clone();
    let Kind::Holes(all) = &given.kind else { unreachable!("holes were looked for") };
    let groups = all.places.chunks(GROUP).enumerate().map(|(turn, places)| {
        let id = format!("holes_{}", turn + 1);
        let diameter = Size {
            name: format!("{id}.diameter"),
            title: "plain hole, diameter".to_owned(),
            nominal: Length::mm(4.5),
            upper: Length::mm(0.1),
            lower: Length::mm(-0.1),
            basis: Basis::General,
        };
        let mut holes = all.clone();
        (holes.places, holes.make, holes.chamfer) = (places.to_vec(), Make::Plain { diameter }, None);
        Feature { id, title: "Plain hole".to_owned(), kind: Kind::Holes(holes), ..given.clone() }
    });
    part.features = groups.collect();
    (part, shop)
}

fn pieces(scene: &Scene, room: &str, count: usize, many: &dyn Fn(&mut dyn FnMut())) -> Result<(), String> {
    let goods = job::make(&scene.family, &scene.order, &scene.shop).goods.expect("the example is good");
    let count =
        Count::read(&count.to_string(), "").map_err(|finding| format!("{}: {}", finding.code, finding.headline))?;
    if room == "load" {
        let times: Vec<&Times> = goods.runs.iter().map(|run| &run.verdict.times).collect();
        many(&mut || {
            let batch = batch::batch(&goods.part, &goods.plan, &times, &scene.shop, count, None);
            drop(black_box(good(batch).expect("an order")));
        });
    } else {
        let wanted = Wanted { count, per_load: None, timed: None };
        let worked = good(job::work_out(&goods, &scene.shop, wanted, false))?;
        many(&mut || drop(black_box(worked.files(&goods, &scene.shop).expect("pages that can be written"))));
    }
    Ok(())
}

/// So many pieces of up to twenty lengths, odd and even.
fn wants(pieces: usize) -> Vec<Want> {
    let kinds = u32::try_from(pieces.min(20)).expect("so few");
    let pieces = u32::try_from(pieces).expect("so few");
    let length = |index: u32| Length::mm(31.0 + f64::from(index * index * 37 % 409) * 0.7);
    let one = |index| Want { name: format!("key {index}"), length: length(index), count: (pieces + index) / kinds };
    (0..kinds).map(one).collect()
}

/// A family with so many more values, each from the one before, and a rule for each.
fn values(count: usize) -> String {
    const FAMILY: &str = include_str!("../../families/new-family.yaml");
    let (mut follows, mut rules) = ("\nfollows:\n".to_owned(), "\nrules:\n".to_owned());
    let mut before = "length".to_owned();
    for number in 1..=count {
        let name = format!("step_{number}");
        let _ = write!(
            follows,
            "  {name}:\n    as: {before} + 0.5 * screw.major\n    up_to: 0.01 mm\n    title: step {number}\n    \
             why: A little more than the one before.\n"
        );
        let _ = write!(
            rules,
            "  rule-{number}:\n    must: {name} > {before}\n    else: refused\n    \
             say: \"{{{name}}} is not more than {{{before}}}.\"\n    source: common practice, no source\n"
        );
        before = name;
    }
    FAMILY.replacen("\nfollows:\n", &follows, 1).replacen("\nrules:\n", &rules, 1)
}

fn count_all() -> ExitCode {
    let me = env::current_exe().expect("a program knows where it is");
    let only = env::var("ONLY").unwrap_or_default();
    let mut table = "work,size,instructions,for one,refused\n".to_owned();
    let mut worse = 0;
    println!("{:<16} {:>8} {:>16} {:>12}", "work", "size", "instructions", "for one");
    for (work, sizes) in WORKS.iter().filter(|(work, _)| work.contains(&only)) {
        let mut each: Vec<(usize, f64)> = Vec::new();
        for size in *sizes {
            let number = size.to_string();
            let told = Command::new(&me).args([work, number.as_str(), "0"]).output().expect("it runs");
            assert!(told.status.success(), "{work} {size}: {}", String::from_utf8_lossy(&told.stderr));
            let refusal = String::from_utf8_lossy(&told.stdout).trim().to_owned();
            if !refusal.is_empty() {
                println!("{work:<16} {size:>8} {refusal}");
                let _ = writeln!(table, "{work},{size},,,\"{}\"", refusal.replace('"', "\"\""));
                continue;
            }
            let [all, set] = ["1", "0"].map(|times| instructions(&[work, number.as_str(), times]));
            let one = (all - set) / f64::from(u32::try_from(*size).expect("so few"));
            println!("{work:<16} {size:>8} {:>16.0} {one:>12.0}", all - set);
            let _ = writeln!(table, "{work},{size},{:.0},{one:.0},", all - set);
            each.push((*size, one));
        }
        let middle = each.iter().find(|(size, _)| *size == MIDDLE).map_or(f64::NAN, |(_, one)| *one);
        let larger = each.iter().filter(|(size, _)| *size > MIDDLE).map(|(size, one)| (*size, one / middle));
        let (dearest, ratio) = larger.max_by(|a, b| a.1.total_cmp(&b.1)).unwrap_or((0, f64::NAN));
        println!("{work}: one of {dearest} takes {ratio:.2} of what one of {MIDDLE} takes, the most of all larger");
        // What is no number is no good either.
        worse += u32::from(ratio.is_nan() || ratio > MOST);
    }
    if env::var_os("KEEP").is_some() {
        std::fs::write(TABLE, table).expect("the table can be written");
    }
    if worse > 0 {
        println!("{worse} of them take more than {MOST} times as much for one");
        return ExitCode::FAILURE;
    }
    ExitCode::SUCCESS
}

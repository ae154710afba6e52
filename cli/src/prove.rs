//! `barwright prove PROGRAM --part part.json`.

use std::fmt::Write;
use std::path::Path;

use barwright_core::batch::say_time;
use barwright_core::part::{Pose, called};
use barwright_core::plan;
use barwright_core::proof::{self, Breach, Tapping, Verdict, unmeasured};
use barwright_core::quantity::{Length, Unit, fixed, trimmed};
use barwright_core::record::{FORMAT, LoadUse, ProgramUse, Record, VERSION, digest};
use barwright_core::shop::{Setup, Shop};
use serde_json::{Value, json};

use crate::args::Prove;
use crate::lines::wrapped;
use crate::{Failure, Outcome, files, summary};

/// The most breaches that are shown to a person; all are counted, and all stand in the JSON.
const SHOWN: usize = 20;

/// Proves a program's text against a part.
pub(crate) fn run(arguments: &Prove) -> Outcome {
    let text = files::text_of(&arguments.program)?;
    let record = record(&arguments.part)?;
    if let Some(load) = load_of(arguments, &record, &text)? {
        return of_load(arguments, &record, load, &text);
    }
    let program = program(arguments, &record, &text)?;
    let control = arguments.place.control.as_deref().unwrap_or(&program.control);
    let shop = files::shop(&arguments.place.shop, Some(control))?;
    let held = Held::of(arguments, &record, program, &shop)?;
    let posed = record.part.posed(held.pose);
    let verdict = proof::prove_with(&text, &posed, &shop, &held.setup, &held.tapping);
    let said = if arguments.form.json {
        as_json(&record, &verdict)
    } else {
        other_part(&text, &record.digest) + &held.caution + &as_text(&verdict, record.part.unit)
    };
    if verdict.proved() {
        Ok(said)
    } else if arguments.form.json {
        // A reader of JSON reads standard output, whatever the verdict.
        Err(Failure::Told(said))
    } else {
        Err(Failure::Refused(said))
    }
}

/// How the part stands for a program, and which threads the program leaves to the bench.
struct Held {
    pose: Pose,
    setup: Setup,
    tapping: Tapping,
    /// What is to be said of where this comes from; empty where the record's seal holds for it.
    caution: String,
}

impl Held {
    /// As a sealed record has it. Of one without a seal nothing but the part is believed: the rest
    /// is worked out anew, as the shop makes the part.
    fn of(arguments: &Prove, record: &Record, program: &ProgramUse, shop: &Shop) -> Result<Self, Failure> {
        if record.seal.is_some() {
            let tapping = Tapping::by_hand(&record.tapped_by_hand);
            return Ok(Self { pose: program.pose, setup: program.setup.clone(), tapping, caution: String::new() });
        }
        let number = program.setup.number;
        let plan = plan::plan(&record.part, shop).value.unwrap_or_default();
        let Some(anew) = plan.setups.iter().find(|setup| setup.setup.number == number) else {
            return Err(Failure::Refused(format!(
                "refused  {} has no seal for how its part is held, and this shop has no setup {number} for it.\n  \
                 try    Name the shop that it was made in with `--shop`, or make it anew.",
                arguments.part.display()
            )));
        };
        let same = anew.pose == program.pose && anew.setup == program.setup;
        let other = if same { "" } else { " It says otherwise of the setup: that is not believed." };
        let said = format!(
            "The record has no seal, as those that were written first: how the part is held and what is tapped by hand \
             are worked out anew from part and shop.{other}"
        );
        let tapping = Tapping::by_hand(plan.tapped_by_hand());
        let caution = format!("caution    {}\n\n", wrapped(&said, 11));
        Ok(Self { pose: anew.pose, setup: anew.setup.clone(), tapping, caution })
    }
}

/// The load that a program is for, where its head or its name tells of one.
fn load_of<'r>(arguments: &Prove, record: &'r Record, text: &str) -> Result<Option<&'r LoadUse>, Failure> {
    let name = arguments.program.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
    let pieces: Option<u32> = text.lines().find_map(|line| {
        let rest = remark(line)?.strip_prefix("LOAD OF ")?;
        rest.split_once(':')?.0.trim().parse().ok()
    });
    let setup = arguments.setup.or_else(|| named_setup(text));
    let fits = |load: &&LoadUse| pieces == Some(load.pieces) && setup.is_none_or(|setup| setup == load.setup);
    let found = record.loads.iter().find(fits).or_else(|| record.loads.iter().find(|load| load.file == name));
    match (found, pieces) {
        (None, Some(pieces)) => {
            let known: Vec<String> = record.loads.iter().map(|load| load.file.clone()).collect();
            let part = arguments.part.display();
            let try_this = if known.is_empty() {
                format!("Make it anew with `barwright make … quantity=N load={pieces}`.")
            } else {
                format!("It has {}.", known.join(", "))
            };
            Err(Failure::Refused(format!("refused  {part} has no load of {pieces} pieces.\n  try    {try_this}")))
        }
        (found, _) => Ok(found),
    }
}

/// The setup that a program's head names.
fn named_setup(text: &str) -> Option<u32> {
    text.lines().find_map(|line| {
        let rest = remark(line)?.strip_prefix("SETUP ")?;
        rest.split_once(" OF ")?.0.trim().parse().ok()
    })
}

/// Proves the program of a load: every piece of it.
fn of_load(arguments: &Prove, record: &Record, load: &LoadUse, text: &str) -> Outcome {
    let control = arguments.place.control.as_deref().unwrap_or(&load.control);
    let shop = files::shop(&arguments.place.shop, Some(control))?;
    if record.seal.is_none() {
        return Err(Failure::Refused(format!(
            "refused  {} has no seal for how its loads are held.\n  try    Make it anew with `barwright make … quantity=N`.",
            arguments.part.display()
        )));
    }
    let tapping = Tapping::by_hand(&record.tapped_by_hand);
    let verdict = proof::prove_load(text, &record.part.posed(load.pose), &shop, &load.stands, &tapping);
    let proved = verdict.proved();
    let pieces = verdict.pieces.iter().map(|piece| Verdict {
        inspection: piece.inspection.clone(),
        checks: piece.checks.clone(),
        ..Verdict::default()
    });
    let pieces: Vec<Verdict> = pieces.collect();
    if arguments.form.json {
        let whole = Verdict { breaches: verdict.breaches.clone(), times: verdict.times.clone(), ..Verdict::default() };
        let said = load_as_json(record, &whole, &pieces, proved);
        // A reader of JSON reads standard output, whatever the verdict.
        return if proved { Ok(said) } else { Err(Failure::Told(said)) };
    }
    let mut out = other_part(text, &record.digest);
    breaches(&verdict.breaches, &mut out);
    let mut bad = 0;
    let mut measured = 0;
    for (at, piece) in pieces.iter().enumerate() {
        let wrong = piece.inspection.iter().filter(|reading| !reading.holds).count()
            + piece.checks.iter().filter(|check| !check.holds).count();
        bad += wrong;
        measured += piece.inspection.iter().filter(|reading| reading.measured.is_some()).count();
        let all = piece.inspection.len() + piece.checks.len();
        let word = if wrong == 0 { format!("all of {all} sizes hold") } else { format!("{wrong} of {all} sizes: NO") };
        let _infallible = writeln!(out, "Place {:<3} {word}", at + 1);
        if wrong > 0 {
            table(piece, record.part.unit, true, &mut out);
        }
    }
    let _infallible = writeln!(out, "\n{} for the load, changes included", say_time(verdict.times.total));
    let count = if pieces.len() == 1 { "1 piece".to_owned() } else { format!("{} pieces", pieces.len()) };
    let end = if proved {
        format!("proved: {measured} sizes measured on {count}, all within limits")
    } else {
        format!("not proved: {} breaches, {bad} sizes out of limits on {count}", verdict.breaches.len())
    };
    let _infallible = writeln!(out, "{end}");
    if proved { Ok(out) } else { Err(Failure::Refused(out)) }
}

/// The setup that a program is for: the one asked for, or else the one that its header names, or
/// else the only one.
fn program<'r>(arguments: &Prove, record: &'r Record, text: &str) -> Result<&'r ProgramUse, Failure> {
    let named = named_setup(text);
    let known = record.programs.len();
    match arguments.setup.or(named) {
        None if known > 1 => Err(Failure::Refused(format!(
            "refused  {} has {known} setups, and the program does not say which it is for.\n  try    Add `--setup N`.",
            arguments.part.display()
        ))),
        None => record
            .programs
            .first()
            .ok_or_else(|| Failure::Refused(format!("refused  {} names no program.", arguments.part.display()))),
        Some(number) => record.programs.iter().find(|program| program.setup.number == number).ok_or_else(|| {
            Failure::Refused(format!(
                "refused  {} has no setup {number}.\n  try    It has {known}.",
                arguments.part.display()
            ))
        }),
    }
}

/// The record in a file, if it is one and its part is as it was made.
pub(crate) fn record(path: &Path) -> Result<Record, Failure> {
    let beside = path.join("part.json");
    let path = if path.is_dir() { &beside } else { path };
    let text = files::text_of(path)?;
    let path = path.display();
    let refused = |what: String| {
        Failure::Refused(format!("refused  {path}: {what}\n  try    Make it anew with `barwright make`."))
    };
    let record: Record =
        serde_json::from_str(&text).map_err(|error| refused(format!("this is no record of a part ({error}).")))?;
    if record.format != FORMAT || record.version > VERSION {
        return Err(refused(format!("a record of version {} cannot be read here; {VERSION} can.", record.version)));
    }
    if digest(&record.part) != record.digest {
        return Err(refused("its part was changed after it was made; the digest does not match.".to_owned()));
    }
    if record.sealed() == Some(false) {
        let what = "its setups, loads, tapping, tools, order, verdict or times were changed after it was made";
        return Err(refused(format!("{what}; the seal does not match.")));
    }
    Ok(record)
}

/// The words of a line that is a comment alone: what a title says further in is no head of ours.
fn remark(line: &str) -> Option<&str> {
    let numbered = line.trim_start().trim_start_matches(|sign: char| sign == 'N' || sign.is_ascii_digit());
    let words = numbered.trim_start().strip_prefix(['(', ';'])?;
    Some(words.trim_start())
}

/// A word of caution where the program's header names another part.
fn other_part(text: &str, digest: &str) -> String {
    let named = text
        .lines()
        .find_map(|line| remark(line)?.strip_prefix("DIGEST ").map(|rest| rest.trim_end_matches([')', ' '])));
    match named {
        Some(named) if !named.eq_ignore_ascii_case(digest) => {
            format!("caution    The program was made for {}, this part is {digest}.\n\n", named.escape_debug())
        }
        _ => String::new(),
    }
}

/// What must not run.
fn breaches(list: &[Breach], out: &mut String) {
    let mut line = |text: String| {
        out.push_str(text.trim_end());
        out.push('\n');
    };
    for breach in list.iter().take(SHOWN) {
        let place = if breach.line == 0 { "piece".to_owned() } else { format!("line {}", breach.line) };
        line(format!("{place:10} {}", breach.words.trim()));
        line(format!("{:11}{}", "", wrapped(&breach.what, 11)));
        line(format!("{:11}{}", "", wrapped(&breach.consequence, 11)));
        if let Some(again) = breach.again() {
            line(format!("{:11}{again}", ""));
        }
    }
    if list.len() > SHOWN {
        line(format!("… and {} more", list.len() - SHOWN));
    }
    if !list.is_empty() {
        line(String::new());
    }
}

/// The sizes of a piece, all of them or those that do not hold.
fn table(verdict: &Verdict, unit: Unit, only_bad: bool, out: &mut String) {
    let mut line = |text: String| {
        out.push_str(text.trim_end());
        out.push('\n');
    };
    let say = |length: Length| trimmed(unit.of(length), unit.decimals());
    for reading in verdict.inspection.iter().filter(|reading| !(only_bad && reading.holds)) {
        let size = &reading.characteristic.size;
        let measured = reading.measured.map_or_else(|| unmeasured(reading.holds).to_owned(), say);
        let mark = if reading.holds { "" } else { "  NO" };
        line(format!(
            "{:30} {:>10} {:>10} {:>10} {measured:>12}{mark}",
            size.name,
            say(size.nominal),
            say(size.least()),
            say(size.most())
        ));
    }
    for check in verdict.checks.iter().filter(|check| !(only_bad && check.holds)) {
        let found = check.found.as_deref().unwrap_or(unmeasured(check.holds));
        let mark = if check.holds { "" } else { "  NO" };
        line(format!(
            "{:30} {:>10} {:>10} {:>10} {found:>12}{mark}",
            check.attribute.name, check.attribute.wanted, "", ""
        ));
    }
}

fn as_text(verdict: &Verdict, unit: Unit) -> String {
    let mut out = String::new();
    breaches(&verdict.breaches, &mut out);
    let _infallible =
        writeln!(out, "{:30} {:>10} {:>10} {:>10} {:>12}", "First piece", "nominal", "least", "most", "measured");
    table(verdict, unit, false, &mut out);
    let mut line = |text: String| {
        out.push_str(text.trim_end());
        out.push('\n');
    };
    line(String::new());
    times(verdict, &mut line);
    let bad = verdict.inspection.iter().filter(|reading| !reading.holds).count()
        + verdict.checks.iter().filter(|check| !check.holds).count();
    let word = if verdict.proved() { "proved" } else { "not proved" };
    let mut end = format!(
        "{word}: {} breaches, {bad} of {} sizes out of limits",
        verdict.breaches.len(),
        verdict.inspection.len() + verdict.checks.len()
    );
    if verdict.proved() {
        let measured = verdict.inspection.iter().filter(|reading| reading.measured.is_some()).count();
        end = format!("{word}: {measured} sizes measured, all within limits");
    }
    let _infallible = writeln!(out, "{end}");
    out
}

/// What each operation takes, the whole piece, and a piece of a large batch.
fn times(verdict: &Verdict, line: &mut impl FnMut(String)) {
    let times = &verdict.times;
    line(format!("{:6} {:50} {:>8} {:>8}", "Tool", "operation", "seconds", "cutting"));
    for operation in &times.operations {
        let words = if operation.words.is_empty() { "change of tool, start" } else { &operation.words };
        let words: String = words.chars().take(50).collect();
        line(format!(
            "{:<6} {:50} {:>8} {:>8}",
            operation.tool,
            words.to_lowercase(),
            fixed(operation.time.as_second(), 0),
            fixed(operation.cutting.as_second(), 0)
        ));
    }
    line(String::new());
    line(summary::time(times.total));
    line(format!("{} without them: each piece of a batch that runs tool by tool", say_time(times.piece())));
}

/// A load as JSON: what one program has, and the sizes of every piece.
fn load_as_json(record: &Record, whole: &Verdict, pieces: &[Verdict], proved: bool) -> String {
    let read = |verdict: &Verdict| serde_json::from_str::<Value>(&as_json(record, verdict)).unwrap_or_default();
    let mut all = read(whole);
    let pieces: Vec<Value> = pieces
        .iter()
        .map(|piece| {
            let mut one = read(piece);
            json!({ "first_piece": one["first_piece"].take(), "first_piece_words": one["first_piece_words"].take() })
        })
        .collect();
    if let Some(all) = all.as_object_mut() {
        all.insert("proved".to_owned(), json!(proved));
        all.remove("first_piece");
        all.remove("first_piece_words");
        all.insert("pieces".to_owned(), json!(pieces));
    }
    serde_json::to_string_pretty(&all).unwrap_or_default() + "\n"
}

fn as_json(record: &Record, verdict: &Verdict) -> String {
    let part = &record.part;
    let inspection: Vec<_> = verdict
        .inspection
        .iter()
        .map(|reading| {
            let size = &reading.characteristic.size;
            json!({
                "name": size.name, "title": called(part, &reading.characteristic), "nominal": size.nominal, "least": size.least(),
                "most": size.most(), "measured": reading.measured, "holds": reading.holds,
            })
        })
        .collect();
    let words: Vec<_> = verdict
        .checks
        .iter()
        .map(|check| {
            let attribute = &check.attribute;
            json!({
                "name": attribute.name, "title": attribute.title, "wanted": attribute.wanted, "found": check.found,
                "holds": check.holds,
            })
        })
        .collect();
    let sections: Vec<_> =
        verdict.times.sections.iter().map(|(tool, time)| json!({ "tool": tool, "seconds": time })).collect();
    let text = json!({
        "proved": verdict.proved(), "sealed": record.seal.is_some(), "lengths_in": "mm", "breaches": verdict.breaches, "first_piece": inspection,
        "first_piece_words": words,
        "time": {
            "sections": sections, "operations": verdict.times.operations, "changes": verdict.times.changes,
            "cutting": verdict.times.cutting, "seconds": verdict.times.total,
        },
    });
    serde_json::to_string_pretty(&text).unwrap_or_default() + "\n"
}

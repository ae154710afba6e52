//! `barwright adjust PART name=value …`: what the readings of a first piece say.

use std::fmt::Write;
use std::path::Path;

use barwright_core::batch::{self, Adjustment, Correction, Learnt, Verdict, say_time};
use barwright_core::diag::{Diagnostic, Severity};
use barwright_core::drawing::{self, Stamp};
use barwright_core::job::{self, File, Goods};
use barwright_core::part::Part;
use barwright_core::plan;
use barwright_core::quantity::{Dim, Length, Time, Unit, read_as, trimmed};
use barwright_core::record::{self, Record};
use barwright_core::shop::Shop;
use serde_json::json;

use crate::args::Adjust;
use crate::lines::wrapped;
use crate::{Failure, Outcome, anew, batch as order, files, make, prove, report, save};

/// Judges readings, and writes the corrected packet where a folder is given.
pub(crate) fn run(arguments: &Adjust) -> Outcome {
    let path = if arguments.part.is_dir() { arguments.part.join("part.json") } else { arguments.part.clone() };
    let record = prove::record(&path)?;
    let control =
        arguments.place.control.as_deref().or_else(|| record.programs.first().map(|program| program.control.as_str()));
    let shop = files::shop(&arguments.place.shop, control)?;
    let (shop, mut findings) = as_made(&record, shop);
    let part = &record.part;
    let mill = shop.control.speaks(part.unit);
    let (readings, timed) = readings(&arguments.readings)?;
    let learnt = timed.map(|time| learn(&record, &shop, &time)).transpose()?;
    let planned = plan::plan(part, &shop);
    let Some(plan) = planned.value else {
        return Err(Failure::Refused(
            report::of_sizes(&planned.findings) + "\n\nThe shop cannot make this part any more.",
        ));
    };
    let used: Vec<u32> = record.tools.iter().map(|tool| tool.number).collect();
    if plan.tools.iter().any(|tool| !used.contains(&tool.number)) {
        findings.push(Diagnostic::caution(
            "adjust/crib",
            "The crib has changed since the part was made: other tools are chosen now.",
        ));
    }
    let adjustment = if readings.is_empty() && learnt.is_some() {
        Adjustment::default()
    } else {
        let checked = batch::adjust(part, &plan, mill, &readings);
        findings.extend(checked.findings);
        let Some(adjustment) = checked.value else {
            return Err(Failure::Refused(report::of_sizes(&findings)));
        };
        adjustment
    };
    let written = match &arguments.output {
        Some(folder) => Some(write(arguments, folder, &path, &record, &shop, &adjustment, &mut findings)?),
        None => None,
    };
    if arguments.form.json {
        let text = json!({ "digest": record.digest, "adjustment": adjustment, "good": adjustment.good(), "stop": adjustment.stops(), "learnt": learnt, "findings": findings, "written": written });
        return Ok(serde_json::to_string_pretty(&text).unwrap_or_default() + "\n");
    }
    Ok(text((part, mill), &adjustment, learnt.as_ref(), &findings, written.as_deref()))
}

type Readings = (Vec<(String, String)>, Option<String>);

/// Readings as typed; `time` apart from them.
fn readings(typed: &[String]) -> Result<Readings, Failure> {
    let mut list = Vec::new();
    let mut timed = None;
    for reading in typed {
        let Some((name, value)) = reading.split_once('=') else {
            return Err(Failure::Refused(format!(
                "refused  `{}` is no reading.\n  try    Write NAME=VALUE, such as tongue_width=8.06 or screw_holes.go=no.",
                reading.escape_debug()
            )));
        };
        let name = name.trim();
        if name == "time" {
            timed = Some(value.to_owned());
        } else {
            list.push((name.to_owned(), value.to_owned()));
        }
    }
    Ok((list, timed))
}

fn learn(record: &Record, shop: &Shop, text: &str) -> Result<Learnt, Failure> {
    let refused = |finding: Diagnostic| Failure::Refused(report::of_sizes(&[finding]));
    let measured = read_as(text, Dim::TIME, None).map_err(|error| {
        let finding = Diagnostic::refused("adjust/value", format!("time: {}", error.what));
        refused(finding.help("Write it as time='17.5 min' or time='1050 s'."))
    })?;
    batch::learn(record.time.total, Time::second(measured.value), shop.batch.time_factor).map_err(refused)
}

/// The shop with the cutters that the part's programs were made with: what was read comes of those,
/// whatever was put into the crib since.
fn as_made(record: &Record, mut shop: Shop) -> (Shop, Vec<Diagnostic>) {
    let mut findings = Vec::new();
    let unit = record.part.unit;
    for used in &record.tools {
        for tool in shop.tools.iter_mut().filter(|tool| tool.number == used.number && tool.title == used.title) {
            if (tool.diameter - used.diameter).abs() < Length::mm(1e-6) {
                continue;
            }
            let say = |length: Length| format!("{} {}", trimmed(unit.of(length), unit.decimals() + 1), unit.sign());
            let headline = format!(
                "The crib has T{} with {}; the program was made with {}, and what was read comes of that.",
                tool.number,
                say(tool.diameter),
                say(used.diameter)
            );
            findings.push(Diagnostic::caution("adjust/crib", headline));
            tool.diameter = used.diameter;
            tool.shank = tool.shank.max(used.diameter);
        }
    }
    (shop, findings)
}

/// Writes what was read and, where it changes the program, the whole packet anew: programs, loads,
/// record and papers are of one cutter.
fn write(
    arguments: &Adjust,
    folder: &Path,
    path: &Path,
    record: &Record,
    shop: &Shop,
    adjustment: &Adjustment,
    findings: &mut Vec<Diagnostic>,
) -> Result<String, Failure> {
    let unit = record.part.unit;
    let table = batch::adjustment_csv(adjustment, unit, shop.control.speaks(unit), &record.digest).into_bytes();
    let table = ("adjust.csv".to_owned(), table);
    let list = if adjustment.changes_program() {
        let mut list = corrected(arguments, path, record, &adjustment.applied(shop), findings)?;
        // The record comes last: it is the seal of the others.
        list.insert(list.len().saturating_sub(1), table);
        list
    } else {
        let there = folder.join("part.json");
        if there.is_file() && prove::record(&there)?.digest != record.digest {
            return Err(Failure::Refused(format!(
                "refused  {} holds another part; what was read of this one does not belong there.\n  try    Another folder.",
                folder.display()
            )));
        }
        vec![table]
    };
    save::write_whole(folder, &list)?;
    let names: Vec<&str> = list.iter().map(|(name, _)| name.as_str()).collect();
    Ok(format!("Written to {}: {}", folder.display(), names.join(", ")))
}

/// The packet as the corrected shop makes it, every program read back and proved.
fn corrected(
    arguments: &Adjust,
    path: &Path,
    record: &Record,
    shop: &Shop,
    findings: &mut Vec<Diagnostic>,
) -> Result<Vec<File>, Failure> {
    let refused = |what: &str| Failure::Refused(format!("refused  {what}\n\nNothing was written."));
    if record.order.is_none() && !record.loads.is_empty() {
        let loads: Vec<&str> = record.loads.iter().map(|load| load.file.as_str()).collect();
        return Err(refused(&format!(
            "The record does not tell what was ordered: {} cannot be corrected with the rest.\n  try    Put the diameter into the crib and make the order again.",
            loads.join(", ")
        )));
    }
    let planned = plan::plan(&record.part, shop);
    let Some(plan) = planned.value else {
        return Err(Failure::Refused(report::of_sizes(&planned.findings) + "\n\nNothing was written."));
    };
    // Nothing lies beside a record that comes from standard input.
    let lies = path.parent().filter(|_| path.as_os_str() != "-");
    let beside = |name: &str| lies.and_then(|folder| files::bytes_of(&folder.join(name)).ok());
    let program = record.programs.first().and_then(|program| beside(&program.file)).unwrap_or_default();
    let stamp = anew::stamp(record, shop, record::named_revision(&String::from_utf8_lossy(&program)));
    let same = arguments.revision.as_ref().is_none_or(|revision| *revision == stamp.revision);
    let stamp = Stamp { revision: arguments.revision.clone().unwrap_or(stamp.revision), ..stamp };
    let runs = job::runs(&plan, &record.part, shop, &stamp, true);
    if let Some(run) = runs.iter().find(|run| !run.verdict.proved()) {
        let why = run.verdict.breaches.first();
        let why = why.map_or_else(|| "a size does not hold".to_owned(), |breach| breach.what.clone());
        return Err(refused(&format!("The corrected program does not prove: {why}")));
    }
    let verdicts: Vec<_> = runs.iter().map(|run| &run.verdict).collect();
    let next = record.clone().planned(&plan, &shop.control, &verdicts);
    let drawn = beside("drawing.pdf").filter(|bytes| record::named_digest(bytes).as_ref() == Some(&record.digest));
    let pages = drawn.as_ref().and_then(|bytes| drawing::pdf::texts(bytes));
    let Some(sheet) = anew::sheet(&record.part, &stamp, true, pages.as_deref()) else {
        return Err(refused("The drawing cannot be laid out any more."));
    };
    let mut goods = Goods { part: record.part.clone(), plan, record: next, sheet, runs, stamp };
    let tables = match &record.order {
        None => Vec::new(),
        Some(order) => {
            let (worked, told) = order::work_out(&goods, shop, anew::wanted(order), false)?;
            findings.extend(told);
            worked.enter(&mut goods, shop);
            order::files(&worked, &goods, shop)?
        }
    };
    let mut list = make::written(&goods, tables)?;
    // Who drew a single part, and when, its drawing alone tells: it stays as it is.
    if record.order.is_none() && drawn.is_some() {
        if same && record.proved {
            for (name, bytes) in &mut list {
                if let Some(before) = beside(name).filter(|_| name.starts_with("drawing")) {
                    *bytes = before;
                }
            }
        } else {
            findings.push(Diagnostic::caution(
                "adjust/drawing",
                "The drawing is laid out anew; its date, and who drew it, are not in the record.",
            ));
        }
    }
    // A picture of the drawing belongs to it as long as the drawing is the same.
    let picture = beside("drawing.png")
        .filter(|_| list.iter().any(|(name, bytes)| name == "drawing.svg" && beside(name).as_ref() == Some(bytes)));
    if let Some(picture) = picture {
        list.insert(0, ("drawing.png".to_owned(), picture));
    }
    Ok(list)
}

fn text(
    (part, mill): (&Part, Unit),
    adjustment: &Adjustment,
    learnt: Option<&Learnt>,
    findings: &[Diagnostic],
    written: Option<&str>,
) -> String {
    let unit = part.unit;
    let mut out = format!("{}  {}\n", part.number, part.title);
    for judged in &adjustment.judged {
        let word = match judged.verdict {
            Verdict::Good => "good",
            Verdict::Corrected => "correct",
            Verdict::NotByOffset => "no offset",
        };
        let number = |length: Length| trimmed(unit.of(length), unit.decimals());
        let all: Vec<String> = judged.read.iter().map(|length| number(*length)).collect();
        let read = if all.is_empty() {
            String::new()
        } else {
            format!(" {}, wanted {} … {}", all.join(" and "), number(judged.least), unit.say(judged.most))
        };
        let _infallible = write!(out, "\n  {word:10} {}{read}\n{:13}{}\n", judged.name, "", wrapped(&judged.text, 13));
    }
    if !adjustment.corrections.is_empty() {
        out.push_str("\nBefore the next piece\n");
    }
    for correction in &adjustment.corrections {
        let (what, how, why) = told(mill, correction);
        let _infallible = write!(out, "  {what:10} {}\n{:13}{}\n", wrapped(&how, 13), "", wrapped(why, 13));
    }
    if let Some(learnt) = learnt {
        let _infallible = write!(
            out,
            "\n  {:10} {} measured, {} predicted\n{:13}{}\n{:13}Put `time_factor: {}` into the shop's file.\n",
            "time",
            say_time(learnt.measured),
            say_time(learnt.predicted * learnt.before),
            "",
            wrapped(&learnt.text, 13),
            "",
            trimmed(learnt.factor, 2)
        );
    }
    for finding in findings.iter().filter(|finding| finding.severity == Severity::Caution) {
        let _infallible = write!(out, "\n  caution    {}\n", wrapped(&finding.headline, 13));
        for help in &finding.helps {
            let _infallible = writeln!(out, "             {}", wrapped(help, 13));
        }
    }
    let stop =
        "Stop: the piece is bad, and nothing typed at the control mends it. Find the cause before the next piece.";
    let stop = if adjustment.stops() { stop } else { "" };
    let last = if adjustment.judged.is_empty() || (adjustment.stops() && adjustment.corrections.is_empty()) {
        ""
    } else if adjustment.changes_program() {
        match written {
            Some(_) => "Every program was corrected, read back and proved. Put the diameter into the crib too.",
            None => "Put the diameter into the crib and make the part again; or add -o FOLDER for the packet.",
        }
    } else if adjustment.corrections.is_empty() {
        "The program goes on as it is."
    } else if adjustment.stops() {
        "The same program goes on after that, with the new offsets."
    } else {
        "The same program goes on, with the new offsets."
    };
    for line in [written.unwrap_or_default().to_owned(), wrapped(stop, 0), wrapped(last, 0)] {
        if !line.is_empty() {
            let _infallible = write!(out, "\n{line}");
        }
    }
    out.trim_end().to_owned() + "\n"
}

fn told(unit: Unit, correction: &Correction) -> (String, String, &str) {
    let number = |length: Length| trimmed(unit.of(length), unit.decimals() + 1);
    let signed = |length: Length| {
        let sign = if length < Length::ZERO { "-" } else { "+" };
        format!("{sign}{} {}", number(length.abs()), unit.sign())
    };
    match correction {
        Correction::Diameter { tool, title, from, to, why } => {
            (format!("T{tool}"), format!("{title}: diameter {} → {} {}", number(*from), number(*to), unit.sign()), why)
        }
        Correction::LengthOffset { tool, title, by, why } => (
            format!("H{tool}"),
            format!(
                "{title}: length offset {}; where tools are touched off, call the top Z{} instead of Z0",
                signed(*by),
                number(-*by)
            ),
            why,
        ),
        Correction::Datum { setup, axis, by, why } => {
            let axis = axis.letter();
            let which = setup.map_or_else(String::new, |setup| format!(" of setup {setup}"));
            (format!("zero {axis}"), format!("move the work's zero{which} by {}", signed(*by)), why)
        }
    }
}

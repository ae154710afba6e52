//! `barwright adjust PART name=value …`: what the readings of a first piece say.

use std::fmt::Write;

use barwright_core::batch::{self, Adjustment, Correction, Learnt, Verdict, say_time};
use barwright_core::diag::{Diagnostic, Severity};
use barwright_core::drawing::Stamp;
use barwright_core::job;
use barwright_core::part::Part;
use barwright_core::plan;
use barwright_core::plan::program_file;
use barwright_core::quantity::{Dim, Length, Time, Unit, read_as, trimmed};
use barwright_core::record::Record;
use barwright_core::shop::Shop;
use serde_json::json;

use crate::args::Adjust;
use crate::lines::wrapped;
use crate::{Failure, Outcome, files, prove, report, save};

/// Judges readings, and writes the corrected program where a folder is given.
pub(crate) fn run(arguments: &Adjust) -> Outcome {
    let path = if arguments.part.is_dir() { arguments.part.join("part.json") } else { arguments.part.clone() };
    let record = prove::record(&path)?;
    let control =
        arguments.place.control.as_deref().or_else(|| record.programs.first().map(|program| program.control.as_str()));
    let shop = files::shop(&arguments.place.shop, control)?;
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
    let mut findings = Vec::new();
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
    let written = write(arguments, &record, &shop, &adjustment)?;
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
        let name = name.trim().replace('-', "_");
        if name == "time" {
            timed = Some(value.to_owned());
        } else {
            list.push((name, value.to_owned()));
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

/// Writes the corrected programs, proved again; `None` where no folder is given.
fn write(arguments: &Adjust, record: &Record, shop: &Shop, adjustment: &Adjustment) -> Result<Option<String>, Failure> {
    let Some(folder) = &arguments.output else { return Ok(None) };
    let mut list = vec![(
        "adjust.csv".to_owned(),
        batch::adjustment_csv(adjustment, record.part.unit, shop.control.speaks(record.part.unit), &record.digest)
            .into_bytes(),
    )];
    if adjustment.changes_program() {
        let next = adjustment.applied(shop);
        let planned = plan::plan(&record.part, &next);
        let Some(plan) = planned.value else {
            return Err(Failure::Refused(report::of_sizes(&planned.findings) + "\n\nNothing was written."));
        };
        let stamp = Stamp {
            revision: arguments.revision.clone(),
            digest: record.digest.clone(),
            owner: next.owner.clone(),
            ..Stamp::default()
        };
        let runs = job::runs(&plan, &record.part, &next, &stamp, true);
        if let Some(run) = runs.iter().find(|run| !run.verdict.proved()) {
            let why = run
                .verdict
                .breaches
                .first()
                .map_or_else(|| "a size does not hold".to_owned(), |breach| breach.what.clone());
            return Err(Failure::Refused(format!(
                "refused  The corrected program does not prove: {why}\n\nNothing was written."
            )));
        }
        list.extend(
            runs.iter().map(|run| (program_file(run.setup.number, true), run.program.text.clone().into_bytes())),
        );
    }
    save::write_whole(folder, &list)?;
    let names: Vec<&str> = list.iter().map(|(name, _)| name.as_str()).collect();
    Ok(Some(format!("Written to {}: {}", folder.display(), names.join(", "))))
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
            Some(_) => "The corrected program was read back and proved. Put the diameter into the crib too.",
            None => "Put the diameter into the crib and make the part again; or add -o FOLDER for the program.",
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

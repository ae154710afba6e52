//! What was made, what to look at, what to mind: a summary that a person wants to read.

use std::path::Path;

use barwright_core::batch::say_time;
use barwright_core::diag::Severity;
use barwright_core::job::{Goods, Job, stock};
use barwright_core::plan::Plan;
use barwright_core::quantity::{Time, pick};
use barwright_core::shop::Tool;

use crate::holes;
use crate::lines::wrapped;

/// The summary of one variant.
pub(crate) fn text(job: &Job, goods: &Goods, order: &[(&str, String)], written: Option<(&Path, &[String])>) -> String {
    let part = &goods.part;
    let unit = part.unit;
    let mut lines = vec![format!("{}  {}", part.number, part.title), String::new()];
    let mut row = |word: &str, text: String| lines.push(format!("  {word:10} {text}"));
    row("blank", format!("{}, {}", stock(part, unit), part.material.title));
    row("mass", format!("{} g", pick(part.mass.as_gram(), 3)));
    for (feature, tongue) in part.tongues() {
        row(
            &feature.title.to_lowercase(),
            format!("{} wide, {} high", holes::limits(&tongue.width, unit), unit.say(tongue.height.nominal)),
        );
    }
    for (feature, holes) in part.holes() {
        row("holes", wrapped(&holes::line(feature, holes, unit), 13));
    }
    for (_, slot) in part.slots() {
        row("slot", wrapped(&holes::slot_line(slot, unit), 13));
    }
    for note in &part.notes {
        row("", wrapped(note, 13));
    }
    row("rules", rules(job));
    row(if goods.runs.len() == 1 { "program" } else { "programs" }, proved(goods));
    if goods.runs.len() > 1 {
        for run in &goods.runs {
            row("", wrapped(&format!("setup {}: {}", run.setup.number, run.pose.words()), 13));
        }
    }
    row("time", time(goods.record.time.total));
    for (at, tool) in goods.plan.tools.iter().enumerate() {
        row(if at == 0 { "tools" } else { "" }, tool_line(tool, &goods.plan));
    }
    for (at, (word, text)) in order.iter().enumerate() {
        let gap = if at == 0 { "\n" } else { "" };
        lines.push(format!("{gap}  {word:10} {}", wrapped(text, 13)));
    }
    for finding in job.findings.iter().filter(|finding| finding.severity == Severity::Caution) {
        lines.push(format!("\n  caution    {}", wrapped(&finding.headline, 13)));
        lines.extend(finding.helps.iter().map(|help| format!("             {}", wrapped(help, 13))));
    }
    for (at, note) in goods.plan.notes().into_iter().enumerate() {
        lines.push(format!(
            "{}  {:10} {}",
            if at == 0 { "\n" } else { "" },
            if at == 0 { "mind" } else { "" },
            wrapped(note, 13)
        ));
    }
    lines.push(String::new());
    if let Some((folder, files)) = written {
        lines.push(format!("Written to {}  (digest {})", folder.display(), goods.record.digest));
        lines.push(format!("  {}", wrapped(&files.join(", "), 2)));
    }
    lines.push("Run the program above the part first, then the first piece in single steps.".to_owned());
    lines.push("Eye protection on, guards closed.".to_owned());
    lines.join("\n") + "\n"
}

/// `9 of 9 hold, 6 do not apply, no caution`.
fn rules(job: &Job) -> String {
    let verdicts = &job.variant.verdicts;
    let applying = verdicts.iter().filter(|verdict| verdict.applies);
    let (count, holding) = (applying.clone().count(), applying.filter(|verdict| verdict.holds).count());
    let idle = match verdicts.len() - count {
        0 => String::new(),
        1 => "1 does not apply, ".to_owned(),
        idle => format!("{idle} do not apply, "),
    };
    format!("{holding} of {count} hold, {idle}{}", counted(cautions(job), "caution"))
}

fn proved(goods: &Goods) -> String {
    let sizes = goods.record.first_piece.iter().filter(|reading| reading.measured.is_some()).count();
    let measured =
        goods.record.first_piece.iter().filter(|reading| reading.measured.is_some() && reading.holds).count();
    if goods.record.proved {
        format!("proved: read back, {sizes} sizes measured on its piece, all within limits")
    } else {
        let breaches: usize = goods.runs.iter().map(|run| run.verdict.breaches.len()).sum();
        format!("UNPROVED: breaches {breaches}, {measured} of {sizes} sizes within limits")
    }
}

/// `16 min 31 s for one piece, tool changes included`.
pub(crate) fn time(total: Time) -> String {
    format!("{} for one piece, tool changes included", say_time(total))
}

/// How many of the findings are cautions.
fn cautions(job: &Job) -> usize {
    job.findings.iter().filter(|finding| finding.severity == Severity::Caution).count()
}

fn counted(count: usize, noun: &str) -> String {
    match count {
        0 => format!("no {noun}"),
        1 => format!("1 {noun}"),
        _ => format!("{count} {noun}s"),
    }
}

fn tool_line(tool: &Tool, plan: &Plan) -> String {
    let mut uses: Vec<&str> = Vec::new();
    for choice in plan.choices.iter().filter(|choice| choice.tool == Some(tool.number)) {
        if !uses.contains(&choice.what.as_str()) {
            uses.push(&choice.what);
        }
    }
    format!("{:>2}  {:38} {}", tool.number, tool.title, uses.join(", "))
}

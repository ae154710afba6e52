//! What was made, what to look at, what to mind: a summary that a person wants to read.

use std::path::Path;

use barwright_core::diag::Severity;
use barwright_core::job::{Goods, Job, stock};
use barwright_core::part::{Basis, Holes, Make, Size};
use barwright_core::plan::Plan;
use barwright_core::quantity::{Length, Time, Unit, pick, trimmed};
use barwright_core::shop::Tool;

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
            format!("{} wide, {} high", limits(&tongue.width, unit), unit.say(tongue.height.nominal)),
        );
    }
    for (feature, holes) in part.holes() {
        let places: Vec<String> = places(holes, unit);
        row("holes", format!("{} {} at {} {}", holes.places.len(), hole(holes, unit), places.join(", "), unit.sign()));
        let _ = feature;
    }
    for note in &part.notes {
        row("", wrapped(note, 13));
    }
    let holding = job.variant.verdicts.iter().filter(|verdict| verdict.holds).count();
    row("rules", format!("{holding} of {} hold, {}", job.variant.verdicts.len(), counted(cautions(job), "caution")));
    row(if goods.runs.len() == 1 { "program" } else { "programs" }, proved(goods));
    if goods.runs.len() > 1 {
        for run in &goods.runs {
            row("", format!("setup {}: {}", run.setup.number, run.pose.words()));
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
    let seconds = total.as_second();
    let (minutes, rest) = ((seconds / 60.0).floor(), (seconds % 60.0).floor());
    format!("{} min {} s for one piece, tool changes included", trimmed(minutes, 0), trimmed(rest, 0))
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

/// `10 e9 (9.939 … 9.975 mm)`.
fn limits(size: &Size, unit: Unit) -> String {
    let say = |length: Length| trimmed(unit.of(length), unit.decimals());
    let zone = match &size.basis {
        Basis::Zone(zone) => format!(" {zone}"),
        Basis::General | Basis::Given | Basis::Stock => String::new(),
    };
    format!("{}{zone} ({} … {})", say(size.nominal), say(size.least()), unit.say(size.most()))
}

fn hole(holes: &Holes, unit: Unit) -> String {
    match &holes.make {
        Make::Plain { diameter } | Make::Reamed { diameter } => format!("× ⌀ {} through", limits(diameter, unit)),
        Make::Tapped { thread, hand, .. } => format!("× {} through", thread.callout(&thread.internal.class, *hand)),
    }
}

/// `±7.5, ±22.5` for a symmetric row, else each place.
fn places(holes: &Holes, unit: Unit) -> Vec<String> {
    let mut along: Vec<f64> = holes.places.iter().map(|place| unit.of(place.x)).collect();
    along.sort_by(f64::total_cmp);
    let say = |value: f64| trimmed(value, unit.decimals());
    let mirrored = along.iter().zip(along.iter().rev()).all(|(a, b)| (a + b).abs() < 1e-9);
    if !mirrored {
        return along.into_iter().map(say).collect();
    }
    along
        .into_iter()
        .filter(|place| *place > -1e-9)
        .map(|place| if place < 1e-9 { "0".to_owned() } else { format!("±{}", say(place)) })
        .collect()
}

fn tool_line(tool: &Tool, plan: &Plan) -> String {
    let uses: Vec<&str> = plan
        .choices
        .iter()
        .filter(|choice| choice.tool == Some(tool.number))
        .map(|choice| choice.what.as_str())
        .collect();
    format!("{:>2}  {:38} {}", tool.number, tool.title, uses.join(", "))
}

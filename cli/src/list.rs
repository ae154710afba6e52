//! `barwright make FAMILY --list orders.csv`: each row its folder, and a report of all.

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::io::{IsTerminal, Write as _};
use std::num::NonZero;
use std::path::{Path, PathBuf};
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};

use barwright_core::batch::Count;
use barwright_core::diag::{Diagnostic, Severity};
use barwright_core::family::Family;
use barwright_core::job::{self, Order, Wanted};
use barwright_core::many::{self, Entry};
use barwright_core::quantity::trimmed;
use barwright_core::shop::Shop;
use barwright_core::source::Source;
use serde_json::json;

use crate::args::Make;
use crate::leftover::{self, Leftover};
use crate::lines::wrapped;
use crate::make::{contents, given, order};
use crate::{Failure, Outcome, batch, files, report, save};

/// The most rows whose refusal a person is shown; report.csv tells of all.
const SHOWN: usize = 20;

/// What came of a row.
struct Made {
    title: String,
    number: String,
    folder: Option<String>,
    cautions: Vec<String>,
    seconds: f64,
    /// Why it failed, and what would do.
    failed: Option<(Vec<String>, Vec<String>)>,
    /// It was the machine that failed: a disk that is full, a folder that cannot be written.
    machine: bool,
}

/// Makes every row of a list.
pub(crate) fn run(arguments: &Make, list: &Path) -> Outcome {
    let family = files::family(&arguments.family)?;
    let shop = files::shop(&arguments.place.shop, arguments.place.control.as_deref())?;
    let mut sizes = given(&arguments.sizes)?;
    let count = usual_count(arguments, &family, &mut sizes)?;
    let base = order(arguments, &family, sizes);
    let source = Source::new(list.display().to_string(), files::text_of(list)?);
    let mut rows = many::orders(&source, &family, &base.inputs)
        .into_result()
        .map_err(|findings| Failure::Refused(report::of_sources(&findings, &[&source]) + "\n\nNothing was written."))?;
    for row in &mut rows {
        row.quantity = row.quantity.or(count);
    }
    let folder = arguments.output.clone().unwrap_or_else(|| PathBuf::from("out").join(format!("{}-list", family.name)));
    let report = folder.join("report.csv");
    let mut before = Vec::new();
    if !arguments.dry {
        before = leftover::named(&report);
        // What the report of the last time tells is true no more from here on.
        save::create_folder(&folder)?;
        save::remove(&report)?;
    }
    let cores = std::thread::available_parallelism().map_or(1, NonZero::get);
    let jobs = arguments.jobs.unwrap_or(cores).clamp(1, 64);
    let made = all(&rows, jobs, |at, row| one(arguments, &family, &shop, &base, &folder, at, row, rows.len()));
    let failed = made.iter().filter(|made| made.failed.is_some()).count();
    let machine = made.iter().any(|made| made.machine);
    let mut left = Leftover::default();
    if !arguments.dry {
        let named: Vec<&str> = made.iter().filter_map(|made| made.folder.as_deref()).collect();
        // Where the machine failed, what the list before made may be all that there is.
        left = leftover::sweep(&folder, &named, if machine { &[] } else { &before });
        save::write_file(&report, as_csv(&rows, &made).as_bytes(), false)?;
    }
    let text =
        if arguments.json { as_json(&rows, &made, &left) } else { as_text(arguments, &rows, &made, &folder, &left) };
    match (failed, arguments.json) {
        (0, _) => Ok(text),
        (_, true) if machine => Err(Failure::Broken(text)),
        (_, true) => Err(Failure::Told(text)),
        (_, false) if machine => Err(Failure::Machine(text)),
        (_, false) => Err(Failure::Refused(text)),
    }
}

/// How many pieces a row means that does not say so itself.
fn usual_count(
    arguments: &Make,
    family: &Family,
    sizes: &mut BTreeMap<String, String>,
) -> Result<Option<u32>, Failure> {
    match batch::count(arguments, family, sizes)? {
        Some(Count { spares: 1.., .. }) => Err(Failure::Refused(
            "refused  Spares belong to one order, and a list holds several.\n  try    Add them to the quantities of the list.\n\nNothing was written.".to_owned(),
        )),
        count => Ok(count.map(|count| count.ordered)),
    }
}

/// Does all rows, several at once, and shows on a terminal how far it is.
fn all(rows: &[Entry], jobs: usize, each: impl Fn(usize, &Entry) -> Made + Sync) -> Vec<Made> {
    let next = AtomicUsize::new(0);
    let done: Mutex<Vec<(usize, Made)>> = Mutex::new(Vec::new());
    let terminal = std::io::stderr().is_terminal();
    std::thread::scope(|scope| {
        for _ in 0..jobs.min(rows.len()) {
            scope.spawn(|| {
                loop {
                    let at = next.fetch_add(1, Ordering::Relaxed);
                    let Some(row) = rows.get(at) else { break };
                    let made = each(at, row);
                    // A lock that another thread left broken still holds what was done.
                    let mut done = done.lock().unwrap_or_else(std::sync::PoisonError::into_inner);
                    done.push((at, made));
                    if terminal {
                        bar(done.len(), rows.len(), done.iter().filter(|(_, made)| made.failed.is_some()).count());
                    }
                }
            });
        }
    });
    if terminal {
        let _closed = write!(std::io::stderr(), "\r\u{1b}[K");
    }
    let mut done = done.into_inner().unwrap_or_else(std::sync::PoisonError::into_inner);
    done.sort_by_key(|(at, _)| *at);
    done.into_iter().map(|(_, made)| made).collect()
}

/// How far it is, on one line that is written over.
fn bar(done: usize, all: usize, failed: usize) {
    let wide = 40;
    let full = done * wide / all.max(1);
    let failed = if failed == 0 { String::new() } else { format!(", {failed} refused") };
    let bar = format!("\r  {}{}  {done} of {all}{failed}\u{1b}[K", "━".repeat(full), "╌".repeat(wide - full));
    let mut out = std::io::stderr();
    // A terminal that is gone stops nothing.
    let _closed = out.write_all(bar.as_bytes()).and_then(|()| out.flush());
}

#[expect(clippy::too_many_arguments, reason = "everything that all rows share, and the row")]
fn one(
    arguments: &Make,
    family: &Family,
    shop: &Shop,
    base: &Order,
    folder: &Path,
    at: usize,
    row: &Entry,
    count: usize,
) -> Made {
    let order =
        Order { inputs: row.inputs.clone(), title: row.title.clone().or_else(|| base.title.clone()), ..base.clone() };
    let title = order.title.clone().unwrap_or_default();
    let refused = |number: String, why: Vec<String>, helps: Vec<String>| Made {
        title: title.clone(),
        number,
        folder: None,
        cautions: Vec::new(),
        seconds: 0.0,
        failed: Some((why, helps)),
        machine: false,
    };
    if let Some(wrong) = &row.wrong {
        return refused(String::new(), vec![wrong.headline.clone()], wrong.helps.clone());
    }
    let job = job::make(family, &order, shop);
    let cautions = headlines(&job.findings, Severity::Caution);
    let Some(goods) = &job.goods else {
        let (helpers, roots): (Vec<_>, Vec<_>) = job
            .findings
            .iter()
            .filter(|finding| finding.is_root())
            .cloned()
            .partition(|one| one.code == "variant/remedy");
        let helps = roots.iter().chain(&helpers).flat_map(|finding| finding.helps.iter().cloned()).collect();
        return refused(String::new(), headlines(&roots, Severity::Refused), helps);
    };
    let number = goods.part.number.clone();
    let mut made = Made {
        title: goods.part.title.clone(),
        number: number.clone(),
        folder: None,
        cautions,
        seconds: goods.record.time.total.as_second(),
        failed: None,
        machine: false,
    };
    if arguments.dry {
        return made;
    }
    let digits = count.to_string().len().max(2);
    let name = format!("{:0digits$}-{}", at + 1, job::folder_name(&number));
    let mut goods = goods.clone();
    let tables = match row.quantity.map(|ordered| Count { ordered, spares: 0 }) {
        None => Ok(Vec::new()),
        Some(count) => batch::work_out(&goods, shop, Wanted { count, per_load: None, timed: None }, arguments.unproved)
            .and_then(|(worked, findings)| {
                made.cautions.extend(headlines(&findings, Severity::Caution));
                worked.enter(&mut goods, shop);
                batch::files(&worked, &goods, shop)
            }),
    };
    let written = tables
        .and_then(|tables| contents(arguments, &goods, tables))
        .and_then(|files| save::write_whole(&folder.join(&name), &files));
    match written {
        Ok(()) => made.folder = Some(name),
        Err(Failure::Machine(text) | Failure::Broken(text)) => {
            return Made { machine: true, ..refused(number, vec![text], Vec::new()) };
        }
        Err(Failure::Refused(text) | Failure::Told(text)) => return refused(number, vec![text], Vec::new()),
    }
    made
}

fn headlines(findings: &[Diagnostic], severity: Severity) -> Vec<String> {
    findings.iter().filter(|finding| finding.severity == severity).map(|finding| finding.headline.clone()).collect()
}

fn word(made: &Made) -> &'static str {
    match (&made.failed, made.cautions.is_empty()) {
        (Some(_), _) => "refused",
        (None, true) => "made",
        (None, false) => "caution",
    }
}

fn as_csv(rows: &[Entry], made: &[Made]) -> String {
    let header = [
        "row",
        "line",
        "quantity",
        "title",
        "number",
        "verdict",
        "folder",
        "minutes each",
        "minutes all",
        "why",
        "try",
    ];
    let mut text = many::line(header);
    for (at, (row, made)) in rows.iter().zip(made).enumerate() {
        let minutes =
            |count: f64| if made.failed.is_some() { String::new() } else { trimmed(made.seconds * count / 60.0, 1) };
        let (why, helps) = made.failed.clone().unwrap_or((made.cautions.clone(), Vec::new()));
        let cells = [
            (at + 1).to_string(),
            row.line.to_string(),
            row.quantity.map_or(String::new(), |quantity| quantity.to_string()),
            made.title.clone(),
            made.number.clone(),
            word(made).to_owned(),
            made.folder.clone().unwrap_or_default(),
            minutes(1.0),
            minutes(f64::from(row.quantity.unwrap_or(1))),
            why.join(" "),
            helps.join("; "),
        ];
        text += &many::line(cells.iter().map(String::as_str));
    }
    text
}

fn as_json(rows: &[Entry], made: &[Made], left: &Leftover) -> String {
    let list: Vec<_> = rows
        .iter()
        .zip(made)
        .enumerate()
        .map(|(at, (row, made))| {
            let (why, helps) = made.failed.clone().unwrap_or_default();
            json!({
                "row": at + 1, "line": row.line, "quantity": row.quantity, "title": made.title, "number": made.number,
                "verdict": word(made), "folder": made.folder, "cautions": made.cautions, "why": why, "try": helps,
                "seconds_each": made.seconds,
            })
        })
        .collect();
    let failed = made.iter().filter(|made| made.failed.is_some()).count();
    let text = json!({
        "made": made.len() - failed, "refused": failed, "rows": list, "cleared": left.cleared, "others": left.others,
    });
    serde_json::to_string_pretty(&text).unwrap_or_default() + "\n"
}

fn as_text(arguments: &Make, rows: &[Entry], made: &[Made], folder: &Path, left: &Leftover) -> String {
    let mut text = String::new();
    let failed = made.iter().filter(|made| made.failed.is_some()).count();
    let bad = rows.iter().zip(made).enumerate().filter_map(|(at, (row, made))| Some((at, row, made.failed.as_ref()?)));
    for (at, row, (why, helps)) in bad.take(SHOWN) {
        let _infallible = writeln!(text, "refused  row {}, line {}", at + 1, row.line);
        for why in why {
            let _infallible = writeln!(text, "         {}", wrapped(why, 9));
        }
        for help in helps {
            let _infallible = writeln!(text, "  try    {}", wrapped(help, 9));
        }
        text.push('\n');
    }
    if failed > SHOWN {
        let _infallible = writeln!(text, "… and {} more rows, told of in report.csv\n", failed - SHOWN);
    }
    let pieces: u32 =
        rows.iter().zip(made).filter(|(_, made)| made.failed.is_none()).map(|(row, _)| row.quantity.unwrap_or(1)).sum();
    let minutes: f64 =
        rows.iter().zip(made).map(|(row, made)| f64::from(row.quantity.unwrap_or(1)) * made.seconds / 60.0).sum();
    let cautions = made.iter().filter(|made| word(made) == "caution").count();
    let _infallible = writeln!(
        text,
        "{} of {} rows made, {failed} refused, {cautions} with a caution.",
        made.len() - failed,
        made.len()
    );
    let many = if pieces == 1 { "piece" } else { "pieces" };
    let _infallible = writeln!(text, "{pieces} {many}, {} at the machine.", long(minutes));
    if !arguments.dry {
        let _infallible = writeln!(text, "Written to {}; report.csv there tells of every row.", folder.display());
    }
    for (list, what) in [
        (&left.cleared, "of the list before, cleared away"),
        (&left.others, "a packet each, of no row of this list; not touched"),
    ] {
        if !list.is_empty() {
            let more = if list.len() > SHOWN { format!(" and {} more", list.len() - SHOWN) } else { String::new() };
            let names = list.iter().take(SHOWN).cloned().collect::<Vec<_>>().join(", ");
            let _infallible = writeln!(text, "{}", wrapped(&format!("{names}{more}: {what}."), 0));
        }
    }
    text
}

/// Minutes as people say them: `48 min`, `27 h 5 min`.
fn long(minutes: f64) -> String {
    let whole = minutes.round();
    if whole < 120.0 {
        return format!("{} min", trimmed(whole, 0));
    }
    let hours = (whole / 60.0).floor();
    format!("{} h {} min", trimmed(hours, 0), trimmed(whole - 60.0 * hours, 0))
}

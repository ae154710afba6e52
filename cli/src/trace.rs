//! `barwright trace FILE --part part.json`: whether a program or paper belongs to a part, and what
//! differs from what the part's record and the shop make anew.

use std::fmt::Write;
use std::path::Path;

use barwright_core::drawing;
use barwright_core::job::{self, Goods};
use barwright_core::plan;
use barwright_core::record::{self, Record};
use barwright_core::shop::Shop;
use serde_json::{Value, json};

use crate::args::Trace;
use crate::{Failure, Outcome, anew, files, make, prove};

/// The most cells or pages that are told one by one.
const SHOWN: usize = 6;

/// Tells whether a file belongs to a part, and what differs.
pub(crate) fn run(arguments: &Trace) -> Outcome {
    let outcome = look(arguments);
    if !arguments.form.json {
        return outcome;
    }
    // The same words, by their names.
    let (belongs, said) = match outcome {
        Ok(said) => (true, said),
        // What begins so is no answer: the record could not be read, or is not as it was made.
        Err(Failure::Refused(said)) if !said.starts_with("refused") => (false, said),
        Err(other) => return Err(other),
    };
    let lines = said.lines().skip(1).filter_map(|line| line.trim_start().split_once("  "));
    let words: serde_json::Map<String, Value> =
        lines.map(|(name, words)| (name.replace(' ', "_"), Value::from(words.trim()))).collect();
    let text = json!({ "file": arguments.file.display().to_string(), "as_made": belongs, "found": words });
    let text = serde_json::to_string_pretty(&text).unwrap_or_default() + "\n";
    if belongs { Ok(text) } else { Err(Failure::Told(text)) }
}

fn look(arguments: &Trace) -> Outcome {
    let bytes = files::bytes_of(&arguments.file)?;
    let beside =
        arguments.file.parent().map_or_else(|| Path::new("part.json").to_path_buf(), |at| at.join("part.json"));
    let path = arguments.part.clone().unwrap_or(beside);
    let path = if path.is_dir() { path.join("part.json") } else { path };
    if arguments.part.is_none() && !path.is_file() {
        return Err(Failure::Refused(format!(
            "refused  No record lies beside `{}`.\n  try    Name its record: `--part FOLDER`.",
            arguments.file.display()
        )));
    }
    let record = prove::record(&path)?;
    let file = arguments.file.display();
    let mut out =
        format!("{file}\n  part       {}  {}\n  digest     {}\n", record.part.number, record.part.title, record.digest);
    if record.seal.is_none() {
        out.push_str("  seal       none, as those that were written first: its setups are worked out anew\n");
    }
    let pages = drawing::pdf::texts(&bytes);
    let text = String::from_utf8_lossy(&bytes);
    if let Some(strangers) = strangers(pages.as_deref(), &record.digest) {
        out.push_str(&strangers);
        return Err(Failure::Refused(out));
    }
    let named = record::named_digest(&bytes).or_else(|| {
        let all: Vec<String> = pages.iter().flatten().flatten().cloned().collect();
        record::digests_of(&all).into_iter().next()
    });
    if let Some(other) = named.as_ref().filter(|other| **other != record.digest) {
        let _infallible = writeln!(out, "  belongs    no: its digest is {other}");
        out.push_str(&other_part(&text, &record));
        out.push_str("  try        Look for the part.json that lies beside where it was made.\n");
        return Err(Failure::Refused(out));
    }
    let kind = kind_of(&arguments.file, &text);
    if named.is_none() && kind != Kind::Program {
        out.push_str("  belongs    nobody can tell: it names no digest\n");
        return Err(Failure::Refused(out));
    }
    out.push_str(if named.is_some() {
        "  belongs    yes, by the digest that it names\n"
    } else {
        "  digest     the file names none\n"
    });
    let control =
        arguments.place.control.as_deref().or_else(|| record.programs.first().map(|program| program.control.as_str()));
    let shop = files::shop(&arguments.place.shop, control)?;
    let Some(made) = remade(&record, &shop, &text, pages.as_deref()) else {
        out.push_str("  differs    cannot be told: this shop cannot make the part any more\n");
        return if named.is_some() { Ok(out) } else { Err(Failure::Refused(out)) };
    };
    let name = arguments.file.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
    let Some((counterpart, fresh)) = counterpart(&made, &name, kind, &bytes) else {
        out.push_str("  differs    cannot be told: neither record nor shop makes a file of this kind\n");
        return Ok(out);
    };
    match told(kind, (&bytes, pages.as_deref()), fresh) {
        None => {
            if named.is_none() {
                out.push_str("  belongs    yes: it is what record and shop make\n");
            }
            let _infallible =
                writeln!(out, "  differs    in nothing from {counterpart} as record and shop make it anew");
            Ok(out)
        }
        Some(told) => {
            let _infallible = writeln!(out, "  differs    from {counterpart} as record and shop make it anew:");
            out.push_str(&told);
            out.push_str(match kind {
                Kind::Program => {
                    "  try        Edited, or made with another shop: prove it with `barwright prove` before it runs.\n"
                }
                _ => "  try        Edited, or made with another shop or order; make it anew with `barwright make`.\n",
            });
            Err(Failure::Refused(out))
        }
    }
}

/// What a file is, as far as it matters here.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Kind {
    Program,
    Table,
    Pages,
    Record,
    Text,
}

fn kind_of(path: &Path, text: &str) -> Kind {
    let ending = path.extension().map(|ending| ending.to_string_lossy().to_ascii_lowercase()).unwrap_or_default();
    match ending.as_str() {
        "nc" | "ngc" => Kind::Program,
        "csv" => Kind::Table,
        "pdf" => Kind::Pages,
        "json" => Kind::Record,
        "svg" => Kind::Text,
        _ if text.lines().any(|line| line.contains("G21") || line.contains("G20")) => Kind::Program,
        _ => Kind::Text,
    }
}

/// Pages that name another part than the record does.
fn strangers(pages: Option<&[Vec<String>]>, digest: &str) -> Option<String> {
    let pages = pages?;
    let other = |page: &[String]| record::digests_of(page).into_iter().find(|other| other != digest);
    let strangers: Vec<(usize, &Vec<String>, String)> =
        pages.iter().enumerate().filter_map(|(at, page)| Some((at, page, other(page)?))).collect();
    let (_, _, first) = strangers.first()?;
    if strangers.len() == pages.len() && strangers.iter().all(|(_, _, other)| other == first) {
        let all =
            if pages.len() == 1 { "its page is".to_owned() } else { format!("all its {} pages are", pages.len()) };
        return Some(format!("  belongs    no: {all} of {first}\n"));
    }
    let told = strangers.iter().map(|(at, page, other)| {
        let title = title(page);
        format!("  belongs    no: page {}{title} is of {other}\n", at + 1)
    });
    Some(told.collect())
}

/// The name of a page: it stands behind its number.
fn title(page: &[String]) -> String {
    let at = page.iter().position(|text| text.starts_with("Page ") && text.contains(" of "));
    at.and_then(|at| page.get(at + 1)).map_or_else(String::new, |title| format!(" ({title})"))
}

/// What a file of another part says of itself: the sizes that differ, where it is a record, or the
/// part in its head.
fn other_part(text: &str, record: &Record) -> String {
    let mut out = String::new();
    if let Ok(other) = serde_json::from_str::<Record>(text) {
        for size in &other.parameters {
            let same = record.parameters.iter().find(|known| known.name == size.name);
            let known = same.map_or("nothing", |known| known.text.as_str());
            if known != size.text {
                let _infallible =
                    writeln!(out, "  differs    {}: {} there, {known} in this part", size.name, size.text);
            }
        }
    }
    let head = text.lines().find(|line| line.contains("PART ") && line.contains(" REV "));
    if let Some(head) = head {
        let bare = head.trim_matches(|sign| "(); ".contains(sign));
        let _infallible = writeln!(out, "  it says    {}", bare.escape_debug());
    }
    out
}

/// Everything that record and shop make, by file name.
fn remade(record: &Record, shop: &Shop, text: &str, pages: Option<&[Vec<String>]>) -> Option<Vec<(String, Vec<u8>)>> {
    let part = &record.part;
    let plan = plan::plan(part, shop).value?;
    let stamp = anew::stamp(record, shop, record::named_revision(text));
    let runs = job::runs(&plan, part, shop, &stamp, record.proved);
    let sheet = anew::sheet(part, &stamp, record.proved, pages)?;
    let verdicts: Vec<_> = runs.iter().map(|run| &run.verdict).collect();
    let planned = record.clone().planned(&plan, &shop.control, &verdicts);
    let mut goods = Goods { part: part.clone(), plan, record: planned, sheet, runs, stamp };
    let mut tables = job::probes(part, &goods.plan, shop, &goods.stamp)
        .into_iter()
        .filter_map(|probed| probed.program.ok())
        .map(|(name, text)| (name, text.into_bytes()))
        .collect::<Vec<_>>();
    if let Some(order) = &record.order {
        let worked = job::work_out(&goods, shop, anew::wanted(order), true).value?;
        worked.enter(&mut goods, shop);
        tables = worked.files(&goods, shop).ok()?;
    }
    make::written(&goods, tables).ok()
}

/// The file that this one should be: of its name, or else the nearest of its kind.
fn counterpart<'m>(made: &'m [(String, Vec<u8>)], name: &str, kind: Kind, bytes: &[u8]) -> Option<(&'m str, &'m [u8])> {
    let of_kind = |name: &str| kind_of(Path::new(name), "") == kind;
    let named = made.iter().find(|(known, _)| known == name);
    let nearest = || {
        let text = String::from_utf8_lossy(bytes).into_owned();
        let off = |fresh: &[u8]| {
            if kind == Kind::Pages {
                return fresh.len().abs_diff(bytes.len());
            }
            record::differences(&text, &String::from_utf8_lossy(fresh)).map_or(0, |told| told.lines)
        };
        // A table of another head is another table.
        let head = text.lines().next().unwrap_or_default().to_owned();
        let may = |fresh: &[u8]| kind != Kind::Table || String::from_utf8_lossy(fresh).lines().next() == Some(&head);
        made.iter().filter(|(name, fresh)| of_kind(name) && may(fresh)).min_by_key(|(_, fresh)| off(fresh))
    };
    named.or_else(nearest).map(|(name, fresh)| (name.as_str(), fresh.as_slice()))
}

/// What differs, told by the kind of file; nothing where nothing does.
fn told(kind: Kind, (bytes, pages): (&[u8], Option<&[Vec<String>]>), fresh: &[u8]) -> Option<String> {
    if bytes == fresh {
        return None;
    }
    if kind == Kind::Pages {
        return Some(in_pages(pages, fresh));
    }
    let (text, made) = (String::from_utf8_lossy(bytes), String::from_utf8_lossy(fresh));
    let differences = record::differences(&text, &made)?;
    if kind == Kind::Table
        && let Some(cells) = record::cell_differences(&text, &made)
    {
        let mut out = String::new();
        for cell in cells.iter().take(SHOWN) {
            let (has, made) = (cell.has.escape_debug(), cell.made.escape_debug());
            let _infallible = writeln!(out, "    row {}, {}: it has {has}, made {made}", cell.row, cell.column);
        }
        if cells.len() > SHOWN {
            let _infallible = writeln!(out, "    and {} cells more", cells.len() - SHOWN);
        }
        return Some(out);
    }
    Some(in_lines(&differences, text.lines().count()))
}

fn in_lines(told: &record::Differences, all: usize) -> String {
    let shown = |line: &Option<String>| {
        line.as_ref().map_or_else(|| "(its end)".to_owned(), |line| line.escape_debug().to_string())
    };
    let mut out = String::new();
    let more = match told.more {
        0 => String::new(),
        more if more > 0 => format!(", {more} more than made"),
        less => format!(", {} fewer than made", -less),
    };
    let _infallible = writeln!(out, "    {} of {all} lines{more}", told.lines);
    let sections: Vec<&str> =
        told.sections.iter().map(|section| if section.is_empty() { "its head" } else { section.as_str() }).collect();
    if !sections.is_empty() && sections != ["its head"] {
        let _infallible = writeln!(out, "    in {}", sections.join("; "));
    }
    let first = &told.first;
    let _infallible = writeln!(
        out,
        "    line {}  has   {}\n    {:w$}  made  {}",
        first.line,
        shown(&first.has),
        "",
        shown(&first.made),
        w = 5 + first.line.to_string().len()
    );
    out
}

fn in_pages(pages: Option<&[Vec<String>]>, fresh: &[u8]) -> String {
    let (Some(pages), Some(made)) = (pages, drawing::pdf::texts(fresh)) else {
        return "    another program wrote this file; its words cannot be held against ours\n".to_owned();
    };
    let mut out = String::new();
    if pages.len() != made.len() {
        let _infallible = writeln!(out, "    it has {} pages, made {}", pages.len(), made.len());
    }
    let mut shown = 0;
    for (at, (page, made)) in pages.iter().zip(&made).enumerate() {
        if page == made {
            continue;
        }
        shown += 1;
        if shown > SHOWN {
            continue;
        }
        let missing = |from: &[String], list: &[String]| from.iter().find(|text| !list.contains(text)).cloned();
        let (has, wanted) = (missing(page, made), missing(made, page));
        let off = page.iter().filter(|text| !made.contains(text)).count();
        let say = |text: Option<String>| {
            text.map_or_else(|| "nothing".to_owned(), |text| format!("`{}`", text.escape_debug()))
        };
        let _infallible = writeln!(
            out,
            "    page {}{}: {off} words or lines; it has {}, made {}",
            at + 1,
            title(page),
            say(has),
            say(wanted)
        );
    }
    if shown > SHOWN {
        let _infallible = writeln!(out, "    and {} pages more", shown - SHOWN);
    }
    if out.is_empty() {
        out.push_str("    in its lines, not in its words\n");
    }
    out
}

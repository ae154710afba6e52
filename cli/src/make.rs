//! `barwright make FAMILY name=value …`.

use std::collections::BTreeMap;
use std::path::PathBuf;

use barwright_core::drawing::{self, Format, Paper, Stamp};
use barwright_core::family::Family;
use barwright_core::job::{self, File, Goods, Job, Order, Wanted};
use barwright_core::quantity::Unit;
use barwright_core::variant::Inputs;
use serde_json::json;

use crate::args::{Convention, Make, PaperName, UnitName};
use crate::{Failure, Outcome, batch, files, list, remark, report, save, summary};

/// Makes one variant and writes its files; or every row of a list.
pub(crate) fn run(arguments: &Make) -> Outcome {
    if let Some(list) = &arguments.list {
        return list::run(arguments, list);
    }
    let family = files::family(&arguments.family)?;
    let shop = files::shop(&arguments.place.shop, arguments.place.control.as_deref())?;
    let mut given = given(&arguments.sizes)?;
    let count = batch::count(arguments, &family, &mut given)?;
    let per_load = batch::per_load(arguments, &family, &mut given)?;
    let timed = batch::timed(arguments)?;
    let order = order(arguments, &family, given);
    let mut job = job::make(&family, &order, &shop);
    let batch = match (&mut job.goods, count) {
        (Some(goods), Some(count)) => {
            let (worked, mut findings) =
                batch::work_out(goods, &shop, Wanted { count, per_load, timed }, arguments.unproved)?;
            job.findings.append(&mut findings);
            worked.enter(goods, &shop);
            Some(worked)
        }
        _ => None,
    };
    let Some(goods) = &job.goods else {
        return Err(refusal(arguments, &job));
    };
    for choice in &goods.plan.choices {
        let tool = choice.tool.map_or_else(|| "no tool".to_owned(), |tool| format!("tool {tool}"));
        remark(&format!("{} of {}: {tool}. {}", choice.what, choice.feature, choice.why));
        choice.others.iter().for_each(|other| remark(&format!("  not {other}")));
    }
    let mut written = None;
    if !arguments.dry {
        let folder =
            arguments.output.clone().unwrap_or_else(|| PathBuf::from("out").join(job::folder_name(&goods.part.number)));
        let tables = batch.as_ref().map(|batch| batch::files(batch, goods, &shop)).transpose()?;
        let files = contents(arguments, goods, tables.unwrap_or_default())?;
        save::write_whole(&folder, &files)?;
        written = Some((folder, files.into_iter().map(|(name, _)| name).collect::<Vec<_>>()));
    }
    if arguments.json {
        let Some(batch) = &batch else { return Ok(goods.record.json()) };
        let both = json!({ "part": goods.record, "batch": batch.batch });
        return Ok(serde_json::to_string_pretty(&both).unwrap_or_default() + "\n");
    }
    let mut rows = batch.as_ref().map(|batch| batch::rows(batch, goods.part.unit)).unwrap_or_default();
    // A shop that was found, not named: whose machine this is for is told.
    if let Some(place) = files::found_shop(&arguments.place.shop) {
        rows.insert(0, ("shop", format!("{}, {place}", goods.stamp.owner)));
    }
    Ok(summary::text(&job, goods, &rows, written.as_ref().map(|(folder, files)| (folder.as_path(), files.as_slice()))))
}

/// What the words of the command line ask for.
pub(crate) fn order(arguments: &Make, family: &Family, given: BTreeMap<String, String>) -> Order {
    let order = Order {
        inputs: Inputs { unit: arguments.unit.map(unit), like: arguments.like.clone(), given },
        title: arguments.title.clone(),
        format: None,
        stamp: Stamp {
            revision: arguments.revision.clone(),
            date: arguments.date.clone(),
            drawn_by: arguments.drawn_by.clone(),
            ..Stamp::default()
        },
        unproved: arguments.unproved,
    };
    Order { format: format(arguments, &order, family), ..order }
}

/// The files of a variant with its picture, the record last: it is the seal of the others.
pub(crate) fn contents(arguments: &Make, goods: &Goods, tables: Vec<File>) -> Result<Vec<File>, Failure> {
    let mut files = written(goods, tables)?;
    let picture = picture(arguments, goods)?;
    let drawn = files.iter().take_while(|(name, _)| name.starts_with("drawing")).count();
    files.splice(drawn..drawn, picture);
    Ok(files)
}

/// The files of a variant, the record last.
pub(crate) fn written(goods: &Goods, tables: Vec<File>) -> Result<Vec<File>, Failure> {
    job::files(goods, tables).map_err(|error| Failure::Machine(format!("Cannot write the drawing as PDF: {error}.")))
}

/// The drawing as a picture, where one is asked for.
#[cfg(feature = "png")]
fn picture(arguments: &Make, goods: &Goods) -> Result<Option<(String, Vec<u8>)>, Failure> {
    let Some(dpi) = arguments.png else { return Ok(None) };
    // A picture has nothing to point at. Besides, the reader of SVG takes the line break after the
    // title of a text for a blank, and sets the text that much off.
    let mut sheet = goods.sheet.clone();
    sheet.embed_font = false;
    for item in &mut sheet.items {
        item.shows = None;
    }
    let bytes = crate::picture::png(&drawing::svg::write(&sheet), dpi)
        .map_err(|error| Failure::Machine(format!("Cannot draw the picture: {error}.")))?;
    Ok(Some(("drawing.png".to_owned(), bytes)))
}

#[cfg(not(feature = "png"))]
fn picture(_: &Make, _: &Goods) -> Result<Option<(String, Vec<u8>)>, Failure> {
    Ok(None)
}

fn refusal(arguments: &Make, job: &Job) -> Failure {
    if !arguments.json {
        return Failure::Refused(report::of_sizes(&job.findings) + "\n\nNothing was written.");
    }
    let remedies: Vec<_> = job
        .variant
        .remedies
        .iter()
        .map(|remedy| {
            let mut told = json!({ "parameter": remedy.parameter, "from": remedy.from, "to": remedy.to });
            if remedy.measured {
                told["measured"] = json!(true);
            }
            told
        })
        .collect();
    let text = json!({ "verdict": "refused", "findings": job.findings, "remedies": remedies });
    // A reader of JSON reads standard output, whatever the verdict.
    Failure::Told(serde_json::to_string_pretty(&text).unwrap_or_default() + "\n")
}

/// Reads `name=value` pairs.
pub(crate) fn given(sizes: &[String]) -> Result<BTreeMap<String, String>, Failure> {
    let mut given = BTreeMap::new();
    for size in sizes {
        let Some((name, value)) = size.split_once('=').filter(|(name, _)| !name.trim().is_empty()) else {
            return Err(Failure::Refused(format!(
                "refused  `{}` is no size.\n  try    Write NAME=VALUE, such as screw=M6 or slot_opening='3/8 in'.",
                size.escape_debug()
            )));
        };
        let name = name.trim().replace('-', "_");
        if given.insert(name.clone(), value.to_owned()).is_some() {
            return Err(Failure::Refused(format!(
                "refused  `{}` is given twice.\n  try    Leave one of the two.",
                name.escape_debug()
            )));
        }
    }
    Ok(given)
}

pub(crate) fn unit(name: UnitName) -> Unit {
    match name {
        UnitName::Mm => Unit::Mm,
        UnitName::In => Unit::Inch,
    }
}

/// The form of the drawing, where convention or paper are asked for.
fn format(arguments: &Make, order: &Order, family: &Family) -> Option<Format> {
    if arguments.drawing.is_none() && arguments.paper.is_none() {
        return None;
    }
    let example = order.inputs.like.as_ref().and_then(|name| family.example(name)).and_then(|example| example.unit);
    let usual = Format::usual(order.inputs.unit.or(example).unwrap_or_default());
    let (convention, paper) = match arguments.drawing {
        Some(Convention::Iso) => (drawing::Convention::Iso, Paper::A4),
        Some(Convention::Asme) => (drawing::Convention::Asme, Paper::Letter),
        None => (usual.convention, usual.paper),
    };
    let paper = match arguments.paper {
        Some(PaperName::A4) => Paper::A4,
        Some(PaperName::A3) => Paper::A3,
        Some(PaperName::Letter) => Paper::Letter,
        Some(PaperName::Tabloid) => Paper::Tabloid,
        None => paper,
    };
    Some(Format { convention, paper, ..usual })
}

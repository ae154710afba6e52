//! `barwright table FAMILY --vary name=from..to/step …`.

use std::path::Path;
use std::sync::Arc;

use barwright_core::drawing::{self, Format, Stamp, pdf, svg};
use barwright_core::job;
use barwright_core::many::{Columns, Grid, vary};
use barwright_core::part::Part;
use barwright_core::quantity::Unit;
use barwright_core::record::digest;
use barwright_core::standards::stock::Bar;
use barwright_core::variant::{Inputs, attempt};

use crate::args::Table;
use crate::{Failure, Outcome, files, make, report, save};

/// Makes a table.
pub(crate) fn run(arguments: &Table) -> Outcome {
    let family = files::family(&arguments.family)?;
    let shop = files::shop(&arguments.shop, None)?;
    let inputs = Inputs {
        unit: arguments.unit.map(make::unit),
        like: arguments.like.clone(),
        given: make::given(&arguments.sizes)?,
    };
    let refuse = |finding| Failure::Refused(report::of_sizes(&[finding]));
    let example = inputs.like.as_ref().and_then(|name| family.example(name)).and_then(|example| example.unit);
    let chosen = inputs.unit.or(example);
    let varies =
        arguments.vary.iter().map(|text| vary(text, &family, chosen)).collect::<Result<Vec<_>, _>>().map_err(refuse)?;
    let grid = Grid::new(inputs, varies).map_err(refuse)?;
    let columns = Columns::new(&family, &grid.names(), chosen.unwrap_or(Unit::Mm), arguments.all);
    let stamp = Stamp { facing: job::facing(&shop), owner: shop.owner, ..Stamp::default() };
    let rack: Arc<[Bar]> = shop.rack.into();
    let mut parts = Vec::new();
    let mut text = if arguments.json { String::new() } else { columns.header() };
    let mut counts = [0_usize; 3];
    for at in 0..grid.count() {
        let variant = attempt(&family, &grid.inputs(at), &rack);
        // What is asked for cannot be read: it would be wrong in every row.
        if let Some(finding) = variant.findings.iter().find(|finding| {
            matches!(finding.code, "variant/unknown-size" | "variant/unknown-example" | "variant/value")
        }) {
            return Err(refuse(finding.clone()));
        }
        let row = columns.row(&variant);
        let place = ["holds", "caution", "refused"].iter().position(|word| *word == row.verdict).unwrap_or(2);
        counts[place] += 1;
        text += &if arguments.json { columns.json(&row) } else { columns.csv(&row) };
        parts.extend(variant.part);
    }
    let mut told = String::new();
    if let Some(path) = &arguments.drawing {
        told = draw(&parts, stamp, path)?;
    }
    // The drawing's own word would be no row of the table.
    let Some(path) = arguments.output.as_ref().filter(|path| path.as_os_str() != "-") else { return Ok(text) };
    save::write_file(path, text.as_bytes(), false)?;
    let [holds, caution, refused] = counts;
    Ok(format!(
        "Written to {}: {} variants, {holds} hold, {caution} with a caution, {refused} refused.\n{told}They are judged by their rules; `make` plans, writes and proves.\n",
        path.display(),
        grid.count()
    ))
}

/// Writes one drawing for all of these; says so.
fn draw(parts: &[Part], stamp: Stamp, path: &Path) -> Result<String, Failure> {
    let refused = |findings: &[_]| Failure::Refused(report::of_sizes(findings) + "\n\nNothing was written.");
    let kind = path.extension().and_then(|kind| kind.to_str()).unwrap_or_default().to_ascii_lowercase();
    if !matches!(kind.as_str(), "pdf" | "svg") {
        return Err(Failure::Refused(format!(
            "{} is neither a .pdf nor a .svg; the drawing is one of the two.",
            path.display()
        )));
    }
    // The longest is drawn: its figures have to find room.
    let longest = parts.iter().max_by(|a, b| a.length.nominal.as_mm().total_cmp(&b.length.nominal.as_mm()));
    let Some(longest) = longest else {
        return Err(Failure::Refused("None of the variants holds; there is nothing to draw.".to_owned()));
    };
    let mut all = longest.clone();
    all.notes = parts.iter().map(digest).collect();
    let stamp = Stamp { revision: "A".to_owned(), digest: digest(&all), ..stamp };
    let format = Format::usual(longest.unit);
    let checked = drawing::tabulated(longest, parts, &format, &stamp);
    let Some(sheet) = checked.value else { return Err(refused(&checked.findings)) };
    let sheets: Vec<_> = std::iter::once(&sheet).chain(&sheet.following).collect();
    if kind == "pdf" {
        let bytes = pdf::write(&[&sheet]).map_err(|error| Failure::Refused(error.to_string()))?;
        save::write_file(path, &bytes, false)?;
        return Ok(format!(
            "Drawn on {} in {}.
",
            counted(sheets.len()),
            path.display()
        ));
    }
    for (index, sheet) in sheets.iter().enumerate() {
        let own = if index == 0 {
            path.to_path_buf()
        } else {
            let stem = path.file_stem().and_then(|stem| stem.to_str()).unwrap_or("drawing");
            path.with_file_name(format!("{stem}-{}.svg", index + 1))
        };
        save::write_file(&own, svg::write(sheet).as_bytes(), false)?;
    }
    Ok(format!("Drawn on {} from {} on.\n", counted(sheets.len()), path.display()))
}

/// A number of sheets in words.
fn counted(sheets: usize) -> String {
    if sheets == 1 { "1 sheet".to_owned() } else { format!("{sheets} sheets") }
}

//! `barwright table FAMILY --vary name=from..to/step …`.

use std::sync::Arc;

use barwright_core::many::{Columns, Grid, vary};
use barwright_core::quantity::Unit;
use barwright_core::standards::stock::Bar;
use barwright_core::variant::{Inputs, attempt};

use crate::args::Table;
use crate::{Failure, Outcome, files, make, report};

/// Makes a table.
pub(crate) fn run(arguments: &Table) -> Outcome {
    let family = files::family(&arguments.family)?;
    let shop = files::shop(arguments.shop.as_deref(), None)?;
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
    let rack: Arc<[Bar]> = shop.rack.into();
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
    }
    let Some(path) = &arguments.output else { return Ok(text) };
    files::write_file(path, text.as_bytes(), false)?;
    let [holds, caution, refused] = counts;
    Ok(format!(
        "Written to {}: {} variants, {holds} hold, {caution} with a caution, {refused} refused.\nThey are judged by their rules; `make` plans, writes and proves.\n",
        path.display(),
        grid.count()
    ))
}

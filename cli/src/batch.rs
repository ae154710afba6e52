//! The order of `barwright make … --quantity N`: its tables, and its lines of the summary.

use std::collections::BTreeMap;

use barwright_core::batch::{Count, Load, Way, say_time};
use barwright_core::diag::{Checked, Diagnostic, Severity};
use barwright_core::family::Family;
use barwright_core::job::{self, File, Goods, LoadRun, Wanted, Worked};
use barwright_core::quantity::{Dim, Time, Unit, read_as, trimmed};
use barwright_core::shop::Shop;

use crate::args::Make;
use crate::{Failure, report};

/// How many are asked for, by option or as `quantity=50` and `spares=4` among the sizes of a
/// family that has no such sizes; nothing where nothing is said.
pub(crate) fn count(
    arguments: &Make,
    family: &Family,
    given: &mut BTreeMap<String, String>,
) -> Result<Option<Count>, Failure> {
    let mut take = |name: &str, option: Option<&String>| match family.parameter(name) {
        Some(_) => Ok(option.cloned()),
        None => match (given.remove(name), option) {
            (Some(_), Some(_)) => Err(Failure::Refused(format!("refused  `{name}` is given twice."))),
            (typed, option) => Ok(typed.or_else(|| option.cloned())),
        },
    };
    let (quantity, spares) =
        (take("quantity", arguments.quantity.as_ref())?, take("spares", arguments.spares.as_ref())?);
    let refused = |finding| Failure::Refused(report::of_sizes(&[finding]) + "\n\nNothing was written.");
    let quantity = quantity.or_else(|| arguments.packet.then(|| "1".to_owned()));
    let Some(quantity) = quantity else {
        return match spares {
            None => Ok(None),
            Some(_) => Err(refused(
                Diagnostic::refused("batch/quantity", "Spares are beyond a quantity, and none is given.")
                    .help("Add --quantity N."),
            )),
        };
    };
    Count::read(&quantity, spares.as_deref().unwrap_or_default()).map(Some).map_err(refused)
}

/// How many pieces shall stand on the table at a time, by option or as `load=6` among the sizes of
/// a family that has no such size.
pub(crate) fn per_load(
    arguments: &Make,
    family: &Family,
    given: &mut BTreeMap<String, String>,
) -> Result<Option<u32>, Failure> {
    let typed = if family.parameter("load").is_some() { None } else { given.remove("load") };
    let text = match (typed, &arguments.load) {
        (Some(_), Some(_)) => return Err(Failure::Refused("refused  `load` is given twice.".to_owned())),
        (typed, option) => typed.or_else(|| option.clone()),
    };
    let Some(text) = text else { return Ok(None) };
    if let Ok(count) = Count::read(&text, "") {
        return Ok(Some(count.ordered));
    }
    let shown: String = text.chars().take(40).collect();
    let headline = format!("load: `{}` is no number of pieces on the table at a time.", shown.escape_debug());
    let finding = Diagnostic::refused("batch/load", headline)
        .help("load=1 makes them one by one; left out, the quickest way is taken.");
    Err(Failure::Refused(report::of_sizes(&[finding]) + "\n\nNothing was written."))
}

/// Works the order out; its cautions are told with the others.
pub(crate) fn work_out(
    goods: &Goods,
    shop: &Shop,
    wanted: Wanted,
    unproved: bool,
) -> Result<(Worked, Vec<Diagnostic>), Failure> {
    let Checked { value, findings } = job::work_out(goods, shop, wanted, unproved);
    if let Some(worked) = value {
        return Ok((worked, findings));
    }
    let refused: Vec<Diagnostic> =
        findings.into_iter().filter(|finding| finding.severity == Severity::Refused).collect();
    Err(Failure::Refused(report::of_sizes(&refused) + "\n\nNothing was written."))
}

/// One run of the programs for one piece, as it was timed.
pub(crate) fn timed(arguments: &Make) -> Result<Option<Time>, Failure> {
    let Some(text) = &arguments.timed else { return Ok(None) };
    let refused = |what: String| {
        let finding = Diagnostic::refused("make/timed", format!("--timed: {what}"));
        Failure::Refused(report::of_sizes(&[finding.help("Write it as --timed '17.5 min' or --timed '1050 s'.")]))
    };
    let time = read_as(text, Dim::TIME, None).map_err(|error| refused(error.what))?;
    if time.value > 0.0 { Ok(Some(Time::second(time.value))) } else { Err(refused("nothing was timed.".to_owned())) }
}

/// The tables of an order, and its packet of papers.
pub(crate) fn files(worked: &Worked, goods: &Goods, shop: &Shop) -> Result<Vec<File>, Failure> {
    worked.files(goods, shop).map_err(|error| Failure::Machine(format!("Cannot write the packet as PDF: {error}.")))
}

/// The lines of an order in the summary.
pub(crate) fn rows(worked: &Worked, unit: Unit) -> Vec<(&'static str, String)> {
    let batch = &worked.batch;
    let count = batch.count;
    let spares = match count.spares {
        0 => format!("no spares; {} are usual", Count::usual_spares(count.ordered)),
        1 => "1 spare".to_owned(),
        more => format!("{more} spares"),
    };
    let pieces = if count.ordered == 1 { "1 piece".to_owned() } else { format!("{} pieces", count.ordered) };
    let mut rows = vec![("order", format!("{pieces}, {spares}"))];
    let list = &batch.cut_list;
    for (at, bar) in list.bars.iter().enumerate() {
        let cuts: Vec<String> =
            bar.cuts.iter().map(|cut| format!("{} × {}", cut.count, unit.say(cut.length))).collect();
        let what = if bar.rest { "offcut" } else { "bar" };
        let many = if bar.bars == 1 {
            format!("{} {what}", if bar.rest { "an" } else { "a" })
        } else {
            format!("{} {what}s", bar.bars)
        };
        let each = if bar.bars == 1 { "" } else { " each" };
        let goes = if bar.keep { "back to the rack" } else { "scrap" };
        let text =
            format!("{many} of {}: {}{each}, {} {goes}", unit.say(bar.stock), cuts.join(", "), unit.say(bar.left));
        rows.push((if at == 0 { "saw" } else { "" }, text));
    }
    let buy: Vec<String> = list.buy.iter().map(|(length, bars)| format!("{bars} × {}", unit.say(*length))).collect();
    let buy = if buy.is_empty() {
        "nothing; the offcuts do".to_owned()
    } else {
        format!("{} of {}", buy.join(", "), list.bar)
    };
    let share = trimmed(list.waste_share() * 100.0, 1);
    rows.push(("bars", format!("{buy}; no way takes less than {}; waste {share} %", unit.say(list.bound))));
    for (time, load) in &batch.setups {
        let word = if time.setup == 1 { "loads" } else { "" };
        let setup = if batch.setups.len() > 1 { format!("setup {}: ", time.setup) } else { String::new() };
        rows.push((word, format!("{setup}{}", loads(load))));
        rows.push(("", load.reason.clone()));
        for run in worked.loads.iter().filter(|run| run.setup == time.setup) {
            rows.push(("", proved(run)));
        }
    }
    rows.push(("times", format!("{} at the mill, {} from rack to bag", say_time(batch.mill), say_time(batch.total))));
    for (at, item) in batch.hardware.iter().enumerate() {
        let key = if item.key.is_empty() { String::new() } else { format!(", {}", item.key_words()) };
        let torque = if item.torque.is_empty() { String::new() } else { format!(", {}", item.torque) };
        let take = if item.take > item.count { format!(" (take {})", item.take) } else { String::new() };
        let text = format!("{} × {}{take}{key}{torque}", item.count, item.item);
        rows.push((if at == 0 { "hardware" } else { "" }, text));
    }
    rows
}

fn proved(run: &LoadRun) -> String {
    let word = if run.verdict.proved() { "proved" } else { "UNPROVED" };
    let sizes: usize = run.verdict.pieces.iter().map(|piece| piece.inspection.len() + piece.checks.len()).sum();
    let pieces = if run.pieces == 1 { "1 piece".to_owned() } else { format!("{} pieces", run.pieces) };
    format!("{}: {word}, {sizes} sizes on {pieces}", run.file)
}

fn loads(load: &Load) -> String {
    let last = if load.last < load.pieces { format!(", the last of {}", load.last) } else { String::new() };
    let each = match (&load.way, load.loads) {
        (Way::One, 1) => "1 load".to_owned(),
        (Way::One, many) => format!("{many} loads"),
        (_, 1) => format!("1 load of {}", load.last),
        (_, many) => format!("{many} loads of {}{last}", load.pieces),
    };
    format!("{}: {each}", load.title)
}

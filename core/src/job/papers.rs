//! An order of many pieces of one variant: its loads, and everything that is written for it.

use super::{Goods, LoadRun, Probed, loads, probes};
use crate::batch::{self, Batch, Count};
use crate::diag::Checked;
use crate::drawing::pdf::{self, Unwritable};
use crate::drawing::{Sheet, Stamp, svg};
use crate::packet;
use crate::plan::{load_file, program_file};
use crate::proof::Times;
use crate::quantity::Time;
use crate::record::Ordered;
use crate::shop::Shop;

/// A file by its name.
pub type File = (String, Vec<u8>);

/// How many are asked for, and how.
#[derive(Clone, Copy, Debug)]
pub struct Wanted {
    /// Pieces and spares.
    pub count: Count,
    /// Pieces on the table at a time, where that is not left to the reckoning.
    pub per_load: Option<u32>,
    /// One run of the programs for one piece as it was timed, where it was.
    pub timed: Option<Time>,
}

/// An order worked out, with the programs of its loads.
#[derive(Clone, Debug)]
pub struct Worked {
    /// What was asked for.
    pub wanted: Wanted,
    /// Bars, loads, times, hardware.
    pub batch: Batch,
    /// The programs of loads of several pieces, each read back.
    pub loads: Vec<LoadRun>,
}

/// Works an order out. `unproved` gives out programs of loads that do not prove, which then say so.
///
/// # Errors
/// As findings: no bar, no way to load, a program of a load that does not prove.
pub fn work_out(goods: &Goods, shop: &Shop, wanted: Wanted, unproved: bool) -> Checked<Worked> {
    let times: Vec<&Times> = goods.runs.iter().map(|run| &run.verdict.times).collect();
    let mut checked = batch::batch(&goods.part, &goods.plan, &times, shop, wanted.count, wanted.per_load);
    let Some(mut batch) = checked.value else { return Checked { value: None, findings: checked.findings } };
    let mut loads = loads(&goods.part, &goods.plan, &batch, shop, &goods.stamp, unproved);
    checked.findings.append(&mut loads.findings);
    for run in loads.value.iter().flatten() {
        let expected = load_file(run.setup, run.pieces, true);
        batch.rename_program(&expected, &run.file);
    }
    for run in &goods.runs {
        let setup = run.setup.number;
        batch.rename_program(&program_file(setup, true), &program_file(setup, goods.record.proved));
    }
    Checked { value: loads.value.map(|loads| Worked { wanted, batch, loads }), findings: checked.findings }
}

impl Worked {
    /// Enters the order in the record.
    pub fn enter(&self, goods: &mut Goods, shop: &Shop) {
        let Stamp { revision, date, drawn_by, .. } = goods.stamp.clone();
        let Wanted { count: Count { ordered: pieces, spares }, per_load, timed } = self.wanted;
        let loads = self.loads.iter().map(|run| run.told(&goods.part, shop)).collect();
        goods.record.enter(loads, Ordered { pieces, spares, per_load, timed, revision, date, drawn_by });
    }

    /// The pages of the packet.
    pub fn pages(&self, goods: &Goods, shop: &Shop) -> Vec<Sheet> {
        self.laid_out(goods, shop, &probes(&goods.part, &goods.plan, shop, &goods.stamp))
    }

    fn laid_out(&self, goods: &Goods, shop: &Shop, probes: &[Probed]) -> Vec<Sheet> {
        let told = |probed: &Probed| (probed.setup, probed.program.clone().map(|(name, _)| name));
        let load = |run: &LoadRun| packet::LoadPaper::of(run.setup, run.pieces, &run.file, &run.verdict);
        let order = packet::Order {
            part: &goods.part,
            plan: &goods.plan,
            shop,
            batch: &self.batch,
            drawing: &goods.sheet,
            stamp: &goods.stamp,
            verdicts: goods.runs.iter().map(|run| &run.verdict).collect(),
            timed: self.wanted.timed,
            probed: probes.iter().map(told).collect(),
            loads: self.loads.iter().map(load).collect(),
        };
        // Letters that cannot be set were told of with the drawing.
        packet::packet(&order, packet::upright(&goods.sheet)).value.unwrap_or_default()
    }

    /// The packet of papers, the programs of loads and of probing, and the tables.
    ///
    /// # Errors
    /// Pages that cannot be written; those that were laid out here always can.
    pub fn files(&self, goods: &Goods, shop: &Shop) -> Result<Vec<File>, Unwritable> {
        let batch = &self.batch;
        let (unit, digest) = (goods.part.unit, goods.record.digest.as_str());
        let stamp = &goods.stamp;
        let probes = probes(&goods.part, &goods.plan, shop, stamp);
        let pdf = pdf::write(&self.laid_out(goods, shop, &probes).iter().collect::<Vec<_>>())?;
        let label = batch::label(&goods.part, batch.count, &stamp.revision, digest, &stamp.owner).join("\n") + "\n";
        let tables = [
            ("cut-list.csv", batch::cut_list_csv(&batch.cut_list, unit, digest)),
            ("loads.csv", batch::loads_csv(&batch.setups, shop.control.speaks(unit), digest)),
            ("times.csv", batch::times_csv(&batch.setups, &batch.route, digest)),
            ("route.csv", batch::route_csv(&batch.route, digest)),
            ("hardware.csv", batch::hardware_csv(&batch.hardware, digest)),
            ("label.txt", label),
        ];
        let programs = self.loads.iter().map(|run| (run.file.clone(), run.program.text.clone()));
        let programs = programs.chain(probes.into_iter().filter_map(|probed| probed.program.ok()));
        let texts = programs.chain(tables.map(|(name, text)| (name.to_owned(), text)));
        let texts = texts.map(|(name, text)| (name, text.into_bytes()));
        Ok(std::iter::once(("packet.pdf".to_owned(), pdf)).chain(texts).collect())
    }
}

/// A part number as the name of a folder: letters, digits, `.`, `_` and `-`, at most 120 of them,
/// on no system a hidden one nor a device.
pub fn folder_name(number: &str) -> String {
    let fits = |c: char| c.is_ascii_alphanumeric() || matches!(c, '.' | '_' | '-');
    let name: String = number.chars().map(|c| if fits(c) { c } else { '-' }).take(120).collect();
    let name = name.trim_matches(['.', '-']);
    // Names that stand for devices on some systems, whatever follows their first dot.
    // Microsoft, "Naming Files, Paths, and Namespaces".
    let stem = name.split('.').next().unwrap_or_default().to_ascii_uppercase();
    let numbered = |head: &str| stem.strip_prefix(head).is_some_and(|rest| rest.len() == 1 && rest != "0");
    let device = matches!(stem.as_str(), "CON" | "PRN" | "AUX" | "NUL") || numbered("COM") || numbered("LPT");
    match name {
        "" => "part".to_owned(),
        name if device => format!("part-{name}"),
        name => name.to_owned(),
    }
}

/// The files of a variant: its own, then those of an order, the record last, which is the seal of
/// the others.
///
/// # Errors
/// Pages that cannot be written; those that were laid out here always can.
pub fn files(goods: &Goods, of_order: Vec<File>) -> Result<Vec<File>, Unwritable> {
    let drawn = svg::write(&goods.sheet).into_bytes();
    let mut files = vec![("drawing.svg".to_owned(), drawn), ("drawing.pdf".to_owned(), pdf::write(&[&goods.sheet])?)];
    for (index, sheet) in goods.sheet.following.iter().enumerate() {
        files.push((format!("drawing-{}.svg", index + 2), svg::write(sheet).into_bytes()));
    }
    for run in &goods.runs {
        files.push((program_file(run.setup.number, goods.record.proved), run.program.text.clone().into_bytes()));
    }
    files.push(("first-piece.csv".to_owned(), super::first_piece_csv(goods).into_bytes()));
    files.extend(of_order);
    files.push(("part.json".to_owned(), goods.record.json().into_bytes()));
    Ok(files)
}

#[cfg(test)]
mod tests {
    use super::folder_name;

    #[test]
    fn a_number_is_a_folder_on_every_system() {
        for (number, name) in [
            ("JK-10mm-4xM5", "JK-10mm-4xM5"),
            ("JK 10 mm/4×M5", "JK-10-mm-4-M5"),
            ("../../etc", "etc"),
            (".hidden.", "hidden"),
            ("", "part"),
            ("…", "part"),
            ("con", "part-con"),
            ("NUL.txt", "part-NUL.txt"),
            ("lpt9", "part-lpt9"),
            ("COM1.a.b", "part-COM1.a.b"),
            ("COM10", "COM10"),
            ("CONSOLE", "CONSOLE"),
        ] {
            assert_eq!(folder_name(number), name, "{number}");
        }
        assert_eq!(folder_name(&"x".repeat(500)).len(), 120, "as long as systems take");
    }
}

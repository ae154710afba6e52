//! The last variant's moves and files: what only a whole page gives out.

use barwright_core::drawing;
use barwright_core::family;
use barwright_core::job::{Goods, Run, first_piece_csv, folder_name};
use barwright_core::plan::program_file;
use barwright_core::proof::{Motion, Path, Plane};
use barwright_core::source::Source;
use serde_json::{Value, json};

use crate::desk::Desk;
use crate::{archive, embedded};

/// How many numbers tell of one move.
const STRIDE: usize = 17;

impl Desk {
    /// The families that are built in.
    #[must_use]
    pub fn families() -> Value {
        let list = embedded::FAMILIES.iter().filter_map(|(file, text)| {
            let family = family::load(&Source::new(format!("families/{file}"), *text)).value?;
            Some(json!({ "name": family.name, "title": family.title, "about": family.about }))
        });
        Value::Array(list.collect())
    }

    fn goods(&self) -> Option<&Goods> {
        self.job.as_ref()?.goods.as_ref()
    }

    /// The moves of a run, `STRIDE` numbers each.
    #[must_use]
    pub fn motions(&self, run: usize) -> Vec<f64> {
        let motions = self.goods().and_then(|goods| goods.runs.get(run)).map_or(&[][..], |run| &run.verdict.motions);
        let mut numbers = Vec::with_capacity(motions.len() * STRIDE);
        for motion in motions {
            numbers.extend(told(motion));
        }
        numbers
    }

    /// The names of the variant's files.
    #[must_use]
    pub fn file_names(&self) -> Value {
        let Some(goods) = self.goods() else { return json!([]) };
        let programs = goods.runs.iter().map(|run| program_file(run.setup.number, goods.record.proved));
        let mut names = vec!["drawing.svg".to_owned(), "drawing.pdf".to_owned()];
        names.extend((0..goods.sheet.following.len()).map(following));
        names.extend(programs);
        names.extend(["first-piece.csv".to_owned(), "part.json".to_owned()]);
        json!(names)
    }

    /// The bytes of one of the variant's files.
    #[must_use]
    pub fn file(&self, name: &str) -> Option<Vec<u8>> {
        let goods = self.goods()?;
        match name {
            "drawing.svg" => Some(drawing::svg::write(&goods.sheet).into_bytes()),
            "drawing.pdf" => drawing::pdf::write(&[&goods.sheet]).ok(),
            "first-piece.csv" => Some(first_piece_csv(goods).into_bytes()),
            "part.json" => Some(goods.record.json().into_bytes()),
            _ => {
                let mut sheets = goods.sheet.following.iter().enumerate();
                if let Some((_, sheet)) = sheets.find(|(index, _)| name == following(*index)) {
                    return Some(drawing::svg::write(sheet).into_bytes());
                }
                let named = |run: &&Run| name == program_file(run.setup.number, goods.record.proved);
                Some(goods.runs.iter().find(named)?.program.text.clone().into_bytes())
            }
        }
    }

    /// All of the variant's files in one archive, in a folder of the part's number.
    #[must_use]
    pub fn archive(&self) -> Option<Vec<u8>> {
        let names = self.file_names();
        let mut files = Vec::new();
        for name in names.as_array()?.iter().filter_map(Value::as_str) {
            files.push((name.to_owned(), self.file(name)?));
        }
        archive::write(&folder_name(&self.goods()?.part.number), &files)
    }
}

/// The file of a sheet that follows the first.
fn following(index: usize) -> String {
    format!("drawing-{}.svg", index + 2)
}

/// One move in numbers; see [`crate::Desk::motions`].
fn told(motion: &Motion) -> [f64; STRIDE] {
    let (arc, plane, centre, radius, start, sweep) = match motion.path {
        Path::Line => (0, 0.0, (0.0, 0.0), 0.0, 0.0, 0.0),
        Path::Arc(arc) => {
            let plane = match arc.plane {
                Plane::Xy => 0.0,
                Plane::Zx => 1.0,
                Plane::Yz => 2.0,
            };
            (2, plane, (arc.centre.x, arc.centre.y), arc.radius, arc.start, arc.sweep)
        }
    };
    let flags = i32::from(motion.rapid) | arc | if motion.cycle > 0 { 4 } else { 0 };
    let (from, to) = (motion.from, motion.to);
    [
        motion.line as f64,
        f64::from(flags),
        f64::from(motion.tool),
        motion.t0.as_second(),
        motion.t1.as_second(),
        from.x,
        from.y,
        from.z,
        to.x,
        to.y,
        to.z,
        plane,
        centre.0,
        centre.1,
        radius,
        start,
        sweep,
    ]
}

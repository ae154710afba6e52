//! One variant, from what was typed to everything that is written.
//!
//! In come a family, sizes, a shop and what is stamped on the papers; out goes a [`Job`]: the
//! variant with its verdicts and, where nothing refuses it, record, drawing and programs, the
//! programs read back from its own text and proved. This room only strings the others together.

#[cfg(feature = "files")]
mod papers;
mod probes;

#[cfg(feature = "files")]
pub use papers::{File, Wanted, Worked, files, folder_name, work_out};
pub use probes::{Probed, probes, touches};

use crate::batch::Batch;
use crate::diag::{Checked, Diagnostic, Severity};
use crate::drawing::{self, Format, Sheet, Stamp};
use crate::family::Family;
use crate::part::{Kind, Make, Part, Pose};
use crate::plan::{self, Plan, SetupPlan, load_file};
use crate::program::{self, Header, Program};
use crate::proof::{self, Breach, LoadVerdict, Tapping, Verdict, unmeasured};
use crate::quantity::{Length, Unit, trimmed};
use crate::record::{LoadUse, Record, digest};
use crate::shop::{Saw, Setup, Shop, Stand};
use crate::variant::{self, Inputs, Variant};

/// What is asked for beside the sizes.
#[derive(Clone, Debug)]
pub struct Order {
    /// The sizes.
    pub inputs: Inputs,
    /// Title instead of the family's.
    pub title: Option<String>,
    /// The form of the drawing; what is usual for the unit where nothing is said.
    pub format: Option<Format>,
    /// What is stamped on the drawing; its digest and owner are filled in here.
    pub stamp: Stamp,
    /// Give a program out that does not prove; it and its papers say so.
    pub unproved: bool,
}

/// A variant and everything made of it.
#[derive(Clone, Debug)]
pub struct Job {
    /// The values and verdicts.
    pub variant: Variant,
    /// What was made; nothing where a finding refuses it.
    pub goods: Option<Goods>,
    /// Everything found on the way, of sizes, plan and drawing.
    pub findings: Vec<Diagnostic>,
}

/// Everything made of a variant.
#[derive(Clone, Debug)]
pub struct Goods {
    /// The part.
    pub part: Part,
    /// How it is made.
    pub plan: Plan,
    /// What `part.json` holds.
    pub record: Record,
    /// The drawing.
    pub sheet: Sheet,
    /// The programs, one for each setup, in order.
    pub runs: Vec<Run>,
    /// What is stamped on drawing and papers.
    pub stamp: Stamp,
}

/// The program of one setup, read back.
#[derive(Clone, Debug)]
pub struct Run {
    /// Which side of the part is up.
    pub pose: Pose,
    /// How it stands in the vise.
    pub setup: Setup,
    /// The program.
    pub program: Program,
    /// What the proof of its text found.
    pub verdict: Verdict,
}

/// The program of one load, read back.
#[derive(Clone, Debug)]
pub struct LoadRun {
    /// Number of the setup.
    pub setup: u32,
    /// How many pieces it makes.
    pub pieces: u32,
    /// Name of its file.
    pub file: String,
    /// Which side of the pieces is up.
    pub pose: Pose,
    /// The places that hold a piece.
    pub stands: Vec<Stand>,
    /// Where the zero lies, in words.
    pub datum: String,
    /// The program.
    pub program: Program,
    /// What the proof of its text found, of all pieces.
    pub verdict: LoadVerdict,
}

impl LoadRun {
    /// What the record says of it.
    pub fn told(&self, part: &Part, shop: &Shop) -> LoadUse {
        let first = self.stands.first().map_or("", |stand| stand.setup.work_offset.as_str());
        LoadUse {
            file: self.file.clone(),
            setup: self.setup,
            pieces: self.pieces,
            unit: shop.control.unit.unwrap_or(part.unit),
            control: shop.control.name.clone(),
            datum: format!("{first}: place 1, {}", self.datum),
            pose: self.pose,
            stands: self.stands.clone(),
        }
    }
}

/// The sheet of the first piece as CSV, with the numbers of drawing and inspection sheet.
pub fn first_piece_csv(goods: &Goods) -> String {
    goods.record.first_piece_csv(&crate::packet::numbers(&goods.part, &goods.sheet))
}

/// What the shop's saw leaves on each end for facing, where no program mills the ends.
pub fn facing(shop: &Shop) -> Length {
    shop.batch.saw.unwrap_or(Saw::USUAL).facing
}

/// Makes a variant.
pub fn make(family: &Family, order: &Order, shop: &Shop) -> Job {
    let mut variant = variant::derive(family, &order.inputs, &shop.rack);
    let mut findings = variant.findings.clone();
    let Some(mut part) = variant.part.take() else {
        // A size that keeps the rules is no help where this shop cannot make it.
        let rack = shop.rack.clone().into();
        let against = |inputs: &Inputs| {
            let part = variant::attempt(family, inputs, &rack).part?;
            let findings = plan::plan(&part, shop).findings;
            findings.into_iter().find(|finding| finding.severity == Severity::Refused).map(|finding| finding.headline)
        };
        variant::sift(&mut variant, &order.inputs, &against);
        findings.clone_from(&variant.findings);
        return Job { variant, goods: None, findings };
    };
    if let Some(title) = &order.title {
        part.title = plain(title);
    }
    let plan = plan::plan(&part, shop);
    findings.extend(plan.findings);
    let stamp = Stamp {
        revision: plain(&order.stamp.revision),
        date: order.stamp.date.as_deref().map(plain),
        drawn_by: order.stamp.drawn_by.as_deref().map(plain),
        digest: digest(&part),
        owner: plain(&shop.owner),
        facing: facing(shop),
    };
    let format = order.format.unwrap_or_else(|| Format::usual(part.unit));
    let sheet = drawing::lay_out(&part, &format, &stamp);
    findings.extend(sheet.findings);
    variant.part = Some(part.clone());
    let refused = findings.iter().any(|finding| finding.severity == Severity::Refused);
    let (Some(plan), Some(sheet), false) = (plan.value, sheet.value, refused) else {
        return Job { variant, goods: None, findings };
    };
    if plan.setups.is_empty() {
        findings.push(Diagnostic::refused("job/no-setup", "Nothing is to be cut: the part is its blank."));
        return Job { variant, goods: None, findings };
    }
    let mut sheet = sheet;
    let mut runs = runs(&plan, &part, shop, &stamp, true);
    if !runs.iter().all(|run| run.verdict.proved()) {
        findings.extend(told(&runs, &part, order.unproved));
        if !order.unproved {
            return Job { variant, goods: None, findings };
        }
        // The headers grow: breaches are told with the lines that are given out.
        runs = self::runs(&plan, &part, shop, &stamp, false);
        let laid_out = drawn(&part, &format, &stamp, false);
        findings.extend(laid_out.findings);
        sheet = laid_out.value.unwrap_or(sheet);
    }
    let verdicts: Vec<&Verdict> = runs.iter().map(|run| &run.verdict).collect();
    let record = Record::new(&variant, &part, &plan, &shop.control, &verdicts);
    Job { variant, goods: Some(Goods { part, plan, record, sheet, runs, stamp }), findings }
}

/// The drawing of a part; it says so where the program does not prove.
pub fn drawn(part: &Part, format: &Format, stamp: &Stamp, proved: bool) -> Checked<Sheet> {
    let mut part = part.clone();
    if !proved {
        part.notes.push("THE PROGRAM OF THIS PART IS UNPROVED.".to_owned());
    }
    drawing::lay_out(&part, format, stamp)
}

/// Writes the program of each setup and reads it back.
pub fn runs(plan: &Plan, part: &Part, shop: &Shop, stamp: &Stamp, proved: bool) -> Vec<Run> {
    let tapping = Tapping::by_hand(plan.tapped_by_hand());
    let header = Header { setups: plan.setups.len(), ..header(part, shop, stamp, proved) };
    let run = |setup: &SetupPlan| {
        let program = program::emit(setup, &header, &shop.control);
        let posed = part.posed(setup.pose);
        let verdict = proof::prove_with(&program.text, &posed, shop, &setup.setup, &tapping);
        Run { pose: setup.pose, setup: setup.setup.clone(), program, verdict }
    };
    plan.setups.iter().map(run).collect()
}

/// Writes the program of every load of several pieces, the last and smaller load's too, and reads
/// each back.
///
/// # Errors
/// As findings: a program that does not prove; where the user insists, it is given out, says so in
/// its head, and the findings are cautions.
pub fn loads(
    part: &Part,
    plan: &Plan,
    batch: &Batch,
    shop: &Shop,
    stamp: &Stamp,
    unproved: bool,
) -> Checked<Vec<LoadRun>> {
    let mut findings = Vec::new();
    let mut runs = Vec::new();
    for (setup, (_, load)) in plan.setups.iter().zip(&batch.setups) {
        for pieces in load.sizes() {
            let stands = load.filled(pieces);
            let mut run = load_run(part, plan, (setup, &load.title, &load.notes), stands, shop, stamp, true);
            if !run.verdict.proved() {
                findings.extend(load_told(&run, part, unproved));
                // The header grows: breaches are told with the lines that are given out.
                let stands = run.stands;
                run = load_run(part, plan, (setup, &load.title, &load.notes), stands, shop, stamp, false);
            }
            runs.push(run);
        }
    }
    Checked::unless_refused(runs, findings)
}

/// Writes the program of one load, whose pieces stand in these places, and reads it back. `held` is
/// the setup, what holds the pieces, in words, and what is to be known of it.
pub fn load_run(
    part: &Part,
    plan: &Plan,
    (setup, title, notes): (&SetupPlan, &str, &[String]),
    stands: Vec<Stand>,
    shop: &Shop,
    stamp: &Stamp,
    proved: bool,
) -> LoadRun {
    let tapping = Tapping::by_hand(plan.tapped_by_hand());
    let header = Header { setups: plan.setups.len(), ..header(part, shop, stamp, proved) };
    let pieces = u32::try_from(stands.len()).unwrap_or(u32::MAX);
    let mut first = setup.clone();
    if let Some(stand) = stands.first() {
        first.setup = stand.setup.clone();
    }
    first.notes = notes.to_vec();
    let program = program::emit_load(&first, title, &stands, &header, &shop.control);
    let verdict = proof::prove_load(&program.text, &part.posed(setup.pose), shop, &stands, &tapping);
    LoadRun {
        setup: setup.setup.number,
        pieces,
        file: load_file(setup.setup.number, pieces, proved),
        pose: setup.pose,
        stands,
        datum: setup.datum.clone(),
        program,
        verdict,
    }
}

/// What a load's proof found against it.
fn load_told(run: &LoadRun, part: &Part, insists: bool) -> Vec<Diagnostic> {
    let finding = |code, headline: String| {
        if insists { Diagnostic::caution(code, headline) } else { Diagnostic::refused(code, headline) }
    };
    let mut findings: Vec<Diagnostic> = run
        .verdict
        .breaches
        .iter()
        .map(|breach| {
            finding(breach.code, format!("{}, line {}: {}", run.file, breach.line, breach.what))
                .note(format!("`{}`", breach.words))
                .note(breach.consequence.clone())
        })
        .collect();
    for (at, piece) in run.verdict.pieces.iter().enumerate() {
        for reading in piece.inspection.iter().filter(|reading| !reading.holds) {
            let size = &reading.characteristic.size;
            let measured = reading
                .measured
                .map_or_else(|| unmeasured(reading.holds).to_owned(), |measured| part.unit.say(measured));
            let headline = format!(
                "{}, place {}: {}: {measured} where {} to {} is wanted.",
                run.file,
                at + 1,
                size.title,
                part.unit.say(size.least()),
                part.unit.say(size.most())
            );
            findings.push(finding("proof/size", headline));
        }
        for check in piece.checks.iter().filter(|check| !check.holds) {
            let found = check.found.as_deref().unwrap_or(unmeasured(check.holds));
            let (title, wanted) = (&check.attribute.title, &check.attribute.wanted);
            let headline = format!("{}, place {}: {title}: {found} where {wanted} is wanted.", run.file, at + 1);
            findings.push(finding("proof/attribute", headline));
        }
    }
    let last = finding("proof/unproved", format!("The program of a load of {} does not prove.", run.pieces))
        .help("`load=1` makes the pieces one by one.");
    findings.push(last);
    findings
}

/// The breaches of a verdict as findings; cautions where the user insists.
fn told(runs: &[Run], part: &Part, insists: bool) -> Vec<Diagnostic> {
    let finding = |code, headline: String| {
        if insists { Diagnostic::caution(code, headline) } else { Diagnostic::refused(code, headline) }
    };
    let place = |run: &Run| match runs.len() {
        1 => "Line".to_owned(),
        _ => format!("Setup {}, line", run.setup.number),
    };
    let breach = |run: &Run, breach: &Breach| {
        let place = match (breach.line, runs.len()) {
            (0, 1) => "The piece".to_owned(),
            (0, _) => format!("Setup {}, the piece", run.setup.number),
            (line, _) => format!("{} {line}", place(run)),
        };
        let mut finding = finding(breach.code, format!("{place}: {}", breach.what))
            .note(format!("`{}`", breach.words))
            .note(breach.consequence.clone());
        if let Some(again) = breach.again() {
            finding = finding.note(again);
        }
        finding
    };
    // Of a program that was not read to its end nothing else can be said.
    let long = |(_, breach): &(&Run, &Breach)| breach.code == "proof/too-long";
    let breaches = || runs.iter().flat_map(|run| run.verdict.breaches.iter().map(move |it| (run, it)));
    if let Some((run, it)) = breaches().find(long) {
        let last = finding("proof/unproved", "A program this long is not proved.".to_owned()).note(shorter(part, run));
        return vec![breach(run, it), last.help("Fewer holes in one part, or the part in two.").help(INSIST)];
    }
    let mut findings: Vec<Diagnostic> = breaches().map(|(run, it)| breach(run, it)).collect();
    for reading in runs.iter().flat_map(|run| &run.verdict.inspection).filter(|reading| !reading.holds) {
        let size = &reading.characteristic.size;
        let measured =
            reading.measured.map_or_else(|| unmeasured(reading.holds).to_owned(), |measured| part.unit.say(measured));
        findings.push(finding(
            "proof/size",
            format!(
                "{}: {measured} where {} to {} is wanted.",
                size.title,
                part.unit.say(size.least()),
                part.unit.say(size.most())
            ),
        ));
    }
    for check in runs.iter().flat_map(|run| &run.verdict.checks).filter(|check| !check.holds) {
        let found = check.found.as_deref().unwrap_or(unmeasured(check.holds));
        let said = format!("{}: {found} where {} is wanted.", check.attribute.title, check.attribute.wanted);
        findings.push(finding("proof/attribute", said));
    }
    findings.push(
        finding("proof/unproved", "The program does not prove.".to_owned())
            .help("This is a fault of the plan or the program, not of your sizes; please report it with your files.")
            .help(INSIST),
    );
    findings
}

const INSIST: &str = "`--unproved` gives it out all the same, marked UNPROVED.";

/// How many holes a program that can be read has, where this one has too many.
fn shorter(part: &Part, run: &Run) -> String {
    let lines = run.program.text.lines().count();
    let groups = part.features.iter().filter_map(|feature| match &feature.kind {
        Kind::Holes(holes) => Some(holes),
        Kind::Tongue(_) | Kind::Slot(_) => None,
    });
    let holes: usize = groups.clone().map(|holes| holes.places.len()).sum();
    // A little less than in proportion: the rest of the part takes lines too.
    let fit = holes.saturating_mul(proof::MOST_LINES).saturating_mul(99) / (lines.max(1) * 100);
    let threads = groups.clone().any(|holes| matches!(holes.make, Make::Tapped { .. }));
    let by_hand = if threads {
        " Milled threads take most of the lines: fewer passes, or threads left to be cut by hand, take fewer."
    } else {
        ""
    };
    format!("{holes} holes take {lines} lines here; about {fit} of their kind can be proved.{by_hand}")
}

/// What people typed, as one line: control characters would tear a summary, and no XML holds them.
fn plain(text: &str) -> String {
    let unfit = |sign: char| sign.is_control() || matches!(sign, '\u{fffe}' | '\u{ffff}');
    let text: String = text.chars().map(|sign| if unfit(sign) { ' ' } else { sign }).collect();
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// What the head of a part's program tells.
pub fn header(part: &Part, shop: &Shop, stamp: &Stamp, proved: bool) -> Header {
    Header {
        number: part.number.clone(),
        title: part.title.clone(),
        revision: stamp.revision.clone(),
        digest: stamp.digest.clone(),
        unit: part.unit,
        material: part.material.title.clone(),
        stock: stock(part, part.unit),
        owner: shop.owner.clone(),
        notes: Vec::new(),
        setups: 1,
        proved,
    }
}

/// The blank in words: `60 x 16 x 12 mm from brass 16 x 12`.
pub fn stock(part: &Part, unit: Unit) -> String {
    let say = |length| trimmed(unit.of(length), unit.decimals());
    let blank = &part.blank;
    format!("{} x {} x {} {} from {}", say(blank.length), say(blank.width), say(blank.height), unit.sign(), blank.bar)
}

#[cfg(test)]
mod load_tests;
#[cfg(test)]
mod long_tests;

//! One variant, from what was typed to everything that is written.
//!
//! In come a family, sizes, a shop and what is stamped on the papers; out goes a [`Job`]: the
//! variant with its verdicts and, where nothing refuses it, record, drawing and programs, the
//! programs read back from its own text and proved. This room only strings the others together.

use crate::diag::{Diagnostic, Severity};
use crate::drawing::{self, Format, Sheet, Stamp};
use crate::family::Family;
use crate::part::{Part, Pose};
use crate::plan::{self, Plan, SetupPlan};
use crate::program::{self, Header, Program};
use crate::proof::{self, Breach, Tapping, Verdict};
use crate::quantity::{Length, Unit, trimmed};
use crate::record::{Record, digest};
use crate::shop::{Setup, Shop};
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

/// Makes a variant.
pub fn make(family: &Family, order: &Order, shop: &Shop) -> Job {
    let mut variant = variant::derive(family, &order.inputs, &shop.rack);
    let mut findings = variant.findings.clone();
    let Some(mut part) = variant.part.take() else {
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
        let mut marked = part.clone();
        marked.notes.push("THE PROGRAM OF THIS PART IS UNPROVED.".to_owned());
        let laid_out = drawing::lay_out(&marked, &format, &stamp);
        findings.extend(laid_out.findings);
        sheet = laid_out.value.unwrap_or(sheet);
    }
    let verdicts: Vec<&Verdict> = runs.iter().map(|run| &run.verdict).collect();
    let record = Record::new(&variant, &part, &plan, &shop.control, &verdicts);
    Job { variant, goods: Some(Goods { part, plan, record, sheet, runs, stamp }), findings }
}

/// Writes the program of each setup and reads it back.
pub fn runs(plan: &Plan, part: &Part, shop: &Shop, stamp: &Stamp, proved: bool) -> Vec<Run> {
    let tapping = if plan.taps_by_hand() { Tapping::ByHand } else { Tapping::Milled };
    let header = Header { setups: plan.setups.len(), ..header(part, shop, stamp, proved) };
    let run = |setup: &SetupPlan| {
        let program = program::emit(setup, &header, &shop.control);
        let posed = part.posed(setup.pose);
        let verdict = proof::prove_with(&program.text, &posed, shop, &setup.setup, tapping);
        Run { pose: setup.pose, setup: setup.setup.clone(), program, verdict }
    };
    plan.setups.iter().map(run).collect()
}

/// How far a bar may be off its size before the probing program stops, beside the rack's own word.
const OFF: Length = Length::mm(0.3);

/// The probing programs of a part by file name: one for each setup whose piece lies uncut before
/// it, where the control has a probe. Each was read back with a touch simulated, on pieces that
/// stand off their place and are off their size, and found their middle.
pub fn probes(part: &Part, plan: &Plan, shop: &Shop, stamp: &Stamp) -> Vec<(String, String)> {
    let header = Header { setups: plan.setups.len(), ..header(part, shop, stamp, true) };
    let uncut = plan.setups.iter().take(1).filter(|setup| setup.pose == Pose::Top);
    let made = uncut.filter_map(|setup| {
        let posed = part.posed(setup.pose);
        let (along, width) = (posed.blank_along(), posed.blank.width);
        let piece = program::Piece { along, width, tolerance: OFF };
        let text = program::emit_probe(setup, &piece, &header, &shop.control)?;
        let length = along.1 - along.0;
        let holds = [(0.0, 0.0), (1.9, 0.25), (-1.9, -0.25)].into_iter().all(|(shift, off)| {
            let [shift, off] = [shift, off].map(Length::mm);
            let middle = (along.0 + along.1) / 2.0;
            let probing = proof::Probing {
                piece_at: [middle + shift, -shift, shift],
                extents: [length + off, width + off, posed.blank.height],
                tip: Length::mm(4.0),
                machine_zero: [200.0, 100.0, 90.0].map(Length::mm),
            };
            let found = proof::probe(&text, shop, &setup.setup, part.unit, &probing);
            let want = [shift, -shift, shift];
            let near = found.zero.iter().zip(want).all(|(zero, want)| (*zero - want).abs() < Length::mm(0.002));
            found.breaches.is_empty() && near
        });
        holds.then(|| (format!("probe-{}.nc", setup.setup.number), text))
    });
    made.collect()
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
        let mut finding = finding(breach.code, format!("{} {}: {}", place(run), breach.line, breach.what))
            .note(format!("`{}`", breach.words))
            .note(breach.consequence.clone());
        if breach.more > 0 {
            finding = finding.note(format!("And {} more times, the last on line {}.", breach.more, breach.last));
        }
        finding
    };
    let mut findings: Vec<Diagnostic> =
        runs.iter().flat_map(|run| run.verdict.breaches.iter().map(move |it| breach(run, it))).collect();
    for reading in runs.iter().flat_map(|run| &run.verdict.inspection).filter(|reading| !reading.holds) {
        let size = &reading.characteristic.size;
        let measured = reading.measured.map_or_else(|| "nothing".to_owned(), |measured| part.unit.say(measured));
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
        let found = check.found.as_deref().unwrap_or("nothing");
        let said = format!("{}: {found} where {} is wanted.", check.attribute.title, check.attribute.wanted);
        findings.push(finding("proof/attribute", said));
    }
    findings.push(
        finding("proof/unproved", "The program does not prove.".to_owned())
            .help("This is a fault of the plan or the program, not of your sizes; please report it with your files.")
            .help("`--unproved` gives it out all the same, marked UNPROVED."),
    );
    findings
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

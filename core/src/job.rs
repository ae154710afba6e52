//! One variant, from what was typed to everything that is written.
//!
//! In come a family, sizes, a shop and what is stamped on the papers; out goes a [`Job`]: the
//! variant with its verdicts and, where nothing refuses it, record, drawing and programs. This
//! room only strings the others together.

use crate::diag::{Diagnostic, Severity};
use crate::drawing::{self, Format, Sheet, Stamp};
use crate::family::Family;
use crate::part::Part;
use crate::plan::{self, Plan};
use crate::program::{self, Header, Program};
use crate::quantity::{Unit, trimmed};
use crate::record::{Record, digest};
use crate::shop::Shop;
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
    /// The program.
    pub program: Program,
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
    let header = header(&part, shop, &stamp);
    let program = program::emit(&plan, &header, &shop.control);
    let record = Record::new(&variant, &part, &plan, &shop.control);
    Job { variant, goods: Some(Goods { part, plan, record, sheet, program }), findings }
}

/// What people typed, as one line: control characters would tear a summary, and no XML holds them.
fn plain(text: &str) -> String {
    let unfit = |sign: char| sign.is_control() || matches!(sign, '\u{fffe}' | '\u{ffff}');
    let text: String = text.chars().map(|sign| if unfit(sign) { ' ' } else { sign }).collect();
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn header(part: &Part, shop: &Shop, stamp: &Stamp) -> Header {
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
        proved: false,
    }
}

/// The blank in words: `60 x 16 x 12 mm from brass 16 x 12`.
pub fn stock(part: &Part, unit: Unit) -> String {
    let say = |length| trimmed(unit.of(length), unit.decimals());
    let blank = &part.blank;
    format!("{} x {} x {} {} from {}", say(blank.length), say(blank.width), say(blank.height), unit.sign(), blank.bar)
}

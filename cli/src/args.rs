//! The words of the command line.

use std::path::PathBuf;

use barwright_core::quantity::read_date;
use clap::{Args, Parser, Subcommand, ValueEnum, ValueHint};

use crate::help;

/// From a few sizes to a part's drawing and program.
///
/// A family of parts is written once; give it sizes and it makes the drawing, the program and
/// the record of one variant, or says why the part would be bad and what would work.
#[derive(Debug, Parser)]
#[command(name = "barwright", version, after_help = help::ALL)]
pub(crate) struct Arguments {
    /// How much is said.
    #[command(flatten)]
    pub(crate) voice: Voice,
    /// What to do.
    #[command(subcommand)]
    pub(crate) command: Command,
}

/// How much is said.
#[derive(Debug, Args)]
pub(crate) struct Voice {
    /// Say nothing of what went well: only what is wrong, and what was asked for as text
    #[arg(short, long, global = true, conflicts_with = "verbose", display_order = 100)]
    pub(crate) quiet: bool,
    /// Tell on standard error what shop is used, and why each tool was chosen
    #[arg(short, long, global = true, display_order = 100)]
    pub(crate) verbose: bool,
}

/// The shop.
#[derive(Debug, Args)]
pub(crate) struct InShop {
    /// Your own shop: its folder, or its file; `-` reads shop.yaml from standard input. Otherwise
    /// `BARWRIGHT_SHOP`, shop.yaml in this folder, barwright/shop.yaml in your settings, the demo shop
    #[arg(long = "shop", value_name = "PATH", value_hint = ValueHint::AnyPath)]
    pub(crate) path: Option<PathBuf>,
}

/// The shop and the control that is spoken to.
#[derive(Debug, Args)]
pub(crate) struct Place {
    /// The shop.
    #[command(flatten)]
    pub(crate) shop: InShop,
    /// Another control profile of the shop's folder: `written-out` is `control-written-out.yaml`.
    /// Usually the one that the shop's file, or the record of a part, names
    #[arg(long, value_name = "NAME")]
    pub(crate) control: Option<String>,
}

/// Text for people, or JSON for programs.
#[derive(Clone, Copy, Debug, Args)]
pub(crate) struct Form {
    /// As JSON on standard output, whatever the verdict
    #[arg(long)]
    pub(crate) json: bool,
}

/// The commands.
#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Make one variant: its record, drawing and program
    #[command(after_help = help::MAKE)]
    Make(Box<Make>),
    /// Judge the readings of a first piece: what to correct, and what no offset mends
    #[command(after_help = help::ADJUST)]
    Adjust(Adjust),
    /// Tell what a family asks for, what follows and what must be so
    #[command(after_help = help::EXPLAIN)]
    Explain(Explain),
    /// List the families that there are
    #[command(after_help = help::FAMILIES)]
    Families(Families),
    /// Start a family of your own: a commented file that works at once
    #[command(after_help = help::NEW)]
    New(New),
    /// Look a family file over, and try the family where it might break
    #[command(after_help = help::CHECK)]
    Check(Check),
    /// Make a table of many variants: every combination of some sizes
    #[command(after_help = help::TABLE)]
    Table(Table),
    /// The JSON Schema of family files, for your editor
    #[command(after_help = help::SCHEMA)]
    Schema,
    /// Everything that a family file can hold, and every look-up, as a page
    #[command(after_help = help::REFERENCE)]
    Reference,
    /// Read a program's text back and prove it against a part
    #[command(after_help = help::PROVE)]
    Prove(Prove),
    /// Tell whether a program or paper belongs to a part, and what differs
    #[command(after_help = help::TRACE)]
    Trace(Trace),
    /// Look up a thread, drill, fit, screw, tolerance or material
    #[command(after_help = help::STANDARD)]
    Standard(Standard),
    /// Tell the shop that is used: machine, control, tools, bars; or start one of your own
    #[command(after_help = help::SHOP)]
    Shop(ShopShown),
    /// Serve the page to this machine's browser
    #[command(after_help = help::PAGE)]
    Page(Page),
    /// The completions of a shell: what it offers when you press Tab
    #[command(after_help = help::COMPLETIONS)]
    Completions(Completions),
    /// The manual: one page for all, and one for each command
    #[command(after_help = help::MANUAL)]
    Manual(Manual),
}

impl Command {
    /// Whether JSON was asked for.
    pub(crate) fn json(&self) -> bool {
        match self {
            Self::Make(make) => make.json,
            Self::Table(Table { json, .. }) | Self::Standard(Standard { json, .. }) => *json,
            Self::Adjust(Adjust { form, .. })
            | Self::Explain(Explain { form, .. })
            | Self::Families(Families { form, .. })
            | Self::Check(Check { form, .. })
            | Self::Prove(Prove { form, .. })
            | Self::Shop(ShopShown { form, .. })
            | Self::New(New { form, .. })
            | Self::Page(Page { form, .. })
            | Self::Trace(Trace { form, .. }) => form.json,
            // A page, a script, or JSON whatever is asked.
            Self::Schema | Self::Reference | Self::Completions(_) | Self::Manual(_) => false,
        }
    }

    /// Whether the text of a good end is a report of what was done; of the others it is what was
    /// asked for.
    pub(crate) fn reports(&self) -> bool {
        let to_file = |output: &Option<PathBuf>| output.as_ref().is_some_and(|path| path.as_os_str() != "-");
        match self {
            Self::Make(_) | Self::Check(_) | Self::Prove(_) | Self::Trace(_) => !self.json(),
            Self::New(new) => !self.json() && new.output.as_ref().is_none_or(|path| path.as_os_str() != "-"),
            Self::Table(table) => to_file(&table.output),
            Self::Manual(manual) => manual.output.is_some(),
            Self::Shop(shown) => !self.json() && shown.start.is_some(),
            Self::Adjust(_)
            | Self::Explain(_)
            | Self::Families(_)
            | Self::Schema
            | Self::Reference
            | Self::Standard(_)
            | Self::Page(_)
            | Self::Completions(_) => false,
        }
    }

    /// The shop that is asked for, where the command looks at one.
    pub(crate) fn shop(&self) -> Option<&InShop> {
        match self {
            Self::Make(make) => Some(&make.place.shop),
            Self::Adjust(Adjust { place, .. })
            | Self::Prove(Prove { place, .. })
            | Self::Shop(ShopShown { place, .. })
            | Self::Trace(Trace { place, .. }) => Some(&place.shop),
            Self::Check(Check { shop, .. }) | Self::Table(Table { shop, .. }) => Some(shop),
            Self::Explain(_)
            | Self::Families(_)
            | Self::New(_)
            | Self::Schema
            | Self::Reference
            | Self::Standard(_)
            | Self::Page(_)
            | Self::Completions(_)
            | Self::Manual(_) => None,
        }
    }
}

/// The completions of a shell.
#[derive(Debug, Args)]
pub(crate) struct Completions {
    /// The shell
    pub(crate) shell: clap_complete::Shell,
}

/// The manual.
#[derive(Debug, Args)]
pub(crate) struct Manual {
    /// The command; the page for all where none is named
    pub(crate) command: Option<String>,
    /// Write every page into this folder: `barwright.1`, `barwright-make.1` …
    #[arg(short, long, value_name = "FOLDER", conflicts_with = "command", value_hint = ValueHint::DirPath)]
    pub(crate) output: Option<PathBuf>,
}

/// Make one variant.
#[derive(Debug, Args)]
#[expect(clippy::struct_excessive_bools, reason = "each is a switch of the command line")]
pub(crate) struct Make {
    /// The family: its name, the path of its file, or `-` for standard input
    pub(crate) family: String,
    /// Sizes as `name=value`: `slot_opening='3/8 in'`, `screw=M6`
    #[arg(value_name = "NAME=VALUE")]
    pub(crate) sizes: Vec<String>,
    /// Folder for the files; usually `out/` and the part number
    #[arg(short, long, value_name = "FOLDER")]
    pub(crate) output: Option<PathBuf>,
    /// Unit of bare numbers and of the drawing
    #[arg(long, value_name = "UNIT")]
    pub(crate) unit: Option<UnitName>,
    /// Start from one of the family's examples
    #[arg(long, value_name = "EXAMPLE")]
    pub(crate) like: Option<String>,
    /// Shop and control.
    #[command(flatten)]
    pub(crate) place: Place,
    /// Convention of the drawing; usually ISO for millimetres and ASME for inches
    #[arg(long, value_name = "CONVENTION")]
    pub(crate) drawing: Option<Convention>,
    /// Paper of the drawing; usually A4 for ISO and Letter for ASME
    #[arg(long, value_name = "PAPER", ignore_case = true)]
    pub(crate) paper: Option<PaperName>,
    /// Revision on drawing and program
    #[arg(long, default_value = "A", value_name = "LETTER")]
    pub(crate) revision: String,
    /// Date on drawing and papers, as ISO 8601 writes it; none where none is given
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = date)]
    pub(crate) date: Option<String>,
    /// Who stands for the drawing
    #[arg(long, value_name = "NAME")]
    pub(crate) drawn_by: Option<String>,
    /// Title on drawing and program, instead of the family's
    #[arg(long, value_name = "TEXT")]
    pub(crate) title: Option<String>,
    /// Write the drawing as a picture too, at so many dots per inch; usually 254, which is 10 to
    /// the millimetre
    #[cfg(feature = "png")]
    #[arg(
        long,
        value_name = "DPI",
        num_args = 0..=1,
        require_equals = true,
        default_missing_value = "254",
        value_parser = clap::value_parser!(u32).range(50..=1200)
    )]
    pub(crate) png: Option<u32>,
    /// Make every row of a list: a table whose first line names sizes, and perhaps quantity, title,
    /// unit and like
    #[arg(long, value_name = "ORDERS.CSV")]
    pub(crate) list: Option<PathBuf>,
    /// How many rows of a list are made at once; usually as many as there are cores
    #[arg(long, value_name = "COUNT", requires = "list")]
    pub(crate) jobs: Option<usize>,
    /// Print the record, or the report of a list, as JSON instead of the summary
    #[arg(long)]
    pub(crate) json: bool,
    /// Derive, judge, plan and prove, write nothing
    #[arg(long)]
    pub(crate) dry: bool,
    /// Make so many: cut list, loads, times, route card, hardware and label beside the rest;
    /// `quantity=50` among the sizes does the same
    #[arg(long, value_name = "N", conflicts_with = "list")]
    pub(crate) quantity: Option<String>,
    /// So many beyond the quantity, for setting up and for mishaps
    #[arg(long, value_name = "N", conflicts_with = "list")]
    pub(crate) spares: Option<String>,
    /// So many pieces on the table at a time, in place of the quickest way
    #[arg(long, value_name = "N")]
    pub(crate) load: Option<String>,
    /// Write the packet of papers for one piece; with a quantity it is always written
    #[arg(long)]
    pub(crate) packet: bool,
    /// One run of the programs for one piece as it was timed: the packet compares
    #[arg(long, value_name = "TIME")]
    pub(crate) timed: Option<String>,
    /// Give a program out even if it does not prove; it and its papers say UNPROVED
    #[arg(long)]
    pub(crate) unproved: bool,
}

/// Judge the readings of a first piece.
#[derive(Debug, Args)]
pub(crate) struct Adjust {
    /// The record of the part, or the folder that it is in
    pub(crate) part: PathBuf,
    /// Readings as `name=value`: `tongue_width=8.06`, `screw_holes.go=no`; more than once for a
    /// size that was read in several places. `time='17.5 min'` is one run of the program
    #[arg(value_name = "NAME=VALUE", required = true)]
    pub(crate) readings: Vec<String>,
    /// Write the packet here with every program corrected and proved again, and the readings as a
    /// table
    #[arg(short, long, value_name = "FOLDER")]
    pub(crate) output: Option<PathBuf>,
    /// Revision on the corrected packet; usually the one that it had
    #[arg(long, value_name = "LETTER")]
    pub(crate) revision: Option<String>,
    /// Shop and control.
    #[command(flatten)]
    pub(crate) place: Place,
    /// For programs.
    #[command(flatten)]
    pub(crate) form: Form,
}

/// Tell what a family asks for.
#[derive(Debug, Args)]
pub(crate) struct Explain {
    /// The family: its name, the path of its file, or `-` for standard input
    pub(crate) family: String,
    /// For programs.
    #[command(flatten)]
    pub(crate) form: Form,
}

/// List the families.
#[derive(Debug, Args)]
pub(crate) struct Families {
    /// For programs.
    #[command(flatten)]
    pub(crate) form: Form,
}

/// Start a family.
#[derive(Debug, Args)]
pub(crate) struct New {
    /// Its name: small letters, digits and `-`, such as stop-block
    pub(crate) name: String,
    /// The file to write; usually the name with `.yaml`; `-` writes to standard output
    #[arg(short, long, value_name = "FILE")]
    pub(crate) output: Option<PathBuf>,
    /// How it is told.
    #[command(flatten)]
    pub(crate) form: Form,
}

/// Check families.
#[derive(Debug, Args)]
pub(crate) struct Check {
    /// Family files, or names of built-in families; `-` reads standard input
    #[arg(required = true, value_name = "FILE")]
    pub(crate) files: Vec<String>,
    /// How many sets of sizes to try
    #[arg(long, value_name = "COUNT", default_value = "3000", value_parser = tries)]
    pub(crate) tries: usize,
    /// The shop.
    #[command(flatten)]
    pub(crate) shop: InShop,
    /// For programs.
    #[command(flatten)]
    pub(crate) form: Form,
}

fn date(text: &str) -> Result<String, String> {
    read_date(text).map(|_| text.to_owned()).map_err(|error| error.to_string())
}

fn tries(text: &str) -> Result<usize, String> {
    text.parse().ok().filter(|count| *count <= 1_000_000).ok_or_else(|| "a whole number up to a million".to_owned())
}

/// Make a table of variants.
#[derive(Debug, Args)]
pub(crate) struct Table {
    /// The family: its name, the path of its file, or `-` for standard input
    pub(crate) family: String,
    /// Sizes that stay the same, as `name=value`
    #[arg(value_name = "NAME=VALUE")]
    pub(crate) sizes: Vec<String>,
    /// A size that varies: `length=20mm..60mm/5mm`, or `screw=M4,M5,M6`
    #[arg(long, required = true, value_name = "NAME=VALUES")]
    pub(crate) vary: Vec<String>,
    /// Start from one of the family's examples
    #[arg(long, value_name = "EXAMPLE")]
    pub(crate) like: Option<String>,
    /// Unit of bare numbers and of the table
    #[arg(long, value_name = "UNIT")]
    pub(crate) unit: Option<UnitName>,
    /// Every derived value, not only those that the shape is made of
    #[arg(long)]
    pub(crate) all: bool,
    /// The shop.
    #[command(flatten)]
    pub(crate) shop: InShop,
    /// A line of JSON for each variant, instead of CSV
    #[arg(long)]
    pub(crate) json: bool,
    /// One drawing for all variants that hold, with letters and a table: a .pdf or .svg
    #[arg(long, value_name = "FILE")]
    pub(crate) drawing: Option<PathBuf>,
    /// The file to write; usually, and with `-`, standard output
    #[arg(short, long, value_name = "FILE")]
    pub(crate) output: Option<PathBuf>,
}

/// Prove a program, edited by hand or not.
#[derive(Debug, Args)]
pub(crate) struct Prove {
    /// The program; `-` reads standard input
    pub(crate) program: PathBuf,
    /// The record of the part
    #[arg(long, value_name = "PART.JSON")]
    pub(crate) part: PathBuf,
    /// Which of the part's setups the program is for; usually the one that its header names
    #[arg(long, value_name = "N")]
    pub(crate) setup: Option<u32>,
    /// Shop and control.
    #[command(flatten)]
    pub(crate) place: Place,
    /// For programs.
    #[command(flatten)]
    pub(crate) form: Form,
}

/// `shop`
#[derive(Debug, Args)]
pub(crate) struct ShopShown {
    /// Which shop.
    #[command(flatten)]
    pub(crate) place: Place,
    /// How it is told.
    #[command(flatten)]
    pub(crate) form: Form,
    /// Copy the demo shop into a new folder, for you to edit
    #[arg(long, value_name = "FOLDER", value_hint = ValueHint::DirPath, conflicts_with_all = ["path", "control"])]
    pub(crate) start: Option<PathBuf>,
}

/// Serve the page.
#[derive(Debug, Args)]
pub(crate) struct Page {
    /// The port; any free one where none is given
    #[arg(long, default_value_t = 0, value_name = "PORT", hide_default_value = true)]
    pub(crate) port: u16,
    /// How it is told.
    #[command(flatten)]
    pub(crate) form: Form,
}

/// Tell whether a file belongs to a part.
#[derive(Debug, Args)]
pub(crate) struct Trace {
    /// A program, drawing, table or packet; `-` reads standard input
    pub(crate) file: PathBuf,
    /// The record of the part, or its folder; usually the part.json beside the file
    #[arg(long, value_name = "PART.JSON")]
    pub(crate) part: Option<PathBuf>,
    /// Shop and control.
    #[command(flatten)]
    pub(crate) place: Place,
    /// For programs.
    #[command(flatten)]
    pub(crate) form: Form,
}

/// Look something up.
#[derive(Debug, Args)]
pub(crate) struct Standard {
    /// thread, drill, fit, screw, tolerance or material
    pub(crate) kind: String,
    /// As it is called: `M5`, `1/4-20`, `#7`, `25 H7/g6`, `M5 set`, `ISO 2768-m`, `brass`
    #[arg(required = true)]
    pub(crate) name: Vec<String>,
    /// As JSON, with plain names and millimetres
    #[arg(long)]
    pub(crate) json: bool,
}

/// A unit on the command line.
#[derive(Clone, Copy, Debug, ValueEnum)]
pub(crate) enum UnitName {
    /// Millimetres
    Mm,
    /// Inches
    In,
}

/// A convention of drawing on the command line.
#[derive(Clone, Copy, Debug, ValueEnum)]
pub(crate) enum Convention {
    /// First angle, ISO
    Iso,
    /// Third angle, ASME
    Asme,
}

/// A paper on the command line.
#[derive(Clone, Copy, Debug, ValueEnum)]
pub(crate) enum PaperName {
    /// 297 × 210 mm
    A4,
    /// 420 × 297 mm
    A3,
    /// 11 × 8.5 in
    Letter,
    /// 17 × 11 in
    Tabloid,
}

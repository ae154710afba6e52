//! The words of the command line.

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand, ValueEnum};

/// From a few sizes to a part's drawing and program.
///
/// A family of parts is written once; give it sizes and it makes the drawing, the program and
/// the record of one variant, or says why the part would be bad and what would work.
#[derive(Debug, Parser)]
#[command(name = "barwright", version, after_help = EXAMPLES)]
pub(crate) struct Arguments {
    /// What to do.
    #[command(subcommand)]
    pub(crate) command: Command,
}

const EXAMPLES: &str = "\
Examples:
  barwright make joining-key
  barwright make joining-key slot_opening='3/8 in' screw=10-32 --unit in -o key
  barwright make joining-key --like warping-frame-inch
  barwright make joining-key quantity=50 spares=4
  barwright adjust key tongue_width=10.03 screw_holes.go=no
  barwright explain joining-key
  barwright prove program-1.nc --part part.json
  barwright standard thread 1/4-20
  barwright page

Exit codes: 0 made or proved, 1 refused or a file is wrong, 2 the command line is wrong,
3 the machine failed (disk, folder).

Programs move real cutters. Wear eye protection, keep guards closed, run above the
part first and the first piece in single steps. The machine's manual, local codes
and a qualified person come first.";

/// The commands.
#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Make one variant: its record, drawing and program
    Make(Make),
    /// Judge the readings of a first piece: what to correct, and what no offset mends
    Adjust(Adjust),
    /// Tell what a family asks for, what follows and what must be so
    Explain(Explain),
    /// List the families that there are
    Families(Families),
    /// Start a family of your own: a commented file that works at once
    New(New),
    /// Look a family file over, and try the family where it might break
    Check(Check),
    /// Make a table of many variants: every combination of some sizes
    Table(Table),
    /// The JSON Schema of family files, for your editor
    Schema,
    /// Everything that a family file can hold, and every look-up, as a page
    Reference,
    /// Read a program's text back and prove it against a part
    Prove(Prove),
    /// Tell whether a program or paper belongs to a part, and what differs
    Trace(Trace),
    /// Look up a thread, drill, fit, screw, tolerance or material
    Standard(Standard),
    /// Serve the page to this machine's browser
    Page(Page),
}

/// Make one variant.
#[derive(Debug, Args)]
#[expect(clippy::struct_excessive_bools, reason = "each is a switch of the command line")]
pub(crate) struct Make {
    /// The family: its name, or the path of its file
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
    /// Your own shop: its folder, or its file; usually the demo shop
    #[arg(long, value_name = "PATH")]
    pub(crate) shop: Option<PathBuf>,
    /// Another control profile of the shop's folder: `written-out` is `control-written-out.yaml`
    #[arg(long, value_name = "NAME")]
    pub(crate) control: Option<String>,
    /// Convention of the drawing; usually ISO for millimetres and ASME for inches
    #[arg(long, value_name = "CONVENTION")]
    pub(crate) drawing: Option<Convention>,
    /// Paper of the drawing; usually A4 for ISO and Letter for ASME
    #[arg(long, value_name = "PAPER", ignore_case = true)]
    pub(crate) paper: Option<PaperName>,
    /// Revision on drawing and program
    #[arg(long, default_value = "A", value_name = "LETTER")]
    pub(crate) revision: String,
    /// Date on the drawing; none where none is given
    #[arg(long, value_name = "DATE")]
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
    /// Write the corrected program here, proved again, with the readings as a table
    #[arg(short, long, value_name = "FOLDER")]
    pub(crate) output: Option<PathBuf>,
    /// Revision on the corrected program
    #[arg(long, default_value = "A", value_name = "LETTER")]
    pub(crate) revision: String,
    /// Your own shop: its folder, or its file; usually the demo shop
    #[arg(long, value_name = "PATH")]
    pub(crate) shop: Option<PathBuf>,
    /// Another control profile of the shop's folder; usually the one that the record names
    #[arg(long, value_name = "NAME")]
    pub(crate) control: Option<String>,
    /// As JSON
    #[arg(long)]
    pub(crate) json: bool,
}

/// Tell what a family asks for.
#[derive(Debug, Args)]
pub(crate) struct Explain {
    /// The family: its name, or the path of its file
    pub(crate) family: String,
    /// As JSON
    #[arg(long)]
    pub(crate) json: bool,
}

/// List the families.
#[derive(Debug, Args)]
pub(crate) struct Families {
    /// As JSON
    #[arg(long)]
    pub(crate) json: bool,
}

/// Start a family.
#[derive(Debug, Args)]
pub(crate) struct New {
    /// Its name: small letters, digits and `-`, such as clamp-bar
    pub(crate) name: String,
    /// The file to write; usually the name with `.yaml`; `-` writes to standard output
    #[arg(short, long, value_name = "FILE")]
    pub(crate) output: Option<PathBuf>,
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
    /// Your own shop: its folder, or its file; usually the demo shop
    #[arg(long, value_name = "PATH")]
    pub(crate) shop: Option<PathBuf>,
    /// As JSON
    #[arg(long)]
    pub(crate) json: bool,
}

fn tries(text: &str) -> Result<usize, String> {
    text.parse().ok().filter(|count| *count <= 1_000_000).ok_or_else(|| "a whole number up to a million".to_owned())
}

/// Make a table of variants.
#[derive(Debug, Args)]
pub(crate) struct Table {
    /// The family: its name, or the path of its file
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
    /// Your own shop: its folder, or its file; usually the demo shop
    #[arg(long, value_name = "PATH")]
    pub(crate) shop: Option<PathBuf>,
    /// A line of JSON for each variant, instead of CSV
    #[arg(long)]
    pub(crate) json: bool,
    /// One drawing for all variants that hold, with letters and a table: a .pdf or .svg
    #[arg(long, value_name = "FILE")]
    pub(crate) drawing: Option<PathBuf>,
    /// The file to write; usually standard output
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
    /// Your own shop: its folder, or its file; usually the demo shop
    #[arg(long, value_name = "PATH")]
    pub(crate) shop: Option<PathBuf>,
    /// Another control profile of the shop's folder; usually the one that the record names
    #[arg(long, value_name = "NAME")]
    pub(crate) control: Option<String>,
    /// As JSON
    #[arg(long)]
    pub(crate) json: bool,
}

/// Serve the page.
#[derive(Debug, Args)]
pub(crate) struct Page {
    /// The port; any free one where none is given
    #[arg(long, default_value_t = 0, value_name = "PORT", hide_default_value = true)]
    pub(crate) port: u16,
}

/// Tell whether a file belongs to a part.
#[derive(Debug, Args)]
pub(crate) struct Trace {
    /// A program, drawing, table or packet
    pub(crate) file: PathBuf,
    /// The record of the part, or its folder; usually the part.json beside the file
    #[arg(long, value_name = "PART.JSON")]
    pub(crate) part: Option<PathBuf>,
    /// Your own shop: its folder, or its file; usually the demo shop
    #[arg(long, value_name = "PATH")]
    pub(crate) shop: Option<PathBuf>,
    /// Another control profile of the shop's folder; usually the one that the record names
    #[arg(long, value_name = "NAME")]
    pub(crate) control: Option<String>,
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

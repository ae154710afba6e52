//! From a family of parts and a few sizes to everything the bench needs.
//!
//! The pipeline, one function a step, each from finished goods to finished goods:
//!
//! 1. [`family::load`] reads a family file and checks every formula of it, units and all.
//! 2. [`shop::load`] reads the user's own machine, control, tools, stock and vise.
//! 3. [`variant::derive`] gives the family its sizes: every value with its reason, every rule with
//!    its verdict, the nearest sizes that work where one refuses, and the finished [`part::Part`].
//! 4. [`drawing::lay_out`] places the part on a sheet, [`drawing::svg::write`] writes the sheet.
//! 5. [`plan::plan`] chooses tools, speeds and ways; [`program::emit`] writes them in the words of
//!    a control.
//! 6. [`proof::prove`] reads the program's own text back, knowing nothing of plan or writer, and
//!    measures the piece that its motion makes.
//! 7. [`record::Record`] keeps what was asked, derived, judged, planned and proved.
//!
//! [`job::make`] strings these together; [`trial::try_out`] tries a family, and [`many`] reads grids and
//! lists of variants. Nothing here opens a file, reads a clock, draws a random
//! number or keeps a global: text and values in, text and values out, the same bytes everywhere.
//!
//! Inside, lengths are millimetres, angles radians, forces newtons. A part's axes are told in
//! [`part`]; an inch is 25.4 mm exactly.

pub mod batch;
pub mod diag;
pub mod drawing;
pub mod family;
pub mod formula;
pub mod geom;
pub mod job;
pub mod many;
pub mod packet;
pub mod part;
pub mod plan;
pub mod program;
pub mod proof;
pub mod quantity;
pub mod record;
pub mod shop;
pub mod source;
pub mod standards;
pub mod trial;
pub mod variant;
pub mod yaml;

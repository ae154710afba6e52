//! Barwright in a web page: the core behind a few functions that speak JSON.
//!
//! In come texts: families, shops, sizes as people type them. Out go JSON texts and the bytes of
//! files, the same bytes that the command line writes. This crate never reaches the network, a
//! clock or the page itself; the scripts in `page/` do that.
//!
//! A page has one [`Desk`]. Nothing of an earlier variant is left on it once a later one was asked
//! for: where that is refused there is no drawing, no program and no file to be had.

#[cfg(feature = "page")]
mod archive;
mod desk;
#[cfg(feature = "page")]
#[path = "../../cli/src/embedded.rs"]
mod embedded;
/// The same as JSON, made by the build script.
#[cfg(not(feature = "page"))]
mod embedded {
    include!(concat!(env!("OUT_DIR"), "/embedded.rs"));
}
#[cfg(feature = "page")]
mod files;
#[cfg(feature = "page")]
mod links;
#[cfg(feature = "orders")]
mod order;
mod tell;

pub use desk::Desk as Bench;

use wasm_bindgen::prelude::wasm_bindgen;

/// What a page works at: one family, one shop, one variant.
#[wasm_bindgen]
#[derive(Debug, Default)]
pub struct Desk {
    bench: desk::Desk,
}

#[wasm_bindgen]
impl Desk {
    /// A desk with the demo shop and no family on it.
    #[wasm_bindgen(constructor)]
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// Takes a family: one that is built in, or the text of a file. JSON:
    /// `{family: {…} or null, findings: […]}`; a family that is refused leaves none on the desk.
    #[wasm_bindgen(js_name = openFamily)]
    pub fn open_family(&mut self, name: &str, text: Option<String>) -> String {
        self.bench.open_family(name, text).to_string()
    }

    /// Makes a variant from an order in JSON: `{unit: "mm", "in" or null, like, sizes: {name: text}}`.
    /// JSON: values, rules, findings, remedies and, where nothing refuses it, the goods.
    pub fn make(&mut self, order: &str) -> String {
        self.bench.make(order)
    }
}

/// What only a whole page asks for.
#[cfg(feature = "page")]
#[wasm_bindgen]
impl Desk {
    /// The families that are built in, as JSON: `[{name, title, about}]`.
    #[must_use]
    pub fn families(&self) -> String {
        desk::Desk::families().to_string()
    }

    /// Takes a shop: files by name as a JSON object, laid over those of the demo shop, and the name
    /// of a control profile. JSON: `{shop: {…} or null, findings: […]}`; a shop that is refused
    /// leaves the one before it.
    #[expect(clippy::needless_pass_by_value, reason = "an optional text comes over from JavaScript by value")]
    #[wasm_bindgen(js_name = openShop)]
    pub fn open_shop(&mut self, files: Option<String>, control: Option<String>) -> String {
        self.bench.open_shop(files.as_deref(), control.as_deref()).to_string()
    }

    /// The moves of a run, seventeen numbers each: line, flags (1 rapid, 2 arc, 4 canned cycle),
    /// tool, start and end in seconds, from X Y Z, to X Y Z, then of an arc its plane (0 XY, 1 ZX,
    /// 2 YZ), centre, radius, start and sweep. Lengths are millimetres, angles radians.
    #[must_use]
    pub fn motions(&self, run: usize) -> Vec<f64> {
        self.bench.motions(run)
    }

    /// The names of the variant's files, as JSON; an empty list where it is refused.
    #[must_use]
    pub fn files(&self) -> String {
        self.bench.file_names().to_string()
    }

    /// The bytes of one of the variant's files, the same as the command line writes.
    #[must_use]
    pub fn file(&self, name: &str) -> Option<Vec<u8>> {
        self.bench.file(name)
    }

    /// All of the variant's files in one archive.
    #[must_use]
    pub fn archive(&self) -> Option<Vec<u8>> {
        self.bench.archive()
    }
}

/// What orders ask for; a page fetches it when the first is asked for.
#[cfg(feature = "orders")]
#[wasm_bindgen]
impl Desk {
    /// Works out an order of the last variant: pieces and spares, as typed. JSON:
    /// `{findings: […], files: [names]}`; an order that is refused leaves no files.
    pub fn order(&mut self, quantity: &str, spares: &str) -> String {
        self.bench.order(quantity, spares).to_string()
    }

    /// The bytes of one of the order's files, the same as the command line writes.
    #[must_use]
    #[wasm_bindgen(js_name = orderFile)]
    pub fn order_file(&self, name: &str) -> Option<Vec<u8>> {
        self.bench.order_file(name)
    }

    /// All of the order's files in one archive.
    #[must_use]
    #[wasm_bindgen(js_name = orderArchive)]
    pub fn order_archive(&self) -> Option<Vec<u8>> {
        self.bench.order_archive()
    }
}

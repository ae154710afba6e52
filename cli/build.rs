//! Puts the built page into the program, where it was built: see `web/build`.

use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::{env, fs};

fn main() {
    // A package brings the page along in a folder of its own; in the house it lies where it is built.
    // The whole folder is watched, so that a page built later is noticed.
    let (own, built) = (Path::new("page"), Path::new("../web/dist"));
    let (page_folder, watched) = if own.is_dir() { (own, "page") } else { (built, "../web") };
    if Path::new(watched).exists() {
        println!("cargo::rerun-if-changed={watched}");
    }
    println!("cargo::rerun-if-changed=build.rs");
    let mut text = String::from("&[\n");
    for file in page(page_folder) {
        let name = file.file_name().unwrap_or_default().to_string_lossy().into_owned();
        let Ok(whole) = file.canonicalize() else { continue };
        let _infallible = writeln!(text, "    ({name:?}, include_bytes!({:?})),", whole.to_string_lossy());
    }
    text.push_str("]\n");
    let out = PathBuf::from(env::var_os("OUT_DIR").unwrap_or_default());
    fs::write(out.join("page.rs"), text).unwrap_or_else(|error| panic!("cannot write the list of the page: {error}"));
}

/// The files of the built page by name; none where it was not built.
fn page(folder: &Path) -> Vec<PathBuf> {
    let Ok(listing) = fs::read_dir(folder) else { return Vec::new() };
    let mut files: Vec<PathBuf> =
        listing.filter_map(Result::ok).map(|item| item.path()).filter(|path| path.is_file()).collect();
    files.sort();
    files
}

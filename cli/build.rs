//! Puts the built page into the program, where it was built: see `web/build`.

use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::{env, fs};

fn main() {
    // A package brings what was built along as `page`; in the house it lies where it is built.
    // The whole folder is watched, so that a page built later is noticed.
    let web = if Path::new("page").is_dir() { Path::new("page") } else { Path::new("../web") };
    println!("cargo::rerun-if-changed=build.rs");
    if web.exists() {
        println!("cargo::rerun-if-changed={}", web.display());
    }
    let mut text = String::from("&[\n");
    // The page; beside it the element, of which the page has some files already; and the example shop
    // that embeds it, in a folder of its own.
    let mut files: Vec<(String, PathBuf)> = Vec::new();
    for (folder, under) in [("dist", ""), ("part", ""), ("part/example", "shop/")] {
        for file in listed(&web.join(folder)) {
            let name = format!("{under}{}", file.file_name().unwrap_or_default().to_string_lossy());
            match files.iter().find(|(known, _)| *known == name) {
                // Of two files with one name only one could be served.
                Some((_, known)) => assert!(
                    fs::read(known).ok() == fs::read(&file).ok(),
                    "page and element have each a {name} of their own"
                ),
                None => files.push((name, file)),
            }
        }
    }
    for (name, file) in files {
        let Ok(whole) = file.canonicalize() else { continue };
        let _infallible = writeln!(text, "    ({name:?}, include_bytes!({:?})),", whole.to_string_lossy());
    }
    text.push_str("]\n");
    let out = PathBuf::from(env::var_os("OUT_DIR").unwrap_or_default());
    fs::write(out.join("page.rs"), text).unwrap_or_else(|error| panic!("cannot write the list of the page: {error}"));
}

/// The files of a built folder in order of their names; none where it was not built.
fn listed(folder: &Path) -> Vec<PathBuf> {
    let Ok(listing) = fs::read_dir(folder) else { return Vec::new() };
    let mut files: Vec<PathBuf> =
        listing.filter_map(Result::ok).map(|item| item.path()).filter(|path| path.is_file()).collect();
    files.sort();
    files
}

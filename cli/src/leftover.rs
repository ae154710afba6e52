//! What earlier lists left in the folder of a list: it would be taken for this one's.

use std::fs;
use std::path::Path;

use barwright_core::many;
use barwright_core::record::FORMAT;
use serde_json::Value;

use crate::{files, save};

/// Folders in the folder of a list that are packets and of no row of it.
#[derive(Debug, Default)]
pub(crate) struct Leftover {
    /// Those of the list before, which are cleared away.
    pub(crate) cleared: Vec<String>,
    /// Those that stay, since nothing tells that a list made them.
    pub(crate) others: Vec<String>,
}

/// The folders that the report of the list before names.
pub(crate) fn named(report: &Path) -> Vec<String> {
    let text = files::text_of(report).unwrap_or_default();
    let mut rows = many::parse(&text).unwrap_or_default().into_iter();
    let column = rows.next().and_then(|(_, header)| header.iter().position(|name| name == "folder"));
    let Some(column) = column else { return Vec::new() };
    rows.filter_map(|(_, cells)| cells.get(column).filter(|name| is_numbered(name)).cloned()).collect()
}

/// Whether a name is one that a list gives to the folder of a row: its number, a dash, the part's.
fn is_numbered(name: &str) -> bool {
    let fits = |sign: char| sign.is_ascii_alphanumeric() || matches!(sign, '.' | '_' | '-');
    let parts = name.split_once('-');
    name.chars().all(fits)
        && parts.is_some_and(|(number, part)| {
            number.len() > 1 && number.bytes().all(|byte| byte.is_ascii_digit()) && !part.is_empty()
        })
}

/// Looks for packets in numbered folders that are not `made` now, and clears away those of the list
/// `before`.
pub(crate) fn sweep(folder: &Path, made: &[&str], before: &[String]) -> Leftover {
    let mut left = Leftover::default();
    let listing = fs::read_dir(folder).into_iter().flatten().filter_map(Result::ok);
    // A link is a folder of others.
    let folders = listing.filter(|item| item.file_type().is_ok_and(|kind| kind.is_dir()));
    let mut names: Vec<String> = folders.filter_map(|item| item.file_name().into_string().ok()).collect();
    names.sort();
    for name in names.into_iter().filter(|name| is_numbered(name) && !made.contains(&name.as_str())) {
        let place = folder.join(&name);
        if !is_packet(&place) {
            continue;
        }
        if before.contains(&name) && save::clear_packet(&place) {
            left.cleared.push(name);
        } else {
            left.others.push(name);
        }
    }
    left
}

/// Whether a folder holds the record of a part.
fn is_packet(folder: &Path) -> bool {
    let text = files::text_of(&folder.join("part.json")).unwrap_or_default();
    serde_json::from_str::<Value>(&text).is_ok_and(|record| record["format"] == FORMAT)
}

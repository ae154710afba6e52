//! Reading families, shops and records: built in, from files, from standard input.

use std::collections::BTreeMap;
use std::io::{self, ErrorKind, Read};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, Ordering};
use std::{env, fs};

use barwright_core::diag::nearest;
use barwright_core::family::{self, Family};
use barwright_core::shop::{self, Shop};
use barwright_core::source::Source;

use crate::args::InShop;
use crate::{Failure, embedded, report};

/// The largest file that is read, in bytes; the core has its own, lower limit.
const LARGEST: u64 = 4 * 1024 * 1024;

/// The family of this name among those built in, or from a file at this path.
pub(crate) fn family(name: &str) -> Result<Family, Failure> {
    let source = family_source(name)?;
    family::load(&source).into_result().map_err(|findings| Failure::Refused(report::of_sources(&findings, &[&source])))
}

/// The text of a family: built in, from a file, or from standard input for `-`.
pub(crate) fn family_source(name: &str) -> Result<Source, Failure> {
    if name == "-" {
        return Ok(Source::new("standard input", text_of(Path::new("-"))?));
    }
    let is_path = name.contains(['/', '\\']) || has_ending(name);
    if is_path {
        return Ok(Source::new(name, text_of(Path::new(name))?));
    }
    let file = format!("{name}.yaml");
    if let Some((_, text)) = embedded::FAMILIES.iter().find(|(known, _)| *known == file) {
        return Ok(Source::new(format!("families/{file}"), *text));
    }
    let known = embedded::FAMILIES.iter().map(|(file, _)| file.trim_end_matches(".yaml"));
    let help = match nearest(name, known.clone()) {
        Some(near) => format!("Did you mean `{near}`?"),
        None => format!("Families: {}. A file of your own is given by its path.", known.collect::<Vec<_>>().join(", ")),
    };
    Err(Failure::Refused(format!("refused  There is no family `{name}`.\n  try    {help}")))
}

fn has_ending(name: &str) -> bool {
    Path::new(name)
        .extension()
        .is_some_and(|ending| ending.eq_ignore_ascii_case("yaml") || ending.eq_ignore_ascii_case("yml"))
}

/// The shop that is asked for, or else the first on the way of [`place`]; with another of its
/// control profiles if one is named.
pub(crate) fn shop(asked: &InShop, control: Option<&str>) -> Result<Shop, Failure> {
    let (files, entry) = match place(asked) {
        Place::Demo => (demo(), "shop.yaml".to_owned()),
        Place::Input => {
            let mut files = demo();
            files.insert("shop.yaml".to_owned(), Source::new("standard input", text_of(Path::new("-"))?));
            (files, "shop.yaml".to_owned())
        }
        Place::Path(path, by) => shop_files(&path, by)?,
    };
    let loaded = shop::load_with(&files, &entry, control).into_result();
    let sources: Vec<&Source> = files.values().collect();
    loaded.map(|loaded| loaded.shop).map_err(|findings| {
        // What stands in no file, such as a control that there is not, is told in words alone.
        let placed = findings.iter().any(|finding| !finding.labels.is_empty());
        let told = if placed { report::of_sources(&findings, &sources) } else { report::of_sizes(&findings) };
        Failure::Refused(told)
    })
}

fn demo() -> BTreeMap<String, Source> {
    let named = |(name, text): &(&str, &str)| {
        ((*name).to_owned(), Source::new(format!("families/shop/{name}"), (*text).to_owned()))
    };
    embedded::SHOP.iter().map(named).collect()
}

/// Where a shop comes from, in words, where a person may not know: neither named nor the demo.
pub(crate) fn found_shop(asked: &InShop) -> Option<String> {
    match place(asked) {
        Place::Path(path, by) if by != "--shop" => Some(format!("{} ({by})", path.display())),
        Place::Demo | Place::Input | Place::Path(..) => None,
    }
}

/// Where a shop comes from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Place {
    /// Built in.
    Demo,
    /// Its page from standard input, its other files those of the demo shop.
    Input,
    /// A folder or file, and who named it.
    Path(PathBuf, &'static str),
}

/// The way on which a shop is looked for: the first that there is, is taken.
///
/// 1. `--shop`; 2. the variable `BARWRIGHT_SHOP`; 3. `shop.yaml` in the folder where the program is
///    run; 4. `barwright/shop.yaml` in the person's folder of settings; 5. the demo shop.
pub(crate) fn place(asked: &InShop) -> Place {
    if let Some(path) = &asked.path {
        let input = path.as_os_str() == "-";
        return if input { Place::Input } else { Place::Path(path.clone(), "--shop") };
    }
    let variable = |name: &str| env::var_os(name).filter(|value| !value.is_empty()).map(PathBuf::from);
    if let Some(path) = variable("BARWRIGHT_SHOP") {
        return Place::Path(path, "BARWRIGHT_SHOP");
    }
    let here = PathBuf::from("shop.yaml");
    if here.is_file() {
        return Place::Path(here, "this folder");
    }
    let settings = variable("XDG_CONFIG_HOME")
        .or_else(|| variable("APPDATA"))
        .or_else(|| variable("HOME").map(|home| home.join(".config")));
    match settings.map(|folder| folder.join("barwright").join("shop.yaml")) {
        Some(own) if own.is_file() => Place::Path(own, "your settings"),
        _ => Place::Demo,
    }
}

fn shop_files(path: &Path, by: &str) -> Result<(BTreeMap<String, Source>, String), Failure> {
    let refused = |what: String| {
        let start = "`barwright shop --start FOLDER` copies the demo shop, to edit.";
        Failure::Refused(format!("refused  {what}\n  try    {start}"))
    };
    if !path.try_exists().unwrap_or(true) {
        return Err(refused(format!("There is no shop `{}`, which {by} names.", path.display())));
    }
    let (folder, entry) = if path.is_dir() {
        (path.to_path_buf(), "shop.yaml".to_owned())
    } else {
        let entry = path.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
        (path.parent().map(Path::to_path_buf).unwrap_or_default(), entry)
    };
    let folder = if folder.as_os_str().is_empty() { PathBuf::from(".") } else { folder };
    let listing = fs::read_dir(&folder).map_err(|error| machine("read the folder", &folder, &error))?;
    let mut files = BTreeMap::new();
    for item in listing {
        let path = item.map_err(|error| machine("read the folder", &folder, &error))?.path();
        let name = path.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
        if has_ending(&name) && path.is_file() {
            files.insert(name, Source::new(path.display().to_string(), text_of(&path)?));
        }
    }
    if !files.contains_key(&entry) {
        return Err(refused(format!("The folder `{}`, which {by} names, has no file `{entry}`.", folder.display())));
    }
    Ok((files, entry))
}

/// Whether standard input was read: it can be only once.
static READ: AtomicBool = AtomicBool::new(false);

/// The bytes of a file of any kind, or of standard input for `-`.
pub(crate) fn bytes_of(path: &Path) -> Result<Vec<u8>, Failure> {
    let cannot = |error| unread(path, &error);
    let mut bytes = Vec::new();
    if path == Path::new("-") {
        if READ.swap(true, Ordering::Relaxed) {
            return Err(Failure::Refused(
                "refused  `-` stands for standard input twice.\n  try    Only one of the two can come from there."
                    .to_owned(),
            ));
        }
        io::stdin().take(LARGEST + 1).read_to_end(&mut bytes).map_err(cannot)?;
    } else {
        fs::File::open(path).map_err(cannot)?.take(LARGEST + 1).read_to_end(&mut bytes).map_err(cannot)?;
    }
    if bytes.len() as u64 > LARGEST {
        return Err(Failure::Refused(format!(
            "refused  {} is larger than {} MiB, which no file of this kind is.",
            path.display(),
            LARGEST / 1024 / 1024
        )));
    }
    Ok(bytes)
}

/// The text of a file, or of standard input for `-`.
pub(crate) fn text_of(path: &Path) -> Result<String, Failure> {
    String::from_utf8(bytes_of(path)?).map_err(|_| {
        Failure::Refused(format!("refused  {} is no text in UTF-8.\n  try    Save it as UTF-8.", path.display()))
    })
}

/// Why a file is not read: one that is not there was named wrongly, and that is no fault of the
/// machine; one that is kept from us is.
fn unread(path: &Path, error: &io::Error) -> Failure {
    let shown = path.display();
    if path.is_dir() {
        return Failure::Refused(format!("refused  `{shown}` is a folder.\n  try    Name a file in it."));
    }
    match error.kind() {
        ErrorKind::NotFound | ErrorKind::NotADirectory | ErrorKind::InvalidInput | ErrorKind::InvalidFilename => {
            Failure::Refused(format!(
                "refused  There is no file `{shown}`.\n  try    Look at its name and its folder; a path starts in the \
                 folder where the program is run."
            ))
        }
        _ => machine("read", path, error),
    }
}

/// What the machine did not do with a file, and what a person can do about it.
pub(crate) fn machine(what: &str, path: &Path, error: &io::Error) -> Failure {
    let try_this = match error.kind() {
        ErrorKind::StorageFull | ErrorKind::QuotaExceeded => "Make room on the disk.",
        ErrorKind::NotFound => "Make the folder first.",
        _ if what == "write" => "Name a place where you may write.",
        _ => "Copy it to where you may read it.",
    };
    Failure::Machine(format!("Cannot {what} {}: {}.\n  try    {try_this}", path.display(), reason(error)))
}

/// What went wrong, without the number that the system has for it and without the names of files
/// that are only ours.
fn reason(error: &io::Error) -> String {
    let words = error.to_string();
    let words = words.split(" (os error").next().unwrap_or_default();
    words.split(" at path ").next().unwrap_or_default().to_owned()
}

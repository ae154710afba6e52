//! Reading families and shops, writing results whole or not at all.

use std::collections::BTreeMap;
use std::fs;
use std::io::{Read, Write};
use std::path::{Path, PathBuf};

use barwright_core::diag::nearest;
use barwright_core::family::{self, Family};
use barwright_core::shop::{self, Shop};
use barwright_core::source::Source;

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
        return Ok(Source::new(name, text(Path::new(name))?));
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

/// The demo shop, or the shop of a folder or file; with another of its control profiles if one
/// is named.
pub(crate) fn shop(path: Option<&Path>, control: Option<&str>) -> Result<Shop, Failure> {
    let (mut files, entry) = match path {
        None => {
            let files = embedded::SHOP
                .iter()
                .map(|(name, text)| ((*name).to_owned(), Source::new(format!("families/shop/{name}"), *text)))
                .collect();
            (files, "shop.yaml".to_owned())
        }
        Some(path) => shop_files(path)?,
    };
    if let Some(control) = control {
        choose_control(&mut files, &entry, control)?;
    }
    let checked = shop::load(&files, &entry);
    let sources: Vec<&Source> = files.values().collect();
    checked.into_result().map_err(|findings| Failure::Refused(report::of_sources(&findings, &sources)))
}

/// Puts the named profile in the place of the one that the shop names.
fn choose_control(files: &mut BTreeMap<String, Source>, entry: &str, control: &str) -> Result<(), Failure> {
    let wanted = format!("control-{control}.yaml");
    if !files.contains_key(&wanted) {
        let known: Vec<&str> =
            files.keys().filter_map(|name| name.strip_prefix("control-")?.strip_suffix(".yaml")).collect();
        let help = nearest(control, known.iter().copied()).map_or_else(
            || format!("Controls of this shop: {}.", known.join(", ")),
            |near| format!("Did you mean `{near}`?"),
        );
        return Err(Failure::Refused(format!("refused  The shop has no control `{control}`.\n  try    {help}")));
    }
    if let Some(source) = files.get(entry) {
        let changed: String = source
            .text()
            .lines()
            .map(|line| if line.starts_with("control:") { format!("control: {wanted}\n") } else { format!("{line}\n") })
            .collect();
        let changed = Source::new(source.name(), changed);
        files.insert(entry.to_owned(), changed);
    }
    Ok(())
}

fn shop_files(path: &Path) -> Result<(BTreeMap<String, Source>, String), Failure> {
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
            files.insert(name, Source::new(path.display().to_string(), text(&path)?));
        }
    }
    Ok((files, entry))
}

/// The text of a file, or of standard input for `-`.
pub(crate) fn text_of(path: &Path) -> Result<String, Failure> {
    if path != Path::new("-") {
        return text(path);
    }
    let mut bytes = Vec::new();
    let mut input = std::io::stdin().take(LARGEST + 1);
    input.read_to_end(&mut bytes).map_err(|error| machine("read", path, &error))?;
    as_text(bytes, path)
}

/// The bytes of a file of any kind.
pub(crate) fn bytes_of(path: &Path) -> Result<Vec<u8>, Failure> {
    let mut file = fs::File::open(path).map_err(|error| machine("read", path, &error))?.take(LARGEST + 1);
    let mut bytes = Vec::new();
    file.read_to_end(&mut bytes).map_err(|error| machine("read", path, &error))?;
    if bytes.len() as u64 > LARGEST {
        return Err(Failure::Refused(format!("refused  {} is too large for a file of this kind.", path.display())));
    }
    Ok(bytes)
}

fn text(path: &Path) -> Result<String, Failure> {
    let mut file = fs::File::open(path).map_err(|error| machine("read", path, &error))?.take(LARGEST + 1);
    let mut bytes = Vec::new();
    file.read_to_end(&mut bytes).map_err(|error| machine("read", path, &error))?;
    as_text(bytes, path)
}

fn as_text(bytes: Vec<u8>, path: &Path) -> Result<String, Failure> {
    if bytes.len() as u64 > LARGEST {
        return Err(Failure::Refused(format!("refused  {} is too large for a file of this kind.", path.display())));
    }
    String::from_utf8(bytes).map_err(|_| {
        Failure::Refused(format!("refused  {} is no text in UTF-8.\n  try    Save it as UTF-8.", path.display()))
    })
}

/// Writes files into a folder: all of them, or none.
///
/// A folder that is not there appears whole, by one renaming. In a folder that is there, every
/// file is first written beside its place, and only when all are safe on the disk does each take
/// its place; the record comes last, as the seal of the others.
pub(crate) fn write_whole(folder: &Path, files: &[(String, Vec<u8>)]) -> Result<(), Failure> {
    let fails = |error: &std::io::Error| machine("write", folder, error);
    let parent = match folder.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent.to_path_buf(),
        _ => PathBuf::from("."),
    };
    fs::create_dir_all(&parent).map_err(|error| fails(&error))?;
    let there = folder.is_dir();
    let place = if there { folder } else { parent.as_path() };
    let aside = tempfile::Builder::new().prefix(".barwright-").tempdir_in(place).map_err(|error| fails(&error))?;
    for (name, bytes) in files {
        let mut file = fs::File::create(aside.path().join(name)).map_err(|error| fails(&error))?;
        file.write_all(bytes).and_then(|()| file.sync_all()).map_err(|error| fails(&error))?;
    }
    if there {
        for (name, _) in files {
            fs::rename(aside.path().join(name), folder.join(name)).map_err(|error| fails(&error))?;
        }
        return Ok(());
    }
    let whole = aside.keep();
    open_to_others(&whole);
    fs::rename(&whole, folder).map_err(|error| {
        // The good copy has no place; leave nothing half-made behind.
        let _gone = fs::remove_dir_all(&whole);
        fails(&error)
    })
}

/// Makes a folder, where it is not there.
pub(crate) fn create_folder(folder: &Path) -> Result<(), Failure> {
    fs::create_dir_all(folder).map_err(|error| machine("write", folder, &error))
}

/// Writes one file, whole or not at all; where `anew` is asked for, never over one that is there.
pub(crate) fn write_file(path: &Path, bytes: &[u8], anew: bool) -> Result<(), Failure> {
    let fails = |error: &std::io::Error| machine("write", path, error);
    let folder = match path.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent.to_path_buf(),
        _ => PathBuf::from("."),
    };
    let mut file =
        tempfile::Builder::new().prefix(".barwright-").tempfile_in(&folder).map_err(|error| fails(&error))?;
    file.write_all(bytes).and_then(|()| file.as_file().sync_all()).map_err(|error| fails(&error))?;
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        // Where this fails the file is still there, only for its owner.
        let _closed = fs::set_permissions(file.path(), fs::Permissions::from_mode(0o644));
    }
    let kept = if anew { file.persist_noclobber(path) } else { file.persist(path) };
    kept.map(|_| ()).map_err(|error| {
        if error.error.kind() == std::io::ErrorKind::AlreadyExists {
            let path = path.display();
            return Failure::Refused(format!(
                "refused  {path} is there already.\n  try    Another name, or `-o` with another file; nothing is written over."
            ));
        }
        fails(&error.error)
    })
}

/// A temporary folder is closed to others; a folder of results is as open as any new one.
fn open_to_others(folder: &Path) {
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        // Where this fails the files are still there, only for their owner.
        let _closed = fs::set_permissions(folder, fs::Permissions::from_mode(0o755));
    }
    #[cfg(not(unix))]
    let _ = folder;
}

fn machine(what: &str, path: &Path, error: &std::io::Error) -> Failure {
    Failure::Machine(format!("Cannot {what} {}: {error}.", path.display()))
}

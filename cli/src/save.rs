//! Writing results: whole or not at all, whenever the program is killed or the disk is full.

use std::fs;
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Duration;

use tempfile::TempDir;

use crate::Failure;
use crate::files::machine;

/// What the names of files and folders begin with that are not finished.
const UNFINISHED: &str = ".barwright-";

/// How old something unfinished is when nobody works at it any more.
const LEFT: Duration = Duration::from_hours(1);

/// The record: the last file of a packet, the seal of the others.
const SEAL: &str = "part.json";

/// Writes files into a folder: all of them, or none.
///
/// The new folder is made whole beside its place, every file safe on the disk, and takes its place
/// by one renaming. Where a folder is there, what others put into it goes along, files of the
/// packet before that this one has not are left behind, and the two folders are exchanged: at every
/// moment there is one whole packet under the name. Where that cannot be had (a system or disk
/// that cannot exchange, a folder with folders in it) the seal is broken first and comes last, so
/// that nothing half-written passes for a packet.
pub(crate) fn write_whole(folder: &Path, files: &[(String, Vec<u8>)]) -> Result<(), Failure> {
    let fails = |error: &io::Error| machine("write", folder, error);
    // A link stays, and what it points to is exchanged.
    let there = fs::canonicalize(folder).ok().filter(|folder| folder.is_dir());
    let place = there.clone().unwrap_or_else(|| folder.to_path_buf());
    let parent = parent_of(&place);
    if there.is_none() {
        fs::create_dir_all(&parent).map_err(|error| fails(&error))?;
    }
    // What an exchange left lies beside the folder, what a writing in place left lies in it.
    sweep(&parent, there.as_deref());
    if let Some(there) = &there {
        match exchanged(&parent, there, files) {
            Ok(()) => return Ok(()),
            Err(error) if cannot_exchange(&error) => {}
            Err(error) => return Err(fails(&error)),
        }
        return in_place(there, files).map_err(|error| fails(&error));
    }
    let made = unfinished(&parent).and_then(|aside| {
        fill(aside.path(), files)?;
        open_to_others(aside.path());
        fs::rename(aside.path(), &place)?;
        // It has its name now: there is nothing to clear away.
        let _named = aside.keep();
        safe(&parent);
        Ok(())
    });
    made.map_err(|error| fails(&error))
}

/// The folder that something is in.
fn parent_of(path: &Path) -> PathBuf {
    match path.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent.to_path_buf(),
        _ => PathBuf::from("."),
    }
}

fn unfinished(place: &Path) -> io::Result<TempDir> {
    tempfile::Builder::new().prefix(UNFINISHED).tempdir_in(place)
}

/// Writes files, each safe on the disk.
fn fill(folder: &Path, files: &[(String, Vec<u8>)]) -> io::Result<()> {
    for (name, bytes) in files {
        let mut file = fs::File::create(folder.join(name))?;
        file.write_all(bytes)?;
        file.sync_all()?;
    }
    safe(folder);
    Ok(())
}

/// The names of a folder are safe on the disk too; a system that cannot do that says so, and a
/// later reader has the files of before.
fn safe(folder: &Path) {
    if let Ok(folder) = fs::File::open(folder) {
        let _not_here = folder.sync_all();
    }
}

/// Whether a file is one that a packet of ours has: what a later packet of another variant leaves
/// behind would be taken for its own.
fn of_a_packet(name: &str) -> bool {
    let known = [
        "drawing.svg",
        "drawing.pdf",
        "drawing.png",
        "first-piece.csv",
        "packet.pdf",
        "cut-list.csv",
        "loads.csv",
        "times.csv",
        "route.csv",
        "hardware.csv",
        "label.txt",
        SEAL,
    ];
    let is_number = |text: &str| !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
    let between = |head: &str, end: &str| {
        let number = name.strip_prefix(head).and_then(|rest| rest.strip_suffix(end));
        number.map(|number| number.strip_suffix("-UNPROVED").unwrap_or(number))
    };
    let numbered = |head: &str, end: &str| between(head, end).is_some_and(is_number);
    let load = between("load-", ".nc").and_then(|load| load.split_once("-of-"));
    known.contains(&name)
        || numbered("program-", ".nc")
        || numbered("drawing-", ".svg")
        || numbered("probe-", ".nc")
        || load.is_some_and(|(setup, pieces)| is_number(setup) && is_number(pieces))
}

/// Makes the new folder beside the old one and exchanges the two.
fn exchanged(parent: &Path, folder: &Path, files: &[(String, Vec<u8>)]) -> io::Result<()> {
    let sealed = files.iter().any(|(name, _)| name == SEAL);
    let mut along = Vec::new();
    for item in fs::read_dir(folder)? {
        let item = item?;
        let name = item.file_name();
        let written = files.iter().any(|(new, _)| name == **new);
        let old = sealed && name.to_str().is_some_and(of_a_packet);
        let left = name.to_string_lossy().starts_with(UNFINISHED);
        if written || old || left {
            continue;
        }
        if item.file_type()?.is_dir() {
            return Err(io::ErrorKind::Unsupported.into());
        }
        along.push(item.path());
    }
    let aside = unfinished(parent)?;
    for path in along {
        // A second name for the same file: it is neither copied nor away for a moment.
        fs::hard_link(&path, aside.path().join(path.file_name().unwrap_or_default()))?;
    }
    fill(aside.path(), files)?;
    fs::set_permissions(aside.path(), fs::metadata(folder)?.permissions())?;
    exchange(aside.path(), folder)?;
    safe(parent);
    // The packet before, under the unfinished name: where it cannot be cleared away it lies there.
    let _left = aside.close();
    Ok(())
}

#[cfg(any(target_os = "linux", target_os = "android", target_vendor = "apple"))]
fn exchange(one: &Path, other: &Path) -> io::Result<()> {
    use rustix::fs::{CWD, RenameFlags, renameat_with};
    Ok(renameat_with(CWD, one, CWD, other, RenameFlags::EXCHANGE)?)
}

#[cfg(not(any(target_os = "linux", target_os = "android", target_vendor = "apple")))]
fn exchange(_: &Path, _: &Path) -> io::Result<()> {
    Err(io::ErrorKind::Unsupported.into())
}

/// Whether it is the exchange that is not to be had, not the disk that fails.
fn cannot_exchange(error: &io::Error) -> bool {
    use io::ErrorKind::{
        CrossesDevices, InvalidInput, PermissionDenied, ReadOnlyFilesystem, ResourceBusy, Unsupported,
    };
    let kinds = [CrossesDevices, InvalidInput, PermissionDenied, ReadOnlyFilesystem, ResourceBusy, Unsupported];
    kinds.contains(&error.kind())
}

/// Puts files into a folder one by one: all are safe on the disk before the first takes its place,
/// and there is no seal until the last has.
fn in_place(folder: &Path, files: &[(String, Vec<u8>)]) -> io::Result<()> {
    let aside = unfinished(folder)?;
    fill(aside.path(), files)?;
    if files.iter().any(|(name, _)| name == SEAL) {
        match fs::remove_file(folder.join(SEAL)) {
            Err(error) if error.kind() != io::ErrorKind::NotFound => return Err(error),
            _ => {}
        }
        safe(folder);
        for item in fs::read_dir(folder)? {
            let name = item?.file_name();
            let written = files.iter().any(|(new, _)| name == **new);
            if !written && name.to_str().is_some_and(of_a_packet) {
                fs::remove_file(folder.join(name))?;
            }
        }
    }
    let (seals, others): (Vec<_>, Vec<_>) = files.iter().partition(|(name, _)| name == SEAL);
    for (name, _) in others.into_iter().chain(seals) {
        fs::rename(aside.path().join(name), folder.join(name))?;
    }
    safe(folder);
    Ok(())
}

/// Clears away what killed runs left in a folder, once nobody can be at it any more. A run looks
/// for it once: a list of thousands goes into one folder.
fn sweep(beside: &Path, inside: Option<&Path>) {
    static SWEPT: AtomicBool = AtomicBool::new(false);
    if SWEPT.swap(true, Ordering::Relaxed) {
        return;
    }
    let listings = std::iter::once(beside).chain(inside).filter_map(|folder| fs::read_dir(folder).ok());
    for item in listings.flatten().filter_map(Result::ok) {
        let ours = item.file_name().to_string_lossy().starts_with(UNFINISHED);
        let old = || {
            let changed = item.metadata().and_then(|about| about.modified()).ok();
            changed.and_then(|changed| changed.elapsed().ok()).is_some_and(|age| age > LEFT)
        };
        if ours && old() {
            let path = item.path();
            // Not ours to clear, or gone already.
            let _left = if path.is_dir() { fs::remove_dir_all(&path) } else { fs::remove_file(&path) };
        }
    }
}

/// Makes a folder, where it is not there.
pub(crate) fn create_folder(folder: &Path) -> Result<(), Failure> {
    fs::create_dir_all(folder).map_err(|error| machine("write", folder, &error))
}

/// Takes a file away, where it is there.
pub(crate) fn remove(path: &Path) -> Result<(), Failure> {
    match fs::remove_file(path) {
        Err(error) if error.kind() != io::ErrorKind::NotFound => Err(machine("write", path, &error)),
        _ => Ok(()),
    }
}

/// Writes one file, whole or not at all; where `anew` is asked for, never over one that is there.
pub(crate) fn write_file(path: &Path, bytes: &[u8], anew: bool) -> Result<(), Failure> {
    let fails = |error: &io::Error| machine("write", path, error);
    let folder = parent_of(path);
    if !folder.is_dir() {
        let (path, folder) = (path.display(), folder.display());
        return Err(Failure::Machine(format!(
            "Cannot write {path}: there is no folder {folder}.\n  try    Make the folder first."
        )));
    }
    let mut file = tempfile::Builder::new().prefix(UNFINISHED).tempfile_in(&folder).map_err(|error| fails(&error))?;
    file.write_all(bytes).and_then(|()| file.as_file().sync_all()).map_err(|error| fails(&error))?;
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        // Where this fails the file is still there, only for its owner.
        let _closed = fs::set_permissions(file.path(), fs::Permissions::from_mode(0o644));
    }
    let kept = if anew { file.persist_noclobber(path) } else { file.persist(path) };
    kept.map_err(|error| {
        if error.error.kind() == io::ErrorKind::AlreadyExists {
            let path = path.display();
            return Failure::Refused(format!(
                "refused  {path} is there already.\n  try    Another name, or `-o` with another file; nothing is written over."
            ));
        }
        fails(&error.error)
    })?;
    safe(&folder);
    Ok(())
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

//! Writing results: whole or not at all, whenever the program is killed or the disk is full.

use std::ffi::OsStr;
use std::fs;
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Duration;

use tempfile::TempDir;

use crate::files::machine;
use crate::{Failure, embedded};

/// What the names of files and folders begin with that are not finished.
const UNFINISHED: &str = ".barwright-unfinished-";

/// So many letters and figures of chance follow it, and nothing else.
const CHANCE: usize = 8;

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
        if let Some((name, _)) = files.iter().find(|(name, _)| there.join(name).is_dir()) {
            let place = folder.join(name);
            return Err(Failure::Refused(format!(
                "refused  {} is a folder, and a file of this name is to be written. Nothing was written.\n  try    Another place with `-o`, or move that folder.",
                place.display()
            )));
        }
        match exchanged(&parent, there, files) {
            Ok(()) => return Ok(()),
            Err(error) if cannot_exchange(&error) => {}
            Err(error) => return Err(fails(&error)),
        }
        return in_place(there, files).map_err(|error| fails(&error));
    }
    let made = unfinished(&parent).and_then(|aside| {
        fill(aside.path(), files)?;
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
    named_unfinished(0o777).tempdir_in(place)
}

/// A file or folder under a name of what is not finished. It is as open as any new one: the system
/// takes away what the person's mask keeps closed.
fn named_unfinished(mode: u32) -> tempfile::Builder<'static, 'static> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(UNFINISHED).rand_bytes(CHANCE);
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        builder.permissions(fs::Permissions::from_mode(mode));
    }
    #[cfg(not(unix))]
    let _ = mode;
    builder
}

/// Whether a name is one of what is not finished, sign for sign as [`named_unfinished`] forms it.
fn is_unfinished(name: &OsStr) -> bool {
    let chance = name.to_str().and_then(|name| name.strip_prefix(UNFINISHED));
    chance.is_some_and(|chance| chance.len() == CHANCE && chance.bytes().all(|byte| byte.is_ascii_alphanumeric()))
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
        "adjust.csv",
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
    let goes =
        |name: &OsStr| files.iter().any(|(new, _)| *name == **new) || sealed && name.to_str().is_some_and(of_a_packet);
    let mut along = Vec::new();
    for item in fs::read_dir(folder)? {
        let item = item?;
        if item.file_type()?.is_dir() {
            return Err(io::ErrorKind::Unsupported.into());
        }
        let name = item.file_name();
        if !goes(&name) {
            along.push(name);
        }
    }
    let aside = unfinished(parent)?;
    for name in &along {
        // A second name for the same file: it is neither copied nor away for a moment.
        fs::hard_link(folder.join(name), aside.path().join(name))?;
    }
    fill(aside.path(), files)?;
    fs::set_permissions(aside.path(), fs::metadata(folder)?.permissions())?;
    exchange(aside.path(), folder)?;
    // The folder before has the unfinished name now. Where it cannot be cleared away it lies there.
    let before = aside.keep();
    safe(parent);
    for item in fs::read_dir(&before).into_iter().flatten().filter_map(Result::ok) {
        let name = item.file_name();
        let (old, new) = (item.path(), folder.join(&name));
        let known = goes(&name) || along.contains(&name);
        // What somebody put in meanwhile goes along.
        let _left = if known || new.exists() { fs::remove_file(old) } else { fs::rename(old, new) };
    }
    let _left = fs::remove_dir(&before);
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
///
/// Only what this program leaves behind goes: a file or a folder under such a name, and of a folder
/// only one that holds files of ours and nothing else.
fn sweep(beside: &Path, inside: Option<&Path>) {
    static SWEPT: AtomicBool = AtomicBool::new(false);
    if SWEPT.swap(true, Ordering::Relaxed) {
        return;
    }
    let listings = std::iter::once(beside).chain(inside).filter_map(|folder| fs::read_dir(folder).ok());
    for item in listings.flatten().filter_map(Result::ok).filter(|item| is_unfinished(&item.file_name())) {
        // Of the thing itself, not of what a link points to.
        let Ok(about) = item.metadata() else { continue };
        let old = about.modified().ok().and_then(|changed| changed.elapsed().ok()).is_some_and(|age| age > LEFT);
        if old {
            // Not ours to clear, or gone already.
            let _left = if about.is_dir() {
                clear(&item.path())
            } else if about.is_file() {
                fs::remove_file(item.path())
            } else {
                Ok(())
            };
        }
    }
}

/// Takes away a folder of ours with the files in it; one that holds anything else stays as it is.
fn clear(folder: &Path) -> io::Result<()> {
    let mut files = Vec::new();
    for item in fs::read_dir(folder)? {
        let item = item?;
        let about = item.metadata()?;
        let ours = item
            .file_name()
            .to_str()
            .is_some_and(|name| of_a_packet(name) || embedded::SHOP.iter().any(|(known, _)| name == *known));
        if about.is_dir() || !(ours || has_another_name(&about)) {
            return Ok(());
        }
        files.push(item.path());
    }
    for file in files {
        fs::remove_file(file)?;
    }
    fs::remove_dir(folder)
}

/// Whether a file is there under another name too: what others put into a packet has a second one
/// while the packet is exchanged.
#[cfg(unix)]
fn has_another_name(about: &fs::Metadata) -> bool {
    use std::os::unix::fs::MetadataExt;
    about.nlink() > 1
}

#[cfg(not(unix))]
fn has_another_name(_: &fs::Metadata) -> bool {
    false
}

/// Takes a packet of ours away, its seal first, and its folder where nothing of others is in it.
/// Gives whether nothing of the packet is left.
pub(crate) fn clear_packet(folder: &Path) -> bool {
    let taken = || {
        fs::remove_file(folder.join(SEAL))?;
        for item in fs::read_dir(folder)? {
            let item = item?;
            if item.file_name().to_str().is_some_and(of_a_packet) && !item.file_type()?.is_dir() {
                fs::remove_file(item.path())?;
            }
        }
        // What others put there stays, and its folder with it.
        let _stays = fs::remove_dir(folder);
        io::Result::Ok(())
    };
    taken().is_ok()
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
///
/// A link stays, and what it points to is written. What is there and is no file (a pipe, a device)
/// cannot be replaced by one: it is written to as it is.
pub(crate) fn write_file(path: &Path, bytes: &[u8], anew: bool) -> Result<(), Failure> {
    let fails = |error: &io::Error| machine("write", path, error);
    let there = fs::metadata(path).ok();
    if there.as_ref().is_some_and(|there| !there.is_file() && !there.is_dir()) {
        return write_through(path, bytes).map_err(|error| fails(&error));
    }
    let place = behind_links(path);
    let folder = parent_of(&place);
    if !folder.is_dir() {
        let (path, folder) = (path.display(), folder.display());
        return Err(Failure::Machine(format!(
            "Cannot write {path}: there is no folder {folder}.\n  try    Make the folder first."
        )));
    }
    let mut file = named_unfinished(0o666).tempfile_in(&folder).map_err(|error| fails(&error))?;
    file.write_all(bytes).and_then(|()| file.as_file().sync_all()).map_err(|error| fails(&error))?;
    if let Some(there) = there.filter(fs::Metadata::is_file) {
        // As open as the one that it replaces. Where this fails it is as open as any new one.
        let _as_new = file.as_file().set_permissions(there.permissions());
    }
    let kept = if anew { file.persist_noclobber(&place) } else { file.persist(&place) };
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

/// Writes to what is no file: nothing of it is replaced.
fn write_through(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let mut open = fs::OpenOptions::new().write(true).open(path)?;
    match open.write_all(bytes).and_then(|()| open.flush()) {
        // A reader that has seen enough closes the pipe; that is no fault of ours.
        Err(error) if error.kind() == io::ErrorKind::BrokenPipe => Ok(()),
        written => written,
    }
}

/// Where a file lies or will lie: behind links, the last of which may lead to nothing yet.
fn behind_links(path: &Path) -> PathBuf {
    let mut place = path.to_path_buf();
    // As many as systems follow.
    for _ in 0..40 {
        match fs::read_link(&place) {
            Ok(to) => place = place.parent().unwrap_or(Path::new("")).join(to),
            Err(_) => break,
        }
    }
    place
}

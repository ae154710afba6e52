//! Killed at any moment, on a full disk, in a folder that cannot be written, with nobody reading:
//! no half of a packet takes the place of a whole one, and the exit code says whose fault it was.
#![cfg(unix)]

mod bench;

use std::collections::BTreeMap;
use std::io::Read;
use std::os::unix::fs::PermissionsExt;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use bench::{Bench, Run, names};

/// What a folder holds; nothing where it is not there.
fn held(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    if !folder.exists() {
        return BTreeMap::new();
    }
    names(folder).into_iter().map(|name| (name.clone(), std::fs::read(folder.join(name)).expect("a file"))).collect()
}

/// What lies about that is neither a packet nor unfinished.
#[track_caller]
fn only(bench: &Bench, known: &[&str]) {
    let left: Vec<String> = names(bench.folder.path())
        .into_iter()
        .filter(|name| !known.contains(&name.as_str()) && !name.starts_with(".barwright-"))
        .collect();
    assert_eq!(left, Vec::<String>::new(), "nothing half-written under a name");
}

const FIRST: [&str; 0] = [];
const SECOND: [&str; 2] = ["--like", "warping-frame-inch"];

#[test]
fn killed_at_any_moment() {
    let bench = Bench::new();
    let begun = Instant::now();
    bench.make(&FIRST).made();
    let mut whole = begun.elapsed();
    let one = held(&bench.path("key"));
    bench.make(&SECOND).made();
    let two = held(&bench.path("key"));
    assert!(one != two && one.len() == two.len(), "two packets that differ in every file");
    let (mut before, mut after) = (0, 0);
    let count: u32 = std::env::var("KILLS").ok().and_then(|text| text.parse().ok()).unwrap_or(60);
    for at in 0..count * 4 {
        // What else the machine does changes how long a run takes: the moments follow it.
        match (at % 30, before, after) {
            (0, 1.., 1..) if at >= count => break,
            (0, 1.., 0) => whole *= 2,
            (0, 0, 1..) => whole /= 2,
            _ => {}
        }
        let was = held(&bench.path("key"));
        let words = if was == one { &SECOND[..] } else { &FIRST[..] };
        let mut child =
            bench.command(&[&["make", "joining-key", "-o", "key", "-q"], words].concat()).spawn().expect("it starts");
        // Spread over the run and a little beyond, most where the files are written.
        let part = f64::from(at % 30) / 24.0;
        std::thread::sleep(whole.mul_f64(part));
        // SIGKILL: nothing of the program's own runs any more.
        let _ended = child.kill();
        child.wait().expect("it ends");
        let is = held(&bench.path("key"));
        assert!(is == one || is == two, "round {at}: a packet of {:?} is neither", is.keys().collect::<Vec<_>>());
        if is == was { before += 1 } else { after += 1 }
    }
    only(&bench, &["key"]);
    assert!(before > 0 && after > 0, "killed before and after: {before} and {after}");
}

#[test]
fn killed_while_the_first_packet_is_made() {
    let bench = Bench::new();
    let begun = Instant::now();
    bench.make(&FIRST).made();
    let (whole, good) = (begun.elapsed(), held(&bench.path("key")));
    for at in 0..20_u32 {
        let name = format!("key-{at}");
        let mut child =
            bench.command(&["make", "joining-key", "-o", &name]).stdout(Stdio::null()).spawn().expect("it starts");
        std::thread::sleep(whole.mul_f64(f64::from(at) / 16.0));
        let _ended = child.kill();
        child.wait().expect("it ends");
        let is = held(&bench.path(&name));
        assert!(
            is.is_empty() && !bench.path(&name).exists() || is == good,
            "round {at}: {:?}",
            is.keys().collect::<Vec<_>>()
        );
    }
}

/// A run that may write no file of more than so many blocks of 512 bytes, as on a disk that is full.
fn on_a_full_disk(bench: &Bench, blocks: u32, words: &[&str]) -> Run {
    let plain = bench.command(words);
    let line = format!("trap '' XFSZ; ulimit -f {blocks}; exec \"$@\"");
    let mut shell = Command::new("sh");
    shell.args(["-c", &line, "sh"]).arg(plain.get_program()).args(words);
    shell.current_dir(bench.folder.path()).stdin(Stdio::null());
    for (name, value) in plain.get_envs() {
        match value {
            Some(value) => shell.env(name, value),
            None => shell.env_remove(name),
        };
    }
    Run::of(shell.output().expect("a shell"))
}

#[test]
fn a_full_disk() {
    let bench = Bench::new();
    bench.make(&FIRST).made();
    let good = held(&bench.path("key"));
    let mut failed = 0;
    // Each size stops at another file.
    for blocks in [0, 4, 10, 20, 33, 60, 72] {
        let words = [&["make", "joining-key", "-o", "key"], &SECOND[..]].concat();
        let run = on_a_full_disk(&bench, blocks, &words);
        if run.code == 0 {
            continue;
        }
        failed += 1;
        run.failed(&["Cannot write key", "too large"]);
        assert_eq!(held(&bench.path("key")), good, "{blocks}: the packet before is whole");
        assert_eq!(names(bench.folder.path()), ["key"], "{blocks}: nothing is left beside it");
        let fresh = on_a_full_disk(&bench, blocks, &["make", "joining-key", "-o", "fresh"]);
        fresh.failed(&["Cannot write fresh"]);
        assert!(!bench.path("fresh").exists(), "{blocks}: no half of a packet");
    }
    assert!(failed > 4, "the disk was full: {failed}");
    let table = ["table", "joining-key", "--unit", "mm", "--vary", "length_per_rail=20mm..60mm/1mm", "-o", "table.csv"];
    bench.file("table.csv", "mine");
    on_a_full_disk(&bench, 2, &table).failed(&["table.csv"]);
    assert_eq!(bench.text("table.csv"), "mine", "a table that could not be written leaves the one before");
    let list = bench.file("orders.csv", "quantity,screw\n2,M5\n2,M4\n");
    let run = on_a_full_disk(&bench, 20, &["make", "joining-key", "--unit", "mm", "--list", &list, "-o", "orders"]);
    assert_eq!(run.code, 3, "a list on a full disk is the machine's fault: {}{}", run.out, run.err);
}

#[test]
fn a_folder_that_only_may_be_read() {
    let bench = Bench::new();
    // Nobody may write here, not even who may write everywhere.
    let run = bench.run(&["make", "joining-key", "-o", "/proc/barwright-key"]);
    run.failed(&["Cannot write /proc/barwright-key"]);
    let gone = bench.run(&["make", "joining-key", "-o", "/dev/null/key"]);
    gone.failed(&["Cannot write /dev/null/key"]);
    bench.untouched();
    // Whoever is kept out by rights is told so, and the packet stays as it was.
    bench.make(&FIRST).made();
    let good = held(&bench.path("key"));
    let rights =
        |mode| std::fs::set_permissions(bench.path("key"), std::fs::Permissions::from_mode(mode)).expect("rights");
    let top =
        |mode| std::fs::set_permissions(bench.folder.path(), std::fs::Permissions::from_mode(mode)).expect("rights");
    rights(0o555);
    top(0o555);
    let free = std::fs::write(bench.path("probe"), "x").is_ok();
    let run = bench.make(&SECOND);
    top(0o755);
    rights(0o755);
    if free {
        // Rights do not bind whoever runs this; then it is made.
        run.made();
    } else {
        run.failed(&["Cannot write key"]);
        assert_eq!(held(&bench.path("key")), good, "as it was");
    }
}

#[test]
fn with_nobody_reading() {
    let bench = Bench::new();
    for words in
        [&["reference"] as &[&str], &["schema"], &["make", "joining-key", "-o", "key"], &["explain", "joining-key"]]
    {
        let mut child = bench.command(words).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().expect("it starts");
        let mut out = child.stdout.take().expect("a pipe");
        let mut first = [0; 1];
        out.read_exact(&mut first).expect("it says something");
        drop(out);
        let run = Run::of(child.wait_with_output().expect("it ends"));
        assert_eq!((run.code, run.err.as_str()), (0, ""), "{words:?}: a closed pipe is no fault");
    }
    assert!(bench.path("key/part.json").exists(), "what was made is there");
    let full = std::fs::OpenOptions::new().write(true).open("/dev/full").expect("a full device");
    let run = Run::of(bench.command(&["families"]).stdout(full).output().expect("it runs"));
    run.failed(&["Cannot write to standard output"]);
}

#[test]
fn what_others_put_there_stays_and_what_the_packet_before_had_goes() {
    let bench = Bench::new();
    bench.make(&["quantity=5"]).made();
    bench.run(&["adjust", "key", "tongue_width=9.95", "-o", "key"]).made();
    assert!(bench.path("key/adjust.csv").exists(), "what was read of that part");
    bench.file("key/notes.txt", "ask about the slot");
    std::os::unix::fs::symlink("notes.txt", bench.path("key/link")).expect("a link");
    assert!(bench.path("key/packet.pdf").exists(), "the papers of an order");
    let begun = std::fs::metadata(bench.path("key/notes.txt")).expect("a file").modified().expect("a time");
    bench.make(&FIRST).made();
    let left = names(&bench.path("key"));
    for name in ["packet.pdf", "adjust.csv"] {
        assert!(!left.contains(&name.to_owned()), "{name} of the order before is gone: {left:?}");
    }
    assert_eq!(bench.text("key/notes.txt"), "ask about the slot", "kept");
    assert_eq!(bench.text("key/link"), "ask about the slot", "a link too");
    let now = std::fs::metadata(bench.path("key/notes.txt")).expect("a file").modified().expect("a time");
    assert_eq!(now, begun, "the very file");
    // A folder in it: then the files are put in one by one.
    bench.file("key/photos/one.txt", "x");
    bench.make(&SECOND).made();
    assert_eq!(bench.text("key/photos/one.txt"), "x", "a folder of others stays");
    let record = bench.text("key/part.json");
    let digest = record.split("\"digest\": \"").nth(1).map(|rest| &rest[..12]).expect("a digest");
    assert!(
        bench.text("key/program-1.nc").contains(&digest.to_uppercase())
            || bench.text("key/program-1.nc").contains(digest),
        "one packet"
    );
    assert_eq!(names(bench.folder.path()), ["key"], "nothing beside it");
}

#[test]
fn what_killed_runs_left_is_cleared_away_once_it_is_old() {
    let bench = Bench::new();
    let (old, new) = (".barwright-unfinished-a1B2c3D4", ".barwright-unfinished-e5F6g7H8");
    for name in [old, new] {
        bench.file(&format!("{name}/part.json"), "{}");
        bench.file(&format!("{name}/load-1-of-6-UNPROVED.nc"), "%");
    }
    bench.file("notes.txt", "ask about the slot");
    // An exchange gives what others put into a packet a second name.
    std::fs::hard_link(bench.path("notes.txt"), bench.path(old).join("notes.txt")).expect("a second name");
    bench.file(".barwright-unfinished-i9J0k1L2", "half of a table");
    aged(&bench, &[old, ".barwright-unfinished-i9J0k1L2"]);
    bench.make(&FIRST).made();
    assert_eq!(names(bench.folder.path()), [new, "key", "notes.txt"], "the old ones are gone");
    assert_eq!(bench.text("notes.txt"), "ask about the slot", "kept under its own name");
}

/// Nobody has been at these for hours.
fn aged(bench: &Bench, list: &[&str]) {
    let old = std::time::SystemTime::now() - Duration::from_hours(5);
    for name in list {
        std::fs::File::open(bench.path(name)).expect("it is there").set_modified(old).expect("a time");
    }
}

#[test]
fn what_others_call_nearly_so_is_never_cleared_away() {
    let bench = Bench::new();
    let list = [
        // Names that are not ours sign for sign.
        (".barwright-backup/notes.txt", ".barwright-backup"),
        (".barwright-unfinished/part.json", ".barwright-unfinished"),
        (".barwright-unfinished-backup/part.json", ".barwright-unfinished-backup"),
        (".barwright-unfinished-my-notes/part.json", ".barwright-unfinished-my-notes"),
        // Ours by the name, and not by what is in it.
        (".barwright-unfinished-a1B2c3D4/notes.txt", ".barwright-unfinished-a1B2c3D4"),
        (".barwright-unfinished-a1B2c3D5/part.json/inner.txt", ".barwright-unfinished-a1B2c3D5"),
    ];
    for (file, folder) in list {
        bench.file(file, "mine");
        aged(&bench, &[folder]);
    }
    std::fs::create_dir(bench.path("far")).expect("a folder");
    bench.file("far/part.json", "mine");
    std::os::unix::fs::symlink("far", bench.path(".barwright-unfinished-a1B2c3D6")).expect("a link");
    aged(&bench, &["far"]);
    bench.make(&FIRST).made();
    for (file, _) in list {
        assert_eq!(bench.text(file), "mine", "{file} stays");
    }
    assert_eq!(bench.text(".barwright-unfinished-a1B2c3D6/part.json"), "mine", "behind a link too");
    // In the folder of a packet too, whether it can be exchanged or not.
    bench.file("key/.barwright-notes", "mine");
    bench.make(&SECOND).made();
    assert_eq!(bench.text("key/.barwright-notes"), "mine", "in an exchange");
    bench.file("key/.barwright-backup/notes.txt", "mine");
    bench.make(&FIRST).made();
    assert_eq!(bench.text("key/.barwright-backup/notes.txt"), "mine", "a folder");
    assert_eq!(bench.text("key/.barwright-notes"), "mine", "file by file");
}

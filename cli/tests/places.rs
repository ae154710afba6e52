//! Where one file is written: through links, to pipes, as open as the person's mask lets it be.
#![cfg(unix)]

mod bench;

use std::os::unix::fs::{FileTypeExt, PermissionsExt, symlink};
use std::process::{Command, Stdio};

use bench::{Bench, Run, names};
use rustix::fs::{CWD, FileType, Mode, mknodat};

const TABLE: [&str; 6] = ["table", "joining-key", "--vary", "screw=M4,M5", "-o", "PLACE"];

/// A table of two variants to this place.
fn table(bench: &Bench, place: &str) -> Run {
    let mut words = TABLE;
    words[5] = place;
    bench.run(&words)
}

#[test]
fn a_link_stays_and_what_it_points_to_is_written() {
    let bench = Bench::new();
    bench.file("far/table.csv", "old");
    symlink("far/table.csv", bench.path("near.csv")).expect("a link");
    symlink("near.csv", bench.path("nearer.csv")).expect("a link to a link");
    table(&bench, "nearer.csv").made();
    for link in ["near.csv", "nearer.csv"] {
        assert!(bench.path(link).symlink_metadata().expect("it is there").is_symlink(), "{link} is still a link");
    }
    assert!(bench.text("far/table.csv").starts_with("number,verdict,"), "{}", bench.text("far/table.csv"));
    // One that leads to nothing yet.
    symlink("far/new.csv", bench.path("to-come.csv")).expect("a link");
    table(&bench, "to-come.csv").made();
    assert_eq!(bench.text("far/new.csv"), bench.text("far/table.csv"), "written where it leads");
    assert_eq!(names(&bench.path("far")), ["new.csv", "table.csv"], "and nothing beside it");
    symlink("gone/new.csv", bench.path("astray.csv")).expect("a link");
    table(&bench, "astray.csv").failed(&["astray.csv", "no folder gone"]);
}

#[test]
fn a_folder_under_the_name_of_a_file_stays_and_nothing_is_written() {
    for name in ["drawing.pdf", "part.json"] {
        let bench = Bench::new();
        bench.file(&format!("key/{name}/mine"), "mine");
        bench.run(&["make", "joining-key", "-o", "key"]).refused(&[name, "is a folder", "Another place"]);
        assert_eq!(names(&bench.path("key")), [name], "nothing was written");
    }
}

#[test]
fn a_pipe_is_written_to_and_stays_a_pipe() {
    let bench = Bench::new();
    mknodat(CWD, bench.path("pipe"), FileType::Fifo, Mode::from_raw_mode(0o600), 0).expect("a pipe");
    symlink("pipe", bench.path("link")).expect("a link");
    for place in ["pipe", "link"] {
        let reader = Command::new("cat").arg(bench.path("pipe")).stdout(Stdio::piped()).spawn().expect("it starts");
        let words = TABLE.map(|word| if word == "PLACE" { place } else { word });
        let mut writer = bench.command(&words).spawn().expect("it starts");
        // Had the pipe been replaced, its reader would wait for ever.
        assert!(writer.wait().expect("it ends").success(), "{place}: written");
        let kind = bench.path("pipe").symlink_metadata().expect("it is there").file_type();
        assert!(kind.is_fifo(), "{place}: it is a pipe still: {kind:?}");
        let read = reader.wait_with_output().expect("it ends").stdout;
        assert!(read.starts_with(b"number,verdict,") && read.ends_with(b"\n"), "{place}: all of it came");
    }
    assert_eq!(names(bench.folder.path()), ["link", "pipe"], "nothing beside it");
}

#[test]
fn a_dash_is_standard_output() {
    let bench = Bench::new();
    let run = table(&bench, "-").made();
    assert!(run.out.starts_with("number,verdict,") && run.out.lines().count() == 3, "{}", run.out);
    bench.untouched();
}

/// A run under the mask of a person who shows others nothing.
fn masked(bench: &Bench, mask: &str, words: &[&str]) {
    let plain = bench.command(words);
    let mut shell = Command::new("sh");
    shell.args(["-c", &format!("umask {mask}; exec \"$@\""), "sh"]).arg(plain.get_program()).args(words);
    shell.current_dir(bench.folder.path()).stdin(Stdio::null()).env_remove("BARWRIGHT_SHOP");
    Run::of(shell.output().expect("a shell")).made();
}

#[test]
fn what_is_new_is_as_open_as_the_mask_lets_it_be() {
    for (mask, file, folder) in [("077", 0o600, 0o700), ("022", 0o644, 0o755), ("002", 0o664, 0o775)] {
        let bench = Bench::new();
        let mode = |name: &str| bench.path(name).metadata().expect(name).permissions().mode() & 0o777;
        let words = TABLE.map(|word| if word == "PLACE" { "table.csv" } else { word });
        masked(&bench, mask, &words);
        assert_eq!(mode("table.csv"), file, "{mask}: a table");
        let list = bench.file("orders.csv", "screw\nM5\n");
        for (name, words) in [("key", &[] as &[&str]), ("list", &["--list", &list]), ("key", &["screw=M4"])] {
            masked(&bench, mask, &[&["make", "joining-key", "--unit", "mm", "-o", name], words].concat());
            assert_eq!(mode(name), folder, "{mask}: the folder {name}");
        }
        assert_eq!(mode("key/part.json"), file, "{mask}: a packet");
        assert_eq!(mode("list/report.csv"), file, "{mask}: a report");
    }
}

#[test]
fn what_replaces_a_file_is_as_open_as_that_was() {
    let bench = Bench::new();
    bench.file("mine.csv", "old");
    std::fs::set_permissions(bench.path("mine.csv"), std::fs::Permissions::from_mode(0o600)).expect("rights");
    table(&bench, "mine.csv").made();
    let mode = bench.path("mine.csv").metadata().expect("a file").permissions().mode() & 0o777;
    assert_eq!(mode, 0o600, "nobody else may read it now either");
    assert!(bench.text("mine.csv").starts_with("number,verdict,"), "and it is the new one");
}

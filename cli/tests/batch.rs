//! An order of several pieces, and the readings of a first piece, as a person meets them.

use std::path::Path;
use std::process::{Command, Output};

use tempfile::TempDir;

fn run(folder: &Path, arguments: &[&str]) -> (i32, String, String) {
    let mut command = Command::new(env!("CARGO_BIN_EXE_barwright"));
    let Output { status, stdout, stderr } = command.args(arguments).current_dir(folder).output().expect("it starts");
    let text = |bytes| String::from_utf8(bytes).expect("UTF-8");
    (status.code().unwrap_or(-1), text(stdout), text(stderr))
}

fn read(folder: &Path, name: &str) -> String {
    std::fs::read_to_string(folder.join("key").join(name)).expect("a file")
}

#[test]
fn an_order_has_its_tables() {
    let folder = TempDir::new().expect("a folder");
    let at = folder.path();
    let (code, out, err) = run(at, &["make", "joining-key", "quantity=50", "--spares", "4", "-o", "key"]);
    assert_eq!((code, err.as_str()), (0, ""), "made");
    for word in
        ["50 pieces, 4 spares", "1 × 3000 mm of brass 16 x 12", "9 loads of 6", "one by one", "200 × Set screw M5"]
    {
        assert!(out.contains(word), "`{word}` is not in:\n{out}");
    }
    let mut order = out.lines().skip_while(|line| !line.starts_with("  order"));
    assert!(order.all(|line| line.chars().count() <= 80), "80 columns:\n{out}");
    let digest =
        read(at, "part.json").split_once("\"digest\": \"").map(|(_, rest)| rest[..12].to_owned()).expect("a digest");
    for name in ["cut-list.csv", "loads.csv", "times.csv", "route.csv", "hardware.csv"] {
        let text = read(at, name);
        let head = text.lines().next().expect("a head");
        assert!(head.ends_with(&format!("part {digest}")), "{name}: {head}");
        assert!(text.lines().count() > 2, "{name} has rows");
    }
    // 50 and 4, whatever bars they come from: the ninth column counts them.
    let pieces: u32 =
        read(at, "cut-list.csv").lines().skip(1).filter_map(|line| line.split(',').nth(8)?.parse::<u32>().ok()).sum();
    assert_eq!(pieces, 54, "all pieces are cut");
    assert!(read(at, "label.txt").contains(&digest), "the label names the part");
}

#[test]
fn orders_that_cannot_be_are_refused() {
    let folder = TempDir::new().expect("a folder");
    let at = folder.path();
    for (arguments, word) in [
        (&["quantity=0"][..], "quantity=1"),
        (&["quantity=1000000"], "100 orders of up to 10000"),
        (&["--quantity", "2.5"], "Write 2 or 3"),
        (&["quantity=2", "--quantity", "3"], "given twice"),
        (&["--spares", "3"], "--quantity"),
        (&["quantity=5", "quantiti=5"], "quantiti"),
    ] {
        let (code, out, err) = run(at, &[&["make", "joining-key", "-o", "key"], arguments].concat());
        assert_eq!((code, out.as_str()), (1, ""), "{arguments:?}");
        assert!(err.contains(word), "{arguments:?}: `{word}` is not in:\n{err}");
    }
    assert!(!at.join("key").exists(), "nothing was written");
}

#[test]
fn a_first_piece_is_judged() {
    let folder = TempDir::new().expect("a folder");
    let at = folder.path();
    assert_eq!(run(at, &["make", "joining-key", "-o", "key"]).0, 0, "made");
    // 9.939 to 9.975, 9.957 aimed at: 10.03 is 0.073 too wide, so the radius is 0.0365 less.
    let (code, out, err) = run(at, &["adjust", "key", "tongue_width=10.03", "-o", "next", "time=18 min"]);
    assert_eq!((code, err.as_str()), (0, ""), "judged");
    for word in ["diameter 10 → 9.927 mm", "(10.03 - 9.957) / 2 = 4.9635", "read back and proved", "time_factor: 1.08"]
    {
        assert!(out.contains(word), "`{word}` is not in:\n{out}");
    }
    let before = read(at, "program-1.nc");
    let next = std::fs::read_to_string(at.join("next/program-1.nc")).expect("a program");
    assert_ne!(before, next, "the walls are aimed at anew");
    let (code, out, _) = run(at, &["adjust", "key/part.json", "tongue=9.95", "--json"]);
    assert_eq!(code, 0, "good");
    let json: serde_json::Value = serde_json::from_str(&out).expect("JSON");
    assert_eq!(json["adjustment"]["judged"][0]["verdict"], "good", "{json}");
    for (reading, word) in
        [("tonge=9.95", "`tongue`"), ("tongue=8", "wrong tool"), ("tongue", "NAME=VALUE"), ("time=18", "17.5 min")]
    {
        let (code, out, err) = run(at, &["adjust", "key", reading]);
        assert_eq!((code, out.as_str()), (1, ""), "{reading}");
        assert!(err.contains(word), "{reading}: `{word}` is not in:\n{err}");
    }
}

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
    // What no correction mends stops the work, and never goes on as it is.
    let (stop, on) = ("Stop: the piece is bad", "goes on");
    for (readings, stops, goes_on) in [
        (&["tongue_width=9.95"][..], false, true),
        (&["tongue_width=10.03", "tongue_width=9.90"], true, false),
        (&["screw_holes.1.minor=4.4"], true, false),
        (
            &["screw_holes.1.x=-22.2", "screw_holes.2.x=-7.8", "screw_holes.3.x=7.8", "screw_holes.4.x=22.3"],
            true,
            false,
        ),
        (&["screw_holes.1.x=-22.45", "screw_holes.4.x=22.80"], true, true),
    ] {
        let (_, out, err) = run(at, &[&["adjust", "key"], readings].concat());
        assert_eq!((out.contains(stop), out.contains(on)), (stops, goes_on), "{readings:?}: {out}{err}");
        assert!(!stops || !out.contains("as it is"), "{readings:?}: {out}");
        let (_, out, _) = run(at, &[&["adjust", "key", "--json"], readings].concat());
        let json: serde_json::Value = serde_json::from_str(&out).expect("JSON");
        assert_eq!((&json["stop"], &json["good"]), (&stops.into(), &(!stops).into()), "{readings:?}: {json}");
    }
    for (reading, word) in
        [("tonge=9.95", "`tongue`"), ("tongue=8", "wrong tool"), ("tongue", "NAME=VALUE"), ("time=18", "17.5 min")]
    {
        let (code, out, err) = run(at, &["adjust", "key", reading]);
        assert_eq!((code, out.as_str()), (1, ""), "{reading}");
        assert!(err.contains(word), "{reading}: `{word}` is not in:\n{err}");
    }
}

#[test]
fn loads_have_their_programs_and_sizes_that_do_not_go_are_refused() {
    let folder = TempDir::new().expect("a folder");
    let at = folder.path();
    let (code, _, err) = run(at, &["make", "joining-key", "quantity=8", "load=6", "-o", "key"]);
    assert_eq!((code, err.as_str()), (0, ""), "made");
    // A load of the order before would be run for one of this.
    std::fs::write(at.join("key/load-1-of-9-UNPROVED.nc"), "of before").expect("a file");
    std::fs::write(at.join("key/load-book.nc"), "mine").expect("a file");
    let (code, out, err) = run(at, &["make", "joining-key", "quantity=8", "load=6", "-o", "key"]);
    assert_eq!((code, err.as_str()), (0, ""), "made again");
    assert!(!at.join("key/load-1-of-9-UNPROVED.nc").exists() && at.join("key/load-book.nc").exists(), "ours alone");
    for word in ["load-1-of-6.nc: proved", "load-1-of-2.nc: proved", "As asked"] {
        assert!(out.contains(word), "`{word}` is not in:\n{out}");
    }
    // The very file proves from the record alone, all pieces of it.
    let (code, out, err) = run(at, &["prove", "key/load-1-of-6.nc", "--part", "key/part.json"]);
    assert_eq!(code, 0, "{out}{err}");
    assert!(out.contains("Place 6") && out.contains("on 6 pieces"), "{out}");
    let text = read(at, "load-1-of-6.nc").replace("X52.5 Y0.0", "X52.9 Y0.0");
    std::fs::write(at.join("off.nc"), text).expect("written");
    let (code, _, err) = run(at, &["prove", "off.nc", "--part", "key/part.json"]);
    assert_eq!(code, 1, "a hole of the second piece is off");
    assert!(err.contains("Place 2") && !err.contains("Place 3: NO"), "{err}");
    for (load, word) in [("7", "load=6 would do"), ("0", "load=1"), ("x", "no number of pieces")] {
        let (code, _, err) = run(at, &["make", "joining-key", "quantity=8", &format!("load={load}"), "-o", "none"]);
        assert_eq!(code, 1, "load={load}");
        assert!(err.contains(word), "load={load}: `{word}` is not in:\n{err}");
    }
    assert!(!at.join("none").exists(), "nothing was written");
}

#[test]
fn every_paper_says_whose_it_is_and_what_differs() {
    let folder = TempDir::new().expect("a folder");
    let at = folder.path();
    assert_eq!(run(at, &["make", "joining-key", "quantity=8", "load=6", "--revision", "C", "-o", "key"]).0, 0, "made");
    assert_eq!(run(at, &["make", "joining-key", "slot_opening=9", "--unit", "mm", "-o", "other"]).0, 0, "another");
    for item in std::fs::read_dir(at.join("key")).expect("a folder") {
        let name = item.expect("a file").file_name().to_string_lossy().into_owned();
        let (code, out, err) = run(at, &["trace", &format!("key/{name}")]);
        assert_eq!(code, 0, "{name}: {err}");
        assert!(out.contains(&format!("in nothing from {name}")), "{name}: {out}");
        let (code, _, err) = run(at, &["trace", &format!("key/{name}"), "--part", "other/part.json"]);
        assert_eq!(code, 1, "{name} is not of the other");
        assert!(err.contains("belongs    no"), "{name}: {err}");
    }
    let edited = |name: &str, from: &str, to: &str| {
        let text = read(at, name);
        assert!(text.contains(from), "{name} has `{from}`");
        std::fs::write(at.join(name), text.replacen(from, to, 1)).expect("written");
        let (code, _, err) = run(at, &["trace", name, "--part", "key/part.json"]);
        assert_eq!(code, 1, "{name} was edited");
        err
    };
    let told = edited("load-1-of-6.nc", "Z-14.232 F", "Z-15.232 F");
    assert!(told.contains("1 of ") && told.contains("in TOOL 12 DRILL 4.2 MM"), "{told}");
    let told = edited("hardware.csv", "screw", "bolt");
    assert!(told.contains("row 2, item"), "{told}");
    let told = edited("label.txt", "8", "9");
    assert!(told.contains("line "), "{told}");
    // The same part, ordered otherwise: the pages that differ are told, with their words.
    assert_eq!(run(at, &["make", "joining-key", "quantity=9", "load=6", "--revision", "C", "-o", "more"]).0, 0, "made");
    let (code, _, err) = run(at, &["trace", "more/packet.pdf", "--part", "key/part.json"]);
    assert_eq!(code, 1, "another order");
    assert!(err.contains("page 1 (Route card)") && err.contains("`9 pieces to deliver, no spares`"), "{err}");
}

#[test]
fn stock_that_does_not_do_is_refused_with_numbers() {
    let folder = TempDir::new().expect("a folder");
    let at = folder.path();
    let shop = at.join("shop");
    std::fs::create_dir(&shop).expect("a folder");
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("../families/shop");
    for item in std::fs::read_dir(demo).expect("the demo shop") {
        let path = item.expect("a file").path();
        std::fs::copy(&path, shop.join(path.file_name().expect("a name"))).expect("copied");
    }
    let with = |file: &str, from: &str, to: &str, words: &[&str]| {
        let text = std::fs::read_to_string(shop.join(file)).expect("a file");
        assert!(text.contains(from), "{file} has `{from}`");
        std::fs::write(shop.join(file), text.replace(from, to)).expect("written");
        let (code, _, err) = run(at, &["make", "joining-key", "quantity=20", "--shop", "shop", "-o", "key"]);
        std::fs::write(shop.join(file), text).expect("put back");
        assert_eq!(code, 1, "{to}");
        let told = err.split_whitespace().collect::<Vec<_>>().join(" ");
        for word in words {
            assert!(told.contains(word), "{to}: `{word}` is not in:\n{err}");
        }
    };
    // Bars too short for a piece of 60 mm and what the saw takes.
    with(
        "rack.yaml",
        "height: 12 mm,  tolerance: 0.05 mm, lengths: [1000 mm, 3000 mm], rests: [412 mm, 268 mm]",
        "height: 12 mm,  tolerance: 0.05 mm, lengths: [90 mm]",
        &["90 mm", "60"],
    );
    // Jaws that cannot hold: too low, too narrow.
    with(
        "vise.yaml",
        "opening: 130 mm",
        "opening: 12 mm",
        &["16.05 mm wide", "the vise opens 12 mm", "a vise that opens 16.05 mm"],
    );
    with("vise.yaml", "grip_min: 3 mm", "grip_min: 20 mm", &["must be gripped"]);
    // A table that does not travel as far as one piece.
    with("machine.yaml", "from: -250 mm", "from: -60 mm", &["along X", "the machine has 60 mm"]);
    // No bar wide enough: what would do is told.
    let (code, _, err) = run(at, &["make", "tapped-plate", "quantity=5", "width=115mm", "--unit", "mm", "-o", "key"]);
    assert_eq!(code, 1, "no stock");
    assert!(err.contains("width="), "{err}");
    assert!(!at.join("key").exists(), "nothing was written");
}

/// A bar whose ends are milled: a wrong length is mended at the zero of the setup that made it, and a
/// hole in an end at the zero of its own.
#[test]
fn a_reading_names_the_setup_that_made_it() {
    let folder = TempDir::new().expect("a folder");
    let at = folder.path();
    let (code, _, err) = run(at, &["make", "spacer-bar", "--like", "end-screwed", "quantity=5", "-o", "bar"]);
    assert_eq!((code, err.as_str()), (0, ""), "made");
    for (reading, want) in [
        ("bar_length=60.08", "zero of setup 2 by -0.08 mm"),
        ("tapped_holes.1.x=0.3", "zero of setup 3 by -0.3 mm"),
        ("right_end.1.x=0.2", "zero of setup 4 by -0.2 mm"),
        ("left_end.1.x=0.2", "zero of setup 5 by +0.2 mm"),
    ] {
        let (_, out, err) = run(at, &["adjust", "bar", reading]);
        assert!(out.contains(want), "{reading}: `{want}` is not in:\n{out}{err}");
    }
}

/// What is offered in place of a refused size is made by this shop too, not only taken by the rules.
#[test]
fn a_remedy_is_made_by_this_shop() {
    let folder = TempDir::new().expect("a folder");
    let at = folder.path();
    let tried = |sizes: &[&str]| run(at, &[&["make", "--unit", "mm", "--dry"], sizes].concat());
    let (code, _, err) = tried(&["tapped-plate", "omit=9/9"]);
    assert!(code == 1 && err.contains("omit=none (now 9/9)"), "one size, and no other: {err}");
    assert_eq!(tried(&["tapped-plate", "omit=none"]).0, 0, "which works");
    let (_, _, err) = tried(&["spacer-bar", "height=38", "material=brass-c36000"]);
    assert!(err.contains("this shop cannot make") && err.contains("and then: No end mill"), "{err}");
    let (_, _, err) = tried(&["spacer-bar", "length=30", "cross_holes=6"]);
    for size in ["length=77.5mm", "cross_holes=2"] {
        assert!(err.contains(size), "{size}: {err}");
        let name = size.split('=').next().unwrap_or_default();
        let all: Vec<&str> =
            ["spacer-bar", "length=30", "cross_holes=6"].into_iter().filter(|one| !one.starts_with(name)).collect();
        assert_eq!(tried(&[&all[..], &[size]].concat()).0, 0, "{size} works");
    }
}

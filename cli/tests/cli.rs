//! The command line as a person and a script meet it: the real program, run on good and bad
//! requests.

mod bench;

use serde_json::{Value, json};

use bench::{Bench, Run, families, key_text, names, shop_with};

/// What `make` writes.
const FILES: [&str; 5] = ["drawing.pdf", "drawing.svg", "first-piece.csv", "part.json", "program-1.nc"];

#[test]
fn makes_all_files() {
    let bench = Bench::new();
    let run = bench.make(&[]).made();
    assert_eq!(names(&bench.path("key")), FILES, "record, drawings, program, first piece");
    assert_eq!(names(bench.folder.path()), ["key"], "and nothing beside them");
    for word in ["JK-10mm-4xM5", "tongue", "9.939", "Eye protection on", "part.json"] {
        assert!(run.out.contains(word), "`{word}` is not in the summary:\n{}", run.out);
    }
    let record: Value =
        serde_json::from_str(&std::fs::read_to_string(bench.path("key/part.json")).expect("record")).expect("JSON");
    let digest = record["digest"].as_str().expect("a digest");
    for file in ["drawing.svg", "program-1.nc"] {
        let text = std::fs::read_to_string(bench.path("key").join(file)).expect("a file");
        assert!(text.to_lowercase().contains(digest), "{file} carries the digest {digest}");
    }
    assert!(run.out.contains(digest), "so does the summary");
}

#[test]
fn the_usual_folder_is_named_by_the_part() {
    let bench = Bench::new();
    bench.run(&["make", "joining-key"]).made();
    assert_eq!(names(&bench.path("out")), ["JK-10mm-4xM5-60mm-brass-c36000"], "by its number");
}

#[test]
fn two_runs_give_the_same_bytes() {
    let (one, two) = (Bench::new(), Bench::new());
    for example in ["warping-frame", "warping-frame-inch"] {
        let first = one.make(&["--like", example]).made();
        let second = two.make(&["--like", example]).made();
        assert_eq!(first.out, second.out, "{example}: summary");
        for file in names(&one.path("key")) {
            let read = |bench: &Bench| std::fs::read(bench.path("key").join(&file)).expect("a file");
            assert_eq!(read(&one), read(&two), "{example}: {file}");
        }
    }
}

/// The summaries of the examples, as they were blessed: `BLESS=1 cargo test -p barwright --test cli`.
#[test]
fn the_summaries_as_they_were_blessed() {
    let bench = Bench::new();
    for example in ["warping-frame", "warping-frame-inch"] {
        let out = bench.make(&["--like", example]).made().out;
        let path = families().join("../tests/golden").join(format!("{example}.txt"));
        if std::env::var_os("BLESS").is_some() {
            std::fs::write(&path, &out).expect("a golden file can be written");
        }
        let blessed = std::fs::read_to_string(&path).unwrap_or_default();
        assert_eq!(out, blessed, "{example}; if this is meant: BLESS=1 cargo test -p barwright --test cli");
    }
}

#[test]
fn each_control_writes_its_own_program() {
    let bench = Bench::new();
    let mut programs = Vec::new();
    for control in ["canned", "written-out", "absolute"] {
        bench.make(&["--control", control]).made();
        programs.push(std::fs::read_to_string(bench.path("key/program-1.nc")).expect("a program"));
        let record = std::fs::read_to_string(bench.path("key/part.json")).expect("a record");
        assert!(record.contains(&format!("\"control\": \"{control}\"")), "the record names {control}");
    }
    assert!(programs[0] != programs[1] && programs[1] != programs[2] && programs[0] != programs[2], "all differ");
    bench.make(&["--control", "writen-out"]).refused(&["writen-out", "Did you mean `written-out`?"]);
}

/// However the shop's file is written, the control that is asked for is the one that is spoken to:
/// in what is made, and in what is proved, traced and adjusted by the record's.
#[test]
fn a_control_is_chosen_in_a_shop_of_any_form() {
    let told = "control: control-canned.yaml        # how it is spoken to; see the other control-*.yaml";
    for own in
        ["\"control\": \"control-canned.yaml\"", "control : control-canned.yaml", "? control\n: control-canned.yaml"]
    {
        let bench = Bench::new();
        let shop = shop_with(&bench, "shop.yaml", told, own);
        bench.make(&["--shop", &shop, "--control", "written-out"]).made();
        let (text, record) = (bench.text("key/program-1.nc"), bench.text("key/part.json"));
        assert!(record.contains("\"control\": \"written-out\""), "{own}");
        assert!(!text.contains("G81") && !text.contains("G83"), "{own}: every move is written out");
        bench.run(&["trace", "key/program-1.nc", "--shop", &shop]).made();
        bench.run(&["prove", "key/program-1.nc", "--part", "key", "--shop", &shop]).made();
        bench.run(&["adjust", "key", "tongue_width=10.03", "-o", "next", "--shop", &shop]).made();
        assert!(bench.text("next/part.json").contains("\"control\": \"written-out\""), "{own}");
        bench
            .make(&["--shop", &shop, "--control", "gone"])
            .refused(&["refused  The shop has no control `gone`", "absolute, canned, written-out"]);
    }
}

#[test]
fn json_is_the_record() {
    let bench = Bench::new();
    let run = bench.make(&["--json"]).made();
    assert_eq!(run.out, std::fs::read_to_string(bench.path("key/part.json")).expect("record"), "the same bytes");
    let dry = Bench::new();
    assert_eq!(dry.make(&["--json", "--dry"]).made().out, run.out, "a dry run derives the same");
    dry.untouched();
    let refused = dry.run(&["make", "joining-key", "--json", "-o", "key", "tongue_fit=H7", "--unit", "mm"]);
    assert_eq!(refused.code, 1, "refused as JSON too");
    let said = if refused.out.is_empty() { &refused.err } else { &refused.out };
    let said: Value = serde_json::from_str(said).unwrap_or_else(|error| panic!("{error} in:\n{said}"));
    assert_eq!(said["verdict"], "refused", "the verdict");
    assert!(said["findings"].as_array().is_some_and(|all| !all.is_empty()), "the findings: {said}");
    // A way out that is a measurement is marked, one that is a choice is not.
    let thin = dry.run(&["make", "joining-key", "--json", "-o", "key", "slot_opening=7.5mm", "--unit", "mm"]);
    let said: Value = serde_json::from_str(&thin.out).unwrap_or_else(|error| panic!("{error} in:\n{}", thin.out));
    let marks: Vec<_> = [0, 1].map(|at| &said["remedies"][at]).map(|way| (&way["parameter"], &way["measured"])).into();
    assert_eq!(
        marks,
        [(&json!("screw"), &Value::Null), (&json!("slot_opening"), &json!(true))],
        "the choice first: {said}"
    );
    dry.untouched();
}

#[test]
fn bad_requests_are_told_with_what_is_near() {
    let bench = Bench::new();
    for (arguments, words) in [
        (&["make", "joining-kye"] as &[&str], &["joining-kye", "Did you mean `joining-key`?"] as &[&str]),
        (&["make", "gearbox"], &["gearbox", "joining-key"]),
        (&["make", "joining-key", "slot_openning=10mm"], &["slot_openning", "Did you mean `slot_opening`?"]),
        (&["make", "joining-key", "pitch=10mm"], &["pitch", "follows from the others"]),
        (&["make", "joining-key", "slot_opening=10 kg"], &["slot_opening", "10 kg"]),
        (&["make", "joining-key", "slot_opening=10°"], &["slot_opening", "10°"]),
        (&["make", "joining-key", "torque=2 mm"], &["torque"]),
        (&["make", "joining-key", "slot_opening=10"], &["slot_opening", "10 mm", "10 in"]),
        (&["make", "joining-key", "slot_opening=100 mm"], &["out of range", "at most 40 mm", "slot_opening=13.5mm"]),
        (&["make", "joining-key", "slot_opening=1 mm"], &["out of range", "at least 4 mm"]),
        (&["make", "joining-key", "slot_opening=NaN", "--unit", "mm"], &["slot_opening"]),
        (&["make", "joining-key", "slot_opening=inf", "--unit", "mm"], &["slot_opening"]),
        (&["make", "joining-key", "slot_opening=-inf mm"], &["slot_opening"]),
        (&["make", "joining-key", "slot_opening=1e999 mm"], &["slot_opening"]),
        (&["make", "joining-key", "slot_opening="], &["slot_opening"]),
        (&["make", "joining-key", "nut_factor=NaN"], &["nut_factor"]),
        (&["make", "joining-key", "screws=2.5"], &["screws"]),
        (&["make", "joining-key", "screws=-1"], &["screws"]),
        (&["make", "joining-key", "screw=M55"], &["screw"]),
        (&["make", "joining-key", "screw=M10"], &["M10", "Choices: M3"]),
        (&["make", "joining-key", "material=brass-c3600"], &["brass-c3600", "Did you mean `brass-c36000`"]),
        (&["make", "joining-key", "slot_opening"], &["slot_opening", "NAME=VALUE"]),
        (&["make", "joining-key", "screws=2", "screws=3"], &["screws", "twice"]),
        (&["make", "joining-key", "--like", "warping-farme"], &["Did you mean `warping-frame`?"]),
        (&["standard", "thred", "M5"], &["thred", "thread"]),
        (&["standard", "thread", "M5.1"], &["M5.1"]),
        (&["explain", "joining-kye"], &["Did you mean `joining-key`?"]),
    ] {
        let run = bench.run(arguments);
        assert_eq!(run.code, 1, "{arguments:?}: {}{}", run.out, run.err);
        let run = run.refused(words);
        assert!(!run.err.contains("panicked"), "{arguments:?}: {}", run.err);
    }
    bench.untouched();
}

/// People are told of roots; a reader of JSON gets all, marked.
#[test]
fn what_only_follows_is_not_told_as_well() {
    let bench = Bench::new();
    let run = bench.run(&["make", "joining-key", "slot_opening=300mm", "--dry"]);
    assert_eq!(run.err.matches("refused  ").count() + run.err.matches("caution  ").count(), 1, "{}", run.err);
    run.refused(&["slot_opening: 300 mm is out of range", "slot_opening=13.5mm (now 300 mm)"]);
    let json = bench.run(&["make", "joining-key", "slot_opening=300mm", "--dry", "--json"]).json();
    let findings = json["findings"].as_array().expect("findings");
    let follow: Vec<&Value> = findings.iter().filter(|finding| finding["follows"] == true).collect();
    assert!(follow.len() > 1 && follow.iter().all(|one| one["code"] != "variant/out-of-range"), "{json}");
    let list = bench.file("orders.csv", "slot_opening\n300\n");
    let report = bench.run(&["make", "joining-key", "--unit", "mm", "--list", &list, "--dry", "--json"]).json();
    assert_eq!(report["rows"][0]["why"].as_array().map(Vec::len), Some(1), "{report}");
}

#[test]
fn a_date_is_one_of_the_calendar() {
    let bench = Bench::new();
    for (date, told) in [
        ("tomorrow", "as 2026-11-28"),
        ("28.11.2026", "as 2026-11-28"),
        ("2026-02-29", "01 to 28"),
        ("2026-13-01", "no month 13"),
    ] {
        let run = bench.make(&["--date", date]);
        assert_eq!(run.code, 2, "{date}: {}", run.err);
        assert!(run.err.contains(told), "{date}: {}", run.err);
    }
    bench.untouched();
    bench.make(&["--date", "2028-02-29"]).made();
    assert!(bench.text("key/drawing.svg").contains("2028-02-29"), "it stands on the drawing");
}

#[test]
fn the_command_line_itself_ends_with_two() {
    let bench = Bench::new();
    for arguments in [&["mak"] as &[&str], &[], &["make"], &["make", "joining-key", "--unit", "furlong"], &["standard"]]
    {
        let run = bench.run(arguments);
        assert_eq!(run.code, 2, "{arguments:?}: {}", run.err);
    }
    for arguments in [&["--help"] as &[&str], &["--version"], &["make", "--help"]] {
        let run = bench.run(arguments).made();
        assert!(!run.out.is_empty(), "{arguments:?}");
    }
    bench.untouched();
}

#[test]
fn a_refusal_tells_every_rule_and_remedies_that_work() {
    let bench = Bench::new();
    let sizes = ["slot_opening=7.5mm", "--unit", "mm"];
    let run = bench.make(&sizes).refused(&["wall beside the thread", "0.3 × 5 mm", "try", "Nothing was written."]);
    bench.untouched();
    let tries: Vec<&str> = run
        .err
        .lines()
        .filter_map(|line| line.trim().strip_prefix("try")?.split_once("(now").map(|(size, _)| size.trim()))
        .collect();
    assert!(!tries.is_empty(), "remedies:\n{}", run.err);
    for remedy in tries {
        let size = remedy.replace('\'', "");
        let name = size.split('=').next().expect("a name");
        let mut words: Vec<&str> = sizes.iter().copied().filter(|word| !word.starts_with(name)).collect();
        words.push(&size);
        let run = bench.make(&words);
        assert_eq!(run.code, 0, "{size} is told to work:\n{}", run.err);
    }
    // Two rules at once: both are told.
    let two = Bench::new();
    two.make(&["screw=M8", "length_per_rail=10 mm"]).refused(&["from the joint", "wall beside the thread"]);
    two.untouched();
}

#[test]
fn a_bad_family_shows_all_its_mistakes_with_line_and_caret() {
    let bench = Bench::new();
    let text = key_text()
        .replacen("as: lip_thickness - below_face", "as: lip_thickness - screws", 1)
        .replacen("must: overlap >= 1 mm", "must: overlapp >= 1 mm", 1)
        .replacen("is: fit", "is: fitt", 1);
    let path = bench.file("bad.yaml", &text);
    let run = bench.run(&["make", &path, "-o", "key"]).refused(&[
        "overlapp",
        "fitt",
        "screws",
        "bad.yaml:",
        "^",
        "things to mend",
    ]);
    assert!(!bench.path("key").exists(), "nothing was written");
    assert!(run.err.matches("bad.yaml:").count() >= 3, "each with its place:\n{}", run.err);
    let circle = key_text().replacen("as: lip_thickness - below_face", "as: bar.height - body_height", 1);
    let path = bench.file("circle.yaml", &circle);
    bench.run(&["explain", &path]).refused(&["tongue_height", "body_height", "circle.yaml:"]);
    for (name, text) in
        [("torn.yaml", "family: [\n"), ("empty.yaml", ""), ("tab.yaml", "family:\n\t- x\n"), ("list.yaml", "- 1\n")]
    {
        let path = bench.file(name, text);
        let run = bench.run(&["make", &path, "-o", "key"]);
        assert_eq!(run.code, 1, "{name}: {}", run.err);
        assert!(run.err.contains("refused") && !run.err.contains("panicked"), "{name}: {}", run.err);
    }
    std::fs::write(bench.path("latin.yaml"), b"family: \xe9\n").expect("a file");
    bench.run(&["make", "latin.yaml"]).refused(&["UTF-8"]);
    let gone = bench.run(&["make", "gone.yaml"]);
    assert_eq!(gone.code, 1, "a file that is not there: {}", gone.err);
    assert!(gone.err.contains("gone.yaml"), "{}", gone.err);
}

#[test]
fn a_title_never_leaves_its_comment() {
    let bench = Bench::new();
    for control in ["canned", "written-out", "absolute"] {
        bench.make(&["--control", control, "--title", "Key) M30\nG0 Z-50 (\r\n%;"]).made();
        let program = std::fs::read_to_string(bench.path("key/program-1.nc")).expect("a program");
        let lines: Vec<&str> = program.lines().filter(|line| line.contains("G0 Z-50")).collect();
        match control {
            "absolute" => assert_eq!(lines, Vec::<&str>::new(), "no comments, no title"),
            "canned" => assert_eq!(lines, ["(TITLE KEY M30 G0 Z-50 PERCENT,)"], "one safe comment"),
            _ => assert_eq!(lines, ["; TITLE KEY M30 G0 Z-50 PERCENT,"], "one safe comment"),
        }
    }
    let svg = std::fs::read_to_string(bench.path("key/drawing.svg")).expect("a drawing");
    let unfit = |sign: char| sign.is_control() && sign != '\n';
    assert!(!svg.contains(unfit), "no control characters in the drawing");
    let told = bench.make(&["--title", "Key\u{1b}[31m\u{1}\u{7}\nM30", "--dry"]).made().out;
    assert!(!told.contains(unfit), "nor in the summary: {told:?}");
    assert!(told.starts_with("JK-10mm-4xM5-60mm-brass-c36000  Key [31m M30\n"), "one line: {told:?}");
    bench.make(&["--title", "<script>alert(1)</script> & \"'"]).made();
    let svg = std::fs::read_to_string(bench.path("key/drawing.svg")).expect("a drawing");
    assert!(!svg.contains("<script"), "a title is text, never markup");
}

#[test]
fn a_folder_that_cannot_be_written_is_the_machines_fault() {
    let bench = Bench::new();
    // A file where a folder should be: no right of any user changes that.
    bench.file("taken", "mine");
    for folder in ["taken", "taken/key"] {
        let run = bench.run(&["make", "joining-key", "-o", folder]);
        assert_eq!(run.code, 3, "{folder}: {}{}", run.out, run.err);
        assert!(run.err.contains("taken"), "names the place: {}", run.err);
        assert_eq!(run.out, "", "no summary of what is not there");
    }
    assert_eq!(names(bench.folder.path()), ["taken"], "nothing half-written");
    assert_eq!(std::fs::read_to_string(bench.path("taken")).expect("a file"), "mine", "and nothing lost");
}

#[test]
fn files_of_others_stay() {
    let bench = Bench::new();
    bench.file("key/notes.txt", "ask about the slot");
    bench.file("key/part.json", "old");
    bench.make(&[]).made();
    assert_eq!(std::fs::read_to_string(bench.path("key/notes.txt")).expect("a file"), "ask about the slot", "kept");
    assert_eq!(
        names(&bench.path("key")),
        ["drawing.pdf", "drawing.svg", "first-piece.csv", "notes.txt", "part.json", "program-1.nc"],
        "nothing more"
    );
    let good = std::fs::read_to_string(bench.path("key/part.json")).expect("a record");
    bench.make(&["tongue_fit=H7", "--unit", "mm"]).refused(&[]);
    assert_eq!(
        std::fs::read_to_string(bench.path("key/part.json")).expect("a record"),
        good,
        "a refusal writes nothing"
    );
}

#[test]
fn a_shop_of_ones_own() {
    let bench = Bench::new();
    let shop = shop_with(&bench, "shop.yaml", "Heddle Row Workshop", "Shed at the Weir");
    bench.make(&["--shop", &shop]).made();
    let program = std::fs::read_to_string(bench.path("key/program-1.nc")).expect("a program");
    assert!(program.contains("SHED AT THE WEIR"), "the owner stands in the header");
    bench.make(&["--shop", &format!("{shop}/shop.yaml"), "--control", "absolute"]).made();
    let shop = shop_with(&bench, "machine.yaml", "power:", "pover:");
    bench.make(&["--shop", &shop]).refused(&["pover", "power", "machine.yaml:", "^"]);
    let shop = shop_with(&bench, "control-canned.yaml", "end: [M30, '%']", "end: ['%']");
    bench.make(&["--shop", &shop]).refused(&["M30", "control-canned.yaml:"]);
    let gone = bench.make(&["--shop", "nowhere"]);
    assert_ne!(gone.code, 0, "a shop that is not there");
    assert!(gone.err.contains("nowhere") || gone.err.contains("shop.yaml"), "{}", gone.err);
}

#[test]
fn every_kind_of_standard() {
    let bench = Bench::new();
    for (kind, name) in [
        ("thread", "1/4-20"),
        ("thread", "M5"),
        ("drill", "#7"),
        ("fit", "25 H7/g6"),
        ("screw", "M5 set"),
        ("tolerance", "ISO 2768-m"),
        ("material", "brass"),
    ] {
        let text = bench.run(&["standard", kind, name]).made();
        assert!(text.out.contains("Source:"), "{kind} {name} names its source:\n{}", text.out);
        let json = bench.run(&["standard", kind, name, "--json"]).made().json();
        assert_eq!(json["kind"], kind, "{name}");
        assert!(json["source"].as_str().is_some_and(|source| !source.is_empty()), "{kind} {name}: {json}");
    }
}

#[test]
fn families_and_explain() {
    let bench = Bench::new();
    assert!(bench.run(&["families"]).made().out.contains("joining-key"), "the list");
    let list = bench.run(&["families", "--json"]).made().json();
    assert_eq!(list[0]["name"], "joining-key", "the list as JSON");
    let text = bench.run(&["explain", "joining-key"]).made().out;
    for word in ["slot_opening", "tongue_width", "ISO 286-2", "strip-margin", "warping-frame-inch"] {
        assert!(text.contains(word), "`{word}` is not explained");
    }
    for line in text.lines() {
        assert!(line.chars().count() <= 80, "80 columns: {line}");
    }
    let json = bench.run(&["explain", "joining-key", "--json"]).made().json();
    assert_eq!(json["family"], "joining-key", "as JSON");
    assert!(json["rules"].as_array().is_some_and(|rules| rules.len() > 10), "rules");
    assert_eq!(json["sizes"][0]["measured"], true, "the slot is what the caliper reads");
    assert!(text.contains("length, measured, usually 10 mm"), "in words too: {text}");
}

/// A spacer bar without pins and holes in its ends has no wall beside them, of whatever thickness.
#[test]
fn rules_that_do_not_apply_are_told_as_such() {
    let bench = Bench::new();
    let told = bench.run(&["explain", "spacer-bar"]).made().out;
    assert!(told.contains("refused unless (bar.width - pin) / 2 >= 0.75 * pin\n"), "what must be so: {told}");
    assert!(told.contains("Does not apply where not pins.\n"), "and of which part: {told}");
    let summary = bench.run(&["make", "spacer-bar", "--dry"]).made().out;
    assert!(summary.contains("6 of 6 hold, 6 do not apply, no caution"), "{summary}");
    let rule = |sizes: &[&str], name: &str| {
        let json = bench.run(&[&["make", "spacer-bar", "--dry", "--json"], sizes].concat()).made().json();
        let rules = json["rules"].as_array().expect("rules").clone();
        rules.into_iter().find(|rule| rule["name"] == name).expect("the rule")
    };
    let bare = rule(&[], "pin-wall");
    assert_eq!((&bare["numbers"], &bare["applies"]), (&json!("does not apply: pins = no"), &json!(false)), "{bare}");
    let pinned = rule(&["pins=yes"], "pin-wall");
    assert_eq!((&pinned["numbers"], &pinned["applies"]), (&json!("6 mm ≥ 3 mm"), &Value::Null), "{pinned}");
    let choices = rule(&[], "end-meets-pins");
    assert_eq!(choices["numbers"], "end_holes = no, pins = no", "{choices}");
}

#[test]
fn no_colours_where_no_one_sees_them() {
    let bench = Bench::new();
    let path = bench.file("bad.yaml", &key_text().replacen("is: fit", "is: fitt", 1));
    for colour in [None, Some("1")] {
        for arguments in
            [&["explain", &path] as &[&str], &["make", "joining-key", "--dry"], &["standard", "thread", "M5"]]
        {
            let mut command = bench.command(arguments);
            if let Some(set) = colour {
                command.env("NO_COLOR", set);
            }
            let run = Run::of(command.output().expect("the program starts"));
            assert!(!run.out.contains('\u{1b}') && !run.err.contains('\u{1b}'), "{arguments:?}: escape sequences");
        }
    }
}

#[test]
fn a_program_is_proved_against_its_own_part() {
    let bench = Bench::new();
    bench.make(&[]).made();
    let prove = |program: &str, part: &str| bench.run(&["prove", program, "--part", part]);
    let good = prove("key/program-1.nc", "key/part.json");
    assert_eq!(good.code, 0, "as it was made: {}", good.err);
    assert!(good.out.contains("proved"), "{}", good.out);
    let text = std::fs::read_to_string(bench.path("key/program-1.nc")).expect("a program");
    let deep = bench.file("deep.nc", &text.replacen("Z-2.625", "Z-26.25", 1));
    let bad = prove(&deep, "key/part.json");
    assert_eq!(bad.code, 1, "a slip of the finger");
    assert!(bad.err.contains("Z-26.25") && bad.err.contains("not proved"), "its line is shown: {}", bad.err);
    let part = std::fs::read_to_string(bench.path("key/part.json")).expect("a record");
    let longer = bench.file("longer.json", &part.replacen("\"nominal\": 60.0", "\"nominal\": 61.0", 1));
    let changed = prove("key/program-1.nc", &longer);
    assert_eq!(changed.code, 1, "a record changed by hand");
    assert!(changed.err.contains("digest"), "{}", changed.err);
}

#[test]
fn an_unproved_program_says_so_everywhere() {
    let bench = Bench::new();
    // A line of the user's own that goes down before anything is known.
    let shop = shop_with(&bench, "control-canned.yaml", "start: ['%']", "start: ['%', 'G0 Z-50.0']");
    let refused = bench.make(&["--shop", &shop]);
    assert_eq!(refused.code, 1, "it does not prove");
    assert!(!bench.path("key").exists(), "and nothing is written");
    bench.make(&["--shop", &shop, "--unproved"]).made();
    let text = |name: &str| std::fs::read_to_string(bench.path(&format!("key/{name}"))).expect(name);
    for name in ["program-1-UNPROVED.nc", "first-piece.csv", "drawing.svg"] {
        assert!(text(name).contains("UNPROVED"), "{name}");
    }
    assert!(text("part.json").contains("\"proved\": false"), "the record");
    bench.make(&["--shop", &shop, "--unproved", "--packet", "quantity=8"]).made();
    let route = std::fs::read_to_string(bench.path("key/route.csv")).expect("the route card");
    let files: Vec<&str> = route
        .split([' ', ',', '"', ':'])
        .filter(|word| word.rsplit_once('.').is_some_and(|(_, ending)| ending == "nc"))
        .collect();
    assert!(!files.is_empty() && files.iter().all(|file| bench.path(&format!("key/{file}")).exists()), "{files:?}");
    assert!(files.iter().all(|file| file.contains("-UNPROVED")), "the route card runs what is there: {files:?}");
}

//! What scripts and people rest on: exit codes, streams, JSON, quiet and verbose, where the shop is
//! looked for, completions and manual.

mod bench;

use std::io::Write;
use std::process::Stdio;

use bench::{Bench, Run, families, key_text, names, shop_with};

const COMMANDS: [&str; 16] = [
    "make",
    "adjust",
    "explain",
    "families",
    "new",
    "check",
    "table",
    "schema",
    "reference",
    "prove",
    "trace",
    "standard",
    "shop",
    "page",
    "completions",
    "manual",
];

fn fed(bench: &Bench, words: &[&str], input: &str) -> Run {
    let mut command = bench.command(words);
    let piped = command.stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped());
    let mut child = piped.spawn().expect("it starts");
    // A run that reads nothing closes the pipe; what it says is looked at then.
    let _closed = child.stdin.take().expect("a pipe").write_all(input.as_bytes());
    Run::of(child.wait_with_output().expect("it ends"))
}

#[test]
fn help_has_examples_that_are_commands() {
    let bench = Bench::new();
    let all = bench.run(&["--help"]).made().out;
    for command in COMMANDS {
        assert!(all.contains(&format!("  {command} ")), "{command} is listed");
        let help = bench.run(&[command, "--help"]).made().out;
        assert!(help.contains("Example"), "{command} has examples:\n{help}");
        assert!(
            help.contains(&format!("  barwright {command}")) || help.contains(&format!("| barwright {command}")),
            "{command}"
        );
        for line in help.lines().filter(|line| line.trim_start().starts_with("barwright ")) {
            let named = line.trim_start().split(' ').nth(1).expect("a command");
            assert!(COMMANDS.contains(&named), "{command}: {line}");
        }
    }
}

/// What is typed wrong is told with what this very size would take.
#[test]
fn slips_are_told_with_what_would_be_right() {
    let bench = Bench::new();
    for (slip, told) in [
        ("screws=two", &["Write a whole number"] as &[&str]),
        ("screws=2.5", &["`2.5` is no count", "Write a whole number"]),
        ("screws=-1", &["`-1` is beyond", "from 0 to 1000000"]),
        ("screws=99999999", &["`99999999` is beyond", "from 0 to 1000000"]),
        ("slot_opening=8", &["`8 mm` or `8 in`", "--unit"]),
        ("material=gold", &["Choices: ", "brass-c36000"]),
        ("=8mm", &["`=8mm` is no size", "NAME=VALUE"]),
    ] {
        let run = bench.run(&["make", "joining-key", slip]).refused(told);
        assert!(!run.err.contains("hdpe"), "what this key is not made of is not offered: {}", run.err);
    }
    bench.run(&["make", "joining-key", "screws=2", "screws=4"]).refused(&["`screws` is given twice", "try"]);
    bench.run(&["new", "joining-key"]).refused(&["`joining-key` is built in", "try    Another name"]);
    assert_eq!(names(bench.folder.path()), Vec::<String>::new(), "nothing is written");
}

#[test]
fn exit_codes_are_those_of_the_manual() {
    let bench = Bench::new();
    bench.make(&[]).made();
    for (words, code) in [
        (&["families"] as &[&str], 0),
        (&["prove", "key/program-1.nc", "--part", "key/part.json"], 0),
        (&["make", "joining-key", "slot_opening=1mm", "--dry"], 1),
        (&["standard", "thread", "M5.1"], 1),
        (&["check", "joining-kye"], 1),
        (&["manual", "nonsense"], 1),
        (&["make", "joining-key", "--paper", "A9"], 2),
        (&["families", "--nonsense"], 2),
        (&["families", "-q", "-v"], 2),
        (&["make", "gone.yaml"], 1),
        (&["make", "."], 1),
        (&["make", "./key/"], 1),
        (&["make", "joining-key", "--list", "gone.csv"], 1),
        (&["make", "joining-key", "--shop", "/gone"], 1),
        (&["adjust", "gone", "tongue_width=9.96"], 1),
        (&["prove", "gone.nc", "--part", "key/part.json"], 1),
        (&["trace", "gone.nc", "--part", "key/part.json"], 1),
        (&["make", "joining-key", "-o", "/dev/null/x"], 3),
    ] {
        let run = bench.run(words);
        assert_eq!(run.code, code, "{words:?}: {}{}", run.out, run.err);
        assert_eq!(run.err.is_empty(), code == 0, "{words:?}: errors stand on standard error");
    }
    let manual = bench.run(&["manual"]).made().out;
    for (code, word) in
        [("0", "made, or proved"), ("1", "refused"), ("2", "command line is wrong"), ("3", "machine failed")]
    {
        let told = manual.split(".SH \"EXIT STATUS\"").nth(1).expect("a section");
        assert!(told.contains(&format!("\\fB{code}\\fR\n")) && told.contains(word), "{code} is told of:\n{told}");
    }
}

#[test]
fn json_whatever_the_verdict() {
    let bench = Bench::new();
    bench.make(&[]).made();
    let list = bench.file("orders.csv", "screw\nM5\nM99\n");
    for (words, code) in [
        (&["make", "joining-key", "--dry", "--json"] as &[&str], 0),
        (&["make", "joining-key", "slot_opening=1mm", "--dry", "--json"], 1),
        (&["make", "joining-key", "nonsense", "--json"], 1),
        (&["make", "nothing", "--json"], 1),
        (&["make", "gone.yaml", "--json"], 1),
        (&["make", "joining-key", "--unit", "mm", "--list", &list, "--dry", "--json"], 1),
        (&["make", "joining-key", "-o", "/dev/null/x", "--json"], 3),
        (&["explain", "nothing", "--json"], 1),
        (&["families", "--json"], 0),
        (&["check", "joining-key", "--tries", "5", "--json"], 0),
        (&["check", "joining-kye", "--json"], 1),
        (&["check", "gone.yaml", "--json"], 1),
        (&["standard", "thread", "M5", "--json"], 0),
        (&["shop", "--json"], 0),
        (&["shop", "--start", "mine", "--json"], 0),
        (&["shop", "--start", "mine", "--json"], 1),
        (&["new", "stop-block", "--json"], 0),
        (&["new", "Stop Block", "--json"], 1),
        (&["standard", "thread", "M5.1", "--json"], 1),
        (&["prove", "key/program-1.nc", "--part", "key/part.json", "--json"], 0),
        (&["prove", "key/program-1.nc", "--part", "gone.json", "--json"], 1),
        (&["trace", "key/program-1.nc", "--json"], 0),
        (&["trace", "orders.csv", "--part", "key", "--json"], 1),
        (&["adjust", "key", "tongue_width=9.96", "--json"], 0),
        (&["adjust", "key", "nonsense", "--json"], 1),
    ] {
        let run = bench.run(words);
        assert_eq!(run.code, code, "{words:?}: {}{}", run.out, run.err);
        let json = run.json();
        // One error is told once: to those who read JSON on standard output, the verdict in its own field.
        assert_eq!(run.err, "", "{words:?}: {}", run.out);
        let said = json["said"].as_str().unwrap_or_default();
        assert!(!said.starts_with("refused"), "{words:?}: {said}");
    }
    let traced = bench.run(&["trace", "key/program-1.nc", "--json"]).json();
    assert_eq!(traced["as_made"], true, "{traced}");
}

#[test]
fn quiet_and_verbose() {
    let bench = Bench::new();
    let run = bench.make(&["-q"]).made();
    assert_eq!(run.out, "", "nothing of what went well");
    assert!(bench.path("key/part.json").exists(), "it is made");
    assert!(bench.run(&["-q", "families"]).made().out.contains("joining-key"), "what is asked for is said");
    assert!(bench.run(&["make", "joining-key", "--dry", "--json", "-q"]).made().out.starts_with('{'), "JSON too");
    bench.run(&["make", "joining-key", "-q", "slot_opening=1mm"]).refused(&["out of range"]);
    let loud = bench.make(&["--verbose"]);
    assert_eq!(loud.code, 0, "{}", loud.err);
    for word in ["the demo shop", "tool 12", "not tool"] {
        assert!(loud.err.contains(word), "`{word}` is not in:\n{}", loud.err);
    }
    let plain = bench.make(&[]).made();
    assert_eq!(plain.out, loud.out, "and the summary is the same");
}

/// Colours are forced, as a terminal would ask for them, and forbidden by the usual word
/// (no-color.org, from memory).
#[test]
fn colours_are_for_those_who_want_them() {
    let bench = Bench::new();
    let refused = |set: &[(&str, &str)]| {
        let mut command = bench.command(&["make", "joining-key", "screws=6", "length_per_rail=30mm"]);
        command.env_remove("NO_COLOR").envs(set.iter().copied());
        Run::of(command.output().expect("it runs")).err
    };
    let coloured = "\u{1b}[1;31mrefused\u{1b}[0m";
    assert!(!refused(&[]).contains('\u{1b}'), "none into a file");
    assert!(refused(&[("CLICOLOR_FORCE", "1")]).starts_with(coloured), "where they are asked for");
    assert!(!refused(&[("NO_COLOR", "1")]).contains('\u{1b}'), "none where they are forbidden");
}

#[test]
fn streams() {
    let bench = Bench::new();
    fed(&bench, &["make", "-", "-o", "key"], &key_text()).made();
    let program = bench.text("key/program-1.nc");
    fed(&bench, &["prove", "-", "--part", "key/part.json"], &program).made();
    fed(&bench, &["prove", "key/program-1.nc", "--part", "-"], &bench.text("key/part.json")).made();
    fed(&bench, &["trace", "-", "--part", "key"], &program).made();
    fed(&bench, &["adjust", "-", "tongue_width=9.96"], &bench.text("key/part.json")).made();
    fed(&bench, &["make", "joining-key", "--unit", "mm", "--list", "-", "--dry"], "screw\nM5\n").made();
    let shop = std::fs::read_to_string(families().join("shop/shop.yaml")).expect("the shop");
    let shop = shop.replacen("Heddle Row Workshop", "Shed at the Weir", 1);
    fed(&bench, &["make", "joining-key", "--shop", "-", "-o", "key"], &shop).made();
    assert!(bench.text("key/program-1.nc").contains("SHED AT THE WEIR"), "the shop came from standard input");
    let both = fed(&bench, &["prove", "-", "--part", "-"], &program);
    both.refused(&["standard input twice"]);
    let huge = "x".repeat(5 << 20);
    fed(&bench, &["prove", "-", "--part", "key/part.json"], &huge).refused(&["larger than 4 MiB"]);
}

#[test]
fn check_goes_on_past_what_is_missing() {
    let bench = Bench::new();
    let bad = bench.file("bad.yaml", &key_text().replacen("is: fit", "is: fitt", 1));
    let run = bench.run(&["check", "gone.yaml", &bad, "joining-kye", "joining-key", "--tries", "5"]);
    run.refused(&[
        "gone.yaml",
        "fitt",
        "joining-kye",
        "Did you mean `joining-key`?",
        "good  families/joining-key.yaml",
    ]);
}

/// Whose shop a program was made for.
fn owner(bench: &Bench, change: impl FnOnce(&mut std::process::Command)) -> String {
    let mut command = bench.command(&["make", "joining-key", "-o", "key"]);
    change(&mut command);
    let run = Run::of(command.output().expect("it runs"));
    let out = run.made().out;
    let program = bench.text("key/program-1.nc");
    let line = program.lines().find(|line| line.contains("SHOP ")).expect("a shop").to_owned();
    if line.contains("HEDDLE") {
        assert!(!out.contains("  shop "), "the demo shop goes without saying");
    }
    line
}

#[test]
fn the_shop_is_looked_for_in_this_order() {
    let bench = Bench::new();
    assert!(owner(&bench, |_| ()).contains("HEDDLE ROW"), "5: the demo shop");
    let mut copies = Vec::new();
    for name in ["Settings", "Folder", "Variable", "Word"] {
        let shop = shop_with(&bench, "shop.yaml", "Heddle Row Workshop", name);
        let copy = match name {
            "Settings" => bench.path("settings/barwright"),
            "Folder" => bench.path("here"),
            _ => bench.path(name),
        };
        std::fs::create_dir_all(copy.parent().expect("a folder")).expect("a folder");
        std::fs::rename(&shop, &copy).expect("moved");
        copies.push(copy);
    }
    assert!(owner(&bench, |_| ()).contains("SETTINGS"), "4: the settings of the person");
    let here = copies[1].clone();
    let output = bench.command(&["make", "joining-key", "-o", "../key"]).current_dir(&here).output().expect("it runs");
    let out = Run::of(output).made().out;
    assert!(out.contains("shop       Folder, shop.yaml (this folder)"), "and it is told:\n{out}");
    assert!(bench.text("key/program-1.nc").contains("SHOP FOLDER"), "3: shop.yaml in the folder where it is run");
    let variable = |command: &mut std::process::Command| {
        command.env("BARWRIGHT_SHOP", &copies[2]);
    };
    assert!(owner(&bench, variable).contains("VARIABLE"), "2: the variable");
    let word = |command: &mut std::process::Command| {
        command.env("BARWRIGHT_SHOP", &copies[2]).arg("--shop").arg(&copies[3]);
    };
    assert!(owner(&bench, word).contains("WORD"), "1: the word of the command line");
    let gone = bench.command(&["make", "joining-key", "--dry"]).env("BARWRIGHT_SHOP", "nowhere").output();
    Run::of(gone.expect("it runs")).refused(&["nowhere"]);
}

#[test]
fn completions_and_manual() {
    let bench = Bench::new();
    for (shell, word) in [
        ("bash", "_barwright"),
        ("zsh", "#compdef barwright"),
        ("fish", "complete -c barwright"),
        ("elvish", "barwright"),
        ("powershell", "barwright"),
    ] {
        let script = bench.run(&["completions", shell]).made().out;
        assert!(script.contains(word) && script.contains("standard"), "{shell}");
    }
    bench.run(&["manual", "-o", "man"]).made();
    let pages = names(&bench.path("man"));
    assert_eq!(pages.len(), COMMANDS.len() + 1, "{pages:?}");
    for command in COMMANDS {
        let page = bench.text(&format!("man/barwright-{command}.1"));
        for section in [".SH NAME", ".SH SYNOPSIS", ".SH EXAMPLES", ".SH \"EXIT STATUS\"", ".SH ENVIRONMENT"] {
            assert!(page.contains(section), "{command} lacks {section}:\n{page}");
        }
    }
    let scripts = bench.run(&["completions", "bash"]).made().out;
    let bash = fed(&bench, &["families"], "");
    assert_eq!(bash.code, 0, "{}", bash.err);
    // The shell itself finds no fault with its script.
    let path = bench.file("complete.bash", &scripts);
    if let Ok(output) = std::process::Command::new("bash").args(["-n", &path]).output() {
        assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    }
}

/// A wrong path is told with what to do, in our own words, and costs no more than a wrong size.
#[test]
fn a_path_that_leads_nowhere_is_told_in_words() {
    let bench = Bench::new();
    bench.make(&[]).made();
    bench.file("empty/notes.txt", "");
    let program = bench.text("key/program-1.nc");
    bench.file("lost/lost.nc", &program);
    for (words, told) in [
        (&["make", "gone.yaml"] as &[&str], "There is no file `gone.yaml`."),
        (&["make", "./key"], "`./key` is a folder."),
        (&["make", "joining-key", "--shop", "/gone/shop"], "There is no shop `/gone/shop`, which --shop names."),
        (&["shop", "--shop", "empty"], "The folder `empty`, which --shop names, has no file `shop.yaml`."),
        (&["trace", "lost/lost.nc"], "`--part FOLDER`"),
    ] {
        let run = bench.run(words).refused(&[told, "  try    "]);
        assert!(!run.err.contains("os error"), "{words:?}: {}", run.err);
    }
    let nowhere = bench.run(&["new", "stop-block", "-o", "/gone/a.yaml"]);
    let nowhere = nowhere.failed(&["there is no folder /gone.", "  try    "]);
    assert!(!nowhere.err.contains("os error") && !nowhere.err.contains("unfinished"), "{}", nowhere.err);
    let full = bench.run(&["make", "joining-key", "-o", "/dev/null/x"]).failed(&["/dev/null/x", "  try    "]);
    assert!(!full.err.contains("os error"), "{}", full.err);
    bench.run(&["prove", "key/program-1.nc", "--part", "key"]).made();
}

/// What an empty program leaves undone has no line of its own, and is no size for the bench.
#[test]
fn what_was_not_cut_is_not_told_as_left_to_the_bench() {
    let bench = Bench::new();
    bench.make(&[]).made();
    let run = fed(&bench, &["prove", "-", "--part", "key/part.json"], "").refused(&["And 3 more times.\n"]);
    assert!(!run.err.contains("line 0"), "{}", run.err);
    let row = |name: &str| run.err.lines().find(|line| line.starts_with(name)).expect(name);
    assert!(row("bar.width ").ends_with("at the bench"), "{}", row("bar.width "));
    assert!(row("tongue_width ").ends_with("nothing  NO"), "{}", row("tongue_width "));
    assert!(row("screw_holes.hand ").ends_with("nothing  NO"), "{}", row("screw_holes.hand "));
}

/// The guide says in words how often `check` tries.
#[test]
fn the_guide_tells_how_often_check_tries() {
    let help = Bench::new().run(&["check", "--help"]).made().out;
    assert!(help.contains("[default: 3000]"), "{help}");
    let guide = include_str!("../../families/GUIDE.md").replace('\n', " ");
    assert!(guide.contains("at random, three thousand times"), "the guide says another number");
}

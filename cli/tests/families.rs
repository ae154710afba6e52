//! Writing families and making many variants, as a person and a script meet it.

mod bench;

use std::io::Write;
use std::process::Stdio;

use bench::{Bench, Run, key_text, names};
use serde_json::{Value, json};

#[test]
fn a_new_family_works_at_once() {
    let bench = Bench::new();
    let said = bench.run(&["new", "stop-block"]).made().out;
    assert!(said.contains("barwright check stop-block.yaml"), "what comes next: {said}");
    let text = bench.text("stop-block.yaml");
    assert!(text.contains("family: stop-block\ntitle: Stop block\n"), "it has its name");
    let checked = bench.run(&["check", "stop-block.yaml"]).made().out;
    assert!(checked.starts_with("good  stop-block.yaml\n"), "nothing is found: {checked}");
    bench.run(&["make", "stop-block.yaml", "-o", "mm"]).made();
    bench.run(&["make", "stop-block.yaml", "--unit", "in", "-o", "inch"]).made();
    bench.run(&["make", "stop-block.yaml", "--like", "short", "-o", "short"]).made();
    assert!(bench.path("mm/drawing.svg").exists(), "a drawing");
    // It is the beginning of someone's work: never written over.
    bench.file("stop-block.yaml", "mine");
    bench.run(&["new", "stop-block"]).refused(&["there already", "try"]);
    assert_eq!(bench.text("stop-block.yaml"), "mine", "untouched");
    assert!(bench.run(&["new", "other", "-o", "-"]).made().out.contains("family: other\n"), "to standard output");
    bench.run(&["new", "Stop Block"]).refused(&["no name of a family"]);
}

#[test]
fn check_shows_everything_with_its_place() {
    let bench = Bench::new();
    let broken = key_text()
        .replacen("is: length", "is: lenght", 1)
        .replacen("must: tongue_height >= 1 mm", "must: tongue_height >= 1", 1)
        .replacen("usual: 0.2\n", "usual: 0.2 mm\n", 1);
    bench.file("broken.yaml", &broken);
    let line = |text: &str| broken.lines().position(|line| line.contains(text)).expect("there") + 1;
    let run = bench.run(&["check", "broken.yaml"]);
    let places = [
        format!("broken.yaml:{}:9", line("is: lenght")),
        format!("broken.yaml:{}:11", line("must: tongue_height >= 1")),
        "did you mean `length`?".to_lowercase(),
    ];
    let said = run.err.to_lowercase();
    for place in &places {
        assert!(said.contains(&place.to_lowercase()), "`{place}` is not in:\n{}", run.err);
    }
    run.refused(&["^^^^", "3 things to mend", "refused  broken.yaml"]);
    let told = bench.run(&["check", "broken.yaml", "joining-key", "--json", "--tries", "50"]);
    assert_eq!((told.code, told.err.as_str()), (1, ""), "JSON goes to standard output");
    let json = told.json();
    assert_eq!((&json["good"], &json["files"][1]["good"]), (&Value::Bool(false), &Value::Bool(true)), "by file");
    let place = &json["files"][0]["findings"][0]["places"][0];
    assert_eq!(place["line"], line("is: lenght"), "{place}");
    assert_eq!(place["text"], "lenght", "{place}");
}

#[test]
fn check_reads_standard_input_and_tries_families() {
    let bench = Bench::new();
    let mut child = bench
        .command(&["check", "-", "--tries", "200"])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program starts");
    let text = key_text().replacen(
        "rules:\n",
        "rules:\n  never:\n    must: key_length > 1 mm\n    else: refused\n    say: Short.\n    source: none\n",
        1,
    );
    child.stdin.take().expect("open").write_all(text.as_bytes()).expect("it reads");
    let run = Run::of(child.wait_with_output().expect("it ends")).made();
    assert!(run.out.contains("Nothing broke the rule `never`") && run.out.contains("200 tries"), "{}", run.out);
    bench.file("usual.yaml", &key_text().replacen("usual: 10 mm", "usual: 4 mm", 1));
    bench.run(&["check", "usual.yaml", "--tries", "50"]).refused(&["The usual sizes in millimetres are refused"]);
    bench.run(&["check", "gone.yaml"]);
    assert_eq!(bench.run(&["check", "gone.yaml"]).code, 1, "no such file");
    bench.run(&["check", "joining-kye"]).refused(&["Did you mean `joining-key`?"]);
}

#[test]
fn colour_is_for_terminals() {
    let bench = Bench::new();
    bench.file("broken.yaml", &key_text().replacen("is: length", "is: lenght", 1));
    let run = bench.run(&["check", "broken.yaml"]);
    assert!(!run.err.contains('\u{1b}'), "plain where nobody sees colours");
    let forced = Run::of(bench.command(&["check", "broken.yaml"]).env("CLICOLOR_FORCE", "1").output().expect("runs"));
    assert!(forced.err.contains('\u{1b}'), "coloured where it is asked for");
    let never = bench.command(&["check", "broken.yaml"]).env("NO_COLOR", "1").output().expect("runs");
    assert!(!Run::of(never).err.contains('\u{1b}'), "and never where it is not wanted");
}

#[test]
fn schema_and_reference() {
    let bench = Bench::new();
    let schema = bench.run(&["schema"]).made().json();
    assert_eq!(schema["$schema"], "https://json-schema.org/draft/2020-12/schema", "its draft");
    assert!(schema["$defs"]["holes"]["properties"]["tapped"].is_object(), "its keys");
    let page = bench.run(&["reference"]).made().out;
    for word in ["`.set_screw`", "`floor`", "`edge_break`", "`countersink`"] {
        assert!(page.contains(word), "{word}");
    }
}

#[test]
fn a_table_of_variants() {
    let bench = Bench::new();
    let vary = ["--vary", "length_per_rail=20mm..40mm/10mm", "--vary", "screw=M4,M5"];
    let arguments = [&["table", "joining-key", "screws=2"] as &[&str], &vary].concat();
    let text = bench.run(&arguments).made().out;
    let lines: Vec<&str> = text.split("\r\n").collect();
    assert_eq!(lines.len(), 8, "a line of names, six variants, and the end: {text}");
    assert!(lines[0].starts_with("number,verdict,length_per_rail (mm),screw,tongue_width (mm)"), "{}", lines[0]);
    assert!(lines[1].starts_with(",refused,20,M4,") && lines[1].contains("from the joint"), "{}", lines[1]);
    assert!(lines[6].starts_with("JK-10mm-4xM5-80mm-brass-c36000,holds,40,M5,10,"), "{}", lines[6]);
    let json = bench.run(&[&arguments as &[&str], &["--json"]].concat()).made().out;
    let rows: Vec<Value> = json.lines().map(|line| serde_json::from_str(line).expect("JSON")).collect();
    assert_eq!((rows.len(), rows[5]["values"]["key_length"].as_f64()), (6, Some(80.0)), "a line each");
    let said = bench.run(&[&arguments as &[&str], &["-o", "t.csv"]].concat()).made().out;
    assert!(said.contains("6 variants, 4 hold") || said.contains("6 variants"), "{said}");
    assert_eq!(bench.text("t.csv"), text, "the same in a file");
    for (words, said) in [
        (["--vary", "length=1mm..2mm/1mm"], "no size `length`"),
        (["--vary", "slot_opening=1mm..400mm/0.001mm"], "more than the 100000"),
        (["--vary", "slot_opening=8..9/1"], "has no unit"),
        (["--vary", "screw=M7"], "M7"),
        (["--like", "nobody"], "required"),
    ] {
        let run = bench.run(&[&["table", "joining-key"] as &[&str], &words].concat());
        assert!(run.code != 0 && run.out.is_empty() && run.err.contains(said), "{words:?}: {}", run.err);
    }
    bench.run(&["table", "joining-key", "--like", "nobody", "--vary", "screws=1..2"]).refused(&["no example"]);
}

#[test]
fn every_row_of_a_list_is_made_or_told_of() {
    let bench = Bench::new();
    bench.file(
        "orders.csv",
        "Length per rail;screws;quantity;title;unit;like\n30 mm;2;20;Short keys;;\n1.5;2;8;;in;warping-frame-inch\n20 mm;4;5;Too short;;\n30 mm;2;few;;;\n30 mm;2;1;=danger();;\n",
    );
    let run = bench.run(&["make", "joining-key", "--list", "orders.csv", "-o", "out"]);
    run.refused(&[
        "row 3, line 4",
        "from the joint",
        "try    length_per_rail=",
        "row 4, line 5",
        "`few` is no number of pieces",
        "3 of 5 rows made, 2 refused",
    ]);
    let made = names(&bench.path("out"));
    assert_eq!(made.len(), 4, "three folders and a report: {made:?}");
    assert!(
        made[0].starts_with("01-JK-10mm") && made[1].starts_with("02-JK-") && made[2].starts_with("05-JK-"),
        "{made:?}"
    );
    for folder in &made[..3] {
        assert!(bench.path(&format!("out/{folder}/part.json")).exists(), "{folder} is whole");
    }
    assert!(bench.path(&format!("out/{}/cut-list.csv", made[0])).exists(), "a quantity brings the tables of an order");
    let report = bench.text("out/report.csv");
    assert_eq!(report.lines().count(), 6, "a line of names, and every row: {report}");
    assert!(report.contains("1,2,20,Short keys,") && report.contains("'=danger()"), "{report}");
    let said = bench.run(&["make", "joining-key", "--list", "orders.csv", "--json", "--dry"]);
    assert_eq!((said.code, said.json()["refused"].as_u64()), (1, Some(2)), "as JSON");
    assert_eq!(said.json()["rows"][2]["verdict"], "refused", "by row");
    // One at a time or several at once: the same.
    bench.run(&["make", "joining-key", "--list", "orders.csv", "-o", "slow", "--jobs", "1"]);
    assert_eq!(
        (names(&bench.path("slow")), bench.text("slow/report.csv")),
        (made, report),
        "whatever the number of jobs"
    );
}

/// A quantity beside a list is that of the rows which give none of their own.
#[test]
fn rows_without_a_quantity_take_the_usual_one() {
    let bench = Bench::new();
    bench.file("orders.csv", "length_per_rail,quantity\n30 mm,20\n30 mm,\n");
    bench.run(&["make", "joining-key", "--list", "orders.csv", "-o", "out", "quantity=3"]).made();
    let report = bench.text("out/report.csv");
    assert!(report.contains("\n1,2,20,") && report.contains("\n2,3,3,"), "{report}");
    let spares = bench.run(&["make", "joining-key", "--list", "orders.csv", "-o", "more", "quantity=3", "spares=1"]);
    spares.refused(&["Spares belong to one order"]);
    assert!(!bench.path("more").exists(), "nothing is written");
}

/// What an earlier list left in the folder is not taken for this one's; what others put there stays.
#[test]
fn a_list_leaves_no_folder_of_the_list_before() {
    let bench = Bench::new();
    let list = |text: &str| {
        bench.file("orders.csv", text);
        bench.run(&["make", "joining-key", "--unit", "mm", "--list", "orders.csv", "-o", "out"])
    };
    list("screw\nM5\nM4\nM5\nM5\n").made();
    let before = names(&bench.path("out"));
    assert_eq!(before.len(), 5, "four folders and a report: {before:?}");
    // Packets that no list made, what is no packet, and a stranger's file in a packet.
    bench.run(&["make", "joining-key", "-o", "out/07-by-hand"]).made();
    bench.run(&["make", "joining-key", "-o", "out/kept"]).made();
    bench.file("out/05-photos/part.json", "{}");
    bench.file("out/06-notes/notes.txt", "mine");
    bench.file(&format!("out/{}/notes.txt", before[3]), "ask about the slot");
    #[cfg(unix)]
    std::os::unix::fs::symlink("kept", bench.path("out/09-link")).expect("a link");
    let run = list("screw\nM4\nM4\n").made();
    let left = names(&bench.path("out"));
    for (at, name) in before.iter().enumerate().take(4) {
        let stays = at == 1 || at == 3;
        assert_eq!(left.contains(name), stays, "{name} of {left:?}");
    }
    assert_eq!(names(&bench.path(&format!("out/{}", before[3]))), ["notes.txt"], "only what is not ours");
    for name in ["05-photos", "07-by-hand", "kept"] {
        assert!(bench.path(&format!("out/{name}/part.json")).exists(), "{name} stays");
    }
    assert!(bench.path("out/06-notes/notes.txt").exists(), "a folder of others stays");
    assert!(cfg!(not(unix)) || bench.path("out/09-link/part.json").exists(), "a link stays, and what it leads to");
    let told: String = run.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(told.contains(&before[0]) && told.contains(&before[2]) && told.contains("cleared away"), "{told}");
    assert!(told.contains("07-by-hand") && told.contains("of no row"), "{told}");
    for name in ["05-photos", "06-notes", "kept", "09-link"] {
        assert!(!told.contains(name), "{name} is no packet of a list: {told}");
    }
    let again = bench.run(&["make", "joining-key", "--unit", "mm", "--list", "orders.csv", "-o", "out", "--json"]);
    let again = again.made().json();
    assert_eq!((&again["cleared"], &again["others"]), (&json!([]), &json!(["07-by-hand"])), "as JSON");
}

/// A folder of a report that somebody wrote by hand leads nowhere else.
#[test]
fn a_report_of_others_clears_nothing_away() {
    let bench = Bench::new();
    bench.run(&["make", "joining-key", "-o", "01-else"]).made();
    bench.file("out/report.csv", "row,line,folder\n1,2,../01-else\n2,3,01-else/../../01-else\n3,4,\"/\"\n");
    bench.file("orders.csv", "screw\nM5\n");
    bench.run(&["make", "joining-key", "--list", "orders.csv", "-o", "out"]).made();
    assert!(bench.path("01-else/part.json").exists(), "out of its folder nothing is touched");
}

#[test]
fn a_list_that_cannot_be_read_makes_nothing() {
    let bench = Bench::new();
    for (text, words) in [
        ("lenght_per_rail\n30 mm\n", ["`lenght_per_rail` is no size", "Did you mean `length_per_rail`?"]),
        ("screws\n", ["no row below the names", "orders.csv"]),
        ("", ["is empty", "first line names the sizes"]),
        ("screws,title\n1,\"x\n", ["opened and not closed", "orders.csv:2"]),
    ] {
        bench.file("orders.csv", text);
        bench.run(&["make", "joining-key", "--list", "orders.csv", "-o", "out"]).refused(&words);
        assert!(!bench.path("out").exists(), "nothing is written");
    }
    bench.file("orders.csv", "screws\n1\n2\n");
    let good = bench.run(&["make", "joining-key", "--list", "orders.csv", "-o", "out"]).made();
    assert!(good.out.contains("2 of 2 rows made, 0 refused"), "{}", good.out);
}

/// The drawing of a table: a few rows on the sheet of the part, many on sheets of their own, and a
/// refusal where the variants are not alike.
#[test]
fn a_table_can_be_drawn() {
    let bench = Bench::new();
    let vary = ["table", "joining-key", "--vary", "length_per_rail=30mm..60mm/10mm"];
    let said = bench.run(&[&vary[..], &["-o", "keys.csv", "--drawing", "keys.pdf"]].concat()).made();
    assert!(format!("{}{}", said.out, said.err).contains("Drawn on 1 sheet "), "{}{}", said.out, said.err);
    let pdf = std::fs::read(bench.path("keys.pdf")).expect("a drawing");
    let count = pdf.windows(b"/Type /Page\n".len()).filter(|part| part == b"/Type /Page\n").count();
    assert_eq!(count, 1, "four rows stand beside the views");
    bench.run(&[&vary[..], &["--drawing", "keys.svg"]].concat()).made();
    let svg = std::fs::read_to_string(bench.path("keys.svg")).expect("a drawing");
    assert!(svg.contains("TABLE") && !svg.contains("..."), "no word of the title block is cut short");
    let many = ["table", "joining-key", "--vary", "length_per_rail=30mm..100mm/2mm"];
    let said = bench.run(&[&many[..], &["-o", "many.csv", "--drawing", "many.pdf"]].concat()).made();
    let pdf = std::fs::read(bench.path("many.pdf")).expect("a drawing");
    let count = pdf.windows(b"/Type /Page\n".len()).filter(|part| part == b"/Type /Page\n").count();
    let told = format!("Drawn on {count} sheets");
    assert!(count > 1 && format!("{}{}", said.out, said.err).contains(&told), "{count}: {}{}", said.out, said.err);
    bench.run(&[&vary[..], &["--vary", "screws=1,2", "--drawing", "both.pdf"]].concat()).refused(&["more than sizes"]);
}

/// The README promises every derived size with its reason and its source; what follows from the
/// shape alone says that it is geometry.
#[test]
fn every_derived_size_has_its_reason_and_its_source() {
    let bench = Bench::new();
    let listed = bench.run(&["families", "--json"]).made().json();
    let families: Vec<&str> =
        listed.as_array().expect("a list").iter().filter_map(|one| one["name"].as_str()).collect();
    assert!(families.len() >= 4, "{listed}");
    for family in families {
        let told = bench.run(&["explain", family, "--json"]).made().json();
        for value in told["follows"].as_array().expect("values") {
            for key in ["why", "source"] {
                let words = value[key].as_str().unwrap_or_default();
                assert!(!words.trim().is_empty(), "{family}: {} has no {key}", value["name"]);
            }
        }
    }
}

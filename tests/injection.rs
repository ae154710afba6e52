//! Hostile texts where people type texts: titles, part numbers, notes, names of tools and of the
//! shop. Each comes out of programs, drawings, papers and tables harmless, and still readable.
//!
//! The texts stand in `facts/hostile.txt`, one string of JSON on each line; the command line's own
//! test (`cli/tests/hostile.rs`) takes the same.
#![allow(clippy::format_push_string, reason = "texts of a test are put together piece by piece")]

use std::collections::{BTreeMap, BTreeSet};
use std::process::Command;

use barwright_core::batch;
use barwright_core::drawing::{Stamp, pdf, svg};
use barwright_core::family::{self, Family};
use barwright_core::job::{self, Goods, Order};
use barwright_core::many;
use barwright_core::program::safe;
use barwright_core::quantity::Unit;
use barwright_core::shop::{self, Shop};
use barwright_core::source::Source;
use barwright_core::variant::Inputs;
use barwright_tests::{CONTROLS, demo_shop, key, order_of, packet_of, text};
use barwright_web::Bench;

fn hostile() -> Vec<String> {
    let all: Vec<String> = text("tests/facts/hostile.txt")
        .lines()
        .map(|line| serde_json::from_str(line).unwrap_or_else(|error| panic!("{line}: {error}")))
        .collect();
    assert!(all.len() > 50, "the corpus is there");
    all
}

/// Whether a text has signs that no sheet of ours can letter: such a part is refused, and told why.
fn strange(text: &str) -> bool {
    text.chars().any(|sign| u32::from(sign) > 0xff && !sign.is_whitespace())
}

/// The demo shop, with this as the name of its owner and of every tool.
fn shop_with(control: &str, text: &str) -> Shop {
    let mut shop = demo_shop(control);
    text.clone_into(&mut shop.owner);
    for tool in &mut shop.tools {
        text.clone_into(&mut tool.title);
    }
    shop
}

/// A file of the house with this text after each of these words; braces open a formula, and are
/// left out.
fn file_with(path: &str, words: &[&str], hostile: &str) -> Source {
    let quoted = serde_json::to_string(hostile).expect("a string").replace(['{', '}'], "");
    let mut file = String::new();
    for line in text(path).lines() {
        let indent = line.len() - line.trim_start().len();
        file += &match words.iter().find(|word| line.trim_start().starts_with(**word)) {
            Some(word) => format!("{:indent$}{} {quoted}\n", "", word.trim_end_matches('"')),
            None => format!("{line}\n"),
        };
    }
    Source::new(path, file)
}

/// The demo shop as a file with such a text gives it; the plain one where that is refused.
fn shop_of_file(hostile: &str) -> Shop {
    let mut files = BTreeMap::new();
    for name in ["shop.yaml", "machine.yaml", "crib.yaml", "rack.yaml", "vise.yaml", "control-canned.yaml"] {
        let words: &[&str] = if name == "shop.yaml" { &["owner:"] } else { &["name:", "title:"] };
        files.insert(name.to_owned(), file_with(&format!("families/shop/{name}"), words, hostile));
    }
    let checked = shop::load(&files, "shop.yaml");
    assert!(checked.value.is_some() || !checked.findings.is_empty(), "read, or told why not");
    checked.value.unwrap_or_else(|| demo_shop(CONTROLS[0]))
}

fn made(family: &Family, title: Option<&str>, shop: &Shop) -> Option<Goods> {
    let inputs = Inputs { unit: Some(Unit::Mm), ..Inputs::default() };
    let own = |text: &str| title.unwrap_or(text).to_owned();
    let stamp =
        Stamp { revision: own("A"), date: Some(own("today")), drawn_by: Some(own("somebody")), ..Stamp::default() };
    let order = Order { inputs, title: title.map(str::to_owned), format: None, stamp, unproved: false };
    let job = job::make(family, &order, shop);
    assert!(job.goods.is_some() || !job.findings.is_empty(), "made, or told why not");
    job.goods
}

/// The joining key with this text wherever its file has words of its own; nothing where a file
/// with such a text is refused.
fn family_with(hostile: &str) -> Option<Family> {
    let words = ["title:", "ask:", "help:", "why:", "say:", "- item:", "number:", "finish:", "- \""];
    let checked = family::load(&file_with("families/joining-key.yaml", &words, hostile));
    assert!(checked.value.is_some() || !checked.findings.is_empty(), "read, or told why not");
    checked.value
}

/// What a control acts on: the text without its comments (RS-274/NGC: brackets; a semicolon to the
/// end of the line).
fn acted_on(program: &str) -> String {
    let mut out = String::new();
    for line in program.lines() {
        let mut inside = false;
        for sign in line.chars() {
            match sign {
                '(' if !inside => inside = true,
                '(' => panic!("a bracket inside a comment: {line}"),
                ')' if inside => inside = false,
                ')' => panic!("a bracket closed that is not open: {line}"),
                ';' if !inside => break,
                _ if inside => {}
                _ => out.push(sign),
            }
        }
        assert!(!inside, "a comment that goes on: {line}");
        out.push('\n');
    }
    out.lines().map(str::trim_end).filter(|line| !line.is_empty()).collect::<Vec<_>>().join("\n")
}

#[test]
fn programs_say_it_in_comments_alone() {
    let family = key();
    for control in CONTROLS {
        let plain = made(&family, Some("Plain"), &shop_with(control, "Plain")).expect("made");
        let plain: Vec<String> = plain.runs.iter().map(|run| acted_on(&run.program.text)).collect();
        for text in hostile() {
            let goods = made(&family, Some(&text), &shop_with(control, &text));
            let Some(goods) = goods else {
                assert!(strange(&text), "{text:?} keeps a part from being made");
                continue;
            };
            for (run, plain) in goods.runs.iter().zip(&plain) {
                let program = &run.program.text;
                assert!(program.chars().all(|sign| sign == '\n' || (' '..='~').contains(&sign)), "{text:?}: ASCII");
                assert_eq!(&acted_on(program), plain, "{control}: {text:?} is acted on");
                let told = |line: &str| line.replace(' ', "").to_uppercase();
                assert!(!program.lines().any(|line| told(line).starts_with("(MSG,")), "{text:?} is a message");
                assert!(!program.lines().any(|line| told(line).starts_with("(DEBUG,")), "{text:?} is a message");
                let title = program.lines().find(|line| line.contains("TITLE "));
                let readable: String = safe(&text).chars().take(20).collect();
                let shown = title.is_none_or(|title| title.contains(readable.trim_end()));
                assert!(shown, "{text:?} is no more to be read in {title:?}");
            }
        }
    }
}

/// The names of a drawing's elements and attributes; every text of it.
fn anatomy(drawing: &str) -> (BTreeSet<String>, String) {
    let tree = roxmltree::Document::parse(drawing).unwrap_or_else(|error| panic!("no XML: {error}"));
    let mut names = BTreeSet::new();
    for node in tree.descendants() {
        assert!(!node.is_comment() && !node.is_pi(), "nothing but elements and text");
        if node.is_element() {
            names.insert(node.tag_name().name().to_owned());
            names.extend(node.attributes().map(|attribute| format!("@{}", attribute.name())));
        }
    }
    (names, tree.descendants().filter_map(|node| node.text()).collect::<Vec<_>>().join(" "))
}

#[test]
fn drawings_show_it_as_text() {
    let family = key();
    let plain = made(&family, Some("Plain"), &demo_shop(CONTROLS[0])).expect("made");
    let (known, _) = anatomy(&svg::write(&plain.sheet));
    for name in ["script", "@href", "@onload", "@style", "image", "a", "foreignObject"] {
        assert!(!known.contains(name), "{name} is not in any drawing of ours");
    }
    let words = |text: &str| -> Vec<String> {
        let plain: String = text.chars().map(|sign| if sign.is_alphanumeric() { sign } else { ' ' }).collect();
        plain.split_whitespace().map(str::to_owned).collect()
    };
    for text in hostile() {
        let shop = shop_of_file(&text);
        let own = family_with(&text).and_then(|family| made(&family, None, &shop));
        let typed = made(&family, Some(&text), &shop);
        assert!(typed.is_some() || strange(&text), "{text:?} is drawn");
        for goods in own.iter().chain(&typed) {
            for sheet in std::iter::once(&goods.sheet).chain(&goods.sheet.following) {
                let drawing = svg::write(sheet);
                let (names, said) = anatomy(&drawing);
                let strange: Vec<&String> = names.difference(&known).collect();
                assert!(strange.is_empty(), "{text:?} brings {strange:?} into the drawing");
                let unfit = |sign: char| sign.is_control() && sign != '\n';
                assert!(!drawing.contains(unfit), "{text:?}: control characters in the drawing");
                for word in words(&text) {
                    assert!(said.contains(&word), "{text:?}: `{word}` is no more to be read");
                }
            }
        }
    }
}

/// Names of a PDF that make a reader act.
const ACTS: [&str; 9] =
    ["/OpenAction", "/JavaScript", "/JS", "/AA", "/Launch", "/URI", "/EmbeddedFile", "/SubmitForm", "/AcroForm"];

#[test]
fn papers_hold_it_as_text() {
    let folder = tempfile::tempdir().expect("a folder");
    let family = key();
    for (at, text) in hostile().into_iter().enumerate() {
        let shop = shop_of_file(&text);
        let own = family_with(&text).and_then(|family| made(&family, None, &shop));
        let Some(goods) = own.or_else(|| made(&family, Some(&text), &shop)) else {
            assert!(strange(&text), "{text:?} is made");
            continue;
        };
        let path = folder.path().join(format!("{at}.pdf"));
        std::fs::write(&path, pdf::write(&[&goods.sheet]).expect("a drawing")).expect("a file");
        let paper = folder.path().join(format!("{at}-packet.pdf"));
        std::fs::write(&paper, packet_of(&goods, &shop, &order_of(&goods, &shop, 12))).expect("a file");
        for path in [path, paper] {
            // QDF form: every object written out, strings as they are, for a search of names.
            let output = Command::new("qpdf").args(["--qdf", "--object-streams=disable"]).arg(&path).arg("-").output();
            let output = output.unwrap_or_else(|error| panic!("qpdf is missing ({error}); see tests/run"));
            let said = String::from_utf8_lossy(&output.stderr).into_owned();
            assert!(output.status.success(), "{text:?}: a sound PDF: {said}");
            let whole = String::from_utf8_lossy(&output.stdout).into_owned();
            for line in whole.lines().filter(|line| !line.contains('(') && !line.contains('<')) {
                for name in ACTS {
                    assert!(!line.contains(name), "{text:?}: {name} in {}: {line}", path.display());
                }
            }
        }
    }
}

/// What no spreadsheet runs: a number, or what begins with no sign of a formula.
fn is_no_formula(cell: &str) -> bool {
    !cell.starts_with(['=', '+', '-', '@', '\t', '\r', '\n']) || cell.parse::<f64>().is_ok()
}

#[test]
fn tables_hold_it_as_text() {
    let shown = |list: &[Vec<String>], text: &str| {
        let longest = text.split(|sign: char| !sign.is_alphanumeric()).max_by_key(|word| word.len()).unwrap_or("");
        list.iter().flatten().any(|cell| cell.contains(longest))
    };
    let mut families = 0;
    for text in hostile() {
        let shop = shop_of_file(&text);
        let Some(family) = family_with(&text) else { continue };
        let Some(goods) = made(&family, None, &shop) else { continue };
        families += 1;
        let (batch, digest, unit) = (order_of(&goods, &shop, 12).batch, goods.record.digest.clone(), goods.part.unit);
        let tables = BTreeMap::from([
            ("first piece", job::first_piece_csv(&goods)),
            ("cut list", batch::cut_list_csv(&batch.cut_list, unit, &digest)),
            ("loads", batch::loads_csv(&batch.setups, unit, &digest)),
            ("times", batch::times_csv(&batch.setups, &batch.route, &digest)),
            ("route", batch::route_csv(&batch.route, &digest)),
            ("hardware", batch::hardware_csv(&batch.hardware, &digest)),
            ("list", many::line([text.as_str(), "x"])),
        ]);
        let mut all = Vec::new();
        for (name, table) in tables {
            let mut reader = csv::ReaderBuilder::new().has_headers(false).flexible(true).from_reader(table.as_bytes());
            for row in reader.records() {
                let row = row.unwrap_or_else(|error| panic!("{name} with {text:?}: {error}"));
                let cells: Vec<String> = row.iter().map(str::to_owned).collect();
                for cell in &cells {
                    assert!(is_no_formula(cell), "{name} with {text:?}: {cell:?} is a formula");
                }
                all.push(cells);
            }
        }
        assert!(shown(&all, &text), "{text:?} is no more to be read");
    }
    assert!(families > 30, "most of the texts are read in a family: {families}");
}

#[test]
fn the_page_is_given_text_and_drawings_alone() {
    let mut desk = Bench::default();
    let quoted = |text: &str| serde_json::to_string(text).expect("a string");
    for text in hostile() {
        desk.open_family("joining-key", None);
        let order = format!("{{\"unit\":\"mm\",\"sizes\":{{\"screw\":{}}}}}", quoted(&text));
        let told: serde_json::Value = serde_json::from_str(&desk.make(&order)).expect("JSON");
        assert!(told["goods"].is_null() && desk.archive().is_none(), "{text:?} is no screw");
        desk.open_family(&text, None);
        desk.open_shop(Some(&format!("{{{}:\"x\"}}", quoted(&text))), Some(&text));
        desk.open_shop(None, None);
        assert!(desk.file(&text).is_none(), "no file of this name");
    }
}

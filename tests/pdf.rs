//! The PDF of a drawing, read by programs that are not ours.
//!
//! Page, text and lettering are read back with the poppler utilities, the file's structure is
//! checked by qpdf, and lengths are measured on its dots.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::process::Command;

use barwright_core::drawing::{self, Anchor, Convention, Format, Item, Paper, Role, Shape, Sheet, Stamp, pdf};
use barwright_core::family::{self, Family};
use barwright_core::geom::{Point, Rect};
use barwright_core::job::{self, Order};
use barwright_core::quantity::Unit;
use barwright_core::shop::{self, Shop};
use barwright_core::source::Source;
use barwright_core::variant::{self, Inputs};

/// Runs a program of the machine and gives what it says; fails with its name where it is missing.
#[track_caller]
fn run(program: &str, arguments: &[&str]) -> String {
    let output = Command::new(program).args(arguments).output().unwrap_or_else(|error| {
        panic!("{program} is missing ({error}); these tests need the packages poppler-utils and qpdf")
    });
    let told = String::from_utf8_lossy(&output.stdout).into_owned();
    assert!(
        output.status.success(),
        "{program} {arguments:?}: {}{told}{}",
        output.status,
        String::from_utf8_lossy(&output.stderr)
    );
    told
}

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

fn source(path: &str) -> Source {
    let text = std::fs::read_to_string(root().join(path)).unwrap_or_else(|error| panic!("{path}: {error}"));
    Source::new(path, text)
}

struct House {
    family: Family,
    shop: Shop,
}

impl House {
    fn new() -> Self {
        let family = family::load(&source("families/joining-key.yaml")).into_result().expect("the family is good");
        let folder = std::fs::read_dir(root().join("families/shop")).expect("the demo shop");
        let files = folder
            .map(|entry| entry.expect("an entry").file_name().into_string().expect("a plain name"))
            .map(|name| (name.clone(), source(&format!("families/shop/{name}"))))
            .collect();
        let shop = shop::load(&files, "shop.yaml").into_result().expect("the shop is good");
        Self { family, shop }
    }

    /// The sheet of a variant; nothing where it is refused.
    fn sheet(&self, like: &str, given: &[(&str, &str)], format: (Convention, Paper)) -> Option<Sheet> {
        let order = Order {
            inputs: Inputs {
                unit: None,
                like: Some(like.to_owned()),
                given: given.iter().map(|(name, value)| ((*name).to_owned(), (*value).to_owned())).collect(),
            },
            title: None,
            format: Some(Format { convention: format.0, paper: format.1, ..Format::usual(Unit::Mm) }),
            stamp: Stamp { revision: "A".into(), date: Some("2026-11-25".into()), ..Stamp::default() },
            unproved: false,
        };
        job::make(&self.family, &order, &self.shop).goods.map(|goods| goods.sheet)
    }

    #[track_caller]
    fn usual(&self, convention: Convention, paper: Paper) -> Sheet {
        let like = if convention == Convention::Iso { "warping-frame" } else { "warping-frame-inch" };
        self.sheet(like, &[], (convention, paper)).expect("the example is made")
    }
}

/// A PDF in a folder of its own, which goes with it.
struct Filed {
    folder: tempfile::TempDir,
}

impl Filed {
    #[track_caller]
    fn new(sheets: &[&Sheet]) -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        let bytes = pdf::write(sheets).expect("a sheet that was laid out can be written");
        std::fs::write(folder.path().join("drawing.pdf"), bytes).expect("room on the disk");
        Self { folder }
    }

    fn path(&self) -> String {
        self.folder.path().join("drawing.pdf").to_str().expect("a plain path").to_owned()
    }

    /// Draws a box of the page, in millimetres from its upper left corner, in grey.
    fn dots(&self, dpi: u32, (left, top, width, height): (f64, f64, f64, f64)) -> Dots {
        let per = f64::from(dpi) / 25.4;
        let whole = |value: f64| format!("{:.0}", value * per);
        let target = self.folder.path().join("dots");
        let target_name = target.to_str().expect("a plain path");
        let (x, y, w, h) = (whole(left), whole(top), whole(width), whole(height));
        let words = [
            "-r",
            &dpi.to_string(),
            "-gray",
            "-x",
            &x,
            "-y",
            &y,
            "-W",
            &w,
            "-H",
            &h,
            "-singlefile",
            &self.path(),
            target_name,
        ];
        run("pdftoppm", &words);
        Dots::read(&target.with_extension("pgm"))
    }

    /// Draws the whole page.
    fn page(&self, dpi: u32) -> Dots {
        let target = self.folder.path().join("page");
        run(
            "pdftoppm",
            &["-r", &dpi.to_string(), "-gray", "-singlefile", &self.path(), target.to_str().expect("plain")],
        );
        Dots::read(&target.with_extension("pgm"))
    }
}

/// A grey picture.
struct Dots {
    width: usize,
    grey: Vec<u8>,
}

impl Dots {
    /// Reads a plain grey map as pdftoppm writes it: `P5`, width and height, most, each on a line.
    fn read(path: &Path) -> Self {
        let bytes = std::fs::read(path).expect("a picture was drawn");
        let mut lines = bytes.splitn(4, |byte| *byte == b'\n');
        assert_eq!(lines.next(), Some(b"P5".as_slice()), "a grey map");
        let extent = String::from_utf8(lines.next().expect("an extent").to_vec()).expect("text");
        let width = extent.split(' ').next().and_then(|text| text.parse().ok()).expect("a width");
        let grey = lines.nth(1).expect("dots").to_vec();
        Self { width, grey }
    }

    fn row(&self, index: usize) -> Vec<u8> {
        self.grey[index * self.width..(index + 1) * self.width].to_vec()
    }

    fn column(&self, index: usize) -> Vec<u8> {
        self.grey.iter().skip(index).step_by(self.width).copied().collect()
    }
}

/// Middles of the dark runs in a row of dots, in dots.
fn strokes(row: &[u8]) -> Vec<f64> {
    let mut middles = Vec::new();
    let mut since = None;
    for (index, grey) in row.iter().chain([&255]).enumerate() {
        match (*grey < 128, since) {
            (true, None) => since = Some(index),
            (false, Some(start)) => {
                middles.push(f64::from(u32::try_from(start + index).expect("few dots")) / 2.0);
                since = None;
            }
            _ => {}
        }
    }
    middles
}

const PAPERS: [(Convention, Paper, f64, f64); 4] = [
    (Convention::Iso, Paper::A4, 297.0, 210.0),
    (Convention::Iso, Paper::A3, 420.0, 297.0),
    (Convention::Asme, Paper::Letter, 279.4, 215.9),
    (Convention::Asme, Paper::Tabloid, 431.8, 279.4),
];

/// ISO 216; ASME Y14.1 sizes A and B. pdfinfo prints a hundredth of a millimetre.
#[test]
fn pages_are_of_the_size_of_the_paper() {
    let house = House::new();
    for (convention, paper, width, height) in PAPERS {
        let filed = Filed::new(&[&house.usual(convention, paper)]);
        let told = run("pdfinfo", &["-box", &filed.path()]);
        let line = told.lines().find(|line| line.starts_with("MediaBox:")).expect("a media box");
        let numbers: Vec<f64> = line.split_whitespace().skip(1).map(|text| text.parse().expect("a number")).collect();
        let close = |points: f64, mm: f64| (points * 25.4 / 72.0 - mm).abs() < 0.003;
        assert!(close(numbers[2], width) && close(numbers[3], height), "{paper:?}: {line}");
        assert!((numbers[0], numbers[1]) == (0.0, 0.0), "{paper:?} starts at the corner: {line}");
        let told_of =
            |name: &str| told.lines().find_map(|line| line.strip_prefix(name)).unwrap_or("").trim().to_owned();
        assert_eq!(told_of("Pages:"), "1", "{told}");
        assert!(told_of("Title:").contains("Joining key"), "the file is named: {told}");
        assert!(told_of("Title:").starts_with(&told_of("Subject:")), "the subject is the number: {told}");
        assert!(!told.contains("Date:"), "no date: {told}");
    }
}

/// On dots of 0.01 mm: the frame's corner is the zero of both bars, their last tick is 100 mm off.
#[test]
fn check_bars_are_100_mm_on_paper() {
    let house = House::new();
    let per = 100.0;
    for (convention, paper, _, height) in PAPERS {
        let sheet = house.usual(convention, paper);
        let filed = Filed::new(&[&sheet]);
        let (left, top) = (sheet.frame.low.x, height - sheet.frame.high.y);
        // 1 mm inside the frame, so that the ticks of the bar are cut and the frame's line is not run along.
        let across = strokes(&filed.dots(2540, (left - 2.0, top + 1.0, 106.0, 0.02)).row(0));
        let down = strokes(&filed.dots(2540, (left + 1.0, top - 2.0, 0.02, 106.0)).column(0));
        for (way, ticks) in [("across", across), ("down", down)] {
            assert_eq!(ticks.len(), 11, "{paper:?} {way}: the frame and ten ticks at {ticks:?}");
            let long = (ticks[10] - ticks[0]) / per;
            assert!((long - 100.0).abs() <= 0.02, "{paper:?} {way}: the bar is {long} mm");
        }
    }
}

#[test]
fn lettering_is_embedded_and_readable() {
    let house = House::new();
    for (convention, paper, _, _) in PAPERS {
        let filed = Filed::new(&[&house.usual(convention, paper)]);
        let told = run("pdffonts", &[&filed.path()]);
        let rows: Vec<&str> = told.lines().skip(2).collect();
        assert_eq!(rows.len(), 1, "one face: {told}");
        let words: Vec<&str> = rows[0].split_whitespace().collect();
        assert!(words[0].ends_with("+BarwrightLettering"), "a part of our face: {told}");
        assert!(rows[0].contains("CID TrueType") && rows[0].contains("Identity-H"), "{told}");
        assert_eq!(words[words.len() - 5..words.len() - 2], ["yes", "yes", "yes"], "emb, sub, uni: {told}");
    }
}

fn texts(sheet: &Sheet) -> Vec<&str> {
    let text = |item: &Item| matches!(item.shape, Shape::Text { .. });
    let words = sheet.items.iter().filter(|item| text(item)).map(|item| match &item.shape {
        Shape::Text { text, .. } => text.as_str(),
        _ => "",
    });
    words.collect()
}

fn dense(text: &str) -> String {
    text.split_whitespace().collect()
}

/// The file gives the words of a sheet and no other, whoever copies them.
#[track_caller]
fn words_agree(name: &str, sheet: &Sheet) {
    let filed = Filed::new(&[&Sheet { following: Vec::new(), ..sheet.clone() }]);
    // In the order of drawing; blanks between neighbours are the reader's guess.
    let mut rest = dense(&run("pdftotext", &["-raw", "-enc", "UTF-8", &filed.path(), "-"]));
    for text in texts(sheet) {
        let text = dense(text);
        let at = rest.find(&text).unwrap_or_else(|| panic!("{name}: {text:?} is not in what is left: {rest}"));
        rest.replace_range(at..at + text.len(), "");
    }
    assert_eq!(rest, "", "{name}: the file holds no text beside the sheet's");
}

#[test]
fn every_text_is_found_in_the_file() {
    let house = House::new();
    let mut signs = BTreeSet::new();
    for (convention, paper, _, _) in PAPERS {
        let sheet = house.usual(convention, paper);
        words_agree(&format!("{paper:?}"), &sheet);
        signs.extend(texts(&sheet).concat().chars().filter(|sign| !sign.is_ascii()));
    }
    assert!(signs.contains(&'⌀'), "the sheets show a diameter sign; seen: {signs:?}");
}

#[test]
fn same_sheet_same_bytes_and_sound_structure() {
    let house = House::new();
    let (a, b) = (House::new().usual(Convention::Iso, Paper::A4), house.usual(Convention::Iso, Paper::A4));
    assert!(pdf::write(&[&a]) == pdf::write(&[&b]), "two runs differ");
    let letter = house.usual(Convention::Asme, Paper::Letter);
    for sheets in [vec![&a], vec![&letter], vec![&a, &letter, &b]] {
        let filed = Filed::new(&sheets);
        let told = run("qpdf", &["--check", &filed.path()]);
        assert!(told.contains("No syntax or stream encoding errors"), "{told}");
        let pages = run("qpdf", &["--show-npages", &filed.path()]);
        assert_eq!(pages.trim(), sheets.len().to_string(), "a page for each sheet");
        let plain = run("qpdf", &["--qdf", "--object-streams=disable", &filed.path(), "-"]);
        for wanted in ["/PrintScaling /None", "/DisplayDocTitle true", "/Lang (en)"] {
            assert!(plain.contains(wanted), "the catalogue lacks {wanted}");
        }
    }
}

#[test]
fn what_cannot_be_lettered_is_refused() {
    let mut sheet = House::new().usual(Convention::Iso, Paper::A4);
    let at = Point::new(50.0, 50.0);
    let shape = Shape::Text {
        at,
        anchor: Anchor::Start,
        height: 3.5,
        upright: false,
        text: "a鍵".into(),
        ink: Rect::new(at, at),
    };
    let pen = sheet.items[0].pen;
    sheet.items.push(Item { shape, role: Role::Text, pen, shows: None });
    assert_eq!(pdf::write(&[&sheet]), Err(pdf::Unwritable::Character('鍵')), "never a box");
    assert_eq!(pdf::write(&[]), Err(pdf::Unwritable::Nothing), "no sheet, no file");
}

/// Sizes that people ask for, both conventions.
fn variants(house: &House) -> Vec<(String, Sheet)> {
    let sizes: [&[(&str, &str)]; 8] = [
        &[],
        &[("screw", "M4")],
        &[("screw", "10-32")],
        &[("screws", "1")],
        &[("screws", "3"), ("length_per_rail", "50 mm")],
        &[("screws", "4"), ("length_per_rail", "60 mm"), ("material", "aluminium-6061-t6")],
        &[("slot_opening", "9.5 mm")],
        &[("screws", "3"), ("screw", "M4"), ("length_per_rail", "45 mm")],
    ];
    let mut made = Vec::new();
    for like in ["warping-frame", "warping-frame-inch"] {
        for given in sizes {
            for format in [(Convention::Iso, Paper::A4), (Convention::Asme, Paper::Letter)] {
                if let Some(sheet) = house.sheet(like, given, format) {
                    made.push((format!("{like} {given:?} {:?}", format.0), sheet));
                }
            }
        }
    }
    made
}

/// Sheets of the other families, on every paper: sections, both ends, grids, slots, and long bars with
/// pieces left out.
fn others(house: &House) -> Vec<(String, Sheet)> {
    type Sizes = &'static [(&'static str, &'static str)];
    let sizes: [(&str, &str, Sizes); 9] = [
        ("spacer-bar", "frame-end", &[]),
        ("spacer-bar", "frame-end", &[("length", "300 mm")]),
        ("spacer-bar", "frame-end", &[("length", "380 mm"), ("heads", "bottom"), ("cross_holes", "3")]),
        ("spacer-bar", "pinned-inch", &[]),
        ("spacer-bar", "end-screwed", &[]),
        ("tapped-plate", "", &[]),
        ("tapped-plate", "", &[("length", "200 mm"), ("width", "100 mm")]),
        ("clamp-bar", "", &[]),
        ("joining-key", "warping-frame", &[("length_per_rail", "180 mm")]),
    ];
    let rack = &house.shop.rack;
    let mut made = Vec::new();
    for (name, like, given) in sizes {
        let family = family::load(&source(&format!("families/{name}.yaml"))).into_result().expect("a good family");
        let example = family.examples.iter().find(|one| one.name == like).or(family.examples.first());
        let example = example.expect("an example");
        let inputs = Inputs {
            unit: example.unit,
            like: Some(example.name.clone()),
            given: given.iter().map(|(name, value)| ((*name).to_owned(), (*value).to_owned())).collect(),
        };
        let Some(part) = variant::derive(&family, &inputs, rack).part else { continue };
        for (convention, paper, _, _) in PAPERS {
            let format = Format { convention, paper, ..Format::usual(Unit::Mm) };
            let stamp = Stamp { revision: "A".into(), owner: "Heddle Row Workshop".into(), ..Stamp::default() };
            let sheet = drawing::lay_out(&part, &format, &stamp).value.expect("it finds room");
            made.push((format!("{name} {like} {given:?} {paper:?}"), sheet));
        }
    }
    made
}

#[test]
fn words_of_all_families_are_in_their_files() {
    let others = others(&House::new());
    assert!(others.len() >= 28, "only {} of 36 sheets are made", others.len());
    for (name, sheet) in others.iter().step_by(3) {
        words_agree(name, sheet);
    }
    let broken = |sheet: &Sheet| sheet.items.iter().filter(|item| item.role == Role::Break).count() >= 8;
    assert!(others.iter().any(|(_, sheet)| broken(sheet)), "a bar with pieces left out is among them");
}

/// Independent of the boxes that the layout believes in: the letters and the lines are drawn each
/// on a page of their own, and no dot is dark on both.
#[test]
fn no_letter_touches_a_line() {
    let house = House::new();
    let mut variants = variants(&house);
    assert!(variants.len() >= 28, "only {} of 32 variants are made", variants.len());
    variants.extend(others(&house));
    let mut bad = Vec::new();
    for (name, sheet) in &variants {
        let is_text = |item: &Item| matches!(item.shape, Shape::Text { .. });
        let (text, lines): (Vec<Item>, Vec<Item>) = sheet.items.iter().cloned().partition(is_text);
        let [text, lines] = [text, lines].map(|items| Filed::new(&[&Sheet { items, ..sheet.clone() }]).page(200));
        assert_eq!(text.grey.len(), lines.grey.len(), "{name}: pages of one size");
        let dark = |dots: &Dots| dots.grey.iter().filter(|grey| **grey < 128).count();
        assert!(dark(&text) > 5000 && dark(&lines) > 5000, "{name}: both pages hold something");
        let both: Vec<usize> =
            (0..text.grey.len()).filter(|at| text.grey[*at] < 160 && lines.grey[*at] < 160).collect();
        if let Some(first) = both.first() {
            let mm = |dots: usize| f64::from(u32::try_from(dots).expect("few dots")) * 25.4 / 200.0;
            let (x, y) = (mm(first % text.width), sheet.height - mm(first / text.width));
            bad.push(format!("{name}: {} dots, the first at {x:.1}, {y:.1} mm", both.len()));
        }
    }
    assert!(bad.is_empty(), "letters touch lines:\n{}", bad.join("\n"));
}

/// A copier that knows black and white alone, at 200 dots to the inch: every line is still there along
/// its whole length, and letters are neither gone nor filled in.
#[test]
fn one_bit_of_200_dpi_keeps_everything() {
    let house = House::new();
    let per = 200.0 / 25.4;
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "dots of a page")]
    let dot = |mm: f64| (mm * per).floor().max(0.0) as usize;
    for (name, sheet) in others(&house).iter().step_by(5) {
        let dots = Filed::new(&[&Sheet { following: Vec::new(), ..sheet.clone() }]).page(200);
        let black = |x: usize, y: usize| dots.grey.get(y * dots.width + x).is_some_and(|grey| *grey < 128);
        let near = |at: Point| {
            let (x, y) = (dot(at.x), dot(sheet.height - at.y));
            (y.saturating_sub(1)..=y + 1).any(|y| (x.saturating_sub(1)..=x + 1).any(|x| black(x, y)))
        };
        let (mut points, mut letters) = (0, 0);
        for item in &sheet.items {
            let lines = match &item.shape {
                Shape::Line(a, b) => vec![(*a, *b)],
                Shape::Dashes(dashes) => dashes.clone(),
                Shape::Text { ink, .. } => {
                    let (left, right) = (dot(ink.low.x), dot(ink.high.x));
                    let (top, floor) = (dot(sheet.height - ink.high.y), dot(sheet.height - ink.low.y));
                    let all = (floor - top + 1) * (right - left + 1);
                    let dark = (top..=floor).flat_map(|y| (left..=right).map(move |x| (x, y)));
                    let dark = dark.filter(|(x, y)| black(*x, *y)).count();
                    assert!(dark * 20 > all && dark * 2 < all, "{name}: {dark} of {all} dots of {:?}", item.shape);
                    letters += 1;
                    continue;
                }
                _ => continue,
            };
            for (from, to) in lines {
                let steps = (from.distance(to) / 0.25).ceil().max(1.0);
                let mut step = 0.0;
                while step <= steps {
                    let at = from + (to - from) * (step / steps);
                    assert!(near(at), "{name}: {item:?} is gone at {at:?}");
                    step += 1.0;
                    points += 1;
                }
            }
        }
        assert!(points > 1000 && letters > 30, "{name}: {points} places, {letters} words");
    }
}

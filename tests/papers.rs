//! What the papers say to whoever holds them: nothing that was not measured looks measured, one
//! thing has one word and one figure on every paper, and the tables can be read.

use std::collections::{BTreeMap, BTreeSet};

use barwright_core::batch::{self, Count};
use barwright_core::drawing::{Shape, Sheet};
use barwright_core::job::{Goods, first_piece_csv};
use barwright_core::quantity::Unit;
use barwright_core::variant::Inputs;
use barwright_tests::{FAMILIES, built_in, demo_shop, house, make, order_of};

/// Every family in its usual sizes, in both units.
fn each(judge: impl Fn(&str, &Goods)) {
    let shop = demo_shop("canned");
    for name in FAMILIES {
        for unit in [Unit::Mm, Unit::Inch] {
            let job = make(&built_in(name), Inputs { unit: Some(unit), ..Inputs::default() }, &shop);
            judge(&format!("{name} in {}", unit.sign()), &job.goods.expect("its usual sizes are good"));
        }
    }
}

/// The rows of a table, each with its cells by their heads.
fn rows(table: &str) -> Vec<BTreeMap<String, String>> {
    let mut reader = csv::Reader::from_reader(table.as_bytes());
    reader.deserialize().map(|row| row.expect("a row as long as the head")).collect()
}

#[test]
fn the_first_piece_table_is_no_record_of_an_inspection() {
    each(|seed, goods| {
        let rows = rows(&first_piece_csv(goods));
        assert!(rows.len() > 5, "{seed}: a table");
        for row in &rows {
            let name = &row["name"];
            assert_eq!(row["good"], "", "{seed}, {name}: nobody has judged it");
            assert_eq!(row["proof"].is_empty(), row["proof good"].is_empty(), "{seed}, {name}: a verdict of nothing");
            assert!(!row["with what"].is_empty(), "{seed}, {name}: a gauge");
            let gauged = [".pitch_diameter", ".major", ".lead"].iter().any(|end| name.ends_with(end));
            assert_eq!(row["read"], if gauged { "gauge" } else { "" }, "{seed}, {name}: nobody has read it");
            assert!(!gauged || row["with what"].starts_with("plug "), "{seed}, {name}: {}", row["with what"]);
        }
        let bar = rows.iter().find(|row| row["name"] == "bar.width").expect("the bar");
        assert_eq!((bar["proof"].as_str(), bar["proof good"].as_str()), ("", ""), "{seed}: no motion makes the bar");
        assert!(rows.iter().any(|row| row["proof good"] == "yes"), "{seed}: what the program cuts is proved");
    });
}

/// The number of a row is that of the balloon on the drawing and of the row on the printed sheet, and
/// each chamfer that the drawing shows has one. Its limits are those of the drawing's own table.
#[test]
fn table_sheet_and_drawing_have_one_number() {
    each(|seed, goods| {
        let rows = rows(&first_piece_csv(goods));
        let pages = pages(goods, 24);
        let printed: BTreeSet<String> = pages.iter().flat_map(texts).map(|(.., text)| text).collect();
        let mut chamfers = 0;
        for row in &rows {
            let (name, number) = (&row["name"], &row["no"]);
            if !number.is_empty() {
                assert!(printed.contains(number), "{seed}, {name}: no row or balloon {number}");
            }
            // The thread's own parts have its number; ends and words stand on no sheet.
            let own = [".x", ".y", ".minor", ".pitch_diameter", ".chamfer"].iter().any(|end| name.ends_with(end));
            assert!(!own || !number.is_empty(), "{seed}, {name}: a number");
            if name.ends_with(".chamfer") {
                chamfers += 1;
                let off = row["most"].parse::<f64>().expect("a figure") - row["nominal"].parse::<f64>().expect("one");
                // ISO 2768-1, table 1, class m: 0.1 up to 6 mm, 0.2 up to 30 mm; three decimals of an inch 0.005
                // (common practice, no source).
                let wide = row["nominal"].parse::<f64>().expect("a figure");
                let want = match goods.part.unit {
                    Unit::Inch => 0.005,
                    Unit::Mm if wide <= 6.0 => 0.1,
                    Unit::Mm => 0.2,
                };
                assert!((off - want).abs() < 1e-6, "{seed}, {name}: ±{off} where the drawing says ±{want}");
            }
        }
        let shown = goods.part.holes().filter(|(_, holes)| holes.chamfer.is_some());
        let shown: usize = shown.map(|(_, holes)| holes.places.len()).sum();
        assert_eq!(chamfers, shown, "{seed}: a row for each chamfer");
    });
}

/// A pin enters the hole that the program drills: 5.5 mm where 0.221 in is drawn.
#[test]
fn a_pin_enters_the_hole_as_drilled() {
    let mut pins = 0;
    each(|seed, goods| {
        let all = rows(&first_piece_csv(goods));
        for row in &all {
            let Some(pin) = row["with what"].strip_prefix("pin ").and_then(|text| text.split(' ').next()) else {
                continue;
            };
            let Some((hole, _)) = row["name"].rsplit_once('.') else { continue };
            let Ok(pin) = pin.parse::<f64>() else { continue };
            let of = |what: &str| all.iter().find(|other| other["name"] == format!("{hole}.{what}"));
            let Some(cut) = of("minor").and_then(|width| width["proof"].parse::<f64>().ok()) else { continue };
            assert!(pin <= cut + 1e-9 && pin > cut * 0.98, "{seed}, {}: pin {pin} in a hole of {cut}", row["name"]);
        }
    });
    let job =
        make(&built_in("tapped-plate"), Inputs { unit: Some(Unit::Inch), ..Inputs::default() }, &demo_shop("canned"));
    let goods = job.goods.expect("its usual sizes are good");
    for row in rows(&first_piece_csv(&goods)) {
        if row["name"].starts_with("corner_holes.") && row["with what"].starts_with("pin ") {
            pins += 1;
            // 5.5 mm is 0.21654 in.
            assert!(row["with what"].starts_with("pin 0.2165 in"), "{}: {}", row["name"], row["with what"]);
        }
    }
    assert!(pins > 0, "holes for screws");
}

/// The texts of a page, each with its height and the place where it begins.
fn texts(sheet: &Sheet) -> Vec<(f64, f64, String)> {
    let text = |shape: &Shape| match shape {
        Shape::Text { at, height, text, .. } => Some((at.y, *height, text.clone())),
        _ => None,
    };
    sheet.items.iter().filter_map(|item| text(&item.shape)).collect()
}

/// The words of all heads of the packet's tables, as its own text has them: `("Nominal", 17.0,`.
fn heads() -> BTreeSet<String> {
    let mut words = BTreeSet::new();
    for file in std::fs::read_dir(house().join("core/src/packet")).expect("the room").flatten() {
        let text = std::fs::read_to_string(file.path()).expect("its text");
        for piece in text.split("(\"").skip(1) {
            let Some((head, after)) = piece.split_once("\", ") else { continue };
            if after.contains("Side::") && after.starts_with(|sign: char| sign.is_ascii_digit()) {
                words.extend(head.split(' ').map(str::to_owned));
            }
        }
    }
    words
}

/// The pages of the packet of an order of so many.
fn pages(goods: &Goods, count: u32) -> Vec<Sheet> {
    let shop = demo_shop("canned");
    order_of(goods, &shop, count).pages(goods, &shop)
}

#[test]
fn no_head_of_a_table_is_broken_inside_a_word() {
    let heads = heads();
    assert!(heads.len() > 50 && heads.contains("Nominal"), "the heads were found: {heads:?}");
    each(|seed, goods| {
        for (at, page) in pages(goods, 24).iter().enumerate() {
            let texts = texts(page);
            for (y, height, upper) in &texts {
                let below = |other: &f64| *other < *y && *y - *other < 2.0 * height;
                for (_, _, lower) in texts.iter().filter(|(other, ..)| below(other)) {
                    let word = format!("{}{lower}", upper.rsplit(' ').next().unwrap_or(""));
                    assert!(!heads.contains(&word), "{seed}, page {}: `{upper}` / `{lower}`", at + 1);
                }
            }
        }
    });
}

#[test]
fn one_gauge_is_used_up_before_the_next() {
    each(|seed, goods| {
        let pages = pages(goods, 24);
        let all: Vec<String> = pages.iter().flat_map(texts).map(|(.., text)| text).collect();
        // `9.1`, then what it is of; the last words of the title tell pins from plugs.
        let numbered = |text: &str| {
            let (group, row) = text.split_once('.')?;
            let figures = |text: &str| !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
            (figures(group) && figures(row)).then(|| (group.to_owned(), row.parse::<usize>().ok()))
        };
        let mut kinds: BTreeMap<String, Vec<String>> = BTreeMap::new();
        for (at, text) in all.iter().enumerate() {
            let Some((group, Some(row))) = numbered(text) else { continue };
            let told = all.iter().skip(at + 1).take(4).cloned().collect::<Vec<_>>().join(" ");
            let kind = ["minor diameter", "pitch diameter", "chamfer"].iter().find(|kind| told.contains(*kind));
            let Some(kind) = kind else { continue };
            let list = kinds.entry(group).or_default();
            if row > list.len() && list.last().is_none_or(|last| last != kind) {
                assert!(!list.iter().any(|known| known == kind), "{seed}: {kind} again at {text}");
            }
            list.push((*kind).to_owned());
        }
        let threads = goods.part.holes().any(|(_, holes)| holes.thread().is_some());
        assert!(!threads || kinds.values().any(|list| list.len() > 1), "{seed}: rows were found");
    });
}

#[test]
fn key_and_torque_are_said_alike_on_drawing_list_and_label() {
    let shop = demo_shop("canned");
    for unit in [Unit::Mm, Unit::Inch] {
        let job = make(&built_in("joining-key"), Inputs { unit: Some(unit), ..Inputs::default() }, &shop);
        let goods = job.goods.expect("its usual sizes are good");
        let note = goods.part.notes.iter().find(|note| note.contains("Clamped by")).expect("the drawing's note");
        let items = order_of(&goods, &shop, 24).batch.hardware;
        let screw = items.iter().find(|item| !item.torque.is_empty()).expect("the screws");
        let torque = screw.torque.split(" (").next().expect("the torque in the unit of the drawing");
        assert!(note.contains(&format!("key {},", screw.key)), "{note} and {}", screw.key);
        assert!(note.contains(&format!("{torque} each")), "{note} and {torque}");
        let label = batch::label(&goods.part, Count { ordered: 24, spares: 0 }, "A", "", "").join("\n");
        assert!(label.contains(&format!("key {}", screw.key)) && label.contains(torque), "{label}");
    }
}

#[test]
fn whoever_saws_by_the_drawing_saws_by_the_cut_list() {
    each(|seed, goods| {
        let list = order_of(goods, &demo_shop("canned"), 24).batch.cut_list;
        let sawn = list.bars.first().and_then(|bar| bar.cuts.first()).expect("a cut").length;
        let unit = goods.part.unit;
        assert!(sawn > goods.part.length.nominal, "{seed}: something is left to mill or to face");
        let drawn: Vec<String> = texts(&goods.sheet).into_iter().map(|(.., text)| text).collect();
        let stock = drawn.iter().find_map(|text| text.strip_suffix(" LONG")).expect("the stock");
        let long: f64 = stock.rsplit(' ').next().and_then(|figure| figure.parse().ok()).expect("its length");
        // A figure of the drawing has three places in millimetres and four in inches.
        let place = if unit == Unit::Mm { 0.000_5 } else { 0.000_05 };
        assert!((long - unit.of(sawn)).abs() <= place, "{seed}: {stock} LONG, cut {}", unit.say(sawn));
    });
}

#[test]
fn air_that_cleans_is_limited_in_both_units() {
    each(|seed, goods| {
        let mut told = 0;
        for page in pages(goods, 24) {
            let words = texts(&page).into_iter().map(|(.., text)| text).collect::<Vec<_>>().join(" ");
            for (at, _) in words.match_indices("below 2 bar") {
                assert!(words[at..].starts_with("below 2 bar (30 psi)"), "{seed}: {}", &words[at..]);
                told += 1;
            }
            assert_eq!(words.matches("psi").count(), words.matches("2 bar (30 psi)").count(), "{seed}: {words}");
        }
        assert!(told >= 3, "{seed}: on the route card, where it is washed, among the hazards: {told}");
    });
}

#[test]
fn the_papers_speak_as_the_trade_does() {
    // What a reader at the mill took for something else, or does not say.
    let words = ["rests", "stones", "stone", "aim", "barwright", "Longer"];
    let phrases = ["1 blanks", "on the hold", "diameter in the crib", "the crib says", "Left goes"];
    each(|seed, goods| {
        for count in [1, 24] {
            for (at, page) in pages(goods, count).iter().enumerate() {
                let text = texts(page).into_iter().map(|(.., text)| text).collect::<Vec<_>>().join(" ");
                let said: BTreeSet<&str> = text.split(|sign: char| !sign.is_alphanumeric()).collect();
                let word = words.iter().find(|word| said.contains(*word));
                assert_eq!(word, None, "{seed}, {count} pieces, page {}: {text}", at + 1);
                // `21 blanks` is right.
                let plain = format!(" {text}");
                let phrase = phrases.iter().find(|phrase| plain.contains(&format!(" {phrase}")));
                assert_eq!(phrase, None, "{seed}, {count} pieces, page {}: {text}", at + 1);
            }
        }
    });
}

#[test]
fn the_setup_sheet_says_what_cools_the_cut() {
    // Common practice, no source.
    for (material, words) in [
        ("brass-c36000", "dry, or a little air"),
        ("aluminium-6061-t6", "without alcohol"),
        ("steel-12l14", "cutting oil by brush"),
    ] {
        for (coolant, told) in [(None, "switches no coolant"), (Some("M8"), "switches M8 on")] {
            let mut shop = demo_shop("canned");
            shop.control.coolant = coolant.map(str::to_owned);
            let given = BTreeMap::from([("material".to_owned(), material.to_owned())]);
            let inputs = Inputs { unit: Some(Unit::Mm), given, ..Inputs::default() };
            let job = make(&built_in("joining-key"), inputs, &shop);
            let goods = job.goods.expect("a key of it");
            assert_eq!(goods.runs.iter().any(|run| run.program.text.contains("M8")), coolant.is_some(), "the program");
            let page = |sheet: &Sheet| texts(sheet).into_iter().map(|(.., text)| text).collect::<Vec<_>>().join(" ");
            let pages: Vec<String> = order_of(&goods, &shop, 24).pages(&goods, &shop).iter().map(page).collect();
            let said: Vec<&String> = pages.iter().filter(|page| page.contains("Cutting fluid")).collect();
            let first = said.first().expect("the setup sheet");
            assert!(first.contains(words) && first.contains(told), "{material}: {first}");
        }
    }
}

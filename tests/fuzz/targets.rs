//! What strangers can write, and who reads it. Each reader goes on with what it has read as far
//! as the house would, and says of what kind the answer was.

use std::collections::BTreeMap;
use std::sync::Arc;

use barwright_core::diag::Diagnostic;
use barwright_core::drawing::{Stamp, pdf, svg};
use barwright_core::family;
use barwright_core::formula::{self, Fault, Kind, Kinds, Value, Values};
use barwright_core::job::{self, Order};
use barwright_core::many;
use barwright_core::part::Part;
use barwright_core::proof;
use barwright_core::quantity::{Dim, Length, Quantity, Unit, read, read_as};
use barwright_core::record::{Record, digest};
use barwright_core::shop::{self, Setup, Shop};
use barwright_core::source::Source;
use barwright_core::standards::{look_up, thread};
use barwright_core::variant::{Inputs, attempt};
use barwright_core::{batch, plan};
use barwright_tests::{CONTROLS, FAMILIES, built_in, demo_shop, key, text};
use barwright_web::Bench;

/// The readers.
pub(crate) const NAMES: [&str; 8] = ["quantity", "formula", "orders", "family", "shop", "program", "link", "record"];

/// Readers that fail, for the trial of the runs themselves.
pub(crate) const BROKEN: [&str; 2] = ["panics", "falls"];

/// The kind of the answer to a text, or what is wrong with it.
pub(crate) type Answer = Result<String, String>;

/// How many texts of a hundred: those that make whole parts take their time.
pub(crate) fn share(name: &str) -> u64 {
    match name {
        "quantity" | "formula" => 400,
        "orders" => 100,
        "family" | "shop" => 40,
        "program" => 60,
        _ => 30,
    }
}

/// The reader of this name.
pub(crate) fn target(name: &str) -> Box<dyn FnMut(&str) -> Answer> {
    match name {
        "quantity" => Box::new(quantity),
        "formula" => {
            let names = Names::new();
            Box::new(move |text| formulas(text, &names))
        }
        "orders" => orders(),
        "family" => families(),
        "shop" => shops(),
        "program" => programs(),
        "link" => links(),
        "record" => records(),
        "panics" => Box::new(|text| panic!("at {}", text.len())),
        "falls" => Box::new(|text| Ok(falls(text.len()).to_string())),
        other => panic!("there is no target {other}"),
    }
}

/// Goes deeper than any stack.
fn falls(depth: usize) -> usize {
    let below = if depth == usize::MAX { 0 } else { falls(std::hint::black_box(depth + 1)) };
    below ^ std::hint::black_box(depth)
}

/// What the house itself has to begin with.
pub(crate) fn seeds(name: &str) -> Vec<String> {
    let all = |folder: &str, ending: &str| -> Vec<(String, String)> {
        let listing = std::fs::read_dir(barwright_tests::house().join(folder)).expect("a folder of the house");
        let mut names: Vec<String> =
            listing.map(|item| item.expect("a file").file_name().to_string_lossy().into_owned()).collect();
        names.retain(|name| name.ends_with(ending));
        names.sort();
        names.into_iter().map(|name| (name.clone(), text(&format!("{folder}/{name}")))).collect()
    };
    let own = |lines: &str| lines.lines().map(str::to_owned).collect();
    match name {
        "quantity" => {
            own("3/8 in\n1-1/2\"\n0.251in\n6.4 mm\n6,4 mm\nM6\n1/4-20\n90°\n8 N·m\n35 in-lb\n#7\n25 H7/g6\nM5 set\n\
             ISO 2768-m\nbrass\n0.05 to 0.10 mm\ne9\n1/1, 2/2\n10-32 set\n1/2-13 UNC-2B\nM8x1.25-6H LH\n+0.1/-0.2 mm\n75 %")
        }
        "formula" => {
            let mut texts: Vec<String> = own(
                "1.5 * screw.major\nmax(web, 3/8 in) + 2 mm ^ 1\nif web < slot and not count = 4 then 1 mm else 2 mm\n\
                 rack.largest(material, 20 mm, 12 mm)\nfloor(slot / 0.5 mm) * 0.5 mm\n2 mm <= web <= 5 mm\npoint = 'cup'\n\
                 The screws are {web} from {1.5 * screw.major}.\nsqrt(web ^ 2 + slot ^ 2)\nscrew.tap_drill.diameter",
            );
            for file in FAMILIES {
                let family = built_in(file);
                texts.extend(family.derived.iter().map(|derived| derived.formula.text.clone()));
                texts.extend(family.rules.iter().map(|rule| rule.must.text.clone()));
            }
            texts
        }
        "orders" => vec![
            "quantity,title,screw,length per rail\n4,One,M5,40 mm\n2,\"Two, or more\",M4,1-1/2 in\n".to_owned(),
            "slot_opening;screws;unit\n3/8;2;in\n'=1+1;3;mm\n".to_owned(),
            "like\tquantity\nwarping-frame\t12\n".to_owned(),
        ],
        "family" => all("families", ".yaml").into_iter().map(|(_, text)| text).collect(),
        "shop" => all("families/shop", ".yaml").into_iter().map(|(name, text)| format!("# {name}\n{text}")).collect(),
        "program" => all("tests/facts/rs274", ".ngc")
            .into_iter()
            .chain(all("tests/golden", ".nc"))
            .map(|(_, text)| text)
            .collect(),
        "link" => own("joining-key/mm/canned?slot_opening=10&screw=M5&screws=2&length_per_rail=45mm\n\
             spacer-bar/in/written-out?length=3%2F4+in&pin=1%2F8\ntapped-plate/mm?length=80&width=60&pitch=20\n\
             clamp-bar//absolute\n{\"unit\":\"mm\",\"like\":\"warping-frame\",\"sizes\":{\"screw\":\"M4\"}}\n\
             joining-key/mm?tongue_fit=0.05+to+0.12+mm&torque=2+N%C2%B7m&material=steel-12l14"),
        "panics" | "falls" => own("x"),
        "record" => all("tests/golden", ".json").into_iter().map(|(_, text)| text).collect(),
        other => panic!("there is no target {other}"),
    }
}

/// The stable names of findings, each once.
fn codes(findings: &[Diagnostic]) -> String {
    let mut codes: Vec<&str> = findings.iter().map(|finding| finding.code).collect();
    codes.sort_unstable();
    codes.dedup();
    codes.join(" ")
}

/// A sentence without its numbers and names: what kind of thing it says.
fn shape(text: &str) -> String {
    let mut quoted = false;
    let words = text.chars().filter(|sign| {
        quoted ^= *sign == '`';
        !quoted && (sign.is_alphabetic() || *sign == ' ')
    });
    words.take(60).collect()
}

fn quantity(text: &str) -> Answer {
    let mut kind = String::new();
    match read(text) {
        Ok((value, dim)) => {
            if !value.is_finite() {
                return Err(format!("{value} is no size"));
            }
            kind += &format!("{dim:?}");
            let length = Length::mm(value);
            for unit in [Unit::Mm, Unit::Inch] {
                let said = unit.say(length);
                if value.abs() < 1e6 && read(&said).is_err() {
                    return Err(format!("`{said}` is said, and not read"));
                }
            }
        }
        Err(error) => kind += &shape(&error.what),
    }
    for dim in [Dim::LENGTH, Dim::ANGLE, Dim::TORQUE, Dim::NUMBER, Dim::TIME, Dim::STRESS] {
        for unit in [None, Some(Unit::Mm), Some(Unit::Inch)] {
            if let Ok(value) = read_as(text, dim, unit) {
                kind += &format!(" {dim:?}");
                if !value.value.is_finite() {
                    return Err(format!("{} is no size", value.value));
                }
            }
        }
    }
    for kind_of in [Kind::Thread, Kind::Fit, Kind::Material, Kind::Word, Kind::Truth] {
        if let Ok(value) = Value::read(kind_of, text, Some(Unit::Mm)) {
            kind += &format!(" {}", value.kind());
        }
    }
    for name in ["thread", "drill", "fit", "screw", "tolerance", "material", text] {
        match look_up(name, text) {
            Ok(card) => kind += &format!(" {} {}", card.kind, card.rows.len()),
            Err(unknown) => kind += &shape(&unknown.what),
        }
    }
    Ok(kind)
}

struct Names(BTreeMap<&'static str, Value>);

impl Names {
    fn new() -> Self {
        let length = |mm| Value::Quantity(Quantity::mm(mm));
        let screw = Value::Thread(Arc::new(thread::thread("M5").expect("M5 is in the table")));
        let word = |text: &str| Value::Word(text.to_owned());
        let count = Value::Quantity(Quantity::number(4.0));
        Self(BTreeMap::from([
            ("web", length(3.0)),
            ("slot", length(10.0)),
            ("zero", length(0.0)),
            ("screw", screw),
            ("point", word("cup")),
            ("count", count),
        ]))
    }
}

impl Kinds for Names {
    fn kind(&self, name: &str) -> Option<Kind> {
        self.0.get(name).map(Value::kind)
    }
    fn all(&self) -> Vec<&str> {
        self.0.keys().copied().collect()
    }
}

impl Values for Names {
    fn value(&self, name: &str) -> Option<Value> {
        self.0.get(name).cloned()
    }
}

fn formulas(text: &str, names: &Names) -> Answer {
    let told = |fault: &Fault| -> Answer {
        let in_text = fault.span.end <= text.len() && fault.span.start <= fault.span.end;
        if in_text && text.is_char_boundary(fault.span.start) && text.is_char_boundary(fault.span.end) {
            Ok(format!("{} {}", fault.code, shape(&fault.what)))
        } else {
            Err(format!("{} stands outside of the text: {:?}", fault.code, fault.span))
        }
    };
    let sentence = match formula::template(text) {
        Ok(_) => "a sentence".to_owned(),
        Err(fault) => told(&fault)?,
    };
    let tree = match formula::parse(text) {
        Ok(tree) => tree,
        Err(fault) => return Ok(told(&fault)? + &sentence),
    };
    let mut faults = Vec::new();
    let kind = formula::infer(&tree, names, &mut faults);
    let Some(kind) = kind.filter(|_| faults.is_empty()) else {
        return faults.iter().map(told).collect::<Result<Vec<_>, _>>().map(|all| all.join(" "));
    };
    match formula::eval(&tree, names) {
        Ok(value) if value.kind() != kind => Err(format!("a {kind} was foreseen, and it is a {}", value.kind())),
        Ok(value) => Ok(format!("{kind} {} {sentence}", formula::say_value(&value, Unit::Mm).len())),
        Err(fault) => told(&fault),
    }
}

fn orders() -> Box<dyn FnMut(&str) -> Answer> {
    let family = key();
    let rack: Arc<[shop::Bar]> = demo_shop(CONTROLS[0]).rack.into();
    Box::new(move |text| {
        let list = many::orders(&Source::new("orders.csv", text), &family, &Inputs::default());
        let mut kind = codes(&list.findings);
        for row in list.value.unwrap_or_default().iter().take(2) {
            kind += &row.wrong.as_ref().map_or_else(String::new, |wrong| shape(&wrong.headline));
            kind += &codes(&attempt(&family, &row.inputs, &rack).findings);
        }
        if let Ok(rows) = many::parse(text) {
            let again: String = rows.iter().map(|(_, row)| many::line(row.iter().map(String::as_str))).collect();
            let count = |text: &str| many::parse(text).map(|rows| rows.len());
            if count(&again) != Ok(rows.len()) && rows.first().is_none_or(|(_, row)| row.len() != 1) {
                return Err(format!("{} rows are written as {:?}", rows.len(), count(&again)));
            }
        }
        Ok(kind)
    })
}

fn order(unit: Option<Unit>) -> Order {
    let inputs = Inputs { unit, ..Inputs::default() };
    Order { inputs, title: None, format: None, stamp: Stamp::default(), unproved: true }
}

/// A family is read, and its usual part made, up to the proof of its program.
fn families() -> Box<dyn FnMut(&str) -> Answer> {
    let shop = demo_shop(CONTROLS[0]);
    let rack: Arc<[shop::Bar]> = shop.rack.clone().into();
    Box::new(move |text| {
        let source = Source::new("mine.yaml", text);
        let loaded = family::load(&source);
        let mut kind = codes(&loaded.findings);
        for label in loaded.findings.iter().flat_map(|finding| &finding.labels) {
            source.slice(label.span);
        }
        let Some(family) = loaded.value else { return Ok(kind) };
        let tried = attempt(&family, &order(Some(Unit::Mm)).inputs, &rack);
        kind += &codes(&tried.findings);
        if tried.part.is_some() {
            let job = job::make(&family, &order(Some(Unit::Mm)), &shop);
            kind += &codes(&job.findings);
            if let Some(goods) = &job.goods {
                kind += &format!(" {} {}", goods.runs.len(), goods.plan.tools.len());
                svg::write(&goods.sheet);
                pdf::write(&[&goods.sheet]).map_err(|error| error.to_string())?;
            }
        }
        Ok(kind)
    })
}

/// A file of a shop beside the others of the demo shop, and the usual key in that shop.
fn shops() -> Box<dyn FnMut(&str) -> Answer> {
    let family = key();
    let names: Vec<String> =
        ["shop", "machine", "crib", "rack", "vise", "control-canned"].map(|name| format!("{name}.yaml")).to_vec();
    let good: BTreeMap<String, String> =
        names.into_iter().map(|name| (name.clone(), text(&format!("families/shop/{name}")))).collect();
    Box::new(move |text| {
        let head = text.lines().next().unwrap_or_default().trim_start_matches(['#', ' ']).trim();
        let own = if head.starts_with("control-") { "control-canned.yaml" } else { head };
        let mut files: BTreeMap<String, Source> =
            good.iter().map(|(name, text)| (name.clone(), Source::new(name.clone(), text.clone()))).collect();
        let own = if files.contains_key(own) { own } else { "shop.yaml" };
        files.insert(own.to_owned(), Source::new(own, text));
        let loaded = shop::load(&files, "shop.yaml");
        let mut kind = format!("{own} {}", codes(&loaded.findings));
        let Some(shop) = loaded.value else { return Ok(kind) };
        let job = job::make(&family, &order(Some(Unit::Mm)), &shop);
        kind += &codes(&job.findings);
        if let Some(goods) = &job.goods {
            kind +=
                &goods.runs.iter().flat_map(|run| &run.verdict.breaches).map(|breach| breach.code).collect::<String>();
            let times: Vec<&proof::Times> = goods.runs.iter().map(|run| &run.verdict.times).collect();
            let count = batch::Count { ordered: 50, spares: 2 };
            kind += &codes(&batch::batch(&goods.part, &goods.plan, &times, &shop, count, None).findings);
        }
        Ok(kind)
    })
}

/// The part and setup that programs are held against.
fn usual_key(shop: &Shop) -> (Part, Setup) {
    let goods = job::make(&key(), &order(Some(Unit::Mm)), shop).goods.expect("the usual key is made");
    let setup = goods.runs.first().expect("it has a program").setup.clone();
    (goods.part, setup)
}

fn programs() -> Box<dyn FnMut(&str) -> Answer> {
    let shops = CONTROLS.map(demo_shop);
    let (part, setup) = usual_key(&shops[0]);
    Box::new(move |text| {
        let shop = &shops[text.len() % 3];
        let verdict = proof::prove(text, &part, shop, &setup);
        let mut codes: Vec<&str> = verdict.breaches.iter().map(|breach| breach.code).collect();
        codes.sort_unstable();
        codes.dedup();
        if !verdict.times.total.as_second().is_finite() {
            return Err("a time without end".to_owned());
        }
        if verdict.motions.iter().any(|motion| !motion.t1.as_second().is_finite()) {
            return Err("a move without end".to_owned());
        }
        Ok(codes.join(" "))
    })
}

/// What the page makes of its address, or of an order in JSON; see `web/page/link.js`, which has a
/// test of its own.
fn links() -> Box<dyn FnMut(&str) -> Answer> {
    let mut desk = Bench::default();
    Box::new(move |text| {
        let asked = if text.starts_with('{') {
            desk.open_family(FAMILIES[0], None);
            text.to_owned()
        } else {
            let (path, query) = text.split_once('?').unwrap_or((text, ""));
            let mut path = path.split('/').map(decoded);
            let (family, unit, control) = (path.next(), path.next(), path.next());
            desk.open_family(&family.unwrap_or_default(), None);
            desk.open_shop(None, control.as_deref());
            let pairs = query.split('&').filter_map(|pair| pair.split_once('='));
            let sizes: BTreeMap<String, String> = pairs.map(|(name, value)| (decoded(name), decoded(value))).collect();
            serde_json::json!({ "unit": unit, "sizes": sizes }).to_string()
        };
        let told: serde_json::Value = serde_json::from_str(&desk.make(&asked)).map_err(|error| error.to_string())?;
        let names = |list: &serde_json::Value, name: &str| {
            let all = list.as_array().into_iter().flatten();
            all.filter_map(|item| item[name].as_str()).map(shape).collect::<String>()
        };
        if told["goods"].is_object() && desk.archive().is_none() {
            return Err("goods, and no files of them".to_owned());
        }
        Ok(names(&told["findings"], "headline")
            + &names(&told["remedies"], "parameter")
            + if told["goods"].is_object() { "goods" } else { "" })
    })
}

/// A text of an address, read: `+` is a blank, `%2F` a slash.
fn decoded(text: &str) -> String {
    let mut bytes = Vec::new();
    let mut rest = text.bytes();
    while let Some(byte) = rest.next() {
        let mut ahead = rest.clone();
        let pair = ahead.next().zip(ahead.next()).filter(|_| byte == b'%');
        let hex = |digit: u8| char::from(digit).to_digit(16).and_then(|digit| u8::try_from(digit).ok());
        match pair.and_then(|(high, low)| Some(hex(high)? * 16 + hex(low)?)) {
            Some(read) => {
                bytes.push(read);
                rest = ahead;
            }
            None => bytes.push(if byte == b'+' { b' ' } else { byte }),
        }
    }
    String::from_utf8_lossy(&bytes).chars().take(200).collect()
}

/// A record that someone else wrote, with a digest that fits: it is planned, proved and adjusted.
fn records() -> Box<dyn FnMut(&str) -> Answer> {
    let shop = demo_shop(CONTROLS[0]);
    let program = text("tests/golden/warping-frame-canned.nc");
    Box::new(move |text| {
        let mut record: Record = match serde_json::from_str(text) {
            Ok(record) => record,
            Err(error) => return Ok(shape(&error.to_string())),
        };
        record.digest = digest(&record.part);
        let csv = record.first_piece_csv(&[]).len();
        let planned = plan::plan(&record.part, &shop);
        let mut kind = format!("{} {} {:?}", csv / 200, codes(&planned.findings), record.sealed());
        if let Some(program_use) = record.programs.first() {
            let (part, tapping) =
                (record.part.posed(program_use.pose), proof::Tapping::by_hand(&record.tapped_by_hand));
            let verdict = proof::prove_with(&program, &part, &shop, &program_use.setup, &tapping);
            kind += &verdict.breaches.iter().map(|breach| breach.code).collect::<String>();
        }
        if let Some(plan) = &planned.value {
            let readings =
                [("tongue_width".to_owned(), "8.06 mm".to_owned()), ("screw_holes.go".to_owned(), "no".to_owned())];
            kind +=
                &codes(&batch::adjust(&record.part, plan, shop.control.speaks(record.part.unit), &readings).findings);
        }
        Ok(kind)
    })
}

//! From the files of a shop to the shop.

use std::cell::RefCell;
use std::collections::BTreeMap;

use super::read::File;
use super::{Batch, Control, Machine, Shop, Vise, rack, tool};
use crate::diag::{Checked, Diagnostic, nearest};
use crate::source::Source;
use crate::yaml::{self, Fields};

/// A shop, and which of its files its control was read from.
#[derive(Clone, Debug, PartialEq)]
pub struct Loaded {
    /// The shop.
    pub shop: Shop,
    /// The file of its control profile.
    pub control_file: String,
    /// The other files that it was read from, as the entry file names them.
    pub others: Vec<String>,
}

impl Loaded {
    /// The control as it is asked for: `written-out` of `control-written-out.yaml`; of a file that
    /// is called otherwise the name that the profile has itself.
    pub fn control(&self) -> &str {
        called(&self.control_file).unwrap_or(&self.shop.control.name)
    }
}

/// Reads a shop: the file called `entry` names its owner and the other files (`machine`,
/// `control`, `crib`, `rack`, `vise`), which are looked up in `files` by the same names.
///
/// # Errors
/// As findings: everything that is wrong in any of the files, each with its place.
pub fn load(files: &BTreeMap<String, Source>, entry: &str) -> Checked<Shop> {
    let Checked { value, findings } = load_with(files, entry, None);
    Checked { value: value.map(|loaded| loaded.shop), findings }
}

/// Reads a shop as [`load`] does, with another of its control profiles where one is asked for, in
/// place of the one that `entry` names: `written-out` is the file `control-written-out.yaml` or, if
/// there is none, the profile whose own `name` is so.
///
/// # Errors
/// As findings, those of [`load`]; a control that the shop has not is refused as [`NO_CONTROL`].
pub fn load_with(files: &BTreeMap<String, Source>, entry: &str, control: Option<&str>) -> Checked<Loaded> {
    let findings = RefCell::new(Vec::new());
    let loaded = read(files, entry, control, &findings);
    let mut findings = findings.into_inner();
    if loaded.is_none() && findings.is_empty() {
        findings.push(Diagnostic::refused("shop/empty", format!("`{entry}` tells no shop.")));
    }
    match loaded {
        Some(loaded) => Checked::unless_refused(loaded, findings),
        None => Checked { value: None, findings },
    }
}

/// The keys under which an entry file names its other files, but for the control.
const OTHERS: [&str; 4] = ["machine", "crib", "rack", "vise"];

/// The code of the finding that refuses a control that the shop has not.
pub const NO_CONTROL: &str = "shop/no-control";

/// The control profiles among the files of a shop, as they are asked for.
pub fn controls(files: &BTreeMap<String, Source>) -> impl Iterator<Item = &str> {
    files.keys().filter_map(|file| called(file))
}

/// Whether a file of this name is a control profile, to be chosen or not.
pub fn is_control(file: &str) -> bool {
    called(file).is_some()
}

/// What a file of this name is called as a control profile.
fn called(file: &str) -> Option<&str> {
    file.strip_prefix("control-")?.strip_suffix(".yaml")
}

fn read(
    files: &BTreeMap<String, Source>,
    entry: &str,
    asked: Option<&str>,
    findings: &RefCell<Vec<Diagnostic>>,
) -> Option<Loaded> {
    let Some(source) = files.get(entry) else {
        let finding = Diagnostic::refused("shop/no-file", format!("There is no file `{entry}`."));
        let names = files.keys().map(String::as_str);
        let help = nearest(entry, names).map_or_else(
            || "A shop starts with a file that names its machine, control, crib, rack and vise.".to_owned(),
            |name| format!("Did you mean `{name}`?"),
        );
        findings.borrow_mut().push(finding.help(help));
        return None;
    };
    let mut checked = yaml::read(source);
    findings.borrow_mut().append(&mut checked.findings);
    let node = checked.value?;
    let file = File { source, node: &node, findings };
    let mut fields = file.fields("the shop");
    let owner = fields.need_text("owner");
    let machine = part_of(files, &mut fields, "machine", findings, Machine::read);
    let control_file = match asked {
        Some(asked) => chosen(files, &mut fields, asked, findings),
        None => named(files, &mut fields, "control"),
    };
    let control = control_file.and_then(|file| file_of(files, file, findings, Control::read));
    let tools = part_of(files, &mut fields, "crib", findings, |file| Some(tool::read_crib(file)));
    let rack = part_of(files, &mut fields, "rack", findings, |file| Some(rack::read_rack(file)));
    let vise = part_of(files, &mut fields, "vise", findings, Vise::read);
    let batch = Batch::read(&file, &mut fields);
    fields.finish();
    let others = node.map().unwrap_or_default().iter().filter(|(key, _)| OTHERS.contains(&key.text.as_str()));
    let others = others.filter_map(|(_, name)| Some(name.scalar()?.text.clone())).collect();
    let shop =
        Shop { owner: owner?, machine: machine?, control: control?, tools: tools?, rack: rack?, vise: vise?, batch };
    Some(Loaded { shop, control_file: control_file?.to_owned(), others })
}

/// The file of the control that is asked for, whatever the entry file names.
fn chosen<'f>(
    files: &'f BTreeMap<String, Source>,
    fields: &mut Fields<'_>,
    asked: &str,
    findings: &RefCell<Vec<Diagnostic>>,
) -> Option<&'f str> {
    // A key that is not needed is taken all the same.
    let usual = fields.node("control").and_then(|node| node.scalar()).map(|scalar| scalar.text.as_str());
    let names_itself = |file: &str| {
        let node = files.get(file).and_then(|source| yaml::read(source).value);
        let name = node.as_ref().and_then(|node| node.map()?.iter().find(|(key, _)| key.text == "name"));
        name.and_then(|(_, name)| name.scalar()).is_some_and(|name| name.text == asked)
    };
    let profiles = || files.keys().map(String::as_str).filter(|file| called(file).is_some());
    let found = profiles().find(|file| called(file) == Some(asked)).or_else(|| {
        let usual = usual.and_then(|usual| files.get_key_value(usual)).map(|(file, _)| file.as_str());
        usual.into_iter().chain(profiles()).find(|file| names_itself(file))
    });
    if found.is_none() {
        let shown: String = asked.chars().take(60).collect();
        let headline = format!("The shop has no control `{}`.", shown.escape_debug());
        let mut finding = Diagnostic::refused(NO_CONTROL, headline);
        if let Some(near) = nearest(asked, controls(files)) {
            finding = finding.help(format!("Did you mean `{near}`?"));
        }
        let known: Vec<&str> = controls(files).collect();
        findings.borrow_mut().push(finding.help(format!("Controls of this shop: {}.", known.join(", "))));
    }
    found
}

/// The file that stands under a key of the entry file.
fn named<'f>(files: &'f BTreeMap<String, Source>, fields: &mut Fields<'_>, key: &'static str) -> Option<&'f str> {
    fields.need(key)?;
    let (name, span) = fields.scalar(key)?;
    let Some((file, _)) = files.get_key_value(&name.text) else {
        let help = nearest(&name.text, files.keys().map(String::as_str))
            .map_or_else(|| "Put it beside this file.".to_owned(), |near| format!("Did you mean `{near}`?"));
        fields.refuse("shop/no-file", format!("There is no file `{}`.", name.text), span, "not found", help);
        return None;
    };
    Some(file)
}

/// Reads the file that stands under a key of the entry file.
fn part_of<T>(
    files: &BTreeMap<String, Source>,
    fields: &mut Fields<'_>,
    key: &'static str,
    findings: &RefCell<Vec<Diagnostic>>,
    read: impl FnOnce(&File<'_>) -> Option<T>,
) -> Option<T> {
    named(files, fields, key).and_then(|file| file_of(files, file, findings, read))
}

fn file_of<T>(
    files: &BTreeMap<String, Source>,
    file: &str,
    findings: &RefCell<Vec<Diagnostic>>,
    read: impl FnOnce(&File<'_>) -> Option<T>,
) -> Option<T> {
    let source = files.get(file)?;
    let mut checked = yaml::read(source);
    findings.borrow_mut().append(&mut checked.findings);
    read(&File { source, node: &checked.value?, findings })
}

#[cfg(test)]
pub(crate) mod tests {
    use super::*;
    use crate::quantity::Length;
    use crate::shop::{Comments, Cutter};

    fn demo() -> BTreeMap<String, Source> {
        [
            ("shop.yaml", include_str!("../../../families/shop/shop.yaml")),
            ("machine.yaml", include_str!("../../../families/shop/machine.yaml")),
            ("crib.yaml", include_str!("../../../families/shop/crib.yaml")),
            ("rack.yaml", include_str!("../../../families/shop/rack.yaml")),
            ("vise.yaml", include_str!("../../../families/shop/vise.yaml")),
            ("control-canned.yaml", include_str!("../../../families/shop/control-canned.yaml")),
            ("control-written-out.yaml", include_str!("../../../families/shop/control-written-out.yaml")),
            ("control-absolute.yaml", include_str!("../../../families/shop/control-absolute.yaml")),
        ]
        .into_iter()
        .map(|(name, text)| (name.to_owned(), Source::new(name, text)))
        .collect()
    }

    /// The demo shop with one of its controls, for the tests of other rooms.
    pub(crate) fn demo_shop(control: &str) -> Shop {
        load_with(&demo(), "shop.yaml", Some(control)).into_result().expect("the demo shop is good").shop
    }

    /// The demo shop with one text in one file put in the place of another.
    fn changed(file: &str, from: &str, to: &str) -> Checked<Shop> {
        let mut files = demo();
        let text = files[file].text().to_owned();
        assert!(text.contains(from), "{file} has no `{from}` to change");
        files.insert(file.to_owned(), Source::new(file, text.replacen(from, to, 1)));
        load(&files, "shop.yaml")
    }

    #[test]
    fn the_demo_shop_is_good() {
        let shop = load(&demo(), "shop.yaml").into_result().expect("no finding");
        assert!(shop.tools.len() > 15 && shop.rack.len() > 10, "tools and bars");
        let drill = shop.tools.iter().find(|tool| tool.number == 19).expect("#7");
        assert!((drill.diameter.as_mm() - 5.1054).abs() < 1e-9, "#7 is 0.201 in (ASME B94.11M)");
        let three = shop.tools.iter().find(|tool| tool.number == 33).expect("three rows");
        assert!(matches!(three.cutter, Cutter::ThreadMill { rows: 3, .. }), "{three:?}");
        assert_eq!(shop.vise.parallels.first(), Some(&Length::mm(6.0)), "lowest first");
    }

    #[test]
    fn the_controls_differ_in_every_way() {
        let of = |name: &str| demo_shop(name).control;
        let (a, b, c) = (of("canned"), of("written-out"), of("absolute"));
        assert_ne!(a.cycles, b.cycles, "cycles");
        assert_ne!(a.arc_centre, c.arc_centre, "arc centres");
        assert!(a.full_circle != b.full_circle && b.full_circle != c.full_circle, "circles");
        assert!(a.line_numbers != b.line_numbers && a.line_numbers != c.line_numbers, "line numbers");
        assert!(a.decimals_mm != b.decimals_mm && b.decimals_mm != c.decimals_mm, "decimals");
        assert!(a.comments != b.comments && c.comments == Comments::None, "comments");
        assert!(a.tool_change != b.tool_change && a.length_offset != b.length_offset, "tools");
        assert!(a.work_offset != b.work_offset && b.work_offset != c.work_offset, "work offsets");
        assert!(a.end != b.end && b.end != c.end && a.start != b.start, "start and end");
    }

    /// However the entry file is written, and whatever control it names.
    #[test]
    fn another_control_is_taken_where_one_is_asked_for() {
        let with = |entry: &str, control: Option<&str>| {
            let mut files = demo();
            let mine = files["control-absolute.yaml"].text().replace("name: absolute", "name: mine");
            files.insert("spoken.yaml".to_owned(), Source::new("spoken.yaml", mine));
            files.insert("shop.yaml".to_owned(), Source::new("shop.yaml", entry));
            load_with(&files, "shop.yaml", control)
        };
        let rest = "owner: x\nmachine: machine.yaml\ncrib: crib.yaml\nrack: rack.yaml\nvise: vise.yaml\n";
        let json = r#"{"owner": "x", "control": "control-canned.yaml", "machine": "machine.yaml", "crib": "crib.yaml", "rack": "rack.yaml", "vise": "vise.yaml"}"#;
        let flow = "{owner: x, machine: machine.yaml, control: control-canned.yaml, crib: crib.yaml, rack: rack.yaml, vise: vise.yaml}";
        let written = [
            format!("{rest}control: control-canned.yaml # as it came\n"),
            format!("{rest}\"control\": control-canned.yaml\n"),
            format!("{rest}control : 'control-canned.yaml'\n"),
            format!("{rest}? control\n: control-canned.yaml\n"),
            json.to_owned(),
            flow.to_owned(),
        ];
        for entry in &written {
            let own = with(entry, None).into_result().expect("a shop");
            assert_eq!((own.control(), own.shop.control.name.as_str()), ("canned", "canned"), "{entry}");
            for asked in ["written-out", "absolute", "canned"] {
                let loaded = with(entry, Some(asked)).into_result().expect("a shop");
                assert_eq!((loaded.control(), loaded.shop.control.name.as_str()), (asked, asked), "{entry}");
            }
            let refused = with(entry, Some("writen-out")).into_result().expect_err("no such control");
            assert_eq!(refused.len(), 1, "{refused:?}");
            assert!(refused[0].code == NO_CONTROL && refused[0].headline.contains("`writen-out`"), "{refused:?}");
            assert_eq!(
                refused[0].helps,
                ["Did you mean `written-out`?", "Controls of this shop: absolute, canned, written-out."],
                "{entry}"
            );
        }
        // One that is named nowhere, or in a file that is not there, is not needed.
        for entry in [rest.to_owned(), format!("{rest}control: gone.yaml\n")] {
            assert!(with(&entry, None).value.is_none(), "{entry}");
            assert_eq!(with(&entry, Some("absolute")).into_result().expect("a shop").control(), "absolute", "{entry}");
        }
        // A file that is called otherwise: the profile is asked for by its own name.
        let entry = format!("{rest}control: spoken.yaml\n");
        assert_eq!(with(&entry, None).into_result().expect("a shop").control(), "mine", "its own");
        assert_eq!(with(&entry, Some("mine")).into_result().expect("a shop").control_file, "spoken.yaml", "asked for");
    }

    #[test]
    fn slips_are_shown_with_their_place() {
        for (file, from, to, code, near) in [
            ("shop.yaml", "owner:", "ownr:", "yaml/missing", "owner"),
            ("shop.yaml", "vise.yaml", "wise.yaml", "shop/no-file", "vise.yaml"),
            ("machine.yaml", "from: -250 mm", "from: 250 mm", "shop/machine", "lower coordinate"),
            ("machine.yaml", "vigour: 0.6", "vigour: 6", "shop/machine", "bench mill"),
            ("machine.yaml", "9000 rpm", "9000", "shop/value", "250 rpm"),
            ("shop.yaml", "kerf: 1.2 mm", "kerf: 12 mm", "shop/saw", "band saw"),
            ("shop.yaml", "pitch_x: 75 mm", "pitch_x: 60 mm", "shop/plate", "meet"),
            ("shop.yaml", "time_factor: 1", "time_factor: 0", "shop/time-factor", "timed"),
            (
                "rack.yaml",
                "lengths: [1000 mm, 3000 mm], rests: [412 mm",
                "lengths: [1000 mm, 3000 mm], rests: [0 mm",
                "shop/value",
                "above",
            ),
            ("crib.yaml", "diameter: 4.2 mm", "diameter: 0 mm", "shop/value", ""),
            ("crib.yaml", "diameter: 4.2 mm", "diameter: 4.2", "yaml/value", "4.2 mm"),
            ("crib.yaml", "flutes: 2,", "flutes: 0,", "shop/value", ""),
            ("crib.yaml", "number: 12,", "number: 11,", "shop/crib", "9 is free"),
            ("crib.yaml", "stick_out: 50 mm", "stick_out: 40 mm", "shop/tool", "holder"),
            ("crib.yaml", "kind: spot", "kind: sopt", "yaml/choice", "spot"),
            ("crib.yaml", "rows: 1,", "rows: 2,", "shop/tool", "same"),
            ("crib.yaml", "tip_flat: 0.06", "tip_flat: 0.6", "shop/tool", "eighth"),
            ("rack.yaml", "height: 10 mm", "height: 13 mm", "shop/rack", "swap"),
            ("vise.yaml", "[6 mm, 8 mm,", "[0 mm, 8 mm,", "shop/value", ""),
            ("vise.yaml", "grip_min: 3 mm", "grip_min: 30 mm", "shop/vise", ""),
            ("control-canned.yaml", "end: [M30, '%']", "end: ['%']", "shop/control", "M30"),
            ("control-canned.yaml", "end: [M30, '%']", "end: [M30]", "shop/control", "none at all"),
            ("control-canned.yaml", "work_offset: G54", "work_offset: G53", "yaml/choice", "G54"),
            ("control-canned.yaml", "decimals_mm: 3", "decimals_mm: 1", "shop/control", ""),
            ("control-canned.yaml", "path_mode", "pathmode", "yaml/unknown-key", "path_mode"),
        ] {
            let checked = changed(file, from, to);
            let said: Vec<_> = checked.findings.iter().map(|finding| (finding.code, &finding.helps)).collect();
            assert!(checked.value.is_none(), "{file}: `{to}` must be refused");
            let finding = checked.findings.iter().find(|finding| finding.code == code);
            let finding = finding.unwrap_or_else(|| panic!("{file}: `{to}`: {said:?}"));
            assert_eq!(finding.labels.first().map(|label| label.source.as_str()), Some(file), "{to}");
            let told = format!("{} {}", finding.headline, finding.helps.join(" "));
            assert!(told.contains(near), "{file}: `{to}` says `{told}`, not `{near}`");
        }
    }

    #[test]
    fn all_slips_of_all_files_at_once() {
        let mut files = demo();
        for (file, from, to) in [
            ("machine.yaml", "750 W", "750"),
            ("crib.yaml", "flutes: 2,", "flutes: 0,"),
            ("vise.yaml", "opening", "opning"),
        ] {
            let text = files[file].text().replacen(from, to, 1);
            files.insert(file.to_owned(), Source::new(file, text));
        }
        let findings = load(&files, "shop.yaml").findings;
        assert_eq!(findings.len(), 4, "power, flutes, opening missing, opning unknown: {findings:?}");
    }

    #[test]
    fn strangers_files_never_panic() {
        for text in ["", "[]", "owner: [1]", "owner: x\nmachine: {a: 1}\ncrib: shop.yaml", "a: [", "\u{0}"] {
            let files = BTreeMap::from([("shop.yaml".to_owned(), Source::new("shop.yaml", text))]);
            let checked = load(&files, "shop.yaml");
            assert!(checked.value.is_none() && !checked.findings.is_empty(), "`{text}` is no shop");
        }
    }
}

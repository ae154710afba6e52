//! From the files of a shop to the shop.

use std::cell::RefCell;
use std::collections::BTreeMap;

use super::read::File;
use super::{Batch, Control, Machine, Shop, Vise, rack, tool};
use crate::diag::{Checked, Diagnostic, nearest};
use crate::source::Source;
use crate::yaml::{self, Fields};

/// Reads a shop: the file called `entry` names its owner and the other files (`machine`,
/// `control`, `crib`, `rack`, `vise`), which are looked up in `files` by the same names.
///
/// # Errors
/// As findings: everything that is wrong in any of the files, each with its place.
pub fn load(files: &BTreeMap<String, Source>, entry: &str) -> Checked<Shop> {
    let findings = RefCell::new(Vec::new());
    let shop = read(files, entry, &findings);
    let mut findings = findings.into_inner();
    if shop.is_none() && findings.is_empty() {
        findings.push(Diagnostic::refused("shop/empty", format!("`{entry}` tells no shop.")));
    }
    match shop {
        Some(shop) => Checked::unless_refused(shop, findings),
        None => Checked { value: None, findings },
    }
}

fn read(files: &BTreeMap<String, Source>, entry: &str, findings: &RefCell<Vec<Diagnostic>>) -> Option<Shop> {
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
    let control = part_of(files, &mut fields, "control", findings, Control::read);
    let tools = part_of(files, &mut fields, "crib", findings, |file| Some(tool::read_crib(file)));
    let rack = part_of(files, &mut fields, "rack", findings, |file| Some(rack::read_rack(file)));
    let vise = part_of(files, &mut fields, "vise", findings, Vise::read);
    let batch = Batch::read(&file, &mut fields);
    fields.finish();
    Some(Shop { owner: owner?, machine: machine?, control: control?, tools: tools?, rack: rack?, vise: vise?, batch })
}

/// Reads the file that stands under a key of the entry file.
fn part_of<T>(
    files: &BTreeMap<String, Source>,
    fields: &mut Fields<'_>,
    key: &'static str,
    findings: &RefCell<Vec<Diagnostic>>,
    read: impl FnOnce(&File<'_>) -> Option<T>,
) -> Option<T> {
    fields.need(key)?;
    let (name, span) = fields.scalar(key)?;
    let Some(source) = files.get(&name.text) else {
        let help = nearest(&name.text, files.keys().map(String::as_str))
            .map_or_else(|| "Put it beside this file.".to_owned(), |near| format!("Did you mean `{near}`?"));
        fields.refuse("shop/no-file", format!("There is no file `{}`.", name.text), span, "not found", help);
        return None;
    };
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
        let mut files = demo();
        let text = files["shop.yaml"].text().replace("control-canned", &format!("control-{control}"));
        files.insert("shop.yaml".to_owned(), Source::new("shop.yaml", text));
        load(&files, "shop.yaml").into_result().expect("the demo shop is good")
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

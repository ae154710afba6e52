//! What lies on the desk: a family, a shop, and the last variant that was asked for.

use std::collections::BTreeMap;

#[cfg(feature = "page")]
use barwright_core::diag::Diagnostic;
use barwright_core::drawing::Stamp;
use barwright_core::family::{self, Family};
use barwright_core::job::{self, Job, Order};
use barwright_core::quantity::Unit;
use barwright_core::shop::{self, Shop};
use barwright_core::source::Source;
use barwright_core::variant::Inputs;
use serde::Deserialize;
use serde_json::{Value, json};

use crate::{embedded, tell};

/// The file of a shop that names all others.
const ENTRY: &str = "shop.yaml";

/// The longest text of a size that is read.
const LONGEST: usize = 200;

/// A family, a shop, and the last variant that was asked for.
#[derive(Debug, Default)]
pub struct Desk {
    family: Option<Family>,
    pub(crate) shop: Option<Shop>,
    pub(crate) job: Option<Job>,
    /// Of an order of the last variant.
    #[cfg(feature = "orders")]
    pub(crate) papers: Option<crate::order::Papers>,
}

/// What the page asks for.
#[derive(Debug, Default, Deserialize)]
#[serde(default, deny_unknown_fields)]
struct Asked {
    unit: Option<String>,
    like: Option<String>,
    sizes: BTreeMap<String, String>,
}

impl Desk {
    /// Nothing of the last variant stays.
    fn clear(&mut self) {
        self.job = None;
        #[cfg(feature = "orders")]
        {
            self.papers = None;
        }
    }

    /// Takes a family: one that is built in, or the text of a file of this name.
    pub fn open_family(&mut self, name: &str, text: Option<String>) -> Value {
        self.family = None;
        self.clear();
        let source = if let Some(text) = text {
            Source::new(name, text)
        } else {
            let file = format!("{name}.yaml");
            let Some((_, text)) = embedded::FAMILIES.iter().find(|(known, _)| *known == file) else {
                return json!({ "family": null, "findings": [], "unknown": true });
            };
            Source::new(format!("families/{file}"), *text)
        };
        let checked = family::load(&source);
        let findings = tell::findings(&checked.findings, &[&source]);
        self.family = checked.value;
        json!({ "family": self.family.as_ref().map(tell::family), "findings": findings })
    }

    /// Takes a shop: files laid over those of the demo shop, with one of its control profiles.
    pub fn open_shop(&mut self, files: Option<&str>, control: Option<&str>) -> Value {
        self.clear();
        let mut texts: BTreeMap<String, String> =
            embedded::SHOP.iter().map(|(name, text)| ((*name).to_owned(), (*text).to_owned())).collect();
        let mut own = Vec::new();
        if let Some(files) = files {
            let Ok(given) = serde_json::from_str::<BTreeMap<String, String>>(files) else {
                return json!({ "shop": null, "findings": [] });
            };
            own = given.keys().cloned().collect();
            texts.extend(given);
        }
        let named = |name: &str| {
            if own.iter().any(|mine| mine == name) { name.to_owned() } else { format!("families/shop/{name}") }
        };
        let sources: BTreeMap<String, Source> =
            texts.into_iter().map(|(name, text)| (name.clone(), Source::new(named(&name), text))).collect();
        // An element has one control, and no code for the choice.
        let control = if cfg!(feature = "page") { control } else { None };
        let mut checked = shop::load_with(&sources, ENTRY, control);
        if control.is_some() && checked.findings.iter().any(|finding| finding.code == shop::NO_CONTROL) {
            // A link may name a control of another shop: this shop's own is taken, and told.
            checked = shop::load_with(&sources, ENTRY, None);
        }
        #[cfg(feature = "page")]
        checked.findings.extend(checked.value.as_ref().and_then(|loaded| unused(&own, loaded)));
        #[cfg(feature = "page")]
        if checked.findings.iter().any(|finding| finding.code == UNUSED) {
            checked.value = None;
        }
        let places: Vec<&Source> = sources.values().collect();
        let findings = tell::findings(&checked.findings, &places);
        let told = checked.value.as_ref().map(|loaded| {
            let shop = &loaded.shop;
            let mut controls: Vec<&str> = shop::controls(&sources).collect();
            if !controls.contains(&loaded.control()) {
                controls.push(loaded.control());
            }
            json!({ "owner": shop.owner, "control": loaded.control(), "control_title": shop.control.title, "controls": controls, "tools": shop.tools.len() })
        });
        if let Some(loaded) = checked.value {
            self.shop = Some(loaded.shop);
        }
        json!({ "shop": told, "findings": findings })
    }

    /// Makes a variant; the one before it is gone, whatever comes of this one.
    pub fn make(&mut self, order: &str) -> String {
        self.clear();
        let asked: Asked = match serde_json::from_str(order) {
            Ok(asked) => asked,
            Err(error) => return json!({ "broken": error.to_string() }).to_string(),
        };
        if self.shop.is_none() {
            self.open_shop(None, None);
        }
        let (Some(family), Some(shop)) = (&self.family, &self.shop) else {
            return json!({ "broken": "There is no family." }).to_string();
        };
        let unit = match asked.unit.as_deref() {
            Some("in") => Some(Unit::Inch),
            Some("mm") => Some(Unit::Mm),
            _ => None,
        };
        let short = |text: String| text.chars().take(LONGEST).collect();
        let given = asked.sizes.into_iter().map(|(name, text)| (name, short(text))).collect();
        let order = Order {
            inputs: Inputs { unit, like: asked.like, given },
            title: None,
            format: None,
            stamp: Stamp { revision: "A".to_owned(), ..Stamp::default() },
            unproved: false,
        };
        let job = job::make(family, &order, shop);
        let told = tell::job(&job, family);
        self.job = Some(job);
        told
    }
}

/// The code of the finding that refuses a file which nothing would read.
#[cfg(feature = "page")]
const UNUSED: &str = "shop/unused";

/// A visitor's file that the shop does not name: it would lie there as if it were in force.
#[cfg(feature = "page")]
fn unused(own: &[String], loaded: &shop::Loaded) -> Option<Diagnostic> {
    let read = |name: &String| {
        name == ENTRY || *name == loaded.control_file || loaded.others.contains(name) || shop::is_control(name)
    };
    let name = own.iter().find(|name| !read(name))?;
    let finding = Diagnostic::refused(UNUSED, format!("`{name}` is no file of this shop: `{ENTRY}` does not name it."));
    Some(
        finding
            .help(format!("It names {}. Call the file so, or choose a `{ENTRY}` with it.", loaded.others.join(", "))),
    )
}

#[cfg(all(test, feature = "page"))]
mod tests {
    use serde_json::Value;

    use super::Desk;

    fn desk() -> Desk {
        let mut desk = Desk::default();
        let opened = desk.open_family("joining-key", None);
        assert!(opened["family"]["sizes"].is_array(), "the key is built in");
        desk
    }

    fn made(desk: &mut Desk, order: &str) -> Value {
        serde_json::from_str(&desk.make(order)).expect("JSON")
    }

    #[test]
    fn a_refusal_leaves_nothing_of_the_variant_before() {
        let mut desk = desk();
        assert!(made(&mut desk, r#"{"unit":"mm"}"#)["goods"].is_object(), "usual sizes are made");
        let names: Vec<String> = serde_json::from_value(desk.file_names()).expect("names");
        assert!(
            names.len() >= 5 && names.iter().all(|name| desk.file(name).is_some()),
            "every file is there: {names:?}"
        );
        let refused = made(&mut desk, r#"{"unit":"mm","sizes":{"screws":"4"}}"#);
        assert!(refused["goods"].is_null(), "no goods");
        assert!(!refused["remedies"].as_array().expect("a list").is_empty(), "something would do");
        assert!(names.iter().all(|name| desk.file(name).is_none()), "no file");
        assert!(desk.archive().is_none() && desk.motions(0).is_empty(), "no archive, no moves");
    }

    #[test]
    fn a_file_that_the_shop_does_not_name_is_refused() {
        let mut desk = desk();
        for name in ["my-mill.yaml", "Machine.YAML"] {
            let files = serde_json::json!({ name: "travel: no" }).to_string();
            let told = desk.open_shop(Some(&files), None);
            let headline = told["findings"][0]["headline"].as_str().expect("a finding");
            assert!(told["shop"].is_null() && headline.contains(name), "{told}");
        }
        let (_, machine) = crate::embedded::SHOP.iter().find(|(name, _)| *name == "machine.yaml").expect("one");
        let files = serde_json::json!({ "machine.yaml": machine, "control-mine.yaml": "name: mine" }).to_string();
        assert!(desk.open_shop(Some(&files), None)["shop"].is_object(), "named, and a control to choose");
    }

    #[test]
    fn what_is_no_order_makes_nothing() {
        let mut desk = desk();
        made(&mut desk, r#"{"unit":"mm"}"#);
        assert!(made(&mut desk, "{")["broken"].is_string(), "told");
        assert!(desk.file("part.json").is_none(), "nothing is left");
        assert!(desk.open_family("nothing", None)["family"].is_null(), "unknown");
        assert!(desk.open_shop(Some("{"), None)["shop"].is_null(), "no files");
    }

    /// However the shop's page is written: what is told is what the programs are written for.
    #[test]
    fn the_control_that_is_told_is_the_one_that_is_used() {
        let rest = r#""machine": "machine.yaml", "crib": "crib.yaml", "rack": "rack.yaml", "vise": "vise.yaml""#;
        let demo = include_str!("../../families/shop/shop.yaml");
        let canned = "control: control-canned.yaml";
        assert!(demo.contains(canned), "the demo shop's own");
        let pages = [
            demo.to_owned(),
            demo.replace(canned, "\"control\": \"control-canned.yaml\""),
            demo.replace(canned, "control : control-canned.yaml"),
            format!(r#"{{"owner": "x", "control": "control-canned.yaml", {rest}}}"#),
        ];
        let all = serde_json::json!(["absolute", "canned", "written-out"]);
        for page in &pages {
            let mut desk = desk();
            let files = serde_json::json!({ "shop.yaml": page }).to_string();
            for (asked, used) in [
                (None, "canned"),
                (Some("written-out"), "written-out"),
                (Some("absolute"), "absolute"),
                (Some("gone"), "canned"),
            ] {
                let told = desk.open_shop(Some(&files), asked);
                assert_eq!((&told["shop"]["control"], &told["shop"]["controls"]), (&used.into(), &all), "{told}");
                made(&mut desk, r#"{"unit":"mm"}"#);
                let record: Value = serde_json::from_slice(&desk.file("part.json").expect("a record")).expect("JSON");
                assert_eq!(record["programs"][0]["control"], used, "{page}");
            }
        }
        // A profile in a file of another name is among those that can be chosen.
        let mine = include_str!("../../families/shop/control-absolute.yaml").replace("name: absolute", "name: mine");
        let page = demo.replace(canned, "control: spoken.yaml");
        let files = serde_json::json!({ "shop.yaml": page, "spoken.yaml": mine }).to_string();
        for asked in [None, Some("mine")] {
            let told = desk().open_shop(Some(&files), asked);
            assert_eq!(told["shop"]["control"], "mine", "{told}");
            assert_eq!(told["shop"]["controls"][3], "mine", "{told}");
        }
    }

    #[test]
    fn a_family_that_is_refused_tells_its_line() {
        let mut desk = desk();
        let told = desk.open_family("mine.yaml", Some("family: mine\nsizes: [\n".to_owned()));
        assert!(told["family"].is_null() && told["findings"][0]["headline"].is_string(), "{told}");
    }
}

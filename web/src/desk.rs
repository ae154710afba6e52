//! What lies on the desk: a family, a shop, and the last variant that was asked for.

use std::collections::BTreeMap;

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
        #[cfg(not(feature = "page"))]
        let _ = control;
        #[cfg(feature = "page")]
        if let Some(control) = control
            && texts.contains_key(&format!("control-{control}.yaml"))
            && let Some(entry) = texts.get_mut("shop.yaml")
        {
            *entry = with_control(entry, control);
        }
        let control = texts.get("shop.yaml").and_then(|entry| control_of(entry));
        let named = |name: &str| {
            if own.iter().any(|mine| mine == name) { name.to_owned() } else { format!("families/shop/{name}") }
        };
        let sources: BTreeMap<String, Source> =
            texts.into_iter().map(|(name, text)| (name.clone(), Source::new(named(&name), text))).collect();
        let controls: Vec<&str> =
            sources.keys().filter_map(|name| name.strip_prefix("control-")?.strip_suffix(".yaml")).collect();
        let checked = shop::load(&sources, "shop.yaml");
        let places: Vec<&Source> = sources.values().collect();
        let findings = tell::findings(&checked.findings, &places);
        let told = checked.value.as_ref().map(|shop| {
            json!({ "owner": shop.owner, "control": control.as_ref().unwrap_or(&shop.control.name), "control_title": shop.control.title, "controls": controls, "tools": shop.tools.len() })
        });
        if let Some(shop) = checked.value {
            self.shop = Some(shop);
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

#[cfg(feature = "page")]
/// The page of a shop with another control profile named on it.
fn with_control(entry: &str, control: &str) -> String {
    let line = |line: &str| {
        if line.starts_with("control:") { format!("control: control-{control}.yaml\n") } else { format!("{line}\n") }
    };
    entry.lines().map(line).collect()
}

/// The control that the page of a shop names, as its file is called.
fn control_of(entry: &str) -> Option<String> {
    let named = entry.lines().find_map(|line| line.strip_prefix("control:"))?;
    let file = named.split('#').next()?.trim().trim_matches(['"', '\'']);
    Some(file.strip_prefix("control-")?.strip_suffix(".yaml")?.to_owned())
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
    fn what_is_no_order_makes_nothing() {
        let mut desk = desk();
        made(&mut desk, r#"{"unit":"mm"}"#);
        assert!(made(&mut desk, "{")["broken"].is_string(), "told");
        assert!(desk.file("part.json").is_none(), "nothing is left");
        assert!(desk.open_family("nothing", None)["family"].is_null(), "unknown");
        assert!(desk.open_shop(Some("{"), None)["shop"].is_null(), "no files");
    }

    #[test]
    fn a_family_that_is_refused_tells_its_line() {
        let mut desk = desk();
        let told = desk.open_family("mine.yaml", Some("family: mine\nsizes: [\n".to_owned()));
        assert!(told["family"].is_null() && told["findings"][0]["headline"].is_string(), "{told}");
    }
}

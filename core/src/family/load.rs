//! From a family file to a family: structure first, then names, then units.

use std::cell::RefCell;

use super::build::Names;
use super::keys::{EXAMPLE, FAMILY, RULE, SHAPE, SIZE, Table, VALUE};
use super::schema::LONGEST_NAME;
use super::{
    Ask, BY_DECIMALS, Choice, Derived, Example, Family, Formula, Level, Limits, Parameter, ParameterKind, Rule,
    Sentence, Shape, Snap, order,
};
use crate::diag::{Checked, Diagnostic};
use crate::formula::{Fault, Kind, parse, template};
use crate::quantity::{Dim, Unit};
use crate::source::{Source, Span};
use crate::yaml::{self, Fields, Node};

/// The most parameters, derived values, rules or cuts of a family.
pub(super) const MOST: usize = 200;

/// The most findings that are told of one file.
const MOST_TOLD: usize = 200;

/// Reads and checks a family file; every finding of the file is told at once.
pub fn load(source: &Source) -> Checked<Family> {
    let read = yaml::read(source);
    let Some(node) = read.value else {
        return Checked { value: None, findings: read.findings };
    };
    let findings = RefCell::new(read.findings);
    let family = Loader { source, findings: &findings, seen: &RefCell::default() }.family(&node);
    let mut findings = findings.into_inner();
    findings.sort_by_key(|finding| finding.labels.first().map_or(0, |label| label.span.start));
    let findings = once(findings);
    match family {
        Some(family) => Checked::unless_refused(family, findings),
        None => Checked { value: None, findings },
    }
}

/// Each finding once, and of very many the first ones.
fn once(sorted: Vec<Diagnostic>) -> Vec<Diagnostic> {
    let start = |finding: &Diagnostic| finding.labels.first().map_or(0, |label| label.span.start);
    let mut told: Vec<Diagnostic> = Vec::new();
    for finding in sorted {
        if told.len() > MOST_TOLD {
            break;
        }
        let beside = told.iter().rev().take_while(|known| start(known) == start(&finding));
        if beside.into_iter().all(|known| *known != finding) {
            told.push(finding);
        }
    }
    if told.len() > MOST_TOLD {
        told.truncate(MOST_TOLD);
        let what = format!("There is more than these {MOST_TOLD}; mend them first.");
        told.push(Diagnostic::refused("family/too-many-findings", what));
    }
    told
}

pub(super) struct Loader<'s> {
    pub(super) source: &'s Source,
    pub(super) findings: &'s RefCell<Vec<Diagnostic>>,
    /// Every formula that was read, whatever became of the entry that it stands in.
    seen: &'s RefCell<Vec<Formula>>,
}

impl<'s> Loader<'s> {
    fn family(&self, node: &'s Node) -> Option<Family> {
        let mut top = self.fields(node, "the family", &FAMILY);
        let name = top.need_text("family");
        let title = top.need_text("title");
        let about = top.text("about").unwrap_or_default();
        let number = top.need("number").and_then(|node| self.sentence(node));
        let (sizes, follows) = (top.node("sizes"), top.node("follows"));
        let parameters = self.entries(&mut top, "sizes", |name, node| self.parameter(name, node));
        let derived = self.entries(&mut top, "follows", |name, node| self.derived(name, node));
        let rules = self.entries(&mut top, "rules", |name, node| self.rule(name, node));
        let examples = self.entries(&mut top, "examples", |name, node| self.example(name, node));
        let shape = top.need("shape").map(|node| self.shape(node));
        let hardware = self.hardware(&mut top);
        top.finish();
        if let Some(name) = &name
            && !good_name(name, '-')
        {
            self.refuse(
                "family/name",
                "The name of a family is made of small letters, digits and `-`.",
                node.span,
                "the family's name",
            );
        }
        let mut names = Names::new(self);
        // What is named and could not be read raises no second finding where it is used.
        let said = [sizes, follows].into_iter().flatten().filter_map(Node::map).flatten();
        names.hide(said.map(|(key, _)| key.text.as_str()).filter(|name| {
            !parameters.iter().any(|parameter| parameter.name == *name)
                && !derived.iter().any(|value| value.name == *name)
        }));
        names.add_parameters(&parameters);
        let derived = names.add_derived(derived);
        names.check(&parameters, &rules, shape.as_ref().and_then(Option::as_ref), number.as_ref(), &examples);
        // What a fault elsewhere in its entry hides is checked here.
        for formula in self.seen.borrow().iter() {
            names.look(formula);
        }
        names.hardware(&hardware);
        let order = order::order(&parameters, &derived, self)?;
        let derived = sorted(derived, &order);
        Some(Family {
            source: self.source.clone(),
            name: name?,
            title: title?,
            about,
            number: number?,
            parameters,
            derived,
            order,
            rules,
            shape: shape??,
            hardware,
            examples,
        })
    }

    pub(super) fn refuse(&self, code: &'static str, headline: &str, span: Span, label: &str) {
        self.findings.borrow_mut().push(Diagnostic::refused(code, headline).at(self.source.name(), span, label));
    }

    /// Reports a fault of a formula, its span counted from the place of the formula's text.
    pub(super) fn fault(&self, fault: Fault, span: Span, verbatim: Option<usize>) {
        let span = verbatim.map_or(span, |start| fault.span.moved(start));
        let mut finding = Diagnostic::refused(fault.code, fault.what).at(self.source.name(), span, fault.label);
        if let Some(help) = fault.help {
            finding = finding.help(help);
        }
        self.findings.borrow_mut().push(finding);
    }

    pub(super) fn fields(&self, node: &'s Node, what: &str, table: &Table) -> Fields<'s> {
        Fields::of(self.source, node, what, self.findings).within(table.known())
    }

    /// Reads the named entries of a map.
    fn entries<T>(
        &self,
        top: &mut Fields<'s>,
        key: &'static str,
        read: impl Fn(&str, &'s Node) -> Option<T>,
    ) -> Vec<T> {
        let Some(node) = top.node(key) else { return Vec::new() };
        let Some(map) = node.map() else {
            self.refuse(
                "yaml/not-a-map",
                &format!("`{key}` needs names with values."),
                node.span,
                &format!("this is {}", node.kind()),
            );
            return Vec::new();
        };
        if map.len() > MOST {
            self.too_many(key, map.len(), node.span);
            return Vec::new();
        }
        let separator = if matches!(key, "rules" | "examples") { '-' } else { '_' };
        map.iter()
            .filter_map(|(name, node)| {
                if !good_name(&name.text, separator) {
                    let headline = format!(
                        "A name in `{key}` is made of small letters, digits and `{separator}`, a letter first."
                    );
                    self.refuse("family/name", &headline, name.span, "not such a name");
                }
                read(&name.text, node)
            })
            .collect()
    }

    /// The items of a list that is not too long.
    fn few(&self, fields: &mut Fields<'s>, key: &'static str) -> &'s [Node] {
        let items = fields.list(key);
        if items.len() > MOST {
            self.too_many(key, items.len(), fields.key_span(key));
            return &[];
        }
        items
    }

    fn too_many(&self, key: &str, count: usize, span: Span) {
        let headline = format!("`{key}` holds at most {MOST} entries.");
        self.refuse("family/too-many", &headline, span, &format!("{count} here"));
    }

    pub(super) fn formula(&self, node: &Node, what: &str) -> Option<Formula> {
        let Some(scalar) = node.scalar() else {
            self.refuse(
                "yaml/not-a-value",
                &format!("{what} needs a formula."),
                node.span,
                &format!("this is {}", node.kind()),
            );
            return None;
        };
        match parse(&scalar.text) {
            Ok(expr) => {
                let formula = Formula { text: scalar.text.clone(), expr, span: node.span, verbatim: scalar.verbatim };
                self.seen.borrow_mut().push(formula.clone());
                Some(formula)
            }
            Err(fault) => {
                self.fault(fault, node.span, scalar.verbatim);
                None
            }
        }
    }

    pub(super) fn optional(&self, fields: &mut Fields<'s>, key: &'static str) -> Option<Formula> {
        fields.node(key).and_then(|node| self.formula(node, &format!("`{key}`")))
    }

    pub(super) fn needed(&self, fields: &mut Fields<'s>, key: &'static str) -> Option<Formula> {
        fields.need(key).and_then(|node| self.formula(node, &format!("`{key}`")))
    }

    pub(super) fn sentence(&self, node: &Node) -> Option<Sentence> {
        let Some(scalar) = node.scalar() else {
            self.refuse(
                "yaml/not-a-value",
                "A sentence should stand here.",
                node.span,
                &format!("this is {}", node.kind()),
            );
            return None;
        };
        match template(&scalar.text) {
            Ok(template) => Some(Sentence { template, span: node.span, verbatim: scalar.verbatim }),
            Err(fault) => {
                self.fault(fault, node.span, scalar.verbatim);
                None
            }
        }
    }

    fn parameter(&self, name: &str, node: &'s Node) -> Option<Parameter> {
        let mut fields = self.fields(node, &format!("the size `{name}`"), &SIZE);
        let kind = fields.need("is").is_some().then(|| fields.choice("is", KINDS)).flatten();
        let ask = fields.need_text("ask");
        let help = fields.text("help");
        let usual = fields.need("usual").and_then(|node| self.ask(kind?, node));
        let usual_inch = fields.node("usual_inch").and_then(|node| self.ask(kind?, node));
        let from = self.optional(&mut fields, "from");
        let to = self.optional(&mut fields, "to");
        let step = self.optional(&mut fields, "step");
        let one_of: Vec<Choice> = self
            .few(&mut fields, "one_of")
            .iter()
            .filter_map(Node::scalar)
            .map(|scalar| Choice { text: scalar.text.clone() })
            .collect();
        let measured = fields.flag("measured").unwrap_or(false);
        if kind == Some(ParameterKind::Word) && one_of.is_empty() {
            fields.refuse(
                "family/choices",
                format!("The size `{name}` is a word, and no words are given."),
                fields.span(),
                "no `one_of` in it",
                "Add `one_of: [first, second]`.",
            );
        }
        fields.finish();
        let parameter = Parameter {
            name: name.to_owned(),
            ask: ask?,
            help,
            kind: kind?,
            usual: usual?,
            usual_inch,
            from,
            to,
            step,
            one_of,
            measured,
            span: node.span,
        };
        Some(parameter)
    }

    fn ask(&self, kind: ParameterKind, node: &Node) -> Option<Ask> {
        match kind {
            ParameterKind::Quantity(_) | ParameterKind::Count => self.formula(node, "`usual`").map(Ask::Formula),
            ParameterKind::Thread
            | ParameterKind::Material
            | ParameterKind::Fit
            | ParameterKind::Word
            | ParameterKind::Truth
            | ParameterKind::Places => node.scalar().map(|scalar| Ask::Text(scalar.text.clone())).or_else(|| {
                self.refuse(
                    "yaml/not-a-value",
                    "`usual` needs a value.",
                    node.span,
                    &format!("this is {}", node.kind()),
                );
                None
            }),
        }
    }

    fn derived(&self, name: &str, node: &'s Node) -> Option<Derived> {
        if node.scalar().is_some() {
            let formula = self.formula(node, "A value")?;
            return Some(Derived {
                name: name.to_owned(),
                title: name.replace('_', " "),
                formula,
                kind: Kind::Truth,
                snap: None,
                limits: None,
                why: None,
                source: None,
                span: node.span,
            });
        }
        let mut fields = self.fields(node, &format!("the value `{name}`"), &VALUE);
        let formula = self.needed(&mut fields, "as");
        let title = fields.text("title").unwrap_or_else(|| name.replace('_', " "));
        let mut snap = None;
        for (key, way) in [("down_to", Snap::Down), ("to_nearest", Snap::Nearest), ("up_to", Snap::Up)] {
            if let Some(step) = self.optional(&mut fields, key)
                && snap.replace((way, step)).is_some()
            {
                fields.refuse(
                    "family/two-steps",
                    format!("The value `{name}` is brought to two increments."),
                    fields.key_span(key),
                    "the second",
                    "Keep one of `down_to`, `to_nearest`, `up_to`.",
                );
            }
        }
        let upper = self.optional(&mut fields, "upper");
        let lower = self.optional(&mut fields, "lower");
        let fit = fields.text("fit");
        if upper.is_some() != lower.is_some() {
            fields.refuse(
                "family/one-limit",
                format!("The value `{name}` has one limit."),
                fields.span(),
                "`upper` and `lower` go together",
                "",
            );
        }
        let limits = match (upper, lower) {
            (Some(upper), Some(lower)) => Some(Limits { upper, lower, fit }),
            _ => None,
        };
        let why = fields.text("why");
        let source = fields.text("source");
        fields.finish();
        let derived = Derived {
            name: name.to_owned(),
            title,
            formula: formula?,
            // The kind is inferred once all names are known.
            kind: Kind::Truth,
            snap,
            limits,
            why,
            source,
            span: node.span,
        };
        Some(derived)
    }

    fn rule(&self, name: &str, node: &'s Node) -> Option<Rule> {
        let mut fields = self.fields(node, &format!("the rule `{name}`"), &RULE);
        let must = self.needed(&mut fields, "must");
        let level = fields.need("else").is_some().then(|| fields.choice("else", LEVELS)).flatten();
        let say = fields.need("say").and_then(|node| self.sentence(node));
        let source = fields.need_text("source");
        fields.finish();
        Some(Rule { name: name.to_owned(), must: must?, level: level?, say: say?, source: source?, span: node.span })
    }

    fn example(&self, name: &str, node: &'s Node) -> Option<Example> {
        let mut fields = self.fields(node, &format!("the example `{name}`"), &EXAMPLE);
        let title = fields.need_text("title");
        let unit = fields.choice("unit", UNITS);
        let sizes = fields.node("sizes").and_then(Node::map).unwrap_or(&[]);
        if sizes.len() > MOST {
            self.too_many("sizes", sizes.len(), fields.key_span("sizes"));
        }
        let sizes = sizes.get(..MOST.min(sizes.len())).unwrap_or(&[]);
        let sizes = sizes
            .iter()
            .filter_map(|(key, node)| Some((key.text.clone(), node.scalar()?.text.clone(), key.span)))
            .collect();
        fields.finish();
        Some(Example { name: name.to_owned(), title: title?, unit, sizes })
    }

    fn shape(&self, node: &'s Node) -> Option<Shape> {
        let mut fields = self.fields(node, "the shape", &SHAPE);
        let bar = self.needed(&mut fields, "bar");
        let material = self.needed(&mut fields, "material");
        let length = self.needed(&mut fields, "length");
        let general = fields.need("general").and_then(|_| fields.choice("general", GENERAL));
        let general_inch = fields.choice("general_inch", GENERAL_INCH);
        let finish = fields.text("finish").unwrap_or_default();
        let edge_break = match fields.list("edge_break") {
            [] => None,
            [least, most] => self.formula(least, "`edge_break`").zip(self.formula(most, "`edge_break`")),
            _ => {
                fields.refuse(
                    "family/edge-break",
                    "`edge_break` takes the least and the most.",
                    fields.key_span("edge_break"),
                    "two lengths",
                    "Write `edge_break: [0.1 mm, 0.3 mm]`.",
                );
                None
            }
        };
        let ends = fields.node("ends").and_then(|node| self.ends(node));
        let notes = self.few(&mut fields, "notes").iter().filter_map(|node| self.sentence(node)).collect();
        let cuts = self.few(&mut fields, "cut").iter().filter_map(|item| self.cut(item)).collect();
        fields.finish();
        Some(Shape {
            bar: bar?,
            material: material?,
            length: length?,
            ends,
            cuts,
            general_inch: general_inch.or(general)?.to_owned(),
            general: general?.to_owned(),
            edge_break,
            finish,
            notes,
        })
    }
}

pub(super) const KINDS: &[(&str, ParameterKind)] = &[
    ("length", ParameterKind::Quantity(Dim::LENGTH)),
    ("angle", ParameterKind::Quantity(Dim::ANGLE)),
    ("torque", ParameterKind::Quantity(Dim::TORQUE)),
    ("force", ParameterKind::Quantity(Dim::FORCE)),
    ("stress", ParameterKind::Quantity(Dim::STRESS)),
    ("number", ParameterKind::Quantity(Dim::NUMBER)),
    ("count", ParameterKind::Count),
    ("thread", ParameterKind::Thread),
    ("material", ParameterKind::Material),
    ("fit", ParameterKind::Fit),
    ("word", ParameterKind::Word),
    ("yes-no", ParameterKind::Truth),
    ("places", ParameterKind::Places),
];

pub(super) const LEVELS: &[(&str, Level)] = &[("refused", Level::Refused), ("caution", Level::Caution)];

pub(super) const GENERAL: &[(&str, &str)] = &[
    ("ISO 2768-f", "ISO 2768-f"),
    ("ISO 2768-m", "ISO 2768-m"),
    ("ISO 2768-c", "ISO 2768-c"),
    ("ISO 2768-v", "ISO 2768-v"),
];

pub(super) const GENERAL_INCH: &[(&str, &str)] = &[("by decimals", BY_DECIMALS)];

pub(super) const UNITS: &[(&str, Unit)] = &[("mm", Unit::Mm), ("in", Unit::Inch)];

/// Small letters, digits and one separator, a letter first, at most 60.
fn good_name(name: &str, separator: char) -> bool {
    name.len() <= LONGEST_NAME
        && name.starts_with(|c: char| c.is_ascii_lowercase())
        && name.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == separator)
}

fn sorted(mut derived: Vec<Derived>, order: &[String]) -> Vec<Derived> {
    derived.sort_by_key(|value| order.iter().position(|name| *name == value.name));
    derived
}

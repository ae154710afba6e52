//! The second look at a family: names and units of every formula.

use std::collections::BTreeMap;

use super::cut::{Cut, Want};
use super::load::Loader;
use super::{Ask, Derived, Example, Formula, HardwareLine, Limits, Parameter, ParameterKind, Rule, Sentence, Shape};
use crate::diag::{Diagnostic, nearest};
use crate::formula::{Fault, Kind, Kinds, Value, infer};
use crate::quantity::Dim;
use crate::source::Span;

/// Names that mean something in every family.
pub(super) const GIVEN: &[(&str, Kind, &str)] =
    &[("rack", Kind::Rack, "the bars on the rack"), ("inch", Kind::Truth, "whether the drawing is in inches")];

pub(super) struct Names<'l, 's> {
    loader: &'l Loader<'s>,
    kinds: BTreeMap<String, Kind>,
    /// Names whose kind a finding hides: they raise no second finding.
    hidden: Vec<String>,
}

impl Kinds for Names<'_, '_> {
    fn kind(&self, name: &str) -> Option<Kind> {
        self.kinds.get(name).copied()
    }

    fn all(&self) -> Vec<&str> {
        self.kinds.keys().map(String::as_str).collect()
    }
}

impl<'l, 's> Names<'l, 's> {
    pub(super) fn new(loader: &'l Loader<'s>) -> Self {
        let kinds = GIVEN.iter().map(|(name, kind, _)| ((*name).to_owned(), *kind)).collect();
        Self { loader, kinds, hidden: Vec::new() }
    }

    pub(super) fn add_parameters(&mut self, parameters: &[Parameter]) {
        for parameter in parameters {
            self.add(&parameter.name, parameter.kind.kind(), parameter.span);
        }
    }

    /// Names that stand in the file and could not be read.
    pub(super) fn hide<'n>(&mut self, names: impl Iterator<Item = &'n str>) {
        self.hidden.extend(names.map(str::to_owned));
    }

    /// Checks a formula for itself, whatever it is wanted for.
    pub(super) fn look(&self, formula: &Formula) {
        self.infer(formula);
    }

    fn add(&mut self, name: &str, kind: Kind, span: Span) {
        if self.kinds.insert(name.to_owned(), kind).is_some() {
            self.loader.refuse(
                "family/name-twice",
                &format!("`{name}` is the name of two things."),
                span,
                "the second",
            );
        }
    }

    /// Finds the kind of each derived value, in whatever order they need each other.
    pub(super) fn add_derived(&mut self, mut derived: Vec<Derived>) -> Vec<Derived> {
        let all: Vec<String> = derived.iter().map(|value| value.name.clone()).collect();
        let mut open: Vec<usize> = (0..derived.len()).collect();
        while !open.is_empty() {
            let before = open.len();
            open.retain(|index| {
                let value = &mut derived[*index];
                let waits = crate::formula::names(&value.formula.expr).iter().any(|name| {
                    !self.kinds.contains_key(*name)
                        && !self.hidden.iter().any(|h| h == name)
                        && all.iter().any(|a| a == name)
                });
                if waits {
                    return true;
                }
                match self.infer(&value.formula) {
                    Some(kind) => {
                        value.kind = kind;
                        self.add(&value.name, kind, value.span);
                        if value.limits.is_some() {
                            for part in ["most", "least", "middle", "upper", "lower"] {
                                self.kinds.insert(format!("{}.{part}", value.name), kind);
                            }
                        }
                    }
                    None => self.hidden.push(value.name.clone()),
                }
                false
            });
            if open.len() == before {
                // A circle; `order` tells which.
                self.hidden.extend(open.iter().map(|index| derived[*index].name.clone()));
                break;
            }
        }
        for value in &derived {
            let Some(kind) = self.kinds.get(&value.name).copied() else { continue };
            if let Some((_, step)) = &value.snap {
                self.want(step, kind);
            }
            if let Some(limits) = &value.limits {
                self.limits(&value.name, kind, limits);
            }
            if let Some(fit) = value.limits.as_ref().and_then(|limits| limits.fit.as_ref())
                && self.kinds.get(fit) != Some(&Kind::Fit)
            {
                self.loader.refuse(
                    "family/fit",
                    &format!("`{fit}` is no fit."),
                    value.span,
                    "`fit` names a size of kind fit",
                );
            }
        }
        derived
    }

    /// Only a length has limits: they are what a drawing prints beside it.
    fn limits(&self, name: &str, kind: Kind, limits: &Limits) {
        if kind == Kind::LENGTH {
            self.want(&limits.upper, kind);
            self.want(&limits.lower, kind);
            return;
        }
        let what = format!("`{name}` is {}, and only a length has limits.", kind.with_article());
        let help = format!("Leave out `upper` and `lower`; what is least or most of `{name}` is a value of its own.");
        let finding = Diagnostic::refused("family/limits", what)
            .at(self.loader.source.name(), limits.upper.span, "limits of what is no length")
            .help(help);
        self.loader.findings.borrow_mut().push(finding);
    }

    fn infer(&self, formula: &Formula) -> Option<Kind> {
        let mut faults = Vec::new();
        let kind = infer(&formula.expr, self, &mut faults);
        for fault in faults {
            self.tell(fault, formula.span, formula.verbatim);
        }
        kind
    }

    /// Reports a fault, unless it is about a name that a finding hides already.
    fn tell(&self, fault: Fault, span: Span, verbatim: Option<usize>) {
        let hidden = fault.code == "formula/unknown-name"
            && self.hidden.iter().any(|name| fault.what.contains(&format!("`{name}`")));
        if !hidden {
            self.loader.fault(fault, span, verbatim);
        }
    }

    fn want(&self, formula: &Formula, wanted: Kind) {
        if let Some(kind) = self.infer(formula)
            && kind != wanted
        {
            let whole = Span::new(0, formula.text.len());
            let what = format!("This is {}, and {} is wanted.", kind.with_article(), wanted.with_article());
            let mut fault =
                Fault { code: "formula/unit-mismatch", span: whole, what, label: kind.with_article(), help: None };
            if kind == Kind::NUMBER && wanted == Kind::LENGTH {
                fault.help = Some(format!("Write `{} mm` or `{} in`.", formula.text, formula.text));
            }
            self.tell(fault, formula.span, formula.verbatim);
        }
    }

    pub(super) fn check(
        &self,
        parameters: &[Parameter],
        rules: &[Rule],
        shape: Option<&Shape>,
        number: Option<&Sentence>,
        examples: &[Example],
    ) {
        for parameter in parameters {
            self.parameter(parameter);
        }
        for rule in rules {
            self.want(&rule.must, Kind::Truth);
            self.sentence(&rule.say);
        }
        if let Some(number) = number {
            self.sentence(number);
        }
        if let Some(shape) = shape {
            self.shape(shape);
        }
        for example in examples {
            for (name, text, span) in &example.sizes {
                let known = parameters.iter().any(|parameter| parameter.name == *name);
                if !known && !self.hidden.contains(name) {
                    let near = nearest(name, parameters.iter().map(|parameter| parameter.name.as_str()));
                    let label =
                        near.map_or("not a size of this family".to_owned(), |near| format!("did you mean `{near}`?"));
                    self.loader.refuse("family/unknown-size", &format!("There is no size `{name}`."), *span, &label);
                }
                if let Some(parameter) = parameters.iter().find(|parameter| parameter.name == *name)
                    && let Err(error) = Value::read(parameter.kind.kind(), text, example.unit)
                {
                    self.loader.refuse("family/value", &format!("{name}: {error}"), *span, "in this example");
                }
            }
        }
    }

    fn parameter(&self, parameter: &Parameter) {
        let kind = parameter.kind.kind();
        for ask in [Some(&parameter.usual), parameter.usual_inch.as_ref()].into_iter().flatten() {
            match ask {
                Ask::Formula(formula) => self.want(formula, kind),
                Ask::Text(text) => self.answer(parameter, text),
            }
        }
        for formula in [&parameter.from, &parameter.to, &parameter.step].into_iter().flatten() {
            self.want(formula, kind);
        }
        for choice in &parameter.one_of {
            self.answer(parameter, &choice.text);
        }
    }

    fn answer(&self, parameter: &Parameter, text: &str) {
        let known = parameter.one_of.iter().any(|choice| choice.text == text);
        let wrong = match parameter.kind {
            ParameterKind::Word => (!known).then(|| format!("`{text}` is not among the choices.")),
            _ if !parameter.one_of.is_empty() && !known => Some(format!("`{text}` is not among the choices.")),
            _ => Value::read(parameter.kind.kind(), text, None).err().map(|error| error.to_string()),
        };
        if let Some(wrong) = wrong {
            self.loader.refuse("family/choices", &wrong, parameter.span, &format!("an answer of `{}`", parameter.name));
        }
    }

    /// The counts are numbers, the torques torques.
    pub(super) fn hardware(&self, lines: &[HardwareLine]) {
        for line in lines {
            self.sentence(&line.item);
            self.want(&line.count, Kind::NUMBER);
            if let Some(key) = &line.key {
                self.sentence(key);
            }
            if let Some(torque) = &line.torque {
                self.want(torque, Kind::Quantity(Dim::TORQUE));
            }
        }
    }

    fn sentence(&self, sentence: &Sentence) {
        let mut faults = Vec::new();
        sentence.template.infer(self, &mut faults);
        for fault in faults {
            self.tell(fault, sentence.span, sentence.verbatim);
        }
    }

    fn shape(&self, shape: &Shape) {
        self.want(&shape.bar, Kind::Bar);
        self.want(&shape.material, Kind::Material);
        self.want(&shape.length, Kind::LENGTH);
        if let Some((least, most)) = &shape.edge_break {
            self.want(least, Kind::LENGTH);
            self.want(most, Kind::LENGTH);
        }
        for note in &shape.notes {
            self.sentence(note);
        }
        if let Some(ends) = &shape.ends {
            for formula in std::iter::once(&ends.allowance).chain(&ends.corner) {
                self.want(formula, Kind::LENGTH);
            }
        }
        for (formula, want) in shape.cuts.iter().flat_map(Cut::formulas) {
            self.want(
                formula,
                match want {
                    Want::Length => Kind::LENGTH,
                    Want::Angle => Kind::Quantity(Dim::ANGLE),
                    Want::Count => Kind::NUMBER,
                    Want::Truth => Kind::Truth,
                    Want::Thread => Kind::Thread,
                    Want::Places => Kind::Places,
                },
            );
        }
    }
}
